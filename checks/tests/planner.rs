//! The planner's optimum against readings of the model that share nothing with it, and its plans
//! against the replay and a second, naive checker.

use checks::random::{self, Rng};
use checks::{brute_force, circulation, naive};
use model::{Chart, Cost, Gauge, Limits, Plan, Rules, YarnUse};

fn yarn_use() -> YarnUse {
    YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"))
}

fn plan(chart: &Chart, rules: &Rules) -> Plan {
    planner::plan_on(1, chart, rules, yarn_use(), &planner::unwatched).expect("a plan")
}

fn drawn(seed: u64, rows: usize, columns: usize, yarns: usize) -> (Chart, Rules) {
    let mut rng = Rng::new(seed);
    let chart = random::chart(&mut rng, rows, columns, yarns);
    let rules = random::rules(&mut rng, chart.palette());
    (chart, rules)
}

/// Plans, and checks that the plan's own numbers agree, that the replay and the naive reading accept
/// it, and that its prices hold for the network of all hand-overs.
fn checked(name: &str, chart: &Chart, rules: &Rules) -> (Cost, usize) {
    let plan = plan(chart, rules);
    assert_eq!(plan.bound, plan.counts.cost, "{name}: the bound is the cost");
    if let Err(why) = naive::read(chart, &plan) {
        panic!("{name}: the naive reading refuses: {why}\n{}", random::picture(chart));
    }
    let counts = plan.counts;
    if let Err(violation) = replay::prove(chart.clone(), plan) {
        panic!("{name}: the replay refuses: {violation}\n{}", random::picture(chart));
    }
    (counts.cost, counts.strands)
}

#[test]
fn tiny_charts_against_brute_force() {
    for seed in 0..3_000 {
        let mut rng = Rng::new(seed ^ 0xb01d);
        let (rows, columns) = (1 + rng.below(4), 1 + rng.below(5));
        let (chart, mut rules) = drawn(seed, rows, columns, 1 + rng.below(3));
        if seed % 2 == 0 {
            rules.limits = random::limits(&mut rng);
        }
        brute_force::compare(
            &format!("seed {seed}"),
            &chart,
            &rules,
            checked(&format!("seed {seed}"), &chart, &rules),
        );
    }
}

#[test]
fn charts_against_the_circulation_on_the_grid() {
    for seed in 0..3_000 {
        let mut rng = Rng::new(seed ^ 0x91d);
        let (rows, columns) = (1 + rng.below(9), 1 + rng.below(9));
        let (chart, rules) = drawn(seed, rows, columns, 1 + rng.below(6));
        circulation::compare(
            &format!("seed {seed}"),
            &chart,
            &rules,
            checked(&format!("seed {seed}"), &chart, &rules),
        );
    }
}

#[test]
fn larger_charts_against_the_circulation_on_the_grid() {
    for seed in 0..40 {
        let (chart, rules) = drawn(seed ^ 0x1a26e, 24, 20, 2 + (seed % 5) as usize);
        circulation::compare(
            &format!("seed {seed}"),
            &chart,
            &rules,
            checked(&format!("seed {seed}"), &chart, &rules),
        );
    }
}

/// With 10,000 charts of many sizes, limits on and off, every plan is accepted.
#[test]
fn ten_thousand_plans_pass_the_replay() {
    for seed in 0..10_000 {
        let mut rng = Rng::new(seed ^ 0x7e91a);
        let (rows, columns) = (1 + rng.below(12), 1 + rng.below(14));
        let (chart, mut rules) = drawn(seed, rows, columns, 1 + rng.below(6));
        if seed % 3 == 0 {
            rules.limits = random::limits(&mut rng);
        }
        checked(&format!("seed {seed}"), &chart, &rules);
    }
}

/// The choice is made among the few hand-overs that prices ask for. Its prices must hold for the
/// network of all of them, which the certificate walks arc by arc.
#[test]
fn prices_hold_for_every_hand_over_there_is() {
    for seed in 0..300 {
        let mut rng = Rng::new(seed ^ 0xce27);
        let (chart, mut rules) = drawn(seed, 6 + rng.below(20), 6 + rng.below(20), 1 + rng.below(5));
        if seed % 2 == 0 {
            rules.limits = random::limits(&mut rng);
        }
        for yarn in chart.palette().indices() {
            let mut thin = planner::HandOvers::new(&chart, &rules, yarn);
            let cover = planner::cover(&mut thin, &|_| true, pathcover::solve).expect("not cancelled");
            let choice = planner::choose(&mut thin, &|_| true).expect("not cancelled");
            let mut full = planner::HandOvers::new(&chart, &rules, yarn);
            for run in 0..full.runs().len() {
                full.find_within(run, full.most(run));
            }
            let proof = pathcover::certify(full.network(), &cover);
            assert_eq!(proof.map(|proof| proof.cost), Ok(choice.bound.thousandths()), "seed {seed}");
        }
    }
}

#[test]
fn the_plan_does_not_depend_on_the_number_of_threads() {
    for seed in 0..50 {
        let (chart, rules) = drawn(seed ^ 0x7423, 20, 20, 6);
        let on = |threads| planner::plan_on(threads, &chart, &rules, yarn_use(), &planner::unwatched);
        assert_eq!(on(1), on(3), "seed {seed}");
    }
}

#[test]
fn a_watch_can_stop_the_planning() {
    let (chart, rules) = drawn(1, 10, 10, 3);
    let stopped = planner::plan(&chart, &rules, yarn_use(), &|_| false);
    assert_eq!(stopped, Err(planner::PlanError::Cancelled));
}

#[test]
fn unset_and_unreachable_limits_are_the_same() {
    for seed in 0..300 {
        let (chart, rules) = drawn(seed ^ 0x11, 8, 9, 3);
        let mut limited = rules.clone();
        limited.limits = Limits { longest_carry: Some(9), longest_wait: Some(8) };
        assert_eq!(plan(&chart, &rules).counts, plan(&chart, &limited).counts, "seed {seed}");
    }
}
