//! Repeats in a row: what comes again and again is written once, in brackets.

/// The longest repeat that is looked for, in items.
const LONGEST: usize = 12;
/// Fewer times than this are easier to read written out.
const FEWEST: usize = 3;

/// Folds items that repeat, one after the other, into `[…] n times`.
pub(crate) fn fold(items: Vec<String>) -> Vec<String> {
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
                out.push(format!("[{}] {times} times", items[at..at + period].join("; ")));
                at += period * times;
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
fn times(items: &[String], period: usize) -> usize {
    let first = &items[..period];
    items.chunks_exact(period).take_while(|chunk| *chunk == first).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folded(items: &str) -> String {
        fold(items.split(' ').map(str::to_owned).collect()).join(" ")
    }

    #[test]
    fn folds_what_comes_three_times_or_more() {
        assert_eq!(folded("a b a b"), "a b a b");
        assert_eq!(folded("x a b a b a b y"), "x [a; b] 3 times y");
        assert_eq!(folded("a a a a"), "[a] 4 times");
        assert_eq!(folded("a b a b a b a"), "[a; b] 3 times a");
    }
}
