//! The amounts in words.

use std::fmt::Write as _;

use model::{ColourIndex, Length};
use pattern::{
    Amount, Band, EndOf, Entry, InTime, LengthUnit, Origin, WHY_A_SWATCH, Weight, WeightUnit, Wind, cost,
};

use super::super::lines;
use super::basis::Basis;
use super::{Found, Units, price};
use crate::args::UnitsArg;
use crate::days;
use crate::summary::counted;
use crate::yarn_names::called;

/// Evenings that are told one by one.
const EVENINGS: usize = 7;

impl Units {
    /// The number of a weight; small ones with more digits.
    fn number(self, weight: Weight) -> String {
        match self.0.weight() {
            WeightUnit::Grams if weight < Weight::grams(9.95) => format!("{:.1}", weight.as_grams()),
            WeightUnit::Grams => format!("{:.0}", weight.as_grams()),
            WeightUnit::Ounces if weight < WeightUnit::Ounces.times(0.995) => {
                format!("{:.2}", weight.as_ounces())
            }
            WeightUnit::Ounces => format!("{:.1}", weight.as_ounces()),
        }
    }

    fn weight(self, weight: Weight) -> String {
        format!("{} {}", self.number(weight), self.weight_unit())
    }

    fn weight_unit(self) -> &'static str {
        match self.0.weight() {
            WeightUnit::Grams => "g",
            WeightUnit::Ounces => "oz",
        }
    }

    fn weights(self, weight: Band<Weight>) -> String {
        format!("{} to {} {}", self.number(weight.low), self.number(weight.high), self.weight_unit())
    }

    fn yarn(self, length: Length) -> String {
        shown(length, self.0.yarn())
    }

    /// A length to have or to wind: rounded up, so that it does.
    fn enough(self, length: Length) -> String {
        let unit = self.0.yarn();
        format!("{:.1} {}", (unit.of(length) * 10.0).ceil() / 10.0, unit.short())
    }

    fn yarns(self, length: Band) -> String {
        let unit = self.0.yarn();
        format!("{:.1} to {:.1} {}", unit.of(length.low), unit.of(length.high), unit.short())
    }

    fn fabric(self, length: Length) -> String {
        shown(length, self.0.fabric())
    }

    fn size(self, width: Length, height: Length) -> String {
        format!("{:.1} by {}", self.0.fabric().of(width), self.fabric(height))
    }

    /// So many in 10 cm, in what is counted over.
    fn gauge(self, in_10_cm: Band<f64>) -> String {
        let times = match self.0 {
            UnitsArg::Cm => 1.0,
            UnitsArg::In => 1.016,
        };
        let Band { low, likely, high } = in_10_cm.map(|number| number * times);
        if high - low < 0.05 {
            format!("{likely:.1}")
        } else {
            format!("{likely:.1} ({low:.1} to {high:.1})")
        }
    }

    const fn gauge_over(self) -> &'static str {
        match self.0 {
            UnitsArg::Cm => "10 cm",
            UnitsArg::In => "4 in",
        }
    }
}

fn shown(length: Length, unit: LengthUnit) -> String {
    format!("{:.1} {}", unit.of(length), unit.short())
}

pub(super) fn words(found: &Found, units: UnitsArg) -> String {
    let units = Units(units);
    let mut text = String::from("AMOUNTS\n\n");
    told_basis(&mut text, &found.basis, units);
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
        let palette = found.proven.chart().palette();
        for end in ends {
            let what = match end.of {
                EndOf::Foundation => "the foundation's beginning",
                EndOf::Join => "join",
                EndOf::Cut => "cut",
            };
            let _ = write!(
                text,
                "[ ] row {}, behind stitch {}: {} {}, {what}; ",
                end.row,
                end.after,
                end.label,
                called(palette.yarn(end.yarn))
            );
            let _ = match end.over {
                0 => write!(text, "nothing worked over it"),
                over => {
                    write!(
                        text,
                        "{} worked over in row {}",
                        counted(over.into(), "stitch", "stitches"),
                        end.over_in
                    )
                }
            };
            if end.missing > 0 {
                let _ = write!(text, ", {} missing", end.missing);
            }
            let _ = writeln!(text, "; {} left", units.fabric(end.left));
        }
    }
    text
}

fn told_basis(text: &mut String, basis: &Basis, units: Units) {
    let swatch = &basis.swatch;
    let _ = writeln!(
        text,
        "{}: {} stitches and {} rows in {}, {:.2} {} of yarn in a stitch ({:.2} to {:.2}).",
        match swatch.origin {
            _ if basis.of_plan => "As the plan has it",
            Origin::Measured => "From your swatch",
            Origin::GaugeMeasured => "The gauge from your swatch, metres an estimate",
            Origin::Estimated => "An estimate",
        },
        units.gauge(swatch.stitches),
        units.gauge(swatch.rows),
        units.gauge_over(),
        units.0.fabric().of(swatch.stitch.likely),
        units.0.fabric().short(),
        units.0.fabric().of(swatch.stitch.low),
        units.0.fabric().of(swatch.stitch.high)
    );
    if let Some(grams) = swatch.grams_per_square_metre {
        let (area, weight) = match units.0 {
            UnitsArg::Cm => ("metre", grams.map(Weight::grams)),
            UnitsArg::In => {
                let yard = LengthUnit::Yards.one().as_metres();
                ("yard", grams.map(|grams| Weight::grams(grams * yard * yard)))
            }
        };
        let _ = writeln!(
            text,
            "A square {area} of it weighs {}; it may be {}.",
            units.weight(weight.likely),
            units.weights(weight)
        );
    }
    if swatch.origin != Origin::Measured && !basis.of_plan {
        for line in lines(WHY_A_SWATCH) {
            let _ = writeln!(text, "{line}");
        }
    }
}

fn told_amount(text: &mut String, found: &Found, amount: &Amount, units: Units) {
    let palette = found.proven.chart().palette();
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
        found.choices.margin.as_percent(),
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
    let palette = found.proven.chart().palette();
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
    let digits = if found.time.total() < 10.0 { 2 } else { 1 };
    let parts = found.time.named().into_iter().filter(|(_, hours)| *hours > 0.0);
    let parts: Vec<String> = parts.map(|(name, hours)| format!("{name} {hours:.digits$}")).collect();
    let _ = writeln!(
        text,
        "{:.digits$} at {:.1} stitches a minute: {}",
        found.time.total(),
        60.0 / found.pace.stitch,
        parts.join(", ")
    );
    let Some(schedule) = &found.evenings else { return };
    let _ = writeln!(text, "{}", schedule.says);
    if matches!(schedule.in_time, InTime::NoDay | InTime::Yes { .. }) {
        let _ = writeln!(text, "The last evening is {}.", days::written(schedule.done_on));
    }
    for evening in schedule.evenings.iter().take(EVENINGS) {
        let day = days::written(evening.day);
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
    let name = called(found.proven.chart().palette().yarn(entry.yarn()));
    match entry {
        Entry::Strand(wind) => {
            let _ = writeln!(text, "[ ] {} {name}: {}", wind.label, wound(wind, units));
        }
        Entry::Group(winds) => {
            let _ = writeln!(
                text,
                "[ ] {} small ones of {name}, {} in all, from row {} on",
                winds.len(),
                units.enough(entry.length()),
                entry.needed_at()
            );
            for wind in winds {
                let _ = writeln!(text, "    [ ] {}: {}", wind.label, wound(wind, units));
            }
        }
    }
}

fn wound(wind: &Wind, units: Units) -> String {
    let balls = match wind.balls {
        Some(balls) if balls > 1 => format!(", through {balls} balls"),
        _ => String::new(),
    };
    format!("{}{balls}, joins at row {}", units.enough(wind.length), wind.joins_at)
}
