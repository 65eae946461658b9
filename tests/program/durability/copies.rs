//! Backups while somebody writes, their way back, and who may read what.

use std::io::{BufRead, BufReader};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Command, Stdio};

use sulcus::record::journal::{self, FILE};
use sulcus::record::{Journal, JournalError};

use super::writer::{Saved, lost_after_start, stderr, stdout, sulcus, writer};
use super::{Effort, Row};

/// Everything told as saved before a backup began is in the backup.
pub fn backups_while_writing(effort: Effort) -> Row {
    let mut row = Row::new("backup taken while it is written, then restored elsewhere");
    let data = tempfile::tempdir().expect("a folder");
    let mut child = writer(data.path(), 5, u64::MAX)
        .stdout(Stdio::piped())
        .spawn()
        .expect("the built program starts");
    let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    let mut saved = Saved::default();
    for round in 0..effort.choose(3, 60) {
        // The pipe is small, so the writer is never far ahead of what was heard.
        for line in lines.by_ref().take(50) {
            saved.hear(&line.expect("text"));
        }
        let place = tempfile::tempdir().expect("a folder");
        let (file, other) = (place.path().join("copy.sqlite"), place.path().join("other"));
        let output = sulcus(data.path())
            .arg("backup")
            .arg(&file)
            .output()
            .expect("starts");
        assert!(
            output.status.success(),
            "round {round}: {}",
            stderr(&output)
        );
        row.tell(&stdout(&output).replace(&file.display().to_string(), "FILE"));
        assert_eq!(mode(&file), 0o600);
        let output = sulcus(&other)
            .arg("restore")
            .arg(&file)
            .output()
            .expect("starts");
        assert!(
            output.status.success(),
            "round {round}: {}",
            stderr(&output)
        );
        row.tried += 1;
        row.saved = saved.count();
        row.lost += lost_after_start(&other, &saved);
    }
    child.kill().expect("killed");
    child.wait().expect("ended");
    row
}

fn mode(path: &Path) -> u32 {
    std::fs::metadata(path).expect("there").permissions().mode() & 0o777
}

#[test]
fn a_backup_while_writing_holds_all_that_was_saved_before() {
    backups_while_writing(Effort::Quick).require_nothing_lost();
}

fn small_journal(folder: &Path) {
    let output = writer(folder, 1, 20).output().expect("starts");
    assert!(output.status.success(), "{}", stderr(&output));
}

#[test]
fn nothing_that_exists_is_written_over() {
    let place = tempfile::tempdir().expect("a folder");
    let (data, file) = (place.path().join("data"), place.path().join("copy"));
    small_journal(&data);
    std::fs::write(&file, "something else").expect("written");
    let output = sulcus(&data)
        .arg("backup")
        .arg(&file)
        .output()
        .expect("starts");
    assert_eq!(output.status.code(), Some(1));
    assert!(
        stderr(&output).contains("never writes over"),
        "{}",
        stderr(&output)
    );
    assert_eq!(std::fs::read(&file).expect("there"), b"something else");
    std::fs::remove_file(&file).expect("removed");
    journal::backup(&data, &file).expect("copied");
    let output = sulcus(&data)
        .arg("restore")
        .arg(&file)
        .output()
        .expect("starts");
    assert_eq!(output.status.code(), Some(1));
    assert!(
        stderr(&output).contains("never replaces"),
        "{}",
        stderr(&output)
    );
    let output = sulcus(&data)
        .arg("salvage")
        .arg(&data)
        .output()
        .expect("starts");
    assert_eq!(output.status.code(), Some(1));
    let names: Vec<_> = std::fs::read_dir(place.path())
        .expect("lists")
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    assert_eq!(names.len(), 2, "nothing half done is left: {names:?}");
}

#[test]
fn a_damaged_backup_is_refused() {
    let place = tempfile::tempdir().expect("a folder");
    let (data, file) = (place.path().join("data"), place.path().join("copy"));
    small_journal(&data);
    journal::backup(&data, &file).expect("copied");
    let mut bytes = std::fs::read(&file).expect("there");
    // Every copy of the words, used or left over in a page: one of them is the event.
    let starts: Vec<usize> = (0..bytes.len())
        .filter(|&at| bytes[at..].starts_with(b"an invented vet"))
        .collect();
    assert!(!starts.is_empty());
    for at in starts {
        bytes[at] ^= 1;
    }
    std::fs::write(&file, bytes).expect("written");
    let output = sulcus(&data)
        .arg("verify")
        .arg(&file)
        .output()
        .expect("starts");
    assert_eq!(output.status.code(), Some(1));
    assert!(
        stdout(&output).contains("problem in visit"),
        "{}",
        stdout(&output)
    );
    let other = place.path().join("other");
    let error = journal::restore(&file, &other)
        .expect_err("refused")
        .to_string();
    assert!(error.contains("no whole copy"), "{error}");
    assert!(!other.join(FILE).exists());
}

/// What the mark knows of the newest entries outlives the journal: an old backup put in its place is told.
#[test]
fn an_old_backup_in_place_of_a_lost_journal_is_told() {
    let place = tempfile::tempdir().expect("a folder");
    let (data, file) = (place.path().join("data"), place.path().join("copy"));
    small_journal(&data);
    journal::backup(&data, &file).expect("copied");
    let output = writer(&data, 2, 20).output().expect("starts");
    assert!(output.status.success(), "{}", stderr(&output));
    std::fs::remove_file(data.join(FILE)).expect("removed");
    let report = journal::restore(&file, &data).expect("restored");
    assert!(report.problems[0].why.contains("is gone"), "{report:?}");
    let journal = Journal::open(&data).expect("opens");
    assert!(
        journal.lost_ends()[0]
            .to_string()
            .contains("saved entries are lost")
    );
}

#[test]
fn a_newer_or_foreign_file_is_refused_and_not_changed() {
    let data = tempfile::tempdir().expect("a folder");
    small_journal(data.path());
    let raw = rusqlite::Connection::open(data.path().join(FILE)).expect("opens");
    for (pragma, words) in [
        ("user_version = 99", "its format is 99"),
        ("application_id = 7", "no journal of sulcus"),
    ] {
        raw.execute_batch(&format!("PRAGMA {pragma}")).expect("set");
        for error in [
            Journal::open(data.path()),
            Journal::open_reader(data.path()),
        ] {
            let error = error.expect_err("refused");
            assert!(matches!(error, JournalError::Foreign { .. }), "{error}");
            assert!(error.to_string().contains(words), "{error}");
        }
    }
}

/// Whoever writes the file with another program can drop the triggers; that is told.
#[test]
fn what_was_done_to_the_file_from_outside_is_told() {
    for (statement, words) in [
        (
            "DROP TRIGGER entry_is_never_changed",
            "entry_is_never_changed is missing",
        ),
        ("CREATE TABLE other (a)", "other does not belong here"),
        (
            "DROP TRIGGER entry_is_never_deleted; DELETE FROM entry WHERE number = 3",
            "entry 3: it is missing",
        ),
        (
            "DROP TRIGGER entry_is_never_changed; UPDATE entry SET at = replace(at, '2', '3') WHERE number = 2",
            "entry 2: its hash does not fit",
        ),
        (
            "DROP TRIGGER entry_is_never_deleted; DELETE FROM entry WHERE rowid = (SELECT max(rowid) FROM entry)",
            "it had been saved and is gone",
        ),
        (
            "INSERT INTO entry SELECT upper(visit), number, at, monotonic_ms, heard, supersedes, event, hash FROM entry WHERE number = 1",
            "no name of a visit",
        ),
        (
            "DROP TRIGGER entry_follows_the_last",
            "entry_follows_the_last is missing",
        ),
    ] {
        let data = tempfile::tempdir().expect("a folder");
        small_journal(data.path());
        rusqlite::Connection::open(data.path().join(FILE))
            .expect("opens")
            .execute_batch(statement)
            .expect(statement);
        let output = sulcus(data.path()).arg("verify").output().expect("starts");
        assert_eq!(output.status.code(), Some(1), "{statement}");
        assert!(
            stdout(&output).contains(words),
            "{statement}: {}",
            stdout(&output)
        );
    }
}

/// The queue of parcels shares the file, and is nobody's damage.
#[test]
fn the_outbox_in_the_same_file_is_no_damage() {
    let data = tempfile::tempdir().expect("a folder");
    small_journal(data.path());
    sulcus::outbox::Outbox::open(data.path()).expect("opens");
    assert_eq!(journal::verify(data.path()).expect("verified").problems, []);
    Journal::open(data.path()).expect("opens");
}

#[test]
fn no_statement_changes_what_was_written() {
    let data = tempfile::tempdir().expect("a folder");
    small_journal(data.path());
    let raw = rusqlite::Connection::open(data.path().join(FILE)).expect("opens");
    let row = "visit, number, at, monotonic_ms, heard, supersedes, event, hash";
    for statement in [
        "UPDATE entry SET at = 'x' WHERE number = 1".to_owned(),
        "UPDATE OR REPLACE entry SET number = 2 WHERE number = 1".into(),
        "DELETE FROM entry WHERE number = 20".into(),
        format!("INSERT OR REPLACE INTO entry SELECT {row} FROM entry WHERE number = 1"),
        format!("REPLACE INTO entry (rowid, {row}) SELECT 1, visit, max(number) + 1, at, monotonic_ms, heard, supersedes, event, hash FROM entry"),
        format!("INSERT INTO entry ({row}) SELECT visit, max(number) + 2, at, monotonic_ms, heard, supersedes, event, hash FROM entry"),
        format!("INSERT INTO entry ({row}) SELECT visit, 1, at, monotonic_ms, heard, supersedes, event, hash FROM entry WHERE number = 1
                 ON CONFLICT DO UPDATE SET at = 'x'"),
    ] {
        let error = raw.execute_batch(&statement).expect_err(&statement).to_string();
        assert!(error.contains("the journal only grows"), "{statement}: {error}");
    }
    drop(raw);
    assert_eq!(journal::verify(data.path()).expect("verified").problems, []);
}

/// Whatever the user's mask says: nobody else can read a visit.
#[test]
fn files_are_for_the_owner_only() {
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    let script = format!(
        "umask 000; exec {} --data {} simulate --writer --seed 1",
        env!("CARGO_BIN_EXE_sulcus"),
        data.display()
    );
    let mut child = Command::new("sh")
        .args(["-c", &script])
        .stdout(Stdio::piped())
        .spawn()
        .expect("a shell");
    let lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    assert_eq!(lines.take(20).count(), 20);
    assert_eq!(mode(&data), 0o700);
    let mut names = Vec::new();
    for entry in std::fs::read_dir(&data).expect("lists") {
        let path = entry.expect("an entry").path();
        assert_eq!(mode(&path), 0o600, "{}", path.display());
        names.push(
            path.file_name()
                .expect("named")
                .to_string_lossy()
                .into_owned(),
        );
    }
    names.sort();
    assert_eq!(
        names,
        [
            "clinic.key",
            "journal.mark",
            "journal.sqlite",
            "journal.sqlite-shm",
            "journal.sqlite-wal",
            "writer.lock"
        ]
    );
    child.kill().expect("killed");
    child.wait().expect("ended");
    let other = place.path().join("other");
    let script = format!(
        "umask 000; {0} --data {1} backup {2}/copy && {0} --data {3} restore {2}/copy && {0} --data {3} salvage {2}/out",
        env!("CARGO_BIN_EXE_sulcus"),
        data.display(),
        place.path().display(),
        other.display()
    );
    let output = Command::new("sh")
        .args(["-c", &script])
        .output()
        .expect("a shell");
    assert!(output.status.success(), "{}", stderr(&output));
    let out = place.path().join("out");
    assert_eq!((mode(&other), mode(&out)), (0o700, 0o700));
    for file in [place.path().join("copy"), other.join(FILE), out.join(FILE)] {
        assert_eq!(mode(&file), 0o600, "{}", file.display());
    }
}
