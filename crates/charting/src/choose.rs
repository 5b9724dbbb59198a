//! Choosing the yarns that show a picture best.

use core::fmt;
use std::collections::BTreeSet;

use model::{ALIKE, MAX_YARNS, Yarn, delta_e_2000};

use crate::difference::Tint;
use crate::search::{Search, Worth, bins};
use crate::{Cells, Noted, Stopped, Watch, tell};

/// Most colours that the search weighs, fewer for a very long list of yarns; more are merged with
/// their neighbours.
const MOST_BINS: usize = 4_000;
const LEAST_BINS: usize = 500;
/// About how many differences of colour and yarn are worked out.
const MOST_DIFFERENCES: usize = 2_000_000;

/// About how many entries of the table the search may look at before it stops starting anew:
/// some tenths of a second (chosen for this project).
const MOST_LOOKS: usize = 200_000_000;

/// Which yarns may be chosen, and which must be.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Choice {
    /// How many, those to keep included.
    pub count: usize,
    /// Places in the list of yarns that must be among them.
    pub keep: Vec<usize>,
    /// Places in the list of yarns that must not be.
    pub without: Vec<usize>,
    /// Only yarns of which a ball is on hand, beside those to keep.
    pub on_hand: bool,
}

impl Choice {
    /// The best so many of the whole list.
    #[must_use]
    pub fn of(count: usize) -> Self {
        Self { count, ..Self::default() }
    }
}

/// Why no yarns can be chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ChooseError {
    /// None wanted.
    None,
    /// More than there are.
    TooFew {
        /// Yarns wanted.
        wanted: usize,
        /// Yarns that may be chosen.
        there: usize,
    },
    /// More than a chart can have.
    TooMany(usize),
    /// More yarns must be kept than are wanted.
    Kept {
        /// Yarns wanted.
        wanted: usize,
        /// Yarns to keep.
        kept: usize,
    },
    /// A yarn, named by its key, is both to be kept and to be left out.
    KeptAndLeftOut(String),
    /// A yarn that is named is not in the list.
    NoSuchYarn(usize),
    /// Stopped by the watch.
    Stopped,
}

impl fmt::Display for ChooseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::None => f.write_str("a chart needs at least one colour"),
            Self::TooFew { wanted, there } => {
                write!(f, "{wanted} colours are wanted, but there are {there} yarns to choose from")
            }
            Self::TooMany(wanted) => {
                write!(f, "{wanted} colours are too many, a chart has at most {MAX_YARNS}")
            }
            Self::Kept { wanted, kept } => {
                write!(f, "{kept} yarns must be in the chart, but only {wanted} colours are wanted")
            }
            Self::KeptAndLeftOut(key) => {
                write!(f, "the yarn {key:?} is wanted both in the chart and not in it")
            }
            Self::NoSuchYarn(at) => write!(f, "yarn {} of the list is not there", at + 1),
            Self::Stopped => Stopped.fmt(f),
        }
    }
}

impl std::error::Error for ChooseError {}

impl ChooseError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::None => "ask for one colour or more",
            Self::TooFew { .. } => "ask for fewer colours, allow more yarns, or add some to the list",
            Self::TooMany(_) => "ask for fewer colours",
            Self::Kept { .. } => "ask for more colours, or keep fewer yarns",
            Self::KeptAndLeftOut(_) => "say one or the other",
            Self::NoSuchYarn(_) => "name a yarn of the list",
            Self::Stopped => "start it again when you are ready",
        }
    }
}

impl From<Stopped> for ChooseError {
    fn from(Stopped: Stopped) -> Self {
        Self::Stopped
    }
}

/// Chooses yarns so that as few of them as can be look alike ([`ALIKE`]) and, among such choices,
/// the sum over all cells of the CIEDE2000 difference to the nearest chosen yarn is small. Places
/// in the list, in its order.
///
/// A start one yarn at a time, then swaps of one chosen against one other as long as one helps;
/// again from other first yarns while there is time; the best of these. Only where more than 4,000
/// different colours occur (fewer for lists of more than 500 yarns) are the closest of them taken
/// together. The best swap is made each time, ties going to the earlier yarn, so that the same
/// input always gives the same yarns. No single swap can better what is found.
///
/// A yarn that brings no cell nearer is left out, and that is noted: fewer than `count` come back.
/// Two that look alike are noted with the reason why both are there.
///
/// # Errors
/// When so many cannot be chosen from that list, or the watch stops it.
#[allow(clippy::cast_precision_loss)]
pub fn choose(
    cells: &Cells,
    yarns: &[Yarn],
    choice: &Choice,
    watch: Watch<'_>,
) -> Result<Noted<Vec<usize>>, ChooseError> {
    let Pool { places, kept } = pool(yarns, choice)?;
    let tints: Vec<Tint> = places.iter().map(|&at| Tint::new(yarns[at].colour.lab())).collect();
    let most = (MOST_DIFFERENCES / places.len()).clamp(LEAST_BINS, MOST_BINS);
    let bins = bins(&cells.lab(), most);
    let mut search = Search::new(&bins, &tints, alike(&tints), &mut |done| watch(0.7 * done))?;

    // A start looks at the whole table for each yarn added, and for a dozen swaps or so.
    let looks = (bins.len() * places.len() * (choice.count + 12)).max(1);
    let keep: Vec<usize> = (0..kept).collect();
    let starts = if kept == choice.count {
        vec![None]
    } else {
        search.starts(&keep, (MOST_LOOKS / looks).max(1)).into_iter().map(Some).collect()
    };
    let mut best: Option<(Worth, Vec<usize>)> = None;
    for (at, &start) in starts.iter().enumerate() {
        tell(watch, 0.7 + 0.3 * at as f32 / starts.len() as f32)?;
        let from: Vec<usize> = keep.iter().copied().chain(start).collect();
        let worth = search.settle(&from, kept, choice.count);
        if best.as_ref().is_none_or(|(other, _)| worth.beats(*other)) {
            best = Some((worth, search.chosen().to_vec()));
        }
    }
    search.choose_anew(&best.map_or(keep, |(_, chosen)| chosen));
    search.drop_idle(kept);

    let mut chosen: Vec<usize> = search.chosen().iter().map(|&at| places[at]).collect();
    chosen.sort_unstable();
    let mut notes = Vec::new();
    if chosen.len() < choice.count {
        notes.push(format!(
            "{} colours are wanted, but the picture needs only {}: no other yarn brings a stitch nearer",
            choice.count,
            chosen.len()
        ));
    }
    note_alike(yarns, &chosen, choice, &mut notes);
    if choice.on_hand {
        for &at in chosen.iter().filter(|&&at| !is_on_hand(&yarns[at])) {
            notes.push(format!(
                "no ball of {:?} is known to be on hand: it is in the chart because it is to be kept",
                yarns[at].key
            ));
        }
    }
    Ok(Noted { value: chosen, notes })
}

fn is_on_hand(yarn: &Yarn) -> bool {
    yarn.on_hand.is_some_and(|balls| balls > 0)
}

/// The yarns that may be chosen.
struct Pool {
    /// Their places in the list, those to keep first.
    places: Vec<usize>,
    /// How many are to be kept.
    kept: usize,
}

fn pool(yarns: &[Yarn], choice: &Choice) -> Result<Pool, ChooseError> {
    let &Choice { count, ref keep, ref without, on_hand } = choice;
    if count == 0 {
        return Err(ChooseError::None);
    }
    if count > MAX_YARNS {
        return Err(ChooseError::TooMany(count));
    }
    if let Some(&at) = keep.iter().chain(without).find(|&&at| at >= yarns.len()) {
        return Err(ChooseError::NoSuchYarn(at));
    }
    if let Some(&at) = keep.iter().find(|at| without.contains(at)) {
        return Err(ChooseError::KeptAndLeftOut(yarns[at].key.clone()));
    }
    let keep: BTreeSet<usize> = keep.iter().copied().collect();
    let kept = keep.len();
    let free = (0..yarns.len()).filter(|at| !keep.contains(at) && !without.contains(at));
    let free: Vec<usize> = free.filter(|&at| !on_hand || is_on_hand(&yarns[at])).collect();
    let places: Vec<usize> = keep.into_iter().chain(free).collect();
    if count > places.len() {
        return Err(ChooseError::TooFew { wanted: count, there: places.len() });
    }
    if kept > count {
        return Err(ChooseError::Kept { wanted: count, kept });
    }
    Ok(Pool { places, kept })
}

/// For each pair whether the two look alike, row by row.
fn alike(tints: &[Tint]) -> Vec<bool> {
    let mut alike = vec![false; tints.len() * tints.len()];
    for (one, tint) in tints.iter().enumerate() {
        for (two, other) in tints.iter().enumerate().take(one) {
            let near = !tint.is_beyond(other, ALIKE) && tint.difference(other) < ALIKE;
            alike[one * tints.len() + two] = near;
            alike[two * tints.len() + one] = near;
        }
    }
    alike
}

/// Notes which of the chosen look alike, and why both were taken.
fn note_alike(yarns: &[Yarn], chosen: &[usize], choice: &Choice, notes: &mut Vec<String>) {
    for (i, &one) in chosen.iter().enumerate() {
        for &two in &chosen[i + 1..] {
            let difference = delta_e_2000(yarns[one].colour.lab(), yarns[two].colour.lab());
            if difference >= ALIKE {
                continue;
            }
            let why = if choice.keep.contains(&one) && choice.keep.contains(&two) {
                "both are to be kept".to_owned()
            } else {
                format!("there are no {} yarns to choose that all look different", choice.count)
            };
            notes.push(format!(
                "{:?} and {:?} look alike (CIEDE2000 {difference:.1}, alike below {ALIKE}): {why}",
                yarns[one].key, yarns[two].key
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Area, Picture, average, unwatched};
    use core::ops::ControlFlow;
    use model::{Lab, Srgb};
    use proptest::prelude::*;

    /// One cell for each pixel.
    fn cells(colours: &[[u8; 3]]) -> Cells {
        let picture = Picture::new(colours.len(), 1, colours.concat()).unwrap();
        average(&picture, Area::whole(colours.len(), 1), colours.len(), 1, &mut unwatched).unwrap()
    }

    fn yarns(colours: &[[u8; 3]]) -> Vec<Yarn> {
        let yarn =
            |(at, &[r, g, b]): (usize, &[u8; 3])| Yarn::plain(format!("y{at}"), "", Srgb::new(r, g, b));
        colours.iter().enumerate().map(yarn).collect()
    }

    fn choice(count: usize, keep: &[usize]) -> Choice {
        Choice { keep: keep.to_vec(), ..Choice::of(count) }
    }

    fn chosen(
        cells: &Cells,
        yarns: &[Yarn],
        count: usize,
        keep: &[usize],
    ) -> Result<Vec<usize>, ChooseError> {
        choose(cells, yarns, &choice(count, keep), &mut unwatched).map(|noted| noted.value)
    }

    /// How many pairs look alike, and the sum that is made small: computed the plain way.
    fn worth(cells: &Cells, yarns: &[Yarn], chosen: &[usize]) -> (usize, f64) {
        let lab = |at: usize| yarns[at].colour.lab();
        let nearest =
            |cell: Lab| chosen.iter().map(|&at| delta_e_2000(cell, lab(at))).fold(f64::INFINITY, f64::min);
        let pairs = chosen.iter().enumerate().map(|(i, &one)| {
            chosen[..i].iter().filter(|&&two| delta_e_2000(lab(one), lab(two)) < ALIKE).count()
        });
        (pairs.sum(), cells.lab().into_iter().map(nearest).sum())
    }

    /// The best of all subsets that are allowed.
    fn best_of_all(cells: &Cells, yarns: &[Yarn], choice: &Choice) -> (usize, f64) {
        (0u32..1 << yarns.len())
            .filter(|set| set.count_ones() as usize == choice.count)
            .map(|set| (0..yarns.len()).filter(|at| set >> at & 1 == 1).collect::<Vec<_>>())
            .filter(|set| choice.keep.iter().all(|at| set.contains(at)))
            .filter(|set| choice.without.iter().all(|at| !set.contains(at)))
            .map(|set| worth(cells, yarns, &set))
            .min_by(|one, two| one.0.cmp(&two.0).then(one.1.total_cmp(&two.1)))
            .unwrap()
    }

    const BLACK: [u8; 3] = [0; 3];
    const WHITE: [u8; 3] = [255; 3];
    const RED: [u8; 3] = [200, 30, 30];

    #[test]
    fn takes_the_yarns_that_occur() {
        let yarns = yarns(&[[0, 90, 0], WHITE, [10, 10, 90], RED, BLACK]);
        let cells = cells(&[BLACK, WHITE, WHITE, RED]);
        assert_eq!(chosen(&cells, &yarns, 3, &[]), Ok(vec![1, 3, 4]));
        assert_eq!(chosen(&cells, &yarns, 3, &[0]).map(|chosen| chosen.contains(&0)), Ok(true));
        // White, which fills half of it, goes first.
        assert_eq!(chosen(&cells, &yarns, 2, &[1, 1]).map(|chosen| chosen[0]), Ok(1));
    }

    #[test]
    fn a_yarn_that_helps_nothing_is_left_out_and_noted() {
        let yarns = yarns(&[WHITE, BLACK, RED, BLACK]);
        let got = choose(&cells(&[BLACK, WHITE]), &yarns, &Choice::of(4), &mut unwatched).unwrap();
        assert_eq!(got.value, [0, 1]);
        assert!(
            got.notes[0].contains("4 colours are wanted, but the picture needs only 2"),
            "{:?}",
            got.notes
        );
        // Unless it is to be kept.
        assert_eq!(chosen(&cells(&[BLACK, WHITE]), &yarns, 3, &[2]), Ok(vec![0, 1, 2]));
    }

    #[test]
    fn the_earlier_of_two_equal_yarns_is_taken() {
        let yarns = yarns(&[RED, BLACK, BLACK, RED]);
        assert_eq!(chosen(&cells(&[BLACK, RED, BLACK]), &yarns, 2, &[]), Ok(vec![0, 1]));
        assert_eq!(chosen(&cells(&[WHITE]), &yarns[1..3], 1, &[]), Ok(vec![0]));
    }

    #[test]
    fn refuses_what_cannot_be_chosen() {
        let (cells, yarns) = (cells(&[BLACK]), yarns(&[RED, BLACK]));
        assert_eq!(chosen(&cells, &yarns, 0, &[]), Err(ChooseError::None));
        assert_eq!(chosen(&cells, &yarns, 3, &[]), Err(ChooseError::TooFew { wanted: 3, there: 2 }));
        assert_eq!(chosen(&cells, &yarns, 65, &[]), Err(ChooseError::TooMany(65)));
        assert_eq!(chosen(&cells, &yarns, 1, &[0, 1]), Err(ChooseError::Kept { wanted: 1, kept: 2 }));
        assert_eq!(chosen(&cells, &yarns, 1, &[2]), Err(ChooseError::NoSuchYarn(2)));
        let stopped = choose(&cells, &yarns, &Choice::of(1), &mut |_| ControlFlow::Break(()));
        assert_eq!(stopped, Err(ChooseError::Stopped));
    }

    /// Two greys 2 apart and a third far off.
    const GREYS: [[u8; 3]; 3] = [[100; 3], [105; 3], [190; 3]];

    #[test]
    fn of_two_alike_one_is_taken() {
        let (cells, yarns) = (cells(&[[100; 3], [105; 3], [104; 3]]), yarns(&GREYS));
        // The second grey would serve the picture better than the third.
        assert_eq!(chosen(&cells, &yarns, 2, &[0]), Ok(vec![0]));
        let got = choose(&cells, &yarns, &choice(2, &[0, 1]), &mut unwatched).unwrap();
        assert_eq!(got.value, [0, 1]);
        assert!(got.notes[0].ends_with("both are to be kept"), "{:?}", got.notes);
        let got = choose(&cells, &yarns[..2], &Choice::of(2), &mut unwatched).unwrap();
        assert_eq!(got.value, [0, 1]);
        assert!(got.notes[0].contains("no 2 yarns to choose that all look different"), "{:?}", got.notes);
        assert!(got.notes[0].starts_with("\"y0\" and \"y1\" look alike (CIEDE2000 1."), "{:?}", got.notes);
    }

    #[test]
    fn what_is_left_out_stays_out() {
        let (cells, yarns) = (cells(&[BLACK, WHITE, RED]), yarns(&[BLACK, WHITE, RED, [30; 3]]));
        let at = |choice: Choice| choose(&cells, &yarns, &choice, &mut unwatched).map(|noted| noted.value);
        let without = |without: &[usize]| Choice { without: without.to_vec(), ..Choice::of(3) };
        assert_eq!(at(without(&[0])), Ok(vec![1, 2, 3]));
        assert_eq!(at(without(&[0, 1])), Err(ChooseError::TooFew { wanted: 3, there: 2 }));
        assert_eq!(at(without(&[9])), Err(ChooseError::NoSuchYarn(9)));
        let both = Choice { keep: vec![2], ..without(&[2]) };
        assert_eq!(at(both), Err(ChooseError::KeptAndLeftOut("y2".into())));
    }

    #[test]
    fn only_what_is_on_hand_where_that_is_asked() {
        let cells = cells(&[BLACK, WHITE, RED]);
        let mut yarns = yarns(&[BLACK, WHITE, RED]);
        yarns[0].on_hand = Some(1);
        yarns[1].on_hand = Some(0);
        let at = |count: usize, keep: &[usize]| {
            choose(&cells, &yarns, &Choice { on_hand: true, ..choice(count, keep) }, &mut unwatched)
        };
        assert_eq!(at(1, &[]), Ok(Noted::plain(vec![0])));
        assert_eq!(at(2, &[]), Err(ChooseError::TooFew { wanted: 2, there: 1 }));
        let got = at(2, &[2]).unwrap();
        assert_eq!(got.value, [0, 2]);
        assert!(got.notes[0].contains("no ball of \"y2\" is known to be on hand"), "{:?}", got.notes);
    }

    prop_compose! {
        /// Yarns in clusters, so that many of them look alike.
        fn clustered()(
            list in proptest::collection::vec((0usize..5, any::<[u8; 3]>()), 1..12),
            middles in proptest::collection::vec(any::<[u8; 3]>(), 5),
            spread in 4u8..60,
        ) -> Vec<[u8; 3]> {
            list.iter().map(|&(at, off)| [0, 1, 2].map(|c| middles[at][c].saturating_add(off[c] % spread))).collect()
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]
        /// Against all subsets: none has fewer pairs that look alike, or with as few serves the
        /// picture better by more than a hundredth.
        #[test]
        fn no_subset_is_clearly_better(
            picture in proptest::collection::vec(any::<[u8; 3]>(), 1..40),
            list in prop_oneof![proptest::collection::vec(any::<[u8; 3]>(), 1..10), clustered()],
            count in 1usize..7, keep in 0usize..12, without in 0usize..12,
        ) {
            let (cells, yarns) = (cells(&picture), yarns(&list));
            let there = |at: usize| if at < yarns.len() { vec![at] } else { vec![] };
            let (keep, mut without) = (there(keep), there(without));
            without.retain(|at| !keep.contains(at));
            let count = count.min(yarns.len() - without.len());
            prop_assume!(count > 0);
            let choice = Choice { keep, without, ..Choice::of(count) };
            let got = choose(&cells, &yarns, &choice, &mut unwatched).unwrap().value;
            prop_assert!(got.is_sorted() && !got.is_empty() && got.len() <= count);
            prop_assert!(choice.keep.iter().all(|at| got.contains(at)));
            prop_assert!(choice.without.iter().all(|at| !got.contains(at)));
            let ((pairs, sum), best) = (worth(&cells, &yarns, &got), best_of_all(&cells, &yarns, &choice));
            prop_assert!(pairs <= best.0 && sum <= best.1 * 1.01 + 1e-6, "{pairs} {sum} {best:?}");
        }
    }
}
