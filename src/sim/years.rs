//! Writes years of invented examinations into a data folder, each visit whole in one commit, so that ten years are there
//! in minutes. The examinations are those of [`Examinations`], by seed; what makes them years is here: ten visits a
//! day, and animals with number, name and owner that come again.
//!
//! Invariant: every visit has the chain, the times and the entries that it would have if it had been spoken.

use std::io::Write;
use std::path::Path;

use jiff::{SignedDuration, Timestamp};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::examination::Examinations;
use crate::clock::Now;
use crate::record::row::{Row, StoredRow};
use crate::record::{Draft, Event, Journal};
use crate::terms::Patient;

/// Visits of one table on a day.
const A_DAY: u64 = 10;
/// Visits of one animal in the years, on average.
const OF_ONE: u64 = 4;
/// Tells how far it is every so many visits.
const TOLD_EVERY: u64 = 1_000;
/// 2017-01-02, a Monday.
const FIRST_DAY: i64 = 1_483_344_000;

const NAMES: [&str; 24] = [
    "Pepper", "Mango", "Saffron", "Clove", "Biscuit", "Pixel", "Olive", "Juniper", "Barley",
    "Maple", "Sorrel", "Poppy", "Basil", "Thistle", "Quince", "Fennel", "Hazel", "Nutmeg", "Plum",
    "Sage", "Rowan", "Ginger", "Truffle", "Willow",
];

/// Writes so many visits; `out` is told now and then.
pub fn write(
    folder: &Path,
    seed: u64,
    visit_count: u64,
    out: &mut impl Write,
) -> anyhow::Result<()> {
    let mut journal = Journal::open(folder)?;
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let animal_count = (visit_count / OF_ONE).max(1);
    let mut steps = Examinations::new(seed).peekable();
    for index in 0..visit_count {
        let day = SignedDuration::from_hours(24 * i64::try_from(index / A_DAY)?);
        let hour = SignedDuration::from_mins(48 * i64::try_from(index % A_DAY)?);
        let mut at = Timestamp::from_second(FIRST_DAY)? + day + hour;
        let (mut monotonic_ms, mut rows, mut before) = (0, Vec::<StoredRow>::new(), String::new());
        let Some(visit) = steps.peek().map(|step| step.visit) else {
            break;
        };
        let animal = rng.random_range(0..animal_count);
        while let Some(step) = steps.next_if(|step| step.visit == visit) {
            at += SignedDuration::from_millis(i64::try_from(step.wait_ms)?);
            monotonic_ms += step.wait_ms;
            for draft in step.drafts {
                let draft = named(draft, seed, animal);
                let number = rows.len() as u64 + 1;
                let row = Row::new(visit, number, Now { at, monotonic_ms }, &draft, &before)
                    .map_err(anyhow::Error::msg)?;
                before.clone_from(&row.hash);
                rows.push(stored(row));
            }
        }
        journal.import(visit, &rows, &[])?;
        if (index + 1) % TOLD_EVERY == 0 {
            writeln!(out, "{} visits", index + 1)?;
            out.flush()?;
        }
    }
    Ok(())
}

/// The animal that comes again: by number, name and owner. Its species is that of the examination, so that one number
/// may belong to a dog and a cat.
fn named(mut draft: Draft, seed: u64, animal: u64) -> Draft {
    if let Event::VisitOpened { patient, .. } | Event::PatientUpdated { patient, .. } =
        &mut draft.event
    {
        *patient = Patient {
            id: Some(format!("S{seed}-{animal:05}-{}", patient.species.word())),
            name: NAMES[usize::try_from(animal).unwrap_or(0) % NAMES.len()].to_owned(),
            owner: Some(format!("Invented Owner {}", animal / 2)),
            ..patient.clone()
        };
    }
    draft
}

fn stored(row: Row) -> StoredRow {
    StoredRow {
        number: row.number,
        at: row.at,
        monotonic_ms: row.monotonic_ms,
        heard: row.heard,
        supersedes: row.supersedes,
        event: row.event,
        hash: row.hash,
    }
}
