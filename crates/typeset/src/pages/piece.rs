//! A piece of a chart as one picture: cells with their symbols, numbers at its edges, the key below.
//!
//! Lengths are in hundredths of a millimetre.

use core::ops::Range;

use model::{Chart, ColourIndex, Direction, Gauge, Hand, RowIndex, Srgb};

use crate::canvas::{Face, Faces, LINE};
use crate::chart_picture::{SYMBOL, used};
use crate::markup::{add, cut, escaped};

use super::clean;
use super::ink::Inks;
use super::tiling::{Cells, Tiling, shown};

/// A capital or a digit over its em (714 of 1000 units; SEEN in the font's own tables).
const CAPITAL: f64 = 0.714;
/// The first of these lengths at which all names in the key have room is taken.
const NAMES: [usize; 4] = [24, 16, 10, 0];

/// How large things are.
#[derive(Clone, Copy)]
pub(super) struct Sizes {
    /// Em of the numbers and of the key.
    text: u32,
    /// Least height of a symbol.
    symbol: u32,
    /// Cells whose symbols have one letter, and those of two.
    cells: [Cells; 2],
    /// Most lines of the key.
    key_lines: u32,
}

/// 10 points.
pub(super) const USUAL: Sizes = Sizes {
    text: 353,
    symbol: 200,
    cells: [Cells { least: (300, 270), most: 600 }, Cells { least: (420, 270), most: 700 }],
    key_lines: 2,
};

/// 16 points.
pub(super) const LARGE: Sizes = Sizes {
    text: 565,
    symbol: 260,
    cells: [Cells { least: (400, 360), most: 900 }, Cells { least: (560, 360), most: 1_000 }],
    key_lines: 3,
};

/// All that the pieces of a chart have in common.
pub(super) struct Pieces<'a> {
    chart: &'a Chart,
    hand: Hand,
    inks: &'a Inks,
    sizes: Sizes,
    faces: Faces,
    pub(super) tiling: Tiling,
    /// What the numbers of rows take at either side, and those of stitches above and below.
    side: u32,
    band: u32,
    /// Key: what stands where, from the upper left corner of the key.
    key: Vec<Entry>,
    /// Em of the symbols, how far they are squeezed, and their letters.
    symbol_size: f64,
    squeeze: f64,
    symbols: Vec<Symbol>,
}

/// An entry of the key.
struct Entry {
    left: u32,
    top: u32,
    yarn: ColourIndex,
    name: String,
}

/// A symbol, and its letters.
struct Symbol {
    text: String,
    letters: Vec<Letter>,
}

/// A letter of a symbol: where it begins from the middle of a cell, and its width, both as squeezed.
#[derive(Clone, Copy)]
struct Letter {
    letter: char,
    begins: f64,
    wide: f64,
}

/// A piece, drawn.
pub(super) struct Drawn {
    pub(super) svg: String,
    /// Width and height.
    pub(super) size: (u32, u32),
}

impl<'a> Pieces<'a> {
    /// Cuts the chart for pages with so much room. `names` has the yarns of the palette. `None` where
    /// the chart makes too many pages.
    pub(super) fn new(
        chart: &'a Chart,
        gauge: &Gauge,
        hand: Hand,
        names: &[String],
        inks: &'a Inks,
        sizes: Sizes,
        room: (u32, u32),
    ) -> Option<Self> {
        let faces = Faces::new();
        let text = sizes.text;
        let numbers = "0".repeat(chart.rows().to_string().len().max(3));
        // Arrow, gap, number, gap.
        let side = text / 5 + text * 3 / 5 + wide(&faces, &numbers, text, Face::Bold) + text / 5;
        let band = text * 13 / 10;
        let key = lay_key(chart, names, &faces, sizes, room.0);
        let key_high = key.last().map_or(0, |last| last.top + line(text) + text / 2);
        let palette = chart.palette();
        let two_letters = used(chart).iter().any(|&(yarn, _)| palette.symbol(yarn).len() > 1);
        // Kept between 1 : 3 and 3 : 1, so that cells stay cells.
        let shape = (gauge.stitches() / gauge.rows()).clamp(1.0 / 3.0, 3.0);
        let room = (room.0.checked_sub(2 * side)?, room.1.checked_sub(2 * band + key_high)?);
        let tiling =
            Tiling::new((chart.columns(), chart.rows()), shape, room, sizes.cells[usize::from(two_letters)])?;
        let mut pieces = Self {
            chart,
            hand,
            inks,
            sizes,
            faces,
            tiling,
            side,
            band,
            key,
            symbol_size: 0.0,
            squeeze: 1.0,
            symbols: Vec::new(),
        };
        pieces.set_symbols();
        Some(pieces)
    }

    /// Symbols as large as leaves them free of the lines, but never lower than they must be: rather
    /// squeezed.
    fn set_symbols(&mut self) {
        let palette = self.chart.palette();
        let em = |text: &str| f64::from(self.faces.measure(text, 100.0 * LINE, SYMBOL)) / 100.0;
        let widest = used(self.chart).iter().map(|&(yarn, _)| em(&palette.symbol(yarn))).fold(0.1, f64::max);
        let (cell_wide, cell_high) = (f64::from(self.tiling.cell.0), f64::from(self.tiling.cell.1));
        let room = cell_wide * 0.88;
        let least = f64::from(self.sizes.symbol);
        let high = (cell_high * 0.64).min(room / widest * CAPITAL).max(least);
        // Whole, as it is written.
        self.symbol_size = (high / CAPITAL).ceil();
        self.squeeze = (room / (widest * self.symbol_size)).min(1.0);
        let size = self.symbol_size * self.squeeze;
        self.symbols = palette
            .indices()
            .map(|yarn| {
                let text = palette.symbol(yarn);
                let mut at = -em(&text) * size / 2.0;
                let letters = text.chars().map(|letter| {
                    let wide = em(letter.encode_utf8(&mut [0; 4])) * size;
                    at += wide;
                    Letter { letter, begins: at - wide, wide }
                });
                let letters = letters.collect();
                Symbol { text, letters }
            })
            .collect();
    }

    /// Whether row 1 begins at the chart's right.
    pub(super) fn begins_at_right(&self) -> bool {
        RowIndex(0).direction(self.hand) == Direction::Leftwards
    }

    /// The columns that stitches counted from the start of row 1 stand in, from the chart's left.
    fn columns(&self, stitches: &Range<usize>) -> Range<usize> {
        let all = self.chart.columns();
        if self.begins_at_right() { all - stitches.end..all - stitches.start } else { stitches.clone() }
    }

    /// Where a piece lies on the whole chart, as parts of one from its upper left corner: left, top,
    /// width, height.
    #[allow(clippy::cast_precision_loss)] // counts
    pub(super) fn place(&self, across: usize, up: usize) -> [f64; 4] {
        let (columns, rows) = (self.columns(&self.tiling.across[across]), &self.tiling.up[up]);
        let (wide, high) = (self.chart.columns() as f64, self.chart.rows() as f64);
        [
            columns.start as f64 / wide,
            1.0 - rows.end as f64 / high,
            columns.len() as f64 / wide,
            rows.len() as f64 / high,
        ]
    }

    /// The whole chart small, without numbers or symbols, a unit a cell.
    pub(super) fn whole(&self) -> String {
        let (columns, rows) = (0..self.chart.columns(), 0..self.chart.rows());
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}\" height=\"{1}\" viewBox=\"0 0 {0} {1}\" \
             preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\">",
            columns.len(),
            rows.len()
        );
        self.cells(&mut svg, (0, 0), (1, 1), &columns, &rows, &|yarn| self.inks.small(yarn));
        svg + "</svg>"
    }

    /// One path for each yarn, over those columns and rows.
    fn cells(
        &self,
        svg: &mut String,
        (left, top): (u32, u32),
        (cell_wide, cell_high): (u32, u32),
        columns: &Range<usize>,
        rows: &Range<usize>,
        fill: &dyn Fn(ColourIndex) -> Srgb,
    ) {
        let mut paths = vec![String::new(); self.chart.palette().len()];
        let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        for (down, row) in (0..).zip(rows.clone().rev()) {
            let y = top + down * cell_high;
            let mut x = left;
            for run in self.chart.row(RowIndex(row))[columns.clone()].chunk_by(|one, two| one == two) {
                let wide = count(run.len()) * cell_wide;
                add(&mut paths[run[0].index()], format_args!("M{x} {y}h{wide}v{cell_high}h-{wide}z"));
                x += wide;
            }
        }
        for (yarn, path) in self.chart.palette().indices().zip(paths) {
            if !path.is_empty() {
                add(svg, format_args!("<path fill=\"{}\" d=\"{path}\"/>", fill(yarn)));
            }
        }
    }

    /// Draws a piece.
    pub(super) fn draw(&self, across: usize, up: usize) -> Drawn {
        let own = (self.columns(&self.tiling.across[across]), self.tiling.up[up].clone());
        let all = (shown(&own.0, self.chart.columns()), shown(&own.1, self.chart.rows()));
        let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
        let cell = self.tiling.cell;
        let (wide, high) = (count(all.0.len()) * cell.0, count(all.1.len()) * cell.1);
        let key_high =
            self.key.last().map_or(0, |last| last.top + line(self.sizes.text) + self.sizes.text / 2);
        let key_wide = self.key.iter().map(|entry| self.entry_right(entry)).max().unwrap_or(0);
        let size = ((self.side * 2 + wide).max(key_wide), self.band * 2 + high + key_high);
        let mut page = Page {
            pieces: self,
            svg: format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}\" height=\"{1}\" viewBox=\"0 0 {0} {1}\" \
                 font-family=\"Noto Sans, sans-serif\">",
                size.0, size.1
            ),
            own,
            all,
            left: self.side,
            top: self.band,
            right: self.side + wide,
            bottom: self.band + high,
        };
        page.cells();
        page.lines();
        page.symbols();
        page.row_numbers();
        page.stitch_numbers();
        page.key(self.band * 2 + high + self.sizes.text / 2);
        Drawn { svg: page.svg + "</svg>", size }
    }

    fn entry_right(&self, entry: &Entry) -> u32 {
        let text = self.sizes.text;
        entry.left + swatch(text) + text * 2 / 5 + wide(&self.faces, &entry.name, text, Face::Regular)
    }
}

/// Width of a swatch of the key with its symbol, and height of a line of the key.
const fn swatch(text: u32) -> u32 {
    text * 2
}

const fn line(text: u32) -> u32 {
    text * 8 / 5
}

/// Width of a text whose em is that, a little more rather than less.
fn wide(faces: &Faces, text: &str, em: u32, face: Face) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
    {
        faces.measure(text, em as f32 * LINE, face).ceil() as u32
    }
}

/// Sets the key in as few lines as it may have, names cut short where they must be; without names
/// where they have no room at all, and empty where even the symbols have none.
fn lay_key(chart: &Chart, names: &[String], faces: &Faces, sizes: Sizes, room: u32) -> Vec<Entry> {
    let text = sizes.text;
    NAMES
        .into_iter()
        .find_map(|longest| {
            let (mut left, mut top) = (0, 0);
            let mut key = Vec::new();
            for (yarn, _) in used(chart) {
                let name = names.get(yarn.index()).map_or("", String::as_str);
                let name = if longest == 0 { String::new() } else { cut(name, longest) };
                let right = left + swatch(text) + text * 2 / 5 + wide(faces, &name, text, Face::Regular);
                let entry_wide = right - left;
                if left > 0 && right > room {
                    (left, top) = (0, top + line(text));
                }
                key.push(Entry { left, top, yarn, name });
                left += entry_wide + text;
            }
            (top < line(text) * sizes.key_lines).then_some(key)
        })
        .unwrap_or_default()
}

/// So many letters are placed one from the other. Each place of its own costs the typesetter a new
/// look at the whole font, half of the time that a large chart takes; and where that face is missing,
/// on a screen, letters placed from each other drift.
const TOGETHER: usize = 4;

/// Letters of one ink in a row, as spans of a text.
#[derive(Default)]
struct Letters {
    spans: String,
    /// Of the span that is open: distances and letters, and where the last one ends.
    steps: String,
    text: String,
    end: f64,
    count: usize,
}

impl Letters {
    /// Puts a letter into the cell whose middle is there.
    fn put(&mut self, letter: Letter, middle: f64, squeeze: f64) {
        let place = (middle + letter.begins) / squeeze;
        if self.count.is_multiple_of(TOGETHER) {
            self.close();
            let place = place.round();
            add(&mut self.spans, format_args!("<tspan x=\"{place}\" dx=\""));
            self.steps.push('0');
            self.end = place;
        } else {
            let step = (place - self.end).round();
            add(&mut self.steps, format_args!(" {step}"));
            self.end += step;
        }
        self.text.push(letter.letter);
        self.end += letter.wide / squeeze;
        self.count += 1;
    }

    fn close(&mut self) {
        if !self.text.is_empty() {
            add(&mut self.spans, format_args!("{}\">{}</tspan>", self.steps, self.text));
            self.steps.clear();
            self.text.clear();
        }
    }

    fn done(mut self) -> String {
        self.close();
        self.spans
    }
}

/// A page of the chart that is being drawn.
struct Page<'a> {
    pieces: &'a Pieces<'a>,
    svg: String,
    /// Columns and rows of the piece itself, and those that it shows.
    own: (Range<usize>, Range<usize>),
    all: (Range<usize>, Range<usize>),
    left: u32,
    top: u32,
    right: u32,
    bottom: u32,
}

impl Page<'_> {
    /// Left edge of a column; `all.0.end` is the right edge of the last.
    fn x(&self, column: usize) -> u32 {
        self.left + u32::try_from(column - self.all.0.start).unwrap_or(0) * self.pieces.tiling.cell.0
    }

    /// Bottom edge of a row; `all.1.end` is the top edge of the last.
    fn y(&self, row: usize) -> u32 {
        self.bottom - u32::try_from(row - self.all.1.start).unwrap_or(0) * self.pieces.tiling.cell.1
    }

    fn is_own(&self, column: usize, row: usize) -> bool {
        self.own.0.contains(&column) && self.own.1.contains(&row)
    }

    fn cells(&mut self) {
        let cell = self.pieces.tiling.cell;
        let (columns, rows) = (self.all.0.clone(), self.all.1.clone());
        let (own_columns, own_rows) = (self.own.0.clone(), self.own.1.clone());
        let strips = [
            (columns.clone(), own_rows.end..rows.end),
            (columns.clone(), rows.start..own_rows.start),
            (columns.start..own_columns.start, own_rows.clone()),
            (own_columns.end..columns.end, own_rows.clone()),
        ];
        for (columns, rows) in strips {
            if !columns.is_empty() && !rows.is_empty() {
                let corner = (self.x(columns.start), self.y(rows.end));
                let fill = |yarn| self.pieces.inks.cell(yarn, true).0;
                self.pieces.cells(&mut self.svg, corner, cell, &columns, &rows, &fill);
            }
        }
        let corner = (self.x(own_columns.start), self.y(own_rows.end));
        let fill = |yarn| self.pieces.inks.cell(yarn, false).0;
        self.pieces.cells(&mut self.svg, corner, cell, &own_columns, &own_rows, &fill);
    }

    /// Stitches of row 1 that lie before the left edge of a column.
    fn before(&self, column: usize) -> usize {
        if self.pieces.begins_at_right() { self.pieces.chart.columns() - column } else { column }
    }

    /// Thin lines between cells; the tens in two tones, in turn, each with a white rim so that it is
    /// seen on any yarn; a frame around what belongs to this piece.
    fn lines(&mut self) {
        let (left, top, right, bottom) = (self.left, self.top, self.right, self.bottom);
        let (mut thin, mut warm, mut dark) = (String::new(), String::new(), String::new());
        let edge = |at: usize, all: &Range<usize>| at == all.start || at == all.end;
        for column in self.all.0.start..=self.all.0.end {
            let (x, tens) = (self.x(column), self.before(column));
            let path = match tens % 20 {
                0 if !edge(column, &self.all.0) => &mut dark,
                10 if !edge(column, &self.all.0) => &mut warm,
                _ => &mut thin,
            };
            add(path, format_args!("M{x} {top}V{bottom}"));
        }
        for row in self.all.1.start..=self.all.1.end {
            let y = self.y(row);
            let path = match row % 20 {
                0 if !edge(row, &self.all.1) => &mut dark,
                10 if !edge(row, &self.all.1) => &mut warm,
                _ => &mut thin,
            };
            add(path, format_args!("M{left} {y}H{right}"));
        }
        let inks = self.pieces.inks;
        self.stroke(&thin, inks.thin, 10);
        for (path, ink) in [(&warm, inks.warm), (&dark, inks.dark)] {
            self.stroke(path, super::ink::WHITE, 62);
            self.stroke(path, ink, 34);
        }
        let (left, right) = (self.x(self.own.0.start), self.x(self.own.0.end));
        let (top, bottom) = (self.y(self.own.1.end), self.y(self.own.1.start));
        let frame = format!("M{left} {top}H{right}V{bottom}H{left}z");
        self.stroke(&frame, super::ink::WHITE, 90);
        self.stroke(&frame, inks.dark, 55);
    }

    fn stroke(&mut self, path: &str, ink: Srgb, width: u32) {
        if !path.is_empty() {
            add(
                &mut self.svg,
                format_args!("<path fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\" d=\"{path}\"/>"),
            );
        }
    }

    /// Row by row the symbols, those of one ink in one text.
    fn symbols(&mut self) {
        let pieces = self.pieces;
        let (cell_wide, cell_high) = (f64::from(pieces.tiling.cell.0), f64::from(pieces.tiling.cell.1));
        let squeezed = if pieces.squeeze < 1.0 {
            format!(" transform=\"scale({:.4} 1)\"", pieces.squeeze)
        } else {
            String::new()
        };
        add(&mut self.svg, format_args!("<g font-size=\"{}\" font-kerning=\"none\">", pieces.symbol_size));
        for row in self.all.1.clone().rev() {
            let mut texts: Vec<(Srgb, Letters)> = Vec::new();
            for column in self.all.0.clone() {
                let yarn = pieces.chart.row(RowIndex(row))[column];
                let (_, ink) = pieces.inks.cell(yarn, !self.is_own(column, row));
                let at = texts.iter().position(|(known, _)| *known == ink).unwrap_or_else(|| {
                    texts.push((ink, Letters::default()));
                    texts.len() - 1
                });
                let middle = f64::from(self.x(column)) + cell_wide / 2.0;
                for &letter in &pieces.symbols[yarn.index()].letters {
                    texts[at].1.put(letter, middle, pieces.squeeze);
                }
            }
            let baseline = f64::from(self.y(row)) - (cell_high - pieces.symbol_size * CAPITAL) / 2.0;
            for (ink, letters) in texts {
                let spans = letters.done();
                add(
                    &mut self.svg,
                    format_args!("<text fill=\"{ink}\" y=\"{baseline:.0}\"{squeezed}>{spans}</text>"),
                );
            }
        }
        self.svg.push_str("</g>");
    }

    /// A text whose capitals are centred on `y`; `x` is its left, middle or right.
    fn write(&mut self, text: &str, (x, y): (u32, u32), anchor: &str, bold: bool, ink: Srgb) {
        let size = self.pieces.sizes.text;
        let weight = if bold { " font-weight=\"700\"" } else { "" };
        add(
            &mut self.svg,
            format_args!(
                "<text x=\"{x}\" y=\"{:.0}\" font-size=\"{size}\" text-anchor=\"{anchor}\"{weight} \
                 fill=\"{ink}\">{}</text>",
                f64::from(y) + f64::from(size) * CAPITAL / 2.0,
                escaped(text)
            ),
        );
    }

    /// Each row's number where it starts, with an arrowhead the way it runs.
    fn row_numbers(&mut self) {
        let pieces = self.pieces;
        let (text, high) = (pieces.sizes.text, pieces.tiling.cell.1);
        let mut heads = String::new();
        for row in self.all.1.clone() {
            let middle = self.y(row) - high / 2;
            let (gap, head) = (text / 5, text * 2 / 5);
            let number = row + 1;
            let ink = self.tone(number);
            let ink = if self.own.1.contains(&row) { ink } else { Srgb::new(0x76, 0x70, 0x78) };
            let bold = number.is_multiple_of(10);
            let (place, anchor) = match RowIndex(row).direction(pieces.hand) {
                Direction::Leftwards => {
                    let x = self.right + gap;
                    add(&mut heads, format_args!("M{x} {middle}l{head} -{}v{head}z", head / 2));
                    (x + head + gap, "start")
                }
                Direction::Rightwards => {
                    let x = self.left - gap;
                    add(&mut heads, format_args!("M{x} {middle}l-{head} -{}v{head}z", head / 2));
                    (x - head - gap, "end")
                }
            };
            self.write(&number.to_string(), (place, middle), anchor, bold, ink);
        }
        let dark = pieces.inks.dark;
        add(&mut self.svg, format_args!("<path fill=\"{dark}\" d=\"{heads}\"/>"));
        // Rows of one side begin at one edge: say which.
        let (at_left, at_right) = if pieces.begins_at_right() { ("WS", "RS") } else { ("RS", "WS") };
        for y in [self.top - pieces.band / 2, self.bottom + pieces.band / 2] {
            self.write(at_left, (0, y), "start", true, dark);
            self.write(at_right, (self.right + pieces.side, y), "end", true, dark);
        }
    }

    /// The tone of the line that a number belongs to.
    fn tone(&self, number: usize) -> Srgb {
        if number % 20 == 10 { self.pieces.inks.warm } else { self.pieces.inks.dark }
    }

    /// Every tenth stitch above and below, and the first and the last of the piece where they have
    /// room.
    fn stitch_numbers(&mut self) {
        let pieces = self.pieces;
        let all = pieces.chart.columns();
        let column = |stitch: usize| if pieces.begins_at_right() { all - stitch } else { stitch - 1 };
        let stitches: Vec<usize> = (1..=all).filter(|&stitch| self.own.0.contains(&column(stitch))).collect();
        let (Some(&first), Some(&last)) = (stitches.first(), stitches.last()) else { return };
        let cell = pieces.tiling.cell.0;
        let room = |one: usize, two: usize| {
            let digits = "0".repeat(all.to_string().len() + 1);
            u32::try_from(one.abs_diff(two)).unwrap_or(u32::MAX).saturating_mul(cell)
                > wide(&pieces.faces, &digits, pieces.sizes.text, Face::Bold)
        };
        let tens: Vec<usize> = stitches.iter().copied().filter(|stitch| stitch.is_multiple_of(10)).collect();
        let ends = [first, last].into_iter().filter(|&end| tens.iter().all(|&ten| room(end, ten)));
        let mut numbers: Vec<usize> = ends.collect();
        if let [first, last] = numbers[..]
            && !room(first, last)
        {
            numbers.pop();
        }
        numbers.extend(&tens);
        for number in numbers {
            let x = self.x(column(number)) + cell / 2;
            let (bold, ink) = (number.is_multiple_of(10), self.tone(number));
            for y in [self.top - pieces.band / 2, self.bottom + pieces.band / 2] {
                self.write(&number.to_string(), (x, y), "middle", bold, ink);
            }
        }
    }

    fn key(&mut self, top: u32) {
        let pieces = self.pieces;
        let text = pieces.sizes.text;
        for entry in &pieces.key {
            let (fill, ink) = pieces.inks.cell(entry.yarn, false);
            let (x, y) = (entry.left, top + entry.top);
            let (swatch_wide, swatch_high) = (swatch(text), text * 13 / 10);
            add(
                &mut self.svg,
                format_args!(
                    "<path fill=\"{fill}\" stroke=\"{}\" stroke-width=\"14\" \
                     d=\"M{} {y}h{wide}v{swatch_high}h-{wide}z\"/>",
                    pieces.inks.dark,
                    x + 7,
                    wide = swatch_wide - 14,
                ),
            );
            let middle = y + swatch_high / 2;
            let symbol = &pieces.symbols[entry.yarn.index()].text;
            self.write(symbol, (x + swatch_wide / 2, middle), "middle", true, ink);
            if !entry.name.is_empty() {
                let name = clean::line(&entry.name);
                self.write(&name, (x + swatch_wide + text * 2 / 5, middle), "start", false, pieces.inks.dark);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use model::Srgb;
    use roxmltree::Document;

    use super::*;
    use crate::pages::Ink;
    use crate::pages::tests::chart;

    fn with_pieces(chart: &Chart, hand: Hand, sizes: Sizes, ink: Ink, check: impl FnOnce(&Pieces<'_>)) {
        let inks = Inks::new(chart, ink);
        let names = vec!["Oak".to_owned(); chart.palette().len()];
        let gauge = Gauge::new(14.0, 15.0).unwrap();
        check(&Pieces::new(chart, &gauge, hand, &names, &inks, sizes, (18_800, 25_200)).unwrap());
    }

    fn number(text: &str) -> f64 {
        text.parse().unwrap()
    }

    /// Symbols of a drawn piece, by column and row as shown, from the upper left corner; pale ones apart.
    fn symbols(drawn: &Drawn, pieces: &Pieces<'_>, rows: usize) -> BTreeMap<(usize, usize), String> {
        let document = Document::parse(&drawn.svg).unwrap();
        let group = document.descendants().find(|node| node.has_tag_name("g")).unwrap();
        let (cell_wide, cell_high) = (f64::from(pieces.tiling.cell.0), f64::from(pieces.tiling.cell.1));
        let mut found: BTreeMap<(usize, usize), String> = BTreeMap::new();
        let mut texts = 0;
        for text in group.children().filter(|node| node.has_tag_name("text")) {
            texts += 1;
            let squeeze = text.attribute("transform").map_or(1.0, |transform| {
                number(transform.strip_prefix("scale(").unwrap().strip_suffix(" 1)").unwrap())
            });
            let y = number(text.attribute("y").unwrap()) - f64::from(pieces.band);
            for span in text.children().filter(|node| node.has_tag_name("tspan")) {
                let mut pen = number(span.attribute("x").unwrap());
                let steps: Vec<f64> = span.attribute("dx").unwrap().split(' ').map(number).collect();
                let letters = span.text().unwrap();
                assert_eq!(steps.len(), letters.chars().count());
                for (step, letter) in steps.into_iter().zip(letters.chars()) {
                    pen += step;
                    let x = pen * squeeze - f64::from(pieces.side);
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                    let at = ((x / cell_wide) as usize, (y / cell_high) as usize);
                    let letter_em =
                        pieces.faces.measure(letter.encode_utf8(&mut [0; 4]), 100.0 * LINE, SYMBOL);
                    let wide = f64::from(letter_em) / 100.0 * pieces.symbol_size;
                    // It lies between the lines of its cell.
                    let right = cell_wide * ((x / cell_wide).floor() + 1.0);
                    assert!(x + wide * squeeze <= right + 2.0, "{letter} at {x}");
                    pen += wide;
                    found.entry(at).or_default().push(letter);
                }
            }
        }
        // One text for each row and ink.
        assert!(texts <= 3 * rows, "{texts}");
        found
    }

    /// Colours of a drawn piece, from the paths of its cells.
    fn colours(drawn: &Drawn, pieces: &Pieces<'_>) -> BTreeMap<(usize, usize), Srgb> {
        let document = Document::parse(&drawn.svg).unwrap();
        let mut found = BTreeMap::new();
        let (cell_wide, cell_high) = (f64::from(pieces.tiling.cell.0), f64::from(pieces.tiling.cell.1));
        // The cells come before all lines.
        let cells = document.root_element().children().take_while(|node| node.attribute("stroke").is_none());
        for path in cells {
            let fill: Srgb = path.attribute("fill").unwrap().parse().unwrap();
            for run in path.attribute("d").unwrap().split('M').skip(1) {
                let numbers: Vec<f64> = run
                    .split(|letter: char| !letter.is_ascii_digit())
                    .filter(|digits| !digits.is_empty())
                    .map(number)
                    .collect();
                let [x, y, wide, ..] = numbers[..] else { panic!("{run}") };
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let (column, row, count) = (
                    ((x - f64::from(pieces.side)) / cell_wide) as usize,
                    ((y - f64::from(pieces.band)) / cell_high) as usize,
                    (wide / cell_wide) as usize,
                );
                for column in column..column + count {
                    assert!(found.insert((column, row), fill).is_none(), "painted twice");
                }
            }
        }
        found
    }

    /// Reads every piece back from its drawing: in each cell the symbol and the colour of its yarn,
    /// those shown again pale; and the pieces together are the chart, each stitch in one of them.
    #[test]
    fn the_pieces_read_back_are_the_chart() {
        for (columns, rows, yarns) in [(150, 130, 5), (61, 9, 3), (70, 120, 40), (1, 1, 1)] {
            let chart = chart(columns, rows, yarns);
            for (hand, sizes, ink) in [
                (Hand::Right, USUAL, Ink::Colour),
                (Hand::Left, USUAL, Ink::Black),
                (Hand::Right, LARGE, Ink::Black),
            ] {
                with_pieces(&chart, hand, sizes, ink, |pieces| {
                    let mut seen = vec![0; columns * rows];
                    for up in 0..pieces.tiling.up.len() {
                        for across in 0..pieces.tiling.across.len() {
                            let own =
                                (pieces.columns(&pieces.tiling.across[across]), pieces.tiling.up[up].clone());
                            let all = (shown(&own.0, columns), shown(&own.1, rows));
                            let drawn = pieces.draw(across, up);
                            let (symbols, colours) =
                                (symbols(&drawn, pieces, all.1.len()), colours(&drawn, pieces));
                            assert_eq!(symbols.len(), all.0.len() * all.1.len());
                            assert_eq!(colours.len(), symbols.len());
                            for (&(x, y), symbol) in &symbols {
                                let (column, row) = (all.0.start + x, all.1.end - 1 - y);
                                let yarn = chart.row(RowIndex(row))[column];
                                assert_eq!(*symbol, chart.palette().symbol(yarn));
                                let is_own = own.0.contains(&column) && own.1.contains(&row);
                                assert_eq!(colours[&(x, y)], pieces.inks.cell(yarn, !is_own).0);
                                seen[row * columns + column] += usize::from(is_own);
                            }
                        }
                    }
                    assert!(seen.iter().all(|&times| times == 1));
                });
            }
        }
    }

    /// The promises of the print: cells of 3 mm at least, symbols 2 mm high at least (2.6 mm in large
    /// print), numbers of 10 points at least (16).
    #[test]
    fn symbols_and_numbers_are_large_enough() {
        for (sizes, symbol, points) in [(USUAL, 200.0, 10.0), (LARGE, 260.0, 16.0)] {
            for yarns in [12, 40] {
                let chart = chart(200, 250, yarns);
                with_pieces(&chart, Hand::Right, sizes, Ink::Colour, |pieces| {
                    assert!(pieces.tiling.cell.0 >= 300, "{:?}", pieces.tiling.cell);
                    assert!(pieces.symbol_size * CAPITAL >= symbol - 1e-6);
                    assert!(pieces.symbol_size * CAPITAL <= f64::from(pieces.tiling.cell.1) * 0.8);
                    assert!(pieces.squeeze > 0.65, "{}", pieces.squeeze);
                    let drawn = pieces.draw(0, 0);
                    assert!(drawn.size.0 <= 18_800 && drawn.size.1 <= 25_200, "{:?}", drawn.size);
                    let document = Document::parse(&drawn.svg).unwrap();
                    for text in document.root_element().children().filter(|node| node.has_tag_name("text")) {
                        let size = number(text.attribute("font-size").unwrap()) / 100.0 / 25.4 * 72.0;
                        assert!(size >= points, "{size}");
                    }
                });
            }
        }
    }

    /// Numbers stand where rows start: those of right-side rows on the side where row 1 begins.
    #[test]
    fn row_numbers_stand_where_rows_start() {
        let chart = chart(30, 20, 3);
        for hand in [Hand::Right, Hand::Left] {
            with_pieces(&chart, hand, USUAL, Ink::Colour, |pieces| {
                let drawn = pieces.draw(0, 0);
                let document = Document::parse(&drawn.svg).unwrap();
                let right = pieces.side + 30 * pieces.tiling.cell.0;
                let sides = |word: &str| -> Vec<bool> {
                    let texts = document.root_element().children().filter(|node| node.text() == Some(word));
                    texts
                        .map(|node| number(node.attribute("x").unwrap()))
                        .filter(|&x| x < f64::from(pieces.side) || x > f64::from(right))
                        .map(|x| x > f64::from(right))
                        .collect()
                };
                let from_right = hand == Hand::Right;
                for row in [1, 3, 9, 19] {
                    assert_eq!(sides(&row.to_string()), [from_right], "{row}");
                }
                for row in [2, 4, 18, 20] {
                    assert_eq!(sides(&row.to_string()), [!from_right], "{row}");
                }
                assert_eq!(sides("RS"), [from_right; 2]);
                assert_eq!(sides("WS"), [!from_right; 2]);
            });
        }
    }
}
