//! Each operation on a chart: done, told, taken back, done again, across a restart.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use common::{blank, open, yarn};
use workbench::{
    Blanket, Changed, Edit, Extent, FramePlace, Kind, MAX_CELLS, Mirrored, Offset, PictureWish, Region,
    Shape, Turn, WishedColours, Within, unwatched,
};

const fn region(column: usize, row: usize, columns: usize, rows: usize) -> Region {
    Region { column, row, columns, rows }
}

fn stitch(cells: &[usize], yarn: usize) -> Edit {
    Edit::Stitch { cells: cells.to_vec(), yarn, stroke: None }
}

/// What a person sees of the chart.
fn seen(blanket: &Blanket) -> impl PartialEq + core::fmt::Debug + use<> {
    (blanket.cells.clone(), blanket.palette.clone(), blanket.columns, blanket.rows)
}

/// The numbers went from the one to the other.
fn check_difference(before: &Blanket, changed: &Changed, after: &Blanket) {
    let signed = |n: usize| i64::try_from(n).unwrap();
    assert_eq!(changed.by.ends, signed(after.plan.ends) - signed(before.plan.ends));
    assert_eq!(changed.by.strands, signed(after.plan.strands) - signed(before.plan.strands));
    assert!((before.plan.hours.total + changed.by.hours - after.plan.hours.total).abs() < 1e-9);
}

/// Source: docs/strand-model.md: every strand has two ends, and a stray stitch is a strand of its own.
#[test]
fn a_stray_cleaned_away_gives_its_ends_back() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = bench.blank(&blank("Plain", 20, 20)).unwrap();
    let stray = 10 * 20 + 9;
    let painted = bench.edit(id, 0, &stitch(&[stray], 1)).unwrap();
    assert_eq!((painted.by.ends, painted.by.strands), (2, 1));
    assert!(painted.by.hours > 0.0);
    let cleaned = bench.edit(id, 1, &Edit::Clean { below: 2, region: None }).unwrap();
    assert_eq!(cleaned.cells, [(stray, 0)]);
    assert_eq!((cleaned.by.ends, cleaned.by.strands), (-2, -1));
    assert!((cleaned.by.hours + painted.by.hours).abs() < 1e-9);
    let back = bench.take_back(id, 2).unwrap();
    assert_eq!((back.by, back.cells.len()), (painted.by, 1));
    let again = bench.do_again(id, 3).unwrap();
    assert_eq!(again.by, cleaned.by);
    let nothing = bench.edit(id, 4, &Edit::Clean { below: 2, region: None }).unwrap();
    assert_eq!((nothing.revision, nothing.by.ends, nothing.by.strands), (4, 0, 0));
    assert!(nothing.by.hours.abs() < f64::EPSILON);
}

#[test]
fn each_operation_is_done_taken_back_and_done_again_across_a_restart() {
    let part = region(1, 1, 3, 2);
    let reshaping = [
        Edit::InsertRows { at: 2, count: 2, yarn: None },
        Edit::InsertColumns { at: 8, count: 1, yarn: Some(2) },
        Edit::DeleteRows { at: 0, count: 2 },
        Edit::DeleteColumns { at: 3, count: 1 },
        Edit::Resize { left: 2, right: -1, bottom: -1, top: 3, yarn: 1 },
        Edit::Enlarge { by: 3 },
        Edit::Frame { stitches: 2, rows: 3, yarn: 2, place: FramePlace::Round },
        Edit::Merge { from: 1, to: 2 },
        Edit::DropYarn { index: 0, instead: Some(1) },
    ];
    let drawing = [
        stitch(&[0, 1, 9], 2),
        Edit::Line { from: (0, 0), to: (7, 5), yarn: 2, width: 2 },
        Edit::Rectangle { region: part, outline: None, yarn: 2 },
        Edit::Ellipse { region: region(0, 0, 8, 6), outline: Some(1), yarn: 2 },
        Edit::Flood { at: (0, 0), yarn: 2 },
        Edit::SwapColour { from: 1, to: 0 },
        Edit::Replace { from: 0, to: 2, within: Within::Region(part) },
        Edit::Exchange { one: 0, other: 1, region: None },
        Edit::Clean { below: 4, region: None },
        Edit::Smooth { region: None },
        Edit::Move { region: part, to: (-1, 3), yarn: 2 },
        Edit::Copy { region: part, to: (5, 2) },
        Edit::Mirror { region: None, way: Mirrored::UpsideDown },
        Edit::Repeat { region: part, offset: Offset::Drop(1) },
        Edit::CropToShape { shape: Shape::Ellipse, region: None, yarn: 2 },
        Edit::Background { yarn: Some(2), tolerance: 0.0, like: None },
        Edit::Frame { stitches: 1, rows: 1, yarn: 2, place: FramePlace::Over },
        Edit::AddYarn(yarn("moss", 0x40_60_20)),
        Edit::ChangeYarn { index: 0, yarn: yarn("oat", 0xf0_e0_c0) },
    ];
    let folder = tempfile::tempdir().unwrap();
    for (edit, reload) in
        drawing.iter().map(|edit| (edit, false)).chain(reshaping.iter().map(|edit| (edit, true)))
    {
        let mut bench = open(folder.path());
        let id = bench.blank(&blank(edit.name(), 8, 6)).unwrap();
        // A block with a bump, and a stray.
        bench.edit(id, 0, &stitch(&[10, 11, 12, 18, 19, 20, 27, 38], 1)).unwrap();
        let before = bench.blanket(id).unwrap();
        let changed = bench.edit(id, 1, edit).unwrap();
        let after = bench.blanket(id).unwrap();
        assert_ne!(seen(&before), seen(&after), "{edit:?}");
        assert_eq!((changed.revision, changed.reload), (2, reload), "{edit:?}");
        assert_eq!(changed.can_take_back.as_deref(), Some(edit.name()));
        check_difference(&before, &changed, &after);
        drop(bench);
        bench = open(folder.path());
        assert_eq!(seen(&bench.blanket(id).unwrap()), seen(&after), "{edit:?}");
        let back = bench.take_back(id, 2).unwrap();
        assert_eq!(seen(&bench.blanket(id).unwrap()), seen(&before), "{edit:?}");
        assert_eq!((back.reload, back.can_do_again.as_deref()), (reload, Some(edit.name())));
        check_difference(&after, &back, &before);
        drop(bench);
        bench = open(folder.path());
        bench.do_again(id, 3).unwrap();
        assert_eq!(seen(&bench.blanket(id).unwrap()), seen(&after), "{edit:?}");
    }
}

#[test]
fn what_would_be_too_large_is_refused_before_it_is_made() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = bench.blank(&blank("Wide", 100, 60)).unwrap();
    let frame = |stitches| Edit::Frame { stitches, rows: 0, yarn: 0, place: FramePlace::Round };
    for edit in [
        Edit::Enlarge { by: 10 },
        Edit::Enlarge { by: 100 },
        Edit::InsertRows { at: 0, count: MAX_CELLS / 100, yarn: None },
        Edit::InsertColumns { at: 0, count: usize::MAX, yarn: None },
        frame(4_200),
        frame(usize::MAX),
        Edit::Resize { left: i64::MAX, right: 0, bottom: 0, top: i64::MAX, yarn: 0 },
    ] {
        let failure = bench.edit(id, 0, &edit).unwrap_err();
        assert_eq!(
            (failure.kind, failure.place.as_str()),
            (Kind::BadInput, "the size"),
            "{edit:?} {failure}"
        );
        assert!(!failure.hint.is_empty());
    }
    let outside = Edit::Smooth { region: Some(region(99, 0, 2, 1)) };
    assert_eq!(bench.edit(id, 0, &outside).unwrap_err().place, "region");
    let blanket = bench.blanket(id).unwrap();
    assert_eq!((blanket.revision, blanket.columns, blanket.rows), (0, 100, 60));
}

/// A picture of two halves, dark on top. Invented.
fn picture() -> Vec<u8> {
    let pixels = image::GrayImage::from_fn(40, 40, |_, y| image::Luma([if y < 20 { 20 } else { 230 }]));
    let mut bytes = Vec::new();
    pixels.write_to(&mut std::io::Cursor::new(&mut bytes), image::ImageFormat::Png).unwrap();
    bytes
}

#[test]
fn a_picture_stays_with_its_blanket_whatever_its_size_becomes() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let made = bench.from_picture("Halves", &picture(), &unwatched).unwrap();
    let before = bench.blanket(made.id).unwrap();
    let frame = Edit::Frame { stitches: 4, rows: 4, yarn: 0, place: FramePlace::Round };
    bench.edit(made.id, 0, &frame).unwrap();
    let framed = bench.blanket(made.id).unwrap();
    assert_eq!((framed.columns, framed.rows), (before.columns + 8, before.rows + 8));
    assert_eq!((&framed.picture, &framed.gauge), (&before.picture, &before.gauge));
    // Charted again, it is told what became of the framed one.
    let wish = PictureWish {
        turn: Turn::None,
        crop: None,
        width: Some(Extent::Stitches(20)),
        height: None,
        gauge: before.gauge,
        colours: WishedColours::count(2),
        ease: 0,
        important: None,
        yarns: Some(vec![listed("oat", 0xf0_e0_c0), listed("ink", 0x10_10_30)]),
    };
    let again = bench.chart_picture(made.id, &wish, &unwatched).unwrap();
    let charted = bench.blanket(made.id).unwrap();
    check_difference(&framed, &again.changed, &charted);
    assert!(again.changed.by.hours < 0.0, "it is smaller");
}

/// A yarn of which enough is known for a list. Invented.
fn listed(key: &str, colour: u32) -> model::Yarn {
    model::Yarn {
        category: Some(model::WeightCategory::MEDIUM),
        ball: Some(model::Ball { length: model::Length::mm(90_000.0), milligrams: 50_000 }),
        ..yarn(key, colour)
    }
}
