//! The built program, driven as a user would, and the things that tests may find missing.

#![allow(dead_code)] // Each test file uses its part.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The program with a data folder of its own.
pub fn sulcus(data: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sulcus"));
    command
        .current_dir(root())
        .arg("--data")
        .arg(data)
        .env_remove("SULCUS_DATA")
        .env_remove("SULCUS_MODELS");
    command
}

pub fn run(command: &mut Command) -> Output {
    command.output().expect("the built program starts")
}

pub fn stdout(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

pub fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Whether the models are there. Where all tests must run, their absence is a failure; else it is told.
pub fn has_models(test: &str) -> bool {
    let library = root().join("models/onnxruntime/libonnxruntime.so");
    if library.exists() {
        return true;
    }
    assert!(
        std::env::var_os("SULCUS_TEST_ALL").is_none(),
        "{test} needs the models: run ./models-fetch.sh --tests"
    );
    println!("skipped: {test} needs the models (./models-fetch.sh)");
    false
}

pub fn demo(name: &str) -> PathBuf {
    root().join("audio-fixtures/demo").join(name)
}
