//! Plans that can be worked, written by hand; every claim was added up by hand from the tables in
//! `docs/strand-model.md`. All charts are invented.

#![allow(clippy::unwrap_used)] // clippy takes helpers of tests for library code

mod common;

use common::{base, chart, counts, palette, plan, rules, short_tail};
use model::{Boundary, Chart, Hand, Limits, Plan, PlanCounts, RowIndex, Rules, ShortTail, Step};
use replay::{ProvenPlan, StrandFacts, ViolationKind, prove};

#[track_caller]
fn proven(chart: Chart, plan: Plan) -> ProvenPlan {
    prove(chart, plan).unwrap_or_else(|violation| panic!("{violation}"))
}

#[track_caller]
fn works(
    picture: &str,
    rules: Rules,
    rows: &[&str],
    strands: &[(char, u32)],
    short_tails: &[ShortTail],
    counts: PlanCounts,
) -> ProvenPlan {
    proven(chart(picture), plan(rules, rows, strands, short_tails, counts))
}

#[test]
fn the_base_of_the_corpus_stands() {
    let (chart, plan) = base();
    let proven = proven(chart.clone(), plan.clone());
    assert_eq!((proven.chart().as_ref(), proven.plan(), proven.rules()), (&chart, &plan, &plan.rules));
    let facts = |stitches, carried, lifts, turning_chains, foundation_chains| StrandFacts {
        stitches,
        carried,
        lifts,
        turning_chains,
        foundation_chains,
        first_row: RowIndex(0),
        last_row: RowIndex(3),
    };
    assert_eq!(proven.strands(), [facts(12, 3, 0, 3, 5), facts(4, 1, 1, 0, 0)]);
    // The white stitch of row 1 holds the black carry and the tail of its own strand; the first
    // white stitch of row 2 the black carry and its own strand drawn back.
    assert_eq!(proven.most_inside(), 2);
}

/// The mirror image of a plan, worked with the other hand, is the same work.
#[test]
fn the_other_hand_works_the_mirror_image() {
    let (_, mut plan) = base();
    plan.rules.hand = Hand::Left;
    let turn = |at: &mut Boundary| at.0 = 4 - at.0;
    for step in plan.rows.iter_mut().flat_map(|row| &mut row.steps) {
        match step {
            Step::Join { at, .. } | Step::Drop { at, .. } | Step::Lift { at, .. } | Step::Cut { at, .. } => {
                turn(at);
            }
            Step::Work { from, to, .. } | Step::Carry { from, to, .. } | Step::DrawBack { from, to, .. } => {
                turn(from);
                turn(to);
            }
        }
    }
    proven(chart("BAAA AAAA ABBA ABAA"), plan.clone());
    let (chart, _) = base();
    assert!(prove(chart, plan).is_err());
}

/// Joins and cuts 24000; the tail of the join over its one stitch 150 and 4 missing, the tail of the
/// cut 5 missing: 9 · 3000. One stitch, two chains of the foundation, two tails.
#[test]
fn one_stitch_is_a_blanket() {
    let short = [short_tail(1, 1, true, 4), short_tail(1, 1, false, 5)];
    for cut in ["onward:0", "next_row:0"] {
        let rows = [format!("join 1 1 onward:1 | work 1 1 0 | cut 1 0 {cut}")];
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        let counts = counts([1, 1, 1, 1], 0, 0, 51_150);
        works("A", rules(5, Hand::Right), &rows, &[('A', 220)], &short, counts);
    }
}

/// One strand makes all: 24000, hang 100, tail of the join 2 · 150, tail of the cut 2 missing 6000.
/// Four stitches, a turning chain, three chains of the foundation, two tails.
#[test]
fn a_plain_blanket_takes_one_strand() {
    let rows = ["join 1 2 onward:2 | work 1 2 0 | drop 1 0", "work 1 0 2 | cut 1 2 onward:0"];
    let short = [short_tail(2, 1, false, 2)];
    let counts = counts([1, 2, 1, 1], 0, 0, 30_400);
    works("AA AA", rules(2, Hand::Right), &rows, &[('A', 260)], &short, counts);
}

/// Left hand, so row 1 goes to the right. Joins and cuts 48000; tails: join 1 150, join 2 150, cut 2
/// white over black 1100, cut 1 missing 3000; black carried past white 1850.
#[test]
fn a_strand_is_carried_past_another() {
    let rows = ["join 1 0 onward:1 | work 1 0 1 | join 2 1 onward:1 | carry 1 1 2 | work 2 1 2 \
                 | cut 2 2 onward:1 | work 1 2 3 | cut 1 3 onward:0"];
    let short = [short_tail(1, 1, false, 1)];
    let strands = [('A', 242), ('B', 210)];
    let carried = counts([2, 3, 2, 2], 1, 1, 54_250);
    works("ABA", rules(1, Hand::Left), &rows, &strands, &short, carried);

    // White never inside black: the tail of cut 2 is missing (+3000 − 1100), and listed.
    let mut strict = rules(1, Hand::Left);
    let [black, white] = [0, 1].map(|at| palette().index(at).unwrap());
    assert!(strict.never.forbid(white, black));
    strict.limits = Limits { longest_carry: Some(1), longest_wait: Some(0) };
    let rows = [rows[0].replace("cut 2 2 onward:1", "cut 2 2 onward:0")];
    let short = [short_tail(1, 2, false, 1), short_tail(1, 1, false, 1)];
    works("ABA", strict, &[&rows[0]], &strands, &short, counts([2, 3, 2, 2], 1, 1, 56_150));
}

/// White never inside black, three tail stitches, left hand. Joins and cuts 72000; tails:
///
/// - join 1, white, onward: over white, not black, over white, 2 · 150, and 1 missing 3000: the line
///   is not made longer for the stitch that is skipped;
/// - cut 1, white, onward: not black, over white 150, not black: 2 missing 6000;
/// - join 2, black, before: over white 1850, then the edge: 2 missing 6000;
/// - join 3, white, before: over white 150, not black, then the edge: 2 missing 6000;
/// - cut 3, white, onward: not black, then the edge: 3 missing 9000;
/// - cut 2, black, at the edge: 3 missing 9000.
///
/// Black is carried past one white stitch, 1850. All three strands are alive in the one row.
#[test]
fn a_forbidden_tail_stitch_is_skipped_and_missing() {
    let mut rules = rules(3, Hand::Left);
    let [black, white] = [0, 1].map(|at| palette().index(at).unwrap());
    assert!(rules.never.forbid(white, black));
    let row = "join 1 0 onward:2 | work 1 0 1 | cut 1 1 onward:1 | join 2 1 before:1 | work 2 1 2 \
               | join 3 2 before:1 | carry 2 2 3 | work 3 2 3 | cut 3 3 onward:0 | work 2 3 4 \
               | cut 2 4 onward:0";
    let short = [
        short_tail(1, 1, true, 1),
        short_tail(1, 1, false, 2),
        short_tail(1, 2, true, 2),
        short_tail(1, 2, false, 3),
        short_tail(1, 3, true, 2),
        short_tail(1, 3, false, 3),
    ];
    let strands = [('B', 235), ('A', 222), ('B', 210)];
    let cost = 72_000 + 3300 + 6150 + 7850 + 6150 + 9000 + 9000 + 1850;
    works("BABA", rules, &[row], &strands, &short, counts([2, 4, 3, 3], 1, 1, cost));
}

const EDGES: [&str; 3] = [
    "join 1 2 onward:1 | work 1 2 1 | drop 1 1 | join 2 1 next_row:1 | work 2 1 0 | drop 2 0",
    "work 2 0 2 | carry 1 1 2 | lift 1 2 | drop 2 2",
    "carry 2 2 1 | work 1 2 1 | cut 1 1 onward:1 | work 2 1 0 | cut 2 0 onward:0",
];

/// A strand that is carried to the edge climbs there. Joins and cuts 48000; hang 2 · 2 · 100; tails:
/// join 1 150, join 2 in the next row over black 150, cut 1 white over black 1100, cut 2 missing
/// 3000; row 2: white past black 1100, lift at the edge 300; row 3: black past white 1850.
#[test]
fn a_strand_climbs_at_the_edge() {
    let (short, strands) = ([short_tail(3, 2, false, 1)], [('B', 245), ('A', 247)]);
    let proven = works(
        "AB AA AB",
        rules(1, Hand::Right),
        &EDGES,
        &strands,
        &short,
        counts([2, 5, 2, 2], 2, 1, 56_050),
    );
    let lifts: Vec<u32> = proven.strands().iter().map(|strand| strand.lifts).collect();
    assert_eq!(lifts, [1, 0]);
    // Row 2: the tail of the join and the carry lie inside the same stitch, next to the right edge.
    assert_eq!(proven.most_inside(), 2);

    // The same with the tail laid in before the change, black over white: 1850 in place of 150.
    let before = EDGES[0].replace("next_row:1", "before:1");
    let rows = [&before, EDGES[1], EDGES[2]];
    works("AB AA AB", rules(1, Hand::Right), &rows, &strands, &short, counts([2, 5, 2, 2], 2, 1, 57_750));
}

/// The same chart, but in row 2 the waiting strand is drawn back to the left edge before it climbs,
/// and in row 3 drawn back to its run at the right edge, past a black stitch and its own.
///
/// Joins and cuts 48000; hang 400; tails 150 + 150 + 1100 + 3000; row 2: white past black 1100, lift
/// at the edge 300; row 3: white past black and white 1100 + 150, black past white 1850.
#[test]
fn a_strand_is_drawn_back_before_it_climbs() {
    let rows = [
        EDGES[0],
        "draw_back 1 1 0 | lift 1 0 | work 2 0 2 | drop 2 2",
        "draw_back 1 0 2 | carry 2 2 1 | work 1 2 1 | cut 1 1 onward:1 | work 2 1 0 | cut 2 0 onward:0",
    ];
    works(
        "AB AA AB",
        rules(1, Hand::Right),
        &rows,
        &[('B', 249), ('A', 247)],
        &[short_tail(3, 2, false, 1)],
        counts([2, 5, 2, 2], 4, 1, 57_300),
    );
}

/// Strands that wait are lifted, one at the edge; a cut whose tail lies in the next row. Three
/// yarns, left hand, two tail stitches. Joins and cuts 72000; hang B 200, C 200, A 100; tails:
///
/// - join B at 0 onward: over white 150 and black 1100;
/// - join A at 1 onward: over black 150 and the other black 350;
/// - join C at 2 onward: over itself 150, 1 missing 3000;
/// - cut A in row 2 at 0: next row over white 1850 and the other black 350;
/// - cut B in row 3 at 1: onward over two stitches of C, 2 · 1100;
/// - cut C in row 3 at 3: 2 missing 6000.
///
/// Row 1: A is carried past C to the edge 350 and climbs there 300. Row 2 goes back to the left:
/// C waits and climbs at the edge 300, B waits at 1 and climbs beside black 1800. Row 3: B and C are
/// drawn back over their own stitches, 150 and 2 · 150.
#[test]
fn strands_climb_where_they_wait() {
    let rows = [
        "join 1 0 onward:2 | work 1 0 1 | drop 1 1 | join 2 1 onward:2 | work 2 1 2 | join 3 2 onward:1 \
         | carry 2 2 3 | work 3 2 3 | lift 2 3 | drop 3 3",
        "lift 3 3 | work 2 3 0 | lift 1 1 | cut 2 0 next_row:2",
        "draw_back 1 1 0 | work 1 0 1 | cut 1 1 onward:2 | draw_back 3 3 1 | work 3 1 3 | cut 3 3 onward:0",
    ];
    let tails = 1250 + 500 + 3150 + 2200 + 2200 + 6000;
    let cost = 72_000 + 500 + tails + 350 + 300 + 300 + 1800 + 150 + 300;
    let proven = works(
        "BCC AAA BAC",
        rules(2, Hand::Left),
        &rows,
        // B: 2 stitches, 1 carried, 1 lift, a turning chain, 4 chains. A: 4 stitches, 1 carried, 1
        // lift, a turning chain. C: 3 stitches, 2 carried, 1 lift.
        &[('B', 250), ('A', 250), ('C', 237)],
        &[short_tail(1, 3, true, 1), short_tail(3, 3, false, 2)],
        counts([3, 6, 3, 3], 4, 1, cost),
    );
    assert_eq!(proven.strands()[1].last_row, RowIndex(1));
}

/// Whatever single boundary, strand, line or number in a step is changed, whatever step is left out,
/// doubled or swapped with the next: the plan is refused.
#[test]
fn no_single_slip_passes() {
    let (chart, plan) = base();
    let numbers = [0, 1, 2, 3, 4, 5, u32::MAX];
    let refused = |plan: Plan, what: &dyn std::fmt::Debug| {
        if let Ok(proven) = prove(chart.clone(), plan.clone()) {
            panic!("passes: {what:?} in {:?}", proven.plan().rows);
        }
    };
    for (r, row) in plan.rows.iter().enumerate() {
        for (s, step) in row.steps.iter().enumerate() {
            for changed in numbers.iter().flat_map(|&number| changes(step, number)) {
                if changed != *step {
                    let mut plan = plan.clone();
                    plan.rows[r].steps[s] = changed;
                    refused(plan, &changed);
                }
            }
            let mut without = plan.clone();
            without.rows[r].steps.remove(s);
            refused(without, step);
            let mut doubled = plan.clone();
            doubled.rows[r].steps.insert(s, *step);
            refused(doubled, step);
            if s > 0 {
                let mut swapped = plan.clone();
                swapped.rows[r].steps.swap(s - 1, s);
                refused(swapped, step);
            }
        }
    }
}

/// The step with each of its numbers in turn put to `number`.
fn changes(step: &Step, number: u32) -> Vec<Step> {
    let mut all = [*step; 3];
    let [a, b, c] = &mut all;
    match a {
        Step::Join { strand, .. }
        | Step::Work { strand, .. }
        | Step::Carry { strand, .. }
        | Step::DrawBack { strand, .. }
        | Step::Drop { strand, .. }
        | Step::Lift { strand, .. }
        | Step::Cut { strand, .. } => strand.0 = number,
    }
    match b {
        Step::Join { at, .. } | Step::Drop { at, .. } | Step::Lift { at, .. } | Step::Cut { at, .. } => {
            at.0 = number;
        }
        Step::Work { from, .. } | Step::Carry { from, .. } | Step::DrawBack { from, .. } => from.0 = number,
    }
    match c {
        Step::Join { tail, .. } | Step::Cut { tail, .. } => tail.over = number,
        Step::Work { to, .. } | Step::Carry { to, .. } | Step::DrawBack { to, .. } => to.0 = number,
        Step::Drop { .. } | Step::Lift { .. } => {}
    }
    all.to_vec()
}

#[test]
fn a_violation_reads_as_a_sentence() {
    let (_, plan) = base();
    let violation = prove(chart("AAAB AAAA ABBA AACA"), plan).unwrap_err();
    assert_eq!(violation.to_string(), "row 1: stitch 2: strand 2: false yarn: expected yarn C, found yarn B");
    assert_eq!(violation.hint, ViolationKind::FalseYarn.hint());
}
