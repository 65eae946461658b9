//! The visit being worked on: journal, record and conversation held together.
//! Knows no sound and no threads; the loops around it bring utterances and speak its phrases.
//!
//! Invariant: a phrase that says a value back is returned only after the commit that holds the value returned.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use uuid::Uuid;

use super::clinic::{Clinic, ClinicError};
use super::notes;
use crate::clock::Clock;
use crate::grammar::{Grammar, GrammarError, Situation};
use crate::plan::{self, spoken::Part};
use crate::record::fold::Phase;
use crate::record::{Draft, Entry, Event, Heard, Journal, JournalError, Record};
use crate::session::{Phrase, Rules, RulesError, Said, Session, Slot, Wish};
use crate::speech::WordGraph;
use crate::terms::{Patient, ToothNumber};

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

/// What came of one utterance or press.
#[derive(Debug, Default)]
pub struct Taken {
    /// Saved, in the order of the journal.
    pub entries: Vec<Entry>,
    /// To be said now.
    pub phrases: Vec<Phrase>,
    pub wishes: Vec<Wish>,
    /// Nothing of it was saved. Already told by `phrases`.
    pub failure: Option<JournalError>,
}

pub struct Desk {
    journal: Journal,
    record: Record,
    session: Session,
    rules: Rules,
    grammar: Grammar,
    graphs: BTreeMap<Situation, Arc<WordGraph>>,
    clock: Box<dyn Clock>,
    /// What could not be saved, to be offered again.
    unsaved: Option<Said>,
    /// The clinic's own limits and times for the plan.
    settings: plan::Settings,
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
        let grammar = clinic.grammar()?;
        let rules = Rules::built_in()?.with_strengths(clinic.plan.anaesthetic.strengths());
        let mut journal = Journal::open(folder)?;
        let unfinished = if new { None } else { unfinished(&journal)? };
        let is_resumed = unfinished.is_some();
        let record = match (unfinished, opening) {
            (Some(record), _) => record,
            (None, Some(opening)) => begin(&mut journal, opening, None, clock.as_mut())?,
            (None, None) => return Err(DeskError::NoVisit),
        };
        if let Some(days) = clinic.note_sound_days {
            // What could not be deleted now is tried at the next start.
            let _ = notes::expire(folder, days, clock.now().at);
        }
        let mut session = Session::new(rules.clone());
        let phrases = if is_resumed {
            session.resumed(&record)
        } else {
            session.started(&record)
        };
        let desk = Self {
            journal,
            record,
            session,
            rules,
            grammar,
            graphs: BTreeMap::new(),
            clock,
            unsaved: None,
            settings: clinic.plan,
        };
        Ok((desk, phrases))
    }

    /// The next patient, once the visit before is finished. Returns what to say first.
    pub fn begin(&mut self, opening: Opening, heard: &Heard) -> Result<Vec<Phrase>, DeskError> {
        self.record = begin(&mut self.journal, opening, Some(heard), self.clock.as_mut())?;
        self.session = Session::new(self.rules.clone());
        self.unsaved = None;
        Ok(self.session.started(&self.record))
    }

    /// Takes in what was said or pressed: saves what follows from it and gives what to say.
    pub fn take(&mut self, said: &Said) -> Taken {
        let now = self.clock.now();
        let step = self.session.step(&self.record, said, now);
        match self.journal.append(self.record.visit, &step.drafts, now) {
            Ok(entries) => {
                for entry in &entries {
                    self.record.apply(entry);
                }
                self.unsaved = None;
                let phrases = self.session.saved(&self.record, &entries, &step);
                Taken {
                    entries,
                    phrases,
                    wishes: step.wishes,
                    failure: None,
                }
            }
            Err(failure) => {
                self.unsaved = Some(said.clone());
                Taken {
                    phrases: vec![not_saved(&failure)],
                    failure: Some(failure),
                    ..Taken::default()
                }
            }
        }
    }

    /// These values are being said back: "no" speaks of them.
    pub fn heard_back(&mut self, entries: &[u64]) {
        self.session.heard_back(entries);
    }

    /// A phrase was said to its end: the values in it count as read back.
    pub fn said_to_end(&mut self, phrase: &Phrase) -> Result<(), JournalError> {
        let Some(draft) = Session::said_to_end(&self.record, phrase) else {
            return Ok(());
        };
        self.append(draft)
    }

    /// Saves a fact that no intent made.
    pub fn append(&mut self, draft: Draft) -> Result<(), JournalError> {
        let entries = self
            .journal
            .append(self.record.visit, &[draft], self.clock.now())?;
        for entry in &entries {
            self.record.apply(entry);
        }
        Ok(())
    }

    /// After a failed write: opens the journal afresh and folds what it really holds.
    /// The utterance that was not saved is kept; `true` where it is indeed not in the journal.
    pub fn reopen(self) -> Result<(Self, Option<Said>), DeskError> {
        let Self {
            journal,
            record,
            session,
            rules,
            grammar,
            graphs,
            clock,
            unsaved,
            settings,
        } = self;
        let folder = journal.folder().to_owned();
        let (visit, known) = (record.visit, record.last);
        // The lock must be free before the journal is opened again.
        drop(journal);
        let journal = Journal::open(&folder)?;
        let entries = journal.entries(visit)?;
        let record = Record::fold(&entries).ok_or(DeskError::NoOpening(visit))?;
        // A commit that failed may still have reached the disk: then it is not offered again.
        let offer = if record.last == known { unsaved } else { None };
        let desk = Self {
            journal,
            record,
            session,
            rules,
            grammar,
            graphs,
            clock,
            unsaved: None,
            settings,
        };
        Ok((desk, offer))
    }

    /// What time alone brings up.
    pub fn remind(&mut self) -> Vec<Phrase> {
        let now = self.clock.now();
        let gag_minutes = self.settings.limits.cat_gag_minutes_max;
        self.session.remind(&self.record, now, gag_minutes)
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

    /// The other visits. One that cannot be read is left out here; `sulcus verify` tells of it.
    fn past(&self) -> Vec<Record> {
        let lines = self.journal.visits().unwrap_or_default();
        lines
            .iter()
            .filter(|line| line.visit != self.record.visit)
            .filter_map(|line| Record::fold(&self.journal.entries(line.visit).ok()?))
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

    pub fn journal(&self) -> &Journal {
        &self.journal
    }

    /// Where the conversation is.
    pub fn situation(&self) -> Situation {
        Session::situation(&self.record)
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

fn not_saved(failure: &JournalError) -> Phrase {
    let why = match failure {
        JournalError::Shut => "the journal must be opened again",
        other => other.fault().words(),
    };
    Phrase::new("not_saved").with("why", Slot::Text(why.to_owned()))
}

/// The newest visit that is not finished.
fn unfinished(journal: &Journal) -> Result<Option<Record>, DeskError> {
    for line in journal.visits()? {
        let record =
            Record::fold(&journal.entries(line.visit)?).ok_or(DeskError::NoOpening(line.visit))?;
        if record.phase == Phase::Open {
            return Ok(Some(record));
        }
    }
    Ok(None)
}
