//! Choosing the yarns that show a picture best.

use core::fmt;
use std::collections::{BTreeMap, BTreeSet};

use model::{Lab, MAX_YARNS, Yarn, delta_e_2000};

use crate::{Cells, Noted, Stopped, Watch, tell};

/// Most colours that the search weighs; more are merged with their neighbours.
const MOST_BINS: usize = 4_000;

/// About how many entries of the table the search may look at before it stops starting anew:
/// some tenths of a second (chosen for this project).
const MOST_LOOKS: usize = 200_000_000;

/// Why no yarns can be chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ChooseError {
    /// None wanted.
    None,
    /// More than there are.
    TooFew {
        /// Yarns wanted.
        wanted: usize,
        /// Yarns there are.
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
    /// A yarn to keep is not in the list.
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
            Self::TooFew { .. } => "ask for fewer colours, or add yarns to the list",
            Self::TooMany(_) => "ask for fewer colours",
            Self::Kept { .. } => "ask for more colours, or keep fewer yarns",
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

/// Chooses `count` of the yarns, those in `keep` among them, so that the sum over all cells of the
/// CIEDE2000 difference to the nearest chosen yarn is small: a start one yarn at a time, then
/// swaps of one chosen against one other as long as one helps; again from other first yarns while
/// the table is small enough; the best of these. Places in the list, in its order.
///
/// Only where more than 4,000 different colours occur are the closest of them taken
/// together. The best swap is made each time, ties going to the earlier yarn, so that the same
/// input always gives the same yarns. No single swap can better what is found.
///
/// A yarn that brings no cell nearer is left out, and that is noted: fewer than `count` come back.
///
/// # Errors
/// When so many cannot be chosen from that list, or the watch stops it.
#[allow(clippy::cast_precision_loss)]
pub fn choose(
    cells: &Cells,
    yarns: &[Yarn],
    count: usize,
    keep: &[usize],
    watch: Watch<'_>,
) -> Result<Noted<Vec<usize>>, ChooseError> {
    let keep: BTreeSet<usize> = keep.iter().copied().collect();
    if count == 0 {
        return Err(ChooseError::None);
    }
    if count > MAX_YARNS {
        return Err(ChooseError::TooMany(count));
    }
    if count > yarns.len() {
        return Err(ChooseError::TooFew { wanted: count, there: yarns.len() });
    }
    if let Some(&at) = keep.iter().find(|&&at| at >= yarns.len()) {
        return Err(ChooseError::NoSuchYarn(at));
    }
    if keep.len() > count {
        return Err(ChooseError::Kept { wanted: count, kept: keep.len() });
    }

    let keep: Vec<usize> = keep.into_iter().collect();
    let bins = bins(&cells.lab());
    let mut search = Search::new(&bins, yarns, &mut |done| watch(0.7 * done))?;
    let mut best: Option<(f64, Vec<usize>)> = None;
    let starts = search.starts(&keep, count);
    for (at, &start) in starts.iter().enumerate() {
        tell(watch, 0.7 + 0.3 * at as f32 / starts.len() as f32)?;
        search.settle(&keep, start, count);
        let sum = search.sum();
        if best.as_ref().is_none_or(|(least, _)| sum < least - SAME) {
            best = Some((sum, search.chosen.clone()));
        }
    }
    search.choose_anew(best.map_or(keep.clone(), |(_, chosen)| chosen));
    search.drop_idle(keep.len());

    let mut chosen = search.chosen;
    chosen.sort_unstable();
    let mut notes = Vec::new();
    if chosen.len() < count {
        notes.push(format!(
            "{count} colours are wanted, but the picture needs only {}: no other yarn brings a stitch nearer",
            chosen.len()
        ));
    }
    Ok(Noted { value: chosen, notes })
}

/// The cells' colours, alike ones merged: mean and number of cells.
#[allow(clippy::cast_possible_truncation)]
fn bins(lab: &[Lab]) -> Vec<(Lab, f64)> {
    let merge = |colours: &mut dyn Iterator<Item = (Lab, f64)>, step: f64| -> Vec<(Lab, f64)> {
        let mut grid: BTreeMap<[i32; 3], (f64, f64, f64, f64)> = BTreeMap::new();
        for (Lab { l, a, b }, weight) in colours {
            let key = [l, a, b].map(|v| libm::floor(v / step) as i32);
            let sum = grid.entry(key).or_default();
            *sum = (sum.0 + l * weight, sum.1 + a * weight, sum.2 + b * weight, sum.3 + weight);
        }
        grid.into_values().map(|(l, a, b, n)| (Lab { l: l / n, a: a / n, b: b / n }, n)).collect()
    };
    // A sixteenth of a Lab unit is far below what an eye can see.
    let mut merged = merge(&mut lab.iter().map(|&colour| (colour, 1.0)), 1.0 / 16.0);
    let mut step = 0.5;
    while merged.len() > MOST_BINS {
        merged = merge(&mut merged.into_iter(), step);
        step *= 1.25;
    }
    merged
}

/// The state of the search. `chosen` in the order of choice; those to keep come first.
struct Search {
    yarns: usize,
    /// Weighted difference of bin and yarn, bin by bin.
    difference: Vec<f64>,
    chosen: Vec<usize>,
    /// For each bin the slot in `chosen` of the nearest yarn, its difference, and the difference of
    /// the second nearest.
    nearest: Vec<(usize, f64, f64)>,
}

/// Sums that differ by less are the same: they differ by the order of adding only.
const SAME: f64 = 1e-9;

impl Search {
    #[allow(clippy::cast_precision_loss)]
    fn new(bins: &[(Lab, f64)], yarns: &[Yarn], watch: Watch<'_>) -> Result<Self, Stopped> {
        let colours: Vec<Lab> = yarns.iter().map(|yarn| yarn.colour.lab()).collect();
        let mut difference = Vec::with_capacity(bins.len() * yarns.len());
        for (at, (lab, weight)) in bins.iter().enumerate() {
            if at % 64 == 0 {
                tell(watch, at as f32 / bins.len() as f32)?;
            }
            difference.extend(colours.iter().map(|&colour| weight * delta_e_2000(*lab, colour)));
        }
        let mut search = Self { yarns: yarns.len(), difference, chosen: Vec::new(), nearest: Vec::new() };
        search.choose_anew(Vec::new());
        Ok(search)
    }

    fn rows(&self) -> impl Iterator<Item = (&[f64], &(usize, f64, f64))> {
        self.difference.chunks_exact(self.yarns).zip(&self.nearest)
    }

    /// The first yarns to start from, beside those to keep: the most helpful first. `None`: what is
    /// kept is all there is.
    fn starts(&self, keep: &[usize], count: usize) -> Vec<Option<usize>> {
        if keep.len() == count {
            return vec![None];
        }
        let mut alone: Vec<(usize, f64)> = (0..self.yarns)
            .filter(|at| !keep.contains(at))
            .map(|at| (at, self.difference.iter().skip(at).step_by(self.yarns).sum()))
            .collect();
        alone.sort_by(|(_, one), (_, two)| one.total_cmp(two));
        // A start looks at the whole table for each yarn added, and for a dozen swaps or so.
        let looks = self.difference.len().saturating_mul(count + 12).max(1);
        alone.truncate((MOST_LOOKS / looks).max(1));
        alone.into_iter().map(|(at, _)| Some(at)).collect()
    }

    /// Chooses from one start: yarn by yarn, then swap by swap.
    fn settle(&mut self, keep: &[usize], start: Option<usize>, count: usize) {
        self.choose_anew(keep.iter().copied().chain(start).collect());
        while self.chosen.len() < count {
            let Some(at) = self.best_addition() else { break };
            self.add(at);
        }
        // Each swap strictly helps, so this ends; the bound is never met.
        for _ in 0..20 * self.yarns {
            let Some((slot, at)) = self.best_swap(keep.len()) else { break };
            let mut chosen = core::mem::take(&mut self.chosen);
            chosen[slot] = at;
            self.choose_anew(chosen);
        }
    }

    /// The sum that is made small.
    fn sum(&self) -> f64 {
        self.nearest.iter().map(|(_, first, _)| first).sum()
    }

    fn add(&mut self, at: usize) {
        let slot = self.chosen.len();
        self.chosen.push(at);
        for (row, nearest) in self.difference.chunks_exact(self.yarns).zip(&mut self.nearest) {
            let d = row[at];
            if d < nearest.1 {
                *nearest = (slot, d, nearest.1);
            } else if d < nearest.2 {
                nearest.2 = d;
            }
        }
    }

    /// The yarn that brings the cells nearest when added to those chosen; `None` where none brings any nearer.
    fn best_addition(&self) -> Option<usize> {
        let mut sums = vec![0.0; self.yarns];
        for (row, nearest) in self.rows() {
            for (sum, d) in sums.iter_mut().zip(row) {
                *sum += (nearest.1 - d).max(0.0);
            }
        }
        let (at, gain) = best(&sums)?;
        (gain > SAME).then_some(at)
    }

    /// The swap that helps most: the slot to empty (not one of the first `kept`) and the yarn to
    /// put there.
    fn best_swap(&self, kept: usize) -> Option<(usize, usize)> {
        let slots = self.chosen.len();
        // Without a slot's yarn, its bins fall back on their second nearest: what that costs.
        let mut loss = vec![0.0; slots];
        // By yarn that comes: what is gained whatever goes, and, by slot, what the loss shrinks by.
        let mut gain = vec![0.0; self.yarns];
        let mut relief = vec![0.0; self.yarns * slots];
        for (row, &(slot, first, second)) in self.rows() {
            loss[slot] += second - first;
            for (at, &d) in row.iter().enumerate() {
                if d < first {
                    gain[at] += first - d;
                    relief[at * slots + slot] += second - first;
                } else if d < second {
                    relief[at * slots + slot] += second - d;
                }
            }
        }
        let mut found = None;
        let mut most = SAME;
        for at in (0..self.yarns).filter(|at| !self.chosen.contains(at)) {
            for slot in kept..slots {
                let change = gain[at] + relief[at * slots + slot] - loss[slot];
                if change > most + SAME {
                    most = change;
                    found = Some((slot, at));
                }
            }
        }
        found
    }

    fn choose_anew(&mut self, chosen: Vec<usize>) {
        self.chosen.clear();
        // Where there is no nearest or second nearest, the farthest stands in.
        let farthest = |row: &[f64]| row.iter().copied().fold(0.0, f64::max);
        self.nearest =
            self.difference.chunks_exact(self.yarns).map(|row| (0, farthest(row), farthest(row))).collect();
        for at in chosen {
            self.add(at);
        }
    }

    /// Leaves out the yarns that are nearest to no bin, except the first `kept`.
    fn drop_idle(&mut self, kept: usize) {
        let mut used = vec![false; self.chosen.len()];
        for (slot, _, _) in &self.nearest {
            used[*slot] = true;
        }
        let mut slot = 0;
        let mut chosen = core::mem::take(&mut self.chosen);
        chosen.retain(|_| {
            slot += 1;
            slot <= kept || used[slot - 1]
        });
        self.choose_anew(chosen);
    }
}

/// The place of the largest number, the first among equals.
fn best(sums: &[f64]) -> Option<(usize, f64)> {
    let mut found: Option<(usize, f64)> = None;
    for (at, &sum) in sums.iter().enumerate() {
        if found.is_none_or(|(_, most)| sum > most + SAME) {
            found = Some((at, sum));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Area, Picture, average, unwatched};
    use core::ops::ControlFlow;
    use model::Srgb;
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

    fn chosen(
        cells: &Cells,
        yarns: &[Yarn],
        count: usize,
        keep: &[usize],
    ) -> Result<Vec<usize>, ChooseError> {
        choose(cells, yarns, count, keep, &mut unwatched).map(|noted| noted.value)
    }

    /// The sum that is made small, computed the plain way.
    fn total(cells: &Cells, yarns: &[Yarn], chosen: &[usize]) -> f64 {
        let nearest = |cell: Lab| {
            chosen.iter().map(|&at| delta_e_2000(cell, yarns[at].colour.lab())).fold(f64::INFINITY, f64::min)
        };
        cells.lab().into_iter().map(nearest).sum()
    }

    /// The smallest sum over all subsets of that size.
    fn least(cells: &Cells, yarns: &[Yarn], count: usize) -> f64 {
        (0u32..1 << yarns.len())
            .filter(|set| set.count_ones() as usize == count)
            .map(|set| {
                let subset: Vec<usize> = (0..yarns.len()).filter(|at| set >> at & 1 == 1).collect();
                total(cells, yarns, &subset)
            })
            .fold(f64::INFINITY, f64::min)
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
        let got = choose(&cells(&[BLACK, WHITE]), &yarns, 4, &[], &mut unwatched).unwrap();
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
        let stopped = choose(&cells, &yarns, 1, &[], &mut |_| ControlFlow::Break(()));
        assert_eq!(stopped, Err(ChooseError::Stopped));
    }

    /// A picture with more colours than are weighed apart is still searched, in bounded bins.
    #[test]
    fn many_colours_are_merged() {
        let colours: Vec<[u8; 3]> =
            (0..=255).step_by(9).flat_map(|r| (0..=255).step_by(9).map(move |g| [r, g, r ^ g])).collect();
        let many: Vec<Lab> = (0..8).flat_map(|_| cells(&colours).lab()).collect();
        let merged = bins(&many);
        assert!(merged.len() <= MOST_BINS);
        let weight: f64 = merged.iter().map(|(_, weight)| weight).sum();
        assert!((weight - many.len() as f64).abs() < 1e-6);
        let spread: Vec<Lab> = (0..20_000)
            .map(|i| Lab {
                l: f64::from(i % 100),
                a: f64::from(i / 100 % 20) * 5.0,
                b: f64::from(i / 2000) * 7.0,
            })
            .collect();
        let merged = bins(&spread);
        assert!(merged.len() <= MOST_BINS && merged.len() > 1000, "{}", merged.len());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]
        /// Against all subsets: nothing is better by more than a hundredth.
        #[test]
        fn no_subset_is_clearly_better(
            picture in proptest::collection::vec(any::<[u8; 3]>(), 1..40),
            list in proptest::collection::vec(any::<[u8; 3]>(), 1..9),
            count in 1usize..6,
        ) {
            let (cells, yarns) = (cells(&picture), yarns(&list));
            let count = count.min(yarns.len());
            let got = chosen(&cells, &yarns, count, &[]).unwrap();
            prop_assert!(got.is_sorted() && !got.is_empty() && got.len() <= count);
            let (ours, best) = (total(&cells, &yarns, &got), least(&cells, &yarns, count));
            prop_assert!(ours <= best * 1.01 + 1e-6, "{ours} {best}");
        }
    }
}
