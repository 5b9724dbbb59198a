//! Decimal numbers of a fixed number of digits, exact in both directions.

/// Why a text is no such number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Misfit {
    /// Not digits with at most one point.
    NotPlain,
    /// More digits after the point than there is room for.
    TooFine,
    /// Below zero.
    Negative,
    /// Above what 64 bits hold.
    TooLarge,
}

/// Reads a plain decimal such as `12` or `3.5` as a whole number of its `places`-th digits:
/// `fixed("3.5", 2)` is 350.
pub(crate) fn fixed(text: &str, places: usize) -> Result<u64, Misfit> {
    let (negative, text) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
    let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
    let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() && fraction.is_empty() || !digits(whole) || !digits(fraction) {
        return Err(Misfit::NotPlain);
    }
    let fraction = fraction.trim_end_matches('0');
    if fraction.len() > places {
        return Err(Misfit::TooFine);
    }
    let value = format!("0{whole}{fraction:0<places$}").parse().map_err(|_| Misfit::TooLarge)?;
    if negative && value > 0 { Err(Misfit::Negative) } else { Ok(value) }
}

/// The shortest plain decimal for so many `places`-th digits: `plain(350, 2)` is `3.5`.
pub(crate) fn plain(value: u64, places: usize) -> String {
    let text = padded(value, places);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The same with all its digits: `padded(350, 2)` is `3.50`. `places` is at least 1.
pub(crate) fn padded(value: u64, places: usize) -> String {
    let digits = format!("{value:0>width$}", width = places + 1);
    let (whole, fraction) = digits.split_at(digits.len() - places);
    format!("{whole}.{fraction}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_and_writes_exactly() {
        for (text, places, value) in [
            ("12", 2, 1200),
            ("3.5", 2, 350),
            ("0.000001", 6, 1),
            (".5", 1, 5),
            ("7.", 3, 7000),
            ("-0", 2, 0),
        ] {
            assert_eq!(fixed(text, places), Ok(value), "{text}");
            assert_eq!(fixed(&plain(value, places), places), Ok(value));
            assert_eq!(fixed(&padded(value, places), places), Ok(value));
        }
        for (text, misfit) in [
            ("", Misfit::NotPlain),
            (".", Misfit::NotPlain),
            ("1e3", Misfit::NotPlain),
            ("nan", Misfit::NotPlain),
            ("1.234", Misfit::TooFine),
            ("-1", Misfit::Negative),
            ("--1", Misfit::NotPlain),
            ("99999999999999999999", Misfit::TooLarge),
        ] {
            assert_eq!(fixed(text, 2), Err(misfit), "{text}");
        }
        assert_eq!((plain(1200, 2), plain(0, 3), padded(5, 2)), ("12".into(), "0".into(), "0.05".into()));
    }
}
