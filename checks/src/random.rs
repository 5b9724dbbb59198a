//! Random charts and rules for tests: deterministic, so that a seed names a case.
//!
//! All colours, pictures and weights made here are invented.

use model::{Chart, Cost, Hand, Limits, Never, Palette, RowIndex, Rules, Srgb, Weights, Yarn};

/// A small generator of random numbers, the same on every platform.
///
/// Source: splitmix64, as Steele, Lea and Flood give it in "Fast splittable pseudorandom number
/// generators", OOPSLA 2014 (constants from memory). Good enough to draw test cases.
#[derive(Clone, Debug)]
pub struct Rng(u64);

impl Rng {
    /// The generator of that seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 random bits.
    pub const fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number from 0 to `n - 1`.
    ///
    /// # Panics
    /// When `n` is 0.
    #[allow(clippy::cast_possible_truncation)] // the product's upper half is below n
    pub const fn below(&mut self, n: usize) -> usize {
        assert!(n > 0, "there is no number below 0");
        ((self.bits() as u128 * n as u128) >> 64) as usize
    }

    /// A number from `low` to `high`, both included.
    ///
    /// # Panics
    /// When `low` lies above `high`.
    pub const fn between(&mut self, low: usize, high: usize) -> usize {
        low + self.below(high - low + 1)
    }

    /// True once in `n` times.
    ///
    /// # Panics
    /// When `n` is 0.
    pub const fn once_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    /// One byte.
    #[allow(clippy::cast_possible_truncation)] // the eight top bits
    pub const fn byte(&mut self) -> u8 {
        (self.bits() >> 56) as u8
    }

    fn u32_below(&mut self, n: u32) -> u32 {
        u32::try_from(self.below(n as usize)).expect("below a 32-bit number")
    }
}

/// A palette of so many yarns of random colours, now and then two of the same colour.
///
/// # Panics
/// When `yarns` is 0 or more than a palette takes.
#[must_use]
pub fn palette(rng: &mut Rng, yarns: usize) -> Palette {
    let mut colours: Vec<Srgb> = Vec::new();
    for at in 0..yarns {
        let colour = if at > 0 && rng.once_in(5) {
            colours[rng.below(at)]
        } else {
            Srgb::new(rng.byte(), rng.byte(), rng.byte())
        };
        colours.push(colour);
    }
    let yarns = colours.iter().enumerate();
    Palette::new(
        yarns.map(|(at, &colour)| Yarn::plain(format!("y{at}"), format!("yarn {at}"), colour)).collect(),
    )
    .expect("keys differ, and the caller keeps to the bounds")
}

/// A chart of that size in noise, blobs or stripes of so many yarns; not every yarn need occur.
///
/// # Panics
/// When the size or the number of yarns is out of bounds.
#[must_use]
pub fn chart(rng: &mut Rng, rows: usize, columns: usize, yarns: usize) -> Chart {
    let palette = palette(rng, yarns);
    let cells = match rng.below(4) {
        0 | 1 => noise(rng, rows * columns, yarns),
        2 => blobs(rng, rows, columns, yarns),
        _ => stripes(rng, rows, columns, yarns),
    };
    Chart::new(palette, rows, columns, &cells)
        .expect("as many cells as the size asks for, all in the palette")
}

/// Any yarn in any cell, the first one more often than the others.
fn noise(rng: &mut Rng, cells: usize, yarns: usize) -> Vec<u8> {
    let ground = rng.below(3);
    (0..cells).map(|_| if rng.below(4) < ground { 0 } else { yarn(rng.below(yarns)) }).collect()
}

/// Each cell takes the yarn of the nearest of a few random points.
fn blobs(rng: &mut Rng, rows: usize, columns: usize, yarns: usize) -> Vec<u8> {
    let points: Vec<(usize, usize, u8)> = (0..rng.between(1, yarns + 3))
        .map(|_| (rng.below(rows), rng.below(columns), yarn(rng.below(yarns))))
        .collect();
    let mut cells = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let near =
                points.iter().min_by_key(|&&(r, c, _)| row.abs_diff(r).pow(2) + column.abs_diff(c).pow(2));
            cells.push(near.expect("there is a point").2);
        }
    }
    cells
}

/// Stripes across, upright or aslant, with a few stray stitches.
fn stripes(rng: &mut Rng, rows: usize, columns: usize, yarns: usize) -> Vec<u8> {
    let (up, across, width, shift) = (rng.below(3), rng.below(3), rng.between(1, 4), rng.below(yarns));
    let mut cells = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let stripe = (row * up + column * across) / width + shift;
            cells.push(yarn(if rng.once_in(12) { rng.below(yarns) } else { stripe % yarns }));
        }
    }
    cells
}

fn yarn(entry: usize) -> u8 {
    u8::try_from(entry).expect("a palette has at most 64 yarns")
}

/// Rules for that palette: either hand, random weights with three decimals or coarse ones (then
/// many plans cost the same), zeros among them, a tail of 0 to 6 stitches, and in half of the
/// cases some forbidden pairs. No limits, see [`limits`].
#[must_use]
pub fn rules(rng: &mut Rng, palette: &Palette) -> Rules {
    let coarse = rng.once_in(3);
    // Up to so many stitches; the scale of ends against moves differs from case to case as well.
    let dear_ends = [2, 6, 20][rng.below(3)];
    let mut weight = |most: i64| {
        if rng.once_in(6) {
            return Cost::ZERO;
        }
        let most = usize::try_from(most * 1000).expect("weights are not negative");
        let thousandths = rng.below(most + 1);
        let thousandths = if coarse { thousandths / 500 * 500 } else { thousandths };
        Cost::from_thousandths(i64::try_from(thousandths).expect("weights are small"))
    };
    let weights = Weights {
        join: weight(dear_ends),
        cut: weight(dear_ends),
        short: weight(3),
        hang: weight(1),
        carry_same: weight(1),
        carry_other: weight(2),
        carry_show_dark: if coarse { Cost::ZERO } else { weight(3) },
        carry_show_light: if coarse { Cost::ZERO } else { weight(3) },
        lift: weight(2),
        lift_show: if coarse { Cost::ZERO } else { weight(3) },
        lift_edge: weight(2),
        tail: rng.u32_below(7),
    };
    let hand = if rng.once_in(2) { Hand::Left } else { Hand::Right };
    Rules { never: never(rng, palette), ..Rules::new(palette, weights, hand) }
}

fn never(rng: &mut Rng, palette: &Palette) -> Never {
    let mut never = Never::none(palette.len());
    if rng.once_in(2) {
        for hidden in palette.indices() {
            for stitch in palette.indices() {
                if rng.once_in(4) {
                    never.forbid(hidden, stitch);
                }
            }
        }
    }
    never
}

/// Limits of which each is unset in one case of three, else small.
#[must_use]
pub fn limits(rng: &mut Rng) -> Limits {
    let mut limit = || (!rng.once_in(3)).then(|| rng.u32_below(4));
    Limits { longest_carry: limit(), longest_wait: limit() }
}

/// The chart in letters, top row first as a person sees it: for messages.
#[must_use]
pub fn picture(chart: &Chart) -> String {
    let mut text = String::new();
    for row in (0..chart.rows()).rev() {
        for &cell in chart.row(RowIndex(row)) {
            text += &chart.palette().symbol(cell);
        }
        text.push('\n');
    }
    text
}

/// The mirror image of a chart.
///
/// # Panics
/// Never: a chart's mirror image is a chart.
#[must_use]
pub fn mirrored(chart: &Chart) -> Chart {
    let mut cells = Vec::new();
    for row in chart.row_indices() {
        cells.extend(chart.row(row).iter().rev().map(|cell| cell.as_u8()));
    }
    Chart::new(chart.palette().clone(), chart.rows(), chart.columns(), &cells)
        .expect("same size, same palette")
}
