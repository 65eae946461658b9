//! "Go on, or close and stage?": asked once, when the anaesthetic comes near the clinic's limit. What is left to do is the
//! plan's; here it is only asked, and what the vet answers is entered.
//!
//! Invariants: asked once a visit; whoever goes on charting has said "go on" and is held up by nothing; only the vet's yes
//! puts anything off.

use super::phrase::{Phrase, Slot};
use super::{Work, reply};
use crate::record::event::Proposed;
use crate::record::{Event, How, Record};
use crate::terms::{Procedure, ToothNumber};

/// The limit is near, and something is left to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NearLimit {
    pub minutes: u32,
    pub limit_minutes: u32,
    /// Not begun: what can be put off.
    pub teeth: Vec<ToothNumber>,
}

/// The rule that asks.
const KEY: &str = "go_on_or_stage";

pub(super) fn was_asked(record: &Record) -> bool {
    record
        .challenges
        .iter()
        .any(|challenge| matches!(challenge.proposed, Proposed::Stage { .. }))
}

pub(super) fn ask(work: &mut Work<'_>, near: &NearLimit) {
    let number = |minutes: u32| Slot::Number(u16::try_from(minutes).unwrap_or(u16::MAX));
    let phrase = Phrase::rule(KEY)
        .with("minutes", number(near.minutes))
        .with("limit", number(near.limit_minutes))
        .with("teeth", Slot::Teeth(near.teeth.clone()));
    let teeth = near.teeth.clone();
    work.challenge(KEY, phrase, Proposed::Stage { teeth });
}

/// "Close and stage" answers this question and no other.
pub(super) fn close(work: &mut Work<'_>) {
    match work.heard_question().map(|open| open.question.clone()) {
        None => work.say(Phrase::new("nothing_asked")),
        Some(_) if is_open(work) => super::confirm(work, super::Extent::ToothAtHand),
        Some(question) => work.say(reply::question(question)),
    }
}

fn is_open(work: &Work<'_>) -> bool {
    work.heard_question()
        .is_some_and(|open| matches!(open.proposed, Proposed::Stage { .. }))
}

/// "Go on", "continue", "carry on" are words for the next tooth too: after this question they are its answer. Who says
/// "next", or touches it, wants the next tooth.
pub(super) fn is_answer(work: &Work<'_>) -> bool {
    let heard = work.heard;
    let names_next = heard.words.split_whitespace().any(|word| word == "next");
    is_open(work) && heard.how == How::Spoken && !names_next
}

/// The vet closes: what was not begun is put off, and confirmed by that word.
pub(super) fn put_off(work: &mut Work<'_>, teeth: &[ToothNumber], challenge: Option<u64>) {
    let entries: Vec<u64> = teeth
        .iter()
        .map(|tooth| {
            work.push(Event::ProcedureRecorded {
                procedure: Procedure::Staged {
                    tooth: *tooth,
                    is_later: true,
                },
                challenge,
            })
        })
        .collect();
    work.say(
        Phrase::new("staged")
            .with("teeth", Slot::Teeth(teeth.to_vec()))
            .saying_back(entries.clone()),
    );
    work.push(Event::Confirmed { entries });
}
