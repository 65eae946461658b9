//! What was not understood, or only nearly: two readings that are too close until the answer, and failures in a row.

use crate::app::close_call::{Choice, CloseCall};
use crate::grammar::Intent;
use crate::record::Heard;
use crate::session::Said;

/// Failures in a row after which another way is offered.
const FAILURES_MAX: u32 = 2;

/// What was said to an offer.
#[derive(Debug, PartialEq)]
pub enum Answer {
    Yes(Said),
    No,
}

#[derive(Debug, Default)]
pub struct Misheard {
    close_call: Option<CloseCall>,
    /// A sentence that was twice too unsure and was offered: "yes" enters it.
    offer: Option<Said>,
    /// What the last utterance would have meant, had it been clearer.
    unsure: Option<Vec<Intent>>,
    /// Utterances in a row from which nothing came that stands.
    failures: u32,
}

impl Misheard {
    /// Counts a failure; true after so many in a row that another way is to be offered.
    pub fn failed(&mut self) -> bool {
        self.failures += 1;
        let is_again = self.failures >= FAILURES_MAX;
        if is_again {
            self.failures = 0;
        }
        is_again
    }

    /// Something was understood. After a "confirm" the count begins anew; before that one failure is remembered.
    pub fn understood(&mut self, is_confirmed: bool) {
        self.failures = self.failures.min(u32::from(!is_confirmed));
    }

    pub fn ask(&mut self, call: CloseCall) {
        self.close_call = Some(call);
    }

    pub fn forget_question(&mut self) {
        self.close_call = None;
        self.offer = None;
        self.unsure = None;
    }

    /// Whether the utterance before would have meant the same: said twice, it is no chatter.
    pub fn is_said_again(&mut self, intents: Option<&[Intent]>) -> bool {
        let before = std::mem::replace(&mut self.unsure, intents.map(<[Intent]>::to_vec));
        intents.is_some() && before.as_deref() == intents
    }

    pub fn offer(&mut self, said: Said) {
        self.offer = Some(said);
        self.unsure = None;
        self.failures = 0;
    }

    /// What was offered, by a yes; whatever else is understood ends the offer. Without words it still stands.
    pub fn answer_offer(&mut self, intents: Option<&[Intent]>, heard: &Heard) -> Option<Answer> {
        let intents = intents?;
        self.unsure = None;
        let offered = self.offer.take()?;
        match intents {
            [Intent::Confirm] => Some(Answer::Yes(Said {
                heard: Heard {
                    words: format!("{}; {}", offered.heard.words, heard.words),
                    confidence: offered.heard.confidence.min(heard.confidence),
                    ..heard.clone()
                },
                ..offered
            })),
            [Intent::Deny | Intent::Undo] => Some(Answer::No),
            [Intent::Repeat] => {
                self.offer = Some(offered);
                None
            }
            _ => None,
        }
    }

    /// The answer to the question, in one word. Any other words end the question; without words it still stands.
    pub fn answer(&mut self, words: Option<&[String]>) -> Option<Choice> {
        let words = words?;
        let call = self.close_call.take()?;
        let [word] = words else { return None };
        call.options.into_iter().find(|option| option.word == *word)
    }
}
