//! How long planning takes, where the time goes, and how the choosing of hand-overs compares with
//! general solvers on the same networks. `cargo bench` prints the tables.
//!
//! Four charts of 200 rows × 250 columns and 12 yarns: a photograph, the same without its specks,
//! words, and noise; then two charts of a million cells, each in a process of its own so that its
//! memory can be told. Every optimum that is compared must be the same, or the benchmark stops.
//! The photograph is one of the fixtures; yarns and words are invented here.

#![allow(clippy::print_stdout)] // printing is what it is for

use std::cell::Cell;
use std::env::{self, args};
use std::fs;
use std::process::Command;
use std::time::{Duration, Instant};

use ac_library::MinCostFlowGraph;
use charting::{Area, Choice, Limits, average, chart_cells, choose as choose_yarns, read_picture};
use checks::random::Rng;
use model::{Chart, Gauge, Hand, Palette, Rules, Srgb, Weights, Yarn, YarnUse};
use pathcover::{Cover, Network, certify, solve};
use planner::{HandOvers, PlanSession, cover};

const ROWS: usize = 200;
const COLUMNS: usize = 250;
const YARNS: usize = 12;
/// Ours and LEMON are timed so many times; the best counts.
const TAKES: usize = 3;
/// Successive shortest paths look at about runs × arcs arcs: yarns with more are left out.
const TOO_SLOW: usize = 400_000_000;
/// Edits that are followed on each chart.
const EDITS: usize = 200;
/// What planning a million cells may take of memory: 2 GiB.
const MOST_MEMORY: u64 = 2 << 30;

fn main() {
    let arguments: Vec<String> = args().skip(1).collect();
    match arguments.as_slice() {
        [flag, name] if flag == "--million" => million(name),
        // Test runners start benchmarks without this, to see whether there are tests in them.
        _ if !arguments.iter().any(|argument| argument == "--bench") => {}
        [flag, _] if flag == "--edits" => edits(&charts().map(|chart| Bench::new(chart, false))),
        _ => all(),
    }
}

fn all() {
    println!("A million cells, 1000 rows × 1000 columns, two threads; the bar is 2 GiB for the process");
    println!("{:<24}{:>9}{:>11}{:>13}{:>9}", "chart", "runs", "plan s", "peak MiB", "bar");
    let this = env::current_exe().expect("a running program has a path");
    for name in ["photograph", "two-yarn-noise"] {
        let child = Command::new(&this).args(["--million", name]).status().expect("it starts once more");
        assert!(child.success(), "the chart of a million cells is planned");
    }

    let charts = charts().map(|chart| Bench::new(chart, true));
    println!("\nCharts of {ROWS} rows × {COLUMNS} columns, {YARNS} yarns: milliseconds, best of {TAKES}");
    print!("{:<22}{:>7}{:>11}{:>9}", "chart", "runs", "hand-overs", "found");
    print!("{:>9}{:>9}{:>9}{:>9}", "finding", "choosing", "proving", "writing");
    println!("{:>10}{:>11}{:>9}", "1 thread", "2 threads", "replay");
    for bench in &charts {
        bench.print_stages();
    }
    println!("hand-overs: all that could be in a best plan; found: those that the planner looks up.");
    println!("Stages on one thread; choosing is done several times over, as more hand-overs are found;");
    println!("writing, the ways of the chosen ones included, is what is left of the whole.");

    edits(&charts);
    println!("\nChoosing on the same networks: milliseconds; mcmf is LEMON's network simplex");
    print!("{:<22}{:<7}{:>10}", "chart", "network", "arcs");
    print!("{:>9}{:>9}{:>13}", "ours", "mcmf", "mcmf ÷ ours");
    println!("{:>8}{:>9}{:>13}{:>13}", "yarns", "ours", "ac-library", "÷ ours");
    for bench in &charts {
        bench.print_rivals();
    }
    println!("network: all hand-overs, or only those found. Each optimum is the same as ours.");
    println!("mcmf: with the maps that the crate keeps around LEMON, which are most of its time.");
    println!("ac-library: successive shortest paths, one take, only yarns with runs × arcs ≤ {TOO_SLOW}.");
}

/// How edits are followed; `cargo bench --bench plan -- --edits` prints this table alone.
fn edits(charts: &[Bench]) {
    println!("\nFollowing edits of 3 × 3 stitches, {EDITS} on each chart: milliseconds");
    print!("{:<22}{:>12}{:>9}{:>9}", "chart", "full plan", "median", "95 %");
    println!("{:>17}{:>9}", "full ÷ median", "replay");
    for bench in charts {
        bench.print_edits();
    }
    println!("The full plan is made on two threads, edits are followed on one; steps are written in both.");
    println!("The bar is 10 times faster than a full plan at the median, 20 the aim.");
}

/// A chart with its rules, and the networks of its yarns.
struct Bench {
    name: &'static str,
    chart: Chart,
    rules: Rules,
    thin: Vec<HandOvers>,
    full: Vec<HandOvers>,
}

impl Bench {
    /// How long a plan takes to follow an edit of a few stitches, beside a plan from scratch.
    fn print_edits(&self) {
        let (_, full) = best(|| plan(2, &self.chart, &self.rules));
        let session =
            PlanSession::new(self.chart.clone(), self.rules.clone(), yarn_use(), &planner::unwatched);
        let mut session = session.expect("nobody stops it");
        let mut rng = Rng::new(9);
        let (mut edits, mut replays) = (Vec::new(), Vec::new());
        for _ in 0..EDITS {
            let (row, column) = (rng.below(ROWS - 2), rng.below(COLUMNS - 2));
            let yarn = place(rng.below(YARNS));
            let cells: Vec<(usize, u8)> =
                (0..9).map(|at| ((row + at / 3) * COLUMNS + column + at % 3, yarn)).collect();
            edits.push(timed(|| session.edit(&cells).map(|_| ()).expect("cells of the chart")).1);
            let (chart, plan) = (session.chart().clone(), session.plan().clone());
            replays.push(timed(|| replay::prove(chart, plan).expect("a good plan")).1);
        }
        edits.sort();
        replays.sort();
        let (median, most) = (edits[EDITS / 2], edits[EDITS * 95 / 100]);
        print!("{:<22}{:>12.1}{:>9.2}{:>9.2}", self.name, ms(full), ms(median), ms(most));
        println!("{:>17.1}{:>9.2}", ratio(full, median), ms(replays[EDITS / 2]));
    }

    /// With the networks of its yarns, where they are wanted.
    fn new((name, chart): (&'static str, Chart), networks: bool) -> Self {
        let used = chart.stitches_by_yarn().iter().filter(|&&stitches| stitches > 0).count();
        assert_eq!((chart.rows(), chart.columns(), used), (ROWS, COLUMNS, YARNS), "{name}");
        let rules = Rules::new(chart.palette(), Weights::default(), Hand::Right);
        let mut bench = Self { name, chart, rules, thin: vec![], full: vec![] };
        for yarn in bench.chart.palette().indices().filter(|_| networks) {
            let mut thin = HandOvers::new(&bench.chart, &bench.rules, yarn);
            cover(&mut thin, &|_| true, solve).expect("nobody stops it");
            bench.thin.push(thin);
            let mut full = HandOvers::new(&bench.chart, &bench.rules, yarn);
            for run in 0..full.runs().len() {
                full.find_within(run, full.most(run));
            }
            bench.full.push(full);
        }
        bench
    }

    fn print_stages(&self) {
        let (planned, one) = best(|| plan(1, &self.chart, &self.rules));
        let (_, two) = best(|| plan(2, &self.chart, &self.rules));
        let (_, replay) = (0..TAKES)
            .map(|_| {
                let (chart, plan) = (self.chart.clone(), planned.clone());
                timed(|| replay::prove(chart, plan).expect("the plan can be worked"))
            })
            .min_by_key(|(_, time)| *time)
            .expect("there are takes");
        let stages = (0..TAKES).map(|_| self.stages()).min_by_key(Stages::sum).expect("there are takes");
        print!("{:<22}{:>7}", self.name, planned.counts.runs);
        print!("{:>11}{:>9}", arcs(&self.full), arcs(&self.thin));
        // What is left of a whole plan: the ways of the chosen hand-overs and the steps.
        let writing = one.saturating_sub(stages.sum());
        for stage in [stages.finding, stages.choosing, stages.proving, writing] {
            print!("{:>9.1}", ms(stage));
        }
        println!("{:>10.1}{:>11.1}{:>9.1}", ms(one), ms(two), ms(replay));
    }

    /// Finds, chooses and proves on one thread, with clocks between the stages.
    fn stages(&self) -> Stages {
        let mut stages = Stages::default();
        for yarn in self.chart.palette().indices() {
            let choosing = Cell::new(Duration::ZERO);
            let solve = |network: &Network| {
                let (cover, time) = timed(|| solve(network));
                choosing.set(choosing.get() + time);
                cover
            };
            let ((hand_overs, cover), both) = timed(|| {
                let mut hand_overs = HandOvers::new(&self.chart, &self.rules, yarn);
                let cover = cover(&mut hand_overs, &|_| true, solve).expect("nobody stops it");
                (hand_overs, cover)
            });
            stages.choosing += choosing.get();
            stages.finding += both - choosing.get();
            let (proof, time) = timed(|| certify(hand_overs.network(), &cover));
            proof.expect("it is proven");
            stages.proving += time;
        }
        stages
    }

    fn print_rivals(&self) {
        for (kind, networks) in [("all", &self.full), ("thin", &self.thin)] {
            let (mut ours, mut lemon) = (Duration::ZERO, Duration::ZERO);
            let (mut yarns, mut ours_there, mut shortest) = (0, Duration::ZERO, Duration::ZERO);
            for network in networks.iter().map(HandOvers::network) {
                let (cover, time) = best(|| solve(network));
                ours += time;
                let least = cost_of(network, &cover);
                let (cost, taken) = best(|| by_network_simplex(network));
                assert_eq!(cost, least, "{}: LEMON finds the same optimum", self.name);
                lemon += taken;
                if network.nodes() * network.arcs() <= TOO_SLOW {
                    let (cost, taken) = timed(|| by_shortest_paths(network));
                    assert_eq!(cost, least, "{}: ac-library finds the same optimum", self.name);
                    yarns += 1;
                    ours_there += time;
                    shortest += taken;
                }
            }
            print!("{:<22}{:<7}{:>10}", self.name, kind, arcs(networks));
            print!("{:>9.1}{:>9.1}{:>13.1}", ms(ours), ms(lemon), ratio(lemon, ours));
            print!("{:>8}", format!("{yarns}/{}", networks.len()));
            if yarns > 0 {
                println!(
                    "{:>9.1}{:>13.1}{:>13.1}",
                    ms(ours_there),
                    ms(shortest),
                    ratio(shortest, ours_there)
                );
            } else {
                println!("{:>9}{:>13}{:>13}", "-", "-", "-");
            }
        }
    }
}

#[derive(Default)]
struct Stages {
    finding: Duration,
    choosing: Duration,
    proving: Duration,
}

impl Stages {
    fn sum(&self) -> Duration {
        self.finding + self.choosing + self.proving
    }
}

fn plan(threads: usize, chart: &Chart, rules: &Rules) -> model::Plan {
    planner::plan_on(threads, chart, rules, yarn_use(), &planner::unwatched).expect("a plan")
}

fn yarn_use() -> YarnUse {
    YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"))
}

fn arcs(networks: &[HandOvers]) -> usize {
    networks.iter().map(|hand_overs| hand_overs.network().arcs()).sum()
}

fn cost_of(network: &Network, cover: &Cover) -> i64 {
    certify(network, cover).expect("it is proven").cost
}

// Other solvers.

/// The optimum by LEMON's network simplex. The crate is asked for all it gives, so its time holds
/// the maps and the paths that it builds around LEMON. Measured apart once, LEMON alone took a
/// quarter to two fifths of it, still 3 to 7 times as long as ours on the thin networks and 5 to 13
/// times on those of all hand-overs. Each out side sends one unit, along an arc to an in side
/// or straight to the sink for the price of an end; an in side that gets one spares its start.
fn by_network_simplex(network: &Network) -> i64 {
    use mcmf::{Capacity, Cost, GraphBuilder, Vertex};
    let unit = Capacity(1);
    let price = |price: i64| Cost(i32::try_from(price).expect("prices fit 32 bits"));
    let id = |node: usize| u32::try_from(node).expect("nodes fit 32 bits");
    let mut graph = GraphBuilder::new();
    let n = network.nodes();
    for node in 0..n {
        graph.add_edge(Vertex::Source, id(node), unit, Cost(0));
        graph.add_edge(id(node), Vertex::Sink, unit, price(network.end()[node]));
        graph.add_edge(id(n + node), Vertex::Sink, unit, price(-network.start()[node]));
        for (to, cost) in network.arcs_of(node) {
            graph.add_edge(id(node), id(n + to), unit, price(cost));
        }
    }
    let (cost, _) = graph.mcmf();
    i64::from(cost) + network.start().iter().sum::<i64>()
}

/// The optimum by successive shortest paths. No cost may be below 0 there: each out side sends one
/// unit and each in side gets one, along an arc, or by way of a hub for an end and a start.
fn by_shortest_paths(network: &Network) -> i64 {
    let n = network.nodes();
    let (source, sink, hub) = (2 * n, 2 * n + 1, 2 * n + 2);
    let mut graph = MinCostFlowGraph::new(2 * n + 3);
    for node in 0..n {
        graph.add_edge(source, node, 1, 0);
        graph.add_edge(n + node, sink, 1, 0);
        graph.add_edge(node, hub, 1, network.end()[node]);
        graph.add_edge(hub, n + node, 1, network.start()[node]);
        for (to, cost) in network.arcs_of(node) {
            graph.add_edge(node, n + to, 1, cost);
        }
    }
    let units = i64::try_from(n).expect("nodes are few");
    let (flow, cost) = graph.flow(source, sink, units);
    assert_eq!(flow, units, "a strand for each run is always a plan");
    cost
}

// Clocks.

fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let value = work();
    (value, start.elapsed())
}

fn best<T>(mut work: impl FnMut() -> T) -> (T, Duration) {
    let takes = (0..TAKES).map(|_| timed(&mut work));
    takes.min_by_key(|(_, time)| *time).expect("there are takes")
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

fn ratio(theirs: Duration, ours: Duration) -> f64 {
    theirs.as_secs_f64() / ours.as_secs_f64()
}

// A million cells.

/// Plans a chart of a million cells in this process and prints one line.
fn million(name: &str) {
    let chart = match name {
        "photograph" => photograph(1000, 1000),
        "two-yarn-noise" => noise(1000, 1000, 2),
        _ => panic!("there is no chart {name:?}"),
    };
    let rules = Rules::new(chart.palette(), Weights::default(), Hand::Right);
    let (planned, time) = timed(|| plan(2, &chart, &rules));
    let label = format!("{name}, {} yarns", chart.palette().len());
    print!("{label:<24}{:>9}{:>11.2}", planned.counts.runs, time.as_secs_f64());
    match peak_memory() {
        Some(bytes) => {
            let kept = if bytes <= MOST_MEMORY { "kept" } else { "broken" };
            println!("{:>13}{kept:>9}", bytes >> 20);
        }
        None => println!("{:>13}{:>9}", "not known", "-"),
    }
}

/// The most memory that this process has had, in bytes, where the system tells.
fn peak_memory() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix("kB")?.trim().parse::<u64>().ok().map(|kilobytes| kilobytes << 10)
}

// Charts.

fn charts() -> [(&'static str, Chart); 4] {
    let photograph = photograph(ROWS, COLUMNS);
    let cleaned = without_specks(&photograph);
    [
        ("photograph", photograph),
        ("without its specks", cleaned),
        ("words", words()),
        ("noise", noise(ROWS, COLUMNS, YARNS)),
    ]
}

fn read(path: &str) -> Vec<u8> {
    let path = format!("{}/../{path}", env!("CARGO_MANIFEST_DIR"));
    fs::read(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// A large invented range: six steps of each of red, green and blue.
fn range() -> Vec<Yarn> {
    let steps = || (0u8..6).map(|step| step * 51);
    let colours = steps().flat_map(|r| steps().flat_map(move |g| steps().map(move |b| Srgb::new(r, g, b))));
    colours.enumerate().map(|(at, colour)| Yarn::plain(format!("yarn-{at}"), "invented", colour)).collect()
}

/// The photograph in those twelve yarns of the range that suit it best. All of it, whatever its
/// proportions: only the planning counts here.
#[allow(clippy::cast_precision_loss)] // pictures are small
fn photograph(rows: usize, columns: usize) -> Chart {
    let watch = &mut charting::unwatched;
    let picture = read_picture(&read("fixtures/coffee.png"), &Limits::default()).expect("a picture").value;
    let whole = Area::whole(picture.width(), picture.height());
    let cells = average(&picture, whole, columns, rows, watch).expect("nobody stops it");
    let yarns = range();
    let chosen =
        choose_yarns(&cells, &yarns, &Choice::of(YARNS), watch).expect("the range has enough yarns").value;
    let chosen: Vec<Yarn> = chosen.into_iter().map(|at| yarns[at].clone()).collect();
    chart_cells(&cells, &chosen, watch).expect("nobody stops it").0
}

/// Three times over, each cell takes the yarn that most of the nine around it have; its own where
/// no other has more.
fn without_specks(chart: &Chart) -> Chart {
    let (rows, columns) = (chart.rows(), chart.columns());
    let mut cells: Vec<u8> =
        chart.row_indices().flat_map(|row| chart.row(row).iter().map(|cell| cell.as_u8())).collect();
    for _ in 0..3 {
        let before = cells.clone();
        for row in 0..rows {
            for column in 0..columns {
                let mut votes = [0; YARNS];
                for near in row.saturating_sub(1)..rows.min(row + 2) {
                    for beside in column.saturating_sub(1)..columns.min(column + 2) {
                        votes[usize::from(before[near * columns + beside])] += 1;
                    }
                }
                let own = before[row * columns + column];
                let most = (0u8..).zip(votes).max_by_key(|&(yarn, votes)| (votes, yarn == own));
                cells[row * columns + column] = most.expect("there are yarns").0;
            }
        }
    }
    Chart::new(chart.palette().clone(), rows, columns, &cells).expect("as many cells as before")
}

/// Any of so many yarns in any cell.
fn noise(rows: usize, columns: usize, yarns: usize) -> Chart {
    let mut rng = Rng::new(0x00b1_a2c3);
    let cells: Vec<u8> = (0..rows * columns).map(|_| place(rng.below(yarns))).collect();
    Chart::new(palette(yarns), rows, columns, &cells).expect("as many cells as the size asks for")
}

fn palette(yarns: usize) -> Palette {
    let spread = range().into_iter().step_by(19).take(yarns);
    Palette::new(spread.collect()).expect("their keys differ")
}

fn place(yarn: usize) -> u8 {
    u8::try_from(yarn).expect("a palette has few yarns")
}

/// Lines of words in several sizes on a plain ground, each in one yarn, its strokes shaded with
/// another at the right and below.
fn words() -> Chart {
    let mut sheet = Sheet { cells: vec![0; ROWS * COLUMNS] };
    // Text, height of a dot in rows, top row, left column, yarn, its shade.
    let lines = [
        ("STRAND", 6, 4, 8, 1, 2),
        ("WRIGHT", 6, 50, 24, 3, 4),
        ("ONE HOOK MANY YARNS", 2, 98, 10, 5, 6),
        ("ROW BY ROW", 4, 118, 6, 7, 8),
        ("LAY IT IN AND WORK", 2, 152, 2, 9, 10),
        ("HOOK YARN ROW TURN WORK ON TURN ROW YARN", 1, 172, 4, 11, 2),
        ("ONE MORE ROW AND ONE MORE ROW AND DONE", 1, 184, 10, 3, 8),
    ];
    for (text, size, top, left, yarn, shade) in lines {
        sheet.write(text, size, (top, left), (yarn, shade));
    }
    // A chart's rows count from the bottom.
    let cells: Vec<u8> = sheet.cells.chunks(COLUMNS).rev().flatten().copied().collect();
    Chart::new(palette(YARNS), ROWS, COLUMNS, &cells).expect("the sheet is of that size")
}

/// Cells from the top.
struct Sheet {
    cells: Vec<u8>,
}

impl Sheet {
    fn write(&mut self, text: &str, size: usize, (top, left): (usize, usize), (yarn, shade): (u8, u8)) {
        for (at, letter) in text.chars().enumerate() {
            let dots = letter_dots(letter);
            let dotted = |row: usize, column: usize| {
                dots.get(row).is_some_and(|dots| column < 5 && dots >> (4 - column) & 1 == 1)
            };
            for row in 0..7 * size {
                for column in 0..5 * size {
                    let (y, x) = (row / size, column / size);
                    if !dotted(y, x) {
                        continue;
                    }
                    // The shade lies along the edges at the right and below, a third of a dot wide.
                    let edge = size.div_ceil(3);
                    let right = column % size + edge >= size && !dotted(y, x + 1);
                    let below = row % size + edge >= size && !dotted(y + 1, x);
                    let (row, column) = (top + row, left + at * 6 * size + column);
                    assert!(row < ROWS && column < COLUMNS, "{text:?} is too long");
                    let shaded = size > 1 && (right || below);
                    self.cells[row * COLUMNS + column] = if shaded { shade } else { yarn };
                }
            }
        }
    }
}

/// A letter as seven rows of five dots from the top, the leftmost dot first. Drawn for this.
fn letter_dots(letter: char) -> [u8; 7] {
    match letter {
        ' ' => [0; 7],
        'A' => [0b00100, 0b01010, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001],
        'B' => [0b11110, 0b10001, 0b10001, 0b11110, 0b10001, 0b10001, 0b11110],
        'D' => [0b11100, 0b10010, 0b10001, 0b10001, 0b10001, 0b10010, 0b11100],
        'E' => [0b11111, 0b10000, 0b10000, 0b11110, 0b10000, 0b10000, 0b11111],
        'G' => [0b01110, 0b10001, 0b10000, 0b10111, 0b10001, 0b10001, 0b01110],
        'H' => [0b10001, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001, 0b10001],
        'I' => [0b01110, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100, 0b01110],
        'K' => [0b10001, 0b10010, 0b10100, 0b11000, 0b10100, 0b10010, 0b10001],
        'L' => [0b10000, 0b10000, 0b10000, 0b10000, 0b10000, 0b10000, 0b11111],
        'M' => [0b10001, 0b11011, 0b10101, 0b10101, 0b10001, 0b10001, 0b10001],
        'N' => [0b10001, 0b11001, 0b11001, 0b10101, 0b10011, 0b10011, 0b10001],
        'O' => [0b01110, 0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b01110],
        'R' => [0b11110, 0b10001, 0b10001, 0b11110, 0b10100, 0b10010, 0b10001],
        'S' => [0b01111, 0b10000, 0b10000, 0b01110, 0b00001, 0b00001, 0b11110],
        'T' => [0b11111, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100],
        'U' => [0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b01110],
        'W' => [0b10001, 0b10001, 0b10001, 0b10101, 0b10101, 0b11011, 0b10001],
        'Y' => [0b10001, 0b10001, 0b01010, 0b00100, 0b00100, 0b00100, 0b00100],
        _ => panic!("no letter {letter:?} is drawn"),
    }
}
