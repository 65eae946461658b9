//! Whether to believe what the search found, and how much, word by word.
//! Works on figures of one search only; hears nothing itself.
//!
//! Invariant: a hearing without `unheard` has passed every limit of [`Thresholds`].

use super::search::{Found, Sentence};
use crate::speech::word_graph::{WordGraph, WordIndex};
use crate::speech::{Hypothesis, Unheard};

/// Limits of belief, chosen on one half of the speakers (see `docs`), natural logarithms.
#[derive(Debug, Clone, PartialEq)]
pub struct Thresholds {
    /// How far the free path may beat the best sentence, for each token of the free path.
    pub free_lead_per_token: f32,
    /// And in total.
    pub free_lead: f32,
    /// The best sentence's log probability for each of its tokens must be above this.
    pub token_log_probability_min: f32,
    /// Part of all sentences' probability that the best must hold.
    pub posterior_min: f32,
}

impl Default for Thresholds {
    fn default() -> Self {
        Self {
            free_lead_per_token: 1.0,
            free_lead: 8.0,
            token_log_probability_min: -2.5,
            posterior_min: 0.5,
        }
    }
}

/// Hypotheses handed on.
const HYPOTHESES_MAX: usize = 8;

/// What the judge says.
pub struct Judgement {
    pub hypotheses: Vec<Hypothesis>,
    pub unheard: Option<Unheard>,
    pub figures: Vec<(&'static str, f32)>,
}

/// Weighs one search. `free_is_sentence`: the free path's text reads as a sentence of the graph.
pub fn judge(
    found: &Found,
    graph: &WordGraph,
    free_is_sentence: bool,
    seconds: f32,
    thresholds: &Thresholds,
) -> Judgement {
    let posteriors = posteriors(&found.sentences);
    let hypotheses = found
        .sentences
        .iter()
        .take(HYPOTHESES_MAX)
        .map(|sentence| Hypothesis {
            words: sentence
                .words
                .iter()
                .map(|&word| graph.words[word as usize].text.clone())
                .collect(),
            log_probability: sentence.log_probability,
            word_confidences: confidences(sentence, &found.sentences, &posteriors, graph),
        })
        .collect();
    let Some(best) = found.sentences.first() else {
        return Judgement {
            hypotheses,
            unheard: Some(Unheard::OutOfGrammar),
            figures: Vec::new(),
        };
    };

    let free_log_probability = found.free.log_probability();
    let free_lead = if free_is_sentence {
        0.0
    } else {
        (free_log_probability - best.log_probability).max(0.0)
    };
    let free_lead_per_token = free_lead / found.free.log_probabilities.len().max(1) as f32;
    let token_log_probability = best.log_probability / (best.tokens.len() + 1) as f32;
    let posterior: f32 = found
        .sentences
        .iter()
        .zip(&posteriors)
        .filter(|(sentence, _)| same_values(&sentence.words, &best.words, graph))
        .map(|(_, posterior)| posterior)
        .sum();
    let unheard = if free_lead > thresholds.free_lead
        || free_lead_per_token > thresholds.free_lead_per_token
    {
        Some(Unheard::OutOfGrammar)
    } else if token_log_probability < thresholds.token_log_probability_min
        || posterior < thresholds.posterior_min
    {
        Some(Unheard::Unclear)
    } else {
        None
    };
    Judgement {
        hypotheses,
        unheard,
        figures: vec![
            ("free_lead", free_lead),
            ("free_lead_raw", free_log_probability - best.log_probability),
            ("free_lead_per_token", free_lead_per_token),
            ("free_is_sentence", f32::from(u8::from(free_is_sentence))),
            ("log_probability", best.log_probability),
            ("token_log_probability", token_log_probability),
            ("posterior", posterior),
            ("nothing_log_probability", found.nothing_log_probability),
            ("tokens", best.tokens.len() as f32),
            ("words", best.words.len() as f32),
            ("seconds", seconds),
            ("steps", found.steps as f32),
        ],
    }
}

/// Each sentence's part of the probability of all that were found.
fn posteriors(sentences: &[Sentence]) -> Vec<f32> {
    let logs: Vec<f32> = sentences.iter().map(|s| s.log_probability).collect();
    let total = super::search::log_sum_exp(&logs);
    logs.iter().map(|log| (log - total).exp()).collect()
}

/// For each word of `best` the probability of all sentences that have the same word there, by alignment.
fn confidences(
    best: &Sentence,
    sentences: &[Sentence],
    posteriors: &[f32],
    graph: &WordGraph,
) -> Vec<f32> {
    let mut sure = vec![0.0; best.words.len()];
    for (other, posterior) in sentences.iter().zip(posteriors) {
        for at in kept(&best.words, &other.words, graph) {
            sure[at] += posterior;
        }
    }
    sure.iter().map(|s: &f32| s.clamp(0.0, 1.0)).collect()
}

/// Two words that write the same figure ("oh", "zero") have one value.
fn same_value(a: WordIndex, b: WordIndex, graph: &WordGraph) -> bool {
    let figure = |word: WordIndex| graph.words[word as usize].figure.as_deref();
    a == b || (figure(a).is_some() && figure(a) == figure(b))
}

fn same_values(a: &[WordIndex], b: &[WordIndex], graph: &WordGraph) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(&a, &b)| same_value(a, b, graph))
}

/// Places in `best` whose word stands in `other` too, by the alignment with the fewest changes.
fn kept(best: &[WordIndex], other: &[WordIndex], graph: &WordGraph) -> Vec<usize> {
    let width = other.len() + 1;
    let mut cost = vec![0usize; (best.len() + 1) * width];
    for (j, first_row) in cost[..width].iter_mut().enumerate() {
        *first_row = j;
    }
    for i in 1..=best.len() {
        cost[i * width] = i;
        for j in 1..=other.len() {
            let change = usize::from(!same_value(best[i - 1], other[j - 1], graph));
            cost[i * width + j] = (cost[(i - 1) * width + j - 1] + change)
                .min(cost[(i - 1) * width + j] + 1)
                .min(cost[i * width + j - 1] + 1);
        }
    }
    let (mut i, mut j) = (best.len(), other.len());
    let mut places = Vec::new();
    while i > 0 && j > 0 {
        let same = same_value(best[i - 1], other[j - 1], graph);
        let here = cost[i * width + j];
        if here == cost[(i - 1) * width + j - 1] + usize::from(!same) {
            if same {
                places.push(i - 1);
            }
            i -= 1;
            j -= 1;
        } else if here == cost[(i - 1) * width + j] + 1 {
            i -= 1;
        } else {
            j -= 1;
        }
    }
    places
}
