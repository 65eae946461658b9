//! How high a voice is: the pitch of an utterance. Tells nothing of what is said, nor who said it.

use pitch_detection::detector::PitchDetector as _;
use pitch_detection::detector::mcleod::McLeodDetector;

use crate::audio::SAMPLE_RATE_HZ;

/// 48 ms: nearly three periods of the lowest voice.
const WINDOW_SAMPLES: usize = 768;
const STEP_SAMPLES: usize = 256;

/// Windows softer than this part of the loudest one's power hold no vowel: 17 dB below it.
const LOUD_OF_PEAK: f32 = 0.02;

/// How periodic a window must be, 0 to 1. Chosen on half of the people of CMU AN4, in quiet and in noise at 10 dB: at
/// 0.6 the usual pitch of 30 of 31 is found, at 0.8 of 16; what is found is as often right.
const CLARITY_MIN: f32 = 0.6;

/// Voices of adults lie within, with room on both sides; other values are mains hum, overtones and beeps.
const VOICES_HZ: std::ops::Range<f32> = 60.0..400.0;

/// Fewer windows with a pitch than this (0.16 s) say nothing of a voice.
const WINDOWS_MIN: usize = 10;

/// The median pitch in hertz; none where there is too little voice.
pub fn median_hz(samples: &[f32]) -> Option<f32> {
    let windows = || samples.windows(WINDOW_SAMPLES).step_by(STEP_SAMPLES);
    let peak = windows().map(power).fold(0.0, f32::max);
    let mut detector = McLeodDetector::new(WINDOW_SAMPLES, WINDOW_SAMPLES / 2);
    let mut found: Vec<f32> = windows()
        .filter(|window| power(window) > peak * LOUD_OF_PEAK)
        .filter_map(|window| {
            detector.get_pitch(
                window,
                SAMPLE_RATE_HZ as usize,
                f32::MIN_POSITIVE,
                CLARITY_MIN,
            )
        })
        .map(|pitch| pitch.frequency)
        .filter(|hz| VOICES_HZ.contains(hz))
        .collect();
    if found.len() < WINDOWS_MIN {
        return None;
    }
    found.sort_by(f32::total_cmp);
    Some(found[found.len() / 2])
}

fn power(window: &[f32]) -> f32 {
    window.iter().map(|sample| sample * sample).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A buzz with overtones, as a throat makes it.
    fn buzz(hz: f32, seconds: f32) -> Vec<f32> {
        (0..(seconds * 16_000.0) as usize)
            .map(|at| {
                let turn = at as f32 * hz / 16_000.0 * std::f32::consts::TAU;
                (1..6)
                    .map(|n| (turn * n as f32).sin() / n as f32)
                    .sum::<f32>()
                    * 0.1
            })
            .collect()
    }

    #[test]
    fn a_buzz_has_its_pitch() {
        for hz in [85.0, 120.0, 210.0, 330.0] {
            let found = median_hz(&buzz(hz, 0.5)).unwrap();
            assert!((found / hz - 1.0).abs() < 0.02, "{hz}: {found}");
        }
    }

    #[test]
    fn silence_scraps_and_hiss_have_none() {
        assert_eq!(median_hz(&[]), None);
        assert_eq!(median_hz(&vec![0.0; 16_000]), None);
        assert_eq!(median_hz(&vec![f32::NAN; 16_000]), None);
        assert_eq!(median_hz(&buzz(120.0, 0.15)), None);
        let mut state = 1u32;
        let hiss: Vec<f32> = (0..16_000)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (state >> 8) as f32 / (1 << 24) as f32 - 0.5
            })
            .collect();
        assert_eq!(median_hz(&hiss), None);
    }
}
