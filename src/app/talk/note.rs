//! Spoken notes: the next utterance is kept as it was said, whatever it says.

use super::{By, Line, Talk};
use crate::app::notes;
use crate::app::understand;
use crate::record::{Draft, Event};
use crate::session::Phrase;
use crate::speech::listener::Heard;
use crate::terms::ToothNumber;
use crate::voice::Cue;

#[derive(Debug, Default)]
pub struct NoteTaking {
    /// The next utterance is a note of this tooth, or of none.
    awaited: Option<Option<ToothNumber>>,
}

impl NoteTaking {
    pub fn await_for(&mut self, tooth: Option<ToothNumber>) {
        self.awaited = Some(tooth);
    }

    pub fn is_awaited(&self) -> bool {
        self.awaited.is_some()
    }

    /// The utterance has come: of which tooth it is.
    pub fn take(&mut self) -> Option<Option<ToothNumber>> {
        self.awaited.take()
    }
}

impl Talk {
    /// Free speech: kept as sound beside the journal and, unverified, as the words the engine would write.
    pub(super) fn keep_note(
        &mut self,
        tooth: Option<ToothNumber>,
        heard: &Heard,
        by: By,
    ) -> Vec<Line> {
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
        lines.push(Line::Heard {
            words: format!("(note) {text}"),
            confidence: 0.0,
        });
        match self.desk.append(draft, format!("note: {text}")) {
            None => {
                self.mouth.cue(Cue::Saved);
                lines.extend(self.say_all(vec![Phrase::new("note_saved")]));
            }
            Some(not_saved) => {
                lines.extend(self.not_saved(not_saved));
                lines.extend(self.speak());
            }
        }
        lines
    }
}
