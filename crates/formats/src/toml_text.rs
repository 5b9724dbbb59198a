//! TOML texts with the place of everything in them.

use std::borrow::Cow;

use toml_edit::{Document, Item, TableLike, Value};

use crate::fault::{Collector, Faults, did_you_mean};

/// A TOML text that could be parsed.
pub(crate) struct TomlText<'a> {
    text: &'a str,
    document: Document<&'a str>,
    /// Where each line starts.
    starts: Vec<usize>,
}

/// One `name = value` of a table.
#[derive(Clone, Copy)]
pub(crate) struct Entry<'t> {
    pub(crate) name: &'t str,
    pub(crate) item: &'t Item,
    /// Its line, from 1.
    pub(crate) line: usize,
    /// The value as it stands in the text.
    literal: &'t str,
}

impl<'a> TomlText<'a> {
    /// Parses a text of at most so many bytes.
    pub(crate) fn parse(text: &'a str, most_bytes: usize) -> Result<Self, Faults> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if text.len() > most_bytes {
            let what = format!("the text has {} bytes, the most that is read is {most_bytes}", text.len());
            return Err(Faults::one(what, "", ""));
        }
        let starts = core::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        match Document::parse(text) {
            Ok(document) => Ok(Self { text, document, starts }),
            Err(error) => {
                let at = error.span().map_or(0, |span| span.start).min(text.len());
                let line = line_of(&starts, at);
                let column =
                    text[starts[line - 1]..].char_indices().take_while(|(i, _)| starts[line - 1] + i < at);
                let place = format!("line {line}, column {}", column.count() + 1);
                let message = error.message().replace('\n', ", ");
                Err(Faults::one(format!("the text is not TOML: {message}"), place, ""))
            }
        }
    }

    /// The entries of the document's root.
    pub(crate) fn root(&self) -> Vec<Entry<'_>> {
        self.entries(self.document.as_table())
    }

    /// The entries of a table, in the order of the text.
    pub(crate) fn entries<'t>(&'t self, table: &'t dyn TableLike) -> Vec<Entry<'t>> {
        let mut entries: Vec<_> = table
            .iter()
            .map(|(name, item)| {
                let key = table.key(name).and_then(toml_edit::Key::span);
                let at = key.or_else(|| item.span()).map_or(0, |span| span.start);
                let literal = item.span().and_then(|span| self.text.get(span)).unwrap_or("").trim();
                Entry { name, item, line: line_of(&self.starts, at), literal }
            })
            .collect();
        entries.sort_by_key(|entry| entry.line);
        entries
    }

    /// The line where this begins, from 1; 1 where that is not known.
    pub(crate) fn line(&self, span: Option<core::ops::Range<usize>>) -> usize {
        line_of(&self.starts, span.map_or(0, |span| span.start))
    }
}

fn line_of(starts: &[usize], at: usize) -> usize {
    starts.partition_point(|&start| start <= at).max(1)
}

impl Entry<'_> {
    /// Where it stands, as faults name it.
    pub(crate) fn place(&self) -> String {
        format!("line {}, field {}", self.line, self.name)
    }

    /// A number as plain text: as it was written, without `_` and a leading `+`. `None` where the
    /// value is no number.
    pub(crate) fn number(&self) -> Option<Cow<'_, str>> {
        match self.item.as_value()? {
            Value::Integer(value) => Some(value.value().to_string().into()),
            Value::Float(_) => Some(self.literal.trim_start_matches('+').replace('_', "").into()),
            _ => None,
        }
    }

    /// A number as plain text, or the text of a string.
    pub(crate) fn number_or_text(&self) -> Option<Cow<'_, str>> {
        self.item.as_str().map(|text| text.trim().into()).or_else(|| self.number())
    }

    /// What kind of value it is, for messages.
    pub(crate) fn kind(&self) -> &'static str {
        match self.item {
            Item::None => "nothing",
            Item::Table(_) | Item::Value(Value::InlineTable(_)) => "a table",
            Item::ArrayOfTables(_) => "a list of tables",
            Item::Value(Value::String(_)) => "a text",
            Item::Value(Value::Integer(_)) => "a whole number",
            Item::Value(Value::Float(_)) => "a number with a point",
            Item::Value(Value::Boolean(_)) => "true or false",
            Item::Value(Value::Datetime(_)) => "a date or time",
            Item::Value(Value::Array(_)) => "a list",
        }
    }

    /// Says that the value is of the wrong kind.
    pub(crate) fn wrong_kind(&self, wanted: &str, faults: &mut Collector) {
        faults.add(format!("{} is {}, not {wanted}", self.name, self.kind()), self.place(), "");
    }
}

/// Says which entries are none of these names.
pub(crate) fn refuse_others(entries: &[Entry<'_>], names: &[&str], of: &str, faults: &mut Collector) {
    for entry in entries.iter().filter(|entry| !names.contains(&entry.name)) {
        let hint = did_you_mean(entry.name, names.iter().copied())
            .unwrap_or_else(|| format!("the fields are {}", names.join(", ")));
        let name = crate::fault::quoted(entry.name);
        faults.add(format!("{of} has no field {name}"), format!("line {}", entry.line), hint);
    }
}
