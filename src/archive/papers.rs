//! A visit of the archive as paper or file: report, discharge sheet, record. Made as a table makes them, with the
//! plan's default limits; a comparison takes the same animal's visits that the archive holds.

use jiff::tz::TimeZone;
use postgres::Transaction;
use uuid::Uuid;

use super::accounts::{Caller, note};
use super::parcel::Parcel;
use super::{ArchiveError, animals};
use crate::export::{fhir, json, tables};
use crate::journal::{self, Occasion, Seal, entries_of_rows};
use crate::plan;
use crate::record::{Entry, Record};
use crate::report::discharge::Home;
use crate::report::{clinical, owner, paper, pdf};
use crate::web::Paper;

/// A visit read from the archive, every hash checked again.
pub(super) struct Read {
    pub parcel: Parcel,
    pub entries: Vec<Entry>,
    pub record: Record,
}

/// None where there is no such visit.
pub(super) fn read(
    transaction: &mut Transaction<'_>,
    clinic: Uuid,
    visit: Uuid,
) -> Result<Option<Read>, ArchiveError> {
    let Some(parcel) = animals::parcel(transaction, clinic, visit)? else {
        return Ok(None);
    };
    let damaged = |why: String| {
        ArchiveError::Refused(format!(
            "what the archive holds of visit {visit} is damaged: {why}; bring the archive back from a backup, or have \
             the table deliver it again"
        ))
    };
    let entries = entries_of_rows(visit, &parcel.stored_rows())
        .map_err(|why| damaged(format!("entry {}: {}", why.number, why.why)))?;
    let record = Record::fold(&entries).ok_or_else(|| damaged("it has no opening".to_owned()))?;
    Ok(Some(Read {
        parcel,
        entries,
        record,
    }))
}

/// Makes a paper, and writes down who had it; none where there is no such visit.
pub(super) fn make(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    visit: Uuid,
    wanted: Paper,
) -> Result<Option<Vec<u8>>, ArchiveError> {
    let (right, action) = match wanted {
        Paper::Report | Paper::Owner => ("print", "print"),
        _ => ("export", "export"),
    };
    caller.require(right)?;
    let Some(read) = read(transaction, caller.clinic, visit)? else {
        return Ok(None);
    };
    let failed = |why: &dyn std::fmt::Display| {
        ArchiveError::Refused(format!("the paper cannot be made: {why}"))
    };
    let record = &read.record;
    let zone = TimeZone::system();
    let bytes = match wanted {
        Paper::Report => {
            let plan = plan_of(transaction, caller, record)?;
            let lines: Vec<String> = plan::spoken::spoken(&plan)
                .iter()
                .map(ToString::to_string)
                .collect();
            let mut content = clinical::report(record, &zone, Some(&lines));
            clinical::tell_first(&mut content, plan.open_conflicts());
            content.foot += &foot(&read);
            pdf::pdf(&content, paper::CLINIC).map_err(|why| failed(&why))?
        }
        Paper::Owner => {
            let plan = plan_of(transaction, caller, record)?;
            // The archive does not know the practice's telephone; the table's own clinic file does.
            let home = Home::of(&plan, &plan::Settings::default().practice);
            let mut content = owner::report(record, &zone, &home);
            content.foot += &foot(&read);
            pdf::pdf(&content, paper::OWNER).map_err(|why| failed(&why))?
        }
        Paper::Json => {
            let mut document =
                json::document(visit, &read.parcel.stored_rows()).map_err(|why| failed(&why))?;
            document.losses = record.losses.iter().map(Into::into).collect();
            document.signatures.clone_from(&read.parcel.seals);
            json::text(&document)
                .map_err(|why| failed(&why))?
                .into_bytes()
        }
        Paper::Fhir => fhir::write(record, &read.entries, &made_at_table(&read.parcel))
            .map_err(|why| failed(&why))?
            .into_bytes(),
        Paper::Csv => tables::visit(record)
            .map_err(|why| failed(&why))?
            .into_bytes(),
    };
    note(transaction, action, Some(visit), None, wanted.file_name())?;
    Ok(Some(bytes))
}

fn made_at_table(parcel: &Parcel) -> Vec<json::Signature> {
    let kept = [Occasion::Import.word(), Occasion::Delivery.word()];
    let mut seals = parcel.seals.clone();
    seals.retain(|seal| !kept.contains(&seal.occasion.as_str()));
    seals
}

/// As on the papers of a table: up to where the record is signed.
fn foot(read: &Read) -> String {
    let record = &read.record;
    let newest = made_at_table(&read.parcel).pop();
    let newest = newest.map(|signature| Seal::exported(record.visit, &signature));
    journal::foot(newest.as_ref(), record)
}

fn plan_of(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    record: &Record,
) -> Result<plan::Plan, ArchiveError> {
    let past = past(transaction, caller, record)?;
    Ok(plan::make(record, &past, &plan::Settings::default()))
}

/// The same animal's other visits.
fn past(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    record: &Record,
) -> Result<Vec<Record>, ArchiveError> {
    let visits = transaction.query(
        "SELECT v.id FROM sulcus.visit v WHERE v.clinic = $1 AND v.id <> $2 AND v.patient IN (
             SELECT sulcus.same_animal(o.patient) FROM sulcus.visit o WHERE o.clinic = $1 AND o.id = $2)
         ORDER BY v.opened_at DESC LIMIT 20",
        &[&caller.clinic, &record.visit],
    )?;
    let mut past = Vec::new();
    for line in visits {
        if let Some(read) = read(transaction, caller.clinic, line.get(0))? {
            let mut earlier = read.record;
            // A person said that they are one.
            earlier.patient = crate::terms::Patient {
                weight: earlier.patient.weight,
                ..record.patient.clone()
            };
            past.push(earlier);
        }
    }
    Ok(past)
}
