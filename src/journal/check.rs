//! The check of a whole file that is too large to be checked when it is opened: beside the work, on a connection of
//! its own.
//!
//! Invariant: it only reads the journal; when it was last checked, and what was found, is kept in a file beside, so that
//! damage is told at each opening until a check finds none. The file proves nothing and only spares work.

use std::path::Path;

use jiff::{SignedDuration, Timestamp};

use super::storage::{DataFolder, Storage};
use super::verify::{ProblemKind, verify_on};
use super::{Journal, JournalError};

/// File name in the data folder: when the whole file was last checked, then what was wrong with it, a line each.
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
    let mut kept = format!("{HEAD}\n{began}\n");
    for sentence in &sentences {
        kept.push_str(&sentence.replace('\n', " "));
        kept.push('\n');
    }
    // Where it cannot be kept, the next command looks again.
    let _ = storage.overwrite(CHECKED_FILE, kept.as_bytes());
    Ok(sentences)
}

/// The last check of the whole file.
pub(super) struct LastCheck {
    pub at: Timestamp,
    /// What was wrong with it, one sentence each.
    pub found: Vec<String>,
}

impl LastCheck {
    /// `None` where none is kept, or it cannot be understood.
    pub fn read(storage: &dyn Storage) -> Option<Self> {
        let bytes = storage.read(CHECKED_FILE).ok()?;
        let text = String::from_utf8_lossy(&bytes);
        let mut lines = text.lines();
        let at = (lines.next()? == HEAD).then(|| lines.next()?.parse::<Timestamp>().ok())?;
        Some(Self {
            at: at?,
            found: lines.map(str::to_owned).collect(),
        })
    }
}

impl Journal {
    /// Whether the whole file was not checked when it was opened, and not within the last day either.
    pub fn is_check_due(&self) -> bool {
        !self.is_checked()
            && LastCheck::read(self.storage.as_ref()).is_none_or(|last| {
                let age = Timestamp::now().duration_since(last.at);
                age > DUE_AFTER || age.is_negative()
            })
    }
}
