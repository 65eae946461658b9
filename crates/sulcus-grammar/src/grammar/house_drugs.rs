//! Drugs that only a clinic's own file names: said as those that come with the program, and refused where their words
//! could mean something else.

use super::template::{Book, GrammarError, Place};
use super::word_set::Spellings;
use super::{Grammar, Meaning, Situation, interpret};
use crate::terms::Species;

/// Lists of the grammar in which the name of a drug stands: given with an amount, and given or taken home.
const LISTS: [&str; 2] = ["shelf_drug", "medicine"];
/// A sentence of each, around the name.
const SENTENCES: [(&str, &str); 2] = [("given ", " seven milligrams"), ("medicine ", " given")];

/// The names that the grammar lacks, each with its words.
fn new_names<'a>(
    book: &Book,
    spellings: &Spellings,
    drugs: &'a [String],
) -> Vec<(&'a str, String)> {
    let is_known = |name: &str| {
        LISTS
            .iter()
            .filter_map(|list| book.lists.get(*list))
            .flatten()
            .any(|(_, value)| value == name)
    };
    let mut names: Vec<(&str, String)> = Vec::new();
    for name in drugs.iter().map(|name| name.trim()) {
        let words = spellings.words(name).join(" ");
        if !words.is_empty() && !is_known(name) && !names.iter().any(|(known, _)| *known == name) {
            names.push((name, words));
        }
    }
    names
}

/// Source text that adds the names to the lists; nothing where all are known.
pub(super) fn source(grammar: &Grammar, drugs: &[String]) -> String {
    let names = new_names(&grammar.book, &grammar.spellings, drugs);
    if names.is_empty() {
        return String::new();
    }
    LISTS
        .iter()
        .map(|list| {
            let rows: String = names
                .iter()
                .map(|(name, words)| format!("  {words} = {name}\n"))
                .collect();
            format!("list {list}\n{rows}")
        })
        .collect()
}

/// Refuses a name whose sentences mean something else as well, or something else only.
pub(super) fn check(
    without: &Grammar,
    with: &Grammar,
    drugs: &[String],
) -> Result<(), GrammarError> {
    for (name, words) in new_names(&without.book, &with.spellings, drugs) {
        let fault = |what: String| GrammarError {
            place: Place {
                file: "clinic.toml".to_owned(),
                line: 1,
                column: 1,
            },
            what,
            text: format!("[[drugs]] name = {name:?}"),
        };
        let bare: Vec<&str> = words.split(' ').collect();
        // With a question open all of the table may be said too: whatever clashes, clashes here.
        let said =
            |book: &Book, words: &[&str]| interpret(book, words, Situation::Question, Species::Dog);
        if said(&without.book, &bare) != Meaning::NotUnderstood {
            return Err(fault(format!(
                "{words:?} is a sentence of its own; say the drug by another name"
            )));
        }
        for (before, after) in SENTENCES {
            let sentence = format!("{before}{words}{after}");
            let all: Vec<&str> = sentence.split(' ').collect();
            if said(&without.book, &all) != Meaning::NotUnderstood
                || !matches!(said(&with.book, &all), Meaning::Said(_))
            {
                return Err(fault(format!(
                    "{sentence:?} would have two meanings; say the drug by another name"
                )));
            }
        }
    }
    Ok(())
}
