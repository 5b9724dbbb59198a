//! Plans as JSON: the reader.
//!
//! It checks that the document is whole, within bounds and does not contradict itself, so that
//! whoever replays the plan can index without fear. Whether the plan can be worked is not asked here.

use core::fmt;
use core::ops::RangeInclusive;
use std::borrow::Cow;

use model::{
    Boundary, Chart, Cost, CostTables, Hand, Length, Limits, MAX_SIDE, MAX_YARNS, Never, Palette, Plan,
    PlanCounts, Row, RowIndex, RowNumber, Rules, ShortTail, Srgb, Step, StrandClaim, StrandId, Tail,
    TailLine, Weights, Yarn, YarnUse,
};

use crate::MAX_CELLS;
use crate::fault::{Collector, Fault, Faults, did_you_mean, quoted};
use crate::json_text::{self, Json};
use crate::keys::is_chart_key;
use crate::plan_json::{PLAN_DOCUMENT, PLAN_VERSION, direction_word, hand_word, side_word};

/// The most bytes of a plan that are read.
pub const MAX_PLAN_BYTES: usize = 64 << 20;

/// The most JSON values of a plan; a step has five to seven.
const MAX_VALUES: usize = 4_000_000;
/// No table of costs holds more: a weight and what shows through are each bounded by
/// [`Cost::MAX_WEIGHT`], and two colours are never more than some 120 apart.
const MAX_TABLE: i64 = 100_000_000;
/// Above any cost of a plan, and low enough that its thousandths are exact in a float.
const MAX_COST: f64 = 1e11;
/// A million kilometres.
const MAX_LENGTH: i64 = 1_000_000_000_000_000;

/// A plan as a document gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanFile {
    /// The plan. Its yarns are entries of `yarns`.
    pub plan: Plan,
    /// Key and colour of each yarn, in the order of the palette.
    pub yarns: Vec<(String, Srgb)>,
    /// Rows of its chart.
    pub rows: usize,
    /// Stitches in a row of its chart.
    pub columns: usize,
}

/// Reads a plan.
///
/// # Errors
/// When the text is no JSON, is no plan of this version, or has fields that are unknown, missing, of
/// the wrong kind, out of bounds or at odds with each other: all such faults at once, each with its
/// place, as in `row 12, step 3, field at`.
pub fn read_plan(text: &str) -> Result<PlanFile, Faults> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > MAX_PLAN_BYTES {
        let what = format!("the text has {} bytes, the most that is read is {MAX_PLAN_BYTES}", text.len());
        return Err(Faults::one(what, "", ""));
    }
    let json = json_text::parse(text, MAX_VALUES)?;
    is_plan(&json)?;
    let mut reader = Reader::default();
    let file = reader.document(&json);
    reader.faults.finish(file)
}

/// Refuses what is another document, before its fields are looked at.
fn is_plan(json: &Json<'_>) -> Result<(), Faults> {
    let Json::Object(fields) = json else {
        return Err(Faults::one(format!("the document is {}, not an object", json.kind()), "", ""));
    };
    let field = |wanted: &str| fields.iter().find(|(name, _)| name == wanted).map(|(_, value)| value);
    match field("document") {
        Some(Json::Text(name)) if name == PLAN_DOCUMENT => {}
        Some(Json::Text(name)) => {
            let what = format!("the document is {}, not {PLAN_DOCUMENT:?}", quoted(name));
            return Err(Faults::one(what, "field document", ""));
        }
        _ => {
            let what = format!("the document does not say that it is {PLAN_DOCUMENT:?}");
            return Err(Faults::one(what, "field document", ""));
        }
    }
    match field("version") {
        Some(Json::Whole(version)) if *version == i64::from(PLAN_VERSION) => Ok(()),
        Some(Json::Whole(version)) => {
            let what = format!("the plan is of version {version}, only version {PLAN_VERSION} can be read");
            Err(Faults::one(what, "field version", "make the plan again from its chart"))
        }
        _ => Err(Faults::one("the document does not say its version", "field version", "")),
    }
}

/// Checks whether a plan was made for a chart of this size and these colours. Keys and names may
/// differ: they do not matter to a plan.
///
/// # Errors
/// All that differs.
pub fn belongs_to(file: &PlanFile, chart: &Chart) -> Result<(), Faults> {
    const HINT: &str = "the plan belongs to another chart, or the chart was changed: make the plan again";
    let mut faults = Collector::default();
    if (file.columns, file.rows) != (chart.columns(), chart.rows()) {
        let what = format!(
            "the plan is for {} stitches by {} rows, the chart has {} by {}",
            file.columns,
            file.rows,
            chart.columns(),
            chart.rows()
        );
        faults.add(what, "", HINT);
    }
    let yarns = chart.palette().yarns();
    if file.yarns.len() != yarns.len() {
        let what = format!("the plan is for {} yarns, the chart has {}", file.yarns.len(), yarns.len());
        faults.add(what, "", HINT);
    } else {
        for (at, ((key, colour), yarn)) in file.yarns.iter().zip(yarns).enumerate() {
            if *colour != yarn.colour {
                let what =
                    format!("{key} is {colour} in the plan, {} is {} in the chart", yarn.key, yarn.colour);
                faults.add(what, format!("palette entry {at}"), HINT);
            }
        }
    }
    faults.finish(Some(()))
}

/// Where something stands, spelt out only for a fault.
#[derive(Clone, Copy)]
enum Place {
    Document,
    Part(&'static str),
    /// An item of a list, from 1.
    Item(&'static str, usize),
    Row(usize),
    Step(usize, usize),
    Tail(usize, usize),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Document => Ok(()),
            Self::Part(part) => f.write_str(part),
            Self::Item(list, at) => write!(f, "{list}, item {at}"),
            Self::Row(row) => write!(f, "row {row}"),
            Self::Step(row, step) => write!(f, "row {row}, step {step}"),
            Self::Tail(row, step) => write!(f, "row {row}, step {step}, tail"),
        }
    }
}

impl Place {
    fn field(self, name: &str) -> String {
        match self {
            Self::Document => format!("field {name}"),
            place => format!("{place}, field {name}"),
        }
    }
}

/// The fields of an object, and where it stands.
#[derive(Clone, Copy)]
struct Fields<'j, 'a> {
    fields: &'j [(Cow<'a, str>, Json<'a>)],
    place: Place,
}

/// Reads values and gathers what is wrong with them.
#[derive(Default)]
struct Reader {
    faults: Collector,
}

impl Reader {
    fn add(&mut self, place: Place, field: &str, what: impl FnOnce() -> String) {
        self.faults.add_with(|| Fault { what: what(), place: place.field(field), hint: String::new() });
    }

    /// An object with exactly these fields; missing ones are told when they are asked for.
    fn object<'j, 'a>(&mut self, json: &'j Json<'a>, place: Place, names: &[&str]) -> Option<Fields<'j, 'a>> {
        let Json::Object(fields) = json else {
            self.faults.add_with(|| Fault {
                what: format!("there is {} where an object should be", json.kind()),
                place: place.to_string(),
                hint: String::new(),
            });
            return None;
        };
        for (at, (name, _)) in fields.iter().enumerate() {
            if !names.contains(&name.as_ref()) {
                self.faults.add_with(|| Fault {
                    what: format!("there is no field {} here", quoted(name)),
                    place: place.to_string(),
                    hint: did_you_mean(name, names.iter().copied())
                        .unwrap_or_else(|| format!("the fields are {}", names.join(", "))),
                });
            } else if fields[..at.min(names.len())].iter().any(|(other, _)| other == name) {
                self.add(place, name, || "the field stands twice".to_owned());
            }
        }
        Some(Fields { fields, place })
    }

    fn field<'j, 'a>(&mut self, of: Fields<'j, 'a>, name: &str) -> Option<&'j Json<'a>> {
        let found = of.fields.iter().find(|(other, _)| other == name).map(|(_, value)| value);
        if found.is_none() {
            self.add(of.place, name, || "the field is missing".to_owned());
        }
        found
    }

    fn wrong_kind(&mut self, of: Fields<'_, '_>, name: &str, json: &Json<'_>, wanted: &str) {
        self.add(of.place, name, || format!("there is {} where {wanted} should be", json.kind()));
    }

    fn whole(&mut self, of: Fields<'_, '_>, name: &str, range: RangeInclusive<i64>) -> Option<i64> {
        let json = self.field(of, name)?;
        match json {
            Json::Whole(number) if range.contains(number) => Some(*number),
            Json::Whole(number) => {
                self.add(of.place, name, || out_of_range(number, &range));
                None
            }
            Json::Real(number) => {
                self.add(of.place, name, || {
                    format!("{number} is no whole number from {} to {}", range.start(), range.end())
                });
                None
            }
            _ => {
                self.wrong_kind(of, name, json, "a whole number");
                None
            }
        }
    }

    fn count(&mut self, of: Fields<'_, '_>, name: &str, range: RangeInclusive<usize>) -> Option<usize> {
        let bound = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
        let number = self.whole(of, name, bound(*range.start())..=bound(*range.end()))?;
        usize::try_from(number).ok()
    }

    fn small(&mut self, of: Fields<'_, '_>, name: &str, most: u32) -> Option<u32> {
        u32::try_from(self.whole(of, name, 0..=most.into())?).ok()
    }

    /// A number that must be what it is known to be.
    fn expect_count(&mut self, of: Fields<'_, '_>, name: &str, known: usize, why: &str) -> Option<()> {
        let number = self.count(of, name, 0..=usize::MAX)?;
        if number != known {
            self.add(of.place, name, || {
                format!("the document contradicts itself: {number} should be {known}, {why}")
            });
        }
        Some(())
    }

    fn text<'j>(&mut self, of: Fields<'j, '_>, name: &str) -> Option<&'j str> {
        let json = self.field(of, name)?;
        let Json::Text(text) = json else {
            self.wrong_kind(of, name, json, "a text");
            return None;
        };
        Some(text)
    }

    /// A text that must be what it is known to be.
    fn expect_text(&mut self, of: Fields<'_, '_>, name: &str, known: &str) -> Option<()> {
        let text = self.text(of, name)?;
        if text != known {
            self.add(of.place, name, || {
                format!("the document contradicts itself: {} should be {known:?}", quoted(text))
            });
        }
        Some(())
    }

    /// One of several words.
    fn word<T: Copy>(&mut self, of: Fields<'_, '_>, name: &str, words: &[(&str, T)]) -> Option<T> {
        let text = self.text(of, name)?;
        let found = words.iter().find(|(word, _)| *word == text).map(|(_, value)| *value);
        if found.is_none() {
            self.faults.add_with(|| {
                let names = || words.iter().map(|(word, _)| *word);
                let all = || format!("it is one of {}", names().collect::<Vec<_>>().join(", "));
                Fault {
                    what: format!("{} is not known here", quoted(text)),
                    place: of.place.field(name),
                    hint: did_you_mean(text, names()).unwrap_or_else(all),
                }
            });
        }
        found
    }

    fn truth(&mut self, of: Fields<'_, '_>, name: &str) -> Option<bool> {
        let json = self.field(of, name)?;
        let Json::Bool(truth) = json else {
            self.wrong_kind(of, name, json, "true or false");
            return None;
        };
        Some(*truth)
    }

    fn list<'j, 'a>(&mut self, of: Fields<'j, 'a>, name: &str) -> Option<&'j [Json<'a>]> {
        let json = self.field(of, name)?;
        let Json::List(list) = json else {
            self.wrong_kind(of, name, json, "a list");
            return None;
        };
        Some(list)
    }

    /// Stitches with at most three digits after the point, from 0 to `most` stitches.
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // within MAX_COST
    fn cost(&mut self, of: Fields<'_, '_>, name: &str, most: f64) -> Option<Cost> {
        let json = self.field(of, name)?;
        let number = match json {
            Json::Whole(number) => *number as f64,
            Json::Real(number) => *number,
            _ => {
                self.wrong_kind(of, name, json, "a number of stitches");
                return None;
            }
        };
        if !(0.0..=most).contains(&number) {
            self.add(of.place, name, || {
                format!("{number} is out of bounds, it must lie between 0 and {most}")
            });
            return None;
        }
        // A decimal of three digits is the float next to it, or off by a few steps of the float.
        let thousandths = (number * 1000.0).round();
        if (thousandths / 1000.0 - number).abs() > f64::max(1e-9, number * 1e-15) {
            self.add(of.place, name, || format!("{number} has more than three digits after the point"));
            return None;
        }
        Some(Cost::from_thousandths(thousandths as i64))
    }

    fn document(&mut self, json: &Json<'_>) -> Option<PlanFile> {
        const NAMES: [&str; 14] = [
            "document",
            "version",
            "chart",
            "yarns",
            "hand",
            "weights",
            "limits",
            "never",
            "tables",
            "yarn_use",
            "summary",
            "strands",
            "short_tails",
            "rows",
        ];
        let top = self.object(json, Place::Document, &NAMES)?;
        let size = self.size(top);
        let palette = self.palette(top);
        let hand = self.word(top, "hand", &[Hand::Right, Hand::Left].map(|hand| (hand_word(hand), hand)));
        let weights = self.weights(top);
        let limits = self.limits(top);
        let yarn_use = self.yarn_use(top);
        // The rest can only be read beside these.
        let ((rows, columns), palette, hand, weights) = (size?, palette?, hand?, weights?);
        let never = self.never(top, &palette);
        let tables = self.tables(top, palette.len());
        let strands = self.strands(top, &palette);
        let strands = strands?;
        let frame = Frame { rows, columns, strands: strands.len(), tail: weights.tail, hand };
        let short_tails = self.short_tails(top, &frame);
        let steps = self.rows(top, &frame);
        let summary = self.summary(top, &frame, palette.len());
        let (counts, bound) = summary?;
        let rules = Rules { hand, weights, tables: tables?, never: never?, limits: limits? };
        let plan = Plan {
            rules,
            yarn_use: yarn_use?,
            rows: steps?,
            strands,
            short_tails: short_tails?,
            counts,
            bound,
        };
        let yarns = palette.yarns().iter().map(|yarn| (yarn.key.clone(), yarn.colour)).collect();
        Some(PlanFile { plan, yarns, rows, columns })
    }

    /// Rows and columns.
    fn size(&mut self, top: Fields<'_, '_>) -> Option<(usize, usize)> {
        let json = self.field(top, "chart")?;
        let chart = self.object(json, Place::Part("chart"), &["rows", "columns"])?;
        let rows = self.count(chart, "rows", 1..=MAX_SIDE);
        let columns = self.count(chart, "columns", 1..=MAX_SIDE);
        let (rows, columns) = (rows?, columns?);
        if rows * columns > MAX_CELLS {
            self.add(top.place, "chart", || {
                format!("a chart of {columns} stitches by {rows} rows is too large, it has more than {MAX_CELLS} stitches")
            });
            return None;
        }
        Some((rows, columns))
    }

    fn palette(&mut self, top: Fields<'_, '_>) -> Option<Palette> {
        let list = self.list(top, "yarns")?;
        if list.len() > MAX_YARNS {
            self.add(top.place, "yarns", || {
                format!("{} yarns are too many, {MAX_YARNS} is the most", list.len())
            });
            return None;
        }
        let mut symbols = Vec::new();
        let mut yarns = Vec::new();
        for (at, json) in (1..).zip(list) {
            let place = Place::Item("yarns", at);
            let Some(yarn) = self.object(json, place, &["key", "name", "colour", "symbol"]) else { continue };
            let key = self.text(yarn, "key");
            let name = self.text(yarn, "name");
            let colour = self.text(yarn, "colour");
            symbols.push((yarn, self.text(yarn, "symbol")));
            if let Some(key) = key.filter(|key| !is_chart_key(key)) {
                self.add(place, "key", || format!("{} is no key", quoted(key)));
            }
            let parsed = colour.and_then(crate::keys::colour);
            if let (Some(colour), None) = (colour, parsed) {
                self.add(place, "colour", || format!("{} is no colour of the form #rrggbb", quoted(colour)));
            }
            if let (Some(key), Some(name), Some(colour)) = (key, name, parsed) {
                yarns.push(Yarn::plain(key, name, colour));
            }
        }
        if yarns.len() < list.len() {
            return None;
        }
        let palette = match Palette::new(yarns) {
            Ok(palette) => palette,
            Err(error) => {
                self.add(top.place, "yarns", || error.to_string());
                return None;
            }
        };
        for (index, (yarn, _)) in palette.indices().zip(symbols) {
            self.expect_text(yarn, "symbol", &palette.symbol(index));
        }
        Some(palette)
    }

    fn weights(&mut self, top: Fields<'_, '_>) -> Option<Weights> {
        const NAMES: [&str; 12] = [
            "tail",
            "join",
            "cut",
            "short",
            "hang",
            "carry_same",
            "carry_other",
            "carry_show_dark",
            "carry_show_light",
            "lift",
            "lift_show",
            "lift_edge",
        ];
        let json = self.field(top, "weights")?;
        let fields = self.object(json, Place::Part("weights"), &NAMES)?;
        let tail = self.small(fields, "tail", Weights::MAX_TAIL);
        let costs: Vec<_> =
            NAMES[1..].iter().map(|name| self.cost(fields, name, Cost::MAX_WEIGHT.as_stitches())).collect();
        let [join, cut, short, hang, carry_same, carry_other, dark, light, lift, lift_show, lift_edge] =
            costs[..]
        else {
            return None;
        };
        Some(Weights {
            join: join?,
            cut: cut?,
            tail: tail?,
            short: short?,
            hang: hang?,
            carry_same: carry_same?,
            carry_other: carry_other?,
            carry_show_dark: dark?,
            carry_show_light: light?,
            lift: lift?,
            lift_show: lift_show?,
            lift_edge: lift_edge?,
        })
    }

    fn limits(&mut self, top: Fields<'_, '_>) -> Option<Limits> {
        const NAMES: [&str; 4] = ["longest_carry", "longest_wait", "max_carried", "max_strands"];
        let json = self.field(top, "limits")?;
        let fields = self.object(json, Place::Part("limits"), &NAMES)?;
        let [carry, wait] = ["longest_carry", "longest_wait"].map(|name| match self.field(fields, name)? {
            Json::Null => Some(None),
            _ => self.small(fields, name, u32::MAX).map(Some),
        });
        for name in &NAMES[2..] {
            if self.field(fields, name).is_some_and(|limit| *limit != Json::Null) {
                self.add(fields.place, name, || {
                    "limits that tie the yarns together are not known: it must be null".to_owned()
                });
            }
        }
        Some(Limits { longest_carry: carry?, longest_wait: wait? })
    }

    fn yarn_use(&mut self, top: Fields<'_, '_>) -> Option<YarnUse> {
        const LENGTHS: [&str; 5] = ["stitch", "chain", "carried", "lift", "tail"];
        let json = self.field(top, "yarn_use")?;
        let mut names = LENGTHS.to_vec();
        names.push("estimated");
        let fields = self.object(json, Place::Part("yarn_use"), &names)?;
        let [stitch, chain, carried, lift, tail] = LENGTHS.map(|name| self.length(fields, name));
        let estimated = self.truth(fields, "estimated");
        Some(YarnUse {
            stitch: stitch?,
            chain: chain?,
            carried: carried?,
            lift: lift?,
            tail: tail?,
            estimated: estimated?,
        })
    }

    fn length(&mut self, of: Fields<'_, '_>, name: &str) -> Option<Length> {
        self.whole(of, name, 0..=MAX_LENGTH).map(Length::from_micrometres)
    }

    fn never(&mut self, top: Fields<'_, '_>, palette: &Palette) -> Option<Never> {
        let mut never = Never::none(palette.len());
        for (at, pair) in (1..).zip(self.list(top, "never")?) {
            let keys = match pair {
                Json::List(pair) => match &pair[..] {
                    [Json::Text(hidden), Json::Text(stitch)] => Some((hidden, stitch)),
                    _ => None,
                },
                _ => None,
            };
            let wrong = match keys.map(|(k, c)| (k, c, palette.by_key(k), palette.by_key(c))) {
                None => Some("each item is a list of two keys".to_owned()),
                Some((k, _, None, _)) => Some(format!("there is no yarn {}", quoted(k))),
                Some((_, c, _, None)) => Some(format!("there is no yarn {}", quoted(c))),
                Some((k, _, Some(hidden), Some(stitch))) if !never.forbid(hidden, stitch) => {
                    Some(format!("yarn {k} may always lie inside its own stitches"))
                }
                Some(_) => None,
            };
            if let Some(what) = wrong {
                let place = Place::Item("never", at).to_string();
                self.faults.add(what, place, "");
            }
        }
        Some(never)
    }

    fn tables(&mut self, top: Fields<'_, '_>, yarns: usize) -> Option<CostTables> {
        let json = self.field(top, "tables")?;
        let fields = self.object(json, Place::Part("tables"), &["carry", "lift", "lift_edge"])?;
        let carry = self.table(fields, "carry", yarns);
        let lift = self.table(fields, "lift", yarns);
        let edge = self.whole(fields, "lift_edge", 0..=MAX_TABLE).map(Cost::from_thousandths);
        CostTables::from_parts(yarns, carry?, lift?, edge?)
    }

    fn table(&mut self, of: Fields<'_, '_>, name: &'static str, yarns: usize) -> Option<Vec<Cost>> {
        let list = self.list(of, name)?;
        if list.len() != yarns {
            self.add(of.place, name, || format!("there are {} rows for {yarns} yarns", list.len()));
            return None;
        }
        let mut costs = Vec::with_capacity(yarns * yarns);
        for (at, row) in (1..).zip(list) {
            let numbers = match row {
                Json::List(row) if row.len() == yarns => row,
                _ => {
                    self.add(of.place, name, || format!("row {at} is no list of {yarns} numbers"));
                    continue;
                }
            };
            for (column, number) in (1..).zip(numbers) {
                match number {
                    Json::Whole(number) if (0..=MAX_TABLE).contains(number) => {
                        costs.push(Cost::from_thousandths(*number));
                    }
                    _ => self.add(of.place, name, || {
                        format!("number {column} of row {at} is no whole number from 0 to {MAX_TABLE}")
                    }),
                }
            }
        }
        (costs.len() == yarns * yarns).then_some(costs)
    }

    fn strands(&mut self, top: Fields<'_, '_>, palette: &Palette) -> Option<Vec<StrandClaim>> {
        let list = self.list(top, "strands")?;
        let mut seen = vec![0usize; palette.len()];
        let mut strands = Vec::with_capacity(list.len());
        for (at, json) in (1..).zip(list) {
            let place = Place::Item("strands", at);
            let Some(fields) = self.object(json, place, &["strand", "label", "yarn", "length"]) else {
                continue;
            };
            self.expect_count(fields, "strand", at, "strands are numbered from 1 in order");
            let length = self.length(fields, "length");
            let Some(key) = self.text(fields, "yarn") else { continue };
            let Some(yarn) = palette.by_key(key) else {
                self.add(place, "yarn", || format!("there is no yarn {}", quoted(key)));
                continue;
            };
            seen[yarn.index()] += 1;
            self.expect_text(fields, "label", &format!("{}{}", palette.symbol(yarn), seen[yarn.index()]));
            strands.extend(length.map(|length| StrandClaim { yarn, length }));
        }
        (strands.len() == list.len()).then_some(strands)
    }

    fn strand(&mut self, of: Fields<'_, '_>, frame: &Frame) -> Option<StrandId> {
        let number = self.count(of, "strand", 1..=frame.strands)?;
        u32::try_from(number - 1).ok().map(StrandId)
    }

    fn short_tails(&mut self, top: Fields<'_, '_>, frame: &Frame) -> Option<Vec<ShortTail>> {
        let list = self.list(top, "short_tails")?;
        let mut tails = Vec::with_capacity(list.len());
        for (at, json) in (1..).zip(list) {
            let place = Place::Item("short_tails", at);
            let Some(fields) = self.object(json, place, &["row", "strand", "of", "missing"]) else {
                continue;
            };
            let row = self.count(fields, "row", 1..=frame.rows);
            let strand = self.strand(fields, frame);
            let of_join = self.word(fields, "of", &[("join", true), ("cut", false)]);
            let missing = self.whole(fields, "missing", 1..=frame.tail.into());
            if let (Some(row), Some(strand), Some(of_join), Some(Ok(missing))) =
                (row, strand, of_join, missing.map(u32::try_from))
            {
                tails.push(ShortTail { row: RowIndex(row - 1), strand, of_join, missing });
            }
        }
        Some(tails)
    }

    fn summary(&mut self, top: Fields<'_, '_>, frame: &Frame, yarns: usize) -> Option<(PlanCounts, Cost)> {
        const NAMES: [&str; 13] = [
            "rows",
            "columns",
            "stitches",
            "colours",
            "runs",
            "strands",
            "ends",
            "cost",
            "bound",
            "gap",
            "strands_at_once",
            "carried",
            "longest_carry",
        ];
        let json = self.field(top, "summary")?;
        let fields = self.object(json, Place::Part("summary"), &NAMES)?;
        self.expect_count(fields, "rows", frame.rows, "the rows of the chart");
        self.expect_count(fields, "columns", frame.columns, "the columns of the chart");
        let stitches = frame.rows * frame.columns;
        self.expect_count(fields, "stitches", stitches, "the stitches of the chart");
        let colours = self.count(fields, "colours", 1..=yarns);
        let runs = self.count(fields, "runs", 1..=stitches);
        self.expect_count(fields, "strands", frame.strands, "the strands of the list");
        self.expect_count(fields, "ends", 2 * frame.strands, "two for each strand");
        let cost = self.cost(fields, "cost", MAX_COST);
        let bound = self.cost(fields, "bound", MAX_COST);
        let strands_at_once = self.count(fields, "strands_at_once", 0..=frame.strands);
        let carried = self.whole(fields, "carried", 0..=MAX_LENGTH);
        let longest_carry = self.small(fields, "longest_carry", u32::MAX);
        let gap = match self.field(fields, "gap")? {
            #[allow(clippy::cast_precision_loss)] // compared with a number from 0 to 1
            Json::Whole(gap) => Some(*gap as f64),
            Json::Real(gap) => Some(*gap),
            other => {
                self.wrong_kind(fields, "gap", other, "a number");
                None
            }
        };
        let (cost, bound) = (cost?, bound?);
        if bound > cost {
            self.add(fields.place, "bound", || {
                "the document contradicts itself: the bound is above the cost".to_owned()
            });
        }
        let known = if cost == Cost::ZERO { 0.0 } else { (cost - bound).as_stitches() / cost.as_stitches() };
        if let Some(gap) = gap.filter(|gap| (gap - known).abs() > 1e-9) {
            self.add(fields.place, "gap", || {
                format!("the document contradicts itself: {gap} should be {known}, from cost and bound")
            });
        }
        let counts = PlanCounts {
            colours: colours?,
            runs: runs?,
            strands: frame.strands,
            strands_at_once: strands_at_once?,
            carried: u64::try_from(carried?).ok()?,
            longest_carry: longest_carry?,
            cost,
        };
        Some((counts, bound))
    }

    fn rows(&mut self, top: Fields<'_, '_>, frame: &Frame) -> Option<Vec<Row>> {
        let list = self.list(top, "rows")?;
        if list.len() != frame.rows {
            self.add(top.place, "rows", || {
                format!(
                    "the document contradicts itself: {} rows are listed, the chart has {}",
                    list.len(),
                    frame.rows
                )
            });
        }
        let mut rows = Vec::with_capacity(list.len());
        for (index, json) in list.iter().enumerate() {
            let index = RowIndex(index);
            let RowNumber(number) = index.into();
            let mut steps = Vec::new();
            if let Some(row) = self.object(json, Place::Row(number), &["row", "side", "direction", "steps"]) {
                self.expect_count(row, "row", number, "rows are numbered from 1 at the bottom");
                self.expect_text(row, "side", side_word(index.side()));
                self.expect_text(row, "direction", direction_word(index.direction(frame.hand)));
                let list = self.list(row, "steps").unwrap_or_default();
                steps.reserve_exact(list.len());
                for (at, json) in (1..).zip(list) {
                    steps.extend(self.step(json, number, at, frame));
                }
            }
            rows.push(Row { steps });
        }
        Some(rows)
    }

    fn step(&mut self, json: &Json<'_>, row: usize, number: usize, frame: &Frame) -> Option<Step> {
        const WORDS: [(&str, Do); 7] = [
            ("join", Do::Join),
            ("work", Do::Work),
            ("carry", Do::Carry),
            ("draw_back", Do::DrawBack),
            ("drop", Do::Drop),
            ("lift", Do::Lift),
            ("cut", Do::Cut),
        ];
        let place = Place::Step(row, number);
        let named = match json {
            Json::Object(fields) => fields.iter().find(|(name, _)| name == "do").map(|(_, word)| word),
            _ => None,
        };
        let word = named.and_then(|word| match word {
            Json::Text(word) => WORDS.iter().find(|(known, _)| known == word).map(|(_, word)| *word),
            _ => None,
        });
        let names: &[&str] = match word {
            Some(Do::Work | Do::Carry | Do::DrawBack) => &["do", "strand", "from", "to"],
            Some(Do::Join | Do::Cut) => &["do", "strand", "at", "tail"],
            Some(Do::Drop | Do::Lift) => &["do", "strand", "at"],
            None => &["do", "strand", "from", "to", "at", "tail"],
        };
        let of = self.object(json, place, names)?;
        let word = self.word(of, "do", &WORDS)?;
        let strand = self.strand(of, frame);
        let columns = u32::try_from(frame.columns).ok()?;
        let mut boundary = |name| self.small(of, name, columns).map(Boundary);
        match word {
            Do::Work | Do::Carry | Do::DrawBack => {
                let (from, to) = (boundary("from"), boundary("to"));
                let (strand, from, to) = (strand?, from?, to?);
                Some(match word {
                    Do::Work => Step::Work { strand, from, to },
                    Do::Carry => Step::Carry { strand, from, to },
                    _ => Step::DrawBack { strand, from, to },
                })
            }
            Do::Drop => Some(Step::Drop { at: boundary("at")?, strand: strand? }),
            Do::Lift => Some(Step::Lift { at: boundary("at")?, strand: strand? }),
            Do::Join | Do::Cut => {
                let at = boundary("at");
                let tail = self.tail(of, row, number, matches!(word, Do::Join), frame);
                let (strand, at, tail) = (strand?, at?, tail?);
                Some(if matches!(word, Do::Join) {
                    Step::Join { strand, at, tail }
                } else {
                    Step::Cut { strand, at, tail }
                })
            }
        }
    }

    fn tail(
        &mut self,
        of: Fields<'_, '_>,
        row: usize,
        step: usize,
        of_join: bool,
        frame: &Frame,
    ) -> Option<Tail> {
        let json = self.field(of, "tail")?;
        let fields = self.object(json, Place::Tail(row, step), &["line", "over"])?;
        let lines =
            [("onward", TailLine::Onward), ("next_row", TailLine::NextRow), ("before", TailLine::Before)];
        // Only a join can be laid in before.
        let line = self.word(fields, "line", if of_join { &lines } else { &lines[..2] });
        let over = self.small(fields, "over", frame.tail);
        Some(Tail { line: line?, over: over? })
    }
}

/// What the steps are read within.
struct Frame {
    rows: usize,
    columns: usize,
    strands: usize,
    tail: u32,
    hand: Hand,
}

/// The word of a step.
#[derive(Clone, Copy)]
enum Do {
    Join,
    Work,
    Carry,
    DrawBack,
    Drop,
    Lift,
    Cut,
}

fn out_of_range(number: &i64, range: &RangeInclusive<i64>) -> String {
    let (least, most) = (range.start(), range.end());
    format!("{number} is out of bounds, it must lie between {least} and {most}")
}
