//! How many stitches and rows a piece has.

use core::fmt;

use model::{Gauge, Length, MAX_SIDE};

use crate::Noted;

/// The most stitches a chart may have in all (chosen for this project: forty times a large blanket).
pub const MAX_STITCHES: usize = 4_000_000;

/// Beyond this a size is taken, but remarked upon: hardly anybody works a piece that long.
const REMARKABLE: Length = Length::from_micrometres(4_000_000);

/// How wide or high something is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// Measured on the finished piece.
    Length(Length),
    /// Counted: stitches across, rows upwards.
    Stitches(u32),
}

/// The size wanted of the whole piece, its frame included. Where only one side is given, the other
/// follows from the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Wanted {
    /// Across.
    pub width: Option<Extent>,
    /// Upwards.
    pub height: Option<Extent>,
}

/// The size of a piece, its frame included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// Stitches in a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
}

/// A side of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// Counted in stitches.
    Width,
    /// Counted in rows.
    Height,
}

impl Across {
    const fn side(self) -> &'static str {
        match self {
            Self::Width => "width",
            Self::Height => "height",
        }
    }

    const fn unit(self) -> &'static str {
        match self {
            Self::Width => "stitches",
            Self::Height => "rows",
        }
    }
}

/// Why no piece can have that size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeError {
    /// Neither width nor height.
    NotGiven,
    /// A length of zero or below.
    Nothing(Across, Length),
    /// Fewer than two stitches or rows.
    TooSmall(Across, u64),
    /// More than [`MAX_SIDE`] stitches or rows.
    TooLarge(Across, u64),
    /// More than [`MAX_STITCHES`] in all.
    TooMany(Size),
    /// The frame leaves fewer than two stitches or rows of the picture.
    Frame {
        /// The side where it is so.
        across: Across,
        /// Stitches or rows of the whole.
        whole: usize,
        /// Stitches of the frame at each edge.
        frame: u32,
    },
}

impl fmt::Display for SizeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotGiven => f.write_str("no size is given"),
            Self::Nothing(across, length) => {
                write!(f, "a {} of {} cm is none, it must be above 0", across.side(), length.as_cm())
            }
            Self::TooSmall(across, count) => {
                write!(f, "the {} comes to {count}, the least is 2 {}", across.side(), across.unit())
            }
            Self::TooLarge(across, count) => {
                write!(f, "the {} comes to {count} {}, the most is {MAX_SIDE}", across.side(), across.unit())
            }
            Self::TooMany(Size { columns, rows }) => write!(
                f,
                "{columns} stitches by {rows} rows are {} stitches, the most is {MAX_STITCHES}",
                columns * rows
            ),
            Self::Frame { across, whole, frame } => {
                write!(f, "a frame of {frame} at each edge leaves no picture in {whole} {}", across.unit())
            }
        }
    }
}

impl std::error::Error for SizeError {}

impl SizeError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::NotGiven => "give the width or the height of the finished piece, in cm, inches or stitches",
            Self::Nothing(..) | Self::TooSmall(..) => "give a larger size, or check the unit and the gauge",
            Self::TooLarge(..) | Self::TooMany(_) => "give a smaller size, or check the unit and the gauge",
            Self::Frame { .. } => "make the frame narrower or the piece larger",
        }
    }
}

/// The size of a piece that shows a picture of `picture_width` by `picture_height` (only their
/// proportions count) inside a frame of `frame` stitches and rows at each edge. The *finished*
/// proportions follow the picture: stitches are wider than high, so there are more rows than the
/// picture's proportions alone would give.
///
/// Where both sides are given they are taken as they are; the picture must then be cut, see
/// [`crate::Area::cut_to`].
///
/// # Errors
/// When no side is given, or one is out of bounds.
pub fn size(
    picture_width: f64,
    picture_height: f64,
    gauge: &Gauge,
    wanted: Wanted,
    frame: u32,
) -> Result<Noted<Size>, SizeError> {
    let across = wanted.width.map(|extent| count(Across::Width, extent, gauge.stitches())).transpose()?;
    let up = wanted.height.map(|extent| count(Across::Height, extent, gauge.rows())).transpose()?;
    let border = 2 * u64::from(frame);
    // Rows to one stitch of a square on the finished piece.
    let rows_to_stitch = gauge.rows() / gauge.stitches();
    let (columns, rows) = match (across, up) {
        (None, None) => return Err(SizeError::NotGiven),
        (Some(columns), Some(rows)) => (columns, rows),
        (Some(columns), None) => {
            let inside = inside(Across::Width, columns, frame)?;
            (columns, whole(inside * rows_to_stitch * picture_height / picture_width).saturating_add(border))
        }
        (None, Some(rows)) => {
            let inside = inside(Across::Height, rows, frame)?;
            (whole(inside / rows_to_stitch * picture_width / picture_height).saturating_add(border), rows)
        }
    };
    let columns = bounded(Across::Width, columns)?;
    let rows = bounded(Across::Height, rows)?;
    let size = Size { columns, rows };
    if columns * rows > MAX_STITCHES {
        return Err(SizeError::TooMany(size));
    }
    inside(Across::Width, columns as u64, frame)?;
    inside(Across::Height, rows as u64, frame)?;
    let mut notes = Vec::new();
    for (across, length) in
        [(Across::Width, gauge.width_of(columns)), (Across::Height, gauge.height_of(rows))]
    {
        if length > REMARKABLE {
            notes.push(format!(
                "the piece is {:.0} cm in {}, far more than a blanket: check the size and the gauge",
                length.as_cm(),
                across.side()
            ));
        }
    }
    Ok(Noted { value: size, notes })
}

/// Stitches or rows of an extent, at so many in 10 cm.
fn count(across: Across, extent: Extent, in_10_cm: f64) -> Result<u64, SizeError> {
    let count = match extent {
        Extent::Stitches(count) => u64::from(count),
        Extent::Length(length) if length <= Length::ZERO => return Err(SizeError::Nothing(across, length)),
        Extent::Length(length) => whole(length.as_mm() / 100.0 * in_10_cm),
    };
    bounded(across, count).map(|count| count as u64)
}

fn bounded(across: Across, count: u64) -> Result<usize, SizeError> {
    match usize::try_from(count) {
        Ok(0 | 1) => Err(SizeError::TooSmall(across, count)),
        Ok(fits) if fits <= MAX_SIDE => Ok(fits),
        _ => Err(SizeError::TooLarge(across, count)),
    }
}

/// What the frame leaves of a side.
#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // bounded before
fn inside(across: Across, count: u64, frame: u32) -> Result<f64, SizeError> {
    match count.checked_sub(2 * u64::from(frame)) {
        Some(left) if left >= 2 => Ok(left as f64),
        _ => Err(SizeError::Frame { across, whole: count as usize, frame }),
    }
}

/// The nearest whole number; saturates, and is 0 for what is no number.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn whole(count: f64) -> u64 {
    libm::round(count) as u64
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn gauge() -> Gauge {
        Gauge::from_stitches(12.5).unwrap()
    }

    fn wide(extent: Extent) -> Wanted {
        Wanted { width: Some(extent), height: None }
    }

    fn cm(length: f64) -> Extent {
        Extent::Length(Length::cm(length))
    }

    /// By hand: 110 cm at 12.5 stitches in 10 cm are 137.5, so 138; 138 stitches are 110.4 cm; a
    /// picture of 4 by 5 is then 138 cm high, at 13.44 rows in 10 cm 185.48 rows.
    #[test]
    fn the_height_follows_the_picture() {
        let got = size(1200.0, 1500.0, &gauge(), wide(cm(110.0)), 0).unwrap();
        assert_eq!(got, Noted::plain(Size { columns: 138, rows: 185 }));
        let got =
            size(1200.0, 1500.0, &gauge(), Wanted { width: None, height: Some(Extent::Stitches(185)) }, 0);
        assert_eq!(got.unwrap().value, Size { columns: 138, rows: 185 });
    }

    /// By hand: without the frame 130 stitches by 130 · (5 / 4) / 0.93 = 174.7 rows; with it 8 more.
    #[test]
    fn the_frame_lies_inside_the_wanted_size() {
        let got = size(1200.0, 1500.0, &gauge(), wide(Extent::Stitches(138)), 4).unwrap();
        assert_eq!(got.value, Size { columns: 138, rows: 183 });
    }

    #[test]
    fn sizes_out_of_bounds_are_refused_with_the_bound() {
        let at = |wanted| size(100.0, 100.0, &gauge(), wanted, 0).map(|noted| noted.value);
        assert_eq!(at(Wanted::default()), Err(SizeError::NotGiven));
        assert_eq!(at(wide(cm(0.0))), Err(SizeError::Nothing(Across::Width, Length::ZERO)));
        assert!(matches!(at(wide(cm(-3.0))), Err(SizeError::Nothing(..))));
        assert_eq!(at(wide(cm(1.0))), Err(SizeError::TooSmall(Across::Width, 1)));
        assert_eq!(at(wide(Extent::Stitches(0))), Err(SizeError::TooSmall(Across::Width, 0)));
        assert_eq!(at(wide(Extent::Stitches(10_001))), Err(SizeError::TooLarge(Across::Width, 10_001)));
        assert!(matches!(at(wide(cm(1e12))), Err(SizeError::TooLarge(..))));
        assert!(matches!(at(wide(Extent::Stitches(5_000))), Err(SizeError::TooMany(_))));
        assert!(at(wide(Extent::Stitches(10_001))).unwrap_err().to_string().contains("10000"));
        // A thin strip: its other side comes to nothing.
        let strip = size(9000.0, 1.0, &gauge(), wide(Extent::Stitches(100)), 0);
        assert_eq!(strip, Err(SizeError::TooSmall(Across::Height, 0)));
        let framed = size(100.0, 100.0, &gauge(), wide(Extent::Stitches(9)), 4);
        assert_eq!(framed, Err(SizeError::Frame { across: Across::Width, whole: 9, frame: 4 }));
        let framed = size(100.0, 100.0, &gauge(), wide(Extent::Stitches(9)), u32::MAX);
        assert!(matches!(framed, Err(SizeError::Frame { .. })));
    }

    #[test]
    fn a_giant_is_noted() {
        let got = size(100.0, 50.0, &gauge(), wide(cm(500.0)), 0).unwrap();
        assert_eq!(got.notes.len(), 1);
        assert!(got.notes[0].contains("500 cm in width"), "{:?}", got.notes);
    }

    proptest! {
        /// The law: finished height over finished width is the picture's, to half a row.
        #[test]
        fn proportions_follow_the_gauge(
            w in 1u32..5000, h in 1u32..5000, stitches in 5.0f64..30.0, ratio in 0.6f64..1.6,
            columns in 2u32..600, frame in 0u32..8,
        ) {
            let gauge = Gauge::new(stitches, stitches * ratio).unwrap();
            let (w, h) = (f64::from(w), f64::from(h));
            if let Ok(Noted { value, .. }) = size(w, h, &gauge, wide(Extent::Stitches(columns)), frame) {
                prop_assert_eq!(value.columns, columns as usize);
                let edge = 2 * frame as usize;
                let width = gauge.width_of(value.columns - edge).as_mm();
                let height = gauge.height_of(value.rows - edge).as_mm();
                prop_assert!((height - width * h / w).abs() <= gauge.row_height().as_mm() / 2.0 + 0.01);
            }
        }
    }
}
