//! One real journal of every format that ever was: each must open, be whole, and fold to what it folded to then.
//!
//! A new format adds a folder; the old ones stay. Where the fold changes on purpose, `UPDATE_EXPECT=1` writes the
//! summaries anew, and the change is looked at.

use std::path::Path;

use sulcus::record::{Journal, Record, journal};

const JOURNALS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/journals");

/// All that counts of each visit, as text.
fn summary(journal: &Journal) -> String {
    let visits: Vec<serde_json::Value> = journal
        .visits()
        .expect("lists")
        .iter()
        .map(|line| {
            let entries = journal.entries(line.visit).expect("whole");
            let record = Record::fold(&entries).expect("a record");
            let current: Vec<serde_json::Value> = record
                .current()
                .map(|charted| {
                    serde_json::json!({
                        "number": charted.number,
                        "standing": format!("{:?}", charted.standing),
                        "event": charted.event,
                    })
                })
                .collect();
            serde_json::json!({
                "visit": record.visit,
                "patient": record.patient,
                "opened_at": record.opened_at,
                "finished_at": record.finished_at,
                "entries": entries.len(),
                "last_hash": record.last_hash,
                "addenda": record.addenda,
                "challenges": record.challenges.iter().map(|challenge| (challenge.number, challenge.accepted)).collect::<Vec<_>>(),
                "withdrawn": record.all().filter(|charted| charted.retracted.is_some()).map(|charted| charted.number).collect::<Vec<_>>(),
                "current": current,
            })
        })
        .collect();
    let forgotten: Vec<_> = journal
        .tombstones()
        .expect("lists")
        .into_iter()
        .map(|stone| {
            (
                stone.visit,
                stone.reason,
                stone.entry_count,
                stone.last_hash,
            )
        })
        .collect();
    let all = serde_json::json!({ "visits": visits, "forgotten": forgotten });
    serde_json::to_string_pretty(&all).expect("text") + "\n"
}

#[test]
fn journals_of_every_format_fold_as_they_always_did() {
    let mut count = 0;
    for folder in std::fs::read_dir(JOURNALS).expect("lists") {
        let folder = folder.expect("an entry").path();
        let data = tempfile::tempdir().expect("a folder");
        journal::restore(&folder.join("journal.sqlite"), data.path()).expect("restored");
        assert_eq!(journal::verify(data.path()).expect("verified").problems, []);
        let found = summary(&Journal::open_reader(data.path()).expect("opens"));
        compare(&found, &folder.join("summary.json"));
        // It can be written on.
        Journal::open(data.path()).expect("opens for writing");
        count += 1;
    }
    assert!(count > 0);
}

fn compare(found: &str, file: &Path) {
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::write(file, found).expect("written");
    }
    let expected = std::fs::read_to_string(file).expect("a summary");
    assert!(
        found == expected,
        "{} differs; found:\n{found}",
        file.display()
    );
}
