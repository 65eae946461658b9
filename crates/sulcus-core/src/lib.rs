//! What is said at a veterinary dental examination and what follows from it, without input or output:
//! terms, grammar, record, conversation, plan, reports and exports.
//!
//! The module list is the way of the data: a module may know those above it, never those below it
//! (`tests/house/tidy.rs` checks that).

#![cfg_attr(not(test), deny(clippy::unwrap_used))]

use sulcus_speech::speech;

pub mod terms;

pub mod clock;

pub mod grammar;

pub mod record;

pub mod session;

pub mod plan;

pub mod report;

pub mod export;
