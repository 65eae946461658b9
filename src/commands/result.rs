//! `sulcus result`: enters that the vet has read the laboratory's result of a sample; also after the visit was finished.

use crate::commands::{Outcome, visit, wrong_use};
use crate::config::Config;
use crate::record::{Event, surgery};
use crate::terms::Procedure;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit in which the sample was taken: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,

    /// Number of the pot
    #[arg(long, value_name = "NUMBER")]
    pot: u8,

    /// What the laboratory found, as the vet has read it
    #[arg(value_name = "WORDS")]
    text: String,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let text = options.text.trim();
    if text.is_empty() {
        return wrong_use("a result needs words");
    }
    let pot = options.pot;
    let saved = visit::add_confirmed(config, &options.visit, |record| {
        let pots: Vec<String> = surgery::samples(record)
            .iter()
            .map(|sample| sample.pot.to_string())
            .collect();
        if pots.is_empty() {
            anyhow::bail!("no sample was taken in this visit; sulcus visits lists the others");
        }
        if !pots.contains(&pot.to_string()) {
            anyhow::bail!(
                "there is no pot {pot} in this visit; there are: {}",
                pots.join(", ")
            );
        }
        Ok(Event::ProcedureRecorded {
            procedure: Procedure::ResultRead {
                pot,
                text: text.to_owned(),
            },
            challenge: None,
        })
    })?;
    println!(
        "saved: result of pot {pot} in visit {}, entry {}",
        saved.visit, saved.number
    );
    Ok(Outcome::Done)
}
