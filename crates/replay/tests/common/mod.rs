//! Charts in letters, steps in words, and the plans that the tests share. All invented.

use std::collections::BTreeMap;

use model::{
    Boundary, Chart, Cost, Hand, Length, Palette, Plan, PlanCounts, Row, Rules, ShortTail, Srgb, Step,
    StrandClaim, StrandId, Tail, TailLine, Weights, Yarn, YarnUse,
};

/// Black, white and another black. Black and white are 100 ΔE00 apart, so under the default weights
/// in thousandths of a stitch: carry(A, B) 1850, carry(B, A) 1100, carry(A, A) 150, carry(A, C) 350,
/// lift(A, B) = lift(B, A) 1800, lift(A, A) 800, lift at the edges 300.
pub(crate) fn palette() -> Palette {
    let yarn = |key: &str, value| Yarn::plain(key, key, Srgb::new(value, value, value));
    Palette::new(vec![yarn("a", 0), yarn("b", 255), yarn("c", 0)]).unwrap()
}

/// A chart from its rows as they lie on the table: the top row first, letters for yarns.
pub(crate) fn chart(picture: &str) -> Chart {
    let rows: Vec<&str> = picture.split_whitespace().rev().collect();
    let cells: Vec<u8> = rows.iter().flat_map(|row| row.bytes().map(|letter| letter - b'A')).collect();
    Chart::new(palette(), rows.len(), rows[0].len(), &cells).unwrap()
}

/// The default weights with a tail of so many stitches.
pub(crate) fn rules(tail: u32, hand: Hand) -> Rules {
    Rules::new(&palette(), Weights { tail, ..Weights::default() }, hand)
}

/// Lengths that are easy to add up.
pub(crate) fn yarn_use() -> YarnUse {
    let mm = |millimetres: f64| Length::mm(millimetres);
    YarnUse {
        stitch: mm(10.0),
        chain: mm(5.0),
        carried: mm(2.0),
        lift: mm(3.0),
        tail: mm(100.0),
        estimated: false,
    }
}

/// Steps as in `join 1 4 onward:1`, `work 1 4 3` or `drop 1 3`, parted by `|`. Strands count from 1.
pub(crate) fn steps(text: &str) -> Vec<Step> {
    text.split('|').filter(|step| !step.trim().is_empty()).map(step).collect()
}

fn step(text: &str) -> Step {
    let words: Vec<&str> = text.split_whitespace().collect();
    let number = |at: usize| words[at].parse::<u32>().unwrap();
    let strand = StrandId(number(1) - 1);
    let (from, at) = (Boundary(number(2)), Boundary(number(2)));
    let to = || Boundary(number(3));
    let tail = || {
        let (line, over) = words[3].split_once(':').unwrap();
        let line = match line {
            "onward" => TailLine::Onward,
            "before" => TailLine::Before,
            "next_row" => TailLine::NextRow,
            _ => panic!("no line of a tail: {line}"),
        };
        Tail { line, over: over.parse().unwrap() }
    };
    match words[0] {
        "join" => Step::Join { strand, at, tail: tail() },
        "work" => Step::Work { strand, from, to: to() },
        "carry" => Step::Carry { strand, from, to: to() },
        "draw_back" => Step::DrawBack { strand, from, to: to() },
        "drop" => Step::Drop { strand, at },
        "lift" => Step::Lift { strand, at },
        "cut" => Step::Cut { strand, at, tail: tail() },
        other => panic!("no step: {other}"),
    }
}

/// A short tail: row and strand from 1, `of_join`, stitches missing.
pub(crate) fn short_tail(row: usize, strand: u32, of_join: bool, missing: u32) -> ShortTail {
    ShortTail { row: model::RowIndex(row - 1), strand: StrandId(strand - 1), of_join, missing }
}

/// A plan of these rows, from row 1 up; `strands` holds the letter of each strand's yarn and its
/// length in millimetres. The bound is a tenth of a stitch below the cost.
pub(crate) fn plan(
    rules: Rules,
    rows: &[&str],
    strands: &[(char, u32)],
    short_tails: &[ShortTail],
    counts: PlanCounts,
) -> Plan {
    let yarns: BTreeMap<char, _> = "ABC".chars().zip(palette().indices()).collect();
    Plan {
        rules,
        yarn_use: yarn_use(),
        rows: rows.iter().map(|row| Row { steps: steps(row) }).collect(),
        strands: strands
            .iter()
            .map(|(letter, mm)| StrandClaim { yarn: yarns[letter], length: Length::mm(f64::from(*mm)) })
            .collect(),
        short_tails: short_tails.to_vec(),
        bound: counts.cost - Cost::from_thousandths(100),
        counts,
    }
}

/// Counts in the order of their fields, the cost in thousandths.
pub(crate) fn counts(
    [colours, runs, strands, strands_at_once]: [usize; 4],
    carried: u64,
    longest_carry: u32,
    cost: i64,
) -> PlanCounts {
    let cost = Cost::from_thousandths(cost);
    PlanCounts { colours, runs, strands, strands_at_once, carried, longest_carry, cost }
}

/// The plan that the corpus breaks: four rows, a carry in rows 1 and 2, a drawing back in row 2, a
/// lift in row 3.
///
/// Row 1 goes from the right to the left. Costs in thousandths:
///
/// | what | cost |
/// |---|---|
/// | 2 joins and 2 cuts | 4 · 12000 |
/// | both strands hang from row 1 to row 4 | 2 · 3 · 100 |
/// | tail of join 1 onward, over a stitch of its own yarn | 150 |
/// | tail of join 2 onward, over a stitch of its own yarn | 150 |
/// | tail of cut 1 onward, black over a white stitch | 1850 |
/// | tail of cut 2, beyond the edge: 1 missing | 3000 |
/// | row 1: black carried past one white stitch | 1850 |
/// | row 2: white drawn back over one stitch that it then makes itself | 150 |
/// | row 2: black carried past two white stitches | 3700 |
/// | row 3: white lifted beside a black stitch | 1800 |
/// | sum | 61250 |
///
/// Strand 1: 3 + 2 + 4 + 3 stitches of 10 mm, 3 carried of 2 mm, 3 turning chains and 5 chains of the
/// foundation of 5 mm, 2 tails of 100 mm: 366 mm. Strand 2: 1 + 2 + 1 stitches, 1 carried, 1 lift of
/// 3 mm, 2 tails: 245 mm.
pub(crate) fn base() -> (Chart, Plan) {
    let rows = [
        "join 1 4 onward:1 | work 1 4 3 | join 2 3 onward:1 | carry 1 3 2 | work 2 3 2 | drop 2 2 \
         | work 1 2 0 | drop 1 0",
        "work 1 0 1 | draw_back 2 2 1 | carry 1 1 3 | work 2 1 3 | drop 2 3 | work 1 3 4 | drop 1 4",
        "work 1 4 0 | lift 2 3 | drop 1 0",
        "work 1 0 3 | cut 1 3 onward:1 | work 2 3 4 | cut 2 4 onward:0",
    ];
    (
        chart("AAAB AAAA ABBA AABA"),
        plan(
            rules(1, Hand::Right),
            &rows,
            &[('A', 366), ('B', 245)],
            &[short_tail(4, 2, false, 1)],
            counts([2, 9, 2, 2], 4, 2, 61_250),
        ),
    )
}
