//! Every door tells a loss: each way in which the end of a journal is lost, tried with each command of the built
//! program, before and after the loss is on record. And random damage to the files: none untold.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Output, Stdio};

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use sulcus::record::Journal;
use sulcus::record::journal::{FILE, LOG_FILE, MARK_FILE};
use uuid::Uuid;

use super::writer::{Saved, stderr, stdout, sulcus, writer};
use super::{Effort, Row};
use crate::program::has_models;

/// How the end of a journal is lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    LogCut,
    LogRemoved,
    /// An older state of the database lies under the newer mark.
    RolledBack,
}

impl Way {
    const ALL: [Self; 3] = [Self::LogCut, Self::LogRemoved, Self::RolledBack];
}

/// Writes until so many entries are told as saved, and is killed: the newest stand in the log alone.
fn write_and_kill(data: &Path, seed: u64, count: u64, saved: &mut Saved) {
    let mut child = writer(data, seed, u64::MAX)
        .stdout(Stdio::piped())
        .spawn()
        .expect("the built program starts");
    let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    let wanted = saved.count() + count;
    while saved.count() < wanted {
        saved.hear(&lines.next().expect("more lines").expect("text"));
    }
    child.kill().expect("killed");
    child.wait().expect("ended");
    lines
        .map_while(Result::ok)
        .for_each(|line| saved.hear(&line));
}

/// A data folder with what was told as saved.
struct Place {
    folder: tempfile::TempDir,
    saved: Saved,
}

impl Place {
    fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    fn copy(&self) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        copy_folder(&self.data(), &folder.path().join("data"));
        Self {
            folder,
            saved: self.saved.clone(),
        }
    }

    fn run(&self, arguments: &[&str]) -> Output {
        sulcus(&self.data())
            .args(arguments)
            .current_dir(self.folder.path())
            .output()
            .expect("starts")
    }

    /// The newest visit of which something was saved.
    fn visits(&self) -> Vec<Uuid> {
        let mut visits: Vec<Uuid> = self.saved.0.keys().map(|(visit, _)| *visit).collect();
        visits.dedup();
        visits
    }
}

fn copy_folder(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("made");
    for entry in std::fs::read_dir(from).expect("lists") {
        let path = entry.expect("an entry").path();
        if path.is_file() {
            std::fs::copy(&path, to.join(path.file_name().expect("named"))).expect("copied");
        }
    }
}

/// A journal whose database holds an early part, and whose log holds the rest.
fn killed() -> Place {
    let folder = tempfile::tempdir().expect("a folder");
    let mut place = Place {
        folder,
        saved: Saved::default(),
    };
    let data = place.data();
    write_and_kill(&data, 11, 60, &mut place.saved);
    place
}

fn damaged(way: Way) -> Place {
    let mut place = killed();
    let data = place.data();
    match way {
        Way::LogCut => {
            let log = data.join(LOG_FILE);
            let bytes = std::fs::read(&log).expect("a log");
            std::fs::write(&log, &bytes[..bytes.len() / 2]).expect("cut");
        }
        Way::LogRemoved => {
            std::fs::remove_file(data.join(LOG_FILE)).expect("removed");
        }
        Way::RolledBack => {
            let before = place.copy();
            write_and_kill(&data, 12, 60, &mut place.saved);
            for name in [FILE, LOG_FILE] {
                std::fs::copy(before.data().join(name), data.join(name)).expect("laid back");
            }
        }
    }
    // The index of the log belongs to the log that was.
    let _ = std::fs::remove_file(data.join("journal.sqlite-shm"));
    place
}

/// How many saved entries of a visit are not there, by what the export of it holds.
fn missing(place: &Place, visit: Uuid) -> usize {
    let output = place.run(&["export", &visit.to_string()]);
    let text = stdout(&output);
    place
        .saved
        .0
        .range((visit, 0)..=(visit, u64::MAX))
        .filter(|(_, hash)| !text.contains(&format!("\"hash\": \"{hash}\"")))
        .count()
}

#[track_caller]
fn require_told(output: &Output, what: &str) {
    let text = stdout(output) + &stderr(output);
    assert!(
        text.contains("LOST") && text.contains("saved entries are lost"),
        "{what} does not tell:\n{text}"
    );
    assert_eq!(output.status.code(), Some(1), "{what}:\n{text}");
}

/// A journal of which the log held everything is empty without it, and says so in other words.
#[track_caller]
fn require_told_or_empty(output: &Output, what: &str) {
    let text = stdout(output) + &stderr(output);
    if text.contains("entries had been saved in it") {
        assert_eq!(output.status.code(), Some(1), "{what}:\n{text}");
    } else {
        require_told(output, what);
    }
}

/// The page's server, started and ended again; what it said before it was ready.
fn serve(place: &Place) -> Output {
    let mut child = sulcus(&place.data())
        .args(["serve", "--port", "0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("starts");
    let mut out = BufReader::new(child.stdout.take().expect("piped"));
    let mut line = String::new();
    // Up to the line that tells the address, or the end where it does not come so far.
    while out.read_line(&mut line).expect("text") > 0 && !line.contains("Page:") {}
    // By its own way to end, so that the exit code is its own.
    let id = i32::try_from(child.id()).expect("small");
    let _ = std::process::Command::new("kill")
        .args(["-INT", &id.to_string()])
        .status();
    child.wait_with_output().expect("ends")
}

/// A second of silence, 16 kHz, mono, 16 bits: the form of a WAV file as published.
fn silence() -> Vec<u8> {
    let data_bytes = 32_000_u32;
    let mut wav = b"RIFF".to_vec();
    wav.extend((36 + data_bytes).to_le_bytes());
    wav.extend(b"WAVEfmt ");
    wav.extend(16_u32.to_le_bytes());
    wav.extend([1_u16, 1].map(u16::to_le_bytes).concat());
    wav.extend([16_000_u32, 32_000].map(u32::to_le_bytes).concat());
    wav.extend([2_u16, 16].map(u16::to_le_bytes).concat());
    wav.extend(b"data");
    wav.extend(data_bytes.to_le_bytes());
    wav.resize(wav.len() + data_bytes as usize, 0);
    wav
}

#[test]
fn every_door_tells_a_loss_that_nobody_told_before() {
    for way in Way::ALL {
        let place = damaged(way);
        let all = place.visits();
        let newest = all.last().expect("a visit").to_string();
        for arguments in [
            &["visits"][..],
            &["show"],
            &["export", "last"],
            &["report", "last", "--format", "html"],
            &["plan", "last"],
            &["compare", "last"],
            &["doctor", "--seconds", "0.2"],
            &["backup", "copy"],
            &["verify"],
            &["salvage", "out"],
            &["finish", "last", "--anyway"],
            &["addendum", "last", "a later word"],
            &["reopen", "last", "--reason", "to look once more"],
            &["push", "last", "--to", "."],
            // It tells before it finds that it has no microphone; aloud, with one: tests/live/failing.rs.
            &[
                "listen",
                "--species",
                "dog",
                "--device",
                "no such microphone",
            ],
        ] {
            let output = place.copy().run(arguments);
            let text = stdout(&output) + &stderr(&output);
            let what = format!("{way:?}: {arguments:?} on visit {newest}:\n{text}");
            match arguments[0] {
                // It saves what it can, and tells the rest by numbers.
                "salvage" => assert!(
                    text.contains("lost") || text.contains("proven and kept"),
                    "{what}"
                ),
                "verify" => {
                    assert!(
                        text.contains("had been saved and is gone")
                            || text.contains("had been saved in it")
                            || text.contains("it is empty"),
                        "{what}"
                    );
                    assert!(!text.contains("whole: every"), "{what}");
                    assert_eq!(output.status.code(), Some(1), "{what}");
                }
                "doctor" => assert!(
                    text.contains("saved entries are lost")
                        || text.contains("had been saved in it"),
                    "{what}"
                ),
                _ => require_told_or_empty(&output, &what),
            }
        }
        let output = serve(&place.copy());
        let text = stdout(&output) + &stderr(&output);
        assert!(
            text.contains("saved entries are lost")
                || text.contains("entries had been saved in it"),
            "{way:?}: serve: {text}"
        );
        // However early the interrupt comes, the end is the program's own.
        assert_eq!(output.status.code(), Some(1), "{way:?}: serve: {text}");
        if has_models("every_door_tells_a_loss_that_nobody_told_before") {
            let place = place.copy();
            let sound = place.folder.path().join("silence.wav");
            std::fs::write(&sound, silence()).expect("written");
            let output = sulcus(&place.data())
                .current_dir(crate::program::root())
                .arg("replay")
                .arg(sound)
                .args(["--species", "dog"])
                .output()
                .expect("starts");
            require_told_or_empty(&output, &format!("{way:?}: replay"));
        }
    }
}

/// Once told by an entry it stays part of the visit: at every door, in every copy, for ever.
#[test]
fn a_loss_on_record_is_told_for_ever() {
    let place = damaged(Way::LogCut);
    let visit = *place
        .visits()
        .iter()
        .find(|visit| missing(&place, **visit) > 0)
        .expect("a visit that lost something");
    let name = visit.to_string();
    let lost = missing(&place, visit);
    assert!(lost > 0);
    // A reader changes nothing: told again and again until a writer has put it on record.
    let mark = std::fs::read(place.data().join(MARK_FILE)).expect("a mark");
    require_told(&place.run(&["visits"]), "visits");
    require_told(&place.run(&["show", &name]), "show");
    assert_eq!(
        std::fs::read(place.data().join(MARK_FILE)).expect("a mark"),
        mark,
        "a reader lowered the mark"
    );
    // The first writer puts it on record, and ends with 1 although its work is done.
    let output = place.run(&["finish", &name, "--anyway"]);
    require_told(&output, "finish");
    assert!(stdout(&output).contains("finished"), "{output:?}");
    for round in 0..2 {
        let show = place.run(&["show", &name]);
        assert_eq!(show.status.code(), Some(0), "round {round}: {show:?}");
        assert!(stderr(&show).contains("LOST earlier"), "{show:?}");
        let visits = place.run(&["visits"]);
        assert_eq!(visits.status.code(), Some(0), "{visits:?}");
        assert!(
            stdout(&visits).contains("entries LOST by the disk"),
            "{visits:?}"
        );
        let verify = place.run(&["verify"]);
        assert_eq!(verify.status.code(), Some(1), "{verify:?}");
        assert!(stdout(&verify).contains("not whole"), "{verify:?}");
        assert!(!stdout(&verify).contains("whole: every"), "{verify:?}");
        let export = place.run(&["export", &name]);
        let document: serde_json::Value =
            serde_json::from_str(&stdout(&export)).expect("a document");
        assert!(
            document["losses"][0]["entry"]
                .as_u64()
                .is_some_and(|entry| entry > 0),
            "{document}"
        );
        let report = place.run(&["report", &name, "--format", "html"]);
        assert!(stdout(&report).contains("LOST BY THE DISK"), "{report:?}");
        for arguments in [&["plan", &name][..], &["compare", &name], &["doctor"]] {
            let output = place.run(arguments);
            let text = stdout(&output) + &stderr(&output);
            assert!(text.contains("LOST"), "{arguments:?}: {text}");
        }
        // More work changes nothing about it.
        let output = place.run(&["addendum", &name, "looked through once more"]);
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        assert!(stderr(&output).contains("LOST earlier"), "{output:?}");
    }
    let backup = place.run(&["backup", "copy"]);
    assert_eq!(backup.status.code(), Some(0), "{backup:?}");
    assert!(stdout(&backup).contains("LOST earlier"), "{backup:?}");
    let verify = place.run(&["verify", "copy"]);
    assert!(stdout(&verify).contains("not whole"), "{verify:?}");
    let salvage = place.run(&["salvage", "out"]);
    assert_eq!(salvage.status.code(), Some(1), "{salvage:?}");
    assert!(stdout(&salvage).contains("LOST"), "{salvage:?}");
    let out = place.folder.path().join("out");
    let verify = sulcus(&out).arg("verify").output().expect("starts");
    assert!(stdout(&verify).contains("not whole"), "{verify:?}");
    // The export of the visit carries it to wherever it is taken in.
    let exported = place.run(&["export", &name, "--out", "visit.json"]);
    assert!(exported.status.success(), "{exported:?}");
    let other = place.folder.path().join("other");
    let file = place.folder.path().join("visit.json");
    let import = sulcus(&other)
        .arg("import")
        .arg(&file)
        .output()
        .expect("starts");
    assert!(import.status.success(), "{import:?}");
    let verify = sulcus(&other).arg("verify").output().expect("starts");
    assert!(stdout(&verify).contains("not whole"), "{verify:?}");
}

/// Visits that are gone as a whole are named, those that the mark only counts are counted, and the visits list keeps
/// telling both.
#[test]
fn whole_visits_that_are_gone_are_told_for_ever() {
    let place = damaged(Way::RolledBack);
    require_told(&place.run(&["visits"]), "visits");
    let journal = Journal::open(&place.data()).expect("opens");
    let gone: Vec<Uuid> = journal
        .lost_ends()
        .iter()
        .filter(|lost| lost.held == 0)
        .map(|lost| lost.visit)
        .collect();
    assert!(!gone.is_empty());
    drop(journal);
    for _ in 0..2 {
        let visits = place.run(&["visits"]);
        assert_eq!(visits.status.code(), Some(0), "{visits:?}");
        let verify = place.run(&["verify"]);
        assert_eq!(verify.status.code(), Some(1), "{verify:?}");
        for visit in &gone {
            assert!(stdout(&visits).contains(&visit.to_string()), "{visits:?}");
            assert!(stdout(&verify).contains(&visit.to_string()), "{verify:?}");
        }
    }
}

/// A change to one of the files, by dice.
fn damage(place: &Place, older: &Place, rng: &mut ChaCha8Rng) -> String {
    let name = [FILE, LOG_FILE][rng.random_range(0..2)];
    let path = place.data().join(name);
    let mut bytes = std::fs::read(&path).expect("a file");
    let kind = rng.random_range(0..7);
    let at = rng.random_range(0..bytes.len());
    let end = (at + rng.random_range(1..20_000)).min(bytes.len());
    match kind {
        0 => bytes.truncate(at),
        1 => bytes[at] ^= 1 << rng.random_range(0..8),
        2 => bytes[at..end].fill(0),
        3 => rng.fill(&mut bytes[at..end]),
        4 => {
            bytes.drain(at..end);
        }
        5 => bytes = std::fs::read(older.data().join(name)).unwrap_or_default(),
        _ => bytes.clear(),
    }
    std::fs::write(&path, bytes).expect("written");
    let _ = std::fs::remove_file(place.data().join("journal.sqlite-shm"));
    format!("{name}, kind {kind}, bytes {at} to {end}")
}

pub fn random_damages(effort: Effort) -> Row {
    let mut row =
        Row::new("random damage to the database or its log, by seed, seen by the commands");
    let older = killed();
    let mut whole = older.copy();
    write_and_kill(&whole.data(), 12, 60, &mut whole.saved);
    let visits = whole.visits();
    for seed in 0..effort.choose(30, 300) {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let place = whole.copy();
        let what = damage(&place, &older, &mut rng);
        let listed = place.run(&["visits"]);
        let gone: usize = visits.iter().map(|visit| missing(&place, *visit)).sum();
        let text = stdout(&listed) + &stderr(&listed);
        let is_told = listed.status.code() == Some(1)
            && ["LOST", "DAMAGED", "damaged", "had been saved", "cannot"]
                .iter()
                .any(|word| text.contains(word));
        // Told by the list, or by the very visit that is asked for.
        let is_told_by_visit = || {
            visits
                .iter()
                .filter(|visit| missing(&place, **visit) > 0)
                .all(|visit| {
                    let shown = place.run(&["show", &visit.to_string()]);
                    shown.status.code() == Some(1) && !stderr(&shown).is_empty()
                })
        };
        println!("seed {seed}: {what}: {gone} entries not there, told: {is_told}");
        row.tried += 1;
        row.saved += whole.saved.count();
        if gone > 0 && !is_told && !is_told_by_visit() {
            println!("seed {seed}: UNTOLD: {text}");
            row.lost += gone as u64;
        }
        if gone > 0 {
            let line = stderr(&listed)
                .lines()
                .next()
                .unwrap_or_default()
                .to_owned();
            row.tell(&line);
        }
    }
    row
}

/// The long form of the test below, without the rest of the table.
#[test]
#[ignore = "minutes; prints its row"]
fn three_hundred_random_damages_are_told() {
    let row = random_damages(Effort::Long);
    println!("{row:?}");
    row.require_nothing_lost();
}

#[test]
fn no_random_damage_is_untold() {
    random_damages(Effort::Quick).require_nothing_lost();
}
