//! Complications (Observation), that the owner was told (Communication), samples (Specimen) and their results
//! (DiagnosticReport). How a sample was taken stays a Procedure.

use serde_json::{Value as Json, json};

use super::anaesthetic::CodeSystem;
use super::{Maker, Placed, clean, codes, told};
use crate::export::project::key;
use crate::record::{Charted, Standing, surgery, wording};
use crate::terms::surgery::{Complication, Remedy, SampleKind};
use crate::terms::{Procedure, ToothNumber};

/// What is told here and by no Procedure.
pub(super) fn is_told_here(procedure: &Procedure) -> bool {
    matches!(
        procedure,
        Procedure::Complication { .. }
            | Procedure::OwnerTold { .. }
            | Procedure::OwnerAsked { .. }
            | Procedure::ResultRead { .. }
    )
}

fn status(charted: &Charted) -> &'static str {
    if charted.standing == Standing::Confirmed {
        "final"
    } else {
        "preliminary"
    }
}

impl Maker<'_> {
    pub(super) fn surgery(&mut self) -> Vec<Placed> {
        let record = self.record;
        let mut placed = Vec::new();
        for (procedure, charted) in record.procedures() {
            match procedure {
                Procedure::Complication {
                    what,
                    tooth,
                    size_mm,
                } => placed.push(self.complication(*what, *tooth, *size_mm, charted)),
                Procedure::OwnerTold { of, .. } => {
                    let about: Vec<Json> = of
                        .iter()
                        .map(|entry| self.reference(&format!("entry {entry}")))
                        .collect();
                    placed.push(self.communication("owner-told", about, charted));
                }
                Procedure::OwnerAsked { .. } => {
                    placed.push(self.communication("owner-asked", Vec::new(), charted));
                }
                Procedure::SampleTaken { .. } => placed.extend(self.specimen(charted)),
                Procedure::ResultRead { pot, text } => {
                    placed.push(self.result(*pot, text, charted));
                }
                _ => {}
            }
        }
        placed
    }

    fn complication(
        &mut self,
        what: Complication,
        tooth: Option<ToothNumber>,
        size_mm: Option<u8>,
        charted: &Charted,
    ) -> Placed {
        let code = codes::hyphens(&key(&what));
        let mut resource = json!({
            "resourceType": "Observation",
            "identifier": [self.identifier(charted)],
            "status": status(charted),
            "code": codes::act("complication"),
            "effectiveDateTime": charted.at.to_string(),
            "valueCodeableConcept": codes::own("complication", &code, what.word()),
        });
        if let Some(tooth) = tooth {
            resource["bodySite"] = codes::tooth(tooth);
        }
        if let Some(mm) = size_mm {
            resource["component"] = json!([{
                "code": codes::own("finding", "size", "size"),
                "valueQuantity": { "value": mm, "unit": "mm", "system": codes::UCUM, "code": "mm" },
            }]);
        }
        let line = told(wording::event(&charted.event), &[charted]);
        self.place_entry(charted, line, resource)
    }

    fn communication(&mut self, topic: &str, about: Vec<Json>, charted: &Charted) -> Placed {
        let line = told(wording::event(&charted.event), &[charted]);
        let mut resource = json!({
            "resourceType": "Communication",
            "identifier": [self.identifier(charted)],
            "status": if charted.standing == Standing::Confirmed { "completed" } else { "unknown" },
            "topic": codes::act(topic),
            "sent": charted.at.to_string(),
            "payload": [{ "contentString": clean(&line) }],
        });
        if !about.is_empty() {
            resource["about"] = Json::Array(about);
        }
        self.place_entry(charted, line, resource)
    }

    fn specimen(&mut self, charted: &Charted) -> Option<Placed> {
        let record = self.record;
        let samples = surgery::samples(record);
        let sample = samples
            .iter()
            .find(|sample| sample.charted.number == charted.number)?;
        let mut collection = json!({
            "collectedDateTime": charted.at.to_string(),
            "bodySite": { "text": clean(&sample.place) },
        });
        if let Some(kind) = sample.kind {
            collection["method"] = codes::own("sample-kind", &key(&kind), kind.word());
        }
        if record.vet.is_some() {
            collection["collector"] = self.reference("vet");
        }
        let resource = json!({
            "resourceType": "Specimen",
            "identifier": [self.identifier(charted)],
            "status": "available",
            "collection": collection,
            "container": [{ "description": format!("pot {}", sample.pot) }],
        });
        let line = told(
            format!("specimen, pot {}, {}", sample.pot, sample.place),
            &[charted],
        );
        Some(self.place(&format!("pot {}", sample.pot), line, resource, &[charted]))
    }

    fn result(&mut self, pot: u8, text: &str, charted: &Charted) -> Placed {
        let resource = json!({
            "resourceType": "DiagnosticReport",
            "identifier": [self.identifier(charted)],
            "status": status(charted),
            "code": codes::act("result-read"),
            "effectiveDateTime": charted.at.to_string(),
            "specimen": [self.reference(&format!("pot {pot}"))],
            "conclusion": clean(text),
        });
        let line = told(wording::event(&charted.event), &[charted]);
        self.place_entry(charted, line, resource)
    }
}

/// Own code systems of surgery.
pub(super) fn systems() -> [CodeSystem; 3] {
    let of = |code: String, word: &str| (codes::hyphens(&code), word.to_owned());
    [
        (
            "complication",
            "Complications",
            Complication::ALL
                .iter()
                .map(|of_| of(key(of_), of_.word()))
                .collect(),
        ),
        (
            "remedy",
            "What was done about a complication",
            Remedy::ALL
                .iter()
                .map(|of_| of(key(of_), of_.word()))
                .collect(),
        ),
        (
            "sample-kind",
            "How a sample is taken",
            SampleKind::ALL
                .iter()
                .map(|of_| of(key(of_), of_.word()))
                .collect(),
        ),
    ]
}
