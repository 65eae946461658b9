//! What the engine makes of words: mostly the words, now and then near-sounding ones, now and then nothing.
//! A model, not an engine: its rates are set beside the measured ones.

use rand::RngExt;
use rand::seq::IndexedRandom;
use rand_chacha::ChaCha8Rng;

use crate::speech::{Hearing, Hypothesis, Unheard};

/// Words that are taken for one another. Five and nine, one and nine are told apart badly on telephone lines and
/// radio, hence "niner"; the others share vowel or ending. Common knowledge of the trade of speech, no count behind it.
const NEAR: [(&str, &str); 20] = [
    ("five", "nine"),
    ("one", "nine"),
    ("four", "five"),
    ("two", "three"),
    ("six", "seven"),
    ("zero", "four"),
    ("two", "zero"),
    ("three", "eight"),
    ("seven", "eleven"),
    ("ten", "nine"),
    ("buccal", "lingual"),
    ("mobility", "furcation"),
    ("confirm", "compare"),
    ("thirteen", "thirty"),
    ("fourteen", "forty"),
    ("fifteen", "fifty"),
    ("sixteen", "sixty"),
    ("seventeen", "seventy"),
    ("eighteen", "eighty"),
    ("nineteen", "ninety"),
];

/// Number words of the nurse that may be lost as digits are.
const TENS: [&str; 8] = [
    "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// How well is heard.
#[derive(Debug, Clone, PartialEq)]
pub struct Ears {
    /// Chance for each word that has a near one to be taken for it.
    pub confusion: f64,
    /// Chance for each number word to be lost.
    pub loss: f64,
    /// Chance for an utterance to be refused as unclear.
    pub unclear: f64,
    /// Chance for talk that is no command to be taken for one.
    pub false_entry: f64,
    /// Chance for a rightly heard utterance to look like a close call.
    pub false_doubt: f64,
}

impl Default for Ears {
    fn default() -> Self {
        Self {
            confusion: 0.004,
            loss: 0.001,
            unclear: 0.02,
            false_entry: 0.01,
            false_doubt: 0.01,
        }
    }
}

impl Ears {
    /// A room with running water or suction: the aims of the program there, not a measurement.
    pub fn noisy() -> Self {
        Self {
            confusion: 0.015,
            loss: 0.004,
            unclear: 0.08,
            false_entry: 0.02,
            false_doubt: 0.03,
        }
    }

    pub fn hear(&self, said: &[String], random: &mut ChaCha8Rng) -> Hearing {
        if random.random_bool(self.unclear) {
            return hearing(vec![(said.to_vec(), 0.0)], Some(Unheard::Unclear));
        }
        let mut heard = Vec::new();
        for word in said {
            let is_number =
                super::meant::DIGITS.contains(&word.as_str()) || TENS.contains(&word.as_str());
            if is_number && random.random_bool(self.loss) {
                continue;
            }
            let near = near(word, random);
            match near {
                Some(near) if random.random_bool(self.confusion) => heard.push(near),
                _ => heard.push(word.clone()),
            }
        }
        if heard == said {
            if !random.random_bool(self.false_doubt) {
                return hearing(vec![(heard, 0.0)], None);
            }
            // A near word comes second, and close.
            let mut other = heard.clone();
            let at = random.random_range(0..other.len());
            if let Some(near) = near(&other[at], random) {
                other[at] = near;
            }
            return hearing(
                vec![(heard, 0.0), (other, -random.random_range(0.1..1.3))],
                None,
            );
        }
        if heard.is_empty() {
            return hearing(Vec::new(), Some(Unheard::Unclear));
        }
        // The right words come second: how close, is a matter of luck.
        let behind = -random.random_range(0.1..4.0_f32);
        hearing(vec![(heard, 0.0), (said.to_vec(), behind)], None)
    }

    /// Talk about something else; `command` is what it would be taken for.
    pub fn overhear(&self, command: Vec<String>, random: &mut ChaCha8Rng) -> Hearing {
        let unheard = (!random.random_bool(self.false_entry)).then_some(Unheard::OutOfGrammar);
        hearing(vec![(command, 0.0)], unheard)
    }
}

fn near(word: &str, random: &mut ChaCha8Rng) -> Option<String> {
    let others: Vec<&str> = NEAR
        .iter()
        .filter_map(|(one, other)| match word {
            word if word == *one => Some(*other),
            word if word == *other => Some(*one),
            _ => None,
        })
        .collect();
    others.choose(random).map(|other| (*other).to_owned())
}

fn hearing(sentences: Vec<(Vec<String>, f32)>, unheard: Option<Unheard>) -> Hearing {
    Hearing {
        hypotheses: sentences
            .into_iter()
            .map(|(words, log_probability)| Hypothesis {
                word_confidences: vec![0.9; words.len()],
                words,
                log_probability,
            })
            .collect(),
        unheard,
        free_text: None,
        figures: Vec::new(),
    }
}
