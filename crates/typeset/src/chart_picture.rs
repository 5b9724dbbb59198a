//! A chart to work from: cells in the gauge's proportions, symbols, row numbers where each row
//! starts, stitch numbers counted the way row 1 is worked, and the key.

use core::fmt;

use model::{Chart, ColourIndex, Direction, Gauge, Hand, Palette, RowIndex, Srgb};

use crate::canvas::{Align, Area, Canvas, Face, Pen};

pub(crate) const PAPER: Srgb = Srgb::new(0xfb, 0xf8, 0xf1);
pub(crate) const INK: Srgb = Srgb::new(0x2a, 0x26, 0x2e);
const FAINT: Srgb = Srgb::new(0x6d, 0x66, 0x70);
/// Lines between cells, and every tenth.
const LINE: Srgb = Srgb::new(0x9a, 0x93, 0x98);
const TENTH: Srgb = Srgb::new(0x2a, 0x26, 0x2e);

/// The longest side of the cells in all, in pixels.
const LONGEST: u32 = 9_000;
/// Widest and narrowest cell, in pixels.
const CELL: (u32, u32) = (4, 24);
/// Cells smaller than this carry no symbol: it could not be read.
const SMALLEST_WITH_SYMBOL: u32 = 12;

/// The face of the symbols in the cells.
pub(crate) const SYMBOL: Face = Face::Regular;

/// Why there is no picture.
#[derive(Debug)]
pub enum PictureError {
    /// The chart has more cells a side than a picture can show.
    TooLarge {
        /// Columns of the chart.
        columns: usize,
        /// Rows of the chart.
        rows: usize,
    },
    /// A part was asked for that is empty or not all on the chart.
    NoSuchPart {
        /// Columns of the chart.
        columns: usize,
        /// Rows of the chart.
        rows: usize,
    },
    /// The picture could not be encoded.
    Encoding(String),
}

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge { columns, rows } => {
                write!(f, "a chart of {columns} stitches by {rows} rows is too large to draw")
            }
            Self::NoSuchPart { columns, rows } => {
                write!(f, "that part is empty or not all on the chart of {columns} stitches by {rows} rows")
            }
            Self::Encoding(why) => write!(f, "the picture can't be encoded: {why}"),
        }
    }
}

impl std::error::Error for PictureError {}

/// Draws the chart as a PNG.
///
/// # Errors
/// When the chart is too large to be drawn.
pub fn chart_picture(chart: &Chart, gauge: &Gauge, hand: Hand) -> Result<Vec<u8>, PictureError> {
    let layout = Layout::new(chart, gauge)?;
    let mut canvas = Canvas::new(layout.width, layout.height, PAPER);
    draw_cells(&mut canvas, chart, &layout);
    draw_grid(&mut canvas, &layout, hand);
    draw_numbers(&mut canvas, &layout, hand);
    draw_key(&mut canvas, chart, &layout, hand);
    canvas.png().map_err(|error| PictureError::Encoding(error.to_string()))
}

/// Where everything stands, in pixels.
pub(crate) struct Layout {
    pub(crate) columns: u32,
    rows: u32,
    /// Width and height of a cell.
    pub(crate) cell: (u32, u32),
    /// Where the cells begin.
    pub(crate) left: u32,
    pub(crate) top: u32,
    /// Size of numbers and key.
    text: f32,
    /// Where the key begins, and how many entries stand side by side.
    key_top: u32,
    key_columns: u32,
    pub(crate) width: u32,
    pub(crate) height: u32,
}

/// The widest cell with which the chart fits into a picture.
fn widest(chart: &Chart) -> Option<u32> {
    let longest = chart.columns().max(chart.rows()) as u64;
    (CELL.0..=CELL.1).rev().find(|&cell| u64::from(cell) * longest <= u64::from(LONGEST))
}

impl Layout {
    fn new(chart: &Chart, gauge: &Gauge) -> Result<Self, PictureError> {
        let too_large = || PictureError::TooLarge { columns: chart.columns(), rows: chart.rows() };
        Ok(Self::with_cells(chart, gauge, widest(chart).ok_or_else(too_large)?))
    }

    /// For a drawing that no number of pixels bounds: a chart that is too large for a picture has the
    /// smallest cells.
    pub(crate) fn boundless(chart: &Chart, gauge: &Gauge) -> Self {
        Self::with_cells(chart, gauge, widest(chart).unwrap_or(CELL.0))
    }

    fn with_cells(chart: &Chart, gauge: &Gauge, width: u32) -> Self {
        let count = |cells: usize| u32::try_from(cells).expect("a chart has at most 10 000 cells a side");
        let (columns, rows) = (count(chart.columns()), count(chart.rows()));
        // Height of a row over width of a stitch, kept between 1:3 and 3:1 so that cells stay cells.
        let shape = (gauge.stitches() / gauge.rows()).clamp(1.0 / 3.0, 3.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 1 to 72
        let height = ((f64::from(width) * shape).round() as u32).max(2);
        let size = if width >= SMALLEST_WITH_SYMBOL { width } else { 16 };
        let left = size * 4;
        let top = size * 3;
        let cells = (width * columns, height * rows);
        let entry_width = size * 22;
        let key_columns = (cells.0.max(entry_width) / entry_width).max(1);
        let key_rows = count(used(chart).len()).div_ceil(key_columns);
        let key_top = top + cells.1 + size * 5;
        Self {
            columns,
            rows,
            cell: (width, height),
            left,
            top,
            #[allow(clippy::cast_precision_loss)] // small
            text: size as f32,
            key_top,
            key_columns,
            width: left * 2 + cells.0.max(key_columns * entry_width).max(size * 24),
            height: key_top + key_rows * size * 2 + size * 2,
        }
    }

    /// Whether a cell has room for a symbol that can be read.
    pub(crate) fn has_symbols(&self) -> bool {
        self.cell.0.min(self.cell.1) >= SMALLEST_WITH_SYMBOL
    }

    /// Top of a row's cells; row 1 is at the bottom.
    pub(crate) fn row_top(&self, row: u32) -> u32 {
        self.top + (self.rows - 1 - row) * self.cell.1
    }

    pub(crate) fn size(&self) -> u32 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 12 to 24
        {
            self.text as u32
        }
    }
}

/// The yarns that make at least one stitch, with how many.
pub(crate) fn used(chart: &Chart) -> Vec<(ColourIndex, usize)> {
    chart.palette().indices().zip(chart.stitches_by_yarn()).filter(|&(_, stitches)| stitches > 0).collect()
}

/// Black or white, whichever stands out more: one of the two always has a contrast of at least 4.58 : 1.
pub(crate) fn ink_on(colour: Srgb) -> Srgb {
    let luminance = colour.luminance() + 0.05;
    if luminance / 0.05 >= 1.05 / luminance { Srgb::new(0, 0, 0) } else { Srgb::new(255, 255, 255) }
}

fn draw_cells(canvas: &mut Canvas, chart: &Chart, layout: &Layout) {
    let (width, height) = layout.cell;
    let palette = chart.palette();
    let symbols: Vec<String> = palette.indices().map(|yarn| palette.symbol(yarn)).collect();
    #[allow(clippy::cast_precision_loss)] // pixels of a sheet
    for (row, top) in chart.row_indices().zip((0..layout.rows).map(|row| layout.row_top(row))) {
        for (column, yarn) in (0..).zip(chart.row(row)) {
            let left = layout.left + column * width;
            let colour = palette.yarn(*yarn).colour;
            canvas.fill(Area(left, top, width, height), colour);
            if layout.has_symbols() {
                let symbol = &symbols[yarn.index()];
                let size = symbol_size(symbol, layout.cell);
                let centre = (left as f32 + width as f32 / 2.0, top as f32 + height as f32 / 2.0);
                canvas.write(symbol, centre, Align::Centre, size, SYMBOL, ink_on(colour));
            }
        }
    }
}

/// The line height that a symbol is written with in a cell: as large as leaves it free of the lines,
/// for the widest letters too.
#[allow(clippy::cast_precision_loss)] // pixels
pub(crate) fn symbol_size(symbol: &str, (width, height): (u32, u32)) -> f32 {
    let (width, height) = (width as f32, height as f32);
    if symbol.len() == 1 { height.min(width * 1.2) } else { (height * 0.7).min(width * 0.66) }
}

pub(crate) fn draw_grid(canvas: &mut impl Pen, layout: &Layout, hand: Hand) {
    let (width, height) = layout.cell;
    let (right, bottom) = (layout.columns * width, layout.rows * height);
    // Counted as row 1 is worked, so that tens stand where a person counts them.
    let stitches_before = |column: u32| match RowIndex(0).direction(hand) {
        Direction::Rightwards => column,
        Direction::Leftwards => layout.columns - column,
    };
    let tenth = |before: u32| before.is_multiple_of(10);
    // Every tenth is dark with light on both sides, to be seen on any yarn; where cells are too small
    // for that it is dark alone.
    let rulings: &[(bool, Srgb, u32, u32)] = if layout.has_symbols() {
        &[(false, LINE, 1, 0), (true, PAPER, 4, 1), (true, TENTH, 2, 0)]
    } else {
        &[(false, LINE, 1, 0), (true, TENTH, 2, 0)]
    };
    for &(heavy, colour, thick, before) in rulings {
        let (left, top) = (layout.left - before, layout.top - before);
        for column in 0..=layout.columns {
            if (tenth(stitches_before(column)) || column == 0 || column == layout.columns) == heavy {
                canvas.fill(Area(left + column * width, top, thick, bottom + thick), colour);
            }
        }
        for row in 0..=layout.rows {
            if (tenth(row) || row == layout.rows) == heavy {
                canvas.fill(Area(left, top + bottom - row * height, right + thick, thick), colour);
            }
        }
    }
}

#[allow(clippy::cast_precision_loss)] // pixels of a sheet
pub(crate) fn draw_numbers(canvas: &mut impl Pen, layout: &Layout, hand: Hand) {
    let (width, height) = layout.cell;
    let gap = layout.size() * 2 / 5;
    let size = (layout.text * 0.8).min(height as f32 * 0.9).max(9.0);
    // Rows closer together than a number is high have only every fifth numbered.
    let every = if height as f32 >= size { 1 } else { 5 };
    let (left, right) = (layout.left, layout.left + layout.columns * width);
    for row in 0..layout.rows {
        let number = row + 1;
        if number != 1 && !number.is_multiple_of(every) {
            continue;
        }
        let y = layout.row_top(row) as f32 + height as f32 / 2.0;
        let face = if number.is_multiple_of(10) { Face::Bold } else { Face::Regular };
        // At the side where the row starts; the arrowhead says which way it runs.
        let direction = RowIndex(row as usize).direction(hand);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // pixels of a sheet
        let (head, head_top) = ((size * 0.45) as u32, (y - size * 0.225) as u32);
        let room = head + 2 * gap;
        #[allow(clippy::cast_precision_loss)]
        let (start, align) = match direction {
            Direction::Leftwards => ((right + room) as f32, Align::Left),
            Direction::Rightwards => ((left - room) as f32, Align::Right),
        };
        canvas.write(&number.to_string(), (start, y), align, size, face, INK);
        let arrow_left = match direction {
            Direction::Leftwards => right + gap,
            Direction::Rightwards => left - gap - head,
        };
        canvas.arrowhead(Area(arrow_left, head_top, head, head), direction == Direction::Rightwards, FAINT);
    }
    let left = left as f32;
    let bottom = (layout.top + layout.rows * height) as f32;
    for stitch in (1..=layout.columns).filter(|stitch| stitch.is_multiple_of(10) || *stitch == 1) {
        let column = match RowIndex(0).direction(hand) {
            Direction::Rightwards => stitch - 1,
            Direction::Leftwards => layout.columns - stitch,
        };
        let x = left + column as f32 * width as f32 + width as f32 / 2.0;
        for y in [layout.top as f32 - layout.text * 0.8, bottom + layout.text * 0.9] {
            canvas.write(&stitch.to_string(), (x, y), Align::Centre, layout.text * 0.7, Face::Regular, FAINT);
        }
    }
}

/// How large the chart is and how it is read, in a line.
pub(crate) fn caption(chart: &Chart, hand: Hand) -> String {
    let starts = match RowIndex(0).direction(hand) {
        Direction::Leftwards => "right",
        Direction::Rightwards => "left",
    };
    format!(
        "{} stitches by {} rows. Row 1, a right-side row, is the bottom row and starts at the {starts}; every row starts where its number stands.",
        chart.columns(),
        chart.rows()
    )
}

#[allow(clippy::cast_precision_loss)] // pixels of a sheet
pub(crate) fn draw_key(canvas: &mut impl Pen, chart: &Chart, layout: &Layout, hand: Hand) {
    let palette = chart.palette();
    let size = layout.size();
    let caption = caption(chart, hand);
    let room = (layout.width - layout.left * 3 / 2) as f32;
    let caption = shortened(canvas, &caption, layout.text * 0.9, room);
    let at = (layout.left as f32, layout.key_top as f32 - layout.text * 1.4);
    canvas.write(&caption, at, Align::Left, layout.text * 0.9, Face::Regular, INK);
    for (at, (yarn, stitches)) in (0..).zip(used(chart)) {
        let left = layout.left + at % layout.key_columns * size * 22;
        let top = layout.key_top + at / layout.key_columns * size * 2;
        let colour = palette.yarn(yarn).colour;
        let swatch = size * 3 / 2;
        canvas.fill(Area(left, top, swatch * 2, swatch), INK);
        canvas.fill(Area(left + 2, top + 2, swatch * 2 - 4, swatch - 4), colour);
        let middle = top as f32 + swatch as f32 / 2.0;
        canvas.write(
            &palette.symbol(yarn),
            (left as f32 + swatch as f32, middle),
            Align::Centre,
            layout.text,
            Face::Bold,
            ink_on(colour),
        );
        let text = yarn_words(palette, yarn, stitches);
        let room = (size * 22 - swatch * 2 - size * 2) as f32;
        canvas.write(
            &shortened(canvas, &text, layout.text * 0.9, room),
            ((left + swatch * 2 + size / 2) as f32, middle),
            Align::Left,
            layout.text * 0.9,
            Face::Regular,
            INK,
        );
    }
}

/// What a yarn is called, its key where it has no name, and how many stitches it makes.
pub(crate) fn yarn_words(palette: &Palette, yarn: ColourIndex, stitches: usize) -> String {
    let yarn = palette.yarn(yarn);
    format!("{}  {stitches} stitches", if yarn.name.is_empty() { &yarn.key } else { &yarn.name })
}

/// The text, cut short with … where it would run into the next entry.
fn shortened(canvas: &impl Pen, text: &str, size: f32, room: f32) -> String {
    if canvas.measure(text, size, Face::Regular) <= room {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while !kept.is_empty() {
        kept.pop();
        let candidate: String = kept.iter().chain(&['…']).collect();
        if canvas.measure(&candidate, size, Face::Regular) <= room {
            return candidate;
        }
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Yarn;

    fn chart() -> Chart {
        let yarn = |key: &str, colour| Yarn::plain(key, key, colour);
        let palette =
            Palette::new(vec![yarn("dark", Srgb::new(10, 20, 30)), yarn("light", Srgb::new(240, 230, 220))]);
        let cells: Vec<u8> = (0..30 * 20).map(|at| u8::from(at % 7 == 0)).collect();
        Chart::new(palette.unwrap(), 20, 30, &cells).unwrap()
    }

    fn drawn(gauge: Gauge, hand: Hand) -> image::RgbImage {
        let png = chart_picture(&chart(), &gauge, hand).unwrap();
        image::load_from_memory(&png).unwrap().to_rgb8()
    }

    /// Looks the cells up in the picture, away from grid lines and symbols, and finds the chart.
    #[test]
    fn every_cell_has_its_yarns_colour_and_the_gauges_proportions() {
        let chart = chart();
        let gauge = Gauge::new(14.0, 15.0).unwrap();
        let layout = Layout::new(&chart, &gauge).unwrap();
        let picture = drawn(gauge, Hand::Right);
        for row in chart.row_indices() {
            for (column, yarn) in (0..).zip(chart.row(row)) {
                let x = layout.left + column * layout.cell.0 + 3;
                let y = layout.row_top(u32::try_from(row.0).unwrap()) + 3;
                let colour = chart.palette().yarn(*yarn).colour;
                assert_eq!(picture.get_pixel(x, y).0, [colour.red, colour.green, colour.blue]);
            }
        }
        let shape = f64::from(layout.cell.1) / f64::from(layout.cell.0);
        assert!((shape - 14.0 / 15.0).abs() < 0.05);
    }

    /// Row numbers stand where rows start: for the other hand on the other side.
    #[test]
    fn the_other_hand_reads_from_the_other_side() {
        let gauge = Gauge::new(14.0, 14.0).unwrap();
        let layout = Layout::new(&chart(), &gauge).unwrap();
        let inked = |hand, right: bool| {
            let picture = drawn(gauge, hand);
            let y = layout.row_top(0);
            let margin =
                if right { layout.left + 30 * layout.cell.0 + 3..layout.width } else { 0..layout.left };
            margin
                .flat_map(|x| (y..y + layout.cell.1).map(move |y| (x, y)))
                .filter(|&(x, y)| picture.get_pixel(x, y).0[0] < 128)
                .count()
        };
        assert!(inked(Hand::Right, true) > 0 && inked(Hand::Right, false) == 0);
        assert!(inked(Hand::Left, true) == 0 && inked(Hand::Left, false) > 0);
    }

    fn contrast(one: Srgb, two: Srgb) -> f64 {
        let (one, two) = (one.luminance() + 0.05, two.luminance() + 0.05);
        (one / two).max(two / one)
    }

    /// Source: WCAG 2 contrast; black or white on any colour reaches √21 = 4.58 : 1.
    #[test]
    fn ink_stands_out_on_every_colour() {
        for red in (0..=255).step_by(5) {
            for green in (0..=255).step_by(3) {
                for blue in (0..=255).step_by(15) {
                    let colour = Srgb::new(red, green, blue);
                    assert!(contrast(colour, ink_on(colour)) >= 4.58, "{colour}");
                }
            }
        }
    }

    /// Looks into the cells of a picture: each holds pure ink, black or white, that stands out from
    /// its colour by 4.58 : 1, so that the symbol is read without the colour. The greys are those
    /// around which the ink changes.
    #[test]
    fn every_cell_of_the_picture_carries_its_symbol_in_ink_that_stands_out() {
        let colours = ["#000000", "#ffffff", "#747474", "#767676", "#c8102e", "#f6c765", "#4b5a8c"];
        let yarns = colours.map(|hex| Yarn::plain(hex, "", hex.parse().unwrap()));
        let palette = Palette::new(yarns.to_vec()).unwrap();
        let chart = Chart::new(palette, 1, 7, &[0, 1, 2, 3, 4, 5, 6]).unwrap();
        let gauge = Gauge::new(14.0, 15.0).unwrap();
        let layout = Layout::new(&chart, &gauge).unwrap();
        let png = chart_picture(&chart, &gauge, Hand::Right).unwrap();
        let picture = image::load_from_memory(&png).unwrap().to_rgb8();
        for (column, hex) in (0..).zip(colours) {
            let colour = hex.parse::<Srgb>().unwrap();
            let (left, top) = (layout.left + column * layout.cell.0, layout.row_top(0));
            // Away from the lines, the heavy ones of two pixels too.
            let inside = (top + 3..top + layout.cell.1 - 1)
                .flat_map(|y| (left + 3..left + layout.cell.0 - 1).map(move |x| (x, y)));
            let best = inside
                .map(|(x, y)| picture.get_pixel(x, y).0)
                .map(|[red, green, blue]| contrast(colour, Srgb::new(red, green, blue)))
                .fold(0.0, f64::max);
            assert!(best >= 4.58, "{hex}: {best}");
        }
    }

    /// However tall or wide a cell is, the widest symbols stay between its lines.
    #[test]
    fn symbols_stay_in_their_cells() {
        let canvas = Canvas::new(1, 1, PAPER);
        for height in [12, 24, 72] {
            for symbol in ["W", "M", "A", "BM", "AW"] {
                let size = symbol_size(symbol, (24, height));
                let wide = canvas.measure(symbol, size, SYMBOL);
                // A capital is about half of the line.
                assert!(wide <= 23.0 && size * 0.53 <= f32::from(u8::try_from(height).unwrap()) - 2.0);
            }
        }
    }
}
