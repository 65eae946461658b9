//! `sulcus sayings`: what was refused at this clinic's table, how often, and what was said instead; takes a proposal
//! into the clinic's own file.
//!
//! Invariants: the clinic file is written only where it can be read afterwards and no saying has two meanings; its
//! other lines stay as they are. Extraction, withdrawal and drugs are never proposed.

use std::cell::LazyCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use anyhow::{Context, bail};
use uuid::Uuid;

use crate::app::clinic::{Clinic, FILE};
use crate::commands::{Outcome, doors, wrong_use};
use crate::config::Config;
use crate::files;
use crate::grammar::intent::Watching;
use crate::grammar::{Grammar, Intent, Meaning, Situation, nearest};
use crate::record::journal::Wanted;
use crate::record::{Entry, Event};
use crate::speech::WordGraph;
use crate::terms::{Decision, Species};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Take these words into the clinic's own file
    #[arg(long, value_name = "WORDS")]
    accept: Option<String>,

    /// The sentence that they stand for [default: the one proposed]
    #[arg(long, value_name = "SENTENCE", requires = "accept")]
    means: Option<String>,

    /// List what was refused at least so often
    #[arg(long, value_name = "COUNT", default_value_t = 2)]
    least: usize,
}

/// Said so soon after a refusal, it is likely the same in other words.
const INSTEAD_WITHIN_MS: i64 = 20_000;

/// One row of words that was refused.
#[derive(Debug, Default)]
struct Refused {
    count: usize,
    visits: std::collections::BTreeSet<Uuid>,
    /// What was understood right after it, and how often.
    instead: BTreeMap<String, usize>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let clinic = Clinic::load(&config.data)?;
    let grammar = clinic.grammar()?;
    let refused = refused(config, &grammar)?;
    if let Some(words) = &options.accept {
        return accept(words, options.means.as_deref(), &refused, &grammar, config);
    }
    let mut rows: Vec<_> = refused
        .iter()
        .filter(|(_, row)| row.count >= options.least)
        .collect();
    rows.sort_by_key(|(said, row)| (std::cmp::Reverse(row.count), (*said).clone()));
    if rows.is_empty() {
        println!("nothing was refused {} times or more", options.least);
    }
    let graph = LazyCell::new(|| grammar.graph(Situation::Table));
    for (said, row) in rows {
        let (count, visits) = (row.count, row.visits.len());
        print!("said {count} times in {visits} visits, refused: {said:?}.");
        match proposal(said, row, &grammar, &graph) {
            Some(means) => println!(" Means {means:?}? sulcus sayings --accept {said:?}"),
            None => println!(" sulcus sayings --accept {said:?} --means \"SENTENCE\""),
        }
    }
    Ok(Outcome::Done)
}

/// All refused words of the visits kept here that are still no sentence.
fn refused(config: &Config, grammar: &Grammar) -> anyhow::Result<BTreeMap<String, Refused>> {
    let journal = doors::reader(config)?;
    let mut all: BTreeMap<String, Refused> = BTreeMap::new();
    for summary in journal.summaries(&Wanted::default())? {
        // Damage is told by the doors.
        let Ok(entries) = journal.entries(summary.visit) else {
            continue;
        };
        for (at, entry) in entries.iter().enumerate() {
            let Event::NotUnderstood { said } = &entry.event else {
                continue;
            };
            let row = all.entry(said.clone()).or_default();
            row.count += 1;
            row.visits.insert(summary.visit);
            if let Some(instead) = said_instead(entry, &entries[at + 1..]) {
                *row.instead.entry(instead).or_default() += 1;
            }
        }
    }
    all.retain(|said, _| meaning(grammar, said).is_none());
    Ok(all)
}

/// The next thing understood, where it came soon.
fn said_instead(refused: &Entry, later: &[Entry]) -> Option<String> {
    let next = later.iter().find(|entry| {
        let is_heard = entry
            .heard
            .as_ref()
            .is_some_and(|heard| !heard.words.is_empty());
        is_heard && !matches!(entry.event, Event::NotUnderstood { .. })
    })?;
    let waited = next.at.as_millisecond() - refused.at.as_millisecond();
    let heard = next.heard.as_ref()?;
    (waited <= INSTEAD_WITHIN_MS && !heard.words.contains(';')).then(|| heard.words.clone())
}

fn meaning(grammar: &Grammar, sentence: &str) -> Option<Vec<Intent>> {
    let words = grammar.words(sentence);
    match grammar.interpret(&words, Situation::Table, Species::Dog) {
        Meaning::Said(intents) => Some(intents),
        Meaning::NotUnderstood | Meaning::Ambiguous(..) => None,
    }
}

/// What was mostly said instead, else the nearest sentence; never what can hurt.
/// The graph is made only where it is needed, and once: that takes seconds.
fn proposal<F: FnOnce() -> Arc<WordGraph>>(
    said: &str,
    row: &Refused,
    grammar: &Grammar,
    graph: &LazyCell<Arc<WordGraph>, F>,
) -> Option<String> {
    let mut instead: Vec<_> = row.instead.iter().collect();
    instead.sort_by_key(|(_, count)| std::cmp::Reverse(**count));
    let mostly = instead
        .first()
        .filter(|(_, count)| **count >= 2 && 2 * **count > row.count)
        .map(|(words, _)| (*words).clone());
    let near = || {
        let words = grammar.words(said);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        nearest::nearest(graph, &words, 1).pop()
    };
    mostly.or_else(near).filter(|sentence| {
        meaning(grammar, sentence).is_some_and(|all| all.iter().all(is_harmless))
    })
}

fn is_harmless(intent: &Intent) -> bool {
    !matches!(
        intent,
        Intent::Decide {
            decision: Decision::Extract,
            ..
        } | Intent::DoToTooth(_)
            | Intent::Do(_)
            | Intent::Watch(Watching::Drug { .. } | Watching::Wasted { .. })
            | Intent::VirusTests { .. }
            | Intent::Strike(_)
            | Intent::StrikeValues(_)
            | Intent::Undo
            | Intent::Deny
            | Intent::Confirm
            | Intent::ConfirmEverything
            | Intent::Correct(_)
            | Intent::FinishVisit
            | Intent::Lacking { .. }
    )
}

fn accept(
    words: &str,
    means: Option<&str>,
    refused: &BTreeMap<String, Refused>,
    grammar: &Grammar,
    config: &Config,
) -> anyhow::Result<Outcome> {
    let said = grammar.words(words).join(" ");
    let graph = LazyCell::new(|| grammar.graph(Situation::Table));
    let proposed = || {
        refused
            .get(&said)
            .and_then(|row| proposal(&said, row, grammar, &graph))
    };
    let Some(means) = means.map(str::to_owned).or_else(proposed) else {
        return wrong_use(format!(
            "nothing is proposed for {said:?}; say with --means which sentence it stands for"
        ));
    };
    if meaning(grammar, &said).is_some() {
        println!("{said:?} is understood already");
        return Ok(Outcome::Done);
    }
    let path = config.data.join(FILE);
    let before = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => String::new(),
        Err(error) => return Err(error).with_context(|| format!("cannot read {}", path.display())),
    };
    let after = with_saying(&before, &said, &means);
    // The whole file as it will be, with the check of clashes, before a letter of it is written.
    let clinic = Clinic::read(&after).map_err(anyhow::Error::msg)?;
    let checked = clinic.grammar()?;
    if meaning(&checked, &said) != meaning(grammar, &means) {
        bail!("{said:?} would not mean {means:?}; sulcus parse tells what each means");
    }
    files::write_file(&path, after.as_bytes())?;
    println!("{said:?} now means {means:?} ({})", path.display());
    Ok(Outcome::Done)
}

/// The text of the clinic file with one more row under its sayings.
fn with_saying(text: &str, said: &str, means: &str) -> String {
    let row = format!("{said:?} = {means:?}");
    let mut lines: Vec<&str> = text.lines().collect();
    match lines.iter().position(|line| line.trim() == "[sayings]") {
        Some(at) => lines.insert(at + 1, &row),
        None => {
            if !lines.is_empty() {
                lines.push("");
            }
            lines.extend(["[sayings]", &row]);
        }
    }
    lines.join("\n") + "\n"
}
