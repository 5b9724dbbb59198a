//! How much yarn: per colour and per strand, a first estimate.

use model::{ColourIndex, Length, YarnUse};
use replay::ProvenPlan;

/// Lowest and highest of what the yarn in a stitch comes to, over the width of a stitch: the band
/// that published measurements span (SEEN: 7.9 from an unravelled square of five inches, 9.6 from
/// 2.7 in a stitch, 10.6 from a single row).
const STITCH_TO_WIDTH_BAND: (f64, f64) = (8.0, 11.0);

/// A length with how far off it may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// At the low end of what was measured.
    pub low: Length,
    /// What the plan reckons with.
    pub likely: Length,
    /// At the high end.
    pub high: Length,
}

/// Yarn for one colour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amount {
    /// Which.
    pub yarn: ColourIndex,
    /// Its strands.
    pub strands: usize,
    /// Its stitches.
    pub stitches: u64,
    /// Yarn for all its strands, tails included.
    pub length: Band,
    /// Weight of the likely length in milligrams, where the ball is known.
    pub milligrams: Option<u64>,
    /// Balls for the high end of the band, where the ball is known.
    pub balls: Option<u64>,
}

/// Yarn for each colour that the plan uses, in palette order.
#[must_use]
pub fn amounts(proven: &ProvenPlan) -> Vec<Amount> {
    let (palette, plan) = (proven.chart().palette(), proven.plan());
    palette
        .indices()
        .filter_map(|yarn| {
            let strands: Vec<_> =
                plan.strands.iter().zip(proven.strands()).filter(|(claim, _)| claim.yarn == yarn).collect();
            if strands.is_empty() {
                return None;
            }
            let stitches = strands.iter().map(|(_, facts)| u64::from(facts.stitches)).sum();
            let likely = strands.iter().map(|(claim, _)| claim.length).sum();
            let length = band(likely, stitches, plan.yarn_use);
            let ball = palette.yarn(yarn).ball;
            Some(Amount {
                yarn,
                strands: strands.len(),
                stitches,
                length,
                milligrams: ball.map(|ball| scaled(ball.milligrams, likely, ball.length)),
                balls: ball.map(|ball| whole_balls(length.high, ball.length)),
            })
        })
        .collect()
}

/// Only what stitches take is uncertain; a measured swatch leaves no band.
fn band(likely: Length, stitches: u64, yarn_use: YarnUse) -> Band {
    if !yarn_use.estimated {
        return Band { low: likely, likely, high: likely };
    }
    let in_stitches = yarn_use.stitch * stitches;
    let at = |ratio: f64| {
        likely - in_stitches + Length::mm(in_stitches.as_mm() * ratio / YarnUse::STITCH_TO_WIDTH)
    };
    Band { low: at(STITCH_TO_WIDTH_BAND.0), likely, high: at(STITCH_TO_WIDTH_BAND.1) }
}

/// `whole · part / of`, rounded up.
fn scaled(whole: u64, part: Length, of: Length) -> u64 {
    let (part, of) = (i128::from(part.micrometres()), i128::from(of.micrometres().max(1)));
    u64::try_from((i128::from(whole) * part + of - 1) / of).unwrap_or(0)
}

fn whole_balls(length: Length, ball: Length) -> u64 {
    scaled(1, length, ball)
}
