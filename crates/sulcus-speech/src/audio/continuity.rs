//! Tells from the times of capture whether sound is missing between two deliveries of a device.
//! A sound server on a busy machine may drop sound and say nothing: the words around the hole then stand together.
//!
//! Invariant: a late delivery alone is no hole: only time that stays lost is told, once.

use std::time::Duration;

/// Less than this is no hole: times of capture waver by a period of the device, and no digit is so short.
const HOLE_MIN: Duration = Duration::from_millis(60);

/// So many deliveries in turn must be late: one may have been stamped badly.
const DELIVERIES: u32 = 3;

/// Two clocks run apart by some millionths; so much of each delivery's length is forgiven.
const DRIFT: f64 = 0.001;

/// Watches one stream.
#[derive(Debug, Default)]
pub struct Continuity {
    /// Samples so far, of one channel.
    samples: u64,
    /// How far the times of capture were ahead of the samples at the best of times, in seconds.
    ahead_s: Option<f64>,
    /// Deliveries in turn that were late, and the least of their lateness.
    late: u32,
    least_late_s: f64,
}

impl Continuity {
    /// Takes the time at which the first sample of a delivery of `samples` was captured. Gives the time that is missing
    /// before it, once that is sure.
    pub fn delivered(
        &mut self,
        captured: Duration,
        samples: usize,
        rate_hz: u32,
    ) -> Option<Duration> {
        let rate_hz = f64::from(rate_hz);
        let ahead_s = captured.as_secs_f64() - self.samples as f64 / rate_hz;
        let length_s = samples as f64 / rate_hz;
        self.samples += samples as u64;
        let usual_s = match self.ahead_s {
            Some(usual_s) if usual_s < ahead_s => usual_s,
            _ => {
                self.ahead_s = Some(ahead_s);
                self.late = 0;
                return None;
            }
        };
        let late_s = ahead_s - usual_s;
        if late_s < HOLE_MIN.as_secs_f64() {
            self.late = 0;
            self.ahead_s = Some(usual_s + (DRIFT * length_s).min(late_s));
            return None;
        }
        self.least_late_s = if self.late == 0 {
            late_s
        } else {
            late_s.min(self.least_late_s)
        };
        self.late += 1;
        if self.late < DELIVERIES {
            return None;
        }
        self.late = 0;
        self.ahead_s = Some(usual_s + self.least_late_s);
        Some(Duration::from_secs_f64(self.least_late_s))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE_HZ: u32 = 16_000;
    const PERIOD: usize = 320;

    /// Deliveries of 20 ms, each stamped when it was captured plus what `wavers` says of its number, in milliseconds.
    fn deliver(lost_before: usize, lost_ms: u64, wavers: impl Fn(usize) -> u64) -> Vec<Duration> {
        let mut continuity = Continuity::default();
        (0..100)
            .filter_map(|number| {
                let lost = if number >= lost_before { lost_ms } else { 0 };
                let at = Duration::from_millis(1_000 + number as u64 * 20 + lost + wavers(number));
                continuity.delivered(at, PERIOD, RATE_HZ)
            })
            .collect()
    }

    #[test]
    fn a_hole_at_any_place_is_told_once_with_its_length() {
        for place in 1..95 {
            for lost_ms in [70, 120, 400, 3_000] {
                let told = deliver(place, lost_ms, |number| number as u64 * 7 % 5);
                assert_eq!(told.len(), 1, "{lost_ms} ms before delivery {place}");
                let told_ms = told[0].as_millis() as i64;
                assert!(
                    (told_ms - lost_ms as i64).abs() <= 5,
                    "{told_ms} of {lost_ms}"
                );
            }
        }
    }

    #[test]
    fn stamps_that_waver_are_no_hole() {
        assert_eq!(deliver(200, 0, |number| number as u64 * 13 % 40), []);
        // Two in turn are stamped very late, and no sound is missing.
        let twice = |number| if matches!(number, 40 | 41) { 500 } else { 0 };
        assert_eq!(deliver(200, 0, twice), []);
    }

    #[test]
    fn clocks_that_run_apart_are_no_hole() {
        let mut continuity = Continuity::default();
        // An hour of deliveries; the device's clock is slow by 100 millionths.
        for number in 0..180_000u64 {
            let at = Duration::from_micros(number * 20_002);
            assert_eq!(continuity.delivered(at, PERIOD, RATE_HZ), None);
        }
    }
}
