//! `sulcus key`: the public half of the clinic's signing key, to be printed and kept elsewhere; and trust in another.

use crate::commands::{Outcome, wrong_use};
use crate::config::Config;
use crate::record::journal::{self, DataFolder, Keys};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// From here on take signatures of this key, of another table of yours, for good
    #[arg(long, value_name = "KEY")]
    trust: Option<String>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let storage = DataFolder::new(&config.data);
    if let Some(key) = &options.trust {
        let key = key.to_lowercase();
        if !journal::is_key(&key) {
            return wrong_use(format!(
                "{key} is no key; give the 64 digits that sulcus key prints there"
            ));
        }
        journal::trust(&storage, &key)?;
    }
    let keys = Keys::checked(&storage)?;
    match &keys.clinic {
        Some(key) => println!(
            "{key}  of this data folder, in short {}",
            journal::fingerprint(key)
        ),
        None => println!("no key yet: it is made with the first visit"),
    }
    for key in &keys.trusted {
        println!("{key}  trusted, in short {}", journal::fingerprint(key));
    }
    Ok(Outcome::Done)
}
