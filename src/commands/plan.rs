//! `sulcus plan`: reads a visit, the clinic's other visits and the clinic file, and prints the plan.

use std::path::{Path, PathBuf};

use anyhow::Context;

use crate::app::clinic::Clinic;
use crate::archive;
use crate::commands::{Outcome, visit};
use crate::config::Config;
use crate::plan::{self, Settings};
use crate::record::Record;
use crate::record::journal::Past;

/// Work out what follows from a visit: films, order of work, ceilings, checks, home care
#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
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
    let mut settings = settings(options.clinic.as_deref(), config)?;
    if options.minutes.is_some() {
        settings.order.minutes_available = options.minutes;
    }
    let (record, past) = visit_and_past(config, &options.visit, &settings)?;
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

/// The clinic file that was named, else that of the data folder; the defaults where there is none.
pub fn settings(file: Option<&Path>, config: &Config) -> anyhow::Result<Settings> {
    let Some(file) = file else {
        return Ok(Clinic::load(&config.data)?.plan);
    };
    let text = std::fs::read_to_string(file).with_context(|| {
        format!(
            "cannot read the clinic file {}; give another with --clinic FILE",
            file.display()
        )
    })?;
    let clinic = Clinic::read(&text).map_err(anyhow::Error::msg);
    Ok(clinic
        .with_context(|| format!("in {}", file.display()))?
        .plan)
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

/// The record of the visit named, and those of the other visits that a plan or a comparison needs. A damaged other visit is left out, and told.
pub fn visit_and_past(
    config: &Config,
    wanted: &str,
    settings: &Settings,
) -> anyhow::Result<(Record, Vec<Record>)> {
    // Uses of an instrument are counted from the day it was last seen to: a day earlier, for the clinic's own time.
    let shelf = settings.shelf.iter();
    let since = shelf
        .flat_map(|item| [item.sharpened, item.sterilised])
        .flatten()
        .min()
        .and_then(|day| day.yesterday().ok())
        .and_then(|day| {
            let midnight = day.to_datetime(jiff::civil::Time::midnight());
            jiff::tz::TimeZone::UTC.to_timestamp(midnight).ok()
        });
    let (journal, visit) = visit::open(config, wanted)?;
    let mut past = Vec::new();
    let mut here: Vec<_> = journal
        .visits_of_patient(&visit.record.patient)?
        .iter()
        .map(|summary| summary.visit)
        .collect();
    here.push(visit.record.visit);
    past.extend(archive::kept_history(
        &config.data,
        &visit.record.patient,
        &here,
    ));
    let wanted = Past {
        since,
        ..Past::of(&visit.record)
    };
    for earlier in journal.past(&wanted)? {
        match visit::read(&journal, earlier) {
            Ok(earlier) => past.push(earlier.record),
            Err(why) => eprintln!("sulcus: visit {earlier} is left out: {why:#}"),
        }
    }
    Ok((visit.record, past))
}
