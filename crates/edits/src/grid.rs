//! The cells of a chart, to be changed freely.

use model::{Chart, ColourIndex};

use crate::{EditError, Place};

/// Palette entries row by row from the bottom, each row from the left. All are of the palette of the
/// chart it came from.
#[derive(Clone)]
pub(crate) struct Grid {
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    pub(crate) cells: Vec<u8>,
}

fn cells(chart: &Chart) -> impl Iterator<Item = u8> {
    chart.row_indices().flat_map(|row| chart.row(row)).map(|cell: &ColourIndex| cell.as_u8())
}

impl Grid {
    pub(crate) fn of(chart: &Chart) -> Self {
        Self { columns: chart.columns(), rows: chart.rows(), cells: cells(chart).collect() }
    }

    pub(crate) const fn at(&self, (column, row): Place) -> usize {
        row * self.columns + column
    }

    pub(crate) fn get(&self, place: Place) -> u8 {
        self.cells[self.at(place)]
    }

    pub(crate) fn set(&mut self, place: Place, entry: u8) {
        let at = self.at(place);
        self.cells[at] = entry;
    }

    /// The cell at that place, where the chart has it.
    pub(crate) fn checked(&self, (column, row): Place) -> Result<usize, EditError> {
        if column < self.columns && row < self.rows {
            return Ok(self.at((column, row)));
        }
        Err(EditError::NoSuchPlace { column, row, columns: self.columns, rows: self.rows })
    }

    /// The cells that share a side with one.
    pub(crate) fn beside(&self, at: usize) -> impl Iterator<Item = usize> + use<> {
        let (column, columns, cells) = (at % self.columns, self.columns, self.cells.len());
        let left = (column > 0).then(|| at - 1);
        let right = (column + 1 < columns).then_some(at + 1);
        let below = (at >= columns).then(|| at - columns);
        let above = (at + columns < cells).then_some(at + columns);
        [left, right, below, above].into_iter().flatten()
    }

    /// The cells that can be reached from some by sides over cells that are `of` it; those among the
    /// first that are not are left out. Each stands there once.
    pub(crate) fn reached(
        &self,
        from: impl IntoIterator<Item = usize>,
        of: impl Fn(u8) -> bool,
    ) -> Vec<usize> {
        let mut seen = vec![false; self.cells.len()];
        let mut found = Vec::new();
        let mut see = |at: usize, found: &mut Vec<usize>| {
            if !seen[at] && of(self.cells[at]) {
                seen[at] = true;
                found.push(at);
            }
        };
        for at in from {
            see(at, &mut found);
        }
        let mut next = 0;
        while let Some(&at) = found.get(next) {
            for other in self.beside(at) {
                see(other, &mut found);
            }
            next += 1;
        }
        found
    }

    /// Another grid whose columns and rows are these of this one, or `entry` where there is none.
    pub(crate) fn remapped(&self, columns: &[Option<usize>], rows: &[Option<usize>], entry: u8) -> Self {
        let cell = |column: &Option<usize>, row: &Option<usize>| match (*column, *row) {
            (Some(column), Some(row)) => self.get((column, row)),
            _ => entry,
        };
        let cells = rows.iter().flat_map(|row| columns.iter().map(move |column| cell(column, row)));
        Self { columns: columns.len(), rows: rows.len(), cells: cells.collect() }
    }

    /// The cells that are others than in the chart, which has this size.
    pub(crate) fn difference(&self, chart: &Chart) -> Vec<(usize, u8)> {
        let both = cells(chart).zip(&self.cells).enumerate();
        both.filter(|(_, (old, new))| old != *new).map(|(at, (_, new))| (at, *new)).collect()
    }
}
