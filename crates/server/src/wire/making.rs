//! What a person gives for the making of a blanket, as it goes in and comes out.

use core::num::{NonZeroU8, NonZeroU32};

use serde::{Deserialize, Serialize};
use workbench::border::{AlongSides, Heights, Repeat, Stitch, Terms};
use workbench::pattern::{Counted as Count, Day, DyeLots, LengthUnit, Margin, OwnPace, WeightUnit};
use workbench::{BorderWish, MeasuredAgain, RoundWish, SwatchGiven, YarnTaken};

use crate::failure::Failure;

/// A making to keep, in the place of all of it that was kept.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MakingOf {
    /// As the last answer gave it.
    pub revision: u64,
    /// What is left out is as at first.
    pub making: Making,
}

/// A swatch to try.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SwatchOf {
    /// Which.
    pub swatch: Swatch,
}

/// Things to tick off a list.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ticks {
    /// As the list has them.
    pub marks: Vec<String>,
    /// Whether they are ticked now.
    pub ticked: bool,
}

/// All that a person gives for the making.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Making {
    /// The swatch.
    pub swatch: Option<Swatch>,
    /// In per cent.
    pub margin: Option<u32>,
    /// Whether dye lots matter.
    pub dye_lots: Option<bool>,
    /// In the wash.
    pub shrinkage: Option<Shrinkage>,
    /// Their own pace.
    pub pace: Pace,
    /// When they work.
    pub evenings: Option<Evenings>,
    /// Rows that are finished.
    pub rows_done: usize,
    /// The gauge, measured on the work.
    pub measured_again: Option<Again>,
    /// The border.
    pub border: Border,
    /// The pattern on paper.
    pub paper: Paper,
}

/// What is wished of the pattern on paper.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Paper {
    /// Who made it.
    pub by: String,
    /// A note for the first page.
    pub note: String,
    /// Whose picture it is.
    pub picture_by: String,
    /// What may be done with the pattern.
    pub passing: Passing,
    /// Its size.
    pub sheet: Sheet,
    /// Whether the printer has black ink alone.
    pub black: bool,
    /// Whether the print is large.
    pub large: bool,
    /// Whether there are tags to cut out.
    pub tags: bool,
    /// Whether the ends are listed.
    pub ends: bool,
}

impl Default for Paper {
    fn default() -> Self {
        Self::from(&workbench::PaperWish::default())
    }
}

/// What may be done with a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Passing {
    NotSaid,
    OwnUse,
    Given,
    Sold,
}

const PASSINGS: [(Passing, workbench::Passing); 4] = [
    (Passing::NotSaid, workbench::Passing::NotSaid),
    (Passing::OwnUse, workbench::Passing::OwnUse),
    (Passing::Given, workbench::Passing::Given),
    (Passing::Sold, workbench::Passing::Sold),
];

/// Sizes of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sheet {
    A4,
    Letter,
}

impl Paper {
    fn meant(self) -> workbench::PaperWish {
        let Self { by, note, picture_by, passing, sheet, black, large, tags, ends } = self;
        let meant = PASSINGS.iter().find(|(wire, _)| *wire == passing);
        workbench::PaperWish {
            by,
            note,
            picture_by,
            passing: meant.map(|(_, meant)| *meant).unwrap_or_default(),
            sheet: match sheet {
                Sheet::A4 => workbench::Sheet::A4,
                Sheet::Letter => workbench::Sheet::Letter,
            },
            black,
            large,
            tags,
            ends,
        }
    }
}

impl From<&workbench::PaperWish> for Paper {
    fn from(wish: &workbench::PaperWish) -> Self {
        let passing = PASSINGS.iter().find(|(_, meant)| *meant == wish.passing);
        Self {
            by: wish.by.clone(),
            note: wish.note.clone(),
            picture_by: wish.picture_by.clone(),
            passing: passing.map_or(Passing::NotSaid, |(wire, _)| *wire),
            sheet: match wish.sheet {
                workbench::Sheet::A4 => Sheet::A4,
                workbench::Sheet::Letter => Sheet::Letter,
            },
            black: wish.black,
            large: wish.large,
            tags: wish.tags,
            ends: wish.ends,
        }
    }
}

/// So many over so much.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Counted {
    /// How many.
    pub count: f64,
    /// Over how much.
    pub over: f64,
    /// `cm` or `in`.
    pub unit: Unit,
}

/// So much of a unit.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measure {
    /// How much.
    pub number: f64,
    /// Of what.
    pub unit: Unit,
}

/// What is measured or weighed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// Centimetres.
    Cm,
    /// Inches.
    In,
    /// Metres.
    M,
    /// Yards.
    Yd,
    /// Grams.
    G,
    /// Ounces.
    Oz,
}

impl Unit {
    fn length(self, place: &str) -> Result<LengthUnit, Failure> {
        Ok(match self {
            Self::Cm => LengthUnit::Centimetres,
            Self::In => LengthUnit::Inches,
            Self::M => LengthUnit::Metres,
            Self::Yd => LengthUnit::Yards,
            Self::G | Self::Oz => {
                return Err(Failure::bad("this is no unit of length", place, "give cm, in, m or yd"));
            }
        })
    }

    const fn of_length(unit: LengthUnit) -> Self {
        match unit {
            LengthUnit::Centimetres => Self::Cm,
            LengthUnit::Inches => Self::In,
            LengthUnit::Metres => Self::M,
            LengthUnit::Yards => Self::Yd,
        }
    }
}

impl Counted {
    fn meant(self, place: &str) -> Result<Count, Failure> {
        Ok(Count { count: self.count, over: self.over, unit: self.unit.length(place)? })
    }
}

impl From<&Count> for Counted {
    fn from(counted: &Count) -> Self {
        Self { count: counted.count, over: counted.over, unit: Unit::of_length(counted.unit) }
    }
}

/// A swatch.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Swatch {
    /// Stitches in a width.
    pub stitches: Counted,
    /// Rows in a height.
    pub rows: Option<Counted>,
    /// The yarn it took, weighed or measured.
    pub yarn_taken: Option<Measure>,
    /// Stitches and rows of the whole swatch.
    pub whole: Option<(u32, u32)>,
    /// Whether a strand was carried inside.
    #[serde(default)]
    pub carried: bool,
    /// Key of its yarn.
    pub yarn: Option<String>,
}

impl Swatch {
    pub(crate) fn meant(self) -> Result<SwatchGiven, Failure> {
        let taken = |measure: Measure| {
            Ok::<_, Failure>(match measure.unit {
                Unit::G => YarnTaken::Weighed(measure.number, WeightUnit::Grams),
                Unit::Oz => YarnTaken::Weighed(measure.number, WeightUnit::Ounces),
                unit => YarnTaken::Measured(measure.number, unit.length("swatch, yarn_taken")?),
            })
        };
        Ok(SwatchGiven {
            stitches: self.stitches.meant("swatch, stitches")?,
            rows: self.rows.map(|rows| rows.meant("swatch, rows")).transpose()?,
            taken: self.yarn_taken.map(taken).transpose()?,
            whole: self.whole,
            carried: self.carried,
            yarn: self.yarn,
        })
    }
}

impl From<&SwatchGiven> for Swatch {
    fn from(swatch: &SwatchGiven) -> Self {
        let measure = |taken: YarnTaken| match taken {
            YarnTaken::Weighed(number, WeightUnit::Grams) => Measure { number, unit: Unit::G },
            YarnTaken::Weighed(number, WeightUnit::Ounces) => Measure { number, unit: Unit::Oz },
            YarnTaken::Measured(number, unit) => Measure { number, unit: Unit::of_length(unit) },
        };
        Self {
            stitches: Counted::from(&swatch.stitches),
            rows: swatch.rows.as_ref().map(Counted::from),
            yarn_taken: swatch.taken.map(measure),
            whole: swatch.whole,
            carried: swatch.carried,
            yarn: swatch.yarn.clone(),
        }
    }
}

/// How much it shrinks, in per cent to the tenth; below zero it grows.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shrinkage {
    /// Of the width.
    pub width: f64,
    /// Of the height.
    pub height: f64,
}

/// A person's own pace; what is left out is as usual.
#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Pace {
    /// Stitches in a minute.
    pub stitches_a_minute: Option<f64>,
    /// Seconds for a change of strands.
    pub change: Option<f64>,
    /// Seconds more for a stitch over a carried strand.
    pub carried: Option<f64>,
    /// Seconds for a lift.
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

/// When somebody works.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Evenings {
    /// Evenings in a week, 1 to 7.
    pub a_week: u32,
    /// Minutes in an evening.
    pub minutes: u32,
    /// YYYY-MM-DD.
    pub by: Option<String>,
}

/// What was measured on the work.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Again {
    /// Rows that were finished then.
    pub rows_done: usize,
    /// Stitches in a width.
    pub stitches: Counted,
    /// Rows in a height.
    pub rows: Counted,
    /// Height of all of them.
    pub height: Option<Measure>,
}

/// A border.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Border {
    /// From the blanket outwards.
    pub rounds: Vec<Round>,
    /// As many as lie flat where left out.
    pub along_sides: Option<Along>,
    /// In rows of single crochet; as usual where left out.
    pub heights: Option<StitchHeights>,
}

/// Stitches along the row ends.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Along {
    /// So many on each side.
    Stitches(NonZeroU32),
    /// `every_row_end`.
    Every(EveryRowEnd),
}

/// One stitch for every row end.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EveryRowEnd {
    /// That.
    EveryRowEnd,
}

/// Heights of stitches in rows of single crochet.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StitchHeights {
    /// Half double crochet.
    pub hdc: f64,
    /// Double crochet.
    pub dc: f64,
    /// Treble crochet.
    pub tr: f64,
}

/// A round.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Round {
    /// `sc`, `hdc`, `dc` or `tr`, as in the US.
    pub stitch: String,
    /// Key of its yarn.
    pub yarn: String,
    /// Stitches in each corner; as many as lie flat where left out.
    pub corners: Option<NonZeroU8>,
    /// What each edge is to be a multiple of.
    pub repeat: Option<Multiple>,
}

/// A multiple plus some.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Multiple {
    /// Stitches of one repeat.
    pub multiple: u32,
    /// Stitches more.
    #[serde(default)]
    pub plus: u32,
}

impl Making {
    pub(crate) fn meant(self) -> Result<workbench::Making, Failure> {
        let margin = match self.margin {
            None => Margin::default(),
            Some(percent) => {
                Margin::percent(percent).map_err(|error| Failure::bad(error, "margin", error.hint()))?
            }
        };
        let Pace { stitches_a_minute, change, carried, lift, mind, join, cut, end } = self.pace;
        let again = |again: Again| {
            let height = |height: Measure| {
                Ok::<_, Failure>((height.number, height.unit.length("measured_again, height")?))
            };
            Ok::<_, Failure>(MeasuredAgain {
                rows_done: again.rows_done,
                stitches: again.stitches.meant("measured_again, stitches")?,
                rows: again.rows.meant("measured_again, rows")?,
                height: again.height.map(height).transpose()?,
            })
        };
        let evenings = |evenings: Evenings| {
            let read = |text: &String| {
                let what = format!("{text:?} is no day");
                Day::read(text).ok_or_else(|| Failure::bad(what, "evenings, by", "write it as YYYY-MM-DD"))
            };
            let by = evenings.by.as_ref().map(read).transpose()?;
            Ok::<_, Failure>(workbench::Evenings { a_week: evenings.a_week, minutes: evenings.minutes, by })
        };
        Ok(workbench::Making {
            swatch: self.swatch.map(Swatch::meant).transpose()?,
            margin,
            dye_lots: if self.dye_lots == Some(false) { DyeLots::Alike } else { DyeLots::Matter },
            shrinkage: self.shrinkage.map(|shrinkage| (tenths(shrinkage.width), tenths(shrinkage.height))),
            pace: OwnPace { stitches_a_minute, change, carried, lift, mind, join, cut, end },
            evenings: self.evenings.map(evenings).transpose()?,
            rows_done: self.rows_done,
            again: self.measured_again.map(again).transpose()?,
            border: self.border.meant()?,
            paper: self.paper.meant(),
        })
    }
}

/// Tenths of a per cent; what is absurd stays so.
#[allow(clippy::cast_possible_truncation)] // saturates, as wanted
fn tenths(percent: f64) -> i32 {
    (percent * 10.0).round() as i32
}

impl From<&workbench::Making> for Making {
    fn from(making: &workbench::Making) -> Self {
        let percent = |tenths: i32| f64::from(tenths) / 10.0;
        let OwnPace { stitches_a_minute, change, carried, lift, mind, join, cut, end } = making.pace;
        let again = |again: &MeasuredAgain| Again {
            rows_done: again.rows_done,
            stitches: Counted::from(&again.stitches),
            rows: Counted::from(&again.rows),
            height: again.height.map(|(number, unit)| Measure { number, unit: Unit::of_length(unit) }),
        };
        Self {
            swatch: making.swatch.as_ref().map(Swatch::from),
            margin: Some(making.margin.as_percent()),
            dye_lots: Some(making.dye_lots == DyeLots::Matter),
            shrinkage: making
                .shrinkage
                .map(|(width, height)| Shrinkage { width: percent(width), height: percent(height) }),
            pace: Pace { stitches_a_minute, change, carried, lift, mind, join, cut, end },
            evenings: making.evenings.map(|evenings| Evenings {
                a_week: evenings.a_week,
                minutes: evenings.minutes,
                by: evenings.by.map(Day::written),
            }),
            rows_done: making.rows_done,
            measured_again: making.again.as_ref().map(again),
            border: Border::from(&making.border),
            paper: Paper::from(&making.paper),
        }
    }
}

impl Border {
    fn meant(self) -> Result<BorderWish, Failure> {
        let rounds = (1..).zip(self.rounds).map(|(number, round)| round.meant(number));
        let heights = match self.heights {
            None => Heights::USUAL,
            Some(StitchHeights { hdc, dc, tr }) => {
                let [hdc, dc, tr] = [hdc, dc, tr].map(thousandths);
                let wrong = |error: workbench::border::BorderError| {
                    Failure::bad(error, "border, heights", error.hint())
                };
                Heights::measured(hdc, dc, tr).map_err(wrong)?
            }
        };
        Ok(BorderWish {
            rounds: rounds.collect::<Result<_, _>>()?,
            along_sides: match self.along_sides {
                None => AlongSides::Fitted,
                Some(Along::Every(EveryRowEnd::EveryRowEnd)) => AlongSides::EveryRowEnd,
                Some(Along::Stitches(stitches)) => AlongSides::Stitches(stitches),
            },
            heights,
        })
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, as wanted
fn thousandths(rows: f64) -> u32 {
    (rows * 1000.0).round() as u32
}

impl From<&BorderWish> for Border {
    fn from(border: &BorderWish) -> Self {
        let round = |round: &RoundWish| Round {
            stitch: Terms::Us.short(round.stitch).to_owned(),
            yarn: round.yarn.clone(),
            corners: round.corners,
            repeat: round.repeat.map(|repeat| Multiple { multiple: repeat.multiple(), plus: repeat.plus() }),
        };
        let height = |stitch| f64::from(border.heights.of(stitch)) / 1000.0;
        Self {
            rounds: border.rounds.iter().map(round).collect(),
            along_sides: match border.along_sides {
                AlongSides::Fitted => None,
                AlongSides::EveryRowEnd => Some(Along::Every(EveryRowEnd::EveryRowEnd)),
                AlongSides::Stitches(stitches) => Some(Along::Stitches(stitches)),
            },
            heights: (border.heights != Heights::USUAL).then(|| StitchHeights {
                hdc: height(Stitch::Hdc),
                dc: height(Stitch::Dc),
                tr: height(Stitch::Tr),
            }),
        }
    }
}

impl Round {
    fn meant(self, number: usize) -> Result<RoundWish, Failure> {
        let named = |stitch: &Stitch| Terms::Us.short(*stitch) == self.stitch;
        let stitch = Stitch::ALL.into_iter().find(named).ok_or_else(|| {
            let what = format!("{:?} is no stitch of a border", self.stitch);
            Failure::bad(
                what,
                format!("border, round {number}, stitch"),
                "give sc, hdc, dc or tr, as in the US",
            )
        })?;
        let repeat = |repeat: Multiple| {
            Repeat::new(repeat.multiple, repeat.plus)
                .map_err(|error| Failure::bad(error, format!("border, round {number}, repeat"), error.hint()))
        };
        Ok(RoundWish {
            stitch,
            yarn: self.yarn,
            corners: self.corners,
            repeat: self.repeat.map(repeat).transpose()?,
        })
    }
}
