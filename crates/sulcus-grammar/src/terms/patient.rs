//! The animal on the table.

use serde::{Deserialize, Serialize};

use super::{Microchip, PartialDate, breed};

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

/// `breed`: as it was written, where it is known. `age_days`: the youngest that the animal can be; none where its birth
/// is not known.
pub fn plausible_weight(
    species: Species,
    breed: Option<&str>,
    weight: Weight,
    age_days: Option<u32>,
) -> Plausible {
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
        let size = breed.and_then(|breed| breed::size_of(species, breed));
        match size.filter(|_| !is_young) {
            Some(size) => for_size(size, weight),
            None => Plausible::Usual,
        }
    }
}

/// A grown dog of a breed.
fn for_size(size: breed::BreedSize, weight: Weight) -> Plausible {
    let (low, high) = size.asked_grams();
    let how = match weight.grams() {
        grams if grams < low => "light",
        grams if grams > high => "heavy",
        _ => return Plausible::Usual,
    };
    let (least, most) = size.usual_grams();
    Plausible::Ask(format!(
        "{} kg for a {} is very {how} (usual: {} to {} kg)",
        weight.kg(),
        size.words(),
        least / 1000,
        most / 1000
    ))
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
    /// The clinic's own number; tells two patients of one name apart.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub microchip: Option<Microchip>,
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
            microchip: None,
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
    fn a_grown_dog_is_weighed_against_its_breed_where_that_is_known() {
        let judged = |breed, kg: u32, age| {
            let weight = Weight::from_grams(kg * 1000).expect("in range");
            plausible_weight(Species::Dog, Some(breed), weight, age)
        };
        let Plausible::Ask(why) = judged("Chihuahua", 25, None) else {
            panic!("asked");
        };
        assert_eq!(
            why,
            "25 kg for a toy breed is very heavy (usual: 1 to 5 kg)"
        );
        assert!(matches!(judged("Great Dane", 6, None), Plausible::Ask(_)));
        assert_eq!(judged("Chihuahua", 3, None), Plausible::Usual);
        assert_eq!(judged("Great Dane", 60, None), Plausible::Usual);
        // A puppy of a giant breed, a crossbreed, a breed that is on no list.
        assert_eq!(judged("Great Dane", 6, Some(90)), Plausible::Usual);
        assert_eq!(judged("Chihuahua cross", 25, None), Plausible::Usual);
        assert_eq!(judged("village dog", 25, None), Plausible::Usual);
    }

    mod properties {
        use super::*;
        use proptest::prelude::*;

        proptest! {
            /// Whatever is known of it: what no such animal has is refused, and a slip of the point of a weight that is
            /// usual for the breed is never let through.
            #[test]
            fn a_tenfold_slip_is_never_silent(
                size in proptest::sample::select(&breed::BreedSize::ALL),
                part in 0_u32..=1000,
                up in any::<bool>(),
            ) {
                let breed = match size {
                    breed::BreedSize::Toy => "Maltese",
                    breed::BreedSize::Small => "Pug",
                    breed::BreedSize::Medium => "Beagle",
                    breed::BreedSize::Large => "Labrador",
                    breed::BreedSize::Giant => "Newfoundland",
                };
                let (low, high) = size.usual_grams();
                let right = low + (high - low) / 1000 * part;
                let slip = if up { right.saturating_mul(10) } else { right / 10 };
                let judged = |grams| Weight::from_grams(grams)
                    .map(|weight| plausible_weight(Species::Dog, Some(breed), weight, None));
                prop_assert_eq!(judged(right), Ok(Plausible::Usual));
                prop_assert_ne!(judged(slip), Ok(Plausible::Usual));
            }

            #[test]
            fn a_heavier_animal_is_never_judged_more_usual_beyond_the_limits(
                cat in any::<bool>(),
                grams in 50_u32..=150_000,
                more in 0_u32..=100_000,
                days in proptest::option::of(0_u32..=6000),
            ) {
                let species = if cat { Species::Cat } else { Species::Dog };
                let judged = |grams| plausible_weight(
                    species,
                    None,
                    Weight::from_grams(grams).expect("in range"),
                    days,
                );
                let heavier = grams.saturating_add(more).min(150_000);
                if matches!(judged(grams), Plausible::Refuse(_)) {
                    prop_assert!(matches!(judged(heavier), Plausible::Refuse(_)));
                }
            }
        }
    }

    #[test]
    fn a_slip_of_the_point_is_asked_or_refused() {
        let judged = |species, grams, age| {
            plausible_weight(
                species,
                None,
                Weight::from_grams(grams).expect("in range"),
                age,
            )
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
