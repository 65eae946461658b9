//! Makes sentences that the grammar allows: for tests, for synthesised sound and for the help sheet.
//! Deterministic for one seed.

use rand::RngExt;
use rand::seq::IndexedRandom;
use rand_chacha::ChaCha8Rng;

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
