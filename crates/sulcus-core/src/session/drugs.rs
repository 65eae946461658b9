//! Entering drugs: strength, volume and milligrams beside each other, held against published ranges for checking.
//! Nothing here proposes a dose; a question is a spoken check and blocks nothing that the vet stands by.
//!
//! Invariant: no drug is entered without a unit, nor of a drug with several strengths without its strength.

use super::phrase::{Phrase, Slot};
use super::watch::{self, capital, passes, record};
use super::{Work, enter};
use crate::grammar::intent::GivenDrug;
use crate::record::event::Speaker;
use crate::record::monitoring;
use crate::terms::Drug;
use crate::terms::anaesthetic;
use crate::terms::drug::{
    self, Amount, DoseDoubt, DrugEntry, DrugKind, ShelfDrug, dose_text, thousandths,
};
use crate::terms::limits;
use crate::terms::limits::{Severity, Side};
use crate::terms::vital::VitalSign;
use crate::terms::watch::{Role, Watched};

pub(super) fn given(work: &mut Work<'_>, given: &GivenDrug) {
    let GivenDrug {
        drug,
        amount,
        strength_ug_per_ml: strength,
        route,
        by,
        minutes_ago,
        batch,
    } = given.clone();
    let drug = drug.as_str();
    let name = || Slot::Text(capital(drug));
    let Some(amount) = amount else {
        return work.say(Phrase::rule("drug_unit").with("drug", name()));
    };
    if amount.volume_ul.unwrap_or(0) == 0 && amount.dose_ug.unwrap_or(0) == 0 {
        return work.say(Phrase::rule("drug_nothing").with("drug", name()));
    }
    let shelf = work.rules.shelf().clone();
    let on_shelf = shelf.get(drug);
    let strengths = on_shelf
        .map(ShelfDrug::strengths_ug_per_ml)
        .unwrap_or_default();
    let strength = match (strength, strengths.as_slice()) {
        (Some(said), _) => said,
        (None, [only]) => *only,
        (None, _) => return work.say(Phrase::rule("drug_strength").with("drug", name())),
    };
    let amount = match amount {
        // Worked out with this strength already: what was said is not rounded once more.
        Amount {
            strength_ug_per_ml: Some(of),
            volume_ul: Some(_),
            dose_ug: Some(_),
        } if of == strength => amount,
        Amount {
            volume_ul: Some(volume),
            ..
        } => Amount::of_volume(volume, Some(strength)),
        Amount { dose_ug, .. } => Amount::of_dose(dose_ug.unwrap_or(0), Some(strength)),
    };
    if let Some(volume) = amount
        .volume_ul
        .filter(|volume| *volume > shelf.syringe_ul_max)
    {
        let volume = Slot::Figure(thousandths(u64::from(volume)));
        let phrase = Phrase::rule("drug_syringe").with("drug", name());
        return work.say(phrase.with("volume", volume));
    }
    let patient = &work.record.patient;
    let entry = DrugEntry {
        drug: drug.to_owned(),
        amount,
        route,
        given_by: by.or(match work.heard.speaker {
            Speaker::Vet => Some(Role::Vet),
            Speaker::Nurse => Some(Role::Nurse),
            Speaker::Unknown => None,
        }),
        weight_g: drug::grams(patient.weight),
        is_controlled: on_shelf.is_some_and(|drug| drug.controlled),
        range_ug_per_kg: on_shelf.and_then(|drug| drug.range_ug_per_kg(patient.species, route)),
        ceiling_ug: local(drug)
            .zip(patient.weight)
            .map(|(drug, weight)| anaesthetic::ceiling_ug(patient.species, weight, drug)),
        given_at: (minutes_ago > 0)
            .then(|| {
                let ago = jiff::Span::new().minutes(i64::from(minutes_ago));
                work.now.at.checked_sub(ago).ok()
            })
            .flatten(),
        batch,
    };
    if let Some((drug, block)) = local(drug).zip(monitoring::as_block(&entry))
        && let Some(phrase) = enter::over_ceiling(work, &block, drug)
        && !passes(work, phrase, Watched::Drug(entry.clone()))
    {
        return;
    }
    if let Some(phrase) = doubt(work, &entry, on_shelf, &strengths)
        && !passes(work, phrase, Watched::Drug(entry.clone()))
    {
        return;
    }
    let number = record(work, Watched::Drug(entry));
    after(work, number);
}

/// The local anaesthetic of this name, for which a ceiling is held.
fn local(drug: &str) -> Option<Drug> {
    anaesthetic::DRUGS.into_iter().find(|of| of.word() == drug)
}

/// Remarks that follow an entry, by itself or after a question.
pub(super) fn after(work: &mut Work<'_>, number: u64) {
    let Some(entry) = monitoring::drugs(&work.record)
        .find(|(_, charted)| charted.number == number)
        .map(|(entry, _)| entry.clone())
    else {
        return;
    };
    if entry.weight_g.is_none() && entry.range_ug_per_kg.is_some() {
        work.say(Phrase::rule("drug_no_weight"));
    }
    if entry.is_controlled {
        work.say(Phrase::rule("drug_controlled"));
    }
}

/// The first thing that speaks against it.
fn doubt(
    work: &Work<'_>,
    entry: &DrugEntry,
    on_shelf: Option<&ShelfDrug>,
    strengths: &[u32],
) -> Option<Phrase> {
    let name = || Slot::Text(capital(&entry.drug));
    let strength = entry.amount.strength_ug_per_ml?;
    if !strengths.is_empty() && !strengths.contains(&strength) {
        let strength = Slot::Figure(thousandths(u64::from(strength)));
        let phrase = Phrase::rule("drug_unlisted_strength").with("drug", name());
        return Some(phrase.with("strength", strength));
    }
    let species = work.record.patient.species;
    let most = on_shelf.and_then(|drug| drug.most_ug(species));
    if let Some(found) = drug::doubt(entry, most) {
        return Some(dose_phrase(entry, &found));
    }
    let on_shelf = on_shelf?;
    if let Some(route) = entry.route
        && !on_shelf.routes.is_empty()
        && !on_shelf.routes.contains(&route)
    {
        return Some(
            Phrase::rule("drug_route")
                .with("drug", name())
                .with("route", Slot::Text(route.word().into())),
        );
    }
    if on_shelf.kind == Some(DrugKind::Nsaid)
        && let Some(phrase) = against_nsaid(work, entry)
    {
        return Some(phrase);
    }
    let before = monitoring::drugs(&work.record)
        .filter(|(before, _)| before.drug == entry.drug)
        .map(|(before, charted)| monitoring::given_at(before, charted))
        .last()
        .filter(|_| !on_shelf.to_effect)?;
    let at = entry.given_at.unwrap_or(work.now.at);
    let minutes = at.duration_since(before).as_mins().abs();
    Some(Phrase::rule("drug_repeated").with("drug", name()).with(
        "minutes",
        Slot::Number(u16::try_from(minutes).unwrap_or_default()),
    ))
}

fn dose_phrase(entry: &DrugEntry, found: &DoseDoubt) -> Phrase {
    let key = match found {
        DoseDoubt::Tenfold => "drug_tenfold",
        DoseDoubt::Above => "drug_above",
        DoseDoubt::FarBelow => "drug_far_below",
        DoseDoubt::OverMost(_) => "drug_most",
    };
    let mut amount = vec![Slot::Text(format!("{},", capital(&entry.drug)))];
    amount.push(amount_slot(&entry.amount));
    let mut phrase = Phrase::rule(key).with("amount", Slot::Parts(amount));
    if let DoseDoubt::OverMost(most) = found {
        return phrase.with("most", dose_slot(*most));
    }
    if let Some(per_kg) = entry.ug_per_kg() {
        phrase = phrase.with("per_kg", dose_slot(per_kg));
    }
    if let Some((from, to)) = entry.range_ug_per_kg {
        let range = vec![
            dose_slot(u64::from(from)),
            Slot::Text("to".into()),
            dose_slot(u64::from(to)),
        ];
        phrase = phrase.with("range", Slot::Parts(range));
    }
    phrase
}

/// Low pressure in this record, or another drug of the kind.
fn against_nsaid(work: &Work<'_>, entry: &DrugEntry) -> Option<Phrase> {
    let record = &work.record;
    let name = || Slot::Text(entry.drug.clone());
    if let Some(point) = monitoring::newest(record, VitalSign::Pressure) {
        let patient = &record.patient;
        let broken = limits::broken(patient.species, patient.weight, &[], &point.reading);
        if limits::worst(&broken) == Some((Severity::Action, Side::Below)) {
            let reading = Slot::Parts(vec![
                Slot::Text("Pressure".into()),
                watch::value_slot(&point.reading),
            ]);
            return Some(
                Phrase::rule("nsaid_pressure")
                    .with("reading", reading)
                    .with("drug", name()),
            );
        }
    }
    let shelf = work.rules.shelf();
    let other = monitoring::drugs(record).find(|(before, _)| {
        before.drug != entry.drug
            && shelf
                .get(&before.drug)
                .is_some_and(|drug| drug.kind == Some(DrugKind::Nsaid))
    })?;
    Some(
        Phrase::rule("nsaid_other")
            .with("other", Slot::Text(capital(&other.0.drug)))
            .with("drug", name()),
    )
}

pub(super) fn wasted(work: &mut Work<'_>, drug: &str, amount: Amount) {
    let strength = monitoring::drugs(&work.record)
        .filter(|(entry, _)| entry.drug == drug)
        .filter_map(|(entry, _)| entry.amount.strength_ug_per_ml)
        .last();
    let amount = match (amount, strength) {
        (
            Amount {
                volume_ul: Some(volume),
                dose_ug: None,
                ..
            },
            Some(_),
        ) => Amount::of_volume(volume, strength),
        (amount, _) => amount,
    };
    record(
        work,
        Watched::Wasted {
            drug: drug.to_owned(),
            amount,
        },
    );
}

/// Of the newest drug, or of the waste after it: both are seen together.
pub(super) fn witnessed(work: &mut Work<'_>, by: Role) {
    let newest = monitoring::drugs(&work.record)
        .filter(|(entry, _)| entry.is_controlled)
        .map(|(_, charted)| charted.number)
        .last();
    match newest {
        Some(entry) => {
            record(work, Watched::Witnessed { entry, by });
        }
        None => work.say(Phrase::rule("no_drug")),
    }
}

pub(super) fn batch(work: &mut Work<'_>, of: Option<u64>, batch: &str) {
    let newest = monitoring::drugs(&work.record)
        .filter(|(_, charted)| of.is_none_or(|of| of == charted.number))
        .map(|(_, charted)| charted.number)
        .last();
    match newest {
        Some(entry) => {
            let batch = batch.to_owned();
            record(work, Watched::Batch { entry, batch });
        }
        None => work.say(Phrase::rule("no_drug")),
    }
}

/// The sums of what was given.
pub(super) fn tell_given(work: &mut Work<'_>) {
    let sums = monitoring::sums(&work.record);
    if sums.is_empty() {
        return work.say(Phrase::new("given_none"));
    }
    for sum in sums {
        let dose = sum
            .dose_ug
            .map_or_else(|| Slot::Text("dose unknown".into()), dose_slot);
        work.say(
            Phrase::new("given_sum")
                .with("drug", Slot::Text(capital(&sum.drug)))
                .with("dose", dose),
        );
    }
}

// ---- words

/// "six milligrams", figures digit by digit.
pub(super) fn dose_slot(dose_ug: u64) -> Slot {
    let text = dose_text(dose_ug);
    let (figure, unit) = match text.split_once(' ') {
        Some((figure, "µg")) => (figure, "micrograms"),
        Some((figure, _)) => (figure, "milligrams"),
        None => (text.as_str(), ""),
    };
    Slot::Parts(vec![
        Slot::Figure(figure.to_owned()),
        Slot::Text(unit.into()),
    ])
}

/// The same with a comma behind it.
fn dose_slot_and(dose_ug: u64) -> Slot {
    match dose_slot(dose_ug) {
        Slot::Parts(mut parts) => {
            if let Some(Slot::Text(unit)) = parts.last_mut() {
                unit.push(',');
            }
            Slot::Parts(parts)
        }
        other => other,
    }
}

/// Both ways of saying it: "six milligrams, zero point six millilitres".
pub(super) fn amount_slot(amount: &Amount) -> Slot {
    let mut parts = Vec::new();
    if let Some(dose) = amount.dose_ug {
        parts.push(if amount.volume_ul.is_some() {
            dose_slot_and(dose)
        } else {
            dose_slot(dose)
        });
    }
    if let Some(volume) = amount.volume_ul {
        parts.push(Slot::Figure(thousandths(u64::from(volume))));
        parts.push(Slot::Text("millilitres".into()));
    }
    Slot::Parts(parts)
}

pub(super) fn entry_slot(entry: &DrugEntry) -> Slot {
    let mut parts = vec![Slot::Text(format!("{},", capital(&entry.drug)))];
    parts.push(amount_slot(&entry.amount));
    if let Some(strength) = entry.amount.strength_ug_per_ml {
        parts.push(Slot::Text("of".into()));
        parts.push(Slot::Figure(thousandths(u64::from(strength))));
    }
    if let Some(route) = entry.route {
        parts.push(Slot::Text(format!(", {}", route.word())));
    }
    if let Some(batch) = &entry.batch {
        parts.push(Slot::Text(", batch".into()));
        parts.push(Slot::Figure(batch.clone()));
    }
    Slot::Parts(parts)
}
