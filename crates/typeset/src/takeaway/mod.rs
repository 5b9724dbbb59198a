//! The page to take away: the whole pattern as one HTML file that needs nothing else.
//!
//! All of it stands in the HTML and can be read without scripts. The script keeps the place, shows the
//! row at hand with its bit of the chart, and gives the place as a code to type in elsewhere: six signs,
//! of which three hold the row, two belong to the pattern, and one checks the others.

mod parts;
#[cfg(test)]
mod tests;

use core::fmt::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use booklet::Booklet;
use model::Hand;
use sha2::{Digest, Sha256};

use crate::markup::{cut, escaped};
use parts::parts;

const PAGE: &str = include_str!("page.html");
const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// Most characters of a title on the page, and in the name of its tab.
const TITLE: (usize, usize) = (240, 80);
/// Most characters of who made it and of the line under the title.
const LINE: usize = 400;

/// The whole pattern as one HTML page to take along, on a phone or a tablet: it needs no network, no
/// other file and no script. Nothing that anybody typed is read as markup; a title is cut short after 240
/// characters, its maker and the line below after 400.
#[must_use]
pub fn take_away(booklet: &Booklet<'_>) -> String {
    let parts = parts(booklet);
    let links = parts.iter().filter(|part| !part.id.is_empty());
    let links: String = links
        .map(|part| format!("<li><a href=\"#{}\">{}</a></li>\n", part.id, escaped(&cut(&part.name, 60))))
        .collect();
    let sections: String = (0..)
        .zip(&parts)
        .map(|(at, part)| {
            let id = if part.id.is_empty() { String::new() } else { format!(" id=\"{}\"", part.id) };
            format!(
                "<section{id} aria-labelledby=\"part-{at}\">\n<h2 id=\"part-{at}\" dir=\"auto\">{}</h2>\n{}</section>\n",
                escaped(&part.name),
                part.html
            )
        })
        .collect();
    let by = if booklet.by.trim().is_empty() {
        String::new()
    } else {
        format!("<p dir=\"auto\">by {}</p>", escaped(&cut(booklet.by.trim(), LINE)))
    };
    let hand = match booklet.hand() {
        Hand::Right => "right",
        Hand::Left => "left",
    };
    let slots = [
        ("policy", policy()),
        ("tab", escaped(&cut(&booklet.title, TITLE.1))),
        ("style", STYLE.to_owned()),
        ("digest", digest(booklet)),
        ("rows", booklet.proven.chart().rows().to_string()),
        ("hand", hand.to_owned()),
        ("title", escaped(&cut(&booklet.title, TITLE.0))),
        ("by", by),
        ("subtitle", escaped(&cut(&booklet.subtitle, LINE))),
        ("links", links),
        ("parts", sections),
        ("script", SCRIPT.to_owned()),
    ];
    filled(PAGE, &slots)
}

/// Nothing may be loaded from anywhere, and of scripts and styles only these very ones are taken.
fn policy() -> String {
    let hash = |text: &str| format!("'sha256-{}'", BASE64.encode(Sha256::digest(text.as_bytes())));
    format!(
        "default-src 'none'; img-src data:; style-src {}; script-src {}; base-uri 'none'; form-action 'none'",
        hash(STYLE),
        hash(SCRIPT)
    )
}

/// Tells patterns apart: the place in one is no place in another. Its name and notes have no part in it,
/// so that a page made again after a change of them goes on from the same place.
fn digest(booklet: &Booklet<'_>) -> String {
    let mut hash = Sha256::new();
    let mut take = |text: &str| {
        hash.update(text.as_bytes());
        hash.update([0]);
    };
    take(&crate::chart_svg::cells(booklet.proven.chart()));
    take(&booklet.rows.foundation);
    for row in &booklet.rows.rows {
        take(&row.name);
        row.lines.iter().for_each(|line| take(line));
    }
    let mut text = String::new();
    for byte in hash.finalize().iter().take(16) {
        write!(text, "{byte:02x}").expect("a String takes all there is");
    }
    text
}

/// Fills the slots `{{name}}` of a page. What is put in is not looked through again.
fn filled(page: &str, slots: &[(&str, String)]) -> String {
    let mut pieces = page.split("{{");
    let mut whole = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let (name, rest) = piece.split_once("}}").unwrap_or_default();
        let slot = slots.iter().find(|(slot, _)| *slot == name);
        whole.push_str(slot.map_or("", |(_, text)| text));
        whole.push_str(rest);
    }
    whole
}
