//! Lengths of yarn and fabric.

use core::fmt;
use core::iter::Sum;
use core::ops::{Add, AddAssign, Mul, Sub};

/// A length in whole micrometres.
///
/// Whole numbers, so that the sum over 60,000 stitches is the same everywhere.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length {
    micrometres: i64,
}

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self { micrometres: 0 };

    /// A length of whole micrometres.
    #[must_use]
    pub const fn from_micrometres(micrometres: i64) -> Self {
        Self { micrometres }
    }

    /// A length in millimetres, rounded to the nearest micrometre. `NaN` becomes zero.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // saturates, which is the wanted answer
    pub fn mm(millimetres: f64) -> Self {
        Self { micrometres: libm::round(millimetres * 1e3) as i64 }
    }

    /// A length in centimetres, rounded to the nearest micrometre.
    #[must_use]
    pub fn cm(centimetres: f64) -> Self {
        Self::mm(centimetres * 10.0)
    }

    /// A length in inches (25.4 mm each, by definition), rounded to the nearest micrometre.
    #[must_use]
    pub fn inches(inches: f64) -> Self {
        Self::mm(inches * 25.4)
    }

    /// Whole micrometres.
    #[must_use]
    pub const fn micrometres(self) -> i64 {
        self.micrometres
    }

    /// Millimetres.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // exact up to 9,000 km
    pub fn as_mm(self) -> f64 {
        self.micrometres as f64 / 1e3
    }

    /// Centimetres.
    #[must_use]
    pub fn as_cm(self) -> f64 {
        self.as_mm() / 10.0
    }

    /// Metres.
    #[must_use]
    pub fn as_metres(self) -> f64 {
        self.as_mm() / 1e3
    }

    /// Inches.
    #[must_use]
    pub fn as_inches(self) -> f64 {
        self.as_mm() / 25.4
    }
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.as_mm())
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { micrometres: self.micrometres.saturating_add(other.micrometres) }
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { micrometres: self.micrometres.saturating_sub(other.micrometres) }
    }
}

impl Mul<u64> for Length {
    type Output = Self;
    fn mul(self, times: u64) -> Self {
        let times = i64::try_from(times).unwrap_or(i64::MAX);
        Self { micrometres: self.micrometres.saturating_mul(times) }
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: the inch is 25.4 mm by the international yard agreement of 1959 (definition).
    #[test]
    fn an_inch_is_25_4_millimetres() {
        assert_eq!(Length::inches(1.0), Length::mm(25.4));
        assert_eq!(Length::inches(4.0).micrometres(), 101_600);
        assert!((Length::cm(110.0).as_inches() - 43.307_086_6).abs() < 1e-6);
    }

    #[test]
    fn sums_saturate_instead_of_wrapping() {
        let huge = Length::from_micrometres(i64::MAX);
        assert_eq!(huge + Length::mm(1.0), huge);
        assert_eq!(huge * 3, huge);
    }
}
