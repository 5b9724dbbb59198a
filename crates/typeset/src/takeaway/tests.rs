//! The page as a file: what it holds, what it may load, and what it lets in. That its rows can be worked
//! is checked where the planner is at hand.

use booklet::{Booklet, HowTo, RowEntry, Rows, WindEntry, WindLine, Word, YarnEntry};
use model::{Gauge, Srgb};
use pattern::Move;
use proptest::prelude::*;
use replay::ProvenPlan;

use super::*;
use crate::fabric::tests::worked;

/// A small booklet in which every typed text is this one.
fn booklet<'a>(proven: &'a ProvenPlan, typed: &str) -> Booklet<'a> {
    let typed = || typed.to_owned();
    let row = |number: usize| RowEntry {
        first: number,
        last: number,
        name: format!("Row {number} (RS ←)"),
        lines: vec!["2 sc A1; join B1;".into(), "(2 made) 10 sc B1.".into()],
    };
    let wind =
        |label: &str| WindLine { label: label.into(), length: "2.4 m".into(), joins_at: 1, ends_at: 3 };
    Booklet {
        proven,
        gauge: Gauge::new(14.0, 15.0).unwrap(),
        title: typed(),
        by: typed(),
        note: typed(),
        subtitle: typed(),
        facts: Vec::new(),
        yarns: vec![YarnEntry {
            kind: "medium (4)".to_owned(),
            symbol: "A".into(),
            name: typed(),
            colour: Srgb::new(1, 2, 3),
            stitches: "1".into(),
            strands: "2".into(),
            length: "3 m".into(),
            weight: String::new(),
            balls: String::new(),
        }],
        gauge_says: Vec::new(),
        how_to: HowTo {
            chart_on_paper: Vec::new(),
            rows_on_paper: Vec::new(),
            chart: Vec::new(),
            rows: Vec::new(),
            words: vec![Word { words: "join B1".into(), means: "Begin.".into(), draws: Some(Move::Join) }],
            all_along: Vec::new(),
        },
        rows: Rows {
            strands: vec![typed()],
            foundation: "Foundation: join A1.".into(),
            rows: vec![row(1), row(2), row(3)],
        },
        winding: vec![
            WindEntry { symbol: "A".into(), what: typed(), strands: vec![wind("A1")] },
            WindEntry { symbol: "B".into(), what: typed(), strands: vec![wind("B1"), wind("B2")] },
        ],
        tags: Vec::new(),
        ends: vec!["Row 1: A1".into()],
        border: None,
        closing: Vec::new(),
    }
}

/// What stands between two texts, each time the first occurs.
fn between<'a>(text: &'a str, start: &str, end: &str) -> Vec<&'a str> {
    text.split(start).skip(1).map(|rest| rest.split(end).next().unwrap_or_default()).collect()
}

/// Only data that is in the page is ever loaded, and every link leads to a place on it.
#[test]
fn it_needs_nothing_but_itself() {
    let proven = worked();
    let page = take_away(&booklet(&proven, "Boats"));
    assert!(!page.contains("{{"), "a slot is left open");
    let bare = page.replace("http://www.w3.org/2000/svg", "");
    for outward in
        ["http:", "https:", "//cdn", "url(", "@import", " style=\"", " onclick", "javascript:", "fetch("]
    {
        assert!(!bare.contains(outward), "{outward}");
    }
    assert!(between(&bare, " src=\"", "\"").iter().all(|from| from.starts_with("data:image/png;base64,")));
    let links = between(&bare, " href=\"", "\"");
    assert!(links.len() > 5);
    for link in links {
        let id = link.strip_prefix('#').expect("a place on the page");
        assert!(page.contains(&format!(" id=\"{id}\"")), "{link} leads nowhere");
    }
    for id in between(&page, " id=\"", "\"") {
        assert_eq!(page.matches(&format!(" id=\"{id}\"")).count(), 1, "{id} is there twice");
    }
}

/// The browser takes this one script and this one style, and whatever else came in somehow it does not.
/// Source: Content Security Policy Level 3, hash-source (MEM).
#[test]
fn the_policy_lets_in_its_own_script_and_style_alone() {
    let proven = worked();
    let page = take_away(&booklet(&proven, "Boats"));
    let policy = between(&page, "Content-Security-Policy\" content=\"", "\"")[0];
    let hash = |text: &str| format!("'sha256-{}'", BASE64.encode(Sha256::digest(text.as_bytes())));
    for (name, element) in [("style-src", "style"), ("script-src", "script")] {
        let found = between(&page, &format!("<{element}>"), &format!("</{element}>"));
        assert_eq!(found.len(), 1, "{element}");
        assert!(policy.contains(&format!("{name} {};", hash(found[0]))), "{policy}");
    }
    assert!(policy.starts_with("default-src 'none';") && !policy.contains("unsafe") && !policy.contains('*'));
}

/// Source: FIPS 180-2, the example of one block, "abc" (MEM).
#[test]
fn the_digest_is_sha_256() {
    let hex: String = Sha256::digest(b"abc").iter().map(|byte| format!("{byte:02x}")).collect();
    assert_eq!(hex, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

/// What has to be kept is told apart by its name.
#[test]
fn every_box_has_a_name_of_its_own() {
    let proven = worked();
    let page = take_away(&booklet(&proven, "Boats"));
    assert_eq!(
        between(&page, "<input type=\"checkbox\" data-tick=\"", "\""),
        ["wind A1", "wind B1", "wind B2", "end 0"]
    );
}

#[test]
fn slots_are_filled_once() {
    let slots = [("a", "{{b}}".to_owned()), ("b", "}}{{a".to_owned())];
    assert_eq!(filled("x{{a}}y{{b}}z", &slots), "x{{b}}y}}{{az");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    /// Whatever is typed, there are as many elements.
    #[test]
    fn a_typed_text_makes_no_element(typed in "\\PC{1,60}|[<>&\"'{}/!= a-z\\-]{1,60}") {
        let proven = worked();
        let tags = |typed: &str| take_away(&booklet(&proven, typed)).matches('<').count();
        prop_assume!(!typed.trim().is_empty());
        prop_assert_eq!(tags(&typed), tags("x"));
    }
}
