//! What comes last: finishing, washing, what to mind, whose picture it is.

use model::Palette;
use sight::MayBleed;

use crate::contents::Section;
use crate::told::{Passing, Told};

pub(crate) fn closing(told: &Told, palette: &Palette) -> Vec<Section> {
    let section = |title: &str, says: Vec<String>| Section { title: title.to_owned(), says };
    let mut all = Vec::new();
    let alike = alike(told);
    if !alike.is_empty() {
        all.push(section("Yarns that look alike", alike));
    }
    all.push(section("Finishing", finishing(told)));
    all.push(section("Washing", washing(told, palette)));
    all.push(section("Take care", take_care()));
    all.push(section("Whose picture, whose pattern", whose(told)));
    all
}

/// Common practice, no source.
fn finishing(told: &Told) -> Vec<String> {
    let mut says = vec![
        "Weave in every end with a blunt needle, on the wrong side and along stitches of its own colour where \
         there are some. Tails that were worked over are half done: pull each gently so that it lies flat, then \
         weave the rest back the other way. The list of ends says where each one is and how much of it is left."
            .to_owned(),
        "Cut no end shorter than a finger's breadth before the blanket has been washed once.".to_owned(),
    ];
    if told.border.is_some() {
        says.push("Weave in the ends before the border: what hangs at the edges is in its way.".to_owned());
    }
    says
}

/// Common practice, no source, but for what the list of yarns gives.
fn washing(told: &Told, palette: &Palette) -> Vec<String> {
    let mut says = vec![
        "Wash as the most delicate of the yarns asks on its label; wash the swatch first, and see what it does. \
         Dry the blanket flat, drawn to its size."
            .to_owned(),
    ];
    if let Some(pairs) = sight::bleeding_in_words(palette, &sight::may_bleed(told.proven.chart())) {
        says.push(format!("Dark dyes may run into pale yarns beside them: {pairs}. {}", MayBleed::ADVICE));
    }
    says.push(
        "Heat can melt or flatten yarns of man-made fibres: press nothing whose fibre you do not know, and \
         never set a hot iron on the fabric. Where the label is lost, try a cool wash on the swatch."
            .to_owned(),
    );
    says
}

/// The usual cautions (common practice, no source; breaks: an extension service as quoted, SEEN at
/// second hand).
fn take_care() -> Vec<String> {
    [
        "Babies and small children: loose ends, loops and holes can catch fingers and toes, and no blanket \
         belongs in the cot of a sleeping baby. Weave ends back and forth twice, check them after every wash, \
         and follow what midwives, doctors and the rules of your country say.",
        "Hands, neck and eyes: rest every half hour, stretch, look into the distance, and change how you sit. \
         Pain that does not go is a matter for a doctor or a therapist.",
        "Unknown fibres may scratch or cause rashes: ask who the blanket is for, and try the swatch on the skin.",
        "Keep hooks, needles, scissors and cut ends away from children and animals.",
    ]
    .map(str::to_owned)
    .to_vec()
}

fn whose(told: &Told) -> Vec<String> {
    let picture = match told.picture_by.trim() {
        "" => "Picture by: ______________________________".to_owned(),
        by => format!("Picture by: {by}"),
    };
    let passing = match told.passing {
        Passing::NotSaid => {
            "Nothing is said here of giving this pattern on or selling it: ask whoever made it."
        }
        Passing::OwnUse => "This pattern is for your own use. Please do not give it on or sell it.",
        Passing::Given => "This pattern may be given on as it is. Please do not sell it.",
        Passing::Sold => "This pattern may be given on and sold.",
    };
    vec![
        picture,
        passing.to_owned(),
        "Whoever owns the rights in a picture decides whether a pattern may be made from it, and whether that, \
         or a blanket made from it, may be sold. Nobody but you can know: ask before you do."
            .to_owned(),
    ]
}

/// Pairs of yarns that an eye may take for each other, and what to do.
fn alike(told: &Told) -> Vec<String> {
    let chart = told.proven.chart();
    let said = sight::alike_in_words(chart.palette(), &sight::alike_on(chart, model::ALIKE));
    said.into_iter().map(|note| note + ".").collect()
}
