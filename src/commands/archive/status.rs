//! `sulcus archive status`: how it stands, at a table what waits, for the keeper all clinics and tables.

use crate::app::clinic::Clinic;
use crate::archive::{self, Database, Link, ServerFile};
use crate::commands::{Outcome, visit};
use crate::config::Config;
use crate::journal::Journal;
use crate::outbox::{Format, Outbox, State};

/// Of the table that this folder is, and of the archive that it keeps; one of both at least.
pub(super) fn status(config: &Config) -> anyhow::Result<Outcome> {
    let settings = Clinic::load(&config.data)?.archive;
    let kept = ServerFile::read(&config.data)?;
    let mut outcome = Outcome::Done;
    if settings.address.is_none() && kept.is_none() {
        anyhow::bail!(
            "no archive here: clinic.toml in {} names none ([archive] address), and none was made from here (sulcus \
             archive init)",
            config.data.display()
        );
    }
    if settings.address.is_some() && table_status(&settings, config)? == Outcome::Problem {
        outcome = Outcome::Problem;
    }
    if let Some(kept) = kept
        && keeper_status(&kept, config)? == Outcome::Problem
    {
        outcome = Outcome::Problem;
    }
    Ok(outcome)
}

fn table_status(settings: &archive::Settings, config: &Config) -> anyhow::Result<Outcome> {
    let mut outcome = Outcome::Done;
    let Some(link) = Link::open(settings, &config.data)? else {
        return Ok(outcome);
    };
    match link.hello() {
        Ok(hello) => {
            println!(
                "archive {}: here {} of {}, program {}",
                link.address(),
                hello.name,
                hello.clinic,
                hello.program
            );
            let ahead = jiff::Timestamp::now().duration_since(hello.now).as_secs();
            let round = archive::Round {
                clock_ahead_s: ahead,
                ..archive::Round::default()
            };
            for warning in round.warnings() {
                eprintln!("sulcus: {warning}");
                outcome = Outcome::Problem;
            }
        }
        Err(why) => {
            eprintln!("sulcus: {why}");
            outcome = Outcome::Problem;
        }
    }
    // A folder without a visit yet has nothing to hand over.
    let Ok(outbox) = Outbox::open(&config.data) else {
        return Ok(outcome);
    };
    let mut sent = 0;
    for item in outbox.items()? {
        if Format::PUSHED.contains(&item.format) {
            continue;
        }
        match item.state {
            State::Sent => sent += 1,
            State::Waiting => {
                println!("{}  waiting  {}", item.visit, item.answer);
                // One that was not tried yet is on its way.
                if item.attempts > 0 {
                    outcome = Outcome::Problem;
                }
            }
            State::Refused => {
                println!("{}  refused  {}", item.visit, item.answer);
                outcome = Outcome::Problem;
            }
        }
    }
    if let Ok(journal) = Journal::open_reader(&config.data) {
        let count = archive::not_begun(&outbox, &journal, link.address())?;
        if count > 0 {
            println!(
                "finished and not begun with yet: {count}; the table's programs hand them over by and by"
            );
        }
    }
    println!("handed over: {sent}");
    Ok(outcome)
}

fn keeper_status(kept: &ServerFile, config: &Config) -> anyhow::Result<Outcome> {
    let place = Database::new(&kept.keeper, kept.database_certificate.as_deref())?;
    println!("archive in {}", place.shown());
    for (file, until) in archive::certificates_made(&config.data) {
        println!(
            "certificate {}: good until {}, renewed by itself with the same key while sulcus archive serve runs",
            file.display(),
            visit::local(until)
        );
    }
    for clinic in archive::clinics(&place)? {
        println!(
            "{}: {} visits of {} patients, {} deleted, {}",
            clinic.name,
            clinic.visit_count,
            clinic.patient_count,
            clinic.tombstone_count,
            clinic
                .keep_years
                .map_or("all are kept".to_owned(), |years| format!(
                    "kept for {years} years"
                ))
        );
        println!("    people: {}", clinic.people.join(", "));
    }
    for table in archive::tables(&place)? {
        let seen = match table.seen_at {
            Some(at) => format!("seen {}", visit::local(at)),
            None if table.has_joined => "let in, not seen since".to_owned(),
            None => "not let in yet".to_owned(),
        };
        let clock = if table.clock_ahead_s.abs() > archive::CLOCK_SECONDS_MAX {
            format!(", its clock differs by {} s", table.clock_ahead_s)
        } else {
            String::new()
        };
        println!(
            "{}: {}: {} visits, {seen}{clock}",
            table.clinic, table.name, table.visit_count
        );
    }
    let refused = archive::refusals(&place)?;
    for line in &refused {
        eprintln!(
            "sulcus: REFUSED, {} times: {}: {}: visit {}: {}",
            line.times, line.clinic, line.table, line.visit, line.why
        );
    }
    Ok(if refused.is_empty() {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}
