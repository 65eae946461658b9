//! Our own lists of what people naturally say (`tests/data/phrasing`): none of it may be taken for something else.

use std::path::{Path, PathBuf};

use super::*;

/// A row of a list: what is said, and the sentence of the grammar that means the same.
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
        // It is asked for the part that it lacks.
        Meaning::Said(intents) if matches!(intents.last(), Some(Intent::Lacking { .. })) => {
            Outcome::Refused
        }
        said if said == meant => Outcome::Right,
        said => Outcome::Other(said),
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/phrasing")
}

/// Of a list at least so many are understood. What is refused costs a second try; what is taken for something else may
/// cost a tooth.
fn measure(name: &str, understood_min: usize) {
    let grammar = Grammar::built_in().expect("the built-in grammar is sound");
    let rows = rows(&folder().join(name));
    let mut right = 0;
    for row in &rows {
        match outcome(&grammar, row) {
            Outcome::Right => right += 1,
            Outcome::Refused => {}
            Outcome::Other(other) => panic!("{:?} is taken for {other:?}", row.said),
        }
    }
    assert!(
        right >= understood_min,
        "{name}: {right} of {} understood",
        rows.len()
    );
}

#[test]
fn nothing_of_the_first_list_is_taken_for_something_else() {
    measure("first.tsv", 355);
}

#[test]
fn nothing_of_the_second_list_is_taken_for_something_else() {
    measure("second.tsv", 170);
}

#[test]
fn nothing_of_the_third_list_is_taken_for_something_else() {
    measure("third.tsv", 175);
}

#[test]
fn nothing_of_the_fourth_list_is_taken_for_something_else() {
    measure("fourth.tsv", 185);
}

#[test]
fn nothing_of_the_fifth_list_is_taken_for_something_else() {
    measure("fifth.tsv", 185);
}

#[test]
fn nothing_of_the_sixth_list_is_taken_for_something_else() {
    measure("sixth.tsv", 215);
}

#[test]
fn nothing_of_the_seventh_list_is_taken_for_something_else() {
    measure("seventh.tsv", 260);
}

#[test]
fn nothing_of_the_eighth_list_is_taken_for_something_else() {
    measure("eighth.tsv", 270);
}

#[test]
fn nothing_of_the_ninth_list_is_taken_for_something_else() {
    measure("ninth.tsv", 268);
}

#[test]
fn nothing_of_the_tenth_list_is_taken_for_something_else() {
    measure("tenth.tsv", 260);
}

#[test]
fn nothing_of_the_eleventh_list_is_taken_for_something_else() {
    measure("eleventh.tsv", 328);
}

#[test]
fn short_forms_are_read_as_the_words_that_they_stand_for() {
    let grammar = Grammar::built_in().expect("the built-in grammar is sound");
    let words = |sentence: &str| grammar.words(sentence).join(" ");
    for (short, long) in [
        ("it's out", "it is out"),
        ("It\u{2019}s got caries", "it has got caries"),
        ("let's extract", "let us extract"),
        ("isn't mobile", "is not mobile"),
        ("we've scaled, I'm done", "we have scaled i am done"),
        ("in three months' time", "in three months time"),
        ("don't extract", "do not extract"),
    ] {
        assert_eq!(words(short), long);
    }
}

#[test]
fn a_word_that_turns_the_sense_is_never_left_out() {
    let grammar = Grammar::built_in().expect("the built-in grammar is sound");
    for sentence in [
        "don't extract",
        "do not extract one oh four",
        "I wouldn't extract this one",
        "let's not extract this one",
        "extract one oh four not one oh five",
        "not normal",
        "this isn't normal",
        "it's not missing",
        "not crowded",
        "no bleeding",
        "mobility two and no bleeding",
        "no caries",
        "no extraction",
        "carprofen not given",
        "carprofen hasn't been given",
        "throat pack isn't out",
        "not confirmed",
        "extract or monitor",
        "maybe extract",
    ] {
        let meaning = meaning(&grammar, sentence);
        assert_eq!(meaning, Meaning::NotUnderstood, "{sentence}");
    }
}
