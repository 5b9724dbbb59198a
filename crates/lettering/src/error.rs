//! What can be wrong with words and fonts.

use core::fmt;

use crate::{MAX_CELLS, MAX_CHARACTERS, MAX_GAP, MAX_HEIGHT, MIN_HEIGHT};

/// A place in the text as people count: lines and characters from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The line.
    pub line: usize,
    /// The character in it.
    pub character: usize,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, character {}", self.line, self.character)
    }
}

/// A letter that a face does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissingLetter {
    /// The letter; more than one `char` when accents follow it that make no letter of their own.
    pub letter: String,
    /// The heights in rows at which a built-in face has a design of its own with this letter.
    pub built_in: Vec<u32>,
}

impl fmt::Display for MissingLetter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.letter)?;
        for (at, character) in self.letter.chars().enumerate() {
            write!(f, "{}U+{:04X}", if at == 0 { " (" } else { " " }, u32::from(character))?;
        }
        f.write_str(")")
    }
}

/// What would fit where a text does not; each is a way out by itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fits {
    /// The largest height at which it fits, the style otherwise the same.
    pub height: Option<u32>,
    /// The number of lines it takes when wrapped at this height.
    pub lines: Option<usize>,
    /// The widest spacing in stitches with which it fits at this height.
    pub spacing: Option<u32>,
}

/// Why a text is no block of stitches.
#[derive(Clone, Debug, PartialEq)]
pub enum LetteringError {
    /// Nothing to draw.
    NoLetters,
    /// More than [`MAX_CHARACTERS`].
    TooLong {
        /// Characters given.
        characters: usize,
    },
    /// A control or formatting character other than a new line.
    ControlCharacter {
        /// Which.
        character: char,
        /// Where.
        at: Place,
    },
    /// A script whose letters join, stack, reorder or run from right to left.
    UnsupportedScript {
        /// What the script is called.
        script: &'static str,
        /// Its first letter in the text.
        character: char,
        /// Where that is.
        at: Place,
    },
    /// Letters that the face does not have, each once, in the order of the text.
    Missing(
        /// The letters.
        Vec<MissingLetter>,
    ),
    /// A height under [`MIN_HEIGHT`] or over [`MAX_HEIGHT`].
    Height {
        /// Rows asked for.
        height: u32,
    },
    /// The built-in face has no design that can be drawn at this height.
    NoSuchHeight {
        /// Rows asked for.
        height: u32,
        /// The nearest height under it that there is.
        below: Option<u32>,
        /// The nearest height over it that there is.
        above: Option<u32>,
    },
    /// More than [`MAX_GAP`] between letters or lines.
    Gap {
        /// Stitches or rows asked for.
        gap: u32,
    },
    /// The proportion of a row's height to a stitch's width is not between 1/5 and 5.
    Aspect {
        /// The proportion given.
        aspect: f64,
    },
    /// A line, or when wrapping a word, is wider than there is room for.
    TooWide {
        /// The line or word.
        words: String,
        /// Stitches it takes.
        wide: usize,
        /// Stitches there are.
        room: u32,
        /// What would fit.
        fits: Fits,
    },
    /// The block is larger than [`model::MAX_SIDE`] one way, or than [`MAX_CELLS`] in all.
    TooLarge {
        /// Stitches it would take.
        columns: usize,
        /// Rows it would take.
        rows: usize,
    },
    /// The bytes are no TrueType or OpenType font.
    NotAFont {
        /// What the reader says.
        reason: String,
    },
    /// The font is larger than any that is read.
    FontTooLarge {
        /// Bytes given.
        bytes: usize,
        /// Bytes that are read at most.
        most: usize,
    },
    /// The font draws its letters as pictures, or in a way that is not read.
    NoOutlines,
    /// The drawing of a letter in the font is broken.
    Damaged {
        /// The letter.
        letter: char,
    },
    /// The font's letters are made of more points than any honest font's.
    TooIntricate,
}

impl LetteringError {
    /// What a person can do about it.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            Self::NoLetters => "write a word".into(),
            Self::TooLong { .. } => "shorten the text".into(),
            Self::ControlCharacter { .. } => "take it out, or type the words anew".into(),
            Self::UnsupportedScript { .. } => "draw these words as a picture".into(),
            Self::Missing(letters) => return missing_hint(letters),
            Self::Height { .. } => format!("choose a height from {MIN_HEIGHT} to {MAX_HEIGHT} rows"),
            Self::NoSuchHeight { below, above, .. } => {
                let near: Vec<String> = [below, above].into_iter().flatten().map(u32::to_string).collect();
                format!("choose {} rows, or bring a font file, which has every height", near.join(" or "))
            }
            Self::Gap { .. } => format!("choose {MAX_GAP} or less"),
            Self::Aspect { .. } => "check the gauge".into(),
            Self::TooWide { fits, .. } => {
                fits.hint().unwrap_or_else(|| "shorten the words or make more room".into())
            }
            Self::TooLarge { .. } => "choose a smaller height or a shorter text".into(),
            Self::NotAFont { .. } => "bring a .ttf or .otf file".into(),
            Self::FontTooLarge { .. } | Self::NoOutlines | Self::Damaged { .. } | Self::TooIntricate => {
                "bring another font file, or use a built-in face".into()
            }
        })
    }
}

impl Fits {
    fn hint(&self) -> Option<String> {
        let mut ways = Vec::new();
        if let Some(height) = self.height {
            ways.push(format!("{height} rows high"));
        }
        match self.lines {
            Some(1) => ways.push("in 1 line".into()),
            Some(lines) => ways.push(format!("wrapped in {lines} lines")),
            None => {}
        }
        match self.spacing {
            Some(1) => ways.push("with 1 stitch between letters".into()),
            Some(spacing) => ways.push(format!("with {spacing} stitches between letters")),
            None => {}
        }
        (!ways.is_empty()).then(|| format!("it fits {}", ways.join(", or ")))
    }
}

fn missing_hint(letters: &[MissingLetter]) -> Option<String> {
    let mut common: Option<Vec<u32>> = None;
    for MissingLetter { built_in, .. } in letters {
        common = Some(match common {
            None => built_in.clone(),
            Some(heights) => heights.into_iter().filter(|h| built_in.contains(h)).collect(),
        });
    }
    let heights: Vec<String> = common?.iter().map(u32::to_string).collect();
    Some(match heights.as_slice() {
        [] => "bring a font file that has them".into(),
        heights => format!("the built-in face has them at {} rows", heights.join(", ")),
    })
}

impl fmt::Display for LetteringError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoLetters => f.write_str("there are no letters to draw"),
            Self::TooLong { characters } => {
                write!(f, "{characters} characters are too many, {MAX_CHARACTERS} is the most")
            }
            Self::ControlCharacter { character, at } => {
                write!(f, "{at} is a control character (U+{:04X})", u32::from(*character))
            }
            Self::UnsupportedScript { script, character, at } => write!(
                f,
                "{script} letters cannot be set, the first is at {at} (U+{:04X})",
                u32::from(*character)
            ),
            Self::Missing(letters) => {
                let names: Vec<String> = letters.iter().map(MissingLetter::to_string).collect();
                write!(f, "the face does not have {}", names.join(", "))
            }
            Self::Height { height } => {
                write!(f, "{height} rows is no height for letters, {MIN_HEIGHT} to {MAX_HEIGHT} are")
            }
            Self::NoSuchHeight { height, .. } => write!(f, "the built-in face cannot be {height} rows high"),
            Self::Gap { gap } => write!(f, "a gap of {gap} is too wide, {MAX_GAP} is the most"),
            Self::Aspect { aspect } => {
                write!(f, "a row {aspect} times as high as a stitch is wide is no fabric, 0.2 to 5 are")
            }
            Self::TooWide { words, wide, room, .. } => {
                write!(f, "\u{201c}{words}\u{201d} is {wide} stitches wide, there is room for {room}")
            }
            Self::TooLarge { columns, rows } => write!(
                f,
                "a block of {columns} stitches by {rows} rows is too large, {} is the most either way and {MAX_CELLS} cells in all",
                model::MAX_SIDE
            ),
            Self::NotAFont { reason } => write!(f, "the file is no font: {reason}"),
            Self::FontTooLarge { bytes, most } => {
                write!(f, "a font of {bytes} bytes is too large, {most} is the most")
            }
            Self::NoOutlines => f.write_str("the font has no outlines that can be read"),
            Self::Damaged { letter } => {
                write!(f, "the font's drawing of {letter} (U+{:04X}) is damaged", u32::from(*letter))
            }
            Self::TooIntricate => f.write_str("the font's letters have too many points"),
        }
    }
}

impl std::error::Error for LetteringError {}
