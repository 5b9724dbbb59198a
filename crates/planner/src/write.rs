//! The chosen hand-overs as steps of strands.
//!
//! A [`Script`] keeps the plan together with what it takes to change it in places: beside each step
//! the run that it belongs to. A run and the hand-over that follows it, its *leg*, are written
//! without looking at any other, so an edit takes back and puts down a few legs. What ties the legs
//! together, the numbers of the strands and all totals, is counted anew in one pass over the legs;
//! where numbers have changed they are written over.

use model::{
    Boundary, Chart, ColourIndex, Cost, Direction, Length, Plan, PlanCounts, Row, RowIndex, Rules, Run,
    ShortTail, Step, StrandClaim, StrandId, YarnUse,
};

use crate::choose::Choice;
use crate::finder::as_u32;
use crate::tails;

/// The turn of a step among those at one boundary, and within it its order for one strand.
type Turn = u8;
const ENDS: Turn = 0;
const JOIN: Turn = 2;
const DRAW_BACK: Turn = 4;
/// Straight behind the drawing back of the same strand: the lowest bit comes after the strand.
const LIFT_DRAWN_BACK: Turn = 5;
const LIFT_WAITING: Turn = 6;
const CARRY: Turn = 8;
const WORK: Turn = 10;

/// A run and what its strand does from there to the next; where it begins or ends, the join or cut.
pub(crate) struct Leg<'a> {
    /// Its number among the yarn's own, which stays with the run through edits.
    pub(crate) node: u32,
    pub(crate) run: Run,
    /// Whether the strand begins here.
    pub(crate) joins: bool,
    /// What follows; `None` where the strand is cut.
    pub(crate) onward: Option<Onward<'a>>,
}

/// A hand-over to another run of the yarn: its node, the run itself, the cost of getting there, and
/// where the strand hangs at the top of each row in between, see [`crate::HandOver`].
#[derive(Clone, Copy)]
pub(crate) struct Onward<'a> {
    pub(crate) to: u32,
    pub(crate) run: Run,
    pub(crate) cost: Cost,
    pub(crate) way: &'a [Boundary],
}

/// Writes the plan: `choices` holds one entry for each yarn of the palette, in its order.
///
/// # Panics
/// When the choices are not those of this chart under these rules.
#[must_use]
pub fn write(chart: &Chart, rules: &Rules, yarn_use: YarnUse, choices: &[Choice]) -> Plan {
    let rows = all_runs(chart, rules);
    let mut of_yarn: Vec<Vec<Run>> = choices.iter().map(|own| Vec::with_capacity(own.next.len())).collect();
    for run in rows.iter().flatten() {
        of_yarn[run.yarn.index()].push(*run);
    }
    let mut follows: Vec<Vec<bool>> = Vec::with_capacity(choices.len());
    for (own, choice) in of_yarn.iter().zip(choices) {
        assert_eq!(own.len(), choice.next.len(), "the choice is for other runs");
        let mut follows_of = vec![false; own.len()];
        for next in choice.next.iter().flatten() {
            follows_of[next.to as usize] = true;
        }
        follows.push(follows_of);
    }
    let leg = |yarn: ColourIndex, place: usize| {
        let own = &of_yarn[yarn.index()];
        let onward = choices[yarn.index()].next[place].as_ref().map(|next| Onward {
            to: next.to,
            run: own[next.to as usize],
            cost: next.cost,
            way: &next.way,
        });
        Leg { node: as_u32(place), run: own[place], joins: !follows[yarn.index()][place], onward }
    };
    let mut script = Script::new(chart, rules, yarn_use, &rows, leg);
    script.settle(choices.iter().map(|choice| choice.bound).sum());
    script.plan
}

/// The runs of each row in the order of work.
pub(crate) fn all_runs(chart: &Chart, rules: &Rules) -> Vec<Vec<Run>> {
    chart.row_indices().map(|row| chart.runs_in(row, rules.hand)).collect()
}

/// Which leg of the whole plan: yarn and node in one number.
#[derive(Clone, Copy, PartialEq, Eq)]
struct LegId(u32);

impl LegId {
    /// A palette has at most 2⁸ yarns, and a yarn far fewer than 2²⁴ nodes: at most twice as many as
    /// [`crate::MAX_CELLS`] and some.
    fn new(yarn: ColourIndex, node: u32) -> Self {
        debug_assert!(node < 1 << 24);
        Self(u32::from(yarn.as_u8()) << 24 | node)
    }

    const fn yarn(self) -> usize {
        (self.0 >> 24) as usize
    }

    const fn node(self) -> usize {
        (self.0 & 0x00ff_ffff) as usize
    }
}

/// What is kept beside a step: the leg it belongs to, and its place in the row but for the strand.
#[derive(Clone, Copy)]
struct Mark {
    leg: LegId,
    /// Distance from the row's start, and turn at that boundary.
    order: u32,
}

/// Where a step stands among those of its row, packed so that it sorts as one number: distance from
/// the row's start, turn at that boundary, strand, and order within a strand.
fn place(mark: Mark, strand: StrandId) -> u64 {
    u64::from(mark.order >> 1) << 33 | u64::from(strand.0) << 1 | u64::from(mark.order & 1)
}

/// No leg follows.
const NONE: u32 = u32::MAX;

/// What the totals of a plan take from a leg.
#[derive(Clone, Copy)]
struct Tally {
    leg: LegId,
    joins: bool,
    /// Node of the next leg, or `NONE`.
    next: u32,
    longest_carry: u32,
    carried: u64,
    cost: Cost,
    /// Without tails and chains.
    length: Length,
    /// Stitches missing of the tails of the join and the cut.
    missing: [u32; 2],
}

impl Tally {
    const fn of(leg: LegId, joins: bool, next: u32) -> Self {
        let (cost, length) = (Cost::ZERO, Length::ZERO);
        Self { leg, joins, next, longest_carry: 0, carried: 0, cost, length, missing: [0, 0] }
    }
}

/// The legs of one yarn, by node.
struct Legs {
    yarn: ColourIndex,
    strands: Vec<StrandId>,
    /// Taken back since the plan was last settled.
    stale: Vec<bool>,
}

/// A row beside its steps in the plan.
struct RowScript {
    /// Its legs in the order of work: counting walks through memory as it lies.
    legs: Vec<Tally>,
    /// One for each step of the plan.
    marks: Vec<Mark>,
    /// Steps put down since the plan was last settled.
    new: Vec<(Mark, Step)>,
    /// Steps have been put down or taken back.
    touched: bool,
}

/// A plan that can be changed leg by leg.
pub(crate) struct Script {
    columns: u64,
    plan: Plan,
    yarns: Vec<Legs>,
    rows: Vec<RowScript>,
}

impl Script {
    /// Puts all legs down; `leg` gives that of each yarn's run by its place among the yarn's.
    pub(crate) fn new<'a>(
        chart: &Chart,
        rules: &Rules,
        yarn_use: YarnUse,
        rows: &[Vec<Run>],
        leg: impl Fn(ColourIndex, usize) -> Leg<'a>,
    ) -> Self {
        let row = |runs: &Vec<Run>| RowScript {
            legs: Vec::with_capacity(runs.len()),
            marks: Vec::new(),
            // A run and what is done with its strand before and after, and with those that wait.
            new: Vec::with_capacity(4 * runs.len() + 8),
            touched: true,
        };
        let plan = Plan {
            rules: rules.clone(),
            yarn_use,
            rows: vec![Row::default(); rows.len()],
            strands: Vec::new(),
            short_tails: Vec::new(),
            counts: PlanCounts::default(),
            bound: Cost::ZERO,
        };
        let yarns = chart.palette().indices();
        let yarns = yarns.map(|yarn| Legs { yarn, strands: Vec::new(), stale: Vec::new() }).collect();
        let columns = chart.columns() as u64;
        let mut script = Self { columns, plan, yarns, rows: rows.iter().map(row).collect() };
        let mut places = vec![0; chart.palette().len()];
        for (row, runs) in rows.iter().enumerate() {
            for run in runs {
                let place = &mut places[run.yarn.index()];
                let leg = leg(run.yarn, *place);
                *place += 1;
                let tally = script.put_steps(chart, &leg);
                script.rows[row].legs.push(tally);
            }
        }
        script
    }

    pub(crate) const fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Says which legs a row has now: yarn and node of each, in the order of work. New ones have to be
    /// put down yet.
    pub(crate) fn set_legs(&mut self, row: usize, legs: impl Iterator<Item = (ColourIndex, u32)>) {
        let listed = &mut self.rows[row].legs;
        let old = std::mem::take(listed);
        let mut expected = 0;
        for (yarn, node) in legs {
            let leg = LegId::new(yarn, node);
            // Most stand where they stood, one behind the other.
            let at = match old.get(expected) {
                Some(tally) if tally.leg == leg => Some(expected),
                _ => old.iter().position(|tally| tally.leg == leg),
            };
            listed.push(at.map_or(Tally::of(leg, true, NONE), |at| old[at]));
            expected = at.map_or(expected, |at| at + 1);
        }
    }

    /// Takes back what was put down for a leg, which has steps in these rows, first and last given.
    pub(crate) fn take_back(&mut self, yarn: ColourIndex, node: u32, (first, last): (usize, usize)) {
        self.yarns[yarn.index()].stale[node as usize] = true;
        for row in &mut self.rows[first..=last] {
            row.touched = true;
        }
    }

    /// Puts a leg down that is among those of its row.
    pub(crate) fn put(&mut self, chart: &Chart, leg: &Leg<'_>) {
        let now = self.put_steps(chart, leg);
        let mut tallies = self.rows[leg.run.row.0].legs.iter_mut();
        *tallies.find(|tally| tally.leg == now.leg).expect("the row has the leg") = now;
    }

    /// Puts down all steps of a leg. Returns what it counts for.
    fn put_steps(&mut self, chart: &Chart, leg: &Leg<'_>) -> Tally {
        let run = leg.run;
        let id = LegId::new(run.yarn, leg.node);
        let mut pen = Pen {
            chart,
            rules: &self.plan.rules,
            rows: &mut self.rows,
            yarn: run.yarn,
            lifts: 0,
            tally: Tally::of(id, leg.joins, leg.onward.map_or(NONE, |onward| onward.to)),
        };
        if leg.joins {
            pen.join(&run);
        }
        pen.step(run.row, Step::Work { strand: UNNUMBERED, from: run.entry, to: run.exit }, WORK);
        match leg.onward {
            Some(onward) => pen.hand_over(&run, onward),
            None => pen.cut(&run),
        }
        let (lifts, mut tally) = (pen.lifts, pen.tally);
        let uses = self.plan.yarn_use;
        tally.length =
            uses.stitch * u64::from(run.stitches()) + uses.carried * tally.carried + uses.lift * lifts;
        let legs = &mut self.yarns[run.yarn.index()];
        let node = leg.node as usize;
        if node >= legs.strands.len() {
            legs.strands.resize(node + 1, UNNUMBERED);
            legs.stale.resize(node + 1, false);
        }
        tally
    }

    /// Makes the plan whole again, of which no plan costs less than `bound`.
    pub(crate) fn settle(&mut self, bound: Cost) {
        self.plan.bound = bound;
        let renumbered = self.number();
        for row in 0..self.rows.len() {
            if self.rows[row].touched || row >= renumbered {
                self.settle_row(row);
            }
        }
        for legs in &mut self.yarns {
            legs.stale.fill(false);
        }
    }

    /// Numbers the strands in the order of their joins and counts. Returns the first row in which a
    /// strand may have another number than before.
    fn number(&mut self) -> usize {
        let Self { columns, plan, yarns, rows } = self;
        let (mut colours, mut runs) = (vec![false; yarns.len()], 0);
        let (mut alive, mut at_once) = (0, 0);
        let (mut cost, mut carried, mut longest_carry) = (Cost::ZERO, 0, 0);
        let mut renumbered = rows.len();
        plan.strands.clear();
        plan.short_tails.clear();
        for (row, script) in rows.iter().enumerate() {
            let mut ended = 0;
            runs += script.legs.len();
            for (at, tally) in script.legs.iter().enumerate() {
                let id = tally.leg;
                let legs = &mut yarns[id.yarn()];
                colours[id.yarn()] = true;
                let strand = if tally.joins {
                    plan.strands.push(StrandClaim { yarn: legs.yarn, length: plan.yarn_use.tail * 2 });
                    alive += 1;
                    StrandId(as_u32(plan.strands.len() - 1))
                } else {
                    legs.strands[id.node()]
                };
                // The next leg hears its number from this one.
                let next = (tally.next != NONE).then_some(tally.next as usize);
                ended += usize::from(next.is_none());
                for node in [Some(id.node()), next].into_iter().flatten() {
                    if std::mem::replace(&mut legs.strands[node], strand) != strand {
                        renumbered = renumbered.min(row);
                    }
                }
                let length = &mut plan.strands[strand.index()].length;
                *length += tally.length;
                if at == 0 {
                    // The foundation has one chain more than the row has stitches; later a row is
                    // reached by one turning chain.
                    *length += plan.yarn_use.chain * if row == 0 { *columns + 1 } else { 1 };
                }
                for (missing, of_join) in tally.missing.into_iter().zip([true, false]) {
                    if missing > 0 {
                        plan.short_tails.push(ShortTail { row: RowIndex(row), strand, of_join, missing });
                    }
                }
                cost += tally.cost;
                carried += tally.carried;
                longest_carry = longest_carry.max(tally.longest_carry);
            }
            at_once = at_once.max(alive);
            alive -= ended;
        }
        plan.short_tails.sort();
        plan.counts = PlanCounts {
            colours: colours.iter().filter(|used| **used).count(),
            runs,
            strands: plan.strands.len(),
            strands_at_once: at_once,
            carried,
            longest_carry,
            cost,
        };
        renumbered
    }

    /// Brings the steps of a row up to date.
    fn settle_row(&mut self, row: usize) {
        let Self { plan, yarns, rows, .. } = self;
        let (steps, RowScript { marks, new, touched, .. }) = (&mut plan.rows[row].steps, &mut rows[row]);
        if !*touched {
            let mut sorted = true;
            let mut last = 0;
            for (step, mark) in steps.iter_mut().zip(&*marks) {
                let strand = yarns[mark.leg.yarn()].strands[mark.leg.node()];
                *strand_of(step) = strand;
                let place = place(*mark, strand);
                sorted &= last <= place;
                last = place;
            }
            if sorted {
                return;
            }
        }
        let mut all = std::mem::take(new);
        all.reserve_exact(marks.len());
        let kept =
            marks.iter().zip(&*steps).filter(|(mark, _)| !yarns[mark.leg.yarn()].stale[mark.leg.node()]);
        all.extend(kept.map(|(mark, step)| (*mark, *step)));
        for (mark, step) in &mut all {
            *strand_of(step) = yarns[mark.leg.yarn()].strands[mark.leg.node()];
        }
        // No two steps have the same place.
        all.sort_by_key(|(mark, step)| place(*mark, step.strand()));
        marks.clear();
        marks.extend(all.iter().map(|(mark, _)| *mark));
        steps.clear();
        steps.extend(all.iter().map(|(_, step)| *step));
        *touched = false;
    }
}

/// A strand gets its number when the plan is settled.
const UNNUMBERED: StrandId = StrandId(u32::MAX);

fn strand_of(step: &mut Step) -> &mut StrandId {
    match step {
        Step::Join { strand, .. }
        | Step::Work { strand, .. }
        | Step::Carry { strand, .. }
        | Step::DrawBack { strand, .. }
        | Step::Drop { strand, .. }
        | Step::Lift { strand, .. }
        | Step::Cut { strand, .. } => strand,
    }
}

/// Writes the steps of one leg.
struct Pen<'a> {
    chart: &'a Chart,
    rules: &'a Rules,
    rows: &'a mut [RowScript],
    yarn: ColourIndex,
    lifts: u64,
    tally: Tally,
}

impl Pen<'_> {
    fn join(&mut self, run: &Run) {
        let priced = tails::of_join(self.chart, self.rules, run);
        self.tally.cost += self.rules.weights.join + priced.cost;
        self.tally.missing[0] = self.rules.weights.tail - priced.tail.over;
        self.step(run.row, Step::Join { strand: UNNUMBERED, at: run.entry, tail: priced.tail }, JOIN);
    }

    fn cut(&mut self, run: &Run) {
        let priced = tails::of_cut(self.chart, self.rules, run);
        self.tally.cost += self.rules.weights.cut + priced.cost;
        self.tally.missing[1] = self.rules.weights.tail - priced.tail.over;
        self.step(run.row, Step::Cut { strand: UNNUMBERED, at: run.exit, tail: priced.tail }, ENDS);
    }

    /// The steps between two runs of a strand.
    fn hand_over(&mut self, from: &Run, onward: Onward<'_>) {
        let strand = UNNUMBERED;
        self.tally.cost += onward.cost;
        let mut here = from.exit;
        for (offset, &there) in onward.way.iter().enumerate() {
            let row = RowIndex(from.row.0 + offset);
            let moved = self.shift(row, here, there);
            let turn = match moved {
                Some(turn) => turn,
                None if offset > 0 => LIFT_WAITING,
                None => {
                    self.step(row, Step::Drop { strand, at: there }, ENDS);
                    continue;
                }
            };
            self.lifts += 1;
            self.step(row, Step::Lift { strand, at: there }, turn);
            here = there;
        }
        self.shift(onward.run.row, here, onward.run.entry);
    }

    /// A carry or a drawing back, where there is anything to pass. Returns the turn of a lift that
    /// follows it.
    fn shift(&mut self, row: RowIndex, from: Boundary, to: Boundary) -> Option<Turn> {
        if from == to {
            return None;
        }
        self.tally.carried += u64::from(from.0.abs_diff(to.0));
        let span = from.0.min(to.0) as usize..from.0.max(to.0) as usize;
        let others = self.chart.row(row)[span].iter().filter(|&&stitch| stitch != self.yarn).count();
        self.tally.longest_carry = self.tally.longest_carry.max(as_u32(others));
        let strand = UNNUMBERED;
        let forwards = (to > from) == (row.direction(self.rules.hand) == Direction::Rightwards);
        if forwards {
            self.step(row, Step::Carry { strand, from, to }, CARRY);
            Some(ENDS)
        } else {
            self.step(row, Step::DrawBack { strand, from, to }, DRAW_BACK);
            Some(LIFT_DRAWN_BACK)
        }
    }

    fn step(&mut self, row: RowIndex, step: Step, turn: Turn) {
        let along = match row.direction(self.rules.hand) {
            Direction::Rightwards => step.place().0,
            Direction::Leftwards => {
                u32::try_from(self.chart.columns()).expect("a chart's side fits 32 bits") - step.place().0
            }
        };
        let mark = Mark { leg: self.tally.leg, order: along << 4 | u32::from(turn) };
        let row = &mut self.rows[row.0];
        row.touched = true;
        row.new.push((mark, step));
    }
}
