//! The Silero voice activity network, which the library carries (`networks/README.md` has its source and licence).
//!
//! Invariant: what it says of a frame depends on the frames since the last reset and nothing else.

use std::path::Path;

use ort::session::Session;
use ort::value::TensorRef;

use super::Detector;
use crate::audio::{FRAME_SAMPLES, SAMPLE_RATE_HZ};
use crate::speech::{SpeechError, runtime};

/// The network, as pinned.
pub const NETWORK: &[u8] = include_bytes!("../../../networks/silero_vad.onnx");

/// Samples before the frame that the network looks at again.
const CONTEXT_SAMPLES: usize = 64;
/// Layers, streams and numbers of its memory.
const STATE_SHAPE: [usize; 3] = [2, 1, 128];
const STATE_VALUES: usize = STATE_SHAPE[0] * STATE_SHAPE[1] * STATE_SHAPE[2];

/// The Silero voice activity network with the memory of one stream of sound.
pub struct Silero {
    session: Session,
    /// The end of the frame before, then the frame.
    input: [f32; CONTEXT_SAMPLES + FRAME_SAMPLES],
    state: [f32; STATE_VALUES],
}

impl Silero {
    /// Loads ONNX Runtime from the models folder, and the network.
    ///
    /// # Errors
    /// [`SpeechError::Model`] where the runtime is missing or refuses the network.
    pub fn new(models: &Path) -> Result<Self, SpeechError> {
        runtime::load(models)?;
        let session = open().map_err(|why| SpeechError::Model {
            path: "(voice activity, built in)".to_owned(),
            why: why.to_string(),
        })?;
        Ok(Self {
            session,
            input: [0.0; CONTEXT_SAMPLES + FRAME_SAMPLES],
            state: [0.0; STATE_VALUES],
        })
    }

    fn run(&mut self, samples: &[f32]) -> Result<f32, ort::Error> {
        let rate = [i64::from(SAMPLE_RATE_HZ)];
        self.input[CONTEXT_SAMPLES..].copy_from_slice(samples);
        let outputs = self.session.run(ort::inputs![
            "input" => TensorRef::from_array_view(([1, self.input.len()], &self.input[..]))?,
            "state" => TensorRef::from_array_view((STATE_SHAPE, &self.state[..]))?,
            "sr" => TensorRef::from_array_view(([0_usize; 0], &rate[..]))?,
        ])?;
        let (_, probability) = outputs["output"].try_extract_tensor::<f32>()?;
        let (_, state) = outputs["stateN"].try_extract_tensor::<f32>()?;
        let (Some(&probability), true) = (probability.first(), state.len() == STATE_VALUES) else {
            return Err(ort::Error::new("the network gives another shape"));
        };
        self.state.copy_from_slice(state);
        self.input.copy_within(FRAME_SAMPLES.., 0);
        Ok(probability)
    }
}

/// One thread, no spinning: a frame takes a fraction of a millisecond, and the cores belong to recognition.
fn open() -> Result<Session, ort::Error> {
    Session::builder()?
        .with_intra_threads(1)?
        .with_intra_op_spinning(false)?
        .commit_from_memory(NETWORK)
}

impl Detector for Silero {
    fn probability(&mut self, samples: &[f32]) -> Result<f32, SpeechError> {
        let failed = |why: String| SpeechError::Engine(format!("voice activity: {why}"));
        if samples.len() != FRAME_SAMPLES {
            return Err(failed(format!(
                "a frame has {FRAME_SAMPLES} samples, not {}",
                samples.len()
            )));
        }
        self.run(samples).map_err(|error| failed(error.to_string()))
    }

    fn reset(&mut self) {
        self.input.fill(0.0);
        self.state.fill(0.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sha2::{Digest, Sha256};

    #[test]
    fn the_network_is_the_pinned_one() {
        let readme = include_str!("../../../networks/README.md");
        let sum = Sha256::digest(NETWORK)
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect::<String>();
        assert!(readme.contains(&sum), "networks/README.md names {sum}");
    }
}
