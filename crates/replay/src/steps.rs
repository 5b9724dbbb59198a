//! The work itself: one row after the other, one step after the other.

use core::cmp::Ordering;
use core::fmt::Display;

use model::{Boundary, Chart, ColourIndex, Cost, Direction, Plan, PlanCounts, RowIndex, ShortTail};
use model::{Hand, Step, StrandId, Tail, TailLine};

use crate::violation::ViolationKind as Kind;
use crate::{StrandFacts, Violation};

/// Something, or the first thing that is wrong.
pub(crate) type Outcome<T = ()> = Result<T, Box<Violation>>;

/// Works all rows of a plan whose frame fits the chart; what was counted stands in the replay.
pub(crate) fn work<'a>(chart: &'a Chart, plan: &'a Plan) -> Outcome<Replay<'a>> {
    let mut replay = Replay {
        chart,
        plan,
        row: RowIndex(0),
        stitches: Stitches::new(chart, RowIndex(0), plan.rules.hand),
        done: 0,
        last: (0, 0, StrandId(0)),
        in_hand: None,
        alive: Vec::new(),
        inside: [vec![0; chart.columns()], vec![0; chart.columns()]],
        strands: Vec::new(),
        counts: PlanCounts::default(),
        short_tails: Vec::new(),
        most_inside: 0,
    };
    for (row, steps) in chart.row_indices().zip(&plan.rows) {
        replay.row = row;
        replay.stitches = Stitches::new(chart, row, plan.rules.hand);
        (replay.done, replay.last) = (0, (0, 0, StrandId(0)));
        steps.steps.iter().try_for_each(|step| replay.step(step))?;
        replay.end_row()?;
    }
    replay.finish()?;
    Ok(replay)
}

/// A row's stitches in the direction of work. A *place* is a boundary seen that way: the number of
/// stitches before it. Stitch `i`, from 0, lies between the places `i` and `i + 1`.
#[derive(Clone, Copy)]
struct Stitches<'a> {
    cells: &'a [ColourIndex],
    direction: Direction,
}

impl<'a> Stitches<'a> {
    fn new(chart: &'a Chart, row: RowIndex, hand: Hand) -> Self {
        Self { cells: chart.row(row), direction: row.direction(hand) }
    }

    #[allow(clippy::cast_possible_truncation)] // a chart has at most MAX_SIDE columns
    const fn len(&self) -> u32 {
        self.cells.len() as u32
    }

    fn yarn(&self, stitch: u32) -> ColourIndex {
        match self.direction {
            Direction::Rightwards => self.cells[stitch as usize],
            Direction::Leftwards => self.cells[self.cells.len() - 1 - stitch as usize],
        }
    }

    /// The place of a boundary of the chart.
    const fn place(&self, at: Boundary) -> u32 {
        match self.direction {
            Direction::Rightwards => at.0,
            Direction::Leftwards => self.len() - at.0,
        }
    }
}

/// What a strand did last, which says what it may do next.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Phase {
    Joined,
    Worked,
    Carried,
    DrawnBack,
    /// Dropped or lifted: at the top of that row.
    Resting,
    Cut,
}

#[derive(Clone, Copy)]
pub(crate) struct Strand {
    yarn: ColourIndex,
    phase: Phase,
    /// Where it is, and the row of its last step.
    at: Boundary,
    since: RowIndex,
    pub(crate) facts: StrandFacts,
}

pub(crate) struct Replay<'a> {
    chart: &'a Chart,
    plan: &'a Plan,
    row: RowIndex,
    stitches: Stitches<'a>,
    /// Stitches of this row that strands have worked or are working.
    done: u32,
    /// Of the last step in this row: place, turn and strand as [`order`] has them.
    last: (u32, u8, StrandId),
    /// The strand that worked last, until it is told what to do then.
    in_hand: Option<StrandId>,
    /// The strands that were not cut before this row.
    alive: Vec<StrandId>,
    /// Strands and tails inside each stitch of this row and of the next, in the direction of work.
    inside: [Vec<u32>; 2],
    /// In the order of joins.
    pub(crate) strands: Vec<Strand>,
    pub(crate) counts: PlanCounts,
    /// Sorted at the end.
    pub(crate) short_tails: Vec<ShortTail>,
    pub(crate) most_inside: u32,
}

impl Replay<'_> {
    fn step(&mut self, step: &Step) -> Outcome {
        use Step::{Carry, Cut, DrawBack, Drop, Join, Lift, Work};
        let (id, (.., name)) = (step.strand(), order(step, None));
        let (from, to) = match *step {
            Join { at, .. } | Drop { at, .. } | Lift { at, .. } | Cut { at, .. } => (at, at),
            Work { from, to, .. } | Carry { from, to, .. } | DrawBack { from, to, .. } => (from, to),
        };
        let columns = self.stitches.len();
        let (off, expected) = (from.0.max(to.0), format_args!("a boundary from 0 to {columns}"));
        self.must(off <= columns, Kind::OffChart, self.done, id, expected, off)?;
        let (start, end) = (self.stitches.place(from), self.stitches.place(to));
        let strands = self.plan.strands.len();
        let expected = format_args!("one of {strands} strands");
        self.must(id.index() < strands, Kind::UnknownStrand, start, id, expected, id)?;
        if let Join { at, tail, .. } = *step {
            self.keep_order(step, None)?;
            return self.join(id, at, tail);
        }
        let Some(&strand) = self.strands.get(id.index()) else {
            return self.fail(Kind::UsedBeforeJoin, start, id, "join", name);
        };
        let (may, kind, expected) = self.may_follow(step, &strand);
        self.must(may, kind, start, id, expected, name)?;
        if let Work { .. } = step {
            self.reach(start, name)?;
            self.must(start == self.done, Kind::StitchTwice, start, id, "stitches not yet worked", name)?;
            if let Some(held) = self.in_hand {
                return self.fail(Kind::WorkNotEnded, start, held, "carry, drop or cut", "other work");
            }
        }
        let expected = format_args!("{name} at boundary {}", strand.at.0);
        self.must(strand.at == from, Kind::Jump, start, id, expected, from.0)?;
        let (wrong, kind) = match (step, end.cmp(&start)) {
            (Work { .. } | Carry { .. } | DrawBack { .. }, Ordering::Equal) => (true, Kind::EmptyMove),
            (DrawBack { .. }, way) => (way.is_gt(), Kind::DrawnForward),
            (_, way) => (way.is_lt(), Kind::AgainstWork),
        };
        let (expected, found) = ("a stitch or more, its own way", format_args!("{} to {}", from.0, to.0));
        self.must(!wrong, kind, start, id, expected, found)?;
        self.keep_order(step, Some(strand.phase))?;

        self.in_hand = self.in_hand.filter(|&held| held != id);
        let phase = match *step {
            Join { .. } => Phase::Joined, // done above
            Work { .. } => self.make(id, start, end)?,
            Carry { .. } => self.pass(id, start, end, Phase::Carried)?,
            DrawBack { .. } => self.pass(id, end, start, Phase::DrawnBack)?,
            Drop { .. } => Phase::Resting,
            Lift { .. } => self.lock(id, start),
            Cut { at, tail, .. } => {
                self.counts.cost += self.plan.rules.weights.cut;
                self.work_over(id, at, tail, false)?;
                Phase::Cut
            }
        };
        let strand = &mut self.strands[id.index()];
        (strand.phase, strand.at, strand.since) = (phase, to, self.row);
        Ok(())
    }

    /// Whether a step, no join, may follow what the strand did last; the reason where not; what may.
    fn may_follow(&self, step: &Step, strand: &Strand) -> (bool, Kind, &'static str) {
        let (here, worked_here) = (strand.since == self.row, strand.facts.last_row == self.row);
        let (works, back) = (matches!(step, Step::Work { .. }), matches!(step, Step::DrawBack { .. }));
        let moves = back || matches!(step, Step::Carry { .. });
        let leaves = matches!(step, Step::Drop { .. } | Step::Cut { .. });
        match strand.phase {
            Phase::Joined => (works, Kind::JoinNotWorked, "work"),
            Phase::Worked | Phase::Resting if back && worked_here => {
                (false, Kind::DrawnBackAfterWork, "no drawing back in a row in which it worked")
            }
            Phase::Worked => (leaves || moves, Kind::WorkNotEnded, "carry, drop or cut"),
            Phase::Carried | Phase::DrawnBack if moves => (false, Kind::MovedTwice, "work or lift"),
            Phase::Carried | Phase::DrawnBack => (!leaves, Kind::CarryNotEnded, "work or lift"),
            Phase::Resting if here => (false, Kind::UsedAfterRest, "nothing more of it in this row"),
            Phase::Resting => (!leaves, Kind::NotAfterWork, "work, carry, draw_back or lift"),
            Phase::Cut => (false, Kind::UsedAfterCut, "nothing more of it"),
        }
    }

    /// The work of this row has come to a place.
    fn reach(&self, place: u32, found: &str) -> Outcome {
        if place <= self.done {
            return Ok(());
        }
        let expected = format_args!("a stitch of {}", self.symbol(self.stitches.yarn(self.done)));
        self.fail(Kind::StitchMissed, self.done, None, expected, found)
    }

    /// Steps come in the order of their places and at one place in the order of the model.
    fn keep_order(&mut self, step: &Step, phase: Option<Phase>) -> Outcome {
        let (place, id) = (self.stitches.place(step.place()), step.strand());
        let (turn, found) = order(step, phase);
        self.reach(place, found)?;
        let (last_place, last_turn, last) = self.last;
        let expected = format_args!("a step at stitch {} or later", last_place + 1);
        self.must(place >= last_place, Kind::OutOfPlace, place, id, expected, found)?;
        let fits = place > last_place || turn > last_turn || turn == last_turn && id >= last;
        let expected = "what ends, join, draw_back and lift, carry, work, each by strand number";
        self.must(fits, Kind::OutOfOrder, place, id, expected, found)?;
        self.last = (place, turn, id);
        Ok(())
    }

    fn join(&mut self, id: StrandId, at: Boundary, tail: Tail) -> Outcome {
        let (place, next) = (self.stitches.place(at), self.strands.len());
        self.must(id.index() == next, Kind::JoinOrder, place, id, next + 1, id)?;
        let facts = StrandFacts {
            stitches: 0,
            carried: 0,
            lifts: 0,
            turning_chains: 0,
            foundation_chains: 0,
            first_row: self.row,
            last_row: self.row,
        };
        let yarn = self.plan.strands[id.index()].yarn;
        self.strands.push(Strand { yarn, phase: Phase::Joined, at, since: self.row, facts });
        self.alive.push(id);
        self.counts.cost += self.plan.rules.weights.join;
        self.work_over(id, at, tail, true)
    }

    /// The strand makes the stitches between two places, which must be one whole run.
    fn make(&mut self, id: StrandId, from: u32, to: u32) -> Outcome<Phase> {
        let Strand { yarn, phase, mut facts, .. } = self.strands[id.index()];
        if let Some(wrong) = (from..to).find(|&stitch| self.stitches.yarn(stitch) != yarn) {
            let first = wrong == from && phase == Phase::Joined;
            let kind = if first { Kind::FalseYarn } else { Kind::WrongYarn };
            return self.fail(kind, wrong, id, self.symbol(self.stitches.yarn(wrong)), self.symbol(yarn));
        }
        let whole = to == self.stitches.len() || self.stitches.yarn(to) != yarn;
        self.must(whole, Kind::RunSplit, to, id, "the whole run", "work that ends before")?;
        let waited = self.row.0.saturating_sub(facts.last_row.0 + 1);
        let limit = self.plan.rules.limits.longest_wait.unwrap_or(u32::MAX);
        let expected = format_args!("at most {limit} rows");
        self.must(waited <= limit as usize, Kind::LongestWait, from, id, expected, waited)?;
        match (from, self.row) {
            (0, RowIndex(0)) => facts.foundation_chains = self.stitches.len() + 1,
            (0, _) => facts.turning_chains += 1,
            _ => {}
        }
        facts.stitches += to - from;
        facts.last_row = self.row;
        self.strands[id.index()].facts = facts;
        self.counts.runs += 1;
        (self.done, self.in_hand) = (to, Some(id));
        Ok(Phase::Worked)
    }

    /// The stitches between two places are worked over the strand.
    fn pass(&mut self, id: StrandId, from: u32, to: u32, phase: Phase) -> Outcome<Phase> {
        let yarn = self.strands[id.index()].yarn;
        let limit = self.plan.rules.limits.longest_carry.unwrap_or(u32::MAX);
        let mut others = 0;
        for stitch in from..to {
            let charted = self.stitches.yarn(stitch);
            if self.plan.rules.never.forbids(yarn, charted) {
                let expected = format_args!("a stitch that may hide {}", self.symbol(yarn));
                return self.fail(Kind::NeverBroken, stitch, id, expected, self.symbol(charted));
            }
            others += u32::from(charted != yarn);
            let expected = format_args!("at most {limit} stitches of other yarns passed in a row");
            self.must(others <= limit, Kind::LongestCarry, stitch, id, expected, others)?;
            self.counts.cost += self.plan.rules.tables.carry(yarn, charted);
            self.inside[0][stitch as usize] += 1;
        }
        self.strands[id.index()].facts.carried += to - from;
        self.counts.carried += u64::from(to - from);
        self.counts.longest_carry = self.counts.longest_carry.max(others);
        Ok(phase)
    }

    /// The working yarn locks the strand as it passes.
    fn lock(&mut self, id: StrandId, place: u32) -> Phase {
        let strand = &mut self.strands[id.index()];
        strand.facts.lifts += 1;
        self.counts.cost += if place == 0 || place == self.stitches.len() {
            self.plan.rules.tables.lift_edge
        } else {
            self.plan.rules.tables.lift(strand.yarn, self.stitches.yarn(place - 1))
        };
        Phase::Resting
    }

    /// The tail of a join or a cut is worked over along its line.
    fn work_over(&mut self, id: StrandId, at: Boundary, tail: Tail, of_join: bool) -> Outcome {
        let (place, columns) = (self.stitches.place(at), self.stitches.len());
        let (yarn, wanted) = (self.strands[id.index()].yarn, self.plan.rules.weights.tail);
        let (mut stitches, mut line) = (self.stitches, place..(place + wanted).min(columns));
        match tail.line {
            TailLine::Onward => {}
            TailLine::Before if of_join => line = place.saturating_sub(wanted)..place,
            TailLine::Before => return self.fail(Kind::TailLine, place, id, "onward or next_row", "before"),
            TailLine::NextRow if self.row.0 + 1 == self.chart.rows() => line = 0..0,
            TailLine::NextRow => {
                stitches = Stitches::new(self.chart, RowIndex(self.row.0 + 1), self.plan.rules.hand);
                line = stitches.place(at)..(stitches.place(at) + wanted).min(columns);
            }
        }
        let inside = &mut self.inside[usize::from(tail.line == TailLine::NextRow)];
        let (mut over, mut cost) = (0, Cost::ZERO);
        for stitch in line {
            let charted = stitches.yarn(stitch);
            if !self.plan.rules.never.forbids(yarn, charted) {
                over += 1;
                cost += self.plan.rules.tables.carry(yarn, charted);
                inside[stitch as usize] += 1;
            }
        }
        let expected = format_args!("{over} stitches over the tail");
        self.must(tail.over == over, Kind::FalseTail, place, id, expected, tail.over)?;
        let missing = wanted - over;
        self.counts.cost += cost + self.plan.rules.weights.short * missing;
        if missing > 0 {
            self.short_tails.push(ShortTail { row: self.row, strand: id, of_join, missing });
        }
        Ok(())
    }

    /// Every stitch is worked, and every strand waits at the top of the row or is cut.
    fn end_row(&mut self) -> Outcome {
        let found = "the end of the row";
        self.reach(self.stitches.len(), found)?;
        for &id in &self.alive {
            let strand = &self.strands[id.index()];
            let kind = match strand.phase {
                Phase::Joined => Kind::JoinNotWorked,
                Phase::Worked => Kind::WorkNotEnded,
                Phase::Carried | Phase::DrawnBack => Kind::CarryNotEnded,
                Phase::Resting if strand.since != self.row => Kind::Float,
                Phase::Resting | Phase::Cut => continue,
            };
            return self.fail(kind, self.stitches.place(strand.at), id, "drop, lift or cut", found);
        }
        self.counts.strands_at_once = self.counts.strands_at_once.max(self.alive.len());
        self.alive.retain(|id| self.strands[id.index()].phase != Phase::Cut);
        self.most_inside = self.inside[0].iter().copied().fold(self.most_inside, u32::max);
        self.inside[0].fill(0);
        self.inside.swap(0, 1);
        Ok(())
    }

    /// Every strand is cut; what can be counted only then.
    fn finish(&mut self) -> Outcome {
        if let Some(&id) = self.alive.first() {
            return self.fail(Kind::LeftOver, self.stitches.len(), id, "cut", "the end of the last row");
        }
        for Strand { facts, .. } in &self.strands {
            let rows = u32::try_from(facts.last_row.0 - facts.first_row.0).unwrap_or(u32::MAX);
            self.counts.cost += self.plan.rules.weights.hang * rows;
        }
        self.counts.strands = self.strands.len();
        self.counts.colours = self.chart.stitches_by_yarn().iter().filter(|&&count| count > 0).count();
        self.short_tails.sort_unstable();
        Ok(())
    }

    fn must(
        &self,
        holds: bool,
        kind: Kind,
        place: u32,
        strand: StrandId,
        expected: impl Display,
        found: impl Display,
    ) -> Outcome {
        if holds { Ok(()) } else { self.fail(kind, place, strand, expected, found) }
    }

    fn fail<T>(
        &self,
        kind: Kind,
        place: u32,
        strand: impl Into<Option<StrandId>>,
        expected: impl Display,
        found: impl Display,
    ) -> Outcome<T> {
        let (row, strand) = (Some(self.row.into()), strand.into());
        let stitch = Some((place + 1).min(self.stitches.len()));
        Err(Box::new(Violation { row, stitch, strand, ..*Violation::new(kind, expected, found) }))
    }

    fn symbol(&self, yarn: ColourIndex) -> String {
        format!("yarn {}", self.chart.palette().symbol(yarn))
    }
}

/// The turn of a step among those at one place, of which the lower strand number comes first, and its
/// name as plans are written.
const fn order(step: &Step, phase: Option<Phase>) -> (u8, &'static str) {
    match (step, phase) {
        (Step::Lift { .. }, Some(Phase::Carried)) => (0, "lift"),
        (Step::Cut { .. }, _) => (0, "cut"),
        (Step::Drop { .. }, _) => (0, "drop"),
        (Step::Join { .. }, _) => (1, "join"),
        (Step::DrawBack { .. }, _) => (2, "draw_back"),
        (Step::Lift { .. }, Some(Phase::DrawnBack)) => (2, "lift"),
        (Step::Lift { .. }, _) => (3, "lift"),
        (Step::Carry { .. }, _) => (4, "carry"),
        (Step::Work { .. }, _) => (5, "work"),
    }
}
