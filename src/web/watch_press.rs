//! Presses for the anaesthetic record, and the form of a reading in JSON, which a monitor sends as well.
//!
//! Invariant: a number becomes a value only here, checked by the types of `terms`; unknown fields are refused.

use serde::Deserialize;

use crate::grammar::intent::{GivenDrug, Watching};
use crate::terms::drug::{Amount, Route};
use crate::terms::vital::{Measure, Reading, VitalMethod, VitalSign};
use crate::terms::watch::{AsaStatus, CourseStep, Crisis, Role};

/// One reading. `value` is in the sign's own unit; a pressure has its parts instead.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingIn {
    sign: VitalSign,
    #[serde(default)]
    value: Option<f64>,
    #[serde(default)]
    word: Option<String>,
    #[serde(default)]
    systolic: Option<u16>,
    #[serde(default)]
    diastolic: Option<u16>,
    #[serde(default)]
    mean: Option<u16>,
    #[serde(default)]
    method: Option<VitalMethod>,
    #[serde(default)]
    not_reading: bool,
}

impl ReadingIn {
    /// # Errors
    /// Where it is no value of the sign; why, for the person.
    pub fn reading(self) -> Result<Reading, String> {
        let has_parts = self.systolic.is_some() || self.diastolic.is_some() || self.mean.is_some();
        let measure = match (self.value, self.word, has_parts, self.not_reading) {
            (None, None, false, true) => Measure::NotReading,
            (Some(value), None, false, false) => {
                if !value.is_finite() || !(0.0..=9_999.0).contains(&value) {
                    return Err(format!("{value} is no value of {}", self.sign.title()));
                }
                Measure::Number {
                    hundredths: (value * 100.0).round() as u32,
                }
            }
            (None, Some(word), false, false) => Measure::Word { word },
            (None, None, true, false) => Measure::Pressure {
                systolic: self.systolic,
                diastolic: self.diastolic,
                mean: self.mean,
            },
            (None, None, false, false) => {
                return Err(format!("{} has no value", self.sign.title()));
            }
            _ => return Err(format!("{} has two values at once", self.sign.title())),
        };
        Reading::new(self.sign, measure, self.method).map_err(|unfit| unfit.to_string())
    }
}

/// What is touched for the anaesthetic record.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(super) enum WatchIn {
    Vital(ReadingIn),
    Crisis(Crisis),
    /// Key of a step that has nothing beside it.
    Course(CourseStep),
    Tube {
        size_mm: Option<f64>,
    },
    Asa {
        class: u8,
        emergency: bool,
    },
    Drug(DrugIn),
    Wasted(DrugIn),
    Witness(Role),
    Batch(BatchIn),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DrugIn {
    drug: String,
    /// One of the two.
    #[serde(default)]
    volume_ml: Option<f64>,
    #[serde(default)]
    dose_mg: Option<f64>,
    #[serde(default)]
    strength_mg_per_ml: Option<f64>,
    #[serde(default)]
    route: Option<Route>,
    #[serde(default)]
    by: Option<Role>,
    /// Entered so long after it was given.
    #[serde(default)]
    minutes_ago: u16,
    #[serde(default)]
    batch: Option<String>,
}

/// Of the drug in this entry; none: of the one entered last.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BatchIn {
    #[serde(default)]
    entry: Option<u64>,
    batch: String,
}

/// Longer ago than an anaesthetic takes is a slip of the clock.
const MINUTES_AGO_MAX: u16 = 720;

/// Letters and figures, as they stand on the bottle.
pub(super) fn batch(text: &str) -> Result<String, String> {
    let batch: String = text.split_whitespace().collect();
    if (1..=20).contains(&batch.len()) && batch.chars().all(|c| c.is_ascii_alphanumeric()) {
        Ok(batch)
    } else {
        Err("a batch has 1 to 20 letters and figures".into())
    }
}

/// Thousandths, where it is an amount that can be.
fn thousandths(what: &str, number: f64) -> Result<u32, String> {
    if number.is_finite() && number > 0.0 && number < 100_000.0 {
        Ok((number * 1000.0).round() as u32)
    } else {
        Err(format!("{number} is no {what}"))
    }
}

/// The longest name of a drug.
const NAME_CHARS_MAX: usize = 60;

/// As on the shelf: small letters.
fn name(text: &str) -> Result<String, String> {
    let name = text.trim().to_lowercase();
    if name.is_empty()
        || name.chars().count() > NAME_CHARS_MAX
        || name.chars().any(char::is_control)
    {
        return Err(format!(
            "a drug has a name of 1 to {NAME_CHARS_MAX} letters"
        ));
    }
    Ok(name)
}

impl DrugIn {
    fn amount(&self) -> Result<(Amount, Option<u32>), String> {
        let strength = self
            .strength_mg_per_ml
            .map(|mg| thousandths("strength", mg))
            .transpose()?;
        let amount = match (self.volume_ml, self.dose_mg) {
            (Some(ml), None) => Amount::of_volume(thousandths("volume", ml)?, strength),
            (None, Some(mg)) => Amount::of_dose(u64::from(thousandths("dose", mg)?), strength),
            _ => return Err("say the millilitres or the milligrams, one of them".into()),
        };
        Ok((amount, strength))
    }
}

impl WatchIn {
    pub fn watching(self) -> Result<Watching, String> {
        Ok(match self {
            Self::Vital(reading) => Watching::Vital {
                reading: reading.reading()?,
                sounds_like: Vec::new(),
            },
            Self::Crisis(crisis) => Watching::Crisis(crisis),
            Self::Course(step) => Watching::Course(step),
            Self::Tube { size_mm } => Watching::Course(CourseStep::Intubated {
                size_mm_hundredths: size_mm
                    .map(|mm| {
                        if mm.is_finite() && (0.5..=30.0).contains(&mm) {
                            Ok((mm * 100.0).round() as u16)
                        } else {
                            Err(format!("{mm} mm is no tube"))
                        }
                    })
                    .transpose()?,
            }),
            Self::Asa { class, emergency } if (1..=5).contains(&class) => {
                Watching::Course(CourseStep::Asa(AsaStatus { class, emergency }))
            }
            Self::Asa { class, .. } => return Err(format!("ASA {class} is outside 1 to 5")),
            Self::Drug(drug) => {
                let (amount, strength_ug_per_ml) = drug.amount()?;
                if drug.minutes_ago > MINUTES_AGO_MAX {
                    return Err(format!(
                        "{} minutes ago is longer than an anaesthetic takes",
                        drug.minutes_ago
                    ));
                }
                Watching::Drug(GivenDrug {
                    drug: name(&drug.drug)?,
                    amount: Some(amount),
                    strength_ug_per_ml,
                    route: drug.route,
                    by: drug.by,
                    minutes_ago: drug.minutes_ago,
                    batch: drug.batch.as_deref().map(batch).transpose()?,
                })
            }
            Self::Wasted(drug) => {
                let (amount, _) = drug.amount()?;
                Watching::Wasted {
                    drug: drug.drug,
                    amount,
                }
            }
            Self::Witness(by) => Watching::Witness(by),
            Self::Batch(BatchIn { entry, batch: text }) => Watching::Batch {
                of: entry,
                batch: batch(&text)?,
            },
        })
    }
}
