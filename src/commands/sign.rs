//! `sulcus sign`: the vet signs a finished visit by name and PIN; with `--enrol` a name is given its PIN.

use std::io::{BufRead as _, IsTerminal as _, Write as _};

use crate::app::signers::{Signers, signature};
use crate::commands::{Outcome, visit, wrong_use};
use crate::config::Config;
use crate::record::fold::Phase;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT", required_unless_present = "enrol")]
    visit: Option<String>,

    /// Who signs, as enrolled; the PIN is asked for, or read from standard input
    #[arg(long = "as", value_name = "NAME", required_unless_present = "enrol")]
    name: Option<String>,

    /// Give this name a PIN, or a new one with the old
    #[arg(long, value_name = "NAME", conflicts_with_all = ["visit", "name"])]
    enrol: Option<String>,

    /// Sign although values are unconfirmed; they stay marked
    #[arg(long)]
    anyway: bool,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let mut signers = Signers::load(&config.data)?;
    if let Some(name) = &options.enrol {
        std::fs::create_dir_all(&config.data)?;
        if signers.has(name) {
            signers.check(name, &pin("old PIN: ")?)?;
        }
        signers.enrol(name, &pin("new PIN, four to twelve digits: ")?)?;
        println!("saved: {name} can sign");
        return Ok(Outcome::Done);
    }
    let (Some(wanted), Some(name)) = (&options.visit, &options.name) else {
        return wrong_use("name the visit, and who signs with --as NAME");
    };
    let (_, visit) = visit::open(config, wanted)?;
    let record = &visit.record;
    let up_to = record.last;
    let event = signature(record, name, up_to, options.anyway)
        .map_err(|why| anyhow::anyhow!(why.replace("sign anyway", "sign with --anyway")))?;
    signers.check(name, &pin("PIN: ")?)?;
    let entry = visit::add(config, &record.visit.to_string(), event, |now| {
        if now.last == up_to && now.phase == Phase::Finished {
            return Ok(());
        }
        anyhow::bail!("the visit was changed meanwhile; look at it and sign again")
    })?;
    println!(
        "saved: visit {} signed by {name} up to entry {up_to}, entry {}",
        entry.visit, entry.number
    );
    Ok(Outcome::Done)
}

/// One line of standard input. At a terminal it is asked for, and not shown where the terminal can hide it.
fn pin(ask: &str) -> anyhow::Result<String> {
    let is_terminal = std::io::stdin().is_terminal();
    if is_terminal {
        eprint!("{ask}");
        std::io::stderr().flush()?;
        hide(true);
    }
    let mut line = String::new();
    let read = std::io::stdin().lock().read_line(&mut line);
    if is_terminal {
        hide(false);
        eprintln!(" ");
    }
    read?;
    if line.is_empty() {
        return wrong_use("no PIN came on standard input");
    }
    Ok(line.trim_end_matches(['\n', '\r']).to_owned())
}

/// By the terminal's own program; where it is not there, what is typed is seen.
fn hide(is_hidden: bool) {
    let word = if is_hidden { "-echo" } else { "echo" };
    let _ = std::process::Command::new("stty").arg(word).status();
}
