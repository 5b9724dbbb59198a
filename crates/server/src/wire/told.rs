//! What comes of what a person gave: amounts, border, lists to tick. These only go out, so they are made
//! where they stand.

use model::{ColourIndex, Length};
use serde_json::{Map, Value, json};
use workbench::border::Lie;
use workbench::pattern::{
    Amount, Band, Day, Drift, End, EndOf, InTime, Lesson, Move, Origin, Schedule, Weight, Wind,
};
use workbench::{Amounts, BorderTold, Ends, Laid, Remark, RoundTold, SwatchTold, Ticked, Told, Winding};

use super::making::{Border, Making, Swatch};
use super::{Gauge, palette};

/// Evenings are listed so far; how many there are in all is told beside.
const MOST_EVENINGS: usize = 400;

fn band<T>(band: Band<T>, number: impl Fn(T) -> f64) -> Value {
    json!({"low": number(band.low), "likely": number(band.likely), "high": number(band.high)})
}

fn metres(length: Band) -> Value {
    band(length, Length::as_metres)
}

fn grams(weight: Band<Weight>) -> Value {
    band(weight, Weight::as_grams)
}

fn places(yarns: &[ColourIndex]) -> Vec<usize> {
    yarns.iter().map(|yarn| yarn.index()).collect()
}

#[allow(clippy::cast_precision_loss)] // exact up to 2^53
fn price(hundredths: u64) -> f64 {
    hundredths as f64 / 100.0
}

fn remark(remark: &Remark) -> Value {
    json!({"what": remark.what, "hint": remark.hint, "mended": remark.mended.as_deref().map(Swatch::from)})
}

/// What came of it, or why it did not.
fn or_fault<T>(told: Option<Told<T>>, value: impl FnOnce(T) -> Value) -> Value {
    match told {
        None => Value::Null,
        Some(Ok(found)) => value(found),
        Some(Err((what, hint))) => json!({"fault": {"what": what, "hint": hint}}),
    }
}

/// What a swatch says.
pub(crate) fn swatch(told: &SwatchTold) -> Value {
    let found = told.swatch.as_ref().map(|swatch| {
        json!({
            "gauge": Gauge::from(&swatch.gauge),
            "stitches": band(swatch.stitches, |number| number),
            "rows": band(swatch.rows, |number| number),
            "stitch_cm": band(swatch.stitch, Length::as_cm),
            "grams_per_square_metre": swatch.grams_per_square_metre.map(|grams| band(grams, |number| number)),
            "measured": origin(swatch.origin),
        })
    });
    json!({
        "found": found,
        "says": told.says,
        "fault": told.fault.as_ref().map(remark),
        "remarks": told.remarks.iter().map(remark).collect::<Vec<_>>(),
        "yarn": told.yarn,
    })
}

const fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Measured => "all",
        Origin::GaugeMeasured => "gauge",
        Origin::Estimated => "nothing",
    }
}

fn amount(amount: &Amount) -> Value {
    let parts: Map<String, Value> = amount
        .parts
        .named()
        .into_iter()
        .map(|(name, length)| (name.replace(' ', "_"), length.as_metres().into()))
        .collect();
    let balls = amount.balls.map(|balls| {
        json!({"needed": balls.needed, "spare": balls.spare, "on_hand": balls.on_hand, "buy": balls.buy})
    });
    json!({
        "yarn": amount.yarn.index(),
        "strands": amount.strands,
        "stitches": amount.stitches,
        "parts": parts,
        "metres": metres(amount.length),
        "to_have": amount.to_have.as_metres(),
        "grams": amount.weight().map(grams),
        "balls": balls,
        "cost": amount.cost.map(|cost| price(cost.hundredths)),
        "lots": amount.lot_advice().iter().map(ToString::to_string).collect::<Vec<_>>(),
    })
}

fn schedule(schedule: Schedule) -> Value {
    let evenings = schedule.evenings.iter().take(MOST_EVENINGS).map(|evening| {
        json!({
            "day": Day::written(evening.day),
            "rows": evening.rows.map(|(first, last)| [first.0, last.0]),
            "finishing": evening.finishing,
        })
    });
    let in_time = match schedule.in_time {
        InTime::NoDay => Value::Null,
        InTime::Yes { to_spare, rows_an_evening } => {
            json!({"yes": true, "to_spare": to_spare, "rows_an_evening": rows_an_evening})
        }
        InTime::No { rows_by_then, minutes, evenings_a_week } => json!({
            "yes": false, "rows_by_then": rows_by_then, "minutes": minutes, "evenings_a_week": evenings_a_week,
        }),
    };
    json!({
        "evenings": evenings.collect::<Vec<_>>(),
        "count": schedule.evenings.len(),
        "done_on": Day::written(schedule.done_on),
        "rows_an_evening": schedule.rows_an_evening,
        "in_time": in_time,
        "says": schedule.says,
    })
}

#[allow(clippy::needless_pass_by_value)] // as the others
fn drift(drift: Drift) -> Value {
    json!({
        "width_cm": drift.width.as_cm(),
        "height_done_cm": drift.height_done.as_cm(),
        "height_cm": drift.height.as_cm(),
        "rows_left": drift.rows_left,
        "rows_to_go": drift.rows_to_go,
        "yarn": drift.yarn,
        "amounts": drift.amounts.iter().map(amount).collect::<Vec<_>>(),
        "early": drift.early,
        "far": drift.far,
    })
}

/// What a blanket takes.
pub(crate) fn amounts(told: Amounts) -> Value {
    let mut hours: Map<String, Value> =
        told.time.named().into_iter().map(|(name, hours)| (name.replace(' ', "_"), hours.into())).collect();
    hours.insert("total".to_owned(), told.time.total().into());
    let finished = &told.finished;
    let size =
        |(width, height): (Length, Length)| json!({"width_cm": width.as_cm(), "height_cm": height.as_cm()});
    let planned = [
        told.basis.swatch.gauge.width_of(told.columns).as_cm(),
        told.basis.swatch.gauge.height_of(told.rows).as_cm(),
    ];
    json!({
        "revision": told.revision,
        "proven": true,
        "making": Making::from(&told.making),
        "yarns": palette(told.palette),
        "of_blanket": told.of_blanket,
        "gauge": Gauge::from(&told.gauge),
        "measured": if told.basis.of_plan { "all" } else { origin(told.basis.swatch.origin) },
        "says": told.says,
        "swatch": told.swatch.as_ref().map(swatch),
        "amounts": told.amounts.iter().map(amount).collect::<Vec<_>>(),
        "cost": price(told.cost.hundredths),
        "cost_unknown": places(&told.cost_unknown),
        "finished": {
            "width_cm": finished.width.as_cm(),
            "height_cm": finished.height.as_cm(),
            "without_border": {"width_cm": planned[0], "height_cm": planned[1]},
            "washed": finished.washed.map(size),
            "grams": grams(finished.weight),
            "unweighed": places(&finished.unweighed),
        },
        "hours": hours,
        "pace_slip": told.pace_slip,
        "evenings": or_fault(told.schedule, schedule),
        "drift": or_fault(told.drift, drift),
        "notes": told.notes,
    })
}

fn ticked<T>(thing: &Ticked<T>, fields: Value) -> Value {
    let mut fields = fields;
    fields["mark"] = thing.mark.clone().into();
    fields["ticked"] = thing.ticked.into();
    fields
}

/// What to wind.
pub(crate) fn winding(list: &Winding) -> Value {
    let strand = |strand: &Ticked<Wind>| {
        let wind = &strand.of;
        ticked(
            strand,
            json!({
                "label": wind.label,
                "yarn": wind.yarn.index(),
                "joins_at": wind.joins_at.0,
                "ends_at": wind.ends_at.0,
                "stitches": wind.stitches,
                "metres": wind.length.as_metres(),
                "grams": wind.weight.map(Weight::as_grams),
                "balls": wind.balls,
                "wound": strand.wound.map(Length::as_metres),
            }),
        )
    };
    let entries: Vec<Vec<Value>> =
        list.entries.iter().map(|entry| entry.iter().map(strand).collect()).collect();
    json!({"revision": list.revision, "proven": true, "entries": entries})
}

/// Which ends to weave in.
pub(crate) fn ends(list: &Ends) -> Value {
    let end = |thing: &Ticked<End>| {
        let end = &thing.of;
        let of = match end.of {
            EndOf::Foundation => "foundation",
            EndOf::Join => "join",
            EndOf::Cut => "cut",
        };
        ticked(
            thing,
            json!({
                "label": end.label,
                "yarn": end.yarn.index(),
                "of": of,
                "row": end.row.0,
                "after": end.after,
                "over": end.over,
                "over_in": end.over_in.0,
                "missing": end.missing,
                "left_cm": end.left.as_cm(),
            }),
        )
    };
    json!({
        "revision": list.revision, "proven": true, "ends": list.ends.iter().map(end).collect::<Vec<_>>(),
    })
}

fn round(round: &RoundTold) -> Value {
    let drawn = &round.drawn;
    json!({
        "stitch": round.stitch.0,
        "in_full": round.stitch.1,
        "yarn": round.yarn,
        "stitches": round.stitches,
        "growth": round.growth,
        "corners": round.corners,
        "between": round.between,
        "edges": round.edges,
        "fudged": round.fudged,
        "lie": match round.lie {
            Lie::Flat => "flat",
            Lie::Ruffles => "ruffles",
            Lie::Cups => "cups",
        },
        "height_cm": round.height.as_cm(),
        "drawn": {
            "before": drawn.before,
            "corner": drawn.corner,
            "middle": drawn.middle,
            "after": drawn.after,
            "along": drawn.along,
        },
    })
}

fn laid(laid: &Laid) -> Value {
    let yarns = laid.yarns.iter().map(|yarn| {
        json!({
            "yarn": yarn.yarn, "rounds": yarn.rounds, "stitches": yarn.stitches, "joins": yarn.joins,
            "metres": metres(yarn.length),
        })
    });
    json!({
        "rounds": laid.rounds.iter().map(round).collect::<Vec<_>>(),
        "says": laid.says,
        "pick_up": laid.pick_up,
        "words": laid.words,
        "depth_cm": laid.depth.as_cm(),
        "width_cm": laid.size.0.as_cm(),
        "height_cm": laid.size.1.as_cm(),
        "stitches": laid.stitches,
        "yarns": yarns.collect::<Vec<_>>(),
        "hours": {"total": laid.hours.0 + laid.hours.1, "stitches": laid.hours.0, "ends": laid.hours.1},
    })
}

/// A border.
pub(crate) fn border(told: BorderTold) -> Value {
    let fault = told.fault.map(|(what, hint)| json!({"what": what, "hint": hint, "round": told.fault_at}));
    json!({
        "revision": told.revision,
        "wish": Border::from(&told.wish),
        "yarns": palette(told.palette),
        "of_blanket": told.of_blanket,
        "columns": told.columns,
        "rows": told.rows,
        "gauge": Gauge::from(&told.gauge),
        "hand": super::HandWord::from(told.hand),
        "border": told.laid.as_ref().map(laid),
        "fault": fault,
        "notes": told.notes,
    })
}

/// What each row of the practice patch teaches.
pub(crate) fn lessons(lessons: &[Lesson]) -> Value {
    let named = |step: &Move| match step {
        Move::Join => "join",
        Move::Carry => "carry",
        Move::DrawBack => "draw_back",
        Move::Drop => "drop",
        Move::Lift => "lift",
        Move::Cut => "cut",
    };
    let lesson = |(row, lesson): (usize, &Lesson)| {
        json!({
            "row": row, "title": lesson.title, "says": lesson.says,
            "moves": lesson.moves.iter().map(named).collect::<Vec<_>>(),
        })
    };
    json!({"lessons": (1..).zip(lessons).map(lesson).collect::<Vec<_>>()})
}
