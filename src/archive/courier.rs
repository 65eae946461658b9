//! What brings finished visits from the outbox to the archive, by itself and beside the work.
//!
//! Invariants: a visit is put into the outbox before it is sent, and is marked as sent only after the archive said
//! that it holds it; what the archive refuses is told and waits for a person; an archive that is away holds up nothing.
//! It goes in steps of a few visits, between which it can be ended; what a step reads does not grow with the journal
//! once the finished visits were looked through.

use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::thread::JoinHandle;
use std::time::{Duration, Instant, SystemTime};

use crossbeam_channel::{Receiver, RecvTimeoutError, Sender, bounded, unbounded};
use jiff::Timestamp;
use uuid::Uuid;

use super::link::{Link, visit_of};
use super::parcel::{Farewell, Outcome, Parcel};
use super::settings::Settings;
use super::{ArchiveError, CLOCK_SECONDS_MAX, kept};
use crate::journal::{DataFolder, Journal, Key, Seen};
use crate::leisure;
use crate::outbox::{self, Delivery, Format, Outbox, State};
use crate::terms::Patient;

/// Between two looks at the outbox.
const ROUND_SECONDS: u64 = 15;
/// Between two looks whether a visit was opened or finished, which is not waited with.
const LOOK_SECONDS: u64 = 2;
/// Visits that are handed over in one step: within a second, so that an end of the program waits no longer.
const STEP: usize = 10;
/// Between two steps beside the work: the handing over of an old journal takes half of a processor at most, and hours.
const PAUSE: Duration = Duration::from_secs(1);
/// Between two looks through all of the outbox, for what another command had tried again there.
const LOOK_THROUGH_SECONDS: u64 = 600;

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
    /// More is due than one step takes.
    pub has_more: bool,
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

/// Hands over all that is finished and due, step by step, and tells each visit as it was tried.
///
/// # Errors
/// Where the table's own files fail. An archive that is away is no error: it is told in the round.
pub fn hand_over(
    settings: &Settings,
    folder: &Path,
    journal: &Journal,
    mut tell: impl FnMut(&Tried),
) -> Result<Round, ArchiveError> {
    let mut carrier = Carrier::open(folder)?;
    let mut all = Round::default();
    loop {
        let round = carrier.step(settings, journal, STEP)?;
        round.tried.iter().for_each(&mut tell);
        all.tried.extend(round.tried);
        (all.away, all.clock_ahead_s) = (round.away, round.clock_ahead_s);
        if all.away.is_some() || !round.has_more {
            return Ok(all);
        }
    }
}

/// Finished visits that are not in the outbox yet.
///
/// # Errors
/// Where the table's own files cannot be read.
pub fn not_begun(outbox: &Outbox, journal: &Journal, address: &str) -> Result<usize, ArchiveError> {
    let known = outbox.keys(Format::Archive)?;
    let heads = journal.finished_heads()?;
    let is_new = |head: &&(Uuid, String)| !known.contains(&parcel_of(head, address).key());
    Ok(heads.iter().filter(is_new).count())
}

/// What of the journal goes to this archive. The journal has the entries; a second copy would only be able to differ.
fn parcel_of((visit, head): &(Uuid, String), address: &str) -> outbox::Parcel {
    outbox::Parcel {
        visit: *visit,
        journal_hash: head.clone(),
        target: address.to_owned(),
        format: Format::Archive,
        body: head.clone().into_bytes(),
    }
}

/// Carries step by step, and knows how far it has looked.
struct Carrier {
    folder: PathBuf,
    outbox: Outbox,
    /// How far the journal was looked through for finished visits.
    seen: Option<Seen>,
    /// Finished visits that are not in the outbox yet, oldest first: of a table that begins with an old journal.
    backlog: VecDeque<(Uuid, String)>,
    /// Rows of the outbox before this one wait for nothing.
    waits_from: i64,
    looked_through_at: Instant,
}

impl Carrier {
    fn open(folder: &Path) -> Result<Self, ArchiveError> {
        Ok(Self {
            folder: folder.to_owned(),
            outbox: Outbox::open(folder)?,
            seen: None,
            backlog: VecDeque::new(),
            waits_from: 0,
            looked_through_at: Instant::now(),
        })
    }

    /// Looks for visits that were finished since the last look; whether there were any.
    fn look(&mut self, journal: &Journal, address: &str) -> Result<bool, ArchiveError> {
        let now = journal.seen()?;
        if self.seen == Some(now) {
            return Ok(false);
        }
        let is_found = match self.seen {
            Some(before) if before.is_followed_by(now) => {
                // Before the backlog: who finishes a visit need not wait for those of years ago.
                let parcels: Vec<outbox::Parcel> = journal
                    .finished_heads_since(before)?
                    .iter()
                    .map(|head| parcel_of(head, address))
                    .collect();
                self.outbox.queue_all(&parcels, Timestamp::now())?;
                !parcels.is_empty()
            }
            _ => {
                let known = self.outbox.keys(Format::Archive)?;
                self.backlog = journal
                    .finished_heads()?
                    .into_iter()
                    .filter(|head| !known.contains(&parcel_of(head, address).key()))
                    .collect();
                !self.backlog.is_empty()
            }
        };
        self.seen = Some(now);
        Ok(is_found)
    }

    /// What is due, so many at most, out of the outbox and into it from the backlog. Another place's parcels wait until
    /// it is the archive again.
    fn due(
        &mut self,
        address: &str,
        now: Timestamp,
        most: usize,
    ) -> Result<Vec<outbox::Item>, ArchiveError> {
        const SENT: [Format; 2] = [Format::Archive, Format::Farewell];
        let long = Duration::from_secs(LOOK_THROUGH_SECONDS);
        if self.looked_through_at.elapsed() >= long {
            (self.waits_from, self.looked_through_at) = (0, Instant::now());
        }
        let (mut items, first) =
            self.outbox
                .due_from(self.waits_from, &SENT, address, now, most)?;
        self.waits_from = first;
        if items.len() < most && !self.backlog.is_empty() {
            let count = (most - items.len()).min(self.backlog.len());
            let parcels: Vec<outbox::Parcel> = self
                .backlog
                .iter()
                .take(count)
                .map(|head| parcel_of(head, address))
                .collect();
            self.outbox.queue_all(&parcels, now)?;
            self.backlog.drain(..count);
            items = self.outbox.due_from(first, &SENT, address, now, most)?.0;
        }
        Ok(items)
    }

    /// Puts what is finished into the outbox and sends what is due, `most` visits.
    fn step(
        &mut self,
        settings: &Settings,
        journal: &Journal,
        most: usize,
    ) -> Result<Round, ArchiveError> {
        let mut round = Round::default();
        let Some(link) = Link::open(settings, &self.folder)? else {
            return Ok(round);
        };
        self.look(journal, link.address())?;
        let now = Timestamp::now();
        let waiting = self.due(link.address(), now, most)?;
        match link.hello() {
            Ok(hello) => round.clock_ahead_s = now.duration_since(hello.now).as_secs(),
            Err(why) => {
                round.away = Some(why.to_string());
                return Ok(round);
            }
        }
        let key = Key::read(&DataFolder::new(&self.folder))
            .map_err(ArchiveError::Settings)?
            .ok_or_else(|| {
                ArchiveError::Settings(
                    "clinic.key is missing, so nothing can be signed for the archive; lay a copy of it there".into(),
                )
            })?;
        round.has_more = waiting.len() >= most;
        for mut item in waiting {
            let (delivery, is_away) = match send(&link, journal, &key, &mut item) {
                Ok(delivery) => (delivery, false),
                Err(ArchiveError::Refused(why)) => (Delivery::Refused(why), false),
                Err(ArchiveError::Journal(why)) => (Delivery::Refused(why.to_string()), false),
                Err(why) => (Delivery::Again(why.to_string()), true),
            };
            self.outbox.note(&item, &delivery, now)?;
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
        let thread = std::thread::spawn(move || {
            leisure::give_way();
            go(&settings, &folder, &tell, &stopped);
        });
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

/// What the thread holds open: a journal is checked when it is opened, and that costs.
struct Held {
    journal: Journal,
    carrier: Carrier,
    seen: Option<Seen>,
    /// The patient on the table, whose history is wanted.
    patient: Option<Patient>,
}

impl Held {
    fn open(folder: &Path) -> Result<Self, ArchiveError> {
        Ok(Self {
            journal: Journal::open_reader(folder)?,
            carrier: Carrier::open(folder)?,
            seen: None,
            patient: None,
        })
    }

    /// Looks at what is new in the journal; whether a visit was finished.
    fn look(&mut self, address: &str) -> Result<bool, ArchiveError> {
        let now = self.journal.seen()?;
        if self.seen != Some(now) {
            self.patient = self.journal.open_patient()?;
            self.seen = Some(now);
        }
        self.carrier.look(&self.journal, address)
    }
}

fn go(settings: &Settings, folder: &Path, tell: &Sender<String>, stopped: &Receiver<()>) {
    let address = settings.address.clone().unwrap_or_default();
    let address = address.trim_end_matches('/');
    let mut held: Option<Held> = None;
    let (mut is_away, mut has_more, mut ends) = (true, false, false);
    let mut before: Vec<String> = Vec::new();
    // Whose history was fetched, and whose was asked for at least once.
    let (mut fetched, mut asked): (Option<Patient>, Option<Patient>) = (None, None);
    let mut rounded_at: Option<Instant> = None;
    kept::expire(folder, SystemTime::now());
    loop {
        if held.is_none() {
            held = Held::open(folder).ok();
        }
        let is_finished = match held.as_mut().map(|held| held.look(address)) {
            Some(Ok(is_finished)) => is_finished,
            Some(Err(_)) => {
                // Opened afresh the next time.
                held = None;
                false
            }
            None => false,
        };
        let patient = held.as_ref().and_then(|held| held.patient.clone());
        let is_wanted = patient.is_some() && patient != asked;
        let is_due = rounded_at.is_none_or(|at| at.elapsed().as_secs() >= ROUND_SECONDS);
        if is_due || is_finished || is_wanted || ends || (has_more && !is_away) {
            rounded_at = Some(Instant::now());
            asked.clone_from(&patient);
            (is_away, has_more) = (true, false);
            let warnings = match held.as_mut().map(|held| {
                held.carrier
                    .step(settings, &held.journal, if ends { 2 * STEP } else { STEP })
            }) {
                None => Vec::new(),
                Some(Ok(round)) => {
                    (is_away, has_more) = (round.away.is_some(), round.has_more);
                    let mut warnings = round.warnings();
                    if let (Some(patient), false) = (&patient, is_away)
                        && fetched.as_ref() != Some(patient)
                    {
                        match fetch_history(settings, folder, patient) {
                            Ok(_) => fetched = Some(patient.clone()),
                            Err(why) => {
                                warnings.push(format!("no history of {}: {why}", patient.name));
                            }
                        }
                    }
                    warnings
                }
                Some(Err(why)) => {
                    held = None;
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
        let pause = if has_more && !is_away {
            PAUSE
        } else {
            Duration::from_secs(LOOK_SECONDS)
        };
        match stopped.recv_timeout(pause) {
            Err(RecvTimeoutError::Timeout) => {}
            // One last step for the visit that was just finished, unless that would only wait.
            _ if is_away => return,
            _ => ends = true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::{Clock, SetClock};
    use crate::record::{Draft, Event};
    use crate::terms::Species;

    const ADDRESS: &str = "http://127.0.0.1:9";

    fn write(journal: &mut Journal, clock: &mut SetClock, number: u128, is_finished: bool) {
        let opened = Event::VisitOpened {
            patient: Patient::example(Species::Cat),
            vet: None,
            nurse: None,
        };
        let end = is_finished.then_some(Event::VisitFinished);
        let drafts: Vec<Draft> = std::iter::once(opened)
            .chain(end)
            .map(|event| Draft::new(event, None))
            .collect();
        clock.advance_ms(1_000);
        journal
            .append(Uuid::from_u128(number), &drafts, clock.now())
            .expect("saved");
    }

    #[test]
    fn what_is_finished_now_goes_before_the_visits_of_years_ago() {
        let folder = tempfile::tempdir().expect("a folder");
        let mut journal = Journal::open(folder.path()).expect("opens");
        let mut clock = SetClock::at_second(1_790_000_000);
        for number in 1..=30 {
            write(&mut journal, &mut clock, number, true);
        }
        let reader = Journal::open_reader(folder.path()).expect("opens");
        let mut carrier = Carrier::open(folder.path()).expect("opens");
        let now = Timestamp::now();
        let visits = |items: &[outbox::Item]| -> Vec<u128> {
            items
                .iter()
                .map(|item| visit_of(&item.visit).expect("a name").as_u128())
                .collect()
        };
        assert!(carrier.look(&reader, ADDRESS).expect("looks"));
        assert!(
            !carrier.look(&reader, ADDRESS).expect("looks"),
            "nothing is new"
        );
        let mut due = carrier.due(ADDRESS, now, STEP).expect("due");
        due.sort_by_key(|item| item.visit.clone());
        assert_eq!(visits(&due), (1..=10).collect::<Vec<_>>());
        assert_eq!(carrier.backlog.len(), 20);
        for item in &due {
            carrier
                .outbox
                .note(item, &Delivery::Taken("taken".into()), now)
                .expect("noted");
        }
        // One is begun, one is finished: the next step brings the finished one beside nine of the old.
        write(&mut journal, &mut clock, 31, false);
        assert!(!carrier.look(&reader, ADDRESS).expect("looks"));
        write(&mut journal, &mut clock, 32, true);
        assert!(carrier.look(&reader, ADDRESS).expect("looks"));
        let now = Timestamp::now();
        let next = visits(&carrier.due(ADDRESS, now, STEP).expect("due"));
        assert!(next.contains(&32) && next.len() == STEP, "{next:?}");
        assert_eq!(carrier.backlog.len(), 11);
        assert!(carrier.waits_from > 10, "{}", carrier.waits_from);
        // Another place's parcels are not sent here.
        assert_eq!(
            carrier
                .due("http://127.0.0.1:8", now, 1)
                .expect("due")
                .len(),
            1,
            "of its own, out of the backlog"
        );
        // A forgotten visit has all looked through once more, and loses nothing.
        journal
            .forget(Uuid::from_u128(32), "a wish (invented)", now)
            .expect("forgotten");
        carrier.look(&reader, ADDRESS).expect("looks");
        // What went to the other place alone is back.
        assert_eq!(carrier.backlog.len(), 11);
    }
}
