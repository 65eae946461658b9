//! `sulcus plan`: reads a visit, the clinic's other visits and the clinic file, and prints the plan.

use std::path::{Path, PathBuf};

use anyhow::Context;
use uuid::Uuid;

use crate::commands::Outcome;
use crate::config::Config;
use crate::plan::{self, Settings};
use crate::record::{Journal, Record};

/// Work out what follows from a visit: films, order of work, ceilings, checks, home care
#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its number or the beginning of it, or "latest"
    #[arg(value_name = "VISIT")]
    visit: String,

    /// Print JSON
    #[arg(long)]
    json: bool,

    /// The clinic's own limits, times, solutions, shelf and tables, as TOML
    #[arg(long, value_name = "FILE")]
    clinic: Option<PathBuf>,

    /// Time left for work: what does not fit is told, the most important is done first
    #[arg(long, value_name = "MINUTES")]
    minutes: Option<u32>,
}

/// Exit code 1 where the plan has an alarm: local anaesthetic over its ceiling, or a count that does not fit.
pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let mut settings = settings(options.clinic.as_deref())?;
    if options.minutes.is_some() {
        settings.order.minutes_available = options.minutes;
    }
    let (record, past) = visit_and_past(config, &options.visit)?;
    set_offset(&mut settings, &record);
    let plan = plan::make(&record, &past, &settings);
    if options.json {
        println!(
            "{}",
            serde_json::to_string_pretty(&plan).context("the plan cannot be written as JSON")?
        );
    } else {
        print!("{}", plan::text(&plan));
    }
    Ok(if plan.has_alarm() {
        Outcome::Problem
    } else {
        Outcome::Done
    })
}

/// The clinic file, checked; the defaults where none is given.
pub fn settings(file: Option<&Path>) -> anyhow::Result<Settings> {
    let Some(file) = file else {
        return Ok(Settings::default());
    };
    let text = std::fs::read_to_string(file).with_context(|| {
        format!(
            "cannot read the clinic file {}; give another with --clinic FILE",
            file.display()
        )
    })?;
    Settings::from_toml(&text).with_context(|| format!("in {}", file.display()))
}

/// Takes the machine's own offset from UTC on the day of the visit, where the clinic file sets none.
pub fn set_offset(settings: &mut Settings, record: &Record) {
    settings.utc_offset_minutes.get_or_insert_with(|| {
        jiff::tz::TimeZone::system()
            .to_offset(record.opened_at)
            .seconds()
            / 60
    });
}

/// The record of the visit named, and those of all other visits. A damaged other visit is left out, and told.
pub fn visit_and_past(config: &Config, wanted: &str) -> anyhow::Result<(Record, Vec<Record>)> {
    let journal = Journal::open_reader(&config.data)?;
    let lines = journal.visits()?;
    let visits: Vec<Uuid> = lines.iter().map(|line| line.visit).collect();
    let visit = find(&visits, wanted)?;
    let read = |visit: Uuid| -> anyhow::Result<Record> {
        let entries = journal.entries(visit)?;
        Record::fold(&entries).with_context(|| {
            format!("visit {visit} does not begin with its opening; run sulcus verify")
        })
    };
    let record = read(visit)?;
    let mut past = Vec::new();
    for other in visits.into_iter().filter(|other| *other != visit) {
        match read(other) {
            Ok(earlier) => past.push(earlier),
            Err(why) => eprintln!("sulcus: visit {other} is left out: {why:#}"),
        }
    }
    Ok((record, past))
}

/// "latest", a whole number, or the beginning of one and only one.
fn find(visits: &[Uuid], wanted: &str) -> anyhow::Result<Uuid> {
    if wanted == "latest" {
        return visits
            .first()
            .copied()
            .context("there is no visit yet; begin one with sulcus listen");
    }
    let wanted = wanted.to_lowercase();
    let found: Vec<Uuid> = visits
        .iter()
        .copied()
        .filter(|visit| !wanted.is_empty() && visit.to_string().starts_with(&wanted))
        .collect();
    match found.as_slice() {
        [one] => Ok(*one),
        [] => anyhow::bail!("no visit begins with {wanted:?}; list them with sulcus visits"),
        many => anyhow::bail!(
            "{} visits begin with {wanted:?}; give more of the number",
            many.len()
        ),
    }
}
