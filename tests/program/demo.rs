//! The demo plays its sound through the real models and gives the record that is expected.

use crate::program;

use std::collections::BTreeMap;

use program::{demo, has_models, root, run, stderr, stdout, sulcus};
use sulcus::app::desk::{Desk, Opening};
use sulcus::clock::SetClock;
use sulcus::export::json;
use sulcus::grammar::Meaning;
use sulcus::record::Heard;
use sulcus::record::event::Telling;
use sulcus::session::Said;
use sulcus::terms::{Patient, Species, Weight};

/// The chart, without times, ids and figures of confidence, which are the machine's.
fn chart(json: &str) -> serde_json::Value {
    let document: serde_json::Value = serde_json::from_str(json).expect("the demo writes JSON");
    let mut kept = BTreeMap::new();
    for key in [
        "format",
        "version",
        "patient",
        "teeth",
        "mouth",
        "decisions",
        "procedures",
        "challenges",
        "unconfirmed",
    ] {
        let value = document
            .get(key)
            .unwrap_or_else(|| panic!("the record has no {key}"));
        kept.insert(key, strip(value.clone()));
    }
    serde_json::to_value(kept).expect("a map is a value")
}

fn strip(value: serde_json::Value) -> serde_json::Value {
    use serde_json::Value;
    match value {
        Value::Object(map) => Value::Object(
            map.into_iter()
                .filter(|(key, _)| {
                    !matches!(
                        key.as_str(),
                        "at" | "answered_at"
                            | "confidence"
                            | "hash"
                            | "visit"
                            | "id"
                            | "entry"
                            | "supersedes"
                            | "heard"
                            | "confirmation"
                            | "opened_at"
                    )
                })
                .map(|(key, value)| (key, strip(value)))
                .collect(),
        ),
        Value::Array(items) => Value::Array(items.into_iter().map(strip).collect()),
        other => other,
    }
}

/// The record that the demo's script gives when its words are taken as text: what the vet and the nurse meant.
fn meant(species: Species) -> String {
    meant_by(species.word(), species)
}

fn meant_by(script: &str, species: Species) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let opening = Opening {
        patient: invented(species),
        vet: Some("Invented Vet".into()),
        nurse: Some("Invented Nurse".into()),
    };
    let clock = Box::new(SetClock::at_second(0));
    let (mut desk, _) = Desk::open(folder.path(), Some(opening), true, clock).expect("a desk");
    let script =
        std::fs::read_to_string(demo(&format!("{script}.tsv"))).expect("the demo's script");
    for line in script.lines().skip(1) {
        desk.clock().advance_ms(1_000);
        let words = desk
            .grammar()
            .words(line.rsplit('\t').next().expect("a last cell"));
        let meaning = desk.grammar().interpret(&words, desk.situation(), species);
        let Meaning::Said(intents) = meaning else {
            panic!("{line} means {meaning:?}")
        };
        let heard = Heard {
            words: words.join(" "),
            confidence: 1.0,
            ..Heard::default()
        };
        let taken = desk.take(&Said { intents, heard });
        for phrase in taken.phrases {
            assert!(desk.told(&phrase, Telling::Spoken).is_none(), "saved");
        }
    }
    let visit = desk.record().visit;
    json::write(visit, &desk.journal().rows(visit).expect("rows")).expect("JSON")
}

fn invented(species: Species) -> Patient {
    let (kg, born) = match species {
        Species::Dog => (14_200, "2019-05"),
        Species::Cat => (4_100, "2017"),
    };
    Patient {
        id: Some(format!("DEMO-{}", species.word().to_uppercase())),
        weight: Some(Weight::from_grams(kg).expect("a weight")),
        born: Some(born.into()),
        owner: Some("Invented Owner".into()),
        ..Patient::example(species)
    }
}

fn play(species: Species) {
    if !has_models("the demo") {
        return;
    }
    let data = tempfile::tempdir().expect("a folder");
    let output = run(sulcus(data.path()).args(["demo", "--species", species.word()]));
    assert!(output.status.success(), "{}", stderr(&output));
    let text = stdout(&output);
    let line = text
        .lines()
        .find_map(|line| line.strip_prefix("The record as JSON: "));
    let json = std::fs::read_to_string(line.expect("the demo says where its JSON is"))
        .expect("the JSON is there");
    let pretty = |json: &str| serde_json::to_string_pretty(&chart(json)).expect("JSON") + "\n";
    let expect = root().join(format!("tests/data/demo/{}.json", species.word()));
    let meant = pretty(&meant(species));
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::create_dir_all(expect.parent().expect("a folder")).expect("made");
        std::fs::write(&expect, &meant).expect("written");
    }
    let expected = std::fs::read_to_string(&expect).expect("the expected record");
    assert_eq!(
        meant,
        expected,
        "the script and the expected record of the {} differ",
        species.word()
    );
    assert_eq!(
        pretty(&json),
        expected,
        "the {} was not heard as it was meant\n{text}",
        species.word()
    );
    for shown in ["heard  ", "saved  ", "says   ", "The chart:"] {
        assert!(text.contains(shown), "the demo shows {shown:?}:\n{text}");
    }
    assert!(
        !text.lines().any(|line| line.starts_with("said  ")),
        "what is said is shown once:\n{text}"
    );
}

#[test]
fn the_dog_gives_its_record() {
    play(Species::Dog);
}

#[test]
fn the_cat_gives_its_record() {
    play(Species::Cat);
}

/// The nurse's entries come between the vet's readings, through the real recogniser: nothing stands that nobody said, all
/// of the vet's stands, and of the nurse's at most one call was refused.
#[test]
fn the_nurse_is_heard_between_the_vets_readings() {
    if !has_models("the demo under anaesthetic") {
        return;
    }
    let data = tempfile::tempdir().expect("a folder");
    let output = run(sulcus(data.path()).args(["demo", "--anaesthetic"]));
    assert!(output.status.success(), "{}", stderr(&output));
    let text = stdout(&output);
    let line = text
        .lines()
        .find_map(|line| line.strip_prefix("The record as JSON: "));
    let json = std::fs::read_to_string(line.expect("the demo says where its JSON is"))
        .expect("the JSON is there");
    let heard: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let meant: serde_json::Value =
        serde_json::from_str(&meant_by("anaesthetic", Species::Dog)).expect("JSON");
    let dental = |record: &serde_json::Value| -> Vec<String> {
        let list = |of: &serde_json::Value| of.as_array().cloned().unwrap_or_default();
        let words = |one: &serde_json::Value| one["text"].as_str().unwrap_or_default().to_owned();
        let of_teeth = list(&record["teeth"]).into_iter().flat_map(|tooth| {
            let findings = list(&tooth["findings"]);
            findings
                .iter()
                .map(|one| format!("{} {}", tooth["number"], words(one)))
                .collect::<Vec<_>>()
        });
        let decided = list(&record["decisions"]);
        let done = list(&record["procedures"]);
        of_teeth
            .chain(
                decided
                    .iter()
                    .map(|one| format!("{} {}", one["tooth"], words(one))),
            )
            .chain(done.iter().map(words))
            .collect()
    };
    assert_eq!(dental(&heard), dental(&meant), "{text}");
    assert_eq!(heard["unconfirmed"], serde_json::json!([]), "{text}");
    let said = |record: &serde_json::Value| -> Vec<String> {
        ["readings", "drugs", "course"]
            .iter()
            .flat_map(|part| record["anaesthetic"][part].as_array().expect("a list"))
            .map(|one| one["text"].as_str().expect("words").to_owned())
            .collect()
    };
    let (heard, mut meant) = (said(&heard), said(&meant));
    for one in &heard {
        let at = meant.iter().position(|of| of == one);
        meant.remove(at.unwrap_or_else(|| panic!("nobody said {one}\n{text}")));
    }
    assert!(meant.len() <= 1, "not entered: {meant:?}\n{text}");
    assert!(
        heard.iter().any(|one| one.starts_with("methadone")),
        "{text}"
    );
}

/// Frames of a second file go on where those of the first ended.
#[test]
fn several_files_are_one_sitting() {
    if !has_models("replay of several files") {
        return;
    }
    let data = tempfile::tempdir().expect("a folder");
    let clip = |name: &str| root().join("audio-fixtures/clean").join(name);
    let output = run(sulcus(data.path())
        .args(["replay", "--species", "dog"])
        .arg(clip("002-tooth-two-oh-eight-heart.wav"))
        .arg(clip("014-buccal-three-seven-four-heart.wav")));
    assert!(output.status.success(), "{}", stderr(&output));
    let text = stdout(&output);
    for heard in ["tooth two oh eight", "buccal three seven four"] {
        assert!(text.contains(heard), "{heard} was not heard:\n{text}");
    }
}
