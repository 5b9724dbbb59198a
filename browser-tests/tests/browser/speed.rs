//! How long it takes from the hand to the numbers, on a large blanket. Told, and held only to what would be
//! felt as broken: the machine that runs this may be busy.

use browser_tests::{Sheet, root};
use serde_json::{Value, json};

use crate::{Scene, take_yarn};

const STROKES: usize = 100;

#[tokio::test(flavor = "multi_thread")]
async fn numbers_follow_the_brush_on_a_large_blanket() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    // Invented yarns, spread over light and dark.
    let yarns: Vec<Value> = (0..12)
        .map(|at| {
            let colour = format!("#{:02x}{:02x}{:02x}", 20 + at * 20, 12 + at * 19, 8 + at * 18 + (at % 3) * 12);
            json!({ "key": format!("y{at}"), "name": format!("Yarn {at}"), "colour": colour, "weight": "medium", "metres": 170, "grams": 100 })
        })
        .collect();
    let photograph = std::fs::read(root().join("fixtures/coffee.png")).expect("a fixture");
    let made = window.send_bytes("/api/blankets/from-picture?name=Large", &photograph).await;
    let id = made["id"].as_u64().expect("a number");
    let (wide, high) = (
        made["picture"]["width"].as_f64().expect("pixels"),
        made["picture"]["height"].as_f64().expect("pixels"),
    );
    // 200 stitches by 250 rows, a row being 0.93 of a stitch.
    let crop = (200.0 / (250.0 * 0.93)) * high / wide;
    let ask = json!({
        "turn": 0, "crop": { "x": 0.1, "y": 0, "width": crop, "height": 1 }, "width": { "stitches": 200 },
        "gauge": { "stitches": 12.5 }, "colours": { "count": 12 }, "yarns": yarns,
    });
    let job = window.api("POST", &format!("/api/blankets/{id}/chart-picture"), &ask).await;
    let events = window
        .js(&format!("fetch('/api/jobs/' + {} + '/events').then((answer) => answer.text())", job["job"]))
        .await;
    assert!(
        events.as_str().is_some_and(|events| events.contains("event: done") || events.contains("event:done")),
        "{events}"
    );
    let sheet = scene.chart(id).await;
    assert!(sheet.columns == 200 && sheet.rows.abs_diff(250) <= 2, "{} × {}", sheet.columns, sheet.rows);

    window.js("window.waits = []; new MutationObserver(() => waits.push(Number(document.querySelector('.numbers').dataset.waited))).observe(document.querySelector('.numbers'), { attributes: true, attributeFilter: ['data-waited'] })").await;
    let mut place = 7;
    let mut cells = sheet.cells.clone();
    for stroke in 0..STROKES {
        let yarn = stroke % 2;
        take_yarn(window, yarn).await;
        // Somewhere else each time, where the stroke changes something.
        let (column, row) = loop {
            place = (place * 1_103 + 12_345) % (sheet.columns * sheet.rows);
            let (column, row) = (place % sheet.columns, place / sheet.columns);
            if column + 3 < sheet.columns && usize::from(cells[place]) != yarn {
                break (column, row);
            }
        };
        for cell in 0..3 {
            cells[row * sheet.columns + column + cell] = u8::try_from(yarn).expect("small");
        }
        let before = window.js("waits.length").await;
        window
            .drag(&[sheet.point(column, row), sheet.point(column + 1, row), sheet.point(column + 2, row)])
            .await;
        window.until("the numbers", &format!("waits.length > {before}")).await;
    }
    let mut waits: Vec<u64> =
        window.js("waits").await.as_array().expect("times").iter().filter_map(Value::as_u64).collect();
    assert!(waits.len() >= STROKES);
    waits.sort_unstable();
    let at = |part: usize| waits[(waits.len() * part / 100).min(waits.len() - 1)];
    window.click(".more summary", "").await;
    window.until("the drawing times", "document.querySelector('.facts dd')").await;
    let drawing = window.js("[...document.querySelectorAll('.facts dd')].map((fact) => fact.textContent).find((fact) => fact.includes('a frame'))").await;
    let memory = scene
        .program
        .memory()
        .map_or_else(String::new, |memory| format!("; the program holds {} MiB", memory / 1024));
    eprintln!(
        "brush to numbers on {} × {}, {} yarns, {} answers: median {} ms, 95 of 100 under {} ms, worst {} ms; drawing: {}{memory}",
        sheet.columns,
        sheet.rows,
        sheet.blanket["palette"].as_array().map_or(0, Vec::len),
        waits.len(),
        at(50),
        at(95),
        at(100),
        drawing.as_str().unwrap_or("not told"),
    );
    assert!(at(95) < 1000, "half a second can be felt, a second is broken");
    let after = Sheet::of(window).await;
    assert_eq!(after.cells, cells, "every stroke arrived");
    scene.end().await;
}
