//! A second reading of a whole plan: slow, simple, strand by strand.
//!
//! Takes the steps apart by strand and follows each strand alone from its join to its cut. On the
//! way it writes down what the strand leaves behind: the stitches it makes, every single stitch it
//! lies inside, the rows it climbs, its tails. Only then are the strands laid over one another: is
//! every stitch made once, do the steps of a row stand in order, do the lists and counts of the
//! plan agree with what was written down?
//!
//! It takes the plan's own tables for granted and says nothing about how good the plan is: which of
//! the lines a tail may take was chosen, and the bound, are not looked at.

use std::collections::{BTreeMap, BTreeSet};

use model::{
    Boundary, Chart, ColourIndex, Cost, Direction, Length, Plan, PlanCounts, RowIndex, ShortTail, Step,
    StrandId, Tail, TailLine,
};

/// Reads a plan for a chart.
///
/// # Errors
/// Says what is wrong with the plan, the first thing found.
pub fn read(chart: &Chart, plan: &Plan) -> Result<(), String> {
    let yarns = chart.palette().len();
    ensure(plan.rules.tables.yarns() == yarns, || "the tables are for another palette".into())?;
    ensure(plan.rules.never.yarns() == yarns, || "the forbidden pairs are for another palette".into())?;
    ensure(plan.rows.len() == chart.rows(), || format!("{} rows of steps", plan.rows.len()))?;

    let fabric = Fabric { chart, plan };
    let mut traces = Vec::new();
    for (strand, steps) in by_strand(plan)?.iter().enumerate() {
        let trace = fabric.follow(strand, steps).map_err(|what| format!("strand {strand} from 0: {what}"))?;
        traces.push(trace);
    }
    fabric.every_stitch_once(&traces)?;
    fabric.steps_in_order(&traces)?;
    fabric.joins_in_order(&traces)?;
    fabric.short_tails(&traces)?;
    fabric.counts(&traces)?;
    fabric.lengths(&traces)
}

/// A step with its row and its place in the row's list.
type StepAt = (usize, usize, Step);

/// The steps of each strand.
fn by_strand(plan: &Plan) -> Result<Vec<Vec<StepAt>>, String> {
    let mut all = vec![Vec::new(); plan.strands.len()];
    for (row, steps) in plan.rows.iter().enumerate() {
        for (place, step) in steps.steps.iter().enumerate() {
            let strand = step.strand().index();
            ensure(strand < all.len(), || format!("row {row} from 0 speaks of an unknown strand {strand}"))?;
            all[strand].push((row, place, *step));
        }
    }
    Ok(all)
}

fn ensure(fine: bool, otherwise: impl FnOnce() -> String) -> Result<(), String> {
    if fine { Ok(()) } else { Err(otherwise()) }
}

/// Where a strand is between two of its steps. Rows from 0, boundaries as the chart counts them.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Now {
    Unborn,
    Joined {
        row: usize,
        at: u32,
    },
    /// It has just made a run that ends here.
    Worked {
        row: usize,
        at: u32,
    },
    Carried {
        row: usize,
        at: u32,
    },
    DrawnBack {
        row: usize,
        at: u32,
    },
    /// At the top of that row.
    Resting {
        row: usize,
        at: u32,
    },
    Gone,
}

/// The place of a step among the steps at one boundary, see "Steps" in the strand model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Turn {
    Ends,
    Joins,
    /// Drawn back, and the lift after it.
    ComesBack,
    LiftsWaiting,
    Carries,
    Works,
}

/// A stitch that a strand lies inside.
#[derive(Clone, Copy, Debug)]
struct Inside {
    row: usize,
    /// Which of the strand's hand-overs, from 0.
    hand_over: usize,
    stitch: ColourIndex,
}

/// What one strand leaves behind.
#[derive(Debug, Default)]
struct Trace {
    /// Row and place in the row's list of its join.
    joined: (usize, usize),
    /// Row of its first and of its last run.
    first_run: usize,
    last_run: usize,
    /// Row and column of each stitch made.
    made: Vec<(usize, usize)>,
    /// Row and entry of each run made.
    runs: Vec<(usize, u32)>,
    inside: Vec<Inside>,
    /// What each lift costs.
    lifts: Vec<Cost>,
    /// What each tail costs.
    tails: Vec<Cost>,
    short: Vec<ShortTail>,
    /// For each of its steps: row, place in the list, turn at its boundary.
    turns: Vec<(usize, usize, Turn)>,
}

struct Fabric<'a> {
    chart: &'a Chart,
    plan: &'a Plan,
}

impl Fabric<'_> {
    fn columns(&self) -> u32 {
        u32::try_from(self.chart.columns()).expect("a chart has few columns")
    }

    fn rightwards(&self, row: usize) -> bool {
        RowIndex(row).direction(self.plan.rules.hand) == Direction::Rightwards
    }

    fn yarn_at(&self, row: usize, column: usize) -> ColourIndex {
        self.chart.row(RowIndex(row))[column]
    }

    /// The columns from one boundary to another in the order of work; `None` where that is not
    /// forwards by at least one stitch or leaves the chart.
    fn forwards(&self, row: usize, from: u32, to: u32) -> Option<Vec<usize>> {
        let (left, right) = if self.rightwards(row) { (from, to) } else { (to, from) };
        if left >= right || right > self.columns() {
            return None;
        }
        let mut columns: Vec<usize> = (left as usize..right as usize).collect();
        if !self.rightwards(row) {
            columns.reverse();
        }
        Some(columns)
    }

    /// The columns from a boundary to the end of the row, in the order of work.
    fn ahead(&self, row: usize, at: u32) -> Vec<usize> {
        let end = if self.rightwards(row) { self.columns() } else { 0 };
        self.forwards(row, at, end).unwrap_or_default()
    }

    /// The columns from a boundary back to the start of the row.
    fn behind(&self, row: usize, at: u32) -> Vec<usize> {
        let start = if self.rightwards(row) { 0 } else { self.columns() };
        let mut columns = self.forwards(row, start, at).unwrap_or_default();
        columns.reverse();
        columns
    }

    /// Follows one strand through its steps.
    fn follow(&self, strand: usize, steps: &[StepAt]) -> Result<Trace, String> {
        let yarn = self.plan.strands[strand].yarn;
        ensure(yarn.index() < self.chart.palette().len(), || "its yarn is not in the palette".into())?;
        let mut trace = Trace::default();
        let mut now = Now::Unborn;
        for &(row, place, step) in steps {
            let (next, turn) = self
                .step(strand, yarn, now, row, step, &mut trace)
                .ok_or_else(|| format!("{step:?} in row {row} from 0 can't follow {now:?}"))??;
            if matches!(step, Step::Join { .. }) {
                trace.joined = (row, place);
            }
            trace.turns.push((row, place, turn));
            now = next;
        }
        ensure(now == Now::Gone, || format!("it is left {now:?}"))?;
        Ok(trace)
    }

    /// One step of one strand. `None` where the strand may not do that now.
    fn step(
        &self,
        strand: usize,
        yarn: ColourIndex,
        now: Now,
        row: usize,
        step: Step,
        trace: &mut Trace,
    ) -> Option<Result<(Now, Turn), String>> {
        // A strand that rests goes on in the very next row: it has steps in every row.
        let hangs = match now {
            Now::Resting { row: rested, at } if rested + 1 == row => Some(at),
            _ => None,
        };
        let worked = |at: Boundary| now == Now::Worked { row, at: at.0 };
        let moved =
            |at: Boundary| now == Now::Carried { row, at: at.0 } || now == Now::DrawnBack { row, at: at.0 };
        let done = match step {
            Step::Join { at, tail, .. } => {
                if now != Now::Unborn {
                    return None;
                }
                self.tail(strand, yarn, row, at, tail, true, trace)
                    .map(|()| (Now::Joined { row, at: at.0 }, Turn::Joins))
            }
            Step::Work { from, to, .. } => {
                let joined = now == Now::Joined { row, at: from.0 };
                if !(joined || moved(from) || hangs == Some(from.0)) {
                    return None;
                }
                self.make(yarn, row, from.0, to.0, trace)
                    .map(|()| (Now::Worked { row, at: to.0 }, Turn::Works))
            }
            Step::Carry { from, to, .. } => {
                if !(worked(from) || hangs == Some(from.0)) {
                    return None;
                }
                let columns = self.forwards(row, from.0, to.0)?;
                self.hide(yarn, row, &columns, trace)
                    .map(|()| (Now::Carried { row, at: to.0 }, Turn::Carries))
            }
            Step::DrawBack { from, to, .. } => {
                if hangs != Some(from.0) {
                    return None;
                }
                let columns = self.forwards(row, to.0, from.0)?;
                self.hide(yarn, row, &columns, trace)
                    .map(|()| (Now::DrawnBack { row, at: to.0 }, Turn::ComesBack))
            }
            Step::Drop { at, .. } => {
                if !worked(at) {
                    return None;
                }
                Ok((Now::Resting { row, at: at.0 }, Turn::Ends))
            }
            Step::Lift { at, .. } => {
                if !(moved(at) || hangs == Some(at.0)) {
                    return None;
                }
                trace.lifts.push(self.climb(yarn, row, at.0));
                let turn = match now {
                    Now::Carried { .. } => Turn::Ends,
                    Now::DrawnBack { .. } => Turn::ComesBack,
                    _ => Turn::LiftsWaiting,
                };
                Ok((Now::Resting { row, at: at.0 }, turn))
            }
            Step::Cut { at, tail, .. } => {
                if !worked(at) {
                    return None;
                }
                self.tail(strand, yarn, row, at, tail, false, trace).map(|()| (Now::Gone, Turn::Ends))
            }
        };
        Some(done)
    }

    /// Makes a run, which must be one of the chart's, and looks at the wait that it ends.
    fn make(
        &self,
        yarn: ColourIndex,
        row: usize,
        from: u32,
        to: u32,
        trace: &mut Trace,
    ) -> Result<(), String> {
        let columns = self.forwards(row, from, to).ok_or("it works against the direction of the row")?;
        let ours = |column: Option<&usize>| column.is_some_and(|&column| self.yarn_at(row, column) == yarn);
        ensure(columns.iter().all(|column| ours(Some(column))), || {
            format!("it works a foreign stitch in row {row}")
        })?;
        let whole = !ours(self.behind(row, from).first()) && !ours(self.ahead(row, to).first());
        ensure(whole, || format!("it works part of a run in row {row}"))?;
        if trace.runs.is_empty() {
            trace.first_run = row;
        } else {
            let waited = row.saturating_sub(trace.last_run + 1);
            let most = self.plan.rules.limits.longest_wait;
            ensure(most.is_none_or(|most| waited <= most as usize), || {
                format!("it waits for {waited} rows")
            })?;
        }
        trace.last_run = row;
        trace.runs.push((row, from));
        trace.made.extend(columns.into_iter().map(|column| (row, column)));
        Ok(())
    }

    /// Puts the strand inside these stitches.
    fn hide(
        &self,
        yarn: ColourIndex,
        row: usize,
        columns: &[usize],
        trace: &mut Trace,
    ) -> Result<(), String> {
        for &column in columns {
            let stitch = self.yarn_at(row, column);
            ensure(!self.plan.rules.never.forbids(yarn, stitch), || {
                format!("it is never to pass {stitch:?}")
            })?;
            trace.inside.push(Inside { row, hand_over: trace.runs.len(), stitch });
        }
        Ok(())
    }

    /// What it costs to climb a row at that boundary.
    fn climb(&self, yarn: ColourIndex, row: usize, at: u32) -> Cost {
        let tables = &self.plan.rules.tables;
        match (self.behind(row, at).first(), self.ahead(row, at).first()) {
            (Some(&last), Some(_)) => tables.lift(yarn, self.yarn_at(row, last)),
            _ => tables.lift_edge,
        }
    }

    /// Works over a tail. `trace` gets what it costs and what is missing.
    #[allow(clippy::too_many_arguments)]
    fn tail(
        &self,
        strand: usize,
        yarn: ColourIndex,
        row: usize,
        at: Boundary,
        tail: Tail,
        of_join: bool,
        trace: &mut Trace,
    ) -> Result<(), String> {
        ensure(at.0 <= self.columns(), || "it has an end outside the chart".into())?;
        let (row_of_line, columns) = match tail.line {
            TailLine::Onward => (row, self.ahead(row, at.0)),
            TailLine::Before if of_join => (row, self.behind(row, at.0)),
            TailLine::Before => return Err("only a join has a tail before it".into()),
            TailLine::NextRow if row + 1 < self.chart.rows() => (row + 1, self.ahead(row + 1, at.0)),
            TailLine::NextRow => (row, Vec::new()),
        };
        let weights = &self.plan.rules.weights;
        let line =
            columns.into_iter().take(weights.tail as usize).map(|column| self.yarn_at(row_of_line, column));
        let over: Vec<ColourIndex> =
            line.filter(|&stitch| !self.plan.rules.never.forbids(yarn, stitch)).collect();
        ensure(over.len() == tail.over as usize, || {
            format!("{} stitches are worked over its tail, not {}", over.len(), tail.over)
        })?;
        let missing = weights.tail - tail.over;
        let cost: Cost = over.iter().map(|&stitch| self.plan.rules.tables.carry(yarn, stitch)).sum();
        trace.tails.push(cost + weights.short * missing);
        if missing > 0 {
            let strand = StrandId(u32::try_from(strand).expect("strands are numbered in 32 bits"));
            trace.short.push(ShortTail { row: RowIndex(row), strand, of_join, missing });
        }
        Ok(())
    }

    fn every_stitch_once(&self, traces: &[Trace]) -> Result<(), String> {
        let mut made = BTreeMap::new();
        for stitch in traces.iter().flat_map(|trace| &trace.made) {
            *made.entry(*stitch).or_insert(0) += 1;
        }
        for row in 0..self.chart.rows() {
            for column in 0..self.chart.columns() {
                let times = made.get(&(row, column)).copied().unwrap_or(0);
                ensure(times == 1, || format!("row {row}, column {column}, from 0: made {times} times"))?;
            }
        }
        Ok(())
    }

    /// Places never go back, and at one boundary everything has its turn.
    fn steps_in_order(&self, traces: &[Trace]) -> Result<(), String> {
        let mut turns = BTreeMap::new();
        for &(row, place, turn) in traces.iter().flat_map(|trace| &trace.turns) {
            turns.insert((row, place), turn);
        }
        for (row, steps) in self.plan.rows.iter().enumerate() {
            let mut keys = Vec::new();
            for (place, step) in steps.steps.iter().enumerate() {
                let at = step.place().0;
                ensure(at <= self.columns(), || format!("row {row} from 0: {step:?} is outside the chart"))?;
                let met = if self.rightwards(row) { at } else { self.columns() - at };
                // A lift belongs after its own drawing back; no strand has any other two steps in
                // one turn.
                let second = matches!(step, Step::Lift { .. });
                keys.push((met, turns[&(row, place)], step.strand(), second));
            }
            ensure(keys.is_sorted_by(|a, b| a < b), || {
                format!("row {row} from 0: the steps are out of order")
            })?;
        }
        Ok(())
    }

    fn joins_in_order(&self, traces: &[Trace]) -> Result<(), String> {
        ensure(traces.is_sorted_by_key(|trace| trace.joined), || {
            "strands are not numbered by their joins".into()
        })
    }

    fn short_tails(&self, traces: &[Trace]) -> Result<(), String> {
        let listed = &self.plan.short_tails;
        ensure(listed.is_sorted_by_key(|tail| tail.row), || "the short tails are out of order".into())?;
        let sorted = |mut tails: Vec<ShortTail>| {
            tails.sort();
            tails
        };
        let found = sorted(traces.iter().flat_map(|trace| trace.short.clone()).collect());
        ensure(sorted(listed.clone()) == found, || {
            format!("the short tails are {found:?}, listed are {listed:?}")
        })
    }

    fn counts(&self, traces: &[Trace]) -> Result<(), String> {
        let (weights, tables) = (&self.plan.rules.weights, &self.plan.rules.tables);
        let (mut cost, mut longest_carry) = (Cost::ZERO, 0);
        for (trace, claim) in traces.iter().zip(&self.plan.strands) {
            let mut others: BTreeMap<(usize, usize), u32> = BTreeMap::new();
            for inside in &trace.inside {
                cost += tables.carry(claim.yarn, inside.stitch);
                *others.entry((inside.hand_over, inside.row)).or_default() +=
                    u32::from(inside.stitch != claim.yarn);
            }
            longest_carry = others.into_values().fold(longest_carry, u32::max);
            cost += weights.join + weights.cut;
            cost += trace.tails.iter().copied().sum();
            cost += trace.lifts.iter().copied().sum();
            for _ in trace.first_run..trace.last_run {
                cost += weights.hang;
            }
        }
        let most = self.plan.rules.limits.longest_carry;
        ensure(most.is_none_or(|most| longest_carry <= most), || {
            format!("a carry passes {longest_carry} stitches")
        })?;

        let alive_in =
            |row| traces.iter().filter(|trace| (trace.first_run..=trace.last_run).contains(&row)).count();
        let cells = (0..self.chart.rows()).flat_map(|row| self.chart.row(RowIndex(row)));
        let counted = PlanCounts {
            colours: cells.collect::<BTreeSet<_>>().len(),
            runs: traces.iter().map(|trace| trace.runs.len()).sum(),
            strands: traces.len(),
            strands_at_once: (0..self.chart.rows()).map(alive_in).max().unwrap_or(0),
            carried: traces.iter().map(|trace| trace.inside.len() as u64).sum(),
            longest_carry,
            cost,
        };
        ensure(self.plan.counts == counted, || {
            format!("the counts are {counted:?}, not {:?}", self.plan.counts)
        })
    }

    fn lengths(&self, traces: &[Trace]) -> Result<(), String> {
        let takes = &self.plan.yarn_use;
        for (strand, (trace, claim)) in traces.iter().zip(&self.plan.strands).enumerate() {
            let mut length = takes.tail + takes.tail;
            length += trace.made.iter().map(|_| takes.stitch).sum();
            length += trace.inside.iter().map(|_| takes.carried).sum();
            length += trace.lifts.iter().map(|_| takes.lift).sum();
            for &(row, entry) in &trace.runs {
                let starts_row = self.behind(row, entry).is_empty();
                // The foundation below row 1; one turning chain before any other row.
                let chains = if !starts_row {
                    0
                } else if row == 0 {
                    self.columns() + 1
                } else {
                    1
                };
                length += (0..chains).map(|_| takes.chain).sum::<Length>();
            }
            ensure(length == claim.length, || {
                format!("strand {strand} from 0 takes {length:?}, not {:?}", claim.length)
            })?;
        }
        Ok(())
    }
}
