//! From the first click to the file on disk, in a real browser: each test asserts what a person sees.
//!
//! Which numbers are right is checked elsewhere, against brute force and other solvers; here the page must
//! show the program's own, at the right time and place. Marks beside the checks: MEM, from memory;
//! common practice, no source.

mod access;
mod charts;
mod files;
mod history;
mod keyboard;
mod lost;
mod making;
mod paper;
mod photograph;
mod settings;
mod shelf;
mod speed;
mod start;
mod strands;
mod touch;

use std::time::Duration;

use browser_tests::{Browser, Program, Sheet, Window};
use serde_json::{Value, json};
use tempfile::TempDir;

/// The window most tests look at.
const DESK: (u32, u32) = (1440, 900);

/// A program on a fresh folder, a browser, and a window that shows its shelf.
struct Scene {
    data: TempDir,
    program: Program,
    browser: Browser,
    window: Window,
}

impl Scene {
    async fn begin() -> Self {
        let data = tempfile::tempdir().expect("a temporary folder");
        let program = Program::start(data.path(), 0);
        let browser = Browser::start().await;
        let window = browser.open(program.address(), DESK).await;
        window.dark(false).await;
        window.until("the shelf", "document.querySelector('.card')").await;
        Self { data, program, browser, window }
    }

    /// A blank blanket with these yarns, its chart in sight.
    async fn blank(&self, columns: usize, rows: usize) -> Sheet {
        let yarn =
            |key: &str, name: &str, colour: &str| json!({ "key": key, "name": name, "colour": colour });
        let ask = json!({
            "from": "blank", "name": "Plain", "columns": columns, "rows": rows, "gauge": { "stitches": 12.5 },
            "yarns": [yarn("oat", "Oat", "#f0e2c2"), yarn("rust", "Rust", "#a3492f")],
        });
        let answer = self.window.api("POST", "/api/blankets", &ask).await;
        self.chart(answer["id"].as_u64().expect("a number")).await
    }

    /// The chart of a blanket, in sight.
    async fn chart(&self, id: u64) -> Sheet {
        self.room(id, "chart").await;
        Sheet::of(&self.window).await
    }

    async fn room(&self, id: u64, room: &str) {
        self.window.go_within(&format!("#/blanket/{id}/{room}")).await;
        self.window.until(room, &format!("document.body.dataset.room === '{room}' && document.querySelector('.sheet canvas')?.width > 0")).await;
    }

    /// The demo's number.
    async fn demo(&self) -> u64 {
        let shelf = self.window.api("GET", "/api/shelf", &Value::Null).await;
        shelf["blankets"][0]["id"].as_u64().expect("the demo is on the shelf")
    }

    async fn end(self) {
        self.browser.quit().await;
    }
}

/// Chooses a yarn by its place in the palette.
async fn take_yarn(window: &Window, yarn: usize) {
    window.click(&format!(".chips .chip:nth-child({})", yarn + 1), "").await;
}

/// Waits a moment, where nothing is to happen.
async fn rest(milliseconds: u64) {
    tokio::time::sleep(Duration::from_millis(milliseconds)).await;
}
