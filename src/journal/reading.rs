//! Entries and visits out of the journal.
//!
//! Invariant: what is returned was proven by its hash and its number; otherwise an error is.

use jiff::Timestamp;
use rusqlite::params;
use uuid::Uuid;

use super::columns::{COLUMNS, Columns};
use super::{Journal, JournalError};
use crate::record::event::Entry;
use crate::record::row::Row;

/// One line of the list of visits.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitLine {
    pub visit: Uuid,
    pub opened_at: Timestamp,
    pub entry_count: u64,
}

impl Journal {
    /// All entries of a visit; every hash is checked on the way.
    pub fn entries(&self, visit: Uuid) -> Result<Vec<Entry>, JournalError> {
        self.read(visit, 1)
    }

    pub(super) fn read(&self, visit: Uuid, from: u64) -> Result<Vec<Entry>, JournalError> {
        let mut before: String = match self.newest.get(&visit) {
            _ if from <= 1 => String::new(),
            // The proven hash, rather than what the file says of itself.
            Some((number, hash)) if number + 1 == from => hash.clone(),
            _ => self.connection.query_row(
                "SELECT hash FROM entry WHERE visit = ?1 AND number = ?2",
                params![visit.to_string(), (from - 1) as i64],
                |row| row.get(0),
            )?,
        };
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM entry WHERE visit = ?1 AND number >= ?2 ORDER BY number"
        ))?;
        let mut rows = statement.query(params![visit.to_string(), from as i64])?;
        let mut entries = Vec::new();
        let mut expected = from;
        while let Some(row) = rows.next()? {
            let damaged = |why: String| JournalError::Damaged {
                visit,
                number: expected,
                why,
            };
            let row = Row::from_columns(row).map_err(damaged)?;
            if row.number != expected {
                return Err(damaged("an entry is missing".into()));
            }
            if row.hash_after(&before) != row.hash {
                return Err(damaged("its hash does not fit".into()));
            }
            before.clone_from(&row.hash);
            entries.push(row.entry(visit).map_err(damaged)?);
            expected += 1;
        }
        Ok(entries)
    }

    /// All visits, newest first: in the order in which they were begun, whatever the clock said.
    pub fn visits(&self) -> Result<Vec<VisitLine>, JournalError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT visit, at, (SELECT max(number) FROM entry WHERE visit = first.visit)
             FROM entry AS first WHERE number = 1 ORDER BY rowid DESC",
        )?;
        let mut lines = Vec::new();
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let (visit, at, count): (String, String, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
            // A row that is none of ours is for `verify` to tell.
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
}
