//! What went wrong, where, what to do, and the exit code that says so to a script.

use formats::{Fault, Faults};

/// Exit codes. 0 is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Exit {
    /// The replay found a violation.
    Violation = 1,
    /// The command line is wrong.
    Usage = 2,
    /// A file or a value in it is wrong.
    Input = 3,
    /// A limit can't be kept.
    Limit = 4,
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

    /// Everything that is wrong with a document, each place led by the file's name.
    pub(crate) fn document(file: &str, faults: Faults) -> Self {
        let faults = faults
            .0
            .into_iter()
            .map(|fault| Fault {
                place: if fault.place.is_empty() {
                    file.to_owned()
                } else {
                    format!("{file}, {}", fault.place)
                },
                ..fault
            })
            .collect();
        Self { exit: Exit::Input, faults, details: None }
    }

    pub(crate) fn cancelled() -> Self {
        Self::new(Exit::Cancelled, "cancelled, nothing was written", "", "start it again when you are ready")
    }
}
