//! `sulcus show`: a visit's chart as text.

use crate::commands::{self, Outcome, visit, visits};
use crate::config::Config;
use crate::export::json::ToothState;
use crate::export::project;
use crate::record::fold::{Phase, Standing};
use crate::record::{Charted, Event, Record, wording};
use crate::terms::{Kind, Place, Site, Subject, ToothNumber, Value};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT", default_value = "last")]
    visit: String,

    /// Also list every entry with the words heard, corrections and withdrawals
    #[arg(long)]
    history: bool,

    /// Print the record as JSON, as sulcus export does
    #[arg(long, conflicts_with = "history")]
    json: bool,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let (journal, visit) = visit::open(config, &options.visit)?;
    if options.json {
        let document = commands::export::document(&journal, &visit.record)?;
        print!("{}", crate::export::json::text(&document)?);
        return Ok(Outcome::Done);
    }
    print!("{}", chart(&visit.record));
    if options.history {
        println!("\nHistory");
        let document =
            crate::export::json::document(visit.record.visit, &journal.rows(visit.record.visit)?)?;
        for line in document.history {
            let heard = line
                .heard
                .filter(|heard| !heard.words.is_empty())
                .map(|heard| {
                    let hint = heard
                        .sounds_like
                        .map(|who| format!(", sounds like the {who}"))
                        .unwrap_or_default();
                    format!("  heard \"{}\" {:.2}{hint}", heard.words, heard.confidence)
                })
                .unwrap_or_default();
            let outcome = line
                .outcome
                .map(|outcome| format!("  [{}]", project::key(&outcome)))
                .unwrap_or_default();
            println!(
                "{:>4}  {}  {}{heard}{outcome}",
                line.entry, line.at, line.text
            );
        }
    }
    Ok(Outcome::Done)
}

/// "?" and the word: a sign alone is overlooked, a word alone is long to find.
fn doubt(charted: &Charted) -> &'static str {
    match charted.standing {
        _ if charted.is_machine_read() => " (machine-read)",
        Standing::Confirmed => "",
        Standing::ReadBack | Standing::Heard => " ? unconfirmed",
    }
}

/// The chart: one block a tooth, sites in reading order.
pub fn chart(record: &Record) -> String {
    let mut lines = vec![visits::who(&record.patient)];
    let state = match (record.phase, record.finished_at) {
        (Phase::Finished, Some(at)) => format!("finished {}", visit::local(at)),
        _ => "open".into(),
    };
    lines.push(format!(
        "visit {}, {}, {state}",
        record.visit,
        visit::local(record.opened_at)
    ));
    for (role, name) in [("vet", &record.vet), ("nurse", &record.nurse)] {
        lines.extend(name.as_ref().map(|name| format!("{role} {name}")));
    }
    let mut silent = Vec::new();
    lines.push(String::new());
    for tooth in project::teeth(record) {
        let block = tooth_lines(record, tooth);
        if block.is_empty() {
            silent.push(tooth.to_string());
        } else {
            lines.extend(block);
        }
    }
    if !silent.is_empty() {
        lines.push(format!("not examined: {}", silent.join(" ")));
    }
    let rest: Vec<&Charted> = record
        .current()
        .filter(|charted| charted.event.tooth().is_none())
        .collect();
    if !rest.is_empty() {
        lines.push(String::new());
        lines.extend(
            rest.iter()
                .map(|charted| format!("{}{}", wording::event(&charted.event), doubt(charted))),
        );
    }
    for (at, text) in &record.addenda {
        lines.push(format!("addendum {}: {text}", visit::local(*at)));
    }
    let unconfirmed = record.unconfirmed().count();
    lines.push(String::new());
    lines.push(format!("{unconfirmed} unconfirmed"));
    lines.join("\n") + "\n"
}

fn tooth_lines(record: &Record, tooth: ToothNumber) -> Vec<String> {
    let mut lines = Vec::new();
    let mut sites = Vec::new();
    for site in Site::ALL {
        let mm = |kind| {
            let charted = record.finding(Subject::Tooth(tooth), kind, Place::Site(site))?;
            match &charted.event {
                Event::FindingRecorded { finding, .. } => match finding.value {
                    Value::Mm(mm) => Some((mm, charted.standing)),
                    _ => None,
                },
                _ => None,
            }
        };
        let depth = match mm(Kind::Depth) {
            Some((mm, Standing::Confirmed)) => mm.to_string(),
            Some((mm, _)) => format!("{mm}?"),
            None => "-".into(),
        };
        sites.push(format!("{} {depth}", wording::site_letters(site, tooth)));
    }
    let depths: Vec<_> = record
        .findings_of(tooth)
        .filter(|(finding, _)| finding.kind == Kind::Depth)
        .collect();
    let unsure = depths
        .iter()
        .any(|(_, charted)| charted.standing < Standing::Confirmed);
    if !depths.is_empty() {
        let mark = if unsure { "  ? unconfirmed" } else { "" };
        lines.push(format!("    depth mm  {}{mark}", sites.join("  ")));
    }
    for charted in record.current() {
        if charted.event.tooth() != Some(tooth) {
            continue;
        }
        let text = match &charted.event {
            Event::FindingRecorded { finding, .. } if finding.kind == Kind::Depth => continue,
            other => wording::event(other),
        };
        let bare = text
            .strip_prefix(&format!("{tooth} "))
            .unwrap_or(&text)
            .to_owned();
        lines.push(format!("    {bare}{}", doubt(charted)));
    }
    if !lines.is_empty() {
        let state = match project::state(record, tooth) {
            ToothState::Extracted => ", extracted",
            ToothState::RootLeft => ", extracted but for a root",
            ToothState::Absent => ", missing",
            ToothState::Unerupted => ", unerupted",
            ToothState::Examined | ToothState::NotExamined => "",
        };
        lines.insert(
            0,
            format!("{tooth} {}{state}", crate::terms::dentition::name(tooth)),
        );
    }
    lines
}
