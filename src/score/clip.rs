//! Reads a clip of a list: WAV, 16 kHz, any bit depth, channels averaged. Writes one as it was heard.

use std::path::Path;

use super::ScoreError;
use crate::audio::SAMPLE_RATE_HZ;

/// The clip's samples, nominal range -1.0 to 1.0.
pub fn read(path: &Path) -> Result<Vec<f32>, ScoreError> {
    let failed = |why: String| ScoreError::Read {
        path: path.display().to_string(),
        why,
    };
    let mut reader = hound::WavReader::open(path).map_err(|e| failed(e.to_string()))?;
    let spec = reader.spec();
    if spec.sample_rate != SAMPLE_RATE_HZ {
        return Err(failed(format!(
            "{} Hz; clips to be measured must have {SAMPLE_RATE_HZ} Hz",
            spec.sample_rate
        )));
    }
    let samples: Result<Vec<f32>, hound::Error> = match spec.sample_format {
        hound::SampleFormat::Float => reader.samples::<f32>().collect(),
        hound::SampleFormat::Int => {
            let full = (1i64 << (spec.bits_per_sample - 1)) as f32;
            reader
                .samples::<i32>()
                .map(|sample| sample.map(|sample| sample as f32 / full))
                .collect()
        }
    };
    let samples = samples.map_err(|e| failed(e.to_string()))?;
    let channels = usize::from(spec.channels.max(1));
    Ok(samples
        .chunks_exact(channels)
        .map(|frame| frame.iter().sum::<f32>() / channels as f32)
        .collect())
}

/// Writes samples as 32-bit floats, so that reading them gives the same again.
pub fn write(path: &Path, samples: &[f32]) -> Result<(), ScoreError> {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: SAMPLE_RATE_HZ,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    let write = || -> Result<(), hound::Error> {
        let mut writer = hound::WavWriter::create(path, spec)?;
        for &sample in samples {
            writer.write_sample(sample)?;
        }
        writer.finalize()
    };
    write().map_err(|e| ScoreError::Write {
        path: path.display().to_string(),
        why: e.to_string(),
    })
}
