//! A chart with the strands that work it, changed a row at a time.
//!
//! The planner tells off all strands at once and proves that it can't be done for less; here a
//! change of some stitches tells off only the strands that work there, and among themselves. What
//! comes out is a plan that could be worked, so the cheapest plan of the changed chart is no dearer.
//! Every change can be taken back.
//!
//! Costs are in stitches. Between two runs a strand takes one of two plain ways, straight up and
//! then along or along and then straight up; what the planner's own ways are cheaper by, and the
//! limits on hand-overs, are left to it.

use model::{Direction, RowIndex, Rules};

use crate::problem::Problem;
use crate::worked::Worked;

/// Beyond any cost.
pub(crate) const FAR: f32 = 1e9;

const NONE: u32 = u32::MAX;

/// Part of a row: the row, the first column, one past the last.
pub(crate) type Stretch = (usize, usize, usize);

/// So many rows from where a strand begins or ends it may still take a new run in.
const SHORTLY: usize = 12;

/// Most ends on one side that are told off in all ways.
const MOST: usize = 5;

/// A run, with what comes before and behind it on its strand.
#[derive(Clone, Copy, Debug)]
struct Run {
    yarn: u8,
    row: u32,
    low: u32,
    high: u32,
    before: u32,
    next: u32,
    /// The hand-over to the next.
    link: f32,
    /// Whether it goes straight up first.
    up_first: bool,
    /// Whether it goes yet another way, which only the planner knows.
    own_way: bool,
    /// Of a strand that begins here, and that ends here.
    start: f32,
    end: f32,
}

impl Run {
    fn cost(&self) -> f32 {
        let start = if self.before == NONE { self.start } else { 0.0 };
        start + if self.next == NONE { self.end } else { self.link }
    }
}

/// A row and a boundary.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Place {
    row: usize,
    at: usize,
}

/// A stretch of a row that the strand of a run passes inside the stitches, on its way to the next.
#[derive(Clone, Copy, Debug)]
struct Pass {
    run: u32,
    low: u32,
    high: u32,
}

/// A boundary where it is locked.
#[derive(Clone, Copy, Debug)]
struct Lock {
    run: u32,
    at: u32,
}

/// What was before a change.
enum Was {
    Run(u32, Run),
    Born,
    Row(usize, Vec<u32>),
    Line(usize, Vec<u8>),
    NoPass(usize),
    Pass(usize, usize, Pass),
    NoLock(usize),
    Lock(usize, usize, Lock),
    NoBy(usize),
    By(usize, usize, u32),
}

/// What work costs, as plain numbers.
struct Weights {
    yarns: usize,
    hang: f32,
    join: f32,
    cut: f32,
    short: f32,
    tail: usize,
    /// By yarn hidden and stitch.
    carry: Vec<f32>,
    /// The same in a tail.
    hide: Vec<f32>,
    lift: Vec<f32>,
    lift_edge: f32,
}

impl Weights {
    #[allow(clippy::cast_possible_truncation)]
    fn new(problem: &Problem<'_>) -> Self {
        let rules: &Rules = problem.task.rules;
        let st = |cost: model::Cost| cost.as_stitches() as f32;
        let mut weights = Self {
            yarns: problem.yarns,
            hang: st(rules.weights.hang),
            join: st(rules.weights.join),
            cut: st(rules.weights.cut),
            short: st(rules.weights.short),
            tail: rules.weights.tail as usize,
            carry: Vec::new(),
            hide: Vec::new(),
            lift: Vec::new(),
            lift_edge: st(rules.tables.lift_edge),
        };
        for yarn in problem.task.palette.indices() {
            for stitch in problem.task.palette.indices() {
                let carry = st(rules.tables.carry(yarn, stitch));
                let forbidden = rules.never.forbids(yarn, stitch);
                weights.carry.push(if forbidden { 1e6 } else { carry });
                weights.hide.push(if forbidden { weights.short } else { carry });
                weights.lift.push(st(rules.tables.lift(yarn, stitch)));
            }
        }
        weights
    }
}

/// See the module's page.
pub(crate) struct Strands<'a> {
    problem: &'a Problem<'a>,
    weights: Weights,
    cells: Vec<u8>,
    runs: Vec<Run>,
    /// The runs of each row from the left.
    rows: Vec<Vec<u32>>,
    passes: Vec<Vec<Pass>>,
    locks: Vec<Vec<Lock>>,
    /// By yarn and row: the runs whose strand comes by there on its way to the next.
    by: Vec<Vec<u32>>,
    /// By row, yarn and boundary: what passing the stitches to the left costs, and hiding a tail there.
    passed: Vec<f32>,
    hidden: Vec<f32>,
    log: Vec<Was>,
    cost: f64,
}

impl<'a> Strands<'a> {
    /// The strands of a chart as the planner tells them off.
    pub(crate) fn new(problem: &'a Problem<'a>, cells: &[u8], worked: &Worked) -> Self {
        let width = problem.columns + 1;
        let mut strands = Self {
            problem,
            weights: Weights::new(problem),
            cells: cells.to_vec(),
            runs: Vec::new(),
            rows: vec![Vec::new(); problem.rows],
            passes: vec![Vec::new(); problem.rows],
            locks: vec![Vec::new(); problem.rows],
            by: vec![Vec::new(); problem.rows * problem.yarns],
            passed: vec![0.0; problem.rows * problem.yarns * width],
            hidden: vec![0.0; problem.rows * problem.yarns * width],
            log: Vec::new(),
            cost: 0.0,
        };
        for row in 0..problem.rows {
            strands.lay_ground(row, 0);
        }
        for (yarn, of) in (0u8..).zip(&worked.yarns) {
            let first = as_u32(strands.runs.len());
            for run in &of.runs {
                let (low, high) = (run.entry.0.min(run.exit.0), run.entry.0.max(run.exit.0));
                strands.rows[run.row.0].push(as_u32(strands.runs.len()));
                let run = strands.bare(yarn, run.row.0, low as usize, high as usize);
                strands.runs.push(run);
            }
            for ((run, next), cost) in (first..).zip(&of.next).zip(&of.link) {
                if let Some(next) = next {
                    strands.link(run, first + next);
                    // By the way that the planner found.
                    let run = &mut strands.runs[run as usize];
                    run.own_way = *cost < run.link - 0.0005;
                    run.link = *cost;
                }
            }
        }
        for row in &mut strands.rows {
            row.sort_unstable_by_key(|&run| strands.runs[run as usize].low);
        }
        strands.log.clear();
        strands.cost = strands.runs.iter().map(|run| f64::from(run.cost())).sum();
        strands
    }

    pub(crate) fn cells(&self) -> &[u8] {
        &self.cells
    }

    /// Cost of all strands by their plain ways.
    pub(crate) fn cost(&self) -> f64 {
        self.cost
    }

    /// From which a change can be taken back.
    pub(crate) fn mark(&self) -> (usize, f64) {
        (self.log.len(), self.cost)
    }

    /// Nothing before this can be taken back any more.
    pub(crate) fn keep(&mut self) {
        self.log.clear();
    }

    /// Takes all changes since a mark back.
    pub(crate) fn take_back(&mut self, (mark, cost): (usize, f64)) {
        while self.log.len() > mark {
            match self.log.pop().expect("there is more than the mark") {
                Was::Run(run, was) => self.runs[run as usize] = was,
                Was::Born => {
                    self.runs.pop();
                }
                Was::Row(row, was) => self.rows[row] = was,
                Was::Line(row, was) => {
                    let columns = self.problem.columns;
                    let from =
                        (0..columns).find(|&at| self.cells[row * columns + at] != was[at]).unwrap_or(columns);
                    self.cells[row * columns..][..columns].copy_from_slice(&was);
                    self.lay_ground(row, from);
                }
                Was::NoPass(row) => {
                    self.passes[row].pop();
                }
                Was::Pass(row, at, was) => put_back(&mut self.passes[row], at, was),
                Was::NoLock(row) => {
                    self.locks[row].pop();
                }
                Was::Lock(row, at, was) => put_back(&mut self.locks[row], at, was),
                Was::NoBy(slot) => {
                    self.by[slot].pop();
                }
                Was::By(slot, at, was) => put_back(&mut self.by[slot], at, was),
            }
        }
        self.cost = cost;
    }

    /// Works out the prices of a row anew, from a column on.
    fn lay_ground(&mut self, row: usize, from: usize) {
        let (columns, yarns) = (self.problem.columns, self.weights.yarns);
        let line = &self.cells[row * columns..][..columns];
        for yarn in 0..yarns {
            let at = (row * yarns + yarn) * (columns + 1);
            let (mut passed, mut hidden) = (self.passed[at + from], self.hidden[at + from]);
            for (column, &stitch) in line.iter().enumerate().skip(from) {
                passed += self.weights.carry[yarn * yarns + usize::from(stitch)];
                hidden += self.weights.hide[yarn * yarns + usize::from(stitch)];
                self.passed[at + column + 1] = passed;
                self.hidden[at + column + 1] = hidden;
            }
        }
    }

    fn rightwards(&self, row: usize) -> bool {
        RowIndex(row).direction(self.problem.task.rules.hand) == Direction::Rightwards
    }

    fn entry(&self, run: u32) -> Place {
        let run = &self.runs[run as usize];
        let row = run.row as usize;
        Place { row, at: if self.rightwards(row) { run.low } else { run.high } as usize }
    }

    fn exit(&self, run: u32) -> Place {
        let run = &self.runs[run as usize];
        let row = run.row as usize;
        Place { row, at: if self.rightwards(row) { run.high } else { run.low } as usize }
    }

    fn moved(&self, yarn: u8, row: usize, from: usize, to: usize) -> f32 {
        let at = (row * self.weights.yarns + usize::from(yarn)) * (self.problem.columns + 1);
        (self.passed[at + to] - self.passed[at + from]).abs()
    }

    fn lock(&self, yarn: u8, row: usize, at: usize) -> f32 {
        let columns = self.problem.columns;
        if at == 0 || at == columns {
            return self.weights.lift_edge;
        }
        let stitch = self.cells[row * columns + if self.rightwards(row) { at - 1 } else { at }];
        self.weights.lift[usize::from(yarn) * self.weights.yarns + usize::from(stitch)]
    }

    /// A tail in a row from a boundary on.
    fn tail(&self, yarn: u8, row: usize, at: usize, rightwards: bool) -> f32 {
        let tail = self.weights.tail;
        let (low, high) = if rightwards {
            (at, (at + tail).min(self.problem.columns))
        } else {
            (at.saturating_sub(tail), at)
        };
        #[allow(clippy::cast_precision_loss)]
        let missing = |stitches: usize| self.weights.short * stitches as f32;
        if row >= self.problem.rows {
            return missing(tail);
        }
        let from = (row * self.weights.yarns + usize::from(yarn)) * (self.problem.columns + 1);
        self.hidden[from + high] - self.hidden[from + low] + missing(tail - (high - low))
    }

    fn start(&self, yarn: u8, Place { row, at }: Place) -> f32 {
        let onward = self.rightwards(row);
        let lines = [(row, onward), (row, !onward), (row + 1, !onward)];
        let lines = lines.map(|(row, rightwards)| self.tail(yarn, row, at, rightwards));
        self.weights.join + lines[0].min(lines[1]).min(lines[2])
    }

    fn end(&self, yarn: u8, Place { row, at }: Place) -> f32 {
        let onward = self.rightwards(row);
        self.weights.cut + self.tail(yarn, row, at, onward).min(self.tail(yarn, row + 1, at, !onward))
    }

    /// The cheaper of the two plain ways, and whether it is the one straight up first.
    fn way(&self, yarn: u8, from: Place, to: Place) -> (f32, bool) {
        if from.row == to.row {
            let ahead = if self.rightwards(from.row) { from.at < to.at } else { from.at > to.at };
            return (if ahead { self.moved(yarn, from.row, from.at, to.at) } else { FAR }, true);
        }
        if from.row > to.row {
            return (FAR, true);
        }
        #[allow(clippy::cast_precision_loss)]
        let hang = self.weights.hang * (to.row - from.row) as f32;
        let up = |at: usize| (from.row + 1..to.row).map(|row| self.lock(yarn, row, at)).sum::<f32>();
        let up_first = hang + up(from.at) + self.moved(yarn, to.row, from.at, to.at);
        if to.row == from.row + 1 || from.at == to.at {
            return (up_first, true);
        }
        let along_first = hang + up(to.at) + self.moved(yarn, from.row + 1, from.at, to.at);
        if up_first <= along_first { (up_first, true) } else { (along_first, false) }
    }

    /// A run by itself.
    fn bare(&self, yarn: u8, row: usize, low: usize, high: usize) -> Run {
        let (entry, exit) = if self.rightwards(row) { (low, high) } else { (high, low) };
        Run {
            yarn,
            row: as_u32(row),
            low: as_u32(low),
            high: as_u32(high),
            before: NONE,
            next: NONE,
            link: 0.0,
            up_first: true,
            own_way: false,
            start: self.start(yarn, Place { row, at: entry }),
            end: self.end(yarn, Place { row, at: exit }),
        }
    }

    /// Changes a run; the cost follows.
    fn set(&mut self, run: u32, change: impl FnOnce(&mut Run)) {
        let at = run as usize;
        self.log.push(Was::Run(run, self.runs[at]));
        self.cost -= f64::from(self.runs[at].cost());
        change(&mut self.runs[at]);
        self.cost += f64::from(self.runs[at].cost());
    }

    fn link(&mut self, run: u32, next: u32) {
        let yarn = self.runs[run as usize].yarn;
        let (from, to) = (self.exit(run), self.entry(next));
        let (cost, up_first) = self.way(yarn, from, to);
        self.set(run, |run| {
            run.next = next;
            run.link = cost;
            run.up_first = up_first;
            run.own_way = false;
        });
        self.set(next, |next| next.before = run);
        let (row, at) = if up_first { (to.row, from.at) } else { (from.row + 1, to.at) };
        if from.at != to.at {
            self.log.push(Was::NoPass(row));
            let (low, high) = (as_u32(from.at.min(to.at)), as_u32(from.at.max(to.at)));
            self.passes[row].push(Pass { run, low, high });
        }
        for row in from.row + 1..to.row {
            self.log.push(Was::NoLock(row));
            self.locks[row].push(Lock { run, at: as_u32(at) });
        }
        for row in from.row..=to.row {
            let slot = row * self.weights.yarns + usize::from(yarn);
            self.log.push(Was::NoBy(slot));
            self.by[slot].push(run);
        }
    }

    fn unlink(&mut self, run: u32) {
        let Run { yarn, next, up_first, .. } = self.runs[run as usize];
        let (from, to) = (self.exit(run), self.entry(next));
        self.set(run, |run| run.next = NONE);
        self.set(next, |next| next.before = NONE);
        let row = if up_first { to.row } else { from.row + 1 };
        if let Some(at) = self.passes[row].iter().position(|pass| pass.run == run) {
            let was = self.passes[row].swap_remove(at);
            self.log.push(Was::Pass(row, at, was));
        }
        for row in from.row + 1..to.row {
            if let Some(at) = self.locks[row].iter().position(|lock| lock.run == run) {
                let was = self.locks[row].swap_remove(at);
                self.log.push(Was::Lock(row, at, was));
            }
        }
        for row in from.row..=to.row {
            let slot = row * self.weights.yarns + usize::from(yarn);
            if let Some(at) = self.by[slot].iter().position(|&by| by == run) {
                let was = self.by[slot].swap_remove(at);
                self.log.push(Was::By(slot, at, was));
            }
        }
    }

    /// Gives stitches of a row other yarns: columns `from..to` take those of `line`. The cost follows.
    pub(crate) fn change(&mut self, row: usize, from: usize, line: &[u8]) {
        let columns = self.problem.columns;
        let had = &self.cells[row * columns..][..columns];
        let Some(first) = line.iter().enumerate().position(|(at, &yarn)| had[from + at] != yarn) else {
            return;
        };
        let last = line.iter().enumerate().rposition(|(at, &yarn)| had[from + at] != yarn).unwrap_or(first);
        let (first, last) = (from + first, from + last);
        let had = had.to_vec();
        let mut has = had.clone();
        has[from..from + line.len()].copy_from_slice(line);

        // The runs from the one before the change to the one behind it.
        let mut in_row = self.rows[row].clone();
        let low = in_row.iter().position(|&run| self.runs[run as usize].high as usize >= first).unwrap_or(0);
        let high = in_row.iter().rposition(|&run| self.runs[run as usize].low as usize <= last + 1);
        let high = high.map_or(in_row.len(), |high| high + 1);
        let (left, right) = (
            self.runs[in_row[low] as usize].low as usize,
            self.runs[in_row[high - 1] as usize].high as usize,
        );
        let mut now: Vec<(u8, usize, usize, u32)> = Vec::new();
        let mut start = left;
        for at in left + 1..=right {
            if at == right || has[at] != has[start] {
                let stays = in_row[low..high].iter().copied().find(|&run| {
                    let run = &self.runs[run as usize];
                    (run.yarn, run.low as usize, run.high as usize) == (has[start], start, at)
                });
                now.push((has[start], start, at, stays.unwrap_or(NONE)));
                start = at;
            }
        }
        let gone: Vec<u32> =
            in_row[low..high].iter().copied().filter(|run| now.iter().all(|now| now.3 != *run)).collect();

        // Their strands let go of them.
        let (mut sources, mut sinks) = (Vec::new(), Vec::new());
        for &run in &gone {
            let Run { before, next, .. } = self.runs[run as usize];
            if before != NONE {
                self.unlink(before);
                if !gone.contains(&before) {
                    sources.push(before);
                }
            }
            if next != NONE && self.runs[run as usize].next != NONE {
                self.unlink(run);
                if !gone.contains(&next) {
                    sinks.push(next);
                }
            }
        }
        for &run in &gone {
            let cost = f64::from(self.runs[run as usize].cost());
            self.cost -= cost;
        }

        // The stitches change, and what they hide and lock.
        self.log.push(Was::Line(row, had.clone()));
        self.cells[row * columns..][..columns].copy_from_slice(&has);
        self.lay_ground(row, first);
        self.follow_passes(row, first, last, &had, &has);
        self.leave_own_ways(row, first, last);

        // The new runs.
        let mut come = Vec::new();
        for (yarn, low, high, id) in &mut now {
            if *id == NONE {
                *id = as_u32(self.runs.len());
                let run = self.bare(*yarn, row, *low, *high);
                self.cost += f64::from(run.cost());
                self.runs.push(run);
                self.log.push(Was::Born);
                come.push(*id);
            }
        }
        self.log.push(Was::Row(row, in_row.clone()));
        in_row.splice(low..high, now.iter().map(|now| now.3));
        self.rows[row] = in_row;
        self.follow_tails(row);

        let mut yarns: Vec<u8> =
            come.iter().chain(&sources).chain(&sinks).map(|&run| self.runs[run as usize].yarn).collect();
        yarns.sort_unstable();
        yarns.dedup();
        for yarn in yarns {
            let of = |runs: &[u32]| -> Vec<u32> {
                runs.iter().copied().filter(|&run| self.runs[run as usize].yarn == yarn).collect()
            };
            let (come, sources, sinks) = (of(&come), of(&sources), of(&sinks));
            self.tell_off(row, yarn, &come, sources, sinks);
        }
    }

    fn follow_passes(&mut self, row: usize, first: usize, last: usize, had: &[u8], has: &[u8]) {
        let yarns = self.weights.yarns;
        for at in 0..self.passes[row].len() {
            let Pass { run, low, high } = self.passes[row][at];
            let (low, high) = (first.max(low as usize), (last + 1).min(high as usize));
            if low >= high {
                continue;
            }
            let carry = &self.weights.carry[usize::from(self.runs[run as usize].yarn) * yarns..][..yarns];
            let sum =
                |line: &[u8]| line[low..high].iter().map(|&stitch| carry[usize::from(stitch)]).sum::<f32>();
            let change = sum(has) - sum(had);
            self.set(run, |run| run.link += change);
        }
        let rightwards = self.rightwards(row);
        for at in 0..self.locks[row].len() {
            let Lock { run, at } = self.locks[row][at];
            let at = at as usize;
            if at == 0 || at == self.problem.columns {
                continue;
            }
            let stitch = if rightwards { at - 1 } else { at };
            if had[stitch] != has[stitch] {
                let lift = &self.weights.lift[usize::from(self.runs[run as usize].yarn) * yarns..][..yarns];
                let change = lift[usize::from(has[stitch])] - lift[usize::from(had[stitch])];
                self.set(run, |run| run.link += change);
            }
        }
    }

    /// Ways that only the planner knows may lead through changed stitches: from there on the strand
    /// takes the plain way.
    fn leave_own_ways(&mut self, row: usize, first: usize, last: usize) {
        let yarns = self.weights.yarns;
        for slot in row * yarns..(row + 1) * yarns {
            let carry = &self.weights.carry[slot % yarns * yarns..][..yarns];
            let cheapest = carry.iter().copied().fold(FAR, f32::min);
            for at in 0..self.by[slot].len() {
                let run = self.by[slot][at];
                let Run { yarn, next, link, own_way, .. } = self.runs[run as usize];
                if !own_way {
                    continue;
                }
                let (from, to) = (self.exit(run), self.entry(next));
                // From the nearer end to the change and back again.
                let (low, high) = (from.at.min(to.at), from.at.max(to.at));
                let away = low.saturating_sub(last + 1).max(first.saturating_sub(high));
                #[allow(clippy::cast_precision_loss)]
                if 2.0 * away as f32 * cheapest > link {
                    continue;
                }
                let plain = self.way(yarn, from, to).0;
                self.set(run, |run| {
                    run.link = plain;
                    run.own_way = false;
                });
            }
        }
    }

    /// Tails lie in the row of their run or the next.
    fn follow_tails(&mut self, row: usize) {
        for near in row.saturating_sub(1)..=row {
            for at in 0..self.rows[near].len() {
                let run = self.rows[near][at];
                let Run { yarn, before, next, start, end, .. } = self.runs[run as usize];
                if before != NONE && next != NONE {
                    continue;
                }
                let now = (self.start(yarn, self.entry(run)), self.end(yarn, self.exit(run)));
                if now != (start, end) {
                    self.set(run, |run| (run.start, run.end) = now);
                }
            }
        }
    }

    /// Tells off strands of one yarn: to the runs that have come, from where strands were let go to
    /// where they are awaited.
    fn tell_off(&mut self, row: usize, yarn: u8, come: &[u32], mut sources: Vec<u32>, mut sinks: Vec<u32>) {
        if sources.is_empty() && sinks.is_empty() && !come.is_empty() {
            self.nearby(row, yarn, come, &mut sources, &mut sinks);
        }
        // Nobody has looked at the tails of these while they were in mid strand.
        for &run in &sources {
            let end = self.end(yarn, self.exit(run));
            self.set(run, |run| run.end = end);
        }
        for &run in &sinks {
            let start = self.start(yarn, self.entry(run));
            self.set(run, |run| run.start = start);
        }
        let outs: Vec<u32> = sources.into_iter().chain(come.iter().copied()).collect();
        let ins: Vec<u32> = come.iter().copied().chain(sinks).collect();
        if outs.len() > MOST || ins.len() > MOST {
            return;
        }
        let mut table = Vec::with_capacity(outs.len() * ins.len());
        for &from in &outs {
            table.extend(ins.iter().map(|&to| self.way(yarn, self.exit(from), self.entry(to)).0));
        }
        let ends: Vec<f32> = outs.iter().map(|&run| self.runs[run as usize].end).collect();
        let starts: Vec<f32> = ins.iter().map(|&run| self.runs[run as usize].start).collect();
        let mut best = (f32::INFINITY, [NONE; MOST]);
        cheapest(&table, &ends, &starts, 0, 0, 0.0, &mut [NONE; MOST], &mut best);
        for (&from, &to) in outs.iter().zip(&best.1) {
            if to != NONE {
                self.link(from, ins[to as usize]);
            }
        }
    }

    /// A strand that comes by near new runs, or begins or ends near them, lets go of its way there.
    fn nearby(&mut self, row: usize, yarn: u8, come: &[u32], sources: &mut Vec<u32>, sinks: &mut Vec<u32>) {
        let rightwards = self.rightwards(row);
        let (first, last) =
            if rightwards { (come[0], come[come.len() - 1]) } else { (come[come.len() - 1], come[0]) };
        let (entry, exit) = (self.entry(first), self.exit(last));
        let (alone_in, alone_out) = (self.runs[first as usize].start, self.runs[last as usize].end);
        let mut best = alone_in + alone_out;
        let (mut source, mut sink) = (NONE, NONE);
        for &run in &self.by[row * self.weights.yarns + usize::from(yarn)] {
            let Run { next, link, .. } = self.runs[run as usize];
            let change =
                self.way(yarn, self.exit(run), entry).0 + self.way(yarn, exit, self.entry(next)).0 - link;
            if change < best {
                best = change;
                (source, sink) = (run, next);
            }
        }
        for near in row.saturating_sub(SHORTLY)..(row + SHORTLY).min(self.problem.rows) {
            for &run in &self.rows[near] {
                let Run { yarn: other, before, next, .. } = self.runs[run as usize];
                if other != yarn || come.contains(&run) {
                    continue;
                }
                if next == NONE && near <= row {
                    let from = self.exit(run);
                    let change = self.way(yarn, from, entry).0 + alone_out - self.end(yarn, from);
                    if change < best {
                        best = change;
                        (source, sink) = (run, NONE);
                    }
                }
                if before == NONE && near >= row {
                    let to = self.entry(run);
                    let change = alone_in + self.way(yarn, exit, to).0 - self.start(yarn, to);
                    if change < best {
                        best = change;
                        (source, sink) = (NONE, run);
                    }
                }
            }
        }
        if source != NONE {
            if sink != NONE {
                self.unlink(source);
            }
            sources.push(source);
        }
        if sink != NONE {
            sinks.push(sink);
        }
    }

    /// What the strand on one side of a seam passes from one row to `row`, in stitches, where the seam
    /// between a left and a right yarn leads from one boundary to another.
    pub(crate) fn step(&self, row: usize, (left, right): (u8, u8), from: usize, to: usize) -> f64 {
        // Rightwards the row below ran leftwards, so that the right yarn left off at the seam.
        let (yarn, other, over_own) =
            if self.rightwards(row) { (right, left, to < from) } else { (left, right, to > from) };
        let stitch = if over_own { yarn } else { other };
        let carry = self.weights.carry[usize::from(yarn) * self.weights.yarns + usize::from(stitch)];
        #[allow(clippy::cast_precision_loss)]
        let stitches = from.abs_diff(to) as f64;
        f64::from(carry) * stitches
    }

    /// The runs of a row from the left: yarn, first column, one past the last.
    pub(crate) fn runs_in(&self, row: usize) -> impl Iterator<Item = (u8, usize, usize)> + '_ {
        self.rows[row].iter().map(|&run| {
            let run = &self.runs[run as usize];
            (run.yarn, run.low as usize, run.high as usize)
        })
    }

    /// The strands: yarn and runs of each.
    pub(crate) fn paths(&self) -> Vec<(u8, Vec<Stretch>)> {
        let mut paths = Vec::new();
        for row in &self.rows {
            for &run in row {
                if self.runs[run as usize].before != NONE {
                    continue;
                }
                let next = |&run: &u32| Some(self.runs[run as usize].next).filter(|&next| next != NONE);
                let path = std::iter::successors(Some(run), next).map(|run| {
                    let run = &self.runs[run as usize];
                    (run.row as usize, run.low as usize, run.high as usize)
                });
                paths.push((self.runs[run as usize].yarn, path.collect()));
            }
        }
        paths
    }
}

fn put_back<T>(list: &mut Vec<T>, at: usize, was: T) {
    list.push(was);
    let last = list.len() - 1;
    list.swap(at, last);
}

/// The cheapest way to tell off outs from `at` on to ins that are not `taken`.
#[allow(clippy::too_many_arguments)]
fn cheapest(
    table: &[f32],
    ends: &[f32],
    starts: &[f32],
    at: usize,
    taken: u32,
    so_far: f32,
    told: &mut [u32; MOST],
    best: &mut (f32, [u32; MOST]),
) {
    if so_far >= best.0 {
        return;
    }
    if at == ends.len() {
        let alone =
            starts.iter().enumerate().filter(|(into, _)| taken >> into & 1 == 0).map(|(_, cost)| cost);
        let cost = so_far + alone.sum::<f32>();
        if cost < best.0 {
            *best = (cost, *told);
        }
        return;
    }
    for into in 0..starts.len() {
        let cost = table[at * starts.len() + into];
        if taken >> into & 1 == 0 && cost < FAR {
            told[at] = as_u32(into);
            cheapest(table, ends, starts, at + 1, taken | 1 << into, so_far + cost, told, best);
        }
    }
    told[at] = NONE;
    cheapest(table, ends, starts, at + 1, taken, so_far + ends[at], told, best);
}

#[allow(clippy::cast_possible_truncation)] // runs and boundaries of a chart
fn as_u32(place: usize) -> u32 {
    place as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial::Parts;
    use proptest::prelude::*;

    fn worked(problem: &Problem<'_>, cells: &[u8]) -> Worked {
        Worked::new(&problem.chart(cells), problem.task.rules, 1, &|| true).expect("nobody says stop")
    }

    #[allow(clippy::cast_precision_loss)]
    fn exact(problem: &Problem<'_>, cells: &[u8]) -> f64 {
        worked(problem, cells).cost as f64 / 1000.0
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        /// What is told off near a change is a plan: the cheapest of all is no dearer. And a change
        /// taken back leaves all as it was.
        #[test]
        fn no_change_is_promised_for_less_than_it_costs(
            seed in 0u64..1000,
            changes in prop::collection::vec((0usize..13, 0usize..15, prop::collection::vec(0u8..4, 1..6), any::<bool>()), 1..30),
        ) {
            let parts = Parts::noisy(15, 13, seed);
            let task = parts.task();
            let problem = Problem::new(&task).expect("a task");
            let cells = problem.nearest.clone();
            let mut strands = Strands::new(&problem, &cells, &worked(&problem, &cells));
            prop_assert!((strands.cost() - exact(&problem, &cells)).abs() < 0.01);
            for (row, from, line, keeps) in changes {
                let line = &line[..line.len().min(15 - from)];
                let (cost, before) = (strands.cost(), strands.cells().to_vec());
                let mark = strands.mark();
                strands.change(row, from, line);
                prop_assert_eq!(&strands.cells()[row * 15 + from..][..line.len()], line);
                let least = exact(&problem, strands.cells());
                prop_assert!(strands.cost() > least - 0.02, "{} promised, {least} at least", strands.cost());
                let changed = strands.cost();
                strands.take_back(mark);
                prop_assert_eq!(strands.cells(), &before[..]);
                prop_assert_eq!(strands.cost(), cost);
                if keeps {
                    strands.change(row, from, line);
                    prop_assert!((strands.cost() - changed).abs() < 0.001, "{} then {changed}", strands.cost());
                    strands.keep();
                }
            }
            let sum: f64 = strands.rows.iter().flatten().map(|&run| f64::from(strands.runs[run as usize].cost())).sum();
            prop_assert!((sum - strands.cost()).abs() < 0.01, "{sum} summed up, {} kept", strands.cost());
        }
    }
}
