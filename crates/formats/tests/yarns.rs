//! Lists of yarns: round trips, and every fault named with its line.

#![allow(clippy::unwrap_used)] // in helpers of tests

mod common;

use common::{Chance, documented, expect_fault, expect_note};
use formats::{read_yarns, utf8, write_yarns};
use model::{Ball, Length, Price, Srgb, WeightCategory, Yarn};

const GOOD: &str = r##"[[yarn]]
key = "night"
name = "Night sky"
colour = "#102030"
weight = 4
metres = 85
grams = 50
"##;

/// The good list with one line in place of another.
fn with(line: &str, other: &str) -> String {
    assert!(GOOD.contains(line));
    GOOD.replace(line, other)
}

/// Common practice, no source: what labels call the categories in the shops.
#[test]
fn names_of_the_shops_are_taken() {
    for (name, number) in [("worsted", 4), ("Aran", 4), ("DK", 3), ("4-ply", 1), ("chunky", 5)] {
        let text = format!(
            "[[yarn]]\nkey = \"a\"\nname = \"A\"\ncolour = \"#ffffff\"\nweight = \"{name}\"\nmetres = 85\ngrams = 50\n"
        );
        let yarns = formats::read_yarns(&text).expect("a list of yarns").value;
        assert_eq!(yarns[0].category.map(|category| category.number()), Some(number), "{name}");
    }
}

#[test]
fn any_list_comes_back_exactly() {
    let mut chance = Chance::new(1);
    for round in 0..200 {
        let count = 1 + chance.below(if round == 0 { 500 } else { 20 });
        let yarns: Vec<Yarn> = (0..count)
            .map(|at| Yarn {
                key: format!("{}{at}", chance.of(&["a-", "ß_", "7", "Ωx"])),
                name: format!("x{}", chance.text(60)),
                colour: Srgb::new(chance.byte(), chance.byte(), chance.byte()),
                category: WeightCategory::new(chance.byte() % 8),
                ball: Some(Ball {
                    length: Length::from_micrometres(1 + i64::try_from(chance.below(1 << 30)).unwrap()),
                    milligrams: 1 + chance.below(10_000_000) as u64,
                }),
                price: (chance.below(2) == 0).then(|| Price { hundredths: chance.below(100_000_000) as u64 }),
                on_hand: (chance.below(2) == 0).then(|| u32::try_from(chance.below(100_001)).unwrap()),
                dye_lot: (chance.below(2) == 0).then(|| format!("{}x", chance.text(20))),
            })
            .collect();
        let text = write_yarns(&yarns);
        assert_eq!(read_yarns(&text).unwrap_or_else(|faults| panic!("{faults}\n{text}")).value, yarns);
        assert_eq!(write_yarns(&read_yarns(&text).unwrap().value), text);
    }
}

#[test]
fn the_documented_list_is_read() {
    let yarns = read_yarns(&documented("toml yarns")).unwrap().value;
    assert_eq!(yarns.len(), 2);
    assert_eq!(yarns[0].price, Some(Price { hundredths: 350 }));
    assert_eq!(yarns[0].dye_lot.as_deref(), Some("0172"));
    assert_eq!(yarns[1].category, Some(WeightCategory::MEDIUM));
    assert_eq!(yarns[1].ball, Some(Ball { length: Length::mm(82_500.0), milligrams: 50_000 }));
}

#[test]
fn values_are_taken_in_all_their_spellings() {
    for (line, other) in [
        ("weight = 4", "weight = \"Medium\""),
        ("weight = 4", "weight = \"super-bulky\""),
        ("weight = 4", "weight = \"4\""),
        ("metres = 85", "metres = 85.123456"),
        ("grams = 50", "grams = 1_0.5"),
        ("grams = 50", "grams = 50\nprice = 3"),
        ("grams = 50", "grams = 50\nprice = \"3.50\""),
        ("grams = 50", "grams = 50\nprice = 0"),
        ("grams = 50", "grams = 50\ndye_lot = 172"),
        ("[[yarn]]", "\u{feff}# a comment\r\n[[yarn]]"),
    ] {
        let text = with(line, other);
        assert!(read_yarns(&text).is_ok(), "{other}: {:?}", read_yarns(&text));
    }
    let inline = r##"yarn = [{key="a", name="A", colour="#000000", weight=4, metres=1, grams=1}]"##;
    assert_eq!(read_yarns(inline).unwrap().value[0].key, "a");
}

#[test]
fn every_fault_is_named_with_line_and_field() {
    let cases = [
        ("key = \"night\"", "", "this yarn has no key", "line 1, field key"),
        ("key = \"night\"", "key = \"a:b\"", "\"a:b\" is no key", "line 2, field key"),
        ("key = \"night\"", "key = \"\"", "\"\" is no key", "line 2, field key"),
        ("key = \"night\"", "key = 7", "key is a whole number", "line 2, field key"),
        ("name = \"Night sky\"", "", "yarn \"night\" has no name", "line 1, field name"),
        ("name = \"Night sky\"", "name = \"  \"", "name is empty", "line 3, field name"),
        ("name = \"Night sky\"", "name = \"a\\nb\"", "control character", "line 3, field name"),
        ("name = \"Night sky\"", "nmae = \"x\"", "no field \"nmae\"", "line 3"),
        ("colour = \"#102030\"", "colour = \"blue\"", "\"blue\" is no colour", "line 4, field colour"),
        ("colour = \"#102030\"", "colour = \"102030\"", "is no colour", "line 4, field colour"),
        ("colour = \"#102030\"", "colour = [16, 32, 48]", "colour is a list", "line 4, field colour"),
        ("weight = 4", "weight = 8", "\"8\" is no standard", "line 5, field weight"),
        ("weight = 4", "weight = -1", "\"-1\" is no standard", "line 5, field weight"),
        ("weight = 4", "weight = 4.5", "\"4.5\" is no standard", "line 5, field weight"),
        ("weight = 4", "weight = \"medum\"", "\"medum\" is no standard", "line 5, field weight"),
        ("weight = 4", "weight = true", "weight is true or false", "line 5, field weight"),
        ("metres = 85", "metres = 0", "metres is zero", "line 6, field metres"),
        ("metres = 85", "metres = -85", "metres is below zero", "line 6, field metres"),
        ("metres = 85", "metres = 1000000", "metres is above 100000", "line 6, field metres"),
        ("metres = 85", "metres = 85.1234567", "more than 6 digits", "line 6, field metres"),
        ("metres = 85", "metres = 1e3", "no plain number", "line 6, field metres"),
        ("metres = 85", "metres = nan", "no plain number", "line 6, field metres"),
        ("metres = 85", "metres = -inf", "no plain number", "line 6, field metres"),
        ("metres = 85", "metres = \"85\"", "metres is a text", "line 6, field metres"),
        ("metres = 85", "metres = 2020-01-01", "metres is a date", "line 6, field metres"),
        ("grams = 50", "grams = 0.0", "grams is zero", "line 7, field grams"),
        ("grams = 50", "grams = {}", "grams is a table", "line 7, field grams"),
        ("grams = 50", "grams = 50\nprice = 3.505", "more than 2 digits", "line 8, field price"),
        ("grams = 50", "grams = 50\nprice = \"-3\"", "below zero", "line 8, field price"),
        ("grams = 50", "grams = 50\nprice = \"3 euro\"", "no plain number", "line 8, field price"),
        ("grams = 50", "grams = 50\non_hand = 1.5", "a number with a point", "line 8, field on_hand"),
        ("grams = 50", "grams = 50\non_hand = -1", "-1 balls", "line 8, field on_hand"),
        ("grams = 50", "grams = 50\ndye_lot = \"\"", "dye_lot is empty", "line 8, field dye_lot"),
        ("grams = 50", "grams = 50\ndye_lot = 1.5", "not a text", "line 8, field dye_lot"),
        ("[[yarn]]", "title = \"mine\"\n[[yarn]]", "no field \"title\"", "line 1"),
        ("[[yarn]]", "[[yarns]]", "no field \"yarns\"", "line 1"),
        ("[[yarn]]", "[yarn]", "yarn is a table", "line 1, field yarn"),
    ];
    for (line, other, what, place) in cases {
        let text = with(line, other);
        let faults = read_yarns(&text).expect_err(&text);
        expect_fault(&faults, what, place);
        assert_eq!(faults.0.len(), if other.starts_with("nmae") { 2 } else { 1 }, "{faults}");
    }
    for (line, other, hint) in [
        ("name = \"Night sky\"", "nmae = \"x\"", "did you mean name?"),
        ("weight = 4", "weight = \"medum\"", "did you mean medium?"),
        ("[[yarn]]", "[[yarns]]", "did you mean yarn?"),
    ] {
        let faults = read_yarns(&with(line, other)).unwrap_err();
        assert!(faults.0.iter().any(|fault| fault.hint == hint), "{faults}");
    }
}

#[test]
fn faults_come_all_at_once() {
    let text = format!("{GOOD}\n[[yarn]]\nkey = \"night\"\nname = 3\ncolor = \"#000000\"\nmetres = -1\n");
    let faults = read_yarns(&text).unwrap_err();
    expect_fault(&faults, "two yarns have the key \"night\", in line 2 and in line 10", "line 10, field key");
    expect_fault(&faults, "name is a whole number", "line 11, field name");
    expect_fault(&faults, "no field \"color\"", "line 12");
    expect_fault(&faults, "has no colour", "line 9, field colour");
    expect_fault(&faults, "has no weight", "line 9, field weight");
    expect_fault(&faults, "metres is below zero", "line 13, field metres");
    expect_fault(&faults, "has no grams", "line 9, field grams");
    assert_eq!(faults.0.len(), 7);
}

#[test]
fn what_is_no_list_is_refused() {
    for (text, what, place) in [
        ("", "holds no yarn", ""),
        ("yarn = []", "holds no yarn", ""),
        ("yarn = 3", "yarn is a whole number", "line 1, field yarn"),
        ("yarn = [3]", "is no yarn", "line 1, field yarn"),
        ("[[yarn]]\nkey = \"a\nname = 2", "not TOML", "line 2, column 9"),
        ("[[yarn]]\nkey = 1\nkey = 2", "not TOML", "line 3, column 1"),
        ("key,name\n", "not TOML", "line 1, column 4"),
    ] {
        expect_fault(&read_yarns(text).expect_err(text), what, place);
    }
    let deep = format!("yarn = {}{}", "[".repeat(5000), "]".repeat(5000));
    assert!(read_yarns(&deep).is_err());
    let many = "[[yarn]]\n".repeat(501);
    expect_fault(&read_yarns(&many).unwrap_err(), "501 yarns are too many", "");
    let long = "#".repeat(2 << 20);
    expect_fault(&read_yarns(&long).unwrap_err(), "the most that is read", "");
    expect_fault(&utf8(b"[[yarn]]\nname = \"\xff\"").unwrap_err(), "0xff is not UTF-8", "line 2");
    let dashes = with("grams = 50", &format!("grams = 50\nprice = \"{}\"", "-".repeat(500_000)));
    expect_fault(&read_yarns(&dashes).unwrap_err(), "no plain number", "line 8, field price");
}

#[test]
fn equal_colours_are_noted() {
    let text = format!("{GOOD}{}", with("night", "dusk"));
    expect_note(&read_yarns(&text).unwrap().notes, "night and dusk have the same colour #102030");
}

/// Bytes changed at random: any answer will do, but there must be one.
#[test]
fn damaged_lists_never_panic() {
    let good = documented("toml yarns").into_bytes();
    let mut chance = Chance::new(7);
    for _ in 0..3000 {
        let mut bytes = good.clone();
        for _ in 0..=chance.below(4) {
            let at = chance.below(bytes.len());
            match chance.below(3) {
                0 => bytes[at] = chance.byte() % 128,
                1 => drop(bytes.remove(at)),
                _ => bytes.insert(at, *chance.of(b"[]{}=\"'.,-0\n")),
            }
        }
        let text = String::from_utf8(bytes).unwrap();
        if let Err(faults) = read_yarns(&text) {
            assert!(!faults.0.is_empty());
        }
    }
}
