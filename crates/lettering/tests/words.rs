//! Words set as a person would set them.

mod common;

use std::fs;

use lettering::{Align, Block, Face, Fits, LetteringError, MissingLetter, Spacing, Style, Weight, set};
use model::RowIndex;

use crate::common::noto;

/// Sentences with all letters of an alphabet, from memory; the Latin one is invented and has letters
/// with accents of German, French, Spanish and Polish.
const LATIN: &str =
    "Zwölf Boxkämpfer jagen Viktor quer über den Sylter Deich. Où ça, l'été? Año ¡sí! Zażółć gęślą jaźń";
const CAPITALS: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZ ÄÖÜ ÀÇÉÊ Ñ ĄĆĘŁŃÓŚŹŻ 0123456789";
const GREEK: &str = "Ξεσκεπάζω την ψυχοφθόρα βδελυγμία. ΓΔΘΛΞΠΣΦΨΩ";
const RUSSIAN: &str = "Съешь же ещё этих мягких французских булок, да выпей чаю";
const UKRAINIAN: &str = "Жебракують філософи при ґанку церкви в Гадячі, ще й шатро їхнє п'яне знаємо";

fn regular() -> Face {
    Face::built_in(Weight::Regular)
}

fn drawn(text: &str, face: &Face, style: &Style) -> Block {
    set(text, face, style).unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// Drawings kept as text and looked at when they were made. `REFRESH_DRAWINGS=1` writes them anew.
fn check(name: &str, blocks: &[Block]) {
    let path = format!("{}/tests/drawings/{name}.txt", env!("CARGO_MANIFEST_DIR"));
    let drawing = blocks.iter().map(Block::to_string).collect::<Vec<_>>().join("\n");
    if std::env::var_os("REFRESH_DRAWINGS").is_some() {
        fs::write(&path, &drawing).expect("the drawing is written");
    }
    let kept = fs::read_to_string(&path).expect("the drawing is kept");
    assert!(kept == drawing, "{name}:\n{drawing}");
}

#[test]
fn built_in_drawings() {
    for height in [5, 7, 9, 13] {
        let style = Style { width: Some(30 * height), wrap: true, ..Style::new(height) };
        let blocks = [LATIN, CAPITALS, GREEK, RUSSIAN, UKRAINIAN].map(|text| drawn(text, &regular(), &style));
        check(&format!("built-in-{height}"), &blocks);
    }
}

#[test]
fn outline_drawings() {
    let face = Face::read(noto()).unwrap();
    for (height, aspect) in [(6, 1.0), (9, 0.8), (16, 1.25)] {
        let style = Style { width: Some(30 * height), wrap: true, aspect, ..Style::new(height) };
        let blocks = [LATIN, GREEK, RUSSIAN].map(|text| drawn(text, &face, &style));
        check(&format!("outline-{height}"), &blocks);
    }
}

/// The top line of text is in the top rows, and letters are not mirrored: an L has its foot at the
/// bottom and to the right, whatever the face.
#[test]
fn reads_right_on_the_finished_face() {
    for face in [regular(), Face::built_in(Weight::Bold), Face::read(noto()).unwrap()] {
        let height = 18;
        let block = drawn("L", &face, &Style::new(height));
        let rows = block.rows();
        assert_eq!(rows, 18);
        let inked = |row: usize| (0..block.columns()).filter(|&c| block.is_inked(c, RowIndex(row))).count();
        assert_eq!(inked(0), block.columns());
        assert!(inked(rows - 1) < block.columns() / 2);
        assert!(
            block.is_inked(0, RowIndex(rows - 1)) && !block.is_inked(block.columns() - 1, RowIndex(rows - 1))
        );

        let two = drawn("L\n.", &face, &Style::new(height));
        assert!(two.is_inked(0, RowIndex(two.rows() - 1)) && !two.is_inked(0, RowIndex(rows - 1)));
    }
}

#[test]
fn widths_add_up() {
    let wide = |text: &str, style: &Style| drawn(text, &regular(), style).columns();
    let style = Style::new(5);
    // H has 4 stitches and I has 3, 1 is between letters and 3 between words.
    assert_eq!(wide("H", &style), 4);
    assert_eq!(wide("HI", &style), 8);
    assert_eq!(wide("H I", &style), 10);
    assert_eq!(wide("H  I", &style), 13);
    assert_eq!(wide("H\u{a0}I", &style), 10);
    assert_eq!(wide("  H I  ", &style), 10);
    let apart = Style { spacing: Spacing::Stitches(4), ..style };
    assert_eq!(wide("HI", &apart), 11);
    assert_eq!(wide("H I", &apart), 13);
    let touching = Style { spacing: Spacing::Stitches(0), ..style };
    assert_eq!(wide("HI", &touching), 7);
    for height in [10, 15, 35] {
        let style = Style::new(height);
        assert_eq!(wide("HI", &style), wide("IH", &style));
        assert_eq!(
            wide("HIH", &style) - wide("HI", &style),
            wide("IHI", &style) - wide("IH", &style) + wide("H", &style) - wide("I", &style)
        );
    }
}

#[test]
fn lines_are_placed() {
    let at = |align| drawn("HHH\nI", &regular(), &Style { align, line_gap: 1, ..Style::new(5) }).to_string();
    let top = "\
#..#.#..#.#..#
#..#.#..#.#..#
####.####.####
#..#.#..#.#..#
#..#.#..#.#..#
..............
";
    let rest = |rows: [&str; 2]| [rows[0], rows[1], rows[1], rows[1], rows[0]].join("\n") + "\n";
    assert_eq!(at(Align::Left), top.to_owned() + &rest(["###...........", ".#............"]));
    assert_eq!(at(Align::Centre), top.to_owned() + &rest([".....###......", "......#......."]));
    assert_eq!(at(Align::Right), top.to_owned() + &rest(["...........###", "............#."]));
}

#[test]
fn blocks_grow_by_what_is_used() {
    let rows = |text: &str| drawn(text, &regular(), &Style::new(5)).rows();
    assert_eq!(rows("H"), 5);
    assert_eq!(rows("x"), 5);
    assert_eq!(rows("g"), 6);
    assert_eq!(rows("É"), 8);
    assert_eq!(rows("Ég"), 9);
    // Two lines of what one takes, and the gap; empty lines at the ends take nothing.
    assert_eq!(rows("Ég\nx"), 20);
    assert_eq!(rows("\n\nÉg\n \nx\n"), 31);
}

#[test]
fn accents_may_come_apart() {
    for (together, apart) in
        [("éüñ", "e\u{301}u\u{308}n\u{303}"), ("żą", "z\u{307}a\u{328}"), ("й", "и\u{306}")]
    {
        for height in [5, 6, 7, 9, 10, 13] {
            let style = Style::new(height);
            assert_eq!(set(together, &regular(), &style), set(apart, &regular(), &style));
        }
        let face = Face::read(noto()).unwrap();
        assert_eq!(set(together, &face, &Style::new(8)), set(apart, &face, &Style::new(8)));
    }
}

#[test]
fn lines_wrap_between_words() {
    let style = Style { width: Some(30), wrap: true, ..Style::new(5) };
    let block = drawn("HHH HHH H\u{a0}H HHHHHH", &regular(), &style);
    // 14 + 3 + 14 = 31 is one too many; 14 + 3 + 11 fits.
    assert_eq!((block.columns(), block.rows()), (29, 3 * 5 + 2 * 2));
    let block = drawn("HHH HHH", &regular(), &Style { width: Some(31), ..style });
    assert_eq!((block.columns(), block.rows()), (31, 5));
}

#[test]
fn says_what_would_fit() {
    let too_wide = |text: &str, face: &Face, style: Style| match set(text, face, &style) {
        Err(LetteringError::TooWide { words, wide, room, fits }) => (words, wide, room, fits),
        other => panic!("{other:?}"),
    };
    let style = Style { width: Some(40), ..Style::new(10) };
    let (words, wide, room, fits) = too_wide("HHHH HH\nH", &regular(), style);
    assert_eq!((&words[..], room), ("HHHH HH", 40));
    assert_eq!(wide, drawn("HHHH HH", &regular(), &Style::new(10)).columns());
    // 6 letters of 4 stitches, 4 gaps and a space: 31 at 5 rows; what it says fits, and no higher.
    assert_eq!(fits.lines, Some(3));
    for face in [regular(), Face::read(noto()).unwrap()] {
        for height in [9, 10, 13, 18, 30] {
            if !face.has_height(height) {
                continue;
            }
            let style = Style { width: Some(50), ..Style::new(height) };
            let Err(LetteringError::TooWide { fits: Fits { height: fitting, lines, spacing }, .. }) =
                set("Good night Rosa", &face, &style)
            else {
                continue;
            };
            if let Some(fitting) = fitting {
                assert!(set("Good night Rosa", &face, &Style { height: fitting, ..style }).is_ok());
            }
            let next = face.heights().into_iter().find(|&h| fitting.is_some_and(|f| h > f));
            if let Some(next) = next.filter(|next| *next < height) {
                assert!(set("Good night Rosa", &face, &Style { height: next, ..style }).is_err());
            }
            if lines.is_some() {
                assert!(set("Good night Rosa", &face, &Style { wrap: true, ..style }).is_ok());
            }
            if let Some(spacing) = spacing {
                let closer = Style { spacing: Spacing::Stitches(spacing), ..style };
                assert!(set("Good night Rosa", &face, &closer).is_ok());
            }
        }
    }
    let wrapped = Style { width: Some(20), wrap: true, ..Style::new(5) };
    let error = set("HI HHHHI", &regular(), &wrapped).unwrap_err();
    assert_eq!(error.to_string(), "\u{201c}HHHHI\u{201d} is 23 stitches wide, there is room for 20");
    assert_eq!(error.hint().unwrap(), "it fits with 0 stitches between letters");
    let (.., fits) = too_wide("HHHHHHHHHHHH", &regular(), Style { width: Some(20), ..Style::new(5) });
    assert_eq!(fits, Fits::default());
}

#[test]
fn missing_letters_are_named_together() {
    let error = set("Größe ☃ ẞ ☃ 漢", &regular(), &Style::new(7)).unwrap_err();
    let missing =
        |letter: &str, heights: &[u32]| MissingLetter { letter: letter.into(), built_in: heights.to_vec() };
    assert_eq!(
        error,
        LetteringError::Missing(vec![missing("☃", &[]), missing("ẞ", &[5, 9, 10, 13]), missing("漢", &[])])
    );
    assert_eq!(error.to_string(), "the face does not have ☃ (U+2603), ẞ (U+1E9E), 漢 (U+6F22)");
    let error = set("STRAẞE", &regular(), &Style::new(7)).unwrap_err();
    assert_eq!(error.hint().unwrap(), "the built-in face has them at 5, 9, 10, 13 rows");
    let noto = Face::read(noto()).unwrap();
    let error = set("a♥x\u{489}", &noto, &Style::new(7)).unwrap_err();
    assert!(error.to_string().contains("♥ (U+2665), x\u{489} (U+0078 U+0489)"), "{error}");
}

#[test]
fn styles_out_of_range_are_refused() {
    let refused = |style: Style| set("a", &regular(), &style).unwrap_err();
    assert_eq!(refused(Style::new(4)), LetteringError::Height { height: 4 });
    assert_eq!(refused(Style::new(501)), LetteringError::Height { height: 501 });
    let near = LetteringError::NoSuchHeight { height: 8, below: Some(7), above: Some(9) };
    assert_eq!(refused(Style::new(8)), near);
    assert_eq!(near.hint().unwrap(), "choose 7 or 9 rows, or bring a font file, which has every height");
    assert!(matches!(refused(Style { aspect: f64::NAN, ..Style::new(5) }), LetteringError::Aspect { .. }));
    assert!(matches!(refused(Style { aspect: 0.1, ..Style::new(5) }), LetteringError::Aspect { .. }));
    assert_eq!(refused(Style { line_gap: 501, ..Style::new(5) }), LetteringError::Gap { gap: 501 });
    let spacing = Spacing::Stitches(u32::MAX);
    assert!(matches!(refused(Style { spacing, ..Style::new(5) }), LetteringError::Gap { .. }));
    assert_eq!(set(" \n ", &regular(), &Style::new(5)), Err(LetteringError::NoLetters));
    assert_eq!(set("", &regular(), &Style::new(5)), Err(LetteringError::NoLetters));
    assert!(matches!(
        set(&"W".repeat(5_000), &regular(), &Style::new(5)),
        Err(LetteringError::TooLarge { .. })
    ));
    assert!(matches!(
        set(&"W\n".repeat(2_500), &regular(), &Style::new(500)),
        Err(LetteringError::TooLarge { .. })
    ));
    assert!(
        set(
            &"so many words ".repeat(300),
            &regular(),
            &Style { width: Some(500), wrap: true, ..Style::new(5) }
        )
        .is_ok()
    );
}

/// Strokes of a font: every stem of one letter is equally wide, none is lost, counters stay open.
#[test]
fn strokes_snap_to_whole_stitches() {
    let face = Face::read(noto()).unwrap();
    for height in 5..40 {
        let style = Style::new(height);
        let usual = runs(&drawn("l", &face, &style), 0)[0];
        assert!(usual >= 1);
        for letter in ["H", "n", "m", "u", "h", "N", "Ш", "Π"] {
            let block = drawn(letter, &face, &style);
            // The second row from the line passes through stems alone, of N through one corner too.
            let stems = runs(&block, 1);
            let stems: Vec<usize> = if letter == "N" { vec![stems[0]] } else { stems };
            if letter != "Ш" && letter != "u" {
                assert!(stems.iter().all(|&wide| wide == usual), "{letter} at {height}: {stems:?}\n{block}");
            }
        }
        // m has two counters of one width.
        let block = drawn("m", &face, &style);
        let row: Vec<bool> = (0..block.columns()).map(|c| block.is_inked(c, RowIndex(0))).collect();
        let counters: Vec<usize> = row.split(|&ink| ink).map(<[bool]>::len).filter(|&l| l > 0).collect();
        assert!(counters.len() == 2 && counters[0] == counters[1], "m at {height}: {counters:?}\n{block}");
        for (letter, holes) in
            [("o", 1), ("B", 2), ("O", 1), ("8", 2), ("D", 1), ("e", 1), ("a", 1), ("d", 1)]
        {
            // Small letters have 4 rows at 5 and 6, too few for three strokes and what is between.
            if (height < 7 && "ea".contains(letter)) || (height < 6 && "8B".contains(letter)) {
                continue;
            }
            let block = drawn(letter, &face, &style);
            assert_eq!(holes_in(&block), holes, "{letter} at {height}\n{block}");
        }
    }
}

/// Lengths of the runs of ink in a row.
fn runs(block: &Block, row: usize) -> Vec<usize> {
    let row: Vec<bool> = (0..block.columns()).map(|c| block.is_inked(c, RowIndex(row))).collect();
    row.split(|&ink| !ink).map(<[bool]>::len).filter(|&length| length > 0).collect()
}

/// Grounds that ink encloses, ground being joined across sides.
fn holes_in(block: &Block) -> usize {
    let (columns, rows) = (block.columns() + 2, block.rows() + 2);
    let mut seen = vec![false; columns * rows];
    let is_ink = |at: usize| {
        let (column, row) = (at % columns, at / columns);
        column > 0 && row > 0 && block.is_inked(column - 1, RowIndex(row - 1))
    };
    let mut grounds = 0;
    for start in 0..columns * rows {
        if seen[start] || is_ink(start) {
            continue;
        }
        grounds += 1;
        let mut open = vec![start];
        while let Some(at) = open.pop() {
            if seen[at] || is_ink(at) {
                continue;
            }
            seen[at] = true;
            let (column, row) = (at % columns, at / columns);
            open.extend((column > 0).then(|| at - 1));
            open.extend((column + 1 < columns).then(|| at + 1));
            open.extend((row > 0).then(|| at - columns));
            open.extend((row + 1 < rows).then(|| at + columns));
        }
    }
    grounds - 1
}

/// A font keeps its proportions on the fabric: stitches times their width, rows times their height.
#[test]
fn aspect_stretches_fonts() {
    let face = Face::read(noto()).unwrap();
    let wide = |aspect: f64| drawn("Rosa and Emil", &face, &Style { aspect, ..Style::new(40) }).columns();
    let square = wide(1.0);
    assert!(wide(0.8).abs_diff(square * 4 / 5) <= square / 30);
    assert!(wide(1.5).abs_diff(square * 3 / 2) <= square / 30);
    let fixed = |aspect: f64| set("Rosa", &regular(), &Style { aspect, ..Style::new(10) });
    assert_eq!(fixed(0.8), fixed(1.0));
}

/// No two letters of an alphabet and case look alike in a font from 7 rows on.
#[test]
fn letters_of_a_font_differ() {
    let face = Face::read(noto()).unwrap();
    for height in [7, 8, 9, 11, 14] {
        for alphabet in [
            "ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÜÀÇÉÈÊÑĄĆĘŁŃÓŚŹŻ",
            "abcdefghijklmnopqrstuvwxyzäöüßàçéèêñąćęłńóśźż",
            "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ",
            "αβγδεζηθικλμνξοπρσςτυφχψω",
            "АБВГҐДЕЁЄЖЗИЙІЇКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ",
            "абвгґдеёєжзийіїклмнопрстуфхцчшщъыьэюя",
            "0123456789",
        ] {
            let blocks: Vec<(char, String)> = alphabet
                .chars()
                .map(|letter| (letter, drawn(&letter.to_string(), &face, &Style::new(height)).to_string()))
                .collect();
            for (at, (one, first)) in blocks.iter().enumerate() {
                for (other, second) in &blocks[at + 1..] {
                    assert_ne!(first, second, "{one} and {other} at {height}");
                }
            }
        }
    }
}
