//! From chart to plan: what follows from the examination, worked out from the record by rules that are data.
//!
//! Does no input or output and knows no clock: the record, the clinic's past visits and its settings come in, the
//! plan goes out. Chooses no treatment: it shows published guidance with its source beside the vet's decision, and
//! asks where they differ or something is lacking.
//! Invariant: every statement that is more than the chart repeated carries the key of its rule and the rule's source.

pub mod afterwards;
pub mod anaesthetic;
pub mod attachment;
pub mod checks;
mod condition;
pub mod facts;
pub mod films;
mod jobs;
pub mod layout;
pub mod lesions;
pub mod mouth;
pub mod order;
pub mod progress;
#[cfg(test)]
mod record_invariants;
pub mod rules;
pub mod settings;
pub mod spoken;
pub mod stage;
pub mod staging;
mod text;
pub mod times;
pub mod tooth;
pub mod words;
pub mod work;

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::Date;
use serde::Serialize;
use uuid::Uuid;

use crate::record::Record;
use crate::session::conflict::OpenConflict;
use crate::terms::{Kind, Patient, Subject, ToothNumber};

pub use condition::{Condition, DECISION_KEYS, decision_key};
pub use rules::{Cited, rules};
pub use settings::{Settings, SettingsError};
pub use spoken::{Part, Sentence, spoken};
pub use text::{comparison_text, text};

/// Version of the plan's JSON. Raised when a field changes its meaning.
pub const VERSION: u32 = 1;

/// Everything that follows from the record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    pub version: u32,
    pub visit: Uuid,
    pub patient: Patient,
    pub date: Date,
    pub opened_at: Timestamp,
    /// Number of the newest entry that this plan rests on.
    pub up_to_entry: u64,
    pub unconfirmed_count: usize,
    /// What the plan takes for granted; told with it.
    pub assumptions: Vec<String>,
    /// Teeth with something charted, in number order.
    pub teeth: Vec<tooth::ToothPlan>,
    /// Teeth whose decided work is still to do.
    pub outstanding: Vec<ToothNumber>,
    pub unexamined: checks::Unexamined,
    pub mouth: mouth::MouthPlan,
    pub films: films::FilmPlan,
    pub work: work::WorkPlan,
    pub staging: staging::Staging,
    pub lay_out: layout::LayOut,
    pub anaesthetic: anaesthetic::AnaestheticPlan,
    pub checks: Vec<checks::CheckLine>,
    pub afterwards: afterwards::Afterwards,
    /// With the newest earlier visit of this patient; none where there is none.
    pub comparison: Option<progress::Comparison>,
}

impl Plan {
    /// Decisions that guidance speaks against, and for which nobody has answered: a line for each, to stand first.
    pub fn open_conflicts(&self) -> Vec<String> {
        self.teeth
            .iter()
            .flat_map(|tooth| {
                tooth
                    .conflicts
                    .iter()
                    .map(move |conflict| (tooth, conflict))
            })
            .filter(|(_, conflict)| conflict.asked.is_none())
            .map(|(tooth, conflict)| {
                format!(
                    "Open, ask the vet: {} {}, but {}",
                    tooth.tooth,
                    words::decision(&conflict.decision),
                    conflict.in_short()
                )
            })
            .collect()
    }

    /// Something that must be looked at before work goes on or the animal is woken.
    pub fn has_alarm(&self) -> bool {
        let over = matches!(
            &self.anaesthetic.ceilings,
            anaesthetic::Ceilings::Worked { total, .. }
                if total.against == crate::terms::anaesthetic::Against::Over
        );
        over || self
            .checks
            .iter()
            .any(|line| line.blocks_waking && line.state == checks::CheckState::Attention)
    }
}

/// Teeth with a finding, a decision or a procedure of their own, in number order.
pub fn charted_teeth(record: &Record) -> Vec<ToothNumber> {
    let findings = record
        .findings()
        .filter_map(|(finding, _)| match finding.subject {
            Subject::Tooth(tooth) => Some(tooth),
            Subject::Mouth => None,
        });
    let decisions = record.decisions().map(|(tooth, ..)| tooth);
    let procedures = record
        .procedures()
        .filter_map(|(procedure, _)| procedure.tooth());
    let teeth: BTreeSet<ToothNumber> = findings.chain(decisions).chain(procedures).collect();
    teeth.into_iter().collect()
}

/// The day of the visit by the clinic's wall time.
pub fn visit_date(record: &Record, settings: &Settings) -> Date {
    clinic_offset(settings).to_datetime(record.opened_at).date()
}

/// What is added to UTC for the clinic's wall time.
fn clinic_offset(settings: &Settings) -> jiff::tz::Offset {
    let minutes = settings.utc_offset_minutes.unwrap_or(0);
    jiff::tz::Offset::from_seconds(minutes.saturating_mul(60)).unwrap_or(jiff::tz::Offset::UTC)
}

/// What both the plan and its check list rest on.
struct Ground {
    date: Date,
    mouth: facts::Mouth,
    facts: Vec<facts::ToothFacts>,
    teeth: Vec<tooth::ToothPlan>,
    unexamined: checks::Unexamined,
    films: films::FilmPlan,
}

fn ground(record: &Record, settings: &Settings) -> Ground {
    let date = visit_date(record, settings);
    let mouth = facts::Mouth::of(record, date);
    let normal = settings.limits.normal_depth_mm(mouth.species);
    let expected = checks::expected(record, &mouth);
    let all: BTreeSet<ToothNumber> = charted_teeth(record)
        .into_iter()
        .chain(expected.iter().copied())
        .collect();
    let facts: Vec<_> = all
        .iter()
        .map(|tooth| facts::ToothFacts::of(record, *tooth, normal))
        .collect();
    let teeth: Vec<_> = facts
        .iter()
        .map(|facts| {
            let error = settings.limits.probe_error_mm;
            tooth::plan(record, facts, &mouth, clinic_offset(settings), error)
        })
        .collect();
    let unexamined = checks::unexamined(&facts, &expected);
    let films = films::plan(record, &facts, &teeth, &mouth, settings.films.recorder);
    Ground {
        date,
        mouth,
        facts,
        teeth,
        unexamined,
        films,
    }
}

/// Decisions that guidance speaks against and for which nobody has answered, worked out without the order of work.
pub fn open_conflicts(record: &Record, settings: &Settings) -> Vec<OpenConflict> {
    let on = ground(record, settings);
    on.teeth
        .iter()
        .filter_map(|tooth| {
            let (decision, _, charted) = record.decision(tooth.tooth)?;
            let against: Vec<(String, String)> = tooth
                .conflicts
                .iter()
                .filter(|conflict| conflict.asked.is_none())
                .map(|conflict| (conflict.cited.rule.clone(), conflict.in_short()))
                .collect();
            (!against.is_empty()).then(|| OpenConflict {
                tooth: tooth.tooth,
                decision: decision.clone(),
                entry: charted.number,
                against,
            })
        })
        .collect()
}

/// The check list alone, for a page that shows it all the time: without the order of work, which takes longer.
pub fn check_list(record: &Record, settings: &Settings) -> Vec<checks::CheckLine> {
    let on = ground(record, settings);
    checks::plan(record, &on.mouth, &on.films, &on.unexamined, settings)
}

/// Works out the plan. `past` are the clinic's other visits, of any patient: times and uses are learned from all,
/// the comparison takes the newest earlier one of this patient.
pub fn make(record: &Record, past: &[Record], settings: &Settings) -> Plan {
    let Ground {
        date,
        mouth,
        facts,
        teeth,
        unexamined,
        films,
    } = ground(record, settings);
    let work = work::plan(record, past, &teeth, &films, settings);
    let staging = staging::plan(record, &teeth, &work, settings, date);
    let lay_out = layout::plan(record, past, &teeth, &work.steps, settings);
    let mouth_findings = record
        .findings()
        .filter(|(finding, _)| {
            finding.subject == Subject::Mouth && !Kind::OF_LESIONS.contains(&finding.kind)
        })
        .map(|(finding, _)| words::finding(finding))
        .collect();
    let mut mouth_plan = mouth::plan(
        &facts,
        &teeth,
        &mouth,
        mouth_findings,
        settings.mouth_score.as_ref(),
    );
    mouth_plan.guidance.extend(lesions::notes(record));
    mouth_plan.lesions = lesions::plan(record);
    mouth_plan.decisions = lesions::decisions(record);
    let charted = charted_teeth(record);
    Plan {
        version: VERSION,
        visit: record.visit,
        patient: record.patient.clone(),
        date,
        opened_at: record.opened_at,
        up_to_entry: record.last,
        unconfirmed_count: record.unconfirmed().count(),
        assumptions: vec![
            "where no recession or enlargement is charted, none is taken to be there".into(),
            "a value that nobody confirmed counts here, and is told as not confirmed".into(),
        ],
        outstanding: work::outstanding(record, &teeth)
            .iter()
            .map(|tooth| tooth.tooth)
            .collect(),
        unexamined: unexamined.clone(),
        mouth: mouth_plan,
        staging,
        lay_out,
        anaesthetic: anaesthetic::plan(record, &teeth, settings),
        checks: checks::unread_results(record, past)
            .into_iter()
            .chain(checks::plan(record, &mouth, &films, &unexamined, settings))
            .collect(),
        afterwards: afterwards::plan(record, &teeth, &films, date),
        comparison: progress::latest_before(record, past)
            .map(|earlier| progress::compare(earlier, record, settings)),
        films,
        work,
        teeth: teeth
            .into_iter()
            .filter(|tooth| charted.contains(&tooth.tooth))
            .collect(),
    }
}

/// Answer to "compare tooth ...": against the newest earlier visit of the patient.
pub fn compare_spoken(
    record: &Record,
    past: &[Record],
    tooth: ToothNumber,
    settings: &Settings,
) -> Vec<Sentence> {
    match progress::latest_before(record, past) {
        Some(earlier) => {
            spoken::comparison(&progress::compare_tooth(earlier, record, tooth, settings))
        }
        None if progress::doubtful_before(record, past).is_some() => vec![Sentence::text(
            "No earlier visit of this patient. One has the same number or name, but not both: look at the list of visits",
        )],
        None => vec![Sentence::text("No earlier visit of this patient")],
    }
}
