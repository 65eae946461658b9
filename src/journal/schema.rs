//! The tables, the triggers that let them only grow, and the marks by which a file is known as ours.
//!
//! Invariant: no statement of a connection that keeps the triggers can change or remove a row, nor leave a gap,
//! but for a visit that goes as a whole and leaves its tombstone.
//! Somebody who drops the triggers can; `verify` then tells it.

use rusqlite::{Connection, ErrorCode, Transaction, ffi};

use super::error::JournalError;
use crate::record::event::FORMAT;

/// "sulc": tells our files from other SQLite files.
pub const APPLICATION_ID: i32 = 0x7375_6c63;

/// Objects of a whole journal, in the order of their making. One text each, so that `verify` can compare them.
pub const OBJECTS: [&str; 9] = [
    "CREATE TABLE entry (
    visit TEXT NOT NULL,
    number INTEGER NOT NULL,
    at TEXT NOT NULL,
    monotonic_ms INTEGER NOT NULL,
    heard TEXT,
    supersedes TEXT NOT NULL,
    event TEXT NOT NULL,
    hash TEXT NOT NULL,
    PRIMARY KEY (visit, number)
) STRICT",
    "CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    // What stays of a visit that was deleted as a whole, by its owner's wish.
    "CREATE TABLE tombstone (
    visit TEXT PRIMARY KEY,
    at TEXT NOT NULL,
    reason TEXT NOT NULL,
    entry_count INTEGER NOT NULL,
    last_hash TEXT NOT NULL
) STRICT, WITHOUT ROWID",
    "CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
    WHEN NOT EXISTS (SELECT 1 FROM tombstone WHERE visit = OLD.visit)
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    "CREATE TRIGGER tombstone_is_never_changed BEFORE UPDATE ON tombstone
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    "CREATE TRIGGER tombstone_is_never_deleted BEFORE DELETE ON tombstone
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    // REPLACE again: a stone stays as it was set.
    "CREATE TRIGGER tombstone_is_set_once BEFORE INSERT ON tombstone
    WHEN EXISTS (SELECT 1 FROM tombstone WHERE visit = NEW.visit)
    BEGIN SELECT RAISE(ABORT, 'this visit was forgotten'); END",
    "CREATE TRIGGER entry_is_never_reborn BEFORE INSERT ON entry
    WHEN EXISTS (SELECT 1 FROM tombstone WHERE visit = NEW.visit)
    BEGIN SELECT RAISE(ABORT, 'this visit was forgotten'); END",
    // REPLACE removes the old row without any delete trigger: so a taken number or row is refused before.
    "CREATE TRIGGER entry_follows_the_last BEFORE INSERT ON entry
    WHEN NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM entry WHERE visit = NEW.visit)
        OR EXISTS (SELECT 1 FROM entry WHERE rowid = NEW.rowid)
    BEGIN SELECT RAISE(ABORT, 'the journal only grows, without gaps'); END",
];

/// What format 2 added: signed heads, visits lost whole, and summaries.
pub const OBJECTS_SINCE_2: [&str; 10] = [
    // The clinic's signature under the head of a visit as it stood at that time. `number` 0: nothing was there.
    "CREATE TABLE seal (
    visit TEXT NOT NULL,
    number INTEGER NOT NULL,
    hash TEXT NOT NULL,
    at TEXT NOT NULL,
    occasion TEXT NOT NULL,
    key TEXT NOT NULL,
    signature TEXT NOT NULL
) STRICT",
    "CREATE INDEX seal_by_visit ON seal (visit, number)",
    "CREATE TRIGGER seal_is_never_changed BEFORE UPDATE ON seal
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    "CREATE TRIGGER seal_is_never_deleted BEFORE DELETE ON seal
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    // A visit of which the disk left nothing that an entry could be added to. `visit` is empty for visits that the
    // mark counted and did not name.
    "CREATE TABLE lost_visit (
    visit TEXT NOT NULL,
    visit_count INTEGER NOT NULL,
    first INTEGER NOT NULL,
    last INTEGER NOT NULL,
    hash TEXT NOT NULL,
    until TEXT,
    found_at TEXT NOT NULL,
    remains TEXT
) STRICT",
    "CREATE TRIGGER lost_visit_is_never_changed BEFORE UPDATE ON lost_visit
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    "CREATE TRIGGER lost_visit_is_never_deleted BEFORE DELETE ON lost_visit
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END",
    // Made from the entries, and made again where in doubt: so it may change. `began` is the row of the visit's first
    // entry.
    "CREATE TABLE summary (
    began INTEGER PRIMARY KEY,
    visit TEXT NOT NULL UNIQUE,
    opened_at TEXT,
    finished_at TEXT,
    state TEXT NOT NULL,
    patient TEXT NOT NULL,
    patient_key TEXT,
    patient_id TEXT,
    search TEXT NOT NULL,
    entry_count INTEGER NOT NULL,
    head_hash TEXT NOT NULL,
    value_count INTEGER NOT NULL,
    confirmed_count INTEGER NOT NULL,
    lost_count INTEGER NOT NULL
) STRICT",
    "CREATE INDEX summary_by_patient ON summary (patient_key)",
    "CREATE INDEX summary_by_patient_id ON summary (patient_id)",
];

/// A table in the same file that belongs to another module, and holds nothing that a record is made of.
pub const GUEST: &str = "outbox";

/// Makes the tables in a new file, in one commit.
pub fn make(connection: &mut Connection) -> Result<(), JournalError> {
    let transaction = connection.transaction()?;
    for object in OBJECTS.iter().chain(&OBJECTS_SINCE_2) {
        transaction.execute_batch(object)?;
    }
    transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    transaction.pragma_update(None, "user_version", FORMAT)?;
    transaction.commit()?;
    Ok(())
}

/// Format of the file.
pub fn format(connection: &Connection) -> Result<u32, rusqlite::Error> {
    connection.pragma_query_value(None, "user_version", |row| row.get(0))
}

/// Adds what the newest format has more, within the caller's transaction.
pub fn upgrade(transaction: &Transaction<'_>) -> Result<(), rusqlite::Error> {
    for object in OBJECTS_SINCE_2 {
        transaction.execute_batch(object)?;
    }
    transaction.pragma_update(None, "user_version", FORMAT)
}

/// Whether nothing was ever made in this file.
pub fn is_missing(connection: &Connection) -> Result<bool, rusqlite::Error> {
    connection.query_row("SELECT count(*) = 0 FROM sqlite_schema", [], |row| {
        row.get(0)
    })
}

/// Whether the file is ours and of a format that this program knows. The text says why not.
pub fn check_format(connection: &Connection) -> Result<Option<String>, rusqlite::Error> {
    let id: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    if id != APPLICATION_ID {
        return Ok(Some("it is no journal of sulcus".into()));
    }
    let format = format(connection)?;
    if format > FORMAT {
        return Ok(Some(format!(
            "its format is {format}, this program knows up to {FORMAT}; use the newer program"
        )));
    }
    if format == 0 {
        return Ok(Some("it has no format".into()));
    }
    Ok(None)
}

/// What differs from the tables and triggers that belong here.
pub fn differences(connection: &Connection) -> Result<Vec<String>, rusqlite::Error> {
    let mut statement =
        connection.prepare("SELECT name, coalesce(sql, '') FROM sqlite_schema ORDER BY rowid")?;
    let found = statement
        .query_map([], |row| {
            Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?))
        })?
        .collect::<Result<Vec<_>, _>>()?;
    let mut differences = Vec::new();
    let added: &[&str] = if format(connection)? < 2 {
        &[]
    } else {
        &OBJECTS_SINCE_2
    };
    for object in OBJECTS.iter().chain(added) {
        let name = object.split_whitespace().nth(2).unwrap_or_default();
        match found.iter().find(|(found, _)| found == name) {
            None => differences.push(format!("{name} is missing: the file was altered")),
            Some((_, sql)) if sql != *object => {
                differences.push(format!("{name} is not as this program made it"));
            }
            Some(_) => {}
        }
    }
    for (name, sql) in &found {
        // The index of the primary key has no text.
        if !sql.is_empty() && name != GUEST && !names_ours(name) {
            differences.push(format!("{name} does not belong here"));
        }
    }
    Ok(differences)
}

fn names_ours(name: &str) -> bool {
    OBJECTS
        .iter()
        .chain(&OBJECTS_SINCE_2)
        .any(|object| object.split_whitespace().nth(2) == Some(name))
}

/// What SQLite itself finds wrong with the file; empty where nothing. An error where it could not be read.
pub fn integrity(connection: &Connection) -> Result<Vec<String>, rusqlite::Error> {
    let mut statement = connection.prepare("PRAGMA integrity_check(10)")?;
    let texts = statement
        .query_map([], |row| row.get::<_, String>(0))?
        .collect::<Result<Vec<_>, _>>()?;
    let lines: Vec<String> = texts
        .iter()
        .flat_map(|text| text.lines())
        .filter(|line| *line != "ok" && !line.starts_with("***"))
        .map(str::to_owned)
        .collect();
    match lines.iter().find_map(|line| failure_of_reading(line)) {
        Some(why) => Err(why),
        None => Ok(lines),
    }
}

/// A page that could not be read is told among the damages, but may be read the next time.
fn failure_of_reading(line: &str) -> Option<rusqlite::Error> {
    let (_, code) = line.split_once("error code=")?;
    let why = ffi::Error::new(code.trim().parse().ok()?);
    (why.code == ErrorCode::SystemIoFailure)
        .then(|| rusqlite::Error::SqliteFailure(why, Some(line.to_owned())))
}
