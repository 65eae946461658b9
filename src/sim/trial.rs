//! One seed, one trial: examinations appended to a journal on a failing disk, with an oracle beside it.
//!
//! The oracle after every start: each entry whose append returned is there exactly; an append that did not return
//! is there whole or not at all; every hash fits; numbers have no gap; nothing is told as lost; the record folded
//! from the journal is the one folded from what was said.

use std::collections::BTreeMap;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use uuid::Uuid;

use super::disk::{Fault, Plan, PowerCut};
use super::examination::{Examinations, Step};
use super::file_layer::SimulatedDisk;
use crate::clock::{Clock, SetClock};
use crate::record::journal::verify_on;
use crate::record::{Draft, Entry, Journal, JournalError, Record, Reopened};

/// What goes wrong in a trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    PowerCutDropsAll,
    PowerCutKeepsAll,
    PowerCutMixture,
    WriteFails,
    DiskFull,
    HalfWritten,
    SyncFails,
    SyncFailsAndForgets,
    ReadFails,
}

impl Kind {
    pub const ALL: [Self; 9] = [
        Self::PowerCutDropsAll,
        Self::PowerCutKeepsAll,
        Self::PowerCutMixture,
        Self::WriteFails,
        Self::DiskFull,
        Self::HalfWritten,
        Self::SyncFails,
        Self::SyncFailsAndForgets,
        Self::ReadFails,
    ];

    pub fn title(self) -> &'static str {
        match self {
            Self::PowerCutDropsAll => "power cut, every unsynced write lost",
            Self::PowerCutKeepsAll => "power cut, every unsynced write kept",
            Self::PowerCutMixture => {
                "power cut, unsynced writes kept, lost, torn at 512 or 4096 bytes or half garbage, in any mixture"
            }
            Self::WriteFails => "a write fails (EIO)",
            Self::DiskFull => "disk full (ENOSPC)",
            Self::HalfWritten => "disk full in the middle of a write",
            Self::SyncFails => "a sync fails (EIO), later syncs keep silent about it",
            Self::SyncFailsAndForgets => {
                "a sync fails (EIO) and the unsaved bytes vanish from memory"
            }
            Self::ReadFails => "a read fails (EIO)",
        }
    }

    fn power_cut(self) -> Option<PowerCut> {
        match self {
            Self::PowerCutDropsAll => Some(PowerCut::DropAll),
            Self::PowerCutKeepsAll => Some(PowerCut::KeepAll),
            Self::PowerCutMixture => Some(PowerCut::Mixture),
            _ => None,
        }
    }

    fn fault(self) -> Option<Fault> {
        match self {
            Self::WriteFails => Some(Fault::WriteFails),
            Self::DiskFull => Some(Fault::DiskFull),
            Self::HalfWritten => Some(Fault::HalfWritten),
            Self::SyncFails => Some(Fault::SyncFails),
            Self::SyncFailsAndForgets => Some(Fault::SyncFailsAndForgets),
            Self::ReadFails => Some(Fault::ReadFails),
            _ => None,
        }
    }
}

/// What a trial came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    pub kind: Kind,
    /// Power cuts and errors that the disk made.
    pub fault_count: u64,
    /// Entries told as saved.
    pub saved_count: u64,
    /// Entries told as saved that were not there later.
    pub lost_count: u64,
    /// Appends told as not saved.
    pub refused_count: u64,
    /// Of those: found whole in the file at the next opening, and told as saved then.
    pub adopted_count: u64,
    /// One of the messages that the failure gave.
    pub told: Option<String>,
    /// What the oracle says; none where all is well.
    pub failure: Option<String>,
}

/// Runs the trial of a seed. `lies` lets syncs do nothing, to see that the oracle notices.
pub fn run(seed: u64, lies: bool) -> Outcome {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let kind = Kind::ALL[rng.random_range(0..Kind::ALL.len())];
    let setting = Setting {
        step_count: rng.random_range(10..70),
        checkpoint_commits: rng.random_range(1..25),
        fault_every: rng.random_range(5..120),
        lies,
    };
    Trial::new(seed, kind, setting).run()
}

/// A short trial with one fault, at the operation (or read, for a failing one) with the given count.
pub fn run_with_fault_at(seed: u64, kind: Kind, at: u64) -> Outcome {
    let mut trial = Trial::new(seed, kind, Setting::SHORT);
    trial.next_fault = Some(at);
    trial.run()
}

/// How many operations and reads the short trial of a seed takes without a fault.
pub fn short_length(seed: u64) -> (u64, u64) {
    let mut trial = Trial::new(seed, Kind::PowerCutDropsAll, Setting::SHORT);
    let examined = trial.rng.random();
    // Without a fault there is nothing to fail; the seeds of the tests show it.
    let _ = trial.examine(examined);
    trial.disk.with(|disk| (disk.operations(), disk.reads()))
}

#[derive(Debug, Clone, Copy)]
struct Setting {
    step_count: usize,
    checkpoint_commits: u32,
    /// Operations between two faults, at most.
    fault_every: u64,
    lies: bool,
}

impl Setting {
    const SHORT: Self = Self {
        step_count: 12,
        checkpoint_commits: 4,
        fault_every: 0,
        lies: false,
    };
}

struct Trial {
    rng: ChaCha8Rng,
    setting: Setting,
    disk: SimulatedDisk,
    clock: SetClock,
    /// What was told as saved.
    saved: BTreeMap<Uuid, Vec<Entry>>,
    /// The append whose fate nobody knows.
    pending: Option<(Uuid, Vec<Draft>)>,
    /// Count of the operation of the first fault, where it is not left to the dice.
    next_fault: Option<u64>,
    /// Added to the operations between two faults while nothing gets saved: a start and an append take some
    /// thirty operations, and fewer between two faults would never let one through.
    patience: u64,
    outcome: Outcome,
}

impl Trial {
    fn new(seed: u64, kind: Kind, setting: Setting) -> Self {
        Self {
            rng: ChaCha8Rng::seed_from_u64(seed ^ 0x5eed),
            setting,
            disk: SimulatedDisk::new(seed),
            clock: SetClock::at_second(1_700_000_000),
            saved: BTreeMap::new(),
            pending: None,
            next_fault: None,
            patience: 0,
            outcome: Outcome {
                kind,
                fault_count: 0,
                saved_count: 0,
                lost_count: 0,
                refused_count: 0,
                adopted_count: 0,
                told: None,
                failure: None,
            },
        }
    }

    fn run(mut self) -> Outcome {
        let seed = self.rng.random();
        if let Err(failure) = self.examine(seed) {
            self.outcome.failure = Some(failure);
        }
        self.outcome
    }

    fn examine(&mut self, seed: u64) -> Result<(), String> {
        self.plan();
        let steps: Vec<Step> = Examinations::with_teeth(seed, 4)
            .take(self.setting.step_count)
            .collect();
        let mut journal: Option<Journal> = None;
        for step in steps {
            self.clock.advance_ms(step.wait_ms);
            if self.rng.random_bool(0.05) {
                // Set back by a day: numbers are the order, not time.
                self.clock.0.at -= jiff::SignedDuration::from_hours(24);
            }
            if self.rng.random_bool(0.04) {
                journal = None;
            }
            // Until the step is in: what is not saved is said again.
            loop {
                let mut open = match journal.take() {
                    Some(open) => open,
                    None => self.open()?,
                };
                if self.is_in(&step)? {
                    journal = Some(open);
                    break;
                }
                match open.append(step.visit, &step.drafts, self.clock.now()) {
                    Ok(entries) => {
                        self.save(&step, entries)?;
                        journal = Some(open);
                        break;
                    }
                    Err(error) => {
                        self.refused(&error)?;
                        self.pending = Some((step.visit, step.drafts.clone()));
                        journal = self.after_failure(open)?;
                    }
                }
            }
        }
        drop(journal);
        self.power_cut(PowerCut::DropAll);
        let journal = self.open()?;
        // From here on the disk is well: what is looked at now is what was left.
        self.disk.with(|disk| disk.plan(Plan::default()));
        drop(journal);
        let report =
            verify_on(&self.disk.folder(1)).map_err(|why| format!("cannot be verified: {why}"))?;
        match report.problems.first() {
            None => Ok(()),
            Some(problem) => Err(format!("verify finds: {problem}")),
        }
    }

    /// Whether the step is already among what was told as saved: it was adopted after a start.
    fn is_in(&mut self, step: &Step) -> Result<bool, String> {
        let Some((visit, drafts)) = &self.pending else {
            return Ok(false);
        };
        if *visit != step.visit || *drafts != step.drafts {
            return Err("the trial lost its way".into());
        }
        let entries = self.saved.get(visit).map(Vec::as_slice).unwrap_or_default();
        let tail = entries.len().checked_sub(drafts.len());
        let is_in = tail.is_some_and(|tail| is_of(&entries[tail..], drafts));
        self.pending = None;
        Ok(is_in)
    }

    fn save(&mut self, step: &Step, entries: Vec<Entry>) -> Result<(), String> {
        if !is_of(&entries, &step.drafts) {
            return Err("what was returned is not what was said".into());
        }
        self.patience = 0;
        let saved = self.saved.entry(step.visit).or_default();
        for entry in entries {
            if entry.number != saved.len() as u64 + 1 {
                return Err(format!("entry {} out of order", entry.number));
            }
            saved.push(entry);
            self.outcome.saved_count += 1;
        }
        Ok(())
    }

    fn refused(&mut self, error: &JournalError) -> Result<(), String> {
        self.outcome.refused_count += 1;
        self.patience += 1;
        match error {
            JournalError::NotSaved { .. } => {
                self.outcome.told = Some(error.to_string());
                Ok(())
            }
            other => Err(format!("a failed append was told as: {other}")),
        }
    }

    /// After an append was refused: the way of the app (reopen), or of a person (start again).
    fn after_failure(&mut self, mut journal: Journal) -> Result<Option<Journal>, String> {
        if self.disk.with(|disk| disk.is_off()) {
            return Ok(None);
        }
        self.outcome.fault_count += 1;
        if self.rng.random_bool(0.2) {
            // The person ends the program; only then the disk is well again.
            drop(journal);
            self.plan();
            return Ok(None);
        }
        for _ in 0..50 {
            match journal.reopen() {
                Ok(reopened) => {
                    self.became(reopened)?;
                    self.compare(&journal)?;
                    if self.rng.random_bool(0.3) {
                        // What was told must hold even if the power fails at once.
                        self.power_cut(PowerCut::DropAll);
                        return Ok(None);
                    }
                    self.plan();
                    return Ok(Some(journal));
                }
                Err(_) if self.disk.with(|disk| disk.is_off()) => return Ok(None),
                Err(JournalError::Damaged { .. } | JournalError::Corrupt { .. })
                    if self.outcome.kind != Kind::ReadFails =>
                {
                    return Err("a failed write was told as damage".into());
                }
                Err(_) => {}
            }
        }
        Err("the journal cannot be opened afresh although the disk is well".into())
    }

    fn became(&mut self, reopened: Reopened) -> Result<(), String> {
        let Some((visit, drafts)) = self.pending.clone() else {
            return Err("nothing was pending".into());
        };
        match reopened {
            Reopened::NothingWaited => Err("the failed append was forgotten".into()),
            Reopened::NotSaved {
                visit: of,
                drafts: kept,
            } if of == visit && kept == drafts => Ok(()),
            Reopened::NotSaved { .. } => Err("other drafts than those that failed are kept".into()),
            Reopened::WasSaved(entries) => {
                self.outcome.adopted_count += 1;
                let step = Step {
                    visit,
                    drafts,
                    wait_ms: 0,
                };
                self.save(&step, entries)
            }
        }
    }

    /// Starts, as often as it takes, and compares what is there with what was told.
    fn open(&mut self) -> Result<Journal, String> {
        for _ in 0..200 {
            if self.disk.with(|disk| disk.is_off()) {
                self.outcome.fault_count += 1;
                self.patience += 1;
                let cut = self.outcome.kind.power_cut().unwrap_or(PowerCut::DropAll);
                self.disk.power_cycle(cut);
                if self.next_fault.is_none() {
                    self.plan();
                }
            }
            let folder = self.disk.folder(self.setting.checkpoint_commits);
            match Journal::open_on(Box::new(folder)) {
                Ok(journal) => {
                    match self.compare(&journal) {
                        Ok(()) => return Ok(journal),
                        // The fault may strike while the oracle reads.
                        Err(_) if self.disk.with(|disk| disk.is_off()) => continue,
                        Err(why) if why.starts_with("cannot read") && self.is_faulty() => continue,
                        Err(why) => return Err(why),
                    }
                }
                Err(_) if self.disk.with(|disk| disk.is_off()) => {}
                Err(error) if self.is_faulty() => {
                    self.outcome.fault_count += 1;
                    self.outcome.told.get_or_insert_with(|| error.to_string());
                }
                Err(error) => {
                    self.outcome.lost_count +=
                        self.saved.values().map(Vec::len).sum::<usize>() as u64;
                    return Err(format!("cannot be opened: {error}"));
                }
            }
        }
        Err("cannot be opened although the disk is well".into())
    }

    fn is_faulty(&self) -> bool {
        self.outcome.kind.fault().is_some()
    }

    /// The oracle. What nobody knows becomes known here: a pending append that is there counts as told.
    fn compare(&mut self, journal: &Journal) -> Result<(), String> {
        if let Some(lost) = journal.lost_ends().first() {
            self.outcome.lost_count += lost.saved - lost.held;
            return Err(format!("told as lost: {lost}"));
        }
        let lines = journal
            .visits()
            .map_err(|why| format!("cannot read the visits: {why}"))?;
        let mut visits: Vec<Uuid> = self.saved.keys().copied().collect();
        visits.extend(lines.iter().map(|line| line.visit));
        visits.sort_unstable();
        visits.dedup();
        for visit in visits {
            let entries = journal
                .entries(visit)
                .map_err(|why| format!("cannot read: {why}"))?;
            let saved = self.saved.entry(visit).or_default();
            if entries.len() < saved.len() || entries[..saved.len()] != saved[..] {
                let same = entries
                    .iter()
                    .zip(saved.iter())
                    .take_while(|(entry, saved)| entry == saved);
                let lost = saved.len() - same.count();
                self.outcome.lost_count += lost as u64;
                return Err(format!("{lost} saved entries of visit {visit} are lost"));
            }
            let more = &entries[saved.len()..];
            if !more.is_empty() {
                match &self.pending {
                    Some((of, drafts)) if *of == visit && is_of(more, drafts) => {
                        self.outcome.saved_count += more.len() as u64;
                        self.outcome.adopted_count += 1;
                        saved.extend_from_slice(more);
                    }
                    _ => return Err(format!("visit {visit} holds what nobody said")),
                }
            }
            if Record::fold(&entries) != Record::fold(saved) {
                return Err(format!("visit {visit} folds to another record"));
            }
        }
        Ok(())
    }

    fn power_cut(&mut self, cut: PowerCut) {
        self.outcome.fault_count += u64::from(self.next_fault.is_none());
        self.disk.power_cycle(cut);
        self.plan();
    }

    /// Plans the next fault.
    fn plan(&mut self) {
        let span = (self.setting.fault_every + self.patience).max(1);
        let after = self.rng.random_range(1..=span);
        let count = self.rng.random_range(1..4);
        let (next, kind, lies) = (self.next_fault.take(), self.outcome.kind, self.setting.lies);
        let is_spent = next.is_none() && self.setting.fault_every == 0;
        self.disk.with(|disk| {
            let now = match kind {
                Kind::ReadFails => disk.reads(),
                _ => disk.operations(),
            };
            let at = next.unwrap_or(now + after);
            disk.plan(Plan {
                power_cut_at: (kind.power_cut().is_some() && !is_spent).then_some(at),
                fault: kind
                    .fault()
                    .filter(|_| !is_spent)
                    .map(|fault| (at, fault, count)),
                lies,
            });
        });
    }
}

/// Whether the entries are what the drafts say.
fn is_of(entries: &[Entry], drafts: &[Draft]) -> bool {
    entries.len() == drafts.len()
        && entries.iter().zip(drafts).all(|(entry, draft)| {
            entry.event == draft.event
                && entry.heard == draft.heard
                && entry.supersedes == draft.supersedes
        })
}
