//! Sentences the program may speak, and the answers to questions about the record.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::phrase::{Phrase, Slot};
use super::{Wish, Work, read_back, scope};
use crate::grammar::intent::Question;
use crate::record::Record;
use crate::terms::{Kind, Place, Site, Subject, ToothNumber};

const REPLIES: &str = include_str!("../../../../grammar/replies.en.toml");
const ANAESTHETIC: &str = include_str!("../../../../grammar/anaesthetic-replies.en.toml");

/// One row of `grammar/replies.en.toml`.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reply {
    /// When it is spoken; for people and the help sheet.
    pub when: String,
    /// Phrases with gaps in braces.
    pub say: Vec<String>,
}

/// All replies by key. Empty where the file is faulty, which a test excludes.
pub fn replies() -> &'static BTreeMap<String, Reply> {
    static TABLE: OnceLock<BTreeMap<String, Reply>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let mut all: BTreeMap<String, Reply> = toml::from_str(REPLIES).unwrap_or_default();
        let of_anaesthetic: BTreeMap<String, Reply> =
            toml::from_str(ANAESTHETIC).unwrap_or_default();
        all.extend(of_anaesthetic);
        all
    })
}

/// The phrases of a key; none where the file has none (a test keeps keys and file together).
pub fn templates(key: &str) -> &'static [String] {
    replies().get(key).map_or(&[], |reply| &reply.say)
}

/// Teeth named aloud at most; more are only counted.
const TEETH_NAMED_MAX: usize = 6;

pub(super) fn answer(work: &mut Work<'_>, question: Question) {
    let record = &work.record;
    match question {
        Question::Vitals => super::watch::tell_vitals(work),
        Question::Given => super::drugs::tell_given(work),
        Question::Missing => {
            for phrase in missing(record) {
                work.say(phrase);
            }
        }
        Question::Where => {
            let phrase = where_phrase(record, "where");
            work.say(phrase);
        }
        Question::Order => {
            let phrase = order(record.is_from_front);
            work.say(phrase);
        }
        Question::Sayable => {
            for phrase in super::sayable::told(record) {
                work.say(phrase);
            }
        }
        Question::Plan => work.wishes.push(Wish::TellPlan),
        Question::Summary => match record.tooth {
            Some(tooth) => {
                let phrase = read_back::summary(record, tooth);
                work.say(phrase);
            }
            None => work.say(Phrase::rule("no_tooth")),
        },
        Question::Compare(tooth) => match tooth.or(record.tooth) {
            Some(tooth) => work.wishes.push(Wish::Compare { tooth }),
            None => work.say(Phrase::rule("no_tooth")),
        },
    }
}

/// In which order the depths of a side are read.
pub(super) fn order(from_front: bool) -> Phrase {
    if from_front {
        Phrase::new("order_front")
    } else {
        Phrase::new("order_back")
    }
}

/// The first words of a new visit.
pub(super) fn started(record: &Record) -> Phrase {
    Phrase::new("started")
        .with("patient", Slot::Text(record.patient.name.clone()))
        .with(
            "species",
            Slot::Text(record.patient.species.word().to_owned()),
        )
}

pub(super) fn resumed(record: &Record) -> Vec<Phrase> {
    let mut phrases = vec![where_phrase(record, "resumed")];
    if let Some(last) = record.current().last() {
        let said = read_back::of_numbers(record, &[last.number]);
        phrases.push(Phrase::new("resumed_last").with("last", Slot::Phrases(said)));
    }
    if let Some(challenge) = record.open_challenge() {
        phrases.push(question(challenge.question.clone()));
    }
    phrases
}

/// A question that was asked before, once more.
pub fn question(words: String) -> Phrase {
    let mut phrase = Phrase::new("text").with("text", Slot::Text(words));
    phrase.is_question = true;
    phrase
}

fn where_phrase(record: &Record, key: &str) -> Phrase {
    let phrase = match (key, record.tooth) {
        ("where", None) => Phrase::new("where_nowhere"),
        ("where", _) => Phrase::new("where"),
        (_, None) => Phrase::new("resumed_nowhere"),
        _ => Phrase::new("resumed"),
    };
    phrase
        .with("patient", Slot::Text(record.patient.name.clone()))
        .with(
            "species",
            Slot::Text(record.patient.species.word().to_owned()),
        )
        .maybe_tooth(record.tooth)
        .with("count", Slot::Number(record.current().count() as u16))
        .with("open", Slot::Number(record.unconfirmed().count() as u16))
}

fn missing(record: &Record) -> Vec<Phrase> {
    let teeth = missing_teeth(record);
    let mut half = half_read(record);
    // The tooth at hand first: there the probe is.
    half.sort_by_key(|(tooth, _)| Some(*tooth) != record.tooth);
    let mut phrases: Vec<Phrase> = half
        .first()
        .map(|&(tooth, count)| {
            Phrase::new("missing_sites")
                .with("tooth", Slot::Tooth(tooth))
                .with("count", Slot::Number(count as u16))
        })
        .into_iter()
        .collect();
    match teeth.len() {
        0 if half.is_empty() => phrases.push(Phrase::new("missing_none")),
        0 => {}
        count if count <= TEETH_NAMED_MAX => {
            phrases.push(Phrase::new("missing_some").with("teeth", Slot::Teeth(teeth)));
        }
        count => phrases.push(
            Phrase::new("missing_many")
                .with("count", Slot::Number(count as u16))
                .with("teeth", Slot::Teeth(teeth.into_iter().take(3).collect())),
        ),
    }
    phrases
}

/// Teeth of the animal's dentition with no current entry, in the order of examination.
pub fn missing_teeth(record: &Record) -> Vec<ToothNumber> {
    scope::dentition(record)
        .into_iter()
        .filter(|tooth| {
            record.findings_of(*tooth).next().is_none() && record.decision(*tooth).is_none()
        })
        .collect()
}

/// Teeth where some of the six depths were read and some not, with how many are lacking.
pub fn half_read(record: &Record) -> Vec<(ToothNumber, usize)> {
    scope::dentition(record)
        .into_iter()
        .filter_map(|tooth| {
            let lacking = Site::ALL
                .iter()
                .filter(|site| {
                    record
                        .finding(Subject::Tooth(tooth), Kind::Depth, Place::Site(**site))
                        .is_none()
                })
                .count();
            (lacking > 0 && lacking < Site::ALL.len()).then_some((tooth, lacking))
        })
        .collect()
}
