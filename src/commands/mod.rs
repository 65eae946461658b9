//! One file for each command: joins the modules to do what the user typed.
//! The only place, with `app`, that sees all modules.

pub mod addendum;
pub mod archive;
pub mod attach;
pub mod backup;
pub mod begin;
pub mod browsers;
pub mod compare;
pub mod completions;
pub mod demo;
pub mod doctor;
pub mod doors;
pub mod export;
pub mod finish;
pub mod first_check;
pub mod forget;
pub mod import;
pub mod key;
pub mod listen;
pub mod man;
pub mod parse;
pub mod plan;
pub mod practise;
pub mod push;
pub mod rehearse;
pub mod reopen;
pub mod replay;
pub mod report;
pub mod restore;
pub mod result;
pub mod salvage;
pub mod sayings;
pub mod score;
pub mod serve;
pub mod show;
pub mod sign;
pub mod simulate;
pub mod table;
pub mod verify;
pub mod visit;
pub mod visits;

use crate::cli::{Arguments, Command};
use crate::config::Config;
use crate::terminal;

/// How a command ended; errors end as [`Outcome::Problem`] too. Wrong use is told by the argument parser, with 2.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Exit code 0.
    Done,
    /// Exit code 1: the work was done and found a problem.
    Problem,
    /// Exit code 2: the arguments do not fit together.
    WrongUse,
}

/// What was typed can mean nothing: a letter where a number belongs, a date of another form. Exit code 2.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct WrongUse(pub String);

/// Ends a command that was called in a way that means nothing.
///
/// # Errors
/// Always: that is what it is for.
pub fn wrong_use<T>(why: impl Into<String>) -> anyhow::Result<T> {
    Err(WrongUse(why.into()).into())
}

impl Outcome {
    /// How a command that failed ends.
    pub fn of(error: &anyhow::Error) -> Self {
        if error.chain().any(|cause| cause.is::<WrongUse>()) {
            Self::WrongUse
        } else {
            Self::Problem
        }
    }
}

impl From<Outcome> for std::process::ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(outcome as u8)
    }
}

/// Runs the command that the arguments name.
pub fn run(arguments: Arguments) -> anyhow::Result<Outcome> {
    terminal::set_quiet(arguments.quiet);
    let config = Config::new(arguments.data, arguments.models);
    let outcome = match arguments.command {
        Command::Demo(options) => demo::run(&options, &config),
        Command::Listen(options) => listen::run(&options, &config),
        Command::Replay(options) => replay::run(&options, &config),
        Command::Parse(options) => parse::run(&options, &config),
        Command::Compare(options) => compare::run(&options, &config),
        Command::Plan(options) => plan::run(&options, &config),
        Command::Doctor(options) => doctor::run(&options, &config),
        Command::Score(options) => score::run(&options, &config),
        Command::Visits(options) => visits::run(&options, &config),
        Command::Show(options) => show::run(&options, &config),
        Command::Finish(options) => finish::run(&options, &config),
        Command::Reopen(options) => reopen::run(&options, &config),
        Command::Addendum(options) => addendum::run(&options, &config),
        Command::Sign(options) => sign::run(&options, &config),
        Command::Attach(options) => attach::run(&options, &config),
        Command::Result(options) => result::run(&options, &config),
        Command::Forget(options) => forget::run(&options, &config),
        Command::Export(options) => export::run(&options, &config),
        Command::Report(options) => report::run(&options, &config),
        Command::Push(options) => push::run(&options, &config),
        Command::Practise(options) => practise::run(&options, &config),
        Command::Rehearse(options) => rehearse::run(&options),
        Command::Import(options) => import::run(&options, &config),
        Command::Verify(options) => verify::run(&options, &config),
        Command::Sayings(options) => sayings::run(&options, &config),
        Command::Salvage(options) => salvage::run(&options, &config),
        Command::Begin(options) => begin::run(&options, &config),
        Command::Backup(options) => backup::run(&options, &config),
        Command::Restore(options) => restore::run(&options, &config),
        Command::Simulate(options) => simulate::run(&options, &config),
        Command::Serve(options) => serve::run(&options, &config),
        Command::Completions(options) => completions::run(&options),
        Command::Man(options) => man::run(&options),
        Command::Key(options) => key::run(&options, &config),
        Command::Archive(options) => archive::run(&options, &config),
        Command::Browsers(options) => browsers::run(&options, &config),
    }?;
    Ok(doors::outcome(&config, outcome))
}
