//! Keys: the short names of yarns.

use model::Srgb;

/// The most characters of a key.
pub const MAX_KEY: usize = 24;

/// Whether a text can be the key of a yarn in a list: 1 to [`MAX_KEY`] letters (of any script),
/// digits, `-` and `_`. `:` and `,` stand between keys elsewhere.
#[must_use]
pub fn is_key(text: &str) -> bool {
    (1..=MAX_KEY).contains(&text.chars().count())
        && text.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_')
}

/// Whether a text can be the key of a palette entry in a chart: a key of a list, or a colour of the
/// form `#rrggbb`, which stands for a yarn that is known by its colour alone.
#[must_use]
pub fn is_chart_key(text: &str) -> bool {
    is_key(text) || colour(text).is_some()
}

/// The colour in a text of the form `#rrggbb`; here the `#` must be there.
pub(crate) fn colour(text: &str) -> Option<Srgb> {
    if text.starts_with('#') { text.parse().ok() } else { None }
}

/// What a key of a list may be, as a hint.
pub(crate) const KEY_HINT: &str = "a key is 1 to 24 letters, digits, - and _";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_leave_the_separators_alone() {
        for good in ["a", "sea-green_2", "rosé", "0", &"x".repeat(24)] {
            assert!(is_key(good) && is_chart_key(good), "{good}");
        }
        for bad in ["", "a b", "a:b", "a,b", "#", "\n", &"x".repeat(25)] {
            assert!(!is_key(bad) && !is_chart_key(bad), "{bad}");
        }
        assert!(!is_key("#1a2b3c") && is_chart_key("#1a2b3c"));
    }
}
