//! The rows in words, for a person with a hook in one hand.
//!
//! What the words mean stands in `docs/reading-rows.md`, which is all that a reader may need.

use core::fmt::Write as _;
use core::ops::Range;

use model::{
    Chart, Direction, Hand, Plan, Row, RowIndex, RowNumber, Rules, Side, Step, StrandId, Tail, TailLine,
};
use replay::ProvenPlan;

use crate::fold::{Item, fold, said};
use crate::tails::{along, stretches};
use crate::wrap::{entry, fits, wrap, wrap_items};

/// So many stitches at least lie between two marks that count the stitches made, half as many
/// between the last mark and the row's end.
const MARK: u32 = 20;

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

/// The words of the rows and what they mean, as the heading has them in US terms.
const WORDS: [(&str, &str); 20] = [
    (
        "Row 12 (WS →)",
        "WS: the wrong side faces you; RS: the right side does. The arrow is the way that the row \
         runs on a chart. Turn after every row.",
    ),
    ("Rows 3–10 (RS and WS in turn)", "Each of these rows reads the same."),
    ("12 sc A1", "12 sc ({stitch}) with A1, the first strand of yarn A."),
    ("3 sc B1 over A1 + C2", "3 sc with B1, and inside them A1 and C2, laid along the top of the row below."),
    ("… over A1 start tail", "Inside lies the tail left where A1 was joined."),
    ("… over A1 end tail", "Inside lies the tail left where A1 was cut."),
    ("[…] 12 times", "Do what is inside the brackets 12 times."),
    ("(40 made)", "Nothing to do: 40 stitches of this row are made by here."),
    ("join B1", "Begin a new strand. It makes the next stitch."),
    ("lay in B1", "B1 is joined a little further on: lay its tail along the row from here."),
    ("pick up B1", "B1 waits just here. It makes the next stitch."),
    ("carry along B1", "B1 waits just here. From here on it lies inside the stitches."),
    (
        "draw back B1 by 6",
        "B1 waits 6 stitches further on. Draw it back to here; the next 6 stitches, whichever \
         strand makes them, are worked over it.",
    ),
    (
        "draw B1 to the edge by 4",
        "B1 waits 4 stitches back along the row just made. Draw it to the edge along the top of \
         that row; the first 4 stitches of the next row are worked over it.",
    ),
    (
        "lift B1",
        "Lay the working yarn around B1 as you pass, so that it is caught and climbs to the top of \
         this row. It waits here.",
    ),
    ("drop B1", "B1 has made its stitches. It waits here."),
    ("cut B1", "B1 has made its last stitch. Cut it."),
    ("…, its tail waits for row 13", "Leave this tail hanging: row 13 is worked over it."),
    (
        "…, its tail is 2 short",
        "2 of the stitches to work over this tail are missing: weave that part in with a needle.",
    ),
    ("ch 1 with A1, turn", "The turning chain. It is no stitch. A1 makes the first stitch of the next row."),
];

/// What holds in every row.
const ALL_ALONG: [&str; 6] = [
    "Read one step ahead: a colour changes on the last pull-through of the stitch before. Bring the \
     next strand to hand (join, pick up, draw) before that pull-through, at a row's end too.",
    "At each change lay the strand you put down under and around the working yarn once, so that no \
     hole is left.",
    "A strand that has made its stitches and is neither dropped nor cut goes along inside the \
     stitches that name it after “over”. Named twice, it lies there twice.",
    "Strands that wait hang on the wrong side: behind the work on RS rows, in front, towards you, on \
     WS rows. Draw back and carry loosely enough that the fabric stays flat.",
    "Leave a tail of 15 cm (6 in) at each join and cut. Work over it where the rows say so, then \
     weave the rest back with a needle; for children weave it back and forth twice.",
    "The last row ends with the cut of the last strand: pull its end through the last loop.",
];

/// What one row says, on one line: what to do, in order. `None` where there is no such row. The
/// foundation comes before row 1, on a line of its own.
#[must_use]
pub fn row(proven: &ProvenPlan, terms: Terms, row: RowIndex) -> Option<String> {
    if row.0 >= proven.chart().rows() {
        return None;
    }
    let writer = Writer::new(proven, terms);
    let items: Vec<String> = writer.row(row).into_iter().map(|item| item.words).collect();
    let text = format!("{}.", items.join("; "));
    Some(if row.0 == 0 { format!("{}\n{text}", writer.foundation()) } else { text })
}

/// The rows of a plan in words, from the heading to the last cut, in lines of plain text.
#[must_use]
pub fn rows(proven: &ProvenPlan, terms: Terms) -> String {
    let told = rows_in_words(proven, terms);
    let mut text = format!("ROWS IN WORDS\n\n{}\n{}\n\nYarns and their strands:\n", told.size, told.made_for);
    told.strands.iter().for_each(|line| text.push_str(&wrap(line)));
    text.push_str("\nWhat the words say:\n");
    told.words.iter().for_each(|(words, meaning)| text.push_str(&entry(words, meaning)));
    text.push_str("\nAll along:\n");
    told.all_along.iter().for_each(|line| text.push_str(&wrap(&format!("- {line}"))));
    text.push('\n');
    text.push_str(&wrap(&told.foundation));
    text.push('\n');
    for row in &told.rows {
        for (at, line) in row.lines.iter().enumerate() {
            let begins = if at == 0 { format!("{}: ", row.name) } else { " ".repeat(4) };
            let line = begins + line;
            if row.lines.len() == 1 && fits(&line) {
                text.push_str(&line);
                text.push('\n');
            } else {
                text.push_str(&wrap_items(&line));
            }
        }
    }
    text
}

/// The rows of a plan in words, part by part; no line is broken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowsInWords {
    /// As in `28 stitches wide, 19 rows, in single crochet worked flat and turned.`
    pub size: String,
    /// As in `US terms; for the right hand.`
    pub made_for: String,
    /// Yarn by yarn its strands, behind its symbol.
    pub strands: Vec<String>,
    /// Words of the rows, and what they mean.
    pub words: Vec<(String, String)>,
    /// What holds in every row.
    pub all_along: Vec<String>,
    /// What is done before row 1.
    pub foundation: String,
    /// Row 1 first.
    pub rows: Vec<RowText>,
}

/// One row in words, or several that read the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowText {
    /// The first of them.
    pub first: RowNumber,
    /// The last of them.
    pub last: RowNumber,
    /// As in `Row 12 (WS →)`.
    pub name: String,
    /// What to do. A long row has a new line every so often, always before a stitch, which begins
    /// with the stitches made by then, as in `(40 made) 12 sc A1;`. The last ends with a full stop.
    pub lines: Vec<String>,
}

/// The rows of a plan in words, part by part.
#[must_use]
pub fn rows_in_words(proven: &ProvenPlan, terms: Terms) -> RowsInWords {
    let writer = Writer::new(proven, terms);
    let bodies: Vec<Vec<Item>> = proven.chart().row_indices().map(|row| writer.row(row)).collect();
    let mut rows = Vec::new();
    let mut row = 0;
    while row < bodies.len() {
        let same = bodies[row..].iter().take_while(|body| **body == bodies[row]).count();
        let name = writer.names(row, same);
        rows.push(RowText {
            first: RowIndex(row).into(),
            last: RowIndex(row + same - 1).into(),
            lines: lines(&name, &bodies[row]),
            name,
        });
        row += same;
    }
    RowsInWords { foundation: writer.foundation(), rows, ..writer.heading() }
}

/// The lines of one row.
fn lines(name: &str, items: &[Item]) -> Vec<String> {
    let whole = format!("{}.", said(items));
    if fits(&format!("{name}: {whole}")) {
        return vec![whole];
    }
    let mut lines = Vec::new();
    let mut line = String::new();
    let all: u32 = items.iter().map(|item| item.stitches).sum();
    let (mut made, mut marked) = (0, 0);
    for (at, item) in items.iter().enumerate() {
        if made - marked >= MARK && all - made >= MARK / 2 && item.begins_with_a_stitch() {
            lines.push(core::mem::replace(&mut line, format!("({made} made) ")));
            marked = made;
        }
        line.push_str(&item.words);
        line.push_str(if at + 1 < items.len() { "; " } else { "." });
        made += item.stitches;
    }
    lines.push(line);
    lines.iter_mut().for_each(|line| line.truncate(line.trim_end().len()));
    lines
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
                    // The tail of the foundation hangs at the other edge and lies in no stitch.
                    Step::Join { strand, .. }
                        if row == RowIndex(0) && Some(strand) == writer.first_worker(row) =>
                    {
                        continue;
                    }
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

    /// All but the foundation and the rows.
    fn heading(&self) -> RowsInWords {
        let (stitch, full) = (self.terms.stitch(), self.terms.stitch_in_full());
        let hand = match self.rules.hand {
            Hand::Right => "right",
            Hand::Left => "left",
        };
        let palette = self.chart.palette();
        let strands = palette.indices().filter_map(|yarn| {
            let count = self.plan.strands.iter().filter(|strand| strand.yarn == yarn).count();
            let symbol = palette.symbol(yarn);
            let strands = match count {
                0 => return None,
                1 => format!("one strand, {symbol}1"),
                many => format!("{many} strands, {symbol}1 to {symbol}{many}"),
            };
            Some(format!("{symbol:<3}{} ({strands})", crate::yarn_line(palette.yarn(yarn))))
        });
        let words = WORDS.map(|(words, meaning)| {
            let [words, meaning] = [words, meaning].map(|text| text.replace(" sc", &format!(" {stitch}")));
            (words, meaning.replace("{stitch}", full))
        });
        RowsInWords {
            size: format!(
                "{} stitches wide, {} rows, in {full} worked flat and turned.",
                self.chart.columns(),
                self.chart.rows()
            ),
            made_for: format!("{} terms; for the {hand} hand.", self.terms.name()),
            strands: strands.collect(),
            words: words.to_vec(),
            all_along: ALL_ALONG.map(str::to_owned).to_vec(),
            foundation: String::new(),
            rows: Vec::new(),
        }
    }

    fn foundation(&self) -> String {
        let first = self.first_worker(RowIndex(0));
        let label = first.map_or("", |strand| self.label(strand));
        format!(
            "Foundation: join {label}; ch {} with {label}. Its tail hangs at the far end, where row 1 ends: \
             weave it in with a needle. The first {} goes into the 2nd ch from the hook.",
            self.columns + 1,
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
    fn row(&self, row: RowIndex) -> Vec<Item> {
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
                Step::Carry { .. } => format!("carry along {label}"),
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
        let mut items = fold(&self.stretches(&said, &workers, &inside));
        if row.0 + 1 < self.chart.rows() {
            items.extend(self.turn(row).into_iter().map(Item::step));
        }
        items
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
    ) -> Vec<Item> {
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
                items.push(Item::step(words.clone()));
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
            items.push(Item { words: stretch, stitches: next - place });
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
                Some(format!("draw {label} to the edge by {}", from.0.abs_diff(to.0)))
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
