//! The border of a blanket: its rounds laid on the edge of the chart, and what it looks like.

use border::{
    Border, BorderError, BorderInWords, Choices, Corners, Fit, Lie, Pace, Part, Piece, Round, Straight,
    Terms, Worked, border, border_in_words, hours, says, words,
};
use model::{ColourIndex, Gauge, Hand, Length, Palette, Yarn, YarnUse};
use pattern::{Band, BorderYarn};

use super::given::{BorderWish, Making, RoundWish};
use super::kept::Kept;
use crate::{PaletteEntry, Revision};

/// Places along an edge that are drawn on either side of a corner.
const DRAWN: usize = 60;

/// The border of a blanket.
#[derive(Clone, Debug, PartialEq)]
pub struct BorderTold {
    /// The revision it is of.
    pub revision: Revision,
    /// As it is wished.
    pub wish: BorderWish,
    /// The yarns that it may have: those of the blanket, then those that have left it.
    pub palette: Vec<PaletteEntry>,
    /// How many of them are the blanket's.
    pub of_blanket: usize,
    /// Stitches across the blanket.
    pub columns: usize,
    /// Its rows.
    pub rows: usize,
    /// The gauge that it is reckoned with.
    pub gauge: Gauge,
    /// Hand that holds the hook.
    pub hand: Hand,
    /// The border; none where it can't be.
    pub laid: Option<Laid>,
    /// Why it can't be: what, and what to do.
    pub fault: Option<(String, String)>,
    /// The round that it fails at, from 0, where it is a single one.
    pub fault_at: Option<usize>,
    /// What the person should know.
    pub notes: Vec<String>,
}

/// A border that can be worked.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Round by round, from the blanket outwards.
    pub rounds: Vec<RoundTold>,
    /// Whether it lies flat, sentence by sentence.
    pub says: Vec<String>,
    /// Where to pick up along the row ends, in the first round.
    pub pick_up: Vec<String>,
    /// All of it in words.
    pub words: String,
    /// How far it stands out.
    pub depth: Length,
    /// Width and height of the blanket with it.
    pub size: (Length, Length),
    /// Stitches of all rounds.
    pub stitches: u64,
    /// Yarn by yarn.
    pub yarns: Vec<YarnOfBorder>,
    /// Hours for the stitches, and for joining, cutting and weaving in.
    pub hours: (f64, f64),
}

/// A round, counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoundTold {
    /// Its stitch, in one word and in full, in the person's terms.
    pub stitch: (&'static str, &'static str),
    /// Its yarn's place in the palette.
    pub yarn: usize,
    /// Its stitches.
    pub stitches: u32,
    /// How many more than the round below.
    pub growth: i64,
    /// Stitches in each corner, in the order of work.
    pub corners: [u32; 4],
    /// Stitches between the corner stitches, in the order of work.
    pub between: [u32; 4],
    /// The edges' names, in the order of work.
    pub edges: [String; 4],
    /// Stitches more or fewer for the sake of a repeat.
    pub fudged: [i64; 4],
    /// How it lies.
    pub lie: Lie,
    /// How high it stands.
    pub height: Length,
    /// What its first corner looks like.
    pub drawn: RoundDrawn,
}

/// A round around its first corner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoundDrawn {
    /// Stitches into each of the last places of the edge before the corner.
    pub before: Vec<u32>,
    /// Stitches into the corner.
    pub corner: u32,
    /// Which of them, from 1, is the next round's corner stitch.
    pub middle: u32,
    /// Stitches into each of the first places of the edge behind the corner.
    pub after: Vec<u32>,
    /// All places of the two edges, and stitches in them.
    pub along: [(u32, u32); 2],
}

/// What one yarn does in the border.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct YarnOfBorder {
    /// Its place in the palette.
    pub yarn: usize,
    /// Rounds of it.
    pub rounds: usize,
    /// Stitches of it.
    pub stitches: u64,
    /// Times that it is joined.
    pub joins: u64,
    /// Its length.
    pub length: Band,
}

/// A border as it is reckoned with.
pub(crate) struct Edge {
    /// The blanket's palette, with the border's own yarns behind it.
    pub(crate) palette: Palette,
    pub(crate) border: Result<Border, Fault>,
    pub(crate) notes: Vec<String>,
}

/// Why there is no border.
pub(crate) struct Fault {
    what: String,
    hint: String,
    at: Option<usize>,
}

impl From<BorderError> for Fault {
    fn from(error: BorderError) -> Self {
        let at = match error {
            BorderError::RepeatTooWide { round, .. } => round.checked_sub(1),
            _ => None,
        };
        Self { what: error.to_string(), hint: error.hint(), at }
    }
}

impl Edge {
    pub(super) fn new(kept: &Kept, chart: &model::Chart, gauge: Gauge, hand: Hand) -> Self {
        let mut notes = Vec::new();
        let wish = &kept.making.border;
        let palette = palette(kept, chart.palette(), &mut notes);
        let rounds: Result<Vec<Round>, Fault> =
            (0..).zip(&wish.rounds).map(|(at, wished)| round(&palette, at, wished)).collect();
        let choices = Choices { hand, along_sides: wish.along_sides, heights: wish.heights };
        let border = rounds.and_then(|rounds| {
            let piece = Piece::new(chart.columns(), chart.rows(), gauge)?;
            Ok(border(&piece, &rounds, &choices, &palette)?)
        });
        // Without rounds no blanket is too small.
        let border = match border {
            Err(_) if wish.rounds.is_empty() => {
                Err(Fault { what: String::new(), hint: String::new(), at: None })
            }
            other => other,
        };
        Self { palette, border, notes }
    }

    /// The border, where there is one to work.
    pub(crate) fn worked(&self) -> Option<&Border> {
        self.border.as_ref().ok().filter(|border| !border.rounds().is_empty())
    }

    /// The yarn it takes, for the amounts.
    pub(super) fn yarn(&self, yarn_use: &YarnUse) -> Option<BorderYarn> {
        let takes = border::amounts(self.worked()?, yarn_use);
        let takes = takes.iter().map(|amount| (amount.yarn, band(amount.length))).collect();
        Some(BorderYarn { palette: self.palette.clone(), takes })
    }

    /// Hours for the stitches and for the ends.
    pub(crate) fn hours(&self, pace: &pattern::Pace) -> (f64, f64) {
        let pace = Pace { stitch: pace.stitch, end: pace.weave };
        self.worked().map_or((0.0, 0.0), |border| {
            let hours = hours(border, &pace);
            (hours.stitches, hours.ends)
        })
    }

    pub(super) fn laid(&self, yarn_use: &YarnUse, pace: &pattern::Pace, terms: Terms) -> Option<Laid> {
        let border = self.worked()?;
        let order = border::Edge::in_order(border.choices().hand);
        Some(Laid {
            rounds: border.rounds().iter().map(|round| told(round, border, terms)).collect(),
            says: says(border, terms),
            pick_up: pick_up(&border_in_words(border, terms), order),
            words: words(border, terms),
            depth: border.depth(),
            size: border.finished(),
            stitches: border.stitches(),
            yarns: border::amounts(border, yarn_use)
                .into_iter()
                .map(|amount| YarnOfBorder {
                    yarn: amount.yarn.index(),
                    rounds: amount.rounds,
                    stitches: amount.stitches,
                    joins: amount.joins,
                    length: band(amount.length),
                })
                .collect(),
            hours: self.hours(pace),
        })
    }

    /// What is wrong with it, what to do, and at which round.
    pub(super) fn fault(&self) -> Option<(&str, &str, Option<usize>)> {
        let fault = self.border.as_ref().err().filter(|fault| !fault.what.is_empty())?;
        Some((&fault.what, &fault.hint, fault.at))
    }
}

const fn band(length: border::Band) -> Band {
    Band { low: length.low, likely: length.likely, high: length.high }
}

/// The blanket's palette, and behind it the yarns of the border that have left it.
fn palette(kept: &Kept, own: &Palette, notes: &mut Vec<String>) -> Palette {
    let mut yarns: Vec<Yarn> = own.yarns().to_vec();
    for yarn in &kept.yarns {
        let wanted = kept.making.border.rounds.iter().any(|round| round.yarn == yarn.key);
        if wanted && own.by_key(&yarn.key).is_none() {
            notes.push(format!(
                "{} is no yarn of this blanket any more; the border keeps it until you choose another",
                yarn.called()
            ));
            yarns.push(yarn.clone());
        }
    }
    Palette::new(yarns).unwrap_or_else(|error| {
        notes.push(error.to_string());
        own.clone()
    })
}

fn round(palette: &Palette, at: usize, wished: &RoundWish) -> Result<Round, Fault> {
    let RoundWish { stitch, yarn, corners, repeat } = wished;
    let yarn = palette.by_key(yarn).ok_or_else(|| Fault {
        what: format!("round {} is in a yarn {yarn:?} that is not there", at + 1),
        hint: "choose one of the blanket's yarns for it".to_owned(),
        at: Some(at),
    })?;
    let corners = corners.map_or(Corners::Fitted, Corners::Each);
    Ok(Round { stitch: *stitch, yarn, corners, repeat: *repeat })
}

fn told(round: &Worked, border: &Border, terms: Terms) -> RoundTold {
    let stitch = round.round.stitch;
    let height = i64::from(border.choices().heights.of(stitch));
    let row = border.piece().gauge().row_height().micrometres();
    RoundTold {
        stitch: (terms.short(stitch), terms.full(stitch)),
        yarn: ColourIndex::index(round.round.yarn),
        stitches: round.stitches,
        growth: round.growth,
        corners: round.corners.map(|corner| corner.stitches),
        between: round.between,
        edges: [0, 1, 2, 3].map(|at| round.edges[at].edge.to_string()),
        fudged: round.fudged,
        lie: Fit::lie(&round.fit),
        height: Length::from_micrometres(row * height / 1000),
        drawn: drawn(round),
    }
}

fn drawn(round: &Worked) -> RoundDrawn {
    let [first, second, ..] = &round.edges;
    let mut before = Vec::new();
    expand(&first.parts, &mut before);
    let before = before.split_off(before.len().saturating_sub(DRAWN));
    let mut after = Vec::new();
    expand(&second.parts, &mut after);
    after.truncate(DRAWN);
    let along = |edge: &Straight| (edge.places, edge.stitches);
    let corner = round.corners[0];
    RoundDrawn {
        before,
        corner: corner.stitches,
        middle: corner.middle,
        after,
        along: [along(first), along(second)],
    }
}

/// Stitches into every single place.
fn expand(parts: &[Part], into: &mut Vec<u32>) {
    for part in parts {
        match part {
            Part::Run { places, each } => into.extend((0..*places).map(|_| *each)),
            Part::Repeat { times, parts } => (0..*times).for_each(|_| expand(parts, into)),
        }
    }
}

/// The lines of round 1 that go along row ends, as the words have them.
fn pick_up(told: &BorderInWords, order: [border::Edge; 4]) -> Vec<String> {
    let names = order.into_iter().filter(|edge| edge.is_side()).map(|edge| edge.to_string());
    let sides: Vec<String> = names.collect();
    let of_side = |line: &&String| {
        let said = line.trim_start_matches("- ").to_lowercase();
        sides.iter().any(|side| said.starts_with(&format!("{side} edge")))
    };
    let first = told.rounds.first().into_iter().flat_map(|round| &round.lines);
    first.filter(of_side).map(|line| line.trim_start_matches("- ").to_owned()).collect()
}

/// Whether a making's border has what it needs to be kept, and the yarns that are kept with it.
pub(super) fn yarns_of(
    making: &Making,
    before: &Kept,
    palette: &Palette,
) -> Result<Vec<Yarn>, (usize, String)> {
    let mut yarns: Vec<Yarn> = Vec::new();
    for (at, round) in making.border.rounds.iter().enumerate() {
        if yarns.iter().any(|yarn| yarn.key == round.yarn) {
            continue;
        }
        let own = palette.by_key(&round.yarn).map(|yarn| palette.yarn(yarn));
        let yarn = own.or_else(|| before.yarns.iter().find(|yarn| yarn.key == round.yarn));
        yarns.push(yarn.ok_or_else(|| (at, round.yarn.clone()))?.clone());
    }
    Ok(yarns)
}
