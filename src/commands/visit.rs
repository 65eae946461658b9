//! Finds the visit that the user means. Shared by all commands that take VISIT.

use jiff::Timestamp;
use uuid::Uuid;

use crate::clock::{Clock, RealClock};
use crate::commands::{doors, wrong_use};
use crate::config::Config;
use crate::record::journal::VisitLine;
use crate::record::{Draft, Entry, Event, Heard, How, Journal, Record};
use crate::terms::ToothNumber;

/// A visit read from the journal, every hash checked.
#[derive(Debug, Clone)]
pub struct Visit {
    pub entries: Vec<Entry>,
    pub record: Record,
}

/// `last`, a visit's id, or its first letters (four or more) where only one visit begins so.
pub fn find(journal: &Journal, wanted: &str) -> anyhow::Result<Uuid> {
    let visits = journal.visits()?;
    if wanted == "last" {
        return match visits.first() {
            Some(line) => Ok(line.visit),
            None => anyhow::bail!(
                "there is no visit in {} yet; begin one with sulcus listen",
                journal.folder().display()
            ),
        };
    }
    let start = wanted.to_ascii_lowercase();
    if start.len() < 4 {
        return wrong_use(format!(
            "{wanted} is too short for a visit id; give four letters or more, or last"
        ));
    }
    let hits: Vec<&VisitLine> = visits
        .iter()
        .filter(|line| line.visit.to_string().starts_with(&start))
        .collect();
    match hits.as_slice() {
        [one] => Ok(one.visit),
        [] => {
            if let Some(stone) = journal
                .tombstones()?
                .iter()
                .find(|stone| stone.visit.to_string().starts_with(&start))
            {
                anyhow::bail!("visit {} was forgotten on {}", stone.visit, stone.at);
            }
            anyhow::bail!("no visit begins with {wanted}; sulcus visits lists them")
        }
        more => anyhow::bail!(
            "{} visits begin with {wanted}: {}; give more letters",
            more.len(),
            more.iter()
                .map(|line| line.visit.to_string())
                .collect::<Vec<_>>()
                .join(", ")
        ),
    }
}

pub fn read(journal: &Journal, visit: Uuid) -> anyhow::Result<Visit> {
    let entries = journal.entries(visit)?;
    let Some(mut record) = Record::fold(&entries) else {
        anyhow::bail!("visit {visit} does not begin with its opening; run sulcus verify");
    };
    doors::add_found(journal, &mut record);
    Ok(Visit { entries, record })
}

/// Reads a tooth number from the command line.
///
/// # Errors
/// Where it is no number of the numbering of teeth.
pub fn tooth(text: &str) -> Result<ToothNumber, String> {
    let number: u16 = text
        .parse()
        .map_err(|_| "a tooth has a number of three digits, 108".to_owned())?;
    ToothNumber::new(number).map_err(|why| why.to_string())
}

/// Opens the journal beside a possible writer, and the visit in it.
pub fn open(config: &Config, wanted: &str) -> anyhow::Result<(Journal, Visit)> {
    let journal = doors::reader(config)?;
    let visit = read(&journal, find(&journal, wanted)?)?;
    doors::tell_recorded(&visit.record);
    Ok((journal, visit))
}

/// Adds one typed fact to a visit; `check` may refuse by the record as it stands.
pub fn add(
    config: &Config,
    wanted: &str,
    event: Event,
    check: impl FnOnce(&Record) -> anyhow::Result<()>,
) -> anyhow::Result<Entry> {
    let mut journal = doors::writer(config)?;
    let visit = read(&journal, find(&journal, wanted)?)?;
    doors::tell_recorded(&visit.record);
    check(&visit.record)?;
    let heard = Heard {
        how: How::Pressed,
        ..Heard::default()
    };
    let draft = Draft::new(event, Some(&heard));
    let mut saved = journal.append(visit.record.visit, &[draft], RealClock::default().now())?;
    doors::check_after(config, &journal);
    saved
        .pop()
        .ok_or_else(|| anyhow::anyhow!("nothing was saved"))
}

/// Adds one typed value to a visit, confirmed by who typed it; `make` may refuse by the record as it stands.
pub fn add_confirmed(
    config: &Config,
    wanted: &str,
    make: impl FnOnce(&Record) -> anyhow::Result<Event>,
) -> anyhow::Result<Entry> {
    let mut journal = doors::writer(config)?;
    let visit = read(&journal, find(&journal, wanted)?)?;
    doors::tell_recorded(&visit.record);
    let heard = Heard {
        how: How::Pressed,
        ..Heard::default()
    };
    let drafts = [
        Draft::new(make(&visit.record)?, Some(&heard)),
        Draft::new(
            Event::Confirmed {
                entries: vec![visit.record.last + 1],
            },
            Some(&heard),
        ),
    ];
    let saved = journal.append(visit.record.visit, &drafts, RealClock::default().now())?;
    doors::check_after(config, &journal);
    saved
        .into_iter()
        .next()
        .ok_or_else(|| anyhow::anyhow!("nothing was saved"))
}

/// Local date and time to the minute, with the zone's offset.
pub fn local(at: Timestamp) -> String {
    at.to_zoned_datetime(jiff::tz::TimeZone::system())
        .strftime("%Y-%m-%d %H:%M %:z")
        .to_string()
}
