//! Borders on the command line.

use serde_json::json;

use crate::bench::{Bench, demo_yarns};

/// 60 stitches by 60 rows of oat with a stitch of night.
fn bench() -> Bench {
    let bench = Bench::new();
    let plain = format!("{}oat\n", "oat,".repeat(59));
    bench.write("c.csv", plain.repeat(59) + &format!("{}night\n", "oat,".repeat(59)));
    bench
}

#[test]
fn a_border_lies_flat_and_is_told_in_words() {
    let bench = bench();
    let yarns = demo_yarns();
    let border = |rounds: &str, more: &[&str]| {
        let common = ["border", "c.csv", "--yarns", &yarns, "--gauge", "14x14", "--rounds", rounds];
        bench.done(&[&common[..], more].concat())
    };
    // At a square gauge: 3 sc in each corner, which are the end stitches of top and foundation, and one for each stitch and row
    // end between (SEEN: Munger and many), then
    // 5 dc in each corner (SEEN: Eckman 2010, no. 31).
    let said = border("sc oat, dc Brick", &["--json"]).json();
    assert_eq!(said["rounds"][0]["corners"], json!([3, 3, 3, 3]));
    assert_eq!(said["rounds"][0]["stitches"], 2 * 58 + 2 * 60 + 4 * 3);
    assert_eq!(said["rounds"][1]["yarn"], "brick");
    let corners = said["rounds"][1]["corners"].as_array().expect("corners");
    assert!(corners.iter().all(|corner| corner == 5), "{corners:?}");
    let says = |said: &serde_json::Value| said["says"].to_string();
    assert!(says(&said).contains("lies flat"), "{said}");
    let yarn: Vec<&serde_json::Value> =
        said["yarns"].as_array().expect("yarns").iter().map(|yarn| &yarn["yarn"]).collect();
    assert_eq!(yarn, ["oat", "brick"]);
    assert!(said["hours"].as_f64() > Some(0.0) && said["yarns"][0]["metres"].as_f64() > Some(1.0));
    // One sc in each corner draws in, as everybody finds who forgets them (common practice, no source).
    let cups = border("sc oat corners 1, sc oat corners 1, sc oat corners 1", &["--json"]).json();
    assert!(says(&cups).contains("cups at the corners"), "{cups}");
    let told = border("sc oat, sc night repeat 6+1", &[]).out;
    assert!(told.contains("Round 2 (sc = single crochet") && told.contains("hours"), "{told}");
    // In UK terms a dc is what is a sc in the US.
    let uk = border("dc oat", &["--terms", "uk", "--json"]).json();
    assert_eq!(
        (&uk["rounds"][0]["stitches"], &uk["rounds"][0]["stitch"]),
        (&said["rounds"][0]["stitches"], &"dc".into())
    );
    let left = border("sc oat", &["--hand", "left"]).out;
    assert!(left.contains("for the left hand") && left.contains("clockwise"), "{left}");
    border("sc oat", &["--out", "b.txt"]);
    assert_eq!(bench.text("b.txt"), border("sc oat", &[]).out);
}

#[test]
fn borders_that_cannot_be() {
    let bench = bench();
    let yarns = demo_yarns();
    let refused = |code: i32, rounds: &str, more: &[&str], words: &[&str]| {
        let common = ["border", "c.csv", "--yarns", &yarns, "--rounds", rounds];
        bench.refused(&[&common[..], more].concat(), code, words);
    };
    refused(2, "", &[], &["round 1", "empty"]);
    refused(2, "sc oat,", &[], &["round 2", "empty"]);
    refused(2, "sc oat, xx oat", &[], &["round 2 \"xx oat\"", "\"xx\"", "sc, hdc, dc, tr"]);
    refused(2, "sc oat", &["--terms", "uk"], &["\"sc\"", "UK terms", "dc, htr, tr, dtr"]);
    refused(2, "sc", &[], &["the yarn is missing"]);
    refused(3, "sc oats", &[], &["no yarn \"oats\""]);
    refused(2, "sc oat corners", &[], &["a number is missing behind \"corners\""]);
    refused(2, "sc oat corners 0", &[], &["\"0\""]);
    refused(2, "sc oat repeat 6+x", &[], &["\"6+x\"", "as 6+1"]);
    refused(3, "sc oat repeat 0+1", &[], &["no repeat"]);
    refused(3, "sc oat repeat 90+1", &[], &["too few for a repeat that needs 91"]);
    refused(2, "sc oat corners 3 4", &[], &["a number is missing behind \"4\""]);
    bench.refused(&["border", "c.csv", "--yarns", &yarns], 2, &["--rounds ROUNDS is missing"]);
    bench.write("b.txt", "mine");
    refused(5, "sc oat", &["--out", "b.txt"], &["b.txt", "there already"]);
}
