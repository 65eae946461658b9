//! What the clinic sets: limits, times, solutions, shelf, and its own table for total mouth scores.
//! Read from one TOML file by the command; this file only checks it. Every field has a default.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::rules::rules;
use crate::terms::anaesthetic::Strengths;
use crate::terms::drug::{Shelf, ShelfDrug};
use crate::terms::watch_settings::WatchSettings;
use crate::terms::{Drug, Species, ToothNumber};

/// The clinic file, with defaults for what it leaves out.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Settings {
    pub limits: Limits,
    pub order: Order,
    pub times: Times,
    pub anaesthetic: Anaesthetic,
    pub films: Films,
    pub index: Index,
    /// None: no total mouth score.
    pub mouth_score: Option<MouthScoreTable>,
    /// What is on the shelf. Empty: the shelf is not checked.
    pub shelf: Vec<ShelfItem>,
    /// The watch over the anaesthetic: interval, limits.
    pub watch: WatchSettings,
    /// The drugs in the house, in place of those that come with the program.
    pub drugs: Vec<ShelfDrug>,
    /// Who prints the owner's sheet, and what stands on it unless the vet said otherwise.
    pub practice: Practice,
    /// What is added to UTC for the clinic's wall time, in minutes; for dates on sheets.
    pub utc_offset_minutes: Option<i32>,
}

/// For the owner's sheet and for labels.
#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Practice {
    pub name: Option<String>,
    pub telephone: Option<String>,
    /// At night and on holidays.
    pub emergency_telephone: Option<String>,
    /// After a wound in the mouth, unless the vet said a number.
    pub soft_food_days: Option<u16>,
    /// Brushing from so many days on after a wound in the mouth.
    pub brush_after_days: Option<u16>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Limits {
    pub dog_normal_depth_mm: u8,
    pub cat_normal_depth_mm: u8,
    /// A change up to this is the probe's own error.
    pub probe_error_mm: u8,
    /// Warn where the anaesthetic may last longer; none: no warning.
    pub anaesthetic_minutes_max: Option<u32>,
    /// The same for patients of ASA class 3 or worse.
    pub anaesthetic_minutes_max_asa_3: Option<u32>,
    /// The same for small patients, which cool faster.
    pub anaesthetic_minutes_max_small: Option<u32>,
    /// Up to this weight a patient is small, in kilograms.
    pub small_kg: f64,
    pub cat_gag_minutes_max: u32,
}

impl Default for Limits {
    fn default() -> Self {
        let figure = |key| rules().figure(key).value;
        Self {
            dog_normal_depth_mm: figure("depth_normal_dog") as u8,
            cat_normal_depth_mm: figure("depth_normal_cat") as u8,
            probe_error_mm: figure("probe_error") as u8,
            anaesthetic_minutes_max: None,
            anaesthetic_minutes_max_asa_3: None,
            anaesthetic_minutes_max_small: None,
            small_kg: 5.0,
            cat_gag_minutes_max: figure("cat_gag_minutes"),
        }
    }
}

impl Limits {
    /// Deepest normal sulcus, in millimetres.
    pub fn normal_depth_mm(&self, species: Species) -> u8 {
        match species {
            Species::Dog => self.dog_normal_depth_mm,
            Species::Cat => self.cat_normal_depth_mm,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Order {
    /// Clean work before infected work.
    pub clean_before_dirty: bool,
    /// Time left for work; what does not fit is what matters least. None: up to the anaesthetic limit, if set.
    pub minutes_available: Option<u32>,
    /// How long turning the patient takes. No published figure: to be set.
    pub turn_minutes: u32,
    /// How long going from one jaw to the other on the same side takes.
    pub jaw_minutes: u32,
    /// How many minutes of waiting, beside the time it takes, one more turn must save. A great number gives the
    /// fewest turns whatever the wait.
    pub turn_penalty_minutes: u32,
}

impl Default for Order {
    fn default() -> Self {
        Self {
            clean_before_dirty: false,
            minutes_available: None,
            turn_minutes: 5,
            jaw_minutes: 1,
            turn_penalty_minutes: 10,
        }
    }
}

/// From and to, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(from = "[u32; 2]")]
pub struct Minutes {
    pub low: u32,
    pub high: u32,
}

impl From<[u32; 2]> for Minutes {
    fn from([low, high]: [u32; 2]) -> Self {
        Self { low, high }
    }
}

const fn minutes(low: u32, high: u32) -> Minutes {
    Minutes { low, high }
}

/// Defaults until the clinic has visits of its own. No published figures exist: common practice, no source.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Times {
    /// For each film.
    pub film: Minutes,
    /// For each quarter of the mouth.
    pub scale: Minutes,
    pub polish: Minutes,
    /// For each nerve block.
    pub block: Minutes,
    pub extract_one_root: Minutes,
    pub extract_two_roots: Minutes,
    pub extract_three_roots: Minutes,
    /// Any treatment but extraction.
    pub treat: Minutes,
    /// Closing the wound of one tooth.
    pub close: Minutes,
    /// Fewer of a kind in past visits are not enough for a range.
    pub samples_min: usize,
}

impl Default for Times {
    fn default() -> Self {
        Self {
            film: minutes(1, 3),
            scale: minutes(3, 8),
            polish: minutes(1, 3),
            block: minutes(2, 4),
            extract_one_root: minutes(5, 15),
            extract_two_roots: minutes(10, 25),
            extract_three_roots: minutes(15, 40),
            treat: minutes(10, 30),
            close: minutes(3, 8),
            samples_min: 5,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Anaesthetic {
    /// The drug whose onset the order of work reckons with.
    pub drug: Drug,
    /// Strengths of the bottles in the house, in per cent with at most two decimals.
    pub lidocaine_percent: f64,
    pub bupivacaine_percent: f64,
    pub mepivacaine_percent: f64,
}

impl Default for Anaesthetic {
    fn default() -> Self {
        let strengths = Strengths::default();
        let percent = |hundredths: u16| f64::from(hundredths) / 100.0;
        Self {
            drug: Drug::Bupivacaine,
            lidocaine_percent: percent(strengths.lidocaine),
            bupivacaine_percent: percent(strengths.bupivacaine),
            mepivacaine_percent: percent(strengths.mepivacaine),
        }
    }
}

impl Anaesthetic {
    pub fn strengths(&self) -> Strengths {
        let hundredths = |percent: f64| (percent * 100.0).round().clamp(0.0, 1000.0) as u16;
        Strengths {
            lidocaine: hundredths(self.lidocaine_percent),
            bupivacaine: hundredths(self.bupivacaine_percent),
            mepivacaine: hundredths(self.mepivacaine_percent),
        }
    }
}

/// What films are taken with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Recorder {
    Plates,
    #[default]
    Sensor,
}

#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Films {
    pub recorder: Recorder,
}

/// How the halves of a tooth make its plaque index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Combine {
    #[default]
    Sum,
    Mean,
}

#[derive(Debug, Clone, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Index {
    pub plaque_halves: Combine,
}

/// The user's own factors for a total mouth score, copied from the paper by a licensed reader.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MouthScoreTable {
    /// Where the factors come from; printed with the score.
    pub source: String,
    pub species: Species,
    /// Factor of each tooth, by its number.
    pub factors: BTreeMap<String, f64>,
    /// True: missing teeth are left out of the sum. False: a missing tooth makes the score be refused.
    pub leaves_out_missing: bool,
}

impl MouthScoreTable {
    pub fn factor(&self, tooth: ToothNumber) -> Option<f64> {
        self.factors.get(&tooth.number().to_string()).copied()
    }
}

/// One kind of instrument on the shelf.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShelfItem {
    /// The key of the lay-out list.
    pub item: String,
    pub count: u32,
    /// Uses that no visit of this program counts.
    #[serde(default)]
    pub uses: u32,
    /// Visits from this date on ("2026-03-02") that needed it are counted as uses.
    #[serde(default)]
    pub sharpened: Option<jiff::civil::Date>,
    #[serde(default)]
    pub sharpen_after_uses: Option<u32>,
    /// Any use since then makes sterilising due.
    #[serde(default)]
    pub sterilised: Option<jiff::civil::Date>,
}

/// What is wrong with the clinic file.
#[derive(Debug, thiserror::Error)]
pub enum SettingsError {
    /// Ask the person: it is no such TOML.
    #[error("the clinic file cannot be read: {0}")]
    Form(#[from] toml::de::Error),
    /// Ask the person: a value makes no sense.
    #[error("the clinic file sets {field} to {value}; give {wanted}")]
    Value {
        field: String,
        value: String,
        wanted: &'static str,
    },
}

impl Settings {
    /// The drugs in the house; local anaesthetics have the strengths of the section `anaesthetic`.
    pub fn drug_shelf(&self) -> Shelf {
        let strengths = self.anaesthetic.strengths();
        let local = |name: &str, percent_hundredths: u16| ShelfDrug {
            name: name.to_owned(),
            // One per cent is ten milligrams a millilitre.
            strengths_mg_per_ml: vec![f64::from(percent_hundredths) / 10.0],
            ..ShelfDrug::default()
        };
        Shelf::default()
            .with(&[
                local("lidocaine", strengths.lidocaine),
                local("bupivacaine", strengths.bupivacaine),
                local("mepivacaine", strengths.mepivacaine),
            ])
            .with(&self.drugs)
    }

    pub fn from_toml(text: &str) -> Result<Self, SettingsError> {
        let settings: Self = toml::from_str(text)?;
        settings.check()?;
        Ok(settings)
    }

    fn check(&self) -> Result<(), SettingsError> {
        let wrong = |field: &str, value: String, wanted| {
            Err(SettingsError::Value {
                field: field.to_owned(),
                value,
                wanted,
            })
        };
        if let Some((field, value, wanted)) = self.watch.fault() {
            return wrong(&field, value, wanted);
        }
        for drug in &self.drugs {
            for strength in &drug.strengths_mg_per_ml {
                if !(0.001..=500.0).contains(strength) {
                    return wrong(
                        &format!("strengths_mg_per_ml of {}", drug.name),
                        strength.to_string(),
                        "0.001 to 500 milligrams a millilitre",
                    );
                }
            }
        }
        let limits = &self.limits;
        for (field, mm) in [
            ("limits.dog_normal_depth_mm", limits.dog_normal_depth_mm),
            ("limits.cat_normal_depth_mm", limits.cat_normal_depth_mm),
        ] {
            if !(1..=5).contains(&mm) {
                return wrong(field, mm.to_string(), "1 to 5 mm");
            }
        }
        for (field, percent) in [
            (
                "anaesthetic.lidocaine_percent",
                self.anaesthetic.lidocaine_percent,
            ),
            (
                "anaesthetic.bupivacaine_percent",
                self.anaesthetic.bupivacaine_percent,
            ),
            (
                "anaesthetic.mepivacaine_percent",
                self.anaesthetic.mepivacaine_percent,
            ),
        ] {
            if !(0.05..=5.0).contains(&percent) {
                return wrong(field, percent.to_string(), "0.05 to 5 per cent");
            }
        }
        let times = &self.times;
        for (field, range) in [
            ("times.film", times.film),
            ("times.scale", times.scale),
            ("times.polish", times.polish),
            ("times.block", times.block),
            ("times.extract_one_root", times.extract_one_root),
            ("times.extract_two_roots", times.extract_two_roots),
            ("times.extract_three_roots", times.extract_three_roots),
            ("times.treat", times.treat),
            ("times.close", times.close),
        ] {
            if range.low > range.high || range.high > 600 {
                return wrong(
                    field,
                    format!("[{}, {}]", range.low, range.high),
                    "from and to in minutes, up to 600",
                );
            }
        }
        if let Some(table) = &self.mouth_score {
            for (tooth, factor) in &table.factors {
                let is_tooth = tooth
                    .parse::<u16>()
                    .ok()
                    .is_some_and(|n| ToothNumber::new(n).is_ok());
                if !is_tooth || !factor.is_finite() || *factor < 0.0 {
                    return wrong(
                        &format!("mouth_score.factors.{tooth}"),
                        factor.to_string(),
                        "a tooth number and a factor of 0 or more",
                    );
                }
            }
        }
        Ok(())
    }
}
