//! What is believed and what is not, from made-up searches.

use super::*;
use crate::speech::closed_graph as graph;
use crate::speech::moonshine::search::FreePath;
use crate::speech::word_graph::Senses;

fn sentence(words: &[u32], log_probability: f32) -> Sentence {
    Sentence {
        words: words.to_vec(),
        log_probability,
        tokens: vec![3; words.len()],
        spelling_log_probability: log_probability,
    }
}

fn found(sentences: Vec<Sentence>, free: f32) -> Found {
    Found {
        sentences,
        free: FreePath {
            tokens: vec![3, 4],
            log_probabilities: vec![free / 3.0; 3],
        },
        nothing_log_probability: -6.0,
        steps: 3,
        unsearched: 0.0,
    }
}

fn unheard(found: &Found, free_text: FreeText) -> Option<Unheard> {
    judge(found, &graph::digits(), free_text, 1.0, &Belief::of(false)).unheard
}

#[test]
fn a_clear_sentence_is_believed() {
    let found = found(vec![sentence(&[2, 3], -0.5), sentence(&[2, 4], -6.0)], -0.7);
    assert_eq!(unheard(&found, FreeText::Same), None);
}

#[test]
fn a_free_path_that_is_far_better_is_another_sentence() {
    let found = found(vec![sentence(&[2, 3], -14.0)], -1.0);
    assert_eq!(
        unheard(&found, FreeText::Foreign),
        Some(Unheard::OutOfGrammar)
    );
}

#[test]
fn two_sentences_of_one_likelihood_are_unclear() {
    let found = found(
        vec![
            sentence(&[2, 3], -1.2),
            sentence(&[2, 4], -1.2),
            sentence(&[2, 5], -1.2),
        ],
        -1.0,
    );
    assert_eq!(unheard(&found, FreeText::Same), Some(Unheard::Unclear));
}

#[test]
fn no_sentence_at_all_is_out_of_the_grammar() {
    assert_eq!(
        unheard(&found(Vec::new(), -1.0), FreeText::Foreign),
        Some(Unheard::OutOfGrammar)
    );
}

#[test]
fn oh_and_zero_do_not_make_each_other_unsure() {
    // Words 0 and 1 of the digits are "zero" and "oh".
    let found = found(vec![sentence(&[2, 0], -1.0), sentence(&[2, 1], -1.0)], -1.0);
    let judgement = judge(
        &found,
        &graph::digits(),
        FreeText::Same,
        1.0,
        &Belief::of(false),
    );
    assert_eq!(judgement.unheard, None);
    assert!(
        judgement.hypotheses[0]
            .word_confidences
            .iter()
            .all(|&sure| sure > 0.99)
    );
}

#[test]
fn only_the_word_in_doubt_is_unsure() {
    // "one five three", "one nine three" and "one three": the middle word is in doubt.
    let found = found(
        vec![
            sentence(&[2, 6, 4], -1.0),
            sentence(&[2, 10, 4], -1.0),
            sentence(&[2, 4], -1.0),
        ],
        -1.0,
    );
    let judgement = judge(
        &found,
        &graph::digits(),
        FreeText::Same,
        1.0,
        &Belief::of(false),
    );
    let sure = &judgement.hypotheses[0].word_confidences;
    assert!(sure[0] > 0.99 && sure[2] > 0.99, "{sure:?}");
    assert!((sure[1] - 1.0 / 3.0).abs() < 0.01, "{sure:?}");
}

#[test]
fn a_sentence_whose_usual_spelling_is_forbidden_is_believed_by_the_free_path() {
    let found = found(vec![sentence(&[2], -6.0), sentence(&[3], -11.0)], -0.3);
    assert!(unheard(&found, FreeText::Foreign).is_some());
    assert_eq!(unheard(&found, FreeText::Same), None);
}

#[test]
fn sentences_that_mean_the_same_do_not_make_each_other_unsure() {
    let found = found(vec![sentence(&[2], -0.9), sentence(&[3], -0.9)], -1.0);
    let mut graph = graph::digits();
    let belief =
        |graph: &WordGraph| judge(&found, graph, FreeText::Same, 1.0, &Belief::of(true)).belief;
    let apart = belief(&graph);
    graph.senses = Senses::new(|one, other| [one, other] == [["two"], ["one"]]);
    assert!(apart < 0.95, "{apart}");
    assert!(belief(&graph) > 0.97, "{}", belief(&graph));
}

/// Among many beginnings a lone short word or number needs more belief than a lone long word, where the network writes
/// another of its sound.
#[test]
fn a_lone_word_that_has_little_in_it_needs_more() {
    let heard = |said: &str, free_text: FreeText| {
        let words = ["confirm", "seven", "stop"].map(str::to_owned);
        let others = (0..MANY_BEGINNINGS).map(|other| format!("other{other}"));
        let lines: Vec<String> = words.into_iter().chain(others).collect();
        let mut graph = graph::sentences(lines.iter().map(String::as_str));
        graph.words[1].figure = Some("7".to_owned());
        let at = lines.iter().position(|line| line == said).expect("said");
        // Between the two thresholds.
        let found = found(
            vec![sentence(&[at as u32], -0.5), sentence(&[9], -3.6)],
            -1.0,
        );
        let judgement = judge(&found, &graph, free_text, 1.0, &Belief::of(true));
        (judgement.belief, judgement.unheard)
    };
    let rule = Belief::of(true);
    let (belief, unheard) = heard("confirm", FreeText::Same);
    assert!(
        (rule.entered_min..rule.lone_min).contains(&belief),
        "{belief}"
    );
    assert_eq!(unheard, None);
    for word in ["seven", "stop"] {
        assert_eq!(heard(word, FreeText::Same).1, Some(Unheard::Unclear));
        assert_eq!(heard(word, FreeText::Itself).1, None);
        // Other speech is told by how far the free path is ahead.
        assert_eq!(heard(word, FreeText::Foreign).1, None);
    }
}

#[test]
fn syllables_are_counted_by_the_letters() {
    let counts = [
        "stop", "leave", "undo", "confirm", "calculus", "mobile", "the", "table", "pyo",
    ]
    .map(syllables);
    assert_eq!(counts, [1, 1, 2, 2, 3, 2, 1, 2, 1]);
}

#[test]
fn what_the_network_writes_freely_is_the_words_or_not() {
    let mut graph = graph::digits();
    graph.words[4].spellings.push("tree".to_owned());
    for (text, is_it) in [
        ("Three.", true),
        ("3", true),
        (" three", true),
        ("Tree", false),
        ("Three, one.", false),
        ("", false),
    ] {
        assert_eq!(is_written(text, &[4], &graph), is_it, "{text}");
    }
    assert!(is_written("Two three.", &[3, 4], &graph));
}

#[test]
fn a_digit_more_or_fewer_in_a_close_rival_is_not_entered() {
    // "two two five", and with one "two" left out, at a tenth of its probability; then with another word instead.
    let rival = |words: &[u32]| {
        let found = found(
            vec![sentence(&[3, 3, 6], -0.1), sentence(words, -2.4)],
            -0.1,
        );
        judge(
            &found,
            &graph::digits(),
            FreeText::Itself,
            1.5,
            &Belief::of(true),
        )
    };
    for words in [&[3, 6][..], &[3, 3, 3, 6], &[3, 3, 6, 0]] {
        let judgement = rival(words);
        assert_eq!(judgement.unheard, Some(Unheard::Unclear), "{words:?}");
        assert!(
            judgement.belief >= Belief::of(true).entered_min,
            "{words:?}"
        );
    }
    assert_eq!(rival(&[3, 4, 6]).unheard, None);
}
