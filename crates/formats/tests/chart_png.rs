//! Charts as PNG: round trips, files of another program, and hostile bytes.

#![allow(clippy::unwrap_used)] // in helpers of tests

mod common;

use common::{Chance, expect_fault, expect_note};
use formats::{ChartFile, Faults, Noted, SizeLimits, name_yarns, read_chart_png, write_chart_png};
use model::{Chart, Gauge, Palette, RowIndex, Srgb, WeightCategory, Yarn};

fn read(bytes: &[u8]) -> Result<Noted<ChartFile>, Faults> {
    read_chart_png(bytes, &SizeLimits::default())
}

fn reds(count: usize) -> Vec<Yarn> {
    let red = |at: usize| Srgb::new(u8::try_from(at).unwrap(), 0, 0);
    (0..count).map(|at| Yarn::plain(format!("k{at}"), format!("yarn {at}"), red(at))).collect()
}

/// A small chart of two yarns.
fn small() -> Chart {
    Chart::new(Palette::new(reds(2)).unwrap(), 2, 3, &[0, 0, 1, 1, 1, 0]).unwrap()
}

/// The chunks of a PNG: type and data.
fn chunks(bytes: &[u8]) -> Vec<([u8; 4], Vec<u8>)> {
    let mut rest = &bytes[8..];
    let mut chunks = Vec::new();
    while !rest.is_empty() {
        let length = u32::from_be_bytes(rest[..4].try_into().unwrap()) as usize;
        chunks.push((rest[4..8].try_into().unwrap(), rest[8..8 + length].to_vec()));
        rest = &rest[12 + length..];
    }
    chunks
}

/// A PNG of these chunks, with right check sums.
fn png(chunks: &[([u8; 4], Vec<u8>)]) -> Vec<u8> {
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    for (kind, data) in chunks {
        bytes.extend(u32::try_from(data.len()).unwrap().to_be_bytes());
        let mut hasher = crc32fast::Hasher::new();
        hasher.update(kind);
        hasher.update(data);
        bytes.extend(kind);
        bytes.extend(data);
        bytes.extend(hasher.finalize().to_be_bytes());
    }
    bytes
}

/// The small chart with its chunks changed.
fn changed(change: impl FnOnce(&mut Vec<([u8; 4], Vec<u8>)>)) -> Vec<u8> {
    let mut list = chunks(&write_chart_png(&small(), Some(&Gauge::new(14.0, 15.0).unwrap())));
    change(&mut list);
    png(&list)
}

/// Another chunk just before the pixels.
fn with_chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    changed(|list| {
        let at = list.iter().position(|(kind, _)| kind == b"IDAT").unwrap();
        list.insert(at, (*kind, data.to_vec()));
    })
}

/// The text chunk of that keyword with another text.
fn with_text(keyword: &str, text: &str) -> Vec<u8> {
    changed(|list| {
        let start = format!("Strandwright {keyword}\0").into_bytes();
        let chunk = list.iter_mut().find(|(kind, data)| kind == b"iTXt" && data.starts_with(&start)).unwrap();
        chunk.1 = [&start[..], b"\0\0\0\0", text.as_bytes()].concat();
    })
}

#[test]
fn any_chart_comes_back_exactly() {
    let mut chance = Chance::new(17);
    for round in 0..300 {
        let (rows, columns) = (1 + chance.below(20), 1 + chance.below(20));
        let count = if round < 64 { round + 1 } else { 1 + chance.below(64) };
        let yarns = (0..count)
            .map(|at| {
                let colour = Srgb::new(chance.byte(), chance.byte(), chance.byte());
                let key = if chance.below(5) == 0 { format!("#0000{at:02x}") } else { format!("ß{at}") };
                Yarn::plain(key, chance.text(30), colour)
            })
            .collect();
        let cells: Vec<u8> =
            (0..rows * columns).map(|_| u8::try_from(chance.below(count)).unwrap()).collect();
        let chart = Chart::new(Palette::new(yarns).unwrap(), rows, columns, &cells).unwrap();
        let number = |chance: &mut Chance| 1.0 + chance.below(1 << 30) as f64 / 11_111_111.1;
        let gauge = match chance.below(4) {
            0 => None,
            1 => Some(Gauge::new(number(&mut chance).min(100.0), number(&mut chance).min(100.0)).unwrap()),
            2 => Some(Gauge::from_stitches(number(&mut chance).min(93.0)).unwrap()),
            _ => Some(Gauge::usual(WeightCategory::new(chance.byte() % 8).unwrap())),
        };
        let bytes = write_chart_png(&chart, gauge.as_ref());
        assert_eq!(bytes, write_chart_png(&chart, gauge.as_ref()));
        assert_eq!(read(&bytes).unwrap().value, ChartFile { chart, gauge, named: true });
    }
}

/// The stream of chunks as the PNG specification orders them, and the least depth that fits.
#[test]
fn the_file_holds_a_header_a_palette_texts_and_pixels_only() {
    for (yarns, depth) in [(1, 1), (2, 1), (3, 2), (4, 2), (5, 4), (16, 4), (17, 8), (64, 8)] {
        let chart = Chart::new(Palette::new(reds(yarns)).unwrap(), 1, 1, &[0]).unwrap();
        let list = chunks(&write_chart_png(&chart, None));
        let kinds: Vec<_> = list.iter().map(|(kind, _)| std::str::from_utf8(kind).unwrap()).collect();
        assert_eq!(kinds, ["IHDR", "PLTE", "iTXt", "iTXt", "iTXt", "IDAT", "IEND"]);
        assert_eq!(list[0].1[8..], [depth, 3, 0, 0, 0]);
        assert_eq!(list[1].1.len(), 3 * yarns);
    }
}

/// Files made with pnmtopng of Netpbm 11.1.0, plain and interlaced (`-interlace`), from pictures
/// whose colours follow the sums below (SEEN).
#[test]
fn files_of_another_program_are_read() {
    type Colour = fn(usize, usize) -> [usize; 3];
    type Case = (&'static [u8], &'static [u8], usize, usize, Colour);
    let cases: [Case; 4] = [
        (include_bytes!("png/plain-2.png"), include_bytes!("png/interlaced-2.png"), 11, 3, |x, y| {
            [[255, 255, 0], [0, 0, 128]][x * y % 2]
        }),
        (include_bytes!("png/plain-3.png"), include_bytes!("png/interlaced-3.png"), 7, 5, |x, y| {
            [[200, 30, 40], [20, 90, 160], [240, 240, 230]][(x + 2 * y) % 3]
        }),
        (include_bytes!("png/plain-12.png"), include_bytes!("png/interlaced-12.png"), 9, 11, |x, y| {
            [20 * ((3 * x + 5 * y) % 12), 7, 100]
        }),
        (include_bytes!("png/plain-20.png"), include_bytes!("png/interlaced-20.png"), 6, 9, |x, y| {
            [12 * ((7 * x + y) % 20), 50, 9]
        }),
    ];
    for (plain, interlaced, columns, rows, colour) in cases {
        for bytes in [plain, interlaced] {
            let Noted { value: ChartFile { chart, gauge, named }, notes } = read(bytes).unwrap();
            assert_eq!((chart.columns(), chart.rows(), gauge, named), (columns, rows, None, false));
            assert!(notes.is_empty(), "{notes:?}");
            for y in 0..rows {
                for (x, yarn) in chart.row(RowIndex(rows - 1 - y)).iter().enumerate() {
                    let Srgb { red, green, blue } = chart.palette().yarn(*yarn).colour;
                    assert_eq!([red, green, blue].map(usize::from), colour(x, y), "{x}, {y}");
                }
            }
            let first = &chart.palette().yarns()[0];
            assert_eq!((&*first.key, &*first.name), ("0", &*format!("entry 0 ({})", first.colour)));
        }
    }
}

#[test]
fn what_is_no_png_is_named() {
    let good = write_chart_png(&small(), None);
    let as_text = String::from_utf8_lossy(&good).replace("\r\n", "\n").into_bytes();
    for (bytes, what) in [
        (&b""[..], "the file is empty"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", "the file is a JPEG"),
        (b"GIF89a", "the file is a GIF"),
        (b"BM\x10\0\0\0\0\0\0\0\0\0\0\0", "the file is a BMP"),
        (b"RIFF\0\0\0\0WEBPVP8 ", "the file is a WebP"),
        (b"a,b\nb,a\n", "the file is a text"),
        (b"\0\x01\xfe\xff", "the file is no PNG"),
        (&good[..5], "the file ends too early"),
        (b"\x89PNG\n\x1a\n\0\0", "its first eight bytes are wrong"),
        (&as_text, "the file is a text"),
    ] {
        let faults = read(bytes).unwrap_err();
        assert!(faults.0[0].what.contains(what), "{what}: {faults}");
    }
}

#[test]
fn files_that_are_cut_off_are_named_so_wherever_the_cut_is() {
    let good = write_chart_png(&small(), None);
    for end in 1..good.len() {
        let faults = read(&good[..end]).unwrap_err();
        assert!(faults.0[0].what.contains("ends too early"), "{end}: {faults}");
    }
}

/// Any one bit: in the pixels, palette and header a fault; in a text a note, and the rest stands.
#[test]
fn every_flipped_bit_is_found() {
    let gauge = Gauge::new(14.0, 15.0).unwrap();
    let good = write_chart_png(&small(), Some(&gauge));
    let whole = read(&good).unwrap();
    assert!(whole.notes.is_empty());
    for at in 0..good.len() {
        for bit in 0..8 {
            let mut bytes = good.clone();
            bytes[at] ^= 1 << bit;
            match read(&bytes) {
                Err(faults) => assert!(!faults.0.is_empty()),
                Ok(read) => assert!(!read.notes.is_empty(), "byte {at}, bit {bit}"),
            }
        }
    }
    let mut bytes = good.clone();
    let palette = good.windows(4).position(|kind| kind == b"PLTE").unwrap();
    bytes[palette + 5] ^= 1;
    let place = format!("byte {}", palette - 4);
    expect_fault(&read(&bytes).unwrap_err(), "the check sum of its part PLTE is wrong", &place);
    let mut bytes = good.clone();
    let text = good.windows(4).position(|kind| kind == b"iTXt").unwrap();
    bytes[text + 30] ^= 1;
    expect_note(&read(&bytes).unwrap().notes, "the part iTXt at byte");
}

#[test]
fn a_huge_header_is_refused_before_anything_is_allocated() {
    for (width, height) in
        [(60_000u32, 60_000u32), (10_001, 1), (1, 10_001), (2001, 2000), (u32::MAX, u32::MAX)]
    {
        let bytes = changed(|list| {
            list[0].1[..4].copy_from_slice(&width.to_be_bytes());
            list[0].1[4..8].copy_from_slice(&height.to_be_bytes());
        });
        let faults = read(&bytes).unwrap_err();
        expect_fault(&faults, &format!("a picture of {width} by {height} pixels is too large"), "");
    }
    let none = changed(|list| list[0].1[..4].copy_from_slice(&[0; 4]));
    expect_fault(&read(&none).unwrap_err(), "has no pixels", "");
    let tight = SizeLimits { side: 2, ..SizeLimits::default() };
    let bytes = write_chart_png(&small(), None);
    expect_fault(&read_chart_png(&bytes, &tight).unwrap_err(), "3 by 2 pixels is too large", "");
    let tight = SizeLimits { bytes: 20, ..SizeLimits::default() };
    expect_fault(&read_chart_png(&bytes, &tight).unwrap_err(), "the most that is read is 20", "");
}

#[test]
fn pictures_of_other_kinds_are_named_with_what_to_do() {
    for (bits, kind, what) in [
        (8, 0, "a grey picture,"),
        (8, 2, "an RGB picture,"),
        (16, 2, "an RGB picture of 16 bits,"),
        (8, 4, "a grey picture with alpha,"),
        (8, 6, "an RGB picture with alpha,"),
        (16, 6, "an RGB picture with alpha of 16 bits,"),
        (8, 7, "a picture of an unknown colour type,"),
    ] {
        let bytes = changed(|list| list[0].1[8..10].copy_from_slice(&[bits, kind]));
        let faults = read(&bytes).unwrap_err();
        expect_fault(&faults, what, "");
        assert!(faults.0[0].hint.contains("strandwright chart"));
    }
    let bytes = changed(|list| list[0].1[8] = 3);
    expect_fault(&read(&bytes).unwrap_err(), "3 bits a pixel", "header");
}

#[test]
fn damaged_palettes_and_pixels_are_named() {
    for (palette, what) in
        [(vec![], "a palette of 0 bytes"), (vec![0; 4], "of 4 bytes"), (vec![0; 771], "of 771 bytes")]
    {
        let bytes = changed(|list| list[1].1 = palette);
        expect_fault(&read(&bytes).unwrap_err(), what, "");
    }
    expect_fault(&read(&changed(|list| drop(list.remove(1)))).unwrap_err(), "without a palette", "");
    let twice = changed(|list| list.insert(1, list[1].clone()));
    assert!(read(&twice).unwrap_err().to_string().contains("two palettes"));
    for change in [b"IDAT", b"IHDR"] {
        let bytes = changed(|list| list.retain(|(kind, _)| kind != change));
        assert!(read(&bytes).is_err());
    }
    let rubbish =
        changed(|list| list.iter_mut().filter(|(kind, _)| kind == b"IDAT").for_each(|c| c.1 = vec![7; 9]));
    expect_fault(&read(&rubbish).unwrap_err(), "the pixels can't be read", "");
    let too_few = changed(|list| list[0].1[7] = 200);
    expect_fault(&read(&too_few).unwrap_err(), "the pixels can't be read", "");
}

#[test]
fn a_pixel_beyond_the_palette_is_named_by_row_and_column() {
    let bytes = changed(|list| list[1].1.truncate(3));
    let faults = read(&bytes).unwrap_err();
    assert_eq!(faults.0.len(), 3);
    // Rows from the bottom: the chart is 0 0 1 and above it 1 1 0.
    for place in ["row 1, column 3", "row 2, column 1", "row 2, column 2"] {
        expect_fault(&faults, "the pixel names palette entry 1, the last entry is 0", place);
    }
}

#[test]
fn too_many_entries_are_counted_and_the_used_ones_named() {
    let chart = Chart::new(Palette::new(reds(17)).unwrap(), 1, 5, &[3, 1, 2, 9, 9]).unwrap();
    let mut list = chunks(&write_chart_png(&chart, None));
    list[1].1 = vec![7; 3 * 65];
    let faults = read(&png(&list)).unwrap_err();
    expect_fault(
        &faults,
        "the palette has 65 entries, a chart has at most 64 yarns; the picture uses 4 of them: 1-3, 9",
        "",
    );
    assert!(faults.0[0].hint.contains("without the entries"));
    list[1].1 = vec![7; 3 * 64];
    assert!(read(&png(&list)).is_ok());
}

#[test]
fn animations_are_refused() {
    let bytes = with_chunk(b"acTL", &[0, 0, 0, 2, 0, 0, 0, 0]);
    expect_fault(&read(&bytes).unwrap_err(), "animated PNG", "");
}

#[test]
fn what_a_chart_does_not_keep_is_noted() {
    let see_through = with_chunk(b"tRNS", &[0]);
    expect_note(&read(&see_through).unwrap().notes, "palette entry 0 is see-through");
    assert!(read(&with_chunk(b"tRNS", &[255, 255])).unwrap().notes.is_empty());
    expect_note(&read(&with_chunk(b"iCCP", b"x\0\0")).unwrap().notes, "colour profile");
    let after = [write_chart_png(&small(), None), b"more".to_vec()].concat();
    expect_note(&read(&after).unwrap().notes, "4 bytes after the end");

    let mut yarns = reds(4);
    yarns[2].colour = yarns[0].colour;
    let chart = Chart::new(Palette::new(yarns).unwrap(), 1, 3, &[0, 1, 2]).unwrap();
    let notes = read(&write_chart_png(&chart, None)).unwrap().notes;
    expect_note(&notes, "no stitch uses palette entry 3");
    expect_note(&notes, "palette entries 0 and 2 have the same colour #000000");
}

#[test]
fn damaged_and_foreign_texts_are_ignored_with_a_note() {
    for (keyword, text, note) in [
        ("version", "2", "version \"2\", only 1 is known"),
        ("yarn keys", "[\"a\"]", "there are 1, the palette has 2"),
        ("yarn keys", "[\"a\",\"a\"]", "\"a\" stands twice"),
        ("yarn keys", "[\"a\",\"b:c\"]", "\"b:c\" is no key"),
        ("yarn keys", "[\"a\",7]", "one of them is a whole number"),
        ("yarn keys", "a, b", "no JSON list"),
    ] {
        let Noted { value, notes } = read(&with_text(keyword, text)).unwrap();
        expect_note(&notes, note);
        assert!(!value.named && value.chart.palette().yarns()[1].key == "1", "{text}");
    }
    for text in ["[\"a\"]", "[\"a\",\"\\n\"]", "{}"] {
        let Noted { value, notes } = read(&with_text("yarn names", text)).unwrap();
        expect_note(&notes, "names of the yarns were ignored");
        assert!(value.named && value.chart.palette().yarns()[1].name == "k1");
    }
    for (keyword, text) in [
        ("gauge stitches", "0"),
        ("gauge rows", "many"),
        ("gauge rows", "NaN"),
        ("gauge rows estimated", "perhaps"),
    ] {
        let Noted { value, notes } = read(&with_text(keyword, text)).unwrap();
        expect_note(&notes, "the gauge was ignored");
        assert!(value.named && value.gauge.is_none());
    }
    expect_note(&read(&with_text("gauge rows estimated", "yes")).unwrap().notes, "estimated anew");
    expect_note(
        &read(&with_chunk(b"tEXt", b"Comment\0hello")).unwrap().notes,
        "other programs were ignored: \"Comment\"",
    );
    expect_note(
        &read(&with_chunk(b"iTXt", b"Strandwright yarn hats\0\0\0\0\0[]")).unwrap().notes,
        "is not known",
    );
    expect_note(
        &read(&with_chunk(b"iTXt", b"Strandwright version\0\0\0\0\x001")).unwrap().notes,
        "stands twice",
    );
    let compressed = with_chunk(b"zTXt", b"Strandwright yarn keys\0\0xx");
    expect_note(&read(&compressed).unwrap().notes, "damaged or compressed");
    let no_version = changed(|list| list.retain(|(_, data)| !data.starts_with(b"Strandwright version")));
    let Noted { value, notes } = read(&no_version).unwrap();
    expect_note(&notes, "does not say the version");
    assert!(!value.named && value.gauge.is_none());
}

/// A program that saves the picture again may turn `iTXt` into `tEXt`.
#[test]
fn texts_of_the_older_kind_are_taken() {
    let bytes = changed(|list| {
        for (kind, data) in list.iter_mut().filter(|(kind, _)| kind == b"iTXt") {
            *kind = *b"tEXt";
            let zero = data.iter().position(|&byte| byte == 0).unwrap();
            data.drain(zero + 1..zero + 5);
        }
    });
    let file = read(&bytes).unwrap();
    assert!(file.value.named && file.value.gauge.is_some() && file.notes.is_empty(), "{:?}", file.notes);
}

#[test]
fn hostile_bytes_never_panic() {
    let good = write_chart_png(&small(), Some(&Gauge::new(14.0, 15.0).unwrap()));
    let mut chance = Chance::new(23);
    for _ in 0..3000 {
        // Whole chunks are changed and get a right check sum, so that the damage gets further in.
        let mut list = chunks(&good);
        for _ in 0..=chance.below(3) {
            let at = chance.below(list.len());
            let data = &mut list[at].1;
            match chance.below(4) {
                0 if !data.is_empty() => {
                    let byte = chance.below(data.len());
                    data[byte] = chance.byte();
                }
                1 => data.truncate(chance.below(data.len() + 1)),
                2 => data.push(chance.byte()),
                _ => {
                    let other = chance.below(list.len());
                    list.swap(at, other);
                }
            }
        }
        match read(&png(&list)) {
            Ok(file) => assert!(file.value.chart.stitches() > 0),
            Err(faults) => assert!(!faults.0.is_empty()),
        }
    }
}

#[test]
fn a_list_names_yarns_by_key_where_the_chart_had_keys() {
    let full = |key: &str, colour| Yarn { on_hand: Some(3), ..Yarn::plain(key, "of the list", colour) };
    let list = [full("k1", Srgb::new(1, 0, 0)), full("other", Srgb::new(0, 0, 0))];
    let Noted { value, notes } = name_yarns(small(), true, &list);
    assert_eq!(value.palette().yarns()[1], list[0]);
    assert_eq!(value.palette().yarns()[0], small().palette().yarns()[0]);
    assert_eq!(value.row(RowIndex(0)), small().row(RowIndex(0)));
    assert_eq!(notes, ["the list has no yarn k0, it is kept as the chart has it"]);
    let list = [full("k0", Srgb::new(9, 9, 9)), full("k1", Srgb::new(1, 0, 0))];
    let Noted { value, notes } = name_yarns(small(), true, &list);
    assert_eq!(value.palette().yarns()[0].colour, Srgb::new(9, 9, 9));
    expect_note(&notes, "yarn k0 is #000000 in the chart and #090909 in the list");
}

#[test]
fn a_list_names_yarns_by_colour_where_the_chart_had_none() {
    let grey = |v| Srgb::new(v, v, v);
    let palette = [1, 2, 3, 4, 4].iter().enumerate();
    let palette = palette.map(|(at, v)| Yarn::plain(at.to_string(), "entry", grey(*v))).collect();
    let chart = Chart::new(Palette::new(palette).unwrap(), 1, 5, &[0, 1, 2, 3, 4]).unwrap();
    let yarn = |key: &str, v| Yarn::plain(key, key, grey(v));
    // "1" is the key of a yarn that belongs to entry 0, and the default key of entry 1.
    let list = [yarn("1", 1), yarn("b", 3), yarn("c", 3), yarn("d", 4)];
    let Noted { value, notes } = name_yarns(chart, false, &list);
    let keys: Vec<_> = value.palette().yarns().iter().map(|yarn| &*yarn.key).collect();
    assert_eq!(keys, ["1", "entry-1", "2", "3", "4"]);
    expect_note(&notes, "entry 1 (#020202) was not matched with a yarn: no yarn of the list");
    expect_note(&notes, "entry 2 (#030303) was not matched with a yarn: several yarns");
    expect_note(&notes, "entry 3 (#040404) was not matched with a yarn: several entries");
    expect_note(&notes, "palette entry 1 has the key entry-1");
    assert_eq!(value.row(RowIndex(0)).iter().map(|yarn| yarn.index()).collect::<Vec<_>>(), [0, 1, 2, 3, 4]);
}
