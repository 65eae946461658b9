//! The built program on a private sound server and in a real browser.

#[path = "../common/models.rs"]
mod models;
#[path = "../common/sound_server.rs"]
mod sound_server;

mod browser;
mod dying;
mod failing;
mod large;
mod listen;
mod loudspeaker;
mod microphone;
