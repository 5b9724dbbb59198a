//! Small pictures for tests, invented.

use charting::{Area, Cells, Picture, average};
use model::{Gauge, Palette, Rules, Srgb, Weights, Yarn, YarnUse};

use crate::{Importance, Task};

/// What a task is made of.
pub(crate) struct Parts {
    pub(crate) cells: Cells,
    pub(crate) palette: Palette,
    pub(crate) rules: Rules,
    pub(crate) importance: Importance,
}

impl Parts {
    /// A picture in these colours, a pixel a cell, row by row from the top, and some of them as yarns.
    pub(crate) fn new(columns: usize, pixels: &[Srgb], yarns: &[Srgb]) -> Self {
        let rows = pixels.len() / columns;
        let bytes = pixels.iter().flat_map(|pixel| [pixel.red, pixel.green, pixel.blue]).collect();
        let picture = Picture::new(columns, rows, bytes).expect("three bytes a pixel");
        let area = Area::whole(columns, rows);
        let cells =
            average(&picture, area, columns, rows, &mut charting::unwatched).expect("nobody stops it");
        let yarns =
            (0..).zip(yarns).map(|(at, &colour)| Yarn::plain(format!("{at}"), format!("{at}"), colour));
        let palette = Palette::new(yarns.collect()).expect("keys differ");
        let rules = Rules::new(&palette, Weights::default(), model::Hand::Right);
        Self { importance: Importance::even(&cells), cells, palette, rules }
    }

    /// A picture of soft patches with noise on it, different for each seed, in four yarns.
    pub(crate) fn noisy(columns: usize, rows: usize, seed: u64) -> Self {
        let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
        let mut noise = move || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            i32::try_from(state % 61).expect("small") - 30
        };
        let byte = |value: i32| u8::try_from(value.clamp(0, 255)).expect("a byte");
        let mut pixels = Vec::new();
        for row in 0..i32::try_from(rows).expect("few rows") {
            for column in 0..i32::try_from(columns).expect("few columns") {
                let (base, shade) = (100 + 90 * i32::from((row / 5 + column / 6) % 2 == 0), noise());
                pixels.push(Srgb::new(byte(base + shade), byte(base - 20 + shade), byte(120 - shade)));
            }
        }
        let yarns = ["#503c8c", "#787060", "#a0905a", "#d2c850"].map(|hex| hex.parse().expect("a colour"));
        Self::new(columns, &pixels, &yarns)
    }

    pub(crate) fn task(&self) -> Task<'_> {
        Task {
            cells: &self.cells,
            palette: &self.palette,
            pool: self.palette.len(),
            rules: &self.rules,
            yarn_use: YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge")),
            importance: &self.importance,
            fixed: None,
            frame: None,
        }
    }
}
