//! Takes out of a damaged journal what can be proven, into a fresh one, and says what was lost.
//!
//! Invariant: the damaged folder is only read; an entry gets into the fresh journal only if the chain of hashes
//! proves it from the first entry of its visit on.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Write};
use std::ops::RangeInclusive;
use std::path::Path;

use uuid::Uuid;

use super::columns::Columns;
use super::error::JournalError;
use super::losses::{self, LostVisits};
use super::mark::{Mark, Marked};
use super::pages::{self, Candidate};
use super::seal::{self, KEY_FILE, Occasion, Seal, TRUSTED_FILE};
use super::storage::{DataFolder, Storage, private_options};
use super::summary::{self, Summary};
use super::whole_visit::{Tombstone, tombstones};
use super::{FILE, Fault, Journal, LOG_FILE, connect, kept_logs, read_mark};
use crate::clock::{Clock, Now, RealClock};
use crate::record::Record;
use crate::record::event::{Draft, Entry, Event};
use crate::record::row::Row;

/// File in the fresh folder for entries that could be read but not proven.
pub const UNPROVEN_FILE: &str = "unproven.jsonl";

/// What was found of a damaged journal.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Salvage {
    /// In the order in which they were begun.
    pub visits: Vec<SalvagedVisit>,
    /// What is lost for good, one sentence each: told in the fresh journal for ever.
    pub losses: Vec<String>,
}

/// What was found of one visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SalvagedVisit {
    pub visit: Uuid,
    /// Entries from the first on that are proven and in the fresh journal.
    pub proven_count: u64,
    /// Numbers of entries that could be read, but stand after a gap: in the file beside.
    pub unproven: Vec<u64>,
    /// Ranges of numbers known to have been written of which nothing can be read.
    pub lost: Vec<RangeInclusive<u64>>,
    /// Number of the last entry that is known to have been written after the proven ones; none where nothing was.
    pub last_lost: Option<u64>,
}

impl Salvage {
    pub fn is_whole(&self) -> bool {
        self.losses.is_empty()
            && self
                .visits
                .iter()
                .all(|visit| visit.lost.is_empty() && visit.unproven.is_empty())
    }
}

/// Salvages the journal of one folder into another that holds none.
pub fn salvage(from: &Path, out: &Path) -> Result<Salvage, JournalError> {
    let from = DataFolder::new(from);
    let target = DataFolder::new(out);
    if target.len(FILE).is_some() {
        return Err(JournalError::folder(out, "it holds visits already"));
    }
    // Nobody may write while it is read, and what is read as bytes is not read through SQLite at the same time.
    let _lock = from.lock()?;
    let mut found = read_damaged(&from)?;
    // The clinic's key goes along, so that its seals stay its own.
    let trouble = |why: io::Error| JournalError::folder_io(out, &why);
    target.prepare().map_err(trouble)?;
    for name in [KEY_FILE, TRUSTED_FILE] {
        if from.len(name).is_some() && target.len(name).is_none() {
            let bytes = from
                .read(name)
                .map_err(|why| JournalError::folder_io(from.folder(), &why))?;
            target.make_durable(name, &bytes).map_err(trouble)?;
        }
    }
    let mut journal = Journal::open_on(Box::new(target.clone()))?;
    found.salvage.losses = journal.take_over(&found)?;
    drop(journal);
    if !found.unproven.is_empty() {
        write_unproven(&out.join(UNPROVEN_FILE), &found.unproven)
            .map_err(|why| JournalError::folder_io(out, &why))?;
    }
    Ok(found.salvage)
}

/// What the bytes of a damaged journal hold.
#[derive(Debug, Default)]
pub struct Found {
    pub salvage: Salvage,
    /// The proven rows of each visit, in the order of `salvage`.
    chains: Vec<Vec<Row>>,
    unproven: Vec<Row>,
    stones: Vec<Tombstone>,
    /// Visits of which nothing is left: as they were told before, and as found now.
    lost_visits: Vec<LostVisits>,
    /// Seals of each visit, in the order of `salvage`, as far as the file can still tell.
    seals: Vec<Vec<Seal>>,
}

impl Found {
    /// The proven entries of a visit.
    pub fn entries(&self, visit: Uuid) -> Vec<Entry> {
        self.salvage
            .visits
            .iter()
            .zip(&self.chains)
            .filter(|(salvaged, _)| salvaged.visit == visit)
            .flat_map(|(_, chain)| chain)
            .filter_map(|row| row.entry(visit).ok())
            .collect()
    }
}

/// Reads and proves what is there, and writes nothing.
pub fn read_damaged(from: &dyn Storage) -> Result<Found, JournalError> {
    let database = from.read(FILE).map_err(|why| JournalError::Folder {
        folder: from.folder().display().to_string(),
        why: format!("{FILE}: {why}"),
        fault: Fault::of_io(&why),
    })?;
    let mut logs: Vec<Vec<u8>> = kept_logs(from)
        .filter_map(|name| from.read(&name).ok())
        .collect();
    logs.extend(from.read(LOG_FILE).ok());
    // Only after the bytes were read. A forgotten visit stays forgotten, as far as the file can still tell.
    let stones = connect(from, false)
        .and_then(|connection| tombstones(&connection))
        .unwrap_or_default();
    let is_forgotten = |visit: Uuid| stones.iter().any(|stone| stone.visit == visit);
    let mut mark = read_mark(from).unwrap_or_default();
    mark.newest.retain(|marked| !is_forgotten(marked.visit));

    let mut by_visit: BTreeMap<String, Vec<Candidate>> = BTreeMap::new();
    for candidate in pages::find(&database, &logs) {
        by_visit
            .entry(candidate.row.visit.clone())
            .or_default()
            .push(candidate);
    }
    let mut found: Vec<(u64, SalvagedVisit, Vec<Row>, Vec<Row>)> = by_visit
        .into_values()
        .filter_map(|candidates| prove(candidates, &mark))
        .filter(|(_, visit, ..)| !is_forgotten(visit.visit))
        .collect();
    for marked in &mark.newest {
        if found
            .iter()
            .any(|(_, visit, ..)| visit.visit == marked.visit)
        {
            continue;
        }
        let nothing = SalvagedVisit {
            visit: marked.visit,
            proven_count: 0,
            unproven: Vec::new(),
            lost: vec![1..=marked.number],
            last_lost: Some(marked.number),
        };
        found.push((u64::MAX, nothing, Vec::new(), Vec::new()));
    }
    found.sort_by_key(|(order, ..)| *order);
    let seals_of = |visit: Uuid| -> Vec<Seal> {
        connect(from, false)
            .and_then(|connection| seal::of_visit(&connection, &visit.to_string()))
            .unwrap_or_default()
    };
    let mut lost_visits = connect(from, false)
        .and_then(|connection| losses::lost_visits(&connection))
        .unwrap_or_default();
    for (_, visit, ..) in found
        .iter()
        .filter(|(_, visit, ..)| visit.proven_count == 0)
    {
        let marked = mark
            .newest
            .iter()
            .find(|marked| marked.visit == visit.visit);
        if lost_visits
            .iter()
            .any(|lost| lost.visit == Some(visit.visit))
        {
            continue;
        }
        lost_visits.push(LostVisits {
            visit: Some(visit.visit),
            visit_count: 1,
            first: 1,
            last: visit.last_lost.unwrap_or(1),
            hash: marked.map(|marked| marked.hash.clone()).unwrap_or_default(),
            until: marked.and_then(|marked| marked.at),
            found_at: Some(jiff::Timestamp::now()),
            remains: None,
        });
    }
    let mut all = Found {
        lost_visits,
        stones,
        ..Found::default()
    };
    for (_, visit, chain, rest) in found {
        all.seals.push(seals_of(visit.visit));
        all.salvage.visits.push(visit);
        all.chains.push(chain);
        all.unproven.extend(rest);
    }
    Ok(all)
}

/// The longest chain of a visit's rows from the first on, and what is left.
fn prove(
    candidates: Vec<Candidate>,
    mark: &Mark,
) -> Option<(u64, SalvagedVisit, Vec<Row>, Vec<Row>)> {
    let visit: Uuid = candidates.first()?.row.visit.parse().ok()?;
    let order = candidates.iter().map(|c| c.order).min()?;
    let mut by_number: BTreeMap<u64, Vec<Candidate>> = BTreeMap::new();
    for candidate in candidates {
        // What cannot be read as an entry is no help to anybody.
        if candidate.row.entry(visit).is_err() {
            continue;
        }
        let same = by_number.entry(candidate.row.number).or_default();
        match same.iter_mut().find(|known| known.row == candidate.row) {
            Some(known) => known.is_of_database |= candidate.is_of_database,
            None => same.push(candidate),
        }
    }
    // How many entries follow each candidate in its chain: two rows of one number are rare (an append that
    // failed and was said again), and the one that others build on is the true one.
    let mut lengths: BTreeMap<(u64, usize), usize> = BTreeMap::new();
    for (&number, rows) in by_number.iter().rev() {
        for (index, candidate) in rows.iter().enumerate() {
            let next = by_number.get(&(number + 1)).into_iter().flatten();
            let longest = next
                .enumerate()
                .filter(|(_, next)| next.row.hash_after(&candidate.row.hash) == next.row.hash)
                .filter_map(|(next, _)| lengths.get(&(number + 1, next)))
                .max()
                .copied()
                .unwrap_or(0);
            lengths.insert((number, index), longest + 1);
        }
    }
    let mut chain: Vec<Row> = Vec::new();
    let mut before = String::new();
    for number in 1.. {
        let rows = by_number
            .get(&number)
            .map(Vec::as_slice)
            .unwrap_or_default();
        let best = rows
            .iter()
            .enumerate()
            .filter(|(_, candidate)| candidate.row.hash_after(&before) == candidate.row.hash)
            .max_by_key(|(index, candidate)| {
                // Where a loss was told and the work went on, that is the visit; what was lost then stands beside it.
                let tells_loss = matches!(
                    candidate.row.entry(visit).map(|entry| entry.event),
                    Ok(Event::LossTold { .. })
                );
                (
                    tells_loss,
                    lengths.get(&(number, *index)),
                    candidate.is_of_database,
                )
            });
        let Some((_, best)) = best else { break };
        before.clone_from(&best.row.hash);
        chain.push(best.row.clone());
    }
    let proven_count = chain.len() as u64;
    // What an entry of the visit tells as lost already, where remains of it lie beside.
    let told: Vec<RangeInclusive<u64>> = chain
        .iter()
        .filter_map(|row| match row.entry(visit).ok()?.event {
            Event::LossTold { first, last, .. } => Some(first..=last),
            _ => None,
        })
        .collect();
    let is_told = |number: u64| told.iter().any(|range| range.contains(&number));
    let unproven: Vec<Row> = by_number
        .iter()
        .flat_map(|(&number, rows)| rows.iter().map(move |candidate| (number, &candidate.row)))
        .filter(|&(number, row)| {
            number > proven_count || is_told(number) && !chain.iter().any(|proven| proven == row)
        })
        .map(|(_, row)| row.clone())
        .collect();
    let readable: BTreeSet<u64> = unproven.iter().map(|row| row.number).collect();
    let marked = mark.number(visit).unwrap_or(0);
    let mut lost = Vec::new();
    let mut next = proven_count + 1;
    let after: Vec<u64> = readable
        .iter()
        .copied()
        .filter(|&number| number > proven_count && !is_told(number))
        .collect();
    for &number in after.iter().chain(&[marked.saturating_add(1)]) {
        if number > next {
            lost.push(next..=number - 1);
        }
        next = next.max(number.saturating_add(1));
    }
    let last_lost = after
        .last()
        .copied()
        .max(Some(marked))
        .filter(|&number| number > proven_count);
    Some((
        order,
        SalvagedVisit {
            visit,
            proven_count,
            unproven: readable.into_iter().collect(),
            lost,
            last_lost,
        },
        chain,
        unproven,
    ))
}

impl Journal {
    /// Takes proven rows over as they are, all in one commit.
    ///
    /// A visit whose end is lost gets an entry that tells it; of a visit of which nothing is left a row tells it. Gives
    /// the sentences.
    fn take_over(&mut self, found: &Found) -> Result<Vec<String>, JournalError> {
        let now = RealClock::default().now();
        let mut losses: Vec<String> = found.lost_visits.iter().map(ToString::to_string).collect();
        let transaction = self.connection.transaction()?;
        for ((visit, chain), seals) in found
            .salvage
            .visits
            .iter()
            .zip(&found.chains)
            .zip(&found.seals)
        {
            let mut began = 0;
            for row in chain {
                row.insert(&transaction)?;
                if began == 0 {
                    began = transaction.last_insert_rowid();
                }
            }
            let Some(last) = chain.last() else {
                continue;
            };
            let mut entries: Vec<Entry> = chain
                .iter()
                .filter_map(|row| row.entry(visit.visit).ok())
                .collect();
            let told = visit
                .last_lost
                .map(|lost| lost_row(visit.visit, last, lost, now))
                .transpose()?;
            if let Some(row) = &told {
                row.insert(&transaction)?;
                entries.extend(row.entry(visit.visit).ok());
            }
            let last = told.as_ref().unwrap_or(last);
            let head = (last.number, last.hash.as_str());
            match Record::fold(&entries) {
                Some(record) => {
                    losses.extend(record.losses.iter().map(|loss| loss.sentence(visit.visit)));
                    Summary::of(&record, began)
                }
                None => Summary::without_record(visit.visit, began, head),
            }
            .put(&transaction)?;
            // Seals of what is gone would be no seals of what is here; its loss is told otherwise.
            for seal in seals.iter().filter(|seal| seal.number <= last.number) {
                seal.insert(&transaction)?;
            }
            match &self.key {
                Some(key) => key.seal(visit.visit, head, now.at, Occasion::Salvage),
                None => seal::unsigned(visit.visit, head, now.at, Occasion::Salvage),
            }
            .insert(&transaction)?;
        }
        for stone in &found.stones {
            stone.insert(&transaction)?;
        }
        for lost in &found.lost_visits {
            lost.insert(&transaction)?;
        }
        transaction.commit()?;
        self.mark.visit_count = summary::visit_count(&self.connection)?;
        let heads = summary::heads(&self.connection)?;
        if let Some((visit, number, hash)) = heads.into_iter().next_back() {
            self.saved(Marked {
                visit,
                number,
                hash,
                at: None,
            });
        }
        Ok(losses)
    }
}

/// The entry that tells what was lost after the last proven one.
fn lost_row(visit: Uuid, last: &Row, lost: u64, now: Now) -> Result<Row, JournalError> {
    let draft = Draft::new(
        Event::LossTold {
            first: last.number + 1,
            last: lost.max(last.number + 1),
            until: None,
            hash: String::new(),
            remains: None,
        },
        None,
    );
    Row::new(visit, last.number + 1, now, &draft, &last.hash).map_err(JournalError::refused_to_save)
}

fn write_unproven(file: &Path, rows: &[Row]) -> io::Result<()> {
    let mut file = private_options().create_new(true).open(file)?;
    for row in rows {
        let part = |text: &str| {
            serde_json::from_str::<serde_json::Value>(text).unwrap_or(serde_json::Value::Null)
        };
        let line = serde_json::json!({
            "visit": row.visit,
            "number": row.number,
            "at": row.at,
            "heard": row.heard.as_deref().map(part),
            "supersedes": part(&row.supersedes),
            "event": part(&row.event),
            "hash": row.hash,
        });
        writeln!(file, "{line}")?;
    }
    file.sync_all()
}
