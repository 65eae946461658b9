//! The neural voice: a Piper (VITS) model run by ONNX Runtime, fed with the phonemes that espeak-ng gives.
//! One phrase at a time; knows nothing of queues, devices or wording.
//!
//! Invariant: both noise scales are zero, so that a phrase gives the same samples each time.

use std::collections::HashMap;
use std::fs;
use std::path::{Path, PathBuf};

use ort::session::Session;
use ort::value::Tensor;
use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::{Sound, Synthesiser, VoiceError, espeak, pronunciation};
use crate::speech::runtime;

const MODEL: &str = "piper/voice.onnx";
const DESCRIPTION: &str = "piper/voice.onnx.json";

/// Longer than the speaker's own pace: digits stay apart. Of the 166 read-backs of `tests/sound/read_back.rs` the recogniser
/// understood 163 at 1.15 and 165 at 1.25; slower only takes time.
const LENGTH_SCALE: f32 = 1.25;

/// Randomness of timbre and of rhythm, off: sound can then be kept, and a test hears what the user hears.
const NOISE_SCALE: f32 = 0.0;
const NOISE_WIDTH: f32 = 0.0;

/// Two: read-back follows recognition, so both cores are free, and more would take them from the next utterance.
const THREADS: usize = 2;

/// Bytes of the model's head and tail that go into its fingerprint; reading all of it would cost a third of a second.
const FINGERPRINT_BYTES: usize = 64 * 1024;

/// Marks that end a clause and that the model knows: they make its melody and its pauses.
const CLAUSE_ENDS: [char; 6] = ['.', ',', ';', ':', '?', '!'];

const PAD: &str = "_";
const SENTENCE_START: &str = "^";
const SENTENCE_END: &str = "$";

/// The parts of the model's description that are used.
#[derive(Debug, Deserialize)]
struct Description {
    audio: Audio,
    espeak: Espeak,
    #[serde(default = "espeak_phonemes")]
    phoneme_type: String,
    #[serde(default = "one")]
    num_speakers: u32,
    phoneme_id_map: HashMap<String, Vec<i64>>,
}

#[derive(Debug, Deserialize)]
struct Audio {
    sample_rate: u32,
}

#[derive(Debug, Deserialize)]
struct Espeak {
    voice: String,
}

fn espeak_phonemes() -> String {
    "espeak".to_owned()
}

fn one() -> u32 {
    1
}

/// A model ready to speak.
pub struct PiperVoice {
    session: Session,
    description: Description,
    length_scale: f32,
    identity: String,
}

impl PiperVoice {
    /// Loads the model below `models` and checks that espeak-ng can feed it.
    pub fn open(models: &Path) -> Result<Self, VoiceError> {
        Self::open_at(models, 1.0)
    }

    /// The same, speaking faster by this factor.
    pub fn open_at(models: &Path, rate: f32) -> Result<Self, VoiceError> {
        let length_scale = LENGTH_SCALE / rate;
        let description_path = models.join(DESCRIPTION);
        let text = fs::read_to_string(&description_path)
            .map_err(|error| unusable(&description_path, error))?;
        let description = read_description(&text, &description_path)?;
        espeak::phonemes(&description.espeak.voice, &["one"])?;

        let model_path = models.join(MODEL);
        let fingerprint =
            fingerprint(&model_path, &text).map_err(|error| unusable(&model_path, error))?;
        runtime::load(models)?;
        let session = Session::builder()
            .and_then(|builder| Ok(builder.with_intra_threads(THREADS)?))
            .and_then(|mut builder| builder.commit_from_file(&model_path))
            .map_err(|error| unusable(&model_path, error))?;
        Ok(Self {
            session,
            description,
            length_scale,
            identity: format!(
                "piper {fingerprint} length {length_scale} noise {NOISE_SCALE} {NOISE_WIDTH} {}",
                pronunciation::rules()
            ),
        })
    }

    fn phoneme_ids(&self, phrase: &str) -> Result<Vec<i64>, VoiceError> {
        let clauses = clauses(phrase);
        let words: Vec<&str> = clauses.iter().map(|(words, _)| words.as_str()).collect();
        if words.is_empty() {
            return Ok(Vec::new());
        }
        let spoken = espeak::phonemes(&self.description.espeak.voice, &words)?;
        let ends = clauses.iter().map(|(_, end)| *end);
        let line = spoken
            .iter()
            .zip(ends)
            .map(|(phonemes, end)| format!("{phonemes}{end}"))
            .collect::<Vec<_>>()
            .join(" ");
        Ok(ids(&line, &self.description.phoneme_id_map))
    }
}

impl Synthesiser for PiperVoice {
    fn identity(&self) -> &str {
        &self.identity
    }

    fn rate_hz(&self) -> u32 {
        self.description.audio.sample_rate
    }

    fn synthesise(&mut self, phrase: &str) -> Result<Sound, VoiceError> {
        let ids = self.phoneme_ids(phrase)?;
        let rate_hz = self.rate_hz();
        if ids.is_empty() {
            return Ok(Sound::silence(0, rate_hz));
        }
        let failed = |error: ort::Error| VoiceError::Phrase {
            phrase: phrase.to_owned(),
            why: error.to_string(),
        };
        let length = ids.len();
        let input = Tensor::from_array(([1, length], ids)).map_err(failed)?;
        let lengths = Tensor::from_array(([1], vec![length as i64])).map_err(failed)?;
        let scales = Tensor::from_array(([3], vec![NOISE_SCALE, self.length_scale, NOISE_WIDTH]))
            .map_err(failed)?;
        let outputs = self
            .session
            .run(ort::inputs!["input" => input, "input_lengths" => lengths, "scales" => scales])
            .map_err(failed)?;
        let (_, samples) = outputs[0].try_extract_tensor::<f32>().map_err(failed)?;
        let sound = Sound {
            samples: samples.to_vec(),
            rate_hz,
        };
        Ok(sound.trimmed_and_levelled().rounded_to_pcm())
    }
}

fn unusable(path: &Path, error: impl std::fmt::Display) -> VoiceError {
    VoiceError::Model {
        path: PathBuf::from(path),
        why: error.to_string(),
    }
}

fn read_description(text: &str, path: &Path) -> Result<Description, VoiceError> {
    let description: Description =
        serde_json::from_str(text).map_err(|error| unusable(path, error))?;
    if description.phoneme_type != "espeak" {
        let why = format!(
            "it wants {:?} phonemes, only \"espeak\" is known",
            description.phoneme_type
        );
        return Err(unusable(path, why));
    }
    if description.num_speakers > 1 {
        return Err(unusable(
            path,
            "it has many speakers, a voice of one is needed",
        ));
    }
    for mark in [PAD, SENTENCE_START, SENTENCE_END] {
        if !description.phoneme_id_map.contains_key(mark) {
            return Err(unusable(path, format!("phoneme_id_map lacks {mark:?}")));
        }
    }
    if description.audio.sample_rate == 0 {
        return Err(unusable(path, "its sample_rate is 0"));
    }
    Ok(description)
}

/// Tells one model from another, cheaply: length, head, tail and description.
fn fingerprint(model: &Path, description: &str) -> std::io::Result<String> {
    use std::io::{Read, Seek, SeekFrom};
    let mut file = fs::File::open(model)?;
    let length = file.metadata()?.len();
    let mut hash = Sha256::new();
    hash.update(description.as_bytes());
    hash.update(length.to_le_bytes());
    let mut bytes = Vec::new();
    (&mut file)
        .take(FINGERPRINT_BYTES as u64)
        .read_to_end(&mut bytes)?;
    file.seek(SeekFrom::Start(
        length.saturating_sub(FINGERPRINT_BYTES as u64),
    ))?;
    file.read_to_end(&mut bytes)?;
    hash.update(&bytes);
    Ok(hash
        .finalize()
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect())
}

/// Cuts a phrase into clauses: the words, and the mark that ends them (a full stop at the end where there is none).
fn clauses(phrase: &str) -> Vec<(String, char)> {
    let mut clauses = Vec::new();
    for part in phrase.split_inclusive(CLAUSE_ENDS) {
        let end = part
            .chars()
            .last()
            .filter(|last| CLAUSE_ENDS.contains(last));
        let words = part.trim_end_matches(CLAUSE_ENDS).trim();
        if words.chars().any(char::is_alphanumeric) {
            clauses.push((words.to_owned(), end.unwrap_or('.')));
        }
    }
    clauses
}

/// The model's numbers for a line of phonemes: start, each phoneme followed by a pad, end.
/// Letters that the model was not trained on are left out: it has no sound for them.
fn ids(line: &str, map: &HashMap<String, Vec<i64>>) -> Vec<i64> {
    let known = |mark: &str| map.get(mark).into_iter().flatten().copied();
    let mut ids: Vec<i64> = known(SENTENCE_START).chain(known(PAD)).collect();
    let mut letter_text = [0_u8; 4];
    for letter in line.chars() {
        let letter = letter.encode_utf8(&mut letter_text);
        if map.contains_key(&*letter) {
            ids.extend(known(letter).chain(known(PAD)));
        }
    }
    ids.extend(known(SENTENCE_END));
    ids
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clauses_keep_their_marks() {
        let expected = [
            ("Tooth one zero four".to_owned(), '.'),
            ("Buccal".to_owned(), ','),
            ("two two three".to_owned(), '?'),
            ("well".to_owned(), '.'),
        ];
        assert_eq!(
            clauses("Tooth one zero four. Buccal, two two three? … well"),
            expected[..3]
                .iter()
                .cloned()
                .chain([("… well".to_owned(), '.')])
                .collect::<Vec<_>>()
        );
        assert_eq!(clauses(" ,. \n"), Vec::new());
    }

    #[test]
    fn each_phoneme_is_padded_and_unknown_letters_are_left_out() {
        let map: HashMap<String, Vec<i64>> = [("_", 0), ("^", 1), ("$", 2), ("w", 34), (".", 10)]
            .into_iter()
            .map(|(mark, id)| (mark.to_owned(), vec![id]))
            .collect();
        assert_eq!(ids("w☃.", &map), [1, 0, 34, 0, 10, 0, 2]);
    }

    #[test]
    fn descriptions_that_cannot_work_are_refused_with_the_reason() {
        let path = Path::new("voice.onnx.json");
        let refused = |text: &str| read_description(text, path).unwrap_err().to_string();
        assert!(refused("{}").contains("missing field"));
        let many = r#"{"audio":{"sample_rate":22050},"espeak":{"voice":"en-us"},"num_speakers":4,"phoneme_id_map":{}}"#;
        assert!(refused(many).contains("many speakers"));
        let bare = r#"{"audio":{"sample_rate":22050},"espeak":{"voice":"en-us"},"phoneme_id_map":{"_":[0]}}"#;
        assert!(refused(bare).contains("lacks \"^\""));
        assert!(refused(bare).contains("models-fetch.sh"));
    }

    #[test]
    fn a_missing_model_is_told_with_its_path_and_the_way_out() {
        let error = PiperVoice::open(Path::new("/nowhere")).err().unwrap();
        let message = error.to_string();
        assert!(
            message.contains("/nowhere/piper/voice.onnx.json"),
            "{message}"
        );
        assert!(message.contains("models-fetch.sh"), "{message}");
    }
}
