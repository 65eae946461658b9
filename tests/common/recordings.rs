//! Where the tests that measure with recorded people and noise find them, or that they skip without them.

use std::path::{Path, PathBuf};

/// The folder of the recordings: `$SULCUS_SPEECH`, or beside the project. None of it belongs to the project, so that no
/// setting demands it.
pub fn recordings() -> Option<PathBuf> {
    let folder = std::env::var_os("SULCUS_SPEECH").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/speech"),
        PathBuf::from,
    );
    if folder.join("manifest.tsv").is_file() {
        return Some(folder);
    }
    println!("SKIPPED: no recorded speech in {}", folder.display());
    None
}
