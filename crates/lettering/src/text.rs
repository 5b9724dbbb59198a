//! From a text to letters: accents joined, what cannot be set refused.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use crate::{LetteringError, Place};

/// The most characters a text may have.
pub const MAX_CHARACTERS: usize = 5_000;

/// A letter with the accents that did not join it to a letter of their own.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Letter {
    pub(crate) base: char,
    pub(crate) marks: Vec<char>,
}

impl Letter {
    pub(crate) fn text(&self) -> String {
        core::iter::once(self.base).chain(self.marks.iter().copied()).collect()
    }
}

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Piece {
    Letter(Letter),
    /// A space; lines may be broken here.
    Space,
    /// A space where lines are not broken.
    Joined,
}

/// The lines of a text.
///
/// # Errors
/// When the text is too long, or a character cannot be set whatever the face.
pub(crate) fn lines(text: &str) -> Result<Vec<Vec<Piece>>, LetteringError> {
    let characters = text.chars().count();
    if characters > MAX_CHARACTERS {
        return Err(LetteringError::TooLong { characters });
    }
    text.split('\n').enumerate().map(|(at, line)| pieces(line, at + 1)).collect()
}

fn pieces(line: &str, number: usize) -> Result<Vec<Piece>, LetteringError> {
    // Files from elsewhere end their lines with CR LF.
    let line = line.strip_suffix('\r').unwrap_or(line);
    for (at, character) in line.chars().enumerate() {
        let at = Place { line: number, character: at + 1 };
        if character.is_control() || is_format(character) {
            return Err(LetteringError::ControlCharacter { character, at });
        }
        if let Some(script) = unsupported(character) {
            return Err(LetteringError::UnsupportedScript { script, character, at });
        }
    }
    let mut pieces = Vec::new();
    for character in line.nfc() {
        match character {
            // A wish for text or picture form, which phones write after a heart; there is one form here.
            '\u{fe0e}' | '\u{fe0f}' => {}
            ' ' | '\u{2002}'..='\u{2006}' | '\u{2008}'..='\u{200a}' | '\u{3000}' => pieces.push(Piece::Space),
            '\u{a0}' | '\u{2007}' | '\u{202f}' => pieces.push(Piece::Joined),
            mark if is_combining_mark(mark) => match pieces.last_mut() {
                Some(Piece::Letter(letter)) => letter.marks.push(mark),
                _ => pieces.push(Piece::Letter(Letter { base: mark, marks: Vec::new() })),
            },
            base => pieces.push(Piece::Letter(Letter { base, marks: Vec::new() })),
        }
    }
    Ok(pieces)
}

/// Characters that are not seen and change how others are shown (general category Cf, and the line
/// and paragraph separators). From memory, after the Unicode character database.
fn is_format(character: char) -> bool {
    matches!(character,
        '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
        | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

/// The script of a letter that cannot be set one after another from left to right. Blocks from memory,
/// after the Unicode standard.
fn unsupported(character: char) -> Option<&'static str> {
    Some(match character {
        '\u{590}'..='\u{5ff}' | '\u{fb1d}'..='\u{fb4f}' => "Hebrew",
        '\u{600}'..='\u{6ff}'
        | '\u{750}'..='\u{77f}'
        | '\u{870}'..='\u{8ff}'
        | '\u{fb50}'..='\u{fdff}'
        | '\u{fe70}'..='\u{fefe}'
        | '\u{1ee00}'..='\u{1eeff}' => "Arabic",
        '\u{700}'..='\u{74f}' | '\u{860}'..='\u{86f}' => "Syriac",
        '\u{780}'..='\u{85f}' | '\u{10800}'..='\u{10fff}' | '\u{1e800}'..='\u{1edff}' => "right-to-left",
        '\u{900}'..='\u{97f}' => "Devanagari",
        '\u{980}'..='\u{dff}' | '\u{a8e0}'..='\u{a8ff}' | '\u{11000}'..='\u{11fff}' => "Indic",
        '\u{e00}'..='\u{e7f}' => "Thai",
        '\u{e80}'..='\u{eff}' => "Lao",
        '\u{f00}'..='\u{fff}' => "Tibetan",
        '\u{1000}'..='\u{109f}' | '\u{a9e0}'..='\u{a9ff}' | '\u{aa60}'..='\u{aa7f}' => "Burmese",
        '\u{1780}'..='\u{17ff}' => "Khmer",
        '\u{1800}'..='\u{18af}' => "Mongolian",
        '\u{1100}'..='\u{11ff}' | '\u{a960}'..='\u{a97f}' | '\u{d7b0}'..='\u{d7ff}' => "conjoining Hangul",
        '\u{1700}'..='\u{177f}'
        | '\u{1900}'..='\u{1c7f}'
        | '\u{1cc0}'..='\u{1cff}'
        | '\u{a800}'..='\u{a8df}'
        | '\u{a900}'..='\u{a95f}'
        | '\u{a980}'..='\u{a9df}'
        | '\u{aa00}'..='\u{aa5f}'
        | '\u{aa80}'..='\u{aadf}'
        | '\u{abc0}'..='\u{abff}' => "complex",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letters(text: &str) -> Vec<String> {
        let pieces = lines(text).unwrap().remove(0);
        pieces
            .iter()
            .map(|p| match p {
                Piece::Letter(letter) => letter.text(),
                Piece::Space => "_".into(),
                Piece::Joined => "~".into(),
            })
            .collect()
    }

    #[test]
    fn accents_join_their_letters() {
        assert_eq!(letters("é"), ["\u{e9}"]);
        assert_eq!(letters("e\u{301} q\u{303}"), ["\u{e9}", "_", "q\u{303}"]);
        assert_eq!(letters("и\u{306}ι\u{308}\u{301}"), ["й", "ΐ"]);
        assert_eq!(letters("\u{301}"), ["\u{301}"]);
        assert_eq!(letters("♥\u{fe0f}"), ["♥"]);
        assert_eq!(letters("a\u{a0}b"), ["a", "~", "b"]);
    }

    #[test]
    fn refuses_by_name_and_place() {
        let refused = |text: &str| lines(text).unwrap_err();
        assert_eq!(
            refused("ab\nc\td"),
            LetteringError::ControlCharacter { character: '\t', at: Place { line: 2, character: 2 } }
        );
        for text in ["\u{ad}", "\u{200d}", "\u{202e}", "\u{feff}", "a\rb", "\u{7f}", "\u{85}", "\u{0}"] {
            assert!(matches!(refused(text), LetteringError::ControlCharacter { .. }), "{text:?}");
        }
        // Alef, alif, the Devanagari and Thai letters ka and ko kai: names as the Unicode charts give them.
        for (text, name) in [("א", "Hebrew"), ("ا", "Arabic"), ("क", "Devanagari"), ("ก", "Thai")] {
            match refused(text) {
                LetteringError::UnsupportedScript { script, .. } => assert_eq!(script, name),
                other => panic!("{other:?}"),
            }
        }
        assert!(matches!(refused(&"a".repeat(5_001)), LetteringError::TooLong { characters: 5_001 }));
        assert_eq!(lines("a\r\nb").unwrap().len(), 2);
    }
}
