//! What can be said now: a few sentences that fit where the conversation is, for the voice and for the page.
//!
//! Invariant: each sentence named here is one that the program understands there (a test of the session).

use super::phrase::{Phrase, Slot};
use crate::grammar::Situation;
use crate::record::fold::Phase;
use crate::record::{Record, Standing};
use crate::terms::{Kind, Place, Side, Site, Subject};

/// The sentences, the likeliest first.
pub fn sentences(record: &Record) -> Vec<&'static str> {
    if record.phase == Phase::Finished {
        return Vec::new();
    }
    match super::Session::situation(record) {
        Situation::Asleep => vec!["start listening"],
        Situation::Question => vec!["yes", "no", "repeat"],
        Situation::Table | Situation::Speaking => at_table(record),
    }
}

fn at_table(record: &Record) -> Vec<&'static str> {
    let Some(tooth) = record.tooth else {
        return vec![
            "tooth one oh eight",
            "upper right canine",
            "lower incisors normal",
            "what is missing",
        ];
    };
    let has_depth = |site: Site| {
        record
            .finding(Subject::Tooth(tooth), Kind::Depth, Place::Site(site))
            .is_some()
    };
    let lacks = |side: Side| {
        !Site::ALL
            .into_iter()
            .filter(|s| s.side() == side)
            .all(has_depth)
    };
    let mut sentences = Vec::new();
    if lacks(Side::Buccal) {
        sentences.push("buccal three two three");
    }
    if lacks(Side::Lingual) {
        sentences.push("palatal two two two");
    }
    if lacks(Side::Buccal) && lacks(Side::Lingual) {
        sentences.push("normal");
    }
    let waits = record
        .unconfirmed()
        .any(|charted| charted.standing >= Standing::ReadBack);
    if waits {
        sentences.push("confirm");
        sentences.push("undo");
    }
    sentences.extend(["mobility one", "extract", "radiograph", "next"]);
    sentences
}

/// The same to be said: few, since nobody remembers more.
pub(super) fn told(record: &Record) -> Vec<Phrase> {
    const SPOKEN_MAX: usize = 4;
    let sentences = sentences(record);
    let spoken = sentences.iter().take(SPOKEN_MAX);
    let parts =
        spoken.map(|sentence| Phrase::new("text").with("text", Slot::Text((*sentence).to_owned())));
    vec![Phrase::new("sayable").with("sentences", Slot::Phrases(parts.collect()))]
}
