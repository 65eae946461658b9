//! Learning tooth numbers and names: what is asked, whether an answer is right, and the score of each person, kept in
//! `study.toml` in the data folder. Enters nothing into any visit.
//!
//! Invariant: a name asked for is not answered by its number, nor a number by itself.

use std::collections::BTreeMap;
use std::path::Path;

use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;
use serde::{Deserialize, Serialize};

use crate::export::write_file;
use crate::grammar::intent::Intent;
use crate::grammar::{Grammar, Meaning, Situation};
use crate::terms::dentition::{self, Stage};
use crate::terms::{Species, ToothNumber};

/// Name of the file in the data folder.
const FILE: &str = "study.toml";

/// Which way round is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Way {
    /// The name is told, the number is the answer
    Numbers,
    /// The number is told, the name is the answer
    Names,
}

/// Whose teeth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Mouth {
    Dog,
    Cat,
    /// Deciduous teeth of a dog
    Puppy,
    /// Deciduous teeth of a cat
    Kitten,
}

impl Mouth {
    pub fn species(self) -> Species {
        match self {
            Self::Dog | Self::Puppy => Species::Dog,
            Self::Cat | Self::Kitten => Species::Cat,
        }
    }

    fn stage(self) -> Stage {
        match self {
            Self::Dog | Self::Cat => Stage::Permanent,
            Self::Puppy | Self::Kitten => Stage::Deciduous,
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Dog => "dog",
            Self::Cat => "cat",
            Self::Puppy => "puppy",
            Self::Kitten => "kitten",
        }
    }
}

/// What an answer was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    Right,
    /// Another tooth.
    Wrong(ToothNumber),
    /// The tooth, told the way that was given.
    OtherWay,
    /// No tooth.
    NoTooth,
}

/// The questions of a lesson, in the order they are asked.
#[derive(Debug, Clone)]
pub struct Lesson {
    mouth: Mouth,
    way: Way,
}

impl Lesson {
    pub fn new(mouth: Mouth, way: Way) -> Self {
        Self { mouth, way }
    }

    /// So many different teeth by chance; those that were missed before come first. Fewer where there are fewer.
    pub fn questions(
        &self,
        count: usize,
        score: &Score,
        random: &mut ChaCha8Rng,
    ) -> Vec<ToothNumber> {
        let mut teeth = dentition::teeth(self.mouth.species(), self.mouth.stage());
        teeth.shuffle(random);
        // Kept in their chance order within missed and not missed.
        teeth.sort_by_key(|tooth| !score.missed.contains(&tooth.number()));
        teeth.truncate(count);
        teeth
    }

    /// The question in words, as shown and as spoken.
    pub fn question(&self, tooth: ToothNumber) -> String {
        match self.way {
            Way::Numbers => format!("{}?", dentition::name(tooth)),
            Way::Names => format!("{tooth}?"),
        }
    }

    /// What would have been right.
    pub fn solution(&self, tooth: ToothNumber) -> String {
        match self.way {
            Way::Numbers => tooth.to_string(),
            Way::Names => dentition::name(tooth),
        }
    }

    /// Judges what was said or typed; figures count as their words.
    pub fn judge(&self, grammar: &Grammar, tooth: ToothNumber, answer: &str) -> Answer {
        let written = answer.trim();
        let is_figure = written.len() == 3 && written.bytes().all(|b| b.is_ascii_digit());
        let (said, is_number) = if is_figure {
            let number = written.parse().ok();
            let said = number.and_then(|number| ToothNumber::new(number).ok());
            (said, true)
        } else {
            let words = grammar.words(&written.to_lowercase());
            // "tooth" may stand before either; whether a digit is among the words tells the two apart.
            let is_number = words.iter().any(|word| DIGITS.contains(&word.as_str()));
            let meaning = grammar.interpret(&words, Situation::Table, self.mouth.species());
            let said = match &meaning {
                Meaning::Said(intents) => match intents.as_slice() {
                    [Intent::ChooseTooth(said)] => Some(*said),
                    _ => None,
                },
                _ => None,
            };
            (said, is_number)
        };
        match said {
            None => Answer::NoTooth,
            Some(said) if said != tooth => Answer::Wrong(said),
            Some(_) if is_number != (self.way == Way::Numbers) => Answer::OtherWay,
            Some(_) => Answer::Right,
        }
    }

    fn key(&self) -> String {
        let way = match self.way {
            Way::Numbers => "numbers",
            Way::Names => "names",
        };
        format!("{} {way}", self.mouth.word())
    }
}

const DIGITS: [&str; 11] = [
    "oh", "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];

/// How a person did in one kind of lesson.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Score {
    /// Questions asked over all lessons.
    pub asked: u64,
    pub right: u64,
    /// Of the last lesson, for comparison.
    pub last_asked: u64,
    pub last_right: u64,
    /// Teeth whose last answer was not right.
    #[serde(default)]
    pub missed: Vec<u16>,
}

impl Score {
    /// Takes a lesson in.
    pub fn add(&mut self, answers: &[(ToothNumber, Answer)]) {
        (self.last_asked, self.last_right) = (answers.len() as u64, 0);
        for (tooth, answer) in answers {
            let number = tooth.number();
            self.missed.retain(|missed| *missed != number);
            if *answer == Answer::Right {
                self.last_right += 1;
            } else {
                self.missed.push(number);
            }
        }
        self.asked += self.last_asked;
        self.right += self.last_right;
    }
}

/// Scores of all people, by name and kind of lesson.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Scores(BTreeMap<String, BTreeMap<String, Score>>);

impl Scores {
    /// No file is no scores.
    ///
    /// # Errors
    /// Where the file cannot be read or is no such file: says which and what to do.
    pub fn load(folder: &Path) -> anyhow::Result<Self> {
        let path = folder.join(FILE);
        match std::fs::read_to_string(&path) {
            Ok(text) => toml::from_str(&text).map_err(|why| {
                anyhow::anyhow!(
                    "{}: {}; mend it, or delete it and begin the scores anew",
                    path.display(),
                    why.message()
                )
            }),
            Err(why) if why.kind() == std::io::ErrorKind::NotFound => Ok(Self::default()),
            Err(why) => Err(anyhow::anyhow!("{}: {why}", path.display())),
        }
    }

    pub fn of(&mut self, person: &str, lesson: &Lesson) -> &mut Score {
        self.0
            .entry(person.to_owned())
            .or_default()
            .entry(lesson.key())
            .or_default()
    }

    /// # Errors
    /// Where the file cannot be written.
    pub fn save(&self, folder: &Path) -> anyhow::Result<()> {
        Ok(write_file(
            &folder.join(FILE),
            toml::to_string(self)?.as_bytes(),
        )?)
    }
}

#[cfg(test)]
mod tests {
    use rand::SeedableRng;

    use super::*;

    fn tooth(number: u16) -> ToothNumber {
        ToothNumber::new(number).unwrap()
    }

    #[test]
    fn a_number_is_answered_by_figures_or_words_and_a_name_by_its_words() {
        let grammar = Grammar::built_in().unwrap();
        let numbers = Lesson::new(Mouth::Dog, Way::Numbers);
        for right in ["208", "two oh eight", "tooth two zero eight"] {
            assert_eq!(
                numbers.judge(&grammar, tooth(208), right),
                Answer::Right,
                "{right}"
            );
        }
        assert_eq!(
            numbers.judge(&grammar, tooth(208), "108"),
            Answer::Wrong(tooth(108))
        );
        assert_eq!(numbers.judge(&grammar, tooth(208), "999"), Answer::NoTooth);
        assert_eq!(
            numbers.judge(&grammar, tooth(208), "mobility two"),
            Answer::NoTooth
        );
        let names = Lesson::new(Mouth::Dog, Way::Names);
        let name = "left maxillary fourth premolar";
        assert_eq!(names.judge(&grammar, tooth(208), name), Answer::Right);
        assert_eq!(names.judge(&grammar, tooth(208), "208"), Answer::OtherWay);
        assert_eq!(numbers.judge(&grammar, tooth(208), name), Answer::OtherWay);
    }

    #[test]
    fn every_tooth_can_be_asked_and_answered_both_ways() {
        let grammar = Grammar::built_in().unwrap();
        for mouth in [Mouth::Dog, Mouth::Cat, Mouth::Puppy, Mouth::Kitten] {
            for way in [Way::Numbers, Way::Names] {
                let lesson = Lesson::new(mouth, way);
                for tooth in dentition::teeth(mouth.species(), mouth.stage()) {
                    assert_eq!(
                        lesson.judge(&grammar, tooth, &lesson.solution(tooth)),
                        Answer::Right,
                        "{mouth:?} {way:?} {tooth}"
                    );
                    assert!(!lesson.question(tooth).contains(&lesson.solution(tooth)));
                }
            }
        }
    }

    #[test]
    fn what_was_missed_is_asked_first_the_next_time() {
        let lesson = Lesson::new(Mouth::Cat, Way::Numbers);
        let mut score = Score::default();
        let mut random = ChaCha8Rng::seed_from_u64(1);
        let asked = lesson.questions(10, &score, &mut random);
        assert_eq!(asked.len(), 10);
        score.add(&[
            (asked[0], Answer::Right),
            (asked[1], Answer::NoTooth),
            (asked[2], Answer::Wrong(asked[0])),
        ]);
        assert_eq!((score.asked, score.right), (3, 1));
        let again = lesson.questions(2, &score, &mut random);
        assert!(again.contains(&asked[1]) && again.contains(&asked[2]));
        score.add(&[(asked[1], Answer::Right)]);
        assert_eq!(score.missed, [asked[2].number()]);
        assert_eq!(lesson.questions(100, &score, &mut random).len(), 30);
    }

    #[test]
    fn scores_are_kept_by_person_and_lesson() {
        let folder = tempfile::tempdir().unwrap();
        let lesson = Lesson::new(Mouth::Puppy, Way::Names);
        let mut scores = Scores::load(folder.path()).unwrap();
        scores
            .of("Nurse A", &lesson)
            .add(&[(tooth(504), Answer::Right)]);
        scores.save(folder.path()).unwrap();
        let mut read = Scores::load(folder.path()).unwrap();
        assert_eq!(read, scores);
        assert_eq!(read.of("Nurse A", &lesson).right, 1);
        assert_eq!(read.of("Nurse B", &lesson).asked, 0);
        std::fs::write(folder.path().join(FILE), "= nothing").unwrap();
        let why = Scores::load(folder.path()).unwrap_err().to_string();
        assert!(why.contains(FILE) && why.contains("delete it"), "{why}");
    }
}
