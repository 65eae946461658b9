//! Sound files in and out. Reads any WAV that `hound` knows through the same converter as the microphone,
//! as fast as the receiver takes it.
//!
//! Invariant: a file that breaks off gives all frames before the break, then the error; never half a file in silence.

use std::fs::File;
use std::io::{BufReader, ErrorKind, Read, Seek, SeekFrom};
use std::path::Path;

use crossbeam_channel::Sender;
use hound::{SampleFormat, WavIntoSamples, WavReader, WavSpec, WavWriter};

use super::convert::Converter;
use super::{AudioError, AudioEvent, Frame, Mix, SAMPLE_RATE_HZ};

/// Sample groups read at once: enough to keep overhead small, little against memory.
const BLOCK_GROUPS: usize = 4_096;

/// Frames of one WAV file, in order.
pub struct WavSource {
    path: String,
    samples: Samples,
    channels: u16,
    rate_hz: u32,
    length_ms: u64,
    converter: Converter,
    ready: std::collections::VecDeque<Frame>,
    state: State,
    groups_read: u64,
}

enum Samples {
    Integer {
        samples: WavIntoSamples<BufReader<File>, i32>,
        /// What full scale is divided by.
        scale: f32,
    },
    Float(WavIntoSamples<BufReader<File>, f32>),
}

enum State {
    Reading,
    /// The break is told after the frames before it.
    Broken(String),
    Done,
}

impl WavSource {
    pub fn open(path: &Path, mix: Mix) -> Result<Self, AudioError> {
        let name = path.display().to_string();
        let mut file = File::open(path).map_err(|error| match error.kind() {
            ErrorKind::NotFound => AudioError::NotThere { path: name.clone() },
            _ => unreadable(&name, &error),
        })?;
        check_header(&mut file, &name)?;
        let reader = WavReader::new(BufReader::new(file)).map_err(|error| match error {
            // hound has no kind of its own for a file that ends too soon.
            hound::Error::IoError(error)
                if matches!(error.kind(), ErrorKind::UnexpectedEof | ErrorKind::Other) =>
            {
                AudioError::BrokenHeader { path: name.clone() }
            }
            hound::Error::IoError(error) => unreadable(&name, &error),
            error => AudioError::Unsupported {
                path: name.clone(),
                what: said(&error),
            },
        })?;
        let spec = reader.spec();
        if reader.duration() == 0 {
            return Err(AudioError::NoSamples { path: name });
        }
        let converter = Converter::new(&name, spec.sample_rate, spec.channels, mix).map_err(
            |error| match error {
                AudioError::Rate { rate_hz, .. } => AudioError::Unsupported {
                    path: name.clone(),
                    what: format!("{} channels at {rate_hz} samples a second", spec.channels),
                },
                error => error,
            },
        )?;
        Ok(Self {
            path: name,
            channels: spec.channels,
            rate_hz: spec.sample_rate,
            length_ms: u64::from(reader.duration()) * 1000 / u64::from(spec.sample_rate),
            samples: match spec.sample_format {
                SampleFormat::Float => Samples::Float(reader.into_samples()),
                SampleFormat::Int => Samples::Integer {
                    samples: reader.into_samples(),
                    scale: (1_i64 << (spec.bits_per_sample - 1)) as f32,
                },
            },
            converter,
            ready: std::collections::VecDeque::new(),
            state: State::Reading,
            groups_read: 0,
        })
    }

    /// Length that the header tells, in milliseconds.
    pub fn length_ms(&self) -> u64 {
        self.length_ms
    }

    /// The next frame; `None` at the end of the file.
    pub fn next_frame(&mut self) -> Result<Option<Frame>, AudioError> {
        loop {
            if let Some(frame) = self.ready.pop_front() {
                return Ok(Some(frame));
            }
            match std::mem::replace(&mut self.state, State::Done) {
                State::Done => return Ok(None),
                State::Broken(why) => {
                    return Err(AudioError::Damaged {
                        path: self.path.clone(),
                        good_ms: self.groups_read * 1000 / u64::from(self.rate_hz),
                        why,
                    });
                }
                State::Reading => self.state = self.read_block(),
            }
        }
    }

    fn read_block(&mut self) -> State {
        let channels = self.channels as usize;
        let (mut block, mut broken) = (Vec::with_capacity(BLOCK_GROUPS * channels), None);
        while block.len() < BLOCK_GROUPS * channels {
            let sample = match &mut self.samples {
                Samples::Float(samples) => samples.next(),
                Samples::Integer { samples, scale } => samples
                    .next()
                    .map(|sample| sample.map(|value| value as f32 / *scale)),
            };
            match sample {
                Some(Ok(sample)) => block.push(sample),
                Some(Err(error)) => {
                    broken = Some(match error {
                        hound::Error::IoError(_) => "it is shorter than its header says".to_owned(),
                        error => said(&error),
                    });
                    break;
                }
                None => break,
            }
        }
        let more = block.len() == BLOCK_GROUPS * channels;
        block.truncate(block.len() / channels * channels);
        self.groups_read += (block.len() / channels) as u64;
        self.ready.extend(self.converter.push(&block));
        if more {
            return State::Reading;
        }
        self.ready.extend(self.converter.finish());
        broken.map_or(State::Done, State::Broken)
    }
}

/// Sends all frames of the file and then [`AudioEvent::Ended`], waiting where the receiver is slower.
/// Stops without error where the receiver has gone.
pub fn send(path: &Path, mix: Mix, events: &Sender<AudioEvent>) -> Result<(), AudioError> {
    let mut source = WavSource::open(path, mix)?;
    while let Some(frame) = source.next_frame()? {
        if events.send(AudioEvent::Frame(frame)).is_err() {
            return Ok(());
        }
    }
    // A receiver that went away in this moment needs no end.
    let _ = events.send(AudioEvent::Ended);
    Ok(())
}

/// The whole file as 16 kHz mono samples, the last frame filled up with silence.
pub fn read(path: &Path, mix: Mix) -> Result<Vec<f32>, AudioError> {
    let mut source = WavSource::open(path, mix)?;
    let mut samples = Vec::new();
    while let Some(frame) = source.next_frame()? {
        samples.extend(frame.samples);
    }
    Ok(samples)
}

/// Writes mono samples as 16-bit WAV. Values beyond full scale are cut to it.
pub fn write(path: &Path, samples: &[f32], rate_hz: u32) -> Result<(), AudioError> {
    let unwritable = |error: hound::Error| AudioError::Unwritable {
        path: path.display().to_string(),
        why: error.to_string(),
    };
    let spec = WavSpec {
        channels: 1,
        sample_rate: rate_hz,
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    let mut writer = WavWriter::create(path, spec).map_err(unwritable)?;
    for &sample in samples {
        let value = (sample * 32_768.0).round().clamp(-32_768.0, 32_767.0);
        writer.write_sample(value as i16).map_err(unwritable)?;
    }
    writer.finalize().map_err(unwritable)
}

/// Writes samples of this program's own rate.
pub fn write_frames(path: &Path, samples: &[f32]) -> Result<(), AudioError> {
    write(path, samples, SAMPLE_RATE_HZ)
}

/// Tells apart what `hound` would call by one name: an empty file, and a file that is no WAV.
fn check_header(file: &mut File, name: &str) -> Result<(), AudioError> {
    let mut head = Vec::new();
    file.by_ref()
        .take(12)
        .read_to_end(&mut head)
        .map_err(|error| unreadable(name, &error))?;
    if head.is_empty() {
        return Err(AudioError::Empty {
            path: name.to_owned(),
        });
    }
    if head.len() < 12 || &head[..4] != b"RIFF" || &head[8..12] != b"WAVE" {
        return Err(AudioError::NotWav {
            path: name.to_owned(),
        });
    }
    file.seek(SeekFrom::Start(0))
        .map(|_| ())
        .map_err(|error| unreadable(name, &error))
}

/// The library's words without their full stop: they stand within our sentences.
fn said(error: &hound::Error) -> String {
    error.to_string().trim_end_matches('.').to_owned()
}

fn unreadable(name: &str, error: &std::io::Error) -> AudioError {
    AudioError::Unreadable {
        path: name.to_owned(),
        why: error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hound::WavSpec;

    /// Half a second of a 1 kHz tone at half scale on every channel, in the given form.
    fn tone_file(
        folder: &Path,
        bits: u16,
        float: bool,
        rate_hz: u32,
        channels: u16,
    ) -> std::path::PathBuf {
        let path = folder.join(format!("tone-{bits}-{float}-{rate_hz}-{channels}.wav"));
        let spec = WavSpec {
            channels,
            sample_rate: rate_hz,
            bits_per_sample: bits,
            sample_format: if float {
                SampleFormat::Float
            } else {
                SampleFormat::Int
            },
        };
        let mut writer = WavWriter::create(&path, spec).unwrap();
        for at in 0..rate_hz / 2 {
            let value =
                0.5 * (std::f64::consts::TAU * 1_000.0 * f64::from(at) / f64::from(rate_hz)).sin();
            for _ in 0..channels {
                if float {
                    writer.write_sample(value as f32).unwrap();
                } else {
                    let scale = (1_i64 << (bits - 1)) as f64;
                    writer.write_sample((value * scale).round() as i32).unwrap();
                }
            }
        }
        writer.finalize().unwrap();
        path
    }

    #[test]
    fn every_form_of_wav_gives_the_same_sound() {
        let folder = tempfile::tempdir().unwrap();
        for (bits, float) in [
            (8, false),
            (16, false),
            (24, false),
            (32, false),
            (32, true),
        ] {
            for rate_hz in [8_000, 16_000, 44_100, 96_000] {
                for channels in [1, 2, 6] {
                    let path = tone_file(folder.path(), bits, float, rate_hz, channels);
                    let samples = read(&path, Mix::Mean).unwrap();
                    assert_eq!(samples.len(), 8_192, "{}", path.display());
                    let middle = &samples[2_000..6_000];
                    let mean_square = middle.iter().map(|s| s * s).sum::<f32>() / 4_000.0;
                    let rms = mean_square.sqrt();
                    assert!((rms - 0.353_6).abs() < 0.005, "{}: {rms}", path.display());
                }
            }
        }
    }

    #[test]
    fn what_is_written_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("out.wav");
        let samples: Vec<f32> = (0..1_024).map(|at| (at as f32 * 0.1).sin() * 1.5).collect();
        write_frames(&path, &samples).unwrap();
        let back = read(&path, Mix::Mean).unwrap();
        assert_eq!(back.len(), 1_024);
        for (sample, back) in samples.iter().zip(&back) {
            assert!((sample.clamp(-1.0, 1.0) - back).abs() < 1.0 / 16_384.0);
        }
    }

    #[test]
    fn a_file_that_breaks_off_gives_its_sound_and_then_the_error() {
        let folder = tempfile::tempdir().unwrap();
        let path = tone_file(folder.path(), 16, false, 16_000, 1);
        let bytes = std::fs::read(&path).unwrap();
        std::fs::write(&path, &bytes[..44 + 2 * 4_000 + 1]).unwrap();
        let mut source = WavSource::open(&path, Mix::Mean).unwrap();
        let mut frames = 0;
        let error = loop {
            match source.next_frame() {
                Ok(Some(_)) => frames += 1,
                Ok(None) => panic!("the break was not told"),
                Err(error) => break error,
            }
        };
        assert_eq!(frames, 8);
        assert!(
            matches!(error, AudioError::Damaged { good_ms: 250, .. }),
            "{error}"
        );
        assert!(matches!(source.next_frame(), Ok(None)));
    }

    #[test]
    fn files_are_sent_whole_and_end() {
        let folder = tempfile::tempdir().unwrap();
        let path = tone_file(folder.path(), 24, false, 8_000, 2);
        let (sender, receiver) = crossbeam_channel::bounded(2);
        let sending = std::thread::spawn(move || send(&path, Mix::Channel(1), &sender));
        let events: Vec<AudioEvent> = receiver.iter().collect();
        sending.join().unwrap().unwrap();
        assert_eq!(events.len(), 17);
        assert_eq!(events[16], AudioEvent::Ended);
    }
}
