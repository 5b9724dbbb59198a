//! The rounds of a border, counted.

use core::fmt;
use core::num::{NonZeroU8, NonZeroU32};

use model::{ColourIndex, Hand, Length, Palette};

use crate::BorderError;
use crate::fit::{Fit, fit};
use crate::piece::{MAX_ROUNDS, Piece, nearest, small};
use crate::spread::{Part, spread};
use crate::stitch::{Heights, Stitch};

/// The most stitches that one row end takes (invented; a gauge that is taken needs at most two).
pub(crate) const MAX_PER_ROW_END: u32 = 4;

/// The longest repeat that is taken.
pub(crate) const MAX_REPEAT: u32 = 10_000;

/// How many stitches go into each corner of a round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Corners {
    /// As many as lie flat.
    #[default]
    Fitted,
    /// So many into each, whether or not that lies flat.
    Each(NonZeroU8),
}

/// How many stitches are picked up along the row ends at either side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum AlongSides {
    /// As many as lie flat.
    #[default]
    Fitted,
    /// One for every row end, whether or not that lies flat.
    EveryRowEnd,
    /// So many on each side, whether or not that lies flat.
    Stitches(NonZeroU32),
}

/// A pattern repeat: the stitches of a side are to be a multiple of so many, plus so many.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Repeat {
    multiple: u32,
    plus: u32,
}

impl Repeat {
    /// A multiple of `multiple` stitches plus `plus`.
    ///
    /// # Errors
    /// When the multiple is 0, or either is larger than any side.
    pub const fn new(multiple: u32, plus: u32) -> Result<Self, BorderError> {
        if multiple == 0 || multiple > MAX_REPEAT || plus > MAX_REPEAT {
            return Err(BorderError::NoRepeat { multiple, plus });
        }
        Ok(Self { multiple, plus })
    }

    /// Stitches of one repeat.
    #[must_use]
    pub const fn multiple(&self) -> u32 {
        self.multiple
    }

    /// Stitches more.
    #[must_use]
    pub const fn plus(&self) -> u32 {
        self.plus
    }

    /// The count nearest to `stitches` that holds whole repeats, at least one; the lower of two.
    /// `None` where not even one fits.
    #[must_use]
    pub const fn nearest(&self, stitches: u32) -> Option<u32> {
        if stitches < self.multiple + self.plus {
            return None;
        }
        let over = (stitches - self.plus) % self.multiple;
        Some(if over * 2 <= self.multiple { stitches - over } else { stitches - over + self.multiple })
    }
}

/// One round as wished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Round {
    /// Its stitch.
    pub stitch: Stitch,
    /// Its yarn.
    pub yarn: ColourIndex,
    /// Stitches in the corners.
    pub corners: Corners,
    /// What the stitches that this round leaves between corner stitches are to be a multiple of, on
    /// every side, for a pattern in the next round.
    pub repeat: Option<Repeat>,
}

impl Round {
    /// A round of that stitch that lies flat.
    #[must_use]
    pub const fn new(stitch: Stitch, yarn: ColourIndex) -> Self {
        Self { stitch, yarn, corners: Corners::Fitted, repeat: None }
    }
}

/// What holds for the whole border.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Choices {
    /// The hand that holds the hook.
    pub hand: Hand,
    /// Stitches along the row ends.
    pub along_sides: AlongSides,
    /// Heights of the stitches.
    pub heights: Heights,
}

/// An edge of the piece, its right side facing, its last row on top.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// The last row.
    Top,
    /// The row ends at the left.
    Left,
    /// The foundation.
    Bottom,
    /// The row ends at the right.
    Right,
}

impl Edge {
    /// The edges in the order that a round comes to them.
    #[must_use]
    pub const fn in_order(hand: Hand) -> [Self; 4] {
        match hand {
            Hand::Right => [Self::Top, Self::Left, Self::Bottom, Self::Right],
            Hand::Left => [Self::Top, Self::Right, Self::Bottom, Self::Left],
        }
    }

    /// Whether row ends lie along it.
    #[must_use]
    pub const fn is_side(self) -> bool {
        matches!(self, Self::Left | Self::Right)
    }
}

impl fmt::Display for Edge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Top => "top",
            Self::Left => "left",
            Self::Bottom => "bottom",
            Self::Right => "right",
        })
    }
}

/// Stitches along an edge from corner to corner, those into the corners left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Straight {
    /// Where.
    pub edge: Edge,
    /// Stitches, or in the first round along a side row ends, that they go into.
    pub places: u32,
    /// Stitches made.
    pub stitches: u32,
    /// What goes where.
    pub parts: Vec<Part>,
}

impl Straight {
    fn new(edge: Edge, places: u32, stitches: u32) -> Self {
        Self { edge, places, stitches, parts: spread(places, stitches) }
    }
}

/// The stitches into one corner stitch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Corner {
    /// How many.
    pub stitches: u32,
    /// Which of them, from 1, is the corner stitch of the next round: the middle one. Of an even number
    /// it is now the earlier and now the later of the two in the middle.
    pub middle: u32,
}

impl Corner {
    /// Those before the middle one.
    const fn before(self) -> u32 {
        self.middle - 1
    }

    /// Those after it.
    const fn after(self) -> u32 {
        self.stitches - self.middle
    }
}

/// One round, counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worked {
    /// What was wished.
    pub round: Round,
    /// The yarn's symbol in its palette.
    pub symbol: String,
    /// The four edges in the order of work. The first begins where the round begins, behind the
    /// corner.
    pub edges: [Straight; 4],
    /// The corners, each behind the edge of the same place.
    pub corners: [Corner; 4],
    /// What is left of the first edge, from the last corner to where the round began; in the first
    /// round nothing.
    pub rest: Option<Straight>,
    /// Stitches between the corner stitches of this round, along the edges in the order of work.
    pub between: [u32; 4],
    /// Stitches added to each edge (or, below 0, left out) for the sake of a repeat.
    pub fudged: [i64; 4],
    /// Stitches of the whole round.
    pub stitches: u32,
    /// Stitches more than the round below has; in the first round, more than one for each place
    /// picked up.
    pub growth: i64,
    /// Whether the round lies flat.
    pub fit: Fit,
}

/// A border: its rounds, from the piece outwards.
#[derive(Clone, Debug, PartialEq)]
pub struct Border {
    piece: Piece,
    choices: Choices,
    rounds: Vec<Worked>,
}

impl Border {
    /// The piece that it goes round.
    #[must_use]
    pub const fn piece(&self) -> &Piece {
        &self.piece
    }

    /// What holds for the whole border.
    #[must_use]
    pub const fn choices(&self) -> &Choices {
        &self.choices
    }

    /// The rounds, from the piece outwards; none at all is a border too.
    #[must_use]
    pub fn rounds(&self) -> &[Worked] {
        &self.rounds
    }

    /// Stitches of all rounds.
    #[must_use]
    pub fn stitches(&self) -> u64 {
        self.rounds.iter().map(|round| u64::from(round.stitches)).sum()
    }

    /// How far the border stands out on every side.
    #[must_use]
    pub fn depth(&self) -> Length {
        let out: i64 =
            self.rounds.iter().map(|round| i64::from(self.choices.heights.of(round.round.stitch))).sum();
        Length::from_micrometres(self.piece.gauge().row_height().micrometres() * out / 1000)
    }

    /// Width and height of the piece with its border.
    #[must_use]
    pub fn finished(&self) -> (Length, Length) {
        let gauge = self.piece.gauge();
        let both = self.depth() * 2;
        (
            gauge.width_of(self.piece.columns() as usize) + both,
            gauge.height_of(self.piece.rows() as usize) + both,
        )
    }
}

/// Where the work stands after a round.
struct Edges {
    /// Places from the beginning of the round to the corner, then along the other edges.
    places: [u32; 4],
    /// Places from the last corner back to the beginning.
    rest: u32,
    /// Whether the next corner of an even number has its middle late.
    late: [bool; 4],
    /// Stitches beyond the first that the two pairs of opposite corners have had.
    pairs: [i64; 2],
    /// Stitches along each edge without what the corners added.
    along: [i64; 4],
    /// Stitches of the round, and thousandths of a row that it stands out.
    stitches: i64,
    out: i128,
}

/// The border of a piece: these rounds, from the piece outwards.
///
/// Rounds begin at the top edge, in the stitch behind the first corner. The yarns are those of
/// `palette`.
///
/// # Errors
/// When there are too many rounds, the piece is too low for them, a repeat is wider than a side, or
/// more stitches are asked for along a side than it can take.
pub fn border(
    piece: &Piece,
    rounds: &[Round],
    choices: &Choices,
    palette: &Palette,
) -> Result<Border, BorderError> {
    if rounds.len() > MAX_ROUNDS {
        return Err(BorderError::TooManyRounds(rounds.len()));
    }
    let mut worked: Vec<Worked> = Vec::with_capacity(rounds.len());
    let mut edges: Option<Edges> = None;
    for (at, round) in rounds.iter().enumerate() {
        let symbol = palette.symbol(round.yarn);
        let (now, after) = match &edges {
            None => first(piece, round, choices, symbol)?,
            Some(below) => next(piece, round, choices, symbol, below, at + 1)?,
        };
        worked.push(now);
        edges = Some(after);
    }
    Ok(Border { piece: *piece, choices: *choices, rounds: worked })
}

/// The round that picks up the edge: the same number in all four corners, the nearest whole one;
/// the sides take up what that is off.
fn first(
    piece: &Piece,
    round: &Round,
    choices: &Choices,
    symbol: String,
) -> Result<(Worked, Edges), BorderError> {
    let out = i128::from(choices.heights.of(round.stitch));
    let (growth, whole) = piece.in_widths(2 * out);
    let extra = small(nearest(growth, whole));
    let columns = i64::from(piece.columns());
    let fitted = (piece.even_count(out) - 2 * columns - 4 * extra) / 2;
    let side = match choices.along_sides {
        AlongSides::Fitted => match u32::try_from(fitted) {
            Ok(side) if side > 0 => side,
            _ => {
                let (columns, rows) = (piece.columns() as usize, piece.rows() as usize);
                return Err(BorderError::TooSmall { columns, rows });
            }
        },
        AlongSides::EveryRowEnd => piece.rows(),
        AlongSides::Stitches(stitches) => {
            let (stitches, row_ends) = (stitches.get(), piece.rows());
            if stitches > MAX_PER_ROW_END * row_ends {
                return Err(BorderError::TooManyAlongSides { stitches, row_ends });
            }
            stitches
        }
    };
    let across = piece.columns() - 2;
    let below = Edges {
        places: [across, piece.rows(), across, piece.rows()],
        rest: 0,
        late: [false; 4],
        pairs: [0; 2],
        along: [columns, i64::from(side), columns, i64::from(side)],
        stitches: 2 * (columns + i64::from(side)),
        out: 0,
    };
    finish(piece, round, choices, symbol, &below, 1, [across, side, across, side], [extra; 2])
}

/// A round on another: straight on along the edges, and the growth goes into the corners.
fn next(
    piece: &Piece,
    round: &Round,
    choices: &Choices,
    symbol: String,
    below: &Edges,
    number: usize,
) -> Result<(Worked, Edges), BorderError> {
    let out = below.out + i128::from(choices.heights.of(round.stitch));
    // Half the growth goes into each pair of corners that lie side by side, one of either diagonal;
    // the diagonal that has had less so far gets an odd one.
    let half = (piece.even_count(out) - piece.even_count(below.out)) / 2;
    let first_is_due = below.pairs[0] <= below.pairs[1];
    let extra = if first_is_due { [half - half / 2, half / 2] } else { [half / 2, half - half / 2] };
    finish(piece, round, choices, symbol, below, number, below.places, extra)
}

/// The round that makes `stitches` along the edges, before a repeat changes them, and `extra` more
/// than one in each corner of either diagonal, unless the person has said how many.
#[allow(clippy::too_many_arguments)] // the two kinds of rounds meet here and nowhere else
fn finish(
    piece: &Piece,
    round: &Round,
    choices: &Choices,
    symbol: String,
    below: &Edges,
    number: usize,
    mut stitches: [u32; 4],
    extra: [i64; 2],
) -> Result<(Worked, Edges), BorderError> {
    let extra = match round.corners {
        Corners::Fitted => extra,
        Corners::Each(each) => [i64::from(each.get()) - 1; 2],
    };
    let mut late = below.late;
    let corners: [Corner; 4] = core::array::from_fn(|at| {
        let stitches = u32::try_from(extra[at % 2]).expect("rounds only grow outwards") + 1;
        let even = stitches.is_multiple_of(2);
        let middle = if even && late[at] { stitches / 2 + 1 } else { stitches.div_ceil(2) };
        late[at] ^= even;
        Corner { stitches, middle }
    });
    let order = Edge::in_order(choices.hand);
    let mut between: [u32; 4] = core::array::from_fn(|at| {
        let rest = if at == 0 { below.rest } else { 0 };
        corners[(at + 3) % 4].after() + stitches[at] + rest + corners[at].before()
    });
    let mut fudged = [0; 4];
    if let Some(repeat) = round.repeat {
        for at in 0..4 {
            let too_wide = BorderError::RepeatTooWide {
                round: number,
                edge: order[at],
                wanted: repeat.multiple + repeat.plus,
                stitches: between[at],
            };
            let wanted = repeat.nearest(between[at]).ok_or(too_wide)?;
            fudged[at] = i64::from(wanted) - i64::from(between[at]);
            let changed = i64::from(stitches[at]) + fudged[at];
            // No more than half the stitches are left out, so the round can begin with one.
            if below.places[at] == 0 || changed < 1 || 2 * changed < i64::from(stitches[at]) {
                return Err(too_wide);
            }
            stitches[at] = u32::try_from(changed).map_err(|_| too_wide)?;
            between[at] = wanted;
        }
    }
    let along: [i64; 4] = core::array::from_fn(|at| below.along[at] + fudged[at]);
    let pairs = [below.pairs[0] + extra[0], below.pairs[1] + extra[1]];
    let out = below.out + i128::from(choices.heights.of(round.stitch));
    let all: u32 = between.iter().sum::<u32>() + 4;
    let edges = core::array::from_fn(|at| Straight::new(order[at], below.places[at], stitches[at]));
    let worked = Worked {
        round: *round,
        symbol,
        edges,
        corners,
        rest: (below.rest > 0).then(|| Straight::new(order[0], below.rest, below.rest)),
        between,
        fudged,
        stitches: all,
        growth: i64::from(all) - below.stitches,
        fit: fit(piece, out, along, 2 * (pairs[0] + pairs[1])),
    };
    let rest = below.rest + corners[3].after();
    let places = [between[0] - rest, between[1], between[2], between[3]];
    Ok((worked, Edges { places, rest, late, pairs, along, stitches: i64::from(all), out }))
}
