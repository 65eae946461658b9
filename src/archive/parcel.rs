//! A visit on its way to the archive, and what the archive proves before it takes it.
//!
//! Invariants: the same visit with the same entries makes the same bytes; nothing is taken of which the chain, every
//! signature and the delivering table's own signature under the head do not fit.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::PROTOCOL;
use crate::export::json::{Row, Signature};
use crate::journal::{Journal, JournalError, Key, Occasion, Seal, StoredRow, entries_of_rows};
use crate::record::Record;

/// What a table hands over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Parcel {
    pub protocol: u32,
    pub visit: Uuid,
    /// Entries from the first, as stored and hashed.
    pub rows: Vec<Row>,
    /// Signed heads, and last the table's signature under the newest entry here.
    pub seals: Vec<Signature>,
}

/// What became of a delivery.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "outcome")]
pub enum Outcome {
    /// Held now, and was not held so before.
    Taken { held: u64 },
    /// It was held already: the archive has so many entries of the visit.
    Known { held: u64 },
}

/// A parcel of which all fits.
#[derive(Debug)]
pub(super) struct Proven {
    pub record: Record,
}

impl Parcel {
    /// A visit up to the entry with this hash; none where the journal holds no such visit or entry any more.
    ///
    /// # Errors
    /// Where the journal cannot be read, or the visit in it is damaged.
    pub fn of(
        journal: &Journal,
        key: &Key,
        visit: Uuid,
        head: &str,
    ) -> Result<Option<Self>, JournalError> {
        let mut rows = journal.rows(visit)?;
        let Some(end) = rows.iter().position(|row| row.hash == head) else {
            return Ok(None);
        };
        rows.truncate(end + 1);
        let entries = entries_of_rows(visit, &rows)?;
        let Some(last) = entries.last() else {
            return Ok(None);
        };
        let mut seals = journal.seals(visit)?;
        seals.retain(|seal| seal.number <= last.number && !seal.key.is_empty());
        // By the time of the entry, not of the sending: the same bytes at each try.
        seals.push(key.seal(visit, (last.number, head), last.at, Occasion::Delivery));
        Ok(Some(Self {
            protocol: PROTOCOL,
            visit,
            rows: rows.iter().map(Row::from).collect(),
            seals: seals.into_iter().map(Signature::from).collect(),
        }))
    }

    pub fn stored_rows(&self) -> Vec<StoredRow> {
        self.rows.iter().cloned().map(StoredRow::from).collect()
    }

    /// Proves it; `signing_key` is that of the table that delivers. The text says what does not fit.
    pub(super) fn prove(&self, signing_key: &str) -> Result<Proven, String> {
        let rows = self.stored_rows();
        let entries = entries_of_rows(self.visit, &rows)
            .map_err(|why| format!("the chain is broken at entry {}: {}", why.number, why.why))?;
        let record = Record::fold(&entries)
            .ok_or("it does not begin with the opening of a visit".to_owned())?;
        let head = rows.last().map(|row| (row.number, row.hash.as_str()));
        for signed in &self.seals {
            let seal = Seal::exported(self.visit, signed);
            let at = usize::try_from(seal.number).unwrap_or(usize::MAX);
            let sealed = at.checked_sub(1).and_then(|at| rows.get(at));
            if !seal.is_genuine() || sealed.map(|row| &row.hash) != Some(&seal.hash) {
                return Err(format!(
                    "the signature under entry {} does not fit: it was changed after it was signed",
                    seal.number
                ));
            }
        }
        let is_signed = self
            .seals
            .iter()
            .any(|seal| seal.key == signing_key && head == Some((seal.number, seal.hash.as_str())));
        if !is_signed {
            return Err(
                "its newest entry is not signed with the key of this table; where the key was changed, let the table in \
                 anew"
                    .into(),
            );
        }
        Ok(Proven { record })
    }
}

/// A wish that a visit be deleted in the archive too.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Farewell {
    pub visit: Uuid,
    pub reason: String,
    pub at: Timestamp,
}
