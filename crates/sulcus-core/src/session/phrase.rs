//! What is to be said, without how: a key of `grammar/replies.en.toml` (or of the rules) and its slots.
//! `voice` makes words of it; the page shows it as text.

use super::rules::Rules;
use crate::terms::ToothNumber;

/// What fills a gap of a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Slot {
    Tooth(ToothNumber),
    Teeth(Vec<ToothNumber>),
    /// Said one by one: "three two three".
    Digits(Vec<u8>),
    Number(u16),
    Text(String),
    /// A figure with or without a point, said digit by digit: "37.4".
    Figure(String),
    /// Phrases one after another.
    Phrases(Vec<Phrase>),
    /// Parts of one sentence, joined with spaces.
    Parts(Vec<Slot>),
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phrase {
    /// Key of a reply, or of a rule where `is_rule`.
    pub key: String,
    pub is_rule: bool,
    /// It waits for yes or no: said after all else.
    pub is_question: bool,
    pub slots: Vec<(&'static str, Slot)>,
    /// Journal numbers of the values that it says back.
    pub entries: Vec<u64>,
}

impl Phrase {
    pub fn new(key: &str) -> Self {
        Self {
            key: key.to_owned(),
            is_rule: false,
            is_question: false,
            slots: Vec::new(),
            entries: Vec::new(),
        }
    }

    /// The sentence of a rule.
    pub fn rule(key: &str) -> Self {
        Self {
            is_rule: true,
            ..Self::new(key)
        }
    }

    pub fn with(mut self, name: &'static str, slot: Slot) -> Self {
        self.slots.push((name, slot));
        self
    }

    pub fn maybe_tooth(self, tooth: Option<ToothNumber>) -> Self {
        match tooth {
            Some(tooth) => self.with("tooth", Slot::Tooth(tooth)),
            None => self,
        }
    }

    pub fn saying_back(mut self, entries: Vec<u64>) -> Self {
        self.entries = entries;
        self
    }

    /// Its phrases with gaps in braces, from the replies or the rules.
    pub fn templates<'a>(&'a self, rules: &'a Rules) -> Vec<&'a str> {
        if self.is_rule {
            vec![rules.say(&self.key)]
        } else {
            super::reply::templates(&self.key)
                .iter()
                .map(String::as_str)
                .collect()
        }
    }

    /// The sentence in writing, figures as figures: for the journal, the terminal and the page.
    pub fn plain(&self, rules: &Rules) -> String {
        let mut text = String::new();
        for template in self.templates(rules) {
            let mut phrase = template.replace("Tooth, {tooth}", "{tooth}");
            for (name, slot) in &self.slots {
                phrase = phrase.replace(&format!("{{{name}}}"), &slot.plain(rules));
            }
            // A full stop inside is a pause in speech; in writing a comma keeps the line together.
            let joint = match text.chars().last() {
                None => "",
                Some('?' | '!' | ':') => " ",
                Some(_) => ", ",
            };
            text.push_str(joint);
            text.push_str(phrase.trim().trim_end_matches('.'));
        }
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

impl Slot {
    fn plain(&self, rules: &Rules) -> String {
        let join = |parts: Vec<String>, with: &str| parts.join(with);
        match self {
            Self::Tooth(tooth) => tooth.to_string(),
            Self::Teeth(teeth) => join(teeth.iter().map(ToString::to_string).collect(), ", "),
            Self::Digits(digits) => join(digits.iter().map(ToString::to_string).collect(), " "),
            Self::Number(number) => number.to_string(),
            Self::Text(text) | Self::Figure(text) => text.clone(),
            // A part that goes on after a comma brings it along.
            Self::Parts(parts) => {
                join(parts.iter().map(|part| part.plain(rules)).collect(), " ").replace(" ,", ",")
            }
            Self::Phrases(phrases) => join(phrases.iter().map(|p| p.plain(rules)).collect(), ", "),
        }
    }
}
