//! Costs of work, in thousandths of a stitch.

use core::fmt;
use core::iter::Sum;
use core::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};
use core::str::FromStr;

/// A cost in whole thousandths of the time of one single crochet (`st`).
///
/// Every sum in planning and replaying is made of these, so that two solvers agree to the last
/// digit. A cost may be negative only as a difference between two costs.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Cost {
    thousandths: i64,
}

/// Why a text is no cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CostError {
    /// Not a plain decimal number such as `12` or `0.35`.
    NotANumber,
    /// More than three digits after the point.
    TooFine,
    /// Below zero.
    Negative,
    /// Above [`Cost::MAX_WEIGHT`].
    TooLarge,
}

impl fmt::Display for CostError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NotANumber => "not a plain decimal number such as 12 or 0.35",
            Self::TooFine => "more than three digits after the point",
            Self::Negative => "a weight can't be below zero",
            Self::TooLarge => "a weight can't be above 10000 stitches",
        })
    }
}

impl std::error::Error for CostError {}

impl Cost {
    /// Nothing to pay.
    pub const ZERO: Self = Self { thousandths: 0 };

    /// The largest weight a person may set: 10,000 stitches. Keeps the cost of a million-cell
    /// chart far inside 64 bits.
    pub const MAX_WEIGHT: Self = Self { thousandths: 10_000_000 };

    /// So many thousandths of a stitch.
    #[must_use]
    pub const fn from_thousandths(thousandths: i64) -> Self {
        Self { thousandths }
    }

    /// So many whole stitches.
    #[must_use]
    pub const fn stitches(stitches: i64) -> Self {
        Self { thousandths: stitches * 1000 }
    }

    /// Thousandths of a stitch.
    #[must_use]
    pub const fn thousandths(self) -> i64 {
        self.thousandths
    }

    /// Stitches, for display and for documents; never to decide.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // exact below 9e12 stitches
    pub fn as_stitches(self) -> f64 {
        self.thousandths as f64 / 1000.0
    }
}

impl FromStr for Cost {
    type Err = CostError;

    /// Reads a weight: a plain decimal of stitches with at most three digits after the point.
    fn from_str(text: &str) -> Result<Self, CostError> {
        let text = text.trim();
        if let Some(rest) = text.strip_prefix('-') {
            let number = rest.bytes().all(|b| b.is_ascii_digit() || b == b'.') && !rest.is_empty();
            return Err(if number { CostError::Negative } else { CostError::NotANumber });
        }
        let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
        let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() && fraction.is_empty() || !digits(whole) || !digits(fraction) {
            return Err(CostError::NotANumber);
        }
        let fraction = fraction.trim_end_matches('0');
        if fraction.len() > 3 {
            return Err(CostError::TooFine);
        }
        let whole: i64 = match whole {
            "" => 0,
            digits => digits.parse().map_err(|_| CostError::TooLarge)?,
        };
        let thousandths: i64 = format!("{fraction:0<3}").parse().map_err(|_| CostError::NotANumber)?;
        let total = whole.checked_mul(1000).and_then(|t| t.checked_add(thousandths));
        match total.map(Self::from_thousandths) {
            Some(cost) if cost <= Self::MAX_WEIGHT => Ok(cost),
            _ => Err(CostError::TooLarge),
        }
    }
}

impl fmt::Display for Cost {
    /// Stitches with three digits after the point, as in `12.350`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.thousandths < 0 { "-" } else { "" };
        let size = self.thousandths.unsigned_abs();
        f.pad(&format!("{sign}{}.{:03}", size / 1000, size % 1000))
    }
}

impl fmt::Debug for Cost {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self} st")
    }
}

impl Add for Cost {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { thousandths: self.thousandths.saturating_add(other.thousandths) }
    }
}

impl Sub for Cost {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { thousandths: self.thousandths.saturating_sub(other.thousandths) }
    }
}

impl Neg for Cost {
    type Output = Self;
    fn neg(self) -> Self {
        Self { thousandths: self.thousandths.saturating_neg() }
    }
}

impl AddAssign for Cost {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Cost {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Mul<u32> for Cost {
    type Output = Self;
    fn mul(self, times: u32) -> Self {
        Self { thousandths: self.thousandths.saturating_mul(i64::from(times)) }
    }
}

impl Sum for Cost {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_plain_decimals_up_to_three_digits() {
        assert_eq!("12".parse(), Ok(Cost::stitches(12)));
        assert_eq!("0.35".parse(), Ok(Cost::from_thousandths(350)));
        assert_eq!(".5".parse(), Ok(Cost::from_thousandths(500)));
        assert_eq!("1.2500".parse(), Ok(Cost::from_thousandths(1250)));
        assert_eq!("0".parse(), Ok(Cost::ZERO));
        for (text, error) in [
            ("", CostError::NotANumber),
            (".", CostError::NotANumber),
            ("1e3", CostError::NotANumber),
            ("NaN", CostError::NotANumber),
            ("1,5", CostError::NotANumber),
            ("0.0001", CostError::TooFine),
            ("-1", CostError::Negative),
            ("-x", CostError::NotANumber),
            ("10000.001", CostError::TooLarge),
            ("99999999999999999999", CostError::TooLarge),
        ] {
            assert_eq!(text.parse::<Cost>(), Err(error), "{text}");
        }
    }

    #[test]
    fn shows_three_digits() {
        assert_eq!(Cost::from_thousandths(12_350).to_string(), "12.350");
        assert_eq!(Cost::from_thousandths(-5).to_string(), "-0.005");
    }
}
