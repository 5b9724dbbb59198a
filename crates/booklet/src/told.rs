//! A booklet from a proven plan and what a person said to it.

use border::Border;
use model::{Hand, Length, Palette, WeightCategory, Yarn};
use pattern::{Amount, Basis, Choices, Finished, Grouping, Shrinkage, Terms, Time, Units, Weight, Wind};
use replay::ProvenPlan;

use crate::contents::{Booklet, BorderPart, Fact, RowEntry, Rows, Section, WindEntry, WindLine, YarnEntry};
use crate::{closing, how_to};

/// What becomes of the pattern in other hands, as its maker says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Passing {
    /// Nothing is said.
    #[default]
    NotSaid,
    /// For whoever has it, and nobody else.
    OwnUse,
    /// It may be given on, not sold.
    Given,
    /// It may be given on and sold.
    Sold,
}

/// What a booklet is made of.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The plan.
    pub proven: &'a ProvenPlan,
    /// What amounts are reckoned from.
    pub basis: &'a Basis,
    /// How much is bought; the border's yarn is in it.
    pub choices: &'a Choices,
    /// Hours at the maker's pace, the border's among them.
    pub time: &'a Time,
    /// The border. Its palette is that of the choices.
    pub border: Option<&'a Border>,
    /// What a wash does, where it is known.
    pub shrinkage: Option<Shrinkage>,
    /// The pattern's name; where it is empty it is called by what it is.
    pub title: &'a str,
    /// Who made it; may be empty.
    pub by: &'a str,
    /// A note of the maker's; may be empty.
    pub note: &'a str,
    /// Whose picture it is; may be empty.
    pub picture_by: &'a str,
    /// Whether it may be given on or sold.
    pub passing: Passing,
    /// Whose names of stitches are used.
    pub terms: Terms,
    /// The units of its reader.
    pub units: Units,
}

/// The whole pattern as data.
#[must_use]
pub fn booklet<'a>(told: &Told<'a>) -> Booklet<'a> {
    let Told { proven, terms, units, .. } = *told;
    let palette = told.choices.palette(proven);
    let amounts = pattern::amounts(proven, told.choices);
    let gauge = told.basis.swatch.gauge;
    let out = told.border.map_or(Length::ZERO, Border::depth);
    let finished = pattern::finished(proven, &gauge, &amounts, out, told.shrinkage);
    let rows = pattern::rows_in_words(proven, terms);
    let winding = pattern::winding_list(proven, told.choices, &Grouping::default());
    let ends = pattern::ends(proven, &told.choices.takes.yarn_use);
    let title = match told.title.trim() {
        "" => "A picture blanket",
        title => title,
    };
    Booklet {
        proven,
        gauge,
        title: title.to_owned(),
        by: told.by.trim().to_owned(),
        note: told.note.trim().to_owned(),
        subtitle: subtitle(told),
        facts: facts(told, palette, &amounts, &finished),
        yarns: yarns(told, palette, &amounts),
        gauge_says: gauge_says(told),
        how_to: how_to::how_to(proven, terms, &rows),
        rows: Rows {
            strands: rows.strands,
            foundation: rows.foundation,
            rows: rows.rows.into_iter().map(entry).collect(),
        },
        winding: winding.entries().iter().map(|entry| wind(entry, palette, units)).collect(),
        tags: winding.tags().into_iter().map(|of| (of.label.clone(), of.tag(palette, units))).collect(),
        ends: ends.iter().map(|end| end.says(palette, units)).collect(),
        border: told.border.filter(|border| !border.rounds().is_empty()).map(|of| border(of, terms)),
        closing: closing::closing(told, palette),
    }
}

fn subtitle(told: &Told) -> String {
    let chart = told.proven.chart();
    let hand = match told.proven.rules().hand {
        Hand::Right => "right",
        Hand::Left => "left",
    };
    format!(
        "{} stitches by {} rows in {}, worked flat and turned · {} terms · for the {hand} hand",
        grouped(chart.columns() as u64),
        grouped(chart.rows() as u64),
        told.terms.stitch_in_full(),
        told.terms.name()
    )
}

fn facts(told: &Told, palette: &Palette, amounts: &[Amount], finished: &Finished) -> Vec<Fact> {
    let Told { proven, units, .. } = *told;
    let counts = proven.plan().counts;
    let mut facts = Vec::new();
    let mut fact = |name: &str, value: String| facts.push(Fact { name: name.to_owned(), value });
    let border = if told.border.is_some() { ", border included" } else { "" };
    fact("Finished size", format!("{}{border}", units.size(finished.width, finished.height)));
    if let Some((width, height)) = finished.washed {
        fact("After washing", units.size(width, height));
    }
    fact(
        "Gauge",
        format!(
            "{} stitches and {} rows in {}{}",
            units.gauge(pattern::Band::sure(told.basis.swatch.stitches.likely)),
            units.gauge(pattern::Band::sure(told.basis.swatch.rows.likely)),
            units.gauge_over(),
            if told.basis.measured() { "" } else { " (an estimate: work a swatch)" }
        ),
    );
    let length = amounts.iter().map(|amount| amount.to_have).fold(Length::ZERO, |sum, length| sum + length);
    let mut yarn =
        format!("{} to have, in {}", units.enough(length), counted(amounts.len(), "colour", "colours"));
    if finished.unweighed.is_empty() && !amounts.is_empty() {
        yarn.push_str(&format!("; the blanket weighs about {}", units.weight(finished.weight.likely)));
    }
    fact("Yarn", yarn);
    let category = category(palette, amounts);
    let hook = category.map_or("the one that gives your gauge".to_owned(), |category| {
        format!("usually {}; the one that gives your gauge is right", category.usual_hooks())
    });
    fact("Hook", hook);
    fact(
        "Also",
        format!(
            "a blunt needle, scissors, a marker, and bobbins: up to {} strands hang at once",
            counts.strands_at_once
        ),
    );
    fact(
        "Strands",
        format!(
            "{} in all, so {} ends to weave in",
            grouped(counts.strands as u64),
            grouped(counts.ends() as u64)
        ),
    );
    fact("Time", format!("about {:.0} hours{border} (an estimate)", told.time.total().max(1.0)));
    facts
}

/// The category of most of the yarn, where every yarn says the same or says none.
fn category(palette: &Palette, amounts: &[Amount]) -> Option<WeightCategory> {
    let mut categories = amounts.iter().filter_map(|amount| palette.yarn(amount.yarn).category);
    let first = categories.next()?;
    categories.all(|other| other == first).then_some(first)
}

fn yarns(told: &Told, palette: &Palette, amounts: &[Amount]) -> Vec<YarnEntry> {
    let units = told.units;
    let entries = amounts.iter().map(|amount| {
        let yarn = palette.yarn(amount.yarn);
        let weight = amount.grist.map(|grist| units.weight(grist.weight(amount.to_have)));
        YarnEntry {
            symbol: palette.symbol(amount.yarn),
            name: yarn.called().to_owned(),
            kind: kind(yarn, units),
            colour: yarn.colour,
            stitches: match amount.stitches {
                0 => String::new(),
                stitches => grouped(stitches),
            },
            strands: match amount.strands {
                0 => String::new(),
                strands => strands.to_string(),
            },
            length: units.enough(amount.to_have),
            weight: weight.unwrap_or_default(),
            balls: amount.balls.map(|balls| (balls.needed + balls.spare).to_string()).unwrap_or_default(),
        }
    });
    entries.collect()
}

/// What a yarn is, for whoever looks for another like it; empty where nobody knows.
fn kind(yarn: &Yarn, units: Units) -> String {
    let weight = yarn.category.map(|category| format!("{} ({})", category.name(), category.number()));
    let ball = yarn.ball.map(|ball| {
        let weight = Weight::from_milligrams(ball.milligrams);
        format!("{} in a ball of {}", units.yarn(ball.length), units.weight(weight))
    });
    weight.into_iter().chain(ball).collect::<Vec<_>>().join(", ")
}

fn gauge_says(told: &Told) -> Vec<String> {
    let mut says = told.basis.says(told.units);
    says.extend(told.basis.swatch.cautions.iter().map(|caution| {
        let what = caution.to_string();
        let mut letters = what.chars();
        let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
        format!("{first}{}: {}.", letters.as_str(), caution.hint())
    }));
    says.push(format!(
        "The lengths of yarn hold {} % more than was reckoned. Hands differ: whoever works tighter or looser \
         than this gauge gets another size and needs another length of yarn.",
        told.choices.margin.as_percent()
    ));
    says.push(
        "Measure again after 20 rows, when your hands have settled. If the gauge is another by then, decide: \
         change the hook and begin anew, or take the other size."
            .to_owned(),
    );
    says
}

fn entry(row: pattern::RowText) -> RowEntry {
    RowEntry { first: row.first.0, last: row.last.0, name: row.name, lines: row.lines }
}

fn wind(entry: &pattern::Entry, palette: &Palette, units: Units) -> WindEntry {
    let line = |wind: &Wind| WindLine {
        label: wind.label.clone(),
        length: units.enough(wind.length),
        joins_at: wind.joins_at.0,
        ends_at: wind.ends_at.0,
    };
    WindEntry {
        symbol: palette.symbol(entry.yarn()),
        what: entry.says(palette, units),
        strands: entry.strands().iter().map(line).collect(),
    }
}

fn border(border: &Border, terms: Terms) -> BorderPart {
    let told = border::border_in_words(
        border,
        match terms {
            Terms::Us => border::Terms::Us,
            Terms::Uk => border::Terms::Uk,
        },
    );
    let rounds = told.rounds.into_iter().map(|round| Section { title: round.name, says: round.lines });
    BorderPart { heading: told.all_along, rounds: rounds.collect(), lies: told.lies }
}

fn counted(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// With a thin mark between thousands, as in `50,000`.
fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}
