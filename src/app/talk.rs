//! The conversation with sound: hearings and presses to the desk, its phrases to the mouth when their turn comes,
//! and back what was said to its end. Used alike for files, for the live table and for rehearsals in simulated time.
//!
//! Invariants: the tone "saved" and every read-back come after the commit; a phrase that was cut is not read back,
//! nor is one that ended while somebody had already begun to answer.

use std::sync::Arc;

use super::close_call::{self, CloseCall};
use super::desk::{Desk, DeskError, Opening, Taken};
use super::notes;
use super::turn::{Cut, Turn, is_echo};
use super::understand::{self, Understood};
use crate::grammar::intent::Pace;
use crate::grammar::{Intent, Situation};
use crate::record::event::{How, Proposed, Speaker as Person};
use crate::record::{Draft, Event, Heard as HeardBy, JournalError, Record, Standing};
use crate::session::{Phrase, Said, Slot, Wish, reply};
use crate::speech::activity::End;
use crate::speech::listener::{Heard, ListenEvent, Under};
use crate::speech::{EngineIdentity, Unheard, WordGraph};
use crate::terms::ToothNumber;
use crate::voice::{Cue, HeardTone, Priority, SayId, Speaker, VoiceEvent, wording};

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
        nearest: Option<String>,
    },
    /// What was pressed or typed.
    Pressed(String),
    /// Facts are in the journal; values among them.
    Saved { facts: usize, values: usize },
    /// The program begins to say this.
    Says(String),
    /// It was said to its end.
    Said(String),
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

/// Failures in a row after which another way is offered.
const FAILURES_MAX: u32 = 2;

pub struct Talk {
    desk: Desk,
    mouth: Box<dyn Mouth>,
    engine: EngineIdentity,
    turn: Turn,
    next_id: u64,
    /// The phrase at the mouth.
    at_mouth: Option<SayId>,
    /// What was begun last, in words.
    spoken: String,
    /// Said to its end, but somebody had begun to speak before that: counts only after their words.
    said_meanwhile: Vec<Phrase>,
    /// Values of the tooth that was read back last, as far as they were said to their end: what a nurse confirms.
    read_back_last: Vec<u64>,
    /// Two readings that were too close, until the answer.
    close_call: Option<CloseCall>,
    /// Utterances in a row from which nothing came that stands.
    failures: u32,
    /// Who speaks where nothing tells.
    person: Person,
    /// Who speaks next, by key.
    next_person: Option<Person>,
    /// Whose voice the next utterance is like.
    next_sounds_like: Person,
    heard_tone: HeardTone,
    /// The tone for what is being said has sounded.
    is_heard_told: bool,
    /// The next utterance is a note, whatever it says.
    note: Option<Option<ToothNumber>>,
    /// The utterance that could not be saved; entered again after the journal was opened afresh.
    unsaved: Option<Said>,
    /// Set while the journal refuses writing.
    is_shut: bool,
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
            next_id: 0,
            at_mouth: None,
            spoken: String::new(),
            said_meanwhile: Vec::new(),
            read_back_last: Vec::new(),
            close_call: None,
            failures: 0,
            person: Person::Unknown,
            next_person: None,
            next_sounds_like: Person::Unknown,
            heard_tone: HeardTone::default(),
            is_heard_told: false,
            note: None,
            unsaved: None,
            is_shut: false,
        }
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

    fn now_ms(&mut self) -> u64 {
        self.desk.clock().now().monotonic_ms
    }

    /// The listener tells something.
    pub fn listen(&mut self, event: &ListenEvent) -> Vec<Line> {
        let now_ms = self.now_ms();
        match event {
            ListenEvent::SpeechStarted {
                under: Under::Session,
                ..
            } => {
                self.turn.speech_started(now_ms);
                // Whoever speaks has the word. Only where the program does not hear itself does this come while it
                // speaks; a question is finished, since it is short and the answer to it must not be guessed.
                if self.turn.saying().is_some_and(|phrase| !phrase.is_question) {
                    self.cut(Cut::SpokenOver);
                }
                Vec::new()
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
                vec![Line::Trouble(error.to_string())]
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
            ListenEvent::GraphSet { .. }
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
            && self.note.is_none()
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
        let grammar = self.desk.grammar();
        let understood = understand::understand(grammar, &heard.hearing, situation, species);
        if situation == Situation::Table {
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
                let mut lines = vec![Line::Unheard { why, nearest }];
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
                    Intent::ConfirmReadBack(self.read_back_last.clone())
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
        }];
        self.mouth.cue(Cue::Question);
        let mut phrase = Phrase::new("either")
            .with("one", Slot::Text(call.options[0].word.clone()))
            .with("other", Slot::Text(call.options[1].word.clone()));
        phrase.is_question = true;
        self.close_call = Some(call);
        match self.failed_again() {
            None => lines.extend(self.say_all(vec![phrase])),
            // The question did not help the last time.
            Some(more) => {
                self.close_call = None;
                lines.extend(more);
            }
        }
        lines
    }

    /// "five", after "five, or nine?". Anything else ends the question and is heard as what it is.
    fn answer_close_call(&mut self, understood: &Understood, by: By) -> Option<Vec<Line>> {
        let call = self.close_call.take()?;
        let Understood::Said {
            words, confidence, ..
        } = understood
        else {
            // Nothing was understood: the question still stands.
            self.close_call = Some(call);
            return None;
        };
        let [word] = words.as_slice() else {
            return None;
        };
        let option = call.options.iter().find(|option| option.word == *word)?;
        self.understood();
        let heard = by.sign(understand::heard(&option.words, *confidence, &self.engine));
        let mut lines = vec![Line::Heard {
            words: option.sentence(),
            confidence: *confidence,
        }];
        lines.extend(self.take(Said {
            intents: option.intents.clone(),
            heard,
        }));
        Some(lines)
    }

    /// Something was said while a question waits, and it was no answer: perhaps the question was not heard.
    fn ask_again(&mut self) -> Vec<Line> {
        self.failures += 1;
        if self.failures < FAILURES_MAX {
            return Vec::new();
        }
        self.failures = 0;
        let question = self
            .desk
            .record()
            .open_challenge()
            .map(|challenge| reply::question(challenge.question.clone()));
        self.say_all(question.into_iter().collect())
    }

    /// Counts a failure; after so many in a row another way is offered.
    fn failed_again(&mut self) -> Option<Vec<Line>> {
        self.failures += 1;
        if self.failures < FAILURES_MAX {
            return None;
        }
        self.failures = 0;
        Some(self.say_all(vec![Phrase::new("digit_by_digit")]))
    }

    /// The next patient, once the visit before is finished and nothing is being said any more: what is said to its
    /// end would count as read back in the wrong visit.
    pub fn begin(&mut self, opening: Opening, heard: &HeardBy) -> Result<Vec<Line>, DeskError> {
        let phrases = self.desk.begin(opening, heard)?;
        self.turn.clear();
        self.said_meanwhile.clear();
        self.read_back_last.clear();
        self.close_call = None;
        self.failures = 0;
        self.note = None;
        self.unsaved = None;
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

    /// Time has passed: says what is due.
    pub fn remind(&mut self) -> Vec<Line> {
        let phrases = self.desk.remind();
        self.say_all(phrases)
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
        self.close_call = None;
        let mut lines = vec![Line::Pressed(format!("{:?}", said.intents))];
        lines.extend(self.take(said));
        lines
    }

    fn take(&mut self, said: Said) -> Vec<Line> {
        if self.is_shut {
            return vec![Line::Trouble(
                "nothing can be saved until the journal is open again".into(),
            )];
        }
        if self.is_for_the_vet(&said) {
            return self.say_all(vec![Phrase::new("vet_decides")]);
        }
        let taken = self.desk.take(&said);
        let mut failed_again = Vec::new();
        let is_denial = said
            .intents
            .iter()
            .any(|intent| matches!(intent, Intent::Deny | Intent::Correct(_)));
        if is_denial && taken.failure.is_none() {
            failed_again = self.failed_again().unwrap_or_default();
        } else if said.intents.iter().any(is_value_or_confirm) {
            self.failures = self
                .failures
                .min(u32::from(!said.intents.contains(&Intent::Confirm)));
        }
        let asked = said
            .intents
            .iter()
            .any(|intent| matches!(intent, Intent::Repeat | Intent::Ask(_) | Intent::Confirm));
        if taken.failure.is_some() {
            self.unsaved = Some(said);
        }
        let mut lines = self.answer(taken, asked);
        lines.extend(failed_again);
        lines
    }

    /// Tones and phrases for what came of an input.
    fn answer(&mut self, taken: Taken, asked: bool) -> Vec<Line> {
        let mut lines = Vec::new();
        if let Some(failure) = &taken.failure {
            self.is_shut = true;
            self.mouth.cue(Cue::NotSaved);
            lines.push(Line::Trouble(failure.to_string()));
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
        self.turn.push(self.desk.record(), taken.phrases, asked);
        for wish in &taken.wishes {
            lines.extend(self.grant(wish));
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
        self.turn.push(self.desk.record(), phrases, true);
        self.speak()
    }

    /// Says what may be said now. The loops call it after each event, and now and then, since a pause is an event too.
    pub fn speak(&mut self) -> Vec<Line> {
        let now_ms = self.now_ms();
        // A saved value that could not be told is no reason to be silent about that.
        let Some(phrase) = self.turn.next(self.desk.record(), now_ms) else {
            return Vec::new();
        };
        self.next_id += 1;
        let id = SayId(self.next_id);
        self.at_mouth = Some(id);
        if !phrase.entries.is_empty() {
            self.desk.heard_back(&phrase.entries);
        }
        let lines = vec![Line::Says(phrase.plain(self.desk.rules()))];
        let spoken = wording::spoken(&phrase, self.desk.rules());
        self.spoken = spoken.join(" ");
        self.mouth.say(id, spoken, Priority::Ordinary);
        lines
    }

    fn cut(&mut self, why: Cut) {
        if self.at_mouth.take().is_some() {
            self.mouth.stop();
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
                self.note = Some(*tooth);
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
                self.said_to_end()
            }
            // Cut by somebody else than this conversation: silence is no read-back.
            VoiceEvent::Ended { id, cut: true } if self.at_mouth == Some(*id) => {
                self.at_mouth = None;
                self.turn.cut(self.desk.record(), Cut::Stopped);
                self.speak()
            }
            // Without sound the phrase still stood on the screen.
            VoiceEvent::Failed { id, error } => {
                let mut lines = vec![Line::Trouble(error.to_string())];
                if self.at_mouth == Some(*id) {
                    self.at_mouth = None;
                    lines.extend(self.said_to_end());
                }
                lines
            }
            VoiceEvent::NoLoudspeaker { error } => vec![Line::Trouble(error.to_string())],
            _ => Vec::new(),
        }
    }

    fn said_to_end(&mut self) -> Vec<Line> {
        let Some(phrase) = self.turn.said() else {
            return Vec::new();
        };
        let mut lines = vec![Line::Said(phrase.plain(self.desk.rules()))];
        if self.turn.person_speaks() {
            // They began before the end: what they say cannot speak of all of it.
            self.said_meanwhile.push(phrase);
        } else {
            lines.extend(self.count_read_back(&phrase));
        }
        lines.extend(self.speak());
        lines
    }

    /// Nobody speaks any more: what ended meanwhile counts now, and the turn goes on.
    fn count_said(&mut self) -> Vec<Line> {
        let mut lines = Vec::new();
        if !self.turn.person_speaks() {
            for phrase in std::mem::take(&mut self.said_meanwhile) {
                lines.extend(self.count_read_back(&phrase));
            }
            lines.extend(self.speak());
        }
        lines
    }

    fn count_read_back(&mut self, phrase: &Phrase) -> Vec<Line> {
        if self.is_shut {
            return Vec::new();
        }
        let told = self.desk.said_to_end(phrase);
        if let Some(last) = phrase.entries.last() {
            // All that was said to its end of the same tooth, up to this number.
            let record = self.desk.record();
            let tooth = record
                .entry(*last)
                .and_then(|charted| charted.event.tooth());
            self.read_back_last = record
                .unconfirmed()
                .filter(|charted| {
                    charted.number <= *last
                        && charted.event.tooth() == tooth
                        && charted.standing == Standing::ReadBack
                })
                .map(|charted| charted.number)
                .collect();
        }
        match told {
            Ok(()) => Vec::new(),
            Err(error) => self.failed(error),
        }
    }

    fn failed(&mut self, error: JournalError) -> Vec<Line> {
        self.is_shut = true;
        self.mouth.cue(Cue::NotSaved);
        vec![Line::Trouble(error.to_string())]
    }

    /// Whether the journal refuses writing and should be opened afresh.
    pub fn is_shut(&self) -> bool {
        self.is_shut
    }

    /// Opens the journal afresh after a failed write and enters again what is not in it.
    /// On an error all is as before, but for the journal, which stays shut: try later.
    pub fn reopen(self) -> Result<(Self, Vec<Line>), DeskError> {
        let Self { desk, .. } = self;
        let (desk, offer) = desk.reopen()?;
        let mut talk = Self {
            desk,
            unsaved: None,
            is_shut: false,
            ..self
        };
        let mut lines = vec![Line::Trouble("the journal is open again".into())];
        if let Some(said) = offer {
            lines.extend(talk.take(said));
        }
        Ok((talk, lines))
    }

    /// Free speech: kept as sound beside the journal and, unverified, as the words the engine would write.
    fn keep_note(&mut self, tooth: Option<ToothNumber>, heard: &Heard, by: By) -> Vec<Line> {
        let text = heard.hearing.free_text.clone().unwrap_or_default();
        let record = self.desk.record();
        let name = format!("{}-{:05}.wav", record.visit, record.last + 1);
        let folder = self.desk.journal().folder().to_owned();
        let kept = notes::keep(&folder, &name, &heard.utterance.samples);
        let mut lines = Vec::new();
        let sound = match kept {
            Ok(()) => Some(name),
            Err(why) => {
                lines.push(Line::Trouble(format!(
                    "the sound of the note could not be kept: {why}"
                )));
                None
            }
        };
        let by = by.sign(understand::heard(&[], 0.0, &self.engine));
        let draft = Draft::new(
            Event::NoteRecorded {
                tooth,
                text: text.clone(),
                sound,
            },
            Some(&by),
        );
        match self.desk.append(draft) {
            Ok(()) => {
                lines.push(Line::Heard {
                    words: format!("(note) {text}"),
                    confidence: 0.0,
                });
                self.mouth.cue(Cue::Saved);
                lines.extend(self.say_all(vec![Phrase::new("note_saved")]));
            }
            Err(error) => lines.extend(self.failed(error)),
        }
        lines
    }

    /// Values that stand and were never said to their end.
    pub fn unsaid(record: &Record) -> usize {
        record
            .unconfirmed()
            .filter(|charted| charted.standing == Standing::Heard)
            .count()
    }
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
mod tests;
