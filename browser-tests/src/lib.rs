//! Drives the real program and a real browser: what the tests and the screenshots share.
//!
//! Everything here panics with a message that says what was waited for: it is for tests alone.

mod ears;
mod keys;
mod pages;
mod program;
mod sheet;
mod window;

pub use ears::Ears;
pub use keys::Key;
pub use pages::{Page, Shelf};
pub use program::Program;
pub use sheet::Sheet;
pub use window::{Browser, Window};

use std::path::{Path, PathBuf};

/// The workspace's folder.
///
/// # Panics
/// Never: this crate lies in it.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("this crate lies in the workspace").to_owned()
}
