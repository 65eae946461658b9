//! The owner's sheet: two pages at most, in plain words. Tells what was done, what comes next and, by `discharge`, what
//! to do at home.
//!
//! Invariant: only confirmed entries are told; what is unconfirmed is said to be open, without its content.

use std::collections::BTreeMap;

use jiff::tz::TimeZone;

use super::clinical::{day, foot};
use super::content::{Block, Report};
use super::discharge::{self, Home};
use super::picture::{self, Colours, View};
use crate::record::{Charted, Record, Standing, lesion, surgery};
use crate::session::read_back::area_words;
use crate::terms::mouth::{MouthChoice, span};
use crate::terms::procedure::Treatment;
use crate::terms::{
    Decision, Jaw, Kind, MouthSide, Place, Procedure, Subject, ToothNumber, dentition,
};

/// "upper left big cheek tooth (208)".
pub fn plain_name(tooth: ToothNumber) -> String {
    use picture::arch::{Class, class};
    let jaw = match tooth.jaw() {
        Jaw::Upper => "upper",
        Jaw::Lower => "lower",
    };
    let side = match tooth.mouth_side() {
        MouthSide::Right => "right",
        MouthSide::Left => "left",
    };
    let kind = match class(tooth) {
        Class::Incisor => "front tooth",
        Class::Canine => "fang",
        Class::Carnassial => "big cheek tooth",
        Class::Premolar | Class::Molar => "cheek tooth",
    };
    let baby = if tooth.is_deciduous() { "baby " } else { "" };
    format!("{jaw} {side} {baby}{kind} ({tooth})")
}

/// "one tooth", "two teeth", "13 teeth".
fn teeth(count: usize) -> String {
    const WORDS: [&str; 11] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    ];
    let number = WORDS
        .get(count)
        .map_or_else(|| count.to_string(), ToString::to_string);
    format!("{number} {}", if count == 1 { "tooth" } else { "teeth" })
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn treatment(treatment: Treatment) -> &'static str {
    match treatment {
        Treatment::Unspecified => "treated",
        Treatment::RootPlaningClosed | Treatment::RootPlaningOpen => {
            "root cleaned below the gum line"
        }
        Treatment::RootCanal => "root canal treatment",
        Treatment::VitalPulpTherapy => "treatment to keep the tooth's nerve alive",
        Treatment::Restoration => "filling",
        Treatment::CrownAmputation => "crown taken off, roots left to dissolve",
        Treatment::GumSurgery => "gum surgery",
        Treatment::Refer => "to be seen by a dental specialist",
        Treatment::FistulaRepair => "hole to the nose closed",
        Treatment::FistulaRepairDouble => "hole to the nose closed in two layers",
        Treatment::Alveoloplasty => "bone edge smoothed",
        Treatment::BoneGraft => "bone filled up",
        Treatment::Membrane => "a cover laid under the gum to help healing",
        Treatment::Sealant => "surface sealed",
        Treatment::Odontoplasty => "edge of the tooth smoothed",
        Treatment::InterceptiveExtraction => "baby tooth taken out to make room",
        Treatment::Operculectomy => "gum over the new tooth opened",
        Treatment::CrownReduction => "tooth shortened",
    }
}

fn sure(charted: &Charted) -> bool {
    charted.standing == Standing::Confirmed
}

pub fn report(record: &Record, zone: &TimeZone, home: &Home) -> Report {
    let name = &record.patient.name;
    let mut blocks = Vec::new();
    let looked_at = dentition::teeth(record.patient.species, crate::terms::Stage::Permanent)
        .into_iter()
        .filter(|tooth| {
            record.findings_of(*tooth).next().is_some()
                && record
                    .finding(Subject::Tooth(*tooth), Kind::Absent, Place::Whole)
                    .is_none()
        })
        .count();
    blocks.push(Block::Paragraph(format!(
        "On {} we examined {name}'s mouth and looked at {} one by one.",
        day(record.opened_at, zone),
        teeth(looked_at)
    )));
    let svg = picture::mouth_svg(
        record,
        &picture::Options {
            view: View::Plain,
            colours: Colours::Paper,
            id_prefix: "owner".into(),
            ..picture::Options::default()
        },
    );
    blocks.push(Block::Picture {
        svg,
        caption: format!("{name}'s teeth seen from above, the nose at the top"),
    });
    blocks.extend(done(record));
    blocks.extend(next(record, zone));
    blocks.extend(discharge::blocks(record, zone, home));
    let mut warnings = discharge::lacking(record, home);
    let open = record.unconfirmed().count();
    if open > 0 {
        warnings.push(format!(
            "NOT READY: {open} {} not checked by the practice yet, and not told here. Ask before you rely on this sheet.",
            if open == 1 { "entry is" } else { "entries are" }
        ));
    }
    if record.patient.invented {
        warnings.push("Invented data for demonstration: no such animal, owner or clinic.".into());
    }
    Report {
        title: format!("{name}'s teeth"),
        subtitle: format!("For the owner, {}", day(record.opened_at, zone)),
        warnings,
        blocks,
        foot: foot(record),
    }
}

fn done(record: &Record) -> Vec<Block> {
    let mut items = Vec::new();
    let confirmed: Vec<&Procedure> = record
        .procedures()
        .filter(|(_, charted)| sure(charted))
        .map(|(procedure, _)| procedure)
        .collect();
    let cleaned = confirmed.iter().any(|p| matches!(p, Procedure::Scaled));
    let polished = confirmed.iter().any(|p| matches!(p, Procedure::Polished));
    match (cleaned, polished) {
        (true, true) => items.push("The teeth were cleaned and polished.".to_owned()),
        (true, false) => items.push("The teeth were cleaned.".to_owned()),
        (false, true) => items.push("The teeth were polished.".to_owned()),
        (false, false) => {}
    }
    let out: Vec<String> = confirmed
        .iter()
        .filter_map(|procedure| match procedure {
            Procedure::Extracted { tooth, .. } => Some(plain_name(*tooth)),
            _ => None,
        })
        .collect();
    if !out.is_empty() {
        items.push(format!(
            "{} {} taken out: {}.",
            capital(&teeth(out.len())),
            if out.len() == 1 { "was" } else { "were" },
            out.join(", ")
        ));
    }
    for procedure in &confirmed {
        match procedure {
            Procedure::Treated {
                tooth,
                treatment: how,
            } => items.push(format!(
                "{}: {}.",
                capital(&plain_name(*tooth)),
                treatment(*how)
            )),
            Procedure::CrownRemoved { tooth } => items.push(format!(
                "{}: {}.",
                capital(&plain_name(*tooth)),
                treatment(Treatment::CrownAmputation)
            )),
            Procedure::GumSurgery { tooth } => {
                items.push(format!("{}: gum surgery.", capital(&plain_name(*tooth))));
            }
            Procedure::RootLeft { tooth, .. } => items.push(format!(
                "{}: a piece of root was left in place; ask your vet about it.",
                capital(&plain_name(*tooth))
            )),
            Procedure::SampleTaken { tooth, area, .. } => items.push(format!(
                "A sample was taken {} for the laboratory.",
                match area {
                    Some((area, side)) => format!("from the {}", area_words(*area, *side)),
                    None => tooth.map_or_else(String::new, |tooth| format!(
                        "beside the {}",
                        plain_name(tooth)
                    )),
                }
            )),
            Procedure::FilmTaken { .. } => {
                let line = "X-ray pictures of teeth were taken.".to_owned();
                if !items.contains(&line) {
                    items.push(line);
                }
            }
            _ => {}
        }
    }
    for (finding, _) in record.findings().filter(|(_, charted)| sure(charted)) {
        if let (Kind::RootRetained, Subject::Tooth(tooth)) = (finding.kind, finding.subject) {
            items.push(format!(
                "{}: a piece of root is in the jaw; ask your vet about it.",
                capital(&plain_name(tooth))
            ));
        }
    }
    if items.is_empty() {
        items.push("Nothing is recorded as done to the teeth yet.".into());
    }
    vec![Block::Heading("What was done".into()), Block::List(items)]
}

/// Lumps and sores: what they are is not known by looking, so the owner hears of them and asks.
fn looked_into(record: &Record) -> Vec<String> {
    record
        .findings()
        .filter(|(_, charted)| sure(charted))
        .filter_map(|(finding, _)| {
            let what = match finding.kind {
                Kind::Mass => "A lump",
                Kind::Ulcer => "A sore",
                Kind::Swelling => "A swelling",
                _ => return None,
            };
            let place = match (finding.subject, finding.place) {
                (Subject::Tooth(tooth), _) => format!("at the {}", plain_name(tooth)),
                (Subject::Mouth, Place::Area(area, side)) => {
                    format!("at the {}", area_words(area, side))
                }
                (Subject::Mouth, _) => "in the mouth".to_owned(),
            };
            Some(format!(
                "{what} was found {place}. Ask your vet whether a sample is or was taken, when the result is due, and when it is looked at again."
            ))
        })
        .collect()
}

/// What is decided for the mouth or a part of it.
fn for_the_mouth(record: &Record) -> Vec<String> {
    record
        .mouth_decisions()
        .filter(|(_, charted)| sure(charted))
        .filter(|(what, _)| !lesion::is_sampled(record, what))
        .filter_map(|(what, _)| {
            let place = what
                .part
                .map_or_else(|| "mouth".to_owned(), |(area, side)| area_words(area, side));
            Some(match what.choice {
                MouthChoice::Sample => format!("A sample from the {place} is planned."),
                MouthChoice::Remove => {
                    format!("An operation at the {place} is planned.")
                }
                MouthChoice::Medicine => format!("The {place} is treated with medicine."),
                MouthChoice::Refer => {
                    format!("A specialist is to look at the {place}.")
                }
                MouthChoice::Monitor { days } => {
                    format!("The {place} is to be looked at again in {}.", span(days))
                }
                MouthChoice::Leave => return None,
            })
        })
        .collect()
}

/// What waits for a second visit, and when that is.
fn put_off(record: &Record) -> Vec<String> {
    let teeth: Vec<String> = surgery::later(record)
        .into_iter()
        .filter(|(_, charted)| sure(charted))
        .map(|(tooth, _)| plain_name(tooth))
        .collect();
    let day = surgery::second_visit(record).filter(|(_, charted)| sure(charted));
    let on = day.map_or_else(
        || "; ask for the day".to_owned(),
        |(day, _)| format!(" on {}", day.strftime("%-d %B %Y")),
    );
    match teeth.as_slice() {
        [] if day.is_none() => Vec::new(),
        [] => vec![format!("There is to be a second visit{on}.")],
        teeth => vec![format!(
            "Left for a second visit{on}: {}.",
            teeth.join(", ")
        )],
    }
}

fn next(record: &Record, zone: &TimeZone) -> Vec<Block> {
    // What was done is not still to be done, also where nobody has confirmed its entry.
    let fulfilled = |tooth: ToothNumber, decision: &Decision| {
        record.procedures().any(|(procedure, _)| {
            procedure.tooth() == Some(tooth)
                && match decision {
                    Decision::Extract => matches!(procedure, Procedure::Extracted { .. }),
                    Decision::Treat(_) => matches!(
                        procedure,
                        Procedure::Treated { .. }
                            | Procedure::CrownRemoved { .. }
                            | Procedure::GumSurgery { .. }
                    ),
                    Decision::Monitor { .. } | Decision::Leave => false,
                }
        })
    };
    let later: Vec<ToothNumber> = surgery::later(record)
        .into_iter()
        .map(|(tooth, _)| tooth)
        .collect();
    let mut items = looked_into(record);
    items.extend(for_the_mouth(record));
    items.extend(put_off(record));
    let mut watched: BTreeMap<Option<u8>, Vec<String>> = BTreeMap::new();
    for (tooth, decision, _, charted) in record.decisions() {
        let is_put_off = later.contains(&tooth);
        if !sure(charted) || is_put_off || fulfilled(tooth, decision) {
            continue;
        }
        match decision {
            Decision::Extract => {
                items.push(format!(
                    "{} is to be taken out.",
                    capital(&plain_name(tooth))
                ));
            }
            Decision::Treat(how) => {
                items.push(format!(
                    "{}: {} is planned.",
                    capital(&plain_name(tooth)),
                    treatment(*how)
                ));
            }
            Decision::Monitor { months } => {
                watched.entry(*months).or_default().push(plain_name(tooth));
            }
            Decision::Leave => {}
        }
    }
    for (months, names) in watched {
        let names = names.join(", ");
        items.push(match months {
            None => format!("To be looked at again: {names}. Ask when."),
            Some(months) => {
                let date = record
                    .opened_at
                    .to_zoned_datetime(zone.clone())
                    .date()
                    .saturating_add(jiff::Span::new().months(i64::from(months)));
                format!(
                    "To be looked at again in {months} {}, about {}: {names}.",
                    if months == 1 { "month" } else { "months" },
                    date.strftime("%B %Y")
                )
            }
        });
    }
    if items.is_empty() {
        return Vec::new();
    }
    vec![Block::Heading("What comes next".into()), Block::List(items)]
}
