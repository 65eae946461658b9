//! Papers for the page: report, the owner's sheet and exports, made as the commands make them.
//!
//! Invariant: the same record and settings give the same bytes here as on the command line.

use jiff::tz::TimeZone;
use uuid::Uuid;

use super::clinic::Clinic;
use crate::commands;
use crate::config::Config;
use crate::export::{fhir, json, tables};
use crate::plan;
use crate::record::{Journal, Record};
use crate::report::{self, paper};
use crate::web::{Paper, Papers, PapersError};

/// Reads the journal beside the writer for each paper.
pub struct FromJournal {
    pub config: Config,
}

impl Papers for FromJournal {
    fn make(&self, visit: Uuid, wanted: Paper) -> Result<Vec<u8>, PapersError> {
        let failed = |why: &dyn std::fmt::Display| PapersError::Failed(why.to_string());
        let journal = Journal::open_reader(&self.config.data).map_err(|why| failed(&why))?;
        let entries = journal.entries(visit).map_err(|why| failed(&why))?;
        let mut record = Record::fold(&entries).ok_or(PapersError::NoVisit)?;
        commands::doors::add_found(&journal, &mut record);
        let signature =
            || commands::report::signature(&journal, &record).map_err(|why| failed(&why));
        let zone = TimeZone::system();
        match wanted {
            Paper::Report => {
                let plan = self.plan_of(&record).map_err(|why| failed(&why))?;
                let lines: Vec<String> = plan::spoken::spoken(&plan)
                    .iter()
                    .map(ToString::to_string)
                    .collect();
                let mut content = report::clinical::report(&record, &zone, Some(&lines));
                report::clinical::tell_first(&mut content, plan.open_conflicts());
                content.foot += &signature()?;
                report::pdf::pdf(&content, paper::CLINIC).map_err(|why| failed(&why))
            }
            Paper::Owner => {
                let plan = self.plan_of(&record).map_err(|why| failed(&why))?;
                let practice = Clinic::load(&self.config.data)
                    .map_err(|why| failed(&why))?
                    .plan
                    .practice;
                let home = report::discharge::Home::of(&plan, &practice);
                let mut content = report::owner::report(&record, &zone, &home);
                content.foot += &signature()?;
                report::pdf::pdf(&content, paper::OWNER).map_err(|why| failed(&why))
            }
            Paper::Json => commands::export::document(&journal, &record)
                .map_err(|why| failed(&why))
                .and_then(|document| json::text(&document).map_err(|why| failed(&why)))
                .map(String::into_bytes),
            Paper::Fhir => commands::export::made_here(&journal, visit)
                .map_err(|why| failed(&why))
                .and_then(|signatures| {
                    fhir::write(&record, &entries, &signatures).map_err(|why| failed(&why))
                })
                .map(String::into_bytes),
            Paper::Csv => tables::visit(&record)
                .map(String::into_bytes)
                .map_err(|why| failed(&why)),
        }
    }
}

impl FromJournal {
    fn plan_of(&self, record: &Record) -> anyhow::Result<plan::Plan> {
        let mut settings = Clinic::load(&self.config.data)?.plan;
        commands::plan::set_offset(&mut settings, record);
        let (_, past) =
            commands::plan::visit_and_past(&self.config, &record.visit.to_string(), &settings)?;
        Ok(plan::make(record, &past, &settings))
    }
}
