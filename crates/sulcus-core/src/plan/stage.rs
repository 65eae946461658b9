//! The periodontal stage of one tooth, as far as the chart allows [AVDC-PERIO]. Where something is lacking the
//! answer is a range, and says what is lacking; nothing is guessed.
//!
//! Invariant: more loss, a worse furcation or a shorter root never lowers either end of the range.

use serde::Serialize;

/// PD0 to PD4 [AVDC-PERIO].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PeriodontalStage {
    Pd0 = 0,
    Pd1 = 1,
    Pd2 = 2,
    Pd3 = 3,
    Pd4 = 4,
}

impl PeriodontalStage {
    pub const ALL: [Self; 5] = [Self::Pd0, Self::Pd1, Self::Pd2, Self::Pd3, Self::Pd4];

    pub fn word(self) -> &'static str {
        ["PD0", "PD1", "PD2", "PD3", "PD4"][self as usize]
    }
}

/// Stage of a loss that is more than none: below a quarter of the root, up to half, beyond. Both limits are PD3.
/// A root of no length is taken as wholly bare.
pub fn by_share(loss: u32, root: u32) -> PeriodontalStage {
    if loss.saturating_mul(4) < root {
        PeriodontalStage::Pd2
    } else if loss.saturating_mul(2) <= root && root > 0 {
        PeriodontalStage::Pd3
    } else {
        PeriodontalStage::Pd4
    }
}

/// The least stage that a furcation allows; 0 is none.
pub fn by_furcation(grade: u8) -> PeriodontalStage {
    match grade {
        0 => PeriodontalStage::Pd0,
        1 => PeriodontalStage::Pd2,
        2 => PeriodontalStage::Pd3,
        _ => PeriodontalStage::Pd4,
    }
}

/// What of the chart the stage depends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StageInput {
    /// Sites with a depth, 0 to 6.
    pub sites_read: u8,
    /// Worst certain loss of the sites read.
    pub loss_at_least_mm: u8,
    /// Worst possible loss of the sites read.
    pub loss_at_most_mm: u8,
    /// How far a reading may be off.
    pub probe_error_mm: u8,
    /// From a film.
    pub root_length_mm: Option<u8>,
    /// Worst bone loss that a film shows, in per cent of the root. Films show less than there is.
    pub film_percent: Option<u8>,
    /// Worst of all entrances.
    pub furcation: Option<u8>,
    /// Whether the gum was found inflamed; None where nobody said.
    pub is_inflamed: Option<bool>,
}

/// The stage, or the range in which it lies.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StageEstimate {
    pub at_least: PeriodontalStage,
    pub at_most: PeriodontalStage,
    /// What would narrow it; empty where the stage is known.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub lacking: Vec<String>,
}

impl StageEstimate {
    pub fn known(&self) -> Option<PeriodontalStage> {
        (self.at_least == self.at_most).then_some(self.at_least)
    }

    /// "PD3", "PD2 to PD4", "at least PD3".
    pub fn words(&self) -> String {
        match self.known() {
            Some(stage) => stage.word().to_owned(),
            None if self.at_most == PeriodontalStage::Pd4
                && self.at_least > PeriodontalStage::Pd0 =>
            {
                format!("at least {}", self.at_least.word())
            }
            None if self.at_most == PeriodontalStage::Pd4 => "unknown".to_owned(),
            None => format!(
                "between {} and {}",
                self.at_least.word(),
                self.at_most.word()
            ),
        }
    }
}

/// Sites that must be read before no loss counts as none anywhere [DVM-PROBE].
pub const SITES_ENOUGH: u8 = 4;

/// Works out the stage. None where nothing at all was read.
pub fn estimate(input: &StageInput) -> Option<StageEstimate> {
    let by_film = match input.film_percent {
        None | Some(0) => PeriodontalStage::Pd0,
        Some(percent) => by_share(u32::from(percent), 100),
    };
    if input.sites_read == 0 && input.furcation.is_none() && input.film_percent.is_none() {
        return None;
    }
    // The worse of probing, furcation and film counts: a film never lowers what was probed.
    let fork = by_furcation(input.furcation.unwrap_or(0)).max(by_film);
    let without_loss = |worse: bool| match input.is_inflamed {
        Some(true) => PeriodontalStage::Pd1,
        Some(false) => PeriodontalStage::Pd0,
        None if worse => PeriodontalStage::Pd1,
        None => PeriodontalStage::Pd0,
    };
    let with_loss = |loss: u8, worse: bool| match (loss, input.root_length_mm) {
        (0, _) => without_loss(worse),
        // Any loss is more than none; how much more is known within the probe's error.
        (_, Some(root)) if worse => by_share(
            u32::from(loss) + u32::from(input.probe_error_mm),
            u32::from(root),
        ),
        (_, Some(root)) => by_share(
            u32::from(loss.saturating_sub(input.probe_error_mm).max(1)),
            u32::from(root),
        ),
        (_, None) if worse => PeriodontalStage::Pd4,
        (_, None) => PeriodontalStage::Pd2,
    };
    let enough = input.sites_read >= SITES_ENOUGH;
    let at_least = with_loss(input.loss_at_least_mm, false).max(fork);
    let at_most = if enough {
        with_loss(input.loss_at_most_mm, true).max(fork)
    } else {
        PeriodontalStage::Pd4
    };
    let mut lacking = Vec::new();
    if at_least != at_most {
        if !enough {
            lacking.push(format!(
                "depths: {} of 6 sites read, at least {SITES_ENOUGH} needed",
                input.sites_read
            ));
        }
        if input.loss_at_least_mm != input.loss_at_most_mm {
            lacking.push("size of the enlargement in mm".to_owned());
        }
        if input.loss_at_most_mm > 0
            && input.root_length_mm.is_some()
            && with_loss(input.loss_at_most_mm, false) != with_loss(input.loss_at_most_mm, true)
        {
            lacking.push(format!(
                "a limit lies within {} mm of the loss, the probe's error: measure again",
                input.probe_error_mm
            ));
        }
        if input.loss_at_most_mm > 0 && input.root_length_mm.is_none() {
            lacking.push("root length from a film".to_owned());
        }
        if input.loss_at_least_mm == 0
            && input.is_inflamed.is_none()
            && fork < PeriodontalStage::Pd2
        {
            lacking.push("gingivitis grade".to_owned());
        }
    }
    Some(StageEstimate {
        at_least,
        at_most,
        lacking,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::attachment::{Enlargement, loss};
    use proptest::prelude::*;

    fn input() -> impl Strategy<Value = StageInput> {
        (
            0u8..=6,
            0u8..=20,
            0u8..=20,
            proptest::option::of(0u8..=60),
            proptest::option::of(1u8..=3),
            proptest::option::of(any::<bool>()),
            0u8..=2,
            proptest::option::of(0u8..=100),
        )
            .prop_map(
                |(
                    sites_read,
                    a,
                    b,
                    root_length_mm,
                    furcation,
                    is_inflamed,
                    probe_error_mm,
                    film_percent,
                )| {
                    StageInput {
                        probe_error_mm,
                        sites_read,
                        loss_at_least_mm: a.min(b),
                        loss_at_most_mm: a.max(b),
                        root_length_mm,
                        furcation,
                        is_inflamed,
                        film_percent,
                    }
                },
            )
    }

    proptest! {
        #[test]
        fn more_loss_never_lowers_the_stage(before in input(), more in 0u8..10, worse in 0u8..3, shorter in 0u8..20) {
            prop_assume!(before.sites_read > 0);
            let after = StageInput {
                film_percent: before.film_percent.map(|film| film.saturating_add(more)),
                loss_at_least_mm: before.loss_at_least_mm.saturating_add(more),
                loss_at_most_mm: before.loss_at_most_mm.saturating_add(more),
                furcation: before.furcation.map(|f| (f + worse).min(3)),
                root_length_mm: before.root_length_mm.map(|r| r.saturating_sub(shorter)),
                ..before
            };
            let (one, two) = (estimate(&before).expect("read"), estimate(&after).expect("read"));
            prop_assert!(two.at_least >= one.at_least, "{one:?} {two:?}");
            prop_assert!(two.at_most >= one.at_most, "{one:?} {two:?}");
            prop_assert!(one.at_least <= one.at_most);
        }

        /// A reading that is off by no more than the probe's error never gives two stages that exclude each other.
        #[test]
        fn the_probes_error_alone_never_changes_a_known_stage(
            before in input(), off in 0u8..=2,
        ) {
            prop_assume!(before.sites_read >= SITES_ENOUGH && before.loss_at_least_mm > 0);
            let off = off.min(before.probe_error_mm);
            let after = StageInput {
                loss_at_least_mm: before.loss_at_least_mm + off,
                loss_at_most_mm: before.loss_at_most_mm + off,
                ..before
            };
            let (one, two) = (estimate(&before).expect("read"), estimate(&after).expect("read"));
            prop_assert!(one.at_most >= two.at_least, "{one:?} {two:?}");
        }

        #[test]
        fn an_open_range_says_what_is_lacking(input in input()) {
            if let Some(estimate) = estimate(&input) {
                prop_assert_eq!(estimate.known().is_some(), estimate.lacking.is_empty(), "{:?}", estimate);
            }
        }

        #[test]
        fn more_depth_or_recession_never_gives_less_loss(
            depth in 0u8..=20, recession in 0u8..=20, deeper in 0u8..5, further in 0u8..5,
            above in proptest::option::of(0u8..=20), normal in 1u8..=3,
        ) {
            for enlargement in [above.map(Enlargement::Mm), Some(Enlargement::Unsized)] {
                let before = loss(depth, Some(recession), enlargement, normal);
                let after = loss(depth + deeper, Some(recession + further), enlargement, normal);
                prop_assert!(after.at_least_mm >= before.at_least_mm);
                prop_assert!(after.at_most_mm >= before.at_most_mm);
                prop_assert!(before.at_least_mm <= before.at_most_mm);
            }
        }
    }
}
