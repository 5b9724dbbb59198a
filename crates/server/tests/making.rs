//! Amounts, border and lists over HTTP: the forms of docs/http.md, what is kept, what is refused.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use common::{Running, start};
use serde_json::{Value, json};

/// A blanket of 40 by 30 with a bar of night; all invented.
fn blanket(server: &Running) -> String {
    let ball = json!({"weight": "medium", "metres": 170, "grams": 100, "price": 6.5, "on_hand": 1});
    let yarn = |key: &str, colour: &str| {
        let mut yarn = ball.clone();
        yarn["key"] = key.into();
        yarn["name"] = key.into();
        yarn["colour"] = colour.into();
        yarn
    };
    let body = json!({
        "from": "blank", "name": "Cushion", "columns": 40, "rows": 30, "gauge": {"stitches": 14, "rows": 15},
        "yarns": [yarn("snow", "#f0f0f0"), yarn("night", "#101030"), yarn("brick", "#a03030")],
    });
    let at = format!("/api/blankets/{}", server.post("/api/blankets", &body).good()["id"]);
    let cells: Vec<usize> = (10..20).flat_map(|row| (5..15).map(move |column| row * 40 + column)).collect();
    let operation = json!({"do": "stitch", "cells": cells, "yarn": 1});
    server.post(&format!("{at}/edit"), &json!({"revision": 0, "operation": operation})).good();
    at
}

fn full() -> Value {
    json!({
        "swatch": {
            "stitches": {"count": 14.5, "over": 4, "unit": "in"},
            "rows": {"count": 15, "over": 10, "unit": "cm"},
            "yarn_taken": {"number": 12.5, "unit": "yd"}, "whole": [16, 17], "carried": true, "yarn": "snow",
        },
        "margin": 15, "dye_lots": false, "shrinkage": {"width": 2.5, "height": -1},
        "pace": {"stitches_a_minute": 18, "end": 60},
        "evenings": {"a_week": 3, "minutes": 60, "by": "2030-02-28"}, "rows_done": 4,
        "measured_again": {
            "rows_done": 20, "stitches": {"count": 14, "over": 10, "unit": "cm"},
            "rows": {"count": 15, "over": 10, "unit": "cm"}, "height": {"number": 5.5, "unit": "in"},
        },
        "border": {
            "rounds": [
                {"stitch": "sc", "yarn": "brick"},
                {"stitch": "dc", "yarn": "snow", "corners": 5, "repeat": {"multiple": 6, "plus": 1}},
            ],
            "along_sides": "every_row_end", "heights": {"hdc": 1.4, "dc": 2.1, "tr": 2.9},
        },
    })
}

/// Every field of `given` stands in `answer` as it was given.
#[track_caller]
fn holds(answer: &Value, given: &Value, place: &str) {
    match given {
        Value::Object(fields) => {
            fields.iter().for_each(|(name, value)| holds(&answer[name], value, &format!("{place}.{name}")));
        }
        Value::Array(list) => {
            assert_eq!(answer.as_array().map(Vec::len), Some(list.len()), "{place}");
            list.iter()
                .enumerate()
                .for_each(|(at, value)| holds(&answer[at], value, &format!("{place}[{at}]")));
        }
        Value::Number(number) => assert_eq!(answer.as_f64(), number.as_f64(), "{place}"),
        other => assert_eq!(answer, other, "{place}"),
    }
}

#[test]
fn what_is_given_is_kept_as_it_was_typed_and_taken_back() {
    let server = start();
    let at = blanket(&server);
    let first = server.get(&format!("{at}/making")).good();
    assert_eq!((&first["revision"], &first["making"]["margin"]), (&json!(1), &json!(10)));
    let put = |revision: u64, making: Value| {
        server.put(&format!("{at}/making"), &json!({"revision": revision, "making": making}))
    };
    let changed = put(1, full()).good();
    assert_eq!((&changed["making"], &changed["reload"]), (&json!(true), &json!(false)));
    assert_eq!(changed["can_take_back"], "making");
    let kept = server.get(&format!("{at}/making")).good();
    holds(&kept["making"], &full(), "making");
    // What it answers it also takes, and that changes nothing.
    assert_eq!(put(2, kept["making"].clone()).good()["revision"], 2);
    put(1, json!({})).bad(409);
    let amounts = server.get(&format!("{at}/amounts?today=2030-01-01")).good();
    holds(&amounts["making"], &full(), "amounts.making");
    let back = server.post(&format!("{at}/take-back"), &json!({"revision": 2})).good();
    assert_eq!(back["making"], json!(true));
    assert_eq!(server.get(&format!("{at}/making")).good()["making"], first["making"]);
}

#[test]
fn what_can_not_be_is_refused_and_names_the_place() {
    let server = start();
    let at = blanket(&server);
    let put = |making: &Value| server.put(&format!("{at}/making"), &json!({"revision": 1, "making": making}));
    let round = |round: Value| json!({"border": {"rounds": [round]}});
    let stitches = json!({"count": 14, "over": 10, "unit": "cm"});
    let per = |unit: &str| json!({"swatch": {"stitches": {"count": 14, "over": 1, "unit": unit}}});
    for (making, place, word) in [
        (json!({"margin": 101}), "margin", "more than sense"),
        (json!({"shrinkage": {"width": 60, "height": 0}}), "the shrinkage", "not believable"),
        (json!({"shrinkage": {"width": 1e300, "height": 0}}), "the shrinkage", "not believable"),
        (json!({"evenings": {"a_week": 3, "minutes": 60, "by": "tomorrow"}}), "evenings, by", "no day"),
        (json!({"evenings": {"a_week": 0, "minutes": 60}}), "the evenings", "0 evenings"),
        (json!({"pace": {"stitches_a_minute": 171}}), "the pace", "171 stitches a minute"),
        (json!({"rows_done": 31}), "the rows done", "31 rows are done"),
        (per("cm"), "the swatch", "is no gauge"),
        (per("g"), "swatch, stitches", "no unit of length"),
        (
            json!({"swatch": {"stitches": stitches, "yarn_taken": {"number": 20, "unit": "g"}}}),
            "the swatch",
            "not in how many stitches",
        ),
        (round(json!({"stitch": "htr", "yarn": "snow"})), "border, round 1, stitch", "no stitch of a border"),
        (round(json!({"stitch": "sc", "yarn": "oat"})), "round 1 of the border, yarn", "no yarn \"oat\""),
        (
            round(json!({"stitch": "sc", "yarn": "snow", "repeat": {"multiple": 0}})),
            "border, round 1, repeat",
            "is no repeat",
        ),
        (
            json!({"border": {"heights": {"hdc": 0, "dc": 2, "tr": 3}}}),
            "border, heights",
            "0.000 rows high is none",
        ),
    ] {
        let error = put(&making).bad(422)["error"].clone();
        assert_eq!(error["where"], place, "{making}");
        assert!(error["what"].as_str().unwrap().contains(word), "{error}");
        assert!(!error["hint"].as_str().unwrap().is_empty(), "{error}");
    }
    // A slip is a question.
    let hint = put(&per("cm")).bad(422)["error"]["hint"].clone();
    assert_eq!(hint, "is that 14 stitches in 10 cm, not per cm?");
    for making in [
        json!({"colour": 1}),
        json!({"margin": -1}),
        json!({"swatch": {"stitches": {"count": 1, "over": 1, "unit": "ell"}}}),
        round(json!({"stitch": "sc", "yarn": "snow", "corners": 0})),
        round(json!({"stitch": "sc", "yarn": "snow", "corners": 256})),
        json!({"border": {"along_sides": "some"}}),
    ] {
        put(&making).bad(400);
    }
    assert_eq!(server.get(&format!("{at}/making")).good()["revision"], 1);
    server.get(&format!("{at}/amounts?today=soon")).bad(422);
    server.get(&format!("{at}/border?terms=fr")).bad(422);
}

/// Source: 11 to 14 sc in 4 in for medium yarn, Standard Yarn Weight System (SEEN).
#[test]
fn a_swatch_is_tried_and_mended_without_being_kept() {
    let server = start();
    let at = blanket(&server);
    let tried = |swatch: &Value| server.post(&format!("{at}/swatch"), &json!({"swatch": swatch})).good();
    let told = tried(&json!({"stitches": {"count": 14, "over": 1, "unit": "in"}, "carried": true}));
    let remark = &told["remarks"][0];
    assert_eq!(remark["hint"], "is that 14 stitches in 4 inches, not per inch?");
    let mended = tried(&remark["mended"]);
    assert_eq!(mended["remarks"], json!([]));
    assert_eq!(remark["mended"]["stitches"], json!({"count": 14.0, "over": 4.0, "unit": "in"}));
    // 14 in 4 in are 13.78 in 10 cm (an inch is 2.54 cm, by definition).
    let gauge = mended["found"]["gauge"]["stitches"].as_f64().unwrap();
    assert!((gauge - 14.0 / 1.016).abs() < 1e-9);
    let nothing = tried(&json!({"stitches": {"count": 0, "over": 10, "unit": "cm"}}));
    assert!(nothing["found"].is_null() && nothing["fault"]["mended"].is_null());
    assert!(nothing["fault"]["what"].as_str().unwrap().contains("can't be zero"));
    assert_eq!(server.get(&format!("{at}/making")).good()["revision"], 1);
}

#[test]
fn amounts_and_border_go_out_with_all_that_the_page_says() {
    let server = start();
    let at = blanket(&server);
    let amounts = server.get(&format!("{at}/amounts")).good();
    assert_eq!((&amounts["proven"], amounts["amounts"].as_array().unwrap().len()), (&json!(true), 2));
    let snow = &amounts["amounts"][0];
    let parts = ["stitches", "carried", "lifts", "foundation", "turning_chains", "tails", "border"];
    let sum: f64 = parts.iter().map(|part| snow["parts"][part].as_f64().unwrap()).sum();
    assert!((sum - snow["metres"]["likely"].as_f64().unwrap()).abs() < 1e-6);
    assert!(amounts["evenings"].is_null() && amounts["drift"].is_null() && amounts["swatch"].is_null());
    let hours: f64 = [
        "stitches",
        "changes",
        "carries",
        "lifts",
        "minding_strands",
        "joins",
        "cuts",
        "weaving_in",
        "border",
    ]
    .iter()
    .map(|part| amounts["hours"][part].as_f64().unwrap())
    .sum();
    assert!((hours - amounts["hours"]["total"].as_f64().unwrap()).abs() < 1e-9);
    assert!(server.get(&format!("{at}/border")).good()["border"].is_null());

    let body = json!({"revision": 1, "making": full()});
    server.put(&format!("{at}/making"), &body).good();
    let border = server.get(&format!("{at}/border?terms=uk")).good();
    let rounds = border["border"]["rounds"].as_array().unwrap();
    assert_eq!((rounds.len(), &rounds[0]["stitch"], &rounds[1]["stitch"]), (2, &json!("dc"), &json!("tr")));
    assert_eq!(rounds[1]["corners"], json!([5, 5, 5, 5]));
    // One stitch for every row end was asked for.
    assert_eq!(rounds[0]["drawn"]["along"][1], json!([30, 30]));
    let after = server.get(&format!("{at}/amounts?today=2030-01-01")).good();
    assert_eq!(after["amounts"].as_array().unwrap().len(), 3);
    let of_border = border["border"]["yarns"].as_array().unwrap();
    for yarn in of_border {
        let place = usize::try_from(yarn["yarn"].as_u64().unwrap()).unwrap();
        assert_eq!(after["amounts"][place]["parts"]["border"], yarn["metres"]["likely"]);
    }
    assert_eq!(after["evenings"]["evenings"][0]["day"], "2030-01-01");
    assert!(after["drift"]["rows_left"] == 10 && after["swatch"]["fault"].is_null(), "{}", after["drift"]);
    assert_eq!(after["swatch"]["yarn"], 0);
    let gauge = server.post(&format!("{at}/take-gauge"), &json!({"revision": 2})).good();
    assert_eq!((&gauge["reload"], &gauge["can_take_back"]), (&json!(true), &json!("gauge")));
}

#[test]
fn lists_are_ticked_off_and_unticked() {
    let server = start();
    let at = blanket(&server);
    for (list, field) in [("winding", "entries"), ("ends", "ends")] {
        let address = format!("{at}/{list}");
        let read = || server.get(&address).good()[field].clone();
        let first = read();
        let thing = if list == "winding" { first[1][0].clone() } else { first[1].clone() };
        assert_eq!(thing["ticked"], json!(false), "{first}");
        server.post(&address, &json!({"marks": [thing["mark"]], "ticked": true})).good();
        let ticked = read().to_string().matches("\"ticked\":true").count();
        assert_eq!(ticked, 1);
        server.post(&address, &json!({"marks": [thing["mark"]], "ticked": false})).good();
        assert_eq!(read(), first);
        server.post(&address, &json!({"marks": ["no such"], "ticked": true})).bad(422);
        server.post(&address, &json!({"marks": "no such"})).bad(400);
    }
}

#[test]
fn the_practice_patch_comes_with_its_lessons() {
    let server = start();
    let id = server.post("/api/blankets", &json!({"from": "practice"})).good()["id"].clone();
    let lessons = server.get(&format!("/api/blankets/{id}/lessons")).good()["lessons"].clone();
    assert_eq!((lessons.as_array().unwrap().len(), &lessons[1]["row"]), (12, &json!(2)));
    assert_eq!(lessons[1]["moves"], json!(["join", "carry", "drop"]));
    let at = blanket(&server);
    assert_eq!(server.get(&format!("{at}/lessons")).good(), json!({"lessons": []}));
}
