//! After the work: the owner's sheet in plain words, when to come again, and what to compare next time.
//! Prescribes nothing: pain relief is "as prescribed".

use jiff::civil::Date;
use jiff::{Span, ToSpan};
use serde::Serialize;

use super::films::FilmPlan;
use super::rules::{Aftermath, Cited, rules};
use super::stage::PeriodontalStage;
use super::tooth::ToothPlan;
use crate::record::{Record, surgery};
use crate::terms::procedure::Treatment;
use crate::terms::{Decision, Kind, Procedure, Species, ToothNumber};

/// Key of the rule by which the result of a sample is due.
pub const RESULT_DUE: &str = "sample_result";

/// One reason to come again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Recheck {
    /// None where it may be at once.
    pub from: Option<Date>,
    pub until: Date,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub teeth: Vec<ToothNumber>,
    pub what: String,
    #[serde(flatten)]
    pub cited: Cited,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Afterwards {
    /// For the owner.
    pub home_care: Vec<Cited>,
    /// For the owner: what was done to which tooth, in plain words.
    pub done: Vec<String>,
    /// Soonest first.
    pub rechecks: Vec<Recheck>,
    /// Teeth to compare at the next visit.
    pub compare_next: Vec<ToothNumber>,
}

pub fn plan(record: &Record, teeth: &[ToothPlan], films: &FilmPlan, date: Date) -> Afterwards {
    Afterwards {
        home_care: home_care(record, teeth, films),
        done: done(record),
        rechecks: rechecks(record, teeth, date),
        compare_next: teeth
            .iter()
            .filter(|tooth| {
                tooth.is_there
                    && !super::work::is_done(record, tooth.tooth, "extract")
                    && tooth
                        .decision
                        .as_ref()
                        .is_some_and(|d| d.decision != "extract" && d.decision != "leave")
            })
            .map(|tooth| tooth.tooth)
            .collect(),
    }
}

fn home_care(record: &Record, teeth: &[ToothPlan], films: &FilmPlan) -> Vec<Cited> {
    let did =
        |test: fn(&Procedure) -> bool| record.procedures().any(|(procedure, _)| test(procedure));
    let decided = |word: &str| {
        teeth
            .iter()
            .any(|tooth| tooth.decision.as_ref().is_some_and(|d| d.decision == word))
    };
    let wounds = did(|p| {
        matches!(
            p,
            Procedure::Extracted { .. }
                | Procedure::CrownRemoved { .. }
                | Procedure::Flap { .. }
                | Procedure::GumSurgery { .. }
        )
    }) || decided("extract")
        || decided("crown_amputation");
    let treated = |wanted: &[Treatment]| {
        record.procedures().any(|(procedure, _)| {
            matches!(procedure, Procedure::Treated { treatment, .. } if wanted.contains(treatment))
        })
    };
    let applies = |purpose: &str| match purpose {
        "always" => true,
        "root_treated" => treated(&[Treatment::RootCanal, Treatment::VitalPulpTherapy]),
        "filled" => treated(&[
            Treatment::Restoration,
            Treatment::Sealant,
            Treatment::Odontoplasty,
            Treatment::CrownReduction,
        ]),
        "nose_closed" => treated(&[Treatment::FistulaRepair, Treatment::FistulaRepairDouble]),
        "grafted" => treated(&[Treatment::BoneGraft, Treatment::Membrane]),
        "gum_cut" => {
            did(|p| matches!(p, Procedure::GumSurgery { .. }))
                || treated(&[Treatment::GumSurgery, Treatment::Operculectomy])
        }
        "extract" => wounds,
        "numb" => did(|p| matches!(p, Procedure::NerveBlock { .. })),
        "monitor" => decided("monitor"),
        "root_left" => did(|p| {
            matches!(
                p,
                Procedure::RootLeft { .. } | Procedure::CrownRemoved { .. }
            )
        }),
        "no_films" => !films.full_mouth_taken && !did(|p| matches!(p, Procedure::FilmTaken { .. })),
        _ => false,
    };
    let mut lines: Vec<Cited> = rules()
        .home_lines
        .iter()
        .filter(|line| applies(&line.purpose))
        .map(|line| Cited::new(&line.key, line.text.clone(), &line.sources))
        .collect();
    // Once for each kind of complication, wherever it was.
    for mishap in surgery::mishaps(record) {
        if let Some(rule) = aftermath(&mishap)
            && !lines.iter().any(|line| line.rule == rule.key)
        {
            lines.push(Cited::new(&rule.key, rule.owner.clone(), &rule.sources));
        }
    }
    lines
}

fn aftermath(mishap: &surgery::Mishap<'_>) -> Option<&'static Aftermath> {
    rules()
        .complications
        .iter()
        .find(|rule| rule.what == mishap.key)
}

/// When complications are looked at again, and when results are due.
fn of_surgery(record: &Record, date: Date) -> Vec<Recheck> {
    let of_mishaps = surgery::mishaps(record).into_iter().filter_map(|mishap| {
        let rule = aftermath(&mishap)?;
        Some(Recheck {
            from: rule
                .from_days
                .map(|days| later(date, i64::from(days).days())),
            until: later(date, i64::from(rule.days?).days()),
            teeth: mishap.tooth.into_iter().collect(),
            what: rule.text.clone(),
            cited: Cited::new(&rule.key, rule.text.clone(), &rule.sources),
        })
    });
    let of_samples = surgery::samples(record).into_iter().filter_map(|sample| {
        sample.result.is_none().then_some(())?;
        Some(Recheck {
            from: None,
            until: sample.due()?,
            teeth: Vec::new(),
            what: format!(
                "result of the sample in pot {} ({}): who calls the owner?",
                sample.pot, sample.place
            ),
            cited: rules().cite(RESULT_DUE),
        })
    });
    of_mishaps.chain(of_samples).collect()
}

/// What was done, told for the owner.
fn done(record: &Record) -> Vec<String> {
    let plain = super::words::plain_tooth;
    record
        .procedures()
        .filter_map(|(procedure, _)| match procedure {
            Procedure::Scaled => Some("The teeth were cleaned above and below the gum.".to_owned()),
            Procedure::Polished => Some("The teeth were polished.".to_owned()),
            Procedure::Extracted { tooth, .. } => Some(format!("Taken out: {}.", plain(*tooth))),
            Procedure::CrownRemoved { tooth } => Some(format!(
                "Crown taken off, root left on purpose: {}.",
                plain(*tooth)
            )),
            Procedure::RootLeft { tooth, .. } => {
                Some(format!("A piece of root was left: {}.", plain(*tooth)))
            }
            Procedure::GumSurgery { tooth } => Some(format!("Gum operated on: {}.", plain(*tooth))),
            Procedure::Treated { tooth, .. } => Some(format!("Treated: {}.", plain(*tooth))),
            _ => None,
        })
        .collect()
}

/// A day so many months or days later; the visit's own day where the calendar ends.
fn later(date: Date, span: Span) -> Date {
    date.checked_add(span).unwrap_or(date)
}

fn rechecks(record: &Record, teeth: &[ToothPlan], date: Date) -> Vec<Recheck> {
    let rules = rules();
    let mut rechecks = Vec::new();
    let wounds: Vec<ToothNumber> = record
        .procedures()
        .filter_map(|(procedure, _)| match procedure {
            Procedure::Extracted { tooth, .. }
            | Procedure::CrownRemoved { tooth }
            | Procedure::GumSurgery { tooth } => Some(*tooth),
            _ => None,
        })
        .collect();
    let planned: Vec<ToothNumber> = teeth
        .iter()
        .filter(|t| t.decision.as_ref().is_some_and(|d| d.decision == "extract"))
        .map(|t| t.tooth)
        .collect();
    if !wounds.is_empty() || !planned.is_empty() {
        let days = rules.figure("check_after_extraction_days").value;
        rechecks.push(Recheck {
            from: None,
            until: later(date, i64::from(days).days()),
            teeth: if wounds.is_empty() { planned } else { wounds },
            what: "look at the wounds".into(),
            cited: rules.cite("check_after_extraction_days"),
        });
    }
    for (procedure, _) in record.procedures() {
        if let Procedure::Treated {
            tooth,
            treatment: Treatment::RootCanal | Treatment::VitalPulpTherapy,
        } = procedure
            && !matches!(record.decision(*tooth), Some((Decision::Treat(_), ..)))
        {
            let key = "film_after_root_treatment_months";
            rechecks.push(Recheck {
                from: None,
                until: later(date, i64::from(rules.figure(key).value).months()),
                teeth: vec![*tooth],
                what: "film after root or pulp treatment".into(),
                cited: rules.cite(key),
            });
        }
    }
    for (tooth, decision, _, _) in record.decisions() {
        let (months, key, what) = match decision {
            Decision::Monitor {
                months: Some(months),
            } => (
                u32::from(*months),
                "recheck_said",
                "look at the monitored tooth again",
            ),
            Decision::Treat(Treatment::RootCanal | Treatment::VitalPulpTherapy) => {
                let key = "film_after_root_treatment_months";
                (
                    rules.figure(key).value,
                    key,
                    "film after root or pulp treatment",
                )
            }
            _ => continue,
        };
        let cited = rules.cite(key);
        let until = later(date, i64::from(months).months());
        match rechecks
            .iter_mut()
            .find(|r| r.until == until && r.cited.rule == key)
        {
            Some(same) => same.teeth.push(tooth),
            None => rechecks.push(Recheck {
                from: None,
                until,
                teeth: vec![tooth],
                what: what.into(),
                cited,
            }),
        }
    }
    let at_eruption = at_eruption(record, date);
    let is_young = at_eruption.is_some();
    rechecks.extend(at_eruption);
    // "Healthy: within twelve months" is for a grown mouth.
    rechecks.extend(
        by_worst_stage(record, teeth, date)
            .filter(|recheck| !is_young || recheck.cited.rule != "recheck_stage_0"),
    );
    rechecks.extend(of_what_was_left(record, date));
    rechecks.extend(of_surgery(record, date));
    rechecks.extend(super::lesions::rechecks(record, date));
    if let Some((day, _)) = surgery::second_visit(record) {
        rechecks.push(Recheck {
            from: None,
            until: day,
            teeth: surgery::later(record)
                .into_iter()
                .map(|(tooth, _)| tooth)
                .collect(),
            what: "second visit for what was put off".into(),
            cited: rules.cite("second_stage_days"),
        });
    }
    let has_resorption = record
        .findings()
        .any(|(f, _)| matches!(f.kind, Kind::ResorptionStage | Kind::ResorptionType));
    if record.patient.species == Species::Cat && has_resorption {
        let key = "resorption_cat_months";
        rechecks.push(Recheck {
            from: None,
            until: later(date, i64::from(rules.figure(key).value).months()),
            teeth: Vec::new(),
            what: "examine the mouth, films every year".into(),
            cited: rules.cite(key),
        });
    }
    rechecks.sort_by_key(|recheck| recheck.until);
    rechecks
}

/// By the worst stage that is certain among the teeth that stay in the mouth. None where nothing was staged.
/// Where a stage is open upwards the mouth is not told as healthy: nobody said so.
fn by_worst_stage(record: &Record, teeth: &[ToothPlan], date: Date) -> Option<Recheck> {
    let stays = |tooth: &&ToothPlan| {
        tooth
            .decision
            .as_ref()
            .is_none_or(|d| d.decision != "extract")
            && !super::work::is_done(record, tooth.tooth, "extract")
    };
    let stages: Vec<_> = teeth
        .iter()
        .filter(stays)
        .filter_map(|tooth| tooth.stage.as_ref())
        .collect();
    let worst = stages.iter().map(|stage| stage.at_least).max()?;
    let is_open = stages.iter().any(|stage| stage.at_most > worst);
    let (reckoned, what) = if is_open {
        (
            worst.max(PeriodontalStage::Pd1),
            format!(
                "recheck of the whole mouth: worst stage at least {}, not known for every tooth",
                worst.word()
            ),
        )
    } else {
        (
            worst,
            format!("recheck of the whole mouth, worst stage {}", worst.word()),
        )
    };
    let key = format!("recheck_stage_{}", reckoned as u8);
    let figure = rules().figure(&key);
    Some(Recheck {
        from: figure
            .from
            .map(|from| later(date, i64::from(from).months())),
        until: later(date, i64::from(figure.value).months()),
        teeth: Vec::new(),
        what,
        cited: rules().cite(&key),
    })
}

/// A young animal is seen again when all permanent teeth should be in, whatever its mouth.
fn at_eruption(record: &Record, date: Date) -> Option<Recheck> {
    let key = "recheck_eruption_months";
    let age_days = i64::from(record.age_days()?);
    if age_days >= i64::from(crate::terms::eruption::ALL_IN_DAYS) {
        return None;
    }
    let figure = rules().figure(key);
    let born = later(date, (-age_days).days());
    Some(Recheck {
        from: figure
            .from
            .map(|from| later(born, i64::from(from).months())),
        until: later(born, i64::from(figure.value).months()),
        teeth: Vec::new(),
        what: "look whether all permanent teeth are in; films of those missing".into(),
        cited: rules().cite(key),
    })
}

/// Roots that were left, and ulcers or swellings: seen again at a time of their own.
fn of_what_was_left(record: &Record, date: Date) -> Vec<Recheck> {
    let rules = rules();
    let mut rechecks = Vec::new();
    let roots: Vec<ToothNumber> = record
        .procedures()
        .filter_map(|(procedure, _)| match procedure {
            Procedure::RootLeft { tooth, .. } => Some(*tooth),
            _ => None,
        })
        .collect();
    if !roots.is_empty() {
        let key = "film_after_root_left_months";
        let figure = rules.figure(key);
        rechecks.push(Recheck {
            from: figure
                .from
                .map(|from| later(date, i64::from(from).months())),
            until: later(date, i64::from(figure.value).months()),
            teeth: roots,
            what: "film of the root that was left".into(),
            cited: rules.cite(key),
        });
    }
    let has_wound = record
        .findings()
        .any(|(f, _)| matches!(f.kind, Kind::Ulcer | Kind::Swelling));
    if has_wound {
        let key = "ulcer_again_days";
        let days = rules.figure(key).value;
        rechecks.push(Recheck {
            from: None,
            until: later(date, i64::from(days).days()),
            teeth: Vec::new(),
            what: "look at the ulcer or swelling; a sample if it has not healed".into(),
            cited: rules.cite(key),
        });
    }
    rechecks
}
