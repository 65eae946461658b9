//! `sulcus export`: a visit as a file for other systems, or the schema of the own format.

use std::io::Write;
use std::path::PathBuf;

use crate::commands::{Outcome, doors, visit, wrong_use};
use crate::config::Config;
use crate::export::{self, fhir, json, tables};
use crate::record::journal::{DataFolder, Key, Occasion, State, Wanted};
use crate::record::{Journal, Record};

use uuid::Uuid;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: Option<String>,

    /// Form of the output
    #[arg(long, value_enum, default_value_t = Format::Json)]
    format: Format,

    /// Write the JSON Schema (2020-12) of the json form and end
    #[arg(long, conflicts_with = "visit")]
    schema: bool,

    /// Write the code systems that the fhir form uses, as FHIR CodeSystem resources, and end
    #[arg(long, conflicts_with_all = ["visit", "schema"])]
    code_systems: bool,

    /// In the study form: keep the breed, which together with age may give an animal away
    #[arg(long)]
    with_breed: bool,

    /// In the study form: take demonstration visits in too
    #[arg(long)]
    with_invented: bool,

    /// File to write; without it the text goes to the terminal
    #[arg(short, long, value_name = "FILE")]
    out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// The whole record with its history; can be taken in again
    Json,
    /// A FHIR R4 document bundle, for other systems
    Fhir,
    /// The same resources as a FHIR R4 transaction of conditional creates, for a server that is to hold them searchable
    FhirTransaction,
    /// One row a value, for spreadsheets
    Csv,
    /// All finished visits as one table without names and dates, for studies; VISIT is not given
    Study,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let text = if options.schema {
        json::schema()?
    } else if options.code_systems {
        serde_json::to_string_pretty(&fhir::code_systems())? + "\n"
    } else {
        match (&options.visit, options.format) {
            (None, Format::Study) => return study(options, config),
            (Some(_), Format::Study) => {
                return wrong_use("a study table holds all finished visits; leave VISIT out");
            }
            (None, _) => return wrong_use("which visit? give its id, or last"),
            (Some(wanted), format) => {
                let (journal, visit) = visit::open(config, wanted)?;
                match format {
                    Format::Fhir => fhir::write(
                        &visit.record,
                        &visit.entries,
                        &made_here(&journal, visit.record.visit)?,
                    )?,
                    Format::FhirTransaction => transaction(&journal, config, &visit)?,
                    Format::Csv => tables::visit(&visit.record)?,
                    Format::Json | Format::Study => {
                        json::text(&document(&journal, &visit.record)?)?
                    }
                }
            }
        }
    };
    put(options.out.as_deref(), text.as_bytes())?;
    Ok(Outcome::Done)
}

/// The record with what the journal keeps beside its entries: signatures, and a loss that no entry tells yet.
pub fn document(journal: &Journal, record: &Record) -> anyhow::Result<json::Document> {
    let visit = record.visit;
    let mut document = json::document(visit, &journal.rows(visit)?)?;
    document.losses = record.losses.iter().map(Into::into).collect();
    document.signatures = signatures(journal, visit)?;
    Ok(document)
}

/// A transaction for a FHIR server. Patients are told apart by the key of this folder: the same number at another
/// clinic is another animal.
pub fn transaction(
    journal: &Journal,
    config: &Config,
    visit: &visit::Visit,
) -> anyhow::Result<String> {
    let key = Key::read(&DataFolder::new(&config.data)).map_err(anyhow::Error::msg)?;
    let Some(key) = key else {
        anyhow::bail!(
            "{} has no signing key yet; any command that writes a visit makes it",
            journal.folder().display()
        );
    };
    let bundle = fhir::transaction(&visit.record, &visit.entries, &key.public());
    Ok(serde_json::to_string_pretty(&bundle)? + "\n")
}

fn signatures(journal: &Journal, visit: Uuid) -> anyhow::Result<Vec<json::Signature>> {
    let seals = journal.seals(visit)?.into_iter();
    Ok(seals
        .filter(|seal| !seal.key.is_empty())
        .map(json::Signature::from)
        .collect())
}

/// Signatures for a document that is not taken in again. Those made when a record was taken in say nothing about who
/// finished it, and differ from table to table where the record is the same: they stay in the journal.
pub fn made_here(journal: &Journal, visit: Uuid) -> anyhow::Result<Vec<json::Signature>> {
    let mut signatures = signatures(journal, visit)?;
    signatures.retain(|signature| signature.occasion != Occasion::Import.word());
    Ok(signatures)
}

/// Visit by visit: ten years of them are not in memory at once.
fn study(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let journal = doors::reader(config)?;
    let mut study = tables::Study::new(rand::random(), options.with_breed);
    for summary in journal.summaries(&Wanted {
        state: Some(State::Finished),
        ..Wanted::default()
    })? {
        // A damaged one is told with its name where it is read.
        let Some(patient) = &summary.patient else {
            visit::read(&journal, summary.visit)?;
            continue;
        };
        if options.with_invented || !patient.invented {
            let opened_at = summary.opened_at.unwrap_or_default();
            study.add(summary.visit, patient, opened_at);
        }
    }
    let order = study.order();
    if order.is_empty() {
        anyhow::bail!("there is no finished visit to put in a study table");
    }
    let rows = |out: &mut dyn Write| -> std::io::Result<()> {
        let failed = |why: &dyn std::fmt::Display| std::io::Error::other(why.to_string());
        out.write_all(study.head().map_err(|why| failed(&why))?.as_bytes())?;
        for wanted in order {
            let read = visit::read(&journal, wanted).map_err(|why| failed(&why))?;
            let rows = study.rows(&read.record).map_err(|why| failed(&why))?;
            out.write_all(rows.as_bytes())?;
        }
        Ok(())
    };
    match &options.out {
        Some(file) => {
            export::write_file_by(file, rows)?;
            note!("written: {}", file.display());
        }
        None => rows(&mut crate::terminal::Out)?,
    }
    Ok(Outcome::Done)
}

/// To the file, whole or not at all; else to standard output.
pub fn put(file: Option<&std::path::Path>, bytes: &[u8]) -> anyhow::Result<()> {
    match file {
        Some(file) => {
            export::write_file(file, bytes)?;
            note!("written: {}", file.display());
        }
        None => crate::terminal::put(bytes),
    }
    Ok(())
}
