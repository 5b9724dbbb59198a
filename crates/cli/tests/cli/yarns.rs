//! Yarns that are chosen, kept, left out, found by name, and warned of.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::bench::{Bench, demo_yarns, stock};
use crate::marks::{picture, png};

/// Keys of the demo's list, and of those with a ball on hand: read line by line.
fn demo() -> (BTreeSet<String>, BTreeSet<String>) {
    let text = std::fs::read_to_string(demo_yarns()).expect("read");
    let (mut all, mut on_hand, mut key) = (BTreeSet::new(), BTreeSet::new(), String::new());
    for line in text.lines() {
        if let Some(value) = line.strip_prefix("key = ") {
            key = value.trim_matches('"').to_owned();
            all.insert(key.clone());
        } else if line.strip_prefix("on_hand = ").is_some_and(|balls| balls != "0") {
            on_hand.insert(key.clone());
        }
    }
    (all, on_hand)
}

fn keys(said: &Value) -> BTreeSet<String> {
    let yarns = said["yarns"].as_array().expect("yarns");
    yarns.iter().map(|key| key.as_str().expect("a key").to_owned()).collect()
}

#[test]
fn yarns_are_kept_left_out_and_taken_from_the_shelf() {
    let bench = Bench::new();
    let (picture, yarns) = (stock("fixtures/chelsea.png"), demo_yarns());
    let chart = |more: &[&str]| {
        let common =
            ["chart", &picture, "--yarns", &yarns, "--width", "40st", "--out", "c.png", "--force", "--json"];
        keys(&bench.done(&[&common[..], more].concat()).json())
    };
    let (all, on_hand) = demo();
    assert!(all.len() == 22 && !on_hand.is_empty() && on_hand.len() < all.len());
    let free = chart(&["--colours", "6"]);
    assert!(free.is_subset(&all) && !free.contains("pine"), "{free:?}");
    let one = free.iter().next().expect("a yarn").to_uppercase();
    let wished = chart(&["--colours", "6", "--keep", "Pine", "--without", &one]);
    assert!(wished.contains("pine") && !wished.contains(&one.to_lowercase()), "{wished:?}");
    let from_shelf = chart(&["--colours", "6", "--on-hand"]);
    assert!(from_shelf.is_subset(&on_hand), "{from_shelf:?}");
    // The kept one may have no ball on hand.
    let none = all.difference(&on_hand).next().expect("one");
    assert!(chart(&["--colours", "6", "--on-hand", "--keep", none]).contains(none));
    assert_eq!(
        chart(&["--colour", "PINE", "--colour", "Oat"]),
        BTreeSet::from(["oat".into(), "pine".into()])
    );
}

#[test]
fn wishes_for_yarns_that_cannot_be() {
    let bench = Bench::new();
    bench.write("p.png", png(&picture()));
    let yarns = demo_yarns();
    for (command, out) in [("chart", "c.png"), ("make", "folder")] {
        let refused = |code: i32, more: &[&str], words: &[&str]| {
            let common = [command, "p.png", "--yarns", &yarns, "--width", "24st", "--out", out];
            bench.refused(&[&common[..], more].concat(), code, words);
        };
        refused(
            3,
            &["--keep", "oat", "--without", "Oat"],
            &["--keep and --without", "\"oat\"", "one or the other"],
        );
        refused(3, &["--keep", "oats"], &["--keep", "no yarn \"oats\"", "it has oat, chalk"]);
        refused(3, &["--without", "oats"], &["--without", "no yarn \"oats\""]);
        refused(
            3,
            &["--colours", "1", "--keep", "oat", "--keep", "brick"],
            &["--colours", "2 yarns must be", "only 1"],
        );
        refused(3, &["--keep", "oat,brick"], &["several yarns in one", "--keep oat --keep brick"]);
        refused(3, &["--colour", "oat,brick"], &["several yarns in one", "--colour oat --colour brick"]);
        refused(2, &["--keep", "oat", "--colour", "brick"], &["can't go together"]);
        refused(2, &["--on-hand", "--colour", "brick"], &["can't go together"]);
    }
    bench.write(
        "twins.toml",
        ["a", "b"]
            .map(|key| {
                format!("[[yarn]]\nkey = \"{key}\"\nname = \"Sea\"\ncolour = \"#f0e2c{key}\"\nweight = 4\nmetres = 80\ngrams = 50\n")
            })
            .concat(),
    );
    let twins =
        ["chart", "p.png", "--yarns", "twins.toml", "--width", "24st", "--out", "c.png", "--keep", "sea"];
    bench.refused(&twins, 3, &["--keep", "2 yarns called \"sea\"", "a or b"]);
}

/// Deep red and navy beside white are what everybody warns of in the wash (common practice, no source);
/// two whites are alike by any measure.
#[test]
fn yarns_that_look_alike_or_may_bleed_are_told() {
    let bench = Bench::new();
    bench.write("c.csv", "#1f2a44,#ffffff,#fefefe\n#c8102e,#ffffff,#fefefe\n");
    let plan = bench.done(&["plan", "c.csv", "--out", "p.json"]);
    assert_eq!(plan.err.matches("look alike").count(), 1, "{plan:?}");
    assert!(plan.err.contains("#ffffff") && plan.err.contains("by daylight"), "{plan:?}");
    assert!(!plan.err.contains("wash"), "only where a chart is made");

    bench.write("p.png", png(&picture()));
    let yarns = demo_yarns();
    let colours = ["--colour", "oat", "--colour", "chalk", "--colour", "night", "--colour", "brick"];
    let common = ["--yarns", &yarns, "--width", "24st", "--words", "I", "--words-colour", "chalk"];
    let run = |command: &str, out: &str, more: &[&str]| {
        bench.done(&[&[command, "p.png", "--out", out][..], &common, &colours, more].concat())
    };
    let said = run("chart", "c.png", &["--json"]).json();
    let pairs: Vec<(&Value, &Value)> = said["bleeding"]
        .as_array()
        .expect("pairs")
        .iter()
        .map(|pair| (&pair["deep"], &pair["pale"]))
        .collect();
    assert!(
        pairs.contains(&(&"night".into(), &"oat".into()))
            && pairs.contains(&(&"brick".into(), &"oat".into()))
    );
    assert!(said["alike"][0]["advice"].as_str().is_some_and(|advice| advice.contains("tag")), "{said}");
    assert_eq!(said["alike"][0]["yarns"], serde_json::json!(["oat", "chalk"]));
    assert_eq!(said["alike"][0]["when"], serde_json::json!(["lamplight"]));
    let told = run("make", "folder", &[]);
    for text in [told.err, bench.text("folder/summary.txt")] {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in [
            "Oat (A) and Chalk (B) look alike by the light of a warm lamp",
            "dye may run in the wash",
            "Night (C) beside Oat (A)",
        ] {
            assert!(text.contains(words), "no {words:?} in\n{text}");
        }
    }
}

#[test]
fn limits_of_nothing_are_noted() {
    let bench = Bench::new();
    bench.write("c.csv", "#1f2a44,#ffffff\n");
    for (flag, words) in [("--longest-carry", "longest carry is 0"), ("--longest-wait", "longest wait is 0")]
    {
        assert!(bench.done(&["plan", "c.csv", flag, "0"]).err.contains(words), "{flag}");
        assert!(!bench.done(&["plan", "c.csv", flag, "1"]).err.contains("is 0"), "{flag}");
    }
    bench.write("rules.toml", "longest-wait = 0\n");
    assert!(bench.done(&["plan", "c.csv", "--rules", "rules.toml"]).err.contains("longest wait is 0"));
}
