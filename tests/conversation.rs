//! The conversation with real models and no devices: the program's own voice in its microphone must not interrupt it,
//! and a person must. Skips, saying so, without the models.
//! `cargo test --test conversation -- --ignored --nocapture` prints the figures of DEVELOPERS.md.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use sulcus::app::turn::is_echo;
use sulcus::audio::{AudioEvent, FRAME_SAMPLES, Frame, SAMPLE_RATE_HZ};
use sulcus::grammar::{Grammar, Situation};
use sulcus::speech::activity::{Activity, Settings, Silero};
use sulcus::speech::listener::{Control, ListenEvent, Listener, Under};
use sulcus::speech::{self, Engine, WordGraph};
use sulcus::voice::Synthesiser;
use sulcus::voice::piper::PiperVoice;

fn models() -> Option<PathBuf> {
    let models = std::env::var_os("SULCUS_MODELS").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("models"),
        PathBuf::from,
    );
    if models.join("piper/voice.onnx").is_file() && models.join("moonshine/tokenizer.bin").is_file()
    {
        return Some(models);
    }
    assert!(
        std::env::var_os("SULCUS_TEST_ALL").is_none(),
        "no models in {}",
        models.display()
    );
    println!("SKIPPED: no models; run ./models-fetch.sh");
    None
}

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
                match heard.under {
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
                    .filter(|heard| !is_echo(&[heard.clone()], sentence))
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
                let is_right = heard.iter().any(|heard| *heard == wanted);
                right += usize::from(is_right);
                wrong += heard.len() - usize::from(is_right);
            }
        }
        println!("| {db:.0} dB | {starts} | {entered} | {right} | {wrong} |");
    }
}
