//! Findings: one Observation for each tooth and kind, sites and entrances as its components.

use std::collections::BTreeMap;

use serde_json::{Value as Json, json};

use super::{Maker, Placed, clean, codes, told};
use crate::export::json::ToothState;
use crate::export::project;
use crate::record::{Charted, Event, Standing, wording};
use crate::terms::mouth::MouthChoice;
use crate::terms::{
    Decision, Entrance, Finding, Kind, Place, Procedure, Site, Subject, ToothNumber, Value,
};

/// One finding with its value, without status and time.
pub(super) fn single(finding: &Finding) -> Json {
    let mut resource = json!({
        "resourceType": "Observation",
        "category": exam(),
        "code": match (finding.subject, finding.place) {
            (Subject::Tooth(tooth), Place::Site(site)) => codes::kind_at_site(finding.kind, site, tooth),
            (Subject::Tooth(tooth), Place::Entrance(at)) => codes::kind_at_entrance(finding.kind, at, tooth),
            (_, Place::Root(root)) => codes::kind_at_root(finding.kind, root),
            _ => codes::kind(finding.kind),
        },
    });
    match finding.subject {
        Subject::Tooth(tooth) => resource["bodySite"] = codes::tooth(tooth),
        Subject::Mouth => {
            let place = wording::place(finding.place, finding.subject);
            if !place.is_empty() {
                resource["bodySite"] = json!({ "text": place });
            }
        }
    }
    put_value(&mut resource, finding.kind, &finding.value);
    resource
}

fn exam() -> Json {
    json!([{ "coding": [codes::coding(
        "http://terminology.hl7.org/CodeSystem/observation-category", "exam", "Exam")] }])
}

fn put_value(into: &mut Json, kind: Kind, value: &Value) {
    match value {
        Value::Present => into["valueBoolean"] = true.into(),
        Value::Mm(mm) => {
            into["valueQuantity"] =
                json!({ "value": mm, "unit": "mm", "system": codes::UCUM, "code": "mm" });
        }
        Value::Percent(percent) => {
            into["valueQuantity"] =
                json!({ "value": percent, "unit": "%", "system": codes::UCUM, "code": "%" });
        }
        Value::Grade(grade) => into["valueInteger"] = (*grade).into(),
        Value::Code(code) => {
            let own = format!("{}-{code}", codes::hyphens(&kind.key()));
            into["valueCodeableConcept"] = json!({
                "coding": [codes::coding(&codes::system("finding-value"), &own, &own)], "text": code });
        }
    }
}

fn absent(code: &str, display: &str) -> Json {
    json!({ "coding": [codes::coding(codes::DATA_ABSENT, code, display)] })
}

/// Preliminary until confirmed; amended where a confirmed value replaced another.
fn status(of: &[&Charted]) -> &'static str {
    if of
        .iter()
        .any(|charted| charted.standing != Standing::Confirmed)
    {
        "preliminary"
    } else if of.iter().any(|charted| !charted.supersedes.is_empty()) {
        "corrected"
    } else {
        "final"
    }
}

impl Maker<'_> {
    pub(super) fn observations(&mut self) -> Vec<Placed> {
        let record = self.record;
        let mut placed = Vec::new();
        if let Some(weight) = record.patient.weight {
            let resource = json!({
                "resourceType": "Observation",
                "status": "final",
                "code": codes::own("finding", "weight", "body weight"),
                "effectiveDateTime": record.opened_at.to_string(),
                "valueQuantity": { "value": weight.kg(), "unit": "kg", "system": codes::UCUM, "code": "kg" },
            });
            placed.push(self.place(
                "weight",
                format!("weight {} kg", weight.kg()),
                resource,
                &[],
            ));
        }
        for tooth in project::teeth(record) {
            placed.extend(self.of_tooth(tooth));
        }
        let mouth: Vec<_> = record
            .findings()
            .filter(|(finding, _)| finding.subject == Subject::Mouth)
            .collect();
        for (finding, charted) in mouth {
            let line = told(wording::finding(finding), &[charted]);
            let mut resource = single(finding);
            self.finish(&mut resource, &[charted]);
            placed.push(self.place_entry(charted, line, resource));
        }
        placed.extend(self.words_and_temperatures());
        placed
    }

    fn finish(&self, resource: &mut Json, of: &[&Charted]) {
        let identifiers: Vec<Json> = of.iter().map(|charted| self.identifier(charted)).collect();
        resource["identifier"] = Json::Array(identifiers);
        resource["status"] = status(of).into();
        if let Some(at) = of.iter().map(|charted| charted.at).max() {
            resource["effectiveDateTime"] = at.to_string().into();
        }
        if self.record.vet.is_some() {
            resource["performer"] = json!([self.reference("vet")]);
        }
    }

    fn of_tooth(&mut self, tooth: ToothNumber) -> Vec<Placed> {
        let record = self.record;
        let mut groups: BTreeMap<Kind, Vec<(&Finding, &Charted)>> = BTreeMap::new();
        for (finding, charted) in record.findings_of(tooth) {
            groups
                .entry(finding.kind)
                .or_default()
                .push((finding, charted));
        }
        let mut placed = Vec::new();
        if groups.is_empty() && project::state(record, tooth) == ToothState::NotExamined {
            let resource = json!({
                "resourceType": "Observation",
                "status": "final",
                "category": exam(),
                "code": codes::own("finding", "examination", "examination of a tooth"),
                "bodySite": codes::tooth(tooth),
                "effectiveDateTime": record.opened_at.to_string(),
                "dataAbsentReason": absent("not-performed", "Not Performed"),
            });
            let line = format!("{tooth}: not examined");
            placed.push(self.place(&format!("not examined {tooth}"), line, resource, &[]));
        }
        for (kind, group) in groups {
            placed.push(self.of_kind(tooth, kind, &group));
        }
        placed
    }

    fn of_kind(
        &mut self,
        tooth: ToothNumber,
        kind: Kind,
        group: &[(&Finding, &Charted)],
    ) -> Placed {
        let of: Vec<&Charted> = group.iter().map(|(_, charted)| *charted).collect();
        let words: Vec<String> = group
            .iter()
            .map(|(finding, _)| wording::finding(finding))
            .collect();
        let line = told(format!("{tooth}: {}", words.join("; ")), &of);
        let mut resource = json!({
            "resourceType": "Observation",
            "category": exam(),
            "code": codes::kind(kind),
            "bodySite": codes::tooth(tooth),
        });
        let mut components = Vec::new();
        for (finding, _) in group {
            match finding.place {
                Place::Whole | Place::Area(..) => put_value(&mut resource, kind, &finding.value),
                Place::Site(site) => {
                    let mut component = site_component(kind, site, tooth);
                    put_value(&mut component, kind, &finding.value);
                    components.push(component);
                }
                Place::Root(root) => {
                    let mut component = json!({ "code": codes::kind_at_root(kind, root) });
                    put_value(&mut component, kind, &finding.value);
                    components.push(component);
                }
                Place::Entrance(entrance) => {
                    let mut component = entrance_component(kind, entrance, tooth);
                    put_value(&mut component, kind, &finding.value);
                    components.push(component);
                }
            }
        }
        if kind == Kind::Depth {
            for site in Site::ALL {
                if !group
                    .iter()
                    .any(|(finding, _)| finding.place == Place::Site(site))
                {
                    let mut component = site_component(kind, site, tooth);
                    component["dataAbsentReason"] = absent("not-performed", "Not Performed");
                    components.push(component);
                }
            }
        }
        if !components.is_empty() {
            resource["component"] = Json::Array(components);
        }
        self.finish(&mut resource, &of);
        self.place(&format!("{} of {tooth}", kind.key()), line, resource, &of)
    }

    /// Notes, decisions to leave a tooth (which ask for nothing), and temperatures.
    fn words_and_temperatures(&mut self) -> Vec<Placed> {
        let record = self.record;
        let mut placed = Vec::new();
        for charted in record.current() {
            let mut resource = match &charted.event {
                Event::NoteRecorded { text, .. } => json!({
                    "code": codes::own("finding", "note", "note in words, unverified"),
                    "valueString": clean(text),
                }),
                Event::DecisionRecorded {
                    decision: Decision::Leave,
                    ..
                } => json!({
                    "code": codes::own("finding", "decision", "decision for a tooth"),
                    "valueCodeableConcept": codes::act("leave"),
                }),
                Event::MouthDecided { what, .. } if what.choice == MouthChoice::Leave => json!({
                    "code": codes::own("finding", "decision", "decision for a tooth"),
                    "valueCodeableConcept": codes::act("mouth-leave"),
                    "bodySite": { "text": clean(&wording::mouth_decision(what)) },
                }),
                Event::ProcedureRecorded {
                    procedure: Procedure::Temperature { celsius_tenths },
                    ..
                } => json!({
                    "code": codes::own("finding", "temperature", "body temperature"),
                    "valueQuantity": {
                        "value": f64::from(*celsius_tenths) / 10.0, "unit": "°C", "system": codes::UCUM, "code": "Cel" },
                }),
                _ => continue,
            };
            resource["resourceType"] = "Observation".into();
            if let Some(tooth) = charted.event.tooth() {
                resource["bodySite"] = codes::tooth(tooth);
            }
            self.finish(&mut resource, &[charted]);
            let line = told(wording::event(&charted.event), &[charted]);
            placed.push(self.place_entry(charted, line, resource));
        }
        placed
    }
}

/// Components have no body site: the site rides in the code, and in an extension for those who look for it.
fn site_component(kind: Kind, site: Site, tooth: ToothNumber) -> Json {
    json!({
        "extension": [{
            "url": format!("{}/StructureDefinition/probing-site", codes::BASE),
            "valueCodeableConcept": codes::site(site, tooth),
        }],
        "code": codes::kind_at_site(kind, site, tooth),
    })
}

fn entrance_component(kind: Kind, entrance: Entrance, tooth: ToothNumber) -> Json {
    json!({ "code": codes::kind_at_entrance(kind, entrance, tooth) })
}
