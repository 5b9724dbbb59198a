//! A border that lies flat: how many stitches to pick up, how many in each corner, round by round.
//!
//! The edge is a rectangle, pushed outwards by the height of every round. Each round gets as many
//! stitches as its outer edge is long, counted in stitch widths; the growth goes into the corners.
//! `docs/border.md` has the geometry and its sources.
//!
//! ```
//! use border::{Choices, Piece, Round, Stitch, Terms, border, words};
//! use model::{Gauge, Palette, Srgb, Yarn};
//!
//! let palette = Palette::new(vec![Yarn::plain("oak", "Oak", Srgb::new(120, 80, 40))])?;
//! let oak = palette.index(0).ok_or("a palette has a first yarn")?;
//! let piece = Piece::new(60, 64, Gauge::new(14.0, 15.0)?)?;
//! let rounds = [Round::new(Stitch::Sc, oak), Round::new(Stitch::Dc, oak)];
//! let border = border(&piece, &rounds, &Choices::default(), &palette)?;
//! assert_eq!(border.rounds()[0].corners[0].stitches, 3);
//! println!("{}", words(&border, Terms::Us));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod amounts;
mod error;
mod fit;
mod piece;
mod plan;
mod spread;
mod stitch;
mod words;

pub use amounts::{Amount, Band, Hours, Pace, amounts, hours};
pub use error::BorderError;
pub use fit::{Fit, Lie, Measure, Part as FitPart};
pub use piece::{MAX_ROUNDS, Piece};
pub use plan::{AlongSides, Border, Choices, Corner, Corners, Edge, Repeat, Round, Straight, Worked, border};
pub use spread::{Part, spread};
pub use stitch::{Heights, Stitch, Terms};
pub use words::{BorderInWords, RoundInWords, border_in_words, says, words};
