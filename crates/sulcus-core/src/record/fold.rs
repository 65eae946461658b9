//! Entries in, record out. Pure: used at start, on resume, for every output and in tests.
//!
//! Invariant: folding a then b equals folding a and b together; nothing is in the record that no entry says.

use jiff::Timestamp;
use std::collections::BTreeMap;
use uuid::Uuid;

use super::event::{Entry, Event, Heard, How, Proposed, Retraction, Telling};
use super::loss::Loss;
use crate::terms::eruption;
use crate::terms::mouth::Part;
use crate::terms::{
    Decision, Finding, Kind, MouthDecision, Patient, Place, Procedure, Reason, Subject,
    ToothNumber, Value, Watched,
};

/// How far a value has come from heard to certain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Saved, not yet said back.
    Heard,
    /// Said back; silence is no confirmation.
    ReadBack,
    Confirmed,
}

/// A value-bearing entry and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Charted {
    pub number: u64,
    pub at: Timestamp,
    pub event: Event,
    pub heard: Option<Heard>,
    pub standing: Standing,
    /// By what way it was told; none where it was not told to its end.
    pub told: Option<Telling>,
    /// How it was confirmed: the heard of the confirming entry.
    pub confirmed_by: Option<Heard>,
    pub retracted: Option<Retraction>,
    pub supersedes: Vec<u64>,
}

impl Charted {
    /// Sent by a monitor, not said by anybody.
    pub fn is_machine_read(&self) -> bool {
        self.heard
            .as_ref()
            .is_some_and(|heard| heard.how == How::Machine)
    }
}

/// A question that waits for yes or no.
#[derive(Debug, Clone, PartialEq)]
pub struct Challenge {
    pub number: u64,
    pub rule: String,
    pub question: String,
    pub proposed: Proposed,
    /// Keys of the guidance that it puts in words.
    pub conflicts: Vec<String>,
    /// None while open.
    pub accepted: Option<bool>,
    pub at: Timestamp,
    pub answered_at: Option<Timestamp>,
}

/// Where the visit stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    Open,
    Finished,
}

/// A vet's word that the visit is as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signing {
    pub number: u64,
    pub at: Timestamp,
    pub name: String,
    /// Number of the newest entry that it covers.
    pub up_to: u64,
}

/// What a value is of: the newest entry of one key counts.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Finding(Subject, Kind, Place),
    /// Kinds of which several forms stand beside each other: the form is part of the key.
    Form(Subject, Kind, Place, String),
    Decision(ToothNumber),
    /// The mouth as a whole, or a part of it.
    Mouth(Option<Part>),
    /// Procedures and notes are each their own.
    Own(u64),
}

/// The visit as it is now.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    pub visit: Uuid,
    pub patient: Patient,
    pub vet: Option<String>,
    pub nurse: Option<String>,
    pub opened_at: Timestamp,
    pub finished_at: Option<Timestamp>,
    pub phase: Phase,
    /// The tooth at hand.
    pub tooth: Option<ToothNumber>,
    /// The depths of a side are said from the front backwards, else from the back forwards.
    pub is_from_front: bool,
    pub is_listening: bool,
    /// Number of the newest entry.
    pub last: u64,
    /// Number of the newest entry that entered or took back a value.
    pub last_change: u64,
    /// Hash of the newest entry.
    pub last_hash: String,
    pub challenges: Vec<Challenge>,
    pub addenda: Vec<(Timestamp, String)>,
    pub reopenings: Vec<(Timestamp, String)>,
    /// Who signed, oldest first.
    pub signings: Vec<Signing>,
    /// What the disk lost of this visit.
    pub losses: Vec<Loss>,
    /// When the newest entry was saved.
    pub last_at: Timestamp,
    entries: BTreeMap<u64, Charted>,
    newest: BTreeMap<Key, u64>,
}

impl Record {
    /// The record of a visit's entries. None where they do not begin with the opening of a visit.
    pub fn fold(entries: &[Entry]) -> Option<Self> {
        let (first, rest) = entries.split_first()?;
        let mut record = Self::open(first)?;
        for entry in rest {
            record.apply(entry);
        }
        Some(record)
    }

    fn open(entry: &Entry) -> Option<Self> {
        let Event::VisitOpened {
            patient,
            vet,
            nurse,
        } = &entry.event
        else {
            return None;
        };
        Some(Self {
            visit: entry.visit,
            patient: patient.clone(),
            vet: vet.clone(),
            nurse: nurse.clone(),
            opened_at: entry.at,
            finished_at: None,
            phase: Phase::Open,
            tooth: None,
            is_from_front: true,
            is_listening: true,
            last: entry.number,
            last_change: entry.number,
            last_hash: entry.hash.clone(),
            challenges: Vec::new(),
            addenda: Vec::new(),
            reopenings: Vec::new(),
            signings: Vec::new(),
            losses: Vec::new(),
            last_at: entry.at,
            entries: BTreeMap::new(),
            newest: BTreeMap::new(),
        })
    }

    /// Takes in the next entry.
    pub fn apply(&mut self, entry: &Entry) {
        self.last = entry.number;
        self.last_hash.clone_from(&entry.hash);
        if entry.event.is_value() || matches!(entry.event, Event::Retracted { .. }) {
            self.last_change = entry.number;
        }
        match &entry.event {
            Event::VisitOpened { .. } => {}
            Event::PatientUpdated {
                patient,
                unsays_tests,
            } => {
                let (felv, fiv) = (self.patient.felv, self.patient.fiv);
                let chip = self.patient.microchip.take();
                self.patient = patient.clone();
                // A form that does not name a test does not unsay its result, nor a chip that was read.
                self.patient.microchip = patient.microchip.clone().or(chip);
                if !unsays_tests {
                    self.patient.felv = patient.felv.or(felv);
                    self.patient.fiv = patient.fiv.or(fiv);
                }
            }
            Event::ToothChosen { tooth } => self.tooth = Some(*tooth),
            Event::SiteOrderChosen { from_front } => self.is_from_front = *from_front,
            Event::FindingRecorded { .. }
            | Event::DecisionRecorded { .. }
            | Event::MouthDecided { .. }
            | Event::ProcedureRecorded { .. }
            | Event::WatchRecorded { .. }
            | Event::NoteRecorded { .. } => self.chart(entry),
            Event::ReadBack { entries, by } => {
                for number in entries {
                    let Some(charted) = self.entries.get_mut(number) else {
                        continue;
                    };
                    charted.standing = charted.standing.max(Standing::ReadBack);
                    charted.told = Some(*by);
                }
            }
            // Said back, but not heard: nothing to be confirmed follows from it.
            Event::ReadBackFailed { .. } => {}
            Event::Confirmed { entries } => {
                for number in entries {
                    if let Some(charted) = self.entries.get_mut(number) {
                        charted.standing = Standing::Confirmed;
                        charted.confirmed_by = Some(entry.heard.clone().unwrap_or_default());
                    }
                }
            }
            Event::Retracted { entries, why } => {
                for number in entries {
                    self.retract(*number, *why);
                }
            }
            Event::Challenged {
                rule,
                question,
                proposed,
                conflicts,
            } => self.challenges.push(Challenge {
                number: entry.number,
                rule: rule.clone(),
                question: question.clone(),
                proposed: proposed.clone(),
                conflicts: conflicts.clone(),
                accepted: None,
                at: entry.at,
                answered_at: None,
            }),
            Event::ChallengeAnswered {
                challenge,
                accepted,
            } => {
                if let Some(open) = self.challenges.iter_mut().find(|c| c.number == *challenge) {
                    open.accepted = Some(*accepted);
                    open.answered_at = Some(entry.at);
                }
            }
            // Asked or refused: nothing stands by it.
            Event::AskedFor { .. } | Event::NotUnderstood { .. } => {}
            Event::ListeningPaused => self.is_listening = false,
            Event::ListeningResumed => self.is_listening = true,
            Event::VisitFinished => {
                self.phase = Phase::Finished;
                self.finished_at = Some(entry.at);
            }
            Event::VisitReopened { reason } => {
                self.phase = Phase::Open;
                self.finished_at = None;
                self.reopenings.push((entry.at, reason.clone()));
            }
            Event::VisitSigned { name, up_to } => self.signings.push(Signing {
                number: entry.number,
                at: entry.at,
                name: name.clone(),
                up_to: *up_to,
            }),
            Event::AddendumWritten { text } => self.addenda.push((entry.at, text.clone())),
            Event::LossTold {
                first,
                last,
                until,
                hash: _,
                remains,
            } => self.losses.push(Loss {
                number: entry.number,
                found_at: entry.at,
                first: *first,
                last: *last,
                from: Some(self.last_at),
                until: *until,
                remains: remains.clone(),
            }),
        }
        self.last_at = entry.at;
    }

    fn chart(&mut self, entry: &Entry) {
        // What the entry says that it replaced is replaced, also where an older program kept one form of a finding only.
        for number in &entry.supersedes {
            let Some(before) = self.entries.get(number) else {
                continue;
            };
            let key = key(*number, &before.event);
            if self.newest.get(&key) == Some(number) {
                self.newest.remove(&key);
            }
        }
        self.newest
            .insert(key(entry.number, &entry.event), entry.number);
        self.entries.insert(
            entry.number,
            Charted {
                number: entry.number,
                at: entry.at,
                event: entry.event.clone(),
                heard: entry.heard.clone(),
                standing: Standing::Heard,
                told: None,
                confirmed_by: None,
                retracted: None,
                supersedes: entry.supersedes.clone(),
            },
        );
    }

    /// The value before comes back: the newest entry of the same key that was not itself retracted.
    fn retract(&mut self, number: u64, why: Retraction) {
        let Some(charted) = self.entries.get_mut(&number) else {
            return;
        };
        charted.retracted = Some(why);
        let replaced = charted.supersedes.clone();
        let key = key(number, &charted.event);
        let before = self
            .entries
            .values()
            .rev()
            .find(|c| c.retracted.is_none() && self::key(c.number, &c.event) == key)
            .map(|c| c.number);
        match before {
            Some(before) => self.newest.insert(key, before),
            None => self.newest.remove(&key),
        };
        // What it replaced under another key, in entries of an older program.
        for number in replaced {
            if let Some(before) = self.entries.get(&number)
                && before.retracted.is_none()
            {
                let key = self::key(number, &before.event);
                self.newest.entry(key).or_insert(number);
            }
        }
    }

    /// The values that count now, in the order in which they were entered.
    pub fn current(&self) -> impl Iterator<Item = &Charted> {
        let mut numbers: Vec<u64> = self.newest.values().copied().collect();
        numbers.sort_unstable();
        numbers
            .into_iter()
            .filter_map(|number| self.entries.get(&number))
    }

    /// Every value ever entered, replaced and withdrawn ones too.
    pub fn all(&self) -> impl Iterator<Item = &Charted> {
        self.entries.values()
    }

    pub fn entry(&self, number: u64) -> Option<&Charted> {
        self.entries.get(&number)
    }

    /// Whether this entry is the newest of its key and stands.
    pub fn is_current(&self, number: u64) -> bool {
        self.entries
            .get(&number)
            .is_some_and(|c| self.newest.get(&key(number, &c.event)) == Some(&number))
    }

    /// This value and all of the same kind and place that it replaced: taken back together, none of them comes
    /// back.
    pub fn with_replaced(&self, number: u64) -> Vec<u64> {
        let Some(charted) = self.entries.get(&number) else {
            return Vec::new();
        };
        let wanted = key(number, &charted.event);
        self.entries
            .values()
            .filter(|c| c.retracted.is_none() && key(c.number, &c.event) == wanted)
            .map(|c| c.number)
            .collect()
    }

    /// The findings that count now, with their entries.
    pub fn findings(&self) -> impl Iterator<Item = (&Finding, &Charted)> {
        self.current().filter_map(|charted| match &charted.event {
            Event::FindingRecorded { finding, .. } => Some((finding, charted)),
            _ => None,
        })
    }

    pub fn findings_of(&self, tooth: ToothNumber) -> impl Iterator<Item = (&Finding, &Charted)> {
        self.newest
            .range(Key::Finding(Subject::Tooth(tooth), Kind::Normal, Place::Whole)..)
            .take_while(
                move |(key, _)| matches!(key, Key::Finding(Subject::Tooth(of), ..) if *of == tooth),
            )
            .filter_map(|(_, number)| self.entries.get(number))
            .filter_map(|charted| match &charted.event {
                Event::FindingRecorded { finding, .. } => Some((finding, charted)),
                _ => None,
            })
    }

    pub fn finding(&self, subject: Subject, kind: Kind, place: Place) -> Option<&Charted> {
        let number = self
            .newest
            .get(&Key::Finding(subject, kind, place))
            .copied()
            .or_else(|| {
                // The newest of its forms.
                let forms = self.newest.iter().filter(|(key, _)| {
                    matches!(key, Key::Form(s, k, p, _) if (*s, *k, *p) == (subject, kind, place))
                });
                forms.map(|(_, number)| *number).max()
            })?;
        self.entries.get(&number)
    }

    /// The value of a finding of the tooth as a whole.
    pub fn value(&self, tooth: ToothNumber, kind: Kind, place: Place) -> Option<&Value> {
        match &self.finding(Subject::Tooth(tooth), kind, place)?.event {
            Event::FindingRecorded { finding, .. } => Some(&finding.value),
            _ => None,
        }
    }

    pub fn decision(&self, tooth: ToothNumber) -> Option<(&Decision, Option<Reason>, &Charted)> {
        let charted = self.entries.get(self.newest.get(&Key::Decision(tooth))?)?;
        match &charted.event {
            Event::DecisionRecorded {
                decision, reason, ..
            } => Some((decision, *reason, charted)),
            _ => None,
        }
    }

    pub fn decisions(
        &self,
    ) -> impl Iterator<Item = (ToothNumber, &Decision, Option<Reason>, &Charted)> {
        self.current().filter_map(|charted| match &charted.event {
            Event::DecisionRecorded {
                tooth,
                decision,
                reason,
                ..
            } => Some((*tooth, decision, *reason, charted)),
            _ => None,
        })
    }

    /// What is decided for the mouth and parts of it.
    pub fn mouth_decisions(&self) -> impl Iterator<Item = (&MouthDecision, &Charted)> {
        self.current().filter_map(|charted| match &charted.event {
            Event::MouthDecided { what, .. } => Some((what, charted)),
            _ => None,
        })
    }

    pub fn mouth_decision(&self, part: Option<Part>) -> Option<(&MouthDecision, &Charted)> {
        self.mouth_decisions().find(|(what, _)| what.part == part)
    }

    pub fn procedures(&self) -> impl Iterator<Item = (&Procedure, &Charted)> {
        self.current().filter_map(|charted| match &charted.event {
            Event::ProcedureRecorded { procedure, .. } => Some((procedure, charted)),
            _ => None,
        })
    }

    /// The newest signature, and how many entries came after it.
    pub fn signed(&self) -> Option<(&Signing, u64)> {
        let newest = self.signings.last()?;
        Some((newest, self.last.saturating_sub(newest.number)))
    }

    /// The question that waits for an answer, if any.
    pub fn open_challenge(&self) -> Option<&Challenge> {
        self.challenges
            .iter()
            .rev()
            .find(|challenge| challenge.accepted.is_none())
    }

    /// The entries of the anaesthetic record that count now, in the order entered.
    pub fn watched(&self) -> impl Iterator<Item = (&Watched, &Charted)> {
        self.current().filter_map(|charted| match &charted.event {
            Event::WatchRecorded { what, .. } => Some((what, charted)),
            _ => None,
        })
    }

    /// Current values that nobody has confirmed. What a machine sent waits for no confirmation: it is marked as
    /// machine-read instead.
    pub fn unconfirmed(&self) -> impl Iterator<Item = &Charted> {
        self.current()
            .filter(|charted| charted.standing < Standing::Confirmed && !charted.is_machine_read())
    }

    /// The youngest that the animal can be, in days, at the visit; none where its birth is not known.
    pub fn age_days(&self) -> Option<u32> {
        let day = jiff::tz::TimeZone::UTC.to_datetime(self.opened_at).date();
        eruption::youngest_age_days(self.patient.born.as_ref()?, day)
    }

    /// Entries that a new event of this kind would replace.
    pub fn replaced_by(&self, event: &Event) -> Vec<u64> {
        if !event.is_value() {
            return Vec::new();
        }
        self.newest
            .get(&key(0, event))
            .copied()
            .into_iter()
            .collect()
    }
}

fn key(number: u64, event: &Event) -> Key {
    match event {
        Event::FindingRecorded { finding, .. } => match (&finding.kind, &finding.value) {
            // Stomatitis of the whole mouth and of its back, crossbite of front and back teeth: one does not end the
            // other.
            (Kind::Stomatitis | Kind::Crossbite, Value::Code(code)) => {
                Key::Form(finding.subject, finding.kind, finding.place, code.clone())
            }
            _ => Key::Finding(finding.subject, finding.kind, finding.place),
        },
        Event::DecisionRecorded { tooth, .. } => Key::Decision(*tooth),
        Event::MouthDecided { what, .. } => Key::Mouth(what.part),
        _ => Key::Own(number),
    }
}
