//! What was done (Procedure), and what is asked for (ServiceRequest, gathered in a CarePlan).

use serde_json::{Value as Json, json};

use super::{Maker, Placed, codes, told};
use crate::export::project::{self, key};
use crate::record::{Charted, Event, Standing, wording};
use crate::terms::mouth::{MouthChoice, MouthDecision};
use crate::terms::procedure::{Procedure, Treatment};
use crate::terms::{Decision, Place, Subject, ToothNumber};

/// The journal holds no "wanted by": an order is a plan of the vet's.
fn request(code: Json, charted: &Charted, is_done: bool) -> Json {
    json!({
        "resourceType": "ServiceRequest",
        "status": match (is_done, charted.standing) {
            (true, _) => "completed",
            (false, Standing::Confirmed) => "active",
            (false, _) => "draft",
        },
        "intent": "plan",
        "code": code,
        "authoredOn": charted.at.to_string(),
    })
}

impl Maker<'_> {
    /// Everything done, films taken too.
    pub(super) fn procedures(&mut self) -> Vec<Placed> {
        let record = self.record;
        let mut placed = Vec::new();
        for (procedure, charted) in record.procedures() {
            if matches!(
                procedure,
                Procedure::FilmWanted { .. }
                    | Procedure::Temperature { .. }
                    | Procedure::Staged { .. }
                    | Procedure::SecondVisit { .. }
            ) || super::surgery::is_told_here(procedure)
            {
                continue;
            }
            let mut resource = json!({
                "resourceType": "Procedure",
                "identifier": [self.identifier(charted)],
                // Done or not cannot be told of what nobody confirmed.
                "status": if charted.standing == Standing::Confirmed { "completed" } else { "unknown" },
                "code": procedure_code(procedure),
                "performedDateTime": charted.at.to_string(),
                "note": [{ "text": super::clean(&wording::procedure(procedure)) }],
            });
            let teeth = project::teeth_of(procedure);
            if !teeth.is_empty() {
                resource["bodySite"] =
                    Json::Array(teeth.iter().map(|tooth| codes::tooth(*tooth)).collect());
            }
            if record.vet.is_some() {
                resource["performer"] = json!([{ "actor": self.reference("vet") }]);
            }
            if let Procedure::ComplicationTreated { of, how } = procedure {
                resource["reasonReference"] = json!([self.reference(&format!("entry {of}"))]);
                resource["usedCode"] =
                    json!([codes::own("remedy", &codes::hyphens(&key(how)), how.word())]);
            }
            if let Procedure::NerveBlock { drug, .. } = procedure {
                resource["usedCode"] = json!([codes::drug(*drug)]);
            }
            if let Some(tooth) = procedure.tooth()
                && let Some((decision, _, decided)) = record.decision(tooth)
                && fulfils(procedure, decision)
            {
                resource["basedOn"] = json!([self.reference(&format!("entry {}", decided.number))]);
            }
            let line = told(wording::event(&charted.event), &[charted]);
            placed.push(self.place_entry(charted, line, resource));
        }
        placed
    }

    /// Requests of the plan, with the CarePlan that gathers them first; and of films.
    pub(super) fn requests(&mut self) -> (Vec<Placed>, Vec<Placed>) {
        let record = self.record;
        let (mut plan, mut films) = (Vec::new(), Vec::new());
        for charted in record.current() {
            match &charted.event {
                Event::DecisionRecorded {
                    tooth,
                    decision,
                    reason,
                    ..
                } => {
                    let Some(mut resource) = self.decision(*tooth, decision, charted) else {
                        continue;
                    };
                    if let Some(reason) = reason {
                        resource["reasonCode"] = json!([{ "text": wording::reason(*reason) }]);
                    }
                    plan.push(self.request(resource, &[*tooth], charted));
                }
                Event::MouthDecided { what, .. } => {
                    if what.choice == MouthChoice::Leave {
                        continue;
                    }
                    let resource = self.mouth_decision(what, charted);
                    plan.push(self.request(resource, &[], charted));
                }
                Event::ProcedureRecorded {
                    procedure: Procedure::FilmWanted { teeth },
                    ..
                } => {
                    let is_done = self.is_filmed(teeth, charted.number);
                    let resource = request(codes::act("film-wanted"), charted, is_done);
                    films.push(self.request(resource, teeth, charted));
                }
                Event::ProcedureRecorded { procedure, .. } => {
                    plan.extend(self.put_off(procedure, charted));
                }
                _ => {}
            }
        }
        if !plan.is_empty() {
            let activities: Vec<Json> = plan
                .iter()
                .map(|placed| json!({ "reference": { "reference": placed.url } }))
                .collect();
            let resource = json!({
                "resourceType": "CarePlan",
                "status": "active",
                "intent": "plan",
                "title": "Plan for the teeth",
                "activity": activities,
            });
            let care_plan = self.place("care plan", "Plan for the teeth".into(), resource, &[]);
            plan.insert(0, care_plan);
        }
        (plan, films)
    }

    fn mouth_decision(&self, what: &MouthDecision, charted: &Charted) -> Json {
        let record = self.record;
        let is_done = what.choice == MouthChoice::Sample
            && record.procedures().any(|(procedure, done)| {
                done.standing == Standing::Confirmed
                    && matches!(procedure, Procedure::SampleTaken { area, .. } if *area == what.part)
            });
        let code = codes::act(&format!("mouth-{}", what.choice.key()));
        let mut resource = request(code, charted, is_done);
        let place = what.part.map_or_else(
            || "mouth".to_owned(),
            |(area, side)| wording::place(Place::Area(area, side), Subject::Mouth),
        );
        resource["bodySite"] = json!([{ "text": place }]);
        if let Some(reason) = what.reason {
            resource["reasonCode"] = json!([{ "text": wording::reason(reason) }]);
        }
        if let MouthChoice::Monitor { days } = what.choice {
            resource["occurrenceDateTime"] = self.day_after(days).into();
        }
        resource
    }

    fn day_after(&self, days: u16) -> String {
        let opened = self.record.opened_at;
        opened
            .to_zoned_datetime(jiff::tz::TimeZone::UTC)
            .date()
            .saturating_add(jiff::Span::new().days(i64::from(days)))
            .to_string()
    }

    /// Work that is put off, and when it is to be done.
    fn put_off(&mut self, procedure: &Procedure, charted: &Charted) -> Option<Placed> {
        let (code, teeth) = match procedure {
            Procedure::Staged {
                tooth,
                is_later: true,
            } => ("staged", vec![*tooth]),
            Procedure::SecondVisit { .. } => ("second-visit", Vec::new()),
            _ => return None,
        };
        let mut resource = request(codes::act(code), charted, false);
        if let Procedure::SecondVisit { days } = procedure {
            resource["occurrenceDateTime"] = self.day_after(*days).into();
        }
        Some(self.request(resource, &teeth, charted))
    }

    /// None for "leave", which asks for nothing and stands among the findings.
    fn decision(&self, tooth: ToothNumber, decision: &Decision, charted: &Charted) -> Option<Json> {
        let is_done = self.record.procedures().any(|(procedure, done)| {
            procedure.tooth() == Some(tooth)
                && done.standing == Standing::Confirmed
                && fulfils(procedure, decision)
        });
        Some(match decision {
            Decision::Leave => return None,
            Decision::Extract => request(extraction("extract"), charted, is_done),
            Decision::Treat(treatment) => request(codes::treatment(*treatment), charted, is_done),
            Decision::Monitor { months } => {
                let mut resource = request(codes::act("recheck"), charted, false);
                if let Some(months) = months {
                    let day = self
                        .record
                        .opened_at
                        .to_zoned_datetime(jiff::tz::TimeZone::UTC)
                        .date()
                        .saturating_add(jiff::Span::new().months(i64::from(*months)));
                    // To the month: nobody named a day.
                    resource["occurrenceDateTime"] =
                        format!("{:04}-{:02}", day.year(), day.month()).into();
                }
                resource
            }
        })
    }

    fn request(&mut self, mut resource: Json, teeth: &[ToothNumber], charted: &Charted) -> Placed {
        resource["identifier"] = json!([self.identifier(charted)]);
        if !teeth.is_empty() {
            resource["bodySite"] =
                Json::Array(teeth.iter().map(|tooth| codes::tooth(*tooth)).collect());
        }
        if self.record.vet.is_some() {
            resource["requester"] = self.reference("vet");
        }
        let line = told(wording::event(&charted.event), &[charted]);
        self.place_entry(charted, line, resource)
    }

    /// Whether films taken later cover all teeth wanted.
    fn is_filmed(&self, wanted: &[ToothNumber], since: u64) -> bool {
        let taken: Vec<&Vec<ToothNumber>> = self
            .record
            .procedures()
            .filter(|(_, charted)| charted.number > since)
            .filter_map(|(procedure, _)| match procedure {
                Procedure::FilmTaken { teeth, .. } => Some(teeth),
                _ => None,
            })
            .collect();
        let whole_mouth = taken.iter().any(|teeth| teeth.is_empty());
        whole_mouth
            || (!wanted.is_empty()
                && wanted
                    .iter()
                    .all(|tooth| taken.iter().any(|teeth| teeth.contains(tooth))))
    }
}

/// Whether the thing done is what was decided.
fn fulfils(procedure: &Procedure, decision: &Decision) -> bool {
    match (procedure, decision) {
        (Procedure::Extracted { .. }, Decision::Extract) => true,
        (Procedure::CrownRemoved { .. }, Decision::Treat(Treatment::CrownAmputation)) => true,
        (Procedure::GumSurgery { .. }, Decision::Treat(Treatment::GumSurgery)) => true,
        (Procedure::Treated { treatment, .. }, Decision::Treat(decided)) => treatment == decided,
        _ => false,
    }
}

fn extraction(own: &str) -> Json {
    let mut concept = codes::act(own);
    if let Some(codings) = concept["coding"].as_array_mut() {
        codings.push(codes::coding(codes::SNOMED, "55162003", "Tooth extraction"));
    }
    concept
}

fn procedure_code(procedure: &Procedure) -> Json {
    match procedure {
        Procedure::Extracted { .. } => extraction("extracted"),
        Procedure::GumSurgery { .. } => codes::treatment(Treatment::GumSurgery),
        Procedure::Treated { treatment, .. } => codes::treatment(*treatment),
        other => codes::act(&codes::hyphens(&key(other))),
    }
}
