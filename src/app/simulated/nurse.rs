//! The nurse of a rehearsal: she reads the monitor at intervals and gives drugs, says both between the vet's breaths,
//! listens to what is said back, mends it and confirms.
//!
//! Invariant: a room without her watch is played as it always was, word for word.

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use super::Room;
use super::meant::{DIGITS, words};
use super::person::Table;
use crate::record::event::Speaker as Person;
use crate::record::{Event, Record, Standing, monitoring};
use crate::speech::value::{ONES, TENS};
use crate::terms::vital::{Measure, Reading, VitalSign};
use crate::terms::{Species, Watched};

/// How she works.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// Between two readings of the monitor.
    pub interval_ms: u64,
    /// Part of the intervals in which she does not think of it by herself. Estimate; the table varies it.
    pub forgets: f64,
}

impl Default for Watch {
    fn default() -> Self {
        Self {
            interval_ms: 5 * 60_000,
            forgets: 0.1,
        }
    }
}

/// What came of the watch in one examination.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WatchOutcome {
    /// Vital signs and drugs that were meant.
    pub values: usize,
    pub wrong: usize,
    pub wrong_confirmed: usize,
    pub unconfirmed: usize,
    pub rounds: usize,
    /// Intervals of the anaesthetic, and those without a reading.
    pub intervals: usize,
    pub missed: usize,
    /// So long the vet's hands stood still for it.
    pub lost_seconds: f64,
    pub utterances: usize,
}

/// One thing to say, with what it means.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Call {
    words: String,
    what: Wanted,
}

#[derive(Debug, Clone, PartialEq)]
enum Wanted {
    Vital(Reading),
    Drug { drug: &'static str, dose_ug: u64 },
}

impl Wanted {
    /// The same thing, whatever its value.
    fn is_of(&self, what: &Watched) -> bool {
        match (self, what) {
            (Self::Vital(meant), Watched::Vital(read)) => meant.sign == read.sign,
            (Self::Drug { drug, .. }, Watched::Drug(given)) => *drug == given.drug,
            _ => false,
        }
    }

    fn is(&self, what: &Watched) -> bool {
        match (self, what) {
            (Self::Vital(meant), Watched::Vital(read)) => {
                meant.sign == read.sign && meant.measure == read.measure
            }
            (Self::Drug { drug, dose_ug }, Watched::Drug(given)) => {
                *drug == given.drug && given.amount.dose_ug == Some(*dose_ug)
            }
            _ => false,
        }
    }
}

/// What she knows.
#[derive(Debug, Default)]
pub(super) struct Nurse {
    /// When she thinks of the monitor next.
    due_ms: Option<u64>,
    /// She heard the tone of the program, or the words after it.
    pub(super) is_reminded: bool,
    /// When time was looked at last.
    pub(super) looked_ms: u64,
    /// Entries of the anaesthetic record that were said back since she spoke.
    pub(super) told: Vec<u64>,
    rounds: usize,
    /// All that she meant, with the time of its round.
    meant: Vec<(u64, Call)>,
    /// What is being said now.
    wanted: Vec<Call>,
    pub(super) outcome: WatchOutcome,
}

impl Nurse {
    /// Whether a question about this is about what she meant.
    pub(super) fn means(&self, what: &Watched) -> bool {
        self.wanted.iter().any(|call| call.what.is(what))
    }
}

const ROUNDS_MAX: usize = 12;

/// As people say a number: "one twenty two", "forty two", "nine".
fn number(number: u32) -> String {
    let digit = |digit: u32| DIGITS[digit as usize];
    match number {
        0..20 => ONES[number as usize].to_owned(),
        20..100 if number.is_multiple_of(10) => TENS[number as usize / 10 - 2].to_owned(),
        20..100 => format!("{} {}", TENS[number as usize / 10 - 2], digit(number % 10)),
        // Digit by digit where nothing shorter is said.
        _ if number % 100 < 10 => format!(
            "{} {} {}",
            digit(number / 100),
            digit(number / 10 % 10),
            digit(number % 10)
        ),
        _ => format!("{} {}", digit(number / 100), self::number(number % 100)),
    }
}

/// "thirty seven point four", of tenths.
fn tenths(value: u32) -> String {
    match value % 10 {
        0 => number(value / 10),
        part => format!("{} point {}", number(value / 10), DIGITS[part as usize]),
    }
}

fn vital(words: String, sign: VitalSign, hundredths: u32) -> Call {
    Call {
        words,
        what: Wanted::Vital(Reading {
            sign,
            measure: Measure::Number { hundredths },
            method: None,
        }),
    }
}

/// One look at an invented monitor, as two breaths.
fn monitor(species: Species, random: &mut ChaCha8Rng) -> [Vec<Call>; 2] {
    let heart = match species {
        Species::Dog => random.random_range(72..140),
        Species::Cat => random.random_range(112..180),
    };
    let (breaths, sats) = (random.random_range(8..20), random.random_range(95..100));
    let co2 = random.random_range(36..45);
    let (systolic, diastolic) = (random.random_range(98..126), random.random_range(52..70));
    let mean = random.random_range(70..86);
    let temperature = random.random_range(368..382);
    let setting = random.random_range(12..20);
    let whole = |value: u32| value * 100;
    [
        vec![
            vital(
                format!("heart rate {}", number(heart)),
                VitalSign::HeartRate,
                whole(heart),
            ),
            vital(
                format!("resp rate {}", number(breaths)),
                VitalSign::BreathingRate,
                whole(breaths),
            ),
            vital(
                format!("sats {}", number(sats)),
                VitalSign::OxygenSaturation,
                whole(sats),
            ),
            vital(
                format!("CO2 {}", number(co2)),
                VitalSign::EndTidalCo2,
                whole(co2),
            ),
        ],
        vec![
            Call {
                words: format!(
                    "pressure {} over {} mean {}",
                    number(systolic),
                    number(diastolic),
                    number(mean)
                ),
                what: Wanted::Vital(Reading {
                    sign: VitalSign::Pressure,
                    measure: Measure::Pressure {
                        systolic: u16::try_from(systolic).ok(),
                        diastolic: u16::try_from(diastolic).ok(),
                        mean: u16::try_from(mean).ok(),
                    },
                    method: None,
                }),
            },
            vital(
                format!("temp {}", tenths(temperature)),
                VitalSign::Temperature,
                temperature * 10,
            ),
            vital(
                format!("iso {}", tenths(setting)),
                VitalSign::Isoflurane,
                setting * 10,
            ),
        ],
    ]
}

/// Given in the course of an examination, one in each of the first rounds: well within what is published.
const DRUGS: [(&str, u64); 3] = [
    ("methadone", 300),
    ("maropitant", 1_000),
    ("meloxicam", 200),
];

fn drug(round: usize, grams: u64) -> Option<Call> {
    let (drug, ug_per_kg) = *DRUGS.get(round)?;
    // In tenths of a milligram, as it is drawn up and said.
    let dose = (ug_per_kg * grams / 1000 / 100).max(1);
    Some(Call {
        words: format!("{drug} {} milligrams", tenths(u32::try_from(dose).ok()?)),
        what: Wanted::Drug {
            drug,
            dose_ug: dose * 100,
        },
    })
}

impl Table<'_> {
    /// The anaesthetic begins.
    pub(super) fn begin_watch(&mut self) {
        let Some(watch) = &self.room.watch else {
            return;
        };
        let interval_ms = watch.interval_ms;
        for _ in 0..ROUNDS_MAX {
            if self.say(&words("anaesthesia started"), Person::Nurse) {
                break;
            }
        }
        self.wait_to_hear();
        self.settle();
        self.nurse.due_ms = Some(self.stage.now_ms() + interval_ms / 5);
    }

    /// Reads the monitor where it is time, between two breaths of the vet.
    pub(super) fn watch(&mut self) {
        let Some(watch) = self.room.watch.clone() else {
            return;
        };
        let now_ms = self.stage.now_ms();
        let is_due = self.nurse.is_reminded || self.nurse.due_ms.is_some_and(|due| now_ms >= due);
        if !is_due {
            return;
        }
        self.wait_until_quiet();
        self.settle();
        let begun_ms = self.stage.now_ms().max(self.hands_ms);
        let (was_confirmed, about) = (self.is_confirmed, self.about);
        let before = self.outcome.utterances;
        let patient = self.talk.desk().record().patient.clone();
        let [first, second] = monitor(patient.species, &mut self.random);
        let round_ms = self.stage.now_ms();
        self.calls(first, round_ms);
        self.calls(second, round_ms);
        let grams = patient.weight.map_or(10_000, |weight| weight.grams());
        if let Some(call) = drug(self.nurse.rounds, u64::from(grams)) {
            let is_controlled = self.nurse.rounds == 0;
            self.calls(vec![call], round_ms);
            if is_controlled {
                self.say(&words("witness the vet"), Person::Nurse);
                self.wait_to_hear();
                self.settle();
            }
        }
        self.say(&words("confirm"), Person::Nurse);
        self.wait_to_hear();
        self.settle();
        self.nurse.rounds += 1;
        self.nurse.is_reminded = false;
        self.nurse.outcome.utterances += self.outcome.utterances - before;
        self.outcome.utterances = before;
        (self.is_confirmed, self.about) = (was_confirmed, about);
        let lost_ms = self.stage.now_ms().saturating_sub(begun_ms);
        self.nurse.outcome.lost_seconds += lost_ms as f64 / 1000.0;
        // Where she does not think of it, only the program's reminder or the next interval brings it up.
        let forgets = self.random.random_bool(watch.forgets);
        let intervals = if forgets { 2 } else { 1 };
        self.nurse.due_ms = Some(round_ms + intervals * watch.interval_ms);
    }

    /// Says calls in one breath until all are said back as they were meant.
    fn calls(&mut self, calls: Vec<Call>, round_ms: u64) {
        self.nurse
            .meant
            .extend(calls.iter().map(|call| (round_ms, call.clone())));
        self.nurse.wanted.clone_from(&calls);
        let mut left = calls;
        let mut denies = false;
        for _ in 0..ROUNDS_MAX {
            self.nurse.told.clear();
            let mut said = if denies { words("no") } else { Vec::new() };
            for call in &left {
                // "CO2" as the recogniser writes it.
                said.extend(self.talk.desk().grammar().words(&call.words));
            }
            self.say(&said, Person::Nurse);
            self.wait_to_hear();
            self.settle();
            let unnoticed = self.random.random_bool(self.room.inattention);
            let told: Vec<Watched> = self
                .nurse
                .told
                .iter()
                .filter_map(
                    |number| match &self.talk.desk().record().entry(*number)?.event {
                        Event::WatchRecorded { what, .. } => Some(what.clone()),
                        _ => None,
                    },
                )
                .collect();
            let is_wrong = |call: &Call| {
                told.iter().any(|what| call.what.is_of(what))
                    && !told.iter().any(|what| call.what.is(what))
            };
            denies = left.iter().any(is_wrong) && !unnoticed;
            left.retain(|call| {
                let is_told = told.iter().any(|what| call.what.is_of(what));
                !is_told || (is_wrong(call) && !unnoticed)
            });
            let is_foreign = told
                .iter()
                .any(|what| !self.nurse.wanted.iter().any(|call| call.what.is_of(what)));
            if is_foreign && !unnoticed && !denies {
                self.say(&words("no"), Person::Nurse);
                self.wait_to_hear();
                self.settle();
            }
            if left.is_empty() {
                break;
            }
        }
        if !left.is_empty() {
            self.give_up();
        }
        self.nurse.wanted.clear();
    }

    /// Compares the anaesthetic record with what she meant.
    pub(super) fn judge_watch(&mut self) -> WatchOutcome {
        let Some(watch) = self.room.watch.clone() else {
            return WatchOutcome::default();
        };
        let mut outcome = self.nurse.outcome;
        outcome.values = self.nurse.meant.len();
        outcome.rounds = self.nurse.rounds;
        let rounds: Vec<u64> = {
            let mut rounds: Vec<u64> = self.nurse.meant.iter().map(|(at, _)| *at).collect();
            rounds.dedup();
            rounds
        };
        let record = self.talk.desk().record();
        let opened_ms = record.opened_at.as_millisecond();
        let round_of = |at: jiff::Timestamp| {
            let ms = u64::try_from(at.as_millisecond() - opened_ms).unwrap_or(0);
            rounds.iter().rposition(|from| ms >= *from)
        };
        let mut is_there = vec![false; self.nurse.meant.len()];
        let mut notes = Vec::new();
        for (what, charted) in record.watched() {
            if !matches!(what, Watched::Vital(_) | Watched::Drug(_)) {
                continue;
            }
            let round = round_of(charted.at).map(|at| rounds[at]);
            let meant = self
                .nurse
                .meant
                .iter()
                .position(|(at, call)| Some(*at) == round && call.what.is(what));
            match meant {
                Some(at) => {
                    is_there[at] = true;
                    outcome.unconfirmed += usize::from(charted.standing != Standing::Confirmed);
                }
                None => {
                    notes.push(format!(
                        "WRONG {} {:?} at {}",
                        what.text(),
                        charted.standing,
                        charted.at
                    ));
                    outcome.wrong += 1;
                    outcome.wrong_confirmed += usize::from(charted.standing == Standing::Confirmed);
                }
            }
        }
        // What is not there, and not there in another form either.
        let lacking = is_there.iter().filter(|is| !**is).count();
        outcome.wrong = outcome.wrong.max(lacking);
        gaps(record, &watch, &mut outcome);
        for note in notes {
            self.note(&note);
        }
        outcome
    }
}

/// Intervals of the anaesthetic without a reading, as the report shows them.
fn gaps(record: &Record, watch: &Watch, outcome: &mut WatchOutcome) {
    let Some((from, _)) = monitoring::span(record) else {
        return;
    };
    let minutes = u32::try_from(watch.interval_ms / 60_000).unwrap_or(5);
    let until = record.last_at;
    outcome.intervals = usize::try_from(until.duration_since(from).as_mins()).unwrap_or(0)
        / usize::try_from(minutes).unwrap_or(5);
    outcome.missed = monitoring::gaps(record, minutes, until)
        .iter()
        .map(|gap| usize::try_from(gap.minutes()).unwrap_or(0) / minutes as usize)
        .sum();
}

/// A room in which she watches.
pub fn watched(room: Room) -> Room {
    Room {
        watch: Some(Watch::default()),
        ..room
    }
}
