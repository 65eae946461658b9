//! Any rate and channel count in, frames out: mixes down, resamples, cuts into frames.
//! Knows neither files nor devices; samples come interleaved as `f32`.
//!
//! Invariant: the filter's delay is taken off, so a sound keeps its time to within one sample.

use rubato::audioadapter_buffers::direct::InterleavedSlice;
use rubato::{
    Async, FixedAsync, Indexing, Resampler, SincInterpolationParameters, WindowFunction,
    calculate_cutoff,
};

use super::{AudioError, FRAME_SAMPLES, Frame, Mix, SAMPLE_RATE_HZ};

/// Lowest rate taken: below it no speech is left to hear.
pub const RATE_HZ_MIN: u32 = 4_000;
/// Highest rate taken: four times the fastest common interface; above it the header is more likely wrong.
pub const RATE_HZ_MAX: u32 = 768_000;

/// Taps of the low-pass filter, counted at 16 kHz. With the Blackman-Harris window 128 taps pass up to 7.1 kHz
/// within 1 dB and keep what lies above 8.9 kHz 90 dB down (tests below), for under 1 % of one core from 48 kHz.
const FILTER_TAPS: usize = 128;

/// Milliseconds of input that the resampler takes at once: small against a frame, large against its overhead.
const CHUNK_MS: usize = 10;

/// Turns interleaved samples of one source into frames.
pub struct Converter {
    channels: usize,
    mix: Mix,
    /// None where the source already has 16 kHz.
    resampler: Option<Resampling>,
    /// 16 kHz mono samples that do not fill a frame yet.
    partial: Vec<f32>,
    next_index: u64,
}

struct Resampling {
    resampler: Async<f32>,
    /// Mono samples at the source's rate that do not fill a chunk yet.
    waiting: Vec<f32>,
    output: Vec<f32>,
    /// Samples of filter delay still to be dropped at the start.
    to_trim: usize,
    ratio: f64,
    taken: u64,
    given: u64,
}

impl Converter {
    /// A converter for a source of `channels` interleaved channels at `rate_hz`.
    /// `source_name` is for the error message only.
    pub fn new(
        source_name: &str,
        rate_hz: u32,
        channels: u16,
        mix: Mix,
    ) -> Result<Self, AudioError> {
        if let Mix::Channel(wanted) = mix
            && wanted >= channels
        {
            return Err(AudioError::NoSuchChannel {
                source_name: source_name.to_owned(),
                wanted,
                channels,
            });
        }
        if channels == 0 || !(RATE_HZ_MIN..=RATE_HZ_MAX).contains(&rate_hz) {
            return Err(AudioError::Rate {
                rate_hz,
                why: format!("{channels} channels at this rate are not sound"),
            });
        }
        let resampler = (rate_hz != SAMPLE_RATE_HZ)
            .then(|| Resampling::new(rate_hz))
            .transpose()?;
        Ok(Self {
            channels: channels as usize,
            mix,
            resampler,
            partial: Vec::with_capacity(2 * FRAME_SAMPLES),
            next_index: 0,
        })
    }

    /// Number that the next frame will bear.
    pub fn next_index(&self) -> u64 {
        self.next_index
    }

    /// Counts frames that never come (overrun, device away), so that later frames keep their time.
    pub fn skip(&mut self, frames: u64) {
        self.next_index += frames;
    }

    /// Starts afresh after a gap: what waited is dropped, numbering goes on.
    pub fn reset(&mut self) {
        self.partial.clear();
        if let Some(resampling) = &mut self.resampler {
            resampling.reset();
        }
    }

    /// Takes samples (whole sample groups: a multiple of the channel count), gives the frames they complete.
    pub fn push(&mut self, interleaved: &[f32]) -> Vec<Frame> {
        debug_assert_eq!(interleaved.len() % self.channels, 0);
        let mono = interleaved
            .chunks_exact(self.channels)
            .map(|group| finite(mix(group, self.mix)));
        match &mut self.resampler {
            None => self.partial.extend(mono),
            Some(resampling) => {
                resampling.waiting.extend(mono);
                resampling.run(&mut self.partial);
            }
        }
        self.cut()
    }

    /// The end of the source: gives what is left, the last frame filled up with silence.
    pub fn finish(&mut self) -> Vec<Frame> {
        if let Some(resampling) = &mut self.resampler {
            resampling.finish(&mut self.partial);
        }
        let odd = self.partial.len() % FRAME_SAMPLES;
        if odd > 0 {
            self.partial
                .resize(self.partial.len() + FRAME_SAMPLES - odd, 0.0);
        }
        self.cut()
    }

    fn cut(&mut self) -> Vec<Frame> {
        let whole = self.partial.len() / FRAME_SAMPLES;
        let frames = self
            .partial
            .drain(..whole * FRAME_SAMPLES)
            .collect::<Vec<_>>()
            .chunks_exact(FRAME_SAMPLES)
            .zip(self.next_index..)
            .map(|(samples, index)| Frame {
                samples: samples.to_vec(),
                index,
            })
            .collect();
        self.next_index += whole as u64;
        frames
    }
}

impl Resampling {
    fn new(rate_hz: u32) -> Result<Self, AudioError> {
        let ratio = f64::from(SAMPLE_RATE_HZ) / f64::from(rate_hz);
        // The filter is laid out at the lower of the two rates; rubato counts its taps at the source's rate.
        let stretch = (1.0 / ratio).max(1.0);
        let parameters = SincInterpolationParameters::new(
            (FILTER_TAPS as f64 * stretch).ceil() as usize,
            WindowFunction::BlackmanHarris,
        )
        .f_cutoff(calculate_cutoff(
            FILTER_TAPS,
            WindowFunction::BlackmanHarris,
        ));
        let chunk = (rate_hz as usize * CHUNK_MS / 1000).max(1);
        let resampler = Async::new_sinc(ratio, 1.0, &parameters, chunk, 1, FixedAsync::Input)
            .map_err(|error| AudioError::Rate {
                rate_hz,
                why: error.to_string(),
            })?;
        Ok(Self {
            to_trim: resampler.output_delay(),
            output: vec![0.0; resampler.output_frames_max()],
            resampler,
            waiting: Vec::with_capacity(4 * chunk),
            ratio,
            taken: 0,
            given: 0,
        })
    }

    fn reset(&mut self) {
        self.resampler.reset();
        self.waiting.clear();
        self.to_trim = self.resampler.output_delay();
        self.taken = 0;
        self.given = 0;
    }

    fn run(&mut self, out: &mut Vec<f32>) {
        let mut at = 0;
        while self.waiting.len() - at >= self.resampler.input_frames_next() {
            at += self.chunk(at, None, out);
        }
        self.waiting.drain(..at);
    }

    fn finish(&mut self, out: &mut Vec<f32>) {
        let wanted = ((self.taken + self.waiting.len() as u64) as f64 * self.ratio).ceil() as u64;
        let left = self.waiting.len();
        self.chunk(0, Some(left), out);
        while self.given < wanted {
            self.chunk(0, Some(0), out);
        }
        out.truncate(out.len() - (self.given - wanted) as usize);
        self.reset();
    }

    /// Resamples one chunk that starts at `at` in `waiting`; returns how many samples it took.
    fn chunk(&mut self, at: usize, partial: Option<usize>, out: &mut Vec<f32>) -> usize {
        let input = InterleavedSlice::new(&self.waiting[at..], 1, self.waiting.len() - at)
            .expect("the slice has as many samples as it says");
        let frames = self.output.len();
        let mut output = InterleavedSlice::new_mut(&mut self.output, 1, frames)
            .expect("the slice has as many samples as it says");
        let indexing = Indexing {
            partial_len: partial,
            ..Indexing::default()
        };
        let (taken, given) = self
            .resampler
            .process_into_buffer(&input, &mut output, Some(&indexing))
            .expect("input and output are as long as the resampler asks for");
        let trim = self.to_trim.min(given);
        self.to_trim -= trim;
        out.extend_from_slice(&self.output[trim..given]);
        let taken = partial.unwrap_or(taken);
        self.taken += taken as u64;
        self.given += (given - trim) as u64;
        taken
    }
}

fn mix(group: &[f32], mix: Mix) -> f32 {
    match mix {
        Mix::Mean => group.iter().sum::<f32>() / group.len() as f32,
        Mix::Channel(channel) => group[channel as usize],
    }
}

/// Float files and broken drivers may hold values that are no number; one of them would silence the models for good.
fn finite(sample: f32) -> f32 {
    if sample.is_finite() { sample } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tone(rate_hz: u32, frequency_hz: f64, seconds: f64) -> Vec<f32> {
        (0..(f64::from(rate_hz) * seconds) as usize)
            .map(|at| {
                let phase = std::f64::consts::TAU * frequency_hz * at as f64 / f64::from(rate_hz);
                (0.5 * phase.sin()) as f32
            })
            .collect()
    }

    /// All samples that come out when the sound goes in by pieces of `piece` samples.
    fn convert(rate_hz: u32, channels: u16, mix: Mix, sound: &[f32], piece: usize) -> Vec<f32> {
        let mut converter = Converter::new("test", rate_hz, channels, mix).unwrap();
        let mut frames = Vec::new();
        for part in sound.chunks(piece * channels as usize) {
            frames.extend(converter.push(part));
        }
        frames.extend(converter.finish());
        for (expected, frame) in frames.iter().enumerate() {
            assert_eq!(frame.index, expected as u64);
            assert_eq!(frame.samples.len(), FRAME_SAMPLES);
        }
        frames.into_iter().flat_map(|frame| frame.samples).collect()
    }

    /// Level of the middle of the sound against the 0.5 tone that went in, in dB.
    fn gain_db(samples: &[f32]) -> f64 {
        let middle = &samples[samples.len() / 4..samples.len() * 3 / 4];
        let mean_square =
            middle.iter().map(|&s| f64::from(s).powi(2)).sum::<f64>() / middle.len() as f64;
        10.0 * (mean_square / 0.125).max(1e-20).log10()
    }

    #[test]
    fn speech_band_passes_at_every_common_rate() {
        for rate_hz in [
            8_000, 11_025, 16_000, 22_050, 32_000, 44_100, 48_000, 96_000, 192_000, 47_999,
        ] {
            for frequency_hz in [200.0, 1_000.0, 3_400.0] {
                let gain = gain_db(&convert(
                    rate_hz,
                    1,
                    Mix::Mean,
                    &tone(rate_hz, frequency_hz, 1.0),
                    480,
                ));
                assert!(
                    gain.abs() < 0.1,
                    "{rate_hz} Hz, {frequency_hz} Hz: {gain} dB"
                );
            }
        }
    }

    #[test]
    fn upper_speech_band_passes_and_what_would_fold_back_is_gone() {
        for rate_hz in [44_100, 48_000, 96_000, 192_000] {
            let gain = |hz| {
                gain_db(&convert(
                    rate_hz,
                    1,
                    Mix::Mean,
                    &tone(rate_hz, hz, 1.0),
                    480,
                ))
            };
            assert!(gain(7_000.0) > -1.0, "{rate_hz}: {}", gain(7_000.0));
            // 10 kHz would fold to 6 kHz, 9 kHz to 7 kHz.
            assert!(gain(9_000.0) < -80.0, "{rate_hz}: {}", gain(9_000.0));
            assert!(gain(10_000.0) < -80.0, "{rate_hz}: {}", gain(10_000.0));
        }
        // An ultrasonic scaler's 25 kHz, as a fast interface hears it, would fold to 7 kHz.
        let scaler = gain_db(&convert(
            96_000,
            1,
            Mix::Mean,
            &tone(96_000, 25_000.0, 1.0),
            480,
        ));
        assert!(scaler < -80.0, "{scaler}");
    }

    #[test]
    fn sound_keeps_its_time_and_length_however_it_is_cut() {
        for rate_hz in [8_000_u32, 16_000, 44_100, 48_000, 96_000] {
            // A click in the middle of one second.
            let mut sound = vec![0.0; rate_hz as usize];
            sound[rate_hz as usize / 2] = 1.0;
            let mut first: Option<Vec<f32>> = None;
            for piece in [1, 7, 441, 480, 100_000] {
                let samples = convert(rate_hz, 1, Mix::Mean, &sound, piece);
                assert_eq!(samples.len(), 16_384, "one second fills 32 frames");
                let loudest = (0..samples.len())
                    .max_by(|&a, &b| samples[a].abs().total_cmp(&samples[b].abs()))
                    .unwrap();
                assert!(loudest.abs_diff(8_000) <= 1, "{rate_hz}/{piece}: {loudest}");
                match &first {
                    None => first = Some(samples),
                    Some(first) => assert_eq!(first, &samples, "{rate_hz}/{piece}"),
                }
            }
        }
    }

    #[test]
    fn one_channel_or_the_mean() {
        let stereo: Vec<f32> = (0..16_000).flat_map(|_| [0.5, -0.25]).collect();
        for (mix, value) in [
            (Mix::Mean, 0.125),
            (Mix::Channel(0), 0.5),
            (Mix::Channel(1), -0.25),
        ] {
            let samples = convert(16_000, 2, mix, &stereo, 480);
            assert!((samples[8_000] - value).abs() < 1e-6, "{mix:?}");
        }
        assert!(matches!(
            Converter::new("test", 16_000, 2, Mix::Channel(2)),
            Err(AudioError::NoSuchChannel {
                wanted: 2,
                channels: 2,
                ..
            })
        ));
    }

    #[test]
    fn values_that_are_no_number_become_silence() {
        let mut sound = tone(48_000, 1_000.0, 1.0);
        sound[20_000] = f32::NAN;
        sound[30_000] = f32::INFINITY;
        let samples = convert(48_000, 1, Mix::Mean, &sound, 480);
        assert!(samples.iter().all(|sample| sample.is_finite()));
    }

    #[test]
    fn gaps_keep_later_frames_in_time() {
        let mut converter = Converter::new("test", 16_000, 1, Mix::Mean).unwrap();
        assert_eq!(converter.push(&[0.1; 700]).len(), 1);
        converter.reset();
        converter.skip(10);
        let frames = converter.push(&[0.1; 512]);
        assert_eq!(frames[0].index, 11);
    }

    #[test]
    fn impossible_rates_are_refused() {
        for rate_hz in [0, 100, 4_000_000] {
            assert!(Converter::new("test", rate_hz, 1, Mix::Mean).is_err());
        }
        assert!(Converter::new("test", 16_000, 0, Mix::Mean).is_err());
    }
}
