//! Patient, visit, the people and the program.

use serde_json::{Value as Json, json};

use super::{Maker, clean, codes, narrative};
use crate::record::fold::Phase;
use crate::terms::Sex;

/// The system of a patient's number where no clinic is named.
pub(super) fn number_system() -> String {
    format!("{}/patient", codes::BASE)
}

/// The system of microchips: no system is published for the number of a transponder.
pub fn chip_system() -> String {
    format!("{}/microchip", codes::BASE)
}

/// The scope of a clinic that is known by its signing key alone.
pub fn scope_of_key(key: &str) -> &str {
    key.get(..16).unwrap_or(key)
}

impl Maker<'_> {
    /// Patient, Encounter, Practitioners where named, Device; as entries.
    pub(super) fn people(&self) -> Vec<Json> {
        let record = self.record;
        let mut all = vec![
            self.entry("patient", self.patient()),
            self.entry("encounter", self.encounter()),
        ];
        for (role, name) in [("vet", &record.vet), ("nurse", &record.nurse)] {
            if let Some(name) = name {
                let name = clean(name);
                let resource = json!({
                    "resourceType": "Practitioner",
                    "text": narrative(&[format!("{role}: {name}")]),
                    "name": [{ "text": name }],
                });
                all.push(self.entry(role, resource));
            }
        }
        let device = json!({
            "resourceType": "Device",
            "text": narrative(&[concat!("sulcus ", env!("CARGO_PKG_VERSION")).into()]),
            "deviceName": [{ "name": "sulcus", "type": "user-friendly-name" }],
            "version": [{ "value": env!("CARGO_PKG_VERSION") }],
        });
        all.push(self.entry("device", device));
        all
    }

    pub(super) fn authors(&self) -> Json {
        let mut authors = Vec::new();
        if self.record.vet.is_some() {
            authors.push(self.reference("vet"));
        }
        authors.push(self.reference("device"));
        Json::Array(authors)
    }

    fn patient(&self) -> Json {
        let patient = &self.record.patient;
        let mut inner = vec![
            json!({ "url": "species", "valueCodeableConcept": codes::species(patient.species) }),
        ];
        if let Some(breed) = &patient.breed {
            inner.push(json!({ "url": "breed", "valueCodeableConcept": { "text": clean(breed) } }));
        }
        let (gender, status) = match patient.sex {
            Some(Sex::Female) => ("female", Some(("intact", "Intact"))),
            Some(Sex::FemaleNeutered) => ("female", Some(("neutered", "Neutered"))),
            Some(Sex::Male) => ("male", Some(("intact", "Intact"))),
            Some(Sex::MaleNeutered) => ("male", Some(("neutered", "Neutered"))),
            Some(Sex::Unknown) | None => ("unknown", None),
        };
        if let Some((code, display)) = status {
            inner.push(
                json!({ "url": "genderStatus", "valueCodeableConcept": { "coding": [
                codes::coding("http://hl7.org/fhir/animal-genderstatus", code, display)] } }),
            );
        }
        let name = clean(&patient.name);
        let mark = if patient.invented { ", invented" } else { "" };
        let mut resource = json!({
            "resourceType": "Patient",
            "text": narrative(&[format!("{name}, {}{mark}", patient.species.word())]),
            "extension": [{ "url": codes::ANIMAL, "extension": inner }],
            "name": [{ "text": name }],
            "gender": gender,
        });
        let number = patient
            .id
            .as_ref()
            .map(|id| json!({ "system": number_system(), "value": clean(id) }));
        let chip = patient.microchip.as_ref().map(|chip| {
            json!({ "type": { "text": "Microchip (ISO 11784)" },
                "system": chip_system(), "value": chip.as_str() })
        });
        let identifiers: Vec<Json> = number.into_iter().chain(chip).collect();
        if !identifiers.is_empty() {
            resource["identifier"] = Json::Array(identifiers);
        }
        if let Some(born) = patient.born.as_ref().filter(|born| born.days().is_some()) {
            resource["birthDate"] = born.to_string().into();
        }
        if let Some(owner) = &patient.owner {
            resource["contact"] = json!([{
                "relationship": [{ "text": "Owner" }], "name": { "text": clean(owner) } }]);
        }
        resource
    }

    fn encounter(&self) -> Json {
        let record = self.record;
        let participants: Vec<Json> = [("vet", &record.vet), ("nurse", &record.nurse)]
            .into_iter()
            .filter(|(_, name)| name.is_some())
            .map(|(role, _)| json!({ "individual": self.reference(role) }))
            .collect();
        let mut period = json!({ "start": record.opened_at.to_string() });
        if let Some(end) = record.finished_at {
            period["end"] = end.to_string().into();
        }
        let mut resource = json!({
            "resourceType": "Encounter",
            "text": narrative(&["Dental examination and treatment".into()]),
            "status": match record.phase { Phase::Open => "in-progress", Phase::Finished => "finished" },
            "class": codes::coding("http://terminology.hl7.org/CodeSystem/v3-ActCode", "AMB", "ambulatory"),
            "subject": self.reference("patient"),
            "period": period,
        });
        if !participants.is_empty() {
            resource["participant"] = Json::Array(participants);
        }
        resource
    }
}
