//! Charts with their plans and rows in words, and what a reader of the words is to come to.

use std::collections::BTreeSet;

use model::{Boundary, Chart, Direction, Gauge, Hand, Plan, RowIndex, Rules, Step, Tail, TailLine, YarnUse};
use pattern::Terms;

use crate::random::{self, Rng};
use crate::reader::{self, End, Side, Worked, WorkedRow, WorkedTail};

/// A chart, its plan, and the plan's rows in words.
#[derive(Debug)]
pub struct Case {
    /// How it came about.
    pub name: String,
    /// The chart.
    pub chart: Chart,
    /// Its plan.
    pub plan: Plan,
    /// Whose names of stitches are used.
    pub terms: Terms,
    /// The rows in words.
    pub text: String,
}

impl Case {
    /// Plans a chart and writes its rows.
    ///
    /// # Panics
    /// When the plan does not hold.
    #[must_use]
    pub fn new(name: String, chart: Chart, rules: &Rules, terms: Terms) -> Self {
        let yarn_use = YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"));
        let plan = planner::plan_on(1, &chart, rules, yarn_use, &planner::unwatched).expect("not cancelled");
        let proven = replay::prove(chart.clone(), plan.clone()).expect("a plan that holds");
        let text = pattern::rows(&proven, terms);
        Self { name, chart, plan, terms, text }
    }

    /// The plan, worked.
    ///
    /// # Panics
    /// When it does not hold.
    #[must_use]
    pub fn proven(&self) -> replay::ProvenPlan {
        replay::prove(self.chart.clone(), self.plan.clone()).expect("a plan that holds")
    }

    /// A chart of that size and so many yarns, rules and terms as the seed has it.
    #[must_use]
    pub fn drawn(seed: u64, rows: usize, columns: usize, yarns: usize) -> Self {
        let mut rng = Rng::new(seed);
        let chart = random::chart(&mut rng, rows, columns, yarns);
        let mut rules = random::rules(&mut rng, chart.palette());
        if rng.once_in(2) {
            rules.limits = random::limits(&mut rng);
        }
        Self::new(format!("seed {seed}, {rows} × {columns}"), chart, &rules, terms_of(seed))
    }

    /// Up to 16 rows of up to 14 stitches, single rows and single columns among them.
    #[must_use]
    pub fn small(seed: u64) -> Self {
        let mut rng = Rng::new(seed ^ 0x2ead);
        let rows = if rng.once_in(8) { 1 } else { rng.between(1, 16) };
        let columns = if rng.once_in(8) { 1 } else { rng.between(1, 14) };
        Self::drawn(seed, rows, columns, rng.between(1, 6))
    }

    /// A few stitches that come again and again along every row, up to eight rows.
    /// # Panics
    /// Never: the chart is one.
    #[must_use]
    pub fn repeating(seed: u64) -> Self {
        let mut rng = Rng::new(seed ^ 0x4e9);
        let (rows, motif, times) = (rng.between(1, 8), rng.between(2, 4), rng.between(4, 8));
        let chart = random::chart(&mut rng, rows, motif, 3);
        let row = |row| chart.row(row).iter().map(|cell| cell.as_u8()).collect::<Vec<u8>>().repeat(times);
        let cells: Vec<u8> = chart.row_indices().flat_map(row).collect();
        let rules = random::rules(&mut rng, chart.palette());
        let chart = Chart::new(chart.palette().clone(), rows, motif * times, &cells).expect("a chart");
        Self::new(format!("repeating, seed {seed}"), chart, &rules, terms_of(seed))
    }

    /// Works the text and compares all there is with the plan.
    ///
    /// # Panics
    /// When the text can't be worked, or gives something else than the plan.
    pub fn check(&self) -> Worked {
        self.check_text(&self.text)
    }

    /// The same of another text that is to say the same.
    ///
    /// # Panics
    /// When the text can't be worked, or gives something else than the plan.
    pub fn check_text(&self, text: &str) -> Worked {
        let worked = reader::work(text).unwrap_or_else(|why| panic!("{why}\n{}\n{text}", self.shown()));
        let meant = Meant::of(&self.chart, &self.plan).worked(worked.stitch_word.clone());
        for (row, (worked, meant)) in worked.rows.iter().zip(&meant.rows).enumerate() {
            assert_eq!(&sorted(worked), meant, "row {}\n{}", row + 1, self.shown());
        }
        assert_eq!(worked.tails, meant.tails, "{}", self.shown());
        assert_eq!(worked.hand, meant.hand, "{}", self.shown());
        assert_eq!((worked.rows.len(), worked.columns), (meant.rows.len(), meant.columns));
        self.check_picture(&worked);
        worked
    }

    /// The stitches, laid out as the arrows have it, are the chart.
    fn check_picture(&self, worked: &Worked) {
        let mut picture = String::new();
        for row in worked.rows.iter().rev() {
            let yarn = |strand: &String| strand.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
            let mut yarns: Vec<String> = row.stitches.iter().map(yarn).collect();
            if (row.side == Side::Right) == (worked.hand == reader::Hand::Right) {
                yarns.reverse();
            }
            picture += &yarns.concat();
            picture.push('\n');
        }
        assert_eq!(picture, random::picture(&self.chart), "{}", self.shown());
    }

    /// The text from the foundation on, without the heading that explains its words.
    ///
    /// # Panics
    /// When there is none.
    #[must_use]
    pub fn rows(&self) -> &str {
        &self.text[self.text.find("\nFoundation: ").expect("a foundation")..]
    }

    /// All there is to know of it, to be printed.
    #[must_use]
    pub fn shown(&self) -> String {
        let tail = self.plan.rules.weights.tail;
        format!("{}, tail {tail}\n{}{}", self.name, random::picture(&self.chart), self.text)
    }
}

/// Terms as the seed has it.
#[must_use]
pub const fn terms_of(seed: u64) -> Terms {
    if seed.is_multiple_of(3) { Terms::Uk } else { Terms::Us }
}

/// The lists of a row in the order of their places; at one place the words may come in any order.
fn sorted(row: &WorkedRow) -> WorkedRow {
    let mut row = row.clone();
    for list in [
        &mut row.joined,
        &mut row.picked_up,
        &mut row.carried_along,
        &mut row.lifted,
        &mut row.dropped,
        &mut row.cut,
    ] {
        list.sort();
    }
    row.drawn_back.sort();
    row.inside.iter_mut().for_each(|names| names.sort());
    row
}

/// What a person who does the steps of a plan does, in the reader's terms: places are stitches from
/// a row's start.
#[derive(Debug)]
struct Meant<'a> {
    chart: &'a Chart,
    plan: &'a Plan,
    labels: Vec<String>,
    rows: Vec<WorkedRow>,
    tails: Vec<WorkedTail>,
}

impl<'a> Meant<'a> {
    fn of(chart: &'a Chart, plan: &'a Plan) -> Self {
        let row = |row: RowIndex| WorkedRow {
            side: if row.side() == model::Side::Right { Side::Right } else { Side::Wrong },
            stitches: vec![String::new(); chart.columns()],
            inside: vec![vec![]; chart.columns()],
            joined: vec![],
            picked_up: vec![],
            carried_along: vec![],
            drawn_back: vec![],
            lifted: vec![],
            dropped: vec![],
            cut: vec![],
        };
        let rows = chart.row_indices().map(row).collect();
        let mut meant = Self { chart, plan, labels: plan.labels(chart.palette()), rows, tails: vec![] };
        for row in chart.row_indices() {
            // A strand whose first step in a row is to work or be carried has waited since the last.
            let mut touched = BTreeSet::new();
            for step in &plan.rows[row.0].steps {
                let first = touched.insert(step.strand());
                meant.step(row, step, first);
            }
        }
        meant
    }

    fn step(&mut self, row: RowIndex, step: &Step, first: bool) {
        let label = self.labels[step.strand().index()].clone();
        let place = self.place(row, step.place());
        match *step {
            Step::Join { at, tail, .. } => {
                self.rows[row.0].joined.push((place, label));
                self.tail(row, at, step, tail, End::Start);
            }
            Step::Work { from, to, .. } => {
                for stitch in self.stitches(row, from, to) {
                    self.rows[row.0].stitches[stitch].clone_from(&label);
                }
                if first && !(place == 0 && self.made_the_last_stitch(row, step)) {
                    self.rows[row.0].picked_up.push((place, label));
                }
            }
            Step::Carry { from, to, .. } => {
                self.hide(row, self.stitches(row, from, to), &label);
                if first {
                    self.rows[row.0].carried_along.push((place, label));
                }
            }
            Step::DrawBack { from, to, .. } => {
                let stitches = self.stitches(row, to, from);
                self.rows[row.0].drawn_back.push((place, label.clone(), stitches.len()));
                self.hide(row, stitches, &label);
            }
            Step::Drop { .. } => {
                // Nobody drops a strand that makes the turning chain and the next stitch.
                if !(place == self.chart.columns() && self.makes_the_next_stitch(row, step)) {
                    self.rows[row.0].dropped.push((place, label));
                }
            }
            Step::Lift { .. } => self.rows[row.0].lifted.push((place, label)),
            Step::Cut { at, tail, .. } => {
                self.rows[row.0].cut.push((place, label));
                self.tail(row, at, step, tail, End::End);
            }
        }
    }

    /// Whether the strand of this step made the last stitch of the row before.
    fn made_the_last_stitch(&self, row: RowIndex, step: &Step) -> bool {
        row.0 > 0 && self.rows[row.0 - 1].stitches.last() == Some(&self.labels[step.strand().index()])
    }

    /// Whether the strand of this step works first, and does nothing before, in the next row.
    fn makes_the_next_stitch(&self, row: RowIndex, step: &Step) -> bool {
        let Some(next) = self.plan.rows.get(row.0 + 1) else { return false };
        let own = next.steps.iter().find(|other| other.strand() == step.strand());
        matches!(own, Some(&Step::Work { from, .. }) if self.place(RowIndex(row.0 + 1), from) == 0)
    }

    fn hide(&mut self, row: RowIndex, stitches: impl IntoIterator<Item = usize>, name: &str) {
        for stitch in stitches {
            self.rows[row.0].inside[stitch].push(name.into());
        }
    }

    fn tail(&mut self, row: RowIndex, at: Boundary, step: &Step, tail: Tail, end: End) {
        if row == RowIndex(0) && end == End::Start && self.place(row, at) == 0 {
            // The foundation's tail hangs at its first chain, where row 1 ends.
            self.tails.push(WorkedTail {
                strand: self.labels[step.strand().index()].clone(),
                end,
                laid_in: false,
                waits_for: None,
                short: 0,
                over: (1, vec![]),
            });
            return;
        }
        let length = self.plan.rules.weights.tail as usize;
        let (strand, columns) = (step.strand().index(), self.chart.columns());
        let mut place = self.place(row, at);
        let mut lies_in = row;
        let line = match tail.line {
            TailLine::Onward => place..columns.min(place + length),
            TailLine::Before => place.saturating_sub(length)..place,
            TailLine::NextRow => {
                place = columns - place;
                lies_in = RowIndex(row.0 + 1);
                if lies_in.0 < self.chart.rows() { place..columns.min(place + length) } else { 0..0 }
            }
        };
        let yarn = self.plan.strands[strand].yarn;
        let may_lie = |&stitch: &usize| {
            let cell = self.chart.row(lies_in)[self.column(lies_in, stitch)];
            !self.plan.rules.never.forbids(yarn, cell)
        };
        let over: Vec<usize> = line.filter(may_lie).collect();
        assert_eq!(over.len(), tail.over as usize, "the step says what is over");
        let name =
            format!("{} {} tail", self.labels[strand], if end == End::Start { "start" } else { "end" });
        self.hide(lies_in, over.iter().copied(), &name);
        // A tail that no stitch is worked over has nothing to wait for or to be laid in for.
        let waits = tail.line == TailLine::NextRow && !over.is_empty();
        self.tails.push(WorkedTail {
            strand: self.labels[strand].clone(),
            end,
            laid_in: tail.line == TailLine::Before && !over.is_empty(),
            waits_for: waits.then_some(lies_in.0 + 1),
            short: length - over.len(),
            over: (if waits { lies_in.0 + 1 } else { row.0 + 1 }, over),
        });
    }

    fn leftwards(&self, row: RowIndex) -> bool {
        row.direction(self.plan.rules.hand) == Direction::Leftwards
    }

    /// Stitches from the row's start to that boundary.
    fn place(&self, row: RowIndex, at: Boundary) -> usize {
        if self.leftwards(row) { self.chart.columns() - at.0 as usize } else { at.0 as usize }
    }

    /// The chart's column of a stitch counted from the row's start.
    fn column(&self, row: RowIndex, stitch: usize) -> usize {
        if self.leftwards(row) { self.chart.columns() - 1 - stitch } else { stitch }
    }

    fn stitches(&self, row: RowIndex, from: Boundary, to: Boundary) -> std::ops::Range<usize> {
        self.place(row, from)..self.place(row, to)
    }

    /// All of it, in the order of the reader's lists.
    fn worked(mut self, stitch_word: String) -> Worked {
        self.tails.sort_by(|a, b| (&a.strand, a.end).cmp(&(&b.strand, b.end)));
        Worked {
            columns: self.chart.columns(),
            hand: match self.plan.rules.hand {
                Hand::Right => reader::Hand::Right,
                Hand::Left => reader::Hand::Left,
            },
            stitch_word,
            rows: self.rows.iter().map(sorted).collect(),
            tails: self.tails,
        }
    }
}
