//! What is made of the library's alternatives, without library or model. The real ones: `tests/sound/vosk_engine.rs`.

use super::*;
use crate::speech::word_graph::Word;

/// One to three of the digits one, nine.
fn digits() -> (WordGraph, Lexicon) {
    let words = ["one", "nine"].map(|text| Word {
        text: text.into(),
        spellings: Vec::new(),
        figure: None,
    });
    let graph = WordGraph::loop_of(words.to_vec(), 1, 2);
    let lexicon = Lexicon::new(&graph, |_| true);
    (graph, lexicon)
}

/// Words of half a second each, one after the other.
fn alternative(score: f32, text: &str) -> Alternative {
    let words = text
        .split_whitespace()
        .enumerate()
        .map(|(at, word)| Spoken {
            word: word.into(),
            start_s: at as f32 * 0.5,
            end_s: at as f32 * 0.5 + 0.5,
        })
        .collect();
    Alternative { score, words }
}

fn heard(alternatives: &[Alternative]) -> Hearing {
    let (graph, lexicon) = digits();
    hear(&graph, &lexicon, alternatives)
}

fn texts(hearing: &Hearing) -> Vec<String> {
    hearing
        .hypotheses
        .iter()
        .map(|h| h.words.join(" "))
        .collect()
}

#[test]
fn sentences_of_the_graph_are_kept_best_first() {
    let hearing = heard(&[
        alternative(10.0, "one nine one"),
        alternative(9.9, "one nine"),
        alternative(9.0, "nine nine"),
    ]);
    assert_eq!(texts(&hearing), ["one nine", "nine nine"]);
    assert_eq!(hearing.unheard, None);
}

#[test]
fn a_word_is_as_sure_as_all_ways_of_hearing_that_have_it_there() {
    // Of the probability e : 1 the greater part is 0.731; "nine" at the second place is in both.
    let hearing = heard(&[alternative(1.0, "one nine"), alternative(0.0, "nine nine")]);
    let best = &hearing.hypotheses[0];
    assert!((best.log_probability.exp() - 0.731).abs() < 0.001);
    assert!((best.word_confidences[0] - 0.731).abs() < 0.001);
    assert!((best.word_confidences[1] - 1.0).abs() < 0.001);
}

#[test]
fn the_same_sentence_at_other_times_counts_once() {
    let mut later = alternative(1.0, "one");
    later.words[0].start_s = 0.2;
    let hearing = heard(&[alternative(1.0, "one"), later, alternative(1.0, "nine")]);
    assert_eq!(texts(&hearing), ["one", "nine"]);
    assert!((hearing.hypotheses[0].log_probability.exp() - 2.0 / 3.0).abs() < 0.001);
}

#[test]
fn no_sentence_of_the_graph_is_out_of_grammar() {
    let hearing = heard(&[alternative(1.0, "one one one one")]);
    assert_eq!(hearing.unheard, Some(Unheard::OutOfGrammar));
    assert!(hearing.hypotheses.is_empty());
}

#[test]
fn an_unknown_word_in_the_best_way_of_hearing_keeps_all_out() {
    let hearing = heard(&[alternative(1.0, "one [unk]"), alternative(0.9, "one")]);
    assert_eq!(hearing.unheard, Some(Unheard::OutOfGrammar));
    assert_eq!(texts(&hearing), ["one"]);
}

#[test]
fn nothing_heard_is_no_speech() {
    assert_eq!(heard(&[]).unheard, Some(Unheard::NoSpeech));
    assert_eq!(
        heard(&[alternative(83.0, "")]).unheard,
        Some(Unheard::NoSpeech)
    );
}

#[test]
fn a_sentence_that_is_one_of_many_is_unclear() {
    let others = (0..5).map(|_| alternative(0.0, "one one one"));
    let all: Vec<_> = others.chain([alternative(0.0, "one")]).collect();
    let hearing = heard(&all);
    assert_eq!(hearing.unheard, Some(Unheard::Unclear));
    assert_eq!(texts(&hearing), ["one"]);
}

#[test]
fn samples_beyond_full_scale_are_cut() {
    assert_eq!(
        to_pcm(&[0.0, 1.0, -1.0, 3.0, -3.0, f32::NAN]),
        [0, 32767, -32767, 32767, -32768, 0]
    );
}

#[test]
fn the_english_model_is_missed_with_the_way_to_get_it() {
    let Err(error) = Vosk::open(Path::new("no-such-folder")) else {
        panic!("opened what is not there");
    };
    let text = error.to_string();
    assert!(text.contains("no-such-folder/vosk/en"), "{text}");
    assert!(text.contains("--vosk-english"), "{text}");
}
