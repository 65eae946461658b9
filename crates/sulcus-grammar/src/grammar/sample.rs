//! Makes sentences that the grammar allows: for tests, for synthesised sound and for the help sheet.
//! Deterministic for one seed.

use std::collections::BTreeSet;

use rand::RngExt;
use rand::seq::IndexedRandom;
use rand_chacha::ChaCha8Rng;

use super::matcher::{CHOOSE_TOOTH, may_follow};
use super::template::{Book, Joining, MANY, Node, Situation, Template};
use crate::speech::value;

/// So many more than the least of what may be said as often as anybody likes.
const OFTEN: usize = 2;

/// One random sentence of the template.
pub fn sentence(book: &Book, node: &Node, random: &mut ChaCha8Rng) -> Vec<String> {
    let mut words = Vec::new();
    walk(book, node, random, &mut words);
    words
}

fn walk(book: &Book, node: &Node, random: &mut ChaCha8Rng, words: &mut Vec<String>) {
    match node {
        Node::Word(word) => words.push(word.clone()),
        Node::Row(nodes) => nodes
            .iter()
            .for_each(|node| walk(book, node, random, words)),
        Node::Choice(nodes) => {
            if let Some(node) = nodes.choose(random) {
                walk(book, node, random, words);
            }
        }
        Node::Optional(node) => {
            if random.random_bool(0.5) {
                walk(book, node, random, words);
            }
        }
        Node::List { list, .. } => {
            if let Some((said, _)) = book
                .lists
                .get(list)
                .and_then(|entries| entries.choose(random))
            {
                walk(book, said, random, words);
            }
        }
        Node::Rule { rule } => {
            if let Some(node) = book.rules.get(rule).and_then(|nodes| nodes.choose(random)) {
                walk(book, node, random, words);
            }
        }
        Node::Repeat { node, min, max } => {
            let often = if *max == MANY { min + OFTEN } else { *max };
            for _ in 0..random.random_range(*min..=often) {
                walk(book, node, random, words);
            }
        }
    }
}

/// One random utterance of the situation: a solo sentence, or one to `clauses_max` sentences joined, with the words of
/// courtesy and of frames that people put around them.
pub fn utterance(
    book: &Book,
    situation: Situation,
    clauses_max: usize,
    random: &mut ChaCha8Rng,
) -> Vec<String> {
    let active: Vec<&Template> = book
        .active(situation)
        .filter(|t| t.joining != Joining::Prefix)
        .collect();
    let Some(first) = active.choose(random) else {
        return Vec::new();
    };
    let mut words = Vec::new();
    maybe(
        book,
        book.courtesy(situation).before.as_ref(),
        0.1,
        random,
        &mut words,
    );
    let mut last = *first;
    framed(book, last, random, &mut words);
    for _ in 1..random.random_range(1..=clauses_max.max(1)) {
        if matches!(last.joining, Joining::Solo | Joining::Last) {
            break;
        }
        let following: Vec<&&Template> = active
            .iter()
            .filter(|t| matches!(t.joining, Joining::Link | Joining::Last))
            .collect();
        let Some(next) = following.choose(random) else {
            break;
        };
        if next.intent != CHOOSE_TOOTH {
            maybe(
                book,
                book.courtesy(situation).between.as_ref(),
                0.2,
                random,
                &mut words,
            );
        }
        last = next;
        framed(book, last, random, &mut words);
    }
    if random.random_bool(0.1) {
        teeth(book, last, random, &mut words);
    }
    maybe(
        book,
        book.courtesy(situation).after.as_ref(),
        0.1,
        random,
        &mut words,
    );
    words
}

/// How often words of a frame are put around a sentence.
const FRAMED: f64 = 0.2;

fn maybe(
    book: &Book,
    node: Option<&Node>,
    often: f64,
    random: &mut ChaCha8Rng,
    words: &mut Vec<String>,
) {
    if let Some(node) = node
        && random.random_bool(often)
    {
        walk(book, node, random, words);
    }
}

/// A sentence of the template with words of its frame.
fn framed(book: &Book, template: &Template, random: &mut ChaCha8Rng, words: &mut Vec<String>) {
    let frame = book.frame(template);
    maybe(
        book,
        frame.and_then(|frame| frame.before.as_ref()),
        FRAMED,
        random,
        words,
    );
    walk(book, &template.node, random, words);
    maybe(
        book,
        frame.and_then(|frame| frame.after.as_ref()),
        FRAMED / 2.0,
        random,
        words,
    );
}

/// The teeth that the last sentence is said of.
fn teeth(book: &Book, template: &Template, random: &mut ChaCha8Rng, words: &mut Vec<String>) {
    let Some(frame) = book.frame(template) else {
        return;
    };
    let ends_in_number = words
        .last()
        .is_some_and(|word| value::number(word).is_some());
    let bare = frame.bare_teeth.as_ref().filter(|_| !ends_in_number);
    let ways: Vec<&Node> = frame.teeth.iter().chain(bare).collect();
    if let Some(way) = ways.choose(random) {
        walk(book, way, random, words);
    }
}

/// Utterances in which every template of the situation and every word of its lists occurs at least once.
pub fn covering(book: &Book, situation: Situation, random: &mut ChaCha8Rng) -> Vec<Vec<String>> {
    let active: Vec<&Template> = book.active(situation).collect();
    let mut all: Vec<Vec<String>> = active
        .iter()
        .map(|template| of_template(book, template, &active, random))
        .collect();
    let mut missing = BTreeSet::new();
    for template in &active {
        collect_words(book, &template.node, &mut missing);
        let frame = book.frame(template);
        for part in frame
            .into_iter()
            .flat_map(|frame| [&frame.before, &frame.after, &frame.teeth, &frame.bare_teeth])
        {
            part.iter()
                .for_each(|node| collect_words(book, node, &mut missing));
        }
    }
    // Those of courtesy stand around whatever is said.
    let around = |part: &Option<Node>, random: &mut ChaCha8Rng| {
        let ways = part
            .iter()
            .flat_map(|node| ways_of_words(book, node, random));
        ways.collect::<Vec<_>>()
    };
    if let Some(plain) = active
        .iter()
        .find(|template| template.joining == Joining::Link || template.joining == Joining::Solo)
    {
        let plain = sentence(book, &plain.node, random);
        for before in around(&book.courtesy(situation).before, random) {
            all.push([before, plain.clone()].concat());
        }
        for after in around(&book.courtesy(situation).after, random) {
            all.push([plain.clone(), after].concat());
        }
        if active
            .iter()
            .any(|t| t.joining == Joining::Link && t.intent == "next")
        {
            let next = vec!["next".to_owned()];
            for between in around(&book.courtesy(situation).between, random) {
                all.push([next.clone(), between, next.clone()].concat());
            }
        }
    }
    for word in all.iter().flatten() {
        missing.remove(word);
    }
    // A word that one template alone can say, in one of many entries of a list, comes once in some thousands: only
    // those are asked that can say one.
    let mut can_say: Vec<(&Template, BTreeSet<String>)> = active
        .iter()
        .map(|template| {
            let mut words = BTreeSet::new();
            collect_words(book, &template.node, &mut words);
            let frame = book.frame(template);
            for part in frame
                .into_iter()
                .flat_map(|frame| [&frame.before, &frame.after, &frame.teeth, &frame.bare_teeth])
            {
                part.iter()
                    .for_each(|node| collect_words(book, node, &mut words));
            }
            (*template, words)
        })
        .collect();
    for round in 0..COVERING_ROUNDS_MAX {
        can_say.retain(|(_, words)| !words.is_disjoint(&missing));
        if missing.is_empty() || can_say.is_empty() {
            break;
        }
        let words = of_template(book, can_say[round % can_say.len()].0, &active, random);
        if words.iter().any(|word| missing.contains(word)) {
            words.iter().for_each(|word| {
                missing.remove(word);
            });
            all.push(words);
        }
    }
    all
}

const COVERING_ROUNDS_MAX: usize = 200_000;

/// Sentences of the node in which each of its words occurs.
fn ways_of_words(book: &Book, node: &Node, random: &mut ChaCha8Rng) -> Vec<Vec<String>> {
    let mut missing = BTreeSet::new();
    collect_words(book, node, &mut missing);
    let mut all = Vec::new();
    for _ in 0..COVERING_ROUNDS_MAX {
        if missing.is_empty() {
            break;
        }
        let words = sentence(book, node, random);
        if words.iter().any(|word| missing.remove(word)) {
            words.iter().for_each(|word| {
                missing.remove(word);
            });
            all.push(words);
        }
    }
    all
}

/// A sentence of the template; after a prefix, one that it can stand before.
fn of_template(
    book: &Book,
    template: &Template,
    active: &[&Template],
    random: &mut ChaCha8Rng,
) -> Vec<String> {
    let mut words = Vec::new();
    framed(book, template, random, &mut words);
    if template.joining != Joining::Prefix && random.random_bool(0.1) {
        teeth(book, template, random, &mut words);
    }
    if template.joining == Joining::Prefix {
        let values: Vec<&&Template> = active
            .iter()
            .filter(|t| may_follow(book, template, t))
            .collect();
        if let Some(value) = values.choose(random) {
            words.extend(sentence(book, &value.node, random));
        }
    }
    words
}

fn collect_words(book: &Book, node: &Node, words: &mut BTreeSet<String>) {
    match node {
        Node::Word(word) => {
            words.insert(word.clone());
        }
        Node::Row(nodes) | Node::Choice(nodes) => nodes
            .iter()
            .for_each(|node| collect_words(book, node, words)),
        Node::Optional(node) | Node::Repeat { node, .. } => collect_words(book, node, words),
        Node::List { list, .. } => book
            .lists
            .get(list)
            .into_iter()
            .flatten()
            .for_each(|(said, _)| collect_words(book, said, words)),
        Node::Rule { rule } => book
            .rules
            .get(rule)
            .into_iter()
            .flatten()
            .for_each(|node| collect_words(book, node, words)),
    }
}
