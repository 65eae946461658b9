//! Whole examinations as sound: the script of a seeded vet, sentence by sentence by the program's own neural voice,
//! through voice activity, recogniser, conversation and journal as `replay` does it, beside the same script as text.
//! What is not understood is said again as text, as a person would touch the page; what is understood wrong is counted
//! and mended as a nurse would. One voice in a quiet room: the easy case, and no measure of people in a clinic.
//!
//! `cargo test --lib five_examinations_as_sound -- --ignored --nocapture` plays five and writes
//! `docs/spoken-examinations.md`.

use std::collections::HashMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::desk::{Desk, Opening};
use super::file::Replay;
use super::talk::{Line, Talk};
use crate::clock::SetClock;
use crate::record::Record;
use crate::session::tests::examinations::{Meant, Sentence, charted, invent};
use crate::speech::activity::{Activity, End, Settings, Silero};
use crate::speech::listener::{Heard, ListenEvent, Listener, Under};
use crate::speech::{self, Engine};
use crate::terms::{Patient, ToothNumber};
use crate::voice::piper::PiperVoice;
use crate::voice::player::Nowhere;
use crate::voice::{Silent, Speaker, Synthesiser, VoiceEvent};

/// Sentences from which something wrong came: the aim for spoken values, close microphone, quiet room.
const WRONG_SHARE_MAX: f64 = 0.005;
/// Sentences that had to be said again: more would be a burden at the table. Common practice, no source.
const REFUSED_SHARE_MAX: f64 = 0.05;

/// The first of the fifty: none was chosen for its figures.
const SEEDS: std::ops::Range<u64> = 0..5;

/// Quiet before and after a sentence: room for pre-roll, and longer than any silence that is waited for.
const BEFORE_S: f32 = 0.6;
const AFTER_S: f32 = 1.2;
/// A room is never silent: about -66 dB below full scale.
const ROOM_PEAK: f32 = 0.000_87;

const HEAD: &str = "# Examinations as sound

Made by `cargo test --lib five_examinations_as_sound -- --ignored`; do not edit by hand.

Five of the fifty invented examinations that the tests play as text, by the first five seeds, said sentence by sentence
by the program's own neural voice, through voice activity, recogniser, conversation and journal. The same script as text
runs beside it; after each sentence the two records are compared. A sentence of which not all was understood counts as
refused and is said again as text, as a person would touch the page; one of which something wrong was entered counts as
wrong, is taken back and said again. Each record ends as that of the text. Half of the teeth are said in one breath, up
to eighteen words.

This is one voice in a quiet room, and a voice whose words the recogniser never learnt: no measure of people in a clinic.
Aims: wrong 0.5 %, refused 5 %.

| seed | animal | sentences | values | refused | wrong |
|---|---|---|---|---|---|
";

pub(super) fn models() -> Option<PathBuf> {
    let models = Path::new(env!("CARGO_MANIFEST_DIR")).join("models");
    if models.join("piper/voice.onnx").is_file() && models.join("moonshine/tokenizer.bin").is_file()
    {
        return Some(models);
    }
    assert!(
        std::env::var_os("SULCUS_TEST_ALL").is_none(),
        "no models in {}: run ./models-fetch.sh",
        models.display()
    );
    println!("skipped: examinations as sound need the models (./models-fetch.sh)");
    None
}

/// What can be told of a record at any point of an examination.
#[derive(Debug, Clone, PartialEq)]
struct State {
    meant: Meant,
    unconfirmed: usize,
    tooth: Option<ToothNumber>,
    question: Option<String>,
}

impl State {
    fn of(record: &Record) -> Self {
        Self {
            meant: charted(record),
            unconfirmed: record.unconfirmed().count(),
            tooth: record.tooth,
            question: record.open_challenge().map(|open| open.rule.clone()),
        }
    }

    /// Values and decisions here that are not `other`'s.
    fn strange_to(&self, other: &Self) -> usize {
        let findings = self
            .meant
            .findings
            .iter()
            .filter(|(key, value)| other.meant.findings.get(key) != Some(value));
        let decisions = self
            .meant
            .decisions
            .iter()
            .filter(|(tooth, decision)| other.meant.decisions.get(tooth) != Some(decision));
        findings.count() + decisions.count()
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Outcome {
    Right,
    /// Nothing wrong came of it, but not all that was said.
    Refused,
    Wrong,
}

/// What became of a sentence: `found` is the state after it, `wanted` that of the same words as text.
fn judge(before: &State, wanted: &State, found: &State) -> Outcome {
    if found == wanted {
        return Outcome::Right;
    }
    let is_other_tooth = found.tooth != wanted.tooth && found.tooth != before.tooth;
    let is_other_question = found.question != wanted.question && found.question != before.question;
    // What was there and is gone, though it should have stayed.
    let lost = before
        .meant
        .findings
        .iter()
        .filter(|(key, value)| wanted.meant.findings.get(key) == Some(value))
        .any(|(key, _)| !found.meant.findings.contains_key(key));
    // A value that the sentence should have replaced may still stand.
    let strange = found.meant.findings.iter().any(|(key, value)| {
        wanted.meant.findings.get(key) != Some(value)
            && before.meant.findings.get(key) != Some(value)
    }) || found.meant.decisions.iter().any(|(tooth, decision)| {
        wanted.meant.decisions.get(tooth) != Some(decision)
            && before.meant.decisions.get(tooth) != Some(decision)
    });
    if is_other_tooth || is_other_question || lost || strange {
        Outcome::Wrong
    } else {
        Outcome::Refused
    }
}

/// The vet's voice, as clips: one sentence always sounds the same.
struct Voice {
    piper: PiperVoice,
    room: ChaCha8Rng,
    clips: HashMap<String, PathBuf>,
    folder: tempfile::TempDir,
}

impl Voice {
    fn open(models: &Path) -> Self {
        Self {
            piper: PiperVoice::open(models).expect("the voice"),
            room: ChaCha8Rng::seed_from_u64(1),
            clips: HashMap::new(),
            folder: tempfile::tempdir().expect("a folder"),
        }
    }

    fn clip(&mut self, sentence: &Sentence) -> PathBuf {
        let words = sentence.aloud();
        if let Some(clip) = self.clips.get(&words) {
            return clip.clone();
        }
        let sound = self.piper.synthesise(&words).expect("speech");
        let sound = sound.trimmed_and_levelled();
        let rate = sound.rate_hz as f32;
        let mut samples = vec![0.0; (BEFORE_S * rate) as usize];
        samples.extend(&sound.samples);
        samples.extend(vec![0.0; (AFTER_S * rate) as usize]);
        let spec = hound::WavSpec {
            channels: 1,
            sample_rate: sound.rate_hz,
            bits_per_sample: 16,
            sample_format: hound::SampleFormat::Int,
        };
        let path = self.folder.path().join(format!("{}.wav", self.clips.len()));
        let mut writer = hound::WavWriter::create(&path, spec).expect("a file");
        for sample in samples {
            let in_room: f32 = sample + self.room.random_range(-ROOM_PEAK..ROOM_PEAK);
            writer
                .write_sample((in_room * f32::from(i16::MAX)) as i16)
                .expect("written");
        }
        writer.finalize().expect("written");
        self.clips.insert(words, path.clone());
        path
    }
}

/// The table with real ears and a real journal.
struct Sitting {
    talk: Talk,
    listener: Listener,
    voice: crossbeam_channel::Receiver<VoiceEvent>,
    _folder: tempfile::TempDir,
}

impl Sitting {
    fn open(models: &Path, patient: Patient) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let opening = Opening {
            patient,
            vet: None,
            nurse: None,
        };
        // The moment at which the text is said.
        let clock = Box::new(SetClock::at_second(1_800_000_000));
        let (desk, _) = Desk::open(folder.path(), Some(opening), true, clock).expect("a desk");
        let recogniser = speech::open(Engine::Moonshine, models).expect("the engine");
        let identity = recogniser.identity();
        let silero = Silero::new(models).expect("voice activity");
        let activity = Activity::new(Box::new(silero), Settings::default());
        let (mouth, voice) =
            Speaker::synchronous(Some(Box::new(Silent)), Box::new(Nowhere::default()), None);
        Self {
            talk: Talk::new(desk, mouth, identity),
            listener: Listener::new(activity, recogniser, Box::new(|| Duration::ZERO)),
            voice,
            _folder: folder,
        }
    }

    fn state(&mut self) -> State {
        State::of(self.talk.desk().record())
    }

    /// Plays a clip as `replay` does; gives what the terminal would show.
    fn play(&mut self, clip: &Path) -> Vec<Line> {
        let mut lines = Vec::new();
        let mut replay = Replay {
            talk: &mut self.talk,
            listener: &mut self.listener,
            voice: &self.voice,
            show: &mut |line| lines.push(line),
            progress: &mut |_| {},
        };
        replay.play(clip).expect("played");
        lines
    }

    /// The words as text, by the way that a hearing takes.
    fn text(&mut self, sentence: &str) {
        let words = self.talk.desk().grammar().words(sentence);
        let words = words.join(" ");
        let heard = Heard::made_up(&[(&words, 0.0)], Under::Session, End::Silence, 704);
        self.pass(1_000);
        self.talk.listen(&ListenEvent::Heard(Box::new(heard)));
        for _ in 0..60 {
            self.talk.speak();
            while let Ok(event) = self.voice.try_recv() {
                self.talk.voice(&event);
            }
            if self.talk.is_settled() {
                break;
            }
            self.pass(500);
        }
    }

    fn pass(&mut self, ms: u64) {
        self.talk.desk().clock().advance_ms(ms);
        self.talk.at(self.talk.now_ms() + ms);
    }

    /// Takes back what was understood wrong, as far as it can be taken back, and says the sentence as text.
    fn mend(&mut self, wanted: &State, sentence: &Sentence) {
        let found = self.state();
        if found.question.is_some() && found.question != wanted.question {
            self.text("no");
        }
        for _ in 0..4 {
            if self.state().strange_to(wanted) == 0 {
                break;
            }
            self.text("undo");
        }
        self.text(&sentence.text());
    }
}

/// What came of one examination, or of several.
#[derive(Debug, Default)]
struct Figures {
    animal: String,
    sentences: usize,
    values: usize,
    refused: usize,
    wrong: usize,
    /// What was said, and what was shown, where it was not right.
    faults: Vec<String>,
}

impl Figures {
    fn row(&self, name: &str) -> String {
        let share = |count: usize| 100.0 * count as f64 / self.sentences.max(1) as f64;
        format!(
            "| {name} | {} | {} | {} | {} ({:.1} %) | {} ({:.1} %) |",
            self.animal,
            self.sentences,
            self.values,
            self.refused,
            share(self.refused),
            self.wrong,
            share(self.wrong)
        )
    }

    fn sum(all: &[Self]) -> Self {
        let count = |of: fn(&Self) -> usize| all.iter().map(of).sum();
        Self {
            animal: String::new(),
            sentences: count(|one| one.sentences),
            values: count(|one| one.values),
            refused: count(|one| one.refused),
            wrong: count(|one| one.wrong),
            faults: all.iter().flat_map(|one| one.faults.clone()).collect(),
        }
    }
}

/// Plays the examination of a seed as sound beside the same as text.
fn play(models: &Path, voice: &mut Voice, seed: u64) -> Figures {
    let (mut table, vet) = invent(seed);
    let mut sitting = Sitting::open(models, table.record.patient.clone());
    let age = if vet.is_young { "young" } else { "grown" };
    let mut figures = Figures {
        animal: format!("{age} {}", vet.species.word()),
        sentences: vet.sentences.len(),
        ..Figures::default()
    };
    for sentence in &vet.sentences {
        let before = sitting.state();
        table.say(&sentence.text());
        let wanted = State::of(&table.record);
        let shown = sitting.play(&voice.clip(sentence));
        let found = sitting.state();
        let outcome = judge(&before, &wanted, &found);
        match outcome {
            Outcome::Right => continue,
            Outcome::Refused => figures.refused += 1,
            Outcome::Wrong => figures.wrong += 1,
        }
        let fault = format!("seed {seed}, {outcome:?}: {} -> {shown:?}", sentence.text());
        sitting.mend(&wanted, sentence);
        assert_eq!(sitting.state(), wanted, "a person can mend it: {fault}");
        println!("{fault}");
        figures.faults.push(fault);
    }
    assert_eq!(
        sitting.state(),
        State::of(&table.record),
        "seed {seed}: sound and text end with the same record"
    );
    assert_eq!(sitting.state().meant, vet.meant, "seed {seed}");
    figures.values = vet.meant.findings.len() + vet.meant.decisions.len();
    figures
}

fn assert_good(figures: &Figures) {
    let sentences = figures.sentences as f64;
    assert!(
        figures.wrong as f64 <= sentences * WRONG_SHARE_MAX,
        "understood wrong: {figures:#?}"
    );
    assert!(
        figures.refused as f64 <= sentences * REFUSED_SHARE_MAX,
        "not understood: {figures:#?}"
    );
}

#[test]
fn an_examination_as_sound_ends_as_the_same_as_text() {
    let Some(models) = models() else { return };
    let figures = play(&models, &mut Voice::open(&models), SEEDS.start);
    println!("{}", figures.row("0"));
    assert_good(&figures);
}

#[test]
#[ignore = "takes minutes; writes docs/spoken-examinations.md"]
fn five_examinations_as_sound() {
    let Some(models) = models() else { return };
    let mut voice = Voice::open(&models);
    let all: Vec<Figures> = SEEDS.map(|seed| play(&models, &mut voice, seed)).collect();
    let sum = Figures::sum(&all);
    let mut text = String::from(HEAD);
    for (figures, seed) in all.iter().zip(SEEDS) {
        writeln!(text, "{}", figures.row(&seed.to_string())).expect("a string");
    }
    writeln!(text, "{}", sum.row("all")).expect("a string");
    println!("{text}");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/spoken-examinations.md");
    std::fs::write(path, text).expect("written");
    assert_good(&sum);
}

/// What the judge must see: without it every sentence could be called right.
#[test]
fn the_judge_sees_what_is_wrong_and_what_is_only_missing() {
    use crate::session::tests::Table;
    use crate::terms::Species;
    let said = |sentences: &[&str]| {
        let mut table = Table::open(Species::Dog);
        for sentence in sentences {
            table.say(sentence);
        }
        State::of(&table.record)
    };
    let before = said(&["tooth one oh eight"]);
    let wanted = said(&["tooth one oh eight", "mobility one buccal two two three"]);
    let cases: [(&[&str], Outcome); 7] = [
        (&["mobility one buccal two two three"], Outcome::Right),
        (&["mobility one", "buccal two two three"], Outcome::Right),
        (&["mobility one"], Outcome::Refused),
        (&[], Outcome::Refused),
        (&["mobility two buccal two two three"], Outcome::Wrong),
        (&["tooth one oh nine"], Outcome::Wrong),
        (&["extract"], Outcome::Wrong),
    ];
    for (heard, outcome) in cases {
        let found = said(&[&["tooth one oh eight"], heard].concat());
        assert_eq!(judge(&before, &wanted, &found), outcome, "{heard:?}");
    }
    // Taken back, though nobody said so.
    let found = said(&["tooth one oh eight", "mobility one", "undo"]);
    let had = said(&["tooth one oh eight", "mobility one"]);
    assert_eq!(judge(&had, &had, &found), Outcome::Wrong);
}
