//! Charts that are easier to work, what matters in them, and rows of charts to choose from.

use image::{GrayImage, Luma};
use serde_json::Value;

use crate::bench::{Bench, demo_yarns, stock};
use crate::marks::{Read, picture, png};

/// The cat's photograph is 451 by 300 pixels (fixtures/CREDITS.md); its eyes lie in these, x and y.
const EYES: [(u32, u32, u32, u32); 2] = [(130, 70, 220, 160), (290, 95, 350, 170)];

struct Cat {
    bench: Bench,
    picture: String,
    yarns: String,
}

impl Cat {
    fn new() -> Self {
        Self { bench: Bench::new(), picture: stock("fixtures/chelsea.png"), yarns: demo_yarns() }
    }

    fn chart(&self, out: &str, more: &[&str]) -> Value {
        let common = ["chart", &self.picture, "--yarns", &self.yarns, "--width", "66st", "--gauge", "14x15"];
        let rest = ["--colours", "6", "--out", out, "--json"];
        self.bench.done(&[&common[..], &rest, more].concat()).json()
    }

    fn read(&self, name: &str) -> Read {
        Read::png(&self.bench.read(name))
    }

    fn cost(&self, chart: &str) -> (f64, u64) {
        let plan = self.bench.done(&["plan", chart, "--json"]).json();
        (plan["summary"]["cost"].as_f64().expect("a cost"), plan["summary"]["ends"].as_u64().expect("ends"))
    }
}

fn float(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("no number: {value}"))
}

/// Colours of two charts of one size, of which this is said, as a share of the cells in the eyes.
fn agree_in_the_eyes(one: &Read, other: &Read) -> f64 {
    let colour = |chart: &Read, at: usize| chart.palette[usize::from(chart.cells[at])];
    let (mut same, mut all) = (0_u32, 0_u32);
    for at in 0..one.cells.len() {
        let x = (at % one.columns) * 451 / one.columns;
        let y = (at / one.columns) * 300 / one.rows();
        let within = |&(left, top, right, bottom): &(u32, u32, u32, u32)| {
            (left as usize..right as usize).contains(&x) && (top as usize..bottom as usize).contains(&y)
        };
        if EYES.iter().any(within) {
            all += 1;
            same += u32::from(colour(one, at) == colour(other, at));
        }
    }
    f64::from(same) / f64::from(all)
}

#[test]
fn an_easier_chart_takes_less_work_and_keeps_what_matters() {
    let cat = Cat::new();
    let plain = cat.chart("plain.png", &[]);
    assert!(plain["blurred_difference"].is_null());
    assert_eq!(cat.chart("zero.png", &["--ease", "0"])["mean_difference"], plain["mean_difference"]);
    assert!(cat.bench.read("plain.png") == cat.bench.read("zero.png"), "0 is the plain chart");
    let easy = cat.chart("easy.png", &["--ease", "8"]);
    cat.chart("again.png", &["--ease", "8"]);
    assert!(cat.bench.read("easy.png") == cat.bench.read("again.png"), "the same wish, the same chart");
    let difference = |said: &Value| float(&said["mean_difference"]);
    assert!(
        difference(&easy) > difference(&plain) && float(&easy["blurred_difference"]) < difference(&easy),
        "{easy}"
    );
    let ((cost, ends), (easy_cost, easy_ends)) = (cat.cost("plain.png"), cat.cost("easy.png"));
    assert!(easy_cost < 0.6 * cost && easy_ends < ends, "{easy_cost} of {cost}");

    // The eyes are painted white in the map, and stay.
    let mut map = GrayImage::new(451, 300);
    for (left, top, right, bottom) in EYES {
        (left..right).for_each(|x| (top..bottom).for_each(|y| map.put_pixel(x, y, Luma([255]))));
    }
    map.save(cat.bench.path("map.png")).expect("written");
    let said = cat.chart("eyes.png", &["--ease", "8", "--matters", "map.png"]);
    assert_eq!(
        said["notes"].as_array().map(|notes| notes
            .iter()
            .filter(|note| note.as_str().is_some_and(|note| note.contains("map")))
            .count()),
        Some(0)
    );
    let plain = cat.read("plain.png");
    let (without, with) =
        (agree_in_the_eyes(&cat.read("easy.png"), &plain), agree_in_the_eyes(&cat.read("eyes.png"), &plain));
    assert!(with > without + 0.05 && with > 0.95, "{without} {with}");
    // A black map says nothing.
    GrayImage::new(451, 300).save(cat.bench.path("black.png")).expect("written");
    cat.chart("black-chart.png", &["--ease", "8", "--matters", "black.png"]);
    assert!(cat.bench.read("black-chart.png") == cat.bench.read("easy.png"));
    // A crop is taken out of the map too.
    let crop = ["--ease", "8", "--crop", "100,50,200x150"];
    let whole = cat.chart("cropped.png", &[&crop[..], &["--matters", "map.png"]].concat());
    assert_eq!(whole["columns"], 66);
    let note = cat.chart("noted.png", &["--matters", "map.png"])["notes"].to_string();
    assert!(note.contains("only where the chart is made easier"), "{note}");
}

#[test]
fn make_takes_the_ease_and_the_rules_together() {
    let bench = Bench::new();
    let (picture, yarns) = (stock("fixtures/chelsea.png"), demo_yarns());
    let make = |out: &str, more: &[&str]| {
        let common =
            ["make", &picture, "--yarns", &yarns, "--width", "48st", "--gauge", "14x15", "--colours", "5"];
        bench.done(&[&common[..], &["--out", out, "--json"], more].concat()).json()
    };
    let plain = make("plain", &["--hand", "left"]);
    let easy = make("easy", &["--hand", "left", "--ease", "6"]);
    assert!(float(&easy["summary"]["cost"]) < float(&plain["summary"]["cost"]));
    assert_eq!(bench.json("easy/plan.json")["hand"], "left");
    let replayed = bench.done(&["replay", "easy/chart.png", "easy/plan.json", "--json"]).json();
    assert_eq!(replayed["accepted"], true);
    // Dear joins make the chart another one.
    let dear = make("dear", &["--hand", "left", "--ease", "6", "--join", "60"]);
    assert!(dear["summary"]["ends"].as_u64() < easy["summary"]["ends"].as_u64(), "{dear} {easy}");
    assert_eq!(bench.json("dear/plan.json")["weights"]["join"], 60);
}

#[test]
fn a_row_of_charts_to_choose_from() {
    let cat = Cat::new();
    let said = cat.chart("row", &["--choices", "5"]);
    let choices = said["choices"].as_array().expect("choices");
    assert!((3..=5).contains(&choices.len()), "{said}");
    cat.chart("plain.png", &[]);
    assert!(cat.bench.read("row/choice-1.png") == cat.bench.read("plain.png"), "1 is the plain one");
    for pair in choices.windows(2) {
        let cost = |choice: &Value| float(&choice["summary"]["cost"]);
        assert!(cost(&pair[1]) < cost(&pair[0]), "each is easier");
        assert!(float(&pair[1]["mean_difference"]) > float(&pair[0]["mean_difference"]), "and less like");
        assert!((float(&pair[1]["handling"]) - cost(&pair[1]) / cost(&choices[0])).abs() < 1e-9);
    }
    let text = cat.bench.text("row/choices.txt");
    let mut wide = 0;
    for (at, choice) in (1..).zip(choices) {
        // What is told of a chart is what planning the very chart says.
        let (cost, ends) = cat.cost(&format!("row/choice-{at}.png"));
        assert_eq!(
            (cost, ends),
            (float(&choice["summary"]["cost"]), choice["summary"]["ends"].as_u64().expect("ends"))
        );
        let line =
            text.lines().find(|line| line.trim_start().starts_with(&format!("{at} "))).expect("a line");
        let words: Vec<&str> = line.split_whitespace().collect();
        assert_eq!(
            (words[2], words[3]),
            (ends.to_string().as_str(), choice["summary"]["strands_at_once"].to_string().as_str())
        );
        let fabric =
            image::load_from_memory(&cat.bench.read(&format!("row/choice-{at}-fabric.png"))).expect("a PNG");
        assert!(fabric.width().max(fabric.height()) <= 600 && fabric.width() > 300);
        wide += fabric.width();
    }
    let sheet = image::load_from_memory(&cat.bench.read("row/choices.png")).expect("a PNG");
    assert!(sheet.width() > wide);
    let names: Vec<String> =
        cat.bench.files().keys().filter_map(|path| Some(path.file_name()?.to_str()?.to_owned())).collect();
    assert_eq!(
        names.iter().filter(|name| name.starts_with("choice")).count(),
        2 * choices.len() + 2,
        "{names:?}"
    );
    let again =
        ["chart", &cat.picture, "--yarns", &cat.yarns, "--width", "66st", "--choices", "5", "--out", "row"];
    cat.bench.refused(&again, 5, &["choice-1.png", "there already"]);
    cat.bench.refused(
        &[&again[..7], &["6", "--out", "plain.png"]].concat(),
        5,
        &["plain.png", "a file of that name"],
    );
}

#[test]
fn wishes_for_ease_that_cannot_be() {
    let bench = Bench::new();
    bench.write("p.png", png(&picture()));
    GrayImage::new(48, 63).save(bench.path("map.png")).expect("written");
    bench.write("text.png", "white where the eyes are\n".repeat(9));
    let yarns = demo_yarns();
    for (command, out) in [("chart", "c.png"), ("make", "folder")] {
        let refused = |code: i32, more: &[&str], words: &[&str]| {
            let common =
                [command, "p.png", "--yarns", &yarns, "--width", "24st", "--colours", "3", "--out", out];
            bench.refused(&[&common[..], more].concat(), code, words);
        };
        refused(2, &["--ease", "11"], &["--ease 11", "more than 10", "0 (plain) to 10"]);
        refused(2, &["--ease", "-1"], &["--ease -1", "no ease"]);
        refused(2, &["--ease", "300"], &["--ease 300", "no ease"]);
        for ease in ["0", "5"] {
            let map = |name: &str, words: &[&str]| refused(3, &["--ease", ease, "--matters", name], words);
            map("map.png", &["--matters map.png", "48 by 63 pixels", "p.png is 48 by 64"]);
            map("text.png", &["text.png", "not a picture"]);
            map("nowhere.png", &["nowhere.png", "no such file"]);
        }
    }
    let chart = ["chart", "p.png", "--yarns", &yarns, "--width", "24st", "--out", "row", "--choices"];
    for count in ["4", "8"] {
        bench.refused(
            &[&chart[..], &[count]].concat(),
            2,
            &["--choices", "not between 5 and 7", "5, 6 or 7"],
        );
    }
    bench.refused(
        &[&chart[..], &["5", "--ease", "3"]].concat(),
        2,
        &["--choices", "can't go together with --ease"],
    );
    bench.refused(&[&chart[..], &["5", "--picture-out", "l.png"]].concat(), 2, &["can't go together"]);
}
