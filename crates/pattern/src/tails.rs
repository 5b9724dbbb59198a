//! Where a tail lies.

use core::ops::Range;

use model::{Boundary, Chart, ColourIndex, Direction, RowIndex, Rules, Tail, TailLine};

/// The row in which a tail is worked over and the stitches that are worked over it, as stretches
/// counted from 0 in the direction of that row's work.
pub(crate) fn stretches(
    chart: &Chart,
    rules: &Rules,
    yarn: ColourIndex,
    row: RowIndex,
    at: Boundary,
    tail: Tail,
) -> (RowIndex, Vec<Range<u32>>) {
    let columns = u32::try_from(chart.columns()).unwrap_or(u32::MAX);
    let lies_in = match tail.line {
        TailLine::Onward | TailLine::Before => row,
        TailLine::NextRow => RowIndex(row.0 + 1),
    };
    if tail.over == 0 {
        return (lies_in, Vec::new());
    }
    let from = along(lies_in.direction(rules.hand), columns, at);
    let line = match tail.line {
        TailLine::Before => from.saturating_sub(rules.weights.tail)..from,
        TailLine::Onward | TailLine::NextRow => from..columns.min(from + rules.weights.tail),
    };
    let cells = chart.row(lies_in);
    let mut found: Vec<Range<u32>> = Vec::new();
    for stitch in line {
        let column = match lies_in.direction(rules.hand) {
            Direction::Rightwards => stitch,
            Direction::Leftwards => columns - 1 - stitch,
        };
        if rules.never.forbids(yarn, cells[column as usize]) {
            continue;
        }
        match found.last_mut() {
            Some(last) if last.end == stitch => last.end += 1,
            _ => found.push(stitch..stitch + 1),
        }
    }
    (lies_in, found)
}

/// How far along a row's work a boundary lies: 0 where the row starts.
pub(crate) const fn along(direction: Direction, columns: u32, at: Boundary) -> u32 {
    match direction {
        Direction::Rightwards => at.0,
        Direction::Leftwards => columns - at.0,
    }
}
