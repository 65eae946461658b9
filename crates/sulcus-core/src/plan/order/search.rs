//! The search: sets of jobs by size, the states of each that no other is better than, and bounds that prune.

use std::collections::BTreeMap;

use super::{
    Cost, Costs, Job, Solution, Spot, Starter, cost_of, evaluate, set_of, starters, step,
    weighed_end,
};

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
            let may_follow = done & (1 << index) == 0
                && rank <= 3
                && self.earliest_end(state, job, done) <= available;
            if may_follow && job.minutes <= left[rank] {
                left[rank] -= job.minutes;
                cost.left_out[rank] -= 1;
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
///
/// Where something may have to be waited for, a shorter one is no better: the longer one may fill the wait, and what
/// the shorter one would save is lost in it.
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
    let may_wait = jobs
        .iter()
        .any(|job| job.not_before > 0 || !job.after_onset.is_empty());
    (0..jobs.len())
        .map(|index| {
            let is_better = |other: usize| {
                let (one, job) = (&jobs[other], &jobs[index]);
                let is_as_short = if may_wait {
                    one.minutes == job.minutes
                } else {
                    one.minutes <= job.minutes
                };
                let is_equal = one.rank == job.rank && one.minutes == job.minutes;
                one.rank <= job.rank && is_as_short && (!is_equal || other < index)
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
