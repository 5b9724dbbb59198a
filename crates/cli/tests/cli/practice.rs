//! The practice patch.

use serde_json::{Value, json};

use crate::bench::Bench;

const FILES: [&str; 5] = ["chart.png", "chart-picture.png", "plan.json", "rows.txt", "lessons.txt"];

#[test]
fn the_patch_is_planned_proven_and_explained() {
    let bench = Bench::new();
    for hand in ["right", "left"] {
        let told = bench.done(&["practice", "--out", hand, "--hand", hand, "--json"]).json();
        assert_eq!(told["written"], json!(FILES.map(|file| format!("{hand}/{file}"))));
        // Whoever checks the files by themselves finds the same plan.
        let (chart, plan) = (format!("{hand}/chart.png"), format!("{hand}/plan.json"));
        let replayed = bench.done(&["replay", &chart, &plan, "--json"]).json();
        assert_eq!(replayed["summary"], told["summary"]);
        assert_eq!(told["summary"]["gap"], 0.0);
        let rows = bench.done(&["rows", &chart, &plan]).out;
        assert_eq!(bench.text(&format!("{hand}/rows.txt")), rows);
        assert!(rows.contains(&format!("{hand} hand")), "{rows}");

        // Every kind of step of the plan is taught, in the very row where it is made (docs/strand-model.md has the steps).
        let lessons = told["lessons"].as_array().expect("lessons");
        assert_eq!(lessons.len(), 12);
        let document = bench.json(&plan);
        for (lesson, row) in lessons.iter().zip(document["rows"].as_array().expect("rows")) {
            let mut made: Vec<String> = row["steps"]
                .as_array()
                .expect("steps")
                .iter()
                .filter_map(|step| step["do"].as_str().map(|what| what.replace('_', " ")))
                .filter(|what| what != "work")
                .collect();
            made.sort();
            made.dedup();
            let mut taught: Vec<&str> =
                lesson["moves"].as_array().expect("moves").iter().filter_map(Value::as_str).collect();
            taught.sort_unstable();
            assert_eq!(made, taught, "row {}", lesson["row"]);
        }
        let text = bench.text(&format!("{hand}/lessons.txt"));
        for row in 1..=12 {
            assert!(text.contains(&format!("\n[ ] Row {row}: ")), "{text}");
        }
        assert!(text.lines().all(|line| line.chars().count() <= 96), "{text}");
    }
    bench.done(&["practice", "--out", "uk", "--terms", "uk"]);
    assert!(bench.text("uk/rows.txt").contains("double crochet"));
}

#[test]
fn patches_that_cannot_be_written() {
    let bench = Bench::new();
    bench.refused(&["practice"], 2, &["--out FOLDER is missing"]);
    bench.refused(&["practice", "--out", "p", "--hand", "both"], 2, &["--hand", "right or left"]);
    bench.write("file", "mine");
    bench.refused(&["practice", "--out", "file"], 5, &["there is a file of that name"]);
    bench.done(&["practice", "--out", "p"]);
    bench.refused(&["practice", "--out", "p"], 5, &["chart.png", "there already"]);
    bench.done(&["practice", "--out", "p", "--force"]);
}
