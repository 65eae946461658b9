//! The words of a veterinary dental examination and what they mean, without input or output: the terms of the trade, and
//! the grammar that turns words into intents and into the word graph that a recogniser follows.
//!
//! Apart from the rest of the core since it alone needs to be optimised in a build for tests: the graph has some hundred
//! thousand arcs, and the proof that no sentence has two meanings walks pairs of them.

#![cfg_attr(not(test), deny(clippy::unwrap_used))]

use sulcus_speech::speech;

pub mod terms;

pub mod grammar;
