//! Makes the fetched model files ready to run fast, once, with the program's adapter merged into their weights: the
//! results are kept beside them, for each adapter in a folder of its own.
//!
//! Invariants: a prepared file is whole or not there; it is written aside and renamed. The same model and adapter give
//! the same files, byte for byte; a file of another length than was written is made anew.

mod adapter;
mod graph;
mod wire;

use std::collections::HashSet;
use std::path::{Path, PathBuf};

use ort::session::Session;
use ort::session::builder::GraphOptimizationLevel;

use crate::speech::{SpeechError, runtime};
pub use adapter::Adapter;
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
    /// Lengths of the three, written last.
    sizes: PathBuf,
}

/// The place that the XDG base directory specification gives to what can be made again.
fn user_cache() -> Option<PathBuf> {
    std::env::var_os("XDG_CACHE_HOME")
        .map(PathBuf::from)
        .filter(|path| path.is_absolute())
        .or_else(|| std::env::var_os("HOME").map(|home| Path::new(&home).join(".cache")))
}

/// Finds the prepared files of the model in `folder`, or makes them (about one second).
/// Where the folder cannot be written they go into the user's cache: a folder that anybody may write could hold
/// networks that somebody else put there.
pub fn prepared(
    models: &Path,
    folder: &Path,
    adapter: Option<&Adapter>,
) -> Result<Prepared, SpeechError> {
    let name = folder_name(adapter);
    let beside = folder.join(&name);
    let aside = user_cache().map(|cache| cache.join("sulcus/moonshine").join(&name));
    for place in [Some(&beside), aside.as_ref()].into_iter().flatten() {
        let files = Prepared::in_folder(place);
        if files.are_there() {
            return Ok(files);
        }
    }
    let place = match std::fs::create_dir_all(&beside) {
        Ok(()) => beside,
        Err(why) => aside.ok_or_else(|| unwritable(&beside, &why))?,
    };
    let files = Prepared::in_folder(&place);
    std::fs::create_dir_all(&place).map_err(|e| unwritable(&place, &e))?;
    runtime::load(models)?;

    let encoder_source = folder.join("encoder_model.ort");
    let decoder_source = folder.join("decoder_model_merged.ort");
    let encoder = as_onnx(&encoder_source, &place)?;
    let decoder = as_onnx(&decoder_source, &place)?;
    // Later steps hand the sound's keys and values through unchanged: no need to have them out again.
    let no_sound = |name: &str| !name.contains(".encoder.");
    let mut changed = HashSet::new();
    for (source, model, part, keep, target) in [
        (
            &encoder_source,
            &encoder,
            Part::Whole,
            (|_| true) as fn(&str) -> bool,
            &files.encoder,
        ),
        (
            &decoder_source,
            &decoder,
            Part::Else,
            |_| true,
            &files.first,
        ),
        (&decoder_source, &decoder, Part::Then, no_sound, &files.next),
    ] {
        let made =
            graph::rewrite(model, part, keep, adapter).map_err(|why| unusable(source, why))?;
        changed.extend(made.changed);
        write(target, &made.bytes)?;
    }
    if let Some(lost) = adapter
        .into_iter()
        .flat_map(Adapter::names)
        .find(|name| !changed.contains(*name))
    {
        return Err(unusable(
            folder,
            format!("the program's adapter changes {lost}, which this model has not"),
        ));
    }
    write(&files.sizes, files.sizes_now()?.as_bytes())?;
    Ok(files)
}

/// Without an adapter the name is that of the versions that had none, so that their files still serve.
fn folder_name(adapter: Option<&Adapter>) -> String {
    match adapter {
        None => format!("prepared-v{VERSION}"),
        Some(adapter) => format!("prepared-v{VERSION}-{}", adapter.name()),
    }
}

impl Prepared {
    fn in_folder(folder: &Path) -> Self {
        Self {
            encoder: folder.join("encoder.onnx"),
            first: folder.join("decoder-first.onnx"),
            next: folder.join("decoder-next.onnx"),
            sizes: folder.join("sizes.txt"),
        }
    }

    fn networks(&self) -> [&PathBuf; 3] {
        [&self.encoder, &self.first, &self.next]
    }

    /// All three, each as long as it was made. Folders of older versions have no list of lengths.
    fn are_there(&self) -> bool {
        self.networks().iter().all(|file| file.is_file())
            && match std::fs::read_to_string(&self.sizes) {
                Ok(sizes) => self.sizes_now().is_ok_and(|now| now == sizes),
                Err(_) => self.is_of_old(),
            }
    }

    fn is_of_old(&self) -> bool {
        let folder = self.encoder.parent().and_then(Path::file_name);
        folder.is_some_and(|name| name.to_string_lossy().ends_with(&folder_name(None)))
    }

    fn sizes_now(&self) -> Result<String, SpeechError> {
        let mut sizes = String::new();
        for file in self.networks() {
            let length = std::fs::metadata(file)
                .map_err(|e| unusable(file, e.to_string()))?
                .len();
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            sizes.push_str(&format!("{name} {length}\n"));
        }
        Ok(sizes)
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

fn write(target: &Path, bytes: &[u8]) -> Result<(), SpeechError> {
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
