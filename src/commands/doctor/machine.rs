//! The rest of the check: models, disk, fallback voice, port.

use std::fmt;
use std::net::{Ipv4Addr, TcpListener};
use std::path::{Path, PathBuf};
use std::process::Command;

use serde::Serialize;

use super::Findings;
use crate::audio::FRAME_SAMPLES;
use crate::speech::activity::{Detector, Silero};
use crate::speech::runtime;

/// A visit with its sound is some 100 MB an hour; below this a working day may not fit.
const FREE_BYTES_MIN: u64 = 1_000_000_000;

/// Files of the models folder that the default set-up needs.
const NEEDED: [&str; 4] = [
    "onnxruntime/libonnxruntime.so",
    "moonshine/encoder_model.ort",
    "moonshine/decoder_model_merged.ort",
    "moonshine/tokenizer.bin",
];

/// Files without which something is poorer: the second engine, the better voice.
const OPTIONAL: [(&str, &str); 3] = [
    (
        "piper/voice.onnx",
        "read-back uses the fallback voice without it",
    ),
    (
        "piper/voice.onnx.json",
        "read-back uses the fallback voice without it",
    ),
    ("vosk/libvosk.so", "--engine vosk needs it"),
];

#[derive(Debug, Serialize)]
pub struct Model {
    path: PathBuf,
    /// `None` where the file is not there.
    bytes: Option<u64>,
    /// Whether it was loaded for the check; `None` where the file is no model.
    loads: Option<bool>,
}

impl fmt::Display for Model {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = self.path.display();
        match (self.bytes, self.loads) {
            (None, _) => write!(f, "{path}: not there"),
            (Some(bytes), Some(false)) => write!(f, "{path}: {}, cannot be loaded", size(bytes)),
            (Some(bytes), _) => write!(f, "{path}: {}", size(bytes)),
        }
    }
}

fn size(bytes: u64) -> String {
    match bytes {
        0..10_000 => format!("{bytes} bytes"),
        10_000..10_000_000 => format!("{} kB", bytes / 1000),
        _ => format!("{} MB", bytes / 1_000_000),
    }
}

pub fn models(folder: &Path, findings: &mut Findings) -> Vec<Model> {
    let mut models = Vec::new();
    for name in NEEDED {
        let (model, why) = model(folder, name);
        if let Some(why) = why {
            findings.problems.push(format!(
                "the model {} {why}: run ./models-fetch.sh, or give its folder with --models DIR",
                model.path.display()
            ));
        }
        models.push(model);
    }
    for (name, poorer) in OPTIONAL {
        let (model, why) = model(folder, name);
        if let Some(why) = why {
            findings.advice.push(format!(
                "the model {} {why}: {poorer}; ./models-fetch.sh brings it",
                model.path.display()
            ));
        }
        models.push(model);
    }
    if runtime::load(folder).is_ok()
        && let Err(error) =
            Silero::new(folder).and_then(|mut detector| detector.probability(&[0.0; FRAME_SAMPLES]))
    {
        findings.problems.push(error.to_string());
    }
    models
}

/// The file, and what is wrong with it.
fn model(folder: &Path, name: &str) -> (Model, Option<String>) {
    let path = folder.join(name);
    let bytes = std::fs::metadata(&path)
        .ok()
        .filter(|file| file.is_file())
        .map(|file| file.len());
    if bytes.is_none() {
        let missing = Some("is not there".to_owned());
        let model = Model {
            path,
            bytes,
            loads: None,
        };
        return (model, missing);
    }
    let loaded = match path.extension().and_then(|extension| extension.to_str()) {
        Some("so") if name.starts_with("onnxruntime") => {
            Some(runtime::load(folder).map_err(|error| error.to_string()))
        }
        Some("so") => Some(runtime::can_load_library(&path)),
        Some("onnx" | "ort") => Some(runtime::can_load_model(folder, &path)),
        _ => None,
    };
    let why = match (&loaded, bytes) {
        (Some(Err(why)), _) => Some(format!("cannot be loaded ({why})")),
        (_, Some(0)) => Some("is empty".to_owned()),
        _ => None,
    };
    let model = Model {
        path,
        bytes,
        loads: loaded.map(|loaded| loaded.is_ok()),
    };
    (model, why)
}

#[derive(Debug, Serialize)]
pub struct Data {
    path: PathBuf,
    /// It may have to be made first.
    exists: bool,
    writable: bool,
    free_bytes: Option<u64>,
}

impl fmt::Display for Data {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.path.display())?;
        if !self.exists {
            write!(f, " (will be made)")?;
        }
        if !self.writable {
            write!(f, ", cannot be written")?;
        }
        match self.free_bytes {
            Some(bytes) => write!(f, ", {} free", size(bytes)),
            None => Ok(()),
        }
    }
}

pub fn data(folder: &Path, findings: &mut Findings) -> Data {
    let path = std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned());
    // The folder is made with the first visit; what matters is whether it can be made.
    let nearest = path.ancestors().find(|folder| folder.exists());
    let nearest = nearest.unwrap_or(Path::new("/")).to_owned();
    let written = try_writing(&nearest);
    if let Err(error) = &written {
        findings.problems.push(format!(
            "cannot write visits to {}: {error}; give the folder to this user, or another one with --data DIR",
            path.display()
        ));
    }
    let free_bytes = rustix::fs::statvfs(&nearest)
        .ok()
        .map(|disk| disk.f_bavail * disk.f_frsize);
    if let Some(bytes) = free_bytes.filter(|&bytes| bytes < FREE_BYTES_MIN) {
        findings.problems.push(format!(
            "only {} free on the disk of {}: make room for {}, or give a folder on another disk with --data DIR",
            size(bytes),
            path.display(),
            size(FREE_BYTES_MIN)
        ));
    }
    Data {
        exists: path.is_dir(),
        writable: written.is_ok(),
        free_bytes,
        path,
    }
}

/// Writes a small file and takes it away again: permissions alone do not tell of a read-only or full disk.
fn try_writing(folder: &Path) -> std::io::Result<()> {
    let probe = folder.join(format!(".sulcus-doctor-{}", std::process::id()));
    let written = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&probe)
        .and_then(|mut file| {
            std::io::Write::write_all(&mut file, b"check")?;
            file.sync_all()
        });
    // Best effort: the probe may not have been made.
    let _ = std::fs::remove_file(&probe);
    written
}

pub fn fallback_voice(findings: &mut Findings) -> Option<String> {
    let version = Command::new("espeak-ng")
        .arg("--version")
        .output()
        .ok()
        .filter(|output| output.status.success())
        .map(|output| String::from_utf8_lossy(&output.stdout).trim().to_owned());
    if version.is_none() {
        findings.advice.push(
            "no espeak-ng: install it (apt-get install espeak-ng), it speaks where the better voice cannot"
                .to_owned(),
        );
    }
    version
}

#[derive(Debug, Serialize)]
pub struct Port {
    number: u16,
    free: bool,
}

impl fmt::Display for Port {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let state = if self.free { "free" } else { "in use" };
        write!(f, "port {} is {state}", self.number)
    }
}

pub fn port(number: u16, findings: &mut Findings) -> Port {
    let free = TcpListener::bind((Ipv4Addr::LOCALHOST, number)).is_ok();
    if !free {
        findings.problems.push(format!(
            "port {number} is in use: end the other program (it may be sulcus itself), or give another --port PORT"
        ));
    }
    Port { number, free }
}
