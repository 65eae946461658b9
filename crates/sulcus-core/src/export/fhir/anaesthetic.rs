//! The anaesthetic for FHIR R4: vital signs as Observations with LOINC codes and UCUM units, drugs as
//! MedicationAdministrations, steps and emergencies as Procedures. All published codes are for humans: the animal
//! extension of the Patient says what the animal is.
//!
//! Sources: FHIR R4 vital signs (heart rate 8867-4, respiratory rate 9279-1, panel 85354-9 with 8480-6 and 8462-4,
//! temperature 8310-5); US Core pulse oximetry (59408-5 with 2708-6; flow 3151-8); German medical informatics
//! initiative (end-tidal carbon dioxide 19891-1); HL7 Lithuania (mean pressure 8478-0).
//!
//! Invariant: what was not read is absent with a reason, never zero; nothing from a machine is said to be confirmed.

use serde_json::{Value as Json, json};

use super::{Maker, Placed, codes, told};
use crate::export::project::key;
use crate::record::{Charted, Standing, monitoring};
use crate::terms::drug::DrugEntry;
use crate::terms::vital::{Measure, Reading, VitalMethod, VitalSign};
use crate::terms::watch::Watched;

/// Published codes of a sign: LOINC code and its name, the best one first.
fn loinc(sign: VitalSign) -> &'static [(&'static str, &'static str)] {
    match sign {
        VitalSign::HeartRate => &[("8867-4", "Heart rate")],
        VitalSign::BreathingRate => &[("9279-1", "Respiratory rate")],
        VitalSign::OxygenSaturation => &[
            (
                "59408-5",
                "Oxygen saturation in Arterial blood by Pulse oximetry",
            ),
            ("2708-6", "Oxygen saturation in Arterial blood"),
        ],
        VitalSign::EndTidalCo2 => &[(
            "19891-1",
            "Carbon dioxide [Partial pressure] in Exhaled gas --at end expiration",
        )],
        VitalSign::Pressure => &[("85354-9", "Blood pressure panel with all children optional")],
        VitalSign::Temperature => &[("8310-5", "Body temperature")],
        VitalSign::OxygenFlow => &[("3151-8", "Inhaled oxygen flow rate")],
        _ => &[],
    }
}

const PRESSURES: [(&str, &str); 3] = [
    ("8480-6", "Systolic blood pressure"),
    ("8462-4", "Diastolic blood pressure"),
    ("8478-0", "Mean blood pressure"),
];

fn vital_signs() -> Json {
    json!([{ "coding": [codes::coding(
        "http://terminology.hl7.org/CodeSystem/observation-category", "vital-signs", "Vital Signs")] }])
}

fn code(sign: VitalSign) -> Json {
    let own = codes::hyphens(&key(&sign));
    let mut concept = codes::own("vital-sign", &own, sign.title());
    if let Some(codings) = concept["coding"].as_array_mut() {
        for (at, (code, display)) in loinc(sign).iter().enumerate() {
            codings.insert(at, codes::coding(codes::LOINC, code, display));
        }
    }
    concept
}

fn quantity(value: f64, unit: &str, ucum: &str) -> Json {
    // A whole number is written as one.
    let value = if value.fract() == 0.0 {
        json!(value as i64)
    } else {
        json!(value)
    };
    json!({ "value": value, "unit": unit, "system": codes::UCUM, "code": ucum })
}

fn absent(code: &str, display: &str) -> Json {
    json!({ "coding": [codes::coding(codes::DATA_ABSENT, code, display)] })
}

fn put_value(resource: &mut Json, reading: &Reading) {
    match &reading.measure {
        Measure::Number { hundredths } => {
            resource["valueQuantity"] = quantity(
                f64::from(*hundredths) / 100.0,
                reading.sign.unit(),
                reading.sign.ucum().unwrap_or("1"),
            );
        }
        Measure::Word { word } => {
            resource["valueCodeableConcept"] = codes::own("vital-sign-value", word, word);
        }
        Measure::NotReading => {
            resource["dataAbsentReason"] = absent("error", "Error");
        }
        Measure::Pressure {
            systolic,
            diastolic,
            mean,
        } => {
            let mut components = Vec::new();
            for ((code, display), value) in PRESSURES.iter().zip([systolic, diastolic, mean]) {
                let mut component = json!({
                    "code": { "coding": [codes::coding(codes::LOINC, code, display)], "text": display },
                });
                match value {
                    Some(mmhg) => {
                        component["valueQuantity"] = quantity(f64::from(*mmhg), "mmHg", "mm[Hg]");
                    }
                    // A Doppler cannot give it; otherwise nobody said it. A mean that was not said is left out.
                    None if *code == "8478-0" => continue,
                    None if reading.method == Some(VitalMethod::Doppler) => {
                        component["dataAbsentReason"] = absent("unsupported", "Unsupported");
                    }
                    None => {
                        component["dataAbsentReason"] = absent("not-asked", "Not Asked");
                    }
                }
                components.push(component);
            }
            resource["component"] = Json::Array(components);
        }
    }
}

/// A drug of the clinic's own shelf has a name and no code.
fn drug(name: &str) -> Json {
    if crate::terms::drug::Shelf::default().get(name).is_some() {
        codes::own("drug", name, name)
    } else {
        json!({ "text": super::clean(name) })
    }
}

impl Maker<'_> {
    /// Vital signs, in the order entered.
    pub(super) fn vital_signs(&mut self) -> Vec<Placed> {
        let record = self.record;
        let mut placed = Vec::new();
        for (what, charted) in record.watched() {
            let Watched::Vital(reading) = what else {
                continue;
            };
            let mut resource = json!({
                "resourceType": "Observation",
                "identifier": [self.identifier(charted)],
                "status": status(charted),
                "category": vital_signs(),
                "code": code(reading.sign),
                "effectiveDateTime": charted.at.to_string(),
            });
            put_value(&mut resource, reading);
            if let Some(method) = reading.method {
                resource["method"] = codes::own(
                    "vital-sign-method",
                    &codes::hyphens(&key(&method)),
                    method.word(),
                );
            }
            if charted.is_machine_read() {
                resource["note"] =
                    json!([{ "text": "Read from a monitor by machine; confirmed by nobody." }]);
            } else if record.nurse.is_some() {
                resource["performer"] = json!([self.reference("nurse")]);
            }
            let line = marked(what.text(), charted);
            placed.push(self.place_entry(charted, line, resource));
        }
        placed
    }

    /// Drugs of the log; what was wasted is a note of the record alone.
    pub(super) fn drugs_given(&mut self) -> Vec<Placed> {
        let record = self.record;
        let drugs: Vec<_> = monitoring::drugs(record).collect();
        drugs
            .into_iter()
            .map(|(entry, charted)| self.drug_given(entry, charted))
            .collect()
    }

    fn drug_given(&mut self, entry: &DrugEntry, charted: &Charted) -> Placed {
        let record = self.record;
        let mut resource = json!({
            "resourceType": "MedicationAdministration",
            "identifier": [self.identifier(charted)],
            // What nobody confirmed is not said to be done.
            "status": if charted.standing == Standing::Confirmed { "completed" } else { "unknown" },
            "medicationCodeableConcept": drug(&entry.drug),
            "effectiveDateTime": monitoring::given_at(entry, charted).to_string(),
        });
        let mut dosage = json!({ "text": entry.text() });
        if let Some(route) = entry.route {
            dosage["route"] = codes::own("drug-route", &codes::hyphens(&key(&route)), route.word());
        }
        match (entry.amount.dose_ug, entry.amount.volume_ul) {
            (Some(dose), _) => dosage["dose"] = quantity(dose as f64 / 1000.0, "mg", "mg"),
            (None, Some(volume)) => {
                dosage["dose"] = quantity(f64::from(volume) / 1000.0, "mL", "mL");
            }
            (None, None) => {}
        }
        resource["dosage"] = dosage;
        if let Some(strength) = entry.amount.strength_ug_per_ml {
            // Strength and batch belong to the medication itself, which R4 keeps in a resource of its own.
            let mut medication = json!({
                "resourceType": "Medication",
                "id": format!("medication-{}", charted.number),
                "code": drug(&entry.drug),
                "ingredient": [{
                    "itemCodeableConcept": drug(&entry.drug),
                    "strength": {
                        "numerator": quantity(f64::from(strength) / 1000.0, "mg", "mg"),
                        "denominator": quantity(1.0, "mL", "mL"),
                    },
                }],
            });
            if let Some(batch) = monitoring::batch_of(record, entry, charted.number) {
                medication["batch"] = json!({ "lotNumber": batch });
            }
            let id = medication["id"].as_str().unwrap_or_default().to_owned();
            resource["contained"] = json!([medication]);
            resource["medicationReference"] = json!({ "reference": format!("#{id}") });
            if let Some(fields) = resource.as_object_mut() {
                fields.remove("medicationCodeableConcept");
            }
        }
        let performer = match entry.given_by {
            Some(crate::terms::watch::Role::Vet) if record.vet.is_some() => Some("vet"),
            Some(crate::terms::watch::Role::Nurse) if record.nurse.is_some() => Some("nurse"),
            _ => None,
        };
        if let Some(who) = performer {
            resource["performer"] = json!([{ "actor": self.reference(who) }]);
        }
        let line = told(entry.text(), &[charted]);
        self.place_entry(charted, line, resource)
    }

    /// Steps of the course and emergencies.
    pub(super) fn course_of_anaesthetic(&mut self) -> Vec<Placed> {
        let record = self.record;
        let mut placed = Vec::new();
        for (what, charted) in record.watched() {
            let code = match what {
                Watched::Course(step) => codes::own(
                    "anaesthetic-step",
                    &codes::hyphens(step.key()),
                    &step.text(),
                ),
                Watched::Crisis(crisis) => codes::own(
                    "anaesthetic-step",
                    &codes::hyphens(&key(crisis)),
                    crisis.text(),
                ),
                _ => continue,
            };
            let resource = json!({
                "resourceType": "Procedure",
                "identifier": [self.identifier(charted)],
                "status": if charted.standing == Standing::Confirmed { "completed" } else { "unknown" },
                "code": code,
                "performedDateTime": charted.at.to_string(),
            });
            let line = told(what.text(), &[charted]);
            placed.push(self.place_entry(charted, line, resource));
        }
        placed
    }
}

fn status(charted: &Charted) -> &'static str {
    match charted.standing {
        Standing::Confirmed if charted.supersedes.is_empty() => "final",
        Standing::Confirmed => "corrected",
        _ => "preliminary",
    }
}

fn marked(line: String, charted: &Charted) -> String {
    if charted.is_machine_read() {
        format!("{line} (machine-read)")
    } else {
        told(line, &[charted])
    }
}

/// A code system of our own: name, title, codes with their names.
pub(super) type CodeSystem = (&'static str, &'static str, Vec<(String, String)>);

/// The own code systems of the anaesthetic, for those who look the codes up.
pub(super) fn systems() -> Vec<CodeSystem> {
    use crate::terms::drug::{Route, Shelf};
    use crate::terms::watch::{AsaStatus, CourseStep, Crisis};
    let signs = VitalSign::ALL
        .iter()
        .map(|sign| (codes::hyphens(&key(sign)), sign.title().to_owned()))
        .collect();
    let mut words: Vec<(String, String)> = VitalSign::ALL
        .iter()
        .flat_map(|sign| sign.words())
        .map(|word| ((*word).to_owned(), (*word).to_owned()))
        .collect();
    words.sort();
    words.dedup();
    let methods = [
        VitalMethod::Doppler,
        VitalMethod::Oscillometric,
        VitalMethod::Direct,
        VitalMethod::Rectal,
        VitalMethod::Oesophageal,
        VitalMethod::Ear,
    ]
    .iter()
    .map(|method| (codes::hyphens(&key(method)), method.word().to_owned()))
    .collect();
    let routes = [
        Route::Intravenous,
        Route::Intramuscular,
        Route::Subcutaneous,
        Route::Oral,
        Route::Infiltration,
        Route::Topical,
    ]
    .iter()
    .map(|route| (codes::hyphens(&key(route)), route.word().to_owned()))
    .collect();
    let asa = CourseStep::Asa(AsaStatus {
        class: 1,
        emergency: false,
    });
    let mut steps: Vec<(String, String)> = vec![(
        asa.key().to_owned(),
        "Class of the American Society of Anesthesiologists".to_owned(),
    )];
    steps.extend(
        [
            CourseStep::Premedicated,
            CourseStep::Induced,
            CourseStep::Intubated {
                size_mm_hundredths: None,
            },
            CourseStep::CuffChecked,
            CourseStep::Turned,
            CourseStep::VaporiserOff,
            CourseStep::Swallowing,
            CourseStep::Extubated,
            CourseStep::HeadUp,
            CourseStep::Sternal,
            CourseStep::Standing,
            CourseStep::HandedOver,
        ]
        .iter()
        .map(|step| (codes::hyphens(step.key()), step.text())),
    );
    steps.extend(
        [
            Crisis::NoPulse,
            Crisis::CardiacArrest,
            Crisis::NotBreathing,
            Crisis::ResuscitationStarted,
            Crisis::PulseBack,
        ]
        .iter()
        .map(|crisis| (codes::hyphens(&key(crisis)), crisis.text().to_owned())),
    );
    let drugs = Shelf::default()
        .all()
        .iter()
        .map(|drug| (drug.name.clone(), drug.name.clone()))
        .collect();
    vec![
        ("vital-sign", "Vital signs under anaesthetic", signs),
        ("vital-sign-value", "Signs of depth in words", words),
        ("vital-sign-method", "Ways of taking a vital sign", methods),
        ("drug-route", "Routes of drugs", routes),
        (
            "anaesthetic-step",
            "Steps of an anaesthetic, and emergencies",
            steps,
        ),
        ("drug", "Drugs of the log", drugs),
    ]
}
