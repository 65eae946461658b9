//! The search against brute force over every order of every choice of jobs, and small cases that show the aims.

use super::*;
use proptest::prelude::*;

fn jobs() -> impl Strategy<Value = Vec<Job>> {
    let spot = proptest::option::weighted(
        0.8,
        (0u8..2, 0u8..2).prop_map(|(side, jaw)| Spot { side, jaw }),
    );
    // Few lengths and ranks, so that jobs alike in all else come up.
    let job = (
        spot,
        (1u32..4).prop_map(|n| n * 7),
        0u8..5,
        any::<u8>(),
        any::<u8>(),
        0u32..40,
        proptest::option::weighted(0.2, 0u32..60),
    );
    proptest::collection::vec(job, 0..=7).prop_map(|rows| {
        rows.into_iter()
            .enumerate()
            .map(
                |(index, (spot, minutes, rank, after, onset, onset_minutes, not_before))| Job {
                    spot,
                    minutes,
                    rank,
                    // Only on earlier jobs, so that no ring comes up; about one in four.
                    after: (0..index)
                        .filter(|j| {
                            after & (1 << j) != 0 && onset & (1 << j) == 0 && (j + index) % 2 == 0
                        })
                        .collect(),
                    after_onset: (0..index)
                        .filter(|j| after & onset & (1 << j) != 0 && (j + index) % 2 == 1)
                        .map(|j| (j, onset_minutes))
                        .collect(),
                    not_before: not_before.unwrap_or(0),
                },
            )
            .collect()
    })
}

fn best_by_brute_force(jobs: &[Job], costs: &Costs) -> Option<Cost> {
    fn go(jobs: &[Job], costs: &Costs, order: &mut Vec<usize>, best: &mut Option<Cost>) {
        // Every order of every choice of jobs; `evaluate` refuses those that are not allowed.
        let cost = evaluate(jobs, costs, order).map(|(_, cost)| cost);
        *best = match (*best, cost) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        for job in 0..jobs.len() {
            if !order.contains(&job) {
                order.push(job);
                go(jobs, costs, order, best);
                order.pop();
            }
        }
    }
    let mut best = None;
    go(jobs, costs, &mut Vec::new(), &mut best);
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]
    #[test]
    fn no_permutation_is_better(
        jobs in jobs(), turn_minutes in 0u32..20, jaw_minutes in 0u32..5, turn_penalty_minutes in 0u32..30,
        minutes_available in proptest::option::of(0u32..120),
    ) {
        let costs = Costs { turn_minutes, jaw_minutes, turn_penalty_minutes, minutes_available };
        let solution = solve(&jobs, &costs);
        prop_assert!(solution.is_exact);
        prop_assert_eq!(solution.placed.len() + solution.left_out.len(), jobs.len());
        prop_assert_eq!(Some(solution.cost), best_by_brute_force(&jobs, &costs));
    }
}

fn at(side: u8, jaw: u8, minutes: u32) -> Job {
    Job {
        spot: Some(Spot { side, jaw }),
        minutes,
        rank: 3,
        after: Vec::new(),
        after_onset: Vec::new(),
        not_before: 0,
    }
}

const COSTS: Costs = Costs {
    turn_minutes: 15,
    jaw_minutes: 2,
    turn_penalty_minutes: 0,
    minutes_available: None,
};

#[test]
fn one_turn_for_two_sides() {
    let jobs = [at(0, 0, 5), at(1, 0, 5), at(0, 1, 5), at(1, 1, 5)];
    let solution = solve(&jobs, &COSTS);
    assert_eq!(solution.placed.iter().filter(|p| p.is_turn).count(), 1);
    assert_eq!(solution.cost.lost_minutes, 15 + 2 + 2);
}

#[test]
fn other_work_fills_the_wait_for_a_block() {
    let block = at(0, 0, 3);
    let extraction = Job {
        after_onset: vec![(0, 30)],
        ..at(0, 0, 20)
    };
    let scaling = at(0, 0, 25);
    let solution = solve(&[block, extraction, scaling], &COSTS);
    let order: Vec<usize> = solution.placed.iter().map(|p| p.job).collect();
    assert_eq!(order, [0, 2, 1]);
    assert_eq!(solution.cost.lost_minutes, 5);
}

/// A shorter job was once put first although the longer one fills the wait for the job between them.
#[test]
fn a_longer_job_fills_a_wait_better_than_a_shorter_one() {
    let important = |rank, job| Job { rank, ..job };
    let anywhere = |not_before, after: Vec<usize>| Job {
        spot: None,
        not_before,
        after,
        rank: 0,
        ..at(0, 0, 7)
    };
    let jobs = [
        important(0, at(0, 0, 7)),
        important(1, at(0, 1, 14)),
        anywhere(24, vec![]),
        important(1, at(0, 1, 21)),
        Job {
            after: vec![0, 2],
            ..important(0, at(1, 0, 7))
        },
        anywhere(0, vec![1, 3]),
    ];
    let costs = Costs {
        turn_minutes: 0,
        jaw_minutes: 0,
        turn_penalty_minutes: 0,
        minutes_available: None,
    };
    let solution = solve(&jobs, &costs);
    assert_eq!(Some(solution.cost), best_by_brute_force(&jobs, &costs));
}

#[test]
fn the_most_important_first_when_time_is_short() {
    let small = at(0, 0, 10);
    let grave = Job {
        rank: 0,
        ..at(1, 1, 25)
    };
    let costs = Costs {
        minutes_available: Some(30),
        ..COSTS
    };
    let solution = solve(&[small, grave], &costs);
    assert_eq!(
        solution.placed.iter().map(|p| p.job).collect::<Vec<_>>(),
        [1]
    );
    assert_eq!(solution.left_out, [0]);
}

#[test]
fn all_cheek_teeth_of_a_cat_under_short_time_are_solved_exactly() {
    // Four quarters, each: block, then three or four extractions of other lengths and ranks.
    let mut jobs = Vec::new();
    for (side, jaw) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
        let block = jobs.len();
        jobs.push(Job {
            rank: 4,
            ..at(side, jaw, 3)
        });
        for tooth in 0..if jaw == 0 { 4 } else { 3 } {
            jobs.push(Job {
                rank: tooth / 2,
                after_onset: vec![(block, 30)],
                ..at(side, jaw, 38 - u32::from(tooth) * 8)
            });
        }
    }
    let solution = solve(
        &jobs,
        &Costs {
            minutes_available: Some(200),
            ..COSTS
        },
    );
    assert!(solution.is_exact);
    assert!(solution.placed.iter().all(|placed| placed.ends <= 200));
    assert_eq!(solution.cost.in_vain, 0);
}
