//! Rules as data: sentence, source and limits of each from `grammar/rules.en.toml`. The conditions stand in
//! `enter`, each naming the key of its rule.

use serde::Deserialize;
use std::collections::BTreeMap;

use crate::terms::Species;
use crate::terms::anaesthetic::Strengths;
use crate::terms::drug::Shelf;
use crate::terms::watch_settings::WatchSettings;

const RULES: &str = include_str!("../../../../grammar/rules.en.toml");
const ANAESTHETIC: &str = include_str!("../../../../grammar/anaesthetic-rules.en.toml");

/// What follows when the condition of a rule holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Not entered.
    Refuse,
    /// Entered only if the vet stands by it.
    Ask,
    /// Entered, and said once.
    Remark,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    pub level: Level,
    pub say: String,
    pub source: String,
    #[serde(default)]
    pub dog_from_mm: Option<u8>,
    #[serde(default)]
    pub cat_from_mm: Option<u8>,
}

/// All rules by key, and the clinic's solutions, which the ceiling needs.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rules {
    rules: BTreeMap<String, Rule>,
    strengths: Strengths,
    watch: WatchSettings,
    shelf: Shelf,
}

/// The rules file is faulty.
#[derive(Debug, thiserror::Error)]
#[error("rules.en.toml: {0}")]
pub struct RulesError(#[from] toml::de::Error);

impl Rules {
    /// The rules that come with the program.
    pub fn built_in() -> Result<Self, RulesError> {
        let mut rules: BTreeMap<String, Rule> = toml::from_str(RULES)?;
        let of_anaesthetic: BTreeMap<String, Rule> = toml::from_str(ANAESTHETIC)?;
        rules.extend(of_anaesthetic);
        Ok(Self {
            rules,
            ..Self::default()
        })
    }

    /// The strengths of the solutions in the house.
    pub fn with_strengths(self, strengths: Strengths) -> Self {
        Self { strengths, ..self }
    }

    /// What the clinic set for the watch over the anaesthetic, and the drugs in the house.
    pub fn with_watch(self, watch: WatchSettings, shelf: Shelf) -> Self {
        Self {
            watch,
            shelf,
            ..self
        }
    }

    pub fn watch(&self) -> &WatchSettings {
        &self.watch
    }

    pub fn shelf(&self) -> &Shelf {
        &self.shelf
    }

    pub fn strengths(&self) -> &Strengths {
        &self.strengths
    }

    pub fn get(&self, key: &str) -> Option<&Rule> {
        self.rules.get(key)
    }

    pub fn all(&self) -> impl Iterator<Item = (&String, &Rule)> {
        self.rules.iter()
    }

    /// The sentence of a rule; empty where there is no such rule (a test keeps keys and file together).
    pub fn say(&self, key: &str) -> &str {
        self.rules.get(key).map_or("", |rule| &rule.say)
    }

    /// The depth in mm from which a reading is asked about.
    pub fn depth_outlier_from_mm(&self, species: Species) -> u8 {
        // Without the rule nothing is an outlier.
        self.rules
            .get("depth_outlier")
            .and_then(|rule| match species {
                Species::Dog => rule.dog_from_mm,
                Species::Cat => rule.cat_from_mm,
            })
            .unwrap_or(u8::MAX)
    }
}
