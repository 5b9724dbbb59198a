//! Amounts and border: a swatch with a slip, a border in another yarn, lists to tick, evenings, taking back.

use browser_tests::{Key, Program, Window};
use serde_json::{Value, json};

use crate::{DESK, Scene};

impl Scene {
    /// A room of a blanket, once its numbers are there.
    async fn making(&self, id: u64, room: &str, there: &str) {
        self.window.go_within(&format!("#/blanket/{id}/{room}")).await;
        self.window.until(room, &format!("document.querySelector({})", json!(there))).await;
    }

    async fn blank_id(&self) -> u64 {
        self.blank(20, 16).await.blanket["id"].as_u64().expect("a number")
    }
}

/// Chooses in a list, as the page hears of it.
async fn choose(window: &Window, selector: &str, value: &str) {
    let script = format!(
        "(() => {{ const one = document.querySelector({}); one.value = {}; one.dispatchEvent(new Event('change')); }})()",
        json!(selector),
        json!(value)
    );
    window.js(&script).await;
}

async fn kept(window: &Window, id: u64) -> Value {
    window.api("GET", &format!("/api/blankets/{id}/making"), &Value::Null).await["making"].clone()
}

/// Source: 11 to 14 sc in 4 in for medium yarn, Standard Yarn Weight System (SEEN): 14 in one inch are none.
#[tokio::test(flavor = "multi_thread")]
async fn a_swatch_with_a_slip_is_asked_about_mended_kept_and_taken_back() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    scene.making(id, "amounts", ".amount").await;
    window.sees("An estimate").await;
    let have = async || window.text(".amount:first-child .amount-have").await;
    let estimated = have().await;

    window.fill("Stitches", "14").await;
    window.fill("over", "1").await;
    choose(window, ".swatch-form .counted select", "in").await;
    // The page tries the swatch when the hand rests; the number typed last tells it.
    window.fill("over", "1").await;
    window.sees("Is that 14 stitches in 4 inches, not per inch?").await;
    assert!(kept(window, id).await["swatch"].is_null(), "nothing is kept unasked");
    window.click("[data-do=mend]", "").await;
    window.misses("Is that 14 stitches in 4 inches").await;
    window.click("button", "Take this swatch").await;
    window.sees("Gauge measured, yarn estimated").await;
    assert_eq!(kept(window, id).await["swatch"]["stitches"], json!({"count": 14, "over": 4, "unit": "in"}));
    let measured = have().await;
    assert_ne!(measured, estimated);

    // The gauge goes over to the chart, and comes back.
    window.click("[data-do=take-gauge]", "").await;
    window.misses("Draw it at my swatch").await;
    window.click("[data-do=back]", "").await;
    window.sees("Draw it at my swatch").await;
    window.click("[data-do=back]", "").await;
    window.sees("An estimate").await;
    window
        .until(
            "the amounts of before",
            &format!("document.querySelector('.amount .amount-have').innerText === {}", json!(estimated)),
        )
        .await;
    window.click("[data-do=again]", "").await;
    window.sees("Gauge measured, yarn estimated").await;
    window.reload().await;
    window.sees("Gauge measured, yarn estimated").await;
    assert_eq!(have().await, measured);
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_swatch_of_nothing_and_a_margin_beyond_sense_are_told() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    scene.making(id, "amounts", ".amount").await;
    window.fill("Stitches", "0").await;
    window.fill("over", "10").await;
    window.sees("A swatch of nothing: its stitches can't be zero").await;
    window.fill("Margin", "300").await;
    window.press(Key::Tab).await;
    window.sees("300 % is more than sense").await;
    window.fill("Margin", "25").await;
    window.press(Key::Tab).await;
    window.misses("more than sense").await;
    window
        .until("the margin is kept", "document.querySelector('[data-do=back]').title.includes('margin')")
        .await;
    assert_eq!(kept(window, id).await["margin"], 25);
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_border_in_another_yarn_is_drawn_and_counts_in_the_amounts() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.blank_id().await;
    scene.making(id, "amounts", ".amount").await;
    assert_eq!(window.js("document.querySelectorAll('.amount').length").await, 1);
    scene.making(id, "border", "[data-preset]").await;
    window.click("[data-preset=two]", "").await;
    window.until("two rounds", "document.querySelectorAll('.round').length === 2").await;
    window.sees("the border lies flat").await;
    // A yarn that makes no stitch of the chart.
    window.click("button", "Another yarn").await;
    window.click("dialog label", "Name").await;
    window.retype("Brick").await;
    window.click("dialog .dialog-foot button", "Add").await;
    window.until("the new yarn", "document.querySelector('[data-field=yarn-1] option[value=brick]')").await;
    choose(window, "[data-field=yarn-1]", "brick").await;
    window
        .until("the yarn is kept", "document.querySelector('.border-legend li').innerText.includes('Brick')")
        .await;
    // A round of sc grows by 8 at a square gauge (SEEN), here by 8 · 0.93 or so, and always even. DERIVED
    let counts = window.text("[data-round='1']").await;
    assert!(counts.contains("8 more") || counts.contains("6 more"), "{counts}");
    assert!(window.text("[data-words]").await.contains("Round 2 (sc = single crochet"));

    // Its words are those of the person's terms.
    window.click(".top-panel", "Settings").await;
    window.click("dialog .choice-one", "UK: double crochet").await;
    window.click("dialog .dialog-head button", "Close").await;
    window
        .until(
            "UK terms",
            "/Round 2 \\(dc = double crochet/.test(document.querySelector('[data-words]').innerText)",
        )
        .await;

    scene.making(id, "amounts", "[data-yarn=brick]").await;
    window.sees("For the border alone.").await;
    window.click("[data-do=back]", "").await;
    window.until("the yarn takes nothing", "document.querySelector('[data-yarn=brick]') === null").await;
    window.click("[data-do=again]", "").await;
    window.until("it does again", "document.querySelector('[data-yarn=brick]')").await;
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn rounds_are_moved_forced_and_taken_away_by_keyboard_alone() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.blank_id().await;
    scene.making(id, "border", "[data-preset]").await;
    window.tab_to("Add a round").await;
    window.press(Key::Enter).await;
    window.until("a round", "document.querySelectorAll('.round').length === 1").await;
    window.press(Key::Enter).await;
    window.until("two rounds", "document.querySelectorAll('.round').length === 2").await;
    window.js("document.querySelector('main').focus()").await;
    window.tab_to("Stitch").await;
    window.press(Key::Down).await;
    window.until("hdc", "document.querySelector('[data-field=stitch-0]').value === 'hdc' && /half double/.test(document.querySelector('.border-legend').innerText)").await;
    // The focus stays where the hand is, though the rounds are made anew.
    window.until("the focus", "document.activeElement.dataset.field === 'stitch-0'").await;
    window.tab_to("Corners").await;
    window.retype("9").await;
    window.press(Key::Tab).await;
    window.sees("ruffles at the corners").await;
    window.js("document.querySelector('main').focus()").await;
    window.tab_to("Round 1: one round outwards").await;
    window.press(Key::Enter).await;
    window.until("it is outside", "document.querySelector('[data-field=stitch-1]').value === 'hdc' && document.querySelector('[data-field=corners-1]').value === '9'").await;
    window.js("document.querySelector('main').focus()").await;
    window.tab_to("Round 2: take it away").await;
    window.press(Key::Enter).await;
    window.until("one round", "document.querySelectorAll('.round').length === 1").await;
    window.js("document.querySelector('main').focus()").await;
    window.tab_to("For a pattern repeat").await;
    window.press(Key::Enter).await;
    window.tab_to("A multiple of").await;
    window.retype("400").await;
    window.press(Key::Tab).await;
    window.sees("too few for a repeat that needs 400").await;
    window.js("document.querySelector('main').focus()").await;
    window.tab_to("Take back").await;
    window.press(Key::Enter).await;
    window.misses("too few for a repeat").await;
    assert_eq!(kept(window, id).await["border"]["rounds"].as_array().map(Vec::len), Some(1));
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_ticked_stays_ticked_through_reload_and_restart() {
    let mut scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    scene.making(id, "amounts?view=winding", ".tick-one").await;
    window.sees("0 of").await;
    window.click(".tick-one input", "").await;
    window.sees("1 of").await;
    window.until("it is kept", &format!("fetch('/api/blankets/{id}/winding').then((answer) => answer.text()).then((text) => text.includes('\"ticked\":true'))")).await;
    window.click(".choice-one", "Ends").await;
    window.click(".ends-stretch input", "").await;
    window.sees("1 of").await;
    window.reload().await;
    window.until("still ticked", "document.querySelector('.ends-stretch input')?.checked").await;
    // Ticks are no step of the chart's: there is nothing to take back.
    window
        .until(
            "nothing to take back",
            "document.querySelector('[data-do=back]').getAttribute('aria-disabled') === 'true'",
        )
        .await;

    scene.program.kill();
    let program = Program::start(scene.data.path(), 0);
    let window = scene.browser.open(program.address(), DESK).await;
    window.go_within(&format!("#/blanket/{id}/amounts?view=winding")).await;
    window.until("still ticked", "document.querySelector('.tick-one input')?.checked").await;
    window.click(".tick", "Hide what is wound").await;
    window.until("hidden", "document.querySelector('.tick-list .tick-one input') && !document.querySelector('.tick-list .tick-one input').checked").await;
    window.click(".tick", "Hide what is wound").await;
    window.click(".tick-one input", "").await;
    window.sees("0 of").await;
    scene.browser.quit().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn evenings_are_planned_to_a_day_and_drift_is_told() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    scene.making(id, "amounts?view=time", "[data-hours]").await;
    window.fill("My stitches", "3").await;
    window.press(Key::Tab).await;
    window.sees("Is that 3 seconds a stitch, so 20 stitches a minute?").await;
    window.fill("My stitches", "20").await;
    window.press(Key::Tab).await;
    window.misses("3 seconds a stitch").await;
    window.fill("Evenings a week", "5").await;
    window.fill("An evening", "90").await;
    window.press(Key::Tab).await;
    window.sees("Done on").await;
    window.until("a plan", "document.querySelectorAll('.evening-table tbody tr').length === 10").await;
    window.fill("Evenings a week", "9").await;
    window.press(Key::Tab).await;
    window.sees("9 evenings a week are none or too many").await;

    window.click(".choice-one", "Yarn").await;
    window.click("summary", "Measured again on the work").await;
    window.fill("Rows finished", "20").await;
    for at in 0..4 {
        let value = if at % 2 == 0 { "12" } else { "10" };
        window.js(&format!("document.querySelectorAll('details[open]:last-of-type .counted input')[{at}].value = '{value}'")).await;
    }
    window.click("button", "Reckon the rest").await;
    window.sees("Worked to the chart’s end it will be").await;
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_practice_patch_teaches_row_by_row() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.demo().await;
    scene.room(id, "strands").await;
    // Until the row is there the button below it has not come to its place.
    window.until("the row", "document.querySelector('.row-words li')").await;
    window.click("button", "Begin a practice patch").await;
    window.sees("Row 1: Foundation and a plain row").await;
    window.click("[data-do=next-row]", "").await;
    window.sees("Row 2: Join a colour").await;
    scene.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn balls_on_hand_change_what_is_to_buy() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    let id = scene.blank_id().await;
    scene.making(id, "amounts", ".amount").await;
    window.sees("What a ball holds is not known.").await;
    window.click("button", "Balls of Oat").await;
    for (label, text) in [("Metres a ball", "20"), ("Grams a ball", "10"), ("Price a ball", "2.5")] {
        window.click("dialog label", label).await;
        window.retype(text).await;
    }
    window.click("dialog .dialog-foot button", "Keep").await;
    window.sees("1 spare: buy").await;
    window.sees("Cost:").await;
    window.click("button", "Balls of Oat").await;
    window.click("dialog label", "Balls on hand").await;
    window.retype("40").await;
    window.click("dialog .dialog-foot button", "Keep").await;
    window.sees("40 on hand: nothing to buy.").await;
    window.click("[data-do=back]", "").await;
    window.sees("1 spare: buy").await;
    scene.end().await;
}
