//! The workbench: one method for each thing a person can do.
//!
//! [`Workbench`] stands over the shelf ([`store`]) and speaks in plain data ([`Card`], [`Blanket`],
//! [`Edit`], [`Changed`], …). Every write is one named operation in one transaction that carries its
//! own way back, survives a restart and returns what changed; it is on the disk before it is
//! acknowledged. No number, row or file of a plan is given out before [`replay`] has worked the plan
//! stitch by stitch.
//!
//! Plans of the blankets used last are kept ready for the next edit; those of the others are made
//! again when they are opened. All methods take `&self` and may be called from any thread: edits of
//! one blanket wait for each other, different blankets don't.
//!
//! There is no clock here: the caller gives one.

mod bench;
mod charts;
mod failure;
mod hand_out;
mod lettering;
mod looks;
mod making;
mod mine;
mod open;
mod paper;
mod picture;
mod session;
mod shelf;
mod things;
mod wish;
mod words;

/// What borders are told with.
pub use ::border;
/// What amounts, time and rows are told with.
pub use ::pattern;

pub use ::booklet::Passing;
pub use bench::{Clock, Opened, Workbench};
pub use charts::{Choice, Row};
pub use failure::{Failure, Kind};
pub use lettering::{Align, Lettered, Lettering, MAX_FONT_BYTES, OfWords, WordsOn};
pub use looks::{AlikePair, AlikeYarns, BleedingPair};
pub use making::{
    Amounts, BorderTold, BorderWish, Ends, Evenings, Laid, Making, MeasuredAgain, Remark, RoundDrawn,
    RoundTold, RoundWish, SwatchGiven, SwatchTold, TickList, Ticked, Told, WindEntry, Winding, YarnOfBorder,
    YarnTaken,
};
pub use paper::{PaperWish, Sheet};
pub use picture::MAX_PICTURE_BYTES;
pub use things::{
    Blank, Blanket, BlanketId, Card, Changed, ChartedAgain, ChosenColours, Difference, Edit, Extent, File,
    FramePlace, Handed, Hours, Important, Made, Mirrored, Moment, Numbers, Offset, PaletteEntry, Part,
    PictureFacts, PictureWish, Place, Region, Revision, RowInWords, Settings, Shape, Shelf, Stage, Strand,
    Strands, Terms, Theme, Turn, Units, Watch, WishedColours, Within, unwatched,
};
pub use words::MAX_CELLS;
