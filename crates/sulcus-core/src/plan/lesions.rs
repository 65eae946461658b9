//! Lesions and decisions for the mouth: what a description lacks, what was decided and is still to do, when to look
//! again, and what changed since the last visit. Names no disease: looking cannot tell what a lesion is.

use jiff::ToSpan;
use jiff::civil::Date;
use serde::Serialize;

use super::afterwards::Recheck;
use super::progress::{Change, Direction};
use super::rules::{Cited, rules};
use crate::record::lesion::{self, Lesion, is_sampled};
use crate::record::{Record, Standing, surgery, wording};
use crate::terms::mouth::MouthChoice;
use crate::terms::{Kind, Value};

/// One lesion as described.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LesionPlan {
    /// "mass", "ulcer" ...
    pub kind: Kind,
    pub place: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<String>,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub look: String,
    /// What nobody said of it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub lacks: Vec<&'static str>,
}

/// A decision for the mouth or a part of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MouthDecisionPlan {
    pub text: String,
    pub decision: &'static str,
    pub is_confirmed: bool,
    /// The sample was taken; of others nothing tells it.
    pub is_done: bool,
}

pub fn plan(record: &Record) -> Vec<LesionPlan> {
    lesion::lesions(record)
        .iter()
        .map(|lesion| LesionPlan {
            kind: lesion.finding.kind,
            place: lesion.place(),
            size: lesion.size(),
            look: lesion.look(),
            lacks: lesion.lacks(),
        })
        .collect()
}

pub fn decisions(record: &Record) -> Vec<MouthDecisionPlan> {
    record
        .mouth_decisions()
        .map(|(what, charted)| MouthDecisionPlan {
            text: wording::mouth_decision(what),
            decision: what.choice.key(),
            is_confirmed: charted.standing == Standing::Confirmed,
            is_done: is_sampled(record, what),
        })
        .collect()
}

/// Samples that were decided and not taken, by their place.
pub fn untaken(record: &Record) -> Vec<String> {
    record
        .mouth_decisions()
        .filter(|(what, _)| what.choice == MouthChoice::Sample && !is_sampled(record, what))
        .map(|(what, _)| surgery::place(None, what.part))
        .collect()
}

/// What a description still needs, a line for each lesion.
pub fn notes(record: &Record) -> Vec<Cited> {
    lesion::lesions(record)
        .iter()
        .filter(|lesion| !lesion.lacks().is_empty() && is_described_by_rule(lesion))
        .map(|lesion| {
            rules().cite_as(
                "lesion_described",
                format!(
                    "{} {}: nobody said its {}; said before a sample is taken",
                    lesion.finding.kind.spec().title,
                    lesion.place(),
                    super::words::list(
                        &lesion
                            .lacks()
                            .iter()
                            .map(ToString::to_string)
                            .collect::<Vec<_>>()
                    )
                ),
            )
        })
        .collect()
}

/// A cut has no surface and colour of its own.
fn is_described_by_rule(lesion: &Lesion<'_>) -> bool {
    lesion.finding.kind != Kind::Laceration
}

/// When the mouth, or a part of it, is looked at again.
pub fn rechecks(record: &Record, date: Date) -> Vec<Recheck> {
    record
        .mouth_decisions()
        .filter_map(|(what, _)| {
            let MouthChoice::Monitor { days } = what.choice else {
                return None;
            };
            let place = surgery::place(None, what.part);
            let place = if place.is_empty() { "mouth" } else { &place };
            Some(Recheck {
                from: None,
                until: date.checked_add(i64::from(days).days()).unwrap_or(date),
                teeth: Vec::new(),
                what: format!("look at the {place} again"),
                cited: rules().cite("mouth_again_said"),
            })
        })
        .collect()
}

/// A lesion that is measured anew by two hands never gives the same millimetre.
const SIZE_STEP_MM: u8 = 2;

/// What became of the lesions of the last visit, and which are new.
pub fn compare(earlier: &Record, now: &Record) -> Vec<Change> {
    let (before, after) = (lesion::lesions(earlier), lesion::lesions(now));
    let name =
        |lesion: &Lesion<'_>| format!("{} {}", lesion.finding.kind.spec().title, lesion.place());
    let told = |lesion: &Lesion<'_>| {
        let parts: Vec<String> = [lesion.size(), Some(lesion.look())]
            .into_iter()
            .flatten()
            .filter(|part| !part.is_empty())
            .collect();
        if parts.is_empty() {
            "there".to_owned()
        } else {
            parts.join(", ")
        }
    };
    let is_same = |one: &Lesion<'_>, other: &Lesion<'_>| {
        let (one, other) = (one.finding, other.finding);
        (one.kind, one.subject, one.place) == (other.kind, other.subject, other.place)
    };
    let mut changes = Vec::new();
    for lesion in &after {
        let Some(old) = before.iter().find(|old| is_same(old, lesion)) else {
            changes.push(Change {
                what: name(lesion),
                before: "not charted".into(),
                now: told(lesion),
                direction: Direction::Worse,
            });
            continue;
        };
        let direction = match (&old.finding.value, &lesion.finding.value) {
            (Value::Mm(was), Value::Mm(is)) if was.abs_diff(*is) >= SIZE_STEP_MM => {
                if is > was {
                    Direction::Worse
                } else {
                    Direction::Better
                }
            }
            _ => Direction::Changed,
        };
        if direction != Direction::Changed || old.look() != lesion.look() {
            changes.push(Change {
                what: name(lesion),
                before: told(old),
                now: told(lesion),
                direction,
            });
        }
    }
    // Nobody said that it is gone.
    for old in &before {
        if !after.iter().any(|lesion| is_same(lesion, old)) {
            changes.push(Change {
                what: name(old),
                before: told(old),
                now: "not charted: look whether it is gone".into(),
                direction: Direction::Changed,
            });
        }
    }
    for (what, _) in earlier.mouth_decisions() {
        changes.push(Change {
            what: "decided before".into(),
            before: wording::mouth_decision(what),
            now: now
                .mouth_decision(what.part)
                .map_or("look how it is".into(), |(now, _)| {
                    wording::mouth_decision(now)
                }),
            direction: Direction::Changed,
        });
    }
    changes
}
