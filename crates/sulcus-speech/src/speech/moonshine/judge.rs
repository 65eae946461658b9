//! Whether to believe what the search found, and how much, word by word.
//! Works on figures of one search, and asks the graph's maker what means the same; hears nothing itself.
//!
//! Invariant: a hearing without `unheard` has a belief of at least [`Belief::entered_min`]; a lone word among many
//! sentences at least [`Belief::written_min`] or [`Belief::lone_min`].

use super::search::{Found, Sentence};
use crate::speech::word_graph::{Word, WordGraph, WordIndex};
use crate::speech::{Hypothesis, Unheard};

/// How belief is worked out: a logistic curve over figures of the best sentence.
/// Fitted on one half of the speakers (command words, connected digits clean and at 10 dB, running speech).
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// For the logarithm of the odds of the best sentence against all others that were found.
    per_odds: f32,
    /// For the mean logarithm of the probability of its tokens: low where the model would rather write something else.
    per_token_log_probability: f32,
    /// For how far the free path is ahead, a token, where it is no sentence of the graph.
    per_free_lead: f32,
    constant: f32,
    /// Below this belief nothing is entered.
    pub entered_min: f32,
    /// The same for a lone word where many others could be said, where the network held to nothing writes that very word.
    pub written_min: f32,
    /// The same for a lone word of one syllable and for a lone number where the network writes another word of that sound:
    /// chatter is full of short words, and many sound like one of the grammar ("tree" and three). A longer word has more in
    /// it that another would have to sound like. Of the tune speakers' 144 foreign words none was written as a word of the
    /// grammar, three of those "tree" were believed beyond [`Belief::entered_min`]; of their 122 right words 116 were
    /// written as themselves and none so.
    pub lone_min: f32,
    /// Nothing is entered where sentences with one number more or fewer have more of the probability: a digit is left out
    /// or doubled so. By the tune speakers' strings (quiet, 8 dB, 2 dB): of 226 heard rightly two had more, both refused
    /// anyhow; of four with a digit left out or put in three had more, among them the one that was believed.
    pub miscounted_max: f32,
}

/// Another sentence with less of the probability than this need not be asked whether it means the same.
const WORTH_ASKING: f32 = 1e-4;

/// From so many words that may begin a sentence, a lone word answers nothing: everything may be said.
const MANY_BEGINNINGS: usize = 30;

impl Belief {
    /// Network and curve belong together: the adapted network is surer of everything, of what is wrong too.
    pub fn of(is_adapted: bool) -> Self {
        let curve = Self {
            per_odds: 0.557,
            per_token_log_probability: 1.819,
            per_free_lead: 0.0,
            constant: 2.394,
            entered_min: 0.9,
            written_min: 0.9,
            lone_min: 0.9,
            miscounted_max: 1.0,
        };
        if !is_adapted {
            return curve;
        }
        // By the tune speakers' strings of digits (quiet, 8 dB, 2 dB) and single words of the whole grammar, 539 clips.
        // A curve fitted anew to them was no better at any threshold but for what the free path's lead adds.
        Self {
            per_free_lead: -1.0,
            entered_min: 0.97,
            written_min: 0.9,
            lone_min: 0.995,
            miscounted_max: 0.06,
            ..curve
        }
    }
}

/// Odds beyond these say no more: the beam holds few sentences.
const LOG_ODDS: std::ops::RangeInclusive<f32> = -2.0..=6.0;

/// A free path ahead by this much a token means other words were said; below, that these were said badly.
const FREE_LEAD_PER_TOKEN: f32 = 0.5;

/// Hypotheses handed on.
const HYPOTHESES_MAX: usize = 8;

/// What the judge says.
pub struct Judgement {
    /// 0.0 to 1.0: that the best sentence is what was said.
    pub belief: f32,
    pub hypotheses: Vec<Hypothesis>,
    pub unheard: Option<Unheard>,
    pub figures: Vec<(&'static str, f32)>,
}

/// How the free path's text compares with the graph.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FreeText {
    /// It is the best sentence's words, or its figures.
    Itself,
    /// It can be read as the best sentence.
    Same,
    /// It can be read as another sentence of the graph.
    Sentence,
    /// No sentence of the graph.
    Foreign,
}

/// Weighs one search. `free_text` is given the best sentence's words.
pub fn judge(
    found: &Found,
    graph: &WordGraph,
    free_text: FreeText,
    seconds: f32,
    rule: &Belief,
) -> Judgement {
    let posteriors = posteriors(&found.sentences);
    let hypotheses: Vec<Hypothesis> = found
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
            belief: 0.0,
            hypotheses,
            unheard: Some(Unheard::OutOfGrammar),
            figures: Vec::new(),
        };
    };

    let free_log_probability = found.free.log_probability();
    // Where the free text is the same sentence in a spelling that the fence forbids ("12" beside "twelve"),
    // the free path's probability is the sentence's too.
    let log_probability = match free_text {
        FreeText::Itself | FreeText::Same => best.log_probability.max(free_log_probability),
        _ => best.log_probability,
    };
    let token_log_probability = log_probability / (best.tokens.len() + 1) as f32;
    let posterior: f32 = found
        .sentences
        .iter()
        .zip(&posteriors)
        .filter(|&(sentence, &posterior)| {
            same_values(&sentence.words, &best.words, graph)
                || posterior >= WORTH_ASKING && mean_same(&sentence.words, &best.words, graph)
        })
        .map(|(_, posterior)| posterior)
        .sum();
    // What was not looked at may be rivals, all of it.
    let posterior = posterior * (1.0 - found.unsearched);
    let log_odds = ((posterior + 1e-4) / (1.0 - posterior + 1e-4)).ln();
    let free_lead = match free_text {
        FreeText::Foreign => (free_log_probability - best.log_probability).max(0.0),
        _ => 0.0,
    };
    let free_lead_per_token = free_lead / found.free.log_probabilities.len().max(1) as f32;
    let belief = logistic(
        rule.per_odds * log_odds.clamp(*LOG_ODDS.start(), *LOG_ODDS.end())
            + rule.per_token_log_probability * token_log_probability
            + rule.per_free_lead * free_lead_per_token
            + rule.constant,
    );
    let is_open = graph.states[0].arcs.len() >= MANY_BEGINNINGS;
    let wanted = match best.words[..] {
        [_] if is_open && free_text == FreeText::Itself => rule.written_min,
        [word]
            if is_open
                && free_text != FreeText::Foreign
                && has_little_in_it(&graph.words[word as usize]) =>
        {
            rule.lone_min
        }
        _ => rule.entered_min,
    };
    let miscounted: f32 = found
        .sentences
        .iter()
        .zip(&posteriors)
        .filter(|&(sentence, &posterior)| {
            posterior >= WORTH_ASKING
                && is_miscounted(&sentence.words, &best.words, graph)
                && !mean_same(&sentence.words, &best.words, graph)
        })
        .map(|(_, posterior)| posterior)
        .sum();
    let miscounted = miscounted + found.unsearched;
    let unheard = if belief >= wanted && miscounted <= rule.miscounted_max {
        None
    } else if free_lead_per_token > FREE_LEAD_PER_TOKEN {
        Some(Unheard::OutOfGrammar)
    } else {
        Some(Unheard::Unclear)
    };
    Judgement {
        belief,
        hypotheses,
        unheard,
        figures: vec![
            ("belief", belief),
            ("log_probability", best.log_probability),
            ("token_log_probability", token_log_probability),
            ("posterior", posterior),
            ("miscounted", miscounted),
            ("free_log_probability", free_log_probability),
            ("free_lead", free_lead),
            ("free_lead_per_token", free_lead_per_token),
            ("nothing_log_probability", found.nothing_log_probability),
            ("tokens", best.tokens.len() as f32),
            ("seconds", seconds),
            ("steps", found.steps as f32),
        ],
    }
}

/// Another word is easily taken for it: one syllable, or a number, of which most have one and each may be a value.
fn has_little_in_it(word: &Word) -> bool {
    word.figure.is_some() || syllables(&word.text) < 2
}

/// By the letters: groups of vowels, without the silent e at the end.
fn syllables(word: &str) -> usize {
    let is_vowel = |letter: &u8| b"aeiouy".contains(letter);
    let letters = word.as_bytes();
    let groups = letters.chunk_by(|a, b| is_vowel(a) == is_vowel(b));
    let count = groups.filter(|group| is_vowel(&group[0])).count();
    let is_silent = match letters {
        // "table" has two.
        [.., before, b'l', b'e'] => is_vowel(before),
        [.., before, b'e'] => !is_vowel(before),
        _ => false,
    };
    (count - usize::from(is_silent && count > 1)).max(1)
}

fn logistic(x: f32) -> f32 {
    1.0 / (1.0 + (-x).exp())
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

pub fn same_values(a: &[WordIndex], b: &[WordIndex], graph: &WordGraph) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(&a, &b)| same_value(a, b, graph))
}

/// Whether one of the two is the other with one number more.
fn is_miscounted(a: &[WordIndex], b: &[WordIndex], graph: &WordGraph) -> bool {
    let (longer, shorter) = if a.len() > b.len() { (a, b) } else { (b, a) };
    if longer.len() != shorter.len() + 1 {
        return false;
    }
    let alike = longer
        .iter()
        .zip(shorter)
        .take_while(|&(&a, &b)| same_value(a, b, graph))
        .count();
    graph.words[longer[alike] as usize].figure.is_some()
        && same_values(&longer[alike + 1..], &shorter[alike..], graph)
}

/// Whether the text is these words, or their figures, but for capitals and marks: no other spelling of them.
pub fn is_written(text: &str, words: &[WordIndex], graph: &WordGraph) -> bool {
    let text = text.to_lowercase();
    let mut parts = text
        .split(|letter: char| !letter.is_ascii_alphanumeric())
        .filter(|part| !part.is_empty());
    let is_next = |&word: &WordIndex| {
        let word = &graph.words[word as usize];
        let part = parts.next();
        part == Some(word.text.as_str()) || part.is_some() && part == word.figure.as_deref()
    };
    words.iter().all(is_next) && parts.next().is_none()
}

/// Two sentences in other words that mean the same, as far as the graph's maker knows.
pub fn mean_same(a: &[WordIndex], b: &[WordIndex], graph: &WordGraph) -> bool {
    let texts = |words: &[WordIndex]| -> Vec<&str> {
        let text = |&word: &WordIndex| graph.words[word as usize].text.as_str();
        words.iter().map(text).collect()
    };
    graph.senses.are_one(&texts(a), &texts(b))
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

#[cfg(test)]
mod tests;
