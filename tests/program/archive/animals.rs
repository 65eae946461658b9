//! Animals over tables: the history that a table fetches and keeps, what a person says to be one, and the front desk.

use super::desk::Person;
use super::{Archive, CLINIC, Table, stderr, stdout};
use crate::invented;
use crate::program;

use std::time::{Duration, Instant};

use serde_json::{Value, json};
use sulcus::record::Journal;
use sulcus::terms::{Area, Patient, Procedure};
use uuid::Uuid;

/// The cat half a year later, as another table takes it in, still open.
pub fn later(table: &Table, patient: Patient) -> Uuid {
    let mut journal = table.journal();
    let visit = Uuid::new_v4();
    let mut clock = sulcus::clock::SetClock::at_second(1_794_304_800);
    let event = sulcus::record::Event::VisitOpened {
        patient,
        vet: None,
        nurse: None,
    };
    let draft = sulcus::record::Draft::new(event, None);
    let now = sulcus::clock::Clock::now(&mut clock);
    journal.append(visit, &[draft], now).expect("saved");
    visit
}

#[test]
fn a_table_fetches_what_another_saw_and_keeps_it_for_when_the_archive_is_away() {
    let Some(mut archive) = Archive::start("a_table_fetches") else {
        return;
    };
    let (one, other) = (
        archive.table("Table 2", CLINIC),
        archive.table("Table 3", CLINIC),
    );
    let cat = invented::cat(&mut one.journal());
    one.send();
    // The second table has never seen the cat.
    invented::cat_later(&mut other.journal());
    let compared = program::run(other.command().args(["compare", "last"]));
    assert!(
        stdout(&compared).contains("no earlier visit of Pixel"),
        "{}",
        stdout(&compared)
    );
    // Its page opens the visit, and the history comes by itself.
    let mut page = other
        .command()
        .args(["serve", "--port", "0"])
        .stdout(std::process::Stdio::null())
        .spawn()
        .expect("starts");
    let started = Instant::now();
    while !other.path().join("history").is_dir() {
        assert!(started.elapsed() < Duration::from_secs(60), "it is fetched");
        std::thread::sleep(Duration::from_millis(100));
    }
    page.kill().expect("killed");
    page.wait().expect("ended");
    // The archive goes away, the history stays.
    archive.kill();
    let compared = program::run(other.command().args(["compare", "last"]));
    assert!(compared.status.success(), "{}", stderr(&compared));
    assert!(
        stdout(&compared).contains("307") && stdout(&compared).contains("resorption"),
        "{}",
        stdout(&compared)
    );
    let kept = other.archive(&["history", "last"]);
    assert_eq!(kept.status.code(), Some(1), "the archive is away");
    assert!(
        stdout(&kept).contains(&cat.to_string()),
        "{}",
        stdout(&kept)
    );
    // It is no part of the journal, and readable for its user alone.
    assert!(
        Journal::open_reader(other.path())
            .expect("opens")
            .rows(cat)
            .expect("rows")
            .is_empty()
    );
    for file in std::fs::read_dir(other.path().join("history"))
        .expect("listed")
        .flatten()
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = file.metadata().expect("metadata").permissions().mode();
        assert_eq!(mode & 0o077, 0, "{mode:o}");
    }
    // What was altered there proves itself no more, and is left out.
    for file in std::fs::read_dir(other.path().join("history"))
        .expect("listed")
        .flatten()
    {
        let text = std::fs::read_to_string(file.path()).expect("read");
        std::fs::write(
            file.path(),
            text.replacen("\"number\":9", "\"number\":8", 1),
        )
        .expect("written");
    }
    let compared = program::run(other.command().args(["compare", "last"]));
    assert!(
        stdout(&compared).contains("no earlier visit of Pixel"),
        "{}",
        stdout(&compared)
    );
    archive.serve(&[]);
    let kept = other.archive(&["history", "last"]);
    assert!(kept.status.success(), "{}", stderr(&kept));
    // Who read is on record.
    let read = archive.postgres.sql(
        "postgres",
        "sulcus",
        "SELECT count(*) FROM sulcus.access WHERE action = 'read' AND name = 'Table 3' AND detail = 'history, 1 visits'",
    );
    assert_ne!(read, "0");
}

#[test]
fn two_tables_with_the_same_animal_open_disturb_nobody() {
    let Some(archive) = Archive::start("two_tables_with_the_same_animal") else {
        return;
    };
    let (one, other) = (
        archive.table("Table 2", CLINIC),
        archive.table("Table 3", CLINIC),
    );
    let first = later(&one, invented::cat_patient());
    let second = later(&other, invented::cat_patient());
    for (table, visit) in [(&one, first), (&other, second)] {
        let done = program::run(
            table
                .command()
                .args(["finish", &visit.to_string(), "--anyway"]),
        );
        assert!(done.status.success(), "{}", stderr(&done));
    }
    std::thread::scope(|scope| {
        scope.spawn(|| one.send());
        scope.spawn(|| other.send());
    });
    assert_eq!(archive.postgres.count("sulcus.visit"), 2);
    assert_eq!(archive.postgres.count("sulcus.patient"), 1, "one animal");
}

#[test]
fn a_person_says_which_patients_are_one_and_unsays_it() {
    let Some(archive) = Archive::start("a_person_says") else {
        return;
    };
    let (one, other) = (
        archive.table("Table 2", CLINIC),
        archive.table("Table 3", CLINIC),
    );
    invented::cat(&mut one.journal());
    invented::dog(&mut one.journal());
    one.send();
    // The same cat under another number, with a slip in its name.
    let slip = Patient {
        id: Some("DEMO-C9".into()),
        name: "Pixle".into(),
        ..invented::cat_patient()
    };
    let visit = later(&other, slip);
    let compare = || program::run(other.command().args(["compare", &visit.to_string()]));
    other.archive(&["history", &visit.to_string()]);
    assert!(
        stdout(&compare()).contains("no earlier visit"),
        "nothing is guessed"
    );
    let copied = tempfile::tempdir().expect("a folder");
    let closed = program::run(
        other
            .command()
            .args(["finish", &visit.to_string(), "--anyway"]),
    );
    assert!(closed.status.success(), "{}", stderr(&closed));
    drop(copied);
    other.send();
    assert_eq!(archive.postgres.count("sulcus.patient"), 3);

    let desk = Person {
        archive: &archive,
        key: archive.person("R. Desk (invented)", "reception", CLINIC),
    };
    let id = |words: &str| {
        let hits = desk.get(&format!("/v1/patients?words={words}"));
        assert_eq!(hits.as_array().map(Vec::len), Some(1), "{hits}");
        hits[0]["id"].as_str().expect("an id").to_owned()
    };
    let (pixel, pixle, dog) = (id("pixel"), id("demo-c9%20cat"), id("biscuit"));
    let (status, told) = desk.post(
        "/v1/merge",
        &json!({ "patient": pixle, "into": dog, "reason": "x" }),
    );
    assert_eq!(
        (status, told.contains("a dog and a cat are not one animal")),
        (403, true),
        "{told}"
    );
    let (status, told) = desk.post(
        "/v1/merge",
        &json!({ "patient": pixle, "into": pixel, "reason": " " }),
    );
    assert_eq!((status, told.contains("say why")), (400, true), "{told}");
    let wanted =
        json!({ "patient": pixle, "into": pixel, "reason": "same chip, read at the desk" });
    let (status, told) = desk.post("/v1/merge", &wanted);
    assert_eq!(status, 200, "{told}");
    let merge = serde_json::from_str::<Value>(&told).expect("JSON")["merge"].clone();
    let (status, told) = desk.post("/v1/merge", &wanted);
    assert_eq!(
        (status, told.contains("are one animal already")),
        (403, true),
        "{told}"
    );
    for one in [&pixel, &pixle] {
        let timeline = desk.get(&format!("/v1/patients/{one}"));
        assert_eq!(
            timeline["visits"].as_array().map(Vec::len),
            Some(2),
            "{timeline}"
        );
        assert_eq!(timeline["merges"][0]["by"], "R. Desk (invented)");
    }
    // What a person said counts at the table too.
    let fetched = other.archive(&["history", &visit.to_string()]);
    assert!(
        stdout(&fetched).contains("1 earlier visits"),
        "{}{}",
        stdout(&fetched),
        stderr(&fetched)
    );
    assert!(compare().status.success(), "{}", stdout(&compare()));

    let (status, _) = desk.post(
        "/v1/unmerge",
        &json!({ "merge": merge, "reason": "another cat after all" }),
    );
    assert_eq!(status, 204);
    let (status, _) = desk.post("/v1/unmerge", &json!({ "merge": merge, "reason": "again" }));
    assert_eq!(status, 404);
    let timeline = desk.get(&format!("/v1/patients/{pixel}"));
    assert_eq!(
        timeline["visits"].as_array().map(Vec::len),
        Some(1),
        "{timeline}"
    );
    other.archive(&["history", &visit.to_string()]);
    assert!(
        stdout(&compare()).contains("no earlier visit"),
        "{}",
        stdout(&compare())
    );
    let done = archive.postgres.sql(
        "postgres",
        "sulcus",
        "SELECT action, role FROM sulcus.access WHERE action LIKE '%merge' ORDER BY id",
    );
    assert_eq!(done, "merge|reception\nunmerge|reception");
    // Nothing else of it can be changed.
    let study = Person {
        archive: &archive,
        key: archive.person("S. Study (invented)", "study", CLINIC),
    };
    let (status, told) = study.post("/v1/merge", &wanted);
    assert_eq!(
        (status, told.contains("may not say which patients are one")),
        (403, true),
        "{told}"
    );
}

#[test]
fn an_archive_of_the_first_version_is_brought_forward_with_all_that_it_held() {
    let Some(postgres) = crate::postgres::Postgres::start("an_archive_of_the_first_version") else {
        return;
    };
    postgres.sql(
        "postgres",
        "postgres",
        "CREATE ROLE sulcus_server LOGIN NOINHERIT",
    );
    postgres.sql(
        "postgres",
        "postgres",
        "GRANT sulcus_server TO keeper WITH ADMIN OPTION",
    );
    postgres.sql(
        "postgres",
        "postgres",
        "CREATE DATABASE sulcus OWNER keeper TEMPLATE template0",
    );
    let dump = program::root().join("tests/data/archive/v1.sql");
    let text = std::fs::read_to_string(dump).expect("the kept archive");
    postgres.write("v1.sql", &text);
    postgres.sql("postgres", "sulcus", "\\i v1.sql");
    let mut archive = Archive::of(postgres);
    assert_eq!(archive.entry_count(), 675);
    // Not served before it was brought forward.
    let made = archive.keeper(&["init"]);
    assert!(made.status.success(), "{}", stderr(&made));
    assert!(
        stdout(&made).contains("brought forward") && stdout(&made).contains("from version 1"),
        "{}",
        stdout(&made)
    );
    archive.serve(&[]);
    assert_eq!(archive.entry_count(), 675);
    let desk = Person {
        archive: &archive,
        key: archive.person("R. Desk (invented)", "reception", CLINIC),
    };
    let hits = desk.get("/v1/patients?words=pixel");
    let timeline = desk.get(&format!(
        "/v1/patients/{}",
        hits[0]["id"].as_str().expect("an id")
    ));
    assert_eq!(
        timeline["visits"].as_array().map(Vec::len),
        Some(1),
        "{timeline}"
    );
    let table = archive.table("Table 2", CLINIC);
    invented::cat_later(&mut table.journal());
    let closed = program::run(table.command().args(["finish", "last", "--anyway"]));
    assert!(closed.status.success(), "{}", stderr(&closed));
    table.send();
    let timeline = desk.get(&format!(
        "/v1/patients/{}",
        hits[0]["id"].as_str().expect("an id")
    ));
    assert_eq!(
        timeline["visits"].as_array().map(Vec::len),
        Some(2),
        "{timeline}"
    );
}

/// Finishes a visit as it stands, and hands it over.
fn finish_and_send(table: &Table, visit: Uuid) {
    let done = program::run(
        table
            .command()
            .args(["finish", &visit.to_string(), "--anyway"]),
    );
    assert!(done.status.success(), "{}", stderr(&done));
    table.send();
}

#[test]
fn a_microchip_finds_the_animal_under_another_number_and_tells_two_of_one_number_apart() {
    let Some(archive) = Archive::start("a_microchip_finds") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let chipped = |id: &str, chip: Option<&str>| Patient {
        id: Some(id.to_owned()),
        microchip: chip.map(|chip| chip.parse().expect("a microchip")),
        ..invented::cat_patient()
    };
    // First without a chip, then read, then under a new number of the clinic.
    for (id, chip) in [
        ("DEMO-C1", None),
        ("DEMO-C1", Some("999000000000001")),
        ("DEMO-C7", Some("999 000 000 000 001")),
    ] {
        let visit = later(&table, chipped(id, chip));
        finish_and_send(&table, visit);
    }
    assert_eq!(archive.postgres.count("sulcus.patient"), 1, "one animal");
    // A slip of the number: another chip is another animal.
    let visit = later(&table, chipped("DEMO-C1", Some("999000000000002")));
    finish_and_send(&table, visit);
    assert_eq!(archive.postgres.count("sulcus.patient"), 2);
    let desk = Person {
        archive: &archive,
        key: archive.person("R. Desk (invented)", "reception", CLINIC),
    };
    let hits = desk.get("/v1/patients?words=999000000000001");
    assert_eq!(hits.as_array().map(Vec::len), Some(1), "{hits}");
    assert_eq!(hits[0]["microchip"], "999000000000001");
    assert_eq!(hits[0]["visit_count"], 3);
}

#[test]
fn a_result_that_is_owed_stays_listed_until_somebody_reads_it() {
    let Some(archive) = Archive::start("a_result_that_is_owed") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let visit = later(&table, invented::cat_patient());
    let mut journal = table.journal();
    let mut clock = sulcus::clock::SetClock::at_second(1_794_304_900);
    let now = sulcus::clock::Clock::now(&mut clock);
    let drafts: Vec<_> = [
        Procedure::SampleTaken {
            pot: 1,
            tooth: None,
            area: Some((Area::Cheek, None)),
            kind: None,
        },
        Procedure::SamplesSent {
            pots: vec![1],
            due_days: Some(10),
        },
    ]
    .into_iter()
    .map(|procedure| {
        let event = sulcus::record::Event::ProcedureRecorded {
            procedure,
            challenge: None,
        };
        sulcus::record::Draft::new(event, None)
    })
    .collect();
    journal.append(visit, &drafts, now).expect("saved");
    drop(journal);
    finish_and_send(&table, visit);
    let desk = Person {
        archive: &archive,
        key: archive.person("R. Desk (invented)", "reception", CLINIC),
    };
    let owed = || {
        let due = desk.get("/v1/rechecks?until=2030-01-01");
        due.as_array()
            .expect("a list")
            .iter()
            .filter(|line| line["is_result"] == true && line["visit"] == visit.to_string())
            .count()
    };
    assert_eq!(owed(), 1);
    // The cat is here again: that does not bring the result.
    let mut journal = table.journal();
    let again = invented::cat_later(&mut journal);
    drop(journal);
    finish_and_send(&table, again);
    assert_eq!(owed(), 1);
    let read = program::run(table.command().args([
        "result",
        &visit.to_string(),
        "--pot",
        "1",
        "invented: no sign of a tumour",
    ]));
    assert!(read.status.success(), "{}", stderr(&read));
    table.send();
    assert_eq!(owed(), 0);
}
