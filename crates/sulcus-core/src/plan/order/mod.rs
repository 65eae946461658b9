//! The best order of jobs, solved exactly: over all sets of jobs done (a set, the place where the last was done,
//! the times at which nerve blocks work), keeping only the states that no other is better than.
//! Knows nothing of teeth: jobs have a place, a length and what must come before them.
//!
//! Where time is short, jobs that do not end in time are left out. Best means, in this order: fewest of the most
//! important jobs left out, then of the next rank, and so on; no block given in vain; fewest minutes lost in turns,
//! changes of jaw and waiting, each turn weighed by a penalty; then important work early.
//! Invariant: no order allowed is better than the one returned while `is_exact` (compared with brute force).

mod search;

#[cfg(test)]
mod tests;

pub use search::solve;

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
