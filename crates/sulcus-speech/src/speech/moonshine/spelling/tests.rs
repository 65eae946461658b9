//! The automaton against a plain enumeration of all texts, and the traps it is there for.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use proptest::prelude::*;

use super::*;
use crate::speech::word_graph::{Senses, State, Word, WordGraph};

fn word(text: &str, spellings: &[&str], figure: &str) -> Word {
    Word {
        text: text.to_owned(),
        spellings: spellings.iter().map(|&s| s.to_owned()).collect(),
        figure: (!figure.is_empty()).then(|| figure.to_owned()),
    }
}

fn depths(max: usize) -> WordGraph {
    let words = vec![
        word("zero", &[], "0"),
        word("oh", &["o"], "0"),
        word("one", &[], "1"),
        word("two", &["to"], "2"),
        word("ten", &[], "10"),
        word("twelve", &[], "12"),
    ];
    WordGraph::loop_of(words, 1, max)
}

fn reads(graph: WordGraph, text: &str) -> Option<String> {
    let graph = Arc::new(graph);
    let spelling = Spelling::new(Arc::clone(&graph));
    spelling.readings(text).first().map(|words| {
        let texts: Vec<&str> = words
            .iter()
            .map(|&word| graph.words[word as usize].text.as_str())
            .collect();
        texts.join(" ")
    })
}

#[test]
fn words_figures_capitals_and_separators_are_read() {
    for (text, words) in [
        (" One two", "one two"),
        ("one, TO.", "one two"),
        (" 1-2!", "one two"),
        (" 1, 2?", "one two"),
        (" 1. 2.", "one two"),
        (" One 21", "one two one"),
        (" Twelve", "twelve"),
        (" 0", "zero"),
        (" O", "oh"),
    ] {
        assert_eq!(reads(depths(4), text).as_deref(), Some(words), "{text}");
    }
}

#[test]
fn other_text_is_refused() {
    for text in [
        "",
        " ",
        " one,",
        " one,two",
        " three",
        " one two one two one",
        " one.  two",
        "one! two",
        " onetwo",
    ] {
        assert_eq!(reads(depths(4), text), None, "{text}");
    }
}

#[test]
fn figures_that_could_be_two_values_are_refused() {
    for text in [" 12", " 10", " 112", " 12 2", " 1-10.", " 2, 12"] {
        assert_eq!(reads(depths(4), text), None, "{text}");
    }
    // Without the longer number there is nothing to confuse.
    let mut graph = depths(4);
    for state in &mut graph.states {
        state.arcs.retain(|&(word, _)| word < 4);
    }
    assert_eq!(reads(graph, " 1210").as_deref(), Some("one two one zero"));
}

/// "tooth" and then 110, said "one ten" or "one one oh", or 112; the states between are inside the number.
fn tooth() -> WordGraph {
    let words = vec![
        word("tooth", &[], ""),
        word("one", &[], "1"),
        word("ten", &[], "10"),
        word("twelve", &[], "12"),
        word("oh", &[], "0"),
        word("two", &[], "2"),
    ];
    let state = |arcs: &[(u32, u32)], is_final, inside_number| State {
        arcs: arcs.to_vec(),
        is_final,
        inside_number,
        ..State::default()
    };
    WordGraph {
        words,
        states: vec![
            state(&[(0, 1)], false, false),
            state(&[(1, 2)], false, false),
            state(&[(1, 3), (2, 4), (3, 4)], false, true),
            state(&[(4, 4), (5, 4)], false, true),
            state(&[(1, 4), (2, 4)], true, false),
        ],
        senses: Senses::default(),
    }
}

#[test]
fn inside_one_number_figures_may_be_said_either_way() {
    assert!(reads(tooth(), " Tooth 110.").is_some());
    assert!(reads(tooth(), " Tooth 112").is_some());
    assert!(reads(tooth(), " Tooth 1 10").is_some());
    // After the number values stand alone again: 110 and then "one oh" or "ten"? Only "ten" is a value here.
    assert_eq!(
        reads(tooth(), " Tooth one ten 10").as_deref(),
        Some("tooth one ten ten")
    );
}

#[test]
fn a_letter_or_a_unit_joins_a_figure_and_words_do_not() {
    let words = vec![
        word("mobility", &["m"], ""),
        word("two", &[], "2"),
        word("millimetres", &["mm"], ""),
        word("missing", &[], ""),
    ];
    let graph = || WordGraph::loop_of(words.clone(), 1, 3);
    assert_eq!(reads(graph(), " M2").as_deref(), Some("mobility two"));
    assert_eq!(reads(graph(), " 2mm.").as_deref(), Some("two millimetres"));
    assert_eq!(reads(graph(), " 2missing"), None);
    assert_eq!(reads(graph(), " missing2"), None);
}

#[test]
fn the_lax_form_lets_ambiguous_figures_through() {
    let lax = Spelling::new_lax(Arc::new(depths(3)));
    let readings = lax.readings(" 12");
    assert!(
        readings.contains(&vec![2, 3]) && readings.contains(&vec![5]),
        "{readings:?}"
    );
    assert!(lax.readings(" thirteen").is_empty());
}

/// A way to write a beginning of a sentence, and the values of its last run of figures.
#[derive(Clone)]
struct Written {
    text: String,
    state: StateIndex,
    left: Form,
    /// Figures of each value in the run of figures at the end.
    run: Vec<String>,
    values: Vec<String>,
}

#[derive(Clone, Copy, PartialEq)]
enum Form {
    Start,
    Figure,
    Short,
    Long,
}

/// All beginnings that end with a word's end, by plain enumeration.
fn enumerate(graph: &WordGraph) -> Vec<Written> {
    let mut all = Vec::new();
    let mut open = vec![Written {
        text: String::new(),
        state: WordGraph::START,
        left: Form::Start,
        run: Vec::new(),
        values: Vec::new(),
    }];
    while let Some(written) = open.pop() {
        for &(index, state) in &graph.states[written.state as usize].arcs {
            let word = &graph.words[index as usize];
            let mut forms = vec![(word.text.clone(), false)];
            forms.extend(word.spellings.iter().map(|s| (s.clone(), false)));
            forms.extend(word.figure.iter().map(|s| (s.clone(), true)));
            for (form, is_figure) in forms {
                let kind = match (is_figure, form.len()) {
                    (true, _) => Form::Figure,
                    (false, ..=2) => Form::Short,
                    _ => Form::Long,
                };
                let joins = matches!(
                    (written.left, kind),
                    (Form::Figure, Form::Figure | Form::Short) | (Form::Short, Form::Figure)
                );
                let separators: &[&str] = match written.left {
                    Form::Start => &[" ", ""],
                    _ if joins => &[" ", "-", ", ", ". ", ""],
                    _ => &[" ", "-", ", ", ". "],
                };
                for separator in separators {
                    let goes_on = separator.is_empty() && written.left == Form::Figure && is_figure;
                    let mut run = if goes_on {
                        written.run.clone()
                    } else {
                        Vec::new()
                    };
                    if is_figure {
                        run.push(form.clone());
                    }
                    let mut values = written.values.clone();
                    values.push(word.figure.clone().unwrap_or_else(|| word.text.clone()));
                    let next = Written {
                        text: format!("{}{separator}{form}", written.text),
                        state,
                        left: kind,
                        run,
                        values,
                    };
                    all.push(next.clone());
                    open.push(next);
                }
            }
        }
    }
    all
}

/// Texts of whole sentences that are to be let through, with their values.
fn expected(graph: &WordGraph) -> BTreeMap<String, BTreeSet<Vec<String>>> {
    let all = enumerate(graph);
    let mut runs: BTreeMap<&str, BTreeSet<&[String]>> = BTreeMap::new();
    for written in all.iter().filter(|written| !written.run.is_empty()) {
        runs.entry(&written.text).or_default().insert(&written.run);
    }
    let is_clear = |text: &str| {
        // Every place where figures end must have one reading.
        (1..=text.len()).all(|end| {
            let closes = !text[end..].starts_with(|c: char| c.is_ascii_digit());
            !closes || runs.get(&text[..end]).is_none_or(|runs| runs.len() == 1)
        })
    };
    let mut texts: BTreeMap<String, BTreeSet<Vec<String>>> = BTreeMap::new();
    for written in &all {
        if graph.states[written.state as usize].is_final && is_clear(&written.text) {
            for end in ["", ".", "!", "?"] {
                texts
                    .entry(format!("{}{end}", written.text))
                    .or_default()
                    .insert(written.values.clone());
            }
        }
    }
    texts
}

#[test]
fn exactly_the_clear_texts_are_let_through() {
    let graph = Arc::new(depths(2));
    let spelling = Spelling::new(Arc::clone(&graph));
    let expected = expected(&graph);
    assert!(expected.len() > 1_000);
    for (text, values) in &expected {
        assert_eq!(values.len(), 1, "{text} has two values");
        let words = spelling
            .readings(text)
            .pop()
            .unwrap_or_else(|| panic!("{text} is refused"));
        let read: Vec<String> = words
            .iter()
            .map(|&word| {
                let word = &graph.words[word as usize];
                word.figure.clone().unwrap_or_else(|| word.text.clone())
            })
            .collect();
        assert!(values.contains(&read), "{text} is read as {read:?}");
    }
    // And nothing else that can be written at all.
    for written in enumerate(&graph) {
        if !expected.contains_key(&written.text) {
            assert_eq!(
                spelling.readings(&written.text),
                [[0; 0]; 0],
                "{}",
                written.text
            );
        }
    }
}

proptest! {
    #[test]
    fn what_is_read_is_a_sentence_of_the_graph(text in "( |-|, |\\. |0|1|2|one|two|to|oh|ten|twelve|!){1,8}") {
        let graph = depths(4);
        if let Some(words) = reads(graph.clone(), &text) {
            let words: Vec<&str> = words.split(' ').collect();
            prop_assert!(graph.accepts(&words));
        }
    }
}
