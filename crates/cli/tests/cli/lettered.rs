//! Words on charts, and charts of words.

use crate::bench::{Bench, demo_yarns, stock};
use crate::marks::{OAT, Read, png};
use image::RgbImage;

const ALONE: [&str; 8] =
    ["--words-colour", "chalk", "--ground", "night", "--gauge", "14x14", "--out", "w.png"];

/// Cells of the palette entry `entry` as columns from 1 at the left and rows from 1 at the bottom.
fn places(chart: &Read, entry: u8) -> Vec<(usize, usize)> {
    let row = |row: usize| {
        (1..)
            .zip(chart.row(row))
            .filter(move |(_, cell)| **cell == entry)
            .map(move |(column, _)| (column, row))
    };
    (1..=chart.rows()).flat_map(row).collect()
}

/// An L has its stem at the left and its foot at the bottom, as everybody knows: it is neither mirrored nor
/// upside down.
fn is_an_l(places: &[(usize, usize)], (left, low): (usize, usize), height: usize) {
    let stem = places.iter().filter(|(column, _)| *column == left).count();
    assert_eq!(stem, height, "{places:?}");
    let foot = places.iter().filter(|(_, row)| *row == low).count();
    assert!(foot > 2, "{places:?}");
    assert_eq!(places.len(), stem + foot - 1, "{places:?}");
    assert!(places.iter().all(|(column, row)| *column >= left && (low..low + height).contains(row)));
}

#[test]
fn words_become_a_chart_of_their_own() {
    let bench = Bench::new();
    let yarns = demo_yarns();
    let chart = |text: &str, more: &[&str]| {
        bench.done(&[&["chart", "--words", text, "--yarns", &yarns, "--force"][..], &ALONE, more].concat());
        Read::png(&bench.read("w.png"))
    };
    for (more, height, margin) in [
        (&[][..], 7, 4),
        (&["--letters", "9", "--margin", "1"], 9, 1),
        (&["--letters", "12", "--margin", "0"], 12, 0),
    ] {
        let one = chart("L", more);
        assert_eq!(one.rows(), height + 2 * margin);
        if height < 12 {
            is_an_l(&places(&one, 1), (margin + 1, margin + 1), height);
        }
    }
    // Two lines, however the line's end is written.
    let two = chart("L\\nLL", &["--lines", "left"]);
    let bytes = bench.read("w.png");
    chart("L\nLL", &["--lines", "left"]);
    assert!(bench.read("w.png") == bytes);
    assert_eq!(two.rows(), 4 + 7 + 2 + 7 + 4);
    let closer = chart("L\\nLL", &["--lines", "left", "--line-gap", "0", "--letter-gap", "0"]);
    assert_eq!((closer.rows(), closer.columns), (two.rows() - 2, two.columns - 1));
    let right = chart("L\\nLL", &["--lines", "RIGHT"]);
    let top_left =
        |chart: &Read| places(chart, 1).iter().filter(|(_, row)| *row > 12).map(|(column, _)| *column).min();
    assert_eq!(top_left(&two), Some(5));
    assert!(top_left(&right) > top_left(&two));
    let wrapped = chart("LL LL", &["--wrap", "14"]);
    assert_eq!(wrapped.rows(), two.rows());
    // A seam, even where no margin is left for it.
    let seam = chart("L", &["--words-edge", "Brick", "--margin", "0"]);
    assert_eq!(seam.rows(), 9);
    is_an_l(&places(&seam, 1), (2, 2), 7);
    assert!(seam.row(1).iter().all(|cell| *cell != 1) && seam.row(2)[0] == 2);
    // A font of the person's, and letters of other scripts.
    let font = stock("crates/typeset/fonts/NotoSans-Bold.ttf");
    assert_eq!(chart("L", &["--letters", "14", "--font", &font]).rows(), 22);
    chart("Zażółć Straße Ωρα Ёж ¿Qué?", &[]);

    bench.done(
        &[&["make", "--words", "Merrow Quay", "--yarns", &yarns][..], &ALONE[..6], &["--out", "quay"]]
            .concat(),
    );
    assert!(bench.text("quay/summary.txt").contains("for the right hand"));
    assert_eq!(
        bench.done(&["replay", "quay/chart.png", "quay/plan.json", "--json"]).json()["accepted"],
        true
    );
}

#[test]
fn words_lie_on_a_picture_and_stay() {
    let bench = Bench::new();
    bench.write("oat.png", png(&RgbImage::from_pixel(60, 60, OAT)));
    let yarns = demo_yarns();
    let chart = |picture: &str, more: &[&str]| {
        let common = [
            "chart",
            picture,
            "--yarns",
            &yarns,
            "--width",
            "30st",
            "--gauge",
            "14x14",
            "--words-colour",
            "night",
        ];
        bench.done(&[&common[..], &["--out", "c.png", "--force"], more].concat());
        Read::png(&bench.read("c.png"))
    };
    let oat = ["--colour", "oat"];
    let laid = chart("oat.png", &[&oat[..], &["--words", "L", "--words-at", "3,2"]].concat());
    assert_eq!((laid.columns, laid.rows()), (30, 30));
    is_an_l(&places(&laid, 1), (3, 2), 7);
    // In the middle of the lowest third, rows 1 to 10.
    let middle = places(&chart("oat.png", &[&oat[..], &["--words", "L"]].concat()), 1);
    let (low, high) = (middle.iter().map(|p| p.1).min(), middle.iter().map(|p| p.1).max());
    assert!(low >= Some(2) && high <= Some(10), "{middle:?}");
    let (left, right) =
        (middle.iter().map(|p| p.0).min().expect("some"), middle.iter().map(|p| p.0).max().expect("some"));
    assert!((left - 1).abs_diff(30 - right) <= 1, "{middle:?}");
    // Counted with the frame, and with a seam around.
    let frame = ["--frame", "4", "--frame-colour", "pine", "--words-edge", "brick"];
    let framed = chart("oat.png", &[&oat[..], &frame, &["--words", "L", "--words-at", "6,6"]].concat());
    let colour =
        |chart: &Read, column: usize, row: usize| chart.palette[usize::from(chart.row(row)[column - 1])];
    let night = colour(&framed, 6, 6);
    assert_eq!(night, colour(&laid, 3, 2));
    let entry = framed.row(6)[5];
    is_an_l(&places(&framed, entry), (6, 6), 7);
    let around = [(5, 6), (6, 5), (6, 13), (7, 8)].map(|(column, row)| colour(&framed, column, row));
    assert!(around.iter().all(|&yarn| yarn == around[0] && yarn != night), "{around:?}");
    assert_ne!(around[0], colour(&framed, 4, 6), "the frame is as it was");

    // On a photograph, and in a chart that is made easier, they are the same stitches.
    let cat = stock("fixtures/chelsea.png");
    let words = ["--words", "LL", "--colours", "5"];
    let plain = chart(&cat, &words);
    let easy = chart(&cat, &[&words[..], &["--ease", "9"]].concat());
    let lone = chart("oat.png", &[&oat[..], &["--words", "LL", "--height", "20st"]].concat());
    let shown = places(&lone, 1);
    assert_eq!((plain.rows(), easy.rows()), (lone.rows(), lone.rows()));
    assert!(plain.cells != easy.cells);
    for (column, row) in shown {
        assert_eq!(
            (colour(&plain, column, row), colour(&easy, column, row)),
            (night, night),
            "{column},{row}"
        );
    }
}

#[test]
fn words_that_cannot_be() {
    let bench = Bench::new();
    bench.write("p.png", png(&RgbImage::from_pixel(60, 60, OAT)));
    bench.write("font.ttf", "not a font at all, but a text of some length\n".repeat(20));
    let yarns = demo_yarns();
    let both = |code: i32, more: &[&str], words: &[&str]| {
        for (command, out) in [("chart", "c.png"), ("make", "folder")] {
            bench.refused(&[&[command, "--yarns", &yarns, "--out", out], more].concat(), code, words);
        }
    };
    let alone = |code: i32, more: &[&str], words: &[&str]| {
        both(code, &[&["--words-colour", "chalk", "--ground", "night"], more].concat(), words);
    };
    let laid = |code: i32, more: &[&str], words: &[&str]| {
        both(
            code,
            &[&["p.png", "--width", "30st", "--gauge", "14x14", "--words-colour", "chalk"], more].concat(),
            words,
        );
    };
    both(2, &["--words", "Hi"], &["--words-colour KEY is missing"]);
    both(2, &["--words", "Hi", "--words-colour", "chalk"], &["--ground KEY", "need a yarn behind them"]);
    both(2, &["--letters", "9", "p.png"], &["--words TEXT"]);
    alone(2, &["--words", "Hi", "--width", "30st"], &["--width", "only words", "--margin"]);
    alone(2, &["--words", "Hi", "--ease", "3"], &["--ease", "only words"]);
    alone(2, &["--words", "Hi", "--words-at", "3,3"], &["--words-at", "only words"]);
    alone(3, &["--words", "Hi", "--words-edge", "night"], &["--ground and --words-edge", "\"night\""]);
    alone(3, &["--words", "Hi", "--words-edge", "Chalk"], &["--words-colour and --words-edge", "\"chalk\""]);
    alone(3, &["--words", "Hi 漢 字"], &["--words", "漢 (U+6F22)", "字 (U+5B57)", "--font"]);
    alone(3, &["--words", "שלום"], &["--words", "Hebrew", "line 1, character 1"]);
    alone(3, &["--words", "  "], &["--words", "no letters"]);
    alone(3, &["--words", "Hi", "--letters", "4"], &["--letters", "4 rows", "5 to 500"]);
    alone(3, &["--words", "Hi", "--letter-gap", "501"], &["--letter-gap", "501"]);
    alone(3, &["--words", "Hi", "--font", "font.ttf"], &["font.ttf", "no font", ".ttf or .otf"]);
    alone(3, &["--words", "Hi", "--font", "nowhere.ttf"], &["nowhere.ttf", "no such file"]);
    alone(3, &["--words", "lighthouses", "--wrap", "30"], &["“lighthouses”", "room for 30"]);
    laid(
        3,
        &["--words", "it is lit at dusk"],
        &["“it is lit at dusk”", "stitches wide", "room for 30", "wrapped in", "--wrap 30"],
    );
    laid(3, &["--words", "lit up", "--letters", "14"], &["room for 30", "they fit", "--letters "]);
    laid(3, &["--words", "L", "--words-at", "29,1"], &["room for 2"]);
    laid(3, &["--words", "L", "--words-at", "3,30"], &["7 rows high", "room for 1"]);
    laid(
        3,
        &["--words", "L", "--words-edge", "night", "--words-at", "1,1"],
        &["--words-at 1,1", "column 2 and row 2"],
    );
    laid(2, &["--words", "L", "--words-at", "0,1"], &["--words-at 0,1", "from 1 on"]);
    laid(2, &["--words", "L", "--ground", "night"], &["--ground", "without a picture"]);
    laid(2, &["--words", "L", "--margin", "3"], &["--margin", "without a picture"]);
    bench.refused(
        &[
            "chart",
            "--yarns",
            &yarns,
            "--out",
            "row",
            "--choices",
            "5",
            "--words",
            "Hi",
            "--words-colour",
            "chalk",
        ],
        2,
        &["PICTURE is missing"],
    );
}
