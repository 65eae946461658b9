//! `sulcus visits`: lists the visits kept here, newest first.

use std::collections::HashMap;

use jiff::Timestamp;
use serde::Serialize;

use crate::commands::{Outcome, doors, visit};
use crate::config::Config;
use crate::plan::progress;
use crate::record::journal::{State, VisitSummary, Wanted};
use crate::terms::{PartialDate, Patient};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Only visits whose patient's name, id or owner holds these letters
    #[arg(long, value_name = "TEXT")]
    patient: Option<String>,

    /// Only visits of this day (2026-11-25), month (2026-11) or year
    #[arg(long, value_name = "DATE", value_parser = check_date)]
    date: Option<String>,

    /// Only visits not finished
    #[arg(long, conflicts_with = "finished")]
    open: bool,

    /// Only finished visits
    #[arg(long)]
    finished: bool,

    /// Group by patient, with each patient's weights over the visits
    #[arg(long)]
    by_patient: bool,

    /// List what was forgotten: tombstones of deleted visits
    #[arg(long)]
    forgotten: bool,

    /// Print JSON
    #[arg(long, conflicts_with = "by_patient")]
    json: bool,
}

/// The list as JSON.
#[derive(Debug, Serialize)]
struct Listed<'a> {
    visits: Vec<ListedVisit<'a>>,
    /// What the disk lost as a whole, a sentence each.
    lost: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ListedVisit<'a> {
    visit: String,
    /// "open", "finished" or "damaged".
    state: &'static str,
    opened_at: Option<Timestamp>,
    finished_at: Option<Timestamp>,
    /// None where the visit is damaged.
    patient: Option<&'a Patient>,
    entry_count: u64,
    value_count: u64,
    confirmed_count: u64,
    /// Entries that the disk lost and that were told.
    lost_count: u64,
}

impl<'a> From<&'a VisitSummary> for ListedVisit<'a> {
    fn from(summary: &'a VisitSummary) -> Self {
        Self {
            visit: summary.visit.to_string(),
            state: state_word(summary.state),
            opened_at: summary.opened_at,
            finished_at: summary.finished_at,
            patient: summary.patient.as_ref(),
            entry_count: summary.entry_count,
            value_count: summary.value_count,
            confirmed_count: summary.confirmed_count,
            lost_count: summary.lost_count,
        }
    }
}

fn state_word(state: State) -> &'static str {
    match state {
        State::Open => "open",
        State::Finished => "finished",
        State::Damaged => "damaged",
    }
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let journal = doors::reader(config)?;
    if options.forgotten {
        let stones = journal.tombstones()?;
        if options.json {
            println!("{}", serde_json::to_string_pretty(&stones)?);
            return Ok(Outcome::Done);
        }
        for stone in stones {
            println!(
                "{}  forgotten {}  {} entries  {}",
                stone.visit, stone.at, stone.entry_count, stone.reason
            );
        }
        return Ok(Outcome::Done);
    }
    let wanted_date = options.date.as_deref();
    let wanted = Wanted {
        text: options.patient.clone(),
        state: match (options.open, options.finished) {
            (true, _) => Some(State::Open),
            (_, true) => Some(State::Finished),
            _ => None,
        },
        ..Wanted::default()
    };
    let mut summaries = journal.summaries(&wanted)?;
    // What was found just now was told; damage that the list met on its way is told here.
    let is_damaged = !journal.damage().is_empty();
    // In the order of the list, whatever the conditions: a damaged visit has no patient and no date to fit them.
    let damaged: Vec<_> = summaries
        .extract_if(.., |summary| summary.state == State::Damaged)
        .collect();
    summaries.retain(|summary| {
        wanted_date.is_none_or(|date| {
            summary
                .opened_at
                .is_some_and(|at| visit::local(at).starts_with(date))
        })
    });
    let lost = journal.lost_visits()?;
    if options.json {
        let list = Listed {
            visits: summaries.iter().chain(&damaged).map(Into::into).collect(),
            lost: lost.iter().map(ToString::to_string).collect(),
        };
        println!("{}", serde_json::to_string_pretty(&list)?);
    } else if summaries.is_empty() {
        println!("no visit fits");
    } else if options.by_patient {
        by_patient(&summaries);
    } else {
        for summary in &summaries {
            println!("{}", line(summary));
        }
    }
    for summary in &damaged {
        eprintln!(
            "visit {}: it is damaged and cannot be shown; run sulcus verify",
            summary.visit
        );
    }
    if !options.json {
        for lost in &lost {
            println!("LOST: {lost}");
        }
    }
    Ok(if damaged.is_empty() && !is_damaged {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

fn check_date(text: &str) -> Result<String, String> {
    match text.parse::<PartialDate>() {
        Ok(_) => Ok(text.to_owned()),
        Err(_) => Err("no date; write 2026-11-25, 2026-11 or 2026".to_owned()),
    }
}

/// Name and all that tells two patients of one name apart.
pub fn who(patient: &Patient) -> String {
    let mut words = vec![format!("{} ({})", patient.name, patient.species.word())];
    words.extend(patient.id.as_ref().map(|id| format!("id {id}")));
    words.extend(
        patient
            .microchip
            .as_ref()
            .map(|chip| format!("chip {chip}")),
    );
    words.extend(patient.owner.as_ref().map(|owner| format!("owner {owner}")));
    words.extend(patient.born.as_ref().map(|born| format!("born {born}")));
    if patient.invented {
        words.push("INVENTED".into());
    }
    words.join(", ")
}

fn line(summary: &VisitSummary) -> String {
    let short: String = summary.visit.to_string().chars().take(8).collect();
    let state = format!("{:<8}", state_word(summary.state));
    let unconfirmed = match summary.value_count.saturating_sub(summary.confirmed_count) {
        0 => String::new(),
        count => format!("  {count} unconfirmed"),
    };
    let lost = match summary.lost_count {
        0 => String::new(),
        count => format!("  {count} entries LOST by the disk"),
    };
    format!(
        "{short}  {}  {state}  {}{unconfirmed}{lost}",
        summary.opened_at.map(visit::local).unwrap_or_default(),
        summary.patient.as_ref().map(who).unwrap_or_default(),
    )
}

/// Without an identifier two animals of one name and owner are told apart by their birth.
fn is_same(one: &Patient, other: &Patient) -> bool {
    let has_ids = one.id.is_some() && other.id.is_some();
    progress::is_same_patient(one, other) && (has_ids || one.born == other.born)
}

fn by_patient(summaries: &[VisitSummary]) {
    let mut patients: Vec<(&Patient, Vec<&VisitSummary>)> = Vec::new();
    // The patients of one name and species lie together: a list of thousands is grouped without comparing all pairs.
    let mut by_name: HashMap<String, Vec<usize>> = HashMap::new();
    for summary in summaries {
        let Some(patient) = &summary.patient else {
            continue;
        };
        let known = by_name.entry(patient.name.to_lowercase()).or_default();
        let same = known
            .iter()
            .copied()
            .find(|at| is_same(patients[*at].0, patient));
        match same {
            Some(at) => patients[at].1.push(summary),
            None => {
                known.push(patients.len());
                patients.push((patient, vec![summary]));
            }
        }
    }
    for (patient, visits) in patients {
        println!("{}", who(patient));
        for summary in visits {
            let weight = summary
                .patient
                .as_ref()
                .and_then(|patient| patient.weight)
                .map_or_else(
                    || "not weighed".into(),
                    |weight| format!("{} kg", weight.kg()),
                );
            println!("  {}  {weight}", line(summary));
        }
    }
}
