//! The practice patch, planned under the default rules: it must use every move, row by row those
//! that its lessons name, and pass the replay.

use std::collections::BTreeSet;

use model::{Gauge, Hand, Rules, Step, Weights, YarnUse};
use pattern::{Lesson, Move, lessons, practice_patch};
use replay::ProvenPlan;

fn proven(hand: Hand) -> ProvenPlan {
    let chart = practice_patch(hand);
    let rules = Rules::new(chart.palette(), Weights::default(), hand);
    let takes = YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"));
    let plan = planner::plan_on(1, &chart, &rules, takes, &planner::unwatched).expect("a plan");
    replay::prove(chart, plan).expect("the replay accepts it")
}

const fn kind(step: &Step) -> Option<Move> {
    match step {
        Step::Join { .. } => Some(Move::Join),
        Step::Carry { .. } => Some(Move::Carry),
        Step::DrawBack { .. } => Some(Move::DrawBack),
        Step::Drop { .. } => Some(Move::Drop),
        Step::Lift { .. } => Some(Move::Lift),
        Step::Cut { .. } => Some(Move::Cut),
        Step::Work { .. } => None,
    }
}

#[test]
fn every_row_makes_the_moves_that_its_lesson_names() {
    for hand in [Hand::Right, Hand::Left] {
        let proven = proven(hand);
        let rows = &proven.plan().rows;
        assert_eq!(rows.len(), lessons().len());
        let mut all = BTreeSet::new();
        for (number, (row, lesson)) in (1..).zip(rows.iter().zip(lessons())) {
            let found: BTreeSet<Move> = row.steps.iter().filter_map(kind).collect();
            let named: BTreeSet<Move> = lesson.moves.iter().copied().collect();
            assert_eq!(found, named, "{hand:?}, row {number}: {}", lesson.title);
            all.extend(found);
        }
        use Move::{Carry, Cut, DrawBack, Drop, Join, Lift};
        assert_eq!(all, BTreeSet::from([Join, Carry, DrawBack, Drop, Lift, Cut]), "{hand:?}");
    }
}

/// What the wish for it names beside the moves: about a dozen rows, two or three colours, a lone
/// stitch, a colour that waits a whole row, a change at an edge.
#[test]
fn it_holds_what_a_learner_is_to_meet() {
    let proven = proven(Hand::Right);
    let chart = proven.chart();
    assert!((10..=14).contains(&chart.rows()) && (2..=3).contains(&chart.palette().len()));
    let runs: Vec<_> = chart.row_indices().map(|row| chart.runs_in(row, Hand::Right)).collect();
    let lone = |run: &model::Run| run.stitches() == 1 && run.entry.0 != 0 && run.exit.0 != 0;
    assert!(runs.iter().flatten().any(lone), "a lone stitch");
    let mut strands = proven.strands().iter().zip(&proven.plan().strands);
    let waits = strands.any(|(facts, claim)| {
        (facts.first_row.0..=facts.last_row.0).any(|row| runs[row].iter().all(|run| run.yarn != claim.yarn))
    });
    assert!(waits, "a colour that waits");
    let edge =
        |pair: &[Vec<model::Run>]| pair[0].last().map(|run| run.yarn) != pair[1].last().map(|run| run.yarn);
    assert!(runs.windows(2).any(edge), "a change at an edge");
    assert!(!proven.plan().short_tails.is_empty(), "a tail for the needle");
}

#[test]
fn lessons_are_said_in_full() {
    let said: BTreeSet<&str> = lessons().iter().map(|lesson| lesson.title).collect();
    assert_eq!(said.len(), lessons().len(), "no title twice");
    let full = |lesson: &Lesson| lesson.says.ends_with('.') && !lesson.moves.is_empty();
    assert!(lessons().iter().all(full));
}
