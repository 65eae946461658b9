//! What was not understood, or only nearly: two readings that are too close until the answer, and failures in a row.

use crate::app::close_call::{Choice, CloseCall};

/// Failures in a row after which another way is offered.
const FAILURES_MAX: u32 = 2;

#[derive(Debug, Default)]
pub struct Misheard {
    close_call: Option<CloseCall>,
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
    }

    /// The answer to the question, in one word. Any other words end the question; without words it still stands.
    pub fn answer(&mut self, words: Option<&[String]>) -> Option<Choice> {
        let words = words?;
        let call = self.close_call.take()?;
        let [word] = words else { return None };
        call.options.into_iter().find(|option| option.word == *word)
    }
}
