//! Ends that the disk lost: found by the mark when the journal is opened, told by a durable entry of the visit (or,
//! where nothing of a visit is left, by a row of its own) before the mark is lowered.
//!
//! Invariants: the mark names what was saved until what tells its loss is committed and synced; that stays for ever;
//! what remains of a damaged log is kept and synced before it is written over.

use jiff::Timestamp;
use rusqlite::{Connection, Transaction, TransactionBehavior, params};
use uuid::Uuid;

use super::columns::Columns;
use super::mark::{Mark, Marked};
use super::storage::Storage;
use super::summary::{self, Summary};
use super::{Journal, JournalError, LOG_FILE, schema, whole_visit};
use crate::clock::{Clock, RealClock};
use crate::record::Record;
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

/// Visits that the disk lost, of which nothing is left that an entry could be added to. Told by a row of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LostVisits {
    /// None for visits that the mark counted and did not name.
    pub visit: Option<Uuid>,
    /// How many visits: 1 where it is named.
    pub visit_count: u64,
    /// Number of the first lost entry; 0 where it is not known.
    pub first: u64,
    /// Number of the newest entry that had been saved; 0 where it is not known.
    pub last: u64,
    /// Hash of that entry.
    pub hash: String,
    /// When it had been saved, where that is known.
    pub until: Option<Timestamp>,
    /// When the loss was found; none while it is not told durably.
    pub found_at: Option<Timestamp>,
    /// File name in the data folder of the damaged log that was kept.
    pub remains: Option<String>,
}

impl std::fmt::Display for LostVisits {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.visit {
            Some(visit) => f.write_str(&sentence(
                visit,
                (self.first, self.last),
                None,
                self.until,
                self.remains.as_deref(),
            )),
            None => write!(
                f,
                "{} more visits that had been saved are lost as a whole, which the mark no longer names; look for a newer copy of the journal",
                self.visit_count
            ),
        }
    }
}

/// What the mark names and the journal lacks, and how many visits besides are gone that it only counts.
pub(super) fn find(
    connection: &Connection,
    mark: &Mark,
) -> Result<(Vec<LostEnd>, u64), rusqlite::Error> {
    let stones = whole_visit::tombstones(connection)?;
    let mut statement = connection.prepare(
        "SELECT (SELECT hash FROM entry WHERE visit = ?1 AND number = ?2),
                (SELECT coalesce(max(number), 0) FROM entry WHERE visit = ?1)",
    )?;
    let mut time = connection.prepare("SELECT at FROM entry WHERE visit = ?1 AND number = ?2")?;
    let mut lost = Vec::new();
    for marked in &mark.newest {
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
    let named = lost.iter().filter(|lost| lost.held == 0).count() as u64;
    let here = summary::visit_count(connection)?;
    Ok((lost, mark.visit_count.saturating_sub(here + named)))
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
    /// anything else. Mostly none. A writer has a durable entry of each in the visit (`told_by` names it), or, where
    /// nothing is left to add to, a row of its own.
    pub fn lost_ends(&self) -> &[LostEnd] {
        &self.lost_ends
    }

    /// How many visits more are gone as a whole that the mark counted and did not name, found when the journal was
    /// opened.
    pub fn lost_unnamed(&self) -> u64 {
        self.lost_unnamed
    }

    /// Every loss found when the journal was opened, one sentence each. Mostly none.
    pub fn found_losses(&self) -> Vec<String> {
        let mut sentences: Vec<String> = self.lost_ends.iter().map(LostEnd::to_string).collect();
        if self.lost_unnamed > 0 {
            sentences.push(unnamed(self.lost_unnamed).to_string());
        }
        sentences
    }

    /// Visits that were lost as a whole and told durably, oldest first, without those that came back since.
    pub fn lost_visits(&self) -> Result<Vec<LostVisits>, JournalError> {
        Ok(lost_visits(&self.connection)?)
    }

    /// Writes what tells them, all in one commit, and only then lets the mark go: an entry into each visit that lost
    /// its end, a row of its own for what has no visit left.
    pub(super) fn tell_losses(&mut self) -> Result<(), JournalError> {
        if self.lost_ends.is_empty() && self.lost_unnamed == 0 {
            return Ok(());
        }
        let now = RealClock::default().now();
        let mut told = Vec::new();
        let mut visits = Vec::new();
        for (index, lost) in self.lost_ends.iter().enumerate() {
            // Damaged in its middle too: nothing is added to what cannot be proven.
            let entries = self.read(lost.visit, 1).unwrap_or_default();
            let record = Record::fold(&entries);
            let (Some(last), Some(record)) = (entries.last(), record) else {
                visits.push(LostVisits {
                    visit: Some(lost.visit),
                    visit_count: 1,
                    first: lost.first(),
                    last: lost.saved,
                    hash: lost.hash.clone(),
                    until: lost.until,
                    found_at: Some(now.at),
                    remains: lost.kept_log.clone(),
                });
                continue;
            };
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
            told.push((index, row, record));
        }
        if self.lost_unnamed > 0 {
            visits.push(LostVisits {
                found_at: Some(now.at),
                remains: self
                    .lost_ends
                    .first()
                    .and_then(|lost| lost.kept_log.clone()),
                ..unnamed(self.lost_unnamed)
            });
        }
        self.require_file()?;
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        for (index, row, record) in &mut told {
            row.insert(&transaction)?;
            let visit = self.lost_ends[*index].visit;
            if let Ok(entry) = row.entry(visit) {
                record.apply(&entry);
            }
            let began = transaction.query_row(
                "SELECT rowid FROM entry WHERE visit = ?1 AND number = 1",
                [visit.to_string()],
                |row| row.get(0),
            )?;
            Summary::of(record, began).put(&transaction)?;
        }
        for lost in &visits {
            lost.insert(&transaction)?;
        }
        transaction.commit()?;
        self.require_file()?;
        for lost in visits.iter().filter_map(|lost| lost.visit) {
            self.mark.forget(lost);
        }
        self.mark.visit_count = summary::visit_count(&self.connection)?;
        for (index, row, _) in told {
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
        self.write_mark();
        Ok(())
    }
}

impl LostVisits {
    pub(super) fn insert(&self, transaction: &Transaction<'_>) -> Result<(), rusqlite::Error> {
        transaction.execute(
            "INSERT INTO lost_visit (visit, visit_count, first, last, hash, until, found_at, remains)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            params![
                self.visit.map(|visit| visit.to_string()).unwrap_or_default(),
                self.visit_count as i64,
                self.first as i64,
                self.last as i64,
                self.hash,
                self.until.map(|at| at.to_string()),
                self.found_at.map(|at| at.to_string()).unwrap_or_default(),
                self.remains,
            ],
        )?;
        Ok(())
    }
}

fn unnamed(visit_count: u64) -> LostVisits {
    LostVisits {
        visit: None,
        visit_count,
        first: 0,
        last: 0,
        hash: String::new(),
        until: None,
        found_at: None,
        remains: None,
    }
}

/// What was told as lost as a whole, without what came back since.
pub(super) fn lost_visits(connection: &Connection) -> Result<Vec<LostVisits>, rusqlite::Error> {
    told(
        connection,
        "NOT EXISTS (SELECT 1 FROM entry
             WHERE entry.visit = lost_visit.visit AND number = last AND entry.hash = lost_visit.hash)",
    )
}

/// The same with what came back.
pub(super) fn told_visits(connection: &Connection) -> Result<Vec<LostVisits>, rusqlite::Error> {
    told(connection, "true")
}

fn told(connection: &Connection, condition: &str) -> Result<Vec<LostVisits>, rusqlite::Error> {
    if schema::format(connection)? < 2 {
        return Ok(Vec::new());
    }
    let mut statement = connection.prepare(&format!(
        "SELECT visit, visit_count, first, last, hash, until, found_at, remains FROM lost_visit
         WHERE {condition} ORDER BY rowid"
    ))?;
    let mut rows = statement.query([])?;
    let mut lost = Vec::new();
    while let Some(row) = rows.next()? {
        let (visit, found_at): (String, String) = (row.get(0)?, row.get(6)?);
        let until: Option<String> = row.get(5)?;
        lost.push(LostVisits {
            visit: visit.parse().ok(),
            visit_count: row.get::<_, i64>(1)?.max(0) as u64,
            first: row.get::<_, i64>(2)?.max(0) as u64,
            last: row.get::<_, i64>(3)?.max(0) as u64,
            hash: row.get(4)?,
            until: until.and_then(|at| at.parse().ok()),
            found_at: found_at.parse().ok(),
            remains: row.get(7)?,
        });
    }
    Ok(lost)
}
