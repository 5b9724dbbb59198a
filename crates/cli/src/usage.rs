//! Mistakes in the command line, in our own words: what is wrong, at which option, what to do.

use core::fmt;
use std::error::Error;

use clap::CommandFactory;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::args::Arguments;
use crate::failure::Failure;

/// What is wrong with the value of an option.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Slip {
    pub(crate) what: String,
    pub(crate) hint: String,
}

impl Slip {
    pub(crate) fn new(what: impl ToString, hint: impl ToString) -> Self {
        Self { what: what.to_string(), hint: hint.to_string() }
    }
}

impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)
    }
}

impl Error for Slip {}

/// What the parser has against the command line.
pub(crate) fn usage(error: &clap::Error) -> Failure {
    let command = command();
    let help = match &command {
        Some(command) => format!("`strandwright {command} --help` tells more"),
        None => format!("begin with a command: {}; or ask `strandwright --help`", names().join(", ")),
    };
    let one = |kind| words(error, kind).into_iter().next();
    let argument = one(ContextKind::InvalidArg).unwrap_or_default();
    let option = argument.split(' ').next().unwrap_or_default();
    let value = one(ContextKind::InvalidValue).unwrap_or_default();
    let meant = |kind| one(kind).map(|word| format!("did you mean {word}?"));
    let general = "the command line";
    match error.kind() {
        ErrorKind::MissingRequiredArgument => {
            let mut missing = words(error, ContextKind::InvalidArg);
            missing.sort_by_key(|name| name.starts_with('-'));
            let missing: Vec<String> = missing.iter().map(|name| name.replace(['<', '>'], "")).collect();
            let verb = if missing.len() == 1 { "is" } else { "are" };
            Failure::usage(format!("{} {verb} missing", missing.join(", ")), general, help)
        }
        ErrorKind::UnknownArgument if argument.starts_with('-') => {
            let hint = meant(ContextKind::SuggestedArg).unwrap_or(help);
            Failure::usage(format!("there is no option {argument}"), general, hint)
        }
        ErrorKind::UnknownArgument if let Some(gauge) = gauge_in_words() => {
            let hint = format!("write it as one word: --gauge {gauge}");
            Failure::usage("the gauge has spaces in it", "--gauge", hint)
        }
        ErrorKind::UnknownArgument => Failure::usage(format!("{argument:?} is one too many"), general, help),
        ErrorKind::InvalidSubcommand => {
            let name = one(ContextKind::InvalidSubcommand).unwrap_or_default();
            let hint = meant(ContextKind::SuggestedSubcommand).unwrap_or(help);
            Failure::usage(format!("there is no command {name:?}"), general, hint)
        }
        ErrorKind::ArgumentConflict => {
            let other = one(ContextKind::PriorArg).unwrap_or_default();
            let other = other.split(' ').next().unwrap_or_default();
            if other == option {
                Failure::usage("it is given twice", option, "give it once")
            } else {
                Failure::usage(
                    format!("it can't go together with {other}"),
                    option,
                    "leave one of the two out",
                )
            }
        }
        ErrorKind::InvalidValue => {
            let possible = words(error, ContextKind::ValidValue).join(" or ");
            let hint = if possible.is_empty() { help } else { format!("give {possible}") };
            if value.is_empty() {
                Failure::usage("its value is missing", option, hint)
            } else {
                Failure::usage(format!("{value:?} is none of its values"), option, hint)
            }
        }
        ErrorKind::ValueValidation => {
            let place = format!("{option} {value}");
            match error.source().and_then(|source| source.downcast_ref::<Slip>()) {
                Some(slip) => Failure::usage(slip, place.trim_end(), &slip.hint),
                None => Failure::usage("this value is not taken", place.trim_end(), help),
            }
        }
        _ => {
            let text = error.to_string();
            let text = text.strip_prefix("error: ").unwrap_or(&text);
            let first = text.lines().next().unwrap_or_default();
            Failure::usage(first, general, help)
        }
    }
}

/// The gauge, where the command line has it as `13 x 15` in three words.
fn gauge_in_words() -> Option<String> {
    let words: Vec<String> = std::env::args().collect();
    words.windows(4).find_map(|words| match words {
        [option, stitches, x, rows] => {
            let are_numbers = [stitches, rows].iter().all(|number| number.parse::<f64>().is_ok());
            let is_gauge = option == "--gauge" && ["x", "X", "×", "by", "/"].contains(&x.as_str());
            (is_gauge && are_numbers).then(|| format!("{stitches}x{rows}"))
        }
        _ => None,
    })
}

fn words(error: &clap::Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(word)) => vec![word.clone()],
        Some(ContextValue::Strings(words)) => words.clone(),
        _ => Vec::new(),
    }
}

fn names() -> Vec<String> {
    Arguments::command().get_subcommands().map(|command| command.get_name().to_owned()).collect()
}

/// The command that the command line begins with.
fn command() -> Option<String> {
    let first = std::env::args_os().nth(1)?;
    names().into_iter().find(|name| first == name.as_str())
}
