//! A border in words, for a person with a hook in one hand.

use model::Hand;

use crate::amounts::joined;
use crate::fit::{Lie, Measure, Part as FitPart};
use crate::plan::{Corner, Edge, Straight};
use crate::spread::Part;
use crate::{Border, Corners, Stitch, Terms, Worked};

/// The border round by round, from what holds all along to how it lies. Lines are not broken.
#[must_use]
pub fn words(border: &Border, terms: Terms) -> String {
    if border.rounds().is_empty() {
        return "No border: there is nothing to work.\n".into();
    }
    let told = border_in_words(border, terms);
    let mut lines = vec!["BORDER".to_owned(), String::new()];
    lines.extend(told.all_along);
    for round in told.rounds {
        lines.push(String::new());
        lines.push(format!("{}:", round.name));
        lines.extend(round.lines);
    }
    lines.push(String::new());
    lines.push("How it lies:".into());
    lines.extend(told.lies);
    lines.join("\n") + "\n"
}

/// A border in words, part by part; no line is broken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BorderInWords {
    /// What holds in every round.
    pub all_along: Vec<String>,
    /// From the piece outwards.
    pub rounds: Vec<RoundInWords>,
    /// How it lies, and what to do where it doesn't.
    pub lies: Vec<String>,
}

/// A round in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoundInWords {
    /// As in `Round 1 (sc = single crochet, yarn A)`.
    pub name: String,
    /// What to do, each on a line that begins with a dash; counts in brackets.
    pub lines: Vec<String>,
}

/// A border in words, part by part.
#[must_use]
pub fn border_in_words(border: &Border, terms: Terms) -> BorderInWords {
    let writer = Writer { border, terms };
    let joined: Vec<bool> = joined(border).collect();
    let rounds = border.rounds().iter().enumerate().map(|(at, round)| {
        let cut = joined.get(at + 1).copied().unwrap_or(true);
        writer.round(at, round, joined[at], cut)
    });
    let mut lies = says(border, terms);
    lies.push(
        "An edge that waves (ruffles) has too many stitches: leave some out along it, or work fewer in the corners. \
         One that draws in (cups) has too few: work more along it, or more in the corners."
            .into(),
    );
    BorderInWords { all_along: writer.all_along(), rounds: rounds.collect(), lies }
}

/// Whether the border lies flat, in sentences; what ruffles or cups, where, from which round on, and by
/// how much.
#[must_use]
pub fn says(border: &Border, terms: Terms) -> Vec<String> {
    let mut lines = Vec::new();
    let tall_start = border.rounds().first().filter(|round| round.round.stitch != Stitch::Sc);
    if let Some(round) = tall_start {
        lines.push(format!(
            "Round 1 is in {}: a first round in {} hides the edge better and is easier to count.",
            terms.full(round.round.stitch),
            terms.full(Stitch::Sc)
        ));
    }
    // A fault goes on through the rounds above: it is told once, and where it has got to.
    let mut faults: Vec<Vec<Fault>> = Vec::new();
    for (number, round) in (1..).zip(border.rounds()) {
        for (part, measure) in round.fit.faults() {
            let fault = Fault { number, round, part, measure };
            let same = |told: &&mut Vec<Fault>| told[0].part == part && told[0].measure.lie == measure.lie;
            match faults.iter_mut().find(same) {
                Some(told) => told.push(fault),
                None => faults.push(vec![fault]),
            }
        }
    }
    if faults.is_empty() {
        lines.push("Every round is as long as its edge: the border lies flat.".into());
    }
    let order = Edge::in_order(border.choices().hand);
    for told in &faults {
        let mut line = told[0].says(order);
        if let [first, .., last] = &told[..]
            && first.measure.off() != last.measure.off()
        {
            line.push_str(&format!(" By round {} it is {}.", last.number, sts_off(last.measure)));
        }
        lines.push(line);
    }
    lines
}

/// A part of a round that does not lie flat.
struct Fault<'a> {
    number: usize,
    round: &'a Worked,
    part: FitPart,
    measure: Measure,
}

impl Fault<'_> {
    fn says(&self, order: [Edge; 4]) -> String {
        let Self { number, round, part, measure } = self;
        let verb = if measure.lie == Lie::Ruffles { "ruffles" } else { "cups" };
        let (off, excess) = (sts_off(*measure), round.fit.excess());
        let whole = format!(
            "The whole round is {:.1} % {} than its edge.",
            excess.abs() * 100.0,
            if excess < 0.0 { "shorter" } else { "longer" }
        );
        match part {
            FitPart::Corners => {
                let each = match round.round.corners {
                    Corners::Each(each) => {
                        let what = if measure.lie == Lie::Cups { "too few" } else { "too many" };
                        format!(" {each} in each corner are {what}.")
                    }
                    Corners::Fitted => " It comes from a round below.".into(),
                };
                format!(
                    "Round {number} {verb} at the corners: each has added {} sts by now and needs {} (round) to {} \
                     (square), so it is {off}.{each} {whole}",
                    hundredths(measure.has),
                    hundredths(measure.least),
                    hundredths(measure.most)
                )
            }
            FitPart::Edge(at) => format!(
                "Round {number} {verb} along the {} edge: it has {} sts where {} lie flat, so it is {off}. {whole}",
                order[*at],
                hundredths(measure.has),
                hundredths(measure.most)
            ),
        }
    }
}

/// `1.14 sts short` or `2 sts over`.
fn sts_off(measure: Measure) -> String {
    let off = measure.off();
    format!("{} sts {}", hundredths(off.abs()), if off < 0 { "short" } else { "over" })
}

/// `3`, `2.5` or `2.57`.
fn hundredths(number: i64) -> String {
    let text = format!("{}.{:02}", number / 100, number % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// `1 st` or `12 sts`.
fn sts(count: u32) -> String {
    if count == 1 { "1 st".into() } else { format!("{count} sts") }
}

const fn ordinal(number: u32) -> &'static str {
    match number % 10 {
        1 if number % 100 != 11 => "st",
        2 if number % 100 != 12 => "nd",
        3 if number % 100 != 13 => "rd",
        _ => "th",
    }
}

struct Writer<'a> {
    border: &'a Border,
    terms: Terms,
}

impl Writer<'_> {
    fn all_along(&self) -> Vec<String> {
        let (hand, from, way, before) = match self.border.choices().hand {
            Hand::Right => ("right", "right to left", "anticlockwise", "right"),
            Hand::Left => ("left", "left to right", "clockwise", "left"),
        };
        let mut lines = vec![
            format!("{} terms; for the {hand} hand.", self.terms.name()),
            format!(
                "Work every round with the right side (RS) facing you and do not turn: from {from} along the top edge, \
                 then on around the piece ({way} as you look at it)."
            ),
            format!(
                "Each round begins on the top edge, just behind the {before}-hand corner, and ends there with a slip \
                 stitch (sl st)."
            ),
            "A corner is worked into one stitch, the corner st. Mark the new corner st with a piece of yarn as \
             soon as it is made."
                .into(),
            "What stands in brackets is worked as often as the number behind them says.".into(),
            "The number at the end of a round counts all its stitches, corners too. If an edge comes out one or two \
             off, put it right in its last part before the corner, by one stitch more or less there; never in the corner."
                .into(),
        ];
        let skips = |part: &Part| leaves_out(core::slice::from_ref(part));
        let rounds = self.border.rounds();
        if rounds.iter().skip(1).any(|round| round.edges.iter().any(|edge| edge.parts.iter().any(skips))) {
            lines.push(format!(
                "Where a round above the first says “{} the next st” you may as well work that st together with \
                 the next: the count is the same, and no hole is left.",
                self.terms.skip()
            ));
        }
        lines
    }

    fn round(&self, at: usize, round: &Worked, join: bool, cut: bool) -> RoundInWords {
        let stitch = round.round.stitch;
        let short = self.terms.short(stitch);
        let order = Edge::in_order(self.border.choices().hand);
        let name = format!("Round {} ({short} = {}, yarn {})", at + 1, self.terms.full(stitch), round.symbol);
        let mut lines = vec![self.start(at, round, join)];
        for (corner_at, (edge, corner)) in round.edges.iter().zip(round.corners).enumerate() {
            if edge.stitches > 0 {
                lines.push(self.straight(at, edge, short, ""));
            }
            lines.push(corner_line(at, corner_at, corner, order, short));
        }
        if let Some(rest) = &round.rest {
            lines.push(self.straight(at, rest, short, ", up to where the round began"));
        }
        let into = if stitch.chain_counts() {
            format!("the top of the first ch {}", stitch.starting_chain())
        } else {
            format!("the first {short}")
        };
        let end = if cut { format!(" Fasten off {}.", round.symbol) } else { String::new() };
        lines.push(format!("- Close: join with a sl st in {into}.{end}"));
        let between: Vec<String> =
            order.iter().zip(round.between).map(|(edge, stitches)| format!("{edge} {stitches}")).collect();
        lines.push(format!("({}; between the corner sts: {})", sts(round.stitches), between.join(", ")));
        for (edge, by) in order.iter().zip(round.fudged) {
            if by != 0 {
                let word = if by > 0 { "more" } else { "fewer" };
                let by = u32::try_from(by.unsigned_abs()).unwrap_or(u32::MAX);
                lines.push(format!(
                    "({edge} edge: {} {word} than it takes by itself, for the repeat)",
                    sts(by)
                ));
            }
        }
        RoundInWords { name, lines }
    }

    fn start(&self, at: usize, round: &Worked, join: bool) -> String {
        let stitch = round.round.stitch;
        let from = match self.border.choices().hand {
            Hand::Right => "right",
            Hand::Left => "left",
        };
        let begun = match (at, join) {
            (0, _) => format!(
                "RS facing, join {} with a sl st in the 2nd st from the {from} of the last row worked",
                round.symbol
            ),
            (_, true) => {
                format!("join {} with a sl st in the st where the last round was joined", round.symbol)
            }
            (_, false) => "go on from the sl st".into(),
        };
        let chain = stitch.starting_chain();
        let short = self.terms.short(stitch);
        let counts = if stitch.chain_counts() {
            format!("which stands for the first {short} below")
        } else {
            "which is no stitch".into()
        };
        format!("- Start: {begun}; ch {chain}, {counts}. Begin in the same st as the sl st.")
    }

    fn straight(&self, at: usize, edge: &Straight, short: &str, until: &str) -> String {
        let place = if at == 0 && edge.edge.is_side() { "row end" } else { "st" };
        let name = edge.edge.to_string();
        let mut initial = name.chars();
        let name: String =
            initial.next().map(|first| first.to_ascii_uppercase()).into_iter().chain(initial).collect();
        let parts = self.parts(&edge.parts, place, short);
        let counts = if edge.places == edge.stitches {
            sts(edge.stitches)
        } else {
            format!("{} into {} {place}s", sts(edge.stitches), edge.places)
        };
        format!("- {name} edge{until}: {parts} ({counts}).")
    }

    fn parts(&self, parts: &[Part], place: &str, short: &str) -> String {
        let said: Vec<String> = parts
            .iter()
            .map(|part| match part {
                Part::Run { places, each } => self.run(*places, *each, place, short),
                Part::Repeat { times, parts } => {
                    format!("[{}] {times} times", self.parts(parts, place, short))
                }
            })
            .collect();
        said.join(", ")
    }

    fn run(&self, places: u32, each: u32, place: &str, short: &str) -> String {
        let number = if each > 1 { format!("{each} ") } else { String::new() };
        match (each, places) {
            (0, 1) => format!("{} the next {place}", self.terms.skip()),
            (0, _) => format!("{} {places} {place}s", self.terms.skip()),
            (_, 1) => format!("{number}{short} in the next {place}"),
            _ => format!("{number}{short} in each of the next {places} {place}s"),
        }
    }
}

/// Where the corner behind the edge `at` lies in the first round: the piece has no corner stitches yet.
fn corner_line(round: usize, at: usize, corner: Corner, order: [Edge; 4], short: &str) -> String {
    let place = match (round, at) {
        (0, 0) => "the last st of the top row".to_string(),
        (0, 1) => "the first st of the foundation edge".into(),
        (0, 2) => "the last st of the foundation edge".into(),
        (0, _) => "the one st of the top row before the first of this round".into(),
        _ => "the corner st".into(),
    };
    let (from, to) = (order[at], order[(at + 1) % 4]);
    let Corner { stitches, middle } = corner;
    let new = if stitches == 1 {
        "it is the new corner st".to_string()
    } else {
        format!("the {middle}{} of them is the new corner st", ordinal(middle))
    };
    format!("- Corner from {from} to {to}: {stitches} {short} in {place}; {new}.")
}

fn leaves_out(parts: &[Part]) -> bool {
    parts.iter().any(|part| match part {
        Part::Run { each, .. } => *each == 0,
        Part::Repeat { parts, .. } => leaves_out(parts),
    })
}
