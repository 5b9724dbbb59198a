//! The independent readings of `docs/strand-model.md` against one another, against laws that follow
//! from the model, and against small plans worked out by hand.

use checks::random::{self, Rng};
use checks::{brute_force, circulation, naive};
use model::{
    Boundary, Chart, ColourIndex, Cost, CostTables, Hand, Length, Limits, Never, Palette, Plan, PlanCounts,
    Row, RowIndex, Rules, ShortTail, Srgb, Step, StrandClaim, StrandId, Tail, TailLine, Weights, Yarn,
    YarnUse,
};

/// A chart of black `A` and white `B`, top row first as a person sees it.
fn chart(rows: &[&str]) -> Chart {
    let palette = Palette::new(vec![
        Yarn::plain("a", "black", Srgb::new(0, 0, 0)),
        Yarn::plain("b", "white", Srgb::new(255, 255, 255)),
    ]);
    let cells: Vec<u8> = rows.iter().rev().flat_map(|row| row.bytes().map(|letter| letter - b'A')).collect();
    Chart::new(palette.expect("two keys"), rows.len(), rows[0].len(), &cells).expect("a chart in A and B")
}

/// A left-hander's rules, so that row 1 runs from the chart's left to its right, with the default
/// weights but for the tail.
fn rules(chart: &Chart, tail: u32) -> Rules {
    Rules::new(chart.palette(), Weights { tail, ..Weights::default() }, Hand::Left)
}

/// A random tiny chart, small enough for brute force.
fn tiny(rng: &mut Rng) -> Chart {
    let (rows, columns) = [(1, 8), (2, 6), (3, 5), (3, 6), (4, 4), (4, 5), (5, 3), (6, 2)][rng.below(8)];
    let yarns = rng.between(1, 3);
    random::chart(rng, rows, columns, yarns)
}

fn runs(chart: &Chart) -> usize {
    chart.row_indices().map(|row| chart.runs_in(row, Hand::Right).len()).sum()
}

fn yarns_used(chart: &Chart) -> usize {
    chart.stitches_by_yarn().iter().filter(|&&stitches| stitches > 0).count()
}

// ---- the two optima ----

#[test]
fn brute_force_and_circulation_agree() {
    let mut between = 0;
    for seed in 0..20_000 {
        let mut rng = Rng::new(seed);
        let chart = tiny(&mut rng);
        let rules = random::rules(&mut rng, chart.palette());
        let got = circulation::cheapest(&chart, &rules);
        brute_force::compare(&format!("circulation, seed {seed}"), &chart, &rules, got);
        between += usize::from(got.1 > yarns_used(&chart) && got.1 < runs(&chart));
    }
    // Guards the generator: in many cases the best plan is neither of the two trivial ones.
    assert!(between > 3000, "{between}");
}

/// Fewer and larger charts: many strands alive at a time.
#[test]
fn brute_force_and_circulation_agree_on_larger_charts() {
    for seed in 0..300 {
        let mut rng = Rng::new(seed);
        let (rows, columns) = [(5, 6), (6, 5), (4, 7)][rng.below(3)];
        let chart = random::chart(&mut rng, rows, columns, 2);
        let rules = random::rules(&mut rng, chart.palette());
        let got = circulation::cheapest(&chart, &rules);
        brute_force::compare(&format!("circulation, seed {seed}"), &chart, &rules, got);
    }
}

#[test]
fn the_mirror_image_costs_the_other_hand_the_same() {
    for seed in 0..1000 {
        let mut rng = Rng::new(seed);
        let chart = tiny(&mut rng);
        let mut rules = random::rules(&mut rng, chart.palette());
        let mirrored = random::mirrored(&chart);
        let flow = circulation::cheapest(&chart, &rules);
        rules.limits = random::limits(&mut rng);
        let brute = brute_force::cheapest(&chart, &rules);

        rules.hand = match rules.hand {
            Hand::Left => Hand::Right,
            Hand::Right => Hand::Left,
        };
        brute_force::compare(&format!("mirror image, seed {seed}"), &mirrored, &rules, brute);
        rules.limits = Limits::default();
        circulation::compare(&format!("mirror image, seed {seed}"), &mirrored, &rules, flow);
    }
}

#[test]
fn one_colour_needs_one_strand() {
    for seed in 0..300 {
        let mut rng = Rng::new(seed);
        let (rows, columns) = (rng.between(1, 6), rng.between(1, 6));
        let chart = random::chart(&mut rng, rows, columns, 1);
        let mut rules = random::rules(&mut rng, chart.palette());
        // Dearer than an end, minding a strand would make it cheaper to cut it after each row.
        rules.weights.hang = Cost::ZERO;
        let flow = circulation::cheapest(&chart, &rules);
        assert_eq!(flow.1, 1, "seed {seed}");
        // The strand never has to move, so no limit touches it.
        rules.limits = Limits { longest_carry: Some(0), longest_wait: Some(0) };
        brute_force::compare("one colour", &chart, &rules, flow);
    }
}

/// Source: `docs/strand-model.md`: a hand-over can be in a best plan only where it costs no more
/// than a cut and a join.
#[test]
fn where_ends_are_free_every_run_has_its_strand() {
    for seed in 0..500 {
        let mut rng = Rng::new(seed);
        let chart = tiny(&mut rng);
        let mut rules = random::rules(&mut rng, chart.palette());
        let least = Cost::from_thousandths(1);
        let w = &mut rules.weights;
        (w.join, w.cut, w.tail) = (Cost::ZERO, Cost::ZERO, 0);
        (w.hang, w.carry_same, w.carry_other) = (least, least, least);
        rules.tables = CostTables::new(chart.palette(), &rules.weights);
        let free = (Cost::ZERO, runs(&chart));
        brute_force::compare("free ends", &chart, &rules, free);
        circulation::compare("free ends", &chart, &rules, free);
    }
}

/// All runs of a yarn can be worked one after the other by a single strand unless something is
/// forbidden, so that is best where ends are very dear.
#[test]
fn where_ends_are_dear_every_yarn_has_one_strand() {
    for seed in 0..500 {
        let mut rng = Rng::new(seed);
        let chart = tiny(&mut rng);
        let mut rules = random::rules(&mut rng, chart.palette());
        rules.never = Never::none(chart.palette().len());
        rules.weights.join = Cost::MAX_WEIGHT;
        let flow = circulation::cheapest(&chart, &rules);
        assert_eq!(flow.1, yarns_used(&chart), "seed {seed}");
        brute_force::compare("dear ends", &chart, &rules, flow);
    }
}

#[test]
fn three_times_the_weights_cost_three_times_as_much() {
    for seed in 0..500 {
        let mut rng = Rng::new(seed);
        let chart = tiny(&mut rng);
        let mut rules = random::rules(&mut rng, chart.palette());
        let (cost, strands) = circulation::cheapest(&chart, &rules);
        let w = &mut rules.weights;
        for weight in [&mut w.join, &mut w.cut, &mut w.short, &mut w.hang] {
            *weight = *weight * 3;
        }
        let table = |entry: &dyn Fn(ColourIndex, ColourIndex) -> Cost| {
            let yarns = chart.palette().indices();
            yarns.flat_map(|k| chart.palette().indices().map(move |c| entry(k, c) * 3)).collect()
        };
        let (carry, lift) = (table(&|k, c| rules.tables.carry(k, c)), table(&|k, c| rules.tables.lift(k, c)));
        let edge = rules.tables.lift_edge * 3;
        rules.tables = CostTables::from_parts(chart.palette().len(), carry, lift, edge).unwrap();
        circulation::compare("threefold", &chart, &rules, (cost * 3, strands));
        brute_force::compare("threefold", &chart, &rules, (cost * 3, strands));
    }
}

#[test]
fn tighter_limits_never_make_it_cheaper() {
    let (mut dearer_by_carry, mut dearer_by_wait) = (0, 0);
    for seed in 0..1000 {
        let mut rng = Rng::new(seed);
        let chart = tiny(&mut rng);
        let mut rules = random::rules(&mut rng, chart.palette());
        let free = circulation::cheapest(&chart, &rules);
        let mut under = |longest_carry, longest_wait| {
            rules.limits = Limits { longest_carry, longest_wait };
            brute_force::cheapest(&chart, &rules)
        };
        // The widest row, and the longest wait between the first row and the last: no limits here.
        let columns = u32::try_from(chart.columns()).expect("a tiny chart");
        let between = u32::try_from(chart.rows().saturating_sub(2)).expect("a tiny chart");
        assert_eq!(under(Some(columns), Some(between)), free, "seed {seed}");
        let (carry, wait) = (under(Some(1), None), under(None, Some(0)));
        assert!(free <= carry && carry <= under(Some(0), None), "seed {seed}");
        assert!(free <= wait && wait <= under(Some(2), Some(0)), "seed {seed}");
        assert!(carry <= under(Some(1), Some(1)), "seed {seed}");
        dearer_by_carry += usize::from(free < carry);
        dearer_by_wait += usize::from(free < wait);
    }
    assert!(dearer_by_carry > 50 && dearer_by_wait > 20, "{dearer_by_carry}, {dearer_by_wait}");
}

/// Without tails, since a forbidden tail stitch is missing, which may cost less than to work it.
#[test]
fn what_is_forbidden_never_makes_it_cheaper() {
    let mut dearer = 0;
    for seed in 0..1000 {
        let mut rng = Rng::new(seed);
        let chart = tiny(&mut rng);
        let mut rules = random::rules(&mut rng, chart.palette());
        rules.weights.tail = 0;
        let forbidden = circulation::cheapest(&chart, &rules);
        rules.never = Never::none(chart.palette().len());
        let free = circulation::cheapest(&chart, &rules);
        assert!(free <= forbidden, "seed {seed}");
        dearer += usize::from(free < forbidden);
    }
    assert!(dearer > 50, "{dearer}");
}

/// Worked out by hand from `docs/strand-model.md` with its default weights: black and white are
/// 100 ΔE00 apart, so a stitch of white over black costs 1.85 and one of black over white 1.10.
#[test]
fn small_optima_worked_out_by_hand() {
    let check = |rows: &[&str], tail, limits, cost, strands| {
        let chart = chart(rows);
        let rules = Rules { limits, ..rules(&chart, tail) };
        let want = (Cost::from_thousandths(cost), strands);
        brute_force::compare("by hand", &chart, &rules, want);
        if limits == Limits::default() {
            circulation::compare("by hand", &chart, &rules, want);
        }
    };
    let none = Limits::default();
    let no_carry = Limits { longest_carry: Some(0), ..none };
    let no_wait = Limits { longest_wait: Some(0), ..none };

    // Join 12 and one stitch of the tail 0.15, four missing at 3 each; cut 12, five missing.
    check(&["A"], 5, none, 51_150, 1);
    // The tails come to 5 · 0.15 and, in the row above, as much: the second row goes on without a
    // move, 0.1 for the step. The cut is at the end: five missing.
    check(&["AAAAA", "AAAAA"], 5, none, 12_000 + 750 + 100 + 12_000 + 15_000, 1);
    // No tails. Black passes one white stitch; white has a run of its own.
    check(&["ABA"], 0, none, 24_000 + 1_850 + 24_000, 2);
    check(&["ABA"], 0, no_carry, 24_000 + 24_000 + 24_000, 3);
    // Row 2 comes back. Black is drawn back over a white stitch and over its own, 1.85 + 0.15; to be
    // carried in row 1 over two white ones is dearer. White is carried over the black one, 1.1.
    check(&["BBA", "ABB"], 0, none, 24_000 + 1_850 + 150 + 100 + 24_000 + 1_100 + 100, 2);
    // Black waits a row: locked beside the white stitch, 1.8, then drawn back over itself, 0.15. Or
    // carried to the edge, 1.85, and locked there, 0.3: dearer.
    check(&["AB", "BB", "AB"], 0, none, 24_000 + 1_800 + 150 + 200 + 24_000 + 100 + 1_100 + 100, 2);
    check(&["AB", "BB", "AB"], 0, no_wait, 48_000 + 24_000 + 100 + 1_100 + 100, 3);
}

// ---- the naive reading ----

/// Reads steps: one text a row from the bottom, steps parted by `;`.
fn steps(rows: &[&str]) -> Vec<Row> {
    let number = |text: &str| text.parse::<u32>().expect("a number");
    let step = |text: &str| {
        let words: Vec<&str> = text.split_whitespace().collect();
        let (strand, at) = (StrandId(number(words[1])), Boundary(number(words[2])));
        let to = || Boundary(number(words[3]));
        let tail = || Tail {
            line: match words[3] {
                "onward" => TailLine::Onward,
                "before" => TailLine::Before,
                _ => TailLine::NextRow,
            },
            over: number(words[4]),
        };
        match words[0] {
            "join" => Step::Join { strand, at, tail: tail() },
            "work" => Step::Work { strand, from: at, to: to() },
            "carry" => Step::Carry { strand, from: at, to: to() },
            "draw_back" => Step::DrawBack { strand, from: at, to: to() },
            "drop" => Step::Drop { strand, at },
            "lift" => Step::Lift { strand, at },
            "cut" => Step::Cut { strand, at, tail: tail() },
            other => panic!("no step {other:?}"),
        }
    };
    rows.iter().map(|row| Row { steps: row.split(';').map(step).collect() }).collect()
}

/// Lengths of which each part shows in digits of its own: stitches, chains, carried, lifts, tails.
fn yarn_use() -> YarnUse {
    let micrometres = Length::from_micrometres;
    YarnUse {
        stitch: micrometres(1),
        chain: micrometres(100),
        carried: micrometres(10_000),
        lift: micrometres(1_000_000),
        tail: micrometres(100_000_000),
        estimated: false,
    }
}

/// A plan of two strands, black and white, with what it should claim.
fn plan(
    rules: Rules,
    rows: &[&str],
    lengths: [i64; 2],
    short_tails: &[ShortTail],
    counts: PlanCounts,
) -> Plan {
    let strand = |yarn: usize| StrandClaim {
        yarn: chart(&["AB"]).palette().index(yarn).expect("one of the two"),
        length: Length::from_micrometres(lengths[yarn]),
    };
    Plan {
        rules,
        yarn_use: yarn_use(),
        rows: steps(rows),
        strands: vec![strand(0), strand(1)],
        short_tails: short_tails.to_vec(),
        counts,
        bound: counts.cost,
    }
}

/// Black is drawn back to work, and again the row after; in between it is carried and locked.
///
/// Black: 12 + tail 0.15; row 2 drawn back over white and black, 2.0, carried over white, 1.85,
/// locked beside white, 1.8; row 3 drawn back over black, 0.15; cut 12 + tail over white 1.85; two
/// rows 0.2. White: 12 + 0.15, two carries over black, 1.1 each, 0.2, cut 12 with its tail missing.
fn drawn_back() -> (Chart, Plan) {
    let chart = chart(&["ABB", "BBA", "ABB"]);
    let short = ShortTail { row: RowIndex(2), strand: StrandId(1), of_join: false, missing: 1 };
    let counts = PlanCounts {
        colours: 2,
        runs: 6,
        strands: 2,
        strands_at_once: 2,
        carried: 6,
        longest_carry: 1,
        cost: Cost::from_thousandths(32_000 + 29_550),
    };
    let rows = [
        "join 0 0 onward 1; work 0 0 1; drop 0 1; join 1 1 onward 1; work 1 1 3; drop 1 3",
        "draw_back 0 1 3; carry 1 3 2; work 0 3 2; carry 0 2 1; work 1 2 0; lift 0 1; drop 1 0",
        "draw_back 0 1 0; carry 1 0 1; work 0 0 1; cut 0 1 onward 1; work 1 1 3; cut 1 3 onward 0",
    ];
    // Black also makes the foundation of four chains and both turning chains.
    let plan = plan(rules(&chart, 1), &rows, [201_040_603, 200_020_006], &[short], counts);
    (chart, plan)
}

/// Three ways for black to get past row 2, see the optimum by hand of the same chart.
fn waits(row_2: &str, row_3_black: &str, black_length: i64, carried: u64, black_cost: i64) -> (Chart, Plan) {
    let chart = chart(&["AB", "BB", "AB"]);
    let counts = PlanCounts {
        colours: 2,
        runs: 5,
        strands: 2,
        strands_at_once: 2,
        carried,
        longest_carry: 1,
        cost: Cost::from_thousandths(24_000 + black_cost + 200 + 24_000 + 1_100 + 200),
    };
    let row_3 =
        format!("{row_3_black}carry 1 0 1; work 0 0 1; cut 0 1 onward 0; work 1 1 2; cut 1 2 onward 0");
    let rows =
        ["join 0 0 onward 0; work 0 0 1; drop 0 1; join 1 1 onward 0; work 1 1 2; drop 1 2", row_2, &row_3];
    // White makes row 2 and its turning chain; black the foundation and the other turning chain.
    let plan = plan(rules(&chart, 0), &rows, [black_length, 200_010_104], &[], counts);
    (chart, plan)
}

fn locked_where_it_waits() -> (Chart, Plan) {
    waits("work 1 2 0; lift 0 1; drop 1 0", "draw_back 0 1 0; ", 201_010_402, 2, 1_800 + 150)
}

fn drawn_back_to_be_locked() -> (Chart, Plan) {
    waits(
        "draw_back 0 1 2; lift 0 2; work 1 2 0; drop 1 0",
        "draw_back 0 2 0; ",
        201_030_402,
        4,
        1_850 + 300 + 1_850 + 150,
    )
}

fn carried_to_be_locked() -> (Chart, Plan) {
    waits("work 1 2 0; carry 0 1 0; lift 0 0; drop 1 0", "", 201_010_402, 2, 1_850 + 300)
}

#[test]
fn good_plans_are_read_as_good() {
    for (chart, plan) in
        [drawn_back(), locked_where_it_waits(), drawn_back_to_be_locked(), carried_to_be_locked()]
    {
        assert_eq!(naive::read(&chart, &plan), Ok(()));
        // The optima can't be dearer than a good plan.
        assert!(brute_force::cheapest(&chart, &plan.rules) <= (plan.counts.cost, 2));
        assert!(circulation::cheapest(&chart, &plan.rules) <= (plan.counts.cost, 2));
    }
    // And this one is an optimum.
    let (chart, plan) = locked_where_it_waits();
    brute_force::compare("by hand", &chart, &plan.rules, (plan.counts.cost, 2));
}

/// Every step left out, doubled, moved past its neighbour, given to the other strand or to none,
/// or with any one of its numbers changed.
#[test]
fn plans_with_one_step_changed_are_refused() {
    let mut tried = 0;
    for (chart, plan) in
        [drawn_back(), locked_where_it_waits(), drawn_back_to_be_locked(), carried_to_be_locked()]
    {
        for row in 0..plan.rows.len() {
            let good = &plan.rows[row].steps;
            for at in 0..good.len() {
                let mut bad: Vec<Vec<Step>> = Vec::new();
                let mut without = good.clone();
                without.remove(at);
                bad.push(without);
                let mut twice = good.clone();
                twice.insert(at, good[at]);
                bad.push(twice);
                if at > 0 {
                    let mut swapped = good.clone();
                    swapped.swap(at - 1, at);
                    bad.push(swapped);
                }
                for step in changed(good[at]) {
                    let mut steps = good.clone();
                    steps[at] = step;
                    bad.push(steps);
                }
                for steps in bad {
                    let mut plan = plan.clone();
                    plan.rows[row] = Row { steps };
                    tried += 1;
                    assert!(naive::read(&chart, &plan).is_err(), "accepted: row {row}: {:?}", plan.rows[row]);
                }
            }
        }
    }
    assert!(tried > 500, "{tried}");
}

/// The step with one of its numbers changed, in every way that matters on a chart of three columns.
fn changed(step: Step) -> Vec<Step> {
    let mut steps = Vec::new();
    for number in 0..5 {
        let (id, place) = (StrandId(number), Boundary(number));
        let over = |tail: Tail| Tail { over: number, ..tail };
        match step {
            Step::Join { strand, at, tail } => steps.extend([
                Step::Join { strand: id, at, tail },
                Step::Join { strand, at: place, tail },
                Step::Join { strand, at, tail: over(tail) },
            ]),
            Step::Cut { strand, at, tail } => steps.extend([
                Step::Cut { strand: id, at, tail },
                Step::Cut { strand, at: place, tail },
                Step::Cut { strand, at, tail: over(tail) },
                Step::Cut { strand, at, tail: Tail { line: TailLine::Before, ..tail } },
            ]),
            Step::Drop { strand, at } => {
                steps.extend([
                    Step::Drop { strand: id, at },
                    Step::Drop { strand, at: place },
                    Step::Lift { strand, at },
                ]);
            }
            Step::Lift { strand, at } => {
                steps.extend([
                    Step::Lift { strand: id, at },
                    Step::Lift { strand, at: place },
                    Step::Drop { strand, at },
                ]);
            }
            Step::Work { strand, from, to } => steps.extend([
                Step::Work { strand: id, from, to },
                Step::Work { strand, from: place, to },
                Step::Work { strand, from, to: place },
                Step::Carry { strand, from, to },
            ]),
            Step::Carry { strand, from, to } => steps.extend([
                Step::Carry { strand: id, from, to },
                Step::Carry { strand, from: place, to },
                Step::Carry { strand, from, to: place },
                Step::DrawBack { strand, from, to },
            ]),
            Step::DrawBack { strand, from, to } => steps.extend([
                Step::DrawBack { strand: id, from, to },
                Step::DrawBack { strand, from: place, to },
                Step::DrawBack { strand, from, to: place },
                Step::Carry { strand, from, to },
            ]),
        }
    }
    steps.retain(|&other| other != step);
    steps
}

#[test]
fn plans_with_one_false_claim_are_refused() {
    let (chart, good) = drawn_back();
    type Falsehood = (&'static str, fn(&mut Plan));
    let falsehoods: [Falsehood; 17] = [
        ("colours", |plan| plan.counts.colours = 1),
        ("runs", |plan| plan.counts.runs += 1),
        ("strands", |plan| plan.counts.strands += 1),
        ("at once", |plan| plan.counts.strands_at_once = 1),
        ("carried", |plan| plan.counts.carried -= 1),
        ("longest carry", |plan| plan.counts.longest_carry = 2),
        ("cost", |plan| plan.counts.cost += Cost::from_thousandths(1)),
        ("length", |plan| plan.strands[1].length += Length::from_micrometres(1)),
        ("yarn", |plan| plan.strands[1].yarn = plan.strands[0].yarn),
        ("a strand too many", |plan| plan.strands.push(plan.strands[0])),
        ("short tail not listed", |plan| plan.short_tails.clear()),
        ("short tail listed twice", |plan| plan.short_tails.push(plan.short_tails[0])),
        ("a row too many", |plan| plan.rows.push(Row::default())),
        ("hand", |plan| plan.rules.hand = Hand::Right),
        ("longest carry allowed", |plan| plan.rules.limits.longest_carry = Some(0)),
        ("forbidden pair", |plan| {
            let yarn = |at: usize| plan.strands[at].yarn;
            let (white, black) = (yarn(1), yarn(0));
            assert!(plan.rules.never.forbid(white, black));
        }),
        ("tail", |plan| plan.rules.weights.tail = 2),
    ];
    for (what, falsify) in falsehoods {
        let mut plan = good.clone();
        falsify(&mut plan);
        assert!(naive::read(&chart, &plan).is_err(), "accepted: {what}");
    }

    let mut at_limit = good;
    at_limit.rules.limits = Limits { longest_carry: Some(1), longest_wait: Some(0) };
    assert_eq!(naive::read(&chart, &at_limit), Ok(()));
    let (chart, mut waits) = locked_where_it_waits();
    waits.rules.limits.longest_wait = Some(1);
    assert_eq!(naive::read(&chart, &waits), Ok(()));
    waits.rules.limits.longest_wait = Some(0);
    assert!(naive::read(&chart, &waits).is_err());
}

/// Whole plans that are wrong although each step by itself looks right.
#[test]
fn plans_that_only_look_right_are_refused() {
    let refused = |chart: &Chart, plan: &Plan, why: &str| {
        let what = naive::read(chart, plan).expect_err(why);
        assert!(what.contains(why), "{what}");
    };
    let black = |rows: &[&str], chart: &Chart| {
        let mut plan = plan(rules(chart, 0), rows, [0, 0], &[], PlanCounts::default());
        plan.strands[1].yarn = plan.strands[0].yarn;
        plan
    };

    let run_cut_in_two = "join 0 0 onward 0; work 0 0 1; cut 0 1 onward 0; \
                          join 1 1 onward 0; work 1 1 2; cut 1 2 onward 0";
    refused(&chart(&["AA"]), &black(&[run_cut_in_two], &chart(&["AA"])), "part of a run");

    let worked_twice = "join 0 0 onward 0; join 1 0 onward 0; work 0 0 1; work 1 0 1; \
                        cut 0 1 onward 0; cut 1 1 onward 0";
    refused(&chart(&["A"]), &black(&[worked_twice], &chart(&["A"])), "made 2 times");

    // Black is dropped and carried on all the same.
    let moved_after_drop = [
        "join 0 0 onward 0; work 0 0 1; drop 0 1; join 1 1 onward 0; carry 0 1 2; work 1 1 2; lift 0 2; drop 1 2",
        "carry 0 2 1; work 1 2 1; cut 1 1 onward 0; work 0 1 0; cut 0 0 onward 0",
    ];
    let squares = chart(&["AB", "AB"]);
    let moved = plan(rules(&squares, 0), &moved_after_drop, [0, 0], &[], PlanCounts::default());
    refused(&squares, &moved, "can't follow");

    // Black floats past row 2.
    let floats = [
        "join 0 0 onward 0; work 0 0 1; drop 0 1; join 1 1 onward 0; work 1 1 2; drop 1 2",
        "work 1 2 0; drop 1 0",
        "draw_back 0 1 0; carry 1 0 1; work 0 0 1; cut 0 1 onward 0; work 1 1 2; cut 1 2 onward 0",
    ];
    let (past_a_row, _) = locked_where_it_waits();
    let floating = plan(rules(&past_a_row, 0), &floats, [0, 0], &[], PlanCounts::default());
    refused(&past_a_row, &floating, "can't follow");

    let numbered_backwards =
        "join 1 0 onward 0; work 1 0 1; cut 1 1 onward 0; join 0 1 onward 0; work 0 1 2; cut 0 2 onward 0";
    let mut backwards =
        plan(rules(&chart(&["AB"]), 0), &[numbered_backwards], [0, 0], &[], PlanCounts::default());
    backwards.strands.reverse();
    refused(&chart(&["AB"]), &backwards, "not numbered");
}

/// A tail of three, each line in turn, with one forbidden stitch that is skipped in mid line.
#[test]
fn tails_are_read_along_their_lines() {
    let chart = chart(&["AAAA", "BAAB"]);
    let check = |join_tail: &str, cut_tail: &str, tails: i64, missing: [u32; 2], forbid: bool| {
        let mut rules = rules(&chart, 3);
        let [black, white] = [0, 1].map(|at| chart.palette().index(at).unwrap());
        if forbid {
            rules.never.forbid(white, black);
        }
        // White has a strand at either edge; the tails of the first one are the caller's.
        let rows = [
            format!(
                "join 0 0 {join_tail}; work 0 0 1; cut 0 1 {cut_tail}; join 1 1 onward 3; work 1 1 3; drop 1 3; \
                 join 2 3 onward 1; work 2 3 4; cut 2 4 onward 0"
            ),
            "draw_back 1 3 4; work 1 4 0; cut 1 0 onward 0".to_owned(),
        ];
        let mut plan = plan(
            rules,
            &rows.each_ref().map(String::as_str),
            [0, 0],
            &[],
            PlanCounts {
                colours: 2,
                runs: 4,
                strands: 3,
                strands_at_once: 3,
                carried: 1,
                longest_carry: 0,
                cost: Cost::from_thousandths(
                    // Three strands; white's tails as the caller says, black's 2 · 0.15 + 1.85 and
                    // three missing, the other white one's 0.15 and 2 + 3 missing.
                    72_000 + tails + (300 + 1_850) + 9_000 + (150 + 6_000) + 9_000 + 150 + 100,
                ),
            },
        );
        let tail = |row, strand, of_join, missing| ShortTail {
            row: RowIndex(row),
            strand: StrandId(strand),
            of_join,
            missing,
        };
        plan.short_tails = [
            tail(0, 0, true, missing[0]),
            tail(0, 0, false, missing[1]),
            tail(0, 2, true, 2),
            tail(0, 2, false, 3),
            tail(1, 1, false, 3),
        ]
        .into_iter()
        .filter(|tail| tail.missing > 0)
        .collect();
        let length = Length::from_micrometres;
        plan.strands = [(white, 200_000_501), (black, 200_010_106), (white, 200_000_001)]
            .map(|(yarn, micrometres)| StrandClaim { yarn, length: length(micrometres) })
            .to_vec();
        naive::read(&chart, &plan)
    };
    // Onward: white, black, black; then black, black, white.
    assert_eq!(check("onward 3", "onward 3", 150 + 2_200 + 2_200 + 150, [0, 0], false), Ok(()));
    // Nothing lies before the edge; the row above goes on to the left of boundary 1: one black.
    assert_eq!(check("before 0", "next_row 1", 9_000 + 1_100 + 6_000, [3, 2], false), Ok(()));
    // And nothing to the left of boundary 0.
    assert_eq!(check("next_row 0", "next_row 1", 9_000 + 1_100 + 6_000, [3, 2], false), Ok(()));
    // Forbidden: only the white stitches count, even the last one of the line.
    assert_eq!(check("onward 1", "onward 1", 150 + 6_000 + 6_000 + 150, [2, 2], true), Ok(()));
    assert!(check("onward 3", "onward 3", 150 + 2_200 + 2_200 + 150, [0, 0], true).is_err());
    assert!(check("before 1", "next_row 1", 9_000 + 1_100 + 6_000, [3, 2], false).is_err());
    assert!(check("onward 3", "before 1", 150 + 2_200 + 150 + 6_000, [0, 2], false).is_err());
}

// ---- the generator ----

#[test]
fn random_cases_are_the_same_every_time_and_of_every_kind() {
    let case = |seed| {
        let mut rng = Rng::new(seed);
        let chart = random::chart(&mut rng, 5, 6, 4);
        let rules = Rules { limits: random::limits(&mut rng), ..random::rules(&mut rng, chart.palette()) };
        (chart, rules)
    };
    let (mut twins, mut left, mut forbidden, mut limited, mut free_ends) = (0, 0, 0, 0, 0);
    for seed in 0..200 {
        let (chart, rules) = case(seed);
        assert_eq!((chart.clone(), rules.clone()), case(seed));
        let colours: Vec<Srgb> = chart.palette().yarns().iter().map(|yarn| yarn.colour).collect();
        twins += usize::from((1..4).any(|at| colours[..at].contains(&colours[at])));
        left += usize::from(rules.hand == Hand::Left);
        forbidden += usize::from(rules.never.pairs().next().is_some());
        limited += usize::from(rules.limits != Limits::default());
        free_ends += usize::from(rules.weights.join == Cost::ZERO);
    }
    for (what, times) in [
        ("twins", twins),
        ("left", left),
        ("forbidden", forbidden),
        ("limited", limited),
        ("free", free_ends),
    ] {
        assert!((10..=190).contains(&times), "{what}: {times} of 200");
    }
    let pair = Chart::new(case(0).0.palette().clone(), 2, 2, &[0, 1, 2, 3]).unwrap();
    assert_eq!(random::picture(&pair), "CD\nAB\n");
    assert_eq!(random::picture(&random::mirrored(&pair)), "DC\nBA\n");
}
