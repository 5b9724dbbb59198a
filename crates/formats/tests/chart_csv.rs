//! Charts as text: round trips and hostile texts.

#![allow(clippy::unwrap_used)] // in helpers of tests

mod common;

use common::{Chance, chart, documented, expect_fault, expect_note};
use formats::{read_chart_csv, write_chart_csv};
use model::{Chart, Palette, RowIndex, Srgb, Yarn};

fn yarns(keys: &[&str]) -> Vec<Yarn> {
    keys.iter().map(|key| Yarn::plain(*key, *key, Srgb::new(1, 2, 3))).collect()
}

fn read(text: &str) -> Result<formats::Noted<Chart>, formats::Faults> {
    read_chart_csv(text, Some(&yarns(&["a", "b", "red"])))
}

#[test]
fn the_documented_chart_is_the_one_of_the_plan() {
    let chart = chart();
    let text = documented("csv chart");
    assert_eq!(write_chart_csv(&chart), text);
    assert_eq!(read_chart_csv(&text, Some(chart.palette().yarns())).unwrap().value, chart);
}

#[test]
fn any_chart_comes_back_exactly() {
    let mut chance = Chance::new(3);
    for _ in 0..200 {
        let (rows, columns) = (1 + chance.below(12), 1 + chance.below(12));
        let used = 1 + chance.below(64).min(rows * columns - 1);
        let list: Vec<Yarn> = (0..used + 20)
            .map(|at| Yarn::plain(format!("k{at}"), chance.text(9), Srgb::new(chance.byte(), 0, 9)))
            .collect();
        // Every entry is used: what is not used can't come back.
        let cells: Vec<u8> = (0..rows * columns)
            .map(|at| u8::try_from(if at < used { at } else { chance.below(used) }).unwrap())
            .collect();
        let palette = Palette::new(list[..used].to_vec()).unwrap();
        let chart = Chart::new(palette, rows, columns, &cells).unwrap();
        assert_eq!(read_chart_csv(&write_chart_csv(&chart), Some(&list)).unwrap().value, chart);
    }
}

#[test]
fn the_top_row_comes_first() {
    let chart = read("a,b\nb,b\na,a\n").unwrap().value;
    let row = |row| chart.row(RowIndex(row)).iter().map(|yarn| yarn.index()).collect::<Vec<_>>();
    assert_eq!((row(0), row(1), row(2)), (vec![0, 0], vec![1, 1], vec![0, 1]));
}

#[test]
fn the_palette_holds_the_used_yarns_in_the_order_of_the_list() {
    let chart = read("red,a\na,red").unwrap().value;
    let keys: Vec<_> = chart.palette().yarns().iter().map(|yarn| &*yarn.key).collect();
    assert_eq!(keys, ["a", "red"]);
}

#[test]
fn spaces_quotes_marks_and_line_ends_are_taken() {
    let plain = read("a,b\nb,a\n").unwrap().value;
    for text in [
        "\u{feff}a,b\r\nb,a\r\n",
        " a ,\tb\n b,a",
        "\"a\",\"b\"\n\"b\" , \" a \"\n",
        "a,b\rb,a\r",
        "\n\na,b\nb,a\n\n,,,\n",
    ] {
        assert_eq!(read(text).unwrap().value, plain, "{text:?}");
    }
    expect_note(&read("a,b\n\nb,a").unwrap().notes, "line 2 is empty");
    assert!(read("a,b\nb,a\n\n").unwrap().notes.is_empty());
}

#[test]
fn colours_stand_for_themselves_where_no_list_is_given() {
    let chart = read_chart_csv("#0A0b0c,#ffffff\n#FFFFFF,#0a0b0c\n", None).unwrap().value;
    let yarns: Vec<_> = chart.palette().yarns().iter().map(|yarn| (&*yarn.key, yarn.colour)).collect();
    assert_eq!(yarns, [("#0a0b0c", Srgb::new(10, 11, 12)), ("#ffffff", Srgb::new(255, 255, 255))]);
    assert_eq!(read_chart_csv(&write_chart_csv(&chart), None).unwrap().value, chart);
    let faults = read_chart_csv("#000000,red", None).unwrap_err();
    expect_fault(&faults, "\"red\" is no colour of the form #rrggbb", "line 1, column 2");
    assert!(faults.0[0].hint.contains("list of yarns"));
}

#[test]
fn keys_that_need_quoting_are_quoted() {
    let list = yarns(&["a,b", "say \"x\""]);
    let chart = Chart::new(Palette::new(list.clone()).unwrap(), 1, 2, &[0, 1]).unwrap();
    assert_eq!(write_chart_csv(&chart), "\"a,b\",\"say \"\"x\"\"\"\n");
    assert_eq!(read_chart_csv(&write_chart_csv(&chart), Some(&list)).unwrap().value, chart);
}

#[test]
fn every_fault_is_named() {
    for (text, what, place) in [
        ("", "the chart is empty", ""),
        ("\n \n,,\n", "the chart is empty", ""),
        ("a,b\na", "line 2 has 1 stitches, line 1 has 2", "line 2"),
        ("a,b\na,", "the cell is empty", "line 2, column 2"),
        ("a,\"b", "a quotation mark is not closed", "line 1"),
        ("a;b", "no yarn of the list has the key \"a;b\"", "line 1, column 1"),
        ("a\na,b,a,b", "line 2 has 4 stitches", "line 2"),
        ("#000000", "no yarn of the list has the key \"#000000\"", "line 1, column 1"),
    ] {
        expect_fault(&read(text).expect_err(text), what, place);
    }
    let faults = read("a,x,rde\nx,x,b\nb,b,b").unwrap_err();
    assert_eq!(faults.0.len(), 2, "{faults}");
    expect_fault(&faults, "\"x\", in 3 cells", "line 1, column 2");
    expect_fault(&faults, "\"rde\"", "line 1, column 3");
    assert_eq!(faults.0[1].hint, "did you mean red?");
    assert!(read("a;b").unwrap_err().0[0].hint.contains("commas"));
}

#[test]
fn what_is_too_large_is_refused() {
    let wide = vec!["a"; 10_001].join(",");
    let high = "a\n".repeat(10_001);
    let big = format!("{}\n", vec!["a"; 4_000].join(",")).repeat(1_001);
    for text in [wide, high, big] {
        assert!(read(&text).unwrap_err().0[0].what.contains("too large"));
    }
    let colours: Vec<String> = (0..65).map(|at| format!("#0000{at:02x}")).collect();
    expect_fault(
        &read_chart_csv(&colours.join(","), None).unwrap_err(),
        "more than 64 colours",
        "line 1, column 65",
    );
    let keys: Vec<String> = (0..65).map(|at| format!("k{at}")).collect();
    let list: Vec<Yarn> = keys.iter().map(|key| Yarn::plain(key, key, Srgb::new(0, 0, 0))).collect();
    expect_fault(&read_chart_csv(&keys.join(","), Some(&list)).unwrap_err(), "65 yarns are too many", "");
    assert!(read(&"\n".repeat(1_000_000)).is_err());
    assert!(read(&",".repeat(10_000_000)).is_err());
    let strange: Vec<String> = (0..9_000).map(|at| format!("u{at}")).collect();
    assert_eq!(read(&strange.join(",")).unwrap_err().0.len(), 51);
}

#[test]
fn damaged_texts_never_panic() {
    let mut chance = Chance::new(5);
    let list = yarns(&["a", "b"]);
    for _ in 0..5000 {
        let text: String = (0..chance.below(40))
            .map(|_| *chance.of(&['a', 'b', ',', '"', '\n', '\r', ' ', '#', 'ä']))
            .collect();
        for list in [None, Some(&*list)] {
            if let Err(faults) = read_chart_csv(&text, list) {
                assert!(!faults.0.is_empty());
            }
        }
    }
}
