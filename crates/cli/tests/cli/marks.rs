//! Small pictures, charts and damaged files, made from nothing.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{ImageFormat, Rgb, RgbImage};

/// Colours far from one another, each near one yarn of the demo.
pub(crate) const OAT: Rgb<u8> = Rgb([240, 226, 194]);
pub(crate) const NIGHT: Rgb<u8> = Rgb([28, 36, 68]);
pub(crate) const BRICK: Rgb<u8> = Rgb([163, 58, 52]);

/// 48 by 64 pixels: oat, with night at the top left and brick along the bottom. No turn and no
/// mirroring leaves it as it is, and all edges lie between blocks of 16 pixels, so that a JPEG of it
/// is as good as exact.
pub(crate) fn picture() -> RgbImage {
    RgbImage::from_fn(48, 64, |x, y| match (x / 16, y / 16) {
        (_, 3) => BRICK,
        (0, 0 | 1) => NIGHT,
        _ => OAT,
    })
}

pub(crate) fn png(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png).expect("encoded");
    bytes.into_inner()
}

pub(crate) fn jpeg(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 100).encode_image(picture).expect("encoded");
    bytes
}

/// Puts an Exif segment with that orientation behind the start marker of a JPEG.
pub(crate) fn oriented(jpeg: &[u8], orientation: u8) -> Vec<u8> {
    // TIFF, big-endian, one entry: tag 0x0112, type SHORT, one value (TIFF 6.0 and Exif 2.3, from
    // memory).
    let tiff =
        [b'M', b'M', 0, 42, 0, 0, 0, 8, 0, 1, 1, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0, 0, 0, 0, 0];
    let mut segment = vec![0xff, 0xe1, 0, 2 + 6 + 26];
    segment.extend(b"Exif\0\0");
    segment.extend(tiff);
    [&jpeg[..2], &segment, &jpeg[2..]].concat()
}

/// How a picture that looks like `upright` is stored under an orientation. Exif 2.3 (from memory) names
/// for each the side of the upright picture at which the stored first row and first column lie.
pub(crate) fn stored(upright: &RgbImage, orientation: u8) -> RgbImage {
    let (width, height) = upright.dimensions();
    let (first_row, first_column) = match orientation {
        1 => ("top", "left"),
        2 => ("top", "right"),
        3 => ("bottom", "right"),
        4 => ("bottom", "left"),
        5 => ("left", "top"),
        6 => ("right", "top"),
        7 => ("right", "bottom"),
        _ => ("left", "bottom"),
    };
    let at = |side: &str, steps: u32| match side {
        "top" => (None, Some(steps)),
        "bottom" => (None, Some(height - 1 - steps)),
        "left" => (Some(steps), None),
        _ => (Some(width - 1 - steps), None),
    };
    let turned = orientation > 4;
    let (columns, rows) = if turned { (height, width) } else { (width, height) };
    RgbImage::from_fn(columns, rows, |column, row| {
        let (by_row, by_column) = (at(first_row, row), at(first_column, column));
        let x = by_row.0.or(by_column.0).expect("one of the two is a side");
        let y = by_row.1.or(by_column.1).expect("one of the two is top or bottom");
        *upright.get_pixel(x, y)
    })
}

/// A CMYK JPEG of one block, mid grey in every ink: baseline, all coefficients zero (ITU-T T.81 and
/// Adobe's APP14 marker, from memory).
pub(crate) fn cmyk_jpeg() -> Vec<u8> {
    let mut bytes = vec![0xff, 0xd8];
    let mut segment = |marker: u8, content: &[u8]| {
        let length = u16::try_from(content.len() + 2).expect("short");
        bytes.extend([0xff, marker]);
        bytes.extend(length.to_be_bytes());
        bytes.extend(content);
    };
    segment(0xee, b"Adobe\0\x64\0\0\0\0\0");
    segment(0xdb, &[&[0][..], &[1; 64]].concat());
    segment(0xc0, &[8, 0, 8, 0, 8, 4, 1, 0x11, 0, 2, 0x11, 0, 3, 0x11, 0, 4, 0x11, 0]);
    // One code of one bit, for "no difference" and for "end of block".
    for class in [0x00, 0x10] {
        segment(0xc4, &[&[class, 1][..], &[0; 15], &[0]].concat());
    }
    segment(0xda, &[4, 1, 0, 2, 0, 3, 0, 4, 0, 0, 63, 0]);
    bytes.extend([0x00, 0xff, 0xd9]);
    bytes
}

/// A PNG in the form that is wanted.
pub(crate) fn png_as(
    (width, height): (u32, u32),
    colour: png::ColorType,
    depth: png::BitDepth,
    palette: &[u8],
    data: &[u8],
) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(colour);
    encoder.set_depth(depth);
    if !palette.is_empty() {
        encoder.set_palette(palette.to_vec());
    }
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(data).expect("data");
    writer.finish().expect("an end");
    bytes
}

/// An indexed PNG of 8 bits: a chart.
pub(crate) fn indexed(width: u32, palette: &[[u8; 3]], cells: &[u8]) -> Vec<u8> {
    let height = u32::try_from(cells.len()).expect("small") / width;
    png_as((width, height), png::ColorType::Indexed, png::BitDepth::Eight, palette.as_flattened(), cells)
}

/// An animated PNG of two pictures.
pub(crate) fn animated(colour: png::ColorType, palette: &[u8], first: &[u8], second: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 4, 4);
    encoder.set_color(colour);
    if !palette.is_empty() {
        encoder.set_palette(palette.to_vec());
    }
    encoder.set_animated(2, 0).expect("animated");
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(first).expect("data");
    writer.write_image_data(second).expect("data");
    writer.finish().expect("an end");
    bytes
}

/// A PNG whose header promises a size and that holds next to nothing.
pub(crate) fn promised(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = png_as((1, 1), png::ColorType::Rgb, png::BitDepth::Eight, &[], &[0, 0, 0]);
    bytes[16..20].copy_from_slice(&width.to_be_bytes());
    bytes[20..24].copy_from_slice(&height.to_be_bytes());
    // The check sum of the chunk IHDR: CRC-32 as in PNG, third edition, annex D.
    let mut sum = u32::MAX;
    for &byte in &bytes[12..29] {
        sum ^= u32::from(byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 { (sum >> 1) ^ 0xedb8_8320 } else { sum >> 1 };
        }
    }
    bytes[29..33].copy_from_slice(&(!sum).to_be_bytes());
    bytes
}

/// A chart read by a decoder of its own: columns, palette, and cells from the top row down.
pub(crate) struct Read {
    pub(crate) columns: usize,
    pub(crate) palette: Vec<[u8; 3]>,
    pub(crate) cells: Vec<u8>,
}

impl Read {
    pub(crate) fn png(bytes: &[u8]) -> Self {
        let mut decoder = png::Decoder::new(Cursor::new(bytes));
        decoder.set_transformations(png::Transformations::IDENTITY);
        let mut reader = decoder.read_info().expect("a PNG");
        let info = reader.info();
        assert_eq!(info.color_type, png::ColorType::Indexed);
        let palette = info.palette.as_ref().expect("a palette").chunks_exact(3);
        let palette = palette.map(|c| [c[0], c[1], c[2]]).collect();
        let (columns, rows) = (info.width as usize, info.height as usize);
        let bits = info.bit_depth as usize;
        let mut data = vec![0; reader.output_buffer_size().expect("a size")];
        let line = reader.next_frame(&mut data).expect("pixels").line_size;
        let cell = |row: usize, column: usize| {
            let bit = column * bits;
            let byte = usize::from(data[row * line + bit / 8]);
            let value = (byte >> (8 - bits - bit % 8)) & ((1 << bits) - 1);
            u8::try_from(value).expect("at most eight bits")
        };
        let cells = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
        Self { columns, palette, cells: cells.map(|(row, column)| cell(row, column)).collect() }
    }

    pub(crate) fn rows(&self) -> usize {
        self.cells.len() / self.columns
    }

    /// Cells of a row counted from 1 at the bottom.
    pub(crate) fn row(&self, row: usize) -> &[u8] {
        let from_top = self.rows() - row;
        &self.cells[from_top * self.columns..][..self.columns]
    }
}

/// A chart that looks like noise in patches of two stitches, as CSV, the top row first: the same for
/// the same seed.
pub(crate) fn noise_csv(columns: usize, rows: usize, seed: u64) -> String {
    let colours = ["#f0e2c2", "#1c2444", "#a33a34"];
    let mut state = seed;
    let mut next = || {
        // Numerical Recipes' generator, from memory; any other would do.
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223) % (1 << 32);
        (state >> 16) as usize % colours.len()
    };
    let mut text = String::new();
    for _ in 0..rows {
        let line: Vec<&str> = (0..columns.div_ceil(2)).flat_map(|_| [colours[next()]; 2]).collect();
        text += &line[..columns].join(",");
        text += "\n";
    }
    text
}
