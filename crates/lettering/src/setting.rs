//! Setting a text: lines, spaces and widths.

use std::collections::BTreeMap;

use model::MAX_SIDE;

use crate::face::{Face, Kind};
use crate::grid::{self, Drawing};
use crate::outline::{Pen, Set};
use crate::text::{self, Letter, Piece};
use crate::{Block, Fits, LetteringError, MissingLetter};

/// The least height of letters, in rows.
pub const MIN_HEIGHT: u32 = 5;
/// The greatest height of letters, in rows.
pub const MAX_HEIGHT: u32 = 500;
/// The widest gap between letters in stitches or lines in rows.
pub const MAX_GAP: u32 = 500;
/// The most cells a block may have.
pub const MAX_CELLS: usize = 4_000_000;

/// How lines shorter than the longest are placed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Align {
    /// At the left.
    #[default]
    Left,
    /// In the middle; of an odd number of empty stitches one more is at the right.
    Centre,
    /// At the right.
    Right,
}

/// How far apart letters stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Spacing {
    /// As the face has it: at least one empty stitch, unless it is a font whose letters join.
    #[default]
    Natural,
    /// This many empty stitches between the ink of one letter and the next; 0 lets them touch.
    Stitches(u32),
}

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Height of a capital letter without accent, in rows.
    pub height: u32,
    /// Stitches between letters.
    pub spacing: Spacing,
    /// Empty rows between the lowest tail of a line and the highest accent of the next.
    pub line_gap: u32,
    /// How short lines are placed.
    pub align: Align,
    /// The most stitches a line may take, if there is a limit.
    pub width: Option<u32>,
    /// Whether lines too long for `width` are broken between words.
    pub wrap: bool,
    /// Height of a row in widths of a stitch. Fonts of the person's are stretched by it so that they
    /// look on the fabric as they were drawn; built-in faces are taken as they are.
    pub aspect: f64,
}

impl Style {
    /// Letters of a height, lines from the left with two rows between them, without a limit to their
    /// width; stitches as wide as they are high.
    #[must_use]
    pub const fn new(height: u32) -> Self {
        Self {
            height,
            spacing: Spacing::Natural,
            line_gap: 2,
            align: Align::Left,
            width: None,
            wrap: false,
            aspect: 1.0,
        }
    }

    fn check(&self) -> Result<(), LetteringError> {
        if !(MIN_HEIGHT..=MAX_HEIGHT).contains(&self.height) {
            return Err(LetteringError::Height { height: self.height });
        }
        if !(0.2..=5.0).contains(&self.aspect) {
            return Err(LetteringError::Aspect { aspect: self.aspect });
        }
        let spacing = match self.spacing {
            Spacing::Natural => 0,
            Spacing::Stitches(stitches) => stitches,
        };
        match spacing.max(self.line_gap) {
            gap if gap > MAX_GAP => Err(LetteringError::Gap { gap }),
            _ => Ok(()),
        }
    }
}

/// Sets a text as a block just large enough for it. Lines end at new lines in the text; spaces at their
/// ends are left out. The block is as wide as its longest line.
///
/// # Errors
/// When the text has nothing to draw, letters that the face lacks (all of them are named), control
/// characters or scripts that cannot be set; when the style is out of range; when the text does not
/// fit: the error then says what would.
pub fn set(text: &str, face: &Face, style: &Style) -> Result<Block, LetteringError> {
    style.check()?;
    let lines = text::lines(text)?;
    let letters = Letters::of(&lines, face, style.height, style.aspect)?;
    let broken = match letters.break_lines(&lines, style) {
        Ok(broken) => broken,
        Err((words, wide, room)) => {
            let fits = what_fits(&lines, face, style, &letters);
            return Err(LetteringError::TooWide { words, wide, room, fits });
        }
    };
    letters.draw(&broken, style)
}

/// What would fit where the style does not.
fn what_fits(lines: &[Vec<Piece>], face: &Face, style: &Style, letters: &Letters) -> Fits {
    let fits_at = |height: u32| {
        Letters::of(lines, face, height, style.aspect)
            .is_ok_and(|letters| letters.break_lines(lines, &Style { height, ..*style }).is_ok())
    };
    // Widths all but grow with the height, so halving finds the height or one next to it.
    let heights: Vec<u32> = (MIN_HEIGHT..style.height).filter(|&height| face.has_height(height)).collect();
    let height = match &face.0 {
        Kind::Grid(_) => heights.iter().rev().copied().find(|&height| fits_at(height)),
        Kind::Outline(_) => {
            heights.partition_point(|&height| fits_at(height)).checked_sub(1).map(|at| heights[at])
        }
    };
    let wrapped = Style { wrap: true, ..*style };
    let lines_wrapped = match letters.break_lines(lines, &wrapped) {
        Ok(broken) if !style.wrap => Some(broken.len()),
        _ => None,
    };
    let closer = match style.spacing {
        Spacing::Natural => letters.gap,
        Spacing::Stitches(stitches) => stitches,
    };
    let spacing = (0..closer).rev().find(|&stitches| {
        letters.break_lines(lines, &Style { spacing: Spacing::Stitches(stitches), ..*style }).is_ok()
    });
    Fits { height, lines: lines_wrapped, spacing }
}

/// Draws letters of one face at one height.
enum Pencil<'a> {
    /// A design, the side of the square that each of its cells becomes, and the gap between letters.
    Grid(&'a grid::Design, usize, f64),
    Outline(Box<Pen<'a>>),
}

impl Pencil<'_> {
    fn draw(&mut self, letter: &Letter) -> Result<Option<Set>, LetteringError> {
        match self {
            Self::Grid(design, times, gap) => {
                let set = |drawing| Set { drawing, before: 0.0, after: *gap };
                Ok(design.drawing(letter, *times).map(set))
            }
            Self::Outline(pen) if letter.marks.is_empty() => pen.set(letter.base),
            Self::Outline(_) => Ok(None),
        }
    }
}

/// The letters of a text, drawn.
struct Letters {
    drawn: BTreeMap<Letter, Set>,
    /// Empty stitches between letters as the face usually has them.
    gap: u32,
    /// Empty stitches between words.
    space: u32,
}

/// Words of a line, each with the spaces before it.
type Words<'a> = Vec<(u32, &'a [Piece])>;

impl Letters {
    fn of(lines: &[Vec<Piece>], face: &Face, height: u32, aspect: f64) -> Result<Self, LetteringError> {
        let mut letters = Self { drawn: BTreeMap::new(), gap: 1, space: 1 };
        let mut missing: Vec<Letter> = Vec::new();
        let mut cells = 0;
        let mut pencil = match &face.0 {
            Kind::Grid(weight) => {
                let Some((design, times)) = grid::design(height, *weight) else {
                    let below = (MIN_HEIGHT..height).rev().find(|&height| face.has_height(height));
                    let above = (height..=MAX_HEIGHT).find(|&height| face.has_height(height));
                    return Err(LetteringError::NoSuchHeight { height, below, above });
                };
                let scale = height / design.height;
                letters.gap = design.gap * scale;
                letters.space = design.height.div_ceil(2) * scale;
                Pencil::Grid(design, times, letters.gap.into())
            }
            Kind::Outline(outline) => {
                let pen = outline.pen(height, aspect)?;
                letters.space = pen.space();
                Pencil::Outline(Box::new(pen))
            }
        };
        for piece in lines.iter().flatten() {
            let Piece::Letter(letter) = piece else { continue };
            if letters.drawn.contains_key(letter) || missing.contains(letter) {
                continue;
            }
            match pencil.draw(letter)? {
                Some(set) => {
                    cells += set.drawing.ink.len();
                    if cells > 2 * MAX_CELLS {
                        let (columns, rows) = (set.drawing.columns, set.drawing.rows());
                        return Err(LetteringError::TooLarge { columns, rows });
                    }
                    letters.drawn.insert(letter.clone(), set);
                }
                None => missing.push(letter.clone()),
            }
        }
        if !missing.is_empty() {
            return Err(LetteringError::Missing(missing.iter().map(missing_letter).collect()));
        }
        if letters.drawn.is_empty() {
            return Err(LetteringError::NoLetters);
        }
        if let Kind::Outline(_) = face.0 {
            let mut gaps: Vec<i32> = letters.drawn.values().map(|set| natural(set, set)).collect();
            gaps.sort_unstable();
            letters.gap = u32::try_from(gaps[gaps.len() / 2]).unwrap_or(0);
            // In the font the room at the sides of the letters comes to that of the space.
            letters.space += letters.gap;
        }
        Ok(letters)
    }

    /// Stitches between two letters of a word.
    fn gap(&self, one: &Set, other: &Set, spacing: Spacing) -> i64 {
        match spacing {
            Spacing::Natural => natural(one, other).into(),
            Spacing::Stitches(stitches) => stitches.into(),
        }
    }

    /// Stitches between two words.
    fn space(&self, spacing: Spacing) -> usize {
        let space = match spacing {
            Spacing::Natural => self.space,
            Spacing::Stitches(stitches) => (self.space + stitches).saturating_sub(self.gap).max(stitches + 1),
        };
        usize::try_from(space).unwrap_or(usize::MAX)
    }

    /// Places the letters of a word; the width of all.
    fn place(&self, word: &[Piece], spacing: Spacing, mut each: impl FnMut(&Drawing, usize)) -> usize {
        let (mut end, mut before): (i64, Option<&Set>) = (0, None);
        let cells = |columns: usize| i64::try_from(columns).unwrap_or(i64::MAX);
        for piece in word {
            match piece {
                Piece::Letter(letter) => {
                    let Some(set) = self.drawn.get(letter) else { continue };
                    // A letter may reach under the one before, but not out of the block.
                    let start = (end + before.map_or(0, |before| self.gap(before, set, spacing))).max(0);
                    each(&set.drawing, usize::try_from(start).unwrap_or(0));
                    end = end.max(start + cells(set.drawing.columns));
                    before = Some(set);
                }
                Piece::Joined | Piece::Space => {
                    end += cells(self.space(spacing));
                    before = None;
                }
            }
        }
        usize::try_from(end).unwrap_or(0)
    }

    fn width(&self, words: &Words, spacing: Spacing) -> usize {
        let word = |(spaces, word): &(u32, &[Piece])| {
            let spaces = usize::try_from(*spaces).unwrap_or(usize::MAX);
            spaces.saturating_mul(self.space(spacing)) + self.place(word, spacing, |_, _| {})
        };
        words.iter().map(word).sum()
    }

    /// Lines as they will be drawn, or the words that are too wide, how wide they are and the room.
    fn break_lines<'a>(
        &self,
        lines: &'a [Vec<Piece>],
        style: &Style,
    ) -> Result<Vec<Words<'a>>, (String, usize, u32)> {
        let limit = style.width.map_or(usize::MAX, |width| usize::try_from(width).unwrap_or(usize::MAX));
        let fits = |wide: usize, words: &Words| match style.width {
            Some(room) if wide > limit => Err((written(words), wide, room)),
            _ => Ok(()),
        };
        let mut broken = Vec::new();
        for line in lines {
            let (mut words, mut wide): (Words, usize) = (Vec::new(), 0);
            for (spaces, word) in split(line) {
                let spaces = if words.is_empty() { 0 } else { spaces };
                let next = self.width(&vec![(spaces, word)], style.spacing);
                if style.wrap && !words.is_empty() && wide.saturating_add(next) > limit {
                    fits(wide, &words)?;
                    broken.push(core::mem::take(&mut words));
                    words.push((0, word));
                    wide = self.width(&words, style.spacing);
                } else {
                    words.push((spaces, word));
                    wide = wide.saturating_add(next);
                }
            }
            fits(wide, &words)?;
            broken.push(words);
        }
        // Empty lines at either end would only be empty rows.
        let inked = |words: &Words| !words.is_empty();
        let first = broken.iter().position(inked).unwrap_or(0);
        let last = broken.iter().rposition(inked).map_or(0, |at| at + 1);
        broken.truncate(last);
        broken.drain(..first);
        Ok(broken)
    }

    fn draw(&self, lines: &[Words], style: &Style) -> Result<Block, LetteringError> {
        let drawings = || self.drawn.values().map(|set| &set.drawing);
        let highest =
            drawings().map(Drawing::top).max().unwrap_or(0).max(i32::try_from(style.height).unwrap_or(0));
        let lowest = drawings().map(|drawing| drawing.bottom).min().unwrap_or(0).min(0);
        let rows = usize::try_from(highest - lowest).unwrap_or(usize::MAX);
        let pitch = rows.saturating_add(usize::try_from(style.line_gap).unwrap_or(usize::MAX));
        let widths: Vec<usize> = lines.iter().map(|words| self.width(words, style.spacing)).collect();
        let columns = widths.iter().copied().max().unwrap_or(0);
        let all_rows = pitch.saturating_mul(lines.len().saturating_sub(1)).saturating_add(rows);
        if columns > MAX_SIDE || all_rows > MAX_SIDE {
            return Err(LetteringError::TooLarge { columns, rows: all_rows });
        }
        let mut block = Block::blank(columns, all_rows)?;
        for (line, (words, wide)) in lines.iter().rev().zip(widths.iter().rev()).enumerate() {
            let mut start = match style.align {
                Align::Left => 0,
                Align::Centre => (columns - wide) / 2,
                Align::Right => columns - wide,
            };
            for (spaces, word) in words {
                start += usize::try_from(*spaces).unwrap_or(0) * self.space(style.spacing);
                start += self.place(word, style.spacing, |drawing, column| {
                    let row = usize::try_from(drawing.bottom - lowest).unwrap_or(0) + line * pitch;
                    for (at, _) in drawing.ink.iter().enumerate().filter(|(_, ink)| **ink) {
                        block.ink(start + column + at % drawing.columns, row + at / drawing.columns);
                    }
                });
            }
        }
        Ok(block)
    }
}

/// Stitches between two letters as their face has it.
#[allow(clippy::cast_possible_truncation)] // parts of letters that are at most MAX_SIDE wide
fn natural(one: &Set, other: &Set) -> i32 {
    let gap = one.after + other.before;
    // Letters that reach into each other are meant to join.
    if gap < -0.4 { gap.round() as i32 } else { (gap.round() as i32).max(1) }
}

/// The words of a line, each with the number of spaces before it.
fn split(line: &[Piece]) -> Vec<(u32, &[Piece])> {
    let mut words = Vec::new();
    let mut spaces = 0;
    for word in line.split(|piece| *piece == Piece::Space) {
        if !word.iter().all(|piece| *piece == Piece::Joined) {
            words.push((spaces, word));
            spaces = 0;
        }
        spaces += 1;
    }
    words
}

fn written(words: &Words) -> String {
    let mut text = String::new();
    for (spaces, word) in words {
        text.extend((0..*spaces).map(|_| ' '));
        for piece in *word {
            match piece {
                Piece::Letter(letter) => text.push_str(&letter.text()),
                Piece::Joined | Piece::Space => text.push(' '),
            }
        }
    }
    text
}

fn missing_letter(letter: &Letter) -> MissingLetter {
    let has = |design: &&grid::Design| design.drawing(letter, 1).is_some();
    let mut built_in: Vec<u32> = grid::designs().iter().filter(has).map(|design| design.height).collect();
    built_in.sort_unstable();
    built_in.dedup();
    MissingLetter { letter: letter.text(), built_in }
}
