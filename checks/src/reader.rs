//! A reader of the rows in words that knows only what `docs/reading-rows.md` says.
//!
//! It stands in for a person with that page, a hook and the text: it unwraps lines, expands repeats
//! and shared rows, works every stitch, keeps for every strand where it hangs, and refuses what a
//! person could not do. It shares nothing with the crates of this workspace, not even their types:
//! strands are labels, rows and places are numbers.
//!
//! Rows count from 1 and places count stitches from the row's own start. Work done at the end of a
//! row for the next one (`join`, `pick up`, `draw … to the edge` before the turning chain) is written
//! down in the next row, at place 0.

use std::collections::{BTreeMap, BTreeSet};

/// The hand that the arrows are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// RS rows run `←` on the chart.
    Right,
    /// RS rows run `→` on the chart.
    Left,
}

/// The side that faces the person.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// RS.
    Right,
    /// WS.
    Wrong,
}

/// Which of a strand's two tails.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// Left at its join.
    Start,
    /// Left at its cut.
    End,
}

/// A tail as it was worked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkedTail {
    /// Whose.
    pub strand: String,
    /// Which of the two.
    pub end: End,
    /// Whether it was laid in before the join.
    pub laid_in: bool,
    /// The row it was told to wait for.
    pub waits_for: Option<usize>,
    /// Stitches that the text calls missing.
    pub short: usize,
    /// Row that it lies in, if in any, and the stitches there that it lies inside, from 0.
    pub over: (usize, Vec<usize>),
}

/// One row as it was worked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkedRow {
    /// Its side.
    pub side: Side,
    /// The strand that made each stitch, in the order of work.
    pub stitches: Vec<String>,
    /// What lies inside each stitch, in the order of work: `A1`, `A1 start tail`, `A1 end tail`,
    /// sorted. A strand that was drawn back and is carried as well can lie there twice.
    pub inside: Vec<Vec<String>>,
    /// Place and strand of each join.
    pub joined: Vec<(usize, String)>,
    /// Place and strand of each `pick up`.
    pub picked_up: Vec<(usize, String)>,
    /// Place and strand of each `carry along`.
    pub carried_along: Vec<(usize, String)>,
    /// Place, strand and stitches of each `draw back` and of each `draw … to the edge`.
    pub drawn_back: Vec<(usize, String, usize)>,
    /// Place and strand of each lift.
    pub lifted: Vec<(usize, String)>,
    /// Place and strand of each `drop`.
    pub dropped: Vec<(usize, String)>,
    /// Place and strand of each cut.
    pub cut: Vec<(usize, String)>,
}

impl WorkedRow {
    const fn new(row: usize) -> Self {
        Self {
            side: side_of(row),
            stitches: Vec::new(),
            inside: Vec::new(),
            joined: Vec::new(),
            picked_up: Vec::new(),
            carried_along: Vec::new(),
            drawn_back: Vec::new(),
            lifted: Vec::new(),
            dropped: Vec::new(),
            cut: Vec::new(),
        }
    }
}

/// A blanket worked from its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worked {
    /// Stitches in a row.
    pub columns: usize,
    /// The hand.
    pub hand: Hand,
    /// `sc` or `dc`.
    pub stitch_word: String,
    /// The rows from the first.
    pub rows: Vec<WorkedRow>,
    /// The tails, sorted by strand and end.
    pub tails: Vec<WorkedTail>,
}

/// Works the whole text of a `rows.txt`.
///
/// # Errors
/// Says what is no row, or what a person could not do; the first thing found.
pub fn work(text: &str) -> Result<Worked, String> {
    let lines = unwrapped(text);
    let is_foundation = |line: &String| line.starts_with("Foundation: ");
    let at = lines.iter().position(is_foundation).ok_or("there is no foundation")?;
    let (head, rows) = lines[at..].split_first().ok_or("there is no foundation")?;
    let foundation = Words::new(head).foundation()?;

    let mut work = Work::new(foundation.columns, foundation.stitch.clone());
    work.foundation(&foundation.join).and_then(|()| work.turn(&foundation.chain)).map_err(at_row(0))?;
    let mut hand = None;
    let mut ended = false;
    for line in rows {
        let row = Words::new(line).row(&foundation.stitch)?;
        let first = work.row;
        if row.first != first {
            return Err(format!("row {} stands where row {first} should", row.first));
        }
        if row.side != side_of(first) {
            return Err(format!("row {first} is on the wrong one of the two sides"));
        }
        if let Some(leftwards) = row.leftwards {
            let meant = if leftwards == (row.side == Side::Right) { Hand::Right } else { Hand::Left };
            if *hand.get_or_insert(meant) != meant {
                return Err(format!("the arrow of row {first} is for the other hand"));
            }
        }
        for number in row.first..=row.last {
            if ended {
                return Err(format!("row {} has no turning chain but is not the last", number - 1));
            }
            ended = work.row(&row.items).map_err(at_row(number))?;
        }
    }
    if !ended {
        return Err("the last row has a turning chain".into());
    }
    let hand = hand.ok_or("no row has an arrow")?;
    work.tails.sort_by(|a, b| (&a.strand, a.end).cmp(&(&b.strand, b.end)));
    Ok(Worked {
        columns: work.columns,
        hand,
        stitch_word: foundation.stitch,
        rows: work.rows,
        tails: work.tails,
    })
}

fn at_row(row: usize) -> impl Fn(String) -> String {
    move |what| if row == 0 { format!("foundation: {what}") } else { format!("row {row}: {what}") }
}

const fn side_of(row: usize) -> Side {
    if row % 2 == 1 { Side::Right } else { Side::Wrong }
}

/// Lines that begin with a space go on the line before. Blank lines say nothing.
fn unwrapped(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        match lines.last_mut() {
            Some(last) if line.starts_with(' ') => {
                last.push(' ');
                last.push_str(line.trim_start());
            }
            _ => lines.push(line.into()),
        }
    }
    lines
}

/// A join or a cut with what stands after it.
#[derive(Clone, Debug)]
struct Ending {
    strand: String,
    waits_for: Option<usize>,
    short: Option<usize>,
}

#[derive(Clone, Debug)]
enum Item {
    Stretch {
        stitches: usize,
        strand: String,
        over: Vec<(String, Option<End>)>,
    },
    Join(Ending),
    Cut(Ending),
    LayIn(String),
    PickUp(String),
    CarryAlong(String),
    Lift(String),
    Drop(String),
    DrawBack {
        strand: String,
        by: usize,
    },
    DrawToEdge {
        strand: String,
        by: usize,
    },
    /// So many stitches are made, says the text.
    Made(usize),
    Turn(String),
    Repeat {
        items: Vec<Self>,
        times: usize,
    },
}

struct Foundation {
    join: String,
    columns: usize,
    chain: String,
    stitch: String,
}

struct RowLine {
    first: usize,
    last: usize,
    side: Side,
    /// `None` for shared rows, which have no arrow.
    leftwards: Option<bool>,
    items: Vec<Item>,
}

/// The grammar of the page, read from left to right.
struct Words<'a> {
    line: &'a str,
    rest: &'a str,
}

impl<'a> Words<'a> {
    const fn new(line: &'a str) -> Self {
        Self { line, rest: line }
    }

    fn eat(&mut self, words: &str) -> bool {
        let rest = self.rest.strip_prefix(words);
        self.rest = rest.unwrap_or(self.rest);
        rest.is_some()
    }

    fn need(&mut self, words: &str) -> Result<(), String> {
        if self.eat(words) { Ok(()) } else { Err(self.unknown(&format!("{words:?}"))) }
    }

    fn unknown(&self, wanted: &str) -> String {
        let at = self.line.len() - self.rest.len();
        let start: String = self.line[..at].chars().take(12).collect();
        let here: String = self.rest.chars().take(30).collect();
        format!("{start}…: {wanted} should stand where {here:?} stands")
    }

    /// A number from 1 on, without zeros before it.
    fn number(&mut self) -> Result<usize, String> {
        let digits = self.rest.bytes().take_while(u8::is_ascii_digit).count();
        let (number, rest) = self.rest.split_at(digits);
        let value = number.parse().ok().filter(|_| !number.starts_with('0'));
        let value = value.ok_or_else(|| self.unknown("a number"))?;
        self.rest = rest;
        Ok(value)
    }

    fn strand(&mut self) -> Result<String, String> {
        let before = self.rest;
        let letters = self.rest.bytes().take_while(u8::is_ascii_uppercase).count();
        if !(1..=2).contains(&letters) {
            return Err(self.unknown("a strand"));
        }
        self.rest = &self.rest[letters..];
        self.number()?;
        Ok(before[..before.len() - self.rest.len()].into())
    }

    fn stitch(&mut self) -> Result<&'static str, String> {
        let words = ["sc", "dc"];
        words.into_iter().find(|word| self.eat(word)).ok_or_else(|| self.unknown("sc or dc"))
    }

    fn side(&mut self) -> Result<Side, String> {
        if self.eat("RS") {
            Ok(Side::Right)
        } else if self.eat("WS") {
            Ok(Side::Wrong)
        } else {
            Err(self.unknown("RS or WS"))
        }
    }

    fn foundation(mut self) -> Result<Foundation, String> {
        self.need("Foundation: join ")?;
        let join = self.strand()?;
        self.need("; ch ")?;
        let chains = self.number()?;
        self.need(" with ")?;
        let chain = self.strand()?;
        self.need(
            ". Its tail hangs at the far end, where row 1 ends: weave it in with a needle. The first ",
        )?;
        let stitch = self.stitch()?.into();
        self.need(" goes into the 2nd ch from the hook.")?;
        self.end()?;
        let columns = chains - 1;
        if columns == 0 {
            return Err("a foundation of one chain holds no stitch".into());
        }
        Ok(Foundation { join, columns, chain, stitch })
    }

    fn end(&self) -> Result<(), String> {
        if self.rest.is_empty() { Ok(()) } else { Err(self.unknown("the end of the line")) }
    }

    fn row(mut self, stitch: &str) -> Result<RowLine, String> {
        let (first, last, side, leftwards);
        if self.eat("Rows ") {
            first = self.number()?;
            self.need("–")?;
            last = self.number()?;
            self.need(" (")?;
            side = self.side()?;
            self.need(" and ")?;
            if self.side()? == side {
                return Err(format!("rows {first}–{last} do not alternate"));
            }
            self.need(" in turn): ")?;
            leftwards = None;
            if first >= last {
                return Err(format!("rows {first}–{last} are no several rows"));
            }
        } else {
            self.need("Row ")?;
            first = self.number()?;
            last = first;
            self.need(" (")?;
            side = self.side()?;
            self.need(" ")?;
            let left = self.eat("←");
            if !left {
                self.need("→")?;
            }
            self.need("): ")?;
            leftwards = Some(left);
        }
        let mut items = vec![self.item(stitch)?];
        while self.eat("; ") {
            if self.eat("(") {
                items.push(Item::Made(self.number()?));
                self.need(" made) ")?;
            }
            items.push(self.item(stitch)?);
        }
        self.need(".")?;
        self.end()?;
        Ok(RowLine { first, last, side, leftwards, items })
    }

    fn items(&mut self, stitch: &str) -> Result<Vec<Item>, String> {
        let mut items = vec![self.item(stitch)?];
        while self.eat("; ") {
            items.push(self.item(stitch)?);
        }
        Ok(items)
    }

    fn item(&mut self, stitch: &str) -> Result<Item, String> {
        if self.eat("[") {
            let items = self.items(stitch)?;
            self.need("] ")?;
            let times = self.number()?;
            self.need(" times")?;
            return Ok(Item::Repeat { items, times });
        }
        if self.eat("join ") {
            return Ok(Item::Join(self.ending()?));
        }
        if self.eat("cut ") {
            return Ok(Item::Cut(self.ending()?));
        }
        if self.eat("ch 1 with ") {
            let strand = self.strand()?;
            self.need(", turn")?;
            return Ok(Item::Turn(strand));
        }
        if self.eat("draw back ") {
            let strand = self.strand()?;
            self.need(" by ")?;
            return Ok(Item::DrawBack { strand, by: self.number()? });
        }
        if self.eat("draw ") {
            let strand = self.strand()?;
            self.need(" to the edge by ")?;
            return Ok(Item::DrawToEdge { strand, by: self.number()? });
        }
        if self.eat("lay in ") {
            return Ok(Item::LayIn(self.strand()?));
        }
        if self.eat("pick up ") {
            return Ok(Item::PickUp(self.strand()?));
        }
        if self.eat("carry along ") {
            return Ok(Item::CarryAlong(self.strand()?));
        }
        if self.eat("lift ") {
            return Ok(Item::Lift(self.strand()?));
        }
        if self.eat("drop ") {
            return Ok(Item::Drop(self.strand()?));
        }
        self.stretch(stitch)
    }

    fn stretch(&mut self, stitch: &str) -> Result<Item, String> {
        let stitches = self.number().map_err(|_| self.unknown("something to do"))?;
        self.need(" ")?;
        self.need(stitch)?;
        self.need(" ")?;
        let strand = self.strand()?;
        let mut over = Vec::new();
        if self.eat(" over ") {
            loop {
                let strand = self.strand()?;
                let end = if self.eat(" start tail") {
                    Some(End::Start)
                } else if self.eat(" end tail") {
                    Some(End::End)
                } else {
                    None
                };
                over.push((strand, end));
                if !self.eat(" + ") {
                    break;
                }
            }
        }
        Ok(Item::Stretch { stitches, strand, over })
    }

    fn ending(&mut self) -> Result<Ending, String> {
        let strand = self.strand()?;
        let waits_for = if self.eat(", its tail waits for row ") { Some(self.number()?) } else { None };
        let mut short = None;
        if self.eat(", its tail is ") {
            short = Some(self.number()?);
            self.need(" short")?;
        }
        Ok(Ending { strand, waits_for, short })
    }
}

/// How a strand came to hand; it makes the next stitch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Brought {
    Joined,
    PickedUp,
    DrawnBack,
    /// Its turning chain led to this row.
    Turned,
}

/// Where a strand is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum At {
    /// In the hand, about to make the next stitch.
    Hand(Brought),
    /// It has made the last stitch.
    Worked,
    /// It lies along the row below from that place on.
    Carried { since: usize },
    /// It hangs at the top of that row, so many stitches from that row's start.
    Waits { row: usize, place: usize },
}

/// A tail that is not worked over yet, or lies in the row being worked.
struct Tail {
    /// The row that works over it.
    row: usize,
    /// Where its line begins in that row; for a tail laid in, where it was laid in.
    place: usize,
    /// For a tail laid in: where its strand is joined, once it is.
    laid_in: Option<Option<usize>>,
    waits: bool,
    short: usize,
    over: Vec<usize>,
}

/// A drawing back: the stitches of this row that must be worked over the strand.
struct Drawn {
    strand: String,
    from: usize,
    to: usize,
}

/// The work as it stands.
struct Work {
    columns: usize,
    stitch: String,
    /// The row being worked; 0 is the foundation.
    row: usize,
    strands: BTreeMap<String, At>,
    /// Strands that are cut.
    cut: BTreeSet<String>,
    /// Strands joined so far, for each yarn.
    joins: BTreeMap<String, usize>,
    drawn: Vec<Drawn>,
    /// Drawn back for the row to come.
    drawn_next: Vec<Drawn>,
    hanging: BTreeMap<(String, End), Tail>,
    now: WorkedRow,
    /// What has been done for the row to come.
    next: WorkedRow,
    rows: Vec<WorkedRow>,
    tails: Vec<WorkedTail>,
}

impl Work {
    fn new(columns: usize, stitch: String) -> Self {
        Self {
            columns,
            stitch,
            row: 0,
            strands: BTreeMap::new(),
            cut: BTreeSet::new(),
            joins: BTreeMap::new(),
            drawn: Vec::new(),
            drawn_next: Vec::new(),
            hanging: BTreeMap::new(),
            now: WorkedRow::new(0),
            next: WorkedRow::new(1),
            rows: Vec::new(),
            tails: Vec::new(),
        }
    }

    /// Stitches made in this row.
    fn done(&self) -> usize {
        self.now.stitches.len()
    }

    /// Whether a strand brought to hand now is for the next row: the row is full, or it is the
    /// foundation.
    fn for_next(&self) -> bool {
        self.row == 0 || self.done() == self.columns
    }

    /// Works one row; answers whether it ended without a turning chain.
    fn row(&mut self, items: &[Item]) -> Result<bool, String> {
        let row = self.row;
        self.items(items)?;
        if self.row > row {
            return Ok(false);
        }
        self.full()?;
        if let Some((strand, at)) = self.strands.iter().next() {
            return Err(format!(
                "the row ends without a turning chain, and {strand} {}",
                self.whereabouts(*at)
            ));
        }
        self.end_row(true)?;
        Ok(true)
    }

    fn items(&mut self, items: &[Item]) -> Result<(), String> {
        let row = self.row;
        for item in items {
            if self.row > row {
                return Err("something stands after the turning chain".into());
            }
            match item {
                Item::Stretch { stitches, strand, over } => self.stretch(*stitches, strand, over)?,
                Item::Join(ending) => self.join(ending)?,
                Item::Cut(ending) => self.cut(ending)?,
                Item::LayIn(strand) => self.lay_in(strand)?,
                Item::PickUp(strand) => self.pick_up(strand)?,
                Item::CarryAlong(strand) => self.carry_along(strand)?,
                Item::Lift(strand) => self.lift(strand)?,
                Item::Drop(strand) => self.drop(strand)?,
                Item::DrawBack { strand, by } => self.draw_back(strand, *by)?,
                Item::DrawToEdge { strand, by } => self.draw_to_edge(strand, *by)?,
                Item::Made(stitches) => self.made(*stitches)?,
                Item::Turn(strand) => self.turn(strand)?,
                Item::Repeat { items, times } => {
                    for _ in 0..*times {
                        self.items(items)?;
                        if self.row > row {
                            return Err("a turning chain stands in a repeat".into());
                        }
                    }
                }
            }
        }
        Ok(())
    }

    fn whereabouts(&self, at: At) -> String {
        match at {
            At::Hand(how) => format!("is in the hand ({how:?})"),
            At::Worked => "has made the last stitch".into(),
            At::Carried { since } => format!("is carried since stitch {since}"),
            At::Waits { row, place } => {
                let from_here = if row == self.row { place } else { self.columns.abs_diff(place) };
                format!(
                    "waits at the top of row {row}, {from_here} stitches from the start of row {}",
                    self.row
                )
            }
        }
    }

    fn at(&self, strand: &str) -> Result<At, String> {
        self.strands.get(strand).copied().ok_or_else(|| {
            if self.cut.contains(strand) {
                format!("{strand} was cut")
            } else {
                format!("{strand} was never joined")
            }
        })
    }

    fn cannot<T>(&self, what: &str, strand: &str) -> Result<T, String> {
        let at = self.at(strand)?;
        Err(format!("can't {what} after stitch {}: {strand} {}", self.done(), self.whereabouts(at)))
    }

    fn stretch(
        &mut self,
        stitches: usize,
        strand: &str,
        over: &[(String, Option<End>)],
    ) -> Result<(), String> {
        if self.done() + stitches > self.columns {
            return Err(format!(
                "{} stitches do not fit, the row has {} of {}",
                stitches,
                self.done(),
                self.columns
            ));
        }
        match self.at(strand)? {
            At::Hand(_) | At::Worked => {}
            At::Carried { since } if since < self.done() => {}
            _ => return self.cannot(&format!("make {} with {strand}", self.stitch), strand),
        }
        for (other, at) in &mut self.strands {
            match *at {
                _ if other == strand => *at = At::Worked,
                At::Hand(how) => {
                    return Err(format!(
                        "{other} is in the hand ({how:?}) but {strand} makes the next stitch"
                    ));
                }
                At::Worked => *at = At::Carried { since: self.now.stitches.len() },
                At::Carried { .. } | At::Waits { .. } => {}
            }
        }
        let mut names: Vec<String> = over.iter().map(|(strand, end)| inside_name(strand, *end)).collect();
        names.sort();
        let mut named: Vec<&str> =
            over.iter().filter(|(_, end)| end.is_none()).map(|(strand, _)| strand.as_str()).collect();
        named.sort_unstable();
        for _ in 0..stitches {
            self.lies_here(&named)?;
            let here = self.done();
            for (strand, end) in over {
                if let Some(end) = end {
                    self.over_tail(strand, *end, here)?;
                }
            }
            self.now.stitches.push(strand.into());
            self.now.inside.push(names.clone());
        }
        Ok(())
    }

    /// The strands named over the next stitch must be those that lie there, each named as often as
    /// it lies there. The page does not speak of a strand that lies there twice; naming it twice is
    /// the plain reading.
    fn lies_here(&self, named: &[&str]) -> Result<(), String> {
        let here = self.done();
        let carried = self.strands.iter().filter(|(_, at)| matches!(at, At::Carried { .. }));
        let drawn = self.drawn.iter().filter(|drawn| (drawn.from..drawn.to).contains(&here));
        let lying: Vec<&str> = carried
            .map(|(strand, _)| strand.as_str())
            .chain(drawn.map(|drawn| drawn.strand.as_str()))
            .collect();
        let times = |list: &[&str], strand: &str| list.iter().filter(|&&other| other == strand).count();
        for strand in named {
            if times(named, strand) > times(&lying, strand) {
                return Err(format!("stitch {} is over {strand}, which does not lie there", here + 1));
            }
        }
        for strand in &lying {
            if times(named, strand) < times(&lying, strand) {
                return Err(format!("stitch {} is not over {strand}, which lies there", here + 1));
            }
        }
        Ok(())
    }

    fn over_tail(&mut self, strand: &str, end: End, here: usize) -> Result<(), String> {
        let row = self.row;
        let name = inside_name(strand, Some(end));
        let tail = self
            .hanging
            .get_mut(&(strand.into(), end))
            .ok_or_else(|| format!("stitch {} is over {name}, but there is none", here + 1))?;
        if tail.row != row || matches!(tail.laid_in, Some(Some(_))) {
            return Err(format!("stitch {} is over {name}, which does not lie there", here + 1));
        }
        if tail.over.last() == Some(&here) {
            return Err(format!("stitch {} names {name} twice", here + 1));
        }
        tail.over.push(here);
        Ok(())
    }

    /// Whether a strand waits where the work stands, for this row or (at its end) the next.
    fn waits_here(&self, at: At) -> bool {
        let At::Waits { row, place } = at else { return false };
        if row == self.row {
            place == self.done()
        } else {
            !self.for_next() && self.waits_below(at) == Some(self.done())
        }
    }

    /// For a strand that waits at the top of the row below: its place from the start of this row.
    fn waits_below(&self, at: At) -> Option<usize> {
        match at {
            At::Waits { row, place } if row + 1 == self.row => Some(self.columns - place),
            _ => None,
        }
    }

    fn new_strand(&self, strand: &str) -> Result<(), String> {
        if self.strands.contains_key(strand) || self.cut.contains(strand) {
            return Err(format!("{strand} was joined before"));
        }
        Ok(())
    }

    /// The strand that makes the foundation chain. No stitch is worked over its tail.
    fn foundation(&mut self, strand: &str) -> Result<(), String> {
        self.begin(strand)?;
        self.tails.push(WorkedTail {
            strand: strand.into(),
            end: End::Start,
            laid_in: false,
            waits_for: None,
            short: 0,
            over: (1, Vec::new()),
        });
        Ok(())
    }

    /// Brings a new strand to hand; answers where it begins.
    fn begin(&mut self, strand: &str) -> Result<(usize, usize), String> {
        self.new_strand(strand)?;
        let digits = strand.trim_start_matches(|letter: char| letter.is_ascii_uppercase());
        let yarn = &strand[..strand.len() - digits.len()];
        let count = self.joins.entry(yarn.into()).or_default();
        *count += 1;
        if digits != count.to_string() {
            return Err(format!("{strand} is joined as strand {count} of yarn {yarn}"));
        }
        self.strands.insert(strand.into(), At::Hand(Brought::Joined));
        if self.for_next() {
            self.next.joined.push((0, strand.into()));
            Ok((self.row + 1, 0))
        } else {
            self.now.joined.push((self.done(), strand.into()));
            Ok((self.row, self.done()))
        }
    }

    fn join(&mut self, ending: &Ending) -> Result<(), String> {
        let strand = &ending.strand;
        let (row, place) = self.begin(strand)?;
        if let Some(tail) = self.hanging.get_mut(&(strand.clone(), End::Start)) {
            if ending.waits_for.is_some() || row != self.row {
                return Err(format!("the tail of {strand} is laid in and can't wait"));
            }
            tail.laid_in = Some(Some(place));
            tail.short = ending.short.unwrap_or(0);
        } else {
            self.hang(ending, End::Start, row, place)?;
        }
        Ok(())
    }

    /// Leaves a tail at that place of that row.
    fn hang(&mut self, ending: &Ending, end: End, row: usize, place: usize) -> Result<(), String> {
        let mut tail = Tail {
            row,
            place,
            laid_in: None,
            waits: ending.waits_for.is_some(),
            short: ending.short.unwrap_or(0),
            over: Vec::new(),
        };
        if let Some(waits_for) = ending.waits_for {
            if waits_for != row + 1 {
                let name = inside_name(&ending.strand, Some(end));
                return Err(format!("{name} hangs at row {row} and can't wait for row {waits_for}"));
            }
            (tail.row, tail.place) = (waits_for, self.columns - place);
        }
        self.hanging.insert((ending.strand.clone(), end), tail);
        Ok(())
    }

    fn lay_in(&mut self, strand: &str) -> Result<(), String> {
        self.new_strand(strand)?;
        let tail = Tail {
            row: self.row,
            place: self.done(),
            laid_in: Some(None),
            waits: false,
            short: 0,
            over: Vec::new(),
        };
        if self.hanging.insert((strand.into(), End::Start), tail).is_some() {
            return Err(format!("{strand} is laid in twice"));
        }
        Ok(())
    }

    fn pick_up(&mut self, strand: &str) -> Result<(), String> {
        if !self.waits_here(self.at(strand)?) {
            return self.cannot(&format!("pick up {strand}"), strand);
        }
        self.strands.insert(strand.into(), At::Hand(Brought::PickedUp));
        if self.for_next() {
            self.next.picked_up.push((0, strand.into()));
        } else {
            self.now.picked_up.push((self.done(), strand.into()));
        }
        Ok(())
    }

    fn carry_along(&mut self, strand: &str) -> Result<(), String> {
        let since = self.done();
        if self.waits_below(self.at(strand)?) != Some(since) {
            return self.cannot(&format!("carry along {strand}"), strand);
        }
        self.strands.insert(strand.into(), At::Carried { since });
        self.now.carried_along.push((since, strand.into()));
        Ok(())
    }

    /// Within a row: the strand waits further on.
    fn draw_back(&mut self, strand: &str, by: usize) -> Result<(), String> {
        let here = self.done();
        let waits = self.waits_below(self.at(strand)?);
        if self.for_next() || waits != Some(here + by) {
            return self.cannot(&format!("draw back {strand} by {by}"), strand);
        }
        self.strands.insert(strand.into(), At::Hand(Brought::DrawnBack));
        self.drawn.push(Drawn { strand: strand.into(), from: here, to: here + by });
        self.now.drawn_back.push((here, strand.into(), by));
        Ok(())
    }

    /// At the end of a row: the strand waits at the top of this very row, so far back.
    fn draw_to_edge(&mut self, strand: &str, by: usize) -> Result<(), String> {
        let waits = At::Waits { row: self.row, place: self.done() - by.min(self.done()) };
        if !self.for_next() || self.at(strand)? != waits || by > self.done() {
            return self.cannot(&format!("draw {strand} to the edge by {by}"), strand);
        }
        self.strands.insert(strand.into(), At::Hand(Brought::DrawnBack));
        self.drawn_next.push(Drawn { strand: strand.into(), from: 0, to: by });
        self.next.drawn_back.push((0, strand.into(), by));
        Ok(())
    }

    fn made(&self, stitches: usize) -> Result<(), String> {
        if stitches == self.done() {
            Ok(())
        } else {
            Err(format!("{} stitches are made where {stitches} are said to be", self.done()))
        }
    }

    fn lift(&mut self, strand: &str) -> Result<(), String> {
        let (row, place) = (self.row, self.done());
        let at = self.at(strand)?;
        let can = match at {
            At::Hand(how) => how == Brought::DrawnBack && !self.for_next(),
            At::Worked => false,
            At::Carried { since } => since < place,
            At::Waits { .. } => self.waits_below(at) == Some(place),
        };
        if !can {
            return self.cannot(&format!("lift {strand}"), strand);
        }
        self.strands.insert(strand.into(), At::Waits { row, place });
        self.now.lifted.push((place, strand.into()));
        Ok(())
    }

    fn drop(&mut self, strand: &str) -> Result<(), String> {
        let (row, place) = (self.row, self.done());
        if self.at(strand)? != At::Worked {
            return self.cannot(&format!("drop {strand}"), strand);
        }
        self.strands.insert(strand.into(), At::Waits { row, place });
        self.now.dropped.push((place, strand.into()));
        Ok(())
    }

    fn cut(&mut self, ending: &Ending) -> Result<(), String> {
        let strand = &ending.strand;
        if self.at(strand)? != At::Worked {
            return self.cannot(&format!("cut {strand}"), strand);
        }
        self.hang(ending, End::End, self.row, self.done())?;
        self.strands.remove(strand);
        self.cut.insert(strand.clone());
        self.now.cut.push((self.done(), strand.clone()));
        Ok(())
    }

    fn full(&self) -> Result<(), String> {
        if self.row > 0 && self.done() != self.columns {
            return Err(format!("it has {} stitches, not {}", self.done(), self.columns));
        }
        Ok(())
    }

    /// The turning chain, or the foundation chain.
    fn turn(&mut self, strand: &str) -> Result<(), String> {
        self.full()?;
        let in_hand = |at: At| matches!(at, At::Hand(_) | At::Worked);
        if !in_hand(self.at(strand)?) {
            return self.cannot(&format!("make a chain with {strand}"), strand);
        }
        for (other, &at) in &self.strands {
            let fine = match at {
                At::Hand(_) | At::Worked => other == strand,
                At::Carried { .. } => false,
                At::Waits { row, .. } => row == self.row,
            };
            if !fine {
                return Err(format!("at the end of the row {other} {}", self.whereabouts(at)));
            }
        }
        self.strands.insert(strand.into(), At::Hand(Brought::Turned));
        self.end_row(false)
    }

    /// Looks at the tails that lay in this row and goes on to the next.
    fn end_row(&mut self, last: bool) -> Result<(), String> {
        let row = self.row;
        let (ended, hanging): (BTreeMap<_, _>, _) =
            std::mem::take(&mut self.hanging).into_iter().partition(|(_, tail)| tail.row == row || last);
        self.hanging = hanging;
        for (key, tail) in ended {
            self.tails.push(judged(key, tail, row)?);
        }
        self.row += 1;
        self.drawn = std::mem::take(&mut self.drawn_next);
        let next = std::mem::replace(&mut self.next, WorkedRow::new(self.row + 1));
        let done = std::mem::replace(&mut self.now, next);
        if row > 0 {
            self.rows.push(done);
        }
        Ok(())
    }
}

/// Whether a tail was worked over as far as it goes: in one line from its place (or up to its
/// join), where only the stitches that the text calls missing may be left out.
fn judged((strand, end): (String, End), tail: Tail, row: usize) -> Result<WorkedTail, String> {
    let name = inside_name(&strand, Some(end));
    let reach = tail.over.len() + tail.short;
    let mut laid_in = false;
    if let Some(joined) = tail.laid_in {
        laid_in = true;
        let joined = joined.ok_or_else(|| format!("{strand} is laid in but not joined"))?;
        if tail.over.first() != Some(&tail.place) {
            return Err(format!("{name} is laid in where no stitch is worked over it"));
        }
        if joined - tail.place > reach {
            return Err(format!("{name} does not end at the join"));
        }
    } else if tail.waits && tail.over.is_empty() {
        return Err(format!("{name} waits for row {} and is not worked over", tail.row));
    } else if tail.over.iter().any(|&at| at < tail.place || at >= tail.place + reach) {
        return Err(format!("{name} is worked over away from where it hangs, in row {row}"));
    }
    Ok(WorkedTail {
        strand,
        end,
        laid_in,
        waits_for: tail.waits.then_some(tail.row),
        short: tail.short,
        over: (tail.row, tail.over),
    })
}

fn inside_name(strand: &str, end: Option<End>) -> String {
    match end {
        None => strand.into(),
        Some(End::Start) => format!("{strand} start tail"),
        Some(End::End) => format!("{strand} end tail"),
    }
}
