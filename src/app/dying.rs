//! Parts that die at work, as by a fault of the program: for trials of the built program alone, by a hidden option.
//!
//! Invariant: up to its death each does what the part within it does.

use std::sync::Arc;

use crate::speech::{EngineIdentity, Hearing, Recogniser, SpeechError, WordGraph};
use crate::voice::player::{Item, Output, Silencer};
use crate::voice::{Sound, VoiceError};

/// So many sentences are heard or said before: the work is under way by then.
const SENTENCES_BEFORE: u32 = 1;

/// An engine that panics in the middle of an utterance.
pub struct Ears {
    inner: Box<dyn Recogniser>,
    heard: u32,
}

impl Ears {
    pub fn new(inner: Box<dyn Recogniser>) -> Self {
        Self { inner, heard: 0 }
    }
}

impl Recogniser for Ears {
    fn identity(&self) -> EngineIdentity {
        self.inner.identity()
    }

    fn set_graph(&mut self, graph: Arc<WordGraph>) -> Result<Vec<String>, SpeechError> {
        self.inner.set_graph(graph)
    }

    fn recognise(&mut self, samples: &[f32]) -> Result<Hearing, SpeechError> {
        assert!(self.heard < SENTENCES_BEFORE, "a trial: the ears die");
        let hearing = self.inner.recognise(samples)?;
        // A sentence is asked about at each of its pauses.
        self.heard += u32::from(!hearing.hypotheses.is_empty());
        Ok(hearing)
    }

    fn partial(&mut self, samples: &[f32]) -> Result<Option<Vec<String>>, SpeechError> {
        self.inner.partial(samples)
    }

    fn discard(&mut self) {
        self.inner.discard();
    }
}

/// An output that panics when it is to say something.
pub struct Mouth {
    inner: Box<dyn Output>,
    said: u32,
}

impl Mouth {
    pub fn new(inner: Box<dyn Output>) -> Self {
        Self { inner, said: 0 }
    }
}

impl Output for Mouth {
    fn ready(&mut self) -> Result<(), VoiceError> {
        self.inner.ready()
    }

    fn begin(&mut self, item: &Item<'_>) -> Result<(), VoiceError> {
        if let Item::Sentence { .. } = item {
            assert!(self.said < SENTENCES_BEFORE, "a trial: the voice dies");
            self.said += 1;
        }
        self.inner.begin(item)
    }

    fn play(&mut self, sound: &Sound) -> Result<(), VoiceError> {
        self.inner.play(sound)
    }

    fn end(&mut self) -> Result<(), VoiceError> {
        self.inner.end()
    }

    fn remaining_ms(&mut self) -> Result<u64, VoiceError> {
        self.inner.remaining_ms()
    }

    fn cut(&mut self) {
        self.inner.cut();
    }

    fn silencer(&self) -> Silencer {
        self.inner.silencer()
    }
}
