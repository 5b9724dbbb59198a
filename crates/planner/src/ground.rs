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
        let others = if rules.limits.longest_carry.is_some() { cells } else { 0 };
        let mut ground =
            Self { width, passed: vec![0; cells], others: vec![0; others], lift: vec![0; cells] };
        ground.update(chart, rules, yarn, (0, chart.rows() - 1), (0, chart.columns() - 1));
        ground
    }

    /// Works the prices out again where stitches have changed: first and last of their rows and of
    /// their columns.
    pub(crate) fn update(
        &mut self,
        chart: &Chart,
        rules: &Rules,
        yarn: ColourIndex,
        (first, last): (usize, usize),
        (left, right): (usize, usize),
    ) {
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
        for row in (first..=last).map(RowIndex) {
            let stitches = chart.row(row);
            let span = row.0 * self.width..(row.0 + 1) * self.width;
            let passed = &mut self.passed[span.clone()];
            let mut sum = passed[left];
            for (passed, stitch) in passed[left + 1..].iter_mut().zip(&stitches[left..]) {
                sum += carry[stitch.index()];
                *passed = sum;
            }
            let lifts = &mut self.lift[span.clone()];
            lifts[0] = edge;
            lifts[self.width - 1] = edge;
            // The stitch that ends at a boundary, in the direction of work: the one on its left in a
            // row that runs rightwards, else the one on its right.
            let (from, to) = (left.max(1), (right + 1).min(self.width - 2));
            let ending = match row.direction(rules.hand) {
                Direction::Rightwards => &stitches[from - 1..to],
                Direction::Leftwards => &stitches[from..to + 1],
            };
            for (place, stitch) in lifts[from..=to].iter_mut().zip(ending) {
                *place = lift[stitch.index()];
            }
            if !self.others.is_empty() {
                let others = &mut self.others[span];
                let mut count = others[left];
                for (others, stitch) in others[left + 1..].iter_mut().zip(&stitches[left..]) {
                    count += u32::from(*stitch != yarn);
                    *others = count;
                }
            }
        }
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
