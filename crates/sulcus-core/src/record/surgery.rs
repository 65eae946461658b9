//! Complications and samples as they stand in a record: each with what was done about it, and whether the owner was
//! told, or the result read. Pure; for session, plan, reports and exports alike.

use jiff::civil::Date;

use super::fold::{Charted, Record};
use crate::record::wording;
use crate::terms::procedure::Procedure;
use crate::terms::surgery::{Complication, Remedy, SampleKind, Way};
use crate::terms::watch::Role;
use crate::terms::{ToothNumber, key};

/// Something that went wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Mishap<'a> {
    pub charted: &'a Charted,
    /// Key of what it is: that of [`Complication`], or "root_left".
    pub key: String,
    pub tooth: Option<ToothNumber>,
    /// In words, with its size.
    pub text: String,
    pub remedies: Vec<(Remedy, &'a Charted)>,
    pub told: Option<Told<'a>>,
}

/// That the owner was told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Told<'a> {
    pub way: Option<Way>,
    pub by: Option<Role>,
    pub charted: &'a Charted,
}

/// A sample for the laboratory.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample<'a> {
    pub charted: &'a Charted,
    pub pot: u8,
    pub kind: Option<SampleKind>,
    /// "104", "left cheek".
    pub place: String,
    /// When it was sent, and the days after which the result is due, where said.
    pub sent: Option<(&'a Charted, Option<u16>)>,
    /// Of the newest reading.
    pub result: Option<(&'a str, &'a Charted)>,
}

impl Sample<'_> {
    /// The day on which the result is due; none where it was not sent or nobody said when.
    pub fn due(&self) -> Option<Date> {
        let (sent, days) = self.sent?;
        let day = jiff::tz::TimeZone::UTC.to_datetime(sent.at).date();
        day.checked_add(jiff::Span::new().days(i64::from(days?)))
            .ok()
    }
}

/// Everything that went wrong and counts now, in the order entered. A root that was left is among them.
pub fn mishaps(record: &Record) -> Vec<Mishap<'_>> {
    record
        .procedures()
        .filter_map(|(procedure, charted)| {
            let (key, tooth, text) = match procedure {
                Procedure::Complication {
                    what,
                    tooth,
                    size_mm,
                } => {
                    let size = size_mm.map_or_else(String::new, |mm| format!(", {mm} mm"));
                    (key(what), *tooth, format!("{}{size}", what.word()))
                }
                Procedure::RootLeft { tooth, .. } => (
                    "root_left".to_owned(),
                    Some(*tooth),
                    wording::procedure(procedure),
                ),
                _ => return None,
            };
            Some(Mishap {
                charted,
                key,
                tooth,
                text,
                remedies: remedies(record, charted.number),
                told: told(record, charted.number),
            })
        })
        .collect()
}

fn remedies(record: &Record, of: u64) -> Vec<(Remedy, &Charted)> {
    record
        .procedures()
        .filter_map(|(procedure, charted)| match procedure {
            Procedure::ComplicationTreated { of: entry, how } if *entry == of => {
                Some((*how, charted))
            }
            _ => None,
        })
        .collect()
}

fn told(record: &Record, of: u64) -> Option<Told<'_>> {
    record
        .procedures()
        .filter_map(|(procedure, charted)| match procedure {
            Procedure::OwnerTold {
                of: entries,
                way,
                by,
            } if entries.contains(&of) => Some(Told {
                way: *way,
                by: *by,
                charted,
            }),
            _ => None,
        })
        .last()
}

/// Whether such a complication is recorded of the tooth.
pub fn has(record: &Record, what: Complication, of: ToothNumber) -> bool {
    record.procedures().any(|(procedure, _)| {
        matches!(procedure, Procedure::Complication { what: is, tooth, .. } if *is == what && *tooth == Some(of))
    })
}

/// The samples taken, by their pots.
pub fn samples(record: &Record) -> Vec<Sample<'_>> {
    let mut samples: Vec<Sample<'_>> = record
        .procedures()
        .filter_map(|(procedure, charted)| match procedure {
            Procedure::SampleTaken {
                pot,
                tooth,
                area,
                kind,
            } => Some(Sample {
                charted,
                pot: *pot,
                kind: *kind,
                place: place(*tooth, *area),
                sent: sent(record, *pot),
                result: result(record, *pot),
            }),
            _ => None,
        })
        .collect();
    samples.sort_by_key(|sample| sample.pot);
    samples
}

/// Where a sample is from, in words.
pub fn place(
    tooth: Option<ToothNumber>,
    area: Option<(crate::terms::Area, Option<crate::terms::MouthSide>)>,
) -> String {
    let area = area.map(|(area, side)| {
        let side = side.map_or_else(String::new, |side| {
            format!("{} ", wording::mouth_side(side))
        });
        format!("{side}{}", wording::area(area))
    });
    match (tooth, area) {
        (Some(tooth), Some(area)) => format!("{area}, at {tooth}"),
        (Some(tooth), None) => format!("at {tooth}"),
        (None, area) => area.unwrap_or_default(),
    }
}

fn sent(record: &Record, of: u8) -> Option<(&Charted, Option<u16>)> {
    record
        .procedures()
        .filter_map(|(procedure, charted)| match procedure {
            Procedure::SamplesSent { pots, due_days } if pots.contains(&of) => {
                Some((charted, *due_days))
            }
            _ => None,
        })
        .last()
}

fn result(record: &Record, of: u8) -> Option<(&str, &Charted)> {
    record
        .procedures()
        .filter_map(|(procedure, charted)| match procedure {
            Procedure::ResultRead { pot, text } if *pot == of => Some((text.as_str(), charted)),
            _ => None,
        })
        .last()
}

/// Teeth whose work is for a second visit; the newest word on a tooth counts.
pub fn later(record: &Record) -> Vec<(ToothNumber, &Charted)> {
    let mut later: Vec<(ToothNumber, &Charted)> = Vec::new();
    for (procedure, charted) in record.procedures() {
        if let Procedure::Staged { tooth, is_later } = procedure {
            later.retain(|(of, _)| of != tooth);
            if *is_later {
                later.push((*tooth, charted));
            }
        }
    }
    later
}

/// Begun and not closed: a flap is up, and the tooth neither taken out nor sewn.
pub fn is_begun(record: &Record, tooth: ToothNumber) -> bool {
    let mut is_open = false;
    for (procedure, _) in record.procedures() {
        match procedure {
            Procedure::Flap { tooth: of, .. } if *of == tooth => is_open = true,
            Procedure::Sutured { tooth: of, .. } if *of == tooth => is_open = false,
            _ => {}
        }
    }
    is_open
}

/// The day of the second visit, reckoned from the day on which it was said.
pub fn second_visit(record: &Record) -> Option<(Date, &Charted)> {
    let (days, charted) = record
        .procedures()
        .filter_map(|(procedure, charted)| match procedure {
            Procedure::SecondVisit { days } => Some((*days, charted)),
            _ => None,
        })
        .last()?;
    let day = jiff::tz::TimeZone::UTC.to_datetime(charted.at).date();
    let day = day
        .checked_add(jiff::Span::new().days(i64::from(days)))
        .ok()?;
    Some((day, charted))
}

/// When a drug was given last in this visit.
pub fn last_given(record: &Record, drug: &str) -> Option<jiff::Timestamp> {
    record
        .current()
        .filter_map(|charted| match &charted.event {
            super::Event::WatchRecorded {
                what: crate::terms::Watched::Drug(entry),
                ..
            } => (entry.drug == drug).then(|| super::monitoring::given_at(entry, charted)),
            super::Event::ProcedureRecorded {
                procedure: Procedure::Medication { words },
                ..
            } => (words == drug).then_some(charted.at),
            _ => None,
        })
        .max()
}

/// Before this time no first dose at home: a day, parted by the doses of a day, after the last in this visit.
pub fn first_dose(record: &Record, drug: &str, times_a_day: u8) -> Option<jiff::Timestamp> {
    let hours = 24 / i64::from(times_a_day.max(1));
    last_given(record, drug)?
        .checked_add(jiff::Span::new().hours(hours))
        .ok()
}
