//! How to read chart and rows: with these pages in hand nothing else is needed.

use model::Hand;
use pattern::{Move, RowsInWords, Terms};
use replay::ProvenPlan;

use crate::contents::{HowTo, Word};

/// Which move the words of a row ask for, by how they begin.
const DRAWN: [(&str, Move); 7] = [
    ("join", Move::Join),
    ("lay in", Move::Join),
    ("carry along", Move::Carry),
    ("draw", Move::DrawBack),
    ("lift", Move::Lift),
    ("drop", Move::Drop),
    ("cut", Move::Cut),
];

pub(crate) fn how_to(proven: &ProvenPlan, terms: Terms, rows: &RowsInWords) -> HowTo {
    let stitch = terms.stitch();
    let (rs, ws, first) = match proven.rules().hand {
        Hand::Right => ("← (from right to left)", "→ (from left to right)", "right"),
        Hand::Left => ("→ (from left to right)", "← (from right to left)", "left"),
    };
    let mut drawn = Vec::new();
    let words = rows.words.iter().map(|(words, means)| {
        let draws = DRAWN.iter().find(|(begins, _)| words.starts_with(begins)).map(|(_, draws)| *draws);
        // Each move is drawn once, beside the first words that ask for it.
        let draws = draws.filter(|draws| !drawn.contains(draws));
        drawn.extend(draws);
        Word { words: words.clone(), means: means.clone(), draws }
    });
    HowTo {
        chart: vec![
            "Each cell of the chart is one stitch; its letter, and its colour where the chart is printed in \
             colour, say which yarn makes it. The chart shows the right side."
                .to_owned(),
            format!(
                "Row 1 is at the bottom. RS rows are worked {rs} and WS rows {ws}; a row's number and arrow stand \
                 where it begins. Stitches are counted from the {first}, as row 1 is worked."
            ),
            "The chart says what colour goes where. The rows in words say the same, and with it how: which strand \
             makes each stitch, and what lies inside it. Work from the rows, and look at the chart to see where \
             you are."
                .to_owned(),
        ],
        chart_on_paper: vec![
            "Every tenth line is ruled, in two tones by turns. A chart that is larger than a page is cut into pieces, \
             which the map shows. Pale cells outside the bold frame of a piece belong to the piece beside it: they \
             show how the two meet, and are worked there."
                .to_owned(),
        ],
        rows: vec![
            format!(
                "There is one stitch, single crochet in US terms and double crochet in UK terms: {stitch} in this \
                 pattern ({} terms). Work flat, and turn at the end of every row.",
                terms.name()
            ),
            "A strand is one continuous length of a yarn, from where it is joined to where it is cut. Its label \
             is the letter of its yarn and a number: B3 is the third strand of yarn B."
                .to_owned(),
            format!(
                "Row 1 is a right-side row (RS), then wrong-side (WS) and RS in turn. RS rows run {rs} on the \
                 chart, WS rows {ws}."
            ),
            "A row is a list of things to do, in order, with a semicolon between two. It begins with its name and \
             ends with a full stop; until then it goes on, on the next line too. Where several rows read the \
             same they are written once, as in Rows 3–10."
                .to_owned(),
            "A strand that is dropped or lifted waits where it is, at the top of that row, until a later row names \
             it. A row names every strand that must do something in it. What stands between the last stitch and \
             the turning chain brings to hand the strand that begins the next row."
                .to_owned(),
            "The foundation is one chain longer than the row has stitches. No stitch is worked over the tail that \
             it begins with."
                .to_owned(),
        ],
        rows_on_paper: vec![
            "A row may go on over the end of a page. The line at the foot of a page, which begins with Page, belongs \
             to no row."
                .to_owned(),
        ],
        words: words.collect(),
        all_along: rows.all_along.clone(),
    }
}
