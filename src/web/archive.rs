//! Earlier visits, read beside the writer: a list to search, and one visit to compare with. Reads only.

use std::path::PathBuf;

use jiff::Timestamp;
use uuid::Uuid;

use crate::record::journal::{State, VisitSummary, Wanted};
use crate::record::{Journal, JournalError, Record};
use crate::terms::Patient;

/// Hits shown at once; a narrower search finds the rest.
const HITS_MAX: usize = 40;

/// One line of the list.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub visit: Uuid,
    pub patient: Patient,
    pub opened_at: Timestamp,
    pub is_finished: bool,
    pub value_count: usize,
    pub open_count: usize,
}

pub(super) struct Archive {
    folder: PathBuf,
}

impl Archive {
    pub fn new(folder: PathBuf) -> Self {
        Self { folder }
    }

    /// Visits in which all words of the search occur (name, owner, number, breed, date), newest first.
    pub fn search(&self, words: &str) -> Result<Vec<Line>, JournalError> {
        let journal = Journal::open_reader(&self.folder)?;
        let wanted = Wanted {
            words: words.split_whitespace().map(str::to_owned).collect(),
            most: Some(HITS_MAX),
            ..Wanted::default()
        };
        let summaries = journal.summaries(&wanted)?;
        // A damaged visit cannot be shown; the program tells of it where it starts.
        Ok(summaries.into_iter().filter_map(line).collect())
    }

    /// A visit as it stands; nothing where there is none.
    pub fn visit(&self, visit: Uuid) -> Result<Option<Record>, JournalError> {
        let journal = Journal::open_reader(&self.folder)?;
        Ok(Record::fold(&journal.entries(visit)?))
    }
}

fn line(summary: VisitSummary) -> Option<Line> {
    let open = summary.value_count.saturating_sub(summary.confirmed_count);
    Some(Line {
        visit: summary.visit,
        patient: summary.patient?,
        opened_at: summary.opened_at?,
        is_finished: summary.state == State::Finished,
        value_count: usize::try_from(summary.value_count).ok()?,
        open_count: usize::try_from(open).ok()?,
    })
}

/// Whether two visits are of one animal: species and name agree, and so does the clinic's number where both have one,
/// else the owner.
pub(super) fn is_same_animal(one: &Patient, other: &Patient) -> bool {
    let plain = |text: &str| text.trim().to_lowercase();
    let owner = |patient: &Patient| patient.owner.as_deref().map(plain);
    one.species == other.species
        && plain(&one.name) == plain(&other.name)
        && match (&one.id, &other.id) {
            (Some(one), Some(other)) => plain(one) == plain(other),
            _ => owner(one) == owner(other),
        }
}
