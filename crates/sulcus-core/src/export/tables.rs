//! Tables for spreadsheets and studies: one row a value.
//!
//! Invariants: a table of one visit leaves no current value out and marks what is unconfirmed; a study table holds
//! no name, no free text, no date and no id that was in the journal.

use std::collections::HashMap;

use sha2::{Digest, Sha256};

use super::ExportError;
use super::project::{key, part_key, place_key, teeth_of};
use crate::record::monitoring;
use crate::record::{Charted, Event, Record, Standing, wording};
use crate::terms::drug::thousandths;
use crate::terms::vital::{Measure, decimal};
use crate::terms::watch::{CourseStep, Watched};
use crate::terms::{Patient, Procedure, Subject, ToothNumber, Value};

/// The parts of a value-bearing entry that every table has.
#[derive(Debug, Default)]
struct Parts {
    what: &'static str,
    tooth: String,
    kind: String,
    place: String,
    mm: String,
    grade: String,
    code: String,
    reason: String,
    /// Of a vital sign or a drug, with its UCUM unit.
    value: String,
    unit: String,
}

fn parts(event: &Event) -> Parts {
    let number = |tooth: Option<ToothNumber>| tooth.map(|t| t.to_string()).unwrap_or_default();
    match event {
        Event::FindingRecorded { finding, .. } => {
            let (mm, grade, code) = match &finding.value {
                Value::Present => Default::default(),
                Value::Mm(mm) => (mm.to_string(), String::new(), String::new()),
                Value::Grade(grade) => (String::new(), grade.to_string(), String::new()),
                Value::Code(code) => (String::new(), String::new(), code.clone()),
                Value::Percent(_) => Default::default(),
            };
            let (value, unit) = match &finding.value {
                Value::Percent(percent) => (percent.to_string(), "%".into()),
                _ => Default::default(),
            };
            Parts {
                what: "finding",
                tooth: match finding.subject {
                    Subject::Tooth(tooth) => tooth.to_string(),
                    Subject::Mouth => String::new(),
                },
                kind: finding.kind.key(),
                place: place_key(finding.place).unwrap_or_default(),
                mm,
                grade,
                code,
                value,
                unit,
                ..Parts::default()
            }
        }
        Event::DecisionRecorded {
            tooth,
            decision,
            reason,
            ..
        } => Parts {
            what: "decision",
            tooth: tooth.to_string(),
            kind: key(decision),
            code: match decision {
                crate::terms::Decision::Treat(treatment) => key(treatment),
                crate::terms::Decision::Monitor { months: Some(m) } => format!("{m} months"),
                _ => String::new(),
            },
            reason: reason.map(|reason| key(&reason)).unwrap_or_default(),
            ..Parts::default()
        },
        Event::MouthDecided { what, .. } => Parts {
            what: "decision",
            kind: what.choice.key().into(),
            place: what.part.map(part_key).unwrap_or_else(|| "mouth".into()),
            code: match what.choice {
                crate::terms::mouth::MouthChoice::Monitor { days } => format!("{days} days"),
                _ => String::new(),
            },
            reason: what.reason.map(|reason| key(&reason)).unwrap_or_default(),
            ..Parts::default()
        },
        Event::ProcedureRecorded { procedure, .. } => Parts {
            what: "procedure",
            tooth: teeth_of(procedure)
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(" "),
            kind: key(procedure),
            code: match procedure {
                Procedure::Extracted { method, .. } => key(method),
                Procedure::Treated { treatment, .. } => key(treatment),
                Procedure::Flap {
                    kind: Some(kind), ..
                } => key(kind),
                Procedure::ImplantBatch { what, batch, .. } => format!("{} {batch}", key(what)),
                Procedure::Staged { is_later, .. } => {
                    if *is_later { "later" } else { "today" }.into()
                }
                Procedure::SecondVisit { days } => format!("{days} days"),
                Procedure::Complication { what, .. } => key(what),
                Procedure::ComplicationTreated { how, .. } => key(how),
                Procedure::OwnerAsked { about, .. } => key(about),
                Procedure::SampleTaken { pot, .. } | Procedure::ResultRead { pot, .. } => {
                    format!("pot {pot}")
                }
                Procedure::Sutured {
                    material: Some(material),
                    ..
                } => key(material),
                Procedure::NerveBlock { block, drug, .. } => {
                    format!("{} {}", key(block), key(drug))
                }
                _ => String::new(),
            },
            ..Parts::default()
        },
        Event::WatchRecorded { what, .. } => watched(what),
        Event::NoteRecorded { tooth, .. } => Parts {
            what: "note",
            tooth: number(*tooth),
            ..Parts::default()
        },
        _ => Parts::default(),
    }
}

fn watched(what: &Watched) -> Parts {
    match what {
        Watched::Vital(reading) => Parts {
            what: "vital_sign",
            kind: key(&reading.sign),
            place: reading
                .method
                .map(|method| key(&method))
                .unwrap_or_default(),
            code: match &reading.measure {
                Measure::Word { word } => word.clone(),
                Measure::NotReading => "not_reading".into(),
                Measure::Number { .. } | Measure::Pressure { .. } => String::new(),
            },
            value: match reading.measure {
                Measure::Number { .. } | Measure::Pressure { .. } => reading.value(),
                Measure::Word { .. } | Measure::NotReading => String::new(),
            },
            unit: reading.sign.ucum().unwrap_or_default().into(),
            ..Parts::default()
        },
        Watched::Drug(entry) => Parts {
            what: "drug",
            kind: entry.drug.clone(),
            place: entry.route.map(|route| key(&route)).unwrap_or_default(),
            value: entry.amount.dose_ug.map(thousandths).unwrap_or_default(),
            unit: "mg".into(),
            ..Parts::default()
        },
        Watched::Wasted { drug, amount } => Parts {
            what: "drug_wasted",
            kind: drug.clone(),
            value: amount.dose_ug.map(thousandths).unwrap_or_default(),
            unit: "mg".into(),
            ..Parts::default()
        },
        Watched::Course(step) => Parts {
            what: "anaesthetic_step",
            kind: step.key().into(),
            code: match step {
                CourseStep::Asa(status) => status.text(),
                _ => String::new(),
            },
            value: match step {
                CourseStep::Intubated {
                    size_mm_hundredths: Some(size),
                } => decimal(u32::from(*size)),
                _ => String::new(),
            },
            ..Parts::default()
        },
        Watched::Crisis(crisis) => Parts {
            what: "emergency",
            kind: key(crisis),
            ..Parts::default()
        },
        Watched::Witnessed { by, .. } => Parts {
            what: "drug_witness",
            code: by.word().into(),
            ..Parts::default()
        },
        Watched::Batch { batch, .. } => Parts {
            what: "drug_batch",
            code: batch.clone(),
            ..Parts::default()
        },
    }
}

fn standing(charted: &Charted) -> &'static str {
    match charted.standing {
        Standing::Confirmed => "confirmed",
        Standing::ReadBack => "read_back",
        Standing::Heard => "heard",
    }
}

/// A spreadsheet takes text that begins so for a formula, and runs it; a quote before it keeps it text.
fn safe(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

fn finish(writer: csv::Writer<Vec<u8>>) -> Result<String, ExportError> {
    let bytes = writer
        .into_inner()
        .map_err(|why| ExportError::Table(why.to_string()))?;
    String::from_utf8(bytes).map_err(|why| ExportError::Table(why.to_string()))
}

fn put(writer: &mut csv::Writer<Vec<u8>>, row: &[String]) -> Result<(), ExportError> {
    writer
        .write_record(row)
        .map_err(|why| ExportError::Table(why.to_string()))
}

/// One visit, one row for each value that counts now, in the order in which they were entered.
pub fn visit(record: &Record) -> Result<String, ExportError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let head = [
        "visit",
        "patient_id",
        "patient",
        "species",
        "entry",
        "at",
        "what",
        "tooth",
        "kind",
        "place",
        "mm",
        "grade",
        "code",
        "reason",
        "text",
        "standing",
        "confidence",
        "heard",
        "value",
        "unit",
    ];
    put(&mut writer, &head.map(str::to_owned))?;
    let patient = &record.patient;
    for charted in record.current() {
        let parts = parts(&charted.event);
        let heard = charted.heard.as_ref();
        put(
            &mut writer,
            &[
                record.visit.to_string(),
                safe(patient.id.as_deref().unwrap_or_default()),
                safe(&patient.name),
                patient.species.word().into(),
                charted.number.to_string(),
                charted.at.to_string(),
                parts.what.into(),
                parts.tooth,
                parts.kind,
                parts.place,
                parts.mm,
                parts.grade,
                parts.code,
                parts.reason,
                safe(&wording::event(&charted.event)),
                standing(charted).into(),
                heard.map(|h| h.confidence.to_string()).unwrap_or_default(),
                safe(heard.map_or("", |h| h.words.as_str())),
                parts.value,
                parts.unit,
            ],
        )?;
    }
    finish(writer)
}

/// What stands for an animal before it is hashed: its id, else all that tells it apart.
fn identity(patient: &Patient) -> String {
    match (&patient.id, &patient.microchip) {
        (Some(id), _) => format!("id\u{1f}{id}"),
        (None, Some(chip)) => format!("chip\u{1f}{chip}"),
        (None, None) => format!(
            "{}\u{1f}{}\u{1f}{}\u{1f}{}",
            patient.name.to_lowercase(),
            patient.species.word(),
            patient.owner.as_deref().unwrap_or_default(),
            patient
                .born
                .as_ref()
                .map(ToString::to_string)
                .unwrap_or_default()
        ),
    }
}

fn pseudonym(salt: &[u8; 32], of: &str) -> String {
    let mut digest = Sha256::new();
    digest.update(salt);
    digest.update(of.as_bytes());
    // 64 bits: no two of a million alike by chance, and short enough to read.
    digest
        .finalize()
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Whole years, from a birth known to the year, the month or the day; to the year it may be one too many.
fn age_years(patient: &Patient, at: jiff::Timestamp) -> Option<i16> {
    let (born, _) = patient.born.as_ref()?.days()?;
    let today = at.to_zoned_datetime(jiff::tz::TimeZone::UTC).date();
    let had_birthday = (today.month(), today.day()) >= (born.month(), born.day());
    let age = today.year() - born.year() - i16::from(!had_birthday);
    (0..=40).contains(&age).then_some(age)
}

/// Whole minutes since the anaesthetic began, for what belongs to it: no time of day.
fn minute(record: &Record, charted: &Charted) -> String {
    let is_watched = matches!(charted.event, Event::WatchRecorded { .. });
    monitoring::span(record)
        .filter(|_| is_watched)
        .map(|(from, _)| charted.at.duration_since(from).as_mins().to_string())
        .unwrap_or_default()
}

/// Many visits as one table without names, free text and dates, made visit by visit, so that no more than one need be
/// in memory. The salt must be new for each table and thrown away: who keeps it can find the animals again. Rows are
/// ordered by pseudonym, so that their order tells nothing. Rare breeds and ages can still give an animal away:
/// `with_breed` is the asker's choice.
pub struct Study {
    salt: [u8; 32],
    with_breed: bool,
    first_visit: HashMap<String, jiff::Timestamp>,
    /// Pseudonyms of animal and visit, in whose order the rows stand.
    visits: Vec<(String, String, uuid::Uuid)>,
}

impl Study {
    pub fn new(salt: [u8; 32], with_breed: bool) -> Self {
        Self {
            salt,
            with_breed,
            first_visit: HashMap::new(),
            visits: Vec::new(),
        }
    }

    /// Takes note of a visit; all of them before the first row.
    pub fn add(&mut self, visit: uuid::Uuid, patient: &Patient, opened_at: jiff::Timestamp) {
        let identity = identity(patient);
        self.visits.push((
            pseudonym(&self.salt, &identity),
            pseudonym(&self.salt, &visit.to_string()),
            visit,
        ));
        let first = self.first_visit.entry(identity).or_insert(opened_at);
        *first = (*first).min(opened_at);
    }

    /// The order in which [`Study::rows`] must be asked for.
    pub fn order(&mut self) -> Vec<uuid::Uuid> {
        self.visits.sort();
        self.visits.iter().map(|(_, _, visit)| *visit).collect()
    }

    /// The names of the columns.
    pub fn head(&self) -> Result<String, ExportError> {
        let head = [
            "animal",
            "visit",
            "days_since_first_visit",
            "species",
            "breed",
            "sex",
            "age_years",
            "weight_kg",
            "what",
            "tooth",
            "kind",
            "place",
            "mm",
            "grade",
            "code",
            "reason",
            "standing",
            "value",
            "unit",
            "anaesthetic_minute",
        ];

        let mut writer = csv::Writer::from_writer(Vec::new());
        put(&mut writer, &head.map(str::to_owned))?;
        finish(writer)
    }

    /// The rows of a visit.
    pub fn rows(&self, record: &Record) -> Result<String, ExportError> {
        let patient = &record.patient;
        let identity = identity(patient);
        let first = self.first_visit.get(&identity).copied();
        let since_first =
            record.opened_at.as_second() - first.unwrap_or(record.opened_at).as_second();
        let animal = pseudonym(&self.salt, &identity);
        let visit = pseudonym(&self.salt, &record.visit.to_string());
        let breed = patient
            .breed
            .as_deref()
            .filter(|_| self.with_breed)
            .unwrap_or_default();
        let mut rows: Vec<Vec<String>> = Vec::new();
        for charted in record.current() {
            let parts = parts(&charted.event);
            // A batch could lead back to the register of one clinic.
            if ["note", "drug_batch"].contains(&parts.what) {
                continue;
            }
            rows.push(vec![
                animal.clone(),
                visit.clone(),
                (since_first / 86_400).to_string(),
                patient.species.word().into(),
                safe(breed),
                patient.sex.map(|sex| key(&sex)).unwrap_or_default(),
                age_years(patient, record.opened_at)
                    .map(|age| age.to_string())
                    .unwrap_or_default(),
                // To the half kilogram: the exact weight would be a fingerprint.
                patient
                    .weight
                    .map(|weight| format!("{:.1}", (weight.kg() * 2.0).round() / 2.0))
                    .unwrap_or_default(),
                parts.what.into(),
                parts.tooth,
                parts.kind,
                parts.place,
                parts.mm,
                parts.grade,
                parts.code,
                parts.reason,
                standing(charted).into(),
                parts.value,
                parts.unit,
                minute(record, charted),
            ]);
        }
        rows.sort();
        let mut writer = csv::Writer::from_writer(Vec::new());
        for row in &rows {
            put(&mut writer, row)?;
        }
        finish(writer)
    }
}

/// The whole table of records that are in memory.
pub fn study(records: &[Record], salt: &[u8; 32], with_breed: bool) -> Result<String, ExportError> {
    let mut study = Study::new(*salt, with_breed);
    for record in records {
        study.add(record.visit, &record.patient, record.opened_at);
    }
    let mut text = study.head()?;
    for visit in study.order() {
        if let Some(record) = records.iter().find(|record| record.visit == visit) {
            text += &study.rows(record)?;
        }
    }
    Ok(text)
}
