//! Mixes noise into clips at a set distance in level, the same way each time for the same seed and clip.
//!
//! Invariant: the mixture depends on seed, clip name, clip and noise files only, not on the order of the list.

use std::path::Path;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use sha2::{Digest, Sha256};

use super::{ScoreError, clip};

/// Noises to mix in.
pub struct Noises {
    sounds: Vec<Vec<f32>>,
    pub snr_db: f32,
    pub seed: u64,
}

/// 20 ms.
const BLOCK_SAMPLES: usize = 320;
/// Blocks this far below the loudest are pauses, not speech: 20 dB, as power.
const PAUSE_OF_PEAK: f32 = 0.01;

impl Noises {
    /// Takes one WAV file, or all of a folder in the order of their names.
    pub fn read(path: &Path, snr_db: f32, seed: u64) -> Result<Self, ScoreError> {
        let failed = |why: String| ScoreError::Read {
            path: path.display().to_string(),
            why,
        };
        let mut files = vec![path.to_owned()];
        if path.is_dir() {
            let entries = std::fs::read_dir(path).map_err(|e| failed(e.to_string()))?;
            files = entries
                .filter_map(|entry| Some(entry.ok()?.path()))
                .filter(|file| file.extension().is_some_and(|extension| extension == "wav"))
                .collect();
            files.sort();
        }
        let sounds: Vec<Vec<f32>> = files
            .iter()
            .map(|file| clip::read(file))
            .collect::<Result<_, _>>()?;
        let sounds: Vec<_> = sounds.into_iter().filter(|s| power(s) > 0.0).collect();
        if sounds.is_empty() {
            return Err(failed("holds no WAV file with sound in it".to_owned()));
        }
        Ok(Self {
            sounds,
            snr_db,
            seed,
        })
    }

    /// Adds a noise, begun at a random place and looped, `snr_db` below the level of the clip's speech.
    pub fn mix(&self, name: &str, samples: &mut [f32]) {
        let mut hash = Sha256::new();
        hash.update(self.seed.to_le_bytes());
        hash.update(name.as_bytes());
        let mut random = ChaCha8Rng::from_seed(hash.finalize().into());
        let noise = &self.sounds[random.random_range(0..self.sounds.len())];
        let start = random.random_range(0..noise.len());
        let wanted = speech_power(samples) / 10f32.powf(self.snr_db / 10.0);
        let gain = (wanted / power(noise)).sqrt();
        let looped = noise.iter().cycle().skip(start);
        for (sample, noise) in samples.iter_mut().zip(looped) {
            *sample += gain * noise;
        }
        // What would not fit a sound card is turned down whole: clipping would be a second, other disturbance.
        let peak = samples.iter().fold(0f32, |peak, s| peak.max(s.abs()));
        if peak > 1.0 {
            samples.iter_mut().for_each(|sample| *sample /= peak);
        }
    }
}

/// Mean of the squares.
fn power(samples: &[f32]) -> f32 {
    samples.iter().map(|s| s * s).sum::<f32>() / samples.len().max(1) as f32
}

/// Mean power of the blocks that are no pauses.
fn speech_power(samples: &[f32]) -> f32 {
    let powers: Vec<f32> = samples.chunks(BLOCK_SAMPLES).map(power).collect();
    let peak = powers.iter().copied().fold(0.0, f32::max);
    let loud: Vec<f32> = powers
        .into_iter()
        .filter(|&power| power >= peak * PAUSE_OF_PEAK)
        .collect();
    loud.iter().sum::<f32>() / loud.len().max(1) as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noises(snr_db: f32) -> Noises {
        let hiss = (0..5_000).map(|i| ((i * 7919) % 101) as f32 / 101.0 - 0.5);
        Noises {
            sounds: vec![hiss.collect(), vec![0.25; 3_000]],
            snr_db,
            seed: 7,
        }
    }

    fn tone() -> Vec<f32> {
        (0..16_000).map(|i| 0.1 * (i as f32 * 0.2).sin()).collect()
    }

    #[test]
    fn noise_has_the_asked_level_below_the_speech() {
        for snr_db in [20.0, 10.0, 5.0, 0.0] {
            let clean = tone();
            let mut mixed = clean.clone();
            noises(snr_db).mix("a", &mut mixed);
            let added: Vec<f32> = mixed.iter().zip(&clean).map(|(m, c)| m - c).collect();
            let measured = 10.0 * (power(&clean) / power(&added)).log10();
            assert!((measured - snr_db).abs() < 1.0, "{measured} for {snr_db}");
        }
    }

    #[test]
    fn the_same_clip_gets_the_same_noise() {
        let mix = |name: &str| {
            let mut sound = tone();
            noises(10.0).mix(name, &mut sound);
            sound
        };
        assert_eq!(mix("a"), mix("a"));
        assert_ne!(mix("a"), mix("b"));
    }
}
