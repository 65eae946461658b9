//! Entries and visits out of the journal.
//!
//! Invariant: what is returned was proven by its hash and its number; otherwise an error is.

use std::collections::BTreeMap;

use jiff::Timestamp;
use rusqlite::{ErrorCode, params};
use uuid::Uuid;

use super::columns::{COLUMNS, Columns};
use super::{Journal, JournalError, summary};
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
        // A second witness beside the entries: a broken index hides the end of a visit without a gap.
        let head = if from <= 1 && summary::is_kept(&self.connection)? {
            summary::head(&self.connection, visit)?
        } else {
            None
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
        // The summary was read before the entries, and those only grow.
        if let Some((count, hash)) = head {
            let at = usize::try_from(count).unwrap_or(usize::MAX);
            let newest = at.checked_sub(1).and_then(|at| entries.get(at));
            if newest.map(|entry| &entry.hash) != Some(&hash) {
                return Err(JournalError::Damaged {
                    visit,
                    number: expected,
                    why: format!("its end is missing: {count} entries had been saved"),
                });
            }
        }
        Ok(entries)
    }

    /// All visits, newest first: in the order in which they were begun, whatever the clock said. Where the file is
    /// damaged, those that can still be found; [`Journal::damage`] then tells it.
    pub fn visits(&self) -> Result<Vec<VisitLine>, JournalError> {
        let found = self.visit_lines();
        match found {
            Err(JournalError::Read(why)) if !self.is_writer && is_damage(&why) => {
                let why = why.to_string();
                let mut damage = self.damage.borrow_mut();
                if !damage.contains(&why) {
                    damage.push(why);
                }
                Ok(self.visits_of_damaged())
            }
            other => other,
        }
    }

    fn visit_lines(&self) -> Result<Vec<VisitLine>, JournalError> {
        if summary::is_kept(&self.connection)? {
            let mut statement = self.connection.prepare_cached(
                "SELECT visit, opened_at, entry_count FROM summary ORDER BY began DESC",
            )?;
            let mut rows = statement.query([])?;
            let mut lines = Vec::new();
            while let Some(row) = rows.next()? {
                lines.extend(line(row)?);
            }
            return Ok(lines);
        }
        let mut statement = self.connection.prepare_cached(
            "SELECT visit, at, (SELECT max(number) FROM entry WHERE visit = first.visit)
             FROM entry AS first WHERE number = 1 ORDER BY rowid DESC",
        )?;
        let mut lines = Vec::new();
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            lines.extend(line(row)?);
        }
        Ok(lines)
    }

    /// Asked from both ends and by both ways, each as far as it goes: what one broken page hides another way shows.
    fn visits_of_damaged(&self) -> Vec<VisitLine> {
        let mut found: BTreeMap<Uuid, (i64, VisitLine)> = BTreeMap::new();
        for (order, table) in [
            (
                "DESC",
                "SELECT visit, coalesce(opened_at, ''), entry_count, began FROM summary ORDER BY began",
            ),
            (
                "ASC",
                "SELECT visit, coalesce(opened_at, ''), entry_count, began FROM summary ORDER BY began",
            ),
            (
                "DESC",
                "SELECT visit, at, 1, rowid FROM entry NOT INDEXED WHERE number = 1 ORDER BY rowid",
            ),
            (
                "ASC",
                "SELECT visit, at, 1, rowid FROM entry NOT INDEXED WHERE number = 1 ORDER BY rowid",
            ),
        ] {
            let Ok(mut statement) = self.connection.prepare(&format!("{table} {order}")) else {
                continue;
            };
            let Ok(mut rows) = statement.query([]) else {
                continue;
            };
            while let Ok(Some(row)) = rows.next() {
                let Ok(began) = row.get::<_, i64>(3) else {
                    continue;
                };
                if let Ok(Some(line)) = line(row) {
                    found.entry(line.visit).or_insert((began, line));
                }
            }
        }
        let mut lines: Vec<(i64, VisitLine)> = found.into_values().collect();
        lines.sort_by_key(|(began, _)| std::cmp::Reverse(*began));
        lines.into_iter().map(|(_, line)| line).collect()
    }
}

fn is_damage(why: &rusqlite::Error) -> bool {
    matches!(
        why.sqlite_error_code(),
        Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase)
    )
}

/// A row that is none of ours is for `verify` to tell.
fn line(row: &rusqlite::Row<'_>) -> Result<Option<VisitLine>, rusqlite::Error> {
    let (visit, at, count): (String, Option<String>, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
    let Ok(visit) = visit.parse() else {
        return Ok(None);
    };
    Ok(Some(VisitLine {
        visit,
        // A damaged visit has no time: it is listed all the same.
        opened_at: at.and_then(|at| at.parse().ok()).unwrap_or_default(),
        entry_count: count.max(0) as u64,
    }))
}
