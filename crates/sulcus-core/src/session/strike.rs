//! Taking back what was entered earlier: all of a tooth, or single values. Never a value that was replaced comes back
//! by it, and what was struck last can be brought back.

use super::Work;
use super::phrase::{Phrase, Slot};
use super::read_back;
use crate::grammar::intent::Which;
use crate::record::event::Retraction;
use crate::record::fold::Phase;
use crate::record::{Charted, Event, Record};
use crate::terms::finding::Reach;
use crate::terms::{Kind, Place, Subject, ToothNumber, Watched, key};

/// All entries of a tooth; none named: of the tooth at hand.
pub(super) fn tooth(work: &mut Work<'_>, tooth: Option<ToothNumber>) {
    if is_finished(work) {
        return;
    }
    let Some(tooth) = tooth.or(work.record.tooth) else {
        return work.say(Phrase::rule("no_tooth"));
    };
    let entries: Vec<u64> = work
        .record
        .current()
        .filter(|charted| charted.event.tooth() == Some(tooth))
        .map(|charted| charted.number)
        .collect();
    if entries.is_empty() {
        return work.say(Phrase::new("nothing_charted").with("tooth", Slot::Tooth(tooth)));
    }
    if super::is_any_confirmed(&work.record, &entries) {
        return super::ask_to_take_back(work, &entries, Retraction::Struck);
    }
    retract(work, &entries);
    work.say(Phrase::new("struck").with("tooth", Slot::Tooth(tooth)));
}

/// Single values; named when said back, so that nobody takes back more than was meant.
pub(super) fn values(work: &mut Work<'_>, which: &Which) {
    if is_finished(work) {
        return;
    }
    let at_hand = work.record.tooth;
    let needs_tooth = match which {
        Which::Entry(_) | Which::Done(_) | Which::Note | Which::MouthDecision => false,
        Which::Findings { kinds, .. } => kinds.iter().any(|kind| is_of_teeth(*kind)),
        Which::Decision => true,
    };
    if needs_tooth && at_hand.is_none() {
        return work.say(Phrase::rule("no_tooth"));
    }
    let entries = find(&work.record, which);
    if entries.is_empty() {
        return work.say(match which {
            Which::Entry(_) => Phrase::new("nothing_to_undo"),
            Which::Findings { kinds, .. } => {
                not_charted(kinds.first().map_or("", |kind| kind.spec().title))
            }
            Which::Decision => not_charted("decision"),
            Which::MouthDecision => not_charted("decision for the mouth"),
            Which::Note => not_charted("note"),
            Which::Done(key) => not_charted(&key.replace('_', " ")),
        });
    }
    if super::is_any_confirmed(&work.record, &entries) {
        return super::ask_to_take_back(work, &entries, Retraction::Struck);
    }
    now(work, &entries);
}

/// Takes them back, whatever they replaced with them, and says what it was.
pub(super) fn now(work: &mut Work<'_>, entries: &[u64]) {
    let items = read_back::of_numbers(&work.record, entries);
    retract(work, entries);
    work.say(Phrase::new("withdrawn").with("items", Slot::Phrases(items)));
}

fn not_charted(title: &str) -> Phrase {
    Phrase::new("not_charted").with("title", Slot::Text(title.into()))
}

/// What was struck last is entered anew, and read back as anything entered.
pub(super) fn bring_back(work: &mut Work<'_>) {
    for event in std::mem::take(&mut work.struck) {
        work.push(event);
    }
}

/// A closed visit is reopened with a reason first.
fn is_finished(work: &mut Work<'_>) -> bool {
    let is_finished = work.record.phase == Phase::Finished;
    if is_finished {
        work.say(Phrase::new("finished"));
    }
    is_finished
}

fn retract(work: &mut Work<'_>, entries: &[u64]) {
    let struck = entries
        .iter()
        .filter_map(|number| work.record.entry(*number))
        .map(|charted| charted.event.clone())
        .collect();
    let entries = entries
        .iter()
        .flat_map(|number| work.record.with_replaced(*number))
        .collect();
    work.push(Event::Retracted {
        entries,
        why: Retraction::Struck,
    });
    work.struck = struck;
}

fn is_of_teeth(kind: Kind) -> bool {
    !matches!(kind.spec().reach, Reach::Mouth | Reach::AreaOrTooth)
}

/// The entries that are meant and stand now.
fn find(record: &Record, which: &Which) -> Vec<u64> {
    match which {
        Which::Entry(number) if record.is_current(*number) => vec![*number],
        Which::Entry(_) => Vec::new(),
        Which::Decision => record
            .tooth
            .and_then(|tooth| record.decision(tooth))
            .map(|(_, _, charted)| charted.number)
            .into_iter()
            .collect(),
        Which::MouthDecision => super::mouth::newest_decision(record),
        Which::Note => newest(
            record
                .current()
                .filter(|charted| matches!(charted.event, Event::NoteRecorded { .. })),
        ),
        Which::Done(done) if watched(record, done).next().is_some() => {
            newest(watched(record, done))
        }
        Which::Done(done) => newest(
            record
                .procedures()
                .filter(|(procedure, _)| {
                    let of = procedure.tooth();
                    key(procedure) == *done && (of.is_none() || of == record.tooth)
                })
                .map(|(_, charted)| charted),
        ),
        Which::Findings { kinds, places } => {
            let of_tooth = record.tooth.map_or_else(Vec::new, |tooth| {
                findings(record, Subject::Tooth(tooth), kinds, places)
            });
            if of_tooth.is_empty() {
                findings(record, Subject::Mouth, kinds, places)
            } else {
                of_tooth
            }
        }
    }
}

/// Entries of the anaesthetic record by the name of their sign, or drugs.
fn watched<'a>(record: &'a Record, name: &'a str) -> impl Iterator<Item = &'a Charted> {
    record.watched().filter_map(move |(what, charted)| {
        let is_named = match what {
            Watched::Vital(reading) => key(&reading.sign) == name,
            Watched::Drug(_) => name == "drug",
            _ => false,
        };
        is_named.then_some(charted)
    })
}

fn newest<'a>(entries: impl Iterator<Item = &'a Charted>) -> Vec<u64> {
    let number = entries.map(|charted| charted.number).max();
    number.into_iter().collect()
}

fn findings(record: &Record, of: Subject, kinds: &[Kind], places: &[Place]) -> Vec<u64> {
    record
        .findings()
        .filter(|(finding, _)| finding.subject == of && kinds.contains(&finding.kind))
        .filter(|(finding, _)| places.is_empty() || places.contains(&finding.place))
        .map(|(_, charted): (_, &Charted)| charted.number)
        .collect()
}
