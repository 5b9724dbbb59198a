//! `rules.toml`: the rules of a plan, each as the command line's flag of the same name.

use model::{Cost, CostError, Hand, Weights};

use crate::fault::{Collector, Faults, did_you_mean, quoted};
use crate::keys::{KEY_HINT, is_chart_key};
use crate::toml_text::{Entry, TomlText, refuse_others};

/// A limit as a person sets it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitSetting {
    /// No limit, written `"none"`.
    NoLimit,
    /// At most so many; 0 is a limit.
    AtMost(u32),
}

impl LimitSetting {
    /// The limit as [`model::Limits`] holds it.
    #[must_use]
    pub const fn most(self) -> Option<u32> {
        match self {
            Self::NoLimit => None,
            Self::AtMost(most) => Some(most),
        }
    }
}

/// The weights that a document sets; see [`Weights`] for what each means.
#[allow(missing_docs)] // the fields are those of `Weights`
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WeightSettings {
    pub join: Option<Cost>,
    pub cut: Option<Cost>,
    pub tail: Option<u32>,
    pub short: Option<Cost>,
    pub hang: Option<Cost>,
    pub carry_same: Option<Cost>,
    pub carry_other: Option<Cost>,
    pub carry_show_dark: Option<Cost>,
    pub carry_show_light: Option<Cost>,
    pub lift: Option<Cost>,
    pub lift_show: Option<Cost>,
    pub lift_edge: Option<Cost>,
}

impl WeightSettings {
    /// These weights, with those of `base` where nothing is set.
    #[must_use]
    pub fn over(&self, base: Weights) -> Weights {
        Weights {
            join: self.join.unwrap_or(base.join),
            cut: self.cut.unwrap_or(base.cut),
            tail: self.tail.unwrap_or(base.tail),
            short: self.short.unwrap_or(base.short),
            hang: self.hang.unwrap_or(base.hang),
            carry_same: self.carry_same.unwrap_or(base.carry_same),
            carry_other: self.carry_other.unwrap_or(base.carry_other),
            carry_show_dark: self.carry_show_dark.unwrap_or(base.carry_show_dark),
            carry_show_light: self.carry_show_light.unwrap_or(base.carry_show_light),
            lift: self.lift.unwrap_or(base.lift),
            lift_show: self.lift_show.unwrap_or(base.lift_show),
            lift_edge: self.lift_edge.unwrap_or(base.lift_edge),
        }
    }
}

/// What a rules document sets; `None` where it says nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RulesFile {
    /// The hand that holds the hook.
    pub hand: Option<Hand>,
    /// Longest carry, in stitches of other yarns.
    pub longest_carry: Option<LimitSetting>,
    /// Longest wait, in rows.
    pub longest_wait: Option<LimitSetting>,
    /// Pairs of keys: the first yarn never inside stitches of the second. Whether a chart has these
    /// yarns is not known here.
    pub never: Option<Vec<(String, String)>>,
    /// The weights.
    pub weights: WeightSettings,
}

const FIELDS: [&str; 18] = [
    "hand",
    "longest-carry",
    "longest-wait",
    "max-carried",
    "max-strands",
    "never",
    "join",
    "cut",
    "tail",
    "short",
    "hang",
    "carry-same",
    "carry-other",
    "carry-show-dark",
    "carry-show-light",
    "lift",
    "lift-show",
    "lift-edge",
];

/// The most bytes of a document that is read.
const MAX_BYTES: usize = 1 << 20;
/// The highest limit: above the side of any chart.
const MAX_LIMIT: i64 = 1_000_000;

/// Reads a rules document. Everything in it is optional.
///
/// # Errors
/// When the text is no TOML or a field is unknown, of the wrong kind or out of bounds: all such
/// faults at once, each with its line.
pub fn read_rules(text: &str) -> Result<RulesFile, Faults> {
    let document = TomlText::parse(text, MAX_BYTES)?;
    let mut faults = Collector::default();
    let entries = document.root();
    refuse_others(&entries, &FIELDS, "a rules document", &mut faults);
    let mut rules = RulesFile::default();
    let weights = &mut rules.weights;
    for entry in &entries {
        match entry.name {
            "hand" => rules.hand = hand(entry, &mut faults),
            "longest-carry" => rules.longest_carry = limit(entry, &mut faults),
            "longest-wait" => rules.longest_wait = limit(entry, &mut faults),
            "max-carried" | "max-strands" => only_none(entry, &mut faults),
            "never" => rules.never = never(entry, &mut faults),
            "join" => weights.join = weight(entry, &mut faults),
            "cut" => weights.cut = weight(entry, &mut faults),
            "tail" => weights.tail = tail(entry, &mut faults),
            "short" => weights.short = weight(entry, &mut faults),
            "hang" => weights.hang = weight(entry, &mut faults),
            "carry-same" => weights.carry_same = weight(entry, &mut faults),
            "carry-other" => weights.carry_other = weight(entry, &mut faults),
            "carry-show-dark" => weights.carry_show_dark = weight(entry, &mut faults),
            "carry-show-light" => weights.carry_show_light = weight(entry, &mut faults),
            "lift" => weights.lift = weight(entry, &mut faults),
            "lift-show" => weights.lift_show = weight(entry, &mut faults),
            "lift-edge" => weights.lift_edge = weight(entry, &mut faults),
            _ => {}
        }
    }
    faults.finish(Some(rules))
}

fn hand(entry: &Entry<'_>, faults: &mut Collector) -> Option<Hand> {
    match entry.item.as_str() {
        Some("right") => Some(Hand::Right),
        Some("left") => Some(Hand::Left),
        Some(other) => {
            let hint = did_you_mean(other, ["right", "left"]).unwrap_or_default();
            faults.add(format!("{} is neither right nor left", quoted(other)), entry.place(), hint);
            None
        }
        None => {
            entry.wrong_kind("\"right\" or \"left\"", faults);
            None
        }
    }
}

fn limit(entry: &Entry<'_>, faults: &mut Collector) -> Option<LimitSetting> {
    if entry.item.as_str().is_some_and(|text| text.trim() == "none") {
        return Some(LimitSetting::NoLimit);
    }
    whole(entry, MAX_LIMIT, "a whole number or \"none\"", faults).map(LimitSetting::AtMost)
}

fn tail(entry: &Entry<'_>, faults: &mut Collector) -> Option<u32> {
    whole(entry, Weights::MAX_TAIL.into(), "a whole number of stitches", faults)
}

/// A whole number from 0 to `most`, as a number or as a text.
fn whole(entry: &Entry<'_>, most: i64, wanted: &str, faults: &mut Collector) -> Option<u32> {
    let number = match entry.item.as_str() {
        Some(text) => text.trim().parse().ok(),
        None => entry.item.as_integer(),
    };
    match number {
        Some(number) if (0..=most).contains(&number) => u32::try_from(number).ok(),
        Some(number) => {
            let what = format!("{} is {number}, it must lie between 0 and {most}", entry.name);
            faults.add(what, entry.place(), "");
            None
        }
        None => {
            entry.wrong_kind(wanted, faults);
            None
        }
    }
}

fn only_none(entry: &Entry<'_>, faults: &mut Collector) {
    if entry.item.as_str().map(str::trim) != Some("none") {
        let hint = "limits that tie the yarns together come later: leave the line out, or say \"none\"";
        faults.add(format!("{} takes only \"none\" for now", entry.name), entry.place(), hint);
    }
}

fn never(entry: &Entry<'_>, faults: &mut Collector) -> Option<Vec<(String, String)>> {
    const HINT: &str = "write [\"K:C\"]: yarn K never inside stitches of yarn C";
    let Some(list) = entry.item.as_array() else {
        faults.add(format!("never is {}, not a list of pairs", entry.kind()), entry.place(), HINT);
        return None;
    };
    let mut pairs = Vec::new();
    for (at, value) in list.iter().enumerate() {
        let place = || format!("{}, item {}", entry.place(), at + 1);
        let Some(text) = value.as_str() else {
            faults.add("an item of never is no text", place(), HINT);
            continue;
        };
        let Some((hidden, stitch)) = text.split_once(':').map(|(k, c)| (k.trim(), c.trim())) else {
            faults.add(format!("{} is no pair of keys", quoted(text)), place(), HINT);
            continue;
        };
        if let Some(bad) = [hidden, stitch].into_iter().find(|key| !is_chart_key(key)) {
            faults.add(format!("{} is no key", quoted(bad)), place(), KEY_HINT);
        } else if hidden == stitch {
            let what = format!("yarn {hidden} may always lie inside its own stitches");
            faults.add(what, place(), "name two yarns, or take the pair out");
        } else {
            pairs.push((hidden.to_owned(), stitch.to_owned()));
        }
    }
    Some(pairs)
}

fn weight(entry: &Entry<'_>, faults: &mut Collector) -> Option<Cost> {
    let Some(text) = entry.number_or_text() else {
        entry.wrong_kind("a number", faults);
        return None;
    };
    // No weight is anywhere near that long.
    let cost = if text.len() > 60 { Err(CostError::NotANumber) } else { text.parse::<Cost>() };
    match cost {
        Ok(cost) => Some(cost),
        Err(error) => {
            faults.add(format!("{} is no weight: {error}", quoted(&text)), entry.place(), "");
            None
        }
    }
}
