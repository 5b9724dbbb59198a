//! Every operation of a chart over HTTP: the forms of docs/http.md, what they answer, what is refused.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use common::{Running, start};
use serde_json::{Value, json};

const COLUMNS: usize = 6;

/// A blanket of six by four in three yarns, all invented:
///
/// ```text
/// aaaaaa
/// abbaaa
/// abbbaa
/// aaaaca
/// ```
struct Chart {
    server: Running,
    at: String,
    revision: Value,
}

impl Chart {
    fn new() -> Self {
        let server = start();
        let yarn = |key: &str, colour: &str| json!({"key": key, "name": key, "colour": colour});
        let body = json!({"from": "blank", "name": "Quiet", "columns": COLUMNS, "rows": 4,
            "gauge": {"stitches": 13, "rows": 15},
            "yarns": [yarn("a", "#f0e2c2"), yarn("b", "#1d2a44"), yarn("c", "#8a2f2a")]});
        let at = format!("/api/blankets/{}", server.post("/api/blankets", &body).good()["id"]);
        let revision = server.get(&at).good()["revision"].clone();
        let mut chart = Self { server, at, revision };
        chart.does(json!({"do": "stitch", "cells": [7, 8, 9, 13, 14], "yarn": 1}));
        chart.does(json!({"do": "stitch", "cells": [4], "yarn": 2}));
        chart
    }

    fn does(&mut self, operation: Value) -> Value {
        let edit = json!({"revision": self.revision, "operation": operation});
        let changed = self.server.post(&format!("{}/edit", self.at), &edit).good();
        self.revision = changed["revision"].clone();
        changed
    }

    fn refuses(&self, status: u16, operation: Value) -> Value {
        let edit = json!({"revision": self.revision, "operation": operation});
        self.server.post(&format!("{}/edit", self.at), &edit).bad(status)["error"].clone()
    }

    /// In letters, the top row first.
    fn shown(&self) -> Vec<String> {
        use base64::Engine as _;
        let blanket = self.server.get(&self.at).good();
        let text = blanket["cells"].as_str().unwrap();
        let cells = base64::engine::general_purpose::STANDARD.decode(text).unwrap();
        let columns = usize::try_from(blanket["columns"].as_u64().unwrap()).unwrap();
        cells
            .chunks(columns)
            .rev()
            .map(|row| row.iter().map(|cell| char::from(b'a' + cell)).collect())
            .collect()
    }

    /// Does it, looks, and takes it back.
    #[track_caller]
    fn becomes(&mut self, operation: Value, expected: &[&str]) -> Value {
        let before = self.shown();
        let name = operation["do"].clone();
        let changed = self.does(operation);
        assert_eq!(self.shown(), expected, "{name}");
        assert_eq!(changed["can_take_back"], name);
        let same_size = expected.len() == 4 && expected[0].len() == COLUMNS;
        if changed["reload"] == json!(false) {
            assert!(same_size, "{name}");
        }
        let body = json!({"revision": self.revision});
        let back = self.server.post(&format!("{}/take-back", self.at), &body).good();
        self.revision = back["revision"].clone();
        for by in ["ends_by", "strands_by"] {
            assert_eq!(back[by].as_i64().unwrap(), -changed[by].as_i64().unwrap(), "{name} {by}");
        }
        let hours = back["hours_by"].as_f64().unwrap() + changed["hours_by"].as_f64().unwrap();
        assert!(hours.abs() < 1e-9, "{name}");
        assert_eq!(self.shown(), before, "{name}");
        changed
    }
}

/// Expected charts are drawn by hand from what docs/http.md says.
#[test]
fn each_operation_does_what_the_page_says() {
    let mut chart = Chart::new();
    assert_eq!(chart.shown(), ["aaaaaa", "abbaaa", "abbbaa", "aaaaca"]);
    let part = json!({"column": 1, "row": 1, "columns": 3, "rows": 2});

    chart.becomes(
        json!({"do": "line", "from": [0, 3], "to": [5, 3], "yarn": 2}),
        &["cccccc", "abbaaa", "abbbaa", "aaaaca"],
    );
    chart.becomes(
        json!({"do": "rectangle", "region": part, "yarn": 2}),
        &["aaaaaa", "acccaa", "acccaa", "aaaaca"],
    );
    chart.becomes(
        json!({"do": "rectangle", "region": {"column": 0, "row": 0, "columns": 6, "rows": 4}, "yarn": 2, "outline": 1}),
        &["cccccc", "cbbaac", "cbbbac", "cccccc"],
    );
    // A circle four wide lacks its corners: 3² + 3² of half stitches is more than 4².
    chart.becomes(
        json!({"do": "ellipse", "region": {"column": 0, "row": 0, "columns": 4, "rows": 4}, "yarn": 2, "outline": null}),
        &["accaaa", "ccccaa", "ccccaa", "accaca"],
    );
    chart.becomes(json!({"do": "flood", "at": [2, 2], "yarn": 2}), &["aaaaaa", "accaaa", "acccaa", "aaaaca"]);
    chart.becomes(
        json!({"do": "replace", "from": 1, "to": 2, "row": 1}),
        &["aaaaaa", "abbaaa", "acccaa", "aaaaca"],
    );
    chart.becomes(
        json!({"do": "replace", "from": 1, "to": 2, "region": {"column": 0, "row": 0, "columns": 2, "rows": 4}}),
        &["aaaaaa", "acbaaa", "acbbaa", "aaaaca"],
    );
    chart.becomes(json!({"do": "exchange", "one": 0, "other": 1}), &["bbbbbb", "baabbb", "baaabb", "bbbbcb"]);
    chart.becomes(
        json!({"do": "background", "tolerance": 0, "yarn": 2}),
        &["cccccc", "cbbccc", "cbbbcc", "cccccc"],
    );
    chart.becomes(json!({"do": "clean", "below": 2}), &["aaaaaa", "abbaaa", "abbbaa", "aaaaaa"]);
    chart.becomes(
        json!({"do": "smooth", "region": {"column": 3, "row": 0, "columns": 3, "rows": 1}}),
        &["aaaaaa", "abbaaa", "abbbaa", "aaaaaa"],
    );
    chart.becomes(
        json!({"do": "move", "region": part, "to": [4, -1], "yarn": 2}),
        &["aaaaaa", "acccaa", "acccaa", "aaaabb"],
    );
    chart.becomes(
        json!({"do": "copy", "region": part, "to": [3, 2]}),
        &["aaabba", "abbbbb", "abbbaa", "aaaaca"],
    );
    chart.becomes(json!({"do": "mirror", "way": "sideways"}), &["aaaaaa", "aaabba", "aabbba", "acaaaa"]);
    chart.becomes(
        json!({"do": "mirror", "way": "upside_down", "region": part}),
        &["aaaaaa", "abbbaa", "abbaaa", "aaaaca"],
    );
    let tile = json!({"column": 3, "row": 0, "columns": 2, "rows": 2});
    chart.becomes(json!({"do": "repeat", "region": tile}), &["ababab", "cacaca", "ababab", "cacaca"]);
    chart.becomes(
        json!({"do": "repeat", "region": tile, "drop": 1}),
        &["aacbaa", "cbaacb", "aacbaa", "cbaacb"],
    );
    chart.becomes(
        json!({"do": "crop_to_shape", "shape": "rounded_rectangle", "radius": 2, "yarn": 2}),
        &["caaaac", "abbaaa", "abbbaa", "caaacc"],
    );
    chart.becomes(
        json!({"do": "crop_to_shape", "shape": "ellipse", "region": part, "yarn": 2}),
        &["cccccc", "cbbacc", "cbbbcc", "cccccc"],
    );
    let over = json!({"do": "frame", "stitches": 1, "rows": 1, "yarn": 2, "place": "over"});
    assert_eq!(chart.becomes(over, &["cccccc", "cbbaac", "cbbbac", "cccccc"])["reload"], false);

    for (operation, expected) in [
        (
            json!({"do": "frame", "stitches": 1, "rows": 0, "yarn": 1}),
            vec!["baaaaaab", "babbaaab", "babbbaab", "baaaacab"],
        ),
        (
            json!({"do": "insert_rows", "at": 1, "count": 1, "yarn": 2}),
            vec!["aaaaaa", "abbaaa", "abbbaa", "cccccc", "aaaaca"],
        ),
        (
            json!({"do": "insert_columns", "at": 3, "count": 2}),
            vec!["aaaaaaaa", "abbbbaaa", "abbbbbaa", "aaaaaaca"],
        ),
        (json!({"do": "delete_rows", "at": 0, "count": 2}), vec!["aaaaaa", "abbaaa"]),
        (json!({"do": "delete_columns", "at": 0, "count": 2}), vec!["aaaa", "baaa", "bbaa", "aaca"]),
        (json!({"do": "resize", "right": -4, "top": 1, "yarn": 2}), vec!["cc", "aa", "ab", "ab", "aa"]),
        (json!({"do": "merge", "from": 0, "to": 2}), vec!["bbbbbb", "baabbb", "baaabb", "bbbbbb"]),
        (json!({"do": "drop_yarn", "index": 1, "instead": 2}), vec!["aaaaaa", "abbaaa", "abbbaa", "aaaaba"]),
    ] {
        assert_eq!(chart.becomes(operation, &expected)["reload"], true);
    }
    let enlarged = chart.does(json!({"do": "enlarge", "by": 3}));
    assert_eq!((enlarged["reload"].clone(), chart.shown().len()), (json!(true), 12));
}

#[test]
fn what_is_not_meant_is_refused_and_named() {
    let chart = Chart::new();
    let part = json!({"column": 0, "row": 0, "columns": 2, "rows": 2});
    // The right shape, but it can't be.
    for (operation, place) in [
        (json!({"do": "replace", "from": 0, "to": 1, "region": part, "row": 0}), "region, row"),
        (json!({"do": "repeat", "region": part, "drop": 1, "shift": 1}), "drop, shift"),
        (json!({"do": "crop_to_shape", "shape": "rounded_rectangle", "yarn": 0}), "radius"),
        (json!({"do": "crop_to_shape", "shape": "heart", "radius": 3, "yarn": 0}), "radius"),
        (json!({"do": "smooth", "region": {"column": 5, "row": 0, "columns": 2, "rows": 1}}), "region"),
        (
            json!({"do": "ellipse", "region": {"column": 5, "row": 0, "columns": 0, "rows": 1}, "yarn": 0}),
            "region",
        ),
        (json!({"do": "exchange", "one": 0, "other": 3}), "other"),
        (json!({"do": "copy", "region": part, "to": [-2, 0]}), "to"),
        (json!({"do": "clean", "below": 1}), "below"),
        (json!({"do": "background", "tolerance": 101}), "tolerance"),
        (json!({"do": "delete_rows", "at": 0, "count": 4}), "the size"),
        (json!({"do": "insert_rows", "at": 0, "count": 9_007_199_254_740_993_u64}), "the size"),
        (json!({"do": "frame", "stitches": 9000, "rows": 9000, "yarn": 0}), "the size"),
        (json!({"do": "enlarge", "by": 0}), "by"),
        (json!({"do": "drop_yarn", "index": 0}), "the yarns"),
        (json!({"do": "merge", "from": 1, "to": 1}), "the yarns"),
    ] {
        let error = chart.refuses(422, operation.clone());
        assert_eq!(error["where"], place, "{operation} {error}");
        assert!(!error["hint"].as_str().unwrap().is_empty(), "{operation}");
    }
    // Not the right shape.
    for operation in [
        json!({"do": "ellipse", "yarn": 0}),
        json!({"do": "ellipse", "region": {"column": -1, "row": 0, "columns": 2, "rows": 1}, "yarn": 0}),
        json!({"do": "ellipse", "region": {"column": 0, "row": 0, "columns": 2, "rows": 1, "depth": 1}, "yarn": 0}),
        json!({"do": "mirror", "way": "backwards"}),
        json!({"do": "move", "region": part, "to": [0.5, 0], "yarn": 0}),
        json!({"do": "frame", "stitches": 1, "rows": 1, "yarn": 0, "place": "under"}),
        json!({"do": "smooth", "strength": 2}),
        json!({"do": "blur"}),
    ] {
        chart.refuses(400, operation);
    }
    assert_eq!(chart.shown(), ["aaaaaa", "abbaaa", "abbbaa", "aaaaca"]);
}
