//! A decision that published guidance speaks against: put in words once, in a pause, and answered by the vet.
//! What the conflicts are is the plan's; here they are only asked.
//!
//! Invariant: a question names the very conflicts that it is kept with, and the decision as it stands; a conflict that
//! arises later is another question.

use super::phrase::{Phrase, Slot};
use super::read_back::decision_words;
use crate::record::Record;
use crate::record::event::Proposed;
use crate::record::fold::Phase;
use crate::terms::{Decision, ToothNumber};

/// Conflicts of one decision that nobody has answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenConflict {
    pub tooth: ToothNumber,
    pub decision: Decision,
    /// Number of the decision's entry.
    pub entry: u64,
    /// Key of the guidance and what it finds, in words that can be said.
    pub against: Vec<(String, String)>,
}

/// How long nobody must have spoken before a conflict is asked: common practice, no source.
pub const PAUSE_MS: u64 = 12_000;

impl OpenConflict {
    /// Leaves out what was asked of this very decision already, answered or not.
    pub(super) fn not_yet_asked(&self, record: &Record) -> Option<Self> {
        let against: Vec<_> = self
            .against
            .iter()
            .filter(|(key, _)| {
                !record.challenges.iter().any(|challenge| {
                    matches!(challenge.proposed, Proposed::Stands { entry, .. } if entry == self.entry)
                        && challenge.conflicts.contains(key)
                })
            })
            .cloned()
            .collect();
        (!against.is_empty()).then(|| Self {
            against,
            ..self.clone()
        })
    }

    pub(super) fn question(&self) -> Phrase {
        let why: Vec<&str> = self.against.iter().map(|(_, words)| &**words).collect();
        let mut phrase = Phrase::rule("conflict")
            .with("tooth", Slot::Tooth(self.tooth))
            .with("why", Slot::Text(why.join("; ")))
            .with("decision", Slot::Text(decision_words(&self.decision)));
        phrase.is_question = true;
        phrase
    }

    pub(super) fn proposed(&self) -> Proposed {
        Proposed::Stands {
            tooth: self.tooth,
            entry: self.entry,
        }
    }

    pub(super) fn keys(&self) -> Vec<String> {
        self.against.iter().map(|(key, _)| key.clone()).collect()
    }
}

/// Whether a question may be put now at all.
pub(super) fn may_ask(record: &Record) -> bool {
    record.phase == Phase::Open && record.is_listening && record.open_challenge().is_none()
}
