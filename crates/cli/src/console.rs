//! The terminal: messages and progress on standard error, results on standard output.

use std::io::{self, IsTerminal, Write};
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use serde_json::{Map, Value, json};

use crate::failure::{Exit, Failure, reason};

/// How often progress is shown.
const EVERY: Duration = Duration::from_millis(150);

/// The terminal of one run of the program.
pub(crate) struct Console {
    json: bool,
    live: bool,
    stop: Arc<AtomicBool>,
    shown: Mutex<Shown>,
}

struct Shown {
    /// When progress was shown last; none before the stage's first.
    at: Option<Instant>,
    stage: String,
    /// Whether an unfinished line of progress stands on the terminal.
    open: bool,
}

impl Console {
    pub(crate) fn new(json: bool) -> Self {
        Self {
            json,
            live: io::stderr().is_terminal(),
            stop: Arc::new(AtomicBool::new(false)),
            shown: Mutex::new(Shown { at: None, stage: String::new(), open: false }),
        }
    }

    /// Whether results are wanted as JSON.
    pub(crate) const fn json(&self) -> bool {
        self.json
    }

    /// From now on Ctrl-C stops the work between two steps; a second one stops it at once.
    pub(crate) fn watch_for_interrupt(&self) -> Result<(), Failure> {
        let stop = Arc::clone(&self.stop);
        ctrlc::set_handler(move || {
            if stop.swap(true, Ordering::SeqCst) {
                std::process::exit(i32::from(Exit::Cancelled as u8));
            }
        })
        .map_err(|error| Failure::new(Exit::Usage, error, "the signal handler", "try again"))
    }

    /// Whether the person wants to stop.
    pub(crate) fn stopped(&self) -> bool {
        self.stop.load(Ordering::SeqCst)
    }

    /// Fails where the person wants to stop.
    pub(crate) fn go_on(&self) -> Result<(), Failure> {
        if self.stopped() { Err(Failure::cancelled()) } else { Ok(()) }
    }

    /// Shows how far a stage has got, 0 to 1. Answers whether to go on.
    #[allow(clippy::print_stderr)]
    pub(crate) fn progress(&self, stage: &str, done: f64) -> bool {
        if let Ok(mut shown) = self.shown.lock() {
            let new = shown.stage != stage;
            let due = shown.at.is_none_or(|at| at.elapsed() >= EVERY);
            if self.live && (new || due) {
                eprint!("\r\x1b[K{stage} … {:3.0} %", done * 100.0);
                *shown = Shown { at: Some(Instant::now()), stage: stage.to_owned(), open: true };
            } else if !self.live && new && !self.json {
                eprintln!("{stage} …");
                shown.stage = stage.to_owned();
            }
        }
        !self.stopped()
    }

    /// Ends the line of progress.
    #[allow(clippy::print_stderr)]
    fn close(&self) {
        if let Ok(mut shown) = self.shown.lock()
            && std::mem::replace(&mut shown.open, false)
        {
            eprint!("\r\x1b[K");
        }
    }

    /// A message to the person.
    #[allow(clippy::print_stderr)]
    pub(crate) fn say(&self, message: &str) {
        self.close();
        eprintln!("{message}");
    }

    pub(crate) fn notes(&self, notes: &[String]) {
        for note in notes {
            self.say(&format!("note: {note}"));
        }
    }

    /// A result on standard output.
    pub(crate) fn print(&self, text: &str) -> Result<(), Failure> {
        self.close();
        let mut out = io::stdout().lock();
        let written = out
            .write_all(text.as_bytes())
            .and_then(|()| if text.ends_with('\n') { Ok(()) } else { out.write_all(b"\n") });
        match written.and_then(|()| out.flush()) {
            // Whoever read has enough, as with `… | head`.
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            Err(error) => Err(Failure::new(
                Exit::Output,
                format!("can't write: {}", reason(&error)),
                "standard output",
                "make room, or write somewhere else",
            )),
            Ok(()) => Ok(()),
        }
    }

    pub(crate) fn print_json(&self, value: &Value) -> Result<(), Failure> {
        self.print(&value.to_string())
    }

    /// Tells what went wrong: to the person, or as `{"error": …}` to a program, as far as its standard
    /// output takes it. A hint for several faults in a row is told once.
    pub(crate) fn fail(&self, failure: &Failure) {
        if self.json {
            let object = |fault: &formats::Fault| json!({"what": fault.what, "where": fault.place, "hint": fault.hint});
            let Some(first) = failure.faults.first() else { return };
            let mut error = object(first);
            if let (Some(error), true) = (error.as_object_mut(), failure.faults.len() > 1) {
                let others = failure.faults[1..].iter().map(object).collect();
                error.insert("more".to_owned(), Value::Array(others));
            }
            let mut all = Map::new();
            all.insert("error".to_owned(), error);
            all.extend(failure.details.clone().unwrap_or_default());
            if self.print_json(&Value::Object(all)).is_ok() {
                return;
            }
        }
        for (at, fault) in failure.faults.iter().enumerate() {
            let place = if fault.place.is_empty() { String::new() } else { format!("{}: ", fault.place) };
            self.say(&format!("error: {place}{}", fault.what));
            let again = failure.faults.get(at + 1).is_some_and(|next| next.hint == fault.hint);
            if !fault.hint.is_empty() && !again {
                self.say(&format!("  hint: {}", fault.hint));
            }
        }
    }
}
