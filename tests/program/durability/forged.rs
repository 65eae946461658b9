//! What `sulcus verify` can show, and what not: a visit rewritten by somebody who works the hashes out anew.

use std::path::{Path, PathBuf};

use sulcus::record::journal::{FILE, KEY_FILE, MARK_FILE, is_signed};
use sulcus::record::row::StoredRow;

use super::writer::{stderr, stdout, sulcus, writer};

const JOURNALS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/journals");

/// Rewrites depths of the newest visit as somebody would who knows the format and has no key: the events changed, all
/// hashes worked out anew, the triggers put back, the summary made to fit, the mark deleted.
fn forge(data: &Path) -> usize {
    let raw = rusqlite::Connection::open(data.join(FILE)).expect("opens");
    let triggers: Vec<(String, String)> = raw
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .expect("a statement")
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .expect("asked")
        .collect::<Result<_, _>>()
        .expect("read");
    for (name, _) in &triggers {
        raw.execute_batch(&format!("DROP TRIGGER {name}"))
            .expect("dropped");
    }
    let visit: String = raw
        .query_row(
            "SELECT visit FROM entry ORDER BY rowid DESC LIMIT 1",
            [],
            |row| row.get(0),
        )
        .expect("a visit");
    let rows: Vec<StoredRow> = raw
        .prepare("SELECT number, at, monotonic_ms, heard, supersedes, event, hash FROM entry WHERE visit = ?1 ORDER BY number")
        .expect("a statement")
        .query_map([&visit], |row| {
            Ok(StoredRow {
                number: row.get::<_, i64>(0)? as u64,
                at: row.get(1)?,
                monotonic_ms: row.get::<_, i64>(2)? as u64,
                heard: row.get(3)?,
                supersedes: row.get(4)?,
                event: row.get(5)?,
                hash: row.get(6)?,
            })
        })
        .expect("asked")
        .collect::<Result<_, _>>()
        .expect("read");
    let mut before = String::new();
    let mut changed = 0;
    for mut row in rows {
        if changed < 3
            && let Some((start, rest)) = row.event.split_once("\"mm\":")
            && let Some(digit) = rest.chars().next().and_then(|digit| digit.to_digit(10))
        {
            // Another depth that the probe could have read.
            row.event = format!("{start}\"mm\":{}{}", digit % 5 + 1, &rest[1..]);
            changed += 1;
        }
        let hash = row.row(visit.parse().expect("an id")).hash_after(&before);
        raw.execute(
            "UPDATE entry SET event = ?1, hash = ?2 WHERE visit = ?3 AND number = ?4",
            (&row.event, &hash, &visit, row.number as i64),
        )
        .expect("changed");
        before = hash;
    }
    // A file of the first format has no summaries.
    let _ = raw.execute(
        "UPDATE summary SET head_hash = ?1 WHERE visit = ?2",
        (&before, &visit),
    );
    for (_, sql) in &triggers {
        raw.execute_batch(sql).expect("put back");
    }
    drop(raw);
    let _ = std::fs::remove_file(data.join(MARK_FILE));
    assert!(changed > 0, "no depth to change");
    changed
}

/// A finished visit, signed at its end.
fn signed() -> (tempfile::TempDir, PathBuf) {
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    let (code, text) = run(&data, &["import", "tests/data/visits/dog.json"]);
    assert_eq!(code, 0, "{text}");
    let (code, text) = run(&data, &["reopen", "last", "--reason", "to look once more"]);
    assert_eq!(code, 0, "{text}");
    let (code, text) = run(&data, &["finish", "last", "--anyway"]);
    assert_eq!(code, 0, "{text}");
    (place, data)
}

fn run(data: &Path, arguments: &[&str]) -> (i32, String) {
    let output = sulcus(data)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(arguments)
        .output()
        .expect("starts");
    let text = stdout(&output) + &stderr(&output);
    (output.status.code().unwrap_or(-1), text)
}

#[test]
fn a_signed_visit_that_was_rewritten_is_told_as_changed_without_the_key() {
    let (_place, data) = signed();
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 0, "{text}");
    assert!(
        text.contains("in 1 visits nobody without the clinic's key"),
        "{text}"
    );
    assert_eq!(forge(&data), 3, "depths to change");
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("changed by somebody without the clinic's key"),
        "{text}"
    );
    assert!(!text.contains("whole: every"), "{text}");
    assert!(
        !text.contains("hash does not fit"),
        "the forger worked them out: {text}"
    );
}

/// The signatures taken out with it: nothing shows who changed it, but that they are missing shows.
#[test]
fn signatures_that_were_taken_out_are_missed() {
    let (_place, data) = signed();
    forge(&data);
    let raw = rusqlite::Connection::open(data.join(FILE)).expect("opens");
    let sql: String = raw
        .query_row(
            "SELECT sql FROM sqlite_schema WHERE name = 'seal_is_never_deleted'",
            [],
            |row| row.get(0),
        )
        .expect("a trigger");
    raw.execute_batch("DROP TRIGGER seal_is_never_deleted; DELETE FROM seal")
        .expect("deleted");
    raw.execute_batch(&sql).expect("put back");
    drop(raw);
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("the signature that belongs there is missing"),
        "{text}"
    );
    assert!(!text.contains("whole: every"), "{text}");
}

/// A forger's own key is another key.
#[test]
fn signatures_of_another_key_do_not_count_until_a_person_trusts_it() {
    let (_place, data) = signed();
    std::fs::remove_file(data.join(KEY_FILE)).expect("removed");
    // The next writer makes a new key.
    let (code, text) = run(&data, &["addendum", "last", "a later word"]);
    assert_eq!(code, 0, "{text}");
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("signed on") && text.contains("with another key"),
        "{text}"
    );
    let key = text
        .split_whitespace()
        .skip_while(|word| *word != "--trust")
        .nth(1)
        .expect("a key")
        .to_owned();
    let (code, text) = run(&data, &["key", "--trust", &key]);
    assert_eq!(code, 0, "{text}");
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 0, "{text}");
    let (code, text) = run(&data, &["key", "--trust", "abc"]);
    assert_eq!(code, 2, "{text}");
}

/// Of a visit that was never signed it cannot be told, and that is what is said.
#[test]
fn an_unsigned_visit_that_was_rewritten_is_not_called_honest() {
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    let output = writer(&data, 3, 12).output().expect("starts");
    assert!(output.status.success(), "{}", stderr(&output));
    forge(&data);
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 0, "{text}");
    assert!(
        text.contains("of 1 unsigned visits that cannot be told"),
        "{text}"
    );
    assert!(text.contains("not signed"), "{text}");
}

/// A journal of the first format has no signatures; from its first opening on it has.
#[test]
fn a_journal_of_the_first_format_is_signed_as_found() {
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    std::fs::create_dir(&data).expect("made");
    std::fs::copy(
        Path::new(JOURNALS).join("v1/journal.sqlite"),
        data.join(FILE),
    )
    .expect("copied");
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("in 0 visits nobody without"), "{text}");
    let (code, text) = run(&data, &["finish", "last", "--anyway"]);
    assert_eq!(code, 0, "{text}");
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 0, "{text}");
    assert!(!text.contains("in 0 visits nobody without"), "{text}");
    forge(&data);
    let (code, text) = run(&data, &["verify"]);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("changed by somebody without the clinic's key"),
        "{text}"
    );
}

/// The copy is signed as a whole: a change made to it later shows, on any machine that has the key's public half.
#[test]
fn a_backup_is_signed_and_its_change_shows() {
    let place = tempfile::tempdir().expect("a folder");
    let data = place.path().join("data");
    let output = writer(&data, 3, 12).output().expect("starts");
    assert!(output.status.success(), "{}", stderr(&output));
    let copy = place.path().join("data-copy");
    std::fs::create_dir(&copy).expect("made");
    let file = copy.join(FILE);
    let name = file.display().to_string();
    let (code, text) = run(&data, &["backup", &name]);
    assert_eq!(code, 0, "{text}");
    let (code, text) = run(&data, &["verify", &name]);
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("in 1 visits nobody without"), "{text}");
    forge(&copy);
    let (code, text) = run(&data, &["verify", &name]);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("changed by somebody without the clinic's key"),
        "{text}"
    );
}

/// The foot of a report, without the mark-up of the page.
fn foot(data: &Path) -> String {
    let (code, report) = run(data, &["report", "last", "--format", "html"]);
    assert_eq!(code, 0, "{report}");
    report.replace("&#39;", "'")
}

/// The newest signature of an export.
fn newest_signature(data: &Path, visit: &str) -> serde_json::Value {
    let output = sulcus(data)
        .args(["export", visit])
        .output()
        .expect("starts");
    let document: serde_json::Value = serde_json::from_str(&stdout(&output)).expect("JSON");
    let signatures = document["signatures"].as_array().expect("signatures");
    signatures.last().expect("one").clone()
}

#[test]
fn the_foot_of_a_report_shows_the_signature_or_that_there_is_none() {
    let (_place, data) = signed();
    let (_, key) = run(&data, &["key"]);
    let key: String = key
        .chars()
        .filter(char::is_ascii_hexdigit)
        .take(16)
        .collect();
    let groups: Vec<&str> = (0..4).map(|at| &key[4 * at..4 * at + 4]).collect();
    let signature = newest_signature(&data, "last");
    let text = |name: &str| signature[name].as_str().expect("text").to_owned();
    let told = format!(
        "Signed: {} (finish) with the clinic's key {}: {}",
        text("at"),
        groups.join(" "),
        text("signature")
    );
    let report = foot(&data);
    assert!(report.contains(&told), "{told} is not in {report}");
    // Another table has the same paper with another signature, and none where nothing was finished there.
    let (code, text) = run(&data, &["addendum", "last", "a later word"]);
    assert_eq!(code, 0, "{text}");
    // What comes after the end is signed as it is written; what is opened again is not, until it ends.
    let report = foot(&data);
    let signature = newest_signature(&data, "last");
    assert_eq!(signature["occasion"], "addendum");
    assert!(
        report.contains("(addendum) with the clinic's key"),
        "{report}"
    );
    let (code, text) = run(
        &data,
        &["reopen", "last", "--reason", "a tooth was left out"],
    );
    assert_eq!(code, 0, "{text}");
    let report = foot(&data);
    let number = &signature["number"];
    assert!(
        report.contains(&format!("Signed up to entry {number} of ")),
        "{report}"
    );
    assert!(report.contains("what came later is not signed"), "{report}");
    let place = tempfile::tempdir().expect("a folder");
    let other = place.path().join("data");
    let (code, text) = run(&other, &["import", "tests/data/visits/dog.json"]);
    assert_eq!(code, 0, "{text}");
    let report = foot(&other);
    assert!(
        report.contains("Not signed when it was finished."),
        "{report}"
    );
    assert!(!report.contains("with the clinic's key"), "{report}");
    let (code, text) = run(&other, &["reopen", "last", "--reason", "to look once more"]);
    assert_eq!(code, 0, "{text}");
    let report = foot(&other);
    assert!(
        report.contains("Not signed: the visit is not finished."),
        "{report}"
    );
}

/// Whoever receives the FHIR document, by file or by push, can check the signature with the clinic's public key alone.
#[test]
fn a_fhir_document_carries_the_signed_head() {
    let (place, data) = signed();
    let (_, key) = run(&data, &["key"]);
    let key = key.split_whitespace().next().expect("a key").to_owned();
    let folder = place.path().join("taken");
    std::fs::create_dir(&folder).expect("made");
    let (code, text) = run(
        &data,
        &[
            "push",
            "last",
            "--format",
            "fhir",
            "--to",
            &folder.display().to_string(),
        ],
    );
    assert_eq!(code, 0, "{text}");
    let pushed = std::fs::read_dir(&folder)
        .expect("lists")
        .map(|entry| entry.expect("an entry").path())
        .find(|path| path.extension().is_some_and(|end| end == "json"))
        .expect("a file");
    let pushed = std::fs::read_to_string(pushed).expect("text");
    let output = sulcus(&data)
        .args(["export", "last", "--format", "fhir"])
        .output()
        .expect("starts");
    assert_eq!(
        pushed.trim(),
        stdout(&output).trim(),
        "push and export differ"
    );
    let bundle: serde_json::Value = serde_json::from_str(&pushed).expect("JSON");
    let heads: Vec<&serde_json::Value> = bundle["entry"][0]["resource"]["extension"]
        .as_array()
        .expect("extensions")
        .iter()
        .filter(|one| {
            one["url"]
                .as_str()
                .is_some_and(|url| url.ends_with("/signed-head"))
        })
        .collect();
    let head = heads.last().expect("a signed head");
    let part = |name: &str| {
        let part = head["extension"]
            .as_array()
            .and_then(|parts| parts.iter().find(|part| part["url"] == name))
            .unwrap_or_else(|| panic!("no {name} in {head}"));
        let value = &part["valueString"];
        value
            .as_str()
            .map_or_else(|| part["valuePositiveInt"].to_string(), str::to_owned)
    };
    assert_eq!(part("key"), key);
    assert_eq!(part("occasion"), "finish");
    // As the description of the export says it, without the program's own code for it.
    let signed = format!(
        "sulcus seal 1\n{}\n{}\n{}\n{}\n{}\n",
        part("visit"),
        part("number"),
        part("hash"),
        part("at"),
        part("occasion")
    );
    assert!(is_signed(&key, signed.as_bytes(), &part("signature")));
    let forged = signed.replacen(&part("hash")[..1], "x", 1);
    assert!(!is_signed(&key, forged.as_bytes(), &part("signature")));
}

/// The paper and the export carry the signature; a changed export is refused.
#[test]
fn reports_and_exports_carry_the_signature() {
    let (place, data) = signed();
    let (_, key) = run(&data, &["key"]);
    let key = key.split_whitespace().next().expect("a key").to_owned();
    let (code, report) = run(&data, &["report", "last", "--format", "html"]);
    assert_eq!(code, 0);
    assert!(
        report.contains("with the clinic&#39;s key") || report.contains("with the clinic's key"),
        "{report}"
    );
    let file = place.path().join("visit.json");
    let name = file.display().to_string();
    let (code, text) = run(&data, &["export", "last", "--out", &name]);
    assert_eq!(code, 0, "{text}");
    let text = std::fs::read_to_string(&file).expect("there");
    assert!(text.contains(&format!("\"key\": \"{key}\"")), "{text}");
    let mut document: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let other = place.path().join("other");
    let hash = document["journal"][0]["hash"].clone();
    document["signatures"][0]["hash"] = hash;
    std::fs::write(&file, document.to_string()).expect("written");
    let (code, text) = run(&other, &["import", &name]);
    assert_eq!(code, 1, "{text}");
    assert!(
        text.contains("a signature that came with it does not fit"),
        "{text}"
    );
}
