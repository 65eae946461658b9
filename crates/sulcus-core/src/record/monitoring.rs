//! The anaesthetic as it stands in a record: readings in time, steps, drugs and their sums, and the intervals in
//! which nobody read anything. Pure; for session, page, reports and exports alike.
//!
//! Invariant: nothing is interpolated; a time without a reading is a gap and is told as one.

use jiff::Timestamp;

use super::fold::{Charted, Phase, Record};
use crate::terms::anaesthetic::DRUGS;
use crate::terms::drug::DrugEntry;
use crate::terms::procedure::{AsGiven, Block};
use crate::terms::vital::{Measure, Reading, VitalSign};
use crate::terms::watch::{CourseStep, Crisis, Watched};
use crate::terms::{MouthSide, Procedure, limits};

/// A reading at its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Point<'a> {
    pub at: Timestamp,
    pub reading: Reading,
    pub charted: &'a Charted,
}

/// All readings that count, in the order of time. Temperatures entered as procedures are among them.
pub fn readings(record: &Record) -> Vec<Point<'_>> {
    let mut points: Vec<Point<'_>> = record
        .current()
        .filter_map(|charted| {
            let reading = match &charted.event {
                super::Event::WatchRecorded {
                    what: Watched::Vital(reading),
                    ..
                } => reading.clone(),
                super::Event::ProcedureRecorded {
                    procedure: Procedure::Temperature { celsius_tenths },
                    ..
                } => Reading {
                    sign: VitalSign::Temperature,
                    measure: Measure::Number {
                        hundredths: u32::from(*celsius_tenths) * 10,
                    },
                    method: None,
                },
                _ => return None,
            };
            Some(Point {
                at: charted.at,
                reading,
                charted,
            })
        })
        .collect();
    points.sort_by_key(|point| (point.at, point.charted.number));
    points
}

/// The newest of a sign.
pub fn newest(record: &Record, sign: VitalSign) -> Option<Point<'_>> {
    readings(record)
        .into_iter()
        .rev()
        .find(|point| point.reading.sign == sign)
}

pub fn steps(record: &Record) -> impl Iterator<Item = (CourseStep, &Charted)> {
    record.watched().filter_map(|(what, charted)| match what {
        Watched::Course(step) => Some((*step, charted)),
        _ => None,
    })
}

/// The newest step of this key.
pub fn step(record: &Record, key: &str) -> Option<(CourseStep, Timestamp)> {
    steps(record)
        .filter(|(step, _)| step.key() == key)
        .map(|(step, charted)| (step, charted.at))
        .last()
}

pub fn crises(record: &Record) -> impl Iterator<Item = (Crisis, &Charted)> {
    record.watched().filter_map(|(what, charted)| match what {
        Watched::Crisis(crisis) => Some((*crisis, charted)),
        _ => None,
    })
}

/// Drugs given, in the order entered.
pub fn drugs(record: &Record) -> impl Iterator<Item = (&DrugEntry, &Charted)> {
    record.watched().filter_map(|(what, charted)| match what {
        Watched::Drug(entry) => Some((entry, charted)),
        _ => None,
    })
}

/// When it was given, which may be before the entry.
pub fn given_at(entry: &DrugEntry, charted: &Charted) -> Timestamp {
    entry.given_at.unwrap_or(charted.at)
}

/// The batch of the drug in this entry: said with it or after it; the newest counts.
pub fn batch_of<'a>(record: &'a Record, entry: &'a DrugEntry, number: u64) -> Option<&'a str> {
    record
        .watched()
        .filter_map(|(what, _)| match what {
            Watched::Batch { entry, batch } if *entry == number => Some(batch.as_str()),
            _ => None,
        })
        .last()
        .or(entry.batch.as_deref())
}

/// What was given of one drug in all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sum {
    pub drug: String,
    pub times: usize,
    /// None where one of them has no known dose.
    pub dose_ug: Option<u64>,
    pub is_controlled: bool,
}

/// Running totals, in the order in which the drugs were first given.
pub fn sums(record: &Record) -> Vec<Sum> {
    let mut sums: Vec<Sum> = Vec::new();
    for (entry, _) in drugs(record) {
        match sums.iter_mut().find(|sum| sum.drug == entry.drug) {
            Some(sum) => {
                sum.times += 1;
                sum.dose_ug = sum.dose_ug.zip(entry.amount.dose_ug).map(|(a, b)| a + b);
                sum.is_controlled |= entry.is_controlled;
            }
            None => sums.push(Sum {
                drug: entry.drug.clone(),
                times: 1,
                dose_ug: entry.amount.dose_ug,
                is_controlled: entry.is_controlled,
            }),
        }
    }
    sums
}

/// Controlled drugs that nobody was named as a witness of.
pub fn unwitnessed(record: &Record) -> Vec<(&DrugEntry, u64)> {
    drugs(record)
        .filter(|(entry, charted)| {
            entry.is_controlled
                && !record.watched().any(
                    |(what, _)| matches!(what, Watched::Witnessed { entry: of, .. } if *of == charted.number),
                )
        })
        .map(|(entry, charted)| (entry, charted.number))
        .collect()
}

/// From when to when the animal is watched: from the first sign that the anaesthetic began to its handing over, or
/// to the end of the visit.
pub fn span(record: &Record) -> Option<(Timestamp, Option<Timestamp>)> {
    let started = record
        .procedures()
        .filter(|(procedure, _)| **procedure == Procedure::AnaesthesiaStarted)
        .map(|(_, charted)| charted.at);
    let begun = steps(record)
        .filter(|(step, _)| matches!(step, CourseStep::Induced | CourseStep::Intubated { .. }))
        .map(|(_, charted)| charted.at);
    let from = started.chain(begun).min()?;
    let over = step(record, "handed_over")
        .map(|(_, at)| at)
        .filter(|at| *at >= from);
    let finished = record
        .finished_at
        .filter(|_| record.phase == Phase::Finished);
    Some((from, over.or(finished)))
}

/// A stretch of the anaesthetic in which no vital sign was read, longer than the interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    pub from: Timestamp,
    pub to: Timestamp,
}

impl Gap {
    pub fn minutes(&self) -> i64 {
        self.to.duration_since(self.from).as_mins()
    }
}

/// A reading some seconds late is not missed: half a minute beyond the interval is.
const LATE_SECONDS: i64 = 30;

/// All gaps up to `until`.
pub fn gaps(record: &Record, interval_minutes: u32, until: Timestamp) -> Vec<Gap> {
    let Some((from, over)) = span(record) else {
        return Vec::new();
    };
    let until = over.unwrap_or(until);
    let mut times: Vec<Timestamp> = readings(record)
        .iter()
        .filter(|point| point.reading.sign.is_routine())
        .map(|point| point.at)
        .filter(|at| *at > from && *at < until)
        .collect();
    times.push(until);
    let longest = i64::from(interval_minutes) * 60 + LATE_SECONDS;
    let mut gaps = Vec::new();
    let mut before = from;
    for at in times {
        if interval_minutes > 0 && at.duration_since(before).as_secs() > longest {
            gaps.push(Gap {
                from: before,
                to: at,
            });
        }
        before = at;
    }
    gaps
}

/// Seconds since the last routine reading, or since the beginning; none where nothing is watched now.
pub fn seconds_since_reading(record: &Record, now: Timestamp) -> Option<i64> {
    let (from, over) = span(record)?;
    if over.is_some() {
        return None;
    }
    let newest = readings(record)
        .iter()
        .filter(|point| point.reading.sign.is_routine())
        .map(|point| point.at)
        .max()
        .unwrap_or(from);
    Some(now.duration_since(newest.max(from)).as_secs())
}

/// The same action limit was broken by the reading of this sign before, at least so long ago: twice in a row is what
/// a study counts as a true event (two readings, 5 min apart).
const IN_A_ROW_SECONDS: i64 = 240;

/// How a reading stands to what is published, and to the reading of the same sign before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    Inside,
    /// Outside the target only.
    OffTarget(limits::Side),
    /// Low or high, the first of its kind.
    Watch(limits::Side),
    /// Low or high, as the one some minutes before was.
    Alert(limits::Side),
}

/// Judges the readings of one sign in their order.
pub fn stands(record: &Record, own: &[limits::Limit], sign: VitalSign) -> Vec<(u64, Stand)> {
    let patient = &record.patient;
    let mut before: Option<(Timestamp, limits::Side)> = None;
    let mut stands = Vec::new();
    for point in readings(record) {
        if point.reading.sign != sign {
            continue;
        }
        let broken = limits::broken(patient.species, patient.weight, own, &point.reading);
        let stand = match limits::worst(&broken) {
            None => Stand::Inside,
            Some((limits::Severity::Target, side)) => Stand::OffTarget(side),
            Some((limits::Severity::Action, side)) => match before {
                Some((since, was))
                    if was == side
                        && point.at.duration_since(since).as_secs() >= IN_A_ROW_SECONDS =>
                {
                    Stand::Alert(side)
                }
                _ => Stand::Watch(side),
            },
        };
        match stand {
            Stand::Watch(side) => match before {
                Some((_, was)) if was == side => {}
                _ => before = Some((point.at, side)),
            },
            Stand::Alert(_) => {}
            _ => before = None,
        }
        stands.push((point.charted.number, stand));
    }
    stands
}

/// All local anaesthetic that was given, nerve blocks and the drug log alike, in the form of blocks: for the sums of
/// their ceilings only. What was given elsewhere stands as a block of no named nerve.
pub fn local_anaesthetics(record: &Record) -> Vec<Procedure> {
    record
        .procedures()
        .map(|(procedure, _)| procedure.clone())
        .filter(|procedure| matches!(procedure, Procedure::NerveBlock { .. }))
        .chain(drugs(record).filter_map(|(entry, _)| as_block(entry)))
        .collect()
}

/// A local anaesthetic of the drug log as a block; none for another drug.
pub fn as_block(entry: &DrugEntry) -> Option<Procedure> {
    let drug = DRUGS.into_iter().find(|drug| drug.word() == entry.drug)?;
    let dose_ug = entry.amount.dose_ug?;
    // Rounded up: a sum is never too small.
    let volume = entry.amount.volume_ul.unwrap_or(0).div_ceil(10);
    Some(Procedure::NerveBlock {
        block: Block::Other,
        side: MouthSide::Left,
        drug,
        volume_ml_hundredths: u16::try_from(volume).unwrap_or(u16::MAX),
        // One per cent is ten milligrams a millilitre.
        strength_percent_hundredths: entry
            .amount
            .strength_ug_per_ml
            .and_then(|strength| u16::try_from(strength / 100).ok()),
        as_given: Some(AsGiven {
            dose_ug,
            is_strength_said: true,
            weight_g: entry.weight_g,
            ceiling_ug: entry.ceiling_ug,
            share_thousandths: None,
        }),
    })
}
