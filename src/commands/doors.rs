//! Opens the journal for a command, and tells what was found on the way: entries that the disk lost, and damage.
//!
//! Invariant: no command reads or writes a journal without telling what is lost of it. What is found now ends the
//! command with exit code 1 though its work was done; a loss that is on record already is told and takes the exit
//! code no further.

use std::thread::JoinHandle;

use crossbeam_channel::{Receiver, unbounded};

use crate::commands::Outcome;
use crate::config::Config;
use crate::leisure;
use crate::record::journal;
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

/// Checks a journal that was too large to be checked when it was opened, on a thread of its own while the table works;
/// what is found is told at once on the terminal, and sent to whoever speaks or shows it.
pub fn check_beside(config: &Config, journal: &Journal) -> Option<Beside> {
    begin_check(config, !journal.is_checked())
}

/// The same where [`look`] said that it is large. Begun after the journal was opened for writing, which would wait some
/// seconds for a reader of the whole file.
pub fn begin_check(config: &Config, is_large: bool) -> Option<Beside> {
    if !is_large {
        return None;
    }
    let (sender, found) = unbounded();
    let config = config.clone();
    let thread = std::thread::spawn(move || {
        leisure::give_way();
        for why in check(&config) {
            // Nobody need listen.
            let _ = sender.send(why);
        }
    });
    Some(Beside { found, thread })
}

/// A check that goes on beside the work.
#[derive(Debug)]
pub struct Beside {
    /// What is wrong, one sentence each, as it is found.
    pub found: Receiver<String>,
    thread: JoinHandle<()>,
}

impl Beside {
    /// Waits for its end, so that nothing that it would find is left untold.
    pub fn finish(self) {
        // A check that broke off has told what it had found.
        let _ = self.thread.join();
    }
}

/// After a short command's work on a journal that was too large to be checked before it: at most once a day.
pub fn check_after(config: &Config, journal: &Journal) {
    if journal.is_check_due() {
        note!("sulcus: the work is done; the whole journal is checked now, as once a day");
        check(config);
    }
}

fn check(config: &Config) -> Vec<String> {
    let found = match journal::check_whole(&config.data) {
        Ok(found) => found,
        Err(why) => vec![why.to_string()],
    };
    for why in &found {
        eprintln!(
            "sulcus: DAMAGED: {}: {why}; what was saved since stands there, but go on with another folder (--data DIR) as soon as you can, then run sulcus salvage OUT on this one",
            config.data.display()
        );
        config.found_problem();
    }
    found
}

/// Looks before a command begins that opens the journal later, on its own.
/// Whether it is a large one, which [`begin_check`] is for.
pub fn look(config: &Config) -> bool {
    // What keeps it from being opened is told where it is opened.
    let Ok(journal) = Journal::open_reader(&config.data) else {
        return false;
    };
    tell(config, &journal);
    !journal.is_checked()
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
