//! A chart as text: one line a row, the top row first, yarn keys separated by commas.

use std::collections::BTreeMap;

use model::{Chart, MAX_SIDE, MAX_YARNS, Palette, Yarn};

use crate::MAX_CELLS;
use crate::fault::{Collector, Fault, Faults, Noted, Notes, did_you_mean, quoted};
use crate::keys::colour;

/// Writes a chart, top row first.
#[must_use]
pub fn write_chart_csv(chart: &Chart) -> String {
    let keys: Vec<String> = chart.palette().yarns().iter().map(|yarn| cell(&yarn.key)).collect();
    let mut text = String::with_capacity(chart.stitches() * 4);
    for row in chart.row_indices().rev() {
        for (at, yarn) in chart.row(row).iter().enumerate() {
            if at > 0 {
                text.push(',');
            }
            text.push_str(&keys[yarn.index()]);
        }
        text.push('\n');
    }
    text
}

/// A key as a cell, quoted where it has to be. No key of ours has to; palettes allow others.
fn cell(key: &str) -> String {
    let plain = key.trim() == key && !key.contains([',', '"', '\r', '\n']);
    if plain { key.to_owned() } else { format!("\"{}\"", key.replace('"', "\"\"")) }
}

/// A key that no yarn has: where it came first, and how often.
struct Unknown {
    line: usize,
    column: usize,
    cells: usize,
}

/// Reads a chart. With a list its palette is made of the yarns that are used, in the order of the
/// list. Without one only keys of the form `#rrggbb` are known: each is a yarn of that colour, in
/// the order in which the text first names them.
///
/// # Errors
/// When the text holds no stitch, is too large or ragged, a cell is empty, or a key is unknown: all
/// such faults at once, each with its line.
pub fn read_chart_csv(text: &str, yarns: Option<&[Yarn]>) -> Result<Noted<Chart>, Faults> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut faults = Collector::default();
    let mut notes = Notes::default();
    let mut known: Vec<Yarn> = yarns.unwrap_or_default().to_vec();
    let mut numbers: BTreeMap<String, usize> =
        known.iter().enumerate().map(|(at, yarn)| (yarn.key.clone(), at)).collect();
    let mut unknown: BTreeMap<String, Unknown> = BTreeMap::new();
    // Each cell as the number of its yarn in `known`, the top row first.
    let mut cells: Vec<usize> = Vec::new();
    let mut rows = 0;
    let mut columns: Option<(usize, usize)> = None; // how many, and the line that says so
    let mut blank = Vec::new();

    // A key never holds a line break, so neither does a cell. Old Macintosh files have no line feed.
    let lines: Box<dyn Iterator<Item = &str>> =
        if text.contains('\n') { Box::new(text.lines()) } else { Box::new(text.split('\r')) };
    for (line, row) in (1..).zip(lines) {
        let at_most = row.bytes().filter(|&byte| byte == b',').count() + 1;
        let width = columns.map_or(at_most, |(width, _)| width);
        let has_cells = row.bytes().any(|byte| byte != b',' && byte != b'"' && !byte.is_ascii_whitespace());
        let too_wide = at_most > MAX_SIDE && has_cells;
        if too_wide || rows >= MAX_SIDE && has_cells || (rows + 1) * width > MAX_CELLS {
            let what = format!(
                "the chart is too large: at most {MAX_SIDE} rows and {MAX_SIDE} stitches a row, \
                 {MAX_CELLS} stitches in all"
            );
            faults.add(what, format!("line {line}"), "");
            return faults.finish(None);
        }
        if !has_cells {
            // The first will do, for a note.
            if blank.len() < 100 {
                blank.push((line, rows));
            }
            continue;
        }
        rows += 1;
        let Some(row) = split(row) else {
            faults.add("a quotation mark is not closed", format!("line {line}"), "");
            continue;
        };
        let (width, first) = *columns.get_or_insert((row.len(), line));
        if row.len() != width {
            let what = format!("line {line} has {} stitches, line {first} has {width}", row.len());
            faults.add(what, format!("line {line}"), "every row of a chart has the same number of stitches");
        }
        for (column, key) in (1..).zip(&row) {
            if key.is_empty() {
                faults.add_with(|| Fault {
                    what: "the cell is empty".to_owned(),
                    place: format!("line {line}, column {column}"),
                    hint: "write the key of a yarn in every cell".to_owned(),
                });
            } else if let Some(&number) = numbers.get(key.as_ref()) {
                cells.push(number);
            } else if let (None, Some(colour)) = (yarns, colour(key)) {
                // #AABBCC and #aabbcc are one colour, and so one yarn.
                let name = colour.to_string();
                let number = numbers.get(&name).copied().unwrap_or(known.len());
                if number == MAX_YARNS {
                    let what = format!(
                        "the chart has more than {MAX_YARNS} colours, the most that a chart can have"
                    );
                    faults.add(what, format!("line {line}, column {column}"), "");
                    return faults.finish(None);
                }
                if number == known.len() {
                    numbers.insert(name.clone(), number);
                    known.push(Yarn::plain(name.clone(), name, colour));
                }
                numbers.insert(key.clone().into_owned(), number);
                cells.push(number);
            } else if let Some(seen) = unknown.get_mut(key.as_ref()) {
                seen.cells += 1;
            } else if unknown.len() < 1000 {
                // So that a million different keys do not fill the memory.
                unknown.insert(key.clone().into_owned(), Unknown { line, column, cells: 1 });
            }
        }
    }

    let mut unknown: Vec<_> = unknown.into_iter().collect();
    unknown.sort_by_key(|(_, seen)| (seen.line, seen.column));
    for (key, Unknown { line, column, cells }) in &unknown {
        let hint = unknown_hint(key, yarns);
        let times = if *cells > 1 { format!(", in {cells} cells, first here") } else { String::new() };
        let what = match yarns {
            Some(_) => format!("no yarn of the list has the key {}{times}", quoted(key)),
            None => format!("{} is no colour of the form #rrggbb{times}", quoted(key)),
        };
        faults.add(what, format!("line {line}, column {column}"), hint);
    }
    if rows == 0 && faults.is_empty() {
        faults.add(
            "the chart is empty",
            "",
            "write one line a row, the top row first, keys separated by commas",
        );
    }
    for (line, _) in blank.iter().filter(|(_, before)| (1..rows).contains(before)) {
        notes.add(format!("line {line} is empty and was skipped"));
    }
    if !faults.is_empty() {
        return faults.finish(None);
    }

    // The yarns that are used, in the order of the list.
    let mut used = vec![false; known.len()];
    for &number in &cells {
        used[number] = true;
    }
    let mut palette = Vec::new();
    let mut entries = vec![0; known.len()];
    for (number, yarn) in known.into_iter().enumerate().filter(|(number, _)| used[*number]) {
        entries[number] = palette.len();
        palette.push(yarn);
    }
    let palette = Palette::new(palette).map_err(|error| Faults::one(error.to_string(), "", ""))?;
    let (columns, _) = columns.expect("there is a row");
    let mut flipped = Vec::with_capacity(cells.len());
    for row in cells.chunks_exact(columns).rev() {
        flipped.extend(row.iter().map(|&number| u8::try_from(entries[number]).expect("at most MAX_YARNS")));
    }
    let chart = Chart::new(palette, rows, columns, &flipped)
        .map_err(|error| Faults::one(error.to_string(), "", ""))?;
    Ok(notes.with(chart))
}

/// The cells of a line without the spaces around them; `None` where a quotation mark stays open.
fn split(line: &str) -> Option<Vec<std::borrow::Cow<'_, str>>> {
    if !line.contains('"') {
        return Some(line.split(',').map(|cell| cell.trim().into()).collect());
    }
    if line.matches('"').count() % 2 == 1 {
        return None;
    }
    // Spaces before a quotation mark would make it part of the cell.
    let tight: Vec<&str> = line.split(',').map(str::trim).collect();
    let tight = tight.join(",");
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(tight.as_bytes());
    let mut record = csv::StringRecord::new();
    // An error can only be one of reading or of UTF-8, and this is a text in memory.
    reader.read_record(&mut record).expect("a text in memory can be read");
    Some(record.iter().map(|cell| cell.trim().to_owned().into()).collect())
}

fn unknown_hint(key: &str, yarns: Option<&[Yarn]>) -> String {
    if key.contains([';', '\t']) {
        return "separate the keys with commas".to_owned();
    }
    match yarns {
        None => "give the list of yarns, or write colours as #rrggbb".to_owned(),
        Some(list) => did_you_mean(key, list.iter().map(|yarn| &*yarn.key)).unwrap_or_default(),
    }
}
