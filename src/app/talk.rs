//! The conversation with sound: hearings and presses to the desk, its phrases to the mouth, and back what was said
//! to its end. Used alike for files and for the live table, so that both behave the same.
//!
//! Invariant: the tone "saved" and every read-back come after the commit; a phrase that was cut is not read back.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use super::desk::{Desk, DeskError, Taken};
use super::understand::{self, Understood};
use crate::audio::wav;
use crate::grammar::{Intent, Situation};
use crate::record::event::{How, Speaker as Person};
use crate::record::{Draft, Event, Heard as HeardBy, JournalError};
use crate::session::{Phrase, Said, Wish};
use crate::speech::listener::{Heard, Under};
use crate::speech::{EngineIdentity, Unheard, WordGraph};
use crate::terms::ToothNumber;
use crate::voice::{Cue, Priority, SayId, Speaker, VoiceEvent, wording};

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
    /// The program says this.
    Says(String),
    /// Something that the person should know.
    Trouble(String),
}

/// Folder for spoken notes in the data folder.
const NOTES: &str = "notes";

pub struct Talk {
    desk: Desk,
    mouth: Speaker,
    engine: EngineIdentity,
    next_id: u64,
    /// Phrases that are being said or wait for it.
    waiting: BTreeMap<SayId, Phrase>,
    /// The next utterance is a note, whatever it says.
    note: Option<Option<ToothNumber>>,
    /// The utterance that could not be saved; entered again by "confirm" after the journal was opened afresh.
    unsaved: Option<Said>,
    /// Set while the journal refuses writing.
    is_shut: bool,
}

impl Talk {
    pub fn new(desk: Desk, mouth: Speaker, engine: EngineIdentity) -> Self {
        Self {
            desk,
            mouth,
            engine,
            next_id: 0,
            waiting: BTreeMap::new(),
            note: None,
            unsaved: None,
            is_shut: false,
        }
    }

    pub fn desk(&mut self) -> &mut Desk {
        &mut self.desk
    }

    pub fn mouth(&self) -> &Speaker {
        &self.mouth
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

    /// An utterance came from the listener.
    pub fn hear(&mut self, heard: &Heard) -> Vec<Line> {
        if let Some(tooth) = self.note.take() {
            return self.keep_note(tooth, heard);
        }
        let situation = match heard.under {
            Under::Session => self.desk.situation(),
            Under::Interruptions => Situation::Speaking,
        };
        let species = self.desk.record().patient.species;
        match understand::understand(self.desk.grammar(), &heard.hearing, situation, species) {
            Understood::Said {
                intents,
                words,
                confidence,
            } => {
                self.mouth.cue(Cue::Heard);
                let mut lines = vec![Line::Heard {
                    words: words.join(" "),
                    confidence,
                }];
                let heard = understand::heard(&words, confidence, &self.engine);
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
                if situation == Situation::Question || why == Unheard::Unclear {
                    self.mouth.cue(Cue::Question);
                }
                vec![Line::Unheard { why, nearest }]
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
        let mut lines = vec![Line::Pressed(format!("{intents:?}"))];
        lines.extend(self.take(Said { intents, heard }));
        lines
    }

    fn take(&mut self, said: Said) -> Vec<Line> {
        if self.is_shut {
            return vec![Line::Trouble(
                "nothing can be saved until the journal is open again".into(),
            )];
        }
        let taken = self.desk.take(&said);
        if taken.failure.is_some() {
            self.unsaved = Some(said);
        }
        self.answer(taken)
    }

    /// Tones and phrases for what came of an input.
    fn answer(&mut self, taken: Taken) -> Vec<Line> {
        let mut lines = Vec::new();
        if let Some(failure) = &taken.failure {
            self.is_shut = true;
            self.mouth.cue(Cue::NotSaved);
            lines.push(Line::Trouble(failure.to_string()));
        }
        for wish in &taken.wishes {
            lines.extend(self.grant(wish));
        }
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
        if values > 0 {
            self.mouth.cue(Cue::Saved);
        }
        for entry in &taken.entries {
            match entry.event {
                Event::ListeningPaused => self.mouth.cue(Cue::ListeningOff),
                Event::ListeningResumed => self.mouth.cue(Cue::ListeningOn),
                _ => {}
            }
        }
        lines.extend(self.say_all(taken.phrases));
        lines
    }

    /// Says phrases in order.
    pub fn say_all(&mut self, phrases: Vec<Phrase>) -> Vec<Line> {
        let mut lines = Vec::new();
        for phrase in phrases {
            self.next_id += 1;
            let id = SayId(self.next_id);
            lines.push(Line::Says(phrase.plain(self.desk.rules())));
            let spoken = wording::spoken(&phrase, self.desk.rules());
            self.waiting.insert(id, phrase);
            self.mouth.say(id, spoken, Priority::Ordinary);
        }
        lines
    }

    fn grant(&mut self, wish: &Wish) -> Vec<Line> {
        match wish {
            Wish::StopSpeaking => {
                self.mouth.stop();
                Vec::new()
            }
            Wish::TakeNote { tooth } => {
                self.note = Some(*tooth);
                self.say_all(vec![Phrase::new("note_recording")])
            }
            Wish::TellPlan | Wish::Compare { .. } => Vec::new(),
        }
    }

    /// The mouth tells how far it is.
    pub fn voice(&mut self, event: &VoiceEvent) -> Vec<Line> {
        match event {
            VoiceEvent::Ended { id, cut: false } => self.said_to_end(*id),
            VoiceEvent::Ended { id, cut: true } => {
                self.waiting.remove(id);
                Vec::new()
            }
            // Without sound the phrase still stood on the screen.
            VoiceEvent::Failed { id, error } => {
                let mut lines = vec![Line::Trouble(error.to_string())];
                lines.extend(self.said_to_end(*id));
                lines
            }
            VoiceEvent::NoLoudspeaker { error } => vec![Line::Trouble(error.to_string())],
            _ => Vec::new(),
        }
    }

    fn said_to_end(&mut self, id: SayId) -> Vec<Line> {
        let Some(phrase) = self.waiting.remove(&id) else {
            return Vec::new();
        };
        if self.is_shut {
            return Vec::new();
        }
        match self.desk.said_to_end(&phrase) {
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
        let Self {
            desk,
            mouth,
            engine,
            next_id,
            waiting,
            note,
            ..
        } = self;
        let (desk, offer) = desk.reopen()?;
        let mut talk = Self {
            desk,
            mouth,
            engine,
            next_id,
            waiting,
            note,
            unsaved: None,
            is_shut: false,
        };
        let mut lines = vec![Line::Trouble("the journal is open again".into())];
        if let Some(said) = offer {
            lines.extend(talk.take(said));
        }
        Ok((talk, lines))
    }

    /// Free speech: kept as sound beside the journal and, unverified, as the words the engine would write.
    fn keep_note(&mut self, tooth: Option<ToothNumber>, heard: &Heard) -> Vec<Line> {
        let text = heard.hearing.free_text.clone().unwrap_or_default();
        let record = self.desk.record();
        let name = format!("{}-{:05}.wav", record.visit, record.last + 1);
        let folder: PathBuf = self.desk.journal().folder().join(NOTES);
        let kept = std::fs::create_dir_all(&folder)
            .map_err(|error| error.to_string())
            .and_then(|()| {
                wav::write_frames(&folder.join(&name), &heard.utterance.samples)
                    .map_err(|e| e.to_string())
            });
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
        let by = understand::heard(&[], 0.0, &self.engine);
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
}
