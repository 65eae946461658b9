//! The engine `moonshine`: an encoder-decoder network, held to a word graph token by token.
//! The network writes text; here that text can only be a sentence of the graph.
//!
//! The way of one utterance: `ends` cuts the silence, `model` runs the network, `search` asks it for the likeliest
//! sentences with `vocabulary` and `spelling` as fence, `judge` decides whether to believe, `other_numbers` whether the
//! free text says others; in doubt once more with a second of the `views`.

mod ends;
mod judge;
mod model;
mod other_numbers;
mod prepare;
mod search;
mod spelling;
mod tokenizer;
mod views;
mod vocabulary;

use std::path::Path;
use std::sync::Arc;

use super::word_graph::{WordGraph, WordIndex};
use super::{EngineIdentity, Hearing, Recogniser, SpeechError, Unheard};
use judge::{Belief, FreeText};
use model::{Decoder, Network};
use prepare::Adapter;
use search::Limits;
use spelling::Spelling;
use tokenizer::Tokenizer;
use vocabulary::{Masks, Vocabulary};

const SAMPLE_RATE_HZ: f32 = crate::audio::SAMPLE_RATE_HZ as f32;

/// Graphs kept compiled: one for each state of the session and species, and room for the small ones
/// (confirmation, interruption).
const GRAPHS_MAX: usize = 32;

/// Fast speech has six words a second; each is up to two tokens written out, with its comma.
/// More than this the sound has no time for: in noise the model repeats itself without end.
const TOKENS_PER_SECOND: f32 = 12.0;
const WORDS_PER_SECOND: f32 = 7.0;
/// For short sounds, where a margin of silence more or less counts.
const TOKENS_MIN: usize = 8;
const WORDS_MIN: usize = 2;

/// With 8 texts and a margin of 7, as before the network was adapted, 118 strings of digits (by telephone, and at 2 dB)
/// come out the same and take 15 % more processor time.
const BEAM: usize = 6;
const SAME_WORDS: usize = 3;
const MARGIN: f32 = 5.0;

/// Where the network by itself writes a sentence with at least this probability, no rival is looked for: all of them
/// together have less than what a miscounted one may have ([`Belief::miscounted_max`]).
const PLAIN: f32 = 0.945;

/// A sentence believed less than this is no sentence of the graph, and a second view would not make it one: other speech,
/// of which a room is full.
const HOPELESS: f32 = 0.02;

/// A sentence believed less than this is heard once more with a second, slower view of the sound beside the first.
/// Of noisy strings of digits (10 dB) that halves what comes out wrong or refused; clear speech never pays for it.
const SETTLED: f32 = 0.97;
const SLOWER: f32 = 0.92;

/// A word graph ready for the search.
struct Compiled {
    graph: Arc<WordGraph>,
    masks: Masks,
    lax: Spelling,
}

/// The engine.
pub struct Moonshine {
    decoder: Box<dyn Decoder + Send>,
    tokenizer: Tokenizer,
    vocabulary: Vocabulary,
    /// The graph in use is last.
    graphs: Vec<Compiled>,
    belief: Belief,
    /// Name of the adapter that is merged in, and the grammar that it was trained with.
    adapter: Option<String>,
}

impl Moonshine {
    /// Loads the model from the folder that `models-fetch.sh` filled, where `is_adapted` adapted to the vocabulary.
    /// Takes about two seconds; the first time ever, some more.
    pub fn load(models: &Path, is_adapted: bool) -> Result<Self, SpeechError> {
        let path = models.join("moonshine").join("tokenizer.bin");
        let damaged = |why: String| SpeechError::Model {
            path: path.display().to_string(),
            why,
        };
        let bytes = std::fs::read(&path).map_err(|e| damaged(e.to_string()))?;
        let tokenizer = Tokenizer::parse(&bytes).map_err(damaged)?;
        let adapter = if is_adapted {
            Some(Adapter::built_in().map_err(|why| SpeechError::Model {
                path: "the program's adapter".to_owned(),
                why,
            })?)
        } else {
            None
        };
        let network = Network::load(models, adapter.as_ref())?;
        let mut engine = Self::new(Box::new(network), tokenizer);
        engine.belief = Belief::of(adapter.is_some());
        engine.adapter =
            adapter.map(|adapter| format!("{} of grammar {}", adapter.name(), adapter.grammar()));
        Ok(engine)
    }

    fn new(decoder: Box<dyn Decoder + Send>, tokenizer: Tokenizer) -> Self {
        Self {
            decoder,
            vocabulary: Vocabulary::new(&tokenizer),
            tokenizer,
            graphs: Vec::new(),
            belief: Belief::of(false),
            adapter: None,
        }
    }
}

impl Recogniser for Moonshine {
    fn identity(&self) -> EngineIdentity {
        EngineIdentity {
            name: "moonshine".to_owned(),
            model: match &self.adapter {
                None => "moonshine-base-en (moonshine_cpp 0.1.4)".to_owned(),
                Some(name) => format!("moonshine-base-en (moonshine_cpp 0.1.4), adapter {name}"),
            },
        }
    }

    /// The model writes letters, so there is no word it cannot write: the list is always empty.
    fn set_graph(&mut self, graph: Arc<WordGraph>) -> Result<Vec<String>, SpeechError> {
        if !graph.states.iter().any(|state| state.is_final) {
            return Err(SpeechError::EmptyGraph);
        }
        let known = self
            .graphs
            .iter()
            .position(|compiled| Arc::ptr_eq(&compiled.graph, &graph));
        let compiled = match known {
            Some(at) => self.graphs.remove(at),
            None => Compiled {
                masks: Masks::new(Spelling::new(Arc::clone(&graph))),
                lax: Spelling::new_lax(Arc::clone(&graph)),
                graph,
            },
        };
        if self.graphs.len() == GRAPHS_MAX {
            self.graphs.remove(0);
        }
        self.graphs.push(compiled);
        Ok(Vec::new())
    }

    fn recognise(&mut self, samples: &[f32]) -> Result<Hearing, SpeechError> {
        if self.graphs.is_empty() {
            return Err(SpeechError::EmptyGraph);
        }
        let samples = &samples[ends::loud_part(samples)];
        if samples.len() < model::SAMPLES_MIN || ends::level(samples) == 0.0 {
            return Ok(Hearing {
                hypotheses: Vec::new(),
                unheard: Some(Unheard::NoSpeech),
                free_text: None,
                figures: Vec::new(),
            });
        }
        let plain = self.hear(&[samples], Some(PLAIN.ln()))?;
        let heard = if plain.is_plain && plain.hearing.unheard.is_some() {
            // A lone word that wants more: the rivals may have less than all that is left.
            self.hear(&[samples], None)?
        } else {
            plain
        };
        if heard.is_settled() {
            return Ok(heard.hearing);
        }
        let slower = views::slower(samples, SLOWER);
        Ok(self.hear(&[samples, &slower], None)?.hearing)
    }
}

/// What one or more views of an utterance gave.
struct Heard {
    belief: f32,
    /// No rival was looked for.
    is_plain: bool,
    hearing: Hearing,
}

impl Heard {
    /// A second look would change nothing.
    fn is_settled(&self) -> bool {
        self.belief > SETTLED || self.belief < HOPELESS
    }
}

impl Moonshine {
    /// Recognises views of one utterance together; the first gives its length.
    /// `plain`: see [`Limits::plain`].
    fn hear(&mut self, views: &[&[f32]], plain: Option<f32>) -> Result<Heard, SpeechError> {
        let compiled = self.graphs.last_mut().ok_or(SpeechError::EmptyGraph)?;
        let seconds = views.first().map_or(0, |samples| samples.len()) as f32 / SAMPLE_RATE_HZ;
        let limits = Limits {
            beam: BEAM,
            same_words: SAME_WORDS,
            tokens: (seconds * TOKENS_PER_SECOND) as usize + TOKENS_MIN,
            words: (seconds * WORDS_PER_SECOND) as usize + WORDS_MIN,
            margin: MARGIN,
            plain,
        };
        let found = search::search(
            self.decoder.as_mut(),
            &self.tokenizer,
            &self.vocabulary,
            &mut compiled.masks,
            views,
            &limits,
        )?;
        let free_text = self.tokenizer.text(&found.free.tokens);
        let readings = compiled.lax.readings(&free_text);
        let is_best = |words: &Vec<WordIndex>| {
            found.sentences.first().is_some_and(|best| {
                judge::same_values(words, &best.words, &compiled.graph)
                    || judge::mean_same(words, &best.words, &compiled.graph)
            })
        };
        let free = if readings.is_empty() {
            FreeText::Foreign
        } else if found
            .sentences
            .first()
            .is_some_and(|best| judge::is_written(&free_text, &best.words, &compiled.graph))
        {
            FreeText::Itself
        } else if readings.iter().any(is_best) {
            FreeText::Same
        } else {
            FreeText::Sentence
        };
        let mut judgement = judge::judge(&found, &compiled.graph, free, seconds, &self.belief);
        judgement.figures.push(("views", views.len() as f32));
        let best = judgement.hypotheses.first();
        if best.is_some_and(|best| other_numbers::said(&free_text, &best.words)) {
            judgement.figures.push(("other_numbers", 1.0));
            judgement.unheard = judgement.unheard.or(Some(Unheard::OutOfGrammar));
        }
        Ok(Heard {
            belief: judgement.belief,
            is_plain: found.unsearched > 0.0,
            hearing: Hearing {
                hypotheses: judgement.hypotheses,
                unheard: judgement.unheard,
                free_text: Some(free_text),
                figures: judgement.figures,
            },
        })
    }
}
