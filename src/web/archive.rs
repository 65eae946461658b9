//! Earlier visits, read beside the writer: a list to search, and one visit to compare with. Reads only.

use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};

use jiff::Timestamp;
use uuid::Uuid;

use crate::record::fold::Phase;
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
    entry_count: u64,
}

pub(super) struct Archive {
    folder: PathBuf,
    /// Lines by visit: a visit is read again only when it has grown.
    lines: Mutex<HashMap<Uuid, Line>>,
}

impl Archive {
    pub fn new(folder: PathBuf) -> Self {
        Self {
            folder,
            lines: Mutex::default(),
        }
    }

    /// Visits in which all words of the search occur (name, owner, number, breed, date), newest first.
    pub fn search(&self, words: &str) -> Result<Vec<Line>, JournalError> {
        let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        let journal = Journal::open_reader(&self.folder)?;
        let mut hits = Vec::new();
        for visit in journal.visits()? {
            let line = match self.kept(visit.visit, visit.entry_count) {
                Some(line) => line,
                None => {
                    let Some(record) = Record::fold(&journal.entries(visit.visit)?) else {
                        continue;
                    };
                    self.keep(line(&record, visit.entry_count))
                }
            };
            if words.iter().all(|word| text(&line).contains(word)) {
                hits.push(line);
                if hits.len() == HITS_MAX {
                    break;
                }
            }
        }
        Ok(hits)
    }

    /// A visit as it stands; nothing where there is none.
    pub fn visit(&self, visit: Uuid) -> Result<Option<Record>, JournalError> {
        let journal = Journal::open_reader(&self.folder)?;
        Ok(Record::fold(&journal.entries(visit)?))
    }

    fn kept(&self, visit: Uuid, entry_count: u64) -> Option<Line> {
        let lines = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
        lines
            .get(&visit)
            .filter(|line| line.entry_count == entry_count)
            .cloned()
    }

    fn keep(&self, line: Line) -> Line {
        let mut lines = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
        lines.insert(line.visit, line.clone());
        line
    }
}

fn line(record: &Record, entry_count: u64) -> Line {
    Line {
        visit: record.visit,
        patient: record.patient.clone(),
        opened_at: record.opened_at,
        is_finished: record.phase == Phase::Finished,
        value_count: record.current().count(),
        open_count: record.unconfirmed().count(),
        entry_count,
    }
}

fn text(line: &Line) -> String {
    let patient = &line.patient;
    [
        Some(patient.name.as_str()),
        patient.owner.as_deref(),
        patient.id.as_deref(),
        patient.breed.as_deref(),
        Some(patient.species.word()),
    ]
    .into_iter()
    .flatten()
    .chain([line.opened_at.to_string().as_str()])
    .collect::<Vec<_>>()
    .join("\n")
    .to_lowercase()
}

/// Whether two visits are of one animal: the clinic's number decides where both have one, else name, species
/// and owner.
pub(super) fn is_same_animal(one: &Patient, other: &Patient) -> bool {
    match (&one.id, &other.id) {
        (Some(one), Some(other)) => one == other,
        _ => {
            one.species == other.species
                && one.name.to_lowercase() == other.name.to_lowercase()
                && one.owner.as_deref().map(str::to_lowercase)
                    == other.owner.as_deref().map(str::to_lowercase)
        }
    }
}
