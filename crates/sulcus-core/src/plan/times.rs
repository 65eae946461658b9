//! How long each kind of work takes: from the clinic's own past visits where there are enough, else from the set
//! defaults. Says which.
//!
//! A past visit gives a length where two things said one after the other bound it: an extraction from the entry of
//! work before it, polishing from the end of scaling. Longer than two hours is a pause, not work.

use std::collections::BTreeMap;

use serde::Serialize;

use super::settings::{Minutes, Settings};
use crate::record::Record;
use crate::terms::{Procedure, dentition};

/// A kind of work with a length of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Task {
    Film,
    Scale,
    Polish,
    Block,
    ExtractOneRoot,
    ExtractTwoRoots,
    ExtractThreeRoots,
    Treat,
    Close,
}

impl Task {
    pub fn extract(roots: u8) -> Self {
        match roots {
            0 | 1 => Self::ExtractOneRoot,
            2 => Self::ExtractTwoRoots,
            _ => Self::ExtractThreeRoots,
        }
    }
}

/// From where a length comes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// The default, common practice without a source, or what the clinic set.
    Set,
    /// Middle half of so many lengths in past visits.
    PastVisits { count: usize },
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Times(BTreeMap<Task, (Minutes, Basis)>);

impl Times {
    pub fn new(past: &[Record], settings: &Settings) -> Self {
        let mut samples: BTreeMap<Task, Vec<u32>> = BTreeMap::new();
        for visit in past {
            sample(visit, &mut samples);
        }
        let set = &settings.times;
        let defaults = [
            (Task::Film, set.film),
            (Task::Scale, set.scale),
            (Task::Polish, set.polish),
            (Task::Block, set.block),
            (Task::ExtractOneRoot, set.extract_one_root),
            (Task::ExtractTwoRoots, set.extract_two_roots),
            (Task::ExtractThreeRoots, set.extract_three_roots),
            (Task::Treat, set.treat),
            (Task::Close, set.close),
        ];
        let row = |(task, minutes)| {
            let taken = samples.get(&task).map_or(&[][..], Vec::as_slice);
            let value = if taken.len() >= set.samples_min.max(1) {
                (middle_half(taken), Basis::PastVisits { count: taken.len() })
            } else {
                (minutes, Basis::Set)
            };
            (task, value)
        };
        Self(defaults.into_iter().map(row).collect())
    }

    pub fn of(&self, task: Task) -> Minutes {
        self.0
            .get(&task)
            .map_or(Minutes { low: 0, high: 0 }, |(minutes, _)| *minutes)
    }

    /// Tasks whose length comes from past visits, with how many were taken.
    pub fn learned(&self) -> Vec<(Task, usize)> {
        self.0
            .iter()
            .filter_map(|(task, (_, basis))| match basis {
                Basis::PastVisits { count } => Some((*task, *count)),
                Basis::Set => None,
            })
            .collect()
    }
}

/// Lower to upper quartile, rounded outwards to whole sample values.
fn middle_half(samples: &[u32]) -> Minutes {
    let mut sorted = samples.to_vec();
    sorted.sort_unstable();
    let last = sorted.len().saturating_sub(1);
    Minutes {
        low: sorted.get(last / 4).copied().unwrap_or(0),
        high: sorted.get((last * 3).div_ceil(4)).copied().unwrap_or(0),
    }
}

fn sample(visit: &Record, samples: &mut BTreeMap<Task, Vec<u32>>) {
    let mut before = None;
    for (procedure, charted) in visit.procedures() {
        let since = before.map(|at: jiff::Timestamp| charted.at.duration_since(at).as_secs());
        let task = match procedure {
            Procedure::Extracted { tooth, .. } => {
                let roots = dentition::roots(visit.patient.species, *tooth);
                Some((Task::extract(roots.map_or(1, |r| r.count)), 1))
            }
            Procedure::Treated { .. }
            | Procedure::GumSurgery { .. }
            | Procedure::CrownRemoved { .. } => Some((Task::Treat, 1)),
            // Said once for the whole mouth: a quarter of it each.
            Procedure::Polished => Some((Task::Polish, 4)),
            Procedure::Scaled => Some((Task::Scale, 4)),
            Procedure::NerveBlock { .. } => Some((Task::Block, 1)),
            Procedure::Sutured { .. } => Some((Task::Close, 1)),
            _ => None,
        };
        if let (Some((task, parts)), Some(seconds)) = (task, since)
            && (60..=7200).contains(&seconds)
        {
            let minutes = (seconds as u32).div_ceil(60 * parts);
            samples.entry(task).or_default().push(minutes.max(1));
        }
        before = Some(charted.at);
    }
}
