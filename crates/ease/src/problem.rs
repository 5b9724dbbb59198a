//! The task in numbers: for each cell of the chart and each yarn what it takes from the likeness.

use model::{Chart, Lab, delta_e_2000};

use crate::{EaseError, Task};

/// Beyond any error that could be put up with.
pub(crate) const NEVER: f32 = 1e12;

/// A task in the order of the chart: row by row from the bottom, frame included.
#[derive(Clone)]
pub(crate) struct Problem<'a> {
    pub(crate) task: &'a Task<'a>,
    pub(crate) rows: usize,
    pub(crate) columns: usize,
    pub(crate) yarns: usize,
    /// Cells of the picture, without its frame.
    pub(crate) pictured: usize,
    /// CIEDE2000 of each cell and yarn, times the cell's weight; [`NEVER`] where the cell is fixed
    /// to another yarn, or the yarn may not show the picture; 0 in the frame.
    pub(crate) error: Vec<f32>,
    /// The same without weights, and without regard to what is fixed.
    pub(crate) difference: Vec<f32>,
    /// The nearest yarn that each cell may take.
    pub(crate) nearest: Vec<u8>,
}

impl<'a> Problem<'a> {
    #[allow(clippy::cast_possible_truncation)] // a palette's entries, and single precision on purpose
    pub(crate) fn new(task: &'a Task<'a>) -> Result<Self, EaseError> {
        task.check()?;
        let edge = task.frame.map_or(0, |frame| frame.stitches as usize);
        let (inner_rows, inner_columns) = (task.cells.rows(), task.cells.columns());
        let (rows, columns) = (inner_rows + 2 * edge, inner_columns + 2 * edge);
        let colours: Vec<Lab> = task.palette.yarns().iter().map(|yarn| yarn.colour.lab()).collect();
        let yarns = colours.len();
        let lab = task.cells.lab();
        let mut problem = Self {
            task,
            rows,
            columns,
            yarns,
            pictured: lab.len(),
            error: Vec::with_capacity(rows * columns * yarns),
            difference: Vec::with_capacity(rows * columns * yarns),
            nearest: Vec::with_capacity(rows * columns),
        };
        for row in 0..rows {
            for column in 0..columns {
                let pictured = row.checked_sub(edge).zip(column.checked_sub(edge));
                let Some((up, across)) =
                    pictured.filter(|&(up, across)| up < inner_rows && across < inner_columns)
                else {
                    let yarn = task.frame.map_or(0, |frame| frame.yarn);
                    problem.difference.extend(std::iter::repeat_n(0.0, yarns));
                    problem.error.extend((0..yarns).map(|other| if other == yarn { 0.0 } else { NEVER }));
                    problem.nearest.push(yarn as u8);
                    continue;
                };
                // Pictures count their rows from the top.
                let cell = (inner_rows - 1 - up) * inner_columns + across;
                let begin = problem.difference.len();
                problem.difference.extend(colours.iter().map(|&yarn| delta_e_2000(lab[cell], yarn) as f32));
                let weight = task.importance.weights()[cell];
                let fixed = task.fixed.and_then(|fixed| fixed.entries()[cell]).map(usize::from);
                for (yarn, &difference) in problem.difference[begin..].iter().enumerate() {
                    let may = fixed.map_or(yarn < task.pool, |fixed| fixed == yarn);
                    problem.error.push(if may { weight * difference } else { NEVER });
                }
                let mut nearest = 0;
                for (yarn, &difference) in problem.difference[begin..][..task.pool].iter().enumerate() {
                    if difference < problem.difference[begin + nearest] {
                        nearest = yarn;
                    }
                }
                problem.nearest.push(fixed.unwrap_or(nearest) as u8);
            }
        }
        Ok(problem)
    }

    /// What a cell takes from the likeness in each yarn.
    pub(crate) fn errors(&self, cell: usize) -> &[f32] {
        &self.error[cell * self.yarns..][..self.yarns]
    }

    /// What a chart takes from the likeness in all.
    pub(crate) fn error_of(&self, cells: &[u8]) -> f64 {
        let errors = self.error.chunks_exact(self.yarns).zip(cells);
        errors.map(|(errors, &yarn)| f64::from(errors[usize::from(yarn)])).sum()
    }

    pub(crate) fn chart(&self, cells: &[u8]) -> Chart {
        Chart::new(self.task.palette.clone(), self.rows, self.columns, cells)
            .expect("the size and the entries are checked")
    }
}
