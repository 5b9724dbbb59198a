//! What went wrong, where, what to do, and the exit code that says so to a script.

use std::io::{Error, ErrorKind};

use formats::{Fault, Faults};

/// Exit codes. 0 is done; 4 is kept for limits that no plan can keep, which those of today never are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Exit {
    /// The replay found a violation.
    Violation = 1,
    /// The command line has to be changed.
    Usage = 2,
    /// A file has to be changed, or another one given.
    Input = 3,
    /// Something can't be written.
    Output = 5,
    /// Stopped by the person.
    Cancelled = 130,
}

/// Why a command did not do what it was asked to.
#[derive(Clone, Debug)]
pub(crate) struct Failure {
    pub(crate) exit: Exit,
    /// All that is wrong, at least one.
    pub(crate) faults: Vec<Fault>,
    /// What to add to the error object of `--json`, where there is more to say.
    pub(crate) details: Option<serde_json::Map<String, serde_json::Value>>,
}

impl Failure {
    pub(crate) fn new(exit: Exit, what: impl ToString, place: impl ToString, hint: impl ToString) -> Self {
        let fault = Fault { what: what.to_string(), place: place.to_string(), hint: hint.to_string() };
        Self { exit, faults: vec![fault], details: None }
    }

    pub(crate) fn usage(what: impl ToString, place: impl ToString, hint: impl ToString) -> Self {
        Self::new(Exit::Usage, what, place, hint)
    }

    pub(crate) fn input(what: impl ToString, place: impl ToString, hint: impl ToString) -> Self {
        Self::new(Exit::Input, what, place, hint)
    }

    /// Everything that is wrong with a document, each place led by the file's name. `hint` is for
    /// the faults that have none of their own.
    pub(crate) fn document(file: &str, faults: Faults, hint: &str) -> Self {
        let faults = faults
            .0
            .into_iter()
            .map(|fault| Fault {
                place: if fault.place.is_empty() {
                    file.to_owned()
                } else {
                    format!("{file}, {}", fault.place)
                },
                hint: if fault.hint.is_empty() { hint.to_owned() } else { fault.hint },
                ..fault
            })
            .collect();
        Self { exit: Exit::Input, faults, details: None }
    }

    pub(crate) fn cancelled() -> Self {
        Self::new(Exit::Cancelled, "cancelled, nothing was written", "", "start it again when you are ready")
    }
}

/// What the system has against a file, in our own words where it is usual.
pub(crate) fn reason(error: &Error) -> String {
    let usual = match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder",
        ErrorKind::PermissionDenied => "the system does not allow it",
        ErrorKind::ReadOnlyFilesystem => "the place can only be read",
        ErrorKind::StorageFull => "no room is left",
        ErrorKind::NotADirectory => "a part of the path is a file, not a folder",
        _ => "",
    };
    if !usual.is_empty() {
        return usual.to_owned();
    }
    let text = error.to_string();
    text.split(" (os error").next().unwrap_or_default().to_lowercase()
}
