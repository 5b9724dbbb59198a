//! Files read and turned into what the commands work with.

use std::fs;
use std::path::Path;

use charting::Picture;
use formats::{ChartFile, LimitSetting, Noted, PlanFile, SizeLimits};
use model::{Chart, Gauge, Hand, Limits, Palette, Rules, WeightCategory, Weights, Yarn};

use crate::args::{ChartArg, RuleArgs};
use crate::failure::{Failure, reason};
use crate::usage::Slip;
use crate::yarn_names::on_chart;

/// No file of ours is larger; whoever hands one in by mistake gets told.
const MAX_FILE: u64 = 1 << 30;

/// The bytes of a file.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let hint = "check the name and that the file may be read";
    let unread = |error: std::io::Error| Failure::input(reason(&error), path.display(), hint);
    let found = fs::metadata(path).map_err(unread)?;
    if found.is_dir() {
        return Err(Failure::input("this is a folder", path.display(), "give the name of a file"));
    }
    if found.len() > MAX_FILE {
        return Err(Failure::input(
            format!("the file has {} bytes, {MAX_FILE} is the most", found.len()),
            path.display(),
            "give a smaller file",
        ));
    }
    fs::read(path).map_err(unread)
}

fn text(path: &Path, hint: &str) -> Result<String, Failure> {
    let bytes = read(path)?;
    let text = formats::utf8(&bytes).map_err(|faults| Failure::document(&name(path), faults, hint))?;
    Ok(text.to_owned())
}

// What to do about a document where its reader has no better hint.
const YARNS_HINT: &str =
    "demo/yarns.toml shows what a list of yarns looks like, docs/formats.md tells all of it";
const CHART_HINT: &str = "mend the chart, or make it again with `strandwright chart`";
const PLAN_HINT: &str = "give a plan as `strandwright plan` writes it, or make it again";
const RULES_HINT: &str = "docs/formats.md tells what a file of rules may hold";

fn name(path: &Path) -> String {
    path.display().to_string()
}

/// A picture, upright, with what was noted on the way.
pub(crate) fn picture(path: &Path, notes: &mut Vec<String>) -> Result<Picture, Failure> {
    let bytes = read(path)?;
    let picture = charting::read_picture(&bytes, &charting::Limits::default())
        .map_err(|error| Failure::input(&error, path.display(), error.hint()))?;
    Ok(picture.unpack(notes))
}

/// A list of yarns.
pub(crate) fn yarns(path: &Path, notes: &mut Vec<String>) -> Result<Vec<Yarn>, Failure> {
    let read = formats::read_yarns(&text(path, YARNS_HINT)?)
        .map_err(|faults| Failure::document(&name(path), faults, YARNS_HINT))?;
    Ok(unpack(read, notes))
}

/// A chart with its gauge, where the file has one.
pub(crate) fn chart(argument: &ChartArg, notes: &mut Vec<String>) -> Result<(Chart, Option<Gauge>), Failure> {
    let path = &argument.chart;
    let list = argument.yarns.as_deref().map(|path| yarns(path, notes)).transpose()?;
    if ends_in(path, "json") {
        return Err(Failure::usage(
            "this should be the chart, but is a plan by its name",
            path.display(),
            "give the chart first, a .png or .csv file",
        ));
    }
    if ends_in(path, "csv") {
        let chart = formats::read_chart_csv(&text(path, CHART_HINT)?, list.as_deref())
            .map_err(|faults| Failure::document(&name(path), faults, CHART_HINT))?;
        return Ok((unpack(chart, notes), None));
    }
    let file = formats::read_chart_png(&read(path)?, &SizeLimits::default())
        .map_err(|faults| Failure::document(&name(path), faults, CHART_HINT))?;
    let ChartFile { chart, gauge, named } = unpack(file, notes);
    let chart = match list {
        Some(list) => unpack(formats::name_yarns(chart, named, &list), notes),
        None => chart,
    };
    Ok((chart, gauge))
}

/// Whether a file's name has that ending.
pub(crate) fn ends_in(path: &Path, ending: &str) -> bool {
    path.extension().is_some_and(|has| has.eq_ignore_ascii_case(ending))
}

/// A plan that says it is for that chart.
pub(crate) fn plan(path: &Path, chart: &Chart) -> Result<PlanFile, Failure> {
    let failed = |faults| Failure::document(&name(path), faults, PLAN_HINT);
    let file = formats::read_plan(&text(path, PLAN_HINT)?).map_err(failed)?;
    formats::belongs_to(&file, chart).map_err(failed)?;
    Ok(file)
}

/// The rules: defaults, over them a file, over that the flags.
pub(crate) fn rules(arguments: &RuleArgs, palette: &Palette) -> Result<Rules, Failure> {
    let file = match &arguments.rules {
        Some(path) => Some((
            name(path),
            formats::read_rules(&text(path, RULES_HINT)?)
                .map_err(|faults| Failure::document(&name(path), faults, RULES_HINT))?,
        )),
        None => None,
    };
    let of_file = file.as_ref().map(|(_, rules)| rules);
    let weights = arguments
        .weights(of_file.map_or_else(Weights::default, |file| file.weights.over(Weights::default())));
    let hand = arguments.hand.map(crate::args::HandArg::hand).or(of_file.and_then(|file| file.hand));
    let mut rules = Rules::new(palette, weights, hand.unwrap_or(Hand::Right));
    let most =
        |flag: Option<LimitSetting>, file: Option<LimitSetting>| flag.or(file).and_then(|limit| limit.most());
    rules.limits = Limits {
        longest_carry: most(arguments.longest_carry, of_file.and_then(|file| file.longest_carry)),
        longest_wait: most(arguments.longest_wait, of_file.and_then(|file| file.longest_wait)),
    };
    if arguments.never.is_empty() {
        if let Some((path, never)) = file.as_ref().and_then(|(path, file)| Some((path, file.never.as_ref()?)))
        {
            for (hidden, stitch) in never {
                forbid(&mut rules, palette, (hidden, stitch))
                    .map_err(|slip| Failure::input(slip.what, format!("{path}, never"), slip.hint))?;
            }
        }
    } else {
        for pair in &arguments.never {
            let place = format!("--never {pair}");
            let (hidden, stitch) = pair.split_once(':').ok_or_else(|| {
                Failure::usage("two yarns with a colon between are needed", &place, NEVER_HINT)
            })?;
            forbid(&mut rules, palette, (hidden, stitch))
                .map_err(|slip| Failure::input(slip.what, &place, slip.hint))?;
        }
    }
    Ok(rules)
}

/// Notes limits that leave hardly anything to plan with.
pub(crate) fn note_limits(rules: &Rules, notes: &mut Vec<String>) {
    if rules.limits.longest_carry == Some(0) {
        notes.push(
            "the longest carry is 0: no strand passes a stitch of another yarn, so that nearly every run needs a \
             strand of its own; 3 to 7 is a limit that spares ends"
                .to_owned(),
        );
    }
    if rules.limits.longest_wait == Some(0) {
        notes.push(
            "the longest wait is 0: a strand that is not worked in a row is cut, so that many are joined anew; a \
             limit of 10 rows and more spares ends"
                .to_owned(),
        );
    }
}

const NEVER_HINT: &str =
    "write K:C, yarn K never inside stitches of yarn C, each by its key, its name or its symbol on the chart";

fn forbid(rules: &mut Rules, palette: &Palette, (hidden, stitch): (&str, &str)) -> Result<(), Slip> {
    let yarn = |named| {
        on_chart(palette, named).map_err(|slip| Slip::new(&slip, format!("{}; {NEVER_HINT}", slip.hint)))
    };
    if rules.never.forbid(yarn(hidden)?, yarn(stitch)?) {
        Ok(())
    } else {
        Err(Slip::new("a yarn may always lie inside its own stitches", NEVER_HINT))
    }
}

/// Notes where yarns of several weights meet in one chart: they do not make the same stitch.
pub(crate) fn note_mixed_weights(chart: &Chart, notes: &mut Vec<String>) {
    let used = chart.palette().yarns().iter().zip(chart.stitches_by_yarn()).filter(|(_, n)| *n > 0);
    let mut categories: Vec<WeightCategory> = used.filter_map(|(yarn, _)| yarn.category).collect();
    categories.sort();
    categories.dedup();
    if categories.len() > 1 {
        let names: Vec<&str> = categories.iter().map(|category| category.name()).collect();
        notes.push(format!(
            "the chart mixes {} yarn: stitches of different weights come out in different sizes, so use one weight",
            names.join(" and ")
        ));
    }
}

/// The gauge to reckon with: as given, else as the chart's file has it, else the usual one for the
/// yarns' weight; with a note on what was taken.
pub(crate) fn gauge(
    given: Option<Gauge>,
    in_file: Option<Gauge>,
    yarns: &[Yarn],
    notes: &mut Vec<String>,
) -> Gauge {
    let category = WeightCategory::usual_of(yarns);
    let gauge = given.or(in_file);
    if let Some(gauge) = given {
        if gauge.rows_estimated() {
            notes.push(format!(
                "the gauge's rows are an estimate, {:.2} in 10 cm: give both numbers from your swatch",
                gauge.rows()
            ));
        }
        if let Some((low, high)) = category.usual_stitches_in_10_cm()
            && !(f64::from(low)..=f64::from(high)).contains(&gauge.stitches())
        {
            let mut note = format!(
                "{} stitches in 10 cm lie outside the usual {low} to {high} for {} yarn ({}); the gauge is taken as given",
                gauge.stitches(),
                category.name(),
                category.number()
            );
            // An inch is 2.54 cm.
            let (per_inch, rows) = (gauge.stitches() / 0.254, gauge.rows() / 0.254);
            if (f64::from(low)..=f64::from(high)).contains(&per_inch) {
                note += &format!(". Is it counted per inch? Then it is --gauge {per_inch:.1}x{rows:.1}");
            }
            notes.push(note);
        }
    }
    gauge.unwrap_or_else(|| {
        let usual = Gauge::usual(category);
        notes.push(format!(
            "no gauge given: {} stitches and {:.2} rows in 10 cm are taken, the middle of what is usual for {} yarn ({}); work a swatch and give yours with --gauge",
            usual.stitches(),
            usual.rows(),
            category.name(),
            category.number()
        ));
        usual
    })
}

fn unpack<T>(noted: Noted<T>, notes: &mut Vec<String>) -> T {
    notes.extend(noted.notes);
    noted.value
}
