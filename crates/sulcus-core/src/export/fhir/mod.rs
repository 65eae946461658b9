//! A visit as a FHIR R4 (4.0.1) document bundle: a projection for other systems; the own JSON stays the source.
//! No conformance to any profile is claimed.
//!
//! Invariants: the same record gives the same bytes; what was not read is said to be absent and why, never left
//! out and never zero; planned things are requests, done things are procedures; nobody is said to have signed.

mod acts;
mod anaesthetic;
mod codes;
mod exchange;
mod observations;
mod people;
pub mod rules;
mod surgery;

use serde_json::{Value as Json, json};
use uuid::Uuid;

pub use codes::code_systems;
pub use exchange::{number_system, resources, transaction};
pub use people::{chip_system, scope_of_key};

use super::ExportError;
use super::json::Signature;
use crate::record::fold::Phase;
use crate::record::{Charted, Entry, Event, Record, Speaker, Standing, wording};

/// The bundle as text, with what the clinic signed; refused where it would break a rule of documents. The clinic's
/// numbers of patients are its own: the key of its signatures tells whose they are. Where nothing is signed nobody is
/// named.
pub fn write(
    record: &Record,
    entries: &[Entry],
    signatures: &[Signature],
) -> Result<String, ExportError> {
    let mut bundle = bundle(record, entries);
    if let Some(newest) = signatures.last() {
        exchange::scope_numbers(&mut bundle, people::scope_of_key(&newest.key));
    }
    sign(&mut bundle, record, signatures);
    let breaches = rules::breaches(&bundle);
    if !breaches.is_empty() {
        return Err(ExportError::Breaches {
            what: "FHIR document",
            visit: record.visit,
            breaches: breaches.join("; "),
        });
    }
    Ok(serde_json::to_string_pretty(&bundle)? + "\n")
}

pub fn bundle(record: &Record, entries: &[Entry]) -> Json {
    let mut maker = Maker {
        record,
        resources: Vec::new(),
        provenances: Vec::new(),
    };
    let findings = maker.observations();
    let withdrawn = maker.withdrawn();
    let done = maker.procedures();
    let surgery = maker.surgery();
    let vital_signs = maker.vital_signs();
    let drugs = maker.drugs_given();
    let course = maker.course_of_anaesthetic();
    let (plan, films) = maker.requests();
    let people = maker.people();
    let written_at = entries.last().map_or(record.opened_at, |entry| entry.at);
    let mut sections = vec![
        maker.section("Findings", &findings),
        maker.section("Treatment done", &done),
        maker.section("Plan", &plan),
        maker.section("Radiographs", &films),
        maker.section("Withdrawn entries", &withdrawn),
    ];
    // Without an anaesthetic record nothing is said of it, which is not the same as none.
    for (title, placed) in [
        ("Complications, samples and consent", &surgery),
        ("Anaesthetic: vital signs", &vital_signs),
        ("Anaesthetic: drugs", &drugs),
        ("Anaesthetic: course", &course),
    ] {
        if !placed.is_empty() {
            sections.push(maker.section(title, placed));
        }
    }
    for (title, remarks) in [
        ("Addenda", &record.addenda),
        ("Reopened", &record.reopenings),
    ] {
        if !remarks.is_empty() {
            let lines: Vec<String> = remarks
                .iter()
                .map(|(at, text)| format!("{at}: {text}"))
                .collect();
            sections.push(json!({ "title": title, "text": narrative(&lines) }));
        }
    }
    let composition = json!({
        "resourceType": "Composition",
        "text": narrative(&[format!("Dental record, visit {}", record.visit)]),
        "identifier": urn_identifier(record.visit),
        "status": composition_status(record),
        "type": codes::own("document", "dental-record", "Veterinary dental record"),
        "subject": maker.reference("patient"),
        "encounter": maker.reference("encounter"),
        "date": written_at.to_string(),
        "author": maker.authors(),
        "title": if record.patient.invented { "Dental record (invented, for demonstration)" } else { "Dental record" },
        "section": sections,
    });
    let mut composition = composition;
    let attesters: Vec<Json> = record
        .signings
        .iter()
        .map(|signing| {
            json!({
                "mode": "professional",
                "time": signing.at.to_string(),
                "party": { "display": clean(&signing.name) },
            })
        })
        .collect();
    if !attesters.is_empty() {
        composition["attester"] = Json::Array(attesters);
    }
    let mut all = vec![maker.entry("composition", composition)];
    all.extend(people);
    all.append(&mut maker.resources);
    all.append(&mut maker.provenances);
    json!({
        "resourceType": "Bundle",
        // A document never changes: more entries make another document of the same visit.
        "identifier": urn_identifier(Uuid::new_v5(&record.visit, record.last_hash.as_bytes())),
        "type": "document",
        "timestamp": written_at.to_string(),
        "entry": all,
    })
}

/// Adds the signed heads of the journal that the document was made from. They are no signature of the document, so
/// `Bundle.signature`, which would be one, stays empty: an extension of the composition holds them.
fn sign(bundle: &mut Json, record: &Record, signatures: &[Signature]) {
    let extensions: Vec<Json> = signatures
        .iter()
        .map(|signed| {
            let part = |url: &str, kind: &str, value: Json| {
                let mut part = json!({ "url": url });
                part[kind] = value;
                part
            };
            json!({
                "url": format!("{}/StructureDefinition/signed-head", codes::BASE),
                "extension": [
                    part("visit", "valueString", record.visit.to_string().into()),
                    part("number", "valuePositiveInt", signed.number.into()),
                    part("hash", "valueString", signed.hash.as_str().into()),
                    part("at", "valueString", signed.at.as_str().into()),
                    part("occasion", "valueString", signed.occasion.as_str().into()),
                    part("key", "valueString", signed.key.as_str().into()),
                    part("signature", "valueString", signed.signature.as_str().into()),
                ],
            })
        })
        .collect();
    if !extensions.is_empty() {
        bundle["entry"][0]["resource"]["extension"] = Json::Array(extensions);
    }
}

fn composition_status(record: &Record) -> &'static str {
    match record.phase {
        Phase::Open => "preliminary",
        Phase::Finished if record.addenda.is_empty() && record.reopenings.is_empty() => "final",
        Phase::Finished => "amended",
    }
}

fn urn_identifier(uuid: Uuid) -> Json {
    json!({ "system": "urn:ietf:rfc:3986", "value": format!("urn:uuid:{uuid}") })
}

/// FHIR strings hold no control characters and are never blank.
fn clean(text: &str) -> String {
    let text: String = text
        .chars()
        .map(|c| {
            if c.is_control() || c.is_whitespace() || matches!(c, '\u{fffe}' | '\u{ffff}') {
                ' '
            } else {
                c
            }
        })
        .collect();
    match text.trim() {
        "" => "(blank)".into(),
        text => text.into(),
    }
}

fn narrative(lines: &[String]) -> Json {
    let paragraphs: String = lines
        .iter()
        .map(|line| {
            let line = clean(line)
                .replace('&', "&amp;")
                .replace('<', "&lt;")
                .replace('>', "&gt;")
                .replace('"', "&quot;");
            format!("<p>{line}</p>")
        })
        .collect();
    json!({
        "status": "generated",
        "div": format!("<div xmlns=\"http://www.w3.org/1999/xhtml\">{paragraphs}</div>"),
    })
}

/// A resource already in the bundle: where it is and one line that tells it.
struct Placed {
    url: String,
    line: String,
}

struct Maker<'a> {
    record: &'a Record,
    resources: Vec<Json>,
    provenances: Vec<Json>,
}

impl Maker<'_> {
    /// The same thing of the same visit has the same address in each export.
    fn url(&self, name: &str) -> String {
        format!(
            "urn:uuid:{}",
            Uuid::new_v5(&self.record.visit, name.as_bytes())
        )
    }

    fn reference(&self, name: &str) -> Json {
        json!({ "reference": self.url(name) })
    }

    fn entry(&self, name: &str, resource: Json) -> Json {
        json!({ "fullUrl": self.url(name), "resource": resource })
    }

    /// Adds a resource with what all have in common, and the Provenance of the entries it was made from.
    fn place(&mut self, name: &str, line: String, mut resource: Json, of: &[&Charted]) -> Placed {
        resource["text"] = narrative(std::slice::from_ref(&line));
        resource["subject"] = self.reference("patient");
        if resource["resourceType"] == "MedicationAdministration" {
            resource["context"] = self.reference("encounter");
        } else if resource["resourceType"] == "Specimen" {
            // Has no encounter.
        } else if resource["resourceType"] != "CarePlan" || !of.is_empty() {
            resource["encounter"] = self.reference("encounter");
        }
        let entry = self.entry(name, resource);
        self.resources.push(entry);
        if !of.is_empty() {
            let provenance = self.provenance(name, of);
            self.provenances.push(provenance);
        }
        Placed {
            url: self.url(name),
            line,
        }
    }

    /// The same for what one entry alone says.
    fn place_entry(&mut self, charted: &Charted, line: String, resource: Json) -> Placed {
        self.place(
            &format!("entry {}", charted.number),
            line,
            resource,
            &[charted],
        )
    }

    fn identifier(&self, charted: &Charted) -> Json {
        json!({
            "system": format!("{}/entry", codes::BASE),
            "value": format!("{}/{}", self.record.visit, charted.number),
        })
    }

    /// Who said it, who confirmed it, what recorded it. A speaker who is not known is not guessed.
    fn provenance(&self, name: &str, of: &[&Charted]) -> Json {
        let who = |speaker: Speaker| match speaker {
            Speaker::Vet if self.record.vet.is_some() => self.reference("vet"),
            Speaker::Nurse if self.record.nurse.is_some() => self.reference("nurse"),
            Speaker::Vet => json!({ "display": "vet, name not recorded" }),
            Speaker::Nurse => json!({ "display": "nurse, name not recorded" }),
            Speaker::Unknown => json!({ "display": "speaker not identified" }),
        };
        let role = |code: &str, display: &str, who: Json| {
            json!({
                "type": { "coding": [codes::coding(
                    "http://terminology.hl7.org/CodeSystem/provenance-participant-type", code, display)] },
                "who": who,
            })
        };
        let mut agents = Vec::new();
        let mut add = |agent: Json| {
            if !agents.contains(&agent) {
                agents.push(agent);
            }
        };
        for charted in of {
            let speaker = charted
                .heard
                .as_ref()
                .map_or(Speaker::Unknown, |heard| heard.speaker);
            add(role("author", "Author", who(speaker)));
        }
        for charted in of {
            if let Some(heard) = &charted.confirmed_by {
                add(role("verifier", "Verifier", who(heard.speaker)));
            }
        }
        add(role("assembler", "Assembler", self.reference("device")));
        let newest = of.iter().map(|charted| charted.at).max();
        let recorded = newest.unwrap_or(self.record.opened_at).to_string();
        let withdrawn = of.iter().any(|charted| charted.retracted.is_some());
        let replaced: Vec<u64> = of
            .iter()
            .flat_map(|charted| charted.supersedes.iter().copied())
            .collect();
        let (code, display) = match (withdrawn, replaced.is_empty()) {
            (true, _) => ("NULLIFY", "nullify"),
            (false, false) => ("UPDATE", "revise"),
            (false, true) => ("CREATE", "create"),
        };
        let mut provenance = json!({
            "resourceType": "Provenance",
            "target": [self.reference(name)],
            "recorded": recorded,
            "activity": { "coding": [codes::coding(
                "http://terminology.hl7.org/CodeSystem/v3-DataOperation", code, display)] },
            "agent": agents,
        });
        if !replaced.is_empty() {
            let entities: Vec<Json> = replaced
                .iter()
                .map(|number| {
                    json!({ "role": "revision", "what": { "identifier": {
                        "system": format!("{}/entry", codes::BASE),
                        "value": format!("{}/{number}", self.record.visit),
                    } } })
                })
                .collect();
            provenance["entity"] = Json::Array(entities);
        }
        self.entry(&format!("provenance of {name}"), provenance)
    }

    fn section(&self, title: &str, placed: &[Placed]) -> Json {
        if placed.is_empty() {
            return json!({
                "title": title,
                "text": narrative(&["none recorded".into()]),
                "emptyReason": { "coding": [codes::coding(
                    "http://terminology.hl7.org/CodeSystem/list-empty-reason", "unavailable", "Unavailable")] },
            });
        }
        let lines: Vec<String> = placed.iter().map(|placed| placed.line.clone()).collect();
        let entries: Vec<Json> = placed
            .iter()
            .map(|placed| json!({ "reference": placed.url }))
            .collect();
        json!({ "title": title, "text": narrative(&lines), "entry": entries })
    }

    /// Findings that were entered and withdrawn: told, so that nobody who saw them earlier believes them.
    fn withdrawn(&mut self) -> Vec<Placed> {
        let record = self.record;
        record
            .all()
            .filter(|charted| charted.retracted.is_some())
            .filter_map(|charted| match (&charted.event, charted.retracted) {
                (Event::FindingRecorded { finding, .. }, Some(why)) => {
                    Some((finding, charted, wording::retraction(why)))
                }
                _ => None,
            })
            .map(|(finding, charted, why)| {
                let mut resource = observations::single(finding);
                resource["identifier"] = json!([self.identifier(charted)]);
                resource["status"] = "entered-in-error".into();
                resource["effectiveDateTime"] = charted.at.to_string().into();
                let line = format!("withdrawn ({why}): {}", wording::event(&charted.event));
                self.place(
                    &format!("withdrawn {}", charted.number),
                    line,
                    resource,
                    &[charted],
                )
            })
            .collect()
    }
}

/// Marks in words what nobody confirmed.
fn told(line: String, of: &[&Charted]) -> String {
    if of
        .iter()
        .all(|charted| charted.standing == Standing::Confirmed)
    {
        line
    } else {
        format!("{line} (unconfirmed)")
    }
}
