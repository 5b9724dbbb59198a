//! Charts as pictures to look at and to print, the pattern as pages and as a page to take away. Sizes,
//! fonts and ink are this crate's business and nobody else's.

mod canvas;
mod chart_picture;
mod chart_svg;
mod drawing;
mod fabric;
#[cfg(test)]
mod legible;
mod markup;
#[cfg(feature = "pages")]
mod pages;
mod takeaway;

pub use canvas::REGULAR;
pub use chart_picture::{PictureError, chart_picture};
pub use chart_svg::chart_svg;
pub use drawing::{drawing, drawing_says};
pub use fabric::{Part, fabric_preview, fabric_thumbnail};
#[cfg(feature = "pages")]
pub use pages::{Ink, Pages, PagesError, Paper, Print, Sheet, has_unprintable, pages};
pub use takeaway::take_away;
