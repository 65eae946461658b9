//! Ends that the disk lost: found by the mark when the journal is opened, told by a durable entry of the visit before
//! the mark is lowered.
//!
//! Invariants: the mark names what was saved until an entry that tells its loss is committed and synced; that entry
//! stays in the visit for ever; what remains of a damaged log is kept and synced before it is written over.

use jiff::Timestamp;
use rusqlite::{Connection, TransactionBehavior};
use uuid::Uuid;

use super::columns::Columns;
use super::mark::{Mark, Marked};
use super::storage::Storage;
use super::{Journal, JournalError, LOG_FILE, whole_visit};
use crate::clock::{Clock, RealClock};
use crate::record::event::{Draft, Event};
use crate::record::loss::sentence;
use crate::record::row::Row;

/// Start of the names of kept damaged logs.
const KEPT_LOG_START: &str = "lost-end.sqlite-wal.";

/// The end of a visit is missing although it had been saved: the disk lost it. The rest is whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LostEnd {
    pub visit: Uuid,
    /// Number of the newest entry that had been saved.
    pub saved: u64,
    /// Number of the newest entry of this visit that is still there; 0 for none.
    pub held: u64,
    /// When the newest entry that is still there was saved.
    pub from: Option<Timestamp>,
    /// When the newest lost entry had been saved, where the mark says so.
    pub until: Option<Timestamp>,
    /// Hash of the newest lost entry.
    pub hash: String,
    /// File name in the data folder of the damaged log, kept for `sulcus salvage`.
    pub kept_log: Option<String>,
    /// Number of the durable entry that tells it; none while it was found by a reader, and where nothing of the visit
    /// is left that could be added to.
    pub told_by: Option<u64>,
}

impl LostEnd {
    /// Number of the first lost entry.
    pub fn first(&self) -> u64 {
        self.held + 1
    }

    /// How many entries are lost; 1 or more.
    pub fn count(&self) -> u64 {
        self.saved - self.held.min(self.saved)
    }
}

impl std::fmt::Display for LostEnd {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let loss = sentence(
            self.visit,
            (self.first(), self.saved),
            self.from,
            self.until,
            self.kept_log.as_deref(),
        );
        write!(
            f,
            "the end of the journal was damaged on the disk and is cut to the last whole entry: {loss}"
        )
    }
}

/// What the mark names and the journal lacks.
pub(super) fn find(connection: &Connection, mark: &Mark) -> Result<Vec<LostEnd>, rusqlite::Error> {
    let stones = whole_visit::tombstones(connection)?;
    let mut statement = connection.prepare(
        "SELECT (SELECT hash FROM entry WHERE visit = ?1 AND number = ?2),
                (SELECT coalesce(max(number), 0) FROM entry WHERE visit = ?1)",
    )?;
    let mut time = connection.prepare("SELECT at FROM entry WHERE visit = ?1 AND number = ?2")?;
    let mut lost = Vec::new();
    for marked in &mark.0 {
        if stones.iter().any(|stone| stone.visit == marked.visit) {
            continue;
        }
        let visit = marked.visit.to_string();
        let (hash, newest): (Option<String>, i64) = statement
            .query_row((&visit, marked.number as i64), |row| {
                Ok((row.get(0)?, row.get(1)?))
            })?;
        if hash.as_ref() == Some(&marked.hash) {
            continue;
        }
        let held = (newest.max(0) as u64).min(marked.number.saturating_sub(1));
        let from = time
            .query_map((&visit, held as i64), |row| row.get::<_, String>(0))?
            .next()
            .transpose()?;
        lost.push(LostEnd {
            visit: marked.visit,
            saved: marked.number,
            held,
            from: from.and_then(|at| at.parse().ok()),
            until: marked.at,
            hash: marked.hash.clone(),
            kept_log: None,
            told_by: None,
        });
    }
    Ok(lost)
}

/// Keeps the damaged log before it is written over. None where there is none, or no room for it.
pub(super) fn keep_log(storage: &dyn Storage) -> Option<String> {
    storage.len(LOG_FILE).filter(|&length| length > 0)?;
    let name = format!("{KEPT_LOG_START}{}", kept_logs(storage).count() + 1);
    storage.keep_copy(LOG_FILE, &name).ok()?;
    Some(name)
}

/// The damaged logs that were kept, oldest first.
pub(super) fn kept_logs(storage: &dyn Storage) -> impl Iterator<Item = String> {
    (1..)
        .map(|count| format!("{KEPT_LOG_START}{count}"))
        .take_while(|name| storage.len(name).is_some())
}

impl Journal {
    /// The ends that the disk lost, found when the journal was opened (or opened afresh): to be told aloud before
    /// anything else. Mostly none. A writer has a durable entry of each in the visit; `told_by` names it.
    pub fn lost_ends(&self) -> &[LostEnd] {
        &self.lost_ends
    }

    /// Writes an entry that tells it into each visit that lost its end, all in one commit, and only then lets the
    /// mark go.
    pub(super) fn tell_losses(&mut self) -> Result<(), JournalError> {
        let now = RealClock::default().now();
        let mut rows = Vec::new();
        for index in 0..self.lost_ends.len() {
            let lost = &self.lost_ends[index];
            let Ok(entries) = self.read(lost.visit, 1) else {
                // Damaged in its middle too: nothing is added to what cannot be proven, and the mark keeps naming it.
                continue;
            };
            let Some(last) = entries.last() else { continue };
            let draft = Draft::new(
                Event::LossTold {
                    first: last.number + 1,
                    last: lost.saved.max(last.number + 1),
                    until: lost.until,
                    hash: lost.hash.clone(),
                    remains: lost.kept_log.clone(),
                },
                None,
            );
            let row = Row::new(lost.visit, last.number + 1, now, &draft, &last.hash)
                .map_err(JournalError::refused_to_save)?;
            rows.push((index, row));
        }
        if rows.is_empty() {
            return Ok(());
        }
        self.require_file()?;
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        for (_, row) in &rows {
            row.insert(&transaction)?;
        }
        transaction.commit()?;
        self.require_file()?;
        for (index, row) in rows {
            let visit = self.lost_ends[index].visit;
            let back = self.read(visit, 1)?;
            if back.last().map(|entry| &entry.hash) != Some(&row.hash) {
                return Err(JournalError::refused_to_save(
                    "what was read back is not what was written",
                ));
            }
            self.lost_ends[index].told_by = Some(row.number);
            self.saved(Marked {
                visit,
                number: row.number,
                hash: row.hash,
                at: Some(now.at),
            });
        }
        Ok(())
    }
}
