//! Whole examinations of plausible patients, made by seed, said as a vet would say them, and compared with what was
//! meant. Dogs and cats, young and old. A failing seed is printed; each becomes a transcript.
//! The same examinations are played as sound in `app`.

use std::collections::BTreeMap;

use rand::seq::IndexedRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::Table;
use crate::record::{Event, Record};
use crate::terms::dentition::{self, Stage};
use crate::terms::{
    Decision, Finding, Kind, Place, Side, Site, Species, Subject, ToothNumber, Value,
};

/// What the vet means to chart.
#[derive(Default, Clone, PartialEq, Debug)]
pub struct Meant {
    pub findings: BTreeMap<(Subject, Kind, Place), Value>,
    pub decisions: BTreeMap<ToothNumber, Decision>,
}

/// What is said in one breath, by its parts.
#[derive(Clone, PartialEq, Debug)]
pub struct Sentence(Vec<String>);

impl Sentence {
    pub fn text(&self) -> String {
        self.0.join(" ")
    }

    /// With a mark where a person makes a short pause.
    pub fn aloud(&self) -> String {
        self.0.join(", ") + "."
    }
}

impl From<&str> for Sentence {
    fn from(text: &str) -> Self {
        Self(vec![text.to_owned()])
    }
}

/// A vet at work: what is meant, and the sentences that say it.
pub struct Vet {
    random: ChaCha8Rng,
    pub species: Species,
    pub is_young: bool,
    pub meant: Meant,
    pub sentences: Vec<Sentence>,
}

const DIGITS: [&str; 10] = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];

fn number(tooth: ToothNumber) -> String {
    let position = match tooth.position() {
        10 => "ten".to_owned(),
        11 => "eleven".to_owned(),
        position => format!("oh {}", DIGITS[position as usize]),
    };
    format!("{} {position}", DIGITS[tooth.quadrant() as usize])
}

impl Vet {
    fn note(&mut self, tooth: ToothNumber, kind: Kind, place: Place, value: Value) {
        self.meant
            .findings
            .insert((Subject::Tooth(tooth), kind, place), value);
    }

    fn flip(&mut self, probability: f64) -> bool {
        self.random.random_bool(probability)
    }

    /// The whole mouth, tooth by tooth.
    fn examine(&mut self, teeth: &[ToothNumber], sick: f64) {
        for &tooth in teeth {
            if self.flip(0.04) {
                self.note(tooth, Kind::Absent, Place::Whole, Value::Present);
                self.sentences
                    .push(format!("tooth {} missing", number(tooth)).as_str().into());
                self.sentences.push("confirm".into());
            } else if self.flip(sick) {
                self.sick_tooth(tooth);
            }
        }
        self.rest_normal(teeth);
        self.sentences.push("confirm everything".into());
        self.mouth();
    }

    fn rest_normal(&mut self, teeth: &[ToothNumber]) {
        let mut said = false;
        for &tooth in teeth {
            let is_charted = self
                .meant
                .findings
                .keys()
                .any(|(subject, ..)| *subject == Subject::Tooth(tooth));
            if !is_charted {
                self.note(tooth, Kind::Normal, Place::Whole, Value::Present);
                said = true;
            }
        }
        if said {
            self.sentences.push("rest normal".into());
        }
    }

    fn sick_tooth(&mut self, tooth: ToothNumber) {
        let mut line = vec![format!("tooth {}", number(tooth))];
        let tongue_side = if matches!(tooth.quadrant(), 1 | 2 | 5 | 6) {
            "palatal"
        } else {
            "lingual"
        };
        for (side, word) in [(Side::Buccal, "buccal"), (Side::Lingual, tongue_side)] {
            let mut said = vec![word.to_owned()];
            for site in Site::of_side(side) {
                // Deep, but below what is asked about in either species.
                let mm = self.random.random_range(1..=5);
                self.note(tooth, Kind::Depth, Place::Site(site), Value::Mm(mm));
                said.push(DIGITS[mm as usize].to_owned());
            }
            line.push(said.join(" "));
        }
        for (kind, word, max) in [
            (Kind::Mobility, "mobility", 2),
            (Kind::Gingivitis, "gingivitis", 3),
            (Kind::Calculus, "calculus", 3),
        ] {
            if self.flip(0.4) {
                let grade = self.random.random_range(0..=max);
                self.note(tooth, kind, Place::Whole, Value::Grade(grade));
                line.push(format!("{word} {}", DIGITS[grade as usize]));
            }
        }
        let has_fork = dentition::roots(self.species, tooth).is_some_and(|roots| roots.count > 1);
        if has_fork && self.flip(0.4) {
            let grade = self.random.random_range(1..=2);
            self.note(tooth, Kind::Furcation, Place::Whole, Value::Grade(grade));
            line.push(format!("furcation {}", DIGITS[grade as usize]));
        }
        if self.flip(0.15) {
            let (code, words) = [
                ("UCF", "uncomplicated crown fracture"),
                ("EI", "enamel infraction"),
            ]
            .choose(&mut self.random)
            .copied()
            .expect("not empty");
            self.note(
                tooth,
                Kind::Fracture,
                Place::Whole,
                Value::Code(code.into()),
            );
            line.push(words.into());
        }
        self.slip(tooth, &mut line);
        // One breath, or one sentence at a time.
        if self.flip(0.5) {
            self.sentences.push(Sentence(line));
        } else {
            let parts = line.into_iter().map(|part| Sentence(vec![part]));
            self.sentences.extend(parts);
        }
        self.sentences.push("confirm".into());
        self.decide(tooth);
    }

    /// Now and then the vet says a wrong grade and mends it.
    fn slip(&mut self, tooth: ToothNumber, line: &mut Vec<String>) {
        if self.flip(0.2) {
            self.sentences
                .push(format!("tooth {}", number(tooth)).as_str().into());
            self.sentences.push("mobility two".into());
            self.sentences.push("no mobility one".into());
            self.note(tooth, Kind::Mobility, Place::Whole, Value::Grade(1));
            line.retain(|said| !said.starts_with("mobility"));
        }
    }

    fn decide(&mut self, tooth: ToothNumber) {
        let decision = match self.random.random_range(0..4) {
            0 => {
                self.sentences.extend(["extract".into(), "confirm".into()]);
                Decision::Extract
            }
            1 => {
                self.sentences
                    .extend(["monitor six months".into(), "confirm".into()]);
                Decision::Monitor { months: Some(6) }
            }
            2 => {
                self.sentences.extend(["leave".into(), "confirm".into()]);
                Decision::Leave
            }
            _ => return,
        };
        self.meant.decisions.insert(tooth, decision);
    }

    fn mouth(&mut self) {
        if self.flip(0.3) {
            self.meant.findings.insert(
                (Subject::Mouth, Kind::Occlusion, Place::Whole),
                Value::Grade(1),
            );
            self.sentences
                .extend(["occlusion class one".into(), "confirm".into()]);
        }
        if self.species == Species::Cat && self.flip(0.3) {
            let value = Value::Code("caudal".into());
            self.meant
                .findings
                .insert((Subject::Mouth, Kind::Stomatitis, Place::Whole), value);
            self.sentences
                .extend(["caudal stomatitis".into(), "confirm".into()]);
        }
    }
}

/// What a record holds of it.
pub fn charted(record: &Record) -> Meant {
    let mut meant = Meant::default();
    for charted in record.current() {
        match &charted.event {
            Event::FindingRecorded { finding, .. } => {
                let Finding {
                    subject,
                    kind,
                    place,
                    value,
                } = finding.clone();
                meant.findings.insert((subject, kind, place), value);
            }
            Event::DecisionRecorded {
                tooth, decision, ..
            } => {
                meant.decisions.insert(*tooth, decision.clone());
            }
            _ => {}
        }
    }
    meant
}

/// The vet of a seed, with the script of the whole examination, and the table that it is said at.
pub fn invent(seed: u64) -> (Table, Vet) {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let species = if random.random_bool(0.5) {
        Species::Dog
    } else {
        Species::Cat
    };
    let is_young = random.random_bool(0.2);
    let sick = if is_young {
        0.05
    } else {
        random.random_range(0.1..0.5)
    };
    let mut vet = Vet {
        random,
        species,
        is_young,
        meant: Meant::default(),
        sentences: Vec::new(),
    };
    let mut table = Table::open(species);
    // Three months: deciduous teeth, and the first permanent ones may come.
    table.record.patient.born = Some(if is_young {
        "2026-10-20".into()
    } else {
        "2019".into()
    });
    let teeth = crate::session::reply::missing_teeth(&table.record);
    vet.examine(&teeth, sick);
    (table, vet)
}

#[test]
fn fifty_examinations_end_as_they_were_meant() {
    for seed in 0..50 {
        let (mut table, vet) = invent(seed);
        for sentence in &vet.sentences {
            let sentence = sentence.text();
            for answer in table.say(&sentence) {
                assert!(
                    !answer.starts_with('('),
                    "seed {seed}: {sentence} -> {answer}"
                );
            }
        }
        assert_eq!(charted(&table.record), vet.meant, "seed {seed}");
        assert_eq!(
            table.record.unconfirmed().count(),
            0,
            "seed {seed}: all was confirmed"
        );
        assert!(
            crate::session::reply::missing_teeth(&table.record).is_empty(),
            "seed {seed}"
        );
    }
}

/// A normal adult dog: every tooth read at six sites, all confirmed.
#[test]
fn a_normal_dog_takes_few_utterances() {
    let mut table = Table::open(Species::Dog);
    let mut utterances = Vec::new();
    for tooth in dentition::examination_path(Species::Dog, Stage::Permanent) {
        utterances.push(format!("tooth {} all depths two", number(tooth)));
        if tooth.position() == 1 || tooth.position() == 8 {
            utterances.push("confirm everything".to_owned());
        }
    }
    utterances.push("confirm everything".to_owned());
    utterances.push("finish examination".to_owned());
    for utterance in &utterances {
        table.say(utterance);
    }
    let depths = table
        .record
        .findings()
        .filter(|(finding, _)| finding.kind == Kind::Depth)
        .count();
    assert_eq!(depths, 42 * 6);
    assert_eq!(table.record.unconfirmed().count(), 0);
    assert_eq!(table.record.phase, crate::record::fold::Phase::Finished);
    println!(
        "a normal adult dog, six depths for each of 42 teeth: {} utterances",
        utterances.len()
    );
    let mut short = Table::open(Species::Dog);
    for utterance in ["all teeth normal", "confirm", "finish examination"] {
        short.say(utterance);
    }
    assert_eq!(short.record.phase, crate::record::fold::Phase::Finished);
    assert!(utterances.len() < 120, "{} utterances", utterances.len());
}
