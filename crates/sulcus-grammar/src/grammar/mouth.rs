//! From the words of the mouth to intents: signs of a living or dying pulp, force, how a lesion looks, decisions for the
//! mouth and for groups of teeth, kinds of flap, batches, and what is left for a second visit.

use super::intent::{Intent, ToothWork, Trait};
use super::meaning::{Slots, named, scope};
use crate::terms::mouth::{MouthChoice, MouthDecision};
use crate::terms::procedure::Treatment;
use crate::terms::{Area, Decision, Kind, MouthSide, Procedure, Reason, Species, Value};

/// Names of intents that the grammar files may use, beside those of `meaning` and `dental`.
pub(super) const NAMES: &[&str] = &[
    "tooth_sign",
    "jaw_luxated",
    "lesion",
    "mouth_decision",
    "mouth_monitor",
    "group_decision",
    "flap_raised",
    "implant_batch",
    "close_and_stage",
    "staged",
    "second_visit",
];

/// Slots whose value is a word of the kind that they name.
const CODED: [(&str, Kind); 7] = [
    ("lesion_shape", Kind::LesionShape),
    ("lesion_surface", Kind::LesionSurface),
    ("lesion_colour", Kind::LesionColour),
    ("lesion_feel", Kind::LesionFeel),
    ("lesion_hold", Kind::LesionHold),
    ("lesion_part", Kind::LesionPart),
    ("jaw_luxated", Kind::JawLuxated),
];

fn coded(slots: &Slots<'_>) -> impl Iterator<Item = (Kind, Value)> {
    slots.0.captures.iter().filter_map(|capture| {
        let (_, kind) = CODED.iter().find(|(slot, _)| *slot == capture.slot)?;
        Some((*kind, Value::Code(capture.value.clone())))
    })
}

/// The intents of a clause; none where it makes no value.
pub(super) fn of_clause(slots: &Slots<'_>, species: Species) -> Option<Vec<Intent>> {
    let reason = || slots.named::<Reason>("reason");
    let part = slots
        .named::<Area>("area")
        .map(|area| (area, slots.named::<MouthSide>("mouth_side")));
    Some(vec![match slots.0.intent.as_str() {
        "tooth_sign" => Intent::RecordForTooth {
            kind: named(slots.one("tooth_sign")?)?,
            value: Value::Mm(slots.number("size_mm")?),
        },
        "jaw_luxated" => {
            let (kind, value) = coded(slots).next()?;
            Intent::RecordForMouth {
                kind,
                area: None,
                value,
            }
        }
        "lesion" => Intent::DescribeLesion(traits(slots)?),
        "mouth_decision" => Intent::DecideMouth(MouthDecision {
            part,
            choice: named::<MouthChoice>(slots.one("mouth_choice")?)?,
            reason: reason(),
        }),
        "mouth_monitor" => Intent::DecideMouth(MouthDecision {
            part,
            choice: MouthChoice::Monitor {
                days: slots.one("weeks")?.parse().ok()?,
            },
            reason: reason(),
        }),
        "group_decision" => Intent::DecideGroup {
            scope: scope(slots, species)?,
            decision: match slots.one("group_choice")? {
                "extract" => Decision::Extract,
                "leave" => Decision::Leave,
                "monitor" => Decision::Monitor { months: None },
                "refer" => Decision::Treat(Treatment::Refer),
                _ => return None,
            },
            reason: reason(),
        },
        "flap_raised" => Intent::DoToTooth(ToothWork::Flap(Some(slots.named("flap_kind")?))),
        "implant_batch" => Intent::ImplantBatch {
            what: slots.named("implant")?,
            batch: slots.all("digit").collect(),
        },
        "staged" => Intent::DoToTooth(ToothWork::Staged {
            is_later: slots.one("staged")? == "later",
        }),
        "close_and_stage" => Intent::CloseAndStage,
        "second_visit" => Intent::Do(Procedure::SecondVisit {
            days: slots.one("weeks")?.parse().ok()?,
        }),
        _ => return None,
    }])
}

/// In the order said.
fn traits(slots: &Slots<'_>) -> Option<Vec<Trait>> {
    let sizes = slots
        .all("size_mm")
        .zip([None, Some(Kind::LesionWidth), Some(Kind::LesionHeight)]);
    let mut traits = Vec::new();
    for (mm, kind) in sizes {
        let value = Value::Mm(mm.parse().ok()?);
        traits.push(Trait { kind, value });
    }
    for (kind, value) in coded(slots) {
        let said = Trait {
            kind: Some(kind),
            value,
        };
        if !traits.contains(&said) {
            traits.push(said);
        }
    }
    (!traits.is_empty()).then_some(traits)
}
