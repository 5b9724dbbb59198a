//! Yarns that an eye may take for each other, and dyes that may run into each other.
//!
//! [`alike`] lists the pairs of a palette that are hard to tell apart by daylight, by the light of a
//! lamp, or for a colour-blind eye, each with what to do. [`may_bleed`] lists the pairs of a chart
//! where a deep dye touches a pale yarn.
//!
//! Everything here is worked out from one colour of eight bits a channel for each yarn. Such a colour
//! holds no spectrum: two yarns that match by daylight may differ under a lamp for that reason alone
//! (metamerism), and nothing here can tell. Nor can it tell how a yarn was dyed. What it says is a
//! reason to look again with the yarns in hand, never a verdict.

mod alike;
mod bleed;
mod eye;
mod lamp;
mod touching;
mod words;

pub use alike::{Advice, Alike, Seen, alike, alike_on};
pub use bleed::{MayBleed, may_bleed};
pub use eye::{Eye, difference};
pub use touching::Touching;
pub use words::{advice_on, alike_in_words, bleeding_in_words};
