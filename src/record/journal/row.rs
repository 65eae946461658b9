//! A row as text, exactly as it is stored and hashed.
//!
//! Invariant: a row that is written can be read back to the same event.

use rusqlite::{Transaction, params};
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::mark::hexadecimal;
use crate::clock::Now;
use crate::record::event::{Draft, Entry, Event, Heard};

/// The columns in the order of [`Row::from_columns`].
pub const COLUMNS: &str = "visit, number, at, monotonic_ms, heard, supersedes, event, hash";

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

    /// Reads the columns of [`COLUMNS`]. The text says what is wrong with the row.
    pub fn from_columns(row: &rusqlite::Row<'_>) -> Result<Self, String> {
        fn column<T: rusqlite::types::FromSql>(
            row: &rusqlite::Row<'_>,
            index: usize,
        ) -> Result<T, String> {
            row.get(index).map_err(|why| why.to_string())
        }
        let whole = |index| -> Result<u64, String> {
            u64::try_from(column::<i64>(row, index)?)
                .map_err(|_| "a number is below zero".to_owned())
        };
        Ok(Self {
            visit: column(row, 0)?,
            number: whole(1)?,
            at: column(row, 2)?,
            monotonic_ms: whole(3)?,
            heard: column(row, 4)?,
            supersedes: column(row, 5)?,
            event: column(row, 6)?,
            hash: column(row, 7)?,
        })
    }

    pub fn insert(&self, transaction: &Transaction<'_>) -> Result<(), rusqlite::Error> {
        transaction
            .prepare_cached(&format!(
                "INSERT INTO entry ({COLUMNS}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)"
            ))?
            .execute(params![
                self.visit,
                self.number as i64,
                self.at,
                self.monotonic_ms as i64,
                self.heard,
                self.supersedes,
                self.event,
                self.hash
            ])?;
        Ok(())
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
