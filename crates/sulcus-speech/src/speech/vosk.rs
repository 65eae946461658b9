//! Engine `vosk`: the Vosk library under its own grammar feature, with words shown while they are spoken.
//! Library and model are opened when the engine is chosen; the program runs without them.
//!
//! The library hears by pairs of words (see `phrases`), so a sentence of its own may be none of the graph: of its
//! alternatives only those are kept that the graph accepts.
//! Invariant: what was fed for partial words never changes a hearing; each utterance is heard whole and afresh.

mod library;
mod phrases;

use std::path::Path;
use std::sync::Arc;

use self::library::{Library, Model, Progress, Recognizer};
use self::phrases::Lexicon;
use crate::audio::SAMPLE_RATE_HZ;
use crate::speech::{
    EngineIdentity, Hearing, Hypothesis, Recogniser, SpeechError, Unheard, WordGraph,
};

/// The model's word for speech that is none of the phrases. Not every model has it.
pub const UNKNOWN_WORD: &str = "[unk]";

/// Ways of hearing that the library is asked for. It gives fewer where its search beam holds fewer: mostly one to six.
const ALTERNATIVES: u16 = 10;

/// One phrase in so many is [`UNKNOWN_WORD`], so that its chance does not sink as the grammar grows.
/// Not tuned: that needs the English model.
const PHRASES_PER_UNKNOWN: usize = 50;

/// Least probability of a sentence among its alternatives to be entered. Below, at least four others are as likely.
/// Not tuned: that needs the English model.
const PROBABILITY_MIN: f32 = 0.2;

/// Compiled graphs that are kept: one for each state of the session and species comes to fewer.
const COMPILED_MAX: usize = 24;

/// The Vosk engine with one model.
pub struct Vosk {
    model: Model,
    identity: EngineIdentity,
    /// Least recently set first; the last one is active.
    compiled: Vec<Compiled>,
}

/// A graph as the library has it.
struct Compiled {
    graph: Arc<WordGraph>,
    lexicon: Lexicon,
    missing: Vec<String>,
    recognizer: Recognizer,
    /// Words of the stretches of this utterance that the library has closed, for [`Recogniser::partial`].
    closed: Vec<String>,
    /// Sound was fed for partial words since the last whole utterance.
    is_fed: bool,
}

impl Vosk {
    /// Opens the library and the small English model of the models folder.
    ///
    /// # Errors
    /// [`SpeechError::Model`] as [`Vosk::with_model`].
    pub fn open(models: &Path) -> Result<Self, SpeechError> {
        let model = models.join("vosk/en");
        if !model.is_dir() {
            return Err(SpeechError::Model {
                path: model.display().to_string(),
                why: "the English Vosk model is not there, and no package registry carries it; \
                      ./models-fetch.sh --vosk-english tries its maker's site, --engine moonshine needs none of it"
                    .into(),
            });
        }
        Self::with_model(
            &models.join("vosk/libvosk.so"),
            &model,
            "vosk-model-small-en-us-0.15",
        )
    }

    /// Opens the library and a model folder; `name` is what the journal calls the model.
    ///
    /// # Errors
    /// [`SpeechError::Model`] where library or model is missing or damaged, or the model has a fixed grammar.
    pub fn with_model(library: &Path, model: &Path, name: &str) -> Result<Self, SpeechError> {
        let library = Library::open(library)?;
        let model_error = |why: &str| SpeechError::Model {
            path: model.display().to_string(),
            why: why.into(),
        };
        // Without these two the library takes any grammar, warns, and hears everything all the same.
        for part in ["graph/HCLr.fst", "graph/Gr.fst"] {
            if !model.join(part).is_file() {
                return Err(model_error(&format!(
                    "{part} is not there; only models with a changeable grammar can be used"
                )));
            }
        }
        let path = model
            .to_str()
            .ok_or_else(|| model_error("the path is not UTF-8"))?;
        let loaded = Model::read(library, path)
            .ok_or_else(|| model_error("the Vosk library cannot load it (its reason is above)"))?;
        Ok(Self {
            model: loaded,
            identity: EngineIdentity {
                name: "vosk".into(),
                model: name.into(),
            },
            compiled: Vec::new(),
        })
    }

    fn compile(&mut self, graph: Arc<WordGraph>) -> Result<Compiled, SpeechError> {
        let lexicon = Lexicon::new(&graph, |word| self.model.knows(word));
        let mut missing = lexicon.missing(&graph);
        let mut phrases = lexicon.phrases(&graph);
        if phrases.is_empty() {
            return Err(if missing.is_empty() {
                SpeechError::EmptyGraph
            } else {
                SpeechError::Engine(format!(
                    "the Vosk model {} knows too few words of the grammar to hear any sentence; it lacks: {}",
                    self.identity.model,
                    missing.join(", ")
                ))
            });
        }
        if self.model.knows(UNKNOWN_WORD) {
            let count = phrases.len().div_ceil(PHRASES_PER_UNKNOWN);
            phrases.extend(std::iter::repeat_n(UNKNOWN_WORD.to_owned(), count));
        } else {
            missing.push(UNKNOWN_WORD.into());
        }
        let recognizer =
            Recognizer::of_phrases(&self.model, SAMPLE_RATE_HZ, &phrases, ALTERNATIVES)
                .ok_or_else(|| {
                    SpeechError::Engine("the Vosk library refuses the grammar".into())
                })?;
        Ok(Compiled {
            graph,
            lexicon,
            missing,
            recognizer,
            closed: Vec::new(),
            is_fed: false,
        })
    }

    fn active(&mut self) -> Result<&mut Compiled, SpeechError> {
        self.compiled
            .last_mut()
            .ok_or_else(|| SpeechError::Engine("no word graph was set".into()))
    }
}

impl Recogniser for Vosk {
    fn identity(&self) -> EngineIdentity {
        self.identity.clone()
    }

    /// Besides words of the graph, [`UNKNOWN_WORD`] is returned where the model has none: then there is
    /// nothing in the search that foreign speech could fall on, and it is told apart less well.
    fn set_graph(&mut self, graph: Arc<WordGraph>) -> Result<Vec<String>, SpeechError> {
        let known = self
            .compiled
            .iter()
            .position(|compiled| Arc::ptr_eq(&compiled.graph, &graph));
        let mut compiled = match known {
            Some(at) => self.compiled.remove(at),
            None => self.compile(graph)?,
        };
        compiled.forget();
        let missing = compiled.missing.clone();
        if self.compiled.len() == COMPILED_MAX {
            self.compiled.remove(0);
        }
        self.compiled.push(compiled);
        Ok(missing)
    }

    /// An empty utterance is heard as [`Unheard::NoSpeech`], and drops what was fed for partial words.
    fn recognise(&mut self, samples: &[f32]) -> Result<Hearing, SpeechError> {
        let active = self.active()?;
        active.forget();
        if samples.is_empty() {
            return Ok(active.hearing(&[]));
        }
        let samples = to_pcm(samples);
        // In one piece, so that a pause in the middle does not close a stretch and split the sentence.
        active.recognizer.accept(&samples)?;
        let alternatives: Vec<_> = active
            .recognizer
            .final_result()?
            .alternatives
            .into_iter()
            .map(Alternative::from)
            .collect();
        Ok(active.hearing(&alternatives))
    }

    fn partial(&mut self, samples: &[f32]) -> Result<Option<Vec<String>>, SpeechError> {
        let active = self.active()?;
        let samples = to_pcm(samples);
        active.is_fed = true;
        let mut heard = active.closed.clone();
        if active.recognizer.accept(&samples)? == Progress::Closed {
            if let Some(best) = active.recognizer.result()?.alternatives.first() {
                active
                    .closed
                    .extend(best.text.split_whitespace().map(str::to_owned));
            }
            heard.clone_from(&active.closed);
        } else {
            let result = active.recognizer.partial_result()?;
            heard.extend(result.partial.split_whitespace().map(str::to_owned));
        }
        Ok(Some(active.lexicon.words_so_far(&active.graph, &heard)))
    }
}

/// One of the library's ways of hearing an utterance.
#[derive(Debug, Clone, PartialEq)]
struct Alternative {
    /// Natural logarithm, without a common constant.
    score: f32,
    words: Vec<Spoken>,
}

/// A word of the model with its place in the utterance.
#[derive(Debug, Clone, PartialEq)]
struct Spoken {
    word: String,
    start_s: f32,
    end_s: f32,
}

impl From<library::Alternative> for Alternative {
    fn from(alternative: library::Alternative) -> Self {
        Self {
            score: alternative.confidence,
            words: alternative
                .result
                .into_iter()
                .map(|spoken| Spoken {
                    word: spoken.word,
                    start_s: spoken.start,
                    end_s: spoken.end,
                })
                .collect(),
        }
    }
}

impl Spoken {
    /// The same word at the same place: they share at least half of the shorter one's time.
    fn is_same(&self, other: &Self) -> bool {
        let shared = self.end_s.min(other.end_s) - self.start_s.max(other.start_s);
        let shorter = (self.end_s - self.start_s).min(other.end_s - other.start_s);
        self.word == other.word && shared * 2.0 >= shorter
    }
}

impl Compiled {
    /// Makes the library forget sound that was fed for partial words.
    fn forget(&mut self) {
        if self.is_fed {
            // Not `reset`: that keeps the sound of the last moments in its features.
            // What it would answer, or that it cannot, is of no interest.
            let _ = self.recognizer.final_result();
            self.is_fed = false;
        }
        self.closed.clear();
    }

    fn hearing(&self, alternatives: &[Alternative]) -> Hearing {
        hear(&self.graph, &self.lexicon, alternatives)
    }
}

/// Makes a hearing of the library's alternatives, best first.
fn hear(graph: &WordGraph, lexicon: &Lexicon, alternatives: &[Alternative]) -> Hearing {
    let probabilities = shares(alternatives);
    let mut hypotheses: Vec<Hypothesis> = Vec::new();
    for (alternative, &probability) in alternatives.iter().zip(&probabilities) {
        let tokens: Vec<&str> = alternative.words.iter().map(|w| w.word.as_str()).collect();
        if tokens.is_empty() {
            continue;
        }
        let Some(path) = lexicon.sentence(graph, &tokens) else {
            continue;
        };
        let words: Vec<String> = path
            .iter()
            .map(|&(word, _)| graph.words[word as usize].text.clone())
            .collect();
        // The same sentence at other times is no other sentence: their probabilities are summed.
        if let Some(twin) = hypotheses.iter_mut().find(|h| h.words == words) {
            twin.log_probability = (twin.log_probability.exp() + probability).ln();
            continue;
        }
        let word_confidences = path
            .into_iter()
            .map(|(_, range)| {
                // A word in several parts is as sure as its least sure part.
                alternative.words[range]
                    .iter()
                    .map(|spoken| confidence(spoken, alternatives, &probabilities))
                    .fold(1.0, f32::min)
            })
            .collect();
        hypotheses.push(Hypothesis {
            words,
            log_probability: probability.ln(),
            word_confidences,
        });
    }
    hypotheses.sort_by(|a, b| b.log_probability.total_cmp(&a.log_probability));

    let best = alternatives.first();
    let unheard = if best.is_none_or(|best| best.words.is_empty()) {
        Some(Unheard::NoSpeech)
    } else if hypotheses.is_empty()
        || best.is_some_and(|best| best.words.iter().any(|w| w.word == UNKNOWN_WORD))
    {
        Some(Unheard::OutOfGrammar)
    } else if hypotheses[0].log_probability < PROBABILITY_MIN.ln() {
        Some(Unheard::Unclear)
    } else {
        None
    };
    Hearing {
        figures: vec![
            ("alternatives", alternatives.len() as f32),
            ("sentences", hypotheses.len() as f32),
            (
                "probability",
                hypotheses.first().map_or(0.0, |h| h.log_probability.exp()),
            ),
        ],
        hypotheses,
        unheard,
        free_text: None,
    }
}

/// The alternatives' probabilities, given that one of them is right.
fn shares(alternatives: &[Alternative]) -> Vec<f32> {
    let top = alternatives
        .iter()
        .map(|alternative| alternative.score)
        .fold(f32::NEG_INFINITY, f32::max);
    let weights: Vec<f32> = alternatives
        .iter()
        .map(|alternative| (alternative.score - top).exp())
        .collect();
    let sum: f32 = weights.iter().sum();
    weights.iter().map(|weight| weight / sum).collect()
}

/// How much of the probability has this word at this place.
fn confidence(spoken: &Spoken, alternatives: &[Alternative], probabilities: &[f32]) -> f32 {
    alternatives
        .iter()
        .zip(probabilities)
        .filter(|(alternative, _)| alternative.words.iter().any(|other| other.is_same(spoken)))
        .map(|(_, probability)| probability)
        .sum::<f32>()
        .min(1.0)
}

/// 16-bit samples, as the library takes them. What is louder than full scale is cut; what is no number is silence.
fn to_pcm(samples: &[f32]) -> Vec<i16> {
    samples
        .iter()
        .map(|sample| (sample * f32::from(i16::MAX)).round() as i16)
        .collect()
}

#[cfg(test)]
mod tests;
