//! Rules given as flags and as a file, and plans that keep them.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::bench::Bench;
use crate::marks::noise_csv;

const COLUMNS: usize = 30;
const ROWS: usize = 24;

fn bench() -> Bench {
    let bench = Bench::new();
    bench.write("c.csv", noise_csv(COLUMNS, ROWS, 3));
    bench
}

fn plan(bench: &Bench, flags: &[&str]) -> String {
    bench.done(&[&["plan", "c.csv", "--gauge", "14x15", "--json"], flags].concat()).out
}

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

fn number(value: &Value) -> usize {
    usize::try_from(value.as_u64().expect("a number")).expect("small")
}

/// For each row, counted from 1, and each carry or drawing back in it: the strand's yarn, and the
/// yarns of the stitches that it passes. Read from the plan's steps and the chart's text.
fn passes(bench: &Bench, plan: &Value) -> Vec<(usize, String, Vec<String>)> {
    let text = bench.text("c.csv");
    let lines: Vec<Vec<&str>> = text.lines().map(|line| line.split(',').collect()).collect();
    let mut found = Vec::new();
    for row in plan["rows"].as_array().expect("rows") {
        let at = number(&row["row"]);
        for step in row["steps"].as_array().expect("steps") {
            if step["do"] == "carry" || step["do"] == "draw_back" {
                let strand = &plan["strands"][number(&step["strand"]) - 1];
                let (from, to) = (number(&step["from"]), number(&step["to"]));
                let stitches = &lines[ROWS - at][from.min(to)..from.max(to)];
                let yarn = strand["yarn"].as_str().expect("a key").to_owned();
                found.push((at, yarn, stitches.iter().map(|&key| key.to_owned()).collect()));
            }
        }
    }
    found
}

/// The most rows that a strand waits between two runs.
fn longest_wait(plan: &Value) -> usize {
    let mut last: BTreeMap<usize, usize> = BTreeMap::new();
    let mut longest = 0;
    for row in plan["rows"].as_array().expect("rows") {
        let at = number(&row["row"]);
        for step in row["steps"].as_array().expect("steps").iter().filter(|step| step["do"] == "work") {
            if let Some(before) = last.insert(number(&step["strand"]), at) {
                longest = longest.max((at - before).saturating_sub(1));
            }
        }
    }
    longest
}

fn cost(plan: &Value) -> f64 {
    plan["summary"]["cost"].as_f64().expect("a cost")
}

#[test]
fn plans_keep_never_and_the_limits() {
    let bench = bench();
    let free = parsed(&plan(&bench, &[]));
    let yarn = |symbol: &str| {
        let yarns = free["yarns"].as_array().expect("yarns");
        let found = yarns.iter().find(|yarn| yarn["symbol"] == symbol).expect("a yarn");
        found["key"].as_str().expect("a key").to_owned()
    };
    let (a, b) = (yarn("A"), yarn("B"));
    let inside = |plan: &Value| {
        passes(&bench, plan)
            .iter()
            .filter(|(_, hidden, stitches)| *hidden == a && stitches.contains(&b))
            .count()
    };
    assert!(inside(&free) > 0, "without the rule it is done");
    let never = parsed(&plan(&bench, &["--never", "A:B"]));
    assert_eq!(inside(&never), 0);
    assert_eq!(never["never"], serde_json::json!([[a, b]]));
    assert!(cost(&never) > cost(&free));
    assert_eq!(
        plan(&bench, &["--never", &format!("{a}:{b}")]),
        plan(&bench, &["--never", "A:B"]),
        "by key as by symbol"
    );

    let others = |plan: &Value| {
        let passed = passes(&bench, plan);
        passed.iter().map(|(_, yarn, stitches)| stitches.iter().filter(|other| *other != yarn).count()).max()
    };
    assert!(others(&free) > Some(0));
    let short = parsed(&plan(&bench, &["--longest-carry", "0"]));
    assert!(others(&short).is_none_or(|most| most == 0));
    assert_eq!(short["summary"]["longest_carry"], 0);
    assert_eq!(short["limits"]["longest_carry"], 0);
    assert!(cost(&short) > cost(&free));

    assert!(longest_wait(&free) > 0);
    let quick = parsed(&plan(&bench, &["--longest-wait", "0"]));
    assert_eq!(longest_wait(&quick), 0);
    assert_eq!(quick["limits"]["longest_wait"], 0);
    assert!(cost(&quick) > cost(&free));

    let text = plan(&bench, &[]);
    let none = [
        "--max-carried",
        "none",
        "--max-strands",
        "none",
        "--longest-carry",
        "none",
        "--longest-wait",
        "none",
    ];
    assert_eq!(plan(&bench, &none), text);
}

#[test]
fn a_file_of_rules_says_what_the_flags_say_and_a_flag_beats_it() {
    let bench = bench();
    let flags = [
        ("hand", "left"),
        ("longest-carry", "6"),
        ("longest-wait", "9"),
        ("join", "7.5"),
        ("cut", "8"),
        ("tail", "3"),
        ("short", "2.125"),
        ("hang", "0.2"),
        ("carry-same", "0.1"),
        ("carry-other", "0.4"),
        ("carry-show-dark", "2"),
        ("carry-show-light", "0.5"),
        ("lift", "0.7"),
        ("lift-show", "1.5"),
        ("lift-edge", "0.25"),
    ];
    let mut line: Vec<String> =
        flags.iter().flat_map(|(name, value)| [format!("--{name}"), (*value).to_owned()]).collect();
    line.extend(["--never".to_owned(), "A:C".to_owned()]);
    let line: Vec<&str> = line.iter().map(String::as_str).collect();
    let by_flags = plan(&bench, &line);
    let mut file = "never = [\"A:C\"]\nmax-carried = \"none\"\n".to_owned();
    for (name, value) in flags {
        file += &if name == "hand" { format!("{name} = {value:?}\n") } else { format!("{name} = {value}\n") };
    }
    bench.write("rules.toml", &file);
    assert_eq!(plan(&bench, &["--rules", "rules.toml"]), by_flags);
    assert_eq!(parsed(&by_flags)["rows"][0]["direction"], "right", "the left hand starts at the left");
    assert_ne!(parsed(&by_flags)["strands"], parsed(&plan(&bench, &[]))["strands"], "the rules matter");
    // Each field alone and each flag alone say the same, and a flag beats the file.
    for (name, value) in flags {
        let flag = format!("--{name}");
        let alone = plan(&bench, &[&flag, value]);
        bench.write(
            "one.toml",
            if name == "hand" { format!("{name} = {value:?}") } else { format!("{name} = {value}") },
        );
        assert_eq!(plan(&bench, &["--rules", "one.toml"]), alone, "{name}");
        let other = if name == "hand" { "right" } else { "5" };
        assert_ne!(alone, plan(&bench, &[&flag, other]), "{name}");
        assert_eq!(
            plan(&bench, &["--rules", "one.toml", &flag, other]),
            plan(&bench, &[&flag, other]),
            "{name}"
        );
    }
    bench.write("one.toml", "never = [\"A:C\"]\nlongest-carry = 0");
    assert_eq!(
        plan(&bench, &["--rules", "one.toml", "--never", "A:B", "--longest-carry", "none"]),
        plan(&bench, &["--never", "A:B"])
    );
}
