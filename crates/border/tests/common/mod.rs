//! What the tests share: a palette of invented yarns, and borders in a line.

#![allow(dead_code)] // each test file uses its part

use border::{Border, Choices, Piece, Round, Stitch, border};
use model::{ColourIndex, Gauge, Palette, Srgb, Yarn};

/// Two invented yarns, A and B.
pub(crate) fn palette() -> Palette {
    let yarn = |key| Yarn::plain(key, key, Srgb::new(0, 0, 0));
    Palette::new(vec![yarn("moss"), yarn("chalk")]).unwrap()
}

pub(crate) fn yarn(at: usize) -> ColourIndex {
    palette().index(at).unwrap()
}

pub(crate) fn rounds(stitches: &[Stitch]) -> Vec<Round> {
    stitches.iter().map(|stitch| Round::new(*stitch, yarn(0))).collect()
}

pub(crate) fn piece(columns: usize, rows: usize, gauge: (f64, f64)) -> Piece {
    Piece::new(columns, rows, Gauge::new(gauge.0, gauge.1).unwrap()).unwrap()
}

/// A border in these stitches around 60 stitches by 60 rows as high as wide.
pub(crate) fn square(stitches: &[Stitch]) -> Border {
    around(&piece(60, 60, (14.0, 14.0)), &rounds(stitches))
}

pub(crate) fn around(piece: &Piece, rounds: &[Round]) -> Border {
    border(piece, rounds, &Choices::default(), &palette()).unwrap()
}
