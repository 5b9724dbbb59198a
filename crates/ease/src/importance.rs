//! What matters in a picture, and what must stay.

use charting::Cells;
use model::delta_e_2000;

use crate::EaseError;

/// How much each cell of a picture matters: one weight a cell, above 0, row by row from the *top*,
/// as [`Cells`] are. The difference of cell and yarn counts that many times.
#[derive(Clone, Debug, PartialEq)]
pub struct Importance {
    columns: usize,
    weights: Vec<f32>,
}

/// A detail as small as this many cells, or a stroke as thin, is what contrast is looked for in.
const NEAR: usize = 2;
/// How far around the usual contrast is taken from.
const AROUND: usize = 10;
/// A cell counts more only where it stands out so many times as much as is usual around it, and by
/// so much CIEDE2000 more than that.
const USUAL: f64 = 2.0;
const STILL: f64 = 3.0;
/// For each so much CIEDE2000 beyond it counts one time more.
const STEP: f64 = 10.0;
/// No cell counts more often than this by contrast alone.
const MOST: f64 = 4.0;

impl Importance {
    /// The largest weight.
    pub const MOST: f32 = 1_000.0;

    /// Every cell matters alike.
    #[must_use]
    pub fn even(cells: &Cells) -> Self {
        Self { columns: cells.columns(), weights: vec![1.0; cells.rows() * cells.columns()] }
    }

    /// A map made elsewhere.
    ///
    /// # Errors
    /// When there are not `rows × columns` weights, or one is not a number from 0 to
    /// [`MOST`](Self::MOST).
    pub fn new(columns: usize, rows: usize, weights: Vec<f32>) -> Result<Self, EaseError> {
        if columns == 0 || rows == 0 || weights.len() != columns * rows {
            return Err(EaseError::WeightsDoNotFill { given: weights.len(), columns, rows });
        }
        if let Some(at) = weights.iter().position(|weight| !(0.0..=Self::MOST).contains(weight)) {
            return Err(EaseError::NoWeight { column: at % columns + 1, row: at / columns + 1 });
        }
        Ok(Self { columns, weights })
    }

    /// From local contrast: a cell counts more where it stands out from its near surroundings by more
    /// than is usual thereabouts. So an eye, a whisker, a letter's thin stroke stay, while fur and
    /// leaves, where everything stands out, may be simplified. Weights are 1 to 4.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // a weight in single precision
    pub fn from_contrast(cells: &Cells) -> Self {
        let (rows, columns) = (cells.rows(), cells.columns());
        let lab = cells.lab();
        let light = cells.linear();
        let mut near = [0, 1, 2].map(|channel| {
            let values: Vec<f64> = light.iter().map(|light| light[channel]).collect();
            box_mean(&values, rows, columns, NEAR)
        });
        let stands_out: Vec<f64> = (0..lab.len())
            .map(|at| {
                let around = [near[0][at], near[1][at], near[2][at]];
                delta_e_2000(lab[at], model::Lab::from_linear(around))
            })
            .collect();
        near[0] = box_mean(&stands_out, rows, columns, AROUND);
        let usual = &near[0];
        let weights = stands_out
            .iter()
            .zip(usual)
            .map(|(out, usual)| (1.0 + ((out - USUAL * usual - STILL) / STEP).max(0.0)).min(MOST) as f32);
        Self { columns, weights: weights.collect() }
    }

    /// Multiplied, cell by cell, by another map of the same size, such as one that a person painted.
    ///
    /// # Errors
    /// When the sizes differ.
    pub fn times(mut self, other: &Self) -> Result<Self, EaseError> {
        if (self.columns, self.weights.len()) != (other.columns, other.weights.len()) {
            return Err(EaseError::OtherSize {
                what: "importance map",
                columns: other.columns,
                rows: other.rows(),
                wanted: (self.columns, self.rows()),
            });
        }
        for (weight, times) in self.weights.iter_mut().zip(&other.weights) {
            *weight = (*weight * times).min(Self::MOST);
        }
        Ok(self)
    }

    /// Cells in a row.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// Rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.weights.len() / self.columns
    }

    /// The weights, row by row from the top.
    #[must_use]
    pub fn weights(&self) -> &[f32] {
        &self.weights
    }
}

/// The mean over the square of `2 · reach + 1` cells around each cell, cut off at the edges.
#[allow(clippy::cast_precision_loss)]
fn box_mean(values: &[f64], rows: usize, columns: usize, reach: usize) -> Vec<f64> {
    let mut sums = vec![0.0; (rows + 1) * (columns + 1)];
    let at = |row: usize, column: usize| row * (columns + 1) + column;
    for row in 0..rows {
        for column in 0..columns {
            sums[at(row + 1, column + 1)] =
                values[row * columns + column] + sums[at(row, column + 1)] + sums[at(row + 1, column)]
                    - sums[at(row, column)];
        }
    }
    let mut means = Vec::with_capacity(values.len());
    for row in 0..rows {
        let (low, high) = (row.saturating_sub(reach), (row + reach + 1).min(rows));
        for column in 0..columns {
            let (left, right) = (column.saturating_sub(reach), (column + reach + 1).min(columns));
            let sum =
                sums[at(high, right)] - sums[at(low, right)] - sums[at(high, left)] + sums[at(low, left)];
            means.push(sum / ((high - low) * (right - left)) as f64);
        }
    }
    means
}

/// Cells that must stay as they are, such as lettering: for each cell of a picture the palette entry
/// it is to have, where it is to have a certain one; row by row from the *top*.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fixed {
    columns: usize,
    entries: Vec<Option<u8>>,
}

impl Fixed {
    /// Cells of a picture of that size.
    ///
    /// # Errors
    /// When there are not `rows × columns` of them.
    pub fn new(columns: usize, rows: usize, entries: Vec<Option<u8>>) -> Result<Self, EaseError> {
        if columns == 0 || rows == 0 || entries.len() != columns * rows {
            return Err(EaseError::FixedDoNotFill { given: entries.len(), columns, rows });
        }
        Ok(Self { columns, entries })
    }

    /// Cells in a row.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// Rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.entries.len() / self.columns
    }

    /// The entries, row by row from the top.
    #[must_use]
    pub fn entries(&self) -> &[Option<u8>] {
        &self.entries
    }
}
