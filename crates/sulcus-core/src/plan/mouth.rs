//! The mouth as a whole: indices, teeth by stage, share of attachment lost, and total mouth scores where the
//! user supplies the factors. Says over how many teeth each number was taken.
//!
//! Sources: plaque coverage table [HINDAWI16]; halves, thirds and means from memory; no factors are invented.

use serde::Serialize;

use super::facts::{Mouth, ToothFacts};
use super::rules::{Cited, rules};
use super::settings::{Combine, MouthScoreTable};
use super::stage::PeriodontalStage;
use super::tooth::ToothPlan;
use crate::terms::{Kind, ToothNumber};

/// A mean and the worst, over those that were scored.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spread {
    pub count: usize,
    /// In hundredths, rounded.
    pub mean_hundredths: u32,
    pub worst: u8,
}

fn spread(values: impl Iterator<Item = u8>) -> Option<Spread> {
    let values: Vec<u32> = values.map(u32::from).collect();
    let count = u32::try_from(values.len())
        .ok()
        .filter(|count| *count > 0)?;
    Some(Spread {
        count: values.len(),
        mean_hundredths: (values.iter().sum::<u32>() * 100 + count / 2) / count,
        worst: values.iter().max().map_or(0, |worst| *worst as u8),
    })
}

/// Teeth of one stage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StageCount {
    pub stage: PeriodontalStage,
    pub teeth: Vec<ToothNumber>,
}

/// A total mouth score, or why there is none.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MouthScore {
    Refused {
        why: String,
    },
    Worked {
        gingivitis: f64,
        periodontitis: f64,
        source: String,
        caution: String,
    },
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MouthPlan {
    pub teeth_charted: usize,
    pub teeth_missing: Vec<ToothNumber>,
    /// Depths of all sites, in millimetres.
    pub depth_mm: Option<Spread>,
    /// Attachment loss of all sites where it is known exactly, in millimetres.
    pub loss_mm: Option<Spread>,
    /// Grades 0 to 3 by thirds.
    pub plaque: Option<Spread>,
    pub calculus: Option<Spread>,
    pub gingivitis: Option<Spread>,
    pub by_stage: Vec<StageCount>,
    /// Teeth whose stage the chart leaves open, with the range.
    pub stage_open: Vec<(ToothNumber, String)>,
    /// Worst loss over root length, summed over teeth with both, in thousandths; and how many teeth.
    pub attachment_lost_thousandths: Option<u32>,
    pub attachment_lost_teeth: usize,
    pub mouth_score: MouthScore,
    /// Findings of the mouth, in words.
    pub findings: Vec<String>,
    /// Lumps and sores as described.
    pub lesions: Vec<super::lesions::LesionPlan>,
    /// Decided for the mouth or parts of it.
    pub decisions: Vec<super::lesions::MouthDecisionPlan>,
    pub guidance: Vec<Cited>,
    /// How the indices are worked out.
    pub basis: Vec<Cited>,
}

pub fn plan(
    facts: &[ToothFacts],
    teeth: &[ToothPlan],
    mouth: &Mouth,
    findings: Vec<String>,
    table: Option<&MouthScoreTable>,
) -> MouthPlan {
    let there = || facts.iter().filter(|facts| facts.is_there());
    let losses = there()
        .flat_map(|facts| (0..6).filter_map(|at| facts.loss(at)))
        .filter(|loss| loss.at_least_mm == loss.at_most_mm)
        .map(|loss| loss.at_most_mm);
    let shares: Vec<(u32, u32)> = there()
        .filter_map(|facts| {
            let (loss, root) = (facts.worst_loss()?, facts.root_length_mm?);
            (root > 0 && loss.at_least_mm == loss.at_most_mm)
                .then(|| (u32::from(loss.at_most_mm.min(root)), u32::from(root)))
        })
        .collect();
    let roots: u32 = shares.iter().map(|(_, root)| root).sum();
    let known = |stage: PeriodontalStage| StageCount {
        stage,
        teeth: teeth
            .iter()
            .filter(|tooth| tooth.stage.as_ref().and_then(|s| s.known()) == Some(stage))
            .map(|tooth| tooth.tooth)
            .collect(),
    };
    MouthPlan {
        teeth_charted: facts.iter().filter(|facts| !facts.kinds.is_empty()).count(),
        teeth_missing: facts
            .iter()
            .filter(|facts| facts.kinds.contains(&Kind::Absent))
            .map(|facts| facts.tooth)
            .collect(),
        depth_mm: spread(there().flat_map(|facts| facts.depth_mm.iter().flatten().copied())),
        loss_mm: spread(losses),
        plaque: spread(there().filter_map(|facts| facts.plaque)),
        calculus: spread(there().filter_map(|facts| facts.calculus)),
        gingivitis: spread(there().filter_map(|facts| facts.gingivitis)),
        by_stage: PeriodontalStage::ALL.into_iter().map(known).collect(),
        stage_open: teeth
            .iter()
            .filter_map(|tooth| {
                let stage = tooth.stage.as_ref()?;
                stage
                    .known()
                    .is_none()
                    .then(|| (tooth.tooth, stage.words()))
            })
            .collect(),
        attachment_lost_thousandths: (roots > 0)
            .then(|| (shares.iter().map(|(loss, _)| loss).sum::<u32>() * 1000 + roots / 2) / roots),
        attachment_lost_teeth: shares.len(),
        mouth_score: mouth_score(facts, mouth, table),
        findings,
        lesions: Vec::new(),
        decisions: Vec::new(),
        guidance: rules()
            .mouth
            .iter()
            .filter(|rule| rule.species.is_none_or(|species| species == mouth.species))
            .filter(|rule| rule.any_of.iter().any(|kind| mouth.kinds.contains(kind)))
            .map(|rule| Cited::new(&rule.key, rule.text.clone(), &rule.sources))
            .collect(),
        basis: ["index_mean", "index_thirds"]
            .map(|key| rules().cite(key))
            .into(),
    }
}

/// Sum over the teeth of each tooth's mean times its factor. Refuses where anything that it needs is lacking.
pub fn mouth_score(
    facts: &[ToothFacts],
    mouth: &Mouth,
    table: Option<&MouthScoreTable>,
) -> MouthScore {
    let refused = |why: String| MouthScore::Refused { why };
    let Some(table) = table else {
        return refused(format!(
            "{}; give them as mouth_score in the clinic file",
            rules().cite("mouth_score_table").text
        ));
    };
    if table.species != mouth.species {
        return refused(format!(
            "the table of factors is for a {}",
            table.species.word()
        ));
    }
    let (mut gingivitis, mut periodontitis) = (0.0, 0.0);
    let mut counted = 0;
    for tooth in facts {
        let number = tooth.tooth;
        if !tooth.is_there() {
            if table.leaves_out_missing {
                continue;
            }
            return refused(format!(
                "{number} is missing, and the table leaves no tooth out"
            ));
        }
        let Some(factor) = table.factor(number) else {
            return refused(format!("the table has no factor for {number}"));
        };
        let Some(grade) = tooth.gingivitis else {
            return refused(format!("{number} has no gingivitis grade"));
        };
        let losses: Vec<f64> = (0..6)
            .filter_map(|at| tooth.loss(at))
            .filter(|loss| loss.at_least_mm == loss.at_most_mm)
            .map(|loss| f64::from(loss.at_most_mm))
            .collect();
        if losses.len() < usize::from(super::stage::SITES_ENOUGH) {
            return refused(format!(
                "{number} has too few sites with a known attachment loss"
            ));
        }
        gingivitis += f64::from(grade) * factor;
        periodontitis += losses.iter().sum::<f64>() / losses.len() as f64 * factor;
        counted += 1;
    }
    if counted == 0 {
        return refused("no tooth is charted".into());
    }
    let sum = rules().cite("mouth_score_sum");
    MouthScore::Worked {
        gingivitis,
        periodontitis,
        source: table.source.clone(),
        caution: format!("{}: {}", sum.text, sum.caution.unwrap_or_default()),
    }
}

/// Coverage in per cent to its score, 0 to 4 [HINDAWI16].
pub fn coverage_score(percent: u8) -> u8 {
    match percent {
        0 => 0,
        1..25 => 1,
        25..50 => 2,
        50..75 => 3,
        _ => 4,
    }
}

/// Plaque of one tooth from its two halves, each coverage in per cent and thickness 0 to 3: 0 to 24 as a sum,
/// 0 to 12 as a mean. Coverage table [HINDAWI16]; product and combination from memory.
pub fn plaque_of_halves(gingival: (u8, u8), coronal: (u8, u8), combine: Combine) -> f64 {
    let half =
        |(percent, thickness): (u8, u8)| u32::from(coverage_score(percent)) * u32::from(thickness);
    let sum = f64::from(half(gingival) + half(coronal));
    match combine {
        Combine::Sum => sum,
        Combine::Mean => sum / 2.0,
    }
}
