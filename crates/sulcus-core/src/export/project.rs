//! Record and entries to the types of the own JSON. No text is made or read here.
//!
//! Invariant: every current value stands in exactly one of teeth, mouth, decisions, procedures and notes.

use std::collections::BTreeSet;

use super::anaesthetic;
use super::json::{
    Challenge, Confirmation, Decision, Document, FORMAT, Finding, Heard, HistoryLine,
    MouthDecision, Note, Outcome, Patient, Procedure, Remark, Row, SignedBy, SiteReading, Standing,
    StandingWord, Tooth, ToothState, VERSION, Visit, VisitState,
};
use crate::record::event::Retraction;
use crate::record::fold::Phase;
use crate::record::{Charted, Entry, Event, Record, StoredRow, event, fold, wording};
pub use crate::terms::key;
use crate::terms::{self, Kind, Place, Site, Stage, Subject, ToothNumber, Value, dentition};

pub fn document(record: &Record, entries: &[Entry], rows: &[StoredRow]) -> Document {
    let maker = Maker { record, entries };
    Document {
        format: FORMAT.into(),
        version: VERSION,
        invented: record.patient.invented,
        visit: Visit {
            id: record.visit.to_string(),
            opened_at: record.opened_at.to_string(),
            finished_at: record.finished_at.map(|at| at.to_string()),
            state: match record.phase {
                Phase::Open => VisitState::Open,
                Phase::Finished => VisitState::Finished,
            },
            vet: record.vet.clone(),
            nurse: record.nurse.clone(),
            signed_by: record
                .signings
                .iter()
                .map(|signing| SignedBy {
                    entry: signing.number,
                    at: signing.at.to_string(),
                    name: signing.name.clone(),
                    up_to: signing.up_to,
                })
                .collect(),
            entry_count: record.last,
            journal_hash: record.last_hash.clone(),
        },
        patient: patient(&record.patient),
        teeth: teeth(record).into_iter().map(|t| maker.tooth(t)).collect(),
        mouth: record
            .findings()
            .filter(|(finding, _)| finding.subject == Subject::Mouth)
            .map(|(finding, charted)| maker.finding(finding, charted))
            .collect(),
        decisions: maker.decisions(),
        mouth_decisions: maker.mouth_decisions(),
        procedures: maker.procedures(),
        anaesthetic: anaesthetic::of(record, &|charted| maker.standing(charted)),
        notes: maker.notes(),
        challenges: record
            .challenges
            .iter()
            .map(|challenge| Challenge {
                entry: challenge.number,
                at: challenge.at.to_string(),
                rule: challenge.rule.clone(),
                question: challenge.question.clone(),
                accepted: challenge.accepted,
                answered_at: challenge.answered_at.map(|at| at.to_string()),
                conflicts: challenge.conflicts.clone(),
            })
            .collect(),
        unconfirmed: record.unconfirmed().map(|charted| charted.number).collect(),
        addenda: remarks(&record.addenda),
        reopenings: remarks(&record.reopenings),
        losses: record.losses.iter().map(Into::into).collect(),
        signatures: Vec::new(),
        history: entries.iter().map(|entry| maker.line(entry)).collect(),
        journal: rows.iter().map(Row::from).collect(),
    }
}

/// Every permanent tooth of the species and every other tooth spoken of, in number order.
pub fn teeth(record: &Record) -> Vec<ToothNumber> {
    let mut all: BTreeSet<ToothNumber> = dentition::teeth(record.patient.species, Stage::Permanent)
        .into_iter()
        .collect();
    all.extend(record.current().filter_map(|charted| charted.event.tooth()));
    all.into_iter().collect()
}

/// What is known of the tooth as a whole.
pub fn state(record: &Record, tooth: ToothNumber) -> ToothState {
    let has = |kind| {
        record
            .finding(Subject::Tooth(tooth), kind, Place::Whole)
            .is_some()
    };
    let extracted = record.procedures().any(|(procedure, _)| {
        matches!(procedure, terms::Procedure::Extracted { tooth: of, .. } if *of == tooth)
    });
    let left = record.procedures().any(|(procedure, _)| {
        matches!(procedure, terms::Procedure::RootLeft { tooth: of, .. } if *of == tooth)
    });
    if extracted && (left || has(Kind::RootRetained)) {
        ToothState::RootLeft
    } else if extracted {
        ToothState::Extracted
    } else if has(Kind::Absent) {
        ToothState::Absent
    } else if has(Kind::Unerupted) {
        ToothState::Unerupted
    } else if record.findings_of(tooth).next().is_some() {
        ToothState::Examined
    } else {
        ToothState::NotExamined
    }
}

/// Site, entrance or part of the mouth by its key; none for the whole.
pub fn place_key(place: Place) -> Option<String> {
    match place {
        Place::Whole => None,
        Place::Site(site) => Some(key(&site)),
        Place::Entrance(entrance) => Some(key(&entrance)),
        Place::Root(root) => Some(format!("{}_root", key(&root))),
        Place::Area(area, None) => Some(key(&area)),
        Place::Area(area, Some(side)) => Some(format!("{} {}", key(&area), key(&side))),
    }
}

/// "tongue left".
pub fn part_key((area, side): terms::mouth::Part) -> String {
    place_key(Place::Area(area, side)).unwrap_or_default()
}

fn patient(patient: &terms::Patient) -> Patient {
    Patient {
        id: patient.id.clone(),
        microchip: patient.microchip.as_ref().map(ToString::to_string),
        name: patient.name.clone(),
        species: patient.species.word().into(),
        breed: patient.breed.clone(),
        sex: patient.sex.map(|sex| key(&sex)),
        born: patient.born.as_ref().map(ToString::to_string),
        weight_g: patient.weight.map(terms::Weight::grams),
        is_felv_positive: patient.felv,
        is_fiv_positive: patient.fiv,
        owner: patient.owner.clone(),
    }
}

fn heard(heard: &event::Heard) -> Heard {
    Heard {
        words: heard.words.clone(),
        confidence: heard.confidence,
        engine: heard.engine.clone(),
        model: heard.model.clone(),
        speaker: key(&heard.speaker),
        how: key(&heard.how),
        sounds_like: (!heard.sounds_like.is_unknown()).then(|| key(&heard.sounds_like)),
    }
}

fn remarks(remarks: &[(jiff::Timestamp, String)]) -> Vec<Remark> {
    remarks
        .iter()
        .map(|(at, text)| Remark {
            at: at.to_string(),
            text: text.clone(),
        })
        .collect()
}

struct Maker<'a> {
    record: &'a Record,
    entries: &'a [Entry],
}

impl Maker<'_> {
    fn standing(&self, charted: &Charted) -> Standing {
        let confirmation = self
            .entries
            .iter()
            .rev()
            .find(|entry| {
                matches!(&entry.event, Event::Confirmed { entries } if entries.contains(&charted.number))
            })
            .map(|entry| Confirmation {
                entry: entry.number,
                at: entry.at.to_string(),
                heard: entry.heard.as_ref().map(heard),
            });
        Standing {
            at: charted.at.to_string(),
            standing: match charted.standing {
                fold::Standing::Heard => StandingWord::Heard,
                fold::Standing::ReadBack => StandingWord::ReadBack,
                fold::Standing::Confirmed => StandingWord::Confirmed,
            },
            heard: charted.heard.as_ref().map(heard),
            confirmation,
            supersedes: charted.supersedes.clone(),
        }
    }

    fn finding(&self, finding: &terms::Finding, charted: &Charted) -> Finding {
        let (mut mm, mut grade, mut code, mut percent) = (None, None, None, None);
        match &finding.value {
            Value::Present => {}
            Value::Mm(value) => mm = Some(*value),
            Value::Grade(value) => grade = Some(*value),
            Value::Code(value) => code = Some(value.clone()),
            Value::Percent(value) => percent = Some(*value),
        }
        Finding {
            entry: charted.number,
            kind: finding.kind.key(),
            place: place_key(finding.place),
            mm,
            grade,
            code,
            percent,
            text: wording::finding(finding),
            standing: self.standing(charted),
        }
    }

    fn tooth(&self, tooth: ToothNumber) -> Tooth {
        Tooth {
            number: tooth.number(),
            name: dentition::name(tooth),
            state: state(self.record, tooth),
            sites: Site::ALL
                .iter()
                .map(|site| self.site(tooth, *site))
                .collect(),
            findings: self
                .record
                .findings_of(tooth)
                .map(|(finding, charted)| self.finding(finding, charted))
                .collect(),
            decision: self
                .record
                .decision(tooth)
                .map(|(_, _, charted)| charted.number),
        }
    }

    fn site(&self, tooth: ToothNumber, site: Site) -> SiteReading {
        let mm = |kind| match self.record.value(tooth, kind, Place::Site(site)) {
            Some(Value::Mm(mm)) => Some(*mm),
            _ => None,
        };
        let entry = |kind| {
            self.record
                .finding(Subject::Tooth(tooth), kind, Place::Site(site))
        };
        let standings: Vec<fold::Standing> = [
            Kind::Depth,
            Kind::Recession,
            Kind::Enlargement,
            Kind::Bleeding,
        ]
        .into_iter()
        .filter_map(entry)
        .map(|charted| charted.standing)
        .collect();
        SiteReading {
            site: key(&site),
            depth_mm: mm(Kind::Depth),
            recession_mm: mm(Kind::Recession),
            enlargement_mm: mm(Kind::Enlargement),
            // Nobody says that a site does not bleed: silence is no finding.
            bleeding: entry(Kind::Bleeding).map(|_| true),
            confirmed: (!standings.is_empty()).then(|| {
                standings
                    .iter()
                    .all(|standing| *standing == fold::Standing::Confirmed)
            }),
        }
    }

    fn decisions(&self) -> Vec<Decision> {
        let one = |tooth: ToothNumber,
                   decision: &terms::Decision,
                   reason: Option<terms::Reason>,
                   charted: &Charted| Decision {
            entry: charted.number,
            tooth: tooth.number(),
            decision: key(decision),
            recheck_months: match decision {
                terms::Decision::Monitor { months } => *months,
                _ => None,
            },
            treatment: match decision {
                terms::Decision::Treat(treatment) => Some(key(treatment)),
                _ => None,
            },
            reason: reason.map(|reason| key(&reason)),
            text: wording::event(&charted.event),
            standing: self.standing(charted),
        };
        self.record
            .decisions()
            .map(|(tooth, decision, reason, charted)| one(tooth, decision, reason, charted))
            .collect()
    }

    fn mouth_decisions(&self) -> Vec<MouthDecision> {
        self.record
            .mouth_decisions()
            .map(|(what, charted)| MouthDecision {
                entry: charted.number,
                place: what.part.map(part_key),
                decision: what.choice.key().into(),
                recheck_days: match what.choice {
                    terms::mouth::MouthChoice::Monitor { days } => Some(days),
                    _ => None,
                },
                reason: what.reason.map(|reason| key(&reason)),
                text: wording::event(&charted.event),
                standing: self.standing(charted),
            })
            .collect()
    }

    fn procedures(&self) -> Vec<Procedure> {
        self.record
            .procedures()
            .map(|(procedure, charted)| Procedure {
                entry: charted.number,
                kind: key(procedure),
                teeth: teeth_of(procedure)
                    .into_iter()
                    .map(ToothNumber::number)
                    .collect(),
                detail: match serde_json::to_value(procedure) {
                    Ok(serde_json::Value::Object(map)) => {
                        map.into_values().next().unwrap_or_default()
                    }
                    _ => serde_json::Value::Null,
                },
                text: wording::event(&charted.event),
                standing: self.standing(charted),
            })
            .collect()
    }

    fn notes(&self) -> Vec<Note> {
        self.record
            .current()
            .filter_map(|charted| match &charted.event {
                Event::NoteRecorded { tooth, text, sound } => Some(Note {
                    entry: charted.number,
                    tooth: tooth.map(ToothNumber::number),
                    text: text.clone(),
                    sound: sound.clone(),
                    standing: self.standing(charted),
                }),
                _ => None,
            })
            .collect()
    }

    fn line(&self, entry: &Entry) -> HistoryLine {
        let outcome = self
            .record
            .entry(entry.number)
            .map(|charted| match charted.retracted {
                Some(Retraction::Undone) => Outcome::Undone,
                Some(Retraction::Denied) => Outcome::Denied,
                Some(Retraction::Corrected) => Outcome::Corrected,
                Some(Retraction::Struck) => Outcome::Struck,
                None if self.record.is_current(entry.number) => Outcome::Current,
                None => Outcome::Replaced,
            });
        HistoryLine {
            entry: entry.number,
            at: entry.at.to_string(),
            text: wording::event(&entry.event),
            heard: entry.heard.as_ref().map(heard),
            supersedes: entry.supersedes.clone(),
            outcome,
        }
    }
}

/// The teeth a procedure names.
pub fn teeth_of(procedure: &terms::Procedure) -> Vec<ToothNumber> {
    match procedure {
        terms::Procedure::FilmWanted { teeth }
        | terms::Procedure::FilmTaken { teeth, .. }
        | terms::Procedure::ImageLinked { teeth, .. } => teeth.clone(),
        other => other.tooth().into_iter().collect(),
    }
}
