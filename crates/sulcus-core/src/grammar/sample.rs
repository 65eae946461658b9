//! Makes sentences that the grammar allows: for tests, for synthesised sound and for the help sheet.
//! Deterministic for one seed.

use std::collections::BTreeSet;

use rand::RngExt;
use rand::seq::IndexedRandom;
use rand_chacha::ChaCha8Rng;

use super::matcher::is_control;
use super::template::{Book, Joining, Node, Situation, Template};

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
            for _ in 0..random.random_range(*min..=*max) {
                walk(book, node, random, words);
            }
        }
    }
}

/// One random utterance of the situation: a solo sentence, or one to `clauses_max` sentences joined.
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
    let mut words = sentence(book, &first.node, random);
    if first.joining != Joining::Solo {
        let links: Vec<&&Template> = active
            .iter()
            .filter(|t| t.joining == Joining::Link)
            .collect();
        for _ in 1..random.random_range(1..=clauses_max.max(1)) {
            if let Some(link) = links.choose(random) {
                words.extend(sentence(book, &link.node, random));
            }
        }
    }
    words
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
    }
    for word in all.iter().flatten() {
        missing.remove(word);
    }
    // A word that one template alone can say, in one of many entries of a list, comes once in some thousands.
    for round in 0..COVERING_ROUNDS_MAX {
        if missing.is_empty() {
            break;
        }
        let words = of_template(book, active[round % active.len()], &active, random);
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

/// A sentence of the template; after a prefix, one that it can stand before.
fn of_template(
    book: &Book,
    template: &Template,
    active: &[&Template],
    random: &mut ChaCha8Rng,
) -> Vec<String> {
    let mut words = sentence(book, &template.node, random);
    if template.joining == Joining::Prefix {
        let values: Vec<&&Template> = active
            .iter()
            .filter(|t| t.joining != Joining::Prefix && !is_control(t))
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
