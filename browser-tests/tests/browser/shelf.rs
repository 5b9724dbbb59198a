//! The shelf: rename, duplicate, set aside, put back, delete for good.

use browser_tests::{Key, Program};
use serde_json::Value;

use crate::{DESK, Scene};

#[tokio::test(flavor = "multi_thread")]
async fn blankets_are_renamed_duplicated_set_aside_put_back_and_deleted() {
    let mut scene = Scene::begin().await;
    let window = &scene.window;
    let cards = |count: usize| format!("document.querySelectorAll('.card').length === {count}");
    let menu = async |blanket: &str, entry: &str| {
        window.click(".card button", &format!("What to do with {blanket}")).await;
        window.click(".menu-item", entry).await;
    };
    let demo = window.text(".card-name").await;
    menu(&demo, "Rename").await;
    window.until("the question", "document.activeElement.matches('dialog input')").await;
    window.retype("Grandmother's harbour").await;
    window.press(Key::Enter).await;
    window
        .until(
            "the new name",
            "document.querySelector('.card-name').textContent === \"Grandmother's harbour\"",
        )
        .await;

    menu("Grandmother's harbour", "Duplicate").await;
    window.until("two blankets", &cards(2)).await;
    let names =
        window.js("[...document.querySelectorAll('.card-name')].map((name) => name.textContent)").await;
    let copy = names
        .as_array()
        .expect("names")
        .iter()
        .filter_map(Value::as_str)
        .find(|name| *name != "Grandmother's harbour");
    let copy = copy.expect("the copy has a name of its own").to_owned();

    menu(&copy, "Set aside").await;
    window.sees("is in the drawer below").await;
    window.until("one blanket", &cards(1)).await;
    window.click(".drawer summary", "Set aside (1)").await;
    window.click(".drawer button", "Put back").await;
    window.until("two blankets", &cards(2)).await;
    window.until("no drawer", "document.querySelector('.drawer') === null").await;

    menu(&copy, "Set aside").await;
    window.click(".drawer summary", "Set aside (1)").await;
    window.click(".drawer button", "Delete for good").await;
    window.sees("There is no way to bring it back").await;
    // The way out is kept open.
    window.click("dialog button", "No, leave it").await;
    window.click(".drawer button", "Delete for good").await;
    window.click("dialog button", "Delete for good").await;
    window.until("no drawer", "document.querySelector('.drawer') === null").await;

    scene.program.kill();
    let program = Program::start(scene.data.path(), 0);
    let window = scene.browser.open(program.address(), DESK).await;
    window.until("the shelf", &cards(1)).await;
    assert_eq!(window.text(".card-name").await, "Grandmother's harbour");
    window.until("no drawer", "document.querySelector('.drawer') === null").await;
    scene.browser.quit().await;
}
