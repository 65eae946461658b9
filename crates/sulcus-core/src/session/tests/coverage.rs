//! Every template of the grammar with a sentence, what is entered and what is said back: `docs/coverage.md`.
//! The file is made here; a difference fails. UPDATE_EXPECT=1 writes it.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::Table;
use crate::grammar::template::{Joining, Situation};
use crate::grammar::{Intent, Meaning, sample};
use crate::record::Event;
use crate::terms::{Kind, Species};

/// What a description of a lesion needs before it.
const LESION: &str = "ulcer on left tongue";

/// The fields of the record that an utterance filled.
fn fields(table: &Table, before: u64) -> String {
    let mut fields = BTreeSet::new();
    for charted in table.record.all().filter(|charted| charted.number > before) {
        fields.insert(match &charted.event {
            Event::FindingRecorded { finding, .. } => format!("finding {}", finding.kind.key()),
            Event::DecisionRecorded { .. } => "decision".to_owned(),
            Event::MouthDecided { .. } => "decision for the mouth".to_owned(),
            Event::ProcedureRecorded { .. } => "procedure".to_owned(),
            _ => "note".to_owned(),
        });
    }
    if table
        .record
        .challenges
        .iter()
        .any(|challenge| challenge.number > before)
    {
        fields.insert("challenge".to_owned());
    }
    fields.into_iter().collect::<Vec<_>>().join(", ")
}

#[test]
fn every_template_is_entered_and_said_back() {
    let grammar = crate::grammar::Grammar::built_in().expect("sound grammar");
    let mut text = String::from(
        "# What may be said, what is entered, what is said back\n\n\
         Made by a test from the grammar; the sentences are samples. Said of tooth 108 of a dog.\n\n\
         | intent | spoken form | sample | enters | says |\n|---|---|---|---|---|\n",
    );
    let mut kinds = BTreeSet::new();
    for template in grammar
        .book()
        .active(Situation::Table)
        .filter(|t| t.joining != Joining::Prefix)
    {
        let mut random = ChaCha8Rng::seed_from_u64(7);
        let mut table = Table::open(Species::Dog);
        table.say("tooth one oh eight");
        if template.intent == "lesion" {
            table.say(LESION);
        }
        let before = table.record.last;
        let words = sample::sentence(grammar.book(), &template.node, &mut random).join(" ");
        let says = table.say(&words).join(". ");
        let spoken = template.text.replace('|', "\\|");
        writeln!(
            text,
            "| {} | `{spoken}` | {words} | {} | {says} |",
            template.intent.replace('_', " "),
            fields(&table, before)
        )
        .expect("a string");
    }
    // Every kind of finding can be said: look through many samples for those that the table's samples missed, and
    // through as many as it takes for each word to occur.
    let mut utterances: Vec<(u64, Vec<String>)> = (0..3_000)
        .map(|seed| {
            let mut random = ChaCha8Rng::seed_from_u64(seed);
            let words = sample::utterance(grammar.book(), Situation::Table, 3, &mut random);
            (seed, words)
        })
        .collect();
    let mut random = ChaCha8Rng::seed_from_u64(0);
    let covering = sample::covering(grammar.book(), Situation::Table, &mut random);
    utterances.extend(covering.into_iter().map(|words| (0, words)));
    for (seed, words) in utterances {
        let mut table = Table::open(Species::Dog);
        let Meaning::Said(intents) = grammar.interpret(&words, Situation::Table, Species::Dog)
        else {
            panic!("seed {seed}: {}", words.join(" "));
        };
        table.say("tooth one oh eight");
        if matches!(intents[..], [Intent::DescribeLesion(_)]) {
            table.say(LESION);
        }
        table.say(&words.join(" "));
        kinds.extend(table.record.findings().map(|(finding, _)| finding.kind));
    }
    // Those of one list each by its own words, of a permanent and of a deciduous tooth.
    for (list, grade) in [
        ("plain_finding", ""),
        ("film_finding", ""),
        ("bone_loss", " thirty percent"),
        ("vitality", ""),
        ("transillumination", ""),
        ("tooth_sign", ""),
    ] {
        for (said, _) in &grammar.book().lists[list] {
            let mut table = Table::open(Species::Dog);
            let words = sample::sentence(grammar.book(), said, &mut random).join(" ") + grade;
            for tooth in ["tooth one oh eight", "tooth five oh eight"] {
                table.say(tooth);
                table.say(&words);
            }
            kinds.extend(table.record.findings().map(|(finding, _)| finding.kind));
        }
    }
    let unsaid: Vec<Kind> = Kind::ALL
        .into_iter()
        .filter(|kind| !kinds.contains(kind))
        .collect();
    assert!(unsaid.is_empty(), "no sentence enters these: {unsaid:?}");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/coverage.md");
    if std::env::var_os("UPDATE_EXPECT").is_some() {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(&path, &text).expect("written");
    }
    let expected = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(
        text, expected,
        "docs/coverage.md is not current; run UPDATE_EXPECT=1 cargo test"
    );
}
