//! Rehearsals in simulated time: a seeded vet and nurse examine an invented animal by the real desk, turn, session,
//! grammar and journal; only sound is missing. What the engine makes of their words comes from a model of mishearing.
//! The oracle is what the vet meant.
//!
//! Invariant: one seed gives the same examination, word for word.

mod ears;
pub mod manner;
mod meant;
mod mouth;
mod nurse;
mod person;
pub mod scribe;
mod sounding;

pub use ears::Ears;
pub use manner::Manner;
pub use meant::{Exam, Meant, Piece};
pub use nurse::{Watch, WatchOutcome, watched};
pub use scribe::Scribe;

use std::collections::BTreeMap;
use std::path::Path;

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::desk::{Desk, Opening};
use super::talk::Talk;
use crate::clock::{Clock, Now};
use crate::grammar::intent::Pace;
use crate::record::{Event, Record, Standing};
use crate::speech::EngineIdentity;
use crate::terms::{Finding, Kind, Patient, Place, Species, Subject, Value, Weight};
pub(super) use mouth::{SimulatedMouth, Stage};
use person::Table;

/// How the people behave and what the room is like.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    pub ears: Ears,
    pub pace: Pace,
    /// The microphone hears the loudspeaker: while the program speaks only interruptions are understood.
    pub hears_itself: bool,
    /// Part of the readings after which the vet speaks on without waiting for the read-back.
    pub fast: f64,
    /// Part of the depths that the vet says wrong and mends in the same breath ("three, no, four").
    pub hesitation: f64,
    /// Part of the readings after which somebody talks about something else.
    pub chatter: f64,
    /// Part of the read-backs that are stopped although they are right.
    pub impatience: f64,
    /// Part of the wrong read-backs that nobody notices.
    pub inattention: f64,
    /// They call the next reading while the read-back goes on.
    pub speaks_over: bool,
    /// So many times as often something wrong is not noticed in a read-back that they spoke over.
    pub over_factor: f64,
    /// Who they are and how they work.
    pub manner: Manner,
    /// From the end of speech to the result: the pause that ends an utterance, and recognition.
    pub decision_ms: u64,
    /// What the clinic chose, as it stands in its `clinic.toml`.
    pub clinic: String,
    /// The second person on paper.
    pub scribe: Scribe,
    /// A nurse who watches the anaesthetic and says what she reads; none: nobody does.
    pub watch: Option<Watch>,
    /// Teeth examined.
    pub teeth: usize,
}

impl Default for Room {
    fn default() -> Self {
        Self {
            ears: Ears::default(),
            pace: Pace::EachReading,
            hears_itself: true,
            fast: 0.1,
            hesitation: 0.02,
            chatter: 0.03,
            impatience: 0.02,
            inattention: 0.02,
            speaks_over: false,
            over_factor: 3.0,
            manner: Manner::learner(),
            decision_ms: 256 + 180,
            clinic: String::new(),
            scribe: Scribe::default(),
            watch: None,
            teeth: 42,
        }
    }
}

/// What came of one examination.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Outcome {
    pub values: usize,
    /// Values in the record that differ from what was meant, are not there, or were never meant.
    pub wrong: usize,
    /// Of these, the ones that stand as confirmed.
    pub wrong_confirmed: usize,
    /// Meant and in the record, but not confirmed: shown as such for ever.
    pub unconfirmed: usize,
    pub utterances: usize,
    /// Utterances that a scribe would need too: one for each breath, and one for each tooth's number where it is said.
    pub utterances_needed: usize,
    pub questions: usize,
    pub teeth: usize,
    pub seconds: f64,
    /// The same on paper: seconds at the table, and of copying afterwards.
    pub scribe_seconds: f64,
    pub copy_seconds: f64,
    /// Of the nurse's watch; all zero where there is none.
    pub watched: WatchOutcome,
    /// Set where the people gave up: an end that should never come.
    pub stuck: bool,
    /// What was said on both sides, for looking into a failure.
    pub log: Vec<String>,
}

/// Plays one examination into a journal in `folder`.
pub fn examine(folder: &Path, room: &Room, seed: u64) -> anyhow::Result<Outcome> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let species = if seed.is_multiple_of(2) {
        Species::Dog
    } else {
        Species::Cat
    };
    let exam = Exam::invent(species, room.teeth, &mut random);
    let stage = Stage::default();
    let opening = Opening {
        patient: Patient {
            weight: room.watch.as_ref().and_then(|_| invented_weight(species)),
            ..Patient::example(species)
        },
        vet: None,
        nurse: None,
    };
    let clock = Box::new(StageClock(stage.clone()));
    std::fs::write(folder.join(super::clinic::FILE), &room.clinic)?;
    let (desk, first) = Desk::open(folder, Some(opening), true, clock)?;
    let engine = EngineIdentity {
        name: "simulated".to_owned(),
        model: "confusions".to_owned(),
    };
    stage.speak_at(desk.flow().voice_rate());
    let talk = Talk::new(desk, SimulatedMouth(stage.clone()), engine).with_pace(room.pace);
    let mut table = Table::new(talk, stage, room, &exam, random);
    table.examine(first);
    let watched = table.judge_watch();
    let mut outcome = table.outcome();
    outcome.watched = watched;
    judge(&exam, table.record(), room.watch.is_some(), &mut outcome);
    outcome.utterances_needed = needed(&exam, &room.manner);
    let mut random = ChaCha8Rng::seed_from_u64(!seed);
    (outcome.scribe_seconds, outcome.copy_seconds) =
        scribe::examine(&exam, &room.manner, &room.scribe, room.chatter, &mut random);
    Ok(outcome)
}

/// For doses; nobody weighs an animal that gets none.
fn invented_weight(species: Species) -> Option<Weight> {
    let grams = match species {
        Species::Dog => 12_400,
        Species::Cat => 4_300,
    };
    Weight::from_grams(grams).ok()
}

/// Calls to a scribe who hears all.
fn needed(exam: &Exam, manner: &Manner) -> usize {
    exam.teeth
        .iter()
        .map(|plan| person::units(plan, manner.breath).len() + usize::from(manner.says_numbers))
        .sum()
}

/// Compares the record with what was meant.
fn judge(exam: &Exam, record: &Record, is_watched: bool, outcome: &mut Outcome) {
    let mut meant: BTreeMap<Meant, Value> = exam.values().clone();
    outcome.values = meant.len();
    outcome.teeth = exam.teeth.len();
    for charted in record.current() {
        let (key, value) = match &charted.event {
            Event::FindingRecorded { finding, .. } => (meant_by(finding), &finding.value),
            // The nurse's, and judged with her watch.
            Event::WatchRecorded { .. } | Event::ProcedureRecorded { .. } if is_watched => continue,
            // Nothing else is meant in a rehearsal.
            _ => {
                outcome.wrong += 1;
                outcome.wrong_confirmed += usize::from(charted.standing == Standing::Confirmed);
                continue;
            }
        };
        let is_right = meant.remove(&key).as_ref() == Some(value);
        match (is_right, charted.standing) {
            (true, Standing::Confirmed) => {}
            (true, standing) => {
                outcome.unconfirmed += 1;
                outcome.log.push(format!(
                    "UNCONFIRMED {} {key:?} {standing:?}",
                    charted.number
                ));
            }
            (false, standing) => {
                outcome.wrong += 1;
                outcome.wrong_confirmed += usize::from(standing == Standing::Confirmed);
                outcome
                    .log
                    .push(format!("WRONG {key:?} {value:?} {standing:?}"));
            }
        }
    }
    for (key, value) in &meant {
        // A wrong value at the same place was counted already.
        let (subject, kind, place) = key;
        if record.finding(*subject, *kind, *place).is_none() {
            outcome.wrong += 1;
            outcome.log.push(format!("LACKING {key:?} {value:?}"));
        }
    }
}

fn meant_by(finding: &Finding) -> Meant {
    let (subject, kind, place): (Subject, Kind, Place) =
        (finding.subject, finding.kind, finding.place);
    (subject, kind, place)
}

/// The stage's time.
pub(super) struct StageClock(pub(super) Stage);

impl Clock for StageClock {
    fn now(&mut self) -> Now {
        let ms = self.0.now_ms();
        let mut clock = crate::clock::SetClock::at_second(1_772_442_000);
        clock.advance_ms(ms);
        clock.now()
    }
}

#[cfg(test)]
mod tests;
