//! The program itself, started as a person would, on a folder of its own.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::SystemTime;

/// The program under way. Dropped, it is killed: what it acknowledged must outlive that.
#[derive(Debug)]
pub struct Program {
    child: Child,
    address: String,
    // Open as long as the program runs: it may write there.
    _said: BufReader<ChildStdout>,
}

impl Program {
    /// Starts it on that data folder; `port` 0 takes any that is free.
    ///
    /// # Panics
    /// Where it can't be built, does not start or prints no address.
    #[must_use]
    pub fn start(data: &Path, port: u16) -> Self {
        let mut command = Command::new(built());
        if port != 0 {
            command.args(["--port", &port.to_string()]);
        }
        let mut child = command
            .args(["--no-browser", "--data"])
            .arg(data)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut said = BufReader::new(child.stdout.take().expect("standard output is piped"));
        let mut address = String::new();
        said.read_line(&mut address).expect("the program prints its address");
        let address = address.trim().to_owned();
        assert!(address.starts_with("http://"), "the program printed no address but {address:?}");
        Self { child, address, _said: said }
    }

    /// The address to begin with, the key of the run in it.
    #[must_use]
    pub fn address(&self) -> &str {
        &self.address
    }

    /// The port it listens at.
    ///
    /// # Panics
    /// Where the address has none.
    #[must_use]
    pub fn port(&self) -> u16 {
        let host = self.address.trim_start_matches("http://").split('/').next().unwrap_or_default();
        host.rsplit(':').next().and_then(|port| port.parse().ok()).expect("the address has a port")
    }

    /// Kills it, without a chance to put anything in order.
    ///
    /// # Panics
    /// Where the system refuses.
    pub fn kill(&mut self) {
        self.child.kill().expect("the program can be killed");
        self.child.wait().expect("the program has ended");
    }

    /// Memory that it holds, in KiB; `None` where the system does not tell.
    #[must_use]
    pub fn memory(&self) -> Option<u64> {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        status.lines().find_map(|line| line.strip_prefix("VmRSS:")?.trim().split(' ').next()?.parse().ok())
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

/// The program's file, beside the folder of this test's own; built where it is missing or older than
/// what it is made of. With the whole workspace under test it is there already.
fn built() -> PathBuf {
    let own = std::env::current_exe().expect("a running program knows its file");
    let folder =
        own.ancestors().find(|folder| folder.join("deps").is_dir()).expect("cargo's folder").to_owned();
    let program = folder.join("strandwright").with_extension(std::env::consts::EXE_EXTENSION);
    if is_current(&program) {
        return program;
    }
    let mut cargo = Command::new(std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned()));
    cargo.args(["build", "--quiet", "-p", "strandwright", "--bin", "strandwright", "--target-dir"]);
    cargo.arg(folder.parent().expect("a target folder")).current_dir(crate::root());
    if folder.ends_with("release") {
        cargo.arg("--release");
    }
    assert!(cargo.status().expect("cargo runs").success(), "the program can't be built");
    program
}

/// Whether the file is there and none of those it was made of, as cargo lists them, is newer.
fn is_current(program: &Path) -> bool {
    let changed = |path: &Path| -> Option<SystemTime> { fs::metadata(path).ok()?.modified().ok() };
    let Some(made) = changed(program) else { return false };
    let Ok(list) = fs::read_to_string(program.with_extension("d")) else { return false };
    let Some((_, sources)) = list.split_once(": ") else { return false };
    // Spaces inside names are escaped.
    let sources = sources.trim().replace("\\ ", "\0");
    sources
        .split_whitespace()
        .all(|path| changed(Path::new(&path.replace('\0', " "))).is_some_and(|source| source <= made))
}
