//! A visit as a whole: its stored text for exact copies, its way into another journal, and its deletion by its
//! owner's wish.
//!
//! Invariant: a visit comes or goes whole, in one commit; a forgotten one never comes back.

use jiff::Timestamp;
use rusqlite::{Connection, Transaction, params};
use uuid::Uuid;

use super::columns::{COLUMNS, Columns};
use super::mark::{self, Marked};
use super::seal::{self, Occasion, Seal};
use super::summary::Summary;
use super::{Fault, Journal, JournalError, kept_logs};
use crate::record::Record;
use crate::record::event::{Entry, Event};
use crate::record::row::{Row, StoredRow, entries_of_rows};

/// What stays of a visit that was deleted as a whole.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Tombstone {
    pub visit: Uuid,
    pub at: String,
    pub reason: String,
    pub entry_count: u64,
    pub last_hash: String,
}

impl Tombstone {
    pub(super) fn insert(&self, transaction: &Transaction<'_>) -> Result<(), rusqlite::Error> {
        transaction.execute(
            "INSERT INTO tombstone (visit, at, reason, entry_count, last_hash)
             VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                self.visit.to_string(),
                self.at,
                self.reason,
                self.entry_count as i64,
                self.last_hash
            ],
        )?;
        Ok(())
    }
}

impl Journal {
    /// The entries of a visit as stored text. Not checked: `entries` does that.
    pub fn rows(&self, visit: Uuid) -> Result<Vec<StoredRow>, JournalError> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM entry WHERE visit = ?1 ORDER BY number"
        ))?;
        let mut rows = statement.query([visit.to_string()])?;
        let mut stored = Vec::new();
        while let Some(row) = rows.next()? {
            let row = Row::from_columns(row).map_err(|why| JournalError::Damaged {
                visit,
                number: stored.len() as u64 + 1,
                why,
            })?;
            stored.push(StoredRow {
                number: row.number,
                at: row.at,
                monotonic_ms: row.monotonic_ms,
                heard: row.heard,
                supersedes: row.supersedes,
                event: row.event,
                hash: row.hash,
            });
        }
        Ok(stored)
    }

    /// Takes in a whole visit from elsewhere, row by row as it was stored there, in one commit.
    /// Refused where the visit is here already, was forgotten here, or its chain is broken. The seals that came with
    /// it are kept beside our own, which says only that it was taken in so.
    pub fn import(
        &mut self,
        visit: Uuid,
        rows: &[StoredRow],
        seals: &[Seal],
    ) -> Result<Vec<Entry>, JournalError> {
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
        for seal in seals {
            let at = usize::try_from(seal.number).unwrap_or(usize::MAX);
            let sealed = at.checked_sub(1).and_then(|at| rows.get(at));
            if seal.visit != visit
                || !seal.is_genuine()
                || sealed.map(|row| &row.hash) != Some(&seal.hash)
            {
                return Err(refused(
                    "a signature that came with it does not fit: it was changed after it was signed",
                ));
            }
        }
        if !self.rows(visit)?.is_empty() {
            return Err(refused("it is in this journal already"));
        }
        if self.tombstones()?.iter().any(|stone| stone.visit == visit) {
            return Err(refused("it was forgotten here by its owner's wish"));
        }
        let head = entries.last().map(|last| (last.number, last.hash.as_str()));
        let own = head.map(|head| {
            let now = Timestamp::now();
            match &self.key {
                Some(key) => key.seal(visit, head, now, Occasion::Import),
                None => seal::unsigned(visit, head, now, Occasion::Import),
            }
        });
        let record = Record::fold(&entries);
        let write = |connection: &mut Connection| -> rusqlite::Result<()> {
            let transaction = connection.transaction()?;
            let mut began = 0;
            for row in rows {
                row.row(visit).insert(&transaction)?;
                if began == 0 {
                    began = transaction.last_insert_rowid();
                }
            }
            if let Some(record) = &record {
                Summary::of(record, began).put(&transaction)?;
            }
            for seal in seals.iter().chain(&own) {
                seal.insert(&transaction)?;
            }
            transaction.commit()
        };
        self.require_file()
            .and_then(|()| Ok(write(&mut self.connection)?))
            .and_then(|()| self.require_file())
            .map_err(|why| self.failed_whole(why))?;
        let entries = self.entries(visit)?;
        self.mark.visit_count += 1;
        if let Some(last) = entries.last() {
            let (number, hash) = (last.number, last.hash.clone());
            self.saved(Marked {
                visit,
                number,
                hash,
                at: Some(last.at),
            });
        }
        self.tidy();
        Ok(entries)
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
            stone.insert(&transaction)?;
            transaction.execute("DELETE FROM entry WHERE visit = ?1", [visit.to_string()])?;
            transaction.execute("DELETE FROM summary WHERE visit = ?1", [visit.to_string()])?;
            transaction.commit()
        };
        self.require_file()
            .and_then(|()| Ok(delete(&mut self.connection)?))
            .and_then(|()| self.require_file())
            // The write-ahead log still holds the deleted text until it is cut.
            .and_then(|()| self.checkpoint("TRUNCATE"))
            .map_err(|why| self.failed_whole(why))?;
        // So may a log that was kept for salvage.
        for name in kept_logs(self.storage.as_ref()) {
            self.storage
                .remove(&name)
                .map_err(|why| JournalError::NotSaved {
                    why: format!("{name}: {why}"),
                    fault: Fault::of_io(&why),
                })?;
        }
        self.newest.remove(&visit);
        self.folded.remove(&visit);
        self.mark.forget(visit);
        Ok(stone)
    }

    /// Shuts the journal after a failed write that `reopen` need not answer for.
    fn failed_whole(&mut self, why: JournalError) -> JournalError {
        self.is_shut = true;
        why.into_not_saved().looked_into(|| self.storage.fault())
    }

    /// Remembers what was saved last, here and in the mark.
    pub(super) fn saved(&mut self, newest: Marked) {
        self.newest
            .insert(newest.visit, (newest.number, newest.hash.clone()));
        self.mark.add(newest);
        self.write_mark();
    }

    pub(super) fn write_mark(&mut self) {
        // Only a help to notice a lost end: the entries are durable without it.
        let _ = self.storage.overwrite(mark::FILE, &self.mark.to_bytes());
    }

    /// The signed heads of a visit, oldest first. Not checked: `verify` does that.
    pub fn seals(&self, visit: Uuid) -> Result<Vec<Seal>, JournalError> {
        Ok(seal::of_visit(&self.connection, &visit.to_string())?)
    }

    /// Visits deleted as a whole, oldest first.
    pub fn tombstones(&self) -> Result<Vec<Tombstone>, JournalError> {
        Ok(tombstones(&self.connection)?)
    }
}

pub(super) fn tombstones(connection: &Connection) -> Result<Vec<Tombstone>, rusqlite::Error> {
    let mut statement = connection.prepare_cached(
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
