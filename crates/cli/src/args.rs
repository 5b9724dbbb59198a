//! The command line.

use std::path::PathBuf;
use std::str::FromStr;

use charting::{Crop, Extent};
use clap::{Args, Parser, Subcommand, ValueEnum};
use formats::LimitSetting;
use model::{Cost, Gauge, Hand, Length, Weights};
use pattern::Terms;

use crate::usage::Slip;

const AFTER_HELP: &str = "\
Without a command it opens its page in the browser, with a demo to play with.

Try the commands with the demo too:

  strandwright make demo/picture.png --yarns demo/yarns.toml --width 110cm --colours 7 --out blanket

(or `cargo run --release -- make …` from the source folder). With a picture of your own:

  strandwright make PICTURE --yarns YARNS.toml --width SIZE --colours K --out FOLDER

`strandwright COMMAND --help` tells more about each.

Exit codes: 0 done, 1 the replay found a violation, 2 the command line has to be changed,
3 a file has to be changed, 5 something can't be written, 130 stopped with Ctrl-C";

/// Turns a picture into a crochet pattern for a picture blanket in single crochet, and plans the
/// way of every strand: optimal, proven, and worked stitch by stitch by a checker before you see it.
#[derive(Debug, Parser)]
#[command(name = "strandwright", version, disable_help_subcommand = true, after_help = AFTER_HELP)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct Arguments {
    #[command(flatten)]
    pub(crate) serve: Serve,
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// The whole way: picture to chart, plan, rows in words and summary, in one folder.
    Make(Make),
    /// Make a chart of a picture.
    Chart(Chart),
    /// Plan every strand of a chart.
    Plan(Plan),
    /// Work a plan stitch by stitch and say what was counted, or what is wrong with it.
    Replay(Replay),
    /// Write a plan's rows in words.
    Rows(Rows),
}

#[derive(Debug, Args)]
pub(crate) struct Serve {
    /// The port of the page's address, 1 to 65535; 0 for any that is free; without it the usual one,
    /// or any where that is taken.
    #[arg(long, value_name = "N", value_parser = port, allow_hyphen_values = true)]
    pub(crate) port: Option<u16>,
    /// Folder for your blankets; without it, where the system keeps the data of programs.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) data: Option<PathBuf>,
    /// Print the address and leave the browser alone.
    #[arg(long)]
    pub(crate) no_browser: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Make {
    #[command(flatten)]
    pub(crate) picture: PictureArgs,
    #[command(flatten)]
    pub(crate) rules: RuleArgs,
    #[command(flatten)]
    pub(crate) terms: TermsArg,
    /// Folder for the pattern's files.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: PathBuf,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Chart {
    #[command(flatten)]
    pub(crate) picture: PictureArgs,
    /// The hand that holds the hook, for the chart to look at.
    #[arg(long, value_enum, ignore_case = true, value_name = "HAND")]
    pub(crate) hand: Option<HandArg>,
    /// The chart: CHART.png, or CHART.csv for a table of yarn keys.
    #[arg(long, value_name = "CHART")]
    pub(crate) out: PathBuf,
    /// Also write the chart as a picture to look at: grid, row numbers, symbols, key.
    #[arg(long, value_name = "PICTURE.png")]
    pub(crate) picture_out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Plan {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// Stitches and rows in 10 cm, for lengths of yarn; without it, as the chart's file has it.
    #[arg(long, value_name = "STITCHES[xROWS]", value_parser = gauge, allow_hyphen_values = true)]
    pub(crate) gauge: Option<Gauge>,
    #[command(flatten)]
    pub(crate) rules: RuleArgs,
    /// The plan document.
    #[arg(long, value_name = "PLAN.json")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Replay {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// The plan document.
    #[arg(value_name = "PLAN.json")]
    pub(crate) plan: PathBuf,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Rows {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// The plan document.
    #[arg(value_name = "PLAN.json")]
    pub(crate) plan: PathBuf,
    #[command(flatten)]
    pub(crate) terms: TermsArg,
    /// File for the rows; without it they go to standard output.
    #[arg(long, value_name = "ROWS.txt")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Common {
    /// Write over files that are there already.
    #[arg(long)]
    pub(crate) force: bool,
    /// Results and errors as JSON on standard output.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct TermsArg {
    /// US terms (single crochet) or UK terms (double crochet, for the same stitch).
    #[arg(long, value_enum, ignore_case = true, default_value = "us")]
    terms: TermsName,
}

impl TermsArg {
    pub(crate) const fn terms(&self) -> Terms {
        match self.terms {
            TermsName::Us => Terms::Us,
            TermsName::Uk => Terms::Uk,
        }
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum TermsName {
    Us,
    Uk,
}

#[derive(Debug, Args)]
pub(crate) struct ChartArg {
    /// The chart: an indexed PNG, one pixel a stitch, or a CSV of yarn keys.
    #[arg(value_name = "CHART")]
    pub(crate) chart: PathBuf,
    /// A yarn list, to name the chart's yarns.
    #[arg(long, value_name = "YARNS.toml")]
    pub(crate) yarns: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct PictureArgs {
    /// A PNG, JPEG or WebP picture.
    #[arg(value_name = "PICTURE")]
    pub(crate) picture: PathBuf,
    /// The yarns to choose from.
    #[arg(long, value_name = "YARNS.toml")]
    pub(crate) yarns: PathBuf,
    /// Finished width: 110cm, 43in or 138st. Without a height, it follows from the picture.
    #[arg(long, value_name = "SIZE", value_parser = extent, allow_hyphen_values = true)]
    pub(crate) width: Option<Extent>,
    /// Finished height; st counts rows here.
    #[arg(long, value_name = "SIZE", value_parser = extent, allow_hyphen_values = true)]
    pub(crate) height: Option<Extent>,
    /// Stitches and rows in 10 cm, as 14x15; or stitches alone, then the rows are an estimate.
    #[arg(long, value_name = "STITCHES[xROWS]", value_parser = gauge, allow_hyphen_values = true)]
    pub(crate) gauge: Option<Gauge>,
    /// Part of the picture to use: X,Y,WxH in pixels, each with % for hundredths of the side.
    #[arg(long, value_name = "X,Y,WxH", value_parser = crop, allow_hyphen_values = true)]
    pub(crate) crop: Option<Crop>,
    /// How many yarns to choose from the list.
    #[arg(long, value_name = "K", value_parser = count::<usize>, allow_hyphen_values = true, conflicts_with = "colour")]
    pub(crate) colours: Option<usize>,
    /// A yarn of the list to use, by its key; repeat it for each.
    #[arg(long, value_name = "KEY")]
    pub(crate) colour: Vec<String>,
    /// Plain stitches and rows around the picture, inside the size wanted.
    #[arg(long, value_name = "N", value_parser = count::<u32>, allow_hyphen_values = true, requires = "frame_colour")]
    pub(crate) frame: Option<u32>,
    /// The yarn of the frame, by its key.
    #[arg(long, value_name = "KEY", requires = "frame")]
    pub(crate) frame_colour: Option<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum HandArg {
    Right,
    Left,
}

impl HandArg {
    pub(crate) const fn hand(self) -> Hand {
        match self {
            Self::Right => Hand::Right,
            Self::Left => Hand::Left,
        }
    }
}

/// What a plan is made under. A flag beats the file of rules, which beats the defaults.
#[derive(Debug, Args)]
#[command(next_help_heading = "Rules of the plan")]
pub(crate) struct RuleArgs {
    /// The hand that holds the hook [default: right].
    #[arg(long, value_enum, ignore_case = true, value_name = "HAND")]
    pub(crate) hand: Option<HandArg>,
    /// Most stitches of other yarns that a strand passes in one row between two runs.
    #[arg(long, value_name = "N|none", value_parser = limit, allow_hyphen_values = true)]
    pub(crate) longest_carry: Option<LimitSetting>,
    /// Most rows that a strand waits between two runs.
    #[arg(long, value_name = "N|none", value_parser = limit, allow_hyphen_values = true)]
    pub(crate) longest_wait: Option<LimitSetting>,
    /// Limit across yarns; only none is accepted for now.
    #[arg(long, hide = true, value_name = "none", value_parser = only_none, allow_hyphen_values = true)]
    pub(crate) max_carried: Option<LimitSetting>,
    /// Limit across yarns; only none is accepted for now.
    #[arg(long, hide = true, value_name = "none", value_parser = only_none, allow_hyphen_values = true)]
    pub(crate) max_strands: Option<LimitSetting>,
    /// Never let yarn K lie inside stitches of yarn C; repeat it for each pair.
    #[arg(long, value_name = "K:C")]
    pub(crate) never: Vec<String>,
    /// A TOML file with any of these flags as keys.
    #[arg(long, value_name = "RULES.toml")]
    pub(crate) rules: Option<PathBuf>,
    /// Cost of a join, in stitches [default: 12].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) join: Option<Cost>,
    /// Cost of a cut [default: 12].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) cut: Option<Cost>,
    /// Stitches to work over a tail [default: 5].
    #[arg(long, value_name = "COUNT", value_parser = tail, allow_hyphen_values = true)]
    pub(crate) tail: Option<u32>,
    /// Cost of each tail stitch that is missing [default: 3].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) short: Option<Cost>,
    /// Cost of minding a strand for one row [default: 0.1].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) hang: Option<Cost>,
    /// Cost of passing a stitch of the same yarn [default: 0.15].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) carry_same: Option<Cost>,
    /// Cost of passing a stitch of another yarn [default: 0.35].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) carry_other: Option<Cost>,
    /// Added per 100 ΔE00 where the hidden yarn is darker [default: 1.5].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) carry_show_dark: Option<Cost>,
    /// Added per 100 ΔE00 where it is not darker [default: 0.75].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) carry_show_light: Option<Cost>,
    /// Cost of climbing one row inside the fabric [default: 0.8].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) lift: Option<Cost>,
    /// Added per 100 ΔE00 to the stitch beside it [default: 1].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) lift_show: Option<Cost>,
    /// Cost of climbing one row at an edge [default: 0.3].
    #[arg(long, value_name = "STITCHES", value_parser = weight, allow_hyphen_values = true)]
    pub(crate) lift_edge: Option<Cost>,
}

impl RuleArgs {
    /// The weights that flags give, over those of a file or the defaults.
    pub(crate) fn weights(&self, base: Weights) -> Weights {
        Weights {
            join: self.join.unwrap_or(base.join),
            cut: self.cut.unwrap_or(base.cut),
            tail: self.tail.unwrap_or(base.tail),
            short: self.short.unwrap_or(base.short),
            hang: self.hang.unwrap_or(base.hang),
            carry_same: self.carry_same.unwrap_or(base.carry_same),
            carry_other: self.carry_other.unwrap_or(base.carry_other),
            carry_show_dark: self.carry_show_dark.unwrap_or(base.carry_show_dark),
            carry_show_light: self.carry_show_light.unwrap_or(base.carry_show_light),
            lift: self.lift.unwrap_or(base.lift),
            lift_show: self.lift_show.unwrap_or(base.lift_show),
            lift_edge: self.lift_edge.unwrap_or(base.lift_edge),
        }
    }
}

fn weight(text: &str) -> Result<Cost, Slip> {
    Cost::from_str(text).map_err(|error| {
        Slip::new(error, "give stitches, 0 to 10000, with at most three digits after the point")
    })
}

fn tail(text: &str) -> Result<u32, Slip> {
    let most = Weights::MAX_TAIL;
    let hint = format!("give whole stitches, 0 to {most}");
    let cost = Cost::from_str(text).map_err(|error| Slip::new(error, &hint))?;
    let stitches = cost.thousandths() / 1000;
    match u32::try_from(stitches) {
        Ok(_) if cost.thousandths() % 1000 != 0 => {
            Err(Slip::new("a tail is a whole number of stitches", hint))
        }
        Ok(stitches) if stitches <= most => Ok(stitches),
        _ => Err(Slip::new(format!("a tail has at most {most} stitches"), hint)),
    }
}

fn port(text: &str) -> Result<u16, Slip> {
    text.parse().map_err(|_| {
        Slip::new("this is no port", "give a whole number up to 65535, above 1023 at best; 0 for any that is free")
    })
}

fn count<N: FromStr>(text: &str) -> Result<N, Slip> {
    text.parse().map_err(|_| {
        Slip::new(format!("{text:?} is no count"), "give a whole number, without a sign or point")
    })
}

fn limit(text: &str) -> Result<LimitSetting, Slip> {
    if text == "none" {
        return Ok(LimitSetting::NoLimit);
    }
    let number = text.parse().map_err(|_| {
        Slip::new(format!("{text:?} is no limit"), "give a whole number from 0 up, or none for no limit")
    })?;
    Ok(LimitSetting::AtMost(number))
}

fn only_none(text: &str) -> Result<LimitSetting, Slip> {
    if text == "none" {
        return Ok(LimitSetting::NoLimit);
    }
    Err(Slip::new("limits across yarns are not there yet", "leave it out, or say none"))
}

fn gauge(text: &str) -> Result<Gauge, Slip> {
    let hint = "give stitches and rows in 10 cm from your swatch, as 14x15";
    let number = |text: &str| match text.trim() {
        "" => Err(Slip::new("a number is missing", hint)),
        text => text.parse::<f64>().map_err(|_| Slip::new(format!("{text:?} is not a number"), hint)),
    };
    let gauge = match text.split_once(['x', 'X', '×']) {
        Some((stitches, rows)) => Gauge::new(number(stitches)?, number(rows)?),
        None => Gauge::from_stitches(number(text)?),
    };
    gauge.map_err(|error| Slip::new(error, hint))
}

fn crop(text: &str) -> Result<Crop, Slip> {
    text.parse().map_err(|error: charting::CropError| Slip::new(&error, error.hint()))
}

fn extent(text: &str) -> Result<Extent, Slip> {
    let slip = |what: String| {
        Slip::new(what, "give a length with its unit, as 110cm or 43.5in, or stitches, as 138st")
    };
    let text = text.trim();
    let unit_at = text.find(|letter: char| letter.is_alphabetic() || letter == '"' || letter == '″');
    let unit_at = unit_at.ok_or_else(|| slip("a unit is missing".to_owned()))?;
    let (number, unit) = (text[..unit_at].trim(), text[unit_at..].to_ascii_lowercase());
    let length: f64 = number.parse().map_err(|_| slip(format!("{number:?} is not a number")))?;
    match unit.as_str() {
        "cm" => Ok(Extent::Length(Length::cm(length))),
        "in" | "inch" | "inches" | "\"" | "″" => Ok(Extent::Length(Length::inches(length))),
        // No stitches at all: that it is too few is said where sizes are judged.
        "st" if number.strip_prefix('-').is_some_and(|n| n.parse::<u32>().is_ok()) => Ok(Extent::Stitches(0)),
        "st" => {
            number.parse().map(Extent::Stitches).map_err(|_| slip("stitches are a whole number".to_owned()))
        }
        _ => Err(slip(format!("{unit:?} is not a unit"))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn sizes_have_units() {
        assert_eq!(extent("110cm"), Ok(Extent::Length(Length::cm(110.0))));
        assert_eq!(extent("43.5 in"), Ok(Extent::Length(Length::inches(43.5))));
        assert_eq!(extent("138st"), Ok(Extent::Stitches(138)));
        assert_eq!(extent("43IN"), Ok(Extent::Length(Length::inches(43.0))));
        assert_eq!(extent("43\""), Ok(Extent::Length(Length::inches(43.0))));
        for bad in ["", "110", "cm", "1.5st", "-xst", "nancm", "infcm", "1e9cm", "3ft", "110,5cm", "é"] {
            assert!(extent(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn gauges_may_leave_the_rows_out() {
        assert_eq!(gauge("14x15"), Ok(Gauge::new(14.0, 15.0).unwrap()));
        assert!(gauge("14").unwrap().rows_estimated());
        for bad in ["", "x", "14x", "0x15", "14x0", "1000", "14x15x16"] {
            assert!(gauge(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn tails_are_whole() {
        assert_eq!(tail("5"), Ok(5));
        assert_eq!(tail("5.000"), Ok(5));
        for bad in ["5.5", "-1", "51", "x"] {
            assert!(tail(bad).is_err(), "{bad}");
        }
    }
}
