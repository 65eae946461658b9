//! The practised way of speaking as sound: one breath a tooth, beginning with "next", said by the program's own voice at
//! its own pace, heard by the real recogniser, read back by the real voice at the rate that the clinic chose. What a
//! tooth takes is held against what the rehearsals reckon for the same words.
//!
//! `cargo test --lib figures_of_the_practised_way -- --ignored --nocapture`.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::as_sound::models;
use super::desk::{Desk, Opening};
use super::file::Replay;
use super::simulated::{Exam, Manner};
use super::talk::{Line, Talk};
use crate::clock::SetClock;
use crate::speech::activity::{Activity, Settings, Silero};
use crate::speech::listener::Listener;
use crate::speech::{self, Engine};
use crate::terms::{Patient, Species};
use crate::voice::piper::PiperVoice;
use crate::voice::player::Output;
use crate::voice::{Sound, Speaker, Synthesiser, VoiceError};

const CLINIC: &str =
    "[conversation]\nread_back = \"short\"\nvoice_rate = 1.25\nnext_confirms = true\n";

/// From the end of speech to the answer with a headset, half of the time (docs/conversation.md, "Waiting").
const ANSWER_MS: u64 = 522;

/// What the rehearsals reckon for the same: decision, and the voice's onset.
const RECKONED_ANSWER_MS: u64 = 256 + 180 + 60;

/// A spoken word at the voice's own rate, as the rehearsals reckon it.
const RECKONED_WORD_MS: f32 = 390.0;

/// How far sound and rehearsal may be apart before the model counts as wrong.
const APART_MAX: f64 = 0.15;

/// A place for sound that only takes its length.
#[derive(Clone, Default)]
struct Length(Arc<AtomicU64>);

impl Output for Length {
    fn ready(&mut self) -> Result<(), VoiceError> {
        Ok(())
    }

    fn play(&mut self, sound: &Sound) -> Result<(), VoiceError> {
        self.0.fetch_add(length_ms(sound), Ordering::Relaxed);
        Ok(())
    }
}

fn length_ms(sound: &Sound) -> u64 {
    sound.samples.len() as u64 * 1000 / u64::from(sound.rate_hz)
}

/// The sound with quiet around it, as a file.
fn write(path: &Path, sound: &Sound) {
    let quiet = |seconds: f32| vec![0.0; (seconds * sound.rate_hz as f32) as usize];
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: sound.rate_hz,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::create(path, spec).expect("a file");
    for sample in [quiet(0.6), sound.samples.clone(), quiet(1.2)].concat() {
        writer
            .write_sample((sample * f32::from(i16::MAX)) as i16)
            .expect("written");
    }
    writer.finalize().expect("written");
}

#[test]
#[ignore = "takes minutes; gives the figure for docs/conversation.md"]
fn figures_of_the_practised_way_as_sound() {
    let Some(models) = models() else { return };
    let (teeth, manner) = (12, Manner::practised());
    let mut vet = PiperVoice::open(&models).expect("the voice");
    let (mut sounded_ms, mut reckoned_ms, mut breaths, mut refused) = (0, 0, 0, 0);
    let (mut called_ms, mut told_ms, mut called_words, mut told_words) = (0, 0, 0, 0);
    for seed in 0..2 {
        let species = Species::Dog;
        let exam = Exam::invent(species, teeth, &mut ChaCha8Rng::seed_from_u64(seed));
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join(super::clinic::FILE), CLINIC).expect("written");
        let opening = Opening {
            patient: Patient::example(species),
            vet: None,
            nurse: None,
        };
        let clock = Box::new(SetClock::at_second(1_800_000_000));
        let (desk, _) = Desk::open(folder.path(), Some(opening), true, clock).expect("a desk");
        let rate = desk.flow().voice_rate();
        let recogniser = speech::open(Engine::Moonshine, &models).expect("the engine");
        let identity = recogniser.identity();
        let silero = Silero::new(&models).expect("voice activity");
        let activity = Activity::new(Box::new(silero), Settings::default());
        let length = Length::default();
        let voice = PiperVoice::open_at(&models, rate).expect("the voice");
        let (mouth, events) =
            Speaker::synchronous(Some(Box::new(voice)), Box::new(length.clone()), None);
        let mut talk = Talk::new(desk, mouth, identity);
        let mut listener = Listener::new(activity, recogniser, Box::new(|| Duration::ZERO));
        for (at, breath) in exam.breaths().into_iter().enumerate() {
            let clip = vet.synthesise(&breath.join(" ")).expect("speech");
            let clip = clip.trimmed_and_levelled();
            let path = folder.path().join(format!("{at}.wav"));
            write(&path, &clip);
            let mut lines = Vec::new();
            let before_ms = length.0.load(Ordering::Relaxed);
            let mut replay = Replay {
                talk: &mut talk,
                listener: &mut listener,
                voice: &events,
                show: &mut |line| lines.push(line),
                progress: &mut |_| {},
            };
            replay.play(&path).expect("played");
            breaths += 1;
            let is_taken = lines.iter().any(|line| matches!(line, Line::Saved { .. }));
            if !is_taken {
                println!("refused: {} -> {lines:?}", breath.join(" "));
                refused += 1;
                continue;
            }
            let words = talk.spoken_last().split_whitespace().count();
            let heard_ms = length.0.load(Ordering::Relaxed) - before_ms;
            // Only the read-back: a question behind it is another breath's matter.
            let is_one = lines
                .iter()
                .filter(|line| matches!(line, Line::Says(_)))
                .count()
                == 1;
            if !is_one {
                continue;
            }
            called_ms += length_ms(&clip);
            called_words += breath.len() as u64;
            told_ms += heard_ms;
            told_words += words as u64;
            sounded_ms += length_ms(&clip) + ANSWER_MS + heard_ms + manner.gap_ms;
            reckoned_ms += breath.len() as u64 * manner.word_ms
                + RECKONED_ANSWER_MS
                + words as u64 * (RECKONED_WORD_MS / rate) as u64
                + manner.gap_ms;
        }
    }
    let ratio = sounded_ms as f64 / reckoned_ms as f64;
    println!(
        "{breaths} breaths, {refused} refused; a called word {} ms, a word told {} ms; as sound {:.1} s, reckoned \
         {:.1} s, ratio {ratio:.2}",
        called_ms / called_words.max(1),
        told_ms / told_words.max(1),
        sounded_ms as f64 / 1000.0,
        reckoned_ms as f64 / 1000.0,
    );
    assert!(called_words > 0, "something was understood");
    assert!(
        (ratio - 1.0).abs() <= APART_MAX,
        "the model is wrong: {ratio}"
    );
}
