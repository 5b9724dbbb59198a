//! A good plan broken in every way that the model names, one change each: the replay must refuse
//! every one of them, for that reason and at that place.

#![allow(clippy::unwrap_used)] // clippy takes helpers of tests for library code

mod common;

use std::collections::BTreeSet;

use common::{base, chart, palette, short_tail, steps};
use model::{
    Chart, ColourIndex, Cost, CostTables, Length, Never, Palette, Plan, RowNumber, Srgb, StrandClaim,
    StrandId, Weights, Yarn,
};
use replay::ViolationKind::{self as Kind, *};
use replay::prove;

/// A plan with one thing wrong.
struct Broken {
    what: &'static str,
    kind: Kind,
    /// Row, stitch and strand, all from 1.
    place: (Option<usize>, Option<u32>, Option<u32>),
    change: Change,
}

type Change = Box<dyn Fn(&mut Chart, &mut Plan)>;

/// Puts `new` steps in the place of the one `old` step of a row.
fn replace(plan: &mut Plan, row: usize, old: &str, new: &str) {
    let all = &mut plan.rows[row - 1].steps;
    let at = all.iter().position(|step| *step == steps(old)[0]).expect(old);
    all.splice(at..=at, steps(new));
}

/// Other steps: each change names a row, the old step and the new ones.
fn stepped(
    what: &'static str,
    kind: Kind,
    (row, stitch, strand): (usize, u32, u32),
    changes: &'static [(usize, &'static str, &'static str)],
) -> Broken {
    let change = move |_: &mut Chart, plan: &mut Plan| {
        for &(row, old, new) in changes {
            replace(plan, row, old, new);
        }
    };
    // Strand 0 stands for none.
    let place = (Some(row), Some(stitch), (strand > 0).then_some(strand));
    Broken { what, kind, place, change: Box::new(change) }
}

/// Another plan beside its steps, refused at such a place.
fn changed(
    what: &'static str,
    kind: Kind,
    place: (Option<usize>, Option<u32>, Option<u32>),
    change: impl Fn(&mut Plan) + 'static,
) -> Broken {
    Broken { what, kind, place, change: Box::new(move |_, plan| change(plan)) }
}

/// Another plan beside its steps, refused as a whole.
fn claimed(what: &'static str, kind: Kind, change: impl Fn(&mut Plan) + 'static) -> Broken {
    changed(what, kind, (None, None, None), change)
}

/// Another chart.
fn charted(what: &'static str, kind: Kind, place: (usize, u32, u32), picture: &'static str) -> Broken {
    let place = (Some(place.0), Some(place.1), Some(place.2));
    Broken { what, kind, place, change: Box::new(move |old, _| *old = chart(picture)) }
}

fn yarn(at: usize) -> ColourIndex {
    palette().index(at).unwrap()
}

/// A palette of so many yarns.
fn large_palette(yarns: usize) -> Palette {
    let yarn = |at: usize| Yarn::plain(format!("y{at}"), "", Srgb::new(0, 0, 0));
    Palette::new((0..yarns).map(yarn).collect()).unwrap()
}

/// Tables for the palette of the tests, all of one cost.
fn tables(thousandths: i64) -> CostTables {
    let costs = vec![Cost::from_thousandths(thousandths); 9];
    CostTables::from_parts(3, costs.clone(), costs, Cost::from_thousandths(300)).unwrap()
}

fn one_more(plan: &mut Plan) {
    plan.strands.push(StrandClaim { yarn: yarn(0), length: Length::ZERO });
}

// The base, for reference, from the row that is worked first (odd rows go to the left):
//   join 1 4 onward:1 | work 1 4 3 | join 2 3 onward:1 | carry 1 3 2 | work 2 3 2 | drop 2 2
//     | work 1 2 0 | drop 1 0
//   work 1 0 1 | draw_back 2 2 1 | carry 1 1 3 | work 2 1 3 | drop 2 3 | work 1 3 4 | drop 1 4
//   work 1 4 0 | lift 2 3 | drop 1 0
//   work 1 0 3 | cut 1 3 onward:1 | work 2 3 4 | cut 2 4 onward:0
#[allow(clippy::too_many_lines)] // a list
fn corpus() -> Vec<Broken> {
    let thousandth = Cost::from_thousandths(1);
    vec![
        claimed("never for two yarns", TableSize, |plan| plan.rules.never = Never::none(2)),
        claimed("tables for four yarns", TableSize, |plan| {
            plan.rules.tables = CostTables::new(&large_palette(4), &Weights::default());
        }),
        claimed("a weight below zero", BadRules, |plan| {
            plan.rules.weights.join = Cost::from_thousandths(-1);
        }),
        claimed("a table below zero", BadRules, |plan| plan.rules.tables = tables(-1)),
        claimed("a tail without end", BadRules, |plan| plan.rules.weights.tail = u32::MAX),
        changed("a strand of no yarn", UnknownYarn, (None, None, Some(2)), |plan| {
            plan.strands[1].yarn = large_palette(4).index(3).unwrap();
        }),
        claimed("a row too few", RowCount, |plan| plan.rows.truncate(3)),
        claimed("a row too many", RowCount, |plan| plan.rows.push(model::Row::default())),
        stepped("a drop beyond the edge", OffChart, (2, 4, 1), &[(2, "drop 1 4", "drop 1 5")]),
        stepped("work without end", OffChart, (3, 1, 1), &[(3, "work 1 4 0", "work 1 4 4294967295")]),
        stepped("a third strand", UnknownStrand, (3, 2, 3), &[(3, "lift 2 3", "lift 3 3")]),
        stepped("joined twice", JoinOrder, (1, 2, 1), &[(1, "join 2 3 onward:1", "join 1 3 onward:1")]),
        stepped("joined out of turn", JoinOrder, (1, 1, 2), &[(1, "join 1 4 onward:1", "join 2 4 onward:1")]),
        stepped("not joined", UsedBeforeJoin, (1, 2, 2), &[(1, "join 2 3 onward:1", "")]),
        stepped("used after a cut", UsedAfterCut, (4, 1, 1), &[(3, "drop 1 0", "cut 1 0 onward:0 ")]),
        stepped("work too far", WrongYarn, (4, 4, 1), &[(4, "work 1 0 3", "work 1 0 4")]),
        charted("another yarn charted", WrongYarn, (4, 4, 2), "AAAC AAAA ABBA AABA"),
        changed("claimed of another yarn", FalseYarn, (Some(1), Some(2), Some(2)), |plan| {
            // Black in black: the tail still takes its one stitch.
            plan.strands[1].yarn = yarn(2);
        }),
        charted("another yarn charted at first", FalseYarn, (1, 2, 2), "AAAB AAAA ABBA AACA"),
        stepped("a first stitch missed", StitchMissed, (2, 1, 0), &[(2, "work 1 0 1", "")]),
        stepped(
            "a last stitch missed",
            StitchMissed,
            (4, 4, 0),
            &[(4, "work 2 3 4", ""), (4, "cut 2 4 onward:0", "")],
        ),
        stepped(
            "a step before its time",
            StitchMissed,
            (3, 1, 0),
            &[(3, "lift 2 3", ""), (3, "work 1 4 0", "lift 2 3 | work 1 4 0")],
        ),
        stepped("stitches worked twice", StitchTwice, (1, 2, 1), &[(1, "work 1 2 0", "work 1 3 0")]),
        stepped("a run split", RunSplit, (3, 3, 1), &[(3, "work 1 4 0", "work 1 4 2")]),
        stepped("not drawn back", Jump, (2, 2, 2), &[(2, "draw_back 2 2 1", "")]),
        stepped("lifted elsewhere", Jump, (3, 3, 2), &[(3, "lift 2 3", "lift 2 2")]),
        stepped("dropped in the run", Jump, (1, 2, 2), &[(1, "drop 2 2", "drop 2 3")]),
        stepped("cut past the run", Jump, (4, 4, 2), &[(4, "cut 2 4 onward:0", "cut 2 3 onward:1")]),
        stepped("carried too far", Jump, (1, 3, 1), &[(1, "carry 1 3 2", "carry 1 3 1")]),
        stepped("carried back", AgainstWork, (1, 2, 1), &[(1, "carry 1 3 2", "carry 1 3 4")]),
        stepped("worked back", AgainstWork, (1, 2, 2), &[(1, "work 2 3 2", "work 2 3 4")]),
        stepped("drawn forwards", DrawnForward, (2, 3, 2), &[(2, "draw_back 2 2 1", "draw_back 2 2 3")]),
        stepped("carried nowhere", EmptyMove, (1, 2, 1), &[(1, "carry 1 3 2", "carry 1 3 3")]),
        stepped("no stitch worked", EmptyMove, (3, 1, 1), &[(3, "work 1 4 0", "work 1 4 4")]),
        stepped("drawn back nowhere", EmptyMove, (2, 3, 2), &[(2, "draw_back 2 2 1", "draw_back 2 2 2")]),
        stepped(
            "drawn back after work",
            DrawnBackAfterWork,
            (2, 4, 2),
            &[(2, "drop 2 3", "draw_back 2 3 2")],
        ),
        stepped(
            "drawn back after a drop",
            DrawnBackAfterWork,
            (2, 4, 1),
            &[(2, "drop 1 4", "drop 1 4 | draw_back 1 4 3")],
        ),
        stepped("carried twice", MovedTwice, (2, 3, 1), &[(2, "carry 1 1 3", "carry 1 1 2 | carry 1 2 3")]),
        stepped(
            "drawn back twice",
            MovedTwice,
            (3, 2, 2),
            &[(3, "lift 2 3", "draw_back 2 3 4 | draw_back 2 3 4"), (3, "work 1 4 0", "")],
        ),
        stepped("carried and forgotten", CarryNotEnded, (3, 3, 2), &[(3, "lift 2 3", "carry 2 3 2")]),
        stepped(
            "carried and dropped",
            CarryNotEnded,
            (3, 3, 2),
            &[(3, "lift 2 3", "carry 2 3 2 | drop 2 2")],
        ),
        stepped(
            "joined and lifted",
            JoinNotWorked,
            (1, 2, 2),
            &[(1, "join 2 3 onward:1", "join 2 3 onward:1 | lift 2 3")],
        ),
        changed("joined and forgotten", JoinNotWorked, (Some(3), Some(4), Some(3)), |plan| {
            one_more(plan);
            plan.short_tails.insert(0, short_tail(3, 3, true, 1));
            replace(plan, 3, "drop 1 0", "drop 1 0 | join 3 0 onward:0");
        }),
        stepped("left in the hand", WorkNotEnded, (1, 2, 1), &[(1, "carry 1 3 2", "")]),
        stepped("left in the hand at the end", WorkNotEnded, (1, 4, 1), &[(1, "drop 1 0", "")]),
        stepped("lifted after work", WorkNotEnded, (2, 4, 2), &[(2, "drop 2 3", "lift 2 3")]),
        stepped("cut where it waits", NotAfterWork, (3, 2, 2), &[(3, "lift 2 3", "cut 2 3 onward:1")]),
        stepped("dropped where it waits", NotAfterWork, (3, 2, 2), &[(3, "lift 2 3", "drop 2 3")]),
        stepped(
            "carried after a lift",
            UsedAfterRest,
            (3, 2, 2),
            &[(3, "lift 2 3", "lift 2 3 | carry 2 3 2")],
        ),
        stepped("lifted after a drop", UsedAfterRest, (1, 3, 2), &[(1, "drop 2 2", "drop 2 2 | lift 2 2")]),
        stepped(
            "a lift too late",
            OutOfPlace,
            (3, 2, 2),
            &[(3, "lift 2 3", ""), (3, "drop 1 0", "drop 1 0 | lift 2 3")],
        ),
        stepped(
            "a carry before a drawing back",
            OutOfOrder,
            (2, 2, 2),
            &[(2, "draw_back 2 2 1", ""), (2, "carry 1 1 3", "carry 1 1 3 | draw_back 2 2 1")],
        ),
        stepped("not lifted", Float, (3, 2, 2), &[(3, "lift 2 3", "")]),
        stepped("not cut", LeftOver, (4, 4, 2), &[(4, "cut 2 4 onward:0", "drop 2 4")]),
        claimed("listed and not joined", NeverJoined, one_more),
        changed("black inside white", NeverBroken, (Some(1), Some(2), Some(1)), |plan| {
            assert!(plan.rules.never.forbid(yarn(0), yarn(1)));
        }),
        changed("carried past two", LongestCarry, (Some(2), Some(3), Some(1)), |plan| {
            plan.rules.limits.longest_carry = Some(1);
        }),
        changed("carried at all", LongestCarry, (Some(1), Some(2), Some(1)), |plan| {
            plan.rules.limits.longest_carry = Some(0);
        }),
        changed("waited a row", LongestWait, (Some(4), Some(4), Some(2)), |plan| {
            plan.rules.limits.longest_wait = Some(0);
        }),
        stepped("cut before", TailLine, (4, 4, 1), &[(4, "cut 1 3 onward:1", "cut 1 3 before:1")]),
        stepped(
            "a tail not worked over",
            FalseTail,
            (4, 4, 2),
            &[(4, "cut 2 4 onward:0", "cut 2 4 onward:1")],
        ),
        stepped("a tail worked over", FalseTail, (1, 1, 1), &[(1, "join 1 4 onward:1", "join 1 4 onward:0")]),
        stepped("no row for a tail", FalseTail, (4, 4, 1), &[(4, "cut 1 3 onward:1", "cut 1 3 next_row:1")]),
        stepped("no stitch before", FalseTail, (1, 1, 1), &[(1, "join 1 4 onward:1", "join 1 4 before:1")]),
        changed("a short tail not listed", ShortTailNotListed, (Some(4), None, Some(2)), |plan| {
            plan.short_tails.clear();
        }),
        changed("a short tail made shorter", ShortTailNotListed, (Some(4), None, Some(2)), |plan| {
            plan.short_tails[0].missing = 2;
        }),
        changed("a short tail too many", FalseShortTail, (Some(4), None, Some(1)), |plan| {
            plan.short_tails.push(short_tail(4, 1, false, 1));
        }),
        changed("a short tail twice", FalseShortTail, (Some(4), None, Some(2)), |plan| {
            plan.short_tails.push(plan.short_tails[0]);
        }),
        changed("a short tail beyond all rows", FalseShortTail, (Some(usize::MAX), None, Some(2)), |plan| {
            plan.short_tails.push(short_tail(4, 2, false, 1));
            plan.short_tails[1].row.0 = usize::MAX;
        }),
        changed("short tails out of order", ShortTailOrder, (Some(1), None, Some(1)), |plan| {
            plan.short_tails.push(short_tail(1, 1, true, 1));
        }),
        claimed("a colour too many", FalseColours, |plan| plan.counts.colours += 1),
        claimed("a run too few", FalseRuns, |plan| plan.counts.runs -= 1),
        claimed("a strand too few", FalseStrands, |plan| plan.counts.strands -= 1),
        claimed("strands without end", FalseStrands, |plan| plan.counts.strands = usize::MAX),
        claimed("one strand at once", FalseStrandsAtOnce, |plan| plan.counts.strands_at_once = 1),
        claimed("a carried stitch too few", FalseCarried, |plan| plan.counts.carried -= 1),
        claimed("a shorter longest carry", FalseLongestCarry, |plan| plan.counts.longest_carry = 1),
        claimed("a thousandth too little", FalseCost, move |plan| plan.counts.cost -= thousandth),
        claimed("costs without end", BadRules, |plan| plan.rules.tables = tables(i64::MAX)),
        claimed("a bound above the cost", FalseBound, move |plan| {
            plan.bound = plan.counts.cost + thousandth;
        }),
        claimed("a bound below zero", FalseBound, move |plan| plan.bound = -thousandth),
        changed("a micrometre too much", FalseLength, (None, None, Some(2)), |plan| {
            plan.strands[1].length += Length::from_micrometres(1);
        }),
        changed("lengths without end", FalseLength, (None, None, Some(1)), |plan| {
            plan.yarn_use.stitch = Length::from_micrometres(i64::MAX);
        }),
    ]
}

#[test]
fn every_broken_plan_is_refused_for_its_reason() {
    for Broken { what, kind, place: (row, stitch, strand), change } in corpus() {
        let (mut chart, mut plan) = base();
        change(&mut chart, &mut plan);
        let Err(violation) = prove(chart, plan) else { panic!("{what}: passes") };
        assert_eq!(violation.kind, kind, "{what}: {violation}");
        let place = (row.map(RowNumber), stitch, strand.map(|number| StrandId(number - 1)));
        assert_eq!((violation.row, violation.stitch, violation.strand), place, "{what}: {violation}");
        assert_ne!(violation.expected, violation.found, "{what}");
        assert_eq!(violation.hint, kind.hint());
    }
}

#[test]
fn the_corpus_has_every_kind_of_violation() {
    let covered: BTreeSet<Kind> = corpus().iter().map(|broken| broken.kind).collect();
    let missing: Vec<_> = Kind::ALL.iter().filter(|kind| !covered.contains(kind)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn every_kind_has_a_code_and_a_hint_of_its_own() {
    let codes: BTreeSet<&str> = Kind::ALL.iter().map(|kind| kind.code()).collect();
    let hints: BTreeSet<&str> = Kind::ALL.iter().map(|kind| kind.hint()).collect();
    assert_eq!((codes.len(), hints.len()), (Kind::ALL.len(), Kind::ALL.len()));
    for kind in Kind::ALL {
        // `snake_case` of the variant's own name.
        let words: String =
            kind.code().split('_').map(|word| word[..1].to_uppercase() + &word[1..]).collect();
        assert_eq!(words, format!("{kind:?}"));
    }
}

/// A list of a million strands that nobody joins is refused without work on them.
#[test]
fn a_long_list_of_strands_costs_nothing() {
    let (chart, mut plan) = base();
    plan.strands.resize(1_000_000, plan.strands[0]);
    assert_eq!(prove(chart, plan).unwrap_err().kind, NeverJoined);
}
