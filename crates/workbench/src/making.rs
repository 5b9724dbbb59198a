//! What a person gives for the making of a blanket (swatch, margins, evenings, border), and what comes
//! of it: amounts, lists to tick, hours, and the border.

mod edge;
mod given;
mod keep;
mod kept;
mod lists;
mod reckoned;
mod swatch;

pub use edge::{BorderTold, Laid, RoundDrawn, RoundTold, YarnOfBorder};
pub use given::{BorderWish, Evenings, Making, MeasuredAgain, RoundWish, SwatchGiven, YarnTaken};
pub use lists::{Ends, TickList, Ticked, WindEntry, Winding};
pub(crate) use reckoned::Reckoned;
pub use reckoned::{Amounts, Told};
pub use swatch::{Remark, SwatchTold};
