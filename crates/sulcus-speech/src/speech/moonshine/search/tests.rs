//! The search over a made-up model that is a plain table: from the text so far to the next token's probabilities.

use std::sync::Arc;

use super::*;
use crate::speech::closed_graph as graph;
use crate::speech::moonshine::tokenizer::tests::tokenizer;
use crate::speech::word_graph::WordGraph;

const PIECES: [&str; 12] = [
    " one", " two", " three", " 1", "2", ",", ".", " won", " cat", " One", "-", " 2",
];

/// Probability of the next token after a text; what is left over goes to a token outside every grammar.
type Table = fn(&str) -> Vec<(&'static str, f32)>;

struct Fake {
    table: Table,
    tokenizer: Tokenizer,
    rows: Vec<Vec<u32>>,
    logits: Vec<Vec<f32>>,
    rows_max: usize,
}

impl Fake {
    fn new(table: Table) -> Self {
        Self {
            table,
            tokenizer: tokenizer(&PIECES),
            rows: Vec::new(),
            logits: Vec::new(),
            rows_max: 0,
        }
    }

    fn fill(&mut self) {
        let token = |piece: &str| match piece {
            "END" => END as usize,
            _ => PIECES.iter().position(|p| *p == piece).unwrap() + 3,
        };
        self.logits.clear();
        for row in &self.rows {
            let text: String = row
                .iter()
                .map(|&token| String::from_utf8_lossy(self.tokenizer.piece(token)).into_owned())
                .collect();
            let mut probabilities = vec![1e-9f32; self.tokenizer.count()];
            let mut rest = 1.0;
            for (piece, probability) in (self.table)(&text) {
                probabilities[token(piece)] = probability;
                rest -= probability;
            }
            probabilities[0] = rest.max(1e-9);
            // Any constant may be added to logits.
            self.logits
                .push(probabilities.iter().map(|p| p.ln() + 3.0).collect());
        }
        self.rows_max = self.rows_max.max(self.rows.len());
    }
}

impl Decoder for Fake {
    fn begin(&mut self, _views: &[&[f32]]) -> Result<(), SpeechError> {
        self.rows = vec![Vec::new()];
        self.fill();
        Ok(())
    }

    fn rewind(&mut self) -> Result<(), SpeechError> {
        self.begin(&[])
    }

    fn step(&mut self, rows: &[(usize, u32)]) -> Result<(), SpeechError> {
        self.rows = rows
            .iter()
            .map(|&(parent, token)| [self.rows[parent].as_slice(), &[token]].concat())
            .collect();
        self.fill();
        Ok(())
    }

    fn logits(&self, row: usize) -> &[f32] {
        &self.logits[row]
    }
}

fn limits() -> Limits {
    Limits {
        beam: 6,
        same_words: 3,
        tokens: 12,
        words: 6,
        margin: 15.0,
        plain: None,
    }
}

/// A text that has nearly all of the probability is followed alone; what is left for others is told as theirs.
#[test]
fn a_plain_text_is_followed_alone_and_the_rest_counts_as_rivals() {
    let plain: Table = |text| match text {
        "" => vec![(" two", 0.98), (" one", 0.02)],
        " two" => vec![("END", 0.99)],
        _ => vec![("END", 1.0)],
    };
    let sure = Limits {
        plain: Some(0.94f32.ln()),
        ..limits()
    };
    let (sentences, found, rows) = run(graph::digits(), plain, &sure);
    assert_eq!(sentences.len(), 1);
    assert_eq!((sentences[0].0.as_str(), rows), ("two", 1));
    assert!((sentences[0].1 - 0.9702).abs() < 1e-3, "{sentences:?}");
    assert!((found.unsearched - 0.0298).abs() < 1e-3, "{found:?}");
    // With all looked at, the rival has no more than that.
    let (all, found, _) = run(graph::digits(), plain, &limits());
    assert_eq!(all[0], sentences[0]);
    assert!(all[1].1 < 0.0298 && found.unsearched == 0.0);
}

/// Less likely, or no sentence: as if it had never been followed.
#[test]
fn what_is_not_plain_is_searched_from_the_beginning() {
    let torn: Table = |text| match text {
        "" => vec![(" two", 0.97), (" one", 0.03)],
        " two" => vec![(" two", 0.3), ("END", 0.6)],
        _ => vec![("END", 1.0)],
    };
    let foreign: Table = |text| match text {
        "" => vec![(" cat", 0.99), (" one", 0.01)],
        _ => vec![("END", 1.0)],
    };
    let sure = Limits {
        plain: Some(0.94f32.ln()),
        ..limits()
    };
    for table in [torn, foreign] {
        let (with, found, _) = run(graph::digits(), table, &sure);
        let (without, same, _) = run(graph::digits(), table, &limits());
        assert_eq!(with, without);
        assert_eq!(found, same);
    }
}

fn run(graph: WordGraph, table: Table, limits: &Limits) -> (Vec<(String, f32)>, Found, usize) {
    let graph = Arc::new(graph);
    let mut decoder = Fake::new(table);
    let tokenizer = tokenizer(&PIECES);
    let vocabulary = Vocabulary::new(&tokenizer);
    let mut masks = Masks::new(Spelling::new(Arc::clone(&graph)));
    let found = search(
        &mut decoder,
        &tokenizer,
        &vocabulary,
        &mut masks,
        &[],
        limits,
    )
    .unwrap();
    let sentences = found
        .sentences
        .iter()
        .map(|sentence| {
            let words: Vec<&str> = sentence
                .words
                .iter()
                .map(|&word| graph.words[word as usize].text.as_str())
                .collect();
            (words.join(" "), sentence.log_probability.exp())
        })
        .collect();
    (sentences, found, decoder.rows_max)
}

#[test]
fn spellings_of_the_same_words_are_summed() {
    let table: Table = |text| match text {
        "" => vec![(" one", 0.2), (" 1", 0.25), (" won", 0.1), (" two", 0.3)],
        " one" | " 1" | " won" => vec![("END", 0.5), (".", 0.5)],
        " one." | " 1." | " won." => vec![("END", 1.0)],
        _ => vec![("END", 1.0)],
    };
    let (sentences, _, _) = run(graph::digits(), table, &limits());
    // No single spelling of "one" is likelier than "two"; together they are.
    assert_eq!(sentences[0].0, "one");
    assert!((sentences[0].1 - 0.55).abs() < 1e-3, "{sentences:?}");
    assert_eq!(sentences[1].0, "two");
    assert!((sentences[1].1 - 0.3).abs() < 1e-3);
}

/// Each later word costs something, the end only once: the first word alone would be the likeliest sentence.
#[test]
fn a_sentence_does_not_end_where_the_model_would_write_on() {
    let table: Table = |text| match text {
        "" => vec![(" one", 0.9)],
        " one" => vec![("END", 0.02), (".", 0.02), (" two", 0.1)],
        " one." => vec![("END", 0.9), (" two", 0.05)],
        " one two" => vec![("END", 0.02), (" three", 0.1)],
        _ => vec![("END", 0.99)],
    };
    let (sentences, _, _) = run(graph::digits(), table, &limits());
    let of = |words: &str| sentences.iter().find(|(said, _)| said == words).unwrap().1;
    assert_eq!(sentences[0].0, "one two three", "{sentences:?}");
    // The end that nobody doubts costs nothing more.
    assert!((of("one two three") - 0.9 * 0.1 * 0.1 * 0.99).abs() < 1e-4);
    // Neither the bare end nor the one behind a mark that is itself out of place.
    assert!(of("one") < 0.9 * 0.02 * 0.1, "{sentences:?}");
}

#[test]
fn only_sentences_of_the_graph_are_found_however_likely_others_are() {
    let table: Table = |text| match text {
        "" => vec![(" cat", 0.95), (" three", 0.01), (" one", 0.02)],
        " cat" => vec![("END", 1.0)],
        _ => vec![("END", 0.9)],
    };
    let (sentences, found, _) = run(graph::sentences(["three"]), table, &limits());
    assert_eq!(sentences.len(), 1);
    assert_eq!(sentences[0].0, "three");
    assert!((found.free.log_probability() - 0.95f32.ln()).abs() < 1e-3);
    assert_eq!(tokenizer(&PIECES).text(&found.free.tokens), "cat");
}

#[test]
fn a_model_that_hears_nothing_is_still_asked_for_words() {
    let table: Table = |text| match text {
        "" => vec![("END", 0.9), (" two", 0.08)],
        _ => vec![("END", 0.9)],
    };
    let (sentences, found, _) = run(graph::digits(), table, &limits());
    assert_eq!(sentences[0].0, "two");
    assert!((found.nothing_log_probability - 0.9f32.ln()).abs() < 1e-3);
    assert!(!found.free.tokens.is_empty());
}

#[test]
fn a_loop_ends_at_the_words_the_sound_has_time_for() {
    let table: Table = |text| match text {
        "" => vec![(" two", 0.98)],
        _ => vec![(" two", 0.97), ("END", 0.02)],
    };
    let (sentences, found, _) = run(graph::digits(), table, &limits());
    assert!(found.steps <= limits().tokens);
    assert!(
        sentences
            .iter()
            .all(|(words, _)| words.split(' ').count() <= 6)
    );
    assert!(found.free.tokens.len() <= limits().tokens + 1);
}

#[test]
fn the_decoder_never_gets_more_rows_than_beam_and_free_path() {
    let table: Table = |_| {
        vec![
            (" one", 0.2),
            (" two", 0.2),
            (" three", 0.2),
            (" 1", 0.1),
            (" 2", 0.1),
            ("END", 0.1),
        ]
    };
    let (_, _, rows) = run(graph::digits(), table, &limits());
    assert!(rows <= limits().beam + 1, "{rows}");
}

#[test]
fn one_way_of_words_does_not_fill_the_beam() {
    // "one" has many likely spellings; "two" must survive beside them.
    let table: Table = |text| match text {
        "" => vec![
            (" one", 0.3),
            (" One", 0.3),
            (" 1", 0.2),
            (" won", 0.15),
            (" two", 0.04),
        ],
        _ => vec![("END", 0.9)],
    };
    let narrow = Limits {
        beam: 3,
        same_words: 2,
        ..limits()
    };
    let (sentences, _, _) = run(graph::digits(), table, &narrow);
    assert!(
        sentences.iter().any(|(words, _)| words == "two"),
        "{sentences:?}"
    );
}

#[test]
fn sums_of_logarithms_are_right() {
    let close = |a: f32, b: f32| (a - b).abs() < 1e-5;
    assert!(close(log_add(0.25f32.ln(), 0.5f32.ln()), 0.75f32.ln()));
    assert!(close(log_add(f32::NEG_INFINITY, 0.5f32.ln()), 0.5f32.ln()));
    assert!(close(log_sum_exp(&[1000.0, 1000.0]), 1000.0 + 2f32.ln()));
    assert_eq!(log_sum_exp(&[]), f32::NEG_INFINITY);
}
