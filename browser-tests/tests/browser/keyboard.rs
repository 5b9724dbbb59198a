//! All by keyboard: from the shelf to a stray stitch that is painted away.

use browser_tests::Key;

use crate::Scene;

const CONTROL: u8 = 2;
const SHIFT: u8 = 8;

#[tokio::test(flavor = "multi_thread")]
async fn the_keyboard_alone_begins_a_blanket_and_paints_a_stray_away() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    window.tab_to("Blank").await;
    window.press(Key::Enter).await;
    window.sees("A blank blanket").await;
    for (label, text) in [("Name", "By hand"), ("Stitches across", "14"), ("Rows", "10")] {
        window.tab_to(label).await;
        window.retype(text).await;
    }
    window.tab_to("Begin").await;
    window.press(Key::Enter).await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    window.sees("By hand").await;
    window.shows("ends", 2).await;

    window.tab_to("Chart of By hand").await;
    // Row 1 begins at the right: the last stitches of its way, then five rows up.
    for _ in 0..5 {
        window.press(Key::Left).await;
        window.press(Key::Up).await;
    }
    let said = "document.querySelector('#said').textContent";
    window.until("the place is told", &format!("{said}.startsWith('Row 6, stitch 9')")).await;
    let symbols =
        window.js("[...document.querySelectorAll('.chip-swatch')].map((one) => one.textContent)").await;
    let letter = |at: usize| symbols[at].as_str().and_then(|symbol| symbol.chars().next()).expect("a symbol");
    window.press(Key::Char(letter(1).to_ascii_lowercase())).await;
    window.press(Key::Enter).await;
    window.shows("ends", 4).await;
    window.press(Key::Char(letter(0).to_ascii_lowercase())).await;
    window.press(Key::Space).await;
    window.shows("ends", 2).await;
    assert_eq!(window.text("[data-change=ends]").await, "2 fewer");

    // With Shift the way is stitched, as one goes; Control and Z take it back.
    window.press(Key::Char(letter(1).to_ascii_lowercase())).await;
    window.press_with(Key::Right, SHIFT).await;
    window.shows("ends", 4).await;
    window.press_with(Key::Char('z'), CONTROL).await;
    window.shows("ends", 2).await;
    window.press_with(Key::Char('y'), CONTROL).await;
    window.shows("ends", 4).await;

    // The focus is still to be seen.
    let outlined = "(() => { const one = getComputedStyle(document.activeElement); return one.outlineStyle !== 'none' && parseFloat(one.outlineWidth) > 0; })()";
    assert_eq!(window.js(outlined).await, true, "what has the focus is outlined");
    scene.end().await;
}
