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
    for command in
        ["make", "chart", "plan", "replay", "rows", "alter", "fabric", "border", "amounts", "practice"]
    {
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
        "keep",
        "without",
        "on-hand",
        "ease",
        "matters",
        "words",
        "words-colour",
        "words-edge",
        "words-at",
        "letters",
        "letter-gap",
        "line-gap",
        "lines",
        "wrap",
        "font",
        "ground",
        "margin",
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
        assert!(
            help.contains(&format!(" --{flag} ")) || help.contains(&format!(" --{flag}\n")),
            "{flag} is not in the help"
        );
    }
    // The rules of the plan stand under their own heading, and words under theirs.
    assert!(help.contains("\nRules of the plan:\n") && help.contains("\nWords:\n"), "{help}");
    assert!(help.find(" --out ") < help.find("\nWords:\n"), "{help}");
    let chart = bench.done(&["chart", "--help"]).out;
    for flag in ["choices", "picture-out", "ease", "words"] {
        assert!(chart.contains(&format!(" --{flag} ")), "{flag}");
    }
    for command in ["chart", "plan", "replay", "rows", "alter", "fabric", "border", "amounts", "practice"] {
        assert!(bench.done(&[command, "--help"]).out.contains(" --json "), "{command}");
    }
}

#[test]
fn slips_are_told_with_what_was_meant() {
    let bench = Bench::new();
    bench.refused(&["xyzzy"], 2, &["there is no command \"xyzzy\"", "make, chart, plan, replay, rows"]);
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
    for gauge in [&["13", "x", "15"][..], &["13", "by", "15"], &["13.5", "×", "15"]] {
        let command = [&["plan", "c.png", "--gauge"][..], gauge].concat();
        let written = format!("--gauge {}x15", gauge[0]);
        bench.refused(&command, 2, &["--gauge", "spaces", &written]);
    }
    bench.refused(&["plan", "c.png", "--gauge", "13/15"], 2, &["--gauge 13/15", "x between: 13x15"]);
    bench.refused(&["make", "cat.png"], 2, &["--yarns YARNS.toml, --out FOLDER are missing"]);
    bench.refused(&["plan", "c.png", "--hand", "both"], 2, &["--hand", "\"both\"", "right or left"]);
    bench.refused(&["rows", "c.png", "p.json", "--terms", "fr"], 2, &["--terms", "\"fr\"", "us or uk"]);
    bench.refused(&["plan", "c.png", "--out"], 2, &["--out", "its value is missing"]);
    bench.refused(&["plan", "c.png", "--force", "--force"], 2, &["--force", "given twice"]);
    bench.refused(&["replay", "plan.json", "c.png"], 2, &["plan.json", "give the chart first"]);
}
