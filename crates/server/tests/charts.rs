//! Charts to choose from, words and looks over HTTP: the forms of docs/http.md, what is refused.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use common::{Running, start};
use serde_json::{Value, json};

const CAT: &[u8] = include_bytes!("../../../fixtures/chelsea.png");

fn cat(server: &Running) -> String {
    let made = server.upload("/api/blankets/from-picture?name=Cat", CAT).good();
    format!("/api/blankets/{}", made["id"])
}

fn wish() -> Value {
    json!({"turn": 0, "crop": null, "width": {"stitches": 40}, "height": null,
        "gauge": {"stitches": 14, "rows": 15}, "colours": {"count": 5}, "important": null, "charts": 5})
}

#[test]
fn charts_are_found_shown_and_taken() {
    let server = start();
    let at = cat(&server);
    let job = server.post(&format!("{at}/choices"), &wish()).good()["job"].clone();
    let events = server.events(&job, |_, _| false);
    let (last, end) = events.last().unwrap();
    assert_eq!(last, "done", "{end}");
    let told: Vec<u64> = events.iter().filter_map(|(_, data)| data["found"].as_u64()).collect();
    assert!(told.is_sorted() && told.iter().any(|&found| found > 0), "{told:?}");
    let choices = server.get(&format!("/api/jobs/{job}/choices")).good();
    assert_eq!(choices, end["result"]);
    let first = &choices["choices"][0];
    assert_eq!((first["plain"].clone(), first["columns"].clone()), (json!(true), json!(40)));
    assert!(
        first["plan"]["ends"].as_u64().unwrap() > 2 && first["blurred_difference"].as_f64().unwrap() > 0.0
    );
    let picture = server.get(&format!("/api/jobs/{job}/choices/0.png"));
    assert_eq!((picture.status, picture.header("content-type")), (200, Some("image/png")));
    for nothing in ["choices/99.png", "choices/0.jpg", "choices/x.png"] {
        server.get(&format!("/api/jobs/{job}/{nothing}")).bad(404);
    }
    let revision = server.get(&at).good()["revision"].clone();
    let take = |choice: u64| json!({"revision": revision, "job": job, "at": choice});
    server.post(&format!("{at}/take-choice"), &take(99)).bad(422);
    let taken = server.post(&format!("{at}/take-choice"), &take(0)).good();
    assert_eq!(
        (taken["reload"].clone(), taken["can_take_back"].clone()),
        (json!(true), json!("chart_picture"))
    );
    assert_eq!(taken["plan"]["ends"], first["plan"]["ends"]);
    server.post(&format!("{at}/take-choice"), &take(0)).bad(409);
    server.get("/api/jobs/77/choices").bad(404);
}

#[test]
fn wishes_that_cannot_be_are_refused() {
    let server = start();
    let at = cat(&server);
    let with = |name: &str, value: Value| {
        let mut wish = wish();
        wish[name] = value;
        wish
    };
    let weights = STANDARD.encode([0; 4]);
    for (wish, place) in [
        (with("colours", json!({"keys": ["oat"], "keep": ["oat"]})), "colours"),
        (with("colours", json!({})), "colours"),
        (with("important", json!({"columns": 300, "rows": 1, "weights": weights})), "important"),
        (with("important", json!({"columns": 3, "rows": 1, "weights": weights})), "important"),
        (with("important", json!({"columns": 2, "rows": 2, "weights": "*"})), "important.weights"),
    ] {
        let error = server.post(&format!("{at}/chart-picture"), &wish).bad(422);
        assert_eq!(error["error"]["where"], place, "{error}");
    }
    server.post(&format!("{at}/chart-picture"), &with("ease", json!(-1))).bad(400);
}

#[test]
fn words_are_shown_laid_down_and_made_a_blanket_of() {
    let server = start();
    let lettering = json!({"text": "Ho", "height": 5});
    let gauge = json!({"stitches": 13, "rows": 15});
    let shown = server.post("/api/lettering", &json!({"lettering": lettering, "gauge": gauge})).good();
    let cells = STANDARD.decode(shown["cells"].as_str().unwrap()).unwrap();
    let (columns, rows) = (shown["columns"].as_u64().unwrap(), shown["rows"].as_u64().unwrap());
    assert_eq!((cells.len() as u64, rows), (columns * rows, 5));
    let yarn = |key: &str, colour: &str| json!({"key": key, "name": key, "colour": colour});
    let made = json!({"from": "words", "name": "Motto", "lettering": lettering, "margin": 3, "gauge": gauge,
        "letters": yarn("ink", "#1d2a44"), "ground": yarn("oat", "#f0e2c2")});
    let at = format!("/api/blankets/{}", server.post("/api/blankets", &made).good()["id"]);
    let blanket = server.get(&at).good();
    assert_eq!(blanket["columns"].as_u64().unwrap(), columns + 6);
    let inked = cells.iter().filter(|&&cell| cell == 1).count() as u64;
    assert_eq!(blanket["palette"][1]["stitches"], json!(inked));
    let seam = json!({"yarn": 1, "stitches": 1});
    let lay = json!({"do": "words", "lettering": {"text": "i", "height": 5}, "at": [0, 0], "yarn": 0, "edge": seam});
    let edit = json!({"revision": blanket["revision"], "operation": lay});
    let laid = server.post(&format!("{at}/edit"), &edit).good();
    assert_eq!(laid["can_take_back"], "words");
    assert!(!laid["cells"].as_array().unwrap().is_empty());
    let wide = json!({"text": "Lighthouses", "height": 9, "width": 20});
    let error = server.post("/api/lettering", &json!({"lettering": wide, "gauge": gauge})).bad(422);
    assert!(error["error"]["what"].as_str().unwrap().contains("room for 20"), "{error}");
    let font = json!({"text": "a", "height": 9, "font": STANDARD.encode(b"none")});
    server.post("/api/lettering", &json!({"lettering": font, "gauge": gauge})).bad(422);
}

#[test]
fn fabric_and_alike_yarns_are_shown() {
    let server = start();
    let at = cat(&server);
    let right = server.get(&format!("{at}/fabric.png?max=300"));
    assert_eq!((right.status, right.header("content-type")), (200, Some("image/png")));
    let wrong = server.get(&format!("{at}/fabric.png?face=wrong&max=300"));
    assert_ne!(right.body, wrong.body);
    assert_eq!(server.get(&format!("{at}/fabric.png?column=0&row=0&columns=5&rows=5")).status, 200);
    for bad in [
        "face=left",
        "max=0",
        "column=0",
        "column=0&row=0&columns=0&rows=5",
        "column=x&row=0&columns=1&rows=1",
    ] {
        server.get(&format!("{at}/fabric.png?{bad}")).bad(422);
    }
    let alike = server.get(&format!("{at}/alike")).good();
    assert!(alike["pairs"].is_array() && alike["bleeding"].is_array());
}
