//! Wall time and monotonic time, passed in where they are needed, so that tests own the clock.

use jiff::Timestamp;
use std::time::Instant;

/// Now, twice: wall time to show, monotonic time to measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Now {
    pub at: Timestamp,
    /// Milliseconds since the program started.
    pub monotonic_ms: u64,
}

pub trait Clock: Send {
    fn now(&mut self) -> Now;

    /// Sound of this length has been played. Moves a clock that is set; a real one moves by itself.
    fn advance_ms(&mut self, _ms: u64) {}
}

/// The machine's clocks.
#[derive(Debug, Clone, Copy)]
pub struct RealClock(Instant);

impl Default for RealClock {
    fn default() -> Self {
        Self(Instant::now())
    }
}

impl Clock for RealClock {
    fn now(&mut self) -> Now {
        Now {
            at: Timestamp::now(),
            monotonic_ms: self.0.elapsed().as_millis() as u64,
        }
    }
}

/// The day by the clock on the wall of this machine.
pub fn today() -> jiff::civil::Date {
    let now = RealClock::default().now().at;
    now.to_zoned_datetime(jiff::tz::TimeZone::system()).date()
}

/// A clock that moves only when told: for replays that must give the same record each time, and tests.
#[derive(Debug, Clone, Copy)]
pub struct SetClock(pub Now);

impl SetClock {
    /// Starts at the given second since 1970.
    pub fn at_second(second: i64) -> Self {
        let at = Timestamp::from_second(second).unwrap_or(Timestamp::UNIX_EPOCH);
        Self(Now {
            at,
            monotonic_ms: 0,
        })
    }
}

impl Clock for SetClock {
    fn now(&mut self) -> Now {
        self.0
    }

    fn advance_ms(&mut self, ms: u64) {
        self.0.monotonic_ms += ms;
        self.0.at += jiff::SignedDuration::from_millis(ms as i64);
    }
}
