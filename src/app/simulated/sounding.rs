//! Time and sound at the table: what is said takes time and reaches the program, what the program says reaches the
//! people.

use rand::RngExt;

use super::manner::Span;
use super::meant::words;
use super::person::{PATIENCE_MS, Table};
use crate::grammar::sample;
use crate::record::event::Speaker as Person;
use crate::speech::activity::End;
use crate::speech::listener::{Heard, Latency, ListenEvent, Under};
use crate::speech::{Hearing, Unheard, Utterance};
use crate::voice::{Cue, VoiceEvent};

impl Table<'_> {
    /// Somebody talks about something else.
    pub(super) fn chatter(&mut self) {
        if !self.random.random_bool(self.room.chatter) {
            return;
        }
        let situation = self.talk.desk().situation();
        let command = sample::utterance(
            self.talk.desk().grammar().book(),
            situation,
            2,
            &mut self.random,
        );
        self.note(&format!("(chatter, like {})", command.join(" ")));
        let hearing = self.room.ears.overhear(command, &mut self.random);
        self.utter(2_500, hearing);
        self.wait_until_quiet();
    }

    /// Says words; tells whether a tone showed that they were taken.
    pub(super) fn say(&mut self, said: &[String], person: Person) -> bool {
        self.outcome.utterances += 1;
        self.note(&format!("> {}", said.join(" ")));
        self.last_words = said.to_vec();
        let hearing = self.room.ears.hear(said, &mut self.random);
        if person == Person::Nurse {
            self.talk.next_is(Person::Nurse);
        }
        self.stage.cues();
        self.utter(said.len() as u64 * self.room.manner.word_ms, hearing);
        self.cues = self.stage.cues();
        self.cues.contains(&Cue::Heard)
    }

    /// The sound of an utterance goes by, and its result comes.
    fn utter(&mut self, ms: u64, hearing: Hearing) {
        let is_guarded = self.room.hears_itself && self.stage.is_speaking();
        let started_ms = self.stage.now_ms();
        if let Some(phrase) = self.talk.turn().saying() {
            self.over.insert(phrase.entries.clone());
        }
        let under = if is_guarded {
            Under::Interruptions
        } else {
            Under::Session
        };
        self.listen(&ListenEvent::SpeechStarted {
            at_ms: started_ms,
            under,
        });
        self.run(ms + self.room.decision_ms);
        let mut hearing = hearing;
        let is_interruption = hearing.hypotheses.first().is_some_and(|best| {
            [&["no"][..], &["undo"], &["stop"]]
                .iter()
                .any(|words| best.words == *words)
        });
        if is_guarded && !is_interruption {
            hearing.unheard = Some(Unheard::OutOfGrammar);
        }
        self.listen(&ListenEvent::Heard(Box::new(Heard {
            hearing,
            utterance: Utterance {
                samples: Vec::new(),
                start_ms: started_ms,
            },
            started_ms,
            end: End::Pause,
            under,
            is_headless: false,
            taken_out_db: None,
            share_played: None,
            latency: Latency {
                silence_ms: 256,
                waited_ms: 180.0,
                recognition_ms: 180.0,
                attempts: 1,
            },
        })));
    }

    fn listen(&mut self, event: &ListenEvent) {
        self.talk.at(self.stage.now_ms());
        self.talk.listen(event);
        self.deliver();
    }

    /// The mouth's events reach the talk; what was said to its end reaches the people.
    pub(super) fn deliver(&mut self) {
        self.talk.at(self.stage.now_ms());
        loop {
            let events = self.stage.events();
            if events.is_empty() {
                break;
            }
            for event in events {
                let phrase = self.talk.turn().saying().cloned();
                let is_whole = matches!(event, VoiceEvent::Ended { cut: false, .. });
                self.talk.voice(&event);
                if let (true, Some(phrase)) = (is_whole, phrase) {
                    self.heard.push(phrase);
                }
            }
        }
        self.talk.speak();
    }

    /// Lets time pass.
    pub(super) fn run(&mut self, ms: u64) {
        let until = self.stage.now_ms() + ms;
        while self.stage.now_ms() < until {
            let now_ms = self.stage.now_ms();
            let step = if self.talk.turn().is_idle() {
                until
            } else {
                now_ms + 100
            };
            let next = self
                .stage
                .next_end_ms()
                .unwrap_or(until)
                .min(step)
                .min(until);
            self.stage.advance_to(next.max(now_ms + 1).min(until));
            self.deliver();
            self.reminded();
        }
    }

    /// Once a second, as at the table: what time alone brings up.
    fn reminded(&mut self) {
        let now_ms = self.stage.now_ms();
        if self.room.watch.is_none() || now_ms < self.nurse.looked_ms + 1_000 {
            return;
        }
        self.nurse.looked_ms = now_ms;
        self.talk.remind();
        self.deliver();
        self.nurse.is_reminded |= self.stage.has_cue(Cue::VitalsDue);
    }

    pub(super) fn pass(&mut self, range: Span) {
        let ms = self.random.random_range(range);
        self.run(ms);
    }

    /// Waits until the program says nothing and has nothing more to say for now.
    pub(super) fn wait_until_quiet(&mut self) {
        let until = self.stage.now_ms() + PATIENCE_MS;
        let mut quiet_ms = 0;
        while self.stage.now_ms() < until && quiet_ms < self.room.manner.gap_ms {
            self.run(50);
            quiet_ms = if self.stage.is_speaking() {
                0
            } else {
                quiet_ms + 50
            };
        }
    }

    /// The same, but for those who cannot wait: "stop" in the middle of a read-back.
    pub(super) fn wait_for_read_back(&mut self) {
        self.stop_now_and_then();
        self.wait_until_quiet();
    }

    /// "Stop" in the middle of a read-back, now and then.
    pub(super) fn stop_now_and_then(&mut self) {
        if self.random.random_bool(self.room.impatience) {
            self.run(800);
            if self.stage.is_speaking() {
                self.say(&words("stop"), Person::Vet);
            }
        }
    }

    pub(super) fn note(&mut self, line: &str) {
        let at = self.stage.now_ms() as f64 / 1000.0;
        self.outcome.log.push(format!("{at:8.2} {line}"));
    }
}
