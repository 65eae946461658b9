//! Nothing that was told as saved is ever lost, nor another value shown: each fault tried, counted and told.
//!
//! Each file tries one family of faults and gives rows of the table in `docs/durability.md`. The quick tests run
//! with every `cargo test`; the table is made afresh, with many more tries, by
//! `cargo test --test program -- --ignored the_table_is_made_afresh --nocapture`. Broken off, the same command goes on with
//! the family that was not whole.

mod copies;
mod damaged;
mod disk;
mod doors;
mod forged;
mod formats;
mod grown;
mod killed;
mod shim;
mod simulated;
mod writer;

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::time::Instant;

use regex::Regex;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// What the people at the table are told. Shown by `failing`, `large` and `dying` in `tests/live`.
const CONVERSATION: &str = "\n## While people work\n\n\
What the disk does not take is told before all that waits, and interrupts what is being said: three low blasts, \
\"Not saved! Write it on paper.\" and whether the disk is full, takes no writes or answers with an error. It is said \
again until somebody says \"confirm\", or touches \"Written down\" on the page.\n\
What is said or pressed meanwhile is kept in memory, in order, and told as not saved; \"repeat\" reads it out. \
Nothing can be confirmed while the disk takes nothing.\n\
The disk is tried again after 1, 2, 4, 8 and 16 seconds and then every 30. When it takes it again, that is said, what \
was kept is entered under the time at which it was said, and read back.\n\
Who ends the program before that hears what is not saved, sees it as a list, and the exit code is 1.\n\
A press on the page is answered as saved (200), refused (409) or not saved (507).\n\
Entries that the disk lost are told before anything else at the start, and again when the visit is finished.\n\
What is wrong with a journal of more than 64 MB is looked for while people work; damage is told aloud and on the page \
until somebody says that they heard it, and the damaged visit is named on the terminal, while the good ones are worked \
with.\n\
Where the part of the program that hears dies, that is said aloud; where the part that speaks dies, it stands on the \
terminal. The exit code is 1.\n";

/// How much to try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    Quick,
    Long,
}

impl Effort {
    pub fn choose<T>(self, quick: T, long: T) -> T {
        match self {
            Self::Quick => quick,
            Self::Long => long,
        }
    }
}

/// One line of the table.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Row {
    pub fault: String,
    /// How often the fault was made.
    pub tried: u64,
    /// Entries told as saved by then.
    pub saved: u64,
    /// Of those: not there later, and nobody was told.
    pub lost: u64,
    /// What the user is told.
    pub told: String,
}

impl Row {
    pub fn new(fault: &str) -> Self {
        Self {
            fault: fault.to_owned(),
            tried: 0,
            saved: 0,
            lost: 0,
            told: String::new(),
        }
    }

    /// The first message of its kind stands for all.
    pub fn tell(&mut self, message: &str) {
        if self.told.is_empty() {
            // Folders of one run mean nothing to a reader.
            let folder = Regex::new(r"/[^ ;:]*(sulcus-simulated-\d+|\.tmp\w+)").expect("a pattern");
            let line = message.trim().lines().next().unwrap_or_default();
            self.told = folder.replace_all(line, "DIR").into_owned();
        }
    }

    #[track_caller]
    pub fn require_nothing_lost(&self) {
        assert_eq!(self.lost, 0, "{self:?}");
        assert!(self.tried > 0, "never tried: {self:?}");
    }
}

/// Tells loudly that something could not be tried here; a failure where all tests must run.
pub fn skip(what: &str, why: &str) {
    assert!(
        std::env::var_os("SULCUS_TEST_ALL").is_none(),
        "{what}: {why}"
    );
    println!("SKIPPED: {what}: {why}");
}

/// Rows that an earlier run of this same program and these same tests made: a run that was broken off goes on.
struct Made {
    file: PathBuf,
    families: BTreeMap<String, Vec<Row>>,
}

impl Made {
    fn open() -> Self {
        let mut hash = Sha256::new();
        for program in [
            std::env::current_exe().expect("the tests are a file"),
            PathBuf::from(env!("CARGO_BIN_EXE_sulcus")),
        ] {
            hash.update(std::fs::read(program).expect("a program can be read"));
        }
        let name: String = hash.finalize()[..8]
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect();
        let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("durability-{name}.json"));
        let families = std::fs::read(&file).map_or_else(
            |_| BTreeMap::new(),
            |text| serde_json::from_slice(&text).expect("rows of an earlier run; remove the file"),
        );
        Self { file, families }
    }

    fn rows(&mut self, family: &str, make: impl FnOnce() -> Vec<Row>) -> Vec<Row> {
        if let Some(rows) = self.families.get(family) {
            return rows.clone();
        }
        let rows = make();
        self.families.insert(family.to_owned(), rows.clone());
        let text = serde_json::to_vec(&self.families).expect("rows");
        std::fs::write(&self.file, text).expect("written");
        rows
    }
}

#[test]
#[ignore = "some forty minutes; writes docs/durability.md"]
fn the_table_is_made_afresh() {
    let began = Instant::now();
    let effort = Effort::Long;
    let mut made = Made::open();
    let mut rows = Vec::new();
    let mut add = |family: &str, make: &dyn Fn() -> Vec<Row>| {
        let more = made.rows(family, make);
        for row in &more {
            println!(
                "{:>6} s  {}: {} tried, {} saved, {} lost; {}",
                began.elapsed().as_secs(),
                row.fault,
                row.tried,
                row.saved,
                row.lost,
                row.told
            );
        }
        rows.extend(more);
    };
    add("operations", &|| simulated::every_operation(effort));
    add("seeds", &|| simulated::many_seeds(effort));
    add("kills", &|| vec![killed::again_and_again(effort)]);
    add("calls", &|| shim::failing_calls(effort));
    add("bytes", &|| damaged::bytes(effort));
    add("salvage", &|| damaged::salvaged(effort));
    add("doors", &|| vec![doors::random_damages(effort)]);
    add("disk", &|| disk::all(effort));
    add("copies", &|| vec![copies::backups_while_writing(effort)]);
    let figures = disk::eight_hours(effort);
    let lost: u64 = rows.iter().map(|row| row.lost).sum();
    std::fs::write(
        concat!(env!("CARGO_MANIFEST_DIR"), "/docs/durability.md"),
        page(&rows, &figures),
    )
    .expect("written");
    // The next run is one of its own.
    std::fs::remove_file(&made.file).expect("removed");
    assert_eq!(lost, 0, "see docs/durability.md");
}

fn page(rows: &[Row], figures: &[String]) -> String {
    let mut page = String::from(
        "# What becomes of saved entries when things go wrong\n\n\
         An entry counts as saved once the program said so: spoken, shown, or printed by the writer that the tests drive.\n\
         Lost means: it was said to be saved, was not there after the next start, and nobody was told.\n\
         Made by `cargo test --test program -- --ignored the_table_is_made_afresh --nocapture`; do not edit by hand.\n\n\
         | fault | times tried | entries saved | lost | how it is told |\n\
         | --- | ---: | ---: | ---: | --- |\n",
    );
    for row in rows {
        let Row {
            fault,
            tried,
            saved,
            lost,
            told,
        } = row;
        let told = told.replace('|', "/").replace('\n', " ");
        writeln!(page, "| {fault} | {tried} | {saved} | {lost} | {told} |").expect("a string");
    }
    page += "\n## Eight hours at once\n\n\
         A writer without pauses, as many appends as eight hours of talk give (one every two seconds).\n\n\
         | appends | memory, kB | open files |\n| ---: | ---: | ---: |\n";
    for line in figures {
        writeln!(page, "| {} |", line.replace(' ', " | ")).expect("a string");
    }
    page += CONVERSATION;
    page += "\n## What is not promised\n\n\
         The simulated disk keeps what was synced.\n\
         A real disk that says it synced and did not can lose the newest entries; the mark beside the journal then tells which.\n\
         A kill of the process leaves the memory of the machine as it is, so it cannot show a missing sync: the simulated power cuts do.\n\
         No plug was pulled on real hardware.\n";
    page
}
