//! Tests of a cat's blood for FeLV and FIV: asked before they are entered, and taken back by question alone.
//!
//! Invariant: a result stands in the patient's data only where somebody answered its question with yes.

use super::Work;
use super::phrase::{Phrase, Slot};
use crate::record::Event;
use crate::record::event::Proposed;
use crate::terms::Species;

/// FeLV, then FIV, each as far as known.
pub(super) type Results = (Option<bool>, Option<bool>);

/// "FeLV positive and FIV negative".
pub(super) fn words((felv, fiv): Results) -> String {
    let named = |name: &str, result: Option<bool>| {
        result.map(|is| format!("{name} {}", if is { "positive" } else { "negative" }))
    };
    let all: Vec<String> = [named("FeLV", felv), named("FIV", fiv)]
        .into_iter()
        .flatten()
        .collect();
    all.join(" and ")
}

fn of(work: &Work<'_>) -> Results {
    (work.record.patient.felv, work.record.patient.fiv)
}

/// What was named over what stood.
fn together(named: Results, stood: Results) -> Results {
    (named.0.or(stood.0), named.1.or(stood.1))
}

/// Asks; nothing is entered before the answer.
pub(super) fn enter(work: &mut Work<'_>, named: Results) {
    if work.record.patient.species != Species::Cat {
        return work.say(Phrase::rule("virus_of_cats"));
    }
    let stood = of(work);
    let results = Slot::Text(words(named));
    if together(named, stood) == stood {
        return work.say(Phrase::new("virus_known").with("results", results));
    }
    let is_other =
        |new: Option<bool>, old: Option<bool>| new.is_some() && old.is_some() && new != old;
    let phrase = if is_other(named.0, stood.0) || is_other(named.1, stood.1) {
        Phrase::rule("virus_replaces").with("before", Slot::Text(words(stood)))
    } else {
        Phrase::rule("virus_test")
    };
    let rule = phrase.key.clone();
    let proposed = Proposed::BloodTests {
        felv: named.0,
        fiv: named.1,
        takes_back: false,
    };
    work.challenge(&rule, phrase.with("results", results), proposed);
}

/// Asks whether what was entered last goes again.
pub(super) fn ask_to_take_back(work: &mut Work<'_>, before: Results) {
    let phrase = Phrase::rule("virus_take_back")
        .with("results", Slot::Text(words(differing(of(work), before))));
    let proposed = Proposed::BloodTests {
        felv: before.0,
        fiv: before.1,
        takes_back: true,
    };
    work.challenge("virus_take_back", phrase, proposed);
}

/// Those of the results that are other than before.
fn differing(now: Results, before: Results) -> Results {
    (
        now.0.filter(|_| now.0 != before.0),
        now.1.filter(|_| now.1 != before.1),
    )
}

/// The question was answered with yes: entered, and said back as it stands in the record.
pub(super) fn answered(work: &mut Work<'_>, given: Results, takes_back: bool) {
    let before = of(work);
    let mut patient = work.record.patient.clone();
    (patient.felv, patient.fiv) = if takes_back {
        given
    } else {
        together(given, before)
    };
    work.push(Event::PatientUpdated {
        patient,
        unsays_tests: takes_back,
    });
    let now = of(work);
    if takes_back {
        work.tested = None;
        let gone = Slot::Text(words(differing(before, now)));
        work.say(Phrase::new("virus_taken_back").with("results", gone));
    } else {
        work.tested = Some(before);
        let changed = Slot::Text(words(differing(now, before)));
        work.say(Phrase::new("virus_entered").with("results", changed));
    }
}
