//! What a place for sound must do, and the place that is none. Devices and files are in their own modules.

use super::{Cue, SayId, Sound, VoiceError};

/// What is about to be played, for those who keep a list.
#[derive(Debug, Clone, Copy)]
pub enum Item<'a> {
    Sentence { id: SayId, phrases: &'a [String] },
    Cue(Cue),
}

/// Where sound goes.
pub trait Output: Send {
    /// Opens the device where it is not open. The speaker calls it before each item, and now and then while it waits.
    fn ready(&mut self) -> Result<(), VoiceError>;

    /// An item begins; its sound follows by [`Output::play`].
    fn begin(&mut self, _item: &Item<'_>) -> Result<(), VoiceError> {
        Ok(())
    }

    /// Adds sound after what is being played, and returns at once.
    fn play(&mut self, sound: &Sound) -> Result<(), VoiceError>;

    /// The item has no more sound.
    fn end(&mut self) -> Result<(), VoiceError> {
        Ok(())
    }

    /// Milliseconds until the last sample has been heard; 0 where sound is not heard at all.
    /// An error says that the device went away: what was left will not be heard.
    fn remaining_ms(&mut self) -> Result<u64, VoiceError> {
        Ok(0)
    }

    /// Forgets what has not been heard yet.
    fn cut(&mut self) {}

    /// Makes the device silent at once from any thread, until the next [`Output::cut`].
    fn silencer(&self) -> Silencer {
        Silencer::default()
    }
}

/// Silences an output from another thread.
#[derive(Debug, Clone, Default)]
pub struct Silencer(std::sync::Arc<std::sync::atomic::AtomicBool>);

impl Silencer {
    pub fn silence(&self) {
        self.0.store(true, std::sync::atomic::Ordering::Release);
    }

    pub fn release(&self) {
        self.0.store(false, std::sync::atomic::Ordering::Release);
    }

    pub fn is_silent(&self) -> bool {
        self.0.load(std::sync::atomic::Ordering::Acquire)
    }
}

/// Nobody listens: for `replay` without `--voice-out`. Everything counts as said.
#[derive(Debug, Default)]
pub struct Nowhere {
    silencer: Silencer,
}

impl Output for Nowhere {
    fn ready(&mut self) -> Result<(), VoiceError> {
        Ok(())
    }

    fn play(&mut self, _sound: &Sound) -> Result<(), VoiceError> {
        Ok(())
    }

    fn cut(&mut self) {
        self.silencer.release();
    }

    fn silencer(&self) -> Silencer {
        self.silencer.clone()
    }
}
