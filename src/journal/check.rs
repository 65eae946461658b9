//! The check of a whole file that is too large to be checked when it is opened: beside the work, on a connection of
//! its own.
//!
//! Invariant: it only reads the journal; when it was last found whole is kept in a file beside, which proves nothing
//! and only spares work.

use std::path::Path;

use jiff::{SignedDuration, Timestamp};

use super::storage::{DataFolder, Storage};
use super::verify::{ProblemKind, verify_on};
use super::{Journal, JournalError};

/// File name in the data folder: when the whole file was last found whole.
pub const CHECKED_FILE: &str = "journal.checked";
const HEAD: &str = "sulcus checked 1";
/// A short command looks at the whole file at most so often.
const DUE_AFTER: SignedDuration = SignedDuration::from_hours(24);

/// Checks the whole file, every page and every hash, and tells what is wrong with it, one sentence each.
pub fn check_whole(folder: &Path) -> Result<Vec<String>, JournalError> {
    let storage = DataFolder::new(folder);
    let began = Timestamp::now();
    let report = verify_on(&storage)?;
    let sentences: Vec<String> = report
        .problems
        .iter()
        // What is lost was told when it was opened; a missing signature is for `verify` to tell.
        .filter(|problem| matches!(problem.kind, ProblemKind::Damage | ProblemKind::Forged))
        .map(ToString::to_string)
        .collect();
    if sentences.is_empty() {
        // Where it cannot be kept, the next command looks again.
        let _ = storage.overwrite(CHECKED_FILE, format!("{HEAD}\n{began}\n").as_bytes());
    }
    Ok(sentences)
}

impl Journal {
    /// Whether the whole file was not checked when it was opened, and not within the last day either.
    pub fn is_check_due(&self) -> bool {
        !self.is_checked() && {
            let bytes = self.storage.read(CHECKED_FILE).unwrap_or_default();
            let text = String::from_utf8_lossy(&bytes);
            let mut lines = text.lines();
            let at = (lines.next() == Some(HEAD)).then(|| lines.next()?.parse::<Timestamp>().ok());
            at.flatten().is_none_or(|at| {
                let age = Timestamp::now().duration_since(at);
                age > DUE_AFTER || age.is_negative()
            })
        }
    }
}
