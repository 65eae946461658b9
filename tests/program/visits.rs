//! Visits by hand: listing, telling patients apart, finishing, reopening, adding, forgetting; exit codes and messages.

use crate::invented;

use std::path::Path;
use std::process::{Command, Output};

use sulcus::clock::SetClock;
use sulcus::record::{Draft, Event, Journal};
use sulcus::terms::Patient;
use uuid::Uuid;

fn sulcus(data: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_sulcus"))
        .arg("--data")
        .arg(data)
        .args(arguments)
        .env("TZ", "UTC")
        .output()
        .expect("runs")
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("a code")
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

const DOG: &str = "d06a0000-0000-4000-8000-0000000000d1";

#[test]
fn visits_are_found_by_patient_date_and_state() {
    let folder = tempfile::tempdir().expect("a folder");
    drop(invented::journal(folder.path()));
    let list = |arguments: &[&str]| {
        let output = sulcus(folder.path(), &[&["visits"], arguments].concat());
        assert_eq!(code(&output), 0, "{}", err(&output));
        out(&output)
    };
    assert_eq!(list(&[]).lines().count(), 3);
    // Newest first.
    assert!(
        list(&[])
            .lines()
            .next()
            .expect("a line")
            .starts_with("ca720000")
    );
    assert_eq!(list(&["--patient", "pixel"]).lines().count(), 2);
    assert_eq!(list(&["--patient", "DEMO-D1"]).lines().count(), 1);
    assert_eq!(list(&["--patient", "owner two"]).lines().count(), 2);
    assert_eq!(list(&["--date", "2026-11"]).lines().count(), 2);
    assert_eq!(list(&["--date", "2026-05-05"]).lines().count(), 1);
    assert!(list(&["--open"]).contains("ca720000"));
    assert_eq!(list(&["--finished"]).lines().count(), 2);
    assert_eq!(list(&["--patient", "nobody"]).trim(), "no visit fits");
    let wrong = sulcus(folder.path(), &["visits", "--date", "yesterday"]);
    assert_eq!(code(&wrong), 2);
    assert!(err(&wrong).contains("no date"));
}

#[test]
fn two_patients_of_one_name_are_two_patients() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut journal = Journal::open(folder.path()).expect("opens");
    let twin = |id: Option<&str>, owner: &str, born: &str| Patient {
        id: id.map(str::to_owned),
        owner: Some(owner.into()),
        born: Some(born.into()),
        ..invented::dog_patient()
    };
    let patients = [
        twin(Some("A1"), "Owner Three", "2019"),
        twin(Some("A1"), "Owner Three", "2019"),
        twin(Some("B2"), "Owner Three", "2019"),
        twin(None, "Owner Four", "2020"),
        twin(None, "Owner Four", "2021"),
    ];
    for (number, patient) in (1..).zip(patients) {
        let opened = Draft::new(
            Event::VisitOpened {
                patient,
                vet: None,
                nurse: None,
            },
            None,
        );
        let now = SetClock::at_second(number * 100_000).0;
        journal
            .append(Uuid::from_u128(number as u128), &[opened], now)
            .expect("saves");
    }
    drop(journal);
    let text = out(&sulcus(folder.path(), &["visits", "--by-patient"]));
    let heads: Vec<&str> = text
        .lines()
        .filter(|line| line.starts_with("Biscuit"))
        .collect();
    assert_eq!(heads.len(), 4, "{text}");
    assert!(heads.iter().any(|head| head.contains("id B2")));
    assert!(heads.iter().any(|head| head.contains("born 2021")));
}

#[test]
fn a_visit_is_shown_with_its_doubts_and_its_history() {
    let folder = tempfile::tempdir().expect("a folder");
    drop(invented::journal(folder.path()));
    let text = out(&sulcus(folder.path(), &["show", "d06a", "--history"]));
    for line in [
        "208 left maxillary fourth premolar",
        "depth mm  MB 2  B 3  DB 7  MP 2  P 3  DP 6",
        "mobility 1 ? unconfirmed",
        "108 right maxillary fourth premolar, extracted",
        "209 depth 9 mm mesiobuccal  heard \"depth 9 mm mesiobuccal\" 0.91  [corrected]",
        "2 unconfirmed",
    ] {
        assert!(text.contains(line), "not shown: {line}");
    }
    let unknown = sulcus(folder.path(), &["show", "beef"]);
    assert_eq!(code(&unknown), 1);
    assert!(err(&unknown).contains("no visit begins with beef"));
}

#[test]
fn a_visit_is_finished_reopened_and_added_to() {
    let folder = tempfile::tempdir().expect("a folder");
    drop(invented::journal(folder.path()));
    let run = |arguments: &[&str]| sulcus(folder.path(), arguments);
    let early = run(&["addendum", "ca72", "words"]);
    assert_eq!(code(&early), 1);
    assert!(err(&early).contains("the visit is open"));
    assert_eq!(code(&run(&["finish", "ca72"])), 0);
    assert!(err(&run(&["finish", "ca72"])).contains("finished already"));
    assert_eq!(code(&run(&["addendum", "ca72", "ate well at home"])), 0);
    assert_eq!(code(&run(&["reopen", "ca72", "--reason", " "])), 2);
    assert_eq!(
        code(&run(&["reopen", "ca72", "--reason", "a film came late"])),
        0
    );
    let unsure = run(&["reopen", "d06a", "--reason", "to look"]);
    assert_eq!(code(&unsure), 0, "{}", err(&unsure));
    let refused = run(&["finish", "d06a"]);
    assert_eq!(code(&refused), 1);
    assert!(err(&refused).contains("2 values are unconfirmed"));
    assert_eq!(code(&run(&["finish", "d06a", "--anyway"])), 0);
    let text = out(&run(&["show", "ca72", "--history"]));
    assert!(text.contains("addendum: ate well at home"));
    assert!(text.contains("visit reopened: a film came late"));
}

#[test]
fn a_visit_is_forgotten_only_with_consent_and_whole() {
    let folder = tempfile::tempdir().expect("a folder");
    drop(invented::journal(folder.path()));
    let run = |arguments: &[&str]| sulcus(folder.path(), arguments);
    let unasked = run(&["forget", DOG, "--reason", "owner's wish"]);
    assert_eq!(code(&unasked), 2);
    assert!(err(&unasked).contains("cannot be undone"));
    // No short form: a slip must not delete another visit.
    assert_eq!(
        code(&run(&[
            "forget",
            "d06a",
            "--reason",
            "x",
            "--i-may-delete-this"
        ])),
        2
    );
    assert_eq!(
        code(&run(&[
            "forget",
            DOG,
            "--reason",
            "owner's wish",
            "--i-may-delete-this"
        ])),
        0
    );
    assert!(!out(&run(&["visits"])).contains("Biscuit"));
    let stones = out(&run(&["visits", "--forgotten"]));
    assert!(stones.contains(DOG) && stones.contains("owner's wish"));
    assert!(err(&run(&["show", "d06a"])).contains("was forgotten"));
}

#[test]
fn forgetting_takes_the_sound_of_notes_too_and_nothing_outside() {
    let folder = tempfile::tempdir().expect("a folder");
    let data = folder.path().join("data");
    let mut journal = Journal::open(&data).expect("opens");
    std::fs::create_dir(data.join("notes")).expect("made");
    let inside = data.join("notes/one.wav");
    let outside = folder.path().join("outside.wav");
    for file in [&inside, &outside] {
        std::fs::write(file, "sound").expect("written");
    }
    let note = |sound: &str| Event::NoteRecorded {
        tooth: None,
        text: String::new(),
        sound: Some(sound.into()),
    };
    let visit = Uuid::from_u128(9);
    let events = [
        Event::VisitOpened {
            patient: invented::dog_patient(),
            vet: None,
            nurse: None,
        },
        note("one.wav"),
        note("../outside.wav"),
    ];
    let drafts = events.map(|event| Draft::new(event, None));
    journal
        .append(visit, &drafts, SetClock::at_second(0).0)
        .expect("saves");
    drop(journal);
    let id = visit.to_string();
    let output = sulcus(
        &data,
        &[
            "forget",
            &id,
            "--reason",
            "owner's wish",
            "--i-may-delete-this",
        ],
    );
    assert_eq!(code(&output), 1);
    assert!(
        err(&output).contains("1 sound files could not be deleted"),
        "{}",
        err(&output)
    );
    assert!(!inside.exists() && outside.exists());
}

#[test]
fn a_push_to_a_folder_needs_a_finished_visit() {
    let (folder, target) = (
        tempfile::tempdir().expect("a folder"),
        tempfile::tempdir().expect("a folder"),
    );
    drop(invented::journal(folder.path()));
    let to = target.path().to_str().expect("a path");
    let open = sulcus(folder.path(), &["push", "ca72", "--to", to]);
    assert_eq!(code(&open), 1);
    assert!(err(&open).contains("not finished"));
    let plain = sulcus(
        folder.path(),
        &["push", "ca71", "--to", "http://records.example/"],
    );
    assert_eq!(code(&plain), 1);
    assert!(err(&plain).contains("plain http"));
    for _ in 0..2 {
        let sent = sulcus(
            folder.path(),
            &["push", "ca71", "--to", to, "--format", "fhir"],
        );
        assert_eq!(code(&sent), 0, "{}", err(&sent));
        assert!(out(&sent).contains("sent"));
    }
    assert_eq!(std::fs::read_dir(target.path()).expect("lists").count(), 1);
}

#[test]
fn exports_that_ask_for_two_things_are_wrong_use() {
    let folder = tempfile::tempdir().expect("a folder");
    drop(invented::journal(folder.path()));
    let run = |arguments: &[&str]| code(&sulcus(folder.path(), arguments));
    assert_eq!(run(&["export"]), 2);
    assert_eq!(run(&["export", "d06a", "--format", "study"]), 2);
    assert_eq!(run(&["export", "--format", "study"]), 1);
    assert_eq!(run(&["export", "--format", "study", "--with-invented"]), 0);
    assert_eq!(run(&["export", "--schema"]), 0);
    assert_eq!(
        run(&["report", "d06a", "--format", "svg", "--picture", "tooth"]),
        2
    );
    assert_eq!(
        run(&[
            "report",
            "ca71",
            "--format",
            "svg",
            "--picture",
            "tooth",
            "--tooth",
            "105"
        ]),
        1
    );
}
