//! What a plan says of itself: the frame before the work, the counts and lengths after it.

use model::{Chart, Cost, Plan, RowNumber, ShortTail, StrandId, Weights};

use crate::Violation;
use crate::steps::{Outcome, Replay};
use crate::violation::ViolationKind as Kind;

/// The plan is made for a chart of this palette and height, under rules that make sense.
pub(crate) fn check_frame(chart: &Chart, plan: &Plan) -> Outcome {
    let (rules, palette) = (&plan.rules, chart.palette());
    check(Kind::TableSize, palette.len(), rules.tables.yarns())?;
    check(Kind::TableSize, palette.len(), rules.never.yarns())?;
    let w = &rules.weights;
    let pairs = palette.indices().flat_map(|k| palette.indices().map(move |c| (k, c)));
    let costs = [w.join, w.cut, w.short, w.hang, rules.tables.lift_edge].into_iter();
    let costs = costs.chain(pairs.flat_map(|(k, c)| [rules.tables.carry(k, c), rules.tables.lift(k, c)]));
    for cost in costs {
        // No pair of yarns gives four times the largest weight, and sums stay far inside 64 bits.
        check(Kind::BadRules, cost.clamp(Cost::ZERO, Cost::MAX_WEIGHT * 4), cost)?;
    }
    check(Kind::BadRules, w.tail.min(Weights::MAX_TAIL), w.tail)?;
    check(Kind::RowCount, chart.rows(), plan.rows.len())?;
    for (id, strand) in (0..).map(StrandId).zip(&plan.strands) {
        if strand.yarn.index() >= palette.len() {
            let expected = format!("one of {} yarns", palette.len());
            return of_strand(id, Kind::UnknownYarn, expected, strand.yarn.index() + 1);
        }
    }
    Ok(())
}

/// What the plan claims is what the replay found.
pub(crate) fn check_found(plan: &Plan, found: &Replay<'_>) -> Outcome {
    check(Kind::NeverJoined, plan.strands.len(), found.strands.len())?;
    check_short_tails(&plan.short_tails, &found.short_tails)?;
    let (claimed, counted) = (&plan.counts, &found.counts);
    check(Kind::FalseColours, counted.colours, claimed.colours)?;
    check(Kind::FalseRuns, counted.runs, claimed.runs)?;
    check(Kind::FalseStrands, counted.strands, claimed.strands)?;
    check(Kind::FalseStrandsAtOnce, counted.strands_at_once, claimed.strands_at_once)?;
    check(Kind::FalseCarried, counted.carried, claimed.carried)?;
    check(Kind::FalseLongestCarry, counted.longest_carry, claimed.longest_carry)?;
    check(Kind::FalseCost, counted.cost, claimed.cost)?;
    check(Kind::FalseBound, plan.bound.max(Cost::ZERO).min(counted.cost), plan.bound)?;
    let takes = &plan.yarn_use;
    for (id, (claim, strand)) in (0..).map(StrandId).zip(plan.strands.iter().zip(&found.strands)) {
        let facts = &strand.facts;
        let length = takes.stitch * facts.stitches.into()
            + takes.carried * facts.carried.into()
            + takes.lift * facts.lifts.into()
            + takes.chain * (u64::from(facts.turning_chains) + u64::from(facts.foundation_chains))
            + takes.tail * 2;
        if claim.length != length {
            return of_strand(id, Kind::FalseLength, format!("{length:?}"), format!("{:?}", claim.length));
        }
    }
    Ok(())
}

fn check<T: PartialEq + ToString>(kind: Kind, expected: T, found: T) -> Outcome {
    if expected == found { Ok(()) } else { Err(Violation::new(kind, expected, found)) }
}

fn of_strand(id: StrandId, kind: Kind, expected: impl ToString, found: impl ToString) -> Outcome {
    Err(Box::new(Violation { strand: Some(id), ..*Violation::new(kind, expected, found) }))
}

/// The list is in the order of rows and holds each short tail once and nothing else. `counted` is
/// sorted.
fn check_short_tails(claimed: &[ShortTail], counted: &[ShortTail]) -> Outcome {
    let mut sorted = claimed.to_vec();
    sorted.sort_unstable();
    let differs = (0..sorted.len().max(counted.len())).find(|&at| sorted.get(at) != counted.get(at));
    let (kind, tail) = if let Some(pair) = claimed.windows(2).find(|pair| pair[0].row > pair[1].row) {
        (Kind::ShortTailOrder, pair[1])
    } else {
        match differs.map(|at| (sorted.get(at), counted.get(at))) {
            Some((Some(claim), count)) if count.is_none_or(|count| claim < count) => {
                (Kind::FalseShortTail, *claim)
            }
            Some((_, Some(count))) => (Kind::ShortTailNotListed, *count),
            _ => return Ok(()),
        }
    };
    let expected = "each short tail listed once and no other, in the order of rows";
    let found = format!("{} missing at its {}", tail.missing, if tail.of_join { "join" } else { "cut" });
    // A claimed row may be any number.
    let (row, strand) = (Some(RowNumber(tail.row.0.saturating_add(1))), Some(tail.strand));
    Err(Box::new(Violation { row, strand, ..*Violation::new(kind, expected, found) }))
}
