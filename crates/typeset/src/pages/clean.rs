//! Text that anybody typed, made fit for the page: only characters that the faces can print.

use std::sync::LazyLock;

use ab_glyph::{Font, FontRef};

use super::world::{BOLD, MATHS, REGULAR, SIGNS};

/// Stands for a character that none of the faces has.
const STAND_IN: char = '□';
/// So many accents at most stand on one letter.
const ACCENTS: usize = 2;

struct Known {
    text: [FontRef<'static>; 2],
    signs: [FontRef<'static>; 2],
}

static KNOWN: LazyLock<Known> = LazyLock::new(|| {
    let face = |bytes| FontRef::try_from_slice(bytes).expect("the font in the program is a font");
    Known { text: [face(REGULAR), face(BOLD)], signs: [face(MATHS), face(SIGNS)] }
});

/// Whether the letter is there in the regular and in the bold face, or the sign in one of those with
/// signs.
fn is_printable(letter: char) -> bool {
    let has = |face: &FontRef<'_>| face.glyph_id(letter).0 != 0;
    letter.is_ascii_graphic() || KNOWN.text.iter().all(has) || KNOWN.signs.iter().any(has)
}

/// Whether a text has characters that the pages can't print: they stand there as `□`.
#[must_use]
pub fn has_unprintable(text: &str) -> bool {
    text.chars().any(|letter| {
        !(letter.is_whitespace()
            || letter.is_control()
            || is_unseen(letter)
            || is_accent(letter)
            || is_printable(letter))
    })
}

/// Characters that are not seen: joiners, marks of direction, variants, soft hyphens and the like.
///
/// Source: `Default_Ignorable_Code_Point` of the Unicode Character Database, from memory; and the
/// interlinear annotations.
const fn is_unseen(letter: char) -> bool {
    matches!(letter,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}'..='\u{1160}' | '\u{17b4}'..='\u{17b5}'
        | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}'
        | '\u{fff0}'..='\u{fffb}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
        | '\u{e0000}'..='\u{e0fff}')
}

/// Accents that stand on the letter before.
///
/// Source: the blocks of combining diacritical marks of Unicode, from memory.
const fn is_accent(letter: char) -> bool {
    matches!(letter,
        '\u{300}'..='\u{36f}' | '\u{483}'..='\u{489}' | '\u{1ab0}'..='\u{1aff}'
        | '\u{1dc0}'..='\u{1dff}' | '\u{20d0}'..='\u{20ff}' | '\u{fe20}'..='\u{fe2f}')
}

/// The text on one line: white space of any kind as single spaces, unseen characters left out, what no
/// face has as `□`, heaps of accents cut down.
pub(super) fn line(text: &str) -> String {
    let mut clean = String::with_capacity(text.len());
    let mut accents = 0;
    for letter in text.chars() {
        if letter.is_whitespace() {
            if !clean.is_empty() && !clean.ends_with(' ') {
                clean.push(' ');
            }
            continue;
        }
        if letter.is_control() || is_unseen(letter) {
            continue;
        }
        accents = if is_accent(letter) { accents + 1 } else { 0 };
        if accents > ACCENTS {
            continue;
        }
        clean.push(if is_printable(letter) { letter } else { STAND_IN });
    }
    clean.truncate(clean.trim_end().len());
    clean
}

/// The text paragraph by paragraph, each as [`line`] has it; empty ones are left out.
pub(super) fn paragraphs(text: &str) -> Vec<String> {
    let ends =
        |letter| matches!(letter, '\n' | '\r' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{2028}' | '\u{2029}');
    text.split(ends).map(line).filter(|paragraph| !paragraph.is_empty()).collect()
}

/// As much of a line as a measure allows, the rest an ellipsis.
pub(super) fn fitted(text: &str, fits: impl Fn(&str) -> bool) -> String {
    if fits(text) {
        return text.to_owned();
    }
    // By halving: a line of ten thousand letters is measured a dozen times and not ten thousand.
    let letters: Vec<char> = text.chars().collect();
    let short = |kept: usize| letters[..kept].iter().collect::<String>().trim_end().to_owned() + "…";
    let (mut low, mut high) = (0, letters.len());
    while low + 1 < high {
        let middle = usize::midpoint(low, high);
        if fits(&short(middle)) { low = middle } else { high = middle }
    }
    short(low)
}

/// The text with places to break a line in words longer than that, so that none runs off the page.
pub(super) fn breakable(text: &str, longest: usize) -> String {
    let mut clean = String::with_capacity(text.len());
    let mut run = 0;
    for letter in text.chars() {
        run = if letter == ' ' { 0 } else { run + 1 };
        if run > longest && !is_accent(letter) {
            // A space of no width.
            clean.push('\u{200b}');
            run = 1;
        }
        clean.push(letter);
    }
    clean
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_text_is_left_alone() {
        for text in [
            "Row 12 (WS →): 12 sc A1; join B1; 3 sc B1 over A1 + B1 start tail; ch 1 with A1, turn.",
            "Rows 3–10 (RS and WS in turn)",
            "Zoë’s “Fjäll” blanket, ½ size ♥ #$*_[]<>{}\\/@=~`'\"",
            "Ελληνικά, Кирилиця, tiếng Việt",
        ] {
            assert_eq!(line(text), text);
        }
    }

    #[test]
    fn what_cannot_be_printed_is_shown_as_a_box_or_left_out() {
        assert_eq!(line("שלום 🧶 毛糸"), "□□□□ □ □□");
        assert_eq!(line("a\u{202e}b\u{0}c\u{200d}\u{feff}\u{ad}d\u{7f}\u{9f}"), "abcd");
        assert_eq!(line(" \t a\n\r\n b\u{a0}\u{3000}c \u{2028}"), "a b c");
        assert_eq!(line(&format!("o{}", "\u{301}".repeat(100))), "o\u{301}\u{301}");
        // Private use, unassigned, and the last of all.
        assert_eq!(line("\u{e000}\u{378}\u{10ffff}"), "□□□");
    }

    /// Whatever comes in, each character that comes out has a glyph: a page is never refused.
    #[test]
    fn every_character_becomes_printable() {
        for letter in (0..=0x0010_ffff).filter_map(char::from_u32) {
            for letter in line(letter.encode_utf8(&mut [0; 4])).chars() {
                assert!(is_printable(letter), "{letter:?}");
            }
        }
    }

    #[test]
    fn lines_are_fitted_and_long_words_can_be_broken() {
        assert_eq!(breakable("ab abcdefgh", 3), "ab abc\u{200b}def\u{200b}gh");
        let short = fitted(&"word ".repeat(2_000), |text| text.chars().count() <= 20);
        assert_eq!(short, "word word word word…");
        assert_eq!(fitted("word", |text| text.len() <= 4), "word");
    }

    #[test]
    fn paragraphs_are_lines_that_say_something() {
        assert_eq!(paragraphs("one\n\n two \r\nthree\u{2029}"), ["one", "two", "three"]);
        assert!(paragraphs(" \n\u{200b}\n").is_empty());
    }
}
