//! What a clinic chooses for the flow of an examination: what "next" confirms, and whether the next tooth comes by
//! itself. Both are off unless the clinic wants them.
//!
//! Invariants: "next" confirms findings of the tooth that is left, and of these only what was told to its end before
//! the word began; a decision, a treatment and a drug need a "confirm" of their own. After a tooth that came by itself
//! nothing but its depths is taken to be of it without a question.

use super::arrange::{Doubt, is_of_tooth_at_hand};
use super::{Phrase, Work, enter};
use crate::grammar::Intent;
use crate::record::event::Proposed;
use crate::record::fold::Challenge;
use crate::record::{Draft, Event, Record, Standing};
use crate::terms::{Finding, Kind, Place, Site, Subject, ToothNumber};

/// The clinic's choices.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Customs {
    /// "Next" confirms what was read back to its end.
    pub next_confirms: bool,
    /// When all six depths of a tooth are in, the next one is at hand, told by its number.
    pub next_by_itself: bool,
}

/// The findings that "next" confirms: of the tooth at hand and of the one left last, read back to their end, and by
/// nobody confirmed. (The read-back of the one left last may have ended after the "next" that left it.)
fn told(record: &Record, left: Option<ToothNumber>) -> Vec<u64> {
    record
        .unconfirmed()
        .filter(|charted| {
            charted.standing == Standing::ReadBack
                && matches!(charted.event, Event::FindingRecorded { .. })
                && charted
                    .event
                    .tooth()
                    .is_some_and(|tooth| record.tooth == Some(tooth) || left == Some(tooth))
        })
        .map(|charted| charted.number)
        .collect()
}

/// "Next" where the clinic chose that it confirms.
pub(super) fn confirm_by_next(work: &mut Work<'_>) {
    if !work.rules.customs().next_confirms || work.record.open_challenge().is_some() {
        return;
    }
    let entries = told(&work.record, work.left_by_next);
    if !entries.is_empty() {
        work.push(Event::Confirmed { entries });
    }
}

/// Whether somebody goes elsewhere than to the next tooth: what was left before that is confirmed by no "next".
pub(super) fn leaves_the_way(intents: &[Intent]) -> bool {
    intents
        .iter()
        .any(|intent| matches!(intent, Intent::ChooseTooth(_) | Intent::PreviousTooth))
}

/// Whether a question may wait for the end of its quadrant: that of an odd finding, of which nothing follows yet.
pub(super) fn may_wait(question: &Challenge) -> bool {
    matches!(question.proposed, Proposed::Finding(_))
}

fn has_all_depths(record: &Record, tooth: ToothNumber) -> bool {
    Site::ALL.iter().all(|site| {
        record
            .finding(Subject::Tooth(tooth), Kind::Depth, Place::Site(*site))
            .is_some()
    })
}

fn is_depth_of(draft: &Draft, tooth: ToothNumber) -> bool {
    matches!(
        draft.event,
        Event::FindingRecorded {
            finding: Finding {
                kind: Kind::Depth,
                ..
            },
            ..
        }
    ) && draft.event.tooth() == Some(tooth)
}

/// Goes on to the next tooth where this utterance brought the last of six depths; gives the tooth that was left.
pub(super) fn go_on_by_itself(work: &mut Work<'_>, before: &Record) -> Option<ToothNumber> {
    let tooth = work.record.tooth?;
    let is_filled = work.rules.customs().next_by_itself
        && work.record.open_challenge().is_none()
        && work.drafts.iter().any(|draft| is_depth_of(draft, tooth))
        && has_all_depths(&work.record, tooth)
        && !has_all_depths(before, tooth);
    if !is_filled {
        return None;
    }
    let phrases = work.phrases.len();
    enter::enter(work, &Intent::NextTooth);
    // Told after the read-back of the tooth that was left, or the depths would seem to be of this one.
    for phrase in &mut work.phrases[phrases..] {
        if phrase.key == "tooth" {
            "next_by_itself".clone_into(&mut phrase.key);
        }
    }
    (work.record.tooth != Some(tooth)).then_some(tooth)
}

/// A tooth that came by itself is told last.
pub(super) fn is_told_last(phrase: &Phrase) -> bool {
    phrase.key == "next_by_itself"
}

/// The first intent that is of one tooth or chooses one.
fn first_of_a_tooth(intents: &[Intent]) -> Option<&Intent> {
    intents.iter().find(|intent| {
        is_of_tooth_at_hand(intent)
            || matches!(
                intent,
                Intent::ChooseTooth(_) | Intent::NextTooth | Intent::PreviousTooth
            )
    })
}

/// Whether it is clear after this breath which tooth is at hand for the people too.
pub(super) fn speaks_of_a_tooth(intents: &[Intent]) -> bool {
    first_of_a_tooth(intents).is_some_and(|first| !matches!(first, Intent::Ask(_)))
}

/// The doubt where a breath may be of the tooth that came by itself or of the one that was left; none where it is
/// clear.
pub(super) fn of_either(
    intents: &[Intent],
    left: ToothNumber,
    at_hand: ToothNumber,
) -> Option<Doubt> {
    let is_clear = matches!(
        first_of_a_tooth(intents)?,
        Intent::ChooseTooth(_)
            | Intent::NextTooth
            | Intent::PreviousTooth
            | Intent::Ask(_)
            | Intent::RecordMillimetres {
                kind: Kind::Depth,
                ..
            }
            // "Missing" and "normal" are no word on a tooth whose depths were just read.
            | Intent::RecordAbsent(_)
            | Intent::RecordNormal(_)
    );
    let of = |tooth: ToothNumber, then: Option<ToothNumber>| {
        let intents = [Intent::ChooseTooth(tooth)]
            .into_iter()
            .chain(intents.iter().cloned())
            .chain(then.map(Intent::ChooseTooth))
            .collect();
        (tooth, intents)
    };
    (!is_clear).then(|| Doubt {
        one: of(left, Some(at_hand)),
        other: of(at_hand, None),
    })
}
