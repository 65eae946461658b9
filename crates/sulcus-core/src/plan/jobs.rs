//! What is planned and not done yet as jobs for the ordering: which, how long, how important, and what before what.
//! Tells no order; see `order`.

use super::films::FilmPlan;
use super::order::{Job, Spot};
use super::rules::rules;
use super::settings::{Minutes, Settings};
use super::times::{Task, Times};
use super::tooth::ToothPlan;
use super::work::{WorkKind, needs_block, newest_at, outstanding};
use crate::record::Record;
use crate::terms::procedure::Block;
use crate::terms::{Drug, Jaw, MouthSide, Procedure, ToothNumber};

/// A job with what it is, before it is ordered.
pub(super) struct Work {
    pub kind: WorkKind,
    pub spot: Option<(MouthSide, Jaw)>,
    pub teeth: Vec<ToothNumber>,
    pub text: String,
    pub minutes: Minutes,
    pub rank: u8,
    pub is_infected: bool,
    pub needs_block: bool,
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
pub(super) fn works(
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
            matches!(procedure, Procedure::Sutured { tooth: of, .. } | Procedure::RootsComplete { tooth: of } if *of == tooth)
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

pub(super) fn jobs(record: &Record, works: &[Work], settings: &Settings) -> Vec<Job> {
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
            if work.is_tooth_work() && work.is_infected && settings.order.clean_before_dirty {
                after.extend(find(&|w| w.is_tooth_work() && !w.is_infected));
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
