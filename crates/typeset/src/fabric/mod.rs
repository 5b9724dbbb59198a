//! The fabric: what the finished piece looks like, from across the room and near by.
//!
//! An impression, not a photograph: colours and proportions are right, the shape of the stitches is
//! drawn, and how much of a hidden strand is seen depends on yarn and hand in a way that nobody has
//! measured.

mod cloth;
mod texture;

use std::ops::Range;

use image::ImageEncoder;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use model::{Chart, Gauge, Hand, Side};
use replay::ProvenPlan;

use crate::PictureError;
use cloth::{Cloth, Lying};
use texture::{Place, Texture};

/// Samples either way in a pixel.
const SAMPLES: u32 = 3;
/// The widest stitch in pixels: a tiny chart is not blown up to blocks.
const WIDEST_SMALL: f64 = 24.0;
const WIDEST: f64 = 96.0;
/// The least light of a yarn that is left where strands inside show.
const DARKEST: f32 = 0.12;
/// The longest side of a preview in pixels, whatever is asked for.
const LONGEST: u32 = 4_096;

/// How much of the fabric is drawn.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// All of it.
    Whole,
    /// Some of it, near by.
    Window {
        /// Rows of the chart, from 0 at the bottom.
        rows: Range<usize>,
        /// Columns of the chart, from 0 at its left, on either face.
        columns: Range<usize>,
    },
}

/// Draws the right side of the fabric small, as a PNG in the proportions of the finished piece, its
/// longest side at most so many pixels. It goes by the chart alone: no strand is seen.
///
/// # Errors
/// When the picture can't be encoded.
pub fn fabric_thumbnail(chart: &Chart, gauge: &Gauge, longest: u32) -> Result<Vec<u8>, PictureError> {
    let cloth = Cloth::bare(chart, Hand::Right, Side::Right);
    let view = View { left: 0, top: 0, columns: cloth.columns, rows: cloth.rows };
    draw(&cloth, &view, gauge, longest, WIDEST_SMALL)
}

/// Draws one face of the fabric as a PNG in the proportions of the finished piece, its longest side at
/// most so many pixels (and never above 4096, nor a stitch wider than 96).
///
/// Rows worked with that face towards the person show the fronts of their stitches, the others the
/// backs. Strands inside stitches, tails included, show through as the strand model has it: the more
/// the two colours differ, and more where the strand is the darker. The wrong side is seen as it is
/// when the piece is turned over, left for right; strands that climb from row to row and the ends that
/// are left to weave in with a needle lie on it. A strand drawn back is inside the stitches like one
/// carried: no strand of a plan floats.
///
/// # Errors
/// When the part is empty or not all on the chart, or the picture can't be encoded.
pub fn fabric_preview(
    plan: &ProvenPlan,
    gauge: &Gauge,
    face: Side,
    part: &Part,
    longest: u32,
) -> Result<Vec<u8>, PictureError> {
    let chart = plan.chart();
    let (rows, columns) = match part {
        Part::Whole => (0..chart.rows(), 0..chart.columns()),
        Part::Window { rows, columns } => (rows.clone(), columns.clone()),
    };
    if rows.is_empty() || columns.is_empty() || rows.end > chart.rows() || columns.end > chart.columns() {
        return Err(PictureError::NoSuchPart { columns: chart.columns(), rows: chart.rows() });
    }
    let cloth = Cloth::of_plan(plan, face);
    let view = View {
        left: if face == Side::Wrong { chart.columns() - columns.end } else { columns.start },
        top: chart.rows() - rows.end,
        columns: columns.len(),
        rows: rows.len(),
    };
    draw(&cloth, &view, gauge, longest.min(LONGEST), WIDEST)
}

/// The part of a cloth that is drawn, in cells as seen.
struct View {
    left: usize,
    top: usize,
    columns: usize,
    rows: usize,
}

/// A sheet of pixels in linear light.
struct Sheet {
    width: u32,
    height: u32,
    light: Vec<[f32; 3]>,
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // pixels
fn draw(
    cloth: &Cloth,
    view: &View,
    gauge: &Gauge,
    longest: u32,
    widest: f64,
) -> Result<Vec<u8>, PictureError> {
    let longest = f64::from(longest.max(1));
    let columns = view.columns as f64;
    // Height of the piece where its width is the columns.
    let tall = view.rows as f64 * gauge.stitches() / gauge.rows();
    let scale = (longest / columns.max(tall)).min(widest);
    let side = |extent: f64| (extent * scale).round().clamp(1.0, longest) as u32;
    let (width, height) = (side(columns), side(tall));
    let mut sheet = Sheet { width, height, light: vec![[0.0; 3]; width as usize * height as usize] };
    let texture = Texture::new(cloth.hand, scale * f64::from(SAMPLES));
    sheet.stitches(cloth, view, &texture);
    for strand in &cloth.lying {
        sheet.lay(strand, view);
    }
    sheet.png()
}

/// The cell that many further on, or the last one there is.
fn near(at: usize, by: i8, cells: usize) -> usize {
    at.saturating_add_signed(isize::from(by)).min(cells - 1)
}

/// Adds one line of samples to a line of pixels: `places` of the stitches in that row, `around` where
/// the rows above, here and below begin, `across` the column and place of each sample.
#[allow(clippy::cast_precision_loss, clippy::cast_sign_loss)] // small
fn sample(
    cloth: &Cloth,
    places: &[Place],
    around: [usize; 3],
    across: &[(usize, usize)],
    line: &mut [[f32; 3]],
) {
    let part = 1.0 / (SAMPLES * SAMPLES) as f32;
    for (samples, pixel) in across.chunks_exact(SAMPLES as usize).zip(line) {
        for &(column, place) in samples {
            let place = &places[place];
            let cell = around[(place.down + 1) as usize] + near(column, place.right, cloth.columns);
            let inside = cloth.inside.get(cell).copied().unwrap_or_default();
            for ((sum, yarn), inside) in pixel.iter_mut().zip(cloth.yarn[cell]).zip(inside) {
                // Several dark strands inside a light stitch never leave it blacker than a gap is.
                let seen = (yarn + inside * place.gap).max(yarn * DARKEST);
                let light = seen * place.shade + place.sheen;
                *sum += light.clamp(0.0, 1.0) * part;
            }
        }
    }
}

impl Sheet {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // pixels
    fn stitches(&mut self, cloth: &Cloth, view: &View, texture: &Texture) {
        // Where each sample lies along a side: which stitch or row of the cloth, how far into it.
        let along = |pixels: u32, first: usize, cells: usize| -> Vec<(usize, f64)> {
            let step = cells as f64 / f64::from(pixels * SAMPLES);
            (0..pixels * SAMPLES)
                .map(|sample| {
                    let at = (f64::from(sample) + 0.5) * step;
                    let cell = (at as usize).min(cells - 1);
                    (first + cell, at - cell as f64)
                })
                .collect()
        };
        let across: Vec<(usize, usize)> = along(self.width, view.left, view.columns)
            .into_iter()
            .map(|(column, into)| (column, texture.place(into)))
            .collect();
        let down = along(self.height, view.top, view.rows);
        let width = self.width as usize;
        let paint = |(first, band): (usize, &mut [[f32; 3]])| {
            for (line, samples) in
                band.chunks_exact_mut(width).zip(down[first..].chunks_exact(SAMPLES as usize))
            {
                for &(row, below) in samples {
                    let places = texture.line(cloth.shows(row), below);
                    let around = [-1, 0, 1].map(|by| near(row, by, cloth.rows) * cloth.columns);
                    sample(cloth, places, around, &across, line);
                }
            }
        };
        // Bands of lines, one for each core; the picture does not depend on how many.
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let lines = (self.height as usize).div_ceil(cores);
        let bands = self.light.chunks_mut(lines * width).enumerate();
        let bands = bands.map(|(at, band)| (at * lines * SAMPLES as usize, band));
        std::thread::scope(|scope| bands.for_each(|band| drop(scope.spawn(|| paint(band)))));
    }

    /// Lays a strand on the fabric, with a little shadow under it.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // pixels
    fn lay(&mut self, strand: &Lying, view: &View) {
        let (wide, high) =
            (f64::from(self.width) / view.columns as f64, f64::from(self.height) / view.rows as f64);
        // In stitches from the left of the view, both ways.
        let line: Vec<(f64, f64)> = strand
            .line
            .iter()
            .map(|&(x, y)| (x - view.left as f64, (y - view.top as f64) * high / wide))
            .collect();
        let bounds = |of: fn(&(f64, f64)) -> f64, pixels: u32| {
            let (low, high) =
                line.iter().map(of).fold((f64::MAX, f64::MIN), |(low, high), p| (low.min(p), high.max(p)));
            let reach = 3.0 * strand.radius;
            let end = |at: f64| (at * wide).clamp(0.0, f64::from(pixels)) as u32;
            end(low - reach)..(end(high + reach) + 1).min(pixels)
        };
        // Thinner than a pixel it is drawn as wide as one, and fainter.
        let radius = strand.radius.max(0.5 / wide);
        let strength = strand.radius / radius;
        let shadow_reach = radius * 1.9;
        for y in bounds(|p| p.1, self.height) {
            for x in bounds(|p| p.0, self.width) {
                let at = ((f64::from(x) + 0.5) / wide, (f64::from(y) + 0.5) / wide);
                let pixel = &mut self.light[y as usize * self.width as usize + x as usize];
                let shade_at = (at.0 - radius * 0.5, at.1 - radius * 0.7);
                if let Some(near) = texture::on_line(&line, shadow_reach, shade_at) {
                    let shadow = 1.0 - 0.5 * strength * near.normal[2] * near.normal[2];
                    *pixel = pixel.map(|part| part * shadow as f32);
                }
                let half = 0.5 / wide;
                let Some(near) = texture::on_line(&line, radius + half, at) else { continue };
                let away = near.across.abs() * (radius + half);
                let cover = ((radius + half - away) * wide).clamp(0.0, 1.0) * strength;
                let shade = texture::lying(&near);
                for (part, colour) in pixel.iter_mut().zip(strand.colour) {
                    let light = (colour * shade).clamp(0.0, 1.0);
                    *part += (light as f32 - *part) * cover as f32;
                }
            }
        }
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // 0 to 1
    fn png(&self) -> Result<Vec<u8>, PictureError> {
        let steps = encoder();
        let last = (steps.len() - 1) as f32;
        let bytes: Vec<u8> =
            self.light.iter().flatten().map(|light| steps[(light * last + 0.5) as usize]).collect();
        let mut png = Vec::new();
        // Two thirds of the bytes of the fastest, in a third of the time of the usual.
        PngEncoder::new_with_quality(&mut png, CompressionType::Level(2), FilterType::Adaptive)
            .write_image(&bytes, self.width, self.height, image::ExtendedColorType::Rgb8)
            .map_err(|error| PictureError::Encoding(error.to_string()))?;
        Ok(png)
    }
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
pub(crate) mod tests;
