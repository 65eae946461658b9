//! `sulcus reopen`: opens a finished visit again; the reason is part of the record.

use crate::commands::{Outcome, visit, wrong_use};
use crate::config::Config;
use crate::record::Event;
use crate::record::fold::Phase;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,

    /// Why, in words that the record keeps
    #[arg(long, value_name = "WORDS")]
    reason: String,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let reason = options.reason.trim().to_owned();
    if reason.is_empty() {
        return wrong_use("a visit is reopened only with a reason; give --reason WORDS");
    }
    let event = Event::VisitReopened { reason };
    let entry = visit::add(config, &options.visit, event, |record| {
        if record.phase == Phase::Open {
            anyhow::bail!("the visit is open already");
        }
        Ok(())
    })?;
    println!(
        "saved: visit {} reopened, entry {}",
        entry.visit, entry.number
    );
    Ok(Outcome::Done)
}
