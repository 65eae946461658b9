//! The simulated disk: a fault at every single operation of a short trial, and thousands of longer ones by seed.

use std::collections::BTreeMap;

use sulcus::sim::{Kind, Sum, sums, trial};

use super::{Effort, Row};

fn rows(sums: BTreeMap<Kind, Sum>, what: &str) -> Vec<Row> {
    sums.into_iter()
        .map(|(kind, sum)| {
            for (seed, failure) in &sum.failures {
                println!("{}: number {seed}: {failure}", kind.title());
            }
            assert!(sum.failures.is_empty(), "{}: {sum:?}", kind.title());
            let mut row = Row {
                fault: format!("{}; {what}", kind.title()),
                tried: sum.fault_count,
                saved: sum.saved_count,
                lost: sum.lost_count,
                told: String::new(),
            };
            match kind {
                Kind::PowerCutDropsAll | Kind::PowerCutKeepsAll | Kind::PowerCutMixture => row.tell(
                    "at the next start the visit goes on; an append that had not returned is there whole or not at all",
                ),
                _ => row.tell(&sum.told.unwrap_or_default()),
            }
            row
        })
        .collect()
}

/// A fault at each operation, of each kind, of a short trial.
pub fn every_operation(effort: Effort) -> Vec<Row> {
    let mut all = BTreeMap::<Kind, Sum>::new();
    for seed in 0..effort.choose(1, 12) {
        let (operations, reads) = trial::short_length(seed);
        assert!(
            operations > 50 && reads > 20,
            "{operations} operations, {reads} reads"
        );
        let longest = operations.max(reads);
        let kinds = Kind::ALL.len() as u64;
        let sums = sums::run(0..longest * kinds, |number| {
            let kind = Kind::ALL[(number % kinds) as usize];
            trial::run_with_fault_at(seed, kind, 1 + number / kinds)
        });
        for (kind, sum) in sums {
            let into = all.entry(kind).or_default();
            into.fault_count += sum.fault_count;
            into.saved_count += sum.saved_count;
            into.lost_count += sum.lost_count;
            into.told = into.told.take().or(sum.told);
            into.failures.extend(sum.failures);
        }
    }
    rows(all, "simulated disk, at each operation in turn")
}

/// Whole trials, several faults in each.
pub fn many_seeds(effort: Effort) -> Vec<Row> {
    let seeds = effort.choose(0..300, 0..6_000);
    rows(
        sums::run(seeds, |seed| trial::run(seed, false)),
        "simulated disk, by seed",
    )
}

#[test]
fn a_fault_at_any_operation_loses_nothing() {
    for row in every_operation(Effort::Quick) {
        row.require_nothing_lost();
    }
}

#[test]
fn many_seeds_lose_nothing() {
    for row in many_seeds(Effort::Quick) {
        row.require_nothing_lost();
    }
}

/// The trials must be able to fail: a disk that says it synced and did not loses entries, and they notice.
#[test]
fn a_disk_that_lies_is_found() {
    let sums = sums::run(0..60, |seed| trial::run(seed, true));
    let power_cuts = [
        Kind::PowerCutDropsAll,
        Kind::PowerCutKeepsAll,
        Kind::PowerCutMixture,
    ];
    for kind in power_cuts {
        let sum = &sums[&kind];
        assert!(!sum.failures.is_empty(), "{}: {sum:?}", kind.title());
    }
    let lost: u64 = sums.values().map(|sum| sum.lost_count).sum();
    assert!(lost > 0);
}

/// When the switch of a new file to its write-ahead log failed at a read, a write or a sync, SQLite had already
/// answered with the new mode: the journal then worked without a log, and a power cut brought the removed
/// rollback file back, which took the newest entry with it.
#[test]
fn a_failed_switch_to_the_log_is_not_taken_for_done() {
    for kind in Kind::ALL {
        for at in 1..=30 {
            let outcome = trial::run_with_fault_at(196, kind, at);
            assert_eq!(outcome.failure, None, "{kind:?} at {at}");
        }
    }
}

/// Found whole at the next start: it counts then, and is not entered twice.
#[test]
fn an_append_that_got_in_all_the_same_counts() {
    let sums = sums::run(0..40, |seed| trial::run(seed, false));
    let adopted: u64 = sums.values().map(|sum| sum.adopted_count).sum();
    assert!(adopted > 0, "{sums:?}");
}
