//! An output that also tells what it plays, at the microphone's rate, so that it can be taken out of what is heard.

use std::sync::Arc;

use super::loudspeaker::converted;
use super::player::{Item, Output, Silencer};
use super::{Sound, VoiceError};
use crate::audio::SAMPLE_RATE_HZ;

/// Told each sound as it is handed to the loudspeaker (16 kHz, mono).
pub type Tell = Box<dyn Fn(Arc<[f32]>) + Send>;

pub struct Monitored {
    inner: Box<dyn Output>,
    tell: Tell,
}

impl Monitored {
    pub fn new(inner: Box<dyn Output>, tell: Tell) -> Self {
        Self { inner, tell }
    }
}

impl Output for Monitored {
    fn ready(&mut self) -> Result<(), VoiceError> {
        self.inner.ready()
    }

    fn begin(&mut self, item: &Item<'_>) -> Result<(), VoiceError> {
        self.inner.begin(item)
    }

    fn play(&mut self, sound: &Sound) -> Result<(), VoiceError> {
        self.inner.play(sound)?;
        // Without the reference the echo stays in; that is no reason not to speak.
        if let Ok(samples) = converted(sound, SAMPLE_RATE_HZ) {
            (self.tell)(samples.into());
        }
        Ok(())
    }

    fn end(&mut self) -> Result<(), VoiceError> {
        self.inner.end()
    }

    fn remaining_ms(&mut self) -> Result<u64, VoiceError> {
        self.inner.remaining_ms()
    }

    fn cut(&mut self) {
        self.inner.cut();
    }

    fn silencer(&self) -> Silencer {
        self.inner.silencer()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::voice::player::Nowhere;

    #[test]
    fn what_is_played_is_told_at_the_microphones_rate() {
        let (sender, told) = crossbeam_channel::unbounded();
        let tell = Box::new(move |sound: Arc<[f32]>| sender.send(sound.len()).unwrap());
        let mut output = Monitored::new(Box::new(Nowhere::default()), tell);
        output.play(&Sound::silence(1_000, 22_050)).unwrap();
        let length = told.try_recv().unwrap();
        assert!(length.abs_diff(16_000) <= 1, "{length}");
    }
}
