//! Words in, intents out; and the word graph that tells the engines what may be heard.
//! The grammar itself is data in the folder `grammar/`, compiled into the program.
//!
//! Invariant: a sentence has one meaning. Tests sample the whole grammar for that.

pub mod help;
pub mod intent;
pub mod matcher;
pub mod meaning;
pub mod nearest;
pub mod otherwise;
pub mod sample;
pub mod sayings;
pub mod template;
pub mod word_set;

mod trade;

mod anaesthetic;
mod dental;
#[cfg(test)]
mod functional;
mod graph;
mod house_drugs;
mod mouth;
mod narrow;
#[cfg(test)]
mod phrasing;

#[cfg(test)]
mod tests;

use std::sync::Arc;

pub use intent::Intent;
pub use meaning::class_positions;
pub use sayings::Saying;
pub use template::{GrammarError, Situation};

use crate::speech::WordGraph;
use crate::speech::word_graph::{Senses, Word};
use crate::terms::Species;

const WORDS: &str = include_str!("../../../../grammar/words.en.grammar");
const EXAM: &str = include_str!("../../../../grammar/exam.en.grammar");
const ANAESTHETIC: &str = include_str!("../../../../grammar/anaesthetic.en.grammar");
const DENTAL: &str = include_str!("../../../../grammar/dental.en.grammar");
const MOUTH: &str = include_str!("../../../../grammar/mouth.en.grammar");
const SPELLINGS: &str = include_str!("../../../../grammar/spellings.en.tsv");

/// The whole grammar, read and checked.
#[derive(Debug)]
pub struct Grammar {
    book: template::Book,
    spellings: word_set::Spellings,
}

/// What a row of words means.
#[derive(Debug, Clone, PartialEq)]
pub enum Meaning {
    /// One utterance may hold several intents, in the order said.
    Said(Vec<Intent>),
    /// No sentence of the grammar in this situation.
    NotUnderstood,
    /// Two different meanings: a fault of the grammar (or of the clinic's own words), never guessed.
    Ambiguous(Vec<Intent>, Vec<Intent>),
}

/// The line of the grammar that a clinic's own phrase replaces.
const BUILT_IN_WAKE: &str = "  (start listening | listen again)";

/// Two words at least: one alone is heard in talk and noise too easily.
fn clinic_phrase(name: &str, phrase: &str) -> Result<String, GrammarError> {
    let words: Vec<&str> = phrase.split_whitespace().collect();
    let is_sound = words.len() >= 2
        && words
            .iter()
            .all(|word| word.chars().all(|letter| letter.is_ascii_alphabetic()));
    if is_sound {
        return Ok(words.join(" ").to_lowercase());
    }
    Err(GrammarError {
        place: template::Place {
            file: "clinic.toml".to_owned(),
            line: 1,
            column: 1,
        },
        what: format!("the phrase to {name} needs two or more words of plain letters"),
        text: phrase.to_owned(),
    })
}

fn interpret(
    book: &template::Book,
    words: &[&str],
    situation: Situation,
    species: Species,
) -> Meaning {
    let mut meanings: Vec<Vec<Intent>> = Vec::new();
    for reading in matcher::readings(book, words, situation) {
        if let Some(intents) = meaning::intents(&reading, words, species)
            && !meanings.contains(&intents)
        {
            meanings.push(intents);
        }
    }
    let mut meanings = meanings.into_iter();
    match (meanings.next(), meanings.next()) {
        (None, _) => Meaning::NotUnderstood,
        (Some(only), None) => Meaning::Said(only),
        (Some(one), Some(other)) => Meaning::Ambiguous(one, other),
    }
}

impl Grammar {
    /// The grammar that comes with the program.
    pub fn built_in() -> Result<Self, GrammarError> {
        Self::from_sources(&[
            ("words.en.grammar", WORDS),
            ("exam.en.grammar", EXAM),
            ("anaesthetic.en.grammar", ANAESTHETIC),
            ("dental.en.grammar", DENTAL),
            ("mouth.en.grammar", MOUTH),
        ])
    }

    /// The same with the phrases that a clinic chose to start listening (instead of the built-in ones) and to stop,
    /// with its own ways of saying things, and with the drugs in the house.
    pub fn for_clinic(
        wake: Option<&str>,
        sleep: Option<&str>,
        sayings: &[Saying],
        drugs: &[String],
    ) -> Result<Self, GrammarError> {
        let mut exam = EXAM.to_owned();
        if let Some(wake) = wake {
            let wake = clinic_phrase("wake", wake)?;
            exam = exam.replace(BUILT_IN_WAKE, &format!("  {wake}"));
        }
        let mut own = String::new();
        if let Some(sleep) = sleep {
            let sleep = clinic_phrase("sleep", sleep)?;
            own = format!("intent pause solo in table question\n  {sleep}\n");
        }
        let read = |own: &str| {
            Self::from_sources(&[
                ("words.en.grammar", WORDS),
                ("exam.en.grammar", &exam),
                ("anaesthetic.en.grammar", ANAESTHETIC),
                ("dental.en.grammar", DENTAL),
                ("mouth.en.grammar", MOUTH),
                ("clinic.toml", own),
            ])
        };
        let mut grammar = read(&own)?;
        let of_drugs = house_drugs::source(&grammar, drugs);
        if !of_drugs.is_empty() {
            let with = read(&format!("{own}{of_drugs}"))?;
            house_drugs::check(&grammar, &with, drugs)?;
            grammar = with;
        }
        sayings::add(&mut grammar, sayings)?;
        Ok(grammar)
    }

    /// A grammar from named sources, read in order; later ones may use what earlier ones name.
    pub fn from_sources(sources: &[(&str, &str)]) -> Result<Self, GrammarError> {
        let mut book = template::Book::default();
        for (name, text) in sources {
            book.read(name, text)?;
        }
        book.check()?;
        meaning::check(&book)?;
        Ok(Self {
            book,
            spellings: word_set::Spellings::read("spellings.en.tsv", SPELLINGS)?,
        })
    }

    /// What the words mean in the situation. Words are lower case, one an item.
    pub fn interpret<S: AsRef<str>>(
        &self,
        words: &[S],
        situation: Situation,
        species: Species,
    ) -> Meaning {
        let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
        interpret(&self.book, &words, situation, species)
    }

    /// The same where the words before lacked a part: what gives just that part is read beside them, in either order.
    /// Gives the words that were read. Whole sentences stay what they are; a bare number is the part that was asked for.
    pub fn interpret_beside(
        &self,
        before: Option<&str>,
        words: &[String],
        situation: Situation,
        species: Species,
    ) -> (Meaning, Vec<String>) {
        let alone = self.interpret(words, situation, species);
        let is_part = match &alone {
            Meaning::NotUnderstood => true,
            Meaning::Said(intents) => matches!(intents.as_slice(), [only] if intent::is_part(only)),
            Meaning::Ambiguous(..) => false,
        };
        let Some(before) = before.filter(|_| is_part) else {
            return (alone, words.to_vec());
        };
        let before: Vec<String> = before.split(' ').map(str::to_owned).collect();
        for joined in [
            [before.as_slice(), words].concat(),
            [words, before.as_slice()].concat(),
        ] {
            match self.interpret(&joined, situation, species) {
                // What still lacks a part is no answer.
                Meaning::Said(intents)
                    if !matches!(intents.last(), Some(Intent::Lacking { .. })) =>
                {
                    return (Meaning::Said(intents), joined);
                }
                _ => {}
            }
        }
        // One number is an answer, though no good one, and no reading of the next site.
        let is_one_number = matches!(&alone, Meaning::Said(intents)
            if matches!(intents.as_slice(), [Intent::RecordMillimetres { mm, .. }] if mm.len() == 1));
        if is_one_number {
            return (Meaning::NotUnderstood, words.to_vec());
        }
        (alone, words.to_vec())
    }

    /// Whether one of the words is of the trade: see [`trade`].
    pub fn has_word_of_trade(&self, words: &[String]) -> bool {
        trade::has_word(&self.book, words)
    }

    /// What may be heard in the situation.
    pub fn graph(&self, situation: Situation) -> Arc<WordGraph> {
        let mut graph = graph::build(&self.book, &self.spellings, situation);
        let book = self.book.clone();
        graph.senses = Senses::new(move |one, other| {
            // What means the same for one animal may not for the other, and need not be said of either.
            let mut is_said = false;
            [Species::Dog, Species::Cat].into_iter().all(|species| {
                let meaning = interpret(&book, one, situation, species);
                is_said |= matches!(meaning, Meaning::Said(_));
                meaning == interpret(&book, other, situation, species)
            }) && is_said
        });
        Arc::new(graph)
    }

    /// A word with the spellings an engine may write for it.
    pub fn spelled(&self, word: &str) -> Word {
        graph::spelled(word, &self.spellings)
    }

    /// The words of a typed sentence, as the matcher wants them: lower case, without punctuation,
    /// figures written out ("108" as one zero eight).
    pub fn words(&self, sentence: &str) -> Vec<String> {
        self.spellings.words(sentence)
    }

    /// What a model that lacks these words can never hear, and what to say instead.
    pub fn lost(&self, unknown: &[String]) -> Vec<otherwise::Lost> {
        otherwise::lost(&self.book, unknown)
    }

    /// Rows of words that mean two things, as an algorithm finds them over the whole language; none is sound.
    #[cfg(test)]
    pub(crate) fn two_meanings(&self, situation: Situation) -> Vec<String> {
        let (draft, ways) = graph::draft(&self.book, situation);
        functional::two_meanings(&draft, &ways, 20)
            .into_iter()
            .map(|found| {
                format!(
                    "{}: {} or {}",
                    found.words.join(" "),
                    found.one.join(", "),
                    found.other.join(", ")
                )
            })
            .collect()
    }

    /// The templates and lists, for samples and the help sheet.
    pub fn book(&self) -> &template::Book {
        &self.book
    }
}
