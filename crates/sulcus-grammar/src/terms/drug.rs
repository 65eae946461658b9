//! A drug as it was given: strength, volume and milligrams, each held beside the others, and what is published to
//! check it by. For catching a slip, never for proposing a dose: the licensed vet decides and signs.
//!
//! Invariants: an amount never says a volume and milligrams that its strength contradicts; what an entry was checked
//! by (strength, weight, range) is in the entry itself, so that a later change of the shelf rewrites nothing.

use std::sync::OnceLock;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::patient::{Species, Weight};
use super::watch::Role;

const SHELF: &str = include_str!("drugs.toml");

/// How it went in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Route {
    Intravenous,
    Intramuscular,
    Subcutaneous,
    Oral,
    /// Into the tissue at the place of work, not as a nerve block.
    Infiltration,
    /// On the mucosa or the larynx.
    Topical,
}

impl Route {
    pub fn word(self) -> &'static str {
        match self {
            Self::Intravenous => "intravenous",
            Self::Intramuscular => "intramuscular",
            Self::Subcutaneous => "subcutaneous",
            Self::Oral => "oral",
            Self::Infiltration => "infiltration",
            Self::Topical => "topical",
        }
    }
}

/// How much, in the three ways in which it can be said. Volumes in microlitres, doses in micrograms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Amount {
    pub strength_ug_per_ml: Option<u32>,
    pub volume_ul: Option<u32>,
    pub dose_ug: Option<u64>,
}

impl Amount {
    /// Of a volume; the dose follows where the strength is known. Rounded up: never less than was given.
    pub fn of_volume(volume_ul: u32, strength_ug_per_ml: Option<u32>) -> Self {
        Self {
            strength_ug_per_ml,
            volume_ul: Some(volume_ul),
            dose_ug: strength_ug_per_ml
                .map(|strength| (u64::from(volume_ul) * u64::from(strength)).div_ceil(1000)),
        }
    }

    /// Of a dose; the volume follows where the strength is known, to the microlitre.
    pub fn of_dose(dose_ug: u64, strength_ug_per_ml: Option<u32>) -> Self {
        Self {
            strength_ug_per_ml,
            volume_ul: strength_ug_per_ml
                .filter(|strength| *strength > 0)
                .and_then(|strength| {
                    let half = u64::from(strength) / 2;
                    u32::try_from((dose_ug * 1000 + half) / u64::from(strength)).ok()
                }),
            dose_ug: Some(dose_ug),
        }
    }

    /// "6 mg (0.6 mL of 10 mg/mL)"
    pub fn text(&self) -> String {
        let of = self
            .strength_ug_per_ml
            .map(|strength| format!(" of {}", strength_text(strength)))
            .unwrap_or_default();
        match (self.dose_ug, self.volume_ul) {
            (Some(dose), Some(volume)) => {
                format!(
                    "{} ({} mL{of})",
                    dose_text(dose),
                    thousandths(u64::from(volume))
                )
            }
            (Some(dose), None) => dose_text(dose),
            (None, Some(volume)) => format!("{} mL{of}", thousandths(u64::from(volume))),
            (None, None) => String::new(),
        }
    }
}

/// "0.6", "12", "0.125": no zero behind, one before the point.
pub fn thousandths(number: u64) -> String {
    let text = format!("{}.{:03}", number / 1000, number % 1000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// "6 mg", "0.4 mg", "20 µg": micrograms below a tenth of a milligram, where the zeros are misread.
pub fn dose_text(dose_ug: u64) -> String {
    if dose_ug < 100 {
        format!("{dose_ug} µg")
    } else {
        format!("{} mg", thousandths(dose_ug))
    }
}

pub fn strength_text(strength_ug_per_ml: u32) -> String {
    format!("{} mg/mL", thousandths(u64::from(strength_ug_per_ml)))
}

/// A drug in the log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DrugEntry {
    /// Its name on the shelf.
    pub drug: String,
    pub amount: Amount,
    #[serde(default)]
    pub route: Option<Route>,
    /// By role, where said or known.
    #[serde(default)]
    pub given_by: Option<Role>,
    /// The weight that the dose a kilogram was worked out with.
    #[serde(default)]
    pub weight_g: Option<u32>,
    #[serde(default)]
    pub is_controlled: bool,
    /// Lowest and highest published figure that it was held against, in micrograms a kilogram.
    #[serde(default)]
    pub range_ug_per_kg: Option<(u32, u32)>,
    /// Of a local anaesthetic: its own ceiling for this animal when it was given.
    #[serde(default)]
    pub ceiling_ug: Option<u64>,
    /// Where it was entered some time after it was given; none: at the time of the entry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub given_at: Option<Timestamp>,
    /// Where it was said with it; what is said later is an entry of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub batch: Option<String>,
}

impl DrugEntry {
    /// In micrograms a kilogram, rounded up; none without a weight.
    pub fn ug_per_kg(&self) -> Option<u64> {
        let (dose, grams) = (self.amount.dose_ug?, self.weight_g?);
        (grams > 0).then(|| (dose * 1000).div_ceil(u64::from(grams)))
    }

    /// "methadone 6 mg (0.6 mL of 10 mg/mL), intramuscular, 0.3 mg/kg (published 0.1 to 1 mg/kg)"
    pub fn text(&self) -> String {
        let mut text = format!("{} {}", self.drug, self.amount.text());
        if let Some(route) = self.route {
            text.push_str(&format!(", {}", route.word()));
        }
        if let Some(per_kg) = self.ug_per_kg() {
            text.push_str(&format!(", {}/kg", dose_text(per_kg)));
        }
        if let Some((from, to)) = self.range_ug_per_kg {
            text.push_str(&format!(" (published {})", range_text(from, to)));
        }
        if self.is_controlled {
            text.push_str(", controlled");
        }
        if let Some(batch) = &self.batch {
            text.push_str(&format!(", batch {batch}"));
        }
        text
    }
}

/// "0.1 to 1 mg/kg"
pub fn range_text(from_ug: u32, to_ug: u32) -> String {
    let (from, to) = (dose_text(u64::from(from_ug)), dose_text(u64::from(to_ug)));
    match (from.strip_suffix(" mg"), to.ends_with(" mg")) {
        (Some(number), true) => format!("{number} to {to}/kg"),
        _ => match (from.strip_suffix(" µg"), to.ends_with(" µg")) {
            (Some(number), true) => format!("{number} to {to}/kg"),
            _ => format!("{from} to {to}/kg"),
        },
    }
}

/// What kind of drug: some questions are asked by kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DrugKind {
    Opioid,
    Sedative,
    Induction,
    Reversal,
    Anticholinergic,
    /// Non-steroidal anti-inflammatory drug.
    Nsaid,
    LocalAnaesthetic,
    Antiemetic,
    Antibiotic,
    Other,
}

/// A published figure for one species.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DoseRange {
    pub species: Species,
    /// Where the source gives it for a route only.
    #[serde(default)]
    pub routes: Vec<Route>,
    pub from_mg_per_kg: f64,
    pub to_mg_per_kg: f64,
    /// The most for the whole animal, where published.
    #[serde(default)]
    pub most_mg: Option<f64>,
    /// Printed, and far from what is used today: shown, never checked by.
    #[serde(default)]
    pub shown_only: bool,
    pub source: String,
}

/// A drug on the shelf.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShelfDrug {
    pub name: String,
    #[serde(default)]
    pub kind: Option<DrugKind>,
    /// The bottles in the house. One: it need not be said. None or several: it must be.
    #[serde(default)]
    pub strengths_mg_per_ml: Vec<f64>,
    #[serde(default)]
    pub controlled: bool,
    /// Ways in which it is given; another is asked about. Empty: none is.
    #[serde(default)]
    pub routes: Vec<Route>,
    /// Given in parts until it is enough: a second part is no repeated dose.
    #[serde(default)]
    pub to_effect: bool,
    #[serde(default)]
    pub ranges: Vec<DoseRange>,
}

#[derive(Debug, Deserialize)]
struct File {
    drug: Vec<ShelfDrug>,
}

fn micrograms(milligrams: f64) -> u32 {
    (milligrams * 1000.0).round().clamp(0.0, 4e9) as u32
}

impl ShelfDrug {
    pub fn strengths_ug_per_ml(&self) -> Vec<u32> {
        self.strengths_mg_per_ml
            .iter()
            .map(|mg| micrograms(*mg))
            .collect()
    }

    /// What the dose is held against: from the lowest to the highest published figure, in micrograms a kilogram.
    pub fn range_ug_per_kg(&self, species: Species, route: Option<Route>) -> Option<(u32, u32)> {
        let fits = |range: &&DoseRange| {
            range.species == species
                && !range.shown_only
                && (range.routes.is_empty()
                    || route.is_none_or(|route| range.routes.contains(&route)))
        };
        let from = self
            .ranges
            .iter()
            .filter(fits)
            .map(|r| micrograms(r.from_mg_per_kg))
            .min()?;
        let to = self
            .ranges
            .iter()
            .filter(fits)
            .map(|r| micrograms(r.to_mg_per_kg))
            .max()?;
        Some((from, to))
    }

    /// The most for a whole animal of the species, in micrograms.
    pub fn most_ug(&self, species: Species) -> Option<u64> {
        self.ranges
            .iter()
            .filter(|range| range.species == species)
            .filter_map(|range| range.most_mg)
            .map(|mg| u64::from(micrograms(mg)))
            .min()
    }

    /// The sources of the figures that it is checked by.
    pub fn sources(&self, species: Species) -> Vec<&str> {
        let mut sources: Vec<&str> = self
            .ranges
            .iter()
            .filter(|range| range.species == species && !range.shown_only)
            .map(|range| range.source.as_str())
            .collect();
        sources.dedup();
        sources
    }
}

/// All drugs that may be said.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    drugs: Vec<ShelfDrug>,
    /// More than this in one syringe is a slip, in microlitres.
    pub syringe_ul_max: u32,
}

impl Default for Shelf {
    /// The drugs that come with the program.
    fn default() -> Self {
        static BUILT_IN: OnceLock<Vec<ShelfDrug>> = OnceLock::new();
        let drugs = BUILT_IN.get_or_init(|| {
            // A test reads the file: it is never faulty here.
            toml::from_str::<File>(SHELF).map_or_else(|_| Vec::new(), |file| file.drug)
        });
        Self {
            drugs: drugs.clone(),
            syringe_ul_max: 60_000,
        }
    }
}

impl Shelf {
    pub fn get(&self, name: &str) -> Option<&ShelfDrug> {
        self.drugs.iter().find(|drug| drug.name == name)
    }

    pub fn all(&self) -> &[ShelfDrug] {
        &self.drugs
    }

    /// The clinic's own bottles take the place of the built-in ones of the same name; published figures stay where
    /// the clinic gives none.
    pub fn with(mut self, own: &[ShelfDrug]) -> Self {
        for drug in own {
            match self.drugs.iter_mut().find(|known| known.name == drug.name) {
                Some(known) => {
                    if !drug.strengths_mg_per_ml.is_empty() {
                        known
                            .strengths_mg_per_ml
                            .clone_from(&drug.strengths_mg_per_ml);
                    }
                    known.controlled |= drug.controlled;
                    if !drug.routes.is_empty() {
                        known.routes.clone_from(&drug.routes);
                    }
                    if !drug.ranges.is_empty() {
                        known.ranges.clone_from(&drug.ranges);
                    }
                }
                None => self.drugs.push(drug.clone()),
            }
        }
        self
    }
}

/// What speaks against a dose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DoseDoubt {
    /// Ten times what is published, or nearly: a slip of the point.
    Tenfold,
    Above,
    /// A tenth of what is published, or less.
    FarBelow,
    /// Over the most for a whole animal, in micrograms.
    OverMost(u64),
}

/// A slip of the point makes a dose ten times too great or small; a range is as wide as two or three. From half of
/// ten times on it is called by its name.
const TENFOLD_PART: u64 = 5;

/// A volume is drawn up to a mark of the syringe: a tenth above the published figure is not asked about.
const ABOVE_TENTHS: u64 = 11;

/// Holds an entry against its published range. Nothing without a weight or a range.
pub fn doubt(entry: &DrugEntry, most_ug: Option<u64>) -> Option<DoseDoubt> {
    let dose = entry.amount.dose_ug?;
    let by_range = entry.ug_per_kg().and_then(|per_kg| {
        let (from, to) = entry.range_ug_per_kg?;
        if per_kg >= u64::from(to) * TENFOLD_PART {
            Some(DoseDoubt::Tenfold)
        } else if per_kg * 10 > u64::from(to) * ABOVE_TENTHS {
            Some(DoseDoubt::Above)
        } else if per_kg * TENFOLD_PART <= u64::from(from) {
            Some(DoseDoubt::FarBelow)
        } else {
            None
        }
    });
    by_range.or_else(|| most_ug.filter(|most| dose > *most).map(DoseDoubt::OverMost))
}

/// Weight as the entry keeps it.
pub fn grams(weight: Option<Weight>) -> Option<u32> {
    weight.map(Weight::grams)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shelf_that_comes_along_is_sound() {
        let file: File = toml::from_str(SHELF).expect("a shelf");
        assert!(file.drug.len() > 20);
        for drug in &file.drug {
            assert!(
                drug.name.chars().all(|c| c.is_ascii_lowercase()),
                "{}",
                drug.name
            );
            for range in &drug.ranges {
                assert!(range.from_mg_per_kg <= range.to_mg_per_kg, "{}", drug.name);
                assert!(!range.source.is_empty(), "{}", drug.name);
            }
        }
    }

    #[test]
    fn volume_and_dose_are_worked_out_from_each_other() {
        let of_volume = Amount::of_volume(600, Some(10_000));
        assert_eq!(of_volume.dose_ug, Some(6_000));
        assert_eq!(of_volume.text(), "6 mg (0.6 mL of 10 mg/mL)");
        let of_dose = Amount::of_dose(80, Some(300));
        assert_eq!(of_dose.volume_ul, Some(267));
        assert_eq!(of_dose.text(), "80 µg (0.267 mL of 0.3 mg/mL)");
        assert_eq!(Amount::of_volume(600, None).dose_ug, None);
    }

    proptest::proptest! {
        #[test]
        fn a_volume_worked_out_gives_its_dose_back(dose_ug in 1u64..500_000, strength in 50u32..200_000) {
            let amount = Amount::of_dose(dose_ug, Some(strength));
            let back = Amount::of_volume(amount.volume_ul.expect("a volume"), Some(strength));
            // To half a microlitre.
            let off = back.dose_ug.expect("a dose").abs_diff(dose_ug);
            proptest::prop_assert!(off <= u64::from(strength) / 2000 + 1, "{off}");
        }
    }
}
