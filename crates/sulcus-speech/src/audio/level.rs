//! How loud sound is, in dB below full scale: for the check of the microphone and the page's meter.
//! Measures only; advice in words is given by `doctor`.

use super::FRAME_SAMPLES;

/// Lowest level told: below 24-bit silence. Keeps figures finite where there is no sound at all.
pub const FLOOR_DBFS: f32 = -120.0;

/// A sample at or above this counts as clipped: 16-bit converters that clip give 32767 / 32768.
const CLIPPED: f32 = 0.999;

/// The quietest tenth of the frames is taken as the room without speech. Speech has pauses between words,
/// so a tenth is there even while somebody talks.
const NOISE_FLOOR_SHARE: f32 = 0.1;

/// Level of one stretch of sound. All figures in dBFS: a full-scale square wave has 0, a full-scale sine -3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    pub peak_dbfs: f32,
    pub rms_dbfs: f32,
    /// Root mean square of the quietest frames.
    pub noise_floor_dbfs: f32,
    /// Samples at full scale.
    pub clipped_samples: u64,
    pub samples: u64,
}

/// Adds sound up until [`Meter::level`] is asked.
#[derive(Debug, Clone, Default)]
pub struct Meter {
    peak: f32,
    square_sum: f64,
    samples: u64,
    clipped: u64,
    /// Mean square of each whole frame.
    frames: Vec<f32>,
}

impl Meter {
    pub fn push(&mut self, samples: &[f32]) {
        for part in samples.chunks(FRAME_SAMPLES) {
            let square_sum: f64 = part.iter().map(|&s| f64::from(s) * f64::from(s)).sum();
            self.square_sum += square_sum;
            if part.len() == FRAME_SAMPLES {
                self.frames.push((square_sum / part.len() as f64) as f32);
            }
        }
        self.samples += samples.len() as u64;
        for &sample in samples {
            self.peak = self.peak.max(sample.abs());
            self.clipped += u64::from(sample.abs() >= CLIPPED);
        }
    }

    pub fn samples(&self) -> u64 {
        self.samples
    }

    pub fn level(&self) -> Level {
        let mean_square = self.square_sum / self.samples.max(1) as f64;
        Level {
            peak_dbfs: dbfs(f64::from(self.peak)),
            rms_dbfs: dbfs(mean_square.sqrt()),
            noise_floor_dbfs: self.noise_floor_dbfs(),
            clipped_samples: self.clipped,
            samples: self.samples,
        }
    }

    fn noise_floor_dbfs(&self) -> f32 {
        let mut frames = self.frames.clone();
        if frames.is_empty() {
            return FLOOR_DBFS;
        }
        let at = ((frames.len() - 1) as f32 * NOISE_FLOOR_SHARE) as usize;
        let (_, quiet, _) = frames.select_nth_unstable_by(at, f32::total_cmp);
        dbfs(f64::from(*quiet).sqrt())
    }
}

/// Level of one value against full scale.
pub fn dbfs(amplitude: f64) -> f32 {
    ((20.0 * amplitude.max(1e-12).log10()) as f32).max(FLOOR_DBFS)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sine(amplitude: f32) -> Vec<f32> {
        (0..16_000)
            .map(|at| amplitude * (at as f32 * 0.25).sin())
            .collect()
    }

    fn level(samples: &[f32]) -> Level {
        let mut meter = Meter::default();
        meter.push(samples);
        meter.level()
    }

    #[test]
    fn a_half_scale_sine_has_minus_six_peak_and_minus_nine_rms() {
        let level = level(&sine(0.5));
        assert!((level.peak_dbfs + 6.02).abs() < 0.1, "{level:?}");
        assert!((level.rms_dbfs + 9.03).abs() < 0.1, "{level:?}");
        assert_eq!(level.clipped_samples, 0);
    }

    #[test]
    fn silence_is_finite() {
        assert_eq!(level(&[0.0; 4_096]).rms_dbfs, FLOOR_DBFS);
        assert_eq!(level(&[]).noise_floor_dbfs, FLOOR_DBFS);
    }

    #[test]
    fn clipping_is_counted() {
        let clipped: Vec<f32> = sine(2.0).iter().map(|s| s.clamp(-1.0, 1.0)).collect();
        assert!(level(&clipped).clipped_samples > 8_000);
    }

    #[test]
    fn noise_floor_is_that_of_the_pauses() {
        let mut sound = sine(0.001);
        sound.extend(sine(0.5));
        sound.extend(sine(0.5));
        let level = level(&sound);
        assert!((level.noise_floor_dbfs + 63.0).abs() < 1.0, "{level:?}");
    }
}
