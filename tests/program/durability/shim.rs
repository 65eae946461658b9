//! The built program on a real disk whose syncs and writes fail: `tests/shim/fail.c`, laid before the C library.

use std::path::{Path, PathBuf};
use std::process::Command;

use super::writer::{Saved, lost_after_start, stderr, stdout, writer};
use super::{Effort, Row, skip};

/// Numbers of Linux.
const EIO: u32 = 5;
const ENOSPC: u32 = 28;

const APPENDS: u64 = 14;

fn build(folder: &Path) -> Option<PathBuf> {
    let library = folder.join("fail.so");
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/shim/fail.c");
    let output = Command::new("cc")
        .args(["-shared", "-fPIC", "-O1", "-Wall", "-o"])
        .arg(&library)
        .arg(source)
        .arg("-ldl")
        .output();
    match output {
        Ok(output) if output.status.success() => Some(library),
        Ok(output) => {
            skip("failing calls", &stderr(&output));
            None
        }
        Err(why) => {
            skip("failing calls", &format!("no C compiler: {why}"));
            None
        }
    }
}

pub fn failing_calls(effort: Effort) -> Vec<Row> {
    let tools = tempfile::tempdir().expect("a folder");
    let Some(library) = build(tools.path()) else {
        return Vec::new();
    };
    let kinds = [
        ("sync", EIO, "fsync or fdatasync fails (EIO), real files"),
        (
            "sync",
            ENOSPC,
            "fsync or fdatasync fails (ENOSPC), real files",
        ),
        ("write", EIO, "write or pwrite fails (EIO), real files"),
        (
            "write",
            ENOSPC,
            "write or pwrite fails (ENOSPC), real files",
        ),
        ("truncate", EIO, "ftruncate fails (EIO), real files"),
    ];
    let mut rows = Vec::new();
    for (call, errno, title) in kinds {
        let mut row = Row::new(title);
        for nth in (1..=effort.choose(40, 160)).step_by(effort.choose(3, 1)) {
            for goes_on in [false, true] {
                try_one(&mut row, &library, (call, errno, nth), goes_on);
            }
        }
        rows.push(row);
    }
    rows
}

fn try_one(row: &mut Row, library: &Path, (call, errno, nth): (&str, u32, u64), goes_on: bool) {
    let data = tempfile::tempdir().expect("a folder");
    let mut command = writer(data.path(), nth, APPENDS);
    if goes_on {
        command.arg("--go-on");
    }
    let output = command
        .env("LD_PRELOAD", library)
        .env("SHIM_FOLDER", data.path())
        .env("SHIM_CALL", call)
        .env("SHIM_NTH", nth.to_string())
        .env("SHIM_COUNT", "1")
        .env("SHIM_ERRNO", errno.to_string())
        .output()
        .expect("the built program starts");
    let (said, told) = (stdout(&output), stderr(&output));
    let what = format!("{call} {nth} error {errno}, goes on {goes_on}: {said}{told}");
    let mut saved = Saved::default();
    saved.hear_all(&said);
    row.saved += saved.count();
    row.lost += lost_after_start(data.path(), &saved);
    if output.status.success() && told.is_empty() {
        // Beyond the last call, or at one that only tidies up after everything was saved.
        assert!(said.matches("saved ").count() as u64 >= APPENDS, "{what}");
        return;
    }
    row.tried += 1;
    let refused = said.find("refused ");
    if refused.is_some() || call == "truncate" {
        row.tell(&told);
    }
    if goes_on && output.status.success() {
        assert!(refused.is_some(), "{what}");
    } else {
        assert_eq!(output.status.code(), Some(1), "{what}");
        let after = refused.map_or("", |at| &said[at..]);
        assert!(!after.contains("\nsaved "), "saved after a failure: {what}");
    }
    if refused.is_some() {
        assert!(told.contains("not saved"), "{what}");
    }
    assert!(told.starts_with("sulcus: "), "{what}");
}

#[test]
fn a_failing_call_is_told_and_loses_nothing() {
    for row in failing_calls(Effort::Quick) {
        assert_eq!(row.lost, 0, "{row:?}");
        assert!(
            row.tried > 0 || row.fault.starts_with("ftruncate"),
            "{row:?}"
        );
    }
}
