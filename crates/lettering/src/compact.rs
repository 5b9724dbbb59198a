//! Outlines of PostScript flavour: Adobe's Compact Font Format (technical note 5176) with Type 2
//! charstrings (technical note 5177), from memory of both.
//!
//! Charstrings are little programs that call each other, and a file of a few hundred bytes can be
//! written that runs for years. This reader therefore counts every step it takes and stops at a limit.

use crate::outline::{Fault, Path};

/// Steps one letter may take; honest letters take some hundreds.
const MAX_STEPS: usize = 50_000;
/// Calls within calls, as the note on Type 2 limits them.
const MAX_DEPTH: usize = 10;
/// Numbers waiting for an operator; the note says 48.
const MAX_STACK: usize = 192;

/// The tables of a font.
pub(crate) struct Compact<'a> {
    global: Index<'a>,
    letters: Index<'a>,
    /// Subroutines of each private part of the font.
    local: Vec<Index<'a>>,
    /// Which part a letter belongs to, when there are several.
    select: Option<&'a [u8]>,
}

impl<'a> Compact<'a> {
    /// Reads the `CFF ` table.
    pub(crate) fn read(table: &'a [u8]) -> Option<Self> {
        let (_, at) = Index::read(table, usize::from(*table.get(2)?))?;
        let (tops, at) = Index::read(table, at)?;
        let (_, at) = Index::read(table, at)?;
        let (global, _) = Index::read(table, at)?;
        let top = Dict::read(tops.get(0)?)?;
        if top.get(0x0c06).is_some_and(|kind| kind != [2]) {
            return None;
        }
        let (letters, _) = Index::read(table, top.offset(17)?)?;
        let (parts, select) = match top.offset(0x0c24) {
            Some(at) => {
                let (fonts, _) = Index::read(table, at)?;
                let parts: Option<Vec<Dict>> =
                    (0..fonts.count.min(256)).map(|i| Dict::read(fonts.get(i)?)).collect();
                (parts?, Some(table.get(top.offset(0x0c25)?..)?))
            }
            None => (vec![top], None),
        };
        let local = parts.iter().map(|part| Index::local(table, part).unwrap_or_default()).collect();
        Some(Self { global, letters, local, select })
    }

    /// Draws a letter.
    pub(crate) fn draw(&self, glyph: u16, path: &mut Path) -> Result<(), Fault> {
        let code = self.letters.get(usize::from(glyph)).ok_or(Fault::Damaged)?;
        let local = self.local.get(self.part(glyph).ok_or(Fault::Damaged)?).ok_or(Fault::Damaged)?;
        let mut run =
            Run { global: &self.global, local, path, stack: Vec::new(), x: 0.0, y: 0.0, stems: 0, steps: 0 };
        run.run(code, 0)?;
        run.path.close();
        Ok(())
    }

    fn part(&self, glyph: u16) -> Option<usize> {
        let Some(select) = self.select else { return Some(0) };
        let word = |at: usize| Some(u16::from_be_bytes([*select.get(at)?, *select.get(at + 1)?]));
        match select.first()? {
            0 => Some(usize::from(*select.get(1 + usize::from(glyph))?)),
            3 => {
                let ranges = (0..usize::from(word(1)?)).map(|i| 3 + 3 * i);
                let at = ranges.take_while(|&at| word(at).is_some_and(|first| first <= glyph)).last()?;
                Some(usize::from(*select.get(at + 2)?))
            }
            _ => None,
        }
    }
}

/// A list of byte strings.
#[derive(Clone, Copy, Default)]
struct Index<'a> {
    count: usize,
    size: usize,
    offsets: &'a [u8],
    data: &'a [u8],
}

impl<'a> Index<'a> {
    /// The list at `at`, and where it ends.
    fn read(table: &'a [u8], at: usize) -> Option<(Self, usize)> {
        let bytes = table.get(at..)?;
        let count = usize::from(u16::from_be_bytes([*bytes.first()?, *bytes.get(1)?]));
        if count == 0 {
            return Some((Self::default(), at + 2));
        }
        let size = usize::from(*bytes.get(2)?);
        if !(1..=4).contains(&size) {
            return None;
        }
        let (offsets, data) = bytes.get(3..)?.split_at_checked((count + 1) * size)?;
        let index = Self { count, size, offsets, data };
        let end = index.offset(count)?;
        Some((Self { data: data.get(..end)?, ..index }, at + 3 + offsets.len() + end))
    }

    /// The subroutines that a part of the font keeps for itself.
    fn local(table: &'a [u8], part: &Dict) -> Option<Self> {
        let [size, at] = part.get(18)? else { return None };
        let (size, at) = (usize::try_from(*size).ok()?, usize::try_from(*at).ok()?);
        let private = Dict::read(table.get(at..at.checked_add(size)?)?)?;
        Self::read(table, at.checked_add(private.offset(19)?)?).map(|(index, _)| index)
    }

    fn offset(&self, at: usize) -> Option<usize> {
        let bytes = self.offsets.get(at * self.size..(at + 1) * self.size)?;
        bytes.iter().fold(0_usize, |sum, &byte| sum << 8 | usize::from(byte)).checked_sub(1)
    }

    fn get(&self, at: usize) -> Option<&'a [u8]> {
        if at >= self.count {
            return None;
        }
        self.data.get(self.offset(at)?..self.offset(at + 1)?)
    }

    /// A subroutine by the number that charstrings call it.
    fn subroutine(&self, number: f64) -> Option<&'a [u8]> {
        let bias = match self.count {
            0..1240 => 107,
            1240..33900 => 1131,
            _ => 32768,
        };
        #[allow(clippy::cast_possible_truncation)] // `as` saturates, and what is out of range is not found
        self.get(usize::try_from(number as i64 + bias).ok()?)
    }
}

/// Operators and their numbers; operators of two bytes as 0x0cXX.
struct Dict(Vec<(u16, Vec<i32>)>);

impl Dict {
    fn read(bytes: &[u8]) -> Option<Self> {
        let (mut entries, mut numbers) = (Vec::new(), Vec::new());
        let mut bytes = bytes.iter().copied();
        while let Some(byte) = bytes.next() {
            let mut next = || bytes.next();
            numbers.push(match byte {
                12 => {
                    entries.push((0x0c00 | u16::from(next()?), core::mem::take(&mut numbers)));
                    continue;
                }
                0..=21 => {
                    entries.push((u16::from(byte), core::mem::take(&mut numbers)));
                    continue;
                }
                28 => i32::from(i16::from_be_bytes([next()?, next()?])),
                29 => i32::from_be_bytes([next()?, next()?, next()?, next()?]),
                30 => {
                    // A real number in half bytes that 15 ends; none is needed here.
                    while next()? & 15 != 15 {}
                    0
                }
                32..=246 => i32::from(byte) - 139,
                247..=250 => (i32::from(byte) - 247) * 256 + i32::from(next()?) + 108,
                251..=254 => -(i32::from(byte) - 251) * 256 - i32::from(next()?) - 108,
                _ => return None,
            });
        }
        Some(Self(entries))
    }

    fn get(&self, operator: u16) -> Option<&[i32]> {
        self.0.iter().find(|entry| entry.0 == operator).map(|entry| &entry.1[..])
    }

    fn offset(&self, operator: u16) -> Option<usize> {
        usize::try_from(*self.get(operator)?.first()?).ok()
    }
}

/// What a charstring is in the middle of.
struct Run<'a> {
    global: &'a Index<'a>,
    local: &'a Index<'a>,
    path: &'a mut Path,
    stack: Vec<f64>,
    x: f64,
    y: f64,
    /// Hints so far; a hint mask has a bit for each.
    stems: usize,
    steps: usize,
}

/// Whether a charstring goes on after a subroutine.
enum Then {
    GoOn,
    Stop,
}

impl Run<'_> {
    fn run(&mut self, code: &[u8], depth: usize) -> Result<Then, Fault> {
        let mut bytes = code.iter().copied();
        while let Some(byte) = bytes.next() {
            self.steps += 1;
            if self.steps > MAX_STEPS {
                return Err(Fault::TooIntricate);
            }
            let mut next = || bytes.next().ok_or(Fault::Damaged);
            let number = match byte {
                28 => f64::from(i16::from_be_bytes([next()?, next()?])),
                32..=246 => f64::from(byte) - 139.0,
                247..=250 => (f64::from(byte) - 247.0) * 256.0 + f64::from(next()?) + 108.0,
                251..=254 => -(f64::from(byte) - 251.0) * 256.0 - f64::from(next()?) - 108.0,
                255 => f64::from(i32::from_be_bytes([next()?, next()?, next()?, next()?])) / 65_536.0,
                10 | 29 => {
                    let subroutines = if byte == 10 { self.local } else { self.global };
                    let number = self.stack.pop().ok_or(Fault::Damaged)?;
                    let code = subroutines.subroutine(number).ok_or(Fault::Damaged)?;
                    if depth == MAX_DEPTH {
                        return Err(Fault::Damaged);
                    }
                    if let Then::Stop = self.run(code, depth + 1)? {
                        return Ok(Then::Stop);
                    }
                    continue;
                }
                11 => return Ok(Then::GoOn),
                // Four numbers here would set an accent over a letter, which the note calls outdated.
                14 if self.stack.len() < 4 => return Ok(Then::Stop),
                19 | 20 => {
                    self.stems += self.stack.len() / 2;
                    self.stack.clear();
                    for _ in 0..self.stems.div_ceil(8) {
                        next()?;
                    }
                    continue;
                }
                12 => {
                    let operator = next()?;
                    self.flex(operator)?;
                    self.stack.clear();
                    continue;
                }
                _ => {
                    self.operate(byte)?;
                    self.stack.clear();
                    continue;
                }
            };
            if self.stack.len() == MAX_STACK {
                return Err(Fault::Damaged);
            }
            self.stack.push(number);
        }
        Ok(Then::GoOn)
    }

    fn operate(&mut self, operator: u8) -> Result<(), Fault> {
        let stack = core::mem::take(&mut self.stack);
        let odd = stack.len() % 2 == 1;
        match operator {
            1 | 3 | 18 | 23 => self.stems += stack.len() / 2,
            21 => {
                let [.., dx, dy] = stack[..] else { return Err(Fault::Damaged) };
                self.go(dx, dy)?;
            }
            22 => self.go(*stack.last().ok_or(Fault::Damaged)?, 0.0)?,
            4 => self.go(0.0, *stack.last().ok_or(Fault::Damaged)?)?,
            5 => self.lines(&stack)?,
            6 | 7 => {
                for (at, &d) in stack.iter().enumerate() {
                    if (operator == 6) == (at % 2 == 0) { self.line(d, 0.0)? } else { self.line(0.0, d)? }
                }
            }
            8 => self.curves(&stack)?,
            24 => {
                let (curves, line) =
                    stack.split_at_checked(stack.len().wrapping_sub(2)).ok_or(Fault::Damaged)?;
                self.curves(curves)?;
                self.lines(line)?;
            }
            25 => {
                let (lines, curve) =
                    stack.split_at_checked(stack.len().wrapping_sub(6)).ok_or(Fault::Damaged)?;
                self.lines(lines)?;
                self.curves(curve)?;
            }
            26 | 27 => {
                // An odd number comes first and moves the first curve's start to the side.
                let (mut aside, rest) = if odd { (stack[0], &stack[1..]) } else { (0.0, &stack[..]) };
                for d in rest.chunks(4) {
                    let &[a, b, c, e] = d else { return Err(Fault::Damaged) };
                    let aside = core::mem::take(&mut aside);
                    if operator == 26 {
                        self.curve([aside, a, b, c, 0.0, e])?;
                    } else {
                        self.curve([a, aside, b, c, e, 0.0])?;
                    }
                }
            }
            30 | 31 => {
                let (curves, last) =
                    if odd { stack.split_at(stack.len() - 1) } else { (&stack[..], &[][..]) };
                let count = curves.len() / 4;
                for (at, d) in curves.chunks(4).enumerate() {
                    let &[a, b, c, e] = d else { return Err(Fault::Damaged) };
                    let extra = if at + 1 == count { last.first().copied().unwrap_or(0.0) } else { 0.0 };
                    if (operator == 31) == (at % 2 == 0) {
                        self.curve([a, 0.0, b, c, extra, e])?;
                    } else {
                        self.curve([0.0, a, b, c, e, extra])?;
                    }
                }
            }
            _ => return Err(Fault::Damaged),
        }
        Ok(())
    }

    /// Pairs of shallow curves.
    fn flex(&mut self, operator: u8) -> Result<(), Fault> {
        let stack = core::mem::take(&mut self.stack);
        match (operator, &stack[..]) {
            (35, &[a, b, c, d, e, f, g, h, i, j, k, l, _]) => {
                self.curve([a, b, c, d, e, f])?;
                self.curve([g, h, i, j, k, l])
            }
            (34, &[a, b, c, d, e, f, g]) => {
                self.curve([a, 0.0, b, c, d, 0.0])?;
                self.curve([e, 0.0, f, -c, g, 0.0])
            }
            (36, &[a, b, c, d, e, f, g, h, i]) => {
                self.curve([a, b, c, d, e, 0.0])?;
                self.curve([f, 0.0, g, h, i, -(b + d + h)])
            }
            (37, &[a, b, c, d, e, f, g, h, i, j, last]) => {
                let (across, up) = (a + c + e + g + i, b + d + f + h + j);
                self.curve([a, b, c, d, e, f])?;
                if across.abs() > up.abs() {
                    self.curve([g, h, i, j, last, -up])
                } else {
                    self.curve([g, h, i, j, -across, last])
                }
            }
            _ => Err(Fault::Damaged),
        }
    }

    fn go(&mut self, dx: f64, dy: f64) -> Result<(), Fault> {
        self.path.close();
        (self.x, self.y) = (self.x + dx, self.y + dy);
        self.path.go([self.x, self.y])
    }

    fn line(&mut self, dx: f64, dy: f64) -> Result<(), Fault> {
        (self.x, self.y) = (self.x + dx, self.y + dy);
        self.path.line([self.x, self.y])
    }

    fn lines(&mut self, numbers: &[f64]) -> Result<(), Fault> {
        numbers.chunks(2).try_for_each(|d| match *d {
            [dx, dy] => self.line(dx, dy),
            _ => Err(Fault::Damaged),
        })
    }

    fn curve(&mut self, d: [f64; 6]) -> Result<(), Fault> {
        let first = [self.x + d[0], self.y + d[1]];
        let second = [first[0] + d[2], first[1] + d[3]];
        (self.x, self.y) = (second[0] + d[4], second[1] + d[5]);
        self.path.cubic(first, second, [self.x, self.y])
    }

    fn curves(&mut self, numbers: &[f64]) -> Result<(), Fault> {
        numbers.chunks(6).try_for_each(|d| match *d {
            [a, b, c, d, e, f] => self.curve([a, b, c, d, e, f]),
            _ => Err(Fault::Damaged),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(items: &[Vec<u8>]) -> Vec<u8> {
        let mut bytes = u16::try_from(items.len()).unwrap().to_be_bytes().to_vec();
        if items.is_empty() {
            return bytes;
        }
        bytes.push(2);
        let mut end = 1_u16;
        bytes.extend(end.to_be_bytes());
        for item in items {
            end += u16::try_from(item.len()).unwrap();
            bytes.extend(end.to_be_bytes());
        }
        bytes.extend(items.concat());
        bytes
    }

    fn long(number: usize) -> Vec<u8> {
        [&[29], &i32::try_from(number).unwrap().to_be_bytes()[..]].concat()
    }

    /// A font of these charstrings and subroutines.
    fn font(letters: &[Vec<u8>], global: &[Vec<u8>], local: &[Vec<u8>]) -> Vec<u8> {
        let (letters, global, local) = (list(letters), list(global), list(local));
        // Offset of the charstrings; size and offset of the private part.
        let top = |at: usize| [long(at), vec![17], long(6), long(at + letters.len()), vec![18]].concat();
        let head = [vec![1, 0, 4, 2], list(&[b"test".to_vec()])].concat();
        let start = head.len() + list(&[top(0)]).len() + list(&[]).len() + global.len();
        let private = [long(6), vec![19]].concat();
        [head, list(&[top(start)]), list(&[]), global, letters, private, local].concat()
    }

    /// A charstring: numbers, and operators as negative numbers less 1,000.
    fn code(items: &[i32]) -> Vec<u8> {
        let mut bytes = Vec::new();
        for &item in items {
            match item {
                ..=-1_000 => bytes.push(u8::try_from(-1_000 - item).unwrap()),
                -107..=107 => bytes.push(u8::try_from(item + 139).unwrap()),
                _ => bytes.extend([&[28], &i16::try_from(item).unwrap().to_be_bytes()[..]].concat()),
            }
        }
        bytes
    }

    fn op(operator: i32) -> i32 {
        -1_000 - operator
    }

    fn drawn(table: &[u8], letter: u16) -> Result<Vec<Vec<[f64; 2]>>, Fault> {
        let mut path = Path::default();
        Compact::read(table).ok_or(Fault::Damaged)?.draw(letter, &mut path).map(|()| path.contours().to_vec())
    }

    /// The reference here is ttf-parser's own reader of these tables.
    #[test]
    fn draws_as_another_reader_does() {
        let start = [100, 50, op(21)];
        let end = [op(14)];
        let pieces: &[&[i32]] = &[
            &[10, 20, 30, -40, op(5)],
            &[10, 20, 30, op(6)],
            &[10, 20, 30, 40, op(7)],
            &[1, 2, 30, 40, 5, 6, 10, 20, 30, 40, 50, 60, op(8)],
            &[1, 2, 30, 40, 5, 6, 70, 8, op(24)],
            &[70, 8, 1, 2, 30, 40, 5, 6, op(25)],
            &[10, 20, 30, 40, op(26)],
            &[7, 10, 20, 30, 40, 11, 21, 31, 41, op(26)],
            &[10, 20, 30, 40, op(27)],
            &[7, 10, 20, 30, 40, 11, 21, 31, 41, op(27)],
            &[10, 20, 30, 40, op(30)],
            &[10, 20, 30, 40, 50, op(30)],
            &[10, 20, 30, 40, 11, 21, 31, 41, 51, op(30)],
            &[10, 20, 30, 40, op(31)],
            &[10, 20, 30, 40, 11, 21, 31, 41, op(31)],
            &[10, 20, 30, 40, 11, 21, 31, 41, 12, 22, 32, 42, 52, op(31)],
            &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 50, op(12), op(35)],
            &[1, 2, 3, 4, 5, 6, 7, op(12), op(34)],
            &[1, 2, 3, 4, 5, 6, 7, 8, 9, op(12), op(36)],
            &[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, op(12), op(37)],
            &[1, 20, 3, 40, 5, 60, 7, 8, 9, 10, 11, op(12), op(37)],
            &[300, op(22), 10, 10, -10, op(6), -300, op(4), 10, 10, -10, op(7)],
            &[-107, op(10)],
            &[-106, op(29), 10, -107, op(29)],
            &[1, 2, 3, 4, op(1), 5, 6, op(3), 10, 10, op(5)],
        ];
        let hinted = [5, 10, 20, op(18), 1, 2, 3, 4, op(19), op(0xe0), 100, 50, op(21), 9, 9, -9, op(6)];
        let mut letters: Vec<Vec<u8>> = vec![code(&end)];
        letters.extend(pieces.iter().map(|piece| code(&[&start, *piece, &[30, -20, op(5)], &end].concat())));
        letters.push(code(&[&hinted[..], &end].concat()));
        let global = [code(&[20, op(5), op(11)]), code(&[40, 50, op(5), op(11)])];
        let local = [code(&[-5, 60, op(5), -106, op(29), op(11)])];
        let table = font(&letters, &global, &local);
        let other = ttf_parser::cff::Table::parse(&table).unwrap();
        for letter in 1..u16::try_from(letters.len()).unwrap() {
            let mut path = Path::default();
            other
                .outline(ttf_parser::GlyphId(letter), &mut path)
                .unwrap_or_else(|e| panic!("{letter}: {e:?}"));
            let ours = drawn(&table, letter).unwrap();
            let theirs = path.contours();
            let points = |contours: &[Vec<[f64; 2]>]| contours.concat();
            assert_eq!(
                ours.iter().map(Vec::len).collect::<Vec<_>>(),
                theirs.iter().map(Vec::len).collect::<Vec<_>>()
            );
            for (a, b) in points(&ours).iter().zip(points(theirs)) {
                assert!((a[0] - b[0]).abs() < 0.01 && (a[1] - b[1]).abs() < 0.01, "{letter}: {a:?} {b:?}");
            }
        }
    }

    #[test]
    fn programs_that_never_end() {
        // Each subroutine calls the next forty times, ten deep: ten to the sixteenth steps.
        let calls = |next: i32| code(&[[next - 107, op(10)].repeat(40), vec![op(11)]].concat());
        let mut local: Vec<Vec<u8>> = (1..10).map(calls).collect();
        local.push(code(&[op(11)]));
        let bomb = font(&[vec![], code(&[-107, op(10), op(14)])], &[], &local);
        assert_eq!(drawn(&bomb, 1), Err(Fault::TooIntricate));
        // One that calls itself.
        let circle = font(&[vec![], code(&[-107, op(10), op(14)])], &[], &[code(&[-107, op(10)])]);
        assert_eq!(drawn(&circle, 1), Err(Fault::Damaged));
    }

    #[test]
    fn broken_programs() {
        let one = |items: &[i32]| drawn(&font(&[vec![], code(items)], &[], &[vec![11]]), 1);
        for items in [
            &[op(21)][..],
            &[1, 2, op(21), 3, op(5)],
            &[1, 2, op(21), 1, 2, 3, op(8)],
            &[1, 2, op(21), 3, op(12), op(35)],
            &[op(10)],
            &[500, op(10)],
            &[500, op(29)],
            &[op(2)],
            &[1, 2, op(1), op(19)],
            &[1, 2, 3, 4, op(14)],
            &[op(28), op(1)],
            &[1; 300],
            // A line before any start.
            &[1, 2, 3, 4, 5, 6, op(8), op(14)],
        ] {
            assert_eq!(one(items), Err(Fault::Damaged), "{items:?}");
        }
        let whole = font(&[vec![], code(&[1, 2, op(21), 9, 9, -9, op(6), op(14)])], &[], &[vec![11]]);
        assert_eq!(drawn(&whole, 1).unwrap().len(), 1);
        assert_eq!(drawn(&whole, 2), Err(Fault::Damaged));
        for length in 0..whole.len() {
            let _ = drawn(&whole[..length], 1);
        }
        for at in 0..whole.len() {
            for change in [0, 1, 2, 10, 28, 127, 255] {
                let mut changed = whole.clone();
                changed[at] = change;
                let _ = drawn(&changed, 1);
            }
        }
    }
}
