//! What kind of storage failure it is, told by type and never by the words of a message.
//!
//! Invariant: the kind follows from error codes of the system or of SQLite alone; where they say only "input/output",
//! the place itself is asked whether it still takes a small file.

use std::io;

use rusqlite::ErrorCode;

/// The kind of a storage failure: each needs another answer from the people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Fault {
    /// No room, or a quota or size limit is reached: make room.
    DiskFull,
    /// The disk, the folder or the file takes no writes: other rights, or another folder.
    ReadOnly,
    /// The disk answered with an error: check the disk and its cable.
    InputOutput,
    /// Anything else, such as a file that was removed.
    #[default]
    Other,
}

impl Fault {
    /// In plain words, to be said after "not saved:".
    pub fn words(self) -> &'static str {
        match self {
            Self::DiskFull => "the disk is full",
            Self::ReadOnly => "the disk takes no writes",
            Self::InputOutput => "the disk answers with an error",
            Self::Other => "the journal cannot be used",
        }
    }

    /// What a person can do about it.
    pub fn advice(self) -> &'static str {
        match self {
            Self::DiskFull => "make room on the disk",
            Self::ReadOnly => "give this user the right to write there, or another folder",
            Self::InputOutput => "check the disk and its cable",
            Self::Other => "look whether the data folder is still there",
        }
    }

    /// By the system's own kind.
    pub fn of_io(why: &io::Error) -> Self {
        use io::ErrorKind;
        // EIO has no kind of its own.
        const EIO: i32 = 5;
        match why.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
                Self::DiskFull
            }
            ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => Self::ReadOnly,
            _ if why.raw_os_error() == Some(EIO) => Self::InputOutput,
            _ => Self::Other,
        }
    }

    /// By SQLite's code.
    pub fn of_sqlite(why: &rusqlite::Error) -> Self {
        match why.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::DiskFull,
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => Self::ReadOnly,
            Some(ErrorCode::SystemIoFailure) => Self::InputOutput,
            _ => Self::Other,
        }
    }
}
