//! The built program and its library without devices: what a user does at the command line and at the page, what
//! goes out, and what survives.

#[path = "../common/invented.rs"]
mod invented;
#[path = "../common/invented_surgery.rs"]
mod invented_surgery;
#[path = "../common/postgres.rs"]
mod postgres;
#[path = "../common/program.rs"]
mod program;

mod anaesthetic;
mod archive;
mod bad_input;
mod begin;
mod command_line;
mod demo;
mod dental;
mod durability;
mod export;
mod files;
mod models_fetch;
mod outbox;
mod package;
mod patients;
mod plan;
mod properties;
mod report;
mod resume;
mod sayings;
mod visits;
mod web;
