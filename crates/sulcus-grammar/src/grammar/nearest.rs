//! The sentences of a word graph nearest to words that are none: what is offered after a refusal.
//!
//! Invariant: each sentence offered is in the graph; where a number had to be put in, it is told as missing and never
//! chosen for the person.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::speech::word_graph::StateIndex;
use crate::speech::{WordGraph, value};

/// What stands where a number is missing.
pub const MISSING: &str = "...";

/// Words put in, left out or changed at most; further away is no guess but a random sentence.
const CHANGES_MAX: u32 = 3;
/// A word changed counts less than one left out and another put in.
const CHANGED: u32 = 3;
const PUT_IN: u32 = 2;
/// A number that is missing is the likeliest fault.
const NUMBER_PUT_IN: u32 = 1;
const LEFT_OUT: u32 = 2;

/// Up to `most` sentences nearest to the words, nearest first, as they are said, numbers that are missing as [`MISSING`].
pub fn nearest(graph: &WordGraph, words: &[&str], most: usize) -> Vec<String> {
    /// Cost so far, words read, state, and the sentence so far.
    type Way = Reverse<(u32, usize, StateIndex, Vec<String>)>;
    let mut open: BinaryHeap<Way> = BinaryHeap::new();
    let mut visits = std::collections::HashMap::<(usize, StateIndex), usize>::new();
    let mut found: Vec<String> = Vec::new();
    open.push(Reverse((0, 0, WordGraph::START, Vec::new())));
    while let Some(Reverse((cost, at, state, said))) = open.pop() {
        if found.len() >= most {
            break;
        }
        let count = visits.entry((at, state)).or_default();
        *count += 1;
        if *count > most {
            continue;
        }
        let node = &graph.states[state as usize];
        if at == words.len() && node.is_final && !said.is_empty() {
            let sentence = said.join(" ");
            if !found.contains(&sentence) {
                found.push(sentence);
            }
        }
        let most_cost = CHANGES_MAX * PUT_IN;
        if at < words.len() && cost + LEFT_OUT <= most_cost {
            open.push(Reverse((cost + LEFT_OUT, at + 1, state, said.clone())));
        }
        let mut has_number = false;
        for &(word, next) in &node.arcs {
            let text = graph.words[word as usize].text.as_str();
            let is_number = value::number(text).is_some();
            let with = |word: &str| {
                let mut longer = said.clone();
                longer.push(word.to_owned());
                longer
            };
            if at < words.len() {
                if words[at] == text {
                    open.push(Reverse((cost, at + 1, next, with(text))));
                } else if cost + CHANGED <= most_cost && !is_number {
                    open.push(Reverse((cost + CHANGED, at + 1, next, with(text))));
                }
            }
            let put_in = if is_number { NUMBER_PUT_IN } else { PUT_IN };
            if cost + put_in <= most_cost && !(is_number && has_number) {
                has_number |= is_number;
                let shown = if is_number { MISSING } else { text };
                open.push(Reverse((cost + put_in, at, next, with(shown))));
            }
        }
    }
    found
}
