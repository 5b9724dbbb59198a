//! EXIF orientation is obeyed.

// The whole file is tests, its helpers too.
#![allow(clippy::unwrap_used)]

use charting::{Limits, Picture, read_picture};
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType as Colour, ImageEncoder};

/// Where the first row and the first column of the stored pixels are in the picture as seen.
#[derive(Clone, Copy)]
enum At {
    Top,
    Bottom,
    Left,
    Right,
}

/// Source: Exif 2.3 (JEITA CP-3451), tag Orientation (274), values 1 to 8: "the 0th row is at …,
/// the 0th column is at …" (from memory).
const ORIENTATIONS: [(At, At); 8] = [
    (At::Top, At::Left),
    (At::Top, At::Right),
    (At::Bottom, At::Right),
    (At::Bottom, At::Left),
    (At::Left, At::Top),
    (At::Right, At::Top),
    (At::Right, At::Bottom),
    (At::Left, At::Bottom),
];

const WIDTH: usize = 48;
const HEIGHT: usize = 32;

/// The picture as it should be seen: six squares of sixteen pixels, no two alike.
fn seen(x: usize, y: usize) -> [u8; 3] {
    let colours =
        [[220, 30, 30], [30, 200, 30], [30, 30, 220], [230, 230, 40], [20, 20, 20], [240, 240, 240]];
    colours[y / 16 * 3 + x / 16]
}

/// The pixels as stored under an orientation, with their width and height.
fn stored(orientation: usize) -> (Vec<u8>, usize, usize) {
    let (row0, column0) = ORIENTATIONS[orientation - 1];
    let sideways = matches!(row0, At::Left | At::Right);
    let (width, height) = if sideways { (HEIGHT, WIDTH) } else { (WIDTH, HEIGHT) };
    let mut pixels = Vec::new();
    for row in 0..height {
        for column in 0..width {
            let (mut x, mut y) = (0, 0);
            for (side, step) in [(row0, row), (column0, column)] {
                match side {
                    At::Top => y = step,
                    At::Bottom => y = HEIGHT - 1 - step,
                    At::Left => x = step,
                    At::Right => x = WIDTH - 1 - step,
                }
            }
            pixels.extend(seen(x, y));
        }
    }
    (pixels, width, height)
}

/// EXIF data with nothing but an orientation, in either order of bytes.
fn exif(orientation: u16, big: bool) -> Vec<u8> {
    let two = |v: u16| if big { v.to_be_bytes() } else { v.to_le_bytes() };
    let four = |v: u32| if big { v.to_be_bytes() } else { v.to_le_bytes() };
    [
        if big { b"MM".as_slice() } else { b"II" },
        &two(42),
        &four(8), // the first directory follows
        &two(1),  // it has one entry
        &two(274),
        &two(3), // a 16-bit number
        &four(1),
        &two(orientation),
        &[0; 6], // filling, and no further directory
    ]
    .concat()
}

fn jpeg(pixels: &[u8], width: usize, height: usize, exif: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let side = |n: usize| u32::try_from(n).unwrap();
    JpegEncoder::new_with_quality(&mut bytes, 100)
        .write_image(pixels, side(width), side(height), Colour::Rgb8)
        .unwrap();
    let segment = [b"Exif\0\0".as_slice(), exif].concat();
    let length = u16::try_from(segment.len() + 2).unwrap().to_be_bytes();
    [&bytes[..2], &[0xff, 0xe1], &length, &segment, &bytes[2..]].concat()
}

fn check(picture: &Picture, what: &str) {
    assert_eq!((picture.width(), picture.height()), (WIDTH, HEIGHT), "{what}");
    for y in 0..HEIGHT {
        for x in 0..WIDTH {
            let got = picture.pixel(x, y);
            for (a, b) in [got.red, got.green, got.blue].into_iter().zip(seen(x, y)) {
                assert!(a.abs_diff(b) <= 4, "{what}: {got} at {x}, {y}");
            }
        }
    }
}

#[test]
fn every_orientation_gives_the_same_upright_picture() {
    for orientation in 1..=8 {
        let (pixels, width, height) = stored(orientation);
        for big in [false, true] {
            let data = exif(u16::try_from(orientation).unwrap(), big);
            let got = read_picture(&jpeg(&pixels, width, height, &data), &Limits::default()).unwrap();
            check(&got.value, &format!("JPEG, orientation {orientation}"));
            assert_eq!(got.notes, Vec::<String>::new());

            let mut bytes = Vec::new();
            let mut encoder = PngEncoder::new(&mut bytes);
            encoder.set_exif_metadata(data).unwrap();
            let side = |n: usize| u32::try_from(n).unwrap();
            encoder.write_image(&pixels, side(width), side(height), Colour::Rgb8).unwrap();
            check(&read_picture(&bytes, &Limits::default()).unwrap().value, &format!("PNG, {orientation}"));
        }
    }
}

#[test]
fn nonsense_in_the_data_leaves_the_picture_as_it_is() {
    let (pixels, width, height) = stored(1);
    let whole = exif(6, true);
    for data in
        [exif(0, true), exif(9, false), whole[..12].to_vec(), b"MM\0\x2a\xff\xff\xff\xff".to_vec(), vec![]]
    {
        let got = read_picture(&jpeg(&pixels, width, height, &data), &Limits::default()).unwrap();
        check(&got.value, &format!("{data:?}"));
    }
}
