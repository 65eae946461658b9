//! `sulcus visits`: lists the visits kept here, newest first.

use crate::commands::{Outcome, visit};
use crate::config::Config;
use crate::record::fold::Phase;
use crate::record::{Journal, Record};
use crate::terms::{PartialDate, Patient};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Only visits whose patient's name, id or owner holds these letters
    #[arg(long, value_name = "TEXT")]
    patient: Option<String>,

    /// Only visits of this day (2026-11-25), month (2026-11) or year
    #[arg(long, value_name = "DATE")]
    date: Option<String>,

    /// Only visits not finished
    #[arg(long, conflicts_with = "finished")]
    open: bool,

    /// Only finished visits
    #[arg(long)]
    finished: bool,

    /// Group by patient, with each patient's weights over the visits
    #[arg(long)]
    by_patient: bool,

    /// List what was forgotten: tombstones of deleted visits
    #[arg(long)]
    forgotten: bool,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let journal = Journal::open_reader(&config.data)?;
    if options.forgotten {
        for stone in journal.tombstones()? {
            println!(
                "{}  forgotten {}  {} entries  {}",
                stone.visit, stone.at, stone.entry_count, stone.reason
            );
        }
        return Ok(Outcome::Done);
    }
    let wanted_date = options.date.as_deref().map(check_date).transpose()?;
    let mut damaged = 0;
    let mut records = Vec::new();
    for line in journal.visits()? {
        match visit::read(&journal, line.visit) {
            Ok(visit) => records.push(visit.record),
            Err(why) => {
                damaged += 1;
                eprintln!("visit {}: {why:#}", line.visit);
            }
        }
    }
    records.retain(|record| {
        let day = visit::local(record.opened_at);
        options
            .patient
            .as_deref()
            .is_none_or(|text| is_of(&record.patient, text))
            && wanted_date
                .as_deref()
                .is_none_or(|date| day.starts_with(date))
            && (!options.open || record.phase == Phase::Open)
            && (!options.finished || record.phase == Phase::Finished)
    });
    if records.is_empty() {
        println!("no visit fits");
    } else if options.by_patient {
        by_patient(&records);
    } else {
        for record in &records {
            println!("{}", line(record));
        }
    }
    Ok(if damaged == 0 {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

fn check_date(text: &str) -> anyhow::Result<String> {
    match text.parse::<PartialDate>() {
        Ok(_) => Ok(text.to_owned()),
        Err(_) => anyhow::bail!("{text} is no date; write 2026-11-25, 2026-11 or 2026"),
    }
}

fn is_of(patient: &Patient, text: &str) -> bool {
    let text = text.to_lowercase();
    [
        Some(&patient.name),
        patient.id.as_ref(),
        patient.owner.as_ref(),
    ]
    .into_iter()
    .flatten()
    .any(|field| field.to_lowercase().contains(&text))
}

/// Name and all that tells two patients of one name apart.
pub fn who(patient: &Patient) -> String {
    let mut words = vec![format!("{} ({})", patient.name, patient.species.word())];
    words.extend(patient.id.as_ref().map(|id| format!("id {id}")));
    words.extend(patient.owner.as_ref().map(|owner| format!("owner {owner}")));
    words.extend(patient.born.as_ref().map(|born| format!("born {born}")));
    if patient.invented {
        words.push("INVENTED".into());
    }
    words.join(", ")
}

fn line(record: &Record) -> String {
    let short: String = record.visit.to_string().chars().take(8).collect();
    let state = match record.phase {
        Phase::Open => "open    ",
        Phase::Finished => "finished",
    };
    let unconfirmed = match record.unconfirmed().count() {
        0 => String::new(),
        count => format!("  {count} unconfirmed"),
    };
    format!(
        "{short}  {}  {state}  {}{unconfirmed}",
        visit::local(record.opened_at),
        who(&record.patient),
    )
}

/// Two visits are of one patient where the ids agree; without an id, where name, species, owner and birth agree.
fn is_same(a: &Patient, b: &Patient) -> bool {
    match (&a.id, &b.id) {
        (Some(a), Some(b)) => a == b,
        (None, None) => {
            a.name.eq_ignore_ascii_case(&b.name)
                && a.species == b.species
                && a.owner == b.owner
                && a.born == b.born
        }
        _ => false,
    }
}

fn by_patient(records: &[Record]) {
    let mut patients: Vec<(&Patient, Vec<&Record>)> = Vec::new();
    for record in records {
        match patients
            .iter_mut()
            .find(|(patient, _)| is_same(patient, &record.patient))
        {
            Some((_, visits)) => visits.push(record),
            None => patients.push((&record.patient, vec![record])),
        }
    }
    for (patient, visits) in patients {
        println!("{}", who(patient));
        for record in visits {
            let weight = record.patient.weight.map_or_else(
                || "not weighed".into(),
                |weight| format!("{} kg", weight.kg()),
            );
            println!("  {}  {weight}", line(record));
        }
    }
}
