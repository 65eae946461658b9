//! `sulcus verify`: is every visit in the journal exactly as it was written? Says what it can show (an accident; a
//! change by somebody without the clinic's key) and what it cannot.

use std::path::PathBuf;

use serde::Serialize;

use crate::commands::Outcome;
use crate::config::Config;
use crate::record::Journal;
use crate::record::journal::{self, DataFolder, Keys, ProblemKind, Report, Signed};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Check this backup instead of the data folder
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,

    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// What was found, as JSON.
#[derive(Debug, Serialize)]
struct Found<'a> {
    file: String,
    /// Nothing is wrong, and nothing that had been saved is lost.
    is_whole: bool,
    visits: Vec<FoundVisit<'a>>,
    /// Visits that the disk lost as a whole, a sentence each.
    lost_visits: Vec<String>,
    problems: Vec<FoundProblem<'a>>,
    /// Summaries that did not fit their visits.
    doubtful_summaries: u64,
    /// Without it an end lost since the last signature is not noticed.
    has_mark: bool,
}

#[derive(Debug, Serialize)]
struct FoundVisit<'a> {
    visit: String,
    patient: &'a str,
    entry_count: u64,
    value_count: usize,
    confirmed_count: usize,
    is_finished: bool,
    head_hash: &'a str,
    /// The newest entry that a signature covers.
    signed_up_to: Option<u64>,
    /// What the disk lost of it, a sentence each.
    losses: Vec<String>,
}

#[derive(Debug, Serialize)]
struct FoundProblem<'a> {
    /// "damage", "lost", "forged" or "unproven".
    kind: &'static str,
    visit: Option<&'a str>,
    number: Option<u64>,
    why: &'a str,
}

impl<'a> From<&'a Report> for Found<'a> {
    fn from(report: &'a Report) -> Self {
        Self {
            file: report.file.display().to_string(),
            is_whole: report.is_whole(),
            visits: report
                .visits
                .iter()
                .map(|visit| FoundVisit {
                    visit: visit.visit.to_string(),
                    patient: &visit.patient,
                    entry_count: visit.entry_count,
                    value_count: visit.value_count,
                    confirmed_count: visit.confirmed_count,
                    is_finished: visit.is_finished,
                    head_hash: &visit.head_hash,
                    signed_up_to: match visit.signed {
                        Signed::UpTo { number, .. } => Some(number),
                        Signed::Not => None,
                    },
                    losses: visit
                        .losses
                        .iter()
                        .map(|loss| loss.sentence(visit.visit))
                        .collect(),
                })
                .collect(),
            lost_visits: report.lost_visits.iter().map(ToString::to_string).collect(),
            problems: report
                .problems
                .iter()
                .map(|problem| FoundProblem {
                    kind: match problem.kind {
                        ProblemKind::Damage => "damage",
                        ProblemKind::Lost => "lost",
                        ProblemKind::Forged => "forged",
                        ProblemKind::Unproven => "unproven",
                    },
                    visit: problem.visit.as_deref(),
                    number: problem.number,
                    why: &problem.why,
                })
                .collect(),
            doubtful_summaries: report.doubtful_summaries,
            has_mark: !report.is_without_mark,
        }
    }
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let storage = DataFolder::new(&config.data);
    let report = match &options.file {
        Some(file) => journal::verify_file(file, Keys::of(&storage))?,
        None => journal::verify_on(&storage)?,
    };
    let mended = (report.doubtful_summaries > 0).then(|| summaries(options, config, &report));
    if options.json {
        println!("{}", serde_json::to_string_pretty(&Found::from(&report))?);
    } else {
        print(&report);
        if let Some(mended) = mended {
            println!("{mended}");
        }
        judge(&report);
    }
    Ok(if report.is_whole() {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

/// Summaries are made of the entries; where those are good, they are made again.
fn summaries(options: &Options, config: &Config, report: &Report) -> String {
    let found = format!(
        "summaries: {} did not fit their visits",
        report.doubtful_summaries
    );
    if !report.problems.is_empty() || options.file.is_some() {
        return found;
    }
    match Journal::open(&config.data).and_then(|mut journal| journal.make_summaries()) {
        Ok(()) => format!("{found}; all were made again from the entries"),
        Err(why) => format!("{found}, and could not be made again: {why}"),
    }
}

/// Says what was shown, and what was not: by whom a change could have been made.
fn judge(report: &Report) {
    let file = report.file.display();
    let has = |kind| report.problems.iter().any(|problem| problem.kind == kind);
    if has(ProblemKind::Damage) {
        println!(
            "damaged: some hashes do not fit; by accident, or by somebody who did not work them out anew. Nothing was changed; sulcus salvage OUT writes what can be proven to a fresh folder"
        );
    }
    if has(ProblemKind::Forged) {
        println!(
            "changed by somebody without the clinic's key: what was signed is not what is there, although the hashes may fit. Compare with a backup, an export or the foot of a printed report"
        );
    }
    if has(ProblemKind::Unproven) {
        println!(
            "unproven: a signature that belongs there is missing or of a key that does not count here"
        );
    }
    if report.has_losses() {
        println!(
            "not whole: entries that had been saved were lost by the disk, as told above; what is there is as it was written"
        );
    }
    let signed = report
        .visits
        .iter()
        .filter(|visit| matches!(&visit.signed, Signed::UpTo { number, .. } if *number == visit.entry_count))
        .count();
    let in_part = report
        .visits
        .iter()
        .filter(|visit| matches!(&visit.signed, Signed::UpTo { number, .. } if *number < visit.entry_count))
        .count();
    let unsigned = report.visits.len() - signed - in_part;
    if report.is_whole() {
        println!(
            "whole: every entry of every visit in {file} is as it was written, by accident nothing changed"
        );
    }
    if !has(ProblemKind::Forged) {
        println!(
            "signed: in {signed} visits nobody without the clinic's key changed anything; in {in_part} more not up to the signed entry; of {unsigned} unsigned visits that cannot be told"
        );
    }
    for key in &report.keys.named_by_file {
        println!(
            "signed with the key {key} that the file itself names: compare it with the clinic's key as it was printed"
        );
    }
    if report.is_without_mark {
        println!("no mark beside it: whether the newest unsigned entries were lost cannot be told");
    }
}

/// The visits, then what is wrong.
pub(super) fn print(report: &Report) {
    for visit in &report.visits {
        println!(
            "{}  {:<16} {:>5} entries  {:>4} values, {:>4} confirmed  {:<12}  {}",
            visit.visit,
            visit.patient,
            visit.entry_count,
            visit.value_count,
            visit.confirmed_count,
            if visit.is_finished {
                "finished"
            } else {
                "not finished"
            },
            match &visit.signed {
                Signed::UpTo { number, .. } if *number >= visit.entry_count => "signed".to_owned(),
                Signed::UpTo { number, .. } => format!("signed up to entry {number}"),
                Signed::Not => "not signed".to_owned(),
            }
        );
        for loss in &visit.losses {
            println!("LOST: {}", loss.sentence(visit.visit));
        }
    }
    for lost in &report.lost_visits {
        println!("LOST: {lost}");
    }
    for problem in &report.problems {
        println!("problem in {problem}");
    }
}
