//! What the nurse enters of an anaesthetic: vital signs, drugs, the steps of its course, and an emergency.
//!
//! Invariant: an emergency has no range and no condition: it can always be said.

use serde::{Deserialize, Serialize};

use super::drug::{Amount, DrugEntry};
use super::vital::Reading;

/// Who did something, by role: names are the visit's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    Vet,
    Nurse,
}

impl Role {
    pub fn word(self) -> &'static str {
        match self {
            Self::Vet => "vet",
            Self::Nurse => "nurse",
        }
    }
}

/// What cannot wait.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Crisis {
    NoPulse,
    CardiacArrest,
    NotBreathing,
    ResuscitationStarted,
    PulseBack,
}

impl Crisis {
    pub fn text(self) -> &'static str {
        match self {
            Self::NoPulse => "no pulse",
            Self::CardiacArrest => "cardiac arrest",
            Self::NotBreathing => "not breathing",
            Self::ResuscitationStarted => "resuscitation started",
            Self::PulseBack => "pulse back",
        }
    }
}

/// The American Society of Anesthesiologists' classes as a veterinary list words them (avtaa-vts.org/asa-ratings.pml):
/// I normal, II mild, III moderate and compensated, IV severe, V moribund; E for an emergency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct AsaStatus {
    /// 1 to 5.
    pub class: u8,
    pub emergency: bool,
}

impl AsaStatus {
    pub fn text(self) -> String {
        let class = ["I", "II", "III", "IV", "V"][usize::from(self.class.clamp(1, 5)) - 1];
        let emergency = if self.emergency { " E" } else { "" };
        format!("{class}{emergency}")
    }
}

/// A step of the anaesthetic, at the time of its entry. Start and end of anaesthesia are procedures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CourseStep {
    Asa(AsaStatus),
    Premedicated,
    Induced,
    /// The size is the inner diameter in hundredths of a millimetre, where said.
    Intubated {
        size_mm_hundredths: Option<u16>,
    },
    CuffChecked,
    Turned,
    VaporiserOff,
    Swallowing,
    Extubated,
    HeadUp,
    Sternal,
    Standing,
    /// The recovery is over: no more reminders.
    HandedOver,
}

impl CourseStep {
    pub fn text(self) -> String {
        match self {
            Self::Asa(status) => format!("ASA {}", status.text()),
            Self::Premedicated => "premedicated".into(),
            Self::Induced => "induced".into(),
            Self::Intubated {
                size_mm_hundredths: None,
            } => "tube in".into(),
            Self::Intubated {
                size_mm_hundredths: Some(size),
            } => format!("tube in, {} mm", super::vital::decimal(u32::from(size))),
            Self::CuffChecked => "cuff checked".into(),
            Self::Turned => "turned".into(),
            Self::VaporiserOff => "vaporiser off".into(),
            Self::Swallowing => "swallowing".into(),
            Self::Extubated => "extubated".into(),
            Self::HeadUp => "head up".into(),
            Self::Sternal => "sternal".into(),
            Self::Standing => "standing".into(),
            Self::HandedOver => "handed over".into(),
        }
    }

    /// The step without what is said with it: "intubated".
    pub fn key(self) -> &'static str {
        match self {
            Self::Asa(_) => "asa",
            Self::Premedicated => "premedicated",
            Self::Induced => "induced",
            Self::Intubated { .. } => "intubated",
            Self::CuffChecked => "cuff_checked",
            Self::Turned => "turned",
            Self::VaporiserOff => "vaporiser_off",
            Self::Swallowing => "swallowing",
            Self::Extubated => "extubated",
            Self::HeadUp => "head_up",
            Self::Sternal => "sternal",
            Self::Standing => "standing",
            Self::HandedOver => "handed_over",
        }
    }
}

/// One entry of the anaesthetic record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Watched {
    Vital(Reading),
    Crisis(Crisis),
    Course(CourseStep),
    Drug(DrugEntry),
    /// What was drawn up of a controlled drug and not given.
    Wasted {
        drug: String,
        amount: Amount,
    },
    /// Somebody saw the giving or the wasting of the drug in this entry of the journal.
    Witnessed {
        entry: u64,
        by: Role,
    },
    /// The batch that the drug in this entry of the journal came from, as said.
    Batch {
        entry: u64,
        batch: String,
    },
}

impl Watched {
    /// One line for the eye.
    pub fn text(&self) -> String {
        match self {
            Self::Vital(reading) => reading.text(),
            Self::Crisis(crisis) => crisis.text().to_uppercase(),
            Self::Course(step) => step.text(),
            Self::Drug(entry) => entry.text(),
            Self::Wasted { drug, amount } => format!("wasted: {drug} {}", amount.text()),
            Self::Witnessed { entry, by } => {
                format!("entry {entry} witnessed by the {}", by.word())
            }
            Self::Batch { entry, batch } => format!("entry {entry}: batch {batch}"),
        }
    }
}
