//! Averaging a picture over cells, in linear light.

use model::{Lab, Srgb};

use crate::bands::by_bands;
use crate::{Area, Picture, Stopped, Watch};

/// The colours of a chart's cells before there are yarns.
#[derive(Clone, Debug, PartialEq)]
pub struct Cells {
    columns: usize,
    /// Row by row from the *top*, as pictures are.
    linear: Vec<[f64; 3]>,
}

impl Cells {
    /// Cells in a row.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// Rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.linear.len() / self.columns
    }

    /// The colours in linear sRGB light, 0 to 1, row by row from the top.
    #[must_use]
    pub fn linear(&self) -> &[[f64; 3]] {
        &self.linear
    }

    /// The colours in CIELAB, row by row from the top.
    #[must_use]
    pub fn lab(&self) -> Vec<Lab> {
        self.linear.iter().map(|&light| Lab::from_linear(light)).collect()
    }
}

/// Eight-bit sRGB to linear light and back, by table.
pub(crate) struct Light([f64; 256]);

impl Light {
    pub(crate) fn new() -> Self {
        let mut table = [0.0; 256];
        for (byte, light) in (0..=255).zip(&mut table) {
            *light = Srgb::new(byte, byte, byte).linear()[0];
        }
        Self(table)
    }

    pub(crate) fn decode(&self, byte: u8) -> f64 {
        self.0[usize::from(byte)]
    }

    /// The byte whose light is nearest.
    pub(crate) fn encode(&self, light: f64) -> u8 {
        let above = self.0.partition_point(|&at| at < light).min(255);
        let below = above.saturating_sub(1);
        let nearest = if light - self.0[below] < self.0[above] - light { below } else { above };
        u8::try_from(nearest).unwrap_or(u8::MAX)
    }
}

/// The pixels under one cell along one side: the first and the last whole or in part, those
/// between whole.
#[derive(Clone, Copy)]
struct Span {
    first: usize,
    last: usize,
    first_share: f64,
    last_share: f64,
}

/// Cuts `length` pixels from `start` on into `parts` equal spans, in a side of `side` pixels.
#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn spans(start: f64, length: f64, parts: usize, side: usize) -> Vec<Span> {
    let edge = |at: usize| (start + length * at as f64 / parts as f64).clamp(0.0, side as f64);
    (0..parts)
        .map(|part| {
            let (from, to) = (edge(part), edge(part + 1));
            let first = (libm::floor(from) as usize).min(side - 1);
            let last = (libm::ceil(to) as usize).clamp(first + 1, side) - 1;
            let first_share = if first == last { to - from } else { (first + 1) as f64 - from };
            Span { first, last, first_share, last_share: to - last as f64 }
        })
        .collect()
}

/// The mean linear light of each of `columns × rows` equal cells of an area of the picture, each
/// pixel weighed by the part of it that lies in the cell.
///
/// # Errors
/// When stopped.
///
/// # Panics
/// When `columns` or `rows` is 0.
#[allow(clippy::cast_precision_loss)]
pub fn average(
    picture: &Picture,
    area: Area,
    columns: usize,
    rows: usize,
    watch: Watch<'_>,
) -> Result<Cells, Stopped> {
    assert!(columns > 0 && rows > 0, "cells need a row and a column");
    let light = Light::new();
    let across = spans(area.x, area.width, columns, picture.width());
    let down = spans(area.y, area.height, rows, picture.height());
    let cell_area = (area.width / columns as f64) * (area.height / rows as f64);
    let mut linear = vec![[0.0; 3]; columns * rows];
    by_bands(&mut linear, columns, watch, |first, band| {
        let mut line = vec![[0.0; 3]; columns];
        // The row of pixels that `line` holds: neighbouring cells share the one their edge runs
        // through.
        let mut held = usize::MAX;
        for (cells, span) in band.chunks_exact_mut(columns).zip(&down[first..]) {
            for y in span.first..=span.last {
                if held != y {
                    gather(picture.row(y), &across, &light, &mut line);
                    held = y;
                }
                let share = match y {
                    _ if y == span.first => span.first_share,
                    _ if y == span.last => span.last_share,
                    _ => 1.0,
                };
                for (cell, sum) in cells.iter_mut().zip(&line) {
                    for c in 0..3 {
                        cell[c] += sum[c] * share;
                    }
                }
            }
            for cell in cells {
                *cell = cell.map(|sum| (sum / cell_area).clamp(0.0, 1.0));
            }
        }
    })?;
    Ok(Cells { columns, linear })
}

/// Sums one row of pixels over the spans of its columns.
fn gather(pixels: &[u8], across: &[Span], light: &Light, line: &mut [[f64; 3]]) {
    let pixel = |x: usize| {
        let at = &pixels[x * 3..x * 3 + 3];
        [light.decode(at[0]), light.decode(at[1]), light.decode(at[2])]
    };
    for (span, sum) in across.iter().zip(line) {
        let [mut red, mut green, mut blue] = pixel(span.first).map(|light| light * span.first_share);
        if span.last > span.first {
            for whole in pixels[(span.first + 1) * 3..span.last * 3].chunks_exact(3) {
                red += light.decode(whole[0]);
                green += light.decode(whole[1]);
                blue += light.decode(whole[2]);
            }
            let last = pixel(span.last);
            red += last[0] * span.last_share;
            green += last[1] * span.last_share;
            blue += last[2] * span.last_share;
        }
        *sum = [red, green, blue];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unwatched;
    use core::ops::ControlFlow;
    use proptest::prelude::*;

    fn cells(picture: &Picture, area: Area, columns: usize, rows: usize) -> Cells {
        average(picture, area, columns, rows, &mut unwatched).unwrap()
    }

    /// By hand: black and white side by side give half the light, which in sRGB is 188, not 128.
    #[test]
    fn light_is_averaged_and_not_numbers() {
        let picture = Picture::new(2, 1, vec![0, 0, 0, 255, 255, 255]).unwrap();
        let got = cells(&picture, Area::whole(2, 1), 1, 1).linear()[0];
        assert!(got.iter().all(|light| (light - 0.5).abs() < 1e-12), "{got:?}");
        assert_eq!(Light::new().encode(0.5), 188);
    }

    /// By hand: three pixels of light 0, 0, 1 in two cells: the middle one is shared.
    #[test]
    fn a_pixel_on_an_edge_is_shared() {
        let picture = Picture::new(3, 1, vec![0, 0, 0, 255, 255, 255, 255, 255, 255]).unwrap();
        let got = cells(&picture, Area::whole(3, 1), 2, 1);
        let red: Vec<f64> = got.linear().iter().map(|cell| cell[0]).collect();
        assert!((red[0] - 1.0 / 3.0).abs() < 1e-12 && (red[1] - 1.0).abs() < 1e-12, "{red:?}");
    }

    #[test]
    fn every_byte_comes_back_from_its_light() {
        let light = Light::new();
        for byte in 0..=255 {
            assert_eq!(light.encode(light.decode(byte)), byte);
        }
    }

    #[test]
    fn a_watch_can_stop_it() {
        let picture = Picture::new(1, 1, vec![0; 3]).unwrap();
        let got = average(&picture, Area::whole(1, 1), 1, 1, &mut |_| ControlFlow::Break(()));
        assert_eq!(got, Err(Stopped));
    }

    prop_compose! {
        fn any_picture()(w in 1usize..40, h in 1usize..40)
            (bytes in proptest::collection::vec(any::<u8>(), w * h * 3), w in Just(w)) -> Picture {
            Picture::new(w, bytes.len() / 3 / w, bytes).unwrap()
        }
    }

    proptest! {
        /// The law: no light is lost or made; and against a plain sum over all pixels and cells.
        #[test]
        fn the_mean_light_stays(picture in any_picture(), columns in 1usize..50, rows in 1usize..50) {
            let (w, h) = (picture.width(), picture.height());
            let got = cells(&picture, Area::whole(w, h), columns, rows);
            for c in 0..3 {
                let mut all = 0.0;
                for y in 0..h {
                    for x in 0..w {
                        let pixel = picture.pixel(x, y).linear();
                        all += pixel[c];
                    }
                }
                let mean = got.linear().iter().map(|cell| cell[c]).sum::<f64>() / (columns * rows) as f64;
                prop_assert!((mean - all / (w * h) as f64).abs() < 1e-9);
            }
            // Any one cell, summed naively.
            let at = (columns * rows) / 2;
            let (column, row) = (at % columns, at / columns);
            let overlap = |i: usize, part: usize, parts: usize, side: usize| {
                let from = (side * part) as f64 / parts as f64;
                let to = (side * (part + 1)) as f64 / parts as f64;
                ((i + 1) as f64).min(to) - (i as f64).max(from)
            };
            let (mut sum, mut weight) = (0.0, 0.0);
            for y in 0..h {
                for x in 0..w {
                    let share = overlap(x, column, columns, w).max(0.0) * overlap(y, row, rows, h).max(0.0);
                    sum += share * picture.pixel(x, y).linear()[0];
                    weight += share;
                }
            }
            prop_assert!((got.linear()[at][0] - sum / weight).abs() < 1e-9);
        }

        /// The law: a flat picture stays flat, whatever the area.
        #[test]
        fn a_flat_picture_stays_flat(
            red in any::<u8>(), w in 1usize..40, h in 1usize..40, columns in 1usize..40, rows in 1usize..40,
            cut in 0.1f64..10.0,
        ) {
            let picture = Picture::new(w, h, [red, 90, 10].repeat(w * h)).unwrap();
            let got = cells(&picture, Area::whole(w, h).cut_to(cut), columns, rows);
            let wanted = Srgb::new(red, 90, 10).linear();
            for cell in got.linear() {
                for c in 0..3 {
                    prop_assert!((cell[c] - wanted[c]).abs() < 1e-9, "{cell:?}");
                }
            }
        }
    }
}
