//! Rules as data: sentence, source and limits of each from `grammar/rules.en.toml`. The conditions stand in
//! `enter`, each naming the key of its rule.

use serde::Deserialize;
use std::collections::BTreeMap;

use super::flow::Customs;
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
    depth_outlier: DepthLimits,
    strengths: Strengths,
    watch: WatchSettings,
    shelf: Shelf,
    customs: Customs,
}

/// Depths in mm from which a reading is asked about. Zero, the default, asks about each.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct DepthLimits {
    dog_from_mm: u8,
    cat_from_mm: u8,
}

/// The rules file is faulty.
#[derive(Debug, thiserror::Error)]
pub enum RulesError {
    #[error("rules.en.toml: {0}")]
    Unreadable(#[from] toml::de::Error),
    /// Without it readings would pass unasked.
    #[error("rules.en.toml: the rule depth_outlier needs dog_from_mm and cat_from_mm")]
    NoDepthLimits,
}

impl Rules {
    /// The rules that come with the program.
    ///
    /// # Errors
    /// Where the file cannot be read, or a rule lacks the limits that it works by.
    pub fn built_in() -> Result<Self, RulesError> {
        Self::read(RULES)
    }

    fn read(text: &str) -> Result<Self, RulesError> {
        let mut rules: BTreeMap<String, Rule> = toml::from_str(text)?;
        let of_anaesthetic: BTreeMap<String, Rule> = toml::from_str(ANAESTHETIC)?;
        rules.extend(of_anaesthetic);
        let limits = rules.get("depth_outlier");
        let depth_outlier = limits
            .and_then(|rule| {
                Some(DepthLimits {
                    dog_from_mm: rule.dog_from_mm?,
                    cat_from_mm: rule.cat_from_mm?,
                })
            })
            .ok_or(RulesError::NoDepthLimits)?;
        Ok(Self {
            rules,
            depth_outlier,
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

    /// What the clinic chose for the flow of an examination.
    pub fn with_customs(self, customs: Customs) -> Self {
        Self { customs, ..self }
    }

    pub fn customs(&self) -> Customs {
        self.customs
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

    /// What follows when the condition of a rule holds. A rule that is missing asks: nothing is entered unasked because
    /// a file lacks a line.
    pub fn level(&self, key: &str) -> Level {
        self.rules.get(key).map_or(Level::Ask, |rule| rule.level)
    }

    /// The depth in mm from which a reading is asked about.
    pub fn depth_outlier_from_mm(&self, species: Species) -> u8 {
        match species {
            Species::Dog => self.depth_outlier.dog_from_mm,
            Species::Cat => self.depth_outlier.cat_from_mm,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_rule_does_not_fall_open() {
        assert_eq!(Rules::default().level("no_such_rule"), Level::Ask);
        assert!(matches!(Rules::read(""), Err(RulesError::NoDepthLimits)));
        let without_cat = RULES.replace("cat_from_mm = 6\n", "");
        assert_ne!(without_cat, RULES);
        assert!(matches!(
            Rules::read(&without_cat),
            Err(RulesError::NoDepthLimits)
        ));
    }
}
