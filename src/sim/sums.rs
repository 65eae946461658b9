//! Many trials at once, summed by what went wrong.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use super::trial::{Kind, Outcome};

/// All trials of one kind together.
#[derive(Debug, Clone, Default)]
pub struct Sum {
    pub trial_count: u64,
    pub fault_count: u64,
    pub saved_count: u64,
    pub lost_count: u64,
    pub refused_count: u64,
    pub adopted_count: u64,
    /// One of the messages.
    pub told: Option<String>,
    /// What the oracle said, with the number of the trial.
    pub failures: Vec<(u64, String)>,
}

/// Runs the trials with these numbers on all cores.
pub fn run(
    numbers: std::ops::Range<u64>,
    trial: impl Fn(u64) -> Outcome + Sync,
) -> BTreeMap<Kind, Sum> {
    let next = AtomicU64::new(numbers.start);
    let sums: Mutex<BTreeMap<Kind, Sum>> = Mutex::default();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    if number >= numbers.end {
                        break;
                    }
                    let outcome = trial(number);
                    let mut sums = sums
                        .lock()
                        .unwrap_or_else(std::sync::PoisonError::into_inner);
                    sums.entry(outcome.kind).or_default().add(number, outcome);
                }
            });
        }
    });
    sums.into_inner()
        .unwrap_or_else(std::sync::PoisonError::into_inner)
}

impl Sum {
    fn add(&mut self, number: u64, outcome: Outcome) {
        self.trial_count += 1;
        self.fault_count += outcome.fault_count;
        self.saved_count += outcome.saved_count;
        self.lost_count += outcome.lost_count;
        self.refused_count += outcome.refused_count;
        self.adopted_count += outcome.adopted_count;
        // A refused append says more than a failed start.
        if self.told.is_none() || outcome.refused_count > 0 {
            self.told = outcome.told.or(self.told.take());
        }
        self.failures
            .extend(outcome.failure.map(|failure| (number, failure)));
    }
}
