//! Choosing some colours of many so that a picture's colours lie near them.

use model::Lab;

use crate::difference::Tint;
use crate::{Stopped, Watch, tell};

/// A colour of the picture and how many cells have it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bin {
    pub(crate) tint: Tint,
    pub(crate) cells: f64,
}

/// The cells' colours, the closest of them merged into their mean until there are no more than
/// `most`. What lies within a sixteenth of a Lab unit, far below what an eye can see, is merged in
/// any case.
pub(crate) fn bins(lab: &[Lab], most: usize) -> Vec<Bin> {
    let bins: Vec<Bin> = lab.iter().map(|&lab| Bin { tint: Tint::new(lab), cells: 1.0 }).collect();
    fewer(&merge(&bins, 1.0 / 16.0), most)
}

/// The closest bins merged until there are no more than `most`.
pub(crate) fn fewer(bins: &[Bin], most: usize) -> Vec<Bin> {
    let mut bins = bins.to_vec();
    let mut step = 0.5;
    while bins.len() > most {
        bins = merge(&bins, step);
        step *= 1.25;
    }
    bins
}

/// Merges the bins of each box of a grid over CIELAB.
#[allow(clippy::cast_possible_truncation)] // some thousand steps at most
fn merge(bins: &[Bin], step: f64) -> Vec<Bin> {
    let place = |v: f64| libm::floor(v / step) as i32;
    let boxes = bins.iter().enumerate().map(|(at, bin)| {
        let Lab { l, a, b } = bin.tint.lab;
        ([place(l), place(a), place(b)], at)
    });
    let mut boxes: Vec<([i32; 3], usize)> = boxes.collect();
    boxes.sort_unstable();
    let mean = |group: &[([i32; 3], usize)]| {
        let [mut l, mut a, mut b, mut cells] = [0.0; 4];
        for &(_, at) in group {
            let Bin { tint, cells: weight } = bins[at];
            l += tint.lab.l * weight;
            a += tint.lab.a * weight;
            b += tint.lab.b * weight;
            cells += weight;
        }
        Bin { tint: Tint::new(Lab { l: l / cells, a: a / cells, b: b / cells }), cells }
    };
    boxes.chunk_by(|(one, _), (two, _)| one == two).map(mean).collect()
}

/// Sums that differ by less are the same: they differ by the order of adding only.
const SAME: f64 = 1e-9;

/// A choice and its worth: fewer alike pairs first, then a smaller sum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Worth {
    /// Pairs of chosen colours that look alike.
    pub(crate) pairs: usize,
    /// Differences of all cells to their nearest chosen colour.
    pub(crate) sum: f64,
}

impl Worth {
    pub(crate) fn beats(self, other: Self) -> bool {
        self.pairs < other.pairs || (self.pairs == other.pairs && self.sum < other.sum - SAME)
    }
}

/// What a bin has of the chosen colours.
#[derive(Clone, Copy)]
struct Nearest {
    /// The place in `chosen` of the nearest.
    slot: usize,
    /// Its difference, and that of the second nearest.
    first: f64,
    second: f64,
}

/// The state of a search among candidates.
pub(crate) struct Search {
    candidates: usize,
    /// Weighted difference of bin and candidate, bin by bin.
    difference: Vec<f64>,
    /// Whether two candidates look alike, candidate by candidate; empty where none do.
    alike: Vec<bool>,
    /// In the order of choice; those to keep come first.
    chosen: Vec<usize>,
    nearest: Vec<Nearest>,
}

impl Search {
    /// `alike` row by row for each pair of candidates; empty where it does not matter.
    #[allow(clippy::cast_precision_loss)]
    pub(crate) fn new(
        bins: &[Bin],
        candidates: &[Tint],
        alike: Vec<bool>,
        watch: Watch<'_>,
    ) -> Result<Self, Stopped> {
        let mut difference = Vec::with_capacity(bins.len() * candidates.len());
        for (at, bin) in bins.iter().enumerate() {
            if at % 64 == 0 {
                tell(watch, at as f32 / bins.len() as f32)?;
            }
            difference.extend(candidates.iter().map(|tint| bin.cells * bin.tint.difference(tint)));
        }
        let mut search =
            Self { candidates: candidates.len(), difference, alike, chosen: Vec::new(), nearest: Vec::new() };
        search.choose_anew(&[]);
        Ok(search)
    }

    fn rows(&self) -> impl Iterator<Item = (&[f64], &Nearest)> {
        self.difference.chunks_exact(self.candidates).zip(&self.nearest)
    }

    pub(crate) fn chosen(&self) -> &[usize] {
        &self.chosen
    }

    /// Candidates to start from, at most `most` beside those in `kept`: those that show the picture
    /// best alone come first, the others are spread evenly over all that are left.
    pub(crate) fn starts(&self, kept: &[usize], most: usize) -> Vec<usize> {
        let mut sums = vec![0.0; self.candidates];
        for row in self.difference.chunks_exact(self.candidates) {
            for (sum, d) in sums.iter_mut().zip(row) {
                *sum += d;
            }
        }
        let mut alone: Vec<usize> = (0..self.candidates).filter(|at| !kept.contains(at)).collect();
        alone.sort_by(|&one, &two| sums[one].total_cmp(&sums[two]));
        let most = most.min(alone.len());
        (0..most).map(|start| alone[start * alone.len() / most]).collect()
    }

    /// Fills up to `count`, candidate by candidate, then swaps as long as one helps; the first
    /// `kept` are never swapped. No single swap can better what is found.
    pub(crate) fn settle(&mut self, chosen: &[usize], kept: usize, count: usize) -> Worth {
        self.choose_anew(chosen);
        while self.chosen.len() < count {
            let Some(at) = self.best_addition() else { break };
            self.add(at);
        }
        // Each swap strictly helps, so this ends; the bound is never met.
        for _ in 0..20 * self.candidates {
            let Some((slot, at)) = self.best_swap(kept) else { break };
            self.swap(slot, at);
        }
        self.worth()
    }

    fn worth(&self) -> Worth {
        let pairs = self.chosen.iter().map(|&at| self.alike_to(at)).sum::<usize>() / 2;
        Worth { pairs, sum: self.nearest.iter().map(|nearest| nearest.first).sum() }
    }

    /// How many of those chosen look like this one, itself left out.
    fn alike_to(&self, at: usize) -> usize {
        if self.alike.is_empty() {
            return 0;
        }
        let row = &self.alike[at * self.candidates..][..self.candidates];
        self.chosen.iter().filter(|&&other| other != at && row[other]).count()
    }

    fn are_alike(&self, one: usize, two: usize) -> bool {
        !self.alike.is_empty() && self.alike[one * self.candidates + two]
    }

    fn add(&mut self, at: usize) {
        let slot = self.chosen.len();
        self.chosen.push(at);
        for (row, nearest) in self.difference.chunks_exact(self.candidates).zip(&mut self.nearest) {
            let d = row[at];
            if d < nearest.first {
                *nearest = Nearest { slot, first: d, second: nearest.first };
            } else if d < nearest.second {
                nearest.second = d;
            }
        }
    }

    /// The candidate that looks like the fewest of those chosen and brings the cells nearest.
    fn best_addition(&self) -> Option<usize> {
        let mut gain = vec![0.0; self.candidates];
        for (row, nearest) in self.rows() {
            for (gain, &d) in gain.iter_mut().zip(row) {
                *gain += (nearest.first - d).max(0.0);
            }
        }
        let mut found: Option<(usize, Worth)> = None;
        for (at, gain) in gain.into_iter().enumerate().filter(|(at, _)| !self.chosen.contains(at)) {
            let worth = Worth { pairs: self.alike_to(at), sum: -gain };
            if found.is_none_or(|(_, best)| worth.beats(best)) {
                found = Some((at, worth));
            }
        }
        found.map(|(at, _)| at)
    }

    /// The swap that helps most: the slot to empty (not one of the first `kept`) and the candidate
    /// to put there.
    fn best_swap(&self, kept: usize) -> Option<(usize, usize)> {
        let slots = self.chosen.len();
        // Without a slot's colour, its bins fall back on their second nearest: what that costs.
        let mut loss = vec![0.0; slots];
        // By candidate that comes: what is gained whatever goes, and, by slot, what the loss
        // shrinks by.
        let mut gain = vec![0.0; self.candidates];
        let mut relief = vec![0.0; self.candidates * slots];
        for (row, &Nearest { slot, first, second }) in self.rows() {
            loss[slot] += second - first;
            let relief = &mut relief[slot * self.candidates..][..self.candidates];
            for ((gain, relief), &d) in gain.iter_mut().zip(relief).zip(row) {
                *gain += (first - d).max(0.0);
                *relief += (second - d.max(first)).max(0.0);
            }
        }
        let now: Vec<usize> = self.chosen.iter().map(|&at| self.alike_to(at)).collect();
        let mut found = None;
        // Pairs are counted from as many as a slot could lose, to stay above 0.
        let mut best = Worth { pairs: slots, sum: 0.0 };
        for at in (0..self.candidates).filter(|at| !self.chosen.contains(at)) {
            let close = self.alike_to(at);
            for slot in kept..slots {
                let came = close - usize::from(self.are_alike(at, self.chosen[slot]));
                let worth = Worth {
                    pairs: slots + came - now[slot],
                    sum: loss[slot] - gain[at] - relief[slot * self.candidates + at],
                };
                if worth.beats(best) {
                    best = worth;
                    found = Some((slot, at));
                }
            }
        }
        found
    }

    fn swap(&mut self, slot: usize, at: usize) {
        let mut chosen = self.chosen.clone();
        chosen[slot] = at;
        self.choose_anew(&chosen);
    }

    pub(crate) fn choose_anew(&mut self, chosen: &[usize]) {
        self.chosen.clear();
        // Where there is no nearest or second nearest, the farthest stands in.
        self.nearest.clear();
        self.nearest.extend(self.difference.chunks_exact(self.candidates).map(|row| {
            let farthest = row.iter().copied().fold(0.0, f64::max);
            Nearest { slot: 0, first: farthest, second: farthest }
        }));
        for &at in chosen {
            self.add(at);
        }
    }

    /// Leaves out the colours that are nearest to no bin, except the first `kept`.
    pub(crate) fn drop_idle(&mut self, kept: usize) {
        let mut used = vec![false; self.chosen.len()];
        for nearest in &self.nearest {
            used[nearest.slot] = true;
        }
        let left: Vec<usize> = self
            .chosen
            .iter()
            .enumerate()
            .filter(|&(slot, _)| slot < kept || used[slot])
            .map(|(_, &at)| at)
            .collect();
        self.choose_anew(&left);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture with more colours than are weighed apart is still searched, in bounded bins.
    #[test]
    fn many_colours_are_merged_and_no_cell_is_lost() {
        let colours: Vec<Lab> = (0..20_000)
            .map(|i| Lab {
                l: f64::from(i % 100),
                a: f64::from(i / 100 % 20) * 5.0,
                b: f64::from(i / 2000) * 7.0,
            })
            .collect();
        let twice = [colours.clone(), colours].concat();
        for most in [4_000, 50_000] {
            let merged = bins(&twice, most);
            assert!(merged.len() <= most.min(20_000) && merged.len() > 1_000, "{}", merged.len());
            let cells: f64 = merged.iter().map(|bin| bin.cells).sum();
            assert!((cells - 40_000.0).abs() < 1e-6);
        }
        assert!(fewer(&bins(&twice, 4_000), 300).len() <= 300);
    }
}
