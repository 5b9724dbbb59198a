//! What a person gives, in the units in which they gave it.

use core::num::NonZeroU8;

use border::{AlongSides, Heights, Repeat, Stitch};
use model::Length;
use pattern::{Counted, Day, DyeLots, LengthUnit, Margin, OwnPace, SwatchYarn, WeightUnit};

use crate::PaperWish;

/// Everything that is kept for the making of a blanket.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Making {
    /// The swatch.
    pub swatch: Option<SwatchGiven>,
    /// How much more than reckoned.
    pub margin: Margin,
    /// Whether a spare ball is bought.
    pub dye_lots: DyeLots,
    /// How much width and height shrink in the wash, in tenths of a per cent, where that was measured.
    pub shrinkage: Option<(i32, i32)>,
    /// How fast they work.
    pub pace: OwnPace,
    /// When they work.
    pub evenings: Option<Evenings>,
    /// Rows that are finished.
    pub rows_done: usize,
    /// The gauge, measured again on the work.
    pub again: Option<MeasuredAgain>,
    /// The border.
    pub border: BorderWish,
    /// The pattern on paper.
    pub paper: PaperWish,
}

/// A swatch. What was not measured is left out.
#[derive(Clone, Debug, PartialEq)]
pub struct SwatchGiven {
    /// Stitches in a width.
    pub stitches: Counted,
    /// Rows in a height.
    pub rows: Option<Counted>,
    /// The yarn that it took.
    pub taken: Option<YarnTaken>,
    /// Stitches in a row and rows of the whole swatch, where only a part of it was counted.
    pub whole: Option<(u32, u32)>,
    /// Whether one strand was carried inside.
    pub carried: bool,
    /// Key of its yarn; the main one of the blanket where left out.
    pub yarn: Option<String>,
}

/// The yarn in a swatch, as it was weighed or measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum YarnTaken {
    /// On a scale.
    Weighed(f64, WeightUnit),
    /// With a tape.
    Measured(f64, LengthUnit),
}

impl YarnTaken {
    pub(super) fn yarn(self) -> SwatchYarn {
        match self {
            Self::Weighed(number, unit) => SwatchYarn::Weighed(unit.times(number)),
            Self::Measured(number, unit) => SwatchYarn::Measured(unit.times(number)),
        }
    }
}

/// When somebody works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Evenings {
    /// Evenings in a week.
    pub a_week: u32,
    /// Minutes in an evening.
    pub minutes: u32,
    /// The day by which it is to be done, counted from the first of January 1970.
    pub by: Option<Day>,
}

/// What was measured on the work itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredAgain {
    /// Rows that were finished then.
    pub rows_done: usize,
    /// Stitches in a width.
    pub stitches: Counted,
    /// Rows in a height.
    pub rows: Counted,
    /// Height of all finished rows, where that was measured.
    pub height: Option<(f64, LengthUnit)>,
}

impl MeasuredAgain {
    pub(super) fn height(&self) -> Option<Length> {
        self.height.map(|(number, unit)| unit.times(number))
    }
}

/// A border as it is wished.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct BorderWish {
    /// Its rounds, from the blanket outwards.
    pub rounds: Vec<RoundWish>,
    /// Stitches along the row ends.
    pub along_sides: AlongSides,
    /// Heights of the stitches.
    pub heights: Heights,
}

/// A round as it is wished.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoundWish {
    /// Its stitch.
    pub stitch: Stitch,
    /// Key of its yarn.
    pub yarn: String,
    /// Stitches in each corner; as many as lie flat where left out.
    pub corners: Option<NonZeroU8>,
    /// What the stitches along each edge are to be a multiple of.
    pub repeat: Option<Repeat>,
}
