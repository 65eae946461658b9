//! Writes examinations into a real data folder and tells each saved entry on a line of standard output, so that
//! another process can end it, starve its disk, and then compare.
//!
//! Invariant: a line `saved VISIT NUMBER HASH` is out only after the append returned, and before the next begins.

use std::io::{self, Write};
use std::path::Path;

use super::examination::Examinations;
use crate::clock::{Clock, RealClock};
use crate::record::{Entry, Journal, Reopened};

/// How the writer works.
#[derive(Debug, Clone, Copy)]
pub struct Plan {
    pub seed: u64,
    /// Appends until it stops by itself.
    pub append_count: u64,
    /// After a failure: open afresh and say it again, or stop.
    pub goes_on: bool,
    /// Tell memory and open files every so many appends; 0 for never.
    pub figures_every: u64,
}

/// Writes until it is done or an append fails for good. False where it had to stop.
pub fn write(folder: &Path, plan: Plan, out: &mut impl Write) -> anyhow::Result<bool> {
    let mut journal = Journal::open(folder)?;
    for lost in journal.lost_ends() {
        writeln!(out, "lost {lost}")?;
    }
    let mut clock = RealClock::default();
    writeln!(out, "open")?;
    let examinations = Examinations::new(plan.seed);
    for (count, step) in (1..=plan.append_count).zip(examinations) {
        loop {
            match journal.append(step.visit, &step.drafts, clock.now()) {
                Ok(entries) => {
                    tell(out, "saved", &entries)?;
                    break;
                }
                Err(error) => {
                    eprintln!("sulcus: {error}");
                    writeln!(out, "refused {error}")?;
                    out.flush()?;
                    if !plan.goes_on {
                        return Ok(false);
                    }
                    match journal.reopen() {
                        Ok(Reopened::WasSaved(entries)) => {
                            tell(out, "saved", &entries)?;
                            break;
                        }
                        Ok(_) => writeln!(out, "again")?,
                        Err(error) => {
                            eprintln!("sulcus: {error}");
                            writeln!(out, "shut {error}")?;
                            out.flush()?;
                            return Ok(false);
                        }
                    }
                }
            }
        }
        if plan.figures_every > 0 && count % plan.figures_every == 0 {
            let (memory_kb, open_files) = figures()?;
            writeln!(out, "figures {count} {memory_kb} {open_files}")?;
        }
    }
    Ok(true)
}

fn tell(out: &mut impl Write, word: &str, entries: &[Entry]) -> io::Result<()> {
    for entry in entries {
        writeln!(
            out,
            "{word} {} {} {}",
            entry.visit, entry.number, entry.hash
        )?;
    }
    out.flush()
}

/// Resident memory in kB and the count of open files, as Linux tells them.
fn figures() -> io::Result<(u64, usize)> {
    let status = std::fs::read_to_string("/proc/self/status")?;
    let memory_kb = status
        .lines()
        .find_map(|line| line.strip_prefix("VmRSS:"))
        .and_then(|rest| rest.split_whitespace().next()?.parse().ok())
        .unwrap_or(0);
    Ok((memory_kb, std::fs::read_dir("/proc/self/fd")?.count()))
}
