//! Two readings that sound alike: where the best two sentences differ in one digit and the engine can hardly tell
//! them apart, a short question costs less than a wrong depth. Decides only whether to ask.

use crate::grammar::{Grammar, Intent, Meaning, Situation};
use crate::speech::{Hearing, Hypothesis};
use crate::terms::Species;

/// Asked where the second sentence has at least this part of the first one's probability.
/// Measured on clips in noise, see DEVELOPERS.md.
pub const RATIO_MIN: f32 = 0.25;

/// What can be said alone as an answer.
const ANSWERS: [&str; 9] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];

/// One way of having heard it.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The word in which it differs from the other.
    pub word: String,
    pub words: Vec<String>,
    pub intents: Vec<Intent>,
}

impl Choice {
    pub fn sentence(&self) -> String {
        self.words.join(" ")
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct CloseCall {
    pub options: [Choice; 2],
}

/// The question that should be asked instead of entering the best hypothesis, if any.
pub fn find(
    grammar: &Grammar,
    hearing: &Hearing,
    situation: Situation,
    species: Species,
) -> Option<CloseCall> {
    use crate::speech::Unheard;
    if !matches!(hearing.unheard, None | Some(Unheard::Unclear)) {
        return None;
    }
    let best = hearing.hypotheses.first()?;
    let intents = meaning(grammar, best, situation, species)?;
    let enough = best.log_probability + RATIO_MIN.ln();
    hearing.hypotheses[1..]
        .iter()
        .take_while(|other| other.log_probability >= enough)
        .find_map(|other| {
            let at = only_difference(&best.words, &other.words)?;
            let others = meaning(grammar, other, situation, species)?;
            let askable = ANSWERS.contains(&best.words[at].as_str())
                && ANSWERS.contains(&other.words[at].as_str());
            (askable && others != intents).then(|| CloseCall {
                options: [choice(best, at, intents.clone()), choice(other, at, others)],
            })
        })
}

fn choice(hypothesis: &Hypothesis, at: usize, intents: Vec<Intent>) -> Choice {
    Choice {
        word: hypothesis.words[at].clone(),
        words: hypothesis.words.clone(),
        intents,
    }
}

fn meaning(
    grammar: &Grammar,
    hypothesis: &Hypothesis,
    situation: Situation,
    species: Species,
) -> Option<Vec<Intent>> {
    match grammar.interpret(&hypothesis.words, situation, species) {
        Meaning::Said(intents) => Some(intents),
        Meaning::NotUnderstood | Meaning::Ambiguous(..) => None,
    }
}

/// The one place where two sentences of the same length differ.
fn only_difference(one: &[String], other: &[String]) -> Option<usize> {
    if one.len() != other.len() {
        return None;
    }
    let mut places = (0..one.len()).filter(|&at| one[at] != other[at]);
    let place = places.next()?;
    places.next().is_none().then_some(place)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::Unheard;

    fn hypothesis(words: &str, probability: f32) -> Hypothesis {
        let words: Vec<String> = words.split(' ').map(str::to_owned).collect();
        Hypothesis {
            word_confidences: vec![1.0; words.len()],
            words,
            log_probability: probability.ln(),
        }
    }

    fn asked(hypotheses: &[(&str, f32)], unheard: Option<Unheard>) -> Option<[String; 2]> {
        let hearing = Hearing {
            hypotheses: hypotheses
                .iter()
                .map(|(words, p)| hypothesis(words, *p))
                .collect(),
            unheard,
            free_text: None,
            figures: Vec::new(),
        };
        let grammar = Grammar::built_in().unwrap();
        find(&grammar, &hearing, Situation::Table, Species::Dog)
            .map(|call| call.options.map(|option| option.word))
    }

    #[test]
    fn one_digit_and_close_is_asked() {
        let close = [
            ("buccal three five three", 0.5),
            ("buccal three nine three", 0.4),
        ];
        assert_eq!(asked(&close, None), Some(["five".into(), "nine".into()]));
        assert!(asked(&close, Some(Unheard::Unclear)).is_some());
        assert!(asked(&close, Some(Unheard::OutOfGrammar)).is_none());
    }

    #[test]
    fn what_is_far_or_means_the_same_or_cannot_be_answered_is_not_asked() {
        let far = [
            ("buccal three five three", 0.9),
            ("buccal three nine three", 0.05),
        ];
        assert!(asked(&far, None).is_none());
        let same = [("tooth one oh four", 0.5), ("tooth one zero four", 0.4)];
        assert!(asked(&same, None).is_none());
        let longer = [("buccal three five three", 0.5), ("buccal three five", 0.4)];
        assert!(asked(&longer, None).is_none());
        let words = [("mobility one", 0.5), ("calculus one", 0.4)];
        assert!(asked(&words, None).is_none());
    }
}
