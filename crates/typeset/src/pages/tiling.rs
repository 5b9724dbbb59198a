//! How a chart is cut into pieces, one for each page.

use core::ops::Range;

/// So many stitches and rows of the neighbouring pieces are shown again at each side.
pub(super) const AGAIN: usize = 2;
/// More pieces than that are no pattern that anybody prints.
pub(super) const MOST_PIECES: usize = 400;

/// Sizes of cells in hundredths of a millimetre.
#[derive(Clone, Copy)]
pub(super) struct Cells {
    /// The least width and the least height.
    pub(super) least: (u32, u32),
    /// The width or height, whichever is larger, that is not passed without need.
    pub(super) most: u32,
}

/// A chart cut into pieces.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Tiling {
    /// Width and height of a cell in hundredths of a millimetre.
    pub(super) cell: (u32, u32),
    /// The stitches of each piece in the order of row 1, counted from 0 where row 1 begins. No stitch
    /// is in two of them, none is left out.
    pub(super) across: Vec<Range<usize>>,
    /// The rows of each piece from the bottom, from 0.
    pub(super) up: Vec<Range<usize>>,
}

impl Tiling {
    /// Cuts a chart. `shape` is the height of a row over the width of a stitch, `room` the width and
    /// height in hundredths of a millimetre that a piece may take. The cells are as large as they can
    /// be on the fewest pages, or on a third more. `None` where it would be more than [`MOST_PIECES`].
    pub(super) fn new(
        (columns, rows): (usize, usize),
        shape: f64,
        room: (u32, u32),
        cells: Cells,
    ) -> Option<Self> {
        let high = |wide: u32| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // centimetres at most
            {
                (f64::from(wide) * shape).round() as u32
            }
        };
        let pieces = |wide: u32| {
            let across = count(columns, (room.0 / wide) as usize)?;
            let up = count(rows, (room.1 / high(wide)) as usize)?;
            across.checked_mul(up).filter(|&all| all <= MOST_PIECES)
        };
        // In steps of a tenth of a millimetre.
        let least = (cells.least.0..).step_by(10).find(|&wide| high(wide) >= cells.least.1)?;
        let fewest = pieces(least)?;
        let wide = (least..)
            .step_by(10)
            .take_while(|&wide| wide.max(high(wide)) <= cells.most)
            .filter(|&wide| pieces(wide).is_some_and(|all| all <= fewest + fewest / 3))
            .last()
            .unwrap_or(least);
        let high = high(wide);
        Some(Self {
            cell: (wide, high),
            across: cut(columns, (room.0 / wide) as usize)?,
            up: cut(rows, (room.1 / high) as usize)?,
        })
    }
}

/// What a piece shows: its own cells and those shown again at its sides.
pub(super) fn shown(own: &Range<usize>, all: usize) -> Range<usize> {
    own.start.saturating_sub(AGAIN)..(own.end + AGAIN).min(all)
}

/// How many pieces so many cells make where a page holds `room` of them, those shown again included.
fn count(cells: usize, room: usize) -> Option<usize> {
    if cells <= room {
        return Some(1);
    }
    // The first and the last have a neighbour at one side alone.
    let (end, middle) = (room.checked_sub(AGAIN)?, room.checked_sub(2 * AGAIN).filter(|&room| room > 0)?);
    Some(2 + cells.saturating_sub(2 * end).div_ceil(middle))
}

/// Pieces of much the same size, at whole tens where that makes no more of them.
fn cut(cells: usize, room: usize) -> Option<Vec<Range<usize>>> {
    let pieces = count(cells, room)?;
    let even = cells.div_ceil(pieces);
    let tens = even.next_multiple_of(10);
    let middle = if pieces == 1 { cells } else { room - 2 * AGAIN };
    let (first, step) = if tens <= middle && tens * (pieces - 1) < cells {
        (tens, tens)
    } else if even <= middle {
        (even, even)
    } else {
        // So full that the ends must take what the middle has no room for.
        (middle + AGAIN, middle)
    };
    let starts = (0..pieces).map(|piece| if piece == 0 { 0 } else { first + (piece - 1) * step });
    let mut ranges: Vec<Range<usize>> = starts.map(|start| start..(start + step).min(cells)).collect();
    ranges[0].end = first.min(cells);
    if let Some(last) = ranges.last_mut() {
        last.end = cells;
    }
    Some(ranges)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CELLS: Cells = Cells { least: (300, 270), most: 600 };

    /// Every cell in one piece and only one, none empty, and no piece larger than its page.
    #[test]
    fn pieces_cover_every_cell_once_and_fit_their_page() {
        for room in 5..40 {
            for cells in 1..300 {
                let pieces = cut(cells, room).unwrap();
                assert_eq!(pieces.len(), count(cells, room).unwrap());
                let mut next = 0;
                for piece in &pieces {
                    assert!(piece.start == next && piece.end > next, "{cells} {room} {pieces:?}");
                    next = piece.end;
                    assert!(shown(piece, cells).len() <= room, "{cells} {room} {pieces:?}");
                }
                assert_eq!(next, cells);
            }
        }
    }

    /// Checked by brute force: no way of cutting needs fewer pieces.
    #[test]
    fn no_fewer_pieces_would_do() {
        for room in 5..20 {
            for cells in room + 1..120 {
                let pieces = count(cells, room).unwrap();
                let holds = 2 * (room - AGAIN) + (pieces - 1).saturating_sub(2) * (room - 2 * AGAIN);
                assert!(pieces == 2 || holds < cells, "{cells} {room}");
            }
        }
    }

    fn pieces(tiling: &Tiling) -> usize {
        tiling.across.len() * tiling.up.len()
    }

    #[test]
    fn cells_grow_where_pages_allow_it() {
        let room = (16_700, 24_000);
        let tiny = Tiling::new((1, 1), 0.93, room, CELLS).unwrap();
        assert_eq!((tiny.cell, pieces(&tiny)), ((600, 558), 1));
        let small = Tiling::new((40, 40), 0.93, room, CELLS).unwrap();
        assert_eq!((small.cell, pieces(&small)), ((410, 381), 1));
        let large = Tiling::new((200, 250), 0.93, room, CELLS).unwrap();
        assert!(large.cell.0 >= 300 && pieces(&large) <= 20, "{large:?}");
        assert!(Tiling::new((10_000, 10_000), 0.93, room, CELLS).is_none());
    }

    /// Flat cells are widened until a symbol has room in their height.
    #[test]
    fn flat_cells_are_as_high_as_a_symbol_needs() {
        let flat = Tiling::new((300, 300), 1.0 / 3.0, (16_700, 24_000), CELLS).unwrap();
        assert!(flat.cell.1 >= 270 && flat.cell.0 >= 810, "{flat:?}");
    }
}
