//! The conversation with real models and no devices: the program's own voice in its microphone must not interrupt it,
//! and a person must. Skips, saying so, without the models.
//! `cargo test --test sound -- --ignored --nocapture conversation` prints the figures of DEVELOPERS.md.

use crate::models;
use crate::recordings;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use models::models;
use rand::seq::IndexedRandom;
use rand::{RngExt, SeedableRng};
use recordings::recordings;
use sulcus::app::desk::{Desk, Opening};
use sulcus::app::talk::{Line, Talk, is_own_voice};
use sulcus::app::turn::is_echo;
use sulcus::audio::{AudioEvent, FRAME_SAMPLES, Frame, SAMPLE_RATE_HZ};
use sulcus::clock::SetClock;
use sulcus::grammar::{Grammar, Intent, Meaning, Situation};
use sulcus::record::event::Speaker as Person;
use sulcus::score::noise::Noises;
use sulcus::score::{clip, list};
use sulcus::speech::activity::{Activity, Settings, Silero};
use sulcus::speech::listener::{Control, ListenEvent, Listener, Under};
use sulcus::speech::{self, Engine, WordGraph};
use sulcus::terms::{Patient, Species};
use sulcus::voice::piper::PiperVoice;
use sulcus::voice::{Speaker, Synthesiser, VoiceEvent};

/// Read-backs as they are said, those that sound like an interruption among them.
const READ_BACKS: [&str; 12] = [
    "Tooth, one zero four.",
    "Tooth, four zero nine.",
    "Buccal.",
    "Two, two, three.",
    "One, nine, two.",
    "Palatal.",
    "No tooth chosen yet.",
    "None not confirmed.",
    "Not entered.",
    "Furcation, buccal, two.",
    "Tooth, two zero two.",
    "Mobility, zero.",
];

/// What a person says over it.
const INTERRUPTIONS: [&str; 3] = ["Stop.", "No.", "Undo."];

/// The same at 16 kHz: linear steps are enough for a voice at 22 kHz that is heard through a room.
fn at_16_khz(samples: &[f32], rate_hz: u32) -> Vec<f32> {
    let ratio = f64::from(rate_hz) / f64::from(SAMPLE_RATE_HZ);
    let length = (samples.len() as f64 / ratio) as usize;
    (0..length)
        .map(|at| {
            let from = at as f64 * ratio;
            let index = from as usize;
            let part = (from - index as f64) as f32;
            let next = samples.get(index + 1).copied().unwrap_or(0.0);
            samples[index] * (1.0 - part) + next * part
        })
        .collect()
}

fn speech(voice: &mut PiperVoice, sentence: &str) -> Vec<f32> {
    let sound = voice.synthesise(sentence).unwrap();
    at_16_khz(&sound.samples, sound.rate_hz)
}

fn add(into: &mut Vec<f32>, at: usize, sound: &[f32], gain: f32) {
    if into.len() < at + sound.len() {
        into.resize(at + sound.len(), 0.0);
    }
    for (sample, more) in into[at..].iter_mut().zip(sound) {
        *sample += more * gain;
    }
}

struct Guard {
    listener: Listener,
    session: Arc<WordGraph>,
    interruptions: Arc<WordGraph>,
    at: u64,
}

impl Guard {
    fn new(models: &Path) -> Self {
        let grammar = Grammar::built_in().unwrap();
        let recogniser = speech::open(Engine::Moonshine, models).unwrap();
        let activity = Activity::new(Box::new(Silero::new(models).unwrap()), Settings::default());
        let stopwatch = Box::new(|| Duration::ZERO);
        Self {
            listener: Listener::new(activity, recogniser, stopwatch),
            session: grammar.graph(Situation::Table),
            interruptions: grammar.graph(Situation::Speaking),
            at: 0,
        }
    }

    /// Plays a sound while the program speaks, then silence; gives the interruptions that were believed, and whatever
    /// else was.
    /// With a `reference`, that sound is taken out by the echo canceller.
    fn hear(&mut self, sound: &[f32], reference: Option<&[f32]>) -> (Vec<String>, Vec<String>) {
        let set = Control::SetGraph(Arc::clone(&self.session));
        let mut told = self.listener.control(set);
        told.extend(self.listener.control(Control::VoiceOn {
            interruptions: Some(Arc::clone(&self.interruptions)),
            frame: None,
        }));
        if let Some(reference) = reference {
            told.extend(self.listener.control(Control::Played {
                sound: reference.into(),
                frame: None,
            }));
        }
        self.play(sound, &mut told);
        told.extend(self.listener.control(Control::VoiceOff { frame: None }));
        self.play(&vec![0.0; 2 * SAMPLE_RATE_HZ as usize], &mut told);
        let (mut interruptions, mut others) = (Vec::new(), Vec::new());
        for event in told {
            if let ListenEvent::Heard(heard) = event
                && heard.hearing.unheard.is_none()
                && let Some(best) = heard.hearing.hypotheses.first()
            {
                let words = best.words.join(" ");
                // As in the conversation itself.
                let is_interruption =
                    ["stop", "no", "undo"].contains(&words.as_str()) && !is_own_voice(&heard);
                match heard.under {
                    // What is left of the program's own voice means nothing.
                    Under::Interruptions if !is_interruption => {}
                    Under::Interruptions => interruptions.push(words),
                    Under::Session => others.push(words),
                }
            }
        }
        (interruptions, others)
    }

    /// With ears open; gives how often speech began, and what was believed.
    fn hear_open(&mut self, sound: &[f32], reference: &[f32]) -> (usize, Vec<String>) {
        let set = Control::SetGraph(Arc::clone(&self.session));
        let mut told = self.listener.control(set);
        told.extend(self.listener.control(Control::Played {
            sound: reference.into(),
            frame: None,
        }));
        self.play(sound, &mut told);
        self.play(&vec![0.0; 2 * SAMPLE_RATE_HZ as usize], &mut told);
        let starts = told
            .iter()
            .filter(|event| matches!(event, ListenEvent::SpeechStarted { .. }))
            .count();
        let heard = told
            .into_iter()
            .filter_map(|event| match event {
                ListenEvent::Heard(heard) if heard.hearing.unheard.is_none() => {
                    Some(heard.hearing.hypotheses.first()?.words.join(" "))
                }
                _ => None,
            })
            .collect();
        (starts, heard)
    }

    fn play(&mut self, sound: &[f32], told: &mut Vec<ListenEvent>) {
        for block in sound.chunks(FRAME_SAMPLES) {
            let mut samples = block.to_vec();
            samples.resize(FRAME_SAMPLES, 0.0);
            let index = self.at;
            self.at += 1;
            told.extend(
                self.listener
                    .push(AudioEvent::Frame(Frame { samples, index })),
            );
        }
    }
}

fn level(db: f32) -> f32 {
    10f32.powf(db / 20.0)
}

/// One after the other, as in a read-back.
fn read_back(voice: &mut PiperVoice, sentences: &[&str]) -> Vec<f32> {
    let mut sound = Vec::new();
    for sentence in sentences {
        sound.extend(speech(voice, sentence));
        sound.extend(vec![0.0; 1_440]);
    }
    sound
}

#[test]
fn the_own_voice_in_the_microphone_interrupts_nothing() {
    let Some(models) = models() else { return };
    let mut voice = PiperVoice::open(&models).unwrap();
    let mut guard = Guard::new(&models);
    let said = read_back(&mut voice, &READ_BACKS);
    let sound: Vec<f32> = said.iter().map(|sample| sample * level(-12.0)).collect();
    let (interruptions, others) = guard.hear(&sound, None);
    assert_eq!((interruptions, others), (Vec::new(), Vec::new()));
}

/// From loudspeaker to microphone: 90 ms of device and air, and two echoes of the room.
fn through_the_room(said: &[f32], db: f32) -> Vec<f32> {
    let mut heard = Vec::new();
    for (delay_ms, gain) in [(90, 1.0), (113, 0.4), (147, 0.2)] {
        let at = delay_ms * SAMPLE_RATE_HZ as usize / 1000;
        add(&mut heard, at, said, gain * level(db));
    }
    heard
}

/// A busy machine plays later than it says, and the canceller, which looks for half a second, misses its own voice.
#[test]
fn the_own_voice_out_of_step_interrupts_nothing() {
    let Some(models) = models() else { return };
    let mut voice = PiperVoice::open(&models).unwrap();
    let mut guard = Guard::new(&models);
    for sentence in READ_BACKS {
        let said = speech(&mut voice, sentence);
        let late = SAMPLE_RATE_HZ as usize * 6 / 5;
        let mut sound = vec![0.0; late];
        sound.extend(through_the_room(&said, 0.0));
        let (interruptions, others) = guard.hear(&sound, Some(&said));
        let interruptions: Vec<String> = interruptions
            .into_iter()
            .filter(|heard| !is_echo(std::slice::from_ref(heard), sentence))
            .collect();
        assert_eq!(
            (interruptions, others),
            (Vec::new(), Vec::new()),
            "{sentence}"
        );
    }
}

#[test]
fn a_person_interrupts_a_read_back() {
    let Some(models) = models() else { return };
    let mut voice = PiperVoice::open(&models).unwrap();
    let mut guard = Guard::new(&models);
    let said = read_back(&mut voice, &READ_BACKS[..4]);
    let stop = speech(&mut voice, "Stop.");
    let mut sound = through_the_room(&said, -18.0);
    add(&mut sound, SAMPLE_RATE_HZ as usize, &stop, 1.0);
    let (interruptions, _) = guard.hear(&sound, Some(&said));
    assert_eq!(interruptions, ["stop"]);
}

/// The table of DEVELOPERS.md.
#[test]
#[ignore = "takes minutes; prints figures"]
fn figures_of_interruption() {
    let Some(models) = models() else { return };
    let mut voice = PiperVoice::open(&models).unwrap();
    println!(
        "| own voice in the microphone | echo canceller | read-backs | false interruptions | of 12 spoken over it, understood | taken for another |"
    );
    println!("|---|---|---|---|---|---|");
    for cancels in [false, true] {
        for db in [-6.0, -12.0, -18.0, -24.0, -30.0] {
            // The canceller knows the room from the first read-backs on, as at the table.
            let mut guard = Guard::new(&models);
            let (mut false_ones, mut understood, mut others) = (0, 0, 0);
            for sentence in READ_BACKS {
                let said = speech(&mut voice, sentence);
                let sound = through_the_room(&said, db);
                let (interruptions, more) = guard.hear(&sound, cancels.then_some(&said[..]));
                // The conversation knows its own words.
                let interruptions: Vec<String> = interruptions
                    .into_iter()
                    .filter(|heard| !is_echo(std::slice::from_ref(heard), sentence))
                    .collect();
                if !(interruptions.is_empty() && more.is_empty()) {
                    println!("{sentence} taken for {interruptions:?} {more:?}");
                }
                false_ones += interruptions.len() + more.len();
            }
            for part in READ_BACKS.chunks(3) {
                for word in INTERRUPTIONS {
                    let said = read_back(&mut voice, part);
                    let mut sound = through_the_room(&said, db);
                    let word_sound = speech(&mut voice, word);
                    add(
                        &mut sound,
                        SAMPLE_RATE_HZ as usize * 3 / 4,
                        &word_sound,
                        1.0,
                    );
                    let (interruptions, more) = guard.hear(&sound, cancels.then_some(&said[..]));
                    let wanted = word.to_lowercase();
                    let first = interruptions.first().map(String::as_str);
                    understood += usize::from(first == Some(wanted.trim_end_matches('.')));
                    others += usize::from(first.is_some_and(|f| f != wanted.trim_end_matches('.')))
                        + more.len();
                }
            }
            let with = if cancels { "on" } else { "off" };
            println!(
                "| {db:.0} dB | {with} | {} | {false_ones} | {understood} | {others} |",
                READ_BACKS.len()
            );
        }
    }
}

/// Whether the ears may stay open while the program speaks, with the canceller: what its own voice starts, and what a
/// person says over it.
#[test]
#[ignore = "takes minutes; prints figures"]
fn figures_of_open_ears() {
    let Some(models) = models() else { return };
    let mut voice = PiperVoice::open(&models).unwrap();
    println!(
        "| own voice in the microphone | starts by 12 read-backs | entered from them | of 12 readings spoken over them, right | wrong |"
    );
    println!("|---|---|---|---|---|");
    let readings = [
        "Buccal, three two three.",
        "Mobility, two.",
        "Tooth, one zero five.",
    ];
    for db in [-6.0, -12.0, -18.0, -24.0, -30.0] {
        let mut guard = Guard::new(&models);
        let (mut starts, mut entered, mut right, mut wrong) = (0, 0, 0, 0);
        for sentence in READ_BACKS {
            let said = speech(&mut voice, sentence);
            let sound = through_the_room(&said, db);
            let (begun, heard) = guard.hear_open(&sound, &said);
            starts += begun;
            entered += heard.len();
        }
        for part in READ_BACKS.chunks(3) {
            for reading in readings {
                let said = read_back(&mut voice, part);
                let mut sound = through_the_room(&said, db);
                let over = speech(&mut voice, reading);
                add(&mut sound, SAMPLE_RATE_HZ as usize * 3 / 4, &over, 1.0);
                let (_, heard) = guard.hear_open(&sound, &said);
                let wanted = reading.to_lowercase().replace([',', '.'], "");
                let is_right = heard.contains(&wanted);
                right += usize::from(is_right);
                wrong += heard.len() - usize::from(is_right);
            }
        }
        println!("| {db:.0} dB | {starts} | {entered} | {right} | {wrong} |");
    }
}

/// A table without devices: what a sound gives goes through the whole program but for the loudspeaker.
struct Room {
    talk: Talk,
    listener: Listener,
    voice: crossbeam_channel::Receiver<VoiceEvent>,
    at: u64,
    heard: Vec<String>,
    _folder: tempfile::TempDir,
}

impl Room {
    fn new(models: &Path) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let opening = Opening {
            patient: Patient::example(Species::Dog),
            vet: None,
            nurse: None,
        };
        let clock = Box::new(SetClock::at_second(1_772_442_000));
        let (desk, _) = Desk::open(folder.path(), Some(opening), true, clock).unwrap();
        let recogniser = speech::open(Engine::Moonshine, models).unwrap();
        let identity = recogniser.identity();
        let activity = Activity::new(Box::new(Silero::new(models).unwrap()), Settings::default());
        let listener = Listener::new(activity, recogniser, Box::new(|| Duration::ZERO));
        let (mouth, voice) = Speaker::synchronous(
            Some(Box::new(sulcus::voice::Silent)),
            Box::new(sulcus::voice::player::Nowhere::default()),
            None,
        );
        Self {
            talk: Talk::new(desk, mouth, identity),
            listener,
            voice,
            at: 0,
            heard: Vec::new(),
            _folder: folder,
        }
    }

    fn press(&mut self, intent: Intent) {
        self.talk.press(vec![intent], Person::Unknown);
        self.speak();
    }

    fn speak(&mut self) {
        self.talk.speak();
        while let Ok(event) = self.voice.try_recv() {
            self.talk.voice(&event);
        }
        let graph = self.talk.graph();
        self.listener.control(Control::SetGraph(graph));
    }

    /// Plays a sound; gives the facts that came of it.
    fn play(&mut self, sound: &[f32]) -> u64 {
        let before = self.talk.desk().record().last;
        for block in sound.chunks(FRAME_SAMPLES) {
            let mut samples = block.to_vec();
            samples.resize(FRAME_SAMPLES, 0.0);
            let index = self.at;
            self.at += 1;
            self.talk.desk().clock().advance_ms(32);
            self.talk.at((index + 1) * 32);
            for event in self
                .listener
                .push(AudioEvent::Frame(Frame { samples, index }))
            {
                for line in self.talk.listen(&event) {
                    if let Line::Heard { words, .. } = line {
                        self.heard.push(words);
                    }
                }
                self.speak();
            }
            self.talk.speak();
        }
        self.talk.desk().record().last - before
    }
}

/// Speech that is no command, and noise, in an order of its own each round: words outside the vocabulary, running
/// speech, machines; at three levels, speech also over noise.
struct Chatter {
    speech: Vec<Vec<f32>>,
    noise: Vec<Vec<f32>>,
    random: rand_chacha::ChaCha8Rng,
}

impl Chatter {
    fn read(shared: &Path) -> Self {
        let grammar = Grammar::built_in().unwrap();
        let rows = list::read(&shared.join("manifest.tsv")).unwrap();
        let speech = rows
            .iter()
            .filter(|row| !row.name.starts_with("an4"))
            .filter(|row| {
                [Situation::Table, Situation::Asleep]
                    .iter()
                    .all(|situation| {
                        matches!(
                            grammar.interpret(&row.words, *situation, Species::Dog),
                            Meaning::NotUnderstood
                        )
                    })
            })
            .map(|row| clip::read(&row.path).unwrap())
            .collect();
        let mut noise: Vec<PathBuf> = std::fs::read_dir(shared.join("noise"))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|extension| extension == "wav"))
            .collect();
        noise.sort();
        Self {
            speech,
            noise: noise.iter().map(|path| clip::read(path).unwrap()).collect(),
            random: rand_chacha::ChaCha8Rng::seed_from_u64(7),
        }
    }

    /// Some seconds of it.
    fn next(&mut self) -> Vec<f32> {
        let gain = [1.0, 0.5, 0.25][self.random.random_range(0..3)];
        let noise = self.random.random_bool(0.4);
        let mut sound: Vec<f32> = if noise {
            let noise = self.noise.choose(&mut self.random).unwrap();
            let from = self
                .random
                .random_range(0..noise.len().saturating_sub(80_000).max(1));
            noise[from..].iter().take(80_000).copied().collect()
        } else {
            self.speech.choose(&mut self.random).unwrap().clone()
        };
        if noise && self.random.random_bool(0.5) {
            let speech = self.speech.choose(&mut self.random).unwrap();
            add(&mut sound, 8_000, speech, 1.0);
        }
        for sample in &mut sound {
            *sample *= gain;
        }
        let pause = self.random.random_range(4_000..24_000);
        sound.extend(vec![0.0; pause]);
        sound
    }
}

/// An hour of talk and noise, awake and asleep.
#[test]
#[ignore = "takes half an hour; prints figures; run in release"]
fn figures_of_an_hour_of_chatter() {
    let (Some(models), Some(shared)) = (models(), recordings()) else {
        return;
    };
    println!(
        "| state | hours | clips of speech | utterances heard as commands | facts entered | values entered |"
    );
    println!("|---|---|---|---|---|---|");
    for asleep in [true, false] {
        let mut chatter = Chatter::read(&shared);
        let mut room = Room::new(&models);
        let tooth = sulcus::terms::ToothNumber::new(104).unwrap();
        room.press(Intent::ChooseTooth(tooth));
        if asleep {
            room.press(Intent::PauseListening);
        }
        let (mut samples, mut facts) = (0, 0);
        while samples < 3_600 * SAMPLE_RATE_HZ as usize {
            let sound = chatter.next();
            samples += sound.len();
            facts += room.play(&sound);
            // Whatever it did, the next hour-part begins as this one.
            if asleep && room.talk.desk().record().is_listening {
                room.press(Intent::PauseListening);
            }
            if !asleep && !room.talk.desk().record().is_listening {
                room.press(Intent::Listen);
            }
            if room.talk.desk().record().open_challenge().is_some() {
                room.press(Intent::Deny);
            }
        }
        let values = room.talk.desk().record().all().count();
        println!(
            "| {} | 1 | {} | {} | {facts} | {values} |",
            if asleep { "asleep" } else { "awake" },
            chatter.speech.len(),
            room.heard.len()
        );
        println!("heard: {:?}", room.heard);
    }
}

/// Resident memory of this process, MiB.
fn resident_mib() -> u64 {
    let text = std::fs::read_to_string("/proc/self/statm").unwrap();
    let pages: u64 = text.split(' ').nth(1).unwrap().parse().unwrap();
    pages * 4 / 1024
}

/// Eight hours: an examination every half hour, talk and noise between, silence for the rest.
#[test]
#[ignore = "takes an hour; prints figures; run in release"]
fn figures_of_eight_hours() {
    let (Some(models), Some(shared)) = (models(), recordings()) else {
        return;
    };
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("audio-fixtures/demo/dog.wav");
    let demo = sulcus::audio::wav::read(&demo, sulcus::audio::Mix::default()).unwrap();
    let mut chatter = Chatter::read(&shared);
    let mut room = Room::new(&models);
    println!(
        "| hour | resident MiB | entries in the visit | values that stand | one answer takes ms |"
    );
    println!("|---|---|---|---|---|");
    let half_hour = 1_800 * SAMPLE_RATE_HZ as usize;
    let mut standing = Vec::new();
    for half in 1..=16 {
        let mut samples = 0;
        let sound = demo.clone();
        samples += sound.len();
        room.play(&sound);
        standing.push(room.talk.desk().record().current().count());
        // A tenth of the rest is talk and noise.
        while samples < half_hour {
            let mut sound = chatter.next();
            let silence = sound.len() * 9;
            sound.extend(vec![0.0; silence]);
            samples += sound.len();
            room.play(&sound);
        }
        if half % 2 == 0 {
            let begun = std::time::Instant::now();
            room.press(Intent::Repeat);
            let took_ms = begun.elapsed().as_secs_f64() * 1000.0;
            println!(
                "| {} | {} | {} | {} | {took_ms:.1} |",
                half / 2,
                resident_mib(),
                room.talk.desk().record().last,
                standing.last().unwrap()
            );
        }
    }
}

/// How often the best two sentences of connected digits differ in one, how close they are, and which is right.
#[test]
#[ignore = "takes minutes; prints figures; run in release"]
fn figures_of_close_calls() {
    let (Some(models), Some(shared)) = (models(), recordings()) else {
        return;
    };
    let rows = list::read(&shared.join("manifest.tsv")).unwrap();
    let noises = Noises::read(&shared.join("noise"), 10.0, 1).unwrap();
    let digits = [
        "zero", "oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
    ];
    let grammar = Grammar::built_in().unwrap();
    let graph = Arc::new(WordGraph::loop_of(
        digits.iter().map(|digit| grammar.spelled(digit)).collect(),
        1,
        16,
    ));
    let mut recogniser = speech::open(Engine::Moonshine, &models).unwrap();
    recogniser.set_graph(graph).unwrap();
    let same = |words: &[String]| words.join(" ").replace("oh", "zero");
    println!(
        "| sound | second has at least | of the right, asked | of the wrong, asked | and the right one was offered | right | wrong |"
    );
    println!("|---|---|---|---|---|---|---|");
    for noisy in [false, true] {
        let mut cases: Vec<(bool, bool, f32)> = Vec::new();
        for row in rows.iter().filter(|row| {
            row.name.starts_with("an4")
                && row.words.iter().all(|word| digits.contains(&word.as_str()))
        }) {
            let mut sound = clip::read(&row.path).unwrap();
            if noisy {
                noises.mix(&row.name, &mut sound);
            }
            let hearing = recogniser.recognise(&sound).unwrap();
            let Some(best) = hearing.hypotheses.first() else {
                continue;
            };
            if matches!(
                hearing.unheard,
                Some(sulcus::speech::Unheard::OutOfGrammar | sulcus::speech::Unheard::NoSpeech)
            ) {
                continue;
            }
            let is_right = same(&best.words) == same(&row.words);
            let other = hearing.hypotheses[1..].iter().find(|other| {
                other.words.len() == best.words.len()
                    && same(&other.words) != same(&best.words)
                    && other
                        .words
                        .iter()
                        .zip(&best.words)
                        .filter(|(a, b)| a != b)
                        .count()
                        == 1
            });
            let (ratio, offers_right) = other.map_or((0.0, false), |other| {
                (
                    (other.log_probability - best.log_probability).exp(),
                    same(&other.words) == same(&row.words),
                )
            });
            // What is refused as unclear anyway is not entered, but may be asked.
            if hearing.unheard.is_none() || ratio > 0.0 {
                cases.push((is_right, offers_right, ratio));
            }
        }
        let right = cases.iter().filter(|case| case.0).count();
        let wrong = cases.len() - right;
        for least in [0.05, 0.1, 0.15, 0.25, 0.4, 0.6] {
            let asked = |is_right: bool| {
                cases
                    .iter()
                    .filter(|case| case.0 == is_right && case.2 >= least)
                    .count()
            };
            let offered = cases
                .iter()
                .filter(|case| !case.0 && case.1 && case.2 >= least)
                .count();
            println!(
                "| {} | {least} | {} | {} | {offered} | {right} | {wrong} |",
                if noisy { "noise, 10 dB" } else { "quiet" },
                asked(true),
                asked(false)
            );
        }
    }
}
