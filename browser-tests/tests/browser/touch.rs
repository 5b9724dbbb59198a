//! All by touch, on a window as large as a phone.

use browser_tests::Sheet;

use crate::{Scene, rest};

#[tokio::test(flavor = "multi_thread")]
async fn a_finger_begins_a_blanket_and_paints_a_stray_away() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    window.be_a_phone().await;
    window.reload().await;
    window.tap(".way", "Blank").await;
    for (label, text) in [("Stitches across", "14"), ("Rows", "16")] {
        window.tap("dialog label", label).await;
        window.retype(text).await;
    }
    window.tap("dialog button", "Begin").await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    window.shows("ends", 2).await;
    let narrow = "document.documentElement.scrollWidth <= innerWidth";
    assert_eq!(window.js(narrow).await, true, "nothing sticks out at the side");

    window.tap(".chips .chip:nth-child(2)", "").await;
    let sheet = Sheet::of(window).await;
    let stray = sheet.point(6, 8);
    window.tap_at(stray).await;
    window.shows("ends", 4).await;
    window.tap(".chips .chip:nth-child(1)", "").await;
    window.tap_at(stray).await;
    window.shows("ends", 2).await;
    assert_eq!(window.text("[data-change=ends]").await, "2 fewer");

    // Two fingers enlarge and stitch nothing.
    let before = Sheet::of(window).await;
    let (x, y) = stray;
    window.tap(".chips .chip:nth-child(2)", "").await;
    window.touch("touchStart", &[(x - 10.0, y)]).await;
    window.touch("touchStart", &[(x - 10.0, y), (x + 10.0, y)]).await;
    window.touch("touchMove", &[(x - 60.0, y), (x + 60.0, y)]).await;
    window.touch("touchEnd", &[]).await;
    rest(300).await;
    let after = Sheet::of(window).await;
    assert_eq!((before.revision(), before.cells), (after.revision(), after.cells));
    scene.end().await;
}
