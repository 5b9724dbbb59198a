//! Nothing serious stands between the page and those who read it another way: axe-core on every page.

use browser_tests::{Page, Shelf, root};
use serde_json::Value;

use crate::Scene;

async fn check(width: u32, dark: bool) {
    let file = root().join("browser-tests/node_modules/axe-core/axe.min.js");
    let axe = std::fs::read_to_string(file)
        .expect("axe-core is missing: run npm ci in browser-tests, ./check does");
    let scene = Scene::begin().await;
    let window = &scene.window;
    let shelf = Shelf::fill(window).await;
    window.resize(width, 900).await;
    window.dark(dark).await;
    let mut found = Vec::new();
    for page in Page::ALL {
        page.show(window, shelf).await;
        window.js(&format!("{axe}\nundefined")).await;
        let results = window.js("axe.run(document, { resultTypes: ['violations'] }).then(({ violations, passes }) => ({ violations, passed: passes.length }))").await;
        assert!(
            results["passed"].as_u64().is_some_and(|passed| passed > 5),
            "{}: axe looked at nothing",
            page.name()
        );
        for violation in results["violations"].as_array().expect("violations") {
            if !matches!(violation["impact"].as_str(), Some("serious" | "critical")) {
                continue;
            }
            for node in violation["nodes"].as_array().into_iter().flatten() {
                let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
                let (rule, html, why) =
                    (text(&violation["id"]), text(&node["html"]), text(&node["failureSummary"]));
                found.push(format!(
                    "{} at {width}, {}: {rule}: {html}\n    {why}",
                    page.name(),
                    if dark { "dark" } else { "light" }
                ));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn axe_finds_nothing_serious_on_a_phone_by_day() {
    check(390, false).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn axe_finds_nothing_serious_on_a_phone_in_the_evening() {
    check(390, true).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn axe_finds_nothing_serious_on_a_desk_by_day() {
    check(1440, false).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn axe_finds_nothing_serious_on_a_desk_in_the_evening() {
    check(1440, true).await;
}
