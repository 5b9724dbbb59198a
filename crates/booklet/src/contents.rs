//! The parts of a booklet.

use model::{Gauge, Hand, Srgb};
use pattern::Move;
use replay::ProvenPlan;

/// A whole pattern, ready to be set.
#[derive(Clone, Debug)]
pub struct Booklet<'a> {
    /// The plan: chart, palette and hand are taken from it.
    pub proven: &'a ProvenPlan,
    /// Gauge, for the proportions of chart and fabric.
    pub gauge: Gauge,
    /// Its name, as the person typed it; never empty.
    pub title: String,
    /// Who made the pattern, as the person typed it; may be empty.
    pub by: String,
    /// A note of the person's own, any number of lines; may be empty.
    pub note: String,
    /// One line under the title: stitches, rows, hand and terms.
    pub subtitle: String,
    /// What is needed, and what comes of it: finished size, yarn in all, hook, hours, strands at once.
    pub facts: Vec<Fact>,
    /// The yarns in palette order, those of the border among them.
    pub yarns: Vec<YarnEntry>,
    /// About the gauge and the swatch, paragraph by paragraph.
    pub gauge_says: Vec<String>,
    /// How to read chart and rows.
    pub how_to: HowTo,
    /// The rows in words.
    pub rows: Rows,
    /// What to wind, in the order of need.
    pub winding: Vec<WindEntry>,
    /// A tag to cut out for every strand, in the order in which they join: label, then the rest.
    pub tags: Vec<(String, String)>,
    /// Every end to weave in, row by row, a line each.
    pub ends: Vec<String>,
    /// The border, where there is one.
    pub border: Option<BorderPart>,
    /// Finishing, washing, cautions, whose picture it is: what comes last, in order.
    pub closing: Vec<Section>,
}

impl Booklet<'_> {
    /// The hand it is for.
    #[must_use]
    pub fn hand(&self) -> Hand {
        self.proven.rules().hand
    }
}

/// A name and what it is, as in `Finished size`, `92.1 by 104.0 cm`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// What is told.
    pub name: String,
    /// What it is.
    pub value: String,
}

/// A yarn in the key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct YarnEntry {
    /// Its symbol on the chart.
    pub symbol: String,
    /// Its name, as the person typed it.
    pub name: String,
    /// What it is, as in `medium (4), 90.0 m in a ball of 50 g`; empty where nobody knows.
    pub kind: String,
    /// Its colour.
    pub colour: Srgb,
    /// Stitches of the chart, as in `4,112`; empty for a yarn of the border alone.
    pub stitches: String,
    /// Strands of it, as in `12`.
    pub strands: String,
    /// Length to have, as in `318.4 m`.
    pub length: String,
    /// What that weighs; empty where nobody knows.
    pub weight: String,
    /// Balls, as in `3 (2 on hand, buy 1)`; empty where nobody knows what one holds.
    pub balls: String,
}

/// How to read the chart and the rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HowTo {
    /// How to read the chart, paragraph by paragraph.
    pub chart: Vec<String>,
    /// The same, of what a printed chart has beside.
    pub chart_on_paper: Vec<String>,
    /// How to read the rows, paragraph by paragraph: all that the rows rest on.
    pub rows: Vec<String>,
    /// The same, of rows on pages.
    pub rows_on_paper: Vec<String>,
    /// The words of the rows.
    pub words: Vec<Word>,
    /// What holds in every row, sentence by sentence.
    pub all_along: Vec<String>,
}

/// Words of the rows and what they mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// As they stand in a row.
    pub words: String,
    /// What they mean.
    pub means: String,
    /// The move that they ask for, where there is one to draw.
    pub draws: Option<Move>,
}

/// The rows in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rows {
    /// Yarn by yarn its strands, as in `A  Oak (oak), #785028 (3 strands, A1 to A3)`.
    pub strands: Vec<String>,
    /// What is done before row 1.
    pub foundation: String,
    /// Row 1 first. Rows that read the same are one entry.
    pub rows: Vec<RowEntry>,
}

/// One row, or several that read the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowEntry {
    /// Number of the first.
    pub first: usize,
    /// Number of the last.
    pub last: usize,
    /// As in `Row 12 (WS →)`.
    pub name: String,
    /// What to do, each on a line of its own; all but the first begin with a mark, as in
    /// `(40 made) 12 sc A1;`. The last ends with a full stop.
    pub lines: Vec<String>,
}

/// A strand to wind, or small ones of one yarn in one go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WindEntry {
    /// Symbol of its yarn.
    pub symbol: String,
    /// What it is, as in `B3 Oat` or `4 small ones of Oat, 8.2 m in all, from row 12 on`.
    pub what: String,
    /// Its strands; one where it is not a group.
    pub strands: Vec<WindLine>,
}

/// One strand to wind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WindLine {
    /// Its label, as in `B3`.
    pub label: String,
    /// Length to wind, as in `2.4 m`.
    pub length: String,
    /// Row where it joins.
    pub joins_at: usize,
    /// Row where it is cut.
    pub ends_at: usize,
}

/// The border in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BorderPart {
    /// What holds all along.
    pub heading: Vec<String>,
    /// Round by round.
    pub rounds: Vec<Section>,
    /// How it lies.
    pub lies: Vec<String>,
}

/// A heading with paragraphs under it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// The heading.
    pub title: String,
    /// The paragraphs.
    pub says: Vec<String>,
}
