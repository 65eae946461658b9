//! One time for all that happens at the table: that of the microphone's frames. What a voice, a key or the page
//! tells is put beside the sound that was heard when it happened, and is taken up when the listener has come so far.
//! So it does not matter which thread is late.
//!
//! Invariants: time never goes back; inputs come out in the order in which they happened.

use crate::audio::FRAME_MS;

/// What happens while a frame is being taken is told one frame later at most.
const SLACK_FRAMES: u64 = 2;

#[derive(Debug)]
pub struct TimeLine<Input> {
    now_ms: u64,
    /// Time in which no sound came at all, added to that of the frames.
    silent_ms: u64,
    /// Inputs with their times, in order.
    waiting: Vec<(u64, Input)>,
}

impl<Input> Default for TimeLine<Input> {
    fn default() -> Self {
        Self {
            now_ms: 0,
            silent_ms: 0,
            waiting: Vec::new(),
        }
    }
}

impl<Input> TimeLine<Input> {
    pub fn now_ms(&self) -> u64 {
        self.now_ms
    }

    /// A time that the listener tells, on this line.
    pub fn of_sound(&self, at_ms: u64) -> u64 {
        at_ms + self.silent_ms
    }

    /// Something happened when this was the newest frame that the microphone had given.
    pub fn put(&mut self, newest_frame: u64, input: Input) {
        let at_ms = self.of_sound((newest_frame + SLACK_FRAMES) * FRAME_MS);
        let at = self.waiting.partition_point(|(before, _)| *before <= at_ms);
        self.waiting.insert(at, (at_ms, input));
    }

    /// The sound up to this time was heard. Gives what happened before, with its times.
    pub fn heard_up_to(&mut self, at_ms: u64) -> Vec<(u64, Input)> {
        self.now_ms = self.now_ms.max(self.of_sound(at_ms));
        let due = self
            .waiting
            .partition_point(|(at_ms, _)| *at_ms <= self.now_ms);
        self.waiting.drain(..due).collect()
    }

    /// No sound came for so long, and all that came was heard: time goes on without it.
    pub fn silent_for(&mut self, ms: u64) -> Vec<(u64, Input)> {
        self.silent_ms += ms;
        self.now_ms += ms;
        self.waiting.drain(..).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inputs_come_in_the_order_in_which_they_happened() {
        let mut line = TimeLine::default();
        line.put(20, "second");
        line.put(10, "first");
        line.put(20, "third");
        assert_eq!(line.heard_up_to(11 * FRAME_MS), []);
        assert_eq!(line.heard_up_to(12 * FRAME_MS), [(12 * FRAME_MS, "first")]);
        let rest: Vec<_> = line
            .heard_up_to(40 * FRAME_MS)
            .into_iter()
            .map(|(_, input)| input)
            .collect();
        assert_eq!(rest, ["second", "third"]);
    }

    #[test]
    fn without_sound_time_goes_on_and_never_back() {
        let mut line = TimeLine::default();
        line.heard_up_to(3_200);
        line.put(100, "press");
        assert_eq!(line.silent_for(100).len(), 1);
        assert_eq!(line.now_ms(), 3_300);
        line.heard_up_to(3_232);
        assert_eq!(line.now_ms(), 3_332);
    }
}
