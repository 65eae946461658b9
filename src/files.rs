//! Writes files for others to read.
//!
//! Invariant: a file is whole or not there at all.

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

/// The place cannot be written. Ask the person.
#[derive(Debug, thiserror::Error)]
#[error("cannot write {file}: {why}")]
pub struct WriteError {
    pub file: String,
    pub why: std::io::Error,
}

/// Writes beside the target, syncs, then renames: a reader sees the old file or the new one, never half.
pub fn write_file(target: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    let fail = |why| WriteError {
        file: target.display().to_string(),
        why,
    };
    let name = target
        .file_name()
        .ok_or_else(|| fail(std::io::Error::other("it names no file")))?;
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    let mut side_name = std::ffi::OsString::from(".");
    side_name.push(name);
    side_name.push(format!(".{}.part", std::process::id()));
    let side = folder.join(side_name);
    let write = || -> std::io::Result<()> {
        let mut file = File::create(&side)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&side, target)?;
        // The new name must survive a power cut too.
        File::open(&folder)?.sync_all()
    };
    write().map_err(|why| {
        let _ = fs::remove_file(&side);
        fail(why)
    })
}
