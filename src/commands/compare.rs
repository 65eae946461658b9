//! `sulcus compare`: what changed since an earlier visit of the same patient, tooth by tooth.

use std::path::PathBuf;

use anyhow::Context;

use crate::commands::{Outcome, plan, visit, visits, wrong_use};
use crate::config::Config;
use crate::plan::progress;
use crate::terms::ToothNumber;

/// Compare a visit with the one before of the same patient
#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,

    /// Compare with this visit instead of the newest earlier one
    #[arg(long, value_name = "VISIT")]
    with: Option<String>,

    /// Only this tooth
    #[arg(long, value_name = "NUMBER", value_parser = visit::tooth)]
    tooth: Option<ToothNumber>,

    /// Print JSON
    #[arg(long)]
    json: bool,

    /// The clinic's own limits, as TOML
    #[arg(long, value_name = "FILE")]
    clinic: Option<PathBuf>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let settings = plan::settings(options.clinic.as_deref(), config)?;
    let (record, past) = plan::visit_and_past(config, &options.visit, &settings)?;
    let chosen = match &options.with {
        Some(wanted) => Some(plan::visit_and_past(config, wanted, &settings)?.0),
        None => None,
    };
    let Some(earlier) = chosen
        .as_ref()
        .or_else(|| progress::latest_before(&record, &past))
    else {
        println!("no earlier visit of {}", record.patient.name);
        if let Some(doubtful) = progress::doubtful_before(&record, &past) {
            println!(
                "is {} of visit {} the same animal? Identifier, species and name do not all agree; if it is, say so with --with {}",
                visits::who(&doubtful.patient),
                doubtful.visit,
                doubtful.visit
            );
        }
        return Ok(Outcome::Problem);
    };
    // Whom a person chose with --with is the same where identifier or name says so.
    let is_chosen = chosen.is_some() && progress::may_be_same(&earlier.patient, &record.patient);
    if !is_chosen && !progress::is_same_patient(&earlier.patient, &record.patient) {
        return wrong_use(format!(
            "the two visits are of different patients: {} and {}; give two visits of one patient",
            earlier.patient.name, record.patient.name
        ));
    }
    let mut comparison = progress::compare(earlier, &record, &settings);
    if let Some(tooth) = options.tooth {
        comparison.teeth = vec![progress::compare_tooth(earlier, &record, tooth, &settings)];
        comparison.monitored_not_charted.retain(|of| *of == tooth);
    }
    if options.json {
        let json = serde_json::to_string_pretty(&comparison)
            .context("the comparison cannot be written as JSON")?;
        println!("{json}");
    } else {
        print!("{}", crate::plan::comparison_text(&comparison));
    }
    Ok(Outcome::Done)
}
