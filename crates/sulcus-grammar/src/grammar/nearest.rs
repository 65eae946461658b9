//! The sentences of a word graph nearest to words that are none: what is offered after a refusal.
//!
//! Invariant: each sentence offered is in the graph; where a number had to be put in, it is told as missing and never
//! chosen for the person.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

use crate::speech::word_graph::{StateIndex, WordIndex};
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
    let numbers: Vec<bool> = graph
        .words
        .iter()
        .map(|word| value::number(&word.text).is_some())
        .collect();
    let mut search = Search {
        most,
        open: BinaryHeap::new(),
        said: Vec::new(),
        pushed: HashMap::new(),
    };
    let mut visits = HashMap::<Place, usize>::new();
    let mut found: Vec<String> = Vec::new();
    search.push(0, (0, WordGraph::START), None, None);
    while let Some(Reverse((cost, at, state, way))) = search.open.pop() {
        if found.len() >= most {
            break;
        }
        let count = visits.entry((at, state)).or_default();
        *count += 1;
        if *count > most {
            continue;
        }
        let node = &graph.states[state as usize];
        if at == words.len() && node.is_final {
            let sentence = search.sentence(graph, way);
            if !sentence.is_empty() && !found.contains(&sentence) {
                found.push(sentence);
            }
        }
        let most_cost = CHANGES_MAX * PUT_IN;
        if at < words.len() && cost + LEFT_OUT <= most_cost {
            search.push(cost + LEFT_OUT, (at + 1, state), Some(way), None);
        }
        let mut has_number = false;
        for &(word, next) in &node.arcs {
            let is_number = numbers[word as usize];
            if let Some(said) = words.get(at) {
                let as_word = Some(Said::Word(word));
                if *said == graph.words[word as usize].text {
                    search.push(cost, (at + 1, next), Some(way), as_word);
                } else if cost + CHANGED <= most_cost && !is_number {
                    search.push(cost + CHANGED, (at + 1, next), Some(way), as_word);
                }
            }
            let put_in = if is_number { NUMBER_PUT_IN } else { PUT_IN };
            if cost + put_in <= most_cost && !(is_number && has_number) {
                has_number |= is_number;
                let shown = if is_number {
                    Said::Missing
                } else {
                    Said::Word(word)
                };
                search.push(cost + put_in, (at, next), Some(way), Some(shown));
            }
        }
    }
    found
}

/// Words read, and the state.
type Place = (usize, StateIndex);

/// What stands in a sentence that is offered.
#[derive(Clone, Copy)]
enum Said {
    Word(WordIndex),
    Missing,
}

/// Ways that are still to be followed.
struct Search {
    most: usize,
    /// Cost so far, words read, state, and the way in `said`.
    open: BinaryHeap<Reverse<(u32, usize, StateIndex, usize)>>,
    /// Of each way what it adds to the one before it.
    said: Vec<(Option<usize>, Option<Said>)>,
    /// What the cheapest ways to each place cost: at a place more than `most` are never followed, and most arcs of a
    /// state lead to few others.
    pushed: HashMap<Place, Vec<u32>>,
}

impl Search {
    fn push(&mut self, cost: u32, place: Place, before: Option<usize>, said: Option<Said>) {
        let costs = self.pushed.entry(place).or_default();
        if costs.len() < self.most {
            costs.push(cost);
        } else if let Some(dearest) = costs.iter_mut().max().filter(|dearest| **dearest > cost) {
            *dearest = cost;
        } else {
            return;
        }
        self.said.push((before, said));
        let way = self.said.len() - 1;
        self.open.push(Reverse((cost, place.0, place.1, way)));
    }

    fn sentence(&self, graph: &WordGraph, way: usize) -> String {
        let mut words = Vec::new();
        let mut at = Some(way);
        while let Some(way) = at {
            let (before, said) = self.said[way];
            words.extend(said.map(|said| match said {
                Said::Word(word) => graph.words[word as usize].text.as_str(),
                Said::Missing => MISSING,
            }));
            at = before;
        }
        words.reverse();
        words.join(" ")
    }
}
