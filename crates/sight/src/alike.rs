//! Pairs of yarns that look alike, and what to do about each.

use model::{Chart, ColourIndex, Palette};

use crate::Eye;
use crate::eye::Looks;

/// An eye that takes two yarns for each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Which eye, by which light.
    pub eye: Eye,
    /// How far the yarns are apart to it, in units of CIEDE2000; see [`crate::difference`].
    pub difference: f64,
}

/// Two yarns that look alike to at least one eye.
#[derive(Clone, Debug, PartialEq)]
pub struct Alike {
    /// The one that comes first in the palette.
    pub one: ColourIndex,
    /// The other.
    pub two: ColourIndex,
    /// How far they are apart by daylight, in CIEDE2000.
    pub daylight: f64,
    /// The eyes that take them for each other, in the order of [`Eye::ALL`]; at least one.
    pub seen: Vec<Seen>,
}

/// What to do about two yarns that look alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Advice {
    /// They look alike by daylight: make them one, or take another for one of them.
    MakeOne,
    /// They look alike by a lamp only: tag the balls, and choose and change yarns by daylight.
    WorkByDaylight,
    /// They look alike to a colour-blind eye only: let them differ in lightness.
    DifferInLightness,
}

impl Advice {
    /// The advice in plain English, whole sentences.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::MakeOne => {
                "In the blanket hardly anyone will see these two apart. Make them one yarn, or take a \
                 yarn that is clearly lighter or darker for one of them. If you keep both, tie a tag \
                 with its letter to every ball."
            }
            Self::WorkByDaylight => {
                "By daylight these two are apart, by a warm lamp they may not be. Tie a tag with its \
                 letter to every ball, and look twice before you change to either in the evening. This \
                 is worked out from the colours alone: hold the yarns under your own lamp."
            }
            Self::DifferInLightness => {
                "To a colour-blind eye a line between these two may vanish. If the blanket is for \
                 somebody who sees so, take a yarn that is clearly lighter or darker for one of them. \
                 If it is you who works it, tie a tag with its letter to every ball and go by the \
                 letters on the chart."
            }
        }
    }
}

impl Alike {
    /// What to do, the most weighty first; at least one, and [`Advice::MakeOne`] alone where the two
    /// look alike by daylight.
    #[must_use]
    pub fn advice(&self) -> Vec<Advice> {
        let any = |test: fn(Eye) -> bool| self.seen.iter().any(|seen| test(seen.eye));
        if any(|eye| eye == Eye::Daylight) {
            return vec![Advice::MakeOne];
        }
        let lamp = any(|eye| eye == Eye::Lamplight).then_some(Advice::WorkByDaylight);
        let blind = any(Eye::is_colour_blind).then_some(Advice::DifferInLightness);
        lamp.into_iter().chain(blind).collect()
    }
}

/// All pairs of a palette that look alike to some eye: nearer than `below` units of CIEDE2000
/// ([`model::ALIKE`] unless the person has a wish). In the order of the palette.
#[must_use]
pub fn alike(palette: &Palette, below: f64) -> Vec<Alike> {
    among(palette, palette.indices(), below)
}

/// As [`alike`], of the yarns that make at least one stitch of the chart.
#[must_use]
pub fn alike_on(chart: &Chart, below: f64) -> Vec<Alike> {
    let counts = chart.stitches_by_yarn();
    among(chart.palette(), chart.palette().indices().filter(|yarn| counts[yarn.index()] > 0), below)
}

fn among(palette: &Palette, yarns: impl Iterator<Item = ColourIndex>, below: f64) -> Vec<Alike> {
    let looks: Vec<_> = yarns.map(|yarn| (yarn, Looks::of(palette.yarn(yarn).colour))).collect();
    let mut found = Vec::new();
    for (at, (one, looks_one)) in looks.iter().enumerate() {
        for (two, looks_two) in &looks[at + 1..] {
            let seen: Vec<_> = Eye::ALL
                .into_iter()
                .map(|eye| Seen { eye, difference: looks_one.difference(looks_two, eye) })
                .filter(|seen| seen.difference < below)
                .collect();
            if !seen.is_empty() {
                let daylight = looks_one.difference(looks_two, Eye::Daylight);
                found.push(Alike { one: *one, two: *two, daylight, seen });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::ALIKE;
    use model::Yarn;

    fn palette(colours: &[&str]) -> Palette {
        Palette::new(colours.iter().map(|hex| Yarn::plain(*hex, "", hex.parse().unwrap())).collect()).unwrap()
    }

    fn eyes(pair: &Alike) -> Vec<Eye> {
        pair.seen.iter().map(|seen| seen.eye).collect()
    }

    /// White and cream: 9.76 by daylight and 9.93 to 5.80 units of CAM16-UCS from window to lamp
    /// (`colour-science` 0.4.7, SEEN), so that a lamp leaves 5.69. The sage and the rose meet for the
    /// two common kinds of colour blindness (4.32 and 2.84, `colorspacious` 1.1.2, SEEN).
    #[test]
    fn each_kind_is_found_and_answered() {
        let palette = palette(&["#ffffff", "#f5ecd7", "#8fae9b", "#c9a0a0", "#8fae9c"]);
        let pairs = alike(&palette, ALIKE);
        let places: Vec<_> = pairs.iter().map(|pair| (pair.one.index(), pair.two.index())).collect();
        assert_eq!(places, [(0, 1), (2, 3), (2, 4), (3, 4)]);
        assert_eq!(eyes(&pairs[0]), [Eye::Lamplight]);
        assert!((pairs[0].daylight - 9.76).abs() < 0.01 && (pairs[0].seen[0].difference - 5.69).abs() < 0.02);
        assert_eq!(pairs[0].advice(), [Advice::WorkByDaylight]);
        assert_eq!(eyes(&pairs[1]), [Eye::Protan, Eye::Deutan]);
        assert_eq!(pairs[1].advice(), [Advice::DifferInLightness]);
        assert_eq!(eyes(&pairs[2]), Eye::ALL);
        assert_eq!(pairs[2].advice(), [Advice::MakeOne]);
    }

    #[test]
    fn a_yarn_that_makes_no_stitch_is_left_out() {
        let chart = Chart::new(palette(&["#101010", "#111111", "#f0f0f0"]), 1, 2, &[0, 2]).unwrap();
        assert_eq!(alike(chart.palette(), ALIKE).len(), 1);
        assert_eq!(alike_on(&chart, ALIKE), []);
    }

    #[test]
    fn far_colours_are_not_listed_and_a_threshold_of_nothing_lists_none() {
        assert_eq!(alike(&palette(&["#000000", "#ffffff", "#c8102e", "#1d4ed8"]), ALIKE), []);
        assert_eq!(alike(&palette(&["#123456", "#123457"]), 0.0), []);
    }
}
