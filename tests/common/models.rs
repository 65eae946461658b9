//! Where the tests that speak and hear find the models, or that they skip without them.

use std::path::{Path, PathBuf};

/// The models of voice and engine; with `SULCUS_TEST_ALL` set they must be there.
pub fn models() -> Option<PathBuf> {
    let models = std::env::var_os("SULCUS_MODELS").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("models"),
        PathBuf::from,
    );
    if models.join("piper/voice.onnx").is_file() && models.join("moonshine/tokenizer.bin").is_file()
    {
        return Some(models);
    }
    assert!(
        std::env::var_os("SULCUS_TEST_ALL").is_none(),
        "no models in {}",
        models.display()
    );
    println!("SKIPPED: no models; run ./models-fetch.sh");
    None
}
