//! The rows in words, worked by a reader that knows only `docs/reading-rows.md`, against the plan
//! that they were written from.

use std::collections::BTreeSet;

use checks::random::{self, Rng};
use checks::read_back::{Case, terms_of};
use checks::reader::{self, End, Worked};
use model::{Chart, Gauge, Hand, Palette, Rules, Srgb, Weights, Yarn, YarnUse};
use pattern::Terms;

/// How often the things to do occur, so that no test passes for want of something to read.
#[derive(Debug, Default)]
struct Seen {
    picked_up: usize,
    carried_along: usize,
    drawn_back: usize,
    drawn_to_the_edge: usize,
    lifted: usize,
    dropped: usize,
    laid_in: usize,
    waiting: usize,
    short: usize,
    broken_by_never: usize,
    twice_inside: usize,
    repeats: usize,
    shared_rows: usize,
}

impl Seen {
    fn count(&mut self, case: &Case, worked: &Worked) {
        for row in &worked.rows {
            self.picked_up += row.picked_up.len();
            self.carried_along += row.carried_along.len();
            self.drawn_back += row.drawn_back.len();
            self.lifted += row.lifted.len();
            self.dropped += row.dropped.len();
            self.twice_inside +=
                row.inside.iter().filter(|names| names.windows(2).any(|two| two[0] == two[1])).count();
        }
        for tail in &worked.tails {
            self.laid_in += usize::from(tail.laid_in);
            self.waiting += usize::from(tail.waits_for.is_some());
            self.short += usize::from(tail.short > 0);
            self.broken_by_never += usize::from(tail.over.1.windows(2).any(|two| two[0] + 1 != two[1]));
        }
        self.drawn_to_the_edge += case.rows().matches(" to the edge by ").count();
        self.repeats += case.rows().matches("] ").count();
        self.shared_rows += case.rows().matches("\nRows ").count();
    }

    fn fewest(&self) -> usize {
        let counts = [
            self.picked_up,
            self.carried_along,
            self.drawn_back,
            self.drawn_to_the_edge,
            self.lifted,
            self.dropped,
            self.laid_in,
            self.waiting,
            self.short,
            self.broken_by_never,
            self.twice_inside,
            self.repeats,
            self.shared_rows,
        ];
        counts.into_iter().min().expect("there are counts")
    }
}

#[test]
fn thousands_of_plans_are_read_back_strand_by_strand() {
    let mut seen = Seen::default();
    for seed in 0..10_000 {
        let case = Case::small(seed);
        seen.count(&case, &case.check());
    }
    for seed in 0..500 {
        let case = Case::repeating(seed);
        seen.count(&case, &case.check());
    }
    assert!(seen.fewest() >= 200, "{seen:?}");
}

#[test]
fn many_yarns_take_symbols_of_two_letters() {
    let mut rng = Rng::new(26);
    let mut two_letters = 0;
    for seed in 0..200 {
        let case = Case::drawn(seed, rng.between(5, 14), rng.between(8, 16), rng.between(26, 64));
        let letters = |strand: &&String| strand.bytes().filter(u8::is_ascii_uppercase).count() == 2;
        two_letters += case.check().rows.iter().flat_map(|row| &row.stitches).filter(letters).count();
    }
    assert!(two_letters > 1_000, "{two_letters} stitches");
}

#[test]
fn blankets_of_sixty_rows_are_read_back() {
    for (seed, yarns) in (0xb1a4..).zip(1..=6) {
        Case::drawn(seed, 60, 50, yarns).check();
    }
}

/// The stitches made by a mark `(40 made)`.
fn mark(line: &str) -> Option<usize> {
    line.strip_prefix("    (")?.split_once(" made) ")?.0.parse().ok()
}

/// Marks are told to stand before a stitch, and help only where they are neither thick nor rare.
#[test]
fn long_rows_count_the_stitches_made() {
    let mut marks = 0;
    for (seed, yarns) in (0x3a4c..).zip(1..=6) {
        let case = Case::drawn(seed, 20, 90, yarns);
        case.check();
        let mut last = 0;
        for line in case.rows().lines() {
            if line.starts_with("Row") {
                last = 0;
            }
            let Some(made) = mark(line) else {
                assert!(!line.contains(" made)"), "only at the start of a line: {line}");
                continue;
            };
            assert!(made >= last + 20 && made <= 80, "{made} after {last}\n{}", case.shown());
            let what = line.split_once(" made) ").expect("a mark").1.trim_start_matches('[');
            assert!(what.starts_with(|c: char| c.is_ascii_digit()), "{line}");
            for wrong in [made - 1, made + 1] {
                let text = case.text.replacen(
                    line,
                    &line.replacen(&format!("({made} "), &format!("({wrong} "), 1),
                    1,
                );
                let why = reader::work(&text).expect_err("a wrong count");
                assert!(why.contains("stitches are made where"), "{why}");
            }
            (last, marks) = (made, marks + 1);
        }
    }
    assert!(marks > 100, "{marks} marks");
}

/// Nothing is broken in the middle that fits on a line.
#[test]
fn lines_of_a_row_end_where_something_is_said() {
    let mut lines = 0;
    for seed in 0..20 {
        let case = Case::drawn(seed ^ 0x11e, 8, 60, 4);
        let mut rows = case.rows().lines().skip_while(|line| !line.starts_with("Row")).peekable();
        while let Some(line) = rows.next() {
            // What is longer than a line by itself has no `;` in the piece before its break.
            let next = rows.peek().filter(|next| next.starts_with(' '));
            let whole = line.ends_with([';', '.']) || (next.is_some() && !line.contains("; "));
            assert!(whole, "{line}");
            lines += 1;
        }
    }
    assert!(lines > 500, "{lines}");
}

/// Source: "sc" never occurs in UK text, its presence marks US terms (common practice, SEEN in
/// tables of US and UK terms).
#[test]
fn terms_and_lines_keep_to_their_bounds() {
    for seed in 0..300 {
        let case = Case::small(seed ^ 0x7e2);
        let words: BTreeSet<&str> = case.text.split(|c: char| !c.is_alphanumeric()).collect();
        let (terms, other) = match terms_of(seed ^ 0x7e2) {
            Terms::Us => ("sc", "dc"),
            Terms::Uk => ("dc", "sc"),
        };
        assert!(words.contains(terms) && !words.contains(other), "{}", case.shown());
        assert_eq!(reader::work(&case.text).expect("rows").stitch_word, terms);
        let long = case.text.lines().find(|line| line.chars().count() > 96);
        assert_eq!(long, None, "{}", case.shown());
    }
}

/// Names come from people and can be as long as they like. The name is invented.
#[test]
fn long_names_of_yarns_are_broken_too() {
    let name = "Merino for the hills, undyed, from the second shearing ".repeat(3);
    let yarns = ["one", "two"].map(|key| Yarn::plain(key, name.trim_end(), Srgb::new(200, 180, 160)));
    let palette = Palette::new(yarns.to_vec()).expect("keys differ");
    let rules = Rules::new(&palette, Weights::default(), Hand::Right);
    let chart = Chart::new(palette, 2, 3, &[0, 1, 1, 0, 0, 1]).expect("a chart");
    let case = Case::new("long names".into(), chart, &rules, Terms::Us);
    case.check();
    assert!(case.text.lines().all(|line| line.chars().count() <= 96), "{}", case.shown());
}

/// Written by hand from the page; the picture is invented. Every kind of thing to do stands in it.
const BY_HAND: &str = "\
A heading
  that goes on

Foundation: join A1; ch 9 with A1. Its tail hangs at the far end, where row 1 ends: weave it in
  with a needle. The first sc goes into the 2nd ch from the hook.
Row 1 (RS ←): 2 sc A1; lay in B1; 2 sc A1 over B1 start tail; join B1;
  2 sc B1 over A1; drop B1; 2 sc A1; ch 1 with A1, turn.
Row 2 (WS →): 1 sc A1; draw back B1 by 1; 1 sc B1 over A1 + B1; 2 sc B1 over A1; drop B1; 4 sc A1;
  ch 1 with A1, turn.
Row 3 (RS ←): 2 sc A1; join C1, its tail waits for row 4; 2 sc C1 over A1; pick up B1;
  2 sc B1 over A1 + C1; lift C1; drop B1; 2 sc A1; ch 1 with A1, turn.
Row 4 (WS →): 2 sc A1; lift B1; carry along C1; 2 sc A1 over C1; 2 sc C1 over A1; cut C1;
  2 sc A1 over C1 start tail + C1 end tail; ch 1 with A1, turn.
Row 5 (RS ←): 4 sc A1; draw back B1 by 2; lift B1; 2 sc A1 over B1; 2 sc A1; ch 1 with A1, turn.
Rows 6–7 (WS and RS in turn): 4 sc A1; lift B1; 4 sc A1; ch 1 with A1, turn.
Row 8 (WS →): 4 sc A1; pick up B1; [1 sc B1 over A1; 1 sc A1 over B1] 2 times; drop A1; lift B1;
  pick up B1; ch 1 with B1, turn.
Row 9 (RS ←): carry along A1; 6 sc B1 over A1; cut B1;
  (6 made) 2 sc A1 over B1 end tail; ch 1 with A1, turn.
Row 10 (WS →): 6 sc A1; drop A1; join D1; 2 sc D1 over D1 start tail; cut D1, its tail is 1 short;
  draw A1 to the edge by 2; ch 1 with A1, turn.
Row 11 (RS ←): 2 sc A1 over A1; 6 sc A1; cut A1, its tail is 2 short.
";

/// The strands of `BY_HAND`, made by hand as well, one text a row in the order of work.
const BY_HAND_STITCHES: [&str; 11] = [
    "A1 A1 A1 A1 B1 B1 A1 A1",
    "A1 B1 B1 B1 A1 A1 A1 A1",
    "A1 A1 C1 C1 B1 B1 A1 A1",
    "A1 A1 A1 A1 C1 C1 A1 A1",
    "A1 A1 A1 A1 A1 A1 A1 A1",
    "A1 A1 A1 A1 A1 A1 A1 A1",
    "A1 A1 A1 A1 A1 A1 A1 A1",
    "A1 A1 A1 A1 B1 A1 B1 A1",
    "B1 B1 B1 B1 B1 B1 A1 A1",
    "A1 A1 A1 A1 A1 A1 D1 D1",
    "A1 A1 A1 A1 A1 A1 A1 A1",
];

#[test]
fn a_text_written_by_hand_is_worked() {
    let worked = reader::work(BY_HAND).expect("rows");
    assert_eq!((worked.columns, worked.hand, worked.stitch_word.as_str()), (8, reader::Hand::Right, "sc"));
    let stitches: Vec<String> = worked.rows.iter().map(|row| row.stitches.join(" ")).collect();
    assert_eq!(stitches, BY_HAND_STITCHES);
    assert_eq!(worked.rows[3].inside[6], ["C1 end tail", "C1 start tail"]);
    assert_eq!(worked.rows[1].inside[1], ["A1", "B1"]);
    assert_eq!(worked.rows[4].lifted, [(4, "B1".to_owned())]);
    assert_eq!(worked.rows[8].carried_along, [(0, "A1".to_owned())]);
    assert_eq!(worked.rows[10].drawn_back, [(0, "A1".to_owned(), 2)]);
    assert_eq!(worked.rows[10].inside[1], ["A1"]);
    assert!(worked.tails.iter().any(|tail| tail.strand == "C1" && tail.waits_for == Some(4)));
    let foundation = worked.tails.iter().find(|tail| tail.strand == "A1" && tail.end == End::Start);
    assert_eq!(foundation.expect("the tail of the foundation").over.1, [0; 0]);
}

/// Each text is refused for a reason of its own: what stands in `BY_HAND`, what is put there
/// instead, and words of the reason.
#[test]
fn texts_broken_by_hand_are_refused() {
    let broken = [
        // The foundation.
        ("Foundation: ", "Foundations: ", "there is no foundation"),
        ("ch 9 with A1", "ch 1 with A1", "holds no stitch"),
        ("ch 9 with A1", "ch 9 with B1", "B1 was never joined"),
        ("ch 9 with", "ch 10 with", "row 1: it has 8 stitches, not 9"),
        ("ch 9 with", "ch 8 with", "row 1: 2 stitches do not fit, the row has 6 of 7"),
        (
            "Foundation: join A1",
            "Foundation: join A1, its tail waits for row 2",
            "\"; ch \" should stand where",
        ),
        (
            "Its tail hangs at the far end, where row 1 ends: weave it in\n  with a needle. ",
            "",
            "should stand where",
        ),
        ("at the far end, where", "at the near end, where", "should stand where"),
        (
            "2 sc A1; lay in B1;",
            "2 sc A1 over A1 start tail; lay in B1;",
            "row 1: stitch 1 is over A1 start tail, but there is none",
        ),
        ("Foundation: join A1", "Foundation: join A2", "A2 is joined as strand 1 of yarn A"),
        // Rows, sides, arrows, unknown words.
        ("Row 3 (RS", "Row 4 (RS", "row 4 stands where row 3 should"),
        ("Row 3 (RS ←", "Row 3 (WS →", "row 3 is on the wrong one of the two sides"),
        ("Row 3 (RS ←", "Row 3 (RS →", "the arrow of row 3 is for the other hand"),
        ("Rows 6–7 (WS and RS", "Rows 6–7 (RS and WS", "row 6 is on the wrong one of the two sides"),
        ("Rows 6–7 (WS and RS", "Rows 6–7 (WS and WS", "rows 6–7 do not alternate"),
        ("Rows 6–7", "Rows 6–6", "rows 6–6 are no several rows"),
        ("Rows 6–7", "Rows 6–8", "row 8 stands where row 9 should"),
        ("4 sc A1; pick up B1;", "4 hdc A1; pick up B1;", "\"sc\" should stand where"),
        ("4 sc A1; pick up B1;", "4 dc A1; pick up B1;", "\"sc\" should stand where"),
        ("4 sc A1; pick up B1;", "4 sc A1; take B1;", "something to do should stand where"),
        ("4 sc A1; pick up B1;", "04 sc A1; pick up B1;", "something to do should stand where"),
        ("4 sc A1; pick up B1;", "4 sc A; pick up B1;", "a number should stand where"),
        ("4 sc A1; pick up B1;", "4 sc AAA1; pick up B1;", "a strand should stand where"),
        ("] 2 times; drop", "]; drop", "\"] \" should stand where"),
        ("[1 sc B1", "1 sc B1", "\".\" should stand where"),
        ("2 short.\n", "2 short", "\".\" should stand where"),
        ("2 short.\n", "2 short. Done.\n", "the end of the line should stand where"),
        // Stitches that do not make a row.
        ("1 sc A1; draw", "2 sc A1; draw", "row 2: can't draw back B1 by 1 after stitch 2"),
        ("lift B1; 4 sc A1", "lift B1; 5 sc A1", "row 6: 5 stitches do not fit, the row has 4 of 8"),
        ("lift B1; 4 sc A1", "lift B1; 3 sc A1", "row 6: it has 7 stitches, not 8"),
        ("] 2 times; drop", "] 1 times; drop", "row 8: it has 6 stitches, not 8"),
        ("ch 1 with B1, turn.", "ch 1 with B1, turn; drop B1.", "something stands after the turning chain"),
        (
            "[1 sc B1 over A1; 1 sc A1 over B1] 2 times",
            "[4 sc A1; ch 1 with A1, turn] 2 times",
            "row 8: B1 is in the hand (PickedUp) but A1 makes",
        ),
        (
            "cut A1, its tail is 2 short.",
            "drop A1.",
            "the row ends without a turning chain, and A1 waits at the top of row 11",
        ),
        ("cut A1, its tail is 2 short.", "ch 1 with A1, turn.", "the last row has a turning chain"),
        (
            "4 sc A1;\n  ch 1 with A1, turn.",
            "4 sc A1.",
            "row 2: the row ends without a turning chain, and A1 has made the last stitch",
        ),
        // A strand that is not at hand.
        (
            "4 sc A1; pick up B1; [",
            "4 sc A1; [",
            "row 8: can't make sc with B1 after stitch 4: B1 waits at the top of row 7, 4 stitches",
        ),
        (
            "4 sc A1; pick up B1; [",
            "4 sc A1; carry along B1; [",
            "row 8: can't make sc with B1 after stitch 4: B1 is carried since stitch 4",
        ),
        ("1 sc B1 over A1 + B1;", "1 sc C1 over A1 + B1;", "row 2: C1 was never joined"),
        ("2 sc C1 over A1; cut C1;\n  2 sc A1", "2 sc C1 over A1; cut C1;\n  2 sc C1", "row 4: C1 was cut"),
        (
            "2 sc C1 over A1; cut C1;\n  2 sc A1",
            "1 sc C1 over A1; cut C1;\n  1 sc C1; 2 sc A1",
            "row 4: C1 was cut",
        ),
        (
            "draw back B1 by 2; lift B1;",
            "draw back B1 by 2;",
            "row 5: B1 is in the hand (DrawnBack) but A1 makes the next stitch",
        ),
        (
            "drop A1; lift B1;\n  pick up B1; ch 1 with B1",
            "lift B1; ch 1 with B1",
            "row 8: can't make a chain with B1",
        ),
        ("pick up B1; ch 1 with B1", "pick up B1; ch 1 with A1", "row 8: can't make a chain with A1"),
        (
            "drop A1; lift B1;\n  pick up B1; ch 1 with B1",
            "lift B1; ch 1 with A1",
            "row 9: can't carry along A1 after stitch 0: A1 is in the hand (Turned)",
        ),
        // Over.
        (
            "2 sc B1 over A1; drop B1; 2 sc A1;",
            "2 sc B1; drop B1; 2 sc A1;",
            "row 1: stitch 5 is not over A1, which lies there",
        ),
        (
            "2 sc B1 over A1; drop B1; 2 sc A1;",
            "2 sc B1 over A1; drop B1; 2 sc A1 over B1;",
            "row 1: stitch 7 is over B1, which does not lie there",
        ),
        (
            "2 sc B1 over A1; drop B1; 2 sc A1;",
            "2 sc B1 over A1; 2 sc A1;",
            "row 1: stitch 7 is not over B1, which lies there",
        ),
        (
            "1 sc B1 over A1 + B1; 2 sc B1 over A1;",
            "3 sc B1 over A1 + B1;",
            "row 2: stitch 3 is over B1, which does not lie there",
        ),
        (
            "1 sc B1 over A1 + B1; 2 sc B1 over A1;",
            "3 sc B1 over A1;",
            "row 2: stitch 2 is not over B1, which lies there",
        ),
        (
            "2 sc A1 over B1; 2 sc A1; ch",
            "1 sc A1 over B1; 3 sc A1; ch",
            "row 5: stitch 6 is not over B1, which lies there",
        ),
        (
            "2 sc A1 over C1; 2 sc C1",
            "2 sc A1 over C1 + C1; 2 sc C1",
            "row 4: stitch 3 is over C1, which does not lie there",
        ),
        ("6 sc B1 over A1;", "6 sc B1 over A1 + A2;", "row 9: stitch 1 is over A2, which does not lie there"),
        // Moves from where a strand does not wait.
        ("draw back B1 by 2;", "draw back B1 by 1;", "row 5: can't draw back B1 by 1 after stitch 4"),
        ("draw back B1 by 2;", "draw back B1 by 3;", "row 5: can't draw back B1 by 3 after stitch 4"),
        (
            "draw back B1 by 2;",
            "draw back A1 by 2;",
            "row 5: can't draw back A1 by 2 after stitch 4: A1 has made the last stitch",
        ),
        (
            "draw back B1 by 2;",
            "draw B1 to the edge by 2;",
            "row 5: can't draw B1 to the edge by 2 after stitch 4",
        ),
        ("draw A1 to the edge by 2;", "draw back A1 by 2;", "row 10: can't draw back A1 by 2 after stitch 8"),
        ("draw A1 to the edge by 2;", "draw A1 to the edge by 1;", "row 10: can't draw A1 to the edge by 1"),
        ("draw A1 to the edge by 2;", "draw A1 to the edge by 3;", "row 10: can't draw A1 to the edge by 3"),
        ("draw A1 to the edge by 2;", "draw A1 to the edge by 9;", "row 10: can't draw A1 to the edge by 9"),
        ("draw A1 to the edge by 2;", "draw A1 to the hem by 2;", "\" to the edge by \" should stand where"),
        ("draw A1 to the edge by 2;", "pick up A1;", "row 10: can't pick up A1 after stitch 8"),
        ("2 sc A1 over A1; 6 sc A1;", "8 sc A1;", "row 11: stitch 1 is not over A1, which lies there"),
        (
            "2 sc A1 over A1; 6 sc A1;",
            "3 sc A1 over A1; 5 sc A1;",
            "row 11: stitch 3 is over A1, which does not lie there",
        ),
        // Marks.
        ("(6 made)", "(7 made)", "row 9: 6 stitches are made where 7 are said to be"),
        ("(6 made)", "(6 sc)", "\" made) \" should stand where"),
        ("(6 made) 2 sc", "(6 made) (6 made) 2 sc", "something to do should stand where"),
        ("[1 sc B1 over A1; 1 sc", "[1 sc B1 over A1; (5 made) 1 sc", "something to do should stand where"),
        ("Row 9 (RS ←): carry", "Row 9 (RS ←): (0 made) carry", "something to do should stand where"),
        (
            "2 sc A1; lift B1; carry along C1",
            "1 sc A1; lift B1; 1 sc A1; carry along C1",
            "row 4: can't lift B1 after stitch 1",
        ),
        (
            "2 sc A1; lift B1; carry along C1",
            "2 sc A1; lift B1; lift B1; carry along C1",
            "row 4: can't lift B1 after stitch 2",
        ),
        (
            "carry along C1; 2 sc A1 over C1;",
            "2 sc A1; carry along C1;",
            "row 4: can't carry along C1 after stitch 4",
        ),
        (
            "carry along C1; 2 sc A1 over C1;",
            "carry along C1; lift C1; 2 sc A1;",
            "row 4: can't lift C1 after stitch 2: C1 is carried since stitch 2",
        ),
        (
            "pick up B1;\n  2 sc B1 over A1 + C1",
            "pick up C1;\n  2 sc B1 over A1 + C1",
            "row 3: can't pick up C1 after stitch 4: C1 has made the last stitch",
        ),
        (
            "drop B1; 2 sc A1; ch 1 with A1, turn.\nRow 2",
            "lift B1; 2 sc A1; ch 1 with A1, turn.\nRow 2",
            "row 1: can't lift B1 after stitch 6: B1 has made the last stitch",
        ),
        (
            "lift C1; drop B1;",
            "drop C1; drop B1;",
            "row 3: can't drop C1 after stitch 6: C1 is carried since stitch 4",
        ),
        (
            "lift C1; drop B1;",
            "cut C1; drop B1;",
            "row 3: can't cut C1 after stitch 6: C1 is carried since stitch 4",
        ),
        // A strand that floats, or is left over.
        (
            "4 sc A1; lift B1; 4 sc A1;",
            "8 sc A1;",
            "row 6: at the end of the row B1 waits at the top of row 5",
        ),
        (
            "lift C1; drop B1; 2 sc A1;",
            "drop B1; 2 sc A1 over C1;",
            "row 3: at the end of the row C1 is carried since stitch 4",
        ),
        (
            "cut B1;\n  (6 made) 2 sc A1 over B1 end tail",
            "drop B1; 2 sc A1",
            "row 10: at the end of the row B1 waits at the top of row 9",
        ),
        // Tails.
        (
            "2 sc D1 over D1 start tail;",
            "1 sc D1; 1 sc D1 over D1 start tail;",
            "row 10: D1 start tail is worked over away from where it hangs",
        ),
        (
            "6 sc A1; drop A1; join D1;",
            "4 sc A1; 2 sc A1 over D1 start tail; drop A1; join D1;",
            "row 10: stitch 5 is over D1 start tail, but there is none",
        ),
        (
            "lay in B1; 2 sc A1 over B1 start tail; join B1;",
            "lay in B1; 1 sc A1 over B1 start tail; 1 sc A1; join B1;",
            "row 1: B1 start tail does not end at the join",
        ),
        (
            "lay in B1; 2 sc A1 over B1 start tail; join B1;",
            "lay in B1; 1 sc A1; 1 sc A1 over B1 start tail; join B1;",
            "row 1: B1 start tail is laid in where no stitch is worked over it",
        ),
        (
            "lay in B1; 2 sc A1 over B1 start tail; join B1;",
            "2 sc A1 over B1 start tail; join B1;",
            "row 1: stitch 3 is over B1 start tail, but there is none",
        ),
        (
            "lay in B1; 2 sc A1 over B1 start tail; join B1;",
            "lay in B1; 2 sc A1 over B1 start tail; join B1, its tail waits for row 2;",
            "row 1: the tail of B1 is laid in and can't wait",
        ),
        (
            "join B1;\n  2 sc B1 over A1; drop B1; 2 sc A1;",
            "2 sc A1; 2 sc A1;",
            "row 1: B1 is laid in but not joined",
        ),
        (
            "join B1;\n  2 sc B1 over A1;",
            "join B1;\n  2 sc B1 over A1 + B1 start tail;",
            "row 1: stitch 5 is over B1 start tail, which does not lie there",
        ),
        (
            "waits for row 4",
            "waits for row 5",
            "row 3: C1 start tail hangs at row 3 and can't wait for row 5",
        ),
        (
            "2 sc A1 over C1 start tail + C1 end tail",
            "2 sc A1 over C1 end tail",
            "row 4: C1 start tail waits for row 4 and is not worked over",
        ),
        (
            "2 sc A1 over C1 start tail + C1 end tail",
            "1 sc A1 over C1 end tail; 1 sc A1 over C1 start tail + C1 end tail",
            "row 4: C1 start tail is worked over away from where it hangs",
        ),
        (
            "2 sc A1 over C1 start tail + C1 end tail",
            "1 sc A1 over C1 start tail; 1 sc A1 over C1 start tail + C1 end tail",
            "row 4: C1 end tail is worked over away from where it hangs",
        ),
        (
            "2 sc A1 over C1 start tail + C1 end tail",
            "2 sc A1 over C1 end tail + C1 end tail",
            "row 4: stitch 7 names C1 end tail twice",
        ),
        (
            "cut C1;",
            "cut C1, its tail waits for row 5;",
            "row 4: stitch 7 is over C1 end tail, which does not lie there",
        ),
        (
            "2 sc A1 over B1 end tail;",
            "2 sc A1 over C1 end tail;",
            "row 9: stitch 7 is over C1 end tail, but there is none",
        ),
        (
            "cut A1, its tail is 2 short",
            "cut A1, its tail waits for row 12",
            "row 11: A1 end tail waits for row 12 and is not worked over",
        ),
        // Labels.
        ("join C1, its", "join B1, its", "row 3: B1 was joined before"),
        ("join C1, its", "join C2, its", "row 3: C2 is joined as strand 1 of yarn C"),
        ("2 sc A1 over C1; 2 sc C1", "lay in C1; 2 sc A1 over C1; 2 sc C1", "row 4: C1 was joined before"),
    ];
    let mut faults = String::new();
    for (from, to, reason) in broken {
        assert_eq!(BY_HAND.matches(from).count(), 1, "{from:?}");
        match reader::work(&BY_HAND.replace(from, to)) {
            Err(why) if why.contains(reason) => {}
            read => faults += &format!("{to:?} in place of {from:?}: {:?}, not {reason}\n", read.err()),
        }
    }
    assert!(faults.is_empty(), "{faults}");
}

/// The words and numbers of a text from its foundation on, as places in it.
fn words(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut words: Vec<std::ops::Range<usize>> = Vec::new();
    let start = text.find("Foundation: ").expect("a foundation");
    for (at, c) in text[start..].char_indices().map(|(at, c)| (at + start, c)) {
        let end = at + c.len_utf8();
        match words.last_mut() {
            Some(last)
                if c.is_ascii_alphanumeric() && last.end == at && !"←→".contains(&text[last.clone()]) =>
            {
                last.end = end;
            }
            _ if c.is_ascii_alphanumeric() || "←→".contains(c) => words.push(at..end),
            _ => {}
        }
    }
    words
}

/// One word or number is replaced by another of the text, or a number by its neighbour.
#[test]
fn no_other_word_or_number_reads_as_the_same_plan() {
    let (mut refused, mut other) = (0, 0);
    for seed in 0..2_000 {
        let case = Case::small(seed ^ 0x0dd);
        let worked = reader::work(&case.text).expect("rows");
        let words = words(&case.text);
        let mut rng = Rng::new(seed);
        for _ in 0..20 {
            let at = words[rng.below(words.len())].clone();
            let word = &case.text[at.clone()];
            let new = match word.parse::<usize>() {
                Ok(number) if rng.once_in(2) => (number + 1).saturating_sub(2 * rng.below(2)).to_string(),
                _ => case.text[words[rng.below(words.len())].clone()].to_owned(),
            };
            if new == word {
                continue;
            }
            let mut text = case.text.clone();
            text.replace_range(at.clone(), &new);
            match reader::work(&text) {
                Err(_) => refused += 1,
                Ok(read) if read != worked => other += 1,
                Ok(_) => panic!("{new} in place of {word} at {at:?} reads the same\n{}", case.shown()),
            }
        }
    }
    assert!(refused > 20_000 && other > 100, "{refused} refused, {other} read as another plan");
}

/// A whole thing to do is left out or said twice.
#[test]
fn nothing_to_do_can_be_left_out_or_said_twice() {
    for seed in 0..2_000 {
        let case = Case::small(seed ^ 0x0dd5);
        let worked = reader::work(&case.text).expect("rows");
        let start = case.text.len() - case.rows().len();
        let start = start + case.rows().find("\nRow").expect("rows");
        let ends: Vec<usize> = case.text[start..].match_indices(';').map(|(at, _)| at + start).collect();
        let mut rng = Rng::new(seed);
        for _ in 0..10.min(ends.len()) {
            let end = ends[rng.below(ends.len())];
            let before = &case.text[..end];
            let from = before.rfind([';', ':', '[']).expect("a row begins with its number") + 1;
            let item = case.text[from..=end].trim_start();
            let repeated = format!(
                "{}{item} {}",
                &case.text[..end - (item.len() - 1)],
                &case.text[end - (item.len() - 1)..]
            );
            let left_out =
                format!("{}{}", &case.text[..end - (item.len() - 1)], case.text[end + 1..].trim_start());
            for text in [repeated, left_out] {
                let read = reader::work(&text);
                assert_ne!(read.as_ref(), Ok(&worked), "{item:?} at {end}\n{text}");
            }
        }
    }
}

fn page() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../docs/reading-rows.md");
    std::fs::read_to_string(path).expect("the page")
}

/// What one may be told to do, with every number as `0`, every strand as `S`.
fn form(words: &str) -> String {
    let mut form = String::new();
    for word in words.split_inclusive(|c: char| !c.is_alphanumeric()) {
        let end = word.trim_end_matches(|c: char| !c.is_alphanumeric());
        let letters = end.trim_end_matches(|c: char| c.is_ascii_digit());
        form += match (letters.len() < end.len(), letters) {
            (true, "") => "0",
            (true, letters) if letters.bytes().all(|b| b.is_ascii_uppercase()) => "S",
            _ => end,
        };
        form += &word[end.len()..];
    }
    form
}

/// The words that the heading of a text explains, as it has them.
fn explained(text: &str) -> Vec<&str> {
    let list = text.lines().skip_while(|line| *line != "What the words say:").skip(1);
    let entries = list.take_while(|line| !line.is_empty()).filter(|line| !line.starts_with(' '));
    entries.map(|line| line.split("  ").next().unwrap_or(line)).collect()
}

#[test]
fn the_heading_explains_the_words_of_the_page() {
    let page = page();
    let table = page.lines().skip_while(|line| !line.starts_with("| words |")).skip(2);
    let words: Vec<&str> = table
        .take_while(|line| line.starts_with("| "))
        .map(|line| line.split('`').nth(1).expect("words"))
        .collect();
    let mut seed = (0..).filter(|&seed| terms_of(seed) == Terms::Us);
    let text = Case::small(seed.next().expect("a seed")).text;
    assert_eq!(explained(&text), words);
}

#[test]
fn every_form_that_occurs_is_explained() {
    let mut seen = BTreeSet::new();
    for seed in 0..3_000 {
        let case = if seed % 50 == 0 { Case::drawn(seed, 6, 60, 4) } else { Case::small(seed) };
        let forms: BTreeSet<String> = explained(&case.text).into_iter().map(form).collect();
        let rows = case.rows().replace("\n      ", " ").replace("\n    (", " (");
        for line in rows.lines().filter(|line| line.starts_with("Row")) {
            let (name, items) = line.split_once(": ").expect("a name");
            let mut said = vec![form(name)];
            if let Some(end) = items.find(" times") {
                assert!(items[..end].contains('['), "{line}");
                said.push("[…] 0 times".into());
            }
            for item in items.trim_end_matches('.').split("; ") {
                let item = form(item.trim_start_matches('[').split(']').next().expect("words"));
                let item = match item.split_once(" made) ") {
                    Some((_, item)) => {
                        said.push("(0 made)".into());
                        item.to_owned()
                    }
                    None => item,
                };
                if let Some((stretch, over)) = item.split_once(" over ") {
                    said.push(stretch.into());
                    said.push(format!("{stretch} over S + S"));
                    let tails = over.split(" + ").filter(|inside| *inside != "S");
                    said.extend(tails.map(|inside| format!("… over {inside}")));
                } else if let Some((ending, tail)) = item.split_once(", its ") {
                    said.push(ending.into());
                    said.extend(tail.split(", its ").map(|tail| format!("…, its {tail}")));
                } else {
                    said.push(item);
                }
            }
            // Rows of either side, and shared rows that begin with either, are one form.
            let one = |said: String| match said.strip_prefix("Row") {
                Some(rest) if rest.starts_with('s') => "Rows 0–0 (RS and WS in turn)".to_owned(),
                Some(_) => "Row 0 (WS →)".to_owned(),
                None => said,
            };
            for said in said.into_iter().map(one) {
                assert!(forms.contains(&said), "{said:?} in {line}");
                seen.insert(said.replace(" dc ", " sc "));
            }
        }
    }
    let all = explained(&Case::small(1).text).len();
    assert_eq!(seen.len(), all, "each occurs: {seen:?}");
}

/// To somebody who crochets, behind is where the back of the work is.
#[test]
fn behind_is_said_of_the_work_alone() {
    for text in [page(), Case::small(0).text] {
        let mut behind = text.split("behind").skip(1);
        assert!(behind.clone().count() == 1 && behind.all(|rest| rest.starts_with(" the work on RS rows")));
    }
}

/// The two blocks of the page's example: the text, and the drawing.
fn example(page: &str) -> (String, String) {
    let example = page.split("\n## An example\n").nth(1).expect("an example");
    let blocks: Vec<&str> = example.split("\n## ").next().unwrap_or_default().split("```\n").collect();
    let [_, text, _, drawing, _] = blocks[..] else { panic!("{} blocks", blocks.len()) };
    (text.to_owned(), drawing.to_owned())
}

/// The page's drawing of two rows, of what was worked: cells of three characters from column 13 on.
fn drawn(worked: &Worked) -> String {
    let line = |name: &str, cells: &[String]| {
        let cells: String = cells.iter().map(|cell| format!("{cell:<3}")).collect();
        format!("{}\n", format!("{name:<13}{cells}").trim_end())
    };
    let row = |number: usize, arrow: &str| {
        let row = &worked.rows[number - 1];
        let letter = |name: &String| match name.split_once(' ') {
            Some(_) => "t".to_owned(),
            None => name[..1].to_lowercase(),
        };
        let mut stitches: Vec<String> = row.stitches.iter().map(|strand| strand[..1].to_owned()).collect();
        let mut inside: Vec<String> =
            row.inside.iter().map(|names| names.iter().map(letter).collect()).collect();
        if arrow == "←" {
            stitches.reverse();
            inside.reverse();
        }
        line(&format!("row {number} {arrow}"), &stitches) + &line("  inside", &inside)
    };
    // Over the gap on the left of a cell: two characters.
    let first = &worked.rows[0];
    let mut hangs: Vec<(usize, &str)> =
        first.dropped.iter().chain(&first.lifted).map(|(place, strand)| (*place, strand.as_str())).collect();
    hangs.push((worked.columns, &worked.rows[1].stitches[0]));
    let mut gaps = "hangs".to_owned();
    hangs.sort_unstable_by(|a, b| b.cmp(a));
    for (place, strand) in hangs {
        gaps = format!("{gaps:<width$}{strand}", width = 13 + 3 * (worked.columns - place) - 2);
    }
    format!("{}{gaps}\n{}", row(2, "→"), row(1, "←"))
}

/// The example is invented. It is what the program writes for the chart that is drawn, too.
#[test]
fn the_example_of_the_page_is_worked_as_it_is_drawn() {
    let (text, drawing) = example(&page());
    let worked = reader::work(&text).expect("the example");
    assert_eq!(drawn(&worked), drawing);

    let cells: Vec<u8> = drawing
        .lines()
        .filter(|line| line.starts_with("row"))
        .rev()
        .flat_map(|line| line[line.len() - 34..].bytes().step_by(3))
        .map(|yarn| yarn - b'A')
        .collect();
    let yarns = [("a", Srgb::new(230, 220, 200)), ("b", Srgb::new(200, 120, 90))];
    let palette =
        Palette::new(yarns.map(|(key, colour)| Yarn::plain(key, key, colour)).to_vec()).expect("keys differ");
    let rules = Rules::new(&palette, Weights::default(), Hand::Right);
    let chart = Chart::new(palette, 2, 12, &cells).expect("a chart");
    let case = Case::new("the example".into(), chart, &rules, Terms::Us);
    case.check();
    assert_eq!(case.rows(), format!("\n{text}"));
}

/// A row that is asked for alone reads as it does among all of them.
#[test]
fn one_row_alone_reads_the_same() {
    for seed in 0..60 {
        let mut rng = Rng::new(seed ^ 0x0e);
        let (rows, columns) = (1 + rng.below(8), 1 + rng.below(40));
        let chart = random::chart(&mut rng, rows, columns, 3);
        let rules = random::rules(&mut rng, chart.palette());
        let yarn_use = YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"));
        let plan = planner::plan_on(1, &chart, &rules, yarn_use, &planner::unwatched).expect("a plan");
        let proven = replay::prove(chart, plan).expect("a good plan");
        let all = pattern::rows(&proven, pattern::Terms::Us);
        let squeeze = |text: &str| {
            let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
            // Marks that count stitches made belong to the page, not to the row.
            words
                .split(" (")
                .map(|part| part.split_once(" made) ").map_or(part, |(_, rest)| rest))
                .collect::<Vec<_>>()
                .join(" ")
        };
        let all = squeeze(&all);
        for row in proven.chart().row_indices() {
            let text = pattern::row(&proven, pattern::Terms::Us, row).expect("a row");
            let text = squeeze(text.lines().last().expect("a line"));
            assert!(all.contains(&text), "seed {seed}: {text}");
        }
        assert_eq!(pattern::row(&proven, pattern::Terms::Us, model::RowIndex(proven.chart().rows())), None);
    }
}
