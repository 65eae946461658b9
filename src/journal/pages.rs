//! Finds rows of a journal in the bytes of its files, without SQLite: for files that SQLite refuses.
//! Follows the database file format as SQLite publishes it (table leaf cells, records, overflow pages, log frames).
//!
//! Invariant: what it finds is only a candidate. The chain of hashes, not this file, says what is true.

use std::collections::HashMap;

use uuid::Uuid;

use crate::record::row::Row;

/// A row found in the bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    pub row: Row,
    /// SQLite's row number: the order in which all rows were written.
    pub order: u64,
    /// Found in the database itself; a log may hold writes that were never committed.
    pub is_of_database: bool,
}

/// The page size of our journals, and of every SQLite file since 2016 where none was asked for.
const USUAL_PAGE_BYTES: usize = 4096;
const LOG_HEAD_BYTES: usize = 32;
const FRAME_HEAD_BYTES: usize = 24;
/// More than any row of ours: a note of some hours.
const ROW_BYTES_MAX: u64 = 16 << 20;
/// Serial type of a text of 36 bytes: the name of a visit.
const VISIT_TYPE: u64 = 36 * 2 + 13;
/// Serial type of a text of 64 bytes: a hash.
const HASH_TYPE: u64 = 64 * 2 + 13;

/// All rows that can be found in a database and its logs, in the order given.
pub fn find(database: &[u8], logs: &[Vec<u8>]) -> Vec<Candidate> {
    let page_bytes = page_bytes(database);
    let mut newest: HashMap<u32, &[u8]> = HashMap::new();
    let mut frames: Vec<&[u8]> = Vec::new();
    for log in logs {
        let Some(body) = log.get(LOG_HEAD_BYTES..) else {
            continue;
        };
        for frame in body.chunks(FRAME_HEAD_BYTES + page_bytes) {
            let (Some(number), Some(page)) = (
                big_endian_u32(frame, 0),
                frame
                    .get(FRAME_HEAD_BYTES..)
                    .filter(|page| page.len() == page_bytes),
            ) else {
                continue;
            };
            newest.insert(number, page);
            frames.push(page);
        }
    }
    let of_database = |number: u32| -> Option<&[u8]> {
        let start = (number as usize).checked_sub(1)?.checked_mul(page_bytes)?;
        database.get(start..start.checked_add(page_bytes)?)
    };
    let mut candidates = Vec::new();
    let mut look = |page: &[u8], is_of_database: bool| {
        for offset in 0..page.len() {
            let found = [true, false].into_iter().find_map(|newest_first| {
                row_at(page, offset, page_bytes, &|number| {
                    let of_log = newest.get(&number).copied();
                    if newest_first {
                        of_log.or_else(|| of_database(number))
                    } else {
                        of_database(number)
                    }
                })
            });
            if let Some((order, row)) = found {
                candidates.push(Candidate {
                    row,
                    order,
                    is_of_database,
                });
            }
        }
    };
    for page in database.chunks(page_bytes) {
        look(page, true);
    }
    for page in frames {
        look(page, false);
    }
    candidates
}

fn page_bytes(database: &[u8]) -> usize {
    match database.get(16..18) {
        Some(&[high, low]) => match usize::from(u16::from_be_bytes([high, low])) {
            1 => 65_536,
            size if size >= 512 && size.is_power_of_two() => size,
            _ => USUAL_PAGE_BYTES,
        },
        _ => USUAL_PAGE_BYTES,
    }
}

/// The row whose cell begins at the offset, where one does.
fn row_at<'a>(
    page: &[u8],
    offset: usize,
    page_bytes: usize,
    page_of: &dyn Fn(u32) -> Option<&'a [u8]>,
) -> Option<(u64, Row)> {
    let mut at = offset;
    let length = varint(page, &mut at).filter(|length| (100..ROW_BYTES_MAX).contains(length))?;
    let order = varint(page, &mut at)?;
    // The types are looked at before anything is copied: nearly every offset ends here.
    let mut types_at = at;
    types(page, &mut types_at)?;
    let length = usize::try_from(length).ok()?;
    let payload = payload(page, at, length, page_bytes, page_of)?;
    let mut at = 0;
    let types = types(&payload, &mut at)?;
    let mut columns = Columns { payload, at };
    let row = Row {
        visit: columns.text(types[0])??,
        number: columns.whole(types[1])?,
        at: columns.text(types[2])??,
        monotonic_ms: columns.whole(types[3])?,
        heard: columns.text(types[4])?,
        supersedes: columns.text(types[5])??,
        event: columns.text(types[6])??,
        hash: columns.text(types[7])??,
    };
    row.visit.parse::<Uuid>().ok()?;
    (columns.at == columns.payload.len()).then_some((order, row))
}

/// The serial types of the eight columns, where they are those of a row of ours.
fn types(record: &[u8], at: &mut usize) -> Option<[u64; 8]> {
    let start = *at;
    let head_bytes = usize::try_from(varint(record, at)?).ok()?;
    let mut types = [0; 8];
    for kind in &mut types {
        *kind = varint(record, at)?;
    }
    let is_text = |kind: u64| kind >= 13 && kind % 2 == 1;
    let is_whole = |kind: u64| matches!(kind, 1..=6 | 8 | 9);
    let [
        visit,
        number,
        time,
        monotonic,
        heard,
        supersedes,
        event,
        hash,
    ] = types;
    let fits = *at - start == head_bytes
        && visit == VISIT_TYPE
        && hash == HASH_TYPE
        && is_whole(number)
        && is_whole(monotonic)
        && (heard == 0 || is_text(heard))
        && [time, supersedes, event].into_iter().all(is_text);
    fits.then_some(types)
}

/// The bytes of a cell, gathered from its overflow pages where it has them.
fn payload<'a>(
    page: &[u8],
    at: usize,
    length: usize,
    page_bytes: usize,
    page_of: &dyn Fn(u32) -> Option<&'a [u8]>,
) -> Option<Vec<u8>> {
    let most = page_bytes - 35;
    if length <= most {
        return page.get(at..at.checked_add(length)?).map(<[u8]>::to_vec);
    }
    let least = (page_bytes - 12) * 32 / 255 - 23;
    let wished = least + (length - least) % (page_bytes - 4);
    let local = if wished <= most { wished } else { least };
    let mut payload = page.get(at..at + local)?.to_vec();
    let mut next = big_endian_u32(page, at + local)?;
    while payload.len() < length {
        let page = page_of(next)?;
        next = big_endian_u32(page, 0)?;
        let count = (length - payload.len()).min(page_bytes - 4);
        payload.extend_from_slice(page.get(4..4 + count)?);
    }
    Some(payload)
}

struct Columns {
    payload: Vec<u8>,
    at: usize,
}

impl Columns {
    fn take(&mut self, count: usize) -> Option<&[u8]> {
        let end = self.at.checked_add(count)?;
        let bytes = self.payload.get(self.at..end)?;
        self.at = end;
        Some(bytes)
    }

    /// Some(None) for a null.
    fn text(&mut self, kind: u64) -> Option<Option<String>> {
        if kind == 0 {
            return Some(None);
        }
        let bytes = self.take(usize::try_from((kind - 13) / 2).ok()?)?;
        Some(Some(std::str::from_utf8(bytes).ok()?.to_owned()))
    }

    fn whole(&mut self, kind: u64) -> Option<u64> {
        let count = match kind {
            8 => return Some(0),
            9 => return Some(1),
            1..=4 => kind as usize,
            5 => 6,
            _ => 8,
        };
        let bytes = self.take(count)?;
        // Two's complement; ours are never below zero.
        (bytes[0] < 0x80).then(|| {
            bytes
                .iter()
                .fold(0, |value, byte| value << 8 | u64::from(*byte))
        })
    }
}

/// SQLite's number of one to nine bytes.
fn varint(bytes: &[u8], at: &mut usize) -> Option<u64> {
    let mut value = 0_u64;
    for index in 0..9 {
        let byte = *bytes.get(*at)?;
        *at += 1;
        if index == 8 {
            return Some(value << 8 | u64::from(byte));
        }
        value = value << 7 | u64::from(byte & 0x7f);
        if byte < 0x80 {
            return Some(value);
        }
    }
    None
}

fn big_endian_u32(bytes: &[u8], at: usize) -> Option<u32> {
    let bytes = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_be_bytes(bytes.try_into().ok()?))
}
