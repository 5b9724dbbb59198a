//! What an eye makes of a colour: by daylight, by a lamp, or colour-blind.

use core::fmt;

use model::{Lab, Srgb, delta_e_2000};

use crate::lamp::{DAYLIGHT, LAMPLIGHT};

/// An eye and the light it sees by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Eye {
    /// An eye of full colour vision by daylight.
    Daylight,
    /// The same eye in the evening, by one warm lamp.
    Lamplight,
    /// An eye without the pigment for long waves (protanopia), by daylight.
    Protan,
    /// An eye without the pigment for middle waves (deuteranopia), by daylight: with its milder
    /// forms the commonest kind.
    Deutan,
    /// An eye without the pigment for short waves (tritanopia), by daylight: rare.
    Tritan,
}

impl Eye {
    /// All of them, in the order of the list above.
    pub const ALL: [Self; 5] = [Self::Daylight, Self::Lamplight, Self::Protan, Self::Deutan, Self::Tritan];

    /// Whether it is one of the three colour-blind eyes.
    #[must_use]
    pub const fn is_colour_blind(self) -> bool {
        matches!(self, Self::Protan | Self::Deutan | Self::Tritan)
    }

    /// A word for it: `daylight`, `lamplight`, `protan`, `deutan`, `tritan`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Daylight => "daylight",
            Self::Lamplight => "lamplight",
            Self::Protan => "protan",
            Self::Deutan => "deutan",
            Self::Tritan => "tritan",
        }
    }

    /// When two yarns look alike to it, in plain English: follows on "they look alike".
    #[must_use]
    pub const fn when(self) -> &'static str {
        match self {
            Self::Daylight => "by daylight",
            Self::Lamplight => "by the light of a warm lamp",
            Self::Protan => "to an eye that is blind to red",
            Self::Deutan => "to an eye that is blind to green, the commonest kind of colour blindness",
            Self::Tritan => "to an eye that is blind to blue, which is rare",
        }
    }
}

impl fmt::Display for Eye {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// How far two colours are apart to that eye, in units of CIEDE2000.
///
/// For a colour-blind eye it is CIEDE2000 between what that eye makes of the two. For lamplight it is
/// the CIEDE2000 of daylight times the share of it that the lamp leaves, by a model of how colours
/// look (see [`Eye::Lamplight`] and the sources in `lamp.rs`), so that one threshold serves all.
#[must_use]
pub fn difference(one: Srgb, two: Srgb, eye: Eye) -> f64 {
    Looks::of(one).difference(&Looks::of(two), eye)
}

/// What each eye makes of one colour.
pub(crate) struct Looks {
    /// By daylight, then to each of the three colour-blind eyes.
    labs: [Lab; 4],
    /// Under the model of how colours look: by daylight, by the lamp.
    daylight: [f64; 3],
    lamplight: [f64; 3],
}

impl Looks {
    pub(crate) fn of(colour: Srgb) -> Self {
        let linear = colour.linear();
        let blind = |matrix| Lab::from_linear(dichromat(linear, matrix));
        Self {
            labs: [colour.lab(), blind(&PROTAN), blind(&DEUTAN), blind(&TRITAN)],
            daylight: DAYLIGHT.look(linear),
            lamplight: LAMPLIGHT.look(linear),
        }
    }

    pub(crate) fn difference(&self, other: &Self, eye: Eye) -> f64 {
        let between = |at: usize| delta_e_2000(self.labs[at], other.labs[at]);
        match eye {
            Eye::Daylight => between(0),
            Eye::Protan => between(1),
            Eye::Deutan => between(2),
            Eye::Tritan => between(3),
            Eye::Lamplight => {
                let by_day = distance(self.daylight, other.daylight);
                if by_day == 0.0 {
                    return 0.0;
                }
                between(0) * distance(self.lamplight, other.lamplight) / by_day
            }
        }
    }
}

fn distance(one: [f64; 3], two: [f64; 3]) -> f64 {
    libm::sqrt(one.iter().zip(two).map(|(a, b)| (a - b) * (a - b)).sum())
}

type Matrix = [[f64; 3]; 3];

pub(crate) fn times(matrix: &Matrix, [x, y, z]: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * x + row[1] * y + row[2] * z)
}

/// The three kinds of colour blindness at severity 1.0, for linear RGB.
///
/// Source: Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
/// vision deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009; the
/// matrices as `colorspacious` 1.1.2 and `colour-science` 0.4.7 carry them (SEEN). The tritan kind is
/// the least sure of the three: `daltonlens` 0.1.5 notes that the model does not fit it well (SEEN).
const PROTAN: Matrix = [
    [0.152_286, 1.052_583, -0.204_868],
    [0.114_503, 0.786_281, 0.099_216],
    [-0.003_882, -0.048_116, 1.051_998],
];
const DEUTAN: Matrix = [
    [0.367_322, 0.860_646, -0.227_968],
    [0.280_085, 0.672_501, 0.047_413],
    [-0.011_820, 0.042_940, 0.968_881],
];
const TRITAN: Matrix = [
    [1.255_528, -0.076_749, -0.178_779],
    [-0.078_411, 0.930_809, 0.147_602],
    [0.004_733, 0.691_367, 0.303_900],
];

/// What a colour-blind eye makes of a colour, as a colour that a screen can show: where the matrix
/// leads out of the screen's colours each channel stops at its end, for a colour beyond them would
/// set apart what nobody sees apart.
fn dichromat(linear: [f64; 3], matrix: &Matrix) -> [f64; 3] {
    times(matrix, linear).map(|channel| channel.clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn colour(hex: &str) -> Srgb {
        hex.parse().unwrap()
    }

    /// White and greys stay what they are, whatever the eye.
    #[test]
    fn greys_stay_grey() {
        for matrix in [PROTAN, DEUTAN, TRITAN] {
            for row in matrix {
                assert!((row.iter().sum::<f64>() - 1.0).abs() < 2e-6, "{row:?}");
            }
        }
        for value in 0..=255 {
            let grey = Srgb::new(value, value, value);
            for lab in Looks::of(grey).labs {
                assert!(delta_e_2000(lab, grey.lab()) < 0.01, "{grey}");
            }
        }
    }

    /// Reference library: `colorspacious` 1.1.2, `sRGB1+CVD` at severity 100 to linear light, held
    /// inside the screen's colours; then `colour-science` 0.4.7, XYZ to CIELAB and CIEDE2000 (SEEN).
    #[test]
    fn colour_blind_eyes_see_as_a_reference_library_says() {
        #[rustfmt::skip]
        let known = [
            ("#ff0000", "#008000", [7.7016, 15.7445, 61.3158]),
            ("#c8102e", "#2e7d32", [16.1876, 5.1675, 58.2354]),
            ("#1f2a44", "#1b1b1b", [13.8007, 14.1088, 12.9686]),
            ("#5b2c3f", "#4a2c2a", [10.4992, 7.4893, 4.8006]),
            ("#0000ff", "#800080", [17.7989, 15.8361, 46.3833]),
            ("#f2c14e", "#f2a0b5", [31.5856, 23.0028, 8.0123]),
            ("#8fae9b", "#c9a0a0", [4.3171, 2.8390, 36.9304]),
            ("#7a9bc4", "#9a8fc0", [2.1821, 1.1237, 18.1652]),
        ];
        for (one, two, differences) in known {
            for (eye, expected) in [Eye::Protan, Eye::Deutan, Eye::Tritan].into_iter().zip(differences) {
                let got = difference(colour(one), colour(two), eye);
                assert!((got - expected).abs() < 0.001, "{one} {two} {eye}: {got} not {expected}");
            }
        }
    }

    /// Common knowledge of the eye doctor's plates: red and green of one lightness part for the
    /// common eye and meet for the two kinds that are blind to red or green.
    #[test]
    fn a_red_and_a_green_meet_for_the_common_kinds() {
        let (sage, rose) = (colour("#8fae9b"), colour("#c9a0a0"));
        assert!(difference(sage, rose, Eye::Daylight) > 30.0);
        assert!(difference(sage, rose, Eye::Tritan) > 30.0);
        assert!(difference(sage, rose, Eye::Protan) < 5.0);
        assert!(difference(sage, rose, Eye::Deutan) < 5.0);
    }

    #[test]
    fn a_colour_is_no_way_from_itself_and_as_far_there_as_back() {
        let colours = ["#000000", "#ffffff", "#1f2a44", "#c8102e", "#f5ecd7"].map(colour);
        for eye in Eye::ALL {
            for one in colours {
                assert!(difference(one, one, eye) == 0.0);
                for two in colours {
                    let back = difference(two, one, eye);
                    assert!((difference(one, two, eye) - back).abs() < 1e-9);
                }
            }
        }
    }
}
