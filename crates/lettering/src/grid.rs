//! The built-in face: designs drawn cell by cell.
//!
//! Most designs are BDF files (Adobe's Glyph Bitmap Distribution Format 2.2, the part of it that the
//! files use); the one five rows high is a drawing of our own in `fonts/five.txt`, which also has the
//! accents for letters that a design lacks.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use unicode_normalization::char::decompose_canonical;

use crate::Weight;
use crate::text::Letter;

/// A letter as cells, cropped to its ink.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Drawing {
    pub(crate) columns: usize,
    /// The row of its lowest cells, 0 being the one that stands on the line.
    pub(crate) bottom: i32,
    /// Row by row from the bottom.
    pub(crate) ink: Vec<bool>,
}

impl Drawing {
    /// Crops cells given row by row from the bottom, the first row being `bottom`. `None` when no cell
    /// is inked.
    pub(crate) fn cropped(columns: usize, bottom: i32, ink: &[bool]) -> Option<Self> {
        let inked: Vec<(usize, usize)> =
            (0..ink.len()).filter(|&at| ink[at]).map(|at| (at % columns, at / columns)).collect();
        let (&(_, low), &(_, high)) = (inked.first()?, inked.last()?);
        let left = inked.iter().map(|cell| cell.0).min()?;
        let right = inked.iter().map(|cell| cell.0).max()? + 1;
        let rows = (low..=high).flat_map(|row| &ink[row * columns..][left..right]);
        Some(Self {
            columns: right - left,
            bottom: bottom + i32::try_from(low).ok()?,
            ink: rows.copied().collect(),
        })
    }

    pub(crate) fn rows(&self) -> usize {
        self.ink.len() / self.columns
    }

    /// The row above its highest cells.
    pub(crate) fn top(&self) -> i32 {
        self.bottom + i32::try_from(self.rows()).unwrap_or(i32::MAX)
    }

    /// Every cell drawn as `times` × `times` cells.
    fn scaled(&self, times: usize) -> Self {
        let rows = self.ink.chunks(self.columns);
        let wide = rows.map(|row| row.iter().flat_map(|&ink| vec![ink; times]).collect::<Vec<_>>());
        Self {
            columns: self.columns * times,
            bottom: self.bottom * i32::try_from(times).unwrap_or(1),
            ink: wide.flat_map(|row| vec![row; times].concat()).collect(),
        }
    }

    /// Both drawings at once, the other moved by `right` columns and `up` rows.
    fn with(&self, other: &Self, right: i32, up: i32) -> Self {
        let side = |cells: usize| i32::try_from(cells).unwrap_or(i32::MAX);
        let (left, low) = (right.min(0), self.bottom.min(other.bottom + up));
        let columns =
            usize::try_from(side(self.columns).max(right + side(other.columns)) - left).unwrap_or(0);
        let rows = usize::try_from(self.top().max(other.top() + up) - low).unwrap_or(0);
        let mut ink = vec![false; columns * rows];
        for (drawing, dx, dy) in [(self, -left, 0), (other, right - left, up)] {
            let dx = usize::try_from(dx).unwrap_or(0);
            let dy = usize::try_from(drawing.bottom + dy - low).unwrap_or(0);
            for (at, _) in drawing.ink.iter().enumerate().filter(|(_, ink)| **ink) {
                ink[(at / drawing.columns + dy) * columns + at % drawing.columns + dx] = true;
            }
        }
        Self { columns, bottom: low, ink }
    }
}

/// Where an accent goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Side {
    Above,
    Below,
}

/// A set of letters drawn for one height.
#[derive(Debug)]
pub(crate) struct Design {
    pub(crate) height: u32,
    pub(crate) weight: Weight,
    /// Empty stitches between two letters.
    pub(crate) gap: u32,
    letters: BTreeMap<char, Drawing>,
}

static FIVE: LazyLock<Five> = LazyLock::new(|| Five::read(include_str!("../fonts/five.txt")));

static DESIGNS: LazyLock<Vec<Design>> = LazyLock::new(|| {
    let bdf = |height, weight, text| Design {
        height,
        weight,
        gap: if height < 10 { 1 } else { 2 },
        letters: bdf_letters(text),
    };
    vec![
        Design { height: 5, weight: Weight::Regular, gap: 1, letters: FIVE.letters.clone() },
        bdf(6, Weight::Regular, include_str!("../fonts/6x9.bdf")),
        bdf(7, Weight::Regular, include_str!("../fonts/6x12.bdf")),
        bdf(9, Weight::Regular, include_str!("../fonts/6x13.bdf")),
        bdf(10, Weight::Regular, include_str!("../fonts/9x18.bdf")),
        bdf(13, Weight::Regular, include_str!("../fonts/10x20.bdf")),
        bdf(9, Weight::Bold, include_str!("../fonts/7x13B.bdf")),
        bdf(10, Weight::Bold, include_str!("../fonts/9x18B.bdf")),
    ]
});

/// The designs as drawn.
pub(crate) fn designs() -> &'static [Design] {
    &DESIGNS
}

/// The finest design that makes letters `height` rows high when each of its cells is drawn as a square
/// of cells, and the side of that square.
pub(crate) fn design(height: u32, weight: Weight) -> Option<(&'static Design, usize)> {
    let fits = |design: &&Design| design.weight == weight && height.is_multiple_of(design.height);
    let design = DESIGNS.iter().filter(fits).max_by_key(|design| design.height)?;
    Some((design, usize::try_from(height / design.height).ok()?))
}

impl Design {
    /// A letter with every cell drawn `times` × `times`.
    pub(crate) fn drawing(&self, letter: &Letter, times: usize) -> Option<Drawing> {
        self.composed(letter.base, &letter.marks).map(|drawing| drawing.scaled(times))
    }

    fn composed(&self, base: char, marks: &[char]) -> Option<Drawing> {
        let mut parts = Vec::new();
        let mut drawing = match self.letters.get(&base) {
            Some(drawing) => drawing.clone(),
            None => {
                decompose_canonical(base, |part| parts.push(part));
                if parts.len() < 2 {
                    return None;
                }
                self.letters.get(&self.dotless(parts[0], &parts[1..]))?.clone()
            }
        };
        if parts.is_empty() && !marks.is_empty() {
            drawing = self.letters.get(&self.dotless(base, marks))?.clone();
        }
        // Large designs get large accents.
        let times = usize::try_from(self.height / 5).unwrap_or(1);
        let gap = i32::try_from(times).unwrap_or(1);
        for mark in parts.iter().skip(1).chain(marks) {
            let (side, accent) = FIVE.marks.get(mark)?;
            let accent = accent.scaled(times);
            let spare = i32::try_from(drawing.columns).ok()? - i32::try_from(accent.columns).ok()?;
            drawing = match side {
                Side::Above => drawing.with(&accent, spare.div_euclid(2), drawing.top() + gap),
                Side::Below => {
                    let up = drawing.bottom - accent.top();
                    // An ogonek hangs from the letter's right foot.
                    let right = if *mark == '\u{328}' { spare + gap } else { spare.div_euclid(2) };
                    drawing.with(&accent, right, up)
                }
            };
        }
        Some(drawing)
    }

    /// An i or j gives up its dot for an accent above.
    fn dotless(&self, base: char, marks: &[char]) -> char {
        let above = marks.iter().any(|mark| matches!(FIVE.marks.get(mark), Some((Side::Above, _))));
        let bare = match base {
            'i' | 'і' => 'ı',
            'j' | 'ј' => 'ȷ',
            _ => base,
        };
        if above && self.letters.contains_key(&bare) { bare } else { base }
    }
}

fn hex(text: &str) -> Option<u32> {
    u32::from_str_radix(text, 16).ok()
}

/// The letters of one of our BDF files. They are part of the program and a test reads every one, so
/// anything strange in them ends the reading.
fn bdf_letters(text: &str) -> BTreeMap<char, Drawing> {
    let mut letters = BTreeMap::new();
    let (mut code, mut size, mut bottom) = (None, (0, 0), 0);
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let mut words = line.split(' ');
        match words.next() {
            Some("ENCODING") => code = words.next().and_then(|w| w.parse().ok()).and_then(char::from_u32),
            Some("BBX") => {
                let box_: Vec<i32> = words.filter_map(|w| w.parse().ok()).collect();
                if let [columns, rows, _, low] = box_[..] {
                    size = (usize::try_from(columns).unwrap_or(0), usize::try_from(rows).unwrap_or(0));
                    bottom = low;
                }
            }
            Some("BITMAP") => {
                let (columns, rows) = size;
                let drawn: Vec<Vec<bool>> = lines
                    .by_ref()
                    .take(rows)
                    .map(|row| {
                        let bits = hex(row).unwrap_or(0);
                        (0..columns).map(|column| bits >> (4 * row.len() - 1 - column) & 1 == 1).collect()
                    })
                    .collect();
                let ink: Vec<bool> = drawn.into_iter().rev().flatten().collect();
                if let Some((code, drawing)) = code.zip(Drawing::cropped(columns, bottom, &ink)) {
                    letters.insert(code, drawing);
                }
            }
            _ => {}
        }
    }
    letters
}

/// `fonts/five.txt`, which tells its own form.
struct Five {
    letters: BTreeMap<char, Drawing>,
    marks: BTreeMap<char, (Side, Drawing)>,
}

impl Five {
    fn read(text: &str) -> Self {
        let mut five = Self { letters: BTreeMap::new(), marks: BTreeMap::new() };
        for block in text.split("\n\n").skip(2) {
            let mut lines = block.trim().lines();
            let Some((kind, names)) = lines.next().and_then(|line| line.split_once(": ")) else { continue };
            let rows: Vec<Vec<&str>> = lines.rev().map(|row| row.split(' ').collect()).collect();
            let below = kind.strip_prefix("letters ").and_then(|below| below.parse::<i32>().ok());
            for (at, name) in names.split(' ').enumerate() {
                if kind == "same" {
                    let mut pair = name.chars();
                    if let Some((alias, letter)) = pair.next().zip(pair.next())
                        && let Some(drawing) = five.letters.get(&letter)
                    {
                        five.letters.insert(alias, drawing.clone());
                    }
                    continue;
                }
                let columns = rows[0][at].len();
                let ink: Vec<bool> =
                    rows.iter().flat_map(|row| row[at].bytes().map(|cell| cell == b'#')).collect();
                let Some(drawing) = Drawing::cropped(columns, -below.unwrap_or(0), &ink) else { continue };
                match below {
                    Some(_) => {
                        five.letters.extend(name.chars().next().map(|letter| (letter, drawing)));
                    }
                    None => {
                        let side = if kind == "above" { Side::Above } else { Side::Below };
                        let mark = hex(name).and_then(char::from_u32);
                        five.marks.extend(mark.map(|mark| (mark, (side, drawing))));
                    }
                }
            }
        }
        five
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn letter(text: &str) -> Letter {
        let mut chars = text.chars();
        Letter { base: chars.next().unwrap(), marks: chars.collect() }
    }

    fn picture(drawing: &Drawing) -> Vec<String> {
        let row = |row: &[bool]| row.iter().map(|&ink| if ink { '#' } else { '.' }).collect();
        drawing.ink.chunks(drawing.columns).rev().map(row).collect()
    }

    /// Every record of every file becomes a letter, the space alone has no ink.
    #[test]
    fn every_record_is_read() {
        for (text, height) in [
            (include_str!("../fonts/6x9.bdf"), 6),
            (include_str!("../fonts/6x12.bdf"), 7),
            (include_str!("../fonts/6x13.bdf"), 9),
            (include_str!("../fonts/7x13B.bdf"), 9),
            (include_str!("../fonts/9x18.bdf"), 10),
            (include_str!("../fonts/9x18B.bdf"), 10),
            (include_str!("../fonts/10x20.bdf"), 13),
        ] {
            let records = text.lines().filter(|line| line.starts_with("STARTCHAR")).count();
            let letters = bdf_letters(text);
            let blank = text.matches("BBX 1 1 0 0\nBITMAP\n00\n").count();
            assert_eq!(letters.len() + blank, records);
            assert_eq!(letters[&'H'].rows(), height);
            assert_eq!(letters[&'H'].bottom, 0);
        }
        let blocks = include_str!("../fonts/five.txt").split("\n\n").skip(2);
        let names = blocks.filter_map(|block| block.trim().lines().next()?.split_once(": "));
        let drawn: usize = names.map(|(_, names)| names.split(' ').count()).sum();
        assert_eq!(FIVE.letters.len() + FIVE.marks.len(), drawn);
        assert_eq!(FIVE.letters[&'H'].rows(), 5);
    }

    #[test]
    fn heights_are_designs_and_their_multiples() {
        let of = |height, weight| design(height, weight).map(|(design, times)| (design.height, times));
        assert_eq!(of(5, Weight::Regular), Some((5, 1)));
        assert_eq!(of(10, Weight::Regular), Some((10, 1)));
        assert_eq!(of(12, Weight::Regular), Some((6, 2)));
        assert_eq!(of(30, Weight::Regular), Some((10, 3)));
        assert_eq!(of(8, Weight::Regular), None);
        assert_eq!(of(11, Weight::Regular), None);
        assert_eq!(of(18, Weight::Bold), Some((9, 2)));
        assert_eq!(of(5, Weight::Bold), None);
    }

    #[test]
    fn accents_are_set_over_and_under_letters() {
        let (five, _) = design(5, Weight::Regular).unwrap();
        let draw = |text: &str| picture(&five.drawing(&letter(text), 1).unwrap());
        assert_eq!(draw("É"), [".#.", "#..", "...", "###", "#..", "##.", "#..", "###"]);
        assert_eq!(draw("E\u{301}"), draw("É"));
        assert_eq!(draw("ï"), ["#.#", "...", ".#.", ".#.", ".#.", ".#."]);
        assert_eq!(draw("ą"), [".###.", "#..#.", "#.##.", ".#.#.", "...#.", "....#"]);
        let ogonek = five.drawing(&letter("ą"), 1).unwrap();
        assert_eq!((ogonek.bottom, ogonek.rows()), (-2, 6));
        assert_eq!(five.drawing(&letter("x\u{489}"), 1), None);
        let big = five.drawing(&letter("í"), 2).unwrap();
        assert_eq!((big.columns, big.rows()), (4, 14));
    }

    fn alphabets() -> Vec<(&'static str, [&'static str; 2])> {
        // The alphabets from memory, as primers give them.
        vec![
            ("German", ["ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÜẞ", "abcdefghijklmnopqrstuvwxyzäöüß"]),
            (
                "French",
                ["ABCDEFGHIJKLMNOPQRSTUVWXYZÀÂÆÇÉÈÊËÎÏÔŒÙÛÜŸ", "abcdefghijklmnopqrstuvwxyzàâæçéèêëîïôœùûüÿ"],
            ),
            ("Spanish", ["ABCDEFGHIJKLMNÑOPQRSTUVWXYZÁÉÍÓÚÜ", "abcdefghijklmnñopqrstuvwxyzáéíóúü¡¿!?"]),
            ("Polish", ["AĄBCĆDEĘFGHIJKLŁMNŃOÓPQRSŚTUVWXYZŹŻ", "aąbcćdeęfghijklłmnńoópqrsśtuvwxyzźż"]),
            ("Greek", ["ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩΆΈΉΊΌΎΏΪΫ", "αβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώϊϋΐΰ"]),
            ("Russian", ["АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ", "абвгдеёжзийклмнопрстуфхцчшщъыьэюя"]),
            ("Ukrainian", ["АБВГҐДЕЄЖЗИІЇЙКЛМНОПРСТУФХЦЧШЩЬЮЯ", "абвгґдеєжзиіїйклмнопрстуфхцчшщьюя"]),
            ("digits and marks", ["0123456789", ".,:;!?-–—'\"()&+=/*#%@"]),
        ]
    }

    /// Each letter is drawn or known to be missing, and no two of one alphabet and case look alike but
    /// those listed.
    #[test]
    fn letters_of_an_alphabet_differ() {
        for design in designs() {
            let (mut missing, mut alike) = (BTreeSet::new(), BTreeSet::new());
            for case in alphabets().iter().flat_map(|(_, cases)| cases) {
                let mut drawn: Vec<(char, Drawing)> = Vec::new();
                for letter in case.chars() {
                    let Some(drawing) = design.drawing(&Letter { base: letter, marks: vec![] }, 1) else {
                        missing.insert(letter);
                        continue;
                    };
                    let same = drawn.iter().filter(|(_, other)| *other == drawing);
                    alike.extend(same.map(|(other, _)| format!("{other}{letter}")));
                    drawn.push((letter, drawing));
                }
            }
            // Five stitches are all a dash gets in these cells.
            let (known_missing, known_alike): (&[char], &[&str]) = match (design.height, design.weight) {
                (5, _) => (&[], &[]),
                (10, Weight::Bold) => (&['ẞ'], &[]),
                (6 | 7, _) | (_, Weight::Bold) => (&['ẞ'], &["-–"]),
                _ => (&[], &["-–"]),
            };
            let name = (design.height, design.weight);
            assert_eq!(missing.into_iter().collect::<Vec<_>>(), known_missing, "{name:?}");
            assert_eq!(alike.into_iter().collect::<Vec<_>>(), known_alike, "{name:?}");
        }
    }
}
