//! The two networks: sound to frames (encoder), and frames with the tokens so far to the next token (decoder).
//! The only file of the engine that names ONNX Runtime's types. Chooses no token.
//!
//! Invariant: rows of one step share the sound; each row keeps the keys and values of its own tokens, so that a step
//! costs one token a row. The sound's keys and values are kept once for all rows.

use std::path::Path;

use ort::session::{Session, SessionInputValue};
use ort::value::{DynValue, TensorRef};

use super::prepare::{self, Adapter};
use super::search::log_sum_exp;
use super::tokenizer::START;
use crate::speech::{SpeechError, runtime};

/// Gives the next token's likelihoods for several token rows over one sound.
pub trait Decoder {
    /// Takes a new sound (mono, 16 kHz) in one or more views, whose likelihoods are averaged.
    /// Afterwards there is one row, which holds the start token; its likelihoods are in [`Decoder::logits`].
    fn begin(&mut self, views: &[&[f32]]) -> Result<(), SpeechError>;

    /// Replaces the rows: each new row is an old one (`parent`) and one token more.
    fn step(&mut self, rows: &[(usize, u32)]) -> Result<(), SpeechError>;

    /// Goes back to where the last `begin` ended, without hearing the sound again.
    fn rewind(&mut self) -> Result<(), SpeechError>;

    /// Logits (not normalised) for the token after each row, as of the last `begin` or `step`.
    fn logits(&self, row: usize) -> &[f32];
}

/// Threads a network may use: the machine this is made for has two cores.
const THREADS: usize = 2;

/// Shortest sound the encoder takes, in samples: three convolutions need that much.
pub const SAMPLES_MIN: usize = 1_600;

/// Moonshine by ONNX Runtime.
pub struct Network {
    encoder: Session,
    /// Decoder for the first token.
    first: Session,
    /// Decoder for all later tokens.
    next: Session,
    layout: Layout,
    /// One for each view of the sound.
    tracks: Vec<Track>,
    /// Room for row caches in a new order, kept from step to step.
    reordered: Vec<Vec<f32>>,
    tokens: Vec<i64>,
    rows: usize,
    tokens_so_far: usize,
    /// Logarithms of probabilities, averaged over the views; empty where there is one view only.
    averaged: Vec<f32>,
}

/// What the decoder keeps for one view of the sound.
struct Track {
    /// Keys and values, in the order of [`Layout::caches`].
    caches: Vec<Option<DynValue>>,
    logits: Option<DynValue>,
    /// What caches and logits were when the sound was begun, from the first step on.
    begun: Option<Begun>,
}

/// Keys and values of the start token by the place of their cache, and the logits after it.
struct Begun {
    caches: Vec<(usize, DynValue)>,
    logits: Option<DynValue>,
}

/// Names and sizes found in the decoder's files.
struct Layout {
    /// Inputs of the later steps, in the network's order.
    inputs: Vec<Input>,
    caches: Vec<Cache>,
    heads: usize,
    head_size: usize,
    vocabulary: usize,
}

#[derive(Clone, Copy)]
enum Input {
    Tokens,
    /// Index into [`Layout::caches`].
    Cache(usize),
}

/// Keys or values of one layer.
struct Cache {
    /// The output that holds them for the next step.
    output: String,
    /// They belong to the sound, one for all rows; else to each row's tokens.
    of_sound: bool,
}

impl Network {
    /// Loads the networks from the folder `moonshine` of the models; prepares them on the first call ever.
    pub fn load(models: &Path, adapter: Option<&Adapter>) -> Result<Self, SpeechError> {
        runtime::load(models)?;
        let files = prepare::prepared(models, &models.join("moonshine"), adapter)?;
        let encoder = open(&files.encoder)?;
        let first = open(&files.first)?;
        let next = open(&files.next)?;
        let layout = Layout::find(&first, &next).map_err(|why| SpeechError::Model {
            path: files.next.display().to_string(),
            why,
        })?;
        Ok(Self {
            encoder,
            first,
            next,
            tracks: Vec::new(),
            reordered: vec![Vec::new(); layout.caches.len()],
            tokens: Vec::new(),
            rows: 0,
            tokens_so_far: 0,
            averaged: Vec::new(),
            layout,
        })
    }

    fn begin_track(&mut self, samples: &[f32]) -> Result<Track, SpeechError> {
        let sound = TensorRef::from_array_view(([1, samples.len()], samples)).map_err(failed)?;
        let mut outputs = self.encoder.run(ort::inputs![sound]).map_err(failed)?;
        let frames = outputs
            .remove("last_hidden_state")
            .ok_or_else(|| SpeechError::Engine("the encoder gave no sound frames".to_owned()))?;
        let start = [i64::from(START)];
        let start = TensorRef::from_array_view(([1usize, 1], start.as_slice())).map_err(failed)?;
        let mut outputs = self
            .first
            .run(ort::inputs! {
                "input_ids" => start,
                "encoder_hidden_states" => frames,
            })
            .map_err(failed)?;
        Ok(Track {
            caches: self
                .layout
                .caches
                .iter()
                .map(|cache| outputs.remove(&cache.output))
                .collect(),
            logits: outputs.remove("logits"),
            begun: None,
        })
    }

    fn step_track(&mut self, at: usize, rows: &[(usize, u32)]) -> Result<(), SpeechError> {
        let mut parents = rows.iter().map(|&(parent, _)| parent);
        let in_order = rows.len() == self.rows && parents.by_ref().eq(0..self.rows);
        if !in_order {
            self.reorder(at, rows)?;
        }
        let layout = &self.layout;
        let track = &mut self.tracks[at];
        let shape = [
            rows.len(),
            layout.heads,
            self.tokens_so_far,
            layout.head_size,
        ];
        let mut inputs: Vec<SessionInputValue<'_>> = Vec::with_capacity(layout.inputs.len());
        for input in &layout.inputs {
            inputs.push(match *input {
                Input::Tokens => {
                    TensorRef::from_array_view(([rows.len(), 1], self.tokens.as_slice()))
                        .map_err(failed)?
                        .into()
                }
                Input::Cache(at) if in_order || layout.caches[at].of_sound => {
                    track.caches[at].as_ref().ok_or_else(too_early)?.into()
                }
                Input::Cache(at) => {
                    TensorRef::from_array_view((shape, self.reordered[at].as_slice()))
                        .map_err(failed)?
                        .into()
                }
            });
        }
        let mut outputs = self.next.run(inputs.as_slice()).map_err(failed)?;
        let mut before = Vec::new();
        for (at, cache) in layout.caches.iter().enumerate() {
            if !cache.of_sound {
                let new = outputs.remove(&cache.output);
                let old = std::mem::replace(&mut track.caches[at], new);
                before.extend(old.map(|old| (at, old)));
            }
        }
        let logits = std::mem::replace(&mut track.logits, outputs.remove("logits"));
        if self.tokens_so_far == 1 {
            track.begun = Some(Begun {
                caches: before,
                logits,
            });
        }
        Ok(())
    }

    /// Averages the logarithms of the views' probabilities.
    fn average(&mut self, rows: usize) {
        self.averaged.clear();
        if self.tracks.len() < 2 {
            return;
        }
        let size = self.layout.vocabulary;
        self.averaged.resize(rows * size, 0.0);
        let part = 1.0 / self.tracks.len() as f32;
        for track in &self.tracks {
            for (row, out) in self.averaged.chunks_exact_mut(size).enumerate() {
                let logits = &track.logits()[row * size..(row + 1) * size];
                let total = log_sum_exp(logits);
                for (out, logit) in out.iter_mut().zip(logits) {
                    *out += part * (logit - total);
                }
            }
        }
    }

    /// Puts the rows' keys and values into the order of the new rows.
    fn reorder(&mut self, track: usize, rows: &[(usize, u32)]) -> Result<(), SpeechError> {
        let size = self.layout.heads * self.tokens_so_far * self.layout.head_size;
        for (at, cache) in self.layout.caches.iter().enumerate() {
            if cache.of_sound {
                continue;
            }
            let value = self.tracks[track].caches[at]
                .as_ref()
                .ok_or_else(too_early)?;
            let (_, data) = value.try_extract_tensor::<f32>().map_err(failed)?;
            let out = &mut self.reordered[at];
            out.clear();
            for &(parent, _) in rows {
                out.extend_from_slice(&data[parent * size..(parent + 1) * size]);
            }
        }
        Ok(())
    }
}

impl Track {
    fn logits(&self) -> &[f32] {
        self.logits
            .as_ref()
            .and_then(|logits| logits.try_extract_tensor::<f32>().ok())
            .map_or(&[], |(_, data)| data)
    }
}

impl Decoder for Network {
    fn begin(&mut self, views: &[&[f32]]) -> Result<(), SpeechError> {
        self.tracks.clear();
        for samples in views {
            let track = self.begin_track(samples)?;
            self.tracks.push(track);
        }
        self.rows = 1;
        self.tokens_so_far = 1;
        self.average(1);
        Ok(())
    }

    fn step(&mut self, rows: &[(usize, u32)]) -> Result<(), SpeechError> {
        self.tokens.clear();
        self.tokens
            .extend(rows.iter().map(|&(_, token)| i64::from(token)));
        for at in 0..self.tracks.len() {
            self.step_track(at, rows)?;
        }
        self.rows = rows.len();
        self.tokens_so_far += 1;
        self.average(rows.len());
        Ok(())
    }

    fn rewind(&mut self) -> Result<(), SpeechError> {
        for track in &mut self.tracks {
            if let Some(begun) = track.begun.take() {
                for (at, value) in begun.caches {
                    track.caches[at] = Some(value);
                }
                track.logits = begun.logits;
            }
        }
        self.rows = 1;
        self.tokens_so_far = 1;
        self.average(1);
        Ok(())
    }

    fn logits(&self, row: usize) -> &[f32] {
        let size = self.layout.vocabulary;
        let data = match self.averaged.as_slice() {
            [] => self.tracks.first().map_or(&[][..], Track::logits),
            averaged => averaged,
        };
        &data[row * size..(row + 1) * size]
    }
}

impl Layout {
    fn find(first: &Session, next: &Session) -> Result<Self, String> {
        let mut inputs = Vec::new();
        let mut caches = Vec::new();
        let mut sizes = None;
        for input in next.inputs() {
            let name = input.name();
            if name == "input_ids" {
                inputs.push(Input::Tokens);
                continue;
            }
            let rest = name
                .strip_prefix("past_key_values")
                .ok_or_else(|| format!("unknown decoder input {name}"))?;
            let shape = input
                .dtype()
                .tensor_shape()
                .filter(|shape| shape.len() == 4)
                .ok_or_else(|| format!("decoder input {name} has not four dimensions"))?;
            sizes = Some((shape[1], shape[3]));
            inputs.push(Input::Cache(caches.len()));
            caches.push(Cache {
                output: format!("present{rest}"),
                of_sound: rest.contains(".encoder."),
            });
        }
        for cache in &caches {
            let gives =
                |session: &Session| session.outputs().iter().any(|o| o.name() == cache.output);
            if !gives(first) || !(cache.of_sound || gives(next)) {
                return Err(format!("the decoder has no output {}", cache.output));
            }
        }
        let (heads, head_size) = sizes.ok_or("the decoder keeps no keys and values")?;
        let vocabulary = next
            .outputs()
            .iter()
            .find(|output| output.name() == "logits")
            .and_then(|logits| logits.dtype().tensor_shape()?.last().copied())
            .ok_or("the decoder has no output logits")?;
        let positive = |size: i64, what: &str| {
            usize::try_from(size)
                .ok()
                .filter(|&size| size > 0)
                .ok_or_else(|| format!("the decoder's {what} has no fixed size"))
        };
        Ok(Self {
            inputs,
            caches,
            heads: positive(heads, "number of heads")?,
            head_size: positive(head_size, "head size")?,
            vocabulary: positive(vocabulary, "vocabulary")?,
        })
    }
}

fn open(path: &Path) -> Result<Session, SpeechError> {
    let load = || -> ort::Result<Session> {
        Session::builder()?
            .with_intra_threads(THREADS)?
            .with_inter_threads(1)?
            // A thread that spins while it waits takes a core from the rest of the program, and gains little.
            .with_intra_op_spinning(false)?
            .commit_from_file(path)
    };
    load().map_err(|e| SpeechError::Model {
        path: path.display().to_string(),
        why: e.to_string(),
    })
}

fn too_early() -> SpeechError {
    SpeechError::Engine("a step came before the sound".to_owned())
}

fn failed(error: ort::Error) -> SpeechError {
    SpeechError::Engine(error.to_string())
}
