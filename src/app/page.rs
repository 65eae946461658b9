//! Between the table and the page: what happened becomes the view, presses become what was said by hand.
//! Knows no network; `web` serves the view and brings the presses.
//!
//! Invariant: a press is answered only after what it asked for was saved or refused.

use std::sync::Arc;

use jiff::Timestamp;
use tokio::sync::watch;

use super::desk::Opening;
use super::live::Shown;
use super::talk::{Line, Talk};
use crate::record::event::How;
use crate::record::fold::Phase;
use crate::record::{Draft, Event};
use crate::session::Phrase;
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
            Line::Unheard { nearest, .. } => {
                let nearest = nearest.clone().unwrap_or_default();
                self.heard = Some(self.heard_line(talk, nearest, 0.0, How::Spoken));
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
        }
    }

    fn heard_line(&self, talk: &mut Talk, words: String, confidence: f32, how: How) -> HeardLine {
        HeardLine {
            words,
            confidence,
            understood: String::new(),
            saved: false,
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
            ..View::of(&record, talk.desk().settings())
        }));
    }
}

/// Takes a press and answers it.
pub fn press(talk: &mut Talk, pressed: Pressed) -> Vec<Line> {
    let (lines, refused) = match &pressed.press {
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
        Press::GoOn(_) => {
            let why = "a visit is at the table; start sulcus again to go on with another";
            (Vec::new(), Some(why.to_owned()))
        }
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
        Press::Note { tooth, text } => {
            let event = Event::NoteRecorded {
                tooth: *tooth,
                text: text.clone(),
                sound: None,
            };
            written(talk, event, "note_written")
        }
        Press::UpdatePatient(patient) => {
            let record = talk.desk().record();
            if patient.species != record.patient.species && record.all().next().is_some() {
                (
                    Vec::new(),
                    Some("values are charted: the species stays".to_owned()),
                )
            } else {
                written(
                    talk,
                    Event::PatientUpdated {
                        patient: patient.clone(),
                    },
                    "patient_written",
                )
            }
        }
        _ => match pressed.said(talk.desk().record()) {
            Ok(Some(said)) => (talk.press_said(said), None),
            Ok(None) => (Vec::new(), Some("that cannot be taken here".to_owned())),
            Err(not_now) => (Vec::new(), Some(not_now.to_string())),
        },
    };
    let reply = match refused {
        Some(why) => Reply::Refused(why),
        None => Reply::Taken {
            last: talk.desk().record().last,
            said: lines
                .iter()
                .filter_map(|line| match line {
                    Line::Says(text) => Some(text.clone()),
                    _ => None,
                })
                .collect(),
        },
    };
    // A page that has gone away meanwhile sees it in its next state.
    let _ = pressed.reply.send(reply);
    lines
}

/// The next patient.
fn begin(talk: &mut Talk, opening: Opening) -> (Vec<Line>, Option<String>) {
    let refused = |why: &str| (Vec::new(), Some(why.to_owned()));
    if talk.desk().record().phase == Phase::Open {
        return refused("a visit is open at the table; finish it first");
    }
    if talk.turn().saying().is_some() {
        return refused("something is being said; press again after it");
    }
    match talk.begin(opening, &press::pressed()) {
        Ok(lines) => (lines, None),
        Err(error) => (
            vec![Line::Trouble(error.to_string())],
            Some(error.to_string()),
        ),
    }
}

/// What a finished visit still takes: words added, or its opening again. Only of the visit at the table: another
/// visit is opened when the program starts.
fn after_the_end(
    talk: &mut Talk,
    visit: uuid::Uuid,
    event: Event,
    told: &str,
) -> (Vec<Line>, Option<String>) {
    let refused = |why: &str| (Vec::new(), Some(why.to_owned()));
    let record = talk.desk().record();
    if record.visit != visit {
        return refused(
            "another visit is at the table; use sulcus reopen or sulcus addendum for this one",
        );
    }
    if record.phase == Phase::Open {
        return refused("the visit is open; write a note");
    }
    saved(talk, event, told)
}

/// One fact that needs no conversation; told by voice as one that was said.
fn written(talk: &mut Talk, event: Event, told: &str) -> (Vec<Line>, Option<String>) {
    if talk.desk().record().phase == Phase::Finished {
        return (Vec::new(), Some("the visit is finished".to_owned()));
    }
    saved(talk, event, told)
}

fn saved(talk: &mut Talk, event: Event, told: &str) -> (Vec<Line>, Option<String>) {
    let values = usize::from(event.is_value());
    match talk
        .desk()
        .append(Draft::new(event, Some(&press::pressed())))
    {
        Ok(()) => {
            let mut lines = vec![
                Line::Pressed(told.to_owned()),
                Line::Saved { facts: 1, values },
            ];
            let entries = if values > 0 {
                vec![talk.desk().record().last]
            } else {
                Vec::new()
            };
            lines.extend(talk.say_all(vec![Phrase::new(told).saying_back(entries)]));
            (lines, None)
        }
        Err(error) => (
            vec![Line::Trouble(error.to_string())],
            Some(error.to_string()),
        ),
    }
}
