//! Why an edit can't be.

use core::fmt;

use model::{MAX_SIDE, PaletteError};

use crate::{MAX_FACTOR, MAX_STRAY, MAX_WIDTH, Region};

/// Why an edit can't be. Columns, rows, cells and yarns count from 0, as in [`crate::Edit`].
#[derive(Clone, Debug, PartialEq)]
pub enum EditError {
    /// A palette entry that is not there.
    NoSuchYarn {
        /// The field that names it.
        field: &'static str,
        /// The entry named.
        entry: usize,
        /// Yarns that there are.
        yarns: usize,
    },
    /// A cell by its place that is not there.
    NoSuchCell {
        /// The place.
        cell: usize,
        /// Stitches that there are.
        stitches: usize,
    },
    /// A cell by column and row that is not there.
    NoSuchPlace {
        /// Its column.
        column: usize,
        /// Its row.
        row: usize,
        /// Columns that there are.
        columns: usize,
        /// Rows that there are.
        rows: usize,
    },
    /// A row or column that is not there.
    NoSuchLine {
        /// `row` or `column`.
        line: &'static str,
        /// The one named.
        at: usize,
        /// How many there are.
        lines: usize,
    },
    /// A region without cells.
    EmptyRegion,
    /// A region that is not all in the chart.
    RegionOutside {
        /// The region.
        region: Region,
        /// The chart's columns.
        columns: usize,
        /// The chart's rows.
        rows: usize,
    },
    /// A region would go where nothing of it lies in the chart.
    AllOutside,
    /// A line or an outline of no width, or too wide.
    Width {
        /// `width` or `outline`.
        field: &'static str,
        /// The width asked for.
        width: usize,
    },
    /// A size of stray areas out of bounds.
    Stray(usize),
    /// A factor out of bounds.
    Factor(usize),
    /// A tolerance that is none.
    Tolerance(f64),
    /// No row or no column would be left of what there was.
    NothingLeft,
    /// The chart would be too large.
    TooLarge,
    /// A yarn can't take its own place.
    Itself,
    /// A yarn can't be dropped that makes stitches.
    InUse {
        /// Its palette entry.
        entry: usize,
        /// Its stitches.
        stitches: usize,
    },
    /// The palette would be none.
    Palette(PaletteError),
}

impl EditError {
    /// Where it is wrong: a field of the edit, or a thing of the chart.
    #[must_use]
    pub const fn place(&self) -> &'static str {
        match self {
            Self::NoSuchYarn { field, .. } | Self::Width { field, .. } => field,
            Self::NoSuchCell { .. } | Self::NoSuchPlace { .. } => "the chart",
            Self::NoSuchLine { line, .. } => line,
            Self::EmptyRegion | Self::RegionOutside { .. } => "region",
            Self::AllOutside => "to",
            Self::Stray(_) => "below",
            Self::Factor(_) => "by",
            Self::Tolerance(_) => "tolerance",
            Self::NothingLeft | Self::TooLarge => "the size",
            Self::Itself | Self::InUse { .. } | Self::Palette(_) => "the yarns",
        }
    }

    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::NoSuchYarn { .. } => "choose a yarn of the palette, or add one first",
            Self::NoSuchCell { .. } | Self::NoSuchPlace { .. } => "choose a stitch of the chart",
            Self::NoSuchLine { .. } => "choose one that the chart has",
            Self::EmptyRegion => "choose at least one stitch",
            Self::RegionOutside { .. } => "choose a part of the chart",
            Self::AllOutside => "move it less far",
            Self::Width { .. } => "give a width within these bounds",
            Self::Stray(_) => "give a number of stitches within these bounds",
            Self::Factor(_) => "give a whole number within these bounds",
            Self::Tolerance(_) => "give 0 for that very colour, about 10 for shades of it",
            Self::NothingLeft => "take fewer away",
            Self::TooLarge => "add fewer stitches or rows",
            Self::Itself => "choose another yarn",
            Self::InUse { .. } => "say which yarn takes its stitches",
            Self::Palette(error) => match error {
                PaletteError::Empty => "keep at least one yarn",
                PaletteError::TooMany(_) => "drop a yarn first",
                PaletteError::SameKey(_) | PaletteError::EmptyKey => "give each yarn a key of its own",
            },
        }
    }
}

impl fmt::Display for EditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchYarn { entry, yarns, .. } => {
                write!(f, "the palette has no yarn {entry}, it has {yarns} from 0")
            }
            Self::NoSuchCell { cell, stitches } => {
                write!(f, "there is no cell {cell}, the chart has {stitches} from 0")
            }
            Self::NoSuchPlace { column, row, columns, rows } => write!(
                f,
                "there is no cell in column {column}, row {row}: the chart has {columns} by {rows} from 0"
            ),
            Self::NoSuchLine { line, at, lines } => {
                write!(f, "there is no {line} {at}, the chart has {lines} from 0")
            }
            Self::EmptyRegion => f.write_str("the region holds no stitch"),
            Self::RegionOutside {
                region: Region { column, row, columns, rows },
                columns: width,
                rows: height,
            } => {
                write!(
                    f,
                    "the region of {columns} by {rows} from column {column}, row {row} is not all in the chart \
                     of {width} by {height}"
                )
            }
            Self::AllOutside => f.write_str("nothing of the region would lie in the chart"),
            Self::Width { width, .. } => {
                write!(f, "{width} stitches across is no width, 1 to {MAX_WIDTH} is")
            }
            Self::Stray(below) => {
                write!(f, "areas below {below} stitches can't be cleaned, below 2 to {MAX_STRAY} can")
            }
            Self::Factor(by) => write!(f, "a chart can't be enlarged by {by}, but by 1 to {MAX_FACTOR}"),
            Self::Tolerance(tolerance) => write!(f, "{tolerance} is no tolerance, 0 to 100 is"),
            Self::NothingLeft => f.write_str("no row or no column of the chart would be left"),
            Self::TooLarge => {
                write!(f, "the chart would be too large, {MAX_SIDE} is the most either way")
            }
            Self::Itself => f.write_str("a yarn can't take its own place"),
            Self::InUse { entry, stitches } => {
                write!(f, "yarn {entry} makes {stitches} stitches")
            }
            Self::Palette(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for EditError {}

impl From<PaletteError> for EditError {
    fn from(error: PaletteError) -> Self {
        Self::Palette(error)
    }
}
