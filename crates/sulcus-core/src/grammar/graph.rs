//! The templates of a situation made into a deterministic word graph.
//! Thompson's construction, then subsets, then states that cannot be told apart are merged (Moore).

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::matcher::is_control;
use super::template::{Book, Joining, Node, Situation};
use super::word_set::Spellings;
use crate::speech::word_graph::{State, Word};
use crate::speech::{WordGraph, value};

/// A graph with empty steps, under construction.
#[derive(Default)]
struct Draft {
    empty: Vec<Vec<usize>>,
    arcs: Vec<Vec<(String, usize)>>,
    /// Lies within a list or rule, that is, within one value of several words.
    inside: Vec<bool>,
}

impl Draft {
    fn state(&mut self) -> usize {
        self.empty.push(Vec::new());
        self.arcs.push(Vec::new());
        self.inside.push(false);
        self.empty.len() - 1
    }

    /// Marks the states made since `first` as lying inside a value, but for the one that ends it.
    fn enclose(&mut self, first: usize, end: usize) -> usize {
        for state in first..self.inside.len() {
            self.inside[state] = self.inside[state] || state != end;
        }
        end
    }

    /// Adds the node from `start`; returns where it ends.
    fn add(&mut self, book: &Book, node: &Node, start: usize) -> usize {
        match node {
            Node::Word(word) => {
                let end = self.state();
                self.arcs[start].push((word.clone(), end));
                end
            }
            Node::Row(nodes) => nodes
                .iter()
                .fold(start, |at, node| self.add(book, node, at)),
            Node::Choice(nodes) => self.join(book, nodes.iter(), start),
            Node::Optional(node) => {
                let end = self.add(book, node, start);
                self.empty[start].push(end);
                end
            }
            Node::List { list, .. } => match book.lists.get(list) {
                Some(entries) => {
                    let first = self.empty.len();
                    let end = self.join(book, entries.iter().map(|(said, _)| said), start);
                    self.enclose(first, end)
                }
                None => start,
            },
            Node::Rule { rule } => match book.rules.get(rule) {
                Some(nodes) => {
                    let first = self.empty.len();
                    let end = self.join(book, nodes.iter(), start);
                    self.enclose(first, end)
                }
                None => start,
            },
            Node::Repeat { node, min, max } => {
                let end = self.state();
                let mut at = start;
                for count in 1..=*max {
                    at = self.add(book, node, at);
                    if count >= *min {
                        self.empty[at].push(end);
                    }
                }
                end
            }
        }
    }

    fn join<'a>(
        &mut self,
        book: &Book,
        nodes: impl Iterator<Item = &'a Node>,
        start: usize,
    ) -> usize {
        let end = self.state();
        for node in nodes {
            // A fresh state, so that a choice after a loop cannot leak back into it.
            let begin = self.state();
            self.empty[start].push(begin);
            let last = self.add(book, node, begin);
            self.empty[last].push(end);
        }
        end
    }

    fn closure(&self, states: impl IntoIterator<Item = usize>) -> BTreeSet<usize> {
        let mut open: Vec<usize> = states.into_iter().collect();
        let mut closed = BTreeSet::new();
        while let Some(state) = open.pop() {
            if closed.insert(state) {
                open.extend(&self.empty[state]);
            }
        }
        closed
    }
}

/// What the program's own voice says most, beside the words that interrupt it. They mean nothing, but what is left of
/// them in the microphone then need not be taken for the nearest interruption ("zero" for "no").
pub(super) fn own_words() -> impl Iterator<Item = &'static str> {
    let digits = value::ONES[..10].iter().copied();
    digits.chain(["not", "none", "tooth", "confirmed"])
}

/// What may be heard in the situation: a solo sentence; a lead or link sentence and links after it;
/// a prefix and then a value. The number of links is not bounded here: the engines bound by the sound's length.
pub(super) fn build(book: &Book, spellings: &Spellings, situation: Situation) -> WordGraph {
    let mut draft = Draft::default();
    let start = draft.state();
    let prefixed = draft.state();
    let chain = draft.state();
    let end = draft.state();
    draft.empty[chain].push(end);
    let mut prefixes = BTreeSet::new();
    for template in book.active(situation) {
        let mut from = Vec::new();
        let to = match template.joining {
            Joining::Solo => {
                from.push(start);
                if !is_control(template) {
                    from.push(prefixed);
                }
                end
            }
            Joining::Lead => {
                from.extend([start, prefixed]);
                chain
            }
            Joining::Link => {
                from.extend([start, prefixed, chain]);
                chain
            }
            Joining::Prefix => {
                from.push(start);
                prefixed
            }
        };
        let begin = draft.state();
        for state in from {
            draft.empty[state].push(begin);
        }
        let last = draft.add(book, &template.node, begin);
        draft.empty[last].push(to);
        if template.joining == Joining::Prefix {
            let first = draft.closure([begin]);
            let words = first.iter().flat_map(|state| &draft.arcs[*state]);
            prefixes.extend(words.map(|(word, _)| word.clone()));
        }
    }
    if situation == Situation::Speaking {
        for word in own_words() {
            draft.arcs[start].push((word.to_owned(), end));
        }
    }
    let ways = Ways {
        start,
        chain,
        end,
        prefixes,
    };
    determine(&draft, &ways, spellings)
}

/// States of the draft that mean something.
struct Ways {
    start: usize,
    /// A further sentence may begin.
    chain: usize,
    end: usize,
    /// "correction": what it begins may follow as an utterance of its own as well.
    prefixes: BTreeSet<String>,
}

fn determine(draft: &Draft, ways: &Ways, spellings: &Spellings) -> WordGraph {
    let first = draft.closure([ways.start]);
    let mut numbers: HashMap<BTreeSet<usize>, usize> = HashMap::from([(first.clone(), 0)]);
    let mut sets = vec![first];
    let mut arcs: Vec<BTreeMap<String, usize>> = Vec::new();
    let mut at = 0;
    while at < sets.len() {
        let mut by_word: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
        for &state in &sets[at] {
            for (word, to) in &draft.arcs[state] {
                by_word.entry(word.clone()).or_default().insert(*to);
            }
        }
        let mut row = BTreeMap::new();
        for (word, targets) in by_word {
            let set = draft.closure(targets);
            let number = *numbers.entry(set.clone()).or_insert_with(|| {
                sets.push(set);
                sets.len() - 1
            });
            row.insert(word, number);
        }
        arcs.push(row);
        at += 1;
    }
    let finals: Vec<bool> = sets.iter().map(|set| set.contains(&ways.end)).collect();
    let further = draft.closure([ways.chain]);
    let may_lengthen: Vec<bool> = sets
        .iter()
        .zip(&finals)
        .map(|(set, is_final)| {
            let mut lengthening = set
                .difference(&further)
                .flat_map(|state| &draft.arcs[*state]);
            *is_final && lengthening.any(|(word, _)| !ways.prefixes.contains(word))
        })
        .collect();
    let inside: Vec<bool> = sets
        .iter()
        .map(|set| set.iter().all(|state| draft.inside[*state]))
        .collect();
    let marks: Vec<[bool; 3]> = (0..sets.len())
        .map(|state| [finals[state], inside[state], may_lengthen[state]])
        .collect();
    let class = merge(&arcs, &marks);

    let words: BTreeSet<&String> = arcs.iter().flat_map(BTreeMap::keys).collect();
    let index: HashMap<&String, u32> = words
        .iter()
        .enumerate()
        .map(|(i, w)| (*w, i as u32))
        .collect();
    let count = class.iter().max().map_or(0, |max| max + 1);
    let mut states = vec![State::default(); count];
    for (state, row) in arcs.iter().enumerate() {
        let merged = &mut states[class[state]];
        merged.is_final = finals[state];
        merged.inside_number = inside[state];
        merged.may_lengthen = may_lengthen[state];
        if merged.arcs.is_empty() {
            merged.arcs = row
                .iter()
                .map(|(word, to)| (index[word], class[*to] as u32))
                .collect();
            merged.arcs.sort_unstable();
        }
    }
    WordGraph {
        words: words
            .into_iter()
            .map(|word| spelled(word, spellings))
            .collect(),
        states,
    }
}

pub(super) fn spelled(word: &str, spellings: &Spellings) -> Word {
    let row = spellings.of(word);
    Word {
        text: word.to_owned(),
        spellings: row.map_or_else(Vec::new, |row| row.others.clone()),
        figure: row.and_then(|row| row.figure.clone()),
    }
}

/// Class of each state, the start state's class being 0: states of one class accept the same sentences and bear the
/// same marks.
fn merge(arcs: &[BTreeMap<String, usize>], marks: &[[bool; 3]]) -> Vec<usize> {
    let mut class: Vec<usize> = marks
        .iter()
        .map(|marks| {
            marks
                .iter()
                .fold(0, |bits, mark| 2 * bits + usize::from(*mark))
        })
        .collect();
    /// A state's class, and where each word leads from it.
    type Signature<'a> = (usize, Vec<(&'a String, usize)>);
    let mut count = 0;
    loop {
        let mut seen: HashMap<Signature<'_>, usize> = HashMap::new();
        let mut next = Vec::with_capacity(class.len());
        for (state, row) in arcs.iter().enumerate() {
            let key = (
                class[state],
                row.iter().map(|(word, to)| (word, class[*to])).collect(),
            );
            let fresh = seen.len();
            next.push(*seen.entry(key).or_insert(fresh));
        }
        class = next;
        if seen.len() == count {
            return class;
        }
        count = seen.len();
    }
}
