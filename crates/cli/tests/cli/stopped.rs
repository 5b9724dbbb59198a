//! Ctrl-C in the middle of long work.
#![cfg(unix)]

use std::io::{BufRead, BufReader, Read};
use std::process::{Child, Command, Stdio};

use image::{GrayImage, ImageFormat};

use crate::bench::{Bench, demo_yarns};
use crate::marks::indexed;

/// Bits without a pattern: a xorshift generator (Marsaglia 2003, from memory).
fn noise(count: usize) -> impl Iterator<Item = u8> {
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    (0..count).map(move |_| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        u8::from(state & (1 << 40) != 0)
    })
}

/// Sends the interrupt once the program says that it does `stage`, and waits for it to end.
fn interrupted_at(stage: &str, mut program: Child) -> (i32, String) {
    let mut told = BufReader::new(program.stderr.take().expect("piped"));
    let mut text = String::new();
    while !text.contains(stage) {
        assert!(told.read_line(&mut text).expect("readable") > 0, "{stage:?} never came: {text}");
    }
    let sent = Command::new("kill").args(["-INT", &program.id().to_string()]).status().expect("kill runs");
    assert!(sent.success());
    told.read_to_string(&mut text).expect("readable");
    (program.wait().expect("ended").code().expect("ended by itself"), text)
}

fn start(bench: &Bench, arguments: &[&str]) -> Child {
    bench.program(arguments).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("started")
}

#[test]
fn planning_can_be_stopped_and_leaves_nothing() {
    const SIDE: usize = 1500;
    let bench = Bench::new();
    let cells: Vec<u8> = noise(SIDE * SIDE).collect();
    bench.write("noise.png", indexed(1500, &[[0; 3], [255; 3]], &cells));
    let before = bench.files();
    let (code, told) =
        interrupted_at("planning every strand", start(&bench, &["plan", "noise.png", "--out", "p.json"]));
    assert_eq!(code, 130, "{told}");
    assert!(told.contains("cancelled, nothing was written"), "{told}");
    assert_eq!(bench.files(), before);
}

#[test]
fn making_can_be_stopped_and_leaves_nothing() {
    const SIDE: u32 = 1000;
    let bench = Bench::new();
    let grey: Vec<u8> = noise((SIDE * SIDE) as usize).map(|bit| bit * 255).collect();
    let picture = GrayImage::from_raw(SIDE, SIDE, grey).expect("so many pixels");
    picture.save_with_format(bench.path("noise.png"), ImageFormat::Png).expect("written");
    let before = bench.files();
    let yarns = demo_yarns();
    let make = [
        "make",
        "noise.png",
        "--yarns",
        &yarns,
        "--width",
        "1000st",
        "--height",
        "1000st",
        "--gauge",
        "14x14",
        "--colour",
        "chalk",
        "--colour",
        "soot",
        "--out",
        "blanket",
    ];
    for stage in ["charting", "planning every strand"] {
        let (code, told) = interrupted_at(stage, start(&bench, &make));
        assert_eq!(code, 130, "{told}");
        assert!(told.contains("cancelled, nothing was written"), "{told}");
        assert_eq!(bench.files(), before);
    }
}

#[test]
fn looking_for_charts_can_be_stopped_and_leaves_nothing() {
    const SIDE: u32 = 400;
    let bench = Bench::new();
    let grey: Vec<u8> = noise((SIDE * SIDE) as usize).map(|bit| bit * 255).collect();
    let picture = GrayImage::from_raw(SIDE, SIDE, grey).expect("so many pixels");
    picture.save_with_format(bench.path("noise.png"), ImageFormat::Png).expect("written");
    let before = bench.files();
    let yarns = demo_yarns();
    let common =
        ["chart", "noise.png", "--yarns", &yarns, "--width", "400st", "--gauge", "14x14", "--colours", "6"];
    for (stage, more) in [
        ("looking for charts to choose from", &["--choices", "5", "--out", "row"][..]),
        ("making the chart easier to work", &["--ease", "5", "--out", "c.png"]),
    ] {
        let (code, told) = interrupted_at(stage, start(&bench, &[&common[..], more].concat()));
        assert_eq!(code, 130, "{told}");
        assert!(told.contains("cancelled, nothing was written"), "{told}");
        assert_eq!(bench.files(), before);
    }
}
