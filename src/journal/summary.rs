//! A line for each visit, kept beside its entries: who, when, how many, how it stands. For lists, searches and for
//! finding a patient's visits without reading them all.
//!
//! Invariants: a summary changes only in the transaction that changes its visit; it says what folding the entries
//! gives; nothing is in it that cannot be made again from them (`sulcus verify` compares, and makes it again).

use std::collections::BTreeMap;

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, Transaction, params};
use uuid::Uuid;

use super::columns::{COLUMNS, Columns};
use super::{Journal, JournalError};
use crate::plan::progress::is_worth_reading;
use crate::record::event::Entry;
use crate::record::fold::{Phase, Record, Standing};
use crate::record::row::Row;
use crate::terms::Patient;

/// How a visit stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    Open,
    Finished,
    /// Its entries cannot be folded to a record: `sulcus verify` says why.
    Damaged,
}

impl State {
    fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Finished => "finished",
            Self::Damaged => "damaged",
        }
    }

    fn of_word(word: &str) -> Self {
        match word {
            "open" => Self::Open,
            "finished" => Self::Finished,
            _ => Self::Damaged,
        }
    }
}

/// A visit in short.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    pub visit: Uuid,
    /// Grows with each visit begun: the order of the list, whatever the clock said.
    pub began: i64,
    pub opened_at: Option<Timestamp>,
    pub finished_at: Option<Timestamp>,
    pub state: State,
    /// None where the visit is damaged.
    pub patient: Option<Patient>,
    pub entry_count: u64,
    /// Hash of the newest entry.
    pub head_hash: String,
    /// Values that count now.
    pub value_count: u64,
    /// Those of them that were confirmed.
    pub confirmed_count: u64,
    /// Entries that the disk lost and that were told.
    pub lost_count: u64,
}

/// Which visits are wanted. All conditions hold at once.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Wanted {
    /// Letters in the patient's name, identifier or owner, in any case.
    pub text: Option<String>,
    /// Words that all occur in name, identifier, owner, breed, species or the time it was opened, in any case.
    pub words: Vec<String>,
    pub state: Option<State>,
    /// Opened from here on (UTC).
    pub from: Option<Timestamp>,
    /// Opened before (UTC).
    pub before: Option<Timestamp>,
    /// At most so many; none for all.
    pub most: Option<usize>,
}

/// Which past visits a plan or a comparison of a visit needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    /// The visit itself, which is left out.
    pub visit: Uuid,
    /// All visits that are of this patient, or may be.
    pub patient: Patient,
    /// So many of the newest visits of any patient: lengths of work are learned from them.
    pub newest: usize,
    /// All visits of any patient since then: uses of instruments are counted from them.
    pub since: Option<Timestamp>,
}

impl Past {
    /// Enough for lengths of work, few enough to be read within a sentence (some 2.5 ms a visit).
    const NEWEST: usize = 60;

    /// What a question in the conversation needs.
    pub fn of(record: &Record) -> Self {
        Self {
            visit: record.visit,
            patient: record.patient.clone(),
            newest: Self::NEWEST,
            since: None,
        }
    }
}

impl Summary {
    /// Of a record as folded from all entries of the visit.
    pub(super) fn of(record: &Record, began: i64) -> Self {
        let (mut value_count, mut confirmed_count) = (0, 0);
        for charted in record.current() {
            value_count += 1;
            confirmed_count += u64::from(charted.standing == Standing::Confirmed);
        }
        Self {
            visit: record.visit,
            began,
            opened_at: Some(record.opened_at),
            finished_at: record.finished_at,
            state: match record.phase {
                Phase::Open => State::Open,
                Phase::Finished => State::Finished,
            },
            patient: Some(record.patient.clone()),
            entry_count: record.last,
            head_hash: record.last_hash.clone(),
            value_count,
            confirmed_count,
            lost_count: record.losses.iter().map(crate::record::Loss::count).sum(),
        }
    }

    /// Of a visit whose entries make no record.
    pub(super) fn without_record(
        visit: Uuid,
        began: i64,
        (entry_count, hash): (u64, &str),
    ) -> Self {
        Self {
            visit,
            began,
            opened_at: None,
            finished_at: None,
            state: State::Damaged,
            patient: None,
            entry_count,
            head_hash: hash.to_owned(),
            value_count: 0,
            confirmed_count: 0,
            lost_count: 0,
        }
    }

    /// Writes it, in the transaction that writes the entries.
    pub(super) fn put(&self, transaction: &Transaction<'_>) -> Result<(), rusqlite::Error> {
        let patient = self
            .patient
            .as_ref()
            .and_then(|patient| serde_json::to_string(patient).ok())
            .unwrap_or_default();
        transaction
            .prepare_cached(
                "INSERT INTO summary (began, visit, opened_at, finished_at, state, patient, patient_key, patient_id,
                     search, entry_count, head_hash, value_count, confirmed_count, lost_count)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)
                 ON CONFLICT (began) DO UPDATE SET opened_at = ?3, finished_at = ?4, state = ?5, patient = ?6,
                     patient_key = ?7, patient_id = ?8, search = ?9, entry_count = ?10, head_hash = ?11,
                     value_count = ?12, confirmed_count = ?13, lost_count = ?14",
            )?
            .execute(params![
                self.began,
                self.visit.to_string(),
                self.opened_at.map(sortable),
                self.finished_at.map(sortable),
                self.state.word(),
                patient,
                self.patient.as_ref().map(patient_key),
                self.patient.as_ref().and_then(patient_id),
                self.patient
                    .as_ref()
                    .map(|patient| search_text(patient, self.opened_at))
                    .unwrap_or_default(),
                self.entry_count as i64,
                self.head_hash,
                self.value_count as i64,
                self.confirmed_count as i64,
                self.lost_count as i64,
            ])?;
        Ok(())
    }

    fn from_columns(row: &rusqlite::Row<'_>) -> Result<Option<Self>, rusqlite::Error> {
        let time = |index| -> Result<Option<Timestamp>, rusqlite::Error> {
            let text: Option<String> = row.get(index)?;
            Ok(text.and_then(|text| text.parse().ok()))
        };
        let (visit, state, patient): (String, String, String) =
            (row.get(1)?, row.get(4)?, row.get(5)?);
        // A row that is none of ours is for `verify` to tell.
        let Ok(visit) = visit.parse() else {
            return Ok(None);
        };
        Ok(Some(Self {
            visit,
            began: row.get(0)?,
            opened_at: time(2)?,
            finished_at: time(3)?,
            state: State::of_word(&state),
            patient: serde_json::from_str(&patient).ok(),
            entry_count: row.get::<_, i64>(6)? as u64,
            head_hash: row.get(7)?,
            value_count: row.get::<_, i64>(8)? as u64,
            confirmed_count: row.get::<_, i64>(9)? as u64,
            lost_count: row.get::<_, i64>(10)? as u64,
        }))
    }
}

const SUMMARY_COLUMNS: &str = "began, visit, opened_at, finished_at, state, patient, entry_count, head_hash, value_count, confirmed_count, lost_count";

/// So that text order is time order: always the same number of digits.
fn sortable(at: Timestamp) -> String {
    at.strftime("%Y-%m-%dT%H:%M:%S.%9fZ").to_string()
}

/// What two visits of one animal have in common: the name and the species. Who it really is, is decided on the few
/// visits found by it.
fn patient_key(patient: &Patient) -> String {
    format!(
        "{} {}",
        patient.species.word(),
        patient.name.trim().to_lowercase()
    )
}

/// The identifier in the form in which two spellings of it are one.
fn patient_id(patient: &Patient) -> Option<String> {
    let id = patient.id.as_ref()?.trim().to_lowercase();
    (!id.is_empty()).then_some(id)
}

/// What a search finds a visit by, in lower case: name, identifier, microchip and owner, then, after a mark, breed, species and
/// the time it was opened.
fn search_text(patient: &Patient, opened_at: Option<Timestamp>) -> String {
    let lines = |fields: &[Option<&str>]| -> String {
        let fields: Vec<String> = fields
            .iter()
            .flatten()
            .map(|field| field.to_lowercase())
            .collect();
        fields.join("\n")
    };
    let opened_at = opened_at.map(|at| at.to_string());
    format!(
        "{}{SEARCH_MARK}{}",
        lines(&[
            Some(&patient.name),
            patient.id.as_deref(),
            patient
                .microchip
                .as_ref()
                .map(crate::terms::Microchip::as_str),
            patient.owner.as_deref()
        ]),
        lines(&[
            patient.breed.as_deref(),
            Some(patient.species.word()),
            opened_at.as_deref()
        ])
    )
}

/// Stands in no name: the separator of units.
const SEARCH_MARK: char = '\u{1f}';

/// Whether the file has summaries: one of an earlier format, opened for reading only, has none.
pub(super) fn is_kept(connection: &Connection) -> Result<bool, rusqlite::Error> {
    connection.query_row(
        "SELECT count(*) > 0 FROM sqlite_schema WHERE name = 'summary'",
        [],
        |row| row.get(0),
    )
}

/// How many visits were ever begun and not lost: those here and those forgotten.
pub(super) fn visit_count(connection: &Connection) -> Result<u64, rusqlite::Error> {
    let here = if is_kept(connection)? {
        "(SELECT count(*) FROM summary)"
    } else {
        "(SELECT count(*) FROM entry WHERE number = 1)"
    };
    let count: i64 = connection.query_row(
        &format!("SELECT {here} + (SELECT count(*) FROM tombstone)"),
        [],
        |row| row.get(0),
    )?;
    Ok(count as u64)
}

/// Number and hash of the newest entry of a visit as its summary says; none where there is no summary of it.
pub(super) fn head(
    connection: &Connection,
    visit: Uuid,
) -> Result<Option<(u64, String)>, rusqlite::Error> {
    connection
        .prepare_cached(
            "SELECT entry_count, head_hash FROM summary WHERE visit = ?1 AND head_hash <> ''",
        )?
        .query_row([visit.to_string()], |row| {
            Ok((row.get::<_, i64>(0)? as u64, row.get(1)?))
        })
        .optional()
}

/// The summary of a visit as it is kept.
pub(super) fn of_visit(
    connection: &Connection,
    visit: Uuid,
) -> Result<Option<Summary>, rusqlite::Error> {
    let kept = connection
        .prepare_cached(&format!(
            "SELECT {SUMMARY_COLUMNS} FROM summary WHERE visit = ?1"
        ))?
        .query_row([visit.to_string()], Summary::from_columns)
        .optional()?;
    Ok(kept.flatten())
}

/// Heads of all visits that can be proven.
pub(super) fn heads(connection: &Connection) -> Result<Vec<(Uuid, u64, String)>, rusqlite::Error> {
    let mut statement = connection.prepare(
        "SELECT visit, entry_count, head_hash FROM summary WHERE head_hash <> '' ORDER BY began",
    )?;
    let rows = statement
        .query_map([], |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get::<_, i64>(1)?,
                row.get::<_, String>(2)?,
            ))
        })?
        .collect::<Result<Vec<_>, _>>()?;
    Ok(rows
        .into_iter()
        .filter_map(|(visit, number, hash)| Some((visit.parse().ok()?, number as u64, hash)))
        .collect())
}

/// Whether the summary of a visit stands there as it is, whatever the row of its first entry.
pub(super) fn is_kept_as(
    connection: &Connection,
    summary: &Summary,
) -> Result<bool, rusqlite::Error> {
    let kept = of_visit(connection, summary.visit)?;
    Ok(kept.is_some_and(|kept| {
        Summary {
            began: summary.began,
            ..kept
        } == *summary
    }))
}

impl Journal {
    /// Finished visits with the hash of their newest entry, oldest first; none in a file of a format without summaries.
    pub fn finished_heads(&self) -> Result<Vec<(Uuid, String)>, JournalError> {
        if !is_kept(&self.connection)? {
            return Ok(Vec::new());
        }
        let mut statement = self.connection.prepare_cached(
            "SELECT visit, head_hash FROM summary WHERE state = 'finished' ORDER BY began",
        )?;
        let heads = statement
            .query_map([], |row| Ok((row.get::<_, String>(0)?, row.get(1)?)))?
            .collect::<Result<Vec<_>, _>>()?;
        Ok(heads
            .into_iter()
            .filter_map(|(visit, hash)| Some((visit.parse().ok()?, hash)))
            .collect())
    }

    /// Makes all summaries anew, where `verify` found them doubtful.
    pub fn make_summaries(&mut self) -> Result<(), JournalError> {
        if !self.is_writer {
            return Err(JournalError::Shut);
        }
        self.require_file()?;
        let transaction = self.connection.transaction()?;
        make_all(&transaction)?;
        transaction.commit()?;
        self.folded.clear();
        Ok(())
    }
}

/// Makes all summaries anew from the entries, visit by visit.
pub(super) fn make_all(transaction: &Transaction<'_>) -> Result<(), rusqlite::Error> {
    transaction.execute("DELETE FROM summary", [])?;
    let mut statement =
        transaction.prepare("SELECT visit, min(rowid), max(number) FROM entry GROUP BY visit")?;
    let visits = statement
        .query_map([], |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get::<_, i64>(1)?,
                row.get::<_, i64>(2)?,
            ))
        })?
        .collect::<Result<Vec<_>, _>>()?;
    for (name, began, count) in visits {
        let Ok(visit) = name.parse::<Uuid>() else {
            continue;
        };
        let summary = match fold(transaction, visit)? {
            Some(record) => Summary::of(&record, began),
            None => Summary::without_record(visit, began, (count.max(0) as u64, "")),
        };
        summary.put(transaction)?;
    }
    Ok(())
}

/// The record of a visit whose every hash fits; none where one does not.
fn fold(connection: &Connection, visit: Uuid) -> Result<Option<Record>, rusqlite::Error> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {COLUMNS} FROM entry WHERE visit = ?1 ORDER BY number"
    ))?;
    let mut rows = statement.query([visit.to_string()])?;
    let mut entries: Vec<Entry> = Vec::new();
    let mut before = String::new();
    while let Some(row) = rows.next()? {
        let Ok(row) = Row::from_columns(row) else {
            return Ok(None);
        };
        let is_next = row.number == entries.len() as u64 + 1;
        if !is_next || row.hash_after(&before) != row.hash {
            return Ok(None);
        }
        let Ok(entry) = row.entry(visit) else {
            return Ok(None);
        };
        before = row.hash;
        entries.push(entry);
    }
    Ok(Record::fold(&entries))
}

impl Journal {
    /// Visits in short that fit, newest begun first. Empty conditions give all. Damaged visits always come along: they
    /// have nothing that could fit. Where the file itself is damaged, [`Journal::damage`] tells it.
    pub fn summaries(&self, wanted: &Wanted) -> Result<Vec<Summary>, JournalError> {
        if !is_kept(&self.connection)? {
            return self.summaries_of_entries(wanted);
        }
        let pattern = |text: &String| format!("%{}%", escaped(&text.to_lowercase()));
        let mut parameters: Vec<Option<String>> = vec![
            wanted.text.as_ref().map(pattern),
            wanted.state.map(|state| state.word().to_owned()),
            wanted.from.map(sortable),
            wanted.before.map(sortable),
        ];
        let mut words = String::new();
        for word in &wanted.words {
            parameters.push(Some(pattern(word)));
            words += &format!(" AND search LIKE ?{} ESCAPE '\\'", parameters.len());
        }
        let most = wanted
            .most
            .map(|most| format!(" LIMIT {most}"))
            .unwrap_or_default();
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {SUMMARY_COLUMNS} FROM summary
             WHERE state = 'damaged'
                 OR (?1 IS NULL OR substr(search, 1, instr(search, char(31))) LIKE ?1 ESCAPE '\\')
                 AND (?2 IS NULL OR state = ?2) AND (?3 IS NULL OR opened_at >= ?3)
                 AND (?4 IS NULL OR opened_at < ?4){words}
             ORDER BY began DESC{most}"
        ))?;
        let mut rows = statement.query(rusqlite::params_from_iter(parameters))?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            found.extend(Summary::from_columns(row)?);
        }
        Ok(found)
    }

    /// The visits that may be of this patient, newest begun first: the same species and name, or the same identifier.
    /// Whether they are, a person or `plan::progress` decides.
    pub fn visits_of_patient(&self, patient: &Patient) -> Result<Vec<Summary>, JournalError> {
        let (key, id) = (patient_key(patient), patient_id(patient));
        if !is_kept(&self.connection)? {
            let mut all = self.summaries_of_entries(&Wanted::default())?;
            all.retain(|summary| {
                summary.patient.as_ref().is_some_and(|other| {
                    patient_key(other) == key || (id.is_some() && patient_id(other) == id)
                })
            });
            return Ok(all);
        }
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {SUMMARY_COLUMNS} FROM summary WHERE patient_key = ?1 OR patient_id = ?2 ORDER BY began DESC"
        ))?;
        let mut rows = statement.query(params![key, id])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            found.extend(Summary::from_columns(row)?);
        }
        Ok(found)
    }

    /// Past visits that a plan or a comparison needs, newest begun first, however many there are in all.
    pub fn past(&self, past: &Past) -> Result<Vec<Uuid>, JournalError> {
        let mut began: BTreeMap<i64, Uuid> = BTreeMap::new();
        let mut take = |summaries: Vec<Summary>| {
            for summary in summaries {
                if summary.visit != past.visit && summary.state != State::Damaged {
                    began.insert(summary.began, summary.visit);
                }
            }
        };
        if is_kept(&self.connection)? {
            let mut own = self.visits_of_patient(&past.patient)?;
            own.retain(|summary| {
                let patient = summary.patient.as_ref();
                patient.is_some_and(|patient| is_worth_reading(patient, &past.patient))
            });
            take(own);
            let mut statement = self.connection.prepare_cached(&format!(
                "SELECT {SUMMARY_COLUMNS} FROM summary WHERE state <> 'damaged' ORDER BY began DESC LIMIT ?1"
            ))?;
            let mut rows = statement.query([past.newest as i64])?;
            let mut newest = Vec::new();
            while let Some(row) = rows.next()? {
                newest.extend(Summary::from_columns(row)?);
            }
            take(newest);
            if past.since.is_some() {
                take(self.summaries(&Wanted {
                    from: past.since,
                    ..Wanted::default()
                })?);
            }
        } else {
            take(self.summaries_of_entries(&Wanted::default())?);
        }
        Ok(began.into_values().rev().collect())
    }

    /// A file of an earlier format, opened for reading, has none: they are made of the entries each time.
    fn summaries_of_entries(&self, wanted: &Wanted) -> Result<Vec<Summary>, JournalError> {
        let mut found = Vec::new();
        for line in self.visits()? {
            let summary = match fold(&self.connection, line.visit)? {
                Some(record) => Summary::of(&record, 0),
                None => Summary::without_record(line.visit, 0, (line.entry_count, "")),
            };
            if fits(&summary, wanted) {
                found.push(summary);
            }
            if wanted.most.is_some_and(|most| found.len() >= most) {
                break;
            }
        }
        let count = found.len() as i64;
        for (summary, began) in found.iter_mut().zip((1..=count).rev()) {
            summary.began = began;
        }
        Ok(found)
    }
}

fn fits(summary: &Summary, wanted: &Wanted) -> bool {
    let search = summary
        .patient
        .as_ref()
        .map(|patient| search_text(patient, summary.opened_at))
        .unwrap_or_default();
    let who = search.split(SEARCH_MARK).next().unwrap_or_default();
    let has = |text: &str, word: &str| text.contains(&word.to_lowercase());
    let at = summary.opened_at;
    summary.state == State::Damaged
        || wanted.text.as_ref().is_none_or(|text| has(who, text))
            && wanted.words.iter().all(|word| has(&search, word))
            && wanted.state.is_none_or(|state| state == summary.state)
            && wanted
                .from
                .is_none_or(|from| at.is_some_and(|at| at >= from))
            && wanted
                .before
                .is_none_or(|before| at.is_some_and(|at| at < before))
}

/// The signs that LIKE gives a meaning to, taken as they are.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for letter in text.chars() {
        if matches!(letter, '%' | '_' | '\\') {
            escaped.push('\\');
        }
        escaped.push(letter);
    }
    escaped
}
