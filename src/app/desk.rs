//! The visit being worked on: journal, record and conversation held together.
//! Knows no sound and no threads; the loops around it bring utterances and speak its phrases.
//!
//! Invariants: a phrase that says a value back is returned only after the commit that holds the value returned;
//! what cannot be saved is kept in order, and entered in that order or told as not saved.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use uuid::Uuid;

use super::clinic::{Clinic, ClinicError};
use super::flow::Flow;
use super::kept::{self, Kept, Waiting};
use super::notes;
use crate::archive;
use crate::clock::{Clock, Now};
use crate::grammar::{Grammar, GrammarError, Intent, Situation, nearest};
use crate::plan::{self, spoken::Part};
use crate::record::event::Telling;
use crate::record::fold::Phase;
use crate::record::journal::{Past, State, Wanted};
use crate::record::{Draft, Entry, Event, Heard, Journal, JournalError, Record, Reopened};
use crate::session::{Phrase, Rules, RulesError, Said, Session, Slot, Step, Wish};
use crate::speech::WordGraph;
use crate::terms::{Patient, ToothNumber, Weight};

/// Who is on the table, for a new visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    pub patient: Patient,
    pub vet: Option<String>,
    pub nurse: Option<String>,
}

/// What can fail at the desk.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// A bug of the files compiled in, or a fault in the clinic's own words.
    #[error(transparent)]
    Grammar(#[from] GrammarError),
    #[error(transparent)]
    Clinic(#[from] ClinicError),
    #[error(transparent)]
    Rules(#[from] RulesError),
    /// Ask the person: nothing is open and no patient was given.
    #[error("no unfinished visit; begin one with --species dog|cat and --patient NAME")]
    NoVisit,
    /// The visit's first entry does not open it.
    #[error("visit {0} does not begin with its opening; run sulcus verify")]
    NoOpening(Uuid),
}

/// An end that the disk lost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loss {
    pub patient: String,
    /// Entries that had been saved and are gone.
    pub count: u64,
    /// All that is known of it, for the screen.
    pub told: String,
}

/// What came of one utterance or press.
#[derive(Debug, Default)]
pub struct Taken {
    /// Saved, in the order of the journal.
    pub entries: Vec<Entry>,
    /// To be said now.
    pub phrases: Vec<Phrase>,
    pub wishes: Vec<Wish>,
    /// The quiet tone for vital signs that are due; once for each interval.
    pub is_vitals_tone: bool,
    /// A tone that could not sound yet is still of use.
    pub may_sound_vitals: bool,
    /// Nothing of it was saved.
    pub not_saved: Option<NotSaved>,
}

/// What was not saved.
#[derive(Debug)]
pub struct NotSaved {
    /// Why, where this was the input at which the disk failed; none where it was known to take nothing.
    pub failure: Option<JournalError>,
    /// What was said, for people who write it down.
    pub words: String,
    /// It waits in memory for the disk. A "confirm" does not: it would be of what nobody heard.
    pub is_kept: bool,
}

impl Taken {
    /// What came after it.
    fn join(&mut self, later: Self) {
        self.entries.extend(later.entries);
        self.phrases.extend(later.phrases);
        self.wishes.extend(later.wishes);
        self.is_vitals_tone |= later.is_vitals_tone;
        self.may_sound_vitals |= later.may_sound_vitals;
        self.not_saved = later.not_saved.or(self.not_saved.take());
    }
}

/// In how many of the patient's newest visits an earlier weight is looked for: a start must not wait for all.
const VISITS_LOOKED_AT: usize = 10;

pub struct Desk {
    journal: Journal,
    record: Record,
    session: Session,
    rules: Rules,
    grammar: Grammar,
    graphs: BTreeMap<Situation, Arc<WordGraph>>,
    clock: Box<dyn Clock>,
    /// What could not be saved, to be entered when the disk takes it.
    kept: Waiting,
    /// The journal refuses writing until it was opened afresh.
    is_down: bool,
    /// The clinic's own limits and times for the plan.
    settings: plan::Settings,
    flow: Flow,
    keeps_refused: bool,
}

impl Desk {
    /// Goes on with the newest unfinished visit, or begins one where there is none (or `new` asks for it).
    /// Returns what to say first.
    pub fn open(
        folder: &Path,
        opening: Option<Opening>,
        new: bool,
        mut clock: Box<dyn Clock>,
    ) -> Result<(Self, Vec<Phrase>), DeskError> {
        let clinic = Clinic::load(folder)?;
        // Before a visit is opened: what is wrong in the clinic's own words leaves nothing behind.
        clinic.grammar()?;
        let mut journal = Journal::open(folder)?;
        let unfinished = if new { None } else { unfinished(&journal)? };
        let is_resumed = unfinished.is_some();
        let record = match (unfinished, opening) {
            (Some(record), _) => record,
            (None, Some(opening)) => begin(&mut journal, opening, None, clock.as_mut())?,
            (None, None) => return Err(DeskError::NoVisit),
        };
        Self::at(journal, record, is_resumed, clinic, clock)
    }

    /// Goes on with this visit of a journal that is open already. Returns what to say first.
    pub fn of_visit(
        journal: Journal,
        visit: Uuid,
        clock: Box<dyn Clock>,
    ) -> Result<(Self, Vec<Phrase>), DeskError> {
        let clinic = Clinic::load(journal.folder())?;
        let record = Record::fold(&journal.entries(visit)?).ok_or(DeskError::NoOpening(visit))?;
        let is_resumed = record.last > 1;
        Self::at(journal, record, is_resumed, clinic, clock)
    }

    fn at(
        journal: Journal,
        record: Record,
        is_resumed: bool,
        clinic: Clinic,
        mut clock: Box<dyn Clock>,
    ) -> Result<(Self, Vec<Phrase>), DeskError> {
        let grammar = clinic.grammar()?;
        let rules = Rules::built_in()?
            .with_strengths(clinic.plan.anaesthetic.strengths())
            .with_watch(clinic.plan.watch.clone(), clinic.plan.drug_shelf())
            .with_customs(clinic.flow.customs());
        if let Some(days) = clinic.note_sound_days {
            // What could not be deleted now is tried at the next start.
            let _ = notes::expire(journal.folder(), days, clock.now().at);
        }
        let mut session = Session::new(rules.clone());
        let mut phrases = if is_resumed {
            session.resumed(&record)
        } else {
            session.started(&record)
        };
        let mut desk = Self {
            journal,
            record,
            session,
            rules,
            grammar,
            graphs: BTreeMap::new(),
            clock,
            kept: Waiting::default(),
            is_down: false,
            keeps_refused: !clinic.forgets_refused,
            settings: clinic.plan,
            flow: clinic.flow,
        };
        if !is_resumed {
            phrases.extend(desk.ask_weight());
        }
        Ok((desk, phrases))
    }

    /// The question about a weight that is far from that of the visit before.
    fn ask_weight(&mut self) -> Vec<Phrase> {
        if self.is_down {
            return Vec::new();
        }
        let Some(before) = self.weight_before() else {
            return Vec::new();
        };
        let now = self.clock.now();
        match self.session.ask_weight(&self.record, before, now) {
            // Where it is not saved, the next thing said tells of the disk.
            Some(step) => self.append_unasked(step, now).phrases,
            None => Vec::new(),
        }
    }

    /// The weight of this patient at its newest earlier visit.
    fn weight_before(&self) -> Option<Weight> {
        let lines = self.journal.visits_of_patient(&self.record.patient).ok()?;
        lines
            .iter()
            .filter(|line| line.visit != self.record.visit)
            .filter(|line| {
                line.patient.as_ref().is_some_and(|earlier| {
                    plan::progress::is_same_patient(earlier, &self.record.patient)
                })
            })
            .take(VISITS_LOOKED_AT)
            .filter_map(|line| Record::fold(&self.journal.entries(line.visit).ok()?))
            .find(|earlier| {
                plan::progress::is_same_patient(&earlier.patient, &self.record.patient)
            })?
            .patient
            .weight
    }

    /// Saves what nobody's words brought about, and gives what to say.
    fn append_unasked(&mut self, step: Step, now: Now) -> Taken {
        match self.journal.append(self.record.visit, &step.drafts, now) {
            Ok(entries) => {
                for entry in &entries {
                    self.record.apply(entry);
                }
                Taken {
                    phrases: step.phrases,
                    entries,
                    ..Taken::default()
                }
            }
            Err(failure) => {
                self.is_down = true;
                // Nobody said it: where the file does not hold it, it comes up again by itself.
                self.kept.put_back(Kept::Said {
                    said: Said {
                        intents: Vec::new(),
                        heard: Heard::default(),
                    },
                    now,
                    tried: Some(Box::new((step, self.session.clone()))),
                    words: String::new(),
                });
                Taken {
                    not_saved: Some(NotSaved {
                        failure: Some(failure),
                        words: String::new(),
                        is_kept: true,
                    }),
                    ..Taken::default()
                }
            }
        }
    }

    /// The next patient, once the visit before is finished. Returns what to say first.
    pub fn begin(&mut self, opening: Opening, heard: &Heard) -> Result<Vec<Phrase>, DeskError> {
        let begun = begin(&mut self.journal, opening, Some(heard), self.clock.as_mut());
        self.is_down |= self.journal.is_shut();
        let mut phrases = self.sit_down(begun?);
        phrases.extend(self.ask_weight());
        Ok(phrases)
    }

    /// Goes on with another visit that was left open. Returns what to say first; none where it is finished.
    pub fn go_on(&mut self, visit: Uuid) -> Result<Option<Vec<Phrase>>, DeskError> {
        let record = Record::fold(&self.journal.entries(visit)?);
        let Some(record) = record.filter(|record| record.phase == Phase::Open) else {
            return Ok(None);
        };
        self.record = record;
        self.session = Session::new(self.rules.clone());
        Ok(Some(self.session.resumed(&self.record)))
    }

    /// Takes a finished visit to the table, as it is, to add to it. False where there is none such.
    pub fn turn_to(&mut self, visit: Uuid) -> Result<bool, JournalError> {
        let record = Record::fold(&self.journal.entries(visit)?);
        let Some(record) = record.filter(|record| record.phase == Phase::Finished) else {
            return Ok(false);
        };
        self.record = record;
        self.session = Session::new(self.rules.clone());
        Ok(true)
    }

    fn sit_down(&mut self, record: Record) -> Vec<Phrase> {
        self.record = record;
        self.session = Session::new(self.rules.clone());
        self.session.started(&self.record)
    }

    /// Takes in what was said or pressed: saves what follows from it and gives what to say. While the disk takes
    /// nothing it is kept, in order, behind what is kept already.
    pub fn take(&mut self, said: &Said) -> Taken {
        let now = self.clock.now();
        if self.is_down {
            return self.keep(said, now);
        }
        if self.kept.is_empty() {
            return self.enter(said, now);
        }
        // A question that came of what was kept is open, and behind it more waits.
        let is_answer = said.intents.iter().any(kept::confirms)
            || matches!(said.intents.first(), Some(Intent::Deny | Intent::Undo));
        let mut taken = if is_answer {
            self.enter(said, now)
        } else {
            let words = kept::words(said, &self.ahead(said, now).0);
            self.kept.push(Kept::Said {
                said: said.clone(),
                now,
                tried: None,
                words,
            });
            self.enter_first()
        };
        if taken.not_saved.is_none() {
            taken.join(self.enter_kept());
        }
        taken
    }

    /// What would follow from it now, and the conversation after it.
    fn ahead(&self, said: &Said, now: Now) -> (Step, Session) {
        let mut session = self.session.clone();
        if said.intents.contains(&Intent::FinishVisit) {
            session.know_conflicts(plan::open_conflicts(&self.record, &self.settings));
        }
        let step = session.step(&self.record, said, now);
        (step, session)
    }

    fn enter(&mut self, said: &Said, now: Now) -> Taken {
        let (step, session) = self.ahead(said, now);
        match self.journal.append(self.record.visit, &step.drafts, now) {
            Ok(entries) => self.entered(&entries, &step, session),
            Err(failure) => {
                self.is_down = true;
                let words = kept::words(said, &step);
                self.kept.put_back(Kept::Said {
                    said: said.clone(),
                    now,
                    tried: Some(Box::new((step, session))),
                    words: words.clone(),
                });
                Taken {
                    not_saved: Some(NotSaved {
                        failure: Some(failure),
                        words,
                        is_kept: true,
                    }),
                    ..Taken::default()
                }
            }
        }
    }

    fn entered(&mut self, entries: &[Entry], step: &Step, session: Session) -> Taken {
        for entry in entries {
            self.record.apply(entry);
        }
        self.session = session;
        Taken {
            phrases: self.session.saved(&self.record, entries, step),
            entries: entries.to_vec(),
            wishes: step.wishes.clone(),
            ..Taken::default()
        }
    }

    /// While the disk takes nothing: what needs no saving is answered, the rest is kept.
    fn keep(&mut self, said: &Said, now: Now) -> Taken {
        let (step, session) = self.ahead(said, now);
        if step.drafts.is_empty() {
            return self.entered(&[], &step, session);
        }
        let words = kept::words(said, &step);
        let said = Said {
            intents: said
                .intents
                .iter()
                .filter(|intent| !kept::confirms(intent))
                .cloned()
                .collect(),
            ..said.clone()
        };
        let is_kept = !said.intents.is_empty();
        if is_kept {
            self.kept.push(Kept::Said {
                said,
                now,
                tried: None,
                words: words.clone(),
            });
        }
        Taken {
            not_saved: Some(NotSaved {
                failure: None,
                words,
                is_kept,
            }),
            ..Taken::default()
        }
    }

    /// These values are being said back: "no" speaks of them.
    pub fn heard_back(&mut self, entries: &[u64]) {
        self.session.heard_back(entries);
    }

    /// A phrase was told to its end in this way: the values in it count as read back.
    /// The failure where it could not be saved; it is kept then.
    pub fn told(&mut self, phrase: &Phrase, by: Telling) -> Option<NotSaved> {
        Session::told(&self.record, phrase, by).and_then(|draft| self.append(draft, String::new()))
    }

    /// A phrase was not, or not wholly, heard.
    pub fn not_heard(&mut self, phrase: &Phrase, why: &str) -> Option<NotSaved> {
        Session::not_heard(&self.record, phrase, why)
            .and_then(|draft| self.append(draft, String::new()))
    }

    /// Saves a fact that no intent made. Where that fails it is kept, and the failure told.
    /// `words`: for people who write it down; empty where nobody said it.
    pub fn append(&mut self, draft: Draft, words: String) -> Option<NotSaved> {
        let now = self.clock.now();
        let failure = if self.is_down || !self.kept.is_empty() {
            None
        } else {
            match self.append_all(vec![draft.clone()], now) {
                Ok(_) => return None,
                Err(failure) => Some(failure),
            }
        };
        self.is_down |= failure.is_some();
        self.kept.push(Kept::Fact {
            draft: Box::new(draft),
            now,
            words: words.clone(),
        });
        Some(NotSaved {
            failure,
            words,
            is_kept: true,
        })
    }

    fn append_all(&mut self, drafts: Vec<Draft>, now: Now) -> Result<Vec<Entry>, JournalError> {
        let entries = self.journal.append(self.record.visit, &drafts, now)?;
        for entry in &entries {
            self.record.apply(entry);
        }
        Ok(entries)
    }

    /// Ends that the disk lost, found when the journal was opened: of whose visit, and how many entries. To be told
    /// before anything else.
    pub fn losses(&self) -> Vec<Loss> {
        self.journal
            .lost_ends()
            .iter()
            .map(|lost| {
                let patient = if lost.visit == self.record.visit {
                    Some(self.record.patient.name.clone())
                } else {
                    let entries = self.journal.entries(lost.visit).ok();
                    entries
                        .and_then(|entries| Record::fold(&entries))
                        .map(|record| record.patient.name)
                };
                Loss {
                    patient: patient.unwrap_or_else(|| "a visit".to_owned()),
                    count: lost.count(),
                    told: lost.to_string(),
                }
            })
            .collect()
    }

    /// Whether the disk takes nothing at present.
    pub fn is_down(&self) -> bool {
        self.is_down
    }

    /// What people said and nobody saved, in order: to be written down.
    pub fn unsaved(&self) -> Vec<String> {
        self.kept.words()
    }

    /// After a failed write: opens the journal afresh and enters what was kept. What the failed append left in the
    /// file decides whether it is entered again. On an error all is as before: try later.
    pub fn reopen(&mut self) -> Result<Taken, JournalError> {
        let became = self.journal.reopen()?;
        self.is_down = false;
        let mut taken = Taken::default();
        if let Reopened::WasSaved(entries) = became {
            if entries
                .first()
                .is_some_and(|entry| entry.visit != self.record.visit)
            {
                // The next patient's visit was opened after all.
                if let Some(record) = Record::fold(&entries) {
                    taken.phrases = self.sit_down(record);
                    taken.entries = entries;
                }
            } else {
                taken.join(self.was_saved(entries));
            }
        }
        taken.join(self.enter_kept());
        Ok(taken)
    }

    /// The first of what was kept is in the journal already.
    fn was_saved(&mut self, entries: Vec<Entry>) -> Taken {
        match self.kept.pop() {
            Some(Kept::Said {
                tried: Some(tried), ..
            }) => {
                let (step, session) = *tried;
                self.entered(&entries, &step, session)
            }
            _ => {
                for entry in &entries {
                    self.record.apply(entry);
                }
                Taken {
                    entries,
                    ..Taken::default()
                }
            }
        }
    }

    /// Enters what was kept, up to a question that comes of it: nobody has heard that yet, so that what was said next
    /// is no answer to it, unless it takes back what was asked about.
    fn enter_kept(&mut self) -> Taken {
        let mut taken = Taken::default();
        while let Some(first) = self.kept.first() {
            let asks = self.record.open_challenge().is_some();
            let is_of_these = taken
                .entries
                .iter()
                .any(|entry| matches!(entry.event, Event::Challenged { .. }));
            if asks && is_of_these && !first.takes_back() {
                break;
            }
            let one = self.enter_first();
            let is_done = one.not_saved.is_some();
            taken.join(one);
            if is_done {
                break;
            }
        }
        taken
    }

    /// Enters the first of what was kept.
    fn enter_first(&mut self) -> Taken {
        match self.kept.pop() {
            Some(Kept::Said { said, now, .. }) => self.enter(&said, now),
            Some(Kept::Fact { draft, now, words }) => {
                match self.append_all(vec![(*draft).clone()], now) {
                    Ok(entries) => Taken {
                        entries,
                        ..Taken::default()
                    },
                    Err(failure) => {
                        self.is_down = true;
                        self.kept.put_back(Kept::Fact {
                            draft,
                            now,
                            words: words.clone(),
                        });
                        Taken {
                            not_saved: Some(NotSaved {
                                failure: Some(failure),
                                words,
                                is_kept: true,
                            }),
                            ..Taken::default()
                        }
                    }
                }
            }
            None => Taken::default(),
        }
    }

    /// What time alone brings up. While the disk takes nothing, no question is asked: it could not be kept. What would
    /// be one is said all the same.
    pub fn remind(&mut self) -> Taken {
        let now = self.clock.now();
        let takes_nothing = self.is_down || !self.kept.is_empty();
        let gag_minutes = takes_nothing.then_some(self.settings.limits.cat_gag_minutes_max);
        let reminded = self.session.remind(&self.record, now, gag_minutes);
        let mut taken = Taken {
            phrases: reminded.phrases,
            is_vitals_tone: reminded.is_tone,
            may_sound_vitals: reminded.may_sound,
            ..Taken::default()
        };
        if takes_nothing {
            return taken;
        }
        if let Some(step) = self.due(now) {
            let asked = self.append_unasked(step, now);
            taken.join(asked);
        }
        taken
    }

    /// The question that time or a pause brings up: an alert, else a conflict that nobody was asked about.
    fn due(&mut self, now: Now) -> Option<Step> {
        let gag_minutes = self.settings.limits.cat_gag_minutes_max;
        if let Some(step) = self.session.alert(&self.record, now, gag_minutes) {
            return Some(step);
        }
        if self.session.may_ask_staging(&self.record, now)
            && let Some(near) = plan::staging::near_limit(&self.record, &self.settings, now.at)
            && let Some(step) = self.session.ask_staging(&self.record, &near, now)
        {
            return Some(step);
        }
        if !self.session.is_pause(&self.record, now) {
            return None;
        }
        let open = plan::open_conflicts(&self.record, &self.settings);
        self.session.ask_conflict(&self.record, &open, now)
    }

    /// The answer to "what is the plan".
    pub fn tell_plan(&self) -> Vec<Phrase> {
        let plan = plan::make(&self.record, &self.past(), &self.settings);
        plan::spoken::spoken(&plan).iter().map(said).collect()
    }

    /// The clinic's own limits and times.
    pub fn settings(&self) -> &plan::Settings {
        &self.settings
    }

    /// The answer to "compare": the tooth at this patient's visit before.
    pub fn tell_comparison(&self, tooth: ToothNumber) -> Vec<Phrase> {
        plan::compare_spoken(&self.record, &self.past(), tooth, &self.settings)
            .iter()
            .map(said)
            .collect()
    }

    /// This patient's other visits, and the newest of the others for the lengths of work. One that cannot be read is
    /// left out here; `sulcus verify` tells of it.
    fn past(&self) -> Vec<Record> {
        let wanted = Past::of(&self.record);
        let visits = self.journal.past(&wanted).unwrap_or_default();
        let elsewhere =
            archive::kept_history(self.journal.folder(), &self.record.patient, &self.here());
        visits
            .iter()
            .filter_map(|visit| Record::fold(&self.journal.entries(*visit).ok()?))
            .chain(elsewhere)
            .collect()
    }

    /// Visits of this patient that the journal has itself.
    fn here(&self) -> Vec<Uuid> {
        let own = self.journal.visits_of_patient(&self.record.patient);
        own.unwrap_or_default()
            .iter()
            .map(|summary| summary.visit)
            .chain([self.record.visit])
            .collect()
    }

    pub fn record(&self) -> &Record {
        &self.record
    }

    pub fn rules(&self) -> &Rules {
        &self.rules
    }

    pub fn grammar(&self) -> &Grammar {
        &self.grammar
    }

    /// The words that lack a part which was asked for just now.
    pub fn lacking(&mut self) -> Option<String> {
        let now = self.clock.now();
        self.session.lacking(now).map(str::to_owned)
    }

    /// The sentences that may be said now and are nearest to the words.
    pub fn nearest(&mut self, words: &[String], most: usize) -> Vec<String> {
        let graph = self.graph(self.situation());
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        nearest::nearest(&graph, &words, most)
    }

    /// Whether refused words are kept for proposals of own sayings.
    pub fn keeps_refused(&self) -> bool {
        self.keeps_refused
    }

    pub fn journal(&self) -> &Journal {
        &self.journal
    }

    /// Where the conversation is.
    pub fn situation(&self) -> Situation {
        match Session::situation(&self.record) {
            Situation::Question if self.session.is_gathering(&self.record) => Situation::Table,
            situation => situation,
        }
    }

    /// Whether questions about odd values wait from now on; see [`Session::gather`].
    pub fn gather(&mut self, gathers: bool) {
        self.session.gather(gathers);
    }

    /// What the clinic chose for the conversation.
    pub fn flow(&self) -> &Flow {
        &self.flow
    }

    /// What may be heard in a situation; made once.
    pub fn graph(&mut self, situation: Situation) -> Arc<WordGraph> {
        // With a question open all of the table may be said: one graph serves both.
        let situation = match situation {
            Situation::Question => Situation::Table,
            other => other,
        };
        let grammar = &self.grammar;
        Arc::clone(
            self.graphs
                .entry(situation)
                .or_insert_with(|| grammar.graph(situation)),
        )
    }

    /// The clock moves by the sound that was played, where time is set and not measured.
    pub fn clock(&mut self) -> &mut dyn Clock {
        self.clock.as_mut()
    }
}

/// Writes the opening of a new visit.
fn begin(
    journal: &mut Journal,
    opening: Opening,
    heard: Option<&Heard>,
    clock: &mut dyn Clock,
) -> Result<Record, DeskError> {
    let visit = Uuid::new_v4();
    let Opening {
        patient,
        vet,
        nurse,
    } = opening;
    let event = Event::VisitOpened {
        patient,
        vet,
        nurse,
    };
    let entries = journal.append(visit, &[Draft::new(event, heard)], clock.now())?;
    Record::fold(&entries).ok_or(DeskError::NoOpening(visit))
}

/// A sentence of the plan as a phrase.
fn said(sentence: &plan::spoken::Sentence) -> Phrase {
    let parts = sentence
        .0
        .iter()
        .map(|part| match part {
            Part::Text(text) => Slot::Text(text.clone()),
            Part::Tooth(tooth) => Slot::Tooth(*tooth),
            Part::Number(number) => Slot::Number(*number),
        })
        .collect();
    Phrase::new("text").with("text", Slot::Parts(parts))
}

/// The newest visit that is not finished.
fn unfinished(journal: &Journal) -> Result<Option<Record>, DeskError> {
    let wanted = Wanted {
        state: Some(State::Open),
        ..Wanted::default()
    };
    for summary in journal.summaries(&wanted)? {
        // A damaged one cannot be gone on with; the others are not held up by it.
        if summary.state != State::Open {
            continue;
        }
        let record = Record::fold(&journal.entries(summary.visit)?)
            .ok_or(DeskError::NoOpening(summary.visit))?;
        if record.phase == Phase::Open {
            return Ok(Some(record));
        }
    }
    Ok(None)
}
