//! Something dangerous has begun: asked at once, and again until somebody says that it was seen. Time is passed in.
//!
//! Invariant: an alert is on record as a question, and so is the answer; silence never ends it.

use crate::clock::Now;
use crate::record::Record;
use crate::record::event::Proposed;
use crate::terms::Procedure;

/// A throat pack that stays while the animal wakes.
pub(super) const PACK_STILL_IN: &str = "pack_still_in";

/// Asked again after so many seconds: common practice, no source.
const AGAIN_SECONDS: i64 = 60;

/// The alert that is due now, by the key of its rule.
pub(super) fn due(record: &Record, now: Now) -> Option<&'static str> {
    let since = pack_in_since_end(record)?;
    let last = record.challenges.iter().rev().find(|challenge| {
        challenge.number > since
            && matches!(&challenge.proposed, Proposed::Seen { alert } if alert == PACK_STILL_IN)
    });
    let is_due = match last {
        None => true,
        Some(asked) => {
            asked.accepted == Some(false)
                && now.at.as_second() - asked.at.as_second() >= AGAIN_SECONDS
        }
    };
    is_due.then_some(PACK_STILL_IN)
}

/// Number of the entry that ended the anaesthesia or the work, where a pack is in now.
fn pack_in_since_end(record: &Record) -> Option<u64> {
    let count = |wanted: &Procedure| record.procedures().filter(|(p, _)| *p == wanted).count();
    if count(&Procedure::ThroatPackIn) <= count(&Procedure::ThroatPackOut) {
        return None;
    }
    let newest = record
        .procedures()
        .filter(|(p, _)| {
            matches!(
                p,
                Procedure::AnaesthesiaStarted
                    | Procedure::AnaesthesiaEnded
                    | Procedure::ProcedureStarted
                    | Procedure::ProcedureEnded
            )
        })
        .last()?;
    matches!(
        newest.0,
        Procedure::AnaesthesiaEnded | Procedure::ProcedureEnded
    )
    .then_some(newest.1.number)
}
