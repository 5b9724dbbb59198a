//! The border in words, read by somebody who knows only what the words say.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use border::{Border, Choices, Piece, Repeat, Stitch, Terms, border, words};
use common::{palette, piece, rounds, square, yarn};
use model::Hand;
use proptest::prelude::*;

/// A reader: works the words of a border into the edge of a piece and counts.
struct Reader {
    /// The places that the next round is worked into; corners are marked.
    below: Vec<bool>,
    /// How far the round has come in them.
    at: usize,
    /// What the round has made.
    made: Vec<bool>,
}

fn number(text: &str) -> Option<usize> {
    text.chars().take_while(char::is_ascii_digit).collect::<String>().parse().ok()
}

/// The parts of a list that stand outside brackets.
fn items(text: &str) -> Vec<&str> {
    let (mut depth, mut from, mut items) = (0, 0, Vec::new());
    for (at, letter) in text.char_indices() {
        match letter {
            '[' => depth += 1,
            ']' => depth -= 1,
            ',' if depth == 0 => {
                items.push(text[from..at].trim());
                from = at + 1;
            }
            _ => {}
        }
    }
    items.push(text[from..].trim());
    items
}

impl Reader {
    /// "sc in each of the next 3 sts", "2 sc in the next st", "skip 2 sts", "[…] 4 times".
    fn item(&mut self, item: &str, short: &str) {
        if let Some(inner) = item.strip_prefix('[') {
            let (inner, times) = inner.rsplit_once("] ").unwrap();
            for _ in 0..number(times).unwrap() {
                items(inner).into_iter().for_each(|item| self.item(item, short));
            }
            return;
        }
        let (each, rest) = match item.split_once(" in ") {
            Some((what, rest)) => {
                assert!(what.ends_with(short), "{what} is no {short}");
                (number(what).unwrap_or(1), rest)
            }
            None => (0, item.strip_prefix("skip ").or_else(|| item.strip_prefix("miss ")).unwrap()),
        };
        let rest = rest.strip_prefix("each of ").unwrap_or(rest);
        let rest = rest.strip_prefix("the next ").unwrap_or(rest);
        for _ in 0..number(rest).unwrap_or(1) {
            assert!(!self.below[self.at], "a corner st is worked like any other");
            self.at += 1;
            self.made.extend(std::iter::repeat_n(false, each));
        }
    }

    /// Works one line; answers the count where the line tells one.
    fn line(&mut self, line: &str, short: &str) -> Option<usize> {
        if line.starts_with("- Corner") {
            let (_, what) = line.split_once(": ").unwrap();
            let (_, middle) = what.split_once("; ").unwrap();
            let each = number(what).unwrap();
            let middle = number(middle.strip_prefix("the ").unwrap_or("1")).unwrap();
            assert!(self.below[self.at], "a corner is worked into what is none");
            self.at += 1;
            self.made.extend((1..=each).map(|at| at == middle));
        } else if line.starts_with("- Close") {
            assert_eq!(self.at, self.below.len(), "the round does not come back to where it began");
            self.below = std::mem::take(&mut self.made);
            self.at = 0;
        } else if line.contains(" edge") && line.starts_with("- ") {
            let (_, what) = line.split_once(": ").unwrap();
            let (what, told) = what.rsplit_once(" (").unwrap();
            let before = self.made.len();
            items(what).into_iter().for_each(|item| self.item(item, short));
            assert_eq!(number(told), Some(self.made.len() - before), "{line}");
        } else if let Some(told) = line.strip_prefix('(') {
            return told.contains("between").then(|| number(told).unwrap());
        }
        None
    }
}

/// Reads all rounds; answers their counts.
fn read(text: &str, piece: &Piece) -> Vec<usize> {
    let straight = |places: u32| std::iter::repeat_n(false, places as usize);
    let mut below = Vec::new();
    for places in [piece.columns() - 2, piece.rows(), piece.columns() - 2, piece.rows()] {
        below.extend(straight(places).chain([true]));
    }
    let mut reader = Reader { below, at: 0, made: Vec::new() };
    let mut short = String::new();
    let mut counts = Vec::new();
    let rounds = text.split("How it lies").next().unwrap();
    for line in rounds.lines().skip_while(|line| !line.starts_with("Round 1 (")) {
        if let Some((_, name)) = line.strip_prefix("Round ").and_then(|line| line.split_once(" (")) {
            short = name.split_once(" = ").unwrap().0.to_string();
        } else if let Some(told) = reader.line(line, &short) {
            assert_eq!(told, reader.below.len(), "{line}");
            counts.push(told);
        }
    }
    counts
}

fn counts(border: &Border) -> Vec<usize> {
    border.rounds().iter().map(|round| round.stitches as usize).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// The words alone, worked into the edge stitch by stitch, come round in every round and make the
    /// counts of the plan: any gauge, both terms, both hands, with and without a repeat.
    #[test]
    fn the_words_alone_make_the_border(
        columns in 12usize..120,
        rows in 12usize..120,
        ratio in 0.55f64..1.9,
        kinds in prop::collection::vec(prop::sample::select(Stitch::ALL.to_vec()), 1..7),
        uk: bool,
        left: bool,
        repeat in prop::option::of((1u32..5, 0u32..2, 0usize..7)),
    ) {
        let piece = piece(columns, rows, (14.0, 14.0 / ratio));
        let mut wish = rounds(&kinds);
        if let Some((multiple, plus, at)) = repeat {
            let at = at % wish.len();
            wish[at].repeat = Some(Repeat::new(multiple, plus).unwrap());
        }
        let hand = if left { Hand::Left } else { Hand::Right };
        let border = border(&piece, &wish, &Choices { hand, ..Choices::default() }, &palette()).unwrap();
        let text = words(&border, if uk { Terms::Uk } else { Terms::Us });
        prop_assert_eq!(read(&text, &piece), counts(&border));
        // Source: "sc" never occurs in modern UK text (SEEN).
        let word = |word: &str| text.split(|c: char| !c.is_ascii_alphabetic()).any(|found| found == word);
        prop_assert!(!uk || !(word("sc") || word("hdc") || word("skip") || word("single")));
        prop_assert!(uk || !(word("htr") || word("dtr") || word("miss")));
    }
}

/// Source: US sc, hdc, dc, tr are UK dc, htr, tr, dtr (SEEN, three lists that agree).
#[test]
fn each_stitch_has_both_names() {
    let names = |terms: Terms| Stitch::ALL.map(|stitch| terms.short(stitch));
    assert_eq!(names(Terms::Us), ["sc", "hdc", "dc", "tr"]);
    assert_eq!(names(Terms::Uk), ["dc", "htr", "tr", "dtr"]);
}

/// How a round starts and closes is said in full, and a colour is cut and joined where it changes.
#[test]
fn a_border_reads_like_this() {
    let mut wish = rounds(&[Stitch::Sc, Stitch::Sc, Stitch::Dc]);
    wish[2].yarn = yarn(1);
    let border = common::around(&piece(10, 16, (14.0, 16.0)), &wish);
    let text = words(&border, Terms::Us);
    let from = text.find("Round 1 (").unwrap();
    let expected = "\
Round 1 (sc = single crochet, yarn A):
- Start: RS facing, join A with a sl st in the 2nd st from the right of the last row worked; ch 1, which is no stitch. Begin in the same st as the sl st.
- Top edge: sc in each of the next 8 sts (8 sts).
- Corner from top to left: 3 sc in the last st of the top row; the 2nd of them is the new corner st.
- Left edge: sc in each of the next 4 row ends, skip the next row end, sc in each of the next 7 row ends, skip the next row end, sc in each of the next 3 row ends (14 sts into 16 row ends).
- Corner from left to bottom: 3 sc in the first st of the foundation edge; the 2nd of them is the new corner st.
- Bottom edge: sc in each of the next 8 sts (8 sts).
- Corner from bottom to right: 3 sc in the last st of the foundation edge; the 2nd of them is the new corner st.
- Right edge: sc in each of the next 4 row ends, skip the next row end, sc in each of the next 7 row ends, skip the next row end, sc in each of the next 3 row ends (14 sts into 16 row ends).
- Corner from right to top: 3 sc in the one st of the top row before the first of this round; the 2nd of them is the new corner st.
- Close: join with a sl st in the first sc.
(56 sts; between the corner sts: top 10, left 16, bottom 10, right 16)

Round 2 (sc = single crochet, yarn A):
- Start: go on from the sl st; ch 1, which is no stitch. Begin in the same st as the sl st.
- Top edge: sc in each of the next 9 sts (9 sts).
";
    assert!(text[from..].starts_with(expected), "{text}");
    assert!(text.contains("- Close: join with a sl st in the first sc. Fasten off A.\n"), "{text}");
    assert!(
        text.contains(
            "- Start: join B with a sl st in the st where the last round was joined; ch 3, which stands for the first dc \
             below. Begin in the same st as the sl st.\n"
        ),
        "{text}"
    );
    assert!(
        text.contains("- Close: join with a sl st in the top of the first ch 3. Fasten off B.\n"),
        "{text}"
    );
    assert!(
        text.contains("\nHow it lies:\nEvery round is as long as its edge: the border lies flat.\n"),
        "{text}"
    );
}

/// Source: the first border round in sc (SEEN: Munger; Eckman). Another one is taken, with a word.
#[test]
fn a_first_round_in_dc_is_advised_against() {
    let advice = "Round 1 is in double crochet: a first round in single crochet";
    assert!(words(&square(&[Stitch::Dc]), Terms::Us).contains(advice));
    assert!(!words(&square(&[Stitch::Sc, Stitch::Dc]), Terms::Us).contains("a first round in"));
    assert_eq!(words(&square(&[]), Terms::Us), "No border: there is nothing to work.\n");
}
