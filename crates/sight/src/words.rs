//! What there is to say of yarns that look alike or may bleed, in sentences.

use model::Palette;

use crate::{Advice, Alike, Eye, MayBleed};

/// A sentence for each pair with what to do; the same advice is not given twice. No full stop ends it.
#[must_use]
pub fn alike_in_words(palette: &Palette, pairs: &[Alike]) -> Vec<String> {
    let mut given = Vec::new();
    let mut notes = Vec::new();
    for pair in pairs {
        let eyes: Vec<Eye> = pair.seen.iter().map(|seen| seen.eye).collect();
        // Who can't see a difference by daylight needs no list of further eyes.
        let eyes = if eyes.contains(&Eye::Daylight) { vec![Eye::Daylight] } else { eyes };
        let when: Vec<&str> = eyes.into_iter().map(Eye::when).collect();
        let mut note = format!(
            "{} and {} look alike {}",
            palette.named(pair.one),
            palette.named(pair.two),
            when.join(", and ")
        );
        let advice = advice_on(pair);
        if !given.contains(&advice) {
            note.push_str(". ");
            note.push_str(advice.trim_end_matches('.'));
            given.push(advice);
        }
        notes.push(note);
    }
    notes
}

/// What to do about a pair, in one text.
#[must_use]
pub fn advice_on(pair: &Alike) -> String {
    let texts: Vec<&str> = pair.advice().into_iter().map(Advice::text).collect();
    texts.join(" ")
}

/// Which deep dyes lie beside which pale yarns, as in `Ink (K) beside Snow (A); …`; `None` where none
/// does. What to do is [`MayBleed::ADVICE`].
#[must_use]
pub fn bleeding_in_words(palette: &Palette, pairs: &[MayBleed]) -> Option<String> {
    let mut deep: Vec<(model::ColourIndex, Vec<String>)> = Vec::new();
    for pair in pairs {
        let pale = palette.named(pair.pale);
        match deep.iter_mut().find(|(yarn, _)| *yarn == pair.deep) {
            Some((_, beside)) => beside.push(pale),
            None => deep.push((pair.deep, vec![pale])),
        }
    }
    let deep: Vec<String> = deep
        .into_iter()
        .map(|(yarn, pale)| format!("{} beside {}", palette.named(yarn), pale.join(", ")))
        .collect();
    (!deep.is_empty()).then(|| deep.join("; "))
}
