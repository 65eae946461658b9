//! The dialogue: hearings and presses to the desk, its phrases to the mouth when their turn comes, and back what was
//! said to its end. Used alike for files, for the live table, for the page alone and for rehearsals in simulated time.
//! What is done when the disk fails is in `failing`, spoken notes are in `note`, what was not understood in `misheard`.
//!
//! Invariants: the tone "saved" and every read-back come after the commit; a phrase that was cut is not read back,
//! nor is one that ended while somebody had already begun to answer. All times are those of the sound, told by
//! [`Talk::at`]: what is decided does not depend on how busy the machine is.

mod almost;
mod failing;
mod misheard;
mod note;
mod read_backs;
mod troubles;

use std::sync::Arc;

use super::close_call::{self, CloseCall};
use super::desk::{Desk, DeskError, Opening, Taken};
use super::monitor;
use super::turn::{Cut, Turn, is_echo};
use super::understand::{self, Understood};
use crate::grammar::intent::Pace;
use crate::grammar::{Intent, Situation};
use crate::record::event::{How, Proposed, Speaker as Person, Telling};
use crate::record::{Entry, Event, Heard as HeardBy, Record, Standing};
use crate::session::{Phrase, Rules, Said, Slot, Wish, reply};
use crate::speech::activity::End;
use crate::speech::listener::{Heard, ListenEvent, Under};
use crate::speech::{EngineIdentity, Unheard, WordGraph};
use crate::voice::{Cue, HeardTone, Priority, SayId, Speaker, VoiceEvent, wording};
use misheard::Misheard;
use note::NoteTaking;
use read_backs::{Ended, ReadBacks};
use troubles::Troubles;

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

/// One thing that happened, for the terminal and the page.
#[derive(Debug, Clone, PartialEq)]
pub enum Line {
    /// These words were heard and have a meaning.
    Heard { words: String, confidence: f32 },
    /// Speech, but nothing to enter.
    Unheard {
        why: Unheard,
        /// The nearest sentence, as the engine has it.
        nearest: Option<String>,
        /// What was heard, whatever it means; empty where that is not known.
        heard: String,
        /// The nearest ways of saying something, for the page.
        near: Vec<String>,
    },
    /// What was pressed or typed.
    Pressed(String),
    /// Facts are in the journal; values among them.
    Saved { facts: usize, values: usize },
    /// The program begins to say this.
    Says(String),
    /// It was said to its end.
    Said(String),
    /// This was not saved: what was said, and why.
    NotSaved { words: String, why: String },
    /// Something that the person should know.
    Trouble(String),
}

/// What speaks for the program.
pub trait Mouth: Send {
    /// Says the phrases as one sentence; tells the end of it by a [`VoiceEvent`].
    fn say(&self, id: SayId, phrases: Vec<String>, priority: Priority);
    fn cue(&self, cue: Cue);
    /// Is silent at once, and forgets what waits.
    fn stop(&self);
    /// It shows what it is given, and all of it at once: there is no sound to wait for.
    fn shows(&self) -> bool {
        false
    }
}

/// A mouth without sound: what is said stands on the page.
#[derive(Debug, Clone, Copy)]
pub struct ShowingMouth;

impl Mouth for ShowingMouth {
    fn say(&self, _id: SayId, _phrases: Vec<String>, _priority: Priority) {}

    fn cue(&self, _cue: Cue) {}

    fn stop(&self) {}

    fn shows(&self) -> bool {
        true
    }
}

impl Mouth for Speaker {
    fn say(&self, id: SayId, phrases: Vec<String>, priority: Priority) {
        Self::say(self, id, phrases, priority);
    }

    fn cue(&self, cue: Cue) {
        Self::cue(self, cue);
    }

    fn stop(&self) {
        Self::stop(self);
    }
}

/// An utterance that the program's own voice cut counts as whole after this silence: the first pause that ends one.
const WHOLE_AFTER_MS: u64 = 256;

pub struct Talk {
    desk: Desk,
    mouth: Box<dyn Mouth>,
    engine: EngineIdentity,
    turn: Turn,
    /// Time of the sound, milliseconds.
    now_ms: u64,
    next_id: u64,
    /// The phrase at the mouth.
    at_mouth: Option<SayId>,
    /// What was begun last, in words.
    spoken: String,
    read_backs: ReadBacks,
    misheard: Misheard,
    note: NoteTaking,
    troubles: Troubles,
    /// Who speaks where nothing tells.
    person: Person,
    /// Who speaks next, by key.
    next_person: Option<Person>,
    /// Whose voice the next utterance is like.
    next_sounds_like: Person,
    heard_tone: HeardTone,
    /// The tone for what is being said has sounded.
    is_heard_told: bool,
    /// The question that is open made no sound: no "confirm" can be its answer.
    is_question_silent: bool,
    /// The answer to the newest input, in writing: whether it was said already or waits for its turn.
    answered: Vec<String>,
    /// Which readings of the monitor are kept.
    keeper: monitor::Keeper,
}

/// Who spoke, as far as that is known.
#[derive(Debug, Clone, Copy)]
struct By {
    person: Person,
    sounds_like: Person,
}

impl By {
    fn sign(self, heard: HeardBy) -> HeardBy {
        HeardBy {
            speaker: self.person,
            sounds_like: self.sounds_like,
            ..heard
        }
    }
}

impl Talk {
    pub fn new(desk: Desk, mouth: impl Mouth + 'static, engine: EngineIdentity) -> Self {
        Self {
            desk,
            mouth: Box::new(mouth),
            engine,
            turn: Turn::default(),
            now_ms: 0,
            next_id: 0,
            at_mouth: None,
            spoken: String::new(),
            read_backs: ReadBacks::default(),
            misheard: Misheard::default(),
            note: NoteTaking::default(),
            troubles: Troubles::default(),
            person: Person::Unknown,
            next_person: None,
            next_sounds_like: Person::Unknown,
            heard_tone: HeardTone::default(),
            is_heard_told: false,
            is_question_silent: false,
            answered: Vec::new(),
            keeper: monitor::Keeper::default(),
        }
    }

    /// The time of the sound at which what is told next happened, in milliseconds. Never goes back.
    pub fn at(&mut self, ms: u64) {
        self.now_ms = self.now_ms.max(ms);
    }

    /// Nothing is being said, waits to be said, or was said and waits to be counted.
    pub fn is_settled(&self) -> bool {
        self.turn.is_idle() && self.read_backs.is_settled()
    }

    pub fn now_ms(&self) -> u64 {
        self.now_ms
    }

    /// When the tone comes that says that somebody was heard.
    pub fn with_heard_tone(mut self, heard_tone: HeardTone) -> Self {
        self.heard_tone = heard_tone;
        self
    }

    /// How much is read back aloud.
    pub fn with_pace(mut self, pace: Pace) -> Self {
        self.turn.set_pace(pace);
        self
    }

    /// Who speaks where no channel and no key tells.
    pub fn with_person(mut self, person: Person) -> Self {
        self.person = person;
        self
    }

    pub fn desk(&mut self) -> &mut Desk {
        &mut self.desk
    }

    pub fn mouth(&self) -> &dyn Mouth {
        self.mouth.as_ref()
    }

    pub fn turn(&self) -> &Turn {
        &self.turn
    }

    /// What may be heard next.
    pub fn graph(&mut self) -> Arc<WordGraph> {
        let situation = self.desk.situation();
        self.desk.graph(situation)
    }

    /// What may be heard while the program speaks.
    pub fn interruptions(&mut self) -> Arc<WordGraph> {
        self.desk.graph(Situation::Speaking)
    }

    /// The next utterance is this person's.
    pub fn next_is(&mut self, person: Person) {
        self.next_person = Some(person);
    }

    /// The next utterance sounds like this person: a hint to be kept.
    pub fn next_sounds_like(&mut self, person: Person) {
        self.next_sounds_like = person;
    }

    /// The listener tells something.
    pub fn listen(&mut self, event: &ListenEvent) -> Vec<Line> {
        let now_ms = self.now_ms;
        match event {
            ListenEvent::SpeechStarted {
                at_ms,
                under: Under::Session,
            } => {
                self.turn.speech_started(*at_ms);
                let lines = self.count_due();
                // Whoever speaks has the word. Only where the program does not hear itself does this come while it
                // speaks; a question is finished, since it is short and the answer to it must not be guessed.
                if self.turn.saying().is_some_and(|phrase| !phrase.is_question) {
                    self.cut(Cut::SpokenOver);
                }
                lines
            }
            ListenEvent::SpeechStarted { .. } => Vec::new(),
            ListenEvent::Hushed => {
                self.hushed();
                Vec::new()
            }
            ListenEvent::SpeechDismissed => {
                self.is_heard_told = false;
                self.turn.speech_ended(now_ms);
                self.count_said()
            }
            ListenEvent::Heard(heard) => {
                let mut lines = self.hear(heard);
                self.is_heard_told = false;
                if heard.end != End::TooLong {
                    self.turn.speech_ended(now_ms);
                }
                lines.extend(self.count_said());
                lines
            }
            ListenEvent::Failed(error) => {
                self.turn.sound_broke_off(now_ms);
                let mut lines = vec![Line::Trouble(error.to_string())];
                lines.extend(self.say_all(vec![Phrase::new("not_recognised")]));
                lines
            }
            ListenEvent::Overrun {
                frames,
                utterance_lost,
            } => {
                self.turn.sound_broke_off(now_ms);
                let mut lines = vec![Line::Trouble(format!(
                    "the machine was too slow: {frames} frames of sound were lost"
                ))];
                if *utterance_lost {
                    lines.extend(self.say_all(vec![Phrase::new("overrun")]));
                }
                lines
            }
            ListenEvent::Lost { device, why, .. } => {
                self.turn.sound_broke_off(now_ms);
                let mut lines = vec![Line::Trouble(format!("microphone {device} is lost: {why}"))];
                lines.extend(self.say_all(vec![Phrase::new("microphone_lost")]));
                lines
            }
            ListenEvent::Found { device } => {
                let mut lines = vec![Line::Trouble(format!("microphone {device} is there again"))];
                lines.extend(self.say_all(vec![Phrase::new("microphone_found")]));
                lines
            }
            ListenEvent::HeardUpTo { .. }
            | ListenEvent::GraphSet { .. }
            | ListenEvent::Partial(_)
            | ListenEvent::Level(_)
            | ListenEvent::Ended => Vec::new(),
        }
    }

    /// The tone at the end of speech, before anything is recognised. None where nobody is listened to, nor where it
    /// would come late, after what is being said.
    fn hushed(&mut self) {
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
    fn understood(&mut self) {
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
    fn missed_some(&mut self) -> Vec<Line> {
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
    fn of_person(&self, intents: Vec<Intent>, person: Person) -> Vec<Intent> {
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
    fn is_for_the_vet(&self, said: &Said) -> bool {
        said.heard.speaker == Person::Nurse
            && said.intents.contains(&Intent::Confirm)
            && self
                .desk
                .record()
                .open_challenge()
                .is_some_and(|challenge| {
                    matches!(
                        challenge.proposed,
                        Proposed::Decision { .. }
                            | Proposed::Procedure(_)
                            | Proposed::Stands { .. }
                    )
                })
    }

    fn ask_close_call(&mut self, call: CloseCall) -> Vec<Line> {
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
    fn answer_close_call(&mut self, understood: &Understood, by: By) -> Option<Vec<Line>> {
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
    fn ask_again(&mut self) -> Vec<Line> {
        if !self.misheard.failed() {
            return Vec::new();
        }
        let question = self.open_question();
        self.say_all(question.into_iter().collect())
    }

    /// The question that waits for its answer, as a phrase.
    fn open_question(&self) -> Option<Phrase> {
        self.desk
            .record()
            .open_challenge()
            .map(|challenge| reply::question(challenge.question.clone()))
    }

    /// Counts a failure; after so many in a row another way is offered.
    fn failed_again(&mut self) -> Option<Vec<Line>> {
        self.misheard
            .failed()
            .then(|| self.say_all(vec![Phrase::new("digit_by_digit")]))
    }

    /// The next patient, once the visit before is finished and nothing is being said any more: what is said to its
    /// end would count as read back in the wrong visit.
    pub fn begin(&mut self, opening: Opening, heard: &HeardBy) -> Result<Vec<Line>, DeskError> {
        let begun = self.desk.begin(opening, heard);
        let phrases = match begun {
            Ok(phrases) => phrases,
            Err(DeskError::Journal(failure)) => {
                self.storage_failed(&failure);
                return Err(failure.into());
            }
            Err(other) => return Err(other),
        };
        self.forget();
        let mut lines = vec![
            Line::Pressed("the next patient".to_owned()),
            Line::Saved {
                facts: 1,
                values: 0,
            },
        ];
        lines.extend(self.say_all(phrases));
        Ok(lines)
    }

    /// Goes on with another visit that was left open; none where it is finished.
    pub fn go_on(&mut self, visit: uuid::Uuid) -> Result<Option<Vec<Line>>, DeskError> {
        let Some(phrases) = self.desk.go_on(visit)? else {
            return Ok(None);
        };
        self.forget();
        Ok(Some(self.say_all(phrases)))
    }

    /// What belongs to one visit alone.
    fn forget(&mut self) {
        self.turn.clear();
        self.read_backs.forget();
        self.misheard = Misheard::default();
        self.note = NoteTaking::default();
        self.is_question_silent = false;
    }

    /// Time has passed: says what is due.
    pub fn remind(&mut self) -> Vec<Line> {
        let taken = self.desk.remind();
        // A tone over somebody's words would be lost, or take a word with it.
        if taken.is_vitals_tone && !self.turn.person_speaks() && self.at_mouth.is_none() {
            self.mouth.cue(Cue::VitalsDue);
        }
        if taken.phrases.is_empty() && taken.not_saved.is_none() {
            return Vec::new();
        }
        self.answer(taken, true)
    }

    /// A monitor sent something. Its readings are shown and marked, never said: nobody is there to answer.
    pub fn monitor(&mut self, sent: monitor::Sent) -> Vec<Line> {
        match self.keeper.take(sent, self.desk.record(), self.now_ms) {
            monitor::Kept::Nothing => Vec::new(),
            monitor::Kept::Told(text) => vec![Line::Trouble(text)],
            monitor::Kept::Draft(draft) => {
                let words = crate::record::wording::event(&draft.event);
                match self.desk.append(*draft, words) {
                    None => vec![Line::Saved {
                        facts: 1,
                        values: 1,
                    }],
                    Some(not_saved) => self.not_saved(not_saved),
                }
            }
        }
    }

    /// Something was pressed on the page or a key.
    pub fn press(&mut self, intents: Vec<Intent>, person: Person) -> Vec<Line> {
        let heard = HeardBy {
            confidence: 1.0,
            how: How::Pressed,
            speaker: person,
            ..HeardBy::default()
        };
        self.press_said(Said { intents, heard })
    }

    /// The same with all that is known of the press.
    pub fn press_said(&mut self, said: Said) -> Vec<Line> {
        self.misheard.forget_question();
        let mut lines = vec![Line::Pressed(format!("{:?}", said.intents))];
        lines.extend(self.take(said));
        lines
    }

    fn take(&mut self, said: Said) -> Vec<Line> {
        if let Some(lines) = self.answer_trouble(&said) {
            return lines;
        }
        if self.is_for_the_vet(&said) {
            return self.say_all(vec![Phrase::new("vet_decides")]);
        }
        let is_spoken = said.heard.how == How::Spoken;
        if self.is_question_silent && is_spoken && said.intents.contains(&Intent::Confirm) {
            self.is_question_silent = false;
            let question = self.open_question();
            let mut phrases = vec![Phrase::new("not_heard_question")];
            phrases.extend(question);
            return self.say_all(phrases);
        }
        let taken = self.desk.take(&said);
        let mut failed_again = Vec::new();
        let is_denial = said
            .intents
            .iter()
            .any(|intent| matches!(intent, Intent::Deny | Intent::Correct(_)));
        if is_denial && taken.not_saved.is_none() {
            failed_again = self.failed_again().unwrap_or_default();
        } else if said.intents.iter().any(is_value_or_confirm) {
            self.misheard
                .understood(said.intents.contains(&Intent::Confirm));
        }
        let asked = said
            .intents
            .iter()
            .any(|intent| matches!(intent, Intent::Repeat | Intent::Ask(_) | Intent::Confirm));
        let mut lines = self.answer(taken, asked);
        lines.extend(failed_again);
        lines
    }

    /// Tones and phrases for what came of an input.
    fn answer(&mut self, taken: Taken, asked: bool) -> Vec<Line> {
        let mut lines = Vec::new();
        if taken
            .entries
            .iter()
            .any(|entry| matches!(entry.event, Event::Challenged { .. }))
        {
            self.is_question_silent = false;
        }
        // What must be told at least by a tone, where nothing is said of it.
        let is_told = taken.entries.iter().any(|entry| {
            entry.event.is_value()
                || matches!(
                    entry.event,
                    Event::Confirmed { .. } | Event::Retracted { .. } | Event::ToothChosen { .. }
                )
        });
        let values = taken
            .entries
            .iter()
            .filter(|entry| entry.event.is_value())
            .count();
        if !taken.entries.is_empty() {
            lines.push(Line::Saved {
                facts: taken.entries.len(),
                values,
            });
        }
        for entry in &taken.entries {
            match entry.event {
                Event::ListeningPaused => self.mouth.cue(Cue::ListeningOff),
                Event::ListeningResumed => self.mouth.cue(Cue::ListeningOn),
                _ => {}
            }
        }
        let mut phrases = taken.phrases;
        let is_finished = |entry: &Entry| matches!(entry.event, Event::VisitFinished);
        if taken.entries.iter().any(is_finished) {
            phrases.extend(self.losses_again());
        }
        self.answered = plain(&phrases, self.desk.rules());
        self.turn.push(self.desk.record(), phrases, asked);
        for wish in &taken.wishes {
            lines.extend(self.grant(wish));
        }
        if let Some(not_saved) = taken.not_saved {
            lines.extend(self.not_saved(not_saved));
        }
        let said = self.speak();
        // Where the read-back follows at once it says the same, and the tone would only delay it.
        if is_told && said.is_empty() {
            self.mouth.cue(Cue::Saved);
        }
        lines.extend(said);
        lines
    }

    /// Says phrases in their turn.
    pub fn say_all(&mut self, phrases: Vec<Phrase>) -> Vec<Line> {
        self.answered = plain(&phrases, self.desk.rules());
        self.turn.push(self.desk.record(), phrases, true);
        self.speak()
    }

    /// The answer to the newest input, in writing.
    pub fn answered(&self) -> &[String] {
        &self.answered
    }

    /// Says what may be said now. The loops call it after each event, and now and then, since a pause is an event too.
    pub fn speak(&mut self) -> Vec<Line> {
        let mut lines = self.count_due();
        for alarm in self.troubles.due(self.now_ms) {
            self.mouth.cue(Cue::NotSaved);
            self.turn.push_alarm(alarm);
        }
        if self.turn.must_give_way(self.now_ms) {
            self.cut(Cut::SpokenOver);
        }
        // A mouth that shows ends each phrase at once.
        while let Some(phrase) = self.turn.next(self.desk.record(), self.now_ms) {
            if !phrase.entries.is_empty() {
                self.desk.heard_back(&phrase.entries);
            }
            lines.push(Line::Says(phrase.plain(self.desk.rules())));
            if self.is_shown(&phrase) {
                lines.extend(self.ended(Telling::Shown));
                continue;
            }
            self.next_id += 1;
            let id = SayId(self.next_id);
            self.at_mouth = Some(id);
            let spoken = wording::spoken(&phrase, self.desk.rules());
            self.spoken = spoken.join(" ");
            let priority = if self.turn.is_saying_alarm() {
                Priority::Urgent
            } else {
                Priority::Ordinary
            };
            self.mouth.say(id, spoken, priority);
            break;
        }
        lines
    }

    /// By the pace chosen, values are shown; what asks for an answer is spoken wherever there is a voice.
    fn is_shown(&self, phrase: &Phrase) -> bool {
        let is_value = !phrase.entries.is_empty() && !phrase.is_question;
        self.mouth.shows() || (self.turn.pace() == Pace::Shown && is_value)
    }

    fn cut(&mut self, why: Cut) {
        if self.at_mouth.take().is_some() {
            self.mouth.stop();
        }
        if let Some(phrase) = self.turn.saying().cloned() {
            self.troubles.ended(&phrase, self.now_ms);
        }
        self.turn.cut(self.desk.record(), why);
    }

    fn grant(&mut self, wish: &Wish) -> Vec<Line> {
        match wish {
            Wish::StopSpeaking => {
                self.cut(Cut::Stopped);
                self.turn.clear();
                Vec::new()
            }
            Wish::SayBack { entries } => {
                self.turn.say_back(self.desk.record(), entries);
                Vec::new()
            }
            Wish::SetPace(pace) => {
                self.turn.set_pace(*pace);
                Vec::new()
            }
            Wish::TakeNote { tooth } => {
                self.note.await_for(*tooth);
                self.turn.push(
                    self.desk.record(),
                    vec![Phrase::new("note_recording")],
                    true,
                );
                Vec::new()
            }
            Wish::TellPlan => {
                let phrases = self.desk.tell_plan();
                self.say_all(phrases)
            }
            Wish::Compare { tooth } => {
                let phrases = self.desk.tell_comparison(*tooth);
                self.say_all(phrases)
            }
        }
    }

    /// The mouth tells how far it is.
    pub fn voice(&mut self, event: &VoiceEvent) -> Vec<Line> {
        match event {
            VoiceEvent::Ended { id, cut: false } if self.at_mouth == Some(*id) => {
                self.at_mouth = None;
                let mut lines = self.ended(Telling::Spoken);
                lines.extend(self.speak());
                lines
            }
            // Cut by somebody else than this conversation: silence is no read-back.
            VoiceEvent::Ended { id, cut: true } if self.at_mouth == Some(*id) => {
                self.cut(Cut::Stopped);
                self.speak()
            }
            VoiceEvent::Failed { id, error } => {
                let why = error.to_string();
                let mut lines = vec![Line::Trouble(why.clone())];
                if self.at_mouth == Some(*id) {
                    self.at_mouth = None;
                    lines.extend(self.silent(&why));
                    lines.extend(self.speak());
                }
                lines
            }
            VoiceEvent::NoLoudspeaker { error } => vec![Line::Trouble(error.to_string())],
            VoiceEvent::LoudspeakerFound => {
                for phrase in self.read_backs.silent() {
                    if phrase.entries.is_empty() {
                        self.turn.push(self.desk.record(), vec![phrase], true);
                    } else {
                        self.turn.say_back(self.desk.record(), &phrase.entries);
                    }
                }
                self.speak()
            }
            _ => Vec::new(),
        }
    }

    /// What was being told has come to its end.
    fn ended(&mut self, by: Telling) -> Vec<Line> {
        let Some(phrase) = self.turn.said() else {
            return Vec::new();
        };
        self.troubles.ended(&phrase, self.now_ms);
        let mut lines = vec![Line::Said(phrase.plain(self.desk.rules()))];
        self.read_backs.ended(phrase, by, self.now_ms);
        lines.extend(self.count_due());
        lines
    }

    /// What was being told made no sound, or not all of its sound: it stands on the screen, and nobody heard it.
    fn silent(&mut self, why: &str) -> Vec<Line> {
        let was_alarm = self.turn.is_saying_alarm();
        let Some(phrase) = self.turn.said() else {
            return Vec::new();
        };
        self.troubles.ended(&phrase, self.now_ms);
        self.is_question_silent |= phrase.is_question;
        let not_saved = self.desk.not_heard(&phrase, why);
        // An alarm comes again by itself.
        if !was_alarm {
            self.read_backs.was_silent(phrase);
        }
        match not_saved {
            None => Vec::new(),
            Some(not_saved) => self.not_saved(not_saved),
        }
    }

    /// Nobody speaks any more: what ended meanwhile counts now, and the turn goes on.
    fn count_said(&mut self) -> Vec<Line> {
        let mut lines = Vec::new();
        if !self.turn.person_speaks() {
            for ended in self.read_backs.all() {
                lines.extend(self.count(&ended));
            }
            lines.extend(self.speak());
        }
        lines
    }

    /// What has ended long enough ago that nobody can have begun to speak before its end.
    fn count_due(&mut self) -> Vec<Line> {
        let due = self.read_backs.due(&self.turn, self.now_ms);
        due.iter().flat_map(|ended| self.count(ended)).collect()
    }

    fn count(&mut self, ended: &Ended) -> Vec<Line> {
        let not_saved = self.desk.told(&ended.phrase, ended.by);
        self.read_backs.counted(self.desk.record(), &ended.phrase);
        match not_saved {
            None => Vec::new(),
            Some(not_saved) => self.not_saved(not_saved),
        }
    }

    /// Values that stand and were never said to their end.
    pub fn unsaid(record: &Record) -> usize {
        record
            .unconfirmed()
            .filter(|charted| charted.standing == Standing::Heard)
            .count()
    }
}

fn plain(phrases: &[Phrase], rules: &Rules) -> Vec<String> {
    phrases.iter().map(|phrase| phrase.plain(rules)).collect()
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

/// Whether an intent shows that the person was understood: the count of failures may begin anew.
fn is_value_or_confirm(intent: &Intent) -> bool {
    !matches!(
        intent,
        Intent::Deny | Intent::Undo | Intent::Correct(_) | Intent::StopSpeaking
    )
}

#[cfg(test)]
mod almost_tests;
#[cfg(test)]
mod tests;
