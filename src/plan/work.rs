//! The order of work: makes jobs of what is planned and not yet done, has them ordered, and tells the steps with
//! their times. Decides on no treatment; what has no decision makes no job.

use jiff::Timestamp;
use serde::Serialize;

use super::films::FilmPlan;
use super::order::{self, Costs, Job, Spot};
use super::rules::{Cited, rules};
use super::settings::{Minutes, Settings};
use super::times::{Task, Times};
use super::tooth::ToothPlan;
use crate::record::Record;
use crate::terms::procedure::Block;
use crate::terms::{Drug, Jaw, MouthSide, Procedure, ToothNumber};

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

/// A job with what it is, before it is ordered.
struct Work {
    kind: WorkKind,
    spot: Option<(MouthSide, Jaw)>,
    teeth: Vec<ToothNumber>,
    text: String,
    minutes: Minutes,
    rank: u8,
    is_infected: bool,
    needs_block: bool,
}

impl Work {
    fn is_tooth_work(&self) -> bool {
        matches!(self.kind, WorkKind::Extract | WorkKind::Treat)
    }

    fn middle(&self) -> u32 {
        (self.minutes.low + self.minutes.high).div_ceil(2)
    }
}

const SPOTS: [(MouthSide, Jaw); 4] = [
    (MouthSide::Right, Jaw::Upper),
    (MouthSide::Right, Jaw::Lower),
    (MouthSide::Left, Jaw::Upper),
    (MouthSide::Left, Jaw::Lower),
];

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

/// Decided teeth whose work is still to do.
pub fn outstanding<'a>(record: &Record, teeth: &'a [ToothPlan]) -> Vec<&'a ToothPlan> {
    teeth
        .iter()
        .filter(|tooth| {
            tooth.is_there
                && tooth.decision.as_ref().is_some_and(|d| {
                    is_work(&d.decision) && !is_done(record, tooth.tooth, &d.decision)
                })
        })
        .collect()
}

/// Onset of a drug, in minutes.
fn onset_minutes(drug: Drug) -> u32 {
    let key = match drug {
        Drug::Bupivacaine => "onset_bupivacaine",
        Drug::Lidocaine => "onset_lidocaine",
        Drug::Mepivacaine => "onset_mepivacaine",
    };
    rules().figure(key).value
}

/// Jaw that a block numbs.
fn jaw_of(block: Block) -> Option<Jaw> {
    match block {
        Block::Infraorbital | Block::Maxillary => Some(Jaw::Upper),
        Block::InferiorAlveolar | Block::MiddleMental => Some(Jaw::Lower),
        Block::Other => None,
    }
}

/// The newest entry's time: the plan has no clock of its own.
fn newest_at(record: &Record) -> Timestamp {
    record
        .all()
        .map(|charted| charted.at)
        .max()
        .unwrap_or(record.opened_at)
}

/// Minutes until a block given at that spot works; None where none was given.
fn given_block(record: &Record, (side, jaw): (MouthSide, Jaw)) -> Option<u32> {
    let now = newest_at(record);
    record
        .procedures()
        .filter_map(|(procedure, charted)| match procedure {
            Procedure::NerveBlock {
                block,
                side: of,
                drug,
                ..
            } if *of == side && jaw_of(*block) == Some(jaw) => {
                let passed = u32::try_from(now.duration_since(charted.at).as_mins()).unwrap_or(0);
                Some(onset_minutes(*drug).saturating_sub(passed))
            }
            _ => None,
        })
        .min()
}

/// Minutes since the anaesthetic began; None where that was not said, or it has ended.
fn anaesthetic_minutes(record: &Record) -> Option<u32> {
    let mut begun = None;
    for (procedure, charted) in record.procedures() {
        match procedure {
            Procedure::AnaesthesiaStarted => begun = Some(charted.at),
            Procedure::AnaesthesiaEnded => begun = None,
            _ => {}
        }
    }
    u32::try_from(newest_at(record).duration_since(begun?).as_mins()).ok()
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
    let limit = settings.limits.anaesthetic_minutes_max;
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

fn times_count(minutes: Minutes, count: usize) -> Minutes {
    let count = u32::try_from(count).unwrap_or(u32::MAX);
    Minutes {
        low: minutes.low.saturating_mul(count),
        high: minutes.high.saturating_mul(count),
    }
}

fn plus(a: Minutes, b: Minutes) -> Minutes {
    Minutes {
        low: a.low + b.low,
        high: a.high + b.high,
    }
}

/// Everything to do. With time short each tooth is a job of its own that includes closing, so that what does not
/// fit can be left without an open wound.
fn works(
    record: &Record,
    teeth: &[ToothPlan],
    films: &FilmPlan,
    times: &Times,
    settings: &Settings,
    is_time_short: bool,
) -> Vec<Work> {
    let said = |wanted: &Procedure| {
        record
            .procedures()
            .any(|(procedure, _)| procedure == wanted)
    };
    let mut works = Vec::new();
    let quiet = |kind, spot, text: String, minutes| Work {
        kind,
        spot,
        teeth: Vec::new(),
        text,
        minutes,
        rank: 3,
        is_infected: false,
        needs_block: false,
    };
    let front = films
        .views
        .iter()
        .filter(|v| v.side.is_none() && !v.is_taken)
        .count();
    if front > 0 {
        let minutes = times_count(times.of(Task::Film), front);
        works.push(quiet(
            WorkKind::Film,
            None,
            format!("films of the front teeth, {front}"),
            minutes,
        ));
    }
    let todo = outstanding(record, teeth);
    for spot in SPOTS {
        let (side, jaw) = spot;
        let place = format!(
            "{} {}",
            super::words::jaw(jaw),
            super::words::mouth_side(side)
        );
        let is_here = |tooth: ToothNumber| tooth.mouth_side() == side && tooth.jaw() == jaw;
        let any_tooth = teeth.iter().any(|t| t.is_there && is_here(t.tooth));
        let views = films
            .views
            .iter()
            .filter(|v| !v.is_taken && v.side == Some(side) && v.teeth.iter().any(|t| is_here(*t)))
            .count();
        if views > 0 {
            let minutes = times_count(times.of(Task::Film), views);
            works.push(quiet(
                WorkKind::Film,
                Some(spot),
                format!("films {place}, {views}"),
                minutes,
            ));
        }
        if any_tooth && !said(&Procedure::Scaled) {
            let text = format!("scale {place}, above and below the gum");
            works.push(quiet(
                WorkKind::Scale,
                Some(spot),
                text,
                times.of(Task::Scale),
            ));
        }
        if any_tooth && !said(&Procedure::Polished) {
            let text = format!("polish {place}");
            works.push(quiet(
                WorkKind::Polish,
                Some(spot),
                text,
                times.of(Task::Polish),
            ));
        }
        let mut here: Vec<Work> = todo
            .iter()
            .filter(|tooth| is_here(tooth.tooth))
            .map(|tooth| tooth_work(tooth, spot, times, is_time_short))
            .collect();
        // The most important first, then from the back forwards: the back is reached best while nothing bleeds.
        here.sort_by_key(|w| {
            (
                w.rank,
                w.minutes.high,
                std::cmp::Reverse(w.teeth[0].position()),
            )
        });
        if here.iter().any(|w| w.needs_block) && given_block(record, spot).is_none() {
            let text = format!("nerve block {place}");
            works.push(Work {
                // Only done for the work after it.
                rank: 4,
                ..quiet(WorkKind::Block, Some(spot), text, times.of(Task::Block))
            });
        }
        let wounds: Vec<ToothNumber> = here
            .iter()
            .filter(|w| w.kind == WorkKind::Extract)
            .flat_map(|w| w.teeth.clone())
            .chain(
                open_wounds(record)
                    .into_iter()
                    .filter(|tooth| is_here(*tooth)),
            )
            .collect();
        works.extend(if is_time_short {
            here
        } else {
            grouped(here, settings)
        });
        let open = if is_time_short {
            open_wounds(record)
                .into_iter()
                .filter(|t| is_here(*t))
                .collect()
        } else {
            wounds
        };
        if !open.is_empty() {
            let minutes = plus(
                times.of(Task::Film),
                times_count(times.of(Task::Close), open.len()),
            );
            works.push(Work {
                // No wound is left open, whatever the time.
                rank: 0,
                teeth: open.clone(),
                ..quiet(
                    WorkKind::Close,
                    Some(spot),
                    format!(
                        "film after extraction, then close {}",
                        super::words::teeth(&open)
                    ),
                    minutes,
                )
            });
        }
    }
    works
}

/// Extracted, and neither sutured nor shown whole on a film.
fn open_wounds(record: &Record) -> Vec<ToothNumber> {
    let closed = |tooth: ToothNumber| {
        record.procedures().any(|(procedure, _)| {
            matches!(procedure, Procedure::Sutured { tooth: of } | Procedure::RootsComplete { tooth: of } if *of == tooth)
        })
    };
    record
        .procedures()
        .filter_map(|(procedure, _)| match procedure {
            Procedure::Extracted { tooth, .. } if !closed(*tooth) => Some(*tooth),
            _ => None,
        })
        .collect()
}

fn tooth_work(
    tooth: &ToothPlan,
    spot: (MouthSide, Jaw),
    times: &Times,
    with_closing: bool,
) -> Work {
    let decision = tooth.decision.as_ref().map_or("", |d| d.decision.as_str());
    let is_extraction = decision == "extract";
    let (kind, mut minutes, mut text) = if is_extraction {
        let roots = tooth.root_count.unwrap_or(1);
        (
            WorkKind::Extract,
            times.of(Task::extract(roots)),
            format!("extract {}", tooth.tooth),
        )
    } else {
        let word = super::words::decision(decision);
        (
            WorkKind::Treat,
            times.of(Task::Treat),
            format!("{word} {}", tooth.tooth),
        )
    };
    if is_extraction && with_closing {
        minutes = plus(minutes, plus(times.of(Task::Film), times.of(Task::Close)));
        text += ", film, close";
    }
    Work {
        kind,
        spot: Some(spot),
        teeth: vec![tooth.tooth],
        text,
        minutes,
        rank: 3 - tooth.importance().clamp(1, 3),
        is_infected: tooth.is_infected(),
        needs_block: needs_block(decision),
    }
}

/// Teeth of one spot as one job for each kind, apart where clean and infected are to be parted.
fn grouped(works: Vec<Work>, settings: &Settings) -> Vec<Work> {
    let mut groups: Vec<Work> = Vec::new();
    for work in works {
        let fits = |group: &&mut Work| {
            group.kind == work.kind
                && group.needs_block == work.needs_block
                && (group.is_infected == work.is_infected || !settings.order.clean_before_dirty)
        };
        match groups.iter_mut().find(fits) {
            Some(group) => {
                group.teeth.extend(work.teeth);
                group.minutes = plus(group.minutes, work.minutes);
                group.rank = group.rank.min(work.rank);
                group.is_infected |= work.is_infected;
                group.text = match work.kind {
                    WorkKind::Extract => format!("extract {}", super::words::teeth(&group.teeth)),
                    _ => format!("{}; {}", group.text, work.text),
                };
            }
            None => groups.push(work),
        }
    }
    groups
}

fn jobs(record: &Record, works: &[Work], settings: &Settings) -> Vec<Job> {
    let find = |test: &dyn Fn(&Work) -> bool| -> Vec<usize> {
        works
            .iter()
            .enumerate()
            .filter(|(_, w)| test(w))
            .map(|(at, _)| at)
            .collect()
    };
    works
        .iter()
        .map(|work| {
            let same_spot = |w: &Work| w.spot == work.spot;
            let before: &[WorkKind] = match work.kind {
                WorkKind::Film => &[],
                // The film may change the decision, and what is injected counts towards the ceiling.
                WorkKind::Block => &[WorkKind::Film],
                WorkKind::Scale => &[WorkKind::Film],
                WorkKind::Polish => &[WorkKind::Scale],
                WorkKind::Extract | WorkKind::Treat => {
                    &[WorkKind::Film, WorkKind::Scale, WorkKind::Polish]
                }
                WorkKind::Close => &[WorkKind::Extract],
            };
            let mut after = find(&|w| before.contains(&w.kind) && same_spot(w));
            if work.is_tooth_work() || work.kind == WorkKind::Block {
                // The front views show teeth of every quarter.
                after.extend(find(&|w| w.kind == WorkKind::Film && w.spot.is_none()));
            }
            if work.is_tooth_work() {
                if settings.order.clean_before_dirty && work.is_infected {
                    after.extend(find(&|w| w.is_tooth_work() && !w.is_infected));
                }
            }
            if work.kind == WorkKind::Close {
                // Wounds that are open already wait for no other extraction.
                after.retain(|at| {
                    works[*at]
                        .teeth
                        .iter()
                        .any(|tooth| work.teeth.contains(tooth))
                });
            }
            let mut after_onset = Vec::new();
            let mut not_before = 0;
            if work.needs_block
                && let Some(spot) = work.spot
            {
                let onset = onset_minutes(settings.anaesthetic.drug);
                let blocks = find(&|w| w.kind == WorkKind::Block && same_spot(w));
                after_onset.extend(blocks.into_iter().map(|block| (block, onset)));
                not_before = given_block(record, spot).unwrap_or(0);
            }
            Job {
                spot: work.spot.map(|(side, jaw)| Spot {
                    side: u8::from(side == MouthSide::Left),
                    jaw: u8::from(jaw == Jaw::Lower),
                }),
                minutes: work.middle(),
                rank: work.rank,
                after,
                after_onset,
                not_before,
            }
        })
        .collect()
}
