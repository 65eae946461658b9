//! Finds the likeliest sentences of a word graph for one sound: beam search over tokens, all rows in one decoder call.
//! Decides nothing about whether to believe them; that is `judge`.
//!
//! Invariants: every sentence found is whole and of the graph; its probability is the sum over all spellings the
//! beam met, never more than one.

use std::collections::HashMap;

use super::model::Decoder;
use super::spelling::{Histories, HistoryIndex, Position, Spelling};
use super::tokenizer::{END, Tokenizer};
use super::vocabulary::{Masks, Vocabulary};
use crate::speech::SpeechError;
use crate::speech::word_graph::WordIndex;

/// A sentence that ends where the model would rather write on pays so many times for it, over the end's own
/// probability. Each later word of a long sentence costs something, the end only once: without this the first words of
/// seven seconds of speech beat all of them. True ends are the likeliest token or near it, and pay nothing.
/// Of 14 sentences of ten words and more by a synthesised voice 3 were entered without it, 10 with it, none wrong; of 192
/// short clips (own ones, strings of digits by people in quiet and at 10 dB) one came out otherwise: refused, then right.
const EARLY_END: f32 = 1.0;

/// How wide and how long to search.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Texts kept from step to step.
    pub beam: usize,
    /// Texts of the same words so far kept from step to step: leaves room for other words.
    pub same_words: usize,
    /// Tokens of one sentence.
    pub tokens: usize,
    /// Words of one sentence.
    pub words: usize,
    /// Texts this much (natural logarithm) below the best are given up. Also decides when to stop:
    /// once no text in the beam can come within this of the best whole sentence.
    pub margin: f32,
    /// Where the text that the model writes by itself is a sentence and has at least this probability (natural logarithm),
    /// nothing else is looked at; none: always. All other sentences together cannot have more than the rest.
    pub plain: Option<f32>,
}

/// A whole sentence and its probability.
#[derive(Debug, Clone, PartialEq)]
pub struct Sentence {
    pub words: Vec<WordIndex>,
    /// Natural logarithm, all spellings summed, less [`EARLY_END`] for an end that comes out of place.
    pub log_probability: f32,
    /// Tokens of its likeliest spelling, without start and end.
    pub tokens: Vec<u32>,
    /// Natural logarithm of that spelling alone.
    pub spelling_log_probability: f32,
}

/// What the model writes when nothing holds it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FreePath {
    pub tokens: Vec<u32>,
    /// Natural logarithm of each token's probability, the end's included where it came.
    pub log_probabilities: Vec<f32>,
}

impl FreePath {
    pub fn log_probability(&self) -> f32 {
        self.log_probabilities.iter().sum()
    }
}

/// What one search found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Found {
    /// Best first.
    pub sentences: Vec<Sentence>,
    pub free: FreePath,
    /// Natural logarithm of the probability that nothing was said at all.
    pub nothing_log_probability: f32,
    pub steps: usize,
    /// What other sentences could have at most, where they were not looked at; 0 where they were.
    pub unsearched: f32,
}

/// A text in the beam.
struct Text {
    tokens: Vec<u32>,
    log_probability: f32,
    positions: Vec<Position>,
    /// How far its last token lay below the likeliest one, where that token is a mark between words; 0 elsewhere.
    /// Never above 0.
    mark_lag: f32,
}

struct Candidate {
    row: usize,
    token: u32,
    log_probability: f32,
    /// Natural logarithm of its probability over that of the likeliest token of all; 0 for that one.
    lag: f32,
}

/// Runs the search for one sound.
pub fn search(
    decoder: &mut dyn Decoder,
    tokenizer: &Tokenizer,
    vocabulary: &Vocabulary,
    masks: &mut Masks,
    views: &[&[f32]],
    limits: &Limits,
) -> Result<Found, SpeechError> {
    decoder.begin(views)?;
    if let Some(plain) = limits.plain {
        if let Some(found) = follow(decoder, tokenizer, masks.spelling(), limits, plain)? {
            return Ok(found);
        }
        decoder.rewind()?;
    }
    let mut histories = Histories::default();
    let mut beam = vec![Text {
        tokens: Vec::new(),
        log_probability: 0.0,
        positions: vec![Spelling::begin()],
        mark_lag: 0.0,
    }];
    let mut free = FreePath::default();
    let mut free_row = Some(0);
    let mut whole: HashMap<Vec<WordIndex>, Sentence> = HashMap::new();
    let mut best_whole = f32::NEG_INFINITY;
    let mut found = Found::default();
    let mut candidates = Vec::new();
    let mut rows = Vec::new();

    for step in 0..=limits.tokens {
        candidates.clear();
        for (row, text) in beam.iter().enumerate() {
            let logits = decoder.logits(row);
            let total = log_sum_exp(logits);
            let highest = logits.iter().copied().fold(f32::NEG_INFINITY, f32::max);
            if step == 0 {
                found.nothing_log_probability = logits[END as usize] - total;
            }
            if let Some(history) = masks.spelling().end(&text.positions) {
                let lag = logits[END as usize] - highest + text.mark_lag;
                let log_probability =
                    text.log_probability + logits[END as usize] - total + EARLY_END * lag;
                best_whole = best_whole.max(log_probability);
                record(
                    &mut whole,
                    histories.words(history),
                    &text.tokens,
                    log_probability,
                );
            }
            if step == limits.tokens {
                continue;
            }
            for &token in masks.allowed(vocabulary, &text.positions).iter() {
                candidates.push(Candidate {
                    row,
                    token,
                    log_probability: text.log_probability + logits[token as usize] - total,
                    lag: logits[token as usize] - highest,
                });
            }
        }
        let free_token = free_row.map(|row| extend_free(&mut free, decoder.logits(row), step));

        let mut next = choose(
            &beam,
            &mut candidates,
            masks.spelling(),
            tokenizer,
            &mut histories,
            best_whole,
            limits,
        );
        rows.clear();
        rows.extend(next.iter().map(|(parent, text)| {
            (
                *parent,
                *text.tokens.last().expect("a chosen text has a token"),
            )
        }));
        let next_free_row = match (free_row, free_token) {
            (Some(row), Some(token)) if token != END && step < limits.tokens => {
                // Mostly the free text is one of the beam: then its row serves for both.
                let known = rows.iter().position(|known| *known == (row, token));
                Some(known.unwrap_or_else(|| {
                    rows.push((row, token));
                    rows.len() - 1
                }))
            }
            _ => None,
        };
        // The free path alone goes on only while it could still beat the best sentence.
        let free_is_settled = next.is_empty() && free.log_probability() < best_whole;
        if rows.is_empty() || free_is_settled {
            break;
        }
        decoder.step(&rows)?;
        found.steps += 1;
        beam = next.drain(..).map(|(_, text)| text).collect();
        free_row = next_free_row;
    }

    found.sentences = whole.into_values().collect();
    found
        .sentences
        .sort_by(|a, b| b.log_probability.total_cmp(&a.log_probability));
    found.free = free;
    Ok(found)
}

/// Follows the text that the model writes by itself, one row a step, for as long as it has this probability and may
/// become a sentence. None where it is no sentence or less likely. Two in five of the own clear clips end here; a step of
/// one row takes a third of the time that one of six takes.
fn follow(
    decoder: &mut dyn Decoder,
    tokenizer: &Tokenizer,
    spelling: &Spelling,
    limits: &Limits,
    plain: f32,
) -> Result<Option<Found>, SpeechError> {
    let mut histories = Histories::default();
    let mut positions = vec![Spelling::begin()];
    let mut found = Found::default();
    for step in 0..=limits.tokens {
        let logits = decoder.logits(0);
        if step == 0 {
            found.nothing_log_probability = logits[END as usize] - log_sum_exp(logits);
        }
        let token = extend_free(&mut found.free, logits, step);
        let log_probability = found.free.log_probability();
        if log_probability < plain {
            return Ok(None);
        }
        if token == END {
            let Some(history) = spelling.end(&positions) else {
                return Ok(None);
            };
            let words = histories.words(history);
            if words.len() > limits.words {
                return Ok(None);
            }
            found.sentences.push(Sentence {
                words,
                log_probability,
                tokens: found.free.tokens.clone(),
                spelling_log_probability: log_probability,
            });
            found.steps = step;
            found.unsearched = 1.0 - log_probability.exp().min(1.0);
            return Ok(Some(found));
        }
        positions = walk(spelling, &positions, tokenizer.piece(token), &mut histories);
        if positions.is_empty() || step == limits.tokens {
            return Ok(None);
        }
        decoder.step(&[(0, token)])?;
    }
    Ok(None)
}

/// The best texts for the next step, with the rows they come from.
fn choose(
    beam: &[Text],
    candidates: &mut [Candidate],
    spelling: &Spelling,
    tokenizer: &Tokenizer,
    histories: &mut Histories,
    best_whole: f32,
    limits: &Limits,
) -> Vec<(usize, Text)> {
    candidates.sort_unstable_by(|a, b| b.log_probability.total_cmp(&a.log_probability));
    let mut next: Vec<(usize, Text)> = Vec::with_capacity(limits.beam);
    let mut same: HashMap<Vec<WordIndex>, usize> = HashMap::new();
    let best = candidates
        .first()
        .map_or(f32::NEG_INFINITY, |candidate| candidate.log_probability)
        .max(best_whole);
    for candidate in candidates.iter() {
        if next.len() == limits.beam || candidate.log_probability < best - limits.margin {
            break;
        }
        let from = &beam[candidate.row];
        let positions = walk(
            spelling,
            &from.positions,
            tokenizer.piece(candidate.token),
            histories,
        );
        let words = histories.words(furthest(&positions));
        if words.len() > limits.words {
            continue;
        }
        let count = same.entry(words).or_default();
        if *count == limits.same_words {
            continue;
        }
        *count += 1;
        let is_mark = tokenizer
            .piece(candidate.token)
            .iter()
            .all(|byte| !byte.is_ascii_alphanumeric());
        let mut tokens = Vec::with_capacity(from.tokens.len() + 1);
        tokens.extend_from_slice(&from.tokens);
        tokens.push(candidate.token);
        next.push((
            candidate.row,
            Text {
                tokens,
                log_probability: candidate.log_probability,
                positions,
                mark_lag: if is_mark {
                    from.mark_lag + candidate.lag
                } else {
                    0.0
                },
            },
        ));
    }
    next
}

/// The words of the reading that has come furthest; for spreading the beam only.
fn furthest(positions: &[Position]) -> HistoryIndex {
    positions
        .iter()
        .map(|position| position.history)
        .max()
        .unwrap_or(Histories::EMPTY)
}

fn walk(
    spelling: &Spelling,
    from: &[Position],
    piece: &[u8],
    histories: &mut Histories,
) -> Vec<Position> {
    let mut positions = from.to_vec();
    let mut next = Vec::with_capacity(positions.len());
    for &byte in piece {
        spelling.step(
            &positions,
            byte.to_ascii_lowercase(),
            Some(&mut *histories),
            &mut next,
        );
        std::mem::swap(&mut positions, &mut next);
    }
    positions
}

/// Takes the likeliest token; at the first step any but the end, for "nothing" is told apart by its own figure.
fn extend_free(free: &mut FreePath, logits: &[f32], step: usize) -> u32 {
    let mut token = 0;
    for (at, &logit) in logits.iter().enumerate() {
        if logit > logits[token] && !(step == 0 && at == END as usize) {
            token = at;
        }
    }
    free.log_probabilities
        .push(logits[token] - log_sum_exp(logits));
    if token != END as usize {
        free.tokens.push(token as u32);
    }
    token as u32
}

fn record(
    whole: &mut HashMap<Vec<WordIndex>, Sentence>,
    words: Vec<WordIndex>,
    tokens: &[u32],
    log_probability: f32,
) {
    match whole.entry(words) {
        std::collections::hash_map::Entry::Vacant(entry) => {
            let words = entry.key().clone();
            entry.insert(Sentence {
                words,
                log_probability,
                tokens: tokens.to_vec(),
                spelling_log_probability: log_probability,
            });
        }
        std::collections::hash_map::Entry::Occupied(mut entry) => {
            let sentence = entry.get_mut();
            sentence.log_probability = log_add(sentence.log_probability, log_probability);
            if log_probability > sentence.spelling_log_probability {
                sentence.spelling_log_probability = log_probability;
                sentence.tokens = tokens.to_vec();
            }
        }
    }
}

/// Logarithm of the sum of two numbers given by their logarithms.
pub fn log_add(a: f32, b: f32) -> f32 {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    if low == f32::NEG_INFINITY {
        return high;
    }
    high + (low - high).exp().ln_1p()
}

/// Logarithm of the sum of the exponentials.
pub fn log_sum_exp(values: &[f32]) -> f32 {
    let highest = values.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    if highest == f32::NEG_INFINITY {
        return highest;
    }
    let sum: f32 = values.iter().map(|value| (value - highest).exp()).sum();
    highest + sum.ln()
}

#[cfg(test)]
mod tests;
