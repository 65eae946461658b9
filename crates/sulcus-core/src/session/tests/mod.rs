//! Whole conversations as data: `tests/data/transcripts/NAME.txt` (species, weight in kg if any; then one utterance a line) beside
//! `NAME.expect` (what was said back, and the record at the end). UPDATE_EXPECT=1 rewrites the latter.

// Others take the table and the invented examinations from here, not the tests.
#![cfg_attr(not(test), allow(dead_code, unused_imports))]

mod coverage;
pub mod examinations;
#[cfg(test)]
mod watch;

use std::fmt::Write as _;
use std::path::Path;
use uuid::Uuid;

use super::*;
use crate::clock::{Clock, SetClock};
use crate::grammar::{Grammar, Meaning};
use crate::terms::{Patient, Species};

/// A visit without disk or sound: facts are numbered as the journal would.
pub struct Table {
    pub grammar: Grammar,
    pub session: Session,
    pub record: Record,
    pub clock: SetClock,
}

impl Table {
    pub fn open(species: Species) -> Self {
        let patient = Patient::example(species);
        let clock = SetClock::at_second(1_800_000_000);
        let opening = entry(
            1,
            clock.0,
            Draft::new(
                Event::VisitOpened {
                    patient,
                    vet: None,
                    nurse: None,
                },
                None,
            ),
        );
        Self {
            grammar: Grammar::built_in().expect("sound grammar"),
            session: Session::new(Rules::built_in().expect("sound rules")),
            record: Record::fold(&[opening]).expect("a record"),
            clock,
        }
    }

    pub(crate) fn save(&mut self, drafts: Vec<Draft>) -> Vec<Entry> {
        let now = self.clock.now();
        drafts
            .into_iter()
            .map(|draft| {
                let entry = entry(self.record.last + 1, now, draft);
                self.record.apply(&entry);
                entry
            })
            .collect()
    }

    /// Time goes by and nobody speaks; returns what the program asks of the length of the anaesthetic.
    fn pass(&mut self, minutes: u64, limit_minutes: Option<u32>) -> Vec<String> {
        self.clock.advance_ms(minutes * 60_000);
        let now = self.clock.now();
        // The plan's part, as plain as it can be: fifteen minutes before the limit, what is decided and not begun.
        let begun = self
            .record
            .procedures()
            .find(|(procedure, _)| **procedure == crate::terms::Procedure::AnaesthesiaStarted)
            .map(|(_, charted)| charted.at);
        let near = begun.zip(limit_minutes).and_then(|(begun, limit_minutes)| {
            let minutes = u32::try_from(now.at.duration_since(begun).as_mins()).ok()?;
            let teeth = self
                .record
                .decisions()
                .map(|(tooth, ..)| tooth)
                .filter(|tooth| !crate::record::surgery::is_begun(&self.record, *tooth))
                .collect();
            (minutes + 15 >= limit_minutes).then_some(NearLimit {
                minutes,
                limit_minutes,
                teeth,
            })
        });
        let Some(step) = near.and_then(|near| self.session.ask_staging(&self.record, &near, now))
        else {
            return Vec::new();
        };
        let entries = self.save(step.drafts.clone());
        let phrases = self.session.saved(&self.record, &entries, &step);
        let rules = Rules::built_in().expect("sound rules");
        phrases.iter().map(|phrase| phrase.plain(&rules)).collect()
    }

    /// Says a sentence; returns what the program says back.
    pub fn say(&mut self, sentence: &str) -> Vec<String> {
        self.clock.advance_ms(1_000);
        let situation = Session::situation(&self.record);
        let words = self.grammar.words(sentence);
        let lacking = self.session.lacking(self.clock.now());
        let (meaning, words) =
            self.grammar
                .interpret_beside(lacking, &words, situation, self.record.patient.species);
        let intents = match meaning {
            Meaning::Said(intents) => intents,
            other => return vec![format!("({other:?})")],
        };
        let said = Said {
            intents,
            heard: Heard {
                words: words.join(" "),
                confidence: 1.0,
                ..Heard::default()
            },
        };
        let step = self.session.step(&self.record, &said, self.clock.now());
        let entries = self.save(step.drafts.clone());
        let phrases = self.session.saved(&self.record, &entries, &step);
        let rules = Rules::built_in().expect("sound rules");
        let mut spoken: Vec<String> = step
            .wishes
            .iter()
            .map(|wish| format!("({wish:?})"))
            .collect();
        for phrase in phrases {
            spoken.push(phrase.plain(&rules));
            if let Some(draft) = Session::told(&self.record, &phrase, Telling::Spoken) {
                self.save(vec![draft]);
            }
        }
        spoken
    }
}

fn entry(number: u64, now: Now, draft: Draft) -> Entry {
    Entry::unsaved(Uuid::from_u128(1), number, now, draft)
}

/// A table for "dog" or "cat 3.0".
fn table_for(animal: &str) -> Table {
    let mut words = animal.split_whitespace();
    let species = words
        .next()
        .and_then(|word| word.parse().ok())
        .expect("dog or cat");
    let mut table = Table::open(species);
    table.record.patient.weight = words.next().map(|kg| {
        let kg: f64 = kg.parse().expect("kilograms after the species");
        crate::terms::Weight::from_grams((kg * 1000.0) as u32).expect("a weight")
    });
    table
}

/// Check values from published sources that are sentences: `tests/data/checks/sentences.tsv`.
#[test]
fn published_values_are_answered() {
    let mut count = 0;
    for line in include_str!("../../../../../tests/data/checks/sentences.tsv")
        .lines()
        .filter(|l| !l.starts_with('#'))
    {
        let [animal, said, expected, source] = line.split('\t').collect::<Vec<_>>()[..] else {
            panic!("a row has four cells: {line}");
        };
        assert!(!source.is_empty(), "{line}");
        let mut table = table_for(animal);
        let mut answer = String::new();
        for utterance in said.split(" | ") {
            answer = table.say(utterance).join(". ");
        }
        assert!(
            answer.contains(expected),
            "{animal}: {said}\n  expected {expected} ({source})\n  found {answer}"
        );
        count += 1;
    }
    assert!(count > 30);
}

fn play(text: &str) -> String {
    let mut lines = text
        .lines()
        .filter(|line| !line.trim().is_empty() && !line.starts_with('#'));
    let mut table = table_for(lines.next().expect("a first line"));
    let mut out = String::new();
    let mut limit_minutes = None;
    for line in lines {
        writeln!(out, "> {line}").expect("a string");
        if let Some(minutes) = line.strip_prefix("@ limit ") {
            limit_minutes = Some(minutes.parse().expect("minutes"));
            continue;
        }
        if let Some(minutes) = line.strip_prefix("@ pass ") {
            let minutes: u64 = minutes.parse().expect("minutes");
            for spoken in table.pass(minutes, limit_minutes) {
                writeln!(out, "< {spoken}").expect("a string");
            }
            continue;
        }
        for spoken in table.say(line) {
            writeln!(out, "< {spoken}").expect("a string");
        }
    }
    writeln!(out, "---").expect("a string");
    for charted in table.record.current() {
        let what = match &charted.event {
            Event::FindingRecorded { finding, .. } => {
                format!(
                    "{:?} {:?} {:?} {:?}",
                    finding.subject, finding.kind, finding.place, finding.value
                )
            }
            other => format!("{other:?}"),
        };
        writeln!(out, "{} {:?} {what}", charted.number, charted.standing).expect("a string");
    }
    out
}

#[test]
fn transcripts_give_what_is_expected() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/transcripts");
    let mut names: Vec<_> = std::fs::read_dir(&folder)
        .expect("the folder of transcripts")
        .filter_map(|item| Some(item.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    names.sort();
    assert!(!names.is_empty());
    let mut wrong = Vec::new();
    for path in names {
        let found = play(&std::fs::read_to_string(&path).expect("a transcript"));
        let expect = path.with_extension("expect");
        let expected = std::fs::read_to_string(&expect).unwrap_or_default();
        if found != expected {
            if std::env::var_os("UPDATE_EXPECT").is_some() || !expect.exists() {
                std::fs::write(&expect, &found).expect("written");
            }
            wrong.push(format!(
                "{}\n--- expected\n{expected}\n--- found\n{found}",
                path.display()
            ));
        }
    }
    assert!(
        wrong.is_empty() || std::env::var_os("UPDATE_EXPECT").is_some(),
        "{}",
        wrong.join("\n")
    );
}

/// Keys that the code names exist in the data files, and the files hold no key that nothing names.
#[test]
fn keys_of_code_and_data_are_the_same() {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut code = String::new();
    let mut open = vec![own.join("src"), own.join("../../src")];
    while let Some(path) = open.pop() {
        if path.is_dir() {
            open.extend(
                std::fs::read_dir(&path)
                    .expect("a folder")
                    .filter_map(|item| Some(item.ok()?.path())),
            );
        } else if path.extension().is_some_and(|e| e == "rs")
            && !path.components().any(|part| part.as_os_str() == "tests")
            && !path.ends_with("tests.rs")
        {
            code.push_str(&std::fs::read_to_string(&path).expect("a source"));
        }
    }
    let rules = Rules::built_in().expect("sound rules");
    for (key, rule) in rules.all() {
        assert!(
            code.contains(&format!("\"{key}\"")),
            "rule {key} is in the file, but nothing asks for it"
        );
        assert!(
            !rule.say.is_empty() && !rule.source.is_empty(),
            "rule {key} needs a sentence and a source"
        );
    }
    for (key, reply) in reply::replies() {
        assert!(
            code.contains(&format!("\"{key}\"")),
            "reply {key} is in the file, but nothing says it"
        );
        assert!(
            !reply.when.is_empty() && !reply.say.is_empty(),
            "reply {key} needs when and say"
        );
    }
    let keys = regex::Regex::new(r#"Phrase::(new|rule)\("([a-z_]+)"\)"#).expect("a pattern");
    for found in keys.captures_iter(&code) {
        if &found[1] == "rule" {
            assert!(rules.get(&found[2]).is_some(), "no rule {}", &found[2]);
        } else {
            assert!(
                !reply::templates(&found[2]).is_empty(),
                "no reply {}",
                &found[2]
            );
        }
    }
}
