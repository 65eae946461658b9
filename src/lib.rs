//! Sound comes in at one end, a durable record goes out at the other.
//!
//! The module list is the way of the data: a module may know those above it, never those below it
//! (`tests/tidy.rs` checks that). `commands` and `app` join them.

#![cfg_attr(not(test), deny(clippy::unwrap_used))]

pub mod terms;

pub mod clock;

pub mod audio;

pub mod speech;

pub mod grammar;

pub mod record;

pub mod session;

pub mod voice;

pub mod plan;

pub mod report;

pub mod web;

pub mod export;

pub mod outbox;

pub mod score;

pub mod sim;

pub mod app;

pub mod cli;
pub mod commands;
pub mod config;
