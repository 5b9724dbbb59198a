//! What it costs one yarn to move over a chart.

use model::{Chart, ColourIndex, Direction, RowIndex, Rules};

/// The price of passing a stitch that must not be passed: above any budget, and small enough that a
/// whole row of them fits 64 bits.
pub(crate) const FORBIDDEN: i64 = 1 << 40;

/// Prices of moves of one yarn, for each boundary of each row.
pub(crate) struct Ground {
    /// Boundaries in a row: columns + 1.
    pub(crate) width: usize,
    /// `passed[row · width + b]`: cost of passing all stitches of the row left of boundary `b`.
    passed: Vec<i64>,
    /// Likewise the number of stitches of other yarns; only with a longest carry.
    others: Vec<u32>,
    /// `lift[row · width + b]`: cost of being locked there.
    lift: Vec<i64>,
}

impl Ground {
    pub(crate) fn new(chart: &Chart, rules: &Rules, yarn: ColourIndex) -> Self {
        let width = chart.columns() + 1;
        let cells = chart.rows() * width;
        let mut ground = Self {
            width,
            passed: Vec::with_capacity(cells),
            others: Vec::new(),
            lift: Vec::with_capacity(cells),
        };
        let (mut carry, mut lift) = (Vec::new(), Vec::new());
        for stitch in chart.palette().indices() {
            carry.push(if rules.never.forbids(yarn, stitch) {
                FORBIDDEN
            } else {
                rules.tables.carry(yarn, stitch).thousandths()
            });
            lift.push(rules.tables.lift(yarn, stitch).thousandths());
        }
        let edge = rules.tables.lift_edge.thousandths();
        for row in chart.row_indices() {
            let stitches = chart.row(row);
            let mut sum = 0;
            ground.passed.push(sum);
            for stitch in stitches {
                sum += carry[stitch.index()];
                ground.passed.push(sum);
            }
            // The stitch that ends at a boundary, in the direction of work: the one on its left in a
            // row that runs rightwards, else the one on its right.
            let ending = match row.direction(rules.hand) {
                Direction::Rightwards => &stitches[..stitches.len() - 1],
                Direction::Leftwards => &stitches[1..],
            };
            ground.lift.push(edge);
            ground.lift.extend(ending.iter().map(|stitch| lift[stitch.index()]));
            ground.lift.push(edge);
        }
        if rules.limits.longest_carry.is_some() {
            ground.others.reserve_exact(cells);
            for row in chart.row_indices() {
                let mut count = 0;
                ground.others.push(count);
                for &stitch in chart.row(row) {
                    count += u32::from(stitch != yarn);
                    ground.others.push(count);
                }
            }
        }
        ground
    }

    /// Cost of passing all stitches left of each boundary of the row.
    pub(crate) fn passed(&self, row: RowIndex) -> &[i64] {
        &self.passed[row.0 * self.width..][..self.width]
    }

    /// Number of stitches of other yarns left of each boundary; empty without a longest carry.
    pub(crate) fn others(&self, row: RowIndex) -> &[u32] {
        if self.others.is_empty() { &[] } else { &self.others[row.0 * self.width..][..self.width] }
    }

    /// Cost of being locked at each boundary of the row.
    pub(crate) fn lift(&self, row: RowIndex) -> &[i64] {
        &self.lift[row.0 * self.width..][..self.width]
    }
}
