//! Sound as the voice makes it: mono samples at the maker's own rate. The loudspeaker converts, nobody else does.

/// Mono sound, nominal range -1.0 to 1.0.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    pub samples: Vec<f32>,
    /// Samples a second, above zero.
    pub rate_hz: u32,
}

/// Loudness of speech, as root mean square of its voiced part: -20 dB below full scale,
/// so that phrases made apart sound like one sentence. Common practice, no source.
const SPEECH_RMS: f32 = 0.1;

/// Peaks are kept below this, so that nothing is clipped on the way to 16 bits or by a resampler's overshoot.
const PEAK_MAX: f32 = 0.9;

/// Below this share of the phrase's peak (-40 dB), sound counts as silence when its ends are cut.
const SILENCE_SHARE: f32 = 0.01;

/// Silence left before and after a phrase. Soft consonants ("f", "th") begin below the silence threshold;
/// without these 40 ms, "four" lost its first sound.
const MARGIN_MS: u32 = 40;

impl Sound {
    /// Nothing, for `duration_ms`.
    pub fn silence(duration_ms: u32, rate_hz: u32) -> Self {
        Self {
            samples: vec![0.0; samples_in(duration_ms, rate_hz)],
            rate_hz,
        }
    }

    pub fn duration_ms(&self) -> u64 {
        self.samples.len() as u64 * 1000 / u64::from(self.rate_hz.max(1))
    }

    /// Cuts silent ends to [`MARGIN_MS`] and brings the phrase to one loudness.
    pub fn trimmed_and_levelled(mut self) -> Self {
        let peak = peak(&self.samples);
        if peak == 0.0 {
            self.samples.clear();
            return self;
        }
        let loud = |sample: &f32| sample.abs() > peak * SILENCE_SHARE;
        let margin = samples_in(MARGIN_MS, self.rate_hz);
        let first = self.samples.iter().position(loud).unwrap_or(0);
        let last = self.samples.iter().rposition(loud).unwrap_or(0);
        let start = first.saturating_sub(margin);
        let end = (last + 1 + margin).min(self.samples.len());
        self.samples.truncate(end);
        self.samples.drain(..start);

        let voiced = self.samples.iter().filter(|sample| loud(sample));
        let (sum, count) = voiced.fold((0.0_f64, 0_u64), |(sum, count), sample| {
            (sum + f64::from(sample * sample), count + 1)
        });
        let rms = (sum / count.max(1) as f64).sqrt() as f32;
        let gain = (SPEECH_RMS / rms).min(PEAK_MAX / peak);
        for sample in &mut self.samples {
            *sample *= gain;
        }
        self
    }

    /// 16-bit samples, as in a WAV file; what lies outside the range is clipped.
    pub fn to_pcm(&self) -> Vec<i16> {
        self.samples
            .iter()
            .map(|sample| (sample.clamp(-1.0, 1.0) * f32::from(i16::MAX)).round() as i16)
            .collect()
    }

    pub fn from_pcm(pcm: &[i16], rate_hz: u32) -> Self {
        Self {
            samples: pcm
                .iter()
                .map(|sample| f32::from(*sample) / f32::from(i16::MAX))
                .collect(),
            rate_hz,
        }
    }

    /// What a reader of the 16-bit file gets: a kept sound is the same as a fresh one.
    pub fn rounded_to_pcm(&self) -> Self {
        Self::from_pcm(&self.to_pcm(), self.rate_hz)
    }

    /// The bytes of a WAV file: 16 bits, mono.
    pub fn to_wav(&self) -> Result<Vec<u8>, hound::Error> {
        let specification = hound::WavSpec {
            channels: 1,
            sample_rate: self.rate_hz,
            bits_per_sample: 16,
            sample_format: hound::SampleFormat::Int,
        };
        let mut bytes = std::io::Cursor::new(Vec::new());
        let mut writer = hound::WavWriter::new(&mut bytes, specification)?;
        for sample in self.to_pcm() {
            writer.write_sample(sample)?;
        }
        writer.finalize()?;
        Ok(bytes.into_inner())
    }

    /// Reads a 16-bit mono WAV file. A length field that promises more than is there (a file made in a pipe) is forgiven.
    pub fn from_wav(bytes: &[u8]) -> Result<Self, hound::Error> {
        let mut reader = hound::WavReader::new(std::io::Cursor::new(bytes))?;
        let specification = reader.spec();
        if specification.channels != 1 || specification.bits_per_sample != 16 {
            return Err(hound::Error::Unsupported);
        }
        let pcm: Vec<i16> = reader.samples::<i16>().map_while(Result::ok).collect();
        Ok(Self::from_pcm(&pcm, specification.sample_rate))
    }
}

/// Samples that `duration_ms` takes at `rate_hz`.
pub fn samples_in(duration_ms: u32, rate_hz: u32) -> usize {
    (u64::from(duration_ms) * u64::from(rate_hz) / 1000) as usize
}

fn peak(samples: &[f32]) -> f32 {
    samples
        .iter()
        .fold(0.0_f32, |peak, sample| peak.max(sample.abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tone(level: f32, duration_ms: u32) -> Vec<f32> {
        (0..samples_in(duration_ms, 16_000))
            .map(|index| (index as f32 * 0.3).sin() * level)
            .collect()
    }

    #[test]
    fn phrases_of_unlike_loudness_come_out_alike_and_trimmed() {
        for level in [0.02, 0.2, 0.95] {
            let mut samples = vec![0.0; 16_000];
            samples.extend(tone(level, 500));
            samples.extend(vec![0.0; 8_000]);
            let sound = Sound {
                samples,
                rate_hz: 16_000,
            }
            .trimmed_and_levelled();
            let duration = sound.duration_ms();
            assert!((570..=582).contains(&duration), "{duration} ms at {level}");
            let peak = peak(&sound.samples);
            assert!((0.13..0.15).contains(&peak), "peak {peak} at {level}");
        }
    }

    #[test]
    fn silence_stays_silence() {
        let sound = Sound::silence(100, 16_000).trimmed_and_levelled();
        assert!(sound.samples.is_empty());
    }

    #[test]
    fn a_wav_file_gives_back_the_rounded_sound() {
        let sound = Sound {
            samples: tone(0.5, 30),
            rate_hz: 22_050,
        };
        let read = Sound::from_wav(&sound.to_wav().unwrap()).unwrap();
        assert_eq!(read, sound.rounded_to_pcm());
        assert_eq!(read, read.rounded_to_pcm());
    }

    #[test]
    fn a_wav_file_that_promises_too_much_is_read_to_its_end() {
        let mut bytes = Sound::silence(10, 16_000).to_wav().unwrap();
        bytes[40..44].copy_from_slice(&0x7fff_f000_u32.to_le_bytes());
        let read = Sound::from_wav(&bytes).unwrap();
        assert_eq!(read.samples.len(), 160);
    }
}
