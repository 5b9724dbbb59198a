//! Taking back and doing again, also after the window was closed and the program was killed.

use browser_tests::{Program, Sheet};

use crate::{DESK, Scene, take_yarn};

#[tokio::test(flavor = "multi_thread")]
async fn what_was_done_can_be_taken_back_and_done_again_after_a_restart() {
    let mut scene = Scene::begin().await;
    let window = &scene.window;
    let sheet = scene.blank(20, 16).await;
    let id = sheet.blanket["id"].as_u64().expect("a number");
    take_yarn(window, 1).await;
    window.drag(&[sheet.point(4, 10), sheet.point(8, 10), sheet.point(8, 6)]).await;
    window.ends_after(sheet.revision()).await;
    let drawn = Sheet::of(window).await;
    assert_eq!(drawn.cells.iter().filter(|yarn| **yarn == 1).count(), 9, "the hand's way has no holes");
    window.click("[data-tool=flood]", "").await;
    window.click_at(sheet.point(0, 0)).await;
    window.ends_after(drawn.revision()).await;
    let flooded = Sheet::of(window).await;
    assert!(flooded.cells.iter().all(|yarn| *yarn == 1), "the flood reaches all");

    window.click("[data-do=back]", "").await;
    window.ends_after(flooded.revision()).await;
    assert_eq!(Sheet::of(window).await.cells, drawn.cells);

    // Without a word of farewell.
    scene.program.kill();
    let program = Program::start(scene.data.path(), 0);
    let window = scene.browser.open(program.address(), DESK).await;
    window.go_within(&format!("#/blanket/{id}/chart")).await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    let again = Sheet::of(&window).await;
    assert_eq!(again.cells, drawn.cells, "what was acknowledged is there");
    assert_eq!(window.number("ends").await, drawn.ends());
    window.click("[data-do=again]", "").await;
    window.ends_after(again.revision()).await;
    let done = Sheet::of(&window).await;
    assert_eq!(done.cells, flooded.cells);
    window.click("[data-do=back]", "").await;
    window.ends_after(done.revision()).await;
    let back = Sheet::of(&window).await;
    window.click("[data-do=back]", "").await;
    window.ends_after(back.revision()).await;
    assert_eq!(Sheet::of(&window).await.cells, sheet.cells, "the stroke goes as one");
    window
        .until(
            "nothing to take back",
            "document.querySelector('[data-do=back]').getAttribute('aria-disabled') === 'true'",
        )
        .await;
    scene.browser.quit().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_stitch_outlives_the_window_that_is_closed_at_once() {
    let scene = Scene::begin().await;
    let sheet = scene.blank(20, 16).await;
    let id = sheet.blanket["id"].as_u64().expect("a number");
    take_yarn(&scene.window, 1).await;
    scene.window.click_at(sheet.point(9, 7)).await;
    let Scene { data: _data, program, browser, window } = scene;
    window.close().await;
    let window = browser.open(program.address(), DESK).await;
    window.go_within(&format!("#/blanket/{id}/chart")).await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    window.shows("ends", 4).await;
    assert_eq!(Sheet::of(&window).await.yarn(9, 7), 1);
    browser.quit().await;
}
