//! `sulcus addendum`: adds words to a finished visit without opening it.

use crate::commands::{Outcome, visit, wrong_use};
use crate::config::Config;
use crate::record::Event;
use crate::record::fold::Phase;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,

    /// What to add
    #[arg(value_name = "WORDS")]
    text: String,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let text = options.text.trim().to_owned();
    if text.is_empty() {
        return wrong_use("an addendum needs words");
    }
    let event = Event::AddendumWritten { text };
    let entry = visit::add(config, &options.visit, event, |record| {
        if record.phase == Phase::Open {
            anyhow::bail!(
                "the visit is open: say or type it as a note; an addendum comes after the end"
            );
        }
        Ok(())
    })?;
    println!(
        "saved: addendum to visit {}, entry {}",
        entry.visit, entry.number
    );
    Ok(Outcome::Done)
}
