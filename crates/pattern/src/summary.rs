//! The plan on one page: size, yarn, strands, cost, hours.

use core::fmt::Write as _;

use model::{Gauge, Hand, Length, WeightCategory, Yarn};
use replay::ProvenPlan;

use crate::{Basis, Choices, Grouping, LengthUnit, Pace, Takes, Terms, amounts, hours, winding_list};

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

/// What the amounts are reckoned from, as where nobody gave a swatch.
fn takes(proven: &ProvenPlan, gauge: &Gauge) -> Takes {
    let plan = proven.plan();
    let category = WeightCategory::usual_of(proven.chart().palette().yarns());
    let basis = Basis::without_swatch(plan, *gauge, false, category);
    basis.map_or_else(|_| Takes::of_plan(plan), |basis| basis.takes)
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
    line("Colour changes", counts.runs.saturating_sub(1).to_string());
    line("Strands", format!("{}, so {} ends", counts.strands, counts.ends()));
    line(
        "Most strands at once",
        format!("{}: so many bobbins hang in the busiest row", counts.strands_at_once),
    );
    line(
        "Stitches carried",
        format!("{}, at most {} of other colours in one go", counts.carried, counts.longest_carry),
    );
    line("Inside one stitch", format!("at most {} strands and tails", proven.most_inside()));
    line(
        "Cost",
        format!("{} stitches' worth of handling: joins, cuts, carries, lifts, waiting", counts.cost),
    );
    line(
        "Bound",
        format!(
            "{}: {}",
            plan.bound,
            if plan.bound == counts.cost {
                "no plan for this chart under these rules needs less, and that is proven".to_owned()
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
            "{:.0}: {:.0} for stitches at {:.0} a minute, {:.0} for changing, carrying and untangling, {:.0} for ends",
            time.total(),
            time.stitches,
            60.0 / pace.stitch,
            time.strands,
            time.ends
        ),
    );

    text.push_str(if plan.yarn_use.estimated {
        "\nYARN (a first estimate, to be replaced by your own swatch)\n\n"
    } else {
        "\nYARN (from your swatch)\n\n"
    });
    let palette = chart.palette();
    let choices = Choices::new(takes(proven, gauge));
    for amount in amounts(proven, &choices) {
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
        if let Some(weight) = amount.weight() {
            let _ = write!(text, ", {} g", weight.likely.milligrams().div_ceil(1000));
        }
        if let Some(balls) = amount.balls {
            let s = if balls.needed == 1 { "" } else { "s" };
            let _ =
                write!(text, ", {} ball{s} ({} on hand, {} to buy)", balls.needed, balls.on_hand, balls.buy);
        }
        text.push('\n');
    }
    let margin = choices.margin.as_percent();
    let _ = writeln!(
        text,
        "\nBuy all of a colour from one dye lot: what is to buy holds one ball to spare. A band is for the yarn\n\
         that stitches take; balls are for its high end and {margin} % more."
    );
    strands(&mut text, proven, &choices);

    let short = plan.short_tails.len();
    let _ = write!(
        text,
        "\nENDS\n\nLeave 15 cm (6 in) at each join and cut. Work over the stitches that the rows say, then weave the\nrest back with a needle: stitches alone don't hold an end."
    );
    if short > 0 {
        let _ = write!(
            text,
            " {short} tail{} to be woven in with a needle for want of\nstitches: the rows say which.",
            if short == 1 { " is" } else { "s are" }
        );
    }
    text.push('\n');
    if !notes.is_empty() {
        text.push_str("\nNOTES\n\n");
        for note in notes {
            let _ = writeln!(text, "- {note}");
        }
    }
    text.push_str(
        "\nCARE\n\n\
         - For a baby under one year: not for unattended sleep. Follow your country's safe-sleep advice.\n  \
           Check that no end or loop can wrap round a finger: for children weave every end back twice.\n\
         - Rest your hands, eyes and back: a break every half hour. Pain that stays is for a professional.\n\
         - Wash and press as the yarn's label says; never iron a fibre you don't know, acrylic melts.\n\
         - Whether the picture may be used, and the pattern sold, depends on whose picture it is: that is\n  \
           for you to know.\n",
    );
    text
}

/// What to wind for each strand, in the order of need.
fn strands(text: &mut String, proven: &ProvenPlan, choices: &Choices) {
    let margin = choices.margin.as_percent();
    let _ = writeln!(
        text,
        "\nSTRANDS (what to wind for each, in the order of need; the high end and {margin} % more)\n"
    );
    let _ = writeln!(text, "{:<8}{:<14}{:>9}{:>11}{:>11}", "strand", "rows", "stitches", "metres", "yards");
    let list = winding_list(proven, choices, &Grouping::default());
    let mut longer = Vec::new();
    for wind in list.tags() {
        let (first, last) = (wind.joins_at, wind.ends_at);
        let rows = if first == last { first.to_string() } else { format!("{first} to {last}") };
        let _ = writeln!(
            text,
            "{:<8}{rows:<14}{:>9}{:>11.1}{:>11.1}",
            wind.label,
            wind.stitches,
            wind.length.as_metres(),
            LengthUnit::Yards.of(wind.length)
        );
        if wind.balls.is_some_and(|balls| balls > 1) {
            longer.push(wind.label.as_str());
        }
    }
    if !longer.is_empty() {
        let _ = writeln!(
            text,
            "\nLonger than a ball: {}. Where a ball ends, join the next of the same dye lot a few stitches\n\
             before, as at any join; each such place makes two more ends, which are not counted above.",
            longer.join(", ")
        );
    }
}

/// A number without needless zeros.
fn trimmed(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
