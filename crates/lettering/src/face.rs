//! Faces: what letters look like.

use crate::grid;
use crate::outline::Outline;
use crate::{LetteringError, MAX_HEIGHT, MIN_HEIGHT};

/// How heavy the strokes of a built-in face are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// One stitch at the small heights.
    #[default]
    Regular,
    /// Two stitches at the small heights.
    Bold,
}

/// What letters look like.
#[derive(Clone, Debug)]
pub struct Face(pub(crate) Kind);

#[derive(Clone, Debug)]
pub(crate) enum Kind {
    Grid(Weight),
    Outline(Outline),
}

impl Face {
    /// The built-in face, drawn cell by cell for each of its heights and for whole multiples of
    /// these: see [`Face::heights`].
    #[must_use]
    pub const fn built_in(weight: Weight) -> Self {
        Self(Kind::Grid(weight))
    }

    /// A TrueType or OpenType font, or the first one of a collection. It can be set at any height.
    /// Letters are found by their code points; ligatures and kerning are left out.
    ///
    /// # Errors
    /// When the bytes are no font, too many, or a font without outlines.
    pub fn read(bytes: Vec<u8>) -> Result<Self, LetteringError> {
        Outline::read(bytes).map(|outline| Self(Kind::Outline(outline)))
    }

    /// The heights in rows that this face can have, in rising order.
    #[must_use]
    pub fn heights(&self) -> Vec<u32> {
        (MIN_HEIGHT..=MAX_HEIGHT).filter(|&height| self.has_height(height)).collect()
    }

    /// Whether the face can be this many rows high.
    #[must_use]
    pub fn has_height(&self, height: u32) -> bool {
        let in_range = (MIN_HEIGHT..=MAX_HEIGHT).contains(&height);
        in_range
            && match self.0 {
                Kind::Grid(weight) => grid::design(height, weight).is_some(),
                Kind::Outline(_) => true,
            }
    }
}
