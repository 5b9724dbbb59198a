//! How a picture is to be charted: as JSON to be kept, and as a request to `charting`.

use charting::{Choice, Colours, Crop, Extent as Wide, Measure, Request, Wanted};
use model::{Gauge, Length, Yarn};
use serde_json::{Value, json};

use crate::{ChosenColours, Extent, Failure, Important, Part, PictureWish, Turn, WishedColours};

/// The wish as it is kept with a blanket; the list of yarns is not.
pub(crate) fn to_json(wish: &PictureWish) -> String {
    let extent = |extent: Option<Extent>| match extent {
        None => Value::Null,
        Some(Extent::Cm(cm)) => json!({ "cm": cm }),
        Some(Extent::Inches(inches)) => json!({ "inches": inches }),
        Some(Extent::Stitches(stitches)) => json!({ "stitches": stitches }),
    };
    let part = |part: Part| json!({ "x": part.x, "y": part.y, "width": part.width, "height": part.height });
    let rows = (!wish.gauge.rows_estimated()).then(|| wish.gauge.rows());
    json!({
        "turn": wish.turn.as_degrees(),
        "crop": wish.crop.map(part),
        "width": extent(wish.width),
        "height": extent(wish.height),
        "gauge": { "stitches": wish.gauge.stitches(), "rows": rows },
        "colours": match &wish.colours {
            WishedColours::Choose(ChosenColours { count, keep, without, on_hand }) => {
                json!({ "count": count, "keep": keep, "without": without, "on_hand": on_hand })
            }
            WishedColours::Keys(keys) => json!({ "keys": keys }),
        },
        "ease": wish.ease,
        "important": wish.important.as_ref().map(important_to_json),
    })
    .to_string()
}

/// A map as its stretches of equal weights: most of it says nothing.
fn important_to_json(important: &Important) -> Value {
    let stretches = important.weights.chunk_by(|one, next| one == next);
    let stretches: Vec<[usize; 2]> = stretches.map(|same| [usize::from(same[0]), same.len()]).collect();
    json!({ "columns": important.columns, "rows": important.rows, "stretches": stretches })
}

/// Reads what [`important_to_json`] wrote; `None` where it is something else.
fn important_from_json(value: &Value) -> Option<Important> {
    let side = |name: &str| usize::try_from(value[name].as_u64()?).ok().filter(|&side| side <= MAX_MAP);
    let (columns, rows) = (side("columns")?, side("rows")?);
    let mut weights = Vec::with_capacity(columns * rows);
    for stretch in value["stretches"].as_array()? {
        let weight = u8::try_from(stretch[0].as_u64()?).ok()?;
        let length = usize::try_from(stretch[1].as_u64()?).ok()?;
        if length > columns * rows - weights.len() {
            return None;
        }
        weights.resize(weights.len() + length, weight);
    }
    (weights.len() == columns * rows).then_some(Important { columns, rows, weights })
}

/// The most cells of a map of what matters, either way.
pub(crate) const MAX_MAP: usize = 256;

/// Reads what [`to_json`] wrote; `None` where it is something else.
pub(crate) fn from_json(text: &str) -> Option<PictureWish> {
    let value: Value = serde_json::from_str(text).ok()?;
    let extent = |name: &str| {
        let extent = &value[name];
        if let Some(stitches) = extent["stitches"].as_u64() {
            return u32::try_from(stitches).ok().map(Extent::Stitches);
        }
        extent["cm"].as_f64().map(Extent::Cm).or_else(|| extent["inches"].as_f64().map(Extent::Inches))
    };
    let crop = &value["crop"];
    let number = |name: &str| crop[name].as_f64();
    let crop = match crop {
        Value::Null => None,
        _ => Some(Part {
            x: number("x")?,
            y: number("y")?,
            width: number("width")?,
            height: number("height")?,
        }),
    };
    let stitches = value["gauge"]["stitches"].as_f64()?;
    let gauge = match value["gauge"]["rows"].as_f64() {
        Some(rows) => Gauge::new(stitches, rows).ok()?,
        None => Gauge::from_stitches(stitches).ok()?,
    };
    let colours = match value["colours"]["count"].as_u64() {
        Some(count) => {
            // Older wishes know the count alone.
            let keys = |name: &str| match value["colours"][name].as_array() {
                None => Some(Vec::new()),
                Some(keys) => keys.iter().map(|key| key.as_str().map(str::to_owned)).collect(),
            };
            WishedColours::Choose(ChosenColours {
                count: usize::try_from(count).ok()?,
                keep: keys("keep")?,
                without: keys("without")?,
                on_hand: value["colours"]["on_hand"].as_bool().unwrap_or(false),
            })
        }
        None => {
            let keys = value["colours"]["keys"].as_array()?;
            WishedColours::Keys(
                keys.iter().map(|key| key.as_str().map(str::to_owned)).collect::<Option<_>>()?,
            )
        }
    };
    Some(PictureWish {
        turn: Turn::degrees(u32::try_from(value["turn"].as_u64()?).ok()?)?,
        crop,
        width: extent("width"),
        height: extent("height"),
        gauge,
        colours,
        ease: value["ease"].as_u64().and_then(|ease| u8::try_from(ease).ok()).unwrap_or(0),
        important: important_from_json(&value["important"]),
        yarns: None,
    })
}

/// The wish as `charting` takes it, of these yarns.
pub(crate) fn request(wish: &PictureWish, yarns: &[Yarn]) -> Result<Request, Failure> {
    let place = |key: &String| {
        yarns.iter().position(|yarn| yarn.key == *key).ok_or_else(|| {
            Failure::bad(format!("the list has no yarn {key:?}"), "the yarns", "choose yarns of the list")
        })
    };
    let places = |keys: &[String]| keys.iter().map(place).collect::<Result<Vec<_>, _>>();
    let colours = match &wish.colours {
        WishedColours::Choose(ChosenColours { count, keep, without, on_hand }) => Colours::Choose(Choice {
            count: *count,
            keep: places(keep)?,
            without: places(without)?,
            on_hand: *on_hand,
        }),
        WishedColours::Keys(keys) => Colours::Given(places(keys)?),
    };
    Ok(Request {
        crop: wish.crop.map(crop).transpose()?,
        wanted: Wanted {
            width: wish.width.map(extent).transpose()?,
            height: wish.height.map(extent).transpose()?,
        },
        gauge: wish.gauge,
        frame: None,
        colours,
    })
}

fn extent(extent: Extent) -> Result<Wide, Failure> {
    match extent {
        Extent::Cm(length) | Extent::Inches(length) if !length.is_finite() => {
            Err(Failure::bad("it is no number", "the size", "give the size in cm, inches or stitches"))
        }
        Extent::Cm(cm) => Ok(Wide::Length(Length::cm(cm))),
        Extent::Inches(inches) => Ok(Wide::Length(Length::inches(inches))),
        Extent::Stitches(stitches) => Ok(Wide::Stitches(stitches)),
    }
}

/// A part of the picture. A hair beyond the edge, as sums of fractions make it, is the edge.
fn crop(part: Part) -> Result<Crop, Failure> {
    const HAIR: f64 = 1e-6;
    let along = |from: f64, extent: f64| {
        let fits = from >= -HAIR && extent > 0.0 && from + extent <= 1.0 + HAIR;
        if !fits {
            return Err(Failure::bad(
                format!("from {from} on for {extent} is no part of 0 to 1"),
                "the part of the picture",
                "choose a part inside the picture",
            ));
        }
        let from = from.clamp(0.0, 1.0);
        Ok((Measure::Percent(from * 100.0), Measure::Percent(extent.min(1.0 - from) * 100.0)))
    };
    let (x, width) = along(part.x, part.width)?;
    let (y, height) = along(part.y, part.height)?;
    Ok(Crop { x, y, width, height })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish() -> PictureWish {
        PictureWish {
            turn: Turn::ThreeQuarters,
            crop: Some(Part { x: 0.1, y: 0.2, width: 0.7, height: 0.8 }),
            width: Some(Extent::Inches(40.5)),
            height: None,
            gauge: Gauge::from_stitches(12.5).unwrap(),
            colours: WishedColours::Keys(vec!["oat".into(), "plum".into()]),
            ease: 0,
            important: None,
            yarns: None,
        }
    }

    #[test]
    fn a_wish_comes_back() {
        let other = PictureWish {
            crop: None,
            height: Some(Extent::Stitches(80)),
            width: Some(Extent::Cm(100.0)),
            gauge: Gauge::new(12.5, 13.44).unwrap(),
            colours: WishedColours::Choose(ChosenColours {
                count: 7,
                keep: vec!["oat".into()],
                without: vec!["night".into()],
                on_hand: true,
            }),
            ease: 6,
            important: Some(Important { columns: 3, rows: 2, weights: vec![0, 0, 255, 255, 255, 7] }),
            ..wish()
        };
        for wish in [wish(), other] {
            assert_eq!(from_json(&to_json(&wish)), Some(wish));
        }
        assert_eq!(from_json("{}"), None);
    }

    #[test]
    fn parts_end_at_the_edge() {
        let part = |x, width| crop(Part { x, y: 0.0, width, height: 1.0 });
        assert!(part(0.3, 0.7).is_ok() && part(0.1, 0.900_000_000_1).is_ok());
        assert!(part(0.3, 0.8).is_err() && part(0.3, 0.0).is_err() && part(f64::NAN, 0.5).is_err());
        // The edges stay inside for every size of picture.
        for cut in [part(0.1, 0.9), part(0.3, 0.700_000_000_1), part(1.0 / 3.0, 2.0 / 3.0)] {
            let cut = cut.unwrap();
            assert!((3..400).all(|side| cut.area(side, side).is_ok()), "{cut}");
        }
    }

    #[test]
    fn an_unknown_key_is_named() {
        let failure = request(&wish(), &[]).unwrap_err();
        assert!(failure.what.contains("oat"), "{failure}");
    }
}
