//! No command: the program's own page, in the browser.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use etcetera::BaseStrategy;
use server::{Limits, Server};
use workbench::{Kind, Moment, Opened, Workbench};

use crate::args;
use crate::console::Console;
use crate::failure::{Exit, Failure};

/// The folder of ours among the data of the person's programs.
const FOLDER: &str = "strandwright";

/// Tried first where no port is given, so that a page that was left open finds the program again
/// after it was started anew. Chosen for this project; no registered service uses it (from memory).
const USUAL_PORT: u16 = 20_816;

pub(crate) fn serve(arguments: &args::Serve, console: &Console) -> Result<(), Failure> {
    let folder = match &arguments.data {
        Some(folder) => folder.clone(),
        None => usual_folder()?,
    };
    let workbench = Arc::new(opened(&folder, console)?);
    let bind = |port| Server::bind(Arc::clone(&workbench), port, Limits::default());
    let started = match arguments.port {
        Some(port) => bind(port),
        None => bind(USUAL_PORT).or_else(|_| bind(0)),
    };
    let server = started.map_err(|error| refused_to_start(&error))?;
    let stop = server.stop();
    let mut asked = false;
    ctrlc::set_handler(move || {
        // A second time means now.
        if std::mem::replace(&mut asked, true) {
            std::process::exit(i32::from(Exit::Cancelled as u8));
        }
        stop.now();
    })
    .map_err(|error| Failure::new(Exit::Usage, error, "the signal handler", "try again"))?;
    let address = server.entrance();
    console.print(&address)?;
    if arguments.no_browser || !has_display() {
        console.say("open this address in a browser on this machine; Ctrl-C ends the program");
    } else if open_browser(&address) {
        console.say("the browser opens; if it does not, open this address yourself; Ctrl-C ends the program");
    } else {
        console.say("no browser could be opened: open this address yourself; Ctrl-C ends the program");
    }
    server.run().map_err(|error| refused_to_start(&error))
}

/// The person's blankets; with the demo on a new shelf.
fn opened(folder: &Path, console: &Console) -> Result<Workbench, Failure> {
    let now = || {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        Moment(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
    };
    let Opened { workbench, new, damaged } = Workbench::open(folder, Box::new(now)).map_err(refused)?;
    if let Some(aside) = &damaged {
        console.say(&format!(
            "the file of your blankets is damaged and was set aside as {}; the shelf begins anew",
            aside.display()
        ));
    }
    if new {
        workbench.demo().map_err(refused)?;
    }
    Ok(workbench)
}

/// Where the system keeps the data of a person's programs.
fn usual_folder() -> Result<PathBuf, Failure> {
    match etcetera::base_strategy::choose_native_strategy() {
        Ok(places) => Ok(places.data_dir().join(FOLDER)),
        Err(_) => Err(Failure::usage(
            "the system does not say where your data belong",
            "your home folder",
            "give a folder with --data FOLDER",
        )),
    }
}

fn refused(failure: workbench::Failure) -> Failure {
    let exit = match failure.kind {
        Kind::CannotWrite | Kind::Busy => Exit::Output,
        _ => Exit::Input,
    };
    Failure::new(exit, failure.what, failure.place, failure.hint)
}

fn refused_to_start(error: &server::StartError) -> Failure {
    Failure::usage(error, "--port", error.hint())
}

/// Whether a window could open.
fn has_display() -> bool {
    let is_set = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    cfg!(any(windows, target_os = "macos")) || is_set("DISPLAY") || is_set("WAYLAND_DISPLAY")
}

/// Asks the system to open an address. Whether a browser then comes up, it does not say.
fn open_browser(address: &str) -> bool {
    let mut opener = if cfg!(windows) {
        let mut shell = Command::new("cmd");
        shell.args(["/c", "start", ""]);
        shell
    } else {
        Command::new(if cfg!(target_os = "macos") { "open" } else { "xdg-open" })
    };
    let started =
        opener.arg(address).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
    let Ok(mut child) = started else { return false };
    // Heard out, so that it leaves nothing behind in the system's list of processes.
    std::thread::spawn(move || child.wait());
    true
}
