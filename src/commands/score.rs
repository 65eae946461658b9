//! `sulcus score`: how well are the clips of a list recognised?

use crate::commands::Outcome;
use crate::config::Config;

#[derive(Debug, clap::Args)]
pub struct Options {}

pub fn run(_options: &Options, _config: &Config) -> anyhow::Result<Outcome> {
    anyhow::bail!("score is not written yet")
}
