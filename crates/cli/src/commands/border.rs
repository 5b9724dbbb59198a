//! `border`: rounds around a blanket that lie flat, in words.

use core::num::NonZeroU8;
use std::fmt::Write as _;

use border::{Choices, Corners, Pace, Piece, Repeat, Round, Stitch, Terms, amounts, hours, says, words};
use model::{ColourIndex, Hand, Palette, Yarn, YarnUse};
use serde_json::{Value, json};

use crate::console::Console;
use crate::failure::Failure;
use crate::summary::counted;
use crate::usage::Slip;
use crate::yarn_names::{called, in_list, on_chart};
use crate::{args, inputs, output};

const HINT: &str = "write rounds as: STITCH YARN [corners N] [repeat M+N], with a comma between two";

pub(crate) fn border(arguments: &args::Border, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let list = arguments.chart.yarns.as_deref();
    if let Some(path) = &arguments.out {
        output::spare(&[Some(&arguments.chart.chart), list], &[path])?;
        output::check(path, existing)?;
    }
    let mut notes = Vec::new();
    let (chart, in_file) = inputs::chart(&arguments.chart, &mut notes)?;
    let gauge = inputs::gauge(arguments.gauge, in_file, chart.palette().yarns(), &mut notes);
    let list = match list {
        // What there is to say of the list was said when the chart was read.
        Some(list) => inputs::yarns(list, &mut Vec::new())?,
        None => Vec::new(),
    };
    let terms = match arguments.terms.terms() {
        pattern::Terms::Us => Terms::Us,
        pattern::Terms::Uk => Terms::Uk,
    };
    let mut reader = Reader { terms, palette: chart.palette().clone(), list: &list };
    let rounds = reader.rounds(&arguments.rounds)?;
    let refused = |error: border::BorderError| Failure::input(error, "--rounds", error.hint());
    let piece = Piece::new(chart.columns(), chart.rows(), gauge).map_err(refused)?;
    let hand = arguments.hand.map_or(Hand::Right, args::HandArg::hand);
    let choices = Choices { hand, ..Choices::default() };
    let palette = reader.palette;
    let border = border::border(&piece, &rounds, &choices, &palette).map_err(refused)?;
    let amounts = amounts(&border, &YarnUse::estimate(&gauge));
    let hours = hours(&border, &Pace::default()).total();
    let (width, height) = border.finished();

    let mut text = words(&border, terms);
    text += "\nYarn for each colour (an estimate):\n";
    for amount in &amounts {
        let _ = writeln!(
            text,
            "{} ({}): {}, {}, {}; {:.0} m, between {:.0} and {:.0}",
            called(palette.yarn(amount.yarn)),
            palette.symbol(amount.yarn),
            counted(amount.rounds as u64, "round", "rounds"),
            counted(amount.stitches, "stitch", "stitches"),
            counted(amount.joins, "join", "joins"),
            amount.length.likely.as_metres(),
            amount.length.low.as_metres(),
            amount.length.high.as_metres()
        );
    }
    let _ = writeln!(
        text,
        "\n{hours:.1} hours (an estimate). With its border the piece is {:.1} by {:.1} cm.",
        width.as_cm(),
        height.as_cm()
    );
    console.go_on()?;
    if let Some(path) = &arguments.out {
        output::write(path, text.as_bytes(), existing)?;
    }
    if console.json() {
        let written: Vec<String> = arguments.out.iter().map(|path| path.display().to_string()).collect();
        let rounds = border.rounds().iter().map(|worked| {
            json!({
                "stitch": terms.short(worked.round.stitch),
                "yarn": palette.yarn(worked.round.yarn).key,
                "stitches": worked.stitches,
                "growth": worked.growth,
                "corners": worked.corners.map(|corner| corner.stitches),
            })
        });
        let yarns = amounts.iter().map(|amount| {
            json!({
                "yarn": palette.yarn(amount.yarn).key,
                "rounds": amount.rounds,
                "stitches": amount.stitches,
                "joins": amount.joins,
                "metres": amount.length.likely.as_metres(),
                "metres_least": amount.length.low.as_metres(),
                "metres_most": amount.length.high.as_metres(),
            })
        });
        return console.print_json(&json!({
            "written": written,
            "terms": terms.name(),
            "rounds": rounds.collect::<Vec<Value>>(),
            "says": says(&border, terms),
            "yarns": yarns.collect::<Vec<Value>>(),
            "hours": hours,
            "width_cm": width.as_cm(),
            "height_cm": height.as_cm(),
            "text": text,
            "notes": notes,
        }));
    }
    console.notes(&notes);
    match &arguments.out {
        None => console.print(&text),
        Some(path) => {
            console.say(&format!("written: {}", path.display()));
            Ok(())
        }
    }
}

/// Reads rounds. A yarn that is not on the chart comes to its palette from the list.
struct Reader<'a> {
    terms: Terms,
    palette: Palette,
    list: &'a [Yarn],
}

impl Reader<'_> {
    fn rounds(&mut self, text: &str) -> Result<Vec<Round>, Failure> {
        (1..).zip(text.split(',')).map(|(at, round)| self.round(at, round)).collect()
    }

    fn round(&mut self, at: usize, text: &str) -> Result<Round, Failure> {
        let place = format!("--rounds, round {at} \"{}\"", text.trim());
        let slip = |what: String| Failure::usage(what, &place, HINT);
        let words: Vec<&str> = text.split_whitespace().collect();
        let Some((stitch, rest)) = words.split_first() else {
            return Err(slip("the round is empty".to_owned()));
        };
        let is_named = |kind: &Stitch| self.terms.short(*kind).eq_ignore_ascii_case(stitch);
        let Some(kind) = Stitch::ALL.into_iter().find(is_named) else {
            let all = Stitch::ALL.map(|stitch| self.terms.short(stitch)).join(", ");
            let what =
                format!("{stitch:?} is no stitch of a border in {} terms, {all} are", self.terms.name());
            return Err(slip(what));
        };
        // A yarn's name may have spaces: it goes on to the next word that means something else.
        let is_other =
            |word: &&str| ["corners", "repeat"].iter().any(|other| word.eq_ignore_ascii_case(other));
        let end = rest.iter().position(is_other).unwrap_or(rest.len());
        let (named, mut more) = rest.split_at(end);
        if named.is_empty() {
            return Err(slip("the yarn is missing".to_owned()));
        }
        let mut round = Round::new(kind, self.yarn(&named.join(" "), &place)?);
        while let Some((word, behind)) = more.split_first() {
            let Some((value, behind)) = behind.split_first() else {
                return Err(slip(format!("a number is missing behind {word:?}")));
            };
            if word.eq_ignore_ascii_case("corners") {
                let each: NonZeroU8 = value
                    .parse()
                    .map_err(|_| slip(format!("{value:?} is no number of stitches, 1 to 255 is")))?;
                round.corners = Corners::Each(each);
            } else if word.eq_ignore_ascii_case("repeat") {
                let (multiple, plus) = value.split_once('+').unwrap_or((value, "0"));
                let pair = multiple.parse().ok().zip(plus.parse().ok());
                let (multiple, plus) =
                    pair.ok_or_else(|| slip(format!("{value:?} is no repeat, as 6+1 is")))?;
                let repeat = Repeat::new(multiple, plus);
                round.repeat = Some(repeat.map_err(|error| Failure::input(error, &place, error.hint()))?);
            } else {
                return Err(slip(format!("{word:?} is one too many")));
            }
            more = behind;
        }
        Ok(round)
    }

    fn yarn(&mut self, named: &str, place: &str) -> Result<ColourIndex, Failure> {
        let slip = match on_chart(&self.palette, named) {
            Ok(yarn) => return Ok(yarn),
            Err(slip) => slip,
        };
        let unfit = |slip: Slip| Failure::input(slip.what, place, slip.hint);
        let Ok(at) = in_list(self.list, named, "--yarns") else {
            let hint = format!("{}; other yarns come from a list given with --yarns", slip.hint);
            return Err(unfit(Slip::new(slip.what, hint)));
        };
        let mut yarns = self.palette.yarns().to_vec();
        yarns.push(self.list[at].clone());
        let palette =
            Palette::new(yarns).map_err(|error| unfit(Slip::new(error, "take yarns of the chart")))?;
        let last = palette.indices().last();
        self.palette = palette;
        last.ok_or_else(|| unfit(slip))
    }
}
