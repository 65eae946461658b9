//! Groups and ranges of teeth, and the way round the mouth, for the animal at hand.

use crate::grammar::intent::Scope;
use crate::record::Record;
use crate::terms::dentition::{self, Stage};
use crate::terms::{Kind, Place, Subject, ToothNumber, eruption};

/// Why a range is no range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoScope {
    TwoJaws,
    Empty,
}

/// The teeth that are to be charted: in a grown animal, or one of unknown age, the permanent ones and those
/// deciduous ones that were found; in a young one the deciduous ones, and the permanent ones once they may be there.
pub(super) fn dentition(record: &Record) -> Vec<ToothNumber> {
    let species = record.patient.species;
    let age_days = record.age_days();
    let mut teeth = Vec::new();
    if age_days.is_none_or(|age_days| eruption::may_have_permanent(species, age_days)) {
        teeth.extend(dentition::examination_path(species, Stage::Permanent));
    }
    let is_young = age_days.is_some_and(eruption::may_have_deciduous);
    teeth.extend(
        dentition::examination_path(species, Stage::Deciduous)
            .into_iter()
            .filter(|tooth| is_young || record.findings_of(*tooth).next().is_some()),
    );
    teeth
}

/// The next or previous tooth on the way, passing over those charted as missing.
pub(super) fn beside(record: &Record, forwards: bool) -> Option<ToothNumber> {
    let path = dentition(record);
    let Some(at) = record
        .tooth
        .and_then(|tooth| path.iter().position(|t| *t == tooth))
    else {
        return path.first().copied();
    };
    let is_there = |tooth: &&ToothNumber| {
        record
            .finding(Subject::Tooth(**tooth), Kind::Absent, Place::Whole)
            .is_none()
    };
    if forwards {
        path[at + 1..].iter().find(is_there).copied()
    } else {
        path[..at].iter().rev().find(is_there).copied()
    }
}

/// The teeth that a scope means now.
pub(super) fn teeth(record: &Record, scope: &Scope) -> Result<Vec<ToothNumber>, NoScope> {
    let species = record.patient.species;
    let has_no_entry = |tooth: &ToothNumber| record.findings_of(*tooth).next().is_none();
    let teeth: Vec<ToothNumber> = match scope {
        Scope::ThisTooth => record.tooth.into_iter().collect(),
        Scope::Rest => dentition(record).into_iter().filter(has_no_entry).collect(),
        Scope::RestOfQuadrant(quadrant) => dentition(record)
            .into_iter()
            .filter(|t| t.quadrant() == *quadrant)
            .filter(has_no_entry)
            .collect(),
        Scope::Teeth {
            quadrants,
            positions,
        } => quadrants
            .iter()
            .flat_map(|quadrant| positions.iter().map(move |position| (*quadrant, *position)))
            .filter_map(|(quadrant, position)| ToothNumber::from_parts(quadrant, position).ok())
            .filter(|tooth| dentition::has(species, *tooth))
            .collect(),
        Scope::Range(from, to) => {
            if from.jaw() != to.jaw() || from.is_deciduous() != to.is_deciduous() {
                return Err(NoScope::TwoJaws);
            }
            let stage = if from.is_deciduous() {
                Stage::Deciduous
            } else {
                Stage::Permanent
            };
            let arch: Vec<ToothNumber> = dentition::examination_path(species, stage)
                .into_iter()
                .filter(|tooth| tooth.jaw() == from.jaw())
                .collect();
            let place = |tooth: &ToothNumber| arch.iter().position(|t| t == tooth);
            match (place(from), place(to)) {
                (Some(a), Some(b)) => arch[a.min(b)..=a.max(b)].to_vec(),
                _ => Vec::new(),
            }
        }
    };
    if teeth.is_empty() {
        Err(NoScope::Empty)
    } else {
        Ok(teeth)
    }
}
