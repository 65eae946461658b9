//! The best order of jobs, solved exactly: over all sets of jobs done (a set, the place where the last was done,
//! the times at which nerve blocks work), keeping only the states that no other is better than.
//! Knows nothing of teeth: jobs have a place, a length and what must come before them.
//!
//! Where time is short, jobs that do not end in time are left out. Best means, in this order: fewest of the most
//! important jobs left out, then of the next rank, and so on; no block given in vain; fewest minutes lost in turns,
//! changes of jaw and waiting, each turn weighed by a penalty; then important work early.
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
    /// 0 is the most important, 3 the least; 4 and above: only done for others, leaving it out costs nothing.
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
    /// None: everything is done, however long it takes.
    pub minutes_available: Option<u32>,
}

/// Compared from left to right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Cost {
    /// Jobs left out, by rank.
    pub left_out: [u16; 4],
    /// Jobs done for the onset that others wait for, with none of those others done.
    pub in_vain: u16,
    /// Turns, changes of jaw, waiting, and the penalty of the turns.
    pub lost_minutes: u32,
    /// When each job ends, weighed by its importance, added up.
    pub weighed_ends: u64,
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
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    pub placed: Vec<Placed>,
    /// Jobs, by index, that do not fit into the time; in the order of their ranks.
    pub left_out: Vec<usize>,
    pub cost: Cost,
    /// False where there were too many states and some were dropped.
    pub is_exact: bool,
}

/// States kept for one number of jobs done: bounds time and memory. Beyond it the answer says that it is unproven.
const STATES_MAX: usize = 20_000;
/// For the first look, which only has to be good.
const FIRST_LOOK_STATES: usize = 500;

#[derive(Debug, Clone)]
struct State {
    now: u32,
    turns: u32,
    weighed_ends: u64,
    last: Option<Spot>,
    /// When each starter's work ended, while others wait for its onset.
    ended: Vec<Option<u32>>,
    /// State before, by index, and the job done.
    before: usize,
    job: usize,
}

impl State {
    fn so_far(&self) -> (u32, u32, u64) {
        (self.now, self.turns, self.weighed_ends)
    }
}

/// Puts one more job behind. The one place that says how long it takes; None where it ends too late.
fn step(
    job: &Job,
    costs: &Costs,
    now: u32,
    last: Option<Spot>,
    ended: impl Fn(usize) -> Option<u32>,
) -> Option<Placed> {
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
    costs
        .minutes_available
        .is_none_or(|available| ends <= available)
        .then_some(Placed {
            job: 0,
            starts,
            ends,
            is_turn,
            is_jaw_change,
            wait_minutes: starts - at,
        })
}

/// Weight of a job's end: the most important counts most, the least not at all.
fn weighed_end(job: &Job, ends: u32) -> u64 {
    u64::from(3u8.saturating_sub(job.rank)) * u64::from(ends)
}

/// What stopping costs, with that set of jobs done.
fn cost_of(
    jobs: &[Job],
    costs: &Costs,
    starters: &[Starter],
    done: u128,
    (now, turns, weighed_ends): (u32, u32, u64),
) -> Cost {
    let mut cost = Cost::default();
    let mut worked = 0;
    for (index, job) in jobs.iter().enumerate() {
        if done & (1 << index) != 0 {
            worked += job.minutes;
        } else if let Some(left_out) = cost.left_out.get_mut(usize::from(job.rank)) {
            *left_out += 1;
        }
    }
    for starter in starters {
        let is_in_vain = done & (1 << starter.job) != 0 && done & starter.awaiting == 0;
        cost.in_vain += u16::from(is_in_vain);
    }
    cost.lost_minutes = now - worked + turns * costs.turn_penalty_minutes;
    cost.weighed_ends = weighed_ends;
    cost
}

/// A job whose onset others wait for.
struct Starter {
    job: usize,
    /// Those others, as a set.
    awaiting: u128,
}

fn set_of(jobs: &[Job], test: impl Fn(&Job) -> bool) -> u128 {
    let members = jobs.iter().enumerate().filter(|(_, job)| test(job));
    members.fold(0, |set, (index, _)| set | 1 << index)
}

fn starters(jobs: &[Job]) -> Vec<Starter> {
    (0..jobs.len())
        .filter_map(|job| {
            let awaiting = set_of(jobs, |other| {
                other.after_onset.iter().any(|(s, _)| *s == job)
            });
            (awaiting != 0).then_some(Starter { job, awaiting })
        })
        .collect()
}

/// What a given order costs; None where it breaks what must come before, ends too late, or leaves out what there
/// is time for because no time is set.
pub fn evaluate(jobs: &[Job], costs: &Costs, order: &[usize]) -> Option<(Vec<Placed>, Cost)> {
    let mut ends: Vec<Option<u32>> = vec![None; jobs.len()];
    let (mut now, mut last, mut turns, mut weighed_ends, mut done) = (0, None, 0, 0, 0u128);
    let mut all = Vec::with_capacity(order.len());
    for &index in order {
        let job = jobs.get(index)?;
        let mut before = job
            .after
            .iter()
            .chain(job.after_onset.iter().map(|(j, _)| j));
        if ends[index].is_some() || !before.all(|j| ends[*j].is_some()) {
            return None;
        }
        let placed = step(job, costs, now, last, |j| ends[j])?;
        ends[index] = Some(placed.ends);
        now = placed.ends;
        turns += u32::from(placed.is_turn);
        weighed_ends += weighed_end(job, placed.ends);
        last = job.spot.or(last);
        done |= 1 << index;
        all.push(Placed {
            job: index,
            ..placed
        });
    }
    let is_whole = order.len() == jobs.len();
    (is_whole || costs.minutes_available.is_some()).then(|| {
        (
            all,
            cost_of(
                jobs,
                costs,
                &starters(jobs),
                done,
                (now, turns, weighed_ends),
            ),
        )
    })
}

/// The best order. Jobs whose wants form a ring are left out: a caller never makes one.
pub fn solve(jobs: &[Job], costs: &Costs) -> Solution {
    debug_assert!(jobs.len() <= 128, "a set of jobs is held in 128 bits");
    let search = Search::new(jobs, costs);
    // A quick look at few states gives a good order; what cannot become better than it is not followed.
    let first = search.run(FIRST_LOOK_STATES, None);
    if first.is_exact {
        return first;
    }
    let second = search.run(STATES_MAX, Some(first.cost));
    let is_exact = second.is_exact;
    let is_better = second.cost < first.cost
        && (costs.minutes_available.is_some() || second.left_out.is_empty());
    Solution {
        is_exact,
        ..if is_better { second } else { first }
    }
}

type Layer = BTreeMap<(u128, Option<Spot>), Vec<usize>>;

struct Search<'a> {
    jobs: &'a [Job],
    costs: &'a Costs,
    needs: Vec<u128>,
    starters: Vec<Starter>,
    /// Jobs from short to long.
    by_length: Vec<usize>,
}

impl<'a> Search<'a> {
    fn new(jobs: &'a [Job], costs: &'a Costs) -> Self {
        let mut by_length: Vec<usize> = (0..jobs.len()).collect();
        by_length.sort_by_key(|index| jobs[*index].minutes);
        Self {
            jobs,
            costs,
            needs: needs(jobs),
            starters: starters(jobs),
            by_length,
        }
    }

    /// Goes through all sets of jobs by size. With a cost to beat, states that cannot beat it are left.
    fn run(&self, states_max: usize, mut to_beat: Option<Cost>) -> Solution {
        let may_stop = self.costs.minutes_available.is_some();
        let mut arena = vec![State {
            now: 0,
            turns: 0,
            weighed_ends: 0,
            last: None,
            ended: vec![None; self.starters.len()],
            before: 0,
            job: 0,
        }];
        let mut layer: Layer = BTreeMap::from([((0, None), vec![0])]);
        let mut best = (
            cost_of(self.jobs, self.costs, &self.starters, 0, (0, 0, 0)),
            0,
        );
        let all = set_of(self.jobs, |_| true);
        let mut is_exact = true;
        while !layer.is_empty() {
            let mut next: Layer = BTreeMap::new();
            for ((set, _), states) in &layer {
                for index in 0..self.jobs.len() {
                    if set & (1 << index) != 0 || self.needs[index] & !set != 0 {
                        continue;
                    }
                    let done = set | 1 << index;
                    for &from in states {
                        let Some(state) = self.extend(&arena[from], from, index, done) else {
                            continue;
                        };
                        if to_beat.is_some_and(|cost| self.at_best(&state, done) >= cost) {
                            continue;
                        }
                        keep(
                            &mut arena,
                            next.entry((done, state.last)).or_default(),
                            state,
                        );
                    }
                }
            }
            next.retain(|_, states| !states.is_empty());
            for ((set, _), states) in &next {
                for &at in states.iter().filter(|_| may_stop || *set == all) {
                    let cost = cost_of(
                        self.jobs,
                        self.costs,
                        &self.starters,
                        *set,
                        arena[at].so_far(),
                    );
                    let is_first = best.1 == 0 && !may_stop;
                    if is_first || cost < best.0 {
                        best = (cost, at);
                    }
                }
            }
            if may_stop && to_beat.is_some_and(|cost| best.0 < cost) {
                to_beat = Some(best.0);
            }
            is_exact &= self.cut(&arena, &mut next, states_max);
            layer = next;
        }
        let mut order = Vec::new();
        let mut at = best.1;
        while at != 0 {
            order.push(arena[at].job);
            at = arena[at].before;
        }
        order.reverse();
        let (placed, cost) =
            evaluate(self.jobs, self.costs, &order).unwrap_or((Vec::new(), best.0));
        let mut left_out: Vec<usize> = (0..self.jobs.len())
            .filter(|job| !placed.iter().any(|placed| placed.job == *job))
            .collect();
        left_out.sort_by_key(|job| self.jobs[*job].rank);
        Solution {
            placed,
            left_out,
            cost,
            is_exact,
        }
    }

    fn extend(&self, state: &State, from: usize, index: usize, done: u128) -> Option<State> {
        let job = &self.jobs[index];
        let placed = step(job, self.costs, state.now, state.last, |j| {
            let at = self.starters.iter().position(|starter| starter.job == j)?;
            state.ended[at]
        })?;
        let mut ended = state.ended.clone();
        for (ended, starter) in ended.iter_mut().zip(&self.starters) {
            if starter.job == index {
                *ended = Some(placed.ends);
            }
            // Forgotten once nobody waits any more, so that states that differ in nothing else are one.
            if starter.awaiting & !done == 0 {
                *ended = None;
            }
        }
        Some(State {
            now: placed.ends,
            turns: state.turns + u32::from(placed.is_turn),
            weighed_ends: state.weighed_ends + weighed_end(job, placed.ends),
            last: job.spot.or(state.last),
            ended,
            before: from,
            job: index,
        })
    }

    /// Less than this no order that begins so can cost: of each rank as many jobs follow as the shortest ones fit
    /// into the time left, and where all must be done and the other side waits, one more turn comes.
    fn at_best(&self, state: &State, done: u128) -> Cost {
        let mut cost = cost_of(self.jobs, self.costs, &self.starters, done, state.so_far());
        cost.in_vain = 0;
        let Some(available) = self.costs.minutes_available else {
            cost.left_out = [0; 4];
            let waits = |job: &Job| {
                job.spot
                    .is_some_and(|spot| state.last.is_some_and(|last| spot.side != last.side))
            };
            let open = |at: usize| done & (1 << at) == 0;
            if self
                .jobs
                .iter()
                .enumerate()
                .any(|(at, job)| open(at) && waits(job))
            {
                cost.lost_minutes += self.costs.turn_minutes + self.costs.turn_penalty_minutes;
            }
            return cost;
        };
        let mut left = [available.saturating_sub(state.now); 4];
        for &index in &self.by_length {
            let job = &self.jobs[index];
            let rank = usize::from(job.rank);
            if done & (1 << index) == 0
                && rank <= 3
                && self.earliest_end(state, job, done) <= available
            {
                if job.minutes <= left[rank] {
                    left[rank] -= job.minutes;
                    cost.left_out[rank] -= 1;
                }
            }
        }
        cost
    }

    /// No earlier than this a job can end.
    fn earliest_end(&self, state: &State, job: &Job, done: u128) -> u32 {
        let moving = match (state.last, job.spot) {
            (Some(a), Some(b)) if a.side != b.side => self.costs.turn_minutes,
            (Some(a), Some(b)) if a.jaw != b.jaw => {
                self.costs.jaw_minutes.min(self.costs.turn_minutes * 2)
            }
            _ => 0,
        };
        let onset = job.after_onset.iter().map(|(starter, onset)| {
            let at = self.starters.iter().position(|s| s.job == *starter);
            match at.and_then(|at| state.ended[at]) {
                Some(ended) => ended + onset,
                None if done & (1 << starter) == 0 => {
                    state.now + self.jobs[*starter].minutes + onset
                }
                None => 0,
            }
        });
        let ready = onset.max().unwrap_or(0).max(job.not_before);
        (state.now + moving).max(ready) + job.minutes
    }

    /// Drops the least hopeful states beyond the limit; answers whether none was dropped.
    fn cut(&self, arena: &[State], layer: &mut Layer, states_max: usize) -> bool {
        let mut kept: Vec<(Cost, usize)> = Vec::new();
        let count: usize = layer.values().map(Vec::len).sum();
        if count <= states_max {
            return true;
        }
        for ((set, _), states) in layer.iter() {
            kept.extend(
                states
                    .iter()
                    .map(|state| (self.at_best(&arena[*state], *set), *state)),
            );
        }
        kept.sort_unstable();
        let mut kept: Vec<usize> = kept
            .into_iter()
            .take(states_max)
            .map(|(_, state)| state)
            .collect();
        kept.sort_unstable();
        layer.retain(|_, states| {
            states.retain(|state| kept.binary_search(state).is_ok());
            !states.is_empty()
        });
        false
    }
}

/// What must be done before each job, as a set: what it asks for, and its betters.
///
/// A better differs from a job in nothing but being as important or more and as short or shorter. It may always
/// come first: in an order with such a pair the wrong way round and nearest to each other, changing them round
/// makes nothing later but the lesser job, which then ends where its better did; and where only one of them is
/// done, it may be the better. That keeps full mouths small.
fn needs(jobs: &[Job]) -> Vec<u128> {
    let wants: Vec<u128> = jobs
        .iter()
        .map(|job| {
            let before = job
                .after
                .iter()
                .chain(job.after_onset.iter().map(|(j, _)| j));
            before.fold(0, |set, j| set | 1 << *j)
        })
        .collect();
    let wanted_by = |index: usize| {
        let onsets: Vec<(usize, u32)> = jobs
            .iter()
            .enumerate()
            .flat_map(|(at, job)| {
                job.after_onset
                    .iter()
                    .map(move |(s, onset)| (at, *s, *onset))
            })
            .filter(|(_, starter, _)| *starter == index)
            .map(|(at, _, onset)| (at, onset))
            .collect();
        (set_of(jobs, |job| job.after.contains(&index)), onsets)
    };
    let is_alike = |a: usize, b: usize| {
        let (one, other) = (&jobs[a], &jobs[b]);
        one.spot == other.spot
            && wants[a] == wants[b]
            && one.after_onset == other.after_onset
            && one.not_before == other.not_before
            && wanted_by(a) == wanted_by(b)
    };
    (0..jobs.len())
        .map(|index| {
            let is_better = |other: usize| {
                let (one, job) = (&jobs[other], &jobs[index]);
                let is_equal = one.rank == job.rank && one.minutes == job.minutes;
                one.rank <= job.rank && one.minutes <= job.minutes && (!is_equal || other < index)
            };
            (0..jobs.len())
                .filter(|&other| other != index && is_better(other) && is_alike(other, index))
                .fold(wants[index], |set, other| set | 1 << other)
        })
        .collect()
}

/// Whether one state is nowhere worse than another of the same set and spot: then whatever follows is not either.
/// The minutes lost need no comparing: with the same set done they follow from the time and the turns.
fn covers(one: &State, other: &State) -> bool {
    one.turns <= other.turns
        && one.weighed_ends <= other.weighed_ends
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

#[cfg(test)]
mod tests {
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
}
