//! What the archive holds as FHIR R4 resources, to be read and searched: made from the entries for each answer, never
//! stored.
//!
//! Invariant: reads only; whoever may not export gets nothing; who asked is written down.

use std::collections::HashMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Extension, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use postgres::Transaction;
use serde_json::{Value as Json, json};
use uuid::Uuid;

use super::super::accounts::{Caller, note};
use super::super::{ArchiveError, animals, papers};
use super::Server;
use super::answers::{Secret, with};
use crate::export::fhir;

/// Types that are served, each with what it can be searched by.
const TYPES: [(&str, &[&str]); 12] = [
    ("Patient", &["_id", "name", "identifier"]),
    ("Encounter", &["_id", "patient"]),
    ("Observation", &["patient", "encounter", "code"]),
    ("Procedure", &["patient", "encounter", "code"]),
    ("ServiceRequest", &["patient", "encounter", "code"]),
    (
        "MedicationAdministration",
        &["patient", "encounter", "code"],
    ),
    ("DocumentReference", &["patient", "encounter"]),
    ("Provenance", &["patient", "encounter"]),
    ("CarePlan", &["patient", "encounter"]),
    ("Medication", &["patient", "encounter"]),
    ("Practitioner", &["patient", "encounter"]),
    ("Device", &["patient", "encounter"]),
];
const COUNT: usize = 100;
const COUNT_MAX: usize = 1_000;

pub(super) fn routes() -> Router<Arc<Server>> {
    Router::new()
        .route("/fhir/metadata", get(metadata))
        .route("/fhir/{kind}", get(search))
        .route("/fhir/{kind}/{id}", get(read))
}

fn answer(status: StatusCode, body: &Json) -> Response {
    let text = body.to_string();
    (
        status,
        [(header::CONTENT_TYPE, "application/fhir+json; charset=utf-8")],
        text,
    )
        .into_response()
}

fn outcome(status: StatusCode, code: &str, why: &str) -> Response {
    answer(
        status,
        &json!({
            "resourceType": "OperationOutcome",
            "issue": [{ "severity": "error", "code": code, "diagnostics": why }],
        }),
    )
}

async fn metadata() -> Response {
    let resources: Vec<Json> = TYPES
        .iter()
        .map(|(kind, parameters)| {
            let parameters: Vec<Json> = parameters
                .iter()
                .map(|name| {
                    let of = match *name {
                        "name" => "string",
                        "patient" | "encounter" => "reference",
                        _ => "token",
                    };
                    json!({ "name": name, "type": of })
                })
                .collect();
            json!({
                "type": kind,
                "interaction": [{ "code": "read" }, { "code": "search-type" }],
                "searchParam": parameters,
            })
        })
        .collect();
    answer(
        StatusCode::OK,
        &json!({
            "resourceType": "CapabilityStatement",
            "status": "active",
            "date": "2026-11-27",
            "kind": "instance",
            "software": { "name": "sulcus", "version": env!("CARGO_PKG_VERSION") },
            "implementation": { "description": "A practice's archive of dental records, to be read" },
            "fhirVersion": "4.0.1",
            "format": ["json"],
            "rest": [{ "mode": "server", "resource": resources }],
        }),
    )
}

/// Why something cannot be asked for here.
type Refusal = (StatusCode, String);

/// What is asked for.
#[derive(Debug, Clone)]
struct Asked {
    kind: &'static str,
    parameters: HashMap<String, String>,
}

impl Asked {
    fn of(kind: &str, parameters: HashMap<String, String>) -> Result<Self, Refusal> {
        let Some((kind, known)) = TYPES.iter().find(|(name, _)| *name == kind) else {
            let why = format!("{kind} is not served here; /fhir/metadata lists what is");
            return Err((StatusCode::NOT_FOUND, why));
        };
        let unknown = parameters.keys().find(|name| {
            !known.contains(&name.as_str()) && !["_count", "_offset"].contains(&name.as_str())
        });
        match unknown {
            // Left out silently, more would be found than was asked for.
            Some(name) => {
                let why = format!(
                    "{kind} cannot be searched by {name}; it can by {}",
                    known.join(", ")
                );
                Err((StatusCode::BAD_REQUEST, why))
            }
            None => Ok(Self { kind, parameters }),
        }
    }

    fn get(&self, name: &str) -> Option<&str> {
        self.parameters.get(name).map(String::as_str)
    }

    /// The id of a reference, with or without its type.
    fn id(&self, name: &str) -> Option<Option<Uuid>> {
        let text = self.get(name)?;
        Some(text.rsplit('/').next().and_then(|id| id.parse().ok()))
    }

    fn number(&self, name: &str, most: usize) -> Option<usize> {
        self.get(name)?
            .parse::<usize>()
            .ok()
            .map(|number| number.min(most))
    }

    fn found(&self, mut all: Vec<Json>) -> Json {
        let total = all.len();
        let offset = self.number("_offset", usize::MAX).unwrap_or(0);
        let count = self.number("_count", COUNT_MAX).unwrap_or(COUNT);
        let entries: Vec<Json> = all
            .drain(..)
            .skip(offset)
            .take(count)
            .map(|resource| {
                let url = format!("{}/{}", self.kind, resource["id"].as_str().unwrap_or_default());
                json!({ "fullUrl": format!("https://sulcus.example/fhir/{url}"), "resource": resource, "search": { "mode": "match" } })
            })
            .collect();
        let address = |offset: usize| {
            let mut words: Vec<String> = self
                .parameters
                .iter()
                .filter(|(name, _)| *name != "_offset")
                .map(|(name, value)| format!("{name}={value}"))
                .collect();
            words.sort();
            words.push(format!("_offset={offset}"));
            format!("/fhir/{}?{}", self.kind, words.join("&"))
        };
        let mut links = vec![json!({ "relation": "self", "url": address(offset) })];
        if offset + count < total && count > 0 {
            links.push(json!({ "relation": "next", "url": address(offset + count) }));
        }
        let mut bundle =
            json!({ "resourceType": "Bundle", "type": "searchset", "total": total, "link": links });
        // An empty list is no list in FHIR.
        if !entries.is_empty() {
            bundle["entry"] = Json::Array(entries);
        }
        bundle
    }
}

/// All resources of a visit.
fn of_visit(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    visit: Uuid,
) -> Result<Vec<Json>, ArchiveError> {
    let animal = transaction.query_opt(
        "SELECT sulcus.root(patient) FROM sulcus.visit WHERE clinic = $1 AND id = $2",
        &[&caller.clinic, &visit],
    )?;
    let Some(animal) = animal else {
        return Ok(Vec::new());
    };
    let animal: Uuid = animal.get(0);
    let read = papers::read(transaction, caller.clinic, visit)?;
    Ok(read.map_or_else(Vec::new, |read| {
        let (animal, clinic) = (animal.to_string(), caller.clinic.to_string());
        fhir::resources(&read.record, &read.entries, &animal, &clinic)
    }))
}

/// Visits of an animal, newest first.
fn visits_of(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    animal: Uuid,
) -> Result<Vec<Uuid>, ArchiveError> {
    let lines = transaction.query(
        "SELECT id FROM sulcus.visit WHERE clinic = $1 AND patient IN (SELECT sulcus.same_animal($2))
         ORDER BY opened_at DESC LIMIT 100",
        &[&caller.clinic, &animal],
    )?;
    Ok(lines.iter().map(|line| line.get(0)).collect())
}

/// The animal as its newest visit has it.
fn patient(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    animal: Uuid,
) -> Result<Option<Json>, ArchiveError> {
    let Some(newest) = visits_of(transaction, caller, animal)?.first().copied() else {
        return Ok(None);
    };
    let all = of_visit(transaction, caller, newest)?;
    Ok(all
        .into_iter()
        .find(|resource| resource["resourceType"] == "Patient"))
}

fn patients(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    asked: &Asked,
) -> Result<Vec<Json>, ArchiveError> {
    let mut animals: Vec<Uuid> = match asked.id("_id") {
        Some(id) => id.into_iter().collect(),
        None => {
            let (system, token) = match asked.get("identifier") {
                None => ("", None),
                Some(token) => match token.rsplit_once('|') {
                    Some((system, value)) => (system, Some(value)),
                    None => ("", Some(token)),
                },
            };
            let number_system = fhir::number_system(&caller.clinic.to_string());
            let is_in = |known: &str| system.is_empty() || system == known;
            let words = [asked.get("name"), token]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" ");
            let lines = animals::search(transaction, caller, &words)?;
            let is = |given: Option<&str>, found: Option<&str>| {
                given.is_none_or(|given| {
                    found.is_some_and(|found| {
                        found.to_lowercase().starts_with(&given.to_lowercase())
                    })
                })
            };
            lines
                .iter()
                .filter(|line| is(asked.get("name"), Some(&line.name)))
                .filter(|line| {
                    token.is_none_or(|token| {
                        is_in(&number_system) && line.identifier.as_deref() == Some(token)
                            || is_in(&fhir::chip_system())
                                && line.microchip.as_deref() == Some(token)
                    })
                })
                .map(|line| line.animal)
                .collect()
        }
    };
    animals.dedup();
    let mut found: Vec<Json> = Vec::new();
    for animal in animals {
        if let Some(resource) = patient(transaction, caller, animal)?
            && !found.iter().any(|known| known["id"] == resource["id"])
        {
            found.push(resource);
        }
    }
    Ok(found)
}

/// "code" or "system|code".
fn has_code(resource: &Json, token: &str) -> bool {
    let (system, code) = token.split_once('|').unwrap_or(("", token));
    let code_of = if resource["resourceType"] == "MedicationAdministration" {
        &resource["medicationCodeableConcept"]
    } else {
        &resource["code"]
    };
    code_of["coding"].as_array().is_some_and(|list| {
        list.iter().any(|coding| {
            coding["code"] == code && (system.is_empty() || coding["system"] == system)
        })
    })
}

fn find(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    asked: &Asked,
) -> Result<Vec<Json>, ArchiveError> {
    if asked.kind == "Patient" {
        return patients(transaction, caller, asked);
    }
    let visits = match (
        asked.id("encounter").or(asked.id("_id")),
        asked.id("patient"),
    ) {
        (Some(visit), _) => visit.into_iter().collect(),
        (None, Some(Some(animal))) => visits_of(transaction, caller, animal)?,
        _ => Vec::new(),
    };
    let mut found = Vec::new();
    for visit in visits {
        let all = of_visit(transaction, caller, visit)?;
        found.extend(all.into_iter().filter(|resource| {
            resource["resourceType"] == asked.kind
                && asked
                    .get("code")
                    .is_none_or(|code| has_code(resource, code))
        }));
    }
    // Both given: both hold.
    if let (Some(_), Some(Some(animal))) = (asked.id("encounter"), asked.id("patient")) {
        let own = visits_of(transaction, caller, animal)?;
        found.retain(|resource| {
            let id = resource["id"].as_str().unwrap_or_default();
            own.iter().any(|visit| id.starts_with(&visit.to_string()))
        });
    }
    Ok(found)
}

async fn search(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    Path(kind): Path<String>,
    Query(parameters): Query<HashMap<String, String>>,
) -> Response {
    let asked = match Asked::of(&kind, parameters) {
        Ok(asked) => asked,
        Err((status, why)) => return outcome(status, "not-supported", &why),
    };
    let needs_one = asked.kind != "Patient"
        && ["patient", "encounter", "_id"]
            .iter()
            .all(|name| asked.get(name).is_none());
    if needs_one {
        return outcome(
            StatusCode::BAD_REQUEST,
            "required",
            "say of which patient or encounter: the whole archive is not given at once",
        );
    }
    let wanted = asked.clone();
    with(
        &server,
        secret,
        move |transaction, caller| {
            caller.require("export")?;
            let found = find(transaction, caller, &wanted)?;
            let detail = format!("FHIR {}, {} found", wanted.kind, found.len());
            note(
                transaction,
                "export",
                wanted.id("encounter").flatten(),
                wanted.id("patient").flatten(),
                &detail,
            )?;
            Ok(found)
        },
        |found| answer(StatusCode::OK, &asked.found(found)),
    )
    .await
}

async fn read(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    Path((kind, id)): Path<(String, String)>,
) -> Response {
    let asked = match Asked::of(&kind, HashMap::new()) {
        Ok(asked) => asked,
        Err((status, why)) => return outcome(status, "not-supported", &why),
    };
    with(
        &server,
        secret,
        move |transaction, caller| {
            caller.require("export")?;
            let first = id
                .split('.')
                .next()
                .and_then(|first| first.parse::<Uuid>().ok());
            let Some(first) = first else { return Ok(None) };
            let found = if asked.kind == "Patient" {
                patient(transaction, caller, first)?
            } else {
                let all = of_visit(transaction, caller, first)?;
                all.into_iter().find(|resource| {
                    resource["resourceType"] == asked.kind && resource["id"] == id.as_str()
                })
            };
            note(
                transaction,
                "export",
                None,
                None,
                &format!("FHIR {}/{id}", asked.kind),
            )?;
            Ok(found)
        },
        |found| match found {
            Some(resource) => answer(StatusCode::OK, &resource),
            None => outcome(
                StatusCode::NOT_FOUND,
                "not-found",
                "there is no such resource",
            ),
        },
    )
    .await
}
