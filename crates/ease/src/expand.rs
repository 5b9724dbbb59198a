//! α-expansion: the first sketch of an easy chart.
//!
//! Boykov, Veksler and Zabih, "Fast approximate energy minimization via graph cuts", PAMI 23(11),
//! 2001. The energy is each cell's error and a price on every pair of neighbours in different
//! yarns. It knows nothing of strands, only that fewer and rounder patches mean fewer of them.

use charting::Stopped;

use crate::desk::Desk;
use crate::flow::Cut;
use crate::problem::Problem;

/// What a pair of neighbours in different yarns costs, in thousandths of a unit of error.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Seams {
    /// Neighbours in a row.
    pub(crate) across: i64,
    /// Neighbours one above the other.
    pub(crate) up: i64,
    /// Neighbours corner to corner.
    pub(crate) corner: i64,
}

impl Seams {
    /// Seams that about stand for work worth so many units of error a stitch.
    #[allow(clippy::cast_possible_truncation)]
    pub(crate) fn for_worth(worth: f64) -> Self {
        let thousandths = |part: f64| (1000.0 * part * worth) as i64;
        Self { across: thousandths(0.6), up: thousandths(0.4), corner: 0 }
    }

    fn pairs(self) -> [(usize, isize, i64); 4] {
        [(0, 1, self.across), (1, 0, self.up), (1, 1, self.corner), (1, -1, self.corner)]
    }
}

/// The grid of neighbours.
fn neighbours(problem: &Problem<'_>, seams: Seams) -> impl Iterator<Item = (usize, usize, i64)> + use<> {
    let (rows, columns) = (problem.rows, problem.columns);
    (0..rows * columns).flat_map(move |cell| {
        let (row, column) = (cell / columns, cell % columns);
        seams.pairs().into_iter().filter_map(move |(up, across, price)| {
            let there = column.checked_add_signed(across)?;
            (price > 0 && row + up < rows && there < columns)
                .then(|| (cell, (row + up) * columns + there, price))
        })
    })
}

/// Thousandths of a unit of error.
#[allow(clippy::cast_possible_truncation)] // an error is at most some hundreds times a weight
fn thousandths(error: f32) -> i64 {
    (f64::from(error.min(1e6)) * 1000.0 + 0.5) as i64
}

/// The energy of a chart.
#[cfg(test)]
pub(crate) fn energy(problem: &Problem<'_>, seams: Seams, cells: &[u8]) -> i64 {
    let errors: i64 = cells
        .iter()
        .enumerate()
        .map(|(cell, &yarn)| thousandths(problem.errors(cell)[usize::from(yarn)]))
        .sum();
    let seams =
        neighbours(problem, seams).filter(|&(a, b, _)| cells[a] != cells[b]).map(|(_, _, price)| price);
    errors + seams.sum::<i64>()
}

/// One expansion: every cell keeps its yarn or takes `yarn`, whichever way the energy is least.
/// Returns whether the energy fell.
pub(crate) fn expand(problem: &Problem<'_>, seams: Seams, cells: &mut [u8], yarn: u8) -> bool {
    // Nodes for the cells that have another yarn.
    let mut nodes = vec![u32::MAX; cells.len()];
    let mut free = Vec::new();
    for (cell, &has) in cells.iter().enumerate() {
        if has != yarn {
            nodes[cell] = u32::try_from(free.len()).expect("a chart's cells fit 32 bits");
            free.push(cell);
        }
    }
    let mut cut = Cut::new(free.len());
    let mut before = 0;
    for (node, &cell) in free.iter().enumerate() {
        let errors = problem.errors(cell);
        let (takes, keeps) =
            (thousandths(errors[usize::from(yarn)]), thousandths(errors[usize::from(cells[cell])]));
        cut.add_sides(node, takes, keeps);
        before += keeps;
    }
    for (a, b, price) in neighbours(problem, seams) {
        match (nodes[a], nodes[b]) {
            (u32::MAX, u32::MAX) => {}
            (node, u32::MAX) | (u32::MAX, node) => {
                // The seam goes when the cell takes the yarn of its neighbour.
                cut.add_sides(node as usize, 0, price);
                before += price;
            }
            (a_node, b_node) => {
                let (a_node, b_node) = (a_node as usize, b_node as usize);
                if cells[a] == cells[b] {
                    cut.add_arc(a_node, b_node, price, price);
                } else {
                    // Both keep: price. One takes: price. Both take: none.
                    cut.add_sides(b_node, 0, price);
                    cut.add_arc(b_node, a_node, 0, price);
                    before += price;
                }
            }
        }
    }
    if cut.solve() >= before {
        return false;
    }
    for (node, &cell) in free.iter().enumerate() {
        if cut.on_sink_side(node) {
            cells[cell] = yarn;
        }
    }
    true
}

/// Expansions of all yarns in turn until none helps, or so many rounds.
pub(crate) fn settle(
    problem: &Problem<'_>,
    seams: Seams,
    cells: &mut [u8],
    rounds: usize,
    desk: &Desk<'_>,
) -> Result<(), Stopped> {
    let yarns = u8::try_from(problem.yarns).expect("a palette is small");
    let (mut idle, mut done) = (0, 0.0);
    for yarn in (0..rounds).flat_map(|_| 0..yarns) {
        #[allow(clippy::cast_precision_loss)] // a handful
        desk.tell(done / (rounds * problem.yarns) as f32)?;
        done += 1.0;
        idle = if expand(problem, seams, cells, yarn) { 0 } else { idle + 1 };
        if idle == yarns {
            break;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial::Parts;
    use proptest::prelude::*;

    fn seams(prices: (i64, i64, i64)) -> Seams {
        Seams { across: prices.0, up: prices.1, corner: prices.2 }
    }

    /// The least energy of all charts in two yarns.
    fn least(problem: &Problem<'_>, seams: Seams) -> i64 {
        let cells = problem.rows * problem.columns;
        let chart =
            |bits: u32| -> Vec<u8> { (0..cells).map(|cell| u8::from(bits >> cell & 1 == 1)).collect() };
        (0..1u32 << cells).map(|bits| energy(problem, seams, &chart(bits))).min().expect("there are charts")
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        /// With two yarns one expansion from a chart of the first reaches every chart, so it must
        /// find the best of all.
        #[test]
        fn one_expansion_of_two_is_the_best_of_all(
            shades in prop::collection::vec(0u8..=255, 12),
            prices in (0i64..30_000, 0i64..30_000, 0i64..20_000),
        ) {
            let grey = |value| model::Srgb::new(value, value, value);
            let pixels: Vec<_> = shades.into_iter().map(grey).collect();
            let parts = Parts::new(4, &pixels, &[grey(60), grey(200)]);
            let task = parts.task();
            let problem = Problem::new(&task).expect("a task");
            let mut cells = vec![0; 12];
            expand(&problem, seams(prices), &mut cells, 1);
            prop_assert_eq!(energy(&problem, seams(prices), &cells), least(&problem, seams(prices)));
        }

        /// Each expansion says whether the energy falls, and it never rises.
        #[test]
        fn the_energy_never_rises(seed in 0u64..1000, prices in (0i64..30_000, 0i64..30_000, 0i64..20_000)) {
            let parts = Parts::noisy(14, 11, seed);
            let task = parts.task();
            let problem = Problem::new(&task).expect("a task");
            let seams = seams(prices);
            let mut cells = problem.nearest.clone();
            for yarn in [2, 0, 3, 1, 0, 2] {
                let before = energy(&problem, seams, &cells);
                let fell = expand(&problem, seams, &mut cells, yarn);
                let after = energy(&problem, seams, &cells);
                prop_assert!(if fell { after < before } else { after == before }, "{before} {after}");
            }
        }
    }
}
