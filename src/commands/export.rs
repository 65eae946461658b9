//! `sulcus export`: a visit as a file for other systems, or the schema of the own format.

use std::io::Write;
use std::path::PathBuf;

use crate::commands::{Outcome, visit};
use crate::config::Config;
use crate::export::{self, fhir, json};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT", required_unless_present_any = ["schema", "code_systems"])]
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
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let text = match &options.visit {
        None if options.code_systems => serde_json::to_string_pretty(&fhir::code_systems())? + "\n",
        None => json::schema()?,
        Some(wanted) => {
            let (journal, visit) = visit::open(config, wanted)?;
            let id = visit.record.visit;
            match options.format {
                Format::Json => json::write(id, &journal.rows(id)?)?,
                Format::Fhir => fhir::write(&visit.record, &visit.entries)?,
            }
        }
    };
    put(options.out.as_deref(), text.as_bytes())?;
    Ok(Outcome::Done)
}

/// To the file, whole or not at all; else to standard output.
pub fn put(file: Option<&std::path::Path>, bytes: &[u8]) -> anyhow::Result<()> {
    match file {
        Some(file) => {
            export::write_file(file, bytes)?;
            eprintln!("written: {}", file.display());
        }
        None => std::io::stdout().lock().write_all(bytes)?,
    }
    Ok(())
}
