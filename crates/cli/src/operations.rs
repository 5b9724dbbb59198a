//! The operations of `alter`, from a person's words.
//!
//! Columns count from 1 at the chart's left, rows from 1 at its bottom, as people count them;
//! [`edits`] counts from 0.

use edits::{Done, Edit, EditError, FramePlace, Mirrored, Offset, Place, Region, Shape, Stitches, Within};
use model::{Chart, Yarn};

use crate::failure::Failure;
use crate::usage::Slip;
use crate::yarn_names::{called, in_list, on_chart};

/// What is understood, each by its first word.
const FORMS: [&str; 20] = [
    "clean N [in AREA]",
    "smooth [in AREA]",
    "background TOLERANCE [YARN]",
    "replace A B [in AREA | in row N]",
    "exchange A B [in AREA]",
    "merge A B",
    "drop A [for B]",
    "move AREA to X,Y leave YARN",
    "copy AREA to X,Y",
    "mirror sideways|upside-down [in AREA]",
    "repeat AREA [drop N | shift N]",
    "shape oval|heart|round:N YARN [in AREA]",
    "frame SxR YARN [over]",
    "edges L,R,B,T YARN",
    "rows +N|-N at Y",
    "columns +N|-N at X",
    "enlarge N",
    "box AREA YARN [outline N]",
    "oval AREA YARN [outline N]",
    "line X,Y to X,Y YARN [width N]",
];
/// As [`FORMS`]; apart from them only because it is the last.
const FLOOD: &str = "flood X,Y YARN";

/// What each does, for the help.
const MEANT: [&str; 21] = [
    "give areas of fewer than N stitches to the yarn around them",
    "smooth outlines; lines one stitch wide stay",
    "make the background one yarn, from the edges on; TOLERANCE 0 to 100, about 10 for shades of it",
    "make stitches of yarn A stitches of yarn B",
    "let two yarns change places",
    "replace A by B and take A out of the chart's yarns",
    "take A out of the yarns; B gets its stitches",
    "move an area; its lower left stitch goes to column X, row Y",
    "the same, and the area stays as well",
    "turn it over",
    "fill the chart with copies; each next column N rows lower, or each next row N stitches to the right",
    "all outside the shape becomes that yarn; round:N is a rectangle with corners of radius N",
    "a plain frame of S stitches and R rows, around the chart or over its edge",
    "stitches and rows more (below 0: fewer) at left, right, bottom, top",
    "add N rows that become rows Y and on, like the one below; or take out rows Y and on",
    "the same with columns",
    "make each stitch a square of N by N",
    "a rectangle, filled or an outline N stitches wide",
    "the same with an oval",
    "a straight line",
    "fill the area of one yarn around a stitch",
];

/// All that is understood, for the help.
pub(crate) fn understood() -> String {
    let mut text = "Operations:\n".to_owned();
    for (form, meant) in forms().zip(MEANT) {
        text += &format!("  {form}\n      {meant}\n");
    }
    text += "\nAREA is X,Y,WxH: the column and row of its lower left stitch, its stitches and its rows. Columns count \
             from 1 at the chart's left, rows from 1 at its bottom. A yarn is named by its key, its symbol or its \
             name, in quotation marks where that has spaces; with --yarns also one of the list.";
    text
}

fn forms() -> impl Iterator<Item = &'static str> {
    FORMS.into_iter().chain([FLOOD])
}

fn first_word(form: &str) -> &str {
    form.split(' ').next().unwrap_or_default()
}

/// What an operation has made of a chart.
pub(crate) struct Altered {
    /// Its name for documents.
    pub(crate) name: &'static str,
    pub(crate) chart: Chart,
    pub(crate) stitches: Stitches,
}

/// Carries out an operation. A yarn that is not on the chart is taken from the list.
pub(crate) fn carried_out(operation: &str, chart: &Chart, list: &[Yarn]) -> Result<Altered, Failure> {
    let mut words = Words::new(operation, chart, list)?;
    let edit = words.edit()?;
    if let Some(more) = words.next() {
        return Err(words.slip(format!("{more:?} is one too many")));
    }
    let mut changed = chart.clone();
    for yarn in &words.added {
        let done = edits::apply(&changed, &Edit::AddYarn(yarn.clone()));
        changed = after(&changed, done.map_err(|error| words.refused(&changed, &error))?)
            .map_err(|what| words.unfit(what))?;
    }
    let (columns, rows) =
        edits::size_after(&changed, &edit).map_err(|error| words.refused(&changed, &error))?;
    if columns.saturating_mul(rows) > formats::MAX_CELLS {
        let what = format!(
            "a chart of {columns} stitches by {rows} rows is too large, {} stitches are the most",
            formats::MAX_CELLS
        );
        return Err(words.unfit(Slip::new(what, "add fewer, or cut some off first")));
    }
    let done = edits::apply(&changed, &edit).map_err(|error| words.refused(&changed, &error))?;
    let stitches = done.stitches();
    let chart = after(&changed, done).map_err(|what| words.unfit(what))?;
    Ok(Altered { name: edit.name(), chart, stitches })
}

/// A chart with what was done to it.
fn after(chart: &Chart, done: Done) -> Result<Chart, Slip> {
    let made = match done {
        Done::Cells(cells) => chart.with_cells(&cells),
        Done::Palette(palette) => {
            let cells: Vec<u8> =
                chart.row_indices().flat_map(|row| chart.row(row)).map(|cell| cell.as_u8()).collect();
            Chart::new(palette, chart.rows(), chart.columns(), &cells)
        }
        Done::Chart { chart, .. } => Ok(chart),
    };
    made.map_err(|error| Slip::new(error, "leave this operation out"))
}

/// The words of one operation, read from the first to the last.
struct Words<'a> {
    operation: &'a str,
    form: &'static str,
    words: Vec<String>,
    at: usize,
    chart: &'a Chart,
    list: &'a [Yarn],
    /// Yarns of the list that come to the chart's.
    added: Vec<Yarn>,
}

impl<'a> Words<'a> {
    fn new(operation: &'a str, chart: &'a Chart, list: &'a [Yarn]) -> Result<Self, Failure> {
        let words = split(operation);
        let name = words.first().map(|word| word.to_lowercase()).unwrap_or_default();
        let Some(form) = forms().find(|form| first_word(form) == name) else {
            let names: Vec<&str> = forms().map(first_word).collect();
            let what = if name.is_empty() {
                "no operation is given".to_owned()
            } else {
                format!("there is no operation {name:?}")
            };
            let hint = format!("there are {}; `strandwright alter --help` tells more", names.join(", "));
            return Err(Failure::usage(what, place(operation), hint));
        };
        Ok(Self { operation, form, words, at: 1, chart, list, added: Vec::new() })
    }

    fn edit(&mut self) -> Result<Edit, Failure> {
        Ok(match first_word(self.form) {
            "clean" => Edit::Clean { below: self.number("N")?, region: self.within()? },
            "smooth" => Edit::Smooth { region: self.within()? },
            "background" => {
                let tolerance = self.parsed("TOLERANCE")?;
                let yarn = if self.peek().is_some() { Some(self.yarn("YARN")?) } else { None };
                Edit::Background { yarn, tolerance, like: None }
            }
            "replace" => {
                let (from, to) = (self.yarn("A")?, self.yarn("B")?);
                Edit::Replace { from, to, within: self.within_or_row()? }
            }
            "exchange" => {
                Edit::Exchange { one: self.yarn("A")?, other: self.yarn("B")?, region: self.within()? }
            }
            "merge" => Edit::Merge { from: self.yarn("A")?, to: self.yarn("B")? },
            "drop" => {
                let index = self.yarn("A")?;
                let instead = if self.has("for") { Some(self.yarn("B")?) } else { None };
                Edit::DropYarn { index, instead }
            }
            "move" => {
                let region = self.area()?;
                let to = self.target()?;
                self.needs("leave")?;
                Edit::Move { region, to, yarn: self.yarn("YARN")? }
            }
            "copy" => Edit::Copy { region: self.area()?, to: self.target()? },
            "mirror" => {
                let way = match self.word("sideways or upside-down")?.to_lowercase().as_str() {
                    "sideways" => Mirrored::Sideways,
                    "upside-down" => Mirrored::UpsideDown,
                    other => return Err(self.slip(format!("{other:?} is neither sideways nor upside-down"))),
                };
                Edit::Mirror { region: self.within()?, way }
            }
            "repeat" => {
                let region = self.area()?;
                let offset = if self.has("drop") {
                    Offset::Drop(self.number("N")?)
                } else if self.has("shift") {
                    Offset::Shift(self.number("N")?)
                } else {
                    Offset::None
                };
                Edit::Repeat { region, offset }
            }
            "shape" => {
                Edit::CropToShape { shape: self.shape()?, yarn: self.yarn("YARN")?, region: self.within()? }
            }
            "frame" => {
                let size = self.word("SxR")?;
                let pair =
                    size.split_once(['x', 'X', '×']).and_then(|(s, r)| s.parse().ok().zip(r.parse().ok()));
                let (stitches, rows) =
                    pair.ok_or_else(|| self.slip(format!("{size:?} is not stitches x rows")))?;
                let yarn = self.yarn("YARN")?;
                let place = if self.has("over") { FramePlace::Over } else { FramePlace::Round };
                Edit::Frame { stitches, rows, yarn, place }
            }
            "edges" => {
                let text = self.word("L,R,B,T")?;
                let numbers: Vec<Option<i64>> =
                    text.split(',').map(|number| number.trim().parse().ok()).collect();
                let [Some(left), Some(right), Some(bottom), Some(top)] = numbers[..] else {
                    return Err(self.slip(format!("{text:?} is not four whole numbers with commas between")));
                };
                Edit::Resize { left, right, bottom, top, yarn: self.yarn("YARN")? }
            }
            "rows" => {
                let (more, at) = self.lines("row", self.chart.rows())?;
                match more {
                    More::Added(count) => Edit::InsertRows { at, count, yarn: None },
                    More::Removed(count) => Edit::DeleteRows { at, count },
                }
            }
            "columns" => {
                let (more, at) = self.lines("column", self.chart.columns())?;
                match more {
                    More::Added(count) => Edit::InsertColumns { at, count, yarn: None },
                    More::Removed(count) => Edit::DeleteColumns { at, count },
                }
            }
            "enlarge" => Edit::Enlarge { by: self.number("N")? },
            "box" => Edit::Rectangle {
                region: self.area()?,
                yarn: self.yarn("YARN")?,
                outline: self.optional("outline")?,
            },
            "oval" => Edit::Ellipse {
                region: self.area()?,
                yarn: self.yarn("YARN")?,
                outline: self.optional("outline")?,
            },
            "line" => {
                let from = self.place()?;
                self.needs("to")?;
                let (to, yarn) = (self.place()?, self.yarn("YARN")?);
                Edit::Line { from, to, yarn, width: self.optional("width")?.unwrap_or(1) }
            }
            _ => Edit::Flood { at: self.place()?, yarn: self.yarn("YARN")? },
        })
    }

    fn peek(&self) -> Option<&str> {
        self.words.get(self.at).map(String::as_str)
    }

    fn next(&mut self) -> Option<String> {
        let word = self.words.get(self.at).cloned();
        self.at += 1;
        word
    }

    fn word(&mut self, part: &str) -> Result<String, Failure> {
        self.next().ok_or_else(|| self.slip(format!("{part} is missing")))
    }

    /// Whether the next word is that one, which is then passed.
    fn has(&mut self, word: &str) -> bool {
        let is_there = self.peek().is_some_and(|next| next.eq_ignore_ascii_case(word));
        self.at += usize::from(is_there);
        is_there
    }

    fn needs(&mut self, word: &str) -> Result<(), Failure> {
        if self.has(word) {
            return Ok(());
        }
        let found = self.peek().map_or_else(String::new, |found| format!(" before {found:?}"));
        Err(self.slip(format!("the word {word:?} is missing{found}")))
    }

    fn parsed<N: core::str::FromStr>(&mut self, part: &str) -> Result<N, Failure> {
        let word = self.word(part)?;
        word.parse().map_err(|_| self.slip(format!("{word:?} is no number for {part}")))
    }

    fn number(&mut self, part: &str) -> Result<usize, Failure> {
        self.parsed(part)
    }

    /// A number behind a word that may be left out.
    fn optional(&mut self, word: &str) -> Result<Option<usize>, Failure> {
        if self.has(word) { self.number("N").map(Some) } else { Ok(None) }
    }

    /// A yarn's entry in the palette, those that are added included.
    fn yarn(&mut self, part: &str) -> Result<usize, Failure> {
        let named = self.word(part)?;
        let slip = match on_chart(self.chart.palette(), &named) {
            Ok(yarn) => return Ok(yarn.index()),
            Err(slip) => slip,
        };
        let Ok(at) = in_list(self.list, &named, "--yarns") else {
            let hint = format!("{}; other yarns come from a list given with --yarns", slip.hint);
            return Err(self.unfit(Slip::new(slip.what, hint)));
        };
        let yarn = &self.list[at];
        let entries = self.chart.palette().len();
        if let Some(at) = self.added.iter().position(|added| added == yarn) {
            return Ok(entries + at);
        }
        self.added.push(yarn.clone());
        Ok(entries + self.added.len() - 1)
    }

    /// `in AREA`, which may be left out.
    fn within(&mut self) -> Result<Option<Region>, Failure> {
        if self.has("in") { self.area().map(Some) } else { Ok(None) }
    }

    fn within_or_row(&mut self) -> Result<Within, Failure> {
        if !self.has("in") {
            return Ok(Within::Everywhere);
        }
        if !self.has("row") {
            return self.area().map(Within::Region);
        }
        let row: usize = self.number("N")?;
        match row.checked_sub(1).filter(|&at| at < self.chart.rows()) {
            Some(at) => Ok(Within::Row(at)),
            None => Err(self.outside(format!("there is no row {row}"))),
        }
    }

    fn area(&mut self) -> Result<Region, Failure> {
        let text = self.word("AREA")?;
        let numbers = || -> Option<[usize; 4]> {
            let (x, rest) = text.split_once(',')?;
            let (y, size) = rest.split_once(',')?;
            let (w, h) = size.split_once(['x', 'X', '×'])?;
            Some([x.parse().ok()?, y.parse().ok()?, w.parse().ok()?, h.parse().ok()?])
        };
        let Some([x, y, columns, rows]) = numbers() else {
            return Err(self.slip(format!("{text:?} is no area, X,Y,WxH is")));
        };
        let within = |from: usize, count: usize, side: usize| {
            from > 0 && count > 0 && from.checked_add(count - 1).is_some_and(|last| last <= side)
        };
        if !within(x, columns, self.chart.columns()) || !within(y, rows, self.chart.rows()) {
            return Err(self.outside(format!("the area {text} is not all on the chart")));
        }
        Ok(Region { column: x - 1, row: y - 1, columns, rows })
    }

    /// A stitch of the chart.
    fn place(&mut self) -> Result<Place, Failure> {
        let text = self.word("X,Y")?;
        let Some((x, y)) = text.split_once(',').and_then(|(x, y)| x.parse().ok().zip(y.parse().ok())) else {
            return Err(self.slip(format!("{text:?} is no place, X,Y is")));
        };
        let (columns, rows): (usize, usize) = (self.chart.columns(), self.chart.rows());
        if (1..=columns).contains(&x) && (1..=rows).contains(&y) {
            return Ok((x - 1, y - 1));
        }
        Err(self.outside(format!("the stitch {text} is not on the chart")))
    }

    /// `to X,Y`, which may lie outside.
    fn target(&mut self) -> Result<(i64, i64), Failure> {
        self.needs("to")?;
        let text = self.word("X,Y")?;
        let pair = text.split_once(',').and_then(|(x, y)| x.parse().ok().zip(y.parse().ok()));
        let (x, y): (i64, i64) = pair.ok_or_else(|| self.slip(format!("{text:?} is no place, X,Y is")))?;
        Ok((x.saturating_sub(1), y.saturating_sub(1)))
    }

    fn shape(&mut self) -> Result<Shape, Failure> {
        let word = self.word("the shape")?.to_lowercase();
        match word.as_str() {
            "oval" => Ok(Shape::Ellipse),
            "heart" => Ok(Shape::Heart),
            _ => match word.strip_prefix("round:").and_then(|radius| radius.parse().ok()) {
                Some(radius) => Ok(Shape::RoundedRectangle { radius }),
                None => Err(self.slip(format!("{word:?} is no shape, oval, heart and round:N are"))),
            },
        }
    }

    /// `+N at Y` or `-N at Y`: how many, and from which on, from 0.
    fn lines(&mut self, line: &str, there: usize) -> Result<(More, usize), Failure> {
        let word = self.word("+N or -N")?;
        let more = match (word.strip_prefix('+'), word.strip_prefix(['-', '−'])) {
            (Some(count), _) => count.parse().ok().map(More::Added),
            (_, Some(count)) => count.parse().ok().map(More::Removed),
            _ => None,
        };
        let more = more.ok_or_else(|| self.slip(format!("{word:?} is no number with + or - before it")))?;
        self.needs("at")?;
        let at: usize = self.number("the place")?;
        let last = match more {
            // New ones may come behind the last.
            More::Added(_) => there + 1,
            More::Removed(count) => there.saturating_sub(count.max(1) - 1),
        };
        if at == 0 || at > last {
            return Err(self.outside(match more {
                More::Removed(count) if count > 1 => {
                    format!("there are no {count} {line}s from {line} {at} on")
                }
                _ => format!("there is no {line} {at}"),
            }));
        }
        Ok((more, at - 1))
    }

    /// Not understood.
    fn slip(&self, what: String) -> Failure {
        Failure::usage(what, place(self.operation), format!("write it as: {}", self.form))
    }

    /// Understood, but the chart is another.
    fn unfit(&self, slip: Slip) -> Failure {
        Failure::input(slip.what, place(self.operation), slip.hint)
    }

    fn outside(&self, what: String) -> Failure {
        let (columns, rows) = (self.chart.columns(), self.chart.rows());
        let hint =
            format!("columns run from 1 at the left to {columns}, rows from 1 at the bottom to {rows}");
        self.unfit(Slip::new(what, hint))
    }

    fn refused(&self, chart: &Chart, error: &EditError) -> Failure {
        let what = match error {
            EditError::InUse { entry, stitches } => {
                let yarn = chart.palette().yarns().get(*entry).map_or("this yarn", called);
                format!("{yarn} makes {stitches} stitches")
            }
            error => error.to_string(),
        };
        let hint = match error {
            EditError::InUse { .. } => "say which yarn takes them: drop A for B",
            error => error.hint(),
        };
        self.unfit(Slip::new(what, hint))
    }
}

enum More {
    Added(usize),
    Removed(usize),
}

fn place(operation: &str) -> String {
    format!("--do \"{operation}\"")
}

/// Words with spaces between; what stands in quotation marks is one.
fn split(text: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), None::<String>, false);
    for letter in text.chars() {
        match letter {
            '"' | '“' | '”' | '\'' => {
                quoted = !quoted;
                word.get_or_insert_default();
            }
            space if space.is_whitespace() && !quoted => words.extend(word.take()),
            letter => word.get_or_insert_default().push(letter),
        }
    }
    words.extend(word);
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Palette, Srgb};

    /// Four columns by three rows of A, with B at the lower left corner.
    fn chart() -> Chart {
        let yarns = [("oat", "Oat"), ("night", "Night sky")];
        let yarns = yarns.map(|(key, name)| Yarn::plain(key, name, Srgb::new(0, 0, 0)));
        Chart::new(Palette::new(yarns.to_vec()).unwrap(), 3, 4, &[1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0])
            .unwrap()
    }

    /// The chart as letters, the top row first.
    fn done(operation: &str) -> String {
        let list = [Yarn::plain("rust", "Rust", Srgb::new(9, 0, 0))];
        let chart =
            carried_out(operation, &chart(), &list).unwrap_or_else(|failure| panic!("{failure:?}")).chart;
        let rows = chart
            .row_indices()
            .rev()
            .map(|row| chart.row(row).iter().map(|&yarn| chart.palette().symbol(yarn)).collect::<String>());
        rows.collect::<Vec<_>>().join(" ")
    }

    /// All by hand.
    #[test]
    fn every_form_is_understood() {
        for (operation, wanted) in [
            ("clean 2", "AAAA AAAA AAAA"),
            ("clean 2 in 2,1,3x3", "AAAA AAAA BAAA"),
            ("smooth", "AAAA AAAA AAAA"),
            ("background 0 night", "BBBB BBBB BBBB"),
            ("background 0", "AAAA AAAA AAAA"),
            ("replace oat \"Night sky\" in row 2", "AAAA BBBB BAAA"),
            ("replace A B in 3,2,2x2", "AABB AABB BAAA"),
            ("replace B A", "AAAA AAAA AAAA"),
            ("exchange A B", "BBBB BBBB ABBB"),
            ("exchange A B in 1,1,2x1", "AAAA AAAA ABAA"),
            ("merge night oat", "AAAA AAAA AAAA"),
            ("drop oat for night", "AAAA AAAA AAAA"),
            ("move 1,1,1x1 to 4,3 leave oat", "AAAB AAAA AAAA"),
            ("copy 1,1,2x1 to 4,3", "AAAB AAAA BAAA"),
            ("mirror sideways", "AAAA AAAA AAAB"),
            ("mirror upside-down in 1,1,2x2", "AAAA BAAA AAAA"),
            ("repeat 1,1,2x1", "BABA BABA BABA"),
            ("repeat 1,1,2x1 shift 1", "BABA ABAB BABA"),
            ("repeat 1,1,2x2 drop 1", "BAAA AABA BAAA"),
            ("shape round:9 rust in 2,1,3x3", "CAAA CAAA CAAA"),
            ("frame 1x0 night", "BAAAAB BAAAAB BBAAAB"),
            ("frame 1x1 rust over", "CCCC CAAC CCCC"),
            ("edges 1,-1,0,-2 rust", "CBAA"),
            ("rows +1 at 2", "AAAA AAAA BAAA BAAA"),
            ("rows +1 at 4", "AAAA AAAA AAAA BAAA"),
            ("rows -2 at 2", "BAAA"),
            ("columns +1 at 1", "AAAAA AAAAA BBAAA"),
            ("columns -3 at 2", "A A B"),
            ("enlarge 1", "AAAA AAAA BAAA"),
            ("box 2,1,3x3 B", "ABBB ABBB BBBB"),
            ("box 2,1,3x3 B outline 1", "ABBB ABAB BBBB"),
            ("oval 2,1,3x3 B outline 1", "ABBB ABAB BBBB"),
            ("line 1,1 to 4,1 B", "AAAA AAAA BBBB"),
            ("LINE 1,3 TO 4,3 rust width 2", "CCCC CCCC BAAA"),
            ("flood 3,3 B", "BBBB BBBB BBBB"),
        ] {
            assert_eq!(done(operation), wanted, "{operation}");
        }
    }

    #[test]
    fn the_help_tells_each_form_once() {
        let text = understood();
        for form in forms() {
            assert_eq!(text.matches(&format!("\n  {form}\n")).count(), 1, "{form}");
        }
    }

    #[test]
    fn what_is_not_understood_is_named() {
        let told = |operation: &str| {
            let failure = carried_out(operation, &chart(), &[]).err().unwrap();
            let fault = &failure.faults[0];
            assert_eq!(fault.place, format!("--do \"{operation}\""));
            format!("{} {}: {}", failure.exit as u8, fault.what, fault.hint)
        };
        for (operation, wanted) in [
            ("", "2 no operation is given: there are clean, smooth,"),
            ("polish 3", "2 there is no operation \"polish\": there are clean, smooth,"),
            ("clean", "2 N is missing: write it as: clean N [in AREA]"),
            ("clean few", "2 \"few\" is no number for N"),
            ("clean 1", "3 areas below 1 stitches can't be cleaned, below 2 to 1000 can"),
            ("clean 3 at 1,1,1x1", "2 \"at\" is one too many"),
            ("clean 3 in 1,1", "2 \"1,1\" is no area, X,Y,WxH is"),
            (
                "clean 3 in 2,1,4x3",
                "3 the area 2,1,4x3 is not all on the chart: columns run from 1 at the left to 4",
            ),
            ("clean 3 in 0,1,4x3", "3 the area 0,1,4x3 is not all on the chart"),
            ("clean 3 in 1,1,0x3", "3 the area 1,1,0x3 is not all on the chart"),
            ("replace oat", "2 B is missing"),
            ("replace oat rust", "3 the chart has no yarn \"rust\": it has oat, night"),
            ("replace A B in row 4", "3 there is no row 4"),
            ("merge A A", "3 a yarn can't take its own place"),
            ("drop oat", "3 Oat makes 11 stitches: say which yarn takes them"),
            ("move 1,1,1x1 4,3", "2 the word \"to\" is missing before \"4,3\""),
            ("copy 1,1,1x1 to 9,9", "3 nothing of the region would lie in the chart"),
            ("mirror round", "2 \"round\" is neither sideways nor upside-down"),
            ("shape star oat", "2 \"star\" is no shape, oval, heart and round:N are"),
            ("frame 3 oat", "2 \"3\" is not stitches x rows"),
            ("frame 9000x1 oat", "3 the chart would be too large"),
            ("frame 4000x4000 oat", "3 a chart of 8004 stitches by 8003 rows is too large"),
            ("edges 1,2,3 oat", "2 \"1,2,3\" is not four whole numbers"),
            ("edges -4,0,0,0 oat", "3 no row or no column of the chart would be left"),
            ("rows 3 at 1", "2 \"3\" is no number with + or - before it"),
            ("rows +3 at 5", "3 there is no row 5"),
            ("rows -2 at 3", "3 there are no 2 rows from row 3 on"),
            ("columns -4 at 1", "3 no row or no column of the chart would be left"),
            ("enlarge 0", "3 a chart can't be enlarged by 0"),
            ("line 1,1 to 5,1 oat", "3 the stitch 5,1 is not on the chart"),
            ("flood here oat", "2 \"here\" is no place, X,Y is"),
            ("background 101", "3 101 is no tolerance"),
        ] {
            let told = told(operation);
            assert!(told.starts_with(wanted), "{operation}: {told}");
        }
    }
}
