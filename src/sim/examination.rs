//! Invented examinations by seed: what the session would append while a vet speaks, one commit a step.
//! Knows nothing of sound or grammar. Patients are invented and marked so.
//!
//! Invariant: the entries that a step speaks of have the numbers they get when every step is appended once,
//! in order.

use std::collections::VecDeque;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use uuid::Uuid;

use crate::record::event::{Proposed, Retraction, Telling};
use crate::record::{Draft, Event, Heard, How, Speaker};
use crate::terms::finding::FRACTURES;
use crate::terms::procedure::{Block, Method};
use crate::terms::{
    Decision, Drug, Finding, Kind, MouthSide, Patient, Place, Procedure, Reason, Site, Species,
    Stage, Subject, ToothNumber, Value, Weight, dentition,
};

/// What is appended in one commit.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    pub visit: Uuid,
    pub drafts: Vec<Draft>,
    /// Since the step before.
    pub wait_ms: u64,
}

/// One examination after another, without end.
#[derive(Debug)]
pub struct Examinations {
    rng: ChaCha8Rng,
    /// Teeth of an examination at most; a whole mouth has up to 42.
    teeth_max: usize,
    visit: Uuid,
    /// Number of the last entry of the visit.
    number: u64,
    ready: VecDeque<Step>,
}

impl Examinations {
    /// Whole mouths.
    pub fn new(seed: u64) -> Self {
        Self::with_teeth(seed, usize::MAX)
    }

    /// Shorter ones, for trials that begin many visits.
    pub fn with_teeth(seed: u64, teeth_max: usize) -> Self {
        Self {
            rng: ChaCha8Rng::seed_from_u64(seed),
            teeth_max,
            visit: Uuid::nil(),
            number: 0,
            ready: VecDeque::new(),
        }
    }

    fn examine(&mut self) {
        self.visit = Uuid::from_u128(self.rng.random());
        self.number = 0;
        let species = self.choose(&[Species::Dog, Species::Cat]);
        let patient = Patient {
            id: None,
            name: self.choose(&["Pepper", "Mango", "Saffron", "Clove"]).into(),
            species,
            breed: None,
            sex: None,
            born: Some("2019-04".into()),
            weight: None,
            microchip: None,
            felv: None,
            fiv: None,
            owner: None,
            invented: true,
        };
        let weighed = Patient {
            weight: Weight::from_grams(self.rng.random_range(2_000..40_000)).ok(),
            ..patient.clone()
        };
        self.step([Event::VisitOpened {
            patient,
            vet: Some("an invented vet".into()),
            nurse: None,
        }]);
        self.step([Event::PatientUpdated {
            patient: weighed,
            unsays_tests: false,
        }]);
        if self.rng.random_bool(0.3) {
            let from_front = self.rng.random();
            self.step([Event::SiteOrderChosen { from_front }]);
        }
        let mut path = dentition::examination_path(species, Stage::Permanent);
        path.truncate(self.teeth_max);
        for tooth in path {
            self.tooth(species, tooth);
            match self.rng.random_range(0..20) {
                0 => {
                    self.step([Event::ListeningPaused]);
                    self.step([Event::ListeningResumed]);
                }
                1 => self.note(Some(tooth)),
                2 => self.mouth(),
                _ => {}
            }
        }
        self.procedures();
        self.step([Event::VisitFinished]);
        if self.rng.random_bool(0.2) {
            self.step([Event::AddendumWritten {
                text: "an invented addendum".into(),
            }]);
        }
        if self.rng.random_bool(0.1) {
            self.step([Event::VisitReopened {
                reason: "an invented reason".into(),
            }]);
            self.step([Event::VisitFinished]);
        }
    }

    fn tooth(&mut self, species: Species, tooth: ToothNumber) {
        if self.rng.random_bool(0.05) {
            let finding = finding(tooth, Kind::Absent, Place::Whole, Value::Present);
            self.step(
                [Some(Event::ToothChosen { tooth }), finding]
                    .into_iter()
                    .flatten(),
            );
            let number = self.number;
            self.read_back(number..=number);
            return;
        }
        let first = self.number + 2;
        let mut events = vec![Event::ToothChosen { tooth }];
        let depths: Vec<u8> = (0..3).map(|_| self.rng.random_range(0..9)).collect();
        let sites = [Site::MesioBuccal, Site::Buccal, Site::DistoBuccal];
        events.extend(sites.into_iter().zip(depths).filter_map(|(site, mm)| {
            finding(tooth, Kind::Depth, Place::Site(site), Value::Mm(mm))
        }));
        self.step(events);
        if self.rng.random_bool(0.1) {
            // Misheard: denied, said again.
            let wrong = self.number;
            self.step([Event::ReadBack {
                entries: (first..=wrong).collect(),
                by: Telling::Spoken,
            }]);
            let again = finding(
                tooth,
                Kind::Depth,
                Place::Site(Site::DistoBuccal),
                Value::Mm(self.rng.random_range(0..9)),
            );
            let retracted = Event::Retracted {
                entries: vec![wrong],
                why: Retraction::Corrected,
            };
            self.replace([Some(retracted), again].into_iter().flatten(), &[wrong]);
        }
        let grade = self.rng.random_range(0..4);
        let extra = match self.rng.random_range(0..6) {
            0 => finding(tooth, Kind::Mobility, Place::Whole, Value::Grade(grade)),
            1 => finding(tooth, Kind::Calculus, Place::Whole, Value::Grade(grade)),
            2 if dentition::roots(species, tooth).is_some_and(|roots| roots.count > 1) => finding(
                tooth,
                Kind::Furcation,
                Place::Whole,
                Value::Grade(grade.max(1)),
            ),
            3 => {
                let class = self.choose(FRACTURES);
                finding(
                    tooth,
                    Kind::Fracture,
                    Place::Whole,
                    Value::Code(class.into()),
                )
            }
            _ => None,
        };
        self.step(extra);
        if self.rng.random_bool(0.05) && self.number > first {
            let undone = self.number;
            self.step([Event::Retracted {
                entries: vec![undone],
                why: Retraction::Undone,
            }]);
        }
        self.read_back(first..=self.number);
        if self.rng.random_bool(0.15) {
            self.decide(tooth);
        }
    }

    fn decide(&mut self, tooth: ToothNumber) {
        let decision = self.choose(&[
            Decision::Extract,
            Decision::Monitor { months: Some(6) },
            Decision::Leave,
        ]);
        let reason = self.choose(&[None, Some(Reason::Pocket), Some(Reason::Mobility)]);
        let mut challenge = None;
        if self.rng.random_bool(0.3) {
            self.step([Event::Challenged {
                rule: "an_invented_rule".into(),
                question: "is that so".into(),
                conflicts: Vec::new(),
                proposed: Proposed::Decision {
                    tooth,
                    decision: decision.clone(),
                    reason,
                },
            }]);
            let asked = self.number;
            let accepted = self.rng.random_bool(0.7);
            self.step([Event::ChallengeAnswered {
                challenge: asked,
                accepted,
            }]);
            if !accepted {
                return;
            }
            challenge = Some(asked);
        }
        self.step([Event::DecisionRecorded {
            tooth,
            decision,
            reason,
            challenge,
        }]);
        let number = self.number;
        self.read_back(number..=number);
    }

    /// Text of very different lengths: the longest fill several pages of the database.
    fn note(&mut self, tooth: Option<ToothNumber>) {
        let word_count = self.choose(&[3, 40, 900, 3_000]);
        let text = (0..word_count)
            .map(|_| self.choose(&["gum", "rostral", "pale", "\u{fc}ber", "firm", "red"]))
            .collect::<Vec<_>>()
            .join(" ");
        self.step([Event::NoteRecorded {
            tooth,
            text,
            sound: None,
        }]);
    }

    fn mouth(&mut self) {
        let kind = Kind::Occlusion;
        let value = Value::Grade(self.rng.random_range(0..5));
        let finding = Finding::new(Subject::Mouth, kind, Place::Whole, value);
        self.step(finding.ok().map(|finding| Event::FindingRecorded {
            finding,
            challenge: None,
        }));
    }

    fn procedures(&mut self) {
        let tooth = ToothNumber::new(104).ok();
        let done = [
            Some(Procedure::NerveBlock {
                block: Block::Infraorbital,
                side: MouthSide::Right,
                drug: Drug::Lidocaine,
                volume_ml_hundredths: self.rng.random_range(5..80),
                strength_percent_hundredths: Some(200),
                as_given: None,
            }),
            tooth.map(|tooth| Procedure::Extracted {
                tooth,
                method: Method::Surgical,
            }),
            tooth.map(|tooth| Procedure::RootsComplete { tooth }),
            Some(Procedure::Polished),
            Some(Procedure::ThroatPackOut),
        ];
        let count = self.rng.random_range(0..=done.len());
        for procedure in done.into_iter().take(count).flatten() {
            self.step([Event::ProcedureRecorded {
                procedure,
                challenge: None,
            }]);
            let number = self.number;
            self.read_back(number..=number);
        }
    }

    /// Said back, and mostly confirmed.
    fn read_back(&mut self, numbers: std::ops::RangeInclusive<u64>) {
        let entries: Vec<u64> = numbers.collect();
        self.step([Event::ReadBack {
            entries: entries.clone(),
            by: Telling::Spoken,
        }]);
        if self.rng.random_bool(0.8) {
            self.step([Event::Confirmed { entries }]);
        }
    }

    fn step(&mut self, events: impl IntoIterator<Item = Event>) {
        self.replace(events, &[]);
    }

    fn replace(&mut self, events: impl IntoIterator<Item = Event>, supersedes: &[u64]) {
        let heard = Heard {
            words: "one zero four depth three".into(),
            confidence: self.rng.random_range(0.5..1.0),
            engine: "simulated".into(),
            model: "none".into(),
            speaker: Speaker::Vet,
            how: How::Spoken,
            // Two of three entries bear a hint, which need not be right.
            sounds_like: [Speaker::Unknown, Speaker::Vet, Speaker::Nurse]
                [self.rng.random_range(0..3)],
        };
        let drafts: Vec<Draft> = events
            .into_iter()
            .map(|event| {
                let mut draft = Draft::new(event, Some(&heard));
                if draft.event.is_value() {
                    draft.supersedes = supersedes.to_vec();
                }
                draft
            })
            .collect();
        if drafts.is_empty() {
            return;
        }
        self.number += drafts.len() as u64;
        let wait_ms = self.rng.random_range(500..5_000);
        self.ready.push_back(Step {
            visit: self.visit,
            drafts,
            wait_ms,
        });
    }

    fn choose<T: Clone>(&mut self, of: &[T]) -> T {
        of[self.rng.random_range(0..of.len())].clone()
    }
}

impl Iterator for Examinations {
    type Item = Step;

    fn next(&mut self) -> Option<Step> {
        if self.ready.is_empty() {
            self.examine();
        }
        self.ready.pop_front()
    }
}

fn finding(tooth: ToothNumber, kind: Kind, place: Place, value: Value) -> Option<Event> {
    Finding::new(Subject::Tooth(tooth), kind, place, value)
        .ok()
        .map(|finding| Event::FindingRecorded {
            finding,
            challenge: None,
        })
}
