//! What it is worth, at current prices, to have a strand hang somewhere: the other half of the proof.
//!
//! The solver knows only the hand-overs that were found. Its prices put a *worth* on the entry of
//! each run: what bringing a strand there saves. From the last row down, the field below works out
//! what the best of all ways from each boundary of each row comes to: worth of the run reached, less
//! moves, lifts and rows minded. It needs no hand-over to be listed. Where no run's strand could gain
//! by going on from its exit, the prices are right for every hand-over there is, and the choice is
//! the cheapest of all; elsewhere the field tells the search which way the gain lies.
//!
//! Values are in price units: cost × scale, see [`pathcover::Cover::scale`]. The field leaves the
//! longest wait out of account, so with one it may promise too much, never too little.

use model::{Direction, RowIndex, Run};

use crate::finder::Finder;
use crate::ground::{FORBIDDEN, Ground};
use crate::search::Terms;

/// Nothing to gain from there.
pub(crate) const NOTHING: i64 = i64::MIN / 4;

/// Worth of a strand at the top of each row, for each boundary.
pub(crate) struct Worth {
    width: usize,
    scale: i64,
    /// `hanging[row · width + b]`.
    hanging: Vec<i64>,
    /// Worth of the run entered at each boundary of the row at hand.
    here: Vec<i64>,
    /// Worth of each boundary of the row at hand to a strand that may still move.
    reach: Vec<i64>,
    queue: Vec<usize>,
}

impl Worth {
    pub(crate) fn new(rows: usize, width: usize) -> Self {
        Self {
            width,
            scale: 1,
            hanging: vec![NOTHING; rows * width],
            here: vec![NOTHING; width],
            reach: vec![NOTHING; width],
            queue: Vec::new(),
        }
    }

    /// Works the field out, from the last row down: for price units of `scale` to one of cost and the
    /// worth of each run's entry. `stale` says in which rows prices, runs or ground have changed
    /// since the last time; the field below is worked out again as far down as it changes. Returns
    /// for each row whether what it is worth to hang at its top has changed.
    pub(crate) fn update(
        &mut self,
        finder: &Finder,
        scale: i64,
        in_worth: impl Fn(usize) -> i64,
        stale: impl Fn(usize) -> bool,
    ) -> Vec<bool> {
        let (ground, terms) = (&finder.ground, finder.terms);
        self.scale = scale;
        let mut changed = vec![false; terms.rows];
        for row in (1..terms.rows).rev() {
            if !changed[row] && !stale(row) {
                continue;
            }
            // What each boundary of this row is worth to a strand that gets there: the run entered
            // there, or being locked there for the rows above.
            let above = &self.hanging[row * self.width..][..self.width];
            let lift = ground.lift(RowIndex(row));
            for ((here, above), lift) in self.here.iter_mut().zip(above).zip(lift) {
                *here = (above - lift * scale).max(NOTHING);
            }
            for place in finder.in_row(row) {
                let entry = finder.runs[place].entry.0 as usize;
                self.here[entry] = self.here[entry].max(in_worth(place));
            }
            let (passed, others) = (ground.passed(RowIndex(row)), ground.others(RowIndex(row)));
            match terms.longest_carry {
                None => reach_freely(&self.here, passed, scale, &mut self.reach),
                Some(most) => {
                    reach_within(&self.here, passed, others, most, scale, &mut self.reach, &mut self.queue);
                }
            }
            let below = &mut self.hanging[(row - 1) * self.width..][..self.width];
            for (worth, reach) in below.iter_mut().zip(&self.reach) {
                let now = (reach - terms.hang * scale).max(NOTHING);
                changed[row - 1] |= *worth != now;
                *worth = now;
            }
        }
        changed
    }

    /// Worth of a strand at each boundary at the top of a row.
    pub(crate) fn hanging(&self, row: RowIndex) -> &[i64] {
        &self.hanging[row.0 * self.width..][..self.width]
    }

    /// Whether the strand of a run could gain by going on from its exit, where not going on is
    /// priced at `out`. `same_row` are the yarn's runs that come later in the same row, `price` what
    /// the entry of each is worth; no worth is above `most`.
    pub(crate) fn gains(
        &self,
        ground: &Ground,
        terms: Terms,
        run: &Run,
        (same_row, price): (&[Run], impl Fn(usize) -> i64),
        out: i64,
        most: i64,
    ) -> bool {
        let (row, exit) = (run.row, run.exit.0 as usize);
        let (passed, others) = (ground.passed(row), ground.others(row));
        let last = row.0 + 1 == terms.rows;
        let hanging = self.hanging(row);
        if !last && out + hanging[exit] > 0 {
            return true;
        }
        let lift = ground.lift(row);
        let mut later = same_row.iter().enumerate().peekable();
        let mut visit = |to: usize| {
            let distance = (passed[to] - passed[exit]).abs();
            let within = terms.longest_carry.is_none_or(|most| others[to].abs_diff(others[exit]) <= most);
            if distance >= FORBIDDEN || !within || out + most <= distance * self.scale {
                return Some(false);
            }
            if let Some((at, _)) = later.next_if(|(_, run)| run.entry.0 as usize == to)
                && out + price(at) > distance * self.scale
            {
                return Some(true);
            }
            (!last && out + hanging[to] > (distance + lift[to]) * self.scale).then_some(true)
        };
        let found = match row.direction(terms.hand) {
            Direction::Rightwards => (exit + 1..self.width).find_map(&mut visit),
            Direction::Leftwards => (0..exit).rev().find_map(&mut visit),
        };
        found == Some(true)
    }

    /// Price units in one unit of cost.
    pub(crate) const fn scale(&self) -> i64 {
        self.scale
    }
}

/// `reach[b] = max over b' of here[b'] − distance`, by two sweeps.
fn reach_freely(here: &[i64], passed: &[i64], scale: i64, reach: &mut [i64]) {
    let step = |left: usize| {
        let step = passed[left + 1] - passed[left];
        if step >= FORBIDDEN { -NOTHING } else { step * scale }
    };
    let mut best = NOTHING;
    for at in 0..here.len() {
        if at > 0 {
            best -= step(at - 1);
        }
        best = best.max(here[at]).max(NOTHING);
        reach[at] = best;
    }
    for at in (0..here.len() - 1).rev() {
        reach[at] = reach[at].max(reach[at + 1] - step(at));
    }
}

/// The same, passing at most `most` stitches of other yarns: two sweeps of a sliding maximum.
fn reach_within(
    here: &[i64],
    passed: &[i64],
    others: &[u32],
    most: u32,
    scale: i64,
    reach: &mut [i64],
    queue: &mut Vec<usize>,
) {
    reach.fill(NOTHING);
    let value = |from: usize, at: usize| {
        let distance = (passed[at] - passed[from]).abs();
        if distance >= FORBIDDEN { NOTHING } else { here[from] - distance * scale }
    };
    let sweep = |places: &mut dyn Iterator<Item = usize>, queue: &mut Vec<usize>, reach: &mut [i64]| {
        queue.clear();
        let mut head = 0;
        for at in places {
            while queue.len() > head && queue.last().is_some_and(|&last| value(last, at) <= here[at]) {
                queue.pop();
            }
            queue.push(at);
            while others[queue[head]].abs_diff(others[at]) > most {
                head += 1;
            }
            reach[at] = reach[at].max(value(queue[head], at));
        }
    };
    sweep(&mut (0..here.len()), queue, reach);
    sweep(&mut (0..here.len()).rev(), queue, reach);
}
