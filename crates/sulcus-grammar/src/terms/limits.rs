//! Where vital signs want a look: published targets and action values, side by side where they disagree. They say
//! "check the patient" and nothing else; what to do is the vet's.
//!
//! Sources: [KO12] Ko and Krimins, Today's Veterinary Practice 2012 (targets); [CB-TOP5] Clinician's Brief, top 5
//! anesthetic complications; [AAHA20] 2020 AAHA Anesthesia and Monitoring Guidelines, troubleshooting (hypotension,
//! tachycardia); [LIN19] Purdue thesis 2019 (two readings in a row, 5 min apart); [BASICMON] basic monitoring, p. 131;
//! [TVP-HYPO], [VPN-HYPO] hypothermia. From memory where it says so.
//!
//! Invariant: a limit without a source is not in the table.

use super::patient::{Species, Weight};
use super::vital::{Measure, Part, Reading, VitalSign};

/// Which side of a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    Below,
    Above,
}

/// How much a limit weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Outside what is aimed at.
    Target,
    /// Low or high as published.
    Action,
}

/// Which animals a limit is for, by body mass. The sources say "small" and "large" without a figure: the bounds of
/// 10 and 25 kg are this program's own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    Any,
    Small,
    Large,
}

const SMALL_BELOW_G: u32 = 10_000;
const LARGE_FROM_G: u32 = 25_000;

/// One published limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    pub sign: VitalSign,
    pub part: Part,
    pub species: Option<Species>,
    pub size: Size,
    pub side: Side,
    /// In hundredths of the unit.
    pub hundredths: u32,
    pub severity: Severity,
    pub source: &'static str,
}

const fn row(
    sign: VitalSign,
    part: Part,
    species: Option<Species>,
    side: Side,
    whole: u32,
    severity: Severity,
    source: &'static str,
) -> Limit {
    Limit {
        sign,
        part,
        species,
        size: Size::Any,
        side,
        hundredths: whole * 100,
        severity,
        source,
    }
}

const fn sized(limit: Limit, size: Size) -> Limit {
    Limit { size, ..limit }
}

use Part::{Diastolic, Mean, Systolic, Whole};
use Severity::{Action, Target};
use Side::{Above, Below};
use Species::{Cat, Dog};
use VitalSign::{BreathingRate, EndTidalCo2, HeartRate, OxygenSaturation, Pressure, Temperature};

/// Every figure that could be read.
pub const PUBLISHED: &[Limit] = &[
    row(HeartRate, Whole, Some(Dog), Below, 60, Target, "KO12"),
    row(HeartRate, Whole, Some(Dog), Above, 120, Target, "KO12"),
    row(HeartRate, Whole, Some(Cat), Below, 120, Target, "KO12"),
    row(HeartRate, Whole, Some(Cat), Above, 160, Target, "KO12"),
    sized(
        row(HeartRate, Whole, Some(Dog), Below, 50, Action, "CB-TOP5"),
        Size::Large,
    ),
    sized(
        row(HeartRate, Whole, Some(Dog), Below, 70, Action, "CB-TOP5"),
        Size::Small,
    ),
    row(HeartRate, Whole, Some(Cat), Below, 100, Action, "CB-TOP5"),
    sized(
        row(HeartRate, Whole, Some(Dog), Above, 150, Action, "AAHA20"),
        Size::Large,
    ),
    sized(
        row(HeartRate, Whole, Some(Dog), Above, 190, Action, "AAHA20"),
        Size::Small,
    ),
    row(HeartRate, Whole, Some(Dog), Above, 160, Action, "CB-TOP5"),
    row(HeartRate, Whole, Some(Cat), Above, 180, Action, "AAHA20"),
    row(HeartRate, Whole, Some(Cat), Above, 200, Action, "CB-TOP5"),
    row(BreathingRate, Whole, Some(Dog), Below, 8, Target, "KO12"),
    row(BreathingRate, Whole, Some(Dog), Above, 16, Target, "KO12"),
    row(BreathingRate, Whole, Some(Cat), Below, 12, Target, "KO12"),
    row(BreathingRate, Whole, Some(Cat), Above, 24, Target, "KO12"),
    row(Pressure, Systolic, None, Below, 90, Target, "KO12"),
    row(Pressure, Systolic, None, Above, 140, Target, "KO12"),
    row(Pressure, Systolic, None, Below, 80, Action, "AAHA20"),
    row(Pressure, Mean, None, Below, 70, Target, "KO12"),
    row(Pressure, Mean, None, Above, 90, Target, "KO12"),
    row(Pressure, Mean, None, Below, 60, Action, "AAHA20"),
    row(Pressure, Diastolic, None, Below, 60, Target, "KO12"),
    row(Pressure, Diastolic, None, Above, 90, Target, "KO12"),
    row(Pressure, Diastolic, None, Below, 40, Action, "AAHA20"),
    row(EndTidalCo2, Whole, None, Below, 35, Target, "KO12"),
    row(EndTidalCo2, Whole, None, Above, 45, Target, "KO12"),
    row(EndTidalCo2, Whole, None, Above, 50, Action, "BASICMON"),
    row(OxygenSaturation, Whole, None, Below, 95, Target, "KO12"),
    row(
        OxygenSaturation,
        Whole,
        None,
        Below,
        90,
        Action,
        "from memory",
    ),
    row(Temperature, Whole, None, Below, 36, Target, "BILLE12"),
    row(Temperature, Whole, None, Below, 35, Action, "VPN-HYPO"),
    row(Temperature, Whole, None, Above, 40, Action, "from memory"),
];

/// The guideline or paper by name, for people.
pub fn source_name(key: &str) -> &'static str {
    match key {
        "KO12" => "Ko and Krimins 2012",
        "CB-TOP5" => "Clinician's Brief",
        "AAHA20" => "AAHA 2020",
        "BASICMON" => "basic monitoring text",
        "BILLE12" => "Bille and others 2012",
        "VPN-HYPO" => "Veterinary Practice News",
        "clinic" => "the clinic's own limit",
        _ => "from memory",
    }
}

impl Limit {
    /// Whether the limit is for this animal. Without a weight those for small and large ones both are.
    fn is_for(&self, species: Species, weight: Option<Weight>) -> bool {
        let fits_size = match (self.size, weight.map(Weight::grams)) {
            (Size::Any, _) | (_, None) => true,
            (Size::Small, Some(grams)) => grams < SMALL_BELOW_G,
            (Size::Large, Some(grams)) => grams >= LARGE_FROM_G,
        };
        fits_size && self.species.is_none_or(|of| of == species)
    }

    fn is_broken_by(&self, hundredths: u32) -> bool {
        match self.side {
            Side::Below => hundredths < self.hundredths,
            Side::Above => hundredths > self.hundredths,
        }
    }

    /// "mean below 60 (AAHA 2020)"
    pub fn text(&self) -> String {
        let part = match self.part {
            Part::Whole => "",
            Part::Systolic => "systolic ",
            Part::Diastolic => "diastolic ",
            Part::Mean => "mean ",
        };
        let side = match self.side {
            Side::Below => "below",
            Side::Above => "above",
        };
        format!(
            "{part}{side} {} ({})",
            super::vital::decimal(self.hundredths),
            source_name(self.source)
        )
    }
}

/// The limits that a reading breaks, the weightiest first. A computed mean breaks none: nobody read it.
pub fn broken(
    species: Species,
    weight: Option<Weight>,
    own: &[Limit],
    reading: &Reading,
) -> Vec<Limit> {
    if reading.measure == Measure::NotReading {
        return Vec::new();
    }
    let parts = reading.parts();
    let is_own = |limit: &Limit| {
        own.iter().any(|own| {
            (own.sign, own.part, own.side) == (limit.sign, limit.part, limit.side)
                && own.species.is_none_or(|of| of == species)
        })
    };
    let mut found: Vec<Limit> = PUBLISHED
        .iter()
        // Where the clinic has set a limit of its own, that one counts.
        .filter(|limit| !(limit.severity == Action && is_own(limit)))
        .chain(own)
        .filter(|limit| limit.sign == reading.sign && limit.is_for(species, weight))
        .filter(|limit| {
            parts
                .iter()
                .any(|(part, hundredths)| *part == limit.part && limit.is_broken_by(*hundredths))
        })
        .copied()
        .collect();
    found.sort_by_key(|limit| std::cmp::Reverse(limit.severity));
    found
}

/// The worst weight of what a reading breaks, and on which side.
pub fn worst(limits: &[Limit]) -> Option<(Severity, Side)> {
    limits
        .iter()
        .max_by_key(|limit| limit.severity)
        .map(|limit| (limit.severity, limit.side))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rate(species: Species, grams: u32, rate: u32) -> Vec<(Severity, &'static str)> {
        let weight = Weight::from_grams(grams).ok();
        let reading = Reading::number(HeartRate, rate * 100).expect("a rate");
        broken(species, weight, &[], &reading)
            .into_iter()
            .map(|limit| (limit.severity, limit.source))
            .collect()
    }

    #[test]
    fn a_large_dog_at_55_is_below_the_target_and_not_low() {
        assert_eq!(rate(Dog, 30_000, 55), [(Target, "KO12")]);
        assert_eq!(
            rate(Dog, 30_000, 45),
            [(Action, "CB-TOP5"), (Target, "KO12")]
        );
    }

    #[test]
    fn a_cat_at_190_is_high_by_one_source_and_not_by_the_other() {
        assert_eq!(
            rate(Cat, 4_000, 190),
            [(Action, "AAHA20"), (Target, "KO12")]
        );
        assert_eq!(rate(Cat, 4_000, 210).len(), 3);
    }

    #[test]
    fn the_clinics_own_limit_takes_the_place_of_a_published_one() {
        let own = [row(
            HeartRate,
            Whole,
            Some(Cat),
            Above,
            220,
            Action,
            "clinic",
        )];
        let reading = Reading::number(HeartRate, 19_000).expect("a rate");
        let found = broken(Cat, None, &own, &reading);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].source, "KO12");
    }
}
