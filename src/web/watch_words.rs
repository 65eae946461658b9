//! The words of the anaesthetic record for the page: signs, steps, emergencies, and the shelf with its strengths.

use serde::Serialize;

use super::words::{Choice, choices};
use crate::terms::Species;
use crate::terms::drug::{Route, Shelf, ShelfDrug, range_text, strength_text};
use crate::terms::vital::{VitalMethod, VitalSign};
use crate::terms::watch::{CourseStep, Crisis, Role};

#[derive(Serialize)]
pub(super) struct WatchWords {
    signs: Vec<SignOut>,
    /// Of a pressure.
    methods: Vec<Choice>,
    /// Steps with nothing beside them.
    steps: Vec<Choice>,
    asa: Vec<Choice>,
    crises: Vec<Choice>,
    routes: Vec<Choice>,
    roles: Vec<Choice>,
    shelf: Vec<ShelfOut>,
    syringe_ml_max: f64,
}

#[derive(Serialize)]
struct SignOut {
    #[serde(flatten)]
    choice: Choice,
    unit: &'static str,
    /// Has parts instead of one number.
    has_parts: bool,
    /// Empty where it is a number.
    values: Vec<&'static str>,
}

/// A drug with what the clinic has of it. Ranges are for checking, and recommend nothing.
#[derive(Serialize)]
struct ShelfOut {
    name: String,
    strengths: Vec<StrengthOut>,
    is_controlled: bool,
    published_dog: Option<String>,
    published_cat: Option<String>,
}

#[derive(Serialize)]
struct StrengthOut {
    mg_per_ml: f64,
    words: String,
}

pub(super) fn words(shelf: &Shelf) -> WatchWords {
    WatchWords {
        signs: VitalSign::ALL
            .into_iter()
            .map(|sign| SignOut {
                choice: Choice {
                    key: crate::terms::key(&sign).into(),
                    words: sign.title().to_owned(),
                },
                unit: sign.unit(),
                has_parts: sign == VitalSign::Pressure,
                values: sign.words().to_vec(),
            })
            .collect(),
        methods: choices(
            [
                VitalMethod::Oscillometric,
                VitalMethod::Doppler,
                VitalMethod::Direct,
            ],
            |method| method.word().to_owned(),
        ),
        steps: choices(
            [
                CourseStep::Premedicated,
                CourseStep::Induced,
                CourseStep::CuffChecked,
                CourseStep::Turned,
                CourseStep::VaporiserOff,
                CourseStep::Swallowing,
                CourseStep::Extubated,
                CourseStep::HeadUp,
                CourseStep::Sternal,
                CourseStep::Standing,
                CourseStep::HandedOver,
            ],
            |step| step.text(),
        ),
        asa: choices(1..=5_u8, |class| {
            let emergency = false;
            let class = *class;
            CourseStep::Asa(crate::terms::watch::AsaStatus { class, emergency }).text()
        }),
        crises: choices(
            [
                Crisis::NoPulse,
                Crisis::NotBreathing,
                Crisis::CardiacArrest,
                Crisis::ResuscitationStarted,
                Crisis::PulseBack,
            ],
            |crisis| crisis.text().to_owned(),
        ),
        routes: choices(
            [
                Route::Intravenous,
                Route::Intramuscular,
                Route::Subcutaneous,
                Route::Oral,
                Route::Infiltration,
                Route::Topical,
            ],
            |route| route.word().to_owned(),
        ),
        roles: choices([Role::Vet, Role::Nurse], |role| role.word().to_owned()),
        shelf: shelf.all().iter().map(drug).collect(),
        syringe_ml_max: f64::from(shelf.syringe_ul_max) / 1000.0,
    }
}

fn drug(drug: &ShelfDrug) -> ShelfOut {
    let published = |species| {
        drug.range_ug_per_kg(species, None)
            .map(|(from, to)| range_text(from, to))
    };
    ShelfOut {
        name: drug.name.clone(),
        strengths: drug
            .strengths_mg_per_ml
            .iter()
            .zip(drug.strengths_ug_per_ml())
            .map(|(mg_per_ml, ug)| StrengthOut {
                mg_per_ml: *mg_per_ml,
                words: strength_text(ug),
            })
            .collect(),
        is_controlled: drug.controlled,
        published_dog: published(Species::Dog),
        published_cat: published(Species::Cat),
    }
}
