//! Outlines made smooth without eating thin lines.

use crate::grid::Grid;
use crate::{Place, Region};

/// The eight cells round one, in order: columns and rows from it.
const ROUND: [(isize, isize); 8] = [(0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1)];

pub(crate) fn smooth(grid: &mut Grid, region: Region) {
    let before = grid.clone();
    let thin: Vec<bool> = (0..before.cells.len()).map(|at| thin(&before, at)).collect();
    for at in region.places().map(|place| before.at(place)) {
        if !thin[at]
            && let Some(entry) = majority(&before, &thin, at)
        {
            grid.cells[at] = entry;
        }
    }
}

/// The cells round one, in order, where they are.
fn round(grid: &Grid, at: usize) -> [Option<usize>; 8] {
    let (column, row): Place = (at % grid.columns, at / grid.columns);
    ROUND.map(|(right, up)| {
        let column = column.checked_add_signed(right).filter(|&column| column < grid.columns)?;
        let row = row.checked_add_signed(up).filter(|&row| row < grid.rows)?;
        Some(grid.at((column, row)))
    })
}

/// The yarn of more than half of a cell and those round it; thin lines of other yarns don't count.
fn majority(grid: &Grid, thin: &[bool], at: usize) -> Option<u8> {
    let own = grid.cells[at];
    let round = round(grid, at);
    let counted = || {
        let round = round.iter().flatten().filter(|&&at| grid.cells[at] == own || !thin[at]);
        round.chain([&at]).map(|&at| grid.cells[at])
    };
    counted().find(|&entry| 2 * counted().filter(|&other| other == entry).count() > counted().count())
}

/// Whether a cell is part of a line one stitch wide: one cell of its own yarn lies round it, or two to
/// four that fall apart into stretches. The chart's edge parts no stretch.
fn thin(grid: &Grid, at: usize) -> bool {
    let same: Vec<bool> =
        round(grid, at).into_iter().flatten().map(|other| grid.cells[other] == grid.cells[at]).collect();
    let stretches =
        (0..same.len()).filter(|&at| same[at] && !same[(at + same.len() - 1) % same.len()]).count();
    match same.iter().filter(|same| **same).count() {
        1 => true,
        2..=4 => stretches >= 2,
        _ => false,
    }
}
