//! The files that a person saves, read back from the disk.

use browser_tests::Sheet;
use formats::{SizeLimits, belongs_to, read_chart_csv, read_chart_png, read_plan};
use serde_json::Value;

use crate::Scene;

#[tokio::test(flavor = "multi_thread")]
async fn saved_files_agree_with_each_other_and_with_the_page() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    let sheet = scene.chart(id).await;
    let save = async |name: &str| {
        window.click(".top .menu > button", "").await;
        window.click(".menu-item", name).await;
        let (saved, bytes) = scene.browser.saved(name).await;
        assert!(!saved.contains(['/', '\\']) && saved.ends_with(name), "{saved}");
        bytes
    };
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");

    let chart =
        read_chart_png(&save("chart.png").await, &SizeLimits::default()).expect("a chart").value.chart;
    let csv =
        read_chart_csv(&text(save("chart.csv").await), Some(chart.palette().yarns())).expect("a chart").value;
    let plan = read_plan(&text(save("plan.json").await)).expect("a plan");
    assert_eq!((plan.columns, plan.rows), (sheet.columns, sheet.rows));
    belongs_to(&plan, &chart).expect("the plan is one of this chart");
    belongs_to(&plan, &csv).expect("and of the table");
    let proven = replay::prove(chart, plan.plan).expect("the saved plan can be worked on the saved chart");
    // Each strand has two ends, and the page counts the same.
    assert_eq!(window.number("ends").await, 2 * proven.strands().len() as u64);

    let rows = text(save("rows.txt").await);
    let told = window.api("GET", &format!("/api/blankets/{id}/rows/1"), &Value::Null).await;
    // The file is broken into short lines, with counts between; the first things to do are the same.
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let row = told["text"].as_str().and_then(|text| text.lines().last()).expect("words");
    let first: Vec<&str> = row.split_inclusive("; ").take(3).collect();
    let rows = words(&rows);
    assert!(rows.contains(first.concat().trim()), "row 1 is told the same: {first:?}");
    for row in [1, sheet.rows] {
        assert!(rows.contains(&format!("Row {row} (")), "row {row} is told");
    }
    let summary = text(save("summary.txt").await);
    for yarn in sheet.blanket["palette"].as_array().expect("yarns") {
        let name = yarn["name"].as_str().expect("a name");
        assert!(summary.contains(name), "{name} is missing from the summary");
    }
    // PNG: eight bytes at the beginning that no other file has. MEM: the PNG specification, 5.2
    let picture = save("chart-picture.png").await;
    assert_eq!(picture[..8], *b"\x89PNG\r\n\x1a\n");
    scene.end().await;
}

/// What was saved can begin a blanket anew.
#[tokio::test(flavor = "multi_thread")]
async fn a_saved_chart_begins_a_blanket() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let before = scene.chart(scene.demo().await).await;
    window.click(".top .menu > button", "").await;
    window.click(".menu-item", "chart.png").await;
    let (_, bytes) = scene.browser.saved("chart.png").await;
    let file = scene.data.path().join("again.png");
    std::fs::write(&file, bytes).expect("a file");
    window.go_within("#/shelf").await;
    window.choose_file(".way", "From a chart file", &file).await;
    window.sees("Again").await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    let after = Sheet::of(window).await;
    assert_ne!(after.blanket["id"], before.blanket["id"]);
    assert_eq!((after.columns, after.rows), (before.columns, before.rows));
    // The palette may come in another order, the colours may not.
    let colours = |sheet: &Sheet| -> Vec<String> {
        sheet
            .cells
            .iter()
            .map(|yarn| sheet.blanket["palette"][usize::from(*yarn)]["colour"].to_string())
            .collect()
    };
    assert_eq!(colours(&after), colours(&before));
    assert_eq!(after.ends(), before.ends());
    scene.end().await;
}
