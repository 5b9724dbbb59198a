//! Amounts, winding list, ends, hours and evenings on the command line.

use serde_json::Value;

use crate::bench::{Bench, demo_yarns};

/// A plain chart of 20 stitches and 10 rows, and one with a patch of night, each with its plan.
fn bench() -> Bench {
    let bench = Bench::new();
    let plain = "oat,".repeat(19) + "oat\n";
    let patch = "oat,".repeat(8) + "night,night,night,night," + &"oat,".repeat(7) + "oat\n";
    bench.write("plain.csv", plain.repeat(10));
    bench.write("patch.csv", plain.repeat(3) + &patch.repeat(4) + &plain.repeat(3));
    let yarns = demo_yarns();
    for name in ["plain", "patch"] {
        let (chart, plan) = (format!("{name}.csv"), format!("{name}.json"));
        bench.done(&["plan", &chart, "--yarns", &yarns, "--gauge", "14x15", "--out", &plan]);
    }
    bench
}

fn close(value: &Value, wanted: f64, off: f64) {
    let value = value.as_f64().expect("a number");
    assert!((value - wanted).abs() <= off, "{value} and not {wanted}");
}

fn near(value: &Value, wanted: f64) {
    close(value, wanted, wanted.abs() * 1e-3 + 1e-6);
}

#[test]
fn yarn_is_as_reckoned_by_hand() {
    let bench = bench();
    let yarns = demo_yarns();
    let swatch = "14 st = 10 cm, 15 rows = 10 cm, 15 m, whole 14 x 15";
    let amounts = |more: &[&str]| {
        let common = ["amounts", "plain.csv", "plain.json", "--yarns", &yarns, "--swatch", swatch, "--json"];
        bench.done(&[&common[..], more].concat()).json()
    };
    // By hand: a stitch is 100/14 mm wide, a chain takes 5.1 widths (SEEN: 25.5 in of yarn in 5 in of
    // chain), so that 15 m less 14 + 15 chains are 66.4 mm for each of 210 stitches.
    let chain = 5.1 * 0.1 / 14.0;
    let stitch = (15.0 - 29.0 * chain) / 210.0;
    let told = amounts(&[]);
    assert_eq!(told["from"], "swatch");
    near(&told["swatch"]["stitch_cm"], stitch * 100.0);
    let oat = &told["yarns"][0];
    for (part, metres) in [
        ("stitches", 200.0 * stitch),
        ("foundation", 21.0 * chain),
        ("turning_chains", 9.0 * chain),
        ("carried", 0.0),
        ("tails", 0.3),
    ] {
        near(&oat["parts"][part]["metres"], metres);
        // The demo's oat has 90 m in 50 g (invented).
        close(&oat["parts"][part]["grams"], metres * 50.0 / 90.0, 0.001);
    }
    let all = 200.0 * stitch + 30.0 * chain + 0.3;
    near(&oat["metres"], all);
    let most = oat["metres_most"].as_f64().expect("a number");
    assert!(most > all && oat["metres_least"].as_f64() < Some(all));
    near(&oat["metres_to_have"], most * 1.1);
    near(&amounts(&["--margin", "25%"])["yarns"][0]["metres_to_have"], most * 1.25);
    // A ball does, and six are on hand (invented).
    assert_eq!(oat["balls"], serde_json::json!({"needed": 1, "spare": 0, "on_hand": 6, "buy": 0}));
    assert_eq!((&oat["cost"], &told["cost"]), (&0.into(), &0.into()));

    // 20 stitches of 14 in 10 cm and 10 rows of 15 (definition of gauge).
    near(&told["finished"]["width_cm"], 20.0 / 1.4);
    near(&told["finished"]["height_cm"], 10.0 / 1.5);
    near(&told["finished"]["grams"], all * 50.0 / 90.0);
    assert_eq!(told["finished"]["washed_width_cm"], Value::Null);
    let washed = amounts(&["--shrinks", "3%x-2%"]);
    near(&washed["finished"]["washed_width_cm"], 20.0 / 1.4 * 0.97);
    near(&washed["finished"]["washed_height_cm"], 10.0 / 1.5 * 1.02);

    // 200 stitches at 25 a minute are 8 minutes; the two ends of one strand, 75 seconds each, are invented.
    let hours = &amounts(&["--stitches-a-minute", "25"])["hours"];
    near(&hours["stitches"], 8.0 / 60.0);
    near(&hours["weaving_in"], 150.0 / 3600.0);
    let parts = hours.as_object().expect("an object").iter().filter(|(name, _)| *name != "total");
    near(&hours["total"], parts.filter_map(|(_, hours)| hours.as_f64()).sum());
}

#[test]
fn a_carried_strand_is_taken_off_and_a_label_turns_grams_to_metres() {
    let bench = bench();
    let yarns = demo_yarns();
    let stitch = |swatch: &str, more: &[&str]| {
        let common = ["amounts", "patch.csv", "patch.json", "--yarns", &yarns, "--json", "--swatch", swatch];
        let told = bench.done(&[&common[..], more].concat()).json();
        (told["swatch"]["stitch_cm"].as_f64().expect("a number"), told)
    };
    let (bare, told) = stitch("28 st = 20 cm, 30 rows = 20 cm, 33 g", &[]);
    assert!(told["notes"].to_string().contains("if it has one, say --swatch-carried"), "{told}");
    assert!(told["notes"].to_string().contains("--swatch-yarn"), "{told}");
    // A strand inside is as long as the stitch is wide: 10 / 14 cm less.
    let (carried, _) = stitch("28 st = 20 cm, 30 rows = 20 cm, 33 g", &["--swatch-carried"]);
    assert!((bare - carried - 10.0 / 14.0).abs() < 1e-3, "{bare} {carried}");
    // 33 g of oat are 59.4 m, of night 56.1 m (invented labels).
    let (metres, _) = stitch("28 st = 20 cm, 30 rows = 20 cm, 59.4 m", &[]);
    assert!((metres - bare).abs() < 1e-3, "{metres} {bare}");
    let (night, told) = stitch("28 st = 20 cm, 30 rows = 20 cm, 33 g", &["--swatch-yarn", "Night"]);
    assert!((bare - night - 330.0 / 840.0).abs() < 1e-3, "{bare} {night}");
    assert!(!told["notes"].to_string().contains("--swatch-yarn"), "{told}");
    // 4 in are 10.16 cm, an ounce 28.35 g (definitions).
    let (inches, _) = stitch("28 st = 7.874016 in, 30 rows = 7.874016 in, 1.164034 oz", &[]);
    assert!((inches - bare).abs() < 1e-3, "{inches} {bare}");
}

#[test]
fn without_a_swatch_it_is_an_estimate_and_says_so() {
    let bench = Bench::new();
    bench.write("bare.csv", ("#f0e2c2,".repeat(19) + "#f0e2c2\n").repeat(10));
    bench.done(&["plan", "bare.csv", "--gauge", "14x15", "--out", "bare.json"]);
    let amounts = |more: &[&str]| bench.done(&[&["amounts", "bare.csv", "bare.json"], more].concat());
    let told = amounts(&["--json"]).json();
    assert_eq!(told["from"], "estimate");
    // The plan was made for 14 by 15; a stitch takes 8 to 11 widths (SEEN: 7.9, 9.6 and 10.6 were measured).
    near(&told["swatch"]["stitches"], 14.0);
    near(&told["swatch"]["rows"], 15.0);
    near(&told["swatch"]["stitch_cm_least"], 80.0 / 14.0);
    near(&told["swatch"]["stitch_cm_most"], 110.0 / 14.0);
    assert!(told["notes"].to_string().contains("--yarns"), "{told}");
    assert_eq!(told["yarns"][0]["balls"], Value::Null);
    let text = amounts(&[]).out;
    assert!(text.contains("An estimate: ") && text.contains("A swatch of 15 cm"), "{text}");
    let measured = amounts(&["--swatch", "14 st = 10 cm, 15 rows = 10 cm, 15 m"]).out;
    assert!(measured.contains("From your swatch: ") && !measured.contains("A swatch of 15 cm"), "{measured}");
    // The standard has 11 to 14 single crochets of medium yarn in 10 cm (Standard Yarn Weight System, SEEN).
    bench.done(&["plan", "bare.csv", "--out", "usual.json"]);
    let told = bench.done(&["amounts", "bare.csv", "usual.json", "--json"]).json();
    near(&told["swatch"]["stitches_least"], 11.0);
    near(&told["swatch"]["stitches_most"], 14.0);
    near(&amounts(&["--gauge", "16x17", "--json"]).json()["swatch"]["stitches"], 16.0);
}

#[test]
fn balls_lots_and_cost() {
    let bench = bench();
    // Invented: balls of 5 m, three of oat on hand, none of night.
    bench.write(
        "small.toml",
        "[[yarn]]\nkey = \"oat\"\nname = \"Oat\"\ncolour = \"#f0e2c2\"\nweight = \"medium\"\nmetres = 5\ngrams = 3\nprice = 1.25\non_hand = 1\n\n\
         [[yarn]]\nkey = \"night\"\nname = \"Night\"\ncolour = \"#1c2444\"\nweight = \"medium\"\nmetres = 5\ngrams = 3\nprice = 2\n",
    );
    let common = ["amounts", "patch.csv", "patch.json", "--yarns", "small.toml"];
    let amounts = |more: &[&str]| bench.done(&[&common[..], more].concat());
    let told = amounts(&["--json"]).json();
    let spared = amounts(&["--json", "--spare"]).json();
    let mut cost = 0;
    for (at, price) in [(0, 125), (1, 200)] {
        let (without, with) = (&told["yarns"][at], &spared["yarns"][at]);
        let number = |value: &Value| value.as_u64().expect("a number");
        let needed = without["metres_to_have"].as_f64().expect("a number") / 5.0;
        assert!((number(&without["balls"]["needed"]) as f64 - needed.ceil()).abs() < 1e-9);
        let buy = number(&without["balls"]["needed"]) - number(&without["balls"]["on_hand"]);
        assert_eq!(number(&without["balls"]["buy"]), buy);
        // One more where lots matter (SEEN in six sources: one lot, one spare).
        assert_eq!(number(&with["balls"]["buy"]), buy + 1);
        assert_eq!(number(&without["cost"]), buy * price);
        cost += buy * price;
    }
    assert_eq!(told["cost"], cost);
    // Only oat is on hand: its lots meet.
    assert_eq!(spared["yarns"][0]["lots"].as_array().map(Vec::len), Some(4));
    assert_eq!(spared["yarns"][1]["lots"].as_array().map(Vec::len), Some(0));
    assert_eq!(told["yarns"][0]["lots"].as_array().map(Vec::len), Some(0));
    assert!(told["notes"].to_string().contains("bought ones: Oat. Where dye lots matter, --spare"), "{told}");
    let text = amounts(&["--spare"]).out;
    // Alternating every row or two is what is advised (SEEN).
    assert!(
        text.contains("Balls on hand meet bought ones: Oat.") && text.contains("every row or every 2 rows")
    );
    assert!(text.contains(&format!(
        "All that is to buy costs {}",
        spared["cost"].as_f64().expect("a number") / 100.0
    )));
}

#[test]
fn every_strand_is_wound_and_every_end_woven_in() {
    let bench = bench();
    let yarns = demo_yarns();
    let common = ["amounts", "patch.csv", "patch.json", "--yarns", &yarns, "--ends"];
    let told = bench.done(&[&common[..], &["--json"]].concat()).json();
    let plan = bench.json("patch.json");
    let strands = plan["summary"]["strands"].as_u64().and_then(|number| usize::try_from(number).ok());
    let strands = strands.expect("a number");
    let winding = told["winding"].as_array().expect("a list");
    let wound: Vec<&Value> =
        winding.iter().flat_map(|entry| entry["strands"].as_array().expect("strands")).collect();
    assert_eq!(wound.len(), strands);
    let needed: Vec<u64> = winding.iter().filter_map(|entry| entry["needed_at"].as_u64()).collect();
    assert!(needed.is_sorted() && needed.len() == winding.len(), "{needed:?}");
    // All strands of a colour come to what is to have of it, but for a micrometre each.
    for yarn in told["yarns"].as_array().expect("yarns") {
        let of_yarn = winding.iter().filter(|entry| entry["yarn"] == yarn["yarn"]);
        near(&yarn["metres_to_have"], of_yarn.filter_map(|entry| entry["metres"].as_f64()).sum());
    }
    // A strand has two ends (definition).
    let ends = told["ends"].as_array().expect("ends");
    assert_eq!(ends.len(), 2 * strands);
    assert_eq!(ends.iter().filter(|end| end["of"] == "foundation").count(), 1);
    let rows: Vec<u64> = ends.iter().filter_map(|end| end["row"].as_u64()).collect();
    assert!(rows.is_sorted() && rows.iter().all(|row| (1..=10).contains(row)), "{rows:?}");
    let night = ends.iter().find(|end| end["yarn"] == "night" && end["of"] == "join").expect("a join");
    assert_eq!(night["row"], 4);
    // Row 4 is worked from the left to the right: the night is columns 9 to 12 there.
    assert_eq!(night["after"], 8);

    let text = bench.done(&common).out;
    assert_eq!(text.matches("[ ]").count(), winding.len() + 2 * strands, "{text}");
    assert!(text.contains("joins at row 4"), "{text}");
    assert!(text.contains("[ ] row 4, behind stitch 8: ") && text.contains("ENDS"), "{text}");
    assert!(!bench.done(&common[..5]).out.contains("ENDS"));
    bench.done(&[&common[..], &["--out", "a.txt"]].concat());
    assert_eq!(bench.text("a.txt"), text);
}

#[test]
fn small_strands_of_a_yarn_are_wound_together() {
    let bench = Bench::new();
    let yarns = demo_yarns();
    let plain = "oat,".repeat(29) + "oat\n";
    let spot = "oat,".repeat(9) + "night,night," + &"oat,".repeat(18) + "oat\n";
    bench.write(
        "spots.csv",
        plain.repeat(3) + &spot + &plain.repeat(5) + &spot + &plain.repeat(30) + &spot + &plain,
    );
    // A strand that never waits is cut, so that every spot has one of its own.
    let plan = [
        "plan",
        "spots.csv",
        "--yarns",
        &yarns,
        "--gauge",
        "14x15",
        "--longest-wait",
        "0",
        "--out",
        "p.json",
    ];
    bench.done(&plan);
    let common = ["amounts", "spots.csv", "p.json", "--yarns", &yarns];
    let told = bench.done(&[&common[..], &["--json"]].concat()).json();
    let night = told["winding"].as_array().expect("a list").iter().filter(|entry| entry["yarn"] == "night");
    let groups: Vec<(u64, usize)> = night
        .map(|entry| {
            (entry["needed_at"].as_u64().expect("a row"), entry["strands"].as_array().expect("strands").len())
        })
        .collect();
    // The chart's top row comes first: spots in rows 2, 33 and 39, of which the last two lie within 20 rows.
    assert_eq!(groups, [(2, 1), (33, 2)]);
    let text = bench.done(&common).out;
    assert!(text.contains("[ ] 2 small ones of Night, ") && text.contains("\n    [ ] B2: "), "{text}");
}

#[test]
fn inches_yards_and_ounces() {
    let bench = bench();
    let yarns = demo_yarns();
    let text = |units: &str| {
        bench.done(&["amounts", "plain.csv", "plain.json", "--yarns", &yarns, "--units", units, "--ends"]).out
    };
    let (metric, inches) = (text("cm"), text("in"));
    for unit in [" yd", " in", " oz"] {
        assert!(inches.contains(unit), "{unit}: {inches}");
    }
    let amounts = |text: &str| text.split("\nYARN").nth(1).expect("amounts").to_owned();
    for unit in [" m,", " cm", " g,"] {
        assert!(!amounts(&inches).contains(unit) && amounts(&metric).contains(unit), "{unit}: {inches}");
    }
    // 20 / 14 · 10 cm are 14.3 cm and 5.6 in; 10 / 15 · 10 cm are 6.7 cm and 2.6 in.
    assert!(metric.contains("14.3 by 6.7 cm") && inches.contains("5.6 by 2.6 in"), "{metric}\n{inches}");
}

#[test]
fn evenings_until_it_is_done() {
    let bench = bench();
    let yarns = demo_yarns();
    let common = [
        "amounts",
        "plain.csv",
        "plain.json",
        "--yarns",
        &yarns,
        "--evenings",
        "7",
        "--minutes",
        "5",
        "--today",
    ];
    let evenings = |more: &[&str]| {
        let told = bench.done(&[&common[..], more, &["--json"]].concat()).json();
        (told["evenings"].clone(), told["hours"]["total"].as_f64().expect("a number"))
    };
    // Every evening, five minutes: the hours tell how many, and 2028 is a leap year (definition).
    let (told, hours) = evenings(&["2028-02-28"]);
    let days = told["evenings"].as_array().expect("a list");
    assert_eq!(days.len() as f64, (hours * 12.0).ceil());
    let dates: Vec<&str> = days.iter().filter_map(|evening| evening["day"].as_str()).collect();
    assert_eq!(dates[..3], ["2028-02-28", "2028-02-29", "2028-03-01"]);
    assert_eq!(Some(told["done_on"].as_str().expect("a day")), dates.last().copied());
    assert_eq!((&told["in_time"], &told["rows_by_then"]), (&Value::Null, &Value::Null));
    assert_eq!(evenings(&["2028-02-28", "--by", "2028-12-01"]).0["in_time"], true);
    let (late, _) = evenings(&["2028-02-28", "--by", "2028-02-29"]);
    assert_eq!(late["in_time"], false);
    assert!(late["says"].to_string().contains("too late") && late["rows_by_then"].is_u64(), "{late}");
    let (rest, _) = evenings(&["2028-02-28", "--rows-done", "10"]);
    assert!(rest["evenings"].as_array().map(Vec::len) < Some(days.len()), "{rest}");
    let text = bench.done(&[&common[..], &["2028-02-28"]].concat()).out;
    assert!(
        text.contains("At 7 evenings a week of 5 minutes") && text.contains("    2028-02-29: row"),
        "{text}"
    );
}

#[test]
fn slips_are_asked_about_and_taken_as_they_are() {
    let bench = bench();
    let yarns = demo_yarns();
    let notes = |swatch: &str| {
        let told = ["amounts", "plain.csv", "plain.json", "--yarns", &yarns, "--json", "--swatch", swatch];
        bench.done(&told).json()["notes"].to_string()
    };
    let quoted = notes("14 st = 4 cm, 15 rows = 10 cm");
    assert!(quoted.contains("is that 14 stitches in 4 inches, not cm?"), "{quoted}");
    let per = notes("14 st per in");
    assert!(per.contains("is that 14 stitches in 4 inches, not per inch?"), "{per}");
    // 14 in 4 inches of medium yarn are as usual.
    assert!(!notes("14 st = 4 in, 15 rows = 4 in").contains("is that"));
    let swapped = notes("14 st = 15 cm, 20 rows = 10 cm");
    assert!(swapped.contains("swapped?"), "{swapped}");
    let pace = bench
        .done(&["amounts", "plain.csv", "plain.json", "--yarns", &yarns, "--stitches-a-minute", "3"])
        .err;
    assert!(pace.contains("is that 3 seconds a stitch, so 20 stitches a minute?"), "{pace}");
}

#[test]
fn amounts_that_cannot_be() {
    let bench = bench();
    let yarns = demo_yarns();
    let refused = |code: i32, more: &[&str], words: &[&str]| {
        let common = ["amounts", "plain.csv", "plain.json", "--yarns", &yarns];
        bench.refused(&[&common[..], more].concat(), code, words);
    };
    let swatch = |text: &str, words: &[&str]| refused(2, &["--swatch", text], words);
    swatch("0 st = 20 cm", &["a swatch of nothing: its stitches can't be zero"]);
    swatch("28 st = 0 cm", &["its width can't be zero"]);
    swatch("28 st = 20 cm, 0 rows = 20 cm", &["its rows can't be zero"]);
    swatch("28 st = 20 cm, 30 rows = 20 cm, 0 g", &["its weight can't be zero"]);
    swatch("-28 st = 20 cm", &["-28 is no stitches"]);
    swatch(
        "14 st = 1 cm",
        &["140.0 stitches in 10 cm is no gauge", "is that 14 stitches in 10 cm, not per cm?"],
    );
    swatch("28 st = 20 cm, 19 g", &["in how many stitches"]);
    swatch("28 st = 20 cm, 30 rows = 20 cm, 0.6 m", &["is too little"]);
    swatch("28 st = 20 cm, 30 rows = 20 cm, 19 g, whole 0 x 30", &["can't be zero"]);
    swatch("", &["nothing between two commas", "28 st = 20 cm"]);
    swatch("28x30", &["--swatch 28x30", "not understood"]);
    swatch("14 st = 10 mm", &["\"mm\"", "cm or in"]);
    refused(2, &["--swatch", "14 st = 10 cm", "--gauge", "14x15"], &["can't go together"]);
    refused(2, &["--swatch-carried"], &["--swatch SWATCH is missing"]);
    refused(
        3,
        &["--swatch", "14 st = 10 cm", "--swatch-yarn", "rust"],
        &["--swatch-yarn", "no yarn \"rust\""],
    );

    refused(2, &["--margin", "500"], &["--margin 500", "500 % is more than sense"]);
    refused(2, &["--margin", "-5"], &["--margin -5", "whole per cent"]);
    refused(2, &["--shrinks", "3"], &["--shrinks 3", "the height is missing"]);
    refused(2, &["--shrinks", "60%x3%"], &["a shrinkage of 60 %"]);
    refused(2, &["--stitches-a-minute", "0"], &["--stitches-a-minute", "0 stitches a minute is no pace"]);
    refused(2, &["--stitches-a-minute", "fast"], &["\"fast\" is not a number"]);
    refused(2, &["--units", "ft"], &["--units", "\"ft\"", "cm or in"]);

    refused(2, &["--evenings", "3"], &["--minutes", "--today", "missing"]);
    refused(2, &["--by", "2031-01-01"], &["--evenings N are missing"]);
    let habit = |evenings: &str, minutes: &str, more: &[&str], words: &[&str], code: i32| {
        let common = ["--evenings", evenings, "--minutes", minutes];
        refused(code, &[&common[..], more].concat(), words);
    };
    habit("3", "60", &["--today", "2030-02-29"], &["--today 2030-02-29", "no day", "2031-02-28"], 2);
    habit("3", "60", &["--today", "1.5.2030"], &["\"1.5.2030\" is no day"], 2);
    let today = ["--today", "2030-05-01"];
    habit("8", "60", &today, &["--evenings", "8 evenings a week", "1 to 7"], 2);
    habit("3", "2", &today, &["--minutes", "2 minutes make no evening"], 2);
    habit("3", "60", &["--today", "2030-05-01", "--by", "2030-04-28"], &["--by", "3 days ago"], 2);
    habit(
        "3",
        "60",
        &["--today", "2030-05-01", "--rows-done", "11"],
        &["--rows-done", "there are only 10"],
        3,
    );

    bench.refused(&["amounts", "plain.csv"], 2, &["PLAN.json is missing"]);
    bench.refused(&["amounts", "patch.csv", "plain.json", "--yarns", &yarns], 3, &["plain.json"]);
    bench.write("a.txt", "mine");
    refused(5, &["--out", "a.txt"], &["a.txt", "there already"]);
    refused(5, &["--out", "plain.json", "--force"], &["the very file that is read"]);
}

/// What `border` reckons is what `amounts` adds, in a yarn of the chart and in one of the list.
#[test]
fn a_border_is_reckoned_with() {
    let bench = bench();
    let yarns = demo_yarns();
    for rounds in ["sc night, hdc oat", "sc plum, sc plum, dc oat"] {
        let border =
            ["border", "patch.csv", "--yarns", &yarns, "--gauge", "14x15", "--rounds", rounds, "--json"];
        let border = bench.done(&border).json();
        let common = ["amounts", "patch.csv", "patch.json", "--yarns", &yarns, "--gauge", "14x15", "--json"];
        let plain = bench.done(&common).json();
        let told = bench.done(&[&common[..], &["--border", rounds]].concat()).json();
        for of_border in border["yarns"].as_array().expect("yarns") {
            let key = of_border["yarn"].as_str().expect("a key");
            let find = |told: &Value| {
                let yarns = told["yarns"].as_array().expect("yarns").iter();
                yarns.filter(|yarn| yarn["yarn"] == key).cloned().collect::<Vec<Value>>()
            };
            let (with, without) = (find(&told), find(&plain));
            let metres = of_border["metres"].as_f64().expect("a number");
            near(&with[0]["parts"]["border"]["metres"], metres);
            let before = without.first().map_or(0.0, |yarn| yarn["metres"].as_f64().expect("a number"));
            near(&with[0]["metres"], before + metres);
        }
        near(&told["hours"]["border"], border["hours"].as_f64().expect("a number"));
        for side in ["width_cm", "height_cm"] {
            near(&told["finished"][side], border[side].as_f64().expect("a number"));
        }
    }
    let wrong = ["amounts", "patch.csv", "patch.json", "--yarns", &yarns, "--border", "sc nowhere"];
    bench.refused(&wrong, 3, &["--border, round 1", "nowhere"]);
}
