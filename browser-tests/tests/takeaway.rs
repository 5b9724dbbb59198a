//! The page to take away, opened from the disk in a real browser: the place is kept, or carried as a code,
//! and nothing but the file is needed.

use std::path::PathBuf;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use browser_tests::{Browser, Ears, Key, Window, root};
use checks::read_back::Case;
use checks::told::with_booklet;
use model::RowIndex;
use serde_json::{Value, json};
use tempfile::TempDir;

const PHONE: (u32, u32) = (390, 844);

/// A chart with its page on the disk.
struct Taken {
    case: Case,
    file: PathBuf,
    _folder: TempDir,
}

impl Taken {
    fn new(seed: u64, rows: usize, columns: usize) -> Self {
        let case = Case::drawn(seed, rows, columns, 4);
        let folder = tempfile::tempdir().expect("a temporary folder");
        let file = folder.path().join("boats.html");
        let page = with_booklet(&case, |booklet| typeset::take_away(&booklet));
        std::fs::write(&file, page).expect("a file");
        Self { case, file, _folder: folder }
    }

    fn address(&self) -> String {
        format!("file://{}", self.file.display())
    }
}

/// A chart of that size, and its page open in a browser that knows nothing yet.
async fn opened(seed: u64, rows: usize, columns: usize) -> (Taken, Browser, Window) {
    let taken = Taken::new(seed, rows, columns);
    let browser = Browser::start().await;
    let window = browser.open(&taken.address(), PHONE).await;
    at(&window, "Foundation").await;
    (taken, browser, window)
}

/// What stands large on the page: where the person is.
async fn place(window: &Window) -> String {
    window.text("#now-name").await
}

async fn at(window: &Window, name: &str) {
    window.until(name, &format!("document.getElementById('now-name').textContent === {}", json!(name))).await;
}

/// Opens the way to codes and rows, where it is shut.
async fn ways(window: &Window) {
    if window.js("document.getElementById('move').open").await != true {
        window.click("summary", "").await;
    }
}

async fn type_code(window: &Window, code: &str) {
    ways(window).await;
    window.fill("A code to go on from", code).await;
    window.press(Key::Enter).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_place_and_the_ticks_are_kept() {
    let (taken, browser, window) = opened(0x7a6e, 14, 60).await;
    window.click("button", "Foundation done").await;
    for row in 1..4 {
        at(&window, &format!("Row {row}")).await;
        window.click("button", "Row done").await;
    }
    at(&window, "Row 4").await;
    assert_eq!(window.text("#now-side").await, if leftwards(&taken.case, 4) { "WS ←" } else { "WS →" });
    window.click("#now .tick", "").await;
    window.click("#winding .tick", "").await;
    window.click("#ends .tick", "").await;
    let ticks = "[...document.querySelectorAll('input[type=checkbox]')].map((box) => box.checked)";
    let before = window.js(ticks).await;
    let ticked = before.as_array().expect("a list").iter().filter(|ticked| **ticked == true).count();
    assert_eq!(ticked, 3);

    window.reload().await;
    at(&window, "Row 4").await;
    assert_eq!(window.js(ticks).await, before);
    window.click("button", "Back").await;
    at(&window, "Row 3").await;
    // The ticks along a row are for that row.
    assert_eq!(window.js("document.querySelectorAll('#now input:checked').length").await, 0);
    window.reload().await;
    at(&window, "Row 3").await;
    browser.quit().await;
}

/// Whether a row runs to the left on the chart: row 1 does for a right-hander, then in turn.
fn leftwards(case: &Case, row: usize) -> bool {
    (row % 2 == 1) == (case.plan.rules.hand == model::Hand::Right)
}

/// From the foundation to the last row, what is shown is what the rows say, and the stitches that are framed are
/// those of the chart.
#[tokio::test(flavor = "multi_thread")]
async fn every_row_comes_with_its_words_and_its_bit_of_the_chart() {
    let (taken, browser, window) = opened(0x0bea, 12, 15).await;
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let chart = &taken.case.chart;
    for row in 0..=chart.rows() {
        let shown = words(&window.text("#now").await);
        let listed = words(&window.text(".rows [aria-current]").await);
        let said = listed.split_once("): ").map_or(listed.as_str(), |(_, said)| said);
        assert_eq!(shown, said, "row {row}");
        if row == 0 {
            assert!(shown.starts_with("Foundation: join "));
        } else {
            assert_eq!(place(&window).await, format!("Row {row}"));
            // Where rows read the same they are listed once.
            let name = listed.split_once(':').expect("a name").0.replace("Rows ", "Row ");
            let numbers: Vec<usize> = name.split([' ', '–']).filter_map(|word| word.parse().ok()).collect();
            assert!((numbers[0]..=*numbers.last().expect("a number")).contains(&row), "{name}");
            // The symbols at the height of the frame.
            let framed = "(() => { const svg = document.querySelector('#strip svg'); const frame = [...svg.querySelectorAll('rect')].at(-1).getBoundingClientRect();
                const middle = (box) => box.top + box.height / 2;
                return [...svg.querySelectorAll('g text')].filter((text) => Math.abs(middle(text.getBoundingClientRect()) - middle(frame)) < frame.height / 2).map((text) => text.textContent).join(' '); })()";
            let meant = chart.row(RowIndex(row - 1)).iter().map(|yarn| chart.palette().symbol(*yarn));
            assert_eq!(window.js(framed).await, meant.collect::<Vec<_>>().join(" "), "row {row}");
        }
        window.click("#done", "").await;
    }
    at(&window, "All rows are done").await;
    assert_eq!(window.js("document.getElementById('done').disabled").await, true);
    window.reload().await;
    at(&window, "All rows are done").await;
    browser.quit().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_code_leads_to_the_same_row_in_another_browser() {
    let (taken, browser, window) = opened(0xc0de, 40, 12).await;
    ways(&window).await;
    window.fill("A row to go to", "27").await;
    window.press(Key::Enter).await;
    at(&window, "Row 27").await;
    ways(&window).await;
    let code = window.text("#code").await;
    window.fill("A row to go to", "41").await;
    window.press(Key::Enter).await;
    window.sees("Give a row from 1 to 40.").await;
    at(&window, "Row 27").await;
    browser.quit().await;

    // Another browser, with a profile of its own, knows nothing yet.
    let browser = Browser::start().await;
    let window = browser.open(&taken.address(), PHONE).await;
    at(&window, "Foundation").await;
    let sloppy = format!(" {} ", code.to_lowercase().replace('-', " "));
    type_code(&window, &sloppy).await;
    at(&window, "Row 27").await;
    ways(&window).await;
    assert_eq!(window.text("#code").await, code);
    window.reload().await;
    at(&window, "Row 27").await;

    for (wrong, told) in [
        ("", "Type in a code first."),
        ("ABC", "A code has six signs, this has 3."),
        ("ABC-DO2", "There is no O in a code"),
    ] {
        type_code(&window, wrong).await;
        window.sees(told).await;
        at(&window, "Row 27").await;
    }
    // Any one sign mistyped and any two exchanged are told.
    let slips = "((code) => {
        const signs = '23456789ABCDEFGHJKMNPQRSTUVWXYZ';
        const bare = [...code.replace('-', '')];
        const slips = [];
        for (let at = 0; at < 6; at++) {
            for (const sign of signs) if (sign !== bare[at]) slips.push(bare.with(at, sign).join(''));
            for (let other = at + 1; other < 6; other++) if (bare[at] !== bare[other]) slips.push(bare.with(at, bare[other]).with(other, bare[at]).join(''));
        }
        const missed = slips.filter((slip) => {
            document.getElementById('code-in').value = slip;
            document.getElementById('code-form').requestSubmit();
            return !document.getElementById('code-wrong').textContent.startsWith('There is a slip') || document.getElementById('now-name').textContent !== 'Row 27';
        });
        return { tried: slips.length, missed };
    })";
    let slips = window.js(&format!("{slips}({})", json!(code))).await;
    assert_eq!(slips["missed"], json!([]));
    assert!(slips["tried"].as_u64().is_some_and(|tried| tried >= 6 * 30));

    // The code of another pattern, of which the page says so.
    let other = Taken::new(0xc0df, 40, 12);
    window.go(&other.address()).await;
    at(&window, "Foundation").await;
    type_code(&window, &code).await;
    window.sees("This code is for another pattern.").await;
    at(&window, "Foundation").await;
    browser.quit().await;
}

/// Where a browser keeps nothing for a page, the page says so, shows the code, and works.
#[tokio::test(flavor = "multi_thread")]
async fn without_a_memory_the_code_is_shown() {
    let taken = Taken::new(0x3e3, 6, 8);
    let browser = Browser::start().await;
    // A page that comes as data, as from a message, has no place of its own to keep things in.
    let page = std::fs::read(&taken.file).expect("the page");
    let window = browser.open(&format!("data:text/html;base64,{}", BASE64.encode(page)), PHONE).await;
    window.sees("This browser keeps nothing for this page: when you stop, write down your code.").await;
    window.click("button", "Foundation done").await;
    window.click("button", "Row done").await;
    at(&window, "Row 2").await;
    let code = window.text("#code").await;
    window.reload().await;
    at(&window, "Foundation").await;
    window.fill("A code to go on from", &code).await;
    window.click("button", "Go on from there").await;
    at(&window, "Row 2").await;
    browser.quit().await;
}

/// A browser that runs no scripts shows all of the pattern, and the reader of the rows works it.
#[tokio::test(flavor = "multi_thread")]
async fn without_scripts_all_of_it_can_be_read() {
    let taken = Taken::new(0x5c1, 24, 50);
    let browser = Browser::start().await;
    let window = browser.open("about:blank", PHONE).await;
    window.without_scripts().await;
    window.go(&taken.address()).await;
    window.sees("Scripts do not run here").await;
    let seen = window.js("document.body.innerText").await;
    let seen = seen.as_str().expect("a text");
    assert!(!seen.contains("Row done") && !seen.contains("Your code"), "what can't be used is not shown");
    // From the foundation on; a line of the page that begins no row goes on the line before.
    let rows = seen.lines().skip_while(|line| !line.starts_with("Foundation: "));
    let rows = rows.take_while(|line| *line != "What to wind").filter(|line| !line.trim().is_empty());
    let mut text = String::new();
    for line in rows {
        let begins = ["Foundation: ", "Row ", "Rows "].iter().any(|begin| line.starts_with(begin));
        text += &format!("{}{}\n", if begins { "" } else { " " }, line.trim());
    }
    taken.case.check_text(&text);
    browser.quit().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn it_asks_for_nothing_and_complains_of_nothing() {
    let taken = Taken::new(0xea5, 10, 30);
    let browser = Browser::start().await;
    let window = browser.open("about:blank", PHONE).await;
    let mut ears = Ears::on(&window).await;
    window.go(&taken.address()).await;
    at(&window, "Foundation").await;
    window.click("button", "Foundation done").await;
    window.click("button", "Row done").await;
    window.click("#winding .tick", "").await;
    type_code(&window, "222222").await;
    window.js("scrollTo(0, document.body.scrollHeight)").await;
    window.reload().await;
    at(&window, "Row 2").await;
    let asked: Vec<String> =
        ears.requests().into_iter().filter(|from| !from.starts_with("data:image/png")).collect();
    assert_eq!(asked, vec![taken.address(); 2]);
    assert_eq!(ears.complaints(), Vec::<String>::new());
    // The ears hear: what the page's policy forbids is refused and told.
    window.js("document.body.append(Object.assign(document.createElement('img'), { src: 'https://example.invalid/x.png' }))").await;
    window.js("setTimeout(() => { throw new Error('heard') })").await;
    tokio::time::sleep(std::time::Duration::from_millis(300)).await;
    let complaints = ears.complaints().join("\n");
    assert!(complaints.contains("example.invalid") && complaints.contains("heard"), "{complaints}");
    browser.quit().await;
}

/// On the smallest phone and on a desk: nothing sticks out, and all that is used is large enough for a finger.
#[tokio::test(flavor = "multi_thread")]
async fn it_fits_every_screen_and_finger() {
    let (_taken, browser, window) = opened(0xf17, 30, 120).await;
    ways(&window).await;
    for width in [320, 390, 820, 1440] {
        window.resize(width, 800).await;
        for place in ["Foundation", "Row 1", "Row 2"] {
            at(&window, place).await;
            let narrow = "document.documentElement.scrollWidth <= innerWidth";
            assert_eq!(window.js(narrow).await, true, "{place} at {width} sticks out at the side");
            let small = "[...document.querySelectorAll('button, a:not(.skip), input:not([type]), summary, .tick')].filter((one) => one.checkVisibility())
                .map((one) => [one, one.getBoundingClientRect()]).filter(([, box]) => box.height < 44 || box.width < 44).map(([one, box]) => `${one.outerHTML.slice(0, 80)} ${box.width} ${box.height}`)";
            assert_eq!(window.js(small).await, json!([]), "{place} at {width}");
            window.click("#done", "").await;
        }
        for _ in 0..3 {
            window.click("#back", "").await;
        }
    }
    browser.quit().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_keyboard_is_enough() {
    let (taken, browser, window) = opened(0x6b, 8, 20).await;
    window.resize(1440, 900).await;
    window.tab_to("Foundation done").await;
    window.press(Key::Enter).await;
    at(&window, "Row 1").await;
    // The button keeps the focus: one key makes row after row.
    window.press(Key::Space).await;
    window.press(Key::Enter).await;
    at(&window, "Row 3").await;
    assert_eq!(
        window.text("#said").await,
        format!("Row 3 RS {}", if leftwards(&taken.case, 3) { "←" } else { "→" })
    );
    window.tab_to("Your code").await;
    window.press(Key::Enter).await;
    window.tab_to("A row to go to").await;
    window.retype("8").await;
    window.press(Key::Enter).await;
    at(&window, "Row 8").await;
    browser.quit().await;
}

/// Nothing serious stands between the page and those who read it another way.
#[tokio::test(flavor = "multi_thread")]
async fn axe_finds_nothing_serious() {
    let file = root().join("browser-tests/node_modules/axe-core/axe.min.js");
    let axe = std::fs::read_to_string(file)
        .expect("axe-core is missing: run npm ci in browser-tests, ./check does");
    let (_taken, browser, window) = opened(0xa8e, 16, 60).await;
    ways(&window).await;
    type_code(&window, "OOPS").await;
    for (width, dark) in [(390, false), (390, true), (1440, false), (1440, true)] {
        window.resize(width, 900).await;
        window.dark(dark).await;
        for _ in 0..2 {
            window.js(&format!("{axe}\nundefined")).await;
            let results = window.js("axe.run(document, { resultTypes: ['violations'] }).then(({ violations, passes }) => ({ violations, passed: passes.length }))").await;
            assert!(results["passed"].as_u64().is_some_and(|passed| passed > 5), "axe looked at nothing");
            let serious = results["violations"].as_array().expect("violations").iter();
            let serious: Vec<&Value> = serious
                .filter(|found| matches!(found["impact"].as_str(), Some("serious" | "critical")))
                .collect();
            assert!(serious.is_empty(), "at {width}, dark {dark}: {serious:#?}");
            window.click("#done", "").await;
        }
    }
    browser.quit().await;
}
