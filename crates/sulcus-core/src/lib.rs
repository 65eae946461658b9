//! What is said at a veterinary dental examination and what follows from it, without input or output:
//! terms, grammar, record, conversation, plan, reports and exports.
//!
//! The module list is the way of the data: a module may know those above it, never those below it
//! (`tests/house/tidy.rs` checks that).

#![cfg_attr(not(test), deny(clippy::unwrap_used))]

pub use sulcus_grammar::{grammar, terms};

pub mod clock;

pub mod record;

pub mod session;

pub mod plan;

pub mod report;

pub mod export;
