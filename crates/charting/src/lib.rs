//! Picture to chart.
//!
//! ```text
//! bytes ─► Picture ─► (crop) ─► Cells ─► yarns chosen ─► Chart
//!        read_picture         average   choose          chart_cells
//! ```
//!
//! Without a list of yarns, [`free_colours`] finds colours of its own for the cells.
//!
//! [`chart_picture`] does all but the reading in one call. Each step stands alone as well. Nothing
//! here opens a file, draws chance or knows a clock: same bytes and wishes, same chart, everywhere.
//!
//! What a person should know without being stopped comes back as notes beside the value
//! ([`Noted`]); what stops the work is an error of its step, which says what is wrong (`Display`)
//! and what to do about it (`hint`).

use core::ops::ControlFlow;

mod bands;
mod chart;
mod choose;
mod crop;
mod difference;
mod free;
mod jpeg;
mod kind;
mod noted;
mod picture;
mod scale;
mod search;
mod size;
mod stock;

pub use chart::{
    Charted, ChartingError, Colours, Frame, Prepared, Request, chart_cells, chart_picture, prepare,
};
pub use choose::{Choice, ChooseError, choose};
pub use crop::{Area, Crop, CropError, Measure};
pub use free::free_colours;
pub use kind::Kind;
pub use noted::Noted;
pub use picture::{Limits, Picture, PictureError, read_picture};
pub use scale::{Cells, average};
pub use size::{Across, Extent, MAX_STITCHES, Size, SizeError, Wanted, size};

/// Hears how much of the work is done, 0 to 1, and may stop it.
pub type Watch<'a> = &'a mut dyn FnMut(f32) -> ControlFlow<()>;

/// The watch of a caller that neither shows progress nor stops anything.
pub fn unwatched(_: f32) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

/// The work was stopped by its watch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stopped;

impl core::fmt::Display for Stopped {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str("the work was stopped")
    }
}

impl std::error::Error for Stopped {}

/// Tells `watch` of progress; an error where it says stop.
fn tell(watch: Watch<'_>, done: f32) -> Result<(), Stopped> {
    match watch(done) {
        ControlFlow::Continue(()) => Ok(()),
        ControlFlow::Break(()) => Err(Stopped),
    }
}
