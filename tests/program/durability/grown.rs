//! An earlier backup grows by what is new, and is left as it is where that cannot be.

use std::path::{Path, PathBuf};
use std::process::{Output, Stdio};
use std::time::{Duration, Instant};

use rusqlite::Connection;
use sulcus::record::Journal;
use sulcus::record::journal::{self, FILE};

use super::writer::{stderr, stdout, sulcus, writer};

const JOURNALS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/journals");

struct Place {
    _folder: tempfile::TempDir,
    data: PathBuf,
    copy: PathBuf,
}

impl Place {
    /// A journal of some visits, and a backup of it.
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let place = Self {
            data: folder.path().join("data"),
            copy: folder.path().join("copy"),
            _folder: folder,
        };
        place.write(1, 60);
        let made = place.backup();
        assert_eq!(made.status.code(), Some(0), "{}", stderr(&made));
        place
    }

    fn write(&self, seed: u64, append_count: u64) {
        let written = writer(&self.data, seed, append_count)
            .output()
            .expect("starts");
        assert!(written.status.success(), "{}", stderr(&written));
    }

    fn run(&self, arguments: &[&str]) -> Output {
        sulcus(&self.data).args(arguments).output().expect("starts")
    }

    fn backup(&self) -> Output {
        sulcus(&self.data)
            .arg("backup")
            .arg(&self.copy)
            .output()
            .expect("starts")
    }

    #[track_caller]
    fn grows(&self) -> String {
        let grown = self.backup();
        assert_eq!(grown.status.code(), Some(0), "{}", stderr(&grown));
        stdout(&grown)
    }

    /// Refused with these words, and not a byte of the backup is another.
    #[track_caller]
    fn is_left_alone(&self, words: &str) {
        let before = std::fs::read(&self.copy).expect("read");
        let refused = self.backup();
        let told = stderr(&refused);
        assert_eq!(refused.status.code(), Some(1), "{}{told}", stdout(&refused));
        assert!(
            told.contains(words) && told.contains("was left as it is"),
            "{words}: {told}"
        );
        assert!(
            std::fs::read(&self.copy).expect("read") == before,
            "{words}: it was changed"
        );
        let mut rollback = self.copy.clone().into_os_string();
        rollback.push("-journal");
        assert!(!Path::new(&rollback).exists(), "{words}");
    }

    #[track_caller]
    fn is_whole_copy(&self) {
        let verified = self.run(&["verify", self.copy.to_str().expect("a path")]);
        assert_eq!(verified.status.code(), Some(0), "{}", stdout(&verified));
        let (data, copy) = (self.data.join(FILE), &self.copy);
        for of in [
            "visit, number, at, monotonic_ms, heard, supersedes, event, hash FROM entry ORDER BY visit, number",
            "visit, opened_at, finished_at, state, patient, patient_key, patient_id, search, entry_count, head_hash,
                 value_count, confirmed_count, lost_count FROM summary ORDER BY visit",
            "visit, at, reason, entry_count, last_hash FROM tombstone ORDER BY visit",
            "visit, number, hash, at, occasion, key, signature FROM seal WHERE occasion <> 'backup' ORDER BY 1, 2, 4, 7",
        ] {
            assert!(rows(&data, of) == rows(copy, of), "{of}");
        }
        // Visits stand in the order in which they were begun.
        let order = "visit FROM summary ORDER BY began";
        assert_eq!(rows(&data, order), rows(copy, order));
    }
}

fn rows(file: &Path, of: &str) -> Vec<Vec<rusqlite::types::Value>> {
    let connection = Connection::open(file).expect("opens");
    let mut statement = connection.prepare(&format!("SELECT {of}")).expect(of);
    let width = statement.column_count();
    statement
        .query_map([], |row| (0..width).map(|at| row.get(at)).collect())
        .expect("asked")
        .collect::<Result<_, _>>()
        .expect("read")
}

#[test]
fn an_earlier_backup_grows_by_what_is_new() {
    let place = Place::new();
    let told = place.grows();
    assert!(
        told.contains("grew by 0 entries in 0 new and 0 earlier visits"),
        "{told}"
    );
    // A visit gets more, and others begin.
    let finished = place.run(&["finish", "last", "--anyway"]);
    assert!(finished.status.success(), "{}", stderr(&finished));
    place.write(2, 60);
    sulcus::outbox::Outbox::open(&place.data).expect("opens");
    let told = place.grows();
    assert!(told.contains("new and 1 earlier visits"), "{told}");
    place.is_whole_copy();
    // What was forgotten goes from the backup too, its bytes included, and what came after it is there.
    let name = "an invented vet";
    let count = |place: &Place| {
        let bytes = std::fs::read(&place.copy).expect("read");
        bytes
            .windows(name.len())
            .filter(|part| *part == name.as_bytes())
            .count()
    };
    let before = count(&place);
    let newest = Journal::open_reader(&place.data)
        .expect("opens")
        .visits()
        .expect("visits")[0]
        .visit;
    let forgotten = place.run(&[
        "forget",
        &newest.to_string(),
        "--reason",
        "the owner's wish (invented)",
        "--i-may-delete-this",
    ]);
    assert!(forgotten.status.success(), "{}", stderr(&forgotten));
    place.write(3, 5);
    let told = place.grows();
    assert!(told.contains("1 forgotten visits were taken out"), "{told}");
    place.is_whole_copy();
    assert!(count(&place) <= before, "{before}");
    let other = place.data.with_file_name("other");
    let report = journal::restore(&place.copy, &other).expect("restored");
    assert_eq!(report.problems, []);
    let lines = |data: &Path| {
        Journal::open_reader(data)
            .expect("opens")
            .visits()
            .expect("visits")
    };
    assert_eq!(lines(&place.data), lines(&other));
}

#[test]
fn what_is_no_backup_of_this_journal_is_left_as_it_is() {
    let place = Place::new();
    place.write(2, 60);
    let whole = std::fs::read(&place.copy).expect("read");
    let again = || std::fs::write(&place.copy, &whole).expect("written");
    let change = |sql: &str| {
        again();
        let raw = Connection::open(&place.copy).expect("opens");
        raw.execute_batch(sql).expect(sql);
    };
    // Foreign.
    std::fs::write(&place.copy, "a letter of many lines ".repeat(20)).expect("written");
    place.is_left_alone("no backup of a journal");
    std::fs::write(&place.copy, "").expect("written");
    place.is_left_alone("no backup of a journal");
    change("PRAGMA application_id = 7");
    place.is_left_alone("no backup of a journal");
    // Newer, and older.
    change("PRAGMA user_version = 99");
    place.is_left_alone("use the newer program");
    change("PRAGMA user_version = 1");
    place.is_left_alone("of an earlier format");
    // A journal at work.
    change("PRAGMA journal_mode = WAL");
    place.is_left_alone("a journal that a table writes");
    // Damaged: a trigger, the end of the file, a page, an entry of the visit that grows.
    change("DROP TRIGGER entry_is_never_changed");
    place.is_left_alone("entry_is_never_changed is missing");
    std::fs::write(&place.copy, &whole[..whole.len() / 2]).expect("written");
    place.is_left_alone("no whole copy");
    let mut bytes = whole.clone();
    bytes[4096..12288].fill(0x5a);
    std::fs::write(&place.copy, bytes).expect("written");
    place.is_left_alone("no whole copy");
    again();
    let finished = place.run(&["finish", "last", "--anyway"]);
    assert!(finished.status.success(), "{}", stderr(&finished));
    let grown_visit = "DROP TRIGGER entry_is_never_changed;
        UPDATE entry SET at = replace(at, ':', '.') WHERE number = 2;
        CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
    BEGIN SELECT RAISE(ABORT, 'the journal only grows'); END";
    let other = Place::new();
    let addendum = other.run(&["finish", "last", "--anyway"]);
    assert!(addendum.status.success(), "{}", stderr(&addendum));
    Connection::open(&other.copy)
        .expect("opens")
        .execute_batch(grown_visit)
        .expect("changed");
    other.is_left_alone("its hash does not fit");
    // Of another journal, and of this one before it lost something.
    let stranger = tempfile::tempdir().expect("a folder");
    let written = writer(stranger.path(), 77, 20).output().expect("starts");
    assert!(written.status.success());
    std::fs::remove_file(&place.copy).expect("removed");
    journal::backup(stranger.path(), &place.copy).expect("copied");
    place.is_left_alone("a backup of another journal");
    // The journal of the folder itself.
    let itself = place.run(&["backup", place.data.join(FILE).to_str().expect("a path")]);
    assert_eq!(itself.status.code(), Some(1));
    assert!(
        stderr(&itself).contains("the journal itself"),
        "{}",
        stderr(&itself)
    );
    // A folder.
    let folder = place.run(&["backup", place.data.to_str().expect("a path")]);
    assert_eq!(folder.status.code(), Some(1));
    assert!(
        stderr(&folder).contains("no backup of a journal"),
        "{}",
        stderr(&folder)
    );
}

/// The newer backup may hold just what the journal lost: it is left alone, and the loss is told.
#[test]
fn a_backup_that_holds_what_the_journal_lost_is_kept() {
    let place = Place::new();
    let older = place.copy.with_file_name("older");
    std::fs::copy(&place.copy, &older).expect("copied");
    place.write(2, 60);
    place.grows();
    // The journal is lost, and an older copy laid in its place.
    for end in ["", "-wal", "-shm"] {
        // What a reader left beside it is there or not.
        let _ = std::fs::remove_file(place.data.join(format!("{FILE}{end}")));
    }
    let report = journal::restore(&older, &place.data).expect("restored");
    assert!(
        report
            .problems
            .iter()
            .any(|problem| problem.why.contains("is gone")),
        "{report:?}"
    );
    place.is_left_alone("the journal lost them");
    let refused = place.backup();
    assert!(stderr(&refused).contains("LOST"), "{}", stderr(&refused));
    // Told durably by the next writer, it is told with each backup; the older one can grow.
    drop(Journal::open(&place.data).expect("opens"));
    place.is_left_alone("the journal lost them");
    std::fs::rename(&older, &place.copy).expect("renamed");
    assert!(place.grows().contains("LOST earlier"));
}

#[test]
fn an_earlier_format_is_not_added_to() {
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    std::fs::create_dir(&data).expect("made");
    let oldest = Path::new(JOURNALS).join("v1").join(FILE);
    assert!(oldest.is_file(), "{}", oldest.display());
    std::fs::copy(&oldest, data.join(FILE)).expect("copied");
    let copy = place.path().join("copy");
    let backup = || {
        sulcus(&data)
            .arg("backup")
            .arg(&copy)
            .output()
            .expect("starts")
    };
    let made = backup();
    assert!(made.status.success(), "{}", stderr(&made));
    let refused = backup();
    assert_eq!(refused.status.code(), Some(1));
    assert!(
        stderr(&refused).contains("of an earlier format"),
        "{}",
        stderr(&refused)
    );
}

fn years(data: &Path, seed: u64, count: u64) {
    let made = sulcus(data)
        .args([
            "simulate",
            "--visits",
            &count.to_string(),
            "--seed",
            &seed.to_string(),
        ])
        .output()
        .expect("starts");
    assert!(made.status.success(), "{}", stderr(&made));
}

/// Killed in the middle it is what it was, wherever it is then carried, and grows the next time.
#[test]
fn a_backup_that_was_killed_while_it_grew_is_what_it_was() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = Place {
        data: folder.path().join("data"),
        copy: folder.path().join("copy"),
        _folder: folder,
    };
    years(&place.data, 1, 40);
    let made = place.backup();
    assert!(made.status.success(), "{}", stderr(&made));
    let kept = place.copy.with_file_name("kept");
    std::fs::copy(&place.copy, &kept).expect("copied");
    // More than SQLite keeps in memory, so that it is written before the commit.
    years(&place.data, 2, 120);
    let count = |file: &Path| rows(file, "count(*) FROM entry");
    let before = count(&place.copy);
    let mut rollback = place.copy.clone().into_os_string();
    rollback.push("-journal");
    let (mut broken_count, mut round) = (0, 0);
    while broken_count < 4 {
        let mut child = sulcus(&place.data)
            .arg("backup")
            .arg(&place.copy)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("starts");
        let started = Instant::now();
        let is_writing = || std::fs::metadata(&rollback).is_ok_and(|data| data.len() > 512);
        while !is_writing() && child.try_wait().expect("asked").is_none() {
            assert!(started.elapsed() < Duration::from_secs(60), "it writes");
            std::thread::sleep(Duration::from_millis(1));
        }
        std::thread::sleep(Duration::from_millis(40 * round));
        child.kill().expect("killed");
        child.wait().expect("ended");
        round += 1;
        assert!(round < 40, "it was in the middle {broken_count} times only");
        if !is_writing() {
            // It was done before the kill: brought back, to be tried sooner.
            round = 0;
            std::fs::copy(&kept, &place.copy).expect("copied");
            continue;
        }
        broken_count += 1;
        // Each way out of it: laid into a folder (which writes nothing of it), looked at, grown.
        let carried = place.copy.with_file_name(format!("carried-{round}"));
        let report = journal::restore(&place.copy, &carried).expect("restored");
        assert_eq!(report.problems, []);
        assert_eq!(count(&carried.join(FILE)), before);
        assert!(is_writing(), "the original is not written");
        let verified = place.run(&["verify", place.copy.to_str().expect("a path")]);
        assert_eq!(verified.status.code(), Some(0), "{}", stdout(&verified));
        assert_eq!(count(&place.copy), before);
    }
    let told = place.grows();
    assert!(told.contains("in 120 new and 0 earlier visits"), "{told}");
    place.is_whole_copy();
}
