//! What to mind about a chart's yarns: those that look alike, and those that may bleed.

use model::ALIKE;
use model::{Chart, ColourIndex};
use serde_json::{Value, json};
use sight::MayBleed;

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
    let mut notes = sight::alike_in_words(palette, &alike);
    notes.extend(sight::bleeding_in_words(palette, &bleeding).map(|pairs| {
        format!("dye may run in the wash: {pairs}. {}", MayBleed::ADVICE.trim_end_matches('.'))
    }));
    let key = |yarn: ColourIndex| palette.yarn(yarn).key.as_str();
    let alike = alike.iter().map(|pair| {
        json!({
            "yarns": [key(pair.one), key(pair.two)],
            "when": pair.seen.iter().map(|seen| seen.eye.word()).collect::<Vec<_>>(),
            "difference": pair.seen.iter().map(|seen| seen.difference).fold(f64::INFINITY, f64::min),
            "advice": sight::advice_on(pair),
        })
    });
    let bleeding = bleeding
        .iter()
        .map(|pair| json!({"deep": key(pair.deep), "pale": key(pair.pale), "advice": pair.advice()}));
    Cautions { notes, alike: alike.collect(), bleeding: bleeding.collect() }
}

/// Notes on the pairs of a chart that look alike.
pub(crate) fn alike(chart: &Chart) -> Vec<String> {
    sight::alike_in_words(chart.palette(), &sight::alike_on(chart, ALIKE))
}
