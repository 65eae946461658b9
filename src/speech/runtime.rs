//! Loads the ONNX Runtime library that all models run on, once for the process.
//! Must be called before the first use of `ort` anywhere.

use std::path::Path;
use std::sync::OnceLock;

use super::SpeechError;

/// Where `models-fetch.sh` puts the library, below the models folder.
const LIBRARY: &str = "onnxruntime/libonnxruntime.so";

/// Loads the library from the models folder. Later calls answer as the first did, whatever folder they name:
/// a process can hold only one.
pub fn load(models: &Path) -> Result<(), SpeechError> {
    static LOADED: OnceLock<Result<(), (String, String)>> = OnceLock::new();
    LOADED
        .get_or_init(|| {
            let path = models.join(LIBRARY);
            let name = path.display().to_string();
            if !path.is_file() {
                return Err((name, "there is no such file".to_owned()));
            }
            match ort::init_from(&path) {
                Ok(environment) => {
                    environment.with_name("sulcus").commit();
                    Ok(())
                }
                Err(error) => Err((name, error.to_string())),
            }
        })
        .clone()
        .map_err(|(path, why)| SpeechError::Model { path, why })
}
