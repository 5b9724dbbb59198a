//! Kills a program that edits, at random moments, and looks whether an acknowledged edit is missing.
//!
//! The program is this test itself, started again with a folder in its environment: it edits one
//! blanket and prints each revision once it is acknowledged. The parent reads along, kills it
//! (SIGKILL on Unix), opens the shelf and compares. `STRANDWRIGHT_KILLS` says how many times, 20 by
//! default; the soak takes 200.

#![allow(clippy::print_stdout)] // its way of speaking

mod common;

use std::env;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use workbench::{BlanketId, Edit, Workbench};

const FOLDER: &str = "STRANDWRIGHT_TEST_FOLDER";
const KILLS: &str = "STRANDWRIGHT_KILLS";
const COLUMNS: usize = 24;
const ROWS: usize = 16;

fn main() {
    // Test runners ask for the list of tests first.
    let arguments: Vec<String> = env::args().collect();
    if arguments.iter().any(|argument| argument == "--list") {
        if !arguments.iter().any(|argument| argument == "--ignored") {
            println!("no_acknowledged_edit_is_missing: test");
        }
        return;
    }
    match env::var_os(FOLDER) {
        Some(folder) => edit_for_ever(Path::new(&folder)),
        None => kill(env::var(KILLS).map_or(20, |kills| kills.parse().expect("a number"))),
    }
}

/// The edit that takes a revision to the next: a stitch, at times a flood, a yarn, a step back.
fn step(bench: &Workbench, id: BlanketId, revision: u64) -> u64 {
    let at = usize::try_from(revision).expect("small") * 7 % (COLUMNS * ROWS);
    let yarn = usize::try_from(revision / 3 % 3).expect("small");
    let stitch = |cells, yarn| Edit::Stitch { cells, yarn, stroke: Some(format!("s{}", revision / 4)) };
    let changed = match revision % 11 {
        5 => bench.take_back(id, revision),
        6 => bench.do_again(id, revision),
        _ => {
            let now = bench.blanket(id).expect("it opens").cells[at];
            bench.edit(id, revision, &stitch(vec![at], (usize::from(now) + 1 + yarn % 2) % 3))
        }
    };
    changed.expect("the disk takes it").revision
}

fn edit_for_ever(folder: &Path) {
    let bench = common::open(folder);
    let id = bench.shelf().expect("it opens").blankets[0].id;
    let mut revision = bench.blanket(id).expect("it opens").revision;
    let mut out = std::io::stdout();
    loop {
        revision = step(&bench, id, revision);
        let cells = bench.blanket(id).expect("it opens").cells;
        writeln!(out, "{revision} {}", text(&cells)).and_then(|()| out.flush()).expect("the parent reads");
    }
}

fn text(cells: &[u8]) -> String {
    cells.iter().map(|&cell| char::from(b'0' + cell)).collect()
}

fn kill(times: u32) {
    let folder = tempfile::tempdir().expect("a folder");
    let bench = common::open(folder.path());
    let id = bench.blank(&common::blank("to be killed", COLUMNS, ROWS)).expect("it is written");
    drop(bench);
    let mut random = 0x9e37_79b9_7f4a_7c15_u64;
    let mut acknowledged_in_all = 0;
    for time in 1..=times {
        // An xorshift (constants from memory): any moment between the first edit and 40 ms later.
        random ^= random << 13;
        random ^= random >> 7;
        random ^= random << 17;
        let moment = Duration::from_micros(random % 40_000);
        let mut child = Command::new(env::current_exe().expect("this test"))
            .env(FOLDER, folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .expect("this test starts");
        let mut lines = BufReader::new(child.stdout.take().expect("a pipe")).lines();
        let mut acknowledged = vec![lines.next().expect("an edit").expect("a line")];
        std::thread::sleep(moment);
        child.kill().expect("it runs");
        child.wait().expect("it ends");
        // What was said before the end counts; a line cut short was not acknowledged.
        acknowledged.extend(lines.map_while(Result::ok));
        let whole =
            |line: &String| line.split_once(' ').is_some_and(|(_, cells)| cells.len() == COLUMNS * ROWS);
        acknowledged.retain(whole);
        acknowledged_in_all += acknowledged.len();
        let (revision, cells) =
            acknowledged.last().and_then(|line| line.split_once(' ')).expect("a line that was acknowledged");
        let revision: u64 = revision.parse().expect("a revision");

        let opened = Workbench::open(folder.path(), common::clock()).expect("the shelf opens again");
        assert!(!opened.new && opened.damaged.is_none(), "kill {time}");
        let blanket = opened.workbench.blanket(id).expect("the blanket opens");
        assert!(
            blanket.revision == revision || blanket.revision == revision + 1,
            "kill {time}: {revision} was acknowledged, {} is there",
            blanket.revision
        );
        if blanket.revision == revision {
            assert_eq!(text(&blanket.cells), cells, "kill {time}: other cells at revision {revision}");
        }
        // And it goes on from there.
        step(&opened.workbench, id, blanket.revision);
    }
    assert!(acknowledged_in_all >= times as usize);
    println!("killed {times} times, {acknowledged_in_all} edits were acknowledged, none is missing");
}
