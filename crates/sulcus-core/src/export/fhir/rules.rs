//! Rules of a FHIR R4 document bundle that shape validators do not check. Run on each export before it is written.
//! Source: hl7.org/fhir/R4/bundle.sch (bdl-3, 7, 8, 9, 10, 11), ext-1; references inside a document: R4 bundle page,
//! from memory; timestamp not before the composition's date: HL7 clinical documents guide 1.0.1.

use std::collections::{BTreeSet, HashMap};

use serde_json::Value as Json;

/// All breaches, in words; empty where the bundle keeps the rules.
pub fn breaches(bundle: &Json) -> Vec<String> {
    let mut found = Vec::new();
    let empty = Vec::new();
    let entries = bundle["entry"].as_array().unwrap_or(&empty);
    let is_document = bundle["type"] == "document";
    if bundle["resourceType"] != "Bundle" {
        found.push("it is no Bundle".into());
    }
    let first_type = entries
        .first()
        .map(|entry| &entry["resource"]["resourceType"]);
    if is_document {
        document_head(bundle, &mut found);
        if first_type.is_none_or(|first| first != "Composition") {
            found.push("bdl-11: the first entry is no Composition".into());
        }
    }
    let needs_request = matches!(
        bundle["type"].as_str(),
        Some("transaction" | "batch" | "history")
    );
    let mut resources: HashMap<&str, &Json> = HashMap::new();
    for (index, entry) in entries.iter().enumerate() {
        if entry.get("request").is_some() != needs_request {
            found.push(format!(
                "bdl-3: entry {index} has a request and should not, or the reverse"
            ));
        }
        let Some(url) = entry["fullUrl"].as_str() else {
            found.push(format!("entry {index} has no fullUrl"));
            continue;
        };
        if !is_urn_uuid(url) {
            found.push(format!("fullUrl {url} is no lower-case urn:uuid"));
        }
        if url.contains("/_history/") {
            found.push(format!("bdl-8: fullUrl {url} names a version"));
        }
        if resources.insert(url, &entry["resource"]).is_some() {
            found.push(format!("bdl-7: fullUrl {url} stands twice"));
        }
        resource(index, &entry["resource"], &mut found);
    }
    for entry in entries {
        for reference in references(&entry["resource"]) {
            let is_there = match reference.strip_prefix('#') {
                // Of what the resource itself holds.
                Some(id) => entry["resource"]["contained"]
                    .as_array()
                    .is_some_and(|held| held.iter().any(|one| one["id"] == id)),
                None => resources.contains_key(reference),
            };
            if !is_there {
                found.push(format!("reference {reference} leads nowhere"));
            }
        }
    }
    if let (Some(Json::String(kind)), Some(url)) = (
        first_type,
        entries.first().and_then(|e| e["fullUrl"].as_str()),
    ) && kind == "Composition"
    {
        unreachable_resources(url, &resources, &mut found);
    }
    extensions(bundle, "", &mut found);
    found
}

fn document_head(bundle: &Json, found: &mut Vec<String>) {
    let filled = |value: &Json| value.as_str().is_some_and(|text| !text.is_empty());
    if !filled(&bundle["identifier"]["system"]) || !filled(&bundle["identifier"]["value"]) {
        found.push("bdl-9: a document needs an identifier with system and value".into());
    }
    if !filled(&bundle["timestamp"]) {
        found.push("bdl-10: a document needs a timestamp".into());
    }
    let time = |value: &Json| {
        value
            .as_str()
            .and_then(|text| text.parse::<jiff::Timestamp>().ok())
    };
    if let (Some(written), Some(of)) = (
        time(&bundle["timestamp"]),
        time(&bundle["entry"][0]["resource"]["date"]),
    ) && written < of
    {
        found.push("the timestamp lies before the composition's date".into());
    }
}

/// What every resource of ours must have: shape validators differ in catching these.
fn resource(index: usize, resource: &Json, found: &mut Vec<String>) {
    let kind = resource["resourceType"].as_str().unwrap_or_default();
    let needed: &[&str] = match kind {
        "Observation" => &["status", "code", "subject"],
        "Procedure" => &["status", "code", "subject"],
        "MedicationAdministration" => &["status", "subject", "effectiveDateTime"],
        "ServiceRequest" => &["status", "intent", "code", "subject"],
        "CarePlan" => &["status", "intent", "subject"],
        "Communication" => &["status", "subject", "sent"],
        "Specimen" => &["identifier", "subject", "collection"],
        "DiagnosticReport" => &["status", "code", "subject", "conclusion"],
        "Provenance" => &["target", "recorded", "agent"],
        "Composition" => &["status", "type", "date", "author", "title", "subject"],
        "Encounter" => &["status", "class", "subject"],
        "Patient" | "Practitioner" => &["name"],
        "Device" => &["deviceName"],
        _ => {
            found.push(format!(
                "entry {index} is a {kind}, which this program does not write"
            ));
            &[]
        }
    };
    for field in needed {
        if resource.get(field).is_none_or(Json::is_null) {
            found.push(format!("{kind} at entry {index} has no {field}"));
        }
    }
    let medications = ["medicationReference", "medicationCodeableConcept"];
    let named = medications.map(|field| resource.get(field).is_some());
    if kind == "MedicationAdministration" && named != [true, false] && named != [false, true] {
        found.push(format!("{kind} at entry {index} has no medication, or two"));
    }
    if kind == "Observation" {
        value_or_reason(index, resource, resource.get("component").is_some(), found);
        for component in resource["component"].as_array().into_iter().flatten() {
            value_or_reason(index, component, false, found);
        }
    }
}

/// One value, or one reason why there is none; a panel's value stands in its components.
fn value_or_reason(index: usize, of: &Json, has_components: bool, found: &mut Vec<String>) {
    let Some(fields) = of.as_object() else { return };
    let values = fields.keys().filter(|key| key.starts_with("value")).count();
    let reasons = usize::from(fields.contains_key("dataAbsentReason"));
    if has_components && values + reasons == 0 {
        return;
    }
    if values + reasons != 1 {
        found.push(format!(
            "Observation at entry {index} has {values} values and {reasons} reasons for none, not one of them"
        ));
    }
}

fn is_urn_uuid(url: &str) -> bool {
    url.strip_prefix("urn:uuid:").is_some_and(|id| {
        id.parse::<uuid::Uuid>()
            .is_ok_and(|uuid| uuid.hyphenated().to_string() == id)
    })
}

fn references(value: &Json) -> Vec<&str> {
    let mut found = Vec::new();
    collect(value, &mut found);
    return found;

    fn collect<'a>(value: &'a Json, found: &mut Vec<&'a str>) {
        match value {
            Json::Object(fields) => {
                if let Some(Json::String(reference)) = fields.get("reference") {
                    found.push(reference);
                }
                fields.values().for_each(|inner| collect(inner, found));
            }
            Json::Array(items) => items.iter().for_each(|inner| collect(inner, found)),
            _ => {}
        }
    }
}

/// A document holds what its composition reaches, and Provenance of that.
fn unreachable_resources(first: &str, resources: &HashMap<&str, &Json>, found: &mut Vec<String>) {
    let mut reached: BTreeSet<&str> = BTreeSet::new();
    let mut open = vec![first];
    while let Some(url) = open.pop() {
        if let Some(resource) = resources.get(url)
            && reached.insert(url)
        {
            open.extend(references(resource));
        }
    }
    for (url, resource) in resources {
        let is_provenance_of_reached = resource["resourceType"] == "Provenance"
            && resource["target"]
                .as_array()
                .into_iter()
                .flatten()
                .any(|target| {
                    target["reference"]
                        .as_str()
                        .is_some_and(|url| reached.contains(url))
                });
        if !reached.contains(url) && !is_provenance_of_reached {
            found.push(format!(
                "{} {url} is not reached from the composition",
                resource["resourceType"].as_str().unwrap_or("a resource")
            ));
        }
    }
}

/// ext-1: an extension has a value or extensions inside, never both, never none.
fn extensions(value: &Json, path: &str, found: &mut Vec<String>) {
    match value {
        Json::Object(fields) => {
            for extension in fields
                .get("extension")
                .and_then(Json::as_array)
                .into_iter()
                .flatten()
            {
                let has_value = extension
                    .as_object()
                    .is_some_and(|fields| fields.keys().any(|key| key.starts_with("value")));
                let has_inner = extension["extension"]
                    .as_array()
                    .is_some_and(|inner| !inner.is_empty());
                if has_value == has_inner {
                    found.push(format!(
                        "ext-1: an extension at {path} has both or neither of value and extensions"
                    ));
                }
            }
            for (key, inner) in fields {
                extensions(inner, &format!("{path}/{key}"), found);
            }
        }
        Json::Array(items) => {
            for (index, inner) in items.iter().enumerate() {
                extensions(inner, &format!("{path}/{index}"), found);
            }
        }
        _ => {}
    }
}
