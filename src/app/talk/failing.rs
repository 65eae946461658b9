//! The disk fails: it is told before all else and again until somebody says that they heard it, what is said meanwhile
//! is kept, and the disk is tried again for as long as people stay. There is no other way to recover.

use super::troubles::NOT_SAVED;
use super::{Cue, Intent, Line, Phrase, Said, SayId, Talk};
use crate::app::desk::{Loss, NotSaved};
use crate::record::{Draft, JournalError};
use crate::session::Slot;
use crate::voice::{Priority, wording};
use crate::web::Trouble;

impl Talk {
    /// Saves one fact that needs no conversation, and says `told`; `words` are for people who write it down.
    pub fn write(&mut self, draft: Draft, words: &str, told: &str) -> Vec<Line> {
        let values = usize::from(draft.event.is_value());
        let mut lines = vec![Line::Pressed(words.to_owned())];
        match self.desk.append(draft, words.to_owned()) {
            None => {
                lines.push(Line::Saved { facts: 1, values });
                let entries = if values > 0 {
                    vec![self.desk.record().last]
                } else {
                    Vec::new()
                };
                lines.extend(self.say_all(vec![Phrase::new(told).saying_back(entries)]));
            }
            Some(not_saved) => {
                lines.extend(self.not_saved(not_saved));
                lines.extend(self.speak());
            }
        }
        lines
    }

    /// The first words: before them, what the disk lost since the last time.
    pub fn begin_with(&mut self, first: Vec<Phrase>) -> Vec<Line> {
        let mut lines = Vec::new();
        for loss in self.desk.losses() {
            lines.push(Line::Trouble(loss.told.clone()));
            let alarm = self.troubles.raise(lost(&loss));
            self.turn.push_alarm(alarm);
        }
        lines.extend(self.say_all(first));
        lines
    }

    /// The check beside the work found damage in the journal: told until somebody says that they heard it. What is wrong
    /// stands on the terminal; one alarm is enough for all of it.
    pub fn damaged(&mut self) -> Vec<Line> {
        let alarm = Phrase::new("journal_damaged");
        if !self.troubles.was_raised(&alarm) {
            let alarm = self.troubles.raise(alarm);
            self.mouth.cue(Cue::NotSaved);
            self.turn.push_alarm(alarm);
        }
        self.speak()
    }

    /// What the disk lost of this visit, whenever that was, is said again where the visit is summed up.
    pub(super) fn losses_again(&self) -> Vec<Phrase> {
        let record = self.desk.record();
        record
            .losses
            .iter()
            .map(|loss| {
                lost(&Loss {
                    patient: record.patient.name.clone(),
                    count: loss.count(),
                    told: String::new(),
                })
            })
            .collect()
    }

    /// Something was not saved.
    pub(super) fn not_saved(&mut self, not_saved: NotSaved) -> Vec<Line> {
        let NotSaved {
            failure,
            words,
            is_kept,
        } = not_saved;
        let mut lines = Vec::new();
        if let Some(failure) = &failure {
            self.storage_failed(failure);
            lines.push(Line::Trouble(failure.to_string()));
        } else {
            self.mouth.cue(Cue::NotSaved);
        }
        // While the alarm is repeated it says the same.
        if !self.troubles.is_alarmed() {
            if !is_kept {
                self.turn.push_alarm(Phrase::new("not_saved_confirm"));
            } else if !words.is_empty() {
                let what = Slot::Text(words.clone());
                self.turn
                    .push_alarm(Phrase::new("not_saved_too").with("what", what));
            }
        }
        lines.push(Line::NotSaved {
            words,
            why: self.troubles.why().to_owned(),
        });
        lines
    }

    /// The alarm, in front of all that waits.
    pub(super) fn storage_failed(&mut self, failure: &JournalError) {
        self.mouth.cue(Cue::NotSaved);
        if let Some(alarm) = self.troubles.storage_failed(failure, self.now_ms) {
            self.turn.push_alarm(alarm);
        }
    }

    /// What is said to a failure and not to the visit: "confirm" to an alarm, "repeat" while the disk takes nothing.
    pub(super) fn answer_trouble(&mut self, said: &Said) -> Option<Vec<Line>> {
        match said.intents.as_slice() {
            [Intent::Confirm] if self.troubles.is_alarmed() => Some(self.acknowledge()),
            [Intent::Repeat] if self.desk.is_down() => {
                let list = self.list();
                Some(self.say_all(vec![list]))
            }
            _ => None,
        }
    }

    /// Somebody has heard the alarm: it is not repeated any more.
    pub fn acknowledge(&mut self) -> Vec<Line> {
        let heard = self.troubles.acknowledge();
        for alarm in &heard {
            self.turn.drop_alarms(&alarm.key);
        }
        let mut phrases = Vec::new();
        if self.desk.is_down() {
            phrases.push(Phrase::new("not_saved_noted"));
        }
        self.say_all(phrases)
    }

    /// What people said and nobody saved.
    fn list(&self) -> Phrase {
        let items = self
            .desk
            .unsaved()
            .into_iter()
            .map(|words| Phrase::new("text").with("text", Slot::Text(words)))
            .collect();
        Phrase::new("not_saved_list").with("items", Slot::Phrases(items))
    }

    /// Tries the disk again where it is time to.
    pub fn retry(&mut self) -> Vec<Line> {
        if self.troubles.retry_is_due(self.now_ms) {
            self.try_again()
        } else {
            Vec::new()
        }
    }

    /// Tries the disk again now.
    pub fn try_again(&mut self) -> Vec<Line> {
        if !self.desk.is_down() {
            return Vec::new();
        }
        let known = self.desk.losses();
        let taken = match self.desk.reopen() {
            Ok(taken) => taken,
            Err(failure) => {
                self.troubles.retry_failed(&failure, self.now_ms);
                return Vec::new();
            }
        };
        if taken.not_saved.is_none() {
            self.troubles.storage_is_back();
            self.turn.drop_alarms(NOT_SAVED);
        }
        let values = taken
            .entries
            .iter()
            .filter(|entry| entry.event.is_value())
            .count();
        let back = if values > 0 {
            Phrase::new("saved_again").with("count", Slot::Number(values as u16))
        } else {
            Phrase::new("saved_again_nothing")
        };
        let mut lines = vec![Line::Trouble("the journal is open again".into())];
        for loss in self.desk.losses() {
            if !known.contains(&loss) {
                lines.push(Line::Trouble(loss.told.clone()));
                let alarm = self.troubles.raise(lost(&loss));
                self.turn.push_alarm(alarm);
            }
        }
        // A question of before the failure was not answered.
        let question = self
            .open_question()
            .filter(|_| !taken.phrases.iter().any(|phrase| phrase.is_question));
        self.turn.push(self.desk.record(), vec![back], true);
        lines.extend(self.answer(taken, true));
        lines.extend(self.say_all(question.into_iter().collect()));
        lines
    }

    /// Before the program ends: one more trial, then what to write down, read out before all else.
    pub fn last_words(&mut self) -> Vec<Line> {
        let mut lines = self.try_again();
        if !self.desk.is_down() {
            return lines;
        }
        for alarm in self.troubles.acknowledge() {
            self.turn.drop_alarms(&alarm.key);
        }
        if !self.desk.unsaved().is_empty() {
            self.turn.push_alarm(self.list());
        }
        self.turn.push_alarm(Phrase::new("end_storage"));
        lines.extend(self.speak());
        lines
    }

    /// Recognition is behind what was said. Said at once and beside the turns, whose time stands still until the sound
    /// is heard; where something is being said, that tells as well that the program is there.
    pub fn one_moment(&mut self) -> Vec<Line> {
        if self.at_mouth.is_some() {
            return Vec::new();
        }
        let phrase = Phrase::new("one_moment");
        let rules = self.desk.rules();
        let (plain, spoken) = (phrase.plain(rules), wording::spoken(&phrase, rules));
        self.next_id += 1;
        self.mouth
            .say(SayId(self.next_id), spoken, Priority::Ordinary);
        vec![Line::Says(plain)]
    }

    /// Says one thing before all else.
    pub fn say_first(&mut self, phrase: Phrase) -> Vec<Line> {
        self.turn.push_alarm(phrase);
        self.speak()
    }

    /// What the page shows of it.
    pub fn trouble(&self) -> Trouble {
        Trouble {
            why: self.desk.is_down().then(|| self.troubles.why().to_owned()),
            unsaved: self.desk.unsaved(),
            alarms: self
                .troubles
                .alarms()
                .map(|phrase| phrase.plain(self.desk.rules()))
                .collect(),
        }
    }
}

fn lost(loss: &Loss) -> Phrase {
    let count = u16::try_from(loss.count).unwrap_or(u16::MAX);
    Phrase::new("loss_told")
        .with("patient", Slot::Text(loss.patient.clone()))
        .with("count", Slot::Number(count))
}
