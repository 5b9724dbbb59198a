//! The shelf of blankets in one SQLite file.
//!
//! [`Store`] is the only place with SQL. Every write is one transaction; the file is in WAL mode
//! with `synchronous = FULL`, so what was acknowledged is on the disk. Writes that a person may want
//! to take back carry their way back with them ([`Operation`]). There is no clock here: moments come
//! from the caller.
//!
//! Beside the database lies a lock, so that a second copy of the program on the same folder is told
//! and touches nothing. A damaged database is set aside under another name, never written over.

mod change;
mod error;
mod folder;
mod json;
mod migrate;
mod shelf;

pub use change::{Change, Fabric};
pub use error::StoreError;
pub use folder::{DATABASE, LOCK};
pub use json::{read_yarns, write_yarns};
pub use migrate::NEWEST;
pub use shelf::{
    Blanket, BlanketId, Card, Moment, NewBlanket, NewPicture, Opened, Operation, PictureFacts, Store, Tick,
    Way,
};
