//! The shelf itself: all SQL behind one struct.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use model::{Gauge, Yarn};
use rusqlite::{Connection, OptionalExtension, Row, Transaction, TransactionBehavior, named_params, params};

use crate::change::{cells_of, chart, gauge};
use crate::json::{read_yarns, write_yarns};
use crate::{Change, Fabric, StoreError, folder};

/// A blanket's number; never given twice.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct BlanketId(pub i64);

/// A moment, in milliseconds since the start of 1970, UTC.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Moment(pub i64);

/// A blanket as it stands on the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Which.
    pub id: BlanketId,
    /// Its name.
    pub name: String,
    /// Whether everything of it is invented.
    pub invented: bool,
    /// Its revision.
    pub revision: u64,
    /// Stitches in a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Its gauge.
    pub gauge: Gauge,
    /// Its yarns.
    pub palette: Vec<Yarn>,
    /// Whether it has a picture.
    pub has_picture: bool,
    /// When it was last changed, as in `2026-11-25T09:30:00Z`.
    pub changed: String,
    /// Whether it is set aside.
    pub aside: bool,
}

/// What is known of a picture without its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PictureFacts {
    /// Name of the file it came from; may be empty.
    pub name: String,
    /// Width in pixels, upright.
    pub width: u32,
    /// Height in pixels, upright.
    pub height: u32,
}

/// A blanket with all that belongs to it but the picture's bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct Blanket {
    /// Which.
    pub id: BlanketId,
    /// Its name.
    pub name: String,
    /// Whether everything of it is invented.
    pub invented: bool,
    /// How often it was changed.
    pub revision: u64,
    /// Whether it is set aside.
    pub aside: bool,
    /// Its picture.
    pub picture: Option<PictureFacts>,
    /// Chart, gauge, and how the picture was charted.
    pub fabric: Fabric,
    /// What is kept for the making: JSON of the caller's.
    pub making: Option<String>,
    /// Name of the operation that would be taken back.
    pub can_take_back: Option<String>,
    /// Name of the operation that would be done again.
    pub can_do_again: Option<String>,
}

/// A picture to be kept with a new blanket.
#[derive(Clone, Copy, Debug)]
pub struct NewPicture<'a> {
    /// Its facts.
    pub facts: &'a PictureFacts,
    /// Its bytes as handed in.
    pub bytes: &'a [u8],
}

/// A blanket to be made.
#[derive(Clone, Copy, Debug)]
pub struct NewBlanket<'a> {
    /// Its name.
    pub name: &'a str,
    /// Whether everything of it is invented.
    pub invented: bool,
    /// Chart, gauge, and how the picture was charted.
    pub fabric: &'a Fabric,
    /// Its picture.
    pub picture: Option<NewPicture<'a>>,
}

/// Something done to a blanket, with its ways both to and fro.
#[derive(Clone, Debug, PartialEq)]
pub struct Operation {
    /// What people call it.
    pub name: String,
    /// Name of the movement of the brush that it is part of: parts of one movement that follow each
    /// other become one operation.
    pub stroke: Option<String>,
    /// The change that takes it back.
    pub before: Change,
    /// The change that does it.
    pub after: Change,
}

/// Something ticked off a list of a blanket.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tick {
    /// What, in the caller's words.
    pub mark: String,
    /// What goes with it, in the caller's unit.
    pub amount: Option<i64>,
}

/// Which way along the operations of a blanket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Take the last one back.
    Back,
    /// Do the first one that was taken back again.
    Again,
}

/// The shelf, open and locked; the lock is held as long as this lives.
#[derive(Debug)]
pub struct Store {
    connection: Mutex<Connection>,
    _lock: File,
}

/// A shelf that was opened, and how it was found.
#[derive(Debug)]
pub struct Opened {
    /// The shelf.
    pub store: Store,
    /// Whether it was made just now.
    pub new: bool,
    /// Where a damaged one was set aside.
    pub damaged: Option<PathBuf>,
}

const CARDS: &str = "SELECT id, name, invented, revision, columns, rows, gauge_stitches, gauge_rows, \
     gauge_estimated, palette, picture IS NOT NULL, \
     strftime('%Y-%m-%dT%H:%M:%SZ', changed / 1000, 'unixepoch'), aside IS NOT NULL \
     FROM blankets ORDER BY aside IS NOT NULL, coalesce(aside, changed) DESC, id DESC";

const BLANKET: &str = "SELECT b.name, b.invented, b.revision, b.aside IS NOT NULL, \
     p.name, p.width, p.height, b.request, b.gauge_stitches, b.gauge_rows, b.gauge_estimated, \
     b.columns, b.rows, b.palette, b.cells, b.making \
     FROM blankets b LEFT JOIN pictures p ON p.id = b.picture WHERE b.id = ?1";

const ADD_BLANKET: &str = "INSERT INTO blankets (name, invented, revision, made, changed, picture, request, \
     gauge_stitches, gauge_rows, gauge_estimated, columns, rows, palette, cells) \
     VALUES (:name, :invented, 0, :now, :now, :picture, :request, \
     :gauge_stitches, :gauge_rows, :gauge_estimated, :columns, :rows, :palette, :cells)";

const ADD_PICTURE: &str = "INSERT INTO pictures (name, width, height, bytes) VALUES (?1, ?2, ?3, ?4)";

const COPY_BLANKET: &str = "INSERT INTO blankets (name, invented, revision, made, changed, picture, request, \
     gauge_stitches, gauge_rows, gauge_estimated, columns, rows, palette, cells, making) \
     SELECT ?2, invented, 0, ?3, ?3, picture, request, \
     gauge_stitches, gauge_rows, gauge_estimated, columns, rows, palette, cells, making \
     FROM blankets WHERE id = ?1";

const SET_FABRIC: &str = "UPDATE blankets SET request = :request, gauge_stitches = :gauge_stitches, \
     gauge_rows = :gauge_rows, gauge_estimated = :gauge_estimated, columns = :columns, rows = :rows, \
     palette = :palette, cells = :cells WHERE id = :id";

const LAST: &str = "SELECT number, name, stroke, before, after FROM operations \
     WHERE blanket = ?1 AND NOT taken_back ORDER BY number DESC LIMIT 1";

const NEXT: &str = "SELECT number, name, stroke, before, after FROM operations \
     WHERE blanket = ?1 AND taken_back ORDER BY number LIMIT 1";

const ADD_OPERATION: &str = "INSERT INTO operations (blanket, number, name, stroke, done, before, after) \
     SELECT ?1, coalesce(max(number), 0) + 1, ?2, ?3, ?4, ?5, ?6 FROM operations WHERE blanket = ?1";

const WITHOUT_BLANKET: &str =
    "DELETE FROM pictures WHERE id NOT IN (SELECT picture FROM blankets WHERE picture IS NOT NULL)";

impl Store {
    /// Opens the shelf in a folder, and makes either where it is not there yet. A damaged one is set
    /// aside under another name, and a new one is begun.
    ///
    /// # Errors
    /// When another copy of the program has the folder, it can't be written, or what lies there is
    /// not ours or too new.
    pub fn open(folder: &Path) -> Result<Opened, StoreError> {
        let folder::Folder { connection, lock, new, damaged } = folder::open(folder)?;
        Ok(Opened { store: Self { connection: Mutex::new(connection), _lock: lock }, new, damaged })
    }

    /// From now on the file grows to so many bytes at most, rounded to its pages; what would make it
    /// larger fails as on a full disk.
    ///
    /// # Errors
    /// When SQLite refuses.
    pub fn limit_size(&self, bytes: u64) -> Result<(), StoreError> {
        let connection = self.connection();
        let page: i64 = connection.pragma_query_value(None, "page_size", |row| row.get(0))?;
        let pages = i64::try_from(bytes).unwrap_or(i64::MAX) / page;
        connection.pragma_update_and_check(None, "max_page_count", pages.max(1), |_| Ok(()))?;
        Ok(())
    }

    /// A panic of another thread leaves no half transaction behind: dropping it rolls it back.
    fn connection(&self) -> MutexGuard<'_, Connection> {
        self.connection.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Runs one transaction; whatever fails in it leaves all as it was.
    fn write<T>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let mut connection = self.connection();
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let value = work(&transaction)?;
        transaction.commit()?;
        Ok(value)
    }

    /// All blankets: those on the shelf first, changed last first, then those set aside.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn cards(&self) -> Result<Vec<Card>, StoreError> {
        let connection = self.connection();
        let mut statement = connection.prepare(CARDS)?;
        let mut rows = statement.query([])?;
        let mut cards = Vec::new();
        while let Some(row) = rows.next()? {
            cards.push(Card {
                id: BlanketId(row.get(0)?),
                name: row.get(1)?,
                invented: row.get(2)?,
                revision: row.get(3)?,
                columns: row.get(4)?,
                rows: row.get(5)?,
                gauge: gauge(row.get(6)?, row.get(7)?, row.get(8)?).ok_or_else(|| damaged("a gauge"))?,
                palette: read_yarns(&row.get::<_, String>(9)?)?,
                has_picture: row.get(10)?,
                changed: row.get(11)?,
                aside: row.get(12)?,
            });
        }
        Ok(cards)
    }

    /// One blanket.
    ///
    /// # Errors
    /// When there is none of that number, or the file can't be read.
    pub fn blanket(&self, id: BlanketId) -> Result<Blanket, StoreError> {
        blanket(&self.connection(), id)
    }

    /// The bytes of a blanket's picture, as handed in.
    ///
    /// # Errors
    /// When there is no such blanket or it has none, or the file can't be read.
    pub fn picture(&self, id: BlanketId) -> Result<Vec<u8>, StoreError> {
        let connection = self.connection();
        let picture: Option<i64> = connection
            .query_row("SELECT picture FROM blankets WHERE id = ?1", [id.0], |row| row.get(0))
            .optional()?
            .ok_or(StoreError::NoSuchBlanket(id))?;
        let picture = picture.ok_or(StoreError::NoPicture(id))?;
        Ok(connection.query_row("SELECT bytes FROM pictures WHERE id = ?1", [picture], |row| row.get(0))?)
    }

    /// Puts a new blanket on the shelf.
    ///
    /// # Errors
    /// When the file can't be written.
    pub fn add(&self, new: &NewBlanket<'_>, now: Moment) -> Result<BlanketId, StoreError> {
        self.write(|transaction| {
            let picture = match new.picture {
                Some(NewPicture { facts, bytes }) => {
                    transaction
                        .execute(ADD_PICTURE, params![facts.name, facts.width, facts.height, bytes])?;
                    Some(transaction.last_insert_rowid())
                }
                None => None,
            };
            let Fabric { chart, gauge, request } = new.fabric;
            transaction.execute(
                ADD_BLANKET,
                named_params! {
                    ":name": new.name, ":invented": new.invented, ":now": now.0, ":picture": picture,
                    ":request": request, ":gauge_stitches": gauge.stitches(), ":gauge_rows": gauge.rows(),
                    ":gauge_estimated": gauge.rows_estimated(), ":columns": chart.columns(),
                    ":rows": chart.rows(), ":palette": write_yarns(chart.palette().yarns()),
                    ":cells": cells_of(chart),
                },
            )?;
            Ok(BlanketId(transaction.last_insert_rowid()))
        })
    }

    /// Puts a copy of a blanket on the shelf, with the same picture and what is kept for its making, but
    /// no operations and no ticks: nothing of the copy is wound or woven in yet.
    ///
    /// # Errors
    /// When there is no such blanket, or the file can't be written.
    pub fn duplicate(&self, id: BlanketId, name: &str, now: Moment) -> Result<BlanketId, StoreError> {
        self.write(|transaction| match transaction.execute(COPY_BLANKET, params![id.0, name, now.0])? {
            0 => Err(StoreError::NoSuchBlanket(id)),
            _ => Ok(BlanketId(transaction.last_insert_rowid())),
        })
    }

    /// Sets a blanket aside, or puts it back where `since` is `None`. One that is there already stays.
    ///
    /// # Errors
    /// When there is no such blanket, or the file can't be written.
    pub fn set_aside(&self, id: BlanketId, since: Option<Moment>) -> Result<(), StoreError> {
        const SQL: &str = "UPDATE blankets \
             SET aside = CASE WHEN ?2 IS NULL THEN NULL ELSE coalesce(aside, ?2) END WHERE id = ?1";
        self.write(|transaction| {
            match transaction.execute(SQL, params![id.0, since.map(|moment| moment.0)])? {
                0 => Err(StoreError::NoSuchBlanket(id)),
                _ => Ok(()),
            }
        })
    }

    /// Deletes a blanket that is set aside, its operations, and its picture where no other has it.
    ///
    /// # Errors
    /// When there is no such blanket, it is not set aside, or the file can't be written.
    pub fn delete_for_good(&self, id: BlanketId) -> Result<(), StoreError> {
        self.write(|transaction| {
            if !blanket(transaction, id)?.aside {
                return Err(StoreError::NotAside(id));
            }
            transaction.execute("DELETE FROM blankets WHERE id = ?1", [id.0])?;
            transaction.execute(WITHOUT_BLANKET, [])?;
            Ok(())
        })
    }

    /// Does an operation: changes the blanket and notes the ways to and fro, in one transaction. What
    /// was taken back before can't be done again after it. Answers the new revision.
    ///
    /// # Errors
    /// When there is no such blanket, its revision is another, or the file can't be written.
    pub fn record(
        &self,
        id: BlanketId,
        revision: u64,
        operation: &Operation,
        now: Moment,
    ) -> Result<u64, StoreError> {
        let Operation { name, stroke, before, after } = operation;
        self.write(|transaction| {
            let next = step_on(transaction, id, revision, now)?;
            apply(transaction, id, after)?;
            let forgotten =
                transaction.execute("DELETE FROM operations WHERE blanket = ?1 AND taken_back", [id.0])?;
            if forgotten == 0
                && stroke.is_some()
                && let Some((number, last)) = operation_at(transaction, LAST, id)?
                && last.stroke == *stroke
                && let (Some(before), Some(after)) = (before.then(&last.before), last.after.then(after))
            {
                transaction.execute(
                    "UPDATE operations SET before = ?3, after = ?4 WHERE blanket = ?1 AND number = ?2",
                    params![id.0, number, before.to_bytes(), after.to_bytes()],
                )?;
            } else {
                transaction.execute(
                    ADD_OPERATION,
                    params![id.0, name, stroke, now.0, before.to_bytes(), after.to_bytes()],
                )?;
            }
            Ok(next)
        })
    }

    /// The operation that [`Self::go`] would take back or do again.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn ahead(&self, id: BlanketId, way: Way) -> Result<Option<Operation>, StoreError> {
        let found = operation_at(&self.connection(), way.sql(), id)?;
        Ok(found.map(|(_, operation)| operation))
    }

    /// Names of the operations that would be taken back and done again.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn names(&self, id: BlanketId) -> Result<[Option<String>; 2], StoreError> {
        let connection = self.connection();
        Ok([operation_name(&connection, Way::Back, id)?, operation_name(&connection, Way::Again, id)?])
    }

    /// Takes the last operation back, or does the first one that was taken back again. Answers the
    /// new revision.
    ///
    /// # Errors
    /// When there is none, there is no such blanket, its revision is another, or the file can't be
    /// written.
    pub fn go(&self, id: BlanketId, revision: u64, way: Way, now: Moment) -> Result<u64, StoreError> {
        self.write(|transaction| {
            let next = step_on(transaction, id, revision, now)?;
            let (number, operation) = operation_at(transaction, way.sql(), id)?.ok_or(StoreError::Nothing)?;
            let (change, taken_back) = match way {
                Way::Back => (operation.before, true),
                Way::Again => (operation.after, false),
            };
            apply(transaction, id, &change)?;
            transaction.execute(
                "UPDATE operations SET taken_back = ?3 WHERE blanket = ?1 AND number = ?2",
                params![id.0, number, taken_back],
            )?;
            Ok(next)
        })
    }

    /// What is ticked off a list of a blanket, by mark.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn ticks(&self, id: BlanketId, list: &str) -> Result<Vec<Tick>, StoreError> {
        const SQL: &str = "SELECT mark, amount FROM ticks WHERE blanket = ?1 AND list = ?2 ORDER BY mark";
        let connection = self.connection();
        let mut statement = connection.prepare(SQL)?;
        let read = |row: &Row<'_>| Ok(Tick { mark: row.get(0)?, amount: row.get(1)? });
        Ok(statement.query_map(params![id.0, list], read)?.collect::<Result<_, _>>()?)
    }

    /// Ticks things off a list of a blanket, or with `ticked` false takes the ticks away. One that is so
    /// already stays as it is.
    ///
    /// # Errors
    /// When there is no such blanket, or the file can't be written.
    pub fn tick(
        &self,
        id: BlanketId,
        list: &str,
        ticks: &[Tick],
        ticked: bool,
        now: Moment,
    ) -> Result<(), StoreError> {
        const ON: &str = "INSERT INTO ticks (blanket, list, mark, since, amount) VALUES (?1, ?2, ?3, ?4, ?5) \
             ON CONFLICT DO NOTHING";
        const OFF: &str = "DELETE FROM ticks WHERE blanket = ?1 AND list = ?2 AND mark = ?3";
        self.write(|transaction| {
            let changed = "UPDATE blankets SET changed = ?2 WHERE id = ?1";
            if transaction.execute(changed, params![id.0, now.0])? == 0 {
                return Err(StoreError::NoSuchBlanket(id));
            }
            for Tick { mark, amount } in ticks {
                if ticked {
                    transaction.execute(ON, params![id.0, list, mark, now.0, amount])?;
                } else {
                    transaction.execute(OFF, params![id.0, list, mark])?;
                }
            }
            Ok(())
        })
    }

    /// The person's list of yarns; `None` where none was ever kept.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn yarns(&self) -> Result<Option<Vec<Yarn>>, StoreError> {
        self.kept("yarns")?.map(|text| read_yarns(&text)).transpose()
    }

    /// Keeps a list of yarns; the one before stays as the way back.
    ///
    /// # Errors
    /// When the file can't be written.
    pub fn keep_yarns(&self, yarns: &[Yarn], now: Moment) -> Result<(), StoreError> {
        self.keep("yarns", &write_yarns(yarns), now)
    }

    /// Goes back to the list of yarns before.
    ///
    /// # Errors
    /// When there is none, or the file can't be written.
    pub fn take_back_yarns(&self) -> Result<(), StoreError> {
        const SQL: &str =
            "DELETE FROM kept WHERE number = (SELECT max(number) FROM kept WHERE kind = 'yarns')";
        self.write(|transaction| match transaction.execute(SQL, [])? {
            0 => Err(StoreError::Nothing),
            _ => Ok(()),
        })
    }

    /// The person's settings: JSON of the caller's; `None` where none were ever kept.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn settings(&self) -> Result<Option<String>, StoreError> {
        self.kept("settings")
    }

    /// Keeps settings; those before stay.
    ///
    /// # Errors
    /// When the file can't be written.
    pub fn keep_settings(&self, json: &str, now: Moment) -> Result<(), StoreError> {
        self.keep("settings", json, now)
    }

    fn kept(&self, kind: &str) -> Result<Option<String>, StoreError> {
        const SQL: &str = "SELECT value FROM kept WHERE kind = ?1 ORDER BY number DESC LIMIT 1";
        Ok(self.connection().query_row(SQL, [kind], |row| row.get(0)).optional()?)
    }

    fn keep(&self, kind: &str, value: &str, now: Moment) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction.execute(
                "INSERT INTO kept (kind, since, value) VALUES (?1, ?2, ?3)",
                params![kind, now.0, value],
            )?;
            Ok(())
        })
    }
}

impl Way {
    const fn sql(self) -> &'static str {
        match self {
            Self::Back => LAST,
            Self::Again => NEXT,
        }
    }
}

fn damaged(what: &str) -> StoreError {
    StoreError::Damaged(format!("{what} of a blanket can't be read"))
}

fn blanket(connection: &Connection, id: BlanketId) -> Result<Blanket, StoreError> {
    let mut statement = connection.prepare(BLANKET)?;
    let mut rows = statement.query([id.0])?;
    let row = rows.next()?.ok_or(StoreError::NoSuchBlanket(id))?;
    let picture = match row.get::<_, Option<String>>(4)? {
        Some(name) => Some(PictureFacts { name, width: row.get(5)?, height: row.get(6)? }),
        None => None,
    };
    let cells = row.get_ref(14)?.as_blob().map_err(|_| damaged("the cells"))?;
    let palette = read_yarns(&row.get::<_, String>(13)?)?;
    let fabric = Fabric {
        chart: chart(palette, row.get(12)?, row.get(11)?, cells).ok_or_else(|| damaged("the chart"))?,
        gauge: gauge(row.get(8)?, row.get(9)?, row.get(10)?).ok_or_else(|| damaged("the gauge"))?,
        request: row.get(7)?,
    };
    Ok(Blanket {
        id,
        name: row.get(0)?,
        invented: row.get(1)?,
        revision: row.get(2)?,
        aside: row.get(3)?,
        picture,
        fabric,
        making: row.get(15)?,
        can_take_back: operation_name(connection, Way::Back, id)?,
        can_do_again: operation_name(connection, Way::Again, id)?,
    })
}

fn operation_name(connection: &Connection, way: Way, id: BlanketId) -> Result<Option<String>, StoreError> {
    Ok(connection.query_row(way.sql(), [id.0], |row| row.get(1)).optional()?)
}

fn operation_at(
    connection: &Connection,
    sql: &str,
    id: BlanketId,
) -> Result<Option<(i64, Operation)>, StoreError> {
    let read = |row: &Row<'_>| {
        Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get::<_, Vec<u8>>(3)?, row.get::<_, Vec<u8>>(4)?))
    };
    let Some((number, name, stroke, before, after)) = connection.query_row(sql, [id.0], read).optional()?
    else {
        return Ok(None);
    };
    let operation =
        Operation { name, stroke, before: Change::from_bytes(&before)?, after: Change::from_bytes(&after)? };
    Ok(Some((number, operation)))
}

/// Moves a blanket that is at `revision` to the next.
fn step_on(
    transaction: &Transaction<'_>,
    id: BlanketId,
    revision: u64,
    now: Moment,
) -> Result<u64, StoreError> {
    let found: u64 = transaction
        .query_row("SELECT revision FROM blankets WHERE id = ?1", [id.0], |row| row.get(0))
        .optional()?
        .ok_or(StoreError::NoSuchBlanket(id))?;
    if found != revision {
        return Err(StoreError::Stale { revision: found });
    }
    transaction.execute(
        "UPDATE blankets SET revision = ?2, changed = ?3 WHERE id = ?1",
        params![id.0, revision + 1, now.0],
    )?;
    Ok(revision + 1)
}

fn apply(transaction: &Transaction<'_>, id: BlanketId, change: &Change) -> Result<(), StoreError> {
    match change {
        Change::Cells(changes) => {
            let mut cells: Vec<u8> =
                transaction
                    .query_row("SELECT cells FROM blankets WHERE id = ?1", [id.0], |row| row.get(0))?;
            for &(at, entry) in changes {
                *cells.get_mut(at as usize).ok_or_else(|| damaged("an operation"))? = entry;
            }
            transaction.execute("UPDATE blankets SET cells = ?2 WHERE id = ?1", params![id.0, cells])?;
        }
        Change::Palette(yarns) => {
            transaction.execute(
                "UPDATE blankets SET palette = ?2 WHERE id = ?1",
                params![id.0, write_yarns(yarns)],
            )?;
        }
        Change::Name(name) => {
            transaction.execute("UPDATE blankets SET name = ?2 WHERE id = ?1", params![id.0, name])?;
        }
        Change::Making(making) => {
            transaction.execute("UPDATE blankets SET making = ?2 WHERE id = ?1", params![id.0, making])?;
        }
        Change::Fabric(fabric) => {
            let Fabric { chart, gauge, request } = &**fabric;
            transaction.execute(
                SET_FABRIC,
                named_params! {
                    ":id": id.0, ":request": request, ":gauge_stitches": gauge.stitches(),
                    ":gauge_rows": gauge.rows(), ":gauge_estimated": gauge.rows_estimated(),
                    ":columns": chart.columns(), ":rows": chart.rows(),
                    ":palette": write_yarns(chart.palette().yarns()), ":cells": cells_of(chart),
                },
            )?;
        }
    }
    Ok(())
}
