//! The amounts in words.

use std::fmt::Write as _;

use model::{ColourIndex, Length};
use pattern::{Amount, Basis, Entry, InTime, Units, Weight, cost};

use super::super::lines;
use super::{Found, price};
use crate::summary::counted;
use crate::yarn_names::called;

/// Evenings that are told one by one.
const EVENINGS: usize = 7;

pub(super) fn words(found: &Found, units: Units) -> String {
    let mut text = String::from("AMOUNTS\n\n");
    told_basis(&mut text, &found.reckoned.basis, units);
    text += "\nYARN\n\n";
    for amount in &found.amounts {
        told_amount(&mut text, found, amount, units);
    }
    told_lots(&mut text, found);
    told_cost(&mut text, found);
    text += "\nFINISHED\n\n";
    told_finished(&mut text, found, units);
    text += "\nHOURS (an estimate)\n\n";
    told_hours(&mut text, found);
    text += "\nTO WIND, in the order of need\n\n";
    for entry in found.winding.entries() {
        told_entry(&mut text, found, entry, units);
    }
    if let Some(ends) = &found.ends {
        text += "\nENDS, row by row\n\n";
        let palette = found.palette();
        for end in ends {
            let _ = writeln!(text, "[ ] {}", end.says(palette, units));
        }
    }
    text
}

fn told_basis(text: &mut String, basis: &Basis, units: Units) {
    for sentence in basis.says(units) {
        for line in lines(&sentence) {
            let _ = writeln!(text, "{line}");
        }
    }
}

fn told_amount(text: &mut String, found: &Found, amount: &Amount, units: Units) {
    let palette = found.palette();
    let _ = writeln!(
        text,
        "{} ({}): {} in {}",
        called(palette.yarn(amount.yarn)),
        palette.symbol(amount.yarn),
        counted(amount.stitches, "stitch", "stitches"),
        counted(amount.strands as u64, "strand", "strands")
    );
    let _ = write!(text, "    {}", units.yarn(amount.length.likely));
    if let Some(weight) = amount.weight() {
        let _ = write!(text, ", {}", units.weight(weight.likely));
    }
    let _ = write!(text, "; it may be {}", units.yarns(amount.length));
    if let Some(weight) = amount.weight() {
        let _ = write!(text, ", {}", units.weights(weight));
    }
    let parts = amount.parts.named().into_iter().filter(|(_, length)| *length > Length::ZERO);
    let parts: Vec<String> = parts
        .map(|(name, length)| match amount.grist {
            Some(grist) => format!("{name} {} ({})", units.yarn(length), units.weight(grist.weight(length))),
            None => format!("{name} {}", units.yarn(length)),
        })
        .collect();
    let _ = write!(
        text,
        "\n    {}\n    to have, with {} % more: {}",
        parts.join(", "),
        found.reckoned.choices.margin.as_percent(),
        units.enough(amount.to_have)
    );
    if let Some(balls) = amount.balls {
        let _ = write!(text, ", {}", counted(balls.needed, "ball", "balls"));
        if balls.on_hand > 0 {
            let _ = write!(text, ", {} on hand", balls.on_hand);
        }
        if balls.spare > 0 {
            let _ = write!(text, ", {} spare", balls.spare);
        }
        let _ = match balls.buy {
            0 => write!(text, ": none to buy"),
            buy => write!(text, ": buy {buy}"),
        };
        if let Some(cost) = amount.cost.filter(|_| balls.buy > 0) {
            let _ = write!(text, ", {}", price(cost.hundredths));
        }
    }
    text.push('\n');
}

fn names(found: &Found, yarns: impl IntoIterator<Item = ColourIndex>) -> String {
    let palette = found.palette();
    let names: Vec<&str> = yarns.into_iter().map(|yarn| called(palette.yarn(yarn))).collect();
    names.join(", ")
}

/// What to do where lots must mix: the same for every yarn, so told once.
fn told_lots(text: &mut String, found: &Found) {
    let meeting = || found.amounts.iter().filter(|amount| !amount.lot_advice().is_empty());
    let Some(first) = meeting().next() else { return };
    let _ = writeln!(
        text,
        "\nBalls on hand meet bought ones: {}.",
        names(found, meeting().map(|amount| amount.yarn))
    );
    for advice in first.lot_advice() {
        let _ = writeln!(text, "- {advice}");
    }
}

fn told_cost(text: &mut String, found: &Found) {
    let (all, unknown) = cost(&found.amounts);
    if unknown.len() == found.amounts.len() {
        return;
    }
    if all.hundredths == 0 && unknown.is_empty() {
        text.push_str("\nNothing is to buy.\n");
        return;
    }
    let _ = write!(text, "\nAll that is to buy costs {}", price(all.hundredths));
    if !unknown.is_empty() {
        let _ = write!(text, ", and what {} will", names(found, unknown));
    }
    text.push_str(".\n");
}

fn told_finished(text: &mut String, found: &Found, units: Units) {
    let finished = &found.finished;
    let _ = writeln!(text, "{} wide and high", units.size(finished.width, finished.height));
    if let Some((width, height)) = finished.washed {
        let _ = writeln!(text, "{} after washing", units.size(width, height));
    }
    if finished.weight.high > Weight::ZERO {
        let _ = write!(
            text,
            "{}, and may be {}",
            units.weight(finished.weight.likely),
            units.weights(finished.weight)
        );
        if !finished.unweighed.is_empty() {
            let _ = write!(text, ", without {}", names(found, finished.unweighed.iter().copied()));
        }
        text.push('\n');
    }
}

fn told_hours(text: &mut String, found: &Found) {
    // Of a small piece hundredths of an hour tell.
    let digits = if found.reckoned.time.total() < 10.0 { 2 } else { 1 };
    let parts = found.reckoned.time.named().into_iter().filter(|(_, hours)| *hours > 0.0);
    let parts: Vec<String> = parts.map(|(name, hours)| format!("{name} {hours:.digits$}")).collect();
    let _ = writeln!(
        text,
        "{:.digits$} at {:.1} stitches a minute: {}",
        found.reckoned.time.total(),
        60.0 / found.reckoned.pace.stitch,
        parts.join(", ")
    );
    let Some(schedule) = &found.evenings else { return };
    let _ = writeln!(text, "{}", schedule.says);
    if matches!(schedule.in_time, InTime::NoDay | InTime::Yes { .. }) {
        let _ = writeln!(text, "The last evening is {}.", schedule.done_on.written());
    }
    for evening in schedule.evenings.iter().take(EVENINGS) {
        let day = evening.day.written();
        let _ = match evening.rows {
            Some((first, last)) if first == last => writeln!(text, "    {day}: row {first}"),
            Some((first, last)) => writeln!(text, "    {day}: rows {first} to {last}"),
            None if evening.finishing > 0.0 => writeln!(text, "    {day}: finishing"),
            None => writeln!(text, "    {day}: on with a long row"),
        };
    }
    let more = schedule.evenings.len().saturating_sub(EVENINGS);
    if more > 0 {
        let _ = writeln!(text, "    and so on, {}", counted(more as u64, "evening more", "evenings more"));
    }
}

fn told_entry(text: &mut String, found: &Found, entry: &Entry, units: Units) {
    let what = entry.says(found.palette(), units);
    match entry {
        Entry::Strand(wind) => {
            let _ = writeln!(text, "[ ] {what}: {}", wind.says(units));
        }
        Entry::Group(winds) => {
            let _ = writeln!(text, "[ ] {what}");
            for wind in winds {
                let _ = writeln!(text, "    [ ] {}: {}", wind.label, wind.says(units));
            }
        }
    }
}
