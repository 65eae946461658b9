//! Real disks and folders that fail the program: full, limited, read-only, removed; a clock set back, two starts,
//! no network, eight hours.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Output, Stdio};

use sulcus::clock::{Clock, SetClock};
use sulcus::record::{Journal, JournalError, Reopened};
use sulcus::sim::Examinations;

use super::writer::{Saved, lost_after_start, stderr, stdout, writer};
use super::{Effort, Row, skip};

const PROGRAM: &str = env!("CARGO_BIN_EXE_sulcus");

pub fn all(effort: Effort) -> Vec<Row> {
    let mut rows = Vec::new();
    rows.extend(full(effort));
    rows.push(limited(effort));
    rows.extend(read_only());
    rows.push(removed(effort));
    rows.push(clock_set_back());
    rows.push(two_starts());
    rows.extend(no_network());
    rows
}

/// A shell with a file system of its own over the folder, gone with the shell. None where that is not allowed.
fn with_own_disk(folder: &Path, size_kb: u32, script: &str) -> Option<Output> {
    let mount = format!(
        "mount -t tmpfs -o size={size_kb}k tmpfs {}",
        folder.display()
    );
    let output = Command::new("unshare")
        .args(["-m", "sh", "-c"])
        .arg(format!("{mount} || exit 77; {script}"))
        .output();
    match output {
        Ok(output)
            if output.status.code() != Some(77) && !stderr(&output).starts_with("unshare:") =>
        {
            Some(output)
        }
        Ok(output) => {
            skip("a small disk", &stderr(&output));
            None
        }
        Err(why) => {
            skip("a small disk", &why.to_string());
            None
        }
    }
}

/// A small disk runs full, is freed, and the work goes on.
fn full(effort: Effort) -> Option<Row> {
    let mut row = Row::new("disk full (a small file system)");
    for size_kb in (200..effort.choose(400, 900)).step_by(effort.choose(100, 20)) {
        let disk = tempfile::tempdir().expect("a folder");
        let out = tempfile::tempdir().expect("a folder");
        let (disk, out) = (disk.path(), out.path());
        let write = format!(
            "{PROGRAM} --data {0}/data simulate --writer --appends 600",
            disk.display()
        );
        let script = format!(
            "head -c {2} /dev/zero > {0}/filler
             {write} --seed 1 > {1}/first; echo $? > {1}/code
             rm {0}/filler
             {write} --seed 2 > {1}/second 2> {1}/told
             cp -r {0}/data {1}/data",
            disk.display(),
            out.display(),
            // Half of it: the log needs as much room again when it is written over into the database.
            size_kb * 512
        );
        let output = with_own_disk(disk, size_kb, &script)?;
        let told = stderr(&output);
        let read = |name: &str| std::fs::read_to_string(out.join(name)).expect("written");
        assert_eq!(read("code").trim(), "1", "{size_kb} kB: {told}");
        assert!(told.contains("full") || told.contains("space"), "{told}");
        let (first, second) = (read("first"), read("second"));
        if first.contains("refused") {
            assert!(told.contains("not saved"), "{told}");
            assert!(
                second.contains("saved "),
                "after space was freed: {}",
                read("told")
            );
        }
        let mut saved = Saved::default();
        saved.hear_all(&first);
        saved.hear_all(&second);
        row.tried += 1;
        row.saved += saved.count();
        row.lost += lost_after_start(&out.join("data"), &saved);
        if told.contains("not saved") {
            row.tell(&told);
        }
    }
    Some(row)
}

/// The process may not write files beyond a size.
fn limited(effort: Effort) -> Row {
    let mut row = Row::new("file size limit reached (EFBIG)");
    for blocks in (1..effort.choose(200, 600)).step_by(effort.choose(60, 7)) {
        let data = tempfile::tempdir().expect("a folder");
        // The signal is ignored, so that the write itself fails.
        let script = format!(
            "trap '' XFSZ; ulimit -f {blocks}; exec {PROGRAM} --data {} simulate --writer --seed {blocks} --appends 400",
            data.path().display()
        );
        let output = Command::new("sh")
            .args(["-c", &script])
            .output()
            .expect("a shell");
        let mut saved = Saved::default();
        saved.hear_all(&stdout(&output));
        row.tried += 1;
        row.saved += saved.count();
        assert_eq!(output.status.code(), Some(1), "{}", stderr(&output));
        row.lost += lost_after_start(data.path(), &saved);
        if stderr(&output).contains("not saved") {
            row.tell(&stderr(&output));
        }
    }
    row
}

/// The disk takes no writes: nothing is told as saved, and reading still works.
fn read_only() -> Option<Row> {
    let mut row = Row::new("read-only disk");
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let data = folder.join("data");
    let script = format!(
        "{PROGRAM} --data {0} simulate --writer --seed 1 --appends 20 || exit 1
         mount -o remount,ro {1} || exit 77
         {PROGRAM} --data {0} simulate --writer --seed 2 --appends 20 && exit 2
         {PROGRAM} --data {0} verify || exit 3",
        data.display(),
        folder.display()
    );
    let output = with_own_disk(folder, 2_000, &script)?;
    let (said, told) = (stdout(&output), stderr(&output));
    assert_eq!(output.status.code(), Some(0), "{said}{told}");
    let mut saved = Saved::default();
    saved.hear_all(&said);
    assert!(said.contains("whole: every entry"), "{said}");
    assert!(told.contains("Read-only file system"), "{told}");
    let kept: u64 = said
        .lines()
        .filter_map(|line| {
            line.split_once(" entries")?
                .0
                .split_whitespace()
                .last()?
                .parse::<u64>()
                .ok()
        })
        .sum();
    row.tried = 1;
    row.saved = saved.count();
    row.lost = saved.count().saturating_sub(kept);
    row.tell(&told);
    Some(row)
}

/// Somebody removes the folder under the writer: SQLite itself would write on into nowhere.
fn removed(effort: Effort) -> Row {
    let mut row = Row::new("data folder removed while it is written");
    for seed in 0..effort.choose(2, 20) {
        let parent = tempfile::tempdir().expect("a folder");
        let data = parent.path().join("data");
        let mut child = writer(&data, seed, u64::MAX)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the built program starts");
        let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
        for line in lines.by_ref().take(5) {
            line.expect("text");
        }
        // The writer may make its mark again meanwhile.
        while data.exists() {
            let _ = std::fs::remove_dir_all(&data);
        }
        let rest: Vec<String> = lines.map_while(Result::ok).collect();
        let output = child.wait_with_output().expect("ended");
        let told = stderr(&output);
        assert_eq!(output.status.code(), Some(1), "{told}");
        assert!(told.contains("was removed or replaced"), "{told}");
        let refused = rest.iter().position(|line| line.starts_with("refused"));
        let after = &rest[refused.expect("refused")..];
        assert!(
            after.iter().all(|line| !line.starts_with("saved")),
            "{after:?}"
        );
        row.tried += 1;
        row.tell(&told);
    }
    row
}

/// Numbers are the order, not time.
fn clock_set_back() -> Row {
    let mut row = Row::new("clock set back by a day in the middle of a visit");
    row.tell("not told: entries are ordered by number, times are only shown");
    let data = tempfile::tempdir().expect("a folder");
    let mut journal = Journal::open(data.path()).expect("opens");
    let mut clock = SetClock::at_second(1_700_000_000);
    let mut saved = Vec::new();
    for (count, step) in Examinations::with_teeth(1, 3).take(12).enumerate() {
        if count % 3 == 2 {
            clock.0.at -= jiff::SignedDuration::from_hours(24);
            row.tried += 1;
        }
        saved.extend(
            journal
                .append(step.visit, &step.drafts, clock.now())
                .expect("saves"),
        );
    }
    drop(journal);
    let journal = Journal::open(data.path()).expect("opens");
    assert_eq!(journal.entries(saved[0].visit).expect("reads"), saved);
    // A visit begun later is the newest, though the clock says otherwise.
    drop(journal);
    let mut journal = Journal::open(data.path()).expect("opens");
    let later = Examinations::new(2).next().expect("a step");
    clock.0.at -= jiff::SignedDuration::from_hours(24 * 365);
    journal
        .append(later.visit, &later.drafts, clock.now())
        .expect("saves");
    assert_eq!(journal.visits().expect("lists")[0].visit, later.visit);
    row.saved = saved.len() as u64 + 1;
    row
}

fn two_starts() -> Row {
    let mut row = Row::new("a second start while one writes");
    let data = tempfile::tempdir().expect("a folder");
    let mut child = writer(data.path(), 1, u64::MAX)
        .stdout(Stdio::piped())
        .spawn()
        .expect("the built program starts");
    let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    let mut saved = Saved::default();
    for line in lines.by_ref().take(10) {
        saved.hear(&line.expect("text"));
    }
    let second = writer(data.path(), 2, 10).output().expect("starts");
    assert_eq!(second.status.code(), Some(1));
    let told = stderr(&second);
    assert!(
        told.contains(&format!("(process {})", child.id())),
        "{told}"
    );
    assert!(!stdout(&second).contains("saved"));
    row.tell(&told);
    row.tried = 1;
    child.kill().expect("killed");
    child.wait().expect("ended");
    lines
        .map_while(Result::ok)
        .for_each(|line| saved.hear(&line));
    row.saved = saved.count();
    row.lost = lost_after_start(data.path(), &saved);
    row
}

/// In a network namespace without any interface that is up.
fn no_network() -> Option<Row> {
    let mut row = Row::new("no network at all");
    row.tell("not told: none is used");
    let data = tempfile::tempdir().expect("a folder");
    let output = Command::new("unshare")
        .args(["-n", PROGRAM, "--data"])
        .arg(data.path())
        .args(["simulate", "--writer", "--seed", "1", "--appends", "40"])
        .output();
    let output = match output {
        Ok(output) if !stderr(&output).starts_with("unshare:") => output,
        Ok(output) => {
            skip("no network", &stderr(&output));
            return None;
        }
        Err(why) => {
            skip("no network", &why.to_string());
            return None;
        }
    };
    assert!(output.status.success(), "{}", stderr(&output));
    let mut saved = Saved::default();
    saved.hear_all(&stdout(&output));
    row.tried = 1;
    row.saved = saved.count();
    row.lost = lost_after_start(data.path(), &saved);
    Some(row)
}

/// Memory and open files over as many appends as eight hours of talk give. Lines "appends memory_kb open_files".
pub fn eight_hours(effort: Effort) -> Vec<String> {
    let data = tempfile::tempdir().expect("a folder");
    let appends = effort.choose(1_200, 14_400);
    let output = writer(data.path(), 8, appends)
        .args(["--figures-every", &(appends / 8).to_string()])
        .output()
        .expect("the built program starts");
    let said = stdout(&output);
    assert!(output.status.success(), "{}", stderr(&output));
    let lines: Vec<String> = said
        .lines()
        .filter_map(|line| line.strip_prefix("figures "))
        .map(str::to_owned)
        .collect();
    assert_eq!(lines.len(), 8);
    println!("appends, memory in kB, open files: {lines:#?}");
    let figures: Vec<(u64, u64)> = lines
        .iter()
        .map(|line| {
            let mut words = line
                .split(' ')
                .skip(1)
                .map(|word| word.parse().expect("a figure"));
            (words.next().expect("memory"), words.next().expect("files"))
        })
        .collect();
    // After the first eighth everything is warm: 4 MB more would be a leak, as would be one open file.
    let (warm, last) = (figures[0], figures[7]);
    assert!(last.0 < warm.0 + 4_096, "{lines:?}");
    assert_eq!(last.1, warm.1, "{lines:?}");
    let log = std::fs::metadata(data.path().join(sulcus::record::journal::LOG_FILE));
    assert!(log.is_err(), "the log is gone after a clean end");
    let mut saved = Saved::default();
    saved.hear_all(&said);
    assert_eq!(lost_after_start(data.path(), &saved), 0);
    lines
}

#[test]
fn a_full_disk_is_told_and_loses_nothing() {
    if let Some(row) = full(Effort::Quick) {
        row.require_nothing_lost();
        assert!(row.told.contains("not saved"), "{row:?}");
    }
    let row = limited(Effort::Quick);
    row.require_nothing_lost();
    assert!(row.told.contains("not saved"), "{row:?}");
}

#[test]
fn a_read_only_disk_is_told_and_can_be_read() {
    if let Some(row) = read_only() {
        row.require_nothing_lost();
    }
}

#[test]
fn a_removed_folder_is_noticed() {
    removed(Effort::Quick).require_nothing_lost();
}

#[test]
fn a_clock_set_back_changes_no_order() {
    clock_set_back().require_nothing_lost();
}

#[test]
fn a_second_start_is_refused() {
    two_starts().require_nothing_lost();
}

#[test]
fn the_writer_needs_no_network() {
    if let Some(row) = no_network() {
        row.require_nothing_lost();
    }
}

#[test]
fn memory_and_files_stay_bounded() {
    eight_hours(Effort::Quick);
}

/// The way of the app after a failed append: opened afresh, the drafts are given back; nothing is told as saved.
#[test]
fn a_removed_journal_is_never_made_anew_behind_the_operators_back() {
    let data = tempfile::tempdir().expect("a folder");
    let mut journal = Journal::open(data.path()).expect("opens");
    let now = SetClock::at_second(0).now();
    let steps: Vec<_> = Examinations::new(1).take(3).collect();
    journal
        .append(steps[0].visit, &steps[0].drafts, now)
        .expect("saves");
    let hidden = data.path().join("elsewhere");
    std::fs::rename(data.path().join("journal.sqlite"), &hidden).expect("renamed");
    let error = journal
        .append(steps[1].visit, &steps[1].drafts, now)
        .expect_err("refused");
    assert!(matches!(error, JournalError::NotSaved { .. }), "{error}");
    assert!(journal.reopen().is_err());
    assert!(!data.path().join("journal.sqlite").exists());
    assert!(matches!(
        journal.append(steps[1].visit, &steps[1].drafts, now),
        Err(JournalError::Shut)
    ));
    std::fs::rename(&hidden, data.path().join("journal.sqlite")).expect("renamed");
    assert_eq!(
        journal.reopen().expect("there again"),
        Reopened::NotSaved {
            visit: steps[1].visit,
            drafts: steps[1].drafts.clone()
        }
    );
    journal
        .append(steps[1].visit, &steps[1].drafts, now)
        .expect("saves");
}
