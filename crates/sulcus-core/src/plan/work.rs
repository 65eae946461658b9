//! The order of work: makes jobs of what is planned and not yet done, has them ordered, and tells the steps with
//! their times. Decides on no treatment; what has no decision makes no job.

use jiff::Timestamp;
use serde::Serialize;

use super::films::FilmPlan;
use super::jobs::{jobs, works};
use super::order::{self, Costs};
use super::rules::{Cited, rules};
use super::settings::{Minutes, Settings};
use super::times::{Task, Times};
use super::tooth::ToothPlan;
use crate::record::{Record, surgery};
use crate::terms::{Jaw, MouthSide, Procedure, ToothNumber};

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WorkKind {
    Film,
    Scale,
    Polish,
    Block,
    Extract,
    Treat,
    /// Film after extraction, then sutures.
    Close,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WorkStep {
    pub kind: WorkKind,
    /// None: however the patient lies.
    pub side: Option<MouthSide>,
    pub jaw: Option<Jaw>,
    pub teeth: Vec<ToothNumber>,
    pub text: String,
    pub minutes_low: u32,
    pub minutes_high: u32,
    /// From now, reckoned with the middle of the ranges.
    pub starts_after_minutes: u32,
    pub wait_minutes: u32,
    pub is_turn: bool,
    pub is_jaw_change: bool,
}

/// Work for which there is no time left in this sitting.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    pub kind: WorkKind,
    pub teeth: Vec<ToothNumber>,
    pub text: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WorkPlan {
    pub steps: Vec<WorkStep>,
    /// The most important first; empty where everything fits or no time is set.
    pub left_out: Vec<LeftOut>,
    pub turns: usize,
    pub jaw_changes: usize,
    pub wait_minutes: u32,
    /// All steps, turns and waits, from now; work left out does not count.
    pub minutes_low: u32,
    pub minutes_high: u32,
    /// Since the anaesthetic began, to the newest entry.
    pub anaesthetic_minutes_so_far: Option<u32>,
    pub minutes_available: Option<u32>,
    /// How many lengths were learned from past visits, by task.
    pub learned: Vec<(Task, usize)>,
    pub warnings: Vec<String>,
    pub basis: Vec<Cited>,
    /// False only where the work was too much to try everything.
    pub is_proven_best: bool,
}

/// Whether work of this decision is wanted under a nerve block. Common practice: what cuts gum, bone or pulp.
pub fn needs_block(decision: &str) -> bool {
    matches!(
        decision,
        "extract"
            | "crown_amputation"
            | "root_canal"
            | "vital_pulp_therapy"
            | "gum_surgery"
            | "root_planing_open"
            | "fistula_repair"
            | "fistula_repair_double"
            | "alveoloplasty"
            | "bone_graft"
            | "membrane"
            | "interceptive_extraction"
            | "operculectomy"
            | "crown_reduction"
    )
}

/// Whether what was decided for the tooth is done.
pub fn is_done(record: &Record, tooth: ToothNumber, decision: &str) -> bool {
    record.procedures().any(|(procedure, _)| match procedure {
        Procedure::Extracted { tooth: of, .. } => *of == tooth,
        Procedure::CrownRemoved { tooth: of } => *of == tooth && decision == "crown_amputation",
        Procedure::GumSurgery { tooth: of } => *of == tooth && decision == "gum_surgery",
        Procedure::Treated { tooth: of, .. } => *of == tooth && decision != "extract",
        _ => false,
    })
}

/// Whether a decision is work of this sitting.
fn is_work(decision: &str) -> bool {
    !matches!(decision, "monitor" | "leave" | "refer")
}

/// Decided teeth whose work is still to do today.
pub fn outstanding<'a>(record: &Record, teeth: &'a [ToothPlan]) -> Vec<&'a ToothPlan> {
    let later: Vec<ToothNumber> = surgery::later(record)
        .into_iter()
        .map(|(tooth, _)| tooth)
        .collect();
    teeth
        .iter()
        .filter(|tooth| {
            tooth.is_there
                && !later.contains(&tooth.tooth)
                && tooth.decision.as_ref().is_some_and(|d| {
                    is_work(&d.decision) && !is_done(record, tooth.tooth, &d.decision)
                })
        })
        .collect()
}

/// The newest entry's time: the plan has no clock of its own.
pub(super) fn newest_at(record: &Record) -> Timestamp {
    record
        .all()
        .map(|charted| charted.at)
        .max()
        .unwrap_or(record.opened_at)
}

/// When the anaesthetic began; None where that was not said, or it has ended.
pub(super) fn anaesthetic_begun(record: &Record) -> Option<Timestamp> {
    let mut begun = None;
    for (procedure, charted) in record.procedures() {
        match procedure {
            Procedure::AnaesthesiaStarted => begun = Some(charted.at),
            Procedure::AnaesthesiaEnded => begun = None,
            _ => {}
        }
    }
    begun
}

/// Minutes since then, up to the newest entry.
fn anaesthetic_minutes(record: &Record) -> Option<u32> {
    let begun = anaesthetic_begun(record)?;
    u32::try_from(newest_at(record).duration_since(begun).as_mins()).ok()
}

pub fn plan(
    record: &Record,
    past: &[Record],
    teeth: &[ToothPlan],
    films: &FilmPlan,
    settings: &Settings,
) -> WorkPlan {
    let times = Times::new(past, settings);
    let so_far = anaesthetic_minutes(record);
    let (limit, _) = super::staging::limit(record, settings);
    let available = settings
        .order
        .minutes_available
        .or_else(|| limit.map(|limit| limit.saturating_sub(so_far.unwrap_or(0))));
    let work = works(record, teeth, films, &times, settings, available.is_some());
    let jobs = jobs(record, &work, settings);
    let costs = Costs {
        turn_minutes: settings.order.turn_minutes,
        jaw_minutes: settings.order.jaw_minutes,
        turn_penalty_minutes: settings.order.turn_penalty_minutes,
        minutes_available: available,
    };
    let solution = order::solve(&jobs, &costs);
    let steps: Vec<WorkStep> = solution
        .placed
        .iter()
        .map(|placed| {
            let work = &work[placed.job];
            WorkStep {
                kind: work.kind,
                side: work.spot.map(|(side, _)| side),
                jaw: work.spot.map(|(_, jaw)| jaw),
                teeth: work.teeth.clone(),
                text: work.text.clone(),
                minutes_low: work.minutes.low,
                minutes_high: work.minutes.high,
                starts_after_minutes: placed.starts,
                wait_minutes: placed.wait_minutes,
                is_turn: placed.is_turn,
                is_jaw_change: placed.is_jaw_change,
            }
        })
        .collect();
    let left_out: Vec<LeftOut> = solution
        .left_out
        .iter()
        .map(|at| &work[*at])
        .filter(|work| work.kind != WorkKind::Block)
        .map(|work| LeftOut {
            kind: work.kind,
            teeth: work.teeth.clone(),
            text: work.text.clone(),
        })
        .collect();
    let count = |test: fn(&WorkStep) -> bool| steps.iter().filter(|step| test(step)).count();
    let (turns, jaw_changes) = (count(|s| s.is_turn), count(|s| s.is_jaw_change));
    let wait_minutes: u32 = steps.iter().map(|step| step.wait_minutes).sum();
    let moving = turns as u32 * settings.order.turn_minutes
        + jaw_changes as u32 * settings.order.jaw_minutes;
    let sum = |of: fn(&WorkStep) -> u32| steps.iter().map(of).sum::<u32>() + moving;
    // Slow work lets the blocks take effect meanwhile: at best no waiting, at worst all of it.
    let (minutes_low, minutes_high) = (
        sum(|s| s.minutes_low),
        sum(|s| s.minutes_high) + wait_minutes,
    );
    let mut warnings = Vec::new();
    if let Some(limit) = limit {
        // Reckoned with all the work, so that what does not fit is no surprise.
        let all =
            |of: fn(&Minutes) -> u32| work.iter().map(|w| of(&w.minutes)).sum::<u32>() + moving;
        let done = so_far.unwrap_or(0);
        let (low, high) = (done + all(|m| m.low), done + all(|m| m.high) + wait_minutes);
        if high > limit {
            let word = if low > limit { "will" } else { "may" };
            warnings.push(format!(
                "with all the work the anaesthetic {word} pass the clinic's limit of {limit} minutes: {low} to {high} expected"
            ));
        }
    }
    if let (Some(minutes), false) = (available, left_out.is_empty()) {
        let left: Vec<&str> = left_out.iter().map(|left| left.text.as_str()).collect();
        warnings.push(format!(
            "does not fit into {minutes} minutes: {}",
            left.join("; ")
        ));
    }
    if !solution.is_exact {
        warnings.push("the order is good, but not every order could be tried".into());
    }
    let mut basis = vec![
        "order_films_scale_polish",
        "order_film_before_block",
        "order_block_onset",
        "order_turns",
        "times_from_visits",
    ];
    if settings.order.clean_before_dirty {
        basis.push("order_clean_first");
    }
    WorkPlan {
        turns,
        jaw_changes,
        wait_minutes,
        minutes_low,
        minutes_high,
        anaesthetic_minutes_so_far: so_far,
        minutes_available: available,
        learned: times.learned(),
        warnings,
        left_out,
        basis: basis.into_iter().map(|key| rules().cite(key)).collect(),
        is_proven_best: solution.is_exact,
        steps,
    }
}
