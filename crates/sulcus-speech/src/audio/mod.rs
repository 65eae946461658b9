//! Sound as the rest of the program sees it: mono frames of one length at one rate.
//! Sources (microphone, file) send [`AudioEvent`]s into a bounded channel; nothing here knows of speech.
//!
//! Invariant: every frame that leaves this module has [`FRAME_SAMPLES`] samples at [`SAMPLE_RATE_HZ`].

pub mod capture;
mod continuity;
pub mod convert;
pub mod echo;
pub mod level;
pub mod likeness;
pub mod microphone;
pub mod wav;

/// Samples a second of every frame. 16 kHz is what the speech models were trained on,
/// and it keeps an ultrasonic scaler's 25 kHz tone out of the band.
pub const SAMPLE_RATE_HZ: u32 = 16_000;

/// Samples in one frame: 32 ms, the block length of the voice activity model.
pub const FRAME_SAMPLES: usize = 512;

/// Milliseconds of one frame.
pub const FRAME_MS: u64 = FRAME_SAMPLES as u64 * 1000 / SAMPLE_RATE_HZ as u64;

/// One block of sound: mono, 16 kHz, nominal range -1.0 to 1.0.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Exactly [`FRAME_SAMPLES`] samples.
    pub samples: Vec<f32>,
    /// Number of the frame since the source was opened, gaps from overruns included.
    pub index: u64,
}

/// What a source tells its listener.
#[derive(Debug, Clone, PartialEq)]
pub enum AudioEvent {
    /// The next block of sound.
    Frame(Frame),
    /// The listener was too slow: this many frames were dropped and will never come.
    Overrun { frames: u64 },
    /// The device went away (unplugged, server stopped). The source keeps looking for it.
    Lost { device: String, why: String },
    /// The device, or its replacement, is there again; frames follow.
    Found { device: String },
    /// A file came to its end. Microphones never send this.
    Ended,
}

/// How several channels become one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mix {
    /// The mean of all channels: one microphone, or several that hear the same person.
    #[default]
    Mean,
    /// One channel alone, counted from zero: two microphones on one stereo input.
    Channel(u16),
}

/// What can go wrong with sound coming in, and what to do about it.
#[derive(Debug, thiserror::Error)]
pub enum AudioError {
    /// The file does not exist. Ask the person.
    #[error("there is no sound file {path}; check the name and the folder")]
    NotThere { path: String },
    /// The file cannot be opened or read. Ask the person.
    #[error("cannot read the sound file {path}: {why}")]
    Unreadable { path: String, why: String },
    /// The file is something else. Ask the person to convert it.
    #[error(
        "{path} is no WAV file; convert it first, for example: sox {path} -r 16000 -c 1 -b 16 {path}.wav"
    )]
    NotWav { path: String },
    /// The file has no bytes at all.
    #[error("the sound file {path} is empty (0 bytes); record it again, or give another file")]
    Empty { path: String },
    /// A WAV header and nothing behind it.
    #[error(
        "the sound file {path} has a header but no sound in it; record it again, or give another file"
    )]
    NoSamples { path: String },
    /// The file ends before its sound begins.
    #[error(
        "the sound file {path} breaks off within its header; copy it again, or record it again"
    )]
    BrokenHeader { path: String },
    /// A WAV file in a form that is not read here.
    #[error(
        "cannot use the sound in {path}: {what}; convert it first, for example: sox {path} -r 16000 -c 1 -b 16 converted.wav"
    )]
    Unsupported { path: String, what: String },
    /// The file ends in the middle of its sound. What was before the end was given out.
    #[error(
        "the sound file {path} breaks off after {good_ms} ms ({why}); what came before was used: record the rest again"
    )]
    Damaged {
        path: String,
        good_ms: u64,
        why: String,
    },
    /// A WAV file could not be written.
    #[error("cannot write the sound file {path}: {why}; check the folder and the free space")]
    Unwritable { path: String, why: String },
    /// The machine has no device that gives sound. Retry when one is plugged in.
    #[error("no microphone: plug one in, or give --device NAME; sulcus doctor lists them ({why})")]
    NoMicrophone { why: String },
    /// No device goes by the name that was asked for, or more than one does. Ask the person.
    #[error(
        "no sound device {name:?} can be told apart; known are: {known}; sulcus doctor lists them"
    )]
    UnknownDevice { name: String, known: String },
    /// The device is there but gives no sound. Retry, then ask the person.
    #[error(
        "cannot listen to {device}: {why}; close other programs that use it, or give another --device NAME"
    )]
    Device { device: String, why: String },
    /// The channel that was asked for is not there. Ask the person.
    #[error("channel {wanted} was asked for, but {source_name} has {channels} (counted from 0)")]
    NoSuchChannel {
        source_name: String,
        wanted: u16,
        channels: u16,
    },
    /// A sample rate that cannot be brought to 16 kHz.
    #[error(
        "cannot convert {rate_hz} samples a second to 16000: {why}; use a rate from 4000 to 768000"
    )]
    Rate { rate_hz: u32, why: String },
}
