//! Whether a round lies flat, and if not, where and by how much.

use model::Length;

use crate::piece::{Piece, nearest, small};

/// Stitches that an edge may be off before it is said not to lie flat, in hundredths: a fitted
/// round is off by as much where the corners come to no whole number.
const EDGE_SLACK: i64 = 150;
/// The same in hundredths of what it needs (invented: more than a swatch of forty rows is misread by,
/// less than the seven that one stitch for every row end is off at a usual gauge).
const EDGE_SLACK_SHARE: i64 = 4;
/// Stitches that a corner may have too many, in hundredths.
const CORNER_SLACK: i64 = 100;
/// Stitches that a corner may lack of a round one, in hundredths.
const CORNER_LACK: i64 = 60;
/// The same in hundredths of what it needs: sources differ by about as much in how high a stitch
/// is (DERIVED: 0.92 to 1.0 times its width for sc, 2.4 to 3 for tr).
const CORNER_SLACK_SHARE: i64 = 10;

/// How a part of a border lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lie {
    /// Flat.
    Flat,
    /// In waves: it has more stitches than it has room for.
    Ruffles,
    /// Drawn in, so that the piece bulges or its corners curl: it has too few stitches.
    Cups,
}

/// A part of a round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// An edge, in the order of work from 0.
    Edge(usize),
    /// The corners.
    Corners,
}

/// Stitches against what there is room for, in hundredths of a stitch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measure {
    /// Stitches there are.
    pub has: i64,
    /// The fewest that lie flat.
    pub least: i64,
    /// The most that lie flat.
    pub most: i64,
    /// How it lies, some slack allowed.
    pub lie: Lie,
}

impl Measure {
    fn new(has: i64, (least, most): (i64, i64), (lack, slack): (i64, i64), share: i64) -> Self {
        let lie = if has > most + slack.max(most * share / 100) {
            Lie::Ruffles
        } else if has < least - lack.max(least * share / 100) {
            Lie::Cups
        } else {
            Lie::Flat
        };
        Self { has, least, most, lie }
    }

    /// Hundredths of a stitch beyond the most (above 0) or short of the least (below 0).
    #[must_use]
    pub const fn off(&self) -> i64 {
        if self.has > self.most {
            self.has - self.most
        } else if self.has < self.least {
            self.has - self.least
        } else {
            0
        }
    }
}

/// A round's length against the edge that it has to cover.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fit {
    /// The round's own length: its stitches, each as wide as a stitch of the piece.
    pub length: Length,
    /// The round's outer edge, corners square.
    pub perimeter: Length,
    /// The same with its corners rounded, each a quarter of a circle: the shortest edge that lies
    /// flat.
    pub rounded: Length,
    /// Each edge in the order of work, without what the corners have added.
    pub edges: [Measure; 4],
    /// What one corner has added in all rounds so far, on average of the four: from a round corner
    /// at the least to a square one at the most.
    pub corners: Measure,
}

impl Fit {
    /// The part of the length that there is too much of (or, below 0, too little), against a square
    /// edge: 0.02 is 2 %.
    #[must_use]
    pub fn excess(&self) -> f64 {
        self.length.as_mm() / self.perimeter.as_mm() - 1.0
    }

    /// The parts that do not lie flat.
    pub fn faults(&self) -> impl Iterator<Item = (Part, Measure)> + '_ {
        let edges = self.edges.iter().enumerate().map(|(at, edge)| (Part::Edge(at), *edge));
        edges.chain([(Part::Corners, self.corners)]).filter(|(_, measure)| measure.lie != Lie::Flat)
    }

    /// How the round lies: as the part that is furthest off for its size.
    #[must_use]
    pub fn lie(&self) -> Lie {
        let share = |measure: &Measure| measure.off().abs() * 1000 / measure.most.max(1);
        self.faults().map(|(_, measure)| measure).max_by_key(share).map_or(Lie::Flat, |worst| worst.lie)
    }
}

/// Measures a round that stands `out` thousandths of a row outside the piece: stitches `along` each
/// edge, and what all four corners have added to them so far.
pub(crate) fn fit(piece: &Piece, out: i128, along: [i64; 4], corners: i64) -> Fit {
    let hundredths = |heights: i128| {
        let (numerator, denominator) = piece.in_widths(heights);
        small(nearest(100 * numerator, denominator))
    };
    let across = 100 * i64::from(piece.columns());
    let up = hundredths(1000 * i128::from(piece.rows()));
    let edges = core::array::from_fn(|at| {
        let room = if at % 2 == 0 { across } else { up };
        Measure::new(100 * along[at], (room, room), (EDGE_SLACK, EDGE_SLACK), EDGE_SLACK_SHARE)
    });
    let square = hundredths(2 * out);
    // A quarter of a circle is π/4 of two sides of the square around it; 355/113 is π to six
    // places.
    let round = small(nearest(i128::from(square) * 355, 4 * 113));
    let corner = Measure::new(25 * corners, (round, square), (CORNER_LACK, CORNER_SLACK), CORNER_SLACK_SHARE);
    let gauge = piece.gauge();
    let edge = (gauge.width_of(piece.columns() as usize) + gauge.height_of(piece.rows() as usize)) * 2;
    let row = i128::from(gauge.row_height().micrometres());
    let corner_length = |numerator: i128, denominator: i128| {
        Length::from_micrometres(small(nearest(row * out * numerator, 1000 * denominator)))
    };
    let stitches = along.iter().sum::<i64>() + corners;
    Fit {
        length: gauge.width_of(usize::try_from(stitches).unwrap_or(0)),
        perimeter: edge + corner_length(8, 1),
        rounded: edge + corner_length(2 * 355, 113),
        edges,
        corners: corner,
    }
}
