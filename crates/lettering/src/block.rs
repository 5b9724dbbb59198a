//! Blocks of cells.

use core::fmt;

use model::{MAX_SIDE, RowIndex};

use crate::{LetteringError, MAX_CELLS};

/// Cells, some inked, `columns` wide and `rows` high. Column 0 is at the left as the words are read,
/// row 0 at the *bottom*, as on a chart.
///
/// Its `Display` draws it with `#` for ink and `.` for ground, top row first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    columns: usize,
    /// Row by row from the bottom.
    ink: Vec<bool>,
}

impl Block {
    /// An empty block.
    ///
    /// # Errors
    /// When it has no cell or too many.
    pub(crate) fn blank(columns: usize, rows: usize) -> Result<Self, LetteringError> {
        let cells = columns.saturating_mul(rows);
        if columns > MAX_SIDE || rows > MAX_SIDE || cells > MAX_CELLS {
            return Err(LetteringError::TooLarge { columns, rows });
        }
        if cells == 0 {
            return Err(LetteringError::NoLetters);
        }
        Ok(Self { columns, ink: vec![false; cells] })
    }

    /// Stitches in a row.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// Number of rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.ink.len() / self.columns
    }

    /// Whether a cell is part of a letter; `column` counts from 0 at the left, `row` from the bottom.
    /// Cells outside the block are not.
    #[must_use]
    pub fn is_inked(&self, column: usize, row: RowIndex) -> bool {
        column < self.columns && row.0 < self.rows() && self.ink[row.0 * self.columns + column]
    }

    /// The inked cells as (column, row), row by row from the bottom, each from the left.
    pub fn inked(&self) -> impl Iterator<Item = (usize, RowIndex)> + '_ {
        let columns = self.columns;
        self.ink
            .iter()
            .enumerate()
            .filter(|(_, ink)| **ink)
            .map(move |(at, _)| (at % columns, RowIndex(at / columns)))
    }

    /// All cells as palette entries, in the order that [`model::Chart::new`] takes them.
    #[must_use]
    pub fn cells(&self, ink: u8, ground: u8) -> Vec<u8> {
        self.ink.iter().map(|&inked| if inked { ink } else { ground }).collect()
    }

    pub(crate) fn ink(&mut self, column: usize, row: usize) {
        self.ink[row * self.columns + column] = true;
    }

    /// The same letters with `margin` empty stitches and rows on every side, so that cell (0, 0) of
    /// this block is cell (`margin`, `margin`) of the other.
    ///
    /// # Errors
    /// When the block grows too large.
    pub fn padded(&self, margin: usize) -> Result<Self, LetteringError> {
        let add = |side: usize| side.saturating_add(margin.saturating_mul(2));
        let mut block = Self::blank(add(self.columns), add(self.rows()))?;
        for (column, row) in self.inked() {
            block.ink(column + margin, row.0 + margin);
        }
        Ok(block)
    }

    /// The letters grown by `n` stitches and rows all round, in a block larger by `n` on every side:
    /// a ground in a second colour on which words on a picture can be read. Corners are rounded. Lay
    /// this first and the letters over it, `n` to the right and up; or see [`Block::halo`].
    ///
    /// # Errors
    /// When the block grows too large.
    pub fn grown(&self, n: usize) -> Result<Self, LetteringError> {
        let mut block = self.padded(n)?;
        // In every row the distance to ink `d` rows away may be `reach[d]` columns.
        let reach: Vec<usize> =
            (0..=n).map(|d| (0..=n).rev().find(|c| c * c + d * d <= n * n + n).unwrap_or(0)).collect();
        for row in 0..self.rows() {
            let cells = &self.ink[row * self.columns..][..self.columns];
            let mut from = 0;
            while let Some(start) = cells[from..].iter().position(|&ink| ink).map(|at| from + at) {
                let end = cells[start..].iter().position(|&ink| !ink).map_or(cells.len(), |at| start + at);
                for (distance, &wide) in reach.iter().enumerate() {
                    for row in [row + n - distance, row + n + distance] {
                        block.ink[row * block.columns..][start + n - wide..end + n + wide].fill(true);
                    }
                }
                from = end;
            }
        }
        Ok(block)
    }

    /// What [`Block::grown`] adds: the ring of cells round the letters, without the letters.
    ///
    /// # Errors
    /// When the block grows too large.
    pub fn halo(&self, n: usize) -> Result<Self, LetteringError> {
        let mut block = self.grown(n)?;
        for (column, row) in self.inked() {
            block.ink[(row.0 + n) * block.columns + column + n] = false;
        }
        Ok(block)
    }
}

impl fmt::Display for Block {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for row in self.ink.chunks(self.columns).rev() {
            let line: String = row.iter().map(|&ink| if ink { '#' } else { '.' }).collect();
            writeln!(f, "{line}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(drawing: &str) -> Block {
        let rows: Vec<&str> = drawing.split_whitespace().collect();
        let mut block = Block::blank(rows[0].len(), rows.len()).unwrap();
        for (from_top, row) in rows.iter().enumerate() {
            for (column, cell) in row.bytes().enumerate() {
                if cell == b'#' {
                    block.ink(column, rows.len() - 1 - from_top);
                }
            }
        }
        block
    }

    #[test]
    fn rows_count_from_the_bottom() {
        let block = block("#.. ... .##");
        assert!(block.is_inked(0, RowIndex(2)) && !block.is_inked(0, RowIndex(0)));
        assert_eq!(block.to_string(), "#..\n...\n.##\n");
        let inked: Vec<_> = block.inked().map(|(column, row)| (column, row.0)).collect();
        assert_eq!(inked, [(1, 0), (2, 0), (0, 2)]);
        assert_eq!(block.cells(1, 0), [0, 1, 1, 0, 0, 0, 1, 0, 0]);
        assert!(!block.is_inked(3, RowIndex(0)) && !block.is_inked(0, RowIndex(3)));
    }

    #[test]
    fn grows_all_round() {
        assert_eq!(block("#").grown(1).unwrap(), block("### ### ###"));
        assert_eq!(block("#").halo(1).unwrap(), block("### #.# ###"));
        assert_eq!(block("#").grown(2).unwrap(), block(".###. ##### ##### ##### .###."));
        assert_eq!(block("#.#").grown(0).unwrap(), block("#.#"));
        assert_eq!(block("#").padded(1).unwrap(), block("... .#. ..."));
        assert!(matches!(block("#").grown(5000), Err(LetteringError::TooLarge { .. })));
        assert!(matches!(block("#").grown(usize::MAX), Err(LetteringError::TooLarge { .. })));
    }

    /// Growing cell by cell, straight from the definition.
    #[test]
    fn growing_is_what_it_says() {
        let letters = block("..#...#. .##..... #.#....# ........ ...##...");
        for n in 0..5_usize {
            let grown = letters.grown(n).unwrap();
            for row in 0..grown.rows() {
                for column in 0..grown.columns() {
                    let near = letters.inked().any(|(c, r)| {
                        let (across, up) = ((c + n).abs_diff(column), (r.0 + n).abs_diff(row));
                        across * across + up * up <= n * n + n
                    });
                    assert_eq!(grown.is_inked(column, RowIndex(row)), near, "{n} {column} {row}");
                }
            }
        }
    }
}
