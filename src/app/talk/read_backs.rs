//! What was told to its end and when: a read-back counts only where nobody had begun to speak before its end.
//! All times are those of the sound, so that it does not matter when they are looked at.

use super::super::turn::Turn;
use crate::audio::FRAME_MS;
use crate::record::event::Telling;
use crate::record::{Record, Standing};
use crate::session::Phrase;
use crate::speech::activity::START_WINDOW;

/// The beginning of speech is known so long after it at most.
const START_KNOWN_MS: u64 = (START_WINDOW as u64 + 1) * FRAME_MS;

/// A phrase that was told to its end.
#[derive(Debug)]
pub struct Ended {
    pub phrase: Phrase,
    pub by: Telling,
    at_ms: u64,
}

#[derive(Debug, Default)]
pub struct ReadBacks {
    /// Ended, and it is not known yet whether somebody had begun to speak.
    ended: Vec<Ended>,
    /// Values of the tooth that was read back last, as far as they were told to their end: what a nurse confirms.
    last: Vec<u64>,
    /// What made no sound, to be said again when there is a loudspeaker.
    silent: Vec<Phrase>,
}

impl ReadBacks {
    pub fn ended(&mut self, phrase: Phrase, by: Telling, at_ms: u64) {
        self.ended.push(Ended { phrase, by, at_ms });
    }

    /// What counts by now: it ended before somebody began to speak, or nobody speaks any more.
    pub fn due(&mut self, turn: &Turn, now_ms: u64) -> Vec<Ended> {
        let counts = |ended: &Ended| match turn.speech_since_ms() {
            Some(since_ms) => ended.at_ms <= since_ms,
            None => ended.by == Telling::Shown || now_ms >= ended.at_ms + START_KNOWN_MS,
        };
        let (due, wait) = std::mem::take(&mut self.ended)
            .into_iter()
            .partition(counts);
        self.ended = wait;
        due
    }

    /// Somebody who spoke is silent: what ended meanwhile is told by now, and counts for what they say next.
    pub fn all(&mut self) -> Vec<Ended> {
        std::mem::take(&mut self.ended)
    }

    /// The phrase counts as read back: of its tooth, all up to it may be confirmed by the second person.
    pub fn counted(&mut self, record: &Record, phrase: &Phrase) {
        let Some(last) = phrase.entries.last() else {
            return;
        };
        let tooth = record
            .entry(*last)
            .and_then(|charted| charted.event.tooth());
        self.last = record
            .unconfirmed()
            .filter(|charted| {
                charted.number <= *last
                    && charted.event.tooth() == tooth
                    && charted.standing == Standing::ReadBack
            })
            .map(|charted| charted.number)
            .collect();
    }

    /// Nothing waits to be counted.
    pub fn is_settled(&self) -> bool {
        self.ended.is_empty()
    }

    pub fn last(&self) -> &[u64] {
        &self.last
    }

    /// No sound came of it, or not all.
    pub fn was_silent(&mut self, phrase: Phrase) {
        if !self.silent.contains(&phrase) {
            self.silent.push(phrase);
        }
    }

    /// What was silent, to be said again.
    pub fn silent(&mut self) -> Vec<Phrase> {
        std::mem::take(&mut self.silent)
    }

    pub fn forget(&mut self) {
        *self = Self::default();
    }
}
