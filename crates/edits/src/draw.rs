//! Lines, filled and outlined shapes, floods, frames over the edge.

use crate::grid::Grid;
use crate::{EditError, MAX_WIDTH, Place, Region};

fn width_of(field: &'static str, width: usize) -> Result<usize, EditError> {
    if (1..=MAX_WIDTH).contains(&width) { Ok(width) } else { Err(EditError::Width { field, width }) }
}

/// A straight line, so many across; what lies outside the chart is left out.
///
/// Source: the integer line of Bresenham, "Algorithm for computer control of a digital plotter",
/// IBM Systems Journal 4(1), 1965 (from memory), in its form with one running error.
pub(crate) fn line(
    grid: &mut Grid,
    from: Place,
    to: Place,
    width: usize,
    entry: u8,
) -> Result<(), EditError> {
    grid.checked(from)?;
    grid.checked(to)?;
    width_of("width", width)?;
    let ((mut x, mut y), (to_x, to_y)) = ((signed(from.0), signed(from.1)), (signed(to.0), signed(to.1)));
    let (dx, dy) = ((to_x - x).abs(), -(to_y - y).abs());
    let (step_x, step_y) = ((to_x - x).signum(), (to_y - y).signum());
    let mut error = dx + dy;
    loop {
        square(grid, (x, y), width, entry);
        if (x, y) == (to_x, to_y) {
            return Ok(());
        }
        let twice = 2 * error;
        if twice >= dy {
            error += dy;
            x += step_x;
        }
        if twice <= dx {
            error += dx;
            y += step_y;
        }
    }
}

/// A place or width of a chart, which has at most `MAX_SIDE` of either.
pub(crate) fn signed(n: usize) -> i64 {
    i64::try_from(n).expect("the sides of a chart are small")
}

/// A square of cells around one; of an even width there is one more below and to the left.
fn square(grid: &mut Grid, (x, y): (i64, i64), width: usize, entry: u8) {
    let within = |at: i64, side: usize| usize::try_from(at).ok().filter(|at| *at < side);
    let reach = signed(width);
    let (left, bottom) = (x - reach / 2, y - reach / 2);
    let (columns, rows) = (grid.columns, grid.rows);
    for row in (bottom..bottom + reach).filter_map(|at| within(at, rows)) {
        for column in (left..left + reach).filter_map(|at| within(at, columns)) {
            grid.set((column, row), entry);
        }
    }
}

/// A shape in a region, filled or outlined; `inside` tells of a column and a row of the region
/// whether the shape has that cell.
pub(crate) fn shape(
    grid: &mut Grid,
    region: Region,
    outline: Option<usize>,
    entry: u8,
    inside: impl Fn(usize, usize) -> bool,
) -> Result<(), EditError> {
    let outline = outline.map(|width| width_of("outline", width)).transpose()?;
    let depths = depths(region, inside);
    for ((column, row), depth) in region.places().zip(depths) {
        if depth > 0 && outline.is_none_or(|outline| usize::from(depth) <= outline) {
            grid.set((column, row), entry);
        }
    }
    Ok(())
}

/// How many steps by sides lead from each cell of a region out of a shape: 0 outside it, and never
/// above 255. Twice over the region, from below and back from above, finds the shortest.
fn depths(region: Region, inside: impl Fn(usize, usize) -> bool) -> Vec<u8> {
    let Region { columns, rows, .. } = region;
    let mut depths: Vec<u8> = Vec::with_capacity(columns * rows);
    for at in 0..columns * rows {
        let (column, row) = (at % columns, at / columns);
        let left = if column > 0 { depths[at - 1] } else { 0 };
        let below = if row > 0 { depths[at - columns] } else { 0 };
        depths.push(if inside(column, row) { left.min(below).saturating_add(1) } else { 0 });
    }
    for at in (0..columns * rows).rev() {
        let right = if at % columns + 1 < columns { depths[at + 1] } else { 0 };
        let above = if at / columns + 1 < rows { depths[at + columns] } else { 0 };
        depths[at] = depths[at].min(right.min(above).saturating_add(1));
    }
    depths
}

/// The area of one yarn around a cell.
pub(crate) fn flood(grid: &mut Grid, at: Place, entry: u8) -> Result<(), EditError> {
    let at = grid.checked(at)?;
    let yarn = grid.cells[at];
    for cell in grid.reached([at], |cell| cell == yarn) {
        grid.cells[cell] = entry;
    }
    Ok(())
}

/// A frame over the edge: so many stitches at each side, so many rows at bottom and top.
pub(crate) fn frame(grid: &mut Grid, stitches: usize, rows: usize, entry: u8) {
    let near = |at: usize, side: usize, wide: usize| at < wide || side - 1 - at < wide;
    for at in 0..grid.cells.len() {
        let (column, row) = (at % grid.columns, at / grid.columns);
        if near(column, grid.columns, stitches) || near(row, grid.rows, rows) {
            grid.cells[at] = entry;
        }
    }
}
