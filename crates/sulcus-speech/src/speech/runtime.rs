//! Loads the ONNX Runtime library once for the whole process, from the models folder.
//! Everything that runs a network (recognition, voice activity, voice) asks here first.
//!
//! Invariant: at most one library and one environment in a process, whoever comes first.

use std::path::{Path, PathBuf};
use std::sync::Mutex;

use super::SpeechError;

/// Whether the library is loaded; the lock makes sure that two threads do not both load it.
static LOADED: Mutex<bool> = Mutex::new(false);

#[cfg(target_os = "macos")]
const LIBRARY: &str = "libonnxruntime.dylib";
#[cfg(windows)]
const LIBRARY: &str = "onnxruntime.dll";
#[cfg(not(any(target_os = "macos", windows)))]
const LIBRARY: &str = "libonnxruntime.so";

/// Where `models-fetch.sh` puts the library.
pub fn library_path(models: &Path) -> PathBuf {
    models.join("onnxruntime").join(LIBRARY)
}

/// Loads the library on the first call; must come before anything else that uses ONNX Runtime.
/// Later calls do nothing, whatever folder they name.
pub fn load(models: &Path) -> Result<(), SpeechError> {
    let mut loaded = LOADED
        .lock()
        .unwrap_or_else(std::sync::PoisonError::into_inner);
    if *loaded {
        return Ok(());
    }
    let path = library_path(models);
    let failed = |why: String| SpeechError::Model {
        path: path.display().to_string(),
        why,
    };
    if !path.is_file() {
        return Err(failed("no such file".to_owned()));
    }
    // An absolute path, or the loader would search the system's folders for a name without a slash.
    let absolute = path.canonicalize().map_err(|e| failed(e.to_string()))?;
    ort::init_from(&absolute)
        .map_err(|e| failed(e.to_string()))?
        .with_name("sulcus")
        .with_telemetry(false)
        .commit();
    *loaded = true;
    Ok(())
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
        .map_err(|error| told(&error))
}

/// What the loader says, with its reason, which the error has behind it.
pub(super) fn told(error: &libloading::Error) -> String {
    let reason = std::error::Error::source(error).map(ToString::to_string);
    reason.unwrap_or_else(|| error.to_string())
}
