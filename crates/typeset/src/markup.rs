//! Text that anybody typed, made harmless for HTML and XML.

use core::fmt::Write as _;

/// The text as it may stand between tags and in quoted attributes. What a document may not hold, that
/// is control characters other than tab and new line, and the two that XML forbids besides, becomes
/// U+FFFD.
///
/// Source: the production `Char` of XML 1.0; HTML's "control" and "noncharacter" in the Infra standard
/// (MEM).
pub(crate) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' => safe.push(letter),
            '\u{fffe}' | '\u{ffff}' => safe.push(char::REPLACEMENT_CHARACTER),
            _ if letter.is_control() => safe.push(char::REPLACEMENT_CHARACTER),
            _ => safe.push(letter),
        }
    }
    safe
}

/// The text, cut short with … where it has more characters than that.
pub(crate) fn cut(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", text[..end].trim_end()),
        None => text.to_owned(),
    }
}

/// Adds to a text what is formatted; a `String` takes all there is.
pub(crate) fn add(text: &mut String, more: core::fmt::Arguments<'_>) {
    text.write_fmt(more).expect("a String takes all there is");
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// What an escaped text says, read as HTML and XML read it.
    fn read(escaped: &str) -> String {
        let names = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")];
        names.iter().fold(escaped.to_owned(), |text, (name, letter)| text.replace(name, letter))
    }

    proptest! {
        #[test]
        fn nothing_of_a_text_is_markup_and_nothing_is_lost(text in any::<String>()) {
            let safe = escaped(&text);
            let bare = |letter| ['<', '>', '"', '\''].contains(&letter);
            prop_assert!(!safe.contains(bare));
            prop_assert_eq!(safe.matches('&').count(), safe.matches(';').count() - text.matches(';').count());
            let kept: String = text
                .chars()
                .map(|c| match c {
                    '\u{0}'..='\u{8}' | '\u{b}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => '\u{fffd}',
                    _ => c,
                })
                .collect();
            prop_assert_eq!(read(&safe), kept);
            // A strict reader of XML finds one element, one attribute and the text.
            let document = format!("<a b=\"{safe}\">{safe}</a>");
            let parsed = roxmltree::Document::parse(&document).expect("well-formed");
            prop_assert_eq!(parsed.root_element().text().unwrap_or_default(), read(&safe));
            prop_assert!(parsed.root_element().children().all(|node| node.is_text()));
        }

        #[test]
        fn a_cut_text_is_its_beginning(text in any::<String>(), most in 0_usize..40) {
            let short = cut(&text, most);
            prop_assert!(short.chars().count() <= most + 1);
            prop_assert!(short == text || text.starts_with(short.strip_suffix('…').expect("cut")));
        }
    }
}
