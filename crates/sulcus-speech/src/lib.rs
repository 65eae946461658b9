//! Sound in, whole sentences of a word graph out. Knows no dental word.
//!
//! [`audio`] makes frames of a microphone or a file; [`speech`] cuts them into utterances and hears each under a
//! [`speech::WordGraph`].

#![cfg_attr(not(test), deny(clippy::unwrap_used))]

#[cfg(feature = "engines")]
pub mod audio;

pub mod speech;
