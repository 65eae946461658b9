//! Writes files for others to read.
//!
//! Invariants: a file is whole or not there at all; what is no file (a device, a pipe) is written to and stays what
//! it is; no link that somebody laid leads a write elsewhere.

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

/// Writes beside the target, syncs, then renames: a reader sees the old file or the new one, never half. A link to a
/// file stays one, and its file is replaced. Devices and pipes are written to as they are.
pub fn write_file(target: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    write_file_by(target, |file| file.write_all(bytes))
}

/// The same of what is written piece by piece: it need not lie in memory.
pub fn write_file_by(
    target: &Path,
    put: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
) -> Result<(), WriteError> {
    let fail = |why| WriteError {
        file: target.display().to_string(),
        why,
    };
    if STANDARD_OUTPUT.iter().any(|name| target == Path::new(name)) {
        return put(&mut crate::terminal::Out).map_err(fail);
    }
    match fs::metadata(target) {
        Ok(found) if found.is_dir() => {
            return Err(fail(std::io::Error::other(
                "it is a folder; name a file in it",
            )));
        }
        Ok(found) if !found.is_file() || is_of_the_system(target) => {
            let write = move || -> std::io::Result<()> {
                let mut file = File::options().write(true).open(target)?;
                put(&mut file)?;
                file.flush()
            };
            return write().map_err(fail);
        }
        _ => {}
    }
    // A link that leads nowhere yet is left to fail at its own name.
    let followed = fs::canonicalize(target).unwrap_or_else(|_| target.to_owned());
    let target = followed.as_path();
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
        let mut file = new_file(&side)?;
        put(&mut file)?;
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

/// Other names of standard output: opened again they would write over what is there.
const STANDARD_OUTPUT: [&str; 3] = ["/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"];

/// Names that stand for open files of this process or for devices.
fn is_of_the_system(target: &Path) -> bool {
    ["/dev", "/proc"]
        .iter()
        .any(|folder| target.starts_with(folder))
}

/// A file of ours that an earlier end left is taken away; a link that somebody laid there is never followed.
fn new_file(side: &Path) -> std::io::Result<File> {
    let make = || File::options().write(true).create_new(true).open(side);
    match make() {
        Err(why) if why.kind() == std::io::ErrorKind::AlreadyExists => {
            fs::remove_file(side)?;
            make()
        }
        other => other,
    }
}

/// Written beside and renamed, so that it is never half; for the owner of the account only. What lies in the way of
/// the new file is removed first, so that a link planted there is never followed.
pub fn write_private(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let beside = file.with_extension("new");
    match fs::remove_file(&beside) {
        Err(why) if why.kind() != std::io::ErrorKind::NotFound => return Err(why),
        _ => {}
    }
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut open = options.open(&beside)?;
    open.write_all(bytes)?;
    open.sync_all()?;
    fs::rename(&beside, file)
}
