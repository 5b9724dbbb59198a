//! How much work easy charts spare: the table of `docs/charting.md`.
//!
//! ```text
//! cargo run --release -p checks --example chart_table [--even] [--list] [FOLDER [PICTURE...]]
//! ```
//!
//! For each picture of `fixtures/` four charts of 120 × 150 stitches in the same eight colours:
//!
//! - **a** nearest: each stitch takes its nearest colour;
//! - **b** majority: **a**, in which each stitch then takes the most frequent colour of the nine
//!   around it, its own where there is no other; once to five times, each a chart by itself;
//! - **c** expansion: α-expansion alone;
//! - **d** ours.
//!
//! Ours keeps what stands out in the picture, at the cost of some error elsewhere; with `--even` every
//! stitch counts alike, which is the very error that the table measures.
//!
//! The eight colours are chosen freely from each picture; with `--list` they are the eight best of the
//! demo's invented yarns.
//!
//! Where a FOLDER is given, sheets of them side by side are written there as PNG.
//!
//! With `--row` in place of the folder it prints instead how long a row of seven charts of 200 × 250
//! stitches in twelve colours takes, and what is in it.

#![allow(clippy::print_stdout, clippy::cast_precision_loss)]

use std::path::{Path, PathBuf};
use std::time::Instant;

use charting::{Area, Cells, Choice, Limits, average, choose, free_colours, read_picture};
use ease::{Count, Ease, Eased, Importance, Look, Task, choices, ease, ease_at, sketch_at};
use model::{Chart, Gauge, Hand, Palette, PlanCounts, RowIndex, Rules, Weights, Yarn, YarnUse};

const COLUMNS: usize = 120;
const ROWS: usize = 150;
const COLOURS: usize = 8;

/// How much more error than **a** a chart may have.
const ROOM: f64 = 1.05;

const PHOTOGRAPHS: [&str; 4] = ["chelsea.png", "coffee.png", "flower.jpg", "mountains.jpg"];

const SKY_AND_DRAWINGS: [&str; 4] = ["hubble_deep_field.jpg", "horse.png", "rooster.png", "rabbit.png"];

/// Never looked at while anything was tuned.
const KEPT_ASIDE: [&str; 6] =
    ["dogs.jpg", "fig.jpg", "china.jpg", "dandelions.jpg", "geranium.png", "grey-cat.png"];

fn main() {
    let mut arguments: Vec<String> = std::env::args().skip(1).collect();
    let mut has = |flag: &str| {
        let at = arguments.iter().position(|argument| argument == flag);
        at.map(|at| arguments.remove(at)).is_some()
    };
    let setting = Setting { is_even: has("--even"), is_list: has("--list") };
    let mut arguments = arguments.into_iter();
    let folder = arguments.next().map(PathBuf::from);
    let wanted: Vec<String> = arguments.collect();
    if folder.as_deref() == Some(Path::new("--row")) {
        wanted.iter().for_each(|name| print_row(name));
        return;
    }
    let is_wanted = |name: &&&str| wanted.is_empty() || wanted.iter().any(|wanted| wanted == **name);
    println!(
        "| picture | chart | mean ΔE00 | from across the room | cost, st | of a | ends | strands at once |"
    );
    println!("|---|---|---:|---:|---:|---:|---:|---:|");
    let mut summaries = Vec::new();
    for (title, names) in [
        ("tuned on, photographs", &PHOTOGRAPHS[..]),
        ("tuned on, night sky and drawings", &SKY_AND_DRAWINGS[..]),
        ("kept aside", &KEPT_ASIDE[..]),
    ] {
        let mut shares = Vec::new();
        for name in names.iter().filter(is_wanted) {
            shares.push(compare(name, setting, folder.as_deref()));
        }
        if !shares.is_empty() {
            summaries.push((title, shares));
        }
    }
    println!(
        "\n| pictures | at 1.05 times the error of a: c of a | d of a | at the error of b: c of b | d of b |"
    );
    println!("|---|---:|---:|---:|---:|");
    let of = |part: &str| {
        let picked = summaries.iter().filter(|(title, _)| title.contains(part));
        picked.flat_map(|(_, shares)| shares.clone()).collect::<Vec<_>>()
    };
    let (tuned, all) = (of("tuned"), of(""));
    summaries.push(("all that were tuned on", tuned));
    summaries.push(("all", all));
    for (title, shares) in summaries.into_iter().filter(|(_, shares)| !shares.is_empty()) {
        print!("| {title}, median |");
        for column in 0..4 {
            let mut values: Vec<f64> = shares.iter().map(|share| share[column]).collect();
            values.sort_by(f64::total_cmp);
            let middle = f64::midpoint(values[(values.len() - 1) / 2], values[values.len() / 2]);
            print!(" {:.1} % |", 100.0 * middle);
        }
        println!();
    }
}

/// Prints how a row of charts to choose from comes about.
fn print_row(name: &str) {
    let cells = cells_of(name, 200, 250);
    let palette = palette_of(&cells, 12);
    let rules = Rules::new(&palette, Weights::default(), Hand::Right);
    let importance = Importance::from_contrast(&cells);
    let yarn_use = YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"));
    let (cells, palette, rules, importance) = (&cells, &palette, &rules, &importance);
    let pool = palette.len();
    let task = Task { cells, palette, pool, rules, yarn_use, importance, fixed: None, frame: None };
    let begun = Instant::now();
    let mut found = |made: Eased| {
        println!(
            "{:6.2} s: ΔE00 {:.2}, from across the room {:.2}, cost {:.0} st, {} ends, {} strands at once",
            begun.elapsed().as_secs_f64(),
            made.look.mean,
            made.look.blurred,
            made.plan.counts.cost.as_stitches(),
            made.plan.counts.ends(),
            made.plan.counts.strands_at_once
        );
    };
    let count = Count::new(7).expect("seven will do");
    let row = choices(&task, count, &mut found, &mut charting::unwatched).expect("nobody stops it");
    println!("{:6.2} s: {} charts in the row of {name}", begun.elapsed().as_secs_f64(), row.len());
}

fn cells_of(name: &str, columns: usize, rows: usize) -> Cells {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures").join(name);
    let bytes = std::fs::read(&path).expect("the picture is among the fixtures");
    let picture = read_picture(&bytes, &Limits::default()).expect("a picture").value;
    let area = Area::whole(picture.width(), picture.height()).cut_to(columns as f64 / rows as f64);
    average(&picture, area, columns, rows, &mut charting::unwatched).expect("nobody stops it")
}

fn palette_of(cells: &Cells, colours: usize) -> Palette {
    let colours = free_colours(cells, colours, &mut charting::unwatched).expect("the picture has colours");
    let yarns = (0..).zip(colours).map(|(at, colour)| Yarn::plain(format!("{at}"), format!("{at}"), colour));
    Palette::new(yarns.collect()).expect("keys differ")
}

/// The eight best of the demo's yarns.
fn of_list(cells: &Cells) -> Palette {
    let list = formats::read_yarns(include_str!("../../demo/yarns.toml")).expect("the demo's yarns").value;
    let chosen = choose(cells, &list, &Choice::of(COLOURS), &mut charting::unwatched);
    let chosen = chosen.expect("the list has eight yarns").value;
    Palette::new(chosen.into_iter().map(|at| list[at].clone()).collect()).expect("keys differ")
}

/// What the charts are made with.
#[derive(Clone, Copy)]
struct Setting {
    /// Every stitch counts alike.
    is_even: bool,
    /// The yarns are of a list.
    is_list: bool,
}

/// A chart with what it looks like and what it takes.
#[derive(Clone)]
struct Made {
    chart: Chart,
    look: Look,
    counts: PlanCounts,
}

impl Made {
    fn cost(&self) -> f64 {
        self.counts.cost.as_stitches()
    }
}

/// Prints the rows of one picture; returns c and d at the error allowed as parts of **a**, and c and
/// d at the error of **b** as parts of that: of the five **b** the one they come off worst against.
fn compare(name: &str, setting: Setting, folder: Option<&Path>) -> [f64; 4] {
    let cells = cells_of(name, COLUMNS, ROWS);
    let palette = if setting.is_list { of_list(&cells) } else { palette_of(&cells, COLOURS) };
    let rules = Rules::new(&palette, Weights::default(), Hand::Right);
    let importance =
        if setting.is_even { Importance::even(&cells) } else { Importance::from_contrast(&cells) };
    let yarn_use = YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"));
    let task = Task {
        cells: &cells,
        palette: &palette,
        pool: palette.len(),
        rules: &rules,
        yarn_use,
        importance: &importance,
        fixed: None,
        frame: None,
    };
    let made = |chart: Chart| {
        let plan = planner::plan(&chart, &rules, yarn_use, &planner::unwatched).expect("a plan");
        Made { look: Look::of(&task, &chart).expect("a chart of the picture"), counts: plan.counts, chart }
    };

    let plain = ease(&task, Ease::PLAIN, &mut charting::unwatched).expect("nobody stops it");
    let nearest = Made { chart: plain.chart, look: plain.look, counts: plain.plan.counts };
    let mut majority = Vec::new();
    let mut chart = nearest.chart.clone();
    for _ in 0..5 {
        chart = most_frequent(&chart);
        majority.push(made(chart.clone()));
    }
    let mut targets: Vec<f64> = majority.iter().map(|made| made.look.mean).collect();
    targets.push(ROOM * nearest.look.mean);
    let expansions = along(&targets, [12, 12], |worth| {
        made(sketch_at(&task, worth, &mut charting::unwatched).expect("nobody stops it"))
    });
    let ours = along(&targets, [4, 1], |worth| {
        let eased = ease_at(2, &task, worth, &mut charting::unwatched).expect("nobody stops it");
        Made { chart: eased.chart, look: eased.look, counts: eased.plan.counts }
    });

    let room = ROOM * nearest.look.mean;
    let (expansion, easy) = (cheapest(&expansions, room, &nearest), cheapest(&ours, room, &nearest));
    let short = name.split('.').next().unwrap_or(name);
    let row = |title: &str, made: &Made| {
        println!(
            "| {short} | {title} | {:.2} | {:.2} | {:.0} | {:.1} % | {} | {} |",
            made.look.mean,
            made.look.blurred,
            made.cost(),
            100.0 * made.cost() / nearest.cost(),
            made.counts.ends(),
            made.counts.strands_at_once
        );
    };
    row("a nearest", &nearest);
    for (times, made) in majority.iter().enumerate() {
        row(&format!("b majority, {} times", times + 1), made);
    }
    row("c expansion", expansion);
    row("**d ours**", easy);
    let against = |charts: &[Made]| {
        let shares = majority.iter().map(|b| cheapest(charts, b.look.mean, &nearest).cost() / b.cost());
        shares.fold(0.0, f64::max)
    };
    let shares = [
        expansion.cost() / nearest.cost(),
        easy.cost() / nearest.cost(),
        against(&expansions),
        against(&ours),
    ];
    if let Some(folder) = folder {
        let at_b = cheapest(&ours, majority[0].look.mean, &nearest);
        let sheet = [&nearest.chart, &majority[0].chart, &expansion.chart, &easy.chart, &at_b.chart];
        write_sheet(&folder.join(format!("{short}.png")), &cells, &sheet);
    }
    shares
}

/// Charts at many worths of work: a row of them, and for each error wanted some more near it, for the
/// last of them another number than for the others.
fn along(targets: &[f64], [last, others]: [usize; 2], make: impl Fn(f64) -> Made) -> Vec<Made> {
    let mut made: Vec<(f64, Made)> = Vec::new();
    let add = |made: &mut Vec<(f64, Made)>, worth: f64| {
        made.push((worth, make(worth)));
        made.sort_by(|one, two| one.0.total_cmp(&two.0));
    };
    for step in 0..7 {
        add(&mut made, 0.5 * 2f64.powi(step));
    }
    for (at, &target) in targets.iter().enumerate().rev() {
        for _ in 0..if at + 1 == targets.len() { last } else { others } {
            // Between the strongest that is near enough and the next.
            let Some(below) = made.iter().rposition(|(_, made)| made.look.mean <= target) else { break };
            let Some(above) = made.get(below + 1) else { break };
            let (below, above) = (made[below].0, above.0);
            if above / below < 1.05 {
                break;
            }
            add(&mut made, (below * above).sqrt());
        }
    }
    made.into_iter().map(|(_, made)| made).collect()
}

/// The cheapest of the charts that are no farther from the picture; the plain one where none is.
fn cheapest<'a>(charts: &'a [Made], error: f64, plain: &'a Made) -> &'a Made {
    let near = charts.iter().filter(|made| made.look.mean <= error + 1e-9);
    near.min_by_key(|made| made.counts.cost).unwrap_or(plain)
}

/// Each stitch in the most frequent yarn of the three by three around it: its own where that is among
/// the most frequent, else the first of the palette.
fn most_frequent(chart: &Chart) -> Chart {
    let (rows, columns) = (chart.rows(), chart.columns());
    let mut cells = Vec::with_capacity(rows * columns);
    for row in 0..rows {
        for column in 0..columns {
            let mut votes = vec![0; chart.palette().len()];
            for near in row.saturating_sub(1)..(row + 2).min(rows) {
                for yarn in &chart.row(RowIndex(near))[column.saturating_sub(1)..(column + 2).min(columns)] {
                    votes[yarn.index()] += 1;
                }
            }
            let own = chart.row(RowIndex(row))[column];
            let most = votes.iter().copied().max().unwrap_or(0);
            let first = votes.iter().position(|&count| count == most).unwrap_or(0);
            let takes = if votes[own.index()] == most { own.index() } else { first };
            cells.push(u8::try_from(takes).expect("a palette's entry"));
        }
    }
    Chart::new(chart.palette().clone(), rows, columns, &cells).expect("the size of the chart before")
}

/// The picture's cells and the charts side by side, four pixels a stitch.
fn write_sheet(path: &Path, cells: &Cells, charts: &[&Chart]) {
    const SIDE: usize = 4;
    const GAP: usize = 12;
    let (rows, columns) = (cells.rows(), cells.columns());
    let wide = (charts.len() + 1) * (columns * SIDE + GAP) - GAP;
    let encode = |light: f64| {
        let value = if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let byte = (255.0 * value + 0.5) as u8;
        byte
    };
    let mut sheet = image::RgbImage::from_pixel(
        u32::try_from(wide).expect("a small sheet"),
        u32::try_from(rows * SIDE).expect("a small sheet"),
        image::Rgb([255, 255, 255]),
    );
    for (x, y, pixel) in sheet.enumerate_pixels_mut() {
        let (x, row) = (x as usize, y as usize / SIDE);
        let (panel, x) = (x / (columns * SIDE + GAP), x % (columns * SIDE + GAP));
        if x >= columns * SIDE {
            continue;
        }
        let column = x / SIDE;
        pixel.0 = match panel.checked_sub(1) {
            None => cells.linear()[row * columns + column].map(encode),
            Some(chart) => {
                let chart = charts[chart];
                let yarn = chart.row(RowIndex(rows - 1 - row))[column];
                let colour = chart.palette().yarns()[yarn.index()].colour;
                [colour.red, colour.green, colour.blue]
            }
        };
    }
    sheet.save(path).expect("the folder is there");
}
