//! `sulcus forget`: deletes a visit as a whole, by the owner's wish, and leaves a tombstone.
//! Single values are never deleted: they are withdrawn, and stay readable.

use std::path::{Component, Path};

use crate::app::clinic::Clinic;
use crate::archive;
use crate::commands::{Outcome, doors, visit, wrong_use};
use crate::config::Config;
use crate::outbox::Outbox;
use crate::record::Event;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit's whole id: no short form here
    #[arg(value_name = "VISIT")]
    visit: uuid::Uuid,

    /// On whose wish and why; kept in the tombstone, so name nobody here
    #[arg(long, value_name = "WORDS")]
    reason: String,

    /// Needed: records of treatment often must be kept for years by law; check before
    #[arg(long)]
    i_may_delete_this: bool,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    if !options.i_may_delete_this {
        return wrong_use(
            "this cannot be undone, and local law may bid you keep the record; \
             if you may delete it, add --i-may-delete-this",
        );
    }
    let reason = options.reason.trim();
    if reason.is_empty() {
        return wrong_use("a visit is forgotten only with a reason; give --reason WORDS");
    }
    let mut journal = doors::writer(config)?;
    let sounds: Vec<String> = visit::read(&journal, options.visit)?
        .entries
        .into_iter()
        .filter_map(|entry| match entry.event {
            Event::NoteRecorded { sound, .. } => sound,
            _ => None,
        })
        .collect();
    // Copies that wait to be sent go first: were the visit deleted and they not, its words would stay.
    Outbox::open(&config.data)?.forget(options.visit)?;
    let at = jiff::Timestamp::now();
    let stone = journal.forget(options.visit, reason, at)?;
    let archive = Clinic::load(&config.data)?.archive;
    if archive::forget(&archive, &config.data, stone.visit, reason, at)? {
        note!("sulcus: the practice's archive is told; sulcus archive status shows whether it was");
    }
    archive::forget_kept(&config.data, stone.visit)?;
    let mut left = 0;
    for sound in sounds {
        // The text comes from a record, perhaps from elsewhere: it must not lead out of the data folder.
        let path = Path::new(&sound);
        if !path
            .components()
            .all(|part| matches!(part, Component::Normal(_)))
        {
            left += 1;
            continue;
        }
        for file in [
            journal.folder().join(path),
            journal.folder().join("notes").join(path),
        ] {
            match std::fs::remove_file(file) {
                Err(why) if why.kind() != std::io::ErrorKind::NotFound => left += 1,
                _ => {}
            }
        }
    }
    println!(
        "forgotten: visit {}, {} entries; exports, prints and backups made before are not reached",
        stone.visit, stone.entry_count
    );
    if left > 0 {
        eprintln!("sulcus: {left} sound files could not be deleted from the data folder");
        return Ok(Outcome::Problem);
    }
    Ok(Outcome::Done)
}
