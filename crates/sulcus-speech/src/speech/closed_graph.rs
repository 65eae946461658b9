//! Word graphs for measuring: connected digits, and closed lists of sentences.
//! The graph of the real examination comes from `grammar`.

use std::collections::BTreeMap;

use super::value;
use super::word_graph::{State, StateIndex, Word, WordGraph, WordIndex};

/// Longest string of digits that may be said at once.
const DIGITS_MAX: usize = 16;

const DIGITS: [&str; 11] = [
    "zero", "oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];

/// Any 1 to 16 digits, "oh" among them.
pub fn digits() -> WordGraph {
    WordGraph::loop_of(DIGITS.map(word).to_vec(), 1, DIGITS_MAX)
}

/// Any 1 to 16 numbers below a hundred: the digits, with the larger numbers that are taken for them.
pub fn numbers() -> WordGraph {
    let texts: Vec<&str> = [&DIGITS[..], &value::ONES[10..], &value::TENS].concat();
    let tens = texts.len() - value::TENS.len();
    let is_unit = |word: usize| (2..DIGITS.len()).contains(&word);
    // For each count of numbers: a state after a whole one, and one after tens that may get a unit.
    let whole = |count: usize| 2 * count as StateIndex;
    let after_tens = |count: usize| whole(count) + 1;
    let mut states = Vec::new();
    for count in 0..=DIGITS_MAX {
        for may_get_unit in [false, true] {
            let arcs = (0..texts.len()).filter_map(|word| {
                let next = match word {
                    _ if may_get_unit && is_unit(word) => whole(count),
                    _ if count == DIGITS_MAX => return None,
                    _ if word >= tens => after_tens(count + 1),
                    _ => whole(count + 1),
                };
                Some((word as WordIndex, next))
            });
            states.push(State {
                arcs: arcs.collect(),
                is_final: count > 0,
                inside_number: may_get_unit,
                ..State::default()
            });
        }
    }
    WordGraph::of_one_sentence(texts.into_iter().map(word).collect(), states)
}

/// Exactly the given sentences.
pub fn sentences<'a>(lines: impl IntoIterator<Item = &'a str>) -> WordGraph {
    let mut words: Vec<Word> = Vec::new();
    let mut index: BTreeMap<String, WordIndex> = BTreeMap::new();
    let mut states = vec![State::default()];
    for line in lines {
        let line = line.to_lowercase();
        let mut state: StateIndex = WordGraph::START;
        let mut empty = true;
        for text in line.split_whitespace() {
            empty = false;
            let word = *index.entry(text.to_owned()).or_insert_with(|| {
                words.push(self::word(text));
                words.len() as WordIndex - 1
            });
            let arcs = &states[state as usize].arcs;
            state = match arcs.binary_search_by_key(&word, |&(word, _)| word) {
                Ok(at) => arcs[at].1,
                Err(at) => {
                    let next = states.len() as StateIndex;
                    states[state as usize].arcs.insert(at, (word, next));
                    states.push(State::default());
                    next
                }
            };
        }
        if !empty {
            states[state as usize].is_final = true;
        }
    }
    WordGraph::of_one_sentence(words, states)
}

/// A word with the spellings that sound the same, and its figure.
fn word(text: &str) -> Word {
    let same_sound: &[&str] = match text {
        "oh" => &["o"],
        "two" => &["to", "too"],
        "four" => &["for"],
        "eight" => &["ate"],
        "one" => &["won"],
        "right" => &["write"],
        "no" => &["know"],
        "bird" => &["byrd"],
        _ => &[],
    };
    Word {
        text: text.to_owned(),
        spellings: same_sound.iter().map(|&s| s.to_owned()).collect(),
        figure: value::number(text).map(|number| number.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_accepted_and_nothing_else() {
        let graph = digits();
        assert!(graph.accepts(&["one", "oh", "zero"]));
        assert!(!graph.accepts(&["ten"]));
        assert!(!graph.accepts::<&str>(&[]));
        assert!(graph.accepts(&["nine"; 16]));
        assert!(!graph.accepts(&["nine"; 17]));
    }

    #[test]
    fn numbers_are_one_value_for_tens_and_unit() {
        let graph = numbers();
        assert!(graph.accepts(&["fifty", "one", "fifteen"]));
        assert!(graph.accepts(&["thirty", "three"]));
        assert!(graph.accepts(&["three", "oh", "ninety"]));
        assert!(!graph.accepts(&["hundred"]));
        assert!(graph.accepts(&["nine"; 16]));
        assert!(!graph.accepts(&["nine"; 17]));
        // Sixteen numbers, each of two words.
        assert!(graph.accepts(&["twenty", "nine"].repeat(16)));
        assert!(!graph.accepts(&["twenty", "nine"].repeat(17)));
    }

    #[test]
    fn a_list_accepts_its_sentences_only() {
        let graph = sentences(["go", "Go back", "", "stop"]);
        assert!(graph.accepts(&["go"]));
        assert!(graph.accepts(&["go", "back"]));
        assert!(!graph.accepts(&["back"]));
        assert!(!graph.accepts(&["stop", "back"]));
    }
}
