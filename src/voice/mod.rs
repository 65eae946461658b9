//! Sentences in, sound out: tells `app` when it starts and stops speaking, so that the microphone is not heard then.
//! Decides how numbers are spoken, not what is said: that comes from `session` and `grammar/replies.en.toml`.
//!
//! Invariant: one phrase under one voice gives the same samples each time, so that sound may be kept and compared.

pub mod ahead;
pub mod cache;
pub mod check;
pub mod cue;
pub mod espeak;
pub mod loudspeaker;
pub mod monitored;
pub mod piper;
pub mod player;
mod pronunciation;
pub mod sound;
pub mod speaker;
pub mod wav_folder;
pub mod wording;

pub use cue::{Cue, HeardTone};
pub use sound::Sound;
pub use speaker::{Priority, SayId, Speaker, VoiceEvent};

use std::path::{Path, PathBuf};

/// A way of turning one phrase into sound.
pub trait Synthesiser: Send {
    /// Name, model and settings: two synthesisers with one identity give the same sound for the same phrase.
    fn identity(&self) -> &str;

    /// Samples a second of every sound it makes.
    fn rate_hz(&self) -> u32;

    /// Makes one phrase (words and punctuation, no figures).
    fn synthesise(&mut self, phrase: &str) -> Result<Sound, VoiceError>;
}

/// A voice that makes no sound and no work: for replays that nobody listens to.
#[derive(Debug, Clone, Copy)]
pub struct Silent;

impl Synthesiser for Silent {
    fn identity(&self) -> &str {
        "silent"
    }

    fn rate_hz(&self) -> u32 {
        22_050
    }

    fn synthesise(&mut self, _phrase: &str) -> Result<Sound, VoiceError> {
        Ok(Sound::silence(0, self.rate_hz()))
    }
}

/// What can fail when the program speaks. None of it stops the examination: tones and page go on.
#[derive(Debug, thiserror::Error)]
pub enum VoiceError {
    /// Model or description missing or damaged. Fall back to the other voice; ask the person to fetch the models.
    #[error("cannot use the voice model {path}: {why}; run ./models-fetch.sh")]
    Model { path: PathBuf, why: String },
    /// The neural runtime could not be opened. Fall back to the other voice.
    #[error("the neural voice cannot start")]
    Runtime(#[from] crate::speech::SpeechError),
    /// The program that turns words into speech sounds is missing or failed. Ask the person to install it.
    #[error("cannot run {program}: {why}; install it (apt-get install espeak-ng)")]
    Program { program: String, why: String },
    /// This phrase could not be made. Retry with the next one.
    #[error("cannot make speech of {phrase:?}: {why}")]
    Phrase { phrase: String, why: String },
    /// No loudspeaker, or it went away. It is looked for again.
    #[error("no loudspeaker: {why}; plug one in or choose another with --loudspeaker")]
    Loudspeaker { why: String },
    /// A sound file could not be written. Ask the person for room or another folder.
    #[error("cannot write the voice to {path}: {why}; free space or choose another --voice-out")]
    File { path: PathBuf, why: String },
    /// More is waiting to be said than anybody would listen to. The sentence is dropped.
    #[error("too many sentences wait to be said")]
    TooMuch,
    /// There is no voice at all: tones only.
    #[error("no voice: run ./models-fetch.sh, or install espeak-ng (apt-get install espeak-ng)")]
    NoVoice,
}

/// The voice found on this machine.
pub struct Opened {
    /// `None`: tones only.
    pub synthesiser: Option<Box<dyn Synthesiser>>,
    /// Told once at start: why it is not the better voice.
    pub warnings: Vec<VoiceError>,
}

/// Opens the best voice there is: the neural one, else espeak-ng by itself, else none.
pub fn open(models: &Path) -> Opened {
    open_at(models, 1.0)
}

/// The same at another rate: 1 is the rate at which the read-backs were understood best, more is faster. espeak-ng by
/// itself keeps its own.
pub fn open_at(models: &Path, rate: f32) -> Opened {
    let mut warnings = Vec::new();
    match piper::PiperVoice::open_at(models, rate) {
        Ok(voice) => {
            return Opened {
                synthesiser: Some(Box::new(voice)),
                warnings,
            };
        }
        Err(error) => warnings.push(error),
    }
    match espeak::EspeakVoice::open() {
        Ok(voice) => Opened {
            synthesiser: Some(Box::new(voice)),
            warnings,
        },
        Err(error) => {
            warnings.push(error);
            warnings.push(VoiceError::NoVoice);
            Opened {
                synthesiser: None,
                warnings,
            }
        }
    }
}
