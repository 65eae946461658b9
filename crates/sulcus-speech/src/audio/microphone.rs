//! The microphone: finds a sound device and feeds what it hears to `capture`. No other file of the capturing side names `cpal`.
//! Converts nothing but the number format; does not decide what a lost device means.

use std::sync::atomic::AtomicU64;
use std::sync::{Arc, Once};

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{
    BufferSize, ErrorKind, FromSample, I24, Sample, SampleFormat, SizedSample, StreamConfig,
    SupportedBufferSize, SupportedStreamConfig, U24,
};
use crossbeam_channel::Receiver;

use super::capture::{self, Device, Faults, Feed, Opened};
use super::continuity::Times;
use super::{AudioError, AudioEvent, Mix};

/// Period that is asked of the device: one frame. The device's buffer holds two, so the thread that reads it
/// may be late by 32 ms without loss, and an answer waits no longer than it would for the frame anyway.
const PERIOD_MS: u32 = 32;

/// Which microphone, and which of its channels.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Name or identifier of the device, or a part that fits only one; `None` is the system's default.
    pub device: Option<String>,
    pub mix: Mix,
}

/// A microphone that is being listened to; stops when dropped.
pub struct Microphone(capture::Running);

impl Microphone {
    /// Opens the microphone and starts to listen. An error here is for the person to mend;
    /// what happens later comes as [`AudioEvent`].
    pub fn open(options: &Options) -> Result<(Self, Receiver<AudioEvent>), AudioError> {
        let device = SoundCard {
            options: options.clone(),
        };
        let (running, events) = capture::run(Box::new(device), options.mix, capture::QUEUE_FRAMES)?;
        Ok((Self(running), events))
    }

    /// Name of the device, with its form: "default (48000 Hz, 2 channels, f32)".
    pub fn name(&self) -> &str {
        self.0.name()
    }

    /// See [`capture::Running::position`].
    pub fn position(&self) -> Arc<AtomicU64> {
        self.0.position()
    }
}

/// A sound device as the person chooses it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceInfo {
    /// Identifier for `--device`; stays the same over restarts where the system allows.
    pub id: String,
    pub name: String,
    /// Form in which it gives sound: "48000 Hz, 2 channels, f32". `None` where it gives none.
    pub input: Option<String>,
    /// Form in which it takes sound.
    pub output: Option<String>,
    /// Used where no `--device` is given.
    pub is_default: bool,
}

/// All devices that can be opened now, the default one first. Opens each for a moment.
pub fn list_devices() -> Result<Vec<DeviceInfo>, AudioError> {
    keep_stderr_clean();
    let host = cpal::default_host();
    let no_host = |error: cpal::Error| AudioError::NoMicrophone {
        why: error.to_string(),
    };
    let default = [host.default_input_device(), host.default_output_device()];
    let default_ids: Vec<String> = default.iter().flatten().map(id).collect();
    let others = host
        .devices()
        .map_err(no_host)?
        .filter(|device| is_for_people(&id(device)));
    let mut devices: Vec<DeviceInfo> = Vec::new();
    for device in default.into_iter().flatten().chain(others) {
        let id = id(&device);
        if devices.iter().any(|known| known.id == id) {
            continue;
        }
        let input = device.default_input_config().ok().map(|form| words(&form));
        let output = device.default_output_config().ok().map(|form| words(&form));
        if input.is_some() || output.is_some() {
            devices.push(DeviceInfo {
                name: name(&device),
                is_default: default_ids.contains(&id),
                id,
                input,
                output,
            });
        }
    }
    Ok(devices)
}

/// ALSA lists plug-ins that are no devices, and each card under a dozen names. Kept are the sound servers,
/// what the person defined, and each card once.
fn is_for_people(id: &str) -> bool {
    const PLUGINS: [&str; 9] = [
        "null",
        "lavrate",
        "samplerate",
        "speexrate",
        "jack",
        "oss",
        "speex",
        "upmix",
        "vdownmix",
    ];
    let (kind, of_card) = id
        .split_once(':')
        .map_or((id, false), |(kind, _)| (kind, true));
    !PLUGINS.contains(&kind) && (!of_card || kind == "plughw" || cfg!(not(target_os = "linux")))
}

struct SoundCard {
    options: Options,
}

impl Device for SoundCard {
    fn open(&mut self) -> Result<Opened, AudioError> {
        keep_stderr_clean();
        let device = find(self.options.device.as_deref())?;
        let form = choose_form(&device, self.options.mix)?;
        // A small period first; some plug-ins take only their own.
        [buffer_size(&form), BufferSize::Default]
            .into_iter()
            .map(|buffer_size| start(&device, &form, buffer_size))
            .reduce(|first, second| first.or(second))
            .expect("there are two sizes")
    }
}

fn start(
    device: &cpal::Device,
    form: &SupportedStreamConfig,
    buffer_size: BufferSize,
) -> Result<Opened, AudioError> {
    let config = StreamConfig {
        buffer_size,
        ..form.config()
    };
    let (feed, faults, intake) = capture::queue(config.sample_rate, config.channels);
    let stream = match form.sample_format() {
        SampleFormat::I8 => stream::<i8>(device, config, feed, faults),
        SampleFormat::I16 => stream::<i16>(device, config, feed, faults),
        SampleFormat::I24 => stream::<I24>(device, config, feed, faults),
        SampleFormat::I32 => stream::<i32>(device, config, feed, faults),
        SampleFormat::I64 => stream::<i64>(device, config, feed, faults),
        SampleFormat::U8 => stream::<u8>(device, config, feed, faults),
        SampleFormat::U16 => stream::<u16>(device, config, feed, faults),
        SampleFormat::U24 => stream::<U24>(device, config, feed, faults),
        SampleFormat::U32 => stream::<u32>(device, config, feed, faults),
        SampleFormat::U64 => stream::<u64>(device, config, feed, faults),
        SampleFormat::F32 => stream::<f32>(device, config, feed, faults),
        SampleFormat::F64 => stream::<f64>(device, config, feed, faults),
        other => {
            return Err(AudioError::Device {
                device: name(device),
                why: format!("its sample format {other} is not known here"),
            });
        }
    }
    .and_then(|stream| stream.play().map(|()| stream))
    .map_err(|error| device_error(device, &error))?;
    Ok(Opened {
        name: format!("{} ({})", name(device), words(form)),
        rate_hz: config.sample_rate,
        channels: config.channels,
        intake,
        stream: Box::new(stream),
    })
}

/// The callbacks: the only code that runs on the sound system's thread. It copies and counts, nothing else.
fn stream<T>(
    device: &cpal::Device,
    config: StreamConfig,
    mut feed: Feed,
    faults: Faults,
) -> Result<cpal::Stream, cpal::Error>
where
    T: SizedSample,
    f32: FromSample<T>,
{
    let mut first = None;
    device.build_input_stream(
        config,
        move |samples: &[T], info: &cpal::InputCallbackInfo| {
            let cpal::InputStreamTimestamp { callback, capture } = info.timestamp();
            let first = *first.get_or_insert(capture);
            let times = Times {
                captured: capture.duration_since(first),
                arrived: callback.duration_since(first),
            };
            feed.captured(times, samples.len());
            feed.push(samples, |sample| f32::from_sample(sample));
        },
        move |error: cpal::Error| match error.kind() {
            ErrorKind::Xrun => faults.gap(),
            ErrorKind::DeviceChanged | ErrorKind::RealtimeDenied => {}
            _ => faults.fail(said(&error)),
        },
        None,
    )
}

fn find(wanted: Option<&str>) -> Result<cpal::Device, AudioError> {
    let host = cpal::default_host();
    let no_microphone = |why: String| AudioError::NoMicrophone { why };
    let default = || {
        host.default_input_device()
            .ok_or_else(|| no_microphone("the system names no default input".to_owned()))
    };
    let Some(wanted) = wanted else {
        return default();
    };
    if wanted.eq_ignore_ascii_case("default") {
        return default();
    }
    let mut devices: Vec<cpal::Device> = host
        .input_devices()
        .map_err(|error| no_microphone(error.to_string()))?
        .collect();
    let names: Vec<(String, String)> = devices
        .iter()
        .map(|device| (id(device), name(device)))
        .collect();
    match pick(wanted, &names) {
        Some(at) => Ok(devices.swap_remove(at)),
        None => Err(AudioError::UnknownDevice {
            name: wanted.to_owned(),
            known: known(&names),
        }),
    }
}

/// Index of the one device that the name means: its identifier, else its whole name, else a part that fits only one.
fn pick(wanted: &str, names: &[(String, String)]) -> Option<usize> {
    let wanted = wanted.to_lowercase();
    let only = |fits: &dyn Fn(&str, &str) -> bool| {
        let mut found = (0..names.len())
            .filter(|&at| fits(&names[at].0.to_lowercase(), &names[at].1.to_lowercase()));
        let first = found.next();
        first.filter(|_| found.next().is_none())
    };
    only(&|id, _| id == wanted)
        .or_else(|| only(&|_, name| name == wanted))
        .or_else(|| only(&|id, name| id.contains(&wanted) || name.contains(&wanted)))
}

fn known(names: &[(String, String)]) -> String {
    let known: Vec<&str> = names
        .iter()
        .map(|(id, _)| id.as_str())
        .filter(|id| is_for_people(id))
        .collect();
    if known.is_empty() {
        "none".to_owned()
    } else {
        known.join(", ")
    }
}

/// The device's own best form; another one where that has not the channel that was asked for.
fn choose_form(device: &cpal::Device, mix: Mix) -> Result<SupportedStreamConfig, AudioError> {
    let channels_min = match mix {
        Mix::Mean => 1,
        Mix::Channel(channel) => channel.saturating_add(1),
    };
    let form = device
        .default_input_config()
        .map_err(|error| device_error(device, &error))?;
    if form.channels() >= channels_min && !form.sample_format().is_dsd() {
        return Ok(form);
    }
    device
        .supported_input_configs()
        .map_err(|error| device_error(device, &error))?
        .filter(|range| range.channels() >= channels_min && !range.sample_format().is_dsd())
        .max_by(|a, b| {
            b.channels()
                .cmp(&a.channels())
                .then(a.cmp_default_heuristics(b))
        })
        .map(|range| range.with_standard_sample_rate())
        .ok_or_else(|| AudioError::NoSuchChannel {
            source_name: name(device),
            wanted: channels_min - 1,
            channels: form.channels(),
        })
}

fn buffer_size(form: &SupportedStreamConfig) -> BufferSize {
    let wanted = form.sample_rate() * PERIOD_MS / 1000;
    match *form.buffer_size() {
        SupportedBufferSize::Range { min, max } => BufferSize::Fixed(wanted.clamp(min, max)),
        SupportedBufferSize::Unknown => BufferSize::Default,
    }
}

fn device_error(device: &cpal::Device, error: &cpal::Error) -> AudioError {
    match error.kind() {
        ErrorKind::DeviceNotAvailable | ErrorKind::HostUnavailable => AudioError::NoMicrophone {
            why: format!("{}: {}", name(device), said(error)),
        },
        _ => AudioError::Device {
            device: name(device),
            why: said(error),
        },
    }
}

/// The library's words without their full stop: they stand within our sentences.
fn said(error: &cpal::Error) -> String {
    error.to_string().trim_end_matches('.').to_owned()
}

fn id(device: &cpal::Device) -> String {
    device.id().map(|id| id.id().to_owned()).unwrap_or_default()
}

fn name(device: &cpal::Device) -> String {
    device
        .description()
        .map(|description| description.name().to_owned())
        .unwrap_or_else(|_| id(device))
}

fn words(form: &SupportedStreamConfig) -> String {
    let channels = form.channels();
    format!(
        "{} Hz, {channels} channel{}, {}",
        form.sample_rate(),
        if channels == 1 { "" } else { "s" },
        form.sample_format()
    )
}

/// alsa-lib writes to stderr on its own, a dozen lines for a machine without a sound card. Our errors say
/// what matters, so its lines go to a buffer of the calling thread.
fn keep_stderr_clean() {
    #[cfg(target_os = "linux")]
    thread_local! {
        static HUSH: Once = const { Once::new() };
    }
    #[cfg(target_os = "linux")]
    HUSH.with(|once| once.call_once(|| drop(alsa::Output::local_error_handler())));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the callback makes of the smallest, the middle and the largest value of a format.
    fn span<T>(values: [T; 3]) -> [f32; 3]
    where
        T: SizedSample,
        f32: FromSample<T>,
    {
        values.map(|value| f32::from_sample(value))
    }

    #[test]
    fn every_sample_format_spans_minus_one_to_one() {
        let spans = [
            span([i8::MIN, 0, i8::MAX]),
            span([i16::MIN, 0, i16::MAX]),
            span([
                I24::new(-8_388_608).unwrap(),
                I24::new(0).unwrap(),
                I24::new(8_388_607).unwrap(),
            ]),
            span([i32::MIN, 0, i32::MAX]),
            span([i64::MIN, 0, i64::MAX]),
            span([u8::MIN, 1 << 7, u8::MAX]),
            span([u16::MIN, 1 << 15, u16::MAX]),
            span([
                U24::new(0).unwrap(),
                U24::new(1 << 23).unwrap(),
                U24::new((1 << 24) - 1).unwrap(),
            ]),
            span([u32::MIN, 1 << 31, u32::MAX]),
            span([u64::MIN, 1 << 63, u64::MAX]),
            span([-1.0_f32, 0.0, 1.0]),
            span([-1.0_f64, 0.0, 1.0]),
        ];
        for (at, span) in spans.iter().enumerate() {
            assert_eq!(span[0], -1.0, "{at}");
            assert_eq!(span[1], 0.0, "{at}");
            assert!((span[2] - 1.0).abs() < 0.01, "{at}: {}", span[2]);
        }
    }

    fn names() -> Vec<(String, String)> {
        [
            ("pulse", "PulseAudio Sound Server"),
            ("plughw:CARD=0,DEV=0", "Headset One, USB Audio"),
            ("plughw:CARD=1,DEV=0", "Headset Two, USB Audio"),
        ]
        .map(|(id, name)| (id.to_owned(), name.to_owned()))
        .to_vec()
    }

    #[test]
    fn a_device_is_picked_by_identifier_name_or_a_part_that_is_enough() {
        for (wanted, expected) in [
            ("pulse", Some(0)),
            ("PLUGHW:card=1,dev=0", Some(2)),
            ("headset one, usb audio", Some(1)),
            ("two", Some(2)),
            ("headset", None),
            ("usb audio", None),
            ("speaker", None),
        ] {
            assert_eq!(pick(wanted, &names()), expected, "{wanted}");
        }
    }

    #[test]
    fn only_what_a_person_would_choose_is_listed() {
        assert!(is_for_people("default"));
        assert!(is_for_people("pulse"));
        assert!(is_for_people("my_microphone"));
        #[cfg(target_os = "linux")]
        for id in ["null", "jack", "surround51:CARD=0", "hw:CARD=0,DEV=0"] {
            assert!(!is_for_people(id), "{id}");
        }
    }
}
