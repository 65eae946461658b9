//! From the words of the rest of the dental record to intents: what films show, surgery in full.
//!
//! Invariant: a root belongs to the finding said last before it.

use super::intent::{Intent, Surgical, ToothWork};
use super::meaning::{Slots, named};
use crate::terms::surgery::SutureSize;
use crate::terms::{Area, Decision, Kind, MouthSide, Place, Root, Value};

/// Names of intents that the grammar files may use, beside those of `meaning`.
pub(super) const NAMES: &[&str] = &[
    "film_reading",
    "film_numbered",
    "surgery_planned",
    "surgery_done",
    "closed",
    "complication",
    "complication_treated",
    "owner_told",
    "owner_asked",
    "sample",
    "samples_sent",
    "tray",
    "home_medicine",
    "home_care",
    "virus_test",
];

/// The intents of a clause; none where it makes no value.
pub(super) fn of_clause(slots: &Slots<'_>) -> Option<Vec<Intent>> {
    let mut intents: Vec<Intent> = slots.tooth().map(Intent::ChooseTooth).into_iter().collect();
    match slots.0.intent.as_str() {
        "film_reading" => intents.extend(film_findings(slots)?),
        "film_numbered" => intents.push(Intent::DoToTooth(ToothWork::FilmNumbered(
            slots.one("film_number")?.parse().ok()?,
        ))),
        "surgery_planned" => intents.push(Intent::Decide {
            decision: Decision::Treat(slots.named("treatment")?),
            reason: slots.named("reason"),
        }),
        "surgery_done" => intents.push(Intent::DoToTooth(ToothWork::Treated(
            slots.named("treatment")?,
        ))),
        "home_medicine" => {
            let tokens: Vec<&str> = slots.all("n").collect();
            intents.push(Intent::HomeMedicine {
                drug: slots.one("medicine")?.to_owned(),
                amount_thousandths: u32::try_from(super::anaesthetic::thousandths(&tokens)?)
                    .ok()?,
                unit: slots.named("home_unit")?,
                times_a_day: slots.number("times_a_day")?,
                days: slots.one("home_days")?.parse().ok()?,
            });
        }
        "virus_test" => intents.push(virus_tests(slots)?),
        name => intents.push(Intent::Surgery(surgical(name, slots)?)),
    }
    Some(intents)
}

/// Each result is of the viruses named since the one before it; said first, of those after it.
fn virus_tests(slots: &Slots<'_>) -> Option<Intent> {
    let mut waiting: Vec<&str> = Vec::new();
    let mut results: Vec<(&str, bool)> = Vec::new();
    let mut said_first = None;
    for capture in &slots.0.captures {
        match capture.slot.as_str() {
            "virus_result" => {
                let is_positive = capture.value == "positive";
                said_first = waiting.is_empty().then_some(is_positive);
                results.extend(waiting.drain(..).map(|virus| (virus, is_positive)));
            }
            _ => match said_first {
                Some(is_positive) => results.push((capture.value.as_str(), is_positive)),
                None => waiting.push(capture.value.as_str()),
            },
        }
    }
    let of = |name: &str| {
        let mut all = results.iter().filter(|(virus, _)| *virus == name);
        (all.next().map(|(_, is)| *is), all.next().is_some())
    };
    let ((felv, felv_again), (fiv, fiv_again)) = (of("felv"), of("fiv"));
    // Named twice it would have two results.
    let is_clear = waiting.is_empty() && !felv_again && !fiv_again;
    is_clear.then_some(Intent::VirusTests { felv, fiv })
}

fn surgical(name: &str, slots: &Slots<'_>) -> Option<Surgical> {
    let number = |slot: &str| slots.one(slot).and_then(|word| word.parse::<u16>().ok());
    Some(match name {
        "closed" => Surgical::Closed {
            material: slots.named("suture")?,
            size: slots.number("suture_size").and_then(SutureSize::new),
        },
        "complication" => Surgical::Complication {
            what: slots.named("complication")?,
            size_mm: slots.number("size_mm"),
        },
        "complication_treated" => Surgical::Treated(slots.named("remedy")?),
        "owner_told" => Surgical::OwnerTold {
            way: slots.named("way"),
            by: slots.named("role"),
        },
        "owner_asked" => Surgical::OwnerAsked {
            about: slots.named("agreed")?,
            is_agreed: slots.one("owner_answer")? == "yes",
            way: slots.named("way"),
            by: slots.named("role"),
        },
        "sample" => Surgical::Sample {
            pot: slots.number("pot"),
            kind: slots.named("sample_kind"),
            area: slots
                .named::<Area>("area")
                .map(|area| (area, slots.named::<MouthSide>("mouth_side"))),
        },
        "samples_sent" => Surgical::SamplesSent {
            due_days: number("due_days"),
        },
        "home_care" => Surgical::HomeCare {
            what: slots.named("home_care")?,
            days: number("home_days")?,
        },
        "tray" => Surgical::Tray {
            number: number("film_number")?,
            sterilised_days_ago: number("days_ago"),
        },
        _ => return None,
    })
}

/// What one film shows of the tooth at hand, or a sign of its pulp.
fn film_findings(slots: &Slots<'_>) -> Option<Vec<Intent>> {
    let mut found: Vec<(Kind, Place, Value)> = Vec::new();
    let (mut percent, mut place) = (None, Place::Whole);
    for capture in &slots.0.captures {
        let value = capture.value.as_str();
        let code = || Value::Code(value.to_owned());
        let (kind, value) = match capture.slot.as_str() {
            "film" => (named(value)?, Value::Present),
            "tooth_sign" => (named(value)?, Value::Present),
            "vitality" => (Kind::Vitality, code()),
            "transillumination" => (Kind::Transillumination, code()),
            "film_resorption" => (Kind::RootResorption, code()),
            "film_root" => (Kind::RootUnusual, code()),
            "film_pulp" => (Kind::PulpWidth, code()),
            // Its per cent stands before it or after it.
            "film_loss" => (
                named(value)?,
                Value::Percent(percent.take().unwrap_or(u8::MAX)),
            ),
            "no_bone_loss" => (Kind::BoneLoss, Value::Percent(0)),
            "percent" => {
                let said: u8 = value.parse().ok()?;
                match found.last_mut() {
                    Some((_, _, Value::Percent(open))) if *open == u8::MAX => *open = said,
                    _ => percent = Some(said),
                }
                continue;
            }
            "root" => {
                let root = Place::Root(named::<Root>(value)?);
                match found.last_mut() {
                    Some((_, at, _)) => *at = root,
                    None => place = root,
                }
                continue;
            }
            _ => continue,
        };
        found.push((kind, std::mem::replace(&mut place, Place::Whole), value));
    }
    let is_whole = !found.is_empty()
        && found
            .iter()
            .all(|(_, _, value)| *value != Value::Percent(u8::MAX));
    is_whole.then(|| {
        found
            .into_iter()
            .map(|(kind, place, value)| Intent::RecordAtRoot { kind, place, value })
            .collect()
    })
}
