//! Samples on their way from the speaker's thread to the device's callback, and how long until the air is still.
//!
//! Invariant: neither side waits for the other; the callback's side allocates nothing.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use rtrb::{Consumer, Producer, RingBuffer};

/// Factor by which the last sample fades, each sample, when sound stops short: no click, and silent within 5 ms.
const FADE: f32 = 0.97;

/// The thread's side.
pub struct Feed {
    samples: Producer<f32>,
    state: Arc<State>,
    /// Samples ever added.
    added: u64,
}

/// The callback's side.
pub struct Drain {
    samples: Consumer<f32>,
    state: Arc<State>,
    /// Samples ever taken or forgotten.
    taken: u64,
    /// The last sample given, which fades when there are no more.
    last: f32,
}

#[derive(Default)]
struct State {
    /// Silent samples given since the last one of sound.
    dry: AtomicU64,
    /// Samples between the callback and the air, as the driver reckons.
    latency: AtomicU64,
    /// Of all samples ever added, this many are not to be heard any more.
    forgotten: AtomicU64,
    /// Blocks that the device has asked for.
    blocks: AtomicU64,
    /// Mirrors [`Drain::taken`].
    taken: AtomicU64,
}

/// A queue of at most `samples_max` samples.
pub fn new(samples_max: usize) -> (Feed, Drain) {
    let (producer, consumer) = RingBuffer::new(samples_max);
    let state = Arc::new(State::default());
    let feed = Feed {
        samples: producer,
        state: Arc::clone(&state),
        added: 0,
    };
    let drain = Drain {
        samples: consumer,
        state,
        taken: 0,
        last: 0.0,
    };
    (feed, drain)
}

impl Feed {
    /// Samples that the callback has yet to take, without those forgotten.
    pub fn waiting(&self) -> u64 {
        let taken = self.state.taken.load(Ordering::Acquire);
        self.added - taken.max(self.state.forgotten.load(Ordering::Relaxed))
    }

    /// Blocks that the device has asked for: while it lives, this grows.
    pub fn blocks(&self) -> u64 {
        self.state.blocks.load(Ordering::Relaxed)
    }

    /// Nothing of what was added so far will be heard. Takes effect with the callback's next block;
    /// what is added from now on is heard.
    pub fn forget(&mut self) {
        self.state.forgotten.store(self.added, Ordering::Release);
    }

    /// Samples until the air is still: those that wait, and those between callback and air.
    pub fn remaining(&self) -> u64 {
        let waiting = self.waiting();
        let dry = self.state.dry.load(Ordering::Acquire);
        waiting
            + self
                .state
                .latency
                .load(Ordering::Acquire)
                .saturating_sub(dry)
    }

    /// Adds samples; false, and none added, where they do not fit.
    pub fn write(&mut self, samples: &[f32]) -> bool {
        if samples.len() > self.samples.slots() {
            return false;
        }
        for sample in samples {
            if self.samples.push(*sample).is_ok() {
                self.added += 1;
            }
        }
        true
    }
}

impl Drain {
    /// Notes how long a sample takes from here to the air.
    pub fn set_latency(&self, samples: u64) {
        self.state.latency.store(samples, Ordering::Release);
    }

    /// Fills one block of the device with `channels` equal samples a frame; where `silent`, takes nothing.
    pub fn fill<T: Copy>(
        &mut self,
        block: &mut [T],
        channels: usize,
        silent: bool,
        as_sample: impl Fn(f32) -> T,
    ) {
        self.state.blocks.fetch_add(1, Ordering::Relaxed);
        self.skip_forgotten();
        if !silent && self.samples.slots() > 0 {
            // Before the samples are taken: else `remaining` could see an empty queue and the old count.
            self.state.dry.store(0, Ordering::Release);
        }
        let mut dry = 0;
        for frame in block.chunks_mut(channels) {
            let sample = if silent {
                None
            } else {
                self.samples.pop().ok()
            };
            if let Some(sample) = sample {
                self.last = sample;
                self.taken += 1;
                dry = 0;
            } else {
                self.last *= FADE;
                dry += 1;
            }
            frame.fill(as_sample(self.last));
        }
        self.state.dry.fetch_add(dry, Ordering::AcqRel);
        self.state.taken.store(self.taken, Ordering::Release);
    }

    fn skip_forgotten(&mut self) {
        let forgotten = self.state.forgotten.load(Ordering::Acquire);
        let count = forgotten.saturating_sub(self.taken) as usize;
        let there = count.min(self.samples.slots());
        if let Ok(chunk) = self.samples.read_chunk(there) {
            chunk.commit_all();
            self.taken += there as u64;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(drain: &mut Drain, silent: bool) -> [f32; 4] {
        let mut block = [0.0; 4];
        drain.fill(&mut block, 1, silent, |sample| sample);
        block
    }

    #[test]
    fn each_sample_is_given_once_to_all_channels_and_then_fades() {
        let (mut feed, mut drain) = new(8);
        assert!(feed.write(&[0.5, -0.5, 0.25]));
        let mut block = [0_i16; 8];
        drain.fill(&mut block, 2, false, |sample| (sample * 1000.0) as i16);
        assert_eq!(block, [500, 500, -500, -500, 250, 250, 242, 242]);
        assert_eq!(feed.waiting(), 0);
    }

    #[test]
    fn what_does_not_fit_is_refused_whole() {
        let (mut feed, mut drain) = new(8);
        assert!(feed.write(&[0.5; 6]));
        assert!(!feed.write(&[0.1; 3]));
        assert_eq!(feed.waiting(), 6);
        block(&mut drain, false);
        assert!(feed.write(&[0.1; 3]));
    }

    #[test]
    fn what_is_forgotten_is_not_heard_and_what_comes_after_is() {
        let (mut feed, mut drain) = new(100);
        assert!(feed.write(&[0.5; 90]));
        assert_eq!(block(&mut drain, false), [0.5; 4]);
        // Silent until the thread has seen the order; nothing is lost by it.
        assert!(block(&mut drain, true)[3] < 0.5);
        assert_eq!(feed.waiting(), 86);
        feed.forget();
        assert_eq!(feed.waiting(), 0);
        assert!(feed.write(&[0.25; 6]));
        assert_eq!(feed.waiting(), 6);
        assert_eq!(block(&mut drain, false), [0.25; 4]);
        assert_eq!(feed.waiting(), 2);
        assert!(feed.write(&[0.25; 98]), "room was made");
    }

    #[test]
    fn sound_remains_until_the_device_has_played_its_latency() {
        let (mut feed, mut drain) = new(100);
        drain.set_latency(6);
        block(&mut drain, false);
        assert!(feed.write(&[0.5; 4]));
        let mut remaining = Vec::new();
        for _ in 0..3 {
            block(&mut drain, false);
            remaining.push(feed.remaining());
        }
        assert_eq!(remaining, [6, 2, 0]);
    }
}
