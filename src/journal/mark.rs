//! The mark: a small file beside the journal that names the newest entry of each of the latest visits.
//! It is how a lost end is noticed: SQLite itself takes a damaged end of its log for an unfinished write.
//!
//! Invariant: the mark is written only after the commit of its entries returned, and carries its own checksum.
//! So it may lag behind the journal, but a whole mark never names an entry that was not saved. It is never
//! synced: after a power cut it may be old or torn, and a torn mark is no mark.

use jiff::Timestamp;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::record::row::hexadecimal;

/// File name of the mark in the data folder.
pub const FILE: &str = "journal.mark";

const HEAD: &str = "sulcus mark 2";
/// What earlier programs wrote: without times and without the count of visits.
const EARLIER_HEAD: &str = "sulcus mark 1";
/// Visits that a mark names at most: more than a week of one table. Of others that are gone it tells how many.
const VISITS_MAX: usize = 64;

/// The newest entry of a visit that was saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Marked {
    pub visit: Uuid,
    pub number: u64,
    pub hash: String,
    /// When it was saved; none in a mark of an earlier program.
    pub at: Option<Timestamp>,
}

/// The newest entries, the latest visit last.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Mark {
    pub newest: Vec<Marked>,
    /// How many visits there were, those forgotten since included; 0 in a mark of an earlier program.
    pub visit_count: u64,
}

impl Mark {
    /// Takes in what was saved last.
    pub fn add(&mut self, newest: Marked) {
        self.forget(newest.visit);
        self.newest.push(newest);
        if self.newest.len() > VISITS_MAX {
            self.newest.remove(0);
        }
    }

    pub fn forget(&mut self, visit: Uuid) {
        self.newest.retain(|marked| marked.visit != visit);
    }

    /// Number of the newest entry of a visit; none where it is not named.
    pub fn number(&self, visit: Uuid) -> Option<u64> {
        let marked = self.newest.iter().find(|marked| marked.visit == visit)?;
        Some(marked.number)
    }

    pub fn to_bytes(&self) -> Vec<u8> {
        let mut text = format!("{HEAD}\n{}\n", self.visit_count);
        for Marked {
            visit,
            number,
            hash,
            at,
        } in &self.newest
        {
            text += &format!("{visit} {number} {hash}");
            if let Some(at) = at {
                text += &format!(" {at}");
            }
            text.push('\n');
        }
        format!("{text}{}\n", checksum(&text)).into_bytes()
    }

    /// None where the bytes are no whole mark.
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let text = std::str::from_utf8(bytes).ok()?.strip_suffix('\n')?;
        let end = text.rfind('\n')? + 1;
        let (text, sum) = text.split_at(end);
        if checksum(text) != sum {
            return None;
        }
        let mut lines = text.lines();
        let visit_count = match lines.next()? {
            HEAD => lines.next()?.parse().ok()?,
            EARLIER_HEAD => 0,
            _ => return None,
        };
        let marked = lines.map(|line| {
            let mut words = line.split(' ');
            Some(Marked {
                visit: words.next()?.parse().ok()?,
                number: words.next()?.parse().ok()?,
                hash: words.next()?.to_owned(),
                at: words.next().and_then(|at| at.parse().ok()),
            })
        });
        Some(Self {
            newest: marked.collect::<Option<_>>()?,
            visit_count,
        })
    }
}

fn checksum(text: &str) -> String {
    hexadecimal(&Sha256::digest(text.as_bytes()))
}
