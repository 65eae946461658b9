//! Arguments and environment turned into one checked value; nothing later reads raw arguments.

use std::path::{Path, PathBuf};

/// Folders the program works with.
#[derive(Debug, Clone)]
pub struct Config {
    /// Where visits are kept.
    pub data: PathBuf,
    /// What `models-fetch.sh` filled.
    pub models: PathBuf,
}

impl Config {
    pub fn new(data: Option<PathBuf>, models: Option<PathBuf>) -> Self {
        Self {
            data: data.unwrap_or_else(default_data),
            models: models.unwrap_or_else(default_models),
        }
    }
}

/// The place the XDG base directory specification gives to user data.
fn default_data() -> PathBuf {
    std::env::var_os("XDG_DATA_HOME")
        .map(PathBuf::from)
        .filter(|path| path.is_absolute())
        .or_else(|| std::env::var_os("HOME").map(|home| Path::new(&home).join(".local/share")))
        .unwrap_or_default()
        .join("sulcus")
}

/// `models` here or beside the program.
fn default_models() -> PathBuf {
    beside("models")
}

/// A folder of the checkout: in the working folder, else in a folder above the program (as in a built checkout),
/// else as if in the working folder, for the message.
pub fn beside(name: &str) -> PathBuf {
    let here = PathBuf::from(name);
    if here.is_dir() {
        return here;
    }
    std::env::current_exe()
        .ok()
        .and_then(|program| {
            program
                .ancestors()
                .map(|folder| folder.join(name))
                .find(|folder| folder.is_dir())
        })
        .unwrap_or(here)
}
