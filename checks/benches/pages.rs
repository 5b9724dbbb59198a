//! How long the pattern takes on its way to paper, beside planning the same chart in the same run.
//! `cargo bench --bench pages` prints the table. 200 columns × 250 rows in 12 colours, chosen freely
//! from one of the fixtures: the most that the pages are made for.

#![allow(clippy::print_stdout)] // printing is what it is for

use std::env::args;
use std::fs;
use std::time::{Duration, Instant};

use charting::{Area, Limits, average, chart_cells, free_colours, read_picture, unwatched};
use checks::read_back::Case;
use checks::told::with_booklet;
use model::{Chart, Gauge, Hand, Rules, Weights, Yarn, YarnUse};
use pattern::Terms;
use typeset::{Ink, Pages, Paper, Print, Sheet};

const COLUMNS: usize = 200;
const ROWS: usize = 250;
const YARNS: usize = 12;
/// Each is timed so many times; the best counts.
const TAKES: usize = 3;

fn main() {
    // Test runners start benchmarks without this, to see whether there are tests in them.
    if !args().any(|argument| argument == "--bench") {
        return;
    }
    let case = Case::new("coffee".to_owned(), chart(), &rules(&chart()), Terms::Us);
    let (planning, _) = best(|| {
        let gauge = Gauge::new(14.0, 15.0).expect("a gauge");
        planner::plan_on(1, &case.chart, &case.plan.rules, YarnUse::estimate(&gauge), &planner::unwatched)
    });
    println!(
        "{COLUMNS} × {ROWS} stitches, {YARNS} colours, {} strands; best of {TAKES}",
        case.plan.strands.len()
    );
    println!("planning on one thread: {:.0} ms", ms(planning));
    println!("{:<28}{:>7}{:>9}{:>10}{:>12}{:>10}", "paper", "pages", "all ms", "PDF ms", "÷ planning", "MB");
    for (name, paper) in [
        ("A4, colour", Paper { ends: true, tags: true, ..Paper::default() }),
        (
            "A4, black, large",
            Paper { ink: Ink::Black, print: Print::Large, ends: true, tags: true, ..Paper::default() },
        ),
        ("Letter, colour, no lists", Paper { sheet: Sheet::Letter, ..Paper::default() }),
    ] {
        with_booklet(&case, |booklet| {
            let set = || typeset::pages(&booklet, &paper).expect("pages");
            let (setting, pages) = best(set);
            let (writing, pdf) = best(|| Pages::pdf(&pages).expect("a PDF"));
            let all = setting + writing;
            println!(
                "{name:<28}{:>7}{:>9.0}{:>10.0}{:>12.1}{:>10.2}",
                pages.count(),
                ms(all),
                ms(writing),
                all.as_secs_f64() / planning.as_secs_f64(),
                megabytes(pdf.len())
            );
        });
    }
    with_booklet(&case, |booklet| {
        let (taking, page) = best(|| typeset::take_away(&booklet));
        println!(
            "{:<28}{:>7}{:>9.0}{:>10}{:>12.1}{:>10.2}",
            "the page to take away",
            "",
            ms(taking),
            "",
            taking.as_secs_f64() / planning.as_secs_f64(),
            megabytes(page.len())
        );
    });
    println!("all: laying out and writing, one after the other; the bar for the first is 2000 ms and 5 MB.");
}

fn best<T>(mut work: impl FnMut() -> T) -> (Duration, T) {
    let mut timed = || {
        let began = Instant::now();
        let made = work();
        (began.elapsed(), made)
    };
    let mut best = timed();
    for _ in 1..TAKES {
        let next = timed();
        if next.0 < best.0 {
            best = next;
        }
    }
    best
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

#[allow(clippy::cast_precision_loss)] // for show
fn megabytes(bytes: usize) -> f64 {
    bytes as f64 / 1e6
}

fn rules(chart: &Chart) -> Rules {
    Rules::new(chart.palette(), Weights::default(), Hand::Right)
}

fn chart() -> Chart {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../fixtures/coffee.png");
    let bytes = fs::read(path).expect("the fixture");
    let watch = &mut unwatched;
    let picture = read_picture(&bytes, &Limits::default()).expect("a picture").value;
    let whole = Area::whole(picture.width(), picture.height());
    let cells = average(&picture, whole, COLUMNS, ROWS, watch).expect("nobody stops it");
    let colours = free_colours(&cells, YARNS, watch).expect("twelve colours");
    let yarns: Vec<Yarn> =
        colours.into_iter().map(|colour| Yarn::plain(colour.to_string(), "", colour)).collect();
    chart_cells(&cells, &yarns, watch).expect("nobody stops it").0
}
