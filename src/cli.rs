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

    /// Folder that models-fetch.sh filled [default: models here, beside the program or in the data folders of the system]
    #[arg(long, global = true, env = "SULCUS_MODELS", value_name = "DIR")]
    pub models: Option<PathBuf>,

    /// Print only what was asked for, questions and what went wrong: no notes, no progress
    #[arg(long, short, global = true)]
    pub quiet: bool,

    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Ask a new clinic what the program should know, check the sound, practise, and write clinic.toml
    Begin(commands::begin::Options),
    /// Play an invented examination and show what is heard, understood and said back
    Demo(commands::demo::Options),
    /// Record an examination from the microphone
    Listen(commands::listen::Options),
    /// Repeat readings, see how well they are understood here, and keep what suits the voice
    Practise(commands::practise::Options),
    /// Record an examination from sound files
    Replay(commands::replay::Options),
    /// Tell what a sentence means and what the program would answer
    Parse(commands::parse::Options),
    /// Work out what follows from a visit: films, order of work, ceilings, checks, home care
    Plan(commands::plan::Options),
    /// Compare a visit with the one before of the same patient
    Compare(commands::compare::Options),
    /// Check microphone, loudspeaker, models and disk, and say what to do
    Doctor(commands::doctor::Options),
    /// Measure recognition on a list of clips
    Score(commands::score::Options),
    /// List the visits kept here
    Visits(commands::visits::Options),
    /// Show a visit's chart as text
    Show(commands::show::Options),
    /// Close a visit
    Finish(commands::finish::Options),
    /// Open a finished visit again, with a reason
    Reopen(commands::reopen::Options),
    /// Add words to a finished visit
    Addendum(commands::addendum::Options),
    /// Name the file of a film or a photograph in an open visit
    Attach(commands::attach::Options),
    /// Sign a finished visit by name and PIN
    Sign(commands::sign::Options),
    /// Enter that the vet has read the laboratory's result of a sample
    Result(commands::result::Options),
    /// Delete a visit as a whole, by the owner's wish
    Forget(commands::forget::Options),
    /// Write a visit for other systems
    Export(commands::export::Options),
    /// Write a visit for people: report or picture
    Report(commands::report::Options),
    /// Send finished visits to a folder or web address
    Push(commands::push::Options),
    /// Play many examinations in simulated time and print a table
    #[command(hide = true)]
    Rehearse(commands::rehearse::Options),
    /// Take in visits that were exported elsewhere
    Import(commands::import::Options),
    /// Print the public half of the clinic's signing key, or trust another
    Key(commands::key::Options),
    /// Check that every visit is exactly as it was written
    Verify(commands::verify::Options),
    /// Take what can be proven out of a damaged journal into a fresh folder
    Salvage(commands::salvage::Options),
    /// Copy all visits to a file, while listening goes on
    Backup(commands::backup::Options),
    /// Lay a backup into an empty data folder
    Restore(commands::restore::Options),
    /// Try the journal on a failing simulated disk
    #[command(hide = true)]
    Simulate(commands::simulate::Options),
    /// List what was refused here, and take it into the clinic's own ways of saying things
    Sayings(commands::sayings::Options),
    /// Show the visit live on a page of this machine and take touches from it, without a microphone
    Serve(commands::serve::Options),
    /// Keep the practice's archive of all tables on PostgreSQL, and hand this table's visits over to it
    Archive(commands::archive::Options),
    /// List the browsers that were let in to the page, and shut them out
    Browsers(commands::browsers::Options),
    /// Print what a shell needs to complete commands and options
    Completions(commands::completions::Options),
    /// Print the manual page, or write one for each command to a folder
    Man(commands::man::Options),
}
