//! Two visits of one patient, tooth by tooth: what changed by more than the probe's own error.
//! Explains no change: a deeper reading may be disease or another hand.

use jiff::Timestamp;
use serde::Serialize;
use uuid::Uuid;

use super::facts::ToothFacts;
use super::rules::{Cited, rules};
use super::settings::Settings;
use super::stage;
use super::words;
use crate::record::{Record, surgery, wording};
use crate::terms::{Kind, Patient, Procedure, Site, Subject, ToothNumber};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    Worse,
    Better,
    /// Changed, with no better or worse to it: a decision.
    Changed,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Change {
    /// "depth mid buccal", "loss", "furcation", "decision" ...
    pub what: String,
    pub before: String,
    pub now: String,
    pub direction: Direction,
}

/// A tooth that both visits charted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ToothComparison {
    pub tooth: ToothNumber,
    pub changes: Vec<Change>,
    /// Sites read in both visits.
    pub sites_compared: u8,
    /// Something changed for the worse by more than the probe's error.
    pub has_progressed: bool,
    /// The earlier visit's vet wanted it monitored.
    pub was_monitored: bool,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Comparison {
    pub earlier_visit: Uuid,
    pub earlier_at: Timestamp,
    pub probe_error_mm: u8,
    pub teeth: Vec<ToothComparison>,
    /// Lesions and decisions of the mouth.
    pub mouth: Vec<Change>,
    /// Monitored in the earlier visit and not charted in this one.
    pub monitored_not_charted: Vec<ToothNumber>,
    pub basis: Cited,
}

/// Whether two patients are the same animal: species and name agree, and so does the microchip where both have one, else
/// the clinic's number, else the owner. A number alone is mistyped too easily.
pub fn is_same_patient(one: &Patient, other: &Patient) -> bool {
    let is_alike = one.species == other.species && plain(&one.name) == plain(&other.name);
    is_alike
        && match (&one.microchip, &other.microchip, &one.id, &other.id) {
            (Some(a), Some(b), _, _) => a == b,
            (_, _, Some(a), Some(b)) => plain(a) == plain(b),
            _ => one.owner.as_deref().map(plain) == other.owner.as_deref().map(plain),
        }
}

/// Whether two patients of one species could be the same animal although not all agrees: a number is the same and the
/// name is not, or the other way round. A person must say.
pub fn may_be_same(one: &Patient, other: &Patient) -> bool {
    let has_same_id =
        one.id.is_some() && one.id.as_deref().map(plain) == other.id.as_deref().map(plain);
    let has_same_chip = one.microchip.is_some() && one.microchip == other.microchip;
    one.species == other.species
        && (has_same_id || has_same_chip || plain(&one.name) == plain(&other.name))
}

/// Whether only a person can say that the two are one: the number is the same and name or species is not, or name and
/// owner agree and the number does not.
fn is_doubtful(one: &Patient, other: &Patient) -> bool {
    let has_same_id =
        one.id.is_some() && one.id.as_deref().map(plain) == other.id.as_deref().map(plain);
    let has_same_home = one.owner.is_some()
        && one.owner.as_deref().map(plain) == other.owner.as_deref().map(plain)
        && plain(&one.name) == plain(&other.name)
        && one.species == other.species;
    (has_same_id || has_same_home) && !is_same_patient(one, other)
}

/// Whether an earlier visit of the one can say anything about the other. A name that many animals have says nothing.
pub fn is_worth_reading(one: &Patient, other: &Patient) -> bool {
    is_same_patient(one, other) || is_doubtful(one, other)
}

/// The newest earlier visit that only a person can say to be of this patient.
pub fn doubtful_before<'a>(record: &Record, past: &'a [Record]) -> Option<&'a Record> {
    past.iter()
        .filter(|earlier| {
            earlier.visit != record.visit
                && earlier.opened_at < record.opened_at
                && is_doubtful(&earlier.patient, &record.patient)
        })
        .max_by_key(|earlier| earlier.opened_at)
}

/// In the form in which two spellings are one.
fn plain(text: &str) -> String {
    text.trim().to_lowercase()
}

/// The newest earlier visit of the same patient.
pub fn latest_before<'a>(record: &Record, past: &'a [Record]) -> Option<&'a Record> {
    past.iter()
        .filter(|earlier| {
            earlier.visit != record.visit
                && earlier.opened_at < record.opened_at
                && is_same_patient(&earlier.patient, &record.patient)
        })
        .max_by_key(|earlier| earlier.opened_at)
}

pub fn compare(earlier: &Record, now: &Record, settings: &Settings) -> Comparison {
    let mut teeth: Vec<ToothNumber> = super::charted_teeth(now);
    teeth.retain(|tooth| super::charted_teeth(earlier).contains(tooth));
    let monitored = |tooth: ToothNumber| {
        earlier
            .decision(tooth)
            .is_some_and(|(decision, ..)| super::condition::decision_key(decision) == "monitor")
    };
    Comparison {
        earlier_visit: earlier.visit,
        earlier_at: earlier.opened_at,
        probe_error_mm: settings.limits.probe_error_mm,
        monitored_not_charted: super::charted_teeth(earlier)
            .into_iter()
            .filter(|tooth| monitored(*tooth) && !teeth.contains(tooth))
            .collect(),
        teeth: teeth
            .into_iter()
            .map(|tooth| compare_tooth(earlier, now, tooth, settings))
            .collect(),
        mouth: super::lesions::compare(earlier, now),
        basis: rules().cite("progression"),
    }
}

/// Every site read in both visits has a depth and a recession that differ by no more than the probe's error: a loss
/// that leaps only because the depth passed the normal is no change.
fn is_within_error(old: &ToothFacts, new: &ToothFacts, error: u8) -> bool {
    (0..Site::ALL.len()).all(|at| {
        let close = |before: Option<u8>, after: Option<u8>| match (before, after) {
            (Some(before), Some(after)) => before.abs_diff(after) <= error,
            (None, None) => true,
            _ => false,
        };
        close(old.depth_mm[at], new.depth_mm[at])
            && close(old.recession_mm[at], new.recession_mm[at])
    }) && old.enlargement == new.enlargement
}

fn direction(before: u8, now: u8) -> Direction {
    if now > before {
        Direction::Worse
    } else {
        Direction::Better
    }
}

/// One tooth, whether or not both visits charted it.
pub fn compare_tooth(
    earlier: &Record,
    now: &Record,
    tooth: ToothNumber,
    settings: &Settings,
) -> ToothComparison {
    let error = settings.limits.probe_error_mm;
    let normal = settings.limits.normal_depth_mm(now.patient.species);
    let (old, new) = (
        ToothFacts::of(earlier, tooth, normal),
        ToothFacts::of(now, tooth, normal),
    );
    let mut changes = Vec::new();
    let mut sites_compared = 0;
    for (at, site) in Site::ALL.into_iter().enumerate() {
        let pairs = [
            ("depth", old.depth_mm[at], new.depth_mm[at]),
            ("recession", old.recession_mm[at], new.recession_mm[at]),
        ];
        for (what, before, after) in pairs {
            let (Some(before), Some(after)) = (before, after) else {
                continue;
            };
            sites_compared += u8::from(what == "depth");
            if before.abs_diff(after) > error {
                // A depth that swelling of the gum explains is told, but is no loss of support.
                let is_swelling =
                    what == "depth" && (old.is_pseudopocket(at) || new.is_pseudopocket(at));
                changes.push(Change {
                    what: format!("{what} {}", words::site(Subject::Tooth(tooth), site)),
                    before: format!("{before} mm"),
                    now: format!("{after} mm"),
                    direction: if is_swelling {
                        Direction::Changed
                    } else {
                        direction(before, after)
                    },
                });
            }
        }
    }
    if let (Some(before), Some(after)) = (old.worst_loss(), new.worst_loss())
        && before.at_most_mm.abs_diff(after.at_most_mm) > error
        && !is_within_error(&old, &new, error)
    {
        changes.push(Change {
            what: "worst attachment loss".into(),
            before: format!("{} mm", before.at_most_mm),
            now: format!("{} mm", after.at_most_mm),
            direction: direction(before.at_most_mm, after.at_most_mm),
        });
    }
    // Grades are whole steps: any change is told.
    for (what, before, after) in [
        ("furcation", old.furcation, new.furcation),
        ("mobility", old.mobility, new.mobility),
        ("gingivitis", old.gingivitis, new.gingivitis),
        ("plaque", old.plaque, new.plaque),
        ("calculus", old.calculus, new.calculus),
    ] {
        if before == after || (before.is_none() && after == Some(0)) {
            continue;
        }
        let Some(after_grade) = after else { continue };
        // A grade that was never charted before is new, not none: told as such.
        changes.push(Change {
            what: what.into(),
            before: before.map_or("not charted".into(), |grade| grade.to_string()),
            now: after_grade.to_string(),
            direction: direction(before.unwrap_or(0), after_grade),
        });
    }
    let stages = [&old, &new]
        .map(|facts| stage::estimate(&facts.stage_input(error)).and_then(|s| s.known()));
    // A depth that goes back to normal by no more than the probe's error is no healing.
    let has_moved = old.furcation != new.furcation
        || !is_within_error(&old, &new, error)
        || [&old, &new].map(|facts| facts.worst_loss().map_or(0, |loss| loss.at_most_mm)) == [0, 0];
    if let [Some(before), Some(after)] = stages
        && before != after
        && has_moved
    {
        changes.push(Change {
            what: "stage".into(),
            before: before.word().into(),
            now: after.word().into(),
            direction: direction(before as u8, after as u8),
        });
    }
    for (what, before, after) in [
        ("fracture", &old.fracture, &new.fracture),
        (
            "resorption stage",
            &old.resorption_stage,
            &new.resorption_stage,
        ),
    ] {
        if let Some(after) = after
            && before.as_ref() != Some(after)
        {
            changes.push(Change {
                what: what.into(),
                before: before.clone().unwrap_or("none charted".into()),
                now: after.clone(),
                direction: Direction::Worse,
            });
        }
    }
    changes.extend(sign_changes(&old, &new));
    changes.extend(film_changes(&old, &new));
    changes.extend(outcome_change(earlier, now, tooth, &old, &new));
    ToothComparison {
        tooth,
        has_progressed: changes.iter().any(is_progression),
        changes,
        sites_compared,
        was_monitored: earlier
            .decision(tooth)
            .is_some_and(|(decision, ..)| super::condition::decision_key(decision) == "monitor"),
    }
}

/// Signs of the pulp and of force that are new, and a pulp that was not called dead before.
fn sign_changes(old: &ToothFacts, new: &ToothFacts) -> Vec<Change> {
    const SIGNS: [Kind; 5] = [
        Kind::NearExposure,
        Kind::Extrusion,
        Kind::BoneExpansion,
        Kind::Luxation,
        Kind::Avulsion,
    ];
    let mut changes: Vec<Change> = SIGNS
        .into_iter()
        .filter(|kind| new.kinds.contains(kind) && !old.kinds.contains(kind))
        .map(|kind| Change {
            what: kind.spec().title.into(),
            before: "not charted".into(),
            now: "charted".into(),
            direction: Direction::Worse,
        })
        .collect();
    if let Some(now) = &new.vitality
        && old.vitality.as_ref() != Some(now)
    {
        changes.push(Change {
            what: "pulp".into(),
            before: old
                .vitality
                .as_deref()
                .map_or("not charted".into(), wording::code),
            now: wording::code(now),
            direction: if now == "non_vital" {
                Direction::Worse
            } else {
                Direction::Changed
            },
        });
    }
    changes
}

/// What films show now and did not before, and bone loss that went on by a tenth of the root: two films of one tooth
/// never lie at the same angle.
fn film_changes(old: &ToothFacts, new: &ToothFacts) -> Vec<Change> {
    const STEP_PERCENT: u8 = 10;
    let mut changes = Vec::new();
    if let (Some(before), Some(now)) = (old.film_percent, new.film_percent)
        && before.abs_diff(now) >= STEP_PERCENT
    {
        changes.push(Change {
            what: "bone loss on film".into(),
            before: format!("{before} %"),
            now: format!("{now} %"),
            direction: direction(before, now),
        });
    }
    let is_sign = |kind: &&Kind| {
        Kind::OF_FILMS.contains(kind)
            && !matches!(
                kind,
                Kind::FilmClear
                    | Kind::FilmUnreadable
                    | Kind::BoneLoss
                    | Kind::BoneLossHorizontal
                    | Kind::BoneLossVertical
                    | Kind::RootUnusual
            )
    };
    let was_filmed = old.film_count > 0 || old.kinds.iter().any(|kind| is_sign(&kind));
    let is_filmed = new.film_count > 0 || new.kinds.iter().any(|kind| is_sign(&kind));
    for kind in new.kinds.difference(&old.kinds).filter(is_sign) {
        changes.push(Change {
            what: kind.spec().title.into(),
            before: if was_filmed { "not on film" } else { "no film" }.into(),
            now: "on film".into(),
            // Without a film before nobody knows when it came.
            direction: if was_filmed {
                Direction::Worse
            } else {
                Direction::Changed
            },
        });
    }
    // Only a film can show that it is gone.
    if is_filmed {
        for kind in old.kinds.difference(&new.kinds).filter(is_sign) {
            changes.push(Change {
                what: kind.spec().title.into(),
                before: "on film".into(),
                now: "not charted".into(),
                direction: Direction::Changed,
            });
        }
    }
    changes
}

/// Disease that went on. Plaque, calculus and gum inflammation come and go with brushing: told, not counted.
fn is_progression(change: &Change) -> bool {
    let passes = matches!(change.what.as_str(), "plaque" | "calculus" | "gingivitis")
        || (change.what == "stage" && change.now == stage::PeriodontalStage::Pd1.word());
    change.direction == Direction::Worse && !passes
}

/// Decision before and now, and whether the tooth is still there.
fn outcome_change(
    earlier: &Record,
    now: &Record,
    tooth: ToothNumber,
    old: &ToothFacts,
    new: &ToothFacts,
) -> Vec<Change> {
    let mut changes = Vec::new();
    let was_extracted = earlier
        .procedures()
        .any(|(p, _)| matches!(p, Procedure::Extracted { tooth: of, .. } if *of == tooth));
    let is_charted = !new.kinds.is_empty();
    if was_extracted && is_charted && new.is_there() {
        changes.push(Change {
            what: "contradiction".into(),
            before: "extracted".into(),
            now: "charted as there".into(),
            direction: Direction::Changed,
        });
    } else if !was_extracted && old.is_there() && is_charted && !new.is_there() {
        changes.push(Change {
            what: "tooth".into(),
            before: "there".into(),
            now: "missing".into(),
            direction: Direction::Worse,
        });
    }
    for mishap in surgery::mishaps(earlier) {
        if mishap.tooth == Some(tooth) {
            changes.push(Change {
                what: "complication before".into(),
                before: mishap.text,
                now: "look how it is".into(),
                direction: Direction::Changed,
            });
        }
    }
    let word = |record: &Record| {
        record
            .decision(tooth)
            .map(|(decision, ..)| words::decision(super::condition::decision_key(decision)))
    };
    if let (before, Some(after)) = (word(earlier), word(now))
        && before.as_ref() != Some(&after)
    {
        changes.push(Change {
            what: "decision".into(),
            before: before.unwrap_or("none".into()),
            now: after,
            direction: Direction::Changed,
        });
    }
    changes
}
