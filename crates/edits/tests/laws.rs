//! What must hold of the operations on any chart: laws, and references written the plainest way.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use std::collections::{BTreeMap, BTreeSet};

use common::{after, area, areas, at, cells, of_yarn, yarns};
use edits::{Edit, EditError, FramePlace, Mirrored, Offset, Region, Shape, Within};
use model::{Chart, Palette, Yarn, delta_e_2000};
use proptest::prelude::*;

const YARNS: u8 = 4;

fn chart_of(columns: usize, rows: usize, cells: &[u8]) -> Chart {
    Chart::new(Palette::new(yarns(YARNS)).unwrap(), rows, columns, cells).unwrap()
}

/// Charts up to 12 × 10: of noise, or of blocks with some noise.
fn chart() -> impl Strategy<Value = Chart> {
    (1..13_usize, 1..11_usize, 1..4_usize).prop_flat_map(|(columns, rows, block)| {
        let noise = proptest::collection::vec((0..YARNS, 0..8_u8), columns * rows);
        (proptest::collection::vec(0..YARNS, 120), noise).prop_map(move |(blocks, noise)| {
            let cell = |(at, &(yarn, chance)): (usize, &(u8, u8))| {
                if block == 1 || chance == 0 {
                    yarn
                } else {
                    blocks[at % columns / block + 12 * (at / columns / block)]
                }
            };
            chart_of(columns, rows, &noise.iter().enumerate().map(cell).collect::<Vec<_>>())
        })
    })
}

/// A region of a chart, from four numbers of any size.
fn region_of(chart: &Chart, (a, b, c, d): (usize, usize, usize, usize)) -> Region {
    let (column, row) = (a % chart.columns(), b % chart.rows());
    let (columns, rows) = (1 + c % (chart.columns() - column), 1 + d % (chart.rows() - row));
    Region { column, row, columns, rows }
}

fn four() -> impl Strategy<Value = (usize, usize, usize, usize)> {
    (0..100_usize, 0..100_usize, 0..100_usize, 0..100_usize)
}

fn plain(columns: usize, rows: usize) -> Chart {
    chart_of(columns, rows, &vec![0; columns * rows])
}

/// What an edit with yarn 1 draws on a plain chart.
fn drawn(columns: usize, rows: usize, edit: &Edit) -> BTreeSet<(usize, usize)> {
    of_yarn(&after(&plain(columns, rows), edit).unwrap(), 1)
}

/// Whether cells hang together by corners; by sides where `corners` is `false`.
fn connected(columns: usize, rows: usize, set: &BTreeSet<(usize, usize)>, corners: bool) -> bool {
    let mut marks = vec![0; columns * rows];
    set.iter().for_each(|&(column, row)| marks[row * columns + column] = 1);
    set.first().is_none_or(|&first| area(&chart_of(columns, rows, &marks), first, corners) == *set)
}

fn mirrored(side: usize, set: &BTreeSet<(usize, usize)>) -> BTreeSet<(usize, usize)> {
    set.iter().map(|&(column, row)| (side - 1 - column, row)).collect()
}

fn upside_down(side: usize, set: &BTreeSet<(usize, usize)>) -> BTreeSet<(usize, usize)> {
    set.iter().map(|&(column, row)| (column, side - 1 - row)).collect()
}

fn counts(chart: &Chart) -> Vec<usize> {
    chart.stitches_by_yarn()
}

/// What any operation does to the cells outside a region: nothing.
fn same_outside(before: &Chart, after: &Chart, region: Region) -> bool {
    let places = (0..before.rows()).flat_map(|row| (0..before.columns()).map(move |column| (column, row)));
    places
        .filter(|&place| !region.holds(place))
        .all(|(column, row)| at(before, column, row) == at(after, column, row))
}

/// Cleaning by the plainest means: find all areas anew, give the smallest away, begin again.
fn cleaned_plainly(chart: &Chart, below: usize, region: Region) -> Chart {
    let mut chart = chart.clone();
    loop {
        let first = |area: &BTreeSet<(usize, usize)>| area.iter().map(|&(c, r)| (r, c)).min();
        let stray = areas(&chart)
            .into_iter()
            .filter(|area| area.len() < below && area.len() < chart.stitches())
            .filter(|area| area.iter().all(|&place| region.holds(place)))
            .min_by_key(|area| (area.len(), first(area)));
        let Some(stray) = stray else { return chart };
        let mut sides: BTreeMap<u8, usize> = BTreeMap::new();
        for &(column, row) in &stray {
            for (dx, dy) in [(-1, 0), (1, 0), (0, -1), (0, 1)] {
                let (Some(x), Some(y)) = (column.checked_add_signed(dx), row.checked_add_signed(dy)) else {
                    continue;
                };
                if x < chart.columns() && y < chart.rows() && !stray.contains(&(x, y)) {
                    *sides.entry(at(&chart, x, y)).or_default() += 1;
                }
            }
        }
        let most = *sides.values().max().unwrap();
        let yarn = *sides.iter().find(|(_, count)| **count == most).unwrap().0;
        let changes: Vec<_> = stray.iter().map(|&(c, r)| (r * chart.columns() + c, yarn)).collect();
        chart = chart.with_cells(&changes).unwrap();
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn a_line_is_connected_symmetric_and_has_its_ends(
        (columns, rows, a, b) in (1..30_usize, 1..30_usize).prop_flat_map(|(columns, rows)| {
            (Just(columns), Just(rows), (0..columns, 0..rows), (0..columns, 0..rows))
        }),
        half in 0..4_usize,
    ) {
        let width = 2 * half + 1;
        let line = |from, to, width| {
            drawn(columns, rows, &Edit::Line { from, to, yarn: 1, width })
        };
        let thin = line(a, b, 1);
        prop_assert!(thin.contains(&a) && thin.contains(&b));
        prop_assert_eq!(thin.len(), 1 + a.0.abs_diff(b.0).max(a.1.abs_diff(b.1)));
        prop_assert!(connected(columns, rows, &thin, true));
        // No cell is further from the true line than half a cell along the shorter way.
        let (dx, dy) = (b.0 as i64 - a.0 as i64, b.1 as i64 - a.1 as i64);
        for &(column, row) in &thin {
            let off = (column as i64 - a.0 as i64) * dy - (row as i64 - a.1 as i64) * dx;
            prop_assert!(2 * off.abs() <= dx.abs().max(dy.abs()));
        }
        let wide = line(a, b, width);
        prop_assert!(wide.is_superset(&thin) && connected(columns, rows, &wide, true));
        let flip = |place: (usize, usize)| (columns - 1 - place.0, place.1);
        prop_assert_eq!(line(flip(a), flip(b), width), mirrored(columns, &wide));
        let turn = |place: (usize, usize)| (place.0, rows - 1 - place.1);
        prop_assert_eq!(line(turn(a), turn(b), width), upside_down(rows, &wide));
    }

    #[test]
    fn shapes_are_connected_symmetric_and_reach_all_sides(
        columns in 1..40_usize, rows in 1..40_usize, width in 1..6_usize, ellipse in any::<bool>(),
    ) {
        let region = Region { column: 0, row: 0, columns, rows };
        let shape = |outline| {
            let edit = if ellipse {
                Edit::Ellipse { region, outline, yarn: 1 }
            } else {
                Edit::Rectangle { region, outline, yarn: 1 }
            };
            drawn(columns, rows, &edit)
        };
        let filled = shape(None);
        prop_assert!(connected(columns, rows, &filled, false));
        let outline = shape(Some(width));
        prop_assert!(outline.is_subset(&filled) && connected(columns, rows, &outline, true));
        for set in [&filled, &outline] {
            prop_assert_eq!(&mirrored(columns, set), set);
            prop_assert_eq!(&upside_down(rows, set), set);
            prop_assert!(set.iter().any(|place| place.0 == 0) && set.iter().any(|place| place.1 == 0));
        }
        // The outline keeps the inside in: nobody gets out of it by sides without crossing it.
        let inner: BTreeSet<_> = filled.difference(&outline).copied().collect();
        for (column, row) in inner {
            for (dx, dy) in [(-1, 0), (1, 0), (0, -1), (0, 1)] {
                let beside = (column.checked_add_signed(dx).unwrap(), row.checked_add_signed(dy).unwrap());
                prop_assert!(filled.contains(&beside));
            }
        }
        // A quarter turn of the box turns the shape.
        let turned = Region { column: 0, row: 0, columns: rows, rows: columns };
        let edit = if ellipse {
            Edit::Ellipse { region: turned, outline: Some(width), yarn: 1 }
        } else {
            Edit::Rectangle { region: turned, outline: Some(width), yarn: 1 }
        };
        let other: BTreeSet<_> = drawn(rows, columns, &edit).into_iter().map(|(c, r)| (r, c)).collect();
        prop_assert_eq!(other, outline);
    }

    #[test]
    fn cropping_keeps_one_connected_shape(
        chart in chart(), part in four(), radius in 0..8_usize, which in 0..3_usize,
    ) {
        let region = region_of(&chart, part);
        let shape = [Shape::Ellipse, Shape::Heart, Shape::RoundedRectangle { radius }][which];
        let (columns, rows) = (chart.columns(), chart.rows());
        // What is kept of a plain chart is the shape.
        let edit = Edit::CropToShape { shape, region: Some(region), yarn: 1 };
        let kept = of_yarn(&after(&plain(columns, rows), &edit).unwrap(), 0);
        prop_assert!(!kept.is_empty() && kept.iter().all(|&place| region.holds(place)));
        prop_assert!(connected(columns, rows, &kept, false));
        let flipped: BTreeSet<_> = kept
            .iter()
            .map(|&(column, row)| (2 * region.column + region.columns - 1 - column, row))
            .collect();
        prop_assert_eq!(&flipped, &kept);
        let cropped = after(&chart, &edit).unwrap();
        for place in (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row))) {
            let expected = if kept.contains(&place) { at(&chart, place.0, place.1) } else { 1 };
            prop_assert_eq!(at(&cropped, place.0, place.1), expected);
        }
        prop_assert_eq!(after(&cropped, &edit).unwrap(), cropped);
    }

    #[test]
    fn a_flood_is_the_area_found_breadth_first(chart in chart(), x in 0..100_usize, y in 0..100_usize) {
        let place = (x % chart.columns(), y % chart.rows());
        let own = at(&chart, place.0, place.1);
        let other = (own + 1) % YARNS;
        let flooded = after(&chart, &Edit::Flood { at: place, yarn: usize::from(other) }).unwrap();
        let changed: BTreeSet<_> = of_yarn(&flooded, other).difference(&of_yarn(&chart, other)).copied().collect();
        prop_assert_eq!(changed, area(&chart, place, false));
    }

    #[test]
    fn replacing_takes_all_and_exchanging_twice_is_nothing(
        chart in chart(), from in 0..YARNS, to in 0..YARNS, part in four(),
    ) {
        let (a, b) = (usize::from(from), usize::from(to));
        let replaced = after(&chart, &Edit::Replace { from: a, to: b, within: Within::Everywhere }).unwrap();
        let both: BTreeSet<_> = of_yarn(&chart, from).union(&of_yarn(&chart, to)).copied().collect();
        prop_assert_eq!(of_yarn(&replaced, to), both.clone());
        let region = region_of(&chart, part);
        let inside = after(&chart, &Edit::Replace { from: a, to: b, within: Within::Region(region) }).unwrap();
        prop_assert!(same_outside(&chart, &inside, region));
        if from != to {
            prop_assert!(of_yarn(&inside, from).iter().all(|&place| !region.holds(place)));
        }
        let row = Region { column: 0, row: region.row, columns: chart.columns(), rows: 1 };
        prop_assert_eq!(
            after(&chart, &Edit::Replace { from: a, to: b, within: Within::Row(region.row) }).unwrap(),
            after(&chart, &Edit::Replace { from: a, to: b, within: Within::Region(row) }).unwrap()
        );
        for region in [None, Some(region)] {
            let exchange = Edit::Exchange { one: a, other: b, region };
            let once = after(&chart, &exchange).unwrap();
            prop_assert_eq!(of_yarn(&once, from).union(&of_yarn(&once, to)).copied().collect::<BTreeSet<_>>(), both.clone());
            prop_assert_eq!(after(&once, &exchange).unwrap(), chart.clone());
        }
    }

    #[test]
    fn merging_loses_a_yarn_and_no_stitch(chart in chart(), from in 0..YARNS, to in 0..YARNS) {
        let merged = after(&chart, &Edit::Merge { from: from.into(), to: to.into() });
        if from == to {
            prop_assert_eq!(merged, Err(EditError::Itself));
            return Ok(());
        }
        let merged = merged.unwrap();
        let key = |chart: &Chart, at: usize| {
            let cell = chart.row(model::RowIndex(at / chart.columns()))[at % chart.columns()];
            chart.palette().yarn(cell).key.clone()
        };
        let keys: Vec<String> = yarns(YARNS).into_iter().map(|yarn: Yarn| yarn.key).collect();
        prop_assert_eq!(merged.palette().len(), chart.palette().len() - 1);
        prop_assert!(merged.palette().by_key(&keys[usize::from(from)]).is_none());
        for place in 0..chart.stitches() {
            let old = key(&chart, place);
            let expected = if old == keys[usize::from(from)] { keys[usize::from(to)].clone() } else { old };
            prop_assert_eq!(key(&merged, place), expected);
        }
        let dropped = after(&chart, &Edit::DropYarn { index: from.into(), instead: Some(to.into()) });
        prop_assert_eq!(dropped.unwrap(), merged);
    }

    #[test]
    fn cleaning_leaves_no_stray_and_does_as_the_plainest_way(
        chart in chart(), below in 2..12_usize, part in proptest::option::of(four()),
    ) {
        let region = part.map(|part| region_of(&chart, part));
        let cleaned = after(&chart, &Edit::Clean { below, region }).unwrap();
        let whole = Region { column: 0, row: 0, columns: chart.columns(), rows: chart.rows() };
        let within = region.unwrap_or(whole);
        prop_assert_eq!(&cleaned, &cleaned_plainly(&chart, below, within));
        prop_assert!(same_outside(&chart, &cleaned, within));
        let areas = areas(&cleaned);
        if areas.len() > 1 {
            let inside = |area: &BTreeSet<(usize, usize)>| area.iter().all(|&place| within.holds(place));
            prop_assert!(areas.iter().all(|area| area.len() >= below || !inside(area)));
        }
        prop_assert_eq!(after(&cleaned, &Edit::Clean { below, region }).unwrap(), cleaned);
    }

    #[test]
    fn smoothing_keeps_a_line_on_plain_ground_as_it_is(
        (columns, rows, a, b) in (1..25_usize, 1..25_usize).prop_flat_map(|(columns, rows)| {
            (Just(columns), Just(rows), (0..columns, 0..rows), (0..columns, 0..rows))
        }),
    ) {
        prop_assume!(a != b && columns > 2 && rows > 2);
        let line = after(&plain(columns, rows), &Edit::Line { from: a, to: b, yarn: 1, width: 1 }).unwrap();
        prop_assert_eq!(after(&line, &Edit::Smooth { region: None }).unwrap(), line);
    }

    #[test]
    fn smoothing_follows_what_there_is_more_of(chart in chart(), part in four()) {
        let region = region_of(&chart, part);
        let all = after(&chart, &Edit::Smooth { region: None }).unwrap();
        let inside = after(&chart, &Edit::Smooth { region: Some(region) }).unwrap();
        prop_assert!(same_outside(&chart, &inside, region));
        for (column, row) in (0..chart.rows()).flat_map(|row| (0..chart.columns()).map(move |column| (column, row))) {
            let new = at(&all, column, row);
            if region.holds((column, row)) {
                prop_assert_eq!(at(&inside, column, row), new);
            }
            if new == at(&chart, column, row) {
                continue;
            }
            let around: Vec<u8> = (row.saturating_sub(1)..chart.rows().min(row + 2))
                .flat_map(|y| (column.saturating_sub(1)..chart.columns().min(column + 2)).map(move |x| (x, y)))
                .map(|(x, y)| at(&chart, x, y))
                .collect();
let count = |yarn: u8| around.iter().filter(|cell| **cell == yarn).count();
            prop_assert!(count(new) > count(at(&chart, column, row)));
        }
    }

    #[test]
    fn moving_keeps_the_stitches_and_the_rest(
        chart in chart(), part in four(), to in (-12..13_i64, -12..13_i64), yarn in 0..YARNS,
    ) {
        let region = region_of(&chart, part);
        let source = |column: usize, row: usize| {
            let column = column as i64 - to.0 + region.column as i64;
            let row = row as i64 - to.1 + region.row as i64;
            let place = (usize::try_from(column).ok()?, usize::try_from(row).ok()?);
            region.holds(place).then_some(place)
        };
        let places: Vec<_> =
            (0..chart.rows()).flat_map(|row| (0..chart.columns()).map(move |column| (column, row))).collect();
        let moved = after(&chart, &Edit::Move { region, to, yarn: yarn.into() });
        let copied = after(&chart, &Edit::Copy { region, to });
        if places.iter().all(|&(column, row)| source(column, row).is_none()) {
            prop_assert_eq!(moved, Err(EditError::AllOutside));
            prop_assert_eq!(copied, Err(EditError::AllOutside));
            return Ok(());
        }
        let (moved, copied) = (moved.unwrap(), copied.unwrap());
        for (column, row) in places {
            let own = at(&chart, column, row);
            let (in_moved, in_copied) = match source(column, row) {
                Some((x, y)) => (at(&chart, x, y), at(&chart, x, y)),
                None if region.holds((column, row)) => (yarn, own),
                None => (own, own),
            };
            prop_assert_eq!((at(&moved, column, row), at(&copied, column, row)), (in_moved, in_copied));
        }
    }

    #[test]
    fn mirroring_twice_is_nothing_and_keeps_all_stitches(
        chart in chart(), part in proptest::option::of(four()), sideways in any::<bool>(),
    ) {
        let region = part.map(|part| region_of(&chart, part));
        let way = if sideways { Mirrored::Sideways } else { Mirrored::UpsideDown };
        let edit = Edit::Mirror { region, way };
        let once = after(&chart, &edit).unwrap();
        prop_assert_eq!(counts(&once), counts(&chart));
        if let Some(region) = region {
            prop_assert!(same_outside(&chart, &once, region));
        } else {
            let (column, row) = (chart.columns() - 1, chart.rows() - 1);
            let corner = if sideways { at(&once, column, 0) } else { at(&once, 0, row) };
            prop_assert_eq!(corner, at(&chart, 0, 0));
        }
        prop_assert_eq!(after(&once, &edit).unwrap(), chart);
    }

    #[test]
    fn repeats_repeat(chart in chart(), part in four(), by in 0..20_usize, which in 0..3_usize) {
        let region = region_of(&chart, part);
        let offset = [Offset::None, Offset::Drop(by), Offset::Shift(by)][which];
        let filled = after(&chart, &Edit::Repeat { region, offset }).unwrap();
        for (column, row) in (0..chart.rows()).flat_map(|row| (0..chart.columns()).map(move |column| (column, row))) {
            let here = at(&filled, column, row);
            if region.holds((column, row)) {
                prop_assert_eq!(here, at(&chart, column, row));
            }
            // One copy further right lies lower, one further up lies further right.
            let (drop, shift) = match offset {
                Offset::None => (0, 0),
                Offset::Drop(by) => (by % region.rows, 0),
                Offset::Shift(by) => (0, by % region.columns),
            };
            if column + region.columns < chart.columns() && row >= drop {
                prop_assert_eq!(at(&filled, column + region.columns, row - drop), here);
            }
            if row + region.rows < chart.rows() && column + shift < chart.columns() {
                prop_assert_eq!(at(&filled, column + shift, row + region.rows), here);
            }
        }
        prop_assert_eq!(after(&filled, &Edit::Repeat { region, offset }).unwrap(), filled);
    }

    #[test]
    fn inserting_then_deleting_is_nothing(
        chart in chart(), place in 0..100_usize, count in 1..6_usize, yarn in proptest::option::of(0..4_usize),
    ) {
        let at = place % (chart.rows() + 1);
        let more = after(&chart, &Edit::InsertRows { at, count, yarn }).unwrap();
        prop_assert_eq!(after(&more, &Edit::DeleteRows { at, count }).unwrap(), chart.clone());
        let at = place % (chart.columns() + 1);
        let more = after(&chart, &Edit::InsertColumns { at, count, yarn }).unwrap();
        prop_assert_eq!(after(&more, &Edit::DeleteColumns { at, count }).unwrap(), chart);
    }

    #[test]
    fn a_frame_cut_off_again_is_nothing(
        chart in chart(), stitches in 0..5_usize, rows in 0..5_usize, yarn in 0..4_usize,
    ) {
        let framed = after(&chart, &Edit::Frame { stitches, rows, yarn, place: FramePlace::Round }).unwrap();
        let off = |n: usize| -(n as i64);
        let (across, up) = (off(stitches), off(rows));
        let cut = Edit::Resize { left: across, right: across, bottom: up, top: up, yarn: 0 };
        prop_assert_eq!(after(&framed, &cut).unwrap(), chart.clone());
        let over = after(&chart, &Edit::Frame { stitches, rows, yarn, place: FramePlace::Over }).unwrap();
        let inner = after(&chart, &cut);
        let Ok(inner) = inner else {
            // The frame covers all.
            prop_assert!(counts(&over)[yarn] == chart.stitches());
            return Ok(());
        };
        let again = after(&inner, &Edit::Frame { stitches, rows, yarn, place: FramePlace::Round }).unwrap();
        prop_assert_eq!(over, again);
    }

    #[test]
    fn growing_then_cutting_is_nothing(
        chart in chart(), edges in (0..5_i64, 0..5_i64, 0..5_i64, 0..5_i64), yarn in 0..4_usize,
    ) {
        let (left, right, bottom, top) = edges;
        let grown = after(&chart, &Edit::Resize { left, right, bottom, top, yarn }).unwrap();
        prop_assert!(counts(&grown)[yarn] >= grown.stitches() - chart.stitches());
        let cut = Edit::Resize { left: -left, right: -right, bottom: -bottom, top: -top, yarn };
        prop_assert_eq!(after(&grown, &cut).unwrap(), chart);
    }

    #[test]
    fn enlarging_keeps_every_stitch_as_a_square(chart in chart(), by in 1..5_usize) {
        let large = after(&chart, &Edit::Enlarge { by }).unwrap();
        for (column, row) in (0..large.rows()).flat_map(|row| (0..large.columns()).map(move |column| (column, row))) {
            prop_assert_eq!(at(&large, column, row), at(&chart, column / by, row / by));
        }
        prop_assert_eq!(large.stitches(), chart.stitches() * by * by);
    }

    #[test]
    fn the_background_is_what_the_edge_reaches(
        chart in chart(), tolerance in 0.0..60.0_f64, yarn in 0..YARNS, like in proptest::option::of(0..YARNS),
    ) {
        let edit =
            Edit::Background { yarn: Some(yarn.into()), tolerance, like: like.map(usize::from) };
        let done = after(&chart, &edit).unwrap();
        let places: Vec<_> =
            (0..chart.rows()).flat_map(|row| (0..chart.columns()).map(move |column| (column, row))).collect();
        let on_edge = |&&(column, row): &&(usize, usize)| {
            column == 0 || row == 0 || column + 1 == chart.columns() || row + 1 == chart.rows()
        };
        let edge: Vec<_> = places.iter().filter(on_edge).copied().collect();
        let of_edge = |entry| edge.iter().filter(|place| at(&chart, place.0, place.1) == entry).count();
        let most = (0..YARNS).map(of_edge).max().unwrap();
        let like = like.unwrap_or_else(|| (0..YARNS).find(|&entry| of_edge(entry) == most).unwrap());
        let lab = |entry: u8| chart.palette().yarns()[usize::from(entry)].colour.lab();
        let alike = |entry: u8| entry == like || delta_e_2000(lab(like), lab(entry)) <= tolerance;
        // Marked by whether they look alike, the background is all areas with a mark at the edge.
        let marks: Vec<u8> = cells(&chart).into_iter().map(|cell| u8::from(alike(cell))).collect();
        let marks = chart_of(chart.columns(), chart.rows(), &marks);
        let mut reached = BTreeSet::new();
        for &place in &edge {
            if at(&marks, place.0, place.1) == 1 {
                reached.extend(area(&marks, place, false));
            }
        }
        for (column, row) in places {
            let expected = if reached.contains(&(column, row)) { yarn } else { at(&chart, column, row) };
            prop_assert_eq!(at(&done, column, row), expected);
        }
    }
}
