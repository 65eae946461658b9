//! What to say instead, where an engine's model lacks words of the grammar. Looks at the templates only.

use std::collections::BTreeSet;

use super::sayings::ways;
use super::template::{Book, Node};

/// A sentence, or the word of a list, that can never be heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// As it would be said; lists in `< >`.
    pub say: String,
    /// Another way of saying the same; nothing: it has to be entered by hand.
    pub instead: Option<String>,
}

/// What is lost by the unknown words, each once.
pub(super) fn lost(book: &Book, unknown: &[String]) -> Vec<Lost> {
    let unknown: BTreeSet<&str> = unknown.iter().map(String::as_str).collect();
    let is_known = |way: &Vec<String>| !way.iter().any(|word| unknown.contains(word.as_str()));
    // What means the same stands together: the forms of an intent, the entries of a list with one value.
    let mut together: Vec<Vec<Vec<String>>> = Vec::new();
    let mut intents: Vec<&str> = Vec::new();
    for template in &book.templates {
        if !intents.contains(&template.intent.as_str()) {
            intents.push(&template.intent);
        }
    }
    for intent in intents {
        let forms = book
            .templates
            .iter()
            .filter(|template| template.intent == intent);
        // Forms with other lists say other things, though the intent is one.
        let mut by_lists: Vec<(BTreeSet<String>, Vec<Vec<String>>)> = Vec::new();
        for way in forms.flat_map(|template| ways(&Book::default(), &opaque(&template.node))) {
            let lists = way.iter().filter(|word| word.starts_with('<')).cloned();
            let lists: BTreeSet<String> = lists.collect();
            match by_lists.iter_mut().find(|(others, _)| *others == lists) {
                Some((_, ways)) => ways.push(way),
                None => by_lists.push((lists, vec![way])),
            }
        }
        together.extend(by_lists.into_iter().map(|(_, ways)| ways));
    }
    for entries in book.lists.values() {
        let values: BTreeSet<&String> = entries.iter().map(|(_, value)| value).collect();
        for value in values {
            let same = entries.iter().filter(|(_, other)| other == value);
            together.push(same.flat_map(|(said, _)| ways(book, said)).collect());
        }
    }
    let mut lost = Vec::new();
    for ways in together {
        let instead = ways
            .iter()
            .find(|way| is_known(way))
            .map(|way| way.join(" "));
        // The shortest stands for all that are lost: the others only add what may be left out.
        if let Some(way) = ways
            .iter()
            .filter(|way| !is_known(way))
            .min_by_key(|way| way.len())
        {
            let one = Lost {
                say: way.join(" "),
                instead,
            };
            if !lost.contains(&one) {
                lost.push(one);
            }
        }
    }
    lost
}

/// The template with its lists and rules as words of their own, so that its forms are few.
fn opaque(node: &Node) -> Node {
    let all = |nodes: &[Node]| nodes.iter().map(opaque).collect();
    match node {
        Node::List { list: name, .. } | Node::Rule { rule: name } => {
            Node::Word(format!("<{name}>"))
        }
        Node::Row(nodes) => Node::Row(all(nodes)),
        Node::Choice(nodes) => Node::Choice(all(nodes)),
        Node::Optional(node) => Node::Optional(Box::new(opaque(node))),
        Node::Repeat { node, .. } => opaque(node),
        Node::Word(word) => Node::Word(word.clone()),
    }
}
