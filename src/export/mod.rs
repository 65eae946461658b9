//! The record for other systems: own JSON with its schema, FHIR, tables. Reads records, changes none.
//!
//! Invariants: output types are their own, so that a change inside the program cannot change a file format
//! unseen; the same record gives the same bytes; a file is whole or not there at all.

pub mod fhir;
pub mod json;
pub mod project;
pub mod tables;

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

use uuid::Uuid;

use crate::record::JournalError;

/// What can fail when a record leaves or enters the program.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// Ask the person: the place cannot be written.
    #[error("cannot write {file}: {why}")]
    Write { file: String, why: std::io::Error },
    /// Stop: the entries do not begin with the opening of a visit.
    #[error("visit {0} has no entries that make a record; run sulcus verify")]
    NoRecord(Uuid),
    /// Stop: a bug of this program.
    #[error(
        "the {what} made from visit {visit} breaks its own rules, nothing was written: {breaches}"
    )]
    Breaches {
        what: &'static str,
        visit: Uuid,
        breaches: String,
    },
    /// Ask the person: the file is none of ours, or damaged.
    #[error("this is no record that can be taken in: {0}")]
    Unreadable(String),
    /// Ask the person: written by a newer program.
    #[error("the record has version {0}, this program knows version {known}; use a newer sulcus", known = json::VERSION)]
    Version(String),
    /// Stop: what the file shows does not follow from the journal it carries.
    #[error(
        "what the record says under \"{0}\" does not follow from its own journal; the file was changed after export"
    )]
    Altered(&'static str),
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// Stop: a bug of this program.
    #[error("cannot write the table: {0}")]
    Table(String),
    #[error("cannot turn the record into text: {0}")]
    Text(#[from] serde_json::Error),
}

/// Writes beside the target, syncs, then renames: a reader sees the old file or the new one, never half.
pub fn write_file(target: &Path, bytes: &[u8]) -> Result<(), ExportError> {
    let fail = |why| ExportError::Write {
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
