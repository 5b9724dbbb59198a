//! Paints the picture of the demo: dusk in an invented harbour. Same bytes on every run.
//!
//! `cargo run -p charting --example paint_demo -- demo/picture.png`

// Coordinates and colours of a fixed canvas: far below every bound.
#![allow(clippy::cast_possible_truncation)]

use std::f64::consts::{PI, TAU};

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder};

const WIDTH: usize = 1200;
const HEIGHT: usize = 1500;
const HORIZON: f64 = 860.0;
const QUAY: f64 = 1215.0;
const SUN: (f64, f64, f64) = (760.0, 690.0, 118.0);

type Rgb = [f64; 3];
type Point = (f64, f64);

const INK: Rgb = [22.0, 26.0, 48.0];
const PLUM: Rgb = [84.0, 56.0, 92.0];
const CORAL: Rgb = [226.0, 112.0, 88.0];
const AMBER: Rgb = [244.0, 178.0, 84.0];
const CREAM: Rgb = [246.0, 232.0, 200.0];
const TEAL: Rgb = [30.0, 92.0, 108.0];
const BRICK: Rgb = [142.0, 44.0, 46.0];

fn mix(a: Rgb, b: Rgb, t: f64) -> Rgb {
    let t = t.clamp(0.0, 1.0);
    [0, 1, 2].map(|c| a[c] + (b[c] - a[c]) * t)
}

/// A colour from a row of stops `(place, colour)`, places rising.
fn ramp(stops: &[(f64, Rgb)], at: f64) -> Rgb {
    for pair in stops.windows(2) {
        let [(from, a), (to, b)] = [pair[0], pair[1]];
        if at <= to {
            let t = ((at - from) / (to - from)).clamp(0.0, 1.0);
            return mix(a, b, t * t * (3.0 - 2.0 * t));
        }
    }
    stops[stops.len() - 1].1
}

/// A number from 0 to 1 that looks like chance and is the same everywhere.
fn chance(x: i64, y: i64, salt: i64) -> f64 {
    let mut h =
        (x.wrapping_mul(0x9E37_79B9) ^ y.wrapping_mul(0x85EB_CA6B) ^ salt.wrapping_mul(0xC2B2_AE35)) as u64;
    h ^= h >> 33;
    h = h.wrapping_mul(0xFF51_AFD7_ED55_8CCD);
    h ^= h >> 33;
    h = h.wrapping_mul(0xC4CE_B9FE_1A85_EC53);
    h ^= h >> 33;
    (h >> 11) as f64 / (1u64 << 53) as f64
}

/// Smooth chance of that grain.
fn cloud(x: f64, y: f64, salt: i64) -> f64 {
    let (fx, fy) = (x.floor(), y.floor());
    let (tx, ty) = (x - fx, y - fy);
    let (tx, ty) = (tx * tx * (3.0 - 2.0 * tx), ty * ty * (3.0 - 2.0 * ty));
    let (ix, iy) = (fx as i64, fy as i64);
    let top = chance(ix, iy, salt) * (1.0 - tx) + chance(ix + 1, iy, salt) * tx;
    let low = chance(ix, iy + 1, salt) * (1.0 - tx) + chance(ix + 1, iy + 1, salt) * tx;
    top * (1.0 - ty) + low * ty
}

struct Canvas {
    pixels: Vec<Rgb>,
}

impl Canvas {
    /// Lays `paint` over the box; it gives a colour and how much of the pixel it covers.
    fn lay(&mut self, (x0, y0): Point, (x1, y1): Point, paint: impl Fn(f64, f64, Rgb) -> (Rgb, f64)) {
        let clip = |v: f64, most: usize| v.clamp(0.0, most as f64) as usize;
        for y in clip(y0.floor(), HEIGHT)..clip(y1.ceil(), HEIGHT) {
            for x in clip(x0.floor(), WIDTH)..clip(x1.ceil(), WIDTH) {
                let under = self.pixels[y * WIDTH + x];
                let (colour, cover) = paint(x as f64 + 0.5, y as f64 + 0.5, under);
                self.pixels[y * WIDTH + x] = mix(under, colour, cover);
            }
        }
    }

    fn all(&mut self, paint: impl Fn(f64, f64, Rgb) -> (Rgb, f64)) {
        self.lay((0.0, 0.0), (WIDTH as f64, HEIGHT as f64), paint);
    }

    fn disc(&mut self, (cx, cy): Point, (rx, ry): Point, colour: Rgb) {
        self.lay((cx - rx - 1.0, cy - ry - 1.0), (cx + rx + 1.0, cy + ry + 1.0), |x, y, _| {
            let away = (((x - cx) / rx).powi(2) + ((y - cy) / ry).powi(2)).sqrt();
            (colour, (1.0 - away) * rx.min(ry) + 0.5)
        });
    }

    /// Light around a point, added with strength `most` that fades out at `reach`.
    fn glow(&mut self, (cx, cy): Point, reach: f64, colour: Rgb, most: f64) {
        self.lay((cx - reach, cy - reach), (cx + reach, cy + reach), |x, y, _| {
            let away = ((x - cx).powi(2) + (y - cy).powi(2)).sqrt() / reach;
            (colour, most * (1.0 - away).max(0.0).powi(2))
        });
    }

    /// A round-ended line whose width goes from `w0` to `w1`.
    fn taper(&mut self, a: Point, b: Point, w0: f64, w1: f64, colour: Rgb) {
        let r = w0.max(w1) / 2.0 + 1.0;
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = (dx * dx + dy * dy).max(1e-9);
        self.lay((a.0.min(b.0) - r, a.1.min(b.1) - r), (a.0.max(b.0) + r, a.1.max(b.1) + r), |x, y, _| {
            let t = (((x - a.0) * dx + (y - a.1) * dy) / length).clamp(0.0, 1.0);
            let away = ((x - a.0 - t * dx).powi(2) + (y - a.1 - t * dy).powi(2)).sqrt();
            (colour, (w0 + (w1 - w0) * t) / 2.0 - away + 0.5)
        });
    }

    fn line(&mut self, points: &[Point], width: f64, colour: Rgb) {
        for pair in points.windows(2) {
            self.taper(pair[0], pair[1], width, width, colour);
        }
    }

    /// A filled outline, shaded by `paint`.
    fn shape(&mut self, points: &[Point], paint: impl Fn(f64, f64) -> Rgb) {
        let low = points.iter().fold((f64::MAX, f64::MAX), |m, p| (m.0.min(p.0), m.1.min(p.1)));
        let high = points.iter().fold((f64::MIN, f64::MIN), |m, p| (m.0.max(p.0), m.1.max(p.1)));
        self.lay(low, high, |x, y, _| {
            // Nine samples a pixel, each inside where a ray crosses the outline an odd number of times.
            let mut inside = 0;
            for sample in 0..9 {
                let (sx, sy) = (x + f64::from(sample % 3 - 1) / 3.0, y + f64::from(sample / 3 - 1) / 3.0);
                let mut odd = false;
                for (i, p) in points.iter().enumerate() {
                    let q = points[(i + 1) % points.len()];
                    if (p.1 > sy) != (q.1 > sy) && sx < (q.0 - p.0) * (sy - p.1) / (q.1 - p.1) + p.0 {
                        odd = !odd;
                    }
                }
                inside += i32::from(odd);
            }
            (paint(x, y), f64::from(inside) / 9.0)
        });
    }
}

/// Points on a quadratic curve.
fn curve(a: Point, bend: Point, b: Point) -> Vec<Point> {
    (0..=16)
        .map(|i| {
            let t = f64::from(i) / 16.0;
            let (u, v, w) = ((1.0 - t) * (1.0 - t), 2.0 * t * (1.0 - t), t * t);
            (u * a.0 + v * bend.0 + w * b.0, u * a.1 + v * bend.1 + w * b.1)
        })
        .collect()
}

fn sky(canvas: &mut Canvas) {
    let stops = [
        (0.0, [24.0, 36.0, 74.0]),
        (230.0, [46.0, 62.0, 108.0]),
        (430.0, [112.0, 78.0, 124.0]),
        (600.0, [206.0, 104.0, 104.0]),
        (740.0, [240.0, 158.0, 88.0]),
        (HORIZON, [250.0, 206.0, 128.0]),
    ];
    canvas.lay((0.0, 0.0), (WIDTH as f64, HORIZON), |x, y, _| {
        // The bands of dusk are not level: they sag towards the sun and drift.
        let drift =
            46.0 * (cloud(x / 170.0, y / 60.0, 1) - 0.5) + 30.0 * (cloud(x / 55.0, y / 18.0, 2) - 0.5);
        let sag = -40.0 * libm::exp(-((x - SUN.0) / 420.0).powi(2));
        (ramp(&stops, y + drift - sag), 1.0)
    });
    canvas.glow((SUN.0, SUN.1), 430.0, [255.0, 214.0, 140.0], 0.75);
    canvas.disc((SUN.0, SUN.1), (SUN.2, SUN.2), CREAM);
    // Long thin clouds, lit from below.
    for i in 0..26i64 {
        let y = 190.0 + 24.0 * i as f64 + 16.0 * chance(i, 0, 3);
        let x = -120.0 + 1300.0 * chance(i, 1, 3);
        let length = 150.0 + 330.0 * chance(i, 2, 3);
        let thick = 7.0 + 13.0 * chance(i, 3, 3);
        let shade = mix(PLUM, [250.0, 190.0, 140.0], (y - 200.0) / 420.0);
        let shade = if y > 560.0 { mix(shade, CORAL, 0.7) } else { shade };
        canvas.lay((x, y - 2.0 * thick), (x + length, y + 2.0 * thick), |px, py, _| {
            let t = (px - x) / length;
            let belly = thick * libm::sin(PI * t).max(0.0) * (0.45 + 0.8 * cloud(px / 36.0, i as f64, 4));
            (shade, (belly - (py - y).abs()) * 0.6 + 0.3)
        });
    }
    // Stars and an early evening planet.
    for i in 0..34i64 {
        let (x, y) = (1160.0 * chance(i, 0, 5) + 20.0, 300.0 * libm::pow(chance(i, 1, 5), 1.3) + 14.0);
        let size = 5.0 + 3.0 * chance(i, 2, 5);
        canvas.disc((x, y), (size, size), mix(CREAM, [150.0, 170.0, 210.0], chance(i, 3, 5)));
    }
    // Gulls.
    for (x, y, s) in [(628.0, 462.0, 1.1), (716.0, 420.0, 1.0), (905.0, 470.0, 1.2), (948.0, 566.0, 0.9)] {
        for side in [-1.0, 1.0] {
            let wing = curve((x, y), (x + side * 20.0 * s, y - 26.0 * s), (x + side * 46.0 * s, y - 4.0 * s));
            canvas.line(&wing, 9.0 * s, INK);
        }
    }
}

fn shore(canvas: &mut Canvas) {
    for (salt, base, rise, colour) in
        [(11, HORIZON - 34.0, 74.0, [168.0, 92.0, 110.0]), (12, HORIZON - 8.0, 52.0, [104.0, 66.0, 102.0])]
    {
        canvas.lay((0.0, HORIZON - 160.0), (WIDTH as f64, HORIZON), |x, y, _| {
            let edge = base - rise * cloud(x / 190.0, 0.0, salt) - 12.0 * cloud(x / 40.0, 1.0, salt);
            let open = 1.0 - 1.2 * libm::exp(-((x - 720.0) / 250.0).powi(2));
            let edge = HORIZON - (HORIZON - edge) * open.max(0.0);
            (colour, y - edge)
        });
    }
    // The lighthouse on its rock, with bands and a lit lantern room.
    let (x, foot) = (1040.0, HORIZON + 6.0);
    canvas.shape(&[(950.0, foot), (985.0, foot - 40.0), (1075.0, foot - 46.0), (1130.0, foot)], |_, _| INK);
    for band in 0..6 {
        let (low, high) = (foot - 40.0 - 44.0 * f64::from(band), foot - 84.0 - 44.0 * f64::from(band));
        let half = |y: f64| 16.0 + 20.0 * (y - (foot - 304.0)) / 264.0;
        let colour = if band % 2 == 0 { CREAM } else { BRICK };
        canvas.shape(
            &[(x - half(low), low), (x + half(low), low), (x + half(high), high), (x - half(high), high)],
            |px, _| mix(colour, PLUM, (px - x) / 56.0),
        );
    }
    let top = foot - 304.0;
    canvas.line(&[(x - 30.0, top), (x + 30.0, top)], 10.0, INK);
    canvas.shape(
        &[(x - 15.0, top), (x + 15.0, top), (x + 15.0, top - 40.0), (x - 15.0, top - 40.0)],
        |_, _| [255.0, 226.0, 140.0],
    );
    canvas.line(&[(x, top), (x, top - 40.0)], 4.0, INK);
    canvas.shape(&[(x - 24.0, top - 38.0), (x + 24.0, top - 38.0), (x, top - 74.0)], |_, _| INK);
    canvas.line(&[(x, top - 70.0), (x, top - 96.0)], 5.0, INK);
    canvas.glow((x, top - 20.0), 130.0, [255.0, 226.0, 150.0], 0.55);
}

fn sea(canvas: &mut Canvas) {
    let stops = [
        (HORIZON, [232.0, 156.0, 108.0]),
        (HORIZON + 60.0, [150.0, 108.0, 118.0]),
        (HORIZON + 150.0, [62.0, 98.0, 122.0]),
        (QUAY, [24.0, 62.0, 86.0]),
    ];
    canvas.lay((0.0, HORIZON), (WIDTH as f64, QUAY), |x, y, _| {
        let deep = y - HORIZON;
        let swell = 34.0 * (cloud(x / (30.0 + deep * 0.30), y / (9.0 + deep * 0.05), 21) - 0.5);
        (ramp(&stops, y + swell), 1.0)
    });
    // Ripples: short strokes, brighter under the sun.
    for i in 0..330i64 {
        let deep = (QUAY - HORIZON - 12.0) * libm::pow(chance(i, 0, 22), 1.15) + 8.0;
        let y = HORIZON + deep;
        let spread = 75.0 + deep * 0.40;
        let sunlit = i % 5 < 3;
        let x =
            if sunlit { SUN.0 + spread * (2.0 * chance(i, 1, 22) - 1.0) } else { 1200.0 * chance(i, 1, 22) };
        let length = (26.0 + deep * 0.22) * (0.5 + chance(i, 2, 22));
        let colour = match (sunlit, i % 3) {
            (true, 0) => CREAM,
            (true, _) => AMBER,
            (false, 0) => [190.0, 120.0, 120.0],
            (false, 1) => TEAL,
            _ => [18.0, 40.0, 66.0],
        };
        let thick = 5.0 + deep * 0.022;
        canvas.lay((x - length, y - thick), (x + length, y + thick), |px, py, _| {
            let t = (px - x) / length;
            (colour, (1.0 - t * t) * thick - 1.8 * (py - y).abs())
        });
    }
}

fn boat(canvas: &mut Canvas) {
    let water = 985.0;
    let hull: Vec<Point> = [
        curve((90.0, water - 92.0), (330.0, water - 44.0), (640.0, water - 118.0)),
        curve((640.0, water - 118.0), (600.0, water - 10.0), (540.0, water)),
        curve((540.0, water), (330.0, water + 14.0), (150.0, water)),
    ]
    .concat();
    // The reflection first: the hull upside down, broken by the swell.
    canvas.lay((80.0, water), (660.0, water + 130.0), |x, y, under| {
        let t = (y - water) / 130.0;
        let wobble = 26.0 * (cloud(x / 80.0, y / 9.0, 31) - 0.5) + 14.0 * libm::sin(y / 7.0);
        let inside = x + wobble > 140.0 - 40.0 * t && x + wobble < 560.0 + 60.0 * t;
        (mix(INK, under, 0.25 + 0.5 * t), if inside { 0.9 - 0.5 * t } else { 0.0 })
    });
    // Masts, booms and sails.
    let sail = |seam: f64| {
        move |x: f64, y: f64| {
            let fold = 0.5 + 0.5 * libm::sin((x + 0.4 * y) / seam);
            mix(
                [236.0, 214.0, 172.0],
                [186.0, 128.0, 112.0],
                0.28 * fold + 0.30 * (cloud(x / 30.0, y / 30.0, 32) - 0.3),
            )
        }
    };
    let main: Vec<Point> = [
        curve((352.0, 330.0), (372.0, 600.0), (356.0, 862.0)),
        curve((356.0, 862.0), (450.0, 850.0), (560.0, 838.0)),
        curve((560.0, 838.0), (500.0, 560.0), (352.0, 330.0)),
    ]
    .concat();
    canvas.shape(&main, sail(16.0));
    for (y, to) in [(470.0, 438.0), (590.0, 494.0), (720.0, 535.0)] {
        canvas.line(&curve((360.0, y), (410.0, y + 12.0), (to, y + 2.0)), 5.0, [150.0, 96.0, 92.0]);
    }
    let mizzen: Vec<Point> = [
        curve((196.0, 520.0), (206.0, 700.0), (198.0, 874.0)),
        curve((198.0, 874.0), (260.0, 866.0), (316.0, 858.0)),
        curve((316.0, 858.0), (290.0, 690.0), (196.0, 520.0)),
    ]
    .concat();
    canvas.shape(&mizzen, |x, y| mix([84.0, 34.0, 62.0], [128.0, 46.0, 66.0], cloud(x / 26.0, y / 40.0, 33)));
    let jib: Vec<Point> = [
        curve((352.0, 350.0), (540.0, 600.0), (706.0, 842.0)),
        curve((706.0, 842.0), (640.0, 850.0), (580.0, 846.0)),
        curve((580.0, 846.0), (500.0, 620.0), (352.0, 350.0)),
    ]
    .concat();
    canvas
        .shape(&jib, |x, y| mix([214.0, 150.0, 110.0], [244.0, 214.0, 160.0], cloud(x / 34.0, y / 60.0, 34)));
    canvas.taper((350.0, 905.0), (350.0, 300.0), 17.0, 9.0, INK);
    canvas.taper((190.0, 905.0), (190.0, 490.0), 14.0, 8.0, INK);
    canvas.line(&[(350.0, 866.0), (572.0, 840.0)], 10.0, INK);
    canvas.line(&[(190.0, 878.0), (326.0, 860.0)], 9.0, INK);
    canvas.taper((610.0, 872.0), (730.0, 832.0), 14.0, 7.0, INK);
    // Rigging.
    for (a, b) in [
        ((350.0, 306.0), (730.0, 832.0)),
        ((350.0, 306.0), (110.0, 896.0)),
        ((190.0, 496.0), (96.0, 892.0)),
        ((350.0, 420.0), (262.0, 905.0)),
        ((350.0, 420.0), (440.0, 905.0)),
        ((190.0, 560.0), (140.0, 900.0)),
        ((190.0, 560.0), (250.0, 905.0)),
        ((350.0, 306.0), (190.0, 496.0)),
    ] {
        canvas.line(&[a, b], 7.5, INK);
    }
    for step in 0..7 {
        let y = 560.0 + 48.0 * f64::from(step);
        let t = (y - 420.0) / 485.0;
        canvas.line(&[(350.0 - 88.0 * t, y), (350.0 - 26.0 * t, y)], 6.0, INK);
    }
    canvas.shape(&[(352.0, 298.0), (352.0, 268.0), (420.0, 288.0)], |_, _| CORAL);
    canvas.shape(&hull, |x, y| {
        let plank = 0.5 + 0.5 * libm::sin(y / 6.5);
        let body = if y > water - 26.0 {
            BRICK
        } else {
            mix(INK, [52.0, 66.0, 96.0], 0.7 * plank * cloud(x / 50.0, y / 30.0, 35))
        };
        mix(body, AMBER, 0.25 * ((x - 420.0) / 240.0).clamp(0.0, 1.0))
    });
    canvas.line(&curve((92.0, water - 88.0), (330.0, water - 40.0), (638.0, water - 114.0)), 9.0, CREAM);
    // The cabin with two lit windows.
    canvas
        .shape(&[(230.0, 926.0), (236.0, 878.0), (330.0, 878.0), (336.0, 926.0)], |_, _| [92.0, 60.0, 58.0]);
    for x in [252.0, 296.0] {
        canvas.shape(&[(x, 910.0), (x, 888.0), (x + 24.0, 888.0), (x + 24.0, 910.0)], |_, _| {
            [255.0, 222.0, 130.0]
        });
    }
}

fn quay(canvas: &mut Canvas) {
    // Courses of stone, each stone of its own shade.
    canvas.lay((0.0, QUAY), (WIDTH as f64, HEIGHT as f64), |x, y, _| {
        let course = ((y - QUAY) / 62.0).floor();
        let shift = 77.0 * (course as i64 % 2) as f64;
        let stone = ((x + shift) / 154.0).floor();
        let (jx, jy) = ((x + shift) - stone * 154.0, (y - QUAY) - course * 62.0);
        let shade = chance(stone as i64, course as i64, 41);
        let grain = 0.3 * cloud(x / 26.0, y / 17.0, 42) + 0.1 * cloud(x / 7.0, y / 7.0, 43);
        let stone = mix([58.0, 50.0, 74.0], [112.0, 88.0, 104.0], 0.8 * shade + grain - 0.2);
        let joint = jx.min(154.0 - jx).min(jy).min(62.0 - jy);
        (mix(INK, stone, (joint - 3.0) / 3.0), 1.0)
    });
    canvas.lay((0.0, QUAY - 6.0), (WIDTH as f64, QUAY + 22.0), |x, y, _| {
        let stone = mix([150.0, 116.0, 116.0], [206.0, 158.0, 132.0], cloud(x / 60.0, y / 12.0, 44));
        (stone, (y - QUAY + 4.0 * cloud(x / 25.0, 0.0, 45)).min(QUAY + 18.0 - y))
    });
}

fn books(canvas: &mut Canvas) {
    // A pile of books on the quay, a lantern on top.
    let piles = [(338.0, 622.0, BRICK), (362.0, 606.0, AMBER), (346.0, 590.0, [74.0, 52.0, 86.0])];
    for (level, (left, right, colour)) in piles.into_iter().enumerate() {
        let low = QUAY - 2.0 - 40.0 * level as f64;
        canvas.shape(&[(left, low), (right, low), (right, low - 40.0), (left, low - 40.0)], |x, y| {
            let page = y > low - 31.0 && y < low - 9.0 && x > left + 26.0;
            let leaf = 0.5 + 0.5 * libm::sin(y * 0.9);
            if page {
                mix(CREAM, [196.0, 170.0, 140.0], 0.5 * leaf)
            } else {
                mix(colour, INK, 0.25 * cloud(x / 18.0, y / 9.0, 46))
            }
        });
        canvas.line(&[(left, low), (right, low)], 4.0, INK);
        canvas.line(&[(left + 60.0, low - 36.0), (left + 60.0, low - 4.0)], 8.0, CREAM);
    }
    let (x, foot) = (478.0, QUAY - 122.0);
    canvas.glow((x, foot - 50.0), 210.0, [255.0, 206.0, 110.0], 0.7);
    canvas.shape(
        &[(x - 38.0, foot), (x + 38.0, foot), (x + 30.0, foot - 16.0), (x - 30.0, foot - 16.0)],
        |_, _| INK,
    );
    canvas.shape(
        &[(x - 28.0, foot - 14.0), (x + 28.0, foot - 14.0), (x + 28.0, foot - 88.0), (x - 28.0, foot - 88.0)],
        |px, py| {
            mix(
                [255.0, 244.0, 200.0],
                AMBER,
                (((px - x) / 26.0).powi(2) + ((py - foot + 46.0) / 40.0).powi(2)).sqrt(),
            )
        },
    );
    for dx in [-28.0, 0.0, 28.0] {
        canvas.line(&[(x + dx, foot - 14.0), (x + dx, foot - 88.0)], 5.0, INK);
    }
    canvas.shape(
        &[
            (x - 38.0, foot - 86.0),
            (x + 38.0, foot - 86.0),
            (x + 14.0, foot - 116.0),
            (x - 14.0, foot - 116.0),
        ],
        |_, _| INK,
    );
    canvas.line(&curve((x - 22.0, foot - 108.0), (x, foot - 172.0), (x + 22.0, foot - 108.0)), 6.0, INK);
}

fn cat(canvas: &mut Canvas) {
    // A black cat sits on the quay and looks out to the boat.
    let (x, foot) = (835.0, QUAY + 4.0);
    let fur = |light: f64| {
        move |px: f64, py: f64| {
            let stripe = libm::sin((px - 835.0) * 0.05 + (py * 0.13) + 2.4 * cloud(px / 40.0, py / 40.0, 51));
            let coat = if stripe > 0.36 { [96.0, 66.0, 104.0] } else { [30.0, 28.0, 48.0] };
            // A little dusk on its left edge.
            mix(coat, PLUM, light * ((795.0 - px) / 34.0).clamp(0.0, 1.0))
        }
    };
    let tail: Vec<Point> = [
        curve((900.0, foot - 22.0), (1000.0, foot - 6.0), (1018.0, foot - 76.0)),
        curve((1018.0, foot - 76.0), (1026.0, foot - 130.0), (986.0, foot - 136.0)),
    ]
    .concat();
    canvas.line(&tail, 30.0, [30.0, 28.0, 48.0]);
    for pair in tail.chunks(4) {
        canvas.disc(pair[0], (9.0, 15.0), [96.0, 66.0, 104.0]);
    }
    let body: Vec<Point> = [
        curve((768.0, foot), (752.0, foot - 130.0), (798.0, foot - 190.0)),
        curve((798.0, foot - 190.0), (890.0, foot - 190.0), (920.0, foot - 70.0)),
        curve((920.0, foot - 70.0), (936.0, foot - 10.0), (900.0, foot)),
    ]
    .concat();
    canvas.shape(&body, fur(0.8));
    canvas.line(&curve((795.0, foot), (810.0, foot - 60.0), (798.0, foot - 110.0)), 5.0, INK);
    canvas.disc((787.0, foot - 8.0), (26.0, 12.0), CREAM);
    // The head.
    let (hx, hy) = (x - 30.0, foot - 226.0);
    for side in [-1.0, 1.0] {
        canvas.shape(
            &[(hx + side * 56.0, hy - 88.0), (hx + side * 60.0, hy - 12.0), (hx + side * 8.0, hy - 46.0)],
            |_, _| [30.0, 28.0, 48.0],
        );
        canvas.shape(
            &[(hx + side * 49.0, hy - 68.0), (hx + side * 51.0, hy - 26.0), (hx + side * 22.0, hy - 44.0)],
            |_, _| [206.0, 110.0, 104.0],
        );
    }
    canvas.lay((hx - 70.0, hy - 62.0), (hx + 70.0, hy + 62.0), |px, py, _| {
        let away = (((px - hx) / 66.0).powi(2) + ((py - hy) / 57.0).powi(2)).sqrt();
        (fur(0.6)(px - 20.0, py), (1.0 - away) * 57.0 + 0.5)
    });
    canvas.disc((hx - 18.0, hy + 26.0), (38.0, 26.0), CREAM);
    for (ex, rx) in [(-44.0, 13.0), (12.0, 16.0)] {
        canvas.disc((hx + ex, hy - 8.0), (rx, 17.0), AMBER);
        canvas.disc((hx + ex - 2.0, hy - 6.0), (5.5, 14.0), INK);
    }
    canvas.shape(&[(hx - 32.0, hy + 12.0), (hx - 8.0, hy + 12.0), (hx - 20.0, hy + 26.0)], |_, _| BRICK);
    canvas.line(&curve((hx - 40.0, hy + 38.0), (hx - 28.0, hy + 46.0), (hx - 20.0, hy + 26.0)), 4.5, INK);
    canvas.line(&curve((hx - 20.0, hy + 26.0), (hx - 10.0, hy + 46.0), (hx + 4.0, hy + 38.0)), 4.5, INK);
    for i in 0..3 {
        let dy = 14.0 * f64::from(i) - 10.0;
        let (left, right) = ((hx - 44.0, hy + 28.0 + dy * 0.3), (hx + 8.0, hy + 28.0 + dy * 0.3));
        canvas.line(&curve(left, (hx - 90.0, hy + 20.0 + dy), (hx - 134.0, hy + 30.0 + 1.7 * dy)), 6.0, INK);
        canvas.line(&curve(right, (hx + 56.0, hy + 20.0 + dy), (hx + 104.0, hy + 32.0 + 1.7 * dy)), 6.0, INK);
    }
}

fn reeds(canvas: &mut Canvas) {
    for i in 0..17i64 {
        let right = i % 3 == 0;
        let root = if right { 1120.0 + 90.0 * chance(i, 0, 61) } else { -10.0 + 150.0 * chance(i, 0, 61) };
        let tall = 260.0 + 250.0 * chance(i, 1, 61);
        let lean = (chance(i, 2, 61) - if right { 0.7 } else { 0.3 }) * 170.0;
        let shade = if i % 4 == 1 { [62.0, 96.0, 84.0] } else { [26.0, 44.0, 56.0] };
        let stem = curve((root, QUAY + 8.0), (root, QUAY - tall * 0.6), (root + lean, QUAY - tall));
        for (at, pair) in stem.windows(2).enumerate() {
            let w = 11.0 - 0.4 * at as f64;
            canvas.taper(pair[0], pair[1], w, w - 0.4, shade);
        }
        if i % 2 == 0 {
            let tip = stem[16];
            let below = stem[13];
            canvas.taper(below, tip, 22.0, 18.0, [104.0, 58.0, 46.0]);
            canvas.taper(tip, (tip.0 + lean * 0.06, tip.1 - 34.0), 5.0, 3.0, shade);
        }
    }
}

/// Strokes of a letter in a box 4 wide and 6 high, from the top left.
fn strokes(letter: char) -> &'static [&'static [(u8, u8)]] {
    match letter {
        'A' => &[&[(0, 6), (2, 0), (4, 6)], &[(1, 4), (3, 4)]],
        'B' => &[&[(0, 3), (3, 3), (4, 4), (4, 5), (3, 6), (0, 6), (0, 0), (3, 0), (4, 1), (4, 2), (3, 3)]],
        'D' => &[&[(0, 0), (2, 0), (4, 2), (4, 4), (2, 6), (0, 6), (0, 0)]],
        'E' => &[&[(4, 0), (0, 0), (0, 6), (4, 6)], &[(0, 3), (3, 3)]],
        'H' => &[&[(0, 0), (0, 6)], &[(4, 0), (4, 6)], &[(0, 3), (4, 3)]],
        'I' => &[&[(2, 0), (2, 6)]],
        'R' => &[&[(0, 6), (0, 0), (3, 0), (4, 1), (4, 2), (3, 3), (0, 3)], &[(2, 3), (4, 6)]],
        'T' => &[&[(0, 0), (4, 0)], &[(2, 0), (2, 6)]],
        'Y' => &[&[(0, 0), (2, 3), (4, 0)], &[(2, 3), (2, 6)]],
        _ => &[],
    }
}

fn lettering(canvas: &mut Canvas, text: &str, middle: f64, top: f64, unit: f64) {
    let advance = |letter: char| if matches!(letter, 'I' | ' ') { 3.6 } else { 6.2 };
    let wide: f64 = text.chars().map(advance).sum::<f64>() - 2.2;
    for (colour, offset, width) in [(INK, 5.0, 24.0), (CREAM, 0.0, 18.0)] {
        let mut left = middle - wide * unit / 2.0;
        for letter in text.chars() {
            let back = if letter == 'I' { 1.2 } else { 0.0 };
            for stroke in strokes(letter) {
                let points: Vec<Point> = stroke
                    .iter()
                    .map(|&(x, y)| {
                        (left + (f64::from(x) - back) * unit + offset, top + f64::from(y) * unit + offset)
                    })
                    .collect();
                canvas.line(&points, width, colour);
            }
            left += advance(letter) * unit;
        }
    }
}

/// The look of woven cloth over everything, and its rounding to bytes.
fn cloth(canvas: &mut Canvas) -> Vec<u8> {
    canvas.all(|x, y, under| {
        let weave = 3.0 * libm::sin(TAU * x / 8.0) * libm::sin(TAU * y / 8.0);
        let slub = 15.0 * (cloud(x / 46.0, y / 5.0, 71) - 0.5) + 15.0 * (cloud(x / 5.0, y / 46.0, 72) - 0.5);
        (under.map(|c| c + weave + slub), 1.0)
    });
    // Steps of three in place of one keep the file small.
    canvas.pixels.iter().flatten().map(|&c| ((c / 3.0).round() * 3.0).clamp(0.0, 255.0) as u8).collect()
}

fn main() -> Result<(), String> {
    let path = std::env::args().nth(1).ok_or("give the path of the PNG to write")?;
    let mut canvas = Canvas { pixels: vec![INK; WIDTH * HEIGHT] };
    sky(&mut canvas);
    sea(&mut canvas);
    shore(&mut canvas);
    boat(&mut canvas);
    reeds(&mut canvas);
    quay(&mut canvas);
    books(&mut canvas);
    cat(&mut canvas);
    lettering(&mut canvas, "READ BY THE TIDE", 600.0, 1300.0, 12.5);
    let bytes = cloth(&mut canvas);
    let mut png = Vec::new();
    PngEncoder::new_with_quality(&mut png, CompressionType::Best, FilterType::Adaptive)
        .write_image(&bytes, WIDTH as u32, HEIGHT as u32, ExtendedColorType::Rgb8)
        .map_err(|error| error.to_string())?;
    std::fs::write(&path, &png).map_err(|error| format!("{path} is not written: {error}"))
}
