//! The finished piece, as a rectangle counted in stitch widths.

use model::{Gauge, MAX_SIDE};

use crate::BorderError;

/// The most rounds that a border has.
pub const MAX_ROUNDS: usize = 100;

/// The fewest stitches across: two corner stitches and one between them, where the rounds begin.
pub(crate) const MIN_COLUMNS: usize = 3;

/// Thousandths, the unit of heights.
pub(crate) const THOUSAND: i128 = 1000;

/// The finished piece: its stitches, rows and gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    columns: u32,
    rows: u32,
    gauge: Gauge,
    /// Stitches and rows in 100 m, whole, so that counts come out the same everywhere.
    stitches_in_100_m: i128,
    rows_in_100_m: i128,
}

impl Piece {
    /// A piece of so many stitches across and so many rows.
    ///
    /// # Errors
    /// When it has fewer than 3 stitches or no row, is larger than a chart can be, or is made of
    /// stitches more than twice as wide as high or as high as wide.
    pub fn new(columns: usize, rows: usize, gauge: Gauge) -> Result<Self, BorderError> {
        if columns < MIN_COLUMNS || rows == 0 {
            return Err(BorderError::TooSmall { columns, rows });
        }
        let (Ok(columns_u32), Ok(rows_u32)) = (u32::try_from(columns), u32::try_from(rows)) else {
            return Err(BorderError::TooLarge { columns, rows });
        };
        if columns > MAX_SIDE || rows > MAX_SIDE {
            return Err(BorderError::TooLarge { columns, rows });
        }
        // A gauge lies between 1 and 100.
        #[allow(clippy::cast_possible_truncation)]
        let whole = |number: f64| (number * 1e6).round() as i128;
        let piece = Self {
            columns: columns_u32,
            rows: rows_u32,
            gauge,
            stitches_in_100_m: whole(gauge.stitches()),
            rows_in_100_m: whole(gauge.rows()),
        };
        let (height, width) = (piece.stitches_in_100_m, piece.rows_in_100_m);
        if height > 2 * width || width > 2 * height {
            let height_to_width = u64::try_from(nearest(height * 100, width)).unwrap_or(u64::MAX);
            return Err(BorderError::OutOfSquare { height_to_width });
        }
        Ok(piece)
    }

    /// Stitches across.
    #[must_use]
    pub const fn columns(&self) -> u32 {
        self.columns
    }

    /// Rows.
    #[must_use]
    pub const fn rows(&self) -> u32 {
        self.rows
    }

    /// Its gauge, which the border shares.
    #[must_use]
    pub const fn gauge(&self) -> &Gauge {
        &self.gauge
    }

    /// `heights` thousandths of a row's height, in stitch widths: a fraction.
    pub(crate) const fn in_widths(&self, heights: i128) -> (i128, i128) {
        (heights * self.stitches_in_100_m, THOUSAND * self.rows_in_100_m)
    }

    /// Length of the edge `out` thousandths of a row outside the piece, corners square, in stitch
    /// widths, as a whole even number: a border has the same on opposite sides.
    pub(crate) fn even_count(&self, out: i128) -> i64 {
        let (numerator, denominator) = self.in_widths(2 * i128::from(self.rows) * THOUSAND + 8 * out);
        let all = numerator + 2 * i128::from(self.columns) * denominator;
        2 * small(nearest(all, 2 * denominator))
    }
}

/// The whole number nearest to a fraction of positive numbers, halves up.
pub(crate) const fn nearest(numerator: i128, denominator: i128) -> i128 {
    (2 * numerator + denominator).div_euclid(2 * denominator)
}

/// A count that sizes and rounds keep far below what an `i64` holds.
pub(crate) fn small(count: i128) -> i64 {
    i64::try_from(count).expect("sides and rounds are bounded, so counts stay below a million")
}
