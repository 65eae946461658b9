//! What is decided for the mouth, or a part of it, and what surgery is done with: kinds of flap, grafts and membranes
//! with their batch.

use serde::{Deserialize, Serialize};

use super::finding::Area;
use super::procedure::Reason;
use super::surgery::worded;
use super::tooth::MouthSide;

/// A part of the mouth away from the teeth, with its side where it was said.
pub type Part = (Area, Option<MouthSide>);

/// The vet's decision for the mouth, or a part of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct MouthDecision {
    /// None: the mouth as a whole.
    pub part: Option<Part>,
    pub choice: MouthChoice,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<Reason>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MouthChoice {
    /// A piece of it goes to the laboratory.
    Sample,
    /// Cut out as a whole.
    Remove,
    /// Treated with medicines.
    Medicine,
    Refer,
    /// Look again after so many days.
    Monitor {
        days: u16,
    },
    Leave,
}

impl MouthChoice {
    pub const KEYS: [&'static str; 6] =
        ["sample", "remove", "medicine", "refer", "monitor", "leave"];

    pub fn key(self) -> &'static str {
        match self {
            Self::Sample => "sample",
            Self::Remove => "remove",
            Self::Medicine => "medicine",
            Self::Refer => "refer",
            Self::Monitor { .. } => "monitor",
            Self::Leave => "leave",
        }
    }

    /// As shown and said.
    pub fn text(self) -> String {
        match self {
            Self::Sample => "take a sample".into(),
            Self::Remove => "remove".into(),
            Self::Medicine => "treat with medicines".into(),
            Self::Refer => "refer".into(),
            Self::Monitor { days } => format!("look again in {}", span(days)),
            Self::Leave => "leave".into(),
        }
    }
}

/// "two weeks", "3 months": in weeks where it is whole weeks.
pub fn span(days: u16) -> String {
    let (count, word) = match days {
        days if days % 30 == 0 => (days / 30, "month"),
        days if days % 7 == 0 => (days / 7, "week"),
        days => (days, "day"),
    };
    format!("{count} {word}{}", if count == 1 { "" } else { "s" })
}

worded! {
    /// How a flap is cut and where it is put back.
    FlapKind {
        Envelope = "envelope",
        Triangle = "triangle",
        Pedicle = "pedicle",
        ApicallyRepositioned = "apically repositioned",
        CoronallyRepositioned = "coronally repositioned",
        LateralSliding = "lateral sliding",
    }
}

worded! {
    /// What stays in the wound and has a batch.
    Implant {
        Graft = "graft",
        Membrane = "membrane",
    }
}
