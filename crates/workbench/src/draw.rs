//! Which cells a stroke, a line or a flood changes.

use std::collections::BTreeSet;

use model::{Chart, RowIndex};

use crate::Failure;

/// The widest line, in cells.
const MAX_WIDTH: usize = 50;

/// A column and a row, both from 0, the row from the bottom.
type Place = (usize, usize);

pub(crate) fn entry(chart: &Chart, yarn: usize) -> Result<u8, Failure> {
    match chart.palette().index(yarn) {
        Some(index) => Ok(index.as_u8()),
        None => Err(Failure::bad(
            format!("the palette has no yarn {yarn}, it has {} from 0", chart.palette().len()),
            "yarn",
            "",
        )),
    }
}

fn inside(chart: &Chart, (column, row): Place) -> Result<(), Failure> {
    if column < chart.columns() && row < chart.rows() {
        return Ok(());
    }
    Err(Failure::bad(
        format!(
            "there is no cell in column {column}, row {row}: the chart has {} by {} from 0",
            chart.columns(),
            chart.rows()
        ),
        "the chart",
        "",
    ))
}

fn cell(chart: &Chart, (column, row): Place) -> u8 {
    chart.row(RowIndex(row))[column].as_u8()
}

/// The cells of a stroke that are not of that yarn yet, in order, once each.
pub(crate) fn stroke(chart: &Chart, cells: &[usize]) -> Result<BTreeSet<usize>, Failure> {
    if let Some(at) = cells.iter().find(|at| **at >= chart.stitches()) {
        let what = format!("there is no cell {at}, the chart has {} from 0", chart.stitches());
        return Err(Failure::bad(what, "the chart", ""));
    }
    Ok(cells.iter().copied().collect())
}

/// The cells of a straight line, so many across; what lies outside the chart is left out.
///
/// Source: the integer line of Bresenham, "Algorithm for computer control of a digital plotter",
/// IBM Systems Journal 4(1), 1965 (from memory), in its form with one running error.
pub(crate) fn line(chart: &Chart, from: Place, to: Place, width: usize) -> Result<BTreeSet<usize>, Failure> {
    inside(chart, from)?;
    inside(chart, to)?;
    if !(1..=MAX_WIDTH).contains(&width) {
        return Err(Failure::bad(format!("a line is 1 to {MAX_WIDTH} cells wide, not {width}"), "width", ""));
    }
    let signed = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
    let ((mut x, mut y), (to_x, to_y)) = ((signed(from.0), signed(from.1)), (signed(to.0), signed(to.1)));
    let (dx, dy) = ((to_x - x).abs(), -(to_y - y).abs());
    let (step_x, step_y) = ((to_x - x).signum(), (to_y - y).signum());
    let mut error = dx + dy;
    let mut cells = BTreeSet::new();
    loop {
        stamp(chart, (x, y), width, &mut cells);
        if (x, y) == (to_x, to_y) {
            return Ok(cells);
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

/// A square of cells around one; of an even width there is one more below and to the left.
fn stamp(chart: &Chart, (x, y): (i64, i64), width: usize, cells: &mut BTreeSet<usize>) {
    let within = |at: i64, side: usize| usize::try_from(at).ok().filter(|at| *at < side);
    let reach = i64::try_from(width).expect("at most MAX_WIDTH");
    let (left, bottom) = (x - reach / 2, y - reach / 2);
    for row in (bottom..bottom + reach).filter_map(|at| within(at, chart.rows())) {
        for column in (left..left + reach).filter_map(|at| within(at, chart.columns())) {
            cells.insert(row * chart.columns() + column);
        }
    }
}

/// The cells of one colour that hang together with a cell by their sides.
pub(crate) fn flood(chart: &Chart, at: Place) -> Result<BTreeSet<usize>, Failure> {
    inside(chart, at)?;
    let colour = cell(chart, at);
    let (columns, rows) = (chart.columns(), chart.rows());
    let mut seen = vec![false; chart.stitches()];
    let mut open = vec![at];
    seen[at.1 * columns + at.0] = true;
    let mut cells = BTreeSet::new();
    while let Some((column, row)) = open.pop() {
        cells.insert(row * columns + column);
        let beside = [
            (column > 0).then(|| (column - 1, row)),
            (column + 1 < columns).then_some((column + 1, row)),
            (row > 0).then(|| (column, row - 1)),
            (row + 1 < rows).then_some((column, row + 1)),
        ];
        for next in beside.into_iter().flatten() {
            let place = next.1 * columns + next.0;
            if !seen[place] && cell(chart, next) == colour {
                seen[place] = true;
                open.push(next);
            }
        }
    }
    Ok(cells)
}

/// All cells of a palette entry.
pub(crate) fn all_of(chart: &Chart, entry: u8) -> BTreeSet<usize> {
    let cells = chart.row_indices().flat_map(|row| chart.row(row)).enumerate();
    cells.filter(|(_, cell)| cell.as_u8() == entry).map(|(at, _)| at).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Palette, Srgb, Yarn};

    /// A chart in letters, the top row first, as a person sees it.
    fn chart(rows: &[&str]) -> Chart {
        let yarn = |key: &str| Yarn::plain(key, key, Srgb::new(0, 0, 0));
        let cells: Vec<u8> = rows.iter().rev().flat_map(|row| row.bytes().map(|b| b - b'a')).collect();
        let palette = Palette::new(vec![yarn("a"), yarn("b"), yarn("c")]).unwrap();
        Chart::new(palette, rows.len(), rows[0].len(), &cells).unwrap()
    }

    fn shown(chart: &Chart, cells: &BTreeSet<usize>) -> Vec<String> {
        let columns = chart.columns();
        let mark = |at| if cells.contains(&at) { '#' } else { '.' };
        (0..chart.rows())
            .rev()
            .map(|row| (0..columns).map(|column| mark(row * columns + column)).collect())
            .collect()
    }

    #[test]
    fn a_line_goes_from_end_to_end() {
        let chart = chart(&["aaaaa", "aaaaa", "aaaaa"]);
        let line = |from, to, width| shown(&chart, &line(&chart, from, to, width).unwrap());
        assert_eq!(line((1, 1), (1, 1), 1), [".....", ".#...", "....."]);
        assert_eq!(line((0, 0), (2, 2), 1), ["..#..", ".#...", "#...."]);
        assert_eq!(line((4, 2), (4, 0), 1), ["....#"; 3]);
        assert_eq!(line((0, 0), (4, 0), 3), [".....", "#####", "#####"]);
        assert_eq!(line((1, 1), (1, 1), 2), [".....", "##...", "##..."]);
    }

    #[test]
    fn a_flood_stops_at_other_colours_and_goes_by_sides() {
        let chart = chart(&["aabaa", "abaca", "bacca"]);
        let flood = |at| shown(&chart, &flood(&chart, at).unwrap());
        assert_eq!(flood((0, 2)), ["##...", "#....", "....."]);
        assert_eq!(flood((4, 0)), ["...##", "....#", "....#"]);
        assert_eq!(flood((2, 1)), [".....", "..#..", "....."]);
        assert_eq!(flood((1, 0)), [".....", ".....", ".#..."]);
    }

    #[test]
    fn what_is_not_there_is_refused() {
        let chart = chart(&["ab"]);
        assert!(stroke(&chart, &[0, 2]).is_err() && stroke(&chart, &[1, 0, 1]).unwrap().len() == 2);
        assert!(line(&chart, (0, 0), (2, 0), 1).is_err() && line(&chart, (0, 0), (1, 0), 0).is_err());
        assert!(flood(&chart, (0, 1)).is_err());
        assert_eq!(entry(&chart, 2), Ok(2));
        assert!(entry(&chart, 3).is_err());
        assert_eq!(all_of(&chart, 1).into_iter().collect::<Vec<_>>(), [1]);
    }
}
