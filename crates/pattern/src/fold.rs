//! Repeats in a row: what comes again and again is written once, in brackets.

/// The longest repeat that is looked for, in items.
const LONGEST: usize = 12;
/// Fewer times than this are easier to read written out.
const FEWEST: usize = 3;

/// One thing to do in a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Item {
    /// What is said.
    pub(crate) words: String,
    /// Stitches made by doing it.
    pub(crate) stitches: u32,
}

impl Item {
    /// Something to do that makes no stitch.
    pub(crate) const fn step(words: String) -> Self {
        Self { words, stitches: 0 }
    }

    /// Whether a stitch is the first thing to do in it.
    pub(crate) fn begins_with_a_stitch(&self) -> bool {
        self.words.trim_start_matches('[').starts_with(|c: char| c.is_ascii_digit())
    }
}

/// What is said in a list of items.
pub(crate) fn said(items: &[Item]) -> String {
    let words: Vec<&str> = items.iter().map(|item| item.words.as_str()).collect();
    words.join("; ")
}

/// Folds items that repeat, one after the other, into `[…] n times`.
pub(crate) fn fold(items: &[Item]) -> Vec<Item> {
    let mut out = Vec::new();
    let mut at = 0;
    while at < items.len() {
        // The repeat that takes in most items from here; the shortest period among equals.
        let best = (1..=LONGEST.min(items.len() - at))
            .map(|period| (period, times(&items[at..], period)))
            .filter(|&(_, times)| times >= FEWEST)
            .max_by_key(|&(period, times)| (period * times, core::cmp::Reverse(period)));
        match best {
            Some((period, times)) => {
                let end = at + period * times;
                out.push(Item {
                    words: format!("[{}] {times} times", said(&items[at..at + period])),
                    stitches: items[at..end].iter().map(|item| item.stitches).sum(),
                });
                at = end;
            }
            None => {
                out.push(items[at].clone());
                at += 1;
            }
        }
    }
    out
}

/// How many times the first `period` items come one after the other.
fn times(items: &[Item], period: usize) -> usize {
    let first = &items[..period];
    items.chunks_exact(period).take_while(|chunk| *chunk == first).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Items of one letter that make one stitch each.
    fn folded(items: &str) -> (String, u32) {
        let items: Vec<Item> =
            items.split(' ').map(|words| Item { words: words.to_owned(), stitches: 1 }).collect();
        let folded = fold(&items);
        let words: Vec<&str> = folded.iter().map(|item| item.words.as_str()).collect();
        (words.join(" "), folded.iter().map(|item| item.stitches).sum())
    }

    #[test]
    fn folds_what_comes_three_times_or_more() {
        assert_eq!(folded("a b a b"), ("a b a b".into(), 4));
        assert_eq!(folded("x a b a b a b y"), ("x [a; b] 3 times y".into(), 8));
        assert_eq!(folded("a a a a"), ("[a] 4 times".into(), 4));
        assert_eq!(folded("a b a b a b a"), ("[a; b] 3 times a".into(), 7));
    }

    #[test]
    fn tells_a_stitch_from_a_step() {
        let begins = |words: &str| Item::step(words.into()).begins_with_a_stitch();
        assert!(begins("3 sc A1") && begins("[3 sc A1; drop A1] 3 times"));
        assert!(!begins("drop A1") && !begins("[join A1; 3 sc A1] 3 times"));
    }
}
