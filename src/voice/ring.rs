//! Samples on their way from the speaker's thread (the only writer) to the device's callback (the only reader).
//!
//! Invariant: no lock and no allocation after the start; both sides only load and store atomics.

use std::sync::atomic::{AtomicU32, AtomicU64, Ordering};

/// Factor by which the last sample fades, each sample, when sound stops short: no click, and silent within 5 ms.
const FADE: f32 = 0.97;

pub(super) struct Ring {
    pub(super) samples: Box<[AtomicU32]>,
    /// Samples ever written and read; their difference is what waits.
    written: AtomicU64,
    pub(super) read: AtomicU64,
    /// Silent samples given since the ring ran dry.
    dry: AtomicU64,
    /// Samples between the callback and the air, as the driver reckons.
    pub(super) latency: AtomicU64,
}

impl Ring {
    pub(super) fn new(capacity: usize) -> Self {
        Self {
            samples: (0..capacity).map(|_| AtomicU32::new(0)).collect(),
            written: AtomicU64::new(0),
            read: AtomicU64::new(0),
            dry: AtomicU64::new(0),
            latency: AtomicU64::new(0),
        }
    }

    fn slot(&self, count: u64) -> &AtomicU32 {
        &self.samples[(count % self.samples.len() as u64) as usize]
    }

    pub(super) fn waiting(&self) -> u64 {
        self.written.load(Ordering::Acquire) - self.read.load(Ordering::Acquire)
    }

    /// Samples until the air is still: those that wait, and those between callback and air.
    pub(super) fn remaining(&self) -> u64 {
        let latency = self.latency.load(Ordering::Relaxed);
        let on_the_way = latency.saturating_sub(self.dry.load(Ordering::Acquire));
        self.waiting() + on_the_way
    }

    /// Adds samples; false, and none added, where they do not fit.
    pub(super) fn write(&self, samples: &[f32]) -> bool {
        let written = self.written.load(Ordering::Relaxed);
        let room = self.samples.len() as u64 - self.waiting();
        if samples.len() as u64 > room {
            return false;
        }
        for (count, sample) in (written..).zip(samples) {
            self.slot(count).store(sample.to_bits(), Ordering::Relaxed);
        }
        // Before the new count is seen, so that `remaining` never reads zero between.
        self.dry.store(0, Ordering::Release);
        self.written
            .store(written + samples.len() as u64, Ordering::Release);
        true
    }

    /// Fills one block of the device with `channels` equal samples a frame.
    pub(super) fn fill<T: Copy>(
        &self,
        block: &mut [T],
        channels: usize,
        silent: bool,
        last: &mut f32,
        as_sample: impl Fn(f32) -> T,
    ) {
        let written = self.written.load(Ordering::Acquire);
        let mut read = self.read.load(Ordering::Relaxed);
        if silent {
            read = written;
        }
        let mut dry = 0;
        for frame in block.chunks_mut(channels) {
            if read < written {
                *last = f32::from_bits(self.slot(read).load(Ordering::Relaxed));
                read += 1;
            } else {
                *last *= FADE;
                dry += 1;
            }
            frame.fill(as_sample(*last));
        }
        self.read.store(read, Ordering::Release);
        if dry > 0 {
            self.dry.fetch_add(dry, Ordering::AcqRel);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ring_gives_each_sample_once_to_all_channels_and_then_fades() {
        let ring = Ring::new(8);
        assert!(ring.write(&[0.5, -0.5, 0.25]));
        let (mut block, mut last) = ([0.0_f32; 8], 0.0);
        ring.fill(&mut block, 2, false, &mut last, |sample| sample);
        assert_eq!(block[..6], [0.5, 0.5, -0.5, -0.5, 0.25, 0.25]);
        assert!(block[6] < 0.25 && block[6] > 0.2);
        assert_eq!(ring.waiting(), 0);
        // Round the end of the ring.
        for _ in 0..5 {
            assert!(ring.write(&[0.1, 0.2, 0.3, 0.4]));
            let mut block = [0_i16; 4];
            let as_sample = |sample: f32| (sample * 100.0) as i16;
            ring.fill(&mut block, 1, false, &mut last, as_sample);
            assert!(block.windows(2).all(|pair| pair[0] < pair[1]), "{block:?}");
        }
    }

    #[test]
    fn a_silenced_ring_forgets_what_waits() {
        let ring = Ring::new(100);
        assert!(ring.write(&[0.5; 100]));
        assert!(!ring.write(&[0.5]), "full");
        let (mut block, mut last) = ([0.0_f32; 4], 0.0);
        ring.fill(&mut block, 1, true, &mut last, |sample| sample);
        assert_eq!((block, ring.waiting()), ([0.0; 4], 0));
    }

    #[test]
    fn sound_remains_until_the_device_has_played_its_latency() {
        let ring = Ring::new(100);
        ring.latency.store(6, Ordering::Relaxed);
        assert!(ring.write(&[0.5; 4]));
        let (mut block, mut last) = ([0.0_f32; 4], 0.0);
        let mut remaining = vec![ring.remaining()];
        for _ in 0..3 {
            ring.fill(&mut block, 1, false, &mut last, |sample| sample);
            remaining.push(ring.remaining());
        }
        assert_eq!(remaining, [10, 6, 2, 0]);
    }
}
