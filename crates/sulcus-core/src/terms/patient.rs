//! The animal on the table.

use serde::{Deserialize, Serialize};

use super::PartialDate;

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

/// What a weight is worth for the species and age. Limits: common practice and from memory, no source; they catch a slip
/// of the decimal point or of the unit, no more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Plausible {
    Usual,
    /// Asked back: right now and then.
    Ask(String),
    /// No such animal.
    Refuse(String),
}

/// Grams below which, above which a weight is asked back, and above which it is refused.
fn weight_limits(species: Species, is_young: bool) -> (u32, u32, u32) {
    match (species, is_young) {
        (Species::Cat, false) => (1_500, 10_000, 15_000),
        (Species::Cat, true) => (300, 10_000, 15_000),
        (Species::Dog, false) => (800, 90_000, 120_000),
        // Newborn of the smallest breeds to eight months.
        (Species::Dog, true) => (100, 90_000, 120_000),
    }
}

/// `age_days`: the youngest that the animal can be; none where its birth is not known.
pub fn plausible_weight(species: Species, weight: Weight, age_days: Option<u32>) -> Plausible {
    let is_young = age_days.is_some_and(|days| days < super::eruption::ALL_IN_DAYS);
    let (low, high, most) = weight_limits(species, is_young);
    let grams = weight.grams();
    let said = format!("{} kg for a {}", weight.kg(), species.word());
    if grams > most {
        Plausible::Refuse(format!("{said} cannot be: at most {} kg", most / 1000))
    } else if grams > high {
        Plausible::Ask(format!("{said} is very heavy"))
    } else if grams < low {
        Plausible::Ask(format!("{said} is very light"))
    } else {
        Plausible::Usual
    }
}

/// Whether two weights of one animal differ by more than 15 %, which is asked about: from memory.
pub fn has_weight_leapt(before: Weight, now: Weight) -> bool {
    u64::from(before.grams().abs_diff(now.grams())) * 100 > u64::from(before.grams()) * 15
}

/// Refuses a birth that is no year, year-month or date, lies after `today`, or more than 40 years before it.
///
/// # Errors
/// Says what is wrong, and how it is written.
pub fn check_born(born: &PartialDate, today: jiff::civil::Date) -> Result<(), String> {
    let (first, _) = born
        .days()
        .ok_or_else(|| format!("{born} is no date of birth: write 2019, 2019-05 or 2019-05-31"))?;
    if first > today {
        return Err(format!("born {born} lies after today, {today}"));
    }
    if today.year() - first.year() > 40 {
        return Err(format!(
            "born {born} would make the animal older than 40 years"
        ));
    }
    Ok(())
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
    /// As far as known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub born: Option<PartialDate>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weight: Option<Weight>,
    /// Test for feline leukaemia virus: positive or not; none where not known. Of cats.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub felv: Option<bool>,
    /// Test for feline immunodeficiency virus, likewise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fiv: Option<bool>,
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
            felv: None,
            fiv: None,
            owner: None,
            invented: true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_point_is_asked_or_refused() {
        let judged = |species, grams, age| {
            plausible_weight(species, Weight::from_grams(grams).expect("in range"), age)
        };
        use Species::{Cat, Dog};
        assert!(matches!(judged(Cat, 41_000, None), Plausible::Refuse(_)));
        assert!(matches!(judged(Cat, 12_000, None), Plausible::Ask(_)));
        assert!(matches!(judged(Cat, 400, None), Plausible::Ask(_)));
        assert_eq!(judged(Cat, 400, Some(40)), Plausible::Usual);
        assert_eq!(judged(Cat, 4_100, None), Plausible::Usual);
        assert!(matches!(judged(Dog, 142_000, None), Plausible::Refuse(_)));
        assert!(matches!(judged(Dog, 50, None), Plausible::Ask(_)));
        assert_eq!(judged(Dog, 14_200, None), Plausible::Usual);
    }

    #[test]
    fn a_leap_is_more_than_fifteen_per_cent() {
        let kg = |grams| Weight::from_grams(grams).expect("in range");
        assert!(!has_weight_leapt(kg(10_000), kg(11_500)));
        assert!(has_weight_leapt(kg(10_000), kg(11_501)));
        assert!(has_weight_leapt(kg(14_200), kg(1_420)));
    }

    #[test]
    fn a_birth_is_a_date_that_has_been() {
        let today = jiff::civil::date(2026, 3, 2);
        for good in ["2026", "2026-03", "2019-05-31", "2026-03-02"] {
            assert_eq!(check_born(&good.into(), today), Ok(()), "{good}");
        }
        for bad in [
            "31/05/2019",
            "2026-13",
            "0000",
            "2031",
            "2026-04",
            "1980",
            "yesterday",
        ] {
            assert!(check_born(&bad.into(), today).is_err(), "{bad}");
        }
    }
}
