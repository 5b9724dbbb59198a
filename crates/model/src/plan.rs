//! Plans: what every strand does, row by row.
//!
//! A plan is only a claim. It becomes worth showing when `replay` has worked it stitch by stitch.

use core::fmt;

use crate::{Boundary, ColourIndex, Cost, Length, RowIndex, Rules, YarnUse};

/// A strand: one continuous length of one yarn, from its join to its cut. Its number is its place
/// in [`Plan::strands`], from 0.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct StrandId(pub u32);

impl StrandId {
    /// Place in [`Plan::strands`].
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

impl fmt::Display for StrandId {
    /// As people and documents count strands: from 1.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        (u64::from(self.0) + 1).fmt(f)
    }
}

/// The straight line of stitches that a tail is worked over by.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum TailLine {
    /// The next stitches of the same row, from the join or the cut on.
    Onward,
    /// The stitches of the same row just before a join: the strand is laid in before the change.
    Before,
    /// The first stitches of the next row from there, in that row's direction.
    NextRow,
}

/// A tail as a step says it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Tail {
    /// Which line.
    pub line: TailLine,
    /// Stitches of the line that are worked over it; the rest of [`crate::Weights::tail`] is missing.
    pub over: u32,
}

/// One thing to do with one strand. Steps stand in a row in the order of work.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Step {
    /// A new strand begins and works the next run.
    Join {
        /// Which.
        strand: StrandId,
        /// The entry of the run.
        at: Boundary,
        /// Its tail.
        tail: Tail,
    },
    /// The strand makes the stitches of one whole run.
    Work {
        /// Which.
        strand: StrandId,
        /// Entry of the run.
        from: Boundary,
        /// Exit of the run.
        to: Boundary,
    },
    /// The strand lies inside the stitches between, in the direction of work.
    Carry {
        /// Which.
        strand: StrandId,
        /// Where it hangs.
        from: Boundary,
        /// Where it gets to.
        to: Boundary,
    },
    /// The strand is drawn back against the direction of work, and the stitches between are worked
    /// over it.
    DrawBack {
        /// Which.
        strand: StrandId,
        /// Where it hangs, which this row's work meets later.
        from: Boundary,
        /// Where it gets to, which this row's work meets first.
        to: Boundary,
    },
    /// The strand is left waiting at the top of this row, straight after its work.
    Drop {
        /// Which.
        strand: StrandId,
        /// Exit of its run.
        at: Boundary,
    },
    /// The working yarn locks the strand as it passes, so that it climbs to the top of this row.
    Lift {
        /// Which.
        strand: StrandId,
        /// Where it hangs or has got to.
        at: Boundary,
    },
    /// The strand ends.
    Cut {
        /// Which.
        strand: StrandId,
        /// Exit of its last run.
        at: Boundary,
        /// Its tail.
        tail: Tail,
    },
}

impl Step {
    /// The strand that the step is about.
    #[must_use]
    pub const fn strand(&self) -> StrandId {
        match *self {
            Self::Join { strand, .. }
            | Self::Work { strand, .. }
            | Self::Carry { strand, .. }
            | Self::DrawBack { strand, .. }
            | Self::Drop { strand, .. }
            | Self::Lift { strand, .. }
            | Self::Cut { strand, .. } => strand,
        }
    }

    /// The boundary where this row's work stands when the step is begun.
    #[must_use]
    pub const fn place(&self) -> Boundary {
        match *self {
            Self::Join { at, .. }
            | Self::Drop { at, .. }
            | Self::Lift { at, .. }
            | Self::Cut { at, .. }
            | Self::Work { from: at, .. }
            | Self::Carry { from: at, .. }
            | Self::DrawBack { to: at, .. } => at,
        }
    }
}

/// The steps of one row in the order of work.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Row {
    /// The steps.
    pub steps: Vec<Step>,
}

/// What a plan says of one strand beside its steps.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct StrandClaim {
    /// Its yarn.
    pub yarn: ColourIndex,
    /// Yarn it takes, both tails included.
    pub length: Length,
}

/// A tail that can't be worked over for its whole length: to be woven in with a needle.
#[derive(Clone, Copy, PartialEq, Eq, Debug, PartialOrd, Ord)]
pub struct ShortTail {
    /// Row of the join or cut.
    pub row: RowIndex,
    /// Which strand.
    pub strand: StrandId,
    /// Whether it is the tail of the join (else of the cut).
    pub of_join: bool,
    /// Stitches missing.
    pub missing: u32,
}

/// Counts that a plan claims and a replay counts again.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct PlanCounts {
    /// Palette entries that the chart uses.
    pub colours: usize,
    /// Runs.
    pub runs: usize,
    /// Strands.
    pub strands: usize,
    /// Most strands alive in one row, each counted from the row of its join to that of its last run.
    pub strands_at_once: usize,
    /// Stitches passed in carries and drawings back, own yarn included, tails not.
    pub carried: u64,
    /// Most stitches of other yarns that one hand-over passes in one row.
    pub longest_carry: u32,
    /// Cost of the plan.
    pub cost: Cost,
}

impl PlanCounts {
    /// Two ends for each strand.
    #[must_use]
    pub const fn ends(&self) -> usize {
        2 * self.strands
    }
}

/// What every strand does, with what is claimed of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Plan {
    /// What it was made under.
    pub rules: Rules,
    /// How lengths were worked out.
    pub yarn_use: YarnUse,
    /// One entry a row, from the bottom.
    pub rows: Vec<Row>,
    /// The strands in the order of their joins.
    pub strands: Vec<StrandClaim>,
    /// Tails to be woven in with a needle, in the order of rows.
    pub short_tails: Vec<ShortTail>,
    /// The counts.
    pub counts: PlanCounts,
    /// No plan for this chart under these rules can cost less.
    pub bound: Cost,
}

impl Plan {
    /// `(cost − bound) / cost`; 0 where the cost is 0.
    #[must_use]
    pub fn gap(&self) -> f64 {
        if self.counts.cost == Cost::ZERO {
            return 0.0;
        }
        (self.counts.cost - self.bound).as_stitches() / self.counts.cost.as_stitches()
    }

    /// Short labels of all strands: symbol of the yarn and a number that counts the yarn's joins,
    /// as in `B3`.
    #[must_use]
    pub fn labels(&self, palette: &crate::Palette) -> Vec<String> {
        let mut seen = vec![0usize; palette.len()];
        self.strands
            .iter()
            .map(|strand| {
                seen[strand.yarn.index()] += 1;
                format!("{}{}", palette.symbol(strand.yarn), seen[strand.yarn.index()])
            })
            .collect()
    }
}
