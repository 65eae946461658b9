//! Which films are wanted, of which teeth and why, in which views; and which of them are taken.
//! Takes no film and reads none.
//!
//! Invariant: a film counts as taken after an extraction only where its entry is newer than the extraction.

use serde::Serialize;

use super::facts::{Mouth, ToothFacts};
use super::rules::{Cited, Sides, rules};
use super::settings::Recorder;
use super::tooth::ToothPlan;
use crate::record::Record;
use crate::terms::procedure::Treatment;
use crate::terms::{Kind, MouthSide, Patient, Procedure, ToothNumber};

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ToothFilm {
    pub tooth: ToothNumber,
    pub why: Vec<Cited>,
    pub is_taken: bool,
}

/// One picture to take.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ViewPlan {
    pub view: String,
    pub title: String,
    /// None where the view shows both sides.
    pub side: Option<MouthSide>,
    pub teeth: Vec<ToothNumber>,
    pub is_taken: bool,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FilmPlan {
    pub full_mouth: Cited,
    pub full_mouth_taken: bool,
    /// Teeth for which a finding or decision asks for a film.
    pub teeth: Vec<ToothFilm>,
    /// The views of the whole mouth, those that show a tooth above first.
    pub views: Vec<ViewPlan>,
    pub views_basis: Option<String>,
    pub size: Option<Cited>,
    /// Extracted teeth, and those with root or pulp treatment: is there a film after it?
    pub after_extraction: Vec<ToothFilm>,
    pub are_read: bool,
}

/// Films of the tooth, or of the whole mouth.
pub fn count(record: &Record, tooth: ToothNumber) -> usize {
    record
        .procedures()
        .filter(|(procedure, _)| match procedure {
            Procedure::FilmTaken { teeth, .. } => teeth.is_empty() || teeth.contains(&tooth),
            _ => false,
        })
        .count()
}

/// Whether a film of the tooth, or of the whole mouth, was taken after the entry of that number. A film that showed
/// too little is none.
pub fn is_taken(record: &Record, tooth: ToothNumber, after: u64) -> bool {
    let unreadable = record
        .findings_of(tooth)
        .filter(|(finding, _)| finding.kind == Kind::FilmUnreadable)
        .map(|(_, charted)| charted.number)
        .max();
    let after = after.max(unreadable.unwrap_or(0));
    record
        .procedures()
        .any(|(procedure, charted)| match procedure {
            Procedure::FilmTaken { teeth, .. } => {
                charted.number > after && (teeth.is_empty() || teeth.contains(&tooth))
            }
            _ => false,
        })
}

pub fn plan(
    record: &Record,
    facts: &[ToothFacts],
    teeth: &[ToothPlan],
    mouth: &Mouth,
    recorder: Recorder,
) -> FilmPlan {
    let rules = rules();
    let wanted = |tooth: ToothNumber| {
        record.procedures().any(|(procedure, _)| match procedure {
            Procedure::FilmWanted { teeth } => teeth.contains(&tooth),
            _ => false,
        })
    };
    let tooth_films: Vec<ToothFilm> = facts
        .iter()
        .zip(teeth)
        .filter_map(|(facts, plan)| {
            let decision = record.decision(facts.tooth).map(|(decision, ..)| decision);
            let mut why: Vec<Cited> = rules
                .film_reasons
                .iter()
                .filter(|reason| {
                    reason
                        .when
                        .holds(facts, mouth, plan.stage.as_ref(), decision)
                })
                .map(|reason| Cited::new(&reason.key, reason.text.clone(), &reason.sources))
                .collect();
            if wanted(facts.tooth) {
                why.insert(0, rules.cite("film_wanted"));
            }
            (!why.is_empty()).then(|| ToothFilm {
                tooth: facts.tooth,
                why,
                is_taken: is_taken(record, facts.tooth, 0),
            })
        })
        .collect();
    let after_extraction = record
        .procedures()
        .filter_map(|(procedure, charted)| match procedure {
            Procedure::Extracted { tooth, .. } | Procedure::CrownRemoved { tooth } => {
                Some(ToothFilm {
                    tooth: *tooth,
                    why: vec![rules.cite("film_after_extraction")],
                    is_taken: is_taken(record, *tooth, charted.number),
                })
            }
            Procedure::Treated {
                tooth,
                treatment: Treatment::RootCanal | Treatment::VitalPulpTherapy,
            } => Some(ToothFilm {
                tooth: *tooth,
                why: vec![rules.cite("film_after_pulp")],
                is_taken: is_taken(record, *tooth, charted.number),
            }),
            _ => None,
        })
        .collect();
    let full_mouth_taken = record.procedures().any(
        |(procedure, _)| matches!(procedure, Procedure::FilmTaken { teeth, .. } if teeth.is_empty()),
    );
    let mut views = views(facts, |tooth| is_taken(record, tooth, 0), full_mouth_taken);
    views.sort_by_key(|view| {
        !view
            .teeth
            .iter()
            .any(|tooth| tooth_films.iter().any(|film| film.tooth == *tooth))
    });
    FilmPlan {
        full_mouth: rules.cite("full_mouth"),
        full_mouth_taken,
        teeth: tooth_films,
        views,
        views_basis: rules
            .views
            .first()
            .and_then(|view| super::rules::caution(&view.sources)),
        size: size(&record.patient, recorder),
        after_extraction,
        are_read: record
            .procedures()
            .any(|(procedure, _)| *procedure == Procedure::FilmsRead),
    }
}

fn views(
    facts: &[ToothFacts],
    taken: impl Fn(ToothNumber) -> bool,
    all_taken: bool,
) -> Vec<ViewPlan> {
    let mut plans = Vec::new();
    for view in &rules().views {
        let sides: &[Option<MouthSide>] = match view.sides {
            Sides::Both => &[None],
            Sides::Each => &[Some(MouthSide::Right), Some(MouthSide::Left)],
        };
        for side in sides {
            let teeth: Vec<ToothNumber> = facts
                .iter()
                .map(|facts| facts.tooth)
                .filter(|tooth| {
                    tooth.jaw() == view.jaw
                        && side.is_none_or(|side| tooth.mouth_side() == side)
                        && view.positions.contains(&tooth.position())
                })
                .collect();
            if teeth.is_empty() {
                continue;
            }
            plans.push(ViewPlan {
                view: view.key.clone(),
                title: view.title.clone(),
                side: *side,
                is_taken: all_taken || teeth.iter().all(|tooth| taken(*tooth)),
                teeth,
            });
        }
    }
    plans
}

fn size(patient: &Patient, recorder: Recorder) -> Option<Cited> {
    let row = rules().film_sizes.iter().find(|row| {
        row.recorder == recorder
            && row.species == patient.species
            && row
                .weight_kg_max
                .is_none_or(|max| patient.weight.is_some_and(|weight| weight.kg() <= max))
    })?;
    Some(Cited::new("film_size", row.text.clone(), &row.sources))
}
