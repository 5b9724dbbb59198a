//! The fabric in small: what the finished piece looks like from across the room.

use image::ImageEncoder;
use image::codecs::png::PngEncoder;
use model::{Chart, Gauge, RowIndex, Side};

use crate::PictureError;

/// Samples either way in a pixel.
const SAMPLES: u32 = 3;
/// How much darker, in linear light, a stitch is at its darkest: along its slant and in the groove
/// below it. Chosen by eye; colours must stay what they are.
const SLANT: f64 = 0.16;
const GROOVE: f64 = 0.12;
/// The widest stitch in pixels: a tiny chart is not blown up to blocks.
const WIDEST: f64 = 24.0;

/// Draws the fabric as a PNG in the proportions of the finished piece, its longest side at most so
/// many pixels. Stitches lean one way on right-side rows and the other way on wrong-side rows, as
/// single crochet worked in turned rows does.
///
/// # Errors
/// When the picture can't be encoded.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // pixels
pub fn fabric_thumbnail(chart: &Chart, gauge: &Gauge, longest: u32) -> Result<Vec<u8>, PictureError> {
    let (columns, rows) = (chart.columns() as f64, chart.rows() as f64);
    // Height of the piece where its width is the columns.
    let tall = rows * gauge.stitches() / gauge.rows();
    let scale = (f64::from(longest.max(1)) / columns.max(tall)).min(WIDEST);
    let side = |extent: f64| (extent * scale).round().clamp(1.0, f64::from(longest.max(1))) as u32;
    let (width, height) = (side(columns), side(tall));

    let linear: Vec<[f64; 3]> = chart.palette().yarns().iter().map(|yarn| yarn.colour.linear()).collect();
    // Where each sample lies along a side: which stitch or row, and how far into it.
    let along = |pixels: u32, cells: usize| -> Vec<(usize, f64)> {
        let step = cells as f64 / f64::from(pixels * SAMPLES);
        (0..pixels * SAMPLES)
            .map(|sample| {
                let at = (f64::from(sample) + 0.5) * step;
                let cell = (at as usize).min(cells - 1);
                (cell, at - cell as f64)
            })
            .collect()
    };
    let (across, down) = (along(width, chart.columns()), along(height, chart.rows()));
    let mut light = vec![[0.0; 3]; (width * height) as usize];
    for (y, &(from_top, below)) in (0..).zip(&down) {
        let row = RowIndex(chart.rows() - 1 - from_top);
        let cells = chart.row(row);
        let leans = if row.side() == Side::Right { below } else { 1.0 - below };
        let line = &mut light[(y / SAMPLES * width) as usize..][..width as usize];
        for (x, &(column, into)) in (0..).zip(&across) {
            let shade = shade((into + leans) % 1.0, below);
            let pixel = &mut line[(x / SAMPLES) as usize];
            for (sum, part) in pixel.iter_mut().zip(linear[cells[column].index()]) {
                *sum += part * shade;
            }
        }
    }
    let steps = encoder();
    let bytes: Vec<u8> = light
        .iter()
        .flatten()
        .map(|sum| steps[(sum / f64::from(SAMPLES * SAMPLES) * (steps.len() - 1) as f64) as usize])
        .collect();
    let mut png = Vec::new();
    PngEncoder::new(&mut png)
        .write_image(&bytes, width, height, image::ExtendedColorType::Rgb8)
        .map_err(|error| PictureError::Encoding(error.to_string()))?;
    Ok(png)
}

/// How much of its light a place of a stitch gives, up to 1: darker beside the slant, and towards the
/// row below.
fn shade(beside_slant: f64, below: f64) -> f64 {
    let slant = (2.0 * beside_slant - 1.0).abs();
    (1.0 - SLANT * slant) * (1.0 - GROOVE * below * below)
}

/// Linear light, 0 to 1 in even steps, as bytes of sRGB.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 255
fn encoder() -> Vec<u8> {
    let encode = |light: f64| {
        // Source: IEC 61966-2-1 (constants from memory).
        let channel =
            if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * libm::pow(light, 1.0 / 2.4) - 0.055 };
        (channel * 255.0).round() as u8
    };
    (0..=4095).map(|step| encode(f64::from(step) / 4095.0)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Palette, Srgb, Yarn};

    fn drawn(rows: usize, columns: usize, gauge: Gauge, longest: u32) -> image::RgbImage {
        let yarn = |key: &str, colour| Yarn::plain(key, key, colour);
        let palette =
            Palette::new(vec![yarn("red", Srgb::new(200, 20, 20)), yarn("blue", Srgb::new(20, 20, 200))]);
        // The upper half is red.
        let cells: Vec<u8> = (0..rows * columns).map(|at| u8::from(at / columns < rows / 2)).collect();
        let chart = Chart::new(palette.unwrap(), rows, columns, &cells).unwrap();
        image::load_from_memory(&fabric_thumbnail(&chart, &gauge, longest).unwrap()).unwrap().to_rgb8()
    }

    #[test]
    fn it_has_the_proportions_of_the_piece() {
        let gauge = Gauge::new(10.0, 20.0).unwrap();
        // 300 stitches are 30 in, so to speak, and 300 rows half of that.
        let picture = drawn(300, 300, gauge, 240);
        assert_eq!((picture.width(), picture.height()), (240, 120));
        let tiny = drawn(4, 2, Gauge::new(10.0, 10.0).unwrap(), 240);
        assert_eq!((tiny.width(), tiny.height()), (48, 96));
        let ribbon = drawn(2, 5_000, gauge, 240);
        assert_eq!((ribbon.width(), ribbon.height()), (240, 1));
    }

    #[test]
    fn the_last_row_is_at_the_top_and_colours_stay() {
        for side in [4, 40, 400] {
            let picture = drawn(side, side, Gauge::new(10.0, 10.0).unwrap(), 240);
            let mean = |from: u32| {
                let rows = from..from + picture.height() / 2;
                let pixels: Vec<_> = rows.flat_map(|y| (0..picture.width()).map(move |x| (x, y))).collect();
                let sum = |channel: usize| -> u32 {
                    pixels.iter().map(|&(x, y)| u32::from(picture.get_pixel(x, y).0[channel])).sum()
                };
                [0, 1, 2].map(|channel| sum(channel) as usize / pixels.len())
            };
            let (top, bottom) = (mean(0), mean(picture.height() / 2));
            assert!(top[0] > 175 && top[2] < 40 && bottom[2] > 175 && bottom[0] < 40, "{top:?} {bottom:?}");
        }
    }
}
