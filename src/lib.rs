//! Sound comes in at one end, a durable record goes out at the other.
//!
//! What is heard is made in `sulcus-speech`, what it means in `sulcus-core`; this crate is the program around them.
//! The module list is the way of the data: a module may know those above it, never those below it
//! (`tests/house/tidy.rs` checks that). `commands` and `app` join them.

#![cfg_attr(not(test), deny(clippy::unwrap_used))]

#[macro_use]
pub mod terminal;

pub use sulcus_core::{clock, grammar, plan, report, session, terms};
pub use sulcus_speech::{audio, speech};

/// Events, the record folded from them, and the journal that holds them.
pub mod record {
    pub use crate::journal::{self, Fault, Journal, JournalError, LostEnd, Reopened, Tombstone};
    pub use sulcus_core::record::*;
}

/// The record for other systems, and files that are whole or not there.
pub mod export {
    pub use crate::files::{write_file, write_file_by};
    pub use sulcus_core::export::*;
}

pub mod files;

pub mod leisure;

pub mod journal;

pub mod voice;

pub mod web;

pub mod outbox;

pub mod archive;

pub mod score;

pub mod sim;

pub mod app;

pub mod cli;
pub mod commands;
pub mod config;
