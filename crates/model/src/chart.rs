//! Charts, rows and boundaries.

use core::fmt;

use crate::{ColourIndex, Palette};

/// The longest side a chart may have, in stitches or rows. A million cells fit; far more than
/// anybody works.
pub const MAX_SIDE: usize = 10_000;

/// The hand that holds the hook.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Hand {
    /// RS rows run from right to left as charted.
    #[default]
    Right,
    /// The mirror image: RS rows run from left to right as charted.
    Left,
}

/// The side of the fabric that faces the person while a row is worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Right side.
    Right,
    /// Wrong side.
    Wrong,
}

/// The way a row runs on the chart, which shows the right side of the fabric.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// From the chart's left to its right.
    Rightwards,
    /// From the chart's right to its left.
    Leftwards,
}

/// A row in memory, counted from 0 at the bottom.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct RowIndex(pub usize);

/// A row as people count it: from 1 at the bottom.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct RowNumber(pub usize);

impl From<RowIndex> for RowNumber {
    fn from(row: RowIndex) -> Self {
        Self(row.0 + 1)
    }
}

impl fmt::Display for RowNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl RowIndex {
    /// The side that faces the person: row 1 is a right-side row, then they alternate.
    #[must_use]
    pub const fn side(self) -> Side {
        if self.0.is_multiple_of(2) { Side::Right } else { Side::Wrong }
    }

    /// The way this row runs on the chart.
    #[must_use]
    pub const fn direction(self, hand: Hand) -> Direction {
        match (self.side(), hand) {
            (Side::Right, Hand::Right) | (Side::Wrong, Hand::Left) => Direction::Leftwards,
            (Side::Wrong, Hand::Right) | (Side::Right, Hand::Left) => Direction::Rightwards,
        }
    }
}

/// One of the `columns + 1` vertical lines between stitches, edges included, counted from 0 at the
/// chart's left whatever the direction of work.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Boundary(pub u32);

/// A longest stretch of one yarn in a row.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Run {
    /// Its row.
    pub row: RowIndex,
    /// Its yarn.
    pub yarn: ColourIndex,
    /// Where work comes to it.
    pub entry: Boundary,
    /// Where work leaves it.
    pub exit: Boundary,
}

impl Run {
    /// How many stitches it has.
    #[must_use]
    pub const fn stitches(&self) -> u32 {
        self.entry.0.abs_diff(self.exit.0)
    }
}

/// Why cells are no chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ChartError {
    /// No row or no column.
    Empty,
    /// More than [`MAX_SIDE`] rows or columns.
    TooLarge {
        /// Rows asked for.
        rows: usize,
        /// Columns asked for.
        columns: usize,
    },
    /// The number of cells is not rows × columns.
    Ragged {
        /// Cells given.
        cells: usize,
        /// Cells a chart of that size has.
        expected: usize,
    },
    /// A cell is changed that the chart does not have.
    NoSuchCell {
        /// Its place, from 0.
        cell: usize,
        /// Cells that there are.
        expected: usize,
    },
    /// A cell names an entry that the palette does not have.
    NoSuchYarn {
        /// Row of the cell.
        row: RowNumber,
        /// Column from 1 at the chart's left.
        column: usize,
        /// The entry named, from 0.
        entry: u8,
    },
}

impl fmt::Display for ChartError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("a chart needs at least one row and one column"),
            Self::TooLarge { rows, columns } => write!(
                f,
                "a chart of {columns} stitches by {rows} rows is too large, {MAX_SIDE} is the most either way"
            ),
            Self::Ragged { cells, expected } => {
                write!(f, "{cells} cells do not fill the chart, it has {expected}")
            }
            Self::NoSuchCell { cell, expected } => {
                write!(f, "there is no cell {cell}, the chart has {expected}")
            }
            Self::NoSuchYarn { row, column, entry } => {
                write!(f, "row {row}, column {column} names palette entry {entry}, which is not there")
            }
        }
    }
}

impl std::error::Error for ChartError {}

/// A picture to work: `rows × columns` cells, each of one yarn of the palette; one cell is one
/// single crochet. Row 1 is the bottom row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chart {
    palette: Palette,
    columns: usize,
    /// Row by row from the bottom, each from the chart's left.
    cells: Vec<ColourIndex>,
}

impl Chart {
    /// A chart of `columns` stitches a row; `cells` holds palette entries row by row *from the
    /// bottom*, each row from the chart's left.
    ///
    /// # Errors
    /// When the size is nothing or absurd, the cells do not fill it, or a cell names an entry that
    /// the palette does not have.
    pub fn new(palette: Palette, rows: usize, columns: usize, cells: &[u8]) -> Result<Self, ChartError> {
        if rows == 0 || columns == 0 {
            return Err(ChartError::Empty);
        }
        if rows > MAX_SIDE || columns > MAX_SIDE {
            return Err(ChartError::TooLarge { rows, columns });
        }
        if cells.len() != rows * columns {
            return Err(ChartError::Ragged { cells: cells.len(), expected: rows * columns });
        }
        if let Some(at) = cells.iter().position(|&cell| usize::from(cell) >= palette.len()) {
            return Err(ChartError::NoSuchYarn {
                row: RowIndex(at / columns).into(),
                column: at % columns + 1,
                entry: cells[at],
            });
        }
        Ok(Self { palette, columns, cells: cells.iter().map(|&cell| ColourIndex(cell)).collect() })
    }

    /// The chart with some cells changed, each given by its place (row · columns + column, rows from
    /// the bottom) and the palette entry it gets. Of several changes to one cell the last counts.
    ///
    /// # Errors
    /// When a cell is outside the chart or an entry is not in the palette.
    pub fn with_cells(&self, changes: &[(usize, u8)]) -> Result<Self, ChartError> {
        let mut chart = self.clone();
        for &(at, entry) in changes {
            let expected = chart.cells.len();
            let Some(yarn) = chart.palette.index(usize::from(entry)) else {
                let (row, column) = (RowIndex(at / chart.columns).into(), at % chart.columns + 1);
                return Err(ChartError::NoSuchYarn { row, column, entry });
            };
            match chart.cells.get_mut(at) {
                Some(cell) => *cell = yarn,
                None => return Err(ChartError::NoSuchCell { cell: at, expected }),
            }
        }
        Ok(chart)
    }

    /// The yarns.
    #[must_use]
    pub const fn palette(&self) -> &Palette {
        &self.palette
    }

    /// Number of rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.cells.len() / self.columns
    }

    /// Stitches in a row.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// Stitches in all.
    #[must_use]
    pub fn stitches(&self) -> usize {
        self.cells.len()
    }

    /// One row, from the chart's left.
    ///
    /// # Panics
    /// When there is no such row.
    #[must_use]
    pub fn row(&self, row: RowIndex) -> &[ColourIndex] {
        &self.cells[row.0 * self.columns..][..self.columns]
    }

    /// All rows from the bottom.
    pub fn row_indices(&self) -> impl DoubleEndedIterator<Item = RowIndex> + ExactSizeIterator + use<> {
        (0..self.rows()).map(RowIndex)
    }

    /// The runs of one row in the order of work.
    #[must_use]
    pub fn runs_in(&self, row: RowIndex, hand: Hand) -> Vec<Run> {
        let cells = self.row(row);
        let mut runs = Vec::new();
        let mut start = 0;
        for at in 1..=cells.len() {
            if at == cells.len() || cells[at] != cells[start] {
                #[allow(clippy::cast_possible_truncation)] // columns ≤ MAX_SIDE
                let (left, right) = (Boundary(start as u32), Boundary(at as u32));
                let (entry, exit) = match row.direction(hand) {
                    Direction::Rightwards => (left, right),
                    Direction::Leftwards => (right, left),
                };
                runs.push(Run { row, yarn: cells[start], entry, exit });
                start = at;
            }
        }
        if row.direction(hand) == Direction::Leftwards {
            runs.reverse();
        }
        runs
    }

    /// How many stitches each palette entry makes, in palette order.
    #[must_use]
    pub fn stitches_by_yarn(&self) -> Vec<usize> {
        let mut counts = vec![0; self.palette.len()];
        for cell in &self.cells {
            counts[cell.index()] += 1;
        }
        counts
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Srgb, Yarn};

    fn chart(rows: usize, columns: usize, cells: &[u8]) -> Result<Chart, ChartError> {
        let yarn = |key: &str| Yarn::plain(key, key, Srgb::new(0, 0, 0));
        Chart::new(Palette::new(vec![yarn("a"), yarn("b")]).unwrap(), rows, columns, cells)
    }

    /// Source: chart reading as UK and US guides give it (SEEN): row 1 is a right-side row, worked
    /// from right to left by a right-hander, and row 2 comes back.
    #[test]
    fn rows_run_as_published_guides_say() {
        assert_eq!(RowIndex(0).side(), Side::Right);
        assert_eq!(RowIndex(0).direction(Hand::Right), Direction::Leftwards);
        assert_eq!(RowIndex(1).direction(Hand::Right), Direction::Rightwards);
        assert_eq!(RowIndex(0).direction(Hand::Left), Direction::Rightwards);
        assert_eq!(RowNumber::from(RowIndex(0)).to_string(), "1");
    }

    #[test]
    fn runs_come_in_the_order_of_work() {
        let chart = chart(2, 4, &[0, 0, 1, 0, 1, 1, 0, 0]).unwrap();
        let spans = |row, hand| {
            chart.runs_in(RowIndex(row), hand).iter().map(|r| (r.entry.0, r.exit.0)).collect::<Vec<_>>()
        };
        assert_eq!(spans(0, Hand::Right), [(4, 3), (3, 2), (2, 0)]);
        assert_eq!(spans(0, Hand::Left), [(0, 2), (2, 3), (3, 4)]);
        assert_eq!(spans(1, Hand::Right), [(0, 2), (2, 4)]);
    }

    #[test]
    fn refuses_what_is_no_chart() {
        assert_eq!(chart(0, 4, &[]), Err(ChartError::Empty));
        assert_eq!(chart(1, 3, &[0]), Err(ChartError::Ragged { cells: 1, expected: 3 }));
        assert_eq!(
            chart(1, 2, &[0, 2]),
            Err(ChartError::NoSuchYarn { row: RowNumber(1), column: 2, entry: 2 })
        );
        assert!(matches!(chart(1, 20_000, &[]), Err(ChartError::TooLarge { .. })));
    }
}
