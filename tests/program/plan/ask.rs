//! The questions of `checks.tsv`. The only place of these tests that touches the plan's inside.

use sulcus::plan::anaesthetic::Ceilings;
use sulcus::plan::facts::{Mouth, ToothFacts};
use sulcus::plan::mouth::{MouthScore, coverage_score, plaque_of_halves};
use sulcus::plan::settings::Combine;
use sulcus::plan::tooth::{self as one_tooth, ToothPlan};
use sulcus::plan::{self, Plan, Settings, layout, progress, stage};
use sulcus::record::Record;
use sulcus::terms::anaesthetic::Against;

use super::script::tooth;

fn word(value: impl serde::Serialize) -> String {
    match serde_json::to_value(value).expect("serialises") {
        serde_json::Value::String(word) => word,
        other => other.to_string(),
    }
}

fn yes(is: bool) -> String {
    if is { "yes" } else { "no" }.into()
}

fn found<'a>(plan: &'a Plan, number: &str) -> Option<&'a ToothPlan> {
    plan.teeth.iter().find(|t| t.tooth == tooth(number))
}

fn of<'a>(plan: &'a Plan, number: &str) -> &'a ToothPlan {
    found(plan, number).unwrap_or_else(|| panic!("{number} is not charted"))
}

/// Conflicts with facts that the chart has no word for.
fn conflict_with(
    record: &Record,
    settings: &Settings,
    number: &str,
    fact: &str,
    key: &str,
) -> String {
    let normal = settings.limits.normal_depth_mm(record.patient.species);
    let mut facts = ToothFacts::of(record, tooth(number), normal);
    let mut mouth = Mouth::of(record, plan::visit_date(record, settings));
    match fact {
        "apical_disease" => facts.has_apical_disease = Some(true),
        "felv_or_fiv" => mouth.has_felv_or_fiv = Some(true),
        other => panic!("{other} is no fact"),
    }
    let (decision, _, charted) = record.decision(tooth(number)).expect("a decision");
    let guidance = one_tooth::guidance(&facts, &mouth, None, Some(decision));
    let found = one_tooth::conflicts(record, &guidance, decision, charted, jiff::tz::Offset::UTC);
    yes(found.iter().any(|c| c.cited.rule == key))
}

pub fn answer(ask: &str, record: &Record, past: &[Record], settings: &Settings) -> String {
    let plan = plan::make(record, past, settings);
    let words: Vec<&str> = ask.split_whitespace().collect();
    let number = |word: &str| word.parse::<u32>().expect("a number");
    match words.as_slice() {
        ["loss", at] => {
            let loss = of(&plan, at).worst_loss.expect("a loss");
            if loss.at_least_mm == loss.at_most_mm {
                loss.at_most_mm.to_string()
            } else {
                format!("{} to {}", loss.at_least_mm, loss.at_most_mm)
            }
        }
        ["deep", at] => yes(of(&plan, at).sites.iter().any(|site| site.is_deep)),
        ["pseudopocket", at] => yes(of(&plan, at).sites.iter().any(|site| site.is_pseudopocket)),
        ["stage", at] => of(&plan, at)
            .stage
            .as_ref()
            .map_or("none".into(), |s| s.words()),
        ["lacking", at] => of(&plan, at)
            .stage
            .as_ref()
            .expect("a stage")
            .lacking
            .join("; "),
        ["share", loss, root] => stage::by_share(number(loss), number(root)).word().into(),
        ["examined", at] => {
            let of = tooth(at);
            if plan.unexamined.uncharted.contains(&of) {
                "uncharted".into()
            } else if plan.unexamined.unprobed.contains(&of) {
                "incomplete".into()
            } else {
                "enough".into()
            }
        }
        ["sites", at] => of(&plan, at)
            .sites
            .iter()
            .filter(|s| s.depth_mm.is_some())
            .count()
            .to_string(),
        ["note", at, key] => yes(of(&plan, at).notes.iter().any(|note| note.rule == *key)),
        ["pulp", at] => of(&plan, at).is_pulp_exposed.map_or("unknown".into(), yes),
        ["guidance", at, key] => yes(of(&plan, at).guidance.iter().any(|g| g.cited.rule == *key)),
        ["names", at, key] => {
            let guidance = of(&plan, at)
                .guidance
                .iter()
                .find(|g| g.cited.rule == *key)
                .expect("guidance");
            guidance.names.join(" ")
        }
        ["conflict", at, key] => yes(of(&plan, at).conflicts.iter().any(|c| c.cited.rule == *key)),
        ["conflicts", at] => of(&plan, at).conflicts.len().to_string(),
        ["stands_by", at] => yes(of(&plan, at).conflicts.iter().all(|c| c.vet_stands_by_it)),
        ["conflict_with", fact, at, key] => conflict_with(record, settings, at, fact, key),
        ["undecided", at] => yes(of(&plan, at).is_undecided()),
        ["reason", at] => word(of(&plan, at).decision.as_ref().expect("a decision").reason),
        ["pieces", at] => of(&plan, at)
            .decision
            .as_ref()
            .expect("a decision")
            .pieces
            .to_string(),
        ["mouth_guidance", key] => yes(plan.mouth.guidance.iter().any(|g| g.rule == *key)),
        ["mean", "plaque"] => plan.mouth.plaque.as_ref().map_or("none".into(), |s| {
            format!(
                "{} over {}",
                plan::words::hundredths(s.mean_hundredths),
                s.count
            )
        }),
        ["lost_share"] => plan
            .mouth
            .attachment_lost_thousandths
            .map_or("none".into(), |s| s.to_string()),
        ["mouth_score"] => match &plan.mouth.mouth_score {
            MouthScore::Refused { .. } => "refused".into(),
            MouthScore::Worked {
                gingivitis,
                periodontitis,
                ..
            } => format!("{gingivitis:.2} {periodontitis:.2}"),
        },
        ["coverage", percent] => coverage_score(number(percent) as u8).to_string(),
        ["halves", a, b, c, d, combine] => {
            let combine = if *combine == "sum" {
                Combine::Sum
            } else {
                Combine::Mean
            };
            let [a, b, c, d] = [a, b, c, d].map(|word| number(word) as u8);
            plaque_of_halves((a, b), (c, d), combine).to_string()
        }
        ["film", at, key] => {
            let film = plan.films.teeth.iter().find(|film| film.tooth == tooth(at));
            yes(film.is_some_and(|film| film.why.iter().any(|why| why.rule == *key)))
        }
        ["film_taken", at] => yes(plan
            .films
            .teeth
            .iter()
            .any(|film| film.tooth == tooth(at) && film.is_taken)),
        ["film_after", at] => {
            let film = plan
                .films
                .after_extraction
                .iter()
                .find(|film| film.tooth == tooth(at));
            film.map_or("not extracted".into(), |film| {
                if film.is_taken { "taken" } else { "wanting" }.into()
            })
        }
        ["full_mouth"] => if plan.films.full_mouth_taken {
            "taken"
        } else {
            "advised"
        }
        .into(),
        ["film_size"] => plan
            .films
            .size
            .as_ref()
            .map_or("none".into(), |size| size.text.clone()),
        ["view", key] => plan
            .films
            .views
            .iter()
            .filter(|view| view.view == *key)
            .count()
            .to_string(),
        ["recheck", key] => {
            let recheck = plan
                .afterwards
                .rechecks
                .iter()
                .find(|recheck| recheck.cited.rule == *key);
            recheck.map_or("none".into(), |recheck| match recheck.from {
                Some(from) => format!("{from} to {}", recheck.until),
                None => format!("by {}", recheck.until),
            })
        }
        ["compare_next"] => plan::words::teeth(&plan.afterwards.compare_next),
        ["home", key] => yes(plan
            .afterwards
            .home_care
            .iter()
            .any(|line| line.rule == *key)),
        ["ceiling", drug] => match &plan.anaesthetic.ceilings {
            Ceilings::Refused { .. } => "refused".into(),
            Ceilings::Worked { ceilings, .. } => {
                let ceiling = ceilings
                    .iter()
                    .find(|c| c.drug.word() == *drug)
                    .expect("a drug");
                format!(
                    "{} mg {} ml",
                    plan::words::mg(ceiling.ceiling_ug),
                    plan::words::hundredths(ceiling.volume_ml_hundredths)
                )
            }
        },
        ["total"] => match &plan.anaesthetic.ceilings {
            Ceilings::Refused { .. } => "refused".into(),
            Ceilings::Worked { total, .. } => {
                format!("{} {}", total.share_thousandths, word(total.against))
            }
        },
        ["own_ceilings"] => match &plan.anaesthetic.ceilings {
            Ceilings::Refused { .. } => "refused".into(),
            Ceilings::Worked { total, .. } if total.over_in_mix.is_empty() => "within".into(),
            Ceilings::Worked { .. } => "over".into(),
        },
        ["alarm"] => yes(plan.has_alarm()),
        ["left", drug] => match &plan.anaesthetic.ceilings {
            Ceilings::Refused { .. } => "refused".into(),
            Ceilings::Worked { ceilings, total } => {
                assert!(total.against >= Against::Below);
                let ceiling = ceilings
                    .iter()
                    .find(|c| c.drug.word() == *drug)
                    .expect("a drug");
                format!(
                    "{} ml",
                    plan::words::hundredths(ceiling.left_volume_ml_hundredths)
                )
            }
        },
        ["block", at, key] => {
            let block = plan
                .anaesthetic
                .blocks
                .iter()
                .find(|b| b.cited.rule == *key);
            block
                .filter(|block| block.teeth.contains(&tooth(at)))
                .map_or("no".into(), |block| word(block.certainty))
        }
        ["warning", key] => yes(plan.anaesthetic.warnings.iter().any(|w| w.rule == *key)),
        ["caution", key] => yes(plan.anaesthetic.cautions.iter().any(|c| c.rule == *key)),
        ["check", key] => {
            let line = plan.checks.iter().find(|line| line.key == *key);
            line.map_or("none".into(), |line| word(line.state))
        }
        ["check_detail", key] => {
            let line = plan
                .checks
                .iter()
                .find(|line| line.key == *key)
                .expect("a check");
            line.detail.clone().unwrap_or_default()
        }
        ["item", key] => yes(plan.lay_out.items.iter().any(|item| item.item == *key)),
        ["in_case", key] => {
            let item = plan.lay_out.items.iter().find(|item| item.item == *key);
            item.map_or("none".into(), |item| yes(item.is_in_case))
        }
        ["item_why", key] => {
            let item = plan.lay_out.items.iter().find(|item| item.item == *key);
            item.and_then(|item| item.why.clone()).unwrap_or_default()
        }
        ["before", one, other] => {
            let at = |key: &str| plan.lay_out.items.iter().position(|item| item.item == key);
            yes(at(one).expect("one") < at(other).expect("other"))
        }
        ["care", key] => yes(plan.lay_out.care.iter().any(|care| care.rule == *key)),
        ["staged", at] => {
            let of = |list: &[plan::staging::Placed]| {
                list.iter()
                    .find(|placed| placed.tooth == tooth(at))
                    .map(|placed| placed.cited.rule.clone())
            };
            let put_off = plan.staging.put_off.contains(&tooth(at));
            of(&plan.staging.today)
                .or(of(&plan.staging.can_wait))
                .unwrap_or_else(|| if put_off { "put off" } else { "none" }.into())
        }
        ["stop", key] => yes(plan.staging.stop.iter().any(|stop| stop.rule == *key)),
        ["staging_asks"] => plan.staging.asks.join("; "),
        ["near_limit"] => {
            let newest = record.all().map(|charted| charted.at).max();
            let near = newest.and_then(|now| plan::staging::near_limit(record, settings, now));
            near.map_or("none".into(), |near| {
                let teeth: Vec<String> = near.teeth.iter().map(ToString::to_string).collect();
                let (minutes, limit) = (near.minutes, near.limit_minutes);
                format!("{minutes} of {limit}: {}", teeth.join(", "))
            })
        }
        ["staging_basis", key] => yes(plan.staging.basis.iter().any(|basis| basis.rule == *key)),
        ["stage_limit"] => plan
            .staging
            .limit_minutes
            .map_or("none".into(), |minutes| minutes.to_string()),
        ["item_title", key] => {
            let item = plan.lay_out.items.iter().find(|item| item.item == *key);
            item.map_or("none".into(), |item| item.cited.text.clone())
        }
        ["shelf", key] => {
            let item = plan
                .lay_out
                .items
                .iter()
                .find(|item| item.item == *key)
                .expect("an item");
            let missing = plan.lay_out.missing.contains(&item.item);
            if missing {
                "missing".into()
            } else {
                item.shelf.join(", ")
            }
        }
        ["root_size", at] => word(layout::root_size(&record.patient, tooth(at))),
        ["order"] => {
            let steps: Vec<String> = plan.work.steps.iter().map(|step| word(step.kind)).collect();
            steps.join(" ")
        }
        ["steps"] => {
            let steps: Vec<&str> = plan
                .work
                .steps
                .iter()
                .map(|step| step.text.as_str())
                .collect();
            steps.join("; ")
        }
        ["turns"] => plan.work.turns.to_string(),
        ["wait"] => plan.work.wait_minutes.to_string(),
        ["left_out"] => {
            let left = plan.work.left_out.iter().map(|left| left.text.as_str());
            left.collect::<Vec<_>>().join("; ")
        }
        ["work_basis", key] => yes(plan.work.basis.iter().any(|basis| basis.rule == *key)),
        ["work_warnings"] => plan.work.warnings.join("; "),
        ["learned"] => {
            let learned = plan
                .work
                .learned
                .iter()
                .map(|(task, count)| format!("{} {count}", word(task)));
            learned.collect::<Vec<_>>().join(", ")
        }
        ["compare", at] => match progress::latest_before(record, past) {
            None => "no earlier visit".into(),
            Some(earlier) => {
                let tooth = progress::compare_tooth(earlier, record, tooth(at), settings);
                if tooth.has_progressed {
                    "progressed".into()
                } else if tooth.changes.is_empty() {
                    "no change".into()
                } else {
                    "changed".into()
                }
            }
        },
        ["compare_said", at] => {
            let said = plan::compare_spoken(record, past, tooth(at), settings);
            said.iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(" ")
        }
        ["figure", key] => plan::rules().figure(key).value.to_string(),
        other => panic!("{other:?} is no question"),
    }
}
