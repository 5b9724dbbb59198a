//! The page to take away, read as a browser without scripts shows it: the reader of the rows works its
//! words and gets the very chart, strand by strand; and nothing that anybody typed does more than stand
//! there.

use booklet::{Booklet, BorderPart, Section};
use checks::random::{self, Rng};
use checks::read_back::Case;
use checks::told::with_booklet;
use model::{Chart, Hand, Rules, Weights};
use pattern::Terms;

/// The page about a case, after the booklet was changed.
fn page(case: &Case, change: impl FnOnce(&mut Booklet<'_>)) -> String {
    with_booklet(case, |mut booklet| {
        change(&mut booklet);
        typeset::take_away(&booklet)
    })
}

/// A piece of a page: text, or a tag with its name (`/` before it where it closes) and all of it.
enum Piece<'a> {
    Text(&'a str),
    Tag { name: String, whole: &'a str },
}

/// The pieces of a page, split as HTML has it: quoted attributes may hold `>`, and what stands in a
/// style or a script is no markup.
fn pieces(page: &str) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    let mut rest = page;
    while let Some(start) = rest.find('<') {
        pieces.push(Piece::Text(&rest[..start]));
        let mut quote = None;
        let end = rest[start..].find(|letter| {
            match (quote, letter) {
                (None, '"' | '\'') => quote = Some(letter),
                (Some(open), _) if open == letter => quote = None,
                (None, '>') => return true,
                _ => {}
            }
            false
        });
        let end = start + end.expect("a tag ends");
        let whole = &rest[start..=end];
        let name = whole[1..].trim_start_matches('!').split([' ', '>', '\n']).next().unwrap_or_default();
        rest = &rest[end + 1..];
        if name == "style" || name == "script" {
            let closing = format!("</{name}>");
            rest = &rest[rest.find(&closing).expect("it is closed")..];
        }
        pieces.push(Piece::Tag { name: name.to_owned(), whole });
    }
    pieces.push(Piece::Text(rest));
    pieces
}

/// What is seen of a page without scripts: text of blocks on lines of their own, spaces run together,
/// nothing of drawings, and nothing of what is hidden.
fn seen(page: &str) -> String {
    const INLINE: [&str; 7] = ["b", "span", "a", "label", "output", "input", "small"];
    let mut lines = vec![String::new()];
    // The element that is being left out, and how deep in others of its name.
    let mut out: Option<(String, usize)> = None;
    for piece in pieces(page) {
        match (piece, &mut out) {
            (Piece::Text(text), None) => {
                let text = ["&lt;<", "&gt;>", "&quot;\"", "&#39;'", "&amp;&"]
                    .iter()
                    .fold(text.to_owned(), |text, pair| {
                        text.replace(&pair[..pair.len() - 1], &pair[pair.len() - 1..])
                    });
                lines.last_mut().expect("a line").push_str(&text);
            }
            (Piece::Tag { name, whole }, None) => {
                let left_out = ["head", "svg"].contains(&name.as_str()) || whole.contains(" hidden>");
                if left_out && name != "input" {
                    out = Some((name, 1));
                } else if !INLINE.contains(&name.trim_start_matches('/')) {
                    lines.push(String::new());
                }
            }
            (Piece::Tag { name, .. }, Some((outer, deep))) => {
                if name == *outer {
                    *deep += 1;
                } else if name.strip_prefix('/') == Some(outer) {
                    *deep -= 1;
                    if *deep == 0 {
                        out = None;
                    }
                }
            }
            (Piece::Text(_), Some(_)) => {}
        }
    }
    let lines = lines.iter().map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
    lines.filter(|line| !line.is_empty()).map(|line| line + "\n").collect()
}

/// The lines of the rows: from the foundation to the last cut.
fn rows_of(seen: &str) -> String {
    let begins = |line: &&str| ["Foundation: ", "Row ", "Rows "].iter().any(|begin| line.starts_with(begin));
    let lines = seen.lines().skip_while(|line| !line.starts_with("Foundation: ")).take_while(begins);
    lines.map(|line| format!("{line}\n")).collect()
}

#[test]
fn the_page_alone_is_enough() {
    let (mut right, mut left, mut uk) = (0, 0, 0);
    for seed in 0..600 {
        let case = if seed % 5 == 0 { Case::repeating(seed) } else { Case::small(seed) };
        case.check_text(&rows_of(&seen(&page(&case, |_| {}))));
        let hand = if case.plan.rules.hand == Hand::Right { &mut right } else { &mut left };
        *hand += 1;
        uk += usize::from(case.terms == Terms::Uk);
    }
    assert!(right > 100 && left > 100 && uk > 100, "{right} right, {left} left, {uk} UK");
}

#[test]
fn large_charts_and_many_yarns_are_read_back() {
    for (seed, yarns) in [(0x7a6e, 6), (0x7a6f, 12), (0x7a70, 40)] {
        let case = Case::drawn(seed, 50, 90, yarns);
        case.check_text(&rows_of(&seen(&page(&case, |_| {}))));
    }
}

/// The bones of a page: its tags without what attributes say.
fn bones(page: &str) -> Vec<String> {
    let bone = |piece| match piece {
        // What stands between quotes is every second piece.
        Piece::Tag { whole, .. } => Some(whole.split('"').step_by(2).collect::<String>()),
        Piece::Text(_) => None,
    };
    pieces(page).into_iter().filter_map(bone).collect()
}

/// Puts a text in place of everything that a person may have typed, and of all else that is told.
fn say_everywhere(booklet: &mut Booklet<'_>, text: &str) {
    let all = |list: &mut Vec<String>| list.iter_mut().for_each(|says| text.clone_into(says));
    for says in [&mut booklet.title, &mut booklet.by, &mut booklet.note, &mut booklet.subtitle] {
        text.clone_into(says);
    }
    for fact in &mut booklet.facts {
        text.clone_into(&mut fact.name);
        text.clone_into(&mut fact.value);
    }
    for yarn in &mut booklet.yarns {
        for says in [&mut yarn.name, &mut yarn.symbol, &mut yarn.length, &mut yarn.weight, &mut yarn.balls] {
            text.clone_into(says);
        }
    }
    for entry in &mut booklet.winding {
        text.clone_into(&mut entry.what);
    }
    for section in &mut booklet.closing {
        text.clone_into(&mut section.title);
        all(&mut section.says);
    }
    all(&mut booklet.gauge_says);
    all(&mut booklet.rows.strands);
    all(&mut booklet.ends);
    let round = Section { title: text.to_owned(), says: vec![text.to_owned()] };
    let border =
        BorderPart { heading: vec![text.to_owned()], rounds: vec![round], lies: vec![text.to_owned()] };
    booklet.border = Some(border);
}

/// Whatever is typed, the page has the same elements with the same attributes, and shows the text.
#[test]
fn what_a_person_typed_is_never_markup() {
    let case = Case::drawn(0x5afe, 8, 12, 3);
    let plain = bones(&page(&case, |booklet| say_everywhere(booklet, "x")));
    let long = "long ".repeat(2_000);
    let hostile = [
        "<script>alert(1)</script>",
        "</title></style></script><h1>",
        "\"><img src=x onerror=alert(1)>",
        "' onmouseover='alert(1)",
        "<!-- ]]> -->",
        "{{script}} {{policy}} {{",
        "&lt;b&gt; &amp; &#0;",
        "\u{202e}turned \u{2067}about \u{5e9}\u{5dc}\u{5d5}\u{5dd}",
        "nul \0 bell \u{7} escape \u{1b}[31m delete \u{7f} next line \u{85} \u{feff} \u{ffff}",
        long.trim(),
    ];
    for text in hostile {
        let page = page(&case, |booklet| say_everywhere(booklet, text));
        assert_eq!(bones(&page), plain, "{text:?}");
        assert!(!page.contains(['\0', '\u{7}', '\u{1b}', '\u{7f}', '\u{85}', '\u{ffff}']), "{text:?}");
        // It is seen as it was typed, what no page may hold aside.
        let seen = seen(&page);
        let first = text.split(char::is_control).next().unwrap_or_default().trim();
        assert!(seen.contains(first), "{text:?}: {}", &seen[..400.min(seen.len())]);
        // Only a title is cut short: the note, the facts and all else are whole.
        assert!(seen.matches(first).count() >= 10, "{text:?}");
    }
}

/// A title fit for a page, however long it is.
#[test]
fn a_title_of_ten_thousand_characters_leaves_room_for_the_pattern() {
    let case = Case::drawn(0x717e, 4, 5, 2);
    let page = page(&case, |booklet| booklet.title = "ß".repeat(10_000));
    assert_eq!(page.matches('ß').count(), 240 + 80);
}

/// A blanket as a picture makes it: 200 stitches by 250 rows in 12 yarns, patches of all sizes, and one stitch
/// in a hundred astray. Invented.
fn blanket() -> Case {
    let mut rng = Rng::new(0xb1a);
    let (rows, columns) = (250, 200);
    let palette = random::palette(&mut rng, 12);
    let mut yarn = || u8::try_from(rng.below(12)).expect("one of 12");
    let patches: Vec<u8> = (0..300).map(|_| yarn()).collect();
    let points: Vec<(usize, usize)> = patches.iter().map(|_| (rng.below(rows), rng.below(columns))).collect();
    let mut cells = Vec::new();
    for (row, column) in (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column))) {
        let away = |at: &usize| points[*at].0.abs_diff(row).pow(2) + points[*at].1.abs_diff(column).pow(2);
        let near = (0..points.len()).min_by_key(away).expect("there are points");
        cells.push(if rng.once_in(100) {
            u8::try_from(rng.below(12)).expect("one of 12")
        } else {
            patches[near]
        });
    }
    let rules = Rules::new(&palette, Weights::default(), Hand::Right);
    let chart = Chart::new(palette, rows, columns, &cells).expect("a chart");
    Case::new("a blanket".to_owned(), chart, &rules, Terms::Us)
}

#[test]
fn a_large_chart_makes_a_page_of_reasonable_size() {
    let case = blanket();
    let page = page(&case, |_| {});
    assert!(page.len() < 2_000_000, "{} bytes", page.len());
    case.check_text(&rows_of(&seen(&page)));
}

/// The place is kept by what the rows say.
#[test]
fn a_page_made_again_under_another_name_keeps_its_place() {
    let digest = |page: &str| page.split_once("data-pattern=\"").expect("a digest").1[..32].to_owned();
    let case = Case::drawn(0xd163, 9, 10, 3);
    let first = digest(&page(&case, |_| {}));
    let renamed = digest(&page(&case, |booklet| "Other".clone_into(&mut booklet.title)));
    let other = digest(&page(&case, |booklet| booklet.rows.rows[3].lines[0].push('!')));
    assert_eq!(first, renamed);
    assert_ne!(first, other);
}
