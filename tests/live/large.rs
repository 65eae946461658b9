//! A journal too large to be checked at the start, with one damaged visit in it: the work begins at once, the good
//! visits are served, the damage is found beside the work, named and told.

use std::path::Path;
use std::process::Command;

use jiff::Timestamp;
use sulcus::clock::Now;
use sulcus::record::journal::FILE;
use sulcus::record::{Draft, Event, Journal};
use sulcus::terms::{Patient, Species};
use uuid::Uuid;

use crate::failing::{ACKNOWLEDGE, Air, MOBILITY, Serve, press, shown};
use crate::listen::Table;
use crate::models::models;
use crate::sound_server::SoundServer;

/// What stands in the damaged visit alone.
const MARKER: &str = "a word that stands nowhere else";
const NOTE_BYTES: usize = 100_000;
/// More than what is checked at the start (64 MB).
const NOTES: usize = 720;

/// The damaged visit, and one that is open and good.
fn large(data: &Path) -> (Uuid, Uuid) {
    let mut journal = Journal::open(data).expect("opens");
    let mut monotonic_ms = 0;
    let mut append = |journal: &mut Journal, visit: Uuid, events: Vec<Event>| {
        let drafts: Vec<Draft> = events
            .into_iter()
            .map(|event| Draft::new(event, None))
            .collect();
        monotonic_ms += 1_000;
        let at = Timestamp::from_second(1_772_442_000).expect("a time");
        let now = Now { at, monotonic_ms };
        journal.append(visit, &drafts, now).expect("saved");
    };
    let opened = || Event::VisitOpened {
        patient: Patient::example(Species::Dog),
        vet: None,
        nurse: None,
    };
    let note = |text: String| Event::NoteRecorded {
        tooth: None,
        text,
        sound: None,
    };
    let (damaged, filler, good) = (Uuid::new_v4(), Uuid::new_v4(), Uuid::new_v4());
    append(
        &mut journal,
        damaged,
        vec![opened(), note(MARKER.to_owned()), Event::VisitFinished],
    );
    append(&mut journal, filler, vec![opened()]);
    for part in 0..NOTES / 40 {
        let notes = (0..40).map(|at| note(format!("{part} {at} ").repeat(NOTE_BYTES / 4)));
        append(&mut journal, filler, notes.collect());
    }
    append(&mut journal, filler, vec![Event::VisitFinished]);
    append(&mut journal, good, vec![opened()]);
    drop(journal);
    let file = data.join(FILE);
    let mut bytes = std::fs::read(&file).expect("a file");
    assert!(
        bytes.len() > 64 << 20,
        "{} bytes are not large",
        bytes.len()
    );
    let mut count = 0;
    for at in 0..bytes.len() - MARKER.len() {
        if bytes[at] == b'a' && bytes[at..].starts_with(MARKER.as_bytes()) {
            bytes[at] = b'A';
            count += 1;
        }
    }
    assert!(count > 0, "the marker is not in the file");
    std::fs::write(&file, bytes).expect("written");
    (damaged, good)
}

#[test]
fn the_page_works_on_beside_the_check_and_shows_what_it_finds() {
    let folder = tempfile::tempdir().expect("a folder");
    let data = folder.path().join("visits");
    let (damaged, good) = large(&data);
    let serve = Serve::start_on(&data, &[]);
    let page = &serve.page;
    assert_eq!(page.state()["visit"]["visit"], good.to_string());
    let (status, answer) = press(page, r#"{"do":"choose","with":{"tooth":104}}"#);
    assert_eq!(status, 200, "{answer}");
    let state = shown(page, "the damage is shown", |state| {
        state["trouble"]["alarms"][0]
            .as_str()
            .is_some_and(|told| told.contains("The journal is damaged!"))
    });
    assert!(
        state["trouble"]["why"].is_null(),
        "the disk takes it: {state}"
    );
    let (status, answer) = press(page, MOBILITY);
    assert_eq!(status, 200, "saved all the same: {answer}");
    let (status, _) = press(page, ACKNOWLEDGE);
    assert_eq!(status, 200);
    let state = page.state();
    assert!(state["trouble"].is_null(), "nothing is left of it: {state}");
    let (code, told) = serve.end();
    assert_eq!(code, Some(1), "{told}");
    assert!(
        told.contains("DAMAGED") && told.contains(&damaged.to_string()),
        "which visit: {told}"
    );
    assert!(
        !told.contains(&good.to_string()),
        "the good one is good: {told}"
    );
    // The good ones are listed; whoever looks at all of it is told which is not.
    let run = |command: &str| {
        Command::new(env!("CARGO_BIN_EXE_sulcus"))
            .arg(command)
            .env("SULCUS_DATA", &data)
            .output()
            .expect("starts")
    };
    let output = run("verify");
    let found = String::from_utf8_lossy(&output.stdout);
    assert_eq!(output.status.code(), Some(1), "{found}");
    assert!(found.contains(&damaged.to_string()), "{found}");
    // Known from the check beside the page: no check is due, and it is told all the same.
    let output = run("visits");
    let told = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{told}");
    assert!(
        told.contains("DAMAGED") && told.contains(&damaged.to_string()),
        "{told}"
    );
    let listed = String::from_utf8_lossy(&output.stdout);
    let short: String = good.to_string().chars().take(8).collect();
    assert!(listed.contains(&short), "{listed}");
}

#[test]
fn the_table_works_on_beside_the_check_and_says_what_it_finds() {
    if models().is_none() {
        return;
    }
    let Some(server) = SoundServer::start_with_headset() else {
        return;
    };
    let (damaged, good) = large(&server.folder().join("visits"));
    let recording = server.record();
    let arguments = ["--headset", "--no-check"];
    let Some(mut table) = Table::open_with_variables(server, "listen", &arguments, &[]) else {
        return;
    };
    let mut said = Vec::new();
    // Found sooner or later than the first word is said.
    for _ in 0..2 {
        said.push(table.expect_one_of(&[
            &["said", "Visit goes on"],
            &["said", "The journal is damaged!"],
        ]));
    }
    table.say_until("Confirm.", "heard", "confirm");
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    assert_eq!(table.end().code(), Some(1), "{}", table.told.join("\n"));
    let told = table.told.join("\n");
    assert!(told.contains(&format!("visit {good}")), "{told}");
    assert!(
        told.contains("DAMAGED") && told.contains(&damaged.to_string()),
        "{told}"
    );
    let mut air = Air::of(recording, &table.models);
    for phrase in ["The journal is damaged!", "Go on, and look at the screen."] {
        assert!(air.spoken(phrase).is_some(), "{phrase} is heard; {said:?}");
    }
}
