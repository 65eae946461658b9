//! Any bytes as a sound file give frames or an error.

#![no_main]

use libfuzzer_sys::fuzz_target;
use std::io::Write;

fuzz_target!(|bytes: &[u8]| {
    let path = std::env::temp_dir().join(format!("sulcus-fuzz-{}.wav", std::process::id()));
    std::fs::File::create(&path)
        .and_then(|mut file| file.write_all(bytes))
        .expect("a file for the reader");
    let _ = sulcus::audio::wav::read(&path, sulcus::audio::Mix::default());
});
