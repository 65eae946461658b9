//! Entering what is read of the anaesthetised animal: each reading is refused, asked about or recorded, by the rules
//! in `grammar/anaesthetic-rules.en.toml`. An emergency passes all of them.
//!
//! Invariant: no rule stands before an emergency; a refused reading is no fact, and said twice it is asked about.

use jiff::Timestamp;

use super::phrase::{Phrase, Slot};
use super::rules::Level;
use super::{Work, drugs, enter};
use crate::grammar::intent::Watching;
use crate::record::event::Proposed;
use crate::record::monitoring::{self, Stand};
use crate::record::{Event, How, Record};
use crate::terms::Species;
use crate::terms::limits;
use crate::terms::vital::{
    self, Measure, Part, Plausible, Reading, VitalMethod, VitalSign, decimal,
};
use crate::terms::watch::{CourseStep, Watched};

pub(super) fn enter(work: &mut Work<'_>, watching: &Watching) {
    match watching {
        Watching::Crisis(crisis) => {
            record(work, Watched::Crisis(*crisis));
        }
        Watching::Vital {
            reading,
            sounds_like,
        } => vital(work, reading, sounds_like),
        Watching::Course(step) => course(work, *step),
        Watching::Drug(given) => drugs::given(work, given),
        Watching::Wasted { drug, amount } => drugs::wasted(work, drug, *amount),
        Watching::Witness(by) => drugs::witnessed(work, *by),
        Watching::Batch { of, batch } => drugs::batch(work, *of, batch),
    }
}

pub(super) fn record(work: &mut Work<'_>, what: Watched) -> u64 {
    work.push(Event::WatchRecorded {
        what,
        challenge: None,
    })
}

/// Says, asks or refuses by the level of the rule. True where the entry may follow.
pub(super) fn passes(work: &mut Work<'_>, phrase: Phrase, proposed: Watched) -> bool {
    let level = work
        .rules
        .get(&phrase.key)
        .map_or(Level::Ask, |rule| rule.level);
    match level {
        Level::Refuse => {
            work.say(phrase);
            false
        }
        Level::Ask => {
            let rule = phrase.key.clone();
            work.challenge(&rule, phrase, Proposed::Watched(proposed));
            false
        }
        Level::Remark => {
            work.say(phrase);
            true
        }
    }
}

// ---- vital signs

fn vital(work: &mut Work<'_>, reading: &Reading, sounds_like: &[Reading]) {
    if let Some((phrase, proposed)) = doubt(work, reading, sounds_like)
        && !passes(work, phrase, Watched::Vital(proposed))
    {
        return;
    }
    let number = record(work, Watched::Vital(reading.clone()));
    outside(work, number);
}

/// What speaks against a reading, and what would be entered on a yes.
fn doubt(
    work: &mut Work<'_>,
    reading: &Reading,
    sounds_like: &[Reading],
) -> Option<(Phrase, Reading)> {
    let species = work.record.patient.species;
    let said = |key: &str| {
        Phrase::rule(key)
            .with("title", Slot::Text(capital(reading.sign.title())))
            .with("value", value_slot(reading))
    };
    let refused = work.refused.take();
    if is_over(&work.record) {
        let what = Slot::Text(reading.sign.title().to_owned());
        return Some((
            Phrase::rule("watch_over").with("what", what),
            reading.clone(),
        ));
    }
    if let Some(systolic) = systolic_alone(reading) {
        let phrase = Phrase::rule("doppler_parts").with("value", value_slot(&systolic));
        return Some((phrase, systolic));
    }
    if let Some(other) = other_unit(reading) {
        return Some(other);
    }
    match reading.plausible(species) {
        Plausible::Refuse(_) if is_beyond_unit(reading) => {
            let most = Slot::Figure("100".into());
            return Some((said("vital_impossible").with("to", most), reading.clone()));
        }
        Plausible::Refuse(_) if refused.as_ref() == Some(reading) => {
            return Some((said("vital_again"), reading.clone()));
        }
        Plausible::Refuse(range) => {
            work.refused = Some(reading.clone());
            let phrase = said("vital_refused")
                .with("from", Slot::Figure(decimal(range.possible.0)))
                .with("to", Slot::Figure(decimal(range.possible.1)));
            return Some((phrase, reading.clone()));
        }
        _ if !reading.is_ordered() => return Some((said("pressure_order"), reading.clone())),
        Plausible::Ask => return Some((said("vital_unusual"), reading.clone())),
        Plausible::Accept => {}
    }
    // Only an ear confuses them, and only where both could be.
    if work.heard.how != How::Spoken {
        return None;
    }
    let other = sounds_like
        .iter()
        .find(|other| other.plausible(species) == Plausible::Accept && other.is_ordered())?;
    let phrase = said("vital_close").with("other", value_slot(other));
    Some((phrase, reading.clone()))
}

/// What a Doppler gives of a pressure that was said with more.
fn systolic_alone(reading: &Reading) -> Option<Reading> {
    let Measure::Pressure {
        systolic: Some(systolic),
        diastolic,
        mean,
    } = reading.measure
    else {
        return None;
    };
    let has_more = diastolic.is_some() || mean.is_some();
    (reading.method == Some(VitalMethod::Doppler) && has_more).then(|| Reading {
        measure: Measure::Pressure {
            systolic: Some(systolic),
            diastolic: None,
            mean: None,
        },
        ..reading.clone()
    })
}

/// A temperature in Fahrenheit, a carbon dioxide in kilopascals: asked about, and entered in the record's own unit.
fn other_unit(reading: &Reading) -> Option<(Phrase, Reading)> {
    let hundredths = reading.hundredths()?;
    let (key, slot, converted) = match reading.sign {
        VitalSign::Temperature => (
            "vital_fahrenheit",
            "celsius",
            vital::celsius_of_fahrenheit(hundredths)?,
        ),
        // Below 10 mmHg nothing comes back; in kilopascals it is usual.
        VitalSign::EndTidalCo2 if (300..1_000).contains(&hundredths) => {
            ("vital_kilopascals", "mmhg", vital::mmhg_of_kpa(hundredths))
        }
        _ => return None,
    };
    let phrase = Phrase::rule(key)
        .with("value", value_slot(reading))
        .with(slot, Slot::Figure(decimal(converted)));
    let reading = Reading {
        measure: Measure::Number {
            hundredths: converted,
        },
        ..reading.clone()
    };
    Some((phrase, reading))
}

/// More than the whole: no reading at all.
fn is_beyond_unit(reading: &Reading) -> bool {
    matches!(
        reading.sign,
        VitalSign::OxygenSaturation | VitalSign::Isoflurane | VitalSign::Sevoflurane
    ) && reading.hundredths().is_some_and(|value| value > 10_000)
}

/// Told once when it goes outside, and once more when the next is outside too.
pub(super) fn outside(work: &mut Work<'_>, number: u64) {
    if !work.rules.watch().limits_aloud {
        return;
    }
    let Some(reading) = reading_of(&work.record, number) else {
        return;
    };
    if reading.sign == VitalSign::Temperature {
        return temperature(work, number);
    }
    let own = work.rules.watch().limits();
    let stands = monitoring::stands(&work.record, &own, reading.sign);
    let Some(at) = stands.iter().position(|(of, _)| *of == number) else {
        return;
    };
    let before = at.checked_sub(1).map(|at| stands[at].1);
    let key = match (stands[at].1, before) {
        (Stand::Watch(side), Some(Stand::Watch(was) | Stand::Alert(was))) if side == was => return,
        (Stand::Watch(_), _) => "vital_outside",
        (Stand::Alert(_), Some(Stand::Alert(_))) => return,
        (Stand::Alert(_), _) => "vital_outside_again",
        _ => return,
    };
    let patient = &work.record.patient;
    let broken = limits::broken(patient.species, patient.weight, &own, &reading);
    let limit = broken
        .iter()
        .filter(|limit| limit.severity == limits::Severity::Action)
        .map(|limit| limit.text())
        .collect::<Vec<_>>()
        .join(" and ");
    let phrase = Phrase::rule(key)
        .with("title", Slot::Text(capital(reading.sign.title())))
        .with("value", value_slot(&reading))
        .with("limit", Slot::Text(limit));
    work.say(phrase);
}

/// A temperature has its own words, told when it comes into another band.
fn temperature(work: &mut Work<'_>, number: u64) {
    let species = work.record.patient.species;
    let rule_of = |hundredths: u32| {
        u16::try_from(hundredths / 10)
            .ok()
            .and_then(|tenths| enter::temperature_rule(species, tenths))
    };
    let mut told: Vec<(u64, u32)> = monitoring::readings(&work.record)
        .into_iter()
        .filter(|point| point.reading.sign == VitalSign::Temperature)
        .filter_map(|point| Some((point.charted.number, point.reading.hundredths()?)))
        .take_while(|(of, _)| *of <= number)
        .collect();
    let Some((_, now)) = told.pop() else {
        return;
    };
    let before = told.last().and_then(|(_, before)| rule_of(*before));
    if let Some(rule) = rule_of(now).filter(|rule| Some(*rule) != before) {
        work.say(Phrase::rule(rule).with("degrees", Slot::Figure(decimal(now))));
    }
}

fn reading_of(record: &Record, number: u64) -> Option<Reading> {
    match &record.entry(number)?.event {
        Event::WatchRecorded {
            what: Watched::Vital(reading),
            ..
        } => Some(reading.clone()),
        _ => None,
    }
}

/// The animal was handed over: what is said now belongs to no anaesthetic.
fn is_over(record: &Record) -> bool {
    monitoring::span(record).is_some_and(|(_, over)| over.is_some())
}

// ---- steps

/// Minutes after which the last temperature before handing over is old.
const TEMPERATURE_OLD_MINUTES: i64 = 30;

fn course(work: &mut Work<'_>, step: CourseStep) {
    let what = Watched::Course(step);
    let phrase = match step {
        CourseStep::Intubated {
            size_mm_hundredths: Some(size),
        } if !is_usual_tube(work.record.patient.species, size) => {
            Some(Phrase::rule("tube_unusual").with("value", Slot::Figure(decimal(u32::from(size)))))
        }
        CourseStep::HandedOver => open_recovery(&work.record, work.now.at)
            .map(|why| Phrase::rule("recovery_open").with("why", Slot::Text(why))),
        _ => None,
    };
    let may_enter = phrase.is_none_or(|phrase| passes(work, phrase, what.clone()));
    if may_enter {
        record(work, what);
    }
}

/// This program's own range, in hundredths of a millimetre.
fn is_usual_tube(species: Species, size: u16) -> bool {
    match species {
        Species::Cat => (250..=500).contains(&size),
        Species::Dog => (300..=1_400).contains(&size),
    }
}

/// What is lacking before an animal is handed over.
fn open_recovery(record: &Record, now: Timestamp) -> Option<String> {
    let mut lacking = Vec::new();
    let tube = monitoring::step(record, "intubated");
    let out = monitoring::step(record, "extubated");
    if tube.is_some() && out.is_none_or(|(_, at)| tube.is_some_and(|(_, tube)| at < tube)) {
        lacking.push("The tube is in");
    }
    let is_warm_known = monitoring::newest(record, VitalSign::Temperature)
        .is_some_and(|point| now.duration_since(point.at).as_mins() <= TEMPERATURE_OLD_MINUTES);
    if !is_warm_known {
        lacking.push("No temperature in the last half hour");
    }
    (!lacking.is_empty()).then(|| lacking.join(", "))
}

// ---- words

pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

/// A value as it is said: figures digit by digit, a pressure with its words.
pub(super) fn value_slot(reading: &Reading) -> Slot {
    match &reading.measure {
        Measure::Number { hundredths } => Slot::Figure(decimal(*hundredths)),
        Measure::Word { word } => Slot::Text(word.clone()),
        Measure::NotReading => Slot::Text("not reading".into()),
        Measure::Pressure { .. } => {
            let mut parts = Vec::new();
            for (part, hundredths) in reading.parts() {
                let word = match part {
                    Part::Diastolic => "over",
                    Part::Mean => "mean",
                    Part::Systolic | Part::Whole => "",
                };
                if !word.is_empty() {
                    parts.push(Slot::Text(word.into()));
                }
                parts.push(Slot::Figure(decimal(hundredths)));
            }
            Slot::Parts(parts)
        }
    }
}

/// An entry of the anaesthetic as an item of a read-back.
pub(super) fn item(what: &Watched) -> Phrase {
    match what {
        Watched::Vital(reading) => {
            let mut value = vec![value_slot(reading)];
            if let Some(method) = reading.method {
                value.push(Slot::Text(method.word().to_lowercase()));
            }
            Phrase::new("vital")
                .with("title", Slot::Text(capital(reading.sign.title())))
                .with("value", Slot::Parts(value))
        }
        Watched::Drug(entry) => Phrase::new("watched").with("what", drugs::entry_slot(entry)),
        Watched::Crisis(crisis) => {
            Phrase::new("watched").with("what", Slot::Text(capital(crisis.text())))
        }
        Watched::Wasted { drug, amount } => Phrase::new("watched").with(
            "what",
            Slot::Parts(vec![
                Slot::Text(format!("Wasted {drug},")),
                drugs::amount_slot(amount),
            ]),
        ),
        Watched::Witnessed { by, .. } => {
            Phrase::new("watched").with("what", Slot::Text(format!("Witness, the {}", by.word())))
        }
        Watched::Batch { batch, .. } => Phrase::new("watched").with(
            "what",
            Slot::Parts(vec![
                Slot::Text("Batch".into()),
                Slot::Figure(batch.clone()),
            ]),
        ),
        Watched::Course(CourseStep::Intubated {
            size_mm_hundredths: Some(size),
        }) => Phrase::new("watched").with(
            "what",
            Slot::Parts(vec![
                Slot::Text("Tube in, size".into()),
                Slot::Figure(decimal(u32::from(*size))),
            ]),
        ),
        Watched::Course(step) => {
            let words = match step {
                CourseStep::Asa(status) => format!(
                    "A S A {}{}",
                    status.class,
                    if status.emergency { ", emergency" } else { "" }
                ),
                step => capital(&step.text()),
            };
            Phrase::new("watched").with("what", Slot::Text(words))
        }
    }
}

// ---- questions

/// The last of each vital sign, the routine ones first.
pub(super) fn tell_vitals(work: &mut Work<'_>) {
    let phrases: Vec<Phrase> = VitalSign::ALL
        .into_iter()
        .filter(|sign| sign.is_routine())
        .filter_map(|sign| monitoring::newest(&work.record, sign))
        .map(|point| {
            let minutes = work.now.at.duration_since(point.at).as_mins();
            Phrase::new("vital_last")
                .with("title", Slot::Text(capital(point.reading.sign.title())))
                .with("value", value_slot(&point.reading))
                .with(
                    "minutes",
                    Slot::Number(u16::try_from(minutes).unwrap_or_default()),
                )
        })
        .collect();
    if phrases.is_empty() {
        return work.say(Phrase::new("vitals_none"));
    }
    for phrase in phrases {
        work.say(phrase);
    }
}
