//! Faults and notes: what readers say of a document.

use core::fmt;

/// One thing that is wrong with a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong: lower case, no full stop.
    pub what: String,
    /// Where, as in `line 12, field metres` or `palette entry 3`; empty for the document as a whole.
    pub place: String,
    /// What to do about it; may be empty.
    pub hint: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        f.write_str(&self.what)?;
        if !self.hint.is_empty() {
            write!(f, " ({})", self.hint)?;
        }
        Ok(())
    }
}

/// All that is wrong with a document, in the order of the document where it has one. Never empty
/// where a reader returns it; beyond the first 50 faults only their number is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Faults(pub Vec<Fault>);

impl fmt::Display for Faults {
    /// One fault a line.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, fault) in self.0.iter().enumerate() {
            if at > 0 {
                f.write_str("\n")?;
            }
            fault.fmt(f)?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}

impl Faults {
    /// A single fault.
    pub(crate) fn one(what: impl Into<String>, place: impl Into<String>, hint: impl Into<String>) -> Self {
        Self(vec![Fault { what: what.into(), place: place.into(), hint: hint.into() }])
    }
}

/// A value that was read, with remarks for the person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Noted<T> {
    /// The value.
    pub value: T,
    /// The remarks: lower case, no full stop.
    pub notes: Vec<String>,
}

/// The most faults, and the most notes, that are told one by one.
const MOST: usize = 50;

/// Gathers faults; hostile documents may hold millions, so only the first are kept.
#[derive(Default)]
pub(crate) struct Collector {
    faults: Vec<Fault>,
    more: usize,
}

impl Collector {
    pub(crate) fn add(&mut self, what: impl Into<String>, place: impl Into<String>, hint: impl Into<String>) {
        self.add_with(|| Fault { what: what.into(), place: place.into(), hint: hint.into() });
    }

    /// Makes the fault only where it will be kept.
    pub(crate) fn add_with(&mut self, fault: impl FnOnce() -> Fault) {
        if self.faults.len() < MOST {
            self.faults.push(fault());
        } else {
            self.more += 1;
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.faults.is_empty()
    }

    /// The value where nothing is wrong. Whoever could not make one has left a fault.
    pub(crate) fn finish<T>(mut self, value: Option<T>) -> Result<T, Faults> {
        if self.faults.is_empty() {
            return value.ok_or_else(|| Faults::one("the document can't be read", "", ""));
        }
        if self.more > 0 {
            let (what, hint) = (format!("{} more faults", self.more), "mend the first ones and try again");
            self.faults.push(Fault { what, place: String::new(), hint: hint.to_owned() });
        }
        Err(Faults(self.faults))
    }
}

/// Gathers notes, within the same bound.
#[derive(Default)]
pub(crate) struct Notes {
    notes: Vec<String>,
    more: usize,
}

impl Notes {
    pub(crate) fn add(&mut self, note: impl Into<String>) {
        if self.notes.len() < MOST {
            self.notes.push(note.into());
        } else {
            self.more += 1;
        }
    }

    pub(crate) fn with<T>(mut self, value: T) -> Noted<T> {
        if self.more > 0 {
            self.notes.push(format!("{} more notes", self.more));
        }
        Noted { value, notes: self.notes }
    }
}

/// The text in these bytes: every text document here is UTF-8.
///
/// # Errors
/// When the bytes are another kind of file, or where they stop being UTF-8.
pub fn utf8(bytes: &[u8]) -> Result<&str, Faults> {
    const HINT: &str = "save the file as UTF-8 text";
    if let Some(kind) = file_kind(bytes) {
        return Err(Faults::one(format!("the file is {kind}, not a text"), "", ""));
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(Faults::one("the text is UTF-16, not UTF-8", "", HINT));
    }
    core::str::from_utf8(bytes).map_err(|error| {
        let good = &bytes[..error.valid_up_to()];
        let line = good.iter().filter(|&&byte| byte == b'\n').count() + 1;
        let what = format!("byte 0x{:02x} is not UTF-8", bytes[error.valid_up_to()]);
        Faults::one(what, format!("line {line}"), HINT)
    })
}

/// What well-known kind of file begins like this, `None` for all others (texts among them).
pub(crate) fn file_kind(bytes: &[u8]) -> Option<&'static str> {
    let starts: [(&[u8], &str); 9] = [
        (&[0x89, b'P', b'N', b'G'], "a PNG"),
        (&[0xff, 0xd8, 0xff], "a JPEG"),
        (b"GIF8", "a GIF"),
        (b"BM", "a BMP"),
        (b"II*\0", "a TIFF"),
        (b"MM\0*", "a TIFF"),
        (b"%PDF", "a PDF"),
        (b"PK\x03\x04", "a ZIP archive"),
        (&[0x1f, 0x8b], "a gzip archive"),
    ];
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        return Some("a WebP");
    }
    // Two letters alone are no sign of a BMP: a text may begin so. Its header holds zero bytes.
    let found = starts.iter().find(|(start, _)| bytes.starts_with(start)).map(|(_, kind)| *kind)?;
    (found != "a BMP" || bytes.get(..14).is_some_and(|head| head.contains(&0))).then_some(found)
}

/// Text of the document in a message: in quotation marks, control characters escaped, cut short.
pub(crate) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    if text.chars().nth(LONGEST).is_none() {
        return format!("{text:?}");
    }
    let start: String = text.chars().take(LONGEST).collect();
    format!("{start:?}…")
}

/// The name of the list that was probably meant, as a hint; else all names.
pub(crate) fn did_you_mean<'a>(given: &str, names: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let given: Vec<char> = given.chars().take(60).flat_map(char::to_lowercase).collect();
    let near = |name: &str| {
        let letters: Vec<char> = name.chars().flat_map(char::to_lowercase).collect();
        let limit = (given.len().max(letters.len()) / 3).max(1);
        let distance = distance(&given, &letters);
        (distance <= limit && distance < letters.len()).then_some(distance)
    };
    let best = names.into_iter().filter_map(|name| Some((near(name)?, name))).min_by_key(|(d, _)| *d);
    best.map(|(_, name)| format!("did you mean {name}?"))
}

/// Letters to put in, take out, change or swap with the next to turn one word into the other.
fn distance(one: &[char], two: &[char]) -> usize {
    let mut before_last = vec![0; two.len() + 1];
    let mut last: Vec<usize> = (0..=two.len()).collect();
    for i in 1..=one.len() {
        let mut row = vec![i];
        for j in 1..=two.len() {
            let change = last[j - 1] + usize::from(one[i - 1] != two[j - 1]);
            let mut least = change.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && one[i - 1] == two[j - 2] && one[i - 2] == two[j - 1] {
                least = least.min(before_last[j - 2] + 1);
            }
            row.push(least);
        }
        before_last = core::mem::replace(&mut last, row);
    }
    last[two.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_the_name_that_was_meant() {
        let names = ["metres", "grams", "name", "dye_lot"];
        for (given, meant) in
            [("metre", "metres"), ("Grams", "grams"), ("nmae", "name"), ("dye-lot", "dye_lot")]
        {
            assert_eq!(did_you_mean(given, names), Some(format!("did you mean {meant}?")), "{given}");
        }
        assert_eq!(did_you_mean("needle", names), None);
        assert_eq!(did_you_mean("x", ["y"]), None);
    }

    #[test]
    fn other_files_are_no_text() {
        for (bytes, says) in [
            (&b"\x89PNG\r\n"[..], "a PNG"),
            (b"\xff\xd8\xff\xe0", "a JPEG"),
            (b"\xff\xfeh\0", "UTF-16"),
            (b"one\ntwo \xe9", "0xe9"),
        ] {
            let faults = utf8(bytes).unwrap_err();
            assert!(faults.to_string().contains(says), "{faults}");
        }
        assert_eq!(utf8(b"one\ntwo \xe9").unwrap_err().0[0].place, "line 2");
        assert_eq!(utf8("BM ä".as_bytes()), Ok("BM ä"));
    }

    #[test]
    fn only_the_first_faults_are_told_one_by_one() {
        let mut collector = Collector::default();
        for at in 0..60 {
            collector.add("bad", format!("line {at}"), "");
        }
        let faults = collector.finish::<()>(None).unwrap_err();
        assert_eq!(faults.0.len(), 51);
        assert_eq!(
            faults.to_string().lines().last(),
            Some("10 more faults (mend the first ones and try again)")
        );
    }
}
