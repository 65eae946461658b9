//! Frames in, [`Hearing`]s out: cuts utterances, runs a recognition engine under a word graph.
//! Knows no dental words: the graph that says what may be heard is made by `grammar`.
//!
//! Invariant: a hearing's hypotheses are always whole sentences of the graph that was set when the utterance ended.

#[cfg(feature = "engines")]
pub mod activity;
pub mod closed_graph;
#[cfg(feature = "engines")]
pub mod listener;
#[cfg(feature = "engines")]
pub mod moonshine;
#[cfg(feature = "engines")]
pub mod pitch;
#[cfg(feature = "engines")]
pub mod runtime;
pub mod value;
#[cfg(feature = "engines")]
pub mod vosk;
pub mod word_graph;

pub use word_graph::WordGraph;

#[cfg(feature = "engines")]
use std::path::Path;
use std::sync::Arc;

/// The engines that can be chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "clap", derive(clap::ValueEnum))]
pub enum Engine {
    Moonshine,
    Vosk,
}

#[cfg(feature = "engines")]
/// Loads an engine from the folder that `models-fetch.sh` filled.
pub fn open(engine: Engine, models: &Path) -> Result<Box<dyn Recogniser>, SpeechError> {
    open_as(engine, models, true)
}

#[cfg(feature = "engines")]
/// Loads an engine, adapted to the vocabulary where `is_adapted`; only Moonshine can be.
pub fn open_as(
    engine: Engine,
    models: &Path,
    is_adapted: bool,
) -> Result<Box<dyn Recogniser>, SpeechError> {
    match engine {
        Engine::Moonshine => Ok(Box::new(moonshine::Moonshine::load(models, is_adapted)?)),
        Engine::Vosk => Ok(Box::new(vosk::Vosk::open(models)?)),
    }
}

/// One stretch of speech, cut by voice activity: mono, 16 kHz, with pre-roll and hang-over.
#[derive(Debug, Clone)]
pub struct Utterance {
    pub samples: Vec<f32>,
    /// Milliseconds from the opening of the source to the first sample.
    pub start_ms: u64,
}

/// Which engine heard, for the journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EngineIdentity {
    /// "moonshine" or "vosk".
    pub name: String,
    /// Model name and version, as pinned by the fetch script.
    pub model: String,
}

/// One way of hearing an utterance: a whole sentence of the active graph.
#[derive(Debug, Clone, PartialEq)]
pub struct Hypothesis {
    /// Canonical words of the graph ("one", "oh", "four"), never the engine's spelling ("104").
    pub words: Vec<String>,
    /// Natural logarithm of the probability the engine gives to this sentence, all its spellings summed.
    pub log_probability: f32,
    /// For each word 0.0 to 1.0: how sure the engine is of it, given the other hypotheses.
    pub word_confidences: Vec<f32>,
}

/// Why nothing was understood. An outcome, not an error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unheard {
    /// Too short, too quiet or no voice in it.
    NoSpeech,
    /// Speech, but what the engine hears freely is far better than any sentence of the graph.
    OutOfGrammar,
    /// A sentence of the graph, but the engine is too unsure of it.
    Unclear,
}

/// What the engine made of one utterance.
#[derive(Debug, Clone, PartialEq)]
pub struct Hearing {
    /// Best first. May hold sentences even where `unheard` is set: shown, never entered.
    pub hypotheses: Vec<Hypothesis>,
    /// Set where nothing may be entered.
    pub unheard: Option<Unheard>,
    /// What the engine would write without the graph, where it knows; for the page, the log and tuning only.
    pub free_text: Option<String>,
    /// Figures behind the decision, by name, for `score --json` and tuning.
    pub figures: Vec<(&'static str, f32)>,
}

/// A recognition engine under a word graph.
pub trait Recogniser: Send {
    fn identity(&self) -> EngineIdentity;

    /// Sets what may be heard from now on. Returns the words of the graph that the model can never hear:
    /// they must be told to the user at start, with what to say instead.
    /// Cheap when the same `Arc` was set before: engines keep what they compiled for each graph.
    fn set_graph(&mut self, graph: Arc<WordGraph>) -> Result<Vec<String>, SpeechError>;

    /// Hears one whole utterance (mono, 16 kHz).
    fn recognise(&mut self, samples: &[f32]) -> Result<Hearing, SpeechError>;

    /// For engines that hear as the sound comes: takes more sound of the current utterance, gives the words so far.
    /// The default does nothing.
    fn partial(&mut self, _samples: &[f32]) -> Result<Option<Vec<String>>, SpeechError> {
        Ok(None)
    }

    /// The sound given to [`Recogniser::partial`] since the last utterance was none: forget it. The default does nothing.
    fn discard(&mut self) {}
}

/// What can fail in recognition.
#[derive(Debug, thiserror::Error)]
pub enum SpeechError {
    /// A model file is missing or damaged. Stop; ask the person to fetch the models.
    #[error("cannot use the speech model {path}: {why}; run ./models-fetch.sh")]
    Model { path: String, why: String },
    /// The engine failed on this utterance. Retry with the next one.
    #[error("recognition failed: {0}")]
    Engine(String),
    /// The graph has no sentence. A bug of the grammar files.
    #[error("the word graph allows no sentence")]
    EmptyGraph,
}
