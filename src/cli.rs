//! Commands and flags, and their help text; no behaviour.

use clap::{Parser, Subcommand};
use std::path::PathBuf;

use crate::commands;

/// Records a veterinary dental examination by voice and turns it into the plan for the rest of the procedure.
#[derive(Debug, Parser)]
#[command(name = "sulcus", version)]
pub struct Arguments {
    /// Folder that holds the visits [default: sulcus under the user's data folder]
    #[arg(long, global = true, env = "SULCUS_DATA", value_name = "DIR")]
    pub data: Option<PathBuf>,

    /// Folder that models-fetch.sh filled [default: models here or beside the program]
    #[arg(long, global = true, env = "SULCUS_MODELS", value_name = "DIR")]
    pub models: Option<PathBuf>,

    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Work out what follows from a visit: films, order of work, ceilings, checks, home care
    Plan(commands::plan::Options),
    /// Compare a visit with the one before of the same patient
    Compare(commands::compare::Options),
    /// Check microphone, loudspeaker, models and disk, and say what to do
    Doctor(commands::doctor::Options),
    /// Measure recognition on a list of clips
    Score(commands::score::Options),
}
