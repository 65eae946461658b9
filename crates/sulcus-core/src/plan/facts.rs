//! The chart of one tooth and of the mouth, gathered from the record into the form that the rules ask in.
//! Judges nothing. Values that nobody confirmed count, and are counted as such.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::attachment::{self, Enlargement, Loss};
use super::stage::StageInput;
use crate::record::{Record, Standing};
use crate::terms::dentition::{self, Roots};
use crate::terms::{Kind, PartialDate, Place, Site, Species, Subject, ToothNumber, Value};

/// What is charted of one tooth.
#[derive(Debug, Clone)]
pub struct ToothFacts {
    pub tooth: ToothNumber,
    pub roots: Option<Roots>,
    pub normal_depth_mm: u8,
    /// In the order of [`Site::ALL`].
    pub depth_mm: [Option<u8>; 6],
    /// The site's own, else that of the tooth as a whole.
    pub recession_mm: [Option<u8>; 6],
    /// Recession said of the tooth as a whole.
    pub recession_whole_mm: Option<u8>,
    pub enlargement: [Option<Enlargement>; 6],
    pub has_bleeding: bool,
    /// Worst of all entrances.
    pub furcation: Option<u8>,
    pub mobility: Option<u8>,
    pub plaque: Option<u8>,
    pub calculus: Option<u8>,
    pub gingivitis: Option<u8>,
    pub fracture: Option<String>,
    pub resorption_stage: Option<String>,
    pub resorption_type: Option<u8>,
    pub root_length_mm: Option<u8>,
    pub malposition: Option<String>,
    pub is_filmed: bool,
    /// Films taken of this tooth, or of the whole mouth.
    pub film_count: usize,
    /// Worst bone loss on film, in per cent of the root.
    pub film_percent: Option<u8>,
    /// Forms of root resorption on film, of all roots.
    pub root_resorption: BTreeSet<String>,
    pub pulp_width: Option<String>,
    /// What was said of the pulp: "vital", "non_vital", "doubtful".
    pub vitality: Option<String>,
    pub transillumination: Option<String>,
    /// Every kind of finding that is charted, whatever its value.
    pub kinds: BTreeSet<Kind>,
    /// Whether the tooth that takes its place is charted as there; None where not charted or no such tooth.
    pub is_successor_erupted: Option<bool>,
    /// The chart has no word for it yet: None.
    pub has_apical_disease: Option<bool>,
    /// Findings and decision that nobody confirmed.
    pub unconfirmed_count: usize,
}

/// What is charted of the animal and the mouth.
#[derive(Debug, Clone)]
pub struct Mouth {
    pub species: Species,
    pub kinds: BTreeSet<Kind>,
    /// Age at the visit if it was born at the latest, or earliest, day that the record allows.
    pub age_months_min: Option<u32>,
    pub age_months_max: Option<u32>,
    /// From the tests of FeLV and FIV as far as recorded; None where neither is known.
    pub has_felv_or_fiv: Option<bool>,
    pub weight_kg: Option<f64>,
    /// The youngest that it can be.
    pub age_days: Option<u32>,
}

impl Mouth {
    pub fn of(record: &Record, date: Date) -> Self {
        let kinds = record
            .findings()
            .filter(|(finding, _)| finding.subject == Subject::Mouth)
            .map(|(finding, _)| finding.kind)
            .collect();
        let born = record.patient.born.as_ref().and_then(PartialDate::days);
        let age = |day: Date| months_between(day, date);
        Self {
            species: record.patient.species,
            kinds,
            age_months_min: born.and_then(|(_, latest)| age(latest)),
            age_months_max: born.and_then(|(earliest, _)| age(earliest)),
            has_felv_or_fiv: match (record.patient.felv, record.patient.fiv) {
                (Some(true), _) | (_, Some(true)) => Some(true),
                (Some(false), Some(false)) => Some(false),
                _ => None,
            },
            weight_kg: record.patient.weight.map(|weight| weight.kg()),
            age_days: record.age_days(),
        }
    }
}

/// Whole months from one day to a later one; 0 where it is not later.
fn months_between(from: Date, to: Date) -> Option<u32> {
    let span = from.until((jiff::Unit::Month, to)).ok()?;
    Some(u32::try_from(span.get_months()).unwrap_or(0))
}

impl ToothFacts {
    pub fn of(record: &Record, tooth: ToothNumber, normal_depth_mm: u8) -> Self {
        let mut facts = Self {
            tooth,
            roots: dentition::roots(record.patient.species, tooth),
            normal_depth_mm,
            depth_mm: [None; 6],
            recession_mm: [None; 6],
            recession_whole_mm: None,
            enlargement: [None; 6],
            has_bleeding: false,
            furcation: None,
            mobility: None,
            plaque: None,
            calculus: None,
            gingivitis: None,
            fracture: None,
            resorption_stage: None,
            resorption_type: None,
            root_length_mm: None,
            malposition: None,
            is_filmed: super::films::is_taken(record, tooth, 0),
            film_count: super::films::count(record, tooth),
            film_percent: None,
            root_resorption: BTreeSet::new(),
            pulp_width: None,
            vitality: None,
            transillumination: None,
            kinds: BTreeSet::new(),
            is_successor_erupted: successor_erupted(record, tooth),
            has_apical_disease: None,
            unconfirmed_count: 0,
        };
        let mut enlargement_whole = None;
        for (finding, charted) in record.findings_of(tooth) {
            facts.kinds.insert(finding.kind);
            facts.unconfirmed_count += usize::from(charted.standing < Standing::Confirmed);
            let site = match finding.place {
                Place::Site(site) => Site::ALL.iter().position(|s| *s == site),
                _ => None,
            };
            match (finding.kind, &finding.value, site) {
                (Kind::Depth, Value::Mm(mm), Some(at)) => facts.depth_mm[at] = Some(*mm),
                (Kind::Recession, Value::Mm(mm), Some(at)) => facts.recession_mm[at] = Some(*mm),
                (Kind::Recession, Value::Mm(mm), None) => facts.recession_whole_mm = Some(*mm),
                (Kind::Enlargement, value, at) => {
                    let size = match value {
                        Value::Mm(mm) => Enlargement::Mm(*mm),
                        _ => Enlargement::Unsized,
                    };
                    match at {
                        Some(at) => facts.enlargement[at] = Some(size),
                        None => enlargement_whole = Some(size),
                    }
                }
                (Kind::Bleeding, ..) => facts.has_bleeding = true,
                (Kind::Furcation, Value::Grade(g), _) => {
                    facts.furcation = facts.furcation.max(Some(*g))
                }
                (Kind::Mobility, Value::Grade(g), _) => facts.mobility = Some(*g),
                (Kind::Plaque, Value::Grade(g), _) => facts.plaque = Some(*g),
                (Kind::Calculus, Value::Grade(g), _) => facts.calculus = Some(*g),
                (Kind::Gingivitis, Value::Grade(g), _) => facts.gingivitis = Some(*g),
                (Kind::Fracture, Value::Code(code), _) => facts.fracture = Some(code.clone()),
                (Kind::ResorptionStage, Value::Code(code), _) => {
                    facts.resorption_stage = Some(code.clone());
                }
                (Kind::ResorptionType, Value::Grade(g), _) => facts.resorption_type = Some(*g),
                (Kind::RootLength, Value::Mm(mm), _) => facts.root_length_mm = Some(*mm),
                (Kind::Malposition, Value::Code(code), _) => facts.malposition = Some(code.clone()),
                (Kind::PeriapicalLesion, ..) => facts.has_apical_disease = Some(true),
                (_, Value::Percent(percent), _) => {
                    facts.film_percent = facts.film_percent.max(Some(*percent));
                }
                (Kind::RootResorption, Value::Code(code), _) => {
                    facts.root_resorption.insert(code.clone());
                }
                (Kind::Vitality, Value::Code(code), _) => facts.vitality = Some(code.clone()),
                (Kind::Transillumination, Value::Code(code), _) => {
                    facts.transillumination = Some(code.clone());
                }
                // A wide one is not hidden by a narrow one at another root.
                (Kind::PulpWidth, Value::Code(code), _)
                    if facts.pulp_width.as_deref() != Some("wide") =>
                {
                    facts.pulp_width = Some(code.clone());
                }
                _ => {}
            }
        }
        for at in 0..6 {
            facts.recession_mm[at] = facts.recession_mm[at].or(facts.recession_whole_mm);
            facts.enlargement[at] = facts.enlargement[at].or(enlargement_whole);
        }
        if facts.resorption_type.is_none() && facts.resorption_stage.is_some() {
            facts.resorption_type = facts.resorption_type_by_film();
        }
        if let Some((_, _, charted)) = record.decision(tooth) {
            facts.unconfirmed_count += usize::from(charted.standing < Standing::Confirmed);
        }
        facts
    }

    pub fn is_there(&self) -> bool {
        !self.kinds.contains(&Kind::Absent) && !self.kinds.contains(&Kind::Unerupted)
    }

    pub fn sites_read(&self) -> u8 {
        self.depth_mm.iter().flatten().count() as u8
    }

    pub fn deepest_mm(&self) -> Option<u8> {
        self.depth_mm.iter().flatten().max().copied()
    }

    /// Loss at a site, by its index in [`Site::ALL`]; None where no depth was read. Recession alone, without a
    /// depth, is a loss of at least the recession, counted in [`Self::worst_loss`].
    pub fn loss(&self, at: usize) -> Option<Loss> {
        let depth = self.depth_mm[at]?;
        Some(attachment::loss(
            depth,
            self.recession_mm[at],
            self.enlargement[at],
            self.normal_depth_mm,
        ))
    }

    pub fn is_pseudopocket(&self, at: usize) -> bool {
        self.depth_mm[at].is_some_and(|depth| {
            attachment::is_pseudopocket(
                depth,
                self.recession_mm[at],
                self.enlargement[at],
                self.normal_depth_mm,
            )
        })
    }

    /// Worst loss of all sites; None where neither a depth nor recession is charted.
    pub fn worst_loss(&self) -> Option<Loss> {
        let read = (0..6).filter_map(|at| self.loss(at));
        let bare = (0..6)
            .filter(|at| self.depth_mm[*at].is_none())
            .filter_map(|at| self.recession_mm[at])
            .map(|mm| Loss {
                at_least_mm: mm,
                at_most_mm: mm,
            });
        read.chain(bare).reduce(|a, b| Loss {
            at_least_mm: a.at_least_mm.max(b.at_least_mm),
            at_most_mm: a.at_most_mm.max(b.at_most_mm),
        })
    }

    /// A depth beyond normal that enlargement does not explain wholly.
    pub fn is_deep(&self) -> bool {
        (0..6).any(|at| {
            self.depth_mm[at].is_some_and(|depth| depth > self.normal_depth_mm)
                && !self.is_pseudopocket(at)
        })
    }

    /// The type of resorption as the film shows it, where nobody named one [AVDC-TR07]: without a ligament line type
    /// 2, with it type 1, both at different roots type 3.
    pub fn resorption_type_by_film(&self) -> Option<u8> {
        let is_replaced =
            self.kinds.contains(&Kind::Ankylosis) || self.root_resorption.contains("replacement");
        let has_line = ["inflammatory", "surface", "cervical"]
            .iter()
            .any(|form| self.root_resorption.contains(*form));
        match (has_line, is_replaced) {
            (true, true) => Some(3),
            (false, true) => Some(2),
            (true, false) => Some(1),
            (false, false) => None,
        }
    }

    pub fn has_recession(&self) -> bool {
        self.recession_whole_mm.is_some_and(|mm| mm > 0)
            || self.recession_mm.iter().flatten().any(|mm| *mm > 0)
    }

    pub fn deepest_recession_mm(&self) -> Option<u8> {
        self.recession_mm
            .iter()
            .flatten()
            .copied()
            .chain(self.recession_whole_mm)
            .max()
    }

    /// No other disease is charted beside that of gum and support: no fracture, open pulp, resorption, disease at the
    /// root tip, fistula, caries, dead or retained root, and nothing that grows.
    pub fn is_periodontal_only(&self) -> bool {
        let is_other = |kind: &Kind| {
            matches!(
                kind,
                Kind::Fracture
                    | Kind::PulpExposed
                    | Kind::ResorptionStage
                    | Kind::ResorptionType
                    | Kind::PeriapicalLesion
                    | Kind::LigamentWide
                    | Kind::Ankylosis
                    | Kind::RootResorption
                    | Kind::RootFracture
                    | Kind::PulpWidth
                    | Kind::Cyst
                    | Kind::BoneLysis
                    | Kind::JawFracture
                    | Kind::OronasalFistula
                    | Kind::Caries
                    | Kind::Discoloured
                    | Kind::RootRetained
                    | Kind::Mass
                    | Kind::Ulcer
                    | Kind::Swelling
                    | Kind::NearExposure
                    | Kind::BoneExpansion
                    | Kind::Extrusion
                    | Kind::Luxation
                    | Kind::Avulsion
            )
        };
        !self.kinds.iter().any(is_other) && self.vitality.as_deref() != Some("non_vital")
    }

    pub fn has_periodontal_sign(&self) -> bool {
        self.is_deep()
            || self.worst_loss().is_some_and(|loss| loss.at_most_mm > 0)
            || self.furcation.is_some()
            || self.film_percent.is_some_and(|percent| percent > 0)
            || self.mobility.is_some_and(|grade| grade > 0)
    }

    /// By the fracture's class [VK-34] or by its own word; None where a root fracture leaves it open.
    pub fn is_pulp_exposed(&self) -> Option<bool> {
        if self.kinds.contains(&Kind::PulpExposed) {
            return Some(true);
        }
        match self.fracture.as_deref() {
            Some("CCF" | "CCRF") => Some(true),
            Some("RF") => None,
            _ => Some(false),
        }
    }

    /// Whether the gum was found inflamed; None where nobody said.
    pub fn is_inflamed(&self) -> Option<bool> {
        if self.has_bleeding {
            return Some(true);
        }
        match self.gingivitis {
            Some(grade) => Some(grade > 0),
            None => self.kinds.contains(&Kind::Normal).then_some(false),
        }
    }

    /// Nothing abnormal is charted: no finding at all, or only values within normal.
    pub fn is_finding_free(&self) -> bool {
        let is_plain = |kind: &Kind| {
            matches!(
                kind,
                Kind::Normal
                    | Kind::Depth
                    | Kind::RootLength
                    | Kind::Mobility
                    | Kind::Plaque
                    | Kind::Calculus
                    | Kind::Gingivitis
                    | Kind::Recession
                    | Kind::FilmClear
                    | Kind::BoneLoss
                    | Kind::BoneLossHorizontal
                    | Kind::BoneLossVertical
            )
        };
        let is_vital = |kind: &Kind| match kind {
            Kind::Vitality => self.vitality.as_deref() == Some("vital"),
            Kind::Transillumination => self.transillumination.as_deref() == Some("bright"),
            _ => false,
        };
        self.kinds
            .iter()
            .all(|kind| is_plain(kind) || is_vital(kind))
            && !self.has_periodontal_sign()
            && self.plaque.unwrap_or(0) == 0
            && self.calculus.unwrap_or(0) == 0
            && self.gingivitis.unwrap_or(0) == 0
    }

    /// `probe_error_mm`: how far a reading may be off.
    pub fn stage_input(&self, probe_error_mm: u8) -> StageInput {
        let loss = self.worst_loss().unwrap_or(Loss {
            at_least_mm: 0,
            at_most_mm: 0,
        });
        StageInput {
            sites_read: self.sites_read(),
            loss_at_least_mm: loss.at_least_mm,
            loss_at_most_mm: loss.at_most_mm,
            probe_error_mm,
            root_length_mm: self.root_length_mm,
            film_percent: self.film_percent,
            furcation: self.furcation,
            is_inflamed: self.is_inflamed(),
        }
    }
}

fn successor_erupted(record: &Record, tooth: ToothNumber) -> Option<bool> {
    let successor = tooth.successor()?;
    let mut kinds = record
        .findings_of(successor)
        .map(|(finding, _)| finding.kind)
        .peekable();
    kinds.peek()?;
    Some(kinds.all(|kind| !matches!(kind, Kind::Absent | Kind::Unerupted)))
}
