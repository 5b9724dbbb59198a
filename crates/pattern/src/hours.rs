//! How long the work takes: an estimate, apart from the cost of a plan.

use replay::ProvenPlan;

/// How fast somebody works. Seconds each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// A stitch.
    pub stitch: f64,
    /// A change from one strand to another.
    pub change: f64,
    /// A stitch made over another strand, on top of the stitch.
    pub carried: f64,
    /// A strand locked in passing.
    pub lift: f64,
    /// Minding one waiting or working strand for one row: turning, untangling.
    pub mind: f64,
    /// A join or a cut, with weaving the end in.
    pub end: f64,
}

impl Default for Pace {
    /// Twenty stitches a minute: SEEN, a good hobbyist makes 55 to 60 in three minutes and a slow
    /// one 20 a minute. The rest is invented, to be replaced by the person's own pace.
    fn default() -> Self {
        Self { stitch: 3.0, change: 4.0, carried: 0.4, lift: 3.0, mind: 2.0, end: 90.0 }
    }
}

/// Hours of work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hours {
    /// Making stitches.
    pub stitches: f64,
    /// Changing strands, carrying and lifting them.
    pub strands: f64,
    /// Joining, cutting and weaving in.
    pub ends: f64,
}

impl Hours {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.stitches + self.strands + self.ends
    }
}

/// The hours that a plan takes at that pace.
#[must_use]
#[allow(clippy::cast_precision_loss)] // counts are far below 2^52
pub fn hours(proven: &ProvenPlan, pace: &Pace) -> Hours {
    let counts = proven.plan().counts;
    let lifts: u64 = proven.strands().iter().map(|strand| u64::from(strand.lifts)).sum();
    let rows_alive = proven.strands().iter().map(|strand| strand.last_row.0 - strand.first_row.0 + 1);
    let minded: usize = rows_alive.sum();
    let changes = counts.runs.saturating_sub(1);
    let hours = |seconds: f64| seconds / 3600.0;
    Hours {
        stitches: hours(proven.chart().stitches() as f64 * pace.stitch),
        strands: hours(
            changes as f64 * pace.change
                + counts.carried as f64 * pace.carried
                + lifts as f64 * pace.lift
                + minded as f64 * pace.mind,
        ),
        ends: hours(counts.ends() as f64 * pace.end),
    }
}
