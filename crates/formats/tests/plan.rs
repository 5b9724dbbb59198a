//! Plans as JSON: the documented plan, round trips, and every way a document can be wrong.

#![allow(clippy::unwrap_used)] // in helpers of tests

mod common;

use common::{Chance, chart, documented, expect_fault, plan};
use formats::{MAX_PLAN_BYTES, belongs_to, read_plan, write_plan};
use model::*;

fn text() -> String {
    write_plan(&chart(), &plan())
}

/// The documented plan with one part of its text in place of another.
#[track_caller]
fn with(part: &str, other: &str) -> String {
    let text = text();
    assert!(text.contains(part), "{part}");
    text.replacen(part, other, 1)
}

#[test]
fn the_documented_plan_is_what_is_written() {
    assert_eq!(text(), documented("json plan"));
}

#[test]
fn the_documented_error_is_json() {
    let json: serde_json::Value = serde_json::from_str(&documented("json error")).unwrap();
    let fields: Vec<_> = json["error"].as_object().unwrap().keys().collect();
    assert_eq!(fields, ["hint", "what", "where"]);
}

#[test]
fn the_plan_comes_back_exactly() {
    let file = read_plan(&text()).unwrap();
    assert_eq!(file.plan, plan());
    assert_eq!((file.rows, file.columns), (2, 4));
    assert_eq!(file.yarns[1], ("snow".to_owned(), Srgb::new(255, 255, 255)));
    assert_eq!(belongs_to(&file, &chart()), Ok(()));
    assert_eq!(read_plan(&format!("\u{feff}{}", text())).unwrap(), file);
}

/// Source: `serde_json` as a judge of JSON, on a document that was written without it.
#[test]
fn what_is_written_is_json_with_the_summary_by_name() {
    let json: serde_json::Value = serde_json::from_str(&text()).unwrap();
    let summary = &json["summary"];
    for (name, number) in [("rows", 2.0), ("ends", 4.0), ("cost", 61.4), ("gap", 0.0), ("longest_carry", 1.0)]
    {
        assert_eq!(summary[name].as_f64(), Some(number), "{name}");
    }
    assert_eq!(json["rows"][0]["steps"][5]["tail"]["line"], "onward");
}

/// A document of random numbers. It need not be a plan that can be worked: that is not asked here.
fn random(chance: &mut Chance) -> (Chart, Plan) {
    let (rows, columns, yarns) = (1 + chance.below(9), 1 + chance.below(9), 1 + chance.below(64));
    let list = (0..yarns)
        .map(|at| {
            Yarn::plain(
                format!("é{at}"),
                chance.text(20),
                Srgb::new(chance.byte(), chance.byte(), chance.byte()),
            )
        })
        .collect();
    let palette = Palette::new(list).unwrap();
    let cells: Vec<u8> = (0..rows * columns).map(|_| u8::try_from(chance.below(yarns)).unwrap()).collect();
    let chart = Chart::new(palette, rows, columns, &cells).unwrap();
    let palette = chart.palette();
    let cost = |chance: &mut Chance| Cost::from_thousandths(i64::try_from(chance.below(10_000_001)).unwrap());
    let small = |chance: &mut Chance, end: usize| u32::try_from(chance.below(end)).unwrap();
    let length =
        |chance: &mut Chance| Length::from_micrometres(i64::try_from(chance.below(1 << 40)).unwrap());
    let weights = Weights {
        join: cost(chance),
        cut: cost(chance),
        tail: 1 + small(chance, Weights::MAX_TAIL as usize),
        short: cost(chance),
        hang: cost(chance),
        carry_same: cost(chance),
        carry_other: cost(chance),
        carry_show_dark: cost(chance),
        carry_show_light: cost(chance),
        lift: cost(chance),
        lift_show: cost(chance),
        lift_edge: cost(chance),
    };
    let hand = *chance.of(&[Hand::Right, Hand::Left]);
    let mut rules = Rules::new(palette, weights, hand);
    for _ in 0..chance.below(4) {
        let [k, c] = [(); 2].map(|()| palette.index(chance.below(yarns)).unwrap());
        rules.never.forbid(k, c);
    }
    rules.limits.longest_carry = (chance.below(2) == 0).then(|| small(chance, 100));
    rules.limits.longest_wait = (chance.below(2) == 0).then(|| small(chance, 100));
    let strands = 1 + chance.below(20);
    let tail_of = |chance: &mut Chance, lines: &[TailLine]| Tail {
        line: *chance.of(lines),
        over: small(chance, weights.tail as usize + 1),
    };
    let steps = (0..rows).map(|_| Row {
        steps: (0..chance.below(9))
            .map(|_| {
                let strand = StrandId(small(chance, strands));
                let [from, to] = [(); 2].map(|()| Boundary(small(chance, columns + 1)));
                let lines = [TailLine::Onward, TailLine::NextRow, TailLine::Before];
                match chance.below(7) {
                    0 => Step::Join { strand, at: from, tail: tail_of(chance, &lines) },
                    1 => Step::Work { strand, from, to },
                    2 => Step::Carry { strand, from, to },
                    3 => Step::DrawBack { strand, from, to },
                    4 => Step::Drop { strand, at: from },
                    5 => Step::Lift { strand, at: from },
                    _ => Step::Cut { strand, at: from, tail: tail_of(chance, &lines[..2]) },
                }
            })
            .collect(),
    });
    let rows_of_steps = steps.collect();
    let total = Cost::from_thousandths(i64::try_from(chance.below(1 << 45)).unwrap());
    let plan = Plan {
        rows: rows_of_steps,
        strands: (0..strands)
            .map(|_| StrandClaim {
                yarn: palette.index(chance.below(yarns)).unwrap(),
                length: length(chance),
            })
            .collect(),
        short_tails: (0..chance.below(5))
            .map(|_| ShortTail {
                row: RowIndex(chance.below(rows)),
                strand: StrandId(small(chance, strands)),
                of_join: chance.below(2) == 0,
                missing: 1 + small(chance, weights.tail as usize),
            })
            .collect(),
        counts: PlanCounts {
            colours: 1 + chance.below(yarns),
            runs: 1 + chance.below(rows * columns),
            strands,
            strands_at_once: chance.below(strands + 1),
            carried: chance.below(1 << 40) as u64,
            longest_carry: small(chance, 1000),
            cost: total,
        },
        bound: Cost::from_thousandths(total.thousandths() / (1 + i64::from(chance.byte()))),
        yarn_use: YarnUse {
            stitch: length(chance),
            chain: length(chance),
            carried: length(chance),
            lift: length(chance),
            tail: length(chance),
            estimated: chance.below(2) == 0,
        },
        rules,
    };
    (chart, plan)
}

#[test]
fn any_plan_comes_back_exactly() {
    let mut chance = Chance::new(29);
    for _ in 0..400 {
        let (chart, plan) = random(&mut chance);
        let text = write_plan(&chart, &plan);
        let file = read_plan(&text).unwrap_or_else(|faults| panic!("{faults}\n{text}"));
        assert_eq!(file.plan, plan);
        assert_eq!(write_plan(&chart, &file.plan), text);
        assert_eq!(belongs_to(&file, &chart), Ok(()));
    }
}

/// Every weight of three digits is read as exactly that.
#[test]
fn decimals_are_exact_to_the_third_digit() {
    for thousandths in (0..10_000_000).step_by(997).chain([1, 350, 999, 9_999_999, 10_000_000]) {
        let mut plan = plan();
        plan.rules.weights.join = Cost::from_thousandths(thousandths);
        assert_eq!(read_plan(&write_plan(&chart(), &plan)).unwrap().plan, plan);
    }
    for thousandths in [99_999_999_999_999i64, 12_345_678_901_234, 100_000_000_000_000] {
        let mut plan = plan();
        plan.counts.cost = Cost::from_thousandths(thousandths);
        assert_eq!(read_plan(&write_plan(&chart(), &plan)).unwrap().plan, plan);
    }
}

#[test]
fn what_is_no_plan_is_refused() {
    for (text, what, place) in [
        ("", "not readable JSON", "line 1, column 0"),
        ("{\n\"document\": }", "not readable JSON", "line 2, column 13"),
        ("[]", "the document is a list, not an object", ""),
        ("{}", "does not say that it is \"strandwright plan\"", "field document"),
        ("{\"document\": \"letter\"}", "the document is \"letter\"", "field document"),
        ("{\"document\": \"strandwright plan\"}", "does not say its version", "field version"),
        (
            "{\"document\": \"strandwright plan\", \"version\": \"1\"}",
            "does not say its version",
            "field version",
        ),
        ("{\"document\": \"strandwright plan\", \"version\": 2}", "of version 2", "field version"),
        ("{} {}", "not readable JSON", "line 1, column 4"),
    ] {
        let faults = read_plan(text).expect_err(text);
        expect_fault(&faults, what, place);
        assert_eq!(faults.0.len(), 1);
    }
    let empty = read_plan("{\"document\": \"strandwright plan\", \"version\": 1}").unwrap_err();
    expect_fault(&empty, "the field is missing", "field yarns");
    expect_fault(&empty, "the field is missing", "field chart");
}

#[test]
fn every_fault_is_named_with_its_place() {
    let cases = [
        ("\"chart\": {\"rows\": 2", "\"chart\": {\"rows\": 0", "0 is out of bounds", "chart, field rows"),
        ("\"columns\": 4}", "\"columns\": 10001}", "10001 is out of bounds", "chart, field columns"),
        ("\"columns\": 4}", "\"columns\": 4.5}", "4.5 is no whole number", "chart, field columns"),
        ("\"columns\": 4}", "\"columns\": 1e300}", "is no whole number", "chart, field columns"),
        (
            "\"columns\": 4}",
            "\"columns\": 99999999999999999999}",
            "is no whole number",
            "chart, field columns",
        ),
        ("\"columns\": 4}", "\"column\": 4}", "there is no field \"column\" here", "chart"),
        ("\"columns\": 4}", "\"columns\": 4, \"columns\": 4}", "stands twice", "chart, field columns"),
        ("\"key\": \"night\"", "\"key\": \"a:b\"", "\"a:b\" is no key", "yarns, item 1, field key"),
        ("\"key\": \"night\"", "\"key\": \"snow\"", "share the key", "field yarns"),
        ("#ffffff", "white", "\"white\" is no colour", "yarns, item 2, field colour"),
        ("\"symbol\": \"B\"", "\"symbol\": \"C\"", "\"C\" should be \"B\"", "yarns, item 2, field symbol"),
        ("\"hand\": \"right\"", "\"hand\": \"rigth\"", "\"rigth\" is not known", "field hand"),
        ("\"hand\": \"right\"", "\"hand\": null", "there is null where a text", "field hand"),
        ("\"tail\": 2,", "\"tail\": 1000,", "1000 is out of bounds", "weights, field tail"),
        ("\"join\": 12,", "\"join\": -12,", "-12 is out of bounds", "weights, field join"),
        ("\"join\": 12,", "\"join\": 10000.001,", "out of bounds", "weights, field join"),
        ("\"join\": 12,", "\"join\": 0.0001,", "more than three digits", "weights, field join"),
        ("\"join\": 12,", "\"join\": \"12\",", "there is a text where a number", "weights, field join"),
        ("\"join\": 12,", "", "the field is missing", "weights, field join"),
        (
            "\"longest_carry\": 7",
            "\"longest_carry\": -7",
            "-7 is out of bounds",
            "limits, field longest_carry",
        ),
        ("\"longest_wait\": null,", "", "the field is missing", "limits, field longest_wait"),
        ("\"max_carried\": null", "\"max_carried\": 3", "must be null", "limits, field max_carried"),
        ("\"never\": []", "\"never\": [[\"night\"]]", "a list of two keys", "never, item 1"),
        ("\"never\": []", "\"never\": [[\"night\", \"sea\"]]", "there is no yarn \"sea\"", "never, item 1"),
        ("\"never\": []", "\"never\": [[\"snow\", \"snow\"]]", "inside its own stitches", "never, item 1"),
        ("\"never\": []", "\"never\": {}", "there is an object where a list", "field never"),
        ("[150, 1850],", "[150],", "row 1 is no list of 2 numbers", "tables, field carry"),
        ("[150, 1850],", "", "there are 1 rows for 2 yarns", "tables, field carry"),
        ("[1800, 800]", "[1800, -800]", "number 2 of row 2", "tables, field lift"),
        ("\"lift_edge\": 300", "\"lift_edge\": 0.3", "0.3 is no whole number", "tables, field lift_edge"),
        ("\"stitch\": 76000", "\"stitch\": -1", "-1 is out of bounds", "yarn_use, field stitch"),
        ("\"estimated\": true", "\"estimated\": 1", "where true or false", "yarn_use, field estimated"),
        ("    \"rows\": 2", "    \"rows\": 3", "3 should be 2", "summary, field rows"),
        ("\"stitches\": 8", "\"stitches\": 9", "9 should be 8", "summary, field stitches"),
        ("\"colours\": 2", "\"colours\": 3", "3 is out of bounds", "summary, field colours"),
        ("\"strands\": 2", "\"strands\": 3", "3 should be 2", "summary, field strands"),
        ("\"ends\": 4", "\"ends\": 5", "5 should be 4, two for each", "summary, field ends"),
        ("\"gap\": 0", "\"gap\": 0.1", "0.1 should be 0", "summary, field gap"),
        ("\"gap\": 0", "\"gap\": null", "there is null where a number", "summary, field gap"),
        ("\"bound\": 61.4", "\"bound\": 61.5", "the bound is above the cost", "summary, field bound"),
        ("\"label\": \"B1\"", "\"label\": \"B2\"", "\"B2\" should be \"B1\"", "strands, item 2, field label"),
        (
            "{\"strand\": 2, \"label\"",
            "{\"strand\": 3, \"label\"",
            "3 should be 2",
            "strands, item 2, field strand",
        ),
        (
            "\"yarn\": \"snow\"",
            "\"yarn\": \"sea\"",
            "there is no yarn \"sea\"",
            "strands, item 2, field yarn",
        ),
        ("\"length\": 376000", "\"length\": 1e99", "is no whole number", "strands, item 2, field length"),
        ("\"of\": \"cut\"", "\"of\": \"cat\"", "\"cat\" is not known", "short_tails, item 1, field of"),
        ("\"missing\": 2", "\"missing\": 3", "3 is out of bounds", "short_tails, item 1, field missing"),
        (
            "{\"row\": 2, \"strand\"",
            "{\"row\": 3, \"strand\"",
            "3 is out of bounds",
            "short_tails, item 1, field row",
        ),
        ("\"row\": 1, \"side\"", "\"row\": 2, \"side\"", "2 should be 1", "row 1, field row"),
        ("\"side\": \"WS\"", "\"side\": \"RS\"", "\"RS\" should be \"WS\"", "row 2, field side"),
        (
            "\"direction\": \"left\"",
            "\"direction\": \"right\"",
            "should be \"left\"",
            "row 1, field direction",
        ),
        ("\"do\": \"drop\"", "\"do\": \"drpo\"", "\"drpo\" is not known", "row 1, step 8, field do"),
        ("\"do\": \"drop\", ", "", "the field is missing", "row 1, step 8, field do"),
        ("\"do\": \"drop\"", "\"do\": 7", "where a text", "row 1, step 8, field do"),
        (
            "\"carry\", \"strand\": 1",
            "\"carry\", \"strand\": 3",
            "3 is out of bounds",
            "row 1, step 4, field strand",
        ),
        (
            "\"carry\", \"strand\": 1",
            "\"carry\", \"strand\": 0",
            "0 is out of bounds",
            "row 1, step 4, field strand",
        ),
        ("\"from\": 0, \"to\": 4", "\"from\": 0, \"to\": 5", "5 is out of bounds", "row 2, step 1, field to"),
        ("\"from\": 0, \"to\": 4", "\"at\": 0, \"to\": 4", "no field \"at\"", "row 2, step 1"),
        (
            "\"from\": 0, \"to\": 4",
            "\"at\": 0, \"to\": 4",
            "the field is missing",
            "row 2, step 1, field from",
        ),
        ("\"over\": 0", "\"over\": 3", "3 is out of bounds", "row 2, step 2, tail, field over"),
        ("{\"line\": \"onward\", \"over\": 0}", "7", "where an object should be", "row 2, step 2, tail"),
        (
            "\"onward\", \"over\": 0",
            "\"before\", \"over\": 0",
            "\"before\" is not known",
            "row 2, step 2, tail, field line",
        ),
        (
            "{\"do\": \"drop\", \"strand\": 1, \"at\": 0}",
            "[]",
            "there is a list where an object",
            "row 1, step 8",
        ),
        ("\"version\": 1,", "\"version\": 1, \"extra\": 1,", "there is no field \"extra\" here", ""),
    ];
    for (part, other, what, place) in cases {
        let faults = read_plan(&with(part, other)).expect_err(other);
        expect_fault(&faults, what, place);
    }
    let faults = read_plan(&with("\"do\": \"drop\"", "\"do\": \"drpo\"")).unwrap_err();
    assert!(faults.to_string().contains("did you mean drop?"), "{faults}");
}

#[test]
fn faults_come_all_at_once() {
    let text = with("\"over\": 2", "\"over\": 9")
        .replacen("\"hang\": 0.1", "\"hang\": 0.1, \"hnag\": 1", 1)
        .replacen("\"side\": \"WS\"", "\"side\": \"XS\"", 1);
    let faults = read_plan(&text).unwrap_err();
    assert_eq!(faults.0.len(), 3, "{faults}");
    assert_eq!(faults.0[0].hint, "did you mean hang?");
}

#[test]
fn another_chart_is_told_by_what_differs() {
    let file = read_plan(&text()).unwrap();
    let yarns = |colours: &[u8]| {
        colours.iter().map(|&v| Yarn::plain(format!("other{v}"), "", Srgb::new(v, v, v))).collect::<Vec<_>>()
    };
    let chart = |colours: &[u8], rows, columns| {
        Chart::new(Palette::new(yarns(colours)).unwrap(), rows, columns, &vec![0; rows * columns]).unwrap()
    };
    assert_eq!(belongs_to(&file, &chart(&[0, 255], 2, 4)), Ok(()));
    let faults = belongs_to(&file, &chart(&[0, 254], 3, 4)).unwrap_err();
    expect_fault(&faults, "the plan is for 4 stitches by 2 rows, the chart has 4 by 3", "");
    expect_fault(&faults, "snow is #ffffff in the plan, other254 is #fefefe in the chart", "palette entry 1");
    let faults = belongs_to(&file, &chart(&[0, 255, 9], 2, 4)).unwrap_err();
    expect_fault(&faults, "the plan is for 2 yarns, the chart has 3", "");
}

#[test]
fn hostile_texts_are_refused() {
    for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
        let deep = open.repeat(200_000) + &close.repeat(200_000);
        assert!(read_plan(&deep).unwrap_err().to_string().contains("recursion limit exceeded"));
    }
    let many = format!("[{}0]", "0,".repeat(4_000_001));
    assert!(read_plan(&many).unwrap_err().to_string().contains("more values than are read"));
    let long = " ".repeat(MAX_PLAN_BYTES + 1);
    expect_fault(&read_plan(&long).unwrap_err(), "the most that is read", "");
    let numbers = with("\"length\": 376000", "\"length\": 1e999");
    assert!(read_plan(&numbers).unwrap_err().to_string().contains("not readable JSON"));
    // A million faults are counted, not told.
    let steps = format!("\"steps\": [{}0]", "0,".repeat(1_000_000));
    let faults = read_plan(&with("\"steps\": [", &format!("{steps}, \"more\": ["))).unwrap_err();
    assert_eq!(faults.0.len(), 51);
}

#[test]
fn damaged_plans_never_panic() {
    let good = text().into_bytes();
    let mut chance = Chance::new(31);
    for _ in 0..4000 {
        let mut bytes = good.clone();
        for _ in 0..=chance.below(4) {
            let at = chance.below(bytes.len());
            match chance.below(3) {
                0 => bytes[at] = *chance.of(b"[]{}:,\"019-.e "),
                1 => drop(bytes.drain(at..(at + chance.below(30)).min(bytes.len()))),
                _ => bytes[at] = chance.byte() % 128,
            }
        }
        if let Err(faults) = read_plan(&String::from_utf8(bytes).unwrap()) {
            assert!(!faults.0.is_empty());
        }
    }
}

/// A chart of 50,000 stitches in 10,000 runs, five steps to each.
fn large() -> (Chart, Plan) {
    let (rows, columns) = (250, 200);
    let list = (0..12u8).map(|at| Yarn::plain(format!("y{at}"), "", Srgb::new(at * 20, 7, 99))).collect();
    let cells: Vec<u8> = (0..rows * columns).map(|at| u8::try_from(at / 5 % 12).unwrap()).collect();
    let chart = Chart::new(Palette::new(list).unwrap(), rows, columns, &cells).unwrap();
    let mut plan = plan();
    let palette = chart.palette();
    plan.rules = Rules::new(palette, plan.rules.weights, Hand::Right);
    let tail = Tail { line: TailLine::Onward, over: 2 };
    let run = |at: usize| {
        let strand = StrandId(u32::try_from(at).unwrap());
        let (from, to) = (Boundary(5), Boundary(0));
        [
            Step::Join { strand, at: from, tail },
            Step::Work { strand, from, to },
            Step::Lift { strand, at: to },
            Step::Carry { strand, from, to },
            Step::Cut { strand, at: to, tail },
        ]
    };
    plan.rows =
        (0..rows).map(|row| Row { steps: (0..40).flat_map(|at| run(row * 40 + at)).collect() }).collect();
    plan.strands = (0..rows * 40)
        .map(|at| StrandClaim { yarn: palette.index(at % 12).unwrap(), length: Length::mm(1234.567) })
        .collect();
    plan.counts.strands = plan.strands.len();
    (chart, plan)
}

#[test]
fn a_large_plan_comes_back_exactly() {
    let (chart, plan) = large();
    let text = write_plan(&chart, &plan);
    assert_eq!(read_plan(&text).unwrap().plan, plan);
}
