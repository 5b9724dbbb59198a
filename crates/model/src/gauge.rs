//! Gauge, and the yarn that a stitch takes.

use core::fmt;

use crate::{Length, WeightCategory};

/// Height of a single crochet over its width, where only stitches were counted.
///
/// Derived from SEEN values: 0.95 from the flat-circle rule of six increases a round (6 ÷ 2π) and
/// 0.92 from a measured swatch of 20 × 20 stitches, 6.25 by 5.75 inches.
pub const ROW_HEIGHT_TO_STITCH_WIDTH: f64 = 0.93;

/// Stitches and rows in 10 cm (trade).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    stitches: f64,
    rows: f64,
    rows_estimated: bool,
}

/// Why two numbers are no gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeError(
    /// The number that is out of bounds.
    pub f64,
);

impl fmt::Display for GaugeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} in 10 cm is no gauge: it must lie between 1 and 100", self.0)
    }
}

impl std::error::Error for GaugeError {}

impl Gauge {
    /// A measured gauge: stitches and rows in 10 cm, 1 to 100 each.
    ///
    /// # Errors
    /// When either number is out of bounds or not a number.
    pub fn new(stitches: f64, rows: f64) -> Result<Self, GaugeError> {
        for number in [stitches, rows] {
            if !(1.0..=100.0).contains(&number) {
                return Err(GaugeError(number));
            }
        }
        Ok(Self { stitches, rows, rows_estimated: false })
    }

    /// A gauge of which only the stitches were counted; the rows are an estimate, see
    /// [`ROW_HEIGHT_TO_STITCH_WIDTH`].
    ///
    /// # Errors
    /// When a number is out of bounds.
    pub fn from_stitches(stitches: f64) -> Result<Self, GaugeError> {
        let gauge = Self::new(stitches, stitches / ROW_HEIGHT_TO_STITCH_WIDTH)?;
        Ok(Self { rows_estimated: true, ..gauge })
    }

    /// A starting point for a yarn of this category: the middle of the standard's range (medium
    /// yarn where the standard gives none).
    #[must_use]
    pub fn usual(category: WeightCategory) -> Self {
        let (low, high) = category.usual_stitches_in_10_cm().unwrap_or((11, 14));
        let stitches = f64::midpoint(f64::from(low), f64::from(high));
        Self { stitches, rows: stitches / ROW_HEIGHT_TO_STITCH_WIDTH, rows_estimated: true }
    }

    /// Stitches in 10 cm.
    #[must_use]
    pub const fn stitches(&self) -> f64 {
        self.stitches
    }

    /// Rows in 10 cm.
    #[must_use]
    pub const fn rows(&self) -> f64 {
        self.rows
    }

    /// Whether the rows were worked out and not counted.
    #[must_use]
    pub const fn rows_estimated(&self) -> bool {
        self.rows_estimated
    }

    /// Width of one stitch.
    #[must_use]
    pub fn stitch_width(&self) -> Length {
        Length::mm(100.0 / self.stitches)
    }

    /// Height of one row.
    #[must_use]
    pub fn row_height(&self) -> Length {
        Length::mm(100.0 / self.rows)
    }

    /// Width of so many stitches, from the gauge itself and not from the rounded stitch width.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // counts are far below 2^52
    pub fn width_of(&self, stitches: usize) -> Length {
        Length::mm(stitches as f64 * 100.0 / self.stitches)
    }

    /// Height of so many rows.
    #[must_use]
    #[allow(clippy::cast_precision_loss)]
    pub fn height_of(&self, rows: usize) -> Length {
        Length::mm(rows as f64 * 100.0 / self.rows)
    }
}

/// How much yarn each thing takes that a strand does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct YarnUse {
    /// One single crochet.
    pub stitch: Length,
    /// One chain, of the foundation or for turning.
    pub chain: Length,
    /// One stitch passed inside other stitches: the width of a stitch.
    pub carried: Length,
    /// One row climbed: the height of a row.
    pub lift: Length,
    /// One tail, at a join or a cut.
    pub tail: Length,
    /// Whether `stitch` was worked out from the gauge and not measured on a swatch.
    pub estimated: bool,
}

impl YarnUse {
    /// Yarn in one single crochet over its own width: what the published measurements support,
    /// within a band of 8 to 11 (SEEN: 31.42 in of yarn per square inch; 2.7 in per stitch; 10.6 in
    /// per inch of one row).
    pub const STITCH_TO_WIDTH: f64 = 9.5;

    /// Yarn in one chain over the width of a stitch (SEEN: 25.5 in of yarn in 5 in of chain).
    pub const CHAIN_TO_WIDTH: f64 = 5.1;

    /// An estimate from the gauge alone; a swatch beats it.
    #[must_use]
    pub fn estimate(gauge: &Gauge) -> Self {
        let width = gauge.stitch_width();
        Self {
            stitch: Length::mm(width.as_mm() * Self::STITCH_TO_WIDTH),
            chain: Length::mm(width.as_mm() * Self::CHAIN_TO_WIDTH),
            carried: width,
            lift: gauge.row_height(),
            // Common practice: leave 15 cm (six inches).
            tail: Length::cm(15.0),
            estimated: true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: Standard Yarn Weight System, crochet columns, medium: 11 to 14 sc in 10 cm (SEEN).
    #[test]
    fn the_usual_gauge_lies_inside_the_standard_range() {
        for number in 1..=7 {
            let category = WeightCategory::new(number).unwrap();
            let (low, high) = category.usual_stitches_in_10_cm().unwrap();
            let gauge = Gauge::usual(category);
            assert!((f64::from(low)..=f64::from(high)).contains(&gauge.stitches()));
            assert!(gauge.rows_estimated());
        }
        assert!((Gauge::usual(WeightCategory::MEDIUM).stitches() - 12.5).abs() < 1e-12);
    }

    /// Source: the industry charity's sheets ask for 18 sc in 4 in of medium yarn, outside the
    /// standard's 11 to 14 (SEEN): such a gauge must be taken.
    #[test]
    fn a_gauge_outside_the_table_is_taken() {
        assert!(Gauge::new(18.0, 19.0).is_ok());
    }

    #[test]
    fn nonsense_is_no_gauge() {
        for number in [0.0, -14.0, f64::NAN, f64::INFINITY, 100.5] {
            assert!(Gauge::new(number, 15.0).is_err(), "{number}");
            assert!(Gauge::new(14.0, number).is_err(), "{number}");
        }
        assert!(Gauge::from_stitches(14.0).unwrap().rows_estimated());
    }

    /// Source: hobby measurement, worsted, 5 mm hook (SEEN): 785.5 in of yarn in 5 × 5 in of single
    /// crochet, about 4 rows an inch. Ours must come within the published band of 8 to 11 widths.
    #[test]
    fn the_estimate_of_yarn_lies_near_a_measured_square() {
        // 31.42 in per square inch; a gauge of 3.55 stitches and 3.8 rows an inch (14 by 15 in 10 cm).
        let gauge = Gauge::new(14.0, 15.0).unwrap();
        let per_square_inch = YarnUse::estimate(&gauge).stitch.as_inches() * 1.4 * 2.54 * 1.5 * 2.54;
        assert!((per_square_inch / 31.42 - 1.0).abs() < 0.25, "{per_square_inch}");
    }
}
