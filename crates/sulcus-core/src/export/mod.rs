//! The record for other systems: own JSON with its schema, FHIR, tables. Reads records, changes none.
//!
//! Invariants: output types are their own, so that a change inside the program cannot change a file format
//! unseen; the same record gives the same bytes.

pub mod anaesthetic;
pub mod fhir;
pub mod json;
pub mod project;
pub mod tables;

use uuid::Uuid;

use crate::record::BrokenChain;

/// What can fail when a record leaves or enters the program.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
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
    /// Stop: the file was damaged or changed after export.
    #[error(
        "entry {0} in it is not what was exported ({1}); the file was damaged or changed since: export it again where it comes from"
    )]
    ChangedRow(u64, String),
    /// Stop: the rows are not what was written.
    #[error(transparent)]
    Broken(#[from] BrokenChain),
    /// Stop: a bug of this program.
    #[error("cannot write the table: {0}")]
    Table(String),
    #[error("cannot turn the record into text: {0}")]
    Text(#[from] serde_json::Error),
}
