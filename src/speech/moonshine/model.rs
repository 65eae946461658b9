//! The two networks: sound to frames (encoder), and frames with the tokens so far to the next token (decoder).
//! The only file of the engine that names ONNX Runtime's types. Chooses no token.
//!
//! Invariant: rows of one step share the sound; each row keeps the keys and values of its own tokens, so that a step
//! costs one token a row. The sound's keys and values are kept once for all rows.

use std::path::Path;

use ort::memory::Allocator;
use ort::session::{Session, SessionInputValue};
use ort::value::{DynValue, Tensor, TensorRef};

use super::tokenizer::START;
use crate::speech::{SpeechError, runtime};

/// Gives the next token's likelihoods for several token rows over one sound.
pub trait Decoder {
    /// Takes a new sound (mono, 16 kHz). Afterwards there is one row, which holds the start token;
    /// its likelihoods are in [`Decoder::logits`].
    fn begin(&mut self, samples: &[f32]) -> Result<(), SpeechError>;

    /// Replaces the rows: each new row is an old one (`parent`) and one token more.
    fn step(&mut self, rows: &[(usize, u32)]) -> Result<(), SpeechError>;

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
    decoder: Session,
    layout: Layout,
    /// Sound frames; input of the first step only, but the network's interface asks for it in all.
    frames: Option<DynValue>,
    /// Keys and values of the sound, in the order of [`Layout::caches`], `None` at the rows' caches.
    sound_caches: Vec<Option<DynValue>>,
    /// Keys and values of the rows' tokens, `None` at the sound's caches.
    row_caches: Vec<Option<DynValue>>,
    /// Room for row caches in a new order, kept from step to step.
    reordered: Vec<Vec<f32>>,
    tokens: Vec<i64>,
    rows: usize,
    logits: Option<DynValue>,
}

/// Names and sizes found in the decoder file.
struct Layout {
    inputs: Vec<Input>,
    /// For each cache input the output that holds it for the next step.
    cache_outputs: Vec<String>,
    heads: usize,
    head_size: usize,
    vocabulary: usize,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Input {
    Tokens,
    Frames,
    /// Index into [`Layout::cache_outputs`]; whether it belongs to the sound.
    Cache {
        index: usize,
        of_sound: bool,
    },
    UseCache,
}

impl Network {
    /// Loads both networks from the folder `moonshine` of the models.
    pub fn load(models: &Path) -> Result<Self, SpeechError> {
        let folder = models.join("moonshine");
        let encoder = open(models, &folder.join("encoder_model.ort"))?;
        let decoder_path = folder.join("decoder_model_merged.ort");
        let decoder = open(models, &decoder_path)?;
        let layout = Layout::find(&decoder).map_err(|why| SpeechError::Model {
            path: decoder_path.display().to_string(),
            why,
        })?;
        let caches = layout.cache_outputs.len();
        Ok(Self {
            encoder,
            decoder,
            frames: None,
            sound_caches: (0..caches).map(|_| None).collect(),
            row_caches: (0..caches).map(|_| None).collect(),
            reordered: vec![Vec::new(); caches],
            tokens: Vec::new(),
            rows: 0,
            logits: None,
            layout,
        })
    }

    fn run(&mut self, first: bool, rows: &[(usize, u32)]) -> Result<(), SpeechError> {
        let layout = &self.layout;
        let in_order = rows.len() == self.rows
            && rows
                .iter()
                .enumerate()
                .all(|(at, &(parent, _))| at == parent);
        let tokens_so_far = match first {
            true => 0,
            false => self.tokens_so_far()?,
        };
        let row_size = layout.heads * tokens_so_far * layout.head_size;
        if !first && !in_order {
            for (cache, out) in self.row_caches.iter().zip(&mut self.reordered) {
                let Some(cache) = cache else { continue };
                let (_, data) = cache.try_extract_tensor::<f32>().map_err(failed)?;
                out.clear();
                for &(parent, _) in rows {
                    out.extend_from_slice(&data[parent * row_size..(parent + 1) * row_size]);
                }
            }
        }
        self.tokens.clear();
        self.tokens
            .extend(rows.iter().map(|&(_, token)| i64::from(token)));
        let count = rows.len();
        let empty = [1, layout.heads, 0, layout.head_size];
        let shape = [count, layout.heads, tokens_so_far, layout.head_size];
        let use_cache = [!first];
        let frames = self
            .frames
            .as_ref()
            .expect("begin ran the encoder before the first step");
        let mut inputs: Vec<SessionInputValue<'_>> = Vec::with_capacity(layout.inputs.len());
        for input in &layout.inputs {
            inputs.push(match *input {
                Input::Tokens => TensorRef::from_array_view(([count, 1], self.tokens.as_slice()))
                    .map_err(failed)?
                    .into(),
                Input::Frames => frames.into(),
                Input::UseCache => TensorRef::from_array_view(([1usize], use_cache.as_slice()))
                    .map_err(failed)?
                    .into(),
                Input::Cache { .. } if first => Tensor::<f32>::new(&Allocator::default(), empty)
                    .map_err(failed)?
                    .into(),
                Input::Cache {
                    index,
                    of_sound: true,
                } => self.sound_caches[index]
                    .as_ref()
                    .expect("the first step filled the sound's caches")
                    .into(),
                Input::Cache { index, .. } if in_order => self.row_caches[index]
                    .as_ref()
                    .expect("the first step filled the rows' caches")
                    .into(),
                Input::Cache { index, .. } => {
                    TensorRef::from_array_view((shape, self.reordered[index].as_slice()))
                        .map_err(failed)?
                        .into()
                }
            });
        }
        let mut outputs = self.decoder.run(inputs.as_slice()).map_err(failed)?;
        for input in &layout.inputs {
            let Input::Cache { index, of_sound } = *input else {
                continue;
            };
            if of_sound && !first {
                continue;
            }
            let value = outputs.remove(&layout.cache_outputs[index]);
            if of_sound {
                self.sound_caches[index] = value;
            } else {
                self.row_caches[index] = value;
            }
        }
        self.logits = outputs.remove("logits");
        self.rows = count;
        Ok(())
    }

    fn tokens_so_far(&self) -> Result<usize, SpeechError> {
        let cache = self.row_caches.iter().flatten().next();
        cache
            .map(|cache| cache.shape()[2] as usize)
            .ok_or_else(|| SpeechError::Engine("a step came before the sound".to_owned()))
    }
}

impl Decoder for Network {
    fn begin(&mut self, samples: &[f32]) -> Result<(), SpeechError> {
        let input = TensorRef::from_array_view(([1, samples.len()], samples)).map_err(failed)?;
        let mut outputs = self.encoder.run(ort::inputs![input]).map_err(failed)?;
        self.frames = outputs.remove("last_hidden_state");
        drop(outputs);
        if self.frames.is_none() {
            return Err(SpeechError::Engine(
                "the encoder gave no sound frames".to_owned(),
            ));
        }
        self.rows = 1;
        self.run(true, &[(0, START)])
    }

    fn step(&mut self, rows: &[(usize, u32)]) -> Result<(), SpeechError> {
        self.run(false, rows)
    }

    fn logits(&self, row: usize) -> &[f32] {
        let data = self
            .logits
            .as_ref()
            .and_then(|logits| logits.try_extract_tensor::<f32>().ok())
            .map_or(&[][..], |(_, data)| data);
        let size = self.layout.vocabulary;
        &data[row * size..(row + 1) * size]
    }
}

impl Layout {
    fn find(decoder: &Session) -> Result<Self, String> {
        let mut inputs = Vec::new();
        let mut cache_outputs = Vec::new();
        let mut sizes = None;
        for input in decoder.inputs() {
            let name = input.name();
            inputs.push(match name {
                "input_ids" => Input::Tokens,
                "encoder_hidden_states" => Input::Frames,
                "use_cache_branch" => Input::UseCache,
                _ => {
                    let rest = name
                        .strip_prefix("past_key_values")
                        .ok_or_else(|| format!("unknown decoder input {name}"))?;
                    let shape = input
                        .dtype()
                        .tensor_shape()
                        .filter(|shape| shape.len() == 4)
                        .ok_or_else(|| format!("decoder input {name} has not four dimensions"))?;
                    sizes = Some((shape[1], shape[3]));
                    cache_outputs.push(format!("present{rest}"));
                    Input::Cache {
                        index: cache_outputs.len() - 1,
                        of_sound: rest.contains(".encoder."),
                    }
                }
            });
        }
        let output = |name: &str| decoder.outputs().iter().find(|o| o.name() == name);
        if let Some(missing) = cache_outputs.iter().find(|name| output(name).is_none()) {
            return Err(format!("the decoder has no output {missing}"));
        }
        let (heads, head_size) = sizes.ok_or("the decoder keeps no keys and values")?;
        let vocabulary = output("logits")
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
            cache_outputs,
            heads: positive(heads, "number of heads")?,
            head_size: positive(head_size, "head size")?,
            vocabulary: positive(vocabulary, "vocabulary")?,
        })
    }
}

fn open(models: &Path, path: &Path) -> Result<Session, SpeechError> {
    runtime::load(models)?;
    let load = || -> ort::Result<Session> {
        Session::builder()?
            .with_intra_threads(THREADS)?
            .with_inter_threads(1)?
            .commit_from_file(path)
    };
    load().map_err(|e| SpeechError::Model {
        path: path.display().to_string(),
        why: e.to_string(),
    })
}

fn failed(error: ort::Error) -> SpeechError {
    SpeechError::Engine(error.to_string())
}
