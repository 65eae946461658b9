//! The same resources as in the document, one by one: as a transaction for a server that is to hold them searchable,
//! and with addresses of their own for one that is read.
//!
//! Invariants: a transaction sent twice creates nothing twice; every reference leads to a resource that came with it.

use std::collections::HashMap;

use serde_json::{Value as Json, json};
use uuid::Uuid;

use super::people::{self, scope_of_key};
use super::{bundle, codes};
use crate::record::{Entry, Record};

/// Left out where resources go one by one: the document's own head, and what has no identifier in R4 by which a server
/// could tell that it has it already.
const OF_THE_DOCUMENT: [&str; 2] = ["Composition", "Provenance"];

/// A transaction of conditional creates. `scope` keeps the animals of different clinics apart: identifiers of patients
/// are made with it.
pub fn transaction(record: &Record, entries: &[Entry], scope: &str) -> Json {
    let mut whole = bundle(record, entries);
    scope_numbers(&mut whole, scope_of_key(scope));
    let list = whole["entry"].as_array().cloned().unwrap_or_default();
    let all: Vec<Json> = list
        .into_iter()
        .filter_map(|mut entry| {
            let kind = kind(&entry["resource"]);
            if OF_THE_DOCUMENT.contains(&kind.as_str()) {
                return None;
            }
            let value = match kind.as_str() {
                "Patient" => patient_key(record, scope).to_string(),
                _ => uuid_of(&entry["fullUrl"])?.to_string(),
            };
            let system = format!("{}/resource", codes::BASE);
            let identifier = json!({ "system": system, "value": value });
            let resource = &mut entry["resource"];
            match &mut resource["identifier"] {
                Json::Array(list) => list.push(identifier),
                none => *none = json!([identifier]),
            }
            entry["request"] = json!({
                "method": "POST",
                "url": kind,
                "ifNoneExist": format!("identifier={system}|{value}"),
            });
            Some(entry)
        })
        .collect();
    json!({ "resourceType": "Bundle", "type": "transaction", "entry": all })
}

/// The animal in the scope of a clinic: by number or microchip, species and name, else the visit's own.
fn patient_key(record: &Record, scope: &str) -> Uuid {
    let patient = &record.patient;
    let (species, name) = (patient.species.word(), &patient.name);
    let of = match (&patient.id, &patient.microchip) {
        (Some(id), _) => format!("{scope}\n{species}\n{name}\n{id}").to_lowercase(),
        (None, Some(chip)) => format!("{scope}\n{species}\n{name}\nchip {chip}").to_lowercase(),
        (None, None) => format!("{scope}\n{}", record.visit),
    };
    Uuid::new_v5(&Uuid::NAMESPACE_URL, of.as_bytes())
}

/// The resources of a visit with ids of their own, all references written as TYPE/ID. `patient` is the id that the
/// animal has at this server, `scope` the clinic.
pub fn resources(record: &Record, entries: &[Entry], patient: &str, scope: &str) -> Vec<Json> {
    let mut whole = bundle(record, entries);
    scope_numbers(&mut whole, scope);
    let list = whole["entry"].as_array().cloned().unwrap_or_default();
    let mut places = HashMap::new();
    let mut all = Vec::new();
    for entry in list {
        let mut resource = entry["resource"].clone();
        let kind = kind(&resource);
        let Some(uuid) = uuid_of(&entry["fullUrl"]) else {
            continue;
        };
        if kind == "Composition" {
            continue;
        }
        let id = match kind.as_str() {
            "Patient" => patient.to_owned(),
            "Encounter" => record.visit.to_string(),
            _ => format!("{}.{}", record.visit, &uuid.simple().to_string()[..26]),
        };
        places.insert(format!("urn:uuid:{uuid}"), format!("{kind}/{id}"));
        resource["id"] = id.into();
        all.push(resource);
    }
    for resource in &mut all {
        lead(resource, &places);
    }
    all.push(document(record, patient));
    all
}

/// The system of the patient numbers of a clinic: the same number at another clinic is another animal.
pub fn number_system(scope: &str) -> String {
    format!("{}/{scope}", people::number_system())
}

/// Puts the numbers of the patient in a bundle into the scope of a clinic. A microchip is the same everywhere.
pub(super) fn scope_numbers(bundle: &mut Json, scope: &str) {
    let entries = bundle["entry"].as_array_mut().into_iter().flatten();
    for entry in entries.filter(|entry| entry["resource"]["resourceType"] == "Patient") {
        let identifiers = entry["resource"]["identifier"].as_array_mut();
        for identifier in identifiers.into_iter().flatten() {
            if identifier["system"] == people::number_system() {
                identifier["system"] = number_system(scope).into();
            }
        }
    }
}

/// The visit as a whole, for whoever wants it as it was signed.
fn document(record: &Record, patient: &str) -> Json {
    let visit = record.visit;
    let attachment = |kind: &str, file: &str| json!({ "attachment": { "contentType": kind, "url": format!("/v1/visits/{visit}/{file}") } });
    let status = if record.addenda.is_empty() && record.reopenings.is_empty() {
        "final"
    } else {
        "amended"
    };
    json!({
        "resourceType": "DocumentReference",
        "id": format!("{visit}.document"),
        "status": "current",
        "docStatus": if record.finished_at.is_some() { status } else { "preliminary" },
        "type": codes::own("document", "dental-record", "Veterinary dental record"),
        "subject": { "reference": format!("Patient/{patient}") },
        "date": record.finished_at.unwrap_or(record.opened_at).to_string(),
        "content": [
            attachment("application/fhir+json", "record.fhir.json"),
            attachment("application/pdf", "report.pdf"),
        ],
        "context": { "encounter": [{ "reference": format!("Encounter/{visit}") }] },
    })
}

fn kind(resource: &Json) -> String {
    resource["resourceType"]
        .as_str()
        .unwrap_or_default()
        .to_owned()
}

fn uuid_of(url: &Json) -> Option<Uuid> {
    url.as_str()?.strip_prefix("urn:uuid:")?.parse().ok()
}

/// Writes references to resources of this visit as addresses.
fn lead(value: &mut Json, places: &HashMap<String, String>) {
    match value {
        Json::Object(fields) => {
            for (name, field) in fields {
                match field {
                    Json::String(text) if name == "reference" => {
                        if let Some(place) = places.get(text) {
                            text.clone_from(place);
                        }
                    }
                    _ => lead(field, places),
                }
            }
        }
        Json::Array(list) => list.iter_mut().for_each(|one| lead(one, places)),
        _ => {}
    }
}
