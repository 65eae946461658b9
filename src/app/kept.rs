//! What could not be saved, in the order in which it came: kept in memory until the disk takes it.
//!
//! Invariants: the order is never changed; what is entered later bears the time at which it was said;
//! nothing leaves before the journal holds it.

use std::collections::VecDeque;

use crate::clock::Now;
use crate::grammar::Intent;
use crate::record::{Draft, wording};
use crate::session::{Said, Session, Step};

/// One input that waits for the disk.
#[derive(Debug, Clone)]
pub enum Kept {
    Said {
        said: Said,
        now: Now,
        /// What followed from it and the conversation after it, where it reached the journal and failed there.
        tried: Option<Box<(Step, Session)>>,
        /// For people who write it down.
        words: String,
    },
    Fact {
        draft: Box<Draft>,
        now: Now,
        words: String,
    },
}

impl Kept {
    /// What to write down; empty for facts that nobody said.
    pub fn words(&self) -> &str {
        match self {
            Self::Said { words, .. } | Self::Fact { words, .. } => words,
        }
    }

    /// Whether it takes back what was said before it: then it answers the question that this raised.
    pub fn takes_back(&self) -> bool {
        match self {
            Self::Said { said, .. } => matches!(
                said.intents.first(),
                Some(Intent::Deny | Intent::Undo | Intent::Correct(_))
            ),
            Self::Fact { .. } => false,
        }
    }
}

/// All that waits.
#[derive(Debug, Default)]
pub struct Waiting(VecDeque<Kept>);

impl Waiting {
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn push(&mut self, kept: Kept) {
        self.0.push_back(kept);
    }

    pub fn first(&self) -> Option<&Kept> {
        self.0.front()
    }

    /// The journal holds it.
    pub fn pop(&mut self) -> Option<Kept> {
        self.0.pop_front()
    }

    /// It was tried and is still first.
    pub fn put_back(&mut self, kept: Kept) {
        self.0.push_front(kept);
    }

    /// What people said or pressed and nobody saved, in order.
    pub fn words(&self) -> Vec<String> {
        self.0
            .iter()
            .map(Kept::words)
            .filter(|words| !words.is_empty())
            .map(str::to_owned)
            .collect()
    }
}

/// Whether an intent confirms: what was not read back cannot be, and a question that nobody heard has no answer.
pub fn confirms(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::Confirm
            | Intent::ConfirmEverything
            | Intent::ConfirmUpTo(_)
            | Intent::ConfirmReadBack(_)
    )
}

/// What was said, for people; of a press, what would follow from it.
pub fn words(said: &Said, step: &Step) -> String {
    if !said.heard.words.is_empty() {
        return said.heard.words.clone();
    }
    let facts: Vec<String> = step
        .drafts
        .iter()
        .map(|draft| wording::event(&draft.event))
        .collect();
    facts.join(", ")
}
