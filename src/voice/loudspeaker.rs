//! The loudspeaker: the only file that plays through `cpal`. Converts to the device's rate, channels and format,
//! tells when the device went away, and opens it again when asked.
//!
//! Invariant: the device's callbacks neither block, allocate, lock nor log; samples and errors go through wait-free
//! queues.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{ErrorKind, FromSample, SampleFormat, SizedSample, StreamConfig};
use rtrb::{Consumer, RingBuffer};
use rubato::audioadapter_buffers::direct::SequentialSlice;
use rubato::{Fft, FixedSync, Resampler};

use super::player::{Output, Silencer};
use super::{Sound, VoiceError};

mod feed;

/// Seconds of sound that may wait: the longest sentence, with room to spare.
const WAITING_SECONDS: u32 = 30;

/// Wireless loudspeakers lag by a third of a second; three seconds are beyond all of them.
const LATENCY_SECONDS_MAX: u32 = 3;

/// How long to wait before a lost or missing device is tried again: opening can take half a second.
const RETRY: Duration = Duration::from_secs(2);

/// A device that takes no sample for this long, while there are some, is taken for gone:
/// not every driver tells.
const STALL: Duration = Duration::from_secs(2);

/// Errors of the driver for this long, with no sound taken between them, mean that the device is gone. A busy sound
/// server gives hundreds of them within milliseconds, and goes on.
const ERRORS: Duration = Duration::from_secs(1);

/// A loudspeaker, opened when it is first needed.
pub struct Loudspeaker {
    /// Part of the device's name or its identity; `None` is the system's choice.
    wanted: Option<String>,
    device: Option<OpenDevice>,
    tried: Option<Instant>,
    silencer: Silencer,
}

struct OpenDevice {
    feed: feed::Feed,
    /// Told by the driver's error callback, once.
    lost: Consumer<cpal::Error>,
    name: String,
    rate_hz: u32,
    /// Kept alive: dropping it closes the device.
    _stream: cpal::Stream,
    last_blocks: u64,
    last_progress: Instant,
}

impl Loudspeaker {
    /// A loudspeaker whose name or identity contains `wanted` (any case), or the system's default.
    pub fn new(wanted: Option<String>) -> Self {
        Self {
            wanted,
            device: None,
            tried: None,
            silencer: Silencer::default(),
        }
    }

    /// The error that made the device unusable, if any; then it is closed.
    fn check(&mut self) -> Result<(), VoiceError> {
        let Some(device) = &mut self.device else {
            let why = "it is not open".to_owned();
            return Err(VoiceError::Loudspeaker { why });
        };
        let told = device.lost.pop().ok();
        let lost = told
            .map(|error| format!("{}: {error}", device.name))
            .or_else(|| device.stalled());
        match lost {
            None => Ok(()),
            Some(why) => {
                self.device = None;
                // Tried again at once: another device may have taken over, or the sound server hiccuped.
                self.tried = None;
                Err(VoiceError::Loudspeaker { why })
            }
        }
    }
}

impl Output for Loudspeaker {
    fn ready(&mut self) -> Result<(), VoiceError> {
        if self.device.is_some() && self.check().is_ok() {
            return Ok(());
        }
        if self.tried.is_some_and(|tried| tried.elapsed() < RETRY) {
            let why = "it went away or is missing, and is looked for every 2 s".to_owned();
            return Err(VoiceError::Loudspeaker { why });
        }
        self.tried = Some(Instant::now());
        let device = open(self.wanted.as_deref(), &self.silencer);
        self.device = Some(device.map_err(|why| VoiceError::Loudspeaker { why })?);
        Ok(())
    }

    fn play(&mut self, sound: &Sound) -> Result<(), VoiceError> {
        self.check()?;
        if let Some(device) = &mut self.device {
            let samples =
                converted(sound, device.rate_hz).map_err(|why| VoiceError::Loudspeaker { why })?;
            if !device.feed.write(&samples) {
                return Err(VoiceError::TooMuch);
            }
        }
        Ok(())
    }

    fn remaining_ms(&mut self) -> Result<u64, VoiceError> {
        self.check()?;
        Ok(self.device.as_ref().map_or(0, |device| {
            (device.feed.remaining() * 1000).div_ceil(u64::from(device.rate_hz))
        }))
    }

    fn cut(&mut self) {
        if let Some(device) = &mut self.device {
            device.feed.forget();
        }
        self.silencer.release();
    }

    fn silencer(&self) -> Silencer {
        self.silencer.clone()
    }
}

impl OpenDevice {
    /// Why the device counts as gone though its driver said nothing.
    fn stalled(&mut self) -> Option<String> {
        let blocks = self.feed.blocks();
        if blocks != self.last_blocks || self.feed.remaining() == 0 {
            self.last_blocks = blocks;
            self.last_progress = Instant::now();
            return None;
        }
        (self.last_progress.elapsed() > STALL).then(|| "it takes no more sound".to_owned())
    }
}

/// Names of the loudspeakers, the default first, for `doctor` and for `--loudspeaker`.
pub fn names() -> Vec<String> {
    let host = cpal::default_host();
    let mut names: Vec<String> = host
        .default_output_device()
        .iter()
        .map(ToString::to_string)
        .collect();
    for device in host.output_devices().into_iter().flatten() {
        let name = device.to_string();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

fn open(wanted: Option<&str>, silencer: &Silencer) -> Result<OpenDevice, String> {
    let host = cpal::default_host();
    let device = match wanted {
        None => host
            .default_output_device()
            .ok_or("this machine shows none")?,
        Some(wanted) => {
            let wanted = wanted.to_lowercase();
            let fits = |device: &cpal::Device| {
                let identity = device.id().map(|id| id.to_string()).unwrap_or_default();
                let name = device.to_string();
                identity.to_lowercase() == wanted || name.to_lowercase().contains(&wanted)
            };
            host.output_devices()
                .map_err(|error| error.to_string())?
                .find(fits)
                .ok_or_else(|| format!("none is called {wanted:?}; `sulcus doctor` lists them"))?
        }
    };
    let supported = device
        .default_output_config()
        .map_err(|error| format!("{device}: {error}"))?;
    let config = supported.config();
    match supported.sample_format() {
        SampleFormat::I8 => open_as::<i8>(&device, config, silencer),
        SampleFormat::I16 => open_as::<i16>(&device, config, silencer),
        SampleFormat::I24 => open_as::<cpal::I24>(&device, config, silencer),
        SampleFormat::I32 => open_as::<i32>(&device, config, silencer),
        SampleFormat::U8 => open_as::<u8>(&device, config, silencer),
        SampleFormat::U16 => open_as::<u16>(&device, config, silencer),
        SampleFormat::U32 => open_as::<u32>(&device, config, silencer),
        SampleFormat::F32 => open_as::<f32>(&device, config, silencer),
        SampleFormat::F64 => open_as::<f64>(&device, config, silencer),
        format => Err(format!(
            "{device} takes only samples of format {format}, which is not known here"
        )),
    }
}

fn open_as<T: SizedSample + FromSample<f32> + Send + 'static>(
    device: &cpal::Device,
    config: StreamConfig,
    silencer: &Silencer,
) -> Result<OpenDevice, String> {
    let rate_hz = config.sample_rate;
    let channels = usize::from(config.channels.max(1));
    let (feed, mut drain) = feed::new((WAITING_SECONDS * rate_hz) as usize);
    let (mut told, lost) = RingBuffer::new(1);
    // Sound was taken since the last error.
    let has_taken = Arc::new(AtomicBool::new(true));

    let silencer = silencer.clone();
    let taken = Arc::clone(&has_taken);
    let fill = move |block: &mut [T], info: &cpal::OutputCallbackInfo| {
        taken.store(true, Ordering::Relaxed);
        let timestamp = info.timestamp();
        let latency = timestamp.playback.duration_since(timestamp.callback);
        let latency = latency.as_micros() as u64 * u64::from(rate_hz) / 1_000_000;
        // A driver's clock may jump; more than a few seconds is no latency.
        let latency = latency.min(u64::from(LATENCY_SECONDS_MAX * rate_hz));
        drain.set_latency(latency + (block.len() / channels) as u64);
        drain.fill(block, channels, silencer.is_silent(), T::from_sample);
    };
    // The driver may call this on the thread that plays: no lock, and nothing is made of the error here.
    let mut failing_since = Instant::now();
    let failed = move |error: cpal::Error| {
        match error.kind() {
            // The stream goes on: a gap in the sound, or another device took over.
            ErrorKind::Xrun | ErrorKind::RealtimeDenied | ErrorKind::DeviceChanged => return,
            // A busy sound server fails to tell its delay now and then, and the stream goes on.
            ErrorKind::BackendError => {
                if has_taken.swap(false, Ordering::Relaxed) {
                    failing_since = Instant::now();
                }
                if failing_since.elapsed() < ERRORS {
                    return;
                }
            }
            _ => {}
        }
        // The first is enough: the device is closed for it.
        let _ = told.push(error);
    };
    let stream = device
        .build_output_stream(config, fill, failed, Some(STALL))
        .map_err(|error| format!("{device}: {error}"))?;
    stream
        .play()
        .map_err(|error| format!("{device}: {error}"))?;
    Ok(OpenDevice {
        feed,
        lost,
        name: device.to_string(),
        rate_hz,
        _stream: stream,
        last_blocks: 0,
        last_progress: Instant::now(),
    })
}

/// The samples at another rate.
pub(super) fn converted(sound: &Sound, rate_hz: u32) -> Result<Vec<f32>, String> {
    if sound.rate_hz == rate_hz || sound.samples.is_empty() {
        return Ok(sound.samples.clone());
    }
    let frames = sound.samples.len();
    // 1024 frames a block: a whole phrase is at hand, so delay does not matter.
    let mut resampler = Fft::<f32>::new(
        sound.rate_hz as usize,
        rate_hz as usize,
        1024,
        1,
        FixedSync::Both,
    )
    .map_err(|error| error.to_string())?;
    let input =
        SequentialSlice::new(&sound.samples, 1, frames).map_err(|error| error.to_string())?;
    let output = resampler
        .process_all(&input, frames, None)
        .map_err(|error| error.to_string())?;
    Ok(output.take_data())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conversion_keeps_the_length_in_seconds_and_the_pitch() {
        let tone = Sound {
            samples: (0..22_050)
                .map(|index| (index as f32 * std::f32::consts::TAU * 440.0 / 22_050.0).sin() * 0.5)
                .collect(),
            rate_hz: 22_050,
        };
        for rate_hz in [8_000, 16_000, 22_050, 44_100, 48_000, 192_000] {
            let samples = converted(&tone, rate_hz).unwrap();
            assert!(
                samples.len().abs_diff(rate_hz as usize) <= 1,
                "{rate_hz}: {}",
                samples.len()
            );
            let crossings = samples
                .windows(2)
                .filter(|pair| pair[0] <= 0.0 && pair[1] > 0.0)
                .count();
            assert!(crossings.abs_diff(440) <= 2, "{rate_hz}: {crossings} Hz");
        }
    }

    #[test]
    fn a_loudspeaker_that_is_not_there_is_told_with_the_way_out() {
        let mut loudspeaker = Loudspeaker::new(Some("no such device".to_owned()));
        let error = loudspeaker.ready().unwrap_err().to_string();
        assert!(error.contains("no such device"), "{error}");
        assert!(error.contains("--loudspeaker"), "{error}");
        // Not tried again at once, and still an error.
        assert!(loudspeaker.ready().is_err());
    }
}
