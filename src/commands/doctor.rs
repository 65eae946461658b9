//! `sulcus doctor`: are microphone, loudspeaker, models and disk fit for work?

use crate::commands::Outcome;
use crate::config::Config;

#[derive(Debug, clap::Args)]
pub struct Options {}

pub fn run(_options: &Options, _config: &Config) -> anyhow::Result<Outcome> {
    anyhow::bail!("doctor is not written yet")
}
