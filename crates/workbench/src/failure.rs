//! Why something was not done.

use core::fmt;

use charting::{ChartingError, PictureError};
use edits::EditError;
use formats::Faults;
use model::{ChartError, GaugeError, PaletteError};
use planner::PlanError;
use replay::Violation;
use store::StoreError;

use crate::Revision;

/// What sort of failure it is: what a caller can decide by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// What is named is not there.
    NotFound,
    /// The blanket has changed since the caller read it.
    Stale {
        /// Its revision now.
        revision: Revision,
    },
    /// What was handed in can't be taken.
    BadInput,
    /// The disk or the folder does not take it; nothing was changed.
    CannotWrite,
    /// Another window or program has the shelf.
    Busy,
    /// The watch said stop; nothing was changed.
    Cancelled,
    /// The shelf's file is damaged.
    Damaged,
    /// A defect of this program; nothing was changed.
    Defect,
}

/// Why something was not done, for a person. Whatever failed, nothing was half done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failure {
    /// What sort it is.
    pub kind: Kind,
    /// What is wrong: lower case, no full stop.
    pub what: String,
    /// Where; may be empty.
    pub place: String,
    /// What to do about it; may be empty.
    pub hint: String,
}

impl fmt::Display for Failure {
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

impl std::error::Error for Failure {}

impl Failure {
    pub(crate) fn new(kind: Kind, what: impl fmt::Display, place: impl fmt::Display, hint: &str) -> Self {
        Self { kind, what: what.to_string(), place: place.to_string(), hint: hint.to_owned() }
    }

    pub(crate) fn bad(what: impl fmt::Display, place: impl fmt::Display, hint: &str) -> Self {
        Self::new(Kind::BadInput, what, place, hint)
    }

    pub(crate) fn cancelled() -> Self {
        Self::new(Kind::Cancelled, "it was stopped", "", "start it again when you are ready")
    }

    /// Something that can't happen did.
    pub(crate) fn defect(what: impl fmt::Display) -> Self {
        Self::new(Kind::Defect, what, "the program", "this is a defect of the program: please report it")
    }

    /// All faults of a document: one stands in its fields, several a line each.
    pub(crate) fn document(faults: &Faults, place: &str, hint: &str) -> Self {
        match faults.0.as_slice() {
            [fault] => {
                let place = if fault.place.is_empty() {
                    place.to_owned()
                } else {
                    format!("{place}, {}", fault.place)
                };
                Self::bad(&fault.what, place, if fault.hint.is_empty() { hint } else { &fault.hint })
            }
            _ => Self::bad(faults, place, hint),
        }
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        let kind = match &error {
            StoreError::OpenElsewhere(_) | StoreError::Busy => Kind::Busy,
            StoreError::Folder { .. }
            | StoreError::ReadOnly
            | StoreError::DiskFull
            | StoreError::Disk(_)
            | StoreError::Newer { .. }
            | StoreError::NotAShelf(_) => Kind::CannotWrite,
            StoreError::Damaged(_) => Kind::Damaged,
            StoreError::NoSuchBlanket(_) | StoreError::NoPicture(_) | StoreError::Nothing => Kind::NotFound,
            StoreError::Stale { revision } => Kind::Stale { revision: *revision },
            StoreError::NotAside(_) => Kind::BadInput,
            StoreError::Other(_) => Kind::Defect,
        };
        let place = match &error {
            StoreError::OpenElsewhere(path) => path.display().to_string(),
            _ => "the shelf".to_owned(),
        };
        Self::new(kind, &error, place, error.hint())
    }
}

impl From<PictureError> for Failure {
    fn from(error: PictureError) -> Self {
        Self::bad(&error, "the picture", error.hint())
    }
}

impl From<ChartingError> for Failure {
    fn from(error: ChartingError) -> Self {
        let place = match error {
            ChartingError::Stopped => return Self::cancelled(),
            ChartingError::Crop(_) => "the part of the picture",
            ChartingError::Size(_) => "the size",
            ChartingError::Choose(_)
            | ChartingError::Palette(_)
            | ChartingError::NoSuchYarn(_)
            | ChartingError::NamedTwice(_) => "the yarns",
            ChartingError::Chart(_) => "the chart",
        };
        Self::bad(&error, place, error.hint())
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Self {
        match error {
            PlanError::Cancelled => Self::cancelled(),
            PlanError::TooLarge(_) => Self::bad(error, "the chart", "make a smaller chart"),
            PlanError::RulesForOtherYarns { .. } | PlanError::TailTooLong(_) => Self::defect(error),
        }
    }
}

impl From<Box<Violation>> for Failure {
    fn from(violation: Box<Violation>) -> Self {
        Self::new(
            Kind::Defect,
            format!("the plan does not hold: {violation}"),
            "the planner",
            "this is a defect of the program: please report it with the chart",
        )
    }
}

impl From<ChartError> for Failure {
    fn from(error: ChartError) -> Self {
        Self::bad(error, "the chart", "")
    }
}

impl From<EditError> for Failure {
    fn from(error: EditError) -> Self {
        Self::bad(&error, error.place(), error.hint())
    }
}

impl From<PaletteError> for Failure {
    fn from(error: PaletteError) -> Self {
        let hint = match error {
            PaletteError::Empty => "give at least one yarn",
            PaletteError::TooMany(_) => "take fewer yarns",
            PaletteError::SameKey(_) | PaletteError::EmptyKey => "give each yarn a key of its own",
        };
        Self::bad(error, "the yarns", hint)
    }
}

impl From<GaugeError> for Failure {
    fn from(error: GaugeError) -> Self {
        Self::bad(error, "the gauge", "count the stitches and rows in 10 cm of a swatch")
    }
}
