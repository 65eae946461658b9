//! How much local anaesthetic an animal may have in all, and how much of that was given. Ceilings for
//! checking, never a dose to give: the licensed vet decides and signs.
//!
//! Sources: [BSAVA-PAIN] BSAVA Guide to Pain Management p. 201; [VASG04] Stein 2004, local anesthetics;
//! [BECKMAN] four oral regional nerve blocks. Where they disagree the lowest published ceiling counts.
//! That the shares of several drugs add up is from memory, so it only ever makes the answer stricter.
//!
//! Invariant: a ceiling never grows when the weight falls, and no weight gives no ceiling. All sums are whole
//! numbers: hundredths of a millilitre times hundredths of a per cent are micrograms.

use serde::Serialize;

use super::patient::{Species, Weight};
use super::procedure::{AsGiven, Drug, Procedure};

/// One published maximum for the whole animal, all sites added up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Published {
    pub drug: Drug,
    pub species: Species,
    /// Upper end of what the source gives, in tenths of a milligram a kilogram.
    pub mg_per_kg_tenths: u16,
    /// Holds only while lidocaine and bupivacaine are given together.
    pub when_mixed: bool,
    pub source: &'static str,
}

const fn row(
    drug: Drug,
    species: Species,
    mg_per_kg_tenths: u16,
    when_mixed: bool,
    source: &'static str,
) -> Published {
    Published {
        drug,
        species,
        mg_per_kg_tenths,
        when_mixed,
        source,
    }
}

/// Every figure that could be read. The dog's lidocaine figure of [BSAVA-PAIN] is damaged in the copy read and
/// is left out.
pub const PUBLISHED: &[Published] = &[
    row(Drug::Bupivacaine, Species::Dog, 10, false, "BSAVA-PAIN"),
    row(Drug::Bupivacaine, Species::Cat, 10, false, "BSAVA-PAIN"),
    row(Drug::Bupivacaine, Species::Dog, 20, false, "VASG04"),
    row(Drug::Bupivacaine, Species::Cat, 20, false, "VASG04"),
    row(Drug::Lidocaine, Species::Dog, 50, false, "VASG04"),
    row(Drug::Lidocaine, Species::Cat, 25, false, "VASG04"),
    row(Drug::Lidocaine, Species::Cat, 40, false, "BSAVA-PAIN"),
    row(Drug::Mepivacaine, Species::Dog, 50, false, "VASG04"),
    row(Drug::Mepivacaine, Species::Cat, 25, false, "VASG04"),
    row(Drug::Bupivacaine, Species::Dog, 10, true, "BECKMAN"),
    row(Drug::Bupivacaine, Species::Cat, 10, true, "BECKMAN"),
    row(Drug::Lidocaine, Species::Dog, 10, true, "BECKMAN"),
    row(Drug::Lidocaine, Species::Cat, 10, true, "BECKMAN"),
];

pub const DRUGS: [Drug; 3] = [Drug::Lidocaine, Drug::Bupivacaine, Drug::Mepivacaine];

impl Drug {
    pub fn word(self) -> &'static str {
        match self {
            Self::Lidocaine => "lidocaine",
            Self::Bupivacaine => "bupivacaine",
            Self::Mepivacaine => "mepivacaine",
        }
    }
}

/// The most conservative published maximum, alone or, where one exists, in a mix of lidocaine and bupivacaine.
pub fn figure(species: Species, drug: Drug, when_mixed: bool) -> Option<Published> {
    PUBLISHED
        .iter()
        .filter(|p| p.drug == drug && p.species == species && p.when_mixed == when_mixed)
        .min_by_key(|p| p.mg_per_kg_tenths)
        .copied()
}

/// The ceiling of one drug alone over all sites, in micrograms. Source: the lowest of [`PUBLISHED`].
pub fn ceiling_ug(species: Species, weight: Weight, drug: Drug) -> u64 {
    limit_ug(species, weight, drug, false).unwrap_or(0)
}

fn limit_ug(species: Species, weight: Weight, drug: Drug, when_mixed: bool) -> Option<u64> {
    let figure = figure(species, drug, when_mixed)?;
    // Milligrams a kilogram are micrograms a gram.
    Some(u64::from(weight.grams()) * u64::from(figure.mg_per_kg_tenths) / 10)
}

/// What a volume of a solution holds, in micrograms: 0.01 ml of 0.01 % is 1 microgram.
pub fn dose_ug(volume_ml_hundredths: u32, strength_percent_hundredths: u16) -> u64 {
    u64::from(volume_ml_hundredths) * u64::from(strength_percent_hundredths)
}

/// The greatest volume of a solution within so many micrograms, in hundredths of a millilitre, rounded down.
pub fn volume_ml_hundredths(dose_ug: u64, strength_percent_hundredths: u16) -> u32 {
    dose_ug
        .checked_div(u64::from(strength_percent_hundredths))
        .map_or(0, |volume| u32::try_from(volume).unwrap_or(u32::MAX))
}

/// Strengths of the solutions in the house, in hundredths of a per cent; used where none was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strengths {
    pub lidocaine: u16,
    pub bupivacaine: u16,
    pub mepivacaine: u16,
}

impl Default for Strengths {
    /// 2 %, 0.5 % and 3 %: common solutions, from memory. Mepivacaine is sold as 2 % and 3 %; the stronger
    /// never makes the dose look smaller than it is.
    fn default() -> Self {
        Self {
            lidocaine: 200,
            bupivacaine: 50,
            mepivacaine: 300,
        }
    }
}

impl Strengths {
    pub fn of(&self, drug: Drug) -> u16 {
        match drug {
            Drug::Lidocaine => self.lidocaine,
            Drug::Bupivacaine => self.bupivacaine,
            Drug::Mepivacaine => self.mepivacaine,
        }
    }
}

/// All that was given of one drug, beside its ceiling alone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Given {
    pub drug: Drug,
    pub volume_ml_hundredths: u32,
    pub dose_ug: u64,
    pub ceiling_ug: u64,
    /// True where an entry kept no strength and the house's own of today was taken.
    pub strength_assumed: bool,
}

/// Where the sum stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Against {
    Below,
    /// Exactly at the ceiling: nothing more.
    At,
    Over,
}

/// The sum of all nerve blocks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Total {
    /// Only drugs that were given.
    pub given: Vec<Given>,
    /// Sum of each drug's share of its ceiling alone, in thousandths, rounded up.
    pub share_thousandths: u32,
    pub against: Against,
    /// Drugs over the lower figure that one source gives for a mix of lidocaine and bupivacaine.
    pub over_in_mix: Vec<Drug>,
}

/// Without a weight there is no ceiling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "no weight is recorded, so no ceiling can be worked out; weigh the animal and enter the kilograms"
)]
pub struct NoWeight;

/// Adds up the nerve blocks among the procedures. To ask about one that is not yet entered, chain it on.
pub fn running_total<'a>(
    species: Species,
    weight: Option<Weight>,
    procedures: impl IntoIterator<Item = &'a Procedure>,
    strengths: &Strengths,
) -> Result<Total, NoWeight> {
    let weight = weight.ok_or(NoWeight)?;
    let mut given: Vec<Given> = Vec::new();
    for procedure in procedures {
        let Procedure::NerveBlock {
            drug,
            volume_ml_hundredths,
            strength_percent_hundredths,
            as_given,
            ..
        } = procedure
        else {
            continue;
        };
        let strength = strength_percent_hundredths.unwrap_or_else(|| strengths.of(*drug));
        let volume = u32::from(*volume_ml_hundredths);
        let dose = as_given.map_or_else(|| dose_ug(volume, strength), |given| given.dose_ug);
        match given.iter_mut().find(|g| g.drug == *drug) {
            Some(sum) => {
                sum.volume_ml_hundredths += volume;
                sum.dose_ug += dose;
                sum.strength_assumed |= strength_percent_hundredths.is_none();
            }
            None => given.push(Given {
                drug: *drug,
                volume_ml_hundredths: volume,
                dose_ug: dose,
                ceiling_ug: ceiling_ug(species, weight, *drug),
                strength_assumed: strength_percent_hundredths.is_none(),
            }),
        }
    }
    given.sort_by_key(|g| g.drug);
    // Fractions with one denominator, so that exactly 1 is told from a hair over it.
    let denominator: u128 = given.iter().map(|g| u128::from(g.ceiling_ug)).product();
    let numerator: u128 = given
        .iter()
        .map(|g| u128::from(g.dose_ug) * (denominator / u128::from(g.ceiling_ug.max(1))))
        .sum();
    let is_mix = [Drug::Lidocaine, Drug::Bupivacaine]
        .iter()
        .all(|drug| given.iter().any(|g| g.drug == *drug));
    let over_in_mix: Vec<Drug> = given
        .iter()
        .filter(|g| {
            is_mix && limit_ug(species, weight, g.drug, true).is_some_and(|limit| g.dose_ug > limit)
        })
        .map(|g| g.drug)
        .collect();
    let against = if numerator > denominator || !over_in_mix.is_empty() {
        Against::Over
    } else if numerator == denominator && !given.is_empty() {
        Against::At
    } else {
        Against::Below
    };
    let share = (numerator * 1000).div_ceil(denominator.max(1));
    Ok(Total {
        given,
        share_thousandths: u32::try_from(share).unwrap_or(u32::MAX),
        against,
        over_in_mix,
    })
}

/// A block as it is given now: strength, dose, weight and ceiling are fixed in it. `before` are the procedures that
/// stand already. Anything but a block comes back as it was; so does a block that is fixed already.
pub fn as_given<'a>(
    procedure: Procedure,
    species: Species,
    weight: Option<Weight>,
    before: impl IntoIterator<Item = &'a Procedure>,
    strengths: &Strengths,
) -> Procedure {
    let Procedure::NerveBlock {
        block,
        side,
        drug,
        volume_ml_hundredths,
        strength_percent_hundredths,
        as_given: None,
    } = procedure
    else {
        return procedure;
    };
    let strength = strength_percent_hundredths.unwrap_or_else(|| strengths.of(drug));
    let fixed = |share_thousandths| Procedure::NerveBlock {
        block,
        side,
        drug,
        volume_ml_hundredths,
        strength_percent_hundredths: Some(strength),
        as_given: Some(AsGiven {
            dose_ug: dose_ug(u32::from(volume_ml_hundredths), strength),
            is_strength_said: strength_percent_hundredths.is_some(),
            weight_g: weight.map(Weight::grams),
            ceiling_ug: weight.map(|weight| ceiling_ug(species, weight, drug)),
            share_thousandths,
        }),
    };
    let this = fixed(None);
    let mut all: Vec<&Procedure> = before.into_iter().collect();
    all.push(&this);
    let total = running_total(species, weight, all, strengths);
    fixed(total.ok().map(|total| total.share_thousandths))
}

impl Total {
    /// How much of one drug may still follow without passing 1 in shares or the figure for a mix, in micrograms,
    /// rounded down.
    pub fn left_ug(&self, species: Species, weight: Weight, drug: Drug) -> u64 {
        let ceiling = ceiling_ug(species, weight, drug);
        let used: u64 = self
            .given
            .iter()
            .map(|g| {
                (u128::from(g.dose_ug) * u128::from(ceiling))
                    .div_ceil(u128::from(g.ceiling_ug.max(1)))
            })
            .map(|part| u64::try_from(part).unwrap_or(u64::MAX))
            .fold(0, u64::saturating_add);
        let alone = ceiling.saturating_sub(used);
        let other = match drug {
            Drug::Lidocaine => Some(Drug::Bupivacaine),
            Drug::Bupivacaine => Some(Drug::Lidocaine),
            Drug::Mepivacaine => None,
        };
        let would_mix = self.given.iter().any(|g| Some(g.drug) == other);
        // What the other drug passes in a mixture already is passed by any drop that makes it one.
        let is_other_over = self.given.iter().any(|g| {
            Some(g.drug) == other
                && limit_ug(species, weight, g.drug, true).is_some_and(|limit| g.dose_ug > limit)
        });
        if is_other_over {
            return 0;
        }
        match limit_ug(species, weight, drug, true) {
            Some(limit) if would_mix => {
                let own: u64 = self
                    .given
                    .iter()
                    .filter(|g| g.drug == drug)
                    .map(|g| g.dose_ug)
                    .sum();
                alone.min(limit.saturating_sub(own))
            }
            _ => alone,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terms::MouthSide;
    use crate::terms::procedure::Block;

    fn block(drug: Drug, volume_ml_hundredths: u16) -> Procedure {
        Procedure::NerveBlock {
            block: Block::Maxillary,
            side: MouthSide::Left,
            drug,
            volume_ml_hundredths,
            strength_percent_hundredths: None,
            as_given: None,
        }
    }

    #[test]
    fn exactly_the_ceiling_is_at_it_and_one_hundredth_more_is_over() {
        let weight = Weight::from_grams(3000).ok();
        let total = |volumes: &[u16]| {
            let blocks: Vec<_> = volumes
                .iter()
                .map(|v| block(Drug::Bupivacaine, *v))
                .collect();
            running_total(Species::Cat, weight, &blocks, &Strengths::default()).expect("a weight")
        };
        assert_eq!(total(&[15, 15, 15, 15]).against, Against::At);
        assert_eq!(total(&[15, 15, 15, 16]).against, Against::Over);
        assert_eq!(total(&[]).against, Against::Below);
    }

    #[test]
    fn shares_of_two_drugs_add_up() {
        let weight = Weight::from_grams(10_000).ok();
        // 5 of 10 mg bupivacaine and 30 of 50 mg lidocaine: each below its own, together 1.1.
        let blocks = [block(Drug::Bupivacaine, 100), block(Drug::Lidocaine, 150)];
        let total =
            running_total(Species::Dog, weight, &blocks, &Strengths::default()).expect("a weight");
        assert_eq!(
            (total.against, total.share_thousandths),
            (Against::Over, 1100)
        );
    }

    #[test]
    fn what_was_given_is_fixed() {
        let weight = Weight::from_grams(4000).ok();
        let on_the_day = Strengths::default();
        let fixed = as_given(
            block(Drug::Bupivacaine, 30),
            Species::Cat,
            weight,
            [],
            &on_the_day,
        );
        let Procedure::NerveBlock {
            strength_percent_hundredths,
            as_given: Some(given),
            ..
        } = fixed.clone()
        else {
            panic!("{fixed:?}");
        };
        assert_eq!(strength_percent_hundredths, Some(50));
        assert_eq!(
            (given.dose_ug, given.weight_g, given.ceiling_ug),
            (1500, Some(4000), Some(4000))
        );
        assert_eq!(given.share_thousandths, Some(375));
        // Another bottle on the shelf tomorrow changes nothing of it.
        for bupivacaine in [25, 75] {
            let tomorrow = Strengths {
                bupivacaine,
                ..on_the_day
            };
            let total = running_total(Species::Cat, weight, [&fixed], &tomorrow).expect("a weight");
            assert_eq!(total.given[0].dose_ug, 1500);
            assert!(!total.given[0].strength_assumed);
        }
    }

    #[test]
    fn no_weight_no_ceiling() {
        assert!(running_total(Species::Dog, None, [], &Strengths::default()).is_err());
    }

    proptest::proptest! {
        #[test]
        fn a_ceiling_never_grows_when_weight_falls(grams in 51u32..150_000, less in 1u32..100_000) {
            let light = Weight::from_grams(grams.saturating_sub(less).max(50)).expect("in range");
            let heavy = Weight::from_grams(grams).expect("in range");
            for species in [Species::Dog, Species::Cat] {
                for drug in DRUGS {
                    proptest::prop_assert!(ceiling_ug(species, light, drug) <= ceiling_ug(species, heavy, drug));
                    proptest::prop_assert!(ceiling_ug(species, light, drug) > 0);
                }
            }
        }

        /// Whatever bottle stands on the shelf tomorrow, and whatever the animal weighs then: what was given stays.
        #[test]
        fn what_was_given_never_changes(
            grams in 1000u32..60_000, volume in 1u16..300, then in 1u16..1000, later_grams in 1000u32..60_000,
        ) {
            let strengths = Strengths::default();
            let weight = Weight::from_grams(grams).ok();
            let fixed = as_given(block(Drug::Lidocaine, volume), Species::Dog, weight, [], &strengths);
            let tomorrow = Strengths { lidocaine: then, ..strengths };
            let later = Weight::from_grams(later_grams).ok();
            let again = as_given(fixed.clone(), Species::Dog, later, [], &tomorrow);
            proptest::prop_assert_eq!(&again, &fixed);
            let total = running_total(Species::Dog, later, [&fixed], &tomorrow).expect("a weight");
            proptest::prop_assert_eq!(total.given[0].dose_ug, u64::from(volume) * 200);
        }

        /// What the question says may still follow passes without a question, and a drop more does not.
        #[test]
        fn what_is_left_beside_another_drug_may_follow(
            grams in 1000u32..60_000, first in 0u16..300, other in 0usize..3,
        ) {
            let weight = Weight::from_grams(grams).expect("in range");
            let strengths = Strengths::default();
            let given = [block(DRUGS[other], first)];
            let total = running_total(Species::Dog, Some(weight), &given, &strengths).expect("a weight");
            let left = total.left_ug(Species::Dog, weight, Drug::Bupivacaine);
            let volume = volume_ml_hundredths(left, strengths.bupivacaine).min(60_000) as u16;
            if volume > 0 {
                let with = [given[0].clone(), block(Drug::Bupivacaine, volume)];
                let sum = running_total(Species::Dog, Some(weight), &with, &strengths).expect("a weight");
                proptest::prop_assert!(sum.against <= Against::At);
            }
            let more = [given[0].clone(), block(Drug::Bupivacaine, volume + 1)];
            let sum = running_total(Species::Dog, Some(weight), &more, &strengths).expect("a weight");
            proptest::prop_assert_eq!(sum.against, Against::Over);
        }

        #[test]
        fn what_is_left_may_follow_and_no_more(grams in 1000u32..60_000, first in 0u16..300) {
            let weight = Weight::from_grams(grams).expect("in range");
            let strengths = Strengths::default();
            let given = [block(Drug::Bupivacaine, first)];
            let total = running_total(Species::Dog, Some(weight), &given, &strengths).expect("a weight");
            let left = total.left_ug(Species::Dog, weight, Drug::Bupivacaine);
            let volume = volume_ml_hundredths(left, strengths.bupivacaine).min(60_000) as u16;
            if total.against == Against::Below {
                let with = [given[0].clone(), block(Drug::Bupivacaine, volume)];
                let sum = running_total(Species::Dog, Some(weight), &with, &strengths).expect("a weight");
                proptest::prop_assert!(sum.against <= Against::At);
                let more = [given[0].clone(), block(Drug::Bupivacaine, volume + 1)];
                let sum = running_total(Species::Dog, Some(weight), &more, &strengths).expect("a weight");
                proptest::prop_assert_eq!(sum.against, Against::Over);
            } else {
                proptest::prop_assert!(volume == 0);
            }
        }
    }
}
