//! `print`: the whole pattern, to print or to take away.

use std::path::Path;

use booklet::{Booklet, Passing, Told, booklet};
use serde_json::json;

use super::replay::worked;
use crate::console::Console;
use crate::failure::Failure;
use crate::reckoned::reckoned;
use crate::{args, inputs, output};

/// What a file's name asks for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Pages,
    TakeAway,
}

pub(crate) fn print(arguments: &args::Print, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let mut wanted: Vec<(&Path, Kind)> = Vec::new();
    for path in &arguments.out {
        let kind = kind(path)?;
        if wanted.iter().any(|(other, _)| other == path) {
            return Err(Failure::usage(
                "it is named twice",
                format!("--out {}", path.display()),
                "name it once",
            ));
        }
        let chart = &arguments.chart;
        output::spare(&[Some(&chart.chart), Some(&arguments.plan), chart.yarns.as_deref()], &[path])?;
        output::check(path, existing)?;
        wanted.push((path, kind));
    }
    let mut notes = Vec::new();
    let (proven, in_file) = worked(&arguments.chart, &arguments.plan, &mut notes)?;
    let reckoned = reckoned(&arguments.reckoned, &arguments.chart, &proven, in_file, &mut notes)?;
    let told = Told {
        proven: &proven,
        basis: &reckoned.basis,
        choices: &reckoned.choices,
        time: &reckoned.time,
        border: reckoned.border.as_ref(),
        shrinkage: arguments.reckoned.shrinks,
        title: &arguments.title,
        by: &arguments.by,
        note: &arguments.note,
        picture_by: &arguments.picture_by,
        passing: arguments.passing.map_or(Passing::NotSaid, args::PassingArg::passing),
        terms: arguments.reckoned.terms.terms(),
        units: arguments.reckoned.units.units(),
    };
    let booklet = booklet(&told);
    let mut files = Vec::new();
    let mut count = None;
    for (path, kind) in wanted {
        console.go_on()?;
        let bytes = match kind {
            Kind::Pages => {
                console.progress("setting the pages", 0.0);
                note_unprintable(arguments, &mut notes);
                let (bytes, pages) = pages(&booklet, arguments)?;
                count = Some(pages);
                bytes
            }
            Kind::TakeAway => {
                console.progress("writing the page", 0.0);
                typeset::take_away(&booklet).into_bytes()
            }
        };
        files.push((path.to_owned(), bytes));
    }
    console.go_on()?;
    output::write_all(&files, existing)?;
    let written: Vec<String> = files.iter().map(|(path, _)| path.display().to_string()).collect();
    if console.json() {
        return console.print_json(&json!({"written": written, "pages": count, "notes": notes}));
    }
    console.notes(&notes);
    for (path, (_, bytes)) in written.iter().zip(&files) {
        let pages = count.filter(|_| bytes.starts_with(b"%PDF")).map(|pages| format!(", {pages} pages"));
        console.say(&format!("written: {path}{}", pages.unwrap_or_default()));
    }
    Ok(())
}

/// Notes what was typed in letters that the pages can't print.
#[cfg(feature = "pages")]
fn note_unprintable(arguments: &args::Print, notes: &mut Vec<String>) {
    let typed = [
        ("--title", &arguments.title),
        ("--by", &arguments.by),
        ("--note", &arguments.note),
        ("--picture-by", &arguments.picture_by),
    ];
    for (option, _) in typed.into_iter().filter(|(_, text)| typeset::has_unprintable(text)) {
        notes.push(format!("{option} has letters that the PDF can't print: they stand there as □; the page to take away has them all"));
    }
}

#[cfg(not(feature = "pages"))]
fn note_unprintable(_: &args::Print, _: &mut Vec<String>) {}

fn kind(path: &Path) -> Result<Kind, Failure> {
    if inputs::ends_in(path, "pdf") {
        // Told before anything is read and worked.
        return if cfg!(feature = "pages") { Ok(Kind::Pages) } else { Err(without_pages()) };
    }
    if inputs::ends_in(path, "html") {
        return Ok(Kind::TakeAway);
    }
    Err(Failure::usage(
        "a pattern is written as PDF to print, or as HTML to take away",
        format!("--out {}", path.display()),
        "give a name that ends in .pdf or .html",
    ))
}

/// The pages, and how many there are.
#[cfg(feature = "pages")]
fn pages(booklet: &Booklet<'_>, arguments: &args::Print) -> Result<(Vec<u8>, usize), Failure> {
    let paper = typeset::Paper {
        sheet: match arguments.paper {
            args::PaperArg::A4 => typeset::Sheet::A4,
            args::PaperArg::Letter => typeset::Sheet::Letter,
        },
        ink: match arguments.ink {
            args::InkArg::Colour => typeset::Ink::Colour,
            args::InkArg::Black => typeset::Ink::Black,
        },
        print: if arguments.large { typeset::Print::Large } else { typeset::Print::Usual },
        ends: !arguments.no_ends,
        tags: !arguments.no_tags,
    };
    let failed =
        |error| Failure::input(error, "the pages", "write it as HTML, and report this with the chart");
    let pages = typeset::pages(booklet, &paper).map_err(failed)?;
    let bytes = pages.pdf().map_err(failed)?;
    Ok((bytes, pages.count()))
}

/// A build without pages has none to give.
#[cfg(not(feature = "pages"))]
fn pages(_: &Booklet<'_>, _: &args::Print) -> Result<(Vec<u8>, usize), Failure> {
    Err(without_pages())
}

fn without_pages() -> Failure {
    Failure::usage(
        "this build of the program writes no PDF",
        "--out",
        "write HTML, or build it with its default features",
    )
}
