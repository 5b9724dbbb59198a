//! The chart as an SVG: drawn as the picture is, with one path a colour and one text a row.

use core::mem;

use model::{Chart, ColourIndex, Gauge, Hand, Srgb};

use crate::canvas::{ASCENT, Align, Area, Face, Faces, LINE, Pen};
use crate::chart_picture::{
    Layout, PAPER, SYMBOL, caption, draw_grid, draw_key, draw_numbers, ink_on, symbol_size, used, yarn_words,
};
use crate::markup::{add, escaped};

/// The face of the picture where there is one, else what the viewer has.
const FACES: &str = "'Noto Sans', 'Segoe UI', 'DejaVu Sans', Arial, sans-serif";

/// Draws the chart as an SVG file: cells in the gauge's proportions with their symbols, row numbers
/// where each row starts, stitch numbers counted the way row 1 is worked, and the key. It holds
/// nothing that is not seen but a title and a description for those who can't see it.
#[must_use]
pub fn chart_svg(chart: &Chart, gauge: &Gauge, hand: Hand) -> String {
    let layout = Layout::boundless(chart, gauge);
    let mut pen = SvgPen::new();
    draw(&mut pen, chart, &layout, hand);
    draw_key(&mut pen, chart, &layout, hand);
    let drawn = pen.done();
    let (width, height) = (layout.width, layout.height);
    let mut yarns: Vec<String> = Vec::new();
    let palette = chart.palette();
    for (yarn, stitches) in used(chart) {
        yarns.push(format!("{} {}", palette.symbol(yarn), yarn_words(palette, yarn, stitches)));
    }
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"title says\" font-family=\"{FACES}\">\n\
         <title id=\"title\">Chart of {} stitches by {} rows</title>\n\
         <desc id=\"says\">{} Yarns: {}.</desc>\n\
         <path fill=\"{PAPER}\" d=\"M0 0h{width}v{height}H0z\"/>\n{drawn}</svg>\n",
        chart.columns(),
        chart.rows(),
        escaped(&caption(chart, hand)),
        escaped(&yarns.join(", ")),
    )
}

/// The chart without its key, as an element of an HTML page.
pub(crate) fn chart_on_page(chart: &Chart, gauge: &Gauge, hand: Hand) -> String {
    let layout = Layout::boundless(chart, gauge);
    let mut pen = SvgPen::new();
    draw(&mut pen, chart, &layout, hand);
    let drawn = pen.done();
    let height = layout.row_top(0) + layout.cell.1 + layout.size() * 2;
    let width = layout.left * 2 + layout.cell.0 * layout.columns;
    format!(
        "<svg width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" role=\"img\" \
         aria-label=\"Chart: {}\" font-family=\"{FACES}\">\n\
         <path fill=\"{PAPER}\" d=\"M0 0h{width}v{height}H0z\"/>\n{drawn}</svg>",
        escaped(&caption(chart, hand)),
    )
}

/// The cells of a chart for a script: rows from the first, `;` between; runs of a yarn's place in the
/// palette from the left, with `x` and how many where there are several.
pub(crate) fn cells(chart: &Chart) -> String {
    let row = |row| {
        let runs = chart.row(row).chunk_by(|one, next| one == next);
        let run = |run: &[ColourIndex]| match run.len() {
            1 => run[0].index().to_string(),
            times => format!("{}x{times}", run[0].index()),
        };
        runs.map(run).collect::<Vec<_>>().join(" ")
    };
    chart.row_indices().map(row).collect::<Vec<_>>().join(";")
}

fn draw(pen: &mut SvgPen, chart: &Chart, layout: &Layout, hand: Hand) {
    draw_cells(pen, chart, layout);
    if layout.has_symbols() {
        draw_symbols(pen, chart, layout);
    }
    draw_grid(pen, layout, hand);
    draw_numbers(pen, layout, hand);
}

/// Yarn by yarn, so that each has one path.
#[allow(clippy::cast_possible_truncation)] // at most 10 000 cells
fn draw_cells(pen: &mut SvgPen, chart: &Chart, layout: &Layout) {
    let (width, height) = layout.cell;
    let mut runs: Vec<Vec<Area>> = vec![Vec::new(); chart.palette().len()];
    for (row, top) in chart.row_indices().zip((0..).map(|row| layout.row_top(row))) {
        let mut left = layout.left;
        for run in chart.row(row).chunk_by(|one, next| one == next) {
            let wide = width * run.len() as u32;
            runs[run[0].index()].push(Area(left, top, wide, height));
            left += wide;
        }
    }
    for (yarn, runs) in chart.palette().indices().zip(runs) {
        let colour = chart.palette().yarn(yarn).colour;
        runs.into_iter().for_each(|run| pen.fill(run, colour));
    }
}

/// Row by row, each letter at a place of its own.
#[allow(clippy::cast_precision_loss)] // pixels of a sheet
fn draw_symbols(pen: &mut SvgPen, chart: &Chart, layout: &Layout) {
    let (width, height) = layout.cell;
    let palette = chart.palette();
    let longest = used(chart).into_iter().map(|(yarn, _)| palette.symbol(yarn)).max_by_key(String::len);
    let size = symbol_size(&longest.unwrap_or_default(), layout.cell);
    // For each yarn its symbol, the middles of its letters from the middle of a cell, and its ink.
    let marks: Vec<(String, Vec<f32>, Srgb)> = palette
        .indices()
        .map(|yarn| {
            let symbol = palette.symbol(yarn);
            let wide = |text: &str| pen.measure(text, size, SYMBOL);
            let mut start = -wide(&symbol) / 2.0;
            let middles = symbol.chars().map(|letter| {
                let letter = wide(letter.encode_utf8(&mut [0; 4]));
                start += letter;
                start - letter / 2.0
            });
            let middles = middles.collect();
            (symbol, middles, ink_on(palette.yarn(yarn).colour))
        })
        .collect();
    add(pen.open(), format_args!("<g text-anchor=\"middle\" font-size=\"{}\">\n", short(size / LINE)));
    for (row, top) in chart.row_indices().zip((0..).map(|row| layout.row_top(row))) {
        let (mut places, mut letters) = (String::new(), String::new());
        for (column, cell) in chart.row(row).iter().enumerate() {
            let middle = layout.left as f32 + (column as f32 + 0.5) * width as f32;
            for letter in &marks[cell.index()].1 {
                add(&mut places, format_args!("{} ", short(middle + letter)));
            }
        }
        for run in chart.row(row).chunk_by(|one, next| marks[one.index()].2 == marks[next.index()].2) {
            let symbols = run.iter().map(|cell| marks[cell.index()].0.as_str());
            let (symbols, ink) = (symbols.collect::<String>(), marks[run[0].index()].2);
            if ink == Srgb::new(0, 0, 0) {
                letters.push_str(&symbols);
            } else {
                add(&mut letters, format_args!("<tspan fill=\"{ink}\">{symbols}</tspan>"));
            }
        }
        let y = short(baseline(top as f32 + height as f32 / 2.0, size));
        add(pen.open(), format_args!("<text y=\"{y}\" x=\"{}\">{letters}</text>\n", places.trim_end()));
    }
    pen.open().push_str("</g>\n");
}

/// Where a line of text stands whose capitals are centred on `y`.
fn baseline(y: f32, size: f32) -> f32 {
    y + size * ASCENT / LINE * 0.335
}

/// A number with at most one decimal.
fn short(number: f32) -> String {
    let text = format!("{number:.1}");
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}

/// Writes an SVG. Rectangles of one colour that come in a row make one path.
struct SvgPen {
    svg: String,
    faces: Faces,
    /// The colour of the path that is being written, and where its last rectangle began.
    path: Option<(Srgb, i64, i64)>,
}

impl SvgPen {
    fn new() -> Self {
        Self { svg: String::new(), faces: Faces::new(), path: None }
    }

    /// What is written so far, every element closed.
    fn open(&mut self) -> &mut String {
        if self.path.take().is_some() {
            self.svg.push_str("\"/>\n");
        }
        &mut self.svg
    }

    fn done(mut self) -> String {
        mem::take(self.open())
    }
}

impl Pen for SvgPen {
    fn fill(&mut self, Area(left, top, width, height): Area, colour: Srgb) {
        let (x, y) = (i64::from(left), i64::from(top));
        match self.path {
            Some((same, last_x, last_y)) if same == colour => {
                add(&mut self.svg, format_args!("m{} {}", x - last_x, y - last_y));
            }
            _ => add(
                self.open(),
                format_args!("<path shape-rendering=\"crispEdges\" fill=\"{colour}\" d=\"M{x} {y}"),
            ),
        }
        add(&mut self.svg, format_args!("h{width}v{height}h-{width}z"));
        self.path = Some((colour, x, y));
    }

    fn write(&mut self, text: &str, (x, y): (f32, f32), align: Align, size: f32, face: Face, ink: Srgb) {
        let anchor = match align {
            Align::Left => "",
            Align::Centre => " text-anchor=\"middle\"",
            Align::Right => " text-anchor=\"end\"",
        };
        let weight = if face == Face::Bold { " font-weight=\"700\"" } else { "" };
        let fill = if ink == Srgb::new(0, 0, 0) { String::new() } else { format!(" fill=\"{ink}\"") };
        let (x, y, size) = (short(x), short(baseline(y, size)), short(size / LINE));
        add(
            self.open(),
            format_args!(
                "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\"{anchor}{weight}{fill}>{}</text>\n",
                escaped(text)
            ),
        );
    }

    fn arrowhead(&mut self, Area(left, top, width, height): Area, rightwards: bool, ink: Srgb) {
        let (x, along) =
            if rightwards { (left, i64::from(width)) } else { (left + width, -i64::from(width)) };
        add(
            self.open(),
            format_args!(
                "<path fill=\"{ink}\" d=\"M{x} {top}v{height}l{along} -{}z\"/>\n",
                short(f32::from(u16::try_from(height).unwrap_or(u16::MAX)) / 2.0)
            ),
        );
    }

    fn measure(&self, text: &str, size: f32, face: Face) -> f32 {
        self.faces.measure(text, size, face)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Palette, Yarn};
    use proptest::prelude::*;
    use roxmltree::{Document, Node};

    fn chart_of(colours: &[String], columns: usize, cells: &[u8]) -> Chart {
        let yarns =
            colours.iter().zip(0..).map(|(hex, at)| Yarn::plain(format!("y{at}"), hex, hex.parse().unwrap()));
        Chart::new(Palette::new(yarns.collect()).unwrap(), cells.len() / columns, columns, cells).unwrap()
    }

    fn named(colours: &[&str]) -> Vec<String> {
        colours.iter().copied().map(str::to_owned).collect()
    }

    fn gauge() -> Gauge {
        Gauge::new(14.0, 15.0).unwrap()
    }

    fn number(node: Node<'_, '_>, name: &str) -> f32 {
        node.attribute(name).unwrap_or_else(|| panic!("{name}")).parse().unwrap()
    }

    /// The rectangles of a path, read as SVG has it: `m` counts from where the last one began.
    fn rectangles(path: &str) -> Vec<[usize; 4]> {
        let (mut x, mut y) = (0_i64, 0_i64);
        let read = |rectangle: &str| {
            let (at, rest) = rectangle[1..].split_once('h').unwrap();
            let (dx, dy) = at.split_once(' ').unwrap();
            let (dx, dy) = (dx.parse::<i64>().unwrap(), dy.parse::<i64>().unwrap());
            (x, y) = if rectangle.starts_with('M') { (dx, dy) } else { (x + dx, y + dy) };
            let (width, rest) = rest.split_once('v').unwrap();
            let (height, back) = rest.split_once("h-").unwrap();
            assert_eq!(width, back);
            [x, y, width.parse().unwrap(), height.parse().unwrap()].map(|side| usize::try_from(side).unwrap())
        };
        path.strip_suffix('z').unwrap().split('z').map(read).collect()
    }

    /// Paints the cells' paths and reads the symbols: both are the chart, and all that is read stands out.
    #[allow(clippy::cast_precision_loss)] // pixels
    fn check(chart: &Chart, hand: Hand) {
        let layout = Layout::boundless(chart, &gauge());
        let (left, top) = (layout.left as usize, layout.top as usize);
        let (wide, high) = (layout.cell.0 as usize, layout.cell.1 as usize);
        let text = chart_svg(chart, &gauge(), hand);
        let svg = Document::parse(&text).expect("well-formed");
        let palette = chart.palette();

        // Behind the paper, one path a colour; yarns of one colour that follow each other share it.
        let mut colours: Vec<Srgb> = used(chart).iter().map(|(yarn, _)| palette.yarn(*yarn).colour).collect();
        colours.dedup();
        let mut painted = vec![None; chart.stitches()];
        let paths = svg.descendants().filter(|node| node.has_tag_name("path")).skip(1);
        for (path, meant) in paths.zip(&colours) {
            let colour: Srgb = path.attribute("fill").unwrap().parse().unwrap();
            assert_eq!(colour, *meant);
            for [x, y, width, height] in rectangles(path.attribute("d").unwrap()) {
                assert_eq!((height, width % wide, (x - left) % wide, (y - top) % high), (high, 0, 0, 0));
                let row = chart.rows() - 1 - (y - top) / high;
                let first = row * chart.columns() + (x - left) / wide;
                for cell in &mut painted[first..first + width / wide] {
                    assert_eq!(cell.replace(colour), None, "painted twice");
                }
            }
        }

        let group = svg.descendants().find(|node| node.has_tag_name("g")).unwrap();
        let rows: Vec<Node<'_, '_>> = group.children().filter(Node::is_element).collect();
        assert_eq!(rows.len(), chart.rows());
        for (row, text) in chart.row_indices().zip(rows) {
            // Letter by letter: where it stands and in what ink.
            let places = text.attribute("x").unwrap().split(' ').map(|x| x.parse::<f32>().unwrap());
            let letters = text.descendants().filter(Node::is_text).flat_map(|part| {
                let ink = part.parent().unwrap().attribute("fill").map_or("#000000", |ink| ink);
                part.text().unwrap().chars().map(move |letter| (letter, ink.parse::<Srgb>().unwrap()))
            });
            let mut read = places.zip(letters);
            for (column, yarn) in chart.row(row).iter().enumerate() {
                let colour = palette.yarn(*yarn).colour;
                assert_eq!(painted[row.0 * chart.columns() + column], Some(colour));
                for letter in palette.symbol(*yarn).chars() {
                    let (x, (said, ink)) = read.next().expect("a letter");
                    assert_eq!((said, ink), (letter, ink_on(colour)));
                    let start = (left + column * wide) as f32;
                    assert!(start < x && x < start + wide as f32, "in its own cell");
                }
            }
            assert!(read.next().is_none());
            let middle = layout.row_top(u32::try_from(row.0).unwrap()) as f32 + high as f32 / 2.0;
            let y = number(text, "y");
            assert!(middle < y && y < middle + high as f32 / 2.0, "a line below the middle, inside the cell");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn paths_and_letters_are_the_chart(
            colours in proptest::collection::vec("#[0-9a-f]{6}", 1..40),
            columns in 1_usize..20,
            cells in proptest::collection::vec(any::<u8>(), 1..300),
            left in any::<bool>(),
        ) {
            let rows = (cells.len() / columns).max(1);
            let yarns = u8::try_from(colours.len()).unwrap();
            let cells: Vec<u8> = cells.iter().cycle().take(rows * columns).map(|cell| cell % yarns).collect();
            check(&chart_of(&colours, columns, &cells), if left { Hand::Left } else { Hand::Right });
        }

        #[test]
        fn whatever_a_yarn_is_called_the_file_is_well_formed(name in any::<String>(), key in "[ -~]{1,20}") {
            let yarn = Yarn::plain(key, name, Srgb::new(1, 2, 3));
            let chart = Chart::new(Palette::new(vec![yarn]).unwrap(), 2, 3, &[0; 6]).unwrap();
            let text = chart_svg(&chart, &gauge(), Hand::Right);
            let svg = Document::parse(&text).expect("well-formed");
            let known = ["svg", "title", "desc", "path", "g", "text", "tspan"];
            prop_assert!(svg.descendants().filter(Node::is_element).all(|node| known.contains(&node.tag_name().name())));
        }
    }

    /// Row 1 starts, and its stitches are counted, at the side of the hand.
    #[test]
    #[allow(clippy::cast_precision_loss)] // pixels
    fn numbers_stand_where_rows_start() {
        let chart = chart_of(&named(&["#204060"]), 20, &[0; 20 * 12]);
        let layout = Layout::boundless(&chart, &gauge());
        let (left, right) = (layout.left as f32, (layout.left + layout.cell.0 * 20) as f32);
        for (hand, first_is_right) in [(Hand::Right, true), (Hand::Left, false)] {
            let text = chart_svg(&chart, &gauge(), hand);
            let svg = Document::parse(&text).unwrap();
            let texts = svg.root_element().children().filter(|node| node.has_tag_name("text"));
            let all: Vec<(&str, f32, f32)> =
                texts.map(|node| (node.text().unwrap(), number(node, "x"), number(node, "y"))).collect();
            for row in 1..=12_u32 {
                let at_right = (row % 2 == 1) == first_is_right;
                let middle = layout.row_top(row - 1) as f32 + layout.cell.1 as f32 / 2.0;
                let is_it = |&&(text, x, y): &&(&str, f32, f32)| {
                    text == row.to_string() && (y - middle).abs() < 12.0 && (x < left || x > right)
                };
                let found: Vec<_> = all.iter().filter(is_it).collect();
                assert!(matches!(found[..], [&(_, x, _)] if (x > right) == at_right), "{hand:?}: row {row}");
            }
            let inside =
                |stitch: &str| all.iter().find(|(text, x, _)| *text == stitch && left < *x && *x < right);
            assert_eq!(inside("1").unwrap().1 > inside("20").unwrap().1, first_is_right);
        }
    }

    /// Nothing but what is seen, and a title and a description: no date, no maker, no file name.
    #[test]
    fn it_says_what_it_is_and_nothing_else() {
        let chart = chart_of(&named(&["#f6c765", "#1c2444"]), 3, &[0, 0, 1, 1, 0, 0]);
        let text = chart_svg(&chart, &gauge(), Hand::Left);
        let svg = Document::parse(&text).unwrap();
        let said =
            |name: &str| svg.descendants().find(|node| node.has_tag_name(name)).and_then(|node| node.text());
        assert_eq!(said("title"), Some("Chart of 3 stitches by 2 rows"));
        let says = said("desc").unwrap();
        assert!(says.contains("starts at the left; every row starts where its number stands."), "{says}");
        assert!(says.ends_with("Yarns: A #f6c765  4 stitches, B #1c2444  2 stitches."), "{says}");
        assert!(!text.contains("metadata") && !text.contains("<!--") && !text.contains("<?"));
        let outside = text.replace("http://www.w3.org/2000/svg", "");
        assert!(!outside.contains("http") && !outside.contains("href") && !outside.contains("url("));
        assert_eq!(text, chart_svg(&chart, &gauge(), Hand::Left));
    }

    /// Every stitch another than its neighbours: no chart of that size and so many yarns is larger.
    #[test]
    fn the_busiest_chart_stays_small_enough_to_send() {
        let cells: Vec<u8> =
            (0..200 * 250_u32).map(|at| u8::try_from((at + at / 200) % 12).unwrap()).collect();
        let colours: Vec<String> = (0..12).map(|at| format!("#{:06x}", at * 0x0015_1515)).collect();
        let text = chart_svg(&chart_of(&colours, 200, &cells), &gauge(), Hand::Right);
        assert!(text.len() < 2_000_000, "{} bytes", text.len());
    }

    #[test]
    fn a_script_gets_the_cells_as_runs() {
        let chart = chart_of(&named(&["#000000", "#ffffff", "#777777"]), 4, &[0, 0, 0, 1, 2, 1, 1, 2]);
        assert_eq!(cells(&chart), "0x3 1;2 1x2 2");
    }
}
