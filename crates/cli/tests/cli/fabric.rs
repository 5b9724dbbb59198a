//! Pictures of the fabric.

use image::Rgb;

use crate::bench::Bench;

const COLUMNS: usize = 40;
const ROWS: usize = 30;

/// Red at the left of the chart, blue at its right.
fn bench() -> Bench {
    let bench = Bench::new();
    let line = [vec!["#c02020"; COLUMNS / 2], vec!["#2020c0"; COLUMNS / 2]].concat().join(",") + "\n";
    bench.write("c.csv", line.repeat(ROWS));
    bench.done(&["plan", "c.csv", "--gauge", "14x15", "--out", "p.json"]);
    bench
}

/// Turned over, left and right change places, as with anything that is turned over.
#[test]
fn both_faces_are_drawn_at_the_proportions_of_the_gauge() {
    let bench = bench();
    let drawn = |gauge: &str, size: &str| {
        let files = ["--out", "front.png", "--back", "back.png", "--force"];
        bench.done(&[&["fabric", "c.csv", "p.json", "--gauge", gauge, "--size", size][..], &files].concat());
        ["front.png", "back.png"]
            .map(|name| image::load_from_memory(&bench.read(name)).expect("a PNG").into_rgb8())
    };
    let [front, back] = drawn("14x15", "400");
    assert_eq!((front.width(), back.width()), (400, 400));
    // 40 stitches at 14 and 30 rows at 15 in 10 cm: 28.57 by 20 cm.
    assert!(front.height().abs_diff(280) <= 2, "{}", front.height());
    let mean = |face: &image::RgbImage, from: u32, to: u32| {
        let mut sum = [0_u64; 3];
        for y in 40..face.height() - 40 {
            for x in from..to {
                let Rgb(colour) = *face.get_pixel(x, y);
                sum.iter_mut().zip(colour).for_each(|(sum, part)| *sum += u64::from(part));
            }
        }
        sum
    };
    let is_red = |[red, _, blue]: [u64; 3]| red > 2 * blue;
    let is_blue = |[red, _, blue]: [u64; 3]| blue > 2 * red;
    assert!(is_red(mean(&front, 40, 160)) && is_blue(mean(&front, 240, 360)));
    assert!(is_blue(mean(&back, 40, 160)) && is_red(mean(&back, 240, 360)));
    let [high, _] = drawn("14x7", "400");
    assert!(high.height() == 400 && high.width().abs_diff(267) <= 2, "{}", high.width());
}

#[test]
fn fabrics_that_cannot_be() {
    let bench = bench();
    let fabric = ["fabric", "c.csv", "p.json"];
    let refused = |code: i32, more: &[&str], words: &[&str]| {
        bench.refused(&[&fabric[..], more].concat(), code, words);
    };
    refused(2, &[], &["--out FRONT.png is missing"]);
    refused(2, &["--out", "f.jpg"], &["--out f.jpg", "PNG"]);
    refused(2, &["--out", "f.png", "--back", "f.png"], &["same file", "two names"]);
    refused(2, &["--out", "f.png", "--size", "15"], &["--size 15", "16 to 4096"]);
    bench.write("other.csv", "#c02020,#2020c0\n".repeat(3));
    bench.refused(
        &["fabric", "other.csv", "p.json", "--out", "f.png"],
        3,
        &["p.json", "make the plan again"],
    );
    // An unproven plan is not drawn.
    let mut plan = bench.json("p.json");
    plan["rows"][3]["steps"].as_array_mut().expect("steps").pop();
    bench.write("loose.json", plan.to_string());
    bench.refused(&["fabric", "c.csv", "loose.json", "--out", "f.png"], 1, &["loose.json", "row 4"]);
}
