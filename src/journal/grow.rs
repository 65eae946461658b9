//! An earlier backup grows in place: only what the journal has more is written to it.
//!
//! Invariants: all of it is one transaction of the backup, committed only after every visit that it touched was proven
//! there; broken off, the backup is what it was. A backup that holds anything that the journal does not, and a file
//! that is none of ours, damaged, of another format or in use, is left as it is.

use std::collections::{HashMap, HashSet};
use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::time::Duration;

use jiff::Timestamp;
use rusqlite::config::DbConfig;
use rusqlite::types::Value;
use rusqlite::{
    Connection, OpenFlags, OptionalExtension, Transaction, TransactionBehavior, params,
};
use uuid::Uuid;

use super::columns::{COLUMNS, Columns};
use super::error::JournalError;
use super::seal::{Key, Occasion};
use super::verify::{Keys, Problem, ProblemKind, Report, verify_visits};
use super::{BUSY_MS, FORMAT, Fault, Journal, losses, schema, seal, summary, whole_visit};
use crate::record::row::Row;

/// Visits that nothing was added to are read again in so many days, a part each day: an old copy that lies on a disk
/// may rot. Once a month with a backup a day.
const READ_AGAIN_DAYS: i64 = 30;

/// What was added to an earlier backup.
#[derive(Debug, Clone, PartialEq)]
pub struct Growth {
    pub new_visits: u64,
    /// Visits that were there and got entries.
    pub grown_visits: u64,
    pub new_entries: u64,
    /// Visits taken out of the backup too, since they were forgotten.
    pub forgotten_visits: u64,
    /// What the backup holds now.
    pub visit_count: u64,
    pub entry_count: u64,
    /// Of the visits that were proven on the way: those that grew, and this day's part of the others.
    pub report: Report,
}

/// Where a visit ends: number and hash of its newest entry.
type Head = (u64, String);

struct Grower<'a> {
    journal: &'a Journal,
    target: &'a Path,
    key: Option<&'a Key>,
}

/// Adds to an earlier backup what the journal has more.
pub(super) fn grow(
    journal: &Journal,
    target: &Path,
    key: Option<&Key>,
    keys: Keys,
) -> Result<Growth, JournalError> {
    let grower = Grower {
        journal,
        target,
        key,
    };
    grower.require_backup()?;
    // One view of the journal from here on, whatever a writer adds meanwhile.
    journal.connection.execute_batch("BEGIN")?;
    let grown = grower.grow(keys);
    // Ends the view; nothing was written by it.
    let _ = journal.connection.execute_batch("ROLLBACK");
    grown
}

impl Grower<'_> {
    fn refused(&self, why: impl Into<String>) -> JournalError {
        JournalError::LeftAlone {
            file: self.target.display().to_string(),
            why: why.into(),
        }
    }

    fn not_written(&self, why: &rusqlite::Error) -> JournalError {
        match why.sqlite_error_code() {
            Some(rusqlite::ErrorCode::DatabaseCorrupt | rusqlite::ErrorCode::NotADatabase) => self
                .refused(format!(
                    "it is no whole copy: {why}; make the next backup to a new file"
                )),
            Some(rusqlite::ErrorCode::DatabaseBusy) => {
                self.refused("another program has it open; end that first")
            }
            _ => JournalError::NotSaved {
                why: format!("{}: {why}; it is what it was before", self.target.display()),
                fault: Fault::of_sqlite(why),
            },
        }
    }

    /// Looks at the first bytes alone: whatever is not ours is not even opened by SQLite.
    fn require_backup(&self) -> Result<(), JournalError> {
        let io = |why: std::io::Error| JournalError::folder_io(self.target, &why);
        let data = std::fs::metadata(self.target).map_err(io)?;
        #[cfg(unix)]
        {
            use std::os::unix::fs::MetadataExt;
            if self.journal.identity == Some((data.dev(), data.ino())) {
                return Err(self.refused("it is the journal itself, and no backup of it"));
            }
        }
        let mut head = [0; 100];
        let is_read = data.is_file() && {
            let mut file = File::open(self.target).map_err(io)?;
            file.read_exact(&mut head).is_ok()
        };
        let application_id = i32::from_be_bytes([head[68], head[69], head[70], head[71]]);
        if !is_read
            || !head.starts_with(b"SQLite format 3\0")
            || application_id != schema::APPLICATION_ID
        {
            return Err(self.refused(
                "it is no backup of a journal, and a backup never writes over another file",
            ));
        }
        // 2 is the write-ahead log of a journal that a table writes; a backup is one file.
        if head[18] == 2 {
            return Err(self.refused(
                "it is a journal that a table writes, and a backup never writes over one",
            ));
        }
        Ok(())
    }

    fn open(&self) -> Result<Connection, rusqlite::Error> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(self.target, flags)?;
        connection.busy_timeout(Duration::from_millis(BUSY_MS))?;
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
        // EXTRA: the end of the rollback journal is synced too, so that a commit that returned outlasts a power cut.
        connection.pragma_update(None, "synchronous", "EXTRA")?;
        // What was forgotten is written over.
        connection.pragma_update(None, "secure_delete", true)?;
        Ok(connection)
    }

    fn grow(&self, keys: Keys) -> Result<Growth, JournalError> {
        let told = |why: rusqlite::Error| self.not_written(&why);
        let mut connection = self.open().map_err(told)?;
        let transaction = connection
            .transaction_with_behavior(TransactionBehavior::Exclusive)
            .map_err(told)?;
        self.require_format(&transaction)?;
        if let Some(why) = schema::differences(&transaction)
            .map_err(told)?
            .into_iter()
            .next()
        {
            return Err(self.refused(format!(
                "it is no whole copy: {why}; make the next backup to a new file"
            )));
        }
        let mut growth = Growth {
            new_visits: 0,
            grown_visits: 0,
            new_entries: 0,
            forgotten_visits: 0,
            visit_count: 0,
            entry_count: 0,
            report: Report::default(),
        };
        growth.forgotten_visits = self.forget(&transaction)?;
        let touched = self.more(&transaction)?;
        for (visit, held) in &touched {
            let added = self.copy_visit(&transaction, *visit, *held).map_err(told)?;
            growth.new_entries += added;
            if *held == 0 {
                growth.new_visits += 1;
            } else {
                growth.grown_visits += 1;
            }
        }
        self.copy_seals(&transaction).map_err(told)?;
        self.copy_lost_visits(&transaction).map_err(told)?;
        self.copy_guest(&transaction).map_err(told)?;
        let touched: Vec<Uuid> = touched.into_iter().map(|(visit, _)| visit).collect();
        self.sign(&transaction, &touched).map_err(told)?;
        let proven = self.to_prove(&transaction, touched).map_err(told)?;
        growth.report = verify_visits(&transaction, self.target, &proven, keys).map_err(told)?;
        let damage = |problem: &&Problem| problem.kind == ProblemKind::Damage;
        if let Some(problem) = growth.report.problems.iter().find(damage) {
            return Err(self.refused(format!(
                "it would be no whole copy: {problem}; run sulcus verify on the journal, and make the next backup to a new file"
            )));
        }
        (growth.visit_count, growth.entry_count) = transaction
            .query_row(
                "SELECT count(*), coalesce(sum(entry_count), 0) FROM summary",
                [],
                |row| Ok((row.get::<_, i64>(0)? as u64, row.get::<_, i64>(1)? as u64)),
            )
            .map_err(told)?;
        transaction.commit().map_err(told)?;
        connection.close().map_err(|(_, why)| told(why))?;
        Ok(growth)
    }

    fn require_format(&self, target: &Connection) -> Result<(), JournalError> {
        let told = |why: rusqlite::Error| self.not_written(&why);
        if let Some(why) = schema::check_format(target).map_err(told)? {
            return Err(self.refused(why));
        }
        if schema::format(target).map_err(told)? != FORMAT
            || schema::format(&self.journal.connection)? != FORMAT
        {
            return Err(self.refused(
                "it or the journal is of an earlier format, which nothing is added to; make a backup to a new file",
            ));
        }
        Ok(())
    }

    /// Takes out what was forgotten since, and leaves its tombstone.
    fn forget(&self, target: &Transaction<'_>) -> Result<u64, JournalError> {
        let told = |why: rusqlite::Error| self.not_written(&why);
        let here = whole_visit::tombstones(&self.journal.connection)?;
        let there = whole_visit::tombstones(target).map_err(told)?;
        if let Some(stone) = there.iter().find(|stone| !here.contains(stone)) {
            return Err(self.refused(format!(
                "visit {} was forgotten in it and not in this journal: it is a backup of another journal, or the journal \
                 was brought back from an older copy; make the next backup to a new file",
                stone.visit
            )));
        }
        let mut count = 0;
        for stone in here.iter().filter(|stone| !there.contains(stone)) {
            stone.insert(target).map_err(told)?;
            let visit = stone.visit.to_string();
            let rows = target
                .execute("DELETE FROM entry WHERE visit = ?1", [&visit])
                .and_then(|rows| {
                    target.execute("DELETE FROM summary WHERE visit = ?1", [&visit])?;
                    if has_guest(target)? {
                        target.execute(
                            &format!("DELETE FROM {} WHERE visit = ?1", schema::GUEST),
                            [&visit],
                        )?;
                    }
                    Ok(rows)
                })
                .map_err(told)?;
            count += u64::from(rows > 0);
        }
        Ok(count)
    }

    /// The visits of which the journal has more, each with the number of entries that the backup has; in the order in
    /// which they were begun. An error where the backup has anything that the journal does not.
    fn more(&self, target: &Connection) -> Result<Vec<(Uuid, u64)>, JournalError> {
        let told = |why: rusqlite::Error| self.not_written(&why);
        let mut there: HashMap<Uuid, Head> = summary::heads(target)
            .map_err(told)?
            .into_iter()
            .map(|(visit, number, hash)| (visit, (number, hash)))
            .collect();
        let here = summary::heads(&self.journal.connection)?;
        let listed: i64 =
            self.journal
                .connection
                .query_row("SELECT count(*) FROM summary", [], |row| row.get(0))?;
        if listed != here.len() as i64 {
            return Err(self.refused(
                "a visit of the journal is damaged, so that no whole copy of it can be made; run sulcus verify",
            ));
        }
        let mut more = Vec::new();
        for (visit, number, hash) in here {
            let held = there.remove(&visit);
            match held {
                Some((held, head)) if held == number && head == hash => {}
                Some((held, head)) => {
                    if held >= number || self.hash(visit, held)?.as_ref() != Some(&head) {
                        return Err(self.diverged(visit, held));
                    }
                    more.push((visit, held));
                }
                None => more.push((visit, 0)),
            }
        }
        match there.into_iter().next() {
            Some((visit, (held, _))) => Err(self.diverged(visit, held)),
            None => Ok(more),
        }
    }

    fn diverged(&self, visit: Uuid, held: u64) -> JournalError {
        self.refused(format!(
            "it holds {held} entries of visit {visit} that this journal does not have so: the journal lost them, or it is a \
             backup of another journal. Keep this file, and make the next backup to a new one"
        ))
    }

    fn hash(&self, visit: Uuid, number: u64) -> Result<Option<String>, JournalError> {
        let hash = self.journal.connection.query_row(
            "SELECT hash FROM entry WHERE visit = ?1 AND number = ?2",
            params![visit.to_string(), number as i64],
            |row| row.get(0),
        );
        Ok(hash.optional()?)
    }

    /// Copies the entries after the first `held`, and the summary; how many.
    fn copy_visit(
        &self,
        target: &Transaction<'_>,
        visit: Uuid,
        held: u64,
    ) -> Result<u64, rusqlite::Error> {
        let mut statement = self.journal.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM entry WHERE visit = ?1 AND number > ?2 ORDER BY number"
        ))?;
        let mut rows = statement.query(params![visit.to_string(), held as i64])?;
        let (mut began, mut count) = (0, 0);
        while let Some(row) = rows.next()? {
            // A row that is none breaks the chain, which is found before the commit.
            let Ok(row) = Row::from_columns(row) else {
                continue;
            };
            row.insert(target)?;
            if row.number == 1 {
                began = target.last_insert_rowid();
            }
            count += 1;
        }
        if held > 0 {
            began = target.query_row(
                "SELECT began FROM summary WHERE visit = ?1",
                [visit.to_string()],
                |row| row.get(0),
            )?;
        }
        if let Some(mut summary) = summary::of_visit(&self.journal.connection, visit)? {
            summary.began = began;
            summary.put(target)?;
        }
        Ok(count)
    }

    /// Signatures that the backup lacks; its own, which only it has, stay.
    fn copy_seals(&self, target: &Transaction<'_>) -> Result<(), rusqlite::Error> {
        let mut statement = self.journal.connection.prepare(
            "SELECT visit, number, hash, at, occasion, key, signature FROM seal ORDER BY rowid",
        )?;
        let mut insert = target.prepare(
            "INSERT INTO seal (visit, number, hash, at, occasion, key, signature)
             SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7 WHERE NOT EXISTS (SELECT 1 FROM seal
                 WHERE visit = ?1 AND number = ?2 AND hash = ?3 AND at = ?4 AND occasion = ?5 AND key = ?6)",
        )?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            insert.execute(params![
                row.get::<_, Value>(0)?,
                row.get::<_, Value>(1)?,
                row.get::<_, Value>(2)?,
                row.get::<_, Value>(3)?,
                row.get::<_, Value>(4)?,
                row.get::<_, Value>(5)?,
                row.get::<_, Value>(6)?
            ])?;
        }
        Ok(())
    }

    fn copy_lost_visits(&self, target: &Transaction<'_>) -> Result<(), rusqlite::Error> {
        let there = losses::told_visits(target)?;
        for lost in losses::told_visits(&self.journal.connection)? {
            if !there.contains(&lost) {
                lost.insert(target)?;
            }
        }
        Ok(())
    }

    /// The table of the guest, as it stands now.
    fn copy_guest(&self, target: &Transaction<'_>) -> Result<(), rusqlite::Error> {
        let source = &self.journal.connection;
        if !has_guest(source)? {
            return Ok(());
        }
        if !has_guest(target)? {
            let mut objects = source
                .prepare("SELECT sql FROM sqlite_schema WHERE tbl_name = ?1 AND sql IS NOT NULL")?;
            for sql in objects.query_map([schema::GUEST], |row| row.get::<_, String>(0))? {
                target.execute_batch(&sql?)?;
            }
        }
        let mut statement = source.prepare(&format!("SELECT * FROM {}", schema::GUEST))?;
        let names: Vec<String> = statement
            .column_names()
            .into_iter()
            .map(str::to_owned)
            .collect();
        let list = |of: &dyn Fn(usize, &String) -> String, between: &str| -> String {
            let all: Vec<String> = names
                .iter()
                .enumerate()
                .map(|(at, name)| of(at, name))
                .collect();
            all.join(between)
        };
        // A row that stands there so already is not written.
        let mut put = target.prepare(&format!(
            "INSERT INTO {} ({}) VALUES ({}) ON CONFLICT DO UPDATE SET {} WHERE {}",
            schema::GUEST,
            list(&|_, name| name.clone(), ", "),
            list(&|at, _| format!("?{}", at + 1), ", "),
            list(&|_, name| format!("{name} = excluded.{name}"), ", "),
            list(&|_, name| format!("{name} IS NOT excluded.{name}"), " OR "),
        ))?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            for at in 0..names.len() {
                put.raw_bind_parameter(at + 1, row.get::<_, Value>(at)?)?;
            }
            put.raw_execute()?;
        }
        Ok(())
    }

    /// Signs the heads of the visits that grew, where they are not signed as they are.
    fn sign(&self, target: &Transaction<'_>, touched: &[Uuid]) -> Result<(), rusqlite::Error> {
        let Some(key) = self.key else { return Ok(()) };
        let now = Timestamp::now();
        for visit in touched {
            let Some((number, hash)) = summary::head(target, *visit)? else {
                continue;
            };
            let is_signed = seal::of_visit(target, &visit.to_string())?
                .iter()
                .any(|seal| seal.number == number && seal.hash == hash && seal.key == key.public());
            if !is_signed {
                key.seal(*visit, (number, &hash), now, Occasion::Backup)
                    .insert(target)?;
            }
        }
        Ok(())
    }

    /// What is read again before the commit: what grew, what has a loss to tell, and this day's part of the rest.
    fn to_prove(
        &self,
        target: &Connection,
        touched: Vec<Uuid>,
    ) -> Result<Vec<Uuid>, rusqlite::Error> {
        let known: HashSet<Uuid> = touched.iter().copied().collect();
        let mut visits = touched;
        let day = Timestamp::now().as_second() / (24 * 60 * 60);
        let mut statement = target.prepare(
            "SELECT visit FROM summary WHERE lost_count > 0 OR began % ?1 = ?2 ORDER BY began",
        )?;
        let rows = statement.query_map([READ_AGAIN_DAYS, day % READ_AGAIN_DAYS], |row| {
            row.get::<_, String>(0)
        })?;
        for visit in rows {
            // A name that is none was refused when the backup was made.
            if let Ok(visit) = visit?.parse()
                && !known.contains(&visit)
            {
                visits.push(visit);
            }
        }
        Ok(visits)
    }
}

fn has_guest(connection: &Connection) -> Result<bool, rusqlite::Error> {
    connection.query_row(
        "SELECT count(*) > 0 FROM sqlite_schema WHERE type = 'table' AND name = ?1",
        [schema::GUEST],
        |row| row.get(0),
    )
}
