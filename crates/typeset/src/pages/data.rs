//! From a booklet to the values that the template sets.

use core::ops::Range;

use booklet::{Booklet, Section, WindEntry, Word, YarnEntry};
use model::Srgb;
use typst::foundations::{Array, Bytes, Dict, IntoValue, Value, dict};

use crate::canvas::{Face, Faces, LINE};
use crate::drawing::{self, drawing_says};
use crate::markup::cut;

use super::clean::{breakable, fitted, line, paragraphs};
use super::ink::{self, Inks};
use super::piece::{self, Pieces};
use super::{Ink, PagesError, Paper, Print};

/// Longest title and name on the cover, in characters.
const TITLE: usize = 120;
const BY: usize = 120;
/// Longest name of a yarn, and longest line that holds one.
const NAME: usize = 80;
const WITH_NAME: usize = 400;
/// Longest side of the picture on the cover, in pixels.
const PICTURE: u32 = 1_000;

/// Margins of the pages with the chart, in hundredths of a millimetre: left and right, above, below.
const CHART_MARGIN: (u32, u32, u32) = (1_100, 1_200, 1_800);
/// Margins of all other pages.
const MARGIN: (u32, u32, u32) = (1_700, 1_700, 2_000);
/// Height that the heading of a page of the chart takes.
const CHART_HEADING: (u32, u32) = (1_500, 3_600);

/// Words longer than that can be broken, where they stand in a line of the page's width and in a
/// narrow column.
const LONG: usize = 30;
const NARROW: usize = 12;

/// All that the template needs.
pub(super) fn inputs(booklet: &Booklet<'_>, paper: &Paper) -> Result<Dict, PagesError> {
    let chart = booklet.proven.chart();
    let title = match line(&booklet.title) {
        empty if empty.is_empty() => "Untitled pattern".to_owned(),
        title => title,
    };
    let (wide, high) = paper.sheet.size();
    let picture = ink::picture(booklet, paper.ink, PICTURE)?;
    let tall =
        booklet.gauge.height_of(chart.rows()).as_mm() / booklet.gauge.width_of(chart.columns()).as_mm();
    let part = if paper.print == Print::Large { 0.38 } else { 0.46 };
    let room = (mm(wide - 2 * MARGIN.0), mm(high) * part);
    Ok(dict! {
        "paper" => dict! {
            "width" => mm(wide),
            "height" => mm(high),
            "black" => paper.ink == Ink::Black,
            "large" => paper.print == Print::Large,
            "margin" => margins(MARGIN),
            "chart-margin" => margins(CHART_MARGIN),
        },
        "title" => cut(&title, 2 * TITLE),
        "cover" => breakable(&cut(&title, TITLE), LONG / 2),
        "running" => running(&title, paper),
        "author" => cut(&line(&booklet.by), BY),
        "by" => breakable(&cut(&line(&booklet.by), BY), LONG),
        "subtitle" => text(&booklet.subtitle),
        "note" => list(&paragraphs(&booklet.note)),
        "picture" => Bytes::new(picture),
        "picture-size" => fit(tall, room),
        "band" => band(booklet, paper.ink),
        "facts" => booklet.facts.iter().map(|fact| {
            dict! { "name" => text(&fact.name), "value" => text(&cut(&fact.value, WITH_NAME)) }.into_value()
        }).collect::<Array>(),
        "yarns" => booklet.yarns.iter().map(|yarn| yarn_entry(yarn, &colours(booklet), paper.ink)).collect::<Array>(),
        "gauge" => list(&booklet.gauge_says),
        "how-chart" => list(&[&booklet.how_to.chart[..], &booklet.how_to.chart_on_paper].concat()),
        "how-rows" => list(&[&booklet.how_to.rows[..], &booklet.how_to.rows_on_paper].concat()),
        "words" => booklet.how_to.words.iter().map(|word| word_entry(word, paper.ink)).collect::<Array>(),
        "along" => list(&booklet.how_to.all_along),
        "chart" => chart_pages(booklet, paper)?,
        "strands" => booklet.rows.strands.iter().map(|said| with_name(said)).collect::<Array>(),
        "foundation" => text(&booklet.rows.foundation),
        "rows" => booklet.rows.rows.iter().map(|row| {
            dict! { "name" => line(&row.name), "lines" => list(&row.lines) }.into_value()
        }).collect::<Array>(),
        "winding" => booklet.winding.iter().map(|entry| wind_entry(entry, booklet, paper.ink)).collect::<Array>(),
        "tags" => booklet.tags.iter().filter(|_| paper.tags).map(|(label, rest)| {
            dict! { "label" => line(label), "rest" => narrow(&cut(&line(rest), 2 * NAME)) }.into_value()
        }).collect::<Array>(),
        "ends" => booklet.ends.iter().filter(|_| paper.ends).map(|said| with_name(said)).collect::<Array>(),
        "border" => match &booklet.border {
            Some(border) => dict! {
                "heading" => list(&border.heading),
                "rounds" => border.rounds.iter().map(round).collect::<Array>(),
                "lies" => list(&border.lies),
            }.into_value(),
            None => Value::None,
        },
        "closing" => sections(&booklet.closing),
    })
}

fn mm(hundredths: u32) -> f64 {
    f64::from(hundredths) / 100.0
}

fn margins((side, above, below): (u32, u32, u32)) -> Dict {
    dict! { "side" => mm(side), "above" => mm(above), "below" => mm(below) }
}

/// A line of text that no word of it runs off the page.
fn text(said: &str) -> String {
    breakable(&line(said), LONG)
}

/// The same for a narrow column.
fn narrow(said: &str) -> String {
    breakable(&line(said), NARROW)
}

fn list(said: &[String]) -> Array {
    said.iter().map(|said| text(said).into_value()).collect()
}

/// A line that holds a yarn's name, which may be of any length.
fn with_name(said: &str) -> Value {
    text(&cut(said, WITH_NAME)).into_value()
}

fn sections(sections: &[Section]) -> Array {
    let entry = |section: &Section| {
        dict! { "title" => text(&section.title), "says" => list(&section.says) }.into_value()
    };
    sections.iter().map(entry).collect()
}

/// A round of the border: a box to tick for each thing to do, which is a line that begins with a dash.
fn round(round: &Section) -> Value {
    let step = |said: &String| {
        let (tick, says) = said.strip_prefix("- ").map_or((false, said.as_str()), |says| (true, says));
        dict! { "tick" => tick, "says" => text(says) }.into_value()
    };
    dict! { "title" => text(&round.title), "steps" => round.says.iter().map(step).collect::<Array>() }
        .into_value()
}

/// The title as it stands at the foot of every page, cut short where it would make a second line.
fn running(title: &str, paper: &Paper) -> String {
    let em = if paper.print == Print::Large { 16.0 } else { 10.0 };
    let points = f64::from(paper.sheet.size().0 - 2 * MARGIN.0) / 100.0 * 72.0 / 25.4;
    let faces = Faces::new();
    let number = "Page 9999 of 9999 · ";
    fitted(title, |title| {
        f64::from(faces.measure(&format!("{number}{title}"), em * LINE, Face::Regular)) <= points
    })
}

/// The largest width and height in millimetres that a picture so much taller than wide has room for.
fn fit(tall: f64, (wide, high): (f64, f64)) -> Dict {
    let wide = wide.min(high / tall);
    // A ribbon is shown as a line, and not as nothing.
    dict! { "width" => wide.max(0.3), "height" => (wide * tall).max(0.3) }
}

/// The yarns as a row of swatches: colour, ink on it, symbol.
fn band(booklet: &Booklet<'_>, ink: Ink) -> Array {
    let among = colours(booklet);
    let entry = |yarn: &YarnEntry| {
        let (fill, letter) = ink::in_key(yarn.colour, &among, ink);
        let parts = [fill.to_string(), letter.to_string(), line(&yarn.symbol)];
        parts.into_iter().map(IntoValue::into_value).collect::<Array>().into_value()
    };
    booklet.yarns.iter().map(entry).collect()
}

/// The colours among which a yarn of the chart has to be known.
fn colours(booklet: &Booklet<'_>) -> Vec<Srgb> {
    booklet.proven.chart().palette().yarns().iter().map(|yarn| yarn.colour).collect()
}

fn yarn_entry(yarn: &YarnEntry, among: &[Srgb], ink: Ink) -> Value {
    let (fill, letter) = ink::in_key(yarn.colour, among, ink);
    dict! {
        "symbol" => line(&yarn.symbol),
        "fill" => fill.to_string(),
        "ink" => letter.to_string(),
        "name" => narrow(&cut(&line(&yarn.name), NAME)),
        "kind" => narrow(&line(&yarn.kind)),
        "stitches" => line(&yarn.stitches),
        "strands" => line(&yarn.strands),
        "length" => line(&yarn.length),
        "weight" => line(&yarn.weight),
        "balls" => narrow(&yarn.balls),
    }
    .into_value()
}

fn word_entry(word: &Word, ink: Ink) -> Value {
    let inks = if ink == Ink::Black { drawing::BLACK } else { drawing::COLOUR };
    let drawn = word.draws.map_or(Value::None, |step| {
        dict! {
            "svg" => Bytes::from_string(drawing::drawn(step, inks)),
            "says" => drawing_says(step),
        }
        .into_value()
    });
    dict! { "words" => line(&word.words), "means" => text(&word.means), "draws" => drawn }.into_value()
}

fn wind_entry(entry: &WindEntry, booklet: &Booklet<'_>, ink: Ink) -> Value {
    let colour = booklet.yarns.iter().find(|yarn| yarn.symbol == entry.symbol).map(|yarn| yarn.colour);
    let (fill, letter) = ink::in_key(colour.unwrap_or(Srgb::new(255, 255, 255)), &colours(booklet), ink);
    let strand = |strand: &booklet::WindLine| {
        dict! {
            "label" => line(&strand.label),
            "length" => line(&strand.length),
            "joins" => strand.joins_at.to_string(),
            "ends" => strand.ends_at.to_string(),
        }
        .into_value()
    };
    dict! {
        "symbol" => line(&entry.symbol),
        "fill" => fill.to_string(),
        "ink" => letter.to_string(),
        "what" => narrow(&cut(&line(&entry.what), 2 * NAME)),
        "strands" => entry.strands.iter().map(strand).collect::<Array>(),
    }
    .into_value()
}

/// The pieces of the chart and the map of them.
fn chart_pages(booklet: &Booklet<'_>, paper: &Paper) -> Result<Dict, PagesError> {
    let chart = booklet.proven.chart();
    let (columns, rows) = (chart.columns(), chart.rows());
    let inks = Inks::new(chart, paper.ink);
    let (wide, high) = paper.sheet.size();
    let (sizes, heading) = match paper.print {
        Print::Usual => (piece::USUAL, CHART_HEADING.0),
        Print::Large => (piece::LARGE, CHART_HEADING.1),
    };
    let page = (wide - 2 * CHART_MARGIN.0, high - CHART_MARGIN.1 - CHART_MARGIN.2 - heading);
    // The palette's names: a booklet's yarns hold those of the border too.
    let names: Vec<String> = chart
        .palette()
        .yarns()
        .iter()
        .map(|yarn| line(if yarn.name.is_empty() { &yarn.key } else { &yarn.name }))
        .collect();
    let pieces = Pieces::new(chart, &booklet.gauge, booklet.hand(), &names, &inks, sizes, page)
        .ok_or(PagesError::TooLarge { columns, rows })?;
    let (across, up) = (pieces.tiling.across.len(), pieces.tiling.up.len());
    let from_right = pieces.begins_at_right();
    let all = across * up;
    let piece = |number: usize| {
        let (x, y) = (number % across, number / across);
        let drawn = pieces.draw(x, y);
        let (stitches, rows_said) = (&pieces.tiling.across[x], &pieces.tiling.up[y]);
        let here = format!("{}, {}", said("stitch", "stitches", stitches), said("row", "rows", rows_said));
        let title = if all == 1 {
            format!("Chart: {here}")
        } else {
            format!("Chart, piece {} of {all}: {here}", number + 1)
        };
        let (onward, back) = if from_right { ("left", "right") } else { ("right", "left") };
        let beside = [
            (x + 1 < across).then(|| (onward, number + 1)),
            (x > 0).then(|| (back, number.wrapping_sub(1))),
            (y + 1 < up).then(|| ("above", number + across)),
            (y > 0).then(|| ("below", number.wrapping_sub(across))),
        ];
        dict! {
            "title" => title,
            "alt" => format!(
                "Piece {} of {all} of the chart, with the symbol of its yarn in every cell: {here}, of {columns} \
                 stitches by {rows} rows. The rows in words say the same.",
                number + 1
            ),
            "svg" => Bytes::from_string(drawn.svg),
            "width" => mm(drawn.size.0),
            "place" => pieces.place(x, y).into_iter().map(IntoValue::into_value).collect::<Array>(),
            "beside" => beside.into_iter().flatten().map(|(way, number)| {
                dict! { "way" => way, "piece" => number }.into_value()
            }).collect::<Array>(),
        }
        .into_value()
    };
    let (cell_wide, cell_high) = pieces.tiling.cell;
    #[allow(clippy::cast_precision_loss)] // counts
    let tall = (rows as f64 * f64::from(cell_high)) / (columns as f64 * f64::from(cell_wide));
    Ok(dict! {
        "map" => Bytes::from_string(pieces.whole()),
        "map-alt" => format!(
            "The whole chart in small, {columns} stitches by {rows} rows, cut into {all} pieces, {across} across \
             and {up} up. Each piece carries the number of its page."
        ),
        "map-size" => fit(tall, (mm(wide - 2 * MARGIN.0), mm(high) * 0.55)),
        "pieces" => (0..all).map(piece).collect::<Array>(),
        "starts" => if from_right { "right" } else { "left" },
    })
}

/// As in `stitches 61–124`.
fn said(one: &str, many: &str, range: &Range<usize>) -> String {
    if range.len() == 1 {
        format!("{one} {}", range.end)
    } else {
        format!("{many} {}–{}", range.start + 1, range.end)
    }
}
