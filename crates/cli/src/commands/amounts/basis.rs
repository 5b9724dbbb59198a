//! What the amounts are reckoned from: a swatch, or without one an estimate.

use model::{Gauge, Length, Yarn};
use pattern::{Caution, Grist, Inside, Measured, Origin, Swatch, SwatchYarn, Taken, Takes};
use replay::ProvenPlan;

use crate::failure::Failure;
use crate::measured::SwatchText;
use crate::yarn_names::{called, on_chart};
use crate::{args, inputs};

/// A gauge and what stitches take of yarn.
pub(super) struct Basis {
    pub(super) swatch: Swatch,
    pub(super) takes: Takes,
    /// Whether the plan says what stitches take, as somebody measured it.
    pub(super) of_plan: bool,
}

impl Basis {
    /// Where it comes from, in one word.
    pub(super) fn word(&self) -> &'static str {
        match self.swatch.origin {
            _ if self.of_plan => "plan",
            Origin::Measured => "swatch",
            Origin::GaugeMeasured => "gauge",
            Origin::Estimated => "estimate",
        }
    }
}

pub(super) fn basis(
    arguments: &args::Amounts,
    proven: &ProvenPlan,
    in_file: Option<Gauge>,
    notes: &mut Vec<String>,
) -> Result<Basis, Failure> {
    let tail = proven.plan().yarn_use.tail;
    if let Some(text) = &arguments.swatch {
        let swatch = measured(arguments, text, proven, notes)?;
        let takes = Takes::of_swatch(&swatch, tail);
        return Ok(Basis { swatch, takes, of_plan: false });
    }
    let (yarns, yarn_use) = (proven.chart().palette().yarns(), proven.plan().yarn_use);
    // Estimates have a strand inside as wide as a stitch, and a lift as high as a row.
    let of_plan = || Gauge::new(100.0 / yarn_use.carried.as_mm(), 100.0 / yarn_use.lift.as_mm()).ok();
    let gauge = inputs::gauge(arguments.gauge, in_file.or_else(of_plan), yarns, notes);
    let category = inputs::usual_category(yarns);
    // A gauge that is just the usual one was measured by nobody: its band is that of the category.
    let usual = Gauge::usual(category);
    let near = |one: f64, other: f64| (one - other).abs() < 0.005;
    let nobodys = arguments.gauge.is_none()
        && category.usual_stitches_in_10_cm().is_some()
        && near(gauge.stitches(), usual.stitches())
        && near(gauge.rows(), usual.rows());
    let swatch = pattern::estimate((!nobodys).then_some(gauge), Some(category), None);
    let mut swatch = swatch.map_err(|error| Failure::usage(&error, "--swatch", error.hint()))?;
    if arguments.gauge.is_none() && !yarn_use.estimated {
        let takes = Takes::of_plan(proven.plan());
        swatch.stitch = takes.stitch;
        return Ok(Basis { swatch, takes, of_plan: true });
    }
    let takes = Takes::of_swatch(&swatch, tail);
    Ok(Basis { swatch, takes, of_plan: false })
}

/// The swatch, with what looks odd in it as notes.
fn measured(
    arguments: &args::Amounts,
    text: &SwatchText,
    proven: &ProvenPlan,
    notes: &mut Vec<String>,
) -> Result<Swatch, Failure> {
    let yarns = proven.chart().palette().yarns();
    let weighed = matches!(text.yarn, Some(SwatchYarn::Weighed(_)));
    let yarn = yarn(arguments.swatch_yarn.as_deref(), proven, weighed, notes)?;
    let usual = || yarns.iter().any(|yarn| yarn.category.is_some()).then(|| inputs::usual_category(yarns));
    let measured = Measured {
        stitches: text.stitches,
        rows: text.rows,
        taken: text.yarn.map(|yarn| Taken { yarn, worked: text.whole, chains: true, tails: Length::ZERO }),
        inside: if arguments.swatch_carried { Inside::OneStrand } else { Inside::Nothing },
        grist: yarn.and_then(grist),
        category: yarn.and_then(|yarn| yarn.category).or_else(usual),
    };
    let swatch =
        pattern::swatch(&measured).map_err(|error| Failure::usage(&error, "--swatch", error.hint()))?;
    notes.extend(swatch.cautions.iter().map(|caution| match caution {
        Caution::NothingInside => {
            format!("{caution}: {}; if it has one, say --swatch-carried", caution.hint())
        }
        _ => format!("{caution}: {}", caution.hint()),
    }));
    if measured.rows.is_none() {
        notes.push(format!(
            "the swatch's rows are an estimate, {:.1} in 10 cm: count them too",
            swatch.gauge.rows()
        ));
    }
    Ok(swatch)
}

fn grist(yarn: &Yarn) -> Option<Grist> {
    yarn.ball.and_then(Grist::of_ball)
}

/// The yarn of the swatch: as it is named, else the one with most stitches whose label is known.
fn yarn<'a>(
    named: Option<&str>,
    proven: &'a ProvenPlan,
    weighed: bool,
    notes: &mut Vec<String>,
) -> Result<Option<&'a Yarn>, Failure> {
    let palette = proven.chart().palette();
    if let Some(named) = named {
        let yarn = on_chart(palette, named);
        let yarn = yarn.map_err(|slip| Failure::input(slip.what, "--swatch-yarn", slip.hint))?;
        return Ok(Some(palette.yarn(yarn)));
    }
    let stitches = proven.chart().stitches_by_yarn();
    let known = || palette.yarns().iter().zip(&stitches).filter(|(yarn, n)| **n > 0 && grist(yarn).is_some());
    let main = known().max_by_key(|(_, n)| **n).map(|(yarn, _)| yarn);
    let tex = |yarn| grist(yarn).map_or(0.0, |grist| grist.tex());
    if let Some(main) = main.filter(|_| weighed)
        && known().any(|(yarn, _)| (tex(yarn) - tex(main)).abs() > 0.5)
    {
        notes.push(format!(
            "the swatch is taken to be of {}, and other yarns are not as heavy: name its yarn with --swatch-yarn",
            called(main)
        ));
    }
    Ok(main)
}
