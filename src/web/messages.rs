//! The words of the pages: Fluent files, one a language, read here and handed to the page's script as plain JSON, so
//! that the script holds no words of its own.
//!
//! Invariants: English is complete; a key that another language lacks is shown in English; a file that cannot be read
//! whole is refused with its line.

use std::collections::BTreeMap;

use fluent_syntax::ast::{
    CallArguments, Entry, Expression, InlineExpression, Pattern, PatternElement, VariantKey,
};
use fluent_syntax::parser;
use serde::Serialize;

/// The language of the program itself: speech and replies are English whatever the page speaks.
pub const ENGLISH: &str = "en";

/// A language tag, and the text of its file.
pub(crate) type File = (&'static str, &'static str);

/// Files of the page's words by language tag.
const FILES: [File; 2] = [
    (ENGLISH, include_str!("messages/en.ftl")),
    ("de", include_str!("messages/de.ftl")),
];

/// A part of a message: text as it is, or a gap.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub(crate) enum Part {
    Text(String),
    Gap(Gap),
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) enum Gap {
    /// The value of this name.
    #[serde(rename = "value")]
    Value(String),
    /// One of several messages, by a number's plural category or by a word.
    #[serde(rename = "choice")]
    Choice {
        of: String,
        variants: BTreeMap<String, Vec<Part>>,
        default: String,
    },
}

/// All messages of one language.
pub(crate) type Messages = BTreeMap<String, Vec<Part>>;

/// Why a file of messages cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MessagesError {
    #[error("{language}.ftl, line {line}: {why}")]
    Syntax {
        language: String,
        line: usize,
        why: String,
    },
    #[error("{language}.ftl, message {key}: {why}")]
    Unfit {
        language: String,
        key: String,
        why: &'static str,
    },
}

/// What a page gets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct MessagesOut {
    language: String,
    messages: Messages,
}

#[cfg(test)]
pub(super) fn page_faults(
    asked: &std::collections::BTreeSet<String>,
) -> Result<Vec<String>, MessagesError> {
    faults(&FILES, asked)
}

/// Languages of the page that there are.
pub fn languages() -> Vec<&'static str> {
    FILES.iter().map(|(language, _)| *language).collect()
}

/// The messages of the table's page in a language, English where it lacks one or is not known.
pub(super) fn of(language: &str) -> Result<MessagesOut, MessagesError> {
    of_files(&FILES, language)
}

/// The same of another page, whose files are these.
pub(crate) fn of_files(files: &[File], language: &str) -> Result<MessagesOut, MessagesError> {
    let mut messages = read(files, ENGLISH)?;
    let known = files.iter().find(|(known, _)| *known == language);
    let language = known.map_or(ENGLISH, |(known, _)| known);
    if language != ENGLISH {
        messages.extend(read(files, language)?);
    }
    Ok(MessagesOut {
        language: language.to_owned(),
        messages,
    })
}

/// One file alone.
fn read(files: &[File], language: &str) -> Result<Messages, MessagesError> {
    let text = files
        .iter()
        .find(|(known, _)| *known == language)
        .map_or("", |(_, text)| text);
    parse(language, text)
}

/// What is wrong with the words of a page: keys that its scripts ask for and English lacks, keys that nobody asks for,
/// keys and gaps of another language that English does not have.
#[cfg(test)]
pub(crate) fn faults(
    files: &[File],
    asked: &std::collections::BTreeSet<String>,
) -> Result<Vec<String>, MessagesError> {
    let english = read(files, ENGLISH)?;
    let lacking = asked.iter().filter(|key| !english.contains_key(*key));
    let unused = english.keys().filter(|key| !asked.contains(*key));
    let mut faults: Vec<String> = lacking
        .map(|key| format!("{key}: asked for, not written"))
        .chain(unused.map(|key| format!("{key}: written, never asked for")))
        .collect();
    for (language, _) in files {
        for (key, parts) in read(files, language)? {
            match english.get(&key) {
                None => faults.push(format!("{language}.ftl: English has no {key}")),
                Some(wanted) if gaps(&parts) != gaps(wanted) => {
                    faults.push(format!("{language}.ftl, {key}: other gaps than in English"));
                }
                Some(_) => {}
            }
        }
    }
    Ok(faults)
}

pub(super) fn parse(language: &str, text: &str) -> Result<Messages, MessagesError> {
    let resource = parser::parse(text).map_err(|(_, errors)| {
        let first = errors.first();
        let at = first.map_or(0, |error| error.pos.start);
        MessagesError::Syntax {
            language: language.to_owned(),
            line: text
                .get(..at)
                .map_or(1, |before| before.lines().count().max(1)),
            why: first.map_or_else(String::new, |error| error.kind.to_string()),
        }
    })?;
    let mut messages = Messages::new();
    for entry in &resource.body {
        let Entry::Message(message) = entry else {
            continue;
        };
        let key = message.id.name.to_owned();
        let unfit = |why| MessagesError::Unfit {
            language: language.to_owned(),
            key: key.clone(),
            why,
        };
        let pattern = message.value.as_ref().ok_or_else(|| unfit("it is empty"))?;
        let parts = parts(pattern).ok_or_else(|| {
            unfit("only { $value } and choices by { $value -> } are understood here")
        })?;
        if messages.insert(key.clone(), parts).is_some() {
            return Err(unfit("it is there twice"));
        }
    }
    Ok(messages)
}

fn parts(pattern: &Pattern<&str>) -> Option<Vec<Part>> {
    pattern
        .elements
        .iter()
        .map(|element| match element {
            PatternElement::TextElement { value } => Some(Part::Text((*value).to_owned())),
            PatternElement::Placeable {
                expression: Expression::Inline(inline),
            } => match inline {
                InlineExpression::VariableReference { id } => {
                    Some(Part::Gap(Gap::Value(id.name.to_owned())))
                }
                InlineExpression::StringLiteral { value } => Some(Part::Text((*value).to_owned())),
                _ => None,
            },
            PatternElement::Placeable {
                expression: Expression::Select { selector, variants },
            } => {
                let of = selected(selector)?;
                let mut default = None;
                let mut all = BTreeMap::new();
                for variant in variants {
                    let key = match &variant.key {
                        VariantKey::Identifier { name } => (*name).to_owned(),
                        VariantKey::NumberLiteral { value } => (*value).to_owned(),
                    };
                    if variant.default {
                        default = Some(key.clone());
                    }
                    all.insert(key, parts(&variant.value)?);
                }
                Some(Part::Gap(Gap::Choice {
                    of,
                    variants: all,
                    default: default?,
                }))
            }
        })
        .collect()
}

/// `$count`, or `NUMBER($count)`.
fn selected(selector: &InlineExpression<&str>) -> Option<String> {
    match selector {
        InlineExpression::VariableReference { id } => Some(id.name.to_owned()),
        InlineExpression::FunctionReference {
            arguments: CallArguments { positional, .. },
            ..
        } => match positional.first() {
            Some(InlineExpression::VariableReference { id }) => Some(id.name.to_owned()),
            _ => None,
        },
        _ => None,
    }
}

/// Names of the gaps of a message, those of its choices too.
#[cfg(test)]
fn gaps(parts: &[Part]) -> std::collections::BTreeSet<String> {
    let mut names = std::collections::BTreeSet::new();
    for part in parts {
        match part {
            Part::Text(_) => {}
            Part::Gap(Gap::Value(name)) => {
                names.insert(name.clone());
            }
            Part::Gap(Gap::Choice { of, variants, .. }) => {
                names.insert(of.clone());
                for variant in variants.values() {
                    names.extend(gaps(variant));
                }
            }
        }
    }
    names
}
