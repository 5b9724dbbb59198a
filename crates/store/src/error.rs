//! What can go wrong with the shelf.

use core::fmt;
use std::io;
use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;

use crate::BlanketId;

/// Why the shelf can't be opened, read or written. Whatever is returned, nothing that was
/// acknowledged before is lost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StoreError {
    /// Another copy of the program has the folder.
    OpenElsewhere(PathBuf),
    /// The folder or a file in it can't be made or opened.
    Folder {
        /// Which.
        path: PathBuf,
        /// The system's words.
        why: String,
    },
    /// Nothing can be written there.
    ReadOnly,
    /// The disk is full.
    DiskFull,
    /// The disk or the system failed.
    Disk(String),
    /// The file contradicts itself. On opening it is set aside; this comes where damage shows later.
    Damaged(String),
    /// The file was made by a newer program.
    Newer {
        /// Version of the file.
        found: u32,
        /// The newest version that this program knows.
        known: u32,
    },
    /// The file is a database, but not a shelf.
    NotAShelf(PathBuf),
    /// Somebody else is writing to the file.
    Busy,
    /// There is no such blanket.
    NoSuchBlanket(BlanketId),
    /// The blanket has no picture.
    NoPicture(BlanketId),
    /// The blanket has changed since it was read.
    Stale {
        /// Its revision now.
        revision: u64,
    },
    /// There is nothing to take back, or to do again.
    Nothing,
    /// Only what is set aside can be deleted.
    NotAside(BlanketId),
    /// SQLite refuses something that should never be asked.
    Other(String),
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OpenElsewhere(_) => f.write_str("the shelf is open in another window of this program"),
            Self::Folder { path, why } => write!(f, "{} can't be used: {why}", path.display()),
            Self::ReadOnly => f.write_str("the shelf can't be written: its folder or file is read-only"),
            Self::DiskFull => f.write_str("the disk is full, nothing was changed"),
            Self::Disk(why) => write!(f, "the disk failed, nothing was changed ({why})"),
            Self::Damaged(detail) => write!(f, "the shelf's file is damaged ({detail})"),
            Self::Newer { found, known } => {
                write!(
                    f,
                    "the shelf was made by a newer program (version {found}, this one knows up to {known})"
                )
            }
            Self::NotAShelf(path) => write!(f, "{} is another program's database", path.display()),
            Self::Busy => f.write_str("another program is using the shelf's file"),
            Self::NoSuchBlanket(id) => write!(f, "there is no blanket {}", id.0),
            Self::NoPicture(id) => write!(f, "blanket {} has no picture", id.0),
            Self::Stale { revision } => {
                write!(f, "the blanket has changed meanwhile, it is at revision {revision}")
            }
            Self::Nothing => f.write_str("there is nothing more to take back or do again"),
            Self::NotAside(_) => f.write_str("only a blanket that is set aside can be deleted for good"),
            Self::Other(why) => write!(f, "the shelf's file can't be used ({why})"),
        }
    }
}

impl std::error::Error for StoreError {}

impl StoreError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::OpenElsewhere(_) => "go on there, or close it first",
            Self::Folder { .. } | Self::ReadOnly => {
                "check that the folder may be written, or give another one with --data"
            }
            Self::DiskFull => "make room on the disk, then do it again",
            Self::Disk(_) => "check the disk and its room, then do it again",
            Self::Damaged(_) => "close the program, keep a copy of its data folder, and start it again",
            Self::Newer { .. } => "use the newer program, or another folder with --data",
            Self::NotAShelf(_) => "give another folder with --data",
            Self::Busy => "wait a moment and do it again",
            Self::NoSuchBlanket(_) | Self::NotAside(_) => "look at the shelf again",
            Self::NoPicture(_) => "give it a picture first",
            Self::Stale { .. } => "read the blanket again",
            Self::Nothing => "",
            Self::Other(_) => "start the program again; if it stays so, report it",
        }
    }

    /// What the system says of a file of ours.
    pub(crate) fn of_file(path: &Path, error: &io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::DiskFull,
            io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly,
            _ => Self::Folder { path: path.to_owned(), why: error.to_string() },
        }
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        let why = error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen) => Self::ReadOnly,
            Some(ErrorCode::DiskFull) => Self::DiskFull,
            Some(ErrorCode::SystemIoFailure) => Self::Disk(why),
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Damaged(why),
            _ => Self::Other(why),
        }
    }
}
