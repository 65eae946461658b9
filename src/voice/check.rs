//! Test by ear of the machine: read-backs of every tooth number and depth, and what a recogniser should hear in them.
//! The recogniser is joined by whoever runs the test; this knows only what is said.

use crate::grammar::Grammar;
use crate::session::phrase::{Phrase, Slot};
use crate::session::rules::Rules;
use crate::speech::{WordGraph, value};
use crate::terms::{Species, Stage, dentition};

use super::wording;

/// Deepest reading that must be understood, in mm.
const DEPTH_MM_MAX: u8 = 15;

/// Longest sentence in words: side and three depths of which each is said twice over.
const WORDS_MAX: usize = 10;

const SIDES: [&str; 3] = ["buccal", "palatal", "lingual"];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Tooth,
    Depths,
}

/// One read-back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentence {
    pub kind: Kind,
    /// As given to [`super::Speaker::say`], said with its gaps.
    pub phrases: Vec<String>,
    /// What should be heard, in the words of [`graph`].
    pub words: Vec<String>,
}

/// Every tooth of dog and cat, permanent and deciduous; every depth at every side, alone and among others.
pub fn sentences(rules: &Rules) -> Vec<Sentence> {
    let mut teeth: Vec<_> = [Species::Dog, Species::Cat]
        .into_iter()
        .flat_map(|species| {
            [Stage::Permanent, Stage::Deciduous]
                .into_iter()
                .flat_map(move |stage| dentition::teeth(species, stage))
        })
        .collect();
    teeth.sort();
    teeth.dedup();

    let mut sentences = Vec::new();
    for tooth in teeth {
        let phrase = Phrase::new("tooth").with("tooth", Slot::Tooth(tooth));
        sentences.push(sentence(Kind::Tooth, wording::spoken(&phrase, rules)));
    }
    for side in SIDES {
        for first in 0..=DEPTH_MM_MAX {
            // Steps of 7 through 16 values: neighbours that differ, each value once.
            let second = (first * 7 + 3) % (DEPTH_MM_MAX + 1);
            for depths_mm in [vec![first], vec![first, second, first]] {
                let phrase = Phrase::new("depths_side")
                    .with("side", Slot::Text(side.to_owned()))
                    .with("mm", Slot::Digits(depths_mm));
                sentences.push(sentence(Kind::Depths, wording::spoken(&phrase, rules)));
            }
        }
    }
    sentences
}

fn sentence(kind: Kind, phrases: Vec<String>) -> Sentence {
    let words = phrases
        .join(" ")
        .to_lowercase()
        .split(|letter: char| !letter.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    Sentence {
        kind,
        phrases,
        words,
    }
}

/// Any sequence of the words that occur: wider than the program's grammar, so that a slip shows as a slip
/// and is not mended by what teeth there are.
pub fn graph(grammar: &Grammar) -> WordGraph {
    let numbers = &value::ONES[..=usize::from(DEPTH_MM_MAX)];
    let words = numbers.iter().chain(&SIDES).chain(&["tooth"]);
    let words = words.map(|word| grammar.spelled(word)).collect();
    WordGraph::loop_of(words, 1, WORDS_MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_that_is_said_can_be_heard() {
        let sentences = sentences(&Rules::built_in().unwrap());
        let graph = graph(&Grammar::built_in().unwrap());
        for sentence in &sentences {
            assert!(graph.accepts(&sentence.words), "{:?}", sentence.words);
        }
        // 42 permanent teeth of the dog, whose numbers include the cat's, and 28 deciduous ones likewise.
        let teeth = sentences
            .iter()
            .filter(|sentence| sentence.kind == Kind::Tooth);
        assert_eq!(teeth.count(), 70);
        assert_eq!(sentences.len(), 70 + 3 * 16 * 2);
        assert!(
            sentences
                .iter()
                .any(|sentence| sentence.words == ["tooth", "one", "zero", "four"])
        );
        assert!(
            sentences
                .iter()
                .any(|sentence| sentence.words == ["palatal", "fifteen", "one", "five"])
        );
    }
}
