//! The practice's archive on PostgreSQL: finished visits of many tables and clinics, made from their journals and to be
//! made again from them. The journal at the table stays the truth; without the archive a table works as before.
//!
//! Invariants: what arrives is taken once, whole, and only where its chain, its signature and the table's own key fit;
//! the clinic of a request follows from its secret, in the database itself; who read, printed, exported, merged or
//! deleted is written down in the transaction that did it.

mod accounts;
mod animals;
mod courier;
mod database;
mod kept;
mod link;
mod migrate;
mod papers;
mod parcel;
mod receive;
mod secrets;
mod server;
mod settings;
mod state;
mod study;

pub use accounts::{Admitted, Role, admit, end_account, set_retention};
pub use courier::{Courier, Round, Tried, fetch_history, forget, hand_over, not_begun};
pub use database::{Database, Desk};
pub use kept::{forget_kept, kept_history};
pub use link::{Hello, Link, join};
pub use migrate::{Made, SERVER_ROLE, make};
pub use parcel::{Outcome, Parcel};
pub use secrets::{SERVER_FILE, ServerFile, TABLE_FILE};
pub use server::{Notice, ServeOptions, certificates_made, serve};
pub use settings::Settings;
pub use state::{ClinicLine, RefusedLine, TableLine, clinics, refusals, tables};

/// Port where none is given.
pub const PORT: u16 = 7312;

/// Version of what tables and archive say to each other. Raised when one that does not know it would misunderstand.
pub const PROTOCOL: u32 = 1;

/// The largest delivery: an examination with hours of anaesthetic is below one megabyte.
pub const DELIVERY_BYTES_MAX: usize = 16 << 20;

/// Clocks that differ by more are told.
pub const CLOCK_SECONDS_MAX: i64 = 300;

/// Why something did not come about, with what to do.
#[derive(Debug, thiserror::Error)]
pub enum ArchiveError {
    /// Retry: nobody answers there, or not now.
    #[error("{0}")]
    Away(String),
    /// Ask the person: the other side said no.
    #[error("{0}")]
    Refused(String),
    /// Stop: the two are of different versions.
    #[error("{0}")]
    Version(String),
    /// Ask the person: settings or a file of ours.
    #[error("{0}")]
    Settings(String),
    #[error(transparent)]
    Journal(#[from] crate::journal::JournalError),
    #[error(transparent)]
    Outbox(#[from] crate::outbox::OutboxError),
}

impl From<postgres::Error> for ArchiveError {
    fn from(why: postgres::Error) -> Self {
        database::told(&why)
    }
}
