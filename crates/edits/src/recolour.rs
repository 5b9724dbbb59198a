//! One yarn in place of another.

use model::{Palette, delta_e_2000};

use crate::grid::Grid;
use crate::{EditError, Region};

pub(crate) fn replace(grid: &mut Grid, from: u8, to: u8, region: Region) {
    for place in region.places() {
        if grid.get(place) == from {
            grid.set(place, to);
        }
    }
}

pub(crate) fn exchange(grid: &mut Grid, one: u8, other: u8, region: Region) {
    for place in region.places() {
        let cell = grid.get(place);
        if cell == one {
            grid.set(place, other);
        } else if cell == other {
            grid.set(place, one);
        }
    }
}

/// What the edge reaches over yarns that look like the background's becomes one yarn.
pub(crate) fn background(
    grid: &mut Grid,
    palette: &Palette,
    becomes: Option<u8>,
    tolerance: f64,
    like: Option<u8>,
) -> Result<(), EditError> {
    if !(0.0..=100.0).contains(&tolerance) {
        return Err(EditError::Tolerance(tolerance));
    }
    let edge: Vec<usize> = (0..grid.cells.len())
        .filter(|at| {
            let (column, row) = (at % grid.columns, at / grid.columns);
            column == 0 || row == 0 || column + 1 == grid.columns || row + 1 == grid.rows
        })
        .collect();
    let like = like.unwrap_or_else(|| most(edge.iter().map(|&at| grid.cells[at])));
    let lab = |entry: usize| palette.yarns()[entry].colour.lab();
    let own = lab(usize::from(like));
    let alike: Vec<bool> =
        (0..palette.len()).map(|entry| delta_e_2000(own, lab(entry)) <= tolerance).collect();
    for at in grid.reached(edge, |cell| cell == like || alike[usize::from(cell)]) {
        grid.cells[at] = becomes.unwrap_or(like);
    }
    Ok(())
}

/// The entry that stands there most often, of equals the first.
fn most(cells: impl Iterator<Item = u8>) -> u8 {
    let mut counts = [0_usize; 256];
    cells.for_each(|cell| counts[usize::from(cell)] += 1);
    (0..=u8::MAX).rev().max_by_key(|&entry| counts[usize::from(entry)]).unwrap_or(0)
}
