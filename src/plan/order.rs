//! The best order of jobs, solved exactly: over all sets of jobs done (a set, the place where the last was done,
//! the times at which nerve blocks work), keeping only the states that no other is better than.
//! Knows nothing of teeth: jobs have a place, a length and what must come before them.
//!
//! Best means, in this order: fewest most important jobs past the time there is, then fewest of the next rank,
//! and so on; then fewest minutes lost in turns, changes of jaw and waiting, each turn weighed by a penalty.
//! Invariant: no order allowed is better than the one returned while `is_exact` (compared with brute force).

use std::collections::BTreeMap;

/// Where the patient lies and the mouth is worked on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// 0 right, 1 left.
    pub side: u8,
    /// 0 upper, 1 lower.
    pub jaw: u8,
}

/// One piece of work that is not interrupted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    /// None: can be done however the patient lies.
    pub spot: Option<Spot>,
    pub minutes: u32,
    /// 0 is the most important, 3 the least.
    pub rank: u8,
    /// Jobs, by index, that must be done before.
    pub after: Vec<usize>,
    /// Jobs, by index, that must be done before and have worked for so many minutes.
    pub after_onset: Vec<(usize, u32)>,
    /// Not before so many minutes from now.
    pub not_before: u32,
}

/// What moving costs, and how long there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Costs {
    pub turn_minutes: u32,
    pub jaw_minutes: u32,
    /// Takes no time: how many minutes of waiting one more turn must save.
    pub turn_penalty_minutes: u32,
    pub minutes_available: Option<u32>,
}

/// Compared from left to right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Cost {
    /// Jobs that end too late, by rank.
    pub late: [u16; 4],
    /// Turns, changes of jaw, waiting, and the penalty of the turns.
    pub lost_minutes: u32,
}

/// One job in its place in the order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    pub job: usize,
    /// Minutes from now.
    pub starts: u32,
    pub ends: u32,
    pub is_turn: bool,
    pub is_jaw_change: bool,
    pub wait_minutes: u32,
    pub is_late: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    pub placed: Vec<Placed>,
    pub cost: Cost,
    /// False where there were too many states and some were dropped.
    pub is_exact: bool,
}

/// States kept for one number of jobs done. A full mouth in single teeth stays far below; beyond it memory counts.
const STATES_MAX: usize = 200_000;

#[derive(Debug, Clone)]
struct State {
    cost: Cost,
    now: u32,
    turns: u32,
    last: Option<Spot>,
    /// When each job ended, for jobs whose onset others wait for; in the order of `starters`.
    ended: Vec<Option<u32>>,
    /// State before, by index, and the job done.
    before: usize,
    job: usize,
}

/// Puts one more job behind. The one place that says what an order costs.
fn step(
    job: &Job,
    costs: &Costs,
    now: u32,
    last: Option<Spot>,
    cost: Cost,
    ended: impl Fn(usize) -> Option<u32>,
) -> (Placed, Cost) {
    let (is_turn, is_jaw_change) = match (last, job.spot) {
        (Some(a), Some(b)) => (a.side != b.side, a.side == b.side && a.jaw != b.jaw),
        _ => (false, false),
    };
    let moving =
        u32::from(is_turn) * costs.turn_minutes + u32::from(is_jaw_change) * costs.jaw_minutes;
    let at = now + moving;
    let ready = job
        .after_onset
        .iter()
        .filter_map(|(starter, onset)| Some(ended(*starter)? + onset))
        .max()
        .unwrap_or(0)
        .max(job.not_before);
    let starts = at.max(ready);
    let ends = starts + job.minutes;
    let is_late = costs
        .minutes_available
        .is_some_and(|available| ends > available);
    let mut after = cost;
    after.lost_minutes += starts - now + u32::from(is_turn) * costs.turn_penalty_minutes;
    after.late[usize::from(job.rank.min(3))] += u16::from(is_late);
    let placed = Placed {
        job: 0,
        starts,
        ends,
        is_turn,
        is_jaw_change,
        wait_minutes: starts - at,
        is_late,
    };
    (placed, after)
}

/// What a given order costs; None where it breaks what must come before.
pub fn evaluate(jobs: &[Job], costs: &Costs, order: &[usize]) -> Option<(Vec<Placed>, Cost)> {
    let mut ends: Vec<Option<u32>> = vec![None; jobs.len()];
    let (mut now, mut last, mut cost) = (0, None, Cost::default());
    let mut all = Vec::with_capacity(order.len());
    for &index in order {
        let job = jobs.get(index)?;
        let is_ready = job
            .after
            .iter()
            .chain(job.after_onset.iter().map(|(j, _)| j));
        if ends[index].is_some() || !is_ready.into_iter().all(|j| ends[*j].is_some()) {
            return None;
        }
        let (placed, after) = step(job, costs, now, last, cost, |j| ends[j]);
        ends[index] = Some(placed.ends);
        (now, cost) = (placed.ends, after);
        last = job.spot.or(last);
        all.push(Placed {
            job: index,
            ..placed
        });
    }
    Some((all, cost))
}

/// The best order. Jobs whose wants form a ring are left out: a caller never makes one.
pub fn solve(jobs: &[Job], costs: &Costs) -> Solution {
    debug_assert!(jobs.len() <= 128, "a set of jobs is held in 128 bits");
    let needs: Vec<u128> = jobs
        .iter()
        .map(|job| {
            let before = job
                .after
                .iter()
                .chain(job.after_onset.iter().map(|(j, _)| j));
            before.fold(0, |set, j| set | 1 << *j)
        })
        .collect();
    let starters: Vec<usize> = (0..jobs.len())
        .filter(|j| {
            jobs.iter()
                .any(|job| job.after_onset.iter().any(|(s, _)| s == j))
        })
        .collect();
    let mut arena = vec![State {
        cost: Cost::default(),
        now: 0,
        turns: 0,
        last: None,
        ended: vec![None; starters.len()],
        before: 0,
        job: 0,
    }];
    let mut layer: BTreeMap<(u128, Option<Spot>), Vec<usize>> =
        BTreeMap::from([((0, None), vec![0])]);
    let mut is_exact = true;
    loop {
        let mut next: BTreeMap<(u128, Option<Spot>), Vec<usize>> = BTreeMap::new();
        for ((set, _), states) in &layer {
            for (index, job) in jobs.iter().enumerate() {
                if set & (1 << index) != 0 || needs[index] & !set != 0 {
                    continue;
                }
                let done = set | 1 << index;
                for &from in states {
                    let state =
                        extend(&arena[from], from, index, job, costs, &starters, jobs, done);
                    keep(
                        &mut arena,
                        next.entry((done, state.last)).or_default(),
                        state,
                    );
                }
            }
        }
        if next.is_empty() {
            break;
        }
        is_exact &= cut(&arena, &mut next);
        layer = next;
    }
    let best = layer
        .values()
        .flatten()
        .min_by_key(|state| (arena[**state].cost, **state))
        .copied()
        .unwrap_or(0);
    let mut order = Vec::new();
    let mut at = best;
    while at != 0 {
        order.push(arena[at].job);
        at = arena[at].before;
    }
    order.reverse();
    let (placed, cost) = evaluate(jobs, costs, &order).unwrap_or_default();
    Solution {
        placed,
        cost,
        is_exact,
    }
}

#[expect(
    clippy::too_many_arguments,
    reason = "one inner step of the search, called once"
)]
fn extend(
    state: &State,
    from: usize,
    index: usize,
    job: &Job,
    costs: &Costs,
    starters: &[usize],
    jobs: &[Job],
    done: u128,
) -> State {
    let (placed, cost) = step(job, costs, state.now, state.last, state.cost, |j| {
        starters
            .iter()
            .position(|s| *s == j)
            .and_then(|at| state.ended[at])
    });
    let mut ended = state.ended.clone();
    for (at, &starter) in starters.iter().enumerate() {
        if starter == index {
            ended[at] = Some(placed.ends);
        }
        // Forgotten once nobody waits any more, so that states that differ in nothing else are one.
        let is_awaited = jobs.iter().enumerate().any(|(j, job)| {
            done & (1 << j) == 0 && job.after_onset.iter().any(|(s, _)| *s == starter)
        });
        if !is_awaited {
            ended[at] = None;
        }
    }
    State {
        cost,
        now: placed.ends,
        turns: state.turns + u32::from(placed.is_turn),
        last: job.spot.or(state.last),
        ended,
        before: from,
        job: index,
    }
}

/// Whether one state is nowhere worse than another of the same set and spot: then whatever follows is not either.
/// The minutes lost are not compared: with the same set done they follow from the time and the turns, and an
/// earlier state may yet lose in waiting what it is ahead.
fn covers(one: &State, other: &State) -> bool {
    let is_less_late = one.cost.late < other.cost.late;
    (is_less_late || (one.cost.late == other.cost.late && one.turns <= other.turns))
        && one.now <= other.now
        && one.ended.iter().zip(&other.ended).all(|(a, b)| a <= b)
}

fn keep(arena: &mut Vec<State>, states: &mut Vec<usize>, state: State) {
    if states.iter().any(|&kept| covers(&arena[kept], &state)) {
        return;
    }
    states.retain(|&kept| !covers(&state, &arena[kept]));
    arena.push(state);
    states.push(arena.len() - 1);
}

/// Drops the dearest states beyond the limit; answers whether none was dropped.
fn cut(arena: &[State], layer: &mut BTreeMap<(u128, Option<Spot>), Vec<usize>>) -> bool {
    let count: usize = layer.values().map(Vec::len).sum();
    if count <= STATES_MAX {
        return true;
    }
    let mut costs: Vec<Cost> = layer.values().flatten().map(|s| arena[*s].cost).collect();
    costs.sort_unstable();
    let limit = costs[STATES_MAX];
    layer.retain(|_, states| {
        states.retain(|s| arena[*s].cost < limit);
        !states.is_empty()
    });
    if layer.is_empty() {
        // All cost the same: keep them, it is the lesser evil.
        return false;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn jobs() -> impl Strategy<Value = Vec<Job>> {
        let spot = proptest::option::weighted(
            0.8,
            (0u8..2, 0u8..2).prop_map(|(side, jaw)| Spot { side, jaw }),
        );
        let job = (
            spot,
            0u32..30,
            0u8..4,
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
                                after & (1 << j) != 0
                                    && onset & (1 << j) == 0
                                    && (j + index) % 2 == 0
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
            if order.len() == jobs.len() {
                let cost = evaluate(jobs, costs, order).map(|(_, cost)| cost);
                *best = match (*best, cost) {
                    (Some(a), Some(b)) => Some(a.min(b)),
                    (a, b) => a.or(b),
                };
                return;
            }
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
            prop_assert_eq!(solution.placed.len(), jobs.len());
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
        assert_eq!(solution.placed[0].job, 1);
        assert_eq!(solution.cost.late, [0, 0, 0, 1]);
    }

    #[test]
    fn a_full_mouth_of_single_teeth_is_solved_exactly() {
        // Four quarters, each: block, then ten extractions in ranks, all under a short time.
        let mut jobs = Vec::new();
        for (side, jaw) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            let block = jobs.len();
            jobs.push(at(side, jaw, 3));
            let mut before = None;
            for tooth in 0..9 {
                jobs.push(Job {
                    rank: tooth / 5,
                    after: before.into_iter().collect(),
                    after_onset: vec![(block, 30)],
                    ..at(side, jaw, 10)
                });
                before = (tooth != 4).then_some(jobs.len() - 1);
            }
        }
        let solution = solve(
            &jobs,
            &Costs {
                minutes_available: Some(200),
                ..COSTS
            },
        );
        assert_eq!(solution.placed.len(), jobs.len());
        assert!(solution.is_exact);
    }
}
