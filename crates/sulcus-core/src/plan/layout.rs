//! What to lay out for the work that is planned, and what of it the shelf lacks or wants sharpened or sterilised.
//! Orders nothing and counts no stock.

use std::collections::BTreeSet;

use jiff::civil::Date;
use serde::Serialize;

use super::condition::decision_key;
use super::rules::{Cited, Item, RootSize, RootSizeRule, rules};
use super::settings::{Settings, ShelfItem};
use super::tooth::ToothPlan;
use super::work::{WorkKind, WorkStep, outstanding};
use crate::record::Record;
use crate::terms::mouth::MouthChoice;
use crate::terms::{Decision, Patient, Procedure, ToothNumber, dentition};

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LayOutItem {
    pub item: String,
    #[serde(flatten)]
    pub cited: Cited,
    /// Teeth that ask for it; empty where all do.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub teeth: Vec<ToothNumber>,
    /// At hand, not needed.
    pub is_in_case: bool,
    /// Why this size.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// What the shelf says; empty where nothing is to be told or no shelf is given.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub shelf: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LayOut {
    /// In the order in which they are asked for; after what is needed what lies at hand in case.
    pub items: Vec<LayOutItem>,
    /// What is said of those in case.
    pub in_case: Cited,
    /// What is done with them after use.
    pub care: Vec<Cited>,
    /// Keys that the shelf lacks.
    pub missing: Vec<String>,
    /// Shelf entries that no rule asks for: perhaps a slip in the key.
    pub unknown_on_shelf: Vec<String>,
    pub is_shelf_known: bool,
}

/// Class of the roots of a tooth, by the first row that fits.
pub fn root_size(patient: &Patient, tooth: ToothNumber) -> RootSize {
    size_rule(patient, tooth).map_or(RootSize::Medium, |row| row.size)
}

fn size_rule(patient: &Patient, tooth: ToothNumber) -> Option<&'static RootSizeRule> {
    let kg = patient.weight.map(|weight| weight.kg());
    rules().root_sizes.iter().find(|row| {
        row.species == patient.species
            && (!row.is_deciduous || tooth.is_deciduous())
            && (row.positions.is_empty() || row.positions.contains(&tooth.position()))
            && row
                .weight_kg_max
                .is_none_or(|max| kg.is_some_and(|kg| kg <= max))
            && row
                .weight_kg_min
                .is_none_or(|min| kg.is_some_and(|kg| kg >= min))
    })
}

/// A purpose of the item list, with the teeth behind it.
struct Need {
    purpose: &'static str,
    tooth: Option<ToothNumber>,
}

fn tooth_needs(needs: &mut Vec<Need>, decision: &str, tooth: ToothNumber, roots: u8) {
    let purposes: &[&'static str] = match decision {
        "extract" if roots > 1 => &["extract", "extract_multi", "close"],
        "extract" => &["extract", "close"],
        "interceptive_extraction" => &["extract", "close"],
        "fistula_repair" | "fistula_repair_double" | "operculectomy" => &["plane_open", "close"],
        "bone_graft" | "membrane" => &["plane_open", "graft", "close"],
        "alveoloplasty" => &["amputate", "close"],
        "sealant" | "odontoplasty" | "crown_reduction" => &["restore"],
        "root_canal" | "vital_pulp_therapy" => &["pulp", "restore"],
        "crown_amputation" => &["amputate", "close"],
        "root_planing_closed" => &["plane"],
        "root_planing_open" => &["plane", "plane_open", "close"],
        "gum_surgery" => &["gum_surgery", "close"],
        "restoration" => &["restore"],
        _ => &[],
    };
    needs.extend(purposes.iter().map(|purpose| Need {
        purpose,
        tooth: Some(tooth),
    }));
}

fn fits(item: &Item, need: &Need, patient: &Patient) -> bool {
    let kg = patient.weight.map(|weight| weight.kg());
    item.purposes.iter().any(|p| p == need.purpose)
        && (item.positions.is_empty()
            || need
                .tooth
                .is_some_and(|tooth| item.positions.contains(&tooth.position())))
        && item.species.is_none_or(|species| species == patient.species)
        // Without a weight both sizes are laid out.
        && item.weight_kg_max.is_none_or(|max| kg.is_none_or(|kg| kg <= max))
        && item.weight_kg_min.is_none_or(|min| kg.is_none_or(|kg| kg >= min))
        && item
            .root_size
            .is_none_or(|size| need.tooth.is_none_or(|tooth| root_size(patient, tooth) == size))
}

pub fn plan(
    record: &Record,
    past: &[Record],
    teeth: &[ToothPlan],
    steps: &[WorkStep],
    settings: &Settings,
) -> LayOut {
    let mut needs = vec![Need {
        purpose: "always",
        tooth: None,
    }];
    for (kind, purpose) in [
        (WorkKind::Scale, "scale"),
        (WorkKind::Polish, "polish"),
        (WorkKind::Film, "film"),
        (WorkKind::Close, "film"),
        (WorkKind::Block, "block"),
    ] {
        if steps.iter().any(|step| step.kind == kind) {
            needs.push(Need {
                purpose,
                tooth: None,
            });
        }
    }
    for tooth in outstanding(record, teeth) {
        if let Some(decision) = &tooth.decision {
            tooth_needs(
                &mut needs,
                &decision.decision,
                tooth.tooth,
                tooth.root_count.unwrap_or(1),
            );
            let is_tiny = matches!(
                root_size(&record.patient, tooth.tooth),
                RootSize::Tiny | RootSize::Small
            );
            let is_parted = tooth.root_count.unwrap_or(1) > 1;
            if decision.decision == "extract" && (is_parted || is_tiny || tooth.fracture.is_some())
            {
                needs.push(Need {
                    purpose: "fragment",
                    tooth: Some(tooth.tooth),
                });
            }
        }
    }
    let is_sampled = record
        .mouth_decisions()
        .any(|(what, _)| what.choice == MouthChoice::Sample);
    if is_sampled {
        needs.push(Need {
            purpose: "sample",
            tooth: None,
        });
    }
    let mut chosen: Vec<&Item> = rules().items.iter().collect();
    chosen.sort_by_key(|item| (item.in_case, item.step));
    let mut items = Vec::new();
    let mut care_keys: BTreeSet<&str> = BTreeSet::new();
    for item in chosen {
        let found: Vec<&Need> = needs
            .iter()
            .filter(|need| fits(item, need, &record.patient))
            .collect();
        if found.is_empty() {
            continue;
        }
        let teeth: BTreeSet<ToothNumber> = found.iter().filter_map(|need| need.tooth).collect();
        care_keys.extend(item.care.as_deref());
        // Of several reasons each once.
        let reasons: BTreeSet<&str> = teeth
            .iter()
            .filter(|_| item.root_size.is_some())
            .filter_map(|tooth| size_rule(&record.patient, *tooth))
            .map(|row| row.why.as_str())
            .collect();
        let reasons: Vec<&str> = reasons.into_iter().collect();
        items.push(LayOutItem {
            item: item.key.clone(),
            cited: Cited::new(&item.key, item.title.clone(), &item.sources),
            teeth: teeth.into_iter().collect(),
            is_in_case: item.in_case,
            why: (!reasons.is_empty()).then(|| reasons.join("; ")),
            shelf: shelf_words(item, past, settings),
        });
    }
    let is_shelf_known = !settings.shelf.is_empty();
    let on_shelf = |key: &str| {
        settings
            .shelf
            .iter()
            .any(|shelf| shelf.item == key && shelf.count > 0)
    };
    if !care_keys.is_empty() {
        care_keys.insert("care_end_of_day");
    }
    LayOut {
        in_case: rules().cite("lay_out_in_case"),
        care: rules()
            .care
            .iter()
            .filter(|care| care_keys.contains(care.key.as_str()))
            .map(|care| Cited::new(&care.key, care.text.clone(), &care.sources))
            .collect(),
        // What lies at hand in case is no want of the shelf.
        missing: items
            .iter()
            .filter(|item| is_shelf_known && !item.is_in_case && !on_shelf(&item.item))
            .map(|item| item.item.clone())
            .collect(),
        unknown_on_shelf: settings
            .shelf
            .iter()
            .filter(|shelf| !rules().items.iter().any(|item| item.key == shelf.item))
            .map(|shelf| shelf.item.clone())
            .collect(),
        is_shelf_known,
        items,
    }
}

fn shelf_words(item: &Item, past: &[Record], settings: &Settings) -> Vec<String> {
    let mut words = Vec::new();
    for shelf in settings.shelf.iter().filter(|shelf| shelf.item == item.key) {
        if shelf.count == 0 {
            words.push("none on the shelf".into());
        }
        if let Some(limit) = shelf.sharpen_after_uses {
            let uses = shelf.uses + uses_since(item, shelf.sharpened, past, settings);
            if uses >= limit {
                words.push(format!("sharpening due: {uses} uses, limit {limit}"));
            }
        }
        if sterilising_is_due(item, shelf, past, settings) {
            words.push("sterilising due: used since".into());
        }
    }
    words
}

fn sterilising_is_due(
    item: &Item,
    shelf: &ShelfItem,
    past: &[Record],
    settings: &Settings,
) -> bool {
    shelf.sterilised.is_some() && uses_since(item, shelf.sterilised, past, settings) > 0
}

/// Past visits on or after the day in which the item was needed for what was done. No day: none counted.
fn uses_since(item: &Item, day: Option<Date>, past: &[Record], settings: &Settings) -> u32 {
    let Some(day) = day else { return 0 };
    let used = past.iter().filter(|visit| {
        super::visit_date(visit, settings) >= day
            && done_needs(visit)
                .iter()
                .any(|need| fits(item, need, &visit.patient))
    });
    u32::try_from(used.count()).unwrap_or(u32::MAX)
}

/// What a past visit needed, from what was done in it.
fn done_needs(visit: &Record) -> Vec<Need> {
    let mut needs = vec![Need {
        purpose: "always",
        tooth: None,
    }];
    let general = |purpose| Need {
        purpose,
        tooth: None,
    };
    for (procedure, _) in visit.procedures() {
        match procedure {
            Procedure::Scaled => needs.push(general("scale")),
            Procedure::Polished => needs.push(general("polish")),
            Procedure::FilmTaken { .. } => needs.push(general("film")),
            Procedure::NerveBlock { .. } => needs.push(general("block")),
            Procedure::Extracted { tooth, .. } => {
                let roots = dentition::roots(visit.patient.species, *tooth).map_or(1, |r| r.count);
                tooth_needs(&mut needs, "extract", *tooth, roots);
            }
            Procedure::CrownRemoved { tooth } => {
                tooth_needs(&mut needs, "crown_amputation", *tooth, 1)
            }
            Procedure::GumSurgery { tooth } => tooth_needs(&mut needs, "gum_surgery", *tooth, 1),
            Procedure::Treated { tooth, treatment } => {
                let decision = decision_key(&Decision::Treat(*treatment));
                tooth_needs(&mut needs, decision, *tooth, 1);
            }
            _ => {}
        }
    }
    needs
}
