//! Colours for a picture where there is no list of yarns.

use std::collections::BTreeSet;

use model::{Lab, MAX_YARNS, Srgb};

use crate::difference::Tint;
use crate::scale::Light;
use crate::search::{Bin, Search, bins, fewer};
use crate::{Cells, ChooseError, Watch, tell};

/// Most colours that the search weighs, and most that the chosen ones are fitted to in the end.
const COARSE: usize = 1_500;
const FINE: usize = 8_000;
/// Most colours that the search chooses among.
const CANDIDATES: usize = 320;
/// Searches, and how many of what they find are fitted in the end.
const STARTS: usize = 16;
const FINALISTS: usize = 8;
/// Most rounds of fitting, and the share of the sum that a round must save to be followed by one
/// more.
const ROUNDS: usize = 60;
const WORTH_A_ROUND: f64 = 1e-4;
/// What is added to a difference before it divides: a colour that is met exactly must not hold its
/// centre fast.
const SOFT: f64 = 0.3;

/// Chooses `count` colours of their own that show the cells well: the mean CIEDE2000 difference of
/// cells and their nearest colour is made small. The colour of most cells comes first. Fewer come
/// back where the cells have fewer.
///
/// First a search for the best of some hundred colours of the picture, from several starts, swap by
/// swap. Then each colour is moved to the mean of its cells, each weighed by 1 ÷ its difference
/// (Weiszfeld's way to the point of the least sum of distances, as CIEDE2000 measures them), as
/// long as the sum falls. The same cells always give the same colours.
///
/// # Errors
/// When so many cannot be chosen, or the watch stops it.
#[allow(clippy::cast_precision_loss)]
pub fn free_colours(cells: &Cells, count: usize, watch: Watch<'_>) -> Result<Vec<Srgb>, ChooseError> {
    if count == 0 {
        return Err(ChooseError::None);
    }
    if count > MAX_YARNS {
        return Err(ChooseError::TooMany(count));
    }
    tell(watch, 0.0)?;
    let fine = bins(&cells.lab(), FINE);
    let coarse = fewer(&fine, COARSE);
    let candidates: Vec<Tint> = fewer(&coarse, CANDIDATES).iter().map(|bin| bin.tint).collect();
    let mut search = Search::new(&coarse, &candidates, Vec::new(), &mut |done| watch(0.1 + 0.2 * done))?;
    let mut found: Vec<(f64, Vec<Tint>)> = Vec::new();
    let mut seen: BTreeSet<Vec<usize>> = BTreeSet::new();
    for (at, start) in search.starts(&[], STARTS).into_iter().enumerate() {
        tell(watch, 0.3 + 0.5 * at as f32 / STARTS as f32)?;
        search.settle(&[start], 0, count);
        search.drop_idle(0);
        let mut chosen = search.chosen().to_vec();
        chosen.sort_unstable();
        let mut centres: Vec<Tint> = chosen.iter().map(|&at| candidates[at]).collect();
        // Many starts lead to the same end.
        if seen.insert(chosen) {
            found.push((fit(&coarse, &mut centres), centres));
        }
    }
    found.sort_by(|(one, _), (two, _)| one.total_cmp(two));
    found.truncate(FINALISTS);
    for (at, (sum, centres)) in found.iter_mut().enumerate() {
        tell(watch, 0.8 + 0.2 * at as f32 / FINALISTS as f32)?;
        *sum = fit(&fine, centres);
    }
    let best = found.into_iter().min_by(|(one, _), (two, _)| one.total_cmp(two));
    let centres = best.map_or(Vec::new(), |(_, centres)| centres);
    tell(watch, 1.0)?;
    Ok(by_use(&fine, &centres))
}

/// Moves the centres as long as the sum of differences falls; that sum.
fn fit(bins: &[Bin], centres: &mut Vec<Tint>) -> f64 {
    let mut slots = vec![0; bins.len()];
    let mut sum = assign(bins, centres, &mut slots);
    for _ in 0..ROUNDS {
        let mut means = vec![[0.0; 4]; centres.len()];
        for (bin, &slot) in bins.iter().zip(&slots) {
            let weight = bin.cells / (bin.tint.difference(&centres[slot]) + SOFT);
            let Lab { l, a, b } = bin.tint.lab;
            for (mean, v) in means[slot].iter_mut().zip([l, a, b, 1.0]) {
                *mean += v * weight;
            }
        }
        let moved = means.iter().zip(centres.iter()).map(|(&[l, a, b, weight], &old)| {
            if weight > 0.0 { Tint::new(Lab { l: l / weight, a: a / weight, b: b / weight }) } else { old }
        });
        let moved: Vec<Tint> = moved.collect();
        let new = assign(bins, &moved, &mut slots);
        if new >= sum {
            break;
        }
        let saved = sum - new;
        *centres = moved;
        sum = new;
        if saved < WORTH_A_ROUND * sum {
            break;
        }
    }
    sum
}

/// Puts each bin to its nearest centre; `slots` hold a guess before. The sum of differences.
fn assign(bins: &[Bin], centres: &[Tint], slots: &mut [usize]) -> f64 {
    let mut sum = 0.0;
    for (bin, slot) in bins.iter().zip(slots) {
        let mut least = bin.tint.difference(&centres[*slot]);
        let guess = *slot;
        for (at, centre) in centres.iter().enumerate() {
            if at == guess || bin.tint.is_beyond(centre, least) {
                continue;
            }
            let difference = bin.tint.difference(centre);
            if difference < least {
                (*slot, least) = (at, difference);
            }
        }
        sum += least * bin.cells;
    }
    sum
}

/// The centres as sRGB, equal ones once, that of most cells first.
fn by_use(bins: &[Bin], centres: &[Tint]) -> Vec<Srgb> {
    let light = Light::new();
    let mut slots = vec![0; bins.len()];
    assign(bins, centres, &mut slots);
    let mut uses: Vec<(Srgb, f64)> = Vec::new();
    let mut place = Vec::new();
    for centre in centres {
        let colour = srgb(centre.lab, &light);
        let at = uses.iter().position(|(other, _)| *other == colour);
        place.push(at.unwrap_or(uses.len()));
        if at.is_none() {
            uses.push((colour, 0.0));
        }
    }
    for (bin, &slot) in bins.iter().zip(&slots) {
        uses[place[slot]].1 += bin.cells;
    }
    uses.sort_by(|(one, of_one), (two, of_two)| of_two.total_cmp(of_one).then(one.cmp(two)));
    uses.into_iter().map(|(colour, _)| colour).collect()
}

/// The nearest colour of eight bits, channel by channel: [`Lab::from_linear`] backwards. What no
/// screen can show is brought to the edge.
fn srgb(lab: Lab, light: &Light) -> Srgb {
    const DELTA: f64 = 6.0 / 29.0;
    let back = |f: f64| if f > DELTA { f * f * f } else { 3.0 * DELTA * DELTA * (f - 4.0 / 29.0) };
    let f = (lab.l + 16.0) / 116.0;
    let (x, y, z) = (0.950_47 * back(f + lab.a / 500.0), back(f), 1.088_83 * back(f - lab.b / 200.0));
    // The inverse of the matrix in `Lab::from_linear`.
    let channel = |mix: f64| light.encode(mix.clamp(0.0, 1.0));
    Srgb::new(
        channel(3.240_454_2 * x - 1.537_138_5 * y - 0.498_531_4 * z),
        channel(-0.969_266_0 * x + 1.876_010_8 * y + 0.041_556_0 * z),
        channel(0.055_643_4 * x - 0.204_025_9 * y + 1.057_225_2 * z),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Area, Picture, average, unwatched};
    use core::ops::ControlFlow;
    use model::delta_e_2000;
    use proptest::prelude::*;

    /// One cell for each pixel.
    fn cells(colours: &[[u8; 3]]) -> Cells {
        let picture = Picture::new(colours.len(), 1, colours.concat()).unwrap();
        average(&picture, Area::whole(colours.len(), 1), colours.len(), 1, &mut unwatched).unwrap()
    }

    fn free(colours: &[[u8; 3]], count: usize) -> Vec<Srgb> {
        free_colours(&cells(colours), count, &mut unwatched).unwrap()
    }

    const WHITE: [u8; 3] = [255; 3];
    const RED: [u8; 3] = [200, 30, 30];
    const INK: [u8; 3] = [10, 12, 40];

    #[test]
    fn colours_that_occur_are_found_the_commonest_first() {
        let of = |[r, g, b]: [u8; 3]| Srgb::new(r, g, b);
        let got = free(&[WHITE, RED, RED, INK, RED, WHITE], 3);
        assert_eq!(got, [of(RED), of(WHITE), of(INK)]);
        // Fewer where there are fewer.
        assert_eq!(free(&[WHITE, RED, RED], 5), [of(RED), of(WHITE)]);
        assert_eq!(free(&[INK; 9], 64), [of(INK)]);
    }

    #[test]
    fn refuses_what_cannot_be_chosen() {
        let cells = cells(&[RED]);
        assert_eq!(free_colours(&cells, 0, &mut unwatched), Err(ChooseError::None));
        assert_eq!(free_colours(&cells, 65, &mut unwatched), Err(ChooseError::TooMany(65)));
        let mut hears = 0;
        let got = free_colours(&cells, 1, &mut |done| {
            hears += 1;
            if done < 0.3 { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        });
        assert_eq!(got, Err(ChooseError::Stopped));
        assert!(hears > 1);
    }

    proptest! {
        /// The law: eight bits there and back give the same colour.
        #[test]
        fn lab_goes_back_to_srgb(r in any::<u8>(), g in any::<u8>(), b in any::<u8>()) {
            let colour = Srgb::new(r, g, b);
            prop_assert_eq!(srgb(colour.lab(), &Light::new()), colour);
        }

        /// No more than asked for, all different, the same again; and with a colour for each cell
        /// nothing is lost.
        #[test]
        fn the_law_of_free_colours(
            colours in proptest::collection::vec(any::<[u8; 3]>(), 1..60), count in 1usize..20,
        ) {
            let got = free(&colours, count);
            prop_assert!(!got.is_empty() && got.len() <= count);
            prop_assert!((0..got.len()).all(|at| !got[..at].contains(&got[at])));
            prop_assert_eq!(&free(&colours, count), &got);
            let least = |cell: Lab| {
                got.iter().map(|colour| delta_e_2000(cell, colour.lab())).fold(f64::INFINITY, f64::min)
            };
            if colours.len() <= count {
                prop_assert!(cells(&colours).lab().into_iter().all(|cell| least(cell) < 1.0));
            }
        }
    }
}
