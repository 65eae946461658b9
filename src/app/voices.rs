//! What practising found to suit a person: kept by name in `voices.toml` in the data folder, used by `listen --person`.

use std::collections::BTreeMap;
use std::path::Path;

use serde::{Deserialize, Serialize};

/// Name of the file in the data folder.
pub const FILE: &str = "voices.toml";

/// Louder or softer by more than this is a wrong setting of the machine, not a trait of a person.
pub const GAIN_DB_MAX: f32 = 20.0;

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VoiceSettings {
    /// Added to what the microphone gives.
    pub gain_db: f32,
    /// Silences after which a sentence may end, shortest first; see the activity's settings.
    pub pauses_ms: Vec<u64>,
    /// Readings understood of those repeated, the last time.
    pub understood: usize,
    pub of: usize,
    /// Where it was measured.
    pub noise_floor_dbfs: f32,
    pub speech_dbfs: f32,
    /// Usual pitch of the voice in hertz; none where too little was said, or the file is older than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pitch_hz: Option<f32>,
}

/// All people by name.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Voices(BTreeMap<String, VoiceSettings>);

/// The file cannot be used.
#[derive(Debug, thiserror::Error)]
#[error("{path}: {why}; mend it, or delete it and practise again")]
pub struct VoicesError {
    path: String,
    why: String,
}

impl Voices {
    /// No file is no voices.
    pub fn load(folder: &Path) -> Result<Self, VoicesError> {
        let path = folder.join(FILE);
        let failed = |why: String| VoicesError {
            path: path.display().to_string(),
            why,
        };
        match std::fs::read_to_string(&path) {
            Ok(text) => toml::from_str(&text).map_err(|error| failed(error.message().to_owned())),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(Self::default()),
            Err(error) => Err(failed(error.to_string())),
        }
    }

    pub fn get(&self, name: &str) -> Option<&VoiceSettings> {
        self.0.get(name)
    }

    pub fn names(&self) -> impl Iterator<Item = &String> {
        self.0.keys()
    }

    pub fn keep(&mut self, name: &str, settings: VoiceSettings) {
        self.0.insert(name.to_owned(), settings);
    }

    pub fn save(&self, folder: &Path) -> Result<(), VoicesError> {
        let path = folder.join(FILE);
        let failed = |why: String| VoicesError {
            path: path.display().to_string(),
            why,
        };
        let text = toml::to_string(self).map_err(|error| failed(error.to_string()))?;
        // Beside it first: half a file would lose all people.
        let beside = folder.join(format!("{FILE}.new"));
        std::fs::write(&beside, text)
            .and_then(|()| std::fs::rename(&beside, &path))
            .map_err(|error| failed(error.to_string()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_voice_is_found_again_by_name() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(Voices::load(folder.path()).unwrap(), Voices::default());
        let settings = VoiceSettings {
            gain_db: 6.5,
            pauses_ms: vec![448, 640],
            understood: 11,
            of: 12,
            noise_floor_dbfs: -55.0,
            speech_dbfs: -30.0,
            pitch_hz: Some(187.5),
        };
        let mut voices = Voices::default();
        voices.keep("Ada the nurse", settings.clone());
        voices.save(folder.path()).unwrap();
        let again = Voices::load(folder.path()).unwrap();
        assert_eq!(again.get("Ada the nurse"), Some(&settings));
        std::fs::write(folder.path().join(FILE), "gain").unwrap();
        let error = Voices::load(folder.path()).unwrap_err().to_string();
        assert!(error.contains("practise again"), "{error}");
    }
}
