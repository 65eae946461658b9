//! What an utterance means for the dialogue: whether it was the program's own voice, whether it is whole, who said it,
//! and what is asked where it was not understood, or only nearly.
//!
//! Invariant: nothing is entered here; what is understood goes to [`Talk::take`] as one input.

use super::{
    By, Cue, Cut, End, Intent, Line, Person, Phrase, Said, Situation, Talk, Under, Unheard,
};
use crate::app::close_call::{self, CloseCall};
use crate::app::turn::is_echo;
use crate::app::understand::{self, Understood};
use crate::record::event::Proposed;
use crate::session::{Slot, reply};
use crate::speech::listener::Heard;
use crate::voice::HeardTone;

/// Of an interruption that a person spoke the echo canceller took 1.3 dB at most (docs/conversation.md); where it took
/// three quarters of the energy, the word is what was left of the program's own voice.
const OWN_VOICE_DB: f32 = 6.0;

/// Where what the loudspeaker played explains more than this share of it, it is the program's own voice though the
/// canceller did not take it out: of what a person spoke over a read-back 0.29 at most was explained, of the own voice
/// 0.78 and more (docs/conversation.md).
const OWN_VOICE_SHARE: f32 = 0.6;

/// Whether an interruption is what is left of the program's own voice.
pub fn is_own_voice(heard: &Heard) -> bool {
    heard.taken_out_db.is_some_and(|db| db > OWN_VOICE_DB)
        || heard
            .share_played
            .is_some_and(|share| share > OWN_VOICE_SHARE)
}

/// An utterance that the program's own voice cut counts as whole after this silence: the first pause that ends one.
const WHOLE_AFTER_MS: u64 = 256;

impl Talk {
    /// The tone at the end of speech, before anything is recognised. None where nobody is listened to, nor where it
    /// would come late, after what is being said.
    pub(super) fn hushed(&mut self) {
        let is_told = self.heard_tone == HeardTone::Silence
            && self.at_mouth.is_none()
            && !self.note.is_awaited()
            && self.desk.situation() != Situation::Asleep;
        if is_told {
            self.is_heard_told = true;
            self.mouth.cue(Cue::Heard);
        }
    }

    /// The same tone after recognition, where it has not sounded before.
    pub(super) fn understood(&mut self) {
        if !self.is_heard_told {
            self.mouth.cue(Cue::Heard);
        }
    }

    /// An utterance came from the listener.
    pub fn hear(&mut self, heard: &Heard) -> Vec<Line> {
        let person = self.next_person.take().unwrap_or(self.person);
        self.hear_from(heard, person)
    }

    /// The same, from a person who is known.
    pub fn hear_from(&mut self, heard: &Heard, person: Person) -> Vec<Line> {
        let sounds_like = std::mem::take(&mut self.next_sounds_like);
        let by = By {
            person,
            sounds_like,
        };
        if heard.under == Under::Session
            && let Some(tooth) = self.note.take()
        {
            return self.keep_note(tooth, heard, by);
        }
        if heard.end == End::Cut
            && heard.under == Under::Session
            && heard.latency.silence_ms < WHOLE_AFTER_MS
        {
            // The program began to speak in the middle of it: half a reading looks like a whole one.
            return self.missed_some();
        }
        let situation = match heard.under {
            Under::Session => self.desk.situation(),
            Under::Interruptions => Situation::Speaking,
        };
        let species = self.desk.record().patient.species;
        let lacking = self.desk.lacking();
        let grammar = self.desk.grammar();
        let lacking = lacking.as_deref();
        let understood =
            understand::understand(grammar, &heard.hearing, lacking, situation, species);
        if situation == Situation::Table {
            if let Some(lines) = self.answer_offer(&understood, by) {
                return lines;
            }
            if let Some(lines) = self.answer_close_call(&understood, by) {
                return lines;
            }
            let call = close_call::find(self.desk.grammar(), &heard.hearing, situation, species);
            if let Some(call) = call {
                return self.ask_close_call(call);
            }
        }
        match understood {
            // The same at its other end: "buccal three oh four" without its first word is a tooth. What only a whole
            // sentence can mean is whole.
            Understood::Said { intents, .. }
                if heard.is_headless && !intents.iter().all(is_command) =>
            {
                self.missed_some()
            }
            Understood::Said {
                intents,
                words,
                confidence,
            } => {
                if heard.under == Under::Interruptions {
                    if is_own_voice(heard) || is_echo(&words, &self.spoken) {
                        return Vec::new();
                    }
                    // Whatever it is, the read-back is over.
                    self.cut(Cut::Stopped);
                } else if self.turn.goes_on()
                    && self.begun.is_none()
                    && intents.iter().any(speaks_of_the_read_back)
                {
                    self.cut(Cut::Stopped);
                }
                self.understood();
                let mut lines = vec![Line::Heard {
                    words: words.join(" "),
                    confidence,
                }];
                let heard = by.sign(understand::heard(&words, confidence, &self.engine));
                let intents = self.of_person(intents, person);
                lines.extend(self.take(Said { intents, heard }));
                lines
            }
            Understood::Nothing { why, nearest } => {
                if why == Unheard::NoSpeech
                    || situation == Situation::Asleep
                    || situation == Situation::Speaking
                {
                    return Vec::new();
                }
                // One quiet tone; a spoken answer to every cough would be worse than none.
                let (words, near) = self.nearest_to(&heard.hearing, why);
                let mut lines = vec![Line::Unheard {
                    why,
                    nearest,
                    heard: words,
                    near,
                }];
                let is_offered = situation == Situation::Table && why == Unheard::Unclear;
                if is_offered && let Some(offered) = self.offer(&heard.hearing, by) {
                    lines.extend(offered);
                    return lines;
                }
                if why == Unheard::OutOfGrammar && situation == Situation::Table {
                    let refused = by.sign(understand::heard(&[], 0.0, &self.engine));
                    lines.extend(self.keep_refused(&heard.hearing, refused));
                }
                if situation == Situation::Question || why == Unheard::Unclear {
                    self.mouth.cue(Cue::Question);
                }
                if situation == Situation::Question {
                    lines.extend(self.ask_again());
                } else if why == Unheard::Unclear {
                    lines.extend(self.failed_again().unwrap_or_default());
                }
                lines
            }
        }
    }

    /// Part of what was said fell into what the program said: nothing of it is entered, and that is told.
    pub(super) fn missed_some(&mut self) -> Vec<Line> {
        let mut lines = vec![Line::Unheard {
            why: Unheard::Unclear,
            nearest: None,
            heard: String::new(),
            near: Vec::new(),
        }];
        lines.extend(self.say_all(vec![Phrase::new("overrun")]));
        lines
    }

    /// The nurse confirms what was read back last, by its number, and answers no question about a decision.
    pub(super) fn of_person(&self, intents: Vec<Intent>, person: Person) -> Vec<Intent> {
        if person != Person::Nurse {
            return intents;
        }
        let has_question = self.desk.record().open_challenge().is_some();
        intents
            .into_iter()
            .map(|intent| match intent {
                Intent::Confirm if !has_question => {
                    Intent::ConfirmReadBack(self.read_backs.last().to_vec())
                }
                intent => intent,
            })
            .collect()
    }

    /// Whether the nurse says yes to what only the vet decides.
    pub(super) fn is_for_the_vet(&self, said: &Said) -> bool {
        said.heard.speaker == Person::Nurse
            && said
                .intents
                .iter()
                .any(|intent| matches!(intent, Intent::Confirm | Intent::CloseAndStage))
            && self
                .desk
                .record()
                .open_challenge()
                .is_some_and(|challenge| {
                    matches!(
                        challenge.proposed,
                        Proposed::Decision { .. }
                            | Proposed::Decisions { .. }
                            | Proposed::MouthDecision(_)
                            | Proposed::Stage { .. }
                            | Proposed::Procedure(_)
                            | Proposed::Stands { .. }
                    )
                })
    }

    pub(super) fn ask_close_call(&mut self, call: CloseCall) -> Vec<Line> {
        let mut lines = vec![Line::Unheard {
            why: Unheard::Unclear,
            nearest: Some(call.options[0].sentence()),
            heard: String::new(),
            near: call
                .options
                .iter()
                .map(close_call::Choice::sentence)
                .collect(),
        }];
        self.mouth.cue(Cue::Question);
        let mut phrase = Phrase::new("either")
            .with("one", Slot::Text(call.options[0].word.clone()))
            .with("other", Slot::Text(call.options[1].word.clone()));
        phrase.is_question = true;
        match self.failed_again() {
            None => {
                self.misheard.ask(call);
                lines.extend(self.say_all(vec![phrase]));
            }
            // The question did not help the last time.
            Some(more) => lines.extend(more),
        }
        lines
    }

    /// "five", after "five, or nine?". Anything else ends the question and is heard as what it is.
    pub(super) fn answer_close_call(
        &mut self,
        understood: &Understood,
        by: By,
    ) -> Option<Vec<Line>> {
        let (words, confidence) = match understood {
            Understood::Said {
                words, confidence, ..
            } => (Some(words.as_slice()), *confidence),
            Understood::Nothing { .. } => (None, 0.0),
        };
        let option = self.misheard.answer(words)?;
        self.understood();
        let heard = by.sign(understand::heard(&option.words, confidence, &self.engine));
        let mut lines = vec![Line::Heard {
            words: option.sentence(),
            confidence,
        }];
        lines.extend(self.take(Said {
            intents: option.intents,
            heard,
        }));
        Some(lines)
    }

    /// Something was said while a question waits, and it was no answer: perhaps the question was not heard.
    pub(super) fn ask_again(&mut self) -> Vec<Line> {
        if !self.misheard.failed() {
            return Vec::new();
        }
        let question = self.open_question();
        self.say_all(question.into_iter().collect())
    }

    /// The question that waits for its answer, as a phrase.
    pub(super) fn open_question(&self) -> Option<Phrase> {
        self.desk
            .record()
            .open_challenge()
            .map(|challenge| reply::question(challenge.question.clone()))
    }

    /// Counts a failure; after so many in a row another way is offered.
    pub(super) fn failed_again(&mut self) -> Option<Vec<Line>> {
        self.misheard
            .failed()
            .then(|| self.say_all(vec![Phrase::new("digit_by_digit")]))
    }
}

/// Whoever says so has heard enough of what is being read back.
fn speaks_of_the_read_back(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::Deny | Intent::Undo | Intent::Correct(_) | Intent::StopSpeaking
    )
}

/// What enters no value and moves to no tooth.
fn is_command(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::Confirm
            | Intent::ConfirmEverything
            | Intent::Deny
            | Intent::Undo
            | Intent::Repeat
            | Intent::Ask(_)
            | Intent::StopSpeaking
            | Intent::PauseListening
            | Intent::Listen
            | Intent::SetPace(_)
    )
}
