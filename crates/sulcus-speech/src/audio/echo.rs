//! Takes known sound (what the program itself says) out of what the microphone hears. Knows nothing of speech; the
//! reference is passed in.
//!
//! Invariant: as many samples come out as go in, one block and the canceller's own 8 ms later; without a reference they
//! have their level, but not their lowest tones.

use std::collections::VecDeque;

use sonora::config::EchoCanceller as Settings;
use sonora::{AudioProcessing, Config, StreamConfig};

use super::SAMPLE_RATE_HZ;

/// The canceller works on 10 ms.
const BLOCK: usize = SAMPLE_RATE_HZ as usize / 100;

/// An adaptive filter between loudspeaker and microphone.
pub struct EchoCanceller {
    canceller: AudioProcessing,
    /// Sound that is being played and was not yet matched with the microphone's.
    reference: VecDeque<f32>,
    microphone: VecDeque<f32>,
    cleaned: VecDeque<f32>,
}

impl Default for EchoCanceller {
    fn default() -> Self {
        let stream = || StreamConfig::new(SAMPLE_RATE_HZ, 1);
        let canceller = AudioProcessing::builder()
            .config(Config {
                echo_canceller: Some(Settings::default()),
                ..Config::default()
            })
            .capture_config(stream())
            .render_config(stream())
            .build();
        Self {
            canceller,
            reference: VecDeque::new(),
            microphone: VecDeque::new(),
            // One block ahead, since frames are no whole number of blocks.
            cleaned: std::iter::repeat_n(0.0, BLOCK).collect(),
        }
    }
}

impl EchoCanceller {
    /// This sound (16 kHz, mono) goes to the loudspeaker now, after what was given before. The canceller finds the
    /// delay of device and room by itself, up to about half a second.
    pub fn played(&mut self, sound: &[f32]) {
        self.reference.extend(sound);
    }

    /// The rest of what was given will not be played.
    pub fn silenced(&mut self) {
        self.reference.clear();
    }

    /// Cleans samples of the microphone in place.
    pub fn clean(&mut self, samples: &mut [f32]) {
        self.microphone.extend(samples.iter());
        while self.microphone.len() >= BLOCK {
            let mut heard: Vec<f32> = self.microphone.drain(..BLOCK).collect();
            let count = self.reference.len().min(BLOCK);
            let mut played: Vec<f32> = self.reference.drain(..count).collect();
            played.resize(BLOCK, 0.0);
            let mut unused = vec![0.0; BLOCK];
            let rendered = self
                .canceller
                .process_render_f32(&[&played], &mut [&mut unused]);
            let mut clean = vec![0.0; BLOCK];
            let captured = self
                .canceller
                .process_capture_f32(&[&heard], &mut [&mut clean]);
            // Only a wrong stream form can fail; then the sound goes through as it is.
            if rendered.is_ok() && captured.is_ok() {
                heard = clean;
            }
            self.cleaned.extend(heard);
        }
        for sample in samples {
            *sample = self.cleaned.pop_front().unwrap_or(0.0);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Noise that is the same each time.
    fn noise(count: usize) -> Vec<f32> {
        let mut state = 1_u32;
        (0..count)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (state >> 8) as f32 / 8_388_608.0 - 1.0
            })
            .map(|sample| sample * 0.2)
            .collect()
    }

    fn power(samples: &[f32]) -> f32 {
        samples.iter().map(|sample| sample * sample).sum::<f32>() / samples.len() as f32
    }

    #[test]
    fn known_sound_is_taken_out_and_other_sound_is_left() {
        let seconds = 6 * SAMPLE_RATE_HZ as usize;
        let played = noise(seconds);
        let delay = 1_280;
        let mut heard = vec![0.0; seconds];
        for at in delay..seconds {
            heard[at] = played[at - delay] * 0.3;
        }
        let before = power(&heard[seconds - 16_000..]);
        let mut canceller = EchoCanceller::default();
        canceller.played(&played);
        for frame in heard.chunks_mut(512) {
            canceller.clean(frame);
        }
        let after = power(&heard[seconds - 16_000..]);
        assert!(after < before / 100.0, "{before} {after}");

        // Without a reference, a voice-like sound comes through at its level.
        let mut voice: Vec<f32> = (0..seconds)
            .map(|at| (at as f32 * 0.1).sin() * 0.2)
            .collect();
        let before = power(&voice[seconds - 16_000..]);
        let mut canceller = EchoCanceller::default();
        for frame in voice.chunks_mut(512) {
            canceller.clean(frame);
        }
        let after = power(&voice[seconds - 16_000..]);
        assert!((after / before - 1.0).abs() < 0.5, "{before} {after}");
    }
}
