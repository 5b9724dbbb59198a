//! Settings change what is shown, and stay.

use browser_tests::Sheet;

use crate::Scene;

#[tokio::test(flavor = "multi_thread")]
async fn measures_terms_and_hand_change_what_is_shown() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    let choose = async |words: &str| {
        window.click(".top-panel", "Settings").await;
        window.click("dialog .choice-one", words).await;
        window.until("the choice", &format!("[...document.querySelectorAll('dialog input:checked')].some((one) => one.parentElement.textContent === '{words}')")).await;
        window.click("dialog .dialog-head button", "Close").await;
        window.until("the panel to close", "document.querySelector('dialog[open]') === null").await;
    };
    window.until("cm", "/\\d cm/.test(document.querySelector('.card').innerText)").await;
    choose("Inches").await;
    window.until("inches", "/\\d in/.test(document.querySelector('.card').innerText)").await;

    scene.room(id, "strands").await;
    window.sees("Row 1, right side, from right to left").await;
    let words = "document.querySelector('.row-words').textContent";
    // What is a single crochet in the US is a double crochet in the UK. common practice, no source
    window.until("single crochet", &format!("/\\bsc\\b/.test({words}) && !/\\bdc\\b/.test({words})")).await;
    choose("UK: double crochet").await;
    window.until("double crochet", &format!("/\\bdc\\b/.test({words}) && !/\\bsc\\b/.test({words})")).await;
    choose("Left").await;
    // A left hand works the mirror image: row 1 from left to right. common practice, no source
    window.sees("Row 1, right side, from left to right").await;

    let sheet = scene.chart(id).await;
    assert_eq!(sheet.blanket["hand"], "left");
    // The first stitch of row 1 lies at the left now.
    window.click("[data-tool=move]", "").await;
    window.click_at(sheet.point(0, 0)).await;
    window.press(browser_tests::Key::Right).await;
    window.press(browser_tests::Key::Left).await;
    window
        .until("the place", "document.querySelector('#said').textContent.startsWith('Row 1, stitch 1:')")
        .await;

    window.reload().await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    window.click(".top-panel", "Settings").await;
    for words in ["Inches", "UK: double crochet", "Left"] {
        window.until(words, &format!("[...document.querySelectorAll('dialog input:checked')].some((one) => one.parentElement.textContent === '{words}')")).await;
    }
    assert_eq!(Sheet::of(window).await.cells, sheet.cells, "the chart is untouched");
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn evening_is_dark_and_day_is_light() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    // Relative luminance would be more exact; the sum of the channels tells night from day.
    let bright = "(() => { const seen = [document.body, document.documentElement].map((one) => getComputedStyle(one).backgroundColor).find((colour) => !/, 0\\)$/.test(colour)); return seen.match(/[\\d.]+/g).slice(0, 3).map(Number).reduce((one, two) => one + two) > 380; })()";
    window.until("day", bright).await;
    window.click(".top-panel", "Settings").await;
    window.click("dialog .choice-one", "Evening").await;
    window.until("evening", &format!("!{bright}")).await;
    window.click("dialog .choice-one", "Day").await;
    window.until("day", bright).await;
    window.click("dialog .choice-one", "As the computer").await;
    window.dark(true).await;
    window.until("evening", &format!("!{bright}")).await;
    scene.end().await;
}
