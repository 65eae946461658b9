//! `sulcus finish`: closes a visit from the keyboard. What is unconfirmed stays marked so.

use crate::commands::{Outcome, visit};
use crate::config::Config;
use crate::record::Event;
use crate::record::fold::Phase;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,

    /// Close it although values are unconfirmed or a question is open
    #[arg(long)]
    anyway: bool,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let entry = visit::add(config, &options.visit, Event::VisitFinished, |record| {
        if record.phase == Phase::Finished {
            anyhow::bail!("the visit is finished already");
        }
        let unconfirmed = record.unconfirmed().count();
        if !options.anyway && (unconfirmed > 0 || record.open_challenge().is_some()) {
            anyhow::bail!(
                "{unconfirmed} values are unconfirmed{}; confirm them, or close with --anyway: they stay marked",
                if record.open_challenge().is_some() {
                    " and a question is open"
                } else {
                    ""
                }
            );
        }
        Ok(())
    })?;
    println!(
        "saved: visit {} finished, entry {}",
        entry.visit, entry.number
    );
    Ok(Outcome::Done)
}
