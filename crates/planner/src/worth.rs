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

/// For each row a stretch of boundaries, or none: where something has changed.
pub(crate) struct Stretches(Vec<Option<(usize, usize)>>);

impl Stretches {
    pub(crate) fn none(rows: usize) -> Self {
        Self(vec![None; rows])
    }

    /// All boundaries of all rows.
    pub(crate) fn all(rows: usize, width: usize) -> Self {
        Self(vec![Some((0, width - 1)); rows])
    }

    pub(crate) fn clear(&mut self) {
        self.0.fill(None);
    }

    /// The row's stretch, first and last boundary.
    pub(crate) fn of(&self, row: usize) -> Option<(usize, usize)> {
        self.0[row]
    }

    /// Widens the row's stretch to hold another.
    pub(crate) fn add(&mut self, row: usize, (low, high): (usize, usize)) {
        self.0[row] = Some(self.0[row].map_or((low, high), |had| (had.0.min(low), had.1.max(high))));
    }

    pub(crate) fn any(&self, rows: core::ops::RangeInclusive<usize>) -> bool {
        self.0[rows].iter().any(Option::is_some)
    }
}

/// Worth of a strand at the top of each row, for each boundary.
pub(crate) struct Worth {
    width: usize,
    scale: i64,
    /// `hanging[row · width + b]`.
    hanging: Vec<i64>,
    /// Worth of each boundary of the row at hand to a strand that ends its move there.
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
    /// worth of each run's entry. `stale` says where prices, runs or ground have changed since the
    /// last time; the field below is worked out again only as far as it changes. `risen` gets the
    /// stretches where hanging at the top of a row is worth more than before.
    pub(crate) fn update(
        &mut self,
        finder: &Finder,
        scale: i64,
        in_worth: impl Fn(usize) -> i64,
        stale: &Stretches,
        risen: &mut Stretches,
    ) {
        self.scale = scale;
        risen.clear();
        let mut changed_above = None;
        for row in (1..finder.terms.rows).rev() {
            let stretch = match (stale.of(row), changed_above.take()) {
                (Some((low, high)), Some((from, to))) => (from.min(low), to.max(high)),
                (Some(stretch), None) | (None, Some(stretch)) => stretch,
                (None, None) => continue,
            };
            let (below, above) = self.hanging[(row - 1) * self.width..].split_at_mut(self.width);
            let mut field = Field {
                row: RowIndex(row),
                finder,
                scale,
                in_worth: &in_worth,
                above: &above[..self.width],
                below,
                here: &mut self.here,
                reach: &mut self.reach,
                changed: Changes::default(),
            };
            match finder.terms.longest_carry {
                None => field.spread_freely(stretch),
                Some(most) => field.spread_within(most, &mut self.queue),
            }
            let Changes { any, rise } = field.changed;
            changed_above = any;
            if let Some(rise) = rise {
                risen.add(row - 1, rise);
            }
        }
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

/// Where a row of the field has changed, and where it is worth more than before.
#[derive(Default)]
struct Changes {
    any: Option<(usize, usize)>,
    rise: Option<(usize, usize)>,
}

/// One row of the field at work: from what it is worth to hang at its top to the same for the row
/// below.
struct Field<'a, P> {
    row: RowIndex,
    finder: &'a Finder,
    scale: i64,
    in_worth: P,
    above: &'a [i64],
    below: &'a mut [i64],
    here: &'a mut [i64],
    reach: &'a mut [i64],
    changed: Changes,
}

impl<P: Fn(usize) -> i64> Field<'_, P> {
    /// Worth of a strand that is locked at a boundary for the rows above.
    fn locked(&self, at: usize) -> i64 {
        (self.above[at] - self.finder.ground.lift(self.row)[at] * self.scale).max(NOTHING)
    }

    /// What each boundary of a stretch is worth to a strand that ends its move there: locked, or working
    /// the run entered there.
    fn look_here(&mut self, (low, high): (usize, usize)) {
        let lift = &self.finder.ground.lift(self.row)[low..=high];
        let above = &self.above[low..=high];
        for ((here, above), lift) in self.here[low..=high].iter_mut().zip(above).zip(lift) {
            *here = (above - lift * self.scale).max(NOTHING);
        }
        for place in self.finder.entered_in(self.finder.in_row(self.row.0), self.row, (low, high)) {
            let entry = self.finder.runs[place].entry.0 as usize;
            self.here[entry] = self.here[entry].max((self.in_worth)(place));
        }
    }

    /// Worth at the top of the row below, of a strand worth `reach` once it gets to this row.
    fn hung(&self, reach: i64) -> i64 {
        (reach - self.finder.terms.hang * self.scale).max(NOTHING)
    }

    /// Takes `reach` over within a stretch, and notes where that is news.
    fn hang(&mut self, (low, high): (usize, usize)) {
        let hang = self.finder.terms.hang * self.scale;
        let widen = |stretch: &mut Option<(usize, usize)>, at: usize| {
            *stretch = Some(stretch.map_or((at, at), |(low, high)| (low.min(at), high.max(at))));
        };
        let stretch = self.below[low..=high].iter_mut().zip(&self.reach[low..=high]);
        for (at, (below, reach)) in (low..).zip(stretch) {
            let was = std::mem::replace(below, (reach - hang).max(NOTHING));
            if *below != was {
                widen(&mut self.changed.any, at);
                if *below > was {
                    widen(&mut self.changed.rise, at);
                }
            }
        }
    }

    /// `reach[b] = max over b' of here[b'] − distance`, worked out again where `here` or the ground
    /// has changed within a stretch.
    ///
    /// A boundary outside that is worth as much as being locked there parts the row: whatever lay
    /// behind it, seen from beyond, could be had from there as well, so a loss within the stretch is
    /// not felt past it. A gain may be, and is followed as far as it goes.
    fn spread_freely(&mut self, (low, high): (usize, usize)) {
        let passed = self.finder.ground.passed(self.row);
        let scale = self.scale;
        let step = |left: usize| {
            let step = passed[left + 1] - passed[left];
            if step >= FORBIDDEN { -NOTHING } else { step * scale }
        };
        let last = self.here.len() - 1;
        let parts = |at: &usize| self.below[*at] == self.hung(self.locked(*at));
        let low = (0..low).rev().find(parts).unwrap_or(0);
        let high = (high + 1..=last).find(parts).unwrap_or(last);
        self.look_here((low, high));
        let (here, reach) = (&self.here[..], &mut self.reach[..]);
        let mut best = NOTHING;
        for at in low..=high {
            if at > low {
                best -= step(at - 1);
            }
            best = best.max(here[at]).max(NOTHING);
            reach[at] = best;
        }
        for at in (low..high).rev() {
            reach[at] = reach[at].max(reach[at + 1] - step(at));
        }
        let (mut from, mut to) = (low, high);
        while from > 0 {
            let gained = self.reach[from] - step(from - 1);
            if self.hung(gained) <= self.below[from - 1] {
                break;
            }
            from -= 1;
            self.reach[from] = gained;
        }
        while to < last {
            let gained = self.reach[to] - step(to);
            if self.hung(gained) <= self.below[to + 1] {
                break;
            }
            to += 1;
            self.reach[to] = gained;
        }
        self.hang((from, to));
    }

    /// The same for the whole row, passing at most `most` stitches of other yarns.
    fn spread_within(&mut self, most: u32, queue: &mut Vec<usize>) {
        let (passed, others) = (self.finder.ground.passed(self.row), self.finder.ground.others(self.row));
        let last = self.here.len() - 1;
        self.look_here((0, last));
        reach_within(self.here, passed, others, most, self.scale, self.reach, queue);
        self.hang((0, last));
    }
}

/// `reach[b] = max over b' of here[b'] − distance`, passing at most `most` stitches of other yarns: two
/// sweeps of a sliding maximum.
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
