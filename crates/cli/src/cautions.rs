//! What to mind about a chart's yarns: those that look alike, and those that may bleed.

use model::ALIKE;
use model::{Chart, ColourIndex, Palette};
use serde_json::{Value, json};
use sight::{Alike, Eye, MayBleed};

use crate::yarn_names::called;

/// What there is to say, as notes and for `--json`.
#[derive(Default)]
pub(crate) struct Cautions {
    pub(crate) notes: Vec<String>,
    /// List of pairs that look alike.
    pub(crate) alike: Value,
    /// List of pairs that may bleed.
    pub(crate) bleeding: Value,
}

/// All about a chart's yarns.
pub(crate) fn of(chart: &Chart) -> Cautions {
    let palette = chart.palette();
    let alike = sight::alike_on(chart, ALIKE);
    let bleeding = sight::may_bleed(chart);
    let mut notes = alike_notes(palette, &alike);
    notes.extend(bleeding_note(palette, &bleeding));
    let key = |yarn: ColourIndex| palette.yarn(yarn).key.as_str();
    let alike = alike.iter().map(|pair| {
        json!({
            "yarns": [key(pair.one), key(pair.two)],
            "when": pair.seen.iter().map(|seen| seen.eye.word()).collect::<Vec<_>>(),
            "difference": pair.seen.iter().map(|seen| seen.difference).fold(f64::INFINITY, f64::min),
            "advice": advice(pair),
        })
    });
    let bleeding = bleeding
        .iter()
        .map(|pair| json!({"deep": key(pair.deep), "pale": key(pair.pale), "advice": pair.advice()}));
    Cautions { notes, alike: alike.collect(), bleeding: bleeding.collect() }
}

/// Notes on the pairs of a chart that look alike.
pub(crate) fn alike(chart: &Chart) -> Vec<String> {
    alike_notes(chart.palette(), &sight::alike_on(chart, ALIKE))
}

fn advice(pair: &Alike) -> String {
    let texts: Vec<&str> = pair.advice().into_iter().map(sight::Advice::text).collect();
    texts.join(" ")
}

/// A note for each pair; the same advice is not given twice.
fn alike_notes(palette: &Palette, pairs: &[Alike]) -> Vec<String> {
    let mut given = Vec::new();
    let mut notes = Vec::new();
    for pair in pairs {
        let eyes: Vec<Eye> = pair.seen.iter().map(|seen| seen.eye).collect();
        // Who can't see a difference by daylight needs no list of further eyes.
        let eyes = if eyes.contains(&Eye::Daylight) { vec![Eye::Daylight] } else { eyes };
        let when: Vec<&str> = eyes.into_iter().map(Eye::when).collect();
        let mut note = format!(
            "{} and {} look alike {}",
            name(palette, pair.one),
            name(palette, pair.two),
            when.join(", and ")
        );
        let advice = advice(pair);
        if !given.contains(&advice) {
            note.push_str(". ");
            note.push_str(advice.trim_end_matches('.'));
            given.push(advice);
        }
        notes.push(note);
    }
    notes
}

/// One note on all pairs that may bleed: what to do is the same.
fn bleeding_note(palette: &Palette, pairs: &[MayBleed]) -> Option<String> {
    let mut deep: Vec<(ColourIndex, Vec<String>)> = Vec::new();
    for pair in pairs {
        let pale = name(palette, pair.pale);
        match deep.iter_mut().find(|(yarn, _)| *yarn == pair.deep) {
            Some((_, beside)) => beside.push(pale),
            None => deep.push((pair.deep, vec![pale])),
        }
    }
    let deep: Vec<String> = deep
        .into_iter()
        .map(|(yarn, pale)| format!("{} beside {}", name(palette, yarn), pale.join(", ")))
        .collect();
    let advice = MayBleed::ADVICE.trim_end_matches('.');
    (!deep.is_empty()).then(|| format!("dye may run in the wash: {}. {advice}", deep.join("; ")))
}

/// A yarn's name with its symbol.
fn name(palette: &Palette, yarn: ColourIndex) -> String {
    format!("{} ({})", called(palette.yarn(yarn)), palette.symbol(yarn))
}
