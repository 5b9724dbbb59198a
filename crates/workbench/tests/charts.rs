//! Charts to choose from, words on charts, and a look at fabric and yarns.
//!
//! The picture is a free photograph (`fixtures/CREDITS.md`); yarns and words are invented.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use std::sync::Mutex;

use common::{blank, open, yarn};
use model::{Gauge, Side};
use workbench::{
    Align, BlanketId, Choice, ChosenColours, Edit, Extent, Important, Kind, Lettering, OfWords, PictureWish,
    Region, Turn, WishedColours, WordsOn, Workbench, unwatched,
};

const CAT: &[u8] = include_bytes!("../../../fixtures/chelsea.png");

fn bench() -> (tempfile::TempDir, Workbench) {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    (folder, bench)
}

fn wish() -> PictureWish {
    PictureWish {
        turn: Turn::None,
        crop: None,
        width: Some(Extent::Stitches(60)),
        height: None,
        gauge: Gauge::new(14.0, 15.0).unwrap(),
        colours: WishedColours::count(6),
        ease: 0,
        important: None,
        yarns: None,
    }
}

fn cat(bench: &Workbench) -> BlanketId {
    bench.from_picture("Cat", CAT, &unwatched).unwrap().id
}

fn words(text: &str) -> Lettering {
    Lettering {
        text: text.to_owned(),
        height: 5,
        spacing: None,
        line_gap: 2,
        align: Align::Left,
        width: None,
        font: None,
    }
}

#[test]
fn an_easier_chart_is_less_work_and_less_like_the_picture() {
    let (_folder, bench) = bench();
    let id = cat(&bench);
    let plain = bench.chart_picture(id, &wish(), &unwatched).unwrap();
    let easy = bench.chart_picture(id, &PictureWish { ease: 7, ..wish() }, &unwatched).unwrap();
    assert!(easy.changed.plan.cost < 0.7 * plain.changed.plan.cost, "{:?} {:?}", easy, plain);
    assert!(easy.changed.by.ends < 0 && easy.changed.by.hours < 0.0);
    assert!(easy.mean_difference > plain.mean_difference);
    let back = bench.take_back(id, easy.changed.revision).unwrap();
    assert_eq!(back.plan.ends, plain.changed.plan.ends);
    let refused = bench.chart_picture(id, &PictureWish { ease: 11, ..wish() }, &unwatched).unwrap_err();
    assert_eq!(refused.kind, Kind::BadInput);
}

#[test]
fn what_is_marked_stays() {
    let (_folder, bench) = bench();
    let id = cat(&bench);
    let easy = PictureWish { ease: 10, ..wish() };
    let without = bench.chart_picture(id, &easy, &unwatched).unwrap();
    // Everything is marked: as if ease counted for hardly anything.
    let important = Some(Important { columns: 2, rows: 2, weights: vec![255; 4] });
    let all = bench.chart_picture(id, &PictureWish { important, ..easy.clone() }, &unwatched).unwrap();
    assert!(all.mean_difference < without.mean_difference);
    assert!(all.changed.plan.cost > without.changed.plan.cost);
    let short = Some(Important { columns: 2, rows: 2, weights: vec![255; 3] });
    let refused = bench.chart_picture(id, &PictureWish { important: short, ..easy }, &unwatched).unwrap_err();
    assert!(refused.what.contains("3 weights"), "{refused}");
    let kept = bench.blanket(id).unwrap().picture.unwrap().request.unwrap();
    assert_eq!(kept.important.unwrap().weights, [255; 4]);
}

#[test]
fn yarns_are_kept_and_left_out_as_wished() {
    let (_folder, bench) = bench();
    let id = cat(&bench);
    let list = bench.blanket(id).unwrap();
    let of_list: Vec<String> = list.palette.iter().map(|entry| entry.yarn.key.clone()).collect();
    let chosen = ChosenColours {
        count: 4,
        keep: vec![of_list[0].clone()],
        without: vec![of_list[1].clone()],
        on_hand: false,
    };
    let colours = WishedColours::Choose(chosen.clone());
    bench.chart_picture(id, &PictureWish { colours, ..wish() }, &unwatched).unwrap();
    let keys: Vec<String> =
        bench.blanket(id).unwrap().palette.iter().map(|entry| entry.yarn.key.clone()).collect();
    assert!(keys.contains(&of_list[0]) && !keys.contains(&of_list[1]), "{keys:?}");
    let both = ChosenColours { without: chosen.keep.clone(), ..chosen };
    let colours = WishedColours::Choose(both);
    let refused = bench.chart_picture(id, &PictureWish { colours, ..wish() }, &unwatched).unwrap_err();
    assert_eq!(refused.kind, Kind::BadInput);
}

#[test]
fn a_row_of_charts_none_beaten_by_another_and_one_can_be_taken() {
    let (_folder, bench) = bench();
    let id = cat(&bench);
    let found: Mutex<Vec<Choice>> = Mutex::default();
    let row =
        bench.choices(id, &wish(), 5, &|choice| found.lock().unwrap().push(choice), &unwatched).unwrap();
    let found = found.into_inner().unwrap();
    assert!(found[0].plain && found.len() >= 3, "{}", found.len());
    let staying: Vec<&Choice> = row.stay.iter().map(|&at| &found[at]).collect();
    for (one, other) in staying.iter().flat_map(|one| staying.iter().map(move |other| (one, other))) {
        let beaten = other.numbers.cost <= one.numbers.cost
            && other.mean_difference <= one.mean_difference
            && (other.numbers.cost < one.numbers.cost || other.mean_difference < one.mean_difference);
        assert!(!beaten, "{} is beaten by {}", one.at, other.at);
    }
    let easiest = staying.last().unwrap();
    let picture = image::load_from_memory(&easiest.picture).unwrap();
    assert_eq!(picture.width().max(picture.height()), 360);
    let revision = bench.blanket(id).unwrap().revision;
    let taken = bench.take_choice(id, revision, easiest).unwrap();
    assert_eq!((taken.plan.ends, taken.reload), (easiest.numbers.ends, true));
    assert_eq!(taken.can_take_back.as_deref(), Some("chart_picture"));
    assert_eq!(bench.blanket(id).unwrap().rows, easiest.rows());
    let stale = bench.take_choice(id, revision, easiest).unwrap_err();
    assert!(matches!(stale.kind, Kind::Stale { .. }));
}

#[test]
fn looking_for_charts_can_be_stopped_and_keeps_what_was_found() {
    let (_folder, bench) = bench();
    let id = cat(&bench);
    let found: Mutex<Vec<Choice>> = Mutex::default();
    let stopped = bench
        .choices(id, &wish(), 7, &|choice| found.lock().unwrap().push(choice), &|_, _| {
            found.lock().unwrap().is_empty()
        })
        .unwrap_err();
    assert_eq!(stopped.kind, Kind::Cancelled);
    let found = found.into_inner().unwrap();
    let revision = bench.blanket(id).unwrap().revision;
    assert!(bench.take_choice(id, revision, &found[0]).is_ok());
    for count in [4, 8] {
        let refused = bench.choices(id, &wish(), count, &|_| (), &unwatched).unwrap_err();
        assert_eq!(refused.kind, Kind::BadInput, "{refused}");
    }
}

#[test]
fn words_are_laid_on_a_chart_and_taken_back() {
    let (_folder, bench) = bench();
    let id = bench.blank(&blank("Plain", 30, 12)).unwrap();
    let gauge = Gauge::new(10.0, 10.0).unwrap();
    let block = bench.lettering(&words("HI"), &gauge).unwrap();
    let inked = block.cells.iter().filter(|&&cell| cell == 1).count();
    assert!(block.rows == 5 && inked > 10 && block.columns < 12, "{block:?}");
    let on = WordsOn { lettering: words("HI"), at: (3, 4), yarn: 1, edge: None };
    let laid = bench.lay_words(id, 0, &on).unwrap();
    assert_eq!(laid.cells.len(), inked);
    assert!(laid.cells.iter().all(|&(at, entry)| entry == 1 && (4..9).contains(&(at / 30)) && at % 30 >= 3));
    // The first letter stands upright at the left: H has its left stroke in the lowest row.
    assert!(laid.cells.contains(&(4 * 30 + 3, 1)) && laid.cells.contains(&(8 * 30 + 3, 1)));
    assert_eq!(laid.can_take_back.as_deref(), Some("words"));
    let back = bench.take_back(id, 1).unwrap();
    assert_eq!(back.cells.len(), inked);
    // Half outside is cut off; all outside is refused.
    let half = WordsOn { at: (-3, 4), ..on.clone() };
    assert!(bench.lay_words(id, 2, &half).unwrap().cells.len() < inked);
    let outside = WordsOn { at: (0, 40), ..on.clone() };
    assert!(bench.lay_words(id, 3, &outside).unwrap_err().what.contains("outside"));
    let nobody = WordsOn { yarn: 9, ..on };
    assert!(bench.lay_words(id, 3, &nobody).unwrap_err().what.contains("no yarn 9"));
}

#[test]
fn words_that_cannot_be_set_are_refused_with_what_would_fit() {
    let (_folder, bench) = bench();
    let gauge = Gauge::new(10.0, 10.0).unwrap();
    let refused = |wish: Lettering| bench.lettering(&wish, &gauge).unwrap_err();
    let wide = refused(Lettering { width: Some(10), ..words("Lighthouses") });
    assert!(wide.what.contains("room for 10"), "{wide}");
    let missing = refused(words("漢"));
    assert!(missing.what.contains("U+6F22"), "{missing}");
    let font = refused(Lettering { font: Some(b"no font at all".to_vec()), ..words("a") });
    assert!(font.what.contains("no font"), "{font}");
    // A height without letters of its own is drawn from the face of the charts.
    assert!(bench.lettering(&Lettering { height: 17, ..words("Äñ") }, &gauge).unwrap().rows >= 17);
}

#[test]
fn a_blanket_of_words_alone() {
    let (_folder, bench) = bench();
    let wish = OfWords {
        name: "Motto".to_owned(),
        lettering: words("QUIET\nPLEASE"),
        margin: 4,
        gauge: Gauge::new(14.0, 15.0).unwrap(),
        letters: yarn("ink", 0x1b_1b_3a),
        ground: yarn("oat", 0xf0_e2_c2),
    };
    let id = bench.from_words(&wish).unwrap();
    let blanket = bench.blanket(id).unwrap();
    assert_eq!(blanket.rows, 5 + 2 + 5 + 8);
    assert_eq!(blanket.cells[0], 0);
    assert!(blanket.palette[1].stitches > 50 && blanket.palette[0].yarn.key == "oat");
    let same = OfWords { ground: wish.letters.clone(), ..wish };
    assert_eq!(bench.from_words(&same).unwrap_err().kind, Kind::BadInput);
}

#[test]
fn the_fabric_is_seen_from_both_sides_whole_and_in_part() {
    let (_folder, bench) = bench();
    let id = bench.blank(&blank("Plain", 20, 10)).unwrap();
    bench.edit(id, 0, &Edit::Stitch { cells: vec![0, 1, 20, 21], yarn: 1, stroke: None }).unwrap();
    let right = bench.fabric(id, Side::Right, None, 400).unwrap();
    let wrong = bench.fabric(id, Side::Wrong, None, 400).unwrap();
    assert_ne!(right.bytes, wrong.bytes);
    let part = Region { column: 0, row: 0, columns: 4, rows: 4 };
    let near =
        image::load_from_memory(&bench.fabric(id, Side::Right, Some(part), 200).unwrap().bytes).unwrap();
    assert_eq!(near.width().max(near.height()), 200);
    let outside = Region { column: 18, ..part };
    assert_eq!(bench.fabric(id, Side::Right, Some(outside), 200).unwrap_err().kind, Kind::BadInput);
}

#[test]
fn yarns_alike_are_named_with_what_to_do() {
    let (_folder, bench) = bench();
    let mut wish = blank("Plain", 20, 10);
    wish.yarns = vec![yarn("oat", 0xf0_e2_c2), yarn("cream", 0xf1_e4_c6), yarn("ink", 0x14_14_28)];
    let id = bench.blank(&wish).unwrap();
    bench.edit(id, 0, &Edit::Stitch { cells: vec![5], yarn: 1, stroke: None }).unwrap();
    bench.edit(id, 1, &Edit::Stitch { cells: vec![50], yarn: 2, stroke: None }).unwrap();
    let alike = bench.alike(id).unwrap();
    let pair = &alike.pairs[0];
    assert_eq!((pair.yarns, pair.difference < 3.0), ((0, 1), true));
    assert!(!pair.when.is_empty() && pair.advice.ends_with('.'));
    assert_eq!(alike.bleeding[0].yarns, (2, 0));
}
