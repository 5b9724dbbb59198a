//! The room for paper: what is told there comes to the pages and to the files.

use serde_json::Value;

use crate::Scene;

/// The page that is looked at, once it is drawn.
const DRAWN: &str = "document.querySelector('.paper-page')?.complete && document.querySelector('.paper-page').naturalWidth > 100 && document.querySelector('.paper-page').alt";

#[tokio::test(flavor = "multi_thread")]
async fn a_pattern_is_looked_at_page_by_page_and_saved() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    window.go_within(&format!("#/blanket/{id}/paper")).await;
    window.until("the first page", DRAWN).await;
    let told = window.api("GET", &format!("/api/blankets/{id}/paper"), &Value::Null).await;
    let pages = told["pages"].as_u64().expect("a number");
    assert!(pages > 10, "{pages}");
    window.sees(&format!("of {pages}")).await;

    window.click("button", "Next page").await;
    window
        .until(
            "page 2",
            &format!("{DRAWN} === 'Page 2 of {pages} of the pattern; the PDF has all of its text.'"),
        )
        .await;

    // Whoever prints large has more pages; taken back, there are as many as before.
    window.click(".choice-one", "Large").await;
    window
        .until(
            "more pages",
            &format!(
                "Number(document.querySelector('.paper-turn .soft').textContent.match(/[0-9]+/)) > {pages}"
            ),
        )
        .await;
    window.click("button", "Take back").await;
    window.sees(&format!("of {pages}")).await;

    window.fill("Who made it", "Ada <b>&").await;
    window.fill("A note of your own", "For Ina #1").await;
    window.click("h2", "Printing").await;
    window.until("the pages", "document.querySelector('.making-found > .soft[role=status]').hidden").await;
    window.click("a", "Save the PDF").await;
    let (name, pdf) = scene.browser.saved(".pdf").await;
    assert!(!name.contains(['/', '\\']), "{name}");
    // Source: ISO 32000-1, 7.5.2: a file begins with its version.
    assert!(pdf.starts_with(b"%PDF-"), "{name}");
    window.click("a", "Save the page to take away").await;
    let (_, page) = scene.browser.saved(".html").await;
    let page = String::from_utf8(page).expect("UTF-8");
    assert!(page.contains("Ada &lt;b&gt;&amp;") && page.contains("For Ina #1"));
    window.click("a", "Chart to look at, as SVG").await;
    let (_, svg) = scene.browser.saved(".svg").await;
    assert!(String::from_utf8(svg).expect("UTF-8").contains("<svg"));

    // What was told is still there after a reload.
    window.reload().await;
    window
        .until(
            "the fields",
            "[...document.querySelectorAll('input')].some((input) => input.value === 'Ada <b>&')",
        )
        .await;
    scene.end().await;
}
