//! How well and how fast pictures become charts: colours without a list of yarns, the choice of
//! yarns from a long list, and large photographs. `cargo bench -p checks --bench charting` prints
//! the tables.
//!
//! The pictures are fixtures; the list of yarns is invented here. Ratios are of times taken in turn
//! in the same run.

#![allow(clippy::print_stdout)] // printing is what it is for

use std::env::args;
use std::fs;
use std::io::Cursor;
use std::time::{Duration, Instant};

use charting::{
    Area, Cells, Choice, Limits, Picture, average, chart_cells, choose, free_colours, read_picture, unwatched,
};
use checks::random::Rng;
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{PngDecoder, PngEncoder};
use image::imageops::{FilterType, crop_imm, resize};
use image::{ExtendedColorType, ImageDecoder, ImageEncoder, RgbImage};
use model::{ALIKE, Lab, Srgb, Yarn, delta_e_2000};
use quantette::deps::palette;
use quantette::{PaletteSize, Pipeline, QuantizeMethod};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

const COLUMNS: usize = 250;
const ROWS: usize = 200;
const COLOURS: usize = 12;
/// Everything is timed so many times; the best counts.
const TAKES: usize = 5;
/// Large photographs are compared with something in turn, so often.
const LARGE_TAKES: usize = 9;
/// Large photographs: their size, 24 megapixels.
const LARGE: (u32, u32) = (6000, 4000);
/// The most that charting may take, in times of bare decoding.
const BAR: f64 = 1.5;

/// Decodes a file bare.
type Decode = fn(&[u8]) -> Vec<u8>;

fn main() {
    // Test runners start benchmarks without this, to see whether there are tests in them.
    if !args().any(|argument| argument == "--bench") {
        return;
    }
    print_free();
    print_choice();
    print_large();
}

fn print_free() {
    println!("## {COLOURS} colours without yarns, {COLUMNS} × {ROWS} cells\n");
    println!("| picture | method | mean CIEDE2000 | 95 % | bar | ms |");
    println!("|---|---|---:|---:|---:|---:|");
    // The bars are 3.3 and 4.3; the first picture gets a little noise, the second has its own.
    for (file, noise, bar) in [("coffee.png", 4, 3.3), ("flower.jpg", 0, 4.3)] {
        let reference = reference(file, noise);
        let cells = one_by_one(&reference);
        let lab = cells.lab();
        let print = |method: &str, colours: &[Srgb], time: Duration| {
            let (mean, most) = errors(&lab, colours);
            println!("| {file} | {method} | {mean:.2} | {most:.2} | {bar} | {:.1} |", ms(time));
        };
        let (colours, time) =
            best(|| free_colours(&cells, COLOURS, &mut unwatched).expect("twelve can be chosen"));
        print("ours", &colours, time);
        assert!(errors(&lab, &colours).0 <= bar, "{file}");
        let pixels: Vec<palette::Srgb<u8>> =
            reference.pixels().map(|pixel| palette::Srgb::new(pixel[0], pixel[1], pixel[2])).collect();
        for (name, method) in
            [("quantette, k-means in Oklab", QuantizeMethod::kmeans()), ("quantette, Wu", QuantizeMethod::Wu)]
        {
            let pipeline = Pipeline::new()
                .palette_size(PaletteSize::from_u8_clamped(12))
                .ditherer(None)
                .quantize_method(method);
            let (found, time) = best(|| {
                let pipeline = pipeline.clone().input_slice(&pixels).expect("there are pixels");
                pipeline.output_srgb8_palette().into_vec()
            });
            let colours: Vec<Srgb> =
                found.into_iter().map(|colour| Srgb::new(colour.red, colour.green, colour.blue)).collect();
            print(name, &colours, time);
        }
    }
    println!();
}

/// The picture that errors are measured against: a fixture enlarged to 3000 × 2000, kept as JPEG of
/// quality 92 as a camera would, its left 2500 × 2000 made small, all by Lanczos.
fn reference(file: &str, noise: usize) -> RgbImage {
    let mut large = enlarged(file, (3000, 2000), noise);
    let bytes = jpeg(&large, 92);
    let picture = read_picture(&bytes, &Limits::default()).expect("a JPEG file just made").value;
    large = raster(&picture);
    let left = crop_imm(&large, 0, 0, 2500, 2000).to_image();
    resize(&left, side(COLUMNS), side(ROWS), FilterType::Lanczos3)
}

fn print_choice() {
    println!("## Choosing of 500 yarns, {COLUMNS} × {ROWS} cells\n");
    println!("| picture | yarns chosen | mean CIEDE2000 | look alike | ms |");
    println!("|---|---:|---:|---:|---:|");
    let yarns = yarns(500);
    for file in ["coffee.png", "chelsea.png", "flower.jpg"] {
        let picture = fixture(file);
        let area = Area::whole(picture.width(), picture.height());
        let cells = average(&picture, area, COLUMNS, ROWS, &mut unwatched).expect("nobody stops it");
        for count in [8, 12, 24] {
            let (chosen, time) = best(|| {
                choose(&cells, &yarns, &Choice::of(count), &mut unwatched).expect("they can be chosen").value
            });
            let colours: Vec<Srgb> = chosen.iter().map(|&at| yarns[at].colour).collect();
            let pairs = (0..colours.len()).flat_map(|one| (0..one).map(move |two| (one, two)));
            let alike =
                pairs.filter(|&(one, two)| delta_e_2000(colours[one].lab(), colours[two].lab()) < ALIKE);
            let (mean, alike) = (errors(&cells.lab(), &colours).0, alike.count());
            println!("| {file} | {} | {mean:.2} | {alike} | {:.0} |", chosen.len(), ms(time));
        }
    }
    println!();
}

fn print_large() {
    println!(
        "## Photographs of {} × {} pixels, {COLUMNS} × {ROWS} cells, {COLOURS} yarns\n",
        LARGE.0, LARGE.1
    );
    println!(
        "| file | MB | bare decoding, ms | reading, ms | scaling, ms | charting, ms | all ÷ bare | bar |"
    );
    println!("|---|---:|---:|---:|---:|---:|---:|---:|");
    let yarns = yarns(COLOURS);
    let (smooth, grainy) = (enlarged("chelsea.png", LARGE, 6), enlarged("chelsea.png", LARGE, 24));
    let files: [(&str, Vec<u8>, Decode); 3] = [
        ("JPEG, quality 90, smooth", jpeg(&smooth, 90), bare_jpeg),
        ("JPEG, quality 90, grainy", jpeg(&grainy, 90), bare_jpeg),
        ("PNG, smooth", png(&smooth), bare_png),
    ];
    for (name, bytes, bare) in files {
        // In turn, so that both meet the same neighbours; the best of each counts.
        let mut least = [Duration::MAX; 5];
        for _ in 0..LARGE_TAKES {
            let (pixels, decoding) = timed(|| bare(&bytes));
            assert_eq!(pixels.len(), LARGE.0 as usize * LARGE.1 as usize * 3);
            let start = Instant::now();
            let (picture, reading) =
                timed(|| read_picture(&bytes, &Limits::default()).expect("a picture just made").value);
            let area = Area::whole(picture.width(), picture.height());
            let (cells, scaling) =
                timed(|| average(&picture, area, COLUMNS, ROWS, &mut unwatched).expect("nobody stops it"));
            let (_, charting) =
                timed(|| chart_cells(&cells, &yarns, &mut unwatched).expect("cells make a chart"));
            let all = start.elapsed();
            for (least, time) in least.iter_mut().zip([decoding, reading, scaling, charting, all]) {
                *least = time.min(*least);
            }
        }
        let [decoding, reading, scaling, charting, all] = least.map(ms);
        println!(
            "| {name} | {:.1} | {decoding:.0} | {reading:.0} | {scaling:.0} | {charting:.0} | {:.2} | {BAR} |",
            bytes.len() as f64 / 1e6,
            all / decoding
        );
    }
}

fn bare_jpeg(bytes: &[u8]) -> Vec<u8> {
    let options = DecoderOptions::default().jpeg_set_out_colorspace(ColorSpace::RGB);
    JpegDecoder::new_with_options(ZCursor::new(bytes), options).decode().expect("a JPEG file just made")
}

fn bare_png(bytes: &[u8]) -> Vec<u8> {
    let decoder = PngDecoder::new(Cursor::new(bytes)).expect("a PNG file just made");
    let mut pixels = vec![0; usize::try_from(decoder.total_bytes()).expect("it fits into memory")];
    decoder.read_image(&mut pixels).expect("a PNG file just made");
    pixels
}

/// Mean and 95th percentile of the differences to the nearest colour.
fn errors(cells: &[Lab], colours: &[Srgb]) -> (f64, f64) {
    let colours: Vec<Lab> = colours.iter().map(|colour| colour.lab()).collect();
    let nearest =
        |cell: &Lab| colours.iter().map(|&colour| delta_e_2000(*cell, colour)).fold(f64::INFINITY, f64::min);
    let mut differences: Vec<f64> = cells.iter().map(nearest).collect();
    differences.sort_by(f64::total_cmp);
    (differences.iter().sum::<f64>() / cells.len() as f64, differences[cells.len() * 95 / 100])
}

/// Yarns of invented colours, spread over what dyes can do: the pure ones are rare.
fn yarns(count: usize) -> Vec<Yarn> {
    let mut rng = Rng::new(4);
    let yarn = |at: usize| {
        let (grey, share) = (rng.byte(), rng.below(100));
        let mut channel = || {
            let pure = usize::from(rng.byte());
            u8::try_from((pure * share + usize::from(grey) * (100 - share)) / 100).expect("a mean of bytes")
        };
        Yarn::plain(format!("y{at}"), format!("yarn {at}"), Srgb::new(channel(), channel(), channel()))
    };
    (0..count).map(yarn).collect()
}

fn fixture(file: &str) -> Picture {
    let path = format!("{}/../fixtures/{file}", env!("CARGO_MANIFEST_DIR"));
    let bytes = fs::read(path).expect("the fixture is there");
    read_picture(&bytes, &Limits::default()).expect("the fixture is a picture").value
}

fn raster(picture: &Picture) -> RgbImage {
    let pixels = (0..picture.height()).flat_map(|y| picture.row(y).iter().copied()).collect();
    RgbImage::from_raw(side(picture.width()), side(picture.height()), pixels).expect("rows of that width")
}

fn one_by_one(image: &RgbImage) -> Cells {
    let (width, height) = (image.width() as usize, image.height() as usize);
    let picture = Picture::new(width, height, image.as_raw().clone()).expect("three bytes a pixel");
    average(&picture, Area::whole(width, height), width, height, &mut unwatched).expect("nobody stops it")
}

/// A fixture made large, each channel shifted by up to half of `noise` either way.
fn enlarged(file: &str, (width, height): (u32, u32), noise: usize) -> RgbImage {
    let mut large = resize(&raster(&fixture(file)), width, height, FilterType::Lanczos3);
    let mut rng = Rng::new(24);
    if noise > 0 {
        for channel in large.iter_mut() {
            let shifted = usize::from(*channel) + rng.below(noise + 1);
            *channel = u8::try_from(shifted.saturating_sub(noise / 2).min(255)).expect("at most 255");
        }
    }
    large
}

fn jpeg(image: &RgbImage, quality: u8) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoded = JpegEncoder::new_with_quality(&mut bytes, quality).write_image(
        image.as_raw(),
        image.width(),
        image.height(),
        ExtendedColorType::Rgb8,
    );
    encoded.expect("a picture can be written");
    bytes
}

fn png(image: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    let (width, height) = image.dimensions();
    let encoded =
        PngEncoder::new(&mut bytes).write_image(image.as_raw(), width, height, ExtendedColorType::Rgb8);
    encoded.expect("a picture can be written");
    bytes
}

fn side(length: usize) -> u32 {
    u32::try_from(length).expect("a side of a picture")
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let value = work();
    (value, start.elapsed())
}

fn best<T>(mut work: impl FnMut() -> T) -> (T, Duration) {
    (0..TAKES).map(|_| timed(&mut work)).min_by_key(|(_, time)| *time).expect("there are takes")
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}
