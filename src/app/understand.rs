//! From a hearing to what was said: the best sentence that has a meaning here, and how sure it is.

use crate::grammar::{Grammar, Intent, Meaning, Situation};
use crate::speech::{EngineIdentity, Hearing, Hypothesis, Unheard};
use crate::terms::Species;

/// What an utterance came to.
#[derive(Debug, Clone, PartialEq)]
pub enum Understood {
    Said {
        intents: Vec<Intent>,
        words: Vec<String>,
        /// 0.0 to 1.0, of the least sure word.
        confidence: f32,
    },
    /// Nothing is entered. The words are the nearest sentence, for show.
    Nothing {
        why: Unheard,
        nearest: Option<String>,
    },
}

/// Takes the first hypothesis that has one meaning; the engine has already refused what is too unsure.
pub fn understand(
    grammar: &Grammar,
    hearing: &Hearing,
    situation: Situation,
    species: Species,
) -> Understood {
    let nearest = || hearing.hypotheses.first().map(|h| h.words.join(" "));
    if let Some(why) = hearing.unheard {
        return Understood::Nothing {
            why,
            nearest: nearest(),
        };
    }
    let Some(best) = hearing.hypotheses.first() else {
        return Understood::Nothing {
            why: Unheard::NoSpeech,
            nearest: None,
        };
    };
    match grammar.interpret(&best.words, situation, species) {
        Meaning::Said(intents) => Understood::Said {
            intents,
            words: best.words.clone(),
            confidence: least(best),
        },
        // The engine heard under another graph than is in force now, or the sentence has no value that exists.
        Meaning::NotUnderstood | Meaning::Ambiguous(..) => Understood::Nothing {
            why: Unheard::OutOfGrammar,
            nearest: nearest(),
        },
    }
}

fn least(hypothesis: &Hypothesis) -> f32 {
    hypothesis
        .word_confidences
        .iter()
        .copied()
        .fold(1.0, f32::min)
}

/// The engine as the journal keeps it.
pub fn heard(words: &[String], confidence: f32, engine: &EngineIdentity) -> crate::record::Heard {
    crate::record::Heard {
        words: words.join(" "),
        // Two digits: more would pretend a precision that no engine has.
        confidence: (confidence * 100.0).round() / 100.0,
        engine: engine.name.clone(),
        model: engine.model.clone(),
        ..crate::record::Heard::default()
    }
}
