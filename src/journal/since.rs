//! What came into the journal since a look at it, found without reading what was there before.

use rusqlite::OptionalExtension;
use uuid::Uuid;

use super::{Journal, JournalError, summary};
use crate::terms::Patient;

/// How far somebody had looked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    newest_row: i64,
    tombstone_count: i64,
}

impl Seen {
    /// Whether only entries came since. Where a visit was forgotten its rows may be used again, so that what is new
    /// cannot be told by them.
    pub fn is_followed_by(&self, later: Self) -> bool {
        self.tombstone_count == later.tombstone_count && self.newest_row <= later.newest_row
    }
}

impl Journal {
    /// How far the journal goes now. Costs the same however large it is.
    ///
    /// # Errors
    /// Where it cannot be read.
    pub fn seen(&self) -> Result<Seen, JournalError> {
        let seen = self
            .connection
            .prepare_cached(
                "SELECT coalesce((SELECT max(rowid) FROM entry), 0), (SELECT count(*) FROM tombstone)",
            )?
            .query_row([], |row| {
                Ok(Seen {
                    newest_row: row.get(0)?,
                    tombstone_count: row.get(1)?,
                })
            })?;
        Ok(seen)
    }

    /// The visits that got entries since and are finished now, with the hash of their newest entry, oldest first; none
    /// in a file of a format without summaries.
    ///
    /// # Errors
    /// Where it cannot be read.
    pub fn finished_heads_since(&self, seen: Seen) -> Result<Vec<(Uuid, String)>, JournalError> {
        if !summary::is_kept(&self.connection)? {
            return Ok(Vec::new());
        }
        // CROSS: from the few new rows to their summaries, never the other way.
        let mut statement = self.connection.prepare_cached(
            "SELECT summary.visit, summary.head_hash
             FROM (SELECT DISTINCT visit FROM entry WHERE rowid > ?1) AS new CROSS JOIN summary
             WHERE summary.visit = new.visit AND summary.state = 'finished' ORDER BY +summary.began",
        )?;
        let heads = statement
            .query_map([seen.newest_row], |row| {
                Ok((row.get::<_, String>(0)?, row.get(1)?))
            })?
            .collect::<Result<Vec<_>, _>>()?;
        Ok(heads
            .into_iter()
            .filter_map(|(visit, hash)| Some((visit.parse().ok()?, hash)))
            .collect())
    }

    /// The patient of the visit that is open, of the newest where several are.
    ///
    /// # Errors
    /// Where it cannot be read.
    pub fn open_patient(&self) -> Result<Option<Patient>, JournalError> {
        if !summary::is_kept(&self.connection)? {
            return Ok(None);
        }
        let patient = self
            .connection
            .prepare_cached(
                "SELECT patient FROM summary WHERE state = 'open' ORDER BY began DESC LIMIT 1",
            )?
            .query_row([], |row| row.get::<_, String>(0))
            .optional()?;
        Ok(patient.and_then(|text| serde_json::from_str(&text).ok()))
    }
}
