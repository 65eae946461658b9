//! The demo plays its sound through the real models and gives the record that is expected.

mod program;

use std::collections::BTreeMap;

use program::{has_models, root, run, stderr, stdout, sulcus};

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
                    !matches!(key.as_str(), "at" | "confidence" | "hash" | "visit" | "id")
                })
                .map(|(key, value)| (key, strip(value)))
                .collect(),
        ),
        Value::Array(items) => Value::Array(items.into_iter().map(strip).collect()),
        other => other,
    }
}

fn play(species: &str) {
    if !has_models("the demo") {
        return;
    }
    let data = tempfile::tempdir().expect("a folder");
    let output = run(sulcus(data.path()).args(["demo", "--species", species]));
    assert!(output.status.success(), "{}", stderr(&output));
    let text = stdout(&output);
    let line = text
        .lines()
        .find_map(|line| line.strip_prefix("The record as JSON: "));
    let json = std::fs::read_to_string(line.expect("the demo says where its JSON is"))
        .expect("the JSON is there");
    let found = serde_json::to_string_pretty(&chart(&json)).expect("JSON") + "\n";
    let expect = root().join(format!("tests/data/demo/{species}.json"));
    if std::env::var_os("UPDATE_EXPECT").is_some() || !expect.exists() {
        std::fs::create_dir_all(expect.parent().expect("a folder")).expect("made");
        std::fs::write(&expect, &found).expect("written");
    }
    let expected = std::fs::read_to_string(&expect).expect("the expected record");
    assert_eq!(
        found, expected,
        "the demo of the {species} gives another record\n{text}"
    );
    for shown in ["heard  ", "saved  ", "says   ", "The chart:"] {
        assert!(text.contains(shown), "the demo shows {shown:?}:\n{text}");
    }
}

#[test]
fn the_dog_gives_its_record() {
    play("dog");
}

#[test]
fn the_cat_gives_its_record() {
    play("cat");
}
