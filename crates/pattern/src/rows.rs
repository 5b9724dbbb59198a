//! The rows in words, for a person with a hook in one hand.
//!
//! What the words mean stands in `docs/reading-rows.md`, which is all that a reader may need.

use core::fmt::Write as _;
use core::ops::Range;

use model::{
    Chart, Direction, Hand, Plan, Row, RowIndex, RowNumber, Rules, Side, Step, StrandId, Tail, TailLine,
};
use replay::ProvenPlan;

use crate::fold::fold;
use crate::tails::{along, stretches};
use crate::wrap::wrap;

/// Whose names of stitches are used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Terms {
    /// US: single crochet.
    #[default]
    Us,
    /// UK: double crochet, for the same stitch.
    Uk,
}

impl Terms {
    /// Short name of the one stitch there is.
    #[must_use]
    pub const fn stitch(self) -> &'static str {
        match self {
            Self::Us => "sc",
            Self::Uk => "dc",
        }
    }

    /// Its name in full.
    #[must_use]
    pub const fn stitch_in_full(self) -> &'static str {
        match self {
            Self::Us => "single crochet",
            Self::Uk => "double crochet",
        }
    }

    /// The terms' own name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Us => "US",
            Self::Uk => "UK",
        }
    }
}

/// What lies inside a stretch of stitches.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Inside {
    Strand(StrandId),
    StartTail(StrandId),
    EndTail(StrandId),
}

impl Inside {
    const fn strand(self) -> StrandId {
        match self {
            Self::Strand(strand) | Self::StartTail(strand) | Self::EndTail(strand) => strand,
        }
    }
}

/// The rows of a plan in words, from the heading to the last cut.
#[must_use]
pub fn rows(proven: &ProvenPlan, terms: Terms) -> String {
    let writer = Writer::new(proven, terms);
    let mut text = writer.heading();
    text.push_str(&wrap(&writer.foundation()));
    text.push('\n');
    let bodies: Vec<String> = proven.chart().row_indices().map(|row| writer.row(row)).collect();
    let mut row = 0;
    while row < bodies.len() {
        let same = bodies[row..].iter().take_while(|body| **body == bodies[row]).count();
        text.push_str(&wrap(&format!("{}: {}.", writer.names(row, same), bodies[row])));
        row += same;
    }
    text
}

struct Writer<'a> {
    chart: &'a Chart,
    plan: &'a Plan,
    rules: &'a Rules,
    terms: Terms,
    labels: Vec<String>,
    columns: u32,
    /// For each row the tails that are worked over in it.
    tails: Vec<Vec<(Inside, Vec<Range<u32>>)>>,
}

impl<'a> Writer<'a> {
    fn new(proven: &'a ProvenPlan, terms: Terms) -> Self {
        let (chart, plan) = (proven.chart(), proven.plan());
        let mut writer = Self {
            chart,
            plan,
            rules: &plan.rules,
            terms,
            labels: plan.labels(chart.palette()),
            columns: u32::try_from(chart.columns()).unwrap_or(u32::MAX),
            tails: vec![Vec::new(); chart.rows()],
        };
        for (row, steps) in (0..).map(RowIndex).zip(&plan.rows) {
            for step in &steps.steps {
                let (inside, at, tail) = match *step {
                    Step::Join { strand, at, tail } => (Inside::StartTail(strand), at, tail),
                    Step::Cut { strand, at, tail } => (Inside::EndTail(strand), at, tail),
                    _ => continue,
                };
                let yarn = plan.strands[inside.strand().index()].yarn;
                let (lies_in, lies) = stretches(chart, writer.rules, yarn, row, at, tail);
                if !lies.is_empty() {
                    writer.tails[lies_in.0].push((inside, lies));
                }
            }
        }
        writer
    }

    fn label(&self, strand: StrandId) -> &str {
        &self.labels[strand.index()]
    }

    fn heading(&self) -> String {
        let (stitch, full) = (self.terms.stitch(), self.terms.stitch_in_full());
        let hand = match self.rules.hand {
            Hand::Right => "right",
            Hand::Left => "left",
        };
        let mut text = String::from("ROWS IN WORDS\n\n");
        text.push_str(&wrap(&format!(
            "{} stitches wide, {} rows, in {full} worked flat and turned. {} terms; for the {hand} hand.",
            self.chart.columns(),
            self.chart.rows(),
            self.terms.name(),
        )));
        text.push_str("\nYarns and their strands:\n");
        let palette = self.chart.palette();
        for yarn in palette.indices() {
            let count = self.plan.strands.iter().filter(|strand| strand.yarn == yarn).count();
            let symbol = palette.symbol(yarn);
            let strands = match count {
                0 => continue,
                1 => format!("one strand, {symbol}1"),
                many => format!("{many} strands, {symbol}1 to {symbol}{many}"),
            };
            let yarn = crate::yarn_line(palette.yarn(yarn));
            text.push_str(&wrap(&format!("{symbol:<3}{yarn} ({strands})")));
        }
        text.push_str("\nHow to read:\n");
        for line in [
            format!("ch = chain, {stitch} = {full}, RS and WS = right and wrong side. ← and → say which way the row runs on a chart. A1 is the first strand of yarn A, A2 the second."),
            format!("3 {stitch} B1 over A1 + C2 start tail: make 3 stitches with B1, with what stands behind “over” lying along the row below, inside them. A start tail is the one left at a strand's join, an end tail the one left at its cut."),
            "Read one step ahead: a colour changes on the last pull-through of the stitch before. Join, pick up or draw back the next strand before that pull-through, at the end of a row too; the turning chain is made with the new strand and is no stitch.".to_owned(),
            "join: begin a new strand here. lay in: lay the tail of a strand to come along the row here. pick up: a strand waits just here and makes the next stitch. draw back B1 by 6: B1 waits 6 stitches further on; draw it back to here and work over it. take up: a strand waits just here; lay it along and work over it. lift: lock a strand here by laying it over the working yarn, so that it climbs this row and waits here. drop: leave it waiting here. cut: it is done.".to_owned(),
            "A strand that has made its stitches and is neither dropped nor cut is carried: it lies inside the stitches that name it (named twice, it lies there twice).".to_owned(),
            "[…] 4 times: do what stands in the brackets 4 times.".to_owned(),
        ] {
            text.push_str(&wrap(&format!("- {line}")));
        }
        text.push('\n');
        text
    }

    fn foundation(&self) -> String {
        let first = self.first_worker(RowIndex(0));
        let join = first.and_then(|strand| {
            self.plan.rows[0].steps.iter().find_map(|step| match *step {
                Step::Join { strand: joined, tail, .. } if joined == strand => {
                    Some(self.join(RowIndex(0), strand, tail))
                }
                _ => None,
            })
        });
        format!(
            "Foundation: {}; ch {} with {}. The first {} goes into the 2nd ch from the hook.",
            join.unwrap_or_default(),
            self.columns + 1,
            first.map_or("", |strand| self.label(strand)),
            self.terms.stitch()
        )
    }

    /// The row's name, or that of several that read the same.
    fn names(&self, row: usize, same: usize) -> String {
        let side = |row: usize| match RowIndex(row).side() {
            Side::Right => "RS",
            Side::Wrong => "WS",
        };
        let arrow = match RowIndex(row).direction(self.rules.hand) {
            Direction::Rightwards => "→",
            Direction::Leftwards => "←",
        };
        if same == 1 {
            return format!("Row {} ({} {arrow})", row + 1, side(row));
        }
        format!("Rows {}–{} ({} and {} in turn)", row + 1, row + same, side(row), side(row + 1))
    }

    fn along(&self, row: RowIndex, at: model::Boundary) -> u32 {
        along(row.direction(self.rules.hand), self.columns, at)
    }

    fn first_worker(&self, row: RowIndex) -> Option<StrandId> {
        self.plan.rows.get(row.0)?.steps.iter().find_map(|step| match *step {
            Step::Work { strand, .. } => Some(strand),
            _ => None,
        })
    }

    /// The body of one row: what to do, in order.
    fn row(&self, row: RowIndex) -> String {
        let steps = &self.plan.rows[row.0];
        let inside = self.inside(row, steps);
        let starter = self.first_worker(row);
        let mut said: Vec<(u32, String)> = Vec::new();
        let mut workers: Vec<(u32, u32, StrandId)> = Vec::new();
        for (lies, tail) in &inside {
            if let (Inside::StartTail(strand), true) = (*lies, Self::is_laid_in(steps, *lies)) {
                said.push((tail[0].start, format!("lay in {}", self.label(strand))));
            }
        }
        for (order, step) in steps.steps.iter().enumerate() {
            let place = self.along(row, step.place());
            let strand = step.strand();
            let label = self.label(strand);
            // What brings the row's first strand to hand was said at the end of the row below.
            let starts = place == 0 && Some(strand) == starter;
            let before = steps.steps[..order].iter().rev().find(|step| step.strand() == strand);
            let words = match *step {
                Step::Work { from, to, .. } => {
                    workers.push((self.along(row, from), self.along(row, to), strand));
                    let waits = matches!(before, None | Some(Step::Drop { .. }));
                    if waits && !starts { format!("pick up {label}") } else { continue }
                }
                _ if starts && !matches!(step, Step::Lift { .. } | Step::Cut { .. }) => continue,
                Step::Join { tail, .. } => self.join(row, strand, tail),
                Step::DrawBack { from, to, .. } => {
                    format!("draw back {label} by {}", from.0.abs_diff(to.0))
                }
                // Straight after its work a carry needs no word.
                Step::Carry { .. } if before.is_some() => continue,
                Step::Carry { .. } => format!("take up {label}"),
                Step::Lift { .. } => format!("lift {label}"),
                Step::Drop { .. }
                    if place == self.columns && self.first_worker(RowIndex(row.0 + 1)) == Some(strand) =>
                {
                    continue;
                }
                Step::Drop { .. } => format!("drop {label}"),
                Step::Cut { tail, .. } => format!("cut {label}{}", self.tail_words(row, tail)),
            };
            said.push((place, words));
        }
        said.sort_by_key(|(place, _)| *place);
        let mut items = self.stretches(&said, &workers, &inside);
        items = fold(items);
        if row.0 + 1 < self.chart.rows() {
            items.extend(self.turn(row));
        }
        items.join("; ")
    }

    /// What lies inside the stitches of a row, and where.
    fn inside(&self, row: RowIndex, steps: &Row) -> Vec<(Inside, Vec<Range<u32>>)> {
        let mut inside: Vec<(Inside, Vec<Range<u32>>)> = Vec::new();
        for step in &steps.steps {
            if let Step::Carry { strand, from, to } | Step::DrawBack { strand, from, to } = *step {
                let (from, to) = (self.along(row, from), self.along(row, to));
                let passed = core::iter::once(from.min(to)..from.max(to)).collect();
                inside.push((Inside::Strand(strand), passed));
            }
        }
        inside.extend(self.tails[row.0].iter().cloned());
        inside.sort_by_key(|(inside, _)| *inside);
        inside
    }

    fn is_laid_in(steps: &Row, lies: Inside) -> bool {
        steps.steps.iter().any(|step| {
            matches!(step, Step::Join { strand, tail, .. }
                if Inside::StartTail(*strand) == lies && tail.line == TailLine::Before)
        })
    }

    /// Stitches cut into stretches wherever the strand, what lies inside, or something said changes.
    fn stretches(
        &self,
        said: &[(u32, String)],
        workers: &[(u32, u32, StrandId)],
        inside: &[(Inside, Vec<Range<u32>>)],
    ) -> Vec<String> {
        let mut places: Vec<u32> = said.iter().map(|(place, _)| *place).collect();
        places.extend(workers.iter().flat_map(|&(from, to, _)| [from, to]));
        places
            .extend(inside.iter().flat_map(|(_, lies)| lies.iter().flat_map(|lies| [lies.start, lies.end])));
        places.sort_unstable();
        places.dedup();
        let mut items = Vec::new();
        let mut said = said.iter().peekable();
        let mut workers = workers.iter().peekable();
        for (at, &place) in places.iter().enumerate() {
            while let Some((_, words)) = said.next_if(|(there, _)| *there == place) {
                items.push(words.clone());
            }
            while workers.next_if(|&&(_, to, _)| to <= place).is_some() {}
            let (Some(&next), Some(&&(_, _, strand))) = (places.get(at + 1), workers.peek()) else {
                continue;
            };
            let over: Vec<String> = inside
                .iter()
                .filter(|(_, lies)| lies.iter().any(|lies| lies.contains(&place)))
                .map(|(inside, _)| {
                    let label = self.label(inside.strand());
                    match inside {
                        Inside::Strand(_) => label.to_owned(),
                        Inside::StartTail(_) => format!("{label} start tail"),
                        Inside::EndTail(_) => format!("{label} end tail"),
                    }
                })
                .collect();
            let mut stretch = format!("{} {} {}", next - place, self.terms.stitch(), self.label(strand));
            if !over.is_empty() {
                stretch.push_str(" over ");
                stretch.push_str(&over.join(" + "));
            }
            items.push(stretch);
        }
        items
    }

    /// The end of a row that another follows: the strand that begins the next row is brought to
    /// hand, makes the turning chain, and the work is turned.
    fn turn(&self, row: RowIndex) -> Vec<String> {
        let next = RowIndex(row.0 + 1);
        let Some(strand) = self.first_worker(next) else { return Vec::new() };
        let label = self.label(strand);
        let last = self.plan.rows[row.0].steps.iter().rev().find_map(|step| match *step {
            Step::Work { strand, .. } => Some(strand),
            _ => None,
        });
        let brought = self.plan.rows[next.0].steps.iter().find(|step| step.strand() == strand);
        let words = match brought {
            Some(&Step::Join { tail, .. }) => Some(self.join(next, strand, tail)),
            Some(&Step::DrawBack { from, to, .. }) => {
                Some(format!("draw back {label} by {}", from.0.abs_diff(to.0)))
            }
            _ if last == Some(strand) => None,
            _ => Some(format!("pick up {label}")),
        };
        words.into_iter().chain([format!("ch 1 with {label}, turn")]).collect()
    }

    fn join(&self, row: RowIndex, strand: StrandId, tail: Tail) -> String {
        format!("join {}{}", self.label(strand), self.tail_words(row, tail))
    }

    fn tail_words(&self, row: RowIndex, tail: Tail) -> String {
        let mut words = String::new();
        if tail.line == TailLine::NextRow && tail.over > 0 {
            let _ = write!(words, ", its tail waits for row {}", RowNumber::from(RowIndex(row.0 + 1)));
        }
        let missing = self.rules.weights.tail.saturating_sub(tail.over);
        if missing > 0 {
            let _ = write!(words, ", its tail is {missing} short");
        }
        words
    }
}
