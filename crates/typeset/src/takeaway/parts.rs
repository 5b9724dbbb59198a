//! The parts of the page, one function each: empty where the pattern has nothing to say.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use booklet::{Booklet, Section, WindLine, Word, YarnEntry};

use crate::chart_picture::{Layout, ink_on};
use crate::chart_svg::{cells, chart_on_page};
use crate::drawing::drawing;
use crate::fabric_thumbnail;
use crate::markup::{add, escaped};

/// The longest side of the picture of the fabric in pixels.
const FABRIC: u32 = 360;

/// A part of the page, with its name in the list of parts.
pub(super) struct Part {
    pub(super) id: &'static str,
    pub(super) name: String,
    pub(super) html: String,
}

/// All parts that have something to say, in order.
pub(super) fn parts(booklet: &Booklet<'_>) -> Vec<Part> {
    let part = |id, name: &str, html| Part { id, name: name.to_owned(), html };
    let mut parts = vec![
        part("needs", "What is needed", needs(booklet)),
        part("note", "A note", lines(&booklet.note)),
        part("yarns", "Yarns and key", yarns(&booklet.yarns)),
        part("gauge", "Gauge", says(&booklet.gauge_says)),
        part("how", "How to read it", how_to(booklet)),
        part("chart", "Chart", chart(booklet)),
        part("rows", "Rows in words", rows(booklet)),
        part("winding", "What to wind", winding(booklet)),
        part("ends", "Ends to weave in", ends(&booklet.ends)),
        part("border", "Border", border(booklet)),
    ];
    for (at, section) in booklet.closing.iter().enumerate() {
        // Only the first is named in the list: they are short, and follow one another.
        let id = if at == 0 { "closing" } else { "" };
        parts.push(part(id, &section.title, says(&section.says)));
    }
    parts.retain(|part| !part.html.is_empty());
    parts
}

/// Paragraphs.
fn says(paragraphs: &[String]) -> String {
    paragraphs.iter().map(|text| format!("<p dir=\"auto\">{}</p>\n", escaped(text))).collect()
}

/// What is done in a round, without the dashes that lists of plain text have.
fn steps(said: &[String]) -> String {
    let said: Vec<String> =
        said.iter().map(|line| line.strip_prefix("- ").unwrap_or(line).to_owned()).collect();
    says(&said)
}

/// A text with lines of its own.
fn lines(text: &str) -> String {
    let text = text.trim();
    if text.is_empty() {
        String::new()
    } else {
        format!("<p class=\"lines\" dir=\"auto\">{}</p>\n", escaped(text))
    }
}

/// A list of short sentences.
fn list(items: &[String]) -> String {
    let items: String =
        items.iter().map(|item| format!("<li dir=\"auto\">{}</li>\n", escaped(item))).collect();
    if items.is_empty() { items } else { format!("<ul class=\"plain\">\n{items}</ul>\n") }
}

fn needs(booklet: &Booklet<'_>) -> String {
    let mut html = String::new();
    // A page without the picture is whole too.
    if let Ok(png) = fabric_thumbnail(booklet.proven.chart(), &booklet.gauge, FABRIC) {
        add(
            &mut html,
            format_args!(
                "<img class=\"fabric\" alt=\"The fabric, its right side, small\" src=\"data:image/png;base64,{}\">\n",
                BASE64.encode(png)
            ),
        );
    }
    if !booklet.facts.is_empty() {
        html.push_str("<dl class=\"facts\">\n");
        for fact in &booklet.facts {
            let (name, value) = (escaped(&fact.name), escaped(&fact.value));
            add(
                &mut html,
                format_args!("<div><dt dir=\"auto\">{name}</dt><dd dir=\"auto\">{value}</dd></div>\n"),
            );
        }
        html.push_str("</dl>\n");
    }
    html
}

fn yarns(yarns: &[YarnEntry]) -> String {
    let mut html = String::from("<ul class=\"yarns\">\n");
    for yarn in yarns {
        let named = |name: &str, value: &str| (!value.is_empty()).then(|| format!("{value}{name}"));
        let counted =
            |one: &str, more: &str, value: &str| named(if value == "1" { one } else { more }, value);
        let balls = named("", &yarn.balls).map(|balls| format!("balls: {balls}"));
        let amounts = [
            counted(" stitch", " stitches", &yarn.stitches),
            counted(" strand", " strands", &yarn.strands),
            named("", &whole(&yarn.length)),
            named("", &whole(&yarn.weight)),
            balls,
        ];
        let amounts: Vec<String> = amounts.into_iter().flatten().collect();
        add(
            &mut html,
            format_args!(
                "<li>{}<p><b dir=\"auto\">{} {}</b> <span class=\"soft\">{}</span></p></li>\n",
                swatch(yarn),
                escaped(&yarn.symbol),
                escaped(&with_kind(yarn)),
                escaped(&amounts.join(", "))
            ),
        );
    }
    html.push_str("</ul>\n");
    html
}

/// A number and its unit, held together.
fn whole(amount: &str) -> String {
    amount.replace(' ', "\u{a0}")
}

/// The yarn's colour with its symbol on it, as in a cell.
fn swatch(yarn: &YarnEntry) -> String {
    format!(
        "<svg class=\"swatch\" viewBox=\"0 0 56 48\" aria-hidden=\"true\">\
         <rect x=\"1\" y=\"1\" width=\"54\" height=\"46\" rx=\"6\" fill=\"{}\"/>\
         <text x=\"28\" y=\"31\" text-anchor=\"middle\" font-size=\"20\" font-weight=\"700\" fill=\"{}\">{}</text></svg>",
        yarn.colour,
        ink_on(yarn.colour),
        escaped(&yarn.symbol)
    )
}

fn how_to(booklet: &Booklet<'_>) -> String {
    let how = &booklet.how_to;
    let titled = |title: &str, html: String| {
        if html.is_empty() { html } else { format!("<h3>{title}</h3>\n{html}") }
    };
    [
        titled("The chart", says(&how.chart)),
        titled("The rows", says(&how.rows)),
        titled("The words of the rows", glossary(&how.words)),
        titled("All along", list(&how.all_along)),
    ]
    .concat()
}

fn glossary(words: &[Word]) -> String {
    if words.is_empty() {
        return String::new();
    }
    let mut html = String::from("<dl class=\"glossary\">\n");
    for word in words {
        let (words, means) = (escaped(&word.words), escaped(&word.means));
        let drawn = word.draws.map(|step| format!("<div class=\"drawn\">{}</div>", drawing(step)));
        add(&mut html, format_args!("<dt>{words}</dt><dd>{means}{}</dd>\n", drawn.unwrap_or_default()));
    }
    html.push_str("</dl>\n");
    html
}

fn chart(booklet: &Booklet<'_>) -> String {
    let chart = booklet.proven.chart();
    let palette = chart.palette();
    let yarns = palette.indices().map(|yarn| {
        let colour = palette.yarn(yarn).colour;
        format!("{}{colour}{}", palette.symbol(yarn), ink_on(colour))
    });
    let Layout { left, top, cell: (width, height), .. } = Layout::boundless(chart, &booklet.gauge);
    format!(
        "<div id=\"chart-cells\" class=\"scrolls chart\" role=\"region\" aria-label=\"The whole chart\" tabindex=\"0\" \
         data-yarns=\"{}\" data-cells=\"{}\" data-from=\"{left} {top}\" data-cell=\"{width} {height}\">\n{}\n</div>\n",
        escaped(&yarns.collect::<Vec<_>>().join(" ")),
        cells(chart),
        chart_on_page(chart, &booklet.gauge, booklet.hand())
    )
}

/// The rows: each entry reads, from its beginning to its end, as the words of the row do.
fn rows(booklet: &Booklet<'_>) -> String {
    let rows = &booklet.rows;
    let mut html = list(&rows.strands);
    add(
        &mut html,
        format_args!(
            "<ol class=\"rows\">\n<li data-first=\"0\" data-last=\"0\"><span class=\"line\">{}</span></li>\n",
            escaped(&rows.foundation)
        ),
    );
    for row in &rows.rows {
        add(
            &mut html,
            format_args!(
                "<li data-first=\"{}\" data-last=\"{}\"><b>{}:</b>",
                row.first,
                row.last,
                escaped(&row.name)
            ),
        );
        for line in &row.lines {
            let line = escaped(line);
            // The mark at its beginning is set apart for the eye.
            let line = match line.split_once(" made) ") {
                Some((made, rest)) if made.starts_with('(') => {
                    format!("<span class=\"made\">{made} made)</span> {rest}")
                }
                _ => line,
            };
            add(&mut html, format_args!(" <span class=\"line\">{line}</span>"));
        }
        html.push_str("</li>\n");
    }
    html.push_str("</ol>\n");
    html
}

/// A box to tick; the name tells it from all others of the page.
fn tick(name: &str, words: &str) -> String {
    format!(
        "<label class=\"tick\"><input type=\"checkbox\" data-tick=\"{}\"> <span dir=\"auto\">{}</span></label>",
        escaped(name),
        escaped(words)
    )
}

fn winding(booklet: &Booklet<'_>) -> String {
    if booklet.winding.is_empty() {
        return String::new();
    }
    let strand = |what: &str, line: &WindLine| {
        let rows = if line.joins_at == line.ends_at {
            format!("row {}", line.joins_at)
        } else {
            format!("rows {} to {}", line.joins_at, line.ends_at)
        };
        tick(&format!("wind {}", line.label), &format!("{what}: {}, {rows}", line.length))
    };
    let mut html = String::from("<ul class=\"wind\">\n");
    for entry in &booklet.winding {
        match &entry.strands[..] {
            [line] => add(&mut html, format_args!("<li>{}</li>\n", strand(&entry.what, line))),
            lines => {
                let lines: String =
                    lines.iter().map(|line| format!("<li>{}</li>\n", strand(&line.label, line))).collect();
                let what = escaped(&entry.what);
                add(&mut html, format_args!("<li><p dir=\"auto\">{what}</p>\n<ul>\n{lines}</ul></li>\n"));
            }
        }
    }
    html.push_str("</ul>\n");
    html
}

fn ends(ends: &[String]) -> String {
    let items = ends.iter().enumerate();
    let items: String =
        items.map(|(at, end)| format!("<li>{}</li>\n", tick(&format!("end {at}"), end))).collect();
    if items.is_empty() { items } else { format!("<ul class=\"wind\">\n{items}</ul>\n") }
}

/// A yarn's name, and what it is.
fn with_kind(yarn: &YarnEntry) -> String {
    if yarn.kind.is_empty() { yarn.name.clone() } else { format!("{} · {}", yarn.name, yarn.kind) }
}

fn border(booklet: &Booklet<'_>) -> String {
    let Some(border) = &booklet.border else { return String::new() };
    let section = |section: &Section| {
        format!("<h3 dir=\"auto\">{}</h3>\n{}", escaped(&section.title), steps(&section.says))
    };
    let rounds: String = border.rounds.iter().map(section).collect();
    let lies = says(&border.lies);
    let lies = if lies.is_empty() { lies } else { format!("<h3>How it lies</h3>\n{lies}") };
    [says(&border.heading), rounds, lies].concat()
}
