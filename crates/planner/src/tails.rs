//! The cheapest line for the tail of a join or a cut.

use model::{Boundary, Chart, ColourIndex, Cost, Direction, RowIndex, Rules, Run, Tail, TailLine};

/// A tail with its cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct PricedTail {
    pub(crate) tail: Tail,
    pub(crate) cost: Cost,
}

/// The tail of a join at the run's entry.
pub(crate) fn of_join(chart: &Chart, rules: &Rules, run: &Run) -> PricedTail {
    cheapest(
        chart,
        rules,
        run.yarn,
        run.row,
        run.entry,
        &[TailLine::Onward, TailLine::Before, TailLine::NextRow],
    )
}

/// The tail of a cut at the run's exit.
pub(crate) fn of_cut(chart: &Chart, rules: &Rules, run: &Run) -> PricedTail {
    cheapest(chart, rules, run.yarn, run.row, run.exit, &[TailLine::Onward, TailLine::NextRow])
}

/// The first of the cheapest lines.
fn cheapest(
    chart: &Chart,
    rules: &Rules,
    yarn: ColourIndex,
    row: RowIndex,
    at: Boundary,
    lines: &[TailLine],
) -> PricedTail {
    let mut best: Option<PricedTail> = None;
    for &line in lines {
        let priced = price(chart, rules, yarn, row, at, line);
        if best.is_none_or(|best| priced.cost < best.cost) {
            best = Some(priced);
        }
    }
    best.expect("there is always the onward line")
}

fn price(
    chart: &Chart,
    rules: &Rules,
    yarn: ColourIndex,
    row: RowIndex,
    at: Boundary,
    line: TailLine,
) -> PricedTail {
    let tail = rules.weights.tail;
    let direction = row.direction(rules.hand);
    let (row, rightwards) = match line {
        TailLine::Onward => (row, direction == Direction::Rightwards),
        TailLine::Before => (row, direction == Direction::Leftwards),
        TailLine::NextRow => {
            let next = RowIndex(row.0 + 1);
            (next, next.direction(rules.hand) == Direction::Rightwards)
        }
    };
    let mut over = 0;
    let mut cost = Cost::ZERO;
    if row.0 < chart.rows() {
        let cells = chart.row(row);
        let (at, tail) = (at.0 as usize, tail as usize);
        let span = if rightwards { at..cells.len().min(at + tail) } else { at.saturating_sub(tail)..at };
        for &stitch in &cells[span] {
            if !rules.never.forbids(yarn, stitch) {
                over += 1;
                cost += rules.tables.carry(yarn, stitch);
            }
        }
    }
    cost += rules.weights.short * (tail - over);
    PricedTail { tail: Tail { line, over }, cost }
}
