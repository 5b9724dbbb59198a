//! The optimum of a tiny chart by trying every move of every strand.
//!
//! Reads `docs/strand-model.md` as a person at work would: row by row, and in a row from boundary
//! to boundary. At each boundary every strand of the yarn does each of the things that the table of
//! moves lets it do there, and pays for that thing alone; stitch by stitch the strands that lie
//! inside pay for the stitch. Nothing here knows what a whole hand-over costs.
//!
//! Where two ways of working have led to the same state only the better one goes on. A state is
//! what the future depends on: where each strand is, and how much of a limit it has used up.
//! Strands of one yarn that agree in that are interchangeable.
//!
//! Takes well under a millisecond for 4 rows × 5 columns and some tens of them for 5 × 6 of two
//! yarns; the states multiply with every run more in a row.

use std::collections::BTreeMap;

use model::{Chart, ColourIndex, Cost, Direction, RowIndex, Rules};

use crate::random::picture;

/// What a strand is doing. Boundaries are counted in the direction of work of the row at hand: the
/// number of stitches made before.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Strand {
    /// Hangs at the top of the row before and has not been touched in this row. It has been locked
    /// for `waited` rows without working.
    Waits { at: usize, waited: u32 },
    /// Lies inside the stitches that are being made, `others` of them of other yarns so far. Locked
    /// in this row it would have waited for `waited` rows.
    Rides { others: u32, waited: u32 },
    /// Makes the stitches.
    Works,
    /// Is at the top of this row and out of the way until the next.
    Rests { at: usize, waited: u32 },
}

/// Cost so far and strands begun so far; the better is the smaller.
type Price = (Cost, usize);

/// All ways of working up to some moment, the best for each state.
type Ways = BTreeMap<Vec<Strand>, Price>;

/// The least cost of a plan and the fewest strands of a plan of that cost.
///
/// Each yarn is worked out alone and the results are added. That is the whole optimum: what a
/// strand may do and what it pays depends on the chart and on itself, never on the strands of
/// another yarn (some strand always works at every boundary, so there is always one that locks),
/// and the limits hold for each hand-over alone.
///
/// # Panics
/// When the rules are for another palette.
#[must_use]
pub fn cheapest(chart: &Chart, rules: &Rules) -> (Cost, usize) {
    let mut total = (Cost::ZERO, 0);
    for yarn in chart.palette().indices() {
        let (cost, strands) = OneYarn { chart, rules, yarn }.cheapest();
        total = (total.0 + cost, total.1 + strands);
    }
    total
}

/// Compares a result with [`cheapest`].
///
/// # Panics
/// When they differ; the message holds the chart and the rules.
pub fn compare(name: &str, chart: &Chart, rules: &Rules, got: (Cost, usize)) {
    let want = cheapest(chart, rules);
    assert!(got == want, "{name}: got {got:?}, brute force has {want:?} for\n{}{rules:#?}", picture(chart));
}

struct OneYarn<'a> {
    chart: &'a Chart,
    rules: &'a Rules,
    yarn: ColourIndex,
}

/// One row as its work meets it.
struct WorkRow {
    stitches: Vec<ColourIndex>,
    /// The stitches of the next row in *its* direction of work; `None` above the top.
    above: Option<Vec<ColourIndex>>,
    /// Runs of the yarn that begin in later rows.
    runs_later: usize,
}

impl OneYarn<'_> {
    fn cheapest(&self) -> Price {
        let mut ways = Ways::from([(Vec::new(), (Cost::ZERO, 0))]);
        for row in 0..self.chart.rows() {
            let row = WorkRow {
                stitches: self.stitches(row),
                above: (row + 1 < self.chart.rows()).then(|| self.stitches(row + 1)),
                runs_later: (row + 1..self.chart.rows())
                    .map(|row| self.runs_from(&self.stitches(row), 0))
                    .sum(),
            };
            ways = self.turn(self.work(&row, ways), row.stitches.len());
        }
        *ways.get(&Vec::new()).expect("a strand for each run is always a plan")
    }

    /// The stitches of a row in the direction of work.
    fn stitches(&self, row: usize) -> Vec<ColourIndex> {
        let mut stitches = self.chart.row(RowIndex(row)).to_vec();
        if RowIndex(row).direction(self.rules.hand) == Direction::Leftwards {
            stitches.reverse();
        }
        stitches
    }

    fn begins_run(&self, stitches: &[ColourIndex], at: usize) -> bool {
        at < stitches.len() && stitches[at] == self.yarn && (at == 0 || stitches[at - 1] != self.yarn)
    }

    fn ends_run(&self, stitches: &[ColourIndex], at: usize) -> bool {
        at > 0 && stitches[at - 1] == self.yarn && (at == stitches.len() || stitches[at] != self.yarn)
    }

    fn runs_from(&self, stitches: &[ColourIndex], at: usize) -> usize {
        (at..stitches.len()).filter(|&at| self.begins_run(stitches, at)).count()
    }

    /// Works one row in every way.
    fn work(&self, row: &WorkRow, mut ways: Ways) -> Ways {
        for at in 0..=row.stitches.len() {
            // A strand that is not cut has a run to come, and no two strands have the same.
            let runs_to_come = row.runs_later + self.runs_from(&row.stitches, at + 1);
            let mut after = Ways::new();
            for (strands, price) in ways {
                self.at_boundary(row, at, &strands, (Vec::new(), price, false), &mut |mut strands, price| {
                    if strands.iter().filter(|&&strand| strand != Strand::Works).count() <= runs_to_come {
                        strands.sort_unstable();
                        keep(&mut after, strands, price);
                    }
                });
            }
            ways = if at == row.stitches.len() { after } else { self.make_stitch(row.stitches[at], after) };
        }
        ways
    }

    /// Lets the strands of `left`, one after the other, do each thing that they may do at boundary
    /// `at`; `done` holds those that have decided, the price so far, and whether a strand has
    /// taken the run that begins here.
    fn at_boundary(
        &self,
        row: &WorkRow,
        at: usize,
        left: &[Strand],
        done: (Vec<Strand>, Price, bool),
        result: &mut dyn FnMut(Vec<Strand>, Price),
    ) {
        let (strands, (cost, begun), taken) = done;
        let run_here = self.begins_run(&row.stitches, at);
        let Some((&strand, left)) = left.split_first() else {
            if run_here && !taken {
                let price = (cost + self.rules.weights.join + self.join_tail(row, at), begun + 1);
                result([strands, vec![Strand::Works]].concat(), price);
            } else {
                result(strands, (cost, begun));
            }
            return;
        };
        let mut go = |next: Option<Strand>, extra: Cost, takes: bool| {
            let strands = strands.iter().copied().chain(next).collect();
            self.at_boundary(row, at, left, (strands, (cost + extra, begun), taken || takes), result);
        };
        let may_work = run_here && !taken;
        let may_go_on = at < row.stitches.len();
        match strand {
            Strand::Rests { .. } => go(Some(strand), Cost::ZERO, false),
            Strand::Works => {
                if self.ends_run(&row.stitches, at) {
                    go(None, self.rules.weights.cut + self.cut_tail(row, at), false);
                    go(Some(Strand::Rests { at, waited: 0 }), Cost::ZERO, false);
                    if may_go_on {
                        go(Some(Strand::Rides { others: 0, waited: 0 }), Cost::ZERO, false);
                    }
                } else {
                    go(Some(strand), Cost::ZERO, false);
                }
            }
            Strand::Rides { waited, .. } => {
                if may_work {
                    go(Some(Strand::Works), Cost::ZERO, true);
                }
                if self.may_wait(waited) {
                    go(Some(Strand::Rests { at, waited }), self.lift(row, at), false);
                }
                if may_go_on {
                    go(Some(strand), Cost::ZERO, false);
                }
            }
            Strand::Waits { at: hangs, waited } => {
                // Kept at 0 where nothing limits it, so that more ways lead to the same state.
                let waited = if self.rules.limits.longest_wait.is_some() { waited + 1 } else { 0 };
                if hangs > at {
                    go(Some(strand), Cost::ZERO, false);
                } else if may_go_on {
                    go(Some(Strand::Rides { others: 0, waited }), Cost::ZERO, false);
                }
                // Drawn back to here, where it hangs further on; else it hangs here.
                let Some(back) = self.draw_back(&row.stitches[at..hangs]) else { return };
                if may_work {
                    go(Some(Strand::Works), back, true);
                }
                if self.may_wait(waited) {
                    go(Some(Strand::Rests { at, waited }), back + self.lift(row, at), false);
                }
            }
        }
    }

    /// Makes one stitch over all strands that lie inside it. Ways that a forbidden pair or the
    /// longest carry rules out end here.
    fn make_stitch(&self, stitch: ColourIndex, ways: Ways) -> Ways {
        let mut after = Ways::new();
        for (mut strands, (mut cost, begun)) in ways {
            let mut fine = true;
            for strand in &mut strands {
                if let Strand::Rides { others, .. } = strand {
                    if stitch != self.yarn && self.rules.limits.longest_carry.is_some() {
                        *others += 1;
                    }
                    fine &= self.may_hide(stitch, *others);
                    cost += self.rules.tables.carry(self.yarn, stitch);
                }
            }
            if fine {
                keep(&mut after, strands, (cost, begun));
            }
        }
        after
    }

    /// Turns the work: whatever is at the top of the row waits for the next one, which comes back.
    fn turn(&self, ways: Ways, columns: usize) -> Ways {
        let mut after = Ways::new();
        for (strands, (mut cost, begun)) in ways {
            let mut turned = Vec::new();
            for strand in strands {
                let Strand::Rests { at, waited } = strand else {
                    unreachable!("no work goes on past the edge")
                };
                cost += self.rules.weights.hang;
                turned.push(Strand::Waits { at: columns - at, waited });
            }
            turned.sort_unstable();
            keep(&mut after, turned, (cost, begun));
        }
        after
    }

    fn may_wait(&self, waited: u32) -> bool {
        self.rules.limits.longest_wait.is_none_or(|most| waited <= most)
    }

    fn may_hide(&self, stitch: ColourIndex, others: u32) -> bool {
        !self.rules.never.forbids(self.yarn, stitch)
            && self.rules.limits.longest_carry.is_none_or(|most| others <= most)
    }

    /// What it costs to be worked over by these stitches in one go, where that may be.
    fn draw_back(&self, stitches: &[ColourIndex]) -> Option<Cost> {
        let (mut cost, mut others) = (Cost::ZERO, 0);
        for &stitch in stitches {
            others += u32::from(stitch != self.yarn);
            if !self.may_hide(stitch, others) {
                return None;
            }
            cost += self.rules.tables.carry(self.yarn, stitch);
        }
        Some(cost)
    }

    fn lift(&self, row: &WorkRow, at: usize) -> Cost {
        if at == 0 || at == row.stitches.len() {
            self.rules.tables.lift_edge
        } else {
            self.rules.tables.lift(self.yarn, row.stitches[at - 1])
        }
    }

    fn join_tail(&self, row: &WorkRow, at: usize) -> Cost {
        let onward = self.line(row.stitches[at..].iter());
        let before = self.line(row.stitches[..at].iter().rev());
        onward.min(before).min(self.line_above(row, at))
    }

    fn cut_tail(&self, row: &WorkRow, at: usize) -> Cost {
        self.line(row.stitches[at..].iter()).min(self.line_above(row, at))
    }

    /// A tail in the next row, which meets this boundary after the stitches that this row has left.
    fn line_above(&self, row: &WorkRow, at: usize) -> Cost {
        match &row.above {
            Some(above) => self.line(above[row.stitches.len() - at..].iter()),
            None => self.line([].iter()),
        }
    }

    /// A tail along these stitches, as far as it is long.
    fn line<'s>(&self, stitches: impl Iterator<Item = &'s ColourIndex>) -> Cost {
        let (carry, never) = (&self.rules.tables, &self.rules.never);
        let mut line = stitches.map(|&stitch| (!never.forbids(self.yarn, stitch)).then_some(stitch));
        (0..self.rules.weights.tail)
            .map(|_| match line.next().flatten() {
                Some(stitch) => carry.carry(self.yarn, stitch),
                None => self.rules.weights.short,
            })
            .sum()
    }
}

fn keep(ways: &mut Ways, strands: Vec<Strand>, price: Price) {
    let best = ways.entry(strands).or_insert(price);
    *best = price.min(*best);
}
