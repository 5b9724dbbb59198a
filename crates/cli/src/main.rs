//! `strandwright`: from a picture to a proven crochet pattern, from the terminal or on a page.
//!
//! Arguments are parsed in [`args`], each command is one file in [`commands`], and this page only
//! brings the two together and turns what went wrong into a message and an exit code.

mod args;
mod cautions;
mod commands;
mod console;
mod failure;
mod from_picture;
mod inputs;
mod lettered;
mod measured;
mod operations;
mod output;
mod reckoned;
mod rounds;
mod summary;
mod usage;
mod values;
mod yarn_names;

use std::process::ExitCode;

use clap::Parser;
use clap::error::ErrorKind;

use crate::args::{Arguments, Command};
use crate::console::Console;
use crate::failure::Failure;

fn main() -> ExitCode {
    let json = std::env::args_os().any(|argument| argument == "--json");
    let console = Console::new(json);
    let outcome = match Arguments::try_parse() {
        Ok(arguments) => run(arguments, &console),
        Err(error) => match error.kind() {
            ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => console.print(&error.to_string()),
            _ => Err(usage::usage(&error)),
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
        None => commands::serve(&arguments.serve, console),
        Some(command) => {
            console.watch_for_interrupt()?;
            match command {
                Command::Make(arguments) => commands::make(&arguments, console),
                Command::Chart(arguments) => commands::chart(&arguments, console),
                Command::Plan(arguments) => commands::plan(&arguments, console),
                Command::Replay(arguments) => commands::replay(&arguments, console),
                Command::Rows(arguments) => commands::rows(&arguments, console),
                Command::Alter(arguments) => commands::alter(&arguments, console),
                Command::Picture(arguments) => commands::picture(&arguments, console),
                Command::Fabric(arguments) => commands::fabric(&arguments, console),
                Command::Border(arguments) => commands::border(&arguments, console),
                Command::Amounts(arguments) => commands::amounts(&arguments, console),
                Command::Print(arguments) => commands::print(&arguments, console),
                Command::Practice(arguments) => commands::practice(&arguments, console),
            }
        }
    }
}
