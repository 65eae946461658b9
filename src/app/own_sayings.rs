//! What was refused at this clinic's table, how often, and what was said instead; takes a proposal into the clinic's own
//! file. For `sulcus sayings` and for the page.
//!
//! Invariants: the clinic file is written only where it can be read afterwards and no saying has two meanings; its
//! other lines stay as they are. Extraction, withdrawal and drugs are never proposed.

use std::cell::LazyCell;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context, bail};
use uuid::Uuid;

use super::clinic::{Clinic, FILE};
use crate::files;
use crate::grammar::intent::Watching;
use crate::grammar::{Grammar, Intent, Meaning, Situation, nearest};
use crate::record::journal::Wanted;
use crate::record::{Entry, Event, Journal};
use crate::speech::WordGraph;
use crate::terms::{Decision, Species};
use crate::web;

/// Said so soon after a refusal, it is likely the same in other words.
const INSTEAD_WITHIN_MS: i64 = 20_000;

/// One row of words that was refused.
#[derive(Debug, Default)]
struct Refused {
    count: usize,
    visits: BTreeSet<Uuid>,
    /// What was understood right after it, and how often.
    instead: BTreeMap<String, usize>,
}

/// A row for people: what was refused, how often, and what it may stand for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    pub said: String,
    pub count: usize,
    pub visits: usize,
    pub means: Option<String>,
}

/// What came of taking a saying.
#[derive(Debug, PartialEq, Eq)]
pub enum Taken {
    /// It counts from the next start.
    Written { means: String, file: PathBuf },
    /// The grammar has it already.
    Known,
    /// Nothing is proposed for it; a sentence has to be named.
    NothingProposed,
}

/// The sayings of one data folder.
pub struct OwnSayings<'a> {
    folder: &'a Path,
    grammar: Grammar,
    refused: BTreeMap<String, Refused>,
}

impl<'a> OwnSayings<'a> {
    pub fn read(folder: &'a Path, journal: &Journal) -> anyhow::Result<Self> {
        let grammar = Clinic::load(folder)?.grammar()?;
        let refused = refused(journal, &grammar)?;
        Ok(Self {
            folder,
            grammar,
            refused,
        })
    }

    /// Those refused at least so often, the most frequent first.
    pub fn rows(&self, least: usize) -> Vec<Row> {
        let mut rows: Vec<_> = self
            .refused
            .iter()
            .filter(|(_, row)| row.count >= least)
            .collect();
        rows.sort_by_key(|(said, row)| (std::cmp::Reverse(row.count), (*said).clone()));
        let graph = LazyCell::new(|| self.grammar.graph(Situation::Table));
        rows.into_iter()
            .map(|(said, row)| Row {
                said: said.clone(),
                count: row.count,
                visits: row.visits.len(),
                means: proposal(said, row, &self.grammar, &graph),
            })
            .collect()
    }

    /// Takes the words into the clinic's file, as the sentence named or proposed.
    pub fn accept(&self, words: &str, means: Option<&str>) -> anyhow::Result<Taken> {
        let grammar = &self.grammar;
        let said = grammar.words(words).join(" ");
        let graph = LazyCell::new(|| grammar.graph(Situation::Table));
        let proposed = || {
            let row = self.refused.get(&said)?;
            proposal(&said, row, grammar, &graph)
        };
        let Some(means) = means.map(str::to_owned).or_else(proposed) else {
            return Ok(Taken::NothingProposed);
        };
        if meaning(grammar, &said).is_some() {
            return Ok(Taken::Known);
        }
        let file = self.folder.join(FILE);
        let before = match std::fs::read_to_string(&file) {
            Ok(text) => text,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => String::new(),
            Err(error) => {
                return Err(error).with_context(|| format!("cannot read {}", file.display()));
            }
        };
        let after = with_saying(&before, &said, &means);
        // The whole file as it will be, with the check of clashes, before a letter of it is written.
        let clinic = Clinic::read(&after).map_err(anyhow::Error::msg)?;
        let checked = clinic.grammar()?;
        if meaning(&checked, &said) != meaning(grammar, &means) {
            bail!("{said:?} would not mean {means:?}; sulcus parse tells what each means");
        }
        files::write_file(&file, after.as_bytes())?;
        Ok(Taken::Written { means, file })
    }
}

/// For the page: read beside the writer for each question.
pub struct OfFolder {
    pub folder: PathBuf,
}

/// So many of the newest visits are looked through, two months of a table: what was refused years ago was said by people
/// who have learnt since, and all visits of ten years take half a minute to read.
pub const NEWEST: usize = 600;

/// Refused so often, it is worth a person's look.
pub const LEAST: usize = 2;

impl web::Sayings for OfFolder {
    fn refused(&self) -> Result<Vec<web::RefusedSaying>, String> {
        let rows = || -> anyhow::Result<Vec<Row>> {
            let journal = Journal::open_reader(&self.folder)?;
            Ok(OwnSayings::read(&self.folder, &journal)?.rows(LEAST))
        };
        let rows = rows().map_err(|why| format!("{why:#}"))?;
        Ok(rows
            .into_iter()
            .map(|row| web::RefusedSaying {
                said: row.said,
                count: row.count,
                visits: row.visits,
                means: row.means,
            })
            .collect())
    }

    fn accept(&self, said: &str, means: &str) -> Result<(), String> {
        let taken = || -> anyhow::Result<()> {
            let journal = Journal::open_reader(&self.folder)?;
            let all = OwnSayings::read(&self.folder, &journal)?;
            if meaning(&all.grammar, means).is_none() {
                bail!("{means:?} is no sentence; say one that is understood");
            }
            match all.accept(said, Some(means))? {
                Taken::Written { .. } => Ok(()),
                Taken::Known => bail!("{said:?} is understood already"),
                Taken::NothingProposed => bail!("{said:?} needs a sentence that it stands for"),
            }
        };
        taken().map_err(|why| format!("{why:#}"))
    }
}

/// Refused words of the newest visits kept here that are still no sentence.
fn refused(journal: &Journal, grammar: &Grammar) -> anyhow::Result<BTreeMap<String, Refused>> {
    let mut all: BTreeMap<String, Refused> = BTreeMap::new();
    for summary in journal.summaries(&Wanted {
        most: Some(NEWEST),
        ..Wanted::default()
    })? {
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
            | Intent::Watch(Watching::Drug(_) | Watching::Wasted { .. })
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
