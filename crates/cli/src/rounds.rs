//! The rounds of a border as they are written on the command line.

use core::num::NonZeroU8;

use border::{Border, Choices, Corners, Piece, Repeat, Round, Stitch, Terms};
use model::{Chart, ColourIndex, Gauge, Hand, Palette, Yarn};

use crate::failure::Failure;
use crate::usage::Slip;
use crate::yarn_names::{in_list, on_chart};

const HINT: &str = "write rounds as: STITCH YARN [corners N] [repeat M+N], with a comma between two";

/// A border's own name of the terms.
pub(crate) const fn terms(terms: pattern::Terms) -> Terms {
    match terms {
        pattern::Terms::Us => Terms::Us,
        pattern::Terms::Uk => Terms::Uk,
    }
}

/// Rounds as they were given.
pub(crate) struct Given<'a> {
    pub(crate) text: &'a str,
    /// The option that they were given with.
    pub(crate) option: &'a str,
    /// Yarns that may be taken beside those of the chart.
    pub(crate) list: &'a [Yarn],
    pub(crate) terms: Terms,
}

impl Given<'_> {
    /// The border around a piece of that chart, and the chart's palette with the border's yarns.
    pub(crate) fn border(
        &self,
        chart: &Chart,
        gauge: Gauge,
        hand: Hand,
    ) -> Result<(Border, Palette), Failure> {
        let Self { text, option, list, terms } = *self;
        let mut reader = Reader { option, terms, palette: chart.palette().clone(), list };
        let rounds = reader.rounds(text)?;
        let refused = |error: border::BorderError| Failure::input(error, option, error.hint());
        let piece = Piece::new(chart.columns(), chart.rows(), gauge).map_err(refused)?;
        let choices = Choices { hand, ..Choices::default() };
        let border = border::border(&piece, &rounds, &choices, &reader.palette).map_err(refused)?;
        Ok((border, reader.palette))
    }
}

/// Reads rounds. A yarn that is not on the chart comes to its palette from the list.
struct Reader<'a> {
    option: &'a str,
    terms: Terms,
    palette: Palette,
    list: &'a [Yarn],
}

impl Reader<'_> {
    fn rounds(&mut self, text: &str) -> Result<Vec<Round>, Failure> {
        (1..).zip(text.split(',')).map(|(at, round)| self.round(at, round)).collect()
    }

    fn round(&mut self, at: usize, text: &str) -> Result<Round, Failure> {
        let place = format!("{}, round {at} \"{}\"", self.option, text.trim());
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
            let names: Vec<&str> = self.list.iter().map(Yarn::called).collect();
            let hint = if names.is_empty() {
                format!("{}; other yarns come from a list given with --yarns", slip.hint)
            } else {
                format!("{}; the list has {}", slip.hint, names.join(", "))
            };
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
