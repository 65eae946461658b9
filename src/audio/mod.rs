//! Sound as the rest of the program sees it: mono frames of one length at one rate.
//! Sources (microphone, file) send [`AudioEvent`]s into a bounded channel; nothing here knows of speech.
//!
//! Invariant: every frame that leaves this module has [`FRAME_SAMPLES`] samples at [`SAMPLE_RATE_HZ`].

/// Samples a second of every frame. 16 kHz is what the speech models were trained on,
/// and it keeps an ultrasonic scaler's 25 kHz tone out of the band.
pub const SAMPLE_RATE_HZ: u32 = 16_000;

/// Samples in one frame: 32 ms, the block length of the voice activity model.
pub const FRAME_SAMPLES: usize = 512;

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
