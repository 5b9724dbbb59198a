//! What a person gave to reckon with: a swatch, a margin, a pace, a border.

use border::Border;
use model::{Gauge, Length, WeightCategory, Yarn};
use pattern::{
    Band, Basis, BorderYarn, Caution, Choices, DyeLots, Grist, Inside, Measured, Origin, OwnPace, Pace,
    Swatch, SwatchYarn, Taken, Time,
};
use replay::ProvenPlan;

use crate::failure::Failure;
use crate::measured::SwatchText;
use crate::rounds::{self, Given};
use crate::yarn_names::{called, on_chart};
use crate::{args, inputs};

/// All that is reckoned with.
pub(crate) struct Reckoned {
    pub(crate) basis: Basis,
    pub(crate) choices: Choices,
    pub(crate) border: Option<Border>,
    pub(crate) pace: Pace,
    /// Hours, the border's among them.
    pub(crate) time: Time,
}

impl Reckoned {
    /// How far the border stands out on every side.
    pub(crate) fn depth(&self) -> Length {
        self.border.as_ref().map_or(Length::ZERO, Border::depth)
    }
}

/// What amounts of a plan are reckoned from. What there is to say of it comes to the notes.
pub(crate) fn reckoned(
    arguments: &args::ReckonedArgs,
    chart: &args::ChartArg,
    proven: &ProvenPlan,
    in_file: Option<Gauge>,
    notes: &mut Vec<String>,
) -> Result<Reckoned, Failure> {
    let own = OwnPace { stitches_a_minute: arguments.stitches_a_minute, ..OwnPace::default() };
    let pace = own.pace().map_err(|error| Failure::usage(error, "--stitches-a-minute", error.hint()))?;
    notes.extend(own.slip().map(|slip| format!("the pace looks odd: {slip}")));
    let basis = basis(arguments, proven, in_file, notes)?;
    let dye_lots = if arguments.spare { DyeLots::Matter } else { DyeLots::Alike };
    let mut choices = Choices { margin: arguments.margin, dye_lots, ..Choices::new(basis.takes) };
    let mut border = None;
    if let Some(text) = &arguments.border {
        let list = match &chart.yarns {
            // What there is to say of the list was said when the chart was read.
            Some(list) => inputs::yarns(list, &mut Vec::new())?,
            None => Vec::new(),
        };
        let terms = rounds::terms(arguments.terms.terms());
        let given = Given { text, option: "--border", list: &list, terms };
        let (worked, palette) = given.border(proven.chart(), basis.swatch.gauge, proven.rules().hand)?;
        let amounts = border::amounts(&worked, &basis.takes.yarn_use);
        let takes = amounts.into_iter().map(|amount| {
            let border::Band { low, likely, high } = amount.length;
            (amount.yarn, Band { low, likely, high })
        });
        choices.border = Some(BorderYarn { palette, takes: takes.collect() });
        border = Some(worked);
    }
    let hours = border.as_ref().map_or(0.0, |border| {
        border::hours(border, &border::Pace { stitch: pace.stitch, end: pace.weave }).total()
    });
    Ok(Reckoned { time: pattern::time(proven, &pace, hours), basis, choices, border, pace })
}

/// Where a basis comes from, in one word.
pub(crate) fn word(basis: &Basis) -> &'static str {
    match basis.swatch.origin {
        _ if basis.of_plan => "plan",
        Origin::Measured => "swatch",
        Origin::GaugeMeasured => "gauge",
        Origin::Estimated => "estimate",
    }
}

fn basis(
    arguments: &args::ReckonedArgs,
    proven: &ProvenPlan,
    in_file: Option<Gauge>,
    notes: &mut Vec<String>,
) -> Result<Basis, Failure> {
    let tail = proven.plan().yarn_use.tail;
    if let Some(text) = &arguments.swatch {
        let swatch = measured(arguments, text, proven, notes)?;
        return Ok(Basis::of_swatch(swatch, tail));
    }
    let (yarns, plan) = (proven.chart().palette().yarns(), proven.plan());
    let otherwise = in_file.or_else(|| Basis::gauge_of_plan(plan));
    let gauge = inputs::gauge(arguments.gauge, otherwise, yarns, notes);
    let category = WeightCategory::usual_of(yarns);
    let basis = Basis::without_swatch(plan, gauge, arguments.gauge.is_some(), category);
    basis.map_err(|error| Failure::usage(&error, "--swatch", error.hint()))
}

/// The swatch, with what looks odd in it as notes.
fn measured(
    arguments: &args::ReckonedArgs,
    text: &SwatchText,
    proven: &ProvenPlan,
    notes: &mut Vec<String>,
) -> Result<Swatch, Failure> {
    let yarns = proven.chart().palette().yarns();
    let weighed = matches!(text.yarn, Some(SwatchYarn::Weighed(_)));
    let yarn = yarn(arguments.swatch_yarn.as_deref(), proven, weighed, notes)?;
    let usual = || yarns.iter().any(|yarn| yarn.category.is_some()).then(|| WeightCategory::usual_of(yarns));
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
