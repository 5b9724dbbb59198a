//! `practice`: a small patch to practise every move on, planned and proven.

use std::fmt::Write as _;

use model::{Gauge, Hand, Rules, WeightCategory, Weights};
use pattern::{Lesson, Move, lessons, practice_patch};
use serde_json::{Value, json};

use super::{chart_png, document, lines, planned, proven};
use crate::console::Console;
use crate::failure::Failure;
use crate::summary::{line, summary};
use crate::{args, output};

/// The files of the patch.
const FILES: [&str; 5] = ["chart.png", "chart-picture.png", "plan.json", "rows.txt", "lessons.txt"];

pub(crate) fn practice(arguments: &args::Practice, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    output::prepare_folder(&arguments.out, &FILES, existing)?;
    let hand = arguments.hand.map_or(Hand::Right, args::HandArg::hand);
    let terms = arguments.terms.terms();
    let gauge = Gauge::usual(WeightCategory::MEDIUM);
    let chart = practice_patch(hand);
    let rules = Rules::new(chart.palette(), Weights::default(), hand);
    let plan = planned(&chart, &rules, &gauge, console)?;
    let proven = proven(chart, plan, console)?;
    let chart = proven.chart();
    let drawn = chart_png(chart, &gauge, hand, console)?;
    let mut notes = Vec::new();
    let document = document(chart, proven.plan(), &mut notes);
    let files = [
        (FILES[0], formats::write_chart_png(chart, Some(&gauge))),
        (FILES[1], drawn),
        (FILES[2], document.into_bytes()),
        (FILES[3], pattern::rows(&proven, terms).into_bytes()),
        (FILES[4], words().into_bytes()),
    ];
    console.go_on()?;
    let written = output::write_folder(&arguments.out, &files, existing)?;
    let written: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    if console.json() {
        let lessons = (1..).zip(lessons()).map(|(row, lesson): (u32, &Lesson)| {
            json!({
                "row": row,
                "title": lesson.title,
                "says": lesson.says,
                "moves": lesson.moves.iter().copied().map(named).collect::<Vec<_>>(),
            })
        });
        return console.print_json(&json!({
            "written": written,
            "terms": terms.name(),
            "summary": summary(chart, proven.plan()),
            "lessons": lessons.collect::<Vec<Value>>(),
            "notes": notes,
        }));
    }
    console.notes(&notes);
    console.say(&line(proven.plan()));
    for path in &written {
        console.say(&format!("written: {path}"));
    }
    console.say("next: take three yarns of one weight, and work rows.txt with lessons.txt beside it");
    Ok(())
}

fn named(a_move: Move) -> &'static str {
    match a_move {
        Move::Join => "join",
        Move::Carry => "carry",
        Move::DrawBack => "draw back",
        Move::Drop => "drop",
        Move::Lift => "lift",
        Move::Cut => "cut",
    }
}

/// What each row teaches, to lie beside the rows.
fn words() -> String {
    let mut text = String::from(
        "LESSONS of the practice patch: what each of its rows teaches\n\n\
         Take three yarns of one weight that differ in lightness; the colours are invented. How to work\n\
         each row stands in rows.txt.\n",
    );
    for (row, lesson) in (1..).zip(lessons()) {
        let moves: Vec<&str> = lesson.moves.iter().copied().map(named).collect();
        let _ = writeln!(text, "\n[ ] Row {row}: {} ({})", lesson.title, moves.join(", "));
        for line in lines(lesson.says) {
            let _ = writeln!(text, "    {line}");
        }
    }
    text
}
