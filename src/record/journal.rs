//! The journal: SQLite, append-only, synced before a commit returns. The only file that writes it.
//!
//! Invariants: within a visit, numbers run from 1 without gaps and each row's hash covers the row and the hash
//! before it; an entry is returned only after the commit that holds it returned, read back from the database.
//! After a failed write or sync the journal is shut to writing and must be opened afresh: what the file then
//! holds is the truth; the failed sync is never tried again.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::{Connection, OpenFlags, Transaction, params};
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::event::{Draft, Entry, Event, FORMAT, Heard};
use crate::clock::Now;

/// File name of the journal in the data folder.
pub const FILE: &str = "journal.sqlite";
/// Held by the one program that writes.
const LOCK_FILE: &str = "writer.lock";
/// "sulc": tells our files from other SQLite files.
const APPLICATION_ID: i32 = 0x7375_6c63;

const SCHEMA: &str = "
CREATE TABLE entry (
    visit TEXT NOT NULL,
    number INTEGER NOT NULL,
    at TEXT NOT NULL,
    monotonic_ms INTEGER NOT NULL,
    heard TEXT,
    supersedes TEXT NOT NULL,
    event TEXT NOT NULL,
    hash TEXT NOT NULL,
    PRIMARY KEY (visit, number)
) STRICT;
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END;
CREATE TABLE tombstone (
    visit TEXT PRIMARY KEY,
    at TEXT NOT NULL,
    reason TEXT NOT NULL,
    entry_count INTEGER NOT NULL,
    last_hash TEXT NOT NULL
) STRICT;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
    WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE visit = OLD.visit)
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END;
CREATE TRIGGER entry_is_never_reborn BEFORE INSERT ON entry
    WHEN EXISTS (SELECT 1 FROM tombstone WHERE visit = NEW.visit)
    BEGIN SELECT RAISE(ABORT, 'this visit was forgotten'); END;
";

/// What can fail with the journal, and what to do.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// Ask the person: the folder cannot be made or used.
    #[error("cannot use the data folder {folder}: {why}; give another with --data DIR")]
    Folder { folder: String, why: String },
    /// Ask the person: another program holds it.
    #[error(
        "another sulcus is writing in {folder} (process {process}); end it, or give another folder with --data DIR"
    )]
    Busy { folder: String, process: String },
    /// Stop: written by a newer program, or not ours.
    #[error("{file} cannot be read by this program: {why}")]
    Foreign { file: String, why: String },
    /// Reconnect: nothing of this append counts as saved until the journal was opened afresh.
    #[error(
        "not saved: {why}; free space or check the disk, then start again: what was confirmed before is kept"
    )]
    NotSaved { why: String },
    /// Reconnect: an earlier write failed.
    #[error("the journal is shut after a failed write; open it afresh")]
    Shut,
    /// Stop: damage before the last entry. Nothing is changed.
    #[error("the journal is damaged in visit {visit} at entry {number}: {why}; run sulcus verify")]
    Damaged {
        visit: Uuid,
        number: u64,
        why: String,
    },
    /// Wrong request: nothing was changed.
    #[error("visit {visit} cannot be taken in: {why}")]
    Refused { visit: Uuid, why: String },
    /// Retry or stop: reading failed.
    #[error("cannot read the journal: {0}")]
    Read(#[from] rusqlite::Error),
}

/// One line of the list of visits.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitLine {
    pub visit: Uuid,
    pub opened_at: Timestamp,
    pub entry_count: u64,
}

/// An entry as the text that is stored and hashed: for an outside check of the chain and for exact copies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredRow {
    pub number: u64,
    pub at: String,
    pub monotonic_ms: u64,
    pub heard: Option<String>,
    pub supersedes: String,
    pub event: String,
    pub hash: String,
}

/// What stays of a visit that was deleted as a whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tombstone {
    pub visit: Uuid,
    pub at: String,
    pub reason: String,
    pub entry_count: u64,
    pub last_hash: String,
}

/// The entries of stored rows; refuses a gap, a hash that does not fit and text that is no entry.
pub fn entries_of_rows(visit: Uuid, rows: &[StoredRow]) -> Result<Vec<Entry>, JournalError> {
    let mut before = String::new();
    let mut entries = Vec::with_capacity(rows.len());
    for (stored, expected) in rows.iter().zip(1..) {
        let damaged = |why: &str| JournalError::Damaged {
            visit,
            number: expected,
            why: why.to_owned(),
        };
        if stored.number != expected {
            return Err(damaged("an entry is missing"));
        }
        let row = Row {
            visit: visit.to_string(),
            number: stored.number,
            at: stored.at.clone(),
            monotonic_ms: stored.monotonic_ms,
            heard: stored.heard.clone(),
            supersedes: stored.supersedes.clone(),
            event: stored.event.clone(),
        };
        if row.hash(&before) != stored.hash {
            return Err(damaged("its hash does not fit"));
        }
        before.clone_from(&stored.hash);
        entries.push(
            row.entry(visit, stored.hash.clone())
                .map_err(|why| damaged(&why))?,
        );
    }
    Ok(entries)
}

/// The journal, open for writing or only for reading.
#[derive(Debug)]
pub struct Journal {
    connection: Connection,
    folder: PathBuf,
    is_writer: bool,
    is_shut: bool,
    /// Kept open: the lock ends with it.
    _lock: Option<File>,
}

impl Journal {
    /// Opens the journal of a data folder for writing; makes both where they are missing.
    pub fn open(folder: &Path) -> Result<Self, JournalError> {
        let trouble = |why: &dyn std::fmt::Display| JournalError::Folder {
            folder: folder.display().to_string(),
            why: why.to_string(),
        };
        make_private_folder(folder).map_err(|why| trouble(&why))?;
        let lock = lock(folder)?;
        let file = folder.join(FILE);
        let connection = Connection::open(&file).map_err(|why| trouble(&why))?;
        make_private(&file).map_err(|why| trouble(&why))?;
        let mut journal = Self {
            connection,
            folder: folder.to_owned(),
            is_writer: true,
            is_shut: false,
            _lock: Some(lock),
        };
        journal.prepare().map_err(|error| match error {
            JournalError::Read(why) => trouble(&why),
            other => other,
        })?;
        Ok(journal)
    }

    /// Opens it for reading only: beside a writer, never in its way.
    pub fn open_reader(folder: &Path) -> Result<Self, JournalError> {
        let file = folder.join(FILE);
        if !file.exists() {
            return Err(JournalError::Folder {
                folder: folder.display().to_string(),
                why: "it holds no visits yet".into(),
            });
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        // A reader of a WAL database needs to write the shared-memory index, not the database.
        let connection = Connection::open_with_flags(&file, flags)?;
        connection.pragma_update(None, "query_only", true)?;
        let journal = Self {
            connection,
            folder: folder.to_owned(),
            is_writer: false,
            is_shut: false,
            _lock: None,
        };
        journal.check_format()?;
        Ok(journal)
    }

    fn prepare(&mut self) -> Result<(), JournalError> {
        self.connection
            .busy_timeout(std::time::Duration::from_secs(5))?;
        self.connection.pragma_update(None, "journal_mode", "WAL")?;
        // FULL: the write-ahead log is synced at each commit, so that a commit survives a power cut.
        self.connection.pragma_update(None, "synchronous", "FULL")?;
        let level: i64 = self
            .connection
            .pragma_query_value(None, "synchronous", |row| row.get(0))?;
        if level != 2 {
            return Err(JournalError::NotSaved {
                why: format!("the database refuses full syncing (level {level})"),
            });
        }
        let fresh: bool =
            self.connection
                .query_row("SELECT count(*) = 0 FROM sqlite_schema", [], |row| {
                    row.get(0)
                })?;
        if fresh {
            let transaction = self.connection.transaction()?;
            transaction.execute_batch(SCHEMA)?;
            transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
            transaction.pragma_update(None, "user_version", FORMAT)?;
            transaction.commit()?;
            // The new file's name must survive a power cut too.
            if let Ok(folder) = File::open(&self.folder) {
                let _ = folder.sync_all();
            }
        }
        self.check_format()
    }

    fn check_format(&self) -> Result<(), JournalError> {
        let foreign = |why: String| JournalError::Foreign {
            file: self.folder.join(FILE).display().to_string(),
            why,
        };
        let id: i32 = self
            .connection
            .pragma_query_value(None, "application_id", |row| row.get(0))
            .map_err(|why| foreign(why.to_string()))?;
        if id != APPLICATION_ID {
            return Err(foreign("it is no journal of sulcus".into()));
        }
        let format: u32 = self
            .connection
            .pragma_query_value(None, "user_version", |row| row.get(0))?;
        if format > FORMAT {
            return Err(foreign(format!(
                "its format is {format}, this program knows up to {FORMAT}; use the newer program"
            )));
        }
        Ok(())
    }

    /// Appends all drafts in one commit and returns them as they stand in the database.
    /// On an error nothing of it may be told as saved, and the journal is shut.
    pub fn append(
        &mut self,
        visit: Uuid,
        drafts: &[Draft],
        now: Now,
    ) -> Result<Vec<Entry>, JournalError> {
        if self.is_shut || !self.is_writer {
            return Err(JournalError::Shut);
        }
        if drafts.is_empty() {
            return Ok(Vec::new());
        }
        match self.write(visit, drafts, now) {
            Ok(first) => self.read(visit, first),
            Err(error) => {
                self.is_shut = true;
                Err(match error {
                    JournalError::Read(why) => JournalError::NotSaved {
                        why: why.to_string(),
                    },
                    other => other,
                })
            }
        }
    }

    fn write(&mut self, visit: Uuid, drafts: &[Draft], now: Now) -> Result<u64, JournalError> {
        let transaction = self.connection.transaction()?;
        let (mut number, mut hash) = newest(&transaction, visit)?;
        let first = number + 1;
        for draft in drafts {
            number += 1;
            let row = Row::new(visit, number, now, draft)?;
            hash = row.hash(&hash);
            transaction.execute(
                "INSERT INTO entry (visit, number, at, monotonic_ms, heard, supersedes, event, hash)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                params![row.visit, row.number as i64, row.at, row.monotonic_ms as i64, row.heard, row.supersedes, row.event, hash],
            )?;
        }
        transaction.commit()?;
        Ok(first)
    }

    /// All entries of a visit; every hash is checked on the way.
    pub fn entries(&self, visit: Uuid) -> Result<Vec<Entry>, JournalError> {
        self.read(visit, 1)
    }

    fn read(&self, visit: Uuid, from: u64) -> Result<Vec<Entry>, JournalError> {
        let mut before: String = if from > 1 {
            self.connection.query_row(
                "SELECT hash FROM entry WHERE visit = ?1 AND number = ?2",
                params![visit.to_string(), (from - 1) as i64],
                |row| row.get(0),
            )?
        } else {
            String::new()
        };
        let mut statement = self.connection.prepare_cached(
            "SELECT number, at, monotonic_ms, heard, supersedes, event, hash FROM entry
             WHERE visit = ?1 AND number >= ?2 ORDER BY number",
        )?;
        let mut rows = statement.query(params![visit.to_string(), from as i64])?;
        let mut entries = Vec::new();
        let mut expected = from;
        while let Some(row) = rows.next()? {
            let stored = Row {
                visit: visit.to_string(),
                number: row.get::<_, i64>(0)? as u64,
                at: row.get(1)?,
                monotonic_ms: row.get::<_, i64>(2)? as u64,
                heard: row.get(3)?,
                supersedes: row.get(4)?,
                event: row.get(5)?,
            };
            let hash: String = row.get(6)?;
            let damaged = |why: &str| JournalError::Damaged {
                visit,
                number: expected,
                why: why.to_owned(),
            };
            if stored.number != expected {
                return Err(damaged("an entry is missing"));
            }
            if stored.hash(&before) != hash {
                return Err(damaged("its hash does not fit"));
            }
            entries.push(
                stored
                    .entry(visit, hash.clone())
                    .map_err(|why| damaged(&why))?,
            );
            before = hash;
            expected += 1;
        }
        Ok(entries)
    }

    /// The entries of a visit as stored text. Not checked: `entries` does that.
    pub fn rows(&self, visit: Uuid) -> Result<Vec<StoredRow>, JournalError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT number, at, monotonic_ms, heard, supersedes, event, hash FROM entry
             WHERE visit = ?1 ORDER BY number",
        )?;
        let rows = statement.query_map([visit.to_string()], |row| {
            Ok(StoredRow {
                number: row.get::<_, i64>(0)? as u64,
                at: row.get(1)?,
                monotonic_ms: row.get::<_, i64>(2)? as u64,
                heard: row.get(3)?,
                supersedes: row.get(4)?,
                event: row.get(5)?,
                hash: row.get(6)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Takes in a whole visit from elsewhere, row by row as it was stored there, in one commit.
    /// Refused where the visit is here already, was forgotten here, or its chain is broken.
    pub fn import(&mut self, visit: Uuid, rows: &[StoredRow]) -> Result<Vec<Entry>, JournalError> {
        if self.is_shut || !self.is_writer {
            return Err(JournalError::Shut);
        }
        let refused = |why: &str| JournalError::Refused {
            visit,
            why: why.to_owned(),
        };
        let entries = entries_of_rows(visit, rows)?;
        if !matches!(
            entries.first().map(|entry| &entry.event),
            Some(Event::VisitOpened { .. })
        ) {
            return Err(refused("it does not begin with the opening of a visit"));
        }
        if !self.rows(visit)?.is_empty() {
            return Err(refused("it is in this journal already"));
        }
        if self.tombstones()?.iter().any(|stone| stone.visit == visit) {
            return Err(refused("it was forgotten here by its owner's wish"));
        }
        self.write_rows(visit, rows).inspect_err(|_| {
            self.is_shut = true;
        })?;
        self.entries(visit)
    }

    fn write_rows(&mut self, visit: Uuid, rows: &[StoredRow]) -> Result<(), JournalError> {
        let write = |connection: &mut Connection| -> rusqlite::Result<()> {
            let transaction = connection.transaction()?;
            for row in rows {
                transaction.execute(
                    "INSERT INTO entry (visit, number, at, monotonic_ms, heard, supersedes, event, hash)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                    params![visit.to_string(), row.number as i64, row.at, row.monotonic_ms as i64, row.heard, row.supersedes, row.event, row.hash],
                )?;
            }
            transaction.commit()
        };
        write(&mut self.connection).map_err(|why| JournalError::NotSaved {
            why: why.to_string(),
        })
    }

    /// Deletes a visit as a whole and leaves a tombstone: when, why, how many entries, the last hash.
    /// The bytes are overwritten in the file; copies elsewhere are not reached.
    pub fn forget(
        &mut self,
        visit: Uuid,
        reason: &str,
        at: Timestamp,
    ) -> Result<Tombstone, JournalError> {
        if self.is_shut || !self.is_writer {
            return Err(JournalError::Shut);
        }
        let rows = self.rows(visit)?;
        let Some(last) = rows.last() else {
            return Err(JournalError::Refused {
                visit,
                why: "it is not in this journal".into(),
            });
        };
        let stone = Tombstone {
            visit,
            at: at.to_string(),
            reason: reason.to_owned(),
            entry_count: rows.len() as u64,
            last_hash: last.hash.clone(),
        };
        let delete = |connection: &mut Connection| -> rusqlite::Result<()> {
            connection.pragma_update(None, "secure_delete", true)?;
            let transaction = connection.transaction()?;
            transaction.execute(
                "INSERT INTO tombstone (visit, at, reason, entry_count, last_hash) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![visit.to_string(), stone.at, stone.reason, stone.entry_count as i64, stone.last_hash],
            )?;
            transaction.execute("DELETE FROM entry WHERE visit = ?1", [visit.to_string()])?;
            transaction.commit()?;
            // The write-ahead log still holds the deleted text until it is cut.
            connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
        };
        delete(&mut self.connection).map_err(|why| {
            self.is_shut = true;
            JournalError::NotSaved {
                why: why.to_string(),
            }
        })?;
        Ok(stone)
    }

    /// Visits deleted as a whole, oldest first.
    pub fn tombstones(&self) -> Result<Vec<Tombstone>, JournalError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT visit, at, reason, entry_count, last_hash FROM tombstone ORDER BY at, visit",
        )?;
        let rows = statement.query_map([], |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get(1)?,
                row.get(2)?,
                row.get::<_, i64>(3)?,
                row.get(4)?,
            ))
        })?;
        let mut stones = Vec::new();
        for row in rows {
            let (visit, at, reason, entry_count, last_hash) = row?;
            let Ok(visit) = visit.parse() else { continue };
            stones.push(Tombstone {
                visit,
                at,
                reason,
                entry_count: entry_count as u64,
                last_hash,
            });
        }
        Ok(stones)
    }

    /// All visits, newest first.
    pub fn visits(&self) -> Result<Vec<VisitLine>, JournalError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT visit, min(at), count(*) FROM entry GROUP BY visit ORDER BY min(at) DESC, visit",
        )?;
        let mut lines = Vec::new();
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (visit, at, count): (String, String, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
            let (Ok(visit), Ok(opened_at)) = (visit.parse(), at.parse()) else {
                continue;
            };
            lines.push(VisitLine {
                visit,
                opened_at,
                entry_count: count as u64,
            });
        }
        Ok(lines)
    }

    pub fn folder(&self) -> &Path {
        &self.folder
    }
}

/// A row as text, exactly as it is stored and hashed.
struct Row {
    visit: String,
    number: u64,
    at: String,
    monotonic_ms: u64,
    heard: Option<String>,
    supersedes: String,
    event: String,
}

impl Row {
    fn new(visit: Uuid, number: u64, now: Now, draft: &Draft) -> Result<Self, JournalError> {
        let text = |value: Result<String, serde_json::Error>| {
            value.map_err(|why| JournalError::NotSaved {
                why: why.to_string(),
            })
        };
        Ok(Self {
            visit: visit.to_string(),
            number,
            at: now.at.to_string(),
            monotonic_ms: now.monotonic_ms,
            heard: draft
                .heard
                .as_ref()
                .map(|heard| text(serde_json::to_string(heard)))
                .transpose()?,
            supersedes: text(serde_json::to_string(&draft.supersedes))?,
            event: text(serde_json::to_string(&draft.event))?,
        })
    }

    /// Each field with its length before it, so that no two rows give the same bytes.
    fn hash(&self, before: &str) -> String {
        let mut digest = Sha256::new();
        let number = self.number.to_string();
        let monotonic_ms = self.monotonic_ms.to_string();
        for field in [
            before,
            &self.visit,
            &number,
            &self.at,
            &monotonic_ms,
            self.heard.as_deref().unwrap_or(""),
            &self.supersedes,
            &self.event,
        ] {
            digest.update((field.len() as u64).to_le_bytes());
            digest.update(field.as_bytes());
        }
        digest
            .finalize()
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect()
    }

    fn entry(&self, visit: Uuid, hash: String) -> Result<Entry, String> {
        let event: Event = serde_json::from_str(&self.event)
            .map_err(|why| format!("its event cannot be read ({why})"))?;
        let heard: Option<Heard> = self
            .heard
            .as_deref()
            .map(serde_json::from_str)
            .transpose()
            .map_err(|why| format!("its heard words cannot be read ({why})"))?;
        Ok(Entry {
            visit,
            number: self.number,
            at: self
                .at
                .parse()
                .map_err(|why| format!("its time cannot be read ({why})"))?,
            monotonic_ms: self.monotonic_ms,
            heard,
            supersedes: serde_json::from_str(&self.supersedes)
                .map_err(|why| format!("it cannot be read ({why})"))?,
            event,
            hash,
        })
    }
}

/// Number and hash of a visit's newest entry; 0 and nothing for a new visit.
fn newest(transaction: &Transaction<'_>, visit: Uuid) -> Result<(u64, String), JournalError> {
    let row = transaction.query_row(
        "SELECT number, hash FROM entry WHERE visit = ?1 ORDER BY number DESC LIMIT 1",
        [visit.to_string()],
        |row| Ok((row.get::<_, i64>(0)? as u64, row.get(1)?)),
    );
    match row {
        Ok(newest) => Ok(newest),
        Err(rusqlite::Error::QueryReturnedNoRows) => Ok((0, String::new())),
        Err(why) => Err(why.into()),
    }
}

fn lock(folder: &Path) -> Result<File, JournalError> {
    let path = folder.join(LOCK_FILE);
    let trouble = |why: &dyn std::fmt::Display| JournalError::Folder {
        folder: folder.display().to_string(),
        why: why.to_string(),
    };
    let file = File::options()
        .read(true)
        .write(true)
        .create(true)
        .truncate(false)
        .open(&path)
        .map_err(|why| trouble(&why))?;
    match file.try_lock() {
        Ok(()) => {
            make_private(&path).map_err(|why| trouble(&why))?;
            // Only for the message of the second program; the lock itself is the file system's.
            let _ = fs::write(&path, std::process::id().to_string());
            Ok(file)
        }
        Err(fs::TryLockError::WouldBlock) => Err(JournalError::Busy {
            folder: folder.display().to_string(),
            process: fs::read_to_string(&path)
                .unwrap_or_default()
                .trim()
                .to_owned(),
        }),
        Err(fs::TryLockError::Error(why)) => Err(trouble(&why)),
    }
}

/// Health data of somebody's animal: for the owner of the account only.
fn make_private_folder(folder: &Path) -> std::io::Result<()> {
    fs::create_dir_all(folder)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(folder, fs::Permissions::from_mode(0o700))?;
    }
    Ok(())
}

fn make_private(file: &Path) -> std::io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(file, fs::Permissions::from_mode(0o600))?;
    }
    Ok(())
}
