//! The disk fails under the program at the table: what is then spoken (in the air, by the recorded loudspeaker), shown
//! and answered, the exit code, and what the journal holds afterwards. The faults are real failures of the system's
//! calls, laid under the built program by `tests/shim/fail.c`, and last as long as a file exists.

use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

use sulcus::record::Standing;
use sulcus::terms::Site;
use sulcus::voice;

use crate::listen::{NEW, PATIENCE, Page, TRIES, Table, depths, kept_sound};
use crate::models::models;
use crate::sound_server::{Recording, SoundServer};

const EIO: u32 = 5;
const ENOSPC: u32 = 28;
const EROFS: u32 = 30;

/// A disk that can be made to fail.
struct FailingDisk {
    library: PathBuf,
    switch: PathBuf,
    call: &'static str,
    nth: u32,
    errno: u32,
}

impl FailingDisk {
    /// `call` fails from its `nth` time on, while the fault lasts. `None`, with a printed line, without a compiler.
    fn build(folder: &Path, call: &'static str, nth: u32, errno: u32) -> Option<Self> {
        let library = folder.join("fail.so");
        let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/shim/fail.c");
        let output = Command::new("cc")
            .args(["-shared", "-fPIC", "-O1", "-o"])
            .arg(&library)
            .arg(source)
            .arg("-ldl")
            .output();
        if !output.is_ok_and(|output| output.status.success()) {
            println!("skipped: no C compiler; apt-get install gcc libc6-dev");
            return None;
        }
        Some(Self {
            library,
            switch: folder.join("the-disk-fails"),
            call,
            nth,
            errno,
        })
    }

    fn variables(&self, data: &Path) -> Vec<(&'static str, String)> {
        let text = |path: &Path| path.to_str().expect("a plain name").to_owned();
        vec![
            ("LD_PRELOAD", text(&self.library)),
            ("SHIM_FOLDER", text(data)),
            ("SHIM_CALL", self.call.to_owned()),
            ("SHIM_NTH", self.nth.to_string()),
            ("SHIM_ERRNO", self.errno.to_string()),
            ("SHIM_SWITCH", text(&self.switch)),
        ]
    }

    fn fails(&self) {
        std::fs::write(&self.switch, "").expect("written");
    }

    fn works(&self) {
        std::fs::remove_file(&self.switch).expect("removed");
    }
}

/// A table on a disk that can fail.
fn open(
    call: &'static str,
    nth: u32,
    errno: u32,
    arguments: &[&str],
) -> Option<(Table, FailingDisk)> {
    models()?;
    let server = SoundServer::start_with_headset()?;
    let disk = FailingDisk::build(server.folder(), call, nth, errno)?;
    let variables = disk.variables(&server.folder().join("visits"));
    let arguments = [arguments, &["--headset", "--no-check"]].concat();
    let table = Table::open_with_variables(server, "listen", &arguments, &variables)?;
    Some((table, disk))
}

impl Table {
    /// Asks the program to end, as a shutdown does, and waits for it.
    pub(crate) fn end(&mut self) -> ExitStatus {
        terminate(&self.program);
        let started = Instant::now();
        self.ended_since(started)
    }

    /// Waits for the end that comes by itself.
    pub(crate) fn ended(&mut self) -> ExitStatus {
        self.ended_since(Instant::now())
    }

    fn ended_since(&mut self, started: Instant) -> ExitStatus {
        while started.elapsed() < 2 * PATIENCE {
            if let Some(status) = self.program.try_wait().expect("its state") {
                // Up to the end of what it told.
                self.told.extend(self.lines.iter());
                return status;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        panic!("it does not end:\n{}", self.told.join("\n"));
    }

    /// Says a sentence until its words are told in a line with `mark`.
    pub(crate) fn say_until(&mut self, sentence: &str, mark: &str, words: &str) {
        for _ in 0..TRIES {
            self.say(sentence);
            let line = self.expect_one_of(&[&[mark, words], &["----", ""]]);
            if line.contains(mark) {
                return;
            }
        }
        panic!("{sentence} was not understood:\n{}", self.told.join("\n"));
    }
}

fn terminate(program: &Child) {
    let status = Command::new("kill")
        .arg(program.id().to_string())
        .status()
        .expect("kill runs");
    assert!(status.success());
}

/// Samples a second in which phrases are looked for: the voice's lower part, which is its loudest.
const RATE_HZ: usize = 2_000;

/// A quarter of a second: a syllable or two.
const PIECE: usize = RATE_HZ / 4;

/// So many samples, 0.4 s, may be missing between two pieces.
const GAP: usize = RATE_HZ * 2 / 5;

/// So many samples, 20 ms, the next may begin too early: no two clocks are the same.
const EARLY: usize = RATE_HZ / 50;

/// A phrase counts as spoken from this likeness on. Of 54 phrases of the voice, held against the recorded air of one
/// conversation on a busy machine, the nine that were said in it gave 0.78 to 0.98, the others 0.64 at most; beside two
/// builds one that was said gave 0.709.
const LIKENESS_MIN: f32 = 0.68;

fn lower_part(samples: &[f32], rate_hz: usize) -> Vec<f32> {
    (0..samples.len() * RATE_HZ / rate_hz)
        .map(|at| &samples[at * rate_hz / RATE_HZ..(at + 1) * rate_hz / RATE_HZ])
        .map(|part| part.iter().sum::<f32>() / part.len() as f32)
        .collect()
}

/// What was in the air, and the sound of the phrases that may have been spoken in it.
pub(crate) struct Air {
    samples: Vec<f32>,
    voice: voice::piper::PiperVoice,
    /// The program's own: the voice says a phrase a little differently each time it makes it.
    kept: voice::cache::SoundCache,
}

impl Air {
    pub(crate) fn of(recording: Recording, models: &Path) -> Self {
        let samples: Vec<f32> = recording
            .samples()
            .into_iter()
            .map(|sample| f32::from(sample) / 32_768.0)
            .collect();
        let voice = voice::piper::PiperVoice::open(models).expect("the voice");
        let identity = voice::Synthesiser::identity(&voice).to_owned();
        Self {
            samples: lower_part(&samples, 16_000),
            kept: voice::cache::SoundCache::open(Some(&kept_sound()), &identity, u64::MAX),
            voice,
        }
    }

    /// When this phrase was spoken first, in seconds; none where it was not.
    pub(crate) fn spoken(&mut self, phrase: &str) -> Option<f32> {
        let sound = self.kept.get(phrase).unwrap_or_else(|| {
            let sound = voice::Synthesiser::synthesise(&mut self.voice, phrase).expect("speech");
            sound.into()
        });
        let wanted = lower_part(&sound.samples, sound.rate_hz as usize);
        let likeness = likeness(&self.samples, &wanted);
        let best = likeness.iter().copied().fold(0.0, f32::max);
        let first = likeness.iter().position(|found| *found >= LIKENESS_MIN);
        let what = if first.is_some() {
            "spoken"
        } else {
            "not spoken"
        };
        println!("{phrase:?}: {what}, likeness {best:.2}");
        first.map(|at| at as f32 / RATE_HZ as f32)
    }
}

/// How alike the sound is to what is wanted, up to a piece that begins with each sample, 0 to 1: the mean of the pieces,
/// each of which follows the one before it, at once or after a gap: a busy machine plays and records with gaps.
fn likeness(heard: &[f32], wanted: &[f32]) -> Vec<f32> {
    let energy = |samples: &[f32]| samples.iter().map(|sample| sample * sample).sum::<f32>();
    let mean = energy(wanted) * PIECE as f32 / wanted.len() as f32;
    let mut sum: Vec<f32> = Vec::new();
    let (mut count, mut last) = (0, 0);
    for (at, piece) in wanted.chunks_exact(PIECE).enumerate() {
        let of_piece = energy(piece);
        // Pauses are like any other.
        if of_piece < 0.3 * mean {
            continue;
        }
        let at = at * PIECE;
        let mut fits: Vec<f32> = heard
            .windows(PIECE)
            .map(|part| {
                let (mut product, mut of_part) = (0.0, 0.0);
                for (a, b) in part.iter().zip(piece) {
                    product += a * b;
                    of_part += a * a;
                }
                if of_part < of_piece / 64.0 {
                    return 0.0;
                }
                product.abs() / (of_part * of_piece).sqrt()
            })
            .collect();
        if count > 0 {
            let before = newest_maximum(&sum, GAP + EARLY);
            let distance = at - last;
            for (from, fit) in fits.iter_mut().enumerate() {
                *fit += (from + EARLY)
                    .checked_sub(distance)
                    .map_or(0.0, |newest| before[newest.min(before.len() - 1)]);
            }
        }
        (sum, last) = (fits, at);
        count += 1;
    }
    for fit in &mut sum {
        *fit /= count as f32;
    }
    sum
}

/// The greatest of the last `length` values, at each.
fn newest_maximum(values: &[f32], length: usize) -> Vec<f32> {
    // Places of values that nothing newer exceeds.
    let mut places: VecDeque<usize> = VecDeque::new();
    (0..values.len())
        .map(|at| {
            while places
                .back()
                .is_some_and(|back| values[*back] <= values[at])
            {
                places.pop_back();
            }
            places.push_back(at);
            if places[0] + length <= at {
                places.pop_front();
            }
            values[places[0]]
        })
        .collect()
}

fn has_buccal(table: &Table) -> Vec<(Site, u8)> {
    depths(&table.record())
        .into_iter()
        .map(|(_, site, mm, _)| (site, mm))
        .collect()
}

#[test]
fn one_fault_is_told_before_all_else_and_what_was_said_is_entered_when_the_disk_is_back() {
    let Some((mut table, disk)) = open("sync", 1, EIO, &NEW) else {
        return;
    };
    let recording = table.server.record();
    table.expect(&["said", "New visit"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    disk.fails();
    table.say_until(
        "Buccal, three two three.",
        "NOT SAVED",
        "buccal three two three",
    );
    table.expect(&["says", "Not saved!", "Write it on paper"]);
    table.expect(&["said", "Not saved!"]);
    disk.works();
    table.expect(&["the journal is open again"]);
    table.expect(&["said", "The disk is back"]);
    table.expect(&["said", "104, buccal, 3 2 3"]);
    // It was read back after it was saved, and may be confirmed.
    table.exchange("Confirm.", "confirm", "Confirmed");
    assert_eq!(table.end().code(), Some(0), "{}", table.told.join("\n"));
    let found = depths(&table.record());
    assert_eq!(
        found,
        [
            (104, Site::MesioBuccal, 3, Standing::Confirmed),
            (104, Site::Buccal, 2, Standing::Confirmed),
            (104, Site::DistoBuccal, 3, Standing::Confirmed),
        ]
    );
    let mut air = Air::of(recording, &table.models);
    let alarm = air.spoken("Not saved!").expect("the alarm is heard");
    assert!(air.spoken("Write it on paper.").expect("and what to do") > alarm);
    assert!(air.spoken("The disk is back.").expect("and its end") > alarm);
    assert_eq!(air.spoken("The vet decides."), None, "what was never said");
}

#[test]
fn a_full_disk_is_told_until_it_is_acknowledged_and_what_was_said_is_read_out_at_the_end() {
    let Some((mut table, disk)) = open("write", 1, ENOSPC, &NEW) else {
        return;
    };
    let recording = table.server.record();
    table.expect(&["said", "New visit"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    disk.fails();
    table.say_until(
        "Buccal, three two three.",
        "NOT SAVED",
        "buccal three two three",
    );
    for _ in 0..2 {
        table.expect(&["said", "Not saved!", "the disk is full"]);
    }
    table.say_until("Confirm.", "says", "Kept until the disk takes it");
    table.expect(&["said", "Kept until"]);
    table.say_until("Palatal, two two two.", "NOT SAVED", "palatal two two two");
    table.expect(&["said", "Not saved: palatal two two two"]);
    let status = table.end();
    let told = table.told.join("\n");
    assert_eq!(status.code(), Some(1), "{told}");
    let list = "To be written on paper: buccal three two three, palatal two two two";
    assert!(told.contains(list), "{told}");
    assert!(
        has_buccal(&table).is_empty(),
        "nothing of it is in the journal"
    );
    let mut air = Air::of(recording, &table.models);
    for phrase in [
        "Not saved!",
        "The disk is full.",
        "To be written on paper:",
        "Buccal three two three.",
        "Palatal two two two.",
        "What was read out is not saved.",
    ] {
        assert!(air.spoken(phrase).is_some(), "{phrase} is heard");
    }
}

#[test]
fn a_fault_in_the_middle_of_a_breath_saves_all_of_it_or_nothing() {
    let Some((mut table, disk)) = open("write", 3, EROFS, &NEW) else {
        return;
    };
    table.expect(&["said", "New visit"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    disk.fails();
    table.say_until(
        "Mobility one, buccal three two three.",
        "NOT SAVED",
        "mobility one buccal three two three",
    );
    table.expect(&["says", "Not saved!", "the disk takes no writes"]);
    let before = table.record();
    assert_eq!(before.all().count(), 0, "not half of it");
    disk.works();
    table.expect(&["says", "The disk is back", "Saved: 4"]);
    table.expect(&["said", "104, mobility, 1, buccal, 3 2 3"]);
    assert_eq!(table.end().code(), Some(0));
    assert_eq!(table.record().all().count(), 4);
}

#[test]
fn a_lost_end_is_said_before_anything_else_and_again_when_the_visit_is_finished() {
    if models().is_none() {
        return;
    }
    let Some(server) = SoundServer::start_with_headset() else {
        return;
    };
    let arguments = [&NEW[..], &["--headset", "--no-check"]].concat();
    let Some(mut table) = Table::open_with_variables(server, "listen", &arguments, &[]) else {
        return;
    };
    table.expect(&["said", "New visit"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    table.exchange(
        "Buccal, three two three.",
        "buccal three two three",
        "3 2 3",
    );
    let before = table.kill();
    let log = table.data().join("journal.sqlite-wal");
    let length = std::fs::metadata(&log).expect("a log").len();
    let file = std::fs::File::options()
        .write(true)
        .open(&log)
        .expect("opens");
    file.set_len(length / 2).expect("cut");
    let recording = table.server.record();
    table.restart(&["--headset", "--no-check"]);
    let first = table.expect(&["says", ""]);
    assert!(first.contains("Saved entries were lost!"), "{first}");
    let told = table.told.join("\n");
    assert!(
        told.contains(&before.visit.to_string()),
        "which visit: {told}"
    );
    table.expect(&["said", "Saved entries were lost!"]);
    table.expect(&["said", "Visit goes on"]);
    // Nobody has said that it was heard.
    table.expect(&["said", "Saved entries were lost!"]);
    table.say_until("Confirm.", "heard", "confirm");
    table.say_until("Finish examination.", "says", "Finish all the same?");
    table.expect(&["said", "Finish all the same?"]);
    table.say_until("Confirm.", "says", "Examination finished");
    table.expect(&["said", "Saved entries were lost!"]);
    // What was found now ends it with 1, though all else was done.
    assert_eq!(table.end().code(), Some(1), "{}", table.told.join("\n"));
    let told = table.told.join("\n");
    assert!(told.contains("stderr: sulcus: LOST"), "{told}");
    let mut air = Air::of(recording, &table.models);
    let alarm = air.spoken("Saved entries were lost!").expect("it is heard");
    let visit = air
        .spoken("Visit goes on.")
        .expect("and what comes after it");
    assert!(alarm < visit, "{alarm} before {visit}");
    assert_eq!(table.record().losses.len(), 1, "it stays part of the visit");
}

pub(crate) fn press(page: &Page, press: &str) -> (u16, String) {
    let last = page.state()["visit"]["last"].as_u64().expect("a visit");
    let body = format!(r#"{{"seen":{last},"press":{press}}}"#);
    let answer = page.post("/api/press", &body);
    let status = answer.split(' ').nth(1).and_then(|code| code.parse().ok());
    (status.expect("a status"), answer)
}

pub(crate) const MOBILITY: &str =
    r#"{"do":"finding","with":{"tooth":104,"kind":"mobility","value":{"grade":2}}}"#;
const NO_FURCATION: &str = r#"{"do":"finding","with":{"tooth":104,"kind":"furcation","entrance":"mesial","value":{"grade":2}}}"#;
pub(crate) const ACKNOWLEDGE: &str = r#"{"do":"acknowledge"}"#;

/// Waits for what the page shows.
pub(crate) fn shown(
    page: &Page,
    what: &str,
    is: impl Fn(&serde_json::Value) -> bool,
) -> serde_json::Value {
    let started = Instant::now();
    loop {
        let state = page.state();
        if is(&state) {
            return state;
        }
        assert!(started.elapsed() < PATIENCE, "{what}: {state}");
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// The same for the page beside the microphone and for the page alone.
fn presses_are_answered_as_they_are(page: &Page, disk: &FailingDisk) {
    let (status, answer) = press(page, MOBILITY);
    assert_eq!(status, 200, "saved: {answer}");
    let (status, answer) = press(page, NO_FURCATION);
    assert_eq!(status, 409, "refused, with its reason: {answer}");
    assert!(answer.contains("one root"), "{answer}");
    disk.fails();
    let (status, answer) = press(page, &MOBILITY.replace("\"grade\":2", "\"grade\":1"));
    assert_eq!(status, 507, "not saved: {answer}");
    let state = shown(page, "the trouble", |state| {
        state["trouble"]["why"].is_string() && !state["trouble"]["alarms"][0].is_null()
    });
    let trouble = &state["trouble"];
    assert_eq!(
        trouble["unsaved"].as_array().map(Vec::len),
        Some(1),
        "{state}"
    );
    assert!(
        trouble["alarms"][0]
            .as_str()
            .is_some_and(|told| told.contains("Not saved!"))
    );
    let (status, _) = press(page, ACKNOWLEDGE);
    assert_eq!(status, 200);
    shown(page, "the alarm is acknowledged", |state| {
        state["trouble"]["alarms"].as_array().map(Vec::len) == Some(0)
    });
    // The fault lasts; what is pressed is kept behind the first.
    let (status, _) = press(page, r#"{"do":"next"}"#);
    assert_eq!(status, 507);
    disk.works();
    let state = shown(page, "the disk is back", |state| state["trouble"].is_null());
    assert_eq!(state["visit"]["tooth"], 103, "in order: {state}");
    let tooth = state["visit"]["teeth"]
        .as_array()
        .and_then(|teeth| teeth.iter().find(|tooth| tooth["tooth"] == 104))
        .expect("the tooth");
    assert_eq!(tooth["values"][0]["value"]["grade"], 1, "{tooth}");
}

#[test]
fn a_press_beside_the_microphone_is_answered_saved_refused_or_not_saved() {
    let arguments = [&NEW[..], &["--page", "--port", "0"]].concat();
    let Some((mut table, disk)) = open("sync", 1, EIO, &arguments) else {
        return;
    };
    let line = table.expect(&["Page: "]);
    let page = Page::enter(line.trim_start_matches("Page: "));
    table.expect(&["said", "New visit"]);
    let (status, _) = press(&page, r#"{"do":"choose","with":{"tooth":104}}"#);
    assert_eq!(status, 200);
    presses_are_answered_as_they_are(&page, &disk);
    assert_eq!(table.end().code(), Some(0), "{}", table.told.join("\n"));
}

/// `sulcus serve`, which needs neither sound nor models.
pub(crate) struct Serve {
    program: Child,
    pub(crate) page: Page,
    data: PathBuf,
}

impl Serve {
    /// On a disk that can fail, with a visit that is open and its tooth chosen.
    fn start(folder: &Path, disk: &FailingDisk) -> Self {
        let data = folder.join("visits");
        let serve = Self::start_on(&data, &disk.variables(&data));
        let body = r#"{"seen":0,"press":{"do":"open_visit","with":{"vet":null,"nurse":null,"patient":{"id":null,
            "name":"Biscuit","species":"dog","breed":null,"sex":null,"born":null,"weight_g":4200,"owner":null,
            "invented":true}}}}"#;
        let answer = serve.page.post("/api/press", body);
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        let (status, _) = press(&serve.page, r#"{"do":"choose","with":{"tooth":104}}"#);
        assert_eq!(status, 200);
        serve
    }

    pub(crate) fn start_on(data: &Path, variables: &[(&'static str, String)]) -> Self {
        let mut program = Command::new(env!("CARGO_BIN_EXE_sulcus"))
            .args(["serve", "--port", "0"])
            .env("SULCUS_DATA", data)
            .envs(variables.iter().map(|(name, value)| (name, value)))
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut output = std::io::BufReader::new(program.stdout.take().expect("piped"));
        let mut line = String::new();
        std::io::BufRead::read_line(&mut output, &mut line).expect("a line");
        // Kept open: a closed pipe is another fault.
        std::mem::forget(output);
        let page = Page::enter(line.trim().trim_start_matches("Page: "));
        let data = data.to_owned();
        Self {
            program,
            page,
            data,
        }
    }

    /// Ends it as a person does; the exit code, and what stood on standard error.
    pub(crate) fn end(mut self) -> (Option<i32>, String) {
        let status = Command::new("kill")
            .args(["-INT", &self.program.id().to_string()])
            .status();
        assert!(status.expect("kill runs").success());
        let mut told = String::new();
        let mut errors = self.program.stderr.take().expect("piped");
        std::io::Read::read_to_string(&mut errors, &mut told).expect("text");
        (self.program.wait().expect("ended").code(), told)
    }
}

#[test]
fn a_press_on_the_page_alone_is_answered_saved_refused_or_not_saved() {
    let folder = tempfile::tempdir().expect("a folder");
    let Some(disk) = FailingDisk::build(folder.path(), "sync", 1, EIO) else {
        return;
    };
    let serve = Serve::start(folder.path(), &disk);
    presses_are_answered_as_they_are(&serve.page, &disk);
    let (code, told) = serve.end();
    assert_eq!(code, Some(0), "{told}");
}

/// Each fault of the disk has its own words, on the page and at the end.
#[test]
fn each_fault_is_told_by_its_kind() {
    for (call, errno, why) in [
        ("write", ENOSPC, "the disk is full"),
        ("write", EROFS, "the disk takes no writes"),
        ("write", EIO, "the disk answers with an error"),
        ("sync", EIO, "the disk answers with an error"),
    ] {
        let folder = tempfile::tempdir().expect("a folder");
        let Some(disk) = FailingDisk::build(folder.path(), call, 1, errno) else {
            return;
        };
        let serve = Serve::start(folder.path(), &disk);
        disk.fails();
        let (status, answer) = press(&serve.page, MOBILITY);
        assert_eq!(status, 507, "{call} {errno}: {answer}");
        let state = serve.page.state();
        assert_eq!(state["trouble"]["why"], why, "{call} {errno}: {state}");
        let (code, told) = serve.end();
        assert_eq!(code, Some(1), "{call} {errno}: {told}");
        assert!(
            told.contains(&format!("ended while {why}")),
            "{call} {errno}: {told}"
        );
    }
}

#[test]
fn the_page_alone_ends_with_the_list_of_what_is_not_saved() {
    let folder = tempfile::tempdir().expect("a folder");
    let Some(disk) = FailingDisk::build(folder.path(), "write", 1, ENOSPC) else {
        return;
    };
    let serve = Serve::start(folder.path(), &disk);
    disk.fails();
    let (status, answer) = press(&serve.page, MOBILITY);
    assert_eq!(status, 507, "{answer}");
    let data = serve.data.clone();
    let (code, told) = serve.end();
    assert_eq!(code, Some(1), "{told}");
    assert!(
        told.contains("write it on paper") && told.contains("mobility 2"),
        "{told}"
    );
    disk.works();
    let journal = sulcus::record::Journal::open_reader(&data).expect("opens");
    let visit = journal.visits().expect("lists")[0].visit;
    let entries = journal.entries(visit).expect("whole");
    assert_eq!(entries.len(), 2, "the visit and its tooth");
}
