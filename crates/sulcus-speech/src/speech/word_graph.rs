//! What may be heard: a deterministic graph over words, and how each word may be written.
//! Plain data: made by `grammar`, read by the engines.
//!
//! Invariants: each state's arcs have distinct words, sorted by word; every state lies on a way to a final state.

use std::collections::HashMap;
use std::sync::Arc;

/// Index into [`WordGraph::words`].
pub type WordIndex = u32;
/// Index into [`WordGraph::states`].
pub type StateIndex = u32;

/// A word as it is spoken, and the ways an engine may write it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// Canonical, lower case: "four". This is what hypotheses carry.
    pub text: String,
    /// Other spellings of the same sound an engine may prefer, lower case: "for".
    pub spellings: Vec<String>,
    /// The word in figures, where it is a number: "4", "11". May stand unspaced beside other figures.
    pub figure: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct State {
    /// Sorted by word.
    pub arcs: Vec<(WordIndex, StateIndex)>,
    /// A sentence may end here.
    pub is_final: bool,
    /// The state lies inside one number spoken in several words: the figures to its left and right are one value.
    /// "one ten" and "one one oh" are both the tooth 110, so "110" may be written whichever was said;
    /// as two depths against three they differ, and "110" is refused there.
    pub inside_number: bool,
    /// Where a sentence may end here: it may also become longer itself, so that ending it now may cut it short.
    /// Not set where only further sentences may follow, each of which may as well be an utterance of its own.
    pub may_lengthen: bool,
}

/// Tells whether two sentences mean the same.
type MeanSame = dyn Fn(&[&str], &[&str]) -> bool + Send + Sync;

/// Which sentences of a graph mean the same, where its maker knows: "confirm" and "confirmed" are no rivals.
/// Graphs are compared without it.
#[derive(Clone, Default)]
pub struct Senses(Option<Arc<MeanSame>>);

impl Senses {
    pub fn new(mean_same: impl Fn(&[&str], &[&str]) -> bool + Send + Sync + 'static) -> Self {
        Self(Some(Arc::new(mean_same)))
    }

    /// Never where the maker does not know.
    pub fn are_one(&self, one: &[&str], other: &[&str]) -> bool {
        self.0
            .as_ref()
            .is_some_and(|mean_same| mean_same(one, other))
    }
}

impl std::fmt::Debug for Senses {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(if self.0.is_some() { "known" } else { "unknown" })
    }
}

impl PartialEq for Senses {
    fn eq(&self, _other: &Self) -> bool {
        true
    }
}

impl Eq for Senses {}

/// A deterministic acceptor of sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WordGraph {
    pub words: Vec<Word>,
    /// State 0 is the start.
    pub states: Vec<State>,
    pub senses: Senses,
}

impl WordGraph {
    pub const START: StateIndex = 0;

    /// The state after `word` from `state`, if the graph goes on so.
    pub fn step(&self, state: StateIndex, word: WordIndex) -> Option<StateIndex> {
        let arcs = &self.states[state as usize].arcs;
        arcs.binary_search_by_key(&word, |&(w, _)| w)
            .ok()
            .map(|at| arcs[at].1)
    }

    /// Whether the words are one whole sentence of the graph.
    pub fn accepts<S: AsRef<str>>(&self, words: &[S]) -> bool {
        let index: HashMap<&str, WordIndex> = self
            .words
            .iter()
            .enumerate()
            .map(|(i, w)| (w.text.as_str(), i as WordIndex))
            .collect();
        let mut state = Self::START;
        for word in words {
            let Some(next) = index
                .get(word.as_ref())
                .and_then(|&word| self.step(state, word))
            else {
                return false;
            };
            state = next;
        }
        self.states[state as usize].is_final
    }

    /// A graph of all sequences of `min` to `max` of the given words: the digits test, and unit tests.
    pub fn loop_of(words: Vec<Word>, min: usize, max: usize) -> Self {
        let states = (0..=max)
            .map(|count| State {
                arcs: if count < max {
                    (0..words.len() as WordIndex)
                        .map(|w| (w, count as StateIndex + 1))
                        .collect()
                } else {
                    Vec::new()
                },
                is_final: count >= min,
                ..State::default()
            })
            .collect();
        Self::of_one_sentence(words, states)
    }

    /// A graph in which whatever may follow makes the sentence longer.
    pub fn of_one_sentence(words: Vec<Word>, mut states: Vec<State>) -> Self {
        for state in &mut states {
            state.may_lengthen = state.is_final && !state.arcs.is_empty();
        }
        Self {
            words,
            states,
            senses: Senses::default(),
        }
    }
}
