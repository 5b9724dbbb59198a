//! How a picture is to be charted: as JSON to be kept, and as a request to `charting`.

use charting::{Choice, Colours, Crop, Extent as Wide, Measure, Request, Wanted};
use model::{Gauge, Length, Yarn};
use serde_json::{Value, json};

use crate::{Extent, Failure, Part, PictureWish, Turn, WishedColours};

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
            WishedColours::Count(count) => json!({ "count": count }),
            WishedColours::Keys(keys) => json!({ "keys": keys }),
        },
    })
    .to_string()
}

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
        Some(count) => WishedColours::Count(usize::try_from(count).ok()?),
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
        yarns: None,
    })
}

/// The wish as `charting` takes it, of these yarns.
pub(crate) fn request(wish: &PictureWish, yarns: &[Yarn]) -> Result<Request, Failure> {
    let colours = match &wish.colours {
        WishedColours::Count(count) => Colours::Choose(Choice::of(*count)),
        WishedColours::Keys(keys) => {
            let place = |key: &String| {
                yarns.iter().position(|yarn| yarn.key == *key).ok_or_else(|| {
                    Failure::bad(
                        format!("the list has no yarn {key:?}"),
                        "the yarns",
                        "choose yarns of the list",
                    )
                })
            };
            Colours::Given(keys.iter().map(place).collect::<Result<_, _>>()?)
        }
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
            colours: WishedColours::Count(7),
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
