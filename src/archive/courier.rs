//! What brings finished visits from the outbox to the archive, by itself and beside the work.
//!
//! Invariants: a visit is put into the outbox before it is sent, and is marked as sent only after the archive said
//! that it holds it; what the archive refuses is told and waits for a person; an archive that is away holds up nothing.

use std::path::Path;
use std::thread::JoinHandle;
use std::time::{Duration, Instant, SystemTime};

use crossbeam_channel::{Receiver, RecvTimeoutError, Sender, bounded, unbounded};
use jiff::Timestamp;
use uuid::Uuid;

use super::link::{Link, visit_of};
use super::parcel::{Farewell, Outcome, Parcel};
use super::settings::Settings;
use super::{ArchiveError, CLOCK_SECONDS_MAX, kept};
use crate::journal::{DataFolder, Journal, Key, State as VisitState, Wanted};
use crate::outbox::{self, Delivery, Format, Outbox, State};
use crate::terms::Patient;

/// Between two looks at the outbox.
const ROUND_SECONDS: u64 = 15;
/// Between two looks whether a visit was opened or finished, which is not waited with.
const LOOK_SECONDS: u64 = 2;

/// What became of one parcel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tried {
    pub visit: String,
    pub state: State,
    /// What the archive said.
    pub answer: String,
}

/// What one round did.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Round {
    /// What was tried in it.
    pub tried: Vec<Tried>,
    /// Why the archive took nothing, where it did not.
    pub away: Option<String>,
    /// Seconds by which this table's clock is ahead of the archive's.
    pub clock_ahead_s: i64,
}

impl Round {
    /// What people should know of it, a sentence each.
    pub fn warnings(&self) -> Vec<String> {
        let mut all: Vec<String> = self
            .tried
            .iter()
            .filter(|tried| tried.state == State::Refused)
            .map(|tried| {
                format!(
                    "the archive refuses visit {}: {}; it stays here, sulcus archive status tells more",
                    tried.visit, tried.answer
                )
            })
            .collect();
        if self.clock_ahead_s.abs() > CLOCK_SECONDS_MAX {
            let minutes = (self.clock_ahead_s.abs() + 30) / 60;
            all.push(format!(
                "the clock of this table is {minutes} minutes {} that of the archive; one of the two is wrong, set it",
                if self.clock_ahead_s > 0 { "ahead of" } else { "behind" }
            ));
        }
        all.extend(self.away.clone());
        all
    }
}

/// Puts what is finished into the outbox and sends what is due.
///
/// # Errors
/// Where the table's own files fail. An archive that is away is no error: it is told in the round.
pub fn round(settings: &Settings, folder: &Path, journal: &Journal) -> Result<Round, ArchiveError> {
    let mut round = Round::default();
    let mut outbox = Outbox::open(folder)?;
    let Some(link) = Link::open(settings, folder)? else {
        return Ok(round);
    };
    queue(&mut outbox, journal, link.address())?;
    let now = Timestamp::now();
    let waiting = outbox.due(&[Format::Archive, Format::Farewell], now)?;
    match link.hello() {
        Ok(hello) => round.clock_ahead_s = now.duration_since(hello.now).as_secs(),
        Err(why) => {
            round.away = Some(why.to_string());
            return Ok(round);
        }
    }
    let key = Key::read(&DataFolder::new(folder))
        .map_err(ArchiveError::Settings)?
        .ok_or_else(|| {
            ArchiveError::Settings(
                "clinic.key is missing, so nothing can be signed for the archive; lay a copy of it there".into(),
            )
        })?;
    for mut item in waiting {
        // Another place's parcels wait until it is the archive again.
        if item.target != link.address() {
            continue;
        }
        let (delivery, is_away) = match send(&link, journal, &key, &mut item) {
            Ok(delivery) => (delivery, false),
            Err(ArchiveError::Refused(why)) => (Delivery::Refused(why), false),
            Err(ArchiveError::Journal(why)) => (Delivery::Refused(why.to_string()), false),
            Err(why) => (Delivery::Again(why.to_string()), true),
        };
        outbox.note(&item, &delivery, now)?;
        let (state, answer) = match delivery {
            Delivery::Taken(answer) => (State::Sent, answer),
            Delivery::Again(answer) => (State::Waiting, answer),
            Delivery::Refused(answer) => (State::Refused, answer),
        };
        if is_away {
            round.away = Some(answer.clone());
        }
        round.tried.push(Tried {
            visit: item.visit,
            state,
            answer,
        });
        if is_away {
            break;
        }
    }
    Ok(round)
}

/// Finished visits whose newest entry was not put in yet.
fn queue(outbox: &mut Outbox, journal: &Journal, address: &str) -> Result<(), ArchiveError> {
    let known = outbox.keys(Format::Archive)?;
    let now = Timestamp::now();
    for (visit, head) in journal.finished_heads()? {
        let parcel = outbox::Parcel {
            visit,
            journal_hash: head.clone(),
            target: address.to_owned(),
            format: Format::Archive,
            // The journal has it; a second copy would only be able to differ.
            body: head.into_bytes(),
        };
        if !known.contains(&parcel.key()) {
            outbox.queue(&parcel, now)?;
        }
    }
    Ok(())
}

fn send(
    link: &Link,
    journal: &Journal,
    key: &Key,
    item: &mut outbox::Item,
) -> Result<Delivery, ArchiveError> {
    let gone = || Delivery::Taken("nothing to hand over: the visit is not here any more".into());
    if item.format == Format::Farewell {
        let farewell: Farewell = serde_json::from_slice(&item.body)
            .map_err(|why| ArchiveError::Refused(format!("the wish cannot be read: {why}")))?;
        link.forget(&farewell)?;
        return Ok(Delivery::Taken("deleted in the archive too".into()));
    }
    let Some(visit) = visit_of(&item.visit) else {
        return Ok(gone());
    };
    // What was sent before keeps no body: then it is the newest entry that is meant.
    let head = match item.body.as_slice() {
        [] => journal
            .rows(visit)?
            .pop()
            .map(|row| row.hash)
            .unwrap_or_default(),
        head => String::from_utf8_lossy(head).into_owned(),
    };
    let Some(parcel) = Parcel::of(journal, key, visit, &head)? else {
        return Ok(gone());
    };
    let sent = parcel.rows.len() as u64;
    Ok(Delivery::Taken(match link.deliver(&parcel)? {
        Outcome::Taken { held } => format!("taken: {held} entries"),
        Outcome::Known { held } if held > sent => format!(
            "held already, with {} entries more than this journal has: it was brought back from an older copy",
            held - sent
        ),
        Outcome::Known { held } => format!("held already: {held} entries"),
    }))
}

/// Asks the archive for the earlier visits of a patient, and keeps them for when it is away; how many there are.
///
/// # Errors
/// Where the archive is away or refuses, or they cannot be kept.
pub fn fetch_history(
    settings: &Settings,
    folder: &Path,
    patient: &Patient,
) -> Result<usize, ArchiveError> {
    match Link::open(settings, folder)? {
        Some(link) => kept::fetch(&link, folder, patient),
        None => Ok(0),
    }
}

/// The patient of the visit that is open, and whose history is wanted.
fn on_the_table(journal: &Journal) -> Option<Patient> {
    let wanted = Wanted {
        state: Some(VisitState::Open),
        most: Some(1),
        ..Wanted::default()
    };
    journal
        .summaries(&wanted)
        .ok()?
        .into_iter()
        .find_map(|summary| {
            (summary.state == VisitState::Open)
                .then_some(summary.patient)
                .flatten()
        })
}

/// Puts the wish that a forgotten visit be deleted in the archive too into the outbox.
///
/// # Errors
/// Where the outbox cannot be written.
pub fn forget(
    settings: &Settings,
    folder: &Path,
    visit: Uuid,
    reason: &str,
    at: Timestamp,
) -> Result<bool, ArchiveError> {
    let Some(address) = &settings.address else {
        return Ok(false);
    };
    let farewell = Farewell {
        visit,
        reason: reason.to_owned(),
        at,
    };
    let body =
        serde_json::to_vec(&farewell).map_err(|why| ArchiveError::Settings(why.to_string()))?;
    Outbox::open(folder)?.queue(
        &outbox::Parcel {
            visit,
            journal_hash: String::new(),
            target: address.trim_end_matches('/').to_owned(),
            format: Format::Farewell,
            body,
        },
        at,
    )?;
    Ok(true)
}

/// Goes its rounds on a thread of its own while a table works.
#[derive(Debug)]
pub struct Courier {
    /// What people should know, once each time it changes.
    pub told: Receiver<String>,
    stop: Option<Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

impl Courier {
    /// Starts it where the settings name an archive.
    pub fn start(settings: &Settings, folder: &Path) -> Option<Self> {
        settings.address.as_ref()?;
        let (tell, told) = unbounded();
        let (stop, stopped) = bounded(1);
        let (settings, folder) = (settings.clone(), folder.to_owned());
        let thread = std::thread::spawn(move || go(&settings, &folder, &tell, &stopped));
        Some(Self {
            told,
            stop: Some(stop),
            thread: Some(thread),
        })
    }
}

impl Drop for Courier {
    fn drop(&mut self) {
        drop(self.stop.take());
        if let Some(thread) = self.thread.take() {
            // What it had begun is finished, or waits in the outbox.
            let _ = thread.join();
        }
    }
}

fn go(settings: &Settings, folder: &Path, tell: &Sender<String>, stopped: &Receiver<()>) {
    // Kept open: a journal is checked when it is opened, and that costs.
    let mut journal: Option<Journal> = None;
    let mut is_away = true;
    let mut before: Vec<String> = Vec::new();
    let mut ends = false;
    // Whose history was fetched, and how many visits were finished, at the last round.
    let mut fetched: Option<Patient> = None;
    let (mut finished, mut rounded_at) = (None, Instant::now());
    kept::expire(folder, SystemTime::now());
    loop {
        if journal.is_none() {
            journal = Journal::open_reader(folder).ok();
        }
        let patient = journal.as_ref().and_then(on_the_table);
        let count = journal
            .as_ref()
            .and_then(|open| Some(open.finished_heads().ok()?.len()));
        let is_due = rounded_at.elapsed() >= Duration::from_secs(ROUND_SECONDS);
        if !is_due
            && !ends
            && finished.is_some()
            && count == finished
            && (patient.is_none() || patient == fetched)
        {
            match stopped.recv_timeout(Duration::from_secs(LOOK_SECONDS)) {
                Err(RecvTimeoutError::Timeout) => {}
                _ if is_away => return,
                _ => ends = true,
            }
            continue;
        }
        (finished, rounded_at) = (count, Instant::now());
        is_away = true;
        if let Some(open) = &journal {
            let warnings = match round(settings, folder, open) {
                Ok(round) => {
                    is_away = round.away.is_some();
                    let mut warnings = round.warnings();
                    if let (Some(patient), false) = (&patient, is_away)
                        && fetched.as_ref() != Some(patient)
                    {
                        match fetch_history(settings, folder, patient) {
                            Ok(_) => fetched = Some(patient.clone()),
                            Err(why) => {
                                warnings.push(format!("no history of {}: {why}", patient.name))
                            }
                        }
                    }
                    warnings
                }
                Err(why) => {
                    journal = None;
                    vec![why.to_string()]
                }
            };
            for warning in warnings.iter().filter(|warning| !before.contains(warning)) {
                // Nobody need listen.
                let _ = tell.send(warning.clone());
            }
            before = warnings;
        }
        if ends {
            return;
        }
        match stopped.recv_timeout(Duration::from_secs(LOOK_SECONDS)) {
            Err(RecvTimeoutError::Timeout) => {}
            // One last round for the visit that was just finished, unless that would only wait.
            _ if is_away => return,
            _ => ends = true,
        }
    }
}
