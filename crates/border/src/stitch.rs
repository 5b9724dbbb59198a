//! The stitches of a border: their names, heights, and what yarn and time they take.

use crate::BorderError;

/// A stitch that a round is made of. Named here as in the US.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stitch {
    /// Single crochet (UK: double crochet).
    Sc,
    /// Half double crochet (UK: half treble).
    Hdc,
    /// Double crochet (UK: treble).
    Dc,
    /// Treble crochet (UK: double treble).
    Tr,
}

impl Stitch {
    /// All of them, from the lowest.
    pub const ALL: [Self; 4] = [Self::Sc, Self::Hdc, Self::Dc, Self::Tr];

    /// Chains that bring the hook up to its height (SEEN: a crochet guild's lesson of 1997, a
    /// beginner's table and a UK guide of 2019 agree on 1, 2, 3 and 4).
    #[must_use]
    pub const fn starting_chain(self) -> u32 {
        match self {
            Self::Sc => 1,
            Self::Hdc => 2,
            Self::Dc => 3,
            Self::Tr => 4,
        }
    }

    /// Whether that chain counts as the first stitch of its round: not for single crochet, for
    /// the taller ones yes (SEEN: the same table and guide; for half double "usually").
    #[must_use]
    pub const fn chain_counts(self) -> bool {
        !matches!(self, Self::Sc)
    }

    /// Yarn in it, in thousandths of what a single crochet takes.
    ///
    /// Source (SEEN): single rows in worsted yarn, unravelled and measured, took 10.6, 15.7 and
    /// 20.4 in of yarn per inch of width in sc, hdc and dc. No figure was found for tr: its one
    /// further yarn-over is reckoned as much as that which makes a dc of an sc, 9.8 in (DERIVED).
    #[must_use]
    pub const fn yarn(self) -> u64 {
        match self {
            Self::Sc => 1000,
            Self::Hdc => 1481,
            Self::Dc => 1925,
            Self::Tr => 2849,
        }
    }

    /// Time for it, in thousandths of that for a single crochet: one for putting the hook in and one for
    /// every yarn-over, 3, 4, 5 and 7 in all (DERIVED by counting the motions; nothing measured
    /// was found).
    #[must_use]
    pub const fn time(self) -> u64 {
        match self {
            Self::Sc => 1000,
            Self::Hdc => 1333,
            Self::Dc => 1667,
            Self::Tr => 2333,
        }
    }
}

/// How high each stitch stands, in thousandths of a row of single crochet at the piece's gauge.
///
/// A single crochet of the border is as high as a row of the piece, so it has no figure here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Heights {
    hdc: u32,
    dc: u32,
    tr: u32,
}

impl Heights {
    /// The lowest height that is taken: that of a single crochet.
    pub const LOWEST: u32 = 1000;
    /// The highest height that is taken (invented: twice the tallest rule of thumb).
    pub const HIGHEST: u32 = 6000;

    /// What the increases of flat circles imply (DERIVED): circles of sc, hdc and dc gain 6, 8 and
    /// 12 stitches each round, of tr 15 or 16 (SEEN, four pages), and a flat circle gains 2π times
    /// height over width, so the heights are as 6 : 8 : 12 : 15½.
    pub const USUAL: Self = Self { hdc: 1333, dc: 2000, tr: 2583 };

    /// Heights of one's own, measured on a swatch.
    ///
    /// # Errors
    /// When one is not 1000 to 6000.
    pub fn measured(hdc: u32, dc: u32, tr: u32) -> Result<Self, BorderError> {
        for (stitch, thousandths) in [(Stitch::Hdc, hdc), (Stitch::Dc, dc), (Stitch::Tr, tr)] {
            if !(Self::LOWEST..=Self::HIGHEST).contains(&thousandths) {
                return Err(BorderError::Height { stitch, thousandths });
            }
        }
        Ok(Self { hdc, dc, tr })
    }

    /// Height of a stitch in thousandths of a row.
    #[must_use]
    pub const fn of(&self, stitch: Stitch) -> u32 {
        match stitch {
            Stitch::Sc => 1000,
            Stitch::Hdc => self.hdc,
            Stitch::Dc => self.dc,
            Stitch::Tr => self.tr,
        }
    }
}

impl Default for Heights {
    fn default() -> Self {
        Self::USUAL
    }
}

/// Whose names of stitches are used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Terms {
    /// US.
    #[default]
    Us,
    /// UK: each name stands for the next lower stitch.
    Uk,
}

impl Terms {
    /// Short name of a stitch (SEEN: a page of terms by country, a translation sheet and an open
    /// set of translations agree).
    #[must_use]
    pub const fn short(self, stitch: Stitch) -> &'static str {
        match (self, stitch) {
            (Self::Us, Stitch::Sc) => "sc",
            (Self::Us, Stitch::Hdc) => "hdc",
            (Self::Us, Stitch::Dc) | (Self::Uk, Stitch::Sc) => "dc",
            (Self::Us, Stitch::Tr) | (Self::Uk, Stitch::Dc) => "tr",
            (Self::Uk, Stitch::Hdc) => "htr",
            (Self::Uk, Stitch::Tr) => "dtr",
        }
    }

    /// Full name of a stitch.
    #[must_use]
    pub const fn full(self, stitch: Stitch) -> &'static str {
        match (self, stitch) {
            (Self::Us, Stitch::Sc) => "single crochet",
            (Self::Us, Stitch::Hdc) => "half double crochet",
            (Self::Us, Stitch::Dc) | (Self::Uk, Stitch::Sc) => "double crochet",
            (Self::Us, Stitch::Tr) => "treble crochet",
            (Self::Uk, Stitch::Hdc) => "half treble crochet",
            (Self::Uk, Stitch::Dc) => "treble crochet",
            (Self::Uk, Stitch::Tr) => "double treble crochet",
        }
    }

    /// The terms' own name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Us => "US",
            Self::Uk => "UK",
        }
    }

    /// Passing a stitch by (UK "miss": from memory).
    #[must_use]
    pub const fn skip(self) -> &'static str {
        match self {
            Self::Us => "skip",
            Self::Uk => "miss",
        }
    }
}
