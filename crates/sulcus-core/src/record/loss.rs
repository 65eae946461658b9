//! What the disk lost of a visit, and the one sentence that tells it.
//!
//! Invariant: a loss is told in the same words at every door: which visit, how many entries, from which number and
//! time, where the remains lie, what to do.

use jiff::Timestamp;
use uuid::Uuid;

/// Entries of a visit that had been saved and that the disk lost. Stays part of the visit for ever.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loss {
    /// Number of the entry that tells it.
    pub number: u64,
    /// When it was found.
    pub found_at: Timestamp,
    /// Number of the first lost entry.
    pub first: u64,
    /// Number of the last lost entry.
    pub last: u64,
    /// When the last entry before the loss was saved.
    pub from: Option<Timestamp>,
    /// When the last lost entry had been saved, where that is known.
    pub until: Option<Timestamp>,
    /// File name in the data folder of the damaged log that was kept.
    pub remains: Option<String>,
}

impl Loss {
    /// How many entries are lost; 1 or more.
    pub fn count(&self) -> u64 {
        self.last.saturating_sub(self.first) + 1
    }

    /// The sentence that tells it, for the visit it belongs to.
    pub fn sentence(&self, visit: Uuid) -> String {
        sentence(
            visit,
            (self.first, self.last),
            self.from,
            self.until,
            self.remains.as_deref(),
        )
    }
}

/// Tells a loss: numbers of the first and the last lost entry, the time of the entry before them, the time of the
/// last of them, and the file that holds what remains.
pub fn sentence(
    visit: Uuid,
    (first, last): (u64, u64),
    from: Option<Timestamp>,
    until: Option<Timestamp>,
    remains: Option<&str>,
) -> String {
    let time = |at: Timestamp| at.strftime("%Y-%m-%d %H:%M:%SZ").to_string();
    let when = match (from, until) {
        (Some(from), Some(until)) => {
            format!(", saved after {} up to {}", time(from), time(until))
        }
        (Some(from), None) => format!(", saved after {}", time(from)),
        (None, Some(until)) => format!(", saved up to {}", time(until)),
        (None, None) => String::new(),
    };
    let remains = match remains {
        Some(file) => {
            format!("; what remains of them is kept in {file}, sulcus salvage OUT reads it")
        }
        None => String::new(),
    };
    format!(
        "of visit {visit} {} saved entries are lost, {first} to {last}{when}{remains}; look through what was said last and say it again",
        last.saturating_sub(first) + 1
    )
}
