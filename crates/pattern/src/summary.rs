//! The plan on one page: size, yarn, strands, cost, hours.

use core::fmt::Write as _;

use model::{Gauge, Hand, Length, Yarn};
use replay::ProvenPlan;

use crate::{Pace, Terms, amounts, hours};

/// A yarn for people: its name and, where it differs, its key, with the colour.
#[must_use]
pub fn yarn_line(yarn: &Yarn) -> String {
    if yarn.name.is_empty() || yarn.name == yarn.key {
        format!("{}, {}", yarn.key, yarn.colour)
    } else if yarn.name.contains(&yarn.colour.to_string()) {
        yarn.name.clone()
    } else {
        format!("{} ({}), {}", yarn.name, yarn.key, yarn.colour)
    }
}

/// One page on a plan. `notes` are what was noted on the way to it.
#[must_use]
pub fn summary(proven: &ProvenPlan, gauge: &Gauge, terms: Terms, notes: &[String]) -> String {
    let (chart, plan) = (proven.chart(), proven.plan());
    let counts = plan.counts;
    let hand = match plan.rules.hand {
        Hand::Right => "right",
        Hand::Left => "left",
    };
    let both = |length: Length| format!("{:.1} cm ({:.1} in)", length.as_cm(), length.as_inches());
    let mut text = String::from("SUMMARY\n\n");
    let mut line = |what: &str, value: String| {
        let _ = writeln!(text, "{what:<24}{value}");
    };
    line(
        "Finished size",
        format!(
            "{} wide, {} high",
            both(gauge.width_of(chart.columns())),
            both(gauge.height_of(chart.rows()))
        ),
    );
    line(
        "Gauge",
        format!(
            "{} stitches and {:.2} rows in 10 cm{}",
            trimmed(gauge.stitches()),
            gauge.rows(),
            if gauge.rows_estimated() { " (the rows are an estimate: work a swatch)" } else { "" }
        ),
    );
    line(
        "Stitches",
        format!(
            "{} {} in {} rows of {}, for the {hand} hand, {} terms",
            chart.stitches(),
            terms.stitch(),
            chart.rows(),
            chart.columns(),
            terms.name()
        ),
    );
    line("Colours", counts.colours.to_string());
    line("Runs of one colour", counts.runs.to_string());
    line("Strands", format!("{}, so {} ends", counts.strands, counts.ends()));
    line("Most strands at once", counts.strands_at_once.to_string());
    line(
        "Stitches carried",
        format!("{}, at most {} of other colours in one go", counts.carried, counts.longest_carry),
    );
    line("Cost", format!("{} stitches' worth of handling", counts.cost));
    line(
        "Bound",
        format!(
            "{}: {}",
            plan.bound,
            if plan.bound == counts.cost {
                "no plan for this chart under these rules costs less".to_owned()
            } else {
                format!("gap {:.2} %", plan.gap() * 100.0)
            }
        ),
    );
    line("Checked", "worked stitch by stitch by a checker of its own".to_owned());
    let pace = Pace::default();
    let time = hours(proven, &pace);
    line(
        "Hours (an estimate)",
        format!(
            "{:.0}: {:.0} for stitches at {:.0} a minute, {:.0} for changing and carrying, {:.0} for ends",
            time.total(),
            time.stitches,
            60.0 / pace.stitch,
            time.strands,
            time.ends
        ),
    );

    text.push_str("\nYARN (a first estimate, to be replaced by your own swatch)\n\n");
    let palette = chart.palette();
    for amount in amounts(proven) {
        let yarn = palette.yarn(amount.yarn);
        let length = amount.length;
        let _ = write!(
            text,
            "{:<3} {}: {} stitches, {} strand{}, {:.0} m",
            palette.symbol(amount.yarn),
            yarn_line(yarn),
            amount.stitches,
            amount.strands,
            if amount.strands == 1 { "" } else { "s" },
            length.likely.as_metres()
        );
        if length.low != length.high {
            let _ = write!(
                text,
                " ({:.0} to {:.0} m)",
                length.low.as_metres().floor(),
                length.high.as_metres().ceil()
            );
        }
        if let Some(milligrams) = amount.milligrams {
            let _ = write!(text, ", {} g", milligrams.div_ceil(1000));
        }
        if let Some(balls) = amount.balls {
            let _ = write!(text, ", {balls} ball{}", if balls == 1 { "" } else { "s" });
            if let Some(on_hand) = yarn.on_hand {
                let _ = write!(text, " ({on_hand} on hand)");
            }
        }
        text.push('\n');
    }
    text.push_str("\nBuy all of a colour from one dye lot.\n");

    let short = plan.short_tails.len();
    if short > 0 {
        let _ = writeln!(
            text,
            "\n{short} tail{} can't be worked over for the whole length: weave {} in with a needle. The rows say which.",
            if short == 1 { "" } else { "s" },
            if short == 1 { "it" } else { "them" }
        );
    }
    if !notes.is_empty() {
        text.push_str("\nNOTES\n\n");
        for note in notes {
            let _ = writeln!(text, "- {note}");
        }
    }
    text.push_str(
        "\nCARE\n\n\
         - For a baby under one year: not for unattended sleep. Follow your country's safe-sleep advice.\n  \
           Check that no end or loop can wrap round a finger.\n\
         - Rest your hands, eyes and back: a break every half hour. Pain that stays is for a professional.\n\
         - Wash and press as the yarn's label says; never iron a fibre you don't know.\n\
         - Whether the picture may be used, and the pattern sold, depends on whose picture it is: that is\n  \
           for you to know.\n",
    );
    text
}

/// A number without needless zeros.
fn trimmed(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
