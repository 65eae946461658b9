//! When teeth come, and so what a gap or a milk tooth means at an age.
//! Sources: cat, days for each tooth: Bellows, Feline Dentistry, p. 45 [BELLOWS-45]. Dog: all permanent teeth are in
//! at 7 months [WIKIVET-DOG]; the beginnings are from a clinic's page of low authority, and for the canines two
//! pages disagree (12 to 16 weeks against 5 to 6 months), so that only "not yet" and "surely" are told apart.

use super::PartialDate;
use super::dentition;
use super::patient::Species;
use super::tooth::{Jaw, ToothNumber};

/// All permanent teeth are in: 7 months, in days (dog [WIKIVET-DOG], cat [BELLOWS-45]).
pub const ALL_IN_DAYS: u32 = 213;

/// What an absent permanent tooth means at an age.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gap {
    /// No animal of this age has it.
    NotYet,
    /// Some have it, some do not: no finding.
    TooEarlyToTell,
    /// It should be there: missing or unerupted, which a film tells.
    Missing,
}

/// Earliest day at which the permanent tooth comes.
fn earliest_days(species: Species, tooth: ToothNumber) -> u32 {
    match (species, tooth.jaw(), tooth.position()) {
        (Species::Cat, Jaw::Upper, 1) => 103,
        (Species::Cat, Jaw::Lower, 1) => 113,
        (Species::Cat, Jaw::Upper, 2) => 114,
        (Species::Cat, Jaw::Lower, 2) => 119,
        (Species::Cat, Jaw::Upper, 3) => 135,
        (Species::Cat, Jaw::Lower, 3) => 132,
        (Species::Cat, Jaw::Upper, 4) => 153,
        (Species::Cat, Jaw::Lower, 4) => 149,
        (Species::Cat, _, 6) => 150,
        (Species::Cat, Jaw::Upper, 7) => 168,
        (Species::Cat, Jaw::Lower, 7) => 173,
        (Species::Cat, Jaw::Upper, 8) => 151,
        (Species::Cat, Jaw::Lower, 8) => 174,
        (Species::Cat, Jaw::Upper, _) => 162,
        (Species::Cat, Jaw::Lower, _) => 130,
        // Weeks 12 (incisors and, by one page, canines) and 16 (the others).
        (Species::Dog, _, 1..=4) => 84,
        (Species::Dog, _, _) => 112,
    }
}

/// The day at which the permanent tooth comes, as published for the cat; none for the dog, where sources disagree.
pub fn eruption_day(species: Species, tooth: ToothNumber) -> Option<u32> {
    (species == Species::Cat && !tooth.is_deciduous() && dentition::has(species, tooth))
        .then(|| earliest_days(species, tooth))
}

/// What it means that the permanent tooth is not seen at this age (in days).
pub fn gap(species: Species, tooth: ToothNumber, age_days: u32) -> Gap {
    if age_days < earliest_days(species, tooth) {
        Gap::NotYet
    } else if age_days < ALL_IN_DAYS {
        Gap::TooEarlyToTell
    } else {
        Gap::Missing
    }
}

/// Whether a deciduous tooth still there at this age is persistent.
pub fn is_persistent(tooth: ToothNumber, age_days: u32) -> bool {
    tooth.is_deciduous() && age_days >= ALL_IN_DAYS
}

/// Whether the animal may still have deciduous teeth in the ordinary way.
pub fn may_have_deciduous(age_days: u32) -> bool {
    age_days < ALL_IN_DAYS
}

/// Whether any permanent tooth may be there yet.
pub fn may_have_permanent(species: Species, age_days: u32) -> bool {
    let first = match species {
        Species::Dog => 84,
        Species::Cat => 103,
    };
    age_days >= first
}

/// Age in days from a birth given as year, year-month or date, at the latest birth that it allows:
/// the youngest the animal can be. None where the birth cannot be read or lies after `today`.
pub fn youngest_age_days(born: &PartialDate, today: jiff::civil::Date) -> Option<u32> {
    let (first, last) = born.days()?;
    if first > today {
        return None;
    }
    // "2026" is asked in 2026: the latest birth is today.
    let days = last.min(today).until(today).ok()?.get_days();
    u32::try_from(days).ok()
}
