//! Something dangerous has begun: asked at once, and again until somebody says that it was seen. Time is passed in.
//!
//! Invariant: an alert is on record as a question, and so is the answer; silence never ends it.

use super::enter::temperature_rule;
use super::phrase::{Phrase, Slot};
use super::reminder;
use crate::clock::Now;
use crate::record::event::Proposed;
use crate::record::{Record, monitoring};
use crate::terms::Procedure;
use crate::terms::vital::{VitalSign, decimal};

/// A throat pack that stays while the animal wakes.
pub(super) const PACK_STILL_IN: &str = "pack_still_in";
/// A mouth gag that stays in a cat.
const GAG_TOO_LONG: &str = "gag_too_long";
/// A body temperature above the usual, which the vet has to know of.
const TEMPERATURE_SEEN: &str = "temperature_seen";

/// Asked again after so many seconds: common practice, no source.
const AGAIN_SECONDS: i64 = 60;

/// What is due: the key of its rule, and its question.
pub(super) struct Alert {
    pub key: &'static str,
    pub phrase: Phrase,
}

/// The alert that is due now. `gag_minutes`: how long a gag may stay in a cat, and after how long that is asked anew.
pub(super) fn due(record: &Record, now: Now, gag_minutes: u32) -> Option<Alert> {
    let pack = pack_in_since_end(record)
        .filter(|since| is_due(record, now, PACK_STILL_IN, *since, None))
        .map(|_| Phrase::rule(PACK_STILL_IN));
    let gag = || {
        let (since, minutes) = reminder::gag_in(record, now)?;
        let limit = gag_minutes.max(1);
        let again = i64::from(limit) * 60;
        let is_long = minutes >= u64::from(limit);
        let minutes = Slot::Number(u16::try_from(minutes).unwrap_or(u16::MAX));
        (is_long && is_due(record, now, GAG_TOO_LONG, since, Some(again)))
            .then(|| Phrase::rule(GAG_TOO_LONG).with("minutes", minutes))
    };
    let temperature = || {
        let newest = monitoring::newest(record, VitalSign::Temperature)?;
        let hundredths = newest.reading.hundredths()?;
        let rule = temperature_rule(record.patient.species, u16::try_from(hundredths / 10).ok()?)?;
        let since = newest.charted.number;
        // One below 34 degrees was asked about before it was entered.
        (rule == "temperature_high" && is_due(record, now, TEMPERATURE_SEEN, since, None)).then(
            || Phrase::rule(TEMPERATURE_SEEN).with("degrees", Slot::Figure(decimal(hundredths))),
        )
    };
    let alert = |key, phrase: Option<Phrase>| phrase.map(|phrase| Alert { key, phrase });
    alert(PACK_STILL_IN, pack)
        .or_else(|| alert(GAG_TOO_LONG, gag()))
        .or_else(|| alert(TEMPERATURE_SEEN, temperature()))
}

/// Whether it is to be asked about what began with entry `since`: not asked yet, or answered "no" a while ago; where it
/// goes on, also so many seconds after it was seen.
fn is_due(record: &Record, now: Now, key: &str, since: u64, goes_on: Option<i64>) -> bool {
    let last = record.challenges.iter().rev().find(|challenge| {
        challenge.number > since
            && matches!(&challenge.proposed, Proposed::Seen { alert } if alert == key)
    });
    let Some(asked) = last else {
        return true;
    };
    let seconds = now.at.as_second() - asked.at.as_second();
    match asked.accepted {
        Some(false) => seconds >= AGAIN_SECONDS,
        Some(true) => goes_on.is_some_and(|again| seconds >= again),
        None => false,
    }
}

/// Number of the entry that ended the anaesthesia or the work, where a pack is in now.
fn pack_in_since_end(record: &Record) -> Option<u64> {
    let count = |wanted: &Procedure| record.procedures().filter(|(p, _)| *p == wanted).count();
    if count(&Procedure::ThroatPackIn) <= count(&Procedure::ThroatPackOut) {
        return None;
    }
    let newest = record
        .procedures()
        .filter(|(p, _)| {
            matches!(
                p,
                Procedure::AnaesthesiaStarted
                    | Procedure::AnaesthesiaEnded
                    | Procedure::ProcedureStarted
                    | Procedure::ProcedureEnded
            )
        })
        .last()?;
    matches!(
        newest.0,
        Procedure::AnaesthesiaEnded | Procedure::ProcedureEnded
    )
    .then_some(newest.1.number)
}
