//! What the page can have printed or saved of a visit. Which papers there are is known here; who makes them is `app`,
//! since this module knows no report and no export.
//!
//! Invariant: a paper is made from the saved record alone, and reading one changes nothing.

use uuid::Uuid;

/// A paper of a visit, by the name under which the page asks for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// The clinic's report.
    Report,
    /// The sheet that goes home.
    Owner,
    /// The whole record with its history.
    Json,
    Fhir,
    Csv,
}

/// Why there is no such paper.
#[derive(Debug, thiserror::Error)]
pub enum PapersError {
    /// Ask for one that is there.
    #[error("there is no such visit")]
    NoVisit,
    /// Stop: what went wrong, for the person.
    #[error("{0}")]
    Failed(String),
}

/// Makes papers.
pub trait Papers: Send + Sync {
    /// The paper's bytes, from the journal as it is now.
    fn make(&self, visit: Uuid, paper: Paper) -> Result<Vec<u8>, PapersError>;
}

impl Paper {
    pub(crate) const ALL: [Self; 5] =
        [Self::Report, Self::Owner, Self::Json, Self::Fhir, Self::Csv];

    pub(crate) fn file_name(self) -> &'static str {
        match self {
            Self::Report => "report.pdf",
            Self::Owner => "owner.pdf",
            Self::Json => "record.json",
            Self::Fhir => "record.fhir.json",
            Self::Csv => "record.csv",
        }
    }

    pub(super) fn by_name(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|paper| paper.file_name() == name)
    }

    pub(crate) fn kind(self) -> &'static str {
        match self {
            Self::Report | Self::Owner => "application/pdf",
            Self::Json => "application/json",
            Self::Fhir => "application/fhir+json",
            Self::Csv => "text/csv; charset=utf-8",
        }
    }

    /// Papers are looked at and printed, files are saved.
    pub(super) fn shown(self) -> &'static str {
        match self {
            Self::Report | Self::Owner => "inline",
            Self::Json | Self::Fhir | Self::Csv => "attachment",
        }
    }
}
