//! The pattern on paper, read as `pdftotext` gives it: the reader of the rows works its words and gets
//! the very chart, strand by strand. What the reader does beside is what the pattern's own page "How to
//! read" says: a row begins with its name and goes on to its full stop, over the end of a page too, and
//! the line at the foot of a page belongs to no row.

use std::io::Write as _;
use std::process::{Command, Stdio};

use checks::read_back::Case;
use checks::told::with_booklet;
use model::Hand;
use pattern::Terms;
use typeset::{Ink, Paper, Print, Sheet};

/// A paper for every seed: all of them come.
fn paper(seed: u64) -> Paper {
    Paper {
        sheet: if seed.is_multiple_of(2) { Sheet::A4 } else { Sheet::Letter },
        ink: if (seed / 2).is_multiple_of(2) { Ink::Colour } else { Ink::Black },
        print: if seed.is_multiple_of(3) { Print::Large } else { Print::Usual },
        ends: !seed.is_multiple_of(4),
        tags: !seed.is_multiple_of(5),
    }
}

fn pdf(case: &Case, paper: &Paper) -> Vec<u8> {
    with_booklet(case, |booklet| typeset::pages(&booklet, paper).expect("pages").pdf().expect("a PDF"))
}

/// What a program of poppler makes of a PDF.
fn given(program: &str, arguments: &[&str], pdf: &[u8]) -> String {
    let run = Command::new(program)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
    let mut run = run.unwrap_or_else(|error| panic!("{program} ({error}): ./check installs it"));
    let mut into = run.stdin.take().expect("a pipe");
    let bytes = pdf.to_vec();
    let writing = std::thread::spawn(move || into.write_all(&bytes));
    let output = run.wait_with_output().expect("it ends");
    writing.join().expect("written").expect("all of it");
    assert!(output.status.success(), "{program}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("UTF-8")
}

fn text_of(pdf: &[u8]) -> String {
    given("pdftotext", &["-", "-"], pdf).replace('\u{c}', "\n")
}

fn is_foot(line: &str) -> bool {
    line.strip_prefix("Page ").is_some_and(|rest| rest.starts_with(|letter: char| letter.is_ascii_digit()))
}

/// The foundation and the rows, each on one line: from its name to its full stop.
fn rows_of(text: &str) -> String {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty() && !is_foot(line));
    let begins = |line: &str| {
        let name = line.strip_prefix("Rows ").or_else(|| line.strip_prefix("Row "));
        line.starts_with("Foundation: join ")
            || name.is_some_and(|name| name.starts_with(|letter: char| letter.is_ascii_digit()))
    };
    let mut rows: Vec<String> = Vec::new();
    for line in lines.skip_while(|line| !line.starts_with("Foundation: join ")) {
        // The foundation is three sentences.
        let ended = rows.last().is_some_and(|row| row.ends_with('.') && !row.starts_with("Foundation"));
        match rows.last_mut() {
            _ if begins(line) => rows.push(line.to_owned()),
            Some(row) if !ended => *row = format!("{row} {line}"),
            _ => break,
        }
    }
    rows.iter().map(|row| format!("{row}\n")).collect()
}

#[test]
fn the_paper_alone_is_enough() {
    let (mut right, mut left, mut uk) = (0, 0, 0);
    for seed in 0..72_u64 {
        let case = if seed.is_multiple_of(6) { Case::repeating(seed) } else { Case::small(seed) };
        case.check_text(&rows_of(&text_of(&pdf(&case, &paper(seed)))));
        *(if case.plan.rules.hand == Hand::Right { &mut right } else { &mut left }) += 1;
        uk += usize::from(case.terms == Terms::Uk);
    }
    assert!(right > 15 && left > 15 && uk > 15, "{right} right, {left} left, {uk} UK");
}

/// Rows that go over the ends of pages, and yarns with symbols of two letters.
#[test]
fn long_patterns_are_read_back() {
    for (seed, rows, columns, yarns) in [(1, 40, 70, 6), (2, 12, 40, 40), (3, 70, 25, 3)] {
        let case = Case::drawn(seed, rows, columns, yarns);
        let text = text_of(&pdf(&case, &paper(seed)));
        assert!(text.lines().filter(|line| is_foot(line)).count() > 10, "seed {seed}");
        case.check_text(&rows_of(&text));
    }
}

/// Every word of the rows is explained in the pattern itself, and every caution is in it.
#[test]
fn the_pattern_explains_itself() {
    for seed in [3, 4] {
        let case = Case::small(seed);
        let text = text_of(&pdf(&case, &paper(seed)));
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in [
            "How to read this pattern",
            "A strand is one continuous length of a yarn",
            "draw back B1 by 6",
            "its tail is 2 short",
            "The line at the foot of a page",
            "Babies and small children",
            "rest every half hour",
            "Heat can melt",
            "Picture by:",
        ] {
            assert!(text.contains(words), "{words:?} is not in {text}");
        }
    }
}

/// Judged by another: qpdf finds nothing wrong, poppler finds tags, a language and embedded fonts.
/// Source: PDF/UA-1 (ISO 14289-1, from memory): tagged, titled, with a language, all fonts embedded.
#[test]
fn other_programs_find_nothing_wrong_with_the_pdf() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("pattern.pdf");
    for seed in [1, 6] {
        let case = Case::drawn(seed, 20, 30, 5);
        let pdf = pdf(&case, &paper(seed));
        std::fs::write(&file, &pdf).expect("written");
        let path = file.to_str().expect("a path in UTF-8");
        let checked = given("qpdf", &["--check", path], &[]);
        assert!(checked.contains("No syntax or stream encoding errors found"), "{checked}");
        let facts = given("pdfinfo", &[path], &[]);
        let fact = |name: &str| {
            let line = facts.lines().find(|line| line.starts_with(name));
            line.and_then(|line| line.split_once(':')).map(|(_, fact)| fact.trim().to_owned())
        };
        assert_eq!(fact("Tagged").as_deref(), Some("yes"), "{facts}");
        assert_eq!(fact("JavaScript").as_deref(), Some("no"), "{facts}");
        assert!(fact("Title").is_some_and(|title| !title.is_empty()), "{facts}");
        for day in ["CreationDate", "ModDate", "Producer"] {
            assert_eq!(fact(day), None, "the same pattern gives the same file: {facts}");
        }
        let fonts = given("pdffonts", &[path], &[]);
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert!(!rows.is_empty(), "{fonts}");
        for row in rows {
            // Columns from the right: object (two), whether it maps to Unicode, subset, embedded.
            let columns: Vec<&str> = row.split_whitespace().rev().collect();
            assert_eq!(columns[2..5], ["yes", "yes", "yes"], "{fonts}");
        }
        let catalogue = given("qpdf", &["--json", "--json-key=qpdf", path], &[]);
        assert!(catalogue.contains("\"/Lang\": \"u:en\""), "the language is said");
    }
}
