//! Yarn and time for a border.

use model::{ColourIndex, Length, YarnUse};

use crate::stitch::Stitch;
use crate::{Border, Worked};

/// Lowest and highest yarn in a single crochet that was not measured, in thousandths of the estimate:
/// 8 and 11 times its width against 9.5 (DERIVED from three published measurements).
const ESTIMATED: (i64, i64) = (842, 1158);

/// The same for a taller stitch against what its ratio to single crochet gives: two tests of
/// double crochet differ by a fifth (DERIVED: 1.00 and 0.84 of the yarn in the same area).
const TALLER: (i64, i64) = (800, 1200);

/// A length with how far off it may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// At the low end.
    pub low: Length,
    /// What to reckon with.
    pub likely: Length,
    /// At the high end.
    pub high: Length,
}

/// What one yarn does in a border.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amount {
    /// Which.
    pub yarn: ColourIndex,
    /// Rounds of it.
    pub rounds: usize,
    /// Stitches of it, starting chains that count as one among them.
    pub stitches: u64,
    /// Times that it is joined; each leaves two ends to weave in.
    pub joins: u64,
    /// Its length, tails included.
    pub length: Band,
}

/// Yarn for each colour that the border uses, in palette order.
///
/// A round takes its stitches, its starting chain, a slip stitch to close (reckoned as a chain: both
/// draw one loop), and where the yarn is joined two tails and another slip stitch.
#[must_use]
pub fn amounts(border: &Border, yarn_use: &YarnUse) -> Vec<Amount> {
    let mut amounts: Vec<Amount> = Vec::new();
    for (round, joins) in border.rounds().iter().zip(joined(border)) {
        let stitch = round.round.stitch;
        let each = Length::from_micrometres(thousandths(yarn_use.stitch.micrometres(), small(stitch.yarn())));
        let made = u64::from(round.stitches) - u64::from(stitch.chain_counts());
        let in_stitches = each * made;
        let joins = u64::from(joins);
        let chains = u64::from(stitch.starting_chain()) + 1 + joins;
        let fixed = yarn_use.chain * chains + yarn_use.tail * (2 * joins);
        let at = |estimated: i64, taller: i64| {
            let mut length = in_stitches.micrometres();
            if yarn_use.estimated {
                length = thousandths(length, estimated);
            }
            if stitch != Stitch::Sc {
                length = thousandths(length, taller);
            }
            Length::from_micrometres(length) + fixed
        };
        let (low, high) = (at(ESTIMATED.0, TALLER.0), at(ESTIMATED.1, TALLER.1));
        let likely = in_stitches + fixed;
        let yarn = round.round.yarn;
        let place = amounts.binary_search_by_key(&yarn, |amount| amount.yarn).unwrap_or_else(|place| {
            let none = Band { low: Length::ZERO, likely: Length::ZERO, high: Length::ZERO };
            amounts.insert(place, Amount { yarn, rounds: 0, stitches: 0, joins: 0, length: none });
            place
        });
        let amount = &mut amounts[place];
        amount.rounds += 1;
        amount.stitches += u64::from(round.stitches);
        amount.joins += joins;
        amount.length.low += low;
        amount.length.likely += likely;
        amount.length.high += high;
    }
    amounts
}

/// For each round whether its yarn is joined there: the first, and every other than the one below.
pub(crate) fn joined(border: &Border) -> impl Iterator<Item = bool> + '_ {
    let yarn = |round: &Worked| round.round.yarn;
    let rounds = border.rounds();
    (0..rounds.len()).map(move |at| at == 0 || yarn(&rounds[at]) != yarn(&rounds[at - 1]))
}

/// How fast somebody works a border. Seconds each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// A single crochet; taller stitches take their multiple of it, see [`Stitch::time`].
    pub stitch: f64,
    /// Weaving in or cutting one end.
    pub end: f64,
}

impl Default for Pace {
    /// Twenty stitches a minute (SEEN: a slow worker's three seconds a stitch); for an end a minute
    /// and a half (invented).
    fn default() -> Self {
        Self { stitch: 3.0, end: 90.0 }
    }
}

/// Hours of work on a border.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hours {
    /// Making stitches.
    pub stitches: f64,
    /// Joining, cutting and weaving in.
    pub ends: f64,
}

impl Hours {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.stitches + self.ends
    }
}

/// The hours that a border takes at that pace.
#[must_use]
#[allow(clippy::cast_precision_loss)] // counts are far below 2^52
pub fn hours(border: &Border, pace: &Pace) -> Hours {
    let in_sc: u64 =
        border.rounds().iter().map(|round| u64::from(round.stitches) * round.round.stitch.time()).sum();
    let ends = 2 * joined(border).filter(|joined| *joined).count();
    Hours { stitches: in_sc as f64 / 1000.0 * pace.stitch / 3600.0, ends: ends as f64 * pace.end / 3600.0 }
}

/// So many thousandths of a length in micrometres, to the nearest.
fn thousandths(micrometres: i64, thousandths: i64) -> i64 {
    let scaled = (i128::from(micrometres) * i128::from(thousandths) + 500).div_euclid(1000);
    i64::try_from(scaled).unwrap_or(i64::MAX)
}

fn small(ratio: u64) -> i64 {
    i64::try_from(ratio).unwrap_or(i64::MAX)
}
