//! Walks a whole journal and tells everything that is wrong with it. Changes nothing.
//!
//! What it can show: hashes that do not fit show an accident (or a change by somebody who did not work them out
//! anew); a signed head that is another shows a change by somebody without the clinic's key; of a visit that was never
//! signed neither can be told apart from honest work by somebody who rewrote it whole.
//!
//! Invariant: a journal without a problem here folds, up to the signed heads, to the same records as on the day they
//! were signed.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};
use uuid::Uuid;

use super::columns::{COLUMNS, Columns};
use super::error::JournalError;
use super::losses::LostVisits;
use super::mark::Mark;
use super::seal::Key;
use super::storage::{DataFolder, Storage};
use super::summary::{self, Summary};
use super::{FILE, connect, losses, read_mark, schema, seal};
use crate::record::Loss;
use crate::record::event::{Entry, Event};
use crate::record::fold::{Phase, Record, Standing};
use crate::record::row::Row;

/// What the walk found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    pub file: PathBuf,
    pub visits: Vec<CheckedVisit>,
    pub problems: Vec<Problem>,
    /// Visits that the disk lost as a whole, told durably.
    pub lost_visits: Vec<LostVisits>,
    /// Keys whose seals counted. Where there was none to go by, those that the file itself names.
    pub keys: Keys,
    /// Summaries that do not say what the entries give, or are missing.
    pub doubtful_summaries: u64,
    /// There is no mark: an end lost since the last signature would not be noticed. True for a single file, too.
    pub is_without_mark: bool,
}

impl Report {
    /// Nothing is wrong, and nothing that had been saved is lost.
    pub fn is_whole(&self) -> bool {
        self.problems.is_empty() && !self.has_losses()
    }

    /// Whether anything that had been saved is known to be lost.
    pub fn has_losses(&self) -> bool {
        !self.lost_visits.is_empty()
            || self.visits.iter().any(|visit| !visit.losses.is_empty())
            || self
                .problems
                .iter()
                .any(|problem| problem.kind == ProblemKind::Lost)
    }
}

/// Public keys whose seals count.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Keys {
    /// The clinic's own, of the data folder.
    pub clinic: Option<String>,
    /// Others that a person chose to trust.
    pub trusted: Vec<String>,
    /// Found in the file, where there is neither: they prove something only to whoever compares them with the key as
    /// it was printed.
    pub named_by_file: Vec<String>,
}

impl Keys {
    /// Those of a place.
    pub fn of(storage: &dyn Storage) -> Self {
        Self {
            clinic: Key::read(storage).ok().flatten().map(|key| key.public()),
            trusted: seal::trusted(storage),
            named_by_file: Vec::new(),
        }
    }

    /// The same; an error where the clinic's key is there and cannot be read.
    pub fn checked(storage: &dyn Storage) -> Result<Self, JournalError> {
        let key = Key::read(storage).map_err(|why| JournalError::folder(storage.folder(), why))?;
        Ok(Self {
            clinic: key.map(|key| key.public()),
            trusted: seal::trusted(storage),
            named_by_file: Vec::new(),
        })
    }

    fn counts(&mut self, key: &str) -> bool {
        if self.clinic.is_none() && self.trusted.is_empty() {
            if !self.named_by_file.iter().any(|known| known == key) {
                self.named_by_file.push(key.to_owned());
            }
            return true;
        }
        self.clinic.as_deref() == Some(key) || self.trusted.iter().any(|known| known == key)
    }
}

/// How far a visit is covered by a signature that counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Signed {
    /// Up to and with this entry nobody without the key changed anything since.
    UpTo {
        number: u64,
        /// RFC 3339, UTC.
        at: String,
    },
    /// Whether somebody rewrote it cannot be told.
    Not,
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
    /// Hash of the newest entry.
    pub head_hash: String,
    pub signed: Signed,
    /// What the disk lost of it, told by entries of the visit.
    pub losses: Vec<Loss>,
}

/// What a problem shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProblemKind {
    /// Damage: an accident, or somebody who did not work the hashes out anew.
    Damage,
    /// The end of a visit is gone, and no entry tells it yet.
    Lost,
    /// A change by somebody without the clinic's key.
    Forged,
    /// A signature that would show something is missing, or is of a key that does not count here.
    Unproven,
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// As the row names it; none where it is of the file as a whole.
    pub visit: Option<String>,
    pub number: Option<u64>,
    pub kind: ProblemKind,
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
        Ok(connection) => walk(&connection, file, mark, Keys::of(storage)),
        Err(why) => unreadable(file, &why),
    })
}

/// Checks a single file, such as a backup. Seals count where they are of one of the keys. A backup whose growing was
/// broken off is what it was before it: its rollback journal, which lies beside it, is carried out first.
pub fn verify_file(file: &Path, keys: Keys) -> Result<Report, JournalError> {
    if !file.is_file() {
        return Err(JournalError::Foreign {
            file: file.display().to_string(),
            why: "there is no such file".into(),
        });
    }
    let access = if rollback_of(file).is_file() {
        OpenFlags::SQLITE_OPEN_READ_WRITE
    } else {
        OpenFlags::SQLITE_OPEN_READ_ONLY
    };
    let flags = access | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    Ok(match Connection::open_with_flags(file, flags) {
        Ok(connection) => walk(&connection, file.to_owned(), None, keys),
        Err(why) => unreadable(file.to_owned(), &why),
    })
}

/// The name under which SQLite keeps what a transaction on this file changes, until it is committed.
pub(super) fn rollback_of(file: &Path) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push("-journal");
    name.into()
}

/// Checks some visits alone, within the caller's view of the file.
pub(super) fn verify_visits(
    connection: &Connection,
    file: &Path,
    visits: &[Uuid],
    keys: Keys,
) -> Result<Report, rusqlite::Error> {
    let mut walk = Walk {
        keys,
        has_summaries: true,
        ..Walk::default()
    };
    let mut statement = connection.prepare(&format!(
        "SELECT {COLUMNS} FROM entry WHERE visit = ?1 ORDER BY number"
    ))?;
    for visit in visits {
        walk.rows(connection, statement.query([visit.to_string()])?)?;
    }
    walk.lost_visits = losses::lost_visits(connection)?;
    Ok(walk.report(file.to_owned(), true))
}

fn unreadable(file: PathBuf, why: &rusqlite::Error) -> Report {
    Report {
        file,
        visits: Vec::new(),
        problems: vec![Problem {
            visit: None,
            number: None,
            kind: ProblemKind::Damage,
            why: why.to_string(),
        }],
        lost_visits: Vec::new(),
        keys: Keys::default(),
        doubtful_summaries: 0,
        is_without_mark: false,
    }
}

fn walk(connection: &Connection, file: PathBuf, mark: Option<Mark>, keys: Keys) -> Report {
    let is_without_mark = mark.is_none();
    let mut walk = Walk {
        keys,
        ..Walk::default()
    };
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
    walk.report(file, is_without_mark)
}

#[derive(Default)]
struct Walk {
    visits: Vec<CheckedVisit>,
    problems: Vec<Problem>,
    lost_visits: Vec<LostVisits>,
    keys: Keys,
    has_summaries: bool,
    doubtful_summaries: u64,
}

impl Walk {
    fn report(self, file: PathBuf, is_without_mark: bool) -> Report {
        Report {
            file,
            visits: self.visits,
            problems: self.problems,
            lost_visits: self.lost_visits,
            keys: self.keys,
            doubtful_summaries: self.doubtful_summaries,
            is_without_mark,
        }
    }

    fn file_problem(&mut self, why: String) {
        self.problems.push(Problem {
            visit: None,
            number: None,
            kind: ProblemKind::Damage,
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
                kind: ProblemKind::Damage,
                why: "it was forgotten, and has entries".into(),
            });
        }
        self.has_summaries = schema::format(connection)? >= 2;
        self.lost_visits = losses::lost_visits(connection)?;
        self.missing_visits(connection)?;
        let (ends, unnamed) = losses::find(connection, &mark.unwrap_or_default())?;
        if unnamed > 0 {
            self.problems.push(Problem {
                visit: None,
                number: None,
                kind: ProblemKind::Lost,
                why: format!(
                    "{unnamed} more visits had been saved and are gone; the mark no longer names them"
                ),
            });
        }
        for lost in ends {
            self.problems.push(Problem {
                visit: Some(lost.visit.to_string()),
                number: Some(lost.held + 1),
                kind: ProblemKind::Lost,
                why: format!(
                    "it had been saved and is gone, as are all up to {}",
                    lost.saved
                ),
            });
        }
        let mut statement = connection.prepare(&format!(
            "SELECT {COLUMNS} FROM entry ORDER BY visit, number"
        ))?;
        self.rows(connection, statement.query([])?)?;
        if self.has_summaries {
            let kept: i64 =
                connection.query_row("SELECT count(*) FROM summary", [], |row| row.get(0))?;
            self.doubtful_summaries += (self.visits.len() as u64).abs_diff(kept.max(0) as u64);
        }
        Ok(())
    }

    /// Walks rows that come visit by visit, each by number.
    fn rows(
        &mut self,
        connection: &Connection,
        mut rows: rusqlite::Rows<'_>,
    ) -> Result<(), rusqlite::Error> {
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
                self.end(connection, visit.take())?;
                visit = Some(Visit::new(&row.visit));
            }
            if let Some(visit) = &mut visit {
                for (number, why) in visit.take(&row) {
                    self.problems.push(Problem {
                        visit: Some(row.visit.clone()),
                        number: Some(number),
                        kind: ProblemKind::Damage,
                        why,
                    });
                }
            }
        }
        self.end(connection, visit)
    }

    /// A signed visit that is gone without a trace: neither forgotten nor told as lost.
    fn missing_visits(&mut self, connection: &Connection) -> Result<(), rusqlite::Error> {
        if !self.has_summaries {
            return Ok(());
        }
        let mut statement = connection.prepare(
            "SELECT visit, max(number) FROM seal WHERE NOT EXISTS (SELECT 1 FROM entry WHERE entry.visit = seal.visit)
                 AND visit NOT IN (SELECT visit FROM tombstone) AND visit NOT IN (SELECT visit FROM lost_visit)
             GROUP BY visit",
        )?;
        let gone = statement.query_map([], |row| Ok((row.get(0)?, row.get::<_, i64>(1)?)))?;
        for row in gone {
            let (visit, last) = row?;
            self.problems.push(Problem {
                visit: Some(visit),
                number: None,
                kind: ProblemKind::Forged,
                why: format!(
                    "it was signed with {last} entries and is gone as a whole: taken out by somebody, or lost by the disk"
                ),
            });
        }
        Ok(())
    }

    fn end(
        &mut self,
        connection: &Connection,
        visit: Option<Visit>,
    ) -> Result<(), rusqlite::Error> {
        let Some(visit) = visit else { return Ok(()) };
        let problem = |why: &str| Problem {
            visit: Some(visit.as_written.clone()),
            number: None,
            kind: ProblemKind::Damage,
            why: why.into(),
        };
        let Some(id) = visit.id else {
            self.problems
                .push(problem("its name is no name of a visit"));
            return Ok(());
        };
        let Some(record) = &visit.record else {
            self.problems
                .push(problem("it cannot be folded to a record"));
            return Ok(());
        };
        let signed = self.signed(connection, &visit, record)?;
        let summary = Summary::of(record, 0);
        if self.has_summaries && !summary::is_kept_as(connection, &summary)? {
            self.doubtful_summaries += 1;
        }
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
            head_hash: record.last_hash.clone(),
            signed,
            losses: record.losses.clone(),
        });
        Ok(())
    }

    /// Compares the signed heads of a visit with what is there.
    fn signed(
        &mut self,
        connection: &Connection,
        visit: &Visit,
        record: &Record,
    ) -> Result<Signed, rusqlite::Error> {
        let mut signed = Signed::Not;
        let seals = seal::of_visit(connection, &visit.as_written)?;
        let mut found = |number, kind, why: String| {
            self.problems.push(Problem {
                visit: Some(visit.as_written.clone()),
                number,
                kind,
                why,
            });
        };
        let is_covered = |number: u64| seals.iter().any(|seal| seal.number >= number);
        if self.has_summaries && visit.finished_by.is_some_and(|number| !is_covered(number)) {
            found(
                visit.finished_by,
                ProblemKind::Unproven,
                "it finished the visit, and the signature that belongs there is missing: whether somebody changed the visit cannot be told".into(),
            );
        }
        for seal in &seals {
            let day = seal.at.get(..10).unwrap_or_default();
            if seal.key.is_empty() {
                continue;
            }
            if !seal.is_genuine() {
                found(
                    Some(seal.number),
                    ProblemKind::Forged,
                    format!(
                        "its signature of {day} fits no key: somebody without the clinic's key wrote it, or it was damaged"
                    ),
                );
                continue;
            }
            if !self.keys.counts(&seal.key) {
                found(
                    Some(seal.number),
                    ProblemKind::Unproven,
                    format!(
                        "it was signed on {day} with another key; if that is one of yours, sulcus key --trust {}",
                        seal.key
                    ),
                );
                continue;
            }
            let at = usize::try_from(seal.number).unwrap_or(usize::MAX);
            let here = at.checked_sub(1).and_then(|at| visit.hashes.get(at));
            let is_told = record
                .losses
                .iter()
                .any(|loss| (loss.first..=loss.last).contains(&seal.number));
            if here == Some(&seal.hash) {
                if !matches!(&signed, Signed::UpTo { number, .. } if *number > seal.number) {
                    signed = Signed::UpTo {
                        number: seal.number,
                        at: seal.at.clone(),
                    };
                }
            } else if is_told {
                // The disk lost what was signed; an entry of the visit tells it.
            } else if here.is_none() {
                found(
                    Some(seal.number),
                    ProblemKind::Forged,
                    format!(
                        "it was signed on {day} and is gone: cut off by somebody without the clinic's key, or lost by the disk"
                    ),
                );
            } else {
                found(
                    Some(seal.number),
                    ProblemKind::Forged,
                    format!(
                        "it is not what was signed on {day}: the visit was changed by somebody without the clinic's key"
                    ),
                );
            }
        }
        Ok(signed)
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
    /// Stored hash of each row, in order.
    hashes: Vec<String>,
    /// Number of the newest entry that finished the visit.
    finished_by: Option<u64>,
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
            hashes: Vec::new(),
            finished_by: None,
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
        self.hashes.push(row.hash.clone());
        match row.entry(self.id.unwrap_or_default()) {
            Ok(entry) => {
                if matches!(entry.event, Event::VisitFinished) {
                    self.finished_by = Some(row.number);
                }
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
