//! What the archive does with a delivery: proves it, and takes what it does not hold yet, in one transaction.
//!
//! Invariants: the same delivery ten times leaves the same rows as once; entries that are held are never changed; a
//! visit that parts from what is held is refused and its text kept for a person.

use postgres::Transaction;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::ArchiveError;
use super::accounts::Caller;
use super::database::system_time;
use super::parcel::{Outcome, Parcel, Proven};
use crate::export::json::Row;
use crate::plan;
use crate::record::Record;
use crate::record::fold::{Phase, Standing};
use crate::terms::Patient;

/// Taken, known, or why not.
#[derive(Debug)]
pub(super) enum Received {
    Held(Outcome),
    /// Broken, forged or parting: written down for a person.
    Refused(String),
    /// Deleted here before by its owner's wish or by rule.
    Forgotten(String),
}

/// Takes a delivery in.
pub(super) fn receive(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    parcel: &Parcel,
) -> Result<Received, ArchiveError> {
    caller.require("deliver")?;
    let key = caller.signing_key.as_deref().unwrap_or_default();
    let proven = match parcel.prove(key) {
        Ok(proven) => proven,
        Err(why) => {
            refuse(transaction, caller, parcel, &why, false)?;
            return Ok(Received::Refused(why));
        }
    };
    // Two tables, or a table and its second try, wait for each other here.
    transaction.execute(
        "SELECT pg_advisory_xact_lock(hashtextextended($1, 0))",
        &[&format!("{} {}", caller.clinic, parcel.visit)],
    )?;
    if let Some(stone) = transaction.query_opt(
        "SELECT reason FROM sulcus.tombstone WHERE clinic = $1 AND visit = $2",
        &[&caller.clinic, &parcel.visit],
    )? {
        return Ok(Received::Forgotten(stone.get(0)));
    }
    let held = held(transaction, caller.clinic, parcel.visit)?;
    let rows = &parcel.rows;
    let shared = held.rows.len().min(rows.len());
    if let Some(at) = (0..shared).find(|at| held.rows[*at].hash != rows[*at].hash) {
        let why = format!(
            "entry {} is another one than the archive holds: the table was brought back from an older copy, or two \
             tables wrote the same visit; the archive keeps what it held, and this delivery for a person to look at",
            at + 1
        );
        refuse(transaction, caller, parcel, &why, true)?;
        return Ok(Received::Refused(why));
    }
    let count = rows.len() as u64;
    if rows.len() <= held.rows.len() {
        return Ok(Received::Held(Outcome::Known {
            held: held.rows.len() as u64,
        }));
    }
    take(transaction, caller, parcel, &proven, &held)?;
    Ok(Received::Held(Outcome::Taken { held: count }))
}

/// What the archive holds of a visit.
#[derive(Debug, Default)]
pub(super) struct Held {
    pub rows: Vec<Row>,
    /// Its patient, and that as the visit had it.
    patient: Option<(Uuid, Patient)>,
}

pub(super) fn held(
    transaction: &mut Transaction<'_>,
    clinic: Uuid,
    visit: Uuid,
) -> Result<Held, ArchiveError> {
    let mut held = Held::default();
    for line in transaction.query(
        "SELECT rows FROM sulcus.stretch WHERE clinic = $1 AND visit = $2 ORDER BY first",
        &[&clinic, &visit],
    )? {
        let rows: Vec<Row> = serde_json::from_str(line.get(0)).map_err(|why| {
            ArchiveError::Refused(format!(
                "what the archive holds of visit {visit} cannot be read ({why}); bring the archive back from a backup"
            ))
        })?;
        held.rows.extend(rows);
    }
    if let Some(line) = transaction.query_opt(
        "SELECT patient, as_recorded FROM sulcus.visit WHERE clinic = $1 AND id = $2",
        &[&clinic, &visit],
    )? {
        held.patient = serde_json::from_str(line.get(1))
            .ok()
            .map(|patient| (line.get(0), patient));
    }
    Ok(held)
}

fn take(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    parcel: &Parcel,
    proven: &Proven,
    held: &Held,
) -> Result<(), ArchiveError> {
    let record = &proven.record;
    let patient = match &held.patient {
        Some((patient, before)) if identity(before) == identity(&record.patient) => *patient,
        _ => patient(transaction, caller.clinic, &record.patient)?,
    };
    write_visit(transaction, caller, record, patient)?;
    let (clinic, visit) = (caller.clinic, parcel.visit);
    let new = &parcel.rows[held.rows.len()..];
    let text = serde_json::to_string(new)
        .map_err(|why| ArchiveError::Refused(format!("it cannot be kept: {why}")))?;
    let (first, last) = (held.rows.len() as i64 + 1, parcel.rows.len() as i64);
    transaction.execute(
        "INSERT INTO sulcus.stretch (clinic, visit, first, last, rows) VALUES ($1, $2, $3, $4, $5)",
        &[&clinic, &visit, &first, &last, &text],
    )?;
    for seal in &parcel.seals {
        transaction.execute(
            "INSERT INTO sulcus.seal (clinic, visit, number, hash, at, occasion, key, signature)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT DO NOTHING",
            &[
                &clinic,
                &visit,
                &(seal.number as i64),
                &seal.hash,
                &seal.at,
                &seal.occasion,
                &seal.key,
                &seal.signature,
            ],
        )?;
    }
    write_rechecks(transaction, clinic, record)
}

fn write_visit(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    record: &Record,
    patient: Uuid,
) -> Result<(), ArchiveError> {
    let as_recorded = serde_json::to_string(&record.patient)
        .map_err(|why| ArchiveError::Refused(why.to_string()))?;
    let current: Vec<_> = record.current().collect();
    let confirmed = current
        .iter()
        .filter(|charted| charted.standing == Standing::Confirmed)
        .count();
    let lost: u64 = record.losses.iter().map(crate::record::Loss::count).sum();
    transaction.execute(
        "INSERT INTO sulcus.visit (clinic, id, delivered_by, patient, as_recorded, state, opened_at, finished_at,
             entry_count, head_hash, value_count, confirmed_count, lost_count, is_invented)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)
         ON CONFLICT (clinic, id) DO UPDATE SET patient = $4, as_recorded = $5, state = $6, opened_at = $7,
             finished_at = $8, entry_count = $9, head_hash = $10, value_count = $11, confirmed_count = $12,
             lost_count = $13, is_invented = $14, changed_at = now()",
        &[
            &caller.clinic,
            &record.visit,
            &caller.id,
            &patient,
            &as_recorded,
            &match record.phase {
                Phase::Open => "open",
                Phase::Finished => "finished",
            },
            &system_time(record.opened_at),
            &record.finished_at.map(system_time),
            &(record.last as i64),
            &record.last_hash,
            &(current.len() as i64),
            &(confirmed as i64),
            &(lost as i64),
            &record.patient.invented,
        ],
    )?;
    Ok(())
}

/// By the plan's own rules and default limits; the clinic's offset from UTC is not known here, so a day may differ at
/// midnight.
fn write_rechecks(
    transaction: &mut Transaction<'_>,
    clinic: Uuid,
    record: &Record,
) -> Result<(), ArchiveError> {
    transaction.execute(
        "DELETE FROM sulcus.recheck WHERE clinic = $1 AND visit = $2",
        &[&clinic, &record.visit],
    )?;
    let plan = plan::make(record, &[], &plan::Settings::default());
    for (number, recheck) in (1_i32..).zip(&plan.afterwards.rechecks) {
        let teeth: Vec<String> = recheck.teeth.iter().map(ToString::to_string).collect();
        transaction.execute(
            "INSERT INTO sulcus.recheck (clinic, visit, number, from_day, until_day, teeth, what, is_result)
             VALUES ($1, $2, $3, $4::text::date, $5::text::date, $6, $7, $8)",
            &[
                &clinic,
                &record.visit,
                &number,
                &recheck.from.map(|day| day.to_string()),
                &recheck.until.to_string(),
                &teeth.join(" "),
                &recheck.what,
                &(recheck.cited.rule == plan::afterwards::RESULT_DUE),
            ],
        )?;
    }
    Ok(())
}

/// What two visits must have in common to be of one animal without a person saying so: one of the numbers where they
/// have any, the species and the name.
fn identity(patient: &Patient) -> (Option<String>, Option<String>, &'static str, String) {
    let plain = |text: &str| text.trim().to_lowercase();
    let id = patient.id.as_deref().map(plain).filter(|id| !id.is_empty());
    let chip = patient.microchip.as_ref().map(ToString::to_string);
    (id, chip, patient.species.word(), plain(&patient.name))
}

/// The animal: the one with this microchip or, where one of the two has none, this identifier, and with this species and
/// name; else a new one that a person may merge. A microchip that was not known yet is learnt.
fn patient(
    transaction: &mut Transaction<'_>,
    clinic: Uuid,
    patient: &Patient,
) -> Result<Uuid, ArchiveError> {
    let (id, chip, species, _) = identity(patient);
    let name = patient.name.trim();
    if id.is_some() || chip.is_some() {
        // Two first visits of one animal at once: one of them makes it, the other finds it.
        transaction.execute(
            "SELECT pg_advisory_xact_lock(hashtextextended($1, 1))",
            &[&format!("{clinic} {species} {name}").to_lowercase()],
        )?;
        let known = transaction.query_opt(
            "SELECT id, microchip FROM sulcus.patient
             WHERE clinic = $1 AND species = $2 AND lower(name) = lower($3)
                 AND (microchip = $5 OR lower(identifier) = lower($4) AND (microchip IS NULL OR $5 IS NULL))
             ORDER BY microchip = $5 DESC NULLS LAST LIMIT 1",
            &[&clinic, &species, &name, &id, &chip],
        )?;
        if let Some(known) = known {
            let is_new = known.get::<_, Option<String>>(1).is_none();
            if let Some(chip) = chip.filter(|_| is_new) {
                transaction.execute(
                    "UPDATE sulcus.patient SET microchip = $2, search = search || chr(10) || $2 WHERE id = $1",
                    &[&known.get::<_, Uuid>(0), &chip],
                )?;
            }
            return Ok(known.get(0));
        }
    }
    let owner = patient.owner.as_deref().map(str::trim);
    let search: Vec<&str> = [
        Some(name),
        id.as_deref(),
        chip.as_deref(),
        owner,
        patient.breed.as_deref(),
    ]
    .into_iter()
    .flatten()
    .chain([species])
    .collect();
    let made = Uuid::new_v4();
    transaction.execute(
        "INSERT INTO sulcus.patient (id, clinic, species, name, identifier, owner, search, microchip)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
        &[
            &made,
            &clinic,
            &species,
            &name,
            &patient
                .id
                .as_deref()
                .map(str::trim)
                .filter(|id| !id.is_empty()),
            &owner,
            &search.join("\n").to_lowercase(),
            &chip,
        ],
    )?;
    Ok(made)
}

/// Writes a refused delivery down once, however often it comes; with its text where it is signed and whole.
fn refuse(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    parcel: &Parcel,
    why: &str,
    keeps_text: bool,
) -> Result<(), ArchiveError> {
    let text =
        serde_json::to_string(parcel).map_err(|why| ArchiveError::Refused(why.to_string()))?;
    let digest = Sha256::digest(text.as_bytes()).to_vec();
    transaction.execute(
        "INSERT INTO sulcus.refused (clinic, visit, account, why, digest, body) VALUES ($1, $2, $3, $4, $5, $6)
         ON CONFLICT (clinic, digest) DO UPDATE SET times = sulcus.refused.times + 1, at = now()",
        &[
            &caller.clinic,
            &parcel.visit,
            &caller.id,
            &why,
            &digest,
            &keeps_text.then_some(text),
        ],
    )?;
    Ok(())
}
