//! Everything that can be wrong but the picture: each with its exit code, a message that names the
//! thing and a hint, nothing written and nothing lost.

use std::fs;

use serde_json::{Value, json};

use crate::bench::{Bench, demo_yarns, stock};
use crate::marks::{animated, indexed, jpeg, noise_csv, picture, png};

#[test]
fn sizes_colours_and_frames_that_cannot_be() {
    let bench = Bench::new();
    bench.write("p.png", png(&picture()));
    let yarns = demo_yarns();
    // 2: the command line is not understood; 3: it is, but asks for what can't be had.
    let refused_with = |code: i32, more: &[&str], words: &[&str]| {
        for (command, out) in [("chart", "c.png"), ("make", "folder")] {
            bench.refused(
                &[&[command, "p.png", "--yarns", &yarns, "--out", out], more].concat(),
                code,
                words,
            );
        }
    };
    let refused = |more: &[&str], words: &[&str]| refused_with(2, more, words);
    let unfit = |more: &[&str], words: &[&str]| refused_with(3, more, words);
    refused(&[], &["--width and --height", "no size is given"]);
    unfit(&["--width", "0cm"], &["--width", "above 0"]);
    unfit(&["--width", "-5cm"], &["--width", "above 0"]);
    unfit(&["--width", "-5st"], &["--width", "the least is 2"]);
    unfit(&["--width", "1cm"], &["--width", "the least is 2"]);
    unfit(&["--width", "9000cm"], &["--width", "11250 stitches", "the most is 10000"]);
    unfit(&["--width", "999999999999999999999in"], &["--width", "the most is 10000"]);
    unfit(&["--width", "5000st"], &["the most is 4000000"]);
    refused(&["--width", "110"], &["--width 110", "a unit is missing", "110cm"]);
    refused(&["--width", "110ft"], &["--width 110ft", "\"ft\" is not a unit"]);
    refused(&["--height", "1,5cm"], &["--height 1,5cm", "\"1,5\" is not a number"]);
    refused(&["--width", "1.5st"], &["--width 1.5st", "whole number"]);
    let sized = |more: &[&str], words: &[&str]| refused(&[&["--width", "24st"], more].concat(), words);
    let sized_unfit = |more: &[&str], words: &[&str]| unfit(&[&["--width", "24st"], more].concat(), words);
    sized_unfit(&["--colours", "23"], &["--colours", "23 colours", "22 yarns"]);
    sized_unfit(&["--colours", "0"], &["--colours", "at least one"]);
    sized(&["--colours", "-3"], &["--colours -3", "whole number"]);
    sized(&["--colours", "3", "--colour", "oat"], &["--colour", "can't go together"]);
    sized_unfit(&["--colour", "oats"], &["--colour", "no yarn \"oats\"", "it has oat, chalk"]);
    sized(&["--colour", "oat", "--colour", "oat"], &["--colour", "\"oat\"", "twice"]);
    sized_unfit(&["--crop", "40,0,20x20"], &["--crop", "outside the picture", "48 by 64"]);
    sized_unfit(&["--crop", "0,0,0x5"], &["--crop", "leaves nothing"]);
    sized(&["--crop", "1,2"], &["--crop 1,2", "X,Y,WxH"]);
    sized(&["--frame", "2"], &["--frame-colour KEY is missing"]);
    sized(&["--frame-colour", "oat"], &["--frame N is missing"]);
    sized_unfit(&["--frame", "2", "--frame-colour", "oats"], &["--frame-colour", "no yarn \"oats\""]);
    sized_unfit(&["--frame", "12", "--frame-colour", "oat"], &["--frame", "24 stitches"]);
    sized(&["--gauge", "14x"], &["--gauge 14x", "a number is missing"]);
    sized(&["--gauge", "1400"], &["--gauge 1400", "between 1 and 100"]);
}

#[test]
fn all_faults_of_a_list_of_yarns_are_told_at_once() {
    let bench = Bench::new();
    bench.write("p.png", png(&picture()));
    bench.write(
        "yarns.toml",
        "[[yarn]]\nkey = \"oat\"\nname = \"Oat\"\ncolour = \"beige\"\nweight = \"medium\"\nmetres = 0\ngrams = 50\n\n\
         [[yarn]]\nkey = \"oat\"\nname = \"More oat\"\ncolour = \"#f0e2c2\"\nweight = 9\nmetre = 85\ngrams = 50\n",
    );
    let size = ["--width", "24st", "--colours", "2", "--yarns"];
    let refused = |yarns: &str, words: &[&str]| {
        bench.refused(&[&["make", "p.png", "--out", "new"], &size[..], &[yarns]].concat(), 3, words)
    };
    let told = refused(
        "yarns.toml",
        &[
            "yarns.toml, line 4, field colour",
            "\"beige\"",
            "yarns.toml, line 6, field metres",
            "yarns.toml, line 10, field key",
            "yarns.toml, line 13, field weight",
            "line 14",
            "did you mean metres?",
        ],
    );
    assert!(told["error"]["more"].as_array().is_some_and(|more| more.len() >= 4), "{told}");
    refused("nowhere.toml", &["nowhere.toml", "no such file"]);
    refused("p.png", &["p.png", "not a text", "list of yarns"]);
    bench.write("half.toml", "[[yarn]]\nkey = \"oat\n");
    refused("half.toml", &["half.toml, line 2"]);
}

#[test]
fn files_are_not_written_over() {
    let bench = Bench::new();
    bench.write("p.png", png(&picture()));
    bench.write("c.csv", noise_csv(6, 6, 1));
    let yarns = demo_yarns();
    let size = ["--yarns", &yarns, "--width", "24st", "--colours", "2", "--out"];
    bench.write("there", "mine");
    bench.write("there.png", "mine");
    bench.write("there.json", "mine");
    for (place, words) in [("there", "a file of that name"), ("there/in", "a part of the path is a file")] {
        for force in [None, Some("--force")] {
            let command: Vec<&str> =
                ["make", "p.png"].into_iter().chain(size).chain([place]).chain(force).collect();
            bench.refused(&command, 5, &[place, words]);
        }
    }
    let chart = |out: &[&'static str]| [&["chart", "p.png"][..], &size, out].concat();
    bench.refused(&chart(&["there.png"]), 5, &["there.png", "there already", "--force"]);
    bench.refused(&chart(&["new.png", "--picture-out", "there.png"]), 5, &["there.png", "there already"]);
    bench.refused(&chart(&["new.png", "--picture-out", "new.png"]), 2, &["same file"]);
    bench.refused(&chart(&["nowhere/new.png"]), 5, &["nowhere", "no such folder"]);
    bench.refused(&chart(&["new.jpg"]), 2, &["--out new.jpg", "PNG or CSV", "new.png"]);
    bench.refused(&["plan", "c.csv", "--out", "there.json"], 5, &["there.json", "there already"]);
    // What is read is not written over, even with --force.
    bench.refused(&chart(&["p.png", "--force"]), 5, &["p.png", "the very file that is read"]);
    bench.refused(&["plan", "c.csv", "--out", "./c.csv", "--force"], 5, &["the very file that is read"]);
    // A folder in the place of one of the five files: none of the others is written.
    fs::create_dir_all(bench.path("folder/rows.txt")).expect("made");
    for force in [None, Some("--force")] {
        let command: Vec<&str> =
            ["make", "p.png"].into_iter().chain(size).chain(["folder"]).chain(force).collect();
        bench.refused(&command, 5, &["rows.txt", "a folder of that name"]);
    }
    // With --force a file is replaced whole.
    bench.done(&["plan", "c.csv", "--out", "there.json", "--force"]);
    assert_eq!(bench.json("there.json")["document"], "strandwright plan");
    bench.done(&["rows", "c.csv", "there.json", "--out", "there", "--force"]);
    assert!(bench.text("there").starts_with("ROWS IN WORDS"));
}

#[cfg(target_os = "linux")]
#[test]
fn places_that_take_nothing() {
    use std::os::unix::fs::PermissionsExt;

    use crate::bench::Outcome;

    let bench = Bench::new();
    bench.write("p.png", png(&picture()));
    bench.write("c.csv", noise_csv(6, 6, 1));
    bench.done(&["plan", "c.csv", "--out", "p.json"]);
    let yarns = demo_yarns();
    bench.refused(&["plan", "c.csv", "--out", "/dev/full"], 5, &["/dev/full", "no room"]);
    bench.refused(&["rows", "c.csv", "p.json", "--out", "/dev/full"], 5, &["/dev/full", "no room"]);
    let chart =
        ["chart", "p.png", "--yarns", &yarns, "--width", "24st", "--colours", "2", "--out", "/dev/full"];
    bench.refused(&chart, 5, &["/dev/full", "no room"]);
    // The kernel's own folder takes nothing from anybody, root included.
    let make = ["make", "p.png", "--yarns", &yarns, "--width", "24st", "--colours", "2", "--out"];
    bench.refused(&[&make[..], &["/sys/blanket"]].concat(), 5, &["/sys/blanket"]);
    for command in [
        &["plan", "c.csv", "--json"][..],
        &["plan", "c.csv"],
        &["rows", "c.csv", "p.json"],
        &["replay", "c.csv", "p.json"],
        &["replay", "c.csv", "p.json", "--json"],
        &["make", "--json"],
        &["--help"],
        &[],
    ] {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").expect("opened");
        let output = bench.program(command).stdout(full).output().expect("started");
        let outcome = Outcome::of(output);
        // The command line that is wrong stays so; the message then goes where it can.
        let code = if command == ["make", "--json"] { 2 } else { 5 };
        assert_eq!(outcome.code, code, "{command:?}: {outcome:?}");
        assert!(
            outcome.err.contains("error: ") && outcome.err.contains("hint: "),
            "{command:?}: {outcome:?}"
        );
    }

    let locked = bench.path("locked");
    fs::create_dir(&locked).expect("made");
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o555)).expect("set");
    // Whoever may do everything, may write here too.
    if fs::write(locked.join("try"), "").is_err() {
        bench.refused(&["plan", "c.csv", "--out", "locked/p.json"], 5, &["locked/p.json", "does not allow"]);
        bench.refused(&[&make[..], &["locked"]].concat(), 5, &["locked", "does not allow"]);
        bench.refused(&[&make[..], &["locked/new"]].concat(), 5, &["locked/new", "does not allow"]);
    }
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o755)).expect("set");
}

#[test]
fn files_that_are_no_charts() {
    let bench = Bench::new();
    bench.write("photo.png", png(&picture()));
    bench.write("photo.jpg", jpeg(&picture()));
    let shades: Vec<[u8; 3]> = (0..65).map(|n| [n, n, n]).collect();
    bench.write("many.png", indexed(13, &shades, &(0..65).collect::<Vec<u8>>()));
    let moving = animated(png::ColorType::Indexed, &[0, 0, 0, 255, 255, 255], &[0; 16], &[1; 16]);
    bench.write("moving.png", moving);
    let whole = indexed(4, &[[0; 3], [255; 3]], &[0, 1, 0, 1]);
    bench.write("torn.png", &whole[..whole.len() - 20]);
    bench.write("beyond.png", indexed(4, &[[0; 3], [255; 3]], &[0, 1, 2, 1]));
    bench.write("ragged.csv", "#ffffff,#000000\n#ffffff\n");
    bench.write("named.csv", "oat,night\n");
    for (chart, words) in [
        ("nowhere.png", &["nowhere.png", "no such file"][..]),
        ("photo.png", &["photo.png", "RGB", "strandwright chart"]),
        ("photo.jpg", &["photo.jpg", "JPEG", "strandwright chart"]),
        ("many.png", &["many.png", "65 entries", "at most 64"]),
        ("moving.png", &["moving.png", "animat"]),
        ("torn.png", &["torn.png"]),
        ("beyond.png", &["beyond.png", "palette"]),
        ("ragged.csv", &["ragged.csv, line 2"]),
        ("named.csv", &["named.csv", "\"oat\"", "list of yarns"]),
    ] {
        bench.refused(&["plan", chart, "--out", "p.json"], 3, words);
    }
}

#[test]
fn unused_and_equal_entries_of_a_palette_are_noted() {
    let bench = Bench::new();
    bench.write("c.png", indexed(4, &[[0; 3], [255; 3], [255; 3], [9; 3]], &[0, 1, 2, 0]));
    let said = bench.done(&["plan", "c.png", "--out", "p.json", "--json"]).json();
    for words in ["no stitch uses palette entry 3", "palette entries 1 and 2 have the same colour #ffffff"] {
        let notes = said["notes"].as_array().expect("notes");
        assert!(notes.iter().any(|note| note == words), "{said}");
        // Where standard output holds the plan and nothing else, they are told all the same.
        let printed = bench.done(&["plan", "c.png", "--json"]);
        assert!(
            printed.err.contains(words) && printed.json()["document"] == "strandwright plan",
            "{printed:?}"
        );
    }
    // Two entries of one colour are two yarns.
    assert_eq!(said["summary"]["colours"], 3);
}

fn changed(plan: &Value, change: impl FnOnce(&mut Value)) -> String {
    let mut plan = plan.clone();
    change(&mut plan);
    plan.to_string()
}

#[test]
fn plans_that_are_damaged_or_false() {
    let bench = Bench::new();
    bench.write("c.csv", noise_csv(12, 10, 7));
    bench.write("other.csv", noise_csv(12, 11, 7));
    let text = noise_csv(12, 10, 7);
    let mut lines: Vec<&str> = text.lines().collect();
    lines.swap(8, 9);
    bench.write("swapped.csv", lines.join("\n"));
    bench.done(&["plan", "c.csv", "--out", "p.json"]);
    let plan = bench.json("p.json");
    for command in ["replay", "rows"] {
        bench.refused(&[command, "c.csv", "nowhere.json"], 3, &["nowhere.json", "no such file"]);
        bench.refused(&[command, "c.csv", "c.csv"], 3, &["c.csv", "JSON"]);
        bench.refused(
            &[command, "other.csv", "p.json"],
            3,
            &["p.json", "12 stitches by 10 rows", "make the plan again"],
        );
        let text = bench.text("p.json");
        bench.write("torn.json", &text[..text.len() / 2]);
        bench.refused(&[command, "c.csv", "torn.json"], 3, &["torn.json, line ", "JSON"]);
        bench.write("odd.json", changed(&plan, |plan| plan["summary"]["ends"] = json!(1)));
        bench.refused(&[command, "c.csv", "odd.json"], 3, &["odd.json", "field ends", "contradicts itself"]);
        bench.write("newer.json", changed(&plan, |plan| plan["version"] = json!(2)));
        bench.refused(&[command, "c.csv", "newer.json"], 3, &["newer.json", "version"]);

        // A document that agrees with itself and says what is not so.
        let carried = plan["summary"]["carried"].as_u64().expect("a count");
        bench.write("false.json", changed(&plan, |plan| plan["summary"]["carried"] = json!(carried + 1)));
        let told = bench.refused(&[command, "c.csv", "false.json"], 1, &["false.json", "carried"]);
        assert_eq!(told["accepted"], false);
        let violation = &told["violation"];
        assert_eq!(violation["reason"], "false_carried");
        assert_eq!(
            (&violation["expected"], &violation["found"]),
            (&json!(carried.to_string()), &json!((carried + 1).to_string()))
        );
        // Cheaper by a thousandth of a stitch.
        let cost = plan["summary"]["cost"].as_f64().expect("a cost");
        let less = json!(((cost - 0.001) * 1e3).round() / 1e3);
        let cheap = changed(&plan, |plan| {
            plan["summary"]["cost"] = less.clone();
            plan["summary"]["bound"] = less.clone();
        });
        bench.write("cheap.json", cheap);
        bench.refused(&[command, "c.csv", "cheap.json"], 1, &["cheap.json", "cost"]);

        // The last step of a row is left out: its strand hangs in the air.
        bench.write(
            "loose.json",
            changed(&plan, |plan| {
                plan["rows"][3]["steps"].as_array_mut().expect("steps").pop();
            }),
        );
        let told = bench.refused(&[command, "c.csv", "loose.json"], 1, &["loose.json", "row 4", "strand "]);
        let violation = &told["violation"];
        assert!(violation["row"] == 4 && violation["strand"].is_u64(), "{told}");
        for part in ["expected", "found", "hint"] {
            assert!(violation[part].as_str().is_some_and(|text| !text.is_empty()), "{told}");
        }
        // Another picture of the same size and palette: its two lowest rows are swapped.
        bench.refused(&[command, "swapped.csv", "p.json"], 1, &["p.json", "row 1"]);
    }
}

#[test]
fn rules_that_cannot_be() {
    let bench = Bench::new();
    bench.write("c.csv", noise_csv(12, 10, 7));
    let refused_with = |code: i32, flags: &[&str], words: &[&str]| {
        bench.refused(&[&["plan", "c.csv", "--out", "p.json"], flags].concat(), code, words);
        bench.refused(
            &[
                &[
                    "make",
                    &stock("demo/picture.png"),
                    "--yarns",
                    &demo_yarns(),
                    "--width",
                    "12st",
                    "--out",
                    "new",
                ],
                flags,
            ]
            .concat(),
            code,
            words,
        );
    };
    let refused = |flags: &[&str], words: &[&str]| refused_with(2, flags, words);
    let unfit = |flags: &[&str], words: &[&str]| refused_with(3, flags, words);
    unfit(&["--never", "A:A"], &["--never A:A", "own stitches"]);
    unfit(&["--never", "XX:A"], &["--never XX:A", "no yarn \"XX\"", "it has "]);
    refused(&["--never", "AB"], &["--never AB", "colon"]);
    refused(&["--join", "1.2345"], &["--join 1.2345", "three digits"]);
    refused(&["--join", "-1"], &["--join -1", "below zero"]);
    refused(&["--lift-edge", "10001"], &["--lift-edge 10001", "10000"]);
    refused(&["--hang", "1e2"], &["--hang 1e2", "plain decimal"]);
    refused(&["--tail", "2.5"], &["--tail 2.5", "whole number"]);
    refused(&["--tail", "51"], &["--tail 51", "at most 50"]);
    refused(&["--longest-carry", "-1"], &["--longest-carry -1", "whole number from 0 up, or none"]);
    refused(&["--longest-wait", "2.5"], &["--longest-wait 2.5", "whole number from 0 up, or none"]);
    refused(&["--max-carried", "3"], &["--max-carried 3", "say none"]);
    refused(&["--max-strands", "12"], &["--max-strands 12", "say none"]);

    bench.write(
        "rules.toml",
        "longest-cary = 3\njoin = 1.2345\ntail = 2.5\nmax-strands = 5\nnever = [\"A\"]\nhand = \"both\"\n",
    );
    let file = |name: &str, words: &[&str]| {
        bench.refused(&["plan", "c.csv", "--out", "p.json", "--rules", name], 3, words);
    };
    file(
        "rules.toml",
        &[
            "rules.toml, line 1",
            "did you mean longest-carry?",
            "line 2, field join",
            "line 3, field tail",
            "line 4, field max-strands",
            "line 5, field never",
            "line 6, field hand",
        ],
    );
    bench.write("never.toml", "never = [\"A:Q\"]\n");
    file("never.toml", &["never.toml, never", "no yarn \"Q\""]);
    file("nowhere.toml", &["nowhere.toml", "no such file"]);
}
