//! Charts as pictures to look at and to print.
//!
//! Pages come here too, once there are any: sizes, fonts and ink are this crate's business and
//! nobody else's.

mod canvas;
mod chart_picture;
mod fabric;
#[cfg(test)]
mod legible;

pub use canvas::REGULAR;
pub use chart_picture::{PictureError, chart_picture};
pub use fabric::{Part, fabric_preview, fabric_thumbnail};
