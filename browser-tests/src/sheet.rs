//! Where the stitches of the chart lie on the screen.

use base64::Engine as _;
use serde_json::Value;

use crate::window::Window;

/// The chart as the program has it, and where its stitches lie in the window while all of it is shown.
#[derive(Debug)]
pub struct Sheet {
    /// Stitches across.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Place in the palette of each cell, row by row from the bottom, each from the left.
    pub cells: Vec<u8>,
    /// The program's answer to `GET /api/blankets/ID`.
    pub blanket: Value,
    left: f64,
    top: f64,
    width: f64,
    height: f64,
}

impl Sheet {
    /// Reads it from the room that is open.
    pub async fn of(window: &Window) -> Self {
        // The page's own view says where a cell lies; the room shows the whole chart at first.
        let told = window
            .js(r#"(async () => {
                const id = /blanket\/(\d+)/.exec(location.hash)[1];
                const blanket = await (await fetch(`/api/blankets/${id}`)).json();
                const { View } = await import("/canvas/view.js");
                const sheet = document.querySelector(".sheet");
                const box = sheet.getBoundingClientRect();
                const { columns, rows, gauge } = blanket;
                const view = new View({ columns, rows, proportion: gauge.stitches / gauge.rows });
                view.resize(sheet.clientWidth, sheet.clientHeight);
                view.fit();
                return { blanket, left: box.left + view.x(0), top: box.top + view.y(rows - 1), width: view.cell, height: view.cellHeight };
            })()"#)
            .await;
        let number = |name: &str| told[name].as_f64().expect("a number");
        let count = |name: &str| {
            let count = told["blanket"][name].as_u64().expect("a count");
            usize::try_from(count).expect("a chart fits into memory")
        };
        let cells = told["blanket"]["cells"].as_str().expect("cells");
        Self {
            columns: count("columns"),
            rows: count("rows"),
            cells: base64::engine::general_purpose::STANDARD.decode(cells).expect("base64"),
            left: number("left"),
            top: number("top"),
            width: number("width"),
            height: number("height"),
            blanket: told["blanket"].clone(),
        }
    }

    /// The middle of a cell in the window; column from 0 at the left, row from 0 at the bottom.
    #[must_use]
    pub fn point(&self, column: usize, row: usize) -> (f64, f64) {
        let middle = |cell: usize| f64::from(u32::try_from(cell).expect("charts are small")) + 0.5;
        (self.left + middle(column) * self.width, self.top + middle(self.rows - 1 - row) * self.height)
    }

    /// The yarn of a cell.
    #[must_use]
    pub fn yarn(&self, column: usize, row: usize) -> u8 {
        self.cells[row * self.columns + column]
    }

    /// The ends of the plan.
    ///
    /// # Panics
    /// Where the answer has none.
    #[must_use]
    pub fn ends(&self) -> u64 {
        self.blanket["plan"]["ends"].as_u64().expect("ends")
    }

    /// What the program counts with every change.
    ///
    /// # Panics
    /// Where the answer has none.
    #[must_use]
    pub fn revision(&self) -> u64 {
        self.blanket["revision"].as_u64().expect("a revision")
    }
}
