//! A folder of its own for each test, the program run in it, and what it left.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::SystemTime;

use serde_json::Value;
use tempfile::TempDir;

/// A file of the repository, as the command line takes it.
pub(crate) fn stock(name: &str) -> String {
    let root =
        Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).expect("the crate lies two folders deep");
    root.join(name).to_str().expect("a path in UTF-8").to_owned()
}

/// The demo's list of yarns.
pub(crate) fn demo_yarns() -> String {
    stock("demo/yarns.toml")
}

/// A folder to work in.
pub(crate) struct Bench {
    folder: TempDir,
}

/// All files and folders below a folder: when changed, and for a file its bytes.
pub(crate) type Files = BTreeMap<PathBuf, (SystemTime, Option<Vec<u8>>)>;

/// What a run of the program left.
#[derive(Debug)]
pub(crate) struct Outcome {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Outcome {
    /// Standard output as JSON.
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {self:?}"))
    }

    /// Of one run of the program that is over.
    pub(crate) fn of(output: Output) -> Self {
        Self {
            code: output.status.code().expect("ended by itself, not by a signal"),
            out: String::from_utf8(output.stdout).expect("standard output is UTF-8"),
            err: String::from_utf8(output.stderr).expect("standard error is UTF-8"),
        }
    }
}

impl Bench {
    pub(crate) fn new() -> Self {
        Self { folder: tempfile::tempdir().expect("a folder") }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) {
        fs::write(self.path(name), bytes).expect("written");
    }

    pub(crate) fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub(crate) fn text(&self, name: &str) -> String {
        String::from_utf8(self.read(name)).expect("UTF-8")
    }

    pub(crate) fn json(&self, name: &str) -> Value {
        serde_json::from_slice(&self.read(name)).expect("JSON")
    }

    pub(crate) fn files(&self) -> Files {
        let (mut found, mut open) = (Files::new(), vec![self.folder.path().to_owned()]);
        while let Some(folder) = open.pop() {
            for entry in fs::read_dir(&folder).expect("a folder") {
                let path = entry.expect("an entry").path();
                let changed = fs::metadata(&path).and_then(|is| is.modified()).expect("a time");
                let bytes = if path.is_dir() { None } else { Some(fs::read(&path).expect("read")) };
                if path.is_dir() {
                    open.push(path.clone());
                }
                found.insert(path, (changed, bytes));
            }
        }
        found
    }

    /// The program, ready to be started in this folder.
    pub(crate) fn program(&self, arguments: &[&str]) -> Command {
        let mut program = Command::new(env!("CARGO_BIN_EXE_strandwright"));
        program.current_dir(self.folder.path()).args(arguments);
        program
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Outcome {
        Outcome::of(self.program(arguments).output().expect("the program starts"))
    }

    /// Runs what must succeed.
    pub(crate) fn done(&self, arguments: &[&str]) -> Outcome {
        let outcome = self.run(arguments);
        assert_eq!(outcome.code, 0, "{arguments:?}: {outcome:?}");
        outcome
    }

    /// Runs what must be refused, with and without `--json`: the exit code, the words that the message
    /// must hold, a hint, and nothing in the folder written or lost. Gives the JSON.
    pub(crate) fn refused(&self, arguments: &[&str], code: i32, words: &[&str]) -> Value {
        let before = self.files();
        let told = self.run(arguments);
        assert_eq!(told.code, code, "{arguments:?}: {told:?}");
        assert_eq!(told.out, "", "{arguments:?}: messages go to standard error");
        assert!(told.err.contains("error: ") && told.err.contains("  hint: "), "{arguments:?}: {told:?}");
        let with_json: Vec<&str> = arguments.iter().copied().chain(["--json"]).collect();
        let data = self.run(&with_json);
        assert_eq!(data.code, code, "{arguments:?}: {data:?}");
        assert_eq!(data.err, "", "{arguments:?}");
        let json = data.json();
        let error = &json["error"];
        let mut faults = vec![error];
        faults.extend(error["more"].as_array().into_iter().flatten());
        let mut all = String::new();
        for fault in faults {
            let part = |name: &str| {
                fault[name].as_str().unwrap_or_else(|| panic!("{arguments:?}: no {name} in {data:?}"))
            };
            let (what, place, hint) = (part("what"), part("where"), part("hint"));
            assert!(!what.is_empty() && !hint.is_empty(), "{arguments:?}: {data:?}");
            assert!(!what.ends_with('.') && !hint.ends_with('.') && !what.contains('\n'), "{data:?}");
            assert!(!what.contains("os error"), "{data:?}");
            all += &format!("{place}: {what}\n{hint}\n");
            assert!(told.err.contains(what) && told.err.contains(hint), "{told:?} {data:?}");
        }
        for word in words {
            assert!(all.contains(word), "{arguments:?}: no {word:?} in\n{all}");
        }
        assert_eq!(self.files(), before, "{arguments:?}: something was written or lost");
        json
    }
}
