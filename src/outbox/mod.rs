//! Finished records on their way to a folder or a web address: queued, sent, tried again, remembered.
//!
//! Invariants: writes only its own table of the journal's database; a parcel is sent with the same key and the
//! same bytes each time, so that a receiver that looks at the key takes it once; "sent" is written only after the
//! receiver said yes; what was sent keeps no copy of the record here.

mod deliver;

use std::collections::HashSet;
use std::path::Path;

use jiff::{SignedDuration, Timestamp};
use rusqlite::{Connection, params};
use uuid::Uuid;

pub use deliver::{Delivery, Settings, Token, check_target, deliver, host_of};

use crate::record::{Journal, JournalError, journal};

/// "Idempotency-Key" values are made in this space.
const KEY_SPACE: Uuid = Uuid::from_u128(0x6d0f_7c5e_95a1_4b0e_8e3a_5b3e_2f7a_9d11);
/// First wait after a failure; doubled each time.
const FIRST_WAIT: SignedDuration = SignedDuration::from_secs(30);
/// Then hourly: a server that is down over night is tried in the morning, not given up.
const LONGEST_WAIT: SignedDuration = SignedDuration::from_hours(1);

const TABLE: &str = "
CREATE TABLE IF NOT EXISTS outbox (
    key TEXT PRIMARY KEY,
    visit TEXT NOT NULL,
    target TEXT NOT NULL,
    format TEXT NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('waiting', 'sent', 'refused')),
    attempts INTEGER NOT NULL,
    queued_at TEXT NOT NULL,
    next_at TEXT NOT NULL,
    sent_at TEXT,
    answer TEXT NOT NULL,
    body BLOB
) STRICT;
";

#[derive(Debug, thiserror::Error)]
pub enum OutboxError {
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// Retry: another program holds the database, or the disk is full.
    #[error("cannot keep the outbox: {0}; what was queued before is kept, try again")]
    Database(#[from] rusqlite::Error),
    /// Ask the person: the target is none, or unsafe.
    #[error("{target} is no place to push to: {why}")]
    Target { target: String, why: String },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// The whole record with its history
    Json,
    /// A FHIR R4 document bundle
    Fhir,
    /// A FHIR R4 transaction of conditional creates: to the base address of a server
    FhirTransaction,
    /// Entries for the practice's archive; the parcel holds the hash of the newest, the journal the entries
    #[value(skip)]
    Archive,
    /// The wish that the archive delete a visit that was forgotten here
    #[value(skip)]
    Farewell,
}

impl Format {
    /// What `sulcus push` sends; the rest is the archive's.
    pub const PUSHED: [Self; 3] = [Self::Json, Self::Fhir, Self::FhirTransaction];

    fn word(self) -> &'static str {
        match self {
            Self::Json => "json",
            Self::Fhir => "fhir",
            Self::FhirTransaction => "fhir_transaction",
            Self::Archive => "archive",
            Self::Farewell => "farewell",
        }
    }

    fn of_word(word: &str) -> Self {
        match word {
            "fhir" => Self::Fhir,
            "fhir_transaction" => Self::FhirTransaction,
            "archive" => Self::Archive,
            "farewell" => Self::Farewell,
            _ => Self::Json,
        }
    }
}

/// What is to be sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Parcel {
    pub visit: Uuid,
    /// Of the newest entry: the same visit with more entries is another parcel.
    pub journal_hash: String,
    /// Folder, or http(s) address.
    pub target: String,
    pub format: Format,
    pub body: Vec<u8>,
}

impl Parcel {
    /// The same record to the same place in the same form has the same key.
    pub fn key(&self) -> Uuid {
        let name = format!(
            "{}\u{1f}{}\u{1f}{}\u{1f}{}",
            self.visit,
            self.journal_hash,
            self.target,
            self.format.word()
        );
        Uuid::new_v5(&KEY_SPACE, name.as_bytes())
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Not yet taken; tried again at `next_at`.
    Waiting,
    Sent,
    /// The receiver said no: not tried again unless asked.
    Refused,
}

impl State {
    pub fn word(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Sent => "sent",
            Self::Refused => "refused",
        }
    }
}

/// A line of the outbox.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    pub key: Uuid,
    pub visit: String,
    pub target: String,
    pub format: Format,
    pub state: State,
    pub attempts: u32,
    pub next_at: Timestamp,
    pub sent_at: Option<Timestamp>,
    /// What the receiver said last, or why it could not be reached.
    pub answer: String,
    /// Empty once sent.
    pub body: Vec<u8>,
}

#[derive(Debug)]
pub struct Outbox {
    connection: Connection,
}

impl Outbox {
    /// Opens the outbox of a data folder; works beside a program that records.
    pub fn open(folder: &Path) -> Result<Self, OutboxError> {
        // Refuses a file that is none of ours before anything is made in it.
        drop(Journal::open_reader(folder)?);
        let connection = Connection::open(folder.join(journal::FILE))?;
        connection.busy_timeout(std::time::Duration::from_secs(5))?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        connection.pragma_update(None, "secure_delete", true)?;
        connection.execute_batch(TABLE)?;
        Ok(Self { connection })
    }

    /// Puts a parcel in; one that is here already, sent or not, is left as it is.
    pub fn queue(&mut self, parcel: &Parcel, now: Timestamp) -> Result<Uuid, OutboxError> {
        self.queue_all(std::slice::from_ref(parcel), now)?;
        Ok(parcel.key())
    }

    /// The same with several, in one commit: meanwhile nothing else is written, so they should be few.
    pub fn queue_all(&mut self, parcels: &[Parcel], now: Timestamp) -> Result<(), OutboxError> {
        for parcel in parcels {
            check_target(&parcel.target, false)?;
        }
        let transaction = self
            .connection
            .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)?;
        for parcel in parcels {
            transaction
                .prepare_cached(
                    "INSERT OR IGNORE INTO outbox
                     (key, visit, target, format, state, attempts, queued_at, next_at, answer, body)
                     VALUES (?1, ?2, ?3, ?4, 'waiting', 0, ?5, ?5, '', ?6)",
                )?
                .execute(params![
                    parcel.key().to_string(),
                    parcel.visit.to_string(),
                    parcel.target,
                    parcel.format.word(),
                    now.to_string(),
                    parcel.body
                ])?;
        }
        transaction.commit()?;
        Ok(())
    }

    /// All lines, oldest first.
    pub fn items(&self) -> Result<Vec<Item>, OutboxError> {
        self.items_where("true")
    }

    /// What was not sent yet and is to be tried by `now`, of these formats, oldest first.
    pub fn due(&self, formats: &[Format], now: Timestamp) -> Result<Vec<Item>, OutboxError> {
        let mut items = self.items_where("state = 'waiting'")?;
        items.retain(|item| formats.contains(&item.format) && item.next_at <= now);
        Ok(items)
    }

    /// The same for one target, so many at most, among the rows from `from` on; and the first of those rows that waits, due or not:
    /// what stands before it need not be looked at again, until somebody has what was sent or refused tried once more.
    pub fn due_from(
        &self,
        from: i64,
        formats: &[Format],
        target: &str,
        now: Timestamp,
        most: usize,
    ) -> Result<(Vec<Item>, i64), OutboxError> {
        let first: Option<i64> = self
            .connection
            .prepare_cached(
                "SELECT coalesce((SELECT min(rowid) FROM outbox WHERE rowid >= ?1 AND state = 'waiting'),
                     (SELECT max(rowid) + 1 FROM outbox))",
            )?
            .query_row([from], |row| row.get(0))?;
        let first = first.unwrap_or(from);
        let mut items = self.items_where(&format!("rowid >= {first} AND state = 'waiting'"))?;
        items.retain(|item| {
            formats.contains(&item.format) && item.target == target && item.next_at <= now
        });
        items.truncate(most);
        Ok((items, first))
    }

    /// Keys of all parcels of a format, sent or not.
    pub fn keys(&self, format: Format) -> Result<HashSet<Uuid>, OutboxError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT key FROM outbox WHERE format = ?1")?;
        let keys = statement
            .query_map([format.word()], |row| row.get::<_, String>(0))?
            .collect::<Result<Vec<_>, _>>()?;
        Ok(keys.iter().filter_map(|key| key.parse().ok()).collect())
    }

    fn items_where(&self, condition: &str) -> Result<Vec<Item>, OutboxError> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT key, visit, target, format, state, attempts, next_at, sent_at, answer, body
             FROM outbox WHERE {condition} ORDER BY queued_at, key",
        ))?;
        let mut rows = statement.query([])?;
        let mut items = Vec::new();
        while let Some(row) = rows.next()? {
            let texts: [String; 6] = [
                row.get(0)?,
                row.get(1)?,
                row.get(2)?,
                row.get(3)?,
                row.get(4)?,
                row.get(6)?,
            ];
            let [key, visit, target, format, state, next_at] = texts;
            let (Ok(key), Ok(next_at)) = (key.parse(), next_at.parse()) else {
                continue;
            };
            items.push(Item {
                key,
                visit,
                target,
                format: Format::of_word(&format),
                state: match state.as_str() {
                    "sent" => State::Sent,
                    "refused" => State::Refused,
                    _ => State::Waiting,
                },
                attempts: row.get(5)?,
                next_at,
                sent_at: row
                    .get::<_, Option<String>>(7)?
                    .and_then(|at| at.parse().ok()),
                answer: row.get(8)?,
                body: row.get::<_, Option<Vec<u8>>>(9)?.unwrap_or_default(),
            });
        }
        Ok(items)
    }

    /// Tries what `push` put in and is due at `now`, and writes down what came of each. Returns the items as they stand after.
    pub fn send_due(
        &mut self,
        now: Timestamp,
        mut send: impl FnMut(&Item) -> Delivery,
    ) -> Result<Vec<Item>, OutboxError> {
        let due = self.due(&Format::PUSHED, now)?;
        for item in &due {
            let delivery = send(item);
            self.note(item, &delivery, now)?;
        }
        let keys: Vec<Uuid> = due.iter().map(|item| item.key).collect();
        let after = self.items()?;
        Ok(after
            .into_iter()
            .filter(|item| keys.contains(&item.key))
            .collect())
    }

    /// Writes down what came of an attempt.
    pub fn note(
        &mut self,
        item: &Item,
        delivery: &Delivery,
        now: Timestamp,
    ) -> Result<(), OutboxError> {
        let attempts = item.attempts + 1;
        let key = item.key.to_string();
        match delivery {
            // The record itself is in the journal; a second copy of an animal's data is not kept.
            Delivery::Taken(answer) => self.connection.execute(
                "UPDATE outbox SET state = 'sent', attempts = ?2, sent_at = ?3, answer = ?4, body = NULL WHERE key = ?1",
                params![key, attempts, now.to_string(), answer],
            )?,
            Delivery::Again(why) => {
                let next_at = now.checked_add(wait_after(attempts)).unwrap_or(now);
                self.connection.execute(
                    "UPDATE outbox SET attempts = ?2, next_at = ?3, answer = ?4 WHERE key = ?1",
                    params![key, attempts, next_at.to_string(), why],
                )?
            }
            Delivery::Refused(why) => self.connection.execute(
                "UPDATE outbox SET state = 'refused', attempts = ?2, answer = ?3 WHERE key = ?1",
                params![key, attempts, why],
            )?,
        };
        Ok(())
    }

    /// Makes all that `push` put in and is not sent due now, refused parcels too.
    pub fn retry(&mut self, now: Timestamp) -> Result<usize, OutboxError> {
        self.retry_of(&Format::PUSHED, now)
    }

    /// The same of these formats.
    pub fn retry_of(&mut self, formats: &[Format], now: Timestamp) -> Result<usize, OutboxError> {
        let mut count = 0;
        for format in formats {
            count += self.connection.execute(
                "UPDATE outbox SET state = 'waiting', next_at = ?1 WHERE state <> 'sent' AND format = ?2",
                params![now.to_string(), format.word()],
            )?;
        }
        Ok(count)
    }

    /// Makes all of a format due again, what was sent too: for a receiver that lost it.
    pub fn begin_again(&mut self, format: Format, now: Timestamp) -> Result<usize, OutboxError> {
        Ok(self.connection.execute(
            "UPDATE outbox SET state = 'waiting', next_at = ?1 WHERE format = ?2",
            params![now.to_string(), format.word()],
        )?)
    }

    /// Takes out all that concerns a visit: for a visit that is forgotten.
    pub fn forget(&mut self, visit: Uuid) -> Result<usize, OutboxError> {
        Ok(self
            .connection
            .execute("DELETE FROM outbox WHERE visit = ?1", [visit.to_string()])?)
    }
}

/// 30 s, 1 min, 2 min, ... an hour.
fn wait_after(attempts: u32) -> SignedDuration {
    let doublings = attempts.saturating_sub(1).min(10);
    (FIRST_WAIT * (1 << doublings)).min(LONGEST_WAIT)
}
