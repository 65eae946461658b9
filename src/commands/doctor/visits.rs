//! What is known of the visits kept here: how many, and what is lost or damaged of them.

use std::fmt;

use serde::Serialize;

use super::Findings;
use crate::commands::doors;
use crate::config::Config;
use crate::record::journal::{DataFolder, KEY_FILE, Keys, Wanted};
use crate::record::{Journal, JournalError};

#[derive(Debug, Default, Serialize)]
pub struct Visits {
    /// None where they cannot be listed.
    count: Option<usize>,
    /// Losses and damage, one sentence each: those on record and those found now.
    losses: Vec<String>,
    /// The clinic's signing key is there and can be read.
    can_sign: bool,
}

impl fmt::Display for Visits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.count {
            Some(count) => write!(f, "{count} visits")?,
            None => write!(f, "none that can be listed")?,
        }
        for loss in &self.losses {
            write!(f, "\n  LOST: {loss}")?;
        }
        Ok(())
    }
}

pub fn visits(config: &Config, findings: &mut Findings) -> Visits {
    let storage = DataFolder::new(&config.data);
    let mut visits = Visits::default();
    match Keys::checked(&storage) {
        Ok(keys) => visits.can_sign = keys.clinic.is_some(),
        Err(why) => findings.problems.push(format!(
            "visits cannot be signed: {why}; lay a copy of {KEY_FILE} there"
        )),
    }
    let journal = match doors::reader(config) {
        Ok(journal) => journal,
        // A folder without visits is fit for the first one.
        Err(JournalError::Folder { .. }) => return visits,
        Err(why) => {
            findings.problems.push(why.to_string());
            return visits;
        }
    };
    for sentence in journal.found_losses() {
        findings.problems.push(sentence.clone());
        visits.losses.push(sentence);
    }
    for why in journal.damage() {
        findings.problems.push(format!(
            "the journal is damaged: {why}; go on with another folder (--data DIR), and run sulcus salvage OUT on this one"
        ));
    }
    match recorded(&journal, &mut visits) {
        Ok(()) => {}
        Err(why) => findings.problems.push(why.to_string()),
    }
    visits
}

/// Losses that are on record: old news, but never left out.
fn recorded(journal: &Journal, visits: &mut Visits) -> Result<(), JournalError> {
    let summaries = journal.summaries(&Wanted::default())?;
    visits.count = Some(summaries.len());
    for summary in summaries.iter().filter(|summary| summary.lost_count > 0) {
        let entries = journal.entries(summary.visit)?;
        let record = crate::record::Record::fold(&entries);
        let losses = record.iter().flat_map(|record| &record.losses);
        visits
            .losses
            .extend(losses.map(|loss| loss.sentence(summary.visit)));
    }
    let lost = journal.lost_visits()?;
    visits.losses.extend(lost.iter().map(ToString::to_string));
    Ok(())
}
