//! The whole program at the table: the built `sulcus listen` hears through cpal and ALSA from a private sound server
//! and speaks into the same one, so that its own voice is in its microphone at full level all the time.
//! What is said to it is made by its own neural voice. Skips, saying so, without the server's packages or the models.

use crate::models;
use crate::sound_server;

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, unbounded};
use models::models;
use sound_server::SoundServer;
use sulcus::record::{Event, Journal, Record, Speaker, Standing};
use sulcus::terms::{Finding, Place, Site, Value};
use sulcus::voice;

/// Longer than anything takes on a loaded machine; only a failure waits so long.
pub(crate) const PATIENCE: Duration = Duration::from_secs(180);

/// A person says a sentence so often: what is not understood is an outcome, and a busy machine drops sound.
pub(crate) const TRIES: u32 = 6;

/// The program at work, and somebody who speaks to it.
pub(crate) struct Table {
    pub(crate) server: SoundServer,
    pub(crate) models: PathBuf,
    pub(crate) program: Child,
    pub(crate) lines: Receiver<String>,
    pub(crate) told: Vec<String>,
}

impl Table {
    fn open(arguments: &[&str]) -> Option<Self> {
        Self::open_with("listen", arguments)
    }

    fn open_with(command: &'static str, arguments: &[&str]) -> Option<Self> {
        models()?;
        Self::open_on(SoundServer::start()?, command, arguments)
    }

    /// With a microphone that does not hear the program.
    fn open_with_headset(arguments: &[&str]) -> Option<Self> {
        models()?;
        let arguments = [arguments, &["--headset"]].concat();
        Self::open_on(SoundServer::start_with_headset()?, "listen", &arguments)
    }

    fn open_on(server: SoundServer, command: &'static str, arguments: &[&str]) -> Option<Self> {
        Self::open_with_variables(server, command, arguments, &[])
    }

    pub(crate) fn open_with_variables(
        server: SoundServer,
        command: &'static str,
        arguments: &[&str],
        variables: &[(&str, String)],
    ) -> Option<Self> {
        let models = models()?;
        let (program, lines) = start(&server, &models, command, arguments, variables);
        Some(Self {
            server,
            models,
            program,
            lines,
            told: Vec::new(),
        })
    }

    pub(crate) fn data(&self) -> PathBuf {
        self.server.folder().join("visits")
    }

    /// Says a sentence into the microphone.
    pub(crate) fn say(&mut self, sentence: &str) {
        self.prepare(sentence);
        // Nobody answers sooner, and the program is deaf to its own echo for a moment.
        std::thread::sleep(Duration::from_millis(400));
        self.server.play(&self.file(sentence));
    }

    /// Makes the sound of a sentence, where there is no time for it when it is said.
    fn prepare(&self, sentence: &str) {
        let file = self.file(sentence);
        if !file.exists() {
            let mut voice = voice::piper::PiperVoice::open(&self.models).unwrap();
            let sound = voice::Synthesiser::synthesise(&mut voice, sentence).unwrap();
            std::fs::write(&file, sound.to_wav().unwrap()).unwrap();
        }
    }

    /// How long a sentence sounds, from its first loud part to its last.
    fn last_said_ms(&self, sentence: &str) -> usize {
        let bytes = std::fs::read(self.file(sentence)).unwrap();
        let sound = voice::Sound::from_wav(&bytes).unwrap();
        let step = sound.rate_hz as usize * STEP_MS / 1000;
        let pcm = sound.to_pcm();
        let loud: Vec<bool> = pcm
            .chunks(step)
            .map(|part| part.iter().any(|sample| sample.unsigned_abs() > 300))
            .collect();
        let first = loud.iter().position(|loud| *loud).unwrap();
        let last = loud.iter().rposition(|loud| *loud).unwrap();
        (last + 1 - first) * STEP_MS
    }

    fn file(&self, sentence: &str) -> PathBuf {
        let name = sentence
            .to_lowercase()
            .replace(|c: char| !c.is_alphanumeric(), "-");
        self.server.folder().join(format!("{name}.wav"))
    }

    /// Waits for a line that holds all these parts.
    pub(crate) fn expect(&mut self, parts: &[&str]) -> String {
        self.expect_one_of(&[parts])
    }

    /// Waits for a line with all parts of one of these.
    pub(crate) fn expect_one_of(&mut self, wanted: &[&[&str]]) -> String {
        loop {
            let Ok(line) = self.lines.recv_timeout(PATIENCE) else {
                panic!(
                    "no line with {wanted:?} came; told:\n{}",
                    self.told.join("\n")
                );
            };
            self.told.push(line.clone());
            let shown = with_zero(&line);
            if wanted
                .iter()
                .any(|parts| parts.iter().all(|part| shown.contains(part)))
            {
                return line;
            }
        }
    }

    /// Says a sentence and waits until it was heard, answered, and the answer said to its end.
    ///
    /// What was unclear is said again, as a person would: a sound server on a busy machine drops sound now and then.
    pub(crate) fn exchange(&mut self, sentence: &str, words: &str, answer: &str) {
        self.say(sentence);
        let mut repeats = 0_u32;
        loop {
            // Whoever is told that words were missed says them again.
            let missed: &[&str] = &["said", "missed some words"];
            let line = self.expect_one_of(&[&["heard", words], &["----", ""], missed]);
            if line.contains("heard") {
                break;
            }
            repeats += 1;
            assert!(
                repeats < TRIES,
                "{sentence} was not understood:\n{}",
                self.told.join("\n")
            );
            println!("{line}: said again");
            self.say(sentence);
        }
        self.expect(&["says", answer]);
        self.expect(&["said"]);
    }

    /// Ends the program as a power cut would, and gives the record it left.
    pub(crate) fn kill(&mut self) -> Record {
        self.program.kill().unwrap();
        self.program.wait().unwrap();
        self.record()
    }

    /// The record as it is in the journal now.
    pub(crate) fn record(&self) -> Record {
        let journal = Journal::open_reader(&self.data()).unwrap();
        let visits = journal.visits().unwrap();
        assert_eq!(visits.len(), 1, "one visit");
        Record::fold(&journal.entries(visits[0].visit).unwrap()).unwrap()
    }

    pub(crate) fn restart(&mut self, arguments: &[&str]) {
        let (program, lines) = start(&self.server, &self.models, "listen", arguments, &[]);
        (self.program, self.lines) = (program, lines);
    }

    fn count(&self, start: &str) -> usize {
        self.told
            .iter()
            .filter(|line| line.starts_with(start))
            .count()
    }
}

impl Drop for Table {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

fn start(
    server: &SoundServer,
    models: &Path,
    command: &str,
    arguments: &[&str],
    variables: &[(&str, String)],
) -> (Child, Receiver<String>) {
    let name = command;
    keep_sound(&server.folder().join("visits"));
    let mut command = Command::new(env!("CARGO_BIN_EXE_sulcus"));
    command
        .arg(name)
        .args(arguments)
        .env("SULCUS_MODELS", models)
        .env("SULCUS_DATA", server.folder().join("visits"))
        .envs(variables.iter().map(|(name, value)| (name, value)))
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    server.prepare(&mut command);
    let mut program = command.spawn().unwrap();
    let (told, lines) = unbounded();
    let output = program.stdout.take().unwrap();
    let errors = program.stderr.take().unwrap();
    pass_on(output, "", told.clone());
    pass_on(errors, "stderr: ", told);
    (program, lines)
}

fn pass_on(
    output: impl std::io::Read + Send + 'static,
    mark: &'static str,
    told: crossbeam_channel::Sender<String>,
) {
    std::thread::spawn(move || {
        for line in BufReader::new(output).lines().map_while(Result::ok) {
            if told.send(format!("{mark}{line}")).is_err() {
                return;
            }
        }
    });
}

/// Where the program keeps its phrases in these tests.
pub(crate) fn kept_sound() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("voice-cache")
}

/// Lets the program keep its phrases, once they are made, from test to test: to make them all ahead takes minutes of
/// both cores, which listening needs.
fn keep_sound(data: &Path) {
    let kept = kept_sound();
    std::fs::create_dir_all(&kept).unwrap();
    std::fs::create_dir_all(data).unwrap();
    // From the start before, where it is there already.
    let _ = std::os::unix::fs::symlink(kept, data.join("voice-cache"));
}

/// "Oh" and "zero" are one value, and the same sound is heard now as one, now as the other.
fn with_zero(shown: &str) -> String {
    shown.replace(" oh ", " zero ")
}

/// The depths that stand in the record, with how certain they are.
pub(crate) fn depths(record: &Record) -> Vec<(u16, Site, u8, Standing)> {
    record
        .current()
        .filter_map(|charted| match &charted.event {
            Event::FindingRecorded {
                finding:
                    Finding {
                        place: Place::Site(site),
                        value: Value::Mm(mm),
                        ..
                    },
                ..
            } => Some((
                charted.event.tooth()?.number(),
                *site,
                *mm,
                charted.standing,
            )),
            _ => None,
        })
        .collect()
}

pub(crate) const NEW: [&str; 3] = ["--species", "dog", "--invented"];

#[test]
fn findings_reach_the_journal_and_the_program_does_not_hear_itself() {
    let Some(mut table) = Table::open(&NEW) else {
        return;
    };
    let recording = table.server.record();
    table.expect(&["says", "New visit"]);
    table.expect(&["said"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    table.exchange(
        "Buccal, three two three.",
        "buccal three two three",
        "104, buccal, 3 2 3",
    );
    table.exchange("Confirm.", "confirm", "Confirmed");
    let record = table.kill();
    let heard = table.count("heard");
    assert_eq!(heard, 3, "{}", table.told.join("\n"));
    assert_eq!(
        depths(&record),
        [
            (104, Site::MesioBuccal, 3, Standing::Confirmed),
            (104, Site::Buccal, 2, Standing::Confirmed),
            (104, Site::DistoBuccal, 3, Standing::Confirmed),
        ]
    );
    let loud_s = recording.loud_seconds();
    // Three sentences of the vet and four of the program, each of a second at least.
    assert!(loud_s > 6.0, "read-back is heard: {loud_s:.1} s");
}

#[test]
fn with_a_headset_what_is_said_over_a_read_back_is_entered_and_both_are_read_back() {
    let Some(mut table) = Table::open_with_headset(&NEW) else {
        return;
    };
    table.expect(&["says", "New visit"]);
    table.expect(&["said"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    table.prepare("Palatal, two two two.");
    table.say("Buccal, three two three.");
    table.expect(&["says", "buccal, 3 2 3"]);
    table.exchange(
        "Palatal, two two two.",
        "palatal two two two",
        "buccal, 3 2 3, palatal, 2 2 2",
    );
    assert_eq!(depths(&table.kill()).len(), 6);
    assert_eq!(
        table.count("said   104, buccal, 3 2 3"),
        1,
        "the first one was cut:\n{}",
        table.told.join("\n")
    );
}

#[test]
fn a_lost_microphone_is_told_and_the_same_visit_goes_on() {
    let Some(mut table) = Table::open(&NEW) else {
        return;
    };
    table.expect(&["says", "New visit"]);
    table.expect(&["said"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    table.server.kill();
    table.expect(&["microphone", "is lost"]);
    table.server.restart();
    table.expect(&["microphone", "there again"]);
    table.expect(&["said", "Microphone found"]);
    table.exchange(
        "Buccal, three two three.",
        "buccal three two three",
        "3 2 3",
    );
    let record = table.kill();
    let found: Vec<u8> = depths(&record)
        .into_iter()
        .map(|(_, _, mm, _)| mm)
        .collect();
    assert_eq!(found, [3, 2, 3]);
}

#[test]
fn after_a_power_cut_the_same_tooth_goes_on_and_that_is_said() {
    let Some(mut table) = Table::open(&NEW) else {
        return;
    };
    table.expect(&["says", "New visit"]);
    table.expect(&["said"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    table.exchange(
        "Buccal, three two three.",
        "buccal three two three",
        "3 2 3",
    );
    let before = table.kill();
    table.restart(&[]);
    table.expect(&["says", "Visit goes on", "104"]);
    table.expect(&["says", "The last was", "104"]);
    table.expect(&["said", "The last was"]);
    table.exchange(
        "Palatal, two two two.",
        "palatal two two two",
        "104, palatal, 2 2 2",
    );
    let after = table.kill();
    assert_eq!(before.visit, after.visit);
    assert_eq!(depths(&after).len(), 6);
}

#[test]
fn practising_keeps_what_suits_the_voice() {
    let Some(mut table) = Table::open_with("practise", &["--person", "Ada", "--readings", "3"])
    else {
        return;
    };
    for (words, sentence) in [
        ("tooth one zero four", "Tooth, one zero four."),
        ("buccal three two five", "Buccal, three two five."),
        ("palatal two nine four", "Palatal, two nine four."),
    ] {
        table.expect(&["say", words]);
        table.say(sentence);
        table.expect(&["right"]);
    }
    let line = table.expect(&["3 of 3 understood", "kept for Ada"]);
    assert!(line.contains("pauses of 256 to 448 ms"), "{line}");
    assert!(table.program.wait().unwrap().success());
    let kept = std::fs::read_to_string(table.data().join("voices.toml")).unwrap();
    assert!(
        kept.contains("[Ada]") && kept.contains("understood = 3"),
        "{kept}"
    );
    // Kept settings are used, and an unknown name is refused with the known ones.
    let mut command = Command::new(env!("CARGO_BIN_EXE_sulcus"));
    command
        .args([
            "listen",
            "--species",
            "dog",
            "--invented",
            "--person",
            "Bob",
        ])
        .env("SULCUS_MODELS", &table.models)
        .env("SULCUS_DATA", table.data());
    table.server.prepare(&mut command);
    let output = command.output().unwrap();
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("known are: Ada"), "{told}");
    // With a nurse whose voice is an octave higher, what Ada says bears the hint that it was hers.
    let pitch_hz: f32 = kept
        .lines()
        .find_map(|line| line.strip_prefix("pitch_hz = ")?.parse().ok())
        .unwrap();
    let nurse = kept.replace("[Ada]", "[Ben]").replace(
        &format!("pitch_hz = {pitch_hz}"),
        &format!("pitch_hz = {:.1}", 2.0 * pitch_hz),
    );
    std::fs::write(table.data().join("voices.toml"), format!("{kept}\n{nurse}")).unwrap();
    table.restart(&[&NEW[..], &["--vet", "Ada", "--nurse", "Ben"]].concat());
    table.expect(&["said", "New visit"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    table.exchange("Mobility, two.", "mobility two", "mobility");
    let record = table.kill();
    let heard = record.current().last().unwrap().heard.as_ref().unwrap();
    assert_eq!(heard.sounds_like, Speaker::Vet);
    assert_eq!(heard.speaker, Speaker::Unknown);
}

/// Tenths of a millisecond are of no use here; 5 ms is the step of the measurement.
const STEP_MS: usize = 5;

/// Whether each 5 ms of a 16 kHz sound is louder than a quiet room.
fn loud(samples: &[i16]) -> Vec<bool> {
    samples
        .chunks(16 * STEP_MS)
        .map(|part| part.iter().any(|sample| sample.unsigned_abs() > 300))
        .collect()
}

/// Silence between the last sound of the person and the first two sounds of the program, in ms, from a recording of
/// the air: the person's sound is `person_ms` long from its first loud part to its last.
fn gaps(recording: &[i16], person_ms: usize) -> Option<(usize, usize)> {
    let loud = loud(recording);
    let begun = loud.iter().position(|loud| *loud)?;
    let ended = begun + person_ms / STEP_MS;
    let tone = (ended + 2..loud.len()).find(|at| loud[*at])?;
    let after_tone =
        (tone..loud.len()).find(|at| !loud[*at..(at + 3).min(loud.len())].contains(&true))?;
    let answer = (after_tone..loud.len()).find(|at| loud[*at])?;
    Some(((tone - ended) * STEP_MS, (answer - ended) * STEP_MS))
}

/// The latency table of docs/conversation.md: real program, null sinks, what is in the air.
#[test]
#[ignore = "takes minutes; prints figures; run alone, in release"]
fn figures_of_latency() {
    latency("loudspeaker", Table::open);
    latency("headset", Table::open_with_headset);
}

fn latency(name: &str, open: fn(&[&str]) -> Option<Table>) {
    println!("= {name}");
    let figures = tempfile::NamedTempFile::new().unwrap();
    let path = figures.path().to_str().unwrap().to_owned();
    let arguments = [
        "--species",
        "dog",
        "--invented",
        "--no-check",
        "--figures",
        &path,
    ];
    let Some(mut table) = open(&arguments) else {
        return;
    };
    table.expect(&["says", "New visit"]);
    table.expect(&["said"]);
    let mut measured = Vec::new();
    for tooth in [
        "one zero four",
        "two zero eight",
        "three zero nine",
        "four zero six",
    ] {
        for (sentence, words) in [
            (format!("Tooth, {tooth}."), format!("tooth {tooth}")),
            (
                "Buccal, three two three.".into(),
                "buccal three two three".into(),
            ),
            ("Palatal, two two two.".into(), "palatal two two two".into()),
            ("Mobility, one.".into(), "mobility one".into()),
            ("Calculus, two.".into(), "calculus two".into()),
            ("Confirm.".into(), "confirm".into()),
        ] {
            let recording = table.server.record();
            // The recorder needs a moment before sound counts.
            std::thread::sleep(Duration::from_millis(700));
            table.say(&sentence);
            table.expect(&["heard", &words]);
            table.expect(&["said"]);
            let person = table.last_said_ms(&sentence);
            measured.extend(gaps(&recording.samples(), person));
        }
    }
    println!("{}", std::fs::read_to_string(&path).unwrap());
    for (name, mut values) in [
        (
            "end of speech to tone, in the air",
            measured.iter().map(|m| m.0).collect::<Vec<_>>(),
        ),
        (
            "end of speech to answer, in the air",
            measured.iter().map(|m| m.1).collect(),
        ),
    ] {
        values.sort_unstable();
        println!(
            "{name}: {} utterances, p50 {} ms, p95 {} ms, all {values:?}",
            values.len(),
            values[values.len() / 2],
            values[values.len() * 95 / 100]
        );
    }
}

#[test]
fn a_microphone_is_checked_by_voice() {
    let Some(mut table) = Table::open(&["--species", "cat", "--invented", "--check"]) else {
        return;
    };
    table.prepare("Testing, one two three.");
    // It listens when it has asked to the end.
    table.expect(&["said", "Microphone check"]);
    table.say("Testing, one two three.");
    table.expect(&["says", "The microphone is good"]);
    table.expect(&["says", "New visit"]);
    table.kill();
    let checked = table.data().join("checked-microphones.txt");
    assert_eq!(std::fs::read_to_string(checked).unwrap(), "default\n");
}

/// The page beside the microphone, as a browser speaks to it.
pub(crate) struct Page {
    host: String,
    cookie: String,
}

impl Page {
    /// Enters with the token of the address that the program told.
    pub(crate) fn enter(address: &str) -> Self {
        let (start, token) = address.split_once("/#").unwrap();
        let host = start.strip_prefix("http://").unwrap().to_owned();
        let mut page = Self {
            host,
            cookie: String::new(),
        };
        let answer = page.post("/api/enter", &format!(r#"{{"secret":"{token}"}}"#));
        let cookie = answer
            .lines()
            .find(|line| line.to_lowercase().starts_with("set-cookie: "))
            .unwrap();
        page.cookie = cookie[12..].split(';').next().unwrap().to_owned();
        page
    }

    fn send(&self, text: &str) -> std::net::TcpStream {
        let mut stream = std::net::TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        std::io::Write::write_all(&mut stream, text.as_bytes()).unwrap();
        stream
    }

    pub(crate) fn post(&self, path: &str, body: &str) -> String {
        let host = &self.host;
        let text = format!(
            "POST {path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {}\r\n\
             Content-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            self.cookie,
            body.len()
        );
        let mut answer = String::new();
        std::io::Read::read_to_string(&mut self.send(&text), &mut answer).unwrap();
        answer
    }

    /// The state that the page gets first.
    pub(crate) fn state(&self) -> serde_json::Value {
        let text = format!(
            "GET /api/live HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nConnection: close\r\n\r\n",
            self.host, self.cookie
        );
        let lines = BufReader::new(self.send(&text)).lines();
        let json = lines
            .map_while(Result::ok)
            .find_map(|line| line.strip_prefix("data: {").map(|rest| format!("{{{rest}")));
        serde_json::from_str(&json.unwrap()).unwrap()
    }
}

#[test]
fn the_page_shows_what_is_heard_and_a_touch_is_spoken_back() {
    let Some(mut table) = Table::open(&["--species", "dog", "--invented", "--page", "--port", "0"])
    else {
        return;
    };
    let line = table.expect(&["Page: "]);
    let page = Page::enter(line.trim_start_matches("Page: "));
    table.expect(&["said"]);
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    let state = with_zero(&page.state().to_string());
    assert!(state.contains("tooth one zero four"), "{state}");
    let last = page.state()["visit"]["last"].as_u64().unwrap();
    let answer = page.post(
        "/api/press",
        &format!(r#"{{"seen":{last},"press":{{"do":"finding","with":{{"tooth":104,"kind":"mobility","value":{{"grade":2}}}}}}}}"#),
    );
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    table.expect(&["says", "104", "mobility", "2"]);
    table.expect(&["said"]);
    // A value is taken back by touch, and a typed note is told, as if they had been said.
    let state = page.state();
    let tooth = state["visit"]["teeth"]
        .as_array()
        .unwrap()
        .iter()
        .find(|tooth| tooth["tooth"] == 104)
        .unwrap();
    let entry = &tooth["values"][0]["entry"];
    for (press, said) in [
        (
            format!(r#"{{"do":"withdraw","with":{{"entry":{entry}}}}}"#),
            ["Withdrawn", "104", "mobility"],
        ),
        (
            r#"{"do":"note","with":{"tooth":104,"text":"an invented note"}}"#.to_owned(),
            ["Note saved", "", ""],
        ),
    ] {
        let last = page.state()["visit"]["last"].as_u64().unwrap();
        let body = format!(r#"{{"seen":{last},"press":{press}}}"#);
        let answer = page.post("/api/press", &body);
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        table.expect(&["says", said[0], said[1], said[2]]);
        table.expect(&["said"]);
    }
    // The note was said back, so "confirm" may confirm it. Where a noise was taken for somebody who speaks, that
    // counts only when they are silent again.
    let started = Instant::now();
    let is_read_back = |record: &Record| {
        record
            .current()
            .all(|one| one.standing == Standing::ReadBack)
    };
    while !is_read_back(&table.record()) && started.elapsed() < PATIENCE {
        std::thread::sleep(Duration::from_millis(50));
    }
    let record = table.kill();
    let left: Vec<_> = record.current().collect();
    assert_eq!(left.len(), 1);
    assert!(matches!(left[0].event, Event::NoteRecorded { .. }));
    assert_eq!(left[0].standing, Standing::ReadBack);
    // What was withdrawn stays in the journal.
    assert_eq!(record.all().count(), 2);
}

#[test]
fn the_patient_is_entered_on_the_page_and_the_next_one_after_the_first() {
    let Some(mut table) = Table::open(&["--page", "--port", "0"]) else {
        return;
    };
    table.expect(&["enter the patient on the page"]);
    let line = table.expect(&["Page: "]);
    let page = Page::enter(line.trim_start_matches("Page: "));
    assert!(page.state()["visit"].is_null());
    let patient = |name: &str, species: &str| {
        format!(
            r#"{{"seen":0,"press":{{"do":"open_visit","with":{{"vet":null,"nurse":null,"patient":{{"id":null,"name":"{name}",
            "species":"{species}","breed":null,"sex":null,"born":null,"weight_g":4200,"owner":null,"invented":true}}}}}}}}"#
        )
    };
    let answer = page.post("/api/press", &patient("Biscuit", "cat"));
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    table.expect(&["says", "Biscuit"]);
    table.expect(&["said"]);
    // Not while the first is open.
    let answer = page.post("/api/press", &patient("Pepper", "dog"));
    assert!(answer.starts_with("HTTP/1.1 409"), "{answer}");
    for press in [
        r#"{"do":"finding","with":{"tooth":104,"kind":"mobility","site":null,"entrance":null,"value":{"grade":1}}}"#,
        r#"{"do":"finish"}"#,
        r#"{"do":"yes"}"#,
    ] {
        let last = page.state()["visit"]["last"].as_u64().unwrap();
        let answer = page.post(
            "/api/press",
            &format!(r#"{{"seen":{last},"press":{press}}}"#),
        );
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        table.expect(&["said"]);
    }
    let first = page.state()["visit"]["visit"].to_string();
    assert_eq!(page.state()["visit"]["is_open"], false);
    let answer = page.post("/api/press", &patient("Pepper", "dog"));
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    table.expect(&["says", "Pepper"]);
    table.expect(&["said"]);
    let state = page.state();
    assert_eq!(state["visit"]["patient"]["name"], "Pepper");
    assert_ne!(state["visit"]["visit"].to_string(), first);
    assert_eq!(state["visit"]["value_count"], 0);
    // Speech goes into the new visit.
    table.exchange("Tooth, one zero four.", "tooth one zero four", "104");
    assert_eq!(page.state()["visit"]["tooth"], 104);
    let journal = Journal::open_reader(&table.data()).unwrap();
    assert_eq!(journal.visits().unwrap().len(), 2);
}
