//! The versions of the file, one `.sql` file each, applied in order and only ever added.

use rusqlite::{Connection, TransactionBehavior};

use crate::StoreError;

/// Every version's way from the one before. A file that was once given out never changes.
const MIGRATIONS: [&str; 2] =
    [include_str!("../migrations/001_shelf.sql"), include_str!("../migrations/002_making.sql")];

/// The newest version of the file.
#[allow(clippy::cast_possible_truncation)] // a handful
pub const NEWEST: u32 = MIGRATIONS.len() as u32;

/// Marks the file as ours, in SQLite's own field for that: "Strn" (chosen for this project).
pub(crate) const APPLICATION: i32 = 0x5374_726e;

/// The version of the file: 0 where nothing is in it yet.
pub(crate) fn version(connection: &Connection) -> Result<u32, StoreError> {
    let version: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    u32::try_from(version).map_err(|_| StoreError::Damaged(format!("version {version}")))
}

/// Brings the file to the newest version, each step in a transaction of its own.
pub(crate) fn migrate(connection: &mut Connection) -> Result<(), StoreError> {
    let found = version(connection)?;
    for (step, sql) in (1..=NEWEST).zip(MIGRATIONS).filter(|(step, _)| *step > found) {
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        transaction.execute_batch(sql)?;
        transaction.pragma_update(None, "application_id", APPLICATION)?;
        transaction.pragma_update(None, "user_version", step)?;
        transaction.commit()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FNV-1a, 64 bits (constants from memory): any hash would do, none of ours depends on it.
    fn fingerprint(text: &str) -> u64 {
        text.bytes()
            .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
    }

    /// Whoever adds a migration adds its line here; whoever changes one that was given out finds out.
    #[test]
    fn migrations_are_only_ever_added() {
        let fingerprints: Vec<String> =
            MIGRATIONS.iter().map(|sql| format!("{:016x}", fingerprint(sql))).collect();
        assert_eq!(fingerprints, ["c1f28cf13991da53", "a572e893460030af"]);
        assert_eq!(NEWEST, 2);
    }

    #[test]
    fn a_fresh_file_gets_every_step_once() {
        let mut connection = Connection::open_in_memory().unwrap();
        assert_eq!(version(&connection), Ok(0));
        migrate(&mut connection).unwrap();
        assert_eq!(version(&connection), Ok(NEWEST));
        migrate(&mut connection).unwrap();
        let tables: Vec<String> = connection
            .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name")
            .unwrap()
            .query_map([], |row| row.get(0))
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        assert_eq!(tables, ["blankets", "kept", "operations", "pictures", "ticks"]);
    }

    /// All folders' files are compiled in: none lies there unused.
    #[test]
    fn every_file_of_the_folder_is_a_step() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/migrations");
        let mut names: Vec<_> =
            std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        names.sort();
        assert_eq!(names.len(), MIGRATIONS.len());
        for (step, name) in (1..).zip(names) {
            assert!(name.to_string_lossy().starts_with(&format!("{step:03}_")), "{name:?}");
        }
    }
}
