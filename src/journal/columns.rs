//! A row in the table of entries.

use rusqlite::{Transaction, params};

use crate::record::row::Row;

/// The columns in the order of [`Columns::from_columns`].
pub const COLUMNS: &str = "visit, number, at, monotonic_ms, heard, supersedes, event, hash";

/// What the table of entries gives and takes.
pub trait Columns: Sized {
    /// Reads the columns of [`COLUMNS`]. The text says what is wrong with the row.
    fn from_columns(row: &rusqlite::Row<'_>) -> Result<Self, String>;

    fn insert(&self, transaction: &Transaction<'_>) -> Result<(), rusqlite::Error>;
}

impl Columns for Row {
    fn from_columns(row: &rusqlite::Row<'_>) -> Result<Self, String> {
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

    fn insert(&self, transaction: &Transaction<'_>) -> Result<(), rusqlite::Error> {
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
}
