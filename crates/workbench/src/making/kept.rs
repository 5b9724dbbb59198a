//! A [`Making`] as JSON, as it lies on the shelf.

use core::num::{NonZeroU8, NonZeroU32};

use border::{AlongSides, Heights, Repeat, Stitch, Terms};
use model::Yarn;
use pattern::{Counted, Day, DyeLots, LengthUnit, Margin, OwnPace, Shrinkage, WeightUnit};
use serde_json::{Value, json};

use crate::{PaperWish, Passing, Sheet};

use super::given::{BorderWish, Evenings, Making, MeasuredAgain, RoundWish, SwatchGiven, YarnTaken};

/// A making, with the yarns that its border had when it was kept: one that has left the palette since is
/// not lost.
#[derive(Clone, Debug, PartialEq, Default)]
pub(crate) struct Kept {
    pub(crate) making: Making,
    pub(crate) yarns: Vec<Yarn>,
}

const LENGTHS: [LengthUnit; 4] =
    [LengthUnit::Centimetres, LengthUnit::Inches, LengthUnit::Metres, LengthUnit::Yards];
const WEIGHTS: [WeightUnit; 2] = [WeightUnit::Grams, WeightUnit::Ounces];

/// The names of the paces, in the order of [`paces`].
const PACES: [&str; 8] = ["stitches_a_minute", "change", "carried", "lift", "mind", "join", "cut", "end"];

const fn paces(pace: &OwnPace) -> [Option<f64>; 8] {
    let OwnPace { stitches_a_minute, change, carried, lift, mind, join, cut, end } = *pace;
    [stitches_a_minute, change, carried, lift, mind, join, cut, end]
}

pub(super) fn to_json(kept: &Kept) -> String {
    let Making { swatch, margin, dye_lots, shrinkage, pace, evenings, rows_done, again, border, paper } =
        &kept.making;
    let counted = |counted: &Counted| json!([counted.count, counted.over, counted.unit.short()]);
    let swatch = swatch.as_ref().map(|swatch| {
        json!({
            "stitches": counted(&swatch.stitches),
            "rows": swatch.rows.as_ref().map(counted),
            "taken": swatch.taken.map(|taken| match taken {
                YarnTaken::Weighed(number, unit) => json!([number, unit.short()]),
                YarnTaken::Measured(number, unit) => json!([number, unit.short()]),
            }),
            "whole": swatch.whole,
            "carried": swatch.carried,
            "yarn": swatch.yarn,
        })
    });
    let again = again.as_ref().map(|again| {
        json!({
            "rows_done": again.rows_done,
            "stitches": counted(&again.stitches),
            "rows": counted(&again.rows),
            "height": again.height.map(|(number, unit)| json!([number, unit.short()])),
        })
    });
    let round = |round: &RoundWish| {
        json!({
            "stitch": Terms::Us.short(round.stitch),
            "yarn": round.yarn,
            "corners": round.corners,
            "repeat": round.repeat.map(|repeat| [repeat.multiple(), repeat.plus()]),
        })
    };
    let pace: serde_json::Map<String, Value> =
        PACES.into_iter().zip(paces(pace)).map(|(name, own)| (name.to_owned(), own.into())).collect();
    let heights = [Stitch::Hdc, Stitch::Dc, Stitch::Tr].map(|stitch| border.heights.of(stitch));
    json!({
        "swatch": swatch,
        "margin": margin.as_percent(),
        "dye_lots": *dye_lots == DyeLots::Matter,
        "shrinkage": shrinkage,
        "pace": pace,
        "evenings": evenings.as_ref().map(|evenings| json!({
            "a_week": evenings.a_week,
            "minutes": evenings.minutes,
            "by": evenings.by.map(Day::written),
        })),
        "rows_done": rows_done,
        "again": again,
        "rounds": border.rounds.iter().map(round).collect::<Vec<_>>(),
        "along_sides": match border.along_sides {
            AlongSides::Fitted => Value::Null,
            AlongSides::EveryRowEnd => json!("every"),
            AlongSides::Stitches(stitches) => json!(stitches),
        },
        "heights": heights,
        "paper": {
            "by": paper.by,
            "note": paper.note,
            "picture_by": paper.picture_by,
            "passing": passing(paper.passing),
            "letter": paper.sheet == Sheet::Letter,
            "black": paper.black,
            "large": paper.large,
            "tags": paper.tags,
            "ends": paper.ends,
        },
        "yarns": store::write_yarns(&kept.yarns),
    })
    .to_string()
}

/// Reads what [`to_json`] wrote; what is not there, or of another program, is as at first.
pub(super) fn from_json(text: &str) -> Kept {
    let value: Value = serde_json::from_str(text).unwrap_or_default();
    let usual = Making::default();
    let shrinkage = || {
        let side = |at: usize| value["shrinkage"][at].as_i64().and_then(|tenths| i32::try_from(tenths).ok());
        let (width, height) = (side(0)?, side(1)?);
        Shrinkage::tenths_of_percent(width, height).is_ok().then_some((width, height))
    };
    let own = |at: usize| value["pace"][PACES[at]].as_f64();
    let making = Making {
        swatch: swatch(&value["swatch"]),
        margin: whole(&value["margin"])
            .and_then(|percent| Margin::percent(percent).ok())
            .unwrap_or(usual.margin),
        dye_lots: match value["dye_lots"].as_bool() {
            Some(false) => DyeLots::Alike,
            _ => DyeLots::Matter,
        },
        shrinkage: shrinkage(),
        pace: OwnPace {
            stitches_a_minute: own(0),
            change: own(1),
            carried: own(2),
            lift: own(3),
            mind: own(4),
            join: own(5),
            cut: own(6),
            end: own(7),
        },
        evenings: evenings(&value["evenings"]),
        rows_done: rows(&value["rows_done"]).unwrap_or(0),
        again: again(&value["again"]),
        border: border(&value),
        paper: paper(&value["paper"]),
    };
    let yarns = value["yarns"].as_str().and_then(|yarns| store::read_yarns(yarns).ok()).unwrap_or_default();
    Kept { making, yarns }
}

const PASSINGS: [Passing; 4] = [Passing::NotSaid, Passing::OwnUse, Passing::Given, Passing::Sold];

const fn passing(passing: Passing) -> &'static str {
    match passing {
        Passing::NotSaid => "not_said",
        Passing::OwnUse => "own_use",
        Passing::Given => "given",
        Passing::Sold => "sold",
    }
}

fn paper(value: &Value) -> PaperWish {
    let usual = PaperWish::default();
    let text = |name: &str| value[name].as_str().unwrap_or_default().to_owned();
    let is = |name: &str, usual: bool| value[name].as_bool().unwrap_or(usual);
    PaperWish {
        by: text("by"),
        note: text("note"),
        picture_by: text("picture_by"),
        passing: PASSINGS.into_iter().find(|of| value["passing"] == passing(*of)).unwrap_or_default(),
        sheet: if is("letter", false) { Sheet::Letter } else { Sheet::A4 },
        black: is("black", usual.black),
        large: is("large", usual.large),
        tags: is("tags", usual.tags),
        ends: is("ends", usual.ends),
    }
}

fn whole(value: &Value) -> Option<u32> {
    u32::try_from(value.as_u64()?).ok()
}

fn rows(value: &Value) -> Option<usize> {
    usize::try_from(value.as_u64()?).ok()
}

fn length_unit(value: &Value) -> Option<LengthUnit> {
    LENGTHS.into_iter().find(|unit| value == unit.short())
}

fn counted(value: &Value) -> Option<Counted> {
    Some(Counted { count: value[0].as_f64()?, over: value[1].as_f64()?, unit: length_unit(&value[2])? })
}

fn swatch(value: &Value) -> Option<SwatchGiven> {
    let taken = |value: &Value| {
        let number = value[0].as_f64()?;
        let weight = WEIGHTS.into_iter().find(|unit| value[1] == unit.short());
        match weight {
            Some(unit) => Some(YarnTaken::Weighed(number, unit)),
            None => length_unit(&value[1]).map(|unit| YarnTaken::Measured(number, unit)),
        }
    };
    Some(SwatchGiven {
        stitches: counted(&value["stitches"])?,
        rows: counted(&value["rows"]),
        taken: taken(&value["taken"]),
        whole: whole(&value["whole"][0]).zip(whole(&value["whole"][1])),
        carried: value["carried"].as_bool()?,
        yarn: value["yarn"].as_str().map(str::to_owned),
    })
}

fn evenings(value: &Value) -> Option<Evenings> {
    Some(Evenings {
        a_week: whole(&value["a_week"])?,
        minutes: whole(&value["minutes"])?,
        by: value["by"].as_str().and_then(Day::read),
    })
}

fn again(value: &Value) -> Option<MeasuredAgain> {
    let height = &value["height"];
    Some(MeasuredAgain {
        rows_done: rows(&value["rows_done"])?,
        stitches: counted(&value["stitches"])?,
        rows: counted(&value["rows"])?,
        height: height[0].as_f64().zip(length_unit(&height[1])),
    })
}

fn border(value: &Value) -> BorderWish {
    let round = |value: &Value| {
        let repeat = || Repeat::new(whole(&value["repeat"][0])?, whole(&value["repeat"][1])?).ok();
        let corners = || NonZeroU8::new(u8::try_from(value["corners"].as_u64()?).ok()?);
        Some(RoundWish {
            stitch: Stitch::ALL.into_iter().find(|stitch| value["stitch"] == Terms::Us.short(*stitch))?,
            yarn: value["yarn"].as_str()?.to_owned(),
            corners: corners(),
            repeat: repeat(),
        })
    };
    let heights = || {
        let height = |at: usize| whole(&value["heights"][at]);
        Heights::measured(height(0)?, height(1)?, height(2)?).ok()
    };
    BorderWish {
        rounds: value["rounds"].as_array().into_iter().flatten().filter_map(round).collect(),
        along_sides: match &value["along_sides"] {
            Value::String(_) => AlongSides::EveryRowEnd,
            number => {
                whole(number).and_then(NonZeroU32::new).map_or(AlongSides::Fitted, AlongSides::Stitches)
            }
        },
        heights: heights().unwrap_or_default(),
    }
}

#[cfg(test)]
mod tests {
    use model::Srgb;

    use super::*;

    /// All of it invented.
    #[test]
    fn what_is_kept_comes_back_in_the_units_it_was_typed_in() {
        let counted = |count, over, unit| Counted { count, over, unit };
        let full = Kept {
            making: Making {
                swatch: Some(SwatchGiven {
                    stitches: counted(14.5, 4.0, LengthUnit::Inches),
                    rows: Some(counted(15.0, 10.0, LengthUnit::Centimetres)),
                    taken: Some(YarnTaken::Weighed(0.7, WeightUnit::Ounces)),
                    whole: Some((30, 31)),
                    carried: true,
                    yarn: Some("oat".to_owned()),
                }),
                margin: Margin::percent(15).unwrap(),
                dye_lots: DyeLots::Alike,
                shrinkage: Some((-25, 30)),
                pace: OwnPace { stitches_a_minute: Some(18.0), end: Some(60.0), ..OwnPace::default() },
                evenings: Some(Evenings { a_week: 3, minutes: 90, by: Day::read("2030-02-28") }),
                rows_done: 21,
                again: Some(MeasuredAgain {
                    rows_done: 20,
                    stitches: counted(14.0, 10.0, LengthUnit::Centimetres),
                    rows: counted(15.0, 10.0, LengthUnit::Centimetres),
                    height: Some((5.5, LengthUnit::Inches)),
                }),
                border: BorderWish {
                    rounds: vec![
                        RoundWish {
                            stitch: Stitch::Dc,
                            yarn: "rust".to_owned(),
                            corners: NonZeroU8::new(5),
                            repeat: Repeat::new(6, 1).ok(),
                        },
                        RoundWish { stitch: Stitch::Sc, yarn: "oat".to_owned(), corners: None, repeat: None },
                    ],
                    along_sides: AlongSides::Stitches(NonZeroU32::MIN),
                    heights: Heights::measured(1400, 2100, 2900).unwrap(),
                },
                paper: PaperWish {
                    by: "Ada".to_owned(),
                    note: "Two\nlines".to_owned(),
                    picture_by: "mine".to_owned(),
                    passing: Passing::Given,
                    sheet: Sheet::Letter,
                    black: true,
                    large: true,
                    tags: false,
                    ends: false,
                },
            },
            yarns: vec![Yarn::plain("rust", "Rust", Srgb::new(160, 70, 50))],
        };
        assert_eq!(from_json(&to_json(&full)), full);
        let measured = YarnTaken::Measured(12.0, LengthUnit::Yards);
        let mut other = full;
        other.making.swatch.as_mut().unwrap().taken = Some(measured);
        other.making.border.along_sides = AlongSides::EveryRowEnd;
        assert_eq!(from_json(&to_json(&other)), other);
    }

    #[test]
    fn what_is_missing_or_nonsense_is_as_at_first() {
        assert_eq!(from_json(&to_json(&Kept::default())), Kept::default());
        for text in
            ["", "[]", "{\"margin\":900,\"swatch\":{\"carried\":1},\"rounds\":[{\"stitch\":\"ell\"}]}"]
        {
            assert_eq!(from_json(text), Kept::default(), "{text}");
        }
    }
}
