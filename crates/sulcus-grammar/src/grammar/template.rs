//! The template language of the files in `grammar/`: reads them into a [`Book`].
//!
//! A line is blank, a comment (`#`), a heading at the margin (`list NAME`, `rule NAME`,
//! `intent NAME lead|link|last|solo|prefix [frame] in SITUATION...`, `frame NAME`, `courtesy`) or an indented line of
//! the heading above.
//! In a template: `word`, `[may be left out]`, `(one | other)`, `(in & any & order)`, `<name>` or `<name:slot>` for a
//! list or rule, and `{min,max}` after an item to repeat it (`{min,}`: as often as anybody likes). A list line is `ways of saying = value`.
//! A frame is what may stand around each sentence that names it: `before`, `after`, and the `teeth` that it is said of
//! at the end of the utterance. `courtesy` may stand `before` and `after` an utterance and `between` its sentences.
//! Words of frames and of courtesy mean nothing.

use std::collections::{BTreeMap, BTreeSet};

use super::matcher::Clause;

/// The most of a repeat that has none: a loop in the word graph, where copies would multiply its states.
pub const MANY: usize = usize::MAX;

/// One piece of a template.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Node {
    Word(String),
    Row(Vec<Node>),
    Choice(Vec<Node>),
    Optional(Box<Node>),
    /// A list: captures its value under the slot name.
    List {
        list: String,
        slot: String,
    },
    Rule {
        rule: String,
    },
    Repeat {
        node: Box<Node>,
        min: usize,
        max: usize,
    },
}

/// Where the conversation is; each intent says in which it may be heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Situation {
    /// The examination and the treatment.
    Table,
    /// The program has asked something and waits.
    Question,
    /// While the program speaks: only what interrupts it.
    Speaking,
    /// Not listening to the examination: only what wakes it.
    Asleep,
}

impl Situation {
    pub const ALL: [Self; 4] = [Self::Table, Self::Question, Self::Speaking, Self::Asleep];

    pub fn word(self) -> &'static str {
        match self {
            Self::Table => "table",
            Self::Question => "question",
            Self::Speaking => "speaking",
            Self::Asleep => "asleep",
        }
    }
}

impl std::str::FromStr for Situation {
    type Err = String;

    fn from_str(word: &str) -> Result<Self, String> {
        Self::ALL
            .into_iter()
            .find(|situation| situation.word() == word)
            .ok_or_else(|| format!("{word} is no situation: table, question, speaking or asleep"))
    }
}

/// How a sentence may stand beside others in one utterance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joining {
    /// Only alone.
    Solo,
    /// May begin an utterance, or follow the tooth that begins it.
    Lead,
    /// May begin or follow.
    Link,
    /// May begin or follow; nothing follows it.
    Last,
    /// Stands before an utterance of others and changes its sense.
    Prefix,
}

/// One way of saying an intent.
#[derive(Debug, Clone)]
pub struct Template {
    pub intent: String,
    pub joining: Joining,
    /// The name of its frame.
    pub frame: Option<String>,
    pub situations: Vec<Situation>,
    pub node: Node,
    /// The line as written, for the help sheet.
    pub text: String,
    /// The heading comment ("# ---- depths") above it, for the help sheet.
    pub group: String,
    /// What a clinic's own sentence stands for; nothing for the grammar's own.
    pub stands_for: Option<Clause>,
    /// The words that it may begin with; filled by [`Book::index`].
    pub starts: BTreeSet<String>,
}

/// What may stand around a sentence and means nothing, but for its teeth.
#[derive(Debug, Clone, Default)]
pub struct Frame {
    pub before: Option<Node>,
    pub after: Option<Node>,
    /// The teeth that a sentence is said of, at the end of the utterance.
    pub teeth: Option<Node>,
    /// The same, where the word before is no number: a bare number there would be cut in two ways.
    pub bare_teeth: Option<Node>,
}

/// What may stand around an utterance and between its sentences, and means nothing.
#[derive(Debug, Clone, Default)]
pub struct Courtesy {
    pub before: Option<Node>,
    pub between: Option<Node>,
    pub after: Option<Node>,
}

/// All templates, lists and rules.
#[derive(Debug, Clone, Default)]
pub struct Book {
    pub templates: Vec<Template>,
    /// List name to its entries: what is said and what it means.
    pub lists: BTreeMap<String, Vec<(Node, String)>>,
    pub rules: BTreeMap<String, Vec<Node>>,
    pub frames: BTreeMap<String, Frame>,
    courtesies: Courtesy,
    /// Where each reference stands, for messages.
    references: Vec<(String, Place)>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    pub file: String,
    pub line: usize,
    pub column: usize,
}

/// A fault in a grammar file: file, line, column, and what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}:{}:{}: {what}\n  {text}\n  {}^", place.file, place.line, place.column, " ".repeat(place.column.saturating_sub(1)))]
pub struct GrammarError {
    pub place: Place,
    pub what: String,
    /// The faulty line.
    pub text: String,
}

enum Heading {
    List(String),
    Rule(String),
    Frame(String),
    Courtesy,
    Intent {
        name: String,
        joining: Joining,
        frame: Option<String>,
        situations: Vec<Situation>,
    },
}

impl Book {
    /// Reads one source; what it names is added to the book.
    pub fn read(&mut self, file: &str, text: &str) -> Result<(), GrammarError> {
        let mut heading = None;
        let mut group = String::new();
        for (number, line) in text.lines().enumerate() {
            let fault = |column: usize, what: String| GrammarError {
                place: Place {
                    file: file.to_owned(),
                    line: number + 1,
                    column,
                },
                what,
                text: line.to_owned(),
            };
            let trimmed = line.trim();
            if let Some(name) = trimmed.strip_prefix("# ----") {
                group = name.trim().to_owned();
            }
            if trimmed.is_empty() || trimmed.starts_with('#') {
                continue;
            }
            if !line.starts_with(char::is_whitespace) {
                heading = Some(read_heading(trimmed).map_err(|what| fault(1, what))?);
                if let Some(Heading::Frame(name)) = &heading {
                    self.frames.entry(name.clone()).or_default();
                }
                continue;
            }
            let indent = line.len() - line.trim_start().len();
            let parse =
                |text: &str| Node::read(text).map_err(|(at, what)| fault(indent + at + 1, what));
            match &heading {
                None => return Err(fault(1, "this line belongs to no heading: write list, rule, frame, courtesy or intent at the margin above it".into())),
                Some(Heading::List(name)) => {
                    let Some((said, value)) = trimmed.rsplit_once('=') else {
                        return Err(fault(indent + 1, "a line of a list needs = and a value".into()));
                    };
                    let node = parse(said.trim_end())?;
                    self.note_references(&node, file, number + 1, indent + 1);
                    self.lists.entry(name.clone()).or_default().push((node, value.trim().to_owned()));
                }
                Some(Heading::Rule(name)) => {
                    let node = parse(trimmed)?;
                    self.note_references(&node, file, number + 1, indent + 1);
                    self.rules.entry(name.clone()).or_default().push(node);
                }
                Some(Heading::Frame(_) | Heading::Courtesy) => {
                    let (part, rest) = trimmed.split_once(' ').unwrap_or((trimmed, ""));
                    let node = parse(rest.trim_start())?;
                    self.note_references(&node, file, number + 1, indent + 1);
                    let gap = match &heading {
                        Some(Heading::Frame(name)) => {
                            let frame = self.frames.entry(name.clone()).or_default();
                            match part {
                                "before" => Some(&mut frame.before),
                                "after" => Some(&mut frame.after),
                                "teeth" => Some(&mut frame.teeth),
                                "bare_teeth" => Some(&mut frame.bare_teeth),
                                _ => None,
                            }
                        }
                        _ => match part {
                            "before" => Some(&mut self.courtesies.before),
                            "between" => Some(&mut self.courtesies.between),
                            "after" => Some(&mut self.courtesies.after),
                            _ => None,
                        },
                    };
                    match gap {
                        Some(gap) => *gap = Some(node),
                        None => return Err(fault(indent + 1, format!("{part} is no part of a frame: before, after, teeth, bare_teeth; of courtesy: before, between, after"))),
                    }
                }
                Some(Heading::Intent { name, joining, frame, situations }) => {
                    let node = parse(trimmed)?;
                    self.note_references(&node, file, number + 1, indent + 1);
                    self.templates.push(Template {
                        intent: name.clone(),
                        joining: *joining,
                        frame: frame.clone(),
                        situations: situations.clone(),
                        node,
                        text: trimmed.to_owned(),
                        group: group.clone(),
                        stands_for: None,
                        starts: BTreeSet::new(),
                    });
                }
            }
        }
        Ok(())
    }

    fn note_references(&mut self, node: &Node, file: &str, line: usize, column: usize) {
        match node {
            Node::List { list: name, .. } | Node::Rule { rule: name } => self.references.push((
                name.clone(),
                Place {
                    file: file.to_owned(),
                    line,
                    column,
                },
            )),
            Node::Row(nodes) | Node::Choice(nodes) => {
                for node in nodes {
                    self.note_references(node, file, line, column);
                }
            }
            Node::Optional(node) | Node::Repeat { node, .. } => {
                self.note_references(node, file, line, column)
            }
            Node::Word(_) => {}
        }
    }

    /// Every reference names a list or rule; then tells lists from rules.
    pub fn check(&mut self) -> Result<(), GrammarError> {
        for (name, place) in &self.references {
            if !self.lists.contains_key(name) && !self.rules.contains_key(name) {
                return Err(GrammarError {
                    place: place.clone(),
                    what: format!("<{name}> names no list and no rule"),
                    text: String::new(),
                });
            }
        }
        let rules: Vec<String> = self.rules.keys().cloned().collect();
        for templates in &mut self.templates {
            settle(&mut templates.node, &rules);
        }
        for nodes in self.rules.values_mut() {
            for node in nodes {
                settle(node, &rules);
            }
        }
        for (said, _) in self.lists.values_mut().flatten() {
            settle(said, &rules);
        }
        for node in self.surroundings_mut() {
            settle(node, &rules);
        }
        for template in &self.templates {
            if let Some(name) = &template.frame
                && !self.frames.contains_key(name)
            {
                return Err(GrammarError {
                    place: Place {
                        file: "grammar".to_owned(),
                        line: 0,
                        column: 1,
                    },
                    what: format!("{name} names no frame"),
                    text: template.text.clone(),
                });
            }
        }
        self.index();
        Ok(())
    }

    /// All nodes of frames and of courtesy.
    fn surroundings_mut(&mut self) -> impl Iterator<Item = &mut Node> {
        let frames = self.frames.values_mut().flat_map(|frame| {
            [
                &mut frame.before,
                &mut frame.after,
                &mut frame.teeth,
                &mut frame.bare_teeth,
            ]
        });
        let courtesy = [
            &mut self.courtesies.before,
            &mut self.courtesies.between,
            &mut self.courtesies.after,
        ];
        frames.chain(courtesy).flatten()
    }

    /// The same, to read.
    pub fn surroundings(&self) -> impl Iterator<Item = &Node> {
        let frames = self
            .frames
            .values()
            .flat_map(|frame| [&frame.before, &frame.after, &frame.teeth, &frame.bare_teeth]);
        let courtesy = [
            &self.courtesies.before,
            &self.courtesies.between,
            &self.courtesies.after,
        ];
        frames.chain(courtesy).flatten()
    }

    /// What may stand around an utterance: nothing where the program speaks or sleeps, so that what interrupts and wakes
    /// it stays short and clear.
    pub fn courtesy(&self, situation: Situation) -> &Courtesy {
        static NONE: Courtesy = Courtesy {
            before: None,
            between: None,
            after: None,
        };
        match situation {
            Situation::Table | Situation::Question => &self.courtesies,
            Situation::Speaking | Situation::Asleep => &NONE,
        }
    }

    /// The frame of a template.
    pub fn frame(&self, template: &Template) -> Option<&Frame> {
        self.frames.get(template.frame.as_ref()?)
    }

    /// Notes with which words each template may begin, so that the matcher need not try all. Called again after
    /// templates were added.
    pub fn index(&mut self) {
        let starts: Vec<BTreeSet<String>> = self
            .templates
            .iter()
            .map(|template| {
                let mut words = BTreeSet::new();
                self.starts(&template.node, &mut words);
                words
            })
            .collect();
        for (template, starts) in self.templates.iter_mut().zip(starts) {
            template.starts = starts;
        }
    }

    /// Adds the words with which the node may begin; tells whether it may be empty.
    fn starts(&self, node: &Node, words: &mut BTreeSet<String>) -> bool {
        match node {
            Node::Word(word) => {
                words.insert(word.clone());
                false
            }
            Node::Row(nodes) => nodes.iter().all(|node| self.starts(node, words)),
            Node::Choice(nodes) => self.starts_of_any(nodes.iter(), words),
            Node::Optional(node) => {
                self.starts(node, words);
                true
            }
            Node::List { list, .. } => {
                let entries = self.lists.get(list).into_iter().flatten();
                self.starts_of_any(entries.map(|(said, _)| said), words)
            }
            Node::Rule { rule } => {
                self.starts_of_any(self.rules.get(rule).into_iter().flatten(), words)
            }
            Node::Repeat { node, .. } => self.starts(node, words),
        }
    }

    /// The same for a choice; all of its ways count, also after one that may be empty.
    fn starts_of_any<'a>(
        &self,
        nodes: impl Iterator<Item = &'a Node>,
        words: &mut BTreeSet<String>,
    ) -> bool {
        nodes.filter(|node| self.starts(node, words)).count() > 0
    }

    /// The templates that may be heard in a situation. With a question open, all of the table may be said too:
    /// a vet who goes on has answered with no.
    pub fn active(&self, situation: Situation) -> impl Iterator<Item = &Template> {
        self.templates.iter().filter(move |template| {
            template.situations.contains(&situation)
                || (situation == Situation::Question
                    && template.situations.contains(&Situation::Table))
        })
    }
}

/// References are read as lists; those that name a rule become rules.
fn settle(node: &mut Node, rules: &[String]) {
    match node {
        Node::List { list, .. } if rules.contains(list) => {
            *node = Node::Rule { rule: list.clone() };
        }
        Node::Row(nodes) | Node::Choice(nodes) => nodes.iter_mut().for_each(|n| settle(n, rules)),
        Node::Optional(node) => settle(node, rules),
        Node::Repeat { node, .. } => settle(node, rules),
        _ => {}
    }
}

fn read_heading(line: &str) -> Result<Heading, String> {
    let mut words = line.split_whitespace();
    let kind = words.next().unwrap_or_default();
    if kind == "courtesy" {
        return Ok(Heading::Courtesy);
    }
    let name = words.next().ok_or("a heading needs a name")?.to_owned();
    if !name.chars().all(|c| c.is_ascii_lowercase() || c == '_') {
        return Err(format!("the name {name} may hold small letters and _ only"));
    }
    match kind {
        "list" => Ok(Heading::List(name)),
        "rule" => Ok(Heading::Rule(name)),
        "frame" => Ok(Heading::Frame(name)),
        "intent" => {
            let joining = match words.next() {
                Some("solo") => Joining::Solo,
                Some("lead") => Joining::Lead,
                Some("link") => Joining::Link,
                Some("last") => Joining::Last,
                Some("prefix") => Joining::Prefix,
                _ => {
                    return Err(
                        "after the intent's name comes solo, lead, link, last or prefix".into(),
                    );
                }
            };
            let mut next = words.next();
            let frame = next.filter(|word| *word != "in").map(str::to_owned);
            if frame.is_some() {
                next = words.next();
            }
            if next != Some("in") {
                return Err(
                    "after solo, lead, link, last or prefix, and a frame if it has one, comes: in, and the situations".into(),
                );
            }
            let situations = words.map(str::parse).collect::<Result<Vec<_>, _>>()?;
            if situations.is_empty() {
                return Err("name at least one situation after in".into());
            }
            Ok(Heading::Intent {
                name,
                joining,
                frame,
                situations,
            })
        }
        other => Err(format!(
            "a heading begins with list, rule, frame, courtesy or intent, not {other}"
        )),
    }
}

/// The parts in each order, as rows.
fn orders(parts: &[Node]) -> Vec<Node> {
    let mut orders: Vec<Vec<&Node>> = vec![Vec::new()];
    for (count, part) in parts.iter().enumerate() {
        orders = orders
            .iter()
            .flat_map(|order| {
                (0..=count).map(|at| {
                    let mut longer = order.clone();
                    longer.insert(at, part);
                    longer
                })
            })
            .collect();
    }
    orders
        .into_iter()
        .map(|order| Node::Row(order.into_iter().cloned().collect()))
        .collect()
}

/// Recursive descent over one template. Errors carry the byte at which they were found.
struct Parser<'a> {
    text: &'a str,
    at: usize,
}

type Parsed = Result<Node, (usize, String)>;

impl Parser<'_> {
    fn whole(mut self) -> Parsed {
        let node = self.choice()?;
        self.skip_space();
        if self.at < self.text.len() {
            return Err((self.at, "this closes nothing".into()));
        }
        Ok(node)
    }

    fn skip_space(&mut self) {
        while self.text[self.at..].starts_with(' ') {
            self.at += 1;
        }
    }

    fn peek(&self) -> Option<char> {
        self.text[self.at..].chars().next()
    }

    fn choice(&mut self) -> Parsed {
        let mut rows = vec![self.row()?];
        if self.peek() == Some('&') {
            while self.peek() == Some('&') {
                self.at += 1;
                rows.push(self.row()?);
            }
            // Four parts make 24 orders: more is no sentence that anybody keeps apart.
            if rows.len() > 4 || self.peek() == Some('|') {
                return Err((
                    self.at,
                    "parts in any order are written (a & b & c): four at most, without |".into(),
                ));
            }
            return Ok(Node::Choice(orders(&rows)));
        }
        while self.peek() == Some('|') {
            self.at += 1;
            rows.push(self.row()?);
        }
        Ok(if rows.len() == 1 {
            rows.remove(0)
        } else {
            Node::Choice(rows)
        })
    }

    fn row(&mut self) -> Parsed {
        let start = self.at;
        let mut nodes = Vec::new();
        loop {
            self.skip_space();
            match self.peek() {
                None | Some('|' | '&' | ')' | ']') => break,
                Some(_) => nodes.push(self.item()?),
            }
        }
        match nodes.len() {
            0 => Err((
                start,
                "nothing stands here: write a word or leave the brackets out".into(),
            )),
            1 => Ok(nodes.remove(0)),
            _ => Ok(Node::Row(nodes)),
        }
    }

    fn item(&mut self) -> Parsed {
        let start = self.at;
        let node = match self.peek() {
            Some('(') => {
                self.at += 1;
                let node = self.choice()?;
                self.close(')', start)?;
                node
            }
            Some('[') => {
                self.at += 1;
                let node = self.choice()?;
                self.close(']', start)?;
                Node::Optional(Box::new(node))
            }
            Some('<') => {
                let end = self.text[start..]
                    .find('>')
                    .ok_or((start, "< without >".to_owned()))?
                    + start;
                let inside = &self.text[start + 1..end];
                self.at = end + 1;
                let (list, slot) = inside.split_once(':').unwrap_or((inside, inside));
                if list.is_empty() || slot.is_empty() {
                    return Err((start, "a name is missing between < and >".into()));
                }
                Node::List {
                    list: list.to_owned(),
                    slot: slot.to_owned(),
                }
            }
            _ => {
                let end = self.text[start..]
                    .find(|c: char| !(c.is_ascii_lowercase() || c == '\''))
                    .map_or(self.text.len(), |n| n + start);
                if end == start {
                    return Err((start, "a word has small letters only".into()));
                }
                self.at = end;
                Node::Word(self.text[start..end].to_owned())
            }
        };
        if self.peek() == Some('{') {
            let open = self.at;
            let end = self.text[open..]
                .find('}')
                .ok_or((open, "{ without }".to_owned()))?
                + open;
            let inside = &self.text[open + 1..end];
            self.at = end + 1;
            let bounds = inside.split_once(',').and_then(|(min, max)| {
                let max = match max.trim() {
                    "" => MANY,
                    max => max.parse().ok()?,
                };
                Some((min.trim().parse().ok()?, max))
            });
            // 12 repeats: more is no sentence that anybody says, and keeps graphs small.
            match bounds {
                Some((min, max)) if min >= 1 && min <= max && (max <= 12 || max == MANY) => {
                    return Ok(Node::Repeat {
                        node: Box::new(node),
                        min,
                        max,
                    });
                }
                _ => {
                    return Err((
                        open,
                        "repeats are written {1,6}: least and most, up to 12, or {1,}".into(),
                    ));
                }
            }
        }
        Ok(node)
    }

    fn close(&mut self, bracket: char, opened: usize) -> Result<(), (usize, String)> {
        if self.peek() == Some(bracket) {
            self.at += 1;
            Ok(())
        } else {
            Err((opened, format!("this bracket is not closed with {bracket}")))
        }
    }
}

impl Node {
    /// Reads one template; a fault tells the byte and what is wrong there.
    pub fn read(text: &str) -> Result<Self, (usize, String)> {
        Parser { text, at: 0 }.whole()
    }

    /// Calls `see` with this node and all below it.
    pub fn visit(&self, see: &mut impl FnMut(&Self)) {
        see(self);
        match self {
            Self::Row(nodes) | Self::Choice(nodes) => nodes.iter().for_each(|n| n.visit(see)),
            Self::Optional(node) | Self::Repeat { node, .. } => node.visit(see),
            Self::Word(_) | Self::List { .. } | Self::Rule { .. } => {}
        }
    }

    /// The same with every reference to the list replaced.
    pub fn with(&self, name: &str, value: &Self) -> Self {
        let all = |nodes: &[Self]| nodes.iter().map(|node| node.with(name, value)).collect();
        match self {
            Self::List { list, .. } if list == name => value.clone(),
            Self::Row(nodes) => Self::Row(all(nodes)),
            Self::Choice(nodes) => Self::Choice(all(nodes)),
            Self::Optional(node) => Self::Optional(Box::new(node.with(name, value))),
            Self::Repeat { node, min, max } => Self::Repeat {
                node: Box::new(node.with(name, value)),
                min: *min,
                max: *max,
            },
            Self::Word(_) | Self::List { .. } | Self::Rule { .. } => self.clone(),
        }
    }
}

/// As it is written in the files.
impl std::fmt::Display for Node {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let join = |f: &mut std::fmt::Formatter<'_>, nodes: &[Node], with: &str| {
            for (at, node) in nodes.iter().enumerate() {
                if at > 0 {
                    f.write_str(with)?;
                }
                node.fmt(f)?;
            }
            Ok(())
        };
        match self {
            Self::Word(word) => f.write_str(word),
            Self::Row(nodes) => join(f, nodes, " "),
            Self::Choice(nodes) => {
                f.write_str("(")?;
                join(f, nodes, " | ")?;
                f.write_str(")")
            }
            Self::Optional(node) => write!(f, "[{node}]"),
            Self::List { list, .. } => write!(f, "<{list}>"),
            Self::Rule { rule } => write!(f, "<{rule}>"),
            Self::Repeat { node, min, max } if *max == MANY => {
                write!(f, "{node} {min} times or more")
            }
            Self::Repeat { node, min, max } => write!(f, "{node} {min} to {max} times"),
        }
    }
}
