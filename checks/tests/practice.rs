//! What a skilled crocheter does in small situations, against what the planner does.
//!
//! Every situation was written down with its moves, and why, before the planner had seen it: common
//! practice, no source, except where one is named. The moves are complete: each join, run, carry,
//! drawing back, drop, lift and cut of each row. Charts and weights were chosen by the prices of
//! `docs/strand-model.md`, so that the practice is clearly the cheapest; where that took more than the
//! plain chart and the default weights the situation says so.
//!
//! A situation is drawn as a chart, top row first, a letter for each stitch. Its moves go row by row
//! from the bottom in the order of work:
//!
//! ```text
//! row 2: work A1 5, draw back B1 3, carry A1 6, work B1 6, drop B1, work A1 1, drop A1
//! ```
//!
//! `A1` is the first strand of yarn A by order of joins; numbers behind are stitches. Where a strand
//! is follows from what it did before, so no place is named. A join or cut may say its tail too:
//! `cut B1 onward 5` is worked over by five stitches of its own row, `next row 5` by those of the
//! next, `before 5` by those before a join.
//!
//! Unless a situation says otherwise, A is white and B is black, so that by the default weights B
//! inside A costs 1.85 a stitch, A inside B 1.1, a lift beside the other colour 1.8, and a further
//! strand at least 24.

use model::{
    Chart, Gauge, Hand, Limits, Palette, Plan, Rules, Srgb, Step, Tail, TailLine, Weights, Yarn, YarnUse,
};

const WHITE: Srgb = Srgb::new(255, 255, 255);
const BLACK: Srgb = Srgb::new(0, 0, 0);
const SAND: Srgb = Srgb::new(235, 205, 150);
const RED: Srgb = Srgb::new(190, 30, 45);

/// A chart, what holds for it, and the moves that a crocheter makes.
struct Situation<'a> {
    hand: Hand,
    /// Yarns A, B and so on.
    yarns: &'a [Srgb],
    weights: Weights,
    limits: Limits,
    /// Rows as drawn, the top one first, with white space between.
    chart: &'a str,
    /// A line for each row, or for several alike (`rows 3 5: …`); every row in exactly one.
    moves: &'a [&'a str],
}

/// White and black, default weights, no limits, for the right hand: row 1 goes to the left.
fn plain() -> Situation<'static> {
    Situation {
        hand: Hand::Right,
        yarns: &[WHITE, BLACK],
        weights: Weights::default(),
        limits: Limits::default(),
        chart: "",
        moves: &[],
    }
}

impl Situation<'_> {
    /// Plans and compares the moves of every row; then the same for the mirror image in the other
    /// hand, where every move is the same.
    fn check(&self) {
        let drawn: Vec<Vec<u8>> = self.chart.split_whitespace().map(|row| row.bytes().collect()).collect();
        let mirrored: Vec<Vec<u8>> = drawn.iter().map(|row| row.iter().rev().copied().collect()).collect();
        let other = match self.hand {
            Hand::Right => Hand::Left,
            Hand::Left => Hand::Right,
        };
        self.check_as(&drawn, self.hand);
        self.check_as(&mirrored, other);
    }

    fn check_as(&self, drawn: &[Vec<u8>], hand: Hand) {
        let yarns = self.yarns.iter().zip('A'..);
        let yarns = yarns.map(|(colour, letter)| Yarn::plain(letter, letter, *colour)).collect();
        let cells: Vec<u8> = drawn.iter().rev().flatten().map(|letter| letter - b'A').collect();
        let palette = Palette::new(yarns).expect("letters as keys");
        let chart = Chart::new(palette, drawn.len(), drawn[0].len(), &cells).expect("letters of yarns");
        let mut rules = Rules::new(chart.palette(), self.weights, hand);
        rules.limits = self.limits;
        let yarn_use = YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"));
        let plan = planner::plan_on(1, &chart, &rules, yarn_use, &planner::unwatched).expect("a plan");
        replay::prove(chart, plan.clone()).unwrap_or_else(|violation| panic!("{hand:?}: {violation}"));

        let expected = self.expected();
        let planned = told(&plan);
        let same = |row: usize| {
            expected[row].len() == planned[row].len()
                && expected[row].iter().zip(&planned[row]).all(|(expected, planned)| agree(expected, planned))
        };
        let wrong: Vec<String> = (0..planned.len())
            .filter(|&row| !same(row))
            .map(|row| {
                let [expected, planned] = [expected[row].join(", "), planned[row].join(", ")];
                format!("row {}\n  practice: {expected}\n  planned:  {planned}", row + 1)
            })
            .collect();
        let picture: Vec<_> = drawn.iter().map(|row| String::from_utf8_lossy(row)).collect();
        assert!(wrong.is_empty(), "{hand:?}\n{}\n{}", picture.join("\n"), wrong.join("\n"));
    }

    /// The moves of each row from the bottom.
    fn expected(&self) -> Vec<Vec<String>> {
        let mut rows = vec![Vec::new(); self.chart.split_whitespace().count()];
        for line in self.moves {
            let (numbers, moves) = line.split_once(": ").expect("row numbers and moves");
            for number in numbers.split(' ').skip(1) {
                let row = &mut rows[number.parse::<usize>().expect("a row number") - 1];
                assert!(row.is_empty(), "row {number} stands there twice");
                *row = moves.split(", ").map(str::to_owned).collect();
            }
        }
        assert!(rows.iter().all(|row| !row.is_empty()), "the moves of every row");
        rows
    }
}

/// Whether a planned step is the one expected, whose tail need not be said.
fn agree(expected: &str, planned: &str) -> bool {
    let tail_left_out = (expected.starts_with("join") || expected.starts_with("cut"))
        && planned.strip_prefix(expected).is_some_and(|rest| rest.starts_with(' '));
    expected == planned || tail_left_out
}

/// The steps of each row in the words of this test.
fn told(plan: &Plan) -> Vec<Vec<String>> {
    let mut joined = [0; 26];
    let strands = plan.strands.iter().map(|strand| {
        let yarn = strand.yarn.index();
        joined[yarn] += 1;
        format!("{}{}", ('A'..='Z').nth(yarn).expect("few yarns"), joined[yarn])
    });
    let strands: Vec<String> = strands.collect();
    let tell = |step: &Step| {
        let strand = &strands[step.strand().index()];
        match step {
            Step::Join { tail, .. } => format!("join {strand} {}", tail_told(tail)),
            Step::Work { from, to, .. } => format!("work {strand} {}", from.0.abs_diff(to.0)),
            Step::Carry { from, to, .. } => format!("carry {strand} {}", from.0.abs_diff(to.0)),
            Step::DrawBack { from, to, .. } => format!("draw back {strand} {}", from.0.abs_diff(to.0)),
            Step::Drop { .. } => format!("drop {strand}"),
            Step::Lift { .. } => format!("lift {strand}"),
            Step::Cut { tail, .. } => format!("cut {strand} {}", tail_told(tail)),
        }
    };
    plan.rows.iter().map(|row| row.steps.iter().map(tell).collect()).collect()
}

fn tail_told(tail: &Tail) -> String {
    let line = match tail.line {
        TailLine::Onward => "onward",
        TailLine::Before => "before",
        TailLine::NextRow => "next row",
    };
    format!("{line} {}", tail.over)
}

/// B begins three stitches before the place where it hangs: it is drawn back to there and lies
/// inside its own first stitches. Row 2 goes to the right, row 3 to the left. The white is carried
/// through the black. Common practice, no source.
#[test]
fn needed_three_stitches_earlier() {
    Situation {
        chart: "
            AAAABBBBBAAA
            ABBBBBAAAAAA
            AAAABBBAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 5, join B1, carry A1 3, work B1 3, drop B1, work A1 4, drop A1",
            "row 2: work A1 1, draw back B1 3, carry A1 5, work B1 5, drop B1, work A1 6, drop A1",
            "row 3: work A1 3, draw back B1 3, carry A1 5, work B1 5, cut B1, work A1 4, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// B begins three stitches after the place where it hangs: the white stitches up to there are worked
/// over it. Both directions of row. Common practice, no source.
#[test]
fn needed_three_stitches_later() {
    Situation {
        chart: "
            AABBBBAAAAAA
            AAAAAABBBAAA
            AAABBBBBAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 4, join B1, carry A1 5, work B1 5, drop B1, work A1 3, drop A1",
            "row 2: work A1 6, carry B1 3, carry A1 3, work B1 3, drop B1, work A1 3, drop A1",
            "row 3: work A1 6, carry B1 3, carry A1 4, work B1 4, cut B1, work A1 2, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// A spot two stitches wide: no second ball of white beyond it, the white lies inside the spot; the
/// black goes straight up with the spot. Common practice, no source.
///
/// Kept low: by these weights the model takes a second ball of white for a spot of fourteen rows.
#[test]
fn a_spot_two_stitches_wide() {
    Situation {
        chart: &"AAAAABBAAAAA ".repeat(4),
        moves: &[
            "row 1: join A1, work A1 5, join B1, carry A1 2, work B1 2, drop B1, work A1 5, drop A1",
            "rows 2 3: work A1 5, carry A1 2, work B1 2, drop B1, work A1 5, drop A1",
            "row 4: work A1 5, carry A1 2, work B1 2, cut B1, work A1 5, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// B is not needed in rows 2 and 5, and needed again in the row after just where it hangs: the white
/// locks it in passing. Both directions of row. Common practice, no source.
#[test]
fn not_needed_for_one_row() {
    Situation {
        chart: "
            AAAAAABBBAAA
            AAAAAAAAAAAA
            ABBBBBAAAAAA
            ABBBAAAAAAAA
            AAAAAAAAAAAA
            AAAABBBAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 5, join B1, carry A1 3, work B1 3, drop B1, work A1 4, drop A1",
            "row 2: work A1 12, lift B1, drop A1",
            "row 3: work A1 8, carry A1 3, work B1 3, drop B1, work A1 1, drop A1",
            "row 4: work A1 1, carry A1 5, work B1 5, drop B1, work A1 6, drop A1",
            "row 5: work A1 12, lift B1, drop A1",
            "row 6: work A1 6, carry A1 3, work B1 3, cut B1, work A1 3, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// The same spot again after one row: the strand hangs at its far end. It is locked there and then
/// drawn back inside its own stitches, for inside the white it would show. Common practice, no source.
#[test]
fn not_needed_for_one_row_then_at_its_other_end() {
    Situation {
        chart: "
            AAAABBBAAAAA
            AAAAAAAAAAAA
            AAAABBBAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 5, join B1, carry A1 3, work B1 3, drop B1, work A1 4, drop A1",
            "row 2: work A1 12, lift B1, drop A1",
            "row 3: work A1 5, draw back B1 3, carry A1 3, work B1 3, cut B1, work A1 4, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// Every other stitch, there and back: both colours are carried along, two strands in all. Common
/// practice, no source.
#[test]
fn every_other_stitch() {
    Situation {
        chart: "
            AAAAAAAAAAA
            ABABABABABA
            ABABABABABA
            AAAAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 11, drop A1",
            "row 2: work A1 1, join B1, carry A1 1, work B1 1, \
             carry B1 1, work A1 1, carry A1 1, work B1 1, \
             carry B1 1, work A1 1, carry A1 1, work B1 1, \
             carry B1 1, work A1 1, carry A1 1, work B1 1, \
             carry B1 1, work A1 1, carry A1 1, work B1 1, drop B1, work A1 1, drop A1",
            "row 3: work A1 1, carry A1 1, work B1 1, \
             carry B1 1, work A1 1, carry A1 1, work B1 1, \
             carry B1 1, work A1 1, carry A1 1, work B1 1, \
             carry B1 1, work A1 1, carry A1 1, work B1 1, \
             carry B1 1, work A1 1, carry A1 1, work B1 1, cut B1, work A1 1, drop A1",
            "row 4: work A1 11, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// Two blocks that touch at a corner. For the right hand the strand hangs at the far side of the
/// first block and reaches the second forwards, under three white stitches. Common practice, no
/// source.
#[test]
fn the_next_block_reached_forwards() {
    Situation {
        chart: "
            AAAAABBBAAAA
            AABBBAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 7, join B1, carry A1 3, work B1 3, drop B1, work A1 2, drop A1",
            "row 2: work A1 5, carry B1 3, carry A1 3, work B1 3, cut B1, work A1 4, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// The same chart in the left hand: the strand hangs at the near side and is drawn back to the far
/// side of the second block, inside that block's own stitches. Common practice, no source.
#[test]
fn the_next_block_reached_backwards() {
    Situation {
        hand: Hand::Left,
        chart: "
            AAAAABBBAAAA
            AABBBAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 2, join B1, carry A1 3, work B1 3, drop B1, work A1 7, drop A1",
            "row 2: work A1 4, draw back B1 3, carry A1 3, work B1 3, cut B1, work A1 5, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// Blocks with three white stitches between them, forwards: one strand all the same, under six
/// stitches. Common practice, no source, though some would take a new strand.
#[test]
fn a_block_three_stitches_off_reached_forwards() {
    Situation {
        chart: "
            AAAAAAAABBBAA
            AABBBAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 8, join B1, carry A1 3, work B1 3, drop B1, work A1 2, drop A1",
            "row 2: work A1 8, carry B1 6, carry A1 3, work B1 3, cut B1, work A1 2, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// The same chart in the left hand: drawn back under the three white stitches and the block's own.
/// Common practice, no source.
#[test]
fn a_block_three_stitches_off_reached_backwards() {
    Situation {
        hand: Hand::Left,
        chart: "
            AAAAAAAABBBAA
            AABBBAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 2, join B1, carry A1 3, work B1 3, drop B1, work A1 8, drop A1",
            "row 2: work A1 2, draw back B1 6, carry A1 3, work B1 3, cut B1, work A1 8, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// B ends for good: both its tails are worked over, that of the join by its own stitches, that of
/// the cut straight on by the white. Common practice, no source.
#[test]
fn a_colour_that_ends_for_good() {
    Situation {
        chart: "
            AAAAAAAAAAAAAAAA
            AAAAAABBBBBAAAAA
            AAAAAABBBBBAAAAA
            AAAAAAAAAAAAAAAA
        ",
        moves: &[
            "row 1: join A1 onward 5, work A1 16, drop A1",
            "row 2: work A1 6, join B1 onward 5, carry A1 5, work B1 5, drop B1, work A1 5, drop A1",
            "row 3: work A1 5, carry A1 5, work B1 5, cut B1 onward 5, work A1 6, drop A1",
            "row 4: work A1 16, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// B ends two stitches before the edge, too near to work over its tail straight on: the next row
/// works over it on the way back. Common practice, no source.
#[test]
fn a_colour_that_ends_near_the_edge() {
    Situation {
        chart: "
            AAAAAAAAAAAAAAAA
            AAAAAAAAABBBBBAA
            AAAAAAAAAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 16, drop A1",
            "row 2: work A1 9, join B1 onward 5, carry A1 5, work B1 5, cut B1 next row 5, work A1 2, drop A1",
            "row 3: work A1 16, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// An outline one stitch wide that leans one stitch a row: one strand all the way, carried where the
/// row goes the way the outline leans, drawn back where it comes against it. Common practice, no
/// source.
#[test]
fn an_outline_that_leans_by_one() {
    let chart = "
        AAAAAAABAAAA
        AAAAAABAAAAA
        AAAAABAAAAAA
        AAAABAAAAAAA
        AAABAAAAAAAA
    ";
    Situation {
        chart,
        moves: &[
            "row 1: join A1, work A1 8, join B1, carry A1 1, work B1 1, drop B1, work A1 3, drop A1",
            "row 2: work A1 4, carry B1 1, carry A1 1, work B1 1, drop B1, work A1 7, drop A1",
            "row 3: work A1 6, draw back B1 1, carry A1 1, work B1 1, drop B1, work A1 5, drop A1",
            "row 4: work A1 6, carry B1 1, carry A1 1, work B1 1, drop B1, work A1 5, drop A1",
            "row 5: work A1 4, draw back B1 1, carry A1 1, work B1 1, cut B1, work A1 7, cut A1",
        ],
        ..plain()
    }
    .check();
    Situation {
        hand: Hand::Left,
        chart,
        moves: &[
            "row 1: join A1, work A1 3, join B1, carry A1 1, work B1 1, drop B1, work A1 8, drop A1",
            "row 2: work A1 7, draw back B1 1, carry A1 1, work B1 1, drop B1, work A1 4, drop A1",
            "row 3: work A1 5, carry B1 1, carry A1 1, work B1 1, drop B1, work A1 6, drop A1",
            "row 4: work A1 5, draw back B1 1, carry A1 1, work B1 1, drop B1, work A1 6, drop A1",
            "row 5: work A1 7, carry B1 1, carry A1 1, work B1 1, cut B1, work A1 4, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// The same leaning two stitches a row. Common practice, no source.
#[test]
fn an_outline_that_leans_by_two() {
    Situation {
        chart: "
            AAAAAAABAA
            AAAAABAAAA
            AAABAAAAAA
            ABAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 8, join B1, carry A1 1, work B1 1, drop B1, work A1 1, drop A1",
            "row 2: work A1 3, carry B1 2, carry A1 1, work B1 1, drop B1, work A1 6, drop A1",
            "row 3: work A1 4, draw back B1 2, carry A1 1, work B1 1, drop B1, work A1 5, drop A1",
            "row 4: work A1 7, carry B1 2, carry A1 1, work B1 1, cut B1, work A1 2, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// The same leaning three stitches a row. Common practice, no source.
#[test]
fn an_outline_that_leans_by_three() {
    let chart = "
        AAAAAAAAAABAA
        AAAAAAABAAAAA
        AAAABAAAAAAAA
        ABAAAAAAAAAAA
    ";
    Situation {
        chart,
        moves: &[
            "row 1: join A1, work A1 11, join B1, carry A1 1, work B1 1, drop B1, work A1 1, drop A1",
            "row 2: work A1 4, carry B1 3, carry A1 1, work B1 1, drop B1, work A1 8, drop A1",
            "row 3: work A1 5, draw back B1 3, carry A1 1, work B1 1, drop B1, work A1 7, drop A1",
            "row 4: work A1 10, carry B1 3, carry A1 1, work B1 1, cut B1, work A1 2, cut A1",
        ],
        ..plain()
    }
    .check();
    Situation {
        hand: Hand::Left,
        chart,
        moves: &[
            "row 1: join A1, work A1 1, join B1, carry A1 1, work B1 1, drop B1, work A1 11, drop A1",
            "row 2: work A1 8, draw back B1 3, carry A1 1, work B1 1, drop B1, work A1 4, drop A1",
            "row 3: work A1 7, carry B1 3, carry A1 1, work B1 1, drop B1, work A1 5, drop A1",
            "row 4: work A1 2, draw back B1 3, carry A1 1, work B1 1, cut B1, work A1 10, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// A black ring on sand with a wide white middle. Ring and ground each split into two strands and
/// join again; of each pair the one that the closing row does not meet first ends, its tail worked
/// over in its own colour. Common practice, no source.
///
/// Chosen so: tails of three stitches, walls and margins three wide. With tails of five the model
/// rather ends the other strand of each pair, whose tail then lies in its own colour, and draws this
/// one back under the whole closing row.
#[test]
fn a_ring_with_a_wide_middle() {
    Situation {
        yarns: &[SAND, BLACK, WHITE],
        weights: Weights { tail: 3, ..Weights::default() },
        chart: "
            AAAAAAAAAAAAAAAAAA
            AAABBBBBBBBBBBBAAA
            AAABBBCCCCCCBBBAAA
            AAABBBCCCCCCBBBAAA
            AAABBBCCCCCCBBBAAA
            AAABBBCCCCCCBBBAAA
            AAABBBBBBBBBBBBAAA
            AAAAAAAAAAAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 18, drop A1",
            "row 2: work A1 3, drop A1, join B1, work B1 12, drop B1, join A2, work A2 3, drop A2",
            "row 3: work A2 3, drop A2, work B1 3, drop B1, join C1, work C1 6, drop C1, \
             join B2, work B2 3, drop B2, work A1 3, drop A1",
            "row 4: work A1 3, drop A1, work B2 3, drop B2, work C1 6, drop C1, \
             work B1 3, drop B1, work A2 3, drop A2",
            "row 5: work A2 3, drop A2, work B1 3, drop B1, work C1 6, drop C1, \
             work B2 3, drop B2, work A1 3, drop A1",
            "row 6: work A1 3, drop A1, work B2 3, cut B2 next row 3, work C1 6, cut C1, \
             work B1 3, drop B1, work A2 3, drop A2",
            "row 7: work A2 3, cut A2 next row 3, work B1 12, cut B1, work A1 3, drop A1",
            "row 8: work A1 18, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// A ring with a small hole: no second strand for a hole two stitches wide, both colours are carried.
/// Common practice, no source.
#[test]
fn a_ring_with_a_small_hole() {
    Situation {
        chart: "
            AAAABBBBAAAA
            AAABBAABBAAA
            AAABBAABBAAA
            AAAABBBBAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 4, join B1, carry A1 4, work B1 4, drop B1, work A1 4, drop A1",
            "row 2: work A1 3, draw back B1 1, carry A1 2, work B1 2, carry B1 2, work A1 2, \
             carry A1 2, work B1 2, drop B1, work A1 3, drop A1",
            "row 3: work A1 3, carry A1 2, work B1 2, carry B1 2, work A1 2, \
             carry A1 2, work B1 2, drop B1, work A1 3, drop A1",
            "row 4: work A1 4, carry B1 1, carry A1 4, work B1 4, cut B1, work A1 4, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// A frame round a picture eight stitches wide: a strand each side. The closing row is worked by the
/// one at its beginning, the other ends the row before. Closed in a row to the left and in a row to
/// the right. Common practice, no source.
///
/// Chosen so: tails of two stitches, as wide as the frame, for the reason given at the wide ring.
#[test]
fn a_frame_in_one_colour() {
    let weights = Weights { tail: 2, ..Weights::default() };
    let (bar, side) = ("BBBBBBBBBBBB", "BBAAAAAAAABB");
    Situation {
        weights,
        chart: &[bar, side, side, side, side, side, bar].join(" "),
        moves: &[
            "row 1: join B1, work B1 12, drop B1",
            "row 2: work B1 2, drop B1, join A1, work A1 8, drop A1, join B2, work B2 2, drop B2",
            "rows 3 5: work B2 2, drop B2, work A1 8, drop A1, work B1 2, drop B1",
            "row 4: work B1 2, drop B1, work A1 8, drop A1, work B2 2, drop B2",
            "row 6: work B1 2, cut B1 next row 2, work A1 8, cut A1, work B2 2, drop B2",
            "row 7: work B2 12, cut B2",
        ],
        ..plain()
    }
    .check();
    Situation {
        weights,
        chart: &[bar, side, side, side, side, bar].join(" "),
        moves: &[
            "row 1: join B1, work B1 12, drop B1",
            "row 2: work B1 2, drop B1, join A1, work A1 8, drop A1, join B2, work B2 2, drop B2",
            "row 3: work B2 2, drop B2, work A1 8, drop A1, work B1 2, drop B1",
            "row 4: work B1 2, drop B1, work A1 8, drop A1, work B2 2, drop B2",
            "row 5: work B2 2, cut B2 next row 2, work A1 8, cut A1, work B1 2, drop B1",
            "row 6: work B1 12, cut B1",
        ],
        ..plain()
    }
    .check();
}

/// A frame round three stitches: one strand, carried behind them. Common practice, no source.
#[test]
fn a_small_frame() {
    Situation {
        chart: "
            BBBBB
            BAAAB
            BAAAB
            BBBBB
        ",
        moves: &[
            "row 1: join B1, work B1 5, drop B1",
            "row 2: work B1 1, join A1, carry B1 3, work A1 3, drop A1, work B1 1, drop B1",
            "row 3: work B1 1, carry B1 3, work A1 3, cut A1, work B1 1, drop B1",
            "row 4: work B1 5, cut B1",
        ],
        ..plain()
    }
    .check();
}

/// Stripes two rows high: each colour comes back to the edge where it began and is carried up that
/// edge, two strands in all. Common practice, no source.
#[test]
fn stripes_two_rows_high() {
    let (a, b) = ("AAAAAAAAAAAA", "BBBBBBBBBBBB");
    Situation {
        chart: &[b, b, a, a, b, b, a, a].join(" "),
        moves: &[
            "row 1: join A1, work A1 12, drop A1",
            "row 2: work A1 12, drop A1",
            "row 3: join B1, lift A1, work B1 12, drop B1",
            "row 4: work B1 12, drop B1, lift A1",
            "row 5: lift B1, work A1 12, drop A1",
            "row 6: work A1 12, cut A1, lift B1",
            "row 7: work B1 12, drop B1",
            "row 8: work B1 12, cut B1",
        ],
        ..plain()
    }
    .check();
}

/// Stripes one row high in three colours: after three rows each colour hangs at just the edge where
/// it is needed, three strands in all. Common practice, no source.
#[test]
fn stripes_one_row_high_in_three_colours() {
    let (a, b, c) = ("AAAAAAAAAAAA", "BBBBBBBBBBBB", "CCCCCCCCCCCC");
    Situation {
        yarns: &[WHITE, BLACK, RED],
        chart: &[c, b, a, c, b, a].join(" "),
        moves: &[
            "row 1: join A1, work A1 12, drop A1",
            "row 2: join B1, lift A1, work B1 12, drop B1",
            "row 3: join C1, lift B1, work C1 12, drop C1, lift A1",
            "row 4: lift C1, work A1 12, cut A1, lift B1",
            "row 5: work B1 12, cut B1, lift C1",
            "row 6: work C1 12, cut C1",
        ],
        ..plain()
    }
    .check();
}

/// A single stray stitch, one in each direction of row: the ground is carried through it. Common
/// practice, no source.
#[test]
fn a_stray_stitch() {
    Situation {
        yarns: &[WHITE, BLACK, RED],
        chart: "
            AAAAAAAAAAAA
            AAAAAAAACAAA
            AAAAABAAAAAA
            AAAAAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 12, drop A1",
            "row 2: work A1 5, join B1, carry A1 1, work B1 1, cut B1, work A1 6, drop A1",
            "row 3: work A1 3, join C1, carry A1 1, work C1 1, cut C1, work A1 8, drop A1",
            "row 4: work A1 12, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// A checkerboard of squares two by two: both colours carried, two strands in all. Where the squares
/// change over, the white hangs two stitches from the edge and is drawn back there; many would carry
/// it there in the row before. Common practice, no source.
#[test]
fn a_checkerboard() {
    Situation {
        chart: "
            BBAABBAA
            BBAABBAA
            AABBAABB
            AABBAABB
        ",
        moves: &[
            "row 1: join B1, work B1 2, join A1, carry B1 2, work A1 2, carry A1 2, work B1 2, drop B1, \
             work A1 2, drop A1",
            "row 2: work A1 2, carry A1 2, work B1 2, carry B1 2, work A1 2, drop A1, work B1 2, drop B1",
            "row 3: draw back A1 2, carry B1 2, work A1 2, carry A1 2, work B1 2, carry B1 2, work A1 2, \
             drop A1, work B1 2, drop B1",
            "row 4: work B1 2, carry B1 2, work A1 2, carry A1 2, work B1 2, cut B1, work A1 2, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// The letter H: a strand for each upright. One of them makes the bar; the other is drawn back
/// inside the bar and locked where its upright goes on, so the two change sides and none is cut.
/// Common practice, no source.
///
/// Chosen so: the gap is six wide and each leg three rows high. With a gap of four and legs of two
/// rows the model carries one strand across instead.
#[test]
fn the_letter_h() {
    let (upright, bar) = ("AABBAAAAAABBAA", "AABBBBBBBBBBAA");
    Situation {
        chart: &[upright, upright, upright, bar, upright, upright, upright].join(" "),
        moves: &[
            "row 1: join A1, work A1 2, join B1, carry A1 2, work B1 2, drop B1, \
             work A1 6, join B2, carry A1 2, work B2 2, drop B2, work A1 2, drop A1",
            "row 2: work A1 2, carry A1 2, work B2 2, drop B2, \
             work A1 6, carry A1 2, work B1 2, drop B1, work A1 2, drop A1",
            "row 3: work A1 2, carry A1 2, work B1 2, drop B1, \
             work A1 6, carry A1 2, work B2 2, drop B2, work A1 2, drop A1",
            "row 4: work A1 2, carry A1 10, work B2 10, draw back B1 6, lift B1, drop B2, work A1 2, drop A1",
            "row 5: work A1 2, carry A1 2, work B2 2, drop B2, \
             work A1 6, carry A1 2, work B1 2, drop B1, work A1 2, drop A1",
            "row 6: work A1 2, carry A1 2, work B1 2, drop B1, \
             work A1 6, carry A1 2, work B2 2, drop B2, work A1 2, drop A1",
            "row 7: work A1 2, carry A1 2, work B2 2, cut B2, \
             work A1 6, carry A1 2, work B1 2, cut B1, work A1 2, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// A diamond: drawn back by a stitch where it grows, carried by one where it shrinks. Common
/// practice, no source.
#[test]
fn a_diamond() {
    Situation {
        chart: "
            AAAAAABAAAAAA
            AAAAABBBAAAAA
            AAAABBBBBAAAA
            AAAAABBBAAAAA
            AAAAAABAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 6, join B1, carry A1 1, work B1 1, drop B1, work A1 6, drop A1",
            "row 2: work A1 5, draw back B1 1, carry A1 3, work B1 3, drop B1, work A1 5, drop A1",
            "row 3: work A1 4, draw back B1 1, carry A1 5, work B1 5, drop B1, work A1 4, drop A1",
            "row 4: work A1 5, carry B1 1, carry A1 3, work B1 3, drop B1, work A1 5, drop A1",
            "row 5: work A1 6, carry B1 1, carry A1 1, work B1 1, cut B1, work A1 6, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// Two halves side by side: a strand each, only crossed at the border. Common practice, no source.
#[test]
fn two_halves() {
    Situation {
        chart: &"AAAAAABBBBBB ".repeat(4),
        moves: &[
            "row 1: join B1, work B1 6, drop B1, join A1, work A1 6, drop A1",
            "row 2: work A1 6, drop A1, work B1 6, drop B1",
            "row 3: work B1 6, drop B1, work A1 6, drop A1",
            "row 4: work A1 6, cut A1, work B1 6, cut B1",
        ],
        ..plain()
    }
    .check();
}

/// Two eyes three stitches apart: one strand, carried from eye to eye. Common practice, no source.
#[test]
fn two_eyes() {
    Situation {
        chart: "
            AAAAAAAAAAAAA
            AAABBAAABBAAA
            AAABBAAABBAAA
            AAAAAAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 13, drop A1",
            "row 2: work A1 3, join B1, carry A1 2, work B1 2, carry B1 3, work A1 3, \
             carry A1 2, work B1 2, drop B1, work A1 3, drop A1",
            "row 3: work A1 3, carry A1 2, work B1 2, carry B1 3, work A1 3, \
             carry A1 2, work B1 2, cut B1, work A1 3, drop A1",
            "row 4: work A1 13, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// Never carried more than two stitches, else a new strand even for one: over two stitches B is
/// carried, over three it is cut and joined anew. Source of the rule: a designer's page on working in
/// two colours, 2001 (SEEN).
#[test]
fn two_stitches_and_no_more() {
    Situation {
        limits: Limits { longest_carry: Some(2), longest_wait: None },
        chart: "
            AAAAAAAAAAAA
            AABAABAAABAA
            AAAAAAAAAAAA
        ",
        moves: &[
            "row 1: join A1, work A1 12, drop A1",
            "row 2: work A1 2, join B1, carry A1 1, work B1 1, carry B1 2, work A1 2, \
             carry A1 1, work B1 1, cut B1, work A1 3, join B2, carry A1 1, work B2 1, cut B2, \
             work A1 2, drop A1",
            "row 3: work A1 12, cut A1",
        ],
        ..plain()
    }
    .check();
}

/// A colour that is not needed for six rows is cut and joined again; for three it climbs along.
/// Common practice, no source: crocheters differ in the number, so the person sets it, here as five.
///
/// The limit is needed: by these weights alone the strand goes to the edge and climbs there for up to
/// 56 rows, or for 19 inside the fabric where the edge is far.
#[test]
fn a_colour_that_comes_back_after_some_rows() {
    let limits = Limits { longest_carry: None, longest_wait: Some(5) };
    let (spot, ground) = ("AAAABBBAAAAA", "AAAAAAAAAAAA");
    Situation {
        limits,
        chart: &[spot, ground, ground, ground, ground, ground, ground, spot].join(" "),
        moves: &[
            "row 1: join A1, work A1 5, join B1, carry A1 3, work B1 3, cut B1, work A1 4, drop A1",
            "rows 2 3 4 5 6 7: work A1 12, drop A1",
            "row 8: work A1 4, join B2, carry A1 3, work B2 3, cut B2, work A1 5, cut A1",
        ],
        ..plain()
    }
    .check();
    Situation {
        limits,
        chart: &["ABBBAAAAAAAA", ground, ground, ground, spot].join(" "),
        moves: &[
            "row 1: join A1, work A1 5, join B1, carry A1 3, work B1 3, drop B1, work A1 4, drop A1",
            "rows 2 3 4: work A1 12, lift B1, drop A1",
            "row 5: work A1 8, carry A1 3, work B1 3, cut B1, work A1 1, cut A1",
        ],
        ..plain()
    }
    .check();
}
