//! A value with remarks for the person.

/// A value, and what a person should know about how it came about. Notes are whole sentences
/// without a full stop, in the order of the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Noted<T> {
    /// The value.
    pub value: T,
    /// The notes.
    pub notes: Vec<String>,
}

impl<T> Noted<T> {
    /// A value with nothing to remark.
    #[must_use]
    pub const fn plain(value: T) -> Self {
        Self { value, notes: Vec::new() }
    }

    /// Moves the notes to `notes` and gives the bare value.
    pub fn unpack(self, notes: &mut Vec<String>) -> T {
        notes.extend(self.notes);
        self.value
    }
}
