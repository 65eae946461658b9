//! Our own lists of what people naturally say (`tests/data/phrasing`): none of it may be taken for something else.

use std::path::{Path, PathBuf};

use super::*;

/// A row of a list: what is said, the sentence of the grammar that means the same, and who would say it.
struct Row {
    said: String,
    means: String,
}

#[derive(Debug, PartialEq)]
enum Outcome {
    Right,
    Refused,
    Other(Meaning),
}

fn rows(file: &Path) -> Vec<Row> {
    let text = std::fs::read_to_string(file).expect("the list is there");
    text.lines()
        .skip(1)
        .map(|line| {
            let mut cells = line.split('\t');
            let mut cell = || cells.next().expect("said, means, speaker").to_owned();
            Row {
                said: cell(),
                means: cell(),
            }
        })
        .collect()
}

fn meaning(grammar: &Grammar, sentence: &str) -> Meaning {
    grammar.interpret(&grammar.words(sentence), Situation::Table, Species::Dog)
}

fn outcome(grammar: &Grammar, row: &Row) -> Outcome {
    let meant = meaning(grammar, &row.means);
    assert!(
        matches!(meant, Meaning::Said(_)),
        "{:?} is to be one sentence of the grammar: {meant:?}",
        row.means
    );
    match meaning(grammar, &row.said) {
        Meaning::NotUnderstood => Outcome::Refused,
        said if said == meant => Outcome::Right,
        said => Outcome::Other(said),
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/phrasing")
}

#[test]
#[ignore = "scratch"]
fn scratch_lists_with_the_grammar_on_disk() {
    let dir = PathBuf::from(std::env::var("GRAMMAR").expect("GRAMMAR"));
    let read = |name: &str| std::fs::read_to_string(dir.join(name)).expect("file");
    let (w, e, a) = (
        read("words.en.grammar"),
        read("exam.en.grammar"),
        read("anaesthetic.en.grammar"),
    );
    let started = std::time::Instant::now();
    let mut grammar = Grammar::from_sources(&[
        ("words.en.grammar", &w),
        ("exam.en.grammar", &e),
        ("anaesthetic.en.grammar", &a),
    ])
    .unwrap_or_else(|e| panic!("{e}"));
    grammar.spellings =
        word_set::Spellings::read("spellings.en.tsv", &read("spellings.en.tsv")).expect("table");
    let graph = graph::build(&grammar.book, &grammar.spellings, Situation::Table);
    let arcs: usize = graph.states.iter().map(|s| s.arcs.len()).sum();
    println!(
        "{} states, {arcs} arcs, {:?}",
        graph.states.len(),
        started.elapsed()
    );
    if std::env::var("PROOF").is_ok() {
        for situation in Situation::ALL {
            for clash in grammar.two_meanings(situation) {
                println!("CLASH {situation:?} {clash}");
            }
        }
        println!("proof {:?}", started.elapsed());
    }
    for list in std::env::var("LISTS").unwrap_or_default().split(':') {
        if list.is_empty() {
            continue;
        }
        let mut counts = [0; 4];
        for row in rows(Path::new(list)) {
            if !matches!(meaning(&grammar, &row.means), Meaning::Said(_)) {
                counts[3] += 1;
                println!(
                    "NOMEANING {} | {} | {:?}",
                    row.said,
                    row.means,
                    meaning(&grammar, &row.means)
                );
                continue;
            }
            match outcome(&grammar, &row) {
                Outcome::Right => counts[0] += 1,
                Outcome::Refused => {
                    counts[1] += 1;
                    println!("REFUSED {} | {}", row.said, row.means);
                }
                Outcome::Other(other) => {
                    counts[2] += 1;
                    println!("OTHER {} | {} | {other:?}", row.said, row.means);
                }
            }
        }
        println!(
            "LIST {list}: right {} refused {} other {} nomeaning {}",
            counts[0], counts[1], counts[2], counts[3]
        );
    }
    for sentence in std::env::var("SAY").unwrap_or_default().split('.') {
        if !sentence.trim().is_empty() {
            println!("SAY {} -> {:?}", sentence, meaning(&grammar, sentence));
        }
    }
}
