//! What can fail with the journal, and what the loop or the person can do about it.

use std::path::Path;

use uuid::Uuid;

use super::fault::Fault;
use crate::record::row::BrokenChain;

/// What can fail with the journal, and what to do.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// Ask the person: the folder cannot be made or used.
    #[error("cannot use the data folder {folder}: {why}; give another with --data DIR")]
    Folder {
        folder: String,
        why: String,
        fault: Fault,
    },
    /// Ask the person: another program holds it.
    #[error(
        "another sulcus is writing in {folder} (process {process}); end it, or give another folder with --data DIR"
    )]
    Busy { folder: String, process: String },
    /// Stop: written by a newer program, or not ours.
    #[error("{file} cannot be read by this program: {why}")]
    Foreign { file: String, why: String },
    /// Wrong request: a file that is there is none that a backup may be added to. Nothing was changed.
    #[error("{file} was left as it is: {why}")]
    LeftAlone { file: String, why: String },
    /// Reconnect: nothing of this append counts as saved until the journal was opened afresh.
    #[error(
        "not saved: {why}; {}, then start again: what was confirmed before is kept", fault.advice()
    )]
    NotSaved { why: String, fault: Fault },
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

impl JournalError {
    /// What kind of storage failure it is; [`Fault::Other`] where it is none.
    pub fn fault(&self) -> Fault {
        match self {
            Self::Folder { fault, .. } | Self::NotSaved { fault, .. } => *fault,
            Self::Read(why) => Fault::of_sqlite(why),
            _ => Fault::Other,
        }
    }

    /// The folder cannot be used, by an error of the system.
    pub(super) fn folder_io(folder: &Path, why: &std::io::Error) -> Self {
        Self::Folder {
            folder: folder.display().to_string(),
            why: why.to_string(),
            fault: Fault::of_io(why),
        }
    }

    /// The folder cannot be used, for a reason that is no failure of the disk.
    pub(super) fn folder(folder: &Path, why: impl Into<String>) -> Self {
        Self::Folder {
            folder: folder.display().to_string(),
            why: why.into(),
            fault: Fault::Other,
        }
    }

    /// Not saved, by an error of the system.
    pub(super) fn not_saved(why: &std::io::Error) -> Self {
        Self::NotSaved {
            why: why.to_string(),
            fault: Fault::of_io(why),
        }
    }

    /// Not saved, for a reason that is no failure of the disk.
    pub(super) fn refused_to_save(why: impl Into<String>) -> Self {
        Self::NotSaved {
            why: why.into(),
            fault: Fault::Other,
        }
    }

    /// A failure of reading on the way to a save: nothing was saved.
    pub(super) fn into_not_saved(self) -> Self {
        match self {
            Self::Read(why) => Self::NotSaved {
                fault: Fault::of_sqlite(&why),
                why: why.to_string(),
            },
            other => other,
        }
    }

    /// The same error with the kind that the place itself tells, where the code said only "input/output".
    pub(super) fn looked_into(mut self, asked: impl FnOnce() -> Option<Fault>) -> Self {
        if let Self::Folder { fault, .. } | Self::NotSaved { fault, .. } = &mut self
            && *fault == Fault::InputOutput
            && let Some(told) = asked()
        {
            *fault = told;
        }
        self
    }
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
