//! Names, yarns and sizes as a person may give them.

use formats::{is_chart_key, is_key};
use model::{Gauge, Palette, WeightCategory, Yarn};

use crate::Failure;

/// The most stitches of a blanket here: ten times a large one, and what stays smooth to work on.
pub const MAX_CELLS: usize = 500_000;

/// The longest name, in characters.
const MAX_NAME: usize = 200;

/// A blanket's name without the spaces around it.
pub(crate) fn name(text: &str) -> Result<String, Failure> {
    let name = text.trim();
    line(name, "name", "give it a name in one line")?;
    Ok(name.to_owned())
}

fn line(text: &str, place: &str, hint: &str) -> Result<(), Failure> {
    if text.trim().is_empty() {
        return Err(Failure::bad("the name is empty", place, hint));
    }
    if text.chars().count() > MAX_NAME {
        return Err(Failure::bad(format!("the name is longer than {MAX_NAME} characters"), place, hint));
    }
    if text.chars().any(char::is_control) {
        return Err(Failure::bad("the name holds a line break or another control character", place, hint));
    }
    Ok(())
}

pub(crate) fn size(columns: usize, rows: usize) -> Result<(), Failure> {
    let stitches = columns.saturating_mul(rows);
    if stitches > MAX_CELLS {
        return Err(Failure::bad(
            format!("{columns} stitches by {rows} rows are {stitches} stitches, the most is {MAX_CELLS}"),
            "the size",
            "give a smaller size, or check the unit and the gauge",
        ));
    }
    Ok(())
}

/// A palette of a person's making; of its yarns only key, name and colour must be known.
pub(crate) fn palette(yarns: &[Yarn]) -> Result<Palette, Failure> {
    for (at, yarn) in yarns.iter().enumerate() {
        palette_yarn(yarn, &format!("yarn {}", at + 1))?;
    }
    Ok(Palette::new(yarns.to_vec())?)
}

pub(crate) fn palette_yarn(yarn: &Yarn, place: &str) -> Result<(), Failure> {
    if !is_chart_key(&yarn.key) {
        let hint = "a key is 1 to 24 letters, digits, - and _, or a colour as in #a1b2c3";
        return Err(Failure::bad(format!("{:?} is no key", yarn.key), format!("{place}, key"), hint));
    }
    line(&yarn.name, &format!("{place}, name"), "give the yarn a name in one line")
}

/// A list of yarns that can be kept and read again: every field within the bounds of the document
/// `yarns.toml`.
pub(crate) fn yarn_list(yarns: &[Yarn]) -> Result<(), Failure> {
    if yarns.len() > formats::MAX_LIST {
        let what = format!("{} yarns are too many, a list has at most {}", yarns.len(), formats::MAX_LIST);
        return Err(Failure::bad(what, "the yarns", "take some out"));
    }
    for (at, yarn) in yarns.iter().enumerate() {
        let place = if is_key(&yarn.key) {
            format!("yarn {} ({})", at + 1, yarn.key)
        } else {
            format!("yarn {}", at + 1)
        };
        // The document's own reader knows all bounds; of its places only the field means something here.
        if let Err(faults) = formats::read_yarns(&formats::write_yarns(core::slice::from_ref(yarn)))
            && let Some(fault) = faults.0.first()
        {
            let field = fault.place.rsplit_once("field ").map(|(_, field)| format!(", {field}"));
            let place = format!("{place}{}", field.unwrap_or_default());
            return Err(Failure::bad(&fault.what, place, &fault.hint));
        }
        if yarns[..at].iter().any(|other| other.key == yarn.key) {
            let what = format!("two yarns have the key {:?}", yarn.key);
            return Err(Failure::bad(what, format!("{place}, key"), "give each yarn a key of its own"));
        }
    }
    Ok(())
}

/// The gauge to begin with: the middle of what is usual for the yarns' weight.
pub(crate) fn usual_gauge(yarns: &[Yarn], notes: &mut Vec<String>) -> Gauge {
    let category = yarns.iter().find_map(|yarn| yarn.category).unwrap_or(WeightCategory::MEDIUM);
    let gauge = Gauge::usual(category);
    notes.push(format!(
        "{} stitches and {:.2} rows in 10 cm are taken, the middle of what is usual for {} yarn: work a swatch \
         and give your own gauge",
        gauge.stitches(),
        gauge.rows(),
        category.name()
    ));
    gauge
}

/// The name with the next number behind it: `Harbour`, `Harbour 2`, `Harbour 3`.
pub(crate) fn next_name(name: &str, taken: impl Fn(&str) -> bool) -> String {
    let (stem, number) = match name.rsplit_once(' ') {
        Some((stem, last)) if !stem.is_empty() => match last.parse::<u32>() {
            Ok(number @ 2..10_000) => (stem, number),
            _ => (name, 1),
        },
        _ => (name, 1),
    };
    // A long name makes room for the number.
    let stem: String = stem.chars().take(MAX_NAME - 12).collect();
    (number + 1..)
        .map(|number| format!("{stem} {number}"))
        .find(|name| !taken(name))
        .expect("a shelf has fewer blankets than there are numbers")
}

/// What of a name is safe in a file's name on every system: small letters a to z, digits and
/// single hyphens; empty where nothing is left.
pub(crate) fn safe(name: &str) -> String {
    let mut safe = String::new();
    for letter in name.chars() {
        if letter.is_ascii_alphanumeric() {
            safe.push(letter.to_ascii_lowercase());
        } else if !safe.is_empty() && !safe.ends_with('-') {
            safe.push('-');
        }
        if safe.len() == 40 {
            break;
        }
    }
    safe.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Ball, Length, Srgb};

    #[test]
    fn names_are_one_line() {
        assert_eq!(name("  Harbour ").unwrap(), "Harbour");
        for bad in ["", "  ", "a\nb", &"x".repeat(201)] {
            assert!(name(bad).is_err(), "{bad:?}");
        }
    }

    #[test]
    fn copies_count_on() {
        assert_eq!(next_name("Harbour", |_| false), "Harbour 2");
        assert_eq!(next_name("Harbour 2", |_| false), "Harbour 3");
        assert_eq!(next_name("Harbour", |name| name == "Harbour 2"), "Harbour 3");
        assert_eq!(next_name("1200", |_| false), "1200 2");
        assert!(name(&next_name(&"ä".repeat(200), |_| false)).is_ok());
    }

    #[test]
    fn files_have_safe_names() {
        assert_eq!(safe("Ærø: the  Harbour/2"), "r-the-harbour-2");
        assert_eq!(safe("../..\u{0}"), "");
        assert!(safe(&"ab ".repeat(50)).len() <= 40);
    }

    #[test]
    fn a_fault_of_a_list_names_yarn_and_field() {
        let good = Yarn {
            category: Some(WeightCategory::MEDIUM),
            ball: Some(Ball { length: Length::mm(90_000.0), milligrams: 50_000 }),
            ..Yarn::plain("oat", "Oat", Srgb::new(240, 226, 194))
        };
        assert_eq!(yarn_list(core::slice::from_ref(&good)), Ok(()));
        assert_eq!(yarn_list(&[]), Ok(()));
        let unknown = Yarn { ball: None, ..good.clone() };
        let failure = yarn_list(&[unknown]).unwrap_err();
        assert!(failure.place.starts_with("yarn 1 (oat)"), "{failure:?}");
        let failure = yarn_list(&[good.clone(), good]).unwrap_err();
        assert_eq!(failure.place, "yarn 2 (oat), key");
    }
}
