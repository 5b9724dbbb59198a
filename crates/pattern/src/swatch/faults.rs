//! What is wrong with a swatch, what looks wrong, and which slip of the pen would explain it.

use core::fmt;

use model::{Length, WeightCategory};

use super::{Counted, SwatchYarn};
use crate::units::{GRAMS_IN_AN_OUNCE, LengthUnit, Weight};

/// One of the figures that a person gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// Stitches counted.
    Stitches,
    /// The width they were counted over.
    Width,
    /// Rows counted.
    Rows,
    /// The height they were counted over.
    Height,
    /// What the swatch weighs.
    Weight,
    /// The yarn it took.
    Length,
    /// Stitches in a row of the whole swatch.
    WorkedStitches,
    /// Rows of the whole swatch.
    WorkedRows,
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Stitches => "stitches",
            Self::Width => "width",
            Self::Rows => "rows",
            Self::Height => "height",
            Self::Weight => "weight",
            Self::Length => "length of yarn",
            Self::WorkedStitches => "stitches in a row of the whole swatch",
            Self::WorkedRows => "rows of the whole swatch",
        })
    }
}

/// How a number may have come to be what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlipKind {
    /// Counted in 4 inches, given as in 1 inch.
    InFourInches,
    /// Counted in 1 inch, given as in 4 inches.
    InOneInch,
    /// Counted in 10 cm, given as in 1 cm.
    InTenCentimetres,
    /// Counted in 1 cm, given as in 10 cm.
    InOneCentimetre,
    /// Inches, given as centimetres.
    Inches,
    /// Centimetres, given as inches.
    Centimetres,
    /// Ounces, given as grams.
    Ounces,
    /// Grams, given as ounces.
    Grams,
    /// Metres, given as centimetres.
    Metres,
    /// Centimetres of yarn, given as metres.
    CentimetresOfYarn,
    /// Yards, given as inches.
    Yards,
    /// Inches of yarn, given as yards.
    InchesOfYarn,
}

/// A likely slip: the question to ask is its text.
#[derive(Clone, Debug, PartialEq)]
pub struct Slip {
    /// Which.
    pub kind: SlipKind,
    /// Of which figure.
    pub of: Figure,
    /// The number as it was given.
    pub number: f64,
    /// What it was counted over, as it was given; 0 where nothing was counted.
    pub over: f64,
}

impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (number, of, over) = (self.number, self.of, self.over);
        match self.kind {
            SlipKind::InFourInches => write!(f, "is that {number} {of} in 4 inches, not per inch?"),
            SlipKind::InOneInch => write!(f, "is that {number} {of} in 1 inch, not in 4?"),
            SlipKind::InTenCentimetres => write!(f, "is that {number} {of} in 10 cm, not per cm?"),
            SlipKind::InOneCentimetre => write!(f, "is that {number} {of} in 1 cm, not in 10?"),
            SlipKind::Inches => write!(f, "is that {number} {of} in {over} inches, not cm?"),
            SlipKind::Centimetres => write!(f, "is that {number} {of} in {over} cm, not inches?"),
            SlipKind::Ounces => f.write_str("is the weight in ounces, not grams?"),
            SlipKind::Grams => f.write_str("is the weight in grams, not ounces?"),
            SlipKind::Metres => f.write_str("is the yarn in metres, not centimetres?"),
            SlipKind::CentimetresOfYarn => f.write_str("is the yarn in centimetres, not metres?"),
            SlipKind::Yards => f.write_str("is the yarn in yards, not inches?"),
            SlipKind::InchesOfYarn => f.write_str("is the yarn in inches, not yards?"),
        }
    }
}

/// The slip that makes a believable gauge of an unbelievable one; none where it is believable.
pub(super) fn slip(counted: &Counted, of: Figure, believable: (f64, f64)) -> Option<Slip> {
    let fits = |in_10_cm: f64| (believable.0..=believable.1).contains(&in_10_cm);
    let given = counted.in_10_cm();
    if fits(given) {
        return None;
    }
    let over = |number: f64, unit: LengthUnit| {
        let (wanted, given) = (unit.times(number), counted.unit.times(counted.over));
        wanted.micrometres().abs_diff(given.micrometres()) <= wanted.micrometres().unsigned_abs() / 50
    };
    let (cm, inches) = (LengthUnit::Centimetres, LengthUnit::Inches);
    // What was asked for in one way and given in another first; mixed-up units after.
    [
        (over(1.0, inches), 1.0 / 4.0, SlipKind::InFourInches),
        (over(1.0, cm), 1.0 / 10.0, SlipKind::InTenCentimetres),
        (over(4.0, inches) && counted.unit == inches, 4.0, SlipKind::InOneInch),
        (over(10.0, cm) && counted.unit == cm, 10.0, SlipKind::InOneCentimetre),
        (counted.unit == cm, 1.0 / 2.54, SlipKind::Inches),
        (counted.unit == inches, 2.54, SlipKind::Centimetres),
    ]
    .into_iter()
    .find(|&(asked, times, _)| asked && fits(given * times))
    .map(|(.., kind)| Slip { kind, of, number: counted.count, over: counted.over })
}

/// The slip that brings the yarn in a stitch between 6 and 14 times its width.
pub(super) fn yarn_slip(yarn: SwatchYarn, ratio: f64) -> Option<Slip> {
    let kinds: &[(f64, SlipKind)] = match yarn {
        SwatchYarn::Weighed(_) => {
            &[(GRAMS_IN_AN_OUNCE, SlipKind::Ounces), (1.0 / GRAMS_IN_AN_OUNCE, SlipKind::Grams)]
        }
        SwatchYarn::Measured(_) => &[
            (100.0, SlipKind::Metres),
            (0.01, SlipKind::CentimetresOfYarn),
            (36.0, SlipKind::Yards),
            (1.0 / 36.0, SlipKind::InchesOfYarn),
        ],
    };
    let (of, number) = match yarn {
        SwatchYarn::Weighed(weight) => (Figure::Weight, weight.as_grams()),
        SwatchYarn::Measured(length) => (Figure::Length, length.as_metres()),
    };
    // What was taken off for chains and what lies inside makes it inexact: hence the wider band.
    let found = kinds.iter().find(|(times, _)| (6.0..=14.0).contains(&(ratio * times)))?;
    Some(Slip { kind: found.1, of, number, over: 0.0 })
}

/// Something that looks odd; the swatch is taken all the same.
#[derive(Clone, Debug, PartialEq)]
pub enum Caution {
    /// A likely slip.
    Slip(Slip),
    /// A gauge far from what is usual, and no slip explains it.
    UnusualGauge {
        /// Stitches in 10 cm.
        stitches: f64,
        /// The category it is unusual for, where known.
        category: Option<WeightCategory>,
    },
    /// Rows far higher or lower than single crochet is.
    OutOfSquare {
        /// Row height over stitch width.
        ratio: f64,
        /// Whether swapping width and height makes it right.
        swapped: bool,
    },
    /// A side so short that half a stitch tells.
    Small(Length),
    /// So light that the scale decides.
    Light(Weight),
    /// Nothing was carried inside.
    NothingInside,
    /// Much more or less yarn in a stitch than anybody measured.
    UnusualYarn {
        /// Yarn over the width of a stitch.
        ratio: f64,
        /// The slip that would explain it.
        slip: Option<Slip>,
    },
}

impl fmt::Display for Caution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Slip(slip) => write!(f, "the {} look off", slip.of),
            Self::UnusualGauge { stitches, category: Some(category) } => {
                write!(f, "{stitches:.1} stitches in 10 cm are unusual for {} yarn", category.name())
            }
            Self::UnusualGauge { stitches, category: None } => {
                write!(f, "{stitches:.1} stitches in 10 cm are unusual for any yarn")
            }
            Self::OutOfSquare { ratio, .. } => {
                write!(f, "a row is {ratio:.2} times as high as a stitch is wide; 0.9 to 1 is usual")
            }
            Self::Small(side) => {
                write!(f, "{:.1} cm is little to measure over: half a stitch tells", side.as_cm())
            }
            Self::Light(weight) => {
                write!(f, "{:.1} g is little to weigh: a gram either way tells", weight.as_grams())
            }
            Self::NothingInside => f.write_str("the swatch has no strand carried inside"),
            Self::UnusualYarn { ratio, .. } => {
                write!(f, "a stitch takes {ratio:.1} times its width in yarn; 8 to 11 was measured")
            }
        }
    }
}

impl Caution {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Slip(slip) | Self::UnusualYarn { slip: Some(slip), .. } => slip.to_string(),
            Self::OutOfSquare { swapped: true, .. } => {
                "are width and height, or stitches and rows, swapped?".into()
            }
            Self::UnusualGauge { .. } | Self::OutOfSquare { .. } => {
                "count once more; if it is so, it is taken as it is".into()
            }
            Self::Small(_) => "measure over 10 cm (4 in) or more, in the middle of the swatch".into(),
            Self::Light(_) => "weigh a larger swatch, or measure the length of yarn".into(),
            Self::NothingInside => {
                "a carried strand makes stitches fatter and rows higher: work the swatch as the blanket will be"
                    .into()
            }
            Self::UnusualYarn { slip: None, .. } => {
                "check the yarn's weight and length, and whether the whole swatch was counted".into()
            }
        }
    }
}

/// Why nothing comes of a swatch.
#[derive(Clone, Debug, PartialEq)]
pub enum SwatchError {
    /// A figure is zero.
    Nothing(Figure),
    /// A figure is below zero, no number, or absurd.
    NoSuchNumber {
        /// Which.
        figure: Figure,
        /// As it was given.
        number: f64,
    },
    /// No gauge comes of it.
    Gauge {
        /// Stitches or rows.
        of: Figure,
        /// In 10 cm.
        in_10_cm: f64,
        /// The slip that would explain it.
        slip: Option<Slip>,
    },
    /// There is yarn, but no rows were counted, so nobody knows in how many stitches.
    NoRows,
    /// The yarn would not do for chains, tails and what lies inside.
    TooLittleYarn {
        /// As it was given.
        given: Length,
        /// What these take.
        extras: Length,
        /// The slip that would explain it.
        slip: Option<Slip>,
    },
    /// An estimate was asked for from neither a gauge nor a category that has one.
    NothingToGoBy,
}

impl fmt::Display for SwatchError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing(figure) => write!(f, "a swatch of nothing: its {figure} can't be zero"),
            Self::NoSuchNumber { figure, number } => write!(f, "{number} is no {figure} of a swatch"),
            Self::Gauge { of, in_10_cm, .. } => {
                write!(f, "{in_10_cm:.1} {of} in 10 cm is no gauge: it must lie between 1 and 100")
            }
            Self::NoRows => f.write_str("the yarn is known, but not in how many stitches it is"),
            Self::TooLittleYarn { given, extras, .. } => write!(
                f,
                "{:.2} m of yarn is too little: chains, tails and what lies inside take {:.2} m",
                given.as_metres(),
                extras.as_metres()
            ),
            Self::NothingToGoBy => f.write_str("there is nothing to estimate from"),
        }
    }
}

impl std::error::Error for SwatchError {}

impl SwatchError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Gauge { slip: Some(slip), .. } | Self::TooLittleYarn { slip: Some(slip), .. } => {
                slip.to_string()
            }
            Self::Nothing(_) | Self::NoSuchNumber { .. } => {
                "leave out what you did not measure; what you give must be above zero".into()
            }
            Self::Gauge { slip: None, .. } => "count stitches over 10 cm (4 in) and give both numbers".into(),
            Self::NoRows => "count the rows too, or give the stitches and rows of the whole swatch".into(),
            Self::TooLittleYarn { slip: None, .. } => {
                "check unit and number, and whether chains, tails and the carried strand are in it".into()
            }
            Self::NothingToGoBy => {
                "give a gauge; the standard has no single crochet gauge for lace yarn".into()
            }
        }
    }
}
