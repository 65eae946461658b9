//! The nurse's view: a page on this machine that shows the visit live and sends presses into the queue that
//! speech goes into. Reads snapshots of the visit; never writes the journal and never changes a record.
//!
//! Invariants: a press has no effect here, only where `app` takes it; nothing is shown as saved that is not in
//! the record; every request passes the guard.

mod archive;
mod connections;
mod guard;
mod keys;
mod live;
mod messages;
pub mod mouth;
mod papers;
pub mod press;
mod sayings;
mod server;
mod signing;
pub mod state;
mod strip;
mod tls;
mod watch_press;
mod watch_words;
mod words;

#[cfg(test)]
mod tests;

pub use keys::{Browser, browsers, shut_out};
#[cfg(test)]
pub(crate) use messages::faults as messages_faults;
pub use messages::{ENGLISH, MessagesError, languages};
pub(crate) use messages::{File as MessagesFile, MessagesOut, of_files as messages_of};
pub use papers::{Paper, Papers, PapersError};
pub use press::{NotNow, Press, Pressed, Reply};
pub use sayings::{RefusedSaying, Sayings};
pub use server::{Notice, ServeOptions, WebError, serve};
pub use signing::Signing;
pub use tls::{CERTIFICATE_FILE, Certificate, certificate, good_until};

pub(crate) use connections::{Connections, Counting, Line};
pub(crate) use guard::{HEADERS, Names, cookie};
pub(crate) use server::names;
pub use watch_press::ReadingIn;

use jiff::Timestamp;
use std::sync::Arc;

use crate::plan::checks::{CheckLine, CheckState};
use crate::plan::{self, Settings};
use crate::record::{How, Record};
use crate::session::reply;
use crate::terms::anaesthetic::Strengths;
use crate::terms::watch_settings::WatchSettings;
use crate::terms::{Species, ToothNumber};

/// Port where none is given: fixed, so that an open page finds the program again after a restart.
pub const PORT: u16 = 7311;

/// What was heard or pressed last, and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct HeardLine {
    /// As heard; empty for a press.
    pub words: String,
    /// After a refusal: the nearest ways of saying something.
    pub near: Vec<String>,
    /// 0.0 to 1.0; of the least sure word.
    pub confidence: f32,
    /// What was made of it; empty where it was not understood.
    pub understood: String,
    /// In the journal, synced.
    pub saved: bool,
    /// It was understood, and the disk did not take it.
    pub is_lost: bool,
    pub how: How,
    pub at: Timestamp,
}

/// How much a remark of the program weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Good to know.
    Note,
    /// Wants looking at before the visit ends.
    Caution,
    /// Wants looking at now.
    Urgent,
}

/// Something the record shows that wants a look. Not a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alert {
    pub weight: Weight,
    pub text: String,
    pub tooth: Option<ToothNumber>,
}

impl Alert {
    /// A point of the check list that something speaks against.
    fn of(line: &CheckLine) -> Option<Self> {
        (line.state == CheckState::Attention).then(|| Self {
            weight: if line.blocks_waking {
                Weight::Urgent
            } else {
                Weight::Caution
            },
            text: match (&line.detail, line.key.as_str()) {
                // Its time runs on the page beside it.
                (_, "gag_cat") => "gag in a cat: let it close".to_owned(),
                (Some(detail), key) => format!("{}: {detail}", key.replace('_', " ")),
                (None, _) => line.cited.text.clone(),
            },
            tooth: None,
        })
    }
}

/// A point of the check list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckPoint {
    /// Sent back when it is ticked by touch.
    pub key: String,
    pub text: String,
    pub is_done: bool,
    /// False where the record itself ticks it off.
    pub is_by_hand: bool,
}

impl CheckPoint {
    /// The points of the plan's check list that this visit asks for.
    pub fn of(lines: &[CheckLine]) -> Vec<Self> {
        lines
            .iter()
            .filter(|line| line.state != CheckState::NotNeeded)
            .map(|line| Self {
                key: line.key.clone(),
                text: match &line.detail {
                    Some(detail) if line.state == CheckState::Attention => {
                        format!("{}: {detail}", line.cited.text)
                    }
                    _ => line.cited.text.clone(),
                },
                is_done: line.state == CheckState::Done,
                is_by_hand: line.is_by_hand,
            })
            .collect()
    }
}

/// What fails at present, and what nobody has acknowledged yet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Trouble {
    /// Why the disk takes nothing; none where it does.
    pub why: Option<String>,
    /// What people said and nobody saved, in order: to be written down.
    pub unsaved: Vec<String>,
    /// Alarms that nobody has acknowledged.
    pub alarms: Vec<String>,
}

/// All that the page shows. Published whole by `app` after each change.
#[derive(Debug, Clone, Default)]
pub struct View {
    /// None: no visit is open.
    pub record: Option<Arc<Record>>,
    pub heard: Option<HeardLine>,
    /// What the program said last, in writing.
    pub said: Vec<String>,
    /// The question that waits for yes or no.
    pub question: Option<String>,
    /// What the program waits for, in a few words.
    pub awaited: String,
    /// Sentences that fit here, the likeliest first.
    pub sayable: Vec<&'static str>,
    /// Level of the microphone, dB below full scale (0 is the loudest). None: no microphone.
    pub level_dbfs: Option<f32>,
    pub is_speaking: bool,
    /// Speech is being taken in.
    pub is_listening: bool,
    /// Failures and warnings of the program itself.
    pub warnings: Vec<String>,
    pub missing: Vec<ToothNumber>,
    pub alerts: Vec<Alert>,
    pub check_list: Vec<CheckPoint>,
    /// Of the solutions in the house.
    pub strengths: Strengths,
    /// After so many minutes the time is marked; none: never.
    pub anaesthetic_minutes_max: Option<u32>,
    pub gag_minutes_max: Option<u32>,
    /// Interval and limits of the watch over the anaesthetic.
    pub watch: WatchSettings,
    /// Deeper readings are drawn heavier.
    pub normal_depth_mm: u8,
    pub trouble: Trouble,
    /// When the newest commit returned.
    pub saved_at: Option<Timestamp>,
}

impl View {
    /// What follows from the record and the clinic's settings; the rest is empty.
    pub fn of(record: &Arc<Record>, settings: &Settings) -> Self {
        let checks = plan::check_list(record, settings);
        let half_read = reply::half_read(record)
            .into_iter()
            // At the tooth at hand the readings are still coming.
            .filter(|(tooth, _)| Some(*tooth) != record.tooth)
            .map(|(tooth, count)| Alert {
                weight: Weight::Caution,
                text: format!("{count} depths not read"),
                tooth: Some(tooth),
            });
        let alerts = checks
            .iter()
            .filter_map(Alert::of)
            .chain(half_read)
            .collect();
        let limits = &settings.limits;
        let is_cat = record.patient.species == Species::Cat;
        Self {
            check_list: CheckPoint::of(&checks),
            strengths: settings.anaesthetic.strengths(),
            anaesthetic_minutes_max: limits.anaesthetic_minutes_max,
            // No safe time is published for dogs.
            gag_minutes_max: is_cat.then_some(limits.cat_gag_minutes_max),
            watch: settings.watch.clone(),
            normal_depth_mm: limits.normal_depth_mm(record.patient.species),
            question: record.open_challenge().map(|open| open.question.clone()),
            awaited: state::awaited(record),
            sayable: crate::session::sayable::sentences(record),
            is_listening: record.is_listening,
            missing: reply::missing_teeth(record),
            alerts,
            record: Some(Arc::clone(record)),
            ..Self::default()
        }
    }
}
