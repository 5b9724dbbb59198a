//! The cheapest choice among the hand-overs of one yarn.

use model::{Boundary, Cost};
use pathcover::{Cover, Network, certify, solve};

use crate::HandOvers;

/// A chosen hand-over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandOver {
    /// Place of the run it leads to among the yarn's runs.
    pub to: u32,
    /// What it costs: moves, lifts and rows minded.
    pub cost: Cost,
    /// Where the strand hangs at the top of each row from the one it leaves to the one before the one
    /// it gets to; empty within one row.
    pub way: Vec<Boundary>,
}

/// What was chosen for one yarn: for each of its runs, in the order of work, the run that its strand
/// works next; and the proven least cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What follows each run; `None` where the strand is cut.
    pub next: Vec<Option<HandOver>>,
    /// No choice for this yarn costs less.
    pub bound: Cost,
}

/// How many runs are searched between two calls of the watch.
const STRIDE: usize = 256;

/// The first search goes this part of the farthest that could be of use: a quarter. Measured on a
/// photograph and on noise: a fifth to a third is best, and it matters little.
pub(crate) const FIRST: i64 = 4;

/// Chooses, and lets more hand-overs be found where the choice could still gain by them. `tell`
/// hears how many more runs are done and answers whether to go on; `None` when it said stop.
///
/// # Panics
/// When the solver's own proof does not hold, which would be a defect of the solver: better no plan
/// than one that claims too much.
#[must_use]
pub fn choose(hand_overs: &mut HandOvers, tell: &dyn Fn(usize) -> bool) -> Option<Choice> {
    let cover = cover(hand_overs, tell, solve)?;
    let network = hand_overs.network();
    let certificate = match certify(network, &cover) {
        Ok(certificate) => certificate,
        Err(flaw) => panic!("the path cover is not proven: {flaw:?}"),
    };
    tell(hand_overs.runs().len());
    let chosen: Vec<Option<(u32, i64)>> = (cover.next.iter().enumerate())
        .map(|(from, to)| to.map(|to| (to, network.cost(from, to as usize).expect("it is certified"))))
        .collect();
    let finder = &mut hand_overs.finder;
    let hand_over = |(from, next): (usize, Option<(u32, i64)>)| {
        let (to, cost) = next?;
        let way = finder.way(from, to as usize, cost).expect("the search found this cost");
        Some(HandOver { to, cost: Cost::from_thousandths(cost), way })
    };
    let next = chosen.into_iter().enumerate().map(hand_over).collect();
    Some(Choice { next, bound: Cost::from_thousandths(certificate.cost) })
}

/// The cheapest cover of a yarn's runs, with prices that hold for every hand-over there is; `None`
/// when `tell` said stop.
///
/// First only cheap hand-overs are found, and the best choice among them is made. Its prices say
/// where a dearer one would pay; those are found and the choice is made again, until the prices hold
/// for every hand-over there is (see [`HandOvers::find_gaining`]). Most hand-overs are never looked
/// at.
pub fn cover(
    hand_overs: &mut HandOvers,
    tell: &dyn Fn(usize) -> bool,
    solve: impl Fn(&Network) -> Cover,
) -> Option<Cover> {
    for run in 0..hand_overs.runs().len() {
        if run % STRIDE == 0 && !tell(0) {
            return None;
        }
        hand_overs.find_within(run, Cost::from_thousandths(hand_overs.most(run).thousandths() / FIRST));
    }
    loop {
        if !tell(0) {
            return None;
        }
        let cover = solve(hand_overs.network());
        if hand_overs.find_gaining(&cover) == 0 {
            return Some(cover);
        }
    }
}
