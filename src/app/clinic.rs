//! What a clinic chooses for itself, from `clinic.toml` in the data folder. Without the file all is as it comes.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;

use super::flow::Flow;
use crate::archive;
use crate::grammar::{Grammar, GrammarError, Saying};
use crate::plan::Settings;

/// Name of the file in the data folder.
pub const FILE: &str = "clinic.toml";

#[derive(Debug, Clone, Default, PartialEq)]
pub struct Clinic {
    /// Said to start listening; replaces the sentences that come with the program.
    pub wake: Option<String>,
    /// Said to stop listening, beside the sentences that come with the program.
    pub sleep: Option<String>,
    /// The clinic's own ways of saying things.
    pub sayings: Vec<Saying>,
    /// Days after which the sound of spoken notes is deleted; its text stays. None: it is kept.
    pub note_sound_days: Option<u32>,
    /// Words that were refused are not kept for proposals.
    pub forgets_refused: bool,
    /// Of the page's words: a tag such as "en". Speech and replies stay English.
    pub page_language: Option<String>,
    /// Where the practice's archive is.
    pub archive: archive::Settings,
    /// How the conversation goes.
    pub flow: Flow,
    /// Limits, times, solutions, shelf and tables of the plan (docs/clinic-example.toml).
    pub plan: Settings,
}

/// What stands at the head of the file; the rest is the plan's.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    wake: Option<String>,
    sleep: Option<String>,
    note_sound_days: Option<u32>,
    keep_refused: Option<bool>,
    page_language: Option<String>,
    #[serde(default)]
    archive: archive::Settings,
    #[serde(default)]
    conversation: Flow,
    #[serde(default)]
    sayings: BTreeMap<String, String>,
}

/// The file is there and cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum ClinicError {
    #[error("cannot read {path}: {why}")]
    Unreadable { path: String, why: String },
    #[error("{path}: {why}; docs/clinic-example.toml shows all that may stand there")]
    Faulty { path: String, why: String },
}

impl Clinic {
    /// Reads the text of a clinic file; on a fault says which.
    pub fn read(text: &str) -> Result<Self, String> {
        let mut table: toml::Table =
            toml::from_str(text).map_err(|error| error.message().to_owned())?;
        let mut head = toml::Table::new();
        for key in [
            "wake",
            "sleep",
            "note_sound_days",
            "keep_refused",
            "page_language",
            "archive",
            "conversation",
            "sayings",
        ] {
            head.extend(table.remove(key).map(|value| (key.to_owned(), value)));
        }
        let Head {
            wake,
            sleep,
            note_sound_days,
            keep_refused,
            page_language,
            archive,
            conversation: flow,
            sayings,
        } = head
            .try_into()
            .map_err(|error: toml::de::Error| error.message().to_owned())?;
        if let Some(language) = &page_language
            && !crate::web::languages().contains(&language.as_str())
        {
            return Err(format!(
                "page_language: there are no words of the page in {language:?}; there are {}",
                crate::web::languages().join(", ")
            ));
        }
        archive.check()?;
        flow.check()?;
        let plan = Settings::from_toml(&table.to_string()).map_err(|error| error.to_string())?;
        let sayings = sayings
            .into_iter()
            .map(|(say, means)| Saying {
                line: line_of(text, &say),
                say,
                means,
            })
            .collect();
        Ok(Self {
            wake,
            sleep,
            sayings,
            note_sound_days,
            forgets_refused: keep_refused == Some(false),
            page_language,
            archive,
            flow,
            plan,
        })
    }

    /// The grammar with the clinic's own phrases and drugs.
    pub fn grammar(&self) -> Result<Grammar, GrammarError> {
        let drugs = self.plan.drugs.iter().map(|drug| drug.name.clone());
        Grammar::for_clinic(
            self.wake.as_deref(),
            self.sleep.as_deref(),
            &self.sayings,
            &drugs.collect::<Vec<_>>(),
        )
    }

    /// The file of the data folder; all as it comes where there is none.
    pub fn load(folder: &Path) -> Result<Self, ClinicError> {
        let path = folder.join(FILE);
        let shown = path.display().to_string();
        match std::fs::read_to_string(&path) {
            Ok(text) => Self::read(&text).map_err(|why| ClinicError::Faulty { path: shown, why }),
            // A folder that cannot be is told by the journal, which needs it.
            Err(error)
                if matches!(
                    error.kind(),
                    std::io::ErrorKind::NotFound | std::io::ErrorKind::NotADirectory
                ) =>
            {
                Ok(Self::default())
            }
            Err(error) => Err(ClinicError::Unreadable {
                path: shown,
                why: error.to_string(),
            }),
        }
    }
}

/// The line, from 1, that holds the key; the first of the file where it is written in another way.
fn line_of(text: &str, key: &str) -> usize {
    text.lines()
        .position(|line| line.contains(key))
        .map_or(1, |at| at + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_optional_and_its_faults_are_told() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(Clinic::load(folder.path()).unwrap(), Clinic::default());
        let path = folder.path().join(FILE);
        std::fs::write(&path, "wake = \"good morning sulcus\"\n").unwrap();
        let clinic = Clinic::load(folder.path()).unwrap();
        assert_eq!(clinic.wake.as_deref(), Some("good morning sulcus"));
        std::fs::write(&path, "wakes = \"hello\"\n").unwrap();
        let error = Clinic::load(folder.path()).unwrap_err().to_string();
        assert!(
            error.contains("clinic.toml") && error.contains("wakes"),
            "{error}"
        );
    }
}
