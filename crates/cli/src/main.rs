//! `strandwright`: from a picture to a proven crochet pattern, from the terminal.
//!
//! Arguments are parsed in [`args`], each command is one file in [`commands`], and this page only
//! brings the two together and turns what went wrong into a message and an exit code.

mod args;
mod commands;
mod console;
mod failure;
mod inputs;
mod output;
mod summary;

use std::process::ExitCode;

use clap::Parser;
use clap::error::ErrorKind;

use crate::args::{Arguments, Command};
use crate::console::Console;
use crate::failure::{Exit, Failure};

fn main() -> ExitCode {
    let json = std::env::args_os().any(|argument| argument == "--json");
    let console = Console::new(json);
    let outcome = match Arguments::try_parse() {
        Ok(arguments) => run(arguments, &console),
        Err(error) => match error.kind() {
            ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => console.print(&error.to_string()),
            _ => Err(usage(&error)),
        },
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            console.fail(&failure);
            ExitCode::from(failure.exit as u8)
        }
    }
}

fn run(arguments: Arguments, console: &Console) -> Result<(), Failure> {
    match arguments.command {
        None => commands::welcome(console),
        Some(command) => {
            console.watch_for_interrupt()?;
            match command {
                Command::Make(arguments) => commands::make(&arguments, console),
                Command::Chart(arguments) => commands::chart(&arguments, console),
                Command::Plan(arguments) => commands::plan(&arguments, console),
                Command::Replay(arguments) => commands::replay(&arguments, console),
                Command::Rows(arguments) => commands::rows(&arguments, console),
            }
        }
    }
}

/// A mistake in the arguments, in our own words as far as the parser's can be taken apart.
fn usage(error: &clap::Error) -> Failure {
    let text = error.to_string();
    let text = text.strip_prefix("error: ").unwrap_or(&text);
    let (what, rest) = text.split_once("\n\n").unwrap_or((text, ""));
    let what = what.split_whitespace().collect::<Vec<_>>().join(" ");
    let tip = rest.lines().find_map(|line| line.trim().strip_prefix("tip: "));
    let hint = match tip {
        Some(tip) => tip.to_owned(),
        None => "try `strandwright --help`, or `strandwright make --help` for one command".to_owned(),
    };
    Failure::new(Exit::Usage, what, "the command line", hint)
}
