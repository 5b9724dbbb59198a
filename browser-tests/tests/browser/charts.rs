//! Charts that can be worked: a row to choose from, marks on the picture, words, changes of more than a
//! stitch, and a look at the fabric.

use browser_tests::{Key, Sheet, root};
use serde_json::Value;

use crate::{Scene, rest};

/// A blanket of the photograph, its picture room in sight.
async fn pictured(scene: &Scene) {
    scene.window.choose_file(".way", "From a picture", &root().join("fixtures/chelsea.png")).await;
    scene.window.until("the picture", "document.querySelector('.picture-crop canvas')?.width > 1").await;
    scene.window.fill("Width", "40").await;
    scene.window.fill("How many yarns", "5").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn one_of_a_row_of_charts_is_taken_and_taken_back() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    pictured(&scene).await;
    window.click("button", "Show me a row of charts").await;
    let over =
        "document.querySelectorAll('.choice-card').length >= 3 && document.querySelector('.working').hidden";
    window.until("the charts", over).await;
    // From the one most like the picture to the one that is least work.
    let ends = "[...document.querySelectorAll('.choice-card dl')].map((list) => Number(list.querySelectorAll('dd')[1].textContent))";
    let ends: Vec<u64> =
        window.js(ends).await.as_array().expect("cards").iter().filter_map(Value::as_u64).collect();
    assert!(ends.first() > ends.last(), "{ends:?}");
    window.sees("As it is").await;
    window.until("their pictures", "[...document.querySelectorAll('.choice-card img')].every((one) => one.naturalWidth > 0 || one.loading === 'lazy')").await;
    let last = format!("[data-choice]:is(.choice-card:nth-child({}) *)", ends.len());
    window.click(&last, "Take this one").await;
    window.sees("Taken").await;
    window.sees(&format!("{} ends", ends[ends.len() - 1])).await;
    window.click("a", "To the chart").await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    let sheet = Sheet::of(window).await;
    assert_eq!(sheet.ends(), ends[ends.len() - 1]);
    window.click("[data-do=back]", "").await;
    window
        .until(
            "the chart before",
            &format!("document.querySelector('[data-number=ends]').textContent !== '{}'", sheet.ends()),
        )
        .await;
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_matters_is_marked_and_the_dial_turned() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    pictured(&scene).await;
    window.click("button", "Mark what matters").await;
    let middle = window.find(".matters-sheet", "").await;
    window.drag(&[middle, (middle.0 + 30.0, middle.1), (middle.0 + 60.0, middle.1 + 10.0)]).await;
    // By keys too: to another place, and a dab there.
    window.press(Key::Up).await;
    window.press(Key::Space).await;
    window.click("dialog button", "Keep").await;
    window.sees("Marked: it is the last to be made simpler").await;
    window.click(".slider input", "").await;
    for _ in 0..10 {
        window.press(Key::Right).await;
    }
    window.until("the most", "document.querySelector('.slider output').textContent === '10'").await;
    window.click("button", "Chart it").await;
    window.sees("Charted anew").await;
    let id = window.js("Number(location.hash.split('/')[2])").await;
    let blanket = window.api("GET", &format!("/api/blankets/{id}"), &Value::Null).await;
    let request = &blanket["picture"]["request"];
    assert_eq!(request["ease"], 10);
    assert!(request["important"]["columns"].as_u64().is_some_and(|columns| columns > 10), "{request}");
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn words_are_laid_on_a_chart() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let sheet = scene.blank(40, 24).await;
    window.click(".chips .chip:nth-child(2)", "").await;
    window.click(".side-tools button", "Words").await;
    window.click("dialog textarea", "").await;
    window.retype("HI").await;
    window.sees("by 7 rows").await;
    window.click("dialog button", "Choose the place").await;
    window.sees("where the lower left corner shall be").await;
    window.click_at(sheet.point(6, 5)).await;
    window.ends_after(sheet.revision()).await;
    let after = Sheet::of(window).await;
    // The left stroke of H stands at the place, seven rows high.
    let stroke: Vec<u8> = (5..12).map(|row| after.yarn(6, row)).collect();
    assert_eq!(stroke, [1; 7]);
    assert!(window.text("[data-change=ends]").await.contains("more"));
    window.click("[data-do=back]", "").await;
    window.shows("ends", 2).await;
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_blanket_is_made_of_words() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    window.click(".way", "From words").await;
    window.click("dialog textarea", "").await;
    window.retype("Quay").await;
    window.sees("stitches by").await;
    window.click("dialog button", "Begin").await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    window.sees("Quay").await;
    let sheet = Sheet::of(window).await;
    assert!(sheet.columns > 20 && sheet.cells.contains(&1));
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn boxes_ovals_marks_and_changes_of_more_than_a_stitch() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let sheet = scene.blank(30, 20).await;
    window.click(".chips .chip:nth-child(2)", "").await;
    window.click("[data-tool=box]", "").await;
    window.drag(&[sheet.point(4, 4), sheet.point(6, 6), sheet.point(9, 8)]).await;
    window.ends_after(sheet.revision()).await;
    let boxed = Sheet::of(window).await;
    assert_eq!(boxed.cells.iter().filter(|yarn| **yarn == 1).count(), 6 * 5);
    window.click("[data-tool=oval]", "").await;
    window.drag(&[boxed.point(14, 4), boxed.point(16, 6), boxed.point(24, 14)]).await;
    window.ends_after(boxed.revision()).await;
    let oval = Sheet::of(window).await;
    assert_eq!((oval.yarn(14, 4), oval.yarn(19, 9)), (0, 1));

    // Only the marked area is turned into the other yarn.
    window.click("[data-tool=mark]", "").await;
    window.drag(&[oval.point(3, 3), oval.point(8, 8), oval.point(11, 10)]).await;
    window.click(".changes summary", "").await;
    window.js("(() => { const which = document.querySelector('.changes select'); which.value = 'replace'; which.dispatchEvent(new Event('change')); })()").await;
    window.js("(() => { const [from, to] = document.querySelectorAll('.changes .stack .stack select'); from.value = '1'; to.value = '0'; })()").await;
    window.click(".changes .choice-one", "In the marked area").await;
    window.click(".changes button", "Do it").await;
    window.ends_after(oval.revision()).await;
    let replaced = Sheet::of(window).await;
    assert_eq!((replaced.yarn(5, 5), replaced.yarn(19, 9)), (0, 1));

    // A frame round it makes the chart larger.
    window.js("(() => { const which = document.querySelector('.changes select'); which.value = 'frame'; which.dispatchEvent(new Event('change')); })()").await;
    window.click(".changes button", "Do it").await;
    window.until("the larger chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    for _ in 0..100 {
        if Sheet::of(window).await.columns == 36 {
            break;
        }
        rest(50).await;
    }
    let framed = Sheet::of(window).await;
    assert_eq!((framed.columns, framed.cells.len()), (36, 36 * 26));
    window.click("[data-do=back]", "").await;
    for _ in 0..100 {
        if Sheet::of(window).await.columns == 30 {
            break;
        }
        rest(50).await;
    }
    assert_eq!(Sheet::of(window).await.columns, 30);
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_fabric_is_seen_from_both_sides_near_and_far() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    window.go_within(&format!("#/blanket/{id}/fabric")).await;
    let shown = |face: &str| {
        format!(
            "(() => {{ const one = document.querySelector('.fabric-large'); return one?.src.includes('face={face}') && one.complete && one.naturalWidth > 300; }})()"
        )
    };
    window.until("the right side", &shown("right")).await;
    window.click(".choice-one", "Wrong side").await;
    window.until("the wrong side", &shown("wrong")).await;
    window.click(".choice-one", "Close up").await;
    window.until("a part", "document.querySelector('.fabric-large').src.includes('columns=40') && document.querySelector('.fabric-large').complete").await;
    // Deep and pale yarns meet in the demo.
    window.sees("Before you wash it").await;
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_row_is_kept_and_one_too_high_is_answered() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    scene.room(id, "strands").await;
    window.sees("Row 1, right side").await;
    window.fill("Row", "50").await;
    window.sees("Row 50, wrong side").await;
    scene.room(id, "chart").await;
    scene.room(id, "strands").await;
    window.sees("Row 50, wrong side").await;
    window.fill("Row", "999").await;
    window.sees("185").await;
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn no_change_is_said_and_a_yarn_is_picked_up_from_the_chart() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let sheet = scene.blank(20, 12).await;
    window.click(".chips .chip:nth-child(2)", "").await;
    window.click_at(sheet.point(8, 5)).await;
    window.ends_after(sheet.revision()).await;
    // One more beside it is made by the same strand.
    let stray = Sheet::of(window).await;
    window.click_at(stray.point(9, 5)).await;
    window.ends_after(stray.revision()).await;
    window.sees("no change").await;
    window.click("[data-tool=pick]", "").await;
    window.click_at(stray.point(2, 2)).await;
    window
        .until(
            "the first yarn",
            "document.querySelector('.chips .chip:first-child').getAttribute('aria-checked') === 'true'",
        )
        .await;
    scene.end().await;
}
