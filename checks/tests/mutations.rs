//! A good plan with one step changed at random is refused by the replay, or is valid also by a
//! second, naive reading of the model, and the other way round.

use checks::naive;
use checks::random::{self, Rng};
use model::{Boundary, Chart, Cost, Gauge, Length, Plan, Step, StrandId, Tail, TailLine, YarnUse};
use replay::{ProvenPlan, Violation, ViolationKind as Kind};

fn pick<T: Copy>(rng: &mut Rng, from: &[T]) -> T {
    from[rng.below(from.len())]
}

fn number(rng: &mut Rng, below: u32) -> u32 {
    u32::try_from(rng.below(below as usize)).expect("it is below a number of 32 bits")
}

/// Another number near that one, now and then far off.
fn near(rng: &mut Rng, was: u32) -> u32 {
    match rng.below(5) {
        0 | 1 => was.wrapping_add(1),
        2 | 3 => was.wrapping_sub(1),
        _ => number(rng, 20),
    }
}

fn changed_tail(rng: &mut Rng, tail: Tail) -> Tail {
    if rng.below(2) == 0 {
        return Tail { over: near(rng, tail.over), ..tail };
    }
    Tail { line: pick(rng, &[TailLine::Onward, TailLine::Before, TailLine::NextRow]), ..tail }
}

/// The step with one of its numbers changed, or turned into another of the same shape.
fn changed(rng: &mut Rng, step: Step, strands: u32) -> Step {
    let strand = step.strand();
    let other = StrandId(number(rng, strands + 1));
    let strand = if rng.below(4) == 0 { other } else { strand };
    let moved = |rng: &mut Rng, at: Boundary| Boundary(near(rng, at.0));
    match step {
        Step::Join { at, tail, .. } | Step::Cut { at, tail, .. } => {
            let (at, tail) =
                if rng.below(2) == 0 { (moved(rng, at), tail) } else { (at, changed_tail(rng, tail)) };
            match step {
                Step::Join { .. } => Step::Join { strand, at, tail },
                _ => Step::Cut { strand, at, tail },
            }
        }
        Step::Drop { at, .. } | Step::Lift { at, .. } => match rng.below(3) {
            0 => Step::Drop { strand, at: moved(rng, at) },
            1 => Step::Lift { strand, at: moved(rng, at) },
            _ if matches!(step, Step::Drop { .. }) => Step::Lift { strand, at },
            _ => Step::Drop { strand, at },
        },
        Step::Work { from, to, .. } | Step::Carry { from, to, .. } | Step::DrawBack { from, to, .. } => {
            let (from, to) = match rng.below(3) {
                0 => (moved(rng, from), to),
                1 => (from, moved(rng, to)),
                _ => (from, to),
            };
            match rng.below(6) {
                0 => Step::Work { strand, from, to },
                1 => Step::Carry { strand, from, to },
                2 => Step::DrawBack { strand, from, to },
                _ => match step {
                    Step::Work { .. } => Step::Work { strand, from, to },
                    Step::Carry { .. } => Step::Carry { strand, from, to },
                    _ => Step::DrawBack { strand, from, to },
                },
            }
        }
    }
}

/// Changes one thing. Costs and counts may be put right afterwards, so that more than sums is tried.
fn change(rng: &mut Rng, plan: &mut Plan) -> String {
    let strands = u32::try_from(plan.strands.len()).expect("small");
    let row = rng.below(plan.rows.len());
    let steps = &mut plan.rows[row].steps;
    let at = rng.below(steps.len());
    let before = steps[at];
    match rng.below(8) {
        0 => drop(steps.remove(at)),
        1 => steps.insert(at, before),
        2 if at + 1 < steps.len() => steps.swap(at, at + 1),
        3 => {
            let step = steps.remove(at);
            let to = rng.below(plan.rows.len());
            let there = &mut plan.rows[to].steps;
            let place = rng.below(there.len() + 1);
            there.insert(place, step);
        }
        _ => steps[at] = changed(rng, before, strands),
    }
    format!("row {}, step {}, {before:?}", row + 1, at + 1)
}

/// Replays, and where only a count, the cost or a length is not what the replay found, claims what it
/// found and tries again: so that it is the moves that decide.
fn with_claims_put_right(chart: &Chart, plan: &mut Plan) -> Result<ProvenPlan, Box<Violation>> {
    loop {
        let violation = match replay::prove(chart.clone(), plan.clone()) {
            Ok(proven) => return Ok(proven),
            Err(violation) => violation,
        };
        let counts = &mut plan.counts;
        let counted = violation.expected.parse::<usize>();
        match (violation.kind, counted) {
            (Kind::FalseColours, Ok(count)) => counts.colours = count,
            (Kind::FalseRuns, Ok(count)) => counts.runs = count,
            (Kind::FalseStrands, Ok(count)) => counts.strands = count,
            (Kind::FalseStrandsAtOnce, Ok(count)) => counts.strands_at_once = count,
            (Kind::FalseCarried, Ok(count)) => counts.carried = count as u64,
            (Kind::FalseLongestCarry, Ok(count)) => {
                counts.longest_carry = u32::try_from(count).expect("small");
            }
            (Kind::FalseCost, _) => {
                counts.cost = violation.expected.parse().expect("a cost");
                plan.bound = plan.bound.min(counts.cost);
            }
            (Kind::FalseLength, _) => {
                let strand = violation.strand.expect("a length is a strand's");
                let length = violation.expected.split(' ').next().and_then(|mm| mm.parse().ok());
                plan.strands[strand.index()].length = Length::mm(length.expect("millimetres"));
            }
            _ => return Err(violation),
        }
    }
}

#[test]
fn one_step_changed_is_refused_by_both_or_by_neither() {
    let yarn_use = YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"));
    let (mut refused, mut accepted) = (0, 0);
    for seed in 0..30_000 {
        let mut rng = Rng::new(seed ^ 0x0c4a9e);
        let (rows, columns) = (1 + rng.below(6), 1 + rng.below(8));
        let yarns = 1 + rng.below(4);
        let chart = random::chart(&mut rng, rows, columns, yarns);
        let mut rules = random::rules(&mut rng, chart.palette());
        if seed % 2 == 0 {
            rules.limits = random::limits(&mut rng);
        }
        // Free moves leave the cost right whatever is changed, so that nothing but the moves decides.
        if seed % 3 == 0 {
            let yarns = chart.palette().len();
            let nothing = vec![Cost::ZERO; yarns * yarns];
            rules.tables = model::CostTables::from_parts(yarns, nothing.clone(), nothing, Cost::ZERO)
                .expect("tables of the palette's size");
            rules.weights.short = Cost::ZERO;
            rules.weights.hang = Cost::ZERO;
        }
        let mut plan = planner::plan_on(1, &chart, &rules, yarn_use, &planner::unwatched).expect("a plan");
        let good = plan.clone();
        let what = change(&mut rng, &mut plan);
        if plan == good {
            continue;
        }
        let replayed = with_claims_put_right(&chart, &mut plan);
        let naive = naive::read(&chart, &plan);
        match (&naive, &replayed) {
            (Ok(()), Ok(_)) => accepted += 1,
            (Err(_), Err(_)) => refused += 1,
            _ => panic!(
                "seed {seed}, {what}: naive says {naive:?}, the replay {:?}\n{}\n{plan:#?}",
                replayed.map(|_| ()),
                random::picture(&chart)
            ),
        }
    }
    assert!(refused > 10_000, "{refused} refused");
    assert!(accepted > 100, "{accepted} accepted: other valid plans should come up as well");
}
