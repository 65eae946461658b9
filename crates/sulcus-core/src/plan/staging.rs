//! A procedure that is too long for one sitting: what must be done today comes first, what can wait is proposed for a
//! second visit. Proposes only: what waits is the vet's word, and no limit is named but the clinic's.

use std::collections::BTreeSet;

use jiff::civil::Date;
use jiff::{Span, Timestamp, ToSpan};
use serde::Serialize;

use super::rules::{Cited, rules};
use super::settings::Settings;
use super::tooth::ToothPlan;
use super::work::{WorkKind, WorkPlan, outstanding};
use crate::record::{Record, monitoring, surgery};
use crate::session::NearLimit;
use crate::terms::anaesthetic::Against;
use crate::terms::vital::Measure;
use crate::terms::watch::CourseStep;
use crate::terms::{Procedure, ToothNumber, VitalSign};

/// A tooth with why it is where it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Placed {
    pub tooth: ToothNumber,
    #[serde(flatten)]
    pub cited: Cited,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Staging {
    /// The clinic's limit for this patient; none where it set none.
    pub limit_minutes: Option<u32>,
    /// Which of the clinic's limits that is: "ASA 3 or worse", "5 kg or less"; empty for the one for all.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub limit_because: String,
    /// In the order in which they come first.
    pub today: Vec<Placed>,
    /// Proposed for a second visit.
    pub can_wait: Vec<Placed>,
    /// Put off by the vet's word.
    pub put_off: Vec<ToothNumber>,
    pub second_visit: Option<Date>,
    /// The days between which a second visit is named.
    pub second_from: Date,
    pub second_until: Date,
    /// Reasons to close and stop, as recorded.
    pub stop: Vec<Cited>,
    /// Put to the vet.
    pub asks: Vec<String>,
    pub basis: Vec<Cited>,
}

/// The clinic's limit for this patient: the strictest of those that apply.
pub fn limit(record: &Record, settings: &Settings) -> (Option<u32>, String) {
    let limits = &settings.limits;
    let is_ill = record
        .watched()
        .filter_map(|(what, _)| match what {
            crate::terms::Watched::Course(CourseStep::Asa(status)) => Some(status.class),
            _ => None,
        })
        .last()
        .is_some_and(|class| class >= 3);
    let kg = record.patient.weight.map(|weight| weight.kg());
    let is_small = kg.is_some_and(|kg| kg <= limits.small_kg);
    let small = format!("{} kg or less", limits.small_kg);
    [
        (limits.anaesthetic_minutes_max, String::new()),
        (
            limits.anaesthetic_minutes_max_asa_3.filter(|_| is_ill),
            "ASA 3 or worse".into(),
        ),
        (
            limits.anaesthetic_minutes_max_small.filter(|_| is_small),
            small,
        ),
    ]
    .into_iter()
    .filter_map(|(minutes, why)| Some((minutes?, why)))
    .min_by_key(|(minutes, _)| *minutes)
    .map_or((None, String::new()), |(minutes, why)| (Some(minutes), why))
}

/// The anaesthetic comes near the clinic's limit, or has passed it, and decided work is not begun. Cheap where not.
pub fn near_limit(record: &Record, settings: &Settings, now: Timestamp) -> Option<NearLimit> {
    let limit_minutes = limit(record, settings).0?;
    let begun = super::work::anaesthetic_begun(record)?;
    let minutes = u32::try_from(now.duration_since(begun).as_mins()).ok()?;
    let before = rules().figure("stage_before_minutes").value;
    if minutes < limit_minutes.saturating_sub(before) {
        return None;
    }
    let on = super::ground(record, settings);
    let teeth: Vec<ToothNumber> = outstanding(record, &on.teeth)
        .into_iter()
        .map(|tooth| tooth.tooth)
        .filter(|tooth| !surgery::is_begun(record, *tooth))
        .collect();
    (!teeth.is_empty()).then_some(NearLimit {
        minutes,
        limit_minutes,
        teeth,
    })
}

pub fn plan(
    record: &Record,
    teeth: &[ToothPlan],
    work: &WorkPlan,
    settings: &Settings,
    date: Date,
) -> Staging {
    let (limit_minutes, limit_because) = limit(record, settings);
    let cite = |key| rules().cite(key);
    let unfit: BTreeSet<ToothNumber> = work
        .left_out
        .iter()
        .filter(|left| left.kind != WorkKind::Block)
        .flat_map(|left| left.teeth.iter().copied())
        .collect();
    let mut today = Vec::new();
    let mut can_wait = Vec::new();
    for tooth in outstanding(record, teeth) {
        let number = tooth.tooth;
        let importance = tooth
            .guidance
            .iter()
            .map(|guidance| guidance.importance)
            .max()
            .unwrap_or(0);
        let is_infected = tooth.guidance.iter().any(|guidance| guidance.is_infected);
        let (rank, key) = if surgery::is_begun(record, number) {
            (0, "staging_begun_first")
        } else if is_infected || importance >= 3 {
            (1, "staging_infected_first")
        } else {
            (2, "staging_others")
        };
        // What is open is never proposed to wait.
        if rank > 0 && unfit.contains(&number) {
            can_wait.push(Placed {
                tooth: number,
                cited: cite("staging_can_wait"),
            });
        } else {
            let placed = Placed {
                tooth: number,
                cited: cite(key),
            };
            today.push((rank, std::cmp::Reverse(importance), placed));
        }
    }
    today.sort_by_key(|(rank, importance, placed)| (*rank, *importance, placed.tooth));
    let put_off: Vec<ToothNumber> = surgery::later(record)
        .into_iter()
        .map(|(tooth, _)| tooth)
        .collect();
    let second_visit = surgery::second_visit(record).map(|(day, _)| day);
    let figure = rules().figure("second_stage_days");
    let later = |days: u32| {
        let span: Span = i64::from(days).days();
        date.checked_add(span).unwrap_or(date)
    };
    let stop = stop(record, work, limit_minutes, settings);
    let mut asks = Vec::new();
    if !stop.is_empty() && !today.is_empty() {
        asks.push(format!(
            "{} still to do: go on, or close and stage?",
            super::words::teeth(
                &today
                    .iter()
                    .map(|(_, _, placed)| placed.tooth)
                    .collect::<Vec<_>>()
            )
        ));
    }
    if !can_wait.is_empty() {
        asks.push("not all fits: which of these may wait for a second visit?".into());
    }
    if !put_off.is_empty() && second_visit.is_none() {
        asks.push("when is the second visit?".into());
    }
    let mut basis = vec![cite("staging_order"), cite("second_stage_days")];
    if !put_off.is_empty() || !can_wait.is_empty() {
        basis.push(cite("second_stage_local"));
    }
    Staging {
        limit_minutes,
        limit_because,
        today: today.into_iter().map(|(_, _, placed)| placed).collect(),
        can_wait,
        put_off,
        second_visit,
        second_from: later(figure.from.unwrap_or(figure.value)),
        second_until: later(figure.value),
        stop,
        asks,
        basis,
    }
}

/// Reasons to close and stop that the record shows.
fn stop(
    record: &Record,
    work: &WorkPlan,
    limit_minutes: Option<u32>,
    settings: &Settings,
) -> Vec<Cited> {
    let rules = rules();
    let mut reasons = Vec::new();
    if let (Some(limit), Some(minutes)) = (limit_minutes, work.anaesthetic_minutes_so_far)
        && minutes >= limit
    {
        reasons.push(rules.cite_as(
            "stop_limit",
            format!("{minutes} minutes of anaesthetic, the clinic's limit is {limit}"),
        ));
    }
    let points = monitoring::readings(record);
    let temperatures: Vec<i64> = points
        .iter()
        .filter(|point| point.reading.sign == VitalSign::Temperature)
        .filter_map(|point| point.reading.hundredths())
        .map(i64::from)
        .collect();
    let cold = i64::from(rules.figure("stop_cold_tenths").value) * 10;
    if let Some((last, before)) = temperatures.split_last()
        && *last < cold
        && before.last().is_none_or(|before| last <= before)
    {
        reasons.push(rules.cite_as(
            "stop_cold_tenths",
            format!("{}.{} degrees and not rising", last / 100, last % 100 / 10),
        ));
    }
    let low = rules.figure("stop_mean_pressure").value;
    let means: Vec<u32> = points
        .iter()
        .filter_map(|point| match point.reading.measure {
            Measure::Pressure { mean, .. } => mean.map(u32::from),
            _ => None,
        })
        .collect();
    if let [.., before, last] = means.as_slice()
        && *before < low
        && *last < low
    {
        reasons.push(rules.cite_as(
            "stop_mean_pressure",
            format!("mean pressure {before} and {last} mmHg, one after the other"),
        ));
    }
    let has_block = record
        .procedures()
        .any(|(procedure, _)| matches!(procedure, Procedure::NerveBlock { .. }));
    if has_block
        && super::anaesthetic::running_total(record, &settings.anaesthetic.strengths())
            .is_ok_and(|total| total.against != Against::Below)
    {
        reasons.push(rules.cite("stop_ceiling"));
    }
    reasons
}
