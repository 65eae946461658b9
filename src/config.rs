//! Arguments and environment turned into one checked value; nothing later reads raw arguments.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Folders the program works with.
#[derive(Debug, Clone)]
pub struct Config {
    /// Where visits are kept.
    pub data: PathBuf,
    /// What `models-fetch.sh` filled.
    pub models: PathBuf,
    /// Something was found beside the command's own work: it ends with exit code 1.
    problem: Arc<AtomicBool>,
    /// What was found of the journal was told: a command that opens it twice tells it once.
    is_told: Arc<AtomicBool>,
}

impl Config {
    pub fn new(data: Option<PathBuf>, models: Option<PathBuf>) -> Self {
        Self {
            data: data.unwrap_or_else(default_data),
            models: models.unwrap_or_else(default_models),
            problem: Arc::default(),
            is_told: Arc::default(),
        }
    }

    /// Notes that something was found beside the command's own work, and told.
    pub fn found_problem(&self) {
        self.problem.store(true, Ordering::Relaxed);
    }

    /// Whether this is the first time that the journal is told of.
    pub fn tells_first(&self) -> bool {
        !self.is_told.swap(true, Ordering::Relaxed)
    }

    /// Whether something was found and told.
    pub fn has_problem(&self) -> bool {
        self.problem.load(Ordering::Relaxed)
    }
}

/// The place the XDG base directory specification gives to user data.
fn default_data() -> PathBuf {
    user_data().unwrap_or_default().join("sulcus")
}

fn user_data() -> Option<PathBuf> {
    std::env::var_os("XDG_DATA_HOME")
        .map(PathBuf::from)
        .filter(|path| path.is_absolute())
        .or_else(|| std::env::var_os("HOME").map(|home| Path::new(&home).join(".local/share")))
}

/// Where an installed program's files are, the user's own first: the data folders of the XDG base directory
/// specification.
fn installed() -> Vec<PathBuf> {
    let system = std::env::var_os("XDG_DATA_DIRS")
        .filter(|folders| !folders.is_empty())
        .unwrap_or_else(|| "/usr/local/share:/usr/share".into());
    user_data()
        .into_iter()
        .chain(std::env::split_paths(&system).filter(|path| path.is_absolute()))
        .map(|folder| folder.join("sulcus"))
        .collect()
}

/// `models` here, beside the program or installed.
fn default_models() -> PathBuf {
    beside("models")
}

/// A folder of the checkout: in the working folder, else in a folder above the program (as in a built checkout), else
/// in the data folders where it is installed, else as if in the working folder, for the message.
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
        .or_else(|| {
            installed()
                .into_iter()
                .map(|folder| folder.join(name))
                .find(|folder| folder.is_dir())
        })
        .unwrap_or(here)
}
