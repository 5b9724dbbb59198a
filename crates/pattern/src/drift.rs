//! Gauge that drifts: measured again on the work itself, what that leaves to do.

use core::fmt;

use model::{Gauge, Length};
use replay::ProvenPlan;

use crate::amounts::amounts_of;
use crate::units::Band;
use crate::{Amount, Choices, Takes};

/// What was measured on the work after some rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Remeasured {
    /// Rows finished.
    pub rows_done: usize,
    /// The gauge of the last of them, away from the edges.
    pub gauge: Gauge,
    /// Height of all rows finished, where it was measured; else they are taken to be of that gauge.
    pub height: Option<Length>,
}

/// What is left to do at the gauge that the work really has.
#[derive(Clone, Debug, PartialEq)]
pub struct Drift {
    /// Width of the finished piece.
    pub width: Length,
    /// Height of what is done.
    pub height_done: Length,
    /// Height of the finished piece if the chart is worked to its end.
    pub height: Length,
    /// Rows of the chart that are left.
    pub rows_left: usize,
    /// Rows to go to come nearest to the wished height.
    pub rows_to_go: usize,
    /// Yarn in a stitch, against what was reckoned: 1 is as reckoned.
    pub yarn: f64,
    /// Yarn for the rows left, and the border: what to have beside the strands that hang.
    pub amounts: Vec<Amount>,
    /// Fewer than [`ENOUGH_ROWS`] rows are done: hands may still settle.
    pub early: bool,
    /// So far from the plan's gauge that a slip is likelier than a drift.
    pub far: bool,
    /// All of it in words.
    pub says: String,
}

/// Rows after which a gauge has settled (common practice, no source).
pub const ENOUGH_ROWS: usize = 20;
/// The most that a drift is believed to be, either way (invented).
const MOST: f64 = 1.25;

/// Why nothing can be said of a drift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DriftError {
    /// No row is done.
    NothingDone,
    /// More rows are done than the chart has.
    RowsDone {
        /// As it was given.
        done: usize,
        /// Rows of the chart.
        rows: usize,
    },
    /// A height that is nothing or less.
    Height(Length),
}

impl fmt::Display for DriftError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingDone => f.write_str("no row is done, so there is nothing to measure again"),
            Self::RowsDone { done, rows } => write!(f, "{done} rows are done, and the chart has {rows}"),
            Self::Height(height) => write!(f, "{:.1} cm is no height", height.as_cm()),
        }
    }
}

impl std::error::Error for DriftError {}

impl DriftError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::NothingDone => "measure again after 20 rows",
            Self::RowsDone { .. } => "give the number of the last row that is finished",
            Self::Height(_) => "give a height above zero",
        }
    }
}

/// What is left to do, when the piece is to be `wished` high without its border.
///
/// Yarn in a stitch goes with the square root of the stitch's area: stitches to an area go with one
/// over loop length squared (form SEEN for plain knitting, Munden 1959; taken to hold for crochet).
///
/// # Errors
/// When no row is done or more than there are, or a height is nothing.
pub fn drift(
    proven: &ProvenPlan,
    planned: &Gauge,
    choices: &Choices,
    again: &Remeasured,
    wished: Length,
) -> Result<Drift, DriftError> {
    let chart = proven.chart();
    let (done, rows) = (again.rows_done, chart.rows());
    if done == 0 {
        return Err(DriftError::NothingDone);
    }
    if done > rows {
        return Err(DriftError::RowsDone { done, rows });
    }
    if let Some(height) = again.height.into_iter().chain([wished]).find(|height| *height <= Length::ZERO) {
        return Err(DriftError::Height(height));
    }
    let gauge = &again.gauge;
    let wider = planned.stitches() / gauge.stitches();
    let higher = planned.rows() / gauge.rows();
    let yarn = libm::sqrt(wider * higher);
    let times = |length: Length, times: f64| Length::mm(length.as_mm() * times);

    let height_done = again.height.unwrap_or_else(|| gauge.height_of(done));
    let rows_left = rows - done;
    let height = height_done + gauge.height_of(rows_left);
    let to_go = (wished - height_done).as_mm() * gauge.rows() / 100.0;
    // Within ten thousand rows or so: a wished height is bounded by what a length holds.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let rows_to_go = libm::round(to_go.max(0.0)) as usize;

    let takes = &choices.takes;
    let yarn_use = takes.yarn_use;
    let stitch: Band = takes.stitch.map(|stitch| times(stitch, yarn));
    let now = Takes {
        yarn_use: model::YarnUse {
            stitch: stitch.likely,
            chain: times(yarn_use.chain, wider),
            carried: times(yarn_use.carried, wider),
            lift: times(yarn_use.lift, higher),
            ..yarn_use
        },
        stitch,
        grist: takes.grist,
    };
    let amounts = amounts_of(proven, done..rows, &Choices { takes: now, ..choices.clone() });
    let far = [wider, higher].iter().any(|times| !(1.0 / MOST..=MOST).contains(times));
    let mut found = Drift {
        width: gauge.width_of(chart.columns()),
        height_done,
        height,
        rows_left,
        rows_to_go,
        yarn,
        amounts,
        early: done < ENOUGH_ROWS,
        far,
        says: String::new(),
    };
    found.says = says(&found, planned.width_of(chart.columns()));
    Ok(found)
}

fn says(found: &Drift, planned_width: Length) -> String {
    let Drift { width, height, rows_left, rows_to_go, yarn, .. } = found;
    let mut text = format!(
        "Worked to the chart's end it will be {:.1} cm wide (planned: {:.1} cm) and {:.1} cm high.",
        width.as_cm(),
        planned_width.as_cm(),
        height.as_cm()
    );
    let rows = |number: usize| format!("{number} row{}", if number == 1 { "" } else { "s" });
    text += &if rows_to_go == rows_left {
        format!(" {} to go, as the chart has them.", rows(*rows_left))
    } else if rows_to_go > rows_left {
        format!(
            " For the wished height work {} more than the {rows_left} that the chart has left: plain ones at the \
             top, or a deeper border.",
            rows(rows_to_go - rows_left)
        )
    } else {
        format!(
            " For the wished height the chart's {rows_left} to go are {} too many: leave plain ones out, or \
             take a smaller hook.",
            rows(rows_left - rows_to_go)
        )
    };
    let percent = (yarn - 1.0) * 100.0;
    text += &if percent.abs() < 1.0 {
        " Yarn: as reckoned.".into()
    } else {
        format!(" Yarn: {:.0} % {} a stitch.", percent.abs(), if percent > 0.0 { "more" } else { "less" })
    };
    if found.far {
        text += " That is far from the plan's gauge: measure once more, over 10 cm, the work lying flat.";
    } else if found.early {
        text += " Hands settle in the first rows: measure once more after 20.";
    }
    text
}
