//! Yarns and the palette of a chart.

use core::fmt;

use crate::{Length, Srgb};

/// The most yarns a chart can have.
pub const MAX_YARNS: usize = 64;

/// A yarn weight category of the standard yarn weight system, 0 (lace) to 7 (jumbo).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WeightCategory(u8);

impl WeightCategory {
    /// Medium (4), what most blankets of this kind are made of.
    pub const MEDIUM: Self = Self(4);

    /// The category of that number; `None` above 7.
    #[must_use]
    pub const fn new(number: u8) -> Option<Self> {
        if number <= 7 { Some(Self(number)) } else { None }
    }

    /// The category that most of the yarns have, the finer of two; medium where none is known.
    #[must_use]
    pub fn usual_of(yarns: &[Yarn]) -> Self {
        let count = |category| yarns.iter().filter(|yarn| yarn.category == Some(category)).count();
        (0..=7)
            .filter_map(Self::new)
            .map(|category| (count(category), category))
            .filter(|(count, _)| *count > 0)
            .max_by_key(|&(count, category)| (count, core::cmp::Reverse(category)))
            .map_or(Self::MEDIUM, |(_, category)| category)
    }

    /// Its number, 0 to 7.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Its English name in the standard yarn weight system.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self.0 {
            0 => "lace",
            1 => "super fine",
            2 => "fine",
            3 => "light",
            4 => "medium",
            5 => "bulky",
            6 => "super bulky",
            _ => "jumbo",
        }
    }

    /// The usual range of single crochet stitches in 10 cm, where the standard gives one.
    ///
    /// Source: Standard Yarn Weight System, crochet columns, as two independent reprints give it
    /// (SEEN); category 0 is given there in double crochet only, hence `None`. A starting point,
    /// never a reason to refuse a gauge. The lower edge of category 7 is open; 4 stands in for it
    /// (invented).
    #[must_use]
    pub const fn usual_stitches_in_10_cm(self) -> Option<(u32, u32)> {
        match self.0 {
            0 => None,
            1 => Some((21, 32)),
            2 => Some((16, 20)),
            3 => Some((12, 17)),
            4 => Some((11, 14)),
            5 => Some((8, 11)),
            6 => Some((6, 9)),
            _ => Some((4, 5)),
        }
    }

    /// The usual hooks for single crochet, as in `5.5 to 6.5 mm (I-9 to K-10½)`.
    ///
    /// Source: as [`WeightCategory::usual_stitches_in_10_cm`]. A starting point: the hook that gives
    /// the gauge is the right one.
    #[must_use]
    pub const fn usual_hooks(self) -> &'static str {
        match self.0 {
            0 => "2.25 mm (B-1), or a steel hook",
            1 => "2.25 to 3.5 mm (B-1 to E-4)",
            2 => "3.5 to 4.5 mm (E-4 to 7)",
            3 => "4.5 to 5.5 mm (7 to I-9)",
            4 => "5.5 to 6.5 mm (I-9 to K-10½)",
            5 => "6.5 to 9 mm (K-10½ to M-13)",
            6 => "9 to 16 mm (M-13 to Q)",
            _ => "16 mm (Q) and larger",
        }
    }
}

/// What one ball holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ball {
    /// Length of yarn in the ball.
    pub length: Length,
    /// Weight in milligrams.
    pub milligrams: u64,
}

/// A price in hundredths of whatever currency the person counts in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Price {
    /// Hundredths of the currency's unit.
    pub hundredths: u64,
}

/// A yarn that a person owns or could buy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Yarn {
    /// Short name, unique within a list or palette.
    pub key: String,
    /// Name for people.
    pub name: String,
    /// Its colour.
    pub colour: Srgb,
    /// Weight category, where known.
    pub category: Option<WeightCategory>,
    /// What one ball holds, where known.
    pub ball: Option<Ball>,
    /// Price of one ball.
    pub price: Option<Price>,
    /// Whole balls on hand.
    pub on_hand: Option<u32>,
    /// Dye lot, as printed on the label.
    pub dye_lot: Option<String>,
}

impl Yarn {
    /// A yarn of which only key, name and colour are known.
    #[must_use]
    pub fn plain(key: impl Into<String>, name: impl Into<String>, colour: Srgb) -> Self {
        Self {
            key: key.into(),
            name: name.into(),
            colour,
            category: None,
            ball: None,
            price: None,
            on_hand: None,
            dye_lot: None,
        }
    }

    /// What it is called to a person: its name, or its key where it has none.
    #[must_use]
    pub fn called(&self) -> &str {
        if self.name.is_empty() { &self.key } else { &self.name }
    }
}

/// A yarn of a palette: its place in it, from 0. Made only by its palette.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct ColourIndex(pub(crate) u8);

impl ColourIndex {
    /// Place in the palette, from 0.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize
    }

    /// Place in the palette, from 0, as a byte.
    #[must_use]
    pub const fn as_u8(self) -> u8 {
        self.0
    }
}

/// Why a list of yarns is no palette.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PaletteError {
    /// No yarn at all.
    Empty,
    /// More than [`MAX_YARNS`].
    TooMany(usize),
    /// Two yarns share this key.
    SameKey(String),
    /// A key is empty.
    EmptyKey,
}

impl fmt::Display for PaletteError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("a chart needs at least one yarn"),
            Self::TooMany(n) => write!(f, "{n} yarns are too many, a chart has at most {MAX_YARNS}"),
            Self::SameKey(key) => write!(f, "two yarns share the key {key:?}"),
            Self::EmptyKey => f.write_str("a yarn's key is empty"),
        }
    }
}

impl std::error::Error for PaletteError {}

/// The yarns of a chart, 1 to [`MAX_YARNS`] of them, each with a key of its own. Two entries are
/// two yarns even where their colours are equal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Palette {
    yarns: Vec<Yarn>,
}

impl Palette {
    /// A palette of these yarns, in this order.
    ///
    /// # Errors
    /// When there is none, when there are too many, or when a key is empty or not unique.
    pub fn new(yarns: Vec<Yarn>) -> Result<Self, PaletteError> {
        if yarns.is_empty() {
            return Err(PaletteError::Empty);
        }
        if yarns.len() > MAX_YARNS {
            return Err(PaletteError::TooMany(yarns.len()));
        }
        for (at, yarn) in yarns.iter().enumerate() {
            if yarn.key.is_empty() {
                return Err(PaletteError::EmptyKey);
            }
            if yarns[..at].iter().any(|other| other.key == yarn.key) {
                return Err(PaletteError::SameKey(yarn.key.clone()));
            }
        }
        Ok(Self { yarns })
    }

    /// How many yarns there are.
    #[must_use]
    #[allow(clippy::len_without_is_empty)] // a palette is never empty
    pub fn len(&self) -> usize {
        self.yarns.len()
    }

    /// The yarn at that place of this palette.
    ///
    /// # Panics
    /// When the index was made by a larger palette.
    #[must_use]
    pub fn yarn(&self, index: ColourIndex) -> &Yarn {
        &self.yarns[index.index()]
    }

    /// The yarns in order.
    #[must_use]
    pub fn yarns(&self) -> &[Yarn] {
        &self.yarns
    }

    /// The index of entry `at`, counted from 0.
    #[must_use]
    pub fn index(&self, at: usize) -> Option<ColourIndex> {
        if at < self.yarns.len() { u8::try_from(at).ok().map(ColourIndex) } else { None }
    }

    /// The entry with that key.
    #[must_use]
    pub fn by_key(&self, key: &str) -> Option<ColourIndex> {
        self.index(self.yarns.iter().position(|yarn| yarn.key == key)?)
    }

    /// All indices in order.
    pub fn indices(&self) -> impl DoubleEndedIterator<Item = ColourIndex> + ExactSizeIterator + use<> {
        #[allow(clippy::cast_possible_truncation)] // at most MAX_YARNS
        let len = self.yarns.len() as u8;
        (0..len).map(ColourIndex)
    }

    /// A yarn's name with its symbol, as in `Oat (B)`.
    ///
    /// # Panics
    /// When the palette does not have that yarn.
    #[must_use]
    pub fn named(&self, index: ColourIndex) -> String {
        format!("{} ({})", self.yarn(index).called(), self.symbol(index))
    }

    /// The symbol that stands for a yarn on charts and in rows: a capital letter (I and O are left
    /// out, they pass for digits), from the 25th yarn on two letters.
    #[must_use]
    pub fn symbol(&self, index: ColourIndex) -> String {
        const LETTERS: &[u8; 24] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
        let at = index.index();
        let letter = char::from(LETTERS[at % LETTERS.len()]);
        match at / LETTERS.len() {
            0 => letter.to_string(),
            more => format!("{}{letter}", char::from(LETTERS[more - 1])),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn yarns(n: usize) -> Vec<Yarn> {
        (0..n).map(|i| Yarn::plain(format!("y{i}"), "", Srgb::new(0, 0, 0))).collect()
    }

    #[test]
    fn refuses_what_is_no_palette() {
        assert_eq!(Palette::new(vec![]), Err(PaletteError::Empty));
        assert_eq!(Palette::new(yarns(65)), Err(PaletteError::TooMany(65)));
        let mut twins = yarns(2);
        twins[1].key = "y0".into();
        assert_eq!(Palette::new(twins), Err(PaletteError::SameKey("y0".into())));
    }

    #[test]
    fn every_symbol_is_its_own() {
        let palette = Palette::new(yarns(64)).unwrap();
        let mut symbols: Vec<_> = palette.indices().map(|i| palette.symbol(i)).collect();
        assert_eq!(symbols[0], "A");
        assert_eq!(symbols[23], "Z");
        assert_eq!(symbols[24], "AA");
        symbols.sort();
        symbols.dedup();
        assert_eq!(symbols.len(), 64);
    }
}
