//! The command line.

use std::path::{Path, PathBuf};

use booklet::Passing;
use charting::{Crop, Extent};
use clap::{Args, Parser, Subcommand, ValueEnum};
use ease::{Count, Ease};
use formats::LimitSetting;
use lettering::Align;
use model::{Cost, Gauge, Hand, Weights};
use pattern::{Day, Margin, Shrinkage, Terms, Units};

use crate::measured::SwatchText;
use crate::operations;
use crate::values::{
    choices, count, crop, day, ease, extent, gauge, limit, margin, number, only_none, pixels, place, port,
    shrinkage, swatch, tail, weight,
};

const AFTER_HELP: &str = "\
Without a command it opens its page in the browser, with a demo to play with.

Try the commands with the demo too:

  strandwright make demo/picture.png --yarns demo/yarns.toml --width 110cm --colours 7 --out blanket

(or `cargo run --release -- make …` from the source folder). With a picture of your own:

  strandwright make PICTURE --yarns YARNS.toml --width SIZE --colours K --out FOLDER

`strandwright COMMAND --help` tells more about each.

Exit codes: 0 done, 1 the replay found a violation, 2 the command line has to be changed,
3 a file has to be changed, 5 something can't be written, 130 stopped with Ctrl-C";

const ROUNDS_HELP: &str = "\
A round is STITCH YARN [corners N] [repeat M+N]; a comma ends it. STITCH is sc, hdc, dc or tr (with
--terms uk: dc, htr, tr or dtr), YARN one of the chart or of --yarns. `corners 3` puts 3 stitches into
each corner instead of as many as lie flat; `repeat 6+1` leaves a multiple of 6 stitches plus 1 on every
side for a pattern in the next round.";

const AMOUNTS_HELP: &str = "\
A swatch is what you counted and measured, with commas between, as in
`28 st = 20 cm, 30 rows = 20 cm, 39 g`. Lengths are in cm or in; what it took in g, oz, m or yd, or left
out. Where you counted in the middle of a larger swatch and weighed all of it, add the stitches and
rows of all of it, as `whole 34 x 36`.";

const PRINT_HELP: &str = "\
What you type here stands in the pattern as it is. Whose picture it is, and whether a pattern made from
it may be given on or sold, only you can know: say it with --picture-by and --passing.";

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
    Make(Box<Make>),
    /// Make a chart of a picture.
    Chart(Box<Chart>),
    /// Plan every strand of a chart.
    Plan(Box<Plan>),
    /// Work a plan stitch by stitch and say what was counted, or what is wrong with it.
    Replay(Replay),
    /// Write a plan's rows in words.
    Rows(Rows),
    /// Change a chart, and say what that does to ends and hours.
    #[command(after_help = operations::understood())]
    Alter(Alter),
    /// Draw a chart to look at or to hand on: numbers, symbols and key, as SVG or PNG.
    Picture(Picture),
    /// Draw the fabric as a plan makes it, on both its faces.
    Fabric(Fabric),
    /// Work out a border that lies flat: its rounds in words, yarn and hours.
    #[command(after_help = ROUNDS_HELP)]
    Border(Border),
    /// Work out yarn to buy, what to wind for each strand, finished size, hours and evenings.
    #[command(after_help = AMOUNTS_HELP)]
    Amounts(Box<Amounts>),
    /// Set the whole pattern to print, as PDF, or as one page to take away that needs no network.
    #[command(after_help = PRINT_HELP)]
    Print(Box<Print>),
    /// Write a small patch to practise every move on, planned, with what each of its rows teaches.
    Practice(Practice),
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
    pub(crate) terms: TermsArg,
    /// Folder for the pattern's files.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: PathBuf,
    #[command(flatten)]
    pub(crate) common: Common,
    #[command(flatten)]
    pub(crate) rules: RuleArgs,
}

#[derive(Debug, Args)]
pub(crate) struct Chart {
    #[command(flatten)]
    pub(crate) picture: PictureArgs,
    /// The hand that holds the hook, for the chart to look at.
    #[arg(long, value_enum, ignore_case = true, value_name = "HAND")]
    pub(crate) hand: Option<HandArg>,
    /// Instead of one chart 5 to 7 to choose from, from the plain one to the easiest; --out is then a
    /// folder.
    #[arg(long, value_name = "N", value_parser = choices, allow_hyphen_values = true)]
    #[arg(requires = "picture", conflicts_with_all = ["ease", "picture_out"])]
    pub(crate) choices: Option<Count>,
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
    /// The plan document.
    #[arg(long, value_name = "PLAN.json")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
    #[command(flatten)]
    pub(crate) rules: RuleArgs,
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
pub(crate) struct Alter {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// What to do, as below; repeat it for each operation.
    #[arg(long = "do", value_name = "OPERATION", required = true)]
    pub(crate) operations: Vec<String>,
    /// Stitches and rows in 10 cm; without it, as the chart's file has it.
    #[arg(long, value_name = "STITCHES[xROWS]", value_parser = gauge, allow_hyphen_values = true)]
    pub(crate) gauge: Option<Gauge>,
    /// The new chart: CHART2.png, or CHART2.csv.
    #[arg(long, value_name = "CHART2")]
    pub(crate) out: PathBuf,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Picture {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// Stitches and rows in 10 cm, for the proportions; without it, as the chart's file has it.
    #[arg(long, value_name = "STITCHES[xROWS]", value_parser = gauge, allow_hyphen_values = true)]
    pub(crate) gauge: Option<Gauge>,
    /// The hand that holds the hook [default: right].
    #[arg(long, value_enum, ignore_case = true, value_name = "HAND")]
    pub(crate) hand: Option<HandArg>,
    /// The picture: PICTURE.svg, sharp at any size, or PICTURE.png.
    #[arg(long, value_name = "PICTURE")]
    pub(crate) out: PathBuf,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Fabric {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// The plan document.
    #[arg(value_name = "PLAN.json")]
    pub(crate) plan: PathBuf,
    /// Stitches and rows in 10 cm, for the proportions; without it, as the chart's file has it.
    #[arg(long, value_name = "STITCHES[xROWS]", value_parser = gauge, allow_hyphen_values = true)]
    pub(crate) gauge: Option<Gauge>,
    /// Picture of the right side.
    #[arg(long, value_name = "FRONT.png")]
    pub(crate) out: PathBuf,
    /// Picture of the wrong side, as it is seen when the piece is turned over.
    #[arg(long, value_name = "BACK.png")]
    pub(crate) back: Option<PathBuf>,
    /// Longest side of the pictures in pixels, 16 to 4096.
    #[arg(long, value_name = "PX", default_value = "1200", value_parser = pixels, allow_hyphen_values = true)]
    pub(crate) size: u32,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Border {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// The rounds from the blanket outwards, as "sc oat, sc oat, dc rust".
    #[arg(long, value_name = "ROUNDS")]
    pub(crate) rounds: String,
    /// The hand that holds the hook [default: right].
    #[arg(long, value_enum, ignore_case = true, value_name = "HAND")]
    pub(crate) hand: Option<HandArg>,
    /// Stitches and rows in 10 cm; without it, as the chart's file has it.
    #[arg(long, value_name = "STITCHES[xROWS]", value_parser = gauge, allow_hyphen_values = true)]
    pub(crate) gauge: Option<Gauge>,
    #[command(flatten)]
    pub(crate) terms: TermsArg,
    /// File for the border; without it it goes to standard output.
    #[arg(long, value_name = "BORDER.txt")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
}

/// What amounts are reckoned from.
#[derive(Debug, Args)]
pub(crate) struct ReckonedArgs {
    /// Your swatch, as "28 st = 20 cm, 30 rows = 20 cm, 39 g"; without it all is an estimate.
    #[arg(long, value_name = "SWATCH", value_parser = swatch, allow_hyphen_values = true)]
    #[arg(conflicts_with = "gauge")]
    pub(crate) swatch: Option<SwatchText>,
    /// The swatch has one strand carried inside, as the blanket will.
    #[arg(long, requires = "swatch")]
    pub(crate) swatch_carried: bool,
    /// The yarn of the swatch, whose label tells grams from metres; without it the chart's main yarn.
    #[arg(long, value_name = "KEY", requires = "swatch")]
    pub(crate) swatch_yarn: Option<String>,
    /// Stitches and rows in 10 cm, where there is no swatch; without it, as the chart or the plan has it.
    #[arg(long, value_name = "STITCHES[xROWS]", value_parser = gauge, allow_hyphen_values = true)]
    pub(crate) gauge: Option<Gauge>,
    /// How much more to have than is reckoned at most, in per cent, 0 to 100.
    #[arg(long, value_name = "PERCENT", default_value = "10", value_parser = margin, allow_hyphen_values = true)]
    pub(crate) margin: Margin,
    /// One ball more of each yarn that is bought, since dye lots matter.
    #[arg(long)]
    pub(crate) spare: bool,
    /// How much your swatch shrinks in the wash, in per cent of width and height, as 3%x5%.
    #[arg(long, value_name = "W%xH%", value_parser = shrinkage, allow_hyphen_values = true)]
    pub(crate) shrinks: Option<Shrinkage>,
    /// Your pace, counted over three minutes or more [default: 20].
    #[arg(long, value_name = "N", value_parser = number, allow_hyphen_values = true)]
    pub(crate) stitches_a_minute: Option<f64>,
    /// A border, as `border --rounds` takes it, to be reckoned with.
    #[arg(long, value_name = "ROUNDS")]
    pub(crate) border: Option<String>,
    #[command(flatten)]
    pub(crate) terms: TermsArg,
    /// Centimetres, metres and grams, or inches, yards and ounces.
    #[arg(long, value_enum, ignore_case = true, default_value = "cm", value_name = "UNITS")]
    pub(crate) units: UnitsArg,
}

#[derive(Debug, Args)]
pub(crate) struct Print {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// The plan document.
    #[arg(value_name = "PLAN.json")]
    pub(crate) plan: PathBuf,
    /// File for the pattern: PATTERN.pdf to print, PATTERN.html to take away on a phone or tablet;
    /// may be given for both.
    #[arg(long, value_name = "PATTERN", required = true)]
    pub(crate) out: Vec<PathBuf>,
    /// The paper.
    #[arg(long, value_enum, ignore_case = true, default_value = "a4", value_name = "PAPER")]
    pub(crate) paper: PaperArg,
    /// The printer's ink: the chart in colours, or in letters alone.
    #[arg(long, value_enum, ignore_case = true, default_value = "colour", value_name = "INK")]
    pub(crate) ink: InkArg,
    /// Large print, of 16 points and more.
    #[arg(long)]
    pub(crate) large: bool,
    /// Leave out the tags to cut out for the strands.
    #[arg(long)]
    pub(crate) no_tags: bool,
    /// Leave out the list of ends to weave in.
    #[arg(long)]
    pub(crate) no_ends: bool,
    /// The pattern's name.
    #[arg(long, value_name = "TITLE", default_value = "", hide_default_value = true)]
    pub(crate) title: String,
    /// Who made it.
    #[arg(long, value_name = "NAME", default_value = "", hide_default_value = true)]
    pub(crate) by: String,
    /// A note of your own, for the first page.
    #[arg(long, value_name = "NOTE", default_value = "", hide_default_value = true)]
    pub(crate) note: String,
    /// Whose picture it is; without it a line is left to fill in.
    #[arg(long, value_name = "NAME", default_value = "", hide_default_value = true)]
    pub(crate) picture_by: String,
    /// What may be done with the pattern; without it nothing is said.
    #[arg(long, value_enum, ignore_case = true, value_name = "WHAT")]
    pub(crate) passing: Option<PassingArg>,
    #[command(flatten)]
    pub(crate) reckoned: ReckonedArgs,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum PaperArg {
    A4,
    Letter,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum InkArg {
    Colour,
    Black,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum PassingArg {
    /// Your own use alone.
    OwnUse,
    /// It may be given on, not sold.
    Given,
    /// It may be given on and sold.
    Sold,
}

impl PassingArg {
    pub(crate) const fn passing(self) -> Passing {
        match self {
            Self::OwnUse => Passing::OwnUse,
            Self::Given => Passing::Given,
            Self::Sold => Passing::Sold,
        }
    }
}

#[derive(Debug, Args)]
pub(crate) struct Amounts {
    #[command(flatten)]
    pub(crate) chart: ChartArg,
    /// The plan document.
    #[arg(value_name = "PLAN.json")]
    pub(crate) plan: PathBuf,
    #[command(flatten)]
    pub(crate) reckoned: ReckonedArgs,
    /// Also list every end by row and stitch, for the weaving in.
    #[arg(long)]
    pub(crate) ends: bool,
    /// Evenings a week on which you crochet, 1 to 7.
    #[arg(long, value_name = "N", value_parser = count::<u32>, allow_hyphen_values = true)]
    #[arg(requires_all = ["minutes", "today"])]
    pub(crate) evenings: Option<u32>,
    /// Minutes that you crochet on each of them.
    #[arg(long, value_name = "N", value_parser = count::<u32>, allow_hyphen_values = true, requires = "evenings")]
    pub(crate) minutes: Option<u32>,
    /// The day of the first of them.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day, allow_hyphen_values = true, requires = "evenings")]
    pub(crate) today: Option<Day>,
    /// The day before which it must be done.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day, allow_hyphen_values = true, requires = "evenings")]
    pub(crate) by: Option<Day>,
    /// Rows that are done already [default: 0].
    #[arg(long, value_name = "N", value_parser = count::<usize>, allow_hyphen_values = true, requires = "evenings")]
    pub(crate) rows_done: Option<usize>,
    /// File for the text; without it it goes to standard output.
    #[arg(long, value_name = "AMOUNTS.txt")]
    pub(crate) out: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitsArg {
    Cm,
    In,
}

impl UnitsArg {
    /// What that means.
    pub(crate) const fn units(self) -> Units {
        match self {
            Self::Cm => Units::Metric,
            Self::In => Units::Inches,
        }
    }
}

#[derive(Debug, Args)]
pub(crate) struct Practice {
    /// The hand that holds the hook [default: right].
    #[arg(long, value_enum, ignore_case = true, value_name = "HAND")]
    pub(crate) hand: Option<HandArg>,
    #[command(flatten)]
    pub(crate) terms: TermsArg,
    /// Folder for the patch's files.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: PathBuf,
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

/// Where a yarn is asked for, its key in the list, or its name, is given.
#[derive(Debug, Args)]
pub(crate) struct PictureArgs {
    /// A PNG, JPEG or WebP picture; with --words it may be left out.
    #[arg(value_name = "PICTURE", required_unless_present = "words")]
    pub(crate) picture: Option<PathBuf>,
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
    /// A yarn that must be among those chosen, by its key or its name; repeat it for each.
    #[arg(long, value_name = "KEY", conflicts_with = "colour")]
    pub(crate) keep: Vec<String>,
    /// A yarn that must not be among them; repeat it for each.
    #[arg(long, value_name = "KEY", conflicts_with = "colour")]
    pub(crate) without: Vec<String>,
    /// Choose only yarns of which a ball is on hand.
    #[arg(long, conflicts_with = "colour")]
    pub(crate) on_hand: bool,
    /// A yarn of the list to use, instead of having them chosen; repeat it for each.
    #[arg(long, value_name = "KEY")]
    pub(crate) colour: Vec<String>,
    /// Plain stitches and rows around the picture, inside the size wanted.
    #[arg(long, value_name = "N", value_parser = count::<u32>, allow_hyphen_values = true, requires = "frame_colour")]
    pub(crate) frame: Option<u32>,
    /// The yarn of the frame.
    #[arg(long, value_name = "KEY", requires = "frame")]
    pub(crate) frame_colour: Option<String>,
    /// How easy to work the chart is to be: 0, each stitch its nearest yarn, to 10, the easiest
    /// [default: 0].
    #[arg(long, value_name = "N", value_parser = ease, allow_hyphen_values = true)]
    pub(crate) ease: Option<Ease>,
    /// What must stay when the chart is made easier: a grey picture of the size of PICTURE, white
    /// where it matters most, black where nothing is said.
    #[arg(long, value_name = "MAP")]
    pub(crate) matters: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) words: WordsArgs,
}

impl PictureArgs {
    /// The files that are read for it.
    pub(crate) fn read(&self) -> [Option<&Path>; 4] {
        let Self { picture, yarns, matters, words, .. } = self;
        [picture.as_deref(), Some(yarns), matters.as_deref(), words.font.as_deref()]
    }
}

/// The heading of what is said about words.
const WORDS: &str = "Words";

/// Words on a chart, or as a chart of their own.
#[derive(Debug, Args)]
pub(crate) struct WordsArgs {
    /// Words to lay on the chart, or without PICTURE to make one of; \n begins a new line.
    #[arg(long, help_heading = WORDS, value_name = "TEXT", requires = "words_colour")]
    pub(crate) words: Option<String>,
    /// The yarn of the letters.
    #[arg(long, help_heading = WORDS, value_name = "KEY", requires = "words")]
    pub(crate) words_colour: Option<String>,
    /// A yarn for a seam of one stitch around the letters.
    #[arg(long, help_heading = WORDS, value_name = "KEY", requires = "words")]
    pub(crate) words_edge: Option<String>,
    /// Column and row of the words' lower left stitch, counted from 1 at the left and the bottom;
    /// without it they stand in the middle of the lowest third.
    #[arg(long, help_heading = WORDS, value_name = "X,Y", value_parser = place, allow_hyphen_values = true, requires = "words")]
    pub(crate) words_at: Option<(usize, usize)>,
    /// Height of a capital letter in rows, 5 or more [default: 7].
    #[arg(long, help_heading = WORDS, value_name = "ROWS", value_parser = count::<u32>, allow_hyphen_values = true, requires = "words")]
    pub(crate) letters: Option<u32>,
    /// Stitches between letters; without it as the letters are drawn.
    #[arg(long, help_heading = WORDS, value_name = "ST", value_parser = count::<u32>, allow_hyphen_values = true, requires = "words")]
    pub(crate) letter_gap: Option<u32>,
    /// Rows between lines [default: 2].
    #[arg(long, help_heading = WORDS, value_name = "ROWS", value_parser = count::<u32>, allow_hyphen_values = true, requires = "words")]
    pub(crate) line_gap: Option<u32>,
    /// How short lines are placed [default: centre].
    #[arg(long, help_heading = WORDS, value_enum, ignore_case = true, value_name = "WHERE", requires = "words")]
    pub(crate) lines: Option<LinesArg>,
    /// Break lines longer than so many stitches between words.
    #[arg(long, help_heading = WORDS, value_name = "ST", value_parser = count::<u32>, allow_hyphen_values = true, requires = "words")]
    pub(crate) wrap: Option<u32>,
    /// A TrueType or OpenType font for the letters.
    #[arg(long, help_heading = WORDS, value_name = "FILE.ttf", requires = "words")]
    pub(crate) font: Option<PathBuf>,
    /// The yarn behind the letters, where there is no picture.
    #[arg(long, help_heading = WORDS, value_name = "KEY", requires = "words")]
    pub(crate) ground: Option<String>,
    /// Plain stitches and rows around the words, where there is no picture [default: 4].
    #[arg(long, help_heading = WORDS, value_name = "N", value_parser = count::<usize>, allow_hyphen_values = true, requires = "words")]
    pub(crate) margin: Option<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum LinesArg {
    Left,
    #[value(alias = "center")]
    Centre,
    Right,
}

impl LinesArg {
    pub(crate) const fn align(self) -> Align {
        match self {
            Self::Left => Align::Left,
            Self::Centre => Align::Centre,
            Self::Right => Align::Right,
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Arguments::command().debug_assert();
    }
}
