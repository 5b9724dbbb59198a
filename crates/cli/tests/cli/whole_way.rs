//! The whole way: from a picture to a folder with a pattern whose files agree with one another.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::bench::{Bench, demo_yarns, stock};
use crate::marks::Read;

const FILES: [&str; 5] = ["chart-picture.png", "chart.png", "plan.json", "rows.txt", "summary.txt"];

fn number(value: &Value, name: &str) -> u64 {
    value[name].as_u64().unwrap_or_else(|| panic!("no {name} in {value}"))
}

fn array<'a>(value: &'a Value, name: &str) -> &'a [Value] {
    value[name].as_array().unwrap_or_else(|| panic!("no {name} in {value}"))
}

/// Runs of one yarn in a chart, counted from its pixels.
fn runs(chart: &Read) -> u64 {
    (1..=chart.rows()).map(|row| chart.row(row).chunk_by(|a, b| a == b).count() as u64).sum()
}

/// A chart's pixels and a plan's document say the same, as far as one can see without the rules.
fn agree(chart: &Read, plan: &Value) {
    let summary = &plan["summary"];
    assert_eq!(number(&plan["chart"], "rows"), chart.rows() as u64);
    assert_eq!(number(&plan["chart"], "columns"), chart.columns as u64);
    assert_eq!(number(summary, "rows"), chart.rows() as u64);
    assert_eq!(number(summary, "columns"), chart.columns as u64);
    assert_eq!(number(summary, "stitches"), chart.cells.len() as u64);
    assert_eq!(number(summary, "runs"), runs(chart));
    let used: BTreeSet<u8> = chart.cells.iter().copied().collect();
    assert_eq!(number(summary, "colours"), used.len() as u64);
    let strands = array(plan, "strands");
    assert_eq!(number(summary, "strands"), strands.len() as u64);
    assert_eq!(number(summary, "ends"), 2 * number(summary, "strands"));
    assert!(number(summary, "strands_at_once") <= number(summary, "strands"));
    // The planner says that there is no cheaper plan.
    assert_eq!(summary["cost"], summary["bound"]);
    assert_eq!(summary["gap"].as_f64(), Some(0.0));
    let colours: Vec<String> =
        chart.palette.iter().map(|[r, g, b]| format!("#{r:02x}{g:02x}{b:02x}")).collect();
    let yarns = array(plan, "yarns");
    assert_eq!(
        yarns.iter().map(|yarn| yarn["colour"].as_str().expect("a colour")).collect::<Vec<_>>(),
        colours
    );

    // The steps `work`, painted into an empty chart, give the chart; row 1 is at the bottom.
    let entry: BTreeMap<&str, u8> =
        (0u8..).zip(yarns).map(|(at, yarn)| (yarn["key"].as_str().expect("a key"), at)).collect();
    for (row, written) in (1..).zip(array(plan, "rows")) {
        assert_eq!(number(written, "row"), row as u64);
        let mut made = vec![None; chart.columns];
        for step in array(written, "steps").iter().filter(|step| step["do"] == "work") {
            let strand = usize::try_from(number(step, "strand")).expect("small") - 1;
            let yarn = strands[strand]["yarn"].as_str().expect("a key");
            let at = |name: &str| usize::try_from(number(step, name)).expect("small");
            let (from, to) = (at("from").min(at("to")), at("from").max(at("to")));
            for cell in &mut made[from..to] {
                assert_eq!(cell.replace(entry[yarn]), None, "row {row}: a stitch is made twice");
            }
        }
        let wanted: Vec<Option<u8>> = chart.row(row).iter().copied().map(Some).collect();
        assert_eq!(made, wanted, "row {row}");
    }
}

/// Costs have at most three digits behind the point.
fn has_short_costs(text: &str) {
    for line in text.lines().filter(|line| line.contains("\"cost\":") || line.contains("\"bound\":")) {
        let number = line.split(':').nth(1).expect("a value").trim().trim_end_matches(',');
        let digits = number.split_once('.').map_or(0, |(_, digits)| digits.len());
        assert!(digits <= 3 && number.parse::<f64>().is_ok(), "{line}");
    }
}

/// The demo's command, as the README has it, from the folder in which everything lies.
#[test]
fn the_demo_becomes_a_pattern() {
    let bench = Bench::new();
    let (picture, yarns) = (stock("demo/picture.png"), demo_yarns());
    let command =
        ["make", &picture, "--yarns", &yarns, "--width", "110cm", "--colours", "7", "--out", "blanket"];
    let made = bench.done(&command);
    assert_eq!(made.out, "", "messages go to standard error");
    assert!(made.err.contains("written: blanket"), "{made:?}");
    let names: Vec<String> = bench
        .files()
        .keys()
        .skip(1)
        .map(|path| path.file_name().expect("a name").to_string_lossy().into_owned())
        .collect();
    assert_eq!(names, FILES);

    // demo/README.md: 138 stitches by 185 rows.
    let chart = Read::png(&bench.read("blanket/chart.png"));
    assert_eq!((chart.columns, chart.rows(), chart.palette.len()), (138, 185, 7));
    let plan = bench.json("blanket/plan.json");
    agree(&chart, &plan);
    has_short_costs(&bench.text("blanket/plan.json"));
    let picture_of_chart = image::load_from_memory(&bench.read("blanket/chart-picture.png")).expect("a PNG");
    assert!(picture_of_chart.width() as usize > 4 * chart.columns);

    let summary = &plan["summary"];
    let text = bench.text("blanket/summary.txt");
    // 138 stitches at 12.5 in 10 cm.
    assert!(text.contains("110.4 cm"), "{text}");
    let count = |name: &str| number(summary, name);
    for line in [
        format!(
            "{} sc in {} rows of {}, for the right hand, US terms",
            count("stitches"),
            count("rows"),
            count("columns")
        ),
        format!("Strands                 {}, so {} ends", count("strands"), count("ends")),
        format!("Colours                 {}", count("colours")),
        format!("Colour changes          {}", count("runs") - 1),
        format!("Most strands at once    {}", count("strands_at_once")),
        format!("Stitches carried        {}, at most {} of other", count("carried"), count("longest_carry")),
        format!("Cost                    {:.3} stitches", summary["cost"].as_f64().expect("a cost")),
        format!("Bound                   {:.3}:", summary["bound"].as_f64().expect("a bound")),
    ] {
        assert!(text.contains(&line), "no {line:?} in\n{text}");
    }
    for (at, yarn) in (0u8..).zip(array(&plan, "yarns")) {
        let part = |name: &str| yarn[name].as_str().expect("a text");
        let stitches = chart.cells.iter().filter(|&&cell| cell == at).count();
        let strands = array(&plan, "strands").iter().filter(|strand| strand["yarn"] == yarn["key"]).count();
        let line = format!(
            "{}   {} ({}), {}: {stitches} stitches, {strands} strands",
            part("symbol"),
            part("name"),
            part("key"),
            part("colour")
        );
        assert!(text.contains(&line), "no {line:?} in\n{text}");
    }

    let replayed = bench.done(&["replay", "blanket/chart.png", "blanket/plan.json", "--json"]).json();
    assert_eq!(replayed["accepted"], true);
    let said = bench.done(&["replay", "blanket/chart.png", "blanket/plan.json"]);
    assert!(said.out.contains("25530 stitches in 185 rows"), "{said:?}");
    let rows = bench.done(&["rows", "blanket/chart.png", "blanket/plan.json", "--terms", "us"]);
    assert_eq!(rows.out, bench.text("blanket/rows.txt"));
    bench.done(&["rows", "blanket/chart.png", "blanket/plan.json", "--out", "rows.txt"]);
    assert_eq!(bench.read("rows.txt"), bench.read("blanket/rows.txt"));

    // A plan of the very chart is the very plan; the gauge is in the chart's file.
    bench.done(&["plan", "blanket/chart.png", "--out", "again.json"]);
    assert!(bench.read("again.json") == bench.read("blanket/plan.json"));
    let printed = bench.done(&["plan", "blanket/chart.png", "--json"]);
    assert_eq!(printed.out, bench.text("again.json"));

    // Nothing of all that is touched without --force …
    bench.refused(&command, 5, &["chart.png", "there already", "--force"]);
    bench.refused(&["plan", "blanket/chart.png", "--out", "again.json"], 5, &["again.json", "there already"]);
    // … and with it comes out the same.
    let bytes = |bench: &Bench| FILES.map(|name| bench.read(&format!("blanket/{name}")));
    let before = bytes(&bench);
    let forced: Vec<&str> = command.into_iter().chain(["--force", "--json"]).collect();
    let made = bench.done(&forced).json();
    assert!(before == bytes(&bench), "the same picture gives the same bytes");
    for name in [
        "rows",
        "columns",
        "stitches",
        "colours",
        "runs",
        "strands",
        "ends",
        "strands_at_once",
        "carried",
        "longest_carry",
    ] {
        assert_eq!(made["summary"][name], summary[name], "{name}");
        assert_eq!(replayed["summary"][name], summary[name], "{name}");
    }
    for name in ["cost", "bound", "gap"] {
        assert_eq!(made["summary"][name].as_f64(), summary[name].as_f64(), "{name}");
        assert_eq!(replayed["summary"][name].as_f64(), summary[name].as_f64(), "{name}");
    }
    assert_eq!(array(&made, "written").len(), FILES.len());
}

#[test]
fn a_photograph_becomes_a_pattern_for_the_left_hand_in_uk_terms() {
    let bench = Bench::new();
    let (picture, yarns) = (stock("fixtures/chelsea.png"), demo_yarns());
    let made = bench.done(&[
        "make",
        &picture,
        "--yarns",
        &yarns,
        "--crop",
        "20%,10%,50%x80%",
        "--height",
        "60st",
        "--frame",
        "3",
        "--frame-colour",
        "pine",
        "--colour",
        "peat",
        "--colour",
        "driftwood",
        "--colour",
        "shell",
        "--colour",
        "pebble",
        "--gauge",
        "14x15",
        "--hand",
        "left",
        "--terms",
        "uk",
        "--out",
        "cat",
    ]);
    assert!(!made.err.contains("note: no gauge"), "{made:?}");
    let chart = Read::png(&bench.read("cat/chart.png"));
    let plan = bench.json("cat/plan.json");
    agree(&chart, &plan);
    assert_eq!(chart.rows(), 60);
    let keys: BTreeSet<&str> =
        array(&plan, "yarns").iter().map(|yarn| yarn["key"].as_str().expect("a key")).collect();
    assert_eq!(keys, BTreeSet::from(["driftwood", "peat", "pebble", "pine", "shell"]));

    // The frame: three stitches and rows of pine all around, and no pine at the picture's own edge.
    let pine = array(&plan, "yarns").iter().position(|yarn| yarn["key"] == "pine").expect("pine");
    let depth = |row: usize, column: usize| {
        (row - 1).min(chart.rows() - row).min(column).min(chart.columns - 1 - column)
    };
    let mut inside = 0;
    for row in 1..=chart.rows() {
        for (column, &cell) in chart.row(row).iter().enumerate() {
            if depth(row, column) < 3 {
                assert_eq!(usize::from(cell), pine, "row {row}, column {column}");
            } else {
                inside += usize::from(usize::from(cell) != pine);
            }
        }
    }
    assert!(inside > chart.cells.len() / 2, "the picture is not all frame");

    // A left-handed crocheter works row 1, a right-side row, from left to right: chart guides
    // of a UK craft shop (2017) and of a designer (2001), mirrored (SEEN).
    assert_eq!(plan["hand"], "left");
    assert_eq!(plan["rows"][0]["side"], "RS");
    assert_eq!(plan["rows"][0]["direction"], "right");
    // "sc" never stands in UK text: a hobby page of terms by country (SEEN).
    let rows = bench.text("cat/rows.txt");
    assert!(rows.contains("UK terms") && rows.contains("Row 1 (RS →)"), "{}", &rows[..600]);
    let words = |text: &str| text.split(|c: char| !c.is_alphanumeric()).any(|word| word == "sc");
    assert!(!words(&rows) && rows.contains(" dc "));
    let summary = bench.text("cat/summary.txt");
    assert!(summary.contains("for the left hand, UK terms") && !words(&summary), "{summary}");
    // 60 rows at 15 in 10 cm.
    assert!(summary.contains("40.0 cm (15.7 in) high"), "{summary}");

    let uk = bench.done(&["rows", "cat/chart.png", "cat/plan.json", "--terms", "UK"]);
    assert_eq!(uk.out, rows);
    assert!(words(&bench.done(&["rows", "cat/chart.png", "cat/plan.json"]).out), "US terms unless told");
    assert_eq!(bench.done(&["replay", "cat/chart.png", "cat/plan.json", "--json"]).json()["accepted"], true);
}

/// A chart as PNG and as CSV is the same chart: the same keys by an own reading of both, and the same
/// plan of both.
#[test]
fn charts_go_round_as_png_and_as_csv() {
    let bench = Bench::new();
    let (picture, yarns) = (stock("fixtures/coffee.png"), demo_yarns());
    let chart = |out: &str| {
        let common =
            ["chart", &picture, "--yarns", &yarns, "--width", "41st", "--colours", "5", "--gauge", "13x14"];
        bench.done(&[&common[..], &["--out", out]].concat())
    };
    let said = chart("c.png");
    assert!(said.err.contains("next: strandwright plan c.png --out plan.json"), "{said:?}");
    let said = chart("c.csv");
    assert!(
        said.err.contains(&format!("next: strandwright plan c.csv --yarns {yarns} --out plan.json")),
        "{said:?}"
    );
    let png = Read::png(&bench.read("c.png"));
    let plan = bench.done(&["plan", "c.png", "--json"]);
    let keys: Vec<String> = array(&plan.json(), "yarns")
        .iter()
        .map(|yarn| yarn["key"].as_str().expect("a key").to_owned())
        .collect();
    let lines: Vec<Vec<String>> =
        bench.text("c.csv").lines().map(|line| line.split(',').map(str::to_owned).collect()).collect();
    let from_png: Vec<Vec<String>> = png
        .cells
        .chunks(png.columns)
        .map(|row| row.iter().map(|&at| keys[usize::from(at)].clone()).collect())
        .collect();
    assert_eq!(lines, from_png, "the top row comes first in both");
    let from_csv = bench.done(&["plan", "c.csv", "--yarns", &yarns, "--gauge", "13x14", "--json"]);
    assert_eq!(from_csv.out, plan.out);
    bench.write("p.json", &plan.out);
    assert!(bench.done(&["replay", "c.csv", "p.json", "--yarns", &yarns]).out.contains("can be worked"));
}

/// Row 1 is the bottom row of a chart's picture and the last line of its text; it is worked from the
/// right: chart guides of a UK craft shop (2017) and of a designer (2001) (SEEN).
#[test]
fn the_bottom_row_is_row_one() {
    let bench = Bench::new();
    bench.write("c.csv", "#ffffff,#ffffff,#ffffff\n#ffffff,#ffffff,#ffffff\n#000000,#000000,#000000\n");
    bench.write("c.png", crate::marks::indexed(3, &[[255; 3], [0; 3]], &[0, 0, 0, 0, 0, 0, 1, 1, 1]));
    for chart in ["c.csv", "c.png"] {
        let plan = bench.done(&["plan", chart, "--json"]).json();
        assert_eq!(plan["strands"][0]["yarn"], if chart == "c.csv" { "#000000" } else { "1" }, "{chart}");
        let first = &plan["rows"][0];
        assert_eq!(
            (&first["row"], &first["side"], &first["direction"]),
            (&1.into(), &"RS".into(), &"left".into())
        );
        assert_eq!((&first["steps"][0]["do"], &first["steps"][0]["at"]), (&"join".into(), &3.into()));
        let yarns = array(&plan, "strands").len();
        assert_eq!(yarns, 2);
    }
}
