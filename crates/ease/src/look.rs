//! How much a chart looks like its picture.

use model::{Chart, Lab, RowIndex, delta_e_2000};

use crate::problem::Problem;
use crate::{EaseError, Task};

/// How far a chart is from its picture, over the picture's cells, the frame left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Mean CIEDE2000 of cell and yarn.
    pub mean: f64,
    /// The same with each cell weighed by its importance (the mean of the weights being taken out).
    pub weighed: f64,
    /// Mean CIEDE2000 of the two pictures as from across the room: both blurred in linear light by a
    /// Gaussian of [`BLUR`] cells.
    pub blurred: f64,
}

/// Standard deviation of the blur, in cells. One stitch is 6 to 7 mm; from 4 m away that is a tenth
/// of a degree, and contrast is seen best at three to five changes a degree, so that patches of three
/// cells and more are what is left (chosen for this project).
pub const BLUR: f64 = 1.5;

impl Look {
    /// How much a chart of the task's picture and palette looks like it.
    ///
    /// # Errors
    /// When the parts of the task don't fit together, or the chart is of another size or palette.
    pub fn of(task: &Task<'_>, chart: &Chart) -> Result<Self, EaseError> {
        let problem = Problem::new(task)?;
        if (chart.rows(), chart.columns()) != (problem.rows, problem.columns)
            || chart.palette() != task.palette
        {
            return Err(EaseError::OtherChart);
        }
        Ok(Self::within(&problem, chart))
    }

    #[allow(clippy::cast_precision_loss)]
    pub(crate) fn within(problem: &Problem<'_>, chart: &Chart) -> Self {
        let cells = problem.task.cells;
        let (rows, columns) = (cells.rows(), cells.columns());
        let edge = (chart.rows() - rows) / 2;
        let light: Vec<[f64; 3]> = chart.palette().yarns().iter().map(|yarn| yarn.colour.linear()).collect();
        let mut shown = Vec::with_capacity(rows * columns);
        let (mut sum, mut weighed) = (0.0, 0.0);
        let weights = problem.task.importance.weights();
        for row in 0..rows {
            let up = edge + rows - 1 - row;
            for column in 0..columns {
                let yarn = chart.row(RowIndex(up))[edge + column].index();
                let cell = up * problem.columns + edge + column;
                let difference = f64::from(problem.difference[cell * problem.yarns + yarn]);
                sum += difference;
                weighed += difference * f64::from(weights[row * columns + column]);
                shown.push(light[yarn]);
            }
        }
        let (wanted, shown) = (blur(cells.linear(), columns), blur(&shown, columns));
        let blurred: f64 = (wanted.iter().zip(&shown))
            .map(|(&one, &two)| delta_e_2000(Lab::from_linear(one), Lab::from_linear(two)))
            .sum();
        let all = problem.pictured as f64;
        let of_weights: f64 = weights.iter().map(|&weight| f64::from(weight)).sum();
        let weighed = if of_weights > 0.0 { weighed / of_weights } else { 0.0 };
        Self { mean: sum / all, weighed, blurred: blurred / all }
    }
}

/// Blurs by a Gaussian of [`BLUR`] cells, first along the rows and then along the columns; what
/// would lie outside is left out of the mean.
#[allow(clippy::cast_precision_loss)]
fn blur(light: &[[f64; 3]], columns: usize) -> Vec<[f64; 3]> {
    let reach = 5;
    let weights: Vec<f64> = (0..=reach).map(|away| gauss(away as f64 / BLUR)).collect();
    let pass = |from: &[[f64; 3]], length: usize, index: &dyn Fn(usize, usize) -> usize| {
        let lines = from.len() / length;
        let mut to = vec![[0.0; 3]; from.len()];
        for line in 0..lines {
            for at in 0..length {
                let (low, high) = (at.saturating_sub(reach), (at + reach).min(length - 1));
                let (mut sum, mut all) = ([0.0; 3], 0.0);
                for other in low..=high {
                    let weight = weights[other.abs_diff(at)];
                    all += weight;
                    for (sum, light) in sum.iter_mut().zip(from[index(line, other)]) {
                        *sum += weight * light;
                    }
                }
                to[index(line, at)] = sum.map(|sum| sum / all);
            }
        }
        to
    };
    let across = pass(light, columns, &|line, at| line * columns + at);
    pass(&across, light.len() / columns, &|line, at| at * columns + line)
}

/// exp(−x² / 2), by its series, so that every platform gets the same bits.
fn gauss(x: f64) -> f64 {
    let square = x * x / 2.0;
    let (mut term, mut sum) = (1.0, 1.0);
    for n in 1..60 {
        term *= square / f64::from(n);
        sum += term;
    }
    1.0 / sum
}
