//! The chosen hand-overs as steps of strands.

use model::{
    Boundary, Chart, ColourIndex, Cost, Direction, Length, Plan, PlanCounts, Row, RowIndex, Rules, Run,
    ShortTail, Step, StrandClaim, StrandId, YarnUse,
};

use crate::choose::Choice;
use crate::ground::Ground;
use crate::search::{Front, Terms, Way, way};
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

/// Where a step stands among those of its row, packed so that it sorts as one number: distance from
/// the row's start, turn at that boundary, strand, and order within a strand.
type Place = u64;

fn place(along: u32, turn: u8, strand: StrandId, order: u8) -> Place {
    u64::from(along) << 40 | u64::from(turn) << 36 | u64::from(strand.0) << 1 | u64::from(order)
}

struct Writer<'a> {
    chart: &'a Chart,
    rules: &'a Rules,
    terms: Terms,
    rows: Vec<Vec<(Place, Step)>>,
    strands: Vec<Strand>,
    short_tails: Vec<ShortTail>,
    cost: Cost,
    carried: u64,
    longest_carry: u32,
}

/// Writes the plan: `choices` holds one entry for each yarn of the palette, in its order.
///
/// # Panics
/// When the choices are not those of this chart under these rules.
#[must_use]
pub fn write(chart: &Chart, rules: &Rules, yarn_use: YarnUse, choices: &[Choice]) -> Plan {
    write_on(chart, rules, yarn_use, choices, &|_| None)
}

/// [`write`], on the grounds of the yarns where they are known.
pub(crate) fn write_on<'g>(
    chart: &Chart,
    rules: &Rules,
    yarn_use: YarnUse,
    choices: &[Choice],
    ground_of: &dyn Fn(ColourIndex) -> Option<&'g Ground>,
) -> Plan {
    let mut writer = Writer {
        chart,
        rules,
        terms: Terms::new(rules, chart.rows()),
        rows: vec![Vec::new(); chart.rows()],
        strands: Vec::new(),
        short_tails: Vec::new(),
        cost: Cost::ZERO,
        carried: 0,
        longest_carry: 0,
    };
    // All runs in the order of work, and for each yarn its own.
    let runs: Vec<Run> = chart.row_indices().flat_map(|row| chart.runs_in(row, rules.hand)).collect();
    let mut of_yarn = vec![Vec::new(); chart.palette().len()];
    for (at, run) in runs.iter().enumerate() {
        of_yarn[run.yarn.index()].push(at);
    }
    let mut next = vec![None; runs.len()];
    let mut follows = vec![false; runs.len()];
    for (own, choice) in of_yarn.iter().zip(choices) {
        assert_eq!(own.len(), choice.next.len(), "the choice is for other runs");
        for (&at, to) in own.iter().zip(&choice.next) {
            next[at] = to.map(|hand_over| (own[hand_over.to as usize], hand_over.cost));
            if let Some((to, _)) = next[at] {
                follows[to] = true;
            }
        }
    }
    // Strands in the order of their joins.
    let mut strand_of = vec![StrandId(0); runs.len()];
    for at in 0..runs.len() {
        if !follows[at] {
            strand_of[at] = writer.join(&runs[at]);
        }
        writer.work(strand_of[at], &runs[at]);
        match next[at] {
            Some((to, _)) => strand_of[to] = strand_of[at],
            None => writer.cut(strand_of[at], &runs[at]),
        }
    }
    // Ways, yarn by yarn: each needs the ground of its yarn.
    for yarn in chart.palette().indices() {
        let own = &of_yarn[yarn.index()];
        if own.is_empty() {
            continue;
        }
        let made;
        let ground = match ground_of(yarn) {
            Some(ground) => ground,
            None => {
                made = Ground::new(chart, rules, yarn);
                &made
            }
        };
        let mut front = Front::new(ground.width);
        for &at in own {
            if let Some((to, cost)) = next[at] {
                writer.hand_over(ground, &mut front, strand_of[at], &runs[at], &runs[to], cost);
            }
        }
    }
    writer.chains(yarn_use, &runs, choices)
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
        self.step(run.row, Step::Join { strand, at: run.entry, tail: priced.tail });
        strand
    }

    fn work(&mut self, strand: StrandId, run: &Run) {
        let counts = &mut self.strands[strand.index()];
        counts.stitches += u64::from(run.stitches());
        counts.last_row = run.row.0;
        self.step(run.row, Step::Work { strand, from: run.entry, to: run.exit });
    }

    fn cut(&mut self, strand: StrandId, run: &Run) {
        let priced = tails::of_cut(self.chart, self.rules, run);
        self.cost += self.rules.weights.cut + priced.cost;
        self.tail_may_be_short(run.row, strand, false, priced);
        self.step(run.row, Step::Cut { strand, at: run.exit, tail: priced.tail });
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
    fn hand_over(
        &mut self,
        ground: &Ground,
        front: &mut Front,
        strand: StrandId,
        from: &Run,
        to: &Run,
        cost: Cost,
    ) {
        if from.row == to.row {
            let moved = self.shift(ground, strand, from.row, from.exit, to.entry);
            debug_assert!(moved, "two runs of one yarn in a row lie apart");
            return;
        }
        let way: Way =
            way(ground, self.terms, front, (from.row, from.exit), (to.row, to.entry), cost.thousandths());
        let mut here = from.exit;
        for (offset, &there) in way.iter().enumerate() {
            let row = RowIndex(from.row.0 + offset);
            let moved = self.shift(ground, strand, row, here, there);
            if moved || offset > 0 {
                self.cost += Cost::from_thousandths(ground.lift(row)[there.0 as usize]);
                self.strands[strand.index()].lifts += 1;
                self.step(row, Step::Lift { strand, at: there });
            } else {
                self.step(row, Step::Drop { strand, at: there });
            }
            self.cost += self.rules.weights.hang;
            here = there;
        }
        self.shift(ground, strand, to.row, here, to.entry);
    }

    /// A carry or a drawing back, where there is anything to pass. Returns whether there was.
    fn shift(
        &mut self,
        ground: &Ground,
        strand: StrandId,
        row: RowIndex,
        from: Boundary,
        to: Boundary,
    ) -> bool {
        if from == to {
            return false;
        }
        let passed = ground.passed(row);
        self.cost += Cost::from_thousandths((passed[to.0 as usize] - passed[from.0 as usize]).abs());
        let stitches = u64::from(from.0.abs_diff(to.0));
        self.carried += stitches;
        let yarn = self.strands[strand.index()].yarn;
        self.strands[strand.index()].carried += stitches;
        let span = from.0.min(to.0) as usize..from.0.max(to.0) as usize;
        let others = self.chart.row(row)[span].iter().filter(|&&stitch| stitch != yarn).count();
        self.longest_carry = self.longest_carry.max(u32::try_from(others).expect("a row fits 32 bits"));
        let forwards = (to > from) == (row.direction(self.rules.hand) == Direction::Rightwards);
        self.step(
            row,
            if forwards { Step::Carry { strand, from, to } } else { Step::DrawBack { strand, from, to } },
        );
        true
    }

    fn step(&mut self, row: RowIndex, step: Step) {
        let columns = u32::try_from(self.chart.columns()).expect("a chart's side fits 32 bits");
        let along = match row.direction(self.rules.hand) {
            Direction::Rightwards => step.place().0,
            Direction::Leftwards => columns - step.place().0,
        };
        let steps = &mut self.rows[row.0];
        let (rank, order) = match step {
            // What kind of lift it is shows in the strand's step before, which is in the list by now.
            Step::Lift { strand, .. } => {
                match steps.iter().rev().map(|(_, step)| step).find(|step| step.strand() == strand) {
                    Some(Step::Carry { .. }) => (0, 0),
                    Some(Step::DrawBack { .. }) => (4, 1),
                    _ => (5, 0),
                }
            }
            Step::Cut { .. } | Step::Drop { .. } => (0, 0),
            Step::Join { .. } => (3, 0),
            Step::DrawBack { .. } => (4, 0),
            Step::Carry { .. } => (6, 0),
            Step::Work { .. } => (7, 0),
        };
        steps.push((place(along, rank, step.strand(), order), step));
    }

    /// Chains, lengths and counts: the plan as a whole.
    fn chains(mut self, yarn_use: YarnUse, runs: &[Run], choices: &[Choice]) -> Plan {
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
                runs: runs.len(),
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
            bound: choices.iter().map(|choice| choice.bound).sum(),
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
