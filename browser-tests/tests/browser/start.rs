//! The first start.

use browser_tests::Sheet;

use crate::{Scene, take_yarn};

#[tokio::test(flavor = "multi_thread")]
async fn the_first_start_shows_the_demo_ready_to_play_with() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    window.sees("Your blankets").await;
    window.sees("invented").await;
    let pictured = "[...document.querySelectorAll('.card img')].every((image) => image.complete && image.naturalWidth > 0)";
    window.until("the fabric of each blanket", pictured).await;
    window.click(".card-link", "").await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    let (ends, at_once) = (window.number("ends").await, window.number("strands_at_once").await);
    // A blanket of more than one yarn has ends, two for each strand.
    assert!(ends >= 4 && ends.is_multiple_of(2), "{ends} ends");
    assert!(at_once >= 1, "{at_once} strands at once");
    let hours: f64 = window.text("[data-number=hours]").await.parse().expect("hours");
    assert!(hours > 1.0, "{hours} hours");
    assert_eq!(Sheet::of(window).await.ends(), ends, "the page shows what the program has");
    scene.end().await;
}

/// Two ends a stray: a strand has two ends, and a lone stitch of another yarn needs one of its own.
/// common practice, no source
#[tokio::test(flavor = "multi_thread")]
async fn a_stray_stitch_painted_away_takes_two_ends_with_it() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let sheet = scene.blank(20, 16).await;
    window.shows("ends", 2).await;
    let stray = sheet.point(9, 7);
    take_yarn(window, 1).await;
    window.click_at(stray).await;
    window.shows("ends", 4).await;
    assert_eq!(window.text("[data-change=ends]").await, "2 more");
    take_yarn(window, 0).await;
    window.click_at(stray).await;
    window.shows("ends", 2).await;
    assert_eq!(window.text("[data-change=ends]").await, "2 fewer");
    let waited = window.js("Number(document.querySelector('.numbers').dataset.waited)").await;
    assert!(waited.as_f64().is_some_and(|waited| waited < 5000.0), "{waited}");
    scene.end().await;
}
