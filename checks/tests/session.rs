//! A plan kept up to date through edits costs what a plan from scratch costs, to the last digit, with
//! as many strands, and passes the replay each time.

use checks::random::{self, Rng};
use model::{Chart, Gauge, Rules, YarnUse};
use planner::PlanSession;

fn yarn_use() -> YarnUse {
    YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"))
}

/// Some cells near one another, or a few anywhere, or a whole row.
fn drawn_edit(rng: &mut Rng, chart: &Chart) -> Vec<(usize, u8)> {
    let (rows, columns) = (chart.rows(), chart.columns());
    let yarns = chart.palette().len();
    let yarn = |rng: &mut Rng| u8::try_from(rng.below(yarns)).expect("few yarns");
    match rng.below(6) {
        0 => (0..1 + rng.below(4)).map(|_| (rng.below(rows * columns), yarn(rng))).collect(),
        1 => {
            let (row, yarn) = (rng.below(rows), yarn(rng));
            (0..columns).map(|column| (row * columns + column, yarn)).collect()
        }
        _ => {
            let (row, column, yarn) = (rng.below(rows), rng.below(columns), yarn(rng));
            let (high, wide) = (1 + rng.below(3), 1 + rng.below(3));
            let mut cells = Vec::new();
            for row in row..rows.min(row + high) {
                for column in column..columns.min(column + wide) {
                    cells.push((row * columns + column, yarn));
                }
            }
            cells
        }
    }
}

fn follow(seed: u64, chart: Chart, rules: Rules, edits: usize) {
    let mut rng = Rng::new(seed ^ 0xed17);
    let mut session =
        PlanSession::new(chart, rules.clone(), yarn_use(), &planner::unwatched).expect("a plan");
    for edit in 0..edits {
        let cells = drawn_edit(&mut rng, session.chart());
        session.edit(&cells).expect("cells of the chart");
        let fresh =
            planner::plan_on(1, session.chart(), &rules, yarn_use(), &planner::unwatched).expect("a plan");
        let (now, scratch) = (session.plan().counts, fresh.counts);
        assert_eq!(
            (now.cost, now.strands, now.runs, session.plan().bound),
            (scratch.cost, scratch.strands, scratch.runs, fresh.bound),
            "seed {seed}, edit {edit}: {cells:?}\n{}",
            random::picture(session.chart())
        );
        replay::prove(session.chart().clone(), session.plan().clone())
            .unwrap_or_else(|violation| panic!("seed {seed}, edit {edit}: {violation}"));
    }
}

#[test]
fn small_charts_through_many_edits() {
    for seed in 0..1_000 {
        let mut rng = Rng::new(seed ^ 0x5e55);
        let (rows, columns, yarns) = (1 + rng.below(10), 1 + rng.below(12), 1 + rng.below(6));
        let chart = random::chart(&mut rng, rows, columns, yarns);
        let mut rules = random::rules(&mut rng, chart.palette());
        if seed % 3 == 0 {
            rules.limits = random::limits(&mut rng);
        }
        follow(seed, chart, rules, 30);
    }
}

/// With the usual weights hand-overs reach farther than these charts are wide; with limits less far.
#[test]
fn middling_charts_at_the_usual_weights() {
    for seed in 0..16 {
        let mut rng = Rng::new(seed ^ 0x317);
        let chart = random::chart(&mut rng, 40, 36, 2 + (seed % 5) as usize);
        let mut rules = Rules::new(chart.palette(), model::Weights::default(), model::Hand::Right);
        if seed % 4 == 3 {
            rules.limits = random::limits(&mut rng);
        }
        follow(seed, chart, rules, 40);
    }
}

/// What a session keeps from edit to edit does not go stale: runs come and go until none is left of
/// those it began with, and numbers are used again.
#[test]
fn a_long_session() {
    for seed in 0..4 {
        let mut rng = Rng::new(seed ^ 0x1049);
        let chart = random::chart(&mut rng, 16, 18, 4);
        let rules = Rules::new(chart.palette(), model::Weights::default(), model::Hand::Left);
        follow(seed, chart, rules, 600);
    }
}

#[test]
fn cells_that_are_not_there_change_nothing() {
    let mut rng = Rng::new(1);
    let chart = random::chart(&mut rng, 4, 5, 2);
    let rules = random::rules(&mut rng, chart.palette());
    let mut session =
        PlanSession::new(chart.clone(), rules, yarn_use(), &planner::unwatched).expect("a plan");
    let before = session.plan().clone();
    assert!(session.edit(&[(0, 1), (20, 0)]).is_err());
    assert!(session.edit(&[(0, 9)]).is_err());
    assert_eq!((session.chart(), session.plan()), (&chart, &before));
}
