//! When a rule of the data files applies to a tooth. All that is written must hold; what is left out is not asked.
//! A condition on something that the chart does not hold never holds: unknown is not yes.

use serde::Deserialize;

use super::facts::{Mouth, ToothFacts};
use super::stage::StageEstimate;
use crate::terms::{Decision, Jaw, Kind, Species, procedure::Treatment};

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Condition {
    pub species: Option<Species>,
    pub is_deciduous: Option<bool>,
    /// The stage is certainly at least this (0 to 4).
    pub stage_min: Option<u8>,
    /// The stage is certainly at most this.
    pub stage_max: Option<u8>,
    /// Deepest reading.
    pub depth_mm_min: Option<u8>,
    pub depth_mm_max: Option<u8>,
    /// A pocket beyond the normal sulcus that enlargement alone does not explain.
    pub is_deep: Option<bool>,
    pub mobility_min: Option<u8>,
    /// Not charted counts as none: the trade charts what is abnormal.
    pub mobility_max: Option<u8>,
    pub furcation_min: Option<u8>,
    pub furcation_max: Option<u8>,
    pub has_periodontal_sign: Option<bool>,
    pub fracture: Vec<String>,
    pub is_pulp_exposed: Option<bool>,
    pub resorption_stage: Vec<String>,
    pub resorption_type: Vec<u8>,
    pub lacks_resorption_stage: bool,
    pub lacks_resorption_type: bool,
    pub any_of: Vec<Kind>,
    pub all_of: Vec<Kind>,
    pub none_of: Vec<Kind>,
    pub mouth_any_of: Vec<Kind>,
    pub is_successor_erupted: Option<bool>,
    pub positions: Vec<u8>,
    pub jaw: Option<Jaw>,
    /// Deepest of the three readings of the tongue side.
    pub tongue_side_mm_min: Option<u8>,
    pub recession_mm_min: Option<u8>,
    pub lacks_root_length: bool,
    pub malposition: Vec<String>,
    /// A film of the tooth, or of the whole mouth, is recorded.
    pub is_filmed: Option<bool>,
    pub weight_kg_max: Option<f64>,
    pub age_days_max: Option<u32>,
    /// Nothing beside plaque, inflammation, depths and loss of support speaks for more than cleaning.
    pub is_periodontal_only: Option<bool>,
    pub is_finding_free: Option<bool>,
    pub age_months_max: Option<u32>,
    pub has_apical_disease: Option<bool>,
    /// Forms of root resorption on film: any of them.
    pub root_resorption: Vec<String>,
    pub pulp_width: Option<String>,
    /// Any of these was said of the pulp.
    pub vitality: Vec<String>,
    pub lacks_vitality: bool,
    pub transillumination: Vec<String>,
    pub film_percent_min: Option<u8>,
    pub film_percent_max: Option<u8>,
    /// At most so many films of the tooth are recorded.
    pub film_count_max: Option<usize>,
    pub has_felv_or_fiv: Option<bool>,
    pub decision: Vec<String>,
}

/// The word for a decision in the data files.
pub fn decision_key(decision: &Decision) -> &'static str {
    match decision {
        Decision::Extract => "extract",
        Decision::Monitor { .. } => "monitor",
        Decision::Leave => "leave",
        Decision::Treat(treatment) => match treatment {
            Treatment::Unspecified => "treat",
            Treatment::RootPlaningClosed => "root_planing_closed",
            Treatment::RootPlaningOpen => "root_planing_open",
            Treatment::RootCanal => "root_canal",
            Treatment::VitalPulpTherapy => "vital_pulp_therapy",
            Treatment::Restoration => "restoration",
            Treatment::CrownAmputation => "crown_amputation",
            Treatment::GumSurgery => "gum_surgery",
            Treatment::Refer => "refer",
            Treatment::FistulaRepair => "fistula_repair",
            Treatment::FistulaRepairDouble => "fistula_repair_double",
            Treatment::Alveoloplasty => "alveoloplasty",
            Treatment::BoneGraft => "bone_graft",
            Treatment::Membrane => "membrane",
            Treatment::Sealant => "sealant",
            Treatment::Odontoplasty => "odontoplasty",
            Treatment::InterceptiveExtraction => "interceptive_extraction",
            Treatment::Operculectomy => "operculectomy",
            Treatment::CrownReduction => "crown_reduction",
        },
    }
}

/// Every word that [`decision_key`] can give.
pub const DECISION_KEYS: [&str; 22] = [
    "extract",
    "monitor",
    "leave",
    "treat",
    "root_planing_closed",
    "root_planing_open",
    "root_canal",
    "vital_pulp_therapy",
    "restoration",
    "crown_amputation",
    "gum_surgery",
    "refer",
    "fistula_repair",
    "fistula_repair_double",
    "alveoloplasty",
    "bone_graft",
    "membrane",
    "sealant",
    "odontoplasty",
    "interceptive_extraction",
    "operculectomy",
    "crown_reduction",
];

fn fits<T: PartialEq>(wanted: &Option<T>, found: Option<T>) -> bool {
    wanted.is_none() || *wanted == found
}

fn among<T: PartialEq>(wanted: &[T], found: Option<&T>) -> bool {
    wanted.is_empty() || found.is_some_and(|found| wanted.contains(found))
}

impl Condition {
    pub fn holds(
        &self,
        tooth: &ToothFacts,
        mouth: &Mouth,
        stage: Option<&StageEstimate>,
        decision: Option<&Decision>,
    ) -> bool {
        let low = stage.map(|s| s.at_least as u8);
        let high = stage.map(|s| s.at_most as u8);
        let at_least = |wanted: Option<u8>, found: Option<u8>| {
            wanted.is_none_or(|wanted| found.is_some_and(|found| found >= wanted))
        };
        let at_most = |wanted: Option<u8>, found: Option<u8>| {
            wanted.is_none_or(|wanted| found.is_some_and(|found| found <= wanted))
        };
        let depth = tooth.deepest_mm();
        let key = decision.map(decision_key);
        fits(&self.species, Some(mouth.species))
            && fits(&self.is_deciduous, Some(tooth.tooth.is_deciduous()))
            && at_least(self.stage_min, low)
            && at_most(self.stage_max, high)
            && at_least(self.depth_mm_min, depth)
            && at_most(self.depth_mm_max, depth)
            && fits(&self.is_deep, Some(tooth.is_deep()))
            && at_least(self.mobility_min, tooth.mobility)
            && at_most(self.mobility_max, Some(tooth.mobility.unwrap_or(0)))
            && at_least(self.furcation_min, tooth.furcation)
            && at_most(self.furcation_max, Some(tooth.furcation.unwrap_or(0)))
            && fits(
                &self.has_periodontal_sign,
                Some(tooth.has_periodontal_sign()),
            )
            && among(&self.fracture, tooth.fracture.as_ref())
            && fits(&self.is_pulp_exposed, tooth.is_pulp_exposed())
            && among(&self.resorption_stage, tooth.resorption_stage.as_ref())
            && among(&self.resorption_type, tooth.resorption_type.as_ref())
            && !(self.lacks_resorption_stage && tooth.resorption_stage.is_some())
            && !(self.lacks_resorption_type && tooth.resorption_type.is_some())
            && (self.any_of.is_empty() || self.any_of.iter().any(|k| tooth.kinds.contains(k)))
            && self.all_of.iter().all(|k| tooth.kinds.contains(k))
            && !self.none_of.iter().any(|k| tooth.kinds.contains(k))
            && (self.mouth_any_of.is_empty()
                || self.mouth_any_of.iter().any(|k| mouth.kinds.contains(k)))
            && fits(&self.is_successor_erupted, tooth.is_successor_erupted)
            && (self.positions.is_empty() || self.positions.contains(&tooth.tooth.position()))
            && fits(&self.jaw, Some(tooth.tooth.jaw()))
            && at_least(
                self.tongue_side_mm_min,
                tooth.depth_mm[3..].iter().flatten().max().copied(),
            )
            && at_least(self.recession_mm_min, tooth.deepest_recession_mm())
            && !(self.lacks_root_length && tooth.root_length_mm.is_some())
            && among(&self.malposition, tooth.malposition.as_ref())
            && fits(&self.is_filmed, Some(tooth.is_filmed))
            && self
                .weight_kg_max
                .is_none_or(|max| mouth.weight_kg.is_some_and(|kg| kg <= max))
            && self
                .age_days_max
                .is_none_or(|max| mouth.age_days.is_some_and(|days| days <= max))
            && fits(&self.is_periodontal_only, Some(tooth.is_periodontal_only()))
            && fits(&self.is_finding_free, Some(tooth.is_finding_free()))
            && self
                .age_months_max
                .is_none_or(|max| mouth.age_months_max.is_some_and(|age| age <= max))
            && fits(&self.has_apical_disease, tooth.has_apical_disease)
            && (self.root_resorption.is_empty()
                || self
                    .root_resorption
                    .iter()
                    .any(|form| tooth.root_resorption.contains(form)))
            && (self.pulp_width.is_none() || self.pulp_width == tooth.pulp_width)
            && among(&self.vitality, tooth.vitality.as_ref())
            && among(&self.transillumination, tooth.transillumination.as_ref())
            && !(self.lacks_vitality && tooth.vitality.is_some())
            && at_least(self.film_percent_min, tooth.film_percent)
            && at_most(self.film_percent_max, tooth.film_percent)
            && self
                .film_count_max
                .is_none_or(|max| tooth.film_count <= max)
            && fits(&self.has_felv_or_fiv, mouth.has_felv_or_fiv)
            && (self.decision.is_empty()
                || key.is_some_and(|key| self.decision.iter().any(|d| d == key)))
    }
}
