//! What is wanted, and why it may not be had.

use core::fmt;

use charting::{Cells, Frame, Stopped};
use model::{Palette, Rules, YarnUse};
use planner::PlanError;

use crate::{Fixed, Importance};

/// A picture that is to become a chart.
#[derive(Clone, Copy)]
pub struct Task<'a> {
    /// The picture's cells.
    pub cells: &'a Cells,
    /// The yarns.
    pub palette: &'a Palette,
    /// How many of them, from the first, may show the picture; the others are for the frame and for
    /// fixed cells.
    pub pool: usize,
    /// What plans are made under, and what work costs.
    pub rules: &'a Rules,
    /// How lengths are worked out in plans.
    pub yarn_use: YarnUse,
    /// What matters in the picture.
    pub importance: &'a Importance,
    /// Cells that must stay.
    pub fixed: Option<&'a Fixed>,
    /// Plain stitches around the picture, in a palette entry. They are part of the chart and of its
    /// cost, and stay as they are.
    pub frame: Option<Frame>,
}

/// Why there is no chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EaseError {
    /// The weights of an importance map are not as many as it has cells.
    WeightsDoNotFill {
        /// Weights given.
        given: usize,
        /// Columns of the map.
        columns: usize,
        /// Rows of the map.
        rows: usize,
    },
    /// A weight is no number, or below 0, or too large; its place from 1, rows from the top.
    NoWeight {
        /// Its column.
        column: usize,
        /// Its row.
        row: usize,
    },
    /// The fixed cells are not as many as their map has.
    FixedDoNotFill {
        /// Cells given.
        given: usize,
        /// Columns of the map.
        columns: usize,
        /// Rows of the map.
        rows: usize,
    },
    /// A map is for a picture of another size.
    OtherSize {
        /// Which map.
        what: &'static str,
        /// Its columns.
        columns: usize,
        /// Its rows.
        rows: usize,
        /// Columns and rows of the picture.
        wanted: (usize, usize),
    },
    /// No yarn may show the picture, or more than the palette has.
    NoSuchPool {
        /// Yarns that may.
        pool: usize,
        /// Yarns of the palette.
        yarns: usize,
    },
    /// The frame, or a fixed cell, names a palette entry that is not there, from 0.
    NoSuchYarn(usize),
    /// With its frame the chart is larger than [`model::MAX_SIDE`].
    TooLarge,
    /// The chart can't be planned.
    Plan(PlanError),
    /// A chart is not one of this picture in this palette.
    OtherChart,
    /// The dial does not go so far.
    NoSuchEase(u8),
    /// So many charts to choose from are not made.
    NoSuchCount(usize),
    /// Stopped by the watch.
    Stopped,
}

impl fmt::Display for EaseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WeightsDoNotFill { given, columns, rows } => {
                write!(f, "an importance map of {columns} by {rows} cells has {given} weights")
            }
            Self::NoWeight { column, row } => {
                write!(
                    f,
                    "the importance in column {column} of row {row} is not a number from 0 to {}",
                    Importance::MOST
                )
            }
            Self::FixedDoNotFill { given, columns, rows } => {
                write!(f, "a map of fixed stitches of {columns} by {rows} cells has {given}")
            }
            Self::OtherSize { what, columns, rows, wanted } => {
                write!(f, "the {what} is {columns} by {rows} cells, the picture {} by {}", wanted.0, wanted.1)
            }
            Self::NoSuchPool { pool, yarns } => {
                write!(f, "{pool} yarns can't show the picture, the palette has {yarns}")
            }
            Self::NoSuchYarn(entry) => write!(f, "palette entry {entry} is not there"),
            Self::TooLarge => write!(f, "with its frame the chart is above {} stitches", model::MAX_SIDE),
            Self::Plan(error) => error.fmt(f),
            Self::OtherChart => f.write_str("the chart is of another size or palette than the picture's"),
            Self::NoSuchEase(ease) => write!(f, "an ease of {ease} is more than {}", crate::Ease::MOST),
            Self::NoSuchCount(count) => write!(f, "{count} charts to choose from are not between 5 and 7"),
            Self::Stopped => Stopped.fmt(f),
        }
    }
}

impl std::error::Error for EaseError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        if let Self::Plan(error) = self { Some(error) } else { None }
    }
}

impl EaseError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::WeightsDoNotFill { .. } | Self::FixedDoNotFill { .. } => "give one value for each cell",
            Self::NoWeight { .. } => "give numbers from 0 to 1000; 1 is as important as usual",
            Self::OtherSize { .. } => "make it the size of the picture in stitches",
            Self::NoSuchPool { .. } => "let at least one yarn of the palette show the picture",
            Self::NoSuchYarn(_) => "name a yarn of the palette",
            Self::TooLarge => "make the picture or its frame smaller",
            Self::Plan(_) => "make the chart smaller, or take the rules of this palette",
            Self::OtherChart => "compare charts of one picture",
            Self::NoSuchEase(_) => "give a whole number from 0 (plain) to 10 (easiest)",
            Self::NoSuchCount(_) => "ask for 5, 6 or 7",
            Self::Stopped => "start it again when you are ready",
        }
    }
}

impl From<PlanError> for EaseError {
    fn from(error: PlanError) -> Self {
        if error == PlanError::Cancelled { Self::Stopped } else { Self::Plan(error) }
    }
}

impl From<Stopped> for EaseError {
    fn from(Stopped: Stopped) -> Self {
        Self::Stopped
    }
}

impl Task<'_> {
    /// Whether all parts fit together.
    pub(crate) fn check(&self) -> Result<(), EaseError> {
        let wanted = (self.cells.columns(), self.cells.rows());
        let of = |what, columns, rows| {
            if (columns, rows) == wanted {
                Ok(())
            } else {
                Err(EaseError::OtherSize { what, columns, rows, wanted })
            }
        };
        of("importance map", self.importance.columns(), self.importance.rows())?;
        let yarns = self.palette.len();
        if self.pool == 0 || self.pool > yarns {
            return Err(EaseError::NoSuchPool { pool: self.pool, yarns });
        }
        let mut named: Vec<usize> = self.frame.iter().map(|frame| frame.yarn).collect();
        if let Some(fixed) = self.fixed {
            of("map of fixed stitches", fixed.columns(), fixed.rows())?;
            named.extend(fixed.entries().iter().flatten().map(|&entry| usize::from(entry)));
        }
        if let Some(&missing) = named.iter().find(|&&entry| entry >= yarns) {
            return Err(EaseError::NoSuchYarn(missing));
        }
        let edge = self.frame.map_or(0, |frame| 2 * frame.stitches as usize);
        if wanted.0 + edge > model::MAX_SIDE || wanted.1 + edge > model::MAX_SIDE {
            return Err(EaseError::TooLarge);
        }
        let rules = self.rules.tables.yarns();
        if rules != yarns || self.rules.never.yarns() != yarns {
            return Err(EaseError::Plan(PlanError::RulesForOtherYarns { rules, chart: yarns }));
        }
        if self.rules.weights.tail > model::Weights::MAX_TAIL {
            return Err(EaseError::Plan(PlanError::TailTooLong(self.rules.weights.tail)));
        }
        let cells = (wanted.0 + edge) * (wanted.1 + edge);
        if cells > planner::MAX_CELLS {
            return Err(EaseError::Plan(PlanError::TooLarge(cells)));
        }
        Ok(())
    }
}
