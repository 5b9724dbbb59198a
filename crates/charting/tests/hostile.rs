//! Pictures that are broken, odd or made to do harm. All are built here, byte by byte where no
//! encoder makes them.

// The whole file is tests, its helpers too.
#![allow(clippy::unwrap_used)]

use charting::{Kind, Limits, Noted, Picture, PictureError};
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::codecs::webp::WebPEncoder;
use image::{ExtendedColorType as Colour, ImageEncoder};
use model::Srgb;
use proptest::prelude::*;

fn read(bytes: &[u8]) -> Result<Noted<Picture>, PictureError> {
    charting::read_picture(bytes, &Limits::default())
}

fn refused(bytes: &[u8]) -> PictureError {
    let error = read(bytes).expect_err("such bytes must be refused");
    assert!(!error.to_string().is_empty() && !error.hint().is_empty());
    error
}

/// Pixels that look like chance, so that files hold data all the way through.
fn noise(bytes: usize) -> Vec<u8> {
    let mut state = 12_345u32;
    (0..bytes)
        .map(|_| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            state.to_be_bytes()[0]
        })
        .collect()
}

fn png(pixels: &[u8], width: u32, height: u32, colour: Colour) -> Vec<u8> {
    let mut bytes = Vec::new();
    PngEncoder::new(&mut bytes).write_image(pixels, width, height, colour).unwrap();
    bytes
}

fn webp(pixels: &[u8], width: u32, height: u32, colour: Colour) -> Vec<u8> {
    let mut bytes = Vec::new();
    WebPEncoder::new_lossless(&mut bytes).write_image(pixels, width, height, colour).unwrap();
    bytes
}

fn jpeg(pixels: &[u8], width: u32, height: u32, colour: Colour) -> Vec<u8> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 95).write_image(pixels, width, height, colour).unwrap();
    bytes
}

/// A PNG chunk: length, type, data, checksum (PNG specification, section 5.3, from memory).
fn chunk(name: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let body = [name.as_slice(), data].concat();
    let mut crc = u32::MAX;
    for byte in &body {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { crc >> 1 ^ 0xedb8_8320 } else { crc >> 1 };
        }
    }
    [&u32::try_from(data.len()).unwrap().to_be_bytes(), body.as_slice(), &(!crc).to_be_bytes()].concat()
}

/// A PNG with more chunks behind its header chunk, which ends at byte 33.
fn with_chunks(png: &[u8], chunks: &[Vec<u8>]) -> Vec<u8> {
    [&png[..33], &chunks.concat(), &png[33..]].concat()
}

/// A chunk of a WebP file (RIFF: type, little-endian length, data, filled up to an even length).
fn riff(name: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let mut bytes = [name.as_slice(), &u32::try_from(data.len()).unwrap().to_le_bytes(), data].concat();
    if data.len() % 2 == 1 {
        bytes.push(0);
    }
    bytes
}

fn three(value: u32) -> [u8; 3] {
    let [a, b, c, _] = value.to_le_bytes();
    [a, b, c]
}

/// An extended WebP header: flags and canvas size less one.
fn vp8x(flags: u8, width: u32, height: u32) -> Vec<u8> {
    riff(b"VP8X", &[[flags, 0, 0, 0].as_slice(), &three(width - 1), &three(height - 1)].concat())
}

fn webp_of(chunks: &[Vec<u8>]) -> Vec<u8> {
    riff(b"RIFF", &[b"WEBP".to_vec(), chunks.concat()].concat())
}

#[test]
fn what_is_no_picture_is_named() {
    assert_eq!(refused(b""), PictureError::Empty);
    assert_eq!(refused(b"Row 1: 24 A, 3 B"), PictureError::NotAPicture(Some(Kind::Text)));
    assert_eq!(refused(&[1, 2, 3, 4, 5]), PictureError::NotAPicture(None));
    let heic = refused(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic");
    assert_eq!(heic.to_string(), "this is a HEIC file, which is not read here");
    assert_eq!(heic.hint(), "save it as JPEG or PNG, then use that");
    for (bytes, kind) in [
        (b"GIF89a\x01\0\x01\0".as_slice(), Kind::Gif),
        (b"%PDF-1.7\n", Kind::Pdf),
        (b"II*\0\x08\0\0\0", Kind::Tiff),
        (b"\0\0\0\x1cftypavif\0\0\0\0", Kind::Avif),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", Kind::Svg),
    ] {
        assert_eq!(refused(bytes), PictureError::OtherKind(kind));
    }
}

#[test]
fn a_file_cut_anywhere_is_never_a_picture_in_silence() {
    let pixels = noise(48 * 40 * 3);
    let files = [
        (Kind::Png, png(&pixels, 48, 40, Colour::Rgb8)),
        (Kind::Jpeg, jpeg(&pixels, 48, 40, Colour::Rgb8)),
        (Kind::WebP, webp(&pixels, 48, 40, Colour::Rgb8)),
    ];
    for (kind, bytes) in files {
        assert_eq!(read(&bytes).unwrap().notes, Vec::<String>::new());
        // A PNG is whole as soon as its pixels are: its empty last chunk may be missing.
        let least = if kind == Kind::Png { bytes.len() - 16 } else { bytes.len() };
        for cut in (12..least).step_by(7) {
            assert_eq!(refused(&bytes[..cut]), PictureError::Truncated(kind), "{kind} cut at {cut}");
        }
    }
}

/// Data lost in the middle and an end marker all the same: a decoder would paint the rest grey.
/// Only a loss within the very last block of eight by eight pixels can pass unnoticed.
#[test]
fn a_jpeg_with_a_hole_before_its_end_is_noted() {
    for colour in [Colour::Rgb8, Colour::L8] {
        let pixels = noise(64 * 64 * if colour == Colour::L8 { 1 } else { 3 });
        let bytes = jpeg(&pixels, 64, 64, colour);
        let whole = read(&bytes).unwrap().value;
        let start = bytes.windows(2).position(|pair| pair == [0xff, 0xda]).unwrap() + 20;
        let mut noted = 0;
        for cut in (start..bytes.len() - 2).step_by(29) {
            // Not between a stuffed byte and what it guards.
            let cut = if bytes[cut - 1] == 0xff { cut + 1 } else { cut };
            let mended = [&bytes[..cut], &[0xff, 0xd9]].concat();
            match read(&mended) {
                Ok(got) if got.notes.is_empty() => {
                    let all = (0..64 * 64).map(|at| (at % 64, at / 64));
                    let wrong = all.filter(|&(x, y)| got.value.pixel(x, y) != whole.pixel(x, y));
                    assert!(
                        wrong.clone().all(|(x, y)| x >= 56 && y >= 56),
                        "cut at {cut}: {:?}",
                        wrong.collect::<Vec<_>>()
                    );
                }
                Ok(got) => {
                    assert!(got.notes[0].contains("damaged or cut short"), "{:?}", got.notes);
                    noted += 1;
                }
                Err(error) => {
                    assert!(matches!(error, PictureError::Damaged { .. } | PictureError::Truncated(_)));
                    noted += 1;
                }
            }
        }
        assert!(noted > 100, "{noted}");
    }
}

#[test]
fn a_giant_is_refused_by_its_header() {
    let header = [60_000u32.to_be_bytes(), 60_000u32.to_be_bytes()].concat();
    let header = [header.as_slice(), &[8, 2, 0, 0, 0]].concat();
    let giant = [b"\x89PNG\r\n\x1a\n".to_vec(), chunk(b"IHDR", &header)].concat();
    let [high, low] = 60_000u16.to_be_bytes();
    let mut wide = jpeg(&noise(8 * 8), 8, 8, Colour::L8);
    let frame = wide.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    wide[frame + 5..frame + 9].copy_from_slice(&[high, low, high, low]);
    let small = webp(&noise(8 * 8 * 3), 8, 8, Colour::Rgb8);
    let canvas = webp_of(&[vp8x(0, 60_000, 60_000), small[12..].to_vec()]);
    for bytes in [giant, wide, canvas] {
        match refused(&bytes) {
            PictureError::TooLarge { width: 60_000, height: 60_000, .. } => {}
            other => panic!("{other:?}"),
        }
    }
    let error = PictureError::TooLarge { width: 60_000, height: 60_000, limits: Limits::default() };
    assert!(error.to_string().contains("40000 either way and 100 million"), "{error}");
}

#[test]
fn limits_are_the_callers() {
    let bytes = png(&noise(20 * 10 * 3), 20, 10, Colour::Rgb8);
    let at = |limits: Limits| charting::read_picture(&bytes, &limits).is_ok();
    let limits = Limits { side: 20, pixels: 200, bytes: 600, ..Limits::default() };
    assert!(at(limits));
    for tight in
        [Limits { side: 19, ..limits }, Limits { pixels: 199, ..limits }, Limits { bytes: 599, ..limits }]
    {
        assert!(!at(tight), "{tight:?}");
    }
}

/// By hand: half-covered white over black is half the light, 188 in sRGB.
#[test]
fn transparency_becomes_the_background_and_is_noted() {
    let pixels = [0, 0, 0, 0, 255, 255, 255, 128, 9, 9, 9, 255];
    for bytes in [png(&pixels, 3, 1, Colour::Rgba8), webp(&pixels, 3, 1, Colour::Rgba8)] {
        let got = read(&bytes).unwrap();
        assert_eq!([0, 1, 2].map(|x| got.value.pixel(x, 0).green), [255, 255, 9]);
        assert!(got.notes[0].contains("transparent in places: they are taken as white"), "{:?}", got.notes);
        let black = Limits { background: Srgb::new(0, 0, 0), ..Limits::default() };
        let got = charting::read_picture(&bytes, &black).unwrap();
        assert_eq!([0, 1, 2].map(|x| got.value.pixel(x, 0).green), [0, 188, 9]);
        assert!(got.notes[0].contains("#000000"), "{:?}", got.notes);
    }
    let opaque = png(&[1, 2, 3, 255], 1, 1, Colour::Rgba8);
    assert_eq!(read(&opaque).unwrap(), Noted::plain(Picture::new(1, 1, vec![1, 2, 3]).unwrap()));
}

#[test]
fn grey_and_sixteen_bits_are_taken() {
    let grey = read(&png(&[0, 128, 255], 3, 1, Colour::L8)).unwrap();
    assert_eq!(grey, Noted::plain(Picture::new(3, 1, [[0; 3], [128; 3], [255; 3]].concat()).unwrap()));
    let deep: Vec<u8> = [0u16, 32_896, 65_535].into_iter().flat_map(u16::to_ne_bytes).collect();
    let got = read(&png(&deep, 3, 1, Colour::L16)).unwrap();
    assert_eq!(got.value, grey.value);
    assert!(got.notes[0].contains("16 bits a channel"), "{:?}", got.notes);
    let got = read(&png(&deep, 1, 1, Colour::Rgb16)).unwrap();
    assert_eq!(got.value.pixel(0, 0), Srgb::new(0, 128, 255));
    let alpha: Vec<u8> = [0u16, 0].into_iter().flat_map(u16::to_ne_bytes).collect();
    assert_eq!(read(&png(&alpha, 1, 1, Colour::La16)).unwrap().notes.len(), 2);
    let grey = read(&jpeg(&[90; 64], 8, 8, Colour::L8)).unwrap();
    assert_eq!(grey.value.pixel(3, 3), Srgb::new(90, 90, 90));
}

#[test]
fn a_colour_profile_that_is_not_srgb_is_noted() {
    let with = |profile: &[u8]| {
        let mut bytes = Vec::new();
        let mut encoder = PngEncoder::new(&mut bytes);
        encoder.set_icc_profile(profile.to_vec()).unwrap();
        encoder.write_image(&[5; 3], 1, 1, Colour::Rgb8).unwrap();
        read(&bytes).unwrap().notes
    };
    assert!(with(b"desc\0\0\0\0Wide Invented RGB")[0].contains("colour profile that is not sRGB"));
    assert_eq!(with(b"desc\0\0\0\0sRGB IEC61966-2.1"), Vec::<String>::new());
    assert_eq!(with(b"mluc\0s\0R\0G\0B\0"), Vec::<String>::new());
}

/// An APNG shows its first picture to every PNG reader (PNG specification, third edition, from
/// memory): an animation control chunk ahead of the pixels, a frame control chunk for each frame.
#[test]
fn of_an_animated_png_the_first_picture_is_taken() {
    let still = png(&[200, 10, 10], 1, 1, Colour::Rgb8);
    let control = chunk(b"acTL", &[0, 0, 0, 1, 0, 0, 0, 0]);
    let frame = [[0u32, 1, 1, 0, 0].map(u32::to_be_bytes).concat(), vec![0, 1, 0, 10, 0, 0]].concat();
    let got = read(&with_chunks(&still, &[control, chunk(b"fcTL", &frame)])).unwrap();
    assert_eq!(got.value.pixel(0, 0), Srgb::new(200, 10, 10));
    assert!(got.notes[0].contains("animation: its first picture"), "{:?}", got.notes);
}

/// WebP container specification (from memory): a frame holds its place and size, halved or less
/// one, its duration, flags and a picture chunk.
#[test]
fn of_an_animated_webp_the_first_picture_is_taken() {
    let frame = |pixel: [u8; 3]| {
        let still = webp(&pixel.repeat(4), 2, 2, Colour::Rgb8);
        let head = [three(0), three(0), three(1), three(1), three(100)].concat();
        riff(b"ANMF", &[head.as_slice(), &[0b10], &still[12..]].concat())
    };
    let bytes =
        webp_of(&[vp8x(0b10, 2, 2), riff(b"ANIM", &[0; 6]), frame([10, 200, 10]), frame([200, 10, 10])]);
    let got = read(&bytes).unwrap();
    assert_eq!(got.value.pixel(1, 1), Srgb::new(10, 200, 10));
    assert!(got.notes[0].contains("animation: its first picture"), "{:?}", got.notes);
}

/// A JPEG of eight by eight pixels, flat, made bit by bit: one block for each component, its mean
/// and nothing else. Source: ITU-T T.81 (from memory).
fn flat(frame: u8, means: &[u8], scans: &[&str], adobe: bool) -> Vec<u8> {
    let count = u8::try_from(means.len()).unwrap();
    let mut bytes = vec![0xff, 0xd8];
    if adobe {
        bytes.extend(b"\xff\xee\0\x0eAdobe\0\x64\0\0\0\0\0");
    }
    // Quantiser 8 everywhere: a block's mean coefficient is then the mean less 128.
    bytes.extend([0xff, 0xdb, 0, 67, 0]);
    bytes.extend([8; 64]);
    bytes.extend([0xff, frame, 0, 8 + 3 * count, 8, 0, 8, 0, 8, count]);
    (1..=count).for_each(|id| bytes.extend([id, 0x11, 0]));
    // Codes: 00 for a difference of 0, 01 for one of seven bits; 0 for "no more coefficients".
    bytes.extend([0xff, 0xc4, 0, 21, 0x00, 0, 2, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 7]);
    bytes.extend([0xff, 0xc4, 0, 20, 0x10, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
    for scan in scans {
        bytes.extend([0xff, 0xda, 0, 6 + 2 * count, count]);
        (1..=count).for_each(|id| bytes.extend([id, 0x00]));
        bytes.extend(match *scan {
            "all" => [0, 63, 0],
            "mean" => [0, 0, 0],
            _ => [1, 63, 0],
        });
        let mut bits = String::new();
        for mean in means {
            if *scan != "rest" {
                let difference = i32::from(*mean) - 128;
                match difference {
                    0 => bits += "00",
                    d if d >= 64 => bits += &format!("01{d:07b}"),
                    d => bits += &format!("01{:07b}", d + 127),
                }
            }
            if *scan != "mean" {
                bits += "0";
            }
        }
        while !bits.len().is_multiple_of(8) {
            bits += "1";
        }
        bytes.extend(
            bits.as_bytes()
                .chunks(8)
                .map(|byte| byte.iter().fold(0u8, |value, bit| value << 1 | (bit - b'0'))),
        );
    }
    bytes.extend([0xff, 0xd9]);
    bytes
}

/// Inks are stored turned round in such files, so a channel is its ink times black, over 255
/// (Adobe technical note 5116, from memory): 228 · 228 / 255 = 204, 28 · 228 / 255 = 25, 128 · 228 / 255 = 114.
#[test]
fn printing_inks_are_converted_and_noted() {
    let got = read(&flat(0xc0, &[228, 28, 128, 228], &["all"], true)).unwrap();
    let Srgb { red, green, blue } = got.value.pixel(4, 4);
    for (channel, wanted) in [(red, 204), (green, 25), (blue, 114)] {
        assert!(channel.abs_diff(wanted) <= 2, "{:?}", got.value.pixel(4, 4));
    }
    assert!(got.notes[0].contains("printing inks"), "{:?}", got.notes);
}

#[test]
fn a_progressive_jpeg_is_read_and_missed_scans_are_not_overlooked() {
    let got = read(&flat(0xc2, &[228], &["mean", "rest"], false)).unwrap();
    assert_eq!(got, Noted::plain(Picture::new(8, 8, vec![228; 192]).unwrap()));
    assert_eq!(refused(&flat(0xc2, &[228], &["mean"], false)), PictureError::Truncated(Kind::Jpeg));
    // The same picture in one scan, to show that the maker of these files is sound.
    assert_eq!(read(&flat(0xc0, &[28], &["all"], false)).unwrap().value.pixel(0, 0), Srgb::new(28, 28, 28));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    /// Whatever the bytes: an answer, never a panic, and never a picture beyond the limits.
    #[test]
    fn mangled_files_get_an_answer(
        which in 0usize..4,
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        cut in any::<prop::sample::Index>(),
        keep in any::<bool>(),
    ) {
        let mut bytes = match which {
            0 => png(&noise(16 * 16 * 4), 16, 16, Colour::Rgba8),
            1 => jpeg(&noise(16 * 16 * 3), 16, 16, Colour::Rgb8),
            2 => webp(&noise(16 * 16 * 4), 16, 16, Colour::Rgba8),
            _ => flat(0xc2, &[100], &["mean", "rest"], true),
        };
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if !keep {
            bytes.truncate(cut.index(bytes.len()));
        }
        let limits = Limits { side: 500, pixels: 100_000, ..Limits::default() };
        if let Ok(noted) = charting::read_picture(&bytes, &limits) {
            prop_assert!(noted.value.width() * noted.value.height() <= 100_000);
        }
    }
}
