//! Random operations, a restart now and then: taking everything back gives the very blanket of the
//! beginning, doing everything again the very blanket of the end, and numbers are those of a plan
//! from scratch throughout.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use common::{blank, open, yarn};
use model::{Chart, Hand, Palette, Rules, Weights, YarnUse};
use proptest::prelude::*;
use workbench::{
    Blanket, BlanketId, Changed, Edit, FramePlace, Kind, Mirrored, Offset, Region, Shape, Within, Workbench,
};

const COLUMNS: usize = 9;
const ROWS: usize = 7;

#[derive(Clone, Debug)]
enum Deed {
    Edit(Edit),
    Rename(String),
    Back,
    Again,
    Restart,
}

fn place() -> impl Strategy<Value = (usize, usize)> {
    (0..COLUMNS, 0..ROWS)
}

/// Somewhere in the first chart, mostly: whether it lies in the one at hand shows then.
fn region() -> impl Strategy<Value = Region> {
    (0..COLUMNS, 0..ROWS, 1..5usize, 1..5usize).prop_map(|(column, row, columns, rows)| Region {
        column,
        row,
        columns,
        rows,
    })
}

/// Operations that leave the size as it is.
fn drawing() -> impl Strategy<Value = Edit> {
    let part = || proptest::option::of(region());
    let yarn = || 0..3usize;
    let outline = || proptest::option::of(1..3usize);
    let to = (-3..COLUMNS as i64, -3..ROWS as i64);
    prop_oneof![
        (region(), yarn(), outline()).prop_map(|(region, yarn, outline)| Edit::Rectangle {
            region,
            outline,
            yarn
        }),
        (region(), yarn(), outline()).prop_map(|(region, yarn, outline)| Edit::Ellipse {
            region,
            outline,
            yarn
        }),
        (yarn(), yarn(), 0..ROWS).prop_map(|(from, to, row)| Edit::Replace {
            from,
            to,
            within: Within::Row(row)
        }),
        (yarn(), yarn(), part()).prop_map(|(one, other, region)| Edit::Exchange { one, other, region }),
        (2..8usize, part()).prop_map(|(below, region)| Edit::Clean { below, region }),
        part().prop_map(|region| Edit::Smooth { region }),
        (region(), to.clone(), yarn()).prop_map(|(region, to, yarn)| Edit::Move { region, to, yarn }),
        (region(), to).prop_map(|(region, to)| Edit::Copy { region, to }),
        part().prop_map(|region| Edit::Mirror { region, way: Mirrored::Sideways }),
        (region(), 0..4usize).prop_map(|(region, by)| Edit::Repeat { region, offset: Offset::Drop(by) }),
        (part(), yarn()).prop_map(|(region, yarn)| Edit::CropToShape { shape: Shape::Heart, region, yarn }),
        (yarn(), 0.0..80.0f64).prop_map(|(yarn, tolerance)| Edit::Background {
            yarn: Some(yarn),
            tolerance,
            like: None
        }),
    ]
}

/// Operations that change the size, or take yarns away.
fn reshaping() -> impl Strategy<Value = Edit> {
    let yarn = || 0..3usize;
    let edge = || -2..3i64;
    prop_oneof![
        (0..ROWS, 1..3usize, proptest::option::of(yarn())).prop_map(|(at, count, yarn)| Edit::InsertRows {
            at,
            count,
            yarn
        }),
        (0..COLUMNS, 1..3usize).prop_map(|(at, count)| Edit::DeleteColumns { at, count }),
        (edge(), edge(), edge(), edge(), yarn())
            .prop_map(|(left, right, bottom, top, yarn)| { Edit::Resize { left, right, bottom, top, yarn } }),
        (0..2usize, 0..2usize, yarn()).prop_map(|(stitches, rows, yarn)| Edit::Frame {
            stitches,
            rows,
            yarn,
            place: FramePlace::Round
        }),
        (yarn(), yarn()).prop_map(|(from, to)| Edit::Merge { from, to }),
        (yarn(), proptest::option::of(yarn())).prop_map(|(index, instead)| Edit::DropYarn { index, instead }),
    ]
}

fn deed() -> impl Strategy<Value = Deed> {
    let stroke = proptest::option::of("[ab]");
    let cells = proptest::collection::vec(0..COLUMNS * ROWS, 1..6);
    prop_oneof![
        6 => (cells, 0..3usize, stroke)
            .prop_map(|(cells, yarn, stroke)| Deed::Edit(Edit::Stitch { cells, yarn, stroke })),
        2 => (place(), place(), 0..3usize, 1..4usize)
            .prop_map(|(from, to, yarn, width)| Deed::Edit(Edit::Line { from, to, yarn, width })),
        1 => (place(), 0..3usize).prop_map(|(at, yarn)| Deed::Edit(Edit::Flood { at, yarn })),
        1 => (0..3usize, 0..3usize).prop_map(|(from, to)| Deed::Edit(Edit::SwapColour { from, to })),
        1 => (0..1000u32, 0..0x100_0000u32)
            .prop_map(|(key, colour)| Deed::Edit(Edit::AddYarn(yarn(&format!("y{key}"), colour)))),
        1 => (0..3usize, 0..1000u32, 0..0x100_0000u32).prop_map(|(index, key, colour)| {
            Deed::Edit(Edit::ChangeYarn { index, yarn: yarn(&format!("z{key}"), colour) })
        }),
        6 => drawing().prop_map(Deed::Edit),
        3 => reshaping().prop_map(Deed::Edit),
        1 => "[a-z]{1,5}".prop_map(Deed::Rename),
        3 => Just(Deed::Back),
        2 => Just(Deed::Again),
        1 => Just(Deed::Restart),
    ]
}

/// What a person sees of a blanket, but for what goes on by itself.
fn seen(blanket: &Blanket) -> impl PartialEq + core::fmt::Debug + use<> {
    (blanket.name.clone(), blanket.cells.clone(), blanket.palette.clone(), blanket.columns, blanket.rows)
}

/// What was answered is what is there.
fn check_answer(before: &Blanket, changed: &Changed, after: &Blanket) {
    assert_eq!(changed.revision, after.revision);
    assert_eq!(changed.palette, after.palette);
    assert_eq!((&changed.can_take_back, &changed.can_do_again), (&after.can_take_back, &after.can_do_again));
    assert_eq!(changed.plan.ends, after.plan.ends);
    let signed = |n: usize| i64::try_from(n).unwrap();
    assert_eq!(changed.by.ends, signed(after.plan.ends) - signed(before.plan.ends));
    assert_eq!(changed.by.strands, signed(after.plan.strands) - signed(before.plan.strands));
    assert!((changed.by.hours - (after.plan.hours.total - before.plan.hours.total)).abs() < 1e-9);
    if !changed.reload {
        let mut cells = before.cells.clone();
        changed.cells.iter().for_each(|&(at, entry)| cells[at] = entry);
        assert_eq!(cells, after.cells);
    }
}

/// The cost of a plan from scratch.
fn check_numbers(blanket: &Blanket) {
    let palette = Palette::new(blanket.palette.iter().map(|entry| entry.yarn.clone()).collect()).unwrap();
    let chart = Chart::new(palette, blanket.rows, blanket.columns, &blanket.cells).unwrap();
    let rules = Rules::new(chart.palette(), Weights::default(), Hand::Right);
    let use_of = YarnUse::estimate(&blanket.gauge);
    let plan = planner::plan(&chart, &rules, use_of, &planner::unwatched).unwrap();
    assert!((plan.counts.cost.as_stitches() - blanket.plan.cost).abs() < 1e-9);
    assert_eq!(plan.counts.strands, blanket.plan.strands);
    assert_eq!(blanket.plan.ends, 2 * blanket.plan.strands);
}

/// Goes as far as it goes one way; answers how many steps that were.
fn all_the_way(bench: &Workbench, id: BlanketId, back: bool) -> usize {
    let mut steps = 0;
    loop {
        let before = bench.blanket(id).unwrap();
        let gone =
            if back { bench.take_back(id, before.revision) } else { bench.do_again(id, before.revision) };
        match gone {
            Ok(changed) => check_answer(&before, &changed, &bench.blanket(id).unwrap()),
            Err(failure) => {
                assert_eq!(failure.kind, Kind::NotFound);
                let none = if back { before.can_take_back } else { before.can_do_again };
                assert_eq!(none, None);
                return steps;
            }
        }
        steps += 1;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn everything_can_be_taken_back_and_done_again(
        deeds in proptest::collection::vec(deed(), 1..25), restart in any::<bool>(),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let mut bench = open(folder.path());
        let id = bench.blank(&blank("first", COLUMNS, ROWS)).unwrap();
        let first = seen(&bench.blanket(id).unwrap());
        for deed in deeds {
            let before = bench.blanket(id).unwrap();
            let answer = match deed {
                Deed::Edit(edit) => bench.edit(id, before.revision, &edit),
                Deed::Back => bench.take_back(id, before.revision),
                Deed::Again => bench.do_again(id, before.revision),
                Deed::Rename(name) => {
                    bench.rename(id, &name).unwrap();
                    continue;
                }
                Deed::Restart => {
                    drop(bench);
                    bench = open(folder.path());
                    prop_assert_eq!(seen(&bench.blanket(id).unwrap()), seen(&before));
                    continue;
                }
            };
            let after = bench.blanket(id).unwrap();
            match answer {
                Ok(changed) => check_answer(&before, &changed, &after),
                // A key may be taken, a place not be there by now, and nothing be there to take back.
                Err(failure) => {
                    prop_assert!(matches!(failure.kind, Kind::BadInput | Kind::NotFound), "{}", failure);
                    prop_assert_eq!(seen(&before), seen(&after));
                }
            }
            check_numbers(&after);
        }
        all_the_way(&bench, id, false);
        let last = seen(&bench.blanket(id).unwrap());
        if restart {
            drop(bench);
            bench = open(folder.path());
        }
        let steps = all_the_way(&bench, id, true);
        prop_assert_eq!(seen(&bench.blanket(id).unwrap()), first);
        if restart {
            drop(bench);
            bench = open(folder.path());
        }
        prop_assert_eq!(all_the_way(&bench, id, false), steps);
        prop_assert_eq!(seen(&bench.blanket(id).unwrap()), last);
    }
}
