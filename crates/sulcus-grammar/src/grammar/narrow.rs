//! Other word graphs of the same grammar, for measuring: narrowed to the teeth of one species, or widened to all
//! situations. The session hears under [`Grammar::graph`]: a tooth that the species lacks is heard and refused with
//! its reason, which a narrowed graph could not do.

use std::sync::Arc;

use super::template::{Book, Node, Situation};
use super::{Grammar, Intent, Meaning, graph};
use crate::speech::WordGraph;
use crate::terms::{Species, dentition};

/// The rules whose every sentence is one tooth, and what must stand before it to be read as one.
const TOOTH_RULES: [(&str, &[&str]); 3] = [
    ("tooth", &["tooth"]),
    ("tooth_alone", &[]),
    ("tooth_name", &[]),
];

impl Grammar {
    /// What may be heard in the situation if only teeth are named that the species has.
    pub fn graph_for_species(&self, situation: Situation, species: Species) -> Arc<WordGraph> {
        let mut book = self.book.clone();
        for (rule, before) in TOOTH_RULES {
            let kept: Vec<Node> = sentences_of_rule(&self.book, rule)
                .into_iter()
                .filter(|words| self.is_tooth_of(species, before, words))
                .map(|words| Node::Row(words.into_iter().map(Node::Word).collect()))
                .collect();
            book.rules.insert(rule.to_owned(), kept);
        }
        Arc::new(graph::build(&book, &self.spellings, situation))
    }

    /// What may be heard at any time, all situations together.
    pub fn graph_of_all_situations(&self) -> Arc<WordGraph> {
        let mut book = self.book.clone();
        for template in &mut book.templates {
            template.situations = Situation::ALL.to_vec();
        }
        Arc::new(graph::build(&book, &self.spellings, Situation::Table))
    }

    fn is_tooth_of(&self, species: Species, before: &[&str], words: &[String]) -> bool {
        let sentence: Vec<&str> = before
            .iter()
            .copied()
            .chain(words.iter().map(String::as_str))
            .collect();
        match self.interpret(&sentence, Situation::Table, species) {
            Meaning::Said(intents) => intents.iter().any(
                |intent| matches!(intent, Intent::ChooseTooth(tooth) if dentition::has(species, *tooth)),
            ),
            _ => false,
        }
    }
}

fn sentences_of_rule(book: &Book, rule: &str) -> Vec<Vec<String>> {
    let nodes = book.rules.get(rule).map_or(&[][..], Vec::as_slice);
    nodes
        .iter()
        .flat_map(|node| sentences(book, node))
        .collect()
}

/// All sentences of a node; only for the small nodes that name a tooth.
fn sentences(book: &Book, node: &Node) -> Vec<Vec<String>> {
    match node {
        Node::Word(word) => vec![vec![word.clone()]],
        Node::Row(nodes) => nodes.iter().fold(vec![Vec::new()], |begun, node| {
            let ends = sentences(book, node);
            begun
                .iter()
                .flat_map(|begin| ends.iter().map(|end| [begin.as_slice(), end].concat()))
                .collect()
        }),
        Node::Choice(nodes) => nodes
            .iter()
            .flat_map(|node| sentences(book, node))
            .collect(),
        Node::Optional(node) => {
            let mut all = sentences(book, node);
            all.push(Vec::new());
            all
        }
        Node::List { list, .. } => book.lists.get(list).map_or_else(Vec::new, |entries| {
            entries
                .iter()
                .flat_map(|(said, _)| sentences(book, said))
                .collect()
        }),
        Node::Rule { rule } => sentences_of_rule(book, rule),
        Node::Repeat { node, min, max } => {
            let once = sentences(book, node);
            let mut begun = vec![Vec::new()];
            let mut all = Vec::new();
            for count in 0..=*max {
                if count >= *min {
                    all.extend(begun.iter().cloned());
                }
                begun = begun
                    .iter()
                    .flat_map(|begin: &Vec<String>| {
                        once.iter().map(|end| [begin.as_slice(), end].concat())
                    })
                    .collect();
            }
            all
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn accepts(graph: &WordGraph, sentence: &str) -> bool {
        graph.accepts(&sentence.split(' ').collect::<Vec<_>>())
    }

    #[test]
    fn a_species_has_its_own_teeth_and_everything_else() {
        let grammar = Grammar::built_in().expect("the built-in grammar is sound");
        let cat = grammar.graph_for_species(Situation::Table, Species::Cat);
        let dog = grammar.graph_for_species(Situation::Table, Species::Dog);
        // Tooth, dog, cat.
        for (sentence, in_dog, in_cat) in [
            ("tooth one oh four", true, true),
            ("one oh five", true, false),
            ("tooth three one one", true, false),
            ("three eleven", true, false),
            ("one eleven", false, false),
            ("right upper first premolar", true, false),
            ("upper right canine", true, true),
            ("mobility two", true, true),
            ("three two three", true, true),
            ("next bleeding buccal", true, true),
        ] {
            assert_eq!(accepts(&dog, sentence), in_dog, "dog: {sentence}");
            assert_eq!(accepts(&cat, sentence), in_cat, "cat: {sentence}");
        }
    }

    #[test]
    fn all_situations_together_hold_each() {
        let grammar = Grammar::built_in().expect("the built-in grammar is sound");
        let all = grammar.graph_of_all_situations();
        assert!(accepts(&all, "start listening"));
        assert!(accepts(&all, "tooth one oh four"));
        let table = grammar.graph(Situation::Table);
        assert!(!accepts(&table, "start listening"));
    }
}
