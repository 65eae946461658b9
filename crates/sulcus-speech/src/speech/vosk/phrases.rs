//! A word graph as Vosk takes it: a list of phrases in words that the model knows; and its answers back into the graph.
//! Vosk counts the pairs of neighbouring words in the phrases and hears by these counts: pairs that occur are likely,
//! others are not impossible. So the phrases must hold every pair of the graph in sensible numbers, not every
//! sentence; and what comes back must be checked against the graph.
//!
//! Invariants: each phrase is a whole sentence of the graph; each pair of words that may follow one another,
//! as first and as last word too, is in some phrase, unless a word of it is missing.

use std::collections::{HashSet, VecDeque};
use std::ops::Range;

use crate::speech::word_graph::{StateIndex, WordGraph, WordIndex};

/// Even walks through the graph that are taken before the pairs still missing are added one by one.
/// They give the counts their proportions: with 2000 the rarest first word of a graph of 40 is still seen 50 times.
const WALKS: usize = 2000;

/// Longest phrase, in words of the graph; a walk that comes here takes the shortest way to an end.
/// More than any spoken sentence of an examination; keeps walks in loops finite.
const PHRASE_WORDS_MAX: usize = 24;

/// How each word of a graph is put to the model.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lexicon {
    /// By word index: the model's words for it, usually one; none where the model knows no spelling of it.
    forms: Vec<Option<Vec<String>>>,
}

impl Lexicon {
    /// Asks for each word, then for its other spellings, whether the model knows all parts of it.
    pub fn new(graph: &WordGraph, mut knows: impl FnMut(&str) -> bool) -> Self {
        let forms = graph
            .words
            .iter()
            .map(|word| {
                std::iter::once(&word.text)
                    .chain(&word.spellings)
                    .map(|spelling| spelling.split_whitespace().map(str::to_owned).collect())
                    .find(|parts: &Vec<String>| {
                        !parts.is_empty() && parts.iter().all(|part| is_plain(part) && knows(part))
                    })
            })
            .collect();
        Self { forms }
    }

    /// The words that occur in sentences of the graph and that the model can never hear, sorted.
    pub fn missing(&self, graph: &WordGraph) -> Vec<String> {
        let used: HashSet<WordIndex> = graph
            .states
            .iter()
            .flat_map(|state| state.arcs.iter().map(|&(word, _)| word))
            .collect();
        let mut missing: Vec<String> = used
            .into_iter()
            .filter(|&word| self.forms[word as usize].is_none())
            .map(|word| graph.words[word as usize].text.clone())
            .collect();
        missing.sort();
        missing
    }

    /// The phrases that stand for the graph. None where no sentence can be said in words that the model knows.
    pub fn phrases(&self, graph: &WordGraph) -> Vec<String> {
        let Some(mut walker) = Walker::new(graph, self) else {
            return Vec::new();
        };
        let mut phrases: Vec<Vec<WordIndex>> = (0..WALKS).map(|_| walker.walk()).collect();
        phrases.extend(walker.missing_pairs());
        phrases
            .iter()
            .map(|words| {
                words
                    .iter()
                    .filter_map(|&word| self.forms[word as usize].as_ref())
                    .flatten()
                    .map(String::as_str)
                    .collect::<Vec<_>>()
                    .join(" ")
            })
            .collect()
    }

    /// Reads the model's words as one whole sentence of the graph: for each word of the sentence
    /// the range of the model's words that it is made of. None where the graph has no such sentence.
    pub fn sentence<S: AsRef<str>>(
        &self,
        graph: &WordGraph,
        heard: &[S],
    ) -> Option<Vec<(WordIndex, Range<usize>)>> {
        let mut path = Vec::new();
        self.continues(graph, WordGraph::START, heard, 0, &mut path)
            .then_some(path)
    }

    /// Whether `heard` from `at` on leads from `state` to an end; fills `path` on the way.
    fn continues<S: AsRef<str>>(
        &self,
        graph: &WordGraph,
        state: StateIndex,
        heard: &[S],
        at: usize,
        path: &mut Vec<(WordIndex, Range<usize>)>,
    ) -> bool {
        let state = &graph.states[state as usize];
        if at == heard.len() {
            return state.is_final;
        }
        for &(word, next) in &state.arcs {
            let Some(form) = &self.forms[word as usize] else {
                continue;
            };
            let end = at + form.len();
            let is_here = end <= heard.len()
                && form
                    .iter()
                    .zip(&heard[at..end])
                    .all(|(a, b)| a == b.as_ref());
            if is_here {
                path.push((word, at..end));
                if self.continues(graph, next, heard, end, path) {
                    return true;
                }
                path.pop();
            }
        }
        false
    }

    /// The words of the graph that the model's words stand for, read from left to right without regard to sentences:
    /// for words heard so far. What stands for no word of the graph is left out.
    pub fn words_so_far<S: AsRef<str>>(&self, graph: &WordGraph, heard: &[S]) -> Vec<String> {
        let mut words = Vec::new();
        let mut at = 0;
        while at < heard.len() {
            let longest = self
                .forms
                .iter()
                .enumerate()
                .filter_map(|(word, form)| Some((word, form.as_ref()?)))
                .filter(|(_, form)| {
                    at + form.len() <= heard.len()
                        && form.iter().zip(&heard[at..]).all(|(a, b)| a == b.as_ref())
                })
                .max_by_key(|(_, form)| form.len());
            match longest {
                Some((word, form)) => {
                    words.push(graph.words[word].text.clone());
                    at += form.len();
                }
                None => at += 1,
            }
        }
        words
    }
}

/// Whether a word can stand in the list that the crate `vosk` writes: it puts quotation marks around, and escapes nothing.
fn is_plain(word: &str) -> bool {
    !word.contains(|c: char| c == '"' || c == '\\' || c.is_control())
}

/// Neighbours in a sentence; none stands for its beginning or its end.
type Pair = (Option<WordIndex>, Option<WordIndex>);

/// Takes walks through a graph so that at each state all ways out, ending among them, are taken in turn.
struct Walker {
    /// By state: the arcs that lead to an end in words that the model knows.
    arcs: Vec<Vec<(WordIndex, StateIndex)>>,
    is_final: Vec<bool>,
    /// By state: arcs to the nearest end.
    distance: Vec<usize>,
    /// By state: which way out is next.
    turn: Vec<usize>,
    seen: HashSet<Pair>,
}

impl Walker {
    /// None where no sentence can be said.
    fn new(graph: &WordGraph, lexicon: &Lexicon) -> Option<Self> {
        const FAR: usize = usize::MAX;
        let known = |word: WordIndex| lexicon.forms[word as usize].is_some();
        let mut back: Vec<Vec<usize>> = vec![Vec::new(); graph.states.len()];
        for (from, state) in graph.states.iter().enumerate() {
            for &(word, to) in &state.arcs {
                if known(word) {
                    back[to as usize].push(from);
                }
            }
        }
        let mut distance = vec![FAR; graph.states.len()];
        let mut queue: VecDeque<usize> = (0..graph.states.len())
            .filter(|&state| graph.states[state].is_final)
            .collect();
        for &state in &queue {
            distance[state] = 0;
        }
        while let Some(state) = queue.pop_front() {
            for &from in &back[state] {
                if distance[from] == FAR {
                    distance[from] = distance[state] + 1;
                    queue.push_back(from);
                }
            }
        }
        let arcs: Vec<Vec<_>> = graph
            .states
            .iter()
            .map(|state| {
                let leads = |&(word, to): &(WordIndex, StateIndex)| {
                    known(word) && distance[to as usize] != FAR
                };
                state.arcs.iter().copied().filter(leads).collect()
            })
            .collect();
        (!arcs[WordGraph::START as usize].is_empty()).then(|| Self {
            is_final: graph.states.iter().map(|state| state.is_final).collect(),
            turn: vec![0; graph.states.len()],
            seen: HashSet::new(),
            arcs,
            distance,
        })
    }

    /// One sentence, not empty.
    fn walk(&mut self) -> Vec<WordIndex> {
        let mut words = Vec::new();
        let mut state = WordGraph::START as usize;
        while words.len() < PHRASE_WORDS_MAX {
            let ways = self.arcs[state].len();
            // The empty sentence is none, so there the turn never falls on the end.
            let may_end = self.is_final[state] && !words.is_empty();
            let turn = self.turn[state] % (ways + usize::from(may_end)).max(1);
            self.turn[state] = turn + 1;
            if turn == ways {
                break;
            }
            let (word, next) = self.arcs[state][turn];
            words.push(word);
            state = next as usize;
        }
        self.end(&mut words, state);
        self.note(&words);
        words
    }

    /// Goes the shortest way from `state` to an end.
    fn end(&self, words: &mut Vec<WordIndex>, mut state: usize) {
        while self.distance[state] > 0 {
            let nearest = self.arcs[state]
                .iter()
                .min_by_key(|(_, next)| self.distance[*next as usize]);
            let &(word, next) =
                nearest.expect("a state with a distance has an arc that leads to an end");
            words.push(word);
            state = next as usize;
        }
    }

    fn note(&mut self, words: &[WordIndex]) {
        let beginnings = std::iter::once(None).chain(words.iter().copied().map(Some));
        let ends = words.iter().copied().map(Some).chain(std::iter::once(None));
        self.seen.extend(beginnings.zip(ends));
    }

    /// Sentences for the pairs that no walk came by: the shortest way there, the pair, the shortest way to an end.
    fn missing_pairs(&mut self) -> Vec<Vec<WordIndex>> {
        let mut sentences = Vec::new();
        let mut add = |walker: &mut Self, mut words: Vec<WordIndex>, state: usize| {
            walker.end(&mut words, state);
            walker.note(&words);
            sentences.push(words);
        };
        let ways = self.ways();
        for (state, way) in ways.iter().enumerate() {
            // A state without a way to it cannot be reached in words that the model knows.
            let Some(way) = way else { continue };
            for arc in 0..self.arcs[state].len() {
                let (word, middle) = self.arcs[state][arc];
                let middle = middle as usize;
                let mut words = way.clone();
                words.push(word);
                let needs_first = way.is_empty() && !self.seen.contains(&(None, Some(word)));
                let needs_last = self.is_final[middle] && !self.seen.contains(&(Some(word), None));
                if needs_first || needs_last {
                    add(self, words.clone(), middle);
                }
                for onward in 0..self.arcs[middle].len() {
                    let (next_word, next) = self.arcs[middle][onward];
                    if !self.seen.contains(&(Some(word), Some(next_word))) {
                        let mut words = words.clone();
                        words.push(next_word);
                        add(self, words, next as usize);
                    }
                }
            }
        }
        sentences
    }

    /// By state: the words of a shortest way to it from the start.
    fn ways(&self) -> Vec<Option<Vec<WordIndex>>> {
        let start = WordGraph::START as usize;
        let mut ways: Vec<Option<Vec<WordIndex>>> = vec![None; self.arcs.len()];
        ways[start] = Some(Vec::new());
        let mut queue = VecDeque::from([start]);
        while let Some(state) = queue.pop_front() {
            for &(word, next) in &self.arcs[state] {
                let next = next as usize;
                if ways[next].is_none() {
                    let mut way = ways[state].clone().unwrap_or_default();
                    way.push(word);
                    ways[next] = Some(way);
                    queue.push_back(next);
                }
            }
        }
        ways
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::word_graph::{Senses, State, Word};
    use proptest::prelude::*;

    fn word(text: &str, spellings: &[&str]) -> Word {
        Word {
            text: text.into(),
            spellings: spellings.iter().map(|&s| s.into()).collect(),
            figure: None,
        }
    }

    /// "tooth" DIGIT DIGIT?, "stop", with the words one, two, three.
    fn teeth() -> WordGraph {
        let words = ["one", "two", "three", "stop", "tooth"]
            .map(|text| word(text, &[]))
            .to_vec();
        let state = |arcs: &[(WordIndex, StateIndex)], is_final| State {
            arcs: arcs.to_vec(),
            is_final,
            ..State::default()
        };
        let states = vec![
            state(&[(3, 3), (4, 1)], false),
            state(&[(0, 2), (1, 2), (2, 2)], false),
            state(&[(0, 3), (1, 3), (2, 3)], true),
            state(&[], true),
        ];
        WordGraph {
            words,
            states,
            senses: Senses::default(),
        }
    }

    /// Pairs of neighbours in all sentences up to `length` words, by brute force.
    fn pairs_of(graph: &WordGraph, length: usize) -> HashSet<Pair> {
        let mut pairs = HashSet::new();
        let mut sentences = vec![(Vec::new(), WordGraph::START)];
        while let Some((words, state)) = sentences.pop() {
            let state = &graph.states[state as usize];
            if state.is_final && !words.is_empty() {
                let from = std::iter::once(None).chain(words.iter().copied().map(Some));
                let to = words.iter().copied().map(Some).chain(std::iter::once(None));
                pairs.extend(from.zip(to));
            }
            if words.len() < length {
                for &(word, next) in &state.arcs {
                    let mut words = words.clone();
                    words.push(word);
                    sentences.push((words, next));
                }
            }
        }
        pairs
    }

    fn pairs_in(graph: &WordGraph, phrases: &[String]) -> HashSet<Pair> {
        let index = |text: &str| {
            graph
                .words
                .iter()
                .position(|w| w.text == text)
                .map(|i| i as WordIndex)
        };
        phrases
            .iter()
            .flat_map(|phrase| {
                let words: Vec<_> = phrase.split(' ').map(index).collect();
                let from = std::iter::once(None).chain(words.clone());
                from.zip(words.into_iter().chain(std::iter::once(None)))
                    .collect::<Vec<_>>()
            })
            .collect()
    }

    #[test]
    fn phrases_are_sentences_and_hold_every_pair() {
        let graph = teeth();
        let phrases = Lexicon::new(&graph, |_| true).phrases(&graph);
        for phrase in &phrases {
            let words: Vec<_> = phrase.split(' ').collect();
            assert!(graph.accepts(&words), "{phrase}");
        }
        assert_eq!(pairs_in(&graph, &phrases), pairs_of(&graph, 4));
    }

    #[test]
    fn first_words_come_in_like_numbers() {
        let graph = teeth();
        let phrases = Lexicon::new(&graph, |_| true).phrases(&graph);
        let stops = phrases.iter().filter(|p| *p == "stop").count();
        assert!(
            (WALKS / 2 - 10..=WALKS / 2 + 10).contains(&stops),
            "{stops}"
        );
    }

    #[test]
    fn missing_words_are_told_and_never_said() {
        let graph = teeth();
        let lexicon = Lexicon::new(&graph, |word| word != "two" && word != "stop");
        assert_eq!(lexicon.missing(&graph), ["stop", "two"]);
        let phrases = lexicon.phrases(&graph);
        assert!(!phrases.is_empty());
        assert!(
            phrases
                .iter()
                .all(|p| !p.contains("two") && !p.contains("stop"))
        );
    }

    #[test]
    fn no_phrases_where_nothing_can_be_said() {
        let graph = teeth();
        let lexicon = Lexicon::new(&graph, |word| !matches!(word, "tooth" | "stop"));
        assert_eq!(lexicon.phrases(&graph), Vec::<String>::new());
    }

    #[test]
    fn a_word_the_model_lacks_is_said_by_another_spelling() {
        let words = vec![
            word("furcation", &["fur cation", "for cation"]),
            word("two", &[]),
        ];
        let graph = WordGraph::loop_of(words, 1, 2);
        let lexicon = Lexicon::new(&graph, |word| {
            ["fur", "for", "cation", "two"].contains(&word)
        });
        assert_eq!(lexicon.missing(&graph), Vec::<String>::new());
        assert_eq!(
            lexicon.sentence(&graph, &["fur", "cation", "two"]),
            Some(vec![(0, 0..2), (1, 2..3)])
        );
        assert_eq!(lexicon.sentence(&graph, &["fur", "two"]), None);
        assert_eq!(
            lexicon.words_so_far(&graph, &["fur", "cation", "fur"]),
            ["furcation"]
        );
    }

    #[test]
    fn words_that_would_break_the_list_are_missing() {
        let graph = WordGraph::loop_of(
            vec![word("a\"b", &[]), word("a\\b", &[]), word("c", &[])],
            1,
            1,
        );
        assert_eq!(
            Lexicon::new(&graph, |_| true).missing(&graph),
            ["a\"b", "a\\b"]
        );
    }

    proptest! {
        /// Any graph of up to 6 states over 4 words, trimmed or not: phrases are sentences, and all pairs are there.
        #[test]
        fn any_graph_is_covered(
            arcs in proptest::collection::vec(proptest::collection::btree_map(0u32..4, 0u32..6, 0..4), 6),
            finals in proptest::collection::vec(any::<bool>(), 6),
            known in proptest::collection::vec(any::<bool>(), 4),
        ) {
            let texts = ["a", "b", "c", "d"];
            let graph = WordGraph {
                words: texts.map(|text| word(text, &[])).to_vec(),
                states: arcs
                    .into_iter()
                    .zip(finals)
                    .map(|(arcs, is_final)| State { arcs: arcs.into_iter().collect(), is_final, ..State::default() })
                    .collect(),
                senses: Senses::default(),
            };
            let knows = |text: &str| texts.iter().position(|t| *t == text).is_some_and(|at| known[at]);
            let phrases = Lexicon::new(&graph, knows).phrases(&graph);
            for phrase in &phrases {
                let words: Vec<_> = phrase.split(' ').collect();
                prop_assert!(graph.accepts(&words));
                prop_assert!(words.iter().all(|w| knows(w)));
            }
            let mut sayable = graph.clone();
            for state in &mut sayable.states {
                state.arcs.retain(|&(word, _)| known[word as usize]);
            }
            // Shortest way to a state, two arcs, shortest way to an end: 5 + 2 + 5 words at most, but brute force
            // over 12 words is slow, and pairs in longer sentences only must be found too: so compare one way.
            prop_assert!(pairs_of(&sayable, 6).is_subset(&pairs_in(&graph, &phrases)));
        }
    }
}
