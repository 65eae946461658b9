//! Makes the fetched model files ready to run fast, once: the results are kept beside them.
//! Changes no weight.
//!
//! Invariant: a prepared file is whole or not there; it is written aside and renamed.

mod graph;
mod wire;

use std::path::{Path, PathBuf};

use ort::session::Session;
use ort::session::builder::GraphOptimizationLevel;

use crate::speech::{SpeechError, runtime};
use graph::Part;

/// Part of the folder's name; to be raised when this module makes other files from the same model.
const VERSION: u32 = 1;

/// The prepared files.
pub struct Prepared {
    pub encoder: PathBuf,
    /// Decoder for the first token: makes the sound's keys and values too.
    pub first: PathBuf,
    /// Decoder for all later tokens.
    pub next: PathBuf,
}

/// Finds the prepared files of the model in `folder`, or makes them (about one second).
/// Where the folder cannot be written they go into the user's temporary folder.
pub fn prepared(models: &Path, folder: &Path) -> Result<Prepared, SpeechError> {
    let name = format!("prepared-v{VERSION}");
    let beside = folder.join(&name);
    let aside = std::env::temp_dir().join(format!("sulcus-moonshine-{name}"));
    for place in [&beside, &aside] {
        let files = Prepared::in_folder(place);
        if files.are_there() {
            return Ok(files);
        }
    }
    let place = match std::fs::create_dir_all(&beside) {
        Ok(()) => beside,
        Err(_) => aside,
    };
    let files = Prepared::in_folder(&place);
    std::fs::create_dir_all(&place).map_err(|e| unwritable(&place, &e))?;
    runtime::load(models)?;

    let encoder_source = folder.join("encoder_model.ort");
    let decoder_source = folder.join("decoder_model_merged.ort");
    let encoder = as_onnx(&encoder_source, &place)?;
    make(
        &encoder_source,
        &encoder,
        Part::Whole,
        |_| true,
        &files.encoder,
    )?;
    let decoder = as_onnx(&decoder_source, &place)?;
    make(
        &decoder_source,
        &decoder,
        Part::Else,
        |_| true,
        &files.first,
    )?;
    // Later steps hand the sound's keys and values through unchanged: no need to have them out again.
    let no_sound = |name: &str| !name.contains(".encoder.");
    make(&decoder_source, &decoder, Part::Then, no_sound, &files.next)?;
    Ok(files)
}

impl Prepared {
    fn in_folder(folder: &Path) -> Self {
        Self {
            encoder: folder.join("encoder.onnx"),
            first: folder.join("decoder-first.onnx"),
            next: folder.join("decoder-next.onnx"),
        }
    }

    fn are_there(&self) -> bool {
        [&self.encoder, &self.first, &self.next]
            .iter()
            .all(|file| file.is_file())
    }
}

/// The model in ONNX form. Only ONNX Runtime reads its own `.ort` form; it can write what it read as ONNX.
fn as_onnx(source: &Path, place: &Path) -> Result<Vec<u8>, SpeechError> {
    let file = place.join(format!("{}.part.onnx", std::process::id()));
    let convert = || -> ort::Result<()> {
        Session::builder()?
            .with_optimization_level(GraphOptimizationLevel::Disable)?
            .with_config_entry("session.save_model_format", "ONNX")?
            .with_optimized_model_path(&file)?
            .commit_from_file(source)?;
        Ok(())
    };
    let converted = convert()
        .map_err(|e| unusable(source, e.to_string()))
        .and_then(|()| std::fs::read(&file).map_err(|e| unwritable(&file, &e)));
    // What is left of a failed conversion is of no use; a failure to delete harms nothing.
    let _ = std::fs::remove_file(&file);
    converted
}

fn make(
    source: &Path,
    model: &[u8],
    part: Part,
    keep: fn(&str) -> bool,
    target: &Path,
) -> Result<(), SpeechError> {
    let bytes = graph::rewrite(model, part, keep).map_err(|why| unusable(source, why))?;
    let part = target.with_extension(format!("{}.part", std::process::id()));
    std::fs::write(&part, bytes)
        .and_then(|()| std::fs::rename(&part, target))
        .map_err(|e| unwritable(target, &e))
}

fn unusable(path: &Path, why: String) -> SpeechError {
    SpeechError::Model {
        path: path.display().to_string(),
        why,
    }
}

fn unwritable(path: &Path, error: &std::io::Error) -> SpeechError {
    unusable(path, format!("cannot write the prepared model: {error}"))
}
