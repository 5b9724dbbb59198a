//! `yarns.toml`: the yarns that a person owns or could buy.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use model::{Ball, Length, Price, WeightCategory, Yarn};
use toml_edit::{Item, TableLike};

use crate::decimal::{Misfit, fixed, padded, plain};
use crate::fault::{Collector, Faults, Noted, Notes, did_you_mean, quoted};
use crate::keys::{KEY_HINT, is_key};
use crate::toml_text::{Entry, TomlText, refuse_others};

/// The most yarns of a list.
pub const MAX_LIST: usize = 500;

/// The most bytes of a list that is read.
const MAX_BYTES: usize = 1 << 20;
/// The longest name or dye lot, in characters.
const MAX_TEXT: usize = 200;
/// The longest ball: the largest cones of thread for machines hold less (invented bound).
const MAX_METRES: u64 = 100_000;
/// The heaviest ball (invented bound).
const MAX_GRAMS: u64 = 10_000;
/// The dearest ball (invented bound).
const MAX_PRICE: u64 = 1_000_000;
/// The most balls on hand (invented bound).
const MAX_BALLS: u32 = 100_000;

const FIELDS: [&str; 9] =
    ["key", "name", "colour", "weight", "metres", "grams", "price", "on_hand", "dye_lot"];
const NEEDED: [&str; 6] = ["key", "name", "colour", "weight", "metres", "grams"];

/// Reads a list of yarns.
///
/// # Errors
/// When the text is no TOML, holds no yarn or more than [`MAX_LIST`], or any field is unknown,
/// missing, of the wrong kind or out of bounds: all such faults at once, each with its line.
pub fn read_yarns(text: &str) -> Result<Noted<Vec<Yarn>>, Faults> {
    let document = TomlText::parse(text, MAX_BYTES)?;
    let mut faults = Collector::default();
    let root = document.root();
    refuse_others(&root, &["yarn"], "a list of yarns", &mut faults);

    let mut tables: Vec<(usize, &dyn TableLike)> = Vec::new();
    for entry in root.iter().filter(|entry| entry.name == "yarn") {
        match entry.item {
            Item::ArrayOfTables(list) => {
                tables
                    .extend(list.iter().map(|table| (document.line(table.span()), table as &dyn TableLike)));
            }
            Item::Value(toml_edit::Value::Array(list)) => {
                for value in list {
                    match value.as_inline_table() {
                        Some(table) => tables.push((document.line(value.span()), table)),
                        None => faults.add("an item of the list is no yarn", entry.place(), ""),
                    }
                }
            }
            _ => faults.add(
                format!("yarn is {}, not a list of tables", entry.kind()),
                entry.place(),
                "begin each yarn with the line [[yarn]], in double brackets",
            ),
        }
    }
    if tables.is_empty() && faults.is_empty() {
        faults.add("the list holds no yarn", "", "begin each yarn with the line [[yarn]]");
    }
    if tables.len() > MAX_LIST {
        let what = format!("{} yarns are too many, a list has at most {MAX_LIST}", tables.len());
        return Err(Faults::one(what, "", ""));
    }

    let mut yarns = Vec::with_capacity(tables.len());
    let mut first_line: BTreeMap<String, usize> = BTreeMap::new();
    for (line, table) in tables {
        let entries = document.entries(table);
        refuse_others(&entries, &FIELDS, "a yarn", &mut faults);
        if let Some(entry) = entries.iter().find(|entry| entry.name == "key")
            && let Some(key) = entry.item.as_str()
            && let Some(first) = first_line.insert(key.to_owned(), entry.line)
        {
            let what =
                format!("two yarns have the key {}, in line {first} and in line {}", quoted(key), entry.line);
            faults.add(what, entry.place(), "give each yarn a key of its own");
        }
        yarns.extend(Fields { line, entries: &entries, faults: &mut faults }.yarn());
    }

    let mut notes = Notes::default();
    for (at, yarn) in yarns.iter().enumerate() {
        if let Some(twin) = yarns[..at].iter().find(|other| other.colour == yarn.colour) {
            notes.add(format!("{} and {} have the same colour {}", twin.key, yarn.key, yarn.colour));
        }
    }
    faults.finish(Some(notes.with(yarns)))
}

/// The entries of one yarn.
struct Fields<'t, 'f> {
    /// Where the yarn begins.
    line: usize,
    entries: &'t [Entry<'t>],
    faults: &'f mut Collector,
}

impl<'t> Fields<'t, '_> {
    /// The yarn; `None` where a fault is in the way.
    fn yarn(mut self) -> Option<Yarn> {
        let key = self.key();
        let name = self.name();
        let colour = self.colour();
        let category = self.category();
        let metres = self.amount("metres", 6, MAX_METRES);
        let grams = self.amount("grams", 3, MAX_GRAMS);
        let price = self.price();
        let on_hand = self.on_hand();
        let dye_lot = self.dye_lot();
        Some(Yarn {
            key: key?,
            name: name?,
            colour: colour?,
            category: Some(category?),
            ball: Some(Ball {
                length: Length::from_micrometres(i64::try_from(metres?).ok()?),
                milligrams: grams?,
            }),
            price,
            on_hand,
            dye_lot,
        })
    }

    /// The entry of that name; a missing one that is needed is a fault.
    fn entry(&mut self, name: &'static str) -> Option<Entry<'t>> {
        let found = self.entries.iter().find(|entry| entry.name == name).copied();
        if found.is_none() && NEEDED.contains(&name) {
            let key = self.entries.iter().find(|entry| entry.name == "key").and_then(|e| e.item.as_str());
            let whose = key.map_or_else(|| "this yarn".to_owned(), |key| format!("yarn {}", quoted(key)));
            let place = format!("line {}, field {name}", self.line);
            self.faults.add(format!("{whose} has no {name}"), place, "");
        }
        found
    }

    fn text(&mut self, entry: Entry<'t>) -> Option<&'t str> {
        let Some(text) = entry.item.as_str() else {
            entry.wrong_kind("a text in quotation marks", self.faults);
            return None;
        };
        Some(text)
    }

    /// A text for people: not empty, not endless, no control characters.
    fn line_of_text(&mut self, entry: Entry<'t>, text: &str) -> Option<String> {
        let what = if text.trim().is_empty() {
            format!("{} is empty", entry.name)
        } else if text.chars().count() > MAX_TEXT {
            format!("{} is longer than {MAX_TEXT} characters", entry.name)
        } else if text.chars().any(char::is_control) {
            format!("{} holds a line break or another control character", entry.name)
        } else {
            return Some(text.to_owned());
        };
        self.faults.add(what, entry.place(), "");
        None
    }

    fn key(&mut self) -> Option<String> {
        let entry = self.entry("key")?;
        let text = self.text(entry)?;
        if !is_key(text) {
            self.faults.add(format!("{} is no key", quoted(text)), entry.place(), KEY_HINT);
            return None;
        }
        Some(text.to_owned())
    }

    fn name(&mut self) -> Option<String> {
        let entry = self.entry("name")?;
        let text = self.text(entry)?;
        self.line_of_text(entry, text)
    }

    fn colour(&mut self) -> Option<model::Srgb> {
        let entry = self.entry("colour")?;
        let text = self.text(entry)?;
        let colour = crate::keys::colour(text);
        if colour.is_none() {
            let what = format!("{} is no colour of the form #rrggbb", quoted(text));
            self.faults.add(what, entry.place(), "write six digits 0 to 9 or a to f after the #");
        }
        colour
    }

    fn category(&mut self) -> Option<WeightCategory> {
        let entry = self.entry("weight")?;
        let names = || (0..=7).filter_map(WeightCategory::new).map(WeightCategory::name);
        let Some(text) = entry.number_or_text() else {
            entry.wrong_kind("a number from 0 to 7 or a name", self.faults);
            return None;
        };
        let category = match text.parse() {
            Ok(number) => WeightCategory::new(number),
            Err(_) => {
                let name = text.to_lowercase().replace(['-', '_'], " ");
                let named = (0..=7).filter_map(WeightCategory::new).find(|category| category.name() == name);
                named.or_else(|| trade_name(&name))
            }
        };
        if category.is_none() {
            let hint = did_you_mean(&text, names()).unwrap_or_else(|| {
                format!("the categories are 0 to 7: {}", names().collect::<Vec<_>>().join(", "))
            });
            let what = format!("{} is no standard yarn weight category", quoted(&text));
            self.faults.add(what, entry.place(), hint);
        }
        category
    }

    /// A number above zero and at most `most`, in units of its `places`-th digit.
    fn amount(&mut self, name: &'static str, places: usize, most: u64) -> Option<u64> {
        let entry = self.entry(name)?;
        let Some(text) = entry.number() else {
            entry.wrong_kind("a number", self.faults);
            return None;
        };
        let value = self.decimal(entry, &text, places, most)?;
        if value == 0 {
            self.faults.add(format!("{name} is zero"), entry.place(), format!("give the {name} of one ball"));
            return None;
        }
        Some(value)
    }

    fn decimal(&mut self, entry: Entry<'t>, text: &str, places: usize, most: u64) -> Option<u64> {
        let name = entry.name;
        let misfit = match fixed(text, places) {
            Ok(value) if value <= most * 10u64.pow(u32::try_from(places).ok()?) => return Some(value),
            Ok(_) | Err(Misfit::TooLarge) => format!("{name} is above {most}"),
            Err(Misfit::Negative) => format!("{name} is below zero"),
            Err(Misfit::TooFine) => format!("{name} has more than {places} digits after the point"),
            Err(Misfit::NotPlain) => format!("{} is no plain number such as 12 or 3.5", quoted(text)),
        };
        self.faults.add(misfit, entry.place(), "");
        None
    }

    fn price(&mut self) -> Option<Price> {
        let entry = self.entry("price")?;
        let Some(text) = entry.number_or_text() else {
            entry.wrong_kind("a number", self.faults);
            return None;
        };
        Some(Price { hundredths: self.decimal(entry, &text, 2, MAX_PRICE)? })
    }

    fn on_hand(&mut self) -> Option<u32> {
        let entry = self.entry("on_hand")?;
        let Some(balls) = entry.item.as_integer() else {
            entry.wrong_kind("a whole number of balls", self.faults);
            return None;
        };
        let count = u32::try_from(balls).ok().filter(|&count| count <= MAX_BALLS);
        if count.is_none() {
            let what = format!("{balls} balls on hand are not between 0 and {MAX_BALLS}");
            self.faults.add(what, entry.place(), "");
        }
        count
    }

    fn dye_lot(&mut self) -> Option<String> {
        let entry = self.entry("dye_lot")?;
        if let Some(number) = entry.item.as_integer() {
            return Some(number.to_string());
        }
        let text = self.text(entry)?;
        self.line_of_text(entry, text)
    }
}

/// Writes a list of yarns; [`read_yarns`] gives the very same list back. What is not known of a
/// yarn is left out, and must be filled in before such a list can be read.
#[must_use]
pub fn write_yarns(yarns: &[Yarn]) -> String {
    let mut text = String::new();
    for (at, yarn) in yarns.iter().enumerate() {
        if at > 0 {
            text.push('\n');
        }
        text.push_str("[[yarn]]\n");
        let mut line = |name: &str, value: String| {
            writeln!(text, "{name} = {value}").expect("a text takes any line");
        };
        line("key", toml_string(&yarn.key));
        line("name", toml_string(&yarn.name));
        line("colour", toml_string(&yarn.colour.to_string()));
        if let Some(category) = yarn.category {
            line("weight", toml_string(category.name()));
        }
        if let Some(ball) = yarn.ball {
            line("metres", plain(ball.length.micrometres().unsigned_abs(), 6));
            line("grams", plain(ball.milligrams, 3));
        }
        if let Some(price) = yarn.price {
            line("price", padded(price.hundredths, 2));
        }
        if let Some(balls) = yarn.on_hand {
            line("on_hand", balls.to_string());
        }
        if let Some(lot) = &yarn.dye_lot {
            line("dye_lot", toml_string(lot));
        }
    }
    text
}

/// A TOML basic string. The escapes of JSON are among TOML's; TOML asks for one more.
fn toml_string(text: &str) -> String {
    crate::json_text::string(text).replace('\u{7f}', "\\u007f")
}

/// What labels call the categories in the shops (common practice, no source).
fn trade_name(name: &str) -> Option<WeightCategory> {
    WeightCategory::new(match name {
        "sock" | "fingering" | "4 ply" => 1,
        "sport" | "5 ply" => 2,
        "dk" | "double knitting" | "light worsted" | "8 ply" => 3,
        "worsted" | "aran" | "afghan" | "10 ply" => 4,
        "chunky" | "12 ply" => 5,
        "super chunky" | "roving" => 6,
        _ => return None,
    })
}
