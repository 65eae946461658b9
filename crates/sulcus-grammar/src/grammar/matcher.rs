//! Matches words against the templates: all readings, not the first. Captures where each value stood,
//! so that the confidence of its words becomes the confidence of the value.

use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::Range;

use super::sayings;
use super::template::{Book, Frame, Joining, Node, Situation, Template};
use crate::speech::value;

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
    /// A prefix before the clauses ("no, ..."), if any.
    pub prefix: Option<Clause>,
    /// Teeth named before or after a sentence that is said of them stand before it here.
    pub clauses: Vec<Clause>,
}

/// Sentences in one utterance at most: longer ones cannot be read back so that a person follows.
pub const CLAUSES_MAX: usize = 12;

/// The intent of a tooth by its number or name.
pub(super) const CHOOSE_TOOTH: &str = "choose_tooth";

/// All ways of reading the words in the situation.
pub fn readings(book: &Book, words: &[&str], situation: Situation) -> Vec<Reading> {
    if words.is_empty() {
        return Vec::new();
    }
    let search = Search::new(book, words, situation);
    let mut found = Vec::new();
    for at in search.maybe(book.courtesy(situation).before.as_ref(), 0) {
        search.begin(at, None, &mut found);
        for template in book.active(situation) {
            if template.joining != Joining::Prefix {
                continue;
            }
            for (end, clause) in search.clauses(template, at) {
                search.begin(end, Some((template, &clause)), &mut found);
            }
        }
    }
    let mut distinct: Vec<Reading> = Vec::new();
    for reading in found {
        if !distinct.contains(&reading) {
            distinct.push(reading);
        }
    }
    distinct
}

/// The template that reads all the words as one sentence, and what it captures.
pub(super) fn sentence<'a>(
    book: &'a Book,
    words: &[&str],
    situation: Situation,
) -> Option<(&'a Template, Clause)> {
    let search = Search::new(book, words, situation);
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

/// Whether the sentence can be said after the prefix. After "no, ..." only a value may follow; a command there would
/// be a new wish, not a correction. Of the solo sentences only values are corrections.
pub(super) fn may_follow(book: &Book, prefix: &Template, template: &Template) -> bool {
    match template.joining {
        Joining::Prefix => false,
        Joining::Solo
            if template.intent != "depths"
                && template.frame.as_deref().is_none_or(|frame| frame == ASKED) =>
        {
            false
        }
        // What is asked for has nothing to replace yet.
        _ if template.intent == "lacking" => false,
        // "no bleeding" is said of a tooth that does not bleed: without a number it is no correction.
        _ if prefix.frame.as_deref() == Some(NUMBERS_ONLY) => has_number(book, &template.node),
        _ if prefix.frame.as_deref() == Some(READINGS_ONLY) => {
            template.intent != "choose_tooth" && has_number(book, &template.node)
        }
        // A second tooth after several would be one of them.
        _ if prefix.intent == "each" => template.frame.is_some(),
        _ => true,
    }
}

/// The frame of what is asked of the program itself.
const ASKED: &str = "ask";
/// In the place of a prefix's frame: only what has a number in each way of saying it follows.
const NUMBERS_ONLY: &str = "numbers";
/// The same for what is no tooth either.
const READINGS_ONLY: &str = "readings";

/// Whether each way of saying the node has a value that is a number.
fn has_number(book: &Book, node: &Node) -> bool {
    match node {
        Node::Word(_) | Node::Optional(_) => false,
        Node::Row(nodes) => nodes.iter().any(|node| has_number(book, node)),
        Node::Choice(nodes) => nodes.iter().all(|node| has_number(book, node)),
        Node::List { list, .. } => book.lists.get(list).is_some_and(|entries| {
            entries
                .iter()
                .all(|(_, value)| value.starts_with(|c: char| c.is_ascii_digit()))
        }),
        Node::Rule { rule } => book
            .rules
            .get(rule)
            .is_some_and(|nodes| nodes.iter().all(|node| has_number(book, node))),
        Node::Repeat { node, .. } => has_number(book, node),
    }
}

struct Search<'a> {
    book: &'a Book,
    words: &'a [&'a str],
    situation: Situation,
    /// Where each frame's words before the sentence end, by the place where they begin.
    before: RefCell<HashMap<(String, usize), Vec<usize>>>,
}

type End = (usize, Vec<Capture>, Vec<String>);

impl<'a> Search<'a> {
    fn new(book: &'a Book, words: &'a [&'a str], situation: Situation) -> Self {
        Self {
            book,
            words,
            situation,
            before: RefCell::default(),
        }
    }

    /// Where the node ends if it stands here, and here itself.
    fn maybe(&self, node: Option<&Node>, at: usize) -> Vec<usize> {
        let mut ends = vec![at];
        for (end, _, _) in node.into_iter().flat_map(|node| self.expand(node, at)) {
            if !ends.contains(&end) {
                ends.push(end);
            }
        }
        ends
    }

    /// Whether nothing but courtesy follows.
    fn is_end(&self, at: usize) -> bool {
        at == self.words.len()
            || self
                .maybe(self.book.courtesy(self.situation).after.as_ref(), at)
                .contains(&self.words.len())
    }

    /// The sentence with its frame but without teeth; the clause bears the words of the frame too.
    fn clauses(&self, template: &Template, start: usize) -> Vec<(usize, Clause)> {
        self.clauses_after(template, start, false)
    }

    /// The same; after a prefix no words of the frame stand before it, since the prefix says what they would.
    fn clauses_after(
        &self,
        template: &Template,
        start: usize,
        is_prefixed: bool,
    ) -> Vec<(usize, Clause)> {
        let frame = self.book.frame(template);
        let begins = match (frame, &template.frame) {
            (Some(frame), Some(name)) if !is_prefixed => self
                .before
                .borrow_mut()
                .entry((name.clone(), start))
                .or_insert_with(|| self.maybe(frame.before.as_ref(), start))
                .clone(),
            _ => vec![start],
        };
        let mut found: Vec<(usize, Clause)> = Vec::new();
        for begin in begins {
            if !self
                .words
                .get(begin)
                .is_some_and(|word| template.starts.contains(*word))
            {
                continue;
            }
            for (end, captures, literals) in self.expand(&template.node, begin) {
                for end in self.maybe(frame.and_then(|frame| frame.after.as_ref()), end) {
                    let clause = match &template.stands_for {
                        Some(stands_for) => sayings::clause(stands_for, start..end),
                        None => Clause {
                            intent: template.intent.clone(),
                            literals: literals.clone(),
                            captures: captures.clone(),
                            words: start..end,
                            is_own: false,
                        },
                    };
                    found.push((end, clause));
                }
            }
        }
        found
    }

    /// The teeth said at the end of the utterance, after a sentence of the frame.
    fn teeth(&self, frame: &Frame, at: usize) -> Vec<Vec<Clause>> {
        let follows_number = at
            .checked_sub(1)
            .is_some_and(|before| value::number(self.words[before]).is_some());
        let bare = frame.bare_teeth.as_ref().filter(|_| !follows_number);
        frame
            .teeth
            .iter()
            .chain(bare)
            .flat_map(|node| self.expand(node, at))
            .filter(|(end, _, _)| self.is_end(*end))
            .map(|(_, captures, _)| teeth_of(&captures))
            .collect()
    }

    /// Reads what begins an utterance, after a prefix or without one.
    fn begin(&self, at: usize, prefix: Option<(&Template, &Clause)>, found: &mut Vec<Reading>) {
        for template in self.book.active(self.situation) {
            let follows = prefix.map_or(template.joining != Joining::Prefix, |(prefix, _)| {
                may_follow(self.book, prefix, template)
            });
            if !follows {
                continue;
            }
            let prefix = prefix.map(|(_, clause)| clause);
            for (end, clause) in self.clauses_after(template, at, prefix.is_some()) {
                self.go_on(template, end, &mut vec![clause], prefix, found);
            }
        }
    }

    /// After a sentence: the end, the teeth, or further sentences.
    fn go_on(
        &self,
        last: &Template,
        at: usize,
        clauses: &mut Vec<Clause>,
        prefix: Option<&Clause>,
        found: &mut Vec<Reading>,
    ) {
        if self.is_end(at) {
            found.push(self.reading(prefix, clauses, &[]));
        }
        if let Some(frame) = self.book.frame(last) {
            for teeth in self.teeth(frame, at) {
                found.push(self.reading(prefix, clauses, &teeth));
            }
        }
        if matches!(last.joining, Joining::Solo | Joining::Last) || clauses.len() >= CLAUSES_MAX {
            return;
        }
        // Only the tooth was said so far, and no number may follow its own without a word between.
        let is_opened = clauses.len() == 1 && last.intent == CHOOSE_TOOTH;
        let direct = at;
        for at in self.maybe(self.book.courtesy(self.situation).between.as_ref(), at) {
            for template in self.book.active(self.situation) {
                // "One oh four and one oh five ..." is said of both.
                if at != direct && template.intent == CHOOSE_TOOTH {
                    continue;
                }
                let follows = match template.joining {
                    Joining::Link | Joining::Last => true,
                    Joining::Lead => is_opened && template.intent != CHOOSE_TOOTH,
                    Joining::Solo | Joining::Prefix => false,
                };
                if !follows {
                    continue;
                }
                for (end, clause) in self.clauses(template, at) {
                    clauses.push(clause);
                    self.go_on(template, end, clauses, prefix, found);
                    clauses.pop();
                }
            }
        }
    }

    /// A finding and then its tooth: the tooth stands first in the reading, so that the finding is entered there and
    /// never for the tooth at hand. With several teeth, each has the finding.
    fn reading(&self, prefix: Option<&Clause>, clauses: &[Clause], teeth: &[Clause]) -> Reading {
        let mut all = clauses.to_vec();
        all.extend_from_slice(teeth);
        if let Some(each) = prefix.filter(|clause| clause.intent == "each") {
            let teeth = teeth_of(&each.captures);
            return Reading {
                prefix: None,
                clauses: teeth
                    .into_iter()
                    .flat_map(|tooth| [vec![tooth], all.clone()].concat())
                    .collect(),
            };
        }
        let is_tooth = |clause: &Clause| clause.intent == CHOOSE_TOOTH;
        if let [first, rest @ ..] = &all[..]
            && prefix.is_none()
            && !rest.is_empty()
            && !is_tooth(first)
            && self.is_of_tooth(first)
            && rest.iter().all(is_tooth)
        {
            return Reading {
                prefix: None,
                clauses: rest
                    .iter()
                    .flat_map(|tooth| [tooth.clone(), first.clone()])
                    .collect(),
            };
        }
        Reading {
            prefix: prefix.cloned(),
            clauses: all,
        }
    }

    /// Whether the sentence is said of a tooth: its frame has a place for one.
    fn is_of_tooth(&self, clause: &Clause) -> bool {
        self.book
            .templates
            .iter()
            .filter(|template| template.intent == clause.intent)
            .any(|template| {
                self.book
                    .frame(template)
                    .is_some_and(|frame| frame.teeth.is_some())
            })
    }
}

/// One clause for each tooth in the captures: a number ends with its position, a name with its class.
fn teeth_of(captures: &[Capture]) -> Vec<Clause> {
    let mut teeth = Vec::new();
    let mut of_one: Vec<Capture> = Vec::new();
    for capture in captures {
        of_one.push(capture.clone());
        if matches!(capture.slot.as_str(), "position" | "tooth_class") {
            let words = of_one[0].words.start..capture.words.end;
            teeth.push(Clause {
                intent: CHOOSE_TOOTH.to_owned(),
                literals: Vec::new(),
                captures: std::mem::take(&mut of_one),
                words,
                is_own: false,
            });
        }
    }
    teeth
}

impl Search<'_> {
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
