//! Measures recognition: reads a list of clips, compares what was heard with what was said, by word and by value.
//! Recognises nothing itself and prints nothing; `commands::score` joins it to an engine, `ear` to the way of sound
//! at the table.
//!
//! Invariant: every clip of the list is counted once: right, wrong, refused, kept out or wrongly entered.

pub mod clip;
pub mod ear;
pub mod list;
pub mod noise;
pub mod tally;

/// What can go wrong before anything is measured.
#[derive(Debug, thiserror::Error)]
pub enum ScoreError {
    /// The list or a clip cannot be read. Check the path.
    #[error("cannot read {path}: {why}")]
    Read { path: String, why: String },
    /// A mixed clip cannot be written. Check the folder and the disk.
    #[error("cannot write {path}: {why}")]
    Write { path: String, why: String },
    /// The list has a row that is none. Mend the row.
    #[error("{path} line {line}: {why}")]
    List {
        path: String,
        line: usize,
        why: String,
    },
}
