//! A copy of the journal while somebody writes, and its way back.
//!
//! Invariants: a copy gets its name only after it was proven and synced; nothing that exists is written over, but for
//! an earlier backup of this journal, which `grow` adds to. In the copy the head of every visit is signed, so that a change made to it later shows.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::Connection;
use rusqlite::backup::Backup;

use super::error::JournalError;
use super::grow::{Growth, grow};
use super::mark::{self, Mark, Marked};
use super::seal::{self, Key, Occasion};
use super::storage::{DataFolder, Storage, private_options};
use super::verify::{Keys, Problem, ProblemKind, Report, rollback_of, verify, verify_file};
use super::{FILE, Fault, Journal, LOG_FILE, corrupt, schema, summary};

/// Between two tries while a writer holds the database.
const PAUSE_MS: u64 = 20;

/// What a backup made.
#[derive(Debug, Clone, PartialEq)]
pub enum Copied {
    /// A new file, proven whole.
    Whole(Report),
    /// An earlier backup has now what it lacked.
    Grown(Growth),
}

impl Copied {
    /// What was proven on the way.
    pub fn report(&self) -> &Report {
        match self {
            Self::Whole(report) => report,
            Self::Grown(growth) => &growth.report,
        }
    }
}

/// Copies the journal of a folder to a new file, beside a writer too, and proves the copy; where the file is an earlier
/// backup of it, adds what that lacks.
/// Losses that were found when the journal was opened are told by the journal that is returned with it.
pub fn backup(folder: &Path, target: &Path) -> Result<(Copied, Journal), JournalError> {
    let journal = Journal::open_reader(folder)?;
    let storage = DataFolder::new(folder);
    let key = Key::read(&storage).ok().flatten();
    let keys = Keys::of(&storage);
    if target.exists() {
        let growth = grow(&journal, target, key.as_ref(), keys)?;
        return Ok((Copied::Grown(growth), journal));
    }
    let side = side_name(target);
    let report = copy(&journal, &side, key.as_ref(), keys)
        .and_then(|report| {
            rename_synced(&side, target).map_err(|why| JournalError::folder_io(target, &why))?;
            Ok(Report {
                file: target.to_owned(),
                ..report
            })
        })
        .inspect_err(|_| remove_side(&side))?;
    Ok((Copied::Whole(report), journal))
}

fn copy(
    journal: &Journal,
    side: &Path,
    key: Option<&Key>,
    keys: Keys,
) -> Result<Report, JournalError> {
    let not_saved = |why: String, fault| JournalError::NotSaved {
        why: format!("{}: {why}", side.display()),
        fault,
    };
    let io = |why: io::Error| not_saved(why.to_string(), Fault::of_io(&why));
    let sqlite = |why: rusqlite::Error| not_saved(why.to_string(), Fault::of_sqlite(&why));
    remove_side(side);
    private_options().create_new(true).open(side).map_err(io)?;
    let mut target = Connection::open(side)?;
    // All pages in one step: one view of the database, which a writer need not wait for.
    Backup::new(&journal.connection, &mut target)?
        .run_to_completion(i32::MAX, Duration::from_millis(PAUSE_MS), None)
        .map_err(sqlite)?;
    if let Some(key) = key {
        sign_heads(&mut target, key).map_err(sqlite)?;
    }
    // One file that can be carried away, without a log beside it.
    target
        .pragma_update(None, "journal_mode", "DELETE")
        .map_err(sqlite)?;
    target.close().map_err(|(_, why)| sqlite(why))?;
    File::open(side)
        .and_then(|file| file.sync_all())
        .map_err(io)?;
    proven(side, keys)
}

/// Signs the heads that are not signed as they are: of visits that go on, or were added to after their end.
fn sign_heads(copy: &mut Connection, key: &Key) -> Result<(), rusqlite::Error> {
    if schema::format(copy)? < 2 {
        return Ok(());
    }
    let now = jiff::Timestamp::now();
    let transaction = copy.transaction()?;
    for (visit, number, hash) in summary::heads(&transaction)? {
        let seals = seal::of_visit(&transaction, &visit.to_string())?;
        let is_signed = seals
            .iter()
            .any(|seal| seal.number == number && seal.hash == hash && seal.key == key.public());
        if !is_signed {
            key.seal(visit, (number, &hash), now, Occasion::Backup)
                .insert(&transaction)?;
        }
    }
    transaction.commit()
}

/// Lays a backup into a data folder that holds no journal. Where that folder has no key of its own, the keys that the
/// backup names are trusted from then on: the report tells them, so that a person can compare.
pub fn restore(file: &Path, folder: &Path) -> Result<Report, JournalError> {
    let storage = DataFolder::new(folder);
    let keys = Keys::of(&storage);
    // One whose growing was broken off is proven where it is laid, brought back to what it was; the original is not
    // written.
    let is_broken_off = rollback_of(file).is_file();
    let mut named = Vec::new();
    if !is_broken_off {
        named = proven(file, keys.clone())?.keys.named_by_file;
    }
    let trouble = |why: io::Error| JournalError::folder_io(folder, &why);
    storage.prepare().map_err(trouble)?;
    let _lock = storage.lock()?;
    for name in [FILE, LOG_FILE] {
        if storage.len(name).is_some() {
            return Err(JournalError::folder(
                folder,
                format!("it holds visits ({name}), and a backup never replaces them"),
            ));
        }
    }
    let target = folder.join(FILE);
    let side = side_name(&target);
    remove_side(&side);
    lay(file, &side)
        .map_err(trouble)
        .and_then(|()| proven(&side, keys))
        .and_then(|report| {
            if is_broken_off {
                named = report.keys.named_by_file;
            }
            rename_synced(&side, &target).map_err(trouble)
        })
        .inspect_err(|_| remove_side(&side))?;
    // A mark that is there tells of entries that the backup may lack: it stays.
    if storage.len(mark::FILE).is_none()
        && let Some(mark) = newest_mark(&storage)?
    {
        // Only a help to notice a lost end later.
        let _ = storage.overwrite(mark::FILE, &mark.to_bytes());
    }
    for key in &named {
        seal::trust(&storage, key).map_err(trouble)?;
    }
    let mut report = verify(folder)?;
    report.keys.named_by_file = named;
    Ok(report)
}

fn lay(file: &Path, side: &Path) -> io::Result<()> {
    let copy = |from: &Path, to: &Path| {
        let mut from = File::open(from)?;
        let mut to = private_options().create_new(true).open(to)?;
        io::copy(&mut from, &mut to)?;
        to.sync_all()
    };
    let rollback = rollback_of(file);
    if rollback.is_file() {
        copy(&rollback, &rollback_of(side))?;
    }
    copy(file, side)
}

fn newest_mark(storage: &DataFolder) -> Result<Option<Mark>, JournalError> {
    let connection = super::connect(storage, false)?;
    let visit_count = summary::visit_count(&connection).map_err(|why| corrupt(storage, &why))?;
    let newest = connection.query_row(
        "SELECT visit, number, hash FROM entry ORDER BY rowid DESC LIMIT 1",
        [],
        |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get::<_, i64>(1)?,
                row.get::<_, String>(2)?,
            ))
        },
    );
    match newest {
        Ok((visit, number, hash)) => Ok(visit.parse().ok().map(|visit| Mark {
            newest: vec![Marked {
                visit,
                number: number as u64,
                hash,
                at: None,
            }],
            visit_count,
        })),
        Err(rusqlite::Error::QueryReturnedNoRows) => Ok(None),
        Err(why) => Err(corrupt(storage, &why)),
    }
}

/// The report of a copy that is not damaged. What else is wrong with its visits was so before it was copied.
fn proven(file: &Path, keys: Keys) -> Result<Report, JournalError> {
    let report = verify_file(file, keys)?;
    let damage = |problem: &&Problem| problem.kind == ProblemKind::Damage;
    match report.problems.iter().find(damage) {
        None => Ok(report),
        Some(problem) => Err(JournalError::Foreign {
            file: file.display().to_string(),
            why: format!("it is no whole copy: {problem}"),
        }),
    }
}

fn side_name(target: &Path) -> PathBuf {
    let mut name = target.as_os_str().to_owned();
    name.push(".partial");
    name.into()
}

/// A side file is an unfinished copy of ours: worth nothing.
fn remove_side(side: &Path) {
    for end in ["", "-journal", "-wal", "-shm"] {
        let mut name = side.as_os_str().to_owned();
        name.push(end);
        let _ = fs::remove_file(name);
    }
}

fn rename_synced(side: &Path, target: &Path) -> io::Result<()> {
    // A hard link fails where the name was taken meanwhile; a rename would write over it.
    fs::hard_link(side, target).or_else(|why| {
        if why.kind() == io::ErrorKind::AlreadyExists {
            Err(why)
        } else {
            fs::rename(side, target)
        }
    })?;
    remove_side(side);
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    File::open(folder)?.sync_all()
}
