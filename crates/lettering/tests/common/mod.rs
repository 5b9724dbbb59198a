//! Fonts for the tests: Noto Sans as the repository has it, and fonts put together table by table.

#![allow(dead_code, missing_docs, unreachable_pub, clippy::unwrap_used)]

pub fn noto() -> Vec<u8> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../typeset/fonts/NotoSans-Regular.ttf");
    std::fs::read(path).unwrap()
}

/// Big-endian words.
pub fn words(words: &[i32]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_be_bytes()[2..].to_vec()).collect()
}

/// A font file of these tables (OpenType specification, "Organization of an OpenType Font"; from memory).
pub fn sfnt(tables: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let mut tables = tables.to_vec();
    tables.sort();
    let mut font = vec![0, 1, 0, 0];
    font.extend(words(&[i32::try_from(tables.len()).unwrap(), 0, 0, 0]));
    let mut at = 12 + 16 * tables.len();
    for (tag, table) in &tables {
        font.extend(*tag);
        font.extend([0; 4]);
        font.extend(u32::try_from(at).unwrap().to_be_bytes());
        font.extend(u32::try_from(table.len()).unwrap().to_be_bytes());
        at += table.len();
    }
    for (_, table) in tables {
        font.extend(table);
    }
    font
}

/// The tables every font needs, for `glyphs` glyphs of 500 units' width on an em of 1,000, the letters
/// from A on being glyphs from 1 on. Offsets of glyphs are long.
pub fn plain_tables(glyphs: u16) -> Vec<(&'static [u8; 4], Vec<u8>)> {
    let count = i32::from(glyphs);
    let mut head = words(&[1, 0, 0, 0, 0, 0, 0, 0, 0, 1000]);
    head.resize(50, 0);
    head.extend(words(&[1, 0]));
    let mut hhea = words(&[1, 0, 800, -200, 0]);
    hhea.resize(34, 0);
    hhea.extend(words(&[count]));
    let (first, last) = (0x41, 0x41 + count - 2);
    let segments = [4, 32, 0, 4, 4, 1, 0, last, -1, 0, first, -1, 1 - first, 1, 0, 0];
    let mut cmap = words(&[0, 1, 3, 1, 0, 12]);
    cmap.extend(words(&segments));
    vec![
        (b"head", head),
        (b"hhea", hhea),
        (b"maxp", words(&[1, 0, count])),
        (b"hmtx", (0..glyphs).flat_map(|_| words(&[500, 0])).collect()),
        (b"cmap", cmap),
    ]
}

/// A TrueType font of these glyphs.
pub fn true_type(glyphs: &[Vec<u8>]) -> Vec<u8> {
    let mut tables = plain_tables(u16::try_from(glyphs.len()).unwrap());
    let mut loca = vec![0_u8; 4];
    let mut at = 0;
    for glyph in glyphs {
        at += glyph.len();
        loca.extend(u32::try_from(at).unwrap().to_be_bytes());
    }
    tables.extend([(b"loca", loca), (b"glyf", glyphs.concat())]);
    sfnt(&tables)
}

/// A glyph with one contour through these points.
pub fn polygon(points: &[(i32, i32)]) -> Vec<u8> {
    let mut glyph = words(&[1, 0, 0, 1000, 1000, i32::try_from(points.len()).unwrap() - 1, 0]);
    glyph.extend(points.iter().map(|_| 1_u8));
    for coordinate in [|p: &(i32, i32)| p.0, |p: &(i32, i32)| p.1] {
        let mut before = 0;
        for point in points {
            glyph.extend(words(&[coordinate(point) - before]));
            before = coordinate(point);
        }
    }
    glyph.resize(glyph.len().next_multiple_of(2), 0);
    glyph
}

/// A glyph made of others.
pub fn made_of(parts: &[u16]) -> Vec<u8> {
    let mut glyph = words(&[-1, 0, 0, 1000, 1000]);
    for (at, part) in parts.iter().enumerate() {
        // Offsets as bytes, and whether more parts follow.
        let flags = if at + 1 < parts.len() { 0x22 } else { 0x02 };
        glyph.extend(words(&[flags, i32::from(*part), 0]));
    }
    glyph
}
