//! Charts changed by named operations.

use serde_json::Value;

use crate::bench::{Bench, demo_yarns};
use crate::marks::noise_csv;

const A: &str = "#1f2a44";
const B: &str = "#f5ecd7";

/// A chart's text out of rows of letters A and B, the top row first.
fn csv(rows: &str) -> String {
    let line =
        |row: &str| row.chars().map(|cell| if cell == 'A' { A } else { B }).collect::<Vec<_>>().join(",");
    rows.split_whitespace().map(|row| line(row) + "\n").collect()
}

/// Worked out by hand; A is the yarn that the text names first.
#[test]
fn operations_do_what_they_say_one_after_another() {
    let bench = Bench::new();
    bench.write("c.csv", csv("AAAA ABAA AAAB"));
    for (operations, wanted) in [
        (&["clean 2"][..], "AAAA AAAA AAAA"),
        (&["clean 2 in 1,2,3x2"], "AAAA AAAA AAAB"),
        (&["line 1,1 to 1,3 B", "mirror sideways"], "AAAB AABB BAAB"),
        (&["rows +1 at 4", "columns -2 at 1"], "AA AA AA AB"),
        (&["edges 0,0,1,-2 B", "replace A B in row 2"], "BBBB BBBB"),
    ] {
        let mut command = vec!["alter", "c.csv", "--out", "d.csv", "--force"];
        command.extend(operations.iter().flat_map(|operation| ["--do", operation]));
        let told = bench.done(&command);
        assert_eq!(bench.text("d.csv"), csv(wanted), "{operations:?}");
        assert_eq!(told.out.lines().count(), operations.len());
        for (line, operation) in told.out.lines().zip(operations) {
            assert!(
                line.starts_with(&format!("{operation}: "))
                    && line.contains("ends")
                    && line.contains("hours"),
                "{line}"
            );
        }
    }
    let told = bench.done(&[
        "alter", "c.csv", "--out", "d.png", "--do", "clean 2", "--do", "clean 2", "--gauge", "14x15",
    ]);
    assert!(told.out.contains("clean 2: 2 stitches changed; ends 4 → 2 (2 fewer)"), "{told:?}");
    assert!(told.out.contains("clean 2: no stitch changed; ends 2 → 2 (as before)"), "{told:?}");
}

/// What is told of ends is what plans of the charts before and after say.
#[test]
fn what_it_did_to_ends_and_hours_is_told() {
    let bench = Bench::new();
    bench.write("c.csv", noise_csv(24, 20, 5));
    let yarns = demo_yarns();
    let common = ["alter", "c.csv", "--gauge", "14x15", "--do", "clean 4"];
    let ends = |chart: &str| {
        let plan = bench.done(&["plan", chart, "--json", "--gauge", "14x15"]).json();
        plan["summary"]["ends"].as_u64().expect("a count")
    };
    bench.done(&[&common[..], &["--out", "one.png"]].concat());
    // The list's yarns come in where they are named.
    bench.write("n.csv", "oat,night,oat\noat,oat,oat\n");
    bench.done(&["alter", "n.csv", "--yarns", &yarns, "--do", "frame 1x1 \"Pine\"", "--out", "f.csv"]);
    assert_eq!(
        bench.text("f.csv"),
        "pine,pine,pine,pine,pine\npine,oat,night,oat,pine\npine,oat,oat,oat,pine\npine,pine,pine,pine,pine\n"
    );
    let said =
        bench.done(&[&common[..], &["--do", "frame 2x3 A", "--out", "two.png", "--json"]].concat()).json();
    assert_eq!(said["written"], serde_json::json!(["two.png"]));
    let [clean, frame] = said["operations"].as_array().expect("two").as_slice() else { panic!("{said}") };
    assert_eq!(
        (&clean["name"], &clean["do"], &frame["name"]),
        (&"clean".into(), &"clean 4".into(), &"frame".into())
    );
    assert_eq!((clean["added"].as_u64(), frame["added"].as_u64()), (Some(0), Some(28 * 26 - 24 * 20)));
    let count = |value: &Value| value["ends"].as_u64().expect("a count");
    assert_eq!(count(&clean["before"]), ends("c.csv"));
    assert_eq!((count(&clean["after"]), count(&frame["before"])), (ends("one.png"), ends("one.png")));
    assert_eq!(count(&frame["after"]), ends("two.png"));
    assert!(count(&clean["after"]) < count(&clean["before"]));
    assert!(clean["after"]["hours"].as_f64() < clean["before"]["hours"].as_f64());
    assert_eq!(said["summary"]["columns"], 28);
}

#[test]
fn operations_that_cannot_be() {
    let bench = Bench::new();
    bench.write("c.csv", csv("AAAA ABAA AAAB"));
    let refused = |code: i32, operation: &str, words: &[&str]| {
        // One that could be done before it does not make it half done.
        bench.refused(
            &["alter", "c.csv", "--do", "clean 2", "--do", operation, "--out", "d.csv"],
            code,
            words,
        );
    };
    refused(2, "polish", &["--do \"polish\"", "no operation \"polish\"", "clean, smooth", "alter --help"]);
    refused(2, "clean many", &["\"many\"", "clean N [in AREA]"]);
    refused(2, "box 1,1,2 A", &["\"1,1,2\" is no area", "box AREA YARN"]);
    refused(
        3,
        "smooth in 2,2,4x2",
        &["area 2,2,4x2", "not all on the chart", "to 4, rows from 1 at the bottom to 3"],
    );
    refused(3, "replace A pine", &["no yarn \"pine\"", "--yarns"]);
    refused(3, "enlarge 101", &["enlarged by 101"]);
    bench.refused(&["alter", "c.csv", "--out", "d.csv"], 2, &["--do OPERATION is missing"]);
    bench.refused(
        &["alter", "c.csv", "--do", "clean 2", "--out", "c.csv", "--force"],
        5,
        &["very file that is read"],
    );
    bench.refused(&["alter", "c.csv", "--do", "clean 2", "--out", "d.gif"], 2, &["PNG or CSV"]);
    bench.refused(
        &["alter", "nowhere.csv", "--do", "clean 2", "--out", "d.csv"],
        3,
        &["nowhere.csv", "no such file"],
    );
}
