//! Each operation on small charts in letters; rows stand as a person sees them, the top one first.
//! All expected
//! pictures but the heart are drawn by hand from what the operation says.

#![allow(clippy::unwrap_used)]

mod common;

use common::{after, drawn, drawn_of, letters, shown, yarns};
use edits::{Done, Edit, EditError, FramePlace, Mirrored, Offset, Region, Shape, Stitches, Within, apply};
use model::{MAX_SIDE, PaletteError, Srgb, Yarn};

const fn region(column: usize, row: usize, columns: usize, rows: usize) -> Region {
    Region { column, row, columns, rows }
}

const PLAIN: [&str; 5] = ["aaaaaa"; 5];

#[test]
fn lines_and_brush() {
    let line = |from, to, width| shown(&["aaaaa"; 3], &Edit::Line { from, to, yarn: 1, width });
    assert_eq!(line((1, 1), (1, 1), 1), ["aaaaa", "abaaa", "aaaaa"]);
    assert_eq!(line((0, 0), (2, 2), 1), ["aabaa", "abaaa", "baaaa"]);
    assert_eq!(line((4, 2), (4, 0), 1), ["aaaab"; 3]);
    assert_eq!(line((0, 0), (4, 0), 3), ["aaaaa", "bbbbb", "bbbbb"]);
    assert_eq!(line((1, 1), (1, 1), 2), ["aaaaa", "bbaaa", "bbaaa"]);
    let brush = Edit::Stitch { cells: vec![5, 0, 5, 2], yarn: 1, stroke: None };
    assert_eq!(shown(&["aaba", "aaba"], &brush), ["abba", "baba"]);
}

#[test]
fn rectangles_and_ellipses() {
    let rectangle = |outline| Edit::Rectangle { region: region(1, 0, 5, 4), outline, yarn: 1 };
    assert_eq!(shown(&PLAIN, &rectangle(None)), ["aaaaaa", "abbbbb", "abbbbb", "abbbbb", "abbbbb"]);
    assert_eq!(shown(&PLAIN, &rectangle(Some(1))), ["aaaaaa", "abbbbb", "abaaab", "abaaab", "abbbbb"]);
    assert_eq!(shown(&PLAIN, &rectangle(Some(2))), shown(&PLAIN, &rectangle(None)));
    let ellipse = |part, outline| {
        letters(&after(&drawn(&["aaaaaaa"; 7]), &Edit::Ellipse { region: part, outline, yarn: 1 }).unwrap())
    };
    // Centres at most 3.5 from the middle: 3² + 1² and 2² + 2² are, 3² + 2² is not.
    let round = ["aabbbaa", "abbbbba", "bbbbbbb", "bbbbbbb", "bbbbbbb", "abbbbba", "aabbbaa"];
    assert_eq!(ellipse(region(0, 0, 7, 7), None), round);
    let ring = ["aabbbaa", "abaaaba", "baaaaab", "baaaaab", "baaaaab", "abaaaba", "aabbbaa"];
    assert_eq!(ellipse(region(0, 0, 7, 7), Some(1)), ring);
    // However slim, it reaches the ends of its box.
    assert_eq!(ellipse(region(1, 0, 2, 7), None), ["abbaaaa"; 7]);
}

#[test]
fn floods_go_by_sides() {
    let flood = |at| shown(&["aabaa", "abaca", "bacca"], &Edit::Flood { at, yarn: 2 });
    assert_eq!(flood((0, 2)), ["ccbaa", "cbaca", "bacca"]);
    assert_eq!(flood((4, 0)), ["aabcc", "abacc", "baccc"]);
    assert_eq!(flood((2, 1)), ["aabaa", "abcca", "bacca"]);
}

#[test]
fn yarns_are_replaced_exchanged_merged() {
    let rows = ["aabb", "cabc"];
    let replace = |within| shown(&rows, &Edit::Replace { from: 1, to: 2, within });
    assert_eq!(replace(Within::Everywhere), ["aacc", "cacc"]);
    assert_eq!(replace(Within::Everywhere), shown(&rows, &Edit::SwapColour { from: 1, to: 2 }));
    assert_eq!(replace(Within::Region(region(0, 0, 3, 2))), ["aacb", "cacc"]);
    assert_eq!(replace(Within::Row(0)), ["aabb", "cacc"]);
    let exchange = |region| shown(&rows, &Edit::Exchange { one: 0, other: 1, region });
    assert_eq!(exchange(None), ["bbaa", "cbac"]);
    assert_eq!(exchange(Some(region(1, 0, 1, 2))), ["abbb", "cbbc"]);
    let merged = after(&drawn(&rows), &Edit::Merge { from: 0, to: 1 }).unwrap();
    assert_eq!(letters(&merged), ["aaaa", "baab"], "entries move down by one");
    assert_eq!(merged.palette().yarns(), &yarns(3)[1..]);
    let done = apply(&drawn(&rows), &Edit::Merge { from: 2, to: 0 }).unwrap();
    assert_eq!(done.stitches(), Stitches { changed: 2, added: 0, removed: 0 });
}

#[test]
fn yarns_come_and_leave() {
    let chart = drawn_of(4, &["acc", "aca"]);
    let oat = Yarn::plain("oat", "Oat", Srgb::new(240, 226, 194));
    let more = after(&chart, &Edit::AddYarn(oat.clone())).unwrap();
    assert_eq!(more.palette().len(), 5);
    let other = after(&chart, &Edit::ChangeYarn { index: 1, yarn: oat.clone() }).unwrap();
    assert_eq!((other.palette().yarns()[1].clone(), letters(&other)), (oat.clone(), letters(&chart)));
    let drop = |index, instead| after(&chart, &Edit::DropYarn { index, instead });
    assert_eq!(letters(&drop(1, None).unwrap()), ["abb", "aba"], "c is the second now");
    assert_eq!(letters(&drop(3, None).unwrap()), ["acc", "aca"]);
    assert_eq!(letters(&drop(2, Some(3)).unwrap()), ["acc", "aca"], "and d the third");
    assert_eq!(drop(2, None), Err(EditError::InUse { entry: 2, stitches: 3 }));
    assert_eq!(drop(2, Some(2)), Err(EditError::Itself));
    assert_eq!(
        after(&chart, &Edit::AddYarn(yarns(1)[0].clone())),
        Err(EditError::Palette(PaletteError::SameKey("a".into())))
    );
    let single = drawn_of(1, &["a"]);
    assert_eq!(apply(&single, &Edit::Merge { from: 0, to: 0 }), Err(EditError::Itself));
    let same = Edit::ChangeYarn { index: 0, yarn: yarns(1)[0].clone() };
    assert!(apply(&single, &same).unwrap().is_nothing());
}

#[test]
fn strays_go_to_what_surrounds_them_most() {
    let clean = |rows: &[&str], below, region| shown(rows, &Edit::Clean { below, region });
    // Three sides of the b are a, one is c.
    assert_eq!(clean(&["aaaa", "abcc", "aacc"], 2, None), ["aaaa", "aacc", "aacc"]);
    // Two sides each: the first of the palette.
    assert_eq!(clean(&["aacc", "aacc", "cbaa", "ccaa"], 2, None), ["aacc", "aacc", "caaa", "ccaa"]);
    // Corners do not hold stitches together.
    assert_eq!(clean(&["abaa", "baaa", "aaaa"], 2, None), ["aaaa"; 3]);
    assert_eq!(clean(&["bbaa", "aaaa", "aaac"], 3, None), ["aaaa"; 3]);
    assert_eq!(clean(&["bbaa", "aaaa", "aaac"], 2, None), ["bbaa", "aaaa", "aaaa"]);
    // Only what lies in the region whole: the pair reaches out of it.
    let part = Some(region(0, 0, 2, 3));
    assert_eq!(clean(&["abba", "aaaa", "aaab"], 3, part), ["abba", "aaaa", "aaab"]);
    assert_eq!(clean(&["baaa", "aaaa", "aaab"], 3, part), ["aaaa", "aaaa", "aaab"]);
    // Nobody to give it to.
    assert_eq!(clean(&["bb"], 1000, None), ["bb"]);
    // The smallest first: the single b joins the c's before they are looked at.
    assert_eq!(clean(&["aaaaa", "acbca", "aaaaa"], 2, None), ["aaaaa"; 3]);
    assert_eq!(clean(&["aaaaaa", "cccbca", "aaaaaa"], 3, None), ["aaaaaa", "cccaaa", "aaaaaa"]);
}

#[test]
fn outlines_are_smoothed_and_thin_lines_stay() {
    let smooth = |rows: &[&str], region| shown(rows, &Edit::Smooth { region });
    // A bump of one stitch goes, a dent of one stitch fills up.
    let bumpy = ["aaaaaaa", "aaabaaa", "bbbbbbb", "bbbbbbb", "bbbabbb"];
    assert_eq!(smooth(&bumpy, None), ["aaaaaaa", "aaaaaaa", "bbbbbbb", "bbbbbbb", "bbbbbbb"]);
    assert_eq!(
        smooth(&bumpy, Some(region(0, 2, 7, 3))),
        ["aaaaaaa", "aaaaaaa", "bbbbbbb", "bbbbbbb", "bbbabbb"]
    );
    // A whisker, a ring, a cross, a line that leaves a block: all one stitch wide.
    for thin in [
        ["aaaaaa", "abbbba", "aaaaaa", "aaaaaa", "aaaaaa"],
        ["aabbaa", "abaaba", "abaaba", "abaaba", "aabbaa"],
        ["aabaaa", "aabaaa", "bbbbba", "aabaaa", "aabaaa"],
        ["aaaaab", "aaaaba", "aaabaa", "bbbaaa", "bbbaaa"],
    ] {
        assert_eq!(smooth(&thin, None), thin);
    }
    // A single stitch is no line.
    assert_eq!(smooth(&["aaaaaa", "aabaaa", "aaaaaa", "aaaaaa", "aaaaaa"], None), PLAIN);
    // Three yarns, none with more than half: nothing to follow.
    assert_eq!(smooth(&["aab", "cab", "ccb"], None), ["aab", "cab", "ccb"]);
}

#[test]
fn parts_move_and_are_copied() {
    let rows = ["aaaa", "aaaa", "bcaa", "bbaa"];
    let part = region(0, 0, 2, 2);
    let moved = |to| shown(&rows, &Edit::Move { region: part, to, yarn: 2 });
    assert_eq!(moved((2, 2)), ["aabc", "aabb", "ccaa", "ccaa"]);
    assert_eq!(moved((1, 1)), ["aaaa", "abca", "cbba", "ccaa"]);
    assert_eq!(moved((-1, 3)), ["baaa", "aaaa", "ccaa", "ccaa"]);
    assert_eq!(moved((0, 0)), rows);
    let copied = |to| shown(&rows, &Edit::Copy { region: part, to });
    assert_eq!(copied((1, 1)), ["aaaa", "abca", "bbba", "bbaa"]);
    assert_eq!(copied((3, -1)), ["aaaa", "aaaa", "bcaa", "bbab"]);
    for to in [(4, 0), (-2, 0), (0, i64::MAX), (i64::MIN, 0)] {
        assert_eq!(apply(&drawn(&rows), &Edit::Copy { region: part, to }), Err(EditError::AllOutside));
    }
}

#[test]
fn parts_are_mirrored_and_repeated() {
    let rows = ["abca", "bbaa", "acaa"];
    let mirror = |region, way| shown(&rows, &Edit::Mirror { region, way });
    assert_eq!(mirror(None, Mirrored::Sideways), ["acba", "aabb", "aaca"]);
    assert_eq!(mirror(None, Mirrored::UpsideDown), ["acaa", "bbaa", "abca"]);
    assert_eq!(mirror(Some(region(1, 1, 2, 2)), Mirrored::Sideways), ["acba", "baba", "acaa"]);
    assert_eq!(mirror(Some(region(0, 0, 1, 2)), Mirrored::UpsideDown), ["abca", "abaa", "bcaa"]);

    let tile = ["aaaaaa", "aaaaaa", "aaaaaa", "abcaaa", "abaaaa"];
    let repeat = |offset| shown(&tile, &Edit::Repeat { region: region(1, 0, 2, 2), offset });
    assert_eq!(repeat(Offset::None), ["ababab", "cbcbcb", "ababab", "cbcbcb", "ababab"]);
    // Each column of copies to the right lies one row lower: half of two.
    assert_eq!(repeat(Offset::Drop(1)), ["cbabcb", "abcbab", "cbabcb", "abcbab", "cbabcb"]);
    assert_eq!(repeat(Offset::Drop(usize::MAX)), repeat(Offset::Drop(1)));
    assert_eq!(repeat(Offset::Shift(1)), ["ababab", "bcbcbc", "bababa", "cbcbcb", "ababab"]);
    let drop = Edit::Repeat { region: region(0, 0, 1, 3), offset: Offset::Drop(1) };
    assert_eq!(shown(&["ca", "ba", "aa"], &drop), ["ca", "bc", "ab"]);
    let shift = Edit::Repeat { region: region(0, 0, 3, 1), offset: Offset::Shift(1) };
    assert_eq!(shown(&["aaa", "abc"], &shift), ["cab", "abc"]);
}

#[test]
fn rows_and_columns_come_and_go() {
    let rows = ["abc", "bca"];
    let insert_rows = |at, count, yarn| shown(&rows, &Edit::InsertRows { at, count, yarn });
    assert_eq!(insert_rows(1, 2, Some(0)), ["abc", "aaa", "aaa", "bca"]);
    assert_eq!(insert_rows(1, 1, None), ["abc", "bca", "bca"]);
    assert_eq!(insert_rows(0, 1, None), ["abc", "bca", "bca"]);
    assert_eq!(insert_rows(2, 1, None), ["abc", "abc", "bca"]);
    let insert_columns = |at, count, yarn| shown(&rows, &Edit::InsertColumns { at, count, yarn });
    assert_eq!(insert_columns(1, 2, Some(2)), ["accbc", "bccca"]);
    assert_eq!(insert_columns(3, 1, None), ["abcc", "bcaa"]);
    assert_eq!(insert_columns(0, 0, None), rows);
    assert_eq!(shown(&rows, &Edit::DeleteRows { at: 0, count: 1 }), ["abc"]);
    assert_eq!(shown(&rows, &Edit::DeleteColumns { at: 1, count: 2 }), ["a", "b"]);
    let done = apply(&drawn(&rows), &Edit::DeleteColumns { at: 0, count: 1 }).unwrap();
    assert_eq!(done.stitches(), Stitches { changed: 0, added: 0, removed: 2 });
}

#[test]
fn charts_grow_and_shrink() {
    let rows = ["abc", "bca"];
    let resize = |left, right, bottom, top| shown(&rows, &Edit::Resize { left, right, bottom, top, yarn: 2 });
    assert_eq!(resize(1, 0, 0, 1), ["cccc", "cabc", "cbca"]);
    assert_eq!(resize(-1, 0, -1, 0), ["bc"]);
    assert_eq!(resize(-2, 2, 0, 0), ["ccc", "acc"]);
    let done = |left, right| {
        apply(&drawn(&rows), &Edit::Resize { left, right, bottom: 0, top: 0, yarn: 2 }).unwrap()
    };
    assert_eq!(done(-1, 3).stitches(), Stitches { changed: 0, added: 6, removed: 2 });
    assert!(matches!(done(-2, 2), Done::Cells(changed) if changed.len() == 4), "{:?}", done(-2, 2));
    assert_eq!(shown(&["ab"], &Edit::Enlarge { by: 2 }), ["aabb", "aabb"]);
    let frame =
        |place| shown(&["abba", "abca", "abba"], &Edit::Frame { stitches: 1, rows: 1, yarn: 2, place });
    assert_eq!(frame(FramePlace::Over), ["cccc", "cbcc", "cccc"]);
    assert_eq!(frame(FramePlace::Round), ["cccccc", "cabbac", "cabcac", "cabbac", "cccccc"]);
    let wide = Edit::Frame { stitches: 2, rows: 1, yarn: 2, place: FramePlace::Round };
    assert_eq!(shown(&["a"], &wide), ["ccccc", "ccacc", "ccccc"]);
}

#[test]
fn charts_are_cropped_to_shapes() {
    let crop = |shape, region| {
        letters(&after(&drawn(&["aaaaaaa"; 6]), &Edit::CropToShape { shape, region, yarn: 1 }).unwrap())
    };
    assert_eq!(
        crop(Shape::RoundedRectangle { radius: 2 }, None),
        ["baaaaab", "aaaaaaa", "aaaaaaa", "aaaaaaa", "aaaaaaa", "baaaaab"]
    );
    assert_eq!(crop(Shape::RoundedRectangle { radius: 0 }, None), ["aaaaaaa"; 6]);
    assert_eq!(
        crop(Shape::RoundedRectangle { radius: usize::MAX }, Some(region(0, 0, 2, 2))),
        ["bbbbbbb", "bbbbbbb", "bbbbbbb", "bbbbbbb", "aabbbbb", "aabbbbb"]
    );
    assert_eq!(
        crop(Shape::Ellipse, Some(region(1, 0, 5, 5))),
        ["bbbbbbb", "bbaaabb", "baaaaab", "baaaaab", "baaaaab", "bbaaabb"]
    );
    let heart = after(
        &drawn(&["aaaaaaaaaaa"; 10]),
        &Edit::CropToShape { shape: Shape::Heart, region: None, yarn: 1 },
    )
    .unwrap();
    // As it came out and was found to be one.
    let picture = [
        "baaabbbaaab",
        "aaaaabaaaaa",
        "aaaaabaaaaa",
        "aaaaaaaaaaa",
        "aaaaaaaaaaa",
        "baaaaaaaaab",
        "baaaaaaaaab",
        "bbaaaaaaabb",
        "bbbaaaaabbb",
        "bbbbbabbbbb",
    ];
    assert_eq!(letters(&heart), picture);
}

#[test]
fn backgrounds_become_one_yarn() {
    let background =
        |rows: &[&str], tolerance, yarn, like| shown(rows, &Edit::Background { yarn, tolerance, like });
    // The a inside the ring of b is not reached, b touches the edge but looks otherwise.
    let rows = ["aaaaab", "abbbaa", "ababaa", "abbbaa", "aaaaaa"];
    assert_eq!(background(&rows, 0.0, Some(2), None), ["cccccb", "cbbbcc", "cbabcc", "cbbbcc", "cccccc"]);
    assert_eq!(background(&rows, 100.0, None, None), PLAIN);
    assert_eq!(background(&rows, 0.0, Some(2), Some(1)), ["aaaaac", "abbbaa", "ababaa", "abbbaa", "aaaaaa"]);
    // Equal colours are two yarns, and look alike.
    let mut twins = yarns(3);
    twins[1].colour = twins[0].colour;
    let chart = drawn(&["abc", "cba", "aab"]);
    let palette = model::Palette::new(twins).unwrap();
    let chart = model::Chart::new(palette, 3, 3, &common::cells(&chart)).unwrap();
    let edit = Edit::Background { yarn: None, tolerance: 0.0, like: None };
    assert_eq!(letters(&after(&chart, &edit).unwrap()), ["aac", "caa", "aaa"]);
}

#[test]
fn what_is_not_there_or_too_much_is_refused() {
    let chart = drawn(&["ab", "bc"]);
    let refused = |edit: Edit, error: EditError, place: &str| {
        assert_eq!(apply(&chart, &edit), Err(error.clone()), "{edit:?}");
        assert_eq!(error.place(), place);
        assert!(!error.hint().is_empty() && !error.to_string().is_empty());
    };
    let no_yarn = |field| EditError::NoSuchYarn { field, entry: 3, yarns: 3 };
    refused(
        Edit::Stitch { cells: vec![0, 4], yarn: 0, stroke: None },
        EditError::NoSuchCell { cell: 4, stitches: 4 },
        "the chart",
    );
    refused(Edit::Stitch { cells: vec![], yarn: 3, stroke: None }, no_yarn("yarn"), "yarn");
    refused(Edit::Exchange { one: 0, other: 3, region: None }, no_yarn("other"), "other");
    refused(Edit::DropYarn { index: 1, instead: Some(3) }, no_yarn("instead"), "instead");
    let line = |to, width| Edit::Line { from: (0, 0), to, yarn: 0, width };
    let missing = EditError::NoSuchPlace { column: 2, row: 0, columns: 2, rows: 2 };
    refused(line((2, 0), 1), missing, "the chart");
    refused(line((1, 0), 0), EditError::Width { field: "width", width: 0 }, "width");
    refused(line((1, 0), 51), EditError::Width { field: "width", width: 51 }, "width");
    let ellipse = |region, outline| Edit::Ellipse { region, outline, yarn: 0 };
    let whole = region(0, 0, 2, 2);
    refused(ellipse(whole, Some(0)), EditError::Width { field: "outline", width: 0 }, "outline");
    refused(ellipse(region(0, 0, 0, 1), None), EditError::EmptyRegion, "region");
    for outside in
        [region(1, 0, 2, 1), region(0, 3, 1, 1), region(usize::MAX, 0, 2, 1), region(0, 0, 1, usize::MAX)]
    {
        let error = EditError::RegionOutside { region: outside, columns: 2, rows: 2 };
        refused(ellipse(outside, None), error, "region");
    }
    let row = EditError::NoSuchLine { line: "row", at: 2, lines: 2 };
    refused(Edit::Replace { from: 0, to: 1, within: Within::Row(2) }, row.clone(), "row");
    refused(Edit::DeleteRows { at: 2, count: 0 }, row.clone(), "row");
    refused(Edit::DeleteRows { at: 1, count: 2 }, row, "row");
    refused(Edit::DeleteColumns { at: 0, count: 2 }, EditError::NothingLeft, "the size");
    let column = EditError::NoSuchLine { line: "column", at: 3, lines: 2 };
    refused(Edit::InsertColumns { at: 3, count: 1, yarn: None }, column, "column");
    for count in [MAX_SIDE - 1, usize::MAX] {
        refused(Edit::InsertRows { at: 0, count, yarn: None }, EditError::TooLarge, "the size");
        let frame = Edit::Frame { stitches: count, rows: 0, yarn: 0, place: FramePlace::Round };
        refused(frame, EditError::TooLarge, "the size");
    }
    let resize = |left, right| Edit::Resize { left, right, bottom: 0, top: 0, yarn: 0 };
    refused(resize(-1, -1), EditError::NothingLeft, "the size");
    refused(resize(-2, 5), EditError::NothingLeft, "the size");
    refused(resize(i64::MIN, i64::MAX), EditError::NothingLeft, "the size");
    refused(resize(i64::MAX, i64::MAX), EditError::TooLarge, "the size");
    refused(Edit::Enlarge { by: 0 }, EditError::Factor(0), "by");
    refused(Edit::Enlarge { by: 101 }, EditError::Factor(101), "by");
    refused(Edit::Clean { below: 1, region: None }, EditError::Stray(1), "below");
    refused(Edit::Clean { below: 1001, region: None }, EditError::Stray(1001), "below");
    for tolerance in [-0.1, 100.1, f64::INFINITY] {
        let edit = Edit::Background { yarn: None, tolerance, like: None };
        refused(edit, EditError::Tolerance(tolerance), "tolerance");
    }
    let edit = Edit::Background { yarn: None, tolerance: f64::NAN, like: None };
    assert!(matches!(apply(&chart, &edit), Err(EditError::Tolerance(_))));
}
