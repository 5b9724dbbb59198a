//! Words as stitches.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde::{Deserialize, Serialize};

use super::{Gauge, Yarn};
use crate::failure::Failure;

/// How short lines of words are placed.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Align {
    /// At the left.
    Left,
    /// In the middle.
    Centre,
    /// At the right.
    Right,
}

/// Words, and how they are to look.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lettering {
    /// What they say; lines end at new lines.
    pub text: String,
    /// Rows of a capital letter.
    pub height: u32,
    /// Stitches between letters; as the face has it where left out.
    pub spacing: Option<u32>,
    /// Rows between lines; 2 where left out.
    pub line_gap: Option<u32>,
    /// How short lines are placed; at the left where left out.
    pub align: Option<Align>,
    /// Lines longer than so many stitches are broken.
    pub width: Option<u32>,
    /// Base64 of a TrueType or OpenType font; the built-in face where left out.
    pub font: Option<String>,
}

/// Words and the gauge they are set for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ForGauge {
    /// The words.
    pub lettering: Lettering,
    /// The gauge.
    pub gauge: Gauge,
}

/// Words on their way to a place on a chart.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WordsOn {
    /// The words.
    pub lettering: Lettering,
    /// Column and row of their lower left cell; may lie outside.
    pub at: (i64, i64),
    /// Palette entry of the letters.
    pub yarn: usize,
    /// A seam around the letters.
    pub edge: Option<Seam>,
}

/// A seam around letters.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seam {
    /// Palette entry.
    pub yarn: usize,
    /// Stitches across, at most 20.
    pub stitches: usize,
}

/// Words in stitches.
#[derive(Debug, Serialize)]
pub struct Lettered {
    /// Stitches across.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Base64 of one byte a cell, 1 where there is a letter, from the bottom row, each from the left.
    pub cells: String,
}

/// The widest seam.
const MAX_SEAM: usize = 20;

impl Lettering {
    pub(crate) fn meant(self) -> Result<workbench::Lettering, Failure> {
        let font = self.font.map(|font| font_meant(&font)).transpose()?;
        let align = match self.align {
            None | Some(Align::Left) => workbench::Align::Left,
            Some(Align::Centre) => workbench::Align::Centre,
            Some(Align::Right) => workbench::Align::Right,
        };
        Ok(workbench::Lettering {
            text: self.text,
            height: self.height,
            spacing: self.spacing,
            line_gap: self.line_gap.unwrap_or(2),
            align,
            width: self.width,
            font,
        })
    }
}

fn font_meant(font: &str) -> Result<Vec<u8>, Failure> {
    // Four letters of base64 hold three bytes.
    if font.len() / 4 * 3 > workbench::MAX_FONT_BYTES {
        let what = format!("the font has more than {} MB", workbench::MAX_FONT_BYTES >> 20);
        return Err(Failure::bad(what, "font", "take another font file"));
    }
    STANDARD.decode(font).map_err(|error| Failure::bad(error, "font", "send the font's bytes as base64"))
}

impl WordsOn {
    pub(crate) fn meant(self) -> Result<workbench::WordsOn, Failure> {
        let edge = match self.edge {
            Some(Seam { stitches, .. }) if stitches > MAX_SEAM => {
                let what = format!("a seam of {stitches} stitches is too wide, {MAX_SEAM} is the most");
                return Err(Failure::bad(what, "edge", "give fewer"));
            }
            Some(Seam { stitches: 0, .. }) | None => None,
            Some(Seam { yarn, stitches }) => Some((yarn, stitches)),
        };
        Ok(workbench::WordsOn { lettering: self.lettering.meant()?, at: self.at, yarn: self.yarn, edge })
    }
}

impl From<workbench::Lettered> for Lettered {
    fn from(lettered: workbench::Lettered) -> Self {
        Self { columns: lettered.columns, rows: lettered.rows, cells: STANDARD.encode(lettered.cells) }
    }
}

/// A blanket of words alone.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OfWords {
    /// Its name.
    pub name: String,
    /// The words.
    pub lettering: Lettering,
    /// Plain stitches and rows around them; none where left out.
    #[serde(default)]
    pub margin: usize,
    /// The gauge.
    pub gauge: Gauge,
    /// Yarn of the letters.
    pub letters: Yarn,
    /// Yarn around them.
    pub ground: Yarn,
}

impl OfWords {
    pub(crate) fn meant(self) -> Result<workbench::OfWords, Failure> {
        Ok(workbench::OfWords {
            name: self.name,
            lettering: self.lettering.meant()?,
            margin: self.margin,
            gauge: self.gauge.meant()?,
            letters: self.letters.meant()?,
            ground: self.ground.meant()?,
        })
    }
}
