//! Keeps a live device going: samples from its callback become frames, faults become events, a lost device is
//! looked for until it is back. Names no sound library; `microphone` supplies the device, tests a scripted one.
//!
//! Invariants: the device's callback never blocks, allocates, locks or logs; whatever is dropped is counted and told;
//! [`AudioEvent::Lost`] and [`AudioEvent::Found`] alternate and are never dropped.

use std::any::Any;
use std::collections::VecDeque;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, Sender, TrySendError, bounded};
use rtrb::{Consumer, Producer, RingBuffer};

use super::continuity::{Continuity, Times};
use super::convert::Converter;
use super::{AudioError, AudioEvent, FRAME_SAMPLES, Mix, SAMPLE_RATE_HZ};

/// Sound that fits between callback and converter. The converter looks every [`POLL_MS`]; two seconds cover a machine
/// that is so busy that the converter does not run for a while.
const RING_MS: u64 = 2_000;

/// How often the converter looks for samples: a quarter of a frame, so it adds little to the answer's delay,
/// and 125 wake-ups a second cost nothing to speak of. Polling spares the callback any call that wakes a thread.
const POLL_MS: u64 = 8;

/// A device that gives no samples for so long is taken for lost. Devices deliver every 10 to 100 ms;
/// a sound server that restarts answers within a second.
const SILENT_MS_MAX: u64 = 2_000;

/// Added to it for the first samples after an opening: wireless headsets take seconds to change their mode.
const FIRST_MS_EXTRA: u64 = 3_000;

/// First wait before a lost device is looked for, doubled up to the longest: somebody who plugs the microphone
/// in again should be heard within two seconds, and a missing one should not cost power all day.
const RETRY_MS_FIRST: u64 = 250;
const RETRY_MS_LONGEST: u64 = 2_000;

/// Frames between capture and listener: 8 s, far more than the slowest recognition.
pub const QUEUE_FRAMES: usize = 256;

/// Something that can be opened, again and again, and then calls [`Feed::push`] from a thread of its own.
pub trait Device: Send {
    fn open(&mut self) -> Result<Opened, AudioError>;
}

/// A running device. It stops when this is dropped.
pub struct Opened {
    /// As the person knows it.
    pub name: String,
    pub rate_hz: u32,
    pub channels: u16,
    pub intake: Intake,
    /// Whatever keeps the device running.
    pub stream: Box<dyn Any>,
}

/// Makes the three ends of the queue between a device's callbacks and the converter.
pub fn queue(rate_hz: u32, channels: u16) -> (Feed, Faults, Intake) {
    let capacity = rate_hz as u64 * u64::from(channels) * RING_MS / 1000;
    let (producer, consumer) = RingBuffer::new(capacity as usize);
    let dropped = Arc::new(AtomicU64::new(0));
    let gaps = Arc::new(AtomicU64::new(0));
    let (failed, failure) = bounded(1);
    (
        Feed {
            producer,
            dropped: Arc::clone(&dropped),
            continuity: Continuity::default(),
            rate_hz,
            channels,
        },
        Faults {
            gaps: Arc::clone(&gaps),
            failed,
        },
        Intake {
            consumer,
            dropped,
            gaps,
            failure,
        },
    )
}

/// The data callback's end.
pub struct Feed {
    producer: Producer<f32>,
    dropped: Arc<AtomicU64>,
    continuity: Continuity,
    rate_hz: u32,
    channels: u16,
}

impl Feed {
    /// Says when the first of the samples that come next was captured and when it arrived. Where sound is missing
    /// before them, it counts as dropped. Wait-free.
    pub fn captured(&mut self, times: Times, samples: usize) {
        let groups = samples / usize::from(self.channels.max(1));
        if let Some(missing) = self.continuity.delivered(times, groups, self.rate_hz) {
            let samples = missing.as_secs_f64() * f64::from(self.rate_hz);
            self.dropped
                .fetch_add(samples as u64 * u64::from(self.channels), Ordering::Relaxed);
        }
    }

    /// Copies interleaved samples into the queue. Where they do not fit, all of them are dropped and counted,
    /// so that channels never slip. Wait-free.
    pub fn push<T: Copy>(&mut self, samples: &[T], to_f32: impl Fn(T) -> f32) {
        match self.producer.write_chunk_uninit(samples.len()) {
            Ok(chunk) => {
                chunk.fill_from_iter(samples.iter().map(|&sample| to_f32(sample)));
            }
            Err(_) => {
                self.dropped
                    .fetch_add(samples.len() as u64, Ordering::Relaxed);
            }
        }
    }
}

/// The error callback's end.
pub struct Faults {
    gaps: Arc<AtomicU64>,
    failed: Sender<String>,
}

impl Faults {
    /// The device itself dropped sound, nobody knows how much, and goes on.
    pub fn gap(&self) {
        self.gaps.fetch_add(1, Ordering::Relaxed);
    }

    /// The device is gone. Only the first reason is kept.
    pub fn fail(&self, why: String) {
        let _ = self.failed.try_send(why);
    }
}

/// The converter's end.
pub struct Intake {
    consumer: Consumer<f32>,
    dropped: Arc<AtomicU64>,
    gaps: Arc<AtomicU64>,
    failure: Receiver<String>,
}

impl Intake {
    /// All samples that wait, in whole groups.
    fn take(&mut self, channels: u16, into: &mut Vec<f32>) {
        let channels = channels as usize;
        let count = self.consumer.slots() / channels * channels;
        let Ok(chunk) = self.consumer.read_chunk(count) else {
            return;
        };
        let (first, second) = chunk.as_slices();
        into.extend_from_slice(first);
        into.extend_from_slice(second);
        chunk.commit_all();
    }
}

/// The capture of one device, as a state machine: time is passed in.
pub struct Capture {
    device: Box<dyn Device>,
    mix: Mix,
    state: State,
    /// Name under which the device was last there.
    name: String,
    samples: Vec<f32>,
}

enum State {
    Running {
        opened: Opened,
        converter: Box<Converter>,
        /// When samples last came; in the future while the first are waited for.
        heard: Duration,
    },
    Away {
        since: Duration,
        next_index: u64,
        retry_at: Duration,
        wait: Duration,
    },
}

impl Capture {
    /// Opens the device for the first time: here a missing one is an error for the person to mend.
    pub fn open(mut device: Box<dyn Device>, mix: Mix, now: Duration) -> Result<Self, AudioError> {
        let opened = device.open()?;
        let converter = Converter::new(&opened.name, opened.rate_hz, opened.channels, mix)?;
        Ok(Self {
            device,
            mix,
            name: opened.name.clone(),
            state: State::Running {
                opened,
                converter: Box::new(converter),
                heard: now + Duration::from_millis(FIRST_MS_EXTRA),
            },
            samples: Vec::new(),
        })
    }

    pub fn name(&self) -> &str {
        &self.name
    }

    /// Does what is due at `now`: converts what came, or looks for the lost device.
    pub fn step(&mut self, now: Duration) -> Vec<AudioEvent> {
        let mut events = Vec::new();
        match &mut self.state {
            State::Running {
                opened,
                converter,
                heard,
            } => {
                // Counted before the samples are taken: what was dropped came after all that is in the full queue.
                let dropped = opened.intake.dropped.swap(0, Ordering::Relaxed);
                self.samples.clear();
                opened.intake.take(opened.channels, &mut self.samples);
                if !self.samples.is_empty() {
                    *heard = now;
                    events.extend(
                        converter
                            .push(&self.samples)
                            .into_iter()
                            .map(AudioEvent::Frame),
                    );
                }
                let gaps = opened.intake.gaps.swap(0, Ordering::Relaxed);
                let frames = frames_of(dropped, opened.rate_hz, opened.channels) + gaps;
                if frames > 0 {
                    converter.reset();
                    converter.skip(frames);
                    events.push(AudioEvent::Overrun { frames });
                }
                let why = opened.intake.failure.try_recv().ok().or_else(|| {
                    (now.saturating_sub(*heard) >= Duration::from_millis(SILENT_MS_MAX))
                        .then(|| "no sound comes from it any more".to_owned())
                });
                if let Some(why) = why {
                    let wait = Duration::from_millis(RETRY_MS_FIRST);
                    self.state = State::Away {
                        since: (*heard).min(now),
                        next_index: converter.next_index(),
                        retry_at: now + wait,
                        wait,
                    };
                    events.push(AudioEvent::Lost {
                        device: self.name.clone(),
                        why,
                    });
                }
            }
            State::Away {
                since,
                next_index,
                retry_at,
                wait,
            } if now >= *retry_at => {
                let mix = self.mix;
                let found = self.device.open().and_then(|opened| {
                    Converter::new(&opened.name, opened.rate_hz, opened.channels, mix)
                        .map(|converter| (opened, converter))
                });
                match found {
                    Ok((opened, mut converter)) => {
                        // Later frames keep their place in time.
                        let away_ms = now.saturating_sub(*since).as_millis() as u64;
                        converter.skip(*next_index + away_ms / super::FRAME_MS);
                        self.name = opened.name.clone();
                        events.push(AudioEvent::Found {
                            device: self.name.clone(),
                        });
                        self.state = State::Running {
                            opened,
                            converter: Box::new(converter),
                            heard: now + Duration::from_millis(FIRST_MS_EXTRA),
                        };
                    }
                    Err(_) => {
                        *wait = (*wait * 2).min(Duration::from_millis(RETRY_MS_LONGEST));
                        *retry_at = now + *wait;
                    }
                }
            }
            State::Away { .. } => {}
        }
        events
    }
}

/// Frames that so many interleaved samples would have filled, rounded up.
fn frames_of(samples: u64, rate_hz: u32, channels: u16) -> u64 {
    let mono = samples * u64::from(SAMPLE_RATE_HZ) / (u64::from(rate_hz) * u64::from(channels));
    mono.div_ceil(FRAME_SAMPLES as u64) + u64::from(samples > 0 && mono == 0)
}

/// Events on their way to a listener that may be slow: frames are dropped and counted, everything else waits.
struct Outbox {
    events: Sender<AudioEvent>,
    /// Never frames.
    waiting: VecDeque<AudioEvent>,
    dropped_frames: u64,
}

/// The listener has gone: nobody needs sound any more.
struct Gone;

impl Outbox {
    fn new(events: Sender<AudioEvent>) -> Self {
        Self {
            events,
            waiting: VecDeque::new(),
            dropped_frames: 0,
        }
    }

    fn offer(&mut self, event: AudioEvent) -> Result<(), Gone> {
        self.flush()?;
        if !self.is_clear() {
            match event {
                AudioEvent::Frame(_) => self.dropped_frames += 1,
                event => {
                    self.tell_dropped();
                    self.waiting.push_back(event);
                }
            }
            return Ok(());
        }
        match self.events.try_send(event) {
            Ok(()) => Ok(()),
            Err(TrySendError::Full(AudioEvent::Frame(_))) => {
                self.dropped_frames += 1;
                Ok(())
            }
            Err(TrySendError::Full(event)) => {
                self.waiting.push_back(event);
                Ok(())
            }
            Err(TrySendError::Disconnected(_)) => Err(Gone),
        }
    }

    /// Sends what waits, as far as there is room.
    fn flush(&mut self) -> Result<(), Gone> {
        self.tell_dropped();
        while let Some(event) = self.waiting.pop_front() {
            match self.events.try_send(event) {
                Ok(()) => {}
                Err(TrySendError::Full(event)) => {
                    self.waiting.push_front(event);
                    break;
                }
                Err(TrySendError::Disconnected(_)) => return Err(Gone),
            }
        }
        Ok(())
    }

    fn is_clear(&self) -> bool {
        self.waiting.is_empty() && self.dropped_frames == 0
    }

    /// Puts the count of dropped frames in its place among the events that wait, joined to one that is there.
    fn tell_dropped(&mut self) {
        if self.dropped_frames == 0 {
            return;
        }
        let more = std::mem::take(&mut self.dropped_frames);
        match self.waiting.back_mut() {
            Some(AudioEvent::Overrun { frames }) => *frames += more,
            _ => self.waiting.push_back(AudioEvent::Overrun { frames: more }),
        }
    }
}

/// A capture that runs on a thread of its own until it is dropped or its listener goes.
pub struct Running {
    name: String,
    position: Arc<AtomicU64>,
    stop: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Running {
    /// Name of the device as it was opened.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Number of the newest frame heard so far: stamps what happens "now" on the time line of the sound,
    /// whatever still waits in queues.
    pub fn position(&self) -> Arc<AtomicU64> {
        Arc::clone(&self.position)
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
        if let Some(thread) = self.thread.take() {
            thread.thread().unpark();
            let _ = thread.join();
        }
    }
}

/// Opens the device on a new thread, which owns it, and keeps it going.
pub fn run(
    device: Box<dyn Device>,
    mix: Mix,
    queue_frames: usize,
) -> Result<(Running, Receiver<AudioEvent>), AudioError> {
    let (sender, receiver) = bounded(queue_frames);
    let (answer, first) = bounded(1);
    let position = Arc::new(AtomicU64::new(0));
    let stop = Arc::new(AtomicBool::new(false));
    let thread = thread::Builder::new()
        .name("capture".to_owned())
        .spawn({
            let (position, stop) = (Arc::clone(&position), Arc::clone(&stop));
            move || {
                let start = Instant::now();
                match Capture::open(device, mix, start.elapsed()) {
                    Err(error) => {
                        let _ = answer.send(Err(error));
                    }
                    Ok(capture) => {
                        let _ = answer.send(Ok(capture.name().to_owned()));
                        keep_going(capture, start, Outbox::new(sender), &position, &stop);
                    }
                }
            }
        })
        .map_err(|error| AudioError::Device {
            device: "the microphone".to_owned(),
            why: format!("no thread for it: {error}"),
        })?;
    let name = first.recv().unwrap_or_else(|_| {
        Err(AudioError::Device {
            device: "the microphone".to_owned(),
            why: "its thread ended".to_owned(),
        })
    })?;
    Ok((
        Running {
            name,
            position,
            stop,
            thread: Some(thread),
        },
        receiver,
    ))
}

fn keep_going(
    mut capture: Capture,
    start: Instant,
    mut outbox: Outbox,
    position: &AtomicU64,
    stop: &AtomicBool,
) {
    while !stop.load(Ordering::Relaxed) {
        let mut sent = outbox.flush();
        for event in capture.step(start.elapsed()) {
            if let AudioEvent::Frame(frame) = &event {
                position.store(frame.index, Ordering::Release);
            }
            sent = sent.and_then(|()| outbox.offer(event));
        }
        if sent.is_err() {
            return;
        }
        thread::park_timeout(Duration::from_millis(POLL_MS));
    }
}

#[cfg(test)]
mod tests;
