//! The room of strands: one is taken up and followed to its cut; the rows are told in words.

use browser_tests::Sheet;
use serde_json::Value;

use crate::Scene;

#[tokio::test(flavor = "multi_thread")]
async fn a_strand_is_followed_from_join_to_cut() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    let plan = window.api("GET", &format!("/api/blankets/{id}/strands"), &Value::Null).await;
    scene.room(id, "strands").await;
    window.until("the row in words", "document.querySelector('.row-words li')").await;
    let sheet = Sheet::of(window).await;

    // A strand with a way that is short, but not too short, and a stitch of its own to click.
    let rows = plan["rows"].as_array().expect("rows");
    let steps = |strand: usize| {
        rows.iter()
            .flat_map(|row| row["steps"].as_array().into_iter().flatten())
            .filter(move |step| step[1] == strand)
            .count()
    };
    let count = plan["strands"].as_array().map_or(0, Vec::len);
    let strand = (0..count)
        .filter(|strand| steps(*strand) >= 5)
        .min_by_key(|strand| steps(*strand))
        .expect("a strand");
    let own = |step: &&Value| step[0] == "work" && step[1] == strand;
    let (row, step) = rows
        .iter()
        .enumerate()
        .find_map(|(row, one)| Some((row, one["steps"].as_array()?.iter().find(own)?)))
        .expect("a strand works");
    let side = |at: usize| step[at].as_u64().and_then(|at| usize::try_from(at).ok()).expect("a boundary");
    let column = side(2).min(side(3));
    window.click_at(sheet.point(column, row)).await;
    let chosen = format!("document.querySelector('#strand-choice').value === '{strand}'");
    window.until("the strand to be taken up", &chosen).await;
    let facts = &plan["strands"][strand];
    window.sees(facts["label"].as_str().expect("a label")).await;
    window.sees(&format!("Row {}, {} side", row + 1, if row % 2 == 0 { "right" } else { "wrong" })).await;

    // From its join, step by step, to its cut.
    for _ in 0..steps(strand) {
        window.click("[data-do=previous-step]", "").await;
    }
    let current = "[aria-current=step]";
    assert!(window.text(current).await.contains("Joined after stitch"), "{}", window.text(current).await);
    let of = steps(strand);
    for at in 2..=of {
        window.click("[data-do=next-step]", "").await;
        window
            .until(
                &format!("step {at} of {of}"),
                &format!("document.querySelector('.position').textContent === '{at} of {of}'"),
            )
            .await;
    }
    assert!(window.text(current).await.contains("Cut after stitch"), "{}", window.text(current).await);
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn rows_are_told_in_words() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    scene.room(id, "strands").await;
    // Row 1 is a right-side row and, for a right hand, runs from right to left. common practice, no source
    window.sees("Row 1, right side, from right to left").await;
    window.click("[data-do=next-row]", "").await;
    window.sees("Row 2, wrong side, from left to right").await;
    let told = window.api("GET", &format!("/api/blankets/{id}/rows/2"), &Value::Null).await;
    let told = told["text"].as_str().expect("words").split_whitespace().collect::<Vec<_>>().join(" ");
    window.until("the words of row 2", "document.querySelectorAll('.row-words li').length > 0").await;
    let parts = window
        .js("[...document.querySelectorAll('.row-words .line-words')].map((part) => part.textContent)")
        .await;
    let parts = parts.as_array().expect("parts");
    assert!(!parts.is_empty());
    for part in parts.iter().filter_map(Value::as_str) {
        assert!(told.contains(part), "{part:?} is not in {told:?}");
    }
    scene.end().await;
}
