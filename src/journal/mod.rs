//! The journal: SQLite, append-only, synced before a commit returns. The only files that write it.
//!
//! Invariants: within a visit, numbers run from 1 without gaps and each row's hash covers the row and the hash
//! before it; an entry is returned only after the commit that holds it returned, read back from the database.
//! After a failed write or sync the journal is shut to writing and must be opened afresh: what the file then
//! holds is the truth; the failed sync is never tried again.

mod backup;
mod check;
mod columns;
mod error;
mod fault;
mod grow;
mod losses;
mod mark;
mod pages;
mod reading;
#[cfg(test)]
mod record_tests;
mod salvage;
mod schema;
mod seal;
mod since;
mod storage;
mod summary;
#[cfg(test)]
mod tests;
mod verify;
mod whole_visit;

use std::cell::RefCell;
use std::collections::HashMap;
use std::fs::File;
use std::path::Path;
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags, TransactionBehavior};
use uuid::Uuid;

use crate::clock::Now;
use crate::record::Record;
use crate::record::event::{Draft, Entry, Event, FORMAT};
use crate::record::row::Row;
use columns::Columns;
use losses::{keep_log, kept_logs};
use mark::{Mark, Marked};
use summary::Summary;

pub use crate::record::row::{StoredRow, entries_of_rows};
pub use backup::{Copied, backup, restore};
use check::LastCheck;
pub use check::{CHECKED_FILE, check_whole};
pub use error::JournalError;
pub use fault::Fault;
pub use grow::Growth;
pub use losses::{LostEnd, LostVisits};
pub use reading::VisitLine;
pub use salvage::{Found, Salvage, SalvagedVisit, read_damaged, salvage};
pub use seal::{
    KEY_FILE, Key, Occasion, Seal, TRUSTED_FILE, fingerprint, foot, is_key, is_signed, trust,
};
pub use since::Seen;
pub use storage::{DataFolder, Storage};
pub use summary::{Past, State, Summary as VisitSummary, Wanted};
pub use verify::{
    CheckedVisit, Keys, Problem, ProblemKind, Report, Signed, verify, verify_file, verify_on,
};
pub use whole_visit::Tombstone;

/// File name of the journal in the data folder.
pub const FILE: &str = "journal.sqlite";
/// File name of SQLite's write-ahead log beside it.
pub const LOG_FILE: &str = "journal.sqlite-wal";
/// File name of the mark: the newest entry that was saved.
pub const MARK_FILE: &str = mark::FILE;

/// A reader holds the database for milliseconds; 5 s is a program that hangs.
const BUSY_MS: u64 = 5_000;
/// Up to this size the whole file is checked before anything is taken from it: some 0.3 s at 0.2 GB a second on two
/// slow cores. A larger one is checked in the background while the table works ([`Journal::is_checked`] says whether
/// that is still to be done); the hashes of what is read are checked always.
const CHECKED_BYTES_MAX: u64 = 64 << 20;

/// The journal, open for writing or only for reading.
#[derive(Debug)]
pub struct Journal {
    connection: Connection,
    storage: Box<dyn Storage>,
    is_writer: bool,
    is_shut: bool,
    /// Device and number of the file that was opened: tells a removed or replaced file.
    identity: Option<(u64, u64)>,
    /// Number and hash of the newest entry of each visit that was written or proven since the opening.
    newest: HashMap<Uuid, (u64, String)>,
    failed: Option<FailedAppend>,
    lost_ends: Vec<LostEnd>,
    /// Visits that are gone as a whole and that the mark did not name.
    lost_unnamed: u64,
    /// What is wrong with the file as a whole, where a reader goes on with what can be proven.
    damage: RefCell<Vec<String>>,
    is_checked: bool,
    /// The clinic's key; none for a reader, and where it cannot be read.
    key: Option<Key>,
    /// The records of the visits that are written to, for their summaries.
    folded: HashMap<Uuid, Folded>,
    mark: Mark,
    commits_since_checkpoint: u32,
    /// Kept open: the lock ends with it.
    _lock: Option<File>,
}

/// A visit as it stands in the file.
#[derive(Debug)]
struct Folded {
    record: Option<Record>,
    /// Row of its first entry; 0 before there is one.
    began: i64,
}

/// An append that was told as not saved.
#[derive(Debug, Clone)]
struct FailedAppend {
    visit: Uuid,
    drafts: Vec<Draft>,
    /// Number of the visit's newest entry before it; none where the failure came before anything was written.
    before: Option<u64>,
}

/// What became of the append that failed, decided by reading the file after it was opened afresh.
#[derive(Debug, Clone, PartialEq)]
pub enum Reopened {
    /// No append had failed.
    NothingWaited,
    /// The file holds it whole, and durably now: say saved. Do not enter it again.
    WasSaved(Vec<Entry>),
    /// The file holds nothing of it: offer to enter it again with these drafts.
    NotSaved { visit: Uuid, drafts: Vec<Draft> },
}

/// What is signed with the clinic's key as soon as it is written: the end, and what comes after it.
fn occasion(event: &Event) -> Option<Occasion> {
    match event {
        Event::VisitFinished => Some(Occasion::Finish),
        Event::VisitSigned { .. } => Some(Occasion::Signature),
        Event::AddendumWritten { .. }
        | Event::ProcedureRecorded {
            procedure: crate::terms::Procedure::ResultRead { .. },
            ..
        } => Some(Occasion::Addendum),
        _ => None,
    }
}

impl Journal {
    /// Opens the journal of a data folder for writing; makes both where they are missing.
    pub fn open(folder: &Path) -> Result<Self, JournalError> {
        Self::open_on(Box::new(DataFolder::new(folder)))
    }

    /// Opens the journal of a place for writing; makes it where it is missing.
    pub fn open_on(storage: Box<dyn Storage>) -> Result<Self, JournalError> {
        storage
            .prepare()
            .map_err(|why| JournalError::folder_io(storage.folder(), &why))?;
        let lock = storage.lock()?;
        storage
            .make_file(FILE)
            .map_err(|why| JournalError::folder_io(storage.folder(), &why))?;
        let connection =
            connect(storage.as_ref(), true).map_err(|why| folder_sqlite(storage.as_ref(), &why))?;
        let mut journal = Self::new(connection, storage, true);
        journal._lock = lock;
        match journal.prepare() {
            Ok(()) => Ok(journal),
            Err(JournalError::Read(why)) => Err(folder_sqlite(journal.storage.as_ref(), &why)),
            Err(other) => Err(other.looked_into(|| journal.storage.fault())),
        }
    }

    /// Opens it for reading only: beside a writer, never in its way.
    pub fn open_reader(folder: &Path) -> Result<Self, JournalError> {
        Self::open_reader_on(Box::new(DataFolder::new(folder)))
    }

    /// Opens the journal of a place for reading only.
    pub fn open_reader_on(storage: Box<dyn Storage>) -> Result<Self, JournalError> {
        if storage.len(FILE).is_none() && read_mark(storage.as_ref()).is_some() {
            return Err(corrupt(
                storage.as_ref(),
                &"it is missing, but entries had been saved in it",
            ));
        }
        if storage.len(FILE).is_none() {
            return Err(JournalError::folder(
                storage.folder(),
                "it holds no visits yet",
            ));
        }
        // Before the first read of the database: so a commit that falls between is no loss.
        let mark = read_mark(storage.as_ref());
        let connection = connect(storage.as_ref(), false)?;
        let mut journal = Self::new(connection, storage, false);
        journal.check(mark)?;
        Ok(journal)
    }

    fn new(connection: Connection, storage: Box<dyn Storage>, is_writer: bool) -> Self {
        let identity = storage.identity(FILE);
        Self {
            connection,
            storage,
            is_writer,
            is_shut: false,
            identity,
            newest: HashMap::new(),
            failed: None,
            lost_ends: Vec::new(),
            lost_unnamed: 0,
            damage: RefCell::default(),
            is_checked: false,
            key: None,
            folded: HashMap::new(),
            mark: Mark::default(),
            commits_since_checkpoint: 0,
            _lock: None,
        }
    }

    fn prepare(&mut self) -> Result<(), JournalError> {
        let mark = read_mark(self.storage.as_ref());
        let fresh = schema::is_missing(&self.connection)
            .map_err(|why| unreadable(self.storage.as_ref(), why))?;
        if fresh && mark.is_some() {
            return Err(corrupt(
                self.storage.as_ref(),
                &"it is empty, but entries had been saved in it",
            ));
        }
        if fresh {
            self.is_checked = true;
        } else {
            self.check(mark)?;
        }
        if !self.lost_ends.is_empty() {
            let kept = keep_log(self.storage.as_ref());
            for lost in &mut self.lost_ends {
                lost.kept_log.clone_from(&kept);
            }
        }
        // Run to its end: the answer comes before the switch is committed. Whether it was, `checkpoint` asks.
        self.connection.execute_batch("PRAGMA journal_mode = WAL")?;
        // FULL: the write-ahead log is synced at each commit, so that a commit survives a power cut.
        self.connection.pragma_update(None, "synchronous", "FULL")?;
        // Checkpoints are our own: SQLite's automatic ones do not tell their failures.
        self.connection
            .pragma_update(None, "wal_autocheckpoint", 0)?;
        let level: i64 = self
            .connection
            .pragma_query_value(None, "synchronous", |row| row.get(0))?;
        if level != 2 {
            return Err(JournalError::refused_to_save(format!(
                "the database refuses to sync each commit (level {level})"
            )));
        }
        if fresh {
            schema::make(&mut self.connection)?;
        }
        self.take_key();
        if schema::format(&self.connection)? < FORMAT {
            self.upgrade()?;
        }
        self.tell_losses()?;
        self.mark.visit_count = summary::visit_count(&self.connection)?;
        // A checkpoint right after the switch to the log is refused as locked until the log was looked at.
        schema::is_missing(&self.connection)?;
        // What stands in the log may be known only to the machine's memory (after a kill or a failed sync):
        // written over into the database it is written and synced anew, and from here on as durable as told.
        self.checkpoint("TRUNCATE")?;
        // The new files' names must survive a power cut too.
        self.storage
            .sync_folder()
            .map_err(|why| JournalError::not_saved(&why))
    }

    /// Looks at the whole file before anything is taken from it or added to it.
    fn check(&mut self, mark: Option<Mark>) -> Result<(), JournalError> {
        let damaged = |why: rusqlite::Error| unreadable(self.storage.as_ref(), why);
        if schema::is_missing(&self.connection).map_err(damaged)? && mark.is_some() {
            return Err(corrupt(
                self.storage.as_ref(),
                &"it is empty, but entries had been saved in it",
            ));
        }
        if let Some(why) = schema::check_format(&self.connection).map_err(damaged)? {
            return Err(JournalError::Foreign {
                file: self.storage.folder().join(FILE).display().to_string(),
                why,
            });
        }
        let mut damage = Vec::new();
        self.is_checked = self.storage.len(FILE).unwrap_or(0) <= CHECKED_BYTES_MAX;
        if self.is_checked {
            damage.extend(schema::integrity(&self.connection).map_err(damaged)?);
        }
        damage.extend(schema::differences(&self.connection).map_err(damaged)?);
        if self.is_writer {
            // Nothing is written to a file that cannot be trusted.
            if let Some(why) = damage.first() {
                return Err(corrupt(self.storage.as_ref(), why));
            }
        }
        if !self.is_checked
            && let Some(last) = LastCheck::read(self.storage.as_ref())
        {
            let known = |why: &String| format!("{why} (found by the check of {})", last.at);
            damage.extend(last.found.iter().map(known));
        }
        let is_damaged = !damage.is_empty();
        *self.damage.borrow_mut() = damage;
        if let Some(mark) = mark {
            match losses::find(&self.connection, &mark) {
                Ok((ends, unnamed)) => (self.lost_ends, self.lost_unnamed) = (ends, unnamed),
                // A reader goes on with the good visits; that the file is damaged is told.
                Err(_) if is_damaged && !self.is_writer => {}
                Err(why) => return Err(damaged(why)),
            }
            self.mark = mark;
        }
        Ok(())
    }

    /// What is wrong with the file as a whole: mostly nothing. A reader goes on with what the hashes prove; a writer
    /// is never opened on a file that was found so at its opening, and goes on, with this told, on one that is too large
    /// for that and was found so beside the work.
    pub fn damage(&self) -> Vec<String> {
        self.damage.borrow().clone()
    }

    /// Whether the whole file was checked when it was opened. Where not, it is too large for that: check it beside
    /// the work, with [`verify`].
    pub fn is_checked(&self) -> bool {
        self.is_checked
    }

    /// The clinic's key; made where there is none. Without one the work goes on, and heads stay unsigned.
    fn take_key(&mut self) {
        let storage = self.storage.as_ref();
        let has_seals = || {
            let count = self
                .connection
                .query_row("SELECT count(*) FROM seal", [], |row| row.get(0));
            count.unwrap_or(1_i64) > 0
        };
        self.key = match Key::read(storage) {
            Ok(Some(key)) => Some(key),
            Ok(None) => Key::make(storage).ok(),
            // Torn by a power cut at the very first start: nothing was signed with it.
            Err(_)
                if schema::format(&self.connection).is_ok_and(|format| format >= 2)
                    && !has_seals() =>
            {
                let _ = storage.remove(KEY_FILE);
                Key::make(storage).ok()
            }
            Err(_) => None,
        };
    }

    /// Brings a file of an earlier format to the present one, in one commit.
    fn upgrade(&mut self) -> Result<(), JournalError> {
        let now = jiff::Timestamp::now();
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        schema::upgrade(&transaction)?;
        summary::make_all(&transaction)?;
        let heads = summary::heads(&transaction)?;
        for (visit, number, hash) in heads {
            let seal = match &self.key {
                Some(key) => key.seal(visit, (number, &hash), now, Occasion::Found),
                None => seal::unsigned(visit, (number, &hash), now, Occasion::Found),
            };
            seal.insert(&transaction)?;
        }
        transaction.commit()?;
        Ok(())
    }

    /// Whether an append is refused until [`Journal::reopen`] succeeded.
    pub fn is_shut(&self) -> bool {
        self.is_shut
    }

    /// Appends all drafts in one commit and returns them as they stand in the database.
    ///
    /// On an error nothing of it may be told as saved, and the journal is shut: [`Journal::reopen`] then says
    /// what became of it. The drafts are kept here until then.
    pub fn append(
        &mut self,
        visit: Uuid,
        drafts: &[Draft],
        now: Now,
    ) -> Result<Vec<Entry>, JournalError> {
        if !self.is_writer || self.failed.is_some() {
            return Err(JournalError::Shut);
        }
        if drafts.is_empty() {
            return Ok(Vec::new());
        }
        let mut failed = FailedAppend {
            visit,
            drafts: drafts.to_vec(),
            before: None,
        };
        let written = if self.is_shut {
            // An earlier tidying failed, no append: nothing waits for an answer.
            self.reopen().map(|_| ())
        } else {
            Ok(())
        }
        .and_then(|()| self.write(drafts, now, &mut failed));
        match written {
            Ok(entries) => {
                self.tidy();
                Ok(entries)
            }
            Err(error) => {
                self.is_shut = true;
                self.failed = Some(failed);
                Err(error.into_not_saved().looked_into(|| self.storage.fault()))
            }
        }
    }

    fn write(
        &mut self,
        drafts: &[Draft],
        now: Now,
        failed: &mut FailedAppend,
    ) -> Result<Vec<Entry>, JournalError> {
        let visit = failed.visit;
        let (before, mut hash) = self.newest(visit)?;
        // Taken out until the commit: after a failure it is made anew from what the file then holds.
        let mut folded = self.folded(visit, before)?;
        let is_new = before == 0;
        let occasion = drafts.iter().rev().find_map(|draft| occasion(&draft.event));
        let mut number = before;
        let mut rows = Vec::with_capacity(drafts.len());
        for draft in drafts {
            number += 1;
            let row = Row::new(visit, number, now, draft, &hash)
                .map_err(JournalError::refused_to_save)?;
            hash.clone_from(&row.hash);
            rows.push(row);
        }
        self.require_file()?;
        failed.before = Some(before);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        for row in &rows {
            row.insert(&transaction)?;
            if folded.began == 0 {
                folded.began = transaction.last_insert_rowid();
            }
            folded.take(row, visit);
        }
        folded.summary(visit, number, &hash).put(&transaction)?;
        if let Some(occasion) = occasion {
            let seal = match &self.key {
                Some(key) => key.seal(visit, (number, &hash), now.at, occasion),
                None => seal::unsigned(visit, (number, &hash), now.at, occasion),
            };
            seal.insert(&transaction)?;
        }
        transaction.commit()?;
        self.require_file()?;
        let entries = self.read(visit, before + 1)?;
        if entries.len() != drafts.len() || entries.last().map(|entry| &entry.hash) != Some(&hash) {
            return Err(JournalError::refused_to_save(
                "what was read back is not what was written",
            ));
        }
        self.folded.insert(visit, folded);
        self.mark.visit_count += u64::from(is_new);
        self.saved(Marked {
            visit,
            number,
            hash,
            at: Some(now.at),
        });
        Ok(entries)
    }

    /// Closes the file after a failed append and opens it afresh; what it then holds is the truth.
    ///
    /// On an error the journal stays shut, the drafts are kept, and it may be tried again
    /// (after space was freed, after the disk came back).
    pub fn reopen(&mut self) -> Result<Reopened, JournalError> {
        self.open_afresh()
            .map_err(|error| error.into_not_saved().looked_into(|| self.storage.fault()))
    }

    fn open_afresh(&mut self) -> Result<Reopened, JournalError> {
        if !self.is_writer {
            return Err(JournalError::Shut);
        }
        self.is_shut = true;
        // Closed before it is opened again, so that nothing of the failed transaction is carried over.
        self.connection = Connection::open_in_memory()?;
        self.require_file()?;
        self.connection = connect(self.storage.as_ref(), true)?;
        self.commits_since_checkpoint = 0;
        self.folded.clear();
        let mut known: Vec<(Uuid, u64, String)> = self
            .newest
            .iter()
            .map(|(visit, (number, hash))| (*visit, *number, hash.clone()))
            .collect();
        self.lost_ends.clear();
        self.lost_unnamed = 0;
        self.prepare()?;
        // What the disk lost meanwhile is told by an entry now: that visit is read anew from its entries.
        known.retain(|(visit, ..)| !self.lost_ends.iter().any(|lost| lost.visit == *visit));
        for lost in self.lost_ends.iter().filter(|lost| lost.told_by.is_none()) {
            self.newest.remove(&lost.visit);
        }
        for (visit, number, hash) in known {
            let entries = self.read(visit, 1)?;
            let held = usize::try_from(number)
                .ok()
                .and_then(|number| entries.get(number.checked_sub(1)?));
            if number > 0 && held.map(|entry| &entry.hash) != Some(&hash) {
                return Err(JournalError::Damaged {
                    visit,
                    number,
                    why: "it had been saved and is gone".into(),
                });
            }
        }
        let outcome = match &self.failed {
            None => Reopened::NothingWaited,
            Some(failed) => self.what_became(failed)?,
        };
        if let Reopened::WasSaved(entries) = &outcome
            && let Some(last) = entries.last()
        {
            self.newest
                .insert(last.visit, (last.number, last.hash.clone()));
        }
        self.failed = None;
        self.is_shut = false;
        Ok(outcome)
    }

    fn what_became(&self, failed: &FailedAppend) -> Result<Reopened, JournalError> {
        let not_saved = || Reopened::NotSaved {
            visit: failed.visit,
            drafts: failed.drafts.clone(),
        };
        let Some(before) = failed.before else {
            return Ok(not_saved());
        };
        if self.lost_ends.iter().any(|lost| lost.visit == failed.visit) {
            return Ok(not_saved());
        }
        let entries = self.read(failed.visit, before + 1)?;
        if entries.is_empty() {
            return Ok(not_saved());
        }
        let is_same = entries.len() == failed.drafts.len()
            && entries
                .iter()
                .zip(&failed.drafts)
                .all(|(entry, draft)| entry.event == draft.event);
        if is_same {
            Ok(Reopened::WasSaved(entries))
        } else {
            Err(JournalError::Damaged {
                visit: failed.visit,
                number: before + 1,
                why: "it is not what was said".into(),
            })
        }
    }

    /// Number and hash of a visit's newest entry; 0 and nothing for a new visit. Nothing is added to a visit
    /// before all that it holds was proven.
    fn newest(&mut self, visit: Uuid) -> Result<(u64, String), JournalError> {
        if let Some(newest) = self.newest.get(&visit) {
            return Ok(newest.clone());
        }
        let entries = self.read(visit, 1)?;
        let newest = entries
            .last()
            .map(|entry| (entry.number, entry.hash.clone()))
            .unwrap_or_default();
        self.newest.insert(visit, newest.clone());
        Ok(newest)
    }

    /// The record of a visit that is written to, taken out of what is kept.
    fn folded(&mut self, visit: Uuid, before: u64) -> Result<Folded, JournalError> {
        if let Some(folded) = self.folded.remove(&visit) {
            return Ok(folded);
        }
        if before == 0 {
            return Ok(Folded {
                record: None,
                began: 0,
            });
        }
        let began = self.connection.query_row(
            "SELECT rowid FROM entry WHERE visit = ?1 AND number = 1",
            [visit.to_string()],
            |row| row.get(0),
        )?;
        Ok(Folded {
            record: Record::fold(&self.read(visit, 1)?),
            began,
        })
    }

    /// A removed file can still be written to, and is lost: so it is looked for before and after each commit.
    fn require_file(&self) -> Result<(), JournalError> {
        let found = self.storage.identity(FILE);
        if found.is_some() && found == self.identity {
            Ok(())
        } else {
            Err(JournalError::refused_to_save(format!(
                "{} was removed or replaced",
                self.storage.folder().join(FILE).display()
            )))
        }
    }

    /// Keeps the log short. A failure takes nothing back that was saved, but shuts the journal.
    fn tidy(&mut self) {
        self.commits_since_checkpoint += 1;
        if self.commits_since_checkpoint < self.storage.checkpoint_commits() {
            return;
        }
        self.commits_since_checkpoint = 0;
        let passive = self
            .connection
            .query_row("PRAGMA wal_checkpoint(PASSIVE)", [], |_| Ok(()));
        if passive.is_err() {
            self.is_shut = true;
        }
    }

    /// Writes the whole log over into the database and syncs it.
    fn checkpoint(&self, how: &str) -> Result<(), JournalError> {
        let (is_busy, frames, done): (bool, i64, i64) =
            self.connection
                .query_row(&format!("PRAGMA wal_checkpoint({how})"), [], |row| {
                    Ok((row.get(0)?, row.get(1)?, row.get(2)?))
                })?;
        // Without a log a commit would hang on the removal of a file that nobody syncs.
        if frames < 0 {
            return Err(JournalError::refused_to_save(
                "the database refuses its write-ahead log",
            ));
        }
        if is_busy && frames != done {
            return Err(JournalError::refused_to_save(
                "another program holds the journal; end it",
            ));
        }
        Ok(())
    }

    pub fn folder(&self) -> &Path {
        self.storage.folder()
    }
}

impl Folded {
    /// Takes in the next row.
    fn take(&mut self, row: &Row, visit: Uuid) {
        // It was read back when it was made.
        let Ok(entry) = row.entry(visit) else { return };
        match &mut self.record {
            Some(record) => record.apply(&entry),
            None if entry.number == 1 => self.record = Record::fold(&[entry]),
            None => {}
        }
    }

    fn summary(&self, visit: Uuid, number: u64, hash: &str) -> Summary {
        match &self.record {
            Some(record) => Summary::of(record, self.began),
            None => Summary::without_record(visit, self.began, (number, hash)),
        }
    }
}

/// Opens the database of a place. A writer needs the file to be there, a reader leaves it as it is.
fn connect(storage: &dyn Storage, is_writer: bool) -> Result<Connection, rusqlite::Error> {
    let path = storage.folder().join(FILE);
    // A reader of a WAL database needs to write the shared-memory index, not the database.
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = match storage.file_layer() {
        Some(layer) => Connection::open_with_flags_and_vfs(&path, flags, layer)?,
        None => Connection::open_with_flags(&path, flags)?,
    };
    connection.busy_timeout(Duration::from_millis(BUSY_MS))?;
    if !is_writer {
        let refused = schema::is_missing(&connection)
            .err()
            .and_then(|why| why.sqlite_error_code());
        if matches!(refused, Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly))
            && storage.file_layer().is_none()
            && storage.len(LOG_FILE).is_none_or(|length| length == 0)
        {
            connection = connect_unchanging(&path)?;
        }
        connection.pragma_update(None, "query_only", true)?;
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
    }
    // Nothing of ours may write the schema or the pages past SQL, and nothing in a foreign schema may run.
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
    Ok(connection)
}

/// On a disk that takes no writes there is no shared-memory index, and nobody who could need one.
fn connect_unchanging(path: &Path) -> Result<Connection, rusqlite::Error> {
    let mut address = String::from("file:");
    for byte in path.as_os_str().as_encoded_bytes() {
        match byte {
            b'/' | b'.' | b'-' | b'_' | b'0'..=b'9' | b'A'..=b'Z' | b'a'..=b'z' => {
                address.push(char::from(*byte));
            }
            other => address += &format!("%{other:02x}"),
        }
    }
    address += "?immutable=1";
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_NO_MUTEX
        | OpenFlags::SQLITE_OPEN_URI;
    Connection::open_with_flags(address, flags)
}

fn read_mark(storage: &dyn Storage) -> Option<Mark> {
    storage
        .read(mark::FILE)
        .ok()
        .and_then(|bytes| Mark::from_bytes(&bytes))
}

/// SQLite says no more than "disk I/O error" where the disk is full before the first write: the place is asked.
fn folder_sqlite(storage: &dyn Storage, why: &rusqlite::Error) -> JournalError {
    let error = JournalError::Folder {
        folder: storage.folder().display().to_string(),
        why: why.to_string(),
        fault: Fault::of_sqlite(why),
    };
    let error = error.looked_into(|| storage.fault());
    match error {
        JournalError::Folder { folder, why, fault } if fault == Fault::DiskFull => {
            JournalError::Folder {
                folder,
                why: format!("{why}: {}", fault.words()),
                fault,
            }
        }
        other => other,
    }
}

fn corrupt(storage: &dyn Storage, why: &dyn std::fmt::Display) -> JournalError {
    JournalError::Corrupt {
        file: storage.folder().join(FILE).display().to_string(),
        why: why.to_string(),
    }
}

/// Damage, where SQLite says so; otherwise a failure of reading, which may pass.
fn unreadable(storage: &dyn Storage, why: rusqlite::Error) -> JournalError {
    match why.sqlite_error_code() {
        Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => corrupt(storage, &why),
        _ => why.into(),
    }
}
