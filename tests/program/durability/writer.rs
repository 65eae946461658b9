//! The built program as a writer of invented examinations (`sulcus simulate --writer`), and the oracle on what it
//! leaves: each entry that it told as saved is there, with the same hash.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

use sulcus::record::Journal;
use uuid::Uuid;

/// The program with a data folder.
pub fn sulcus(data: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sulcus"));
    command
        .arg("--data")
        .arg(data)
        .env_remove("SULCUS_DATA")
        .env_remove("SULCUS_MODELS");
    command
}

pub fn writer(data: &Path, seed: u64, append_count: u64) -> Command {
    let mut command = sulcus(data);
    command
        .args(["simulate", "--writer"])
        .args(["--seed", &seed.to_string()])
        .args(["--appends", &append_count.to_string()]);
    command
}

pub fn stdout(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

pub fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// What was told as saved: hash by visit and number.
#[derive(Debug, Default, Clone)]
pub struct Saved(pub BTreeMap<(Uuid, u64), String>);

impl Saved {
    pub fn count(&self) -> u64 {
        self.0.len() as u64
    }

    /// Takes in a line of the writer. A line that a kill cut short was not told.
    pub fn hear(&mut self, line: &str) {
        let mut words = line.split(' ');
        if words.next() != Some("saved") {
            return;
        }
        let (Some(visit), Some(number), Some(hash)) = (words.next(), words.next(), words.next())
        else {
            return;
        };
        let (Ok(visit), Ok(number), 64) = (visit.parse(), number.parse(), hash.len()) else {
            return;
        };
        let before = self.0.insert((visit, number), hash.to_owned());
        assert_eq!(before, None, "entry {number} of {visit} was told twice");
    }

    pub fn hear_all(&mut self, text: &str) {
        text.lines().for_each(|line| self.hear(line));
    }

    /// How many are not there. Everything that is there must be whole besides.
    #[track_caller]
    pub fn lost(&self, journal: &Journal) -> u64 {
        let mut lost = 0;
        let visits: std::collections::BTreeSet<Uuid> =
            self.0.keys().map(|(visit, _)| *visit).collect();
        for visit in visits {
            let entries = journal.entries(visit).expect("a whole visit");
            lost += self
                .0
                .range((visit, 0)..=(visit, u64::MAX))
                .filter(|((_, number), hash)| {
                    let at = usize::try_from(*number - 1).expect("small");
                    entries.get(at).map(|entry| &entry.hash) != Some(*hash)
                })
                .count() as u64;
        }
        lost
    }
}

/// Opens the journal as the next start would, and compares.
#[track_caller]
pub fn lost_after_start(data: &Path, saved: &Saved) -> u64 {
    let journal = Journal::open(data).expect("opens");
    assert_eq!(journal.lost_ends(), [], "told as lost");
    let lost = saved.lost(&journal);
    drop(journal);
    let report = sulcus::record::journal::verify(data).expect("can be verified");
    assert_eq!(report.problems, [], "verify");
    lost
}
