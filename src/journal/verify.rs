//! Walks a whole journal and tells everything that is wrong with it. Changes nothing.
//!
//! Invariant: a journal without a problem here folds to the same records as on the day it was written.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};
use uuid::Uuid;

use super::columns::{COLUMNS, Columns};
use super::error::JournalError;
use super::mark::Mark;
use super::storage::{DataFolder, Storage};
use super::{FILE, connect, losses, read_mark, schema};
use crate::record::event::{Entry, Event};
use crate::record::fold::{Phase, Record, Standing};
use crate::record::row::Row;

/// What the walk found.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    pub file: PathBuf,
    pub visits: Vec<CheckedVisit>,
    pub problems: Vec<Problem>,
}

/// A visit as far as it could be proven.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckedVisit {
    pub visit: Uuid,
    pub patient: String,
    /// Entries proven from the first on.
    pub entry_count: u64,
    /// Values that count now.
    pub value_count: usize,
    /// Those of them that were confirmed.
    pub confirmed_count: usize,
    pub is_finished: bool,
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// As the row names it; none where it is of the file as a whole.
    pub visit: Option<String>,
    pub number: Option<u64>,
    pub why: String,
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (&self.visit, self.number) {
            (Some(visit), Some(number)) => write!(f, "visit {visit}, entry {number}: {}", self.why),
            (Some(visit), None) => write!(f, "visit {visit}: {}", self.why),
            _ => write!(f, "the file: {}", self.why),
        }
    }
}

/// Checks the journal of a data folder, beside a writer too.
pub fn verify(folder: &Path) -> Result<Report, JournalError> {
    verify_on(&DataFolder::new(folder))
}

/// Checks the journal of a place.
pub fn verify_on(storage: &dyn Storage) -> Result<Report, JournalError> {
    if storage.len(FILE).is_none() {
        return Err(JournalError::folder(
            storage.folder(),
            "it holds no visits yet",
        ));
    }
    let mark = read_mark(storage);
    let file = storage.folder().join(FILE);
    Ok(match connect(storage, false) {
        Ok(connection) => walk(&connection, file, mark),
        Err(why) => unreadable(file, &why),
    })
}

/// Checks a single file, such as a backup.
pub fn verify_file(file: &Path) -> Result<Report, JournalError> {
    if !file.is_file() {
        return Err(JournalError::Foreign {
            file: file.display().to_string(),
            why: "there is no such file".into(),
        });
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Ok(match Connection::open_with_flags(file, flags) {
        Ok(connection) => walk(&connection, file.to_owned(), None),
        Err(why) => unreadable(file.to_owned(), &why),
    })
}

fn unreadable(file: PathBuf, why: &rusqlite::Error) -> Report {
    Report {
        file,
        visits: Vec::new(),
        problems: vec![Problem {
            visit: None,
            number: None,
            why: why.to_string(),
        }],
    }
}

fn walk(connection: &Connection, file: PathBuf, mark: Option<Mark>) -> Report {
    let mut walk = Walk::default();
    // One view of the file from here to the end, whatever a writer adds meanwhile.
    if let Err(why) = connection.execute_batch("BEGIN") {
        return unreadable(file, &why);
    }
    match schema::integrity(connection) {
        Ok(lines) => lines.into_iter().for_each(|why| walk.file_problem(why)),
        Err(why) => walk.file_problem(why.to_string()),
    }
    if let Err(why) = walk.file(connection, mark) {
        walk.file_problem(why.to_string());
    }
    // Ends the view; a failure leaves nothing behind, the connection is dropped.
    let _ = connection.execute_batch("ROLLBACK");
    Report {
        file,
        visits: walk.visits,
        problems: walk.problems,
    }
}

#[derive(Default)]
struct Walk {
    visits: Vec<CheckedVisit>,
    problems: Vec<Problem>,
}

impl Walk {
    fn file_problem(&mut self, why: String) {
        self.problems.push(Problem {
            visit: None,
            number: None,
            why,
        });
    }

    fn file(&mut self, connection: &Connection, mark: Option<Mark>) -> Result<(), rusqlite::Error> {
        if schema::is_missing(connection)? {
            self.file_problem("it is empty".into());
            return Ok(());
        }
        if let Some(why) = schema::check_format(connection)? {
            self.file_problem(why);
            return Ok(());
        }
        for why in schema::differences(connection)? {
            self.file_problem(why);
        }
        let mut reborn = connection.prepare(
            "SELECT DISTINCT visit FROM entry WHERE visit IN (SELECT visit FROM tombstone)",
        )?;
        for visit in reborn.query_map([], |row| row.get(0))? {
            self.problems.push(Problem {
                visit: Some(visit?),
                number: None,
                why: "it was forgotten, and has entries".into(),
            });
        }
        for lost in losses::find(connection, &mark.unwrap_or_default())? {
            self.problems.push(Problem {
                visit: Some(lost.visit.to_string()),
                number: Some(lost.held + 1),
                why: format!(
                    "it had been saved and is gone, as are all up to {}",
                    lost.saved
                ),
            });
        }
        let mut statement = connection.prepare(&format!(
            "SELECT {COLUMNS} FROM entry ORDER BY visit, number"
        ))?;
        let mut rows = statement.query([])?;
        let mut visit: Option<Visit> = None;
        while let Some(row) = rows.next()? {
            let row = match Row::from_columns(row) {
                Ok(row) => row,
                Err(why) => {
                    self.file_problem(format!("a row cannot be read: {why}"));
                    continue;
                }
            };
            if visit
                .as_ref()
                .is_none_or(|visit| visit.as_written != row.visit)
            {
                self.end(visit.take());
                visit = Some(Visit::new(&row.visit));
            }
            if let Some(visit) = &mut visit {
                for (number, why) in visit.take(&row) {
                    self.problems.push(Problem {
                        visit: Some(row.visit.clone()),
                        number: Some(number),
                        why,
                    });
                }
            }
        }
        self.end(visit);
        Ok(())
    }

    fn end(&mut self, visit: Option<Visit>) {
        let Some(visit) = visit else { return };
        let problem = |why: &str| Problem {
            visit: Some(visit.as_written.clone()),
            number: None,
            why: why.into(),
        };
        let Some(id) = visit.id else {
            self.problems
                .push(problem("its name is no name of a visit"));
            return;
        };
        let Some(record) = visit.record else {
            self.problems
                .push(problem("it cannot be folded to a record"));
            return;
        };
        self.visits.push(CheckedVisit {
            visit: id,
            patient: record.patient.name.clone(),
            entry_count: visit.proven_count,
            value_count: record.current().count(),
            confirmed_count: record
                .current()
                .filter(|charted| charted.standing == Standing::Confirmed)
                .count(),
            is_finished: record.phase == Phase::Finished,
        });
    }
}

/// A visit on the walk.
struct Visit {
    as_written: String,
    id: Option<Uuid>,
    expected: u64,
    before: String,
    /// Up to here no row was wrong.
    proven_count: u64,
    is_broken: bool,
    record: Option<Record>,
}

impl Visit {
    fn new(as_written: &str) -> Self {
        Self {
            as_written: as_written.to_owned(),
            // Another spelling of the same visit would be a second visit to the database.
            id: as_written
                .parse()
                .ok()
                .filter(|id: &Uuid| id.to_string() == as_written),
            expected: 1,
            before: String::new(),
            proven_count: 0,
            is_broken: false,
            record: None,
        }
    }

    /// What is wrong with the next row, each with its number.
    fn take(&mut self, row: &Row) -> Vec<(u64, String)> {
        let mut problems = Vec::new();
        if row.number != self.expected {
            problems.push((
                self.expected,
                format!("it is missing; the next is {}", row.number),
            ));
        } else if row.hash_after(&self.before) != row.hash {
            problems.push((row.number, "its hash does not fit".into()));
        }
        self.expected = row.number + 1;
        self.before.clone_from(&row.hash);
        match row.entry(self.id.unwrap_or_default()) {
            Ok(entry) => {
                problems.extend(wrong_references(&entry).map(|why| (row.number, why)));
                match &mut self.record {
                    None => self.record = Record::fold(&[entry]),
                    Some(_) if matches!(entry.event, Event::VisitOpened { .. }) => {
                        problems.push((row.number, "it opens the visit again".into()));
                    }
                    Some(record) => record.apply(&entry),
                }
            }
            Err(why) => problems.push((row.number, why)),
        }
        self.is_broken |= !problems.is_empty();
        if !self.is_broken {
            self.proven_count += 1;
        }
        problems
    }
}

/// An entry can speak only of entries before it.
fn wrong_references(entry: &Entry) -> Option<String> {
    let spoken_of: &[u64] = match &entry.event {
        Event::ReadBack { entries, .. }
        | Event::ReadBackFailed { entries, .. }
        | Event::Confirmed { entries }
        | Event::Retracted { entries, .. } => entries,
        Event::ChallengeAnswered { challenge, .. } => std::slice::from_ref(challenge),
        _ => &[],
    };
    entry
        .supersedes
        .iter()
        .chain(spoken_of)
        .find(|number| !(1..entry.number).contains(number))
        .map(|number| format!("it speaks of entry {number}, which is not before it"))
}
