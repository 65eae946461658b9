//! The anaesthetic in the project's own JSON: readings, drugs, steps, emergencies and gaps, each with how it came to be.
//!
//! Invariant: a value that was not read is null and never zero; what a machine sent says so.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::json::Standing;
use super::project::key;
use crate::record::{Charted, Record, monitoring};
use crate::terms::drug::Amount;
use crate::terms::vital::{Measure, Reading};
use crate::terms::watch::{CourseStep, Watched};

/// The whole anaesthetic; empty lists where none was recorded.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Anaesthetic {
    /// Begin of anaesthesia, induction or intubation, whichever was first.
    #[schemars(extend("format" = "date-time"))]
    pub from: Option<String>,
    /// Handed over, or the end of the visit.
    #[schemars(extend("format" = "date-time"))]
    pub to: Option<String>,
    pub readings: Vec<VitalReading>,
    pub drugs: Vec<DrugGiven>,
    pub wasted: Vec<DrugWasted>,
    pub totals: Vec<DrugTotal>,
    pub course: Vec<CourseEntry>,
    pub emergencies: Vec<Emergency>,
}

/// One vital sign at one time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct VitalReading {
    pub entry: u64,
    #[schemars(schema_with = "signs")]
    pub sign: String,
    /// In `unit`; null for a pressure, a word, or where the instrument gave nothing.
    pub value: Option<f64>,
    pub systolic_mmhg: Option<u16>,
    pub diastolic_mmhg: Option<u16>,
    pub mean_mmhg: Option<u16>,
    /// Of a sign of depth.
    pub word: Option<String>,
    /// Looked for, and the instrument gave nothing.
    pub not_reading: bool,
    /// Code of the Unified Code for Units of Measure.
    pub unit: Option<String>,
    #[schemars(extend("enum" = ["doppler", "oscillometric", "direct", "rectal", "oesophageal", "ear", null]))]
    pub method: Option<String>,
    /// Sent by a monitor: nobody said it, and nobody confirmed it.
    pub machine_read: bool,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

/// A drug as it was given.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DrugGiven {
    pub entry: u64,
    pub drug: String,
    pub strength_mg_per_ml: Option<f64>,
    pub volume_ml: Option<f64>,
    pub dose_mg: Option<f64>,
    #[schemars(extend("enum" = ["intravenous", "intramuscular", "subcutaneous", "oral", "infiltration", "topical", null]))]
    pub route: Option<String>,
    #[schemars(extend("enum" = ["vet", "nurse", null]))]
    pub given_by: Option<String>,
    /// The weight that `dose_mg_per_kg` was worked out with.
    pub weight_kg: Option<f64>,
    pub dose_mg_per_kg: Option<f64>,
    /// Published figures that it was held against when it was given; for checking, no recommendation.
    pub published_from_mg_per_kg: Option<f64>,
    pub published_to_mg_per_kg: Option<f64>,
    pub controlled: bool,
    #[schemars(extend("enum" = ["vet", "nurse", null]))]
    pub witness: Option<String>,
    pub batch: Option<String>,
    /// Where it was given before it was entered; left out otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub given_at: Option<String>,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DrugWasted {
    pub entry: u64,
    pub drug: String,
    pub volume_ml: Option<f64>,
    pub dose_mg: Option<f64>,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DrugTotal {
    pub drug: String,
    pub times: u64,
    /// Null where the dose of one of them is not known.
    pub dose_mg: Option<f64>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CourseEntry {
    pub entry: u64,
    #[schemars(extend("enum" = ["asa", "premedicated", "induced", "intubated", "cuff_checked", "turned", "vaporiser_off",
        "swallowing", "extubated", "head_up", "sternal", "standing", "handed_over"]))]
    pub step: String,
    /// Class of the American Society of Anesthesiologists.
    pub asa_class: Option<u8>,
    pub asa_emergency: Option<bool>,
    pub tube_mm: Option<f64>,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Emergency {
    pub entry: u64,
    #[schemars(extend("enum" = ["no_pulse", "cardiac_arrest", "not_breathing", "resuscitation_started", "pulse_back"]))]
    pub emergency: String,
    pub text: String,
    #[serde(flatten)]
    pub standing: Standing,
}

fn signs(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
    let keys: Vec<String> = crate::terms::VitalSign::ALL.iter().map(key).collect();
    schemars::json_schema!({ "type": "string", "enum": keys })
}

fn thousandths(number: u64) -> f64 {
    number as f64 / 1000.0
}

fn millilitres(amount: &Amount) -> Option<f64> {
    amount
        .volume_ul
        .map(|volume| thousandths(u64::from(volume)))
}

fn milligrams(amount: &Amount) -> Option<f64> {
    amount.dose_ug.map(thousandths)
}

/// The anaesthetic of a record; `standing` tells how each entry came to be.
pub fn of(record: &Record, standing: &dyn Fn(&Charted) -> Standing) -> Anaesthetic {
    let span = monitoring::span(record);
    let mut out = Anaesthetic {
        from: span.map(|(from, _)| from.to_string()),
        to: span.and_then(|(_, to)| to).map(|at| at.to_string()),
        totals: monitoring::sums(record)
            .into_iter()
            .map(|sum| DrugTotal {
                drug: sum.drug,
                times: sum.times as u64,
                dose_mg: sum.dose_ug.map(thousandths),
            })
            .collect(),
        ..Anaesthetic::default()
    };
    for (what, charted) in record.watched() {
        let entry = charted.number;
        let text = what.text();
        let standing = standing(charted);
        match what {
            Watched::Vital(reading) => out.readings.push(VitalReading {
                machine_read: charted.is_machine_read(),
                ..vital(entry, reading, standing)
            }),
            Watched::Crisis(crisis) => out.emergencies.push(Emergency {
                entry,
                emergency: key(crisis),
                text,
                standing,
            }),
            Watched::Course(step) => out.course.push(course(entry, *step, standing)),
            Watched::Drug(given) => {
                let named = |of: u64| {
                    record.watched().filter_map(move |(what, _)| match what {
                        Watched::Witnessed { entry, by } if *entry == of => Some(key(by)),
                        _ => None,
                    })
                };
                out.drugs.push(DrugGiven {
                    entry,
                    drug: given.drug.clone(),
                    strength_mg_per_ml: given
                        .amount
                        .strength_ug_per_ml
                        .map(|strength| thousandths(u64::from(strength))),
                    volume_ml: millilitres(&given.amount),
                    dose_mg: milligrams(&given.amount),
                    route: given.route.map(|route| key(&route)),
                    given_by: given.given_by.map(|by| key(&by)),
                    weight_kg: given.weight_g.map(|grams| thousandths(u64::from(grams))),
                    dose_mg_per_kg: given.ug_per_kg().map(thousandths),
                    published_from_mg_per_kg: given
                        .range_ug_per_kg
                        .map(|(from, _)| thousandths(u64::from(from))),
                    published_to_mg_per_kg: given
                        .range_ug_per_kg
                        .map(|(_, to)| thousandths(u64::from(to))),
                    controlled: given.is_controlled,
                    witness: named(entry).last(),
                    batch: monitoring::batch_of(record, given, entry).map(str::to_owned),
                    given_at: given.given_at.map(|at| at.to_string()),
                    text,
                    standing,
                });
            }
            Watched::Wasted { drug, amount } => out.wasted.push(DrugWasted {
                entry,
                drug: drug.clone(),
                volume_ml: millilitres(amount),
                dose_mg: milligrams(amount),
                text,
                standing,
            }),
            // With the drug that they are of.
            Watched::Witnessed { .. } | Watched::Batch { .. } => {}
        }
    }
    out
}

fn vital(entry: u64, reading: &Reading, standing: Standing) -> VitalReading {
    let (mut systolic, mut diastolic, mut mean, mut word) = (None, None, None, None);
    match &reading.measure {
        Measure::Pressure {
            systolic: s,
            diastolic: d,
            mean: m,
        } => (systolic, diastolic, mean) = (*s, *d, *m),
        Measure::Word { word: said } => word = Some(said.clone()),
        Measure::Number { .. } | Measure::NotReading => {}
    }
    VitalReading {
        entry,
        sign: key(&reading.sign),
        value: reading
            .hundredths()
            .map(|hundredths| f64::from(hundredths) / 100.0),
        systolic_mmhg: systolic,
        diastolic_mmhg: diastolic,
        mean_mmhg: mean,
        word,
        not_reading: reading.measure == Measure::NotReading,
        unit: reading.sign.ucum().map(str::to_owned),
        method: reading.method.map(|method| key(&method)),
        machine_read: false,
        text: reading.text(),
        standing,
    }
}

fn course(entry: u64, step: CourseStep, standing: Standing) -> CourseEntry {
    let (mut class, mut emergency, mut tube_mm) = (None, None, None);
    match step {
        CourseStep::Asa(status) => {
            (class, emergency) = (Some(status.class), Some(status.emergency));
        }
        CourseStep::Intubated {
            size_mm_hundredths: Some(size),
        } => tube_mm = Some(f64::from(size) / 100.0),
        _ => {}
    }
    CourseEntry {
        entry,
        step: step.key().to_owned(),
        asa_class: class,
        asa_emergency: emergency,
        tube_mm,
        text: step.text(),
        standing,
    }
}
