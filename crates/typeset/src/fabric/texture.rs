//! The stitch: which yarn is seen at each place of it, and how much light it gives.
//!
//! Our own drawing. A row of single crochet worked with this face towards the person shows each
//! stitch as two legs that meet below, a V that leans a little; a row worked with the other face
//! towards them shows the stitch's back, a short bar across with two legs under it. In turned rows
//! the two alternate, which gives the fabric its ridges (common practice, no source).

use std::f64::consts::PI;

use model::Hand;

/// What a row shows on the face that is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Row {
    /// Fronts of stitches: V beside V.
    Legs,
    /// Backs of stitches: bar beside bar.
    Bars,
}

/// One place of a cell.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Place {
    /// Whose yarn is seen: cells to the right and cells down from this one. Stitches reach over.
    pub(crate) right: i8,
    pub(crate) down: i8,
    /// Light that it gives, as a multiple of its yarn's colour; 1 on the average of the fabric.
    pub(crate) shade: f32,
    /// Light that it throws back white, in linear light: what lets a black yarn be seen.
    pub(crate) sheen: f32,
    /// How much of a strand inside is seen here: most in the gaps; 1 on the average.
    pub(crate) gap: f32,
}

/// Both rows of the fabric, each cell cut into `size × size` places.
pub(crate) struct Texture {
    size: usize,
    legs: Vec<Place>,
    bars: Vec<Place>,
}

/// A length of yarn within a stitch: a quadratic curve in cell widths and heights, from the cell's
/// upper left.
struct Stroke {
    points: [(f64, f64); 3],
    radius: f64,
    /// How far it stands out of the fabric at its beginning and its end, in radii of the thickest.
    lift: (f64, f64),
}

/// Half the thickness of the yarn where it lies on top, in stitches.
const THICK: f64 = 0.225;
/// Lift of yarn that is seen only between others.
const DEEP: f64 = -1.0;
/// Pieces that a curve is cut into.
const PIECES: usize = 8;
/// Towards the lamp: from the upper left, as pictures are lit.
const LAMP: [f64; 3] = [-0.42, -0.58, 0.70];
/// Light from everywhere, and from the lamp. Chosen by eye, like all numbers here.
const AMBIENT: f64 = 0.56;
const DIRECT: f64 = 0.62;
/// Light in a gap between strands.
const GAP: f64 = 0.36;
/// Depth of the grooves between the plies, and plies in a stitch's width of yarn.
const PLY: f64 = 0.13;
const PLIES: f64 = 3.4;
const SHEEN: f64 = 0.016;
/// The most that a gap shows of a strand inside, against the average.
const WIDEST_GAP: f64 = 1.8;

fn strokes(row: Row, hand: Hand) -> Vec<Stroke> {
    // A right-hander's stitches lean to the right (from memory), a left-hander's are the mirror image.
    let lean = 0.05;
    let turn = |(x, y): (f64, f64)| if hand == Hand::Right { (x, y) } else { (1.0 - x, y) };
    let stroke = |points: [(f64, f64); 3], radius, lift| Stroke { points: points.map(turn), radius, lift };
    match row {
        Row::Legs => vec![
            // What is seen between the legs: yarn that lies deeper.
            stroke([(-0.1, 0.86), (0.5, 0.96), (1.1, 0.86)], 0.24, (DEEP, DEEP)),
            stroke([(-0.1, 0.42), (0.5, 0.34), (1.1, 0.42)], 0.26, (DEEP, DEEP)),
            stroke([(0.18 + lean, -0.04), (0.23 + lean, 0.55), (0.46 - lean, 1.08)], THICK, (-0.62, 0.06)),
            stroke([(0.82 + lean, -0.04), (0.77, 0.55), (0.54 - lean, 1.08)], THICK, (-0.58, 0.12)),
        ],
        Row::Bars => vec![
            stroke([(-0.1, 0.80), (0.5, 0.74), (1.1, 0.80)], 0.26, (DEEP, DEEP)),
            stroke([(0.30, 0.45), (0.31, 0.80), (0.38, 1.06)], 0.19, (-0.35, -0.80)),
            stroke([(0.70, 0.45), (0.69, 0.80), (0.62, 1.06)], 0.19, (-0.35, -0.80)),
            stroke([(0.05, 0.47), (0.5 + lean, 0.12), (0.95, 0.47)], THICK, (0.35, 0.35)),
        ],
    }
}

/// What one ray from the eye meets.
struct Met {
    right: i8,
    down: i8,
    height: f64,
    shade: f64,
    sheen: f64,
}

impl Texture {
    /// The stitches of that hand, fine enough for so many samples across a stitch.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // small
    pub(crate) fn new(hand: Hand, samples: f64) -> Self {
        let size = (samples.ceil() as usize).clamp(3, 144);
        // Coarse places are means of finer ones, or small pictures would glitter.
        let finer = 36_usize.div_ceil(size);
        let (legs, bars) = (strokes(Row::Legs, hand), strokes(Row::Bars, hand));
        let mut cut = [(Row::Legs, Vec::new()), (Row::Bars, Vec::new())];
        for (row, places) in &mut cut {
            let around: Vec<(i8, i8, &Stroke)> = [-1, 0, 1]
                .into_iter()
                .flat_map(|down| [-1, 0, 1].map(|right| (right, down)))
                .flat_map(|(right, down)| {
                    let same = (down == 0) == (*row == Row::Legs);
                    (if same { &legs } else { &bars }).iter().map(move |stroke| (right, down, stroke))
                })
                // What lies deep is seen within its own cell, or neighbours would fight over it.
                .filter(|&(right, down, stroke)| stroke.lift.0 > DEEP || (right, down) == (0, 0))
                .collect();
            for v in 0..size {
                for u in 0..size {
                    let mut mean = Place::default();
                    for at in 0..finer * finer {
                        let along = |cell: usize, fine: usize| {
                            (cell as f64 + (fine as f64 + 0.5) / finer as f64) / size as f64
                        };
                        let met = look(&around, along(u, at % finer), along(v, at / finer));
                        let part = 1.0 / (finer * finer) as f32;
                        mean.shade += met.shade as f32 * part;
                        mean.sheen += met.sheen as f32 * part;
                        mean.gap += (1.0 - met.height).clamp(0.15, 2.0) as f32 * part;
                        if at == finer * finer / 2 {
                            (mean.right, mean.down) = (met.right, met.down);
                        }
                    }
                    places.push(mean);
                }
            }
        }
        let [(_, mut legs), (_, mut bars)] = cut;
        let all = (legs.len() + bars.len()) as f32;
        let mean = |of: fn(&Place) -> f32| legs.iter().chain(&bars).map(of).sum::<f32>() / all;
        let (shade, gap) = (mean(|place| place.shade), mean(|place| place.gap));
        for place in legs.iter_mut().chain(&mut bars) {
            place.shade /= shade;
            place.gap = (place.gap / gap).min(WIDEST_GAP as f32);
        }
        Self { size, legs, bars }
    }

    /// The places along a line through a cell, that far down it (0 to 1).
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // small
    pub(crate) fn line(&self, row: Row, down: f64) -> &[Place] {
        let places = match row {
            Row::Legs => &self.legs,
            Row::Bars => &self.bars,
        };
        &places[self.place(down) * self.size..][..self.size]
    }

    /// Which place of a line is that far along it (0 to 1).
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // small
    pub(crate) fn place(&self, along: f64) -> usize {
        ((along * self.size as f64) as usize).min(self.size - 1)
    }
}

/// Looks at a place of a cell: the highest of the strokes around it, or the gap.
fn look(around: &[(i8, i8, &Stroke)], u: f64, v: f64) -> Met {
    let mut met = Met { right: 0, down: 0, height: -1.0, shade: GAP, sheen: 0.0 };
    for &(right, down, stroke) in around {
        let at = (u - f64::from(right), v - f64::from(down));
        let Some(near) = nearest(&stroke.points, stroke.radius, at) else { continue };
        let [x, y, z] = near.normal;
        let lift = stroke.lift.0 + (stroke.lift.1 - stroke.lift.0) * near.part;
        let height = lift + z * stroke.radius / THICK;
        if height <= met.height {
            continue;
        }
        let lit = (x * LAMP[0] + y * LAMP[1] + z * LAMP[2]).max(0.0);
        let ply = 0.5 - 0.5 * libm::cos(2.0 * PI * (near.along * PLIES - near.across * 0.55));
        let deep = (0.74 + 0.32 * height).clamp(0.36, 1.06);
        met = Met {
            right,
            down,
            height,
            shade: (AMBIENT * (0.62 + 0.38 * z) + DIRECT * lit) * (1.0 - PLY * ply * ply) * deep,
            sheen: SHEEN * libm::pow(lit, 6.0) * deep,
        };
    }
    met
}

/// Where a stroke's surface is met.
pub(crate) struct Near {
    /// Out of the surface: right, down, towards the eye; of length 1.
    pub(crate) normal: [f64; 3],
    /// Length from the stroke's beginning, and as a part of the whole.
    pub(crate) along: f64,
    part: f64,
    /// Place across it, −1 to 1.
    pub(crate) across: f64,
}

/// The surface of a round stroke along a curve of three points, where the place lies on it.
fn nearest(points: &[(f64, f64); 3], radius: f64, at: (f64, f64)) -> Option<Near> {
    let reach = |of: fn(&(f64, f64)) -> f64, place: f64| {
        let (low, high) =
            points.iter().map(of).fold((f64::MAX, f64::MIN), |(low, high), p| (low.min(p), high.max(p)));
        place > low - radius && place < high + radius
    };
    if !reach(|p| p.0, at.0) || !reach(|p| p.1, at.1) {
        return None;
    }
    on_line(&curve(points), radius, at)
}

/// A quadratic curve as a line of points.
fn curve(&[a, b, c]: &[(f64, f64); 3]) -> [(f64, f64); PIECES + 1] {
    let mut line = [(0.0, 0.0); PIECES + 1];
    for (at, point) in line.iter_mut().enumerate() {
        #[allow(clippy::cast_precision_loss)] // small
        let t = at as f64 / PIECES as f64;
        let mix = |a: f64, b: f64, c: f64| (1.0 - t) * (1.0 - t) * a + 2.0 * t * (1.0 - t) * b + t * t * c;
        *point = (mix(a.0, b.0, c.0), mix(a.1, b.1, c.1));
    }
    line
}

/// The surface of a round stroke along a line of points, where the place lies on it.
pub(crate) fn on_line(line: &[(f64, f64)], radius: f64, at: (f64, f64)) -> Option<Near> {
    let mut best: Option<(f64, f64, (f64, f64), f64)> = None;
    let mut before = 0.0;
    for pair in line.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let way = (to.0 - from.0, to.1 - from.1);
        let length2 = way.0 * way.0 + way.1 * way.1;
        let length = length2.sqrt();
        let to_at = (at.0 - from.0, at.1 - from.1);
        let t = if length2 == 0.0 {
            0.0
        } else {
            ((to_at.0 * way.0 + to_at.1 * way.1) / length2).clamp(0.0, 1.0)
        };
        let away = (to_at.0 - t * way.0, to_at.1 - t * way.1);
        let distance2 = away.0 * away.0 + away.1 * away.1;
        if distance2 < best.as_ref().map_or(radius * radius, |best| best.0) {
            let side = if way.0 * away.1 - way.1 * away.0 < 0.0 { -1.0 } else { 1.0 };
            best = Some((distance2, before + t * length, away, side));
        }
        before += length;
    }
    best.map(|(distance2, along, away, side)| Near {
        normal: [away.0 / radius, away.1 / radius, (1.0 - distance2 / (radius * radius)).max(0.0).sqrt()],
        along,
        part: along / before.max(f64::MIN_POSITIVE),
        across: side * distance2.sqrt() / radius,
    })
}

/// Light that a strand gives which lies on the fabric, as a multiple of its yarn's colour.
pub(crate) fn lying(near: &Near) -> f64 {
    let [x, y, z] = near.normal;
    let lit = (x * LAMP[0] + y * LAMP[1] + z * LAMP[2]).max(0.0);
    let ply = 0.5 - 0.5 * libm::cos(2.0 * PI * (near.along * PLIES - near.across * 0.55));
    (AMBIENT * (0.62 + 0.38 * z) + DIRECT * lit) * (1.0 - PLY * ply * ply)
}
