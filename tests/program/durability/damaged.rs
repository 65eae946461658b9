//! Files that the disk changed behind the program's back: cut at many bytes, bits turned over.
//! Whatever is then read is what was written; what is missing is told.

use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};

use sulcus::clock::{Clock, SetClock};
use sulcus::record::journal::{FILE, LOG_FILE, MARK_FILE, read_damaged, salvage};
use sulcus::record::{Entry, Event, Journal, JournalError};
use sulcus::sim::{Examinations, SimulatedDisk};

use super::{Effort, Row};

/// The files of a journal and what they hold.
struct Original {
    files: Vec<(&'static str, Vec<u8>)>,
    visits: Vec<Vec<Entry>>,
}

impl Original {
    /// A journal of two visits; all in the log, or all in the database.
    fn new(is_in_log: bool) -> Self {
        let disk = SimulatedDisk::new(0);
        let mut clock = SetClock::at_second(1_700_000_000);
        let folder = disk.folder(u32::MAX);
        let mut journal = Journal::open_on(Box::new(folder)).expect("opens");
        for seed in [3, 4] {
            let mut visit = None;
            for step in Examinations::with_teeth(seed, 2) {
                if *visit.get_or_insert(step.visit) != step.visit {
                    break;
                }
                clock.advance_ms(step.wait_ms);
                journal
                    .append(step.visit, &step.drafts, clock.now())
                    .expect("saves");
            }
        }
        let visits: Vec<Vec<Entry>> = journal
            .visits()
            .expect("lists")
            .iter()
            .map(|line| journal.entries(line.visit).expect("reads"))
            .collect();
        assert_eq!(visits.len(), 2);
        if !is_in_log {
            drop(journal);
        } else {
            // Left open, as by a kill.
            std::mem::forget(journal);
        }
        let files: Vec<_> = [FILE, LOG_FILE, MARK_FILE]
            .into_iter()
            .filter_map(|name| {
                let path = disk.path(name);
                let bytes = disk.with(|disk| disk.bytes(&path).map(<[u8]>::to_vec));
                Some((name, bytes?))
            })
            .collect();
        Self { files, visits }
    }

    fn entry_count(&self) -> u64 {
        self.visits.iter().map(|entries| entries.len() as u64).sum()
    }
}

/// A change to one file.
#[derive(Debug, Clone, Copy)]
enum Damage {
    CutAt(usize),
    BitTurned { byte: usize, bit: u8 },
    Removed,
}

impl Damage {
    fn apply(self, bytes: &[u8]) -> Option<Vec<u8>> {
        let mut bytes = bytes.to_vec();
        match self {
            Self::CutAt(length) => bytes.truncate(length),
            Self::BitTurned { byte, bit } => bytes[byte] ^= 1 << bit,
            Self::Removed => return None,
        }
        Some(bytes)
    }
}

/// What came of one damaged journal.
struct Verdict {
    is_lost: bool,
    told: Option<String>,
}

/// Opens the damaged journal as a reader, then as a writer; looks at all that it gives.
fn look(original: &Original, name: &str, damage: Damage) -> Verdict {
    let mut verdict = Verdict {
        is_lost: false,
        told: None,
    };
    for is_writer in [false, true] {
        let disk = SimulatedDisk::new(0);
        for (file, bytes) in &original.files {
            let bytes = if *file == name {
                damage.apply(bytes)
            } else {
                Some(bytes.clone())
            };
            if let Some(bytes) = bytes {
                disk.with(|on| on.put(&disk.path(file), &bytes));
            }
        }
        let folder = Box::new(disk.folder(u32::MAX));
        let opened = if is_writer {
            Journal::open_on(folder)
        } else {
            Journal::open_reader_on(folder)
        };
        let what = format!("{name} {damage:?}, writer {is_writer}");
        match opened {
            Err(error) => verdict.told = Some(clear(&error, &what)),
            Ok(journal) => {
                // A reader goes on with what can be proven, and tells the damage.
                verdict.told = journal.damage().into_iter().next().or(verdict.told);
                read_all(original, &journal, &what, &mut verdict);
            }
        }
    }
    verdict
}

fn read_all(original: &Original, journal: &Journal, what: &str, verdict: &mut Verdict) {
    for saved in &original.visits {
        let visit = saved[0].visit;
        match journal.entries(visit) {
            Err(error) => verdict.told = Some(clear(&error, what)),
            Ok(mut entries) => {
                // A writer tells a loss by an entry at once.
                if let Some(told) = entries
                    .iter()
                    .position(|entry| matches!(entry.event, Event::LossTold { .. }))
                {
                    assert_eq!(told + 1, entries.len(), "{what}");
                    entries.truncate(told);
                }
                // Never another value: what is there is what was written, from the first on.
                assert!(
                    entries.len() <= saved.len(),
                    "{what}: more than was written"
                );
                assert_eq!(entries[..], saved[..entries.len()], "{what}");
                if entries.len() < saved.len() {
                    let told = journal.lost_ends().iter().find(|lost| lost.visit == visit);
                    match told {
                        Some(lost) => {
                            assert_eq!(lost.held, entries.len() as u64, "{what}");
                            assert_eq!(lost.saved, saved.len() as u64, "{what}");
                            verdict.told = Some(lost.to_string());
                        }
                        None if !journal.damage().is_empty() => {}
                        None => {
                            println!(
                                "{what}: {} of {} entries, and nothing told",
                                entries.len(),
                                saved.len()
                            );
                            verdict.is_lost = true;
                        }
                    }
                }
            }
        }
    }
}

/// The message, where it is one that a person can act on.
#[track_caller]
fn clear(error: &JournalError, what: &str) -> String {
    let message = error.to_string();
    let is_clear = match error {
        JournalError::Corrupt { .. } => message.contains("sulcus salvage"),
        JournalError::Damaged { .. } => message.contains("sulcus verify"),
        JournalError::Foreign { .. } | JournalError::Folder { .. } => {
            message.contains(FILE) || message.contains("--data")
        }
        JournalError::Read(_) | JournalError::NotSaved { .. } => true,
        _ => false,
    };
    assert!(is_clear, "{what}: {message}");
    message
}

fn try_all(title: &str, original: &Original, name: &str, damages: &[Damage]) -> Row {
    let next = AtomicUsize::new(0);
    let lost = AtomicU64::new(0);
    let told: Mutex<Vec<String>> = Mutex::default();
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                while let Some(damage) = damages.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let verdict = look(original, name, *damage);
                    lost.fetch_add(u64::from(verdict.is_lost), Ordering::Relaxed);
                    told.lock().expect("no panic").extend(verdict.told);
                }
            });
        }
    });
    let told = told.into_inner().expect("no panic");
    let mut row = Row::new(title);
    row.tried = damages.len() as u64;
    row.saved = original.entry_count();
    row.lost = lost.into_inner();
    if let Some(message) = told.first() {
        row.tell(&format!("{} of them, such as: {message}", told.len()));
    }
    row
}

fn cuts(length: usize, stride: usize) -> Vec<Damage> {
    (0..length).step_by(stride).map(Damage::CutAt).collect()
}

fn turned_bits(length: usize, stride: usize) -> Vec<Damage> {
    (0..length * 8)
        .step_by(stride)
        .map(|at| Damage::BitTurned {
            byte: at / 8,
            bit: (at % 8) as u8,
        })
        .collect()
}

pub fn bytes(effort: Effort) -> Vec<Row> {
    let in_database = Original::new(false);
    let in_log = Original::new(true);
    let length = |original: &Original, name: &str| {
        let file = original.files.iter().find(|(file, _)| *file == name);
        file.map_or(0, |(_, bytes)| bytes.len())
    };
    let (database, log) = (length(&in_database, FILE), length(&in_log, LOG_FILE));
    assert!(database > 20_000 && log > 20_000, "{database}, {log}");
    // Primes, so that no pattern of the pages is followed. Every byte would be hours: each is two starts of a journal.
    let (cut, bit) = effort.choose((997, 4_001), (29, 401));
    vec![
        try_all(
            "the database is cut, at every 29th byte",
            &in_database,
            FILE,
            &cuts(database, cut),
        ),
        try_all(
            "the log is cut, at every 29th byte",
            &in_log,
            LOG_FILE,
            &cuts(log, cut),
        ),
        try_all(
            "a bit of the database is turned over",
            &in_database,
            FILE,
            &turned_bits(database, bit),
        ),
        try_all(
            "a bit of the log is turned over",
            &in_log,
            LOG_FILE,
            &turned_bits(log, bit),
        ),
        try_all("the log is removed", &in_log, LOG_FILE, &[Damage::Removed]),
        try_all(
            "the database is emptied",
            &in_database,
            FILE,
            &[Damage::CutAt(0)],
        ),
        try_all(
            "the mark is damaged",
            &in_database,
            MARK_FILE,
            &[
                Damage::Removed,
                Damage::CutAt(10),
                Damage::BitTurned { byte: 30, bit: 3 },
            ],
        ),
    ]
}

/// The damaged journals again: what salvage gives is proven, and what it lacks is told.
pub fn salvaged(effort: Effort) -> Vec<Row> {
    let mut rows = Vec::new();
    for (title, is_in_log, name) in [
        (
            "salvage after bits of the database were turned over",
            false,
            FILE,
        ),
        (
            "salvage after bits of the log were turned over",
            true,
            LOG_FILE,
        ),
    ] {
        let original = Original::new(is_in_log);
        let mut row = Row::new(title);
        let length = original
            .files
            .iter()
            .find(|(file, _)| *file == name)
            .map_or(0, |(_, bytes)| bytes.len());
        let mut proven = 0;
        for damage in turned_bits(length, effort.choose(20_011, 4_001)) {
            let disk = SimulatedDisk::new(0);
            for (file, bytes) in &original.files {
                let damaged = (*file == name).then(|| damage.apply(bytes)).flatten();
                disk.with(|on| on.put(&disk.path(file), damaged.as_ref().unwrap_or(bytes)));
            }
            let found = read_damaged(&disk.folder(1)).expect("bytes can be read");
            for saved in &original.visits {
                let entries = found.entries(saved[0].visit);
                assert_eq!(entries[..], saved[..entries.len()], "{damage:?}");
                proven += entries.len() as u64;
                let told = found
                    .salvage
                    .visits
                    .iter()
                    .find(|visit| visit.visit == saved[0].visit);
                let is_told = told.is_some_and(|visit| {
                    let lost: u64 = visit
                        .lost
                        .iter()
                        .map(|range| range.end() + 1 - range.start())
                        .sum();
                    visit.proven_count + visit.unproven.len() as u64 + lost >= saved.len() as u64
                });
                row.lost += u64::from(entries.len() < saved.len() && !is_told);
            }
            row.tried += 1;
            row.saved += original.entry_count();
        }
        row.tell(&format!(
            "of {} entries {proven} were proven and kept, the others told by number",
            row.saved
        ));
        rows.push(row);
    }
    rows
}

#[test]
fn damaged_files_are_told_and_never_misread() {
    for row in bytes(Effort::Quick) {
        row.require_nothing_lost();
    }
}

#[test]
fn salvage_gives_only_what_is_proven_and_tells_the_rest() {
    for row in salvaged(Effort::Quick) {
        row.require_nothing_lost();
    }
}

/// Writes the files of a journal into a real folder.
fn lay(original: &Original, folder: &Path, name: &str, damage: Damage) {
    for (file, bytes) in &original.files {
        let bytes = if *file == name {
            damage.apply(bytes)
        } else {
            Some(bytes.clone())
        };
        if let Some(bytes) = bytes {
            std::fs::write(folder.join(file), bytes).expect("written");
        }
    }
}

/// An undamaged journal is salvaged whole, from the database and from the log: the page reader knows the format.
#[test]
fn a_whole_journal_is_salvaged_whole() {
    for is_in_log in [false, true] {
        let original = Original::new(is_in_log);
        let folder = tempfile::tempdir().expect("a folder");
        let out = tempfile::tempdir().expect("a folder");
        lay(&original, folder.path(), MARK_FILE, Damage::Removed);
        let found = salvage(folder.path(), out.path()).expect("salvages");
        assert!(found.is_whole(), "{found:?}");
        let journal = Journal::open(out.path()).expect("opens");
        for saved in &original.visits {
            assert_eq!(journal.entries(saved[0].visit).expect("reads"), *saved);
        }
    }
}

/// With the head of the database gone SQLite opens nothing; the pages still prove what they hold.
#[test]
fn salvage_does_without_the_head_of_the_file() {
    let original = Original::new(false);
    let folder = tempfile::tempdir().expect("a folder");
    let out = tempfile::tempdir().expect("a folder");
    lay(&original, folder.path(), MARK_FILE, Damage::Removed);
    let file = folder.path().join(FILE);
    let mut bytes = std::fs::read(&file).expect("read");
    bytes[..100].fill(0xff);
    std::fs::write(&file, &bytes).expect("written");
    let error = Journal::open(folder.path())
        .expect_err("damaged")
        .to_string();
    assert!(error.contains("sulcus salvage"), "{error}");
    let found = salvage(folder.path(), out.path()).expect("salvages");
    assert!(found.is_whole(), "{found:?}");
    assert_eq!(std::fs::read(&file).expect("read"), bytes, "only read");
    let report = sulcus::record::journal::verify(out.path()).expect("verified");
    assert_eq!(report.problems, []);
    assert_eq!(report.visits.len(), original.visits.len());
}
