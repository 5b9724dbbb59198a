//! A browser and its windows, used by hand: real mouse, key and touch events, never a call into the page
//! to do what a person does.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use chromiumoxide::browser::{Browser as Chromium, BrowserConfig};
use chromiumoxide::cdp::browser_protocol::page::EventFileChooserOpened;
use chromiumoxide::page::Page;
use chromiumoxide::types::{Command, Method, MethodId};
use futures_util::StreamExt as _;
use serde::Serialize;
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio::task::JoinHandle;
use tokio::time::sleep;

use crate::keys::Key;

/// How long to wait for what should come.
const PATIENCE: Duration = Duration::from_secs(30);
/// How often to look.
const LOOK: Duration = Duration::from_millis(20);

/// Where Debian puts it, and by what other names it goes.
const PLACES: [&str; 4] =
    ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome", "/snap/bin/chromium"];

/// A command of the DevTools protocol by its name.
#[derive(Debug, Serialize)]
#[serde(transparent)]
struct Raw {
    #[serde(skip)]
    name: &'static str,
    parameters: Value,
}

impl Method for Raw {
    fn identifier(&self) -> MethodId {
        self.name.into()
    }
}

impl Command for Raw {
    type Response = Value;
}

/// A browser of its own, with a fresh profile.
#[derive(Debug)]
pub struct Browser {
    chromium: Chromium,
    listening: JoinHandle<()>,
    downloads: PathBuf,
    _profile: TempDir,
}

impl Browser {
    /// Starts one.
    ///
    /// # Panics
    /// Where there is none, with what to do about it.
    pub async fn start() -> Self {
        let found = PLACES.iter().map(Path::new).find(|place| place.exists());
        let program = found.expect("no browser to test with: install chromium, ./check does");
        let profile = tempfile::tempdir().expect("a temporary folder");
        let downloads = profile.path().join("downloads");
        fs::create_dir(&downloads).expect("a folder for downloads");
        let config = BrowserConfig::builder()
            .chrome_executable(program)
            .user_data_dir(profile.path())
            .no_sandbox()
            .disable_https_first()
            .viewport(None)
            .args(["disable-gpu", "disable-quic", "disable-component-update"])
            .launch_timeout(PATIENCE * 2)
            .request_timeout(PATIENCE * 2)
            .build()
            .expect("flags that fit together");
        let (chromium, mut events) = Chromium::launch(config).await.expect("chromium starts");
        let listening = tokio::spawn(async move { while events.next().await.is_some() {} });
        let browser = Self { chromium, listening, downloads, _profile: profile };
        let save = json!({ "behavior": "allow", "downloadPath": browser.downloads });
        let save = Raw { name: "Browser.setDownloadBehavior", parameters: save };
        browser.chromium.execute(save).await.expect("downloads are kept");
        browser
    }

    /// Opens a window of that size, in CSS pixels, at an address.
    ///
    /// # Panics
    /// Where the browser does not answer.
    pub async fn open(&self, address: &str, (width, height): (u32, u32)) -> Window {
        let page = self.chromium.new_page("about:blank").await.expect("a window");
        let window = Window { page };
        window.resize(width, height).await;
        window.go(address).await;
        window
    }

    /// The file of that ending that was saved, once it is whole; it is taken away.
    ///
    /// # Panics
    /// Where none comes.
    pub async fn saved(&self, ending: &str) -> (String, Vec<u8>) {
        let began = Instant::now();
        loop {
            let files =
                fs::read_dir(&self.downloads).expect("the folder of downloads").filter_map(Result::ok);
            let mut names = files.map(|file| file.file_name().to_string_lossy().into_owned());
            if let Some(name) = names.find(|name| name.ends_with(ending)) {
                let path = self.downloads.join(&name);
                let bytes = fs::read(&path).expect("the saved file");
                // It may have its name before it has its bytes.
                if bytes.is_empty() && began.elapsed() < PATIENCE {
                    sleep(LOOK).await;
                    continue;
                }
                fs::remove_file(&path).expect("the saved file can be taken");
                return (name, bytes);
            }
            assert!(began.elapsed() < PATIENCE, "no {ending} was saved");
            sleep(LOOK).await;
        }
    }

    /// Ends it.
    pub async fn quit(mut self) {
        drop(self.chromium.close().await);
        drop(self.chromium.wait().await);
        self.listening.abort();
    }
}

/// One window of the browser.
#[derive(Debug)]
pub struct Window {
    page: Page,
}

impl Window {
    pub(crate) const fn page(&self) -> &Page {
        &self.page
    }

    /// From the next page on no script of a page runs.
    pub async fn without_scripts(&self) {
        self.send("Emulation.setScriptExecutionDisabled", json!({ "value": true })).await;
    }

    async fn send(&self, name: &'static str, parameters: Value) -> Value {
        let answer = self.page.execute(Raw { name, parameters }).await;
        answer.unwrap_or_else(|error| panic!("{name}: {error}")).result
    }

    /// What a script in the page comes to.
    ///
    /// # Panics
    /// Where it throws.
    pub async fn js(&self, script: &str) -> Value {
        let ask = json!({ "expression": script, "awaitPromise": true, "returnByValue": true });
        let answer = self.send("Runtime.evaluate", ask).await;
        let thrown = &answer["exceptionDetails"];
        assert!(thrown.is_null(), "{script}\nthrew {thrown}");
        answer["result"]["value"].clone()
    }

    /// Waits until a script comes to something true.
    ///
    /// # Panics
    /// Where it never does: `what` says what was waited for.
    pub async fn until(&self, what: &str, script: &str) {
        let began = Instant::now();
        let script = format!("Boolean({script})");
        while self.js(&script).await != true {
            if began.elapsed() > PATIENCE {
                let seen = self.js("document.body.innerText").await;
                panic!("waited in vain for {what}; seen instead:\n{}", seen.as_str().unwrap_or_default());
            }
            sleep(LOOK).await;
        }
    }

    /// Waits until the text is there to be read.
    ///
    /// # Panics
    /// Where it never is.
    pub async fn sees(&self, text: &str) {
        self.until(text, &format!("document.body.innerText.replace(/\\s+/g, ' ').includes({})", json!(text)))
            .await;
    }

    /// Waits until the text is gone.
    ///
    /// # Panics
    /// Where it stays.
    pub async fn misses(&self, text: &str) {
        let script = format!("!document.body.innerText.replace(/\\s+/g, ' ').includes({})", json!(text));
        self.until(&format!("{text:?} to go"), &script).await;
    }

    /// What the first element of that selector says.
    ///
    /// # Panics
    /// Where there is none.
    pub async fn text(&self, selector: &str) -> String {
        let script = format!("document.querySelector({})?.innerText ?? null", json!(selector));
        let text = self.js(&script).await;
        text.as_str().unwrap_or_else(|| panic!("no {selector}")).to_owned()
    }

    /// One of the numbers beside the chart.
    ///
    /// # Panics
    /// Where there is none.
    pub async fn number(&self, name: &str) -> u64 {
        let text = self.text(&format!("[data-number={name}]")).await;
        text.replace(',', "").parse().unwrap_or_else(|_| panic!("{name}: {text:?}"))
    }

    /// Waits until a number beside the chart is that.
    ///
    /// # Panics
    /// Where it never is.
    pub async fn shows(&self, name: &str, number: u64) {
        let text = format!("document.querySelector('[data-number={name}]')?.textContent.replace(',', '')");
        self.until(&format!("{number} {name}"), &format!("{text} === '{number}'")).await;
    }

    /// Waits for the program to have answered all that the hand did, and returns the ends shown then.
    ///
    /// # Panics
    /// Where it does not answer, or the page shows other ends than the program has.
    pub async fn ends_after(&self, revision: u64) -> u64 {
        let script = format!(
            "(async () => {{ const id = /blanket\\/(\\d+)/.exec(location.hash)[1];
            const {{ revision, plan }} = await (await fetch(`/api/blankets/${{id}}`)).json();
            return revision !== {revision} && document.querySelector('[data-number=ends]').textContent.replace(',', '') === String(plan.ends); }})()"
        );
        // A promise is true by itself: ask for what it comes to.
        let began = Instant::now();
        while self.js(&script).await != true {
            assert!(began.elapsed() < PATIENCE, "the ends shown never follow the change");
            sleep(LOOK).await;
        }
        self.number("ends").await
    }

    /// Goes to an address.
    ///
    /// # Panics
    /// Where it can't be loaded.
    pub async fn go(&self, address: &str) {
        self.page.goto(address).await.unwrap_or_else(|error| panic!("{address}: {error}"));
    }

    /// Brings it to the front: the browser draws nothing in windows that lie behind others.
    ///
    /// # Panics
    /// Where the browser refuses.
    pub async fn to_front(&self) {
        self.page.bring_to_front().await.expect("the window comes to the front");
    }

    /// Goes to a place within the page, `#/…`.
    pub async fn go_within(&self, place: &str) {
        self.js(&format!("location.hash = {}", json!(place))).await;
    }

    /// Loads the page again.
    ///
    /// # Panics
    /// Where it can't be loaded.
    pub async fn reload(&self) {
        self.page.reload().await.expect("the page loads again");
    }

    /// Closes the window as a person does: the page hears of it.
    ///
    /// # Panics
    /// Where the browser refuses.
    pub async fn close(self) {
        self.page.close().await.expect("the window closes");
    }

    /// Gives the window another size, in CSS pixels.
    pub async fn resize(&self, width: u32, height: u32) {
        let size = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.send("Emulation.setDeviceMetricsOverride", size).await;
    }

    /// Light or dark, as the computer would ask for it; and nothing moves.
    pub async fn dark(&self, dark: bool) {
        let scheme = if dark { "dark" } else { "light" };
        let features = json!({ "features": [
            { "name": "prefers-color-scheme", "value": scheme },
            { "name": "prefers-reduced-motion", "value": "reduce" },
        ] });
        self.send("Emulation.setEmulatedMedia", features).await;
    }

    /// A picture of what is seen, or of the whole page where it is longer; PNG.
    ///
    /// # Panics
    /// Where the browser makes none.
    pub async fn picture(&self) -> Vec<u8> {
        // By hand: the driver's own way of taking the whole page forgets the size of the window.
        let size = self.js("({ x: 0, y: 0, scale: 1, width: innerWidth, height: Math.max(innerHeight, document.documentElement.scrollHeight) })").await;
        let ask = json!({ "format": "png", "captureBeyondViewport": true, "clip": size });
        let answer = self.send("Page.captureScreenshot", ask).await;
        BASE64.decode(answer["data"].as_str().expect("a picture of the page")).expect("base64")
    }

    /// The middle of the first element of that selector that is in sight, says that text and lies on top;
    /// brought into sight where it has to be scrolled to. No text: any.
    ///
    /// # Panics
    /// Where there never is one.
    pub async fn find(&self, selector: &str, text: &str) -> (f64, f64) {
        let script = format!(
            r"(() => {{
                const said = (one) => (one.getAttribute('aria-label') ?? one.textContent).replace(/\s+/g, ' ').trim();
                const one = [...document.querySelectorAll({})].find((one) => one.checkVisibility() && said(one).includes({}));
                if (one === undefined) return null;
                one.scrollIntoView({{ block: 'nearest', behavior: 'instant' }});
                const box = one.getBoundingClientRect();
                const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
                const there = document.elementFromPoint(x, y);
                return there !== null && (one.contains(there) || there.contains(one)) ? [x, y, Math.round(box.left), Math.round(box.top)] : null;
            }})()",
            json!(selector),
            json!(text)
        );
        let began = Instant::now();
        let mut before = Value::Null;
        loop {
            // Twice at the same place: it does not slide any more.
            let now = self.js(&script).await;
            if !now.is_null() && now == before {
                let number = |at: usize| now[at].as_f64().expect("a place on the screen");
                return (number(0), number(1));
            }
            before = now;
            if began.elapsed() > PATIENCE {
                let seen = self.js("document.body.innerText").await;
                panic!("nothing to use: {selector} {text:?}; seen:\n{}", seen.as_str().unwrap_or_default());
            }
            sleep(LOOK).await;
        }
    }

    /// Clicks what says that text.
    ///
    /// # Panics
    /// Where there is nothing of the kind.
    pub async fn click(&self, selector: &str, text: &str) {
        let point = self.find(selector, text).await;
        self.click_at(point).await;
    }

    /// Clicks a place.
    pub async fn click_at(&self, at: (f64, f64)) {
        self.mouse("mouseMoved", at, 0, 0).await;
        self.mouse("mousePressed", at, 1, 1).await;
        self.mouse("mouseReleased", at, 0, 1).await;
    }

    /// Clicks twice what says that text.
    ///
    /// # Panics
    /// Where there is nothing of the kind.
    pub async fn double_click(&self, selector: &str, text: &str) {
        let at = self.find(selector, text).await;
        self.click_at(at).await;
        self.mouse("mousePressed", at, 1, 2).await;
        self.mouse("mouseReleased", at, 0, 2).await;
    }

    /// Draws with the left button held from place to place.
    pub async fn drag(&self, way: &[(f64, f64)]) {
        let (Some(first), Some(last)) = (way.first(), way.last()) else { return };
        self.mouse("mouseMoved", *first, 0, 0).await;
        self.mouse("mousePressed", *first, 1, 1).await;
        for point in way {
            self.mouse("mouseMoved", *point, 1, 0).await;
        }
        self.mouse("mouseReleased", *last, 0, 1).await;
    }

    async fn mouse(&self, kind: &str, (x, y): (f64, f64), buttons: u8, count: u8) {
        let button = if kind == "mouseMoved" && buttons == 0 { "none" } else { "left" };
        let event = json!({ "type": kind, "x": x, "y": y, "button": button, "buttons": buttons, "clickCount": count });
        self.send("Input.dispatchMouseEvent", event).await;
    }

    /// From now on it is a phone under a finger.
    pub async fn be_a_phone(&self) {
        let size = json!({ "width": 390, "height": 844, "deviceScaleFactor": 2, "mobile": true });
        self.send("Emulation.setDeviceMetricsOverride", size).await;
        self.send("Emulation.setTouchEmulationEnabled", json!({ "enabled": true, "maxTouchPoints": 5 }))
            .await;
    }

    /// Touches what says that text.
    ///
    /// # Panics
    /// Where there is nothing of the kind.
    pub async fn tap(&self, selector: &str, text: &str) {
        let point = self.find(selector, text).await;
        self.tap_at(point).await;
    }

    /// Touches a place shortly.
    pub async fn tap_at(&self, at: (f64, f64)) {
        self.touch("touchStart", &[at]).await;
        self.touch("touchEnd", &[]).await;
    }

    /// Fingers come, move or go.
    pub async fn touch(&self, kind: &str, fingers: &[(f64, f64)]) {
        let fingers = fingers.iter().enumerate().map(|(id, (x, y))| json!({ "x": x, "y": y, "id": id }));
        let event = json!({ "type": kind, "touchPoints": fingers.collect::<Vec<_>>() });
        self.send("Input.dispatchTouchEvent", event).await;
    }

    /// Presses a key.
    pub async fn press(&self, key: Key) {
        self.press_with(key, 0).await;
    }

    /// Presses a key with others held: 1 Alt, 2 Control, 8 Shift, added up.
    pub async fn press_with(&self, key: Key, held: u8) {
        let stroke = key.stroke();
        let mut event = json!({
            "key": stroke.key, "code": stroke.code, "windowsVirtualKeyCode": stroke.number, "modifiers": held,
        });
        event["type"] = json!(if stroke.text.is_some() && held & 2 == 0 { "keyDown" } else { "rawKeyDown" });
        if let (Some(text), 0) = (&stroke.text, held & 2) {
            event["text"] = json!(text);
        }
        if held == 2 && key == Key::Char('a') {
            event["commands"] = json!(["selectAll"]);
        }
        self.send("Input.dispatchKeyEvent", event.clone()).await;
        event["type"] = json!("keyUp");
        self.send("Input.dispatchKeyEvent", event).await;
    }

    /// Types into what has the focus, in place of what stands there.
    pub async fn retype(&self, text: &str) {
        self.press_with(Key::Char('a'), 2).await;
        self.send("Input.insertText", json!({ "text": text })).await;
    }

    /// Writes into the field with that label, clicked first.
    ///
    /// # Panics
    /// Where there is none.
    pub async fn fill(&self, label: &str, text: &str) {
        self.click("label", label).await;
        self.retype(text).await;
    }

    /// Presses Tab until what has the focus says that text.
    ///
    /// # Panics
    /// Where Tab never gets there.
    pub async fn tab_to(&self, text: &str) {
        for _ in 0..120 {
            let focused = self
                .js("(() => { const one = document.activeElement; return one.matches('body, main') ? '' : [one.getAttribute('aria-label'), one.textContent, one.title, ...[...(one.labels ?? [])].map((label) => label.textContent)].join(' ').replace(/\\s+/g, ' '); })()")
                .await;
            if focused.as_str().is_some_and(|words| words.contains(text)) {
                return;
            }
            self.press(Key::Tab).await;
        }
        panic!("Tab never gets to {text:?}");
    }

    /// Asks the program something as the page does; to prepare a test, not in place of a person.
    ///
    /// # Panics
    /// Where the program refuses.
    pub async fn api(&self, method: &str, address: &str, body: &Value) -> Value {
        let body = if method == "GET" { "undefined".to_owned() } else { json!(body.to_string()).to_string() };
        self.fetch(method, address, "application/json", &body).await
    }

    /// Gives the program a file as the page does.
    ///
    /// # Panics
    /// Where the program refuses.
    pub async fn send_bytes(&self, address: &str, bytes: &[u8]) -> Value {
        let text = BASE64.encode(bytes);
        let body = format!("Uint8Array.from(atob('{text}'), (letter) => letter.charCodeAt(0))");
        self.fetch("POST", address, "application/octet-stream", &body).await
    }

    async fn fetch(&self, method: &str, address: &str, kind: &str, body: &str) -> Value {
        let headers = json!({ "X-Strandwright": "1", "Content-Type": kind });
        let script = format!(
            "fetch({}, {{ method: '{method}', headers: {headers}, body: {body} }})
                .then(async (answer) => {{ if (!answer.ok) throw new Error(await answer.text()); return answer.json(); }})",
            json!(address)
        );
        self.js(&script).await
    }

    /// Uses what opens the choice of a file, and chooses that one.
    ///
    /// # Panics
    /// Where no choice opens.
    pub async fn choose_file(&self, selector: &str, text: &str, file: &Path) {
        self.send("Page.setInterceptFileChooserDialog", json!({ "enabled": true })).await;
        let mut asked = self.page.event_listener::<EventFileChooserOpened>().await.expect("events");
        self.click(selector, text).await;
        let asked = tokio::time::timeout(PATIENCE, asked.next()).await.ok().flatten();
        let field = asked.expect("a choice of files opens");
        let choice = json!({ "files": [file], "backendNodeId": field.backend_node_id });
        self.send("DOM.setFileInputFiles", choice).await;
    }
}
