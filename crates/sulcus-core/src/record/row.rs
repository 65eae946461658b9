//! A row as text, exactly as it is stored and hashed.
//!
//! Invariant: a row that is written can be read back to the same event.

use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::clock::Now;
use crate::record::event::{Draft, Entry, Event, Heard};

/// A row as text. `hash` is the stored one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    pub visit: String,
    pub number: u64,
    pub at: String,
    pub monotonic_ms: u64,
    pub heard: Option<String>,
    pub supersedes: String,
    pub event: String,
    pub hash: String,
}

impl Row {
    /// The row of a draft that follows the entry with hash `before`. The text says why it cannot be written.
    pub fn new(
        visit: Uuid,
        number: u64,
        now: Now,
        draft: &Draft,
        before: &str,
    ) -> Result<Self, String> {
        let text = |value: Result<String, serde_json::Error>| value.map_err(|why| why.to_string());
        let mut row = Self {
            visit: visit.to_string(),
            number,
            at: now.at.to_string(),
            monotonic_ms: now.monotonic_ms,
            heard: draft
                .heard
                .as_ref()
                .map(|heard| text(serde_json::to_string(heard)))
                .transpose()?,
            supersedes: text(serde_json::to_string(&draft.supersedes))?,
            event: text(serde_json::to_string(&draft.event))?,
            hash: String::new(),
        };
        row.hash = row.hash_after(before);
        // A number that is none (not finite) is written as null and could never be read again.
        if row.entry(visit)?.event == draft.event {
            Ok(row)
        } else {
            Err("the entry would not be read back as it is".into())
        }
    }

    /// What its hash must be after the entry with hash `before`.
    /// Each field with its length before it, so that no two rows give the same bytes.
    pub fn hash_after(&self, before: &str) -> String {
        let mut digest = Sha256::new();
        let number = self.number.to_string();
        let monotonic_ms = self.monotonic_ms.to_string();
        for field in [
            before,
            &self.visit,
            &number,
            &self.at,
            &monotonic_ms,
            self.heard.as_deref().unwrap_or(""),
            &self.supersedes,
            &self.event,
        ] {
            digest.update((field.len() as u64).to_le_bytes());
            digest.update(field.as_bytes());
        }
        hexadecimal(&digest.finalize())
    }

    /// The entry of this row. The text says what cannot be read.
    pub fn entry(&self, visit: Uuid) -> Result<Entry, String> {
        let event: Event = serde_json::from_str(&self.event)
            .map_err(|why| format!("its event cannot be read ({why})"))?;
        let heard: Option<Heard> = self
            .heard
            .as_deref()
            .map(serde_json::from_str)
            .transpose()
            .map_err(|why| format!("its heard words cannot be read ({why})"))?;
        Ok(Entry {
            visit,
            number: self.number,
            at: self
                .at
                .parse()
                .map_err(|why| format!("its time cannot be read ({why})"))?,
            monotonic_ms: self.monotonic_ms,
            heard,
            supersedes: serde_json::from_str(&self.supersedes)
                .map_err(|why| format!("it cannot be read ({why})"))?,
            event,
            hash: self.hash.clone(),
        })
    }
}

/// An entry as the text that is stored and hashed: for an outside check of the chain and for exact copies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredRow {
    pub number: u64,
    pub at: String,
    pub monotonic_ms: u64,
    pub heard: Option<String>,
    pub supersedes: String,
    pub event: String,
    pub hash: String,
}

/// Stop: an entry is not what was written, or is missing before the end.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the journal is damaged in visit {visit} at entry {number}: {why}; run sulcus verify")]
pub struct BrokenChain {
    pub visit: Uuid,
    pub number: u64,
    pub why: String,
}

impl StoredRow {
    pub fn row(&self, visit: Uuid) -> Row {
        Row {
            visit: visit.to_string(),
            number: self.number,
            at: self.at.clone(),
            monotonic_ms: self.monotonic_ms,
            heard: self.heard.clone(),
            supersedes: self.supersedes.clone(),
            event: self.event.clone(),
            hash: self.hash.clone(),
        }
    }
}

/// The entries of stored rows; refuses a gap, a hash that does not fit and text that is no entry.
pub fn entries_of_rows(visit: Uuid, rows: &[StoredRow]) -> Result<Vec<Entry>, BrokenChain> {
    let mut before = "";
    let mut entries = Vec::with_capacity(rows.len());
    for (stored, expected) in rows.iter().zip(1..) {
        let damaged = |why: &str| BrokenChain {
            visit,
            number: expected,
            why: why.to_owned(),
        };
        if stored.number != expected {
            return Err(damaged("an entry is missing"));
        }
        let row = stored.row(visit);
        if row.hash_after(before) != stored.hash {
            return Err(damaged("its hash does not fit"));
        }
        before = &stored.hash;
        entries.push(row.entry(visit).map_err(|why| damaged(&why))?);
    }
    Ok(entries)
}

pub fn hexadecimal(bytes: &[u8]) -> String {
    use std::fmt::Write;
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}
