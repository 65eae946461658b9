//! Earlier visits of the patient on the table, fetched from the archive and kept for when it is away. They are no part
//! of the journal: the archive has them, and gives them again.
//!
//! Invariants: what is read back is proven by its hashes; a file is written whole, for its user alone; what was not
//! asked for in half a year is deleted.

use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::ArchiveError;
use super::link::Link;
use super::parcel::Parcel;
use crate::files::write_private;
use crate::journal::entries_of_rows;
use crate::plan::progress::is_same_patient;
use crate::record::Record;
use crate::record::row::hexadecimal;
use crate::terms::Patient;

/// Folder in the data folder.
const FOLDER: &str = "history";
const KEPT_DAYS: u64 = 180;

/// One file for each patient as it was asked for.
fn file(folder: &Path, patient: &Patient) -> PathBuf {
    let plain = |text: Option<&str>| text.unwrap_or_default().trim().to_lowercase();
    let name = format!(
        "{}\n{}\n{}",
        patient.species.word(),
        plain(Some(&patient.name)),
        // Without a number it is the owner who tells two of one name apart.
        plain(patient.id.as_deref().or(patient.owner.as_deref()))
    );
    let digest = hexadecimal(&Sha256::digest(name.as_bytes()));
    folder.join(FOLDER).join(format!("{}.json", &digest[..32]))
}

/// Asks the archive for the earlier visits of a patient and keeps them; how many there are.
///
/// # Errors
/// Where the archive is away or refuses, or the folder cannot be written: what was kept before stays.
pub(super) fn fetch(link: &Link, folder: &Path, patient: &Patient) -> Result<usize, ArchiveError> {
    let visits = link.history(patient)?;
    let path = file(folder, patient);
    let write = || -> std::io::Result<()> {
        std::fs::create_dir_all(folder.join(FOLDER))?;
        #[cfg(unix)]
        std::fs::set_permissions(
            folder.join(FOLDER),
            std::os::unix::fs::PermissionsExt::from_mode(0o700),
        )?;
        write_private(&path, &serde_json::to_vec(&visits)?)
    };
    write().map_err(|why| {
        ArchiveError::Settings(format!("{}: {why}", folder.join(FOLDER).display()))
    })?;
    Ok(visits.len())
}

/// The kept earlier visits of a patient, but for those that are left out. One that does not prove itself is not given.
pub fn kept_history(folder: &Path, patient: &Patient, leave_out: &[Uuid]) -> Vec<Record> {
    let Ok(bytes) = std::fs::read(file(folder, patient)) else {
        return Vec::new();
    };
    let visits: Vec<Parcel> = serde_json::from_slice(&bytes).unwrap_or_default();
    visits
        .iter()
        .filter(|parcel| !leave_out.contains(&parcel.visit))
        .filter_map(|parcel| {
            let entries = entries_of_rows(parcel.visit, &parcel.stored_rows()).ok()?;
            let mut record = Record::fold(&entries)?;
            if !is_same_patient(&record.patient, patient) {
                // A person said so at the archive: here it goes by the name that it has now.
                record.patient = Patient {
                    weight: record.patient.weight,
                    ..patient.clone()
                };
            }
            Some(record)
        })
        .collect()
}

/// Deletes what was not asked for in a long time.
pub(super) fn expire(folder: &Path, now: SystemTime) {
    let Ok(files) = std::fs::read_dir(folder.join(FOLDER)) else {
        return;
    };
    for file in files.flatten() {
        let age = file
            .metadata()
            .and_then(|found| found.modified())
            .ok()
            .and_then(|at| now.duration_since(at).ok());
        if age.is_some_and(|age| age > Duration::from_secs(KEPT_DAYS * 86_400)) {
            // What could not be deleted now is tried at the next start.
            let _ = std::fs::remove_file(file.path());
        }
    }
}

/// Takes a forgotten visit out of all that is kept.
///
/// # Errors
/// Where a file that holds it cannot be written.
pub fn forget_kept(folder: &Path, visit: Uuid) -> std::io::Result<()> {
    let Ok(files) = std::fs::read_dir(folder.join(FOLDER)) else {
        return Ok(());
    };
    for file in files.flatten() {
        let bytes = std::fs::read(file.path())?;
        let Ok(mut visits) = serde_json::from_slice::<Vec<Parcel>>(&bytes) else {
            continue;
        };
        let before = visits.len();
        visits.retain(|parcel| parcel.visit != visit);
        if visits.len() < before {
            write_private(&file.path(), &serde_json::to_vec(&visits)?)?;
        }
    }
    Ok(())
}
