//! Rules documents: every field, every fault.

#![allow(clippy::unwrap_used)] // in helpers of tests

mod common;

use common::{Chance, documented, expect_fault};
use formats::{LimitSetting, RulesFile, read_rules};
use model::{Cost, Hand, Weights};

#[test]
fn the_documented_rules_are_read() {
    let rules = read_rules(&documented("toml rules")).unwrap();
    assert_eq!(rules.hand, Some(Hand::Left));
    assert_eq!(rules.longest_carry, Some(LimitSetting::AtMost(7)));
    assert_eq!(rules.longest_wait, Some(LimitSetting::NoLimit));
    assert_eq!(rules.never, Some(vec![("night".to_owned(), "snow".to_owned())]));
    let weights = rules.weights.over(Weights::default());
    assert_eq!(weights, Weights { join: Cost::stitches(10), ..Weights::default() });
}

/// Each field sets the weight of its own name and no other.
#[test]
fn every_weight_is_set_by_its_name() {
    type Pick = fn(&Weights) -> Cost;
    let names: [(&str, Pick); 11] = [
        ("join", |w| w.join),
        ("cut", |w| w.cut),
        ("short", |w| w.short),
        ("hang", |w| w.hang),
        ("carry-same", |w| w.carry_same),
        ("carry-other", |w| w.carry_other),
        ("carry-show-dark", |w| w.carry_show_dark),
        ("carry-show-light", |w| w.carry_show_light),
        ("lift", |w| w.lift),
        ("lift-show", |w| w.lift_show),
        ("lift-edge", |w| w.lift_edge),
    ];
    for (name, pick) in names {
        for (literal, thousandths) in [
            ("7", 7000),
            ("0.001", 1),
            ("\"2.5\"", 2500),
            ("1_0.125", 10_125),
            ("+4.0", 4000),
            ("0x10", 16_000),
        ] {
            let rules = read_rules(&format!("{name} = {literal}")).unwrap();
            let weights = rules.weights.over(Weights::default());
            assert_eq!(pick(&weights), Cost::from_thousandths(thousandths), "{name} = {literal}");
            let changed = names.iter().filter(|(_, pick)| pick(&weights) != pick(&Weights::default()));
            assert_eq!(changed.count(), 1);
        }
    }
    let tail = read_rules("tail = 0\nmax-carried = \"none\"\nmax-strands = \"none\"").unwrap();
    assert_eq!(tail.weights.tail, Some(0));
    assert_eq!(read_rules("").unwrap(), RulesFile::default());
    assert_eq!(read_rules("longest-wait = 0").unwrap().longest_wait.unwrap().most(), Some(0));
}

#[test]
fn every_fault_is_named() {
    for (text, what, place) in [
        ("hand = \"lefft\"", "neither right nor left", "line 1, field hand"),
        ("hand = 1", "hand is a whole number", "line 1, field hand"),
        ("longest-carry = -1", "must lie between 0", "line 1, field longest-carry"),
        ("longest-carry = \"many\"", "not a whole number or \"none\"", "line 1, field longest-carry"),
        ("longest-wait = 1.5", "a number with a point", "line 1, field longest-wait"),
        ("\nmax-carried = 2", "takes only \"none\"", "line 2, field max-carried"),
        ("max-strands = true", "takes only \"none\"", "line 1, field max-strands"),
        ("never = \"a:b\"", "never is a text", "line 1, field never"),
        ("never = [\"a:b\", \"ab\"]", "\"ab\" is no pair", "line 1, field never, item 2"),
        ("never = [\"a:b:c\"]", "\"b:c\" is no key", "line 1, field never, item 1"),
        ("never = [\":b\"]", "\"\" is no key", "line 1, field never, item 1"),
        ("never = [\"a:a\"]", "inside its own stitches", "line 1, field never, item 1"),
        ("never = [1]", "is no text", "line 1, field never, item 1"),
        ("join = -1", "below zero", "line 1, field join"),
        ("join = 0.0001", "more than three digits", "line 1, field join"),
        ("join = 10001", "above 10000", "line 1, field join"),
        ("join = 1e3", "not a plain decimal", "line 1, field join"),
        ("join = inf", "not a plain decimal", "line 1, field join"),
        ("join = [1]", "join is a list", "line 1, field join"),
        ("tail = 100000", "must lie between 0 and", "line 1, field tail"),
        ("tail = 2.0", "a number with a point", "line 1, field tail"),
        ("[weights]\njoin = 1", "no field \"weights\"", "line 1"),
        ("carry_same = 1", "no field \"carry_same\"", "line 1"),
        ("join 3", "not TOML", "line 1, column 6"),
    ] {
        let faults = read_rules(text).expect_err(text);
        expect_fault(&faults, what, place);
        assert_eq!(faults.0.len(), 1, "{faults}");
    }
    assert_eq!(read_rules("carry_same = 1").unwrap_err().0[0].hint, "did you mean carry-same?");
    let faults = read_rules("hand = 1\njoin = -1\nlift-egde = 1").unwrap_err();
    assert_eq!(faults.0.len(), 3, "{faults}");
    let dashes = format!("join = \"{}\"", "-".repeat(500_000));
    expect_fault(&read_rules(&dashes).unwrap_err(), "is no weight", "line 1, field join");
}

#[test]
fn the_longest_tail_is_that_of_the_model() {
    let most = Weights::MAX_TAIL;
    assert_eq!(read_rules(&format!("tail = {most}")).unwrap().weights.tail, Some(most));
    assert!(read_rules(&format!("tail = {}", most + 1)).is_err());
    let docs = include_str!("../../../docs/formats.md");
    assert!(docs.contains(&format!("| `tail` | whole stitches, 0 to {most} |")));
}

#[test]
fn damaged_rules_never_panic() {
    let good = documented("toml rules").into_bytes();
    let mut chance = Chance::new(11);
    for _ in 0..3000 {
        let mut bytes = good.clone();
        for _ in 0..=chance.below(3) {
            let at = chance.below(bytes.len());
            bytes[at] = chance.byte() % 128;
        }
        if let Err(faults) = read_rules(&String::from_utf8(bytes).unwrap()) {
            assert!(!faults.0.is_empty());
        }
    }
}
