//! What may be said, for people: the sheet for the wall with its patterns, and all forms from the templates themselves.
//! Of the forms, intents are separated by " . ", the forms of one by " / "; lists of plain numbers are not spelled out.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use serde::Deserialize;

use super::Grammar;
use super::sayings::GROUP as OWN_GROUP;
use super::template::{Joining, Node, Situation};

/// The sheet for the wall, as data.
const WALL: &str = include_str!("../../../../grammar/wall.en.toml");

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Wall {
    pattern: Vec<Pattern>,
}

/// One pattern of the sheet.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pattern {
    /// 1 the examination and the treatment, 2 the patient under anaesthetic, 3 films, surgery and going home.
    #[serde(default = "first_page")]
    page: u8,
    pub title: String,
    /// The situation in which its sentences are said.
    #[serde(default)]
    pub when: When,
    /// Sentences as people say them.
    pub say: Vec<String>,
}

/// [`Situation`] as the sheet names it.
#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum When {
    #[default]
    Table,
    Question,
    Speaking,
    Asleep,
}

impl From<When> for Situation {
    fn from(when: When) -> Self {
        match when {
            When::Table => Self::Table,
            When::Question => Self::Question,
            When::Speaking => Self::Speaking,
            When::Asleep => Self::Asleep,
        }
    }
}

fn first_page() -> u8 {
    1
}

/// The patterns of the sheet, in the order of the work.
pub fn patterns() -> Vec<Pattern> {
    toml::from_str::<Wall>(WALL)
        .expect("the sheet is data of the program, read by its tests")
        .pattern
}

/// The sheet for the wall: patterns with sentences as people say them, then the clinic's own; the anaesthetic on a
/// page of its own, and so the films and the surgery.
pub fn sheet(grammar: &Grammar) -> String {
    let patterns = patterns();
    let page = |number: u8, title: &str| {
        let mut text =
            format!("{title}     each sentence is an example; numbers are said digit by digit\n\n");
        for pattern in patterns.iter().filter(|pattern| pattern.page == number) {
            let line = format!("{}:  {}", pattern.title, pattern.say.join("  .  "));
            wrap(&mut text, &line);
        }
        text
    };
    let mut first = page(1, "WHAT MAY BE SAID, AND MUCH LIKE IT");
    let own: Vec<String> = grammar
        .book()
        .active(Situation::Table)
        .filter(|template| template.group == OWN_GROUP)
        .map(|template| plain(grammar, &template.text))
        .collect();
    if !own.is_empty() {
        let distinct: BTreeSet<String> = own.into_iter().collect();
        let distinct: Vec<String> = distinct.into_iter().collect();
        wrap(
            &mut first,
            &format!("{OWN_GROUP}:  {}", distinct.join("  .  ")),
        );
    }
    let second = page(2, "THE PATIENT UNDER ANAESTHETIC");
    let third = page(3, "FILMS, SURGERY AND GOING HOME");
    [first, second, third].join(PAGE_END)
}

/// Lists whose values are numbers and whose words are not.
const SPELLED_OUT: [&str; 5] = [
    "months",
    "occlusion_class",
    "tooth_class",
    "quadrant",
    "position",
];

/// Columns of the sheet: a page of A4 on its side in small type.
const WIDTH: usize = 150;

/// A heading of the grammar file and below it each intent with its forms.
type Group<'a> = (&'a str, Vec<(&'a str, Vec<String>)>);

/// Groups of sentences that stand on a page of their own begin so.
const ANAESTHETIC: &str = "anaesthetic";

/// Between two pages.
pub const PAGE_END: &str = "\u{c}\n";

/// All forms of all sentences as text: the examination and the treatment, then the patient under anaesthetic.
pub fn forms(grammar: &Grammar) -> String {
    [false, true]
        .map(|is_anaesthetic| page(grammar, is_anaesthetic))
        .join(PAGE_END)
}

/// The lists that a template uses, by way of rules too.
fn lists_of(grammar: &Grammar, node: &Node, lists: &mut BTreeSet<String>) {
    match node {
        Node::Word(_) => {}
        Node::List { list, .. } => {
            lists.insert(list.clone());
        }
        Node::Rule { rule } => {
            for node in grammar.book().rules.get(rule).into_iter().flatten() {
                lists_of(grammar, node, lists);
            }
        }
        Node::Row(nodes) | Node::Choice(nodes) => {
            for node in nodes {
                lists_of(grammar, node, lists);
            }
        }
        Node::Optional(node) | Node::Repeat { node, .. } => lists_of(grammar, node, lists),
    }
}

fn page(grammar: &Grammar, is_anaesthetic: bool) -> String {
    let title = if is_anaesthetic {
        "THE PATIENT UNDER ANAESTHETIC: WHAT MAY BE SAID"
    } else {
        "WHAT MAY BE SAID"
    };
    let mut text = format!(
        "{title}     [may be left out]   (this | that)   <list below>   + others may follow in one breath\n",
    );
    let mut used = BTreeSet::new();
    for situation in Situation::ALL {
        let heading = match situation {
            Situation::Table => "AT THE TABLE",
            Situation::Question => "WHEN ASKED (all of the table too, which is a no)",
            Situation::Speaking => "WHILE THE PROGRAM SPEAKS",
            Situation::Asleep => "WHEN IT IS NOT LISTENING",
        };
        // In the order of the file: a paragraph for each group, in it the forms of each intent.
        let mut groups: Vec<Group<'_>> = Vec::new();
        for template in grammar.book().active(situation) {
            if situation == Situation::Question && !template.situations.contains(&situation) {
                continue;
            }
            if template.group.starts_with(ANAESTHETIC) != is_anaesthetic {
                continue;
            }
            lists_of(grammar, &template.node, &mut used);
            let mark = match template.joining {
                Joining::Lead | Joining::Link => " +",
                Joining::Prefix => " ... (a value: mends the last one)",
                Joining::Solo | Joining::Last => "",
            };
            if groups
                .last()
                .is_none_or(|(group, _)| *group != template.group)
            {
                groups.push((&template.group, Vec::new()));
            }
            let Some((_, intents)) = groups.last_mut() else {
                continue;
            };
            let form = format!("{}{mark}", plain(grammar, &template.text));
            match intents
                .iter_mut()
                .find(|(intent, _)| *intent == template.intent)
            {
                // A clinic's own sentence with a list has a template for each value.
                Some((_, forms)) if forms.contains(&form) => {}
                Some((_, forms)) => forms.push(form),
                None => intents.push((&template.intent, vec![form])),
            }
        }
        if !groups.is_empty() {
            put(&mut text, format_args!("\n{heading}\n"));
        }
        for (group, intents) in groups {
            let forms: Vec<String> = intents.iter().map(|(_, forms)| forms.join(" / ")).collect();
            wrap(&mut text, &format!("{group}:  {}", forms.join("  .  ")));
        }
    }
    text.push_str("\nLISTS\n");
    // Short ones share a line.
    let mut line = String::new();
    for (name, entries) in &grammar.book().lists {
        if !used.contains(name) {
            continue;
        }
        let is_numbers = range(entries.iter().map(|(_, value)| value.as_str())).is_some();
        if is_numbers && !SPELLED_OUT.contains(&name.as_str()) {
            continue;
        }
        let said: Vec<String> = entries.iter().map(|(node, _)| node.to_string()).collect();
        let list = format!("<{name}> {}", said.join(", "));
        if line.len() + list.len() + 3 > WIDTH && !line.is_empty() {
            wrap(&mut text, &std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push_str("   ");
        }
        line.push_str(&list);
    }
    wrap(&mut text, &line);
    text
}

/// A template without the names of its slots, and with "0..3" where a list is of numbers.
fn plain(grammar: &Grammar, form: &str) -> String {
    let mut text = String::new();
    for (at, piece) in form.split('<').enumerate() {
        let Some((inside, rest)) = piece.split_once('>').filter(|_| at > 0) else {
            text.push_str(piece);
            continue;
        };
        let list = inside.split(':').next().unwrap_or(inside);
        let entries = grammar.book().lists.get(list);
        let numbers =
            entries.and_then(|entries| range(entries.iter().map(|(_, value)| value.as_str())));
        match numbers {
            Some((least, most)) if !SPELLED_OUT.contains(&list) => {
                put(&mut text, format_args!("{least}..{most}"));
            }
            _ => put(&mut text, format_args!("<{list}>")),
        }
        text.push_str(rest);
    }
    text
}

/// Least and most of a list whose values are all numbers: a digit is said as a digit and needs no telling.
fn range<'a>(values: impl Iterator<Item = &'a str>) -> Option<(u16, u16)> {
    let numbers: Option<Vec<u16>> = values.map(|value| value.parse().ok()).collect();
    let numbers = numbers?;
    Some((*numbers.iter().min()?, *numbers.iter().max()?))
}

/// A line, broken where the sheet ends.
fn wrap(text: &mut String, line: &str) {
    let mut length = 0;
    text.push_str("  ");
    for word in line.split(' ') {
        if length + word.len() + 1 > WIDTH {
            text.push_str("\n      ");
            length = 4;
        }
        put(text, format_args!("{word} "));
        length += word.len() + 1;
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
}

fn put(text: &mut String, what: std::fmt::Arguments<'_>) {
    text.write_fmt(what).expect("a string takes all");
}
