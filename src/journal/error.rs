//! What can fail with the journal, and what the loop or the person can do about it.

use uuid::Uuid;

use crate::record::row::BrokenChain;

/// What can fail with the journal, and what to do.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// Ask the person: the folder cannot be made or used.
    #[error("cannot use the data folder {folder}: {why}; give another with --data DIR")]
    Folder { folder: String, why: String },
    /// Ask the person: another program holds it.
    #[error(
        "another sulcus is writing in {folder} (process {process}); end it, or give another folder with --data DIR"
    )]
    Busy { folder: String, process: String },
    /// Stop: written by a newer program, or not ours.
    #[error("{file} cannot be read by this program: {why}")]
    Foreign { file: String, why: String },
    /// Reconnect: nothing of this append counts as saved until the journal was opened afresh.
    #[error(
        "not saved: {why}; free space or check the disk, then start again: what was confirmed before is kept"
    )]
    NotSaved { why: String },
    /// Reconnect: an earlier write failed.
    #[error("the journal is shut after a failed write; open it afresh")]
    Shut,
    /// Stop: an entry is not what was written, or is missing before the end. Nothing is changed.
    #[error("the journal is damaged in visit {visit} at entry {number}: {why}; run sulcus verify")]
    Damaged {
        visit: Uuid,
        number: u64,
        why: String,
    },
    /// Wrong request: nothing was changed.
    #[error("visit {visit} cannot be taken in: {why}")]
    Refused { visit: Uuid, why: String },
    /// Stop: the file as a whole is damaged, so that no visit in it can be trusted unproven. Nothing is changed.
    #[error(
        "the journal {file} is damaged: {why}; nothing was changed; to go on at once give another folder with --data DIR, then run sulcus salvage OUT on this one"
    )]
    Corrupt { file: String, why: String },
    /// Retry or stop: reading failed.
    #[error("cannot read the journal: {0}")]
    Read(rusqlite::Error),
}

/// The cause is in the message already: as a source it would be told twice.
impl From<rusqlite::Error> for JournalError {
    fn from(why: rusqlite::Error) -> Self {
        Self::Read(why)
    }
}

impl From<BrokenChain> for JournalError {
    fn from(BrokenChain { visit, number, why }: BrokenChain) -> Self {
        Self::Damaged { visit, number, why }
    }
}
