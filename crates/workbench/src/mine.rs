//! The person's own things: yarns and settings.

use model::{Hand, Yarn};
use serde_json::{Value, json};

use crate::{Failure, Handed, Settings, Terms, Theme, Units, Workbench, words};

/// The invented yarns of the invented library (`demo/README.md`).
const DEMO_YARNS: &str = include_str!("../../../demo/yarns.toml");

pub(crate) fn demo_yarns() -> Result<Vec<Yarn>, Failure> {
    match formats::read_yarns(DEMO_YARNS) {
        Ok(read) => Ok(read.value),
        Err(faults) => Err(Failure::defect(faults)),
    }
}

impl Workbench {
    /// The person's list of yarns; empty where none was kept yet.
    ///
    /// # Errors
    /// When the shelf can't be read.
    pub fn yarns(&self) -> Result<Vec<Yarn>, Failure> {
        Ok(self.store.yarns()?.unwrap_or_default())
    }

    /// The person's list, or the demo's with a note where that is empty.
    pub(crate) fn yarns_to_choose_from(&self, notes: &mut Vec<String>) -> Result<Vec<Yarn>, Failure> {
        let yarns = self.yarns()?;
        if !yarns.is_empty() {
            return Ok(yarns);
        }
        notes.push(
            "your list of yarns is empty: the demo's yarns, which are invented, stand in for it".to_owned(),
        );
        demo_yarns()
    }

    /// Keeps a list of yarns in the place of the one before.
    ///
    /// # Errors
    /// When a yarn has a fault, or the shelf can't be written.
    pub fn keep_yarns(&self, yarns: &[Yarn]) -> Result<(), Failure> {
        words::yarn_list(yarns)?;
        Ok(self.store.keep_yarns(yarns, self.now())?)
    }

    /// Keeps the list of a document `yarns.toml` in the place of the one before; answers what the
    /// person should know.
    ///
    /// # Errors
    /// When the document has a fault, or the shelf can't be written.
    pub fn read_yarns(&self, text: &[u8]) -> Result<Vec<String>, Failure> {
        let refused = |faults| Failure::document(&faults, "yarns.toml", "mend the list, then read it again");
        let list = formats::read_yarns(formats::utf8(text).map_err(refused)?).map_err(refused)?;
        self.store.keep_yarns(&list.value, self.now())?;
        Ok(list.notes)
    }

    /// The list as a document `yarns.toml`.
    ///
    /// # Errors
    /// When the shelf can't be read.
    pub fn yarns_toml(&self) -> Result<Handed, Failure> {
        let bytes = formats::write_yarns(&self.yarns()?).into_bytes();
        Ok(Handed { name: "yarns.toml".to_owned(), media_type: "application/toml", bytes })
    }

    /// Goes back to the list of yarns before, and answers it.
    ///
    /// # Errors
    /// When there is none, or the shelf can't be written.
    pub fn take_back_yarns(&self) -> Result<Vec<Yarn>, Failure> {
        self.store.take_back_yarns()?;
        self.yarns()
    }

    /// The person's settings.
    ///
    /// # Errors
    /// When the shelf can't be read.
    pub fn settings(&self) -> Result<Settings, Failure> {
        Ok(self.store.settings()?.map_or_else(Settings::default, |text| from_json(&text)))
    }

    /// Keeps settings.
    ///
    /// # Errors
    /// When the language is none, or the shelf can't be written.
    pub fn keep_settings(&self, settings: &Settings) -> Result<(), Failure> {
        if !is_language(&settings.language) {
            let what = format!("{:?} is no language", settings.language);
            return Err(Failure::bad(what, "the settings", "write two or three small letters, as in en"));
        }
        Ok(self.store.keep_settings(&to_json(settings), self.now())?)
    }
}

fn is_language(text: &str) -> bool {
    (2..=3).contains(&text.len()) && text.bytes().all(|letter| letter.is_ascii_lowercase())
}

const UNITS: [(Units, &str); 2] = [(Units::Cm, "cm"), (Units::Inches, "in")];
const TERMS: [(Terms, &str); 2] = [(Terms::Us, "us"), (Terms::Uk, "uk")];
const HANDS: [(Hand, &str); 2] = [(Hand::Right, "right"), (Hand::Left, "left")];
const THEMES: [(Theme, &str); 3] =
    [(Theme::System, "system"), (Theme::Light, "light"), (Theme::Dark, "dark")];

fn word<T: PartialEq>(words: &[(T, &'static str)], value: &T) -> &'static str {
    words.iter().find(|(other, _)| other == value).map_or("", |(_, word)| word)
}

fn meant<T: Copy + Default>(words: &[(T, &'static str)], word: &Value) -> T {
    words.iter().find(|(_, other)| word == other).map_or_else(T::default, |(value, _)| *value)
}

fn to_json(settings: &Settings) -> String {
    json!({
        "units": word(&UNITS, &settings.units),
        "terms": word(&TERMS, &settings.terms),
        "hand": word(&HANDS, &settings.hand),
        "language": settings.language,
        "theme": word(&THEMES, &settings.theme),
    })
    .to_string()
}

/// Reads what [`to_json`] wrote; what is not there, or of another program, is as at first.
fn from_json(text: &str) -> Settings {
    let value: Value = serde_json::from_str(text).unwrap_or_default();
    let language = value["language"].as_str().filter(|language| is_language(language));
    Settings {
        units: meant(&UNITS, &value["units"]),
        terms: meant(&TERMS, &value["terms"]),
        hand: meant(&HANDS, &value["hand"]),
        language: language.map_or_else(|| Settings::default().language, str::to_owned),
        theme: meant(&THEMES, &value["theme"]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_come_back() {
        let settings = Settings {
            units: Units::Inches,
            terms: Terms::Uk,
            hand: Hand::Left,
            language: "de".to_owned(),
            theme: Theme::Dark,
        };
        assert_eq!(from_json(&to_json(&settings)), settings);
        assert_eq!(from_json(&to_json(&Settings::default())), Settings::default());
        assert_eq!(from_json("{\"units\":\"ell\",\"language\":\"<b>\"}"), Settings::default());
    }

    #[test]
    fn the_demo_has_yarns() {
        assert!(demo_yarns().unwrap().len() > 20);
    }
}
