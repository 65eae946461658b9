//! Opens the journal for a command, and tells what was found on the way: entries that the disk lost, and damage.
//!
//! Invariant: no command reads or writes a journal without telling what is lost of it. What is found now ends the
//! command with exit code 1 though its work was done; a loss that is on record already is told and takes the exit
//! code no further.

use crate::commands::Outcome;
use crate::config::Config;
use crate::record::{Journal, JournalError, Loss, Record};

/// Opens it for reading beside a possible writer.
pub fn reader(config: &Config) -> Result<Journal, JournalError> {
    let journal = Journal::open_reader(&config.data)?;
    tell(config, &journal);
    Ok(journal)
}

/// Opens it for writing.
pub fn writer(config: &Config) -> Result<Journal, JournalError> {
    let journal = Journal::open(&config.data)?;
    tell(config, &journal);
    Ok(journal)
}

/// Tells what was found when the journal was opened.
pub fn tell(config: &Config, journal: &Journal) {
    if !config.tells_first() {
        return;
    }
    for sentence in journal.found_losses() {
        eprintln!("sulcus: LOST: {sentence}");
        config.found_problem();
    }
    for why in journal.damage() {
        eprintln!(
            "sulcus: DAMAGED: {}: {why}; each visit that is shown was proven by its hashes; to go on at once give another folder with --data DIR, then run sulcus salvage OUT on this one",
            journal.folder().display()
        );
        config.found_problem();
    }
}

/// Looks before a command begins that opens the journal later, on its own.
pub fn look(config: &Config) {
    // What keeps it from being opened is told where it is opened.
    if let Ok(journal) = Journal::open_reader(&config.data) {
        tell(config, &journal);
    }
}

/// Tells the losses that are on record, for a visit that is worked with.
pub fn tell_recorded(record: &Record) {
    for loss in record.losses.iter().filter(|loss| loss.number > 0) {
        eprintln!("sulcus: LOST earlier: {}", loss.sentence(record.visit));
    }
}

/// Puts what was found now and is not on record yet into the record that is shown, as loss of entry 0.
pub fn add_found(journal: &Journal, record: &mut Record) {
    for lost in journal.lost_ends() {
        if lost.visit == record.visit && lost.told_by.is_none() {
            record.losses.push(Loss {
                number: 0,
                found_at: jiff::Timestamp::now(),
                first: lost.first(),
                last: lost.saved,
                from: lost.from,
                until: lost.until,
                remains: lost.kept_log.clone(),
            });
        }
    }
}

/// The outcome of a command whose work is done, with what was found on the way.
pub fn outcome(config: &Config, outcome: Outcome) -> Outcome {
    match outcome {
        Outcome::Done if config.has_problem() => Outcome::Problem,
        other => other,
    }
}
