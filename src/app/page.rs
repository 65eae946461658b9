//! Between the table and the page: what happened becomes the view, presses become what was said by hand.
//! Knows no network; `web` serves the view and brings the presses.
//!
//! Invariant: a press is answered only after what it asked for was saved or refused.

use std::sync::Arc;

use jiff::Timestamp;
use tokio::sync::watch;

use super::desk::{DeskError, Opening};
use super::live::Shown;
use super::signers;
use super::talk::{Line, Talk};
use crate::grammar::Intent;
use crate::record::event::How;
use crate::record::fold::Phase;
use crate::record::{Draft, Event};
use crate::web::{HeardLine, Press, Pressed, Reply, View, press};

/// The level is shown once for so many tellings: two a second is read easily and keeps the page quiet.
const LEVELS: u32 = 2;

/// What the page shows beside the record.
pub struct Page {
    view: watch::Sender<Arc<View>>,
    said: Vec<String>,
    heard: Option<HeardLine>,
    level_dbfs: Option<f32>,
    level_count: u32,
    is_speaking: bool,
    warnings: Vec<String>,
    saved_at: Option<Timestamp>,
}

impl Page {
    pub fn new(view: watch::Sender<Arc<View>>) -> Self {
        Self {
            view,
            said: Vec::new(),
            heard: None,
            level_dbfs: None,
            level_count: 0,
            is_speaking: false,
            warnings: Vec::new(),
            saved_at: None,
        }
    }

    /// Takes in one turn of the loop and shows the page anew.
    pub fn shown(&mut self, talk: &mut Talk, shown: &Shown<'_>) {
        match shown {
            Shown::Line(line) => self.line(talk, line),
            Shown::Level(dbfs) => {
                self.level_dbfs = Some(*dbfs);
                self.level_count += 1;
                if !self.level_count.is_multiple_of(LEVELS) {
                    return;
                }
            }
            Shown::Partial(words) => {
                self.heard = Some(self.heard_line(talk, words.join(" "), 0.0, How::Spoken))
            }
        }
        self.publish(talk);
    }

    fn line(&mut self, talk: &mut Talk, line: &Line) {
        match line {
            Line::Heard { words, confidence } => {
                self.said.clear();
                self.heard = Some(self.heard_line(talk, words.clone(), *confidence, How::Spoken));
            }
            Line::Pressed(_) => {
                self.said.clear();
                self.heard = Some(self.heard_line(talk, String::new(), 1.0, How::Pressed));
            }
            Line::Unheard { heard, near, .. } => {
                let line = self.heard_line(talk, heard.clone(), 0.0, How::Spoken);
                self.heard = Some(HeardLine {
                    near: near.clone(),
                    ..line
                });
            }
            Line::Saved { .. } => {
                self.saved_at = Some(talk.desk().clock().now().at);
                self.warnings.clear();
                if let Some(heard) = &mut self.heard {
                    heard.saved = true;
                }
            }
            Line::Says(text) => {
                self.is_speaking = true;
                self.said.push(text.clone());
                if let Some(heard) = &mut self.heard {
                    heard.understood = self.said.join(". ");
                }
            }
            Line::Said(_) => self.is_speaking = false,
            Line::Trouble(text) => self.warnings.push(text.clone()),
            Line::NotSaved { .. } => {
                if let Some(heard) = &mut self.heard {
                    heard.is_lost = true;
                }
            }
        }
    }

    fn heard_line(&self, talk: &mut Talk, words: String, confidence: f32, how: How) -> HeardLine {
        HeardLine {
            words,
            near: Vec::new(),
            confidence,
            understood: String::new(),
            saved: false,
            is_lost: false,
            how,
            at: talk.desk().clock().now().at,
        }
    }

    /// Shows the record as it is now with what goes on around it.
    pub fn publish(&self, talk: &mut Talk) {
        let record = Arc::new(talk.desk().record().clone());
        self.view.send_replace(Arc::new(View {
            said: self.said.clone(),
            heard: self.heard.clone(),
            level_dbfs: self.level_dbfs,
            is_speaking: self.is_speaking,
            warnings: self.warnings.clone(),
            saved_at: self.saved_at,
            trouble: talk.trouble(),
            ..View::of(&record, talk.desk().settings())
        }));
    }
}

/// What came of a press, before it is answered.
enum Done {
    Lines(Vec<Line>),
    Refused(String),
}

/// The answer to a press: to be sent once the page shows what came of it.
pub struct Answer {
    reply: Reply,
    to: tokio::sync::oneshot::Sender<Reply>,
}

impl Answer {
    pub fn send(self) {
        // A page that has gone away meanwhile sees it in its next state.
        let _ = self.to.send(self.reply);
    }
}

/// Takes a press: its answer is saved, refused or not saved.
pub fn press(talk: &mut Talk, pressed: Pressed) -> (Vec<Line>, Answer) {
    let done = match &pressed.press {
        Press::OpenVisit {
            patient,
            vet,
            nurse,
        } => begin(
            talk,
            Opening {
                patient: patient.clone(),
                vet: vet.clone(),
                nurse: nurse.clone(),
            },
        ),
        Press::GoOn(visit) => go_on(talk, *visit),
        Press::Acknowledge => Done::Lines(talk.acknowledge()),
        Press::Reopen { visit, reason } => after_the_end(
            talk,
            *visit,
            Event::VisitReopened {
                reason: reason.clone(),
            },
            "reopened",
        ),
        Press::Addendum { visit, text } => after_the_end(
            talk,
            *visit,
            Event::AddendumWritten { text: text.clone() },
            "addendum_written",
        ),
        Press::Sign {
            visit,
            name,
            up_to,
            anyway,
        } => sign(talk, *visit, name, *up_to, *anyway),
        Press::Note { tooth, text } => {
            let event = Event::NoteRecorded {
                tooth: *tooth,
                text: text.clone(),
                sound: None,
            };
            written(talk, event, text, "note_written")
        }
        Press::UpdatePatient(patient) => {
            let record = talk.desk().record();
            if patient.species != record.patient.species && record.all().next().is_some() {
                Done::Refused("values are charted: the species stays".to_owned())
            } else {
                let event = Event::PatientUpdated {
                    patient: patient.clone(),
                    unsays_tests: false,
                };
                written(talk, event, "patient data", "patient_written")
            }
        }
        Press::Intents(intents) if talk.mouth().shows() && intents.contains(&Intent::TakeNote) => {
            Done::Refused("no microphone here: type the note".to_owned())
        }
        _ => match pressed.said(talk.desk().record()) {
            Ok(Some(said)) => {
                let only_tells = said.intents.iter().all(tells);
                let lines = talk.press_said(said);
                let is_saved = lines
                    .iter()
                    .any(|line| matches!(line, Line::Saved { .. } | Line::NotSaved { .. }));
                if is_saved || only_tells {
                    Done::Lines(lines)
                } else {
                    // It was understood, and the answer says why nothing was entered.
                    let reply = Reply::Refused(talk.answered().join(". "));
                    let to = pressed.reply;
                    return (lines, Answer { reply, to });
                }
            }
            Ok(None) => Done::Refused("that cannot be taken here".to_owned()),
            Err(not_now) => Done::Refused(not_now.to_string()),
        },
    };
    let (lines, reply) = match done {
        Done::Refused(why) => (Vec::new(), Reply::Refused(why)),
        Done::Lines(lines) => {
            let not_saved = lines.iter().find_map(|line| match line {
                Line::NotSaved { why, .. } => Some(Reply::NotSaved(why.clone())),
                _ => None,
            });
            let reply = not_saved.unwrap_or_else(|| Reply::Taken {
                last: talk.desk().record().last,
                said: talk.answered().to_vec(),
            });
            (lines, reply)
        }
    };
    let to = pressed.reply;
    (lines, Answer { reply, to })
}

/// What is asked for and enters nothing.
fn tells(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::Repeat
            | Intent::Ask(_)
            | Intent::StopSpeaking
            | Intent::SetPace(_)
            | Intent::TakeNote
    )
}

/// The next patient.
fn begin(talk: &mut Talk, opening: Opening) -> Done {
    if talk.desk().record().phase == Phase::Open {
        return Done::Refused("a visit is open at the table; finish it first".to_owned());
    }
    if talk.turn().saying().is_some() {
        return Done::Refused("something is being said; press again after it".to_owned());
    }
    match talk.begin(opening, &press::pressed()) {
        Ok(lines) => Done::Lines(lines),
        Err(DeskError::Journal(error)) => Done::Lines(vec![
            Line::Trouble(error.to_string()),
            Line::NotSaved {
                words: "the next patient".to_owned(),
                why: error.to_string(),
            },
        ]),
        Err(error) => Done::Refused(error.to_string()),
    }
}

/// A visit that was left open.
fn go_on(talk: &mut Talk, visit: uuid::Uuid) -> Done {
    let record = talk.desk().record();
    if record.phase == Phase::Open && record.visit != visit {
        return Done::Refused("another visit is open; finish it first".to_owned());
    }
    if talk.turn().saying().is_some() {
        return Done::Refused("something is being said; press again after it".to_owned());
    }
    match talk.go_on(visit) {
        Ok(Some(lines)) => Done::Lines(lines),
        Ok(None) => Done::Refused("that visit is finished, or there is none such".to_owned()),
        Err(error) => Done::Refused(error.to_string()),
    }
}

/// What a finished visit still takes: words added, or its opening again. Of any visit, once none is open at the table.
fn after_the_end(talk: &mut Talk, visit: uuid::Uuid, event: Event, told: &str) -> Done {
    if let Err(done) = turn_to_finished(talk, visit) {
        return done;
    }
    let draft = Draft::new(event, Some(&press::pressed()));
    Done::Lines(talk.write(draft, told, told))
}

/// A signature under a finished visit; the name was proven.
fn sign(talk: &mut Talk, visit: uuid::Uuid, name: &str, up_to: u64, anyway: bool) -> Done {
    if let Err(done) = turn_to_finished(talk, visit) {
        return done;
    }
    match signers::signature(talk.desk().record(), name, up_to, anyway) {
        Err(why) => Done::Refused(why),
        Ok(event) => {
            let draft = Draft::new(event, Some(&press::pressed()));
            Done::Lines(talk.write(draft, "signed", "visit_signed"))
        }
    }
}

/// The finished visit is at hand, where it may be.
fn turn_to_finished(talk: &mut Talk, visit: uuid::Uuid) -> Result<(), Done> {
    if talk.desk().record().phase == Phase::Open {
        return Err(Done::Refused(if talk.desk().record().visit == visit {
            "the visit is open; write a note".to_owned()
        } else {
            "another visit is open; finish it first".to_owned()
        }));
    }
    if talk.desk().record().visit != visit {
        match talk.desk().turn_to(visit) {
            Ok(true) => {}
            Ok(false) => {
                return Err(Done::Refused("there is no such finished visit".to_owned()));
            }
            Err(error) => return Err(Done::Refused(error.to_string())),
        }
    }
    Ok(())
}

/// One fact that needs no conversation; told by voice as one that was said.
fn written(talk: &mut Talk, event: Event, words: &str, told: &str) -> Done {
    if talk.desk().record().phase == Phase::Finished {
        return Done::Refused("the visit is finished".to_owned());
    }
    let draft = Draft::new(event, Some(&press::pressed()));
    Done::Lines(talk.write(draft, words, told))
}
