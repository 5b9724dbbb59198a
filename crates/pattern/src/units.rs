//! Weights, bands, and the units that people measure in.

use core::fmt;
use core::iter::Sum;
use core::ops::{Add, AddAssign};

use model::{Ball, Length};

/// A weight in whole milligrams.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Weight {
    milligrams: u64,
}

impl Weight {
    /// No weight at all.
    pub const ZERO: Self = Self { milligrams: 0 };

    /// A weight of whole milligrams.
    #[must_use]
    pub const fn from_milligrams(milligrams: u64) -> Self {
        Self { milligrams }
    }

    /// A weight in grams, rounded to the nearest milligram. Below zero and `NaN` become zero.
    #[must_use]
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, as wanted
    pub fn grams(grams: f64) -> Self {
        Self { milligrams: libm::round(grams * 1e3) as u64 }
    }

    /// Whole milligrams.
    #[must_use]
    pub const fn milligrams(self) -> u64 {
        self.milligrams
    }

    /// Grams.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // exact up to nine million tonnes
    pub fn as_grams(self) -> f64 {
        self.milligrams as f64 / 1e3
    }

    /// Ounces (28.349523125 g each, by definition).
    #[must_use]
    pub fn as_ounces(self) -> f64 {
        self.as_grams() / GRAMS_IN_AN_OUNCE
    }
}

impl fmt::Debug for Weight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} g", self.as_grams())
    }
}

impl Add for Weight {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { milligrams: self.milligrams.saturating_add(other.milligrams) }
    }
}

impl AddAssign for Weight {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sum for Weight {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}

/// The avoirdupois ounce: a sixteenth of a pound of 453.59237 g (definition).
pub(crate) const GRAMS_IN_AN_OUNCE: f64 = 28.349_523_125;

/// What a person measures lengths in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthUnit {
    /// Centimetres.
    Centimetres,
    /// Inches, 25.4 mm each by definition.
    Inches,
    /// Metres.
    Metres,
    /// Yards, 0.9144 m each by definition.
    Yards,
}

impl LengthUnit {
    /// One of it.
    #[must_use]
    pub const fn one(self) -> Length {
        Length::from_micrometres(match self {
            Self::Centimetres => 10_000,
            Self::Inches => 25_400,
            Self::Metres => 1_000_000,
            Self::Yards => 914_400,
        })
    }

    /// So many of it, rounded to the nearest micrometre.
    #[must_use]
    pub fn times(self, number: f64) -> Length {
        Length::mm(number * self.one().as_mm())
    }

    /// How many of it a length is.
    #[must_use]
    pub fn of(self, length: Length) -> f64 {
        length.as_mm() / self.one().as_mm()
    }

    /// As it is written behind a number.
    #[must_use]
    pub const fn short(self) -> &'static str {
        match self {
            Self::Centimetres => "cm",
            Self::Inches => "in",
            Self::Metres => "m",
            Self::Yards => "yd",
        }
    }
}

/// What a person weighs in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeightUnit {
    /// Grams.
    Grams,
    /// Ounces, 28.349523125 g each by definition.
    Ounces,
}

impl WeightUnit {
    /// So many of it, rounded to the nearest milligram.
    #[must_use]
    pub fn times(self, number: f64) -> Weight {
        Weight::grams(match self {
            Self::Grams => number,
            Self::Ounces => number * GRAMS_IN_AN_OUNCE,
        })
    }

    /// As it is written behind a number.
    #[must_use]
    pub const fn short(self) -> &'static str {
        match self {
            Self::Grams => "g",
            Self::Ounces => "oz",
        }
    }
}

/// A figure with how far off it may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band<T = Length> {
    /// At the low end.
    pub low: T,
    /// What is reckoned with.
    pub likely: T,
    /// At the high end.
    pub high: T,
}

impl<T: Copy> Band<T> {
    /// A figure that is sure.
    pub const fn sure(value: T) -> Self {
        Self { low: value, likely: value, high: value }
    }

    /// Each of the three figures, turned into another.
    pub fn map<U>(self, turn: impl Fn(T) -> U) -> Band<U> {
        Band { low: turn(self.low), likely: turn(self.likely), high: turn(self.high) }
    }
}

impl<T: Copy + Add<Output = T>> Band<T> {
    /// The sum, where both may be off the same way at once.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { low: self.low + other.low, likely: self.likely + other.likely, high: self.high + other.high }
    }
}

/// How heavy a yarn is: a length of it and what that weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grist {
    length: Length,
    weight: Weight,
}

impl Grist {
    /// So much length weighs so much; `None` where either is nothing.
    #[must_use]
    pub fn new(length: Length, weight: Weight) -> Option<Self> {
        (length > Length::ZERO && weight > Weight::ZERO).then_some(Self { length, weight })
    }

    /// As the label of a ball says.
    #[must_use]
    pub fn of_ball(ball: Ball) -> Option<Self> {
        Self::new(ball.length, Weight::from_milligrams(ball.milligrams))
    }

    /// What a length of it weighs, to the nearest milligram.
    #[must_use]
    pub fn weight(&self, length: Length) -> Weight {
        let length = u64::try_from(length.micrometres()).unwrap_or(0);
        let of = self.length.micrometres().unsigned_abs();
        Weight::from_milligrams(scaled(length, self.weight.milligrams, of, of / 2))
    }

    /// How long so much of it is, to the nearest micrometre.
    #[must_use]
    pub fn length(&self, weight: Weight) -> Length {
        let of = self.weight.milligrams;
        let long = scaled(weight.milligrams, self.length.micrometres().unsigned_abs(), of, of / 2);
        Length::from_micrometres(i64::try_from(long).unwrap_or(i64::MAX))
    }

    /// Grams in a kilometre (trade: tex).
    #[must_use]
    pub fn tex(&self) -> f64 {
        self.weight.as_grams() / (self.length.as_metres() / 1e3)
    }
}

/// `(number · times + plus) / of`, rounded down; `of` is not 0.
pub(crate) fn scaled(number: u64, times: u64, of: u64, plus: u64) -> u64 {
    let full = u128::from(number) * u128::from(times) + u128::from(plus);
    u64::try_from(full / u128::from(of)).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the yard is 0.9144 m, the inch 25.4 mm (international agreement of 1959), the pound
    /// 453.59237 g and 16 ounces (definitions).
    #[test]
    fn units_are_as_defined() {
        assert_eq!(LengthUnit::Yards.times(1.0), Length::mm(914.4));
        assert_eq!(LengthUnit::Yards.times(1.0), LengthUnit::Inches.times(36.0));
        assert_eq!(LengthUnit::Inches.times(4.0), LengthUnit::Centimetres.times(10.16));
        assert_eq!(LengthUnit::Metres.times(2.5), Length::mm(2500.0));
        assert!((GRAMS_IN_AN_OUNCE * 16.0 - 453.592_37).abs() < 1e-12);
        assert_eq!(WeightUnit::Ounces.times(16.0).milligrams(), 453_592);
        assert!((Weight::grams(100.0).as_ounces() - 3.527_396).abs() < 1e-6);
    }

    /// Source: tex is grams in a kilometre (definition). 200 m in 100 g are 500 tex.
    #[test]
    fn grist_turns_length_into_weight_and_back() {
        let grist = Grist::new(LengthUnit::Metres.times(200.0), Weight::grams(100.0)).unwrap();
        assert!((grist.tex() - 500.0).abs() < 1e-9);
        assert_eq!(grist.weight(LengthUnit::Metres.times(3.0)), Weight::grams(1.5));
        assert_eq!(grist.length(Weight::grams(1.5)), LengthUnit::Metres.times(3.0));
        assert_eq!(Grist::new(Length::ZERO, Weight::grams(1.0)), None);
    }

    #[test]
    fn nonsense_weighs_nothing() {
        assert_eq!(Weight::grams(f64::NAN), Weight::ZERO);
        assert_eq!(Weight::grams(-3.0), Weight::ZERO);
        assert_eq!(Weight::grams(f64::INFINITY).milligrams(), u64::MAX);
    }
}
