//! Journal and fold together: what is appended comes back, in order, and nothing else.

use uuid::Uuid;

use super::Journal;
use crate::clock::{Clock, SetClock};
use crate::journal;
use crate::record::event::Retraction;
use crate::record::*;
use crate::terms::{Finding, Kind, Patient, Place, Site, Species, Subject, ToothNumber, Value};

fn opening() -> Event {
    Event::VisitOpened {
        patient: Patient::example(Species::Dog),
        vet: None,
        nurse: None,
    }
}

fn depth(mm: u8) -> Event {
    let tooth = ToothNumber::new(104).expect("a tooth");
    let finding = Finding::new(
        Subject::Tooth(tooth),
        Kind::Depth,
        Place::Site(Site::Buccal),
        Value::Mm(mm),
    );
    Event::FindingRecorded {
        finding: finding.expect("suited"),
        challenge: None,
    }
}

fn draft(event: Event) -> Draft {
    Draft::new(event, None)
}

fn buccal(record: &Record) -> Option<Value> {
    let tooth = ToothNumber::new(104).expect("a tooth");
    record
        .value(tooth, Kind::Depth, Place::Site(Site::Buccal))
        .cloned()
}

#[test]
fn entries_come_back_in_order_after_reopening() {
    let folder = tempfile::tempdir().expect("a folder");
    let visit = Uuid::from_u128(7);
    let now = SetClock::at_second(1_700_000_000).now();
    let mut journal = Journal::open(folder.path()).expect("opens");
    let saved = journal
        .append(visit, &[draft(opening()), draft(depth(3))], now)
        .expect("saves");
    assert_eq!(saved.iter().map(|e| e.number).collect::<Vec<_>>(), [1, 2]);
    let more = journal
        .append(visit, &[draft(depth(5))], now)
        .expect("saves");
    drop(journal);
    let journal = Journal::open(folder.path()).expect("opens again");
    let entries = journal.entries(visit).expect("reads");
    assert_eq!(entries, [saved, more].concat());
    let record = Record::fold(&entries).expect("a record");
    assert_eq!(buccal(&record), Some(Value::Mm(5)));
}

#[test]
fn undo_brings_the_value_before_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let visit = Uuid::from_u128(7);
    let now = SetClock::at_second(0).now();
    let mut journal = Journal::open(folder.path()).expect("opens");
    let events = [
        opening(),
        depth(3),
        depth(5),
        Event::Retracted {
            entries: vec![3],
            why: Retraction::Undone,
        },
    ];
    let entries = journal
        .append(visit, &events.map(draft), now)
        .expect("saves");
    let record = Record::fold(&entries).expect("a record");
    assert_eq!(buccal(&record), Some(Value::Mm(3)));
    assert_eq!(record.all().count(), 2);
}

#[test]
fn the_database_refuses_change_and_deletion() {
    let folder = tempfile::tempdir().expect("a folder");
    let now = SetClock::at_second(0).now();
    let mut journal = Journal::open(folder.path()).expect("opens");
    journal
        .append(Uuid::from_u128(7), &[draft(opening())], now)
        .expect("saves");
    let raw = rusqlite::Connection::open(folder.path().join(journal::FILE)).expect("opens");
    for statement in ["UPDATE entry SET at = 'x'", "DELETE FROM entry"] {
        let error = raw.execute(statement, []).expect_err(statement).to_string();
        assert!(error.contains("the journal only grows"), "{error}");
    }
}

#[test]
fn a_second_writer_is_refused_and_a_reader_is_not() {
    let folder = tempfile::tempdir().expect("a folder");
    let _journal = Journal::open(folder.path()).expect("opens");
    let error = Journal::open(folder.path()).expect_err("busy").to_string();
    assert!(error.contains("another sulcus is writing"), "{error}");
    Journal::open_reader(folder.path()).expect("a reader");
}

#[test]
fn a_changed_row_is_found() {
    let folder = tempfile::tempdir().expect("a folder");
    let visit = Uuid::from_u128(7);
    let now = SetClock::at_second(0).now();
    let mut journal = Journal::open(folder.path()).expect("opens");
    journal
        .append(
            visit,
            &[draft(opening()), draft(depth(3)), draft(depth(4))],
            now,
        )
        .expect("saves");
    let raw = rusqlite::Connection::open(folder.path().join(journal::FILE)).expect("opens");
    raw.execute_batch("DROP TRIGGER entry_is_never_changed; UPDATE entry SET event = replace(event, '3', '2') WHERE number = 2")
        .expect("tampered");
    assert!(matches!(
        journal.entries(visit),
        Err(JournalError::Damaged { number: 2, .. })
    ));
}
