//! Proves over the whole language that a row of words has one meaning: not by samples, but by walking two ways of
//! reading the same words side by side, through every pair of places that both can reach.
//!
//! The draft of the word graph bears marks of what was said (the intent, each value). Two ways of reading the same words
//! mean the same if their marks are the same in the same order; one way may be ahead of the other for a while. A grammar
//! has one meaning for each sentence exactly if, in every pair of places from which both ways can still end, one way
//! is ahead by one and the same row of marks however the pair was reached (Béal, Carton, Prieur, Sakarovitch 2003,
//! "Squaring transducers"), and by none at the end.
//!
//! Marks without a bearing on the meaning are left out: what was misspoken, what was there before.

use std::collections::{HashMap, HashSet, VecDeque};

use super::graph::{Draft, Ways};
use crate::speech::value;

/// Two ways of reading the same words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct TwoMeanings {
    pub words: Vec<String>,
    pub one: Vec<String>,
    pub other: Vec<String>,
}

type Mark = u32;
/// A state before whose word one stands, with the marks passed on the way to it.
type Step = (usize, Vec<Mark>);

/// Slots that change nothing.
const NO_MEANING: [&str; 2] = ["misspoken=", "before="];
/// Marks that only say what the values after them say as well: a tooth may be chosen by a sentence or by a frame.
const SAID_BY_VALUES: [&str; 2] = ["intent choose_tooth", "teeth"];

struct Machine<'a> {
    draft: &'a Draft,
    marks: Vec<Option<Mark>>,
    names: Vec<String>,
    /// For each state, with and without a number before: the states with words reached, and the marks on the way.
    steps: HashMap<(usize, bool), Vec<Step>>,
    end: usize,
    /// Places that many ways share: each is looked at once, and a way comes there by a step of its own.
    hubs: HashSet<usize>,
}

impl<'a> Machine<'a> {
    fn new(draft: &'a Draft, ways: &Ways) -> Self {
        let mut names: Vec<String> = Vec::new();
        let mut marks = Vec::new();
        for mark in &draft.marks {
            let mark = mark.as_ref().filter(|mark| {
                !NO_MEANING.iter().any(|slot| mark.starts_with(slot))
                    && !SAID_BY_VALUES.contains(&mark.as_str())
            });
            marks.push(mark.map(|mark| {
                let at = names.iter().position(|name| name == mark);
                at.unwrap_or_else(|| {
                    names.push(mark.clone());
                    names.len() - 1
                }) as Mark
            }));
        }
        Self {
            draft,
            marks,
            names,
            steps: HashMap::new(),
            end: ways.end,
            hubs: ways.hubs.iter().copied().collect(),
        }
    }

    /// Where words may be said next, from the end of a word.
    fn steps(&mut self, from: usize, is_number: bool) -> Vec<Step> {
        if let Some(steps) = self.steps.get(&(from, is_number)) {
            return steps.clone();
        }
        let mut found: Vec<Step> = Vec::new();
        let mut seen: HashSet<Step> = HashSet::new();
        let mut open: Vec<Step> = vec![(from, Vec::new())];
        while let Some((state, mut marks)) = open.pop() {
            marks.extend(self.marks[state]);
            if !seen.insert((state, marks.clone())) {
                continue;
            }
            if !self.draft.arcs[state].is_empty() || state == self.end {
                found.push((state, marks.clone()));
            }
            let guarded = self.draft.after_words[state].iter().filter(|_| !is_number);
            if state != from && self.hubs.contains(&state) {
                found.push((state, marks.clone()));
                continue;
            }
            open.extend(
                self.draft.empty[state]
                    .iter()
                    .chain(guarded)
                    .map(|next| (*next, marks.clone())),
            );
        }
        self.steps.insert((from, is_number), found.clone());
        found
    }
}

impl Machine<'_> {
    /// The marks with which both ways may end here.
    fn ends(&mut self, pair: Pair) -> Vec<(Vec<Mark>, Vec<Mark>)> {
        let end = self.end;
        let of = |steps: Vec<Step>| -> Vec<Vec<Mark>> {
            let ends = steps.into_iter().filter(|(state, _)| *state == end);
            ends.map(|(_, marks)| marks).collect()
        };
        let one = of(self.steps(pair.0, pair.2));
        let other = of(self.steps(pair.1, pair.2));
        one.iter()
            .flat_map(|one| other.iter().map(|other| (one.clone(), other.clone())))
            .collect()
    }

    /// The pairs after one more word, with the word and the marks of both ways up to it.
    fn onward(&mut self, pair: Pair) -> Vec<(String, Pair, Vec<Mark>, Vec<Mark>)> {
        let mut row = Vec::new();
        let one = self.steps(pair.0, pair.2);
        let other = self.steps(pair.1, pair.2);
        for (state, marks) in one.iter().filter(|(state, _)| self.hubs.contains(state)) {
            let next = (*state, pair.1, pair.2);
            row.push((String::new(), next, marks.clone(), Vec::new()));
        }
        for (state, marks) in other.iter().filter(|(state, _)| self.hubs.contains(state)) {
            let next = (pair.0, *state, pair.2);
            row.push((String::new(), next, Vec::new(), marks.clone()));
        }
        self.together(&one, &other, &mut row);
        row
    }

    /// The words that both can say next.
    fn together(
        &self,
        one: &[Step],
        other: &[Step],
        row: &mut Vec<(String, Pair, Vec<Mark>, Vec<Mark>)>,
    ) {
        let mut by_word: HashMap<&str, Vec<(usize, &Vec<Mark>)>> = HashMap::new();
        for (state, marks) in other {
            if self.hubs.contains(state) {
                continue;
            }
            for (word, to) in &self.draft.arcs[*state] {
                by_word.entry(word).or_default().push((*to, marks));
            }
        }
        for (state, marks) in one {
            for (word, to) in &self.draft.arcs[*state] {
                let is_number = value::number(word).is_some();
                for (other_to, other_marks) in by_word.get(word.as_str()).into_iter().flatten() {
                    let next = (*to, *other_to, is_number);
                    row.push((word.clone(), next, marks.clone(), (*other_marks).clone()));
                }
            }
        }
    }
}

/// A pair of ends of words, and whether the word was a number.
type Pair = (usize, usize, bool);

/// How far one way is ahead of the other: at most one of the two has marks.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
struct Ahead(Vec<Mark>, Vec<Mark>);

impl Ahead {
    fn with(&self, one: &[Mark], other: &[Mark]) -> Self {
        let one: Vec<Mark> = self.0.iter().chain(one).copied().collect();
        let other: Vec<Mark> = self.1.iter().chain(other).copied().collect();
        let same = one.iter().zip(&other).take_while(|(a, b)| a == b).count();
        Self(one[same..].to_vec(), other[same..].to_vec())
    }

    fn differs(&self) -> bool {
        !self.0.is_empty() && !self.1.is_empty()
    }
}

/// All rows of words that have two meanings, one for each place in the grammar where that happens first, up to `most`.
pub(super) fn two_meanings(draft: &Draft, ways: &Ways, most: usize) -> Vec<TwoMeanings> {
    let mut walk = Walk {
        machine: Machine::new(draft, ways),
        dead: HashSet::new(),
        found: Vec::new(),
        told: HashSet::new(),
    };
    let start: Pair = (ways.start, ways.start, false);
    let nothing = Ahead(Vec::new(), Vec::new());
    let mut known: HashMap<Pair, Vec<Ahead>> = HashMap::from([(start, vec![nothing.clone()])]);
    // How each was reached first, for the words.
    let mut came: HashMap<(Pair, Ahead), (Pair, Ahead, String)> = HashMap::new();
    let mut open = VecDeque::from([(start, nothing.clone())]);
    while let Some((pair, here)) = open.pop_front() {
        if walk.found.len() >= most {
            break;
        }
        for (one, other) in walk.machine.ends(pair) {
            let last = here.with(&one, &other);
            if last != nothing {
                let words = words_to(&came, pair, &here);
                walk.tell(words, &last);
            }
        }
        for (word, next, one, other) in walk.machine.onward(pair) {
            let after = here.with(&one, &other);
            let others = known.entry(next).or_default();
            if others.contains(&after) {
                continue;
            }
            // Two ways that differ, or that were differently far apart before, are a fault if both can still end.
            if after.differs() || !others.is_empty() {
                if after.differs() && walk.is_told(&after) {
                    continue;
                }
                if let Some(rest) = walk.way_to_end(next) {
                    let mut words = words_to(&came, pair, &here);
                    words.push(word.clone());
                    words.extend(rest);
                    walk.tell(words, &after);
                    continue;
                }
                if after.differs() {
                    continue;
                }
            }
            others.push(after.clone());
            came.insert((next, after.clone()), (pair, here.clone(), word));
            open.push_back((next, after));
        }
    }
    walk.found
}

struct Walk<'a> {
    machine: Machine<'a>,
    /// Pairs from which the two ways cannot both end.
    dead: HashSet<Pair>,
    found: Vec<TwoMeanings>,
    /// The marks by which those found differ first.
    told: HashSet<(Option<Mark>, Option<Mark>)>,
}

impl Walk<'_> {
    /// Words by which both ways come to the end, whatever they mean.
    fn way_to_end(&mut self, from: Pair) -> Option<Vec<String>> {
        let mut came: HashMap<Pair, (Pair, String)> = HashMap::new();
        let mut seen = HashSet::from([from]);
        let mut open = VecDeque::from([from]);
        while let Some(pair) = open.pop_front() {
            if self.dead.contains(&pair) {
                continue;
            }
            if !self.machine.ends(pair).is_empty() {
                let (mut at, mut words) = (pair, Vec::new());
                while let Some((before, word)) = came.get(&at) {
                    words.extend((!word.is_empty()).then(|| word.clone()));
                    at = *before;
                }
                words.reverse();
                return Some(words);
            }
            for (word, next, _, _) in self.machine.onward(pair) {
                if seen.insert(next) {
                    came.insert(next, (pair, word));
                    open.push_back(next);
                }
            }
        }
        self.dead.extend(seen);
        None
    }

    fn is_told(&self, ahead: &Ahead) -> bool {
        let (one, other) = (ahead.0.first().copied(), ahead.1.first().copied());
        self.told.contains(&(one, other)) || self.told.contains(&(other, one))
    }

    fn tell(&mut self, words: Vec<String>, ahead: &Ahead) {
        if self.is_told(ahead) {
            return;
        }
        self.told
            .insert((ahead.0.first().copied(), ahead.1.first().copied()));
        let names = |marks: &[Mark]| {
            let name = |mark: &Mark| self.machine.names[*mark as usize].clone();
            marks.iter().map(name).collect()
        };
        self.found.push(TwoMeanings {
            words,
            one: names(&ahead.0),
            other: names(&ahead.1),
        });
    }
}

fn words_to(
    came: &HashMap<(Pair, Ahead), (Pair, Ahead, String)>,
    pair: Pair,
    ahead: &Ahead,
) -> Vec<String> {
    let (mut at, mut words) = ((pair, ahead.clone()), Vec::new());
    while let Some((before, ahead, word)) = came.get(&at) {
        words.extend((!word.is_empty()).then(|| word.clone()));
        at = (*before, ahead.clone());
    }
    words.reverse();
    words
}
