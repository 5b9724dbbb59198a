//! What a person does, from end to end over real HTTP.

#![allow(clippy::unwrap_used)]

mod common;

use std::net::TcpStream;
use std::time::{Duration, Instant};

use common::{Running, start, start_with};
use serde_json::{Value, json};
use server::Limits;

/// All invented.
fn yarn(key: &str, colour: &str) -> Value {
    json!({"key": key, "name": key.to_uppercase(), "colour": colour, "weight": "medium",
        "metres": 90, "grams": 50, "price": 3.9, "on_hand": 6, "dye_lot": "A212"})
}

/// A blanket of one colour with a second yarn in its palette.
fn blank(server: &Running, columns: usize, rows: usize) -> String {
    let body = json!({"from": "blank", "name": "Quiet", "columns": columns, "rows": rows,
        "gauge": {"stitches": 13, "rows": 15},
        "yarns": [yarn("oat", "#f0e2c2"), yarn("ink", "#1d2a44")]});
    let made = server.post("/api/blankets", &body).good();
    format!("/api/blankets/{}", made["id"])
}

/// Some picture as PNG: soft patches with a little noise.
fn picture(width: u32, height: u32) -> Vec<u8> {
    let mut chance = 1_u32;
    let image = image::RgbImage::from_fn(width, height, |x, y| {
        chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = (chance >> 27) as u8;
        let patch = |a: u32, b: u32| ((a / 37 * 83 + b / 53 * 47) % 224) as u8;
        image::Rgb([patch(x, y) + noise, patch(y, x) + noise, patch(x + y, x) + noise])
    });
    let mut bytes = Vec::new();
    image.write_to(&mut std::io::Cursor::new(&mut bytes), image::ImageFormat::Png).unwrap();
    bytes
}

fn cells(blanket: &Value) -> Vec<u8> {
    use base64::Engine as _;
    base64::engine::general_purpose::STANDARD.decode(blanket["cells"].as_str().unwrap()).unwrap()
}

/// Everything of the numbers but how long they took.
fn without_time(plan: &Value) -> Value {
    let mut plan = plan.clone();
    plan.as_object_mut().unwrap().remove("milliseconds");
    plan
}

fn has_ended(port: u16) -> bool {
    let begun = Instant::now();
    while TcpStream::connect(("127.0.0.1", port)).is_ok() {
        if begun.elapsed() > Duration::from_secs(10) {
            return false;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    true
}

/// Source: docs/strand-model.md: a strand has two ends, and one stray stitch is one strand more, over
/// which the ground is carried.
#[test]
fn a_stray_stitch_costs_two_ends_and_painting_it_away_gives_them_back() {
    let server = start();
    let at = blank(&server, 20, 20);
    let before = server.get(&at).good();
    assert_eq!((before["plan"]["ends"].clone(), before["plan"]["proven"].clone()), (json!(2), json!(true)));
    assert_eq!(before["can_take_back"], Value::Null);
    let stray = 10 * 20 + 9;
    let edit = json!({"revision": before["revision"],
        "operation": {"do": "stitch", "cells": [stray], "yarn": 1, "stroke": "a"}});
    let painted = server.post(&format!("{at}/edit"), &edit).good();
    assert_eq!(painted["plan"]["ends"], 4);
    assert_eq!(painted["cells"], json!([[stray, 1]]));
    assert_eq!(painted["palette"][1]["stitches"], 1);
    assert_eq!(
        (painted["reload"].clone(), painted["can_take_back"].clone()),
        (json!(false), json!("stitch"))
    );
    // Who saw the blanket before that has to look again.
    let stale = server.post(&format!("{at}/edit"), &edit).bad(409);
    assert_eq!(stale["revision"], painted["revision"]);
    let back = json!({"revision": painted["revision"],
        "operation": {"do": "stitch", "cells": [stray], "yarn": 0, "stroke": "b"}});
    let away = server.post(&format!("{at}/edit"), &back).good();
    assert_eq!(without_time(&away["plan"]), without_time(&before["plan"]));
    // Back two operations, and forward again.
    let one = server.post(&format!("{at}/take-back"), &json!({"revision": away["revision"]})).good();
    assert_eq!(without_time(&one["plan"]), without_time(&painted["plan"]));
    assert_eq!(one["can_do_again"], "stitch");
    let two = server.post(&format!("{at}/take-back"), &json!({"revision": one["revision"]})).good();
    assert_eq!(two["can_take_back"], Value::Null);
    let again = server.post(&format!("{at}/do-again"), &json!({"revision": two["revision"]})).good();
    assert_eq!(without_time(&again["plan"]), without_time(&painted["plan"]));
    let now = server.get(&at).good();
    assert_eq!(cells(&now).iter().filter(|&&cell| cell == 1).count(), 1);
    assert_eq!(cells(&now)[stray], 1, "cells count from the bottom row, each from the left");
    assert_eq!(now["revision"], again["revision"]);
}

#[test]
fn every_tool_changes_what_it_says() {
    let server = start();
    let at = blank(&server, 8, 6);
    let mut revision = server.get(&at).good()["revision"].clone();
    let mut edit = |operation: Value| {
        let changed =
            server.post(&format!("{at}/edit"), &json!({"revision": revision, "operation": operation})).good();
        revision = changed["revision"].clone();
        changed
    };
    // Row 2 of 6 from the bottom, all across.
    let line = edit(json!({"do": "line", "from": [0, 2], "to": [7, 2], "yarn": 1, "width": 1}));
    let expected: Vec<Value> = (16..24).map(|cell| json!([cell, 1])).collect();
    assert_eq!(line["cells"], json!(expected));
    // Below the line there are two rows of eight.
    let flood = edit(json!({"do": "flood", "at": [3, 0], "yarn": 1}));
    assert_eq!(flood["cells"].as_array().unwrap().len(), 16);
    let swap = edit(json!({"do": "swap_colour", "from": 1, "to": 0}));
    assert_eq!((swap["cells"].as_array().unwrap().len(), swap["plan"]["ends"].clone()), (24, json!(2)));
    let more = edit(json!({"do": "add_yarn", "yarn": yarn("moss", "#55682f")}));
    assert_eq!(more["palette"].as_array().unwrap().len(), 3);
    assert_eq!(more["palette"][2]["metres"], 90.0);
    let other = edit(
        json!({"do": "change_yarn", "index": 2, "yarn": {"key": "fern", "name": "Fern", "colour": "#6f8a3c"}}),
    );
    assert_eq!(other["palette"][2]["colour"], "#6f8a3c");
    // An entry of the palette goes back in as it came out but for what the chart adds to it.
    let mut same = other["palette"][0].clone();
    for of_the_chart in ["symbol", "stitches"] {
        same.as_object_mut().unwrap().remove(of_the_chart);
    }
    edit(json!({"do": "change_yarn", "index": 0, "yarn": same}));
}

#[test]
fn the_demo_stands_on_the_shelf_and_comes_and_goes() {
    let server = start();
    let id = server.post("/api/blankets", &json!({"from": "demo"})).good()["id"].clone();
    let at = format!("/api/blankets/{id}");
    let card = server.get("/api/shelf").good()["blankets"][0].clone();
    let blanket = server.get(&at).good();
    assert_eq!((&card["id"], &card["invented"]), (&id, &json!(true)));
    for field in ["name", "columns", "rows", "revision"] {
        assert_eq!(card[field], blanket[field], "{field}");
    }
    assert_eq!(card["colours"], json!(blanket["palette"].as_array().unwrap().len()));
    // Finished size after the gauge: stitches over stitches in 10 cm.
    let width = card["columns"].as_f64().unwrap() / blanket["gauge"]["stitches"].as_f64().unwrap() * 10.0;
    assert!((card["width_cm"].as_f64().unwrap() - width).abs() < 0.1, "{card}");
    let thumbnail = server.get(&format!("{at}/thumbnail.png?r=1"));
    assert_eq!(thumbnail.header("content-type"), Some("image/png"));
    let thumbnail = image::load_from_memory(&thumbnail.body).unwrap();
    assert!(thumbnail.width() <= 240 && thumbnail.width() > 40);

    let renamed = server.post(&format!("{at}/rename"), &json!({"name": "Lantern"})).good();
    assert!(renamed["revision"].is_u64());
    let copy = server.post(&format!("{at}/duplicate"), &json!({})).good()["id"].clone();
    assert_eq!(server.get("/api/shelf").good()["blankets"].as_array().unwrap().len(), 2);
    assert_eq!(
        without_time(&server.get(&format!("/api/blankets/{copy}")).good()["plan"]),
        without_time(&blanket["plan"])
    );
    // Only what was set aside can be deleted for good.
    let refused = server.post(&format!("{at}/delete-for-good"), &json!({}));
    assert!((400..500).contains(&refused.status), "{refused:?}");
    server.post(&format!("{at}/set-aside"), &json!({})).good();
    let shelf = server.get("/api/shelf").good();
    assert_eq!((&shelf["blankets"][0]["id"], &shelf["aside"][0]["name"]), (&copy, &json!("Lantern")));
    server.post(&format!("{at}/put-back"), &json!({})).good();
    assert_eq!(server.get("/api/shelf").good()["aside"], json!([]));
    server.post(&format!("{at}/set-aside"), &json!({})).good();
    server.post(&format!("{at}/delete-for-good"), &json!({})).good();
    server.get(&at).bad(404);
}

#[test]
fn a_picture_becomes_a_blanket_and_is_charted_again_with_progress() {
    let server = start();
    let made =
        server.upload("/api/blankets/from-picture?name=Patches%20%26%20more", &picture(300, 200)).good();
    assert_eq!(made["picture"], json!({"width": 300, "height": 200}));
    let at = format!("/api/blankets/{}", made["id"]);
    let first = server.get(&at).good();
    assert_eq!(first["name"], "Patches & more");
    let shown = server.get(&format!("{at}/picture.jpg?max=100"));
    assert!(["image/jpeg", "image/png"].contains(&shown.header("content-type").unwrap()));

    let wish = json!({"turn": 90, "crop": {"x": 0.0, "y": 0.25, "width": 1.0, "height": 0.5},
        "width": {"stitches": 40}, "height": null, "gauge": {"stitches": 13},
        "colours": {"count": 2},
        "yarns": [yarn("oat", "#f0e2c2"), yarn("ink", "#1d2a44"), yarn("moss", "#55682f")]});
    let job = server.post(&format!("{at}/chart-picture"), &wish).good()["job"].clone();
    let events = server.events(&job, |_, _| false);
    let (last, told) = events.split_last().unwrap();
    assert_eq!(last.0, "done", "{events:?}");
    for (name, progress) in told {
        let done = progress["done"].as_f64().unwrap();
        assert!(name == "progress" && (0.0..=1.0).contains(&done), "{progress}");
        assert!(progress["stage"].is_string(), "{progress}");
    }
    let result = &last.1["result"];
    assert_eq!((&result["reload"], &result["plan"]["proven"]), (&json!(true), &json!(true)));
    let second = server.get(&at).good();
    assert_eq!((&second["columns"], &second["revision"]), (&json!(40), &result["revision"]));
    assert_eq!(second["palette"].as_array().unwrap().len(), 2);
    let request = &second["picture"]["request"];
    assert_eq!((&request["turn"], &request["width"]), (&json!(90), &json!({"stitches": 40})));
    // Whoever comes late hears the end all the same.
    assert_eq!(server.events(&job, |_, _| false).last().unwrap().0, "done");
    // The request as it was kept can be sent again.
    let job = server.post(&format!("{at}/chart-picture"), request).good()["job"].clone();
    assert!(["done", "failed"].contains(&server.events(&job, |_, _| false).last().unwrap().0.as_str()));

    let revision = server.get(&at).good()["revision"].clone();
    let back = server.post(&format!("{at}/take-back"), &json!({"revision": revision})).good();
    assert_eq!(back["reload"], true);
    // A wish that can't be met fails as an event, with what to do.
    let wish = json!({"width": {"cm": 0.0}, "gauge": {"stitches": 13}, "colours": {"count": 2}});
    let job = server.post(&format!("{at}/chart-picture"), &wish).good()["job"].clone();
    let (name, told) = server.events(&job, |_, _| false).pop().unwrap();
    assert!(name == "failed" && told["error"]["what"].is_string(), "{told}");
}

/// A wish that takes long: over four hundred thousand stitches.
fn long_wish() -> Value {
    json!({"width": {"stitches": 800}, "gauge": {"stitches": 13}, "colours": {"count": 12}})
}

#[test]
fn long_work_can_be_stopped_and_leaves_the_blanket_as_it_was() {
    let server = start();
    let made = server.upload("/api/blankets/from-picture?name=Large", &picture(900, 600)).good();
    let at = format!("/api/blankets/{}", made["id"]);
    let before = server.get(&at).good();
    let job = server.post(&format!("{at}/chart-picture"), &long_wish()).good()["job"].clone();
    server.events(&job, |_, progress| progress["stage"] != "waiting");
    let begun = Instant::now();
    server.post(&format!("/api/jobs/{job}/cancel"), &json!({})).good();
    let (name, told) = server.events(&job, |_, _| false).pop().unwrap();
    assert_eq!((name.as_str(), &told["cancelled"]), ("failed", &json!(true)), "{told}");
    assert!(begun.elapsed() < Duration::from_secs(10), "{:?}", begun.elapsed());
    let after = server.get(&at).good();
    assert_eq!((&after["revision"], &after["cells"]), (&before["revision"], &before["cells"]));
}

#[test]
fn only_so_much_long_work_goes_on_at_once_and_what_is_over_is_forgotten() {
    let limits = Limits { jobs: 2, job_kept: Duration::from_secs(2), ..Limits::default() };
    let server = start_with(limits);
    let made = server.upload("/api/blankets/from-picture?name=Large", &picture(900, 600)).good();
    let at = format!("/api/blankets/{}", made["id"]);
    let start = || server.post(&format!("{at}/chart-picture"), &long_wish());
    let jobs = [start().good()["job"].clone(), start().good()["job"].clone()];
    for _ in 0..20 {
        start().bad(429);
    }
    // Meanwhile the rest goes on.
    assert!(server.get("/api/shelf").good()["blankets"].is_array());
    for job in &jobs {
        server.post(&format!("/api/jobs/{job}/cancel"), &json!({})).good();
        server.events(job, |_, _| false);
    }
    let third = start().good()["job"].clone();
    server.post(&format!("/api/jobs/{third}/cancel"), &json!({})).good();
    server.events(&third, |_, _| false);
    std::thread::sleep(Duration::from_millis(2300));
    for job in jobs.iter().chain([&third]) {
        server.get(&format!("/api/jobs/{job}/events")).bad(404);
        server.post(&format!("/api/jobs/{job}/cancel"), &json!({})).bad(404);
    }
}

#[test]
fn work_that_takes_too_long_is_stopped() {
    let server = start_with(Limits { job_time: Duration::ZERO, ..Limits::default() });
    server.upload("/api/blankets/from-picture?name=Large", &picture(900, 600)).bad(503);
    assert_eq!(server.get("/api/shelf").good()["blankets"], json!([]));
}

/// The chart in words and as steps, against the chart. Source of the terms: US sc is UK dc, SEEN in
/// two hobby pages and an open data set of translations.
#[test]
fn strands_and_rows_tell_the_chart() {
    let server = start();
    let at = blank(&server, 12, 7);
    let revision = server.get(&at).good()["revision"].clone();
    let edit =
        json!({"revision": revision, "operation": {"do": "line", "from": [0, 0], "to": [11, 6], "yarn": 1}});
    server.post(&format!("{at}/edit"), &edit).good();
    let blanket = server.get(&at).good();
    let strands = server.get(&format!("{at}/strands")).good();
    assert_eq!(strands["revision"], blanket["revision"]);
    let list = strands["strands"].as_array().unwrap();
    assert_eq!(list.len() as u64, blanket["plan"]["strands"].as_u64().unwrap());
    let stitches: u64 = list.iter().map(|strand| strand["stitches"].as_u64().unwrap()).sum();
    assert_eq!(stitches, 12 * 7);
    assert!(list.iter().all(|strand| strand["length_m"].as_f64().unwrap() > 0.0));
    let rows = strands["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 7);
    for (row, steps) in rows.iter().enumerate() {
        // Worked stitch by stitch from the steps alone, the row is the chart's.
        let mut worked = vec![None; 12];
        for step in steps["steps"].as_array().unwrap() {
            let strand = &list[usize::try_from(step[1].as_u64().unwrap()).unwrap()];
            let name = step[0].as_str().unwrap();
            let length = step.as_array().unwrap().len();
            assert_eq!(
                length,
                match name {
                    "join" | "cut" => 5,
                    "work" | "carry" | "draw_back" => 4,
                    "drop" | "lift" => 3,
                    other => panic!("{other}"),
                }
            );
            if name == "work" {
                let ends = [&step[2], &step[3]].map(|end| usize::try_from(end.as_u64().unwrap()).unwrap());
                for cell in &mut worked[ends[0].min(ends[1])..ends[0].max(ends[1])] {
                    assert!(cell.replace(strand["yarn"].as_u64().unwrap()).is_none(), "made twice");
                }
            }
        }
        let chart: Vec<_> =
            cells(&blanket)[row * 12..][..12].iter().map(|&cell| Some(u64::from(cell))).collect();
        assert_eq!(worked, chart, "row {row}");
    }
    let words = |query: &str| server.get(&format!("{at}/rows/2{query}")).good();
    let us = words("?terms=us");
    assert_eq!((&us["number"], &us["side"], &us["direction"]), (&json!(2), &json!("WS"), &json!("right")));
    let has = |row: &Value, word: &str| {
        row["text"].as_str().unwrap().split(|c: char| !c.is_alphanumeric()).any(|has| has == word)
    };
    assert!(has(&us, "sc") && !has(&us, "dc"), "{us}");
    let uk = words("?terms=uk");
    assert!(has(&uk, "dc") && !has(&uk, "sc"), "{uk}");
    for wrong in ["0", "8"] {
        server.get(&format!("{at}/rows/{wrong}")).bad(404);
    }
    server.get(&format!("{at}/rows/1?terms=de")).bad(422);
}

#[test]
fn every_file_can_be_kept_and_a_chart_comes_back_the_same() {
    let server = start();
    let at = blank(&server, 10, 9);
    let revision = server.get(&at).good()["revision"].clone();
    let edit =
        json!({"revision": revision, "operation": {"do": "line", "from": [1, 1], "to": [8, 7], "yarn": 1}});
    server.post(&format!("{at}/edit"), &edit).good();
    let blanket = server.get(&at).good();
    let file = |name: &str, kind: &str| {
        let answer = server.get(&format!("{at}/files/{name}"));
        assert_eq!(answer.status, 200, "{name}");
        assert!(answer.header("content-type").unwrap().starts_with(kind), "{name} {answer:?}");
        let disposition = answer.header("content-disposition").unwrap();
        let ending = name.rsplit_once('.').unwrap().1;
        assert!(disposition.starts_with("attachment; filename=\""), "{disposition}");
        assert!(disposition.contains(&format!(".{ending}\"")), "{disposition}");
        answer.body
    };
    let png = file("chart.png", "image/png");
    let pixels = image::load_from_memory(&png).unwrap().to_rgb8();
    assert_eq!(pixels.dimensions(), (10, 9));
    for (x, y, pixel) in pixels.enumerate_pixels() {
        let cell = cells(&blanket)[(8 - y as usize) * 10 + x as usize];
        let colour = format!("#{:02x}{:02x}{:02x}", pixel[0], pixel[1], pixel[2]);
        assert_eq!(blanket["palette"][usize::from(cell)]["colour"], json!(colour));
    }
    let csv = file("chart.csv", "text/csv");
    assert_eq!(
        String::from_utf8(csv.clone()).unwrap().lines().filter(|line| line.contains("oat")).count(),
        9
    );
    image::load_from_memory(&file("chart-picture.png", "image/png")).unwrap();
    let plan: Value = serde_json::from_slice(&file("plan.json", "application/json")).unwrap();
    assert_eq!(plan["chart"], json!({"rows": 9, "columns": 10}));
    let rows = String::from_utf8(file("rows.txt", "text/plain")).unwrap();
    assert!((1..=9).all(|row| rows.contains(&format!("Row {row}"))), "{rows}");
    assert!(String::from_utf8(file("summary.txt", "text/plain")).unwrap().contains("Finished size"));
    server.get(&format!("{at}/files/everything.zip")).bad(404);

    // A table holds keys alone: their colours come from the person's list.
    let list = json!({"yarns": [yarn("ink", "#1d2a44"), yarn("oat", "#f0e2c2")]});
    server.put("/api/yarns", &list).good();
    for (bytes, kind) in [(png, "image/png"), (csv, "text/csv")] {
        let made = server.write("POST", "/api/blankets/from-chart?name=Again", kind, &bytes).good();
        let again = server.get(&format!("/api/blankets/{}", made["id"])).good();
        let keys = |blanket: &Value| -> Vec<Value> {
            let palette = &blanket["palette"];
            cells(blanket).iter().map(|&cell| palette[usize::from(cell)]["key"].clone()).collect()
        };
        assert_eq!(keys(&again), keys(&blanket));
    }
}

#[test]
fn yarns_and_settings_are_kept() {
    let server = start();
    let list = json!({"yarns": [yarn("oat", "#f0e2c2"), yarn("ink", "#1d2a44")]});
    assert_eq!(server.put("/api/yarns", &list).good()["yarns"][1]["key"], "ink");
    let kept = server.get("/api/yarns").good();
    for (field, value) in yarn("oat", "#f0e2c2").as_object().unwrap() {
        let has = &kept["yarns"][0][field];
        assert!(
            has == value || has.as_f64().is_some_and(|has| Some(has) == value.as_f64()),
            "{field}: {has}"
        );
    }
    // What came out goes in again.
    server.put("/api/yarns", &kept).good();
    let toml = server.get("/api/yarns.toml");
    assert!(toml.header("content-disposition").unwrap().contains("yarns.toml"));
    server.put("/api/yarns", &json!({"yarns": [yarn("moss", "#55682f")]})).good();
    let read = server.write("POST", "/api/yarns/read", "application/toml", &toml.body).good();
    assert_eq!(read["yarns"], kept["yarns"]);
    assert!(read["notes"].is_array());
    let before = server.post("/api/yarns/take-back", &json!({})).good();
    assert_eq!(before["yarns"][0]["key"], "moss");
    for wrong in [
        json!([yarn("oat", "#f0e2c2"), yarn("oat", "#000000")]),
        json!([yarn("oat", "beige")]),
        json!([{"key": "oat", "name": "Oat", "colour": "#f0e2c2", "metres": 90}]),
    ] {
        server.put("/api/yarns", &json!({"yarns": wrong})).bad(422);
    }
    assert_eq!(server.get("/api/yarns").good(), before, "a list that is refused changes nothing");

    let usual = server.get("/api/settings").good();
    let usual_is =
        json!({"units": "cm", "terms": "us", "hand": "right", "language": "en", "theme": "system"});
    assert_eq!(usual, usual_is);
    let mine = json!({"units": "in", "terms": "uk", "hand": "left", "language": "en", "theme": "dark"});
    assert_eq!(server.put("/api/settings", &mine).good(), mine);
    assert_eq!(server.get("/api/settings").good(), mine);
    server.put("/api/settings", &json!({"units": "ells"})).bad(400);
    // The hand is the person's: a left-handed row 1 runs from the chart's left to its right.
    let at = blank(&server, 5, 5);
    assert_eq!(server.get(&at).good()["hand"], "left");
    let row = server.get(&format!("{at}/rows/1")).good();
    assert_eq!(row["direction"], "right");
    assert!(row["text"].as_str().unwrap().contains("dc"), "{row}");
}

#[test]
fn the_page_is_served_and_asked_for_anew_only_when_it_changed() {
    let server = start();
    let page = server.get("/");
    assert_eq!(page.status, 200);
    let text = String::from_utf8(page.body.clone()).unwrap();
    assert!(text.to_lowercase().contains("<!doctype html>"));
    assert_eq!(page.header("content-length").unwrap(), page.body.len().to_string());
    let tag = page.header("etag").unwrap().to_owned();
    let mut headers = server.as_the_page();
    headers.push(("If-None-Match".to_owned(), format!("\"other\", {tag}")));
    let same = server.send("GET", "/", &headers, b"");
    assert_eq!((same.status, same.body.len(), same.header("etag")), (304, 0, Some(tag.as_str())));
    headers.last_mut().unwrap().1 = "\"other\"".to_owned();
    assert_eq!(server.send("GET", "/", &headers, b"").status, 200);
    // Without the key too: the page holds nothing of a person's.
    let host = [("Host".to_owned(), format!("localhost:{}", server.port))];
    assert_eq!(server.send("GET", "/index.html", &host, b"").body, page.body);
    // What the page names is there, with the type that a strict browser wants.
    let mut named = 0;
    for part in text.split('"').filter(|part| !part.contains([' ', '\n', '<', ':'])) {
        let kind = match part.rsplit_once('.').map(|(_, ending)| ending) {
            Some("js") => "text/javascript; charset=utf-8",
            Some("css") => "text/css; charset=utf-8",
            Some("svg") => "image/svg+xml",
            _ => continue,
        };
        let path = format!("/{}", part.trim_start_matches("./").trim_start_matches('/'));
        let file = server.get(&path);
        assert_eq!((file.status, file.header("content-type")), (200, Some(kind)), "{path}");
        named += 1;
    }
    assert!(named > 0, "{text}");
}

#[test]
fn quitting_ends_the_program_and_what_it_was_busy_with() {
    let server = start();
    let made = server.upload("/api/blankets/from-picture?name=Large", &picture(900, 600)).good();
    let at = format!("/api/blankets/{}", made["id"]);
    let job = server.post(&format!("{at}/chart-picture"), &long_wish()).good()["job"].clone();
    server.events(&job, |_, progress| progress["stage"] != "waiting");
    let begun = Instant::now();
    server.post("/api/quit", &json!({})).good();
    assert!(has_ended(server.port));
    assert!(begun.elapsed() < Duration::from_secs(8), "{:?}", begun.elapsed());
}
