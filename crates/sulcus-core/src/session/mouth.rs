//! Entering what belongs to the mouth rather than to a tooth: how a lesion looks, decisions for the mouth, parts of it
//! and groups of teeth, batches of what stays in a wound.
//!
//! Invariants: a description is of the lesion that was entered last, and its place is said with it; a word about many
//! teeth overrules nothing that was decided for one, and answers no question that is asked of one.

use super::Work;
use super::enter;
use super::phrase::{Phrase, Slot};
use super::read_back::{area_words, decision_words, mouth_decision_words};
use super::scope::{self, NoScope};
use crate::grammar::intent::{Scope, Trait};
use crate::record::event::Proposed;
use crate::record::{Event, Record, Standing, lesion};
use crate::terms::mouth::{Implant, MouthChoice, MouthDecision};
use crate::terms::procedure::Treatment;
use crate::terms::{Decision, Kind, Place, Procedure, Reason, Subject, ToothNumber};

/// What was said of the lesion that was entered last.
pub(super) fn describe(work: &mut Work<'_>, traits: &[Trait]) {
    let Some(lesion) = lesion::newest(&work.record) else {
        return work.say(Phrase::rule("no_lesion"));
    };
    // What is hard and soft is neither: nothing of it is entered.
    let twice = traits
        .iter()
        .enumerate()
        .find(|(at, one)| traits[..*at].iter().any(|before| before.kind == one.kind));
    if let Some((_, Trait { kind, .. })) = twice {
        let title = kind.map_or("size", |kind| kind.spec().title);
        return work.say(Phrase::rule("lesion_twice").with("title", Slot::Text(title.to_owned())));
    }
    let (subject, place) = (lesion.finding.subject, lesion.finding.place);
    let of = lesion.finding.kind;
    let title = of.spec().title;
    let what = match (subject, place) {
        (Subject::Tooth(tooth), _) => format!("{title} at {tooth}"),
        (Subject::Mouth, Place::Area(area, side)) => {
            format!("{title}, {}", area_words(area, side))
        }
        (Subject::Mouth, _) => title.to_owned(),
    };
    work.say(Phrase::new("lesion_named").with("what", Slot::Text(what)));
    for Trait { kind, value } in traits {
        let kind = kind.unwrap_or(of);
        enter::finding(work, subject, kind, place, value.clone());
    }
}

/// The vet's decision for the mouth or a part of it.
pub(super) fn decide(work: &mut Work<'_>, what: MouthDecision) {
    if what.part.is_none() && matches!(what.choice, MouthChoice::Remove | MouthChoice::Sample) {
        return work.say(Phrase::rule("mouth_part"));
    }
    let is_put_off = matches!(
        what.choice,
        MouthChoice::Monitor { .. } | MouthChoice::Leave
    );
    if is_put_off && what.reason.is_none() && has_mass(&work.record, what) {
        let phrase = Phrase::rule("mass_without_sample")
            .with("decision", Slot::Text(mouth_decision_words(&what)));
        return work.challenge("mass_without_sample", phrase, Proposed::MouthDecision(what));
    }
    let before = work
        .record
        .mouth_decision(what.part)
        .filter(|(before, charted)| {
            charted.standing == Standing::Confirmed && before.choice != what.choice
        })
        .map(|(before, _)| mouth_decision_words(before));
    if let Some(before) = before {
        let phrase = Phrase::rule("replace_mouth_decision")
            .with("before", Slot::Text(before))
            .with("decision", Slot::Text(mouth_decision_words(&what)));
        return work.challenge(
            "replace_mouth_decision",
            phrase,
            Proposed::MouthDecision(what),
        );
    }
    work.push(Event::MouthDecided {
        what,
        challenge: None,
    });
}

/// A mass is charted where the decision is for; anywhere, where it is for the mouth as a whole.
fn has_mass(record: &Record, what: MouthDecision) -> bool {
    lesion::lesions(record).iter().any(|lesion| {
        lesion.finding.kind == Kind::Mass && (what.part.is_none() || lesion.part() == what.part)
    })
}

/// One decision for several teeth. Those that are missing, decided, or asked about one by one are left out, and told.
pub(super) fn decide_group(
    work: &mut Work<'_>,
    scope: &Scope,
    decision: &Decision,
    reason: Option<Reason>,
) {
    let teeth = match scope::teeth(&work.record, scope) {
        Ok(teeth) => teeth,
        Err(NoScope::Empty) => return work.say(Phrase::new("range_empty")),
        Err(NoScope::TwoJaws) => {
            let Scope::Range(from, to) = scope else {
                return;
            };
            return work.say(
                Phrase::new("range_two_jaws")
                    .with("from", Slot::Tooth(*from))
                    .with("to", Slot::Tooth(*to)),
            );
        }
    };
    let is_there = |tooth: &ToothNumber| {
        [Kind::Absent, Kind::Unerupted].iter().all(|kind| {
            work.record
                .finding(Subject::Tooth(*tooth), *kind, Place::Whole)
                .is_none()
        })
    };
    let (there, _): (Vec<_>, Vec<_>) = teeth.into_iter().partition(is_there);
    let (free, own): (Vec<_>, Vec<_>) = there.into_iter().partition(|tooth| {
        work.record.decision(*tooth).is_none() && !enter::wants_own_answer(work, *tooth, decision)
    });
    if !own.is_empty() {
        work.say(Phrase::rule("group_decision_skipped").with("teeth", Slot::Teeth(own)));
    }
    if free.is_empty() {
        return;
    }
    if *decision == Decision::Extract {
        let phrase = Phrase::rule("extract_group")
            .with("count", Slot::Number(free.len() as u16))
            .with("teeth", Slot::Teeth(free.clone()));
        let proposed = Proposed::Decisions {
            teeth: free,
            decision: decision.clone(),
            reason,
        };
        return work.challenge("extract_group", phrase, proposed);
    }
    decided(work, &free, decision, reason, None);
}

/// Enters the decision for each of them, and says it back once.
pub(super) fn decided(
    work: &mut Work<'_>,
    teeth: &[ToothNumber],
    decision: &Decision,
    reason: Option<Reason>,
    challenge: Option<u64>,
) -> Vec<u64> {
    let entries: Vec<u64> = teeth
        .iter()
        .map(|tooth| {
            work.push(Event::DecisionRecorded {
                tooth: *tooth,
                decision: decision.clone(),
                reason,
                challenge,
            })
        })
        .collect();
    let phrase = Phrase::new("group_decided")
        .with("count", Slot::Number(teeth.len() as u16))
        .with("decision", Slot::Text(decision_words(decision)))
        .with("teeth", Slot::Teeth(teeth.to_vec()))
        .saying_back(entries.clone());
    work.say(phrase);
    entries
}

/// The batch of what was put into the wound of the tooth at hand.
pub(super) fn batch(work: &mut Work<'_>, what: Implant, batch: &str) {
    let Some(tooth) = work.record.tooth else {
        return work.say(Phrase::rule("no_tooth"));
    };
    let treatment = match what {
        Implant::Graft => Treatment::BoneGraft,
        Implant::Membrane => Treatment::Membrane,
    };
    let is_placed = work
        .record
        .procedures()
        .any(|(procedure, _)| *procedure == Procedure::Treated { tooth, treatment });
    if !is_placed {
        work.say(
            Phrase::rule("batch_without_implant")
                .with("tooth", Slot::Tooth(tooth))
                .with("what", Slot::Text(what.word().to_owned())),
        );
    }
    work.push(Event::ProcedureRecorded {
        procedure: Procedure::ImplantBatch {
            tooth,
            what,
            batch: batch.to_owned(),
        },
        challenge: None,
    });
}

/// Traits in words, for people who try a sentence.
pub(super) fn wish(traits: &[Trait]) -> String {
    let words: Vec<String> = traits
        .iter()
        .map(|Trait { kind, value }| {
            let title = kind.map_or("size", |kind| kind.spec().title);
            let value = crate::record::wording::value(value);
            format!("{title} {value}")
        })
        .collect();
    format!("of the newest lesion: {}", words.join(", "))
}

/// The newest decision for the mouth or a part of it, to be taken back.
pub(super) fn newest_decision(record: &Record) -> Vec<u64> {
    record
        .mouth_decisions()
        .map(|(_, charted)| charted.number)
        .max()
        .into_iter()
        .collect()
}

/// What stands where a decision for the mouth would go.
pub(super) fn standing(record: &Record, what: &MouthDecision) -> Option<u64> {
    record
        .mouth_decision(what.part)
        .map(|(_, charted)| charted.number)
}
