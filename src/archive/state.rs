//! How the archive stands, for whoever keeps it: clinics, tables, refused deliveries.

use std::time::SystemTime;

use jiff::Timestamp;

use super::database::{Database, timestamp};
use super::{ArchiveError, migrate};

/// A clinic in short.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClinicLine {
    pub name: String,
    pub visit_count: i64,
    pub patient_count: i64,
    pub tombstone_count: i64,
    pub keep_years: Option<i32>,
    /// Everybody who is let in but for the tables, with their roles.
    pub people: Vec<String>,
}

/// A table in short.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableLine {
    pub clinic: String,
    pub name: String,
    /// False until it came with its code.
    pub has_joined: bool,
    pub visit_count: i64,
    pub seen_at: Option<Timestamp>,
    pub clock_ahead_s: i64,
}

/// Deliveries of a visit that were refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RefusedLine {
    pub clinic: String,
    pub table: String,
    pub visit: uuid::Uuid,
    pub times: i64,
    pub at: Option<Timestamp>,
    pub why: String,
}

fn keeper(place: &Database) -> Result<postgres::Client, ArchiveError> {
    let mut client = place.connect()?;
    migrate::check(&mut client)?;
    Ok(client)
}

fn time(at: Option<SystemTime>) -> Option<Timestamp> {
    at.map(timestamp)
}

/// All clinics.
///
/// # Errors
/// Where the database fails or is of another version.
pub fn clinics(place: &Database) -> Result<Vec<ClinicLine>, ArchiveError> {
    let lines = keeper(place)?.query(
        "SELECT c.name,
             (SELECT count(*) FROM sulcus.visit v WHERE v.clinic = c.id),
             (SELECT count(*) FROM sulcus.patient p WHERE p.clinic = c.id),
             (SELECT count(*) FROM sulcus.tombstone t WHERE t.clinic = c.id),
             c.keep_years,
             array(SELECT a.name || ' (' || a.role || ')' FROM sulcus.account a
                 WHERE a.clinic = c.id AND a.role <> 'table' AND a.ended_at IS NULL ORDER BY a.name)
         FROM sulcus.clinic c ORDER BY c.name",
        &[],
    )?;
    Ok(lines
        .iter()
        .map(|line| ClinicLine {
            name: line.get(0),
            visit_count: line.get(1),
            patient_count: line.get(2),
            tombstone_count: line.get(3),
            keep_years: line.get(4),
            people: line.get(5),
        })
        .collect())
}

/// All tables.
///
/// # Errors
/// Where the database fails or is of another version.
pub fn tables(place: &Database) -> Result<Vec<TableLine>, ArchiveError> {
    let lines = keeper(place)?.query(
        "SELECT c.name, a.name, a.secret_hash IS NOT NULL,
             (SELECT count(*) FROM sulcus.visit v WHERE v.clinic = a.clinic AND v.delivered_by = a.id),
             a.seen_at, coalesce(a.clock_ahead_s, 0)
         FROM sulcus.account a JOIN sulcus.clinic c ON c.id = a.clinic
         WHERE a.role = 'table' AND a.ended_at IS NULL ORDER BY c.name, a.name",
        &[],
    )?;
    Ok(lines
        .iter()
        .map(|line| TableLine {
            clinic: line.get(0),
            name: line.get(1),
            has_joined: line.get(2),
            visit_count: line.get(3),
            seen_at: time(line.get(4)),
            clock_ahead_s: line.get(5),
        })
        .collect())
}

/// Refused deliveries, newest first.
///
/// # Errors
/// Where the database fails or is of another version.
pub fn refusals(place: &Database) -> Result<Vec<RefusedLine>, ArchiveError> {
    let lines = keeper(place)?.query(
        "SELECT c.name, a.name, r.visit, r.times, r.at, r.why
         FROM sulcus.refused r JOIN sulcus.clinic c ON c.id = r.clinic JOIN sulcus.account a ON a.id = r.account
         ORDER BY r.at DESC LIMIT 100",
        &[],
    )?;
    Ok(lines
        .iter()
        .map(|line| RefusedLine {
            clinic: line.get(0),
            table: line.get(1),
            visit: line.get(2),
            times: line.get(3),
            at: time(line.get(4)),
            why: line.get(5),
        })
        .collect())
}
