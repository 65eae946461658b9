//! How much of what the microphone heard is what the loudspeaker played, whatever the delay between them: a second
//! opinion beside the echo canceller, which loses its delay where a busy machine plays with gaps.

use std::sync::Arc;

use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

/// 256 ms: long enough that another voice does not fit by chance, short enough to lie between two gaps.
const WINDOW_SAMPLES: usize = 4_096;

/// Windows softer than this part of the loudest one's power say nothing: 20 dB below it.
const LOUD_OF_PEAK: f32 = 0.01;

/// The share of the energy of `heard` that is a shifted and scaled copy of `played`, 0 to 1; each window may have
/// its own shift. 0 where there is too little sound. Both at one rate.
pub fn share_played(heard: &[f32], played: &[f32]) -> f32 {
    if heard.len() < WINDOW_SAMPLES || played.len() < WINDOW_SAMPLES {
        return 0.0;
    }
    let windows: Vec<&[f32]> = heard.chunks_exact(WINDOW_SAMPLES).collect();
    let peak = windows
        .iter()
        .map(|window| energy(window))
        .fold(0.0, f64::max);
    let correlator = Correlator::new(played);
    let (mut own, mut all) = (0.0, 0.0);
    for window in windows {
        let energy = energy(window);
        if energy > peak * f64::from(LOUD_OF_PEAK) && energy.is_finite() {
            own += energy * correlator.likeness(window, energy);
            all += energy;
        }
    }
    if all > 0.0 { (own / all) as f32 } else { 0.0 }
}

fn energy(samples: &[f32]) -> f64 {
    samples
        .iter()
        .map(|sample| f64::from(*sample).powi(2))
        .sum()
}

/// One sound, ready to be compared with windows.
struct Correlator {
    forward: Arc<dyn RealToComplex<f32>>,
    inverse: Arc<dyn ComplexToReal<f32>>,
    size: usize,
    spectrum: Vec<realfft::num_complex::Complex<f32>>,
    /// Energy of the sound under the window at each shift.
    energies: Vec<f64>,
    /// Shifts below this energy are not looked at: quiet stretches fit anything.
    least_energy: f64,
}

impl Correlator {
    fn new(sound: &[f32]) -> Self {
        let size = (sound.len() + WINDOW_SAMPLES).next_power_of_two();
        let mut planner = RealFftPlanner::new();
        let forward = planner.plan_fft_forward(size);
        let inverse = planner.plan_fft_inverse(size);
        let mut padded = sound.to_vec();
        padded.resize(size, 0.0);
        let mut spectrum = forward.make_output_vec();
        // Only wrong lengths can fail, and these are made by the plan.
        let _ = forward.process(&mut padded, &mut spectrum);
        let mut sums = vec![0.0];
        let mut sum = 0.0;
        for sample in sound {
            sum += f64::from(*sample).powi(2);
            sums.push(sum);
        }
        let energies: Vec<f64> = (0..=sound.len() - WINDOW_SAMPLES)
            .map(|at| sums[at + WINDOW_SAMPLES] - sums[at])
            .collect();
        let loudest = energies.iter().copied().fold(0.0, f64::max);
        Self {
            forward,
            inverse,
            size,
            spectrum,
            energies,
            least_energy: loudest * f64::from(LOUD_OF_PEAK),
        }
    }

    /// Share of the window's energy that the best shift explains.
    fn likeness(&self, window: &[f32], energy: f64) -> f64 {
        let mut padded = window.to_vec();
        padded.resize(self.size, 0.0);
        let mut spectrum = self.forward.make_output_vec();
        let _ = self.forward.process(&mut padded, &mut spectrum);
        for (one, other) in spectrum.iter_mut().zip(&self.spectrum) {
            *one = other * one.conj();
        }
        let mut correlation = self.inverse.make_output_vec();
        let _ = self.inverse.process(&mut spectrum, &mut correlation);
        correlation
            .iter()
            .zip(&self.energies)
            .filter(|(_, played)| **played > self.least_energy)
            .map(|(sum, played)| (f64::from(*sum) / self.size as f64).powi(2) / (played * energy))
            .fold(0.0, f64::max)
            .min(1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A hoarse buzz of changing pitch: like no other part of itself.
    fn voice(seed: u32, seconds: f32) -> Vec<f32> {
        let mut state = seed;
        let mut phase = 0.0_f32;
        (0..(seconds * 16_000.0) as usize)
            .map(|at| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let hiss = (state >> 8) as f32 / 8_388_608.0 - 1.0;
                let hz = 120.0 + seed as f32 + 40.0 * (at as f32 / 5_000.0).sin();
                phase += hz / 16_000.0;
                (phase.fract() - 0.5) * 0.2 + hiss * 0.05
            })
            .collect()
    }

    #[test]
    fn a_delayed_copy_is_known_even_with_gaps_and_another_voice_is_not() {
        let played = voice(1, 4.0);
        let copy: Vec<f32> = played[20_000..36_000].iter().map(|s| s * 0.3).collect();
        assert!(share_played(&copy, &played) > 0.95);
        // The loudspeaker stopped for 20 ms.
        let mut gap = copy.clone();
        gap.splice(8_192..8_192, vec![0.0; 320]);
        assert!(share_played(&gap, &played) > 0.8);
        let other = voice(7, 1.0);
        assert!(share_played(&other, &played) < 0.5);
        // Another voice as loud as the copy.
        let mixed: Vec<f32> = copy.iter().zip(&other).map(|(a, b)| a + b * 0.3).collect();
        assert!(share_played(&mixed, &played) < 0.7);
    }

    #[test]
    fn silence_and_scraps_are_nothing_of_it() {
        let played = voice(1, 1.0);
        assert_eq!(share_played(&[], &played), 0.0);
        assert_eq!(share_played(&played, &[]), 0.0);
        assert_eq!(share_played(&vec![0.0; 8_000], &played), 0.0);
        assert_eq!(share_played(&played, &vec![0.0; 8_000]), 0.0);
        assert!(share_played(&vec![f32::NAN; 8_000], &played) <= 1.0);
    }
}
