//! The pattern to print and to take away, on the command line.

use crate::bench::{Bench, demo_yarns};

fn bench() -> Bench {
    let bench = Bench::new();
    let plain = "oat,".repeat(19) + "oat\n";
    let patch = "oat,".repeat(8) + "night,night,night,night," + &"oat,".repeat(7) + "oat\n";
    bench.write("patch.csv", plain.repeat(3) + &patch.repeat(4) + &plain.repeat(3));
    bench.done(&["plan", "patch.csv", "--yarns", &demo_yarns(), "--gauge", "14x15", "--out", "plan.json"]);
    bench
}

#[test]
fn a_page_to_take_away_holds_what_was_typed() {
    let bench = bench();
    let yarns = demo_yarns();
    let title = "Fox & <b>hound</b> *#$ \u{5e9}\u{5dc}\u{5d5}\u{5dd}";
    let told = bench.done(&[
        "print",
        "patch.csv",
        "plan.json",
        "--yarns",
        &yarns,
        "--title",
        title,
        "--by",
        "Me",
        "--note",
        "Two\nlines",
        "--picture-by",
        "My own",
        "--passing",
        "given",
        "--border",
        "sc night",
        "--out",
        "p.html",
        "--json",
    ]);
    assert_eq!(told.json()["written"], serde_json::json!(["p.html"]));
    let page = bench.text("p.html");
    assert!(page.contains("Fox &amp; &lt;b&gt;hound&lt;/b&gt; *#$ \u{5e9}\u{5dc}\u{5d5}\u{5dd}"));
    for words in
        ["Picture by: My own", "may be given on as it is", "Round 1 (sc = single crochet", "Row 10 (WS"]
    {
        assert!(page.contains(words), "{words}");
    }
    // Nothing of the page comes from anywhere else.
    assert!(
        !page.contains("http://")
            || page.matches("http://").count() == page.matches("http://www.w3.org/").count()
    );
    assert!(!page.contains("https://"));
    let again = bench.read("p.html");
    let print = ["print", "patch.csv", "plan.json", "--out", "p.html"];
    bench.refused(&print, 5, &["p.html", "there"]);
    assert_eq!(bench.read("p.html"), again);
}

#[test]
fn names_that_say_no_kind_are_refused() {
    let bench = bench();
    for (name, word) in [("p.txt", ".pdf or .html"), ("pattern", ".pdf or .html")] {
        let print = ["print", "patch.csv", "plan.json", "--out", name];
        bench.refused(&print, 2, &[name, word]);
    }
    let twice = ["print", "patch.csv", "plan.json", "--out", "p.html", "--out", "p.html"];
    bench.refused(&twice, 2, &["twice"]);
    bench.refused(&["print", "patch.csv", "plan.json"], 2, &["--out"]);
    bench.refused(
        &["print", "patch.csv", "plan.json", "--out", "patch.html", "--margin", "300"],
        2,
        &["300"],
    );
}

/// Source: a PDF begins with its version and says its count of pages (ISO 32000-1).
#[cfg(feature = "pages")]
#[test]
fn a_pattern_is_printed() {
    let bench = bench();
    let yarns = demo_yarns();
    let print = |out: &[&str]| {
        let common = ["print", "patch.csv", "plan.json", "--yarns", &yarns];
        let paper = ["--paper", "letter", "--ink", "black", "--large"];
        bench.done(&[&common[..], &paper, out].concat())
    };
    let told = print(&["--out", "p.pdf", "--out", "p.html", "--json"]).json();
    assert_eq!(told["written"], serde_json::json!(["p.pdf", "p.html"]));
    assert!(told["pages"].as_u64() > Some(5), "{told}");
    let pdf = bench.read("p.pdf");
    assert!(pdf.starts_with(b"%PDF-"));
    // The same again is the same to the last byte.
    print(&["--out", "q.pdf"]);
    assert!(bench.read("q.pdf") == pdf);
}

/// A build without pages says so, and writes the page to take away all the same.
#[cfg(not(feature = "pages"))]
#[test]
fn a_build_without_pages_says_so() {
    let bench = bench();
    bench.refused(&["print", "patch.csv", "plan.json", "--out", "p.pdf"], 2, &["no PDF"]);
    bench.done(&["print", "patch.csv", "plan.json", "--yarns", &demo_yarns(), "--out", "p.html"]);
}
