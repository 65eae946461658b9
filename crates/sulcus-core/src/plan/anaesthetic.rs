//! Nerve blocks that cover the planned teeth, and how much local anaesthetic is the ceiling, in all and still.
//! A check for the vet, never a dose: without a weight it refuses, and it always asks for the vet's signature.
//! The arithmetic is in `terms::anaesthetic`.

use serde::Serialize;

use super::rules::{BlockRule, Certainty, Cited, rules};
use super::settings::Settings;
use super::tooth::ToothPlan;
use super::work::{needs_block, outstanding};
use crate::record::{Record, monitoring};
use crate::terms::anaesthetic::{
    self, Against, DRUGS, NoWeight, Strengths, Total, ceiling_ug, figure, volume_ml_hundredths,
};
use crate::terms::procedure::Block;
use crate::terms::{Drug, Jaw, MouthSide, Procedure, Species, ToothNumber, Weight};

/// The ceiling of one drug for this animal, over all sites.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CeilingPlan {
    pub drug: Drug,
    pub mg_per_kg_tenths: u16,
    pub source: String,
    pub ceiling_ug: u64,
    /// Of the solution in the house.
    pub strength_percent_hundredths: u16,
    pub volume_ml_hundredths: u32,
    /// What may still follow after what was given.
    pub left_volume_ml_hundredths: u32,
}

/// A way to numb planned teeth of one quarter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BlockPlan {
    pub block: Block,
    pub side: MouthSide,
    pub teeth: Vec<ToothNumber>,
    pub certainty: Certainty,
    #[serde(flatten)]
    pub cited: Cited,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ceilings {
    Refused {
        why: String,
    },
    Worked {
        ceilings: Vec<CeilingPlan>,
        total: Total,
    },
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AnaestheticPlan {
    pub ceilings: Ceilings,
    /// Blocks that the sources say cover planned teeth; the vet chooses.
    pub blocks: Vec<BlockPlan>,
    /// Planned teeth that no block of the list covers.
    pub uncovered: Vec<ToothNumber>,
    pub warnings: Vec<Cited>,
    pub cautions: Vec<Cited>,
    pub sign_off: String,
}

/// To be signed wherever ceilings are printed.
pub const SIGN_OFF: &str = "Ceilings for checking, not doses. Drug, dose and site are decided by the licensed \
     veterinary surgeon under local rules. Signed: ____________________";

/// Ceiling of one drug alone over all sites, in micrograms; None without a weight.
pub fn ceiling(species: Species, weight: Option<Weight>, drug: Drug) -> Option<u64> {
    weight.map(|weight| ceiling_ug(species, weight, drug))
}

/// Everything given so far; unconfirmed entries count, so that the sum is never too small.
pub fn running_total(record: &Record, strengths: &Strengths) -> Result<Total, NoWeight> {
    anaesthetic::running_total(
        record.patient.species,
        record.patient.weight,
        &monitoring::local_anaesthetics(record),
        strengths,
    )
}

pub fn plan(record: &Record, teeth: &[ToothPlan], settings: &Settings) -> AnaestheticPlan {
    let planned: Vec<ToothNumber> = outstanding(record, teeth)
        .into_iter()
        .filter(|tooth| {
            tooth
                .decision
                .as_ref()
                .is_some_and(|d| needs_block(&d.decision))
        })
        .map(|tooth| tooth.tooth)
        .collect();
    let species = record.patient.species;
    let strengths = settings.anaesthetic.strengths();
    let blocks = blocks(species, &planned);
    let uncovered = planned
        .iter()
        .copied()
        .filter(|tooth| {
            !blocks
                .iter()
                .any(|b| b.certainty != Certainty::Unreliable && b.teeth.contains(tooth))
        })
        .collect();
    let mut cautions = vec![
        "ceiling_lowest",
        "shares_add_up",
        "mix_ceiling",
        "never_into_a_vein",
    ];
    if species == Species::Cat {
        cautions.insert(0, "cat_lower");
    }
    let (ceilings, mut warnings) = match (running_total(record, &strengths), record.patient.weight)
    {
        (Ok(total), Some(weight)) => {
            let warnings = total_warnings(&total);
            let ceilings = DRUGS
                .into_iter()
                .filter_map(|drug| ceiling_plan(species, weight, drug, &strengths, &total))
                .collect();
            (Ceilings::Worked { ceilings, total }, warnings)
        }
        (Err(why), _) => (
            Ceilings::Refused {
                why: why.to_string(),
            },
            Vec::new(),
        ),
        (_, None) => (
            Ceilings::Refused {
                why: NoWeight.to_string(),
            },
            Vec::new(),
        ),
    };
    if matches!(ceilings, Ceilings::Refused { .. }) {
        cautions.insert(0, "weight_needed");
    }
    if let Ceilings::Worked { total, .. } = &ceilings
        && total.against >= Against::At
        && !planned.is_empty()
    {
        warnings.push(rules().cite_as(
            "ceiling_lowest",
            format!(
                "nothing is left under the ceiling, and work is planned on {}: no further block; ask the vet",
                super::words::teeth(&planned)
            ),
        ));
    }
    warnings.extend(given_warnings(record, species, &planned));
    AnaestheticPlan {
        ceilings,
        blocks,
        uncovered,
        warnings,
        cautions: cautions.into_iter().map(|key| rules().cite(key)).collect(),
        sign_off: SIGN_OFF.into(),
    }
}

fn ceiling_plan(
    species: Species,
    weight: Weight,
    drug: Drug,
    strengths: &Strengths,
    total: &Total,
) -> Option<CeilingPlan> {
    let figure = figure(species, drug, false)?;
    let ceiling = ceiling_ug(species, weight, drug);
    let strength = strengths.of(drug);
    Some(CeilingPlan {
        drug,
        mg_per_kg_tenths: figure.mg_per_kg_tenths,
        source: figure.source.into(),
        ceiling_ug: ceiling,
        strength_percent_hundredths: strength,
        volume_ml_hundredths: volume_ml_hundredths(ceiling, strength),
        left_volume_ml_hundredths: volume_ml_hundredths(
            total.left_ug(species, weight, drug),
            strength,
        ),
    })
}

fn total_warnings(total: &Total) -> Vec<Cited> {
    let rules = rules();
    let mut warnings = Vec::new();
    let share = super::words::hundredths(total.share_thousandths.div_ceil(10));
    match total.against {
        Against::Over if total.share_thousandths > 1000 => warnings.push(rules.cite_as(
            if total.given.len() > 1 { "shares_add_up" } else { "ceiling_lowest" },
            format!("STOP: {share} times the ceiling is given already; give no more and watch the animal"),
        )),
        Against::At => warnings.push(rules.cite_as(
            "ceiling_lowest",
            "the ceiling is reached exactly: no more local anaesthetic",
        )),
        _ => {}
    }
    for drug in &total.over_in_mix {
        warnings.push(rules.cite_as(
            "mix_ceiling",
            format!(
                "STOP: {} passes 1 mg/kg, one source's figure for a mix",
                drug.word()
            ),
        ));
    }
    if total.given.iter().any(|given| given.strength_assumed) {
        warnings.push(rules.cite_as(
            "ceiling_lowest",
            "a strength was not recorded: the house's own bottle of today is assumed; check the label",
        ));
    }
    warnings
}

/// Blocks given that a source does not trust for a planned tooth.
fn given_warnings(record: &Record, species: Species, planned: &[ToothNumber]) -> Vec<Cited> {
    let mut warnings = Vec::new();
    for (procedure, _) in record.procedures() {
        let Procedure::NerveBlock {
            block: Block::Infraorbital,
            side,
            ..
        } = procedure
        else {
            continue;
        };
        let doubtful: Vec<ToothNumber> = planned
            .iter()
            .copied()
            .filter(|tooth| {
                tooth.jaw() == Jaw::Upper && tooth.mouth_side() == *side && tooth.position() > 4
            })
            .collect();
        if species == Species::Dog && !doubtful.is_empty() {
            warnings.push(rules().cite_as(
                "infraorbital_back_given",
                format!(
                    "infraorbital block {} given, {} planned: the block is not to be relied on behind the canine",
                    super::words::mouth_side(*side),
                    super::words::teeth(&doubtful)
                ),
            ));
        }
    }
    warnings
}

/// Every block of the list that numbs a planned tooth, by quarter, the sure ones first.
pub fn blocks(species: Species, planned: &[ToothNumber]) -> Vec<BlockPlan> {
    let mut plans = Vec::new();
    for side in [MouthSide::Right, MouthSide::Left] {
        for rule in &rules().blocks {
            if rule.species.is_some_and(|of| of != species) {
                continue;
            }
            let teeth = covered(rule, side, planned);
            if !teeth.is_empty() {
                plans.push(BlockPlan {
                    block: rule.block,
                    side,
                    teeth,
                    certainty: rule.certainty,
                    cited: Cited::new(&rule.key, rule.text.clone(), &rule.sources),
                });
            }
        }
    }
    plans.sort_by_key(|plan| (plan.side, plan.teeth[0].jaw(), plan.certainty));
    plans
}

fn covered(rule: &BlockRule, side: MouthSide, planned: &[ToothNumber]) -> Vec<ToothNumber> {
    planned
        .iter()
        .copied()
        .filter(|tooth| {
            tooth.jaw() == rule.jaw
                && tooth.mouth_side() == side
                && rule.positions.contains(&tooth.position())
        })
        .collect()
}
