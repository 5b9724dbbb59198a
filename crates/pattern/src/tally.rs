//! What each strand does, counted from the steps, for all rows or some of them.

use core::ops::Range;

use model::Step;
use replay::ProvenPlan;

/// What one strand does in some rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub(crate) struct Tally {
    /// Single crochets made.
    pub(crate) stitches: u64,
    /// Stitches passed in carries and drawings back.
    pub(crate) carried: u64,
    /// Rows climbed.
    pub(crate) lifts: u64,
    /// Chains of the foundation.
    pub(crate) foundation: u64,
    /// Turning chains.
    pub(crate) turning: u64,
    /// Joins.
    pub(crate) joins: u64,
    /// Cuts.
    pub(crate) cuts: u64,
    /// Runs worked.
    pub(crate) runs: u64,
    /// Rows in which it has steps.
    pub(crate) rows: u64,
}

impl Tally {
    /// Counts the steps of one row into the strands' tallies.
    fn count_row(proven: &ProvenPlan, row: usize, into: &mut [Self]) {
        let mut first = true;
        let mut here = Vec::new();
        for step in &proven.plan().rows[row].steps {
            let strand = step.strand().index();
            here.push(strand);
            let tally = &mut into[strand];
            match *step {
                Step::Join { .. } => tally.joins += 1,
                Step::Cut { .. } => tally.cuts += 1,
                Step::Work { from, to, .. } => {
                    tally.runs += 1;
                    tally.stitches += u64::from(from.0.abs_diff(to.0));
                    // Whoever works the first run of a row has made the chains that lead to it.
                    if core::mem::take(&mut first) {
                        if row == 0 {
                            tally.foundation += proven.chart().columns() as u64 + 1;
                        } else {
                            tally.turning += 1;
                        }
                    }
                }
                Step::Carry { from, to, .. } | Step::DrawBack { from, to, .. } => {
                    tally.carried += u64::from(from.0.abs_diff(to.0));
                }
                Step::Lift { .. } => tally.lifts += 1,
                Step::Drop { .. } => {}
            }
        }
        here.sort_unstable();
        here.dedup();
        for strand in here {
            into[strand].rows += 1;
        }
    }

    /// Adds what another does.
    pub(crate) fn add(&mut self, other: &Self) {
        self.stitches += other.stitches;
        self.carried += other.carried;
        self.lifts += other.lifts;
        self.foundation += other.foundation;
        self.turning += other.turning;
        self.joins += other.joins;
        self.cuts += other.cuts;
        self.runs += other.runs;
        self.rows += other.rows;
    }
}

/// What every strand does in these rows, in the order of strands.
pub(crate) fn by_strand(proven: &ProvenPlan, rows: Range<usize>) -> Vec<Tally> {
    let mut tallies = vec![Tally::default(); proven.plan().strands.len()];
    for row in rows {
        Tally::count_row(proven, row, &mut tallies);
    }
    tallies
}

/// What is done in each row by all strands together.
pub(crate) fn by_row(proven: &ProvenPlan) -> Vec<Tally> {
    let mut strands = vec![Tally::default(); proven.plan().strands.len()];
    (0..proven.chart().rows())
        .map(|row| {
            Tally::count_row(proven, row, &mut strands);
            let mut all = Tally::default();
            for step in &proven.plan().rows[row].steps {
                all.add(&core::mem::take(&mut strands[step.strand().index()]));
            }
            all
        })
        .collect()
}
