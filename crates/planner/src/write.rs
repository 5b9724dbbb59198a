//! The chosen hand-overs as steps of strands.

use model::{
    Boundary, Chart, ColourIndex, Cost, Direction, Length, Plan, PlanCounts, Row, RowIndex, Rules, Run,
    ShortTail, Step, StrandClaim, StrandId, YarnUse,
};

use crate::choose::Choice;
use crate::tails;

/// A strand under construction.
struct Strand {
    yarn: ColourIndex,
    first_row: usize,
    last_row: usize,
    stitches: u64,
    carried: u64,
    lifts: u64,
    chains: u64,
}

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

/// Where a step stands among those of its row, packed so that it sorts as one number: distance from
/// the row's start, turn at that boundary, strand, and order within a strand.
type Place = u64;

fn place(along: u32, turn: Turn, strand: StrandId) -> Place {
    u64::from(along) << 40 | u64::from(turn >> 1) << 34 | u64::from(strand.0) << 1 | u64::from(turn & 1)
}

struct Writer<'a> {
    chart: &'a Chart,
    rules: &'a Rules,
    rows: Vec<Vec<(Place, Step)>>,
    strands: Vec<Strand>,
    short_tails: Vec<ShortTail>,
    cost: Cost,
    carried: u64,
    longest_carry: u32,
}

/// What follows a run: the place of the next among the yarn's runs, the cost of getting there, and
/// where the strand hangs at the top of each row in between, see [`crate::HandOver`].
#[derive(Clone, Copy)]
pub(crate) struct Onward<'a> {
    pub(crate) to: u32,
    pub(crate) cost: Cost,
    pub(crate) way: &'a [Boundary],
}

/// Writes the plan: `choices` holds one entry for each yarn of the palette, in its order.
///
/// # Panics
/// When the choices are not those of this chart under these rules.
#[must_use]
pub fn write(chart: &Chart, rules: &Rules, yarn_use: YarnUse, choices: &[Choice]) -> Plan {
    let chosen: Vec<_> = choices.iter().map(onward).collect();
    write_chosen(chart, rules, yarn_use, &chosen, choices.iter().map(|choice| choice.bound).sum())
}

fn onward(choice: &Choice) -> Vec<Option<Onward<'_>>> {
    let next = choice.next.iter().map(Option::as_ref);
    next.map(|next| next.map(|next| Onward { to: next.to, cost: next.cost, way: &next.way })).collect()
}

/// [`write`], of hand-overs that are held elsewhere.
pub(crate) fn write_chosen(
    chart: &Chart,
    rules: &Rules,
    yarn_use: YarnUse,
    chosen: &[Vec<Option<Onward<'_>>>],
    bound: Cost,
) -> Plan {
    let mut writer = Writer {
        chart,
        rules,
        rows: Vec::with_capacity(chart.rows()),
        strands: Vec::new(),
        short_tails: Vec::new(),
        cost: Cost::ZERO,
        carried: 0,
        longest_carry: 0,
    };
    // All runs in the order of work, and for each yarn its own.
    let mut runs: Vec<Run> = Vec::new();
    let mut of_yarn: Vec<Vec<usize>> = chosen.iter().map(|own| Vec::with_capacity(own.len())).collect();
    for row in chart.row_indices() {
        let in_row = chart.runs_in(row, rules.hand);
        for (at, run) in (runs.len()..).zip(&in_row) {
            of_yarn[run.yarn.index()].push(at);
        }
        // A run and what is done with its strand before and after, and with those that wait.
        writer.rows.push(Vec::with_capacity(4 * in_row.len() + 8));
        runs.extend(in_row);
    }
    let mut next: Vec<Option<(usize, Onward<'_>)>> = vec![None; runs.len()];
    let mut follows = vec![false; runs.len()];
    for (own, chosen) in of_yarn.iter().zip(chosen) {
        assert_eq!(own.len(), chosen.len(), "the choice is for other runs");
        for (&at, onward) in own.iter().zip(chosen) {
            next[at] = onward.map(|onward| (own[onward.to as usize], onward));
            if let Some((to, _)) = next[at] {
                follows[to] = true;
            }
        }
    }
    // Strands in the order of their joins.
    let mut strand_of = vec![StrandId(0); runs.len()];
    for (at, run) in runs.iter().enumerate() {
        if !follows[at] {
            strand_of[at] = writer.join(run);
        }
        let strand = strand_of[at];
        writer.work(strand, run);
        match next[at] {
            Some((to, onward)) => {
                strand_of[to] = strand;
                writer.hand_over(strand, run, &runs[to], onward);
            }
            None => writer.cut(strand, run),
        }
    }
    writer.finish(yarn_use, runs.len(), bound)
}

impl Writer<'_> {
    fn join(&mut self, run: &Run) -> StrandId {
        let strand = StrandId(u32::try_from(self.strands.len()).expect("a chart's runs fit 32 bits"));
        self.strands.push(Strand {
            yarn: run.yarn,
            first_row: run.row.0,
            last_row: run.row.0,
            stitches: 0,
            carried: 0,
            lifts: 0,
            chains: 0,
        });
        let priced = tails::of_join(self.chart, self.rules, run);
        self.cost += self.rules.weights.join + priced.cost;
        self.tail_may_be_short(run.row, strand, true, priced);
        self.step(run.row, Step::Join { strand, at: run.entry, tail: priced.tail }, JOIN);
        strand
    }

    fn work(&mut self, strand: StrandId, run: &Run) {
        let counts = &mut self.strands[strand.index()];
        counts.stitches += u64::from(run.stitches());
        counts.last_row = run.row.0;
        self.step(run.row, Step::Work { strand, from: run.entry, to: run.exit }, WORK);
    }

    fn cut(&mut self, strand: StrandId, run: &Run) {
        let priced = tails::of_cut(self.chart, self.rules, run);
        self.cost += self.rules.weights.cut + priced.cost;
        self.tail_may_be_short(run.row, strand, false, priced);
        self.step(run.row, Step::Cut { strand, at: run.exit, tail: priced.tail }, ENDS);
    }

    fn tail_may_be_short(
        &mut self,
        row: RowIndex,
        strand: StrandId,
        of_join: bool,
        priced: tails::PricedTail,
    ) {
        let missing = self.rules.weights.tail - priced.tail.over;
        if missing > 0 {
            self.short_tails.push(ShortTail { row, strand, of_join, missing });
        }
    }

    /// The steps between two runs of a strand.
    fn hand_over(&mut self, strand: StrandId, from: &Run, to: &Run, onward: Onward<'_>) {
        self.cost += onward.cost;
        let mut here = from.exit;
        for (offset, &there) in onward.way.iter().enumerate() {
            let row = RowIndex(from.row.0 + offset);
            let moved = self.shift(strand, row, here, there);
            let turn = match moved {
                Some(turn) => turn,
                None if offset > 0 => LIFT_WAITING,
                None => {
                    self.step(row, Step::Drop { strand, at: there }, ENDS);
                    continue;
                }
            };
            self.strands[strand.index()].lifts += 1;
            self.step(row, Step::Lift { strand, at: there }, turn);
            here = there;
        }
        self.shift(strand, to.row, here, to.entry);
    }

    /// A carry or a drawing back, where there is anything to pass. Returns the turn of a lift that
    /// follows it.
    fn shift(&mut self, strand: StrandId, row: RowIndex, from: Boundary, to: Boundary) -> Option<Turn> {
        if from == to {
            return None;
        }
        let stitches = u64::from(from.0.abs_diff(to.0));
        self.carried += stitches;
        let counts = &mut self.strands[strand.index()];
        counts.carried += stitches;
        let span = from.0.min(to.0) as usize..from.0.max(to.0) as usize;
        let others = self.chart.row(row)[span].iter().filter(|&&stitch| stitch != counts.yarn).count();
        self.longest_carry = self.longest_carry.max(u32::try_from(others).expect("a row fits 32 bits"));
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
        self.rows[row.0].push((place(along, turn, step.strand()), step));
    }

    /// Chains, lengths and counts: the plan as a whole.
    fn finish(mut self, yarn_use: YarnUse, runs: usize, bound: Cost) -> Plan {
        for steps in &mut self.rows {
            // No two steps have the same place.
            steps.sort_unstable_by_key(|(place, _)| *place);
        }
        let rows: Vec<Row> = self
            .rows
            .iter()
            .map(|steps| Row { steps: steps.iter().map(|(_, step)| *step).collect() })
            .collect();
        for (at, row) in rows.iter().enumerate() {
            let first = row.steps.iter().find_map(|step| match step {
                Step::Work { strand, .. } => Some(*strand),
                _ => None,
            });
            if let Some(strand) = first {
                // The foundation has one chain more than the row has stitches; later a row is
                // reached by one turning chain.
                self.strands[strand.index()].chains +=
                    if at == 0 { self.chart.columns() as u64 + 1 } else { 1 };
            }
        }
        let mut alive = vec![0i64; self.chart.rows() + 1];
        for strand in &self.strands {
            alive[strand.first_row] += 1;
            alive[strand.last_row + 1] -= 1;
        }
        let strands_at_once = alive
            .iter()
            .scan(0i64, |now, change| {
                *now += change;
                Some(*now)
            })
            .max()
            .unwrap_or(0);
        let strands = self
            .strands
            .iter()
            .map(|strand| StrandClaim { yarn: strand.yarn, length: length(strand, yarn_use) })
            .collect();
        self.short_tails.sort();
        Plan {
            counts: PlanCounts {
                colours: self.chart.stitches_by_yarn().iter().filter(|&&count| count > 0).count(),
                runs,
                strands: self.strands.len(),
                strands_at_once: usize::try_from(strands_at_once).expect("a count is never negative"),
                carried: self.carried,
                longest_carry: self.longest_carry,
                cost: self.cost,
            },
            rules: self.rules.clone(),
            yarn_use,
            rows,
            strands,
            short_tails: self.short_tails,
            bound,
        }
    }
}

fn length(strand: &Strand, yarn_use: YarnUse) -> Length {
    yarn_use.stitch * strand.stitches
        + yarn_use.carried * strand.carried
        + yarn_use.lift * strand.lifts
        + yarn_use.chain * strand.chains
        + yarn_use.tail * 2
}
