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

/// Whether the runtime can read this model.
pub fn can_load_model(models: &Path, model: &Path) -> Result<(), String> {
    load(models).map_err(|error| error.to_string())?;
    ort::session::Session::builder()
        .and_then(|mut builder| builder.commit_from_file(model))
        .map(|_| ())
        .map_err(|error| error.to_string())
}

/// Whether the system can load this library.
pub fn can_load_library(library: &Path) -> Result<(), String> {
    // SAFETY: loading runs the library's initialisers; it is the file that the engine will load for work.
    unsafe { libloading::Library::new(library) }
        .map(|_| ())
        .map_err(|error| error.to_string())
}
