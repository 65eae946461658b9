//! Animals in the archive: found by words, their visits over all tables, which patients a person said to be one, and
//! what is to be checked again.
//!
//! Invariant: whoever reads is written down in the transaction that reads.

use std::time::SystemTime;

use jiff::Timestamp;
use postgres::{Row, Transaction};
use serde::Serialize;
use uuid::Uuid;

use super::ArchiveError;
use super::accounts::{Caller, note};
use super::database::timestamp;
use super::parcel::Parcel;
use super::receive::held;
use crate::export::json::Signature;
use crate::plan::progress::is_same_patient;
use crate::terms::Patient;

/// Hits shown at once; a narrower search finds the rest.
const HITS_MAX: i64 = 50;
/// Visits that a table fetches: a life of yearly visits.
const HISTORY_MAX: i64 = 20;
/// Rechecks shown at once.
const RECHECKS_MAX: i64 = 500;

/// A patient of the list.
#[derive(Debug, Serialize)]
pub(super) struct PatientLine {
    pub id: Uuid,
    /// The animal that it was said to be one with; itself where with none.
    pub animal: Uuid,
    pub species: String,
    pub name: String,
    pub identifier: Option<String>,
    pub microchip: Option<String>,
    pub owner: Option<String>,
    pub visit_count: i64,
    pub last_at: Option<Timestamp>,
}

impl PatientLine {
    fn of(line: &Row) -> Self {
        Self {
            id: line.get(0),
            animal: line.get(1),
            species: line.get(2),
            name: line.get(3),
            identifier: line.get(4),
            owner: line.get(5),
            visit_count: line.get(6),
            last_at: line.get::<_, Option<SystemTime>>(7).map(timestamp),
            microchip: line.get(8),
        }
    }
}

const PATIENT: &str = "p.id, sulcus.root(p.id), p.species, p.name, p.identifier, p.owner,
     (SELECT count(*) FROM sulcus.visit v WHERE v.clinic = p.clinic AND v.patient = p.id),
     (SELECT max(v.opened_at) FROM sulcus.visit v WHERE v.clinic = p.clinic AND v.patient = p.id),
     p.microchip";

/// Patients in which all words occur (name, identifier, microchip, owner, breed, species), seen last first.
pub(super) fn search(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    words: &str,
) -> Result<Vec<PatientLine>, ArchiveError> {
    caller.require("read")?;
    let patterns: Vec<String> = words
        .split_whitespace()
        .take(8)
        .map(|word| {
            let plain = word.to_lowercase();
            let escaped = plain
                .replace('\\', "\\\\")
                .replace('%', "\\%")
                .replace('_', "\\_");
            format!("%{escaped}%")
        })
        .collect();
    let lines = transaction.query(
        &format!(
            "SELECT {PATIENT} FROM sulcus.patient p WHERE p.clinic = $1 AND p.search LIKE ALL ($2)
             ORDER BY 8 DESC NULLS LAST, p.name LIMIT {HITS_MAX}"
        ),
        &[&caller.clinic, &patterns],
    )?;
    note(transaction, "search", None, None, words)?;
    Ok(lines.iter().map(PatientLine::of).collect())
}

/// A visit of a timeline.
#[derive(Debug, Serialize)]
pub(super) struct VisitLine {
    pub visit: Uuid,
    pub patient: Uuid,
    pub table: String,
    pub state: String,
    pub opened_at: Timestamp,
    pub finished_at: Option<Timestamp>,
    pub value_count: i64,
    pub unconfirmed_count: i64,
    /// Entries that a disk lost.
    pub lost_count: i64,
    pub is_invented: bool,
}

/// A merge that stands.
#[derive(Debug, Serialize)]
pub(super) struct MergeLine {
    pub id: i64,
    pub patient: Uuid,
    pub into_patient: Uuid,
    pub at: Timestamp,
    pub by: String,
    pub reason: String,
}

/// An animal with all that is held of it.
#[derive(Debug, Serialize)]
pub(super) struct Timeline {
    pub animal: Uuid,
    pub patients: Vec<PatientLine>,
    /// Newest first.
    pub visits: Vec<VisitLine>,
    pub merges: Vec<MergeLine>,
    /// Patients that a person may find to be the same.
    pub look_alikes: Vec<PatientLine>,
}

/// An animal over visits and tables.
pub(super) fn timeline(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    patient: Uuid,
) -> Result<Option<Timeline>, ArchiveError> {
    caller.require("read")?;
    let lines = transaction.query(
        &format!(
            "SELECT {PATIENT} FROM sulcus.patient p
             WHERE p.clinic = $1 AND p.id IN (SELECT sulcus.same_animal($2)) ORDER BY p.created_at"
        ),
        &[&caller.clinic, &patient],
    )?;
    let patients: Vec<PatientLine> = lines.iter().map(PatientLine::of).collect();
    let Some(animal) = patients.first().map(|line| line.animal) else {
        return Ok(None);
    };
    let ids: Vec<Uuid> = patients.iter().map(|line| line.id).collect();
    let visits = transaction.query(
        "SELECT v.id, v.patient, coalesce(a.name, ''), v.state, v.opened_at, v.finished_at, v.value_count,
             v.value_count - v.confirmed_count, v.lost_count, v.is_invented
         FROM sulcus.visit v LEFT JOIN sulcus.account a ON a.id = v.delivered_by
         WHERE v.clinic = $1 AND v.patient = ANY ($2) ORDER BY v.opened_at DESC",
        &[&caller.clinic, &ids],
    )?;
    let merges = transaction.query(
        "SELECT m.id, m.patient, m.into_patient, m.at, coalesce(a.name, ''), m.reason
         FROM sulcus.merge m LEFT JOIN sulcus.account a ON a.id = m.by_account
         WHERE m.clinic = $1 AND m.undone_at IS NULL AND m.patient = ANY ($2) ORDER BY m.at",
        &[&caller.clinic, &ids],
    )?;
    let look_alikes = transaction.query(
        &format!(
            "SELECT {PATIENT} FROM sulcus.patient p
             WHERE p.clinic = $1 AND p.id <> ALL ($2) AND EXISTS (
                 SELECT FROM sulcus.patient o WHERE o.clinic = $1 AND o.id = ANY ($2) AND o.species = p.species
                     AND (lower(o.identifier) = lower(p.identifier) OR o.microchip = p.microchip
                         OR lower(o.name) = lower(p.name) AND (o.owner IS NULL OR p.owner IS NULL
                             OR lower(o.owner) = lower(p.owner))))
             ORDER BY 8 DESC NULLS LAST LIMIT {HITS_MAX}"
        ),
        &[&caller.clinic, &ids],
    )?;
    note(transaction, "read", None, Some(patient), "timeline")?;
    Ok(Some(Timeline {
        animal,
        patients,
        visits: visits
            .iter()
            .map(|line| VisitLine {
                visit: line.get(0),
                patient: line.get(1),
                table: line.get(2),
                state: line.get(3),
                opened_at: timestamp(line.get(4)),
                finished_at: line.get::<_, Option<SystemTime>>(5).map(timestamp),
                value_count: line.get(6),
                unconfirmed_count: line.get(7),
                lost_count: line.get(8),
                is_invented: line.get(9),
            })
            .collect(),
        merges: merges
            .iter()
            .map(|line| MergeLine {
                id: line.get(0),
                patient: line.get(1),
                into_patient: line.get(2),
                at: timestamp(line.get(3)),
                by: line.get(4),
                reason: line.get(5),
            })
            .collect(),
        look_alikes: look_alikes.iter().map(PatientLine::of).collect(),
    }))
}

/// Something to be checked again, of an animal that was not here since; or a result that is awaited.
#[derive(Debug, Serialize)]
pub(super) struct Recheck {
    pub patient: Uuid,
    pub name: String,
    pub species: String,
    pub identifier: Option<String>,
    pub owner: Option<String>,
    pub visit: Uuid,
    pub seen_at: Timestamp,
    pub from: Option<String>,
    pub until: String,
    pub teeth: String,
    pub what: String,
    pub is_overdue: bool,
    /// A laboratory owes it: listed until it is read, whether or not the animal was here again.
    pub is_result: bool,
}

/// Open rechecks of the practice up to a day (ISO 8601), soonest first: those after which the animal was not here
/// again, and results of samples that nobody has read.
pub(super) fn rechecks(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    until: &str,
) -> Result<Vec<Recheck>, ArchiveError> {
    caller.require("read")?;
    let lines = transaction.query(
        &format!(
            "WITH merged AS (
                 SELECT patient AS id FROM sulcus.merge WHERE clinic = $1 AND undone_at IS NULL
                 UNION SELECT into_patient FROM sulcus.merge WHERE clinic = $1 AND undone_at IS NULL)
             SELECT p.id, p.name, p.species, p.identifier, p.owner, v.id, v.opened_at, r.from_day::text,
                 r.until_day::text, r.teeth, r.what, r.until_day < current_date, r.is_result
             FROM sulcus.recheck r
             JOIN sulcus.visit v ON v.clinic = r.clinic AND v.id = r.visit
             JOIN sulcus.patient p ON p.clinic = v.clinic AND p.id = v.patient
             WHERE r.clinic = $1 AND r.until_day <= $2::text::date
                 AND (r.is_result OR NOT EXISTS (
                         SELECT FROM sulcus.visit later WHERE later.clinic = $1 AND later.patient = v.patient
                             AND later.opened_at > v.opened_at)
                     AND (v.patient NOT IN (SELECT id FROM merged) OR NOT EXISTS (
                         SELECT FROM sulcus.visit later WHERE later.clinic = $1 AND later.opened_at > v.opened_at
                             AND later.patient IN (SELECT sulcus.same_animal(v.patient)))))
             ORDER BY r.until_day, p.name, r.number LIMIT {RECHECKS_MAX}"
        ),
        &[&caller.clinic, &until],
    )?;
    note(
        transaction,
        "read",
        None,
        None,
        &format!("rechecks until {until}"),
    )?;
    Ok(lines
        .iter()
        .map(|line| Recheck {
            patient: line.get(0),
            name: line.get(1),
            species: line.get(2),
            identifier: line.get(3),
            owner: line.get(4),
            visit: line.get(5),
            seen_at: timestamp(line.get(6)),
            from: line.get(7),
            until: line.get(8),
            teeth: line.get(9),
            what: line.get(10),
            is_overdue: line.get(11),
            is_result: line.get(12),
        })
        .collect())
}

/// Says that two patients are one.
pub(super) fn merge(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    (one, other): (Uuid, Uuid),
    reason: &str,
) -> Result<i64, ArchiveError> {
    caller.require("merge")?;
    Ok(transaction
        .query_one(
            "SELECT sulcus.merge_patients($1, $2, $3)",
            &[&one, &other, &reason.trim()],
        )?
        .get(0))
}

/// Unsays it. False where no such merge stands.
pub(super) fn unmerge(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    merge: i64,
    reason: &str,
) -> Result<bool, ArchiveError> {
    caller.require("merge")?;
    Ok(transaction
        .query_one(
            "SELECT sulcus.unmerge_patients($1, $2)",
            &[&merge, &reason.trim()],
        )?
        .get(0))
}

/// The visits of a patient that a table has before it, newest first: those of the same animal, as identifier, species
/// and name say or a person said.
pub(super) fn history(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    patient: &Patient,
) -> Result<Vec<Parcel>, ArchiveError> {
    caller.require("read")?;
    let candidates = transaction.query(
        "SELECT id, name, identifier, owner, microchip FROM sulcus.patient
         WHERE clinic = $1 AND species = $2 AND lower(name) = lower($3)",
        &[
            &caller.clinic,
            &patient.species.word(),
            &patient.name.trim(),
        ],
    )?;
    let known: Vec<Uuid> = candidates
        .iter()
        .filter(|line| {
            let other = Patient {
                id: line.get(2),
                name: line.get(1),
                owner: line.get(3),
                microchip: line
                    .get::<_, Option<&str>>(4)
                    .and_then(|chip| chip.parse().ok()),
                ..Patient::example(patient.species)
            };
            is_same_patient(patient, &other)
        })
        .map(|line| line.get(0))
        .collect();
    let visits = transaction.query(
        &format!(
            "SELECT v.id FROM sulcus.visit v WHERE v.clinic = $1
                 AND v.patient IN (SELECT sulcus.same_animal(k) FROM unnest($2::uuid[]) k)
             ORDER BY v.opened_at DESC LIMIT {HISTORY_MAX}"
        ),
        &[&caller.clinic, &known],
    )?;
    let mut parcels = Vec::new();
    for line in visits {
        parcels.extend(parcel(transaction, caller.clinic, line.get(0))?);
    }
    if let Some(first) = known.first() {
        let detail = format!("history, {} visits", parcels.len());
        note(transaction, "read", None, Some(*first), &detail)?;
    }
    Ok(parcels)
}

/// A visit as it is held; none where there is none.
pub(super) fn parcel(
    transaction: &mut Transaction<'_>,
    clinic: Uuid,
    visit: Uuid,
) -> Result<Option<Parcel>, ArchiveError> {
    let rows = held(transaction, clinic, visit)?.rows;
    if rows.is_empty() {
        return Ok(None);
    }
    let seals = transaction.query(
        "SELECT number, hash, at, occasion, key, signature FROM sulcus.seal
         WHERE clinic = $1 AND visit = $2 ORDER BY number, at",
        &[&clinic, &visit],
    )?;
    Ok(Some(Parcel {
        protocol: super::PROTOCOL,
        visit,
        rows,
        seals: seals
            .iter()
            .map(|line| Signature {
                number: line.get::<_, i64>(0).unsigned_abs(),
                hash: line.get(1),
                at: line.get(2),
                occasion: line.get(3),
                key: line.get(4),
                signature: line.get(5),
            })
            .collect(),
    }))
}
