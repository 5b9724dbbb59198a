//! Shapes that fill a region, cell by cell. A cell is judged by its centre, in whole numbers.

use crate::grid::Grid;
use crate::{Region, Shape};

/// How far the centre of a cell is from the middle of a side, in half cells.
fn off(at: usize, side: usize) -> u64 {
    (2 * at + 1).abs_diff(side) as u64
}

/// Whether a cell belongs to the ellipse in a box. Its middle column and row always do, two of an even
/// side, so that it reaches all four sides however slim it is.
pub(crate) fn ellipse(column: usize, row: usize, columns: usize, rows: usize) -> bool {
    let (x, y) = (off(column, columns), off(row, rows));
    let (a, b) = (columns as u64, rows as u64);
    x <= 1 || y <= 1 || (x * b).pow(2) + (y * a).pow(2) <= (a * b).pow(2)
}

/// Whether a cell belongs to the heart in a box: its upper third are two half ellipses side by side,
/// below them its sides come together in two parabolas. Invented.
fn heart(column: usize, row: usize, columns: usize, rows: usize) -> bool {
    let (x, w) = (off(column, columns), columns as u64);
    // In sixths of a cell: where the two parts meet, and the centre of this cell.
    let (waist, y) = (4 * rows as u64, 3 * (2 * row as u64 + 1));
    match waist.checked_sub(y) {
        // The row next below holds the halves together, however low the heart.
        Some(depth) if depth < 6 => true,
        Some(depth) => x * waist.pow(2) <= w * (waist.pow(2) - depth.pow(2)),
        None => {
            let high = 2 * rows as u64;
            ((2 * x).abs_diff(w) * high).pow(2) + ((y - waist) * w).pow(2) <= (w * high).pow(2)
        }
    }
}

/// Whether a cell belongs to the rectangle with round corners in a box.
fn rounded(column: usize, row: usize, columns: usize, rows: usize, radius: usize) -> bool {
    let radius = radius.min(columns / 2).min(rows / 2);
    // How far the centre is beyond that of the corner's circle, in half cells.
    let beyond = |at: usize, side: usize| (2 * radius).saturating_sub(2 * at.min(side - 1 - at) + 1) as u64;
    let (x, y) = (beyond(column, columns), beyond(row, rows));
    x == 0 || y == 0 || x.pow(2) + y.pow(2) <= (2 * radius as u64).pow(2)
}

/// Everything outside the shape that fills a region becomes one yarn.
pub(crate) fn crop(grid: &mut Grid, shape: Shape, region: Region, entry: u8) {
    let Region { columns, rows, .. } = region;
    let inside = |column, row| match shape {
        Shape::Ellipse => ellipse(column, row, columns, rows),
        Shape::Heart => heart(column, row, columns, rows),
        Shape::RoundedRectangle { radius } => rounded(column, row, columns, rows, radius),
    };
    for at in 0..grid.cells.len() {
        let (column, row) = (at % grid.columns, at / grid.columns);
        if !region.holds((column, row)) || !inside(column - region.column, row - region.row) {
            grid.cells[at] = entry;
        }
    }
}
