//! A clinic's own ways of saying a thing: each stands for one sentence that the grammar has already.
//! Adds no meaning; an addition that could be taken for something else is refused with both sentences.

use std::collections::BTreeSet;

use super::matcher::{self, Clause};
use super::template::{Book, GrammarError, Joining, Node, Place, Situation, Template};
use super::{Grammar, Meaning};
use crate::terms::Species;

/// One row of the clinic's file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saying {
    /// What is said, as a template: `loose grade <grade_to_three>`.
    pub say: String,
    /// The sentence it stands for, with the same lists: `mobility <grade_to_three>`.
    pub means: String,
    /// Where it stands in the clinic's file, from 1.
    pub line: usize,
}

/// Heading of the help sheet for them.
pub(super) const GROUP: &str = "the clinic's own";

/// Ways of saying one row at most: brackets and lists multiply.
const WAYS_MAX: usize = 64;

impl Saying {
    fn fault(&self, what: String) -> GrammarError {
        GrammarError {
            place: Place {
                file: "clinic.toml".to_owned(),
                line: self.line,
                column: 1,
            },
            what,
            text: format!("{:?} = {:?}", self.say, self.means),
        }
    }
}

/// Adds the rows to a grammar that was checked without them.
pub(super) fn add(grammar: &mut Grammar, sayings: &[Saying]) -> Result<(), GrammarError> {
    let mut added = Vec::new();
    for (row, saying) in sayings.iter().enumerate() {
        for template in templates(grammar, saying)? {
            for way in ways(&grammar.book, &template.node) {
                added.push((row, way));
            }
            grammar.book.templates.push(template);
        }
    }
    grammar.book.index();
    let common = vocabulary(&grammar.book);
    for (row, way) in &added {
        // A second reading has to read each word in another way: a word that nobody else uses rules it out.
        let is_used = |word: &String| {
            common.contains(word)
                || added
                    .iter()
                    .any(|(other, way)| other != row && way.contains(word))
        };
        if way.iter().all(is_used) {
            refuse_clash(grammar, &sayings[*row], way)?;
        }
    }
    Ok(())
}

/// All words of the grammar's own sentences.
fn vocabulary(book: &Book) -> BTreeSet<String> {
    let mut words = BTreeSet::new();
    let mut see = |node: &Node| {
        if let Node::Word(word) = node {
            words.insert(word.clone());
        }
    };
    for template in book.templates.iter().filter(|t| t.stands_for.is_none()) {
        template.node.visit(&mut see);
    }
    for (said, _) in book.lists.values().flatten() {
        said.visit(&mut see);
    }
    for node in book.rules.values().flatten().chain(book.surroundings()) {
        node.visit(&mut see);
    }
    words
}

/// The templates of one row: one for each value of its lists.
fn templates(grammar: &Grammar, saying: &Saying) -> Result<Vec<Template>, GrammarError> {
    let book = &grammar.book;
    let node = Node::read(&saying.say)
        .map_err(|(at, what)| saying.fault(format!("letter {} of what is said: {what}", at + 1)))?;
    let mut filled = vec![(node.clone(), saying.means.clone())];
    for list in lists(&node) {
        let Some(entries) = book.lists.get(&list) else {
            return Err(saying.fault(format!(
                "<{list}> is no list of the grammar; its lists are {}",
                book.lists
                    .keys()
                    .map(String::as_str)
                    .collect::<Vec<_>>()
                    .join(", ")
            )));
        };
        let gap = format!("<{list}>");
        if saying.means.matches(&gap).count() != 1 {
            return Err(saying.fault(format!(
                "{gap} stands in what is said and has to stand once in the meaning"
            )));
        }
        filled = filled
            .iter()
            .flat_map(|(node, means)| {
                entries.iter().map(|(said, _)| {
                    let first = ways(book, said).into_iter().next().unwrap_or_default();
                    (
                        node.with(&list, said),
                        means.replacen(&gap, &first.join(" "), 1),
                    )
                })
            })
            .collect();
        if filled.len() > WAYS_MAX {
            return Err(saying.fault(format!(
                "its lists make more than {WAYS_MAX} sentences; write fewer lists"
            )));
        }
    }
    filled
        .into_iter()
        .map(|(node, means)| template(grammar, saying, node, &means))
        .collect()
}

fn template(
    grammar: &Grammar,
    saying: &Saying,
    node: Node,
    means: &str,
) -> Result<Template, GrammarError> {
    let book = &grammar.book;
    let ways = ways(book, &node);
    if ways.len() > WAYS_MAX {
        return Err(saying.fault(format!(
            "its brackets make more than {WAYS_MAX} sentences; write fewer"
        )));
    }
    // One word alone is heard in talk and noise too easily.
    if let Some(short) = ways.iter().find(|way| way.len() < 2) {
        return Err(saying.fault(format!(
            "{:?} is too short to be told from talk; say two words or more",
            short.join(" ")
        )));
    }
    let words = grammar.words(means);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let (model, clause) = [Situation::Table, Situation::Question]
        .into_iter()
        .find_map(|situation| matcher::sentence(book, &words, situation))
        .ok_or_else(|| {
            saying.fault(format!(
                "{means:?} is not one sentence of the grammar; sulcus parse --forms lists them"
            ))
        })?;
    // No run of numbers may be cut in two ways: what begins with a number stands alone.
    let begins_with_number = ways.iter().any(|way| {
        way.first().is_some_and(|word| {
            grammar
                .spellings
                .of(word)
                .is_some_and(|row| row.figure.is_some())
        })
    });
    let joining = if begins_with_number {
        Joining::Solo
    } else {
        model.joining
    };
    Ok(Template {
        intent: model.intent.clone(),
        joining,
        frame: model.frame.clone(),
        situations: model.situations.clone(),
        node,
        text: format!("{} (= {})", saying.say, saying.means),
        group: GROUP.to_owned(),
        stands_for: Some(clause),
        starts: BTreeSet::new(),
    })
}

/// Tries the sentence alone, and before and after each of the others; a second meaning is refused.
fn refuse_clash(grammar: &Grammar, saying: &Saying, own: &[String]) -> Result<(), GrammarError> {
    // With a question open all of the table may be said too: whatever clashes, clashes here.
    let situation = Situation::Question;
    let mut tries = vec![own.to_vec()];
    for other in grammar.book.active(situation) {
        for way in edges(&grammar.book, &other.node) {
            tries.push([own, &way].concat());
            tries.push([&way, own].concat());
        }
    }
    for words in tries {
        for species in [Species::Dog, Species::Cat] {
            if let Meaning::Ambiguous(..) = grammar.interpret(&words, situation, species) {
                return Err(saying.fault(clash(grammar, &words, situation)));
            }
        }
    }
    Ok(())
}

/// The two ways in which the words may be taken, each with its sentences.
fn clash(grammar: &Grammar, words: &[String], situation: Situation) -> String {
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let mut told: Vec<String> = Vec::new();
    for reading in matcher::readings(&grammar.book, &words, situation) {
        let sentences: Vec<String> = reading
            .clauses
            .iter()
            .map(|clause| {
                let said = words[clause.words.clone()].join(" ");
                if clause.is_own {
                    format!("{said:?} (the clinic's own, meaning {})", clause.intent)
                } else {
                    format!("{said:?} ({})", clause.intent)
                }
            })
            .collect();
        let sentence = sentences.join(" and ");
        if !told.contains(&sentence) {
            told.push(sentence);
        }
    }
    format!(
        "{:?} would have two meanings: {}; say it in other words",
        words.join(" "),
        told.join(", or ")
    )
}

/// Names of the lists in a template, each once.
fn lists(node: &Node) -> Vec<String> {
    let mut names = Vec::new();
    node.visit(&mut |node| {
        if let Node::List { list, .. } = node
            && !names.contains(list)
        {
            names.push(list.clone());
        }
    });
    names
}

/// All ways of saying a template, up to just over [`WAYS_MAX`].
pub(super) fn ways(book: &Book, node: &Node) -> Vec<Vec<String>> {
    let mut all = match node {
        Node::Word(word) => vec![vec![word.clone()]],
        Node::Row(nodes) => nodes.iter().fold(vec![Vec::new()], |so_far, node| {
            let next = ways(book, node);
            so_far
                .iter()
                .flat_map(|before| {
                    next.iter()
                        .map(|way| [before.clone(), way.clone()].concat())
                })
                .take(WAYS_MAX + 1)
                .collect()
        }),
        Node::Choice(nodes) => nodes.iter().flat_map(|node| ways(book, node)).collect(),
        Node::Optional(node) => [vec![Vec::new()], ways(book, node)].concat(),
        Node::List { list, .. } => book
            .lists
            .get(list)
            .into_iter()
            .flatten()
            .flat_map(|(said, _)| ways(book, said))
            .collect(),
        Node::Rule { rule } => book
            .rules
            .get(rule)
            .into_iter()
            .flatten()
            .flat_map(|node| ways(book, node))
            .collect(),
        Node::Repeat { node, min, .. } => {
            let row = Node::Row(vec![node.as_ref().clone(); *min]);
            ways(book, &row)
        }
    };
    all.truncate(WAYS_MAX + 1);
    all
}

/// The shortest and the longest way of a template: with most of what may stand at its ends.
fn edges(book: &Book, node: &Node) -> Vec<Vec<String>> {
    let all = ways(book, node);
    let shortest = all.iter().min_by_key(|way| way.len());
    let longest = all.iter().max_by_key(|way| way.len());
    shortest.into_iter().chain(longest).cloned().collect()
}

/// The clause that a saying stands for, with its values at the words of the saying.
pub(super) fn clause(stands_for: &Clause, words: std::ops::Range<usize>) -> Clause {
    let mut clause = stands_for.clone();
    for capture in &mut clause.captures {
        capture.words = words.clone();
    }
    clause.words = words;
    clause.is_own = true;
    clause
}
