//! Complications, samples, consent and tray in the report for the clinic, and the labels of the pots.
//!
//! Invariant: a complication that was taken back is told as such; what nobody told the owner says so.

use jiff::tz::TimeZone;

use super::clinical::{clock, day, doubt, foot, section};
use super::content::{Block, Report, Table};
use crate::record::{Charted, Event, Record, surgery, wording};
use crate::terms::Procedure;

pub(super) fn blocks(record: &Record, zone: &TimeZone) -> Vec<Block> {
    let mut blocks = complications(record, zone);
    blocks.extend(samples(record, zone));
    blocks.extend(put_off(record, zone));
    let others: Vec<String> = record
        .procedures()
        .filter(|(procedure, _)| {
            matches!(
                procedure,
                Procedure::OwnerAsked { .. }
                    | Procedure::TrayUsed { .. }
                    | Procedure::ImplantBatch { .. }
            )
        })
        .map(|(_, charted)| {
            format!(
                "{} {}{}",
                clock(charted.at, zone),
                wording::event(&charted.event),
                doubt(charted)
            )
        })
        .collect();
    if !others.is_empty() {
        blocks.push(Block::Heading("Consent and instruments".into()));
        blocks.push(Block::List(others));
    }
    blocks
}

/// Whether a section of its own tells it.
pub(super) fn is_told_here(procedure: &Procedure) -> bool {
    matches!(
        procedure,
        Procedure::Complication { .. }
            | Procedure::ComplicationTreated { .. }
            | Procedure::OwnerTold { .. }
            | Procedure::OwnerAsked { .. }
            | Procedure::SampleTaken { .. }
            | Procedure::SamplesSent { .. }
            | Procedure::ResultRead { .. }
            | Procedure::TrayUsed { .. }
            | Procedure::ImplantBatch { .. }
            | Procedure::Staged { .. }
            | Procedure::SecondVisit { .. }
    )
}

/// What is left for a second visit, by the vet's word.
fn put_off(record: &Record, zone: &TimeZone) -> Vec<Block> {
    let lines: Vec<String> = surgery::later(record)
        .into_iter()
        .map(|(tooth, charted)| format!("{} {tooth}{}", clock(charted.at, zone), doubt(charted)))
        .chain(surgery::second_visit(record).map(|(day, charted)| {
            format!(
                "{} second visit on {day}{}",
                clock(charted.at, zone),
                doubt(charted)
            )
        }))
        .collect();
    if lines.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Heading("For a second visit".into()),
        Block::List(lines),
    ]
}

fn complications(record: &Record, zone: &TimeZone) -> Vec<Block> {
    let mut rows: Vec<Vec<String>> = surgery::mishaps(record)
        .into_iter()
        .map(|mishap| {
            let done: Vec<String> = mishap
                .remedies
                .iter()
                .map(|(how, charted)| {
                    format!(
                        "{} {}{}",
                        clock(charted.at, zone),
                        how.word(),
                        doubt(charted)
                    )
                })
                .collect();
            let told = mishap.told.map_or_else(
                || "NOT TOLD".to_owned(),
                |told| {
                    let by = told
                        .by
                        .map_or_else(String::new, |by| format!(", by the {}", by.word()));
                    let way = told
                        .way
                        .map_or_else(String::new, |way| format!(" {}", way.word()));
                    format!(
                        "{}{way}{by}{}",
                        clock(told.charted.at, zone),
                        doubt(told.charted)
                    )
                },
            );
            vec![
                clock(mishap.charted.at, zone),
                mishap.tooth.map(|t| t.to_string()).unwrap_or_default(),
                format!("{}{}", mishap.text, doubt(mishap.charted)),
                if done.is_empty() {
                    "not said".into()
                } else {
                    done.join("; ")
                },
                told,
            ]
        })
        .collect();
    let withdrawn = record.all().filter(|charted| {
        charted.retracted.is_some()
            && matches!(
                &charted.event,
                Event::ProcedureRecorded {
                    procedure: Procedure::Complication { .. },
                    ..
                }
            )
    });
    rows.extend(withdrawn.map(|charted: &Charted| {
        vec![
            clock(charted.at, zone),
            charted
                .event
                .tooth()
                .map(|t| t.to_string())
                .unwrap_or_default(),
            format!("withdrawn: {}", wording::event(&charted.event)),
            charted.retracted.map_or("", wording::retraction).to_owned(),
            String::new(),
        ]
    }));
    section(
        "Complications",
        &["Time", "Tooth", "What", "Done about it", "Owner told"],
        &[9, 8, 29, 28, 26],
        rows,
    )
}

fn samples(record: &Record, zone: &TimeZone) -> Vec<Block> {
    let rows = surgery::samples(record)
        .into_iter()
        .map(|sample| {
            let sent = match sample.sent {
                None => "NOT SENT".to_owned(),
                Some((charted, _)) => {
                    let due = sample
                        .due()
                        .map_or_else(|| "no day said".to_owned(), |due| due.to_string());
                    format!(
                        "{}{}; result due: {due}",
                        clock(charted.at, zone),
                        doubt(charted)
                    )
                }
            };
            let result = sample.result.map_or_else(
                || "not read".to_owned(),
                |(text, charted)| format!("{text} (read {})", day(charted.at, zone)),
            );
            vec![
                sample.pot.to_string(),
                format!("{}{}", sample.place, doubt(sample.charted)),
                sample.kind.map_or("", |kind| kind.word()).to_owned(),
                sent,
                result,
            ]
        })
        .collect();
    section(
        "Samples",
        &["Pot", "From", "How", "Sent", "Result"],
        &[6, 24, 14, 28, 28],
        rows,
    )
}

/// The labels of the pots, one table each, to be cut apart. None where no sample was taken.
pub fn labels(record: &Record, zone: &TimeZone, clinic: Option<&str>) -> Option<Report> {
    let samples = surgery::samples(record);
    let count = samples.len();
    if count == 0 {
        return None;
    }
    let patient = &record.patient;
    let mut blocks = Vec::new();
    for (at, sample) in samples.iter().enumerate() {
        let number = format!(
            "{}-{}",
            &record.visit.to_string()[..8].to_uppercase(),
            sample.pot
        );
        let mut rows = vec![
            vec!["Number".to_owned(), number],
            vec![
                "Pot".into(),
                format!("{} ({} of {count})", sample.pot, at + 1),
            ],
            vec![
                "Animal".into(),
                format!("{}, {}", patient.name, patient.species.word()),
            ],
            vec!["Owner".into(), patient.owner.clone().unwrap_or_default()],
            vec!["Taken".into(), day(sample.charted.at, zone)],
            vec![
                "From".into(),
                format!("{}{}", sample.place, doubt(sample.charted)),
            ],
            vec![
                "How".into(),
                sample.kind.map_or("not said", |kind| kind.word()).into(),
            ],
            vec!["In".into(), "____________________".into()],
            vec!["Vet".into(), record.vet.clone().unwrap_or_default()],
        ];
        if let Some(clinic) = clinic {
            rows.insert(0, vec!["Clinic".into(), clinic.to_owned()]);
        }
        blocks.push(Block::Heading(format!("Pot {}", sample.pot)));
        blocks.push(Block::Table(Table {
            head: Vec::new(),
            rows,
            widths: vec![20, 80],
        }));
    }
    let mut warnings = Vec::new();
    if patient.invented {
        warnings.push("Invented data for demonstration: no such animal, owner or clinic.".into());
    }
    Some(Report {
        title: "Labels of samples".into(),
        subtitle: format!("{}, {}", patient.name, day(record.opened_at, zone)),
        warnings,
        blocks,
        foot: foot(record),
    })
}
