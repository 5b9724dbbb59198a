//! Help, and slips of the fingers.

use crate::bench::Bench;

/// `whole_way` runs the command that is told to try.
#[test]
fn the_help_says_what_it_does_and_what_to_try() {
    let bench = Bench::new();
    let outcome = bench.done(&["--help"]);
    assert!(outcome.out.contains("crochet pattern for a picture blanket"), "{outcome:?}");
    assert!(
        outcome.out.contains("strandwright make demo/picture.png --yarns demo/yarns.toml"),
        "{outcome:?}"
    );
    for command in ["make", "chart", "plan", "replay", "rows"] {
        assert!(outcome.out.contains(&format!("\n  {command} ")), "{command}");
    }
    for flag in ["--port", "--data", "--no-browser"] {
        assert!(outcome.out.contains(flag), "{flag}");
    }
    assert_eq!(outcome.err, "");
}

#[test]
fn help_is_a_result_and_names_every_flag() {
    let bench = Bench::new();
    assert!(bench.done(&["--version"]).out.starts_with("strandwright "));
    assert!(bench.done(&["--help"]).out.contains("Exit codes: 0 done"));
    let help = bench.done(&["make", "--help"]).out;
    for flag in [
        "yarns",
        "width",
        "height",
        "gauge",
        "crop",
        "colours",
        "colour",
        "frame",
        "frame-colour",
        "hand",
        "longest-carry",
        "longest-wait",
        "never",
        "rules",
        "join",
        "cut",
        "tail",
        "short",
        "hang",
        "carry-same",
        "carry-other",
        "carry-show-dark",
        "carry-show-light",
        "lift",
        "lift-show",
        "lift-edge",
        "terms",
        "out",
        "force",
        "json",
    ] {
        assert!(help.contains(&format!(" --{flag} ")), "{flag} is not in the help");
    }
    for command in ["chart", "plan", "replay", "rows"] {
        assert!(bench.done(&[command, "--help"]).out.contains(" --json "), "{command}");
    }
}

#[test]
fn slips_are_told_with_what_was_meant() {
    let bench = Bench::new();
    bench.refused(
        &["frobnicate"],
        2,
        &["there is no command \"frobnicate\"", "make, chart, plan, replay, rows"],
    );
    bench.refused(&["repaly"], 2, &["there is no command \"repaly\"", "did you mean replay?"]);
    bench.refused(&["cat.png"], 2, &["there is no command \"cat.png\"", "begin with a command"]);
    bench.refused(
        &["plan", "c.png", "--longest-cary", "3"],
        2,
        &["--longest-cary", "did you mean --longest-carry?"],
    );
    bench.refused(
        &["plan", "c.png", "--bogus"],
        2,
        &["there is no option --bogus", "strandwright plan --help"],
    );
    bench.refused(&["plan", "c.png", "d.png"], 2, &["\"d.png\" is one too many"]);
    bench.refused(&["plan"], 2, &["CHART is missing"]);
    bench.refused(&["make", "cat.png"], 2, &["--yarns YARNS.toml, --out FOLDER are missing"]);
    bench.refused(&["plan", "c.png", "--hand", "both"], 2, &["--hand", "\"both\"", "right or left"]);
    bench.refused(&["rows", "c.png", "p.json", "--terms", "fr"], 2, &["--terms", "\"fr\"", "us or uk"]);
    bench.refused(&["plan", "c.png", "--out"], 2, &["--out", "its value is missing"]);
    bench.refused(&["plan", "c.png", "--force", "--force"], 2, &["--force", "given twice"]);
    bench.refused(&["replay", "plan.json", "c.png"], 2, &["plan.json", "give the chart first"]);
}
