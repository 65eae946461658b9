//! The dialogue: hearings and presses to the desk, its phrases to the mouth when their turn comes, and back what was
//! said to its end. Used alike for files, for the live table, for the page alone and for rehearsals in simulated time.
//! What an utterance means is in `hearing`, what is said and what became of it in `saying`, what is done when the disk
//! fails in `failing` (its policy in `troubles`), spoken notes are in `note`, what was not understood in `misheard`.
//!
//! Invariants: the tone "saved" and every read-back come after the commit; a phrase that was cut is not read back,
//! nor is one that ended while somebody had already begun to answer. All times are those of the sound, told by
//! [`Talk::at`]: what is decided does not depend on how busy the machine is.

mod almost;
mod failing;
mod hearing;
mod misheard;
mod note;
mod read_backs;
mod saying;
mod troubles;

use std::sync::Arc;

use super::desk::{Desk, DeskError, Opening, Taken};
use super::monitor;
use super::turn::{Cut, Turn};
use crate::grammar::intent::Pace;
use crate::grammar::{Intent, Situation};
use crate::record::event::{How, Speaker as Person};
use crate::record::{Entry, Event, Heard as HeardBy, Record, Standing};
use crate::session::{Phrase, Said};
use crate::speech::activity::End;
use crate::speech::listener::{ListenEvent, Under};
use crate::speech::{EngineIdentity, Unheard, WordGraph};
use crate::voice::{Cue, HeardTone, SayId};
pub use hearing::is_own_voice;
use misheard::Misheard;
use note::NoteTaking;
use read_backs::ReadBacks;
use saying::plain;
pub use saying::{Mouth, ShowingMouth};
use troubles::Troubles;

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
    /// The tone for vital signs fell due while somebody spoke.
    owes_vitals_tone: bool,
    /// The question that is open made no sound: no "confirm" can be its answer.
    is_question_silent: bool,
    /// Number of the question that was spoken to its end while nobody spoke.
    question_told: Option<u64>,
    /// When the newest read-back came to its end.
    read_back_ended_ms: Option<u64>,
    /// A read-back that has only begun, and from when on "no" is of it.
    begun: Option<(u64, Vec<u64>)>,
    /// What is being taken in came from a key, the pedal's included.
    is_key: bool,
    is_pedal: bool,
    trod: Option<Trod>,
    /// The answer to the newest input, in writing: whether it was said already or waits for its turn.
    answered: Vec<String>,
    /// Which readings of the monitor are kept.
    keeper: monitor::Keeper,
}

/// What had been heard when a foot went down.
#[derive(Debug, Default)]
struct Trod {
    /// Number of the open question.
    question: Option<u64>,
    /// Values of the read-back that was heard last.
    read_back: Vec<u64>,
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
    /// At the pace and in the form that the clinic chose.
    pub fn new(desk: Desk, mouth: impl Mouth + 'static, engine: EngineIdentity) -> Self {
        let flow = desk.flow();
        let mut turn = Turn::new(flow.pace.unwrap_or_default());
        turn.set_short(flow.is_short());
        turn.set_goes_on(flow.goes_on());
        Self {
            desk,
            mouth: Box::new(mouth),
            engine,
            turn,
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
            owes_vitals_tone: false,
            is_question_silent: false,
            question_told: None,
            read_back_ended_ms: None,
            begun: None,
            is_key: false,
            is_pedal: false,
            trod: None,
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
                self.is_about(*at_ms);
                let lines = self.count_due();
                // Whoever speaks has the word. Only where the program does not hear itself does this come while it
                // speaks; a question is finished, since it is short and the answer to it must not be guessed.
                let is_cut = |phrase: &Phrase| {
                    !(phrase.is_question || self.turn.goes_on() && !phrase.entries.is_empty())
                };
                if self.turn.saying().is_some_and(is_cut) {
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
        self.turn.forget_gathered();
        self.begun = None;
        self.read_backs.forget();
        self.misheard = Misheard::default();
        self.note = NoteTaking::default();
        self.is_question_silent = false;
    }

    /// Time has passed: says what is due.
    pub fn remind(&mut self) -> Vec<Line> {
        let taken = self.desk.remind();
        // A tone over somebody's words would be lost, or take a word with it: it waits for the first silence, unless the
        // vital signs or the words after it come before.
        self.owes_vitals_tone =
            (self.owes_vitals_tone || taken.is_vitals_tone) && taken.may_sound_vitals;
        if self.owes_vitals_tone && !self.turn.person_speaks() && self.at_mouth.is_none() {
            self.owes_vitals_tone = false;
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

    /// A foot went down on the pedal: what it may confirm is what was heard by now.
    pub fn foot_down(&mut self) {
        let question = self.desk.record().open_challenge();
        self.trod = Some(Trod {
            question: question.map(|open| open.number),
            read_back: self.read_backs.last().to_vec(),
        });
    }

    /// The pedal was trodden. "Confirm" is of the read-back, or the answer to
    /// the question, that was heard when the foot went down.
    pub fn pedal(&mut self, intent: Intent, person: Person) -> Vec<Line> {
        let trod = self.trod.take().unwrap_or_else(|| {
            self.foot_down();
            self.trod.take().unwrap_or_default()
        });
        let open = self.desk.record().open_challenge().map(|open| open.number);
        let is_answer = open.is_some() && open == trod.question && !self.turn.has_gathered();
        let intent = match intent {
            Intent::Confirm if !is_answer => Intent::ConfirmReadBack(trod.read_back),
            intent => intent,
        };
        self.is_pedal = true;
        let lines = self.key(intent, person);
        self.is_pedal = false;
        lines
    }

    /// A key was pressed, by somebody who looks at no page.
    pub fn key(&mut self, intent: Intent, person: Person) -> Vec<Line> {
        self.is_key = true;
        let lines = self.press(vec![intent], person);
        self.is_key = false;
        lines
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
        let is_of_page = !is_spoken && !self.is_key;
        if self.is_question_silent && is_spoken && said.intents.contains(&Intent::Confirm) {
            self.is_question_silent = false;
            let question = self.open_question();
            let mut phrases = vec![Phrase::new("not_heard_question")];
            phrases.extend(question);
            return self.say_all(phrases);
        }
        let gathers = self.turn.has_gathered();
        // The page shows the question: what is touched there is an answer to it.
        self.desk.gather(gathers && !is_of_page);
        if gathers && said.intents.iter().any(wants_all) {
            self.turn.want_all();
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
        if taken.entries.iter().any(is_tooth_chosen) {
            self.turn.tooth_chosen();
        }
        self.gather(&taken.entries, &mut phrases);
        if self.is_pedal {
            // The tone says it: a word would hold up whoever calls the readings.
            phrases.retain(|phrase| phrase.key != "confirmed");
        }
        let is_finished = |entry: &Entry| matches!(entry.event, Event::VisitFinished);
        if taken.entries.iter().any(is_finished) {
            phrases.extend(self.losses_again());
        }
        self.goes_on();
        let told = self.told_by_question(&taken.entries, &mut phrases);
        self.answered = plain(&phrases, self.desk.rules());
        self.turn.push(self.desk.record(), phrases, asked);
        if let Some(not_saved) = told {
            lines.extend(self.not_saved(not_saved));
        }
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

    /// Values that stand and were never said to their end.
    pub fn unsaid(record: &Record) -> usize {
        record
            .unconfirmed()
            .filter(|charted| charted.standing == Standing::Heard)
            .count()
    }
}

fn is_tooth_chosen(entry: &Entry) -> bool {
    matches!(entry.event, Event::ToothChosen { .. })
}

/// Whether somebody wants to hear now what waits for the end of a quadrant.
fn wants_all(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::Confirm | Intent::ConfirmEverything | Intent::Repeat | Intent::FinishVisit
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
mod flow_tests;
#[cfg(test)]
mod tests;
