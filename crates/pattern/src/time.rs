//! How long the work takes: an estimate, apart from the cost of a plan.

use core::fmt;

use replay::ProvenPlan;

use crate::tally::{Tally, by_row};

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
    /// Joining a strand.
    pub join: f64,
    /// Cutting a strand.
    pub cut: f64,
    /// Weaving in one end.
    pub weave: f64,
}

impl Default for Pace {
    /// Twenty stitches a minute: SEEN, a good hobbyist makes 55 to 60 in three minutes and a slow
    /// one 20 a minute. The rest is invented, to be replaced by the person's own pace.
    fn default() -> Self {
        Self {
            stitch: 3.0,
            change: 4.0,
            carried: 0.4,
            lift: 3.0,
            mind: 2.0,
            join: 20.0,
            cut: 10.0,
            weave: 75.0,
        }
    }
}

/// What a person knows of their own pace; what they don't know stays as usual.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct OwnPace {
    /// Stitches in a minute.
    pub stitches_a_minute: Option<f64>,
    /// Seconds for a change of strands.
    pub change: Option<f64>,
    /// Seconds more for each stitch over a carried strand.
    pub carried: Option<f64>,
    /// Seconds for locking a strand.
    pub lift: Option<f64>,
    /// Seconds for minding a strand for a row.
    pub mind: Option<f64>,
    /// Seconds for a join.
    pub join: Option<f64>,
    /// Seconds for a cut.
    pub cut: Option<f64>,
    /// Seconds for weaving in an end.
    pub end: Option<f64>,
}

/// The most stitches in a minute: the record of 5,113 in half an hour (SEEN).
pub const MOST_STITCHES_A_MINUTE: f64 = 170.0;
/// The most seconds for anything that is done at a strand: half an hour (invented).
pub const MOST_SECONDS: f64 = 1800.0;

impl OwnPace {
    /// The pace that this makes of the usual one.
    ///
    /// # Errors
    /// When a number is not above zero (stitches) or below zero (seconds), or beyond belief.
    pub fn pace(&self) -> Result<Pace, PaceError> {
        let usual = Pace::default();
        let seconds = |what, own: Option<f64>, usual| match own {
            None => Ok(usual),
            Some(seconds) if (0.0..=MOST_SECONDS).contains(&seconds) => Ok(seconds),
            Some(seconds) => Err(PaceError::Seconds { what, seconds }),
        };
        Ok(Pace {
            stitch: match self.stitches_a_minute {
                None => usual.stitch,
                Some(number) if (0.5..=MOST_STITCHES_A_MINUTE).contains(&number) => 60.0 / number,
                Some(number) => return Err(PaceError::Stitches(number)),
            },
            change: seconds("a change", self.change, usual.change)?,
            carried: seconds("a carried stitch", self.carried, usual.carried)?,
            lift: seconds("a lift", self.lift, usual.lift)?,
            mind: seconds("minding a strand", self.mind, usual.mind)?,
            join: seconds("a join", self.join, usual.join)?,
            cut: seconds("a cut", self.cut, usual.cut)?,
            weave: seconds("an end", self.end, usual.weave)?,
        })
    }

    /// What looks odd in it: below six stitches a minute most people mean seconds for each.
    #[must_use]
    pub fn slip(&self) -> Option<String> {
        let number = self.stitches_a_minute.filter(|number| (0.5..6.0).contains(number))?;
        Some(format!("is that {number} seconds a stitch, so {:.0} stitches a minute?", 60.0 / number))
    }
}

/// Why numbers are no pace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PaceError {
    /// Stitches in a minute.
    Stitches(f64),
    /// Seconds for something.
    Seconds {
        /// For what.
        what: &'static str,
        /// As they were given.
        seconds: f64,
    },
}

impl fmt::Display for PaceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stitches(number) => write!(
                f,
                "{number} stitches a minute is no pace: it must lie between 0.5 and {MOST_STITCHES_A_MINUTE}"
            ),
            Self::Seconds { what, seconds } => {
                write!(f, "{seconds} seconds for {what} is no pace: it must lie between 0 and {MOST_SECONDS}")
            }
        }
    }
}

impl std::error::Error for PaceError {}

impl PaceError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Stitches(_) => "count the stitches of three minutes and divide by three; 15 to 25 is usual",
            Self::Seconds { .. } => "leave it out to have the usual one",
        }
    }
}

/// Hours of work, by what is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Time {
    /// Making stitches.
    pub stitches: f64,
    /// Changing strands.
    pub changes: f64,
    /// Working over carried strands.
    pub carries: f64,
    /// Locking strands in passing.
    pub lifts: f64,
    /// Minding strands.
    pub minding: f64,
    /// Joining.
    pub joins: f64,
    /// Cutting.
    pub cuts: f64,
    /// Weaving in ends.
    pub weaving: f64,
    /// The border, as the caller says.
    pub border: f64,
}

impl Time {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.named().into_iter().map(|(_, hours)| hours).sum()
    }

    /// What is done after the last row.
    #[must_use]
    pub fn finishing(&self) -> f64 {
        self.weaving + self.border
    }

    /// Every part with its name, in the order in which they are told.
    #[must_use]
    pub const fn named(&self) -> [(&'static str, f64); 9] {
        [
            ("stitches", self.stitches),
            ("changes", self.changes),
            ("carries", self.carries),
            ("lifts", self.lifts),
            ("minding strands", self.minding),
            ("joins", self.joins),
            ("cuts", self.cuts),
            ("weaving in", self.weaving),
            ("border", self.border),
        ]
    }
}

/// The hours that a plan takes at that pace, and a border that takes `border` hours.
#[must_use]
#[allow(clippy::cast_precision_loss)] // counts are far below 2^52
pub fn time(proven: &ProvenPlan, pace: &Pace, border: f64) -> Time {
    let mut all = Tally::default();
    for row in by_row(proven) {
        all.add(&row);
    }
    let ends = proven.plan().counts.ends() as f64;
    // The first run of all is no change.
    Time { weaving: ends * pace.weave / 3600.0, border, ..working(&all, all.runs.saturating_sub(1), pace) }
}

/// Minutes that each row takes, weaving in and border left out.
#[must_use]
pub fn minutes_by_row(proven: &ProvenPlan, pace: &Pace) -> Vec<f64> {
    let changes = |at: usize, row: &Tally| row.runs.saturating_sub(u64::from(at == 0));
    let rows = by_row(proven);
    rows.iter().enumerate().map(|(at, row)| working(row, changes(at, row), pace).total() * 60.0).collect()
}

/// What is done with the hook in hand.
#[allow(clippy::cast_precision_loss)]
fn working(done: &Tally, changes: u64, pace: &Pace) -> Time {
    let hours = |number: u64, seconds: f64| number as f64 * seconds / 3600.0;
    Time {
        stitches: hours(done.stitches, pace.stitch),
        changes: hours(changes, pace.change),
        carries: hours(done.carried, pace.carried),
        lifts: hours(done.lifts, pace.lift),
        minding: hours(done.rows, pace.mind),
        joins: hours(done.joins, pace.join),
        cuts: hours(done.cuts, pace.cut),
        weaving: 0.0,
        border: 0.0,
    }
}

/// Hours of work in three words: what a person weighs charts by.
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

/// The hours that a plan takes at that pace, without a border.
#[must_use]
pub fn hours(proven: &ProvenPlan, pace: &Pace) -> Hours {
    let time = time(proven, pace, 0.0);
    Hours {
        stitches: time.stitches,
        strands: time.changes + time.carries + time.lifts + time.minding,
        ends: time.joins + time.cuts + time.weaving,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: 5,113 stitches in 30 minutes is the record; a good hobbyist makes 55 to 60 in three
    /// minutes (SEEN).
    #[test]
    fn paces_of_people_are_taken_and_no_others() {
        let pace = |number| OwnPace { stitches_a_minute: Some(number), ..OwnPace::default() }.pace();
        assert!((pace(19.0).unwrap().stitch - 3.158).abs() < 1e-3);
        assert!(pace(5113.0 / 30.0 - 0.5).is_ok());
        for number in [0.0, -20.0, 171.0, f64::NAN, f64::INFINITY] {
            let error = pace(number).unwrap_err();
            assert!(matches!(error, PaceError::Stitches(_)) && !error.hint().is_empty(), "{number}");
        }
        let end = |seconds| OwnPace { end: Some(seconds), ..OwnPace::default() }.pace();
        assert!((end(120.0).unwrap().weave - 120.0).abs() < 1e-9);
        assert_eq!(
            end(-1.0).unwrap_err().to_string(),
            "-1 seconds for an end is no pace: it must lie between 0 and 1800"
        );
        assert_eq!(OwnPace::default().pace(), Ok(Pace::default()));
    }

    #[test]
    fn seconds_given_for_stitches_are_noticed() {
        let own = |number| OwnPace { stitches_a_minute: Some(number), ..OwnPace::default() };
        assert_eq!(own(3.0).slip().as_deref(), Some("is that 3 seconds a stitch, so 20 stitches a minute?"));
        assert_eq!(own(18.0).slip(), None);
    }
}
