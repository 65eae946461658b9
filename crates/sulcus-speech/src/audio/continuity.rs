//! Tells from the times of capture and of arrival whether sound is missing between two deliveries of a device.
//! A sound server on a busy machine may drop sound and say nothing: the words around the hole then stand together.
//!
//! Invariants: a late delivery alone is no hole: only time that stays lost is told, once. Both times must say so: a busy
//! machine takes a delivery late that was captured in time, and a server whose estimate of its own delay shrinks (another
//! program began to play) moves the times of capture alone, though each sample arrives when it should.

use std::time::Duration;

/// Less than this is no hole: times of capture waver by a period of the device, and no digit is so short.
const HOLE_MIN: Duration = Duration::from_millis(60);

/// So many deliveries in turn must be late: one may have been stamped badly.
const DELIVERIES: u32 = 3;

/// Two clocks run apart by some millionths; so much of each delivery's length is forgiven.
const DRIFT: f64 = 0.001;

/// When a delivery was captured and when it arrived, by clocks that run evenly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Times {
    pub captured: Duration,
    pub arrived: Duration,
}

/// Watches one stream.
#[derive(Debug, Default)]
pub struct Continuity {
    /// Samples so far, of one channel.
    samples: u64,
    captured: Line,
    arrived: Line,
    /// Deliveries in turn that were late by both, and the least of their lateness.
    late: u32,
    least_late_s: f64,
    /// Deliveries in turn that were captured late and arrived in time, and the least of their lateness.
    moved: u32,
    least_moved_s: f64,
}

/// One of the two times against the samples.
#[derive(Debug, Default)]
struct Line {
    /// How far the times were ahead of the samples at the best of times, in seconds.
    usual_s: Option<f64>,
}

impl Line {
    /// How late this delivery is, in seconds; not negative.
    fn late_s(&mut self, ahead_s: f64, length_s: f64) -> f64 {
        let usual_s = match self.usual_s {
            Some(usual_s) if usual_s < ahead_s => usual_s,
            _ => ahead_s,
        };
        let late_s = ahead_s - usual_s;
        let forgiven_s = if late_s < HOLE_MIN.as_secs_f64() {
            (DRIFT * length_s).min(late_s)
        } else {
            0.0
        };
        self.usual_s = Some(usual_s + forgiven_s);
        late_s
    }

    fn move_by(&mut self, seconds: f64) {
        self.usual_s = self.usual_s.map(|usual_s| usual_s + seconds);
    }
}

impl Continuity {
    /// Takes the times of the first sample of a delivery of `samples`. Gives the time that is missing before it, once
    /// that is sure.
    pub fn delivered(&mut self, times: Times, samples: usize, rate_hz: u32) -> Option<Duration> {
        let rate_hz = f64::from(rate_hz);
        let due_s = self.samples as f64 / rate_hz;
        let length_s = samples as f64 / rate_hz;
        self.samples += samples as u64;
        let captured_s = self
            .captured
            .late_s(times.captured.as_secs_f64() - due_s, length_s);
        let arrived_s = self
            .arrived
            .late_s(times.arrived.as_secs_f64() - due_s, length_s);
        let hole_min_s = HOLE_MIN.as_secs_f64();
        let is_moved = captured_s >= hole_min_s && arrived_s < hole_min_s;
        if in_turn(
            &mut self.moved,
            &mut self.least_moved_s,
            is_moved,
            captured_s,
        ) {
            self.captured.move_by(self.least_moved_s);
        }
        let late_s = captured_s.min(arrived_s);
        let is_late = late_s >= hole_min_s;
        if !in_turn(&mut self.late, &mut self.least_late_s, is_late, late_s) {
            return None;
        }
        self.captured.move_by(self.least_late_s);
        self.arrived.move_by(self.least_late_s);
        Some(Duration::from_secs_f64(self.least_late_s))
    }
}

/// Counts what is so in turn and keeps the least of it; says when that was enough, and begins anew.
fn in_turn(count: &mut u32, least_s: &mut f64, is_so: bool, value_s: f64) -> bool {
    if !is_so {
        *count = 0;
        return false;
    }
    *least_s = if *count == 0 {
        value_s
    } else {
        value_s.min(*least_s)
    };
    *count += 1;
    let is_enough = *count == DELIVERIES;
    if is_enough {
        *count = 0;
    }
    is_enough
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE_HZ: u32 = 16_000;
    const PERIOD: usize = 320;

    /// Deliveries of 20 ms, each captured and arrived at its time plus what `wavers` says of its number, in milliseconds.
    fn deliver(
        lost_before: usize,
        lost_ms: u64,
        wavers: impl Fn(usize) -> (u64, u64),
    ) -> Vec<Duration> {
        let mut continuity = Continuity::default();
        (0..100)
            .filter_map(|number| {
                let lost = if number >= lost_before { lost_ms } else { 0 };
                let (captured, arrived) = wavers(number);
                let at = 1_000 + number as u64 * 20 + lost;
                let times = Times {
                    captured: Duration::from_millis(at + captured),
                    arrived: Duration::from_millis(at + arrived),
                };
                continuity.delivered(times, PERIOD, RATE_HZ)
            })
            .collect()
    }

    #[test]
    fn a_hole_at_any_place_is_told_once_with_its_length() {
        for place in 1..95 {
            for lost_ms in [70, 120, 400, 3_000] {
                let told = deliver(place, lost_ms, |number| {
                    (number as u64 * 7 % 5, number as u64 * 3 % 5)
                });
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
        let wavers = |number| (number as u64 * 13 % 40, number as u64 * 17 % 40);
        assert_eq!(deliver(200, 0, wavers), []);
        // Two in turn are stamped very late, and no sound is missing.
        let twice = |number| match number {
            40 | 41 => (500, 500),
            _ => (0, 0),
        };
        assert_eq!(deliver(200, 0, twice), []);
    }

    #[test]
    fn a_machine_that_takes_deliveries_late_has_lost_nothing() {
        // Half a second that nothing was taken; then all that waited, faster than it was captured.
        let waited = |number: usize| match number {
            40..=90 => (0, 500 - (number as u64 - 40) * 10),
            _ => (0, 0),
        };
        assert_eq!(deliver(200, 0, waited), []);
    }

    /// As seen of a sound server whose delay went from 342 ms to 21 ms when another program began to play: each
    /// delivery arrived in time, and the times of capture ran for 0.3 s at twice the speed.
    #[test]
    fn an_estimate_of_the_delay_that_shrinks_is_no_hole_and_hides_none_after_it() {
        let shrinks = |number: usize| ((number as u64).saturating_sub(20).min(16) * 20, 330);
        assert_eq!(deliver(200, 0, shrinks), []);
        let told = deliver(70, 120, shrinks);
        assert_eq!(told.len(), 1, "{told:?}");
        assert!((115..=125).contains(&told[0].as_millis()), "{told:?}");
    }

    #[test]
    fn clocks_that_run_apart_are_no_hole() {
        let mut continuity = Continuity::default();
        // An hour of deliveries; the device's clock is slow by 100 millionths.
        for number in 0..180_000u64 {
            let at = Duration::from_micros(number * 20_002);
            let times = Times {
                captured: at,
                arrived: at,
            };
            assert_eq!(continuity.delivered(times, PERIOD, RATE_HZ), None);
        }
    }
}
