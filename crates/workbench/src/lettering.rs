//! Words: how they look in stitches, laid on a chart, and as a blanket of their own.

use lettering::{Block, Face, Spacing, Style, Weight};
use model::{Chart, Gauge, Yarn};
use store::{Fabric, Operation};

use crate::open::{entry, recoloured};
use crate::{BlanketId, Changed, Failure, Revision, Workbench, words};

/// How short lines of words are placed.
pub use lettering::Align;

/// The most bytes of a font file.
pub const MAX_FONT_BYTES: usize = 16 << 20;

/// Words, and how they are to look.
#[derive(Clone, Debug, PartialEq)]
pub struct Lettering {
    /// What they say; lines end at new lines.
    pub text: String,
    /// Rows of a capital letter.
    pub height: u32,
    /// Stitches between letters; as the face has it where `None`.
    pub spacing: Option<u32>,
    /// Rows between lines.
    pub line_gap: u32,
    /// How short lines are placed.
    pub align: Align,
    /// Lines longer than so many stitches are broken between words.
    pub width: Option<u32>,
    /// A TrueType or OpenType font; the built-in face where `None`.
    pub font: Option<Vec<u8>>,
}

/// Words in stitches.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lettered {
    /// Stitches across.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// 1 where there is a letter, else 0; row by row from the bottom, each from the left.
    pub cells: Vec<u8>,
}

/// Words on their way to a place on a chart.
#[derive(Clone, Debug, PartialEq)]
pub struct WordsOn {
    /// The words.
    pub lettering: Lettering,
    /// Column and row of the block's lower left cell; may lie outside, but something must be on the
    /// chart.
    pub at: (i64, i64),
    /// Palette entry of the letters.
    pub yarn: usize,
    /// A seam around the letters: palette entry and stitches across.
    pub edge: Option<(usize, usize)>,
}

/// A blanket of words alone.
#[derive(Clone, Debug, PartialEq)]
pub struct OfWords {
    /// Its name.
    pub name: String,
    /// The words.
    pub lettering: Lettering,
    /// Plain stitches and rows around them.
    pub margin: usize,
    /// The gauge.
    pub gauge: Gauge,
    /// Yarn of the letters.
    pub letters: Yarn,
    /// Yarn around them.
    pub ground: Yarn,
}

fn refused(error: &lettering::LetteringError) -> Failure {
    Failure::bad(error, "the words", &error.hint().unwrap_or_default())
}

fn block(lettering: &Lettering, gauge: &Gauge) -> Result<Block, Failure> {
    let face = match &lettering.font {
        // Heights for which no letters are drawn come from the face that the charts are set in.
        None => match Face::built_in(Weight::Regular) {
            face if face.has_height(lettering.height) => face,
            _ => Face::read(typeset::REGULAR.to_vec()).map_err(Failure::defect)?,
        },
        Some(bytes) => Face::read(bytes.clone()).map_err(|error| refused(&error))?,
    };
    let style = Style {
        height: lettering.height,
        spacing: lettering.spacing.map_or(Spacing::Natural, Spacing::Stitches),
        line_gap: lettering.line_gap,
        align: lettering.align,
        width: lettering.width,
        wrap: lettering.width.is_some(),
        aspect: gauge.stitches() / gauge.rows(),
    };
    lettering::set(&lettering.text, &face, &style).map_err(|error| refused(&error))
}

impl Workbench {
    /// Words in stitches, for that gauge.
    ///
    /// # Errors
    /// When the words or the font can't be set.
    pub fn lettering(&self, lettering: &Lettering, gauge: &Gauge) -> Result<Lettered, Failure> {
        let block = block(lettering, gauge)?;
        Ok(Lettered { columns: block.columns(), rows: block.rows(), cells: block.cells(1, 0) })
    }

    /// Lays words on a blanket's chart; what lies beyond its edges is cut off.
    ///
    /// # Errors
    /// As [`Workbench::edit`]; also when the words can't be set, or all of them lie outside.
    pub fn lay_words(&self, id: BlanketId, revision: Revision, wish: &WordsOn) -> Result<Changed, Failure> {
        self.operate(id, revision, |kept| {
            let chart = &kept.chart;
            let block = block(&wish.lettering, &kept.gauge)?;
            let yarn = entry(chart, wish.yarn)?;
            let mut cells = std::collections::BTreeMap::new();
            let mut lay = |block: &Block, back: usize, yarn: u8| {
                for (column, row) in block.inked() {
                    if let Some(cell) = place(chart, wish.at, (column, row.0), back) {
                        cells.insert(cell, yarn);
                    }
                }
            };
            if let Some((edge, stitches)) = wish.edge {
                let edge = entry(chart, edge)?;
                lay(&block.halo(stitches).map_err(|error| refused(&error))?, stitches, edge);
            }
            lay(&block, 0, yarn);
            if cells.is_empty() {
                let hint = "choose a place on the chart";
                return Err(Failure::bad("the words lie outside the chart", "the place of the words", hint));
            }
            let changes = recoloured(chart, cells);
            Ok(changes.map(|(before, after)| Operation {
                name: "words".to_owned(),
                stroke: None,
                before,
                after,
            }))
        })
    }

    /// A blanket of words alone.
    ///
    /// # Errors
    /// When the words, the yarns or the name can't be, it gets too large, or the shelf can't be
    /// written.
    pub fn from_words(&self, wish: &OfWords) -> Result<BlanketId, Failure> {
        let name = words::name(&wish.name)?;
        let block = block(&wish.lettering, &wish.gauge)?;
        let side = |cells: usize| cells.saturating_add(wish.margin.saturating_mul(2));
        words::size(side(block.columns()), side(block.rows()))?;
        let block = block.padded(wish.margin).map_err(|error| refused(&error))?;
        let palette = words::palette(&[wish.ground.clone(), wish.letters.clone()])?;
        let chart = Chart::new(palette, block.rows(), block.columns(), &block.cells(1, 0))?;
        self.add(&name, &Fabric { chart, gauge: wish.gauge, request: None })
    }
}

/// The chart's cell at a cell of a block that lies there, moved back by some cells both ways.
fn place(chart: &Chart, at: (i64, i64), (column, row): (usize, usize), back: usize) -> Option<usize> {
    let along = |from: i64, cell: usize, most: usize| {
        let there = from.checked_add(i64::try_from(cell).ok()?)?.checked_sub(i64::try_from(back).ok()?)?;
        usize::try_from(there).ok().filter(|&there| there < most)
    };
    let column = along(at.0, column, chart.columns())?;
    Some(along(at.1, row, chart.rows())? * chart.columns() + column)
}
