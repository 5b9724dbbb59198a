//! Parts of a chart put elsewhere, turned over, repeated.

use crate::draw::signed;
use crate::grid::Grid;
use crate::{EditError, Mirrored, Offset, Region};

/// Puts a region elsewhere; `left` is what stays in its place, itself where `None`.
pub(crate) fn put(
    grid: &mut Grid,
    region: Region,
    (to_column, to_row): (i64, i64),
    left: Option<u8>,
) -> Result<(), EditError> {
    // A side of the region: where in the chart each of its lines goes.
    let onto = |to: i64, count: usize, side: usize| -> Vec<Option<usize>> {
        let place = |at: usize| usize::try_from(to.checked_add(signed(at))?).ok();
        (0..count).map(|at| place(at).filter(|&at| at < side)).collect()
    };
    let columns = onto(to_column, region.columns, grid.columns);
    let rows = onto(to_row, region.rows, grid.rows);
    if columns.iter().flatten().next().is_none() || rows.iter().flatten().next().is_none() {
        return Err(EditError::AllOutside);
    }
    let part: Vec<u8> = region.places().map(|place| grid.get(place)).collect();
    if let Some(left) = left {
        region.places().for_each(|place| grid.set(place, left));
    }
    let targets = rows.iter().flat_map(|row| columns.iter().map(move |column| column.zip(*row)));
    for (target, cell) in targets.zip(part) {
        if let Some(place) = target {
            grid.set(place, cell);
        }
    }
    Ok(())
}

pub(crate) fn mirror(grid: &mut Grid, region: Region, way: Mirrored) {
    let before = grid.clone();
    for (column, row) in region.places() {
        let from = match way {
            Mirrored::Sideways => (2 * region.column + region.columns - 1 - column, row),
            Mirrored::UpsideDown => (column, 2 * region.row + region.rows - 1 - row),
        };
        grid.set((column, row), before.get(from));
    }
}

/// Fills the grid with copies of a region.
pub(crate) fn repeat(grid: &mut Grid, region: Region, offset: Offset) {
    let part: Vec<u8> = region.places().map(|place| grid.get(place)).collect();
    let (columns, rows) = (signed(region.columns), signed(region.rows));
    let (drop, shift) = match offset {
        Offset::None => (0, 0),
        Offset::Drop(drop) => (signed(drop % region.rows), 0),
        Offset::Shift(shift) => (0, signed(shift % region.columns)),
    };
    for at in 0..grid.cells.len() {
        let right = signed(at % grid.columns) - signed(region.column);
        let up = signed(at / grid.columns) - signed(region.row);
        // Which copy it is counts from the region itself.
        let column = (right - up.div_euclid(rows) * shift).rem_euclid(columns);
        let row = (up + right.div_euclid(columns) * drop).rem_euclid(rows);
        let from = usize::try_from(row * columns + column).expect("remainders are not below zero");
        grid.cells[at] = part[from];
    }
}
