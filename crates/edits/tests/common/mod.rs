//! Charts in letters, and areas found the plain way.

#![allow(dead_code)] // each test file uses its part

use std::collections::{BTreeSet, VecDeque};

use edits::{Done, Edit, EditError, apply};
use model::{Chart, Palette, RowIndex, Srgb, Yarn};

/// Yarn `a`, `b`, … with greys far apart. Invented.
pub(crate) fn yarns(count: u8) -> Vec<Yarn> {
    (0..count)
        .map(|at| {
            let key = char::from(b'a' + at).to_string();
            Yarn::plain(key.clone(), key, Srgb::new(at * 36, at * 36, at * 36))
        })
        .collect()
}

/// A chart of so many yarns in letters, the top row first, as a person sees it.
pub(crate) fn drawn_of(count: u8, rows: &[&str]) -> Chart {
    let cells: Vec<u8> = rows.iter().rev().flat_map(|row| row.bytes().map(|b| b - b'a')).collect();
    Chart::new(Palette::new(yarns(count)).unwrap(), rows.len(), rows[0].len(), &cells).unwrap()
}

/// A chart of three yarns in letters.
pub(crate) fn drawn(rows: &[&str]) -> Chart {
    drawn_of(3, rows)
}

/// A chart in letters again.
pub(crate) fn letters(chart: &Chart) -> Vec<String> {
    let letter = |cell: &model::ColourIndex| char::from(b'a' + cell.as_u8());
    chart.row_indices().rev().map(|row| chart.row(row).iter().map(letter).collect()).collect()
}

pub(crate) fn cells(chart: &Chart) -> Vec<u8> {
    chart.row_indices().flat_map(|row| chart.row(row)).map(|cell| cell.as_u8()).collect()
}

/// The chart after an edit, and what was said about it checked against it.
pub(crate) fn after(chart: &Chart, edit: &Edit) -> Result<Chart, EditError> {
    let done = apply(chart, edit)?;
    let size = edits::size_after(chart, edit)?;
    let changed = done.stitches();
    let nothing = done.is_nothing();
    let after = match done {
        Done::Cells(changes) => {
            let old = cells(chart);
            assert!(changes.windows(2).all(|two| two[0].0 < two[1].0), "in order, each once");
            assert!(changes.iter().all(|&(at, entry)| old[at] != entry), "only what changes");
            chart.with_cells(&changes).unwrap()
        }
        Done::Palette(palette) => Chart::new(palette, chart.rows(), chart.columns(), &cells(chart)).unwrap(),
        Done::Chart { chart, .. } => chart,
    };
    assert_eq!(size, (after.columns(), after.rows()));
    assert_eq!(chart.stitches() + changed.added - changed.removed, after.stitches());
    assert_eq!(nothing, after == *chart);
    Ok(after)
}

/// What an edit makes of a chart, in letters.
pub(crate) fn shown(rows: &[&str], edit: &Edit) -> Vec<String> {
    letters(&after(&drawn(rows), edit).unwrap())
}

pub(crate) fn at(chart: &Chart, column: usize, row: usize) -> u8 {
    chart.row(RowIndex(row))[column].as_u8()
}

/// The cells of one yarn around a cell, breadth first: by sides, or by corners too.
pub(crate) fn area(chart: &Chart, start: (usize, usize), corners: bool) -> BTreeSet<(usize, usize)> {
    let yarn = at(chart, start.0, start.1);
    let mut found = BTreeSet::from([start]);
    let mut queue = VecDeque::from([start]);
    while let Some((column, row)) = queue.pop_front() {
        for (dx, dy) in [(-1, 0), (1, 0), (0, -1), (0, 1), (-1, -1), (-1, 1), (1, -1), (1, 1)] {
            if dx != 0 && dy != 0 && !corners {
                continue;
            }
            let (Some(x), Some(y)) = (column.checked_add_signed(dx), row.checked_add_signed(dy)) else {
                continue;
            };
            if x < chart.columns() && y < chart.rows() && at(chart, x, y) == yarn && found.insert((x, y)) {
                queue.push_back((x, y));
            }
        }
    }
    found
}

/// All areas of one yarn, by sides.
pub(crate) fn areas(chart: &Chart) -> Vec<BTreeSet<(usize, usize)>> {
    let mut seen = BTreeSet::new();
    let mut areas = Vec::new();
    for row in 0..chart.rows() {
        for column in 0..chart.columns() {
            if !seen.contains(&(column, row)) {
                let found = area(chart, (column, row), false);
                seen.extend(found.iter().copied());
                areas.push(found);
            }
        }
    }
    areas
}

/// The cells of an entry.
pub(crate) fn of_yarn(chart: &Chart, yarn: u8) -> BTreeSet<(usize, usize)> {
    let all = (0..chart.rows()).flat_map(|row| (0..chart.columns()).map(move |column| (column, row)));
    all.filter(|&(column, row)| at(chart, column, row) == yarn).collect()
}
