//! The animal on the table.

use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Species {
    Dog,
    Cat,
}

impl Species {
    pub fn word(self) -> &'static str {
        match self {
            Self::Dog => "dog",
            Self::Cat => "cat",
        }
    }
}

impl std::str::FromStr for Species {
    type Err = String;
    fn from_str(word: &str) -> Result<Self, String> {
        match word {
            "dog" => Ok(Self::Dog),
            "cat" => Ok(Self::Cat),
            other => Err(format!(
                "{other} is no species of this program; say dog or cat"
            )),
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sex {
    Female,
    FemaleNeutered,
    Male,
    MaleNeutered,
    Unknown,
}

/// Body weight in grams, 50 g to 150 kg: a kitten to the heaviest dog, and no slip of a decimal point beyond.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "u32", into = "u32")]
pub struct Weight(u32);

impl Weight {
    pub fn from_grams(grams: u32) -> Result<Self, String> {
        if (50..=150_000).contains(&grams) {
            Ok(Self(grams))
        } else {
            Err(format!("a weight of {grams} g is outside 50 g to 150 kg"))
        }
    }

    pub fn grams(self) -> u32 {
        self.0
    }

    pub fn kg(self) -> f64 {
        f64::from(self.0) / 1000.0
    }
}

impl TryFrom<u32> for Weight {
    type Error = String;
    fn try_from(grams: u32) -> Result<Self, String> {
        Self::from_grams(grams)
    }
}

impl From<Weight> for u32 {
    fn from(weight: Weight) -> u32 {
        weight.0
    }
}

/// What is known of the animal. Only name and species are needed to begin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Patient {
    /// The clinic's own number or chip; tells two patients of one name apart.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    pub name: String,
    pub species: Species,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breed: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sex: Option<Sex>,
    /// Year, year-month or full date (ISO 8601), as far as known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub born: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weight: Option<Weight>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<String>,
    /// True for demonstration data: told on every output.
    #[serde(default)]
    pub invented: bool,
}

impl Patient {
    /// An invented animal, marked as such: for examples and tests.
    pub fn example(species: Species) -> Self {
        Self {
            id: None,
            name: match species {
                Species::Dog => "Pepper".to_owned(),
                Species::Cat => "Minnow".to_owned(),
            },
            species,
            breed: None,
            sex: None,
            born: None,
            weight: None,
            owner: None,
            invented: true,
        }
    }
}
