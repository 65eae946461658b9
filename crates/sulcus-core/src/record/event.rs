//! The closed set of facts. The only serialised core type: once written, a variant's fields are never renamed
//! or given another sense; new ones get a default.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::terms::{
    Decision, Finding, MouthDecision, Patient, Procedure, Reason, ToothNumber, Watched,
};

/// Format of the journal's rows. Raised when a program of an older format could misread them.
pub const FORMAT: u32 = 2;

/// Who spoke or pressed, as far as known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Speaker {
    Vet,
    Nurse,
    #[default]
    Unknown,
}

impl Speaker {
    pub fn is_unknown(&self) -> bool {
        *self == Self::Unknown
    }
}

/// By what way an entry came.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    #[default]
    Spoken,
    /// On the page or a key.
    Pressed,
    Imported,
    /// Sent by a machine, the monitor: nobody said it and nobody confirms it.
    Machine,
}

/// What was heard, and how sure the engine was.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Heard {
    /// Words of the grammar, separated by spaces; empty where nothing was spoken.
    pub words: String,
    /// 0.0 to 1.0; of the least sure word.
    pub confidence: f32,
    pub engine: String,
    pub model: String,
    #[serde(default)]
    pub speaker: Speaker,
    #[serde(default)]
    pub how: How,
    /// Whose voice it was like. A hint: it names nobody, and nothing follows from it.
    #[serde(default, skip_serializing_if = "Speaker::is_unknown")]
    pub sounds_like: Speaker,
}

/// By what way a value was told to the people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Telling {
    /// Aloud, to the end.
    #[default]
    Spoken,
    /// On the page or the screen.
    Shown,
}

impl Telling {
    pub fn is_spoken(&self) -> bool {
        *self == Self::Spoken
    }
}

/// Why an entry was taken back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Retraction {
    /// "undo"
    Undone,
    /// "no" after the read-back.
    Denied,
    /// "no, ..." with another value.
    Corrected,
    /// "strike tooth ...", "strike mobility"
    Struck,
}

/// What a challenge is about: entered only if the vet stands by it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Proposed {
    Finding(Finding),
    Decision {
        tooth: ToothNumber,
        decision: Decision,
        reason: Option<Reason>,
    },
    /// The same decision for several teeth.
    Decisions {
        teeth: Vec<ToothNumber>,
        decision: Decision,
        reason: Option<Reason>,
    },
    MouthDecision(MouthDecision),
    /// Close, and leave these teeth for a second visit.
    Stage {
        teeth: Vec<ToothNumber>,
    },
    Procedure(Procedure),
    /// Of the anaesthetic record.
    Watched(Watched),
    /// Close the visit although something is open.
    Finish,
    /// Choose the tooth although it is unusual for the age.
    Tooth(ToothNumber),
    /// Several findings that replace confirmed ones.
    Findings(Vec<Finding>),
    /// Take back entries of which somebody confirmed one.
    TakeBack {
        entries: Vec<u64>,
        why: Retraction,
    },
    /// The decision of that entry stands, whatever speaks against it.
    Stands {
        tooth: ToothNumber,
        entry: u64,
    },
    /// Something is wrong and was seen to be; the key of what it is.
    Seen {
        alert: String,
    },
    /// Results of tests of the cat's blood; taking back, those that stand afterwards.
    BloodTests {
        #[serde(default)]
        felv: Option<bool>,
        #[serde(default)]
        fiv: Option<bool>,
        #[serde(default)]
        takes_back: bool,
    },
}

/// A fact, in the past.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Event {
    VisitOpened {
        patient: Patient,
        #[serde(default)]
        vet: Option<String>,
        #[serde(default)]
        nurse: Option<String>,
    },
    PatientUpdated {
        patient: Patient,
        /// What it does not name of the tests of the blood is not known any more; else it stays as it was.
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        unsays_tests: bool,
    },
    ToothChosen {
        tooth: ToothNumber,
    },
    /// From here on the depths of a side are said from the front backwards, or from the back forwards.
    SiteOrderChosen {
        from_front: bool,
    },
    FindingRecorded {
        finding: Finding,
        /// Number of the challenge that the vet answered with yes.
        #[serde(default)]
        challenge: Option<u64>,
    },
    DecisionRecorded {
        tooth: ToothNumber,
        decision: Decision,
        reason: Option<Reason>,
        #[serde(default)]
        challenge: Option<u64>,
    },
    /// For the mouth or a part of it.
    MouthDecided {
        what: MouthDecision,
        #[serde(default)]
        challenge: Option<u64>,
    },
    ProcedureRecorded {
        procedure: Procedure,
        #[serde(default)]
        challenge: Option<u64>,
    },
    /// Of the anaesthetic record: a vital sign, a drug, a step, an emergency.
    WatchRecorded {
        what: Watched,
        #[serde(default)]
        challenge: Option<u64>,
    },
    /// Free speech, kept as sound and, unverified, as text.
    NoteRecorded {
        tooth: Option<ToothNumber>,
        text: String,
        /// File name of the sound in the data folder.
        sound: Option<String>,
    },
    /// These entries were said back aloud to the end, or shown where the pace is to show them.
    ReadBack {
        entries: Vec<u64>,
        #[serde(default, skip_serializing_if = "Telling::is_spoken")]
        by: Telling,
    },
    /// These entries were to be said back and no sound came, or not all of it: nobody can have heard them.
    ReadBackFailed {
        entries: Vec<u64>,
        /// For people.
        #[serde(default)]
        why: String,
    },
    Confirmed {
        entries: Vec<u64>,
    },
    Retracted {
        entries: Vec<u64>,
        why: Retraction,
    },
    /// The program asked before entering.
    Challenged {
        /// Key of the rule.
        rule: String,
        /// What was asked, in words.
        question: String,
        proposed: Proposed,
        /// Keys of the guidance that the question puts in words: an answer is an answer to these and no others.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        conflicts: Vec<String>,
    },
    ChallengeAnswered {
        challenge: u64,
        accepted: bool,
    },
    /// What was said lacked a part, or was too unsure: nothing of it was entered, and this was asked.
    AskedFor {
        /// What was said, as heard.
        said: String,
        /// The question, in words.
        question: String,
    },
    /// Clear words that are no sentence here. Nothing was entered.
    NotUnderstood {
        /// As the engine would write it: unchecked words, which are no finding and no value.
        said: String,
    },
    ListeningPaused,
    ListeningResumed,
    VisitFinished,
    VisitReopened {
        reason: String,
    },
    /// The vet stands by the finished visit as it was up to that entry, by name and PIN.
    VisitSigned {
        name: String,
        /// Number of the newest entry that was signed.
        up_to: u64,
    },
    /// Written after the end, without reopening.
    AddendumWritten {
        text: String,
    },
    /// The disk lost the newest entries of this visit, which had been saved; found when the journal was opened.
    /// Their numbers are given anew from this entry on: this is the first of them.
    LossTold {
        /// Number of the first lost entry.
        first: u64,
        /// Number of the last lost entry.
        last: u64,
        /// When the last lost entry had been saved, where that is known.
        #[serde(default)]
        until: Option<Timestamp>,
        /// Hash of the last lost entry.
        #[serde(default)]
        hash: String,
        /// File name in the data folder of the damaged log, kept for a rescue; none where there was none.
        #[serde(default)]
        remains: Option<String>,
    },
}

impl Event {
    /// Whether it holds a value that is confirmed or withdrawn.
    pub fn is_value(&self) -> bool {
        matches!(
            self,
            Self::FindingRecorded { .. }
                | Self::DecisionRecorded { .. }
                | Self::MouthDecided { .. }
                | Self::ProcedureRecorded { .. }
                | Self::WatchRecorded { .. }
                | Self::NoteRecorded { .. }
        )
    }

    /// The tooth it speaks of, where it is one.
    pub fn tooth(&self) -> Option<ToothNumber> {
        match self {
            Self::FindingRecorded { finding, .. } => match finding.subject {
                crate::terms::Subject::Tooth(tooth) => Some(tooth),
                crate::terms::Subject::Mouth => None,
            },
            Self::DecisionRecorded { tooth, .. } | Self::ToothChosen { tooth } => Some(*tooth),
            Self::ProcedureRecorded { procedure, .. } => procedure.tooth(),
            Self::NoteRecorded { tooth, .. } => *tooth,
            _ => None,
        }
    }
}

/// A fact not yet written.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    pub event: Event,
    pub heard: Option<Heard>,
    /// Numbers of the entries whose value this one replaces.
    pub supersedes: Vec<u64>,
}

impl Draft {
    pub fn new(event: Event, heard: Option<&Heard>) -> Self {
        Self {
            event,
            heard: heard.cloned(),
            supersedes: Vec::new(),
        }
    }
}

/// A fact as it stands in the journal.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    pub visit: Uuid,
    /// Counts from 1 within the visit, without gaps. The order of truth; times are only shown.
    pub number: u64,
    /// Wall time.
    pub at: Timestamp,
    /// Milliseconds since the program started. Means nothing across starts.
    pub monotonic_ms: u64,
    pub heard: Option<Heard>,
    pub supersedes: Vec<u64>,
    pub event: Event,
    /// SHA-256 in hexadecimal over this row and the hash before it.
    pub hash: String,
}

impl Entry {
    /// The entry that a draft would become, without a journal: for looking ahead and for examples.
    pub fn unsaved(visit: Uuid, number: u64, now: crate::clock::Now, draft: Draft) -> Self {
        Self {
            visit,
            number,
            at: now.at,
            monotonic_ms: now.monotonic_ms,
            heard: draft.heard,
            supersedes: draft.supersedes,
            event: draft.event,
            hash: String::new(),
        }
    }
}
