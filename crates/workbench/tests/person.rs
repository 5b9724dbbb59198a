//! What a person does, from the first start on: each thing once, with what they would see.
//!
//! Pictures and yarns are made here or belong to the demo; all are invented.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use std::sync::atomic::{AtomicU32, Ordering};

use charting::{Limits, read_picture};
use common::{blank, clock, open, yarn};
use image::{ImageEncoder, RgbImage};
use model::{Ball, Direction, Gauge, Hand, Length, Side, Step, WeightCategory, Yarn};
use workbench::{
    Blank, BlanketId, Edit, Extent, File, Kind, Part, PictureWish, Settings, Stage, Terms, Turn, Units,
    WishedColours, Workbench, unwatched,
};

fn bench() -> (tempfile::TempDir, Workbench) {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    (folder, bench)
}

/// A PNG, 40 by 20: the left half red, the right half blue; with a note of where it was taken.
fn picture() -> Vec<u8> {
    let image =
        RgbImage::from_fn(40, 20, |x, _| image::Rgb(if x < 20 { [200, 30, 30] } else { [30, 30, 200] }));
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder.set_exif_metadata(b"MM\0*\0\0\0\x08\0\0 taken at a secret place".to_vec()).unwrap();
    encoder.write_image(image.as_raw(), 40, 20, image::ExtendedColorType::Rgb8).unwrap();
    bytes
}

fn whole_yarn(key: &str, colour: u32) -> Yarn {
    Yarn {
        category: Some(WeightCategory::MEDIUM),
        ball: Some(Ball { length: Length::mm(90_000.0), milligrams: 50_000 }),
        ..yarn(key, colour)
    }
}

fn list() -> Vec<Yarn> {
    vec![whole_yarn("red", 0xc8_1e_1e), whole_yarn("blue", 0x1e_1e_c8), whole_yarn("green", 0x1e_c8_1e)]
}

fn wish() -> PictureWish {
    PictureWish {
        turn: Turn::None,
        crop: None,
        width: Some(Extent::Stitches(20)),
        height: None,
        gauge: Gauge::new(10.0, 10.0).unwrap(),
        colours: WishedColours::count(2),
        ease: 0,
        important: None,
        yarns: None,
    }
}

fn stitch(cells: &[usize], yarn: usize) -> Edit {
    Edit::Stitch { cells: cells.to_vec(), yarn, stroke: None }
}

#[test]
fn the_first_start_finds_an_empty_shelf_and_the_demo_fills_it() {
    let folder = tempfile::tempdir().unwrap();
    let opened = Workbench::open(folder.path(), clock()).unwrap();
    assert!(opened.new && opened.damaged.is_none());
    let bench = opened.workbench;
    let id = bench.demo().unwrap();
    let card = bench.shelf().unwrap().blankets.remove(0);
    assert!(card.invented && card.name.contains("invented"));
    // Source: demo/README.md.
    assert_eq!((card.columns, card.rows), (138, 185));
    assert!((card.width.as_cm() - 110.0).abs() < 1.0 && card.has_picture);
    let blanket = bench.blanket(id).unwrap();
    assert_eq!(blanket.palette.len(), 7);
    assert!(blanket.plan.ends > 100 && blanket.plan.gap == 0.0);
    assert!(bench.yarns().unwrap().is_empty(), "the person's list is theirs");
    let thumbnail = image::load_from_memory(&bench.thumbnail(id).unwrap().bytes).unwrap();
    assert_eq!(thumbnail.height(), 240);
    drop(bench);
    assert!(!Workbench::open(folder.path(), clock()).unwrap().new);
}

/// "Done when someone … paints a stray stitch away and sees the ends go down by two."
#[test]
fn a_stray_stitch_costs_two_ends() {
    let (_folder, bench) = bench();
    let id = bench.blank(&blank("Plain", 20, 10)).unwrap();
    let plain = bench.blanket(id).unwrap();
    assert_eq!((plain.plan.ends, plain.plan.strands), (2, 1));
    let stray = bench.edit(id, 0, &stitch(&[5 * 20 + 9], 1)).unwrap();
    assert_eq!((stray.plan.ends, stray.cells.as_slice()), (4, &[(109, 1)][..]));
    let away = bench.edit(id, 1, &stitch(&[109], 0)).unwrap();
    assert_eq!((away.plan.ends, away.revision), (2, 2));
    assert_eq!(away.can_take_back.as_deref(), Some("stitch"));
    // What is there already is no edit.
    let nothing = bench.edit(id, 2, &stitch(&[109], 0)).unwrap();
    assert_eq!((nothing.revision, nothing.cells.len()), (2, 0));
}

#[test]
fn whoever_saw_another_revision_is_told() {
    let (_folder, bench) = bench();
    let id = bench.blank(&blank("Plain", 5, 5)).unwrap();
    bench.edit(id, 0, &stitch(&[0], 1)).unwrap();
    for failure in [
        bench.edit(id, 0, &stitch(&[1], 1)).unwrap_err(),
        bench.take_back(id, 0).unwrap_err(),
        bench.do_again(id, 7).unwrap_err(),
    ] {
        assert_eq!(failure.kind, Kind::Stale { revision: 1 });
        assert!(!failure.hint.is_empty());
    }
    assert_eq!(bench.blanket(id).unwrap().cells[..2], [1, 0]);
}

#[test]
fn what_can_not_be_is_refused_and_named() {
    let (_folder, bench) = bench();
    let id = bench.blank(&blank("Plain", 5, 5)).unwrap();
    let bad = |failure: workbench::Failure| {
        assert_eq!(failure.kind, Kind::BadInput, "{failure}");
        assert!(!failure.what.is_empty() && failure.what.chars().next().is_some_and(|c| !c.is_uppercase()));
    };
    for edit in [
        stitch(&[25], 0),
        stitch(&[0], 3),
        Edit::Line { from: (0, 0), to: (5, 0), yarn: 1, width: 1 },
        Edit::Line { from: (0, 0), to: (4, 0), yarn: 1, width: 0 },
        Edit::Flood { at: (0, 5), yarn: 1 },
        Edit::SwapColour { from: 0, to: 9 },
        Edit::AddYarn(yarn("snow", 0)),
        Edit::AddYarn(yarn("no key", 0)),
        Edit::ChangeYarn { index: 3, yarn: yarn("x", 0) },
    ] {
        bad(bench.edit(id, 0, &edit).unwrap_err());
    }
    bad(bench.blank(&blank(" ", 5, 5)).unwrap_err());
    bad(bench.blank(&blank("Endless", 2_000, 2_000)).unwrap_err());
    bad(bench.blank(&Blank { yarns: vec![], ..blank("Of nothing", 5, 5) }).unwrap_err());
    bad(bench.rename(id, "two\nlines").unwrap_err());
    bad(bench.from_picture("Text", b"this is no picture", &unwatched).unwrap_err());
    bad(bench.from_chart("Text", b"snow,night\nsnow").unwrap_err());
    bad(bench.read_yarns(b"[[yarn]]\nkey = 'a'").unwrap_err());
    bad(bench.keep_settings(&Settings { language: "<b>".into(), ..Settings::default() }).unwrap_err());
    bad(bench.delete_for_good(id).unwrap_err());
    for failure in [
        bench.blanket(BlanketId(99)).unwrap_err(),
        bench.picture(id, 100).unwrap_err(),
        bench.row(id, 0, Terms::Us).unwrap_err(),
        bench.row(id, 6, Terms::Us).unwrap_err(),
        bench.take_back_yarns().unwrap_err(),
    ] {
        assert_eq!(failure.kind, Kind::NotFound, "{failure}");
    }
    assert_eq!(bench.blanket(id).unwrap().revision, 0);
}

#[test]
fn a_picture_becomes_a_blanket_and_is_charted_again() {
    let (_folder, bench) = bench();
    bench.keep_yarns(&list()).unwrap();
    let made = bench.from_picture("Flag", &picture(), &unwatched).unwrap();
    assert_eq!(made.picture, Some((40, 20)));
    let first = bench.blanket(made.id).unwrap();
    // 100 cm at 12.5 stitches in 10 cm.
    assert_eq!(first.columns, 125);
    let facts = first.picture.clone().unwrap();
    assert_eq!((facts.width, facts.height, facts.request.unwrap().width), (40, 20, Some(Extent::Cm(100.0))));

    let stages = AtomicU32::new(0);
    let watch = |stage: Stage, done: f64| {
        assert!((0.0..=1.0).contains(&done));
        stages.fetch_or(1 << stage as u32, Ordering::Relaxed);
        true
    };
    let again = bench.chart_picture(made.id, &wish(), &watch).unwrap();
    assert_eq!(stages.load(Ordering::Relaxed), 0b1111, "every stage was told");
    assert!(again.changed.reload && again.mean_difference < 1.0);
    let second = bench.blanket(made.id).unwrap();
    assert_eq!((second.columns, second.rows, second.palette.len()), (20, 10, 2));
    let keys: Vec<&str> = second.palette.iter().map(|entry| entry.yarn.key.as_str()).collect();
    assert_eq!(keys, ["red", "blue"]);
    assert_eq!((second.cells[0], second.cells[19]), (0, 1));
    assert_eq!(second.picture.clone().unwrap().request, Some(wish()));

    // A quarter turn clockwise brings the left, red half to the top.
    let turned = PictureWish { turn: Turn::Quarter, ..wish() };
    bench.chart_picture(made.id, &turned, &unwatched).unwrap();
    let third = bench.blanket(made.id).unwrap();
    assert_eq!((third.columns, third.rows), (20, 40));
    assert_eq!((third.cells[0], *third.cells.last().unwrap()), (1, 0));

    // The right half only.
    let part = Part { x: 0.5, y: 0.0, width: 0.5, height: 1.0 };
    let keys = WishedColours::Keys(vec!["green".into(), "blue".into()]);
    let cropped = PictureWish { crop: Some(part), colours: keys, ..wish() };
    bench.chart_picture(made.id, &cropped, &unwatched).unwrap();
    let fourth = bench.blanket(made.id).unwrap();
    assert!(fourth.cells.iter().all(|&cell| cell == 1), "all of it is blue");

    for expected in [&third, &second, &first] {
        let revision = bench.blanket(made.id).unwrap().revision;
        assert!(bench.take_back(made.id, revision).unwrap().reload);
        let back = bench.blanket(made.id).unwrap();
        assert_eq!(
            (&back.cells, &back.palette, &back.picture),
            (&expected.cells, &expected.palette, &expected.picture)
        );
    }
}

#[test]
fn long_work_can_be_stopped_and_leaves_nothing() {
    let (_folder, bench) = bench();
    bench.keep_yarns(&list()).unwrap();
    let id = bench.from_picture("Flag", &picture(), &unwatched).unwrap().id;
    let before = bench.blanket(id).unwrap();
    for last in [Stage::Reading, Stage::Charting, Stage::Planning, Stage::Proving] {
        let failure = bench.chart_picture(id, &wish(), &|stage, _| stage != last).unwrap_err();
        assert_eq!(failure.kind, Kind::Cancelled, "{last:?}");
    }
    assert_eq!(bench.from_picture("Flag", &picture(), &|_, _| false).unwrap_err().kind, Kind::Cancelled);
    assert_eq!(bench.blanket(id).unwrap().cells, before.cells);
    assert_eq!(bench.shelf().unwrap().blankets.len(), 1);
}

#[test]
fn the_picture_is_kept_as_it_came_and_shown_without_what_came_with_it() {
    let (folder, bench) = bench();
    let id = bench.from_picture("Flag", &picture(), &unwatched).unwrap().id;
    let secret = |bytes: &[u8]| bytes.windows(12).any(|part| part == b"secret place");
    assert!(secret(&picture()));
    let shown = bench.picture(id, 1200).unwrap();
    assert_eq!(shown.media_type, "image/jpeg");
    assert!(!secret(&shown.bytes) && !shown.bytes.windows(4).any(|part| part == b"Exif"));
    let read = read_picture(&shown.bytes, &Limits::default()).unwrap().value;
    assert_eq!((read.width(), read.height()), (40, 20));
    for file in File::ALL {
        assert!(!secret(&bench.file(id, file).unwrap().bytes), "{file:?}");
    }
    drop(bench);
    assert!(secret(&std::fs::read(folder.path().join("shelf.db")).unwrap()), "kept as handed in");
}

#[test]
fn files_come_back_as_the_same_blanket() {
    let (_folder, bench) = bench();
    let id = bench.blank(&blank("The Harbour / 2", 6, 4)).unwrap();
    bench.edit(id, 0, &Edit::Line { from: (0, 0), to: (5, 3), yarn: 1, width: 1 }).unwrap();
    let first = bench.blanket(id).unwrap();
    let png = bench.file(id, File::ChartPng).unwrap();
    assert_eq!((png.name.as_str(), png.media_type), ("the-harbour-2-chart.png", "image/png"));
    let again = bench.from_chart("Again", &png.bytes).unwrap();
    let again = bench.blanket(again.id).unwrap();
    assert_eq!((again.cells, again.gauge), (first.cells.clone(), first.gauge));
    // Keys of the person's list in a CSV.
    let whole = |(key, colour)| whole_yarn(key, colour);
    bench.keep_yarns(&[("snow", 0xf0_f0_f0), ("night", 0x10_10_30)].map(whole)).unwrap();
    let csv = bench.file(id, File::ChartCsv).unwrap();
    let again = bench.from_chart("Again", &csv.bytes).unwrap();
    assert!(again.notes.iter().any(|note| note.contains("gauge") || note.contains("swatch")));
    assert_eq!(bench.blanket(again.id).unwrap().cells, first.cells);
    // The plan is that of the chart, by the reader of its own document.
    let plan = String::from_utf8(bench.file(id, File::Plan).unwrap().bytes).unwrap();
    let plan = formats::read_plan(&plan).unwrap();
    assert_eq!((plan.columns, plan.rows, plan.plan.counts.strands), (6, 4, first.plan.strands));
    assert!(File::ALL.iter().all(|file| File::named(file.name()) == Some(*file)));
    assert_eq!(File::named("../shelf.db"), None);
}

#[test]
fn strands_and_rows_say_the_same() {
    let (_folder, bench) = bench();
    let id = bench.blank(&blank("Plain", 8, 4)).unwrap();
    bench.edit(id, 0, &stitch(&[2 * 8 + 3], 1)).unwrap();
    let strands = bench.strands(id).unwrap();
    assert_eq!((strands.strands.len(), strands.rows.len()), (2, 4));
    let stray = strands.strands.iter().find(|strand| strand.yarn == 1).unwrap();
    assert_eq!((stray.label.as_str(), stray.stitches, stray.first_row, stray.last_row), ("B1", 1, 2, 2));
    let joins =
        |row: usize| strands.rows[row].iter().filter(|step| matches!(step, Step::Join { .. })).count();
    assert_eq!([joins(0), joins(1), joins(2), joins(3)], [1, 0, 1, 0]);
    let row = bench.row(id, 3, Terms::Us).unwrap();
    assert_eq!((row.side, row.direction), (Side::Right, Direction::Leftwards));
    assert!(row.text.contains("1 sc B1") && row.text.contains("cut B1"), "{}", row.text);
    assert!(bench.row(id, 3, Terms::Uk).unwrap().text.contains("1 dc B1"));
    assert!(bench.row(id, 1, Terms::Us).unwrap().text.starts_with("Foundation: "));
    assert!(bench.row(id, 4, Terms::Us).unwrap().text.contains("sc A1"));
    // The other hand works the mirror image of each row.
    bench.keep_settings(&Settings { hand: Hand::Left, ..Settings::default() }).unwrap();
    assert_eq!(bench.row(id, 3, Terms::Us).unwrap().direction, Direction::Rightwards);
    assert_eq!(bench.blanket(id).unwrap().hand, Hand::Left);
}

#[test]
fn the_shelf_keeps_names_copies_and_what_is_set_aside() {
    let (_folder, bench) = bench();
    let first = bench.blank(&blank("Harbour", 5, 5)).unwrap();
    bench.edit(first, 0, &stitch(&[3], 1)).unwrap();
    let second = bench.duplicate(first).unwrap();
    let copy = bench.blanket(second).unwrap();
    assert_eq!((copy.name.as_str(), copy.cells[3], copy.can_take_back), ("Harbour 2", 1, None));
    assert_eq!(bench.rename(first, " Harbour at dusk ").unwrap(), 2);
    assert_eq!(bench.blanket(first).unwrap().name, "Harbour at dusk");
    assert!(bench.take_back(first, 2).unwrap().reload);
    assert_eq!(bench.blanket(first).unwrap().name, "Harbour");
    bench.set_aside(second).unwrap();
    let shelf = bench.shelf().unwrap();
    assert_eq!((shelf.blankets.len(), shelf.aside.len(), shelf.aside[0].id), (1, 1, second));
    bench.put_back(second).unwrap();
    assert_eq!(bench.shelf().unwrap().aside.len(), 0);
    bench.set_aside(second).unwrap();
    bench.delete_for_good(second).unwrap();
    assert_eq!(bench.blanket(second).unwrap_err().kind, Kind::NotFound);
}

#[test]
fn yarns_and_settings_are_kept() {
    let (folder, bench) = bench();
    bench.keep_yarns(&list()).unwrap();
    let toml = bench.yarns_toml().unwrap();
    bench.keep_yarns(&list()[..1]).unwrap();
    assert_eq!(bench.take_back_yarns().unwrap(), list());
    bench.keep_yarns(&[]).unwrap();
    bench.read_yarns(&toml.bytes).unwrap();
    assert_eq!(bench.yarns().unwrap(), list());
    let failure = bench.keep_yarns(&[list().remove(0), yarn("plain", 0)]).unwrap_err();
    assert!(failure.place.starts_with("yarn 2 (plain)"), "{failure}");
    let settings = Settings { units: Units::Inches, terms: Terms::Uk, ..Settings::default() };
    bench.keep_settings(&settings).unwrap();
    drop(bench);
    let bench = open(folder.path());
    assert_eq!((bench.yarns().unwrap(), bench.settings().unwrap()), (list(), settings));
}

#[test]
fn a_new_yarn_can_be_worked_and_taken_back() {
    let (_folder, bench) = bench();
    let id = bench.blank(&blank("Plain", 5, 5)).unwrap();
    let added = bench.edit(id, 0, &Edit::AddYarn(yarn("moss", 0x40_60_20))).unwrap();
    assert_eq!((added.palette.len(), added.palette[3].symbol.as_str()), (4, "D"));
    bench.edit(id, 1, &stitch(&[7, 8], 3)).unwrap();
    let renamed =
        Edit::ChangeYarn { index: 3, yarn: Yarn { name: "Moss".into(), ..yarn("moss", 0x40_60_20) } };
    let changed = bench.edit(id, 2, &renamed).unwrap();
    assert_eq!((changed.palette[3].yarn.name.as_str(), changed.palette[3].stitches), ("Moss", 2));
    let dark = Edit::ChangeYarn { index: 3, yarn: yarn("ink", 0) };
    bench.edit(id, 3, &dark).unwrap();
    for revision in 4..8 {
        bench.take_back(id, revision).unwrap();
    }
    let back = bench.blanket(id).unwrap();
    assert_eq!((back.palette.len(), back.can_take_back, back.revision), (3, None, 8));
}

#[test]
fn a_second_window_is_told() {
    let (folder, _bench) = bench();
    let failure = Workbench::open(folder.path(), clock()).err().unwrap();
    assert_eq!(failure.kind, Kind::Busy);
    assert_eq!(failure.what, "the shelf is open in another window of this program");
}

#[test]
fn a_damaged_shelf_is_set_aside_and_told() {
    let (folder, bench) = bench();
    bench.blank(&blank("Plain", 5, 5)).unwrap();
    drop(bench);
    let path = folder.path().join("shelf.db");
    let spoiled: Vec<u8> = std::fs::read(&path).unwrap().iter().map(|byte| byte ^ 0x55).collect();
    std::fs::write(&path, &spoiled).unwrap();
    let opened = Workbench::open(folder.path(), clock()).unwrap();
    assert!(opened.new);
    assert!(std::fs::read(opened.damaged.unwrap()).unwrap() == spoiled);
    assert_eq!(opened.workbench.shelf().unwrap().blankets.len(), 0);
}

/// A full disk: what was acknowledged stays, what was not is not there, and there is a way on.
#[test]
fn a_full_disk_is_told_and_loses_nothing() {
    let (folder, bench) = bench();
    let id = bench.blank(&blank("Plain", 60, 60)).unwrap();
    bench.limit_size(0).unwrap();
    let mut revision = 0;
    let failure = loop {
        let at = usize::try_from(revision).unwrap() % 3_600;
        let line = Edit::Line { from: (at % 60, at / 60), to: (59, 59), yarn: 1 + at % 2, width: 9 };
        match bench.edit(id, revision, &line) {
            Ok(changed) => revision = changed.revision,
            Err(failure) => break failure,
        }
        assert!(revision < 500, "the disk never gets full");
    };
    assert_eq!(failure.kind, Kind::CannotWrite, "{failure}");
    let after = bench.blanket(id).unwrap();
    assert_eq!(after.revision, revision);
    bench.limit_size(1 << 30).unwrap();
    bench.edit(id, revision, &Edit::Flood { at: (0, 59), yarn: 2 }).unwrap();
    drop(bench);
    assert_eq!(open(folder.path()).blanket(id).unwrap().revision, revision + 1);
}

#[test]
fn many_hands_at_once_never_lose_an_edit() {
    let (_folder, bench) = bench();
    let ids: Vec<BlanketId> = (0..4).map(|_| bench.blank(&blank("Plain", 12, 12)).unwrap()).collect();
    std::thread::scope(|scope| {
        for hand in 0..8usize {
            let (bench, ids) = (&bench, &ids);
            scope.spawn(move || {
                let id = ids[hand % 4];
                // Two hands on each blanket: one the even cells, one the odd.
                for at in (0..40).map(|step| step * 2 + hand / 4) {
                    loop {
                        let revision = bench.blanket(id).unwrap().revision;
                        match bench.edit(id, revision, &stitch(&[at], 1)) {
                            Ok(_) => break,
                            Err(failure) => assert!(matches!(failure.kind, Kind::Stale { .. }), "{failure}"),
                        }
                    }
                }
            });
        }
    });
    for id in ids {
        let blanket = bench.blanket(id).unwrap();
        assert_eq!((blanket.revision, blanket.palette[1].stitches), (80, 80));
    }
}
