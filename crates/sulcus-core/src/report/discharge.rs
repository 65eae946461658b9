//! What the owner does at home: medicines with times, food, stitches, collar, brushing, warning signs, dates, the
//! clinic's telephone. Part of the owner's sheet.
//!
//! Invariants: only what was said or is set by the clinic stands here; what is lacking is said to be lacking; no
//! abbreviation, and dates instead of intervals.

use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::content::Block;
use crate::plan::Plan;
use crate::plan::settings::Practice;
use crate::record::{Record, Standing, surgery, wording};
use crate::terms::drug::thousandths;
use crate::terms::surgery::{HomeCare, HomeUnit, Suture};
use crate::terms::{Procedure, ToothNumber};

/// What the sheet takes from the plan and from the clinic's file.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Home {
    pub practice: Practice,
    /// Days to come again, soonest first: from, until, what for.
    pub dates: Vec<(Option<Date>, Date, String)>,
    /// Of complications, for the owner.
    pub notes: Vec<String>,
}

impl Home {
    pub fn of(plan: &Plan, practice: &Practice) -> Self {
        let mut dates: Vec<(Option<Date>, Date, String)> = Vec::new();
        for recheck in &plan.afterwards.rechecks {
            let what = visit_words(&recheck.cited.rule, &recheck.teeth);
            let date = (recheck.from, recheck.until, what);
            if !dates.contains(&date) {
                dates.push(date);
            }
        }
        Self {
            practice: practice.clone(),
            dates,
            notes: plan
                .afterwards
                .home_care
                .iter()
                .filter(|line| {
                    line.rule.starts_with("after_") || line.rule.starts_with("home_done_")
                })
                .map(|line| line.text.clone())
                .collect(),
        }
    }
}

/// What a visit is for, in plain words.
fn visit_words(rule: &str, teeth: &[ToothNumber]) -> String {
    let of = |what: &str| match teeth {
        [] => what.to_owned(),
        teeth => {
            let names: Vec<String> = teeth.iter().map(|t| super::owner::plain_name(*t)).collect();
            format!("{what}: {}", names.join(", "))
        }
    };
    match rule {
        "check_after_extraction_days" => "We look at the wounds".into(),
        "recheck_said" => of("We look again at"),
        "sample_result" => "The result of the sample should be here: we call you".into(),
        "film_after_root_treatment_months"
        | "film_after_root_left_months"
        | "after_neighbour_damaged" => of("X-ray picture of"),
        "resorption_cat_months" => "We look at the whole mouth and take X-ray pictures".into(),
        "ulcer_again_days" => "We look at the sore or swelling again".into(),
        "recheck_eruption_months" => "We look whether all grown-up teeth are in".into(),
        rule if rule.starts_with("recheck_stage") => "We look at the whole mouth".into(),
        _ => of("We look again at"),
    }
}

fn sure(record: &Record) -> impl Iterator<Item = &Procedure> {
    record
        .procedures()
        .filter(|(_, charted)| charted.standing == Standing::Confirmed)
        .map(|(procedure, _)| procedure)
}

fn has_wound(record: &Record) -> bool {
    sure(record).any(|procedure| {
        matches!(
            procedure,
            Procedure::Extracted { .. }
                | Procedure::CrownRemoved { .. }
                | Procedure::Flap { .. }
                | Procedure::Sutured { .. }
                | Procedure::GumSurgery { .. }
                | Procedure::SampleTaken { .. }
        ) || matches!(procedure, Procedure::Treated { treatment, .. } if treatment.is_of_the_gum())
    })
}

fn days_of(record: &Record, wanted: HomeCare) -> Option<u16> {
    sure(record)
        .filter_map(|procedure| match procedure {
            Procedure::HomeCare { what, days } if *what == wanted => Some(*days),
            _ => None,
        })
        .last()
}

/// What must be said before the sheet may be relied on.
pub(super) fn lacking(record: &Record, home: &Home) -> Vec<String> {
    let mut lines = Vec::new();
    let food = days_of(record, HomeCare::SoftFood).or(home.practice.soft_food_days);
    if has_wound(record) && food.is_none() {
        lines.push(
            "STILL OPEN: nobody said for how many days soft food is needed. Where there are stitches, 14 days are often named."
                .to_owned(),
        );
    }
    let open = surgery::samples(record)
        .iter()
        .any(|sample| sample.result.is_none() && sample.due().is_none());
    if open {
        lines.push("STILL OPEN: nobody said when the result of the sample is due.".into());
    }
    lines
}

pub(super) fn blocks(record: &Record, zone: &TimeZone, home: &Home) -> Vec<Block> {
    let mut blocks = Vec::new();
    let medicines = medicines(record, zone);
    if !medicines.is_empty() {
        blocks.push(Block::Heading("Medicines".into()));
        blocks.push(Block::List(medicines));
    }
    blocks.push(Block::Heading("At home".into()));
    blocks.push(Block::List(care(record, zone, home)));
    if !home.dates.is_empty() {
        let is_open = record.unconfirmed().count() > 0;
        let items = home
            .dates
            .iter()
            .map(|(from, until, what)| {
                let day = match from {
                    Some(from) => format!("{} to {}", written(*from), written(*until)),
                    None => format!("By {}", written(*until)),
                };
                let doubt = if is_open { " (not checked yet)" } else { "" };
                format!("{day}: {what}.{doubt}")
            })
            .collect();
        blocks.push(Block::Heading("Dates".into()));
        blocks.push(Block::List(items));
    }
    blocks.push(Block::Heading("Call us at once if your animal".into()));
    blocks.push(Block::List(vec![
        "bleeds from the mouth in a stream, or breathes with noise;".into(),
        "does not eat for a day, is sick, or has a fit;".into(),
        "has a swollen face, a red or shut eye, or a mouth that does not close;".into(),
        "sneezes or has a runny nose, paws at its mouth, or smells bad;".into(),
        "has lost its stitches, or seems in pain.".into(),
    ]));
    blocks.push(Block::Paragraph(telephone(&home.practice)));
    blocks
}

fn written(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

fn medicines(record: &Record, zone: &TimeZone) -> Vec<String> {
    let mut items: Vec<String> = sure(record)
        .filter_map(|procedure| match procedure {
            Procedure::HomeMedicine {
                drug,
                amount_thousandths,
                unit,
                times_a_day,
                days,
            } => {
                let first = surgery::first_dose(record, drug, *times_a_day).map_or_else(
                    || "Ask us when to give the first.".to_owned(),
                    |at| {
                        let at = at.to_zoned_datetime(zone.clone());
                        format!(
                            "Give the first not before {}.",
                            at.strftime("%H:%M on %-d %B")
                        )
                    },
                );
                let amount = thousandths(u64::from(*amount_thousandths));
                let unit = match unit {
                    HomeUnit::Ml => "ml",
                    HomeUnit::Tablets if amount == "1" => "tablet",
                    HomeUnit::Tablets => "tablets",
                };
                Some(format!(
                    "{drug}: {amount} {unit}, {}, for {days} days. {first}",
                    wording::times(*times_a_day)
                ))
            }
            _ => None,
        })
        .collect();
    if !items.is_empty() {
        items.push(
            "Never give medicine made for people. Some of it can kill a dog or a cat.".into(),
        );
    }
    items
}

fn care(record: &Record, zone: &TimeZone, home: &Home) -> Vec<String> {
    let today = record.opened_at.to_zoned_datetime(zone.clone()).date();
    let until = |days: u16| written(today.saturating_add(jiff::Span::new().days(i64::from(days))));
    let has_wound = has_wound(record);
    let mut items = Vec::new();
    match days_of(record, HomeCare::SoftFood).or(home.practice.soft_food_days) {
        Some(days) if has_wound || days_of(record, HomeCare::SoftFood).is_some() => {
            items.push(format!(
                "This evening give a small meal only. Give soft food until {}. No hard chews, no bones, no tug toys.",
                until(days)
            ));
        }
        _ if has_wound => items.push("Give soft food only. Ask us for how long.".into()),
        _ => items.push("This evening give a small meal only.".into()),
    }
    if let Some(days) = days_of(record, HomeCare::Rest) {
        items.push(format!("Keep your animal quiet until {}.", until(days)));
    }
    if let Some(days) = days_of(record, HomeCare::Collar) {
        items.push(format!("The collar stays on until {}.", until(days)));
    } else if has_wound {
        items.push("If it paws at its mouth, ask us for a collar.".into());
    }
    let sutures: Vec<Suture> = sure(record)
        .filter_map(|procedure| match procedure {
            Procedure::Sutured { material, .. } => *material,
            _ => None,
        })
        .collect();
    let is_sewn = sure(record).any(|procedure| matches!(procedure, Procedure::Sutured { .. }));
    let gone = sutures
        .iter()
        .filter_map(|suture| suture.gone_after_days())
        .max();
    match gone {
        _ if sutures.contains(&Suture::Nylon) => {
            items.push("The stitches must be taken out. We do that.".into());
        }
        Some((from, to)) => items.push(format!(
            "The stitches go away by themselves between {} and {}.",
            until(from),
            until(to)
        )),
        None if is_sewn => items.push("Leave the stitches alone. Do not pull at them.".into()),
        None => {}
    }
    if record
        .procedures()
        .any(|(procedure, _)| matches!(procedure, Procedure::NerveBlock { .. }))
    {
        items.push(
            "Tongue or lip may be numb for some hours. Watch that your animal does not bite them."
                .into(),
        );
    }
    items.push(match (has_wound, home.practice.brush_after_days) {
        (true, Some(days)) => format!(
            "Brush the teeth from {} on, not before. We show you how.",
            until(days)
        ),
        (true, None) => "Do not brush over the stitches. Ask us when to begin.".into(),
        (false, _) => "Brush the teeth each day. We show you how.".into(),
    });
    items.extend(home.notes.iter().cloned());
    items
}

fn telephone(practice: &Practice) -> String {
    let name = practice.name.as_deref().unwrap_or("Our telephone");
    let number = practice
        .telephone
        .as_deref()
        .unwrap_or("______________________");
    match &practice.emergency_telephone {
        Some(emergency) => format!("{name}: {number}. At night and on holidays: {emergency}."),
        None => format!("{name}: {number}."),
    }
}
