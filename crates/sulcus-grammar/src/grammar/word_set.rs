//! How words are written: other spellings, figures, and typed sentences cut into words.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use regex::Regex;

use super::template::{GrammarError, Place};

/// A word or a figure of a typed sentence; all else only separates.
static PIECE: LazyLock<Regex> =
    LazyLock::new(|| Regex::new(r"[\p{Alphabetic}\p{N}']+").expect("a pattern that is sound"));

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    pub figure: Option<String>,
    pub others: Vec<String>,
}

/// The table of `grammar/spellings.en.tsv`: word, figure, other spellings.
#[derive(Debug, Clone, Default)]
pub struct Spellings {
    rows: BTreeMap<String, Row>,
}

impl Spellings {
    pub(super) fn read(file: &str, text: &str) -> Result<Self, GrammarError> {
        let mut rows = BTreeMap::new();
        for (number, line) in text.lines().enumerate() {
            if line.trim().is_empty() || line.starts_with('#') {
                continue;
            }
            let mut cells = line.split('\t');
            let (Some(word), Some(figure)) = (cells.next(), cells.next()) else {
                return Err(GrammarError {
                    place: Place {
                        file: file.to_owned(),
                        line: number + 1,
                        column: 1,
                    },
                    what: "a row needs a word, a tab, and a figure or -".into(),
                    text: line.to_owned(),
                });
            };
            let others = cells
                .next()
                .unwrap_or_default()
                .split(',')
                .map(|other| other.trim().to_owned())
                .filter(|other| !other.is_empty())
                .collect();
            let figure = (figure != "-").then(|| figure.to_owned());
            rows.insert(word.to_owned(), Row { figure, others });
        }
        Ok(Self { rows })
    }

    pub(super) fn of(&self, word: &str) -> Option<&Row> {
        self.rows.get(word)
    }

    /// A typed sentence as words: lower case, punctuation dropped, other spellings made canonical,
    /// each figure read digit by digit ("108": one zero eight; "12": one two).
    pub fn words(&self, sentence: &str) -> Vec<String> {
        let mut words = Vec::new();
        let lower = long_forms(&sentence.to_lowercase());
        for piece in PIECE.find_iter(&lower).map(|found| found.as_str()) {
            if piece.chars().all(|c| c.is_ascii_digit()) {
                for digit in piece.chars() {
                    let digit = digit.to_string();
                    if let Some((word, _)) = self
                        .rows
                        .iter()
                        .rev()
                        .find(|(_, row)| row.figure.as_deref() == Some(&digit))
                    {
                        words.push(word.clone());
                    }
                }
            } else {
                let canonical = self
                    .rows
                    .iter()
                    .find(|(word, row)| {
                        word.as_str() == piece
                            || row
                                .others
                                .iter()
                                .any(|other| other == piece && !is_common(other))
                    })
                    .map_or(piece, |(word, _)| word.as_str());
                // "CO2" is two words.
                words.extend(
                    canonical
                        .split(' ')
                        .filter(|word| *word != HESITATION)
                        .map(str::to_owned),
                );
            }
        }
        words
    }
}

/// What people say while they think; it means nothing wherever it stands. The word graph has it where sentences begin.
const HESITATION: &str = "um";

/// Short forms of speech as the words that they stand for: "it's" is "it is", before "got" and "been" it is "it has".
/// The grammar has the long forms alone.
fn long_forms(sentence: &str) -> String {
    static SHORT: LazyLock<Regex> = LazyLock::new(|| {
        Regex::new(r"(?P<word>\p{Alphabetic}+)(?P<end>n['’]t|['’](?:s|re|ve|ll|d|m))\b(?P<after>\s+(?:got|been|come|gone|had)\b)?")
            .expect("a pattern that is sound")
    });
    static LAX: LazyLock<Regex> = LazyLock::new(|| {
        Regex::new(r"\b(?:gonna|gotta|wanna)\b").expect("a pattern that is sound")
    });
    let long = SHORT.replace_all(sentence, |found: &regex::Captures<'_>| {
        let (word, after) = (
            &found["word"],
            found.name("after").map_or("", |at| at.as_str()),
        );
        let end = match found["end"].replace('’', "'").as_str() {
            "n't" if word == "ca" => return format!("cannot{after}"),
            "n't" => " not",
            "'s" if word == "let" => " us",
            "'s" if !after.is_empty() => " has",
            "'s" => " is",
            "'re" => " are",
            "'ve" => " have",
            "'ll" => " will",
            "'d" => " would",
            _ => " am",
        };
        format!("{word}{end}{after}")
    });
    let long = LAX.replace_all(&long, |found: &regex::Captures<'_>| match &found[0] {
        "gonna" => "going to",
        "gotta" => "got to",
        _ => "want to",
    });
    // "In three months' time": what is left of an apostrophe stands for nothing.
    long.replace(['\'', '’'], "")
}

/// Typed "to" and "for" are themselves; only an engine confuses them with numbers.
fn is_common(word: &str) -> bool {
    matches!(
        word,
        "to" | "too" | "two" | "for" | "ate" | "won" | "o" | "2"
    )
}
