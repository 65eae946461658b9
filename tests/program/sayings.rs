//! What is almost a sentence, as `sulcus parse` shows it; and what a clinic makes of the words that were refused at its
//! own table.

use crate::invented;
use crate::program;

use std::path::Path;

use program::{run, stderr, stdout, sulcus};
use sulcus::clock::{Clock, SetClock};
use sulcus::record::event::{Heard, Speaker};
use sulcus::record::{Draft, Event, Journal};
use sulcus::terms::{Patient, Species};
use uuid::Uuid;

fn parse(data: &Path, words: &str) -> (Option<i32>, String) {
    let output = run(sulcus(data).args(["parse", words]));
    (output.status.code(), stdout(&output))
}

fn data() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

/// What was refused at the table, each followed by what was said instead, `apart_ms` later.
pub fn refuse(data: &Path, rows: &[(&str, &str, u64)]) {
    let mut journal = Journal::open(data).expect("opens");
    let visit = Uuid::new_v4();
    let mut clock = SetClock::at_second(1_800_000_000);
    let mut add = |event: Event, words: &str| {
        let heard = invented::heard(words, 0.9, Speaker::Unknown);
        let heard: Option<&Heard> = (!words.is_empty()).then_some(&heard);
        journal
            .append(visit, &[Draft::new(event, heard)], clock.now())
            .expect("saves");
        clock.advance_ms(1_000);
    };
    add(
        Event::VisitOpened {
            patient: Patient::example(Species::Dog),
            vet: None,
            nurse: None,
        },
        "",
    );
    for (refused, instead, count) in rows {
        for _ in 0..*count {
            add(
                Event::NotUnderstood {
                    said: (*refused).to_owned(),
                },
                "",
            );
            if !instead.is_empty() {
                add(
                    Event::ToothChosen {
                        tooth: invented::tooth(108),
                    },
                    instead,
                );
            }
        }
    }
}

#[test]
fn a_sentence_that_lacks_a_part_is_asked_for_it_and_the_next_gives_it() {
    let data = data();
    let (code, shown) = parse(data.path(), "tooth one oh eight. mobility. two");
    assert_eq!(code, Some(1), "{shown}");
    let said: Vec<&str> = shown.split("said:").collect();
    assert!(
        said[2].contains("intent: none") && said[2].contains("mobility: which grade?"),
        "{shown}"
    );
    assert!(said[3].contains("intent: mobility 2"), "{shown}");
}

#[test]
fn a_yes_to_what_is_asked_for_is_no_confirmation_and_a_decision_is_asked_in_full() {
    let data = data();
    let (_, shown) = parse(
        data.path(),
        "tooth one oh eight. buccal three two three. mobility. yes",
    );
    let last = shown.split("said:").last().expect("an answer");
    assert!(last.contains("mobility: which grade?"), "{shown}");
    assert!(!last.contains("Confirmed"), "{shown}");
    let (_, shown) = parse(data.path(), "tooth one oh eight. mobility. extract");
    let last = shown.split("said:").last().expect("an answer");
    assert!(last.contains("Extract 108?"), "{shown}");
}

#[test]
fn what_can_be_said_is_told_at_each_moment_and_is_understood_there() {
    let data = data();
    for before in [
        "",
        "tooth one oh eight. ",
        "tooth one oh eight. extract. ",
        "tooth one oh eight. mobility one. ",
    ] {
        let (code, shown) = parse(data.path(), &format!("{before}what can i say"));
        assert_eq!(code, Some(0), "{shown}");
        let last = shown.lines().last().expect("an answer");
        let told = last.split_once("You can say:").expect(last).1;
        for sentence in told.split(',') {
            let (code, shown) = parse(data.path(), &format!("{before}{}", sentence.trim()));
            assert_eq!(code, Some(0), "{sentence}: {shown}");
        }
    }
}

#[test]
fn refused_words_become_proposals_that_one_command_accepts() {
    let data = data();
    refuse(
        data.path(),
        &[
            ("park the tooth", "monitor", 14),
            ("yank the tooth", "extract", 5),
            ("odd molar thing", "", 3),
            ("once only molar", "", 1),
        ],
    );
    std::fs::write(
        data.path().join("clinic.toml"),
        "# ours\nnote_sound_days = 30\n",
    )
    .expect("written");
    let listed = stdout(&run(sulcus(data.path()).arg("sayings")));
    let first = listed.lines().next().expect("a row");
    assert!(
        first.contains("said 14 times")
            && first.contains("\"park the tooth\"")
            && first.contains("Means \"monitor\"?"),
        "{listed}"
    );
    assert!(
        !listed.contains("Means \"extract\""),
        "what can hurt is not proposed: {listed}"
    );
    assert!(!listed.contains("once only"), "{listed}");

    let output = run(sulcus(data.path()).args(["sayings", "--accept", "park the tooth"]));
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let file = std::fs::read_to_string(data.path().join("clinic.toml")).expect("read");
    assert!(file.starts_with("# ours\nnote_sound_days = 30\n"), "{file}");
    let (code, shown) = parse(data.path(), "tooth one oh eight. park the tooth");
    assert_eq!(code, Some(0), "{shown}");
    assert!(shown.contains("decision: monitor"), "{shown}");
    let listed = stdout(&run(sulcus(data.path()).arg("sayings")));
    assert!(!listed.contains("park the tooth"), "{listed}");

    // A second row goes under the first's heading.
    let output = run(sulcus(data.path()).args([
        "sayings",
        "--accept",
        "odd molar thing",
        "--means",
        "rotated",
    ]));
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(
        parse(data.path(), "tooth one oh eight. odd molar thing")
            .1
            .contains("rotated")
    );
}

#[test]
fn what_clashes_or_is_no_sentence_leaves_the_clinic_file_as_it_was() {
    let data = data();
    refuse(data.path(), &[("odd molar thing", "", 3)]);
    for (words, means) in [
        ("odd molar thing", "bananas"),
        ("monitor", "extract"),
        ("molar", "rotated"),
    ] {
        let output =
            run(sulcus(data.path()).args(["sayings", "--accept", words, "--means", means]));
        let is_known = words == "monitor";
        assert_eq!(
            output.status.code() == Some(0),
            is_known,
            "{words}: {}",
            stdout(&output)
        );
        assert!(!data.path().join("clinic.toml").exists(), "{words}");
    }
    let output = run(sulcus(data.path()).args(["sayings", "--accept", "entirely unknown words"]));
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
}
