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

/// A meaning that more speaks against than for is not entered: asking again costs seconds, a wrong value more.
const SHARE_MIN: f32 = 0.5;

/// What is taken back needs more belief than what is entered, which is read back and can be taken back itself. Only where
/// the engine tells its belief. A "no" to a question takes nothing back.
const WITHDRAWN_BELIEF_MIN: f32 = 0.98;

fn takes_back(intents: &[Intent], situation: Situation) -> bool {
    situation != Situation::Question
        && intents
            .iter()
            .any(|intent| matches!(intent, Intent::Undo | Intent::Deny))
}

/// How sure the engine is of its best sentence, where it tells.
fn belief(hearing: &Hearing) -> Option<f32> {
    let figure = hearing.figures.iter().find(|(name, _)| *name == "belief");
    figure.map(|&(_, belief)| belief)
}

/// Hypotheses that mean the same count together ("confirm" and "confirmed"); the meaning with the most weight is
/// taken. The engine has already refused what is too unsure. `lacking`: words before that a part is asked for.
pub fn understand(
    grammar: &Grammar,
    hearing: &Hearing,
    lacking: Option<&str>,
    situation: Situation,
    species: Species,
) -> Understood {
    let nearest = hearing.hypotheses.first().map(|h| h.words.join(" "));
    if let Some(why) = hearing.unheard {
        return Understood::Nothing { why, nearest };
    }
    let Some(best) = hearing.hypotheses.first() else {
        return Understood::Nothing {
            why: Unheard::NoSpeech,
            nearest: None,
        };
    };
    let top = best.log_probability;
    let mut readings: Vec<Reading> = Vec::new();
    let mut whole = 0.0;
    for hypothesis in &hearing.hypotheses {
        // Relative to the best, so that no weight vanishes.
        let weight = (hypothesis.log_probability - top).exp();
        whole += weight;
        let (meaning, words) =
            grammar.interpret_beside(lacking, &hypothesis.words, situation, species);
        let Meaning::Said(intents) = meaning else {
            continue;
        };
        match readings
            .iter_mut()
            .find(|reading| reading.intents == intents)
        {
            Some(reading) => {
                reading.weight += weight;
                reading.confidence = reading.confidence.max(least(hypothesis));
            }
            None => readings.push(Reading {
                intents,
                words,
                weight,
                confidence: least(hypothesis),
            }),
        }
    }
    let heaviest = readings
        .into_iter()
        .max_by(|one, other| one.weight.total_cmp(&other.weight));
    match heaviest {
        Some(reading) if reading.weight / whole < SHARE_MIN => Understood::Nothing {
            why: Unheard::Unclear,
            nearest,
        },
        Some(reading)
            if takes_back(&reading.intents, situation)
                && belief(hearing).is_some_and(|belief| belief < WITHDRAWN_BELIEF_MIN) =>
        {
            Understood::Nothing {
                why: Unheard::Unclear,
                nearest,
            }
        }
        Some(reading) => Understood::Said {
            confidence: reading.confidence.max(reading.weight / whole).min(1.0),
            words: reading.words,
            intents: reading.intents,
        },
        // The engine heard under another graph than is in force now, or the sentence has no value that exists.
        None => Understood::Nothing {
            why: Unheard::OutOfGrammar,
            nearest,
        },
    }
}

/// One meaning and how much speaks for it.
struct Reading {
    intents: Vec<Intent>,
    /// The likeliest sentence of this meaning.
    words: Vec<String>,
    weight: f32,
    confidence: f32,
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

#[cfg(test)]
mod tests {
    use super::*;

    fn understood(words: &str, belief: f32, situation: Situation) -> bool {
        let words: Vec<String> = words.split(' ').map(str::to_owned).collect();
        let hearing = Hearing {
            hypotheses: vec![Hypothesis {
                word_confidences: vec![1.0; words.len()],
                words,
                log_probability: -0.1,
            }],
            unheard: None,
            free_text: None,
            figures: vec![("belief", belief)],
        };
        let grammar = Grammar::built_in().expect("the grammar");
        let said = understand(&grammar, &hearing, None, situation, Species::Dog);
        matches!(said, Understood::Said { .. })
    }

    #[test]
    fn what_takes_back_needs_more_than_what_is_entered() {
        for words in ["undo", "no"] {
            assert!(!understood(words, 0.975, Situation::Table), "{words}");
            assert!(understood(words, 0.985, Situation::Table), "{words}");
        }
        assert!(understood("confirm", 0.975, Situation::Table));
        assert!(understood(
            "buccal three two three",
            0.975,
            Situation::Table
        ));
        // To a question "no" is an answer like "yes".
        assert!(understood("no", 0.975, Situation::Question));
    }
}
