//! Matches words against the templates: all readings, not the first. Captures where each value stood,
//! so that the confidence of its words becomes the confidence of the value.

use std::ops::Range;

use super::sayings;
use super::template::{Book, Joining, Node, Situation, Template};

/// A value said: the slot, what it means, and which words said it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Capture {
    pub slot: String,
    pub value: String,
    pub words: Range<usize>,
}

/// One sentence within an utterance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clause {
    pub intent: String,
    /// The words of the template that are no values, e.g. to tell "caudal stomatitis" from "stomatitis".
    pub literals: Vec<String>,
    pub captures: Vec<Capture>,
    /// The words that said all of it.
    pub words: Range<usize>,
    /// Said in a clinic's own way.
    pub is_own: bool,
}

/// One way of reading a whole utterance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// The intent of a prefix before the clauses ("no, ..."), if any.
    pub prefix: Option<String>,
    pub clauses: Vec<Clause>,
}

/// Sentences in one utterance at most: longer ones cannot be read back so that a person follows.
pub const CLAUSES_MAX: usize = 12;

/// All ways of reading the words in the situation.
pub fn readings(book: &Book, words: &[&str], situation: Situation) -> Vec<Reading> {
    let mut found = Vec::new();
    if words.is_empty() {
        return found;
    }
    let search = Search {
        book,
        words,
        situation,
    };
    for template in book.active(situation) {
        for (end, clause) in search.clauses(template, 0) {
            match template.joining {
                Joining::Solo => {
                    if end == words.len() {
                        found.push(Reading {
                            prefix: None,
                            clauses: vec![clause],
                        });
                    }
                }
                Joining::Lead | Joining::Link => {
                    search.follow(end, &mut vec![clause], None, &mut found);
                }
                Joining::Prefix => {
                    for next in book.active(situation) {
                        if !matches!(next.joining, Joining::Lead | Joining::Link | Joining::Solo)
                            || is_control(next)
                        {
                            continue;
                        }
                        for (next_end, first) in search.clauses(next, end) {
                            let prefix = Some(clause.intent.clone());
                            if next.joining == Joining::Solo {
                                if next_end == words.len() {
                                    found.push(Reading {
                                        prefix,
                                        clauses: vec![first],
                                    });
                                }
                            } else {
                                search.follow(next_end, &mut vec![first], prefix, &mut found);
                            }
                        }
                    }
                }
            }
        }
    }
    found.dedup();
    found
}

/// The template that reads all the words as one sentence, and what it captures.
pub(super) fn sentence<'a>(
    book: &'a Book,
    words: &[&str],
    situation: Situation,
) -> Option<(&'a Template, Clause)> {
    let search = Search {
        book,
        words,
        situation,
    };
    book.active(situation)
        .filter(|template| template.joining != Joining::Prefix)
        .find_map(|template| {
            search
                .clauses(template, 0)
                .into_iter()
                .find(|(end, _)| *end == words.len() && *end > 0)
                .map(|(_, clause)| (template, clause))
        })
}

/// After "no, ..." only a value may follow; a command there would be a new wish, not a correction.
/// Of the solo sentences only bare depths are values.
pub(super) fn is_control(template: &Template) -> bool {
    template.joining == Joining::Solo && template.intent != "depths"
}

struct Search<'a> {
    book: &'a Book,
    words: &'a [&'a str],
    situation: Situation,
}

type End = (usize, Vec<Capture>, Vec<String>);

impl Search<'_> {
    fn clauses(&self, template: &Template, start: usize) -> Vec<(usize, Clause)> {
        if !self
            .words
            .get(start)
            .is_some_and(|word| template.starts.contains(*word))
        {
            return Vec::new();
        }
        self.expand(&template.node, start)
            .into_iter()
            .map(|(end, captures, literals)| {
                let clause = match &template.stands_for {
                    Some(stands_for) => sayings::clause(stands_for, start..end),
                    None => Clause {
                        intent: template.intent.clone(),
                        literals,
                        captures,
                        words: start..end,
                        is_own: false,
                    },
                };
                (end, clause)
            })
            .collect()
    }

    fn follow(
        &self,
        at: usize,
        clauses: &mut Vec<Clause>,
        prefix: Option<String>,
        found: &mut Vec<Reading>,
    ) {
        if at == self.words.len() {
            found.push(Reading {
                prefix,
                clauses: clauses.clone(),
            });
            return;
        }
        if clauses.len() >= CLAUSES_MAX {
            return;
        }
        for template in self.book.active(self.situation) {
            if template.joining != Joining::Link {
                continue;
            }
            for (end, clause) in self.clauses(template, at) {
                clauses.push(clause);
                self.follow(end, clauses, prefix.clone(), found);
                clauses.pop();
            }
        }
    }

    fn expand(&self, node: &Node, at: usize) -> Vec<End> {
        match node {
            Node::Word(word) => {
                if self.words.get(at) == Some(&word.as_str()) {
                    vec![(at + 1, Vec::new(), vec![word.clone()])]
                } else {
                    Vec::new()
                }
            }
            Node::Row(nodes) => {
                let mut ends = vec![(at, Vec::new(), Vec::new())];
                for node in nodes {
                    ends = self.extend(&ends, node);
                    if ends.is_empty() {
                        break;
                    }
                }
                ends
            }
            Node::Choice(nodes) => nodes
                .iter()
                .flat_map(|node| self.expand(node, at))
                .collect(),
            Node::Optional(node) => {
                let mut ends = vec![(at, Vec::new(), Vec::new())];
                ends.extend(self.expand(node, at));
                ends
            }
            Node::List { list, slot } => self
                .book
                .lists
                .get(list)
                .into_iter()
                .flatten()
                .flat_map(|(said, value)| {
                    self.expand(said, at).into_iter().map(move |(end, _, _)| {
                        let capture = Capture {
                            slot: slot.clone(),
                            value: value.clone(),
                            words: at..end,
                        };
                        (end, vec![capture], Vec::new())
                    })
                })
                .collect(),
            Node::Rule { rule } => self
                .book
                .rules
                .get(rule)
                .into_iter()
                .flatten()
                .flat_map(|node| self.expand(node, at))
                .collect(),
            Node::Repeat { node, min, max } => {
                let mut all = Vec::new();
                let mut ends = vec![(at, Vec::new(), Vec::new())];
                for count in 1..=*max {
                    ends = self.extend(&ends, node);
                    if ends.is_empty() {
                        break;
                    }
                    if count >= *min {
                        all.extend(ends.iter().cloned());
                    }
                }
                all
            }
        }
    }

    fn extend(&self, ends: &[End], node: &Node) -> Vec<End> {
        let mut longer = Vec::new();
        for (at, captures, literals) in ends {
            for (end, more, more_literals) in self.expand(node, *at) {
                let mut captures = captures.clone();
                captures.extend(more);
                let mut literals = literals.clone();
                literals.extend(more_literals);
                longer.push((end, captures, literals));
            }
        }
        longer
    }
}
