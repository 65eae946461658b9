//! The mark: a small file beside the journal that names the newest entry that was saved.
//! It is how a lost end is noticed: SQLite itself takes a damaged end of its log for an unfinished write.
//!
//! Invariant: the mark is written only after the commit of its entry returned, and carries its own checksum.
//! So it may lag behind the journal, but a whole mark never names an entry that was not saved. It is never
//! synced: after a power cut it may be old or torn, and a torn mark is no mark.

use sha2::{Digest, Sha256};
use uuid::Uuid;

/// File name of the mark in the data folder.
pub const FILE: &str = "journal.mark";

const HEAD: &str = "sulcus mark 1";

/// The newest entry that was saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    pub visit: Uuid,
    pub number: u64,
    pub hash: String,
}

impl Mark {
    pub fn to_bytes(&self) -> Vec<u8> {
        let line = format!("{HEAD} {} {} {}", self.visit, self.number, self.hash);
        format!("{line} {}\n", checksum(&line)).into_bytes()
    }

    /// None where the bytes are no whole mark.
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let text = std::str::from_utf8(bytes).ok()?.strip_suffix('\n')?;
        let (line, sum) = text.rsplit_once(' ')?;
        if checksum(line) != sum {
            return None;
        }
        let mut words = line.strip_prefix(HEAD)?.split_whitespace();
        Some(Self {
            visit: words.next()?.parse().ok()?,
            number: words.next()?.parse().ok()?,
            hash: words.next()?.to_owned(),
        })
    }
}

fn checksum(line: &str) -> String {
    hexadecimal(&Sha256::digest(line.as_bytes()))
}

pub(super) fn hexadecimal(bytes: &[u8]) -> String {
    use std::fmt::Write;
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}
