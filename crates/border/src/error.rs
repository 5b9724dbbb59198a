//! Why there is no border for a piece.

use core::fmt;

use model::MAX_SIDE;

use crate::piece::{MAX_ROUNDS, MIN_COLUMNS};
use crate::plan::{Edge, MAX_PER_ROW_END, MAX_REPEAT};
use crate::stitch::{Heights, Stitch, Terms};

/// Why there is no border for a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BorderError {
    /// The piece has too few stitches or rows for four corners with something between them.
    TooSmall {
        /// Stitches across.
        columns: usize,
        /// Rows.
        rows: usize,
    },
    /// The piece is larger than any chart.
    TooLarge {
        /// Stitches across.
        columns: usize,
        /// Rows.
        rows: usize,
    },
    /// A stitch of this gauge is more than twice as wide as high, or the other way about.
    OutOfSquare {
        /// Row height over stitch width, in hundredths.
        height_to_width: u64,
    },
    /// More than [`MAX_ROUNDS`].
    TooManyRounds(usize),
    /// A stitch is said to be lower than a row of single crochet, or taller than anything is.
    Height {
        /// Which.
        stitch: Stitch,
        /// Thousandths of a row's height.
        thousandths: u32,
    },
    /// A repeat of no stitches, or of more than any side has.
    NoRepeat {
        /// Stitches in a repeat.
        multiple: u32,
        /// Stitches more.
        plus: u32,
    },
    /// Not one repeat fits on a side.
    RepeatTooWide {
        /// The round, from 1.
        round: usize,
        /// The side.
        edge: Edge,
        /// Stitches wanted at least: one repeat and the stitches more.
        wanted: u32,
        /// Stitches that the side has between its corner stitches.
        stitches: u32,
    },
    /// More stitches are asked for along a side than its row ends can take.
    TooManyAlongSides {
        /// Stitches asked for.
        stitches: u32,
        /// Row ends there are.
        row_ends: u32,
    },
}

impl fmt::Display for BorderError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::TooSmall { columns, rows } => {
                write!(f, "a piece of {columns} stitches by {rows} rows is too small for a border")
            }
            Self::TooLarge { columns, rows } => write!(
                f,
                "a piece of {columns} stitches by {rows} rows is too large, {MAX_SIDE} is the most either way"
            ),
            Self::OutOfSquare { height_to_width } => write!(
                f,
                "a row {}.{:02} times as high as a stitch is wide is no single crochet, it must be 0.50 to 2.00",
                height_to_width / 100,
                height_to_width % 100
            ),
            Self::TooManyRounds(rounds) => {
                write!(f, "{rounds} rounds are too many, a border has at most {MAX_ROUNDS}")
            }
            Self::Height { stitch, thousandths } => write!(
                f,
                "a {} (US) {}.{:03} rows high is none: it must be {} to {} rows of single crochet",
                Terms::Us.full(stitch),
                thousandths / 1000,
                thousandths % 1000,
                Heights::LOWEST / 1000,
                Heights::HIGHEST / 1000
            ),
            Self::NoRepeat { multiple, plus } => write!(
                f,
                "a multiple of {multiple} plus {plus} is no repeat: the first must be 1 to {MAX_REPEAT}, the second \
                 at most {MAX_REPEAT}"
            ),
            Self::RepeatTooWide { round, edge, wanted, stitches } => write!(
                f,
                "round {round} has {stitches} stitches along the {edge} edge, too few for a repeat that needs {wanted}"
            ),
            Self::TooManyAlongSides { stitches, row_ends } => write!(
                f,
                "{stitches} stitches do not go into {row_ends} row ends, {MAX_PER_ROW_END} in each is the most"
            ),
        }
    }
}

impl std::error::Error for BorderError {}

impl BorderError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::TooSmall { .. } => {
                format!("take a piece of at least {MIN_COLUMNS} stitches and a few rows")
            }
            Self::TooLarge { .. } => "make the border of each panel by itself".into(),
            Self::OutOfSquare { .. } => {
                "measure again: were stitches and rows counted over the same length?".into()
            }
            Self::TooManyRounds(_) => "work the rest as a border of its own".into(),
            Self::Height { .. } => "give the height in rows of single crochet, or leave it out".into(),
            Self::NoRepeat { .. } => "give the stitches of one repeat, then the stitches more".into(),
            Self::RepeatTooWide { .. } => "choose a smaller repeat, or work more rounds before it".into(),
            Self::TooManyAlongSides { .. } => "leave the count out to have it worked out".into(),
        }
    }
}
