//! The data folder: its lock, its database, and what becomes of a damaged one.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

use crate::StoreError;
use crate::migrate::{APPLICATION, NEWEST, migrate, version};

/// Name of the database in the data folder.
pub const DATABASE: &str = "shelf.db";
/// Name of the lock. It stays there when the program ends; only being locked counts.
pub const LOCK: &str = "shelf.lock";

/// How long a write waits for another program that is using the file.
const PATIENCE: Duration = Duration::from_secs(5);

/// A folder with its lock held and its database open.
pub(crate) struct Folder {
    pub(crate) connection: Connection,
    pub(crate) lock: File,
    /// The shelf was made just now.
    pub(crate) new: bool,
    /// Where the damaged one was set aside.
    pub(crate) damaged: Option<PathBuf>,
}

pub(crate) fn open(folder: &Path) -> Result<Folder, StoreError> {
    fs::create_dir_all(folder).map_err(|error| StoreError::of_file(folder, &error))?;
    let lock = lock(folder)?;
    let path = folder.join(DATABASE);
    match database(&path) {
        Ok((connection, new)) => Ok(Folder { connection, lock, new, damaged: None }),
        Err(StoreError::Damaged(_)) => {
            let damaged = set_aside(folder)?;
            let (connection, new) = database(&path)?;
            Ok(Folder { connection, lock, new, damaged: Some(damaged) })
        }
        Err(error) => Err(error),
    }
}

/// The system gives the lock back when the program ends, however it ends.
fn lock(folder: &Path) -> Result<File, StoreError> {
    let path = folder.join(LOCK);
    let failed = |error| StoreError::of_file(&path, &error);
    let file = OpenOptions::new().create(true).truncate(false).write(true).open(&path).map_err(failed)?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(StoreError::OpenElsewhere(folder.to_owned())),
        Err(TryLockError::Error(error)) => Err(failed(error)),
    }
}

/// Opens the database, makes it where there is none, and brings it up to date. Whether it is new.
fn database(path: &Path) -> Result<(Connection, bool), StoreError> {
    // SQLite would throw the log of an emptied database away.
    let bytes = |path: &Path| fs::metadata(path).map_or(0, |found| found.len());
    if bytes(path) == 0 && bytes(&path.with_extension("db-wal")) > 0 {
        return Err(StoreError::Damaged("it is empty, its log is not".to_owned()));
    }
    let flags =
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags)?;
    connection.busy_timeout(PATIENCE)?;
    // Before anything is written: is this ours, and whole?
    let found = version(&connection)?;
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let application: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let new = found == 0 && tables == 0;
    if !new && application != APPLICATION {
        return Err(StoreError::NotAShelf(path.to_owned()));
    }
    if found > NEWEST {
        return Err(StoreError::Newer { found, known: NEWEST });
    }
    if !new {
        check(&connection)?;
    }
    connection.pragma_update(None, "journal_mode", "WAL")?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    // What is deleted for good is not left lying in the file.
    connection.pragma_update(None, "secure_delete", true)?;
    migrate(&mut connection)?;
    Ok((connection, new))
}

/// Looks for damage in all but the pictures: those may be large, and a damaged picture is no reason
/// to set a whole shelf aside; it is told where it is asked for.
fn check(connection: &Connection) -> Result<(), StoreError> {
    let mut tables = connection.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")?;
    let tables: Vec<String> = tables.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    for table in tables.iter().filter(|table| *table != "pictures") {
        let found: String =
            connection.query_row("SELECT * FROM pragma_quick_check(?1)", [table], |row| row.get(0))?;
        if found != "ok" {
            return Err(StoreError::Damaged(found));
        }
    }
    Ok(())
}

/// Gives the damaged database another name, with what belongs to it, and writes over nothing.
/// The database itself goes last: where this is broken off, the rest is not lost with it.
fn set_aside(folder: &Path) -> Result<PathBuf, StoreError> {
    let parts = ["-wal", "-shm", ""];
    let named = |number: u32, part: &str| folder.join(format!("shelf-damaged-{number}.db{part}"));
    let is_free =
        |number: &u32| parts.iter().all(|part| matches!(named(*number, part).try_exists(), Ok(false)));
    let number = (1..10_000).find(is_free).ok_or_else(|| StoreError::Folder {
        path: folder.to_owned(),
        why: "it is full of damaged shelves".to_owned(),
    })?;
    for part in parts {
        let from = folder.join(format!("{DATABASE}{part}"));
        match fs::rename(&from, named(number, part)) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                return Err(StoreError::of_file(&from, &error));
            }
            _ => {}
        }
    }
    Ok(named(number, ""))
}
