//! The templates of a situation made into a deterministic word graph.
//! Thompson's construction, then subsets, then states that cannot be told apart are merged (Moore).

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use super::matcher::{CHOOSE_TOOTH, may_follow};
use super::template::{Book, Joining, MANY, Node, Situation, Template};
use super::word_set::Spellings;
use crate::speech::word_graph::{Senses, State, Word};
use crate::speech::{WordGraph, value};

/// A graph with empty steps, under construction.
#[derive(Default)]
pub(super) struct Draft {
    pub(super) empty: Vec<Vec<usize>>,
    /// Empty steps that may be taken only where the last word was no number.
    pub(super) after_words: Vec<Vec<usize>>,
    pub(super) arcs: Vec<Vec<(String, usize)>>,
    /// What it means to have reached a state, in the order reached: nothing for most.
    pub(super) marks: Vec<Option<String>>,
    /// Lies within a list or rule, that is, within one value of several words.
    inside: Vec<bool>,
    /// Lies within words that may stand at the end and change no value: nobody waits for them.
    trailing: Vec<bool>,
}

impl Draft {
    fn state(&mut self) -> usize {
        self.empty.push(Vec::new());
        self.after_words.push(Vec::new());
        self.arcs.push(Vec::new());
        self.marks.push(None);
        self.inside.push(false);
        self.trailing.push(false);
        self.empty.len() - 1
    }

    /// A state that is reached from `start` without a word and means something.
    fn mark(&mut self, start: usize, mark: String) -> usize {
        let marked = self.state();
        self.marks[marked] = Some(mark);
        self.empty[start].push(marked);
        marked
    }

    /// Adds words that mean nothing and may be left out, from `start` to `end`.
    fn maybe(&mut self, book: &Book, node: Option<&Node>, start: usize, end: usize) {
        self.empty[start].push(end);
        if let Some(node) = node {
            let begin = self.state();
            self.empty[start].push(begin);
            let last = self.add(book, node, begin);
            self.empty[last].push(end);
        }
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
            Node::List { list, slot } => match book.lists.get(list) {
                Some(entries) => {
                    let first = self.empty.len();
                    let end = self.state();
                    for (said, value) in entries {
                        let begin = self.state();
                        self.empty[start].push(begin);
                        let last = self.add(book, said, begin);
                        let last = self.mark(last, format!("{slot}={value}"));
                        self.empty[last].push(end);
                    }
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
            Node::Repeat { node, min, max } if *max == MANY => {
                let mut at = start;
                for _ in 1..*min {
                    at = self.add(book, node, at);
                }
                // States of their own, so that the loop cannot leak into what stands before and after.
                let (begin, end) = (self.state(), self.state());
                self.empty[at].push(begin);
                let last = self.add(book, node, begin);
                self.empty[last].extend([begin, end]);
                end
            }
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

    /// All states reached without a further word, after `word`.
    fn closure(
        &self,
        states: impl IntoIterator<Item = usize>,
        word: Option<&str>,
    ) -> BTreeSet<usize> {
        let is_number = word.is_some_and(|word| value::number(word).is_some());
        let mut open: Vec<usize> = states.into_iter().collect();
        let mut closed = BTreeSet::new();
        while let Some(state) = open.pop() {
            if closed.insert(state) {
                open.extend(&self.empty[state]);
                if !is_number {
                    open.extend(&self.after_words[state]);
                }
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
    let (draft, ways) = draft(book, situation);
    determine(&draft, &ways, spellings)
}

/// Where sentences begin: at the start, after a prefix, after the tooth that begins an utterance, after others.
struct Beginning {
    state: usize,
    /// After the words of each frame that may stand before.
    framed: BTreeMap<String, usize>,
}

impl Beginning {
    fn new(draft: &mut Draft, book: &Book, situation: Situation, state: usize) -> Self {
        // Only those that a sentence of the situation has: each state lies on a way to an end.
        let used: BTreeSet<&String> = book
            .active(situation)
            .filter_map(|template| template.frame.as_ref())
            .collect();
        // Frames that begin with the same words share them.
        let mut shared: Vec<(Option<&Node>, usize)> = Vec::new();
        let mut framed = BTreeMap::new();
        for (name, frame) in &book.frames {
            if !used.contains(name) {
                continue;
            }
            let before = frame.before.as_ref();
            let end = match shared.iter().find(|(node, _)| *node == before) {
                Some((_, end)) => *end,
                None => {
                    let end = draft.state();
                    draft.maybe(book, before, state, end);
                    shared.push((before, end));
                    end
                }
            };
            framed.insert(name.clone(), end);
        }
        Self { state, framed }
    }

    /// After a prefix: its words say already what those of a frame would.
    fn bare(state: usize) -> Self {
        Self {
            state,
            framed: BTreeMap::new(),
        }
    }

    fn of(&self, template: &Template) -> usize {
        template
            .frame
            .as_ref()
            .and_then(|name| self.framed.get(name))
            .copied()
            .unwrap_or(self.state)
    }
}

/// The same before it is made deterministic. The marks of its states tell what was said: see [`super::functional`].
pub(super) fn draft(book: &Book, situation: Situation) -> (Draft, Ways) {
    let mut draft = Draft::default();
    let root = draft.state();
    let start = draft.state();
    draft.maybe(book, book.courtesy(situation).before.as_ref(), root, start);
    // After a sentence: further ones, or the end.
    let chain = draft.state();
    let last = draft.state();
    let end = draft.state();
    draft.empty[chain].push(last);
    let first = draft.empty.len();
    draft.maybe(book, book.courtesy(situation).after.as_ref(), last, end);
    draft.trail(first);
    // Nothing but courtesy begins there.
    draft.trailing[last] = true;
    let further = draft.state();
    draft.maybe(
        book,
        book.courtesy(situation).between.as_ref(),
        chain,
        further,
    );
    // After the tooth that begins an utterance.
    let opened = draft.state();
    draft.empty[opened].push(last);
    let after_tooth = draft.state();
    draft.maybe(
        book,
        book.courtesy(situation).between.as_ref(),
        opened,
        after_tooth,
    );

    let at_start = Beginning::new(&mut draft, book, situation, start);
    let at_further = Beginning::new(&mut draft, book, situation, further);
    let at_opened = Beginning::new(&mut draft, book, situation, after_tooth);
    // A tooth follows without a word between: "one oh four and one oh five ..." is said of both.
    let tooth_at_further = Beginning::new(&mut draft, book, situation, chain);
    let tooth_at_opened = Beginning::new(&mut draft, book, situation, opened);
    let prefixes: Vec<&Template> = book
        .active(situation)
        .filter(|template| template.joining == Joining::Prefix)
        .collect();
    let mut prefix_words = BTreeSet::new();
    let mut prefixed = Vec::new();
    for prefix in prefixes {
        let begin = draft.state();
        draft.empty[start].push(begin);
        let marked = draft.mark(begin, format!("prefix {}", prefix.intent));
        let after = draft.add(book, &prefix.node, marked);
        let first = draft.closure([begin], None);
        let words = first.iter().flat_map(|state| &draft.arcs[*state]);
        prefix_words.extend(words.map(|(word, _)| word.clone()));
        prefixed.push((prefix, Beginning::bare(after)));
    }
    // One place after the sentences of each frame, for those that others may follow and those that none may.
    let mut ends: BTreeMap<(Option<String>, usize), usize> = BTreeMap::new();
    for template in book.active(situation) {
        let is_tooth = template.intent == CHOOSE_TOOTH;
        let mut from = Vec::new();
        let to = match template.joining {
            Joining::Prefix => continue,
            Joining::Solo => {
                from.push(&at_start);
                last
            }
            Joining::Last => {
                from.extend([&at_start, &at_opened, &at_further]);
                last
            }
            Joining::Lead => {
                from.push(&at_start);
                if !is_tooth {
                    from.push(&at_opened);
                }
                chain
            }
            Joining::Link if is_tooth => {
                from.extend([&at_start, &tooth_at_opened, &tooth_at_further]);
                chain
            }
            Joining::Link => {
                from.extend([&at_start, &at_opened, &at_further]);
                chain
            }
        };
        let follow = prefixed
            .iter()
            .filter(|(prefix, _)| may_follow(book, prefix, template))
            .map(|(_, beginning)| beginning);
        from.extend(follow);
        let begin = draft.state();
        // A tooth that begins the utterance goes to another place, so it is added for itself.
        let (begins, others): (Vec<&Beginning>, Vec<&Beginning>) = from
            .into_iter()
            .partition(|beginning| is_tooth && beginning.state == start);
        for beginning in others {
            draft.empty[beginning.of(template)].push(begin);
        }
        draft.sentence(book, template, begin, to, &mut ends, last);
        for beginning in begins {
            let begin = draft.state();
            draft.empty[beginning.of(template)].push(begin);
            draft.sentence(book, template, begin, opened, &mut ends, last);
        }
    }
    if situation == Situation::Speaking {
        for word in own_words() {
            draft.arcs[start].push((word.to_owned(), end));
        }
    }
    let beginnings = prefixed.iter().map(|(_, beginning)| beginning);
    let hubs = [&at_start, &at_further, &at_opened]
        .into_iter()
        .chain(beginnings)
        .flat_map(|beginning| beginning.framed.values().copied().chain([beginning.state]))
        .collect();
    let ways = Ways {
        start: root,
        further,
        hubs,
        end,
        prefixes: prefix_words,
    };
    (draft, ways)
}

/// The template's parts, and apart from them those at its end that may be left out and hold no value ("millimetres").
fn without_trailing<'a>(book: &Book, node: &'a Node) -> (&'a [Node], &'a [Node]) {
    let nodes = match node {
        Node::Row(nodes) => nodes.as_slice(),
        single => std::slice::from_ref(single),
    };
    let is_trailing = |node: &Node| matches!(node, Node::Optional(of) if is_valueless(book, of));
    let trailing = nodes.iter().rev().take_while(|node| is_trailing(node));
    nodes.split_at(nodes.len() - trailing.count())
}

/// Whether no way of saying the node gives a value.
fn is_valueless(book: &Book, node: &Node) -> bool {
    let all = |nodes: &[Node]| nodes.iter().all(|node| is_valueless(book, node));
    match node {
        Node::Word(_) => true,
        Node::Row(nodes) | Node::Choice(nodes) => all(nodes),
        Node::Optional(node) | Node::Repeat { node, .. } => is_valueless(book, node),
        Node::List { .. } => false,
        Node::Rule { rule } => book.rules.get(rule).is_some_and(|nodes| all(nodes)),
    }
}

impl Draft {
    /// Marks the states made since `first` as words that change no value.
    fn trail(&mut self, first: usize) {
        for state in first..self.trailing.len() {
            self.trailing[state] = true;
        }
    }

    /// Adds a sentence from `begin` to `to`, with what its frame puts after it.
    fn sentence(
        &mut self,
        book: &Book,
        template: &Template,
        begin: usize,
        to: usize,
        ends: &mut BTreeMap<(Option<String>, usize), usize>,
        last: usize,
    ) {
        let said = self.mark(begin, format!("intent {}", template.intent));
        let said = match &template.stands_for {
            // What a clinic's own sentence stands for has no words of its own to tell values by.
            Some(clause) => self.mark(said, format!("{clause:?}")),
            None => said,
        };
        let (kept, trailing) = without_trailing(book, &template.node);
        let finish = kept.iter().fold(said, |at, node| self.add(book, node, at));
        let finish = trailing.iter().fold(finish, |at, node| {
            let end = self.state();
            let first = self.empty.len();
            self.maybe(book, Some(node), at, end);
            self.trail(first);
            end
        });
        let key = (template.frame.clone(), to);
        let after = match ends.get(&key) {
            Some(after) => *after,
            None => {
                let after = self.state();
                ends.insert(key, after);
                let whole = self.state();
                let frame = book.frame(template);
                let first = self.empty.len();
                let node = frame.and_then(|frame| frame.after.as_ref());
                self.maybe(book, node, after, whole);
                self.empty[whole].push(to);
                if let Some(teeth) = frame.and_then(|frame| frame.teeth.as_ref()) {
                    let begin = self.mark(whole, "teeth".to_owned());
                    let finish = self.add(book, teeth, begin);
                    self.empty[finish].push(last);
                }
                self.trail(first);
                if let Some(teeth) = frame.and_then(|frame| frame.bare_teeth.as_ref()) {
                    let begin = self.state();
                    self.after_words[whole].push(begin);
                    let marked = self.mark(begin, "teeth".to_owned());
                    let finish = self.add(book, teeth, marked);
                    self.empty[finish].push(last);
                }
                after
            }
        };
        self.empty[finish].push(after);
    }
}

/// States of the draft that mean something.
pub(super) struct Ways {
    pub(super) start: usize,
    /// A further sentence begins.
    further: usize,
    /// Places from which many sentences begin.
    #[cfg_attr(
        not(test),
        expect(dead_code, reason = "for the proof that a sentence has one meaning")
    )]
    pub(super) hubs: Vec<usize>,
    pub(super) end: usize,
    /// "correction": what it begins may follow as an utterance of its own as well.
    prefixes: BTreeSet<String>,
}

/// What the draft's states that end a word have in common: where they lead, and what they are.
/// Many are alike; sets of these are the states of the graph.
#[derive(Default)]
struct Kinds {
    /// For each kind: its words, and the kinds to which each leads.
    arcs: Vec<BTreeMap<u32, BTreeSet<u32>>>,
    is_final: Vec<bool>,
    inside: Vec<bool>,
    may_lengthen: Vec<bool>,
    /// Further sentences may begin: the arcs of that place are kept once, as the last kind.
    goes_on: Vec<bool>,
}

impl Kinds {
    /// The same with one kind for all that accept the same and bear the same marks: most of what ends a sentence is
    /// alike, and sets of few kinds are fewer. The start stays first; gives where the place of further sentences is.
    fn merged(self) -> (Self, usize) {
        let rows: Vec<Vec<(u32, u32)>> = self
            .arcs
            .iter()
            .map(|row| {
                row.iter()
                    .flat_map(|(word, targets)| targets.iter().map(|to| (*word, *to)))
                    .collect()
            })
            .collect();
        let marks: Vec<Marks> = (0..rows.len())
            .map(|kind| {
                [
                    self.is_final[kind],
                    self.inside[kind],
                    self.may_lengthen[kind],
                    self.goes_on[kind],
                ]
            })
            .collect();
        let class = merge(&rows, &marks);
        let mut few = Self::default();
        for (kind, of) in class.iter().enumerate() {
            // Classes are numbered as they are met.
            if (*of as usize) < few.arcs.len() {
                continue;
            }
            let mut row: BTreeMap<u32, BTreeSet<u32>> = BTreeMap::new();
            for (word, to) in &rows[kind] {
                row.entry(*word).or_default().insert(class[*to as usize]);
            }
            few.arcs.push(row);
            few.is_final.push(self.is_final[kind]);
            few.inside.push(self.inside[kind]);
            few.may_lengthen.push(self.may_lengthen[kind]);
            few.goes_on.push(self.goes_on[kind]);
        }
        let further = class.last().map_or(0, |of| *of as usize);
        (few, further)
    }

    fn new(draft: &Draft, ways: &Ways, words: &HashMap<&str, u32>) -> Self {
        // Each state that ends a word, with the word; the start first and the place of further sentences last.
        let mut ends: Vec<(usize, Option<&str>)> = vec![(ways.start, None)];
        let arcs = draft.arcs.iter().flatten();
        ends.extend(arcs.map(|(word, to)| (*to, Some(word.as_str()))));
        ends.push((ways.further, None));
        let mut kind_of_set: HashMap<(Vec<usize>, bool), u32> = HashMap::new();
        let mut kind_of_end: HashMap<usize, u32> = HashMap::new();
        let mut sets: Vec<(Vec<usize>, bool)> = Vec::new();
        // Many words end where nothing but one empty step follows: what is reached from there is worked out once.
        let mut closures: HashMap<(usize, bool), (Vec<usize>, bool)> = HashMap::new();
        for (end, word) in &ends {
            let is_number = word.is_some_and(|word| value::number(word).is_some());
            let (set, goes_on) = closures
                .entry((draft.where_words_follow(*end, ways), is_number))
                .or_insert_with_key(|(from, is_number)| {
                    draft.closure_until(*from, *is_number, ways.further)
                })
                .clone();
            let fresh = sets.len() as u32;
            let kind = *kind_of_set
                .entry((set.clone(), goes_on))
                .or_insert_with(|| {
                    sets.push((set, goes_on));
                    fresh
                });
            kind_of_end.insert(*end, kind);
        }
        let mut kinds = Self::default();
        for (set, goes_on) in &sets {
            let mut row: BTreeMap<u32, BTreeSet<u32>> = BTreeMap::new();
            for (word, to) in set.iter().flat_map(|state| &draft.arcs[*state]) {
                row.entry(words[word.as_str()])
                    .or_default()
                    .insert(kind_of_end[to]);
            }
            let is_final = set.contains(&ways.end);
            let mut lengthening = set
                .iter()
                .filter(|state| !draft.trailing[**state])
                .flat_map(|state| &draft.arcs[*state]);
            kinds
                .may_lengthen
                .push(lengthening.any(|(word, _)| !ways.prefixes.contains(word)));
            kinds.arcs.push(row);
            kinds.is_final.push(is_final);
            kinds
                .inside
                .push(set.iter().all(|state| draft.inside[*state]) && !goes_on);
            kinds.goes_on.push(*goes_on);
        }
        kinds
    }
}

impl Draft {
    /// The next state that has words, or from which more than one way leads.
    fn where_words_follow(&self, mut state: usize, ways: &Ways) -> usize {
        while state != ways.further
            && self.arcs[state].is_empty()
            && self.after_words[state].is_empty()
            && let [only] = self.empty[state][..]
            && only != ways.further
        {
            state = only;
        }
        state
    }

    /// The states with words, and the end, that are reached from a state without a word; not those beyond `stop`, but
    /// whether that is reached.
    fn closure_until(&self, from: usize, is_number: bool, stop: usize) -> (Vec<usize>, bool) {
        let mut open = vec![from];
        let mut seen = HashSet::from([from]);
        let (mut closed, mut reaches) = (Vec::new(), false);
        while let Some(state) = open.pop() {
            if state == stop && from != stop {
                reaches = true;
                continue;
            }
            if !self.arcs[state].is_empty() || self.empty[state].is_empty() {
                closed.push(state);
            }
            let guarded = self.after_words[state].iter().filter(|_| !is_number);
            for next in self.empty[state].iter().chain(guarded) {
                if seen.insert(*next) {
                    open.push(*next);
                }
            }
        }
        closed.sort_unstable();
        (closed, reaches)
    }
}

/// Sets of kinds, each with its number.
#[derive(Default)]
struct Numbered {
    sets: Vec<Vec<u32>>,
    numbers: HashMap<Vec<u32>, u32>,
}

impl Numbered {
    fn number(&mut self, set: Vec<u32>) -> u32 {
        let fresh = self.sets.len() as u32;
        *self.numbers.entry(set).or_insert_with_key(|set| {
            self.sets.push(set.clone());
            fresh
        })
    }
}

fn determine(draft: &Draft, ways: &Ways, spellings: &Spellings) -> WordGraph {
    let words: BTreeSet<&str> = draft
        .arcs
        .iter()
        .flatten()
        .map(|(w, _)| w.as_str())
        .collect();
    let index: HashMap<&str, u32> = words
        .iter()
        .enumerate()
        .map(|(at, word)| (*word, at as u32))
        .collect();
    let (kinds, further) = Kinds::new(draft, ways, &index).merged();
    let mut numbered = Numbered::default();
    numbered.number(vec![0]);
    // Where further sentences lead, worked out once: most states that they may follow add nothing to a word of theirs.
    let begins: Vec<(u32, u32)> = kinds.arcs[further]
        .iter()
        .map(|(word, targets)| (*word, numbered.number(targets.iter().copied().collect())))
        .collect();
    let mut target_of_begin: Vec<Option<u32>> = vec![None; words.len()];
    for (word, target) in &begins {
        target_of_begin[*word as usize] = Some(*target);
    }
    // Of each state what it does not share with where further sentences begin: whole rows of many thousand states, most
    // of which are merged, would be a hundred times as much.
    let mut own: Vec<Vec<(u32, u32)>> = Vec::new();
    let mut may_go_on: Vec<bool> = Vec::new();
    while own.len() < numbered.sets.len() {
        let set = numbered.sets[own.len()].clone();
        let mut row: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for (word, targets) in set.iter().flat_map(|kind| &kinds.arcs[*kind as usize]) {
            row.entry(*word).or_default().extend(targets);
        }
        let goes_on = set.iter().any(|kind| kinds.goes_on[*kind as usize]);
        let mut own_row = Vec::new();
        for (word, mut targets) in row {
            if let Some(targets_of_begin) = kinds.arcs[further].get(&word).filter(|_| goes_on) {
                targets.extend(targets_of_begin);
            }
            targets.sort_unstable();
            targets.dedup();
            let target = numbered.number(targets);
            if !goes_on || target_of_begin[word as usize] != Some(target) {
                own_row.push((word, target));
            }
        }
        own.push(own_row);
        may_go_on.push(goes_on);
    }
    let sets = numbered.sets;
    let any = |set: &Vec<u32>, of: &Vec<bool>| set.iter().any(|kind| of[*kind as usize]);
    let marks: Vec<Marks> = sets
        .iter()
        .zip(&may_go_on)
        .map(|(set, goes_on)| {
            let is_final = any(set, &kinds.is_final);
            [
                is_final,
                set.iter().all(|kind| kinds.inside[*kind as usize]),
                is_final && any(set, &kinds.may_lengthen),
                *goes_on,
            ]
        })
        .collect();
    let class = merge(&own, &marks);
    let count = class.iter().max().map_or(0, |max| max + 1);
    let mut states = vec![State::default(); count as usize];
    let mut is_done = vec![false; count as usize];
    for (state, row) in own.iter().enumerate() {
        let of = class[state] as usize;
        if std::mem::replace(&mut is_done[of], true) {
            continue;
        }
        let mut whole: BTreeMap<u32, u32> = if may_go_on[state] {
            begins.iter().copied().collect()
        } else {
            BTreeMap::new()
        };
        whole.extend(row.iter().copied());
        let [is_final, inside_number, may_lengthen, _] = marks[state];
        states[of] = State {
            arcs: whole
                .into_iter()
                .map(|(word, to)| (word, class[to as usize]))
                .collect(),
            is_final,
            inside_number,
            may_lengthen,
        };
    }
    WordGraph {
        words: words
            .into_iter()
            .map(|word| spelled(word, spellings))
            .collect(),
        states,
        senses: Senses::default(),
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

/// Of a state: final, within a number, may be lengthened, further sentences begin.
type Marks = [bool; 4];

/// Class of each state, the start state's class being 0: states of one class accept the same sentences and bear the
/// same marks. Only states that lead to one whose class changed are looked at again. What further sentences begin with
/// is the same for all of whom the marks say so, and left out of the arcs: most states have little else.
fn merge(arcs: &[Vec<(u32, u32)>], marks: &[Marks]) -> Vec<u32> {
    let mut before: Vec<Vec<u32>> = vec![Vec::new(); arcs.len()];
    for (state, row) in arcs.iter().enumerate() {
        for (_, to) in row {
            before[*to as usize].push(state as u32);
        }
    }
    let mut class = vec![0_u32; arcs.len()];
    let mut members: Vec<Vec<u32>> = Vec::new();
    let mut of_marks: HashMap<Marks, u32> = HashMap::new();
    for (state, marks) in marks.iter().enumerate() {
        let of = *of_marks.entry(*marks).or_insert_with(|| {
            members.push(Vec::new());
            members.len() as u32 - 1
        });
        class[state] = of;
        members[of as usize].push(state as u32);
    }
    // Classes with states that are to be looked at again, in order, so that the result is the same each time.
    let mut dirty: BTreeMap<u32, BTreeSet<u32>> = members
        .iter()
        .enumerate()
        .map(|(of, states)| (of as u32, states.iter().copied().collect()))
        .collect();
    while let Some((of, changed)) = dirty.pop_first() {
        if members[of as usize].len() < 2 {
            continue;
        }
        let row_of = |state: u32| -> Vec<(u32, u32)> {
            let row = arcs[state as usize].iter();
            let mut row: Vec<_> = row.map(|(word, to)| (*word, class[*to as usize])).collect();
            // Of kinds a word may lead to several that are of one class.
            row.sort_unstable();
            row.dedup();
            row
        };
        // Those that nothing changed for are alike: one of them stands for all.
        let kept = members[of as usize]
            .iter()
            .copied()
            .find(|state| !changed.contains(state));
        let mut groups: HashMap<Vec<(u32, u32)>, Vec<u32>> = HashMap::new();
        let mut order: Vec<Vec<(u32, u32)>> = Vec::new();
        for state in changed.iter().copied() {
            let row = row_of(state);
            let group = groups.entry(row.clone()).or_default();
            if group.is_empty() {
                order.push(row);
            }
            group.push(state);
        }
        // The largest keeps the class, unless there are others that keep it.
        let stays = match kept {
            Some(kept) => Some(row_of(kept)),
            None => order.iter().max_by_key(|row| groups[*row].len()).cloned(),
        };
        let mut moved: Vec<u32> = Vec::new();
        for row in order.iter().filter(|row| Some(*row) != stays.as_ref()) {
            let fresh = members.len() as u32;
            let group = groups.remove(row).unwrap_or_default();
            for state in &group {
                class[*state as usize] = fresh;
            }
            moved.extend(&group);
            members.push(group);
        }
        members[of as usize].retain(|state| class[*state as usize] == of);
        for from in moved.iter().flat_map(|state| &before[*state as usize]) {
            dirty
                .entry(class[*from as usize])
                .or_default()
                .insert(*from);
        }
    }
    number_from_start(&class)
}

/// The same classes numbered in the order in which they are met, the start's first.
fn number_from_start(class: &[u32]) -> Vec<u32> {
    let mut numbers: HashMap<u32, u32> = HashMap::new();
    class
        .iter()
        .map(|of| {
            let fresh = numbers.len() as u32;
            *numbers.entry(*of).or_insert(fresh)
        })
        .collect()
}
