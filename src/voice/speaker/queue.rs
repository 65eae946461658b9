//! The speaker's thread: what waits to be said, in which order, and what interrupts it.
//!
//! Invariant: orders are read between any two sounds, and every few milliseconds while one is heard.

use std::collections::VecDeque;
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, RecvTimeoutError, TryRecvError};

use super::super::{Cue, VoiceError};
use super::mouth::Mouth;
use super::{Command, Priority, Sentence, VoiceEvent};

/// Sentences that may wait. More than this is a minute of talk that nobody waits for.
pub(super) const WAITING_MAX: usize = 32;

/// Phrases that may wait to be made ahead: all teeth, sides and fixed sentences fit.
const PREPARE_MAX: usize = 1000;

/// How often the end of the sound is looked for; a tenth of what a person notices.
const POLL: Duration = Duration::from_millis(5);

/// How often a lost loudspeaker is looked for while nothing is to be said.
const SEARCH: Duration = Duration::from_secs(2);

pub(super) struct Queue {
    mouth: Mouth,
    orders: Receiver<Command>,
    cues: VecDeque<Cue>,
    sentences: VecDeque<Sentence>,
    to_prepare: VecDeque<String>,
    /// When a lost loudspeaker was looked for last.
    searched: Option<Instant>,
    /// The handle was dropped: be silent and end.
    closed: bool,
}

/// Why waiting for the end of a sound was given up.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Interruption {
    Stopped,
    Urgent,
}

impl Queue {
    pub(super) fn new(mouth: Mouth, orders: Receiver<Command>) -> Self {
        Self {
            mouth,
            orders,
            cues: VecDeque::new(),
            sentences: VecDeque::new(),
            to_prepare: VecDeque::new(),
            searched: None,
            closed: false,
        }
    }

    pub(super) fn run(mut self) {
        // Opening a device can take a second: not while a person waits for the first word. Told by `ready` itself.
        let _ = self.mouth.ready();
        while !self.closed {
            // What came in the meantime decides what is next, so all of it is read first.
            while self.next_order() {}
            if self.closed {
                break;
            }
            if let Some(cue) = self.cues.pop_front() {
                self.play_cue(cue);
            } else if let Some(sentence) = self.sentences.pop_front() {
                self.say(&sentence);
            } else if let Some(phrase) = self.to_prepare.pop_front() {
                self.search();
                // One phrase at a time: a fifth of a second at most before an order is seen.
                // A phrase that cannot be made is told when it is to be said.
                let begun = Instant::now();
                let _ = self.mouth.sound(&phrase);
                // As long again is left to those who listen: on a busy machine they would else come too late.
                self.rest(begun.elapsed());
            } else {
                self.wait_for_order();
            }
        }
        self.end_all_waiting();
        self.mouth.output.cut();
    }

    /// Takes one order if there is one. True where there may be more.
    fn next_order(&mut self) -> bool {
        match self.orders.try_recv() {
            Ok(order) => {
                self.take(order);
                true
            }
            Err(TryRecvError::Empty) => false,
            Err(TryRecvError::Disconnected) => {
                self.closed = true;
                false
            }
        }
    }

    /// Lets others work, up to the next order.
    fn rest(&mut self, time: Duration) {
        match self.orders.recv_timeout(time) {
            Ok(order) => {
                self.take(order);
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => self.closed = true,
        }
    }

    /// Looks for a lost loudspeaker, now and then, while there is other work: phrases are made ahead for minutes.
    fn search(&mut self) {
        if self.mouth.lost_told && self.searched.is_none_or(|at| at.elapsed() > SEARCH) {
            // Told by `ready` itself, either way.
            let _ = self.mouth.ready();
            self.searched = Some(Instant::now());
        }
    }

    fn wait_for_order(&mut self) {
        let order = if self.mouth.lost_told {
            self.orders.recv_timeout(SEARCH)
        } else {
            self.orders.recv().map_err(RecvTimeoutError::from)
        };
        match order {
            Ok(order) => {
                self.take(order);
            }
            Err(RecvTimeoutError::Timeout) => {
                // Told by `ready` itself, either way.
                let _ = self.mouth.ready();
            }
            Err(RecvTimeoutError::Disconnected) => self.closed = true,
        }
    }

    /// Sorts an order into the queues. Tells whether it interrupts what is being said.
    fn take(&mut self, order: Command) -> Option<Interruption> {
        match order {
            Command::Cue(cue) => {
                self.cues.push_back(cue);
                None
            }
            Command::Prepare(phrases) => {
                let room = PREPARE_MAX.saturating_sub(self.to_prepare.len());
                self.to_prepare.extend(phrases.into_iter().take(room));
                None
            }
            Command::Say(sentence, Priority::Ordinary) => {
                self.sentences.push_back(sentence);
                self.drop_last_over_limit();
                None
            }
            Command::Say(sentence, Priority::Urgent) => {
                self.sentences.push_front(sentence);
                self.drop_last_over_limit();
                self.mouth.output.cut();
                Some(Interruption::Urgent)
            }
            Command::Stop => {
                self.end_all_waiting();
                self.mouth.output.cut();
                Some(Interruption::Stopped)
            }
        }
    }

    fn drop_last_over_limit(&mut self) {
        if self.sentences.len() > WAITING_MAX
            && let Some(dropped) = self.sentences.pop_back()
        {
            self.mouth.tell(VoiceEvent::Failed {
                id: dropped.id,
                error: VoiceError::TooMuch,
            });
        }
    }

    fn end_all_waiting(&mut self) {
        self.cues.clear();
        for sentence in std::mem::take(&mut self.sentences) {
            self.mouth.tell(VoiceEvent::Ended {
                id: sentence.id,
                cut: true,
            });
        }
    }

    fn say(&mut self, sentence: &Sentence) {
        let id = sentence.id;
        let mut started = false;
        let mut heard = self.say_once(sentence, &mut started);
        if started && matches!(heard, Err(VoiceError::Loudspeaker { .. })) {
            // The device broke off. Where it, or another, opens at once, the sentence is said again from its beginning:
            // half a number must not pass for a whole one.
            heard = self.say_once(sentence, &mut started);
        }
        match heard {
            Ok(interruption) => self.mouth.tell(VoiceEvent::Ended {
                id,
                cut: interruption.is_some(),
            }),
            Err(error) => self.mouth.fail(id, error),
        }
    }

    fn say_once(
        &mut self,
        sentence: &Sentence,
        started: &mut bool,
    ) -> Result<Option<Interruption>, VoiceError> {
        self.mouth.hand_over(sentence, started)?;
        self.wait_until_heard()
    }

    fn play_cue(&mut self, cue: Cue) {
        if self.mouth.begin_cue(cue) {
            let heard = self.wait_until_heard();
            if let Err(error) = &heard {
                self.mouth.tell_lost(error);
            }
            self.mouth.tell(VoiceEvent::CueEnded { cue });
        }
    }

    /// Waits for the end of the sound, taking orders meanwhile.
    fn wait_until_heard(&mut self) -> Result<Option<Interruption>, VoiceError> {
        loop {
            if !self.mouth.silencer.is_silent() && self.mouth.output.remaining_ms()? == 0 {
                return Ok(None);
            }
            match self.orders.recv_timeout(POLL) {
                Ok(order) => {
                    if let Some(interruption) = self.take(order) {
                        return Ok(Some(interruption));
                    }
                }
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => {
                    self.closed = true;
                    return Ok(Some(Interruption::Stopped));
                }
            }
        }
    }
}
