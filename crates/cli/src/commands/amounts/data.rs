//! The amounts as JSON: centimetres, metres, grams and hours, whatever units the words have.

use model::{ColourIndex, Length};
use pattern::{Amount, Band, End, EndOf, InTime, Schedule, Swatch, Weight, Wind, cost};
use serde_json::{Map, Value, json};

use super::Found;
use crate::reckoned::word;

pub(super) fn data(found: &Found, written: &[String], text: &str, notes: &[String]) -> Value {
    let palette = found.palette();
    let key = |yarn: ColourIndex| palette.yarn(yarn).key.as_str();
    let (all, unknown) = cost(&found.amounts);
    let yarns: Vec<Value> = found.amounts.iter().map(|amount| yarn(key(amount.yarn), amount)).collect();
    let winding: Vec<Value> = found
        .winding
        .entries()
        .iter()
        .map(|entry| {
            json!({
                "yarn": key(entry.yarn()),
                "needed_at": entry.needed_at().0,
                "metres": entry.length().as_metres(),
                "strands": entry.strands().iter().map(wind).collect::<Vec<_>>(),
            })
        })
        .collect();
    let ends = found
        .ends
        .as_ref()
        .map(|ends| ends.iter().map(|an_end| end(key(an_end.yarn), an_end)).collect::<Vec<_>>());
    let finished = &found.finished;
    let mut size = Map::new();
    size.insert("width_cm".to_owned(), finished.width.as_cm().into());
    size.insert("height_cm".to_owned(), finished.height.as_cm().into());
    for (name, side) in [
        ("washed_width_cm", finished.washed.map(|(width, _)| width)),
        ("washed_height_cm", finished.washed.map(|(_, height)| height)),
    ] {
        size.insert(name.to_owned(), side.map(Length::as_cm).into());
    }
    spread(&mut size, "grams", Some(finished.weight.map(Weight::as_grams)));
    let unweighed: Vec<&str> = finished.unweighed.iter().map(|yarn| key(*yarn)).collect();
    size.insert("unweighed".to_owned(), unweighed.into());
    let mut hours: Map<String, Value> = found
        .reckoned
        .time
        .named()
        .into_iter()
        .map(|(name, hours)| (name.replace(' ', "_"), hours.into()))
        .collect();
    hours.insert("total".to_owned(), found.reckoned.time.total().into());
    json!({
        "written": written,
        "from": word(&found.reckoned.basis),
        "swatch": swatch(&found.reckoned.basis.swatch),
        "margin": found.reckoned.choices.margin.as_percent(),
        "yarns": yarns,
        "cost": all.hundredths,
        "cost_unknown": unknown.into_iter().map(key).collect::<Vec<_>>(),
        "finished": size,
        "hours": hours,
        "evenings": found.evenings.as_ref().map(evenings),
        "winding": winding,
        "ends": ends,
        "text": text,
        "notes": notes,
    })
}

/// A figure with its least and its most.
fn spread(into: &mut Map<String, Value>, name: &str, band: Option<Band<f64>>) {
    let figures = [("", band.map(|band| band.likely)), ("_least", band.map(|band| band.low))];
    for (behind, figure) in figures.into_iter().chain([("_most", band.map(|band| band.high))]) {
        into.insert(format!("{name}{behind}"), figure.into());
    }
}

fn swatch(swatch: &Swatch) -> Value {
    let mut told = Map::new();
    spread(&mut told, "stitches", Some(swatch.stitches));
    spread(&mut told, "rows", Some(swatch.rows));
    spread(&mut told, "stitch_cm", Some(swatch.stitch.map(Length::as_cm)));
    spread(&mut told, "grams_per_square_metre", swatch.grams_per_square_metre);
    told.into()
}

fn yarn(key: &str, amount: &Amount) -> Value {
    let mut told = Map::new();
    told.insert("yarn".to_owned(), key.into());
    told.insert("strands".to_owned(), amount.strands.into());
    told.insert("stitches".to_owned(), amount.stitches.into());
    spread(&mut told, "metres", Some(amount.length.map(Length::as_metres)));
    spread(&mut told, "grams", amount.weight().map(|weight| weight.map(Weight::as_grams)));
    let parts: Map<String, Value> = amount
        .parts
        .named()
        .into_iter()
        .map(|(name, length)| {
            let grams = amount.grist.map(|grist| grist.weight(length).as_grams());
            (name.replace(' ', "_"), json!({"metres": length.as_metres(), "grams": grams}))
        })
        .collect();
    told.insert("parts".to_owned(), parts.into());
    told.insert("metres_to_have".to_owned(), amount.to_have.as_metres().into());
    let balls = amount.balls.map(|balls| {
        json!({"needed": balls.needed, "spare": balls.spare, "on_hand": balls.on_hand, "buy": balls.buy})
    });
    told.insert("balls".to_owned(), balls.into());
    told.insert("cost".to_owned(), amount.cost.map(|cost| cost.hundredths).into());
    let lots: Vec<String> = amount.lot_advice().iter().map(ToString::to_string).collect();
    told.insert("lots".to_owned(), lots.into());
    told.into()
}

fn wind(wind: &Wind) -> Value {
    json!({
        "label": wind.label,
        "metres": wind.length.as_metres(),
        "grams": wind.weight.map(Weight::as_grams),
        "balls": wind.balls,
        "stitches": wind.stitches,
        "joins_at": wind.joins_at.0,
        "ends_at": wind.ends_at.0,
    })
}

fn end(key: &str, end: &End) -> Value {
    json!({
        "label": end.label,
        "yarn": key,
        "of": match end.of {
            EndOf::Foundation => "foundation",
            EndOf::Join => "join",
            EndOf::Cut => "cut",
        },
        "row": end.row.0,
        "after": end.after,
        "over": end.over,
        "over_in": end.over_in.0,
        "missing": end.missing,
        "left_cm": end.left.as_cm(),
    })
}

fn evenings(schedule: &Schedule) -> Value {
    let (in_time, rows_by_then) = match schedule.in_time {
        InTime::NoDay => (None, None),
        InTime::Yes { .. } => (Some(true), None),
        InTime::No { rows_by_then, .. } => (Some(false), Some(rows_by_then)),
    };
    let evenings = schedule.evenings.iter().map(|evening| {
        json!({
            "day": evening.day.written(),
            "rows": evening.rows.map(|(first, last)| [first.0, last.0]),
            "finishing_minutes": evening.finishing,
        })
    });
    json!({
        "done_on": schedule.done_on.written(),
        "rows_an_evening": schedule.rows_an_evening,
        "in_time": in_time,
        "rows_by_then": rows_by_then,
        "says": schedule.says,
        "evenings": evenings.collect::<Vec<_>>(),
    })
}
