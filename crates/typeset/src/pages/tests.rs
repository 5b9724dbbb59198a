//! Whole patterns set on paper: that any text can be set, what sizes come of it, and that the PDF is
//! what it claims, as far as its own bytes tell.

use booklet::{
    Booklet, BorderPart, Fact, HowTo, RowEntry, Rows, Section, WindEntry, WindLine, Word, YarnEntry,
};
use model::{
    Chart, Cost, Gauge, Hand, Length, Palette, Plan, PlanCounts, Row, Rules, Srgb, Step, StrandClaim,
    StrandId, Tail, TailLine, Weights, Yarn, YarnUse,
};
use pattern::Move;
use replay::ProvenPlan;
use typst::layout::{Frame, FrameItem};

use super::*;

/// The plainest plan that there is: every run joined and cut, no tail worked over. It costs the joins
/// and the cuts alone.
pub(super) fn proven(chart: Chart, hand: Hand) -> ProvenPlan {
    let weights = Weights { tail: 0, ..Weights::default() };
    let none = Length::ZERO;
    let tail = Tail { line: TailLine::Onward, over: 0 };
    let (mut rows, mut strands, mut at_once) = (Vec::new(), Vec::new(), 0);
    for row in chart.row_indices() {
        let mut steps = Vec::new();
        let runs = chart.runs_in(row, hand);
        at_once = at_once.max(runs.len());
        for run in runs {
            let strand = StrandId(u32::try_from(strands.len()).unwrap());
            steps.push(Step::Join { strand, at: run.entry, tail });
            steps.push(Step::Work { strand, from: run.entry, to: run.exit });
            steps.push(Step::Cut { strand, at: run.exit, tail });
            strands.push(StrandClaim { yarn: run.yarn, length: none });
        }
        rows.push(Row { steps });
    }
    let each = weights.join.thousandths() + weights.cut.thousandths();
    let cost = Cost::from_thousandths(each * i64::try_from(strands.len()).unwrap());
    let used = chart.stitches_by_yarn().into_iter().filter(|&stitches| stitches > 0).count();
    let plan = Plan {
        rules: Rules::new(chart.palette(), weights, hand),
        yarn_use: YarnUse {
            stitch: none,
            chain: none,
            carried: none,
            lift: none,
            tail: none,
            estimated: false,
        },
        rows,
        counts: PlanCounts {
            colours: used,
            runs: strands.len(),
            strands: strands.len(),
            strands_at_once: at_once,
            carried: 0,
            longest_carry: 0,
            cost,
        },
        strands,
        short_tails: Vec::new(),
        bound: Cost::ZERO,
    };
    replay::prove(chart, plan).unwrap_or_else(|violation| panic!("{violation}"))
}

/// A chart of so many yarns, with runs of a few stitches; invented.
pub(super) fn chart(columns: usize, rows: usize, yarns: usize) -> Chart {
    let colour = |at: usize| {
        let part = |by: usize| u8::try_from(at * by % 256).unwrap();
        Srgb::new(part(97), part(57), part(31))
    };
    let yarns: Vec<Yarn> =
        (0..yarns).map(|at| Yarn::plain(format!("y{at}"), format!("Yarn {at}"), colour(at))).collect();
    let count = yarns.len();
    let cell = |at: usize| {
        let (row, column) = (at / columns, at % columns);
        u8::try_from((column / 7 + row / 5 + (column * row) / 41) % count).unwrap()
    };
    let cells: Vec<u8> = (0..rows * columns).map(cell).collect();
    Chart::new(Palette::new(yarns).unwrap(), rows, columns, &cells).unwrap()
}

/// A booklet on a plan in which all that a person types says that.
fn booklet<'a>(proven: &'a ProvenPlan, typed: &str) -> Booklet<'a> {
    let typed = typed.to_owned();
    let palette = proven.chart().palette();
    let says = |said: &str| vec![said.to_owned()];
    let line =
        |label: &str| WindLine { label: label.into(), length: "2.4 m".into(), joins_at: 1, ends_at: 3 };
    let row = |number: usize| RowEntry {
        first: number,
        last: number,
        name: format!("Row {number} ({})", if number % 2 == 1 { "RS ←" } else { "WS →" }),
        lines: vec![
            "12 sc A1; join B1; 3 sc B1 over A1 + B1 start tail; 5 sc A1 over B1;".into(),
            "(20 made) 9 sc A1 over B1; drop B1; 4 sc A1; ch 1 with A1, turn.".into(),
        ],
    };
    Booklet {
        proven,
        gauge: Gauge::new(14.0, 15.0).unwrap(),
        title: typed.clone(),
        by: typed.clone(),
        note: typed.clone(),
        subtitle: "Some stitches by some rows".into(),
        facts: vec![Fact { name: "Yarn".into(), value: typed.clone() }],
        yarns: palette
            .indices()
            .map(|yarn| YarnEntry {
                kind: "medium (4)".to_owned(),
                symbol: palette.symbol(yarn),
                name: typed.clone(),
                colour: palette.yarn(yarn).colour,
                stitches: "4,112".into(),
                strands: "12".into(),
                length: "318.4 m".into(),
                weight: "150 g".into(),
                balls: "3 (2 on hand, buy 1)".into(),
            })
            .collect(),
        gauge_says: says("14 stitches and 15 rows in 10 cm."),
        how_to: HowTo {
            chart_on_paper: Vec::new(),
            rows_on_paper: Vec::new(),
            chart: says("A cell is a stitch."),
            rows: says("A row is a list of things to do."),
            words: [Move::Join, Move::Carry, Move::DrawBack, Move::Drop, Move::Lift, Move::Cut]
                .map(|step| Word { words: format!("{step:?} B1"), means: "Do it.".into(), draws: Some(step) })
                .into(),
            all_along: says("Read one step ahead."),
        },
        rows: Rows {
            strands: vec![format!("A  {typed} (3 strands, A1 to A3)")],
            foundation: "Foundation: join A1; ch 13 with A1.".into(),
            rows: (1..=proven.chart().rows()).map(row).collect(),
        },
        winding: vec![
            WindEntry { symbol: "A".into(), what: format!("A1 {typed}"), strands: vec![line("A1")] },
            WindEntry { symbol: "Z".into(), what: typed.clone(), strands: vec![line("B1"), line("B2")] },
        ],
        tags: (1..8).map(|number| (format!("A{number}"), typed.clone())).collect(),
        ends: (1..40).map(|row| format!("Row {row}: the start of A1 of {typed}")).collect(),
        border: Some(BorderPart {
            heading: says("Pick up along the sides."),
            rounds: vec![Section { title: "Round 1".into(), says: says("1 sc in each stitch.") }],
            lies: says("It lies flat."),
        }),
        closing: vec![Section { title: "Whose picture".into(), says: vec![typed] }],
    }
}

/// All sheets, inks and prints, and one paper without what need not be printed.
fn all_papers() -> Vec<Paper> {
    let mut all = vec![Paper::default()];
    for sheet in [Sheet::A4, Sheet::Letter] {
        for ink in [Ink::Colour, Ink::Black] {
            for print in [Print::Usual, Print::Large] {
                all.push(Paper { sheet, ink, print, ends: true, tags: true });
            }
        }
    }
    all
}

const FULL: Paper = Paper { sheet: Sheet::A4, ink: Ink::Colour, print: Print::Usual, ends: true, tags: true };

fn set(booklet: &Booklet<'_>, paper: &Paper) -> Pages {
    pages(booklet, paper).unwrap_or_else(|error| panic!("{error}"))
}

fn printed(booklet: &Booklet<'_>, paper: &Paper) -> Vec<u8> {
    set(booklet, paper).pdf().unwrap_or_else(|error| panic!("{error}"))
}

/// Texts of the pages, with their size in points.
fn texts(pages: &Pages) -> Vec<(String, f64)> {
    fn walk(frame: &Frame, found: &mut Vec<(String, f64)>) {
        for (_, item) in frame.items() {
            match item {
                FrameItem::Group(group) => walk(&group.frame, found),
                FrameItem::Text(text) => found.push((text.text.to_string(), text.size.to_pt())),
                _ => {}
            }
        }
    }
    let mut found = Vec::new();
    pages.document.pages().iter().for_each(|page| walk(&page.frame, &mut found));
    found
}

/// All text of the pages, one piece after the other, without spaces.
fn said(pages: &Pages) -> String {
    let squeeze = |(text, _): (String, f64)| text.replace([' ', '\u{200b}'], "");
    texts(pages).into_iter().map(squeeze).collect()
}

fn holds(bytes: &[u8], part: &str) -> bool {
    bytes.windows(part.len()).any(|window| window == part.as_bytes())
}

/// Source: ISO 32000-1 (header) and ISO 14289-1 (PDF/UA identification in the metadata), from memory.
#[test]
fn every_paper_gives_a_pdf_that_claims_ua() {
    let proven = proven(chart(30, 24, 3), Hand::Right);
    let booklet = booklet(&proven, "Harbour");
    for paper in all_papers() {
        let pages = set(&booklet, &paper);
        let pdf = pages.pdf().unwrap_or_else(|error| panic!("{paper:?}: {error}"));
        assert!(pdf.starts_with(b"%PDF-1."), "{paper:?}");
        assert!(holds(&pdf, "pdfuaid:part") && holds(&pdf, "Harbour"), "{paper:?}");
        let said = said(&pages);
        for (heading, there) in [
            ("Yarnsandkey", true),
            ("Rowsinwords", true),
            ("Tagsforthestrands", paper.tags),
            ("Endstoweavein", paper.ends),
        ] {
            assert_eq!(said.contains(heading), there, "{paper:?}: {heading}");
        }
    }
}

#[test]
fn nothing_is_smaller_than_the_print_promises() {
    let proven = proven(chart(60, 50, 5), Hand::Left);
    let booklet = booklet(&proven, "Harbour");
    for paper in [FULL, Paper { print: Print::Large, ..FULL }] {
        let least = if paper.print == Print::Large { 16.0 } else { 10.0 };
        for (text, size) in texts(&set(&booklet, &paper)) {
            assert!(size >= least - 1e-6, "{text:?} at {size} pt on {paper:?}");
        }
    }
}

/// The rows come out as they went in, in order, each piece of text whole.
#[test]
fn rows_are_set_word_for_word_and_in_order() {
    let proven = proven(chart(30, 12, 3), Hand::Right);
    let booklet = booklet(&proven, "Harbour");
    let said = said(&set(&booklet, &FULL));
    let mut rest = said.split_once("Foundation:joinA1;ch13withA1.").expect("the foundation").1;
    for row in &booklet.rows.rows {
        for words in core::iter::once(format!("{}:", row.name)).chain(row.lines.clone()) {
            let words = words.replace(' ', "");
            let at = rest.find(&words).unwrap_or_else(|| panic!("{words} in {rest}"));
            // Between two pieces of rows stands nothing but the foot of a page.
            assert!(at == 0 || rest.starts_with("Page"), "{}", &rest[..at]);
            rest = &rest[at + words.len()..];
        }
    }
}

/// Markup, right-to-left text, pictographs, control characters, ten thousand letters: nothing of it is
/// read as markup, nothing stops the press.
#[test]
fn whatever_a_person_types_is_only_text() {
    let proven = proven(chart(12, 10, 2), Hand::Right);
    let hostile = [
        "#let x = 1; #panic(\"no\") #read(\"/etc/passwd\") #import \"@preview/a:1.0.0\"".to_owned(),
        "$ x^2 $ *bold* _em_ `raw` [content] <label> @ref // comment /* more */ \\ = Heading".to_owned(),
        "<svg onload=\"x\"/> & ]]> <!-- --> &amp; '\"".to_owned(),
        "שמיכה لوحة 毛布 \u{202e}desrever\u{202c} 🧶🧶".to_owned(),
        (0..=0x9f).filter_map(char::from_u32).collect(),
        "\u{feff}\u{fffe}\u{ffff}\u{fff9}\u{e000}\u{10ffff}".to_owned(),
        "a".repeat(10_000),
        "W ".repeat(5_000),
        "#".repeat(10_000),
        format!("o{}", "\u{301}\u{323}".repeat(5_000)),
        String::new(),
        " \n\t\u{2028}".to_owned(),
    ];
    for text in hostile {
        let booklet = booklet(&proven, &text);
        let beginning: String = text.chars().take(40).collect();
        for print in [Print::Usual, Print::Large] {
            let pages = set(&booklet, &Paper { print, ..FULL });
            assert!(pages.count() < 80, "{beginning:?}: {} pages", pages.count());
            pages.pdf().unwrap_or_else(|error| panic!("{beginning:?}: {error}"));
        }
    }
    let markup = "#let *x* = $1$ \\ [y] <z>";
    let said = said(&set(&booklet(&proven, markup), &FULL));
    assert!(said.contains(&markup.replace(' ', "")), "{said}");
}

/// The foot of every page has one form, whatever the title.
#[test]
fn every_page_has_its_number_at_the_foot() {
    let proven = proven(chart(12, 10, 2), Hand::Right);
    for title in ["Harbour", &"long ".repeat(2_000), "Page 3 of 4 · Row 1 (RS ←):"] {
        let pages = set(&booklet(&proven, title), &FULL);
        let texts = texts(&pages);
        for page in 1..=pages.count() {
            let number = format!("Page {page} of {} · ", pages.count());
            let feet = texts.iter().filter(|(text, _)| text.starts_with(&number)).count();
            assert_eq!(feet, 1, "{title:.20}: page {page}");
        }
    }
}

#[test]
fn a_bare_booklet_is_set_too() {
    let proven = proven(chart(1, 1, 1), Hand::Right);
    let bare = Booklet {
        by: String::new(),
        note: String::new(),
        subtitle: String::new(),
        facts: Vec::new(),
        yarns: Vec::new(),
        gauge_says: Vec::new(),
        how_to: HowTo {
            chart_on_paper: Vec::new(),
            rows_on_paper: Vec::new(),
            chart: Vec::new(),
            rows: Vec::new(),
            words: Vec::new(),
            all_along: Vec::new(),
        },
        rows: Rows { strands: Vec::new(), foundation: String::new(), rows: Vec::new() },
        winding: Vec::new(),
        tags: Vec::new(),
        ends: Vec::new(),
        border: None,
        closing: Vec::new(),
        ..booklet(&proven, "One stitch")
    };
    for paper in all_papers() {
        let pages = set(&bare, &paper);
        assert!(pages.count() <= 6, "{paper:?}: {}", pages.count());
        pages.pdf().unwrap_or_else(|error| panic!("{paper:?}: {error}"));
        assert!(!said(&pages).contains("Border"));
    }
}

#[test]
fn the_most_yarns_and_odd_shapes_are_set() {
    let gauge = |stitches, rows| Gauge::new(stitches, rows).unwrap();
    for (columns, rows, yarns, gauge) in [
        (60, 40, model::MAX_YARNS, gauge(14.0, 15.0)),
        (400, 3, 4, gauge(14.0, 15.0)),
        (3, 400, 4, gauge(14.0, 15.0)),
        (40, 40, 3, gauge(3.0, 60.0)),
        (40, 40, 3, gauge(60.0, 3.0)),
    ] {
        let proven = proven(chart(columns, rows, yarns), Hand::Left);
        let booklet = Booklet { gauge, ..booklet(&proven, "Odd") };
        for paper in [FULL, Paper { print: Print::Large, ink: Ink::Black, ..FULL }] {
            printed(&booklet, &paper);
        }
    }
}

#[test]
fn a_chart_that_nobody_prints_is_refused() {
    let proven = proven(
        Chart::new(chart(1, 1, 1).palette().clone(), 3_000, 3_000, &vec![0; 9_000_000]).unwrap(),
        Hand::Right,
    );
    let refused = pages(&booklet(&proven, "Field"), &FULL).expect_err("too large");
    assert!(matches!(refused, PagesError::TooLarge { columns: 3_000, rows: 3_000 }), "{refused}");
    assert_eq!(refused.to_string(), "a chart of 3000 stitches by 3000 rows is too large to print");
}

/// A blanket of 200 by 250 in 12 colours.
#[test]
fn a_large_blanket_comes_on_a_sensible_number_of_pages() {
    let proven = proven(chart(200, 250, 12), Hand::Right);
    let booklet = booklet(&proven, "Harbour");
    for paper in [FULL, Paper { sheet: Sheet::Letter, ink: Ink::Black, ..FULL }] {
        let pages = set(&booklet, &paper);
        let pieces = texts(&pages).iter().filter(|(text, _)| text.starts_with("Chart, piece ")).count();
        assert!((12..=20).contains(&pieces), "{pieces}");
        let pdf = pages.pdf().unwrap();
        assert!(pdf.len() < 5_000_000, "{}", pdf.len());
    }
}

#[test]
fn the_same_booklet_gives_the_same_bytes() {
    let proven = proven(chart(90, 100, 5), Hand::Right);
    let booklet = booklet(&proven, "Harbour");
    let first = printed(&booklet, &FULL);
    assert!(first == printed(&booklet, &FULL));
    let other = Paper { sheet: Sheet::Letter, ..FULL };
    assert!(first != printed(&booklet, &other));
    assert!(!holds(&first, "CreationDate") && !holds(&first, "CreateDate"), "no clock");
}

#[test]
fn a_page_can_be_looked_at() {
    let proven = proven(chart(12, 10, 2), Hand::Right);
    let pages = set(&booklet(&proven, "Harbour & sea"), &FULL);
    for page in 0..pages.count() {
        let svg = pages.preview(page).expect("a page");
        roxmltree::Document::parse(&svg).expect("well-formed");
    }
    assert!(pages.preview(pages.count()).is_none());
}
