//! Fonts that a person brings: reading them safely and setting their letters.
//!
//! Nothing in a font is trusted. Its size is limited; letters that are made of other letters are
//! counted through before they are drawn, since a few bytes can ask for billions of points; what is
//! drawn is limited again.

use std::sync::Arc;

use model::MAX_SIDE;
use ttf_parser::{Face, GlyphId, OutlineBuilder, RawFaceTables};

use crate::LetteringError;
use crate::compact::Compact;
use crate::grid::Drawing;
use crate::snap::{self, Contours, Grid};

/// The most bytes a font may have; the largest fonts in use, those of Chinese, have about 20 million.
const MAX_BYTES: usize = 32 << 20;
/// The most points of one letter as the file has them.
const MAX_POINTS: usize = 20_000;
/// The most corners of one letter's outline once its curves are broken into lines.
const MAX_CORNERS: usize = 80_000;
/// The most corners of all letters of a text.
const MAX_WORK: usize = 4_000_000;
/// Letters within letters.
const MAX_DEPTH: usize = 8;
/// Lines that a curve is broken into.
const LINES_A_CURVE: u8 = 8;

/// Why a letter cannot be drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fault {
    Damaged,
    TooIntricate,
}

/// An outline in the making, in the font's units.
#[derive(Default)]
pub(crate) struct Path {
    contours: Contours,
    open: Vec<[f64; 2]>,
    corners: usize,
    fault: Option<Fault>,
}

impl Path {
    pub(crate) fn go(&mut self, to: [f64; 2]) -> Result<(), Fault> {
        self.close();
        self.line(to)
    }

    pub(crate) fn line(&mut self, to: [f64; 2]) -> Result<(), Fault> {
        self.corners += 1;
        if self.corners > MAX_CORNERS {
            return Err(Fault::TooIntricate);
        }
        // The file's own numbers are 16 bits wide; sums of them may grow somewhat.
        if !to.iter().all(|c| c.abs() < 1e6) {
            return Err(Fault::Damaged);
        }
        self.open.push(to);
        Ok(())
    }

    pub(crate) fn cubic(&mut self, first: [f64; 2], second: [f64; 2], to: [f64; 2]) -> Result<(), Fault> {
        let from = *self.open.last().ok_or(Fault::Damaged)?;
        (1..=LINES_A_CURVE).try_for_each(|step| {
            let t = f64::from(step) / f64::from(LINES_A_CURVE);
            let u = 1.0 - t;
            self.line([0, 1].map(|axis| {
                u * u * u * from[axis]
                    + 3.0 * u * u * t * first[axis]
                    + 3.0 * u * t * t * second[axis]
                    + t * t * t * to[axis]
            }))
        })
    }

    pub(crate) fn close(&mut self) {
        if self.open.len() > 2 {
            self.contours.push(core::mem::take(&mut self.open));
        }
        self.open.clear();
    }

    #[cfg(test)]
    pub(crate) fn contours(&self) -> &[Vec<[f64; 2]>] {
        &self.contours
    }

    fn note(&mut self, result: Result<(), Fault>) {
        self.fault = self.fault.or(result.err());
    }
}

impl OutlineBuilder for Path {
    fn move_to(&mut self, x: f32, y: f32) {
        let result = self.go([x.into(), y.into()]);
        self.note(result);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let result = self.line([x.into(), y.into()]);
        self.note(result);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (middle, to) = ([f64::from(x1), f64::from(y1)], [f64::from(x), f64::from(y)]);
        let from = self.open.last().copied().unwrap_or(to);
        // The same curve as one with two control points.
        let toward = |end: [f64; 2]| [0, 1].map(|axis| (end[axis] + 2.0 * middle[axis]) / 3.0);
        let result = self.cubic(toward(from), toward(to), to);
        self.note(result);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let result = self.cubic([x1.into(), y1.into()], [x2.into(), y2.into()], [x.into(), y.into()]);
        self.note(result);
    }

    fn close(&mut self) {
        Self::close(self);
    }
}

/// A font of the person's. Lengths are in parts of its capital height.
#[derive(Clone)]
pub(crate) struct Outline {
    bytes: Arc<[u8]>,
    measures: Measures,
}

impl core::fmt::Debug for Outline {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Outline").field("bytes", &self.bytes.len()).field("measures", &self.measures).finish()
    }
}

#[derive(Clone, Copy, Debug)]
struct Measures {
    /// Height of a capital in the font's units.
    capital: f64,
    /// Tops of small letters, of those that rise, and bottoms of those that hang.
    small: f64,
    rising: f64,
    hanging: f64,
    /// Usual widths of upright and of level strokes.
    strokes: [f64; 2],
}

/// A letter set at some height: its cells, and how far it likes to be from its neighbours.
#[derive(Clone, Debug)]
pub(crate) struct Set {
    pub(crate) drawing: Drawing,
    pub(crate) before: f64,
    pub(crate) after: f64,
}

impl Outline {
    pub(crate) fn read(bytes: Vec<u8>) -> Result<Self, LetteringError> {
        if bytes.len() > MAX_BYTES {
            return Err(LetteringError::FontTooLarge { bytes: bytes.len(), most: MAX_BYTES });
        }
        let measures = Font::open(&bytes)?.measures();
        Ok(Self { bytes: bytes.into(), measures })
    }

    /// A pen that sets letters `height` rows high, a row being `aspect` times as high as a stitch is
    /// wide.
    pub(crate) fn pen(&self, height: u32, aspect: f64) -> Result<Pen<'_>, LetteringError> {
        let Measures { small, rising, hanging, strokes, .. } = self.measures;
        let rows = f64::from(height);
        let scale = [rows * aspect, rows];
        #[allow(clippy::cast_possible_truncation)] // parts of a height that is at most MAX_HEIGHT
        let near = |part: f64| (part * rows + 0.5).floor() as i32;
        let capital = near(1.0);
        let mut tops = vec![(rows, capital), (small * rows, near(small).clamp(2, capital - 1))];
        if (rising - 1.0) * rows > 0.3 {
            tops.push((rising * rows, near(rising).max(capital)));
        }
        let bottoms = vec![(0.0, 0), (-hanging * rows, -near(hanging).max(1))];
        let grid = Grid { scale, strokes: [strokes[0] * scale[0], strokes[1] * scale[1]], tops, bottoms };
        Ok(Pen { font: Font::open(&self.bytes)?, capital: self.measures.capital, grid, work: 0 })
    }
}

fn word(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_be_bytes(*bytes.get(at..)?.first_chunk()?))
}

fn long(bytes: &[u8], at: usize) -> Option<usize> {
    usize::try_from(u32::from_be_bytes(*bytes.get(at..)?.first_chunk()?)).ok()
}

/// The list of tables of a font file, after the OpenType specification.
struct Tables<'a> {
    bytes: &'a [u8],
    /// Where the list is.
    at: usize,
    count: usize,
}

impl<'a> Tables<'a> {
    fn read(bytes: &'a [u8]) -> Option<Self> {
        let at = if bytes.starts_with(b"ttcf") { long(bytes, 12)? } else { 0 };
        let kind: &[u8; 4] = bytes.get(at..)?.first_chunk()?;
        let known = [b"\0\x01\0\0", b"OTTO", b"true"].contains(&kind);
        known.then_some(Self { bytes, at: at + 12, count: word(bytes, at + 4)?.into() })
    }

    fn get(&self, tag: &[u8; 4]) -> Option<&'a [u8]> {
        let mut entries = self.bytes.get(self.at..)?.chunks_exact(16).take(self.count);
        let entry = entries.find(|entry| entry.starts_with(tag))?;
        let (at, length) = (long(entry, 8)?, long(entry, 12)?);
        self.bytes.get(at..at.checked_add(length)?)
    }
}

/// Whether the lists from characters to glyphs are no longer than any can be: the parser's debug
/// assertions stop at longer ones.
fn has_honest_lists(cmap: &[u8]) -> bool {
    let count = usize::from(word(cmap, 2).unwrap_or(0));
    (0..count).all(|i| {
        let Some(list) = long(cmap, 4 + 8 * i + 4).and_then(|at| cmap.get(at..)) else { return true };
        let length = match word(list, 0) {
            Some(10) => long(list, 16),
            Some(12 | 13) => long(list, 12),
            Some(14) => long(list, 6),
            _ => None,
        };
        length.is_none_or(|length| length <= 0x11_0000)
    })
}

/// The parts of an open font that are used.
struct Font<'a> {
    face: Face<'a>,
    compact: Option<Compact<'a>>,
    glyf: &'a [u8],
    loca: &'a [u8],
    long_offsets: bool,
}

impl<'a> Font<'a> {
    fn open(bytes: &'a [u8]) -> Result<Self, LetteringError> {
        let tables = Tables::read(bytes)
            .ok_or_else(|| LetteringError::NotAFont { reason: "it does not begin as one".to_owned() })?;
        // The parser gets what is needed and nothing to stumble over beside it.
        let raw = RawFaceTables {
            head: tables.get(b"head").unwrap_or_default(),
            hhea: tables.get(b"hhea").unwrap_or_default(),
            maxp: tables.get(b"maxp").unwrap_or_default(),
            hmtx: tables.get(b"hmtx"),
            cmap: tables.get(b"cmap").filter(|cmap| has_honest_lists(cmap)),
            os2: tables.get(b"OS/2"),
            glyf: tables.get(b"glyf"),
            loca: tables.get(b"loca"),
            ..RawFaceTables::default()
        };
        let (glyf, loca) = (raw.glyf.unwrap_or_default(), raw.loca.unwrap_or_default());
        let face = Face::from_raw_tables(raw)
            .map_err(|error| LetteringError::NotAFont { reason: error.to_string() })?;
        let compact = tables.get(b"CFF ").and_then(Compact::read);
        let glyf = if face.tables().glyf.is_some() { glyf } else { &[] };
        if glyf.is_empty() && compact.is_none() {
            return Err(LetteringError::NoOutlines);
        }
        // Each look for a letter goes through all of them.
        if face.tables().cmap.is_some_and(|cmap| cmap.subtables.len() > 64) {
            return Err(LetteringError::TooIntricate);
        }
        let long_offsets =
            face.tables().head.index_to_location_format == ttf_parser::head::IndexToLocationFormat::Long;
        Ok(Self { compact, glyf, loca, long_offsets, face })
    }

    /// The outline of a letter in the font's units; `None` when the font does not have it.
    fn outline(&self, letter: char) -> Result<Option<(Contours, f64)>, Fault> {
        let Some(glyph) = self.face.glyph_index(letter).filter(|glyph| glyph.0 != 0) else { return Ok(None) };
        let mut path = Path::default();
        if self.glyf.is_empty() {
            self.compact.as_ref().ok_or(Fault::Damaged)?.draw(glyph.0, &mut path)?;
        } else {
            let mut points = 0;
            self.count(glyph.0, 0, &mut points)?;
            let glyf = self.face.tables().glyf.ok_or(Fault::Damaged)?;
            if glyf.outline(GlyphId(glyph.0), &mut path).is_none() && points > 1 {
                return Err(Fault::Damaged);
            }
        }
        if let Some(fault) = path.fault {
            return Err(fault);
        }
        Path::close(&mut path);
        let advance = f64::from(self.face.glyph_hor_advance(glyph).unwrap_or(0));
        Ok(Some((path.contours, advance)))
    }

    /// Counts the points of a letter, those of its parts included, and refuses too many.
    fn count(&self, glyph: u16, depth: usize, points: &mut usize) -> Result<(), Fault> {
        *points += 1;
        if *points > MAX_POINTS || depth > MAX_DEPTH {
            return Err(Fault::TooIntricate);
        }
        let Some(data) = self.data(glyph) else { return Ok(()) };
        let word = |at: usize| word(data, at);
        let contours = word(0).ok_or(Fault::Damaged)?;
        if contours < 0x8000 {
            if contours > 0 {
                let last = word(10 + 2 * (usize::from(contours) - 1)).ok_or(Fault::Damaged)?;
                *points += usize::from(last) + 1;
            }
            return if *points > MAX_POINTS { Err(Fault::TooIntricate) } else { Ok(()) };
        }
        let mut at = 10;
        while let Some((flags, part)) = word(at).zip(word(at + 2)) {
            self.count(part, depth + 1, points)?;
            let shift = if flags & 1 != 0 { 4 } else { 2 };
            let scale = match flags {
                _ if flags & 0x08 != 0 => 2,
                _ if flags & 0x40 != 0 => 4,
                _ if flags & 0x80 != 0 => 8,
                _ => 0,
            };
            at += 4 + shift + scale;
            if flags & 0x20 == 0 {
                break;
            }
        }
        Ok(())
    }

    fn data(&self, glyph: u16) -> Option<&'a [u8]> {
        let size = if self.long_offsets { 4 } else { 2 };
        let offset = |at: usize| {
            let bytes = self.loca.get(at * size..(at + 1) * size)?;
            let sum = bytes.iter().fold(0_usize, |sum, &byte| sum << 8 | usize::from(byte));
            Some(if self.long_offsets { sum } else { sum * 2 })
        };
        let glyph = usize::from(glyph);
        self.glyf.get(offset(glyph)?..offset(glyph + 1)?).filter(|data| !data.is_empty())
    }

    fn measures(&self) -> Measures {
        let outline = |letter: char| self.outline(letter).ok().flatten().map(|(contours, _)| contours);
        let top = |letters: &str| {
            let contours = letters.chars().find_map(|c| outline(c).filter(|o| !o.is_empty()))?;
            Some(snap::extent(&contours, 1)?.1)
        };
        let em = f64::from(self.face.units_per_em());
        let declared = self.face.capital_height().map(f64::from);
        let sane = |height: &f64| (0.05 * em..=3.0 * em).contains(height);
        // Capitals that are flat on top, in the scripts that have any; digits; what the font says.
        let capital =
            top("HIEНΗ").filter(sane).or(top("1").filter(sane)).or(declared.filter(sane)).unwrap_or(0.7 * em);
        let small = top("xzvхν").map_or(0.7, |top| top / capital);
        let rising = top("ldbβ").map_or(1.0, |top| top / capital);
        let low = "pqyрρ".chars().find_map(|c| Some(snap::extent(&outline(c)?, 1)?.0));
        let hanging = low.map_or(0.3, |low| -low / capital);
        // The width that half the length of all strokes does not exceed.
        let stroke = |letters: &str, axis: usize| {
            let mut stems: Vec<snap::Stem> = letters
                .chars()
                .filter_map(outline)
                .flat_map(|contours| snap::stems(&snap::scaled(&contours, [1.0 / capital; 2]), axis))
                .filter(|stem| stem.high - stem.low < 0.5)
                .collect();
            stems.sort_by(|a, b| (a.high - a.low).total_cmp(&(b.high - b.low)));
            let half = stems.iter().map(|stem| stem.length).sum::<f64>() / 2.0;
            let mut length = 0.0;
            let middle = stems.iter().find(|stem| {
                length += stem.length;
                length >= half
            });
            middle.map_or(0.13, |stem| stem.high - stem.low)
        };
        let strokes = [stroke("lInhmHдпн", 0), stroke("eEtzHТг", 1)];
        Measures {
            capital,
            small: small.clamp(0.3, 1.0),
            rising: rising.clamp(1.0, 2.0),
            hanging: hanging.clamp(0.05, 1.0),
            strokes,
        }
    }
}

/// Sets letters of one font at one height.
pub(crate) struct Pen<'a> {
    font: Font<'a>,
    capital: f64,
    grid: Grid,
    /// Corners drawn so far.
    work: usize,
}

impl Pen<'_> {
    /// A letter; `None` when the font does not have it or it has no ink.
    pub(crate) fn set(&mut self, letter: char) -> Result<Option<Set>, LetteringError> {
        let fault = |fault| match fault {
            Fault::Damaged => LetteringError::Damaged { letter },
            Fault::TooIntricate => LetteringError::TooIntricate,
        };
        let Some((contours, advance)) = self.font.outline(letter).map_err(fault)? else { return Ok(None) };
        self.work += contours.iter().map(Vec::len).sum::<usize>();
        if self.work > MAX_WORK {
            return Err(LetteringError::TooIntricate);
        }
        let contours = snap::scaled(&contours, [1.0 / self.capital; 2]);
        let Some(((left, right), (low, high))) = snap::extent(&contours, 0).zip(snap::extent(&contours, 1))
        else {
            return Ok(None);
        };
        let [across, up] = self.grid.scale;
        let (wide, tall) = ((right - left) * across, (high - low) * up);
        #[allow(clippy::cast_precision_loss)]
        let most = MAX_SIDE as f64;
        // A little is left for strokes that grow.
        if !(wide < most / 2.0 && tall < most / 2.0 && (low * up).abs() < most) {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // `as` saturates
            return Err(LetteringError::TooLarge { columns: wide as usize, rows: tall as usize });
        }
        let drawing = self.grid.draw(&contours).map_err(fault)?;
        let (before, after) = (left * across, (advance / self.capital - right) * across);
        Ok(drawing.map(|drawing| Set { drawing, before, after }))
    }

    /// Stitches that a space takes, without the room at the sides of letters.
    pub(crate) fn space(&self) -> u32 {
        let advance =
            self.font.face.glyph_index(' ').and_then(|glyph| self.font.face.glyph_hor_advance(glyph));
        let wide = advance.map_or(0.35, |advance| f64::from(advance) / self.capital).clamp(0.2, 2.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most twice MAX_HEIGHT times 5
        let stitches = (wide * self.grid.scale[0] + 0.5) as u32;
        stitches.max(2)
    }
}
