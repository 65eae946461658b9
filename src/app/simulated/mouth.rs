//! Simulated time, and a mouth that only takes time.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::app::talk::Mouth;
use crate::voice::{Cue, Priority, SayId, VoiceEvent};

/// A spoken word with its share of the pauses. The voice that comes with the program says 2.3 to 2.9 words a second.
const WORD_MS: u64 = 390;

/// From handing a sentence over to its first sound.
const ONSET_MS: u64 = 60;

#[derive(Debug, Default)]
struct State {
    now_ms: u64,
    /// Of a spoken word; [`WORD_MS`] where it is zero.
    word_ms: u64,
    /// Sentence and the time of its end; begun when the one before ends.
    saying: VecDeque<(SayId, u64)>,
    ended: Vec<(SayId, bool)>,
    cues: Vec<Cue>,
}

/// What clock, mouth and people share.
#[derive(Debug, Clone, Default)]
pub struct Stage(Arc<Mutex<State>>);

impl Stage {
    fn state(&self) -> MutexGuard<'_, State> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Speaks faster by this factor than the voice does by itself.
    pub fn speak_at(&self, rate: f32) {
        self.state().word_ms = (WORD_MS as f32 / rate) as u64;
    }

    pub fn now_ms(&self) -> u64 {
        self.state().now_ms
    }

    pub fn advance_to(&self, ms: u64) {
        let mut state = self.state();
        state.now_ms = state.now_ms.max(ms);
        let now_ms = state.now_ms;
        while let Some(&(id, end_ms)) = state.saying.front()
            && end_ms <= now_ms
        {
            state.saying.pop_front();
            state.ended.push((id, false));
        }
    }

    pub fn is_speaking(&self) -> bool {
        !self.state().saying.is_empty()
    }

    /// When the sentence at the mouth ends.
    pub fn next_end_ms(&self) -> Option<u64> {
        self.state().saying.front().map(|(_, end_ms)| *end_ms)
    }

    pub fn events(&self) -> Vec<VoiceEvent> {
        std::mem::take(&mut self.state().ended)
            .into_iter()
            .map(|(id, cut)| VoiceEvent::Ended { id, cut })
            .collect()
    }

    pub fn has_cue(&self, cue: Cue) -> bool {
        self.state().cues.contains(&cue)
    }

    pub fn cues(&self) -> Vec<Cue> {
        std::mem::take(&mut self.state().cues)
    }
}

#[derive(Debug, Clone)]
pub struct SimulatedMouth(pub Stage);

impl Mouth for SimulatedMouth {
    fn say(&self, id: SayId, phrases: Vec<String>, _priority: Priority) {
        let words: usize = phrases
            .iter()
            .map(|phrase| phrase.split_whitespace().count())
            .sum();
        let mut state = self.0.state();
        let start_ms = state
            .saying
            .back()
            .map_or(state.now_ms, |(_, end_ms)| *end_ms);
        let word_ms = if state.word_ms == 0 {
            WORD_MS
        } else {
            state.word_ms
        };
        let end_ms = start_ms + ONSET_MS + words as u64 * word_ms;
        state.saying.push_back((id, end_ms));
    }

    fn cue(&self, cue: Cue) {
        self.0.state().cues.push(cue);
    }

    fn stop(&self) {
        let mut state = self.0.state();
        let cut: Vec<_> = state.saying.drain(..).map(|(id, _)| (id, true)).collect();
        state.ended.extend(cut);
    }
}
